"""A wrong number names its own slip: the part's working, changed in one place, gives the learner's number.

Hand-written slips come first; this is for a number that none of them explains. It never earns or costs a point, runs
nothing a learner wrote, and stays silent where single changes that say different things give the same number, however
likely each is. What is then still said is what fits all of them: a family's own words, or what is true of the number
however it came about (that it is a given itself, or twice the right one). Two things at once are tried only where no
single change gives the number, and speak only where there is one of them.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from operator import attrgetter
from typing import Any, NamedTuple

from graders.judging import arithmetic, shortcuts
from graders.judging.changes import FAMILIES, TWO, Vocabulary
from graders.judging.shortcuts import Near, Told
from graders.judging.slip_words import bare, with_values
from graders.judging.trials import TrialPlan, Variant, statements
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed
from graders.questions.parts.base import Held
from graders.questions.parts.figures import is_number
from graders.questions.parts.number import Number
from workbook import units

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.IGNORECASE)
TOLD_IN_WORDS = re.compile(r"(?<![\w.])\d+\.?\d*(?![\w.])")
FACTORS = sorted({2, 3, 4, 8} | {times * 10**power for times in (1, 2, 5) for power in range(1, 7)})
"""What a number may be too large or too small by, whatever went wrong: said where several changes give it."""
FAR_FETCHED = 2
"""The rank at which a number needs one explanation alone: what fits all of a family is no longer said for several."""

OF_THE_END = ("stopped", "whole")
ALSO_OF_THE_END = ("left out", "other way round", "one off", "case", "per cent", "as it stands")
"""Families whose change of the last step says what the general words of OF_THE_END say of it, but by name."""
SAID_BY = {"another number": "row", "factor": "left out"}
"""What a family also says, where its own change comes out alike: a number of the text that stands in the table, or a
factor of a thousand that leaves nothing of a value."""


@dataclass(frozen=True)
class NearMiss:
    """What a wrong number may come from: the family of the change, the words to say, and the changed value.

    ``value`` is in the part's unit, as the changed working gives it.
    """

    family: str
    words: str
    value: float


def near_miss(
    exercise: Exercise,
    part: Number,
    givens: Mapping[str, Any],
    earlier: Held,
    answer: float,
    typed: str = "",
) -> NearMiss | None:
    """Return what slip gives a wrong number, or None where none does or where several may that say different things.

    Parameters
    ----------
    exercise, part : Exercise, Number
    givens : mapping
        The record's givens, as printed.
    earlier : mapping
        The learner's answers to earlier parts, as plain values; a part that is not in it is taken as right.
    answer : float
        The wrong number, in the part's unit.
    typed : str
        The number as it was typed, where known: its digits decide how near is near.
    """
    if not is_number(answer) or answer == 0:
        return None
    text = typed if len(typed) < 25 and NUMBER.fullmatch(typed) and float(typed) == answer else f"{answer:.12g}"
    givens = {name: givens[name] for name in exercise.givens}
    before = _before(exercise, part, givens, earlier)
    bands = _Bands(exercise, part, givens, before)
    if bands.hold(answer):
        return None
    tried = _tried(exercise, part, givens, before)
    if not tried.variants:
        return None
    near = _explanations(exercise, part, tried, givens | before, bands, answer, text)
    story = _one_story(near) or _plain_factor(near, tried.right)
    if story is None:
        return None
    what, family, value = story
    for teller in (with_values, bare):
        told = teller(what, exercise, givens, before)
        if not any(bands.hold(float(number)) for number in TOLD_IN_WORDS.findall(told)):
            words = f"Your {_shown(text)} is what comes out when {told}. Look at that step again."
            return NearMiss(family, words, value)
    return None


def _explanations(
    exercise: Exercise,
    part: Number,
    tried: "Tried",
    names: Mapping[str, Any],
    bands: "_Bands",
    answer: float,
    text: str,
) -> list[Variant]:
    """Return the explanations as near as the digits typed tell; where there is none, those by two things at once.

    Three digits typed tell little: where nothing nearer explains them, they are told only if all that does is likely.
    """
    reach, digits = _reach(answer, text)

    is_near = Near(answer, reach, bands.hold)
    near = [variant for variant in tried.variants if is_near(variant.value)]
    near = near or list(_far_fetched(exercise, part, tried, names, is_near))
    plan = _plan(exercise, part.name)
    if not near and plan:
        near = list(shortcuts.a_step_too_many(tried.right, _numbers(plan.words, names), part.unit, is_near))
    if not near and digits == 3:
        is_near = Near(answer, 10 * reach, bands.hold)
        near = [variant for variant in tried.variants if is_near(variant.value)]
        near = near if all(variant.rank <= 0 for variant in near) else []
    return near


def _far_fetched(
    exercise: Exercise, part: Number, tried: "Tried", names: Mapping[str, Any], is_near: Near
) -> Iterator[Variant]:
    """Yield the explanations by two things at once that give a value that is near."""
    plan = _plan(exercise, part.name)
    if plan is None:
        return
    words, numbers = plan.words, _numbers(plan.words, names)
    printed = [Told(f"{value:g}", value, unit, aside=True) for value, unit in words.text]
    yield from shortcuts.with_a_unit_lost(tried.variants, part, is_near)
    yield from shortcuts.rule_of_three([*numbers, *printed], part.unit, is_near)
    pieces = [Told(told, value, aside=True) for told, value in tried.pieces]
    yield from shortcuts.two_together([*numbers, *printed, *pieces], part.unit, is_near)


def _numbers(words: Vocabulary, names: Mapping[str, Any]) -> list[Told]:
    """Return the numbers of the question that have a name, each with its unit."""
    return [Told(f"{{{name}}}", value, words.units.get(name, "")) for name, value in names.items() if is_number(value)]


def _one_story(found: list[Variant]) -> tuple[str, str, float] | None:
    """Return what all explanations say alike, or what fits all of them, with the family and the changed value."""
    told = {variant.family for variant in found}
    found = [one for one in found if SAID_BY.get(one.family) not in told or one.wide == TWO]
    steps = [variant for variant in found if variant.family not in OF_THE_END]
    if any(variant.rank < 0 for variant in found):
        lowest = min(variant.rank for variant in found)
        found = [variant for variant in found if variant.rank == lowest]
    elif len({variant.what for variant in steps}) == 1 and steps[0].family in ALSO_OF_THE_END:
        found = steps
    stories, wide = {variant.what for variant in found}, {variant.wide for variant in found}
    families = " or ".join(dict.fromkeys(variant.family for variant in found))
    if len(stories) == 1:
        return stories.pop(), families, found[0].value
    if len(wide) == 1 and (fits := wide.pop()):
        return fits, families, found[0].value
    if found and found[0].rank < FAR_FETCHED and families in FAMILIES:
        return FAMILIES[families], families, found[0].value
    return None


def _plain_factor(found: list[Variant], right: float) -> tuple[str, str, float] | None:
    """Return what is true of a number however it came about: that a plain factor lies between it and the right one."""
    for variant in found if right else ():
        many = max(abs(variant.value / right), abs(right / variant.value))
        for factor in FACTORS:
            if math.isclose(many, factor, rel_tol=1e-6):
                return f"a factor of {factor:g} is too much or missing on the way", "whole", variant.value
    return None


def _reach(answer: float, text: str) -> tuple[float, int]:
    """Return half a unit of the last digit typed, of the fourth to the fifth, and how many digits were typed.

    >>> _reach(12.34, "12.34"), _reach(12.3, "12.3")
    ((0.005, 4), (0.005, 3))
    """
    digits = len(re.sub(r"e.*|\D", "", text.lower()).lstrip("0"))
    leading = math.floor(math.log10(abs(answer)))
    return 0.5 * 10.0 ** (leading - min(max(digits, 4), 5) + 1), digits


class _Bands:
    """The values that are right, whether the earlier answers are the learner's own or the true ones."""

    def __init__(self, exercise: Exercise, part: Number, givens: Printed, before: Printed):
        g, true = exercise.solved(givens)
        self._part = part
        self._right: list[float] = []
        for answers in (true, exercise.answers(before)):
            try:
                self._right.append(float(part.expected(g, answers)))
            except arithmetic.FAILURES:
                continue

    def hold(self, value: float) -> bool:
        in_si = units.to_si(value, self._part.unit)
        return any(self._part.near(in_si, right) for right in self._right)


