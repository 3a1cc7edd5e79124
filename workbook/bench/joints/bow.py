"""Bow: a part of two layers bends when it cools, and a board bends when it is heated from one side.

Sign: a curvature or bow is positive where the piece, lying as mounted with its upper face up, stands higher in the
middle than at its edges (convex seen from above, corners towards the board). It is negative for a dish.
"""

from dataclasses import dataclass

import numpy as np

from workbook.bench import checks

__all__ = ["Layer", "bilayer_curvature", "cantilever_tip", "centre_bow", "gradient_curvature"]


@dataclass(frozen=True)
class Layer:
    """One layer of a two-layer strip: thickness [m], Young's modulus [Pa], expansion coefficient [1/K]."""

    thickness: float
    modulus: float
    expansion: float

    def __post_init__(self):
        checks.above("thickness", self.thickness, 0, "m")
        checks.above("modulus", self.modulus, 0, "Pa")
        checks.between("expansion", self.expansion, 0, 1e-3, "1/K")


def bilayer_curvature(upper, lower, temperature_change):
    r"""Return the curvature of two bonded layers after a change of temperature.

    .. math:: \kappa = \frac{6 (\alpha_u - \alpha_l) \Delta T (1 + m)^2}
              {h \left[ 3(1 + m)^2 + (1 + mn)\left( m^2 + \frac{1}{mn} \right) \right]}

    with m = h_u/h_l, n = E_u/E_l, h = h_u + h_l. A narrow elastic strip, flat at the start, plane sections staying
    plane, expansion the same at all temperatures between. For a wide plate take E/(1 - nu) of both layers.

    Parameters
    ----------
    upper : Layer
        Upper layer: thickness [m], modulus [Pa], expansion [1/K], each in the range of :class:`Layer`.
    lower : Layer
        Lower layer, in the same units [m, Pa, 1/K].
    temperature_change : float or array
        Temperature now minus the temperature at which it was flat; below zero on cooling [K].

    Returns
    -------
    float or array
        Curvature, positive with the middle up [1/m].

    References
    ----------
    Timoshenko, Analysis of Bi-Metal Thermostats, Journal of the Optical Society of America 11, 1925, 233 (published
    second-hand for the general form).
    A bimetal strip theory page (published-unnamed) for equal layers, 1.5 times the mismatch over the thickness.

    Examples
    --------
    Equal layers, 14 ppm/K apart, 2 mm together, 100 K: 1.5 * 14e-6 * 100 / 2e-3 = 1.05 by the page:

    >>> hot_side, cold_side = Layer(1e-3, 100e9, 24e-6), Layer(1e-3, 100e9, 10e-6)
    >>> f"{bilayer_curvature(hot_side, cold_side, 100):.2f}"
    '1.05'
    """
    temperature_change = checks.floats(temperature_change)
    checks.finite("temperature_change", temperature_change, "K")
    m = np.divide(upper.thickness, lower.thickness)
    n = np.divide(upper.modulus, lower.modulus)
    thickness = np.add(upper.thickness, lower.thickness)
    free_strain = np.subtract(upper.expansion, lower.expansion) * temperature_change
    stiffness = 3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))
    return 6 * free_strain * (1 + m) ** 2 / (thickness * stiffness)


def gradient_curvature(expansion, temperature_difference, thickness):
    r"""Return the curvature of a free board that is hotter on one face than on the other.

    .. math:: \kappa = \frac{\alpha \, (T_{top} - T_{bottom})}{t}

    One material, temperature straight through the thickness and the same everywhere in the plane: the hot face is
    longer, the board takes the same curvature both ways, and no stress is left. A board heated in one spot is held by
    its cold rim, bows less and carries stress: then this is the free limit.

    Parameters
    ----------
    expansion : float or array
        Expansion coefficient in the plane, 0 to 1e-3 [1/K].
    temperature_difference : float or array
        Top face minus bottom face; above zero when heated from the top alone [K].
    thickness : float or array
        Thickness of the board, above zero [m].

    Returns
    -------
    float or array
        Curvature, positive with the middle up [1/m].

    References
    ----------
    Thin-plate theory, derived: the two faces differ in length by alpha dT, a thickness apart. The example is ours.

    Examples
    --------
    1.6 mm of laminate, 16 ppm/K, 40 K hotter on top:

    >>> f"{gradient_curvature(16e-6, 40, 1.6e-3):.2f}"
    '0.40'
    """
    checks.finite("temperature_difference", temperature_difference, "K")
    checks.between("expansion", expansion, 0, 1e-3, "1/K")
    checks.above("thickness", thickness, 0, "m")
    return np.multiply(expansion, temperature_difference) / thickness


def centre_bow(curvature, span):
    r"""Return how far the middle of a curved piece stands off the line between its ends.

    .. math:: w = \kappa L^2 / 8

    For shallow curves: at ``curvature * span`` of 0.5 the arc stands 1.6 % higher.

    Parameters
    ----------
    curvature : float or array
        Curvature, positive with the middle up, shallow [1/m].
    span : float or array
        Distance between the two ends, at least zero; the diagonal for corner to corner [m].

    Returns
    -------
    float or array
        Height of the middle over the ends, negative for a dish [m].

    References
    ----------
    Geometry of a shallow arc.

    Examples
    --------
    A die of 0.5 mm on 1.0 mm of laminate, bonded at 175 °C, now at 25 °C, over 30 mm (inputs from memory):

    >>> die, laminate = Layer(0.5e-3, 169e9, 2.6e-6), Layer(1.0e-3, 22e9, 15e-6)
    >>> f"{centre_bow(bilayer_curvature(die, laminate, -150), 30e-3) * 1e6:.0f}"
    '204'
    """
    curvature, span = checks.floats(curvature, span)
    checks.finite("curvature", curvature, "1/m")
    checks.at_least("span", span, 0, "m")
    return np.multiply(curvature, np.square(span)) / 8


def cantilever_tip(curvature, length):
    r"""Return how far the free end of a curved strip, held flat at the other end, has moved.

    .. math:: w = \kappa L^2 / 2

    Four times the centre bow of the same length: they are easily taken for each other.

    Parameters
    ----------
    curvature : float or array
        Curvature, positive with the middle up, shallow [1/m].
    length : float or array
        Free length, at least zero [m].

    Returns
    -------
    float or array
        Distance of the tip below the tangent at the held end, negative where it rises [m].

    References
    ----------
    A bimetal strip theory page (published-unnamed): 0.75 times mismatch, temperature and length squared over thickness.

    Examples
    --------
    0.75 * 14e-6 * 100 * 0.1^2 / 2e-3 is 5.25 mm by the page, at a curvature of 1.05:

    >>> f"{cantilever_tip(1.05, 0.1) * 1e3:.2f}"
    '5.25'
    """
    curvature, length = checks.floats(curvature, length)
    checks.finite("curvature", curvature, "1/m")
    checks.at_least("length", length, 0, "m")
    return np.multiply(curvature, np.square(length)) / 2
