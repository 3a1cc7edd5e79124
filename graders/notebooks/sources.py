"""What holds each part of the sheets: its cases, one a line, and the parts that have none."""

from collections.abc import Iterator

from graders import sheets
from workbook.topics import TOPICS

NONE = "no case"


def lines() -> Iterator[str]:
    """Yield a line for each case of each part (part, printed answer, standing, source), then how many have none."""
    parts = bare = 0
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            for part in exercise.parts:
                cases = [case for case in exercise.cases if case.part == part.name]
                where = f"{topic.slug}/{exercise.id}/{part.name}"
                parts, bare = parts + 1, bare + (not cases)
                yield from (f"{where}\t{case.answer}\t{case.standing}\t{case.source}" for case in cases)
                if not cases:
                    yield f"{where}\t{NONE}"
    yield f"{bare} of {parts} parts have no case."
