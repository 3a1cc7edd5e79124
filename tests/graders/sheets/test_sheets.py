"""Every sheet holds: right is right, each slip is known as itself, working agrees, published cases come out."""

import os

import pytest

from graders import sheets
from graders.judging import floor
from graders.questions.parts import Choice, Design, Number, Order, Several, Written
from tests.benchmarks.draws import (
    SECRET,
    judged,
    not_full_marks,
    slips_not_told,
    verdicts_on_a_hair,
    workings_that_differ,
)
from workbook import units
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


GUESSES = (0, 1, -1, 100)


def earned_without_the_method(exercise, count=20):
    """Return the most that one guess for all numbers earns, on average over draws, as a share of the points.

    Words are drawn in their order, so that one of them earns what chance does.
    """
    earned, draws = {}, list(variants(exercise, count))
    for givens in draws:
        numbers = {name: value for name, value in givens.items() if isinstance(value, (int, float))}
        for name, guess in [*((str(guess), guess) for guess in GUESSES), *numbers.items()]:
            answers, points = {}, 0.0
            for part in exercise.parts:
                if isinstance(part, Number):
                    answers[part.name] = guess
                elif isinstance(part, (Several, Order)):
                    answers[part.name] = sorted(part.options)
                elif isinstance(part, Choice):
                    answers[part.name] = min(part.options)
                elif isinstance(part, Design):
                    answers |= {setting.name: guess for setting in part.settings}
            for part in exercise.parts:
                if isinstance(part, Choice):
                    points += part.points / len(part.options)
                elif not isinstance(part, Written):
                    points += judged(exercise, part, givens, answers).points
            earned[name] = earned.get(name, 0.0) + points / len(draws) / exercise.points
    return max(earned.values())


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_answers_without_the_method_earn_no_more_than_the_declared_floor(topic, exercise):
    assert earned_without_the_method(exercise) <= exercise.floor + 1e-9


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
    givens = exercise.worked() | case.givens
    ours = exercise.answers(exercise.key(givens) | case.earlier)
    part = exercise.part(case.part)
    if isinstance(case.answer, str):
        answer = part.expected(exercise.values(givens), ours)
        print(f"{case.source} [{case.standing}]: printed {case.answer}, ours {answer}")
        assert case.answer == answer
        return
    answer = units.from_si(float(part.expected(exercise.values(givens), ours)), part.unit)
    off = answer - case.answer
    print(f"{case.source} [{case.standing}]: printed {case.answer:g}, ours {answer:.6g}, off {off:+.2g}")
    assert case.answer == pytest.approx(answer, abs=case.within), case.note


def test_names_of_exercises_are_unique_in_their_topic():
    for topic in TOPICS:
        names = [exercise.id for exercise in sheets.exercises(topic.slug)]
        assert len(names) == len(set(names))


KERNEL_WORDS = {"display", "get_ipython", "exit", "quit"}
"""What IPython's kernel puts among the builtins: a name refused there, and not here, would lose a whole topic."""


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_given_and_no_answer_is_named_like_a_builtin_of_the_kernel(topic, exercise):
    names = {*exercise.givens, *(name for part in exercise.parts for name in part.answer_names)}
    assert not names & KERNEL_WORDS
