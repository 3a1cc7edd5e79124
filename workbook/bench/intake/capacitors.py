r"""Stored charge: the energy in a capacitor, how long a resistor takes to drain it, and what the resistor bears.

Everything here is for a unit that is unplugged. The numbers inform; they do not permit. Local electrical code, the
site's safety officer and licensed practice decide who opens a mains-fed supply and how. The habit that no formula
replaces: unplug, wait, discharge through a rated and insulated resistor, *measure*, and only then touch. A bleeder that
is calculated may be open; a capacitor that was drained may recover some of its voltage.
"""

import numpy as np

from workbook.bench import checks
from workbook.references import value

__all__ = [
    "discharge_resistance",
    "hazards",
    "peak_current",
    "peak_power",
    "stored_energy",
    "time_to_voltage",
    "voltage_after",
]


def stored_energy(capacitance, voltage):
    r"""Return the energy stored in a charged capacitor.

    .. math:: E = \tfrac12 C V^2

    Parameters
    ----------
    capacitance : float or array
        Capacitance, above zero [F].
    voltage : float or array
        Voltage across it, 0 or more [V].

    Returns
    -------
    float or array
        Energy [J].

    References
    ----------
    Capacitor discharge calculator page (published second-hand): 470 uF at 400 V, printed 37.6 J. Pulse-circuit design
    sheet of 2005 (published second-hand): 195 uF at 1500 V, printed 219.4 J.

    Examples
    --------
    >>> f"{stored_energy(470e-6, 400):.1f}", f"{stored_energy(195e-6, 1500):.1f}"
    ('37.6', '219.4')
    """
    capacitance, voltage = checks.floats(capacitance, voltage)
    checks.above("capacitance", capacitance, 0, "F")
    checks.at_least("voltage", voltage, 0, "V")
    return capacitance * np.square(voltage) / 2


def voltage_after(time, capacitance, resistance, start_voltage):
    r"""Return the voltage left on a capacitor after draining through a resistor.

    .. math:: V = V_0 \, e^{-t / RC}

    An ideal capacitor and a resistor that stays connected and whole; measure before believing it.

    Parameters
    ----------
    time : float or array
        Time since the resistor was connected, 0 or more [s].
    capacitance : float or array
        Capacitance, above zero [F].
    resistance : float or array
        Discharge resistance, above zero [ohm].
    start_voltage : float or array
        Voltage at the start, 0 or more [V].

    Returns
    -------
    float or array
        Voltage left [V].

    References
    ----------
    Repair page on discharging supply capacitors (published-unnamed): 100 uF at 300 V through 10 kohm, after 3 s 15 V.

    Examples
    --------
    >>> f"{voltage_after(3, 100e-6, 10e3, 300):.0f}"
    '15'
    """
    time, capacitance, resistance, start_voltage = checks.floats(time, capacitance, resistance, start_voltage)
    checks.at_least("time", time, 0, "s")
    checks.at_least("start voltage", start_voltage, 0, "V")
    return start_voltage * np.exp(-np.asarray(time, float) / _time_constant(capacitance, resistance))


def time_to_voltage(voltage, capacitance, resistance, start_voltage):
    r"""Return how long a resistor takes to drain a capacitor to a voltage.

    .. math:: t = R C \ln(V_0 / V)

    Parameters
    ----------
    voltage : float or array
        Voltage to reach, above zero and at most the start voltage [V].
    capacitance : float or array
        Capacitance, above zero [F].
    resistance : float or array
        Discharge resistance, above zero [ohm].
    start_voltage : float or array
        Voltage at the start, above zero [V].

    Returns
    -------
    float or array
        Time [s].

    References
    ----------
    Capacitor discharge calculator page (published second-hand): 470 uF, 10 kohm, 400 V to 50 V, printed 9.8 s.
    Pulse-circuit design sheet of 2005 (published second-hand): 195 uF, 50 ohm, 1500 V to 320 V, printed 0.01506 s.

    Examples
    --------
    >>> f"{time_to_voltage(50, 470e-6, 10e3, 400):.1f}", f"{time_to_voltage(320, 195e-6, 50, 1500):.5f}"
    ('9.8', '0.01506')
    """
    voltage, capacitance, resistance, start_voltage = checks.floats(voltage, capacitance, resistance, start_voltage)
    return _time_constant(capacitance, resistance) * _decades(voltage, start_voltage)


