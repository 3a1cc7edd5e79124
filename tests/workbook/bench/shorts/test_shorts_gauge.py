"""Gauge studies, held to certified reference data, a statistics handbook and a library's analysis of variance."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from workbook.bench.shorts import gauge
from workbook.references import entry, value

SILVER = np.array(value("shorts", "silver_weights"), float)
STUDY = SILVER.reshape(2, 12, 2).transpose(1, 0, 2)
"""Twelve pairs of readings by each of two instruments: crossed by a label that means nothing, so no square may move."""


def test_sums_of_squares_of_two_instruments_are_the_certified_ones():
    """Published: NIST Statistical Reference Datasets, AtmWtAg. What is not between instruments is within them."""
    squares = gauge.analysis_of_variance(STUDY)
    between, within, ratio = value("shorts", "silver_squares")
    rest = (squares.parts, squares.interaction, squares.error)
    assert squares.appraisers == (pytest.approx(between, rel=1e-10), 1)
    assert sum(square for square, _ in rest) == pytest.approx(within, rel=1e-10)
    assert sum(freedom for _, freedom in rest) == 46
    assert squares.appraisers[0] / (sum(square for square, _ in rest) / 46) == pytest.approx(ratio, rel=1e-10)


def test_the_results_of_a_printed_study_follow_from_its_three_deviations():
    """Published second-hand: AIAG, 4th ed., EV, AV and PV give its GRR, TV, share and classes."""
    one_person, between_people, whole_gauge, rails, everything = value("shorts", "gauge_anova")
    study = gauge.Study(one_person, between_people, rails)
    assert (study.gauge, study.total) == (pytest.approx(whole_gauge, abs=2e-6), pytest.approx(everything, abs=5e-4))
    assert study.gauge_share == pytest.approx(0.279, abs=5e-4)
    assert study.categories == pytest.approx(4.861, abs=1e-3)


def test_without_pooling_repeatability_is_the_error_alone():
    squares, study = gauge.analysis_of_variance(STUDY), gauge.crossed_study(STUDY, pool_above=1.0)
    assert study.repeatability == pytest.approx(np.sqrt(squares.error[0] / squares.error[1]), rel=1e-12)


def test_the_range_method_finds_the_deviations_readings_were_drawn_from():
    """K1 of three trials published second-hand; K2 and K3 are one over the mean range of as many normal values."""
    draw, found = np.random.default_rng(7), []
    factors = value("shorts", "gauge_range_constants")[:3]
    for _ in range(400):
        parts, people = draw.normal(0, 2.0, (10, 1, 1)), draw.normal(0, 1.0, (1, 3, 1))
        study = gauge.range_study(parts + people + draw.normal(0, 0.5, (10, 3, 3)), *factors)
        found.append((study.repeatability, study.appraisers, study.parts))
    assert np.sqrt(np.mean(np.square(found), axis=0)) == pytest.approx([0.5, 1.0, 2.0], rel=0.06)


def test_a_square_root_of_the_categories_is_the_worksheet_trap():
    one_person, between_people, _, rails, _ = value("shorts", "gauge_anova")
    study = gauge.Study(one_person, between_people, rails)
    assert entry("shorts", "gauge_categories").kind == "trap"
    assert int(np.sqrt(study.categories)) != int(study.categories)


def test_pooled_probes_of_the_handbook():
    """Published: NIST/SEMATECH 2.4.4.4."""
    squares, (printed,) = value("shorts", "pooled_probes")
    assert gauge.pooled_deviation(np.sqrt(np.divide(squares, 60)), 60) == pytest.approx(printed, abs=5.1e-6)


def test_wafer_of_the_handbook():
    """Computed from readings published in NIST/SEMATECH 2.6.1.1."""
    deviations, averages = value("shorts", "wafer_138")
    pooled, mean, between = value("shorts", "wafer_138_result")
    assert gauge.pooled_deviation(deviations, 5) == pytest.approx(pooled, rel=0.01)
    assert np.mean(averages) == pytest.approx(mean, abs=5.1e-5)
    assert np.std(averages, ddof=1) == pytest.approx(between, rel=0.01)


def test_analysis_of_variance_agrees_with_a_regression_library():
    frame = pytest.importorskip("pandas").DataFrame(
        [(p, a, STUDY[p, a, t]) for p, a, t in np.ndindex(STUDY.shape)], columns=["part", "appraiser", "reading"]
    )
    formula = pytest.importorskip("statsmodels.formula.api")
    anova = pytest.importorskip("statsmodels.stats.anova").anova_lm(
        formula.ols("reading ~ C(part) * C(appraiser)", frame).fit()
    )
    squares = gauge.analysis_of_variance(STUDY)
    found = np.array([squares.parts, squares.appraisers, squares.interaction, squares.error])
    assert found == pytest.approx(anova[["sum_sq", "df"]].to_numpy(), rel=1e-9)
    assert squares.interaction_probability == pytest.approx(anova["PR(>F)"].iloc[2], rel=1e-9)


shapes = st.tuples(st.integers(2, 5), st.integers(2, 4), st.integers(2, 4))


@settings(max_examples=50)
@given(shapes, st.integers(0, 2**32 - 1))
def test_the_squares_add_up_to_the_whole(shape, seed):
    readings = np.random.default_rng(seed).normal(size=shape)
    squares = gauge.analysis_of_variance(readings)
    parts = (squares.parts, squares.appraisers, squares.interaction, squares.error)
    assert sum(square for square, _ in parts) == pytest.approx(np.sum((readings - readings.mean()) ** 2))
    assert sum(freedom for _, freedom in parts) == readings.size - 1


@settings(max_examples=50)
@given(shapes, st.integers(0, 2**32 - 1), st.floats(-5, 5), st.floats(0.1, 10))
def test_a_shift_changes_nothing_and_a_scale_scales(shape, seed, shift, scale):
    readings = np.random.default_rng(seed).normal(size=shape)
    plain, moved = gauge.crossed_study(readings), gauge.crossed_study(scale * readings + shift)
    assert moved.total == pytest.approx(scale * plain.total)
    assert moved.gauge_share == pytest.approx(plain.gauge_share)


def test_a_study_finds_the_deviations_it_was_drawn_from():
    draw = np.random.default_rng(5)
    readings = draw.normal(0, 2.0, (300, 1, 1)) + draw.normal(0, 1.0, (1, 60, 1)) + draw.normal(0, 0.5, (300, 60, 2))
    study = gauge.crossed_study(readings)
    assert study.repeatability == pytest.approx(0.5, rel=0.02)
    assert study.appraisers == pytest.approx(1.0, rel=0.3)
    assert study.parts == pytest.approx(2.0, rel=0.15)


def test_an_interaction_is_kept_where_chance_does_not_explain_it():
    draw = np.random.default_rng(5)
    readings = draw.normal(0, 1.0, (20, 20, 1)) + draw.normal(0, 0.1, (20, 20, 2))
    study = gauge.crossed_study(readings)
    assert study.interaction == pytest.approx(1.0, rel=0.15)
    assert gauge.analysis_of_variance(readings).interaction_probability < 1e-6


def test_trials_that_repeat_exactly_leave_an_interaction_of_any_size_significant():
    readings = np.repeat(np.random.default_rng(5).normal(size=(3, 2, 1)), 2, axis=2)
    assert gauge.crossed_study(readings).repeatability == pytest.approx(0, abs=1e-12)
    assert gauge.crossed_study(readings).interaction > 0


@given(st.lists(st.floats(0.01, 10), min_size=1, max_size=8))
def test_pooling_lies_between_the_least_and_the_largest(deviations):
    pooled = gauge.pooled_deviation(deviations, 5)
    assert min(deviations) * (1 - 1e-9) <= pooled <= max(deviations) * (1 + 1e-9)


def test_pooling_is_not_the_mean_of_deviations():
    assert gauge.pooled_deviation([1.0, 7.0], 5) == pytest.approx(5.0)


def test_one_degree_of_freedom_each_is_enough_and_none_is_refused():
    assert gauge.pooled_deviation([3.0, 4.0], 1) == pytest.approx(12.5**0.5)
    with pytest.raises(ValueError, match="degrees of freedom must be above 0"):
        gauge.pooled_deviation([3.0, 4.0], [1, 0])


def test_range_constants_are_those_of_normal_samples():
    """K1 of three trials is the reciprocal of the mean range of three normal readings."""
    draws = stats.norm.rvs(size=(400_000, 3), random_state=1)
    assert value("shorts", "gauge_range_constants")[0] == pytest.approx(1 / np.ptp(draws, axis=1).mean(), rel=0.005)


@pytest.mark.parametrize("shape", [(10, 3), (1, 3, 3), (10, 3, 1)])
def test_a_study_that_is_not_crossed_is_refused(shape):
    with pytest.raises(ValueError, match="by part, appraiser and trial"):
        gauge.crossed_study(np.zeros(shape))
