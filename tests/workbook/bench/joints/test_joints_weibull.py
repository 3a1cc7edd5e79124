"""Weibull functions and fits against NIST data, scipy, a reliability library and exact identities."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from workbook.bench.joints import fatigue, strain, weibull
from workbook.references import entry, value

FAILURES = value("joints", "weibull_failures")
SURVIVORS = [500] * 10
CYCLES_OF_12 = value("joints", "median_rank_failures")

lives = st.floats(1e-3, 1e6)
shapes = st.floats(0.3, 10)
fractions = st.floats(0.001, 0.999)
samples = st.lists(st.floats(1, 1000), min_size=2, max_size=12)


def nist_fit():
    return weibull.fit_by_likelihood(FAILURES, SURVIVORS)


@given(st.floats(0.01, 3), lives, shapes)
@settings(deadline=None)
def test_density_failed_and_surviving_share_are_scipys(relative_time, life, shape):
    time, law = relative_time * life, stats.weibull_min(shape, scale=life)
    assert weibull.failure_density(time, life, shape) == pytest.approx(law.pdf(time))
    assert weibull.fraction_failed(time, life, shape) == pytest.approx(law.cdf(time), rel=1e-9)
    assert weibull.reliability(time, life, shape) == pytest.approx(law.sf(time))


@given(lives, shapes, fractions)
@settings(deadline=None)
def test_mean_median_and_b_life_are_scipys(life, shape, fraction):
    law = stats.weibull_min(shape, scale=life)
    assert weibull.mean_life(life, shape) == pytest.approx(law.mean())
    assert weibull.median_life(life, shape) == pytest.approx(law.median())
    assert weibull.b_life(fraction, life, shape) == pytest.approx(law.ppf(fraction))


def test_b_life_is_the_time_at_which_that_share_has_failed():
    share = np.array([0.01, 0.1, 0.5, 0.9])
    assert weibull.fraction_failed(weibull.b_life(share, 2647, 2.22), 2647, 2.22) == pytest.approx(share)


@given(lives, shapes)
@settings(deadline=None)
def test_the_median_and_the_characteristic_life_lead_to_each_other(life, shape):
    assert weibull.characteristic_life_from_median(weibull.median_life(life, shape), shape) == pytest.approx(life)


def test_the_fit_to_twenty_units_is_the_handbooks():
    """Published: NIST/SEMATECH e-Handbook, section 8.4.1.3, to the digits printed."""
    fit, shape = nist_fit(), entry("joints", "weibull_shape")
    assert fit.characteristic_life == pytest.approx(value("joints", "weibull_characteristic_life"), abs=1e-3)
    assert fit.shape == pytest.approx(shape.value, abs=shape.uncertainty)
    assert weibull.mean_life(fit.characteristic_life, fit.shape) == pytest.approx(
        value("joints", "weibull_mean"), abs=1e-3
    )


def test_the_likelihood_of_that_fit_is_the_handbooks():
    """Published: NIST/SEMATECH e-Handbook, section 8.4.1.3: log-likelihood, and Akaike with two parameters."""
    fit = nist_fit()
    log_likelihood = weibull.log_likelihood(FAILURES, SURVIVORS, fit.characteristic_life, fit.shape)
    assert log_likelihood == pytest.approx(value("joints", "weibull_log_likelihood"), abs=5e-4)
    assert 2 * 2 - 2 * log_likelihood == pytest.approx(value("joints", "weibull_akaike"), abs=5e-3)


def test_b10_and_the_share_failed_follow_from_that_fit():
    """Computed, with scipy at the handbook's printed numbers."""
    law = stats.weibull_min(1.7208, scale=606.5280)
    fit = nist_fit()
    assert value("joints", "weibull_b10") == pytest.approx(law.ppf(0.1), abs=0.05)
    assert value("joints", "weibull_failed_at_500") == pytest.approx(law.cdf(500), abs=5e-5)
    assert weibull.b_life(0.1, fit.characteristic_life, fit.shape) == pytest.approx(law.ppf(0.1), abs=0.01)


