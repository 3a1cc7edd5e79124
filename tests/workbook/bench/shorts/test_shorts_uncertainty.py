"""Propagation of uncertainty, held to GUM annex H, to two libraries, and to its own algebra."""

import math

import GTC
import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from uncertainties import umath

from workbook.bench.shorts import uncertainty
from workbook.references import entry, table, value

READINGS = np.array(value("shorts", "gum_h2_readings"))


def impedance(inputs):
    voltage, current, phase = inputs
    ratio = voltage / current
    return np.array([ratio * np.cos(phase), ratio * np.sin(phase), ratio])


@pytest.fixture(scope="module")
def impedance_of_annex_h():
    means, covariance, freedom = uncertainty.mean_and_covariance(READINGS)
    return means, covariance, freedom, *uncertainty.propagate(impedance, means, covariance)


def test_means_and_their_uncertainties_of_annex_h2(impedance_of_annex_h):
    """Published: documentation of GTC, GUM H.2."""
    means, covariance, freedom, *_ = impedance_of_annex_h
    printed = np.array(entry("shorts", "gum_h2_means").value)
    assert means == pytest.approx(printed[:, 0], rel=1e-5)
    assert np.sqrt(np.diag(covariance)) == pytest.approx(printed[:, 1], rel=0.02)
    assert freedom == 4


def test_input_correlations_of_annex_h2(impedance_of_annex_h):
    """Published: documentation of GTC, GUM H.2."""
    coefficients = uncertainty.correlation(impedance_of_annex_h[1])
    printed = entry("shorts", "gum_h2_input_correlations")
    assert coefficients[[0, 0, 1], [1, 2, 2]] == pytest.approx(printed.value, abs=printed.uncertainty)


def test_results_of_annex_h2(impedance_of_annex_h):
    """Published second-hand: GUM Table H.3, uncertainties to 2 %."""
    *_, results, covariance = impedance_of_annex_h
    printed = np.array(entry("shorts", "gum_h2_results").value)
    assert results == pytest.approx(printed[:, 0], abs=1e-3)
    assert np.sqrt(np.diag(covariance)) == pytest.approx(printed[:, 1], rel=0.02)


def test_result_correlations_of_annex_h2(impedance_of_annex_h):
    """Published second-hand: R and X. Computed with two libraries: the others."""
    coefficients = uncertainty.correlation(impedance_of_annex_h[-1])
    assert coefficients[0, 1] == pytest.approx(value("shorts", "gum_h2_result_correlation"), abs=0.0005)
    assert coefficients[[0, 1], [2, 2]] == pytest.approx(value("shorts", "gum_h2_other_correlations"), abs=0.0005)


def test_forgetting_the_correlations_is_the_known_mistake(impedance_of_annex_h):
    """Computed: u(R) comes out 2.7 times too large, u(X) too small."""
    means, covariance, _, _, correlated = impedance_of_annex_h
    _, independent = uncertainty.propagate(impedance, means, np.diag(np.diag(covariance)))
    wrong = np.sqrt(np.diag(independent))
    assert wrong == pytest.approx(value("shorts", "gum_h2_without_correlation"), rel=0.01)
    assert wrong[0] > 2.5 * np.sqrt(correlated[0, 0])
    assert wrong[1] < np.sqrt(correlated[1, 1])


def test_annex_h2_agrees_with_the_uncertainties_library(impedance_of_annex_h):
    means, covariance, _, results, found = impedance_of_annex_h
    voltage, current, phase = uncertainties.correlated_values(means, covariance)
    ratio = voltage / current
    theirs = [ratio * umath.cos(phase), ratio * umath.sin(phase), ratio]
    assert results == pytest.approx([each.nominal_value for each in theirs], rel=1e-12)
    assert found == pytest.approx(np.array(uncertainties.covariance_matrix(theirs)), rel=1e-7)


def test_annex_h2_agrees_with_gtc(impedance_of_annex_h):
    *_, results, found = impedance_of_annex_h
    voltage, current, phase = GTC.type_a.multi_estimate_real(READINGS.tolist())
    theirs = [voltage / current * GTC.cos(phase), voltage / current * GTC.sin(phase), voltage / current]
    assert results == pytest.approx([each.x for each in theirs], rel=1e-12)
    assert np.sqrt(np.diag(found)) == pytest.approx([each.u for each in theirs], rel=1e-7)
    assert found[0, 1] == pytest.approx(GTC.get_covariance(theirs[0], theirs[1]), rel=1e-7)


def test_end_gauge_of_annex_h1():
    """Published second-hand: GUM H.1."""
    amounts, freedoms = np.array(value("shorts", "gum_h1_budget")).T
    combined, freedom, factor = value("shorts", "gum_h1_result")
    effective = uncertainty.effective_freedom(amounts, freedoms)
    assert np.hypot.reduce(amounts) == pytest.approx(combined, rel=0.02)
    assert math.floor(effective) == freedom
    assert uncertainty.coverage_factor(freedom, 0.99) == pytest.approx(factor, abs=0.005)


def test_effective_freedom_agrees_with_gtc():
    amounts, freedoms = np.array(value("shorts", "gum_h1_budget")).T
    total = sum(GTC.ureal(0, amount, freedom) for amount, freedom in zip(amounts, freedoms, strict=True))
    assert uncertainty.effective_freedom(amounts, freedoms) == pytest.approx(total.df, rel=1e-9)


