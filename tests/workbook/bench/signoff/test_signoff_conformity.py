"""Decisions at a limit, held to JCGM 106 and ILAC-G8, to an exact two-variable normal and to simulated boards."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from workbook.bench.signoff import conformity
from workbook.references import entry, value

BEARINGS = stats.gamma(4, scale=1 / 4)
readings, spreads = st.floats(-50, 50), st.floats(0.1, 20)


@given(readings, spreads, st.floats(-40, 40), st.floats(0.1, 50))
def test_probability_of_conformity_is_the_normal_share_between_the_limits(measured, spread, lower, width):
    upper = lower + width
    share = stats.norm(measured, spread).cdf(upper) - stats.norm(measured, spread).cdf(lower)
    assert conformity.probability_of_conformity(measured, spread, lower, upper) == pytest.approx(share, abs=1e-12)


@given(readings, spreads, st.floats(-40, 40))
def test_the_two_sides_of_one_limit_add_to_certainty(measured, spread, limit):
    below = conformity.probability_of_conformity(measured, spread, upper=limit)
    above = conformity.probability_of_conformity(measured, spread, lower=limit)
    assert below + above == pytest.approx(1)


def test_a_reading_on_the_limit_is_a_coin_toss_and_a_far_tail_keeps_its_digits():
    assert conformity.probability_of_conformity(1.0, 0.1, lower=1.0) == pytest.approx(0.5)
    far_tail = stats.norm.sf(10) - stats.norm.sf(11)
    assert conformity.probability_of_conformity(0.0, 1.0, 10.0, 11.0) == pytest.approx(far_tail, rel=1e-9, abs=0)


def test_the_guides_examples():
    two_sided = conformity.probability_of_conformity(13.6, 1.8, 12.5, 16.3)
    assert two_sided == pytest.approx(value("signoff", "conformity_two_sided"), abs=0.0005)
    one_sided = conformity.probability_of_conformity(-5.47, 0.05, upper=-5.40)
    assert one_sided == pytest.approx(value("signoff", "conformity_one_sided"), abs=0.0005)
    assert entry("signoff", "conformity_one_sided").standing == "from-memory"


@given(spreads, st.floats(0.001, 0.5))
def test_a_guard_band_holds_the_risk_it_was_made_for(spread, risk):
    band = conformity.guard_band(spread, risk)
    assert conformity.risk_at_acceptance_limit(band, spread) == pytest.approx(risk, rel=1e-9)
    # ... which is what a reading at the acceptance limit says by itself.
    assert 1 - conformity.probability_of_conformity(-band, spread, upper=0.0) == pytest.approx(risk, rel=1e-6)


def test_the_published_rules_have_the_published_risks():
    assert conformity.risk_at_acceptance_limit(0.0, 1.0) == value("signoff", "simple_acceptance_risk")
    assert conformity.risk_at_acceptance_limit(2.0, 1.0) < value("signoff", "guarded_risk")


def test_the_four_answers_are_the_guides_in_order():
    assert value("signoff", "four_answers") == conformity.ANSWERS
    assert [conformity.answer(y, 0.5, lower=0.0, upper=10.0) for y in (5, 9.7, 10.3, 11)] == list(conformity.ANSWERS)
    assert [conformity.answer(y, 0.5, lower=0.0, upper=10.0) for y in (5, 0.3, -0.3, -1)] == list(conformity.ANSWERS)


def test_a_reading_exactly_on_an_edge_gets_the_better_answer():
    assert [conformity.answer(y, 0.5, upper=10.0) for y in (9.5, 10.0, 10.5)] == list(conformity.ANSWERS[:3])


@given(readings, st.floats(0, 10), st.floats(0, 10), st.floats(-40, 40))
def test_a_wider_guard_band_never_turns_doubt_into_a_pass_or_a_fail(measured, narrow, extra, limit):
    careful = conformity.answer(measured, narrow + extra, upper=limit)
    plain = conformity.answer(measured, narrow, upper=limit)
    if careful in ("pass", "fail"):
        assert careful == plain


@given(readings)
def test_without_a_guard_band_there_are_two_answers(measured):
    assert conformity.answer(measured, 0.0, -10.0, 10.0) in ("pass", "fail")


def test_the_acceptance_interval_is_where_the_answer_is_pass():
    low, high = conformity.acceptance_interval(2.0, 235.0, 250.0)
    for reading in np.linspace(230, 255, 251):
        assert (low <= reading <= high) == (conformity.answer(reading, 2.0, 235.0, 250.0) == "pass")


def test_ball_bearings():
    """JCGM 106, 9.5.4, as a national laboratory quotes it."""
    everything = (-np.inf, 2.0)
    assert BEARINGS.sf(2.0) == pytest.approx(value("signoff", "bearings_outside"), abs=0.0005)
    accepted = conformity.joint_false_accept(BEARINGS, 0.25, everything, upper=2.0)
    assert accepted == pytest.approx(value("signoff", "bearings_false_accept"), abs=0.00005)
    assert accepted == pytest.approx(0.008019111884303471, rel=1e-6)  # the notebook's own digits, by quadrature
    limit = conformity.acceptance_limit_for_risk(BEARINGS, 0.25, 2.0, 0.001)
    assert limit == pytest.approx(value("signoff", "bearings_acceptance_limit"), abs=0.005)
    assert limit == pytest.approx(1.6718287715440068, rel=1e-6)  # the notebook's own digits, by its solver
    rejected = [
        conformity.joint_false_reject(BEARINGS, 0.25, (-np.inf, acceptance), upper=2.0) for acceptance in (2.0, limit)
    ]
    assert rejected == pytest.approx(value("signoff", "bearings_false_reject"), abs=0.00005)


@given(st.floats(-2, 2), st.floats(0.05, 20), st.floats(0.05, 5), st.floats(-1, 1))
def test_normal_boards_read_normally_agree_with_the_exact_two_variable_normal(centre, process, reading, band):
    """True value and reading are jointly normal: P(true above 0 and reading below A) is a corner of their plane."""
    covariance = [[process**2, -(process**2)], [-(process**2), process**2 + reading**2]]
    exact = stats.multivariate_normal.cdf([0.0, band], [-centre, centre], covariance, abseps=1e-9, releps=1e-9)
    ours = conformity.joint_false_accept(stats.norm(centre, process), reading, (-np.inf, band), upper=0.0)
    assert ours == pytest.approx(exact, abs=2e-7)


def test_simulated_boards_are_wrongly_accepted_and_rejected_as_often_as_computed():
    random = np.random.default_rng(2)
    process, spread, lower, upper = stats.norm(242, 4), 1.5, 235.0, 250.0
    true = process.rvs(400_000, random_state=random)
    reading = true + random.normal(0, spread, true.size)
    low, high = accepted = conformity.acceptance_interval(1.5, lower, upper)
    good, taken = (lower <= true) & (true <= upper), (low <= reading) & (reading <= high)
    false_accept = conformity.joint_false_accept(process, spread, accepted, lower, upper)
    false_reject = conformity.joint_false_reject(process, spread, accepted, lower, upper)
    assert np.mean(~good & taken) == pytest.approx(false_accept, abs=0.0005)
    assert np.mean(good & ~taken) == pytest.approx(false_reject, abs=0.002)


@given(st.floats(0, 0.6), st.floats(0.01, 0.6))
def test_a_guard_band_moves_risk_from_customer_to_shop(band, extra):
    narrow, wide = ((-np.inf, 2.0 - w) for w in (band, band + extra))
    accept = [conformity.joint_false_accept(BEARINGS, 0.25, rule, upper=2.0) for rule in (narrow, wide)]
    reject = [conformity.joint_false_reject(BEARINGS, 0.25, rule, upper=2.0) for rule in (narrow, wide)]
    assert accept[1] < accept[0]
    assert reject[1] > reject[0]


def test_all_boards_are_accounted_for():
    """Accepted and rejected, good and bad: with everything accepted only the bad are wrong, with nothing, the good."""
    anything, nothing = (-np.inf, np.inf), (-np.inf, -50.0)
    assert conformity.joint_false_accept(BEARINGS, 0.25, anything, upper=2.0) == pytest.approx(BEARINGS.sf(2), rel=1e-6)
    assert conformity.joint_false_reject(BEARINGS, 0.25, anything, upper=2.0) == pytest.approx(0, abs=1e-12)
    assert conformity.joint_false_accept(BEARINGS, 0.25, nothing, upper=2.0) == pytest.approx(0, abs=1e-12)
    assert conformity.joint_false_reject(BEARINGS, 0.25, nothing, upper=2.0) == pytest.approx(BEARINGS.cdf(2), rel=1e-6)


@given(st.floats(0.0005, 0.03))
def test_the_acceptance_limit_has_the_risk_it_was_found_for(risk):
    limit = conformity.acceptance_limit_for_risk(BEARINGS, 0.25, 2.0, risk)
    found = conformity.joint_false_accept(BEARINGS, 0.25, (-np.inf, limit), upper=2.0)
    assert found == pytest.approx(risk, rel=1e-6)


def test_limits_that_leave_nothing_are_refused():
    with pytest.raises(ValueError, match="at most half the tolerance"):
        conformity.acceptance_interval(5.0, 0.0, 8.0)
    with pytest.raises(ValueError, match="lower limit must be below"):
        conformity.probability_of_conformity(1.0, 0.1, 2.0, 1.0)
    with pytest.raises(ValueError, match="risk must be"):
        conformity.acceptance_limit_for_risk(BEARINGS, 0.25, 2.0, 0.2)
