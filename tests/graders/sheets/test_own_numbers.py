"""Own numbers are own: a class does not share a few sets, and each verdict comes up for some of its learners.

A stream of own numbers that nearly always fails what makes an exercise sound gives every learner the worked numbers,
and no other claim notices: right answers stay right. What is counted here is the draws themselves.
"""

import json

import pytest

from graders import sheets
from tests.benchmarks.draws import SECRET
from workbook.references import value
from workbook.topics import TOPICS

CLASS = 50
EXERCISES = [
    pytest.param(topic.slug, exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]
FEW = {
    "photographs": (3, "three stories, each with its own pictures"),
    "choose-a-programme": (15, "plans of the explorer that were worked out beforehand"),
    "two-packages": (4, "two counts of heats, each of which stays at or passes the maker's three"),
}
"""Exercises with few sets of numbers by their nature: how many a class has at the least, and why."""

TURNING = {
    "profile/read-the-log": ("verdict", {"short", "held"}),
    "profile/two-fixed-points": ("keep_it", {"correct", "discard"}),
    "profile/two-packages": ("straight_on", {"over", "at"}),
    "profile/run-or-try-again": ("act", {"run", "trial", "hotter"}),
    "shorts/decide-on-a-reading": ("verdict", {"dead short", "undecided", "no dead short"}),
}
"""Verdicts that turn on the numbers, and the words of them that a class must meet."""


def _drawn(exercise, learners):
    return [exercise.draw(SECRET, f"learner {number}") for number in range(learners)]


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_a_class_has_many_sets_of_numbers(topic, exercise):
    sets = {json.dumps(drawn, default=str, sort_keys=True) for drawn in _drawn(exercise, CLASS)}
    least, _ = FEW.get(exercise.id, (CLASS // 2, ""))
    assert len(sets) >= least


@pytest.mark.parametrize("name", TURNING)
def test_each_verdict_comes_up_for_some_learners(name):
    exercise = sheets.find(*name.split("/"))
    part, words = TURNING[name]
    met = [exercise.key(drawn)[part] for drawn in _drawn(exercise, 2 * CLASS)]
    assert all(met.count(word) >= 5 for word in words), {word: met.count(word) for word in words}


def test_a_heat_not_counted_for_a_neighbour_is_one_that_did_not_harm_it():
    """Joints of a neighbour whose centre passed 195 °C were damaged: Ismail et al., Jurnal Teknologi 84, 19321."""
    exercise = sheets.find("profile", "count-the-heats")
    harmed = value("profile", "neighbour_damage_centre_c")
    peaks = [drawn["neighbour_peak"] for drawn in [exercise.worked(), *_drawn(exercise, 2 * CLASS)]]
    assert harmed == 195
    assert not [peak for peak in peaks if harmed <= peak < 217]
    assert min(peaks) < harmed
