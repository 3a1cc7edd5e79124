"""The verdict on a reading, held to JCGM 106 examples, to its own error rates by simulation, and to properties."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from workbook.bench.shorts import decision, meter, networks
from workbook.references import entry, value

BALLS = stats.gamma(4, scale=0.25)
HAND_METER = value("shorts", "hand_meter_200_ohm")[:3]


@pytest.mark.parametrize("row", value("shorts", "decision_table"))
def test_readings_to_decide_have_the_probability_of_the_table(row):
    """Computed: 0.8 % + 2 counts, contact 0.1 ohm, limit 1 ohm."""
    raw, leads, resistance, probability = row
    estimate = meter.lead_null(raw, leads)
    deviation = decision.reading_uncertainty(raw, *HAND_METER)
    assert estimate == pytest.approx(resistance)
    assert decision.probability_above(estimate, deviation, 1.0) == pytest.approx(probability, abs=0.02)


@pytest.mark.parametrize(
    ("raw", "leads", "said"),
    [
        (1.6, 0.3, decision.NO_DEAD_SHORT),
        (1.3, 0.3, decision.UNDECIDED),
        (1.2, 0.3, decision.UNDECIDED),
        (1.0, 0.4, decision.DEAD_SHORT),
        (0.4, 0.4, decision.DEAD_SHORT),
    ],
)
def test_readings_to_decide_get_the_verdict_of_the_band(raw, leads, said):
    expanded = 2 * decision.reading_uncertainty(raw, *HAND_METER)
    assert decision.verdict(meter.lead_null(raw, leads), expanded) == said


def test_forgetting_the_leads_turns_undecided_into_no_short():
    expanded = 2 * decision.reading_uncertainty(1.3, *HAND_METER)
    assert decision.verdict(1.3, expanded) == decision.NO_DEAD_SHORT
    assert decision.verdict(meter.lead_null(1.3, 0.3), expanded) == decision.UNDECIDED


def test_one_sided_conformance_of_jcgm_106():
    """From memory, answer computed: JCGM 106, 7.3.3."""
    answer = entry("signoff", "conformity_one_sided")
    assert 1 - decision.probability_above(-5.47, 0.05, -5.40) == pytest.approx(answer.value, abs=answer.uncertainty)


def test_risk_of_accepting_bad_bearing_balls():
    """Published second-hand: JCGM 106, 9.5.4."""
    bad, accepted = value("shorts", "bearing_balls")
    assert BALLS.sf(2.0) == pytest.approx(bad, abs=0.0005)
    assert decision.false_accept_risk(BALLS, 0.25, 2.0, 2.0) == pytest.approx(accepted, abs=0.00005)


def test_acceptance_limit_for_a_risk_of_one_in_a_thousand():
    """Published second-hand: JCGM 106, 9.5.4."""
    printed = value("shorts", "bearing_balls_acceptance_limit")
    limit = optimize.brentq(lambda at: decision.false_accept_risk(BALLS, 0.25, 2.0, at) - 0.001, 1.0, 2.0)
    assert limit * 1e-6 == pytest.approx(printed, abs=0.005e-6)


def test_risk_of_false_acceptance_agrees_with_drawn_balls():
    draw = np.random.default_rng(7)
    true = BALLS.rvs(400_000, random_state=draw)
    read = true + draw.normal(0, 0.25, true.size)
    drawn = np.mean((true > 2.0) & (read <= 2.0))
    assert decision.false_accept_risk(BALLS, 0.25, 2.0, 2.0) == pytest.approx(drawn, abs=4 * np.sqrt(0.008 / true.size))


def test_where_everything_is_accepted_all_that_is_bad_is_accepted_too():
    assert decision.false_accept_risk(BALLS, 0.01, 2.0, 9.0) == pytest.approx(BALLS.sf(2.0), rel=1e-6)


def test_the_guard_band_keeps_the_promise_of_the_guide():
    """Published: ILAC-G8, a guard band of U keeps false verdicts below 2.5 %, none at all lets half of them through."""
    guarded, unguarded = value("shorts", "guard_band_false_accept")
    low, high = decision.undecided_band(1.0, 1.96 * 0.1)
    assert decision.probability_above(low, 0.1, 1.0) <= guarded + 1e-4
    assert 1 - decision.probability_above(high, 0.1, 1.0) <= guarded + 1e-4
    assert decision.probability_above(1.0, 0.1, 1.0) == unguarded


@given(st.floats(-1, 100), st.floats(0, 2), st.floats(0.1, 10))
def test_a_better_meter_never_reverses_a_verdict(resistance, expanded, limit):
    coarse, fine = decision.verdict(resistance, expanded, limit), decision.verdict(resistance, expanded / 2, limit)
    assert coarse in (fine, decision.UNDECIDED)


@given(st.floats(-1, 100), st.floats(0, 2), st.floats(0.1, 10))
def test_a_rail_near_zero_by_design_is_never_called_shorted(resistance, expanded, limit):
    said = decision.verdict(resistance, expanded, limit, near_zero_by_design=True)
    assert said in (decision.UNDECIDED, decision.NO_DEAD_SHORT)
    assert (said == decision.NO_DEAD_SHORT) == (resistance >= decision.undecided_band(limit, expanded)[1])


@given(st.floats(0.01, 1e6), st.floats(0.01, 1e6))
def test_the_leak_behind_a_reading_in_parallel_with_the_reference_is_the_reading(reference, leak):
    reading = networks.parallel(reference, leak)
    if reading < reference * (1 - 1e-6):
        assert decision.leak_behind(reference, reading) == pytest.approx(leak, rel=1e-6)


def test_nothing_is_hidden_where_nothing_is_lost():
    assert decision.leak_behind(64.0, 64.0) == np.inf


def test_a_reading_above_the_reference_hides_no_leak():
    with pytest.raises(ValueError, match="reference minus reading"):
        decision.leak_behind(64.0, 65.0)


def test_a_universal_limit_of_ten_ohm_fails_good_rails():
    """Common practice, a trap: the limit belongs to the rail."""
    assert entry("shorts", "universal_ten_ohm_limit").kind == "trap"
    assert decision.verdict(6.0, 0.3, limit=10.0) == decision.DEAD_SHORT
    assert decision.holds_to_reference([6.0], [6.5])


def test_one_polarity_below_its_reference_is_enough_to_fail():
    assert decision.holds_to_reference([60.0, 58.0], [64.0, 61.0])
    assert not decision.holds_to_reference([60.0, 20.0], [64.0, 61.0])


def test_every_polarity_needs_its_reference():
    with pytest.raises(ValueError, match="each polarity"):
        decision.holds_to_reference([60.0], [64.0, 61.0])


@given(st.floats(0, 5), st.floats(0.01, 1), st.floats(0, 5), st.floats(0, 5))
def test_to_lie_above_a_higher_limit_is_no_more_probable(estimate, deviation, low, width):
    higher = decision.probability_above(estimate, deviation, low + width)
    assert 0 <= higher <= decision.probability_above(estimate, deviation, low) <= 1


def test_a_rail_that_reads_open_is_not_shorted():
    """What a display says of an open circuit is infinite, and that holds to any reference."""
    assert decision.holds_to_reference([math.inf, 60.0], [64.0, 61.0])
