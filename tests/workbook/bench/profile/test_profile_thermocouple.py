"""Type K is the published function both ways, and a bead tells the gas temperature late."""

import numpy as np
import pytest
import thermocouple_its90
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from workbook.bench.profile import films, thermocouple
from workbook.references import entry, value

temperatures = st.floats(-270, 1372)
emfs = st.floats(-6.457e-3, 54.88e-3)


# The function


def test_emf_has_the_digits_of_the_published_coefficients():
    coefficients = value("profile", "type_k_coefficients")
    a0, a1, a2 = value("profile", "type_k_exponential")
    t = np.linspace(0, 1372, 200)
    published = sum(c * t**power for power, c in enumerate(coefficients)) + a0 * np.exp(a1 * (t - a2) ** 2)
    assert 1e3 * thermocouple.emf(t) == pytest.approx(published, abs=1e-9)


@pytest.mark.parametrize("key", ["type_k_emf_300", "type_k_emf_112"])
def test_emf_gives_the_published_table(key):
    at = float(key.rpartition("_")[2])
    assert round(1e3 * thermocouple.emf(at), 3) == value("profile", key)


@pytest.mark.parametrize(("t", "mv"), value("profile", "type_k_emf_points"))
def test_emf_at_the_temperatures_of_the_bench(t, mv):
    assert 1e3 * thermocouple.emf(t) == pytest.approx(mv, abs=0.0005001)


@pytest.mark.parametrize(("t", "microvolt"), value("profile", "type_k_seebeck_points"))
def test_seebeck_at_the_temperatures_of_the_bench(t, microvolt):
    assert 1e6 * thermocouple.seebeck(t) == pytest.approx(microvolt, abs=0.0051)


def test_seebeck_is_least_at_186_degrees():
    t = np.arange(100, 300)
    assert t[np.argmin(thermocouple.seebeck(t))] == 186


def test_the_published_inverse_polynomial_is_within_its_band_of_our_exact_inverse():
    mv = np.linspace(0, 20.644, 500)
    published = sum(d * mv**power for power, d in enumerate(value("profile", "type_k_inverse_0_500")))
    error = published - thermocouple.temperature_c(1e-3 * mv)
    assert error.min() >= -0.05
    assert error.max() <= 0.04
    assert np.ptp(error) > 0.02  # the polynomial is an approximation: a copy of it would show no error


@given(temperatures)
def test_emf_and_seebeck_agree_with_an_independent_library(t):
    assert 1e3 * thermocouple.emf(t) == pytest.approx(thermocouple_its90.TypeK.emf(t), abs=1e-7)
    assert 1e3 * thermocouple.seebeck(t) == pytest.approx(thermocouple_its90.TypeK.seebeck(t), abs=1e-7)


@given(st.floats(-200, 1372))
def test_temperature_agrees_with_an_independent_library(t):
    mv = thermocouple_its90.TypeK.emf(t)
    assert thermocouple.temperature_c(1e-3 * mv) == pytest.approx(thermocouple_its90.TypeK.temperature(mv), abs=1e-4)


@given(emfs)
def test_emf_of_the_temperature_of_an_emf_is_that_emf(e):
    assert thermocouple.emf(thermocouple.temperature_c(e)) == pytest.approx(e, abs=1e-11)


@given(temperatures, temperatures)
def test_a_hotter_junction_gives_more_emf(one, other):
    if abs(one - other) > 1e-3:
        assert (thermocouple.emf(one) < thermocouple.emf(other)) == (one < other)


def test_the_two_ranges_meet_at_zero():
    assert thermocouple.emf(0) == pytest.approx(0, abs=1e-9)
    assert thermocouple.emf(-1e-6) == pytest.approx(thermocouple.emf(1e-6), abs=1e-9)


@pytest.mark.parametrize("t", [-271, 1373, float("nan")])
def test_a_temperature_outside_the_function_is_refused(t):
    with pytest.raises(ValueError, match="temperature must be from -270 to 1372 °C"):
        thermocouple.emf(t)


def test_an_emf_outside_the_function_is_refused():
    with pytest.raises(ValueError, match="emf must be from"):
        thermocouple.temperature_c(60e-3)


def test_arrays_go_in_and_out():
    t = np.array([-100.0, 25.0, 217.0])
    assert thermocouple.temperature_c(thermocouple.emf(t)) == pytest.approx(t)
    assert isinstance(thermocouple.emf(25), float)


# The cold junction


def test_a_joint_is_read_by_adding_emfs():
    assert thermocouple.junction_temperature_c(8.000e-3, 25) == pytest.approx(221.5, abs=0.05)


@given(st.floats(0, 400), st.floats(0, 60))
def test_the_meter_of_a_cold_junction_does_not_change_the_joint(joint, terminals):
    measured = thermocouple.emf(joint) - thermocouple.emf(terminals)
    assert thermocouple.junction_temperature_c(measured, terminals) == pytest.approx(joint, abs=1e-6)
    independent = thermocouple_its90.TypeK.temperature(1e3 * measured, reference=terminals)
    assert thermocouple.junction_temperature_c(measured, terminals) == pytest.approx(independent, abs=1e-4)


