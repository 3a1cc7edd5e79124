"""Answers with fresh numbers, and answers that are wrong for their learner's numbers and right for someone else's."""

import pytest

from graders import sheets
from graders.judging import second_run
from graders.judging.judge import Answers, judge_part
from graders.questions.parts.number import Number
from graders.questions.verdicts import Code

EXERCISE = sheets.find("profile", "bead-lag")
PARTS = [part.name for part in EXERCISE.parts if isinstance(part, Number)][:2]
KEYS = {name: EXERCISE.key(EXERCISE.draw(b"secret", name)) for name in ("amber", "birch", "cedar")}


def handed_in(learner, answers, wrong):
    key = {name: KEYS[learner][name] for name in PARTS}
    return second_run.LearnerAnswers(learner, answers, tuple(wrong), key)


def test_two_wrong_numbers_that_fit_the_same_other_learner_are_listed_with_whose():
    own = {name: KEYS["amber"][name] for name in PARTS}
    everyone = [
        handed_in("amber", own, ()),
        handed_in("birch", own, PARTS),
        handed_in("cedar", {name: KEYS["cedar"][name] for name in PARTS}, ()),
    ]
    found = second_run.copied("profile", EXERCISE, everyone)
    assert [(one.learner, one.part, one.whose) for one in found] == [
        ("birch", PARTS[0], ("amber",)),
        ("birch", PARTS[1], ("amber",)),
    ]


def test_one_wrong_number_that_fits_is_chance_and_not_listed():
    odd = {PARTS[0]: KEYS["amber"][PARTS[0]], PARTS[1]: 1e6}
    everyone = [handed_in("amber", KEYS["amber"], ()), handed_in("birch", odd, PARTS)]
    assert second_run.copied("profile", EXERCISE, everyone) == []


OWN, FRESH = EXERCISE.draw(b"secret", "amber"), second_run.fresh_givens(EXERCISE, b"secret", "amber")
TIME = EXERCISE.part("time_constant")
COMPUTED = "time_constant = density * specific_heat * diameter / 6000 / film"


def found_for(fresh_answer, source=COMPUTED):
    """Return the finding on a right time constant that came out so with fresh numbers."""
    right = EXERCISE.key(OWN)[TIME.name]
    unread = {} if fresh_answer is not None else {TIME.name: "not reached"}
    own = judge_part(EXERCISE, TIME.name, OWN, Answers({TIME.name: right}))
    fresh = judge_part(EXERCISE, TIME.name, FRESH, Answers({TIME.name: fresh_answer}, unread))
    assert own.verdict is Code.RIGHT
    return second_run.finding(TIME, second_run.Seen(own, right, fresh, fresh_answer), source)


def test_only_the_right_answer_to_the_fresh_numbers_follows_them():
    right = EXERCISE.key(FRESH)[TIME.name]
    assert found_for(right) == "follows the givens"
    assert found_for(right * 1.001) == "follows the givens"


@pytest.mark.parametrize("factor", [1.2, 0.5, -1, 1000, 1e-3, 0])
def test_an_answer_that_varies_at_will_does_not_follow(factor):
    assert found_for(EXERCISE.key(FRESH)[TIME.name] * factor) == "working, typed numbers"


def test_a_second_run_without_an_answer_does_not_follow_and_costs_as_the_policy_says():
    assert found_for(None) == "no answer"
    right = judge_part(EXERCISE, TIME.name, OWN, Answers(EXERCISE.key(OWN)))
    assert second_run.after_policy(right, "no answer", "zero").points == 0


@pytest.mark.parametrize(("found", "policy"), [(None, "zero"), (second_run.FOLLOWS, "zero"), ("bare number", "flag")])
def test_nothing_is_taken_off_what_follows_what_was_not_run_again_or_is_only_to_be_said(found, policy):
    right = judge_part(EXERCISE, TIME.name, OWN, Answers(EXERCISE.key(OWN)))
    assert second_run.after_policy(right, found, policy) == right


def test_a_slip_made_for_the_fresh_numbers_too_is_no_right_answer_typed():
    slip = TIME.slips[0].value(EXERCISE.values(FRESH), EXERCISE.answers({}))
    assert found_for(slip) == "working, typed numbers"
