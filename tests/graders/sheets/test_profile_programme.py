"""The heater programme of the profile topic: trials true to the simulator, a region to hit, no prize for a guess."""

from itertools import product

import pytest

from graders import sheets
from graders.judging.judge import Answers, judge_part
from graders.sheets.profile import programme
from workbook.bench.profile import board

CHOOSE = sheets.find("profile", "choose-a-programme")
DESIGN = CHOOSE.part("chosen")
BOARDS, RATINGS, NEIGHBOURS = (CHOOSE.givens[name].options for name in ("board", "rating_c", "neighbour_limit_c"))


def variant(on_board, rating_c, neighbour_limit_c):
    """Return a full set of givens as printed."""
    trials = {f"{place}_c": peaks for place, peaks in programme.TRIALS[on_board].items()}
    asked = {"board": on_board, "rating_c": rating_c, "neighbour_limit_c": neighbour_limit_c}
    return CHOOSE.worked() | asked | trials


def variants(neighbour_limit_c):
    """Return every board with every rating that is drawn, at one limit of the neighbour."""
    return [
        pytest.param(givens, id=f"{on_board} {rating}")
        for on_board, rating in product(BOARDS, RATINGS)
        if CHOOSE.sound(givens := variant(on_board, rating, neighbour_limit_c))
    ]


STRICTEST, LAXEST = variants(min(NEIGHBOURS)), variants(max(NEIGHBOURS))


def judged(givens, plate, gas, hold, soak):
    """Return the verdict on a programme."""
    choices = {"bottom_plate_c": plate, "top_gas_c": gas, "hold_s": hold, "soak_s": soak}
    return judge_part(CHOOSE, "chosen", givens, Answers(CHOOSE.key(givens) | choices))


@pytest.mark.parametrize("on_board", BOARDS)
def test_the_printed_trials_are_what_the_simulated_board_shows(on_board):
    for row, (plate, gas) in enumerate(zip(programme.TRIAL_PLATES, programme.TRIAL_GASES, strict=True)):
        record = board.run_choices(on_board, plate, gas, programme.TRIAL_HOLD, programme.TRIAL_SOAK, melting=True)
        shown = {
            "joint": record.joints_c.max(axis=0).min(),
            "package": record.temperature_c["package top"].max(),
            "neighbour": record.temperature_c["neighbour at 10 mm"].max(),
        }
        for place, peak in shown.items():
            assert programme.TRIALS[on_board][place][row] == pytest.approx(peak, abs=0.3)


@pytest.mark.parametrize("givens", STRICTEST)
def test_the_example_holds_every_limit_without_leaning_on_a_guard_band(givens):
    margins = DESIGN.simulate(CHOOSE.values(givens), None, DESIGN.example(CHOOSE.values(givens), None))
    assert min(margin.margin for margin in margins) > 0, margins


@pytest.mark.parametrize("givens", STRICTEST)
def test_there_is_a_region_to_hit_and_not_a_point(givens):
    example = programme.EXAMPLES[givens["board"]]
    for step in ((1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 5, 0), (0, 0, 0, 20)):
        for sign in (1, -1):
            moved = [value + sign * by for value, by in zip(example, step, strict=True)]
            assert judged(givens, *moved).verdict == "right", moved


@pytest.mark.parametrize("givens", LAXEST)
def test_no_guess_holds_every_limit(givens):
    middle = [(setting.low + setting.high) / 2 for setting in DESIGN.settings]
    highest, lowest = ([getattr(setting, end) for setting in DESIGN.settings] for end in ("high", "low"))
    the_pictures_first = (350, 270, 60, 120)
    the_first_trial = (programme.TRIAL_PLATES[0], programme.TRIAL_GASES[0], programme.TRIAL_HOLD, programme.TRIAL_SOAK)
    round_numbers = (300, 300, 60, 60)
    for guess in (middle, highest, lowest, round_numbers, the_pictures_first, the_first_trial):
        assert judged(givens, *guess).points < DESIGN.points, guess


MISSES = {
    "package top": (300, 400, 20, 30),
    "peak of the coldest joint": (320, 255, 90, 180),
    "neighbour at 10 mm": (350, 270, 60, 120),
    "hottest joint above 217 °C": (330, 270, 120, 240),
    "joints apart at the peak": (220, 400, 120, 120),
    "coldest joint above 217 °C": (310, 400, 10, 60),
}
"""A programme for each limit that it misses on the medium board rated to 245 °C."""


@pytest.mark.parametrize("limit", MISSES)
def test_each_limit_can_be_missed_and_says_what_to_think_about(limit):
    verdict = judged(variant("medium", 245, 212), *MISSES[limit])
    missed = next(margin for margin in verdict.margins if margin.limit == limit)
    assert not missed.held
    assert missed.advice in verdict.remark


def test_one_limit_missed_earns_half_and_more_earn_nothing():
    example = programme.EXAMPLES["medium"]
    hotter = (example[0] + 15, *example[1:])
    for givens in (variant("medium", 260, 212), variant("medium", 250, 212)):
        for choices in (hotter, (400, 400, 120, 240)):
            verdict = judged(givens, *choices)
            missed = sum(not margin.held for margin in verdict.margins)
            assert missed, choices
            assert verdict.points == (DESIGN.points / 2 if missed == 1 else 0)


def test_a_programme_beyond_the_station_earns_nothing_and_is_told_so():
    verdict = judged(CHOOSE.worked(), 900, 270, 60, 120)
    assert verdict.points == 0
    assert "outside its bounds" in verdict.remark
