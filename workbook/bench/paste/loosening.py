"""Taking a stuck sink off: what a lever does to the board under it."""

import numpy as np

from workbook.bench import checks

__all__ = ["bending_strain", "largest_deflection"]


def bending_strain(deflection, thickness, span):
    r"""Return the strain at the surface of a board bent over a span by a push at its middle.

    .. math:: \varepsilon = \frac{6 t \delta}{L^2}

    Parameters
    ----------
    deflection : float or array
        Deflection at mid-span, at least zero [m].
    thickness : float or array
        Board thickness, above zero [m].
    span : float or array
        Distance between the supports, above zero [m].

    Returns
    -------
    float or array
        Strain at the surface at mid-span [1].

    References
    ----------
    Three-point bending, ASTM D790 (second-hand, in an encyclopedia article on the three-point flexural test).

    Examples
    --------
    2 mm over 90 mm at 1.6 mm, in microstrain; a maker's application note asks for no more than 500:

    >>> f"{bending_strain(2e-3, 1.6e-3, 90e-3) * 1e6:.0f}"
    '2370'
    """
    deflection, thickness, span = checks.floats(deflection, thickness, span)
    checks.at_least("deflection", deflection, 0, "m")
    checks.above("thickness", thickness, 0, "m")
    checks.above("span", span, 0, "m")
    return 6 * thickness * deflection / np.square(span)


def largest_deflection(strain, thickness, span):
    r"""Return how far a board may be bent over a span for a strain at its surface.

    .. math:: \delta = \frac{\varepsilon L^2}{6 t}

    Parameters
    ----------
    strain : float or array
        Strain allowed, at least zero [1].
    thickness : float or array
        Board thickness, above zero [m].
    span : float or array
        Distance between the supports, above zero [m].

    Returns
    -------
    float or array
        Deflection at mid-span [m].

    References
    ----------
    Three-point bending, ASTM D790 (second-hand).

    Examples
    --------
    500 microstrain over 90 mm at 1.6 mm, in mm:

    >>> f"{largest_deflection(500e-6, 1.6e-3, 90e-3) * 1e3:.2f}"
    '0.42'
    """
    strain, thickness, span = checks.floats(strain, thickness, span)
    checks.at_least("strain", strain, 0)
    checks.above("thickness", thickness, 0, "m")
    checks.above("span", span, 0, "m")
    return strain * np.square(span) / (6 * thickness)
