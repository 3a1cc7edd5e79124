"""What an exercise is: givens, parts, and for each part what is expected, how near, and the typical slips.

``expected``, ``value`` of a slip and ``simulate`` take ``(g, a)``: the givens and the earlier answers, both read in SI
(``g.length``), and return SI. ``working`` is the plain arithmetic a learner would write with the numbers as printed.
"""

import builtins
import hashlib
import json
import keyword
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache

from graders.questions import givens as own
from graders.questions.givens import Given, Values
from workbook import units

NAME = re.compile(r"[a-z][a-z0-9_]*")


@dataclass(frozen=True)
class Tolerance:
    """How near an answer must be: ``relative`` to the value expected, or ``absolute`` in the part's unit."""

    relative: float = 0.0
    absolute: float = 0.0

    def around(self, expected: float, unit: str) -> float:
        """Return the half width allowed around an expected value, in SI."""
        return max(self.relative * abs(expected), units.to_si(self.absolute, unit))


def relative(share: float) -> Tolerance:
    """Return a tolerance of a share of the expected value: ``relative(0.02)`` is 2 %."""
    return Tolerance(relative=share)


def absolute(width: float) -> Tolerance:
    """Return a tolerance of a fixed width in the part's unit."""
    return Tolerance(absolute=width)


@dataclass(frozen=True)
class Slip:
    """A typical wrong number: its name, the value it gives (SI), and the words to say.

    ``worth`` is the share of the points it earns: nothing, unless the sheet says that half the thought was right.
    """

    name: str
    value: Callable
    words: str
    worth: float = 0.0


@dataclass(frozen=True)
class Part:
    """One question of an exercise. ``name`` is the variable the learner assigns, and the grade id."""

    name: str
    ask: str
    points: int = 1
    working: str = ""
    hint: str = ""

    @property
    def answer_names(self) -> tuple[str, ...]:
        """The variables this part asks for."""
        return (self.name,)


@dataclass(frozen=True, kw_only=True)
class Number(Part):
    """A part answered with one number in ``unit``; ``plausible`` is the range, in ``unit``, of any real answer."""

    unit: str
    expected: Callable
    within: Tolerance
    because: str
    plausible: tuple[float, float]
    slips: tuple[Slip, ...] = ()

    def near(self, value: float, expected: float) -> bool:
        """Whether a value lies within the tolerance around an expected one, both in SI."""
        return abs(value - expected) <= self.reach(expected)

    def reach(self, expected: float) -> float:
        """Return how far from an expected value an answer may lie, in SI, with a little for rounding."""
        return self.within.around(expected, self.unit) * (1 + 1e-9)

    def confuses(self, value: float, other: float) -> bool:
        """Whether two values are too near to tell apart safely, rounding included."""
        return abs(value - other) <= 1.05 * self.within.around(value, self.unit)


@dataclass(frozen=True, kw_only=True)
class Choice(Part):
    """A part answered with one word of ``options`` (word -> what it means)."""

    options: dict[str, str]
    expected: Callable
    slips: dict[str, str] = field(default_factory=dict)
    """What to say to a wrong word."""


@dataclass(frozen=True, kw_only=True)
class Several(Part):
    """A part answered with a list of all the words of ``options`` that apply. Wrong words cost what right ones earn."""

    options: dict[str, str]
    expected: Callable
    slips: dict[str, str] = field(default_factory=dict)
    """What to say to a word that does not belong."""


@dataclass(frozen=True, kw_only=True)
class Order(Part):
    """A part answered with the words of ``options`` in a right order.

    ``expected`` returns groups of words: groups follow one another, inside a group any order is right. ``never`` maps
    a pair ``(first, second)`` to what to say, and no points, where the first does not come before the second.
    """

    options: dict[str, str]
    expected: Callable
    never: dict[tuple[str, str], str] = field(default_factory=dict)


@dataclass(frozen=True)
class Setting:
    """One choice of a design part: the variable, its unit and its bounds; ``whole`` for whole numbers."""

    name: str
    words: str
    unit: str
    low: float
    high: float
    whole: bool = False


