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
