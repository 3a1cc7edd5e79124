"""Spreading resistance: closed form, exact series, and a second series for square shapes."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.bench.paste import spreading
from workbook.references import entry, table, value

CASE_A = spreading.SpreadingPlate(25e-3**2, 100e-3**2, 5e-3, 200, 1.0)
CASE_B = spreading.SpreadingPlate(14e-3**2, 60e-3**2, 3e-3, 200, 2.0)
CASE_B_THIN = spreading.SpreadingPlate(14e-3**2, 60e-3**2, 1e-3, 200, 2.0)

FORMS = {
    "maximum, closed form": spreading.maximum_spreading_resistance,
    "maximum, exact series": spreading.exact_maximum_resistance,
    "mean, closed form": spreading.average_spreading_resistance,
    "mean, exact series": spreading.exact_average_resistance,
}

plates = st.builds(
    lambda ratio, side, thickness, conductivity, below: spreading.SpreadingPlate(
        (ratio * side) ** 2, side**2, thickness, conductivity, below
    ),
    st.floats(0.1, 0.8),
    st.floats(0.02, 0.2),
    st.floats(1e-3, 2e-2),
    st.floats(10, 400),
    st.floats(0.1, 20),
)


def plate_of(ratio, depth, biot, rim=50e-3, conductivity=200.0):
    """Return the plate with these groups."""
    below = 1 / (pi * conductivity * rim * biot)
    return spreading.SpreadingPlate(pi * (ratio * rim) ** 2, pi * rim**2, depth * rim, conductivity, below)


def square_series(plate, terms=400):
    """Return the resistance at the middle of a square source on a square plate, by cosines in both directions."""
    side, source = plate.plate_area**0.5, plate.source_area**0.5
    film = 1 / (plate.resistance_below * plate.plate_area)
    order = np.arange(terms)
    # Share of each cosine in a strip of the source's width, times its value in the middle.
    with np.errstate(invalid="ignore"):
        wave = 2 * pi * order / side
        strip = np.where(order == 0, 1.0, 2 * np.sin(wave * source / 2) / (wave * source / 2))
    total = wave[:, None] ** 2 + wave[None, :] ** 2
    total[0, 0] = 1.0
    total = total**0.5
    sag, slack = np.tanh(total * plate.thickness), total * plate.conductivity / film
    each = strip[:, None] * strip[None, :] * (sag + slack) / (1 + slack * sag) / (plate.conductivity * total)
    each[0, 0] = plate.thickness / plate.conductivity
    return each.sum() / plate.plate_area


@pytest.mark.parametrize(
    ("plate", "key"),
    [(CASE_A, "spreading_case_a"), (CASE_B, "spreading_case_b"), (CASE_B_THIN, "spreading_case_b_thin")],
)
def test_cases_in_every_form_to_their_last_digit(plate, key):
    for form, row in table("paste", key).items():
        assert FORMS[form](plate) == pytest.approx(row["K/W"], abs=6e-5 if "series" in form else 6e-4), form


def test_the_groups_of_case_a_are_as_printed():
    """eps 0.25, tau 0.0886, Bi 0.0282 with the plate's radius."""
    assert CASE_A.source_radius / CASE_A.plate_radius == pytest.approx(0.25)
    assert CASE_A.thickness / CASE_A.plate_radius == pytest.approx(0.0886, abs=5e-5)
    assert CASE_A.biot == pytest.approx(0.0282, abs=5e-5)


def test_a_square_source_on_a_square_plate_is_close_to_the_round_one():
    assert square_series(CASE_A) == pytest.approx(0.1957, abs=1e-4)
    assert square_series(CASE_A) == pytest.approx(spreading.exact_maximum_resistance(CASE_A), rel=2e-3)


def test_the_share_of_the_plate_is_in_the_spreading_resistance_already():
    right = spreading.maximum_spreading_resistance(CASE_A)
    share = spreading.one_dimensional_share(CASE_A)
    assert share == pytest.approx(0.0025)
    assert right + share == pytest.approx(0.193, abs=1e-3)
    source_column = CASE_A.thickness / (CASE_A.conductivity * CASE_A.source_area)
    assert source_column == pytest.approx(0.040)


