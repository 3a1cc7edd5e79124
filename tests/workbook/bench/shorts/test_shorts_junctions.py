"""Junctions and leakage, held to meter manuals, to values computed from the diode equation, and to root finding."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from workbook.bench.shorts import junctions, networks
from workbook.references import entry, value

SATURATION, IDEALITY, NOMINAL_C = value("shorts", "simulator_diode")
currents = st.floats(1e-6, 5e-3)


@pytest.mark.parametrize(
    ("temperature_c", "millivolts"), [(20, 25.262), (25, 25.693), (26.85, 25.852), (27, 25.865), (50, 27.847)]
)
def test_thermal_voltage(temperature_c, millivolts):
    """Computed from CODATA constants."""
    assert 1e3 * junctions.thermal_voltage(temperature_c) == pytest.approx(millivolts, abs=6e-4)


def test_thermal_voltage_of_a_textbook_page():
    """Published second-hand: a page on the diode equation, 25.8 mV at 300 K."""
    printed = entry("shorts", "thermal_voltage_300_k")
    assert junctions.thermal_voltage(26.85) == pytest.approx(printed.value, abs=printed.uncertainty)


@pytest.mark.parametrize(("current", "volts"), value("shorts", "simulator_diode_voltages"))
def test_default_diode_of_simulators(current, volts):
    """Computed with the default model of two simulators' manuals, published second-hand."""
    assert junctions.diode_voltage(current, SATURATION, NOMINAL_C, IDEALITY) == pytest.approx(volts, abs=5.1e-5)


def test_a_good_junction_reads_inside_the_band_of_the_manuals():
    """Published second-hand: five manuals, 0.4 to 0.9 V at up to 1.5 mA."""
    low, high = value("shorts", "diode_reading_good")
    largest, _ = value("shorts", "diode_test_current")
    assert low < junctions.diode_mode_reading(largest / 10) < junctions.diode_mode_reading(largest) < high


@given(currents, st.floats(-20, 100), st.floats(1, 2))
def test_voltage_and_current_undo_each_other(current, temperature_c, ideality):
    volts = junctions.diode_voltage(current, 1e-12, temperature_c, ideality)
    assert junctions.diode_current(volts, 1e-12, temperature_c, ideality) == pytest.approx(current, rel=1e-9)


@pytest.mark.parametrize(("leak", "volts"), value("shorts", "diode_with_leak"))
def test_a_leak_across_a_junction(leak, volts):
    """Computed: 350 ohm keeps the junction off, 1 kohm hides behind it."""
    assert junctions.diode_mode_reading(1e-3, leak) == pytest.approx(volts, abs=5.1e-4)


def test_in_diode_mode_a_resistance_shows_current_times_resistance():
    assert junctions.diode_mode_reading(1e-3, [7.8, 64.0]) == pytest.approx([0.0078, 0.064], rel=1e-6)


@given(currents, st.floats(1e-2, 1e7), st.integers(1, 20))
def test_the_reading_is_where_the_two_currents_add_up(test_current, leak, count):
    def unbalance(volts):
        return count * junctions.diode_current(volts) + volts / leak - test_current

    volts = optimize.brentq(unbalance, 0, min(test_current * leak, 1.0) + 1e-9, xtol=1e-14)
    assert junctions.diode_mode_reading(test_current, leak, count) == pytest.approx(volts, abs=1e-9)


@given(currents, st.floats(1e-2, 1e7))
def test_a_leak_never_raises_the_reading(test_current, leak):
    leaking = junctions.diode_mode_reading(test_current, leak)
    assert leaking <= junctions.diode_mode_reading(test_current) + 1e-15
    assert leaking <= test_current * leak * (1 + 1e-9) + 1e-15


def test_a_huge_leak_resistance_is_no_leak():
    assert junctions.diode_mode_reading(1e-3, 1e13) == pytest.approx(junctions.diode_mode_reading(1e-3), abs=1e-9)


