"""Answers with fresh numbers, and answers that are wrong for their learner's numbers and right for someone else's."""

from collections import Counter
from dataclasses import replace

import pytest

from graders import sheets
from graders.judging import second_run
from graders.judging.judge import Answers, judge_part
from graders.questions.parts.number import Number
from graders.questions.verdicts import Code, Verdict
from workbook import units
from workbook.topics import TOPICS

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


OWN = EXERCISE.draw(b"secret", "amber")
FRESH = second_run.fresh_givens(EXERCISE, OWN, b"secret", "amber")
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


def test_fresh_numbers_are_others_and_the_same_at_every_marking():
    assert OWN != FRESH == second_run.fresh_givens(EXERCISE, OWN, b"secret", "amber")
    assert second_run.fresh_givens(EXERCISE, OWN, b"secret", "birch") != FRESH
    assert second_run.fresh_givens(EXERCISE, OWN, b"other", "amber") != FRESH


BY_NATURE = {
    ("doubt-of-a-reading", "joint_wire"),
    ("where-paste-stops", "twice_force"),
    ("package-rating", "tin_lead_c"),
    ("bake-columns", "energy"),
}
"""Numbers of which there are one or few, as a class of a published table: their second run shows little."""


@pytest.mark.parametrize("topic", [one.slug for one in TOPICS])
def test_fresh_numbers_change_each_answer_of_most_learners(topic):
    stayed = Counter()
    for exercise in sheets.exercises(topic):
        numbers = [part.name for part in exercise.parts if isinstance(part, Number)]
        for learner in ("amber", "birch", "cedar", "dahlia"):
            givens = exercise.draw(b"secret", learner)
            fresh = second_run.fresh_givens(exercise, givens, b"secret", learner)
            stayed.update(
                (exercise.id, name) for name in set(numbers) - set(second_run.changing(exercise, givens, fresh))
            )
    assert {one for one, times in stayed.items() if times > 1} <= BY_NATURE


def test_a_shops_rule_stands_in_fresh_numbers_too():
    exercise, rule = sheets.find("shorts", "decide-on-a-reading"), {"shorts.dead_short_limit": 0.8}
    for shop, limit in (({}, 1.0), (rule, 0.8)):
        givens = exercise.draw(b"secret", "amber", shop)
        assert second_run.fresh_givens(exercise, givens, b"secret", "amber", shop)["dead_short"] == limit


def verdict(code, flag="", points=0.0):
    return Verdict(TIME.name, points, 2, code, "", flag)


@pytest.mark.parametrize(
    ("own", "again", "follows"),
    [
        (verdict(Code.RIGHT), verdict(Code.RIGHT), True),
        (verdict(Code.RIGHT), verdict(Code.CARRIED_THROUGH), True),
        (verdict(Code.SLIP, "d"), verdict(Code.SLIP, "d"), True),
        (verdict(Code.SLIP, "d"), verdict(Code.SLIP, "r"), False),
        (verdict(Code.RIGHT, "d"), verdict(Code.SLIP, "d"), False),
        (verdict(Code.SLIP, "d"), verdict(Code.NOT_RIGHT, "d"), False),
        (verdict(Code.NOT_RIGHT), verdict(Code.NOT_RIGHT), False),
    ],
)
def test_what_is_right_again_or_has_the_same_slip_again_follows_where_it_is_another_number(own, again, follows):
    assert second_run.Seen(own, 1.0, again, 2.0).follows is follows
    assert not second_run.Seen(own, 1.0, again, 1.0).follows


def test_only_numbers_whose_right_answer_is_another_one_are_expected_to_change():
    names = second_run.changing(EXERCISE, OWN, FRESH)
    assert TIME.name in names
    assert second_run.changing(EXERCISE, OWN, OWN) == []
    worded = [part.name for part in EXERCISE.parts if not isinstance(part, Number)]
    assert not set(worded) & set(names)


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("time_constant = 12.5", "bare number"),
        ("time_constant = -12.5", "bare number"),
        ("time_constant = 1\ntime_constant = 2", "bare number"),
        ("time_constant = 25 / 2", "working, typed numbers"),
        ("time_constant = 1\ntime_constant = 25 / 2", "working, typed numbers"),
        ("time_constant = density", "working, typed numbers"),
        ("other = 12.5", "working, typed numbers"),
        ("time_constant.x = 3", "working, typed numbers"),
        ("other = time_constant = 12.5", "bare number"),
        ("time_constant = = 1", "working, typed numbers"),
        ("time_constant = '\0'", "working, typed numbers"),
        ("", "working, typed numbers"),
    ],
)
def test_a_bare_number_is_one_without_any_working_in_its_cell(source, found):
    assert found_for(1.0, source) == found


