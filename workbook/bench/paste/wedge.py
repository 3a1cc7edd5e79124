"""A sink that stands tilted: its paste is a wedge."""

import numpy as np

from workbook.bench import checks
from workbook.bench.paste import chain

__all__ = ["wedge_resistance"]

_FLAT = 1e-6  # relative difference of the edges below which the layer is flat and the logarithm would cancel


def wedge_resistance(thin_edge, thick_edge, conductivity, area):
    r"""Return the thermal resistance of a layer that widens evenly from one edge to the other.

    .. math:: R = \frac{h_2 - h_1}{k A \ln(h_2 / h_1)}

    Both faces at one temperature each, heat straight across: strips side by side. The thin side carries most, so the
    wedge is better than a flat layer of its mean gap, and worse than a flat layer of its thin edge. On a real die the
    thick side then runs hotter.

    Parameters
    ----------
    thin_edge : float or array
        Gap at the thin edge, above zero [m].
    thick_edge : float or array
        Gap at the opposite edge, at least the thin one [m].
    conductivity : float or array
        Thermal conductivity of the paste, above zero [W/m/K].
    area : float or array
        Area of the layer, above zero [m^2].

    Returns
    -------
    float or array
        Thermal resistance [K/W].

    References
    ----------
    Integral of k dA / h over the face: paths side by side (textbook).

    Examples
    --------
    50 µm to 150 µm under a die of 14 mm, paste of 3 W/m/K; flat at 50 µm, and flat at the mean gap:

    >>> f"{wedge_resistance(50e-6, 150e-6, 3, 14e-3**2):.3f}"
    '0.155'
    >>> [f"{chain.layer_resistance(gap, 3, 14e-3**2):.3f}" for gap in (50e-6, 100e-6)]
    ['0.085', '0.170']
    """
    checks.above("thin_edge", thin_edge, 0, "m")
    checks.at_least("thick_edge minus thin_edge", np.subtract(thick_edge, thin_edge), 0, "m")
    widening = np.divide(thick_edge, thin_edge) - 1
    # (h2 - h1) / ln(h2 / h1) is the gap of the flat layer that resists as much; for a flat layer it is the mean.
    steep = np.where(widening > _FLAT, widening, 1.0)
    equal_gap = thin_edge * np.where(widening > _FLAT, steep / np.log1p(steep), 1 + widening / 2)
    return chain.layer_resistance(equal_gap, conductivity, area)
