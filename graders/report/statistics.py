"""What a cohort's marks say about the questions: facility, discrimination, reliability, slips, and which parts mislead.

What counts. A part counts for a learner once it is judged: not where the notebook did not come, not where an answer in
words still waits for a mark, and not where the part was dropped (out of 0). No answer in a notebook that came is 0.
Discrimination and reliability compare parts with one another. They use the parts that count for at least half of the
topic's learners, and the learners for whom all of these count.

The rule of the warnings is `WARNINGS` with the numbers below: a warning asks to read the part again, it proves nothing.
A part some of whose answers wait for a mark gets none: so far it is judged on those who left it empty.
"""

import math
from array import array
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from graders.judging.marks import Row, own_flag, own_remark, waits
from graders.questions.parts.acts import MISSED
from graders.questions.verdicts import Code

FEWEST = 10
"""Learners below which no warning is given: chance alone would give too many."""

LEAST_DISCRIMINATION = 0.2
"""Below this a part hardly tells learners apart: common practice in classroom tests, after R. L. Ebel."""

HARDEST, EASIEST = 0.2, 0.95
SLIP_SHARE = 1 / 3
LOOK_SHARE = 0.1

WARNINGS = {
    "against": "learners strong in the rest of the topic did worse here: check the key and the wording",
    "weak": f"discrimination below {LEAST_DISCRIMINATION}: says little about the rest of the topic",
    "hard": f"facility below {HARDEST:.0%}: taught, or asked, too late or unclearly",
    "one slip": "one slip caught at least a third: is the question read as it was meant?",
    "not understood": "more than one answer in ten could not be read: is the way to answer clear?",
}


def facility(scores: Sequence[float], out_of: float) -> float:
    """Return the mean score of a part as a share of its points: 1 is easy for all, 0 beyond all.

    For parts scored 0 or 1 it is the share of right answers, the classical item difficulty p.

    >>> facility([2, 1, 0, 2], out_of=2)
    0.625
    """
    return float(np.mean(scores)) / out_of


def discrimination(scores: Sequence[float], totals: Sequence[float]) -> float | None:
    """Return the corrected item-total correlation of a part, or None where a side of it does not vary.

    It is Pearson's r between the part's scores and the totals without this part (the "corrected" of the name: with the
    part left in, it would correlate with itself). For parts scored 0 or 1 it is the point-biserial correlation.

    >>> round(discrimination([0, 0, 1, 1], totals=[1, 2, 3, 4]), 4)
    0.7071
    """
    scores = np.asarray(scores, float)
    rest = np.asarray(totals, float) - scores
    if scores.size < 3 or np.ptp(scores) == 0 or np.ptp(rest) < 1e-9:
        return None
    return float(np.corrcoef(scores, rest)[0, 1])


def alpha(part_variances: Sequence[float], total_variance: float) -> float | None:
    """Return Cronbach's alpha, k / (k - 1) * (1 - sum of the parts' variances / variance of the total), or None.

    None for fewer than two parts or a total that does not vary. Parts that say the same give 1, unrelated ones 0:

    >>> alpha([1, 1], total_variance=4), alpha([1, 1], total_variance=2)
    (1.0, 0.0)

    References
    ----------
    L. J. Cronbach, "Coefficient alpha and the internal structure of tests", Psychometrika 16 (1951) 297.
    """
    k = len(part_variances)
    if k < 2 or total_variance <= 0:
        return None
    return k / (k - 1) * (1 - sum(part_variances) / total_variance)


@dataclass(frozen=True)
class PartFigures:
    """One part in numbers. ``judged`` learners stand behind facility, ``compared`` ones behind discrimination."""

    topic: str
    exercise: str
    part: str
    out_of: int
    judged: int
    facility: float
    compared: int
    discrimination: float | None
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class TopicFigures:
    """One topic in numbers: its parts, and how well their total can be relied on."""

    parts: tuple[PartFigures, ...]
    compared: int
    reliability: float | None


@dataclass(frozen=True)
class Slips:
    """How often one slip was made in one part, among the learners judged on it, and what it was answered with."""

    topic: str
    exercise: str
    part: str
    slip: str
    words: str
    made: int
    judged: int


@dataclass(frozen=True)
class GateFigures:
    """How often one gate of a job worked act by act was missed, among the learners judged on the part."""

    topic: str
    exercise: str
    part: str
    gate: str
    missed: int
    judged: int


def counts(row: Row) -> bool:
    """Whether a row is judged and belongs in the figures."""
    return row.verdict is not Code.NOT_HANDED_IN and row.out_of > 0 and not waits(row)


@dataclass
class _PartCounts:
    """What the figures of one part need, a number for each learner it counts for."""

    out_of: int
    learners: array = field(default_factory=lambda: array("i"))
    points: array = field(default_factory=lambda: array("d"))
    made: Counter = field(default_factory=Counter)
    not_understood: int = 0


