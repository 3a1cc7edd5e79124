"""Acceleration and failure rates against printed values, scipy's laws and exact counts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from workbook.bench.joints import rates
from workbook.references import entry, value

HOUR = 3600
confidences = st.floats(0.05, 0.99)
energies = st.floats(0.1, 1.5)
temperatures = st.floats(-40, 150)


@pytest.mark.parametrize(("stress_c", "place"), [(150, 0), (135, 1), (125, 2), (85, 3)])
def test_arrhenius_factors_are_the_printed_ones(stress_c, place):
    """Published-unnamed: a device maker's page, 0.7 eV to 55 °C; whole numbers there, and one of them rounded down."""
    printed = value("joints", "arrhenius_factors")[place]
    assert rates.arrhenius_acceleration(0.7, 55, stress_c) == pytest.approx(printed, rel=0.01)


@given(energies, temperatures, temperatures, temperatures)
@settings(deadline=None)
def test_arrhenius_factors_chain_over_a_temperature_between(energy, low, middle, high):
    """Exact: from low to high is from low to middle, then from middle to high."""
    stepped = rates.arrhenius_acceleration(energy, low, middle) * rates.arrhenius_acceleration(energy, middle, high)
    assert rates.arrhenius_acceleration(energy, low, high) == pytest.approx(stepped)


def test_a_hotter_test_ages_faster():
    factors = rates.arrhenius_acceleration(0.7, 55, np.array([40, 55, 70, 125]))
    assert factors[0] < factors[1] == 1 < factors[2] < factors[3]


def peck(humidities, temperatures_c, exponent, energy):
    return rates.peck_acceleration(
        use_humidity=humidities[0],
        stress_humidity=humidities[1],
        use_c=temperatures_c[0],
        stress_c=temperatures_c[1],
        humidity_exponent=exponent,
        activation_energy_ev=energy,
    )


def test_pecks_factor_is_its_two_parts_multiplied():
    """Computed: 2.561 for damp times 39.58 for heat, constants published second-hand."""
    power, energy = value("joints", "peck_constants")
    both = peck((0.60, 0.85), (40, 85), power, energy)
    assert both == pytest.approx(value("joints", "peck_example"), abs=0.05)
    assert both == pytest.approx((0.85 / 0.60) ** power * rates.arrhenius_acceleration(energy, 40, 85))


def test_without_more_damp_peck_is_arrhenius():
    assert peck((0.7, 0.7), (40, 85), 2.7, 0.79) == rates.arrhenius_acceleration(0.79, 40, 85)


@pytest.mark.parametrize(("failures", "key"), [(2, "chi_square_two_failures"), (0, "chi_square_no_failure")])
def test_the_chi_square_behind_the_bound_is_the_printed_one(failures, key):
    """Published: Reliability, Maintainability and Risk, answers to chapter 5; 5000 h at 60 %."""
    reference = entry("joints", key)
    chi_square = 2 * 5000 * HOUR / rates.mtbf_lower_bound(5000 * HOUR, failures, 0.60)
    assert chi_square == pytest.approx(reference.value, abs=reference.uncertainty)


def test_the_two_sided_interval_is_the_handbooks_formula_with_scipys_chi_square():
    """Computed: NIST/SEMATECH e-Handbook, section 8.4.5.1, for the formula: 2r + 2 below, 2r above."""
    lower, upper = rates.mtbf_interval(800 * HOUR, 2, 0.90)
    assert (lower / HOUR, upper / HOUR) == pytest.approx(
        (1600 / stats.chi2.ppf(0.95, 6), 1600 / stats.chi2.ppf(0.05, 4))
    )
    assert (lower / HOUR, upper / HOUR) == pytest.approx(value("joints", "mtbf_interval_two_failures"), abs=0.5)
    assert rates.mtbf(800 * HOUR, 2) == 400 * HOUR


@given(st.floats(1, 1e9), st.integers(0, 50), confidences)
@settings(deadline=None)
def test_at_the_bound_so_few_failures_have_just_the_chance_left_over(total_time, failures, confidence):
    """Exact: at the lower bound a test shows no more than r failures with probability 1 - confidence (Poisson)."""
    bound = rates.mtbf_lower_bound(total_time, failures, confidence)
    assert stats.poisson.cdf(failures, total_time / bound) == pytest.approx(1 - confidence)


@given(st.floats(1, 1e9), confidences)
@settings(deadline=None)
def test_without_a_failure_the_bound_is_a_logarithm(total_time, confidence):
    """Exact: exp(-T/bound) = 1 - confidence; and nothing bounds the life from above."""
    assert rates.mtbf_lower_bound(total_time, 0, confidence) == pytest.approx(total_time / -np.log1p(-confidence))
    assert rates.mtbf_interval(total_time, 0, confidence)[1] == np.inf


@given(st.floats(1, 1e9), st.integers(1, 50), confidences)
@settings(deadline=None)
def test_the_interval_holds_the_point_estimate_and_widens_with_confidence(total_time, failures, confidence):
    lower, upper = rates.mtbf_interval(total_time, failures, confidence)
    wider = rates.mtbf_interval(total_time, failures, confidence + 0.005)
    assert wider[0] < lower < upper < wider[1]
    if confidence > 0.5:
        assert lower < rates.mtbf(total_time, failures) < upper


def test_the_printed_failure_rate_without_failures_is_met():
    """Published-unnamed: a device maker's support thread, 50.5 to 50.9 FIT by its rounding; unrounded 51.1."""
    factor = rates.arrhenius_acceleration(0.7, 55, 125)
    fit = rates.failures_in_time(rates.failure_rate_upper_bound(231 * 1000 * HOUR, 0, 0.60, factor))
    low, high = value("joints", "fit_without_failures")
    assert fit == pytest.approx((low + high) / 2, rel=0.02)
    assert fit == pytest.approx(stats.chi2.ppf(0.60, 2) / (2 * 231 * 1000 * factor) * 1e9)


def test_bounds_are_reckoned_for_several_tests_at_once():
    lower, upper = rates.mtbf_interval(800.0, np.array([0, 2]), 0.90)
    assert lower[1] == rates.mtbf_lower_bound(800.0, 2, 0.95)
    assert np.isinf(upper).tolist() == [True, False]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: rates.arrhenius_acceleration(0.7, -300, 125), "use_c must be above -273.15 °C"),
        (lambda: peck((60, 85), (40, 85), 2.7, 0.79), r"use_humidity must be above 0 and at most 1 \(got 60\)"),
        (lambda: rates.mtbf(800, 0), "failures must be at least 1"),
        (lambda: rates.mtbf_lower_bound(800, 0, 60), "confidence must be between 0 and 1"),
        (lambda: rates.failures_in_time(-1), "rate must be at least 0 1/s"),
    ],
)
def test_a_wrong_input_is_named_with_the_range_it_must_have(call, message):
    with pytest.raises(ValueError, match=message):
        call()
