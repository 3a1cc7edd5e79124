"""The kinds of part. One class a kind: how it is asked, answered, read, judged, carried on and practised.

``expected``, ``value`` of a slip and ``simulate`` take ``(g, a)``: the givens and the earlier answers, both read in SI
(``g.length``), and return SI. ``working`` is the plain arithmetic a learner would write with the numbers as printed.
"""

import math
import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, NamedTuple, Protocol, SupportsFloat, TypeGuard

from graders.questions import parse_answer
from graders.questions.givens import Printed, Values
from graders.questions.verdicts import BY_HAND_FLAG, Code, Margin, Verdict
from workbook import units

PLAIN_NUMBERS = (0, 1, -1, 100)
"""Numbers that anybody may type without any method."""

ONE_NUMBER = re.compile(r"(?<!\w)-?\d[\d.,  ’']*(?: ?[¼-¾⅐-⅞])?|[¼-¾⅐-⅞]")
"""A number as people write it into a sentence."""

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""What words are called on paper, in the order a learner is shown them."""

Filled = Callable[[str], str]
"""Fills the names of givens into a text of the sheet, as `Exercise.filled` does."""

Formula = Callable[[Values, Values], SupportsFloat]
"""What a sheet works out from the givens and the earlier answers, in SI."""

Held = Mapping[str, object]
"""What a learner's names hold, or boxes were typed into: anything at all, until it is looked at."""

Once = Callable[[Callable[..., Any]], Callable[..., Any]]
"""Wraps a function of a sheet so that it works out equal givens and answers once."""


class Rules(Protocol):
    """How somebody without the method answers."""

    def number(self, part: "Number") -> float:
        """Return a number for a part."""

    def setting(self, setting: "Setting") -> float:
        """Return a choice of a design."""

    def word(self, options: dict[str, str]) -> str:
        """Return one word."""

    def words(self, options: dict[str, str]) -> list[str]:
        """Return some words."""


@dataclass(frozen=True)
class Tolerance:
    """How near an answer must be: ``relative`` to the value expected, or ``absolute`` in the part's unit."""

    relative: float = 0.0
    absolute: float = 0.0

    def around(self, expected: float, unit: str) -> float:
        """Return the half width allowed around an expected value, in SI."""
        width: float = units.to_si(self.absolute, unit)
        return max(self.relative * abs(expected), width)

    def words(self, unit: str) -> str:
        """Say how near, as a question does.

        >>> Tolerance(relative=0.02).words("s"), Tolerance(absolute=1).words("%")
        ('2 %', '1 percentage point')
        """
        share = f"{self.relative * 100:g} %" if self.relative else ""
        if share and unit == "%":
            share += " of the value"
        width = f"{self.absolute:g}{units.shown(unit)}" if self.absolute else ""
        if width and unit == "%":
            width = "1 percentage point" if self.absolute == 1 else f"{self.absolute:g} percentage points"
        return " or ".join(text for text in (share, width) if text)


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
    value: Formula
    words: str
    worth: float = 0.0


class Field(NamedTuple):
    """A box that takes a number: the variable it answers, its words, its unit, and its bounds in words."""

    name: str
    words: str
    unit: str
    bounds: str = ""


