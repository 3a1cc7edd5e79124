"""Choices for one's own board are searched as said and stay within the station, whatever foresees them."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from workbook.bench.profile import own_plan
from workbook.bench.profile.board_station import Programme
from workbook.bench.profile.own_fit import Forecast
from workbook.bench.profile.own_plan import STATION, Choices, Wanted, propose

PEAK = "peak of the hottest joint"
BEST = dict(bottom_plate_c=337.0, top_gas_c=281.0, hold=47.0, soak=104.0)


def foreseen(programme):
    """Return draws of a peak that is the higher the nearer a programme is to the best one."""
    (_, plate), (_, gas) = programme.bottom_plate_c[1], programme.top_gas_c[-1]
    hold = programme.lift_off - programme.top_gas_c[-1][0]
    soak = programme.top_gas_c[0][0] - 60
    off = np.array([plate, gas, hold, soak]) - list(BEST.values())
    return Forecast(programme, {}, {PEAK: 200 - off @ off / 100 + np.linspace(-1, 1, 101)})


FIT = SimpleNamespace(foresee=foreseen, own=SimpleNamespace(bench=SimpleNamespace(room_c=20.0)))


def test_the_search_ends_where_no_step_of_five_degrees_five_seconds_or_ten_of_soak_is_better():
    made = propose(FIT, [Wanted(PEAK, low=150.0)])
    assert made.choices == Choices(335.0, 280.0, 45.0, 100.0)
    assert made.forecast.programme == made.choices.programme(20.0), "from the room of the board itself"
    assert made.reached
    assert made.chances == (1.0,)


def test_it_stays_within_what_the_station_can_be_set_to():
    made = propose(FIT, [Wanted(PEAK, low=150.0)], station={"bottom_plate_c": (150.0, 322.0), "soak": (120.0, 240.0)})
    assert (made.choices.bottom_plate_c, made.choices.soak) == (322.0, 120.0)
    assert (made.choices.top_gas_c, made.choices.hold) == (280.0, 45.0)


def test_a_station_that_nobody_describes_is_the_usual_one():
    """Plate to 400 °C, gas from 200 to 400 °C, a hold of up to two minutes, a soak of up to four: common practice."""
    assert STATION == {
        "bottom_plate_c": (150, 400),
        "top_gas_c": (200, 400),
        "hold": (20, 120),
        "soak": (30, 240),
    }


@pytest.mark.parametrize(("low", "chance", "reached"), [(199.0, 0.5, True), (199.0, 0.95, False), (99.0, 0.95, True)])
def test_limits_are_reached_where_each_holds_with_the_chance_asked_for(low, chance, reached):
    made = propose(FIT, [Wanted(PEAK, low=low), Wanted(PEAK, low=0.0)], chance)
    assert made.reached is reached
    assert made.chances[1] == 1


def test_limits_hold_exactly_as_often_as_asked_and_are_reached():
    (half,) = propose(FIT, [Wanted(PEAK, low=199.5)], 0.5).chances
    assert propose(FIT, [Wanted(PEAK, low=199.5)], half).reached


def test_what_no_draw_tells_apart_is_not_proposed_for():
    def flat(programme):
        return Forecast(programme, {}, {PEAK: np.full(5, 200.0)})

    made = propose(SimpleNamespace(foresee=flat, own=FIT.own), [Wanted(PEAK, low=150.0)])
    assert made.choices.hold == 60.0


def test_a_proposal_needs_a_limit_and_a_chance():
    with pytest.raises(ValueError, match="at least one limit"):
        propose(FIT, [])
    for chance in (0.0, 1.0):
        with pytest.raises(ValueError, match="chance must be"):
            propose(FIT, [Wanted(PEAK)], chance)


def test_a_margin_is_to_the_nearer_end_and_below_nothing_outside():
    limit = Wanted(PEAK, 10.0, 30.0)
    assert [limit.margin(value) for value in (12.0, 25.0, 5.0, 33.0)] == [2, 5, -5, -3]
    assert Wanted(PEAK, low=10.0).margin(99.0) == 89
    assert Wanted(PEAK).margin(0.0) == np.inf
    forecast = Forecast(Programme(), {}, {PEAK: np.array([5.0, 10.0, 30.0, 31.0])})
    assert limit.chance(forecast) == 0.5
    for odd in (dict(low=np.nan), dict(high=np.nan)):
        with pytest.raises(ValueError, match="must be a number"):
            Wanted(PEAK, **odd)
    with pytest.raises(ValueError, match="quantity must be one of"):
        Wanted("happiness")


def test_what_is_not_chosen_is_a_minute_of_hold_and_one_and_a_half_of_soak_from_25_degrees():
    programme = Choices(330.0, 270.0).programme()
    assert programme == Programme.from_choices(330.0, 270.0, hold=60.0, soak=90.0, room_c=25.0)
    assert Choices(330.0, 270.0).programme(20.0).bottom_plate_c[0] == (0.0, 20.0)


def test_nine_in_ten_lie_within_a_ninety_fifth_percentile_to_either_side():
    nine_of_ten = own_plan.NINE_OF_TEN
    assert nine_of_ten == pytest.approx(stats.norm.isf(0.05))
