"""Injection and solvent, held to worked values and to conservation of energy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.intake import air
from workbook.bench.shorts import injection, solvent
from workbook.references import value

amounts = st.just(0.0) | st.floats(1e-9, 100)


@pytest.mark.parametrize("row", value("shorts", "heat_split_example"), ids=str)
def test_heat_of_a_short_and_its_leads(row):
    """Computed: 50 mohm short, 100 mohm leads."""
    current, *expected = row
    assert injection.heat_split(current, 0.050, 0.100) == pytest.approx(expected)


@given(amounts, amounts, amounts)
def test_all_the_power_of_the_supply_is_accounted_for(current, short, leads):
    voltage, in_short, in_leads = injection.heat_split(current, short, leads)
    assert in_short + in_leads == pytest.approx(voltage * current, rel=1e-9)


def test_the_voltage_limit_spares_a_half_ohm_short():
    """Computed: 2 A through 0.5 ohm and 0.1 ohm of leads wants 1.2 V; a limit of 1.0 V stops short of it."""
    assert injection.heat_split(2.0, 0.5, 0.1)[0] == pytest.approx(1.2)
    assert injection.injected_current(2.0, 1.0, 0.6) < 2.0


def test_a_good_rail_takes_sixteen_milliamperes():
    """Computed: 1.0 V on 64 ohm."""
    assert injection.injected_current(2.0, 1.0, 64.0) == pytest.approx(16e-3, abs=0.5e-3)


@given(amounts, amounts, amounts)
def test_neither_limit_is_ever_passed(current_limit, voltage_limit, ohm):
    current = injection.injected_current(current_limit, voltage_limit, ohm)
    assert current <= current_limit
    assert current * ohm <= voltage_limit * (1 + 1e-12)


def test_a_dead_short_takes_the_current_limit_and_an_open_circuit_nothing():
    assert injection.injected_current(2.0, 1.0, 0.0) == 2.0
    assert injection.injected_current(2.0, 1.0, float("inf")) == 0.0


def test_a_film_of_alcohol_on_a_warm_spot():
    """Computed with a latent heat published second-hand: 10 mg on 0.1 W."""
    assert solvent.drying_time(10e-6, 0.1, value("shorts", "isopropyl_latent_heat")) == pytest.approx(66, rel=0.02)


def test_air_for_a_millilitre_of_alcohol():
    """Computed with the published limits: 16.0 L to the explosive limit, 0.80 m^3 to 400 ppm."""
    lower, _ = value("shorts", "isopropyl_explosive_limits")
    average, danger = value("shorts", "isopropyl_exposure_limit")
    vapour = air.vapour_volume(1e-6, 785, 60.10e-3)
    assert vapour == pytest.approx(0.320e-3, rel=0.02)
    assert air.air_volume_to_ppm(vapour, lower * 1e6) == pytest.approx(16.0e-3, rel=0.02)
    assert air.air_volume_to_ppm(vapour, average) == pytest.approx(0.80, rel=0.02)
    assert danger * 1e-6 == pytest.approx(lower / 10)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: injection.heat_split(-1.0, 0.1, 0.1), "current"),
        (lambda: injection.injected_current(1.0, -1.0, 0.1), "voltage limit"),
        (lambda: solvent.drying_time(1e-5, 0.0), "power"),
    ],
)
def test_a_value_out_of_range_is_named(call, named):
    with pytest.raises(ValueError, match=named):
        call()
