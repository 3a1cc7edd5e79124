"""The wetted map: volume, the obstacle problem itself, exact discs, and the same answer whatever the way there."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from workbook.bench.paste.deposits import PATTERNS, Deposit, Plate, deposit, thickness_map
from workbook.bench.paste.spread import Spread, coverage, overflow, spread, trapped_air, trapped_area

SQUARE = Plate(30e-3, 30e-3)
gaps = st.floats(40e-6, 600e-6)
patterns = st.sampled_from(list(PATTERNS))


def heights_of(pattern, plate=SQUARE, volume=40e-9, cells=40):
    return thickness_map(plate, deposit(pattern, plate, volume), cells)


def laplacian_matrix(rows, columns, along_x, along_y):
    """Return the five-point matrix with zero on the edge of the plate, half a cell outside the last centres."""

    def one_way(count, weight):
        line = np.diag(np.full(count, -2.0)) + np.diag(np.ones(count - 1), 1) + np.diag(np.ones(count - 1), -1)
        line[0, 0] = line[-1, -1] = -3.0
        return weight * line

    return np.kron(np.eye(rows), one_way(columns, along_x)) + np.kron(one_way(rows, along_y), np.eye(columns))


@pytest.mark.parametrize(("rows", "columns"), [(12, 12), (11, 14), (14, 11)])
def test_the_map_is_the_least_squares_solution_that_stays_above_zero(rows, columns):
    """The obstacle problem is a quadratic one over w >= 0; scipy solves it by an active set, cell by cell."""
    plate = Plate(columns * 1e-3, rows * 1.3e-3)
    deposited = np.zeros((rows, columns))
    deposited[3:6, 4:8], deposited[7:9, 2:4] = 300e-6, 500e-6
    gap = 120e-6
    stiff = -laplacian_matrix(rows, columns, 1 / 1e-3**2, 1 / 1.3e-3**2)
    root = np.linalg.cholesky(stiff)
    theirs, _ = nnls(root.T, np.linalg.solve(root, (deposited - gap).ravel()))
    ours = spread(plate, deposited, gap).pressed
    assert ours.ravel() == pytest.approx(theirs, rel=1e-5, abs=1e-6 * theirs.max())


@settings(deadline=None, max_examples=40)
@given(patterns, gaps, st.floats(10e-3, 40e-3), st.floats(10e-3, 40e-3))
def test_paste_is_pressed_only_where_the_gap_is_full_and_never_stands_higher(pattern, gap, length, width):
    plate = Plate(length, width)
    result = spread(plate, heights_of(pattern, plate), gap)
    assert result.pressed.min() >= 0
    assert result.thickness.max() <= gap * (1 + 2e-3)
    assert result.thickness[result.pressed > 0] == pytest.approx(gap, rel=2e-3)
    assert result.thickness.min() >= -1e-3 * gap


@settings(deadline=None, max_examples=40)
@given(patterns, gaps)
def test_volume_put_down_is_volume_on_the_plate_and_over_the_edge(pattern, gap):
    """What crosses the edge is the slope of w there, summed around the plate."""
    result = spread(SQUARE, heights_of(pattern), gap)
    pressed = result.pressed
    rim = sum(side.sum() for side in (pressed[0], pressed[-1], pressed[:, 0], pressed[:, -1]))
    over_edge = 2 * rim  # slope 2 w / cell along a cell: the cell's size drops out
    left = result.thickness.mean() * SQUARE.area
    assert left + over_edge == pytest.approx(40e-9, rel=1e-9)
    assert overflow(result) == pytest.approx(over_edge / 40e-9, abs=1e-9)


@settings(deadline=None, max_examples=40)
@given(patterns, gaps, st.floats(1.05, 4))
def test_paste_that_has_rested_half_way_ends_in_the_same_map(pattern, gap, ratio):
    """The map at a gap does not depend on the way there."""
    direct = spread(SQUARE, heights_of(pattern), gap)
    half_way = spread(SQUARE, heights_of(pattern), gap * ratio)
    rested = spread(SQUARE, np.clip(half_way.thickness, 0, None), gap)
    assert rested.thickness == pytest.approx(direct.thickness, abs=5e-3 * gap)
    assert half_way.pressed + rested.pressed == pytest.approx(direct.pressed, abs=1e-3 * direct.pressed.max())


@settings(deadline=None, max_examples=40)
@given(patterns, gaps, st.floats(1.02, 3))
def test_closing_further_never_uncovers_anything(pattern, gap, ratio):
    wide = spread(SQUARE, heights_of(pattern), gap * ratio)
    narrow = spread(SQUARE, heights_of(pattern), gap)
    assert np.all(narrow.wetted >= wide.wetted - 5e-3)
    assert overflow(narrow) >= overflow(wide) - 1e-9


@settings(deadline=None, max_examples=40)
@given(patterns, gaps)
def test_a_first_guess_changes_nothing_but_the_time(pattern, gap):
    wide = spread(SQUARE, heights_of(pattern), 1.5 * gap)
    warm = spread(SQUARE, heights_of(pattern), gap, start=wide.pressed)
    cold = spread(SQUARE, heights_of(pattern), gap)
    assert warm.pressed == pytest.approx(cold.pressed, abs=1e-4 * cold.pressed.max())


@settings(deadline=None, max_examples=25)
@given(st.floats(60e-6, 400e-6), st.floats(-2e-3, 2e-3), st.floats(-2e-3, 2e-3))
def test_a_dot_becomes_the_disc_of_its_volume(gap, x, y):
    """Wherever the dot sits on the grid: all cells nearer than the disc's radius wet, none further."""
    volume = 20e-9
    heights = thickness_map(SQUARE, Deposit((((x, y), (x, y)),), volume), cells=100)
    result = spread(SQUARE, heights, gap)
    radius, cell = (volume / (np.pi * gap)) ** 0.5, 0.3e-3
    centres = (np.arange(100) + 0.5) * cell - 15e-3
    from_dot = np.hypot(centres[None, :] - x, centres[:, None] - y)
    assert coverage(result) == pytest.approx(volume / gap / SQUARE.area, rel=1e-3)
    assert np.all(result.wetted[from_dot < radius - 1.5 * cell] > 0.99)
    assert np.all(result.wetted[from_dot > radius + 1.5 * cell] < 0.01)


