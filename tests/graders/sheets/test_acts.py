"""Each exercise ends in something the bench does with its number, and the bench outweighs statistics."""

import pytest

from graders import sheets
from tests.benchmarks.acts import STATISTICS, points_of_statistics, without_an_act
from workbook.topics import TOPICS


@pytest.mark.parametrize("topic", [topic.slug for topic in TOPICS])
def test_every_exercise_ends_in_an_act(topic):
    assert without_an_act(topic) == []


@pytest.mark.parametrize("topic", STATISTICS)
def test_statistics_are_less_than_half_of_the_points(topic):
    assert STATISTICS[topic] <= {exercise.id for exercise in sheets.exercises(topic)}
    counted, points = points_of_statistics(topic)
    assert 0 < counted < points / 2
