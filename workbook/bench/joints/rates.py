"""Rates: how much faster heat and damp age a part, and what a test says about a constant failure rate."""

import numpy as np
from scipy import constants, special

from workbook.bench import checks

__all__ = [
    "arrhenius_acceleration",
    "failure_rate_upper_bound",
    "failures_in_time",
    "mtbf",
    "mtbf_interval",
    "mtbf_lower_bound",
    "peck_acceleration",
]

BOLTZMANN_EV = constants.k / constants.e
"""Boltzmann constant, 8.617333e-5 [eV/K]."""


def arrhenius_acceleration(activation_energy_ev, use_c, stress_c):
    r"""Return how many times faster a process runs at the stress temperature than in use.

    .. math:: AF = \exp\left[ \frac{E_a}{k} \left( \frac{1}{T_{use}} - \frac{1}{T_{stress}} \right) \right]

    Degrees Celsius are turned into kelvin with 273.15; copies with 273 or 273.16 differ by up to 0.5 %.

    Parameters
    ----------
    activation_energy_ev : float or array
        Activation energy, at least zero [eV].
    use_c : float or array
        Temperature in use, above -273.15 [°C].
    stress_c : float or array
        Temperature in the test, above -273.15 [°C].

    Returns
    -------
    float or array
        Acceleration factor, above 1 where the test is hotter [1].

    References
    ----------
    A device maker's page on the details of its reliability calculations (published-unnamed), 0.7 eV to 55 °C.

    Examples
    --------
    258, 128, 77 and 8 from 150, 135, 125 and 85 °C are printed there; ours lie within 1 %:

    >>> [f"{arrhenius_acceleration(0.7, 55, stress):.1f}" for stress in (150, 135, 125, 85)]
    ['259.2', '128.0', '77.6', '8.0']
    """
    checks.at_least("activation_energy_ev", activation_energy_ev, 0, "eV")
    checks.above("use_c", use_c, -constants.zero_Celsius, "°C")
    checks.above("stress_c", stress_c, -constants.zero_Celsius, "°C")
    colder = 1 / (np.asarray(use_c) + constants.zero_Celsius) - 1 / (np.asarray(stress_c) + constants.zero_Celsius)
    return np.exp(np.divide(activation_energy_ev, BOLTZMANN_EV) * colder)


def peck_acceleration(*, use_humidity, stress_humidity, use_c, stress_c, humidity_exponent, activation_energy_ev):
    r"""Return how many times faster heat and damp together age a part in the test than in use.

    .. math:: AF = \left( \frac{RH_{stress}}{RH_{use}} \right)^n
              \exp\left[ \frac{E_a}{k} \left( \frac{1}{T_{use}} - \frac{1}{T_{stress}} \right) \right]

    Parameters
    ----------
    use_humidity : float or array
        Relative humidity in use, above 0, up to 1 [1].
    stress_humidity : float or array
        Relative humidity in the test, above 0, up to 1 [1].
    use_c : float or array
        Temperature in use, above -273.15 [°C].
    stress_c : float or array
        Temperature in the test, above -273.15 [°C].
    humidity_exponent : float or array
        Power n, at least zero; 2.7 is often quoted [1].
    activation_energy_ev : float or array
        Activation energy, at least zero; 0.79 goes with 2.7 [eV].

    Returns
    -------
    float or array
        Acceleration factor [1].

    References
    ----------
    Peck's form and constants (published second-hand); the example is our arithmetic.

    Examples
    --------
    85 °C and 85 % against 40 °C and 60 %:

    >>> factor = peck_acceleration(
    ...     use_humidity=0.60, stress_humidity=0.85, use_c=40, stress_c=85,
    ...     humidity_exponent=2.7, activation_energy_ev=0.79)
    >>> f"{factor:.1f}"
    '101.4'
    """
    for name, humidity in (("use_humidity", use_humidity), ("stress_humidity", stress_humidity)):
        checks.share(name, humidity)
    checks.at_least("humidity_exponent", humidity_exponent, 0)
    damp = np.power(np.divide(stress_humidity, use_humidity), humidity_exponent)
    return damp * arrhenius_acceleration(activation_energy_ev, use_c, stress_c)


def mtbf(total_time, failures):
    r"""Return the mean time between failures seen in a test: the point estimate, without its uncertainty.

    .. math:: MTBF = T / r

    Parameters
    ----------
    total_time : float or array
        Time of all units together, above zero [s].
    failures : int or array
        Failures seen, at least 1 [1].

    Returns
    -------
    float or array
        Mean time between failures, above zero [s].

    References
    ----------
    NIST/SEMATECH e-Handbook, section 8.4.5.1.

    Examples
    --------
    Two failures in 800 h, by definition 400 h:

    >>> float(mtbf(800 * 3600, 2)) / 3600
    400.0
    """
    checks.above("total_time", total_time, 0, "s")
    checks.at_least("failures", failures, 1)
    return np.divide(total_time, failures)


