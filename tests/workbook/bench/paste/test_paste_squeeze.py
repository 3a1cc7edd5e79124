"""Squeeze flow in closed form is held to its own differential equations and to the limits between laws."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from workbook.bench.paste import bond_line, squeeze
from workbook.references import entry, table, value

viscosities = st.floats(1, 1000)
radii = st.floats(2e-3, 30e-3)
forces = st.floats(1, 200)
gaps = st.floats(20e-6, 1e-3)


def gap_by_integration(speed_at, start_gap, time):
    """Follow dh/dt = -speed(h) step by step."""
    solved = solve_ivp(lambda t, h: -speed_at(h), (0, time), [start_gap], method="LSODA", rtol=1e-10, atol=1e-14)
    return solved.y[0, -1]


def test_the_time_of_full_plates_brings_the_differential_equation_to_the_end_gap():
    time = squeeze.squeeze_time_when_full(100, 10e-3, 50, 1e-3, 50e-6)
    speed = lambda h: 50 / squeeze.squeeze_force_when_full(100, 10e-3, 1.0, h)  # noqa: E731
    assert time == pytest.approx(value("paste", "squeeze_time_full_s"), abs=5e-3)
    assert gap_by_integration(speed, 1e-3, time) == pytest.approx(50e-6, rel=1e-6)


def test_the_time_of_a_fixed_volume_brings_the_differential_equation_to_the_end_gap():
    time = squeeze.squeeze_time_of_fixed_volume(100, 20e-9, 50, 1e-3, 50e-6)
    speed = lambda h: 50 / squeeze.squeeze_force_of_fixed_volume(100, 20e-9, 1.0, h)  # noqa: E731
    assert time == pytest.approx(value("paste", "squeeze_time_fixed_volume_s"), abs=5e-3)
    assert gap_by_integration(speed, 1e-3, time) == pytest.approx(50e-6, rel=1e-6)


def test_a_diameter_taken_for_the_radius_is_sixteen_times_too_slow():
    right = squeeze.squeeze_time_when_full(100, 10e-3, 50, 1e-3, 50e-6)
    assert squeeze.squeeze_time_when_full(100, 20e-3, 50, 1e-3, 50e-6) == pytest.approx(16 * right)
    assert 16 * right == pytest.approx(301, abs=0.5)


def test_stefan_is_the_radial_integral_of_thin_gap_pressure():
    """Flow through each circle: 2 pi r h^3/(12 mu) (-dp/dr) = pi r^2 V; the force is the pressure over the disc."""
    viscosity, radius, speed, gap = 80.0, 12e-3, 1e-4, 150e-6
    pressure = lambda r: quad(lambda x: 6 * viscosity * speed * x / gap**3, r, radius)[0]  # noqa: E731
    force, _ = quad(lambda r: 2 * pi * r * pressure(r), 0, radius)
    assert squeeze.squeeze_force_when_full(viscosity, radius, speed, gap) == pytest.approx(force, rel=1e-8)


def test_the_misprinted_square_of_the_radius_is_no_force_of_ours():
    trap = entry("paste", "trap_stefan_force")
    ratio = squeeze.squeeze_force_when_full(1, 2e-3, 1, 1e-3) / squeeze.squeeze_force_when_full(1, 1e-3, 1, 1e-3)
    assert ratio == pytest.approx(2**trap.value)
    assert ratio != pytest.approx(2**trap.printed)


@given(st.floats(0.05, 2), radii, st.floats(1e-6, 1e-3), gaps)
def test_scott_is_the_radial_integral_of_power_law_pressure(exponent, radius, speed, gap):
    """Slot flow of a power-law fluid: mean speed = n/(2n+1) h/2 (h |dp/dr| / 2K)^(1/n)."""

    def gradient(r):
        mean_speed = speed * r / (2 * gap)
        return 2 * 50.0 / gap * (mean_speed * (2 * exponent + 1) / exponent * 2 / gap) ** exponent

    integral, _ = quad(lambda r: pi * r**2 * gradient(r), 0, radius)
    force = squeeze.power_law_force(50.0, exponent, radius, speed, gap)
    assert force == pytest.approx(integral, rel=1e-6)


def test_scott_ends_in_the_yield_limit_where_speed_no_longer_counts():
    """In the limit n to 0 the force does not depend on speed and is that of a yield stress."""
    rest = squeeze.rest_gap_when_full(100, 10e-3, 50)
    for speed in (1e-6, 1e-3):
        assert squeeze.power_law_force(100, 1e-7, 10e-3, speed, rest) == pytest.approx(50, rel=1e-4)


def test_rest_gaps_of_full_plates():
    for row in table("paste", "yield_gap_full_um").values():
        gap = squeeze.rest_gap_when_full(row["yield stress Pa"], row["radius mm"] * 1e-3, row["force N"])
        assert gap * 1e6 == pytest.approx(row["gap µm"], rel=2e-3)


def test_the_rest_gap_carries_the_force_by_its_pressure():
    """dp/dr = -2 tau / h from the rim: the integral over the disc is the force."""
    gap = squeeze.rest_gap_when_full(200, 15e-3, 30)
    force, _ = quad(lambda r: 2 * pi * r * 2 * 200 / gap * (15e-3 - r), 0, 15e-3)
    assert force == pytest.approx(30, rel=1e-9)


def test_slips_on_the_rest_gap_are_told_apart():
    right = squeeze.rest_gap_when_full(100, 10e-3, 50)
    assert squeeze.rest_gap_when_full(100, 20e-3, 50) * 1e6 == pytest.approx(33.5, abs=0.05)
    assert right * 1.5 * 1e6 == pytest.approx(6.28, abs=5e-3)


def test_the_rest_gap_of_a_fixed_volume_is_that_of_full_plates_of_its_radius():
    gap = squeeze.rest_gap_of_fixed_volume(100, 20e-9, 50)
    radius = squeeze.radius_of_fixed_volume(20e-9, gap)
    assert gap * 1e6 == pytest.approx(value("paste", "yield_gap_fixed_volume_um"), abs=0.05)
    assert radius * 1e3 == pytest.approx(17.2, abs=0.05)
    assert squeeze.rest_gap_when_full(100, radius, 50) == pytest.approx(gap)


def test_a_coarse_paste_stops_at_its_grains_and_not_at_four_micrometres():
    smooth = squeeze.rest_gap_when_full(100, 10e-3, 50)
    assert bond_line.bond_line_no_thinner_than_grain(smooth, 25e-6) == 25e-6


@given(viscosities, radii, forces, gaps, st.floats(1.01, 50))
def test_gap_and_time_are_inverse(viscosity, radius, force, end_gap, ratio):
    start_gap = end_gap * ratio
    time = squeeze.squeeze_time_when_full(viscosity, radius, force, start_gap, end_gap)
    assert squeeze.gap_after_time_when_full(viscosity, radius, force, start_gap, time) == pytest.approx(end_gap)


@given(st.floats(1, 500), radii, forces)
def test_doubling_force_or_radius_scales_the_rest_gap_as_printed(stress, radius, force):
    gap = squeeze.rest_gap_when_full(stress, radius, force)
    assert squeeze.rest_gap_when_full(stress, radius, 2 * force) == pytest.approx(gap / 2)
    assert squeeze.rest_gap_when_full(stress, 2 * radius, force) == pytest.approx(8 * gap)
    assert squeeze.rest_gap_when_full(stress, 2 * radius, 4 * force) == pytest.approx(2 * gap)
    pool = squeeze.rest_gap_of_fixed_volume(stress, 20e-9, force)
    assert squeeze.rest_gap_of_fixed_volume(stress, 20e-9, 2 * force) / pool == pytest.approx(0.758, abs=5e-4)


def test_without_yield_stress_nothing_stops_the_plates():
    assert squeeze.rest_gap_when_full(0, 10e-3, 50) == 0 == squeeze.rest_gap_of_fixed_volume(0, 20e-9, 50)


def test_arrays_of_whole_numbers_pass():
    times = squeeze.squeeze_time_when_full(100, 10e-3, np.array([25, 50]), 1e-3, 50e-6)
    assert times[0] == pytest.approx(2 * times[1])


def test_plates_that_would_open_are_refused():
    with pytest.raises(ValueError, match="start gap less end gap"):
        squeeze.squeeze_time_when_full(100, 10e-3, 50, 50e-6, 1e-3)
