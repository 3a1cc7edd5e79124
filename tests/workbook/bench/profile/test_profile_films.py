"""Heat crosses from air and heaters as the correlations and the libraries say, and only where they hold."""

import ht
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import constants, optimize

from workbook.bench.profile import films
from workbook.references import value

celsius = st.floats(0, 500)


def air_property(key, temperature_c):
    """Return one property of CoolProp's air at 1 atm."""
    from CoolProp.CoolProp import PropsSI  # slow to load, and every process of the tests reads this file

    return PropsSI(key, "T", temperature_c + 273.15, "P", 101325, "Air")


# Air


@given(celsius)
def test_air_is_within_half_a_percent_of_an_independent_library(t):
    gas = films.air(t)
    viscosity = air_property("V", t) / air_property("D", t)
    assert gas.conductivity == pytest.approx(air_property("L", t), rel=0.005)
    assert gas.kinematic_viscosity == pytest.approx(viscosity, rel=0.005)
    assert gas.density == pytest.approx(air_property("D", t), rel=0.005)
    assert gas.prandtl == pytest.approx(air_property("C", t) * air_property("V", t) / air_property("L", t), rel=0.005)


@pytest.mark.parametrize("row", value("profile", "air_properties"), ids=lambda row: f"{row[0]} °C")
def test_air_is_that_of_the_reference_table(row):
    t, density, conductivity, viscosity, _, prandtl = row
    gas = films.air(t)
    assert gas.density == pytest.approx(density, rel=0.02)
    assert 1e3 * gas.conductivity == pytest.approx(conductivity, rel=0.02)
    assert 1e6 * gas.kinematic_viscosity == pytest.approx(viscosity, rel=0.02)
    assert gas.prandtl == pytest.approx(prandtl, rel=0.02)


@pytest.mark.parametrize("t", [-1, 501, float("nan")])
def test_air_outside_the_table_is_refused(t):
    with pytest.raises(ValueError, match="air temperature must be from 0 to 500 °C"):
        films.air(t)


# Radiation


@pytest.mark.parametrize(("hot", "cold", "coefficient"), value("profile", "radiation_films"))
def test_radiation_coefficients_at_emissivity_nine_tenths(hot, cold, coefficient):
    assert films.radiation_coefficient(0.9, hot, cold) == pytest.approx(coefficient, abs=0.0051)


@pytest.mark.parametrize(
    ("surroundings", "key"), [(175, "panel_radiation_hot_case"), (25, "panel_radiation_cold_case")]
)
def test_radiation_coefficients_of_the_textbook_panel(surroundings, key):
    assert films.radiation_coefficient(0.8, 150, surroundings) == pytest.approx(value("profile", key), abs=0.1)


@given(st.floats(0, 1), st.floats(-50, 600), st.floats(-50, 600))
def test_flux_is_coefficient_times_difference_and_turns_round_with_it(emissivity, one, other):
    flux = films.radiation_flux(emissivity, one, other)
    assert flux == pytest.approx(
        films.radiation_coefficient(emissivity, one, other) * (one - other), abs=1e-8, rel=1e-9
    )
    assert flux == pytest.approx(-films.radiation_flux(emissivity, other, one), abs=1e-8)


def test_the_radiation_constant_is_that_of_codata():
    assert pytest.approx(constants.Stefan_Boltzmann, rel=1e-9) == films.STEFAN_BOLTZMANN


def test_a_mean_temperature_in_place_of_both_is_two_percent_low_between_heater_and_board():
    mean = 4 * 0.9 * films.STEFAN_BOLTZMANN * (225 + 273.15) ** 3
    assert mean / films.radiation_coefficient(0.9, 300, 150) - 1 == pytest.approx(-0.02, abs=0.005)


def test_an_emissivity_above_one_or_a_temperature_below_zero_kelvin_is_refused():
    with pytest.raises(ValueError, match="emissivity must be from 0 to 1"):
        films.radiation_flux(1.1, 100, 25)
    with pytest.raises(ValueError, match="surface temperature must be above -273.15 °C"):
        films.radiation_flux(0.9, -300, 25)


# Natural convection


