"""What every kind of part is: how it is asked, answered, read, judged, carried on and practised.

``expected``, ``value`` of a slip and ``simulate`` take ``(g, a)``: the givens and the earlier answers, both read in SI
(``g.length``), and return SI. ``working`` is the plain arithmetic a learner would write with the numbers as printed.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from graders.questions import parse_answer
from graders.questions.givens import Printed, Values
from graders.questions.parts.figures import shown
from graders.questions.verdicts import Code, Verdict
from workbook import units

if TYPE_CHECKING:  # a kind knows its base, and never the other way round
    from graders.questions.parts.design import Setting
    from graders.questions.parts.number import Number

Filled = Callable[[str], str]
"""Fills the givens into a text of the sheet, as `notebooks.printer.filled` does."""

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


class Field(NamedTuple):
    """A box to type into, or a line of paper: the variable it answers, its words, its unit, and its bounds in words."""

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
        return f"expected {shown(key[self.name])}{self.answer_unit}"

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

    def _share_of_points(self, share: float) -> float:
        return round(self.points * share, 2)