@pytest.mark.parametrize(("freedom", "row"), table("shorts", "coverage_factors").items())
def test_coverage_factors_of_the_technical_note(freedom, row):
    """Published: NIST TN 1297, Table B.1."""
    assert uncertainty.coverage_factor(int(freedom), 0.95) == pytest.approx(row["95 %"], abs=0.0051)
    assert uncertainty.coverage_factor(int(freedom), 0.9545) == pytest.approx(row["95.45 %"], abs=0.0051)


def test_without_end_of_freedom_the_factor_is_the_normal_one():
    assert uncertainty.coverage_factor(np.inf, 0.99) == pytest.approx(stats.norm.ppf(0.995))


@given(st.floats(0.01, 100), st.floats(0.01, 100))
def test_the_spread_of_even_chances_is_that_of_drawn_numbers(low, width):
    """Published second-hand: GUM 4.3.7 and F.2.2.1."""
    assert uncertainty.rectangular(width / 2) == pytest.approx(stats.uniform(low, width).std())
    assert uncertainty.display_step(width) == pytest.approx(stats.uniform(low, width).std())
    assert uncertainty.rectangular(width) * value("shorts", "rectangular_divisor") == pytest.approx(width)


FORMULAS = {
    "with math functions": (
        lambda x: math.exp(x[0] / 9) * math.sqrt(x[1]),
        lambda x: (math.exp(x[0] / 9) * math.sqrt(x[1]) / 9, math.exp(x[0] / 9) / math.sqrt(x[1]) / 2),
    ),
    "with an absolute value": (lambda x: abs(x[0]) * x[1], lambda x: (math.copysign(x[1], x[0]), abs(x[0]))),
    "of a polynomial": (lambda x: x[0] ** 3 - x[0] * x[1], lambda x: (3 * x[0] ** 2 - x[1], -x[0])),
}


@pytest.mark.parametrize("name", FORMULAS)
@given(st.floats(-10, -0.1) | st.floats(0.1, 10), st.floats(0.1, 10))
def test_sensitivities_are_the_derivatives(name, first, second):
    formula, derivatives = FORMULAS[name]
    at = (first, second)
    assert uncertainty.sensitivities(formula, at) == pytest.approx(derivatives(at), rel=1e-8, abs=1e-8)


def test_sensitivity_at_zero_takes_its_step_from_the_uncertainty():
    slope = uncertainty.sensitivities(lambda x: np.sin(1e6 * x[0]), [0.0], [1e-8])
    assert slope == pytest.approx([1e6], rel=1e-9)


@given(st.integers(1, 4), st.data())
def test_a_straight_formula_carries_covariance_exactly(size, data):
    number = st.floats(-3, 3)
    weights, estimates = (np.array(data.draw(st.lists(number, min_size=size, max_size=size))) for _ in "we")
    root = np.array(data.draw(st.lists(number, min_size=size * size, max_size=size * size))).reshape(size, size)
    covariance = root @ root.T
    _, variance = uncertainty.propagate(lambda x: weights @ x, estimates, covariance)
    assert variance == pytest.approx(weights @ covariance @ weights, abs=1e-7)


@given(st.floats(0.1, 9), st.floats(0.1, 9), st.floats(0, 1), st.floats(0, 1))
def test_independent_contributions_add_in_squares(one, other, u_one, u_other):
    parts = uncertainty.contributions(lambda x: x[0] * x[1], [one, other], [u_one, u_other])
    _, variance = uncertainty.propagate(lambda x: x[0] * x[1], [one, other], np.diag([u_one**2, u_other**2]))
    assert np.sum(parts**2) == pytest.approx(variance, rel=1e-6, abs=1e-12)


def test_propagation_agrees_with_drawn_numbers():
    means, covariance, _ = uncertainty.mean_and_covariance(READINGS)
    drawn = np.random.default_rng(3).multivariate_normal(means, covariance, 200_000)
    _, found = uncertainty.propagate(impedance, means, covariance)
    assert np.sqrt(np.diag(found)) == pytest.approx(impedance(drawn.T).std(axis=1), rel=0.01)


@given(st.lists(st.floats(0.1, 9), min_size=1, max_size=6), st.integers(1, 50))
def test_effective_freedom_lies_between_one_input_and_all_of_them(amounts, freedom):
    effective = uncertainty.effective_freedom(amounts, [freedom] * len(amounts))
    assert freedom * (1 - 1e-9) <= effective <= freedom * len(amounts) * (1 + 1e-9)


def test_exactly_known_inputs_have_no_end_of_freedom():
    assert uncertainty.effective_freedom([1.0, 2.0], [np.inf, np.inf]) == np.inf


def test_expanded_is_factor_times_standard():
    assert uncertainty.expanded(0.5, 4) == pytest.approx(0.5 * uncertainty.coverage_factor(4))


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: uncertainty.rectangular(-1.0), "half width"),
        (lambda: uncertainty.mean_and_covariance([[1.0]]), "two finite readings"),
        (lambda: uncertainty.propagate(sum, [1.0, 2.0], np.eye(3)), "covariance must be symmetric"),
        (lambda: uncertainty.coverage_factor(4, 1.0), "confidence"),
        (lambda: uncertainty.effective_freedom([0.0], [1]), "combined uncertainty"),
        (lambda: uncertainty.correlation([[0.0]]), "variances"),
    ],
)
def test_a_value_out_of_range_is_named(call, named):
    with pytest.raises(ValueError, match=named):
        call()
