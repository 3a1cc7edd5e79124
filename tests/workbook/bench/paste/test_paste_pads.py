"""Pads: squeeze, choice of thickness and the sink that rides on its pads."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from workbook.bench.paste import pads
from workbook.references import value

steps = st.floats(0.1e-3, 3e-3)
bond_lines = st.floats(10e-6, 200e-6)


def test_the_pad_exercise_has_its_answer_and_its_slips():
    area = 20e-3 * 20e-3
    assert pads.pad_resistance(1e-3, 0.30, 3, area, 20e-6) == pytest.approx(0.683, abs=5e-4)
    assert pads.pad_resistance(1e-3, 0.30, 3, area) == pytest.approx(0.583, abs=5e-4)
    assert pads.pad_resistance(1e-3, 0.00, 3, area) == pytest.approx(0.833, abs=5e-4)
    assert pads.pad_resistance(1e-3, 0.70, 3, area, 20e-6) == pytest.approx(0.350, abs=5e-4)


def test_the_usual_compression_is_the_referenced_one():
    assert pads.USUAL_COMPRESSION == (0.20, 0.45)
    assert value("paste", "pad_compression_percent") == (20, 45)


@given(steps, bond_lines, st.floats(0.2, 0.45))
def test_squeezed_pad_fills_step_and_bond_line(step, bond_line, compression):
    free = (step + bond_line) / (1 - compression)
    assert pads.compressed_thickness(free, compression) == pytest.approx(step + bond_line)
    assert pads.compression_in_stack(free, step, bond_line) == pytest.approx(compression)


@given(steps, bond_lines)
def test_fitting_thicknesses_have_the_compressions_asked_for(step, bond_line):
    thinnest, thickest = pads.fitting_thicknesses(step, bond_line)
    assert pads.compression_in_stack(thinnest, step, bond_line) == pytest.approx(0.20)
    assert pads.compression_in_stack(thickest, step, bond_line) == pytest.approx(0.45)


@given(steps, bond_lines, st.lists(st.floats(0.1e-3, 5e-3), max_size=6))
def test_a_chosen_pad_fits_and_no_other_in_stock_lies_nearer_the_middle(step, bond_line, stock):
    chosen = pads.choose_pad(step, bond_line, stock)
    off_middle = {free: abs(pads.compression_in_stack(free, step, bond_line) - 0.325) for free in stock}
    if chosen is None:
        assert all(off > 0.125 - 1e-9 for off in off_middle.values())
    else:
        assert off_middle[chosen] == min(off_middle.values())
        assert off_middle[chosen] <= 0.125 + 1e-9


def test_of_two_pads_that_fit_the_nearer_to_the_middle_is_chosen_from_either_side():
    """By hand: 0.70 mm are filled; 0.90 mm free is pressed by 22 %, 1.10 mm by 36 %; 32.5 % is the middle."""
    assert pads.choose_pad(0.65e-3, 50e-6, [0.9e-3, 1.1e-3]) == 1.1e-3
    assert pads.choose_pad(0.65e-3, 50e-6, [1.0e-3, 1.25e-3]) == 1.0e-3


def test_no_pad_is_chosen_where_none_fits():
    assert pads.choose_pad(0.65e-3, 50e-6, [0.5e-3, 3e-3]) is None


@given(st.floats(5, 200), st.floats(0.3e-3, 3e-3), steps, bond_lines, st.floats(5e4, 1e6), st.floats(1e-4, 3e-3))
def test_clamp_force_is_shared_and_a_lifted_die_carries_none(clamp, free, step, bond_line, stiffness, area):
    settled = pads.stack_up(clamp, free, step, bond_line, stiffness, area)
    assert settled.pad_force + settled.die_force == pytest.approx(clamp)
    assert settled.die_gap >= bond_line
    if settled.lifted:
        assert settled.die_force == pytest.approx(0, abs=1e-9 * clamp)
        assert pads.compressed_thickness(free, settled.compression) == pytest.approx(step + settled.die_gap)
    else:
        assert settled.die_gap == pytest.approx(bond_line)


@given(st.floats(5, 200), st.floats(0.3e-3, 3e-3), steps, st.floats(5e4, 1e6), st.floats(1e-4, 3e-3))
def test_a_stronger_clamp_never_widens_the_gap_over_the_die(clamp, free, step, stiffness, area):
    weak = pads.stack_up(clamp, free, step, 50e-6, stiffness, area)
    strong = pads.stack_up(1.5 * clamp, free, step, 50e-6, stiffness, area)
    assert strong.die_gap <= weak.die_gap + 1e-15


@given(steps, bond_lines, st.floats(1.0, 1.9))
def test_the_sink_lifts_exactly_where_the_pads_ask_for_more_than_the_clamp(step, bond_line, ratio):
    free, stiffness, area = ratio * (step + bond_line), 200e3, 1e-3
    needed = float(pads.pad_force(stiffness, pads.compression_in_stack(free, step, bond_line), area))
    assume(needed > 1e-3)
    assert not pads.stack_up(needed * 1.001, free, step, bond_line, stiffness, area).lifted
    assert pads.stack_up(needed * 0.999, free, step, bond_line, stiffness, area).lifted


def test_a_pad_too_thin_to_touch_carries_nothing():
    settled = pads.stack_up(50, 0.5e-3, 0.65e-3, 50e-6, 200e3, 1e-3)
    assert (settled.pad_force, settled.compression, settled.lifted) == (0, 0, False)