@dataclass(frozen=True)
class Margin:
    """One limit of a design with its own margin: above zero is inside, within ``guard`` of zero is borderline."""

    limit: str
    value: float
    margin: float
    unit: str
    guard: float = 0.0
    advice: str = ""

    @property
    def held(self) -> bool:
        """Whether the limit is held, counting the guard band as held."""
        return self.margin >= -self.guard

    @property
    def borderline(self) -> bool:
        """Whether the margin is smaller than the guard band, to either side."""
        return abs(self.margin) < self.guard


@dataclass(frozen=True, kw_only=True)
class Design(Part):
    """A part answered with choices, which are simulated and held against limits, each with its own margin.

    ``simulate(g, a, choices)`` gets the choices as printed and returns the margins. All limits held earn all points;
    one missed earns half; more earn nothing. ``example`` returns choices that hold every limit (for the solution).
    """

    settings: tuple[Setting, ...]
    simulate: Callable
    example: Callable

    @property
    def answer_names(self) -> tuple[str, ...]:
        return tuple(setting.name for setting in self.settings)


@dataclass(frozen=True, kw_only=True)
class Written(Part):
    """A part answered in words and marked by hand. ``model`` is what a good answer says, for the instructor."""

    model: str

    @property
    def answer_names(self) -> tuple[str, ...]:
        return ()


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
    givens: dict = field(default_factory=dict)
    earlier: dict = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class Exercise:
    """One exercise: a title people can say, a setup, the givens and the parts that ask about them.

    ``number`` is its number in the topic for ever, which begins its notebook's name: never changed, never used again.
    ``caution`` stands at the head where the work can hurt. ``table`` names the records of readings that are printed as
    one table. ``sound(printed givens)`` refuses draws that would make the exercise degenerate. ``floor`` is the largest
    share of the points that answers without the method may earn.
    """

    id: str
    number: int
    title: str
    setup: str
    givens: dict[str, Given]
    parts: tuple[Part, ...]
    published: tuple[Case, ...] = ()
    caution: str = ""
    table: tuple[str, ...] = ()
    sound: Callable[[dict], bool] = lambda drawn: True
    floor: float = 0.25

    def __post_init__(self):
        names = [*self.givens, *(name for part in self.parts for name in part.answer_names)]
        names += [part.name for part in self.parts if isinstance(part, (Design, Written))]
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

    def worked(self) -> dict:
        """Return the givens of the printed solution, as printed."""
        return own.worked(self.givens)

    def draw(self, secret: bytes, learner: str) -> dict:
        """Return one learner's own givens, as printed: sound, and with every slip told apart."""
        key = own.learner_key(secret, learner, self.id)
        return own.draw(self.givens, key, lambda drawn: self.sound(drawn) and not self.mixed_up(drawn))

    def mixed_up(self, printed_givens: dict) -> list[str]:
        """Say what these givens would hide: a slip on the answer or on another slip, a given on the answer."""
        g, earlier, found = self.values(printed_givens), {}, []
        typed_back = [value for value in printed_givens.values() if isinstance(value, (int, float))] + [0, 1, -1, 100]
        for part in self.parts:
            a = self.answers(earlier)
            if isinstance(part, Number):
                found += _mixed_up_numbers(part, g, a, typed_back)
            earlier |= right_answer(part, g, a)
        return found

    def values(self, printed: dict) -> Values:
        """Return givens as printed, to be read in SI."""
        return Values(printed, self._given_units)

    @cached_property
    def _given_units(self) -> dict[str, str]:
        return {name: given.unit for name, given in self.givens.items()}

    def answers(self, printed: dict) -> Values:
        """Return answers as printed, to be read in SI."""
        return Values(printed, self._answer_units)

    @cached_property
    def _answer_units(self) -> dict[str, str]:
        unit_of = {part.name: part.unit for part in self.parts if isinstance(part, Number)}
        return unit_of | {s.name: s.unit for part in self.parts if isinstance(part, Design) for s in part.settings}

    def key(self, printed_givens: dict) -> dict:
        """Return the right answers to numbers, words, lists and designs, as printed (not rounded)."""
        return dict(self._solved(printed_givens)[0])

    def solved(self, printed_givens: dict) -> tuple[Values, Values]:
        """Return the givens and the right answers, both to be read in SI."""
        return self._solved(printed_givens)[1:]

    def _solved(self, printed_givens: dict) -> tuple[dict, Values, Values]:
        frozen = ((name, tuple(v) if isinstance(v, list) else v) for name, v in printed_givens.items())
        return _solved(self, tuple(frozen))

    def edition(self) -> str:
        """Return a short hash of everything that decides what is asked and what is right for the worked numbers."""
        asked = [self.id, self.setup, [(name, repr_given(given)) for name, given in self.givens.items()]]
        asked += [[part.name, type(part).__name__, part.ask, part.points] for part in self.parts]
        asked.append({name: _rounded(value) for name, value in self.key(self.worked()).items()})
        return hashlib.sha256(json.dumps(asked, sort_keys=True, default=str).encode()).hexdigest()[:12]


