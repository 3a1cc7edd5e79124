"""How far a board is from flat: bow and twist in percent, and how far a corner may stand up."""

import numpy as np

from workbook.bench import checks

__all__ = ["bow_percent", "largest_bow", "largest_twist", "twist_percent"]


def bow_percent(rise, length):
    r"""Return the bow of a board that curves along one side, its four corners in one plane.

    .. math:: B = 100\, R / L

    Parameters
    ----------
    rise : float or array
        Greatest rise of the middle above the corners, at least zero [m].
    length : float or array
        Length of the side that curves, above zero [m].

    Returns
    -------
    float or array
        Bow [%].

    References
    ----------
    IPC-TM-650, method 2.4.22 (formula of the bow from memory).

    Examples
    --------
    >>> f"{bow_percent(1.5e-3, 0.200):.2f} %"
    '0.75 %'
    """
    rise, length = checks.floats(rise, length)
    checks.at_least("rise", rise, 0, "m")
    checks.above("length", length, 0, "m")
    return 100 * rise / length


def twist_percent(rise, length, width):
    r"""Return the twist of a board of which three corners lie on the table.

    .. math:: T = \frac{100\, R}{2 D}, \qquad D = \sqrt{a^2 + b^2}

    The two belongs to the method: one corner is held down, so the free one shows the twist twice.

    Parameters
    ----------
    rise : float or array
        Height of the free corner above the table, at least zero [m].
    length : float or array
        One side of the board, above zero [m].
    width : float or array
        Other side of the board, above zero [m].

    Returns
    -------
    float or array
        Twist [%].

    References
    ----------
    IPC-TM-650, method 2.4.22C (6/99), section 5.2.2.

    Examples
    --------
    A board of 200 x 150 mm, free corner up 2.8 mm (computed):

    >>> f"{twist_percent(2.8e-3, 0.200, 0.150):.2f} %"
    '0.56 %'
    """
    rise, length, width = checks.floats(rise, length, width)
    checks.at_least("rise", rise, 0, "m")
    return 100 * rise / (2 * _diagonal(length, width))


def largest_bow(limit_percent, length):
    r"""Return the rise at which a board reaches a limit of bow.

    .. math:: R = L B / 100

    Parameters
    ----------
    limit_percent : float or array
        Limit, such as 0.75 for boards with surface-mounted parts, at least zero [%].
    length : float or array
        Length of the side that curves, above zero [m].

    Returns
    -------
    float or array
        Rise of the middle [m].

    References
    ----------
    IPC-TM-650, method 2.4.22 (from memory); limit 0.75 % in IPC-A-610F, 10.2.7.

    Examples
    --------
    >>> f"{1e3 * largest_bow(0.75, 0.200):.2f} mm"
    '1.50 mm'
    """
    limit_percent, length = checks.floats(limit_percent, length)
    checks.at_least("limit", limit_percent, 0, "%")
    checks.above("length", length, 0, "m")
    return length * limit_percent / 100


def largest_twist(limit_percent, length, width):
    r"""Return how far the free corner may stand up at a limit of twist.

    .. math:: R = 2 D T / 100

    Parameters
    ----------
    limit_percent : float or array
        Limit, such as 0.75 for boards with surface-mounted parts, at least zero [%].
    length : float or array
        One side of the board, above zero [m].
    width : float or array
        Other side of the board, above zero [m].

    Returns
    -------
    float or array
        Height of the free corner [m].

    References
    ----------
    IPC-TM-650, method 2.4.22C (6/99), section 5.2.2; limit 0.75 % in IPC-A-610F, 10.2.7.

    Examples
    --------
    >>> f"{1e3 * largest_twist(0.75, 0.200, 0.150):.2f} mm"
    '3.75 mm'
    """
    limit_percent, length, width = checks.floats(limit_percent, length, width)
    checks.at_least("limit", limit_percent, 0, "%")
    return 2 * _diagonal(length, width) * limit_percent / 100


def _diagonal(length, width):
    checks.above("length", length, 0, "m")
    checks.above("width", width, 0, "m")
    return np.hypot(length, width)
