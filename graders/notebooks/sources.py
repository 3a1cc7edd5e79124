"""What holds each part of the sheets: its cases, one a line, and the parts that have none."""

from collections import Counter
from collections.abc import Iterator

from graders import sheets
from workbook.topics import TOPICS

NONE = "no case"


def lines() -> Iterator[str]:
    """Yield a line for each case of each part (part, printed answer, standing, source), then how many there are."""
    parts, bare, standings = 0, Counter(), Counter()
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            for part in exercise.parts:
                cases = [case for case in exercise.cases if case.part == part.name]
                where = f"{topic.slug}/{exercise.id}/{part.name}"
                parts += 1
                standings.update(case.standing for case in cases)
                yield from (f"{where}\t{case.answer}\t{case.standing}\t{case.source}" for case in cases)
                if not cases:
                    bare[part.kind] += 1
                    yield f"{where}\t{NONE}"
    yield ", ".join(f"{count} {standing}" for standing, count in standings.most_common()) + " cases."
    kinds = ", ".join(f"{count} of kind {kind}" for kind, count in bare.most_common())
    yield f"{bare.total()} of {parts} parts have no case: {kinds}."
