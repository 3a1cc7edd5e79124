"""The paste joint: the straight line, what hides in one reading, and the scaling law with constants from memory."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.paste import bond_line
from workbook.references import entry, table


def test_the_four_meter_bar_readings_follow_from_the_straight_line():
    for name, row in table("paste", "meter_bar_readings").items():
        thickness = float(name.removesuffix(" mm")) * 1e-3
        reading = bond_line.bond_line_area_resistance(thickness, 3, 30e-6)
        assert reading * 1e6 == pytest.approx(row["mm²·K/W"], abs=5e-3)


def test_one_thin_reading_shows_a_conductivity_26_percent_low():
    seen = bond_line.apparent_conductivity(0.25e-3, bond_line.bond_line_area_resistance(0.25e-3, 3, 30e-6))
    assert seen == pytest.approx(2.21, abs=5e-3)
    assert 1 - seen / 3 == pytest.approx(0.26, abs=5e-3)


def test_scaling_rows_agree_with_the_constants():
    for row in table("paste", "bond_line_scaling_rows_um").values():
        thickness = bond_line.bond_line_under_pressure(row["yield stress Pa"], row["pressure kPa"] * 1e3)
        assert thickness * 1e6 == pytest.approx(row["bond line µm"], abs=0.05)


def test_the_scaling_constants_are_marked_as_from_memory():
    for part in ("coefficient", "exponent"):
        assert entry("paste", f"bond_line_scaling_{part}").standing == "from-memory"


@given(st.floats(0.1, 20), st.floats(0, 1e-4), st.lists(st.integers(10, 3000), min_size=2, max_size=8, unique=True))
def test_the_fit_finds_conductivity_and_contacts_again(conductivity, contacts, micrometres):
    thickness = np.array(micrometres) * 1e-6
    readings = bond_line.bond_line_area_resistance(thickness, conductivity, contacts)
    line = bond_line.fit_meter_bar_data(thickness, readings)
    assert line.conductivity == pytest.approx(conductivity, rel=1e-6)
    assert line.contacts == pytest.approx(contacts, rel=1e-6, abs=1e-9)


def test_the_fit_is_the_least_squares_line_of_numpy():
    thickness = np.array([20e-6, 50e-6, 80e-6, 120e-6])
    reading = np.array([14e-6, 22e-6, 33e-6, 44e-6])
    slope, intercept = np.polyfit(thickness, reading, 1)
    line = bond_line.fit_meter_bar_data(thickness, reading)
    assert (1 / line.conductivity, line.contacts) == pytest.approx((slope, intercept), rel=1e-9)


@given(st.floats(1e-6, 1e-3), st.floats(0.1, 20), st.floats(1e-7, 1e-4))
def test_the_apparent_conductivity_is_below_the_true_one(thickness, conductivity, contacts):
    joint = bond_line.bond_line_area_resistance(thickness, conductivity, contacts)
    assert bond_line.apparent_conductivity(thickness, joint) < conductivity


@given(st.floats(1, 1000), st.floats(30e3, 300e3), st.floats(1.01, 5))
def test_more_pressure_thins_and_a_stiffer_paste_thickens_by_the_same_factor(yield_stress, pressure, factor):
    start = bond_line.bond_line_under_pressure(yield_stress, pressure)
    thinner = bond_line.bond_line_under_pressure(yield_stress, pressure * factor)
    thicker = bond_line.bond_line_under_pressure(yield_stress * factor, pressure)
    assert thinner < start < thicker
    assert thinner * thicker == pytest.approx(start**2)


def test_no_bond_line_is_thinner_than_the_largest_grain():
    held_up = bond_line.bond_line_no_thinner_than_grain(np.array([4e-6, 60e-6]), 20e-6)
    assert held_up.tolist() == [20e-6, 60e-6]


def test_readings_at_one_bond_line_give_no_line():
    with pytest.raises(ValueError, match="two or more different"):
        bond_line.fit_meter_bar_data([1e-4, 1e-4], [1e-5, 2e-5])


def test_readings_that_fall_with_thickness_are_refused():
    with pytest.raises(ValueError, match="slope"):
        bond_line.fit_meter_bar_data([1e-4, 2e-4], [2e-5, 1e-5])
