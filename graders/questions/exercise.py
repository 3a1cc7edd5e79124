"""What an exercise is: its number and title, a setup, the givens, and the parts that ask about them."""

import builtins
import keyword
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from types import CodeType, MappingProxyType
from typing import Any

from graders.questions import givens as own
from graders.questions import left_out, spelled
from graders.questions.givens import Given, Printed, Values
from graders.questions.parts.base import Part
from graders.questions.parts.number import PLAIN_NUMBERS, Number
from graders.questions.parts.words import Worded
from workbook.stream import Stream

NAME = re.compile(r"[a-z][a-z0-9_]*")


@dataclass(frozen=True)
class Case:
    """A published case: givens (as printed, over the worked ones), the part's printed answer, and its source.

    ``within`` is by how much ours may differ, in the part's unit: half a unit of the source's last digit, or more where
    ``note`` says why. ``standing`` is the standing of the printed answer.
    """

    part: str
    answer: float | str
    within: float
    source: str
    standing: str
    givens: Printed = field(default_factory=dict)
    earlier: Printed = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class Exercise:
    """One exercise: a title people can say, a setup, the givens and the parts that ask about them.

    ``number`` is its number in the topic for ever, which begins its notebook's name: never changed, never used again.
    ``caution`` stands at the head where the work can hurt. ``drawing(givens)`` draws what one looks at (a
    `workbook.drawings.pen.Drawing`), in the learner's own numbers; ``drawing_of_answer(givens)`` what it
    comes to, for a feedback page that shows the working. ``table`` names the records of readings that are
    printed as one table. ``sound(printed givens)`` refuses draws that would make the exercise degenerate. ``floor`` is
    the largest share of the points that answers without the method may earn. ``judged_by`` is raised by hand where a
    change of code decides marks otherwise and the worked numbers do not show it. ``drawn_with(secret, learner)`` draws
    one learner's givens where they hang on those of other exercises. ``sheet`` is a hash of the file in which an
    instructor's own exercise stands.
    """

    id: str
    number: int
    title: str
    setup: str
    givens: dict[str, Given]
    parts: tuple[Part, ...]
    cases: tuple[Case, ...] = ()
    caution: str = ""
    table: tuple[str, ...] = ()
    sound: Callable[[Printed], bool] = lambda drawn: True
    drawing: Callable[[Values], object] | None = None
    drawing_of_answer: Callable[[Values], object] | None = None
    floor: float = 0.25
    judged_by: int = 1
    drawn_with: Callable[[bytes, str], Printed] | None = None
    sheet: str = ""

    def __post_init__(self) -> None:
        names = [*self.givens, *(name for part in self.parts for name in part.answer_names)]
        names += [part.name for part in self.parts if part.name not in part.answer_names]
        for name in names:
            if not NAME.fullmatch(name) or keyword.iskeyword(name) or hasattr(builtins, name) or hasattr(math, name):
                raise ValueError(f"{self.id}: {name!r} cannot be the name of a given or a part")
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"{self.id}: {', '.join(twice)} named twice")

    def part(self, name: str) -> Part:
        """Return the part of this name, or raise KeyError."""
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(f"exercise {self.id!r} has no part {name!r}")

    @property
    def points(self) -> int:
        """The points of all parts."""
        return sum(part.points for part in self.parts)

    def worked(self) -> Printed:
        """Return the givens of the printed solution, as printed."""
        return own.worked(self.givens)

    def draw(self, secret: bytes, learner: str, shop: Mapping[str, float] = MappingProxyType({})) -> Printed:
        """Return one learner's own givens, as printed: sound, with every slip told apart and every step needed.

        ``shop`` are the rules of a shop, by the reference they stand over.
        """
        if self.drawn_with:
            return self.drawn_with(secret, learner)
        return own.draw(self.givens, own.learner_key(secret, learner, self.id), self.fits, shop=shop)

    @property
    def rules(self) -> tuple[str, ...]:
        """The references, as ``topic.key``, that a shop's rule may stand over in this exercise."""
        return tuple(rule for given in self.givens.values() if (rule := getattr(given, "rule", "")))

    def fits(self, drawn: Printed) -> bool:
        """Whether drawn givens make a fair exercise: sound, every slip told apart, no step that may be left out."""
        return self.sound(drawn) and not self.mixed_up(drawn) and self.unnoticed(drawn) <= self._never_noticed

    @cached_property
    def _never_noticed(self) -> set[tuple[str, str]]:
        return self.unnoticed(self.worked())

    def own_orders(self, secret: bytes, learner: str) -> dict[str, list[str]]:
        """Return the order in which one learner is shown the words of each part that has words."""
        return self.orders(own.learner_key(secret, learner, self.id))

    def orders(self, key: bytes) -> dict[str, list[str]]:
        """Return an order of the words of each part that has words, one stream a part.

        It is drawn from the words by the alphabet, so that a sheet may be written in any order.
        """
        return {
            part.name: Stream(key, f"{part.name}\x1forder").shuffled(sorted(part.options))
            for part in self.parts
            if isinstance(part, Worded) and part.is_shuffled
        }

    def mixed_up(self, printed_givens: Printed) -> list[str]:
        """Say what these givens would hide: a slip on the answer or on another slip, a given on the answer."""
        g = self.values(printed_givens)
        earlier: Printed = {}
        found: list[str] = []
        typed_back = [value for value in printed_givens.values() if isinstance(value, (int, float))] + [*PLAIN_NUMBERS]
        for part in self.parts:
            a = self.answers(earlier)
            if isinstance(part, Number):
                found += part.mixed_up(g, a, typed_back)
            if part.is_step:
                earlier |= part.right_answer(g, a)
        return found

    def unnoticed(self, printed_givens: Printed) -> set[tuple[str, str]]:
        """Return the steps, ``(part, step)``, without which these givens still give an answer inside the band.

        A step that changes nothing at all (one more of nothing, a factor of one) is not left out.
        """
        key, found = self.step_key(printed_givens), set()
        names = {name: list(value) if isinstance(value, tuple) else value for name, value in printed_givens.items()}
        for part, whole in self._workings.items():
            done = left_out.after(whole, names)
            for one in self._shortened[part]:
                value = one.value(part.name, names)
                if value is None or math.isclose(value, done[part.name], rel_tol=1e-6):
                    continue
                if part.takes(value, key[part.name]):
                    found.add((part.name, one.step))
            names = done | {name: key[name] for name in key if name not in printed_givens}
        return found

    def spelled(self, printed_givens: Printed) -> dict[str, list[str]]:
        """Return the working of each number in plain arithmetic with these numbers, line by line, by part."""
        key, found = self.step_key(printed_givens), {}
        unit_of = self._given_units | self._answer_units
        names = {name: list(value) if isinstance(value, tuple) else value for name, value in printed_givens.items()}
        for part, whole in self._workings.items():
            found[part.name] = spelled.steps(part.working, names, unit_of)
            names = left_out.after(whole, names) | {name: key[name] for name in key if name not in printed_givens}
        return found

    @cached_property
    def _workings(self) -> dict[Number, CodeType]:
        numbers = (part for part in self.parts if isinstance(part, Number) and part.working)
        return {part: compile(part.working, "<working>", "exec") for part in numbers}

    @cached_property
    def _shortened(self) -> dict[Number, list[left_out.Shortened]]:
        return {part: left_out.shortened(part.working) for part in self._workings}

    def drawn(self, printed_givens: Printed) -> object:
        """Return what one looks at in this exercise, as it is with these givens; None where there is nothing."""
        return self.drawing(self.values(printed_givens)) if self.drawing else None

    def answer_drawn(self, printed_givens: Printed) -> object:
        """Return what the answers come to as a drawing, with these givens; None where there is none."""
        return self.drawing_of_answer(self.values(printed_givens)) if self.drawing_of_answer else None

    def values(self, printed: Printed) -> Values:
        """Return givens as printed, to be read in SI."""
        return Values(printed, self._given_units, self.givens)

    @cached_property
    def _given_units(self) -> dict[str, str]:
        return {name: given.unit for name, given in self.givens.items()}

    def answers(self, printed: Printed) -> Values:
        """Return answers as printed, to be read in SI."""
        return Values(printed, self._answer_units)

    @cached_property
    def _answer_units(self) -> dict[str, str]:
        return {name: unit for part in self.parts for name, unit in part.answer_units.items()}

    def key(self, printed_givens: Printed) -> Printed:
        """Return the right answers to numbers, words, lists and designs, as printed (not rounded)."""
        answers, g, a = self._solved(printed_givens)
        return answers | {
            name: value for part in self.parts if not part.is_step for name, value in part.right_answer(g, a).items()
        }

    def step_key(self, printed_givens: Printed) -> Printed:
        """Return the right answers to the parts that a later part may build on; each number is one of them."""
        return dict(self._solved(printed_givens)[0])

    def solved(self, printed_givens: Printed) -> tuple[Values, Values]:
        """Return the givens and the right answers that a part may build on, both to be read in SI."""
        return self._solved(printed_givens)[1:]

    def _solved(self, printed_givens: Printed) -> tuple[Printed, Values, Values]:
        frozen = ((name, tuple(v) if isinstance(v, list) else v) for name, v in printed_givens.items())
        return _solved(self, tuple(frozen))


@lru_cache(maxsize=512)
def _solved(exercise: Exercise, frozen_givens: tuple[tuple[str, Any], ...]) -> tuple[Printed, Values, Values]:
    """Work an exercise out for some givens. Kept, because each part of a notebook asks for it again."""
    g = exercise.values(dict(frozen_givens))
    answers: Printed = {}
    for part in exercise.parts:
        if part.is_step:
            answers |= part.right_answer(g, exercise.answers(answers))
    return answers, g, exercise.answers(answers)
