"""A board of the finite volumes, logged by beads that slip, lag and touch the gas, is told by its log as far as it is.

The full measure is ``tests/benchmarks/own_board.py`` on 200 boards; here a few boards on the quick model and two by the
volumes, with bounds that chance alone does not break.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import solve_ivp

from tests.benchmarks import own_board as bench
from workbook.bench.profile import own_fit
from workbook.bench.profile.board_family import FAMILY_MESH, Together, family
from workbook.bench.profile.board_station import MEDIUM, PLACES, Programme
from workbook.bench.profile.board_volumes import simulate
from workbook.bench.profile.fit import by_differences
from workbook.bench.profile.own_board import (
    Bead,
    OwnBoard,
    Trial,
    behind,
    bins,
    noise_of,
    read_by_bead,
    read_together,
    run_member,
    slip_prior,
    trial_from_log,
)
from workbook.bench.profile.own_fit import QUANTITIES, TRACES, Readings, fit_trials, time_above, traces
from workbook.bench.profile.own_plan import Choices, Wanted, propose, worth
from workbook.references import table

PROGRAMME = Programme.from_choices(330.0, 270.0, hold=60.0, soak=90.0)
NEXT = Programme.from_choices(345.0, 290.0, hold=50.0, soak=120.0)
BEADS = (Bead("package top"), Bead("joint corner", "soldered"), Bead("board bottom"))
NOISE = 0.2


def drawn(own, seed):
    """Return standard numbers from the priors, and the means a logger's readings make at them."""
    random = np.random.default_rng(seed)
    blank = Trial(PROGRAMME, (np.arange(2.0, 380, 5.0),) * len(own.beads), (), (NOISE,) * len(own.beads))
    readings = Readings(own, [blank])
    x = random.normal(size=len(readings.unknowns))
    read = readings.model(x)
    read = read + np.concatenate(
        [
            np.linalg.solve(w, random.normal(size=part.stop - part.start))
            for w, (_, _, part) in zip(readings.whiteners, readings.blocks, strict=True)
        ]
    )
    return x, replace(blank, readings_c=tuple(read[part] for _, _, part in readings.blocks))


@pytest.fixture(scope="module")
def own():
    return OwnBoard(MEDIUM, BEADS)


@pytest.fixture(scope="module")
def fitted(own):
    return fit_trials(own, [drawn(own, 5)[1]])


def test_a_member_far_from_the_middle_follows_its_own_volumes(own):
    for seed in (1, 2):
        x = np.random.default_rng(seed).normal(size=len(own.board_unknowns))
        one = own.bench_at(x)
        quick = run_member(own.family.board(one), PROGRAMME)
        full = simulate(one, PROGRAMME, 1.0, True, FAMILY_MESH)
        for k, place in enumerate(PLACES):
            peak = full.temperature_c[place].max()
            assert quick.places[:, k].max() + one.room_c == pytest.approx(peak, abs=0.5), place


def test_the_middle_of_the_family_is_the_board_itself():
    quick = run_member(family(MEDIUM).board(MEDIUM), PROGRAMME, melting=False)
    full = simulate(MEDIUM, PROGRAMME, 1.0, False, FAMILY_MESH)
    assert quick.joints.max() + MEDIUM.room_c == pytest.approx(full.joints_c.max(), abs=0.3)


def test_a_bench_of_another_size_is_none_of_the_family():
    with pytest.raises(ValueError, match="differs in"):
        family(MEDIUM).board(replace(MEDIUM, thickness=1.0e-3))


def test_boards_marched_together_go_the_way_each_goes_alone(own):
    random = np.random.default_rng(3)
    drawn_at = [random.normal(size=len(own.board_unknowns)) for _ in range(3)]
    boards = [own.family.board(own.bench_at(x)) for x in drawn_at]
    errors = [own.heater_errors(x) for x in drawn_at]
    _, read = read_together(Together(boards), np.stack([board.readings for board in boards]), errors, NEXT, 6.0)
    for board, one, got in zip(boards, errors, read, strict=True):
        alone = run_member(board, NEXT, **one, longest=6.0, melting=False)
        np.testing.assert_allclose(got, np.hstack([alone.places, alone.joints]), atol=1e-9)


