"""The type K thermocouple: emf and temperature, the cold junction, calibration, tolerance, and the lag of the bead."""

from typing import NamedTuple

import numpy as np

from workbook.bench import checks

__all__ = [
    "Calibration",
    "bead_lag",
    "bead_time_constant",
    "calibrate",
    "corrected",
    "emf",
    "junction_temperature_c",
    "seebeck",
    "temperature_c",
    "tolerance",
]

COLDEST_C, HOTTEST_C = -270.0, 1372.0
"""Range of the type K reference function [°C]."""

# Coefficients of the reference function, in mV and °C as the source gives them: NIST Monograph 175, NIST SRD 60.
_BELOW_ZERO = np.polynomial.Polynomial(
    [
        0.0,
        0.394501280250e-01,
        0.236223735980e-04,
        -0.328589067840e-06,
        -0.499048287770e-08,
        -0.675090591730e-10,
        -0.574103274280e-12,
        -0.310888728940e-14,
        -0.104516093650e-16,
        -0.198892668780e-19,
        -0.163226974860e-22,
    ]
)
_ABOVE_ZERO = np.polynomial.Polynomial(
    [
        -0.176004136860e-01,
        0.389212049750e-01,
        0.185587700320e-04,
        -0.994575928740e-07,
        0.318409457190e-09,
        -0.560728448890e-12,
        0.560750590590e-15,
        -0.320207200030e-18,
        0.971511471520e-22,
        -0.121047212750e-25,
    ]
)
_BUMP, _NARROWNESS, _CENTRE_C = 0.118597600000, -0.118343200000e-03, 0.126968600000e03

_TOLERANCE = {1: (1.5, 0.004, -40.0, 1000.0), 2: (2.5, 0.0075, -40.0, 1200.0)}
"""Class: fixed part [K], part of the temperature [1], coldest and hottest temperature it holds for [°C]."""


class Calibration(NamedTuple):
    """A straight line from reading to temperature: gain [1] and offset [°C]."""

    gain: float
    offset_c: float


def emf(temperature_c):
    r"""Return the emf of a type K couple with its reference junction at 0 °C.

    .. math:: E = \sum_i c_i t^i + a_0 \exp\left(a_1 (t - a_2)^2\right)

    The exponential term belongs to the range above 0 °C; below, the sum alone, with coefficients of its own.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the measuring junction, from -270 to 1372 [°C].

    Returns
    -------
    float or array
        Emf [V].

    References
    ----------
    NIST ITS-90 thermocouple database, SRD 60 (Monograph 175), type K coefficients and table.

    Examples
    --------
    The table gives 12.209 mV at 300 °C:

    >>> f"{1e3 * emf(300):.3f}"
    '12.209'
    """
    checks.between("temperature", temperature_c, COLDEST_C, HOTTEST_C, "°C")
    t = np.asarray(temperature_c, dtype=float)
    above = _ABOVE_ZERO(t) + _BUMP * np.exp(_NARROWNESS * (t - _CENTRE_C) ** 2)
    return 1e-3 * np.where(t < 0, _BELOW_ZERO(t), above)[()]


def seebeck(temperature_c):
    r"""Return the Seebeck coefficient of a type K couple, the slope of its emf.

    .. math:: S = dE / dt

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the measuring junction, from -270 to 1372 [°C].

    Returns
    -------
    float or array
        Seebeck coefficient [V/K].

    References
    ----------
    Derivative of the reference function of NIST SRD 60, type K (computed).

    Examples
    --------
    >>> f"{1e6 * seebeck(25):.2f} uV/K"
    '40.52 uV/K'
    """
    checks.between("temperature", temperature_c, COLDEST_C, HOTTEST_C, "°C")
    t = np.asarray(temperature_c, dtype=float)
    from_centre = t - _CENTRE_C
    bump = 2 * _NARROWNESS * from_centre * _BUMP * np.exp(_NARROWNESS * from_centre**2)
    return 1e-3 * np.where(t < 0, _BELOW_ZERO.deriv()(t), _ABOVE_ZERO.deriv()(t) + bump)[()]