def test_leaving_the_survivors_out_halves_the_life_and_steepens_the_shape():
    """The signature of the commonest mistake: 308.5 h and 3.060, by scipy too."""
    dropped = weibull.fit_by_likelihood(FAILURES)
    shape, _, life = stats.weibull_min.fit(FAILURES, floc=0)
    assert (dropped.characteristic_life, dropped.shape) == pytest.approx((308.5, 3.060), abs=0.05)
    assert (dropped.characteristic_life, dropped.shape) == pytest.approx((life, shape), rel=1e-3)


def test_the_fit_is_scipys_fit_to_censored_data():
    data = stats.CensoredData.right_censored([*FAILURES, *SURVIVORS], [False] * 10 + [True] * 10)
    shape, _, life = stats.weibull_min.fit(data, floc=0)
    assert (nist_fit().characteristic_life, nist_fit().shape) == pytest.approx((life, shape), rel=1e-3)


@given(samples, st.lists(st.floats(1, 1000), max_size=8))
@settings(deadline=None, max_examples=50)
def test_no_nearby_law_is_more_likely_than_the_fit(failures, survivors):
    assume(max(failures + survivors) > 1.01 * min(failures))
    fit = weibull.fit_by_likelihood(failures, survivors)
    best = weibull.log_likelihood(failures, survivors, fit.characteristic_life, fit.shape)
    for life in (0.99, 1, 1.01):
        for shape in (0.99, 1, 1.01):
            other = weibull.log_likelihood(failures, survivors, fit.characteristic_life * life, fit.shape * shape)
            assert other <= best + 1e-9 * abs(best)


# Powers of two scale without rounding: no two times become one.
@given(samples, st.lists(st.floats(1, 1000), max_size=5), st.integers(-20, 20).map(lambda power: 2.0**power))
@settings(deadline=None, max_examples=50)
def test_counting_in_other_units_of_time_scales_the_life_and_keeps_the_shape(failures, survivors, scale):
    assume(max(failures) > 1.01 * min(failures))
    scaled = [np.multiply(times, scale) for times in (failures, survivors)]
    for fit in (
        weibull.fit_by_likelihood,
        lambda f, s: weibull.fit_by_rank_regression(f, s, regress="rank on time"),
        lambda f, s: weibull.fit_by_rank_regression(f, s, regress="time on rank"),
    ):
        before, after = fit(failures, survivors), fit(*scaled)
        assert after.shape == pytest.approx(before.shape, rel=1e-6)
        assert after.characteristic_life == pytest.approx(before.characteristic_life * scale, rel=1e-6)


@given(samples)
@settings(deadline=None, max_examples=50)
def test_more_time_without_failure_makes_the_fitted_life_longer(failures):
    assume(max(failures) > 1.01 * min(failures))
    longest = max(failures)
    fits = [weibull.fit_by_likelihood(failures, [longest] * survivors) for survivors in (0, 1, 5)]
    assert fits[0].characteristic_life < fits[1].characteristic_life < fits[2].characteristic_life


def test_benards_ranks_are_the_printed_ones():
    """Published-unnamed: agency training page on median ranks, 12 units."""
    reference = entry("joints", "median_ranks_of_12")
    ranks = weibull.adjusted_ranks(CYCLES_OF_12, [149] * 7)
    assert weibull.median_rank(ranks, 12, "benard") == pytest.approx(reference.value, abs=reference.uncertainty)


@given(st.integers(1, 60), st.data())
@settings(deadline=None)
def test_exact_ranks_are_medians_of_the_beta_law_and_benard_is_near(count, data):
    rank = data.draw(st.integers(1, count))
    exact = weibull.median_rank(rank, count, "exact")
    assert exact == pytest.approx(stats.beta(rank, count - rank + 1).median())
    assert weibull.median_rank(rank, count, "benard") == pytest.approx(exact, abs=1.5e-3)


@given(st.integers(1, 60))
@settings(deadline=None)
def test_exact_ranks_of_first_and_last_have_a_closed_form(count):
    """Exact: the first of n fails before a share F with probability 1 - (1 - F)^n."""
    assert weibull.median_rank(1, count, "exact") == pytest.approx(1 - 0.5 ** (1 / count))
    assert weibull.median_rank(count, count, "exact") == pytest.approx(0.5 ** (1 / count))