def test_of_what_earned_nothing_there_is_no_finding():
    wrong = judge_part(EXERCISE, TIME.name, OWN, Answers({TIME.name: 1e5}))
    assert second_run.finding(TIME, second_run.Seen(wrong, 1e5, wrong, 1e5), "time_constant = 1e5") is None


@pytest.mark.parametrize(("policy", "left"), [("flag", 2), ("half", 1), ("zero", 0)])
def test_what_does_not_follow_costs_as_the_policy_says_and_is_told(policy, left):
    right = judge_part(EXERCISE, TIME.name, OWN, Answers(EXERCISE.key(OWN)))
    right = replace(right, points=2.0)
    after = second_run.after_policy(right, "bare number", policy)
    assert after.points == left
    assert (after.flag, after.remark.endswith(second_run.REMARK)) == (
        ("", False) if policy == "flag" else ("bare number", True)
    )
    assert second_run.after_policy(replace(right, flag="own"), "bare number", "half").flag == "own"


def test_findings_are_records_of_what_was_found():
    found = second_run.findings("amber", "profile", EXERCISE, {"a": "no answer", "b": None, "c": ""})
    assert [(one.learner, one.topic, one.exercise, one.part, one.finding) for one in found] == [
        ("amber", "profile", EXERCISE.id, "a", "no answer")
    ]


def test_numbers_that_fit_several_others_are_listed_with_all_and_never_with_oneself():
    own = {name: KEYS["amber"][name] for name in PARTS}
    right = [handed_in("amber", own, ()), replace(handed_in("amber", own, ()), learner="dill")]
    found = second_run.copied("profile", EXERCISE, [*right, handed_in("birch", own, PARTS)])
    assert {one.whose for one in found} == {("amber", "dill")}
    mine = replace(handed_in("birch", own, PARTS), key=own)
    assert second_run.copied("profile", EXERCISE, [mine]) == []


def test_two_wrong_numbers_that_fit_two_different_others_are_chance():
    odd = {PARTS[0]: KEYS["amber"][PARTS[0]], PARTS[1]: KEYS["cedar"][PARTS[1]]}
    everyone = [handed_in("amber", KEYS["amber"], ()), handed_in("cedar", KEYS["cedar"], ())]
    assert second_run.copied("profile", EXERCISE, [*everyone, handed_in("birch", odd, PARTS)]) == []


def test_who_has_one_wrong_number_only_is_not_looked_at():
    own = {name: KEYS["amber"][name] for name in PARTS}
    everyone = [handed_in("amber", own, ()), handed_in("birch", own, PARTS[:1])]
    assert second_run.copied("profile", EXERCISE, everyone) == []


def test_a_part_that_not_everyone_has_is_not_compared():
    own = {name: KEYS["amber"][name] for name in PARTS}
    older = replace(handed_in("amber", own, ()), key={PARTS[0]: own[PARTS[0]]})
    assert second_run.copied("profile", EXERCISE, [older, handed_in("birch", own, PARTS)]) == []
    more = [handed_in("amber", own, ()), handed_in("birch", own, [*PARTS, "older_part"])]
    more[1] = replace(more[1], answers=own | {"older_part": 1.0})
    assert len(second_run.copied("profile", EXERCISE, more)) == 2


def test_an_answer_as_near_as_the_question_asks_fits():
    own = {name: KEYS["amber"][name] for name in PARTS}
    for share, many in ((0.9, 2), (1.1, 0)):
        near = {}
        for name in PARTS:
            part = EXERCISE.part(name)
            reach = part.within.around(units.to_si(own[name], part.unit), part.unit)
            near[name] = own[name] + share * units.from_si(reach, part.unit)
        everyone = [handed_in("amber", own, ()), handed_in("birch", near, PARTS)]
        assert len(second_run.copied("profile", EXERCISE, everyone)) == many
