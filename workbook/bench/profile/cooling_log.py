"""A body that cools in air, and the time constant that its log tells: a straight line through logarithms."""

from typing import NamedTuple

import numpy as np

from workbook.bench import checks

__all__ = ["CoolingLine", "cooling_line"]


class CoolingLine(NamedTuple):
    """The time constant that a log tells, and its standard error [s]."""

    time_constant: float
    standard_error: float


def cooling_line(time, excess) -> CoolingLine:
    r"""Return the time constant of a body that cools, by least squares through the logarithms of its log.

    .. math:: \ln\theta = \ln\theta_0 - t/\tau, \quad b = \frac{\sum (t - \bar t)(y - \bar y)}{\sum (t - \bar t)^2},
              \quad s_b^2 = \frac{\sum r^2}{(n - 2) \sum (t - \bar t)^2}, \quad s_\tau = \tau^2 s_b

    The body is even and its film does not change. The log tells C / hA and neither capacity nor film alone.

    Parameters
    ----------
    time : array
        Times, three or more [s].
    excess : array
        Temperature above the air at these times, above zero [K].

    Returns
    -------
    CoolingLine
        Time constant and its standard error [s].

    References
    ----------
    Ordinary least squares (NIST/SEMATECH e-Handbook of Statistical Methods, section 4.4.3; from memory).

    Examples
    --------
    Readings on the line itself have no error:

    >>> line = cooling_line([0, 100, 200], [100, 100 * np.exp(-0.5), 100 * np.exp(-1)])
    >>> round(line.time_constant, 6), line.standard_error < 1e-6
    (200.0, True)
    """
    time, excess = checks.floats(time, excess)
    checks.finite("time", time, "s")
    checks.above("excess", excess, 0, "K")
    if np.ndim(time) != 1 or np.shape(time) != np.shape(excess) or np.unique(time).size < 3:
        raise ValueError("time and excess must be lists of the same length, with three times or more")
    apart, logarithm = time - time.mean(), np.log(excess)
    spread = apart @ apart
    slope = apart @ logarithm / spread
    if slope >= 0:
        raise ValueError(f"excess must fall over time (its logarithm has the slope {slope:.3g})")
    rest = logarithm - logarithm.mean() - slope * apart
    error = np.sqrt(rest @ rest / (time.size - 2) / spread)
    return CoolingLine(float(-1 / slope), float(error / slope**2))
