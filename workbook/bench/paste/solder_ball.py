"""Solder by volume: stencil openings, paste, balls, and the joint a ball melts down to.

A molten ball between two round lands is taken as a sphere cut by both, which surface tension alone would make. The
weight of the part is left out: it presses a real joint lower, the more so the fewer balls carry it.
"""

from math import pi

import numpy as np

from workbook.bench import checks
from workbook.bench.paste.volumes import spherical_segment_volume

__all__ = [
    "area_ratio",
    "aspect_ratio",
    "ball_diameter",
    "ball_volume",
    "cap_height",
    "grains_across",
    "joint_belly",
    "joint_height",
    "metal_volume_fraction",
    "printed_volume",
    "round_area_ratio",
    "volume_of_round_print",
]


def ball_volume(diameter):
    r"""Return the volume of a solder ball.

    .. math:: V = \pi d^3 / 6

    Parameters
    ----------
    diameter : float or array
        Ball diameter, at least zero [m].

    Returns
    -------
    float or array
        Volume [m^3].

    References
    ----------
    Geometry; an assembly forum prints 0.11 mm³ for a ball of 0.6 mm.

    Examples
    --------
    >>> round(ball_volume(0.6e-3) * 1e9, 2)
    0.11
    """
    diameter = checks.floats(diameter)
    return spherical_segment_volume(0.0, 0.0, diameter)


def ball_diameter(volume):
    r"""Return the diameter of a free ball of molten solder.

    .. math:: d = (6 V / \pi)^{1/3}

    Parameters
    ----------
    volume : float or array
        Metal volume, at least zero [m^3].

    Returns
    -------
    float or array
        Ball diameter [m].

    References
    ----------
    Geometry; the number is computed.

    Examples
    --------
    Metal of 0.00801 mm³:

    >>> round(ball_diameter(0.00801e-9) * 1e3, 3)
    0.248
    """
    volume = checks.floats(volume)
    checks.at_least("volume", volume, 0, "m³")
    return (6 * volume / pi) ** (1 / 3)


def joint_height(volume, land_radius, other_land_radius):
    r"""Return the height of a joint of molten solder between two round lands.

    .. math:: V = \frac{\pi h}{6} (3 r_1^2 + 3 r_2^2 + h^2) \quad\Rightarrow\quad
        h = 2 \sqrt p \, \sinh\left(\tfrac13 \operatorname{arsinh} \frac{3 V}{\pi p^{3/2}}\right), \; p = r_1^2 + r_2^2

    The one real root. Weight of the part left out; the solder wets each land up to its rim and no further.

    Parameters
    ----------
    volume : float or array
        Metal volume, at least zero [m^3].
    land_radius : float or array
        Radius of one land, above zero [m].
    other_land_radius : float or array
        Radius of the other land, at least zero [m].

    Returns
    -------
    float or array
        Height between the lands [m].

    References
    ----------
    Spherical segment in two public encyclopaedias of geometry; the number is computed. A device maker's knowledge base
    (published second-hand) tells of about 0.20 mm from balls of 0.30 mm.

    Examples
    --------
    A ball of 0.30 mm on lands of 0.25 mm:

    >>> round(float(joint_height(ball_volume(0.30e-3), 0.125e-3, 0.125e-3)) * 1e3, 3)
    0.201
    """
    volume, land_radius, other_land_radius = checks.floats(volume, land_radius, other_land_radius)
    checks.at_least("volume", volume, 0, "m³")
    checks.above("land radius", land_radius, 0, "m")
    checks.at_least("other land radius", other_land_radius, 0, "m")
    lands = land_radius**2 + other_land_radius**2
    return 2 * lands**0.5 * np.sinh(np.arcsinh(3 * volume / (pi * lands**1.5)) / 3)


