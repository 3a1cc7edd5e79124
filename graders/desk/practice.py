"""A practice session: one question at a time with new numbers, hints from the slips, and the working at the end.

Pure of any screen: the terminal and the notebook both drive it.
"""

import ast
import json
import platform
import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from importlib.metadata import version

from graders.desk import scheduling
from graders.desk.checking import printer
from graders.desk.scheduling import Item
from graders.judging.judge import Answers, judge_part
from graders.questions import editions, parse_answer
from graders.questions.parts.base import Part
from graders.questions.parts.figures import is_number
from graders.questions.parts.number import Number
from graders.questions.parts.words import Choice
from graders.questions.verdicts import in_short
from workbook import progress, units
from workbook.topics import by_slug


@dataclass(frozen=True)
class Reply:
    """What is said to one answer. ``counted`` is false where the answer could not be read: it then costs nothing."""

    words: str
    remark: str = ""
    right: bool = False
    counted: bool = True


@dataclass
class Question:
    """One question with its numbers, and how it has gone so far."""

    number: int
    item: Item
    givens: dict
    order: Sequence[str] = ()
    replies: dict[str, Reply] = field(default_factory=dict)
    hints: list[str] = field(default_factory=list)
    grade: str = ""

    @property
    def earlier(self) -> dict[str, object]:
        """The right answers to the parts before this one, in the units they are asked for."""
        key = self.item.exercise.key(self.givens)
        return {name: _rounded(key[name]) for part in self.before for name in part.answer_names if name in key}

    @property
    def part(self) -> Part:
        """What is asked, with its words in this question's order."""
        return self.item.part.in_order(self.order)

    @property
    def before(self) -> list[Part]:
        """The parts before this one."""
        parts = self.item.exercise.parts
        return list(parts[: parts.index(self.item.part)])

    @property
    def setup(self) -> str:
        """Title, caution, setup and table with these numbers, in Markdown, as the exercise prints them."""
        notebook = printer.exercise_notebook(by_slug(self.item.topic), self.item.exercise, self.givens)
        return next(cell["source"] for cell in notebook["cells"] if cell["id"] == "title")

    @property
    def drawing(self):
        """What one looks at, with these numbers; None where there is nothing."""
        return self.item.exercise.drawn(self.givens)

    @property
    def ask(self) -> str:
        """What is known from earlier parts, and what is asked, in Markdown."""
        part, exercise = self.item.part, self.item.exercise
        known = [f"Part {number} gave {_told(one, self.earlier)}." for number, one in enumerate(self.before, 1)]
        question = f"**{printer.filled(part.ask, exercise, self.givens)}**"
        return "\n\n".join([" ".join(known), question] if known else [question])

    @property
    def options(self) -> list[tuple[str, str]]:
        """The words to choose from, each with what it means; none where a number is asked for."""
        return self.part.choices(lambda text: printer.filled(text, self.item.exercise, self.givens))

    @property
    def how(self) -> str:
        """How to answer, in a line."""
        return self.item.part.how

    @property
    def open(self) -> bool:
        """Whether it is neither answered nor shown."""
        return not self.grade


def _told(part: Part, answers: dict) -> str:
    return (
        ", ".join(f"`{name}` = {answers[name]}{part.answer_unit}" for name in part.answer_names if name in answers)
        or "words"
    )


def _rounded(value):
    return float(f"{value:.5g}") if isinstance(value, float) else value


