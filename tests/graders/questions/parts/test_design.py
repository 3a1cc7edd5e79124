"""A design earns by how good it is: each limit by itself, nothing for choices made without the method."""

import dataclasses

import pytest

from graders import sheets
from graders.judging.judge import Answers, judge_part
from graders.questions.givens import Values
from graders.questions.parts.design import Design, Setting
from graders.questions.verdicts import Margin
from graders.sheets.profile import pair, programme
from workbook.topics import TOPICS

NOTHING = Values({}, {})
SLOW = (programme.CHOOSE, pair.TWO_PACKAGES)
"""Seconds for each programme simulated, and to make the quick model of each of the pair's two benches."""

DESIGNS = [
    pytest.param(
        exercise,
        part,
        id=f"{topic.slug}/{exercise.id}",
        marks=[pytest.mark.slow] if exercise in SLOW else [],
    )
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
    for part in exercise.parts
    if isinstance(part, Design)
]


def judged(*margins, guard=1.0, idle=0.0):
    limits = [Margin(f"limit {number}", 0.0, margin, "K", guard) for number, margin in enumerate(margins)]
    part = Design(
        "plan",
        "?",
        points=4,
        settings=(Setting("x", "a number", "1", 0, 1),),
        simulate=lambda g, a, choices: limits,
        example=lambda g, a: {"x": 0.5},
        idle=idle,
    )
    return part.judge(NOTHING, NOTHING, dict, {"x": 0.5})


def test_all_limits_held_earns_all_points_and_the_guard_band_counts_as_held():
    assert judged(2, 0, -1.0, 30).points == 4


def test_a_missed_limit_earns_less_the_further_it_is_missed_and_never_all():
    earned = [judged(2, 2, 2, -miss).points for miss in (1.01, 3, 6, 9, 10, 500)]
    assert earned == sorted(earned, reverse=True)
    assert earned[0] < 3.5
    assert earned[-2:] == [3, 3]


def test_a_limit_without_a_guard_band_is_held_or_not():
    assert judged(1, -0.001, guard=0).points == judged(1, -500, guard=0).points == 2


def test_more_limits_missed_earn_less():
    earned = [judged(*[-2] * missed, *[2] * (4 - missed)).points for missed in range(5)]
    assert earned == sorted(set(earned), reverse=True)


def test_what_idle_choices_hold_earns_nothing_and_points_rise_from_there():
    assert judged(2, 2, -50, -50, idle=0.5).points == 0
    assert judged(2, 2, 2, -50, idle=0.5).points == 2
    assert judged(2, 2, 2, 2, idle=0.5).points == 4


def test_each_limit_keeps_its_own_margin_in_the_remark():
    verdict = judged(2, -3)
    assert "limit 0" in verdict.remark
    assert "margin +2 K" in verdict.remark
    assert "margin -3 K" in verdict.remark
    assert [one.margin for one in verdict.margins] == [2, -3]


def at(setting, share):
    choice = setting.low + share * (setting.high - setting.low)
    return round(choice) if setting.whole else choice


@pytest.mark.parametrize(("exercise", "part"), DESIGNS)
def test_the_middle_and_the_bounds_of_all_settings_earn_nothing(exercise, part):
    slow = exercise is programme.CHOOSE
    draws = [] if slow else [exercise.draw(b"designs", f"learner {number}") for number in range(30)]
    for givens in [exercise.worked(), *draws]:
        for share in (0, 0.25, 0.5, 1):
            choices = {setting.name: at(setting, share) for setting in part.settings}
            verdict = judge_part(exercise, part.name, givens, Answers(exercise.key(givens) | choices))
            assert verdict.points == 0, (givens, share, verdict)


@pytest.mark.slow
@pytest.mark.parametrize("trial", range(3))
@pytest.mark.parametrize("board", ["light", "medium"])
def test_a_trial_copied_from_the_table_earns_nothing(trial, board):
    exercise = programme.CHOOSE
    givens = exercise.worked() | {"board": board}
    names = ("bottom_plate_c", "top_gas_c", "hold_s", "soak_s", "screen")
    row = (programme.TRIAL_PLATES[trial], programme.TRIAL_GASES[trial], programme.TRIAL_HOLD, programme.TRIAL_SOAK, 0)
    answers = Answers(exercise.key(givens) | dict(zip(names, row, strict=True)))
    assert judge_part(exercise, "chosen", givens, answers).points == 0


@pytest.mark.parametrize(("exercise", "part"), DESIGNS)
def test_how_a_design_is_scored_is_part_of_what_decides_a_mark(exercise, part):
    solved = exercise.solved(exercise.worked())
    easier = dataclasses.replace(part, idle=part.idle / 2, simulate=lambda g, a, choices: [])
    assert easier.rules(*solved) != dataclasses.replace(part, simulate=lambda g, a, choices: []).rules(*solved)