@given(st.integers(1, 40))
@settings(deadline=None)
def test_without_survivors_in_between_ranks_are_whole_numbers(count):
    """A survivor taken off after the last failure moves nobody."""
    assert weibull.adjusted_ranks(np.arange(1, count + 1), [count] * 3) == pytest.approx(np.arange(1, count + 1))


def test_adjusted_ranks_are_those_of_a_reliability_library():
    plotting = pytest.importorskip("reliability.Probability_plotting")
    failures, survivors = [15, 40, 41, 70, 90], [20, 42, 43, 60, 95]
    _, share = plotting.plotting_positions(failures=failures, right_censored=survivors)
    assert weibull.median_rank(weibull.adjusted_ranks(failures, survivors), 10, "benard") == pytest.approx(share)


@pytest.mark.parametrize("place", [0, 1])
def test_both_regressions_are_numpys_straight_line(place):
    """Computed: numpy's line through the printed ranks, fitted the one way and the other."""
    regress = ("rank on time", "time on rank")[place]
    x = np.log(CYCLES_OF_12)
    y = np.log(-np.log1p(-np.array(value("joints", "median_ranks_of_12"))))
    slope = np.polyfit(x, y, 1)[0] if place == 0 else 1 / np.polyfit(y, x, 1)[0]
    fit = weibull.fit_by_rank_regression(CYCLES_OF_12, [149] * 7, regress=regress)
    assert fit.shape == pytest.approx(slope, rel=1e-3)
    assert fit.shape == pytest.approx(value("joints", "rank_regression_shapes")[place], abs=5e-4)
    assert fit.characteristic_life == pytest.approx(np.exp(x.mean() - y.mean() / slope), rel=1e-3)


@given(lives, st.floats(0.5, 5), st.integers(2, 30), st.sampled_from(["exact", "benard"]))
@settings(deadline=None)
def test_both_regressions_return_the_law_whose_times_lie_on_the_line(life, shape, count, method):
    ranks = weibull.median_rank(np.arange(1, count + 1), count, method)
    times = weibull.b_life(ranks, life, shape)
    for regress in ("rank on time", "time on rank"):
        fit = weibull.fit_by_rank_regression(times, regress=regress, method=method)
        assert (fit.characteristic_life, fit.shape) == pytest.approx((life, shape))


@given(samples)
@settings(deadline=None)
def test_regressing_time_on_rank_never_gives_the_flatter_line(failures):
    """Exact: the two slopes differ by the squared correlation."""
    assume(max(failures) > 1.01 * min(failures))
    rank_on_time, time_on_rank = (
        weibull.fit_by_rank_regression(failures, regress=regress).shape for regress in ("rank on time", "time on rank")
    )
    assert rank_on_time <= time_on_rank * (1 + 1e-12)


def test_the_printed_mean_is_right_and_the_printed_share_beside_it_wrong():
    """Trap: 0.8022 printed for 0.8231 at three characteristic lives with shape one half."""
    trap = entry("joints", "weibull_failed_shape_half")
    assert weibull.mean_life(1000, 0.5) == pytest.approx(value("joints", "weibull_mean_shape_half"))
    assert weibull.fraction_failed(3000, 1000, 0.5) == pytest.approx(trap.value, abs=5e-5)
    assert abs(trap.printed - trap.value) > 0.02


def test_the_printed_b1_of_a_trade_column_is_less_than_half_of_the_right_one():
    trap = entry("joints", "weibull_b1_column")
    assert weibull.b_life(0.01, 2647, 2.22) == pytest.approx(trap.value, abs=0.5)
    assert trap.printed < trap.value / 2


def test_the_printed_days_for_each_cycle_are_the_service_time_over_the_test_life():
    """Published-unnamed: case study on interval data, 25 months of 30 days against a B1 of 105.9 cycles."""
    reference = entry("joints", "interval_days_per_cycle")
    assert reference.value == pytest.approx(25 * 30 / 105.9, abs=reference.uncertainty)


