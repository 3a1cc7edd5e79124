"""Two packages: a region to hit, no prize for a guess, each limit can be missed, and marking stays within its time."""

from itertools import product

import pytest

from graders import sheets
from graders.judging.judge import Answers, judge_part
from graders.sheets.profile import pair
from tests.benchmarks.board_profile import pair_peaks
from tests.yardstick import millions_counted
from workbook.bench.profile.board_pair import Mesh, reduced_pair, run_pair, simulate_pair
from workbook.bench.profile.heats import heats_left
from workbook.panels import profile as panel

PAIR = sheets.find("profile", "two-packages")
DESIGN = PAIR.part("chosen")
HISTORIES = [pytest.param(*both, id=f"{both}") for both in product((1, 2), repeat=2)]


def judged(before_1=2, before_2=2, **choices):
    """Return the verdict on the example with some choices otherwise."""
    givens = PAIR.worked() | {"before_1": before_1, "before_2": before_2}
    return judge_part(PAIR, "chosen", givens, Answers(PAIR.key(givens) | pair.EXAMPLE | choices))


@pytest.mark.parametrize(("before_1", "before_2"), HISTORIES)
def test_the_example_holds_every_limit_without_leaning_on_a_guard_band(before_1, before_2):
    margins = pair.limits_of(pair.EXAMPLE, (before_1, before_2))
    assert all(one.margin > one.guard or (one.guard == 0 and one.margin >= 0) for one in margins), margins


@pytest.mark.parametrize(
    "step", [{"bottom_plate_c": 1}, {"gas_1_c": 2, "gas_2_c": 2}, {"hold_s": 5}, {"wait_s": 20}, {"cool_down_s": 20}]
)
def test_there_is_a_region_to_hit_and_not_a_point(step):
    for sign in (1, -1):
        moved = {name: pair.EXAMPLE[name] + sign * by for name, by in step.items()}
        assert judged(**moved).verdict == "right", moved


def test_idle_choices_earn_nothing_and_no_picture_or_text_gives_the_answer():
    for by in (lambda s: s.low, lambda s: s.high, lambda s: (s.low + s.high) // 2):
        assert judged(**{setting.name: by(setting) for setting in DESIGN.settings}).points == 0
    start = {control.name: control.value for control in panel.PAIR_CONTROLS}
    shown = dict(
        bottom_plate_c=start["bottom_plate_c"],
        gas_1_c=start["top_gas_c"],
        gas_2_c=start["top_gas_c"],
        hold_s=start["hold"],
        wait_s=start["wait"],
        cool_down_s=0,
    )
    assert judged(**shown).points < DESIGN.points


MISSES = {
    "top of U1": dict(gas_1_c=340),
    "coldest joint of U2": dict(gas_2_c=240),
    "coldest joint of U1 above 217 °C": dict(gas_1_c=220, hold_s=10),
    "U1 while the other is heated": dict(cool_down_s=0, wait_s=5),
    "U2 while the other is heated": dict(bottom_plate_c=370),
    "heats of U2, at most 3": dict(cool_down_s=0, wait_s=120, bottom_plate_c=380, hold_s=30),
}


@pytest.mark.parametrize("limit", MISSES)
def test_each_limit_can_be_missed_and_says_what_to_think_about(limit):
    missed = [one for one in judged(**MISSES[limit]).margins if not one.held]
    assert limit in [one.limit for one in missed], missed


def test_straight_on_heats_the_first_package_anew_and_a_cool_down_does_not():
    straight, cooled = (
        next(one.value for one in judged(**waits).margins if one.limit == "U1 while the other is heated")
        for waits in (dict(cool_down_s=0, wait_s=5), dict(cool_down_s=225, wait_s=60))
    )
    assert straight > 217 > cooled + 20


def test_with_heat_from_below_a_shield_keeps_heat_in():
    bare, shielded = (
        next(one.value for one in judged(shield=shield).margins if one.limit == "U1 while the other is heated")
        for shield in (0, 1)
    )
    assert shielded > bare + 5


def test_the_finite_volumes_say_the_same_of_the_example():
    """The mark hangs on peaks: on one coarse mesh quick model and volumes differ by less than the guard band."""
    coarse = Mesh(4, 2, 1, 1)
    programme = pair.programme_of(pair.EXAMPLE)
    quick = run_pair(pair.BARE, programme, board=reduced_pair(pair.BARE, coarse))
    full = simulate_pair(pair.BARE, programme, 1.0, True, coarse)
    assert pair_peaks(quick) == pytest.approx(pair_peaks(full), abs=pair.GUARD_K)
    for k in (0, 1):
        assert quick.neighbour_peak_c(k) == pytest.approx(full.neighbour_peak_c(k), abs=pair.GUARD_K)
        assert quick.time_above_liquidus(k) == pytest.approx(full.time_above_liquidus(k), abs=pair.GUARD_S)
        assert quick.heats(k) == full.heats(k) == 1


def test_a_judgement_takes_a_small_part_of_a_second_of_a_core():
    judged()  # builds the quick model, once a process
    holds = iter((100, 105, 110))
    assert millions_counted(lambda: judged(hold_s=next(holds))) < 12


@pytest.mark.parametrize(("before_1", "before_2"), HISTORIES)
def test_the_count_is_the_bench_s(before_1, before_2):
    key = PAIR.key(PAIR.worked() | {"before_1": before_1, "before_2": before_2})
    over = heats_left(before_1, 0, 1, neighbours_melts=1) < 0
    assert (key["straight_on"] == "over") == over == (key["seen"] == "over")
