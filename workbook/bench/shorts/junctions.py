"""What a meter makes of semiconductors: junctions in diode mode, and the leakage of a large circuit that is off.

A silicon rail is no resistor. Its reading depends on the test current, the polarity and above all the temperature.
"""

import numpy as np
from scipy import constants, special

from workbook.bench import checks

__all__ = [
    "diode_current",
    "diode_mode_reading",
    "diode_voltage",
    "leakage_behind",
    "leakage_when_warm",
    "off_state_reading",
    "running_resistance",
    "thermal_voltage",
    "voltage_step",
]


def thermal_voltage(temperature_c=25.0):
    r"""Return the voltage that sets the scale of every junction.

    .. math:: V_T = kT/q

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the junction, above absolute zero [°C].

    Returns
    -------
    float or array
        Thermal voltage [V].

    References
    ----------
    Page on the diode equation (published second-hand): 25.8 mV at 300 K, cut from 25.85. CODATA constants.

    Examples
    --------
    >>> f"{1e3 * thermal_voltage(300 - 273.15):.1f} mV"
    '25.9 mV'
    """
    checks.above("temperature", temperature_c, -constants.zero_Celsius, "°C")
    return constants.k / constants.e * np.add(temperature_c, constants.zero_Celsius)


def diode_current(voltage, saturation=1e-14, temperature_c=27.0, ideality=1.0):
    r"""Return the current of a junction.

    .. math:: I = I_s \left[\exp\frac{V}{n V_T} - 1\right]

    No series resistance, no breakdown.

    Parameters
    ----------
    voltage : float or array
        Across the junction, forward positive, below 100 thermal voltages [V].
    saturation : float or array
        Saturation current at this temperature, above zero [A]. The default is that of circuit simulators at 27 °C.
    temperature_c : float or array
        Temperature of the junction, above absolute zero [°C].
    ideality : float or array
        Ideality factor, from 1 to 2 [1].

    Returns
    -------
    float or array
        Forward current [A].

    References
    ----------
    Manuals of two circuit simulators (published second-hand), diode model; the example is computed.

    Examples
    --------
    >>> f"{1e3 * diode_current(0.6551):.2f} mA"
    '1.00 mA'
    """
    scale = _scale(saturation, temperature_c, ideality)
    exponent = np.divide(voltage, scale)
    checks.between("voltage over n VT", exponent, -np.inf, 100)
    return saturation * np.expm1(exponent)


def diode_voltage(current, saturation=1e-14, temperature_c=27.0, ideality=1.0):
    r"""Return the forward voltage of a junction at a current.

    .. math:: V = n V_T \ln(1 + I/I_s)

    Parameters
    ----------
    current : float or array
        Forward current, at least zero [A].
    saturation, temperature_c, ideality : float or array
        As for `diode_current` [A], [°C], [1].

    Returns
    -------
    float or array
        Voltage across the junction [V].

    References
    ----------
    Manuals of two circuit simulators (published second-hand), diode model; the values are computed.

    Examples
    --------
    >>> [f"{diode_voltage(current):.4f}" for current in (0.1e-3, 0.5e-3, 1e-3, 1.5e-3)]
    ['0.5956', '0.6372', '0.6551', '0.6656']
    """
    checks.at_least("current", current, 0, "A")
    return _scale(saturation, temperature_c, ideality) * np.log1p(np.divide(current, saturation))


def voltage_step(current_ratio, temperature_c=25.0, ideality=1.0):
    r"""Return how much a forward voltage grows when the current is multiplied.

    .. math:: \Delta V = n V_T \ln r

    So two equal junctions side by side read one step of 1/2 lower, and a meter of another test current reads a step
    apart: compare on the same meter.

    Parameters
    ----------
    current_ratio : float or array
        New current over old, above zero [1].
    temperature_c, ideality : float or array
        As for `diode_current` [°C], [1].

    Returns
    -------
    float or array
        Change of voltage [V].

    References
    ----------
    Diode equation; 59 mV a decade and 18 mV an octave are computed.

    Examples
    --------
    >>> f"{1e3 * voltage_step(10):.1f} mV a decade, {1e3 * voltage_step(2):.1f} mV an octave"
    '59.2 mV a decade, 17.8 mV an octave'
    """
    current_ratio, temperature_c, ideality = checks.floats(current_ratio, temperature_c, ideality)
    checks.above("current ratio", current_ratio, 0)
    return _scale(1.0, temperature_c, ideality) * np.log(current_ratio)


