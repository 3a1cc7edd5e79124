"""How much paste: films, dots, beads and crosses, and the spherical segment behind dots, balls and joints."""

from math import pi

from workbook.bench import checks

__all__ = [
    "bead_length",
    "bead_volume",
    "bond_line_from_volume",
    "cross_volume",
    "dot_diameter",
    "dot_volume",
    "film_volume",
    "spherical_segment_volume",
]


def film_volume(area, bond_line):
    r"""Return the paste that fills a bond line.

    .. math:: V = A \cdot BLT

    Parameters
    ----------
    area : float or array
        Area to be covered, above zero [m^2].
    bond_line : float or array
        Bond line, at least zero [m].

    Returns
    -------
    float or array
        Volume [m^3].

    References
    ----------
    Geometry.

    Examples
    --------
    14 mm x 14 mm at 50 µm, in mm³:

    >>> round(film_volume(14e-3 * 14e-3, 50e-6) * 1e9, 1)
    9.8
    """
    area, bond_line = checks.floats(area, bond_line)
    checks.above("area", area, 0, "m²")
    checks.at_least("bond line", bond_line, 0, "m")
    return area * bond_line


def bond_line_from_volume(volume, area):
    r"""Return the bond line a volume makes if it just fills an area.

    .. math:: BLT = V / A

    Parameters
    ----------
    volume : float or array
        Paste volume, at least zero [m^3].
    area : float or array
        Area covered, above zero [m^2].

    Returns
    -------
    float or array
        Bond line [m].

    References
    ----------
    Geometry.

    Examples
    --------
    A half-sphere of 4 mm on 14 mm x 14 mm, in µm:

    >>> round(bond_line_from_volume(dot_volume(4e-3), 14e-3 * 14e-3) * 1e6, 1)
    85.5
    """
    volume, area = checks.floats(volume, area)
    checks.at_least("volume", volume, 0, "m³")
    checks.above("area", area, 0, "m²")
    return volume / area


def dot_volume(base_diameter):
    r"""Return the volume of a dot in the shape of a half-sphere.

    .. math:: V = \pi d^3 / 12

    Parameters
    ----------
    base_diameter : float or array
        Diameter of the dot on the surface, at least zero [m].

    Returns
    -------
    float or array
        Volume [m^3].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(dot_volume(4e-3) * 1e9, 2)
    16.76
    """
    base_diameter = checks.floats(base_diameter)
    checks.at_least("base diameter", base_diameter, 0, "m")
    return pi * base_diameter**3 / 12


def dot_diameter(volume):
    r"""Return the base diameter of a half-sphere dot of a given volume.

    .. math:: d = (12 V / \pi)^{1/3}

    Parameters
    ----------
    volume : float or array
        Paste volume, at least zero [m^3].

    Returns
    -------
    float or array
        Base diameter, not the radius [m].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(dot_diameter(9.8e-9) * 1e3, 2)
    3.35
    """
    volume = checks.floats(volume)
    checks.at_least("volume", volume, 0, "m³")
    return (12 * volume / pi) ** (1 / 3)


def bead_volume(width, length):
    r"""Return the volume of a half-round bead.

    .. math:: V = \pi d^2 L / 8

    Square-cut ends.

    Parameters
    ----------
    width : float or array
        Width of the bead on the surface, at least zero [m].
    length : float or array
        Length of the bead, at least zero [m].

    Returns
    -------
    float or array
        Volume [m^3].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(bead_volume(1.5e-3, 12e-3) * 1e9, 2)
    10.6
    """
    width, length = checks.floats(width, length)
    checks.at_least("width", width, 0, "m")
    checks.at_least("length", length, 0, "m")
    return pi * width**2 * length / 8


def bead_length(volume, width):
    r"""Return the length of half-round bead that holds a volume.

    .. math:: L = 8 V / (\pi d^2)

    Parameters
    ----------
    volume : float or array
        Paste volume, at least zero [m^3].
    width : float or array
        Width of the bead on the surface, above zero [m].

    Returns
    -------
    float or array
        Length [m].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(bead_length(10.6e-9, 1.5e-3) * 1e3, 1)
    12.0
    """
    volume, width = checks.floats(volume, width)
    checks.at_least("volume", volume, 0, "m³")
    checks.above("width", width, 0, "m")
    return 8 * volume / (pi * width**2)


def cross_volume(width, length):
    r"""Return the volume of two equal half-round beads crossing at right angles.

    .. math:: V = 2 \cdot \pi d^2 L / 8 - d^3 / 3

    The last term is half of a Steinmetz solid: the paste that both beads would claim.

    Parameters
    ----------
    width : float or array
        Width of each bead, at least zero [m].
    length : float or array
        Length of each bead, at least its width [m].

    Returns
    -------
    float or array
        Volume [m^3].

    References
    ----------
    Geometry (Steinmetz solid of two equal cylinders, 2 d³/3).

    Examples
    --------
    >>> round(cross_volume(1.5e-3, 12e-3) * 1e9, 2)
    20.08
    """
    width, length = checks.floats(width, length)
    checks.at_least("length less width", length - width, 0, "m")
    return 2 * bead_volume(width, length) - width**3 / 3


def spherical_segment_volume(radius, other_radius, height):
    r"""Return the volume between two parallel cuts through a sphere.

    .. math:: V = \frac{\pi h}{6} (3 r_1^2 + 3 r_2^2 + h^2)

    With one radius zero it is a cap; with both zero, a whole sphere.

    Parameters
    ----------
    radius : float or array
        Radius of one cut, at least zero [m].
    other_radius : float or array
        Radius of the other cut, at least zero [m].
    height : float or array
        Distance between the cuts, at least zero [m].

    Returns
    -------
    float or array
        Volume [m^3].

    References
    ----------
    Spherical segment in two public encyclopaedias of geometry.

    Examples
    --------
    A ball of 0.75 mm is 0.2209 mm³:

    >>> round(spherical_segment_volume(0, 0, 0.75e-3) * 1e9, 4)
    0.2209
    """
    radius, other_radius, height = checks.floats(radius, other_radius, height)
    checks.at_least("radius", radius, 0, "m")
    checks.at_least("other radius", other_radius, 0, "m")
    checks.at_least("height", height, 0, "m")
    return pi * height / 6 * (3 * radius**2 + 3 * other_radius**2 + height**2)
