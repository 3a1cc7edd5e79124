"""The weight of evidence, held to printed answers, to statsmodels and scipy, and to what must always be true."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from workbook.bench.intake import evidence
from workbook.references import entry, table, value

shares = st.floats(0.001, 0.999)
confidences = st.floats(0.5, 0.999)
counts = st.integers(1, 400).flatmap(lambda trials: st.tuples(st.integers(0, trials), st.just(trials)))


@given(shares)
def test_odds_and_probability_undo_each_other(share):
    assert evidence.probability(evidence.odds(share)) == pytest.approx(share, rel=1e-12)


@given(shares, shares, shares)
def test_predictive_values_are_the_odds_rule_with_the_likelihood_ratios(prior, sensitivity, specificity):
    after_positive = evidence.updated_probability(prior, evidence.positive_likelihood_ratio(sensitivity, specificity))
    after_negative = evidence.updated_probability(prior, evidence.negative_likelihood_ratio(sensitivity, specificity))
    assert evidence.positive_predictive_value(prior, sensitivity, specificity) == pytest.approx(after_positive)
    assert evidence.negative_predictive_value(prior, sensitivity, specificity) == pytest.approx(1 - after_negative)


@given(shares, st.lists(st.floats(0.01, 100), min_size=1, max_size=5), st.randoms())
def test_independent_findings_may_be_taken_in_any_order_or_one_after_another(prior, ratios, random):
    shuffled = random.sample(ratios, len(ratios))
    step_by_step = prior
    for ratio in shuffled:
        step_by_step = evidence.updated_probability(step_by_step, ratio)
    assert step_by_step == pytest.approx(evidence.updated_probability(prior, *ratios), rel=1e-9)


@given(shares)
def test_a_finding_that_is_as_likely_either_way_changes_nothing(prior):
    assert evidence.updated_probability(prior, 1.0) == pytest.approx(prior)


def test_counting_boards_gives_the_same_predictive_value():
    """The slow way: 10 000 boards sorted into four piles."""
    faulty, sound = 100, 9900
    found, false_alarms = 0.95 * faulty, 0.10 * sound
    assert evidence.positive_predictive_value(0.01, 0.95, 0.90) == pytest.approx(found / (found + false_alarms))


def test_predictive_values_agree_with_print():
    for key, computed in {
        "ppv_47": evidence.positive_predictive_value(0.10, 0.80, 0.90),
        "ppv_npv_80": [
            evidence.positive_predictive_value(0.80, 0.90, 0.95),
            evidence.negative_predictive_value(0.80, 0.90, 0.95),
        ],
        "npv_05": evidence.negative_predictive_value(0.05, 0.90, 0.95),
        "ppv_0087": evidence.positive_predictive_value(0.01, 0.95, 0.90),
        "post_test_odds": evidence.updated_probability(0.012, 5),
    }.items():
        printed = entry("intake", key)
        assert computed == pytest.approx(printed.value, abs=printed.uncertainty), key


@pytest.mark.parametrize(
    ("key", "prior", "sensitivity", "specificity"),
    [("trap_ppv_rare", 0.01, 0.90, 0.95), ("trap_ppv_05", 0.05, 0.90, 0.95)],
)
def test_answers_wrong_in_print_are_not_ours(key, prior, sensitivity, specificity):
    trap = entry("intake", key)
    ours = evidence.positive_predictive_value(prior, sensitivity, specificity)
    assert ours == pytest.approx(trap.value, rel=0.005)
    assert ours != pytest.approx(trap.printed, rel=0.2)


def test_a_strong_prior_outlives_a_negative_test():
    negative = evidence.negative_likelihood_ratio(0.90, 0.95)
    positive = evidence.positive_likelihood_ratio(0.90, 0.95)
    assert evidence.updated_probability(0.99, negative) == pytest.approx(0.912, abs=0.0005)
    assert evidence.updated_probability(0.99, positive) == pytest.approx(0.9994, abs=0.00005)


def test_certainty_meets_its_denial_with_an_error():
    with pytest.raises(ValueError, match="prior must be below 1"):
        evidence.updated_probability(1.0, 0.0)
    with pytest.raises(ValueError, match="positive result"):
        evidence.positive_predictive_value(0.0, 0.9, 1.0)


@pytest.mark.parametrize(
    ("interval", "method"),
    [
        (evidence.wilson_interval, "wilson"),
        (evidence.clopper_pearson_interval, "beta"),
    ],
)
@given(count=counts, confidence=confidences)
def test_intervals_agree_with_statsmodels(interval, method, count, confidence):
    ours = interval(*count, confidence)
    theirs = proportion_confint(*count, alpha=1 - confidence, method=method)
    assert ours == pytest.approx(theirs, abs=1e-9)


@given(count=counts, confidence=confidences)
def test_wald_agrees_with_statsmodels_where_that_does_not_clip(count, confidence):
    low, high = evidence.wald_interval(*count, confidence)
    theirs = proportion_confint(*count, alpha=1 - confidence, method="normal")
    assert np.clip((low, high), 0, 1) == pytest.approx(theirs, abs=1e-9)


@given(count=counts, confidence=confidences)
def test_exact_intervals_agree_with_scipy(count, confidence):
    theirs = stats.binomtest(*count).proportion_ci(confidence, "exact")
    assert evidence.clopper_pearson_interval(*count, confidence) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@given(count=counts, confidence=confidences)
def test_the_lower_bound_is_the_rate_at_which_so_many_successes_are_just_credible(count, confidence):
    """Definition: at the bound, this many successes or more has probability 1 - C."""
    successes, trials = count
    bound = evidence.lower_bound(successes, trials, confidence)
    if successes == 0:
        assert bound == 0
    else:
        assert stats.binom.sf(successes - 1, trials, bound) == pytest.approx(1 - confidence, rel=1e-6)


@given(count=counts, confidence=confidences)
def test_failures_bound_mirrors_successes_bound(count, confidence):
    successes, trials = count
    assert evidence.upper_bound(trials - successes, trials, confidence) == pytest.approx(
        1 - evidence.lower_bound(successes, trials, confidence), abs=1e-12
    )


@given(count=counts)
def test_more_confidence_never_narrows_an_interval(count):
    for interval in (evidence.wilson_interval, evidence.clopper_pearson_interval):
        narrow, wide = interval(*count, 0.80), interval(*count, 0.99)
        assert wide[0] <= narrow[0]
        assert narrow[1] <= wide[1]


def test_intervals_agree_with_print():
    pairs = {
        "interval_12_150_wald": evidence.wald_interval(12, 150),
        "interval_12_150_wilson": evidence.wilson_interval(12, 150),
        "interval_12_150_exact": evidence.clopper_pearson_interval(12, 150),
        "interval_5_25_exact": evidence.clopper_pearson_interval(5, 25),
    }
    for key, computed in pairs.items():
        assert computed == pytest.approx(value("intake", key), abs=entry("intake", key).uncertainty), key


def test_repairs_that_held_have_the_intervals_the_references_give():
    for row, cells in table("intake", "repair_intervals").items():
        successes, trials = (int(word) for word in row.split(" of "))
        computed = *evidence.wilson_interval(successes, trials), *evidence.clopper_pearson_interval(successes, trials)
        assert computed == pytest.approx(tuple(cells.values()), abs=0.0005)


def test_wald_on_twenty_of_twenty_has_no_width_and_wilson_has():
    assert evidence.wald_interval(20, 20) == (1.0, 1.0)
    assert evidence.wilson_interval(20, 20)[0] < 0.9


def test_intervals_take_arrays():
    low, high = evidence.clopper_pearson_interval(np.array([0, 18, 20]), 20)
    assert low == pytest.approx([0, 0.683, 0.832], abs=0.0005)
    assert high == pytest.approx([0.168, 0.988, 1], abs=0.0005)


@given(st.floats(0.5, 0.995), st.floats(0.5, 0.995))
def test_a_success_run_is_the_shortest_that_shows_the_reliability(reliability, confidence):
    trials = evidence.success_run_trials(reliability, confidence)
    assert evidence.success_run_reliability(trials, confidence) >= reliability * (1 - 1e-9)
    if trials > 1:
        assert evidence.success_run_reliability(trials - 1, confidence) < reliability * (1 + 1e-9)


@given(st.floats(0.5, 0.995), st.floats(0.5, 0.995))
def test_the_uniform_prior_is_worth_one_success(reliability, confidence):
    classical = evidence.success_run_trials(reliability, confidence)
    assert evidence.success_run_trials_uniform_prior(reliability, confidence) == classical - 1


def test_the_uniform_prior_form_is_the_posterior_of_a_beta_distribution():
    for trials, confidence in ((10, 0.90), (59, 0.95)):
        posterior = stats.beta(trials + 1, 1)
        assert evidence.success_run_reliability_uniform_prior(trials, confidence) == pytest.approx(
            posterior.ppf(1 - confidence)
        )


def test_success_runs_agree_with_print():
    runs = tuple(evidence.success_run_trials(share, share) for share in (0.95, 0.90))
    assert runs == value("intake", "success_run_n")
    assert evidence.success_run_trials(0.999, 0.95) == value("intake", "success_run_n_2995")
    cases = (10, 0.90), (29, 0.95), (59, 0.95), (99, 0.99)
    shown = [evidence.success_run_reliability_uniform_prior(*case) for case in cases]
    assert shown == pytest.approx(value("intake", "success_run_uniform"), abs=0.00005)


def test_a_plan_of_another_length_needs_the_units_in_print():
    """Published on an unnamed page: 75 h of mean life, tested for 60 h."""
    at_mean = float(stats.weibull_min(1.5).sf(stats.weibull_min(1.5).mean()))
    plan = (at_mean, 0.95, 60 / 75, 1.5)
    assert evidence.success_run_trials_of_a_longer_test(*plan) == value("intake", "units_for_a_mean_life")
    five_last = evidence.success_run_life_ratio(at_mean, 0.95, 5, 1.5)
    assert 5 * (five_last / (60 / 75)) ** 1.5 == pytest.approx(4.8811, abs=0.00005)  # before it is rounded up


@given(shares, shares, st.floats(0.2, 5), st.floats(0.5, 4))
def test_a_longer_test_shows_the_reliability_with_the_units_it_asks_for_and_not_with_one_less(
    reliability, confidence, life_ratio, shape
):
    units = evidence.success_run_trials_of_a_longer_test(reliability, confidence, life_ratio, shape)
    at_end = reliability ** (life_ratio**shape)  # what such a law has left when the test ends
    assert at_end**units <= (1 - confidence) * (1 + 1e-6)
    assert units == 1 or at_end ** (units - 1) > (1 - confidence) * (1 - 1e-6)
    needed = evidence.success_run_life_ratio(reliability, confidence, units, shape)
    assert needed <= life_ratio * (1 + 1e-6)


def test_a_test_as_long_as_asked_about_is_a_success_run():
    for share in (0.95, 0.90, 0.999):
        longer = evidence.success_run_trials_of_a_longer_test(share, 0.95, 1, 2.5)
        assert longer == evidence.success_run_trials(share, 0.95)


def test_a_run_length_that_is_whole_is_not_rounded_up_again():
    """ln(1 - 0.9) / ln(0.1) is 1, and floating point makes it a hair more."""
    assert evidence.success_run_trials(0.1, 0.9) == 1
    assert evidence.success_run_trials(0.5, 0.75) == 2


def test_a_count_a_billionth_above_a_whole_one_is_that_one_and_a_little_more_is_the_next():
    """Of a run of two, a test of 2/5 of the time needs five units where lives are spread evenly (shape 1)."""
    for beyond, units in ((0.98e-9, 5), (1.02e-9, 6)):
        assert evidence.success_run_trials_of_a_longer_test(0.5, 0.75, 2 / (5 + beyond), 1) == units


@given(st.floats(0.6, 0.99), st.floats(0.6, 0.99), st.integers(0, 6))
def test_trials_to_support_is_the_first_number_whose_lower_bound_reaches_the_claim(claim, confidence, failures):
    trials = evidence.trials_to_support(claim, confidence, failures)
    assert evidence.lower_bound(trials - failures, trials, confidence) >= claim - 1e-9
    if trials - 1 > failures:
        assert evidence.lower_bound(trials - 1 - failures, trials - 1, confidence) < claim + 1e-9


def test_the_trade_claim_needs_299_of_299_and_ten_of_ten_shows_three_in_four():
    claim = value("intake", "trade_cracked_joints")
    assert evidence.trials_to_support(claim, 0.95) == value("intake", "claim_99_n")
    assert evidence.lower_bound(10, 10) == pytest.approx(0.741, abs=0.0005)
    assert evidence.chance_of_at_most(47, 50, claim) == pytest.approx(stats.binom.cdf(47, 50, 0.99))


@pytest.mark.parametrize(("successes", "trials"), [(-1, 10), (11, 10), (2.5, 10), (0, 0)])
def test_counts_that_cannot_be_are_refused(successes, trials):
    with pytest.raises(ValueError, match="must be"):
        evidence.wilson_interval(successes, trials)


@pytest.mark.parametrize("shares", [(1.5, 0.9), (0.9, 1.5), (-0.1, 0.9), (0.9, 0.0)])
def test_a_ratio_of_what_is_no_share_is_refused(shares):
    with pytest.raises(ValueError, match="sensitivity|specificity"):
        evidence.negative_likelihood_ratio(*shares)


@pytest.mark.parametrize("confidence", [-0.5, 0, 1])
def test_an_exact_interval_whose_ends_would_meet_or_cross_is_refused(confidence):
    with pytest.raises(ValueError, match="confidence must be"):
        evidence.clopper_pearson_interval(12, 150, confidence)


def test_one_trial_supports_what_is_no_more_than_even():
    """One success has a chance of one half where one half fail."""
    assert evidence.trials_to_support(0.5, 0.5) == 1
