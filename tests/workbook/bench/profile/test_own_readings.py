"""What a bead reads of a run, what a log's noise is and what is asked of draws: closed forms, without any board."""

from dataclasses import asdict
from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from workbook.bench.profile import own_board, own_fit
from workbook.bench.profile.board_station import MEDIUM, NEIGHBOURS, PLACES, Programme
from workbook.bench.profile.own_board import SEATS, Bead, OwnBoard, Run
from workbook.bench.profile.own_fit import APART, QUANTITIES, TIMES, TRACES, Forecast
from workbook.references import value

# Noise and bins


def test_no_logger_is_quieter_than_a_twentieth_of_a_kelvin():
    for still in ([25.0, 25.0, 25.0, 25.0], [25.0, 25.0], [25.0]):
        assert own_board.noise_of(still) == 0.05
    assert own_board.noise_of([20.0, 21.0]) == pytest.approx(1 / np.sqrt(12)), "no bend in two readings, but a step"


def test_noise_is_that_of_a_normal_quantity_whose_second_differences_are_as_large():
    """The median of the absolute value of a normal quantity is its upper quartile (textbook)."""
    to_and_fro = [0.0, 1.0, 0.0, 1.0, 0.0, 1.0]
    assert own_board.noise_of(to_and_fro) == pytest.approx(2 / stats.norm.ppf(0.75) / np.sqrt(6), rel=1e-4)


def test_readings_are_averaged_over_five_seconds_and_their_noise_falls_with_the_root_of_their_number():
    time = np.arange(0.0, 20.0)
    readings = 25 + np.arange(20) % 2
    trial = own_board.trial_from_log(Programme(duration=19.0), time, [readings])
    assert trial.time[0] == pytest.approx([2, 7, 12, 17])
    assert trial.noise[0] == pytest.approx(own_board.noise_of(readings) / np.sqrt(5))
    with pytest.raises(ValueError, match="width must be above 0 s"):
        own_board.bins(time, readings, 0.0)
    with pytest.raises(ValueError, match="start must be"):
        own_board.trial_from_log(Programme(), time, [readings], start=np.nan)


def test_of_a_log_what_lies_before_and_after_the_programme_or_is_no_number_is_left_out():
    time = np.arange(-5.0, 20.0, 5.0) + 0.0
    readings = np.array([1.0, 2.0, np.nan, 4.0, 5.0])
    trial = own_board.trial_from_log(Programme(duration=10.0), time, [readings])
    assert (trial.time[0].tolist(), trial.readings_c[0].tolist()) == ([0, 10], [2, 4])


def test_a_run_that_is_logged_often_has_its_means_in_the_middles_of_the_bins():
    often = np.arange(0.0, 60.0, 0.01)
    means, _, _ = own_board.bins(often, often)
    assert own_board.middles_of_bins(60.0) == pytest.approx(means, abs=0.01)
    assert own_board.middles_of_bins(61.0).size == own_board.middles_of_bins(60.0).size


# Slips


def test_a_slip_counts_by_its_way_at_the_rim_and_by_its_square_amid_a_face():
    """A slip is normal each way along the board: its size half-normal, the sum of two squares chi-square with two."""
    share = value("profile", "own_board_slip") / 0.005
    half = stats.halfnorm()
    for place in NEIGHBOURS:
        assert own_board.slip_prior(place) == pytest.approx((half.mean() * share, half.std() * share))
    assert own_board.slip_prior("joint edge") == pytest.approx((0, share))
    assert own_board.slip_prior("joint corner") == pytest.approx((0, np.sqrt(2) * share))
    square = stats.chi2(2)
    for place in ("package top", "joint centre", "board bottom"):
        assert own_board.slip_prior(place) == pytest.approx((square.mean() * share**2, square.std() * share**2))


# What a bead reads


def run_of(seconds=40):
    """A run in which everything rises evenly, each place by its own slope, and the nozzle is down from 20 s on."""
    time = np.arange(seconds + 1.0)
    slopes = 1 + np.arange(len(PLACES))
    return Run(
        time,
        time[:, None] * slopes,
        2 * time[:, None] * slopes,
        time[:, None] * np.array([1.0, 3.0, 2.0]),
        10 * time,
        100 * time,
        time >= 20,
    )


