"""What was answered in words: each question with its answers, in an order that tells nobody's name, and their marks."""

import hashlib
import hmac
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from graders import gradebook, sheets
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.gradebook import hand_copy, manual_marks
from graders.gradebook.manual_marks import ManualMark
from graders.judging.marks import Row
from graders.marking.journal import Journal
from graders.notebooks import submission
from graders.notebooks.printer import filled, setup_text
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.questions.parts.written import Written
from graders.questions.verdicts import Code
from graders.report.pages import answers_written
from workbook.topics import TOPICS

LONGEST_COMMENT = 4000
LONGEST_OTHER = 300
"""Letters of another answer that are shown beside."""
SHORT = 12
"""Bytes of what an answer is called on a page."""


@dataclass(frozen=True)
class Question:
    """A part that is answered in words."""

    topic: str
    exercise: Exercise
    part: Written

    @property
    def place(self) -> str:
        """Where its page is."""
        return f"{self.topic}/{self.exercise.id}/{self.part.name}"


@dataclass(frozen=True)
class Answer:
    """One learner's answer. ``id`` is what a page calls it; ``digest`` says which text a mark is given for.

    ``others`` are the learner's other answers in the exercise, each with what the judge gave: words may build on them.
    ``score`` is None where it has no mark; ``asked`` says that the mark was given for an older answer.
    """

    id: str
    handed: Handed
    text: str
    digest: str
    others: tuple[str, ...] = ()
    score: float | None = None
    comment: str = ""
    asked: bool = False

    @property
    def points(self) -> str:
        """The points as somebody types them; nothing where there are none."""
        return "" if self.score is None else f"{self.score:.12g}"

    @property
    def is_marked(self) -> bool:
        """Whether nobody has to look at it any more."""
        return self.score is not None and not self.asked


@dataclass(frozen=True)
class QuestionAnswers:
    """All answers to a question, how many left it empty, and how many were asked otherwise by another version."""

    question: Question
    given: tuple[Answer, ...]
    empty: int
    otherwise: int = 0

    @property
    def seen(self) -> int:
        """How many are marked."""
        return sum(answer.is_marked for answer in self.given)

    def bank(self) -> list[str]:
        """Return the comments given to this question so far, the most used first."""
        used = Counter(answer.comment for answer in self.given if answer.comment)
        return [comment for comment, _ in sorted(used.items(), key=lambda one: (-one[1], one[0]))]

    def asks(self) -> str:
        """Return the question in Markdown; where it holds own numbers, in those of the worked solution."""
        exercise = self.question.exercise
        return filled(self.question.part.ask, exercise, exercise.worked())


class NotSaved(Exception):
    """A mark that was not written, in a sentence. ``now`` is the answer as it stands, where that is why."""

    def __init__(self, why: str, now: Answer | None = None):
        super().__init__(why)
        self.now = now


def questions(cohort: Cohort) -> list[Question]:
    """Return the parts answered in words that were handed out, in teaching order."""
    handed = {(topic, exercise) for topic, exercise, *_ in HandoutRecord(cohort.record).editions}
    return [
        Question(topic.slug, exercise, part)
        for topic in TOPICS
        for exercise in sheets.exercises(topic.slug)
        for part in exercise.parts
        if isinstance(part, Written) and (topic.slug, exercise.id) in handed
    ]


def answers(cohort: Cohort, question: Question) -> QuestionAnswers:
    """Return what was answered to a question and marked by the judge as waiting for a person.

    The order is drawn from the cohort's secret, another for each question: it tells nothing of the list of learners.
    """
    record, marked, marks = HandoutRecord(cohort.record), Journal(cohort.journal), gradebook.of(cohort).by_hand()
    found, empty, otherwise = [], 0, 0
    for learner in record.learners:
        result = marked.get((learner, question.topic))
        handed = record.find(learner, question.topic, question.exercise.id) if result else None
        row = next((row for row in result.rows if _is_of(question, row)), None) if handed else None
        if row is None:
            continue
        if row.verdict is Code.NOT_YET:
            empty += 1
        elif row.verdict is Code.BY_HAND and not _asks(question, handed):
            otherwise += 1
        elif row.verdict is Code.BY_HAND:
            basis = manual_marks.find(result.bases, row.exercise, row.part)
            digest = basis.answer if basis else ""
            text = _wrote(cohort, handed, row.part, digest)
            others = _others(cohort, question, handed, result.rows)
            plain = Answer(_id(cohort, question, learner), handed, text, digest, others)
            mark = marks.get((learner, question.topic, row.exercise, row.part), ManualMark())
            found.append(replace(plain, score=mark.score, comment=mark.comment, asked=mark.asked))
    return QuestionAnswers(question, tuple(sorted(found, key=lambda answer: answer.id)), empty, otherwise)


