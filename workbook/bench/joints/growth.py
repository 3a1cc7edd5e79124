"""How the intermetallic layer between solder and land thickens: with the square root of time, faster when hot.

The rate k here is the one in x² = x0² + k t, in square metres a second, and an activation energy Q is that **of k**.
Where a source gives Q of the growth constant sqrt(k), which it often leaves unsaid, double it first.
"""

import numpy as np
from scipy import constants

from workbook.bench import checks

__all__ = ["growth_rate", "layer_thickness", "rate_at_temperature", "time_to_thickness"]


def layer_thickness(time, rate, initial_thickness=0.0):
    r"""Return the thickness of a layer that grows by diffusion through itself.

    .. math:: x = \sqrt{x_0^2 + k t}

    It is the squares that add: not x0 and the growth from nothing.

    Parameters
    ----------
    time : float or array
        Time at one temperature, at least zero [s].
    rate : float or array
        Parabolic rate k at that temperature, at least zero [m^2/s].
    initial_thickness : float or array
        Thickness at the start, at least zero [m].

    Returns
    -------
    float or array
        Thickness, at least the initial one [m].

    References
    ----------
    Metals and Materials International 9(2), 193-199, for the law and the 9 um after 60 d at 150 °C; the double
    time of the example is our arithmetic.

    Examples
    --------
    Twice the 60 days make 9 um into 12.7 um, not 18:

    >>> rate = growth_rate(9e-6, 60 * 86400)
    >>> f"{layer_thickness(120 * 86400, rate) * 1e6:.1f}"
    '12.7'
    """
    time, rate, initial_thickness = checks.floats(time, rate, initial_thickness)
    checks.at_least("time", time, 0, "s")
    checks.at_least("rate", rate, 0, "m^2/s")
    checks.at_least("initial_thickness", initial_thickness, 0, "m")
    return np.sqrt(np.square(initial_thickness) + np.multiply(rate, time))


def growth_rate(thickness, time, initial_thickness=0.0):
    r"""Return the parabolic rate from a thickness measured after a time.

    .. math:: k = \frac{x^2 - x_0^2}{t}

    Parameters
    ----------
    thickness : float or array
        Thickness after the time, at least the initial one [m].
    time : float or array
        Time at one temperature, above zero [s].
    initial_thickness : float or array
        Thickness at the start, at least zero [m].

    Returns
    -------
    float or array
        Parabolic rate k, at least zero [m^2/s].

    References
    ----------
    Metals and Materials International 9(2), 193-199, for the law and the 9 um; the rate is our arithmetic.

    Examples
    --------
    >>> f"{growth_rate(9e-6, 60 * 86400):.4e}"
    '1.5625e-17'
    """
    thickness, time, initial_thickness = checks.floats(thickness, time, initial_thickness)
    checks.above("time", time, 0, "s")
    return _gain(thickness, initial_thickness) / time


def time_to_thickness(thickness, rate, initial_thickness=0.0):
    r"""Return how long a layer takes to reach a thickness.

    .. math:: t = \frac{x^2 - x_0^2}{k}

    Parameters
    ----------
    thickness : float or array
        Thickness to reach, at least the initial one [m].
    rate : float or array
        Parabolic rate k at the temperature of growth, above zero [m^2/s].
    initial_thickness : float or array
        Thickness at the start, at least zero [m].

    Returns
    -------
    float or array
        Time, at least zero [s].

    References
    ----------
    Metals and Materials International 9(2), 193-199, for law and constants; the example is our arithmetic.

    Examples
    --------
    9 um at 70 °C, with 65.4 kJ/mol as Q of k, take twelve and a half years:

    >>> rate = rate_at_temperature(growth_rate(9e-6, 60 * 86400), 150, 70, 65.4e3)
    >>> f"{time_to_thickness(9e-6, rate) / 86400 / 365:.1f}"
    '12.5'
    """
    thickness, rate, initial_thickness = checks.floats(thickness, rate, initial_thickness)
    checks.above("rate", rate, 0, "m^2/s")
    return _gain(thickness, initial_thickness) / rate


def _gain(thickness, initial_thickness):
    checks.at_least("initial_thickness", initial_thickness, 0, "m")
    checks.at_least("thickness minus initial_thickness", np.subtract(thickness, initial_thickness), 0, "m")
    return np.square(thickness) - np.square(initial_thickness)


def rate_at_temperature(rate, known_c, wanted_c, activation_energy):
    r"""Return the parabolic rate at one temperature from the rate at another.

    .. math:: k_2 = k_1 \exp\left[ -\frac{Q}{R} \left( \frac{1}{T_2} - \frac{1}{T_1} \right) \right]

    Q belongs to k. The thickness goes with the square root of k, so it changes as if with half of Q.

    Parameters
    ----------
    rate : float or array
        Parabolic rate k at the known temperature, at least zero [m^2/s].
    known_c : float or array
        Temperature the rate is known for, above -273.15; below melting [°C].
    wanted_c : float or array
        Temperature the rate is wanted for, above -273.15; below melting [°C].
    activation_energy : float or array
        Activation energy Q of k, at least zero [J/mol].

    Returns
    -------
    float or array
        Parabolic rate k at the wanted temperature, at least zero [m^2/s].

    References
    ----------
    Metals and Materials International 9(2), 193-199: 65.4 kJ/mol for the whole layer of Sn-3.5Ag on copper, 70 to
    200 °C. Its abstract leaves unsaid whether that is Q of k; the example, ours, takes it so.

    Examples
    --------
    60 days at 125 °C in place of 150 °C leave 5.02 of the 9 um:

    >>> rate = rate_at_temperature(growth_rate(9e-6, 60 * 86400), 150, 125, 65.4e3)
    >>> f"{layer_thickness(60 * 86400, rate) * 1e6:.2f}"
    '5.02'
    """
    rate, known_c, wanted_c, activation_energy = checks.floats(rate, known_c, wanted_c, activation_energy)
    checks.at_least("rate", rate, 0, "m^2/s")
    checks.above("known_c", known_c, -constants.zero_Celsius, "°C")
    checks.above("wanted_c", wanted_c, -constants.zero_Celsius, "°C")
    checks.at_least("activation_energy", activation_energy, 0, "J/mol")
    colder = 1 / (np.asarray(wanted_c) + constants.zero_Celsius) - 1 / (np.asarray(known_c) + constants.zero_Celsius)
    return rate * np.exp(-np.divide(activation_energy, constants.R) * colder)
