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
    pytest.param(exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]
VARIANTS = int(os.environ.get("REWORK_VARIANTS", "50"))


@pytest.fixture(scope="module", params=EXERCISES)
def exercise(request):
    """Each exercise in turn; all claims about it stand together, so that it is worked out once."""
    return request.param


@pytest.fixture(scope="module")
def draws(exercise):
    """The worked givens and then own numbers of invented learners."""
    return [exercise.worked(), *(exercise.draw(SECRET, f"learner {number}") for number in range(VARIANTS))]


def test_the_right_answers_earn_full_marks_in_every_variant(exercise, draws):
    for givens in draws:
        assert not_full_marks(exercise, givens) == [], givens


def test_every_slip_is_recognised_as_itself_and_earns_no_full_marks(exercise, draws):
    for givens in draws:
        assert slips_not_told(exercise, givens) == [], givens


def test_the_printed_working_agrees_with_the_bench_in_every_variant(exercise, draws):
    for givens in draws:
        assert workings_that_differ(exercise, givens) == [], givens


def test_no_verdict_turns_within_the_tolerance_of_a_number_before_it(exercise, draws):
    for givens in draws:
        assert verdicts_on_a_hair(exercise, givens) == [], givens


def test_answers_without_the_method_earn_no_more_than_the_declared_floor(exercise, draws):
    assert earned_without_the_method(exercise, draws[:21]) <= exercise.floor + 1e-9


@pytest.mark.slow
def test_no_plain_guesses_and_no_bounds_slips_or_constants_before_them_earn_more_than_the_floor(exercise):
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


@pytest.mark.parametrize(("asked", "case"), PUBLISHED)
def test_published_case(asked, case):
    answer, off = case_off(asked, case)
    print(f"{case.source} [{case.standing}]: printed {case.answer}, ours {answer}, off {off:+.2g}")
    assert abs(off) <= case.within, case.note


def test_names_of_exercises_are_unique_in_their_topic():
    for topic in TOPICS:
        names = [exercise.id for exercise in sheets.exercises(topic.slug)]
        assert len(names) == len(set(names))


def test_no_given_and_no_answer_is_named_like_a_builtin_of_the_kernel(exercise):
    assert names_that_clash(exercise) == []