def joint_belly(height, land_radius, other_land_radius):
    r"""Return the greatest diameter of a joint.

    .. math:: z = \frac{h^2 + r_2^2 - r_1^2}{2 h}, \quad d = 2 \sqrt{r_1^2 + z^2} \; \text{if } 0 \le z \le h

    Where the sphere's middle lies outside the joint, its widest place is the larger land.

    Parameters
    ----------
    height : float or array
        Height between the lands, above zero [m].
    land_radius : float or array
        Radius of one land, at least zero [m].
    other_land_radius : float or array
        Radius of the other land, at least zero [m].

    Returns
    -------
    float or array
        Greatest diameter [m].

    References
    ----------
    Geometry of a sphere; the number is computed.

    Examples
    --------
    >>> round(float(joint_belly(0.2014e-3, 0.125e-3, 0.125e-3)) * 1e3, 3)
    0.321
    """
    height, land_radius, other_land_radius = checks.floats(height, land_radius, other_land_radius)
    checks.above("height", height, 0, "m")
    checks.at_least("land radius", land_radius, 0, "m")
    checks.at_least("other land radius", other_land_radius, 0, "m")
    middle = (height**2 + other_land_radius**2 - land_radius**2) / (2 * height)
    within = (middle >= 0) & (middle <= height)
    return 2 * np.where(within, (land_radius**2 + middle**2) ** 0.5, np.maximum(land_radius, other_land_radius))


def cap_height(volume, land_radius):
    r"""Return the height of a drop of molten solder on one round land.

    .. math:: V = \frac{\pi h}{6} (3 r^2 + h^2)

    Parameters
    ----------
    volume : float or array
        Metal volume, at least zero [m^3].
    land_radius : float or array
        Radius of the land, above zero [m].

    Returns
    -------
    float or array
        Height over the land [m].

    References
    ----------
    Spherical cap, `joint_height` with one land of no size; the number is computed.

    Examples
    --------
    Metal of 0.00801 mm³ on a land of 0.30 mm:

    >>> round(float(cap_height(0.00801e-9, 0.15e-3)) * 1e3, 3)
    0.163
    """
    volume, land_radius = checks.floats(volume, land_radius)
    return joint_height(volume, land_radius, 0.0)


def aspect_ratio(width, foil):
    r"""Return the aspect ratio of a stencil opening.

    .. math:: W / T

    Paste lets go of the opening where it is above 1.5.

    Parameters
    ----------
    width : float or array
        Smaller side of the opening, above zero [m].
    foil : float or array
        Thickness of the foil, above zero [m].

    Returns
    -------
    float or array
        Aspect ratio [1].

    References
    ----------
    IPC-7525B (published second-hand); assembly journal, July 2019, p. 44: 6 mil in 5 mil is 1.2.

    Examples
    --------
    >>> round(aspect_ratio(6, 5), 1)
    1.2
    """
    width, foil = checks.floats(width, foil)
    checks.above("width", width, 0, "m")
    checks.above("foil", foil, 0, "m")
    return width / foil


def area_ratio(length, width, foil):
    r"""Return the area ratio of a rectangular stencil opening: the opening over its walls.

    .. math:: \frac{L W}{2 T (L + W)}

    Paste lets go of the opening where it is above 0.66.

    Parameters
    ----------
    length : float or array
        Length of the opening, above zero [m].
    width : float or array
        Width of the opening, above zero [m].
    foil : float or array
        Thickness of the foil, above zero [m].

    Returns
    -------
    float or array
        Area ratio [1].

    References
    ----------
    IPC-7525B (published second-hand); help page of a board fabricator: 1 mm x 0.5 mm in 0.12 mm is 1.39.

    Examples
    --------
    >>> round(area_ratio(1e-3, 0.5e-3, 0.12e-3), 2)
    1.39
    """
    length, width, foil = checks.floats(length, width, foil)
    checks.above("length", length, 0, "m")
    checks.above("width", width, 0, "m")
    checks.above("foil", foil, 0, "m")
    return length * width / (2 * foil * (length + width))


def round_area_ratio(diameter, foil):
    r"""Return the area ratio of a round or square stencil opening.

    .. math:: d / (4 T)

    Parameters
    ----------
    diameter : float or array
        Diameter, or side of a square, above zero [m].
    foil : float or array
        Thickness of the foil, above zero [m].

    Returns
    -------
    float or array
        Area ratio [1].

    References
    ----------
    IPC-7525B (published second-hand); assembly journal, July 2019, p. 44: 6 mil in 5 mil is 0.30.

    Examples
    --------
    >>> round_area_ratio(6, 5)
    0.3
    """
    diameter, foil = checks.floats(diameter, foil)
    return area_ratio(diameter, diameter, foil)


