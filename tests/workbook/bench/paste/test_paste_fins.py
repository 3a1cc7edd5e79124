"""Fins: printed efficiencies, the library ht, and the fin equation solved step by step."""

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from workbook.bench.paste import fins
from workbook.references import table, value

films = st.floats(5, 100)
conductivities = st.floats(10, 400)


def test_printed_pin_and_plate():
    pin = fins.fin_efficiency(fins.pin_fin_parameter(50, 386, 2.5e-3), 20e-3)
    plate = fins.fin_efficiency(fins.plate_fin_parameter(45, 386, 2e-3), 20e-3)
    assert pin == pytest.approx(value("paste", "pin_fin_efficiency"), abs=5e-4)
    assert plate == pytest.approx(value("paste", "plate_fin_efficiency"), abs=5e-4)


def test_computed_plate_fins():
    for row in table("paste", "plate_fin_efficiencies_computed").values():
        parameter = fins.plate_fin_parameter(row["film W/m²/K"], row["conductivity W/m/K"], row["thickness mm"] * 1e-3)
        efficiency = fins.fin_efficiency(parameter, row["length mm"] * 1e-3)
        assert efficiency == pytest.approx(row["efficiency"], abs=6e-4)


def test_the_fin_with_printed_inputs_carries_the_computed_heat():
    rows = table("paste", "fin_heat_flow_w")
    assert fins.fin_heat_flow_without_end(30, 0.084, 210, 8e-5, 65) == pytest.approx(rows["infinite"]["W"], abs=0.05)
    assert fins.fin_heat_flow(30, 0.084, 210, 8e-5, 30e-3, 65) == pytest.approx(rows["adiabatic tip"]["W"], abs=5e-3)


@given(st.floats(2e-3, 30e-3), st.floats(1.1, 4), st.floats(2e-4, 2e-3), conductivities, films)
def test_annular_fins_agree_with_ht(inner, ratio, thickness, conductivity, film):
    """ht takes diameters."""
    theirs = ht.fin_efficiency_Kern_Kraus(2 * inner, 2 * inner * ratio, thickness, conductivity, film)
    ours = fins.annular_fin_efficiency(inner, inner * ratio, thickness, conductivity, film)
    assert ours == pytest.approx(theirs, rel=1e-8)


def test_the_printed_annular_fin():
    efficiency = fins.annular_fin_efficiency(25.4e-3 / 2, 57.15e-3 / 2, 3.8e-4, 200, 58)
    assert efficiency == pytest.approx(value("paste", "annular_fin_efficiency"), abs=5e-7)


def test_a_very_long_annular_fin_does_not_overflow():
    assert 0 < fins.annular_fin_efficiency(5e-3, 2.0, 1e-4, 1.0, 100) < 0.01


def test_the_straight_fin_solves_the_fin_equation():
    parameter, length = 40.0, 30e-3
    right_side = lambda x, y: np.vstack((y[1], parameter**2 * y[0]))  # noqa: E731
    ends = lambda base, tip: np.array((base[0] - 1, tip[1]))  # noqa: E731
    solved = solve_bvp(right_side, ends, np.linspace(0, length, 21), np.ones((2, 21)), tol=1e-9)
    mean_excess = -solved.sol(0)[1] / (parameter**2 * length)
    assert fins.fin_efficiency(parameter, length) == pytest.approx(mean_excess, rel=1e-6)


@given(films, conductivities, st.floats(2e-4, 5e-3), st.floats(1e-3, 0.1))
def test_heat_of_a_fin_is_its_efficiency_times_that_of_an_even_one(film, conductivity, thickness, length):
    perimeter, section = 2.0, thickness
    efficiency = fins.fin_efficiency(fins.plate_fin_parameter(film, conductivity, thickness), length)
    heat = fins.fin_heat_flow(film, perimeter, conductivity, section, length, 40)
    assert heat == pytest.approx(efficiency * film * perimeter * length * 40)


@given(films, conductivities, st.floats(2e-4, 5e-3), st.floats(1e-3, 0.03))
def test_a_longer_fin_carries_more_but_never_more_than_one_without_end(film, conductivity, thickness, length):
    short = fins.fin_heat_flow(film, 2.0, conductivity, thickness, length, 40)
    long = fins.fin_heat_flow(film, 2.0, conductivity, thickness, 2 * length, 40)
    assert short < long <= fins.fin_heat_flow_without_end(film, 2.0, conductivity, thickness, 40) * (1 + 1e-12)


@given(st.floats(0.1, 1), st.floats(0, 0.1), st.floats(1e-3, 0.1))
def test_an_array_is_between_its_fins_and_perfect(efficiency, fin_area, bare_area):
    whole = fins.array_efficiency(efficiency, fin_area, fin_area + bare_area)
    assert efficiency - 1e-12 <= whole <= 1
    assert whole * (fin_area + bare_area) == pytest.approx(efficiency * fin_area + bare_area)


@given(films)
def test_a_sink_of_perfect_fins_is_its_area_in_the_film(film):
    assert fins.sink_resistance(film, 1.0, 0.08, 0.10) == pytest.approx(1 / (film * 0.10))