@dataclass(frozen=True)
class Part:
    """One question of an exercise. ``name`` is the variable the learner assigns, and the grade id.

    What follows is what every kind says of itself; each kind overrides what is its own.
    """

    name: str
    ask: str
    points: int = 1
    working: str = ""
    hint: str = ""

    is_practised = True
    """Whether practice asks it: a part that is answered with one value or a list."""

    kind = ""
    """What a page calls this kind."""

    is_written = False
    """Whether it is answered in a text cell and marked by hand."""

    is_step = True
    """Whether a later part may build on its answer: then the right one is worked out wherever a part is judged."""

    @property
    def answer_names(self) -> tuple[str, ...]:
        """The variables this part asks for."""
        return (self.name,)

    @property
    def answer_units(self) -> dict[str, str]:
        """The unit of each variable that has one."""
        return {}

    @property
    def answer_unit(self) -> str:
        """The unit of the one number asked for, as it follows a number; nothing where there is none."""
        return ""

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        """Return the right answer, as the learner would print it, by variable name."""
        raise NotImplementedError

    def instructions(self, filled: Filled) -> str:
        """Return what is printed under the question: how to answer, in Markdown."""
        raise NotImplementedError

    def stub(self) -> str:
        """Return what the answer cell holds as it is handed out."""
        raise NotImplementedError

    def asks(self) -> list[Any]:
        """Return what is printed of this part besides its question, as plain data: units, words, bounds, tolerance."""
        return []

    def rules(self, g: Values, a: Values) -> list[Any]:
        """Return what decides the points of this part, as plain data, on some givens and right answers."""
        return []

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        """Judge what the learner's names hold.

        Parameters
        ----------
        g, true : Values
            The record's givens, and the right answers to the parts before.
        follow : callable
            Works out the learner's own way on earlier values, where that is asked for.
        given : mapping
            What the learner's names hold; every name of `answer_names` is there.
        """
        raise NotImplementedError

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        """Return the learner's own answer where it can be trusted as a step to the next part, or nothing."""
        return {}

    def in_order(self, words: Sequence[str]) -> "Part":
        """Return the part with its words shown in this order; as the sheet has them where these are not its words."""
        return self

    def solution(self, answers: Mapping[str, Any]) -> str:
        """Return the lines of the answer cell in the printed solution. ``answers`` are this part's right ones."""
        return self.working.strip() or "\n".join(f"{name} = {value!r}" for name, value in answers.items())

    def working_in(self, key: Mapping[str, Any]) -> str:
        """Return the working with its answer in one learner's numbers, for feedback."""
        return f"{self.name} = {key[self.name]!r}"

    def expected_in(self, key: Mapping[str, Any]) -> str:
        """Say what was expected, for the instructor."""
        return f"expected {_shown(key[self.name])}{self.answer_unit}"

    def choices(self, filled: Filled) -> list[tuple[str, str]]:
        """Return the words to choose from, each with what it means."""
        return []

    @property
    def fields(self) -> tuple[Field, ...]:
        """The boxes for numbers that an exercise's page shows."""
        return ()

    def cell_of(self, typed: Held) -> tuple[str, dict[str, str]]:
        """Return the answer cell's text for what was typed in its boxes, and what to say of a box that is unclear.

        A box that is empty or unclear stays as it was handed out.
        """
        lines, said = self.stub().split("\n"), {}
        for index, name in enumerate(self.answer_names):
            text = str(typed.get(name, ""))
            if text.strip():
                try:
                    lines[index] = lines[index].replace("...", parse_answer.as_python(text, self.answer_units[name]), 1)
                except parse_answer.Unclear as why:
                    said[name] = str(why)
        return "\n".join(lines) + "\n", said

    def read_back(self, source: str) -> dict[str, str]:
        """Return what the boxes of an answer cell were understood as, each with its unit; those left open not."""
        units_of = self.answer_units
        return {
            name: f"{line.split('=', 1)[1].split('#')[0].strip()}{units.shown(units_of.get(name, '1'))}"
            for line, name in zip(source.splitlines(), self.answer_names, strict=False)
            if name in units_of and "..." not in line
        }

    @property
    def paper_lines(self) -> tuple[Field, ...]:
        """The lines that a sheet of paper has for answers; none where paper cannot ask it."""
        return self.fields

    def on_paper(self, filled: Filled) -> str:
        """Return what is printed under the question on a sheet of paper: how to answer, in Markdown."""
        return self.instructions(filled)

    def from_paper(self, name: str, text: str) -> Any:
        """Return what stood on a line of paper as `cell_of` takes it from a box, or raise Unclear."""
        parse_answer.as_python(text, self.answer_units[name])
        return text

    def key_line(self, g: Values, a: Values) -> str:
        """Return the right answer as it stands on the instructor's key, with its band."""
        raise NotImplementedError

    def wrong_form(self, answer: str) -> str:
        """Say what is wrong with the form of an answer that Python cannot take; nothing where it is not the form."""
        return ""

    def meant(self, answer: str) -> str:
        """Return the answer that a text seems to mean, as it should stand in the cell; nothing where none is seen."""
        return ""

    def guessed(self, rules: Rules) -> Printed:
        """Return what somebody without the method answers, by `floor`'s rules for a number, a setting and a word."""
        raise NotImplementedError

    def plain_guesses(self, numbers: Mapping[str, float]) -> dict[str, Printed]:
        """Return further answers without the method, by their names: numbers found in the text, and the bounds."""
        return {}

    def chances(self) -> list[list[Printed]]:
        """Return the ways to answer by chance, each as its equally likely answers; none for what is no such matter."""
        return []

    def remembering(self, once: Once) -> "Part":
        """Return the part with its functions of the givens and earlier answers wrapped."""
        return self

    @property
    def layout(self) -> dict[str, Any]:
        """What else an exercise's page needs to lay out its box, as plain data."""
        return {}

    @property
    def how(self) -> str:
        """How to answer in practice, in a line."""
        return ""

    def read(self, text: str) -> Any:
        """Return what was typed in practice as the value the part asks for, or raise Unclear."""
        raise NotImplementedError

    def hints(self, g: Values, a: Values) -> list[tuple[str, str]]:
        """Return the hints of the sheet, each with the slip's words it tells (nothing where it tells none)."""
        return [(self.hint, "")] if self.hint else []

    def _verdict(self, points: float, code: Code, remark: str, flag: str = "") -> Verdict:
        return Verdict(self.name, points, self.points, code, remark, flag)

    def _right(self) -> Verdict:
        return self._verdict(float(self.points), Code.RIGHT, "Right.")

    def _follows(self, remark: str = "It follows from your earlier answer as it stands.") -> Verdict:
        return self._verdict(float(self.points), Code.CARRIED_THROUGH, remark)


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