_TABLE_C = np.arange(COLDEST_C, HOTTEST_C + 1)
_TABLE = emf(_TABLE_C)


def temperature_c(emf_at_zero):
    r"""Return the temperature at which a type K couple with its reference at 0 °C has an emf.

    The reference function itself is inverted, by Newton steps from a table, so that both ways agree; the inverse
    polynomials of the source are 0.05 °C off.

    Parameters
    ----------
    emf_at_zero : float or array
        Emf with the reference junction at 0 °C, from -6.458e-3 to 54.886e-3 [V].

    Returns
    -------
    float or array
        Temperature of the measuring junction [°C].

    References
    ----------
    NIST ITS-90 thermocouple database, SRD 60 (Monograph 175), type K.

    Examples
    --------
    >>> f"{temperature_c(12.209e-3):.2f}"
    '300.00'
    """
    checks.between("emf", emf_at_zero, _TABLE[0], _TABLE[-1], "V")
    e = np.asarray(emf_at_zero, dtype=float)
    t = np.interp(e, _TABLE, _TABLE_C)
    for _ in range(2):
        t = np.clip(t - (emf(t) - e) / seebeck(t), COLDEST_C, HOTTEST_C)
    return t[()]


def junction_temperature_c(measured_emf, terminals_c):
    r"""Return the temperature of a type K joint from the emf at terminals that are not at 0 °C.

    .. math:: t = E^{-1}\left(E_\text{measured} + E(t_\text{terminals})\right)

    Emfs are added, not temperatures.

    Parameters
    ----------
    measured_emf : float or array
        Emf between the terminals [V].
    terminals_c : float or array
        Temperature of the terminals, from -270 to 1372 [°C].

    Returns
    -------
    float or array
        Temperature of the measuring junction [°C].

    References
    ----------
    Law of intermediate temperatures with the type K function of NIST SRD 60.

    Examples
    --------
    8.000 mV at terminals of 25 °C:

    >>> f"{junction_temperature_c(8.000e-3, 25):.1f}"
    '221.5'
    """
    return temperature_c(measured_emf + emf(terminals_c))


def calibrate(low_reading_c, low_true_c, high_reading_c, high_true_c):
    r"""Return the straight line that puts two readings right.

    .. math:: g = \frac{T_2 - T_1}{r_2 - r_1}, \qquad b = T_1 - g r_1

    Parameters
    ----------
    low_reading_c : float
        Reading at the lower fixed point [°C].
    low_true_c : float
        Temperature of the lower fixed point, such as the ice point [°C].
    high_reading_c : float
        Reading at the upper fixed point [°C].
    high_true_c : float
        Temperature of the upper fixed point, such as the plateau of freezing Sn63Pb37 [°C].

    Returns
    -------
    Calibration
        Gain [1] and offset [°C].

    References
    ----------
    Straight line through two points; definition of this workbook.

    Examples
    --------
    >>> line = calibrate(2.0, 0.0, 189.0, 183.0)
    >>> f"{line.gain:.4f}"
    '0.9786'
    """
    readings = dict(
        low_reading_c=low_reading_c, low_true_c=low_true_c, high_reading_c=high_reading_c, high_true_c=high_true_c
    )
    checks.single(**readings)
    for quantity, celsius in readings.items():
        checks.finite(quantity, celsius, "°C")
    low_reading_c, low_true_c, high_reading_c, high_true_c = checks.floats(*readings.values())
    if not low_reading_c < high_reading_c:
        raise ValueError(f"the upper reading must be above the lower one (got {low_reading_c} and {high_reading_c} °C)")
    gain = (high_true_c - low_true_c) / (high_reading_c - low_reading_c)
    return Calibration(gain, low_true_c - gain * low_reading_c)


