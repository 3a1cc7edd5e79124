"""The thermal chain is held to printed examples, to the library ht and to what series and parallel must obey."""

from math import pi

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from workbook.bench.paste import chain
from workbook.references import entry, table, value

resistances = st.lists(st.floats(1e-3, 1e3), min_size=1, max_size=6)


def test_the_printed_chain_gives_its_junction_and_case():
    temperatures = chain.temperatures_along_chain(25, 5, 3, 1, 8)
    assert temperatures[0] == value("paste", "series_chain_junction_c") == chain.junction_temperature(25, 5, 3, 1, 8)
    assert temperatures[1] == value("paste", "series_chain_case_c")


def test_a_layer_agrees_with_the_documented_inverse_in_ht():
    conductivity = value("paste", "plane_wall_conductivity")
    assert ht.R_to_k(chain.layer_area_resistance(0.025, conductivity), 0.025) == pytest.approx(conductivity)


def test_the_printed_epoxy_layer_of_a_board_stack():
    assert chain.layer_resistance(0.2e-3, 1.8, 0.0216) == pytest.approx(value("paste", "board_epoxy_layer"), abs=5e-5)


def test_the_printed_plate_of_four_parts():
    plate_c = chain.junction_temperature(25, 4 * 15, chain.film_resistance(25, 0.22**2))
    assert plate_c == pytest.approx(value("paste", "plate_of_four_parts_c"), abs=0.05)


def test_the_glued_chip_is_at_the_computed_temperature_and_not_at_the_misprinted_one():
    below = chain.in_series(0.9e-4, chain.layer_area_resistance(8e-3, 239), 1 / 100)
    chip_c = 25 + 1e4 * chain.in_parallel(1 / 100, below)
    assert chip_c == pytest.approx(value("paste", "chip_epoxy_aluminium_c"), abs=0.05)
    assert abs(chip_c - entry("paste", "trap_chip_epoxy_aluminium_c").printed) > 50


def test_one_side_of_the_chip_alone_or_both_in_series_are_the_known_slips():
    below = chain.in_series(0.9e-4, chain.layer_area_resistance(8e-3, 239), 1 / 100)
    assert 25 + 1e4 / 100 == 125.0
    assert 25 + 1e4 * chain.in_series(1 / 100, below) == pytest.approx(226.2, abs=0.05)


def test_the_printed_contact_of_a_disc():
    contact = chain.resistance_over_area(5e-5, pi * 0.020**2 / 4)
    assert contact == pytest.approx(value("paste", "disc_on_block_contact"), abs=5e-4)


def test_the_printed_slab_with_heat_inside_and_its_differential_equation():
    centre = chain.mid_plane_temperature_of_heated_slab(1e7, 3e-3, 50, 500, 20)
    assert centre == pytest.approx(value("paste", "generating_slab_c"), abs=0.05)
    slope_and_fall = lambda x, y: np.vstack((y[1], np.full_like(x, -1e7 / 50)))  # noqa: E731
    ends = lambda left, right: np.array((left[1], -50 * right[1] - 500 * (right[0] - 20)))  # noqa: E731
    solved = solve_bvp(slope_and_fall, ends, np.linspace(0, 3e-3, 11), np.full((2, 11), 50.0))
    assert centre == pytest.approx(solved.sol(0)[0], rel=1e-8)


def test_psi_of_a_real_package_adds_almost_nothing_where_theta_would_add_degrees():
    psi, theta = value("paste", "ceramic_array_psi_jt"), value("paste", "ceramic_array_theta_jc")
    assert chain.junction_temperature_from_top(60, 10, psi) - 60 == pytest.approx(0.14)
    assert 10 * theta == pytest.approx(5.4)


def test_theta_and_psi_agree_only_where_all_heat_takes_the_surface():
    assert chain.characterisation_parameter(85, 70, 5) == chain.thermal_resistance(85, 70, 5)
    assert chain.characterisation_parameter(85, 70, 5) < chain.thermal_resistance(85, 70, 2)


@pytest.mark.parametrize(("given_in", "square_millimetres"), [("m²·K/W", 1e6), ("cm²·K/W", 100), ("°C·in²/W", 645.16)])
def test_printed_units_of_area_resistance_in_square_millimetres(given_in, square_millimetres):
    assert chain.convert_area_resistance(1, given_in, "mm²·K/W") == pytest.approx(square_millimetres, rel=1e-12)


def test_an_unknown_unit_is_refused_by_name():
    with pytest.raises(ValueError, match="K/W"):
        chain.convert_area_resistance(1, "K/W", "mm²·K/W")


def test_the_chain_exercise_has_its_answer_and_its_slips():
    """12 W, 0.5 + paste of 18 mm x 18 mm, 60 µm, 4 W/m/K with 5 mm²·K/W a face + 3.2 K/W, 35 °C."""
    area = 18e-3**2
    layer, contacts = chain.layer_resistance(60e-6, 4, area), chain.contact_resistance(5e-6, area)
    assert layer + contacts == pytest.approx(0.0772, abs=5e-5)
    assert chain.junction_temperature(35, 12, 0.5, layer, contacts, 3.2) == pytest.approx(80.3, abs=0.05)
    assert layer == pytest.approx(0.0463, abs=5e-5)
    assert layer + chain.contact_resistance(5e-6, area, faces=1) == pytest.approx(0.0617, abs=5e-5)


def test_film_resistances_table():
    for name, row in table("paste", "film_resistances").items():
        thickness = float(name.removesuffix(" µm")) * 1e-6
        assert chain.layer_resistance(thickness, 3, 14e-3**2) == pytest.approx(row["K/W"], rel=2e-3)


@given(resistances)
def test_parallel_is_never_above_the_least_and_series_never_below_the_largest(parts):
    assert chain.in_parallel(*parts) <= min(parts) * (1 + 1e-12)
    assert chain.in_series(*parts) >= max(parts) * (1 - 1e-12)


@given(st.floats(-40, 60), st.floats(0, 100), resistances)
def test_temperatures_fall_towards_the_air_and_the_first_is_the_junction(air_c, power, parts):
    temperatures = chain.temperatures_along_chain(air_c, power, *parts)
    assert temperatures[-1] == air_c
    assert all(hot >= cold for hot, cold in zip(temperatures, temperatures[1:], strict=False))
    assert temperatures[0] == pytest.approx(chain.junction_temperature(air_c, power, *parts))


@given(st.floats(1e-6, 1e-2), st.floats(0.1, 400), st.floats(1e-6, 1e-1), st.integers(1, 5))
def test_slicing_a_layer_changes_nothing(thickness, conductivity, area, slices):
    thin = chain.layer_resistance(thickness / slices, conductivity, area)
    assert chain.in_series(*[thin] * slices) == pytest.approx(chain.layer_resistance(thickness, conductivity, area))


def test_arrays_pass_through_a_chain():
    power = np.array([0.0, 5.0, 10.0])
    assert chain.junction_temperature(25, power, 3, 1, 8).tolist() == [25, 85, 145]


@pytest.mark.parametrize(
    ("combine", "parts"), [(chain.in_series, ()), (chain.in_parallel, (1, 0)), (chain.in_series, (-1,))]
)
def test_an_empty_chain_and_impossible_resistances_are_refused(combine, parts):
    with pytest.raises(ValueError, match="resistance"):
        combine(*parts)