@dataclass(frozen=True, kw_only=True)
class Worded(Part):
    """A part answered with words of ``options`` (word -> what it means)."""

    options: dict[str, str]
    expected: Callable[[Values, Values], Any]

    asks_for = ""
    """How a notebook asks for the words."""
    stub_words = ""
    is_shuffled = True
    """Whether each learner is shown the words in an order of their own."""

    def asks(self) -> list[Any]:
        return sorted(map(list, self.options.items()))

    def instructions(self, filled: Filled) -> str:
        words = [f"- `'{word}'`: {meaning}" for word, meaning in self.choices(filled)]
        return "\n".join([self.asks_for, "", *words])

    def stub(self) -> str:
        return f"{self.name} = ...   # {self.stub_words}"

    def choices(self, filled: Filled) -> list[tuple[str, str]]:
        return [(word, filled(meaning)) for word, meaning in self.options.items()]

    def in_order(self, words: Sequence[str]) -> "Worded":
        if sorted(words) != sorted(self.options):
            return self
        return replace(self, options={word: self.options[word] for word in words})

    def cell_of(self, typed: Held) -> tuple[str, dict[str, str]]:
        words = typed.get(self.name) or None
        return (f"{self.name} = {words!r}" if words and self.takes_words(words) else f"{self.stub()}\n"), {}

    def read_back(self, source: str) -> dict[str, str]:
        return {} if "..." in source else {self.name: source.split("=", 1)[1].strip()}

    paper_asks_for = ""
    """How a sheet of paper asks for the words."""

    @property
    def letters(self) -> dict[str, str]:
        """The letter of each word on paper, as a learner is shown them."""
        return dict(zip(LETTERS, self.options, strict=False))

    @property
    def paper_lines(self) -> tuple[Field, ...]:
        return (Field(self.name, self.paper_asks_for, "1"),)

    def on_paper(self, filled: Filled) -> str:
        meaning = dict(self.choices(filled))
        words = [f"- **{letter}** {word}: {meaning[word]}" for letter, word in self.letters.items()]
        return "\n".join([f"{self.paper_asks_for}.", "", *words])

    def from_paper(self, name: str, text: str) -> Any:
        """Return the words whose letters were written, ``B D`` or ``bd``; the words themselves are taken too."""
        plain = _typed(text.strip().strip(parse_answer.QUOTES))
        pieces = [piece.strip() for piece in re.split("[,;]", plain)]
        words = pieces if set(pieces) <= set(self.options) else [self._lettered(one) for one in _each_letter(plain)]
        twice = next((word for word in words if words.count(word) > 1), None)
        if twice:
            raise parse_answer.Unclear(f"{self._letter_of(twice)} stands there twice.")
        return words

    def _lettered(self, letter: str) -> str:
        by_letter = {one.lower(): word for one, word in self.letters.items()}
        if letter not in by_letter:
            first, *_, last = self.letters
            raise parse_answer.Unclear(f"{letter} is none of the letters {first} to {last}.")
        return by_letter[letter]

    def _letter_of(self, word: str) -> str:
        return next(letter for letter, one in self.letters.items() if one == word)

    def key_line(self, g: Values, a: Values) -> str:
        right = self.right_answer(g, a)[self.name]
        return "; ".join(self._with_letter(word) for word in ([right] if isinstance(right, str) else right))

    def _with_letter(self, word: str) -> str:
        letter = self._letter_of(word)
        return letter if letter == word else f"{letter} {word}"

    def meant(self, answer: str) -> str:
        return "['first word', 'second word']"

    def guessed(self, rules: Rules) -> Printed:
        return {self.name: list(self.options)}

    def chances(self) -> list[list[Printed]]:
        words = sorted(self.options)
        return [[{self.name: words}, {self.name: words[::-1]}]]

    def remembering(self, once: Once) -> "Worded":
        return replace(self, expected=once(self.expected))

    def takes_words(self, words: object) -> bool:
        """Whether something is an answer in this kind's own form: words of the list, or all of them."""
        return isinstance(words, list) and all(isinstance(word, str) and word in self.options for word in words)

    def read(self, text: str) -> Any:
        """Return the words typed. They may be given by their place in the list: ``1 3`` is the first and the third."""
        text = _typed(text)
        if re.fullmatch(r"[\d\s,;]+", text):
            return [self._word(number) for number in re.findall(r"\d+", text)]
        return [self._word(word.strip()) for word in re.split("[,;]", text) if word.strip()]

    def _word(self, text: str) -> str:
        text, words = text.strip("'\""), list(self.options)
        if text in words:
            return text
        if text.isdecimal() and 1 <= int(text) <= len(words):
            return words[int(text) - 1]
        raise parse_answer.Unclear(f"{text} is none of the words. Type a word of the list, or its number.")

    def _use_the_words(self) -> str:
        """Name the words by the alphabet: the sheet's own order may have the right one first."""
        return f"Use the words of the list, in quotes: {', '.join(repr(word) for word in sorted(self.options))}."