@given(st.floats(0.01, 3), lives, shapes, st.integers(1, 2000))
@settings(deadline=None)
def test_the_least_of_equal_weibull_lives_is_weibull_again(relative_time, life, shape, joints):
    """Exact: the reliability of the weakest link is the joints' own, multiplied."""
    time = relative_time * life * joints ** (-1 / shape)
    of_links = weibull.package_reliability(weibull.reliability(time, life, shape), joints)
    of_part = weibull.reliability(time, weibull.weakest_link_life(life, shape, joints), shape)
    assert of_part == pytest.approx(of_links, rel=1e-9)


@given(st.lists(st.floats(10, 1e5), min_size=1, max_size=8), shapes)
@settings(deadline=None)
def test_the_least_of_unequal_weibull_lives_is_weibull_again(characteristic_lives, shape):
    """Exact: the product of the joints' reliabilities at several times."""
    part = weibull.package_characteristic_life(characteristic_lives, shape)
    for time in np.array([0.3, 1, 1.5]) * part:
        product = np.prod(weibull.reliability(time, np.array(characteristic_lives), shape))
        assert weibull.reliability(time, part, shape) == pytest.approx(product)


def test_the_weakest_of_four_hundred_joints_has_the_computed_life():
    assert weibull.weakest_link_life(20000, np.array([3, 2]), 400) == pytest.approx(
        [value("joints", "weakest_link_example"), 1000], abs=0.5
    )
    equal = weibull.package_characteristic_life(np.full(400, 20000.0), 3)
    assert equal == pytest.approx(weibull.weakest_link_life(20000, 3, 400))


def test_joints_that_are_not_strained_leave_the_life_of_the_part_alone():
    assert weibull.package_characteristic_life([1000, np.inf, np.inf], 3) == pytest.approx(1000)


def test_the_life_of_a_whole_array_lies_between_one_corner_and_all_joints_as_bad_as_it():
    """Strain, fatigue and weakest link together, with a centre ball that takes no strain."""
    balls = strain.ball_array(15, 15, 1e-3)
    distances = strain.distance_from_neutral_point(balls)
    moving = distances > 0
    strains = strain.mismatch_strain(distances[moving], 0.4e-3, 13e-6, 17e-6, 60)
    constants = fatigue.EngelmaierConstants.from_references("engelmaier_tin_lead")
    median = np.full(len(balls), np.inf)
    median[moving] = fatigue.engelmaier_life(strains, 50, 900, constants)
    joints = np.full(len(balls), np.inf)
    joints[moving] = weibull.characteristic_life_from_median(median[moving], 3.0)
    part = weibull.package_characteristic_life(joints, 3.0)
    assert weibull.weakest_link_life(joints.min(), 3.0, len(balls)) < part
    assert part < weibull.weakest_link_life(joints.min(), 3.0, 4)


def test_each_row_of_joints_is_a_part_of_its_own():
    rows = [[1000, 1000, np.inf], [2000, 3000, 6000]]
    assert weibull.package_characteristic_life(rows, 1) == pytest.approx([500, 1000])


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: weibull.b_life(1.0, 1000, 2), "fraction must be between 0 and 1"),
        (lambda: weibull.fit_by_likelihood([], [500]), "without a failure there is no life to fit"),
        (lambda: weibull.fit_by_likelihood([5, 5, 5]), "the times must differ"),
        (lambda: weibull.fit_by_likelihood([-1, 5]), r"failures must be above 0 \(got -1.0\)"),
        (lambda: weibull.fit_by_rank_regression([5], regress="rank on time"), "one point gives no line"),
        (lambda: weibull.fit_by_rank_regression([5, 6], regress="x on y"), "'rank on time' or 'time on rank'"),
        (lambda: weibull.median_rank(3, 2, "exact"), "count minus rank must be at least 0"),
        (lambda: weibull.median_rank(1, 2, "mean"), "method must be 'exact' or 'benard'"),
        (lambda: weibull.package_characteristic_life([0, 5], 2), "shortest characteristic life must be above 0"),
    ],
)
def test_a_wrong_input_is_named_with_the_range_it_must_have(call, message):
    with pytest.raises(ValueError, match=message):
        call()
