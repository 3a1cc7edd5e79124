"""Every sheet holds: right is right, each slip is known as itself, working agrees, published cases come out."""

import os

import pytest

from graders import sheets
from graders.judging import floor
from graders.notebooks.fairness import (
    case_off,
    earned_without_the_method,
    names_that_clash,
    not_full_marks,
    slips_not_told,
    verdicts_on_a_hair,
    workings_that_differ,
)
from tests.benchmarks.draws import SECRET
from workbook.topics import TOPICS

EXERCISES = [
    pytest.param(topic, exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]
VARIANTS = int(os.environ.get("REWORK_VARIANTS", "50"))


def variants(exercise, count=VARIANTS):
    """Yield the worked givens and then own numbers of invented learners."""
    yield exercise.worked()
    for number in range(count):
        yield exercise.draw(SECRET, f"learner {number}")


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_the_right_answers_earn_full_marks_in_every_variant(topic, exercise):
    for givens in variants(exercise):
        assert not_full_marks(exercise, givens) == [], givens


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_every_slip_is_recognised_as_itself_and_earns_no_full_marks(topic, exercise):
    for givens in variants(exercise):
        assert slips_not_told(exercise, givens) == [], givens


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_the_printed_working_agrees_with_the_bench_in_every_variant(topic, exercise):
    for givens in variants(exercise):
        assert workings_that_differ(exercise, givens) == [], givens


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_verdict_turns_within_the_tolerance_of_a_number_before_it(topic, exercise):
    for givens in variants(exercise):
        assert verdicts_on_a_hair(exercise, givens) == [], givens


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_answers_without_the_method_earn_no_more_than_the_declared_floor(topic, exercise):
    assert earned_without_the_method(exercise, list(variants(exercise, 20))) <= exercise.floor + 1e-9


@pytest.mark.slow
@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_plain_guesses_and_no_bounds_slips_or_constants_before_them_earn_more_than_the_floor(topic, exercise):
    """What `graders floor` prints: each part by the best plain guess, after every rule for the answers before it."""
    draws = [exercise.draw(b"floor", f"draw {number}") for number in range(12)]
    most = floor.most_without_the_method(exercise, draws)
    assert most.share <= exercise.floor + 1e-9, most


PUBLISHED = [
    pytest.param(exercise, case, id=f"{topic.slug}/{exercise.id}/{case.part}: {case.source[:40]}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
    for case in exercise.cases
]


@pytest.mark.parametrize(("exercise", "case"), PUBLISHED)
def test_published_case(exercise, case, record_property):
    answer, off = case_off(exercise, case)
    print(f"{case.source} [{case.standing}]: printed {case.answer}, ours {answer}, off {off:+.2g}")
    assert abs(off) <= case.within, case.note


def test_names_of_exercises_are_unique_in_their_topic():
    for topic in TOPICS:
        names = [exercise.id for exercise in sheets.exercises(topic.slug)]
        assert len(names) == len(set(names))


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_given_and_no_answer_is_named_like_a_builtin_of_the_kernel(topic, exercise):
    assert names_that_clash(exercise) == []
