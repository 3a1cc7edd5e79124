"""Sag of a board on two supports, held to a beam solved numerically and to the figures of the references."""

import numpy as np
import pytest
from scipy import constants
from scipy.integrate import cumulative_trapezoid, trapezoid

from workbook.bench.profile import sag
from workbook.references import table, value

BOARD = dict(span=0.250, thickness=1.6e-3)


def solved(moment, stiffness, span):
    """Return the mid-span sag of half a beam, symmetric about its middle: the curvature integrated twice."""
    x = np.linspace(0, span / 2, 20001)
    slope = cumulative_trapezoid(moment(x) / stiffness, x, initial=0)
    return trapezoid(slope[-1] - slope, x)


@pytest.mark.parametrize("modulus", [22e9, 6e9])
def test_both_loads_are_the_curvature_integrated_twice(modulus):
    span, thickness, width = 0.250, 1.6e-3, 0.200
    stiffness = modulus * width * thickness**3 / 12
    weight = 1850 * constants.g * width * thickness
    own = solved(lambda x: weight * x * (span - x) / 2, stiffness, span)
    assert sag.sag_from_own_weight(span, thickness, 1850, modulus) == pytest.approx(own, rel=1e-6)
    load = solved(lambda x: 0.1 * constants.g * x / 2, stiffness, span)
    assert sag.sag_from_load(0.1, span, width, thickness, modulus) == pytest.approx(load, rel=1e-6)


def test_figures_of_the_references():
    rows = table("profile", "board_sag_mm")
    for column, modulus in (("22 GPa", 22e9), ("6 GPa", 6e9)):
        own = sag.sag_from_own_weight(**BOARD, density=1850, modulus=modulus) * 1e3
        assert own == pytest.approx(rows["own weight"][column], abs=5e-3)
        load = sag.sag_from_load(0.1, width=0.200, **BOARD, modulus=modulus) * 1e3
        assert load == pytest.approx(rows["100 g at mid-span, 200 mm wide"][column], abs=5e-3)


def test_cool_and_warm_moduli_lie_where_the_sums_take_them():
    assert min(value("profile", "fr4_modulus")) <= 22 <= max(value("profile", "fr4_modulus"))
    assert value("profile", "fr4_modulus_warm") == 6


def test_a_support_in_the_middle_leaves_a_sixteenth():
    whole = sag.sag_from_own_weight(0.250, 1.6e-3, 1850, 6e9)
    assert sag.sag_from_own_weight(0.125, 1.6e-3, 1850, 6e9) == pytest.approx(whole / 16)


def test_a_board_without_thickness_is_refused():
    with pytest.raises(ValueError, match="thickness"):
        sag.sag_from_load(0.1, 0.25, 0.2, 0, 6e9)
