"""A case stands no higher than the references of its topic that come from the same place."""

import pytest

from graders import sheets
from workbook.references import load
from workbook.topics import TOPICS

RANKS = ("published", "published-unnamed", "published-second-hand")
ALIKE = 22
"""Letters at the head of a source by which one is told to be the same place."""


def head(source: str) -> str:
    return (source or "").lower().removeprefix("a ").removeprefix("an ")[:ALIKE]


@pytest.mark.parametrize("slug", [topic.slug for topic in TOPICS])
def test_no_case_is_promoted_above_the_references_of_the_same_place(slug):
    best = {}
    for entry in load(slug).values():
        if entry.standing in RANKS:
            rank = RANKS.index(entry.standing)
            best[head(entry.source)] = min(rank, best.get(head(entry.source), rank))
    promoted = [
        (exercise.id, case.part, case.source, case.standing)
        for exercise in sheets.exercises(slug)
        for case in exercise.cases
        if case.standing in RANKS and RANKS.index(case.standing) < best.get(head(case.source), 0)
    ]
    assert promoted == []