@lru_cache(maxsize=512)
def _solved(exercise: Exercise, frozen_givens: tuple) -> tuple[dict, Values, Values]:
    """Work an exercise out for some givens. Kept, because each part of a notebook asks for it again."""
    g, answers = exercise.values(dict(frozen_givens)), {}
    for part in exercise.parts:
        answers |= right_answer(part, g, exercise.answers(answers))
    return answers, g, exercise.answers(answers)


def _mixed_up_numbers(part: Number, g: Values, a: Values, typed_back: list[float]) -> list[str]:
    expected = float(part.expected(g, a))
    wrong = {f"given {value}": units.to_si(value, part.unit) for value in typed_back}
    found = [f"{part.name}: {name} is the answer" for name, value in wrong.items() if part.confuses(expected, value)]
    slips = [(slip.name, float(slip.value(g, a))) for slip in part.slips]
    for index, (name, value) in enumerate(slips):
        if part.confuses(expected, value):
            found.append(f"{part.name}: slip {name!r} is the answer")
        for other, other_value in slips[:index]:
            if part.confuses(value, other_value) or part.confuses(other_value, value):
                found.append(f"{part.name}: slip {name!r} is slip {other!r}")
    return found


def repr_given(given: Given) -> str:
    """Return what decides a given's draws, without the address of a function."""
    return "|".join(str(value) for name, value in vars(given).items() if not callable(value))


def _rounded(value):
    return float(f"{value:.6g}") if isinstance(value, float) else value


def right_answer(part: Part, g: Values, earlier: Values) -> dict:
    """Return the right answer to one part, as the learner would print it, by variable name."""
    if isinstance(part, Number):
        return {part.name: units.from_si(float(part.expected(g, earlier)), part.unit)}
    if isinstance(part, Choice):
        return {part.name: part.expected(g, earlier)}
    if isinstance(part, Several):
        return {part.name: sorted(part.expected(g, earlier))}
    if isinstance(part, Order):
        return {part.name: [word for group in part.expected(g, earlier) for word in group]}
    if isinstance(part, Design):
        return dict(part.example(g, earlier))
    return {}


def order_share(groups, given: list[str]) -> Fraction:
    """Return the share of points for an order: 1 for none of the pairs wrong, 0 for half of them or more.

    >>> order_share([["a"], ["b"], ["c"]], ["a", "c", "b"])
    Fraction(1, 3)
    """
    place = {word: index for index, word in enumerate(given)}
    pairs = [
        (first, second)
        for index, group in enumerate(groups)
        for later in groups[index + 1 :]
        for first in group
        for second in later
    ]
    wrong = sum(place[first] > place[second] for first, second in pairs)
    return max(Fraction(0), 1 - Fraction(2 * wrong, len(pairs)))