def test_a_bead_is_behind_as_the_differential_equation_says():
    """tau T' = seen - T, integrated by scipy."""
    time = np.concatenate([np.linspace(0, 30, 16), np.linspace(30, 60, 12)[1:]])
    seen = np.where(time < 20, 2 * time, 40 - (time - 20))
    got = behind(time, seen, 3.0)
    truth = solve_ivp(
        lambda t, y: (np.interp(t, time, seen) - y) / 3.0, (0, 60), [0.0], t_eval=time, max_step=0.2, rtol=1e-8
    )
    np.testing.assert_allclose(got, truth.y[0], atol=1e-3)


def test_a_bead_without_faults_reads_its_place_and_one_in_the_gas_reads_the_gas(own):
    run = run_member(own.family.board(MEDIUM), PROGRAMME)
    at = run.time[run.time < 260]
    place = read_by_bead(run, MEDIUM, BEADS[0], 1e-3, 0.0, 0.0, 0.0, 0.0, at)
    np.testing.assert_allclose(place, run.places[run.time < 260, 0] + 25, atol=0.05)
    gas = read_by_bead(run, MEDIUM, BEADS[0], 1e-3, 1.0, 0.0, 0.0, 0.0, at)
    down = run.lowered[run.time < 260]
    np.testing.assert_allclose(gas[down][1:], run.gas[run.time < 260][down][1:] + 25, atol=0.05)


def test_the_noise_of_a_log_is_found_whatever_the_profile_does():
    random = np.random.default_rng(4)
    time = np.arange(400.0)
    profile = np.interp(time, [0, 100, 200, 300, 400], [25, 150, 180, 240, 90])
    for noise in (0.2, 0.5, 1.0):
        assert noise_of(profile + noise * random.normal(size=400)) == pytest.approx(noise, rel=0.2)
    assert noise_of(np.round(profile)) >= 1 / np.sqrt(12)  # a logger of whole degrees is no better than its step


def test_means_over_bins_keep_a_straight_line():
    time = np.arange(0.0, 60.0, 1.0)
    at, mean, count = bins(time, 3 * time)
    np.testing.assert_allclose(mean, 3 * at)
    assert count == 5


def test_time_above_is_that_of_the_log_metrics():
    from workbook.bench.profile import log

    time = np.linspace(0, 300, 61)
    trace = 25 + 200 * np.exp(-(((time - 170) / 70) ** 2))
    assert time_above(time, trace[None], 180.0)[0] == pytest.approx(log.time_above(time, trace, 180.0))
    assert time_above(time, trace[None], 300.0)[0] == 0.0


@pytest.mark.parametrize("seed", [11, 12])
def test_the_fit_finds_what_the_log_was_made_of(own, seed):
    """What the truth misfits by more than the estimate is chi-square with a degree for each unknown (Wilks)."""
    x, trial = drawn(own, seed)
    fit = fit_trials(own, [trial])
    rest = fit.readings.whiten(fit.readings.model(x) - fit.readings.observed)
    more = rest @ rest + x @ x - fit.estimate.misfit
    assert fit.estimate.explained
    assert stats.chi2.ppf(1e-4, x.size) < more < stats.chi2.isf(1e-4, x.size)


def test_a_log_tells_lags_and_films_and_not_what_no_bead_feels(fitted):
    left = fitted.estimate.left
    assert left["nozzle_film"] < 0.5
    assert left["plate_lag"] < 0.5
    assert left["neighbour_heat_capacity"] > 0.9  # no bead sits on a neighbour
    assert all(0 < share <= 1.0001 for share in left.values())


def test_a_log_of_another_board_is_refused(own):
    _, trial = drawn(own, 6)
    strange = trial.readings_c[0] + np.where(trial.time[0] > 200, 25 * np.sin(trial.time[0] / 9), 0)
    fit = fit_trials(own, [replace(trial, readings_c=(strange, *trial.readings_c[1:]))])
    assert not fit.estimate.explained


@pytest.mark.parametrize("wanted", [NEXT, PROGRAMME, Programme.from_choices(325.0, 305.0, hold=80.0, soak=60.0)])
def test_a_forecasts_interval_is_as_wide_as_the_slopes_of_all_unknowns_say(own, fitted, wanted):
    """Error propagation in full (GUM, JCGM 100:2008, equation 13): the five ways and their scale leave little out."""
    count = len(own.board_unknowns)

    def peaks(x):
        return traces(own.runs(x, [wanted])[0]).max(axis=0)

    x = fitted.estimate.standard
    slopes = by_differences(peaks, x, 0.05)[:, :count]
    exact = np.sqrt(np.diag(slopes @ fitted.estimate.covariance[:count, :count] @ slopes.T))
    forecast = fitted.foresee(wanted)
    errors = table("profile", "own_board_forecast_error")
    for name, spread in zip(TRACES, exact, strict=True):
        own_error = errors[f"peak of the {name}"]["spread"]
        share = forecast.draws[f"peak of the {name}"].std() / np.hypot(spread, own_error)
        assert 0.8 < share < 1.35, name  # wider where a peak lies in the melting range: latent heat holds it there