def printed_volume(opening_area, foil, transfer_efficiency):
    r"""Return the paste a stencil opening leaves on the land.

    .. math:: V = A T \, TE

    Parameters
    ----------
    opening_area : float or array
        Area of the opening, above zero [m^2].
    foil : float or array
        Thickness of the foil, above zero [m].
    transfer_efficiency : float or array
        Share of the paste that leaves the opening, from 0 to 1.5 [1].

    Returns
    -------
    float or array
        Paste volume [m^3].

    References
    ----------
    Help page of a board fabricator (published second-hand): 1 mm x 0.5 mm in 0.12 mm at 85 % is 0.051 mm³.

    Examples
    --------
    >>> round(printed_volume(1e-3 * 0.5e-3, 0.12e-3, 0.85) * 1e9, 3)
    0.051
    """
    opening_area, foil, transfer_efficiency = checks.floats(opening_area, foil, transfer_efficiency)
    checks.above("opening area", opening_area, 0, "m²")
    checks.above("foil", foil, 0, "m")
    checks.between("transfer efficiency", transfer_efficiency, 0, 1.5)
    return opening_area * foil * transfer_efficiency


def volume_of_round_print(diameter, foil, transfer_efficiency):
    r"""Return the paste a round stencil opening leaves on the land.

    .. math:: V = \frac{\pi d^2}{4} T \, TE

    Parameters
    ----------
    diameter : float or array
        Diameter of the opening, above zero [m].
    foil : float or array
        Thickness of the foil, above zero [m].
    transfer_efficiency : float or array
        Share of the paste that leaves the opening, from 0 to 1.5 [1].

    Returns
    -------
    float or array
        Paste volume [m^3].

    References
    ----------
    Geometry; the number is computed.

    Examples
    --------
    >>> round(volume_of_round_print(0.40e-3, 0.15e-3, 0.85) * 1e9, 5)
    0.01602
    """
    diameter, foil, transfer_efficiency = checks.floats(diameter, foil, transfer_efficiency)
    checks.above("diameter", diameter, 0, "m")
    return printed_volume(pi * diameter**2 / 4, foil, transfer_efficiency)


def metal_volume_fraction(mass_fraction, alloy_density, flux_density):
    r"""Return the share of paste, by volume, that is metal.

    .. math:: \phi = \frac{w / \rho_s}{w / \rho_s + (1 - w) / \rho_f}

    About one half: the rest is flux and leaves.

    Parameters
    ----------
    mass_fraction : float or array
        Metal by mass, from 0 to 1 [1].
    alloy_density : float or array
        Density of the alloy, above zero [kg/m^3].
    flux_density : float or array
        Density of the flux, above zero [kg/m^3].

    Returns
    -------
    float or array
        Metal by volume [1].

    References
    ----------
    Volumes add up (algebra); densities 7400 kg/m³ and about 1000 kg/m³ from a supplier's technical notes (published
    second-hand). The number is computed.

    Examples
    --------
    >>> round(metal_volume_fraction(0.885, 7400, 1000), 2)
    0.51
    """
    mass_fraction, alloy_density, flux_density = checks.floats(mass_fraction, alloy_density, flux_density)
    checks.between("mass fraction", mass_fraction, 0, 1)
    checks.above("alloy density", alloy_density, 0, "kg/m³")
    checks.above("flux density", flux_density, 0, "kg/m³")
    metal, flux = mass_fraction / alloy_density, (1 - mass_fraction) / flux_density
    return metal / (metal + flux)


def grains_across(opening, largest_grain):
    r"""Return how many of the largest grains fit across a stencil opening.

    .. math:: W / d_{max}

    At least 5 across a slot and 8 across a round opening.

    Parameters
    ----------
    opening : float or array
        Width of the slot or diameter of the round opening, above zero [m].
    largest_grain : float or array
        Largest grain of the powder, above zero [m].

    Returns
    -------
    float or array
        Number of grains [1].

    References
    ----------
    A process engineer's article on stencil openings (published second-hand): 5.3 for grains of 0.038 mm in a slot of
    0.2 mm.

    Examples
    --------
    >>> round(grains_across(0.2e-3, 0.038e-3), 1)
    5.3
    """
    opening, largest_grain = checks.floats(opening, largest_grain)
    checks.above("opening", opening, 0, "m")
    checks.above("largest grain", largest_grain, 0, "m")
    return opening / largest_grain