class TopicCounts:
    """What the figures of one topic need, gathered row by row: no row is kept."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}
        self._parts: dict[tuple[str, str, str], _PartCounts] = {}
        self._waiting: set[tuple[str, str, str]] = set()

    def add(self, row: Row) -> None:
        """Add one part of one learner."""
        place = row.topic, row.exercise, row.part
        if counts(row):
            of = self._parts.get(place)
            if of is None:
                of = self._parts[place] = _PartCounts(row.out_of)
            of.learners.append(self._numbers.setdefault(row.learner, len(self._numbers)))
            of.points.append(row.points)
            slip = slip_of(row)
            if slip:
                of.made[slip] += 1
            of.not_understood += row.verdict is Code.NEEDS_A_LOOK
        elif waits(row):
            self._waiting.add(place)

    def figures(self) -> TopicFigures:
        """Return the figures of the topic."""
        common = [key for key, of in self._parts.items() if 2 * len(of.learners) >= len(self._numbers)]
        by_all = np.ones(len(self._numbers), bool)
        for key in common:
            by_all &= np.bincount(self._parts[key].learners, minlength=len(self._numbers)) > 0
        table = np.empty((len(self._numbers), len(common)))
        for column, key in enumerate(common):
            table[self._parts[key].learners, column] = self._parts[key].points
        in_order = np.argsort(np.array(list(self._numbers), dtype=object), kind="stable") if self._numbers else []
        table = table[[place for place in in_order if by_all[place]]]
        totals = table.sum(axis=1)
        scores = {key: table[:, place] for place, key in enumerate(common)}
        parts = tuple(
            _part_figures(key, of, scores.get(key), totals, key not in self._waiting) for key, of in self._parts.items()
        )
        enough = len(table) > 2
        reliability = alpha(table.var(axis=0, ddof=1).tolist(), float(totals.var(ddof=1))) if enough else None
        return TopicFigures(parts, len(table), reliability)


def topic_figures(rows: Iterable[Row]) -> TopicFigures:
    """Return the figures of one topic from all its rows."""
    gathered = TopicCounts()
    for row in rows:
        gathered.add(row)
    return gathered.figures()


def _part_figures(key, of: _PartCounts, scores: np.ndarray | None, totals: np.ndarray, all_marked: bool) -> PartFigures:
    easy = facility([points / of.out_of for points in of.points], 1)
    compared, separates = (0, None) if scores is None else (scores.size, discrimination(scores, totals))
    found = tuple(_warnings(of, easy, compared, separates)) if all_marked else ()
    return PartFigures(*key, of.out_of, len(of.points), easy, compared, separates, found)


def _warnings(of: _PartCounts, easy: float, compared: int, separates: float | None):
    """Yield the keys of `WARNINGS` a part has earned."""
    judged = len(of.points)
    if compared >= FEWEST and separates is not None and easy <= EASIEST:
        if separates < -1 / math.sqrt(compared - 1):  # by more than the standard error of no correlation
            yield "against"
        elif separates < LEAST_DISCRIMINATION:
            yield "weak"
    if judged < FEWEST:
        return
    if easy < HARDEST:
        yield "hard"
    if of.made and of.made.most_common(1)[0][1] >= SLIP_SHARE * judged:
        yield "one slip"
    if of.not_understood > LOOK_SHARE * judged:
        yield "not understood"


def slip_of(row: Row) -> str:
    """Return the name of the slip a row shows, or nothing. A slip without a name goes by its remark."""
    flag = own_flag(row)
    if row.verdict in (Code.SLIP, Code.OTHER_UNIT) or flag == "decimal comma":
        return flag or own_remark(row)
    return ""


class SlipCounts:
    """How often each slip was made, gathered row by row."""

    def __init__(self) -> None:
        self._judged, self._made, self._words = Counter(), Counter(), {}

    def add(self, row: Row) -> None:
        """Add one part of one learner."""
        if not counts(row):
            return
        place = (row.topic, row.exercise, row.part)
        self._judged[place] += 1
        slip = slip_of(row)
        if slip:
            self._made[place, slip] += 1
            self._words.setdefault((place, slip), own_remark(row))

    def found(self) -> list[Slips]:
        """Return every slip made, commonest first."""
        return [
            Slips(*place, slip, self._words[place, slip], times, self._judged[place])
            for (place, slip), times in self._made.most_common()
        ]


class GateCounts:
    """How often each gate was missed in parts answered with acts, gathered row by row."""

    def __init__(self) -> None:
        self._judged, self._missed = Counter(), Counter()

    def add(self, row: Row) -> None:
        """Add one part of one learner."""
        if not counts(row):
            return
        place = (row.topic, row.exercise, row.part)
        self._judged[place] += 1
        flag = own_flag(row)
        if flag.startswith(MISSED):
            self._missed.update((place, gate) for gate in flag.removeprefix(MISSED).split("; "))

    def found(self) -> list[GateFigures]:
        """Return every gate that was missed, the one missed most first."""
        return [
            GateFigures(*place, gate, times, self._judged[place]) for (place, gate), times in self._missed.most_common()
        ]
