"""Dots, beads, crosses and segments are held to integrals of their shape."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from workbook.bench.paste import volumes
from workbook.references import table, value

AREA = 14e-3 * 14e-3
lengths = st.floats(1e-4, 1e-1)


def test_a_film_on_a_small_die_and_the_dot_that_holds_it():
    film = volumes.film_volume(AREA, 50e-6)
    assert film * 1e9 == pytest.approx(value("paste", "film_volume_mm3"))
    assert volumes.dot_diameter(film) * 1e3 == pytest.approx(value("paste", "dot_diameter_mm"), abs=5e-3)


def test_slips_on_the_dot_are_a_radius_and_a_full_sphere():
    film = volumes.film_volume(AREA, 50e-6)
    assert volumes.dot_diameter(film) / 2 * 1e3 == pytest.approx(1.67, abs=6e-3)
    assert volumes.dot_diameter(film / 2) * 1e3 == pytest.approx(2.66, abs=6e-3)


def test_a_dot_of_four_millimetres_as_half_and_as_whole_sphere():
    half = volumes.dot_volume(4e-3)
    assert half * 1e9 == pytest.approx(16.76, abs=5e-3)
    assert volumes.bond_line_from_volume(half, AREA) * 1e6 == pytest.approx(85.5, abs=0.05)
    assert volumes.bond_line_from_volume(2 * half, AREA) * 1e6 == pytest.approx(171, abs=0.5)


def test_the_bead_and_the_cross():
    assert volumes.bead_volume(1.5e-3, 12e-3) * 1e9 == pytest.approx(value("paste", "bead_volume_mm3"), abs=5e-3)
    cross = volumes.cross_volume(1.5e-3, 12e-3)
    assert cross * 1e9 == pytest.approx(value("paste", "cross_volume_mm3"), abs=5e-3)
    assert volumes.bond_line_from_volume(cross, AREA) * 1e6 == pytest.approx(102, abs=0.5)


def test_the_overlap_of_a_cross_is_the_lower_of_two_beads_integrated():
    """Over the crossing square the paste stands as high as the higher bead; the lower one is the overlap."""
    radius, cells = 1.0, 2000
    side = (np.arange(cells) + 0.5) / cells * 2 * radius - radius
    height = np.sqrt(radius**2 - side**2)
    overlap = np.minimum(height[:, None], height[None, :]).sum() * (2 * radius / cells) ** 2
    two_beads = 2 * volumes.bead_volume(2 * radius, 10 * radius)
    assert two_beads - volumes.cross_volume(2 * radius, 10 * radius) == pytest.approx(overlap, rel=1e-4)


@given(lengths, st.floats(0, 1), st.floats(0, 1))
def test_a_segment_is_the_integral_of_its_circles(sphere, low, high):
    """Cut a sphere at two heights and add up its circles."""
    bottom, top = sorted((sphere * (2 * low - 1), sphere * (2 * high - 1)))
    radius_at = lambda z: (sphere**2 - z**2) ** 0.5  # noqa: E731
    integral, _ = quad(lambda z: pi * radius_at(z) ** 2, bottom, top)
    segment = volumes.spherical_segment_volume(radius_at(bottom), radius_at(top), top - bottom)
    assert segment == pytest.approx(integral, rel=1e-9, abs=1e-18)


def test_ball_volumes_table():
    for diameter, row in table("paste", "ball_volumes_mm3").items():
        ball = volumes.spherical_segment_volume(0, 0, float(diameter) * 1e-3)
        assert ball * 1e9 == pytest.approx(row["mm³"], abs=6e-5)


@given(lengths)
def test_a_half_sphere_is_a_segment_from_its_equator(diameter):
    segment = volumes.spherical_segment_volume(diameter / 2, 0, diameter / 2)
    assert volumes.dot_volume(diameter) == pytest.approx(segment)


@given(lengths, lengths)
def test_forward_and_backward_agree(diameter, length):
    assert volumes.dot_diameter(volumes.dot_volume(diameter)) == pytest.approx(diameter)
    assert volumes.bead_length(volumes.bead_volume(diameter, length), diameter) == pytest.approx(length)
    assert volumes.bond_line_from_volume(volumes.film_volume(AREA, length), AREA) == pytest.approx(length)


def test_a_cross_shorter_than_it_is_wide_is_refused():
    with pytest.raises(ValueError, match="length less width"):
        volumes.cross_volume(2e-3, 1e-3)
