"""Stored charge, held to printed examples, to a stepwise discharge, and to the published thresholds."""

import inspect

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from workbook.bench.intake import capacitors
from workbook.references import entry, value

capacitances = st.floats(1e-9, 1e-1)
resistances = st.floats(1, 1e7)
voltages = st.floats(1, 2000)


@given(capacitances, resistances, voltages, st.floats(0.001, 0.999))
def test_time_to_a_voltage_and_voltage_after_that_time_undo_each_other(capacitance, resistance, start, share):
    time = capacitors.time_to_voltage(share * start, capacitance, resistance, start)
    assert capacitors.voltage_after(time, capacitance, resistance, start) == pytest.approx(share * start, rel=1e-9)


@given(capacitances, st.floats(0.01, 1000), voltages, st.floats(0.001, 0.999))
def test_the_resistor_for_a_time_takes_that_time(capacitance, time, start, share):
    resistance = capacitors.discharge_resistance(time, share * start, capacitance, start)
    assert capacitors.time_to_voltage(share * start, capacitance, resistance, start) == pytest.approx(time, rel=1e-9)


def test_the_discharge_is_the_solution_of_its_equation():
    capacitance, resistance, start = 470e-6, 10e3, 400.0
    run = solve_ivp(lambda t, v: -v / (resistance * capacitance), (0, 10), [start], t_eval=[2, 5, 10], rtol=1e-10)
    assert capacitors.voltage_after(run.t, capacitance, resistance, start) == pytest.approx(run.y[0], rel=1e-6)


def test_all_the_energy_ends_in_the_resistor():
    capacitance, resistance, start = 470e-6, 10e3, 400.0
    heat, _ = quad(
        lambda t: capacitors.peak_power(capacitors.voltage_after(t, capacitance, resistance, start), resistance), 0, 100
    )
    assert heat == pytest.approx(capacitors.stored_energy(capacitance, start), rel=1e-6)


@given(capacitances, resistances, voltages)
def test_power_is_voltage_times_current_and_energy_goes_with_the_square(capacitance, resistance, voltage):
    current = capacitors.peak_current(voltage, resistance)
    assert capacitors.peak_power(voltage, resistance) == pytest.approx(current**2 * resistance)
    assert capacitors.stored_energy(capacitance, 2 * voltage) == pytest.approx(
        4 * capacitors.stored_energy(capacitance, voltage)
    )


def test_printed_discharges_are_reproduced():
    assert capacitors.stored_energy(470e-6, 400) == pytest.approx(value("intake", "discharge_470uf_energy"), abs=0.05)
    assert capacitors.time_to_voltage(50, 470e-6, 10e3, 400) == pytest.approx(
        value("intake", "discharge_470uf_time"), abs=0.05
    )
    time, constant, energy, power = value("intake", "discharge_195uf")
    assert capacitors.time_to_voltage(320, 195e-6, 50, 1500) == pytest.approx(time, rel=5e-4)
    assert capacitors.time_to_voltage(1500 / np.e, 195e-6, 50, 1500) == pytest.approx(constant, rel=5e-4)
    assert capacitors.stored_energy(195e-6, 1500) == pytest.approx(energy, abs=0.05)
    assert capacitors.peak_power(1500, 50) == pytest.approx(power)
    assert capacitors.voltage_after(3, 100e-6, 10e3, 300) == pytest.approx(value("intake", "discharge_100uf"), abs=0.5)


def test_the_five_second_resistor_is_the_reference_one():
    limit, time = value("intake", "residual_voltage"), value("intake", "residual_time")
    largest = capacitors.discharge_resistance(time, limit, 470e-6, 400)
    assert largest == pytest.approx(value("intake", "discharge_resistor_5s"), abs=1)


@pytest.mark.parametrize(
    ("capacitance", "voltage", "reached"),
    [
        (2e-3, 100.0, ("shock",)),  # exactly 100 V and 10 J: the published lines say "at least"
        (1.99e-3, 100.0, ()),
        (2e-3, 99.9, ()),
        (150e-6, 325.0, ()),  # 7.9 J: below the line, and still a charged mains capacitor
        (0.1, 50.0, ("heat and flash",)),
        (0.05, 50.0, ()),  # 62.5 J below 100 V
        (10e-6, 450.0, ("start and reflex",)),
        (470e-6, 450.0, ("shock", "start and reflex")),
        (0.32, 25.0, ()),  # exactly 100 J: the lines for heat and for reflex say "above"
        (0.03, 100.0, ("shock",)),  # 150 J at exactly 100 V: the line for heat says "below"
        (2.0**-19, 512.0, ()),  # exactly 0.25 J
        (12.5e-6, 400.0, ()),  # exactly 400 V, at 1 J
    ],
)
def test_each_published_threshold_is_named_when_it_is_reached_and_only_then(capacitance, voltage, reached):
    assert capacitors.hazards(capacitance, voltage) == reached


@given(capacitances, st.floats(100, 2000), st.floats(1, 3))
def test_more_charge_at_a_voltage_never_lifts_a_hazard(capacitance, voltage, factor):
    assert set(capacitors.hazards(capacitance, voltage)) <= set(capacitors.hazards(factor * capacitance, voltage))


def test_no_answer_says_safe():
    """Below every line is silence, never a clearance."""
    charged = [(c, v) for c in (1e-9, 2e-3, 0.5) for v in (1.0, 50.0, 100.0, 450.0)]
    words = {word for capacitance, voltage in charged for word in capacitors.hazards(capacitance, voltage)}
    assert words == {"shock", "heat and flash", "start and reflex"}
    assert capacitors.hazards(1e-9, 1.0) == ()


def test_thresholds_carry_their_standing():
    assert entry("intake", "shock_energy").standing == "published"
    assert entry("intake", "reflex_energy").standing == "published-second-hand"


def test_the_module_tells_to_measure_and_that_it_gives_no_permission():
    text = inspect.getdoc(capacitors) + inspect.getdoc(capacitors.hazards)
    assert "do not permit" in text
    assert "measure" in text


@pytest.mark.parametrize("voltage", [0.0, 401.0])
def test_a_voltage_that_is_never_reached_is_refused(voltage):
    with pytest.raises(ValueError, match="voltage"):
        capacitors.time_to_voltage(voltage, 470e-6, 10e3, 400)


def test_no_resistor_makes_a_time_out_of_no_drop():
    with pytest.raises(ValueError, match="start voltage"):
        capacitors.discharge_resistance(5, 400, 470e-6, 400)
