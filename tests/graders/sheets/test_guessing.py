"""A guess at the words earns no more than chance: neither the place of the right word nor its length tells it."""

from collections import Counter

import pytest

from graders import sheets
from graders.questions import Choice
from tests.benchmarks.guessing import BY, KINDS, table, too_well
from workbook.topics import TOPICS

TABLES = [
    pytest.param(topic.slug, kind, id=f"{topic.slug} {kind.kind}")
    for topic in TOPICS
    for kind in KINDS
    if any(
        isinstance(part, kind) and part.is_shuffled
        for exercise in sheets.exercises(topic.slug)
        for part in exercise.parts
    )
]


@pytest.mark.parametrize(("topic", "kind"), TABLES)
def test_no_way_of_guessing_earns_more_than_five_points_above_chance(topic, kind):
    found = table(topic, kind)
    assert set(BY) < set(found)
    assert not too_well(found), found


def test_of_three_words_the_right_one_stands_first_in_the_middle_and_last_alike():
    places = Counter()
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            parts = [part for part in exercise.parts if isinstance(part, Choice) and len(part.options) == 3]
            for number in range(10 if parts else 0):
                key = exercise.key(exercise.draw(b"places", f"learner {number}"))
                orders = exercise.own_orders(b"places", f"learner {number}")
                places.update(orders[part.name].index(key[part.name]) for part in parts)
    drawn = places.total()
    assert drawn > 500
    for place in range(3):
        assert places[place] / drawn == pytest.approx(1 / 3, abs=4 * (2 / 9 / drawn) ** 0.5)  # four standard errors
