"""Bare faces: the printed law, its check value, and what a gap of air adds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.paste import contact
from workbook.references import value

conductivities = st.floats(1, 500)


def test_the_check_value_of_the_spot_law():
    spots = contact.spot_conductance(29.63, 0.15, 2e-6, 1e6, 1e9)
    assert spots == pytest.approx(value("paste", "contact_conductance_check"), abs=0.5)


def test_spots_alone_are_worse_than_air_and_spots_together():
    spots = contact.spot_conductance(29.63, 0.15, 2e-6, 1e6, 1e9)
    air = contact.gap_conductance(value("paste", "air_conductivity"), 6e-6, 0.4e-6)
    paste = contact.gap_conductance(3.0, 6e-6)
    assert spots < spots + air < spots + paste


@given(conductivities, conductivities)
def test_the_mean_is_between_the_poorer_solid_and_twice_it(one, other):
    mean = contact.mean_conductivity(one, other)
    assert min(one, other) * (1 - 1e-12) <= mean <= 2 * min(one, other)
    assert mean == pytest.approx(contact.mean_conductivity(other, one))


@given(st.floats(1e4, 1e7), st.floats(1.1, 5))
def test_more_pressure_helps_almost_in_proportion(pressure, factor):
    start = contact.spot_conductance(100, 0.1, 1e-6, pressure, 1e9)
    gain = contact.spot_conductance(100, 0.1, 1e-6, pressure * factor, 1e9) / start
    assert factor**0.9 < gain < factor


def test_a_pressure_near_the_hardness_is_outside_the_law():
    with pytest.raises(ValueError, match="pressure over hardness"):
        contact.spot_conductance(100, 0.1, 1e-6, 0.5e9, 1e9)
