"""What is read off a run is what anybody reads off its curves: the coldest joint, peaks, times above a level."""

import numpy as np
import pytest

from workbook.bench.profile import own_fit
from workbook.bench.profile.board_station import PLACES, Programme
from workbook.bench.profile.own_board import Run
from workbook.bench.profile.own_fit import APART, QUANTITIES, TRACES, Forecast

TIME = np.array([0.0, 10.0, 20.0, 30.0])


def run(joints):
    """A run in which each place has its own number, and the joints are as given (times x joints)."""
    places = np.arange(len(PLACES)) + 1000.0 * np.arange(4)[:, None]
    return Run(TIME, places, places, np.array(joints, float), TIME, TIME, TIME)


JOINTS = [[0, 0, 0], [50, 40, 60], [30, 45, 20], [0, 0, 0]]


def test_the_coldest_joint_is_the_one_with_the_lowest_peak_and_the_hottest_the_one_with_the_highest():
    assert own_fit.coldest_and_hottest(run(JOINTS)) == (1, 2)


def test_the_rows_of_the_traces_are_the_two_joints_and_the_places_by_their_names():
    rows = own_fit.trace_rows(1, 2)
    assert rows[:2] == [len(PLACES) + 1, len(PLACES) + 2]
    assert [PLACES[row] for row in rows[2:]] == list(TRACES[2:])


def test_traces_are_those_joints_and_places_above_the_room_or_with_it():
    found = own_fit.traces(run(JOINTS))
    assert found[:, :2].tolist() == [[0, 0], [40, 60], [45, 20], [0, 0]]
    assert found[1, 2:].tolist() == [1000.0 + PLACES.index(name) for name in TRACES[2:]]
    assert (own_fit.traces(run(JOINTS), room_c=25.0) == found + 25).all()
    chosen = own_fit.traces(run(JOINTS), 0, 1)
    assert chosen[:, :2].tolist() == [[0, 0], [50, 40], [30, 45], [0, 0]]


def test_time_above_a_level_is_read_straight_between_readings():
    """Up through 25 at 5 s, down through it at 25 s; what touches it, stays above or below counts so."""
    draws = np.array(
        [[0, 50, 50, 0], [25, 25, 25, 25], [30, 30, 30, 30], [0, 10, 20, 0], [0, 25, 0, 0], [0, 0, 0, 100]]
    )
    assert own_fit.time_above(TIME, draws, 25.0).tolist() == pytest.approx([20, 0, 30, 0, 0, 7.5])


def test_quantities_are_peaks_times_above_and_how_far_joints_are_apart_when_the_hottest_peaks():
    traces = np.zeros((2, 4, len(TRACES)))
    traces[0, :, 0], traces[0, :, 1] = [0, 40, 45, 0], [0, 60, 20, 0]
    traces[1, :, 0], traces[1, :, 1] = [0, 10, 30, 0], [0, 20, 50, 0]
    traces[:, 2, 2:] = [[7, 8, 9], [1, 2, 3]]
    found = own_fit.quantities(TIME, traces, 30.0)
    assert set(found) == set(QUANTITIES)
    assert found["peak of the coldest joint"].tolist() == [45, 30]
    assert found["peak of the hottest joint"].tolist() == [60, 50]
    assert [found[f"peak of the {name}"].tolist() for name in TRACES[2:]] == [[7, 1], [8, 2], [9, 3]]
    assert found["coldest joint above liquidus"].tolist() == pytest.approx([10 * 10 / 40 + 10 + 10 * 15 / 45, 0])
    assert found["hottest joint above liquidus"].tolist() == pytest.approx([5 + 7.5, 10 * 20 / 30 + 4])
    assert found[APART].tolist() == [20, 20]


def test_curves_are_read_straight_between_the_times_of_another_run_up_to_its_ends():
    columns = np.arange(4.0)[None, :, None] ** 2 * [[[1.0, 2.0]]]
    found = own_fit._at(TIME, columns, np.array([0.0, 4.0, 10.0, 25.0, 30.0]))
    assert found[0].tolist() == pytest.approx(np.array([[0, 0], [0.4, 0.8], [1, 2], [6.5, 13], [9, 18]]))


FORECAST = Forecast(Programme.from_choices(330.0, 270.0), {}, {"peak": np.arange(101.0)})


def test_an_interval_holds_its_chance_in_the_middle():
    assert FORECAST.interval("peak") == pytest.approx((5, 95))
    assert FORECAST.interval("peak", 0.5) == pytest.approx((25, 75))
    for chance in (0.0, 1.0):
        with pytest.raises(ValueError, match="chance"):
            FORECAST.interval("peak", chance)


def test_a_limit_itself_is_within_it():
    draws = Forecast(FORECAST.programme, {}, {"peak": np.array([1.0, 2.0, 3.0, 4.0])})
    assert draws.chance_within("peak", 2.0, 3.0) == 0.5
    assert draws.chance_within("peak", low=2.5) == 0.5
    assert draws.chance_within("peak", high=1.0) == 0.25
    assert draws.chance_within("peak") == 1.0


def test_what_stays_below_liquidus_is_not_above_it_by_the_models_error():
    (time, *_), (peak, *_) = own_fit.TIMES, own_fit.PEAKS
    found = np.array([0.0, 3.0, 20.0])
    assert own_fit._corrected(time, found, 5.0).tolist() == [0, 8, 25]
    assert own_fit._corrected(time, found, -5.0).tolist() == [0, 0, 15]
    assert own_fit._corrected(peak, found, -5.0).tolist() == [-5, -2, 15]


def test_a_fit_needs_a_bead_and_a_trial():
    board = own_fit.OwnBoard()
    with pytest.raises(ValueError, match="at least one bead"):
        own_fit.fit_trials(board, ["x"])
    with pytest.raises(ValueError, match="at least one bead"):
        own_fit.fit_trials(own_fit.OwnBoard(beads=("x",)), [])