def grashof_and_prandtl(surface_c, air_c, length):
    """Return both numbers from CoolProp's air at the film temperature."""
    t = (surface_c + air_c) / 2
    viscosity = air_property("V", t) / air_property("D", t)
    grashof = constants.g / (t + 273.15) * (surface_c - air_c) * length**3 / viscosity**2
    return grashof, air_property("C", t) * air_property("V", t) / air_property("L", t), air_property("L", t)


@pytest.mark.parametrize(("board", "film"), value("profile", "natural_films_up"))
def test_the_upper_face_of_a_board(board, film):
    assert films.film_facing_up(board, 25, films.plate_length(0.1, 0.1)) == pytest.approx(film, abs=0.1)


@pytest.mark.parametrize(("board", "film"), value("profile", "natural_films_down"))
def test_the_lower_face_of_a_board(board, film):
    assert films.film_facing_down(board, 25, films.plate_length(0.1, 0.1)) == pytest.approx(film, abs=0.1)


@given(st.floats(60, 300), st.floats(0.02, 0.09))
def test_the_upper_face_agrees_with_an_independent_library(surface, length):
    grashof, prandtl, k = grashof_and_prandtl(surface, 25, length)
    assume(1e4 < grashof * prandtl < 9e6)
    independent = ht.Nu_horizontal_plate_McAdams(prandtl, grashof, buoyancy=True) * k / length
    assert films.film_facing_up(surface, 25, length) == pytest.approx(independent, rel=0.01)


@pytest.mark.parametrize("share", [0.99, 1.01])
def test_the_flow_over_the_upper_face_turns_where_it_does_in_an_independent_library(share):
    """At a Rayleigh number of ten million, where the two correlations lie 6 % apart."""
    rayleigh = share * 1e7
    length = np.cbrt(rayleigh / films.rayleigh(150, 25, 1.0))
    independent = ht.Nu_horizontal_plate_McAdams(1.0, rayleigh, buoyancy=True)
    nusselt = films.film_facing_up(150, 25, length) * length / films.air((150 + 25) / 2).conductivity
    assert nusselt == pytest.approx(independent, rel=1e-6)


@given(st.floats(60, 300), st.floats(0.02, 0.15))
def test_the_lower_face_is_within_a_fifth_of_another_correlation(surface, length):
    grashof, prandtl, k = grashof_and_prandtl(surface, 25, length)
    assume(grashof * prandtl > 2e4)
    another = ht.Nu_horizontal_plate_McAdams(prandtl, grashof, buoyancy=False) * k / length
    assert films.film_facing_down(surface, 25, length) == pytest.approx(another, rel=0.25)


def test_a_face_that_looks_up_changes_its_law_at_ten_million():
    """From memory: 0.54 Ra^(1/4) up to there, 0.15 Ra^(1/3) from there on (McAdams)."""
    turn = optimize.brentq(lambda length: films.rayleigh(100, 25, length) - 1e7, 0.02, 0.5)
    below, above = (films.film_facing_up(100, 25, turn * (1 + side)) for side in (-1e-6, 1e-6))
    assert above / below == pytest.approx(0.15 * 1e7 ** (1 / 3) / (0.54 * 1e7 ** (1 / 4)), rel=1e-4)


@given(st.floats(30, 400), st.floats(0.02, 0.5))
def test_an_upright_board_agrees_with_an_independent_library(surface, height):
    grashof, prandtl, k = grashof_and_prandtl(surface, 25, height)
    independent = ht.Nu_vertical_plate_Churchill(prandtl, grashof) * k / height
    assert films.film_vertical(surface, 25, height) == pytest.approx(independent, rel=0.01)


@given(st.floats(0.03, 0.07), st.floats(80, 300))
def test_warm_air_leaves_the_upper_face_more_easily_than_the_lower(length, surface):
    assert films.film_facing_up(surface, 25, length) > films.film_facing_down(surface, 25, length)


@pytest.mark.parametrize("face", [films.film_facing_up, films.film_facing_down])
def test_a_face_too_small_or_too_cool_for_the_correlation_is_refused(face):
    with pytest.raises(ValueError, match="Rayleigh number of a face that looks"):
        face(25.5, 25, 0.01)


def test_a_board_colder_than_the_air_is_refused():
    with pytest.raises(ValueError, match="must not be colder than the air"):
        films.film_facing_up(20, 25, 0.025)


def test_a_board_as_warm_as_the_air_gives_the_still_limit_of_the_upright_plate():
    assert films.film_vertical(25, 25, 0.1) == pytest.approx(0.825**2 * films.air(25).conductivity / 0.1)