@dataclass(frozen=True, kw_only=True)
class Choice(Worded):
    """A part answered with one word of ``options``. ``slips`` holds what to say to a wrong word."""

    slips: dict[str, str] = field(default_factory=dict)

    kind = "choice"
    asks_for = "Answer with one of these words, in quotes:"
    paper_asks_for = "Write the letter of one answer"
    stub_words = "one of the words"
    how = "Choose one."

    def from_paper(self, name: str, text: str) -> Any:
        words = super().from_paper(name, text)
        if len(words) != 1:
            raise parse_answer.Unclear("One letter is asked for, and more are there.")
        return words[0]

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: self.expected(g, earlier)}

    def takes_words(self, words: object) -> bool:
        return isinstance(words, str) and words in self.options

    def meant(self, answer: str) -> str:
        words = [word for word in self.options if word == answer.strip("'\"‘’“” ").lower()]
        return repr(words[0]) if words else "'one of the words'"

    def guessed(self, rules: Rules) -> Printed:
        return {self.name: rules.word(self.options)}

    def chances(self) -> list[list[Printed]]:
        return [[{self.name: word} for word in sorted(self.options)]]

    def read(self, text: str) -> str:
        return self._word(_typed(text))

    def hints(self, g: Values, a: Values) -> list[tuple[str, str]]:
        return super().hints(g, a) + _told_to(self.slips)

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        word = _word(given.get(self.name))
        return {self.name: word} if word in self.options else {}

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        answer = _word(given[self.name])
        if answer not in self.options:
            return self._verdict(0.0, Code.NEEDS_A_LOOK, self._use_the_words(), "not one of the words")
        if answer == self.expected(g, true):
            return self._right()
        if answer == _safely_words(self.expected, g, follow):
            return self._follows()
        if answer in self.slips:
            return self._verdict(0.0, Code.SLIP, self.slips[answer], answer)
        return self._verdict(0.0, Code.NOT_RIGHT, self.hint or "Not this one. Read the question once more.")