def diode_mode_reading(test_current, leak=np.inf, junctions=1, saturation=1e-14, temperature_c=27.0, ideality=1.0):
    r"""Return what diode mode shows on equal junctions side by side with a leak across them.

    .. math:: I_t = m I_s \left[\exp\frac{V}{n V_T} - 1\right] + \frac{V}{R}

    A good reading hides a leak of a kilohm; below some 500 ohm the junction never turns on and the meter shows
    ``I R``. The meter is taken as a perfect current source: no overload.

    Parameters
    ----------
    test_current : float or array
        Test current of the meter, above zero [A].
    leak : float or array
        Resistance across the junctions, above zero, infinite for none [ohm].
    junctions : float or array
        Number of equal junctions side by side, at least 1 [1].
    saturation, temperature_c, ideality : float or array
        As for `diode_current` [A], [°C], [1].

    Returns
    -------
    float or array
        Voltage shown [V].

    References
    ----------
    Diode equation with a parallel resistor, solved by the Wright omega function; the values are computed.

    Examples
    --------
    At 1 mA with 350 ohm across, with 1 kohm across, and two junctions:

    >>> [f"{reading:.3f}" for reading in (
    ...     diode_mode_reading(1e-3, 350.0), diode_mode_reading(1e-3, 1000.0), diode_mode_reading(1e-3, junctions=2))]
    ['0.350', '0.629', '0.637']
    """
    checks.above("test current", test_current, 0, "A")
    checks.above("leak", np.where(np.isposinf(leak), 1, leak), 0, "ohm")
    checks.at_least("junctions", junctions, 1)
    bundle = np.multiply(junctions, saturation)
    scale = _scale(saturation, temperature_c, ideality)
    finite = np.where(np.isposinf(leak), 1.0, leak)
    through_leak = np.log(finite * bundle / scale)
    share = special.wrightomega(through_leak + finite * (test_current + bundle) / scale)
    leaking = scale * (np.log(share) - through_leak)
    return np.where(np.isposinf(leak), scale * np.log1p(np.divide(test_current, bundle)), leaking)[()]


def off_state_reading(test_current, leakage, temperature_c=25.0):
    r"""Return the resistance a meter shows on a circuit that is off and leaks.

    .. math:: R = \frac{V_T}{I_t} \ln\frac{1}{1 - I_t/I_0}

    The channel current of a transistor that is off saturates at I0. A small test current reads VT/I0; a larger one
    reads more, and more than I0 cannot flow: the reading climbs until some junction turns on. Order of magnitude only,
    a factor of 3: the lowering of the barrier by the drain is left out.

    Parameters
    ----------
    test_current : float or array
        Test current of the meter on this range, above zero [A].
    leakage : float or array
        Leakage of everything on the rail together, above zero [A].
    temperature_c : float or array
        Temperature of the dies, above absolute zero [°C].

    Returns
    -------
    float or array
        Resistance shown, infinite where the leakage cannot carry the test current [ohm].

    References
    ----------
    Page on subthreshold current (published second-hand) for the current; the values are computed.

    Examples
    --------
    The rail of 64 ohm at 1 mA, read with 1, 0.5 and 0.1 mA: no resistor would do that.

    >>> rail = leakage_behind(1e-3, 64.0)
    >>> [f"{off_state_reading(current, rail):.1f}" for current in (1e-3, 0.5e-3, 0.1e-3)]
    ['64.0', '31.5', '24.7']
    """
    checks.above("test current", test_current, 0, "A")
    checks.above("leakage", leakage, 0, "A")
    drawn = np.minimum(np.divide(test_current, leakage), 1.0)
    with np.errstate(divide="ignore"):
        return -thermal_voltage(temperature_c) / test_current * np.log1p(-drawn)


