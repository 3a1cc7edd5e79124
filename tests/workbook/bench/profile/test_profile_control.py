"""Tuning rules give the published settings, and a loop tuned by them settles."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from workbook.bench.profile import control
from workbook.references import value

positive = st.floats(0.1, 500)


def test_ultimate_settings_have_the_published_shares():
    for kind, key in (("P", "p"), ("PI", "pi"), ("PID", "pid")):
        share = value("profile", f"ziegler_nichols_{key}_gain_ultimate")
        assert control.ziegler_nichols_ultimate(10, 60, kind).gain == pytest.approx(10 * share)
    assert control.ziegler_nichols_ultimate(10, 60, "PI")[1:] == (50, None)
    assert control.ziegler_nichols_ultimate(10, 60, "PID")[1:] == (30, 7.5)
    assert control.ziegler_nichols_ultimate(10, 60, "P")[1:] == (None, None)


def test_reaction_settings_have_the_published_factors():
    gain, integral, derivative = value("profile", "ziegler_nichols_pid_reaction")
    found = control.ziegler_nichols_reaction(1.8, 12, 150)
    assert found == pytest.approx((gain * 150 / (1.8 * 12), integral * 12, derivative * 12))
    gain, integral = value("profile", "ziegler_nichols_pi_reaction")
    found = control.ziegler_nichols_reaction(1.8, 12, 150, "PI")
    assert found[:2] == pytest.approx((gain * 150 / (1.8 * 12), integral * 12))
    assert control.ziegler_nichols_reaction(1.8, 12, 150, "P") == (pytest.approx(150 / (1.8 * 12)), None, None)


def test_a_heater_plate_tuned_by_both_rules():
    gain, integral, derivative = control.ziegler_nichols_reaction(1.8, 12, 150)
    assert (round(gain, 2), integral, derivative) == (8.33, 24, 6)
    gain, integral, _ = control.simc(1.8, 12, 150)
    assert (round(gain, 2), integral) == (3.47, 96)


def test_simc_keeps_the_lag_where_it_is_the_shorter():
    factor = value("profile", "simc_integral_factor")
    assert control.simc(1.8, 12, 60).integral_time == 60
    assert control.simc(1.8, 12, 1e4).integral_time == factor * (12 + 12)
    assert control.simc(1.8, 12, 1e4, 30).integral_time == factor * (30 + 12)


@given(positive, positive, positive, st.floats(1, 10))
def test_a_slower_wanted_loop_gets_less_gain(gain, dead_time, lag, slower):
    assert control.simc(gain, dead_time, lag, slower * dead_time).gain <= control.simc(gain, dead_time, lag).gain


@given(positive, st.floats(1, 100), st.floats(1, 400))
def test_the_rules_do_not_care_about_the_unit_of_output(gain, dead_time, lag):
    for rule in (control.ziegler_nichols_reaction, control.simc):
        assert rule(100 * gain, dead_time, lag).gain == pytest.approx(rule(gain, dead_time, lag).gain / 100)


@pytest.mark.parametrize("ratio", [2.0, 5.0, 12.5])
def test_half_the_ultimate_gain_is_near_the_reaction_rule_for_the_same_plate(ratio):
    dead_time, lag, gain = 12.0, 12.0 * ratio, 1.8
    # The loop of a lag and a dead time swings where the phase is half a turn.
    omega = optimize.brentq(lambda w: np.arctan(w * lag) + w * dead_time - np.pi, 1e-6, np.pi / dead_time)
    ultimate = np.hypot(1, omega * lag) / gain
    by_swing = control.ziegler_nichols_ultimate(ultimate, 2 * np.pi / omega, "PI")
    by_step = control.ziegler_nichols_reaction(gain, dead_time, lag, "PI")
    assert by_swing.gain == pytest.approx(by_step.gain, rel=0.35)
    assert by_swing.integral_time == pytest.approx(by_step.integral_time, rel=0.35)


@pytest.mark.parametrize("lag", [60.0, 150.0])
def test_a_plate_tuned_by_simc_settles_without_much_overshoot(lag):
    gain, dead_time, step = 1.8, 12.0, 0.1
    tuning = control.simc(gain, dead_time, lag)
    delay = [0.0] * round(dead_time / step)
    plate, integral, seen = 0.0, 0.0, []
    for _ in range(round(12 * lag / step)):
        error = 1 - plate
        integral += error * step / tuning.integral_time
        delay.append(tuning.gain * (error + integral))
        plate += step * (gain * delay.pop(0) - plate) / lag
        seen.append(plate)
    assert seen[-1] == pytest.approx(1, abs=0.01)
    assert max(seen) < 1.35


def test_a_setpoint_scales_rises_above_ambient_and_not_temperatures():
    assert control.setpoint_for_joint(235, 25, 280, 200) == pytest.approx(331, abs=0.05)
    assert control.setpoint_for_joint(200, 25, 280, 200) == 280
    assert control.setpoint_for_joint(25, 25, 280, 200) == 25


@given(st.floats(-20, 40), st.floats(1.05, 3), st.floats(100, 260), st.floats(100, 260))
def test_a_reading_at_the_new_setpoint_leads_back_to_the_old_one(ambient, ratio, joint, wanted):
    setpoint = ambient + ratio * (joint - ambient)
    new = control.setpoint_for_joint(wanted, ambient, setpoint, joint)
    assert control.setpoint_for_joint(joint, ambient, new, wanted) == pytest.approx(setpoint)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: control.ziegler_nichols_ultimate(1, 1, "PD"), "kind must be one of P, PI, PID"),
        (lambda: control.ziegler_nichols_reaction(0, 12, 150), "process gain must be above 0"),
        (lambda: control.simc(1.8, 0, 150), "dead time must be above 0"),
        (lambda: control.simc(1.8, 12, 150, -1), "closed loop time must be at least 0"),
        (lambda: control.setpoint_for_joint(235, 25, 280, 25), "rise of the joint above ambient must be above 0"),
    ],
)
def test_what_cannot_be_tuned_is_refused_in_words(ask, words):
    with pytest.raises(ValueError, match=words):
        ask()