def _before(exercise: Exercise, part: Number, givens: Printed, earlier: Held) -> Printed:
    """Return the answers to earlier parts: the learner's own where they are plain, the right ones elsewhere."""
    key = exercise.key(givens)
    before: Printed = {}
    for other in exercise.parts:
        if other.name == part.name:
            break
        for name in other.answer_names:
            own = earlier.get(name)
            plain = is_number(own) if isinstance(key[name], (int, float)) else type(own) is type(key[name])
            before[name] = own if plain else key[name]
    return before


def variants(exercise: Exercise, part: Number, givens: Printed, before: Printed) -> tuple[Variant, ...]:
    """Return what the changes of a part's working give with these givens and earlier answers.

    Nothing where the working is not read here, or where as it stands it does not give what the part expects.
    """
    return _tried(exercise, part, givens, before).variants


def is_tried(exercise: Exercise, part: Number) -> bool:
    """Whether changes of this part's working are tried: it is read, and gives what the part expects."""
    givens = exercise.worked()
    return bool(variants(exercise, part, givens, _before(exercise, part, givens, {})))


Frozen = tuple[tuple[str, Any], ...]
"""Values by name that are compared as one."""


class Tried(NamedTuple):
    """What changes of one part's working give on one learner's numbers, and the pieces of the working as it stands."""

    right: float = math.nan
    variants: tuple[Variant, ...] = ()
    pieces: tuple[tuple[str, float], ...] = ()


