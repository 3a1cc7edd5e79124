"""Static discharge and straps, held to a tester's waveform table and to Ohm."""

import inspect

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from workbook.bench.intake import capacitors, static
from workbook.references import entry, table, value


def test_peak_currents_lie_within_the_testers_ten_percent():
    for volts, cells in table("intake", "hbm_peak_currents").items():
        assert static.hbm_peak_current(float(volts)) == pytest.approx(cells["peak"], rel=0.10)


def test_the_time_constant_is_the_testers_decay():
    decay = entry("intake", "hbm_decay")
    assert static.hbm_time_constant() == pytest.approx(decay.value, abs=decay.uncertainty)


@given(st.floats(1, 1e4))
def test_the_pulse_carries_the_charge_and_spends_the_energy(voltage):
    peak, constant = static.hbm_peak_current(voltage), static.hbm_time_constant()
    assert peak * constant == pytest.approx(value("intake", "hbm_capacitance") * voltage)
    assert peak**2 * value("intake", "hbm_resistance") * constant / 2 == pytest.approx(static.hbm_energy(voltage))


def test_the_exponential_pulse_integrates_to_the_charge():
    resistance, capacitance = value("intake", "hbm_resistance"), value("intake", "hbm_capacitance")

    def current(nanoseconds):
        return capacitors.voltage_after(1e-9 * nanoseconds, capacitance, resistance, 2000) / resistance

    charge, _ = quad(current, 0, 5000)
    assert 1e-9 * charge == pytest.approx(capacitance * 2000, rel=1e-6)


def test_the_cord_holds_250_volts_to_a_quarter_of_a_milliampere():
    cord, limit = value("intake", "strap_cord_resistance"), value("intake", "strap_voltage_limit")
    assert static.strap_current(limit, cord) == pytest.approx(0.25e-3)


@given(st.floats(1e5, 1e9), st.floats(10, 100))
def test_a_better_path_drains_the_body_sooner(resistance, voltage):
    good, poor = (static.time_to_drain_body(voltage, 5000, path) for path in (resistance, 2 * resistance))
    assert good < poor


def test_even_the_worst_allowed_strap_drains_a_walk_in_well_under_a_second():
    assert static.time_to_drain_body(100, 5000, value("intake", "strap_limit")) < 0.1


def test_no_strap_near_live_mains_is_said():
    assert "none on live mains" in inspect.getdoc(static).replace("\n", " ")
