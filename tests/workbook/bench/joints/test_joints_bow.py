"""Bow against the equal-layer limit in print, the full laminate equations, and the geometry of a circle."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.bench.joints import bow
from workbook.bench.joints.bow import Layer
from workbook.references import value

layers = st.builds(Layer, st.floats(1e-5, 1e-2), st.floats(1e8, 5e11), st.floats(1e-6, 40e-6))
changes = st.floats(-250, 250).filter(lambda change: change == 0 or abs(change) > 1e-9)  # no bow is lost in rounding


def laminate_curvature(stack, free_strains):
    """Curvature from the balance of force and moment of elastic layers, each with a straight free strain.

    ``stack`` holds (thickness, modulus) from the bottom up, ``free_strains`` the strain at the bottom and top of each.
    Axes start at the bottom face; positive curvature is middle up, so strain rises upwards by it.
    """
    matrix, load, bottom = np.zeros((2, 2)), np.zeros(2), 0.0
    nodes, weights = np.polynomial.legendre.leggauss(3)
    for (thickness, modulus), (low, high) in zip(stack, free_strains, strict=True):
        for node, weight in zip((nodes + 1) / 2, weights / 2, strict=True):
            height = bottom + node * thickness
            basis = np.array([1.0, height])
            stiffness = modulus * weight * thickness
            matrix += stiffness * np.outer(basis, basis)
            load += stiffness * basis * (low + node * (high - low))
        bottom += thickness
    scale = np.array([1.0, bottom])
    return np.linalg.solve(matrix / np.outer(scale, scale), load / scale)[1] / bottom


def test_equal_layers_bend_by_the_printed_factor():
    """Published-unnamed: a bimetal strip theory page, 1.5 times mismatch and temperature over thickness."""
    upper, lower = Layer(1e-3, 70e9, 24e-6), Layer(1e-3, 70e9, 10e-6)
    expected = value("joints", "bilayer_equal_layers") * 14e-6 * 100 / 2e-3
    assert bow.bilayer_curvature(upper, lower, 100) == pytest.approx(expected)


def test_the_tip_of_equal_layers_moves_by_the_printed_factor():
    """Published-unnamed: the same page, 0.75 with the length squared."""
    upper, lower = Layer(1e-3, 70e9, 24e-6), Layer(1e-3, 70e9, 10e-6)
    expected = value("joints", "bilayer_equal_layers_tip") * 14e-6 * 100 * 0.1**2 / 2e-3
    assert bow.cantilever_tip(bow.bilayer_curvature(upper, lower, 100), 0.1) == pytest.approx(expected)


@given(layers, layers, changes)
@settings(deadline=None)
def test_the_closed_form_balances_force_and_moment(upper, lower, change):
    """Exact: the two equations of a laminate, solved as a linear system."""
    free = [layer.expansion * change for layer in (lower, upper)]
    stack = [(layer.thickness, layer.modulus) for layer in (lower, upper)]
    expected = laminate_curvature(stack, [(strain, strain) for strain in free])
    scale = max(map(abs, free)) / (upper.thickness + lower.thickness)
    assert bow.bilayer_curvature(upper, lower, change) == pytest.approx(expected, rel=1e-6, abs=1e-9 * scale)


@given(layers, layers, changes)
@settings(deadline=None)
def test_turning_the_strip_over_turns_the_sign(upper, lower, change):
    assert bow.bilayer_curvature(lower, upper, change) == pytest.approx(-bow.bilayer_curvature(upper, lower, change))


@given(layers, layers, changes, st.floats(0.1, 10))
@settings(deadline=None)
def test_a_strip_twice_as_thick_curves_half_as_much(upper, lower, change, scale):
    scaled = [Layer(layer.thickness * scale, layer.modulus, layer.expansion) for layer in (upper, lower)]
    assert bow.bilayer_curvature(*scaled, change) * scale == pytest.approx(bow.bilayer_curvature(upper, lower, change))


def test_a_die_on_laminate_stands_up_in_the_middle_when_it_has_cooled():
    """Computed: 204 um over 30 mm, the laminate below shrinking more."""
    die, laminate = Layer(0.5e-3, 169e9, 2.6e-6), Layer(1.0e-3, 22e9, 15e-6)
    curvature = bow.bilayer_curvature(die, laminate, -150)
    expected = laminate_curvature([(1.0e-3, 22e9), (0.5e-3, 169e9)], [(-15e-6 * 150,) * 2, (-2.6e-6 * 150,) * 2])
    assert curvature == pytest.approx(expected)
    assert bow.centre_bow(curvature, 30e-3) * 1e6 == pytest.approx(value("joints", "bilayer_bow"), abs=0.5)


@given(st.floats(1e8, 5e11), st.floats(1e-4, 1e-2), st.floats(1e-6, 40e-6), changes)
@settings(deadline=None)
def test_a_board_hotter_on_one_face_curves_whatever_its_modulus(modulus, thickness, expansion, difference):
    """Exact: force and moment balance of one layer with a free strain straight through its thickness."""
    expected = laminate_curvature([(thickness, modulus)], [(0.0, expansion * difference)])
    curvature = bow.gradient_curvature(expansion, difference, thickness)
    assert curvature == pytest.approx(expected, rel=1e-6, abs=1e-15)


def test_heat_from_the_top_alone_lifts_the_middle_and_from_the_bottom_the_edges():
    curvature = bow.gradient_curvature(16e-6, np.array([40, 0, -40]), 1.6e-3)
    assert np.sign(bow.centre_bow(curvature, 0.3)).tolist() == [1, 0, -1]


@given(st.floats(0.01, 10), st.floats(0.01, 0.5))
@settings(deadline=None)
def test_the_shallow_bow_is_within_two_per_cent_of_the_circle(curvature, turn):
    """Exact circle for a chord of the span, up to curvature times span of one half."""
    span, radius = turn / curvature, 1 / curvature
    circle = radius - math.sqrt(radius**2 - span**2 / 4)
    assert bow.centre_bow(curvature, span) == pytest.approx(circle, rel=0.016)


@given(st.floats(-10, 10), st.floats(0.001, 1))
@settings(deadline=None)
def test_a_tip_moves_as_far_as_the_middle_of_twice_the_span(curvature, length):
    """Exact: half of a bowed strip is a cantilever held at the middle."""
    assert bow.cantilever_tip(curvature, length) == pytest.approx(bow.centre_bow(curvature, 2 * length))


def test_several_temperatures_broadcast():
    upper, lower = Layer(1e-3, 70e9, 24e-6), Layer(1e-3, 70e9, 10e-6)
    curvature = bow.bilayer_curvature(upper, lower, np.array([0, 50, 100]))
    assert curvature == pytest.approx(curvature[2] * np.array([0, 0.5, 1]))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: Layer(0, 1e9, 1e-5), "thickness must be above 0 m"),
        (lambda: Layer(1e-3, 1e9, 15), r"expansion must be from 0 to 0.001 1/K \(got 15\)"),
        (lambda: bow.gradient_curvature(1e-5, 10, 0), "thickness must be above 0 m"),
        (lambda: bow.centre_bow(1, -1), "span must be at least 0 m"),
    ],
)
def test_a_wrong_input_is_named_with_the_range_it_must_have(call, message):
    with pytest.raises(ValueError, match=message):
        call()
