"""What a cohort's marks are, as plain records: what the judge found, part by part."""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

from graders.questions.verdicts import Code


@dataclass(frozen=True, slots=True)
class Row:
    """One part of one learner: what the journal keeps, and the first columns of ``marks.csv``, in order.

    Half a million of them are held at once.
    """

    learner: str
    topic: str
    exercise: str
    part: str
    points: float
    out_of: int
    verdict: Code
    flag: str
    remark: str
    comment: str = ""

    def as_tuple(self) -> tuple[Any, ...]:
        """Return the values of the columns."""
        return _COLUMNS_OF(self)


COLUMNS = tuple(field.name for field in fields(Row))
_COLUMNS_OF = attrgetter(*COLUMNS)

CHANGED_BY_HAND = "changed by hand"
OLDER_ANSWER = "given for an older answer"
AUTOMATIC_CHANGED = "automatic mark has changed"
LATE_FLAG, LATE_AND = "late", "late; "
"""What came after its due time and loses something by it; and the same before a flag of the judge's own."""
CAME_LATE = "It came after its due time"
"""How the words of a remark begin that say what lateness costs."""
LOOK_AGAIN = (OLDER_ANSWER, AUTOMATIC_CHANGED)
"""The flags of a mark by hand that somebody should look at again."""


def is_late(row: Row) -> bool:
    """Whether a row came after its due time and loses something by it.

    >>> flags = "late", "late; took the diameter", "took the diameter"
    >>> [is_late(Row("l1", "profile", "e", "lag", 0.4, 1, Code.SLIP, flag, "")) for flag in flags]
    [True, True, False]
    """
    return row.flag == LATE_FLAG or row.flag.startswith(LATE_AND)


def own_flag(row: Row) -> str:
    """Return the judge's flag of a row, as if it had come in time; nothing where an older version did not keep it.

    >>> own_flag(Row("l1", "profile", "e", "lag", 0.4, 1, Code.SLIP, "late; took the diameter", ""))
    'took the diameter'
    """
    return "" if row.flag == LATE_FLAG else row.flag.removeprefix(LATE_AND)


def own_remark(row: Row) -> str:
    """Return the judge's remark of a row, as if it had come in time."""
    return row.remark.partition(CAME_LATE)[0].rstrip() if is_late(row) else row.remark


def needs_a_look(row: Row) -> bool:
    """Whether a person should look: the judge did not understand, or a mark by hand is for something older."""
    return row.verdict is Code.NEEDS_A_LOOK or row.flag in LOOK_AGAIN


def nothing_came(rows: Iterable[Row]) -> bool:
    """Whether none of some parts were handed in."""
    return all(row.verdict is Code.NOT_HANDED_IN for row in rows)


def waits(row: Row) -> bool:
    """Whether a row is an answer in words that nobody has marked yet: so far it is neither earned nor lost."""
    return row.verdict is Code.BY_HAND


@dataclass(frozen=True)
class Override:
    """A mark by hand that stands over another automatic mark than the one it was given over."""

    learner: str
    topic: str
    exercise: str
    part: str
    by_hand: float
    automatic_then: float
    automatic_now: float
    out_of: int


@dataclass(frozen=True)
class Finding:
    """What the second run with fresh numbers showed of one part: evidence to talk about, not an accusation."""

    learner: str
    topic: str
    exercise: str
    part: str
    finding: str


FINDINGS = {
    "follows the givens": "with other givens the answer is right for those, as a computed answer is",
    "working, typed numbers": "there is working, but it holds numbers typed in place of the givens",
    "bare number": "the answer is a number with no working in its cell",
    "no answer": "with other givens the notebook came to no answer here",
}


@dataclass(frozen=True)
class Copied:
    """An answer that is wrong for this learner's givens and right for someone else's."""

    learner: str
    topic: str
    exercise: str
    part: str
    whose: tuple[str, ...]


@dataclass(frozen=True)
class Happened:
    """What was put right, stopped or could not be read when a learner's topic was marked."""

    learner: str
    topic: str
    words: str


@dataclass(frozen=True)
class PartPage:
    """One part as a feedback page shows it. Texts are Markdown of ours; ``answer`` is the learner's, untrusted.

    ``arithmetic`` is the working line by line in the learner's numbers, ``working`` the same in Python.
    """

    ask: str
    answer: str
    row: Row
    working: str = ""
    arithmetic: tuple[str, ...] = ()


@dataclass(frozen=True)
class ExercisePage:
    """One exercise as a feedback page shows it."""

    title: str
    setup: str
    parts: tuple[PartPage, ...]
    drawing: str = ""
    """HTML of what one looks at, made by us."""
    answer_drawing: str = ""
    """HTML of what the answers come to, made by us."""


def total(rows: Iterable[Row]) -> tuple[float, int]:
    """Return the points earned and the points they are out of; what waits for a mark is in neither.

    >>> waiting = Row("l1", "profile", "e", "why", 0.0, 3, Code.BY_HAND, "", "")
    >>> total([Row("l1", "profile", "e", "p", 1.5, 2, Code.PARTLY, "", ""), waiting])
    (1.5, 2)
    """
    rows = [row for row in rows if not waits(row)]
    return sum(row.points for row in rows), sum(row.out_of for row in rows)