@dataclass(frozen=True, kw_only=True)
class Several(Worded):
    """A part answered with a list of all the words of ``options`` that apply. Wrong words cost what right ones earn.

    ``slips`` holds what to say to a word that does not belong.
    """

    slips: dict[str, str] = field(default_factory=dict)

    kind = "several"
    asks_for = "Answer with a list of all that apply, each in quotes:"
    paper_asks_for = "Write the letters of all that apply"
    stub_words = "a list of the words that apply"
    how = "Choose all that apply."

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: sorted(self.expected(g, earlier))}

    def guessed(self, rules: Rules) -> Printed:
        return {self.name: rules.words(self.options)}

    def chances(self) -> list[list[Printed]]:
        return [*super().chances(), [{self.name: [word]} for word in sorted(self.options)]]

    def hints(self, g: Values, a: Values) -> list[tuple[str, str]]:
        return super().hints(g, a) + _told_to(self.slips)

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        return _carried_words(self, given)

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        answer = _words(given[self.name])
        if answer is None or not set(answer) <= set(self.options):
            remark = "Give a list. " + self._use_the_words()
            return self._verdict(0.0, Code.NEEDS_A_LOOK, remark, "not the words asked for")
        right = set(self.expected(g, true))
        if set(answer) == right:
            return self._right()
        followed = _safely_words(self.expected, g, follow)
        if followed is not None and set(answer) == set(followed):
            return self._follows()
        hits, wrong = set(answer) & right, set(answer) - right
        share = max(0, len(hits) - len(wrong)) / len(right)
        words = [self.slips[word] for word in self.options if word in wrong and word in self.slips]
        remark = " ".join([f"{len(hits)} of {len(answer)} belong; {len(right)} do in all.", *words])
        code = Code.PARTLY if share else Code.SLIP if words else Code.NOT_RIGHT
        return self._verdict(_to_hundredths(self.points * share), code, remark)


@dataclass(frozen=True, kw_only=True)
class Pointing(Several):
    """A part answered by pointing: with the letters of all the regions of the exercise's drawing that belong.

    ``options`` maps each letter to where it stands, and no more: what is seen there is drawn with the givens, and said
    in the drawing's own words for whoever cannot see it. Letters keep their order; nothing can be copied from it,
    because which of them belong is drawn for each learner.
    """

    asks_for = "Answer with a list of the letters of all that apply, each in quotes:"
    paper_asks_for = "Write the letters, as they stand in the drawing, of all that apply"
    stub_words = "a list of letters"
    how = "Point at all that apply, or choose their letters."
    is_shuffled = False

    @property
    def letters(self) -> dict[str, str]:
        return {letter: letter for letter in self.options}

    def on_paper(self, filled: Filled) -> str:
        return f"{self.paper_asks_for}."