def mtbf_lower_bound(total_time, failures, confidence):
    r"""Return the mean time between failures that a test shows to be exceeded, with a stated confidence.

    .. math:: MTBF_{low} = \frac{2T}{\chi^2_C(2r + 2)}

    One-sided, for a test that stops at a set time and a failure rate that is constant. No failure is not no failure
    rate: the bound is finite with r = 0 too.

    Parameters
    ----------
    total_time : float or array
        Time of all units together, above zero [s].
    failures : int or array
        Failures seen, at least zero [1].
    confidence : float or array
        One-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Lower bound, above zero [s].

    References
    ----------
    NIST/SEMATECH e-Handbook, section 8.4.5.1.
    Reliability, Maintainability and Risk, answers to chapter 5, for the chi-square values of the example.

    Examples
    --------
    5000 h with 2 and with no failures at 60 %: chi-square is printed as 6.21 and 1.83, which make 1610 h and 5457 h:

    >>> [f"{mtbf_lower_bound(5000 * 3600, r, 0.60) / 3600:.0f}" for r in (2, 0)]
    ['1610', '5457']
    """
    checks.above("total_time", total_time, 0, "s")
    checks.at_least("failures", failures, 0)
    checks.inside("confidence", confidence, 0, 1)
    return total_time / _half_chi_square(np.add(failures, 1), confidence)


def mtbf_interval(total_time, failures, confidence):
    r"""Return the two bounds between which the mean time between failures lies, with a stated confidence.

    .. math:: \frac{2T}{\chi^2_{(1+C)/2}(2r + 2)} \le MTBF \le \frac{2T}{\chi^2_{(1-C)/2}(2r)}

    Two-sided, half of the risk on each side, for a test that stops at a set time. The degrees of freedom differ.

    Parameters
    ----------
    total_time : float or array
        Time of all units together, above zero [s].
    failures : int or array
        Failures seen, at least zero [1].
    confidence : float or array
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    tuple of float or array
        Lower and upper bound; the upper one is infinite without failures [s].

    References
    ----------
    NIST/SEMATECH e-Handbook, section 8.4.5.1; the example's 800 h (from memory) are reckoned by us.

    Examples
    --------
    Two failures in 800 h at 90 %:

    >>> lower, upper = mtbf_interval(800 * 3600, 2, 0.90)
    >>> f"{lower / 3600:.0f} h to {upper / 3600:.0f} h"
    '127 h to 2251 h'
    """
    checks.inside("confidence", confidence, 0, 1)
    tail = (1 - np.asarray(confidence)) / 2
    lower = mtbf_lower_bound(total_time, failures, 1 - tail)
    none_failed = np.equal(failures, 0)
    upper = np.where(none_failed, np.inf, total_time / _half_chi_square(np.where(none_failed, 1, failures), tail))
    return lower, upper[()]


def _half_chi_square(half_degrees, probability):
    """Return half the chi-square quantile: the quantile of the gamma law, in which both twos cancel."""
    return special.gammaincinv(half_degrees, probability)


def failure_rate_upper_bound(total_time, failures, confidence, acceleration=1.0):
    r"""Return the failure rate in use that a test shows not to be exceeded, with a stated confidence.

    .. math:: \lambda = \frac{\chi^2_C(2r + 2)}{2 \, T \, AF}

    Parameters
    ----------
    total_time : float or array
        Time of all units together in the test, above zero [s].
    failures : int or array
        Failures seen, at least zero [1].
    confidence : float or array
        One-sided confidence, between 0 and 1 [1].
    acceleration : float or array
        How many times faster the test ages than use does, above zero [1].

    Returns
    -------
    float or array
        Upper bound of the failure rate, above zero [1/s].

    References
    ----------
    A device maker's public support thread on chi-square failure rates (published-unnamed).

    Examples
    --------
    231 units for 1000 h at 125 °C without a failure, 60 % confidence, used at 55 °C with 0.7 eV. 50.5 to 50.9 FIT are
    printed there with an acceleration rounded to 78; unrounded it is 51.1:

    >>> rate = failure_rate_upper_bound(231 * 1000 * 3600, 0, 0.60, acceleration=78)
    >>> f"{failures_in_time(rate):.1f}"
    '50.9'
    """
    total_time, failures, confidence, acceleration = checks.floats(total_time, failures, confidence, acceleration)
    checks.above("acceleration", acceleration, 0)
    return 1 / (mtbf_lower_bound(total_time, failures, confidence) * acceleration)


def failures_in_time(rate):
    r"""Return a failure rate in FIT, failures per 1e9 unit-hours.

    .. math:: FIT = \lambda \cdot 3600 \cdot 10^9

    Parameters
    ----------
    rate : float or array
        Failure rate, at least zero [1/s].

    Returns
    -------
    float or array
        Failures in 1e9 h [FIT].

    References
    ----------
    Definition; a device maker's public failure rate guide (published-unnamed).

    Examples
    --------
    One failure in a million hours is 1000 FIT, by definition:

    >>> f"{failures_in_time(1 / (1e6 * 3600)):.1f}"
    '1000.0'
    """
    checks.at_least("rate", rate, 0, "1/s")
    return np.multiply(rate, constants.hour * 1e9)
