"""Clean cold starts, held to scipy's binomial, to the rule of three and to the bound on a rate."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from workbook.bench.signoff import cold_starts, promise
from workbook.references import value

# With the smallest of floats the pmf of scipy overflows.
RATES = st.just(0.0) | st.floats(1e-12, 1)


@given(RATES, st.integers(1, 200))
def test_none_of_n_is_the_binomial_with_no_failure(rate, starts):
    assert cold_starts.chance_of_clean_starts(rate, starts) == pytest.approx(stats.binom.pmf(0, starts, rate))


@pytest.mark.parametrize("starts", [5, 20, 60, 300])
def test_at_its_bound_a_board_passes_one_time_in_twenty(starts):
    bound = promise.return_rate_bound(0, starts)
    assert cold_starts.chance_of_clean_starts(bound, starts) == pytest.approx(0.05)


def test_sixty_clean_starts_leave_nearly_one_in_twenty():
    assert promise.return_rate_bound(0, 60) == pytest.approx(value("signoff", "clean_starts_60"), abs=5e-5)


def test_the_rule_of_three_as_quoted():
    assert promise.return_rate_bound(0, 1500) == pytest.approx(value("signoff", "rule_of_three_1500"), abs=5e-6)


def test_a_test_of_no_starts_is_refused():
    with pytest.raises(ValueError, match="starts"):
        cold_starts.chance_of_clean_starts(0.1, 0)