def _tried(exercise: Exercise, part: Number, givens: Printed, before: Printed) -> Tried:
    return _tried_on(exercise, part.name, _frozen(givens), _frozen(before))


def _frozen(values: Printed) -> Frozen:
    return tuple((name, tuple(value) if isinstance(value, list) else value) for name, value in values.items())


@lru_cache(maxsize=16)
def _tried_on(exercise: Exercise, name: str, frozen_givens: Frozen, frozen_before: Frozen) -> Tried:
    plan = _plan(exercise, name)
    if plan is None:
        return Tried()
    part, givens, before = plan.part, dict(frozen_givens), dict(frozen_before)
    names = {name: list(value) if isinstance(value, tuple) else value for name, value in (givens | before).items()}
    try:
        outcome = plan.outcome(names, {name: names[name] for name in before})
        expected = float(part.expected(exercise.values(givens), exercise.answers(before)))
        if not part.near(units.to_si(outcome.right, part.unit), expected):
            return Tried()
    except arithmetic.FAILURES:
        return Tried()
    numbers = {name: value for name, value in names.items() if is_number(value)}
    lists = {name: value for name, value in names.items() if isinstance(value, list)}
    also = [*shortcuts.of_the_end(outcome.right, part, lists), *shortcuts.as_they_stand(numbers, lists, plan.words)]
    variants = (*outcome.variants(), *(variant for variant in also if is_number(variant.value)))
    return Tried(outcome.right, variants, tuple(outcome.pieces))


@lru_cache(maxsize=256)  # a plan is some thousand objects that a full pass of the collector looks at
def _plan(exercise: Exercise, name: str) -> TrialPlan | None:
    try:
        part = exercise.part(name)
        return TrialPlan(exercise, part) if isinstance(part, Number) else None
    except (SyntaxError, *arithmetic.FAILURES):
        return None


def forget() -> None:
    """Drop what is kept of workings read and numbers tried: for whoever times them."""
    statements.cache_clear()
    _plan.cache_clear()
    _tried_on.cache_clear()


def _shown(text: str) -> str:
    return text if len(text) < 9 else f"{float(text):.6g}"


@dataclass(frozen=True)
class Unnamed:
    """A near miss without a slip of its own, for an author: ``inside`` where the part's band takes it for right.

    ``rank`` is how far-fetched it is, as in a Variant: the lowest are what people do.
    """

    exercise: str
    part: str
    family: str
    what: str
    value: float
    unit: str
    inside: bool
    rank: int


def unnamed(exercises: Iterable[Exercise]) -> Iterator[Unnamed]:
    """Yield the near misses of worked numbers that no hand-written slip or unit covers, and those inside the band."""
    for exercise in exercises:
        for part in exercise.parts:
            if isinstance(part, Number):
                yield from _unnamed(exercise, part)


def _unnamed(exercise: Exercise, part: Number) -> Iterator[Unnamed]:
    givens = exercise.worked()
    g, true = exercise.solved(givens)
    before = _before(exercise, part, givens, {})
    bands = _Bands(exercise, part, givens, before)
    slips = [float(slip.value(g, true)) for slip in part.slips]
    told = set()
    for variant in sorted(variants(exercise, part, givens, before), key=attrgetter("rank")):
        in_si, shown = units.to_si(variant.value, part.unit), f"{variant.value:.4g}"
        exact = math.isclose(in_si, float(part.expected(g, true)), rel_tol=1e-9)
        if exact or shown in told or any(part.near(in_si, slip) for slip in slips):
            continue
        told.add(shown)
        inside = bands.hold(variant.value)
        if inside and variant.family == "rounded":
            continue  # that is what a band is for
        named = (exercise.id, part.name, variant.family, bare(variant.what))
        yield Unnamed(*named, variant.value, part.unit, inside, variant.rank)


def untried(exercises: Iterable[Exercise]) -> Iterator[tuple[Exercise, Number]]:
    """Yield the parts whose working cannot be tried: it is not read here, or does not give what the part expects."""
    for exercise in exercises:
        for part in exercise.parts:
            if isinstance(part, Number) and not is_tried(exercise, part):
                yield exercise, part
