"""The quick board says what the finite volumes say, and nothing depends on what was asked before."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.sparse.linalg import spsolve

from workbook.bench.profile import log
from workbook.bench.profile.board import BOARDS, HEAVY, MEDIUM, reduced, run, simulate
from workbook.bench.profile.board_reduced import reduce
from workbook.bench.profile.board_station import PLACES, Programme
from workbook.bench.profile.board_volumes import USUAL_MESH, Mesh, assemble

FINER_MESH = Mesh(16, 5, 3, 3, 1.2)
JOINTS = ("joint centre", "joint corner", "joint edge")


def drawn(seed, top_only):
    """Return a programme of steps and slopes drawn at random; with both heaters some melt solder and some do not."""
    random = np.random.default_rng(seed)
    ready, down = float(random.integers(2, 90)), float(random.integers(100, 160))
    ramp, hold = float(random.integers(5, 120)), float(random.integers(20, 100))
    soak, plate = random.uniform(150, 340), random.uniform(300, 370)
    preheat, gas = random.uniform(100, 200), random.uniform(330, 400) if top_only else random.uniform(240, 320)
    lift_off = down + ramp + hold
    return Programme(
        () if top_only else ((0.0, 25.0), (ready, soak), (down, soak), (down + ramp, plate)),
        ((down, preheat), (down + ramp, gas)),
        lift_off,
        duration=lift_off + 60,
    )


def test_with_heat_from_below_and_above_every_reading_follows_the_volumes():
    programme = Programme.from_choices(345, 270)
    quick, full = run(reduced(MEDIUM), programme), simulate(MEDIUM, programme, 0.5, mesh=USUAL_MESH)
    for place in PLACES:
        np.testing.assert_allclose(quick.temperature_c[place], full.temperature_c[place][::2], atol=1.0, err_msg=place)
    np.testing.assert_allclose(quick.joints_c, full.joints_c[::2], atol=1.0)
    for time in (120.0, 240.0, 300.0):
        np.testing.assert_allclose(quick.board_top_c(time), full.board_top_c(time), atol=1.5)


@pytest.mark.slow
@pytest.mark.parametrize("top_only", [False, True])
@pytest.mark.parametrize("seed", range(10))
def test_peaks_of_random_programmes_are_within_one_kelvin_of_a_finer_mesh(seed, top_only):
    programme = drawn(seed, top_only)
    quick, full = run(reduced(MEDIUM), programme), simulate(MEDIUM, programme, mesh=FINER_MESH)
    for place in PLACES:
        assert quick.temperature_c[place].max() == pytest.approx(full.temperature_c[place].max(), abs=1.0), place


def test_melting_holds_the_joints_back_as_much_as_in_the_volumes():
    programme = Programme.from_choices(345, 270)
    quick_lag, full_lag = (
        np.subtract(*(record(melting).joints_c.mean(axis=1) for melting in (True, False)))
        for record in (
            lambda melting: run(reduced(MEDIUM), programme, 1.0, melting),
            lambda melting: simulate(MEDIUM, programme, 1.0, melting, USUAL_MESH),
        )
    )
    assert full_lag.min() < -2
    assert full_lag.max() > 2
    np.testing.assert_allclose(quick_lag, full_lag, atol=0.5)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_with_melting_times_above_217_are_within_two_seconds_of_the_volumes(seed):
    random = np.random.default_rng(seed)
    low, high = (330, 255, 40, 60), (370, 300, 90, 150)
    plate, gas, hold, soak = random.integers(low, high).astype(float)
    programme = Programme.from_choices(plate, gas, hold, soak)
    quick, full = run(reduced(MEDIUM), programme, melting=True), simulate(MEDIUM, programme, 0.5, True, USUAL_MESH)
    assert full.molten_share.max() > 0.5
    for place in JOINTS:
        times = (log.time_above(record.time, record.temperature_c[place], 217.0) for record in (quick, full))
        assert next(times) == pytest.approx(next(times), abs=2.0), place
        assert quick.temperature_c[place].max() == pytest.approx(full.temperature_c[place].max(), abs=1.0), place


@pytest.mark.parametrize(
    "bench",
    [
        *BOARDS.values(),
        replace(MEDIUM, conductivity_along=3.0, thickness=1.0e-3),
        replace(MEDIUM, package_side=0.018, joints_per_side=15),
        replace(MEDIUM, length=0.14, width=0.09, nozzle_film=200.0),
    ],
    ids=[*BOARDS, "thin", "small package", "small board under a hard jet"],
)
def test_other_benches_reduce_as_well_as_the_medium_one(bench):
    for programme in (Programme.from_choices(345, 280), Programme((), ((0, 100), (120, 380)), 200, 260)):
        quick, full = run(reduced(bench), programme), simulate(bench, programme, mesh=USUAL_MESH)
        for place in PLACES:
            assert quick.temperature_c[place].max() == pytest.approx(full.temperature_c[place].max(), abs=1.0), place


@pytest.mark.parametrize("lowered", [False, True])
def test_steady_heat_ends_in_the_steady_state_of_the_volumes(lowered):
    # Only the straight part of the equations: one input at a time, held for ever.
    volumes, quick = assemble(MEDIUM, USUAL_MESH), reduced(MEDIUM)
    position = quick.positions[lowered]
    inputs = volumes.inputs(lowered) * np.array([250.0, 325.0, 600.0**4])
    for k in range(3):
        full = volumes.readings @ spsolve(volumes.conductance(lowered), inputs[:, k])
        patterns = position.turn @ (position.inputs[:, k] * (250.0, 325.0, 600.0**4)[k] / position.decay)
        named = quick.readings @ patterns
        np.testing.assert_allclose(named, full[: named.size], atol=0.1 + 1e-3 * np.abs(full).max())


def test_a_step_of_two_seconds_moves_no_peak_by_a_quarter_kelvin():
    programme = Programme.from_choices(345, 270)
    one, two = (run(reduced(MEDIUM), programme, time_step).temperature_c for time_step in (1.0, 2.0))
    for place in PLACES:
        assert one[place].max() == pytest.approx(two[place].max(), abs=0.25), place


def test_the_same_choices_give_the_same_numbers_whatever_was_run_before():
    programme = Programme.from_choices(345, 270)
    fresh = reduce(HEAVY)
    first = run(fresh, programme, melting=True).joints_c
    run(fresh, Programme.from_choices(400, 300), 2.0)
    run(fresh, programme)
    np.testing.assert_array_equal(run(fresh, programme, melting=True).joints_c, first)
    np.testing.assert_array_equal(run(reduce(HEAVY), programme, melting=True).joints_c, first)


def test_a_move_of_the_nozzle_that_changes_nothing_leaves_no_trace():
    quick = reduced(MEDIUM)
    same = replace(quick, positions=dict.fromkeys((False, True), quick.positions[False]), steppers={})
    plate = ((0.0, 25.0), (60.0, 350.0), (150.0, 30.0))
    still = run(same, Programme(plate, duration=200)).joints_c
    moved = run(same, Programme(plate, ((81, 300), (101, 500)), lift_off=142, duration=200)).joints_c
    np.testing.assert_allclose(moved, still, atol=1e-6)


def test_a_nozzle_that_never_comes_down_changes_nothing():
    plate = ((0.0, 25.0), (60.0, 300.0))
    without = run(reduced(MEDIUM), Programme(plate, duration=200))
    late = run(reduced(MEDIUM), Programme(plate, ((150, 300),), lift_off=100, duration=200))
    np.testing.assert_array_equal(without.joints_c, late.joints_c)


@pytest.mark.parametrize("time_step", [0.0, -1.0, float("nan")])
def test_a_time_step_that_is_none_is_refused(time_step):
    with pytest.raises(ValueError, match="time_step must be above 0 s"):
        run(reduced(MEDIUM), Programme(), time_step)
    with pytest.raises(ValueError, match="time_step must be above 0 s"):
        simulate(MEDIUM, Programme(), time_step)