def read(place, lag=1e-3, share=0.0, slip=0.0, calibration=0.0, clock=0.0, at=(30.0,)):
    return own_board.read_by_bead(run_of(), MEDIUM, Bead(place), lag, share, slip, calibration, clock, np.array(at))


@pytest.mark.parametrize("place", PLACES)
def test_a_bead_reads_its_place_what_it_slipped_to_its_own_gain_and_its_own_clock(place):
    slope, room = 1 + PLACES.index(place), MEDIUM.room_c
    assert read(place) == pytest.approx(room + 30 * slope, abs=0.01)
    assert read(place, slip=0.5) == pytest.approx(room + 45 * slope, abs=0.02)
    assert read(place, calibration=0.01) == pytest.approx(room + 1.01 * 30 * slope, abs=0.01)
    assert read(place, clock=2.0) == pytest.approx(room + 32 * slope, abs=0.01)
    assert read(place, lag=2.0) == pytest.approx(room + 28 * slope, abs=0.001), "behind by its lag along a ramp"


def test_a_bead_in_the_gas_reads_the_nozzles_what_spills_so_far_or_what_lies_over_the_plate():
    room = MEDIUM.room_c
    assert read("package top", share=1.0, at=[30.0]) == pytest.approx(room + 300, abs=0.05)
    assert read("package top", share=1.0, at=[10.0]) == pytest.approx(room, abs=0.05)
    assert read("package top", share=0.5, at=[10.0]) == pytest.approx(room + 5, abs=0.05)
    for place, away in NEIGHBOURS.items():
        spilled = 300 * np.exp(-away / MEDIUM.spill_reach)
        assert read(place, share=1.0, at=[30.0]) == pytest.approx(room + spilled, abs=0.05)
        assert read(place, share=1.0, at=[10.0]) == pytest.approx(room, abs=0.05)
    for place in ("board bottom", "joint centre", "joint corner", "joint edge"):
        assert read(place, share=1.0) == pytest.approx(room + MEDIUM.plate_gas_share * 3000, abs=0.5)


def test_steps_are_whole_seconds_of_two_neighbouring_lengths_the_shorter_first_and_cut_where_the_nozzle_moves():
    programme = Programme(top_gas_c=((10.0, 100.0),), lift_off=27.0, duration=41.0)
    time, lowered, steps = own_board.time_grid(programme, 3.0)
    assert (time[0], time[-1], steps.sum()) == (0, 41, 41)
    assert np.array_equal(np.diff(time), steps)
    assert time[np.flatnonzero(np.diff(lowered)) + 1].tolist() == [10, 27]
    for stretch, length in ((steps[time[1:] <= 10], 10), (steps[(time[:-1] >= 10) & (time[1:] <= 27)], 17)):
        assert stretch.sum() == length
        assert stretch.size == np.ceil(length / 3)
        assert set(stretch) <= {2.0, 3.0}
        assert np.all(np.diff(stretch) >= 0)
    assert own_board.time_grid(Programme(duration=6.0), 3.0)[2].tolist() == [3, 3]


def test_the_nozzle_is_said_at_each_time_for_the_step_that_begins_there_and_at_the_end_none_does():
    board = SimpleNamespace(readings=np.eye(len(PLACES) + 2, 9), beside=np.zeros((len(PLACES), 9)))
    states = np.arange(27.0).reshape(3, 9)
    run = own_board.read_run(board, np.arange(3.0), states, None, None, np.array([False, True]))
    assert run.lowered.tolist() == [False, True, False]
    assert np.array_equal(np.hstack([run.places, run.joints]), states)


def test_heaters_are_hotter_than_they_say_by_their_errors():
    board = SimpleNamespace(bench=MEDIUM)
    programme = Programme(((0.0, 125.0),), ((0.0, 225.0),), 300.0, 300.0)
    gas, plate = own_board.heated(board, programme, 0.1, -0.2, np.array([0.0, 299.0]))
    assert gas == pytest.approx([220, 220])
    assert plate == pytest.approx([0, 80], abs=1e-4)