def leakage_behind(test_current, reading, temperature_c=25.0):
    r"""Return the leakage that explains the resistance shown on a circuit that is off.

    .. math:: I_0 = \frac{I_t}{1 - \exp(-I_t R/V_T)}

    Parameters
    ----------
    test_current : float or array
        Test current of the meter on this range, above zero [A].
    reading : float or array
        Resistance shown, above zero [ohm].
    temperature_c : float or array
        Temperature of the dies, above absolute zero [°C].

    Returns
    -------
    float or array
        Leakage of everything on the rail together [A].

    References
    ----------
    `off_state_reading` solved for the leakage; the values are computed.

    Examples
    --------
    64, 7.8 and 1 ohm at 1 mA:

    >>> [f"{1e3 * leakage_behind(1e-3, reading):.3g} mA" for reading in (64, 7.8, 1)]
    ['1.09 mA', '3.82 mA', '26.2 mA']
    """
    test_current, reading, temperature_c = checks.floats(test_current, reading, temperature_c)
    checks.above("test current", test_current, 0, "A")
    checks.above("reading", reading, 0, "ohm")
    return -np.divide(test_current, np.expm1(-np.multiply(test_current, reading) / thermal_voltage(temperature_c)))


def leakage_when_warm(leakage, temperature_rise, doubling=10.0):
    r"""Return the leakage of a circuit that is warmer, by the rule of thumb that it doubles every so many kelvin.

    .. math:: I = I_0 \, 2^{\Delta T/d}

    A board measured hot after reflow looks shorted. The rule is of the trade (sources give 5 to 10 K): the arithmetic
    is sure, the doubling is yours to set.

    Parameters
    ----------
    leakage : float or array
        At the first temperature, above zero [A].
    temperature_rise : float or array
        From the first temperature to the second [K].
    doubling : float or array
        Rise that doubles the leakage, above zero [K].

    Returns
    -------
    float or array
        At the second temperature [A].

    References
    ----------
    Rule of thumb in several texts, published second-hand; the example is computed.

    Examples
    --------
    The 64 ohm rail of 25 °C, read at 60 °C with 1 mA, is 2.4 ohm:

    >>> warm = leakage_when_warm(leakage_behind(1e-3, 64.0), 35.0)
    >>> f"{off_state_reading(1e-3, warm, 60.0):.1f} ohm"
    '2.4 ohm'
    """
    leakage, temperature_rise, doubling = checks.floats(leakage, temperature_rise, doubling)
    checks.finite("temperature_rise", temperature_rise, "K")
    checks.above("leakage", leakage, 0, "A")
    checks.above("doubling", doubling, 0, "K")
    return leakage * np.exp2(np.divide(temperature_rise, doubling))


def running_resistance(voltage, power):
    r"""Return the resistance a rail is worth while it runs, which no meter on a dead board sees.

    .. math:: R = V^2/P

    Parameters
    ----------
    voltage : float or array
        Of the rail, above zero [V].
    power : float or array
        Taken from the rail, above zero [W].

    Returns
    -------
    float or array
        Equivalent resistance [ohm].

    References
    ----------
    Ohm's law; the example is computed.

    Examples
    --------
    A core of 20 W at 1 V:

    >>> f"{running_resistance(1.0, 20.0):.3f} ohm"
    '0.050 ohm'
    """
    voltage, power = checks.floats(voltage, power)
    checks.above("voltage", voltage, 0, "V")
    checks.above("power", power, 0, "W")
    return np.square(voltage) / power


def _scale(saturation, temperature_c, ideality):
    checks.above("saturation current", saturation, 0, "A")
    checks.between("ideality", ideality, 1, 2)
    return ideality * thermal_voltage(temperature_c)
