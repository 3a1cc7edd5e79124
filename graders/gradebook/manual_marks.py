"""Marks given by hand in the formgrader, and what each was given for.

nbgrader keeps a score by hand, and not what it was given for. So the journal of marking notes which answer and which
automatic points stood under each score by hand. When either changes, the score is kept, and a person is asked to look
again.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import NamedTuple

from graders.judging.marks import AUTOMATIC_CHANGED, CHANGED_BY_HAND, LATE_FLAG, OLDER_ANSWER, Override, Row, is_late
from graders.questions.verdicts import VOIDED, Code


class MarkedOn(NamedTuple):
    """What a person who marks a part sees: the answer, as a digest, and its automatic points if it has any."""

    answer: str
    automatic: float | None


class ManualScore(NamedTuple):
    """A score by hand and what it was given for."""

    score: float
    basis: MarkedOn


@dataclass(frozen=True)
class ManualMark:
    """What the formgrader holds of a part. ``asked`` says that somebody is asked to look at the score again."""

    score: float | None = None
    extra: float = 0.0
    asked: bool = False
    comment: str = ""


ByPart = dict[str, dict[str, tuple]]
"""Something for each part, by exercise and part."""


def digest(answer: str) -> str:
    """Return a short hash of an answer; space around it changes nothing.

    >>> digest("It sags. ") == digest("It sags.") != digest("It melts.")
    True
    """
    return sha256(answer.strip().encode()).hexdigest()[:16]


def find(by_part: ByPart, exercise: str, part: str):
    """Return what is held for a part, or None."""
    return by_part.get(exercise, {}).get(part)


def given(score: float, asked: bool, noted: ManualScore | None, basis: MarkedOn) -> ManualScore:
    """Return what a score by hand was given for.

    That is what was noted of it, for as long as somebody is asked to look again and has not; else what stands now.

    >>> given(2.0, True, ManualScore(2.0, MarkedOn("old", 1.0)), MarkedOn("new", 0.0)).basis.answer
    'old'
    >>> given(2.0, False, ManualScore(2.0, MarkedOn("old", 1.0)), MarkedOn("new", 0.0)).basis.answer
    'new'
    """
    return noted if noted is not None and asked and noted.score == score else ManualScore(score, basis)


def over(rows: Iterable[Row], marks: Mapping[tuple, ManualMark], results: Mapping[tuple, object]) -> Iterator[Row]:
    """Yield rows in which marks and comments by hand stand over ours.

    Parameters
    ----------
    rows : iterable of Row
        What the judge found.
    marks : mapping from (learner, topic, exercise, part) to ManualMark
    results : mapping from (learner, topic) to Result
        The journal: which answers and automatic points stand now, and which stood under each score by hand.
    """
    for row in rows:
        mark = marks.get(_key(row))
        yield row if mark is None else _over(row, mark, _of(row, mark, results), _counts(row, results))


def overrides(
    rows: Iterable[Row], marks: Mapping[tuple, ManualMark], results: Mapping[tuple, object]
) -> Iterator[Override]:
    """Yield scores by hand that stand over another automatic mark than the one they were given over."""
    for row in rows:
        mark = marks.get(_key(row))
        was, now = _of(row, mark, results) if mark else (None, None)
        if now and was and row.verdict not in VOIDED and _automatic_changed(was.basis, now):
            yield Override(*_key(row), was.score, was.basis.automatic, now.automatic, row.out_of)


def _key(row: Row) -> tuple[str, str, str, str]:
    return row.learner, row.topic, row.exercise, row.part


def _of(row: Row, mark: ManualMark, results: Mapping[tuple, object]) -> tuple[ManualScore | None, MarkedOn | None]:
    """Return what a score was given for and what stands now, or None where nothing was marked."""
    result = results.get((row.learner, row.topic))
    now = find(result.bases, row.exercise, row.part) if result else None
    if now is None or mark.score is None:
        return None, now
    return given(mark.score, mark.asked, find(result.given, row.exercise, row.part), now), now


def _automatic_changed(was: MarkedOn, now: MarkedOn) -> bool:
    return None not in (was.automatic, now.automatic) and was.automatic != now.automatic


def _counts(row: Row, results: Mapping[tuple, object]) -> float:
    """Return the share of a score by hand that counts: less than all only of what came late."""
    result = results.get((row.learner, row.topic))
    return (result.counts or 0.0) if result and is_late(row) else 1.0


def _over(row: Row, mark: ManualMark, known: tuple[ManualScore | None, MarkedOn | None], counts: float) -> Row:
    row = replace(row, comment=mark.comment)
    if row.verdict in VOIDED or (mark.score is None and not mark.extra):
        return row
    (was, now), in_words = known, row.verdict is Code.BY_HAND
    points = (row.points if mark.score is None else mark.score * counts) + mark.extra * counts
    points = round(points, 4)
    flag = "" if in_words or points == row.points else CHANGED_BY_HAND
    remark = READ if in_words else row.remark if points == row.points else _changed(row, points)
    if was and now and was.basis != now:
        flag = AUTOMATIC_CHANGED if _automatic_changed(was.basis, now) else OLDER_ANSWER
        remark = AGAIN[flag]
    if is_late(row):
        flag = LATE_FLAG
    return replace(row, points=points, verdict=Code.MARKED_BY_HAND, flag=flag, remark=remark)


READ, CHANGED = "Your instructor read this answer.", "Your instructor changed this mark."


def _changed(row: Row, points: float) -> str:
    """Return what is said of a changed mark. The judge's words go on only where neither mark is a full one."""
    return CHANGED if row.out_of in (row.points, points) else f"{CHANGED} {row.remark}".rstrip()


AGAIN = {
    OLDER_ANSWER: "This mark was given for an older answer. Your instructor looks at it again.",
    AUTOMATIC_CHANGED: "This mark was given over another automatic mark. Your instructor looks at it again.",
}
