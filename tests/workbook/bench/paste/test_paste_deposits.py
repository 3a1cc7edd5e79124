"""Patterns of paste keep their volume and lie where they are put."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.bench.paste.deposits import PATTERNS, Deposit, Plate, deposit, thickness_map

SQUARE = Plate(30e-3, 30e-3)


@settings(deadline=None)
@given(
    st.sampled_from(list(PATTERNS)),
    st.floats(5e-3, 60e-3),
    st.floats(5e-3, 60e-3),
    st.floats(1e-9, 200e-9),
    st.floats(0, 1),
    st.integers(10, 80),
)
def test_the_map_holds_the_volume_whatever_pattern_plate_and_grid(pattern, length, width, volume, reach, cells):
    plate = Plate(length, width)
    heights = thickness_map(plate, deposit(pattern, plate, volume, reach), cells)
    assert heights.min() >= 0
    assert heights.mean() * plate.area == pytest.approx(volume, rel=1e-12)


def test_a_dot_is_a_half_sphere():
    volume = 20e-9
    radius = (3 * volume / (2 * pi)) ** (1 / 3)
    heights = thickness_map(SQUARE, deposit("dot", SQUARE, volume), cells=200)
    centres = (np.arange(200) + 0.5) * 0.15e-3 - 15e-3
    squared = centres[None, :] ** 2 + centres[:, None] ** 2
    inside = squared < (0.9 * radius) ** 2
    assert heights[inside] == pytest.approx((radius**2 - squared[inside]) ** 0.5, rel=0.01)
    assert np.all(heights[squared > (radius + 0.2e-3) ** 2] == 0)


def test_a_line_is_a_half_round_bead_with_round_ends():
    line = deposit("line", SQUARE, 40e-9, reach=0.8)
    heights = thickness_map(SQUARE, line, cells=200)
    (start, end) = line.strokes[0]
    assert end[0] - start[0] == pytest.approx(0.8 * 30e-3)
    radius = heights.max()
    assert pi * radius**2 / 2 * 24e-3 + 2 * pi * radius**3 / 3 == pytest.approx(40e-9, rel=0.01)


@pytest.mark.parametrize("pattern", ["dot", "cross", "five dots", "ring"])
def test_patterns_are_alike_from_all_four_sides(pattern):
    heights = thickness_map(SQUARE, deposit(pattern, SQUARE, 40e-9), cells=60)
    assert heights == pytest.approx(heights[::-1], rel=1e-9, abs=1e-12)
    assert heights == pytest.approx(heights.T, rel=1e-9, abs=1e-12)


def test_a_stroke_of_ones_own_lies_where_it_is_put():
    off_centre = Deposit(strokes=(((9e-3, -6e-3), (9e-3, -6e-3)),), volume=5e-9)
    heights = thickness_map(SQUARE, off_centre, cells=60)
    row, column = np.unravel_index(heights.argmax(), heights.shape)
    assert (column + 0.5) / 60 * 30e-3 - 15e-3 == pytest.approx(9e-3, abs=0.5e-3)
    assert (row + 0.5) / 60 * 30e-3 - 15e-3 == pytest.approx(-6e-3, abs=0.5e-3)


def test_an_unknown_pattern_is_refused_with_the_known_ones():
    with pytest.raises(ValueError, match="five dots"):
        deposit("spiral", SQUARE, 1e-9)


@pytest.mark.parametrize(("strokes", "volume"), [((), 1e-9), ((((0, 0), (0, 0)),), 0.0)])
def test_paste_without_stroke_or_volume_is_refused(strokes, volume):
    with pytest.raises(ValueError, match="must be"):
        Deposit(strokes, volume)


def test_a_heap_higher_than_the_plate_is_wide_holds_its_volume_too():
    narrow = Plate(2e-3, 1e-3)
    heights = thickness_map(narrow, deposit("dot", narrow, 100e-9), cells=20)
    assert heights.mean() == pytest.approx(50e-3, rel=1e-9)
    assert heights.min() > 49e-3


def test_a_strip_has_cells_as_long_as_wide_but_never_less_than_one_across():
    for width, rows in ((1e-3, 1), (3e-3, 1), (12e-3, 2), (60e-3, 10)):
        strip = Plate(60e-3, width)
        assert thickness_map(strip, deposit("line", strip, 1e-9), cells=10).shape == (rows, 10)


def test_a_ring_is_four_and_twenty_chords_that_close():
    ring = PATTERNS["ring"]
    assert len(ring) == 24
    assert ring[0][0] == pytest.approx(ring[-1][1], abs=1e-12)
    assert all(one[1] == other[0] for one, other in zip(ring, ring[1:], strict=False))


def test_the_bead_of_a_stroke_is_round_across_and_at_its_ends():
    """A half-round bead of radius r holds pi r^2 / 2 a length and, in its two ends, half a ball."""
    slanting = Deposit(strokes=(((-6e-3, -3e-3), (6e-3, 5e-3)),), volume=30e-9)
    heights = thickness_map(SQUARE, slanting, cells=150)
    x, y = np.meshgrid(*[(np.arange(150) + 0.5) * 0.2e-3 - 15e-3] * 2)
    radius = heights.max()
    length = np.hypot(12e-3, 8e-3)
    assert pi * radius**2 / 2 * length + 2 * pi * radius**3 / 3 == pytest.approx(30e-9, rel=0.01)
    along = ((x + 6e-3) * 12e-3 + (y + 3e-3) * 8e-3) / length
    across = ((y + 3e-3) * 12e-3 - (x + 6e-3) * 8e-3) / length
    beyond = np.maximum(np.maximum(-along, along - length), 0)
    away = np.hypot(across, beyond)
    inside = away < 0.8 * radius
    assert heights[inside] == pytest.approx(np.sqrt(radius**2 - away[inside] ** 2), rel=0.02)
    assert np.all(heights[away > radius + 0.3e-3] == 0)
