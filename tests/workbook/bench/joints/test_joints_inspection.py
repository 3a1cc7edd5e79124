"""Void and crack areas against integrated circles, and the resistance criterion at its edge."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from workbook.bench.joints import inspection
from workbook.references import value

diameters = st.floats(1e-4, 1e-3)
shares = st.floats(0, 1)
CRITERION = value("joints", "resistance_rise_at_failure") / 100


def test_the_area_limit_is_reached_by_a_void_of_half_the_width():
    """Published second-hand: IPC-A-610, 25 % of the image area."""
    limit = value("joints", "void_area_limit") / 100
    assert inspection.diameter_from_area_fraction(limit) == 0.5
    assert inspection.void_area_fraction([0.25e-3], 0.5e-3) == pytest.approx(limit)


@given(shares)
@settings(deadline=None)
def test_width_and_area_lead_to_each_other(share):
    area = inspection.area_from_diameter_fraction(share)
    assert inspection.diameter_from_area_fraction(area) == pytest.approx(share, abs=1e-12)
    assert area <= share


@given(st.lists(st.floats(0, 1e-4), min_size=1, max_size=6), diameters)
@settings(deadline=None)
def test_several_voids_cover_the_sum_of_their_areas(voids, ball):
    areas = [math.pi * void**2 / 4 for void in voids]
    assert inspection.void_area_fraction(voids, ball) == pytest.approx(sum(areas) / (math.pi * ball**2 / 4))


def test_voids_are_summed_for_each_ball():
    voids = [[0.3e-3, 0.0], [0.3e-3, 0.3e-3]]
    assert inspection.void_area_fraction(voids, np.array([0.6e-3, 0.6e-3])) == pytest.approx([0.25, 0.5])


@given(diameters, st.floats(0, 0.5))
@settings(deadline=None)
def test_a_ring_crack_is_the_disc_less_its_sound_core(diameter, relative):
    core = math.pi * (diameter * (1 - 2 * relative)) ** 2 / 4
    expected = 1 - core / (math.pi * diameter**2 / 4)
    assert inspection.ring_crack_area_fraction(relative * diameter, diameter) == pytest.approx(expected, abs=1e-12)


@given(diameters, st.floats(0.01, 1))
@settings(deadline=None, max_examples=30)
def test_a_straight_crack_is_the_integral_of_its_chords(diameter, relative):
    """Exact area by scipy, with the circle turned into an angle so that the chord is smooth."""
    radius, depth = diameter / 2, relative * diameter
    last = math.acos(max(-1.0, 1 - depth / radius))
    area, _ = integrate.quad(lambda angle: 2 * radius**2 * math.sin(angle) ** 2, 0, last)
    expected = area / (math.pi * radius**2)
    assert inspection.straight_crack_area_fraction(depth, diameter) == pytest.approx(expected, rel=1e-8)


@given(diameters, st.floats(0.001, 0.499))
@settings(deadline=None)
def test_a_section_cannot_tell_how_much_is_cracked(diameter, relative):
    """The same depth in a section parts far more when the crack comes from all round."""
    depth = relative * diameter
    ring = inspection.ring_crack_area_fraction(depth, diameter)
    assert ring > 2 * inspection.straight_crack_area_fraction(depth, diameter)


def test_a_rise_of_exactly_the_criterion_is_a_failure():
    """Published-unnamed: a thesis citing IPC-9701A, 20 %; 2.4/2.0 - 1 is a rounding error short of 0.2."""
    assert inspection.resistance_rise(2.4, 2.0) == pytest.approx(CRITERION)
    assert inspection.cycles_to_failure([0, 100], [2.0, 2.4], 2.0, CRITERION) == 100
    assert inspection.cycles_to_failure([0, 100], [2.0, 2.39], 2.0, CRITERION) == np.inf


def test_an_opened_joint_that_closes_again_has_failed_all_the_same():
    cycles, readings = [0, 500, 1000, 1500], [2.0, np.inf, 2.0, 2.0]
    assert inspection.cycles_to_failure(cycles, readings, 2.0, CRITERION) == 500


@given(st.lists(st.floats(1, 1e4), min_size=2, max_size=20), st.floats(0.05, 5))
@settings(deadline=None)
def test_a_looser_criterion_never_gives_a_shorter_life(readings, rise):
    """Published-unnamed: the same thesis, 500 ohm and hard opens overestimate life against a rise of 20 %."""
    cycles = np.arange(len(readings)) * 100
    strict, loose = (inspection.cycles_to_failure(cycles, readings, readings[0], r) for r in (rise, 2 * rise))
    assert strict <= loose


def test_each_row_of_readings_has_its_own_first_value():
    readings = [[1.0, 1.1, 1.3], [2.0, 2.1, 2.2]]
    assert inspection.cycles_to_failure([0, 10, 20], readings, [1.0, 2.0], CRITERION).tolist() == [20, np.inf]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: inspection.area_from_diameter_fraction(50), r"diameter_fraction must be from 0 to 1 \(got 50\)"),
        (lambda: inspection.ring_crack_area_fraction(3e-4, 4e-4), "depth over diameter must be from 0 to 0.5"),
        (lambda: inspection.resistance_rise(np.nan, 2.0), "resistance must be at least 0 ohm"),
        (lambda: inspection.cycles_to_failure([0, 0], [1, 2], 1.0, 0.2), "cycles must rise from reading to reading"),
    ],
)
def test_a_wrong_input_is_named_with_the_range_it_must_have(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_a_section_misses_as_often_as_lot_inspection_does():
    """Two worked problems of acceptance sampling on public pages (published-unnamed)."""
    assert inspection.chance_of_missing(25, 5, 2) == pytest.approx(
        value("joints", "section_misses_two_of_25"), abs=5e-5
    )
    assert inspection.chance_of_missing(10, 4) == pytest.approx(value("joints", "section_misses_one_of_ten"), abs=5e-3)


@given(st.integers(1, 400), st.data())
def test_a_section_misses_by_the_hypergeometric_law(joints, data):
    cut, cracked = (data.draw(st.integers(0, joints)) for _ in range(2))
    expected = stats.hypergeom(joints, cracked, cut).pmf(0)
    assert inspection.chance_of_missing(joints, cut, cracked) == pytest.approx(expected, rel=1e-8, abs=1e-12)


def test_a_section_of_one_edge_row_is_the_worked_number():
    assert inspection.chance_of_missing(36, 10) == pytest.approx(value("joints", "section_of_one_edge_row"), abs=5e-4)


def test_no_section_passes_more_joints_than_there_are():
    with pytest.raises(ValueError, match="cut over joints"):
        inspection.chance_of_missing(10, 11)