def test_more_readings_never_leave_more_doubt(own, fitted):
    now, *further = worth(fitted, NEXT)
    for one in further:
        for name, width in one.half_width.items():
            assert width <= now.half_width[name] + 1e-6, (one.what, name)
    assert any("neighbour at 10 mm" in one.what for one in further)
    assert not any("package top" in one.what for one in further)  # a bead is there already


def test_a_bead_on_the_neighbour_buys_most_for_the_neighbour(fitted):
    now, *further = worth(fitted, NEXT)
    best = min(
        (one for one in further if one.what.startswith("one more bead")),
        key=lambda one: one.half_width["neighbour at 10 mm"],
    )
    assert "neighbour" in best.what


def test_what_is_proposed_keeps_each_limit_as_its_chance_says(fitted):
    wanted = [
        Wanted("peak of the coldest joint", low=225.0),
        Wanted("peak of the hottest joint", high=250.0),
        Wanted("peak of the package top", high=260.0),
    ]
    made = propose(fitted, wanted, 0.9)
    assert made.reached
    assert min(made.chances) >= 0.9
    again = fitted.foresee(made.choices.programme())
    assert [one.chance(again) for one in wanted] == list(made.chances)


def test_limits_that_cannot_be_met_are_not_said_to_be(fitted):
    wanted = [Wanted("peak of the coldest joint", low=240.0), Wanted("peak of the package top", high=230.0)]
    made = propose(fitted, wanted, 0.9)
    assert not made.reached
    assert min(made.chances) < 0.5


def test_a_proposal_stays_within_the_station(fitted):
    made = propose(fitted, [Wanted("peak of the coldest joint", low=230.0)], 0.9, {"bottom_plate_c": (150.0, 280.0)})
    assert made.choices.bottom_plate_c <= 280.0


@pytest.mark.slow
@pytest.mark.parametrize("seed", [0, 1])
def test_boards_of_the_volumes_lie_in_their_intervals_about_as_often_as_said(seed):
    """Three programmes each; of 5 peaks at 90 % all wrong, or an error of 6 K, is no chance."""
    found = bench.one_board(seed)
    for after in found["after"].values():
        assert after["chance_of_misfit"] > 1e-4
        peaks = np.array([[row[name] for name in QUANTITIES if name.startswith("peak")] for row in after["forecasts"]])
        inside = (peaks[:, :, 0] >= peaks[:, :, 2]) & (peaks[:, :, 0] <= peaks[:, :, 3])
        assert inside.mean() > 0.3
        assert np.abs(peaks[:, :, 1] - peaks[:, :, 0]).max() < 6.0


def test_slips_are_as_likely_outward_as_inward_at_the_rim_only():
    assert slip_prior("joint corner")[0] == 0
    assert slip_prior("package top")[0] > 0


def test_a_log_starts_where_the_programme_does():
    time = np.arange(0.0, 500.0)
    trial = trial_from_log(PROGRAMME, time, [25 + time], start=60.0)
    assert trial.time[0][0] == pytest.approx(2.0)
    assert trial.readings_c[0][0] == pytest.approx(25 + 62.0)


@pytest.mark.parametrize(("place", "seat"), [("on the moon", "glued"), ("package top", "by hand")])
def test_a_bead_sits_at_a_place_we_know(place, seat):
    with pytest.raises(ValueError, match="must be one of"):
        Bead(place, seat)


def test_choices_are_a_programme():
    assert Choices(330.0, 270.0, 60.0, 90.0).programme() == PROGRAMME


def test_what_each_doubt_does_is_read_straight_between_the_times_of_another_run():
    time, wanted = np.array([0.0, 4.0, 10.0, 20.0]), np.array([0.0, 1.0, 4.0, 7.0, 19.0, 20.0])
    columns = np.random.default_rng(1).normal(size=(2, 4, 3))
    straight = [[np.interp(wanted, time, way[:, trace]) for trace in range(3)] for way in columns]
    np.testing.assert_allclose(own_fit._at(time, columns, wanted), np.swapaxes(straight, 1, 2), atol=1e-12)
