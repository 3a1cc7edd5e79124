"""A copy of the marks and comments given by hand, beside the cohort: a gradebook made again gets them back from it."""

import json
from dataclasses import asdict
from pathlib import Path

from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.gradebook.book import Gradebook
from graders.gradebook.manual_marks import ManualMark
from workbook.problems import Problem

PLACE = ("learner", "topic", "exercise", "part")

Marks = dict[tuple[str, str, str, str], ManualMark]


def read(path: Path) -> Marks:
    """Return the marks of a copy; none where there is no copy. Raise Problem for a line that is none."""
    marks = {}
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines() if path.is_file() else (), 1):
        try:
            fields = json.loads(line)
            place = tuple(fields.pop(name) for name in PLACE)
            marks[place] = ManualMark(**fields)
        except (ValueError, KeyError, TypeError, AttributeError):
            raise Problem(f"{path}, line {number}, is no mark by hand.", "mend the line or take it out") from None
    return marks


def keep(cohort: Cohort, book: Gradebook) -> None:
    """Write the copy. What it holds of work that the gradebook does not have stays in it, and waits for that work."""
    there = book.marked()
    waiting = {place: mark for place, mark in read(cohort.by_hand).items() if place[:2] not in there}
    marks = waiting | book.by_hand()
    lines = (dict(zip(PLACE, place, strict=True)) | asdict(mark) for place, mark in sorted(marks.items()))
    text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
    if marks or cohort.by_hand.is_file():
        write_whole(cohort.by_hand, text)


def bring_back(cohort: Cohort, book: Gradebook, before: set[tuple[str, str]]) -> None:
    """Put the copy's marks over work that came into the gradebook just now; ``before`` is what was there already."""
    lost = {place: mark for place, mark in read(cohort.by_hand).items() if place[:2] not in before}
    if lost:
        book.put_back(lost)
