"""Parts answered with words of a list: one of them, several of them, or letters of a drawing."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from graders.questions import parse_answer
from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Field, Filled, Held, Once, Part, Rules
from graders.questions.verdicts import Code, Verdict

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""What words are called on paper, in the order a learner is shown them."""


@dataclass(frozen=True, kw_only=True)
class Worded(Part):
    """A part answered with words of ``options`` (word -> what it means)."""

    options: dict[str, str]
    expected: Callable[[Values, Values], Any]

    asks_for = ""
    """How a notebook asks for the words."""
    paper_asks_for = ""
    """How a sheet of paper asks for the words."""
    stub_words = ""
    """What an answer cell asks for, as it is handed out."""
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

    def carried(self, given: Held, g: Values, a: Values) -> Printed:
        words = words_of(given.get(self.name))
        return {self.name: words} if words is not None and set(words) <= set(self.options) else {}

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

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        answer = words_of(given[self.name])
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
        return self._verdict(self._share_of_points(share), code, remark)


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


def _word(answer: object) -> str | None:
    return answer.strip().lower() if isinstance(answer, str) else None


def words_of(answer: object) -> list[str] | None:
    """Return the words of an answer as they are compared, or None where it is no list of words."""
    if isinstance(answer, (list, tuple)) and all(isinstance(item, str) for item in answer):
        return [item.strip().lower() for item in answer]
    return None


def _typed(text: str) -> str:
    text = text.strip().lower()
    if not text:
        raise parse_answer.Unclear("Nothing is typed yet.")
    return text


def _each_letter(text: str) -> list[str]:
    """Return the letters written one by one, whatever stands between them.

    >>> _each_letter("b, d"), _each_letter("bd"), _each_letter("c > a > b")
    (['b', 'd'], ['b', 'd'], ['c', 'a', 'b'])
    """
    return list(re.sub(r"[\s,;.:>/+)(-]+", "", text))


def _safely_words(expected: Callable[[Values, Values], Any], g: Values, follow: Callable[[], Values]) -> Any:
    """Return the words that follow from the learner's earlier answers, or None where they leave the sheet's range."""
    try:
        return expected(g, follow())
    except (ArithmeticError, ValueError):
        return None


def _told_to(slips: Mapping[str, str]) -> list[tuple[str, str]]:
    return [(f"Whoever answers {word!r} is told: {words}", words) for word, words in slips.items()]