@dataclass(frozen=True, kw_only=True)
class Order(Worded):
    """A part answered with the words of ``options`` in a right order.

    ``expected`` returns groups of words: groups follow one another, inside a group any order is right. ``never`` maps
    a pair ``(first, second)`` to what to say, and no points, where the first does not come before the second.
    """

    never: dict[tuple[str, str], str] = field(default_factory=dict)

    kind = "order"
    asks_for = "Answer with a list of all these words in order, each in quotes:"
    paper_asks_for = "Write all the letters in order, the first step first"
    stub_words = "a list of the words in order"
    how = "Put all of them in order: type their numbers, such as 2 1 3."

    def from_paper(self, name: str, text: str) -> Any:
        words = super().from_paper(name, text)
        missing = [letter for letter, word in self.letters.items() if word not in words]
        if missing:
            raise parse_answer.Unclear(f"All letters are asked for in order; {', '.join(missing)} is missing.")
        return words

    def key_line(self, g: Values, a: Values) -> str:
        groups = (" or ".join(map(self._with_letter, group)) for group in self.expected(g, a))
        return "; then ".join(groups)

    def takes_words(self, words: object) -> bool:
        return isinstance(words, list) and super().takes_words(words) and sorted(words) == sorted(self.options)

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: [word for group in self.expected(g, earlier) for word in group]}

    def hints(self, g: Values, a: Values) -> list[tuple[str, str]]:
        return super().hints(g, a) + [(words, words) for words in self.never.values()]

    def rules(self, g: Values, a: Values) -> list[Any]:
        return [[sorted(group) for group in self.expected(g, a)], sorted(map(list, self.never))]

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        return _carried_words(self, given)

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        answer = _words(given[self.name])
        if answer is None or sorted(answer) != sorted(self.options):
            remark = "Give a list with every word once. " + self._use_the_words()
            return self._verdict(0.0, Code.NEEDS_A_LOOK, remark, "not the words asked for")
        for (first, second), words in self.never.items():
            if answer.index(first) > answer.index(second):
                return self._verdict(0.0, Code.SLIP, words, f"{second} before {first}")
        share = float(order_share(self.expected(g, true), answer))
        if share == 1:
            return self._right()
        usual = "Some steps come too early or too late. For each one ask: what must be done before it?"
        code = Code.PARTLY if share else Code.NOT_RIGHT
        return self._verdict(_to_hundredths(self.points * share), code, self.hint or usual)


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


MISSED_BY_A_HAIR = 0.5
"""What a limit missed by next to nothing counts for in a design, where one that is held counts 1."""

FAR = 10
"""How many guard bands from holding a missed limit counts for nothing."""


def _nearness(margin: Margin) -> float:
    """Return what one limit counts for: 1 where it is held, less the further it is missed, 0 where that is far."""
    if margin.held:
        return 1.0
    miss = -margin.margin
    return MISSED_BY_A_HAIR * (1 - miss / (FAR * margin.guard)) if miss < FAR * margin.guard else 0.0


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
        choice = ", ".join(f"{name} = {_shown(key[name])}" for name in self.answer_names)
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
        points = _to_hundredths(self.points * self._share(margins))
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


class Worked(NamedTuple):
    """What became of a way of working: the share of the points, what is said of it, what was missed, the margins."""

    share: float
    remark: str
    missed: tuple[str, ...] = ()
    margins: tuple[Margin, ...] = ()


class Unplayable(ValueError):
    """A list of acts that cannot be played; its text says where and why."""