def test_each_bead_has_a_lag_a_share_of_gas_a_slip_and_a_calibration_and_each_trial_a_clock():
    own = OwnBoard(beads=(Bead("joint edge", "taped"), Bead("package top")))
    names = [one.name for one in own.unknowns(2)][len(own.board_unknowns) :]
    assert names == [
        *("clock of trial 1", "clock of trial 2"),
        *(f"joint edge: {what}" for what in ("lag of the bead", "share of gas", "slip", "calibration")),
        *(f"package top: {what}" for what in ("lag of the bead", "share of gas", "slip", "calibration")),
    ]
    assert [one.name for one in own.unknowns()][len(own.board_unknowns)] == "clock of trial 1"
    assert len(own.unknowns()) == len(own.unknowns(2)) - 1
    standard = np.zeros(len(own.board_unknowns))
    assert asdict(own.bench_at(standard)) == pytest.approx(asdict(own.bench)), "the priors' middle is the bench"
    assert own.heater_errors(standard) == {"gas_error": 0.0, "plate_error": 0.0}
    standard[-2:] = 1.0, -2.0
    errors = (value("profile", f"own_board_doubt_{name}") for name in ("gas_error", "plate_error"))
    assert list(own.heater_errors(standard).values()) == pytest.approx(
        [one * x for one, x in zip(errors, (1, -2), strict=True)]
    )


def test_a_seat_is_known_by_how_it_is_held():
    assert Bead("package top").seat == "glued"
    shares = {seat: value("profile", key)[0] for seat, key in SEATS.items()}
    assert shares["soldered"] < shares["glued"] < shares["taped"], "the better held, the less of the gas it reads"


# What is asked of draws


def test_an_interval_leaves_out_as_much_above_as_below():
    """Of a hundred and one draws from 0 to 100, nine in ten lie from 5 to 95."""
    forecast = Forecast(Programme(), {}, {"q": np.arange(101.0)})
    assert forecast.interval("q") == pytest.approx((5, 95))
    assert forecast.interval("q", 0.5) == pytest.approx((25, 75))
    for chance in (0.0, 1.0):
        with pytest.raises(ValueError, match="chance must be"):
            forecast.interval("q", chance)


def test_a_chance_within_limits_counts_those_on_them():
    forecast = Forecast(Programme(), {}, {"q": np.arange(4.0)})
    assert forecast.chance_within("q") == 1
    assert forecast.chance_within("q", low=1.0) == 0.75
    assert forecast.chance_within("q", high=2.0) == 0.75
    assert forecast.chance_within("q", 1.0, 2.0) == 0.5


def test_quantities_are_peaks_times_above_and_how_far_joints_lie_apart_when_the_hottest_peaks():
    time = np.array([0.0, 10.0, 20.0, 30.0])
    one = np.array(
        [[25, 25, 25, 25, 25], [200, 230, 240, 180, 90], [222, 228, 245, 185, 95], [100, 120, 130, 110, 99.0]]
    )
    found = own_fit.quantities(time, one[None], 217.0)
    assert set(found) == set(QUANTITIES)
    assert [found[f"peak of the {name}"][0] for name in TRACES] == [222, 230, 245, 185, 99]
    assert found[APART][0] == 30
    assert found["coldest joint above liquidus"][0] == pytest.approx(10 * 5 / 22 + 10 * 5 / 122)
    assert found["hottest joint above liquidus"][0] == pytest.approx(10 * 13 / 205 + 10 + 10 * 11 / 108)


def test_the_models_own_error_shifts_all_but_what_never_melts():
    (above, *_) = TIMES
    assert own_fit._corrected(above, np.array([0.0, 1.0, 5.0]), -2.0).tolist() == [0, 0, 3]
    assert own_fit._corrected(above, np.array([0.0, 1.0]), 2.0).tolist() == [0, 3]
    assert own_fit._corrected(APART, np.array([0.0, 1.0]), -2.0).tolist() == [-2, -1]


def test_the_joints_that_become_least_and_most_hot_are_followed():
    run = run_of()
    assert own_fit.coldest_and_hottest(run) == (0, 1)
    seen = own_fit.traces(run)
    assert seen[-1].tolist() == [40, 120, 40 * 1, 40 * 6, 40 * 7]
    assert own_fit.traces(run, 2, 0, 25.0)[-1].tolist() == [105, 65, 65, 265, 305]


def test_a_fit_needs_a_bead_and_a_trial():
    trial = own_board.trial_from_log(Programme(duration=10.0), range(11), [[25.0] * 11])
    for own, trials in ((OwnBoard(), [trial]), (OwnBoard(beads=(Bead("package top"),)), [])):
        with pytest.raises(ValueError, match="at least one bead and one trial"):
            own_fit.fit_trials(own, trials)
