"""Reading copper with separate current and voltage probes: four-point geometry, and the thermal voltages in the way."""

import numpy as np

from workbook.bench import checks

__all__ = [
    "drift_free",
    "four_point_factor",
    "probed_sheet_resistance",
    "reversed_difference",
    "thermal_emf",
    "thickness_correction",
]


def four_point_factor(diameter_over_spacing=np.inf):
    r"""Return what to multiply V/I with for four equally spaced probes in the middle of a round thin sheet.

    .. math:: C = \frac{\pi}{\ln 2 + \ln\frac{x^2 + 3}{x^2 - 3}}, \qquad x = d/s

    Towards pi/ln 2 for a wide sheet. Current through the outer pair, voltage across the inner.

    Parameters
    ----------
    diameter_over_spacing : float or array
        Diameter of the sheet over the spacing of the probes, at least 3, infinite for a wide sheet [1].

    Returns
    -------
    float or array
        Factor from V/I to sheet resistance [1].

    References
    ----------
    Laboratory note "Finite-size corrections for 4-point probe measurements", rev. 7 (2004), for the wide sheet; the
    round sheet is derived with images and agrees with remembered values of F. M. Smits, BSTJ 37 (1958) 711.

    Examples
    --------
    >>> f"{four_point_factor():.4f}", f"{four_point_factor(10):.4f}"
    ('4.5324', '4.1712')
    """
    inverse = 1 / np.asarray(diameter_over_spacing, float)
    checks.between("probe spacing over diameter", inverse, 0, 1 / 3)
    return (np.pi / (np.log(2) + np.log1p(3 * inverse**2) - np.log1p(-3 * inverse**2)))[()]


def thickness_correction(thickness_over_spacing):
    r"""Return the factor on the sheet resistance for a sheet that is not thin against the probe spacing.

    .. math:: f = \frac{\ln 2}{\ln[\sinh(t/s)/\sinh(t/2s)]} = \frac{\ln 2}{\ln[2\cosh(t/2s)]}

    Insulating back. One for thin sheets: on copper foil it never matters.

    Parameters
    ----------
    thickness_over_spacing : float or array
        Thickness of the sheet over the spacing of the probes, at least zero [1].

    Returns
    -------
    float or array
        Factor, from 1 down [1].

    References
    ----------
    Laboratory note "Finite-size corrections for 4-point probe measurements", rev. 7 (2004).

    Examples
    --------
    One-ounce foil under probes 1 mm apart:

    >>> f"{thickness_correction(0.0348):.3f}"
    '1.000'
    """
    checks.at_least("thickness over probe spacing", thickness_over_spacing, 0)
    half = np.divide(thickness_over_spacing, 2)
    return np.log(2) / np.logaddexp(half, -half)


def probed_sheet_resistance(voltage, current, diameter_over_spacing=np.inf, thickness_over_spacing=0.0):
    r"""Return the sheet resistance from the reading of a four-point probe.

    .. math:: R_s = C(d/s) \, f(t/s) \, V/I

    Parameters
    ----------
    voltage : float or array
        Across the inner probes, thermal voltages taken out [V].
    current : float or array
        Through the outer probes, above zero [A].
    diameter_over_spacing : float or array
        As for `four_point_factor` [1].
    thickness_over_spacing : float or array
        As for `thickness_correction` [1].

    Returns
    -------
    float or array
        Sheet resistance [ohm a square].

    References
    ----------
    As for `four_point_factor`; the example is computed.

    Examples
    --------
    109.3 uV at 1 A on a wide plane, and on a disc of ten spacings:

    >>> [f"{1e3 * probed_sheet_resistance(109.3e-6, 1.0, ratio):.4f} mohm" for ratio in (np.inf, 10)]
    ['0.4954 mohm', '0.4559 mohm']
    """
    voltage, current, diameter_over_spacing = checks.floats(voltage, current, diameter_over_spacing)
    checks.finite("voltage", voltage, "V")
    checks.above("current", current, 0, "A")
    return four_point_factor(diameter_over_spacing) * thickness_correction(thickness_over_spacing) * voltage / current


def thermal_emf(seebeck, temperature_difference):
    r"""Return the voltage that two joints of unlike metals make when one is warmer.

    .. math:: E = S \, \Delta T

    Parameters
    ----------
    seebeck : float or array
        Of the pair of metals, for example 5e-6 for copper against tin-lead solder [V/K].
    temperature_difference : float or array
        Between the two joints [K].

    Returns
    -------
    float or array
        Voltage in series with the reading [V].

    References
    ----------
    Guide to a bench nanovoltmeter (published second-hand), p. 251, table of thermal EMFs (one manual prints them in
    mV/K: wrong).

    Examples
    --------
    A finger on one probe, 5 K: as much as a plane shows at 1 A.

    >>> f"{1e6 * thermal_emf(5e-6, 5.0):.0f} uV"
    '25 uV'
    """
    seebeck, temperature_difference = checks.floats(seebeck, temperature_difference)
    checks.finite("seebeck", seebeck, "V/K")
    checks.finite("temperature_difference", temperature_difference, "K")
    return seebeck * temperature_difference


def reversed_difference(forward, backward):
    r"""Return the voltage that belongs to the current, from readings with the current one way and the other.

    .. math:: V = \tfrac12 (V_+ - V_-)

    Whatever does not turn with the current cancels: thermal voltages and the meter's offset. The other half of the sum
    is that offset.

    Parameters
    ----------
    forward, backward : float or array
        Readings with the current forward and reversed [V].

    Returns
    -------
    float or array
        Voltage of the forward current [V].

    References
    ----------
    Guide to a bench nanovoltmeter (published second-hand), section on thermal EMFs.

    Examples
    --------
    26 uV under an offset of 25 uV:

    >>> f"{1e6 * reversed_difference(51e-6, -1e-6):.0f} uV"
    '26 uV'
    """
    checks.finite("forward", forward, "V")
    checks.finite("backward", backward, "V")
    return np.subtract(forward, backward) / 2


def drift_free(first, reversed_, third):
    r"""Return the voltage that belongs to the current, when the thermal voltage drifts steadily meanwhile.

    .. math:: V = \tfrac14 (V_1 - 2 V_2 + V_3)

    Three readings at equal intervals: forward, reversed, forward. A steady drift cancels with the offset.

    Parameters
    ----------
    first, reversed_, third : float or array
        Readings with the current forward, reversed, forward again [V].

    Returns
    -------
    float or array
        Voltage of the forward current [V].

    References
    ----------
    Extension of `reversed_difference` by one reading; the example is computed.

    Examples
    --------
    26 uV under an offset that climbs from 25 by 4 uV a reading:

    >>> f"{1e6 * drift_free(51e-6, 3e-6, 59e-6):.0f} uV"
    '26 uV'
    """
    checks.finite("first", first, "V")
    checks.finite("reversed_", reversed_, "V")
    checks.finite("third", third, "V")
    return (np.add(first, third) - np.multiply(2, reversed_)) / 4
