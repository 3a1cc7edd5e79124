"""What a topic asks of a learner on paper, line by line, and what a line says that was typed in from there."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from graders import sheets
from graders.cohort import roster
from graders.cohort.entered import Place
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.cohort.roster import Learner
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.questions.parse_answer import Unclear
from graders.questions.parts.base import Field, Part
from workbook import units
from workbook.problems import Problem, meant

BLANK = ("", "-", "–", "—")
"""What is typed for a line that was left blank."""


@dataclass(frozen=True)
class AnswerLine:
    """One line for an answer on a learner's sheet. ``mark`` is its short name there: exercise, part, and choice.

    ``part`` has its words in the order this learner was shown them.
    """

    handed: Handed
    part: Part
    field: Field
    mark: str

    @property
    def place(self) -> Place:
        """Where what was entered is kept."""
        return self.handed.learner, self.handed.topic, self.handed.exercise, self.field.name

    @property
    def head(self) -> str:
        """The line's name in a table: the mark, the answer's name, and its unit.

        The name keeps a spreadsheet from taking the mark for a number or a date.
        """
        unit = units.shown(self.field.unit).strip()
        return f"{self.mark} {self.field.name}" + (f" [{unit}]" if unit else "")

    def understood(self, text: str) -> str:
        """Return how a text is read, or raise Unclear."""
        source, _ = self.part.cell_of({self.field.name: self.part.from_paper(self.field.name, text)})
        return self.part.read_back(source).get(self.field.name, "")


def number(one: Handed) -> str:
    """Return an exercise's number, as its sheets and its notebook bear it.

    >>> from types import SimpleNamespace as Of
    >>> number(Of(notebook="04_bead-lag"))
    '4'
    """
    return one.notebook.partition("_")[0].lstrip("0") or "0"


def parts(one: Handed, exercise: Exercise) -> Iterator[tuple[str, Part]]:
    """Yield the parts of an exercise as a learner is shown them, each with its mark."""
    for place, part in enumerate(exercise.parts, 1):
        yield f"{number(one)}.{place}", part.in_order(one.orders.get(part.name, ()))


def lines_of(one: Handed) -> list[AnswerLine]:
    """Return the lines for answers of one learner's exercise."""
    found = []
    for mark, part in parts(one, sheets.find(one.topic, one.exercise)):
        several = len(part.paper_lines) > 1
        for place, field in enumerate(part.paper_lines):
            found.append(AnswerLine(one, part, field, mark + ("abcdefghijklmnopqrstuvwxyz"[place] if several else "")))
    return found


@dataclass(frozen=True)
class Papers:
    """What a topic asks on paper of everybody who is there: learners, and the exercises of each as they were handed."""

    topic: str
    learners: tuple[Learner, ...]
    handed: dict[str, tuple[Handed, ...]]

    def restricted(self, exercises: Collection[str]) -> "Papers":
        """Return them with these exercises only, or raise Problem for one that nobody was handed."""
        known = {one.exercise for of in self.handed.values() for one in of}
        for exercise in exercises:
            if exercise not in known:
                raise Problem(f"{exercise!r} is no exercise of {self.topic} here.", meant(exercise, known))
        chosen = {learner: tuple(one for one in of if one.exercise in exercises) for learner, of in self.handed.items()}
        return replace(self, handed=chosen)

    def lines(self) -> dict[str, list[AnswerLine]]:
        """Return the lines for answers, by learner."""
        return {learner: [line for one in of for line in lines_of(one)] for learner, of in self.handed.items()}


def papers(cohort: Cohort, topic: str, only: Iterable[str] = ()) -> Papers:
    """Return what a topic asks on paper of those who are there, or of the learners named.

    Raises
    ------
    Problem
        Where nobody has a handout of the topic, for an unknown learner, and for exercises that were asked otherwise.
    """
    record = HandoutRecord(cohort.record)
    if topic not in record.topics:
        raise Problem(f"topic {topic!r} was not handed out to this cohort.", meant(topic, record.topics or {"none"}))
    people = [one for one in roster.read(cohort.roster, may_be_empty=True) if not one.left]
    have = {one.id: record.by_topic(one.id)[topic] for one in people if topic in record.topics_of(one.id)}
    for learner in only:
        if learner not in have:
            raise Problem(f"{learner!r} has no handout of {topic}, or left.", meant(learner, have or {"nobody"}))
    chosen = tuple(one for one in people if one.id in have and (not only or one.id in only))
    for one in (each for learner in chosen for each in have[learner.id]):
        if not editions.asks_as_handed_out(sheets.find(one.topic, one.exercise), one.topic, one.edition):
            raise Problem(
                f"{one.topic}/{one.exercise} was asked otherwise by version {one.version}.",
                "use that version for it, in an environment of its own",
            )
    return Papers(topic, chosen, {learner.id: have[learner.id] for learner in chosen})


def is_blank(text: str) -> bool:
    """Whether a text says that a line was left blank."""
    return text.strip() in BLANK


def why_unclear(line: AnswerLine, text: str) -> str:
    """Say why a text cannot be read as an answer to a line; nothing where it can, or is blank."""
    try:
        if not is_blank(text):
            line.understood(text)
    except Unclear as why:
        return str(why)
    return ""
