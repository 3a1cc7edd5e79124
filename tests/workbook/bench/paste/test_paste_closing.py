"""Force, rest gap and time from the table are held to Stefan's disc and to full squares and rectangles."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.bench.paste import squeeze
from workbook.bench.paste.closing import (
    closing_history,
    closing_time,
    distance_integral,
    squeeze_table,
    stop_gap,
    viscous_force,
    yield_force,
)
from workbook.bench.paste.deposits import Plate, deposit, thickness_map
from workbook.bench.paste.spread import spread

VOLUME = 20e-9
SQUARE = Plate(30e-3, 30e-3)
FIXTURE_GAPS = (400e-6, 35e-6)


@pytest.fixture(scope="module")
def disc():
    """A dot of 20 mm³ that never reaches the edge, on 100 x 100 cells."""
    heights = thickness_map(SQUARE, deposit("dot", SQUARE, VOLUME), cells=100)
    return squeeze_table(SQUARE, heights, FIXTURE_GAPS[1], FIXTURE_GAPS[0])


@pytest.fixture(scope="module")
def cross():
    heights = thickness_map(SQUARE, deposit("cross", SQUARE, 40e-9), cells=40)
    return squeeze_table(SQUARE, heights, 30e-6)


def test_the_torsion_of_a_disc_is_stefans_within_three_in_a_thousand(disc):
    radius = squeeze.radius_of_fixed_volume(VOLUME, disc.gaps)
    resolved = radius > 20 * 0.3e-3
    assert resolved.sum() >= 12
    assert disc.torsion[resolved] == pytest.approx(pi * radius[resolved] ** 4 / 8, rel=3e-3)


def test_the_distance_integral_of_a_disc_is_within_half_a_per_cent(disc):
    radius = squeeze.radius_of_fixed_volume(VOLUME, disc.gaps)
    assert disc.distance == pytest.approx(pi * radius**3 / 3, rel=6e-3)


def test_the_force_on_a_disc_is_stefans(disc):
    gap = np.array([60e-6, 100e-6, 150e-6])
    ours = viscous_force(disc, gap, 1e-5, 100)
    assert ours == pytest.approx(squeeze.squeeze_force_of_fixed_volume(100, VOLUME, 1e-5, gap), rel=4e-3)


def test_the_time_to_close_on_a_disc_is_the_exact_one(disc):
    ours = closing_time(disc, 50, 100, 50e-6)
    exact = squeeze.squeeze_time_of_fixed_volume(100, VOLUME, 50, FIXTURE_GAPS[0], 50e-6)
    assert ours == pytest.approx(exact, rel=3e-3)


def test_the_rest_gap_of_a_disc_is_the_exact_one(disc):
    for yield_stress, force in ((300, 40), (500, 60), (200, 10)):
        exact = squeeze.rest_gap_of_fixed_volume(yield_stress, VOLUME, force)
        assert stop_gap(disc, force, yield_stress) == pytest.approx(exact, rel=3e-3)


def test_torsion_and_distance_of_a_full_rectangle():
    """Sides a >= b: the torsion series of elasticity, and a roof of even slope over the rectangle."""
    a, b = 30e-3, 20e-3
    odd = np.arange(1, 200, 2)
    torsion = a * b**3 / 12 * (1 - 192 * b / (pi**5 * a) * (np.tanh(odd * pi * a / (2 * b)) / odd**5).sum())
    roof = b**2 / 12 * (3 * a - b)
    table = squeeze_table(Plate(a, b), np.full((60, 90), 300e-6), 50e-6)
    assert table.torsion[4:] == pytest.approx(torsion, rel=3e-3)
    assert table.distance == pytest.approx(roof, rel=3e-3)


def test_the_last_gap_of_a_table_is_as_good_as_those_before():
    """A full plate has one torsion at all gaps, so that a poor end of the derivative would show."""
    table = squeeze_table(SQUARE, np.full((40, 40), 1e-3), 50e-6)
    assert table.torsion[-1] == pytest.approx(table.torsion[12], rel=1e-3)


@settings(deadline=None, max_examples=25)
@given(st.floats(3e-3, 13e-3))
def test_distance_of_a_disc_anywhere_in_size(radius):
    gap = VOLUME / (pi * radius**2)
    heights = thickness_map(SQUARE, deposit("dot", SQUARE, VOLUME), cells=100)
    measured = distance_integral(spread(SQUARE, heights, gap))
    assert measured == pytest.approx(pi * radius**3 / 3, rel=0.012)


@given(st.floats(5, 100), st.floats(50, 400))
def test_at_the_rest_gap_the_yield_stress_carries_the_force(cross, force, yield_stress):
    lightest, heaviest = yield_force(cross, cross.gaps[[0, -1]], yield_stress)
    if lightest < force < heaviest:
        gap = stop_gap(cross, force, yield_stress)
        assert yield_force(cross, gap, yield_stress) == pytest.approx(force, rel=1e-6)
    else:
        with pytest.raises(ValueError, match="force over twice the yield stress"):
            stop_gap(cross, force, yield_stress)


def test_rest_gaps_answer_a_whole_row_of_forces(cross):
    force = np.array([20.0, 40.0, 80.0])
    gap = stop_gap(cross, force, 300)
    assert np.all(np.diff(gap) < 0)
    assert gap[1] == stop_gap(cross, 40.0, 300)


def test_half_the_viscosity_is_half_the_time_and_a_yield_stress_is_longer(cross):
    plain = closing_time(cross, 40, 200, 80e-6)
    assert closing_time(cross, 40, 100, 80e-6) == pytest.approx(plain / 2)
    assert closing_time(cross, 40, 200, 80e-6, yield_stress=300) > plain


def test_the_time_to_a_tenth_above_the_rest_gap_is_finite_and_grows_towards_it(cross):
    rest = float(stop_gap(cross, 40, 300))
    times = [closing_time(cross, 40, 200, ratio * rest, yield_stress=300) for ratio in (1.5, 1.1, 1.01)]
    assert times[0] < times[1] < times[2]
    with pytest.raises(ValueError, match="above the rest gap"):
        closing_time(cross, 40, 200, 0.99 * rest, yield_stress=300)


def test_the_history_falls_all_the_way_and_ends_where_it_is_asked_to(cross):
    history = closing_history(cross, 40, 200, yield_stress=300)
    assert np.all(np.diff(history.gap) < 0)
    assert np.all(np.diff(history.time) > 0)
    assert history.gap[-1] == pytest.approx(1.05 * stop_gap(cross, 40, 300))
    assert history.time[-1] == pytest.approx(closing_time(cross, 40, 200, history.gap[-1], yield_stress=300))


def test_without_yield_stress_the_faces_reach_the_least_gap(cross):
    assert closing_history(cross, 40, 200).gap[-1] == pytest.approx(cross.gaps[-1])


def test_a_table_wider_than_the_paste_is_high_is_refused():
    with pytest.raises(ValueError, match="widest gap"):
        squeeze_table(SQUARE, np.full((20, 20), 100e-6), 20e-6, widest_gap=200e-6)


def test_a_gap_outside_the_table_is_refused(cross):
    with pytest.raises(ValueError, match="gap must be"):
        viscous_force(cross, 10e-6, 1e-5, 100)
