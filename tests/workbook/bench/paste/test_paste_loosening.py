"""Warming a sink and bending a board, held to a beam, to a maker's limit and to the law of warming."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.paste import loosening
from workbook.bench.profile import conduction, sag
from workbook.references import entry, value


@given(st.floats(0.1, 5), st.floats(0.8, 2.4), st.floats(50, 200))
def test_the_strain_is_half_the_thickness_times_the_curvature_under_the_load(deflection, thickness, span):
    """A strip under a load at mid-span: M = P L / 4, sag P L³ / (48 E I), strain M t / (2 E I)."""
    deflection, thickness, span = deflection * 1e-3, thickness * 1e-3, span * 1e-3
    per_mass = sag.sag_from_load(1.0, span, 1.0, thickness, 1e9)
    force = deflection / per_mass * 9.80665
    strain = force * span / 4 * thickness / 2 / (1e9 * thickness**3 / 12)
    assert loosening.bending_strain(deflection, thickness, span) == pytest.approx(strain)


def test_two_millimetres_over_ninety_are_nearly_five_times_the_limit():
    strain = loosening.bending_strain(2e-3, 1.6e-3, 90e-3) * 1e6
    assert strain == pytest.approx(2370, abs=0.5)
    assert strain / value("paste", "board_strain_limit") > 4.5
    assert entry("paste", "board_strain_limit").standing == "published-unnamed"


def test_the_largest_deflection_gives_the_strain_back():
    deflection = loosening.largest_deflection(500e-6, 1.6e-3, 90e-3)
    assert loosening.bending_strain(deflection, 1.6e-3, 90e-3) == pytest.approx(500e-6)


def test_sixty_grams_of_aluminium_warm_in_a_minute():
    capacity = 0.060 * value("paste", "aluminium_specific_heat")
    constant = conduction.lumped_time_constant(capacity, 0.4)
    assert constant == pytest.approx(135)
    assert conduction.lumped_time(70, constant, 25, 150) == pytest.approx(135 * np.log(125 / 80))


def test_a_board_without_span_is_refused():
    with pytest.raises(ValueError, match="span"):
        loosening.bending_strain(1e-3, 1.6e-3, 0)
