"""How far a board hangs through between its supports, under its own weight and under a part.

A strip on two supports along its ends, everything elastic and small. Above its glass transition the resin carries
little, so the modulus falls to a few gigapascal, and the bow that is left after cooling can be lasting: a warm board is
held up from below.
"""

import numpy as np
from scipy import constants

from workbook.bench import checks

__all__ = ["sag_from_load", "sag_from_own_weight"]


def sag_from_own_weight(span, thickness, density, modulus):
    r"""Return the sag at mid-span of a board held along two edges, from its own weight.

    .. math:: \delta = \frac{5 \rho g L^4}{32 E t^2}

    The width drops out: it carries as much as it weighs.

    Parameters
    ----------
    span : float or array
        Distance between the supports, above zero [m].
    thickness : float or array
        Board thickness, above zero [m].
    density : float or array
        Density of the board, at least zero [kg/m^3].
    modulus : float or array
        Modulus of the board in bending at its temperature, above zero [Pa].

    Returns
    -------
    float or array
        Sag at mid-span [m].

    References
    ----------
    Beam tables: 5 w L^4 / (384 E I) for an even load; I = b t^3 / 12.

    Examples
    --------
    A bare laminate of 1.6 mm over 250 mm, cool (22 GPa) and warm (6 GPa, from memory), in mm:

    >>> [f"{sag_from_own_weight(0.250, 1.6e-3, 1850, modulus) * 1e3:.2f}" for modulus in (22e9, 6e9)]
    ['0.20', '0.72']
    """
    span, thickness, density, modulus = checks.floats(span, thickness, density, modulus)
    _check_strip(span, thickness, modulus)
    checks.at_least("density", density, 0, "kg/m^3")
    return 5 * density * constants.g * np.power(span, 4.0) / (32 * modulus * np.square(thickness))


def sag_from_load(mass, span, width, thickness, modulus):
    r"""Return the sag at mid-span of a board held along two edges, from a mass at mid-span.

    .. math:: \delta = \frac{m g L^3}{48 E I}, \quad I = \frac{b t^3}{12}

    The load is taken as spread over the whole width; on a narrow patch it sinks a little more.

    Parameters
    ----------
    mass : float or array
        Mass at mid-span, at least zero [kg].
    span : float or array
        Distance between the supports, above zero [m].
    width : float or array
        Width of the board across the span, above zero [m].
    thickness : float or array
        Board thickness, above zero [m].
    modulus : float or array
        Modulus of the board in bending at its temperature, above zero [Pa].

    Returns
    -------
    float or array
        Sag at mid-span [m].

    References
    ----------
    Beam tables: P L^3 / (48 E I) for a load at mid-span.

    Examples
    --------
    100 g on a board 200 mm wide, cool and warm, in mm:

    >>> [f"{sag_from_load(0.1, 0.250, 0.200, 1.6e-3, modulus) * 1e3:.2f}" for modulus in (22e9, 6e9)]
    ['0.21', '0.78']
    """
    mass, span, width, thickness, modulus = checks.floats(mass, span, width, thickness, modulus)
    _check_strip(span, thickness, modulus)
    checks.at_least("mass", mass, 0, "kg")
    checks.above("width", width, 0, "m")
    second_moment = width * np.power(thickness, 3.0) / 12
    return mass * constants.g * np.power(span, 3.0) / (48 * modulus * second_moment)


def _check_strip(span, thickness, modulus):
    checks.above("span", span, 0, "m")
    checks.above("thickness", thickness, 0, "m")
    checks.above("modulus", modulus, 0, "Pa")
