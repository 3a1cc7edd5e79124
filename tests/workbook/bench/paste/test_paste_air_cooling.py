"""Sinks in still air: printed plate and radiation, then balance and direction."""

import ht
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.bench.paste import air_cooling
from workbook.bench.profile import films
from workbook.references import table, value

PLATE = [air_cooling.Face("upright", 50e-3**2, 50e-3, 0.9)] * 2


def test_the_printed_nusselt_number_and_heat_of_a_vertical_plate():
    nusselt = films.nusselt_vertical(0.69 * 2.63e9, 0.69)
    assert nusselt == pytest.approx(value("paste", "vertical_plate_nusselt"), abs=5e-3)
    heat = nusselt * 0.0338 / 0.71 * 0.71 * 1.02 * 209
    assert heat == pytest.approx(value("paste", "vertical_plate_heat_w"), rel=2e-3)


def test_the_printed_radiation():
    flux = films.radiation_flux(0.85, 400 - 273.15, 305 - 273.15)
    assert flux == pytest.approx(value("paste", "radiation_flux"), abs=0.01)


def test_convection_and_radiation_of_a_small_plate_are_about_equal():
    rows = table("paste", "small_plate_film")
    convection = float(films.film_vertical(60, 25, 50e-3))
    radiation = float(films.radiation_coefficient(0.9, 60, 25))
    assert convection == pytest.approx(rows["natural convection"]["W/m²/K"], rel=0.02)
    assert radiation == pytest.approx(rows["radiation, emissivity 0.9"]["W/m²/K"], rel=0.01)
    assert air_cooling.face_film(PLATE[0], 60, 25) == pytest.approx(convection + radiation)


def test_the_film_of_the_small_plate_agrees_with_ht_on_typed_in_air():
    grashof = 9.80665 * 35 / (42.5 + 273.15) * 50e-3**3 / 1.735e-5**2
    theirs = ht.Nu_vertical_plate_Churchill(0.705, grashof) * 0.02745 / 50e-3
    assert films.film_vertical(60, 25, 50e-3) == pytest.approx(theirs, rel=0.01)


def test_both_faces_of_the_plate_lose_the_computed_heat():
    assert air_cooling.heat_from_faces(PLATE, 60, 25) == pytest.approx(2.3, abs=0.05)


@settings(deadline=None)
@given(st.floats(0.2, 20), st.floats(10, 45))
def test_at_the_settled_temperature_heat_lost_is_heat_put_in(power, air_c):
    settled = air_cooling.surface_temperature_c(power, PLATE, air_c)
    assert air_cooling.heat_from_faces(PLATE, settled, air_c) == pytest.approx(power, rel=1e-6)


def test_level_faces_settle_too():
    size = films.plate_length(0.1, 0.1)
    faces = [air_cooling.Face(side, 0.01, size, 0.9) for side in ("facing up", "facing down")]
    settled = air_cooling.surface_temperature_c(10, faces, 25)
    assert air_cooling.heat_from_faces(faces, settled, 25) == pytest.approx(10, rel=1e-6)
    losses = [air_cooling.heat_from_faces([face], settled, 25) for face in faces]
    assert losses[0] > losses[1]


@settings(deadline=None)
@given(st.floats(0.2, 10), st.floats(1.1, 2))
def test_a_sink_gets_better_with_power(power, factor):
    cool = air_cooling.still_air_resistance(power, PLATE, 25)
    assert air_cooling.still_air_resistance(power * factor, PLATE, 25) < cool


def test_a_bright_sink_is_hotter_than_a_dull_one():
    bright = [air_cooling.Face("upright", 50e-3**2, 50e-3, 0.05)] * 2
    dull = air_cooling.surface_temperature_c(2.3, PLATE, 25)
    assert air_cooling.surface_temperature_c(2.3, bright, 25) > dull + 15


def test_an_unknown_orientation_is_refused_by_name():
    with pytest.raises(ValueError, match="leaning"):
        air_cooling.Face("leaning", 1e-3, 0.05, 0.9)