def _asks(question: Question, handed: Handed) -> bool:
    """Whether this version asks what was handed out: another question's answer is not laid beside this model."""
    return editions.asks_as_handed_out(question.exercise, question.topic, handed.edition)


def _wrote(cohort: Cohort, handed: Handed, part: str, digest: str) -> str:
    """Return the text that was judged: as it was typed where that is still there, else from the safe copy."""
    try:
        notebook = submission.read(cohort.submitted(handed.learner, handed.topic) / f"{handed.notebook}.ipynb")
    except submission.Broken:
        notebook = {"cells": []}
    texts = [cell["source"] for cell in notebook["cells"] if submission.grade_id_of(cell) == part]
    if texts and manual_marks.digest(texts[-1]) == digest:
        return texts[-1].strip()
    return answers_written(cohort, handed).get(part, "").strip()


def _others(cohort: Cohort, question: Question, handed: Handed, rows: Sequence[Row]) -> tuple[str, ...]:
    """Return a learner's answers to the other parts of the exercise, each with what the judge gave."""
    written = answers_written(cohort, handed)
    own = {row.part: row for row in rows if row.exercise == question.exercise.id and row.verdict is not Code.BY_HAND}
    return tuple(
        f"{written.get(name, '').strip()[:LONGEST_OTHER]} ({row.points:g} of {row.out_of})" for name, row in own.items()
    )


def _is_of(question: Question, row) -> bool:
    return (row.exercise, row.part) == (question.exercise.id, question.part.name)


def _id(cohort: Cohort, question: Question, learner: str) -> str:
    text = f"answers in words\x1f{question.place}\x1f{learner}"
    return hmac.new(cohort.secret(), text.encode(), hashlib.sha256).hexdigest()[: 2 * SHORT]


def numbers_of(question: Question, answer: Answer) -> str:
    """Return what a learner was told and asked, in their own numbers, in Markdown."""
    exercise, givens = question.exercise, answer.handed.givens
    return f"{setup_text(exercise, givens)}\n\n{filled(question.part.ask, exercise, givens)}"


def points(text: str, out_of: int) -> float | None:
    """Return points as somebody types them, or None for none. NotSaved says what is wrong with others.

    >>> points("1,5", 3), points(" ", 3)
    (1.5, None)
    """
    plain = text.strip().replace(",", ".")
    if not plain:
        return None
    try:
        value = float(plain)
    except ValueError:
        value = math.nan
    if not 0 <= value <= out_of:
        raise NotSaved(f"Points go from 0 to {out_of}.")
    return value


def give(
    cohort: Cohort, question: Question, id_: str, score: float | None, comment: str, seen: str, was: tuple[str, str]
) -> QuestionAnswers:
    """Write a mark for one answer into the gradebook, and return all answers as they stand then.

    Parameters
    ----------
    cohort, question
        Call it under the cohort's lock.
    id_ : str
        What the page calls the answer.
    score, comment
        The mark; None and nothing take one away.
    seen : str
        The digest of the answer that was looked at: a mark is for that one, and for no other.
    was : (points, comment)
        The mark as the page showed it: one that was given elsewhere meanwhile is not written over unseen.

    Raises
    ------
    NotSaved
        Where answer or mark are others by now, or the gradebook has no such part.
    """
    answer = next((one for one in answers(cohort, question).given if one.id == id_), None)
    if answer is None:
        raise NotSaved("This answer is not there any more: load the page again.")
    if len(comment) > LONGEST_COMMENT:
        raise NotSaved(f"A comment has at most {LONGEST_COMMENT} characters.")
    if answer.digest != seen:
        raise NotSaved("It was handed in again meanwhile. This is the new answer; your mark was not saved.", answer)
    if (answer.points, answer.comment) != was and (answer.score, answer.comment) != (score, comment):
        raise NotSaved("It was marked elsewhere meanwhile. Save again to put yours in its place.", answer)
    book = gradebook.of(cohort)
    place = (answer.handed.learner, question.topic, question.exercise.id, question.part.name)
    if not book.give(place, score, comment):
        raise NotSaved("The gradebook does not have this answer yet: run graders mark.")
    hand_copy.keep(cohort, book)
    return answers(cohort, question)
