"""A copy of the marks and comments given by hand, beside the cohort: a gradebook made again gets them back from it."""

import json
import math
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
    return parse(path.read_bytes(), path) if path.is_file() else {}


def parse(content: bytes, path: Path) -> Marks:
    """Return the marks of a copy's content; ``path`` is what it is called in a Problem."""
    marks = {}
    for number, line in enumerate(content.split(b"\n"), 1):
        if not line:
            continue
        try:
            fields = json.loads(line)
            place = tuple(fields.pop(name) for name in PLACE)
            marks[place] = _sound(place, ManualMark(**fields))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            raise Problem(f"{path}, line {number}, is no mark by hand.", "mend the line or take it out") from None
    return marks


def _sound(place: tuple, mark: ManualMark) -> ManualMark:
    """Return a mark that somebody can have given, or raise ValueError."""
    numbers = [mark.extra, *([] if mark.score is None else [mark.score])]
    if not all(isinstance(word, str) for word in (*place, mark.comment)) or not isinstance(mark.asked, bool):
        raise ValueError("no mark")
    if not all(isinstance(one, (int, float)) and math.isfinite(one) for one in numbers):
        raise ValueError("no mark")
    return mark


def write(cohort: Cohort, marks: Marks) -> None:
    """Write the copy whole, in the order of its places; no file where there never was a mark."""
    lines = (dict(zip(PLACE, place, strict=True)) | asdict(mark) for place, mark in sorted(marks.items()))
    text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
    if marks or cohort.by_hand.is_file():
        write_whole(cohort.by_hand, text)


def keep(cohort: Cohort, book: Gradebook) -> None:
    """Write the copy. What it holds of parts that the gradebook does not have stays in it, and waits for them."""
    marks = book.by_hand()
    gone = {place: mark for place, mark in read(cohort.by_hand).items() if place not in marks}
    there = book.parts({place[:2] for place in gone})
    write(cohort, marks | {place: mark for place, mark in gone.items() if place not in there})


def bring_back(cohort: Cohort, book: Gradebook, before: set[tuple[str, str]]) -> None:
    """Put the copy's marks over work that came into the gradebook just now; ``before`` is what was there already."""
    lost = {place: mark for place, mark in read(cohort.by_hand).items() if place[:2] not in before}
    if lost:
        book.put_back(lost)
