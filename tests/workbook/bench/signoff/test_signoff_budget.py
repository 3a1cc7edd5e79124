"""Uncertainty budgets, held to the guide's end gauge, to GTC and to simulated draws."""

import numpy as np
import pytest
from GTC import type_b, ureal
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from workbook.bench.shorts import uncertainty
from workbook.bench.signoff import budget
from workbook.bench.signoff.budget import Line, combine
from workbook.references import entry, table, value

positive = st.floats(0.01, 100)


def end_gauge():
    freedoms = value("signoff", "gauge_freedoms")
    contributions = value("signoff", "gauge_contributions")
    pairs = zip(contributions, freedoms, strict=True)
    return [Line(f"line {number}", u, "standard", 1.0, nu) for number, (u, nu) in enumerate(pairs)]


def test_the_end_gauge_is_reproduced():
    done = combine(end_gauge())
    assert done.standard == pytest.approx(value("signoff", "gauge_combined"), abs=0.5)
    assert int(done.freedom) == value("signoff", "gauge_freedom")
    assert done.expanded == pytest.approx(done.factor * done.standard)


def test_the_end_gauge_is_widened_to_99_percent_as_printed_and_to_95_percent_by_the_table():
    """Published second-hand: JCGM 100:2008, H.1 (99 %). Published: NIST TN 1297, Table B.1 (95 %)."""
    sure = combine(end_gauge(), 0.99)
    assert sure.factor == pytest.approx(value("signoff", "gauge_factor_99"), abs=0.005)
    assert sure.factor * value("signoff", "gauge_combined") == pytest.approx(
        value("signoff", "gauge_expanded_99"), abs=0.5
    )
    assert combine(end_gauge()).factor == pytest.approx(table("signoff", "coverage_factors")["16"]["95"], abs=0.005)


def test_a_weight_is_stated_with_factor_2_and_its_standard_was_too():
    """From memory: EA-4/02, S2."""
    stated, drift, reading, eccentric, magnetic = value("signoff", "weight_lines")
    lines = [
        Line("standard", uncertainty.standard_from_expanded(stated, 2), "standard"),
        Line("drift", drift, "rectangular"),
        Line("three readings", reading / np.sqrt(3), "standard"),
        Line("eccentricity", eccentric, "rectangular"),
        Line("magnetism", magnetic, "rectangular"),
    ]
    combined, expanded = value("signoff", "weight_combined_and_expanded")
    done = combine(lines, factor=2)
    assert done.standard == pytest.approx(combined, abs=0.05)
    assert round(done.expanded) == expanded
    assert done.factor == 2
    assert done.shares == combine(lines).shares


def test_gtc_adds_the_end_gauge_up_to_the_same():
    theirs = sum(ureal(0, line.limit, line.freedom) for line in end_gauge())
    ours = combine(end_gauge())
    assert ours.standard == pytest.approx(theirs.u, rel=1e-12)
    assert ours.freedom == pytest.approx(theirs.df, rel=1e-9)


def test_gtc_turns_limits_into_the_same_standard_uncertainties():
    half_width = 1.7
    assert budget.triangular(half_width) == pytest.approx(type_b.triangular(half_width))
    assert budget.cycling(half_width) == pytest.approx(type_b.arcsine(half_width))
    assert uncertainty.rectangular(half_width) == pytest.approx(type_b.uniform(half_width))


def test_each_shape_is_the_spread_of_its_distribution():
    spreads = {
        "rectangular": stats.uniform(-1, 2).std(),
        "triangular": stats.triang(0.5, -1, 2).std(),
        "cycling": stats.arcsine(-1, 2).std(),
        "display step": stats.uniform(-0.5, 1).std(),
        "standard": 1.0,
    }
    assert {shape: Line("one", 1.0, shape).contribution() for shape in budget.SHAPES} == pytest.approx(spreads)
    for key, shape in {
        "rectangular_divisor": "rectangular",
        "triangular_divisor": "triangular",
        "display_step_divisor": "display step",
    }.items():
        assert spreads[shape] == pytest.approx(value("signoff", key), rel=0.01)


def test_a_cycling_room_has_the_guides_uncertainty():
    printed = entry("signoff", "cycling_room")
    assert budget.cycling(0.5) == pytest.approx(printed.value, abs=printed.uncertainty)


def test_drawn_errors_spread_as_the_budget_says():
    random = np.random.default_rng(1)
    draws = random.uniform(-1.5, 1.5, 200_000) + 2 * random.triangular(-0.6, 0, 0.6, 200_000)
    done = combine([Line("wire", 1.5, "rectangular"), Line("place", 0.6, "triangular", sensitivity=2)])
    assert draws.std() == pytest.approx(done.standard, rel=0.01)
    assert np.mean(np.abs(draws) <= done.expanded) >= 0.95


def test_coverage_factors_are_the_published_table():
    printed = entry("signoff", "coverage_factors")
    for freedom, cells in table("signoff", "coverage_factors").items():
        for percent, factor in cells.items():
            computed = uncertainty.coverage_factor(float(freedom), float(percent) / 100)
            assert computed == pytest.approx(factor, abs=printed.uncertainty), (freedom, percent)


@given(st.lists(positive, min_size=1, max_size=6))
def test_root_sum_square_lies_between_the_largest_and_the_worst_case(limits):
    likely = budget.root_sum_square(*limits)
    assert max(limits) * (1 - 1e-12) <= likely <= budget.worst_case(*limits) * (1 + 1e-12)


@given(st.lists(st.tuples(positive, st.floats(1, 100)), min_size=1, max_size=6))
def test_shares_add_to_one_and_freedom_lies_between_the_smallest_and_the_sum(rows):
    done = combine([Line(f"line {i}", u, "standard", 1.0, nu) for i, (u, nu) in enumerate(rows)])
    freedoms = [nu for _, nu in rows]
    assert sum(done.shares.values()) == pytest.approx(1)
    assert min(freedoms) * (1 - 1e-9) <= done.freedom <= sum(freedoms) * (1 + 1e-9)


@given(positive, st.floats(-5, 5).filter(lambda c: abs(c) > 0.01))
def test_a_sensitivity_scales_and_its_sign_does_not_matter(limit, sensitivity):
    line = Line("one", limit, "rectangular", sensitivity)
    assert line.contribution() == pytest.approx(abs(sensitivity) * Line("one", limit, "rectangular").contribution())


def test_wire_and_meter():
    likely, worst = value("signoff", "wire_and_meter")
    limit = value("signoff", "thermocouple_k_class_1")
    assert budget.root_sum_square(limit, 1.0) == pytest.approx(likely, abs=0.05)
    assert budget.worst_case(limit, 1.0) == worst


def test_few_readings_are_paid_for_with_a_larger_factor():
    few, many = (combine([Line("readings", 1.0, "standard", 1.0, nu)]) for nu in (2, 200))
    assert few.expanded > 2 * many.expanded


def test_an_unknown_shape_is_named_with_the_ones_there_are():
    with pytest.raises(ValueError, match="shape of 'wire' must be one of standard, rectangular"):
        combine([Line("wire", 1.5, "square")])


def test_a_budget_of_nothing_is_refused():
    with pytest.raises(ValueError, match="combined uncertainty must be above 0"):
        combine([Line("wire", 0.0, "rectangular")])