def test_the_reprinted_factor_would_give_another_maximum():
    trap = entry("paste", "trap_spreading_law")
    assert trap.value == pytest.approx(1 / pi**0.5, abs=5e-5)
    assert trap.printed / trap.value < 0.9


@settings(deadline=None)
@given(st.floats(0.05, 0.833), st.floats(0.02, 1), st.floats(1e-3, 0.1))
def test_the_closed_form_of_the_maximum_keeps_its_stated_error(ratio, depth, biot):
    plate = plate_of(ratio, depth, biot)
    error = spreading.maximum_spreading_resistance(plate) / spreading.exact_maximum_resistance(plate) - 1
    assert -0.105 < error < 0.085


@settings(deadline=None)
@given(st.floats(0.05, 0.75), st.floats(0.02, 1), st.floats(1e-3, 0.1))
def test_the_closed_form_of_the_mean_keeps_its_stated_error(ratio, depth, biot):
    plate = plate_of(ratio, depth, biot)
    error = spreading.average_spreading_resistance(plate) / spreading.exact_average_resistance(plate) - 1
    assert -0.125 < error < 0.105


@settings(deadline=None)
@given(plates)
def test_the_hottest_point_is_above_the_mean_and_the_mean_above_the_plate_alone(plate):
    mean = spreading.exact_average_resistance(plate)
    assert spreading.exact_maximum_resistance(plate) > mean > spreading.one_dimensional_share(plate)


def test_a_source_nearly_as_large_as_the_plate_leaves_the_plane_wall():
    plate = spreading.SpreadingPlate(0.998e-2, 1e-2, 5e-3, 200, 1.0)
    assert spreading.exact_average_resistance(plate) == pytest.approx(spreading.one_dimensional_share(plate), rel=1e-2)


def test_a_small_source_on_a_very_thick_plate_is_a_disc_on_a_half_space():
    """The plate's own share taken off, ratio 1 to 40: the exact series ends in 8/(3 pi^2 a k) and 1/(pi a k)."""
    radius, rim = 10e-3, 400e-3
    plate = spreading.SpreadingPlate(pi * radius**2, pi * rim**2, 1.2, 177, 0.01)
    share = spreading.one_dimensional_share(plate)
    mean = spreading.exact_average_resistance(plate) - share
    assert mean == pytest.approx(spreading.even_flux_disc_on_half_space(radius, 177), rel=0.04)
    closer = spreading.SpreadingPlate(pi * radius**2, pi * (2 * rim) ** 2, 2.4, 177, 0.01)
    closer_mean = spreading.exact_average_resistance(closer) - spreading.one_dimensional_share(closer)
    assert 2 * closer_mean - mean == pytest.approx(spreading.even_flux_disc_on_half_space(radius, 177), rel=1e-3)


def test_half_space_values():
    isothermal = spreading.isothermal_disc_on_half_space(10e-3, 177)
    even_flux = spreading.even_flux_disc_on_half_space(10e-3, 177)
    assert isothermal == pytest.approx(value("paste", "half_space_isothermal"), abs=5e-5)
    assert even_flux == pytest.approx(value("paste", "half_space_even_flux"), abs=5e-5)
    assert even_flux / isothermal == pytest.approx(32 / (3 * pi**2))


def test_the_disc_on_a_block_is_at_the_computed_temperature_and_not_at_the_one_called_verified():
    contact = value("paste", "disc_on_block_contact")
    disc_c = 27 + 100 * (contact + spreading.isothermal_disc_on_half_space(10e-3, 177))
    assert disc_c == pytest.approx(value("paste", "disc_on_block_c"), abs=0.05)
    assert abs(disc_c - entry("paste", "trap_disc_on_block_c").printed) > 5


def test_slips_on_the_disc_are_told_apart():
    contact = 5e-5 / (pi * 10e-3**2)
    assert 27 + 100 * (contact / 4 + 1 / (4 * 20e-3 * 177)) == pytest.approx(38.0, abs=0.1)
    assert 27 + 100 * contact == pytest.approx(42.9, abs=0.05)
    assert 27 + 100 * (contact + 1 / (2 * 10e-3 * 177)) == pytest.approx(71.2, abs=0.05)


def test_a_source_larger_than_its_plate_is_refused():
    with pytest.raises(ValueError, match="plate area less source area"):
        spreading.SpreadingPlate(1e-2, 1e-3, 5e-3, 200, 1.0)