class Session:
    """A round of practice.

    Parameters
    ----------
    topic : str, optional
        Practise this topic only; without, what is due comes first.
    minutes : float, optional
        No new question comes after this time.
    now, draw : callable, optional
        The clock, and what draws the numbers of an exercise.
    """

    def __init__(
        self,
        topic: str | None = None,
        minutes: float | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
        draw: Callable = lambda exercise: exercise.draw(secrets.token_bytes(16), "practice"),
    ):
        self.items, self.now, self.draw = scheduling.items(topic), now, draw
        self.until = now() + timedelta(minutes=minutes) if minutes else None
        self.question: Question | None = None
        self.done: list[Question] = []
        self.said = progress.read().said

    @property
    def time_is_over(self) -> bool:
        """Whether the time asked for has passed. The question that is open may still be answered."""
        return self.until is not None and self.now() >= self.until

    def next(self) -> Question | None:
        """Go on to a new question and return it, or None when the time is over."""
        if self.time_is_over:
            self.question = None
            return None
        after = self.question.item.key if self.question else None
        known = scheduling.cards(progress.read().events)
        item = scheduling.choose(self.items, known, self.now(), after)
        order = item.exercise.orders(secrets.token_bytes(16)).get(item.part.name, ())
        self.question = Question(len(self.done) + 1, item, self.draw(item.exercise), order)
        self.done.append(self.question)
        return self.question

    def answer(self, text: str) -> Reply:
        """Judge an answer to the open question. The same answer again gets the same reply and costs nothing."""
        question = self.question
        try:
            value = question.part.read(text)
        except parse_answer.Unclear as why:
            return Reply("Not read yet", str(why), counted=False)
        same = json.dumps(value, sort_keys=True)
        if same in question.replies:
            return question.replies[same]
        name = question.item.part.name
        verdict = judge_part(question.item.exercise, name, question.givens, Answers({**question.earlier, name: value}))
        right = verdict.points == verdict.out_of
        words = "Right" if right else _capital(in_short(verdict.verdict))
        comma = parse_answer.comma_words(text)
        remark = f"{_capital(comma)}. {verdict.remark}".strip() if comma else verdict.remark
        reply = Reply(words, "" if right else remark, right)
        if question.open:
            question.replies[same] = reply
            if right:
                self._finish("helped" if question.hints or len(question.replies) > 1 else "known")
        return reply

    def hint(self) -> str | None:
        """Return the next hint, or None when there is none left and the working should be shown."""
        question = self.question
        told = {reply.remark for reply in question.replies.values()}
        left = [hint for hint, slip in ladder(question) if hint not in question.hints and slip not in told]
        if not left:
            return None
        question.hints.append(left[0])
        return left[0]

    def working(self) -> list[str]:
        """Return the working with the question's own numbers. Asked for before the answer is right, it ends it."""
        if self.question.open:
            self._finish("shown")
        return worked(self.question)

    def _finish(self, grade: str) -> None:
        question = self.question
        question.grade = grade
        what = {"part": question.item.part.name, "grade": grade}
        event = progress.Event("practice", question.item.topic, question.item.exercise.id, self.now(), what)
        progress.add(event)

    def summary(self) -> str:
        """Say how the session went."""
        count = {grade: sum(question.grade == grade for question in self.done) for grade in scheduling.GRADES}
        if not any(count.values()):
            return "Nothing answered this time."
        words = {"known": "right at once", "helped": "right with help", "shown": "looked up"}
        return ", ".join(f"{number} {words[grade]}" for grade, number in count.items() if number) + "."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def ladder(question: Question) -> list[tuple[str, str]]:
    """Return the hints to a question, in order, each with the slip's words it tells (nothing where it tells none)."""
    part, exercise = question.item.part, question.item.exercise
    hints = part.hints(exercise.values(question.givens), exercise.answers(exercise.key(question.givens)))
    return hints or [("Write down what is given, each number with its unit, and what is asked.", "")]


def worked(question: Question) -> list[str]:
    """Return the lines of the working, each plain assignment followed by what it comes to with these numbers."""
    part, exercise = question.item.part, question.item.exercise
    key = exercise.key(question.givens)
    if isinstance(part, Choice):
        return [f"{part.name} = {key[part.name]!r}", f"{key[part.name]}: {part.options[key[part.name]]}"]
    if not isinstance(part, Number):
        return [f"{part.name} = {key[part.name]!r}"]
    space: dict = {}
    exec(printer.MATH, space)
    space |= {name: list(value) if isinstance(value, tuple) else value for name, value in question.givens.items()}
    for earlier in question.before:
        space |= {name: key[name] for name in earlier.answer_names if name in key}
        _run(earlier.working, space)
    lines = _run(part.working, space)
    return [*lines, f"# {part.name} = {_shown(space[part.name])}{units.shown(part.unit)}"]


def _run(working: str, space: dict) -> list[str]:
    """Run a sheet's working, and return its lines with the numbers they come to."""
    lines = []
    working = working.strip()
    for statement in ast.parse(working).body:
        source = ast.get_source_segment(working, statement)
        exec(compile(ast.Module([statement], []), "<working>", "exec"), space)
        target = statement.targets[0] if isinstance(statement, ast.Assign) else None
        value = space.get(target.id) if isinstance(target, ast.Name) else None
        lines.append(f"{source}   # {_shown(value)}" if is_number(value) else source)
    return lines


def _shown(value: float) -> str:
    return f"{value:.5g}"


def report(question: Question) -> str:
    """Return what to send to whoever keeps the workbook, where a question seems wrong."""
    exercise, part = question.item.exercise, question.item.part
    replies = [f"answered {answer}: {reply.words}. {reply.remark}" for answer, reply in question.replies.items()]
    lines = (
        "This question may be wrong.",
        f"workbook {version('rework-workbook')}, Python {platform.python_version()}, {platform.system()}",
        f"exercise {question.item.topic}/{exercise.id}, part {part.name}, edition {editions.asked(exercise)}",
        f"numbers {json.dumps(question.givens, ensure_ascii=False)}",
        *(replies or ["not answered yet"]),
        "What I think is wrong: ",
    )
    return "\n".join(lines)