def test_pressure_under_a_dot_is_that_of_an_ideal_disc():
    """A cylinder of paste: w'' + w'/r = h - s inside it and h outside; w and its slope are zero at the front."""
    rim, height, gap = 4e-3, 300e-6, 100e-6
    front = rim * (height / gap) ** 0.5
    cells, cell = 160, 30e-3 / 160
    fine = (np.arange(cells * 5) + 0.5) * cell / 5 - 15e-3
    cylinder = (np.hypot(fine[None, :], fine[:, None]) < rim).reshape(cells, 5, cells, 5).mean(axis=(1, 3)) * height
    result = spread(SQUARE, cylinder, gap)
    outside = gap * rim**2 / 4 - gap * front**2 / 4 + gap * front**2 / 2 * np.log(front / rim)
    middle = outside + (height - gap) * rim**2 / 4
    assert result.pressed.max() == pytest.approx(middle, rel=5e-3)


def test_a_plate_filled_from_edge_to_edge_overflows_by_what_the_gap_lost():
    result = spread(SQUARE, np.full((50, 50), 200e-6), 150e-6)
    assert (coverage(result), overflow(result)) == pytest.approx((1.0, 0.25), abs=1e-6)


def test_paste_lower_than_the_gap_touches_nothing():
    result = spread(SQUARE, np.full((30, 30), 50e-6), 60e-6)
    assert coverage(result) == 0
    assert overflow(result) == 0


@pytest.mark.parametrize("pattern", ["dot", "line", "cross", "five dots"])
def test_open_patterns_close_no_air_in_on_the_way(pattern):
    heights = heights_of(pattern, cells=60)
    assert all(trapped_area(spread(SQUARE, heights, gap)) == 0 for gap in np.geomspace(400e-6, 40e-6, 12))


def test_a_ring_closes_air_in_and_the_flag_lies_in_its_middle():
    heights = heights_of("ring", cells=60)
    result = spread(SQUARE, heights, 300e-6)
    assert trapped_air(result)[30, 30]
    assert not trapped_air(result)[0].any()
    assert 50e-6 < trapped_area(result) < np.pi * (0.3 * 30e-3) ** 2


def test_a_ring_with_a_way_out_closes_nothing_in():
    whole = heights_of("ring", cells=60)
    cut = whole.copy()
    cut[25:35, :30] = 0
    assert trapped_area(spread(SQUARE, whole, 400e-6)) > 0
    assert trapped_area(spread(SQUARE, cut, 400e-6)) == 0


def test_air_slips_out_between_cells_that_touch_by_their_corners():
    walled = np.zeros((12, 12))
    walled[3:9, 3:9], walled[4:8, 4:8] = 1, 0
    opened = walled.copy()
    opened[3, 3] = 0  # the corner: the way out is cell (3, 3), reached across a corner from (4, 4)
    empty = np.zeros_like(walled)
    shut, ajar = (Spread(SQUARE, 1e-4, empty, empty, empty, wetted) for wetted in (walled, opened))
    assert trapped_air(shut).sum() == 16
    assert trapped_air(ajar).sum() == 0


def test_a_dry_spot_of_less_than_two_cells_by_two_is_too_small_to_speak_of():
    empty = np.zeros((12, 12))
    for hole, said in ((np.s_[4:6, 4:6], 4), (np.s_[4, 4:7], 0)):
        wetted = np.ones_like(empty)
        wetted[hole] = 0
        assert trapped_air(Spread(SQUARE, 1e-4, empty, empty, empty, wetted)).sum() == said


def test_a_map_of_one_dimension_is_refused():
    with pytest.raises(ValueError, match="rows and columns"):
        spread(SQUARE, np.ones(10), 1e-4)


@given(st.floats(20e-6, 200e-6))
@settings(deadline=None, max_examples=20)
def test_turning_the_plate_turns_the_map(gap):
    plate, turned = Plate(30e-3, 20e-3), Plate(20e-3, 30e-3)
    heights = thickness_map(plate, deposit("line", plate, 20e-9), 36)
    assume(heights.max() > gap)
    lying, standing = spread(plate, heights, gap), spread(turned, heights.T, gap)
    back = standing.pressed.T
    assert back == pytest.approx(lying.pressed, abs=1e-4 * lying.pressed.max())


@pytest.mark.parametrize(("cells", "closed"), [(3, False), (4, True)])
def test_a_dry_spot_counts_from_four_cells_on(cells, closed):
    """The grid does not resolve a smaller one; four is this project's choice."""
    wetted = np.ones((9, 9))
    wetted[4, 2 : 2 + cells] = 0
    nothing = np.zeros((9, 9))
    assert trapped_air(Spread(SQUARE, 1e-4, nothing, nothing, nothing, wetted)).any() == closed