# The jet


@pytest.mark.parametrize("row", value("profile", "jet_films"), ids=lambda row: f"{row[0]} mm nozzle")
def test_the_film_under_a_round_jet(row):
    bore, speed, gas, distance, radius, film = row
    found = films.film_under_jet(1e-3 * bore, speed, gas, 1e-3 * distance, 1e-3 * radius)
    assert found == pytest.approx(film, rel=0.03)


def test_the_jet_is_martins_correlation_with_the_air_of_an_independent_library():
    viscosity = air_property("V", 250) / air_property("D", 250)
    prandtl = air_property("C", 250) * air_property("V", 250) / air_property("L", 250)
    reynolds = 20 * 8e-3 / viscosity
    assert films.jet_reynolds(8e-3, 20, 250) == pytest.approx(value("profile", "jet_reynolds_case"), rel=0.005)
    share = 8 / (2 * 20)
    shape = 2 * share * (1 - 2.2 * share) / (1 + 0.2 * (3 - 6) * share)
    assert shape == pytest.approx(0.2545, abs=0.0001)
    nusselt = shape * 2 * reynolds**0.5 * (1 + 0.005 * reynolds**0.55) ** 0.5 * prandtl**0.42
    assert films.film_under_jet(8e-3, 20, 250, 24e-3, 20e-3) == pytest.approx(
        nusselt * air_property("L", 250) / 8e-3, rel=0.01
    )


@given(st.floats(2500, 3e5), st.floats(2, 12), st.floats(2.6, 7.8))
def test_a_faster_jet_heats_more_and_a_wider_disc_gets_less(reynolds, distance, radius):
    here = films.jet_nusselt(reynolds, 0.7, distance, radius)
    assert films.jet_nusselt(1.1 * reynolds, 0.7, distance, radius) > here
    assert films.jet_nusselt(reynolds, 0.7, distance, radius + 0.1) < here


@pytest.mark.parametrize(
    ("reynolds", "distance", "radius", "words"),
    [
        (1650, 3, 2.5, "Reynolds number of a jet must be from 2000"),
        (5e5, 3, 2.5, "Reynolds number of a jet"),
        (4000, 1.9, 2.5, "distance over diameter must be from 2 to 12"),
        (4000, 12.1, 2.5, "distance over diameter"),
        (4000, 3, 2.4, "area ratio of nozzle and disc must be from 0.004 to 0.04"),
        (4000, 3, 8.0, "area ratio"),
    ],
)
def test_a_jet_outside_what_was_measured_is_refused(reynolds, distance, radius, words):
    with pytest.raises(ValueError, match=words):
        films.jet_nusselt(reynolds, 0.7, distance, radius)


def test_a_slow_jet_of_hot_air_lies_outside_the_correlation():
    assert films.jet_reynolds(8e-3, 10, 300) == pytest.approx(1650, abs=10)
    with pytest.raises(ValueError, match="Reynolds number of a jet"):
        films.film_under_jet(8e-3, 10, 300, 24e-3, 20e-3)


def test_the_ends_of_the_range_are_inside():
    assert films.jet_nusselt(2000, 0.7, 2, 2.5) > 0
    assert films.jet_nusselt(4e5, 0.7, 12, 1 / (2 * np.sqrt(0.004))) > 0


def test_the_jet_grows_with_the_prandtl_number_to_the_power_of_the_correlation():
    assert films.jet_nusselt(4000, 1.4, 3, 3) == pytest.approx(films.jet_nusselt(4000, 0.7, 3, 3) * 2**0.42)


def test_where_the_two_laws_of_a_face_that_looks_up_meet_the_steeper_counts(monkeypatch):
    """Incropera and DeWitt, chapter 9 (from memory), give 1e7 to both ranges; 0.15 Ra^(1/3) is taken from there on."""
    over_length = films.air(87.5).conductivity / 0.1
    for number, nusselt in ((1e7 * (1 - 1e-9), 0.54 * 1e7**0.25), (1e7, 0.15 * 1e7 ** (1 / 3))):
        monkeypatch.setattr(films, "rayleigh", lambda *_, number=number: number)
        assert films.film_facing_up(150, 25, 0.1) == pytest.approx(nusselt * over_length, rel=1e-6)
