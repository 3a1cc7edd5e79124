"""What a wrong number may be where little of the working was done: a number as it stands, or two put together.

And what a right or nearly right number becomes at the very end: turned round, halved, or in another unit.
"""

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from graders.judging.changes import FAMILIES, SIGN, TURNED, TWO, Vocabulary
from graders.judging.trials import Variant
from graders.questions.parts.figures import is_number
from graders.questions.parts.number import Number
from workbook import units


@dataclass(frozen=True)
class Near:
    """Whether a value is as near to the learner's number as its digits tell, and not right."""

    answer: float
    reach: float
    is_right: Callable[[float], bool]

    def __call__(self, value: float) -> bool:
        within = abs(value - self.answer) <= self.reach * (1 + 1e-9)
        return within and not self.is_right(value)  # this costs, and nearly all are far off


UNIT_SLIPS = {1000.0: "1000", 1e-3: "1000", 1e6: "a million", 1e-6: "a million", 100.0: "100", 0.01: "100"}
"""Factors a number is off by where a unit or per cent is lost, and how to say them."""
TIME_SLIPS = {60.0: "60", 1 / 60: "60", 3600.0: "3600", 1 / 3600: "3600", 24.0: "24", 1 / 24: "24", 365.0: "365"}
TIME_SLIPS |= {1 / 365: "365", 7.0: "7", 1 / 7: "7"}
"""The same where a clock or a calendar is in it."""
OF_TIME = ("time", "rate", "frequency", "flow", "heating rate", "speed")


def of_the_end(right: float, part: Number, lists: Mapping[str, list[Any]]) -> Iterator[Variant]:
    """Yield what may be done to the right number at the very end, and plain means given in its place.

    Parameters
    ----------
    right : float
        What the working gives, in the part's unit.
    part : Number
    lists : mapping from name to list
        The readings that the learner was given.
    """
    whole = [
        ("the sign is turned round", -right, SIGN),
        ("the last quotient is taken the other way round", 1 / right if right else math.nan, TURNED),
        ("the last root is left out", right * right, ""),
        ("a root too many is drawn", math.sqrt(abs(right)), ""),
    ]
    for value in (right, float(f"{right:.4g}")):  # also as it is shown, and then gone on with
        whole.append(("the last step leaves a factor of two too much", 2 * value, TWO))
        whole.append(("the last step leaves a factor of two too little", value / 2, TWO))
    rest = {"%": 100 - right, "1": 1 - right}.get(part.unit)
    if rest is not None:
        whole.append(("the part that is left over is taken for the part asked for", rest, ""))
    if right == int(right):
        one_off = FAMILIES["one off"]
        whole += [("one too few is counted", right - 1, one_off), ("one too many is counted", right + 1, one_off)]
    yield Variant("rounded", "the end result is rounded to 2 figures", float(f"{right:.2g}"))
    for what, value, wide in whole:
        if is_number(value):
            yield Variant("whole", what, value, 1, wide)
    if part.unit == "°C":
        yield Variant("kelvin", "the end result is turned into °F", right * 1.8 + 32, 1)
    if part.unit == "K":
        yield Variant("kelvin", "a difference of temperatures is turned into °F", right * 1.8, 1)
    if _is_of_time(part.unit):
        for factor, told in TIME_SLIPS.items():
            yield Variant("time", f"the last step is off by a factor of {told}: look at its unit", right * factor, 1)
    for name, values in lists.items():
        if values and all(is_number(value) for value in values):
            many = len(values)
            for what, taken in (
                (f"the plain mean of {{{name}}} is taken", sum(values) / many),
                (f"the sum of {{{name}}} is taken", sum(values)),
                (f"the largest of {{{name}}} is taken", max(values)),
                (f"the smallest of {{{name}}} is taken", min(values)),
                (f"the range of {{{name}}} is taken", max(values) - min(values)),
                (f"the root of the mean square of {{{name}}} is taken", math.hypot(*values) / math.sqrt(many)),
            ):
                yield Variant("mean", what, taken, 1)


def as_they_stand(numbers: Mapping[str, float], lists: Mapping[str, list[Any]], words: Vocabulary) -> Iterator[Variant]:
    """Yield every number of the question as it stands: givens and earlier answers, readings, numbers of the text."""
    for name, value in numbers.items():
        yield Variant("as it stands", f"{{{name}}} itself is given", value, -1)
    for name, values in lists.items():
        for value in values:
            if is_number(value):
                yield Variant(
                    "as it stands", f"a reading of {{{name}}} is given as it stands", value, 1, FAMILIES["row"]
                )
    read = {value for values in lists.values() for value in values if is_number(value)}
    for value in (value for value, _ in words.text if value not in read):
        yield Variant("as it stands", "a number of the text is given as it stands", value, 1)