@dataclass(frozen=True, kw_only=True)
class Acts(Part):
    """A part answered with a list of acts in one's own order, which are played anew where they are judged.

    ``vocabulary`` maps each act to what it is, ``groups`` sorts them under headings, ``numbers`` has for some the
    numbers that follow their words, each one of a few. ``work(g, acts)`` plays acts on the record's givens and returns
    a `Worked`, or raises `Unplayable`. ``told(g, acts)`` returns what a page shows of a way so far, as plain data.
    ``example`` returns acts that earn everything.
    """

    vocabulary: dict[str, str]
    groups: dict[str, tuple[str, ...]]
    numbers: dict[str, tuple[tuple[int, ...], ...]]
    work: Callable[[Values, list[str]], Worked]
    told: Callable[[Values, list[str]], Any]
    example: Callable[[Values, Values], Iterable[str]]

    kind = "acts"
    is_practised = False
    is_step = False

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: list(self.example(g, earlier))}

    def instructions(self, filled: Filled) -> str:
        acts = [f"- `{word}`: {meaning}" for word, meaning in self.vocabulary.items()]
        word, ways = next(iter(self.numbers.items()), (next(iter(self.vocabulary)), ()))
        such = " ".join([word, *(str(one[0]) for one in ways)])
        asked = (
            "Answer with a list of acts in the order you do them, each in quotes; numbers stand behind the words, "
            f"as in `{such!r}`. The acts:"
        )
        return "\n".join([asked, "", *acts])

    def stub(self) -> str:
        return f"{self.name} = ...   # a list of acts"

    def on_paper(self, filled: Filled) -> str:
        return "This part is not on paper: each act tells what to do next, so it is worked at a computer."

    def key_line(self, g: Values, a: Values) -> str:
        return "not on paper"

    def asks(self) -> list[Any]:
        return [[word, meaning] for word, meaning in self.vocabulary.items()]

    def choices(self, filled: Filled) -> list[tuple[str, str]]:
        return [(word, filled(meaning)) for word, meaning in self.vocabulary.items()]

    @property
    def layout(self) -> dict[str, Any]:
        return {"groups": self.groups, "numbers": self.numbers}

    def cell_of(self, typed: Held) -> tuple[str, dict[str, str]]:
        acts = typed.get(self.name) or None
        return (f"{self.name} = {acts!r}" if acts and self.takes_words(acts) else f"{self.stub()}\n"), {}

    def guessed(self, rules: Rules) -> Printed:
        return {self.name: list(self.vocabulary)}  # all that take no number, in the order they are printed

    def remembering(self, once: Once) -> "Acts":
        return replace(self, example=once(self.example))

    def takes_words(self, acts: object) -> TypeGuard[list[str]]:
        """Whether something is a list of acts in this kind's own form; whether they can be played is another matter."""
        return isinstance(acts, list) and all(isinstance(act, str) for act in acts)

    def rules(self, g: Values, a: Values) -> list[Any]:
        worked = self.work(g, list(self.example(g, a)))
        return [round(worked.share, 6), [[one.limit, one.unit, one.guard] for one in worked.margins]]

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        acts = given[self.name]
        acts = list(acts) if isinstance(acts, tuple) else acts
        if not self.takes_words(acts):
            return self._verdict(0.0, Code.NEEDS_A_LOOK, "Give a list of acts, each in quotes.", "not a list of acts")
        try:
            worked = self.work(g, acts)
        except Unplayable as why:
            return self._verdict(0.0, Code.NOT_RIGHT, f"{why} Nothing was played.", "not played")
        points = _to_hundredths(self.points * worked.share)
        code = Code.RIGHT if worked.share == 1 else Code.PARTLY if points else Code.NOT_RIGHT
        flag = MISSED + "; ".join(worked.missed) if worked.missed else ""
        return Verdict(self.name, float(points), self.points, code, worked.remark, flag, worked.margins)


MISSED = "missed: "
"""How the flag of a part answered with acts begins, before the names of what was missed."""