def discharge_resistance(time, voltage, capacitance, start_voltage):
    r"""Return the largest resistance that drains a capacitor to a voltage within a time.

    .. math:: R = \frac{t}{C \ln(V_0 / V)}

    A smaller resistor is quicker and hotter: look at :func:`peak_power` before choosing one.

    Parameters
    ----------
    time : float or array
        Time allowed, above zero [s].
    voltage : float or array
        Voltage to reach, above zero and below the start voltage [V].
    capacitance : float or array
        Capacitance, above zero [F].
    start_voltage : float or array
        Voltage at the start, above zero [V].

    Returns
    -------
    float or array
        Largest resistance [ohm].

    References
    ----------
    Inverse of :func:`time_to_voltage`. IEC 60204-1 clause 6.2.4 (second-hand): machine parts at 60 V
    within 5 s.

    Examples
    --------
    470 uF from 400 V to 60 V in 5 s (computed):

    >>> f"{discharge_resistance(5, 60, 470e-6, 400):.0f}"
    '5608'
    """
    time, voltage, capacitance, start_voltage = checks.floats(time, voltage, capacitance, start_voltage)
    checks.above("time", time, 0, "s")
    checks.above("capacitance", capacitance, 0, "F")
    decades = _decades(voltage, start_voltage)
    checks.above("start voltage / voltage", np.exp(decades), 1)
    return time / (capacitance * decades)


def peak_current(voltage, resistance):
    r"""Return the current at the moment the discharge resistor is connected, the largest it will carry.

    .. math:: I_0 = V_0 / R

    Parameters
    ----------
    voltage : float or array
        Voltage at the start, 0 or more [V].
    resistance : float or array
        Discharge resistance, above zero [ohm].

    Returns
    -------
    float or array
        Current [A].

    References
    ----------
    Ohm's law.

    Examples
    --------
    400 V on 10 kohm:

    >>> f"{peak_current(400, 10e3):.3f}"
    '0.040'
    """
    voltage, resistance = checks.floats(voltage, resistance)
    checks.at_least("voltage", voltage, 0, "V")
    checks.above("resistance", resistance, 0, "ohm")
    return voltage / resistance


def peak_power(voltage, resistance):
    r"""Return the power in the discharge resistor at the moment it is connected.

    .. math:: P_0 = V_0^2 / R

    Parameters
    ----------
    voltage : float or array
        Voltage at the start, 0 or more [V].
    resistance : float or array
        Discharge resistance, above zero [ohm].

    Returns
    -------
    float or array
        Power [W].

    References
    ----------
    Pulse-circuit design sheet of 2005 (published second-hand): 1500 V on 50 ohm, printed 45 kW.

    Examples
    --------
    >>> f"{peak_power(1500, 50) / 1e3:.0f} kW", f"{peak_power(400, 10e3):.0f} W"
    ('45 kW', '16 W')
    """
    voltage, resistance = checks.floats(voltage, resistance)
    return voltage * peak_current(voltage, resistance)


def hazards(capacitance, voltage):
    r"""Return the published hazard thresholds that a charged capacitor reaches.

    .. math:: V \ge 100\,\mathrm{V} \wedge E \ge 10\,\mathrm{J} \;\text{(shock)}, \qquad
              V < 100\,\mathrm{V} \wedge E > 100\,\mathrm{J} \;\text{(heat and flash)}, \qquad
              V > 400\,\mathrm{V} \wedge E > 0.25\,\mathrm{J} \;\text{(start and reflex)}

    An empty answer means that none of these thresholds is reached. It does not mean that the capacitor may be
    touched: a jerk of the hand, a burnt probe tip and a ruined board happen far below them. Whatever the answer,
    unplug, discharge through a rated resistor and measure. This informs; it gives no permission.

    Parameters
    ----------
    capacitance : float
        Capacitance, above zero [F].
    voltage : float
        Voltage across it, 0 or more [V].

    Returns
    -------
    tuple of str
        Thresholds reached, of ``"shock"``, ``"heat and flash"`` and ``"start and reflex"`` [1].

    References
    ----------
    Lawrence Berkeley National Laboratory, Electrical Safety Manual, Tables 2.2.13 (shock) and 2.3.5 (thermal). The
    start-and-reflex line is from a page on capacitor hazards (second-hand).

    Examples
    --------
    The bulk capacitor of a mains supply, and the 64 J it takes at 16 V to fall outside every line:

    >>> hazards(470e-6, 400)
    ('shock',)
    >>> hazards(0.5, 16)
    ()
    """
    checks.single(capacitance=capacitance, voltage=voltage)
    energy = stored_energy(capacitance, voltage)
    reached = {
        "shock": voltage >= value("intake", "shock_voltage") and energy >= value("intake", "shock_energy"),
        "heat and flash": voltage < value("intake", "shock_voltage") and energy > value("intake", "thermal_energy"),
        "start and reflex": voltage > value("intake", "reflex_voltage") and energy > value("intake", "reflex_energy"),
    }
    return tuple(name for name, is_reached in reached.items() if is_reached)


def _time_constant(capacitance, resistance):
    checks.above("capacitance", capacitance, 0, "F")
    checks.above("resistance", resistance, 0, "ohm")
    return capacitance * resistance


def _decades(voltage, start_voltage):
    checks.above("voltage", voltage, 0, "V")
    checks.at_least("start voltage - voltage", np.subtract(start_voltage, voltage), 0, "V")
    return np.log(np.divide(start_voltage, voltage))
