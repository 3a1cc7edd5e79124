"""Intermetallic growth against values worked from a published layer, an integrated rate law, and round trips."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from workbook.bench.joints import growth
from workbook.references import entry, value

DAY = 86400
LAYER = value("joints", "intermetallic_layer") * 1e-6
ENERGY = value("joints", "intermetallic_activation_total") * 1e3
RATE_150 = growth.growth_rate(LAYER, 60 * DAY)

thicknesses = st.floats(1e-7, 2e-5)
rates = st.floats(1e-20, 1e-15)


def test_twice_the_time_makes_the_layer_thicker_by_the_root_of_two():
    """Computed from 9 um after 60 d at 150 °C, which Metals and Materials International 9(2), 193-199, prints."""
    doubled = growth.layer_thickness(120 * DAY, RATE_150)
    assert doubled == pytest.approx(LAYER * math.sqrt(2))
    assert doubled * 1e6 == pytest.approx(value("joints", "intermetallic_double_time"), abs=0.05)


def test_cooler_storage_follows_half_of_the_activation_energy_of_the_rate():
    """Computed with Q of k: the thickness changes as if with Q/2."""
    rate = growth.rate_at_temperature(RATE_150, 150, 125, ENERGY)
    cooler = growth.layer_thickness(60 * DAY, rate)
    by_hand = LAYER * math.exp(-ENERGY / 2 / 8.314463 * (1 / 398.15 - 1 / 423.15))
    assert cooler == pytest.approx(by_hand)
    assert cooler * 1e6 == pytest.approx(value("joints", "intermetallic_cooler"), abs=0.005)


def test_the_layer_that_takes_two_months_hot_takes_twelve_years_warm():
    """Computed: 9 um at 70 °C."""
    rate = growth.rate_at_temperature(RATE_150, 150, 70, ENERGY)
    assert growth.time_to_thickness(LAYER, rate) / DAY / 365 == pytest.approx(12.5, abs=0.05)


def test_the_whole_layer_has_an_energy_between_those_of_its_two_parts():
    """Published: Metals and Materials International 9(2), 193-199: Cu6Sn5, total, Cu3Sn."""
    cu6sn5, total, cu3sn = (
        entry("joints", f"intermetallic_activation_{part}").value for part in ("cu6sn5", "total", "cu3sn")
    )
    assert cu6sn5 < total < cu3sn


def test_the_root_law_is_a_rate_that_falls_with_the_thickness():
    """The law integrated by scipy as dx/dt = k/(2x) from one micrometre."""
    solution = integrate.solve_ivp(lambda _, x: RATE_150 / (2 * x), (0, 30 * DAY), [1e-6], rtol=1e-9, atol=1e-15)
    assert growth.layer_thickness(30 * DAY, RATE_150, 1e-6) == pytest.approx(solution.y[0, -1], rel=1e-6)


@given(thicknesses, rates, st.floats(1, 1e8))
@settings(deadline=None)
def test_rate_and_time_are_found_again_from_the_thickness(initial, rate, time):
    thickness = growth.layer_thickness(time, rate, initial)
    gain = thickness**2 - initial**2
    rounding = 1e-12 * thickness**2 / max(gain, 1e-300)
    assert growth.growth_rate(thickness, time, initial) == pytest.approx(rate, rel=1e-9 + rounding)
    assert growth.time_to_thickness(thickness, rate, initial) == pytest.approx(time, rel=1e-9 + rounding)


@given(thicknesses, rates, st.floats(0, 1e8), st.floats(0, 1e8))
@settings(deadline=None)
def test_growing_in_two_stretches_is_growing_in_one(initial, rate, first, second):
    stepped = growth.layer_thickness(second, rate, growth.layer_thickness(first, rate, initial))
    assert growth.layer_thickness(first + second, rate, initial) == pytest.approx(stepped)


def test_squares_add_so_a_first_layer_counts_for_less_than_its_thickness():
    grown = growth.layer_thickness(60 * DAY, RATE_150, np.array([0, 3e-6]))
    assert grown[1] == pytest.approx(math.hypot(9e-6, 3e-6))
    assert grown[1] < grown[0] + 3e-6


@given(rates, st.floats(20, 180), st.floats(20, 180), st.floats(1e3, 2e5))
@settings(deadline=None)
def test_a_rate_carried_to_another_temperature_and_back_is_the_same(rate, known, wanted, energy):
    there = growth.rate_at_temperature(rate, known, wanted, energy)
    assert growth.rate_at_temperature(there, wanted, known, energy) == pytest.approx(rate)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: growth.growth_rate(9e-6, 0), "time must be above 0 s"),
        (lambda: growth.growth_rate(1e-6, 10, 2e-6), "thickness minus initial_thickness must be at least 0 m"),
        (lambda: growth.rate_at_temperature(1e-17, 150, -300, 65e3), "wanted_c must be above -273.15 °C"),
        (lambda: growth.time_to_thickness(9e-6, 0), r"rate must be above 0 m\^2/s"),
    ],
)
def test_a_wrong_input_is_named_with_the_range_it_must_have(call, message):
    with pytest.raises(ValueError, match=message):
        call()
