"""What a cohort's marks say about the questions: facility, discrimination, reliability, slips, and which parts mislead.

What counts. A part counts for a learner once it is judged: not where the notebook did not come, not where an answer in
words still waits for a mark, and not where the part was dropped (out of 0). No answer in a notebook that came is 0.
Discrimination and reliability compare parts with one another. They use the parts that count for at least half of the
topic's learners, and the learners for whom all of these count.

The rule of the warnings is `WARNINGS` with the numbers below: a warning asks to read the part again, it proves nothing.
A part some of whose answers wait for a mark gets none: so far it is judged on those who left it empty.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from graders.judging.marks import Row, own_flag, own_remark, waits
from graders.questions.parts import MISSED
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
class Gate:
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


def topic_figures(rows: Iterable[Row]) -> TopicFigures:
    """Return the figures of one topic from all its rows."""
    by_part, waiting = defaultdict(dict), set()
    for row in rows:
        if counts(row):
            by_part[row.topic, row.exercise, row.part][row.learner] = row
        elif waits(row):
            waiting.add((row.topic, row.exercise, row.part))
    met = set().union(*by_part.values())
    common = [key for key, of in by_part.items() if 2 * len(of) >= len(met)]
    compared = sorted(met.intersection(*(by_part[key] for key in common)))
    table = np.array([[by_part[key][learner].points for key in common] for learner in compared], float)
    table = table.reshape(len(compared), len(common))
    totals = table.sum(axis=1)
    scores = {key: table[:, place] for place, key in enumerate(common)}
    parts = tuple(
        _part_figures(key, list(of.values()), scores.get(key), totals, key not in waiting)
        for key, of in by_part.items()
    )
    reliability = alpha(table.var(axis=0, ddof=1).tolist(), float(totals.var(ddof=1))) if len(compared) > 2 else None
    return TopicFigures(parts, len(compared), reliability)


def _part_figures(
    key, rows: Sequence[Row], scores: np.ndarray | None, totals: np.ndarray, all_marked: bool
) -> PartFigures:
    easy = facility([row.points / row.out_of for row in rows], 1)
    compared, separates = (0, None) if scores is None else (scores.size, discrimination(scores, totals))
    found = tuple(_warnings(rows, easy, compared, separates)) if all_marked else ()
    return PartFigures(*key, rows[0].out_of, len(rows), easy, compared, separates, found)


def _warnings(rows: Sequence[Row], easy: float, compared: int, separates: float | None):
    """Yield the keys of `WARNINGS` a part has earned."""
    if compared >= FEWEST and separates is not None and easy <= EASIEST:
        if separates < -1 / math.sqrt(compared - 1):  # by more than the standard error of no correlation
            yield "against"
        elif separates < LEAST_DISCRIMINATION:
            yield "weak"
    if len(rows) < FEWEST:
        return
    if easy < HARDEST:
        yield "hard"
    made = Counter(slip for slip in map(slip_of, rows) if slip)
    if made and made.most_common(1)[0][1] >= SLIP_SHARE * len(rows):
        yield "one slip"
    if sum(row.verdict is Code.NEEDS_A_LOOK for row in rows) > LOOK_SHARE * len(rows):
        yield "not understood"


def slip_of(row: Row) -> str:
    """Return the name of the slip a row shows, or nothing. A slip without a name goes by its remark."""
    flag = own_flag(row)
    if row.verdict in (Code.SLIP, Code.OTHER_UNIT) or flag == "decimal comma":
        return flag or own_remark(row)
    return ""


def slips(rows: Iterable[Row]) -> list[Slips]:
    """Return every slip made, commonest first."""
    judged, made, words = Counter(), Counter(), {}
    for row in rows:
        if not counts(row):
            continue
        place = (row.topic, row.exercise, row.part)
        judged[place] += 1
        slip = slip_of(row)
        if slip:
            made[place, slip] += 1
            words.setdefault((place, slip), own_remark(row))
    return [
        Slips(*place, slip, words[place, slip], times, judged[place]) for (place, slip), times in made.most_common()
    ]


def gates(rows: Iterable[Row]) -> list[Gate]:
    """Return every gate that was missed in a part answered with acts, the one missed most first."""
    judged, missed = Counter(), Counter()
    for row in rows:
        if counts(row):
            place = (row.topic, row.exercise, row.part)
            judged[place] += 1
            flag = own_flag(row)
            if flag.startswith(MISSED):
                missed.update((place, gate) for gate in flag.removeprefix(MISSED).split("; "))
    return [Gate(*place, gate, times, judged[place]) for (place, gate), times in missed.most_common()]
