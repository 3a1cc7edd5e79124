"""Openings, paste, balls and joints: printed ratios, computed heights, and volume kept."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from workbook.bench.paste import solder_ball, volumes
from workbook.references import table, value

MIL = 25.4e-6
millimetres = st.floats(0.05e-3, 1e-3)


def test_printed_ratios_of_stencil_openings():
    rows = table("paste", "stencil_ratios")
    for mils in (6, 10):
        row = rows[f"{mils} mil in 5 mil"]
        assert solder_ball.aspect_ratio(mils * MIL, 5 * MIL) == pytest.approx(row["aspect ratio"])
        assert solder_ball.round_area_ratio(mils * MIL, 5 * MIL) == pytest.approx(row["area ratio"])
    row = rows["1 mm x 0.5 mm in 0.12 mm"]
    assert solder_ball.aspect_ratio(0.5e-3, 0.12e-3) == pytest.approx(row["aspect ratio"], abs=5e-3)
    assert solder_ball.area_ratio(1e-3, 0.5e-3, 0.12e-3) == pytest.approx(row["area ratio"], abs=5e-3)


def test_the_printed_volume_of_an_opening():
    paste = solder_ball.printed_volume(1e-3 * 0.5e-3, 0.12e-3, 0.85)
    assert paste * 1e9 == pytest.approx(value("paste", "printed_volume_mm3"), abs=5e-4)


def test_the_printed_number_of_grains():
    assert solder_ball.grains_across(0.2e-3, 0.038e-3) == pytest.approx(value("paste", "grains_across_check"), abs=0.05)


def test_metal_by_volume_from_metal_by_mass():
    for mass_fraction, row in table("paste", "metal_volume_fractions").items():
        densities = value("paste", "alloy_density"), value("paste", "flux_density")
        fraction = solder_ball.metal_volume_fraction(float(mass_fraction), *densities)
        assert fraction == pytest.approx(row["by volume"], abs=6e-4)


def test_the_forum_example_needs_a_foil_no_paste_leaves():
    rows = table("paste", "paste_for_ball_mm3")
    ball = solder_ball.ball_volume(0.6e-3)
    foil = 2 * ball / (pi * 0.42e-3**2 / 4)
    assert ball * 1e9 == pytest.approx(rows["ball mm³"]["value"], abs=5e-3)
    assert foil * 1e3 == pytest.approx(rows["foil for an opening of 0.42 mm"]["value"], abs=0.05)
    assert solder_ball.round_area_ratio(0.42e-3, foil) < value("paste", "area_ratio_limit") / 9


def test_joint_heights_and_bellies():
    for name, row in table("paste", "joint_heights_mm").items():
        ball, land = (float(part) * 1e-3 for part in name.split(" on "))
        height = solder_ball.joint_height(solder_ball.ball_volume(ball), land / 2, land / 2)
        assert height * 1e3 == pytest.approx(row["height"], abs=6e-4), name
        assert solder_ball.joint_belly(height, land / 2, land / 2) * 1e3 == pytest.approx(row["belly"], abs=6e-4), name


def test_the_joint_on_unequal_lands():
    height = solder_ball.joint_height(solder_ball.ball_volume(0.60e-3), 0.20e-3, 0.25e-3)
    assert height * 1e3 == pytest.approx(value("paste", "joint_height_unequal_mm"), abs=6e-4)


def test_the_height_told_from_the_field():
    height = solder_ball.joint_height(solder_ball.ball_volume(0.30e-3), 0.125e-3, 0.125e-3)
    assert height * 1e3 == pytest.approx(value("paste", "joint_height_field_mm"), abs=0.01)


def test_a_ball_from_paste_alone():
    rows = table("paste", "paste_only_ball_mm")
    paste = solder_ball.volume_of_round_print(0.40e-3, 0.15e-3, 0.85)
    assert paste * 1e9 == pytest.approx(rows["paste mm³"]["value"], abs=5e-6)
    assert solder_ball.ball_diameter(paste / 2) * 1e3 == pytest.approx(rows["free ball mm"]["value"], abs=6e-4)
    assert solder_ball.round_area_ratio(0.40e-3, 0.15e-3) == pytest.approx(rows["area ratio"]["value"], abs=5e-4)
    cap = solder_ball.cap_height(paste / 2, 0.15e-3)
    assert cap * 1e3 == pytest.approx(rows["cap on a 0.30 mm land mm"]["value"], abs=6e-4)


def test_slips_on_the_ball_are_told_apart():
    paste = solder_ball.volume_of_round_print(0.40e-3, 0.15e-3, 0.85)
    assert solder_ball.ball_diameter(paste) * 1e3 == pytest.approx(0.313, abs=6e-4)
    assert solder_ball.ball_diameter(paste / 0.85 / 2) * 1e3 == pytest.approx(0.262, abs=6e-4)
    assert solder_ball.ball_diameter(4 * paste / 2) * 1e3 == pytest.approx(0.394, abs=6e-4)


def test_a_joint_of_ball_and_paste_stands_ten_micrometres_higher():
    ball = solder_ball.ball_volume(0.60e-3)
    metal = solder_ball.volume_of_round_print(0.38e-3, 0.10e-3, 0.80) / 2
    alone = solder_ball.joint_height(ball, 0.225e-3, 0.225e-3)
    together = solder_ball.joint_height(ball + metal, 0.225e-3, 0.225e-3)
    assert together * 1e3 == pytest.approx(value("paste", "ball_and_paste_joint_mm"), abs=6e-4)
    assert (together - alone) * 1e6 == pytest.approx(10, abs=1)


@given(millimetres, millimetres, st.floats(1e-13, 1e-9))
def test_the_height_holds_the_volume_and_is_the_only_one(land, other_land, volume):
    height = solder_ball.joint_height(volume, land, other_land)
    assert volumes.spherical_segment_volume(land, other_land, height) == pytest.approx(volume, rel=1e-9)
    excess = lambda h: volumes.spherical_segment_volume(land, other_land, h) - volume  # noqa: E731
    assert height == pytest.approx(brentq(excess, 0, 1e-1, xtol=1e-15), rel=1e-6)


@given(millimetres, millimetres, st.floats(1e-12, 1e-9))
def test_the_belly_is_the_widest_circle_of_the_joint(land, other_land, volume):
    """Walk up the joint's sphere and look for the widest place."""
    height = float(solder_ball.joint_height(volume, land, other_land))
    middle = (height**2 + other_land**2 - land**2) / (2 * height)
    squared = [land**2 + middle**2 - (step / 1000 * height - middle) ** 2 for step in range(1001)]
    belly = solder_ball.joint_belly(height, land, other_land)
    assert belly == pytest.approx(2 * max(squared) ** 0.5, rel=1e-5)


@given(st.floats(0.2e-3, 0.8e-3), st.floats(0.5, 0.95))
def test_a_ball_between_lands_smaller_than_itself_collapses(ball, ratio):
    height = solder_ball.joint_height(solder_ball.ball_volume(ball), ball * ratio / 2, ball * ratio / 2)
    assert height < ball < solder_ball.joint_belly(height, ball * ratio / 2, ball * ratio / 2)


@given(millimetres)
def test_ball_diameter_and_volume_are_inverse(diameter):
    assert solder_ball.ball_diameter(solder_ball.ball_volume(diameter)) == pytest.approx(diameter)


@given(millimetres, millimetres, millimetres)
def test_the_area_ratio_is_opening_over_walls(length, width, foil):
    walls = 2 * (length + width) * foil
    assert solder_ball.area_ratio(length, width, foil) == pytest.approx(length * width / walls)
