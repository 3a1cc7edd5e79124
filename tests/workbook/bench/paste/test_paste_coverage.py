"""Bare patches, voids and the pad ring."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from workbook.bench.paste import chain, coverage
from workbook.references import table, value

AREA = 14e-3 * 14e-3


def test_the_three_partly_covered_films():
    for covered, row in table("paste", "partly_covered_resistances").items():
        resistance = coverage.partly_covered_resistance(float(covered), 50e-6, 3, AREA)
        assert resistance == pytest.approx(row["K/W"], abs=5e-5)


def test_slips_on_coverage_are_told_apart():
    full = coverage.partly_covered_resistance(1, 50e-6, 3, AREA)
    right = coverage.partly_covered_resistance(0.8, 50e-6, 3, AREA)
    assert full / 0.8**2 == pytest.approx(0.133, abs=5e-4)
    assert 0.8 * full == pytest.approx(0.068, abs=5e-4)
    assert abs(right - full / 0.8**2) > 0.02 * right


def test_paste_with_a_pad_ring_is_below_the_paste_alone():
    paste = chain.layer_resistance(50e-6, 4, AREA)
    pad = chain.layer_resistance(1e-3, 3, coverage.ring_area(35e-3, 14e-3))
    together = coverage.paste_and_pad_resistance(paste, pad)
    assert (paste, pad) == pytest.approx((0.0638, 0.324), abs=5e-4)
    assert together == pytest.approx(value("paste", "paste_and_pad"), abs=5e-5)
    assert paste + pad == pytest.approx(0.388, abs=5e-4)


@given(st.floats(0.02, 1), st.floats(1e-5, 1e-3), st.floats(0.5, 10))
def test_coverage_costs_at_most_its_inverse(covered, thickness, conductivity):
    """Air carries something, so that half the paste is not quite twice the resistance."""
    full = coverage.partly_covered_resistance(1, thickness, conductivity, AREA)
    partly = coverage.partly_covered_resistance(covered, thickness, conductivity, AREA)
    assert full * (1 - 1e-12) <= partly <= full / covered * (1 + 1e-12)


@given(st.floats(1e3, 1e6), st.floats(1e-4, 5e-3), st.floats(1e-4, 1e-3), st.floats(20, 400))
def test_the_rise_over_a_void_is_the_integral_of_the_sideways_flow(flux, radius, thickness, conductivity):
    """Through each circle of radius r flows all heat made inside it: -k t 2 pi r dT/dr = q pi r^2."""
    integral, _ = quad(lambda r: flux * r / (2 * conductivity * thickness), 0, radius)
    rise = coverage.temperature_rise_over_void(flux, radius, thickness, conductivity)
    assert rise == pytest.approx(integral, rel=1e-9)


@given(st.integers(2, 50))
def test_scattering_a_void_divides_its_rise_by_the_number(pieces):
    one = coverage.temperature_rise_over_void(1e5, 2e-3, 5e-4, 148)
    many = coverage.temperature_rise_over_void(1e5, 2e-3 / pieces**0.5, 5e-4, 148)
    assert one / many == pytest.approx(pieces)


def test_the_ring_needs_a_package_larger_than_its_die():
    with pytest.raises(ValueError, match="outer side less inner side"):
        coverage.ring_area(14e-3, 14e-3)
