"""What bare patches, voids and a ring of pad around the die do to the resistance."""

from workbook.bench import checks
from workbook.bench.paste.chain import in_parallel, layer_resistance
from workbook.references import value

__all__ = [
    "AIR_CONDUCTIVITY",
    "paste_and_pad_resistance",
    "partly_covered_resistance",
    "ring_area",
    "temperature_rise_over_void",
]

AIR_CONDUCTIVITY = value("paste", "air_conductivity")
"""Conductivity of still air near 25 °C [W/m/K]."""


def partly_covered_resistance(coverage, thickness, conductivity, area, void_conductivity=AIR_CONDUCTIVITY):
    r"""Return the resistance of a paste layer of which only a part is paste and the rest air.

    .. math:: 1 / R = f k A / t + (1 - f) k_a A / t

    Small bare patches spread evenly, both faces at one temperature each. One large void under a hot spot is worse:
    this is its lower bound (see `temperature_rise_over_void`).

    Parameters
    ----------
    coverage : float or array
        Covered share of the area, from 0 to 1 [1].
    thickness : float or array
        Bond line, above zero [m].
    conductivity : float or array
        Conductivity of the paste, above zero [W/m/K].
    area : float or array
        Whole area, covered and bare, above zero [m^2].
    void_conductivity : float or array
        Conductivity of what fills the bare part, above zero [W/m/K].

    Returns
    -------
    float or array
        Resistance [K/W].

    References
    ----------
    Paths side by side (algebra); the number is computed. That scattered voids act linearly and one contiguous void
    does not: InterPACK 2005, article 306026 (abstract).

    Examples
    --------
    14 mm x 14 mm, 50 µm, 3 W/m/K, four fifths covered:

    >>> round(partly_covered_resistance(0.8, 50e-6, 3, 14e-3 * 14e-3), 4)
    0.1061
    """
    coverage, thickness, conductivity, area, void_conductivity = checks.floats(
        coverage, thickness, conductivity, area, void_conductivity
    )
    checks.between("coverage", coverage, 0, 1)
    checks.above("thickness", thickness, 0, "m")
    checks.above("conductivity of the void", void_conductivity, 0, "W/m/K")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    mean_conductivity = coverage * conductivity + (1 - coverage) * void_conductivity
    return layer_resistance(thickness, mean_conductivity, area)


def ring_area(outer_side, inner_side):
    r"""Return the area of a square ring, such as the pad on a package around its die.

    .. math:: A = a_{out}^2 - a_{in}^2

    Parameters
    ----------
    outer_side : float or array
        Side of the outer square, above the inner side [m].
    inner_side : float or array
        Side of the square left open, at least zero [m].

    Returns
    -------
    float or array
        Area of the ring [m^2].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(ring_area(35e-3, 14e-3) * 1e6)
    1029
    """
    outer_side, inner_side = checks.floats(outer_side, inner_side)
    checks.at_least("inner side", inner_side, 0, "m")
    checks.above("outer side less inner side", outer_side - inner_side, 0, "m")
    return outer_side**2 - inner_side**2


def paste_and_pad_resistance(paste_resistance, pad_resistance):
    r"""Return the resistance of paste on the die and pad around it, under the same sink.

    .. math:: 1 / R = 1 / R_{paste} + 1 / R_{pad}

    Heat takes both ways at once, so the two are never added. Package and sink taken as one temperature each; a real
    package is cooler at its rim, and the pad then carries less.

    Parameters
    ----------
    paste_resistance : float or array
        Resistance of the paste on the die, above zero [K/W].
    pad_resistance : float or array
        Resistance of the pad ring, above zero [K/W].

    Returns
    -------
    float or array
        Resistance of both together [K/W].

    References
    ----------
    Paths side by side (algebra); the number is computed.

    Examples
    --------
    >>> paste = layer_resistance(50e-6, 4, 14e-3 * 14e-3)
    >>> pad = layer_resistance(1e-3, 3, ring_area(35e-3, 14e-3))
    >>> round(paste_and_pad_resistance(paste, pad), 4)
    0.0533
    """
    paste_resistance, pad_resistance = checks.floats(paste_resistance, pad_resistance)
    return in_parallel(paste_resistance, pad_resistance)


def temperature_rise_over_void(heat_flux, void_radius, die_thickness, die_conductivity):
    r"""Return how much hotter the die is over the middle of one round void than at the void's rim.

    .. math:: \Delta T = q'' a^2 / (4 k t)

    Evenly heated thin die, all heat over the void flows sideways to its rim. Void radius well above the die thickness.
    The rise grows with the area of one void: the same bare area in n equal voids gives one n-th of it.

    Parameters
    ----------
    heat_flux : float or array
        Heat per area of the die, at least zero [W/m^2].
    void_radius : float or array
        Radius of the void, at least zero [m].
    die_thickness : float or array
        Thickness of the die, above zero [m].
    die_conductivity : float or array
        Conductivity of the die, above zero [W/m/K].

    Returns
    -------
    float or array
        Temperature rise over the rim [K].

    References
    ----------
    Radial conduction in an evenly heated disc with a fixed rim (own derivation, held to the differential equation).

    Examples
    --------
    A die of 0.5 mm at 148 W/m/K with 0.3 MW/m² over a void of 2 mm radius, by hand 1.2 / (4 x 0.074) = 4.05 K:

    >>> round(temperature_rise_over_void(0.3e6, 2e-3, 0.5e-3, 148), 2)
    4.05
    """
    heat_flux, void_radius, die_thickness, die_conductivity = checks.floats(
        heat_flux, void_radius, die_thickness, die_conductivity
    )
    checks.at_least("heat flux", heat_flux, 0, "W/m²")
    checks.at_least("void radius", void_radius, 0, "m")
    checks.above("die thickness", die_thickness, 0, "m")
    checks.above("die conductivity", die_conductivity, 0, "W/m/K")
    return heat_flux * void_radius**2 / (4 * die_conductivity * die_thickness)
