"""Setting a heater: tuning rules for its controller, and the setpoint that puts the joint where it should be."""

from typing import NamedTuple

from workbook.bench import checks

__all__ = ["Tuning", "setpoint_for_joint", "simc", "ziegler_nichols_reaction", "ziegler_nichols_ultimate"]


class Tuning(NamedTuple):
    """Settings of a PID controller: gain, integral time [s], derivative time [s]; None where there is no such action.

    The gain is in the unit of the controller's output over kelvin, such as %/K.
    """

    gain: float
    integral_time: float | None
    derivative_time: float | None


_ULTIMATE = {"P": (0.5, None, None), "PI": (0.45, 1 / 1.2, None), "PID": (0.6, 1 / 2, 1 / 8)}
_REACTION = {"P": (1.0, None, None), "PI": (0.9, 3.3, None), "PID": (1.2, 2.0, 0.5)}


def ziegler_nichols_ultimate(ultimate_gain, ultimate_period, kind="PID"):
    r"""Return the controller settings from the gain at which the loop just keeps swinging.

    .. math:: P: 0.5 K_u; \quad PI: 0.45 K_u, T_i = P_u / 1.2; \quad PID: 0.6 K_u, T_i = P_u / 2, T_d = P_u / 8

    Parameters
    ----------
    ultimate_gain : float or array
        Gain of steady swinging, above zero [%/K].
    ultimate_period : float or array
        Period of the swing, above zero [s].
    kind : {"P", "PI", "PID"}, default "PID"
        Controller [1].

    Returns
    -------
    Tuning
        Gain [%/K], integral time [s], derivative time [s].

    References
    ----------
    Ziegler and Nichols, Trans. ASME 64 (1942) 759-768.

    Examples
    --------
    >>> ziegler_nichols_ultimate(10, 40)
    Tuning(gain=6.0, integral_time=20.0, derivative_time=5.0)
    """
    ultimate_gain, ultimate_period = checks.floats(ultimate_gain, ultimate_period)
    checks.above("ultimate gain", ultimate_gain, 0, "%/K")
    checks.above("ultimate period", ultimate_period, 0, "s")
    return _tuning(_ULTIMATE, kind, ultimate_gain, ultimate_period)


def ziegler_nichols_reaction(process_gain, dead_time, lag, kind="PID"):
    r"""Return the controller settings from the response of the heater to one step of power.

    .. math:: P: \frac{T}{K L}; \quad PI: \frac{0.9 T}{K L}, T_i = 3.3 L; \quad
       PID: \frac{1.2 T}{K L}, T_i = 2 L, T_d = 0.5 L

    Parameters
    ----------
    process_gain : float or array
        Final rise over step of output, above zero [K/%].
    dead_time : float or array
        Time before anything happens, above zero [s].
    lag : float or array
        Time constant of the rise, above zero [s].
    kind : {"P", "PI", "PID"}, default "PID"
        Controller [1].

    Returns
    -------
    Tuning
        Gain [%/K], integral time [s], derivative time [s].

    References
    ----------
    Ziegler and Nichols, Trans. ASME 64 (1942) 759-768.

    Examples
    --------
    A plate of 1.8 K/%, 12 s dead time and 150 s lag (computed):

    >>> gain, integral_time, derivative_time = ziegler_nichols_reaction(1.8, 12, 150)
    >>> f"{gain:.2f} %/K, {integral_time:g} s, {derivative_time:g} s"
    '8.33 %/K, 24 s, 6 s'
    """
    process_gain, dead_time, lag = checks.floats(process_gain, dead_time, lag)
    _hold_response(process_gain, dead_time, lag)
    return _tuning(_REACTION, kind, lag / (process_gain * dead_time), dead_time)


def simc(process_gain, dead_time, lag, closed_loop_time=None):
    r"""Return the settings of a PI controller for a wanted speed of the closed loop.

    .. math:: K_c = \frac{T}{k (\tau_c + \theta)}, \qquad \tau_I = \min(T, 4 (\tau_c + \theta))

    Parameters
    ----------
    process_gain : float
        Final rise over step of output, above zero [K/%].
    dead_time : float
        Time before anything happens, above zero [s].
    lag : float
        Time constant of the rise, above zero [s].
    closed_loop_time : float or None, default None
        Wanted time constant of the closed loop, at least zero; the dead time, which is tight, if not given [s].

    Returns
    -------
    Tuning
        Gain [%/K] and integral time [s]; no derivative action.

    References
    ----------
    Skogestad, J. Process Control 13 (2003) 291-309.

    Examples
    --------
    The same plate (computed):

    >>> gain, integral_time, _ = simc(1.8, 12, 150)
    >>> f"{gain:.2f} %/K, {integral_time:g} s"
    '3.47 %/K, 96 s'
    """
    checks.single(process_gain=process_gain, dead_time=dead_time, lag=lag)
    process_gain, dead_time, lag = checks.floats(process_gain, dead_time, lag)
    _hold_response(process_gain, dead_time, lag)
    wanted = dead_time if closed_loop_time is None else closed_loop_time
    checks.at_least("closed loop time", wanted, 0, "s")
    return Tuning(lag / (process_gain * (wanted + dead_time)), min(lag, 4 * (wanted + dead_time)), None)


def setpoint_for_joint(wanted_c, ambient_c, setpoint_c, joint_c):
    r"""Return the heater setpoint that brings the joint to a wanted temperature, from one steady reading.

    .. math:: T_\text{set} = T_a + (T_\text{wanted} - T_a) \frac{T_\text{set,1} - T_a}{T_\text{joint,1} - T_a}

    Steady and linear: rises above ambient keep their ratio. Radiation grows faster, so check with a thermocouple.

    Parameters
    ----------
    wanted_c : float or array
        Wanted temperature of the joint [°C].
    ambient_c : float or array
        Temperature of the room [°C].
    setpoint_c : float or array
        Setpoint of the reading [°C].
    joint_c : float or array
        Joint temperature of the reading, above the room's [°C].

    Returns
    -------
    float or array
        Setpoint [°C].

    References
    ----------
    Linear scaling from ambient (computed).

    Examples
    --------
    280 gives 200 at the joint; 235 is wanted (computed):

    >>> f"{setpoint_for_joint(235, 25, 280, 200):.0f}"
    '331'
    """
    wanted_c, ambient_c, setpoint_c, joint_c = checks.floats(wanted_c, ambient_c, setpoint_c, joint_c)
    checks.finite("wanted_c", wanted_c, "°C")
    checks.finite("setpoint_c", setpoint_c, "°C")
    checks.above("rise of the joint above ambient", joint_c - ambient_c, 0, "K")
    return ambient_c + (wanted_c - ambient_c) * (setpoint_c - ambient_c) / (joint_c - ambient_c)


def _hold_response(process_gain, dead_time, lag):
    checks.above("process gain", process_gain, 0, "K/%")
    checks.above("dead time", dead_time, 0, "s")
    checks.above("lag", lag, 0, "s")


def _tuning(rules, kind, gain, time):
    if kind not in rules:
        raise ValueError(f"kind must be one of {', '.join(rules)} (got {kind!r})")
    share, integral, derivative = rules[kind]
    return Tuning(
        share * gain, None if integral is None else integral * time, None if derivative is None else derivative * time
    )
