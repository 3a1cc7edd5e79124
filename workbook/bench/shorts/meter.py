"""What an ohmmeter shows: the accuracy limit, the display step, the range, and the leads in the way."""

import numpy as np

from workbook.bench import checks

__all__ = ["accuracy_limit", "displayed", "lead_null", "smallest_range", "two_wire_reading"]


def accuracy_limit(reading, fraction, counts, digit):
    r"""Return the largest error a meter's specification allows at this reading.

    .. math:: a = p \, |r| + n \, d

    The count is worth the last digit *of the range in use*: the same meter is ten times coarser one range higher.

    Parameters
    ----------
    reading : float or array
        What the display shows [any unit, for example ohm].
    fraction : float or array
        Share of the reading, for example 0.008 for 0.8 %, at least zero [1].
    counts : float or array
        Number of last digits added, at least zero [1].
    digit : float or array
        One step of the last digit on the range in use, above zero [unit of the reading].

    Returns
    -------
    float or array
        Half width of the interval around the reading [unit of the reading].

    References
    ----------
    Three meter makers' pages on accuracy specifications, worked examples (published second-hand).

    Examples
    --------
    120.0 V at 1 % + 3 counts, printed as +-1.5 V; 1.755 V at 0.5 % + 1 count, printed as +-0.0098 V:

    >>> f"{accuracy_limit(120.0, 0.01, 3, 0.1):.1f}"
    '1.5'
    >>> f"{accuracy_limit(1.755, 0.005, 1, 0.001):.4f}"
    '0.0098'
    """
    reading, fraction, counts, digit = checks.floats(reading, fraction, counts, digit)
    checks.finite("reading", reading)
    checks.at_least("fraction of reading", fraction, 0)
    checks.at_least("counts", counts, 0)
    checks.above("digit", digit, 0)
    return fraction * np.abs(reading) + counts * digit


def displayed(value, digit, full_scale):
    r"""Return the number a display shows for a value: rounded to its last digit, and infinite for overload.

    .. math:: r = d \lfloor v/d + 1/2 \rfloor

    A perfect meter with a coarse display; its own error is `accuracy_limit`.

    Parameters
    ----------
    value : float or array
        What is measured, infinite for an open circuit [any unit, for example ohm].
    digit : float or array
        One step of the last digit, above zero [unit of the value].
    full_scale : float or array
        Largest number the range shows, above zero [unit of the value].

    Returns
    -------
    float or array
        The number shown, infinite where the display says overload [unit of the value].

    References
    ----------
    User manuals of hand meters (published second-hand), resistance table (200.0 ohm range in steps of 0.1 ohm).

    Examples
    --------
    7.8 ohm on the 200 ohm range and on the 2 kohm range, and 240 ohm, too much for the 200 ohm range:

    >>> [float(displayed(7.8, 0.1, 200.0)), float(displayed(7.8, 1.0, 2000.0)), float(displayed(240.0, 0.1, 200.0))]
    [7.8, 8.0, inf]
    """
    checks.number("value", value)
    checks.above("digit", digit, 0)
    checks.above("full scale", full_scale, 0)
    places = -np.floor(np.log10(digit))  # whole powers of ten only: what is shown has no more digits than a display
    steps = np.round(digit * 10.0**places * np.floor(np.asarray(value) / digit + 0.5), 9)
    shown = np.where(places < 0, steps * 10.0 ** np.abs(places), steps / 10.0 ** np.abs(places))
    return np.where(np.abs(shown) > full_scale, np.copysign(np.inf, shown), shown)[()]


def smallest_range(value, full_scales):
    r"""Return the full scale of the most sensitive range that still shows the value, or infinity if none does.

    .. math:: F = \min\{F_i : F_i \ge |v|\}

    Parameters
    ----------
    value : float
        What is measured [any unit, for example ohm].
    full_scales : sequence of float
        Full scales of the meter's ranges in any order, each above zero [unit of the value].

    Returns
    -------
    float
        Full scale of the range to choose [unit of the value].

    References
    ----------
    User manuals of hand meters (published second-hand): take the lowest range that does not show overload.

    Examples
    --------
    >>> smallest_range(64.0, (200.0, 2e3, 20e3))
    200.0
    >>> smallest_range(450.0, (200.0, 2e3, 20e3))
    2000.0
    """
    checks.single(value=value)
    value = checks.floats(value)
    checks.number("value", value)
    checks.above("full scales", full_scales, 0)
    return float(min((scale for scale in full_scales if scale >= abs(value)), default=np.inf))


def two_wire_reading(resistance, leads, contact=0.0):
    r"""Return what a two-wire ohmmeter sees: the resistance, its own leads and the contacts, in series.

    .. math:: r = R + R_\mathrm{leads} + R_\mathrm{contact}

    Four wires carry the current and sense the voltage apart, and see R alone.

    Parameters
    ----------
    resistance : float or array
        Resistance between the probe tips, at least zero [ohm].
    leads : float or array
        Both leads together, at least zero [ohm].
    contact : float or array
        Both contacts together, at least zero [ohm].

    Returns
    -------
    float or array
        Resistance at the meter's terminals [ohm].

    References
    ----------
    Encyclopaedia article on four-terminal sensing and a bench meter's application note, published second-hand.

    Examples
    --------
    A 0.1 ohm part through 0.1 ohm of leads reads double:

    >>> two_wire_reading(0.1, 0.1)
    0.2
    """
    resistance, leads, contact = checks.floats(resistance, leads, contact)
    checks.at_least("resistance", resistance, 0, "ohm")
    checks.at_least("lead resistance", leads, 0, "ohm")
    checks.at_least("contact resistance", contact, 0, "ohm")
    return resistance + leads + contact


def lead_null(raw, shorted):
    r"""Return a reading freed of the leads: subtract what the meter shows with the probes pressed together.

    .. math:: R_x = r - r_0

    Both readings on the same range. What is left is the contact, which is never twice the same; a result a little
    below zero is that scatter and no mistake.

    Parameters
    ----------
    raw : float or array
        Reading on the board [ohm].
    shorted : float or array
        Reading with the probes shorted, at least zero [ohm].

    Returns
    -------
    float or array
        Resistance on the board [ohm].

    References
    ----------
    User manual of a hand meter (published second-hand): short the leads first and deduct the reading.

    Examples
    --------
    1.6 ohm on the rail, 0.3 ohm with the probes together:

    >>> f"{lead_null(1.6, 0.3):.1f}"
    '1.3'
    """
    raw, shorted = checks.floats(raw, shorted)
    checks.finite("raw", raw, "ohm")
    checks.at_least("reading with shorted probes", shorted, 0, "ohm")
    return np.subtract(raw, shorted)[()]
