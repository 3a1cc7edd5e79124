"""Marks without persons: a file that can be kept after a term, and laid beside the next.

It holds what was asked, in which edition, what it earned and which slip it was; a learner is a number drawn anew for
each file. No name, id, time, comment, answer or remark is in it; that something came late shows all the same where it
lost points by it, as a share of them that no part gives by itself. Whoever knows somebody's marks finds the row all the
same: so it is not for everybody.
"""

import csv
import math
import random
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from graders.cohort import tables
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.judging.marks import Row, own_flag
from graders.marking import marks_csv
from graders.questions.verdicts import Code
from graders.report.statistics import slip_of
from workbook.problems import Problem
from workbook.terminal import in_shell

HEADS = ("learner", "topic", "exercise", "edition", "part", "points", "out of", "verdict", "slip")
GIVE = "give a cohort's folder, or a file that graders anonymise wrote"


@dataclass(frozen=True)
class Term:
    """The marks of a term, and the editions in which each exercise (topic, exercise) was asked."""

    rows: tuple[Row, ...]
    editions: dict[tuple[str, str], frozenset[str]]


def of_cohort(cohort: Cohort) -> Term:
    """Return a cohort's marks as they stand."""
    editions = {}
    for topic, exercise, edition, _ in HandoutRecord(cohort.record).editions:
        editions[topic, exercise] = editions.get((topic, exercise), frozenset()) | {edition}
    return Term(tuple(marks_csv.each_row_now(cohort)), editions)


def export(cohort: Cohort, path: Path) -> int:
    """Write a cohort's marks without persons into a new file, and return how many learners are in it."""
    if path.exists():
        raise Problem(f"{path} is there already.", "name a new file")
    if not path.parent.is_dir():
        raise Problem(f"there is no folder {path.parent}.", "make it, or name a file elsewhere")
    record, lines, numbers = HandoutRecord(cohort.record), {}, {}
    editions = {(one.learner, one.topic, one.exercise): one.edition for one in record}
    for row in marks_csv.each_row_now(cohort):
        numbers[row.learner] = 0
        edition = editions.get((row.learner, row.topic, row.exercise), "")
        slip = slip_of(row) if own_flag(row) else ""  # one without a name goes by its remark, which stays here
        what = row.topic, row.exercise, edition, row.part, row.points, row.out_of, row.verdict.label, slip
        lines.setdefault(row.learner, []).append(what)
    if not lines:
        raise Problem("nothing is marked yet.", f"mark it first: graders mark {in_shell(cohort.root)}")
    drawn = random.SystemRandom().sample(range(1, len(numbers) + 1), len(numbers))
    numbered = sorted(zip(drawn, lines.values(), strict=True))
    tables.write(path, HEADS, ((number, *line) for number, own in numbered for line in own), tables.PLAIN)
    return len(numbers)


def read(path: Path) -> Term:
    """Return the term of a cohort's folder or of an exported file, or raise Problem naming the line that is none."""
    if path.is_dir():
        return of_cohort(Cohort.open(path))
    if not path.is_file():
        raise Problem(f"{path} is no file.", GIVE)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise Problem(f"{path} cannot be read: {getattr(error, 'strerror', None) or 'it is no text'}.", GIVE) from None
    rows, editions = [], {}
    try:
        for number, cells in enumerate(csv.reader(text.splitlines()), 1):
            if number == 1 and tuple(cells) != HEADS:
                raise Problem(f"{path} is no export of marks.", GIVE)
            if number > 1:
                row, edition = _row(cells)
                rows.append(row)
                place = row.topic, row.exercise
                editions[place] = editions.get(place, frozenset()) | {edition}
    except (ValueError, KeyError, csv.Error):
        raise Problem(f"{path}, line {number}, is no line of an export of marks.", GIVE) from None
    if not rows:
        raise Problem(f"{path} holds no marks.", GIVE)
    return Term(tuple(rows), editions)


def _row(cells: list[str]) -> tuple[Row, str]:
    """Return a line's row and edition, or raise ValueError."""
    learner, topic, exercise, edition, part, points, out_of, verdict, slip = cells
    earned, most = float(points), int(out_of)
    if not (math.isfinite(earned) and most >= 0):
        raise ValueError("no points")
    return Row(learner, topic, exercise, part, earned, most, Code.read(verdict), slip, ""), edition


def same_edition(one: Term, other: Term, place: tuple[str, str]) -> bool:
    """Whether an exercise was asked in the same editions in both terms."""
    return one.editions.get(place) == other.editions.get(place)


def shares(rows: Iterable[Row], counts) -> dict[tuple[str, str, str], list[float]]:
    """Return the shares of the points that learners earned, by topic, exercise and part."""
    found = {}
    for row in rows:
        if counts(row):
            found.setdefault((row.topic, row.exercise, row.part), []).append(row.points / row.out_of)
    return found
