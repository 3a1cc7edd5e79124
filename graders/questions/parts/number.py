"""A part answered with one number: its band, its typical slips, and the units it may be mistaken in."""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, SupportsFloat

from graders.questions import parse_answer
from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Field, Filled, Held, Once, Part, Rules
from graders.questions.parts.figures import is_number
from graders.questions.parts.tolerance import Tolerance
from graders.questions.verdicts import Code, Verdict
from workbook import units

PLAIN_NUMBERS = (0, 1, -1, 100)
"""Numbers that anybody may type without any method."""

ONE_NUMBER = re.compile(r"(?<!\w)-?\d[\d.,  ’']*(?: ?[¼-¾⅐-⅞])?|[¼-¾⅐-⅞]")
"""A number as people write it into a sentence."""

Formula = Callable[[Values, Values], SupportsFloat]
"""What a sheet works out from the givens and the earlier answers, in SI."""


@dataclass(frozen=True)
class Slip:
    """A typical wrong number: its name, the value it gives (SI), and the words to say.

    ``worth`` is the share of the points it earns: nothing, unless the sheet says that half the thought was right.
    """

    name: str
    value: Formula
    words: str
    worth: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Number(Part):
    """A part answered with one number in ``unit``; ``plausible`` is the range, in ``unit``, of any real answer."""

    unit: str
    expected: Formula
    within: Tolerance
    because: str
    plausible: tuple[float, float]
    slips: tuple[Slip, ...] = ()

    kind = "number"

    @property
    def answer_units(self) -> dict[str, str]:
        return {self.name: self.unit}

    @property
    def answer_unit(self) -> str:
        return units.shown(self.unit)

    @property
    def fields(self) -> tuple[Field, ...]:
        return (Field(self.name, "Your answer", self.unit),)

    def slipped(self, slip: Slip, g: Values, a: Values) -> float:
        """Return what a slip gives, in the part's unit."""
        value: float = units.from_si(float(slip.value(g, a)), self.unit)
        return value

    def near(self, value: float, expected: float) -> bool:
        """Whether a value lies within the tolerance around an expected one, both in SI."""
        return abs(value - expected) <= self.reach(expected)

    def reach(self, expected: float) -> float:
        """Return how far from an expected value an answer may lie, in SI, with a little for rounding."""
        return self.within.around(expected, self.unit) * (1 + 1e-9)

    def takes(self, value: float, right: float) -> bool:
        """Whether a value is within the tolerance of the right one, both in the part's unit."""
        return self.near(units.to_si(value, self.unit), units.to_si(right, self.unit))

    def confuses(self, value: float, other: float) -> bool:
        """Whether two values are too near to tell apart safely, rounding included."""
        return abs(value - other) <= 1.05 * self.within.around(value, self.unit)

    def mixed_up(self, g: Values, a: Values, typed_back: list[float]) -> list[str]:
        """Say what these givens would hide: a slip on the answer or on another slip, a given on the answer."""
        expected = float(self.expected(g, a))
        wrong = {f"given {value}": units.to_si(value, self.unit) for value in typed_back}
        found = [
            f"{self.name}: {name} is the answer" for name, value in wrong.items() if self.confuses(expected, value)
        ]
        slips = [(slip.name, float(slip.value(g, a))) for slip in self.slips]
        for index, (name, value) in enumerate(slips):
            if self.confuses(expected, value):
                found.append(f"{self.name}: slip {name!r} is the answer")
            for other, other_value in slips[:index]:
                if self.confuses(value, other_value) or self.confuses(other_value, value):
                    found.append(f"{self.name}: slip {name!r} is slip {other!r}")
        return found

    def follows_plainly(self, g: Values, true: Values, carried: Values, followed: float) -> bool:
        """Whether what follows from a learner's own answers could be had without the method.

        Numbers of one's own are never drawn so that a slip, a given or a plain number is the answer. Earlier answers
        that bring this about are not followed either: nor where an earlier answer or a bound typed again follows.
        """
        earlier = carried.printed
        if any(self._is(true[name], float(self.expected(g, true))) for name in earlier if name in true):
            earlier = {}  # one of the earlier answers is the answer, as with a smallest margin
        typed = [*g.printed.values(), *earlier.values(), *self.plausible, *PLAIN_NUMBERS]
        slips = (value for value in self._slip_values(g, carried) if value is not None)
        return any(self._is(value, followed) for value in typed) or any(self.near(value, followed) for value in slips)

    def _is(self, value: object, expected: float) -> bool:
        return is_number(value) and self._is_near(value, expected)

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: units.from_si(float(self.expected(g, earlier)), self.unit)}

    def instructions(self, filled: Filled) -> str:
        unit = f"in **{self.unit}**" if self.unit != "1" else "as a plain number"
        return f"Answer {unit}. Right is within {self.within.words(self.unit)}: {self.because}."

    def stub(self) -> str:
        return f"{self.name} = ..." + (f"   # {self.unit}" if self.unit != "1" else "")

    def key_line(self, g: Values, a: Values) -> str:
        expected = float(self.expected(g, a))
        reach = self.within.around(expected, self.unit)
        low, high = sorted(units.from_si(edge, self.unit) for edge in (expected - reach, expected + reach))
        right = f"{units.from_si(expected, self.unit):.5g}{self.answer_unit}"
        return f"{right} ({low:.4g} to {high:.4g})"

    def working_in(self, key: Mapping[str, Any]) -> str:
        unit = "" if self.unit == "1" else f"   # {self.unit}"
        return f"{self.working.strip()}\n# {self.name} = {key[self.name]:.5g}{unit}"

    @property
    def how(self) -> str:
        asked = "a plain number" if self.unit == "1" else f"a number in {self.unit}, or in any unit you name"
        return f"Answer with {asked}."

    def read(self, text: str) -> float:
        return parse_answer.number(text, self.unit)

    def wrong_form(self, answer: str) -> str:
        if re.fullmatch(r"([\'\"‘’“”]).*\1", answer):
            return "A number stands without quotes."
        if parse_answer.A_FRACTION.search(answer):
            return "Python does not know signs such as ½."
        return "A number is written without spaces between thousands." if parse_answer.THOUSANDS.search(answer) else ""

    def meant(self, answer: str) -> str:
        numbers = ONE_NUMBER.findall(answer)
        try:
            return parse_answer.as_python(numbers[0], self.unit) if len(numbers) == 1 else ""
        except parse_answer.Unclear:
            return ""

    def guessed(self, rules: Rules) -> Printed:
        return {self.name: rules.number(self)}

    def plain_guesses(self, numbers: Mapping[str, float]) -> dict[str, Printed]:
        low, high = self.plausible
        plain = {"lowest": low, "highest": high, **numbers}
        return {rule: {self.name: value} for rule, value in plain.items()}

    def remembering(self, once: Once) -> "Number":
        slips = tuple(replace(slip, value=once(slip.value)) for slip in self.slips)
        return replace(self, expected=once(self.expected), slips=slips)

    def hints(self, g: Values, a: Values) -> list[tuple[str, str]]:
        hints = super().hints(g, a)
        for slip in self.slips:
            shown = f"{self.slipped(slip, g, a):.5g}{units.shown(self.unit)}"
            hints.append((f"A usual slip gives {shown}. Whoever gets that is told: {slip.words}", slip.words))
        return hints

    def asks(self) -> list[Any]:
        return [self.unit, self.within.relative, self.within.absolute]

    def rules(self, g: Values, a: Values) -> list[Any]:
        slips = [[slip.name, slip.worth, f"{float(slip.value(g, a)):.6g}"] for slip in self.slips]
        return [list(self.plausible), slips]

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        """Return an earlier number only if it is finite and plausible, or is a slip we know.

        Two zeros would earn full marks if anything were carried through.
        """
        own = given.get(self.name)
        if not is_number(own):
            return {}
        plausible = self.plausible[0] <= own <= self.plausible[1]
        known_slip = any(self._is_near(own, value) for value in self._slip_values(g, a))
        return {self.name: own} if plausible or known_slip else {}

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        answer = given[self.name]
        if not is_number(answer):
            return self._verdict(0.0, Code.NEEDS_A_LOOK, "The answer should be one finite number.", "not a number")
        expected = float(self.expected(g, true))
        if self._is_near(answer, expected):
            return self._right()
        carried = follow()
        followed = _safely(self.expected, g, carried)
        low, high = (units.to_si(bound, self.unit) for bound in self.plausible)
        if (
            followed is not None
            and low <= followed <= high
            and self._is_near(answer, followed)
            and not self.follows_plainly(g, true, carried, followed)
        ):
            return self._follows("Right method: it follows from your earlier answer as it stands.")
        for earlier in (true, carried):
            for slip, value in zip(self.slips, self._slip_values(g, earlier), strict=True):
                if self._is_near(answer, value):
                    return self._verdict(self.points * slip.worth, Code.SLIP, slip.words, slip.name)
        unit = self._other_unit(answer, expected)
        if unit:
            return self._verdict(0.0, Code.OTHER_UNIT, unit, "unit")
        return self._verdict(0.0, Code.NOT_RIGHT, self._nudge(answer))

    def _is_near(self, answer: float, expected: float | None) -> bool:
        return expected is not None and math.isfinite(expected) and self.near(units.to_si(answer, self.unit), expected)

    def _slip_values(self, g: Values, a: Values) -> list[float | None]:
        return [_safely(slip.value, g, a) for slip in self.slips]

    def _other_unit(self, answer: float, expected: float) -> str | None:
        """Say which unit the answer is right in, or that a prefix is lost on the way."""
        for unit, factor in units.siblings(self.unit).items():
            if self._is_near(answer * factor / units.FACTORS[self.unit], expected):
                told = "as a plain fraction" if unit == "1" else f"in {unit}"
                return f"Your number has the right size {told}. The question asks for {self.unit}."
        if self.unit == "°C" and self._is_near(answer - 273.15, expected):
            return "Your number has the right size in kelvin. The question asks for °C."
        if self.unit == "K" and self._is_near(answer - 273.15, expected):
            return "This is a difference of temperatures: nothing is added to turn °C into K."
        for power in (3, -3, 6, -6, 9, -9):
            if self._is_near(answer * 10.0**power, expected):
                return (
                    "The digits are right and the size is not: a unit prefix (such as m, µ or k) was lost on the way."
                )
        return None

    def _nudge(self, answer: float) -> str:
        low, high = self.plausible
        far = (
            ""
            if low <= answer <= high
            else f"This is far outside what can be right here ({low:g} to {high:g}{units.shown(self.unit)}). "
        )
        steps = "each step" if self.unit == "1" else "each step and its unit"
        return f"{far}{self.hint or f'Not this yet. Go back to the question and check {steps}.'}"


def _safely(function: Formula, g: Values, a: Values) -> float | None:
    """Return a value of the sheet, or None where the earlier answer it was given leaves the formula's range."""
    try:
        value = float(function(g, a))
    except (ArithmeticError, ValueError):
        return None
    return value if math.isfinite(value) else None
