"""Several causes: held to print, to the two-cause rule beside it, and to the laws of probability."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.intake import causes, evidence
from workbook.references import value

shares = st.floats(0.01, 1)
three = st.tuples(shares, shares, shares)


def whole(weights):
    return np.array(weights) / sum(weights)


def test_three_machines_as_printed():
    chance = causes.chance_of_finding([0.20, 0.45, 0.35], [0.02, 0.01, 0.03])
    assert chance == pytest.approx(value("intake", "three_machines_chance"), abs=5e-4)
    third = causes.updated_causes([0.2, 0.3, 0.5], [0.05, 0.03, 0.02])[2]
    assert third == pytest.approx(value("intake", "three_machines_third"), abs=5e-5)


def test_a_board_that_came_back_at_120_degrees_speaks_for_the_joints_inside():
    after = causes.updated_causes([0.40, 0.40, 0.20], [0.35, 0.55, 0.02])
    assert after == pytest.approx(value("intake", "causes_after_warm_answer"), abs=5e-4)


@given(st.floats(0.01, 0.99), st.floats(0.05, 0.99), st.floats(0.05, 0.95))
def test_two_causes_are_the_rule_for_one_fault_and_one_test(prior, sensitivity, specificity):
    after = causes.updated_causes([prior, 1 - prior], [sensitivity, 1 - specificity])
    assert after[0] == pytest.approx(evidence.positive_predictive_value(prior, sensitivity, specificity))


@given(three, three, three)
def test_two_findings_may_come_in_either_order(weights, first, second):
    one_way = causes.updated_causes(causes.updated_causes(whole(weights), first), second)
    other_way = causes.updated_causes(causes.updated_causes(whole(weights), second), first)
    assert one_way == pytest.approx(other_way)
    assert sum(one_way) == pytest.approx(1)


@given(three)
def test_a_finding_that_all_causes_give_alike_says_nothing(weights):
    assert causes.updated_causes(whole(weights), [0.4, 0.4, 0.4]) == pytest.approx(whole(weights))


@pytest.mark.parametrize(
    ("priors", "likelihoods", "words"),
    [
        ([0.4, 0.4], [0.5, 0.5], "add up to 1"),
        ([0.5, 0.5], [0.5, 0.5, 0.5], "one likelihood"),
        ([0.5, 0.5], [0, 0], "impossible"),
        ([1.2, -0.2], [0.5, 0.5], "priors"),
    ],
)
def test_what_is_no_set_of_causes_is_refused(priors, likelihoods, words):
    with pytest.raises(ValueError, match=words):
        causes.updated_causes(priors, likelihoods)


def test_causes_make_one_whole_to_a_billionth_and_no_worse():
    """What ten decimals leave over is rounding; what nine leave over is a cause left out."""
    for missing in (0.98e-9, -0.98e-9):
        assert causes.chance_of_finding([0.5, 0.5 - missing], [1.0, 1.0]) == pytest.approx(1)
    for missing in (1.02e-9, -1.02e-9):
        with pytest.raises(ValueError, match="add up to 1"):
            causes.chance_of_finding([0.5, 0.5 - missing], [1.0, 1.0])
