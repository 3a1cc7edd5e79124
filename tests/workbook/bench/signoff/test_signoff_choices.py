"""What a repair is worth, held to a textbook's payoff table and to a game played many times."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.signoff import choices
from workbook.references import value


def test_the_payoff_table_as_printed():
    ours = [choices.expected_value(0.60, 50000, 0, -30000), choices.expected_value(0.60, 100000, 0, 40000)]
    assert ours == pytest.approx(value("signoff", "payoff_table"))


def test_reflow_and_replacement_and_where_they_meet():
    reflow, replace = choices.expected_value(0.55, 150, 35, 20), choices.expected_value(0.92, 150, 95, 20)
    assert (reflow, replace) == pytest.approx((38.5, 41.4))
    assert choices.chance_to_match(replace, 150, 35, 20) == pytest.approx(0.567, abs=5e-4)


def test_the_mean_of_many_jobs_is_the_expected_value():
    holds = np.random.default_rng(17).random(400_000) < 0.55
    earned = np.where(holds, 150 - 35, -35 - 20)
    assert earned.mean() == pytest.approx(choices.expected_value(0.55, 150, 35, 20), abs=0.5)


@given(st.floats(0, 1), st.floats(50, 500), st.floats(0, 100), st.floats(0, 100))
def test_the_chance_that_matches_gives_its_target_back(chance, worth, cost, comeback):
    target = choices.expected_value(chance, worth, cost, comeback)
    assert choices.chance_to_match(target, worth, cost, comeback) == pytest.approx(chance, abs=1e-9)


def test_a_chance_above_one_is_refused():
    with pytest.raises(ValueError, match="success"):
        choices.expected_value(1.2, 150, 35, 20)
