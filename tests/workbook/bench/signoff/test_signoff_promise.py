"""What returns allow to promise, held to statsmodels, scipy and the answers and traps in print."""

import inspect

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from workbook.bench.intake import evidence
from workbook.bench.signoff import promise
from workbook.references import entry, value

rates = st.floats(0.001, 0.6)
counts = st.integers(1, 300).flatmap(lambda repairs: st.tuples(st.integers(0, repairs), st.just(repairs)))


@given(counts, st.floats(0.6, 0.99))
def test_the_one_sided_bound_is_the_upper_end_of_the_two_sided_interval_with_twice_the_doubt(count, confidence):
    _, high = proportion_confint(*count, alpha=2 * (1 - confidence), method="beta")
    assert promise.return_rate_bound(*count, confidence) == pytest.approx(high, abs=1e-9)


@given(counts)
def test_the_rate_seen_lies_inside_its_interval(count):
    low, high = promise.return_rate_interval(*count)
    assert low <= count[0] / count[1] <= high


def test_bounds_of_the_references():
    assert promise.return_rate_bound(0, 40) == pytest.approx(value("signoff", "zero_returns_40"), abs=0.0005)
    bounds = promise.return_rate_bound(2, 50), *promise.return_rate_interval(2, 50)
    assert bounds == pytest.approx(value("signoff", "two_returns_50"), abs=0.0005)


def test_three_in_a_hundred_is_not_at_most_six_and_a_half():
    """The printed bound is Wald's; the exact one is higher, one-sided too."""
    trap = entry("signoff", "trap_three_in_hundred")
    _, exact = promise.return_rate_interval(3, 100)
    assert exact == pytest.approx(trap.value, abs=0.00005)
    assert trap.printed == pytest.approx(evidence.wald_interval(3, 100)[1], abs=0.001)
    assert trap.printed < promise.return_rate_bound(3, 100) < exact


def test_zero_returns_follow_the_zero_failure_rule():
    assert promise.return_rate_bound(0, 59) == pytest.approx(1 - 0.05 ** (1 / 59))
    assert promise.repairs_to_promise(0.05) == value("signoff", "success_run_95_95")
    assert promise.repairs_to_promise(0.10, 0.90) == value("signoff", "success_run_90_90")


@given(st.floats(0.02, 0.4), st.integers(0, 5))
def test_the_repairs_counted_support_the_rate_and_one_fewer_does_not(rate, returns):
    repairs = promise.repairs_to_promise(rate, 0.95, returns)
    assert promise.return_rate_bound(returns, repairs) <= rate + 1e-9
    if repairs - 1 > returns:
        assert promise.return_rate_bound(returns, repairs - 1) > rate - 1e-9


@given(st.floats(0.02, 0.4), st.integers(0, 5))
def test_every_return_has_to_be_paid_for_with_more_repairs(rate, returns):
    assert promise.repairs_to_promise(rate, 0.95, returns + 1) > promise.repairs_to_promise(rate, 0.95, returns)


@given(rates, st.integers(1, 500))
def test_counts_of_returns_are_binomial(rate, repairs):
    returns = stats.binom(repairs, rate)
    assert promise.expected_returns(rate, repairs) == pytest.approx(returns.mean())
    assert promise.chance_of_any_return(rate, repairs) == pytest.approx(returns.sf(0))
    assert promise.chance_of_returns_at_most(repairs // 3, repairs, rate) == pytest.approx(returns.cdf(repairs // 3))


@given(rates, st.integers(1, 500), st.floats(0.5, 0.99))
def test_returns_allowed_for_are_enough_and_one_fewer_is_not(rate, repairs, confidence):
    allowed = promise.returns_to_allow_for(rate, repairs, confidence)
    assert promise.chance_of_returns_at_most(allowed, repairs, rate) >= confidence - 1e-9
    if allowed > 0:
        assert promise.chance_of_returns_at_most(allowed - 1, repairs, rate) < confidence + 1e-9


@given(st.lists(st.floats(0, 1), min_size=1, max_size=8))
def test_a_chain_is_no_stronger_than_its_weakest_link(reliabilities):
    assert promise.chain_reliability(*reliabilities) <= min(reliabilities)


@given(st.floats(0.5, 0.999), st.integers(1, 40))
def test_steps_as_good_as_needed_reach_the_target(target, steps):
    each = promise.step_reliability_needed(target, steps)
    assert promise.chain_reliability(*[each] * steps) == pytest.approx(target)


def test_rates_come_as_arrays_too():
    assert promise.returns_to_allow_for(np.array([0.0, 0.05, 1.0]), 60).tolist() == [0, 6, 60]


def test_returns_still_to_come_are_spoken_of():
    assert "still to come" in inspect.getdoc(promise)


@pytest.mark.parametrize("rate", [-0.1, 1.1, float("nan")])
def test_a_rate_outside_its_range_is_refused(rate):
    with pytest.raises(ValueError, match="return rate must be from 0 to 1"):
        promise.expected_returns(rate, 10)