def test_two_equal_junctions_read_one_octave_lower():
    """Computed: 17.8 mV at 25 °C."""
    one, two = (junctions.diode_mode_reading(1e-3, junctions=count, temperature_c=25.0) for count in (1, 2))
    assert one - two == pytest.approx(junctions.voltage_step(2), abs=1e-9)
    assert one - two == pytest.approx(17.8e-3, abs=0.05e-3)


@pytest.mark.parametrize(("reading", "leakage"), value("shorts", "off_state_readings"))
def test_leakage_behind_a_reading(reading, leakage):
    """Computed: channel that is off, 1 mA, 25 °C."""
    assert junctions.leakage_behind(1e-3, reading) == pytest.approx(leakage, rel=5e-3)
    assert junctions.off_state_reading(1e-3, leakage) == pytest.approx(reading, rel=0.06)


@given(currents, st.floats(0.1, 100), st.floats(0, 100))
def test_reading_and_leakage_undo_each_other(test_current, reading, temperature_c):
    leakage = junctions.leakage_behind(test_current, reading, temperature_c)
    # a test current close to the leakage leaves few digits of their difference
    if test_current < 0.999999 * leakage:
        again = junctions.off_state_reading(test_current, leakage, temperature_c)
        assert again == pytest.approx(reading, rel=1e-6)


@given(currents, st.floats(1.01, 1e4))
def test_a_smaller_test_current_never_reads_more(test_current, margin):
    leakage = test_current * margin
    half, full = (junctions.off_state_reading(current, leakage) for current in (test_current / 2, test_current))
    assert junctions.thermal_voltage() / leakage <= half * (1 + 1e-9) <= full * (1 + 2e-9)


def test_a_dead_short_reads_the_same_on_every_range_and_a_rail_does_not():
    rail = junctions.leakage_behind(1e-3, 64.0)
    coarse, fine = (networks.parallel(junctions.off_state_reading(i, rail), 0.3) for i in (1e-3, 1e-4))
    assert coarse == pytest.approx(fine, rel=0.01)
    assert junctions.off_state_reading(1e-3, rail) > 2 * junctions.off_state_reading(1e-4, rail)


def test_more_than_the_leakage_does_not_flow():
    assert junctions.off_state_reading(1e-3, 0.9e-3) == np.inf


@pytest.mark.parametrize(("cold", "warm"), [(64.0, 2.4), (7.8, 0.67)])
def test_a_good_board_read_hot_looks_shorted(cold, warm):
    """Computed with the rule of doubling every 10 K, published second-hand: 25 to 60 °C, 1 mA."""
    leakage = junctions.leakage_when_warm(junctions.leakage_behind(1e-3, cold), 35, value("shorts", "leakage_doubling"))
    assert junctions.off_state_reading(1e-3, leakage, 60.0) == pytest.approx(warm, abs=0.03)


@pytest.mark.parametrize(("cold", "warm"), [(64.0, 6.3), (7.8, 0.77)])
def test_a_cold_value_taken_at_a_small_current_warms_less(cold, warm):
    """Computed: cold and warm readings both far below the leakage."""
    leakage = junctions.leakage_when_warm(junctions.leakage_behind(1e-9, cold), 35)
    assert junctions.off_state_reading(1e-9, leakage, 60.0) == pytest.approx(warm, rel=0.01)


@pytest.mark.parametrize(("volts", "watts", "ohm"), value("shorts", "running_resistances"))
def test_running_rails(volts, watts, ohm):
    """Computed: V^2/P."""
    assert junctions.running_resistance(volts, watts) == pytest.approx(ohm, rel=0.01)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: junctions.thermal_voltage(-300), "temperature"),
        (lambda: junctions.diode_current(5.0), "voltage over n VT"),
        (lambda: junctions.diode_mode_reading(1e-3, 0.0), "leak"),
        (lambda: junctions.diode_mode_reading(1e-3, junctions=0), "junctions"),
        (lambda: junctions.leakage_behind(1e-3, 0.0), "reading"),
        (lambda: junctions.diode_voltage(1e-3, ideality=3.0), "ideality"),
    ],
)
def test_a_value_out_of_range_is_named(call, named):
    with pytest.raises(ValueError, match=named):
        call()