def test_the_printed_emf_of_a_furnace_with_warm_terminals_is_a_trap():
    trap = entry("profile", "trap_type_k_terminals")
    millivolt = 1e3 * (thermocouple.emf(700) - thermocouple.emf((70 - 32) / 1.8))
    assert millivolt == pytest.approx(trap.value, abs=0.0006)
    assert abs(millivolt - trap.printed) > 0.05


# Calibration, tolerance, bead


def test_two_fixed_points_put_both_readings_right_and_what_lies_between():
    line = thermocouple.calibrate(2.0, 0.0, 189.0, 183.0)
    assert thermocouple.corrected(np.array([2.0, 189.0]), line) == pytest.approx([0, 183])
    assert thermocouple.corrected(225.0, line) == pytest.approx(183 * 223 / 187)


def test_two_equal_readings_calibrate_nothing():
    with pytest.raises(ValueError, match="upper reading must be above"):
        thermocouple.calibrate(10, 0, 10, 183)


@pytest.mark.parametrize("tolerance_class", [1, 2])
def test_tolerance_is_the_greater_of_both_parts_and_they_meet_at_the_knee(tolerance_class):
    fixed = value("profile", f"type_k_class_{tolerance_class}_tolerance")
    share = value("profile", f"type_k_class_{tolerance_class}_share")
    knee = fixed / share
    assert thermocouple.tolerance(np.array([183, 217, 260]), tolerance_class) == pytest.approx([fixed] * 3)
    assert thermocouple.tolerance(knee, tolerance_class) == pytest.approx(fixed)
    assert thermocouple.tolerance(2 * knee, tolerance_class) == pytest.approx(2 * fixed)
    assert thermocouple.tolerance(-40, tolerance_class) == fixed


def test_a_catalogue_that_calls_the_wider_band_class_one_is_a_trap():
    trap = entry("profile", "trap_class_1_label")
    assert thermocouple.tolerance(217, 1) == trap.value
    assert thermocouple.tolerance(217, 2) == trap.printed


@pytest.mark.parametrize(("t", "tolerance_class"), [(-41, 1), (1001, 1), (1201, 2), (25, 3), (25, "1")])
def test_tolerance_outside_its_class_is_refused(t, tolerance_class):
    with pytest.raises(ValueError, match="must be"):
        thermocouple.tolerance(t, tolerance_class)


def test_the_bead_of_the_textbook_has_one_second():
    diameter = 6 * 400 * 1.0 / (8500 * 400)
    assert diameter == pytest.approx(value("profile", "bead_diameter_case"), rel=1e-3)
    assert thermocouple.bead_time_constant(diameter, 8500, 400, 400) == pytest.approx(1.0)


def test_a_bead_of_half_a_millimetre_is_four_kelvin_late_at_two_kelvin_a_second():
    tau = thermocouple.bead_time_constant(0.5e-3, 8500, 400, 150)
    assert tau == pytest.approx(1.89, abs=0.005)
    assert thermocouple.bead_lag(tau, 2.0) == pytest.approx(3.8, abs=0.03)


@given(st.floats(0.2, 20), st.floats(-5, 5), st.floats(0, 60))
def test_lag_is_what_the_first_order_equation_gives(tau, ramp, time):
    solved = integrate.solve_ivp(lambda t, lag: ramp - lag / tau, (0, time), [0.0], rtol=1e-9, atol=1e-10).y[0, -1]
    assert thermocouple.bead_lag(tau, ramp, time) == pytest.approx(solved, abs=1e-6)


def test_lag_settles_to_ramp_times_time_constant():
    assert thermocouple.bead_lag(2.0, 3.0) == 6.0
    assert thermocouple.bead_lag(2.0, 3.0, 0) == 0
    with pytest.raises(ValueError, match="time must be at least 0"):
        thermocouple.bead_lag(2.0, 3.0, -1)


def test_a_bead_among_hot_walls_reads_more_than_the_gas():
    answer = entry("profile", "bead_radiation_case")
    read = films.bead_equilibrium_c(200, 400, 400, 0.9)
    assert read == pytest.approx(answer.value, abs=0.01)
    assert abs(read - entry("profile", "trap_bead_among_walls").printed) > 0.9


def test_the_time_of_the_bead_among_hot_walls_is_that_of_its_balance():
    final = films.bead_equilibrium_c(200, 400, 400, 0.9)
    diameter = 6 * 400 / (8500 * 400)

    def rate(_, bead):
        gained = 400 * (200 - bead) - films.radiation_flux(0.9, bead, 400)
        return 6 * gained / (8500 * 400 * diameter)

    def near(_, bead):
        return bead[0] - (final - 1)

    near.terminal = True
    reached = integrate.solve_ivp(rate, (0, 20), [25.0], events=near, rtol=1e-8).t[-1]
    assert reached == pytest.approx(value("profile", "bead_radiation_time_case"), abs=0.05)


@given(st.floats(0, 400), st.floats(0, 600), st.floats(5, 500), st.floats(0, 1))
def test_a_bead_reads_between_gas_and_walls_and_keeps_the_balance(gas, walls, film, emissivity):
    read = films.bead_equilibrium_c(gas, walls, film, emissivity)
    assert min(gas, walls) - 1e-9 <= read <= max(gas, walls) + 1e-9
    assert film * (gas - read) == pytest.approx(films.radiation_flux(emissivity, read, walls), abs=1e-5)
