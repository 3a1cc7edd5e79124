"""A part answered with the settings of a design, which is simulated and held against limits."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Field, Filled, Held, Once, Part, Rules
from graders.questions.parts.figures import is_number, number_text, shown
from graders.questions.verdicts import Code, Margin, Verdict
from workbook import units

MISSED_BY_A_HAIR = 0.5
"""What a limit missed by next to nothing counts for in a design, where one that is held counts 1."""

FAR = 10
"""How many guard bands from holding a missed limit counts for nothing."""


@dataclass(frozen=True)
class Setting:
    """One choice of a design part: the variable, its unit and its bounds; ``whole`` for whole numbers."""

    name: str
    words: str
    unit: str
    low: float
    high: float
    whole: bool = False

    def outside(self, choice: object) -> str | None:
        """Say why a choice is no choice, or is outside its bounds, or None."""
        meant = f"{self.words} ({self.name})"
        if not is_number(choice):
            return f"{meant} should be one number in {self.unit}."
        if self.whole and choice != int(choice):
            return f"{meant} should be a whole number."
        if self.low <= choice <= self.high:
            return None
        bounds = f"({self.low:g} to {self.high:g}{units.shown(self.unit)})"
        as_share = self.unit == "%" and 0 < choice < 1 and self.low <= 100 * choice <= self.high
        told = f" Type {100 * choice:g} for {100 * choice:g} %." if as_share else ""
        return f"{meant} is outside its bounds {bounds}.{told}"


@dataclass(frozen=True, kw_only=True)
class Design(Part):
    """A part answered with choices, which are simulated and held against limits, each with its own margin.

    ``simulate(g, a, choices)`` gets the choices as printed and returns the margins. ``example`` returns choices that
    hold every limit (for the solution). All limits held earn all points. Otherwise each limit counts by itself: held as
    one, missed by a hair as `MISSED_BY_A_HAIR`, and less in proportion, to nothing at `FAR` guard bands (at once where
    a limit has no guard band). ``idle`` is the mean that choices without the method reach (the middle or the bounds of
    all settings, choices copied from the text): it earns nothing, and points rise evenly from there.
    """

    settings: tuple[Setting, ...]
    simulate: Callable[[Values, Values, Printed], Iterable[Margin]]
    example: Callable[[Values, Values], Mapping[str, float]]
    idle: float

    kind = "design"
    is_practised = False

    @property
    def answer_names(self) -> tuple[str, ...]:
        return tuple(setting.name for setting in self.settings)

    @property
    def answer_units(self) -> dict[str, str]:
        return {setting.name: setting.unit for setting in self.settings}

    @property
    def fields(self) -> tuple[Field, ...]:
        return tuple(Field(s.name, s.words, s.unit, f"{s.low:g} to {s.high:g}") for s in self.settings)

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return dict(self.example(g, earlier))

    def instructions(self, filled: Filled) -> str:
        lines = [
            f"- `{s.name}`: {s.words}, {number_text(s.low)} to {number_text(s.high)}{units.shown(s.unit)}"
            + (", a whole number" if s.whole else "")
            for s in self.settings
        ]
        scored = (
            "All limits held earns all points. Fewer limits held, or one missed by more, earns less; "
            "what most choices hold by chance earns nothing."
        )
        return "\n".join(["Your choices, within these bounds:", "", *lines, "", scored])

    def stub(self) -> str:
        return "\n".join(f"{s.name} = ...{'   # ' + s.unit if s.unit != '1' else ''}" for s in self.settings)

    def on_paper(self, filled: Filled) -> str:
        return f"{self.instructions(filled)}\n\nOn paper no margin is told before you hand it in."

    def key_line(self, g: Values, a: Values) -> str:
        return f"{self.expected_in(self.right_answer(g, a))}; others are judged when they are entered"

    def working_in(self, key: Mapping[str, Any]) -> str:
        choice = "\n".join(f"{name} = {key[name]!r}" for name in self.answer_names)
        return f"One choice that holds every limit:\n{choice}"

    def expected_in(self, key: Mapping[str, Any]) -> str:
        choice = ", ".join(f"{name} = {shown(key[name])}" for name in self.answer_names)
        return f"one choice that holds every limit: {choice}"

    def asks(self) -> list[Any]:
        return [[one.name, one.words, one.unit, one.low, one.high, one.whole] for one in self.settings]

    def rules(self, g: Values, a: Values) -> list[Any]:
        margins = self.simulate(g, a, dict(self.example(g, a)))
        return [[self.idle, MISSED_BY_A_HAIR, FAR]] + [
            [one.limit, one.unit, one.guard, f"{one.margin:.3g}"] for one in margins
        ]

    def guessed(self, rules: Rules) -> Printed:
        return {setting.name: rules.setting(setting) for setting in self.settings}

    def remembering(self, once: Once) -> "Design":
        return replace(self, simulate=once(self.simulate), example=once(self.example))

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        return {} if self._outside(given) else {name: given[name] for name in self.answer_names}

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        outside = self._outside(given)
        if outside:
            return self._verdict(0.0, Code.NOT_RIGHT, outside, "outside its bounds")
        margins = tuple(self.simulate(g, true, {name: given[name] for name in self.answer_names}))
        points = self._share_of_points(self._share(margins))
        code = Code.RIGHT if all(one.held for one in margins) else Code.PARTLY if points else Code.NOT_RIGHT
        remark = " ".join(margin.told() for margin in margins)
        return Verdict(self.name, float(points), self.points, code, remark, margins=margins)

    def _share(self, margins: Sequence[Margin]) -> float:
        """Return the share of the points: 0 for what idle choices reach, 1 for every limit held."""
        mean = sum(map(_nearness, margins)) / len(margins)
        return max(0.0, (mean - self.idle) / (1 - self.idle))

    def _outside(self, given: Held) -> str | None:
        found = (setting.outside(given.get(setting.name)) for setting in self.settings)
        return next(filter(None, found), None)


def _nearness(margin: Margin) -> float:
    """Return what one limit counts for: 1 where it is held, less the further it is missed, 0 where that is far."""
    if margin.held:
        return 1.0
    miss = -margin.margin
    return MISSED_BY_A_HAIR * (1 - miss / (FAR * margin.guard)) if miss < FAR * margin.guard else 0.0
