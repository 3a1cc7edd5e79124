"""What holds a package down besides its solder, and what a vacuum cup pulls with.

Glue and underfill do not melt with the solder. Where they hold harder than the cup pulls, the cup slips and nothing is
lost; where somebody pulls harder still, the lands go.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["cup_pull", "glue_hold"]


def cup_pull(below_air, diameter):
    r"""Return the greatest force with which a vacuum cup pulls straight up.

    .. math:: F = \Delta p \, \pi d^2 / 4

    Parameters
    ----------
    below_air : float or array
        Pressure in the cup below that of the air around, above zero [Pa].
    diameter : float or array
        Inner diameter of the cup's lip, above zero [m].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Pressure is force over area. Standard atmosphere 101 325 Pa, exact (10th CGPM, 1954).

    Examples
    --------
    No cup of 10 mm can pull harder than the whole air presses on it:

    >>> f"{cup_pull(101325, 10e-3):.2f} N"
    '7.96 N'
    """
    below_air, diameter = checks.floats(below_air, diameter)
    checks.above("below_air", below_air, 0, "Pa")
    checks.above("diameter", diameter, 0, "m")
    return below_air * np.pi * np.square(diameter) / 4


def glue_hold(strength, area):
    r"""Return the force at which glue lets go that is pulled evenly over its whole area.

    .. math:: F = \sigma A

    An edge that is peeled lets go at far less, and takes the lands beside it along.

    Parameters
    ----------
    strength : float or array
        Strength of the glue at its temperature, at least zero [Pa].
    area : float or array
        Glued area under the package, at least zero [m^2].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Stress is force over area.

    Examples
    --------
    Four dots of 3 by 3 mm at 2 MPa:

    >>> f"{glue_hold(2e6, 4 * 3e-3 * 3e-3):.0f} N"
    '72 N'
    """
    strength, area = checks.floats(strength, area)
    checks.at_least("strength", strength, 0, "Pa")
    checks.at_least("area", area, 0, "m^2")
    return np.multiply(strength, area)