@dataclass(frozen=True)
class Told:
    """One number that may be put together with another: how to say it, its value and its unit.

    One that has no name in the question (``aside``: printed in its text, or on the way of the working) is put together
    with a named one alone, and in no other unit.
    """

    words: str
    value: float
    unit: str = ""
    aside: bool = False


def two_together(numbers: Sequence[Told], unit: str, is_near: Near) -> Iterator[Variant]:
    """Yield the two numbers that one step puts together to a value that is near, in the part's unit or nearly so."""
    lost = (1.0, 100.0, 0.01) if unit == "%" else (1.0, 1e3, 1e-3)
    for one, other in itertools.combinations([number for number in numbers if number.value], 2):
        if one.aside and other.aside:
            continue
        scales = (1.0,) if one.aside or other.aside else lost
        for value, first, how, second in (
            (one.value * other.value, one, "multiplied", other),
            (one.value / other.value, one, "divided", other),
            (other.value / one.value, other, "divided", one),
        ):
            for scale in scales:
                if is_near(value * scale):
                    wide = f"only {one.words} and {other.words} are put together"
                    what = f"only {first.words} is {how} by {second.words}"
                    yield Variant("two numbers", what, value * scale, 2, wide)
        if one.unit == other.unit or unit in (one.unit, other.unit) or {one.unit, other.unit} == {"K", "°C"}:
            yield from _near_sums(one, other, is_near)


def _near_sums(one: Told, other: Told, is_near: Near) -> Iterator[Variant]:
    steps = (
        (one.value - other.value, f"{other.words} is taken away from {one.words}"),
        (other.value - one.value, f"{one.words} is taken away from {other.words}"),
        ((one.value + other.value) / 2, f"the mean of {one.words} and {other.words} is taken"),
        (one.value + other.value, f"{one.words} and {other.words} are added"),
    )
    for value, what in steps[:3] if one.aside or other.aside else steps:
        if is_near(value):
            yield Variant("two numbers", f"only {what}", value, 2)


def rule_of_three(numbers: Sequence[Told], unit: str, is_near: Near) -> Iterator[Variant]:
    """Yield a number scaled in proportion, by a quotient of two others of one unit, that is near."""
    scaled = [number for number in numbers if number.unit == unit]
    for one, other in itertools.permutations([number for number in numbers if number.value], 2):
        if one.unit == other.unit:
            for third in scaled:
                if is_near(third.value * one.value / other.value) and third not in (one, other):
                    wide = f"{third.words} is taken in proportion"
                    what = f"{wide}, {one.words} over {other.words}"
                    yield Variant("in proportion", what, third.value * one.value / other.value, 2, wide)


def a_step_too_many(right: float, numbers: Sequence[Told], unit: str, is_near: Near) -> Iterator[Variant]:
    """Yield the right number taken one step on, with a number of the question, to a value that is near."""
    for number in (number for number in numbers if number.value):
        steps = [(right * number.value, "multiplied by"), (right / number.value, "divided by")]
        if number.unit == unit:
            steps += [(right + number.value, "added to"), (right - number.value, "lessened by")]
        for value, how in steps:
            if is_near(value):
                yield Variant("a step too many", f"the number asked for is then {how} {number.words}", value, 2)
    for one, other in itertools.permutations(numbers, 2):
        if one.unit == other.unit == "°C" and is_near(right * (one.value - other.value)):
            what = f"the number asked for is then multiplied by {one.words} less {other.words}"
            yield Variant("a step too many", what, right * (one.value - other.value), 2)


def with_a_unit_lost(found: Iterable[Variant], part: Number, is_near: Near) -> Iterator[Variant]:
    """Yield the likely slips that give a value that is near where a unit besides is lost."""
    slips = UNIT_SLIPS | (TIME_SLIPS if _is_of_time(part.unit) else {})
    for variant in found:
        for factor, told in slips.items() if variant.rank == 0 else ():
            if is_near(variant.value * factor):
                what = f"{variant.what}, and besides a factor of {told} (a unit, or per cent) is too much or missing"
                yield Variant("slip and unit", what, variant.value * factor, 2)


def _is_of_time(unit: str) -> bool:
    return any(unit in units.FAMILIES[kind] for kind in OF_TIME)
