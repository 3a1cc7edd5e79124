"""One place that values come from has one standing, in every topic's references and in every case."""

from graders import sheets
from workbook.references import load
from workbook.topics import TOPICS

ALIKE = 22
"""Letters at the head of a source by which one is told to be the same place."""


def head(source: str) -> str:
    return source.lower().removeprefix("a ").removeprefix("an ")[:ALIKE]


def test_no_place_is_read_in_one_table_and_second_hand_in_another():
    said = {}
    for topic in TOPICS:
        cases = [case for exercise in sheets.exercises(topic.slug) for case in exercise.cases]
        for thing in (*load(topic.slug).values(), *cases):
            if thing.standing.startswith("published"):
                said.setdefault(head(thing.source), {}).setdefault(thing.standing, (topic.slug, thing.source))
    assert len(said) > 100
    assert [standings for standings in said.values() if len(standings) > 1] == []
