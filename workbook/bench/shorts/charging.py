"""Why a reading climbs: the meter's own current charges the capacitors of the rail before the resistance shows.

The capacitors are discharged and checked first; a meter is never put on a charged board.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["climb_rate", "drifting_reading", "wait_for_share"]


def drifting_reading(time, resistance, capacitance):
    r"""Return what an ohmmeter shows so long after it was put on a rail with capacitors.

    .. math:: R(t) = R \left[1 - \exp\left(-\frac{t}{RC}\right)\right]

    Constant test current, capacitors empty at the start. A reading that stays low is a leak; one that climbs is not.

    Parameters
    ----------
    time : float or array
        Since the probes touched, at least zero [s].
    resistance : float or array
        Of the rail, above zero [ohm].
    capacitance : float or array
        On the rail, above zero [F].

    Returns
    -------
    float or array
        Resistance shown [ohm].

    References
    ----------
    Constant current into resistor and capacitor side by side; the values are computed.

    Examples
    --------
    1000 uF across 64 ohm after 50 and 100 ms:

    >>> [f"{drifting_reading(time, 64.0, 1000e-6):.1f}" for time in (0.05, 0.1)]
    ['34.7', '50.6']
    """
    time, resistance, capacitance = checks.floats(time, resistance, capacitance)
    checks.at_least("time", time, 0, "s")
    return -resistance * np.expm1(-np.divide(time, _time_constant(resistance, capacitance)))


def wait_for_share(share, resistance, capacitance):
    r"""Return how long to wait until the reading has reached a share of its end.

    .. math:: t = -RC \ln(1 - s)

    Parameters
    ----------
    share : float or array
        Of the final reading, at least zero and below 1 [1].
    resistance : float or array
        Of the rail, above zero [ohm].
    capacitance : float or array
        On the rail, above zero [F].

    Returns
    -------
    float or array
        Waiting time [s].

    References
    ----------
    `drifting_reading` solved for the time; the values are computed.

    Examples
    --------
    99 % of 64 ohm with 1000 uF, and of 10 kohm with 470 uF:

    >>> f"{wait_for_share(0.99, 64.0, 1000e-6):.3f} s, {wait_for_share(0.99, 10e3, 470e-6):.1f} s"
    '0.295 s, 21.6 s'
    """
    share, resistance, capacitance = checks.floats(share, resistance, capacitance)
    checks.below_one("share", share)
    return -_time_constant(resistance, capacitance) * np.log1p(-np.asarray(share))


def climb_rate(capacitance):
    r"""Return how fast the reading climbs at first, whatever the test current and the resistance.

    .. math:: dR/dt = 1/C

    Parameters
    ----------
    capacitance : float or array
        On the rail, above zero [F].

    Returns
    -------
    float or array
        Slope of the reading at the start [ohm/s].

    References
    ----------
    `drifting_reading` at its start.

    Examples
    --------
    >>> f"{climb_rate(1000e-6):.0f} ohm/s"
    '1000 ohm/s'
    """
    checks.above("capacitance", capacitance, 0, "F")
    return np.divide(1.0, capacitance)


def _time_constant(resistance, capacitance):
    checks.above("resistance", resistance, 0, "ohm")
    checks.above("capacitance", capacitance, 0, "F")
    return resistance * capacitance
