"""How invented learners answer: each in a way of its own, part by part, the same whenever it is asked for."""

import random
from collections.abc import Iterator
from dataclasses import dataclass

from graders import sheets
from graders.questions.exercise import Exercise
from graders.questions.parts.base import Part
from graders.questions.parts.number import Number
from graders.questions.parts.words import Choice
from graders.questions.parts.written import Written

Answered = Iterator[tuple[str, str]]
"""Part name and what the learner wrote in its answer cell."""


@dataclass(frozen=True)
class Habit:
    """How somebody works: shares of the parts that go wrong in one way or another; the rest is right.

    ``slips`` is a typical slip, ``off`` a number read off wrongly and carried on, ``unread`` something Python cannot
    read, ``empty`` nothing. ``typed`` numbers have no working. ``weak`` is a topic in which all of it happens twice as
    often, and ``stops`` the share of an exercise after which nothing more is written.
    """

    who: str
    slips: float = 0.0
    off: float = 0.0
    unread: float = 0.0
    empty: float = 0.0
    typed: bool = False
    weak: str = ""
    stops: float = 1.0

    def __call__(self, exercise: Exercise, givens: dict) -> Answered:
        """Yield what this learner writes into the answer cells of an exercise."""
        chance = random.Random(f"{self.who} {exercise.id}")  # by name: the same on every machine
        often = 2 if self.weak and exercise.id in self._weak_exercises() else 1
        key, last = exercise.key(givens), round(self.stops * len(exercise.parts))
        for part in exercise.parts[:last]:
            written = self._written(part, exercise, givens, key, chance, often)
            if written:
                yield part.name, written

    def _weak_exercises(self) -> set[str]:
        return {exercise.id for exercise in sheets.exercises(self.weak)}

    def _written(self, part: Part, exercise: Exercise, givens, key, chance: random.Random, often: int) -> str:
        what = chance.random() / often
        for kind in ("empty", "unread", "slips", "off"):
            if what < getattr(self, kind):
                return getattr(self, f"_{kind}")(part, exercise, givens, key, chance)
            what -= getattr(self, kind)
        return right(part, key, self.typed)

    def _empty(self, part, exercise, givens, key, chance) -> str:
        return ""

    def _unread(self, part, exercise, givens, key, chance) -> str:
        if not isinstance(part, Number):
            return self._slips(part, exercise, givens, key, chance)
        value = rounded(key[part.name])
        ways = (f"{part.name} = {value} {part.unit}", f"{part.name} = 12,5", f"{part.name} = ({value}")
        return chance.choice(ways)

    def _slips(self, part, exercise, givens, key, chance) -> str:
        if isinstance(part, Number) and part.slips:
            slip = chance.choice(part.slips)
            value = part.slipped(slip, exercise.values(givens), exercise.answers(key))
            return f"{part.name} = {rounded(value)!r}"
        if isinstance(part, Choice):
            return f"{part.name} = {chance.choice([word for word in part.options if word != key[part.name]])!r}"
        return right(part, key, self.typed) if chance.random() < 0.5 else ""

    def _off(self, part, exercise, givens, key, chance) -> str:
        if not isinstance(part, Number):
            return self._slips(part, exercise, givens, key, chance)
        return f"{right(part, key, False)}\n{part.name} = {part.name} * {chance.choice((0.9, 1.08, 1.12))}"


def right(part: Part, key: dict, typed: bool) -> str:
    """Return a right answer: the working as the solutions print it, or the number alone."""
    if isinstance(part, Written):
        return "I would first look at the board again. (An invented answer.)"
    if isinstance(part, Number) and not typed:
        return part.working.strip()
    return "\n".join(f"{name} = {rounded(key[name])!r}" for name in part.answer_names)


def rounded(value):
    """Return a number as somebody types it, to five figures."""
    return float(f"{value:.5g}") if isinstance(value, float) else value