def corrected(reading_c, calibration):
    r"""Return a reading put right by a calibration.

    .. math:: T = g r + b

    Parameters
    ----------
    reading_c : float or array
        Reading [°C].
    calibration : Calibration
        Gain [1] and offset [°C], from `calibrate`.

    Returns
    -------
    float or array
        Temperature [°C].

    References
    ----------
    Straight line through two points; definition of this workbook.

    Examples
    --------
    An ice point read as 2.0 and a 183.0 plateau read as 189.0 turn 225.0 into:

    >>> f"{corrected(225.0, calibrate(2.0, 0.0, 189.0, 183.0)):.1f}"
    '218.2'
    """
    reading_c = checks.floats(reading_c)
    checks.finite("reading_c", reading_c, "°C")
    return calibration.gain * reading_c + calibration.offset_c


def tolerance(temperature_c, tolerance_class=1):
    r"""Return the tolerance of type K thermocouple wire.

    .. math:: \Delta = \max(a, b\,|t|)

    Class 1: 1.5 °C or 0.004 of the temperature, from -40 to 1000 °C. Class 2: 2.5 °C or 0.0075, from -40 to 1200 °C.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the measuring junction, within the range of the class [°C].
    tolerance_class : int, default 1
        Class 1 or 2 [1].

    Returns
    -------
    float or array
        Tolerance, plus or minus [K].

    References
    ----------
    IEC 60584-1:2013, tolerance classes of type K (published second-hand).

    Examples
    --------
    >>> print(tolerance(217, 1), tolerance(217, 2))
    1.5 2.5
    """
    if tolerance_class not in _TOLERANCE:
        raise ValueError(f"tolerance class must be 1 or 2 (got {tolerance_class!r})")
    fixed, share, coldest, hottest = _TOLERANCE[tolerance_class]
    checks.between("temperature", temperature_c, coldest, hottest, "°C")
    return np.maximum(fixed, share * np.abs(temperature_c))[()]


def bead_time_constant(diameter, density, specific_heat, film_coefficient):
    r"""Return the time constant of a spherical bead.

    .. math:: \tau = \frac{\rho c D}{6 h}

    One temperature in the bead (Biot number of D/6 at most 0.1), one film all round, nothing along the wires.

    Parameters
    ----------
    diameter : float or array
        Diameter of the bead, above zero [m].
    density : float or array
        Density, above zero [kg/m^3].
    specific_heat : float or array
        Specific heat, above zero [J/kg/K].
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].

    Returns
    -------
    float or array
        Time constant [s].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: a bead of 0.706 mm has 1 s.

    Examples
    --------
    >>> f"{bead_time_constant(7.06e-4, 8500, 400, 400):.2f}"
    '1.00'
    """
    diameter, density, specific_heat, film_coefficient = checks.floats(
        diameter, density, specific_heat, film_coefficient
    )
    checks.above("diameter", diameter, 0, "m")
    checks.above("density", density, 0, "kg/m^3")
    checks.above("specific heat", specific_heat, 0, "J/kg/K")
    checks.above("film coefficient", film_coefficient, 0, "W/m^2/K")
    return density * specific_heat * diameter / (6 * film_coefficient)


def bead_lag(time_constant, ramp, time=np.inf):
    r"""Return how far a bead is behind a gas that gets steadily hotter.

    .. math:: \Delta T = r \tau \left(1 - e^{-t/\tau}\right)

    Parameters
    ----------
    time_constant : float or array
        Time constant of the bead, above zero [s].
    ramp : float or array
        Rate of the gas temperature [K/s].
    time : float or array, default infinity
        Time since the ramp began; infinity for the settled lag, at least zero [s].

    Returns
    -------
    float or array
        Gas temperature minus bead temperature [K].

    References
    ----------
    First-order response to a ramp, standard result (computed).

    Examples
    --------
    A bead of 1.89 s at 2 K/s settles to:

    >>> f"{bead_lag(1.89, 2):.1f}"
    '3.8'
    """
    time_constant, ramp, time = checks.floats(time_constant, ramp, time)
    checks.finite("ramp", ramp, "K/s")
    checks.above("time constant", time_constant, 0, "s")
    if np.any(np.less(time, 0)) or np.any(np.isnan(time)):
        raise ValueError(f"time must be at least 0 s (got {time})")
    return -ramp * time_constant * np.expm1(-np.asarray(time, dtype=float) / time_constant)[()]