@dataclass(frozen=True, kw_only=True)
class Written(Part):
    """A part answered in words and marked by hand. ``model`` is what a good answer says, for the instructor."""

    model: str

    kind = "written"
    is_practised = False
    is_written = True

    @property
    def answer_names(self) -> tuple[str, ...]:
        return ()

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {}

    def instructions(self, filled: Filled) -> str:
        return "Answer in a few sentences. Your instructor reads this one."

    def stub(self) -> str:
        return TEXT_STUB

    def cell_of(self, typed: Held) -> tuple[str, dict[str, str]]:
        return str(typed.get(self.name, "")).strip() or TEXT_STUB, {}

    @property
    def paper_lines(self) -> tuple[Field, ...]:
        return (Field(self.name, "Your words", "1"),)

    def from_paper(self, name: str, text: str) -> str:
        return text.strip()

    def read_back(self, source: str) -> dict[str, str]:
        return {} if source == TEXT_STUB else {self.name: source}

    def key_line(self, g: Values, a: Values) -> str:
        return "in words"

    def solution(self, answers: Mapping[str, Any]) -> str:
        return self.model

    def working_in(self, key: Mapping[str, Any]) -> str:
        return ""

    def expected_in(self, key: Mapping[str, Any]) -> str:
        return f"a good answer says: {self.model}"

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        return self._verdict(0.0, Code.BY_HAND, "Your instructor reads this answer.", BY_HAND_FLAG)


TEXT_STUB = "Write your answer here."
"""What the cell of an answer in words holds as it is handed out; nbgrader's settings of every cohort name it too."""


def is_number(value: object) -> TypeGuard[float]:
    """Whether an answer is one finite number of a size that arithmetic can bear."""
    return (
        isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300 and math.isfinite(value)
    )


def number_text(value: Any) -> str:
    """Return a number, or a list of them, as it stands in a text.

    >>> number_text(0.35), number_text(1.7241e-8), number_text(120000)
    ('0.35', '1.7241 × 10⁻⁸', '120 000')
    """
    if isinstance(value, (list, tuple)):
        return ", ".join(number_text(item) for item in value)
    if isinstance(value, str):
        return value
    if value != 0 and not 1e-4 <= abs(value) < 1e7:
        digits, power = f"{value:.10e}".split("e")
        raised = str(int(power)).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
        return f"{digits.rstrip('0').rstrip('.')} × 10{raised}"
    if isinstance(value, int) and abs(value) >= 10000:
        return f"{value:,}".replace(",", " ")
    return repr(value)


def order_share(groups: Sequence[Collection[str]], given: list[str]) -> Fraction:
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


def _safely(function: Formula, g: Values, a: Values) -> float | None:
    """Return a value of the sheet, or None where the earlier answer it was given leaves the formula's range."""
    try:
        value = float(function(g, a))
    except (ArithmeticError, ValueError):
        return None
    return value if math.isfinite(value) else None


def _safely_words(expected: Callable[[Values, Values], Any], g: Values, follow: Callable[[], Values]) -> Any:
    """Return the words that follow from the learner's earlier answers, or None where they leave the sheet's range."""
    try:
        return expected(g, follow())
    except (ArithmeticError, ValueError):
        return None


def _carried_words(part: Worded, given: Held) -> Printed:
    words = _words(given.get(part.name))
    return {part.name: words} if words is not None and set(words) <= set(part.options) else {}


def _told_to(slips: Mapping[str, str]) -> list[tuple[str, str]]:
    return [(f"Whoever answers {word!r} is told: {words}", words) for word, words in slips.items()]


def _each_letter(text: str) -> list[str]:
    """Return the letters written one by one, whatever stands between them.

    >>> _each_letter("b, d"), _each_letter("bd"), _each_letter("c > a > b")
    (['b', 'd'], ['b', 'd'], ['c', 'a', 'b'])
    """
    return list(re.sub(r"[\s,;.:>/+)(-]+", "", text))


def _typed(text: str) -> str:
    text = text.strip().lower()
    if not text:
        raise parse_answer.Unclear("Nothing is typed yet.")
    return text


def _word(answer: object) -> str | None:
    return answer.strip().lower() if isinstance(answer, str) else None


def _words(answer: object) -> list[str] | None:
    if isinstance(answer, (list, tuple)) and all(isinstance(item, str) for item in answer):
        return [item.strip().lower() for item in answer]
    return None


def _to_hundredths(points: float) -> float:
    return round(points, 2)


def _shown(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.5g}"
    return ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)
