"""Spreading resistance: heat that enters a plate on a small spot.

Square plates and sources are taken as round ones of the same area; the source sits in the middle, the rim of the plate
is insulated, and one film coefficient covers the whole far face.
"""

from dataclasses import dataclass
from math import pi

import numpy as np
from scipy.special import j0, j1, jn_zeros

from workbook.bench import checks

__all__ = [
    "SpreadingPlate",
    "average_spreading_resistance",
    "even_flux_disc_on_half_space",
    "exact_average_resistance",
    "exact_maximum_resistance",
    "isothermal_disc_on_half_space",
    "maximum_spreading_resistance",
    "one_dimensional_share",
]

_TERMS = 2000


@dataclass(frozen=True)
class SpreadingPlate:
    """A plate with a centred source: areas [m^2], thickness [m], conductivity [W/m/K], resistance below [K/W].

    ``resistance_below`` is that from the whole far face to the air, each value above zero.
    """

    source_area: float
    plate_area: float
    thickness: float
    conductivity: float
    resistance_below: float

    def __post_init__(self):
        checks.above("source area", self.source_area, 0, "m²")
        checks.above("plate area less source area", self.plate_area - self.source_area, 0, "m²")
        checks.above("thickness", self.thickness, 0, "m")
        checks.above("conductivity", self.conductivity, 0, "W/m/K")
        checks.above("resistance below", self.resistance_below, 0, "K/W")

    @property
    def source_radius(self) -> float:
        """Radius of a round source of the same area [m]."""
        return (self.source_area / pi) ** 0.5

    @property
    def plate_radius(self) -> float:
        """Radius of a round plate of the same area [m]."""
        return (self.plate_area / pi) ** 0.5

    @property
    def biot(self) -> float:
        """Biot number with the plate radius, h b / k = 1 / (pi k b R) [1]."""
        return 1 / (pi * self.conductivity * self.plate_radius * self.resistance_below)


def maximum_spreading_resistance(plate):
    r"""Return the resistance from the hottest point of the source to the mean of the far face, closed form.

    .. math:: R = \frac{1}{k a \sqrt\pi} \left( \frac{\varepsilon \tau}{\sqrt\pi}
        + \frac{(1 - \varepsilon)\, \phi}{\sqrt\pi} \right), \quad
        \phi = \frac{\tanh \lambda\tau + \lambda / Bi}{1 + (\lambda / Bi) \tanh \lambda\tau}, \quad
        \lambda = \pi + \frac{1}{\sqrt\pi\, \varepsilon}

    eps = a/b, tau = t/b, Bi = h b / k. The plate's own t/(k A) is in it already: never add it again. For eps from 0.05
    to 0.833. Against the exact series it lies between -10 % and +8 % for tau from 0.02 and Bi up to 0.1, which is where
    sinks in air are; a thin plate on a good cooler (Bi 1 and above) comes out up to 50 % high.

    Parameters
    ----------
    plate : SpreadingPlate
        Plate with its source [m, W/m/K, K/W].

    Returns
    -------
    float
        Resistance [K/W].

    References
    ----------
    Lee, Song, Au and Moran 1995, ASME/JSME 4:199-206 (published second-hand: in full in a public script). A magazine
    reprint prints 1/2 in place of 1/sqrt(pi) before phi. The number is computed.

    Examples
    --------
    25 mm x 25 mm on 100 mm x 100 mm x 5 mm, 200 W/m/K, 1.0 K/W below:

    >>> round(maximum_spreading_resistance(SpreadingPlate(25e-3**2, 100e-3**2, 5e-3, 200, 1.0)), 3)
    0.191
    """
    ratio, depth, phi = _closed_form(plate)
    shape = (ratio * depth + (1 - ratio) * phi) / pi**0.5
    return shape / (plate.conductivity * plate.source_radius * pi**0.5)


def average_spreading_resistance(plate):
    r"""Return the resistance from the mean of the source to the mean of the far face, closed form.

    .. math:: R = \frac{1}{k a \sqrt\pi} \left( \frac{\varepsilon \tau}{\sqrt\pi}
        + \tfrac12 (1 - \varepsilon)^{3/2} \phi \right)

    Symbols and the plate's own t/(k A) as in `maximum_spreading_resistance`. Against the exact series it lies between
    -12 % and +10 % for eps from 0.05 to 0.75, tau from 0.02 and Bi up to 0.1.

    Parameters
    ----------
    plate : SpreadingPlate
        Plate with its source [m, W/m/K, K/W].

    Returns
    -------
    float
        Resistance [K/W].

    References
    ----------
    Lee, Song, Au and Moran 1995, eq. 5, 11, 19-21 (published second-hand: two public texts). The number is computed.

    Examples
    --------
    >>> round(average_spreading_resistance(SpreadingPlate(25e-3**2, 100e-3**2, 5e-3, 200, 1.0)), 3)
    0.147
    """
    ratio, depth, phi = _closed_form(plate)
    shape = ratio * depth / pi**0.5 + 0.5 * (1 - ratio) ** 1.5 * phi
    return shape / (plate.conductivity * plate.source_radius * pi**0.5)


def one_dimensional_share(plate):
    r"""Return the part of a spreading resistance that the plate would have with heat over its whole face.

    .. math:: R = t / (k A_{plate})

    Parameters
    ----------
    plate : SpreadingPlate
        Plate with its source [m, W/m/K, K/W].

    Returns
    -------
    float
        Resistance [K/W].

    References
    ----------
    Plane wall; the number is computed.

    Examples
    --------
    >>> round(one_dimensional_share(SpreadingPlate(25e-3**2, 100e-3**2, 5e-3, 200, 1.0)), 4)
    0.0025
    """
    return plate.thickness / (plate.conductivity * plate.plate_area)


def exact_maximum_resistance(plate):
    r"""Return the resistance from the middle of the source to the mean of the far face, by the exact series.

    .. math:: R = \frac{t}{k \pi b^2} + \sum_n \frac{2 J_1(\lambda_n a)}{\pi a b^2 k \lambda_n^2 J_0^2(\lambda_n b)}
        \frac{\tanh \lambda_n t + \lambda_n k / h}{1 + (\lambda_n k / h) \tanh \lambda_n t}, \quad J_1(\lambda_n b) = 0

    Round source of even flux on a round plate. 2000 terms: within 1e-4 for radius ratios of 0.05 and above.

    Parameters
    ----------
    plate : SpreadingPlate
        Plate with its source [m, W/m/K, K/W].

    Returns
    -------
    float
        Resistance [K/W].

    References
    ----------
    Separation of variables (own derivation); agrees with a finite-volume run and with a series for square shapes.

    Examples
    --------
    >>> round(exact_maximum_resistance(SpreadingPlate(25e-3**2, 100e-3**2, 5e-3, 200, 1.0)), 4)
    0.1956
    """
    _, terms = _series(plate)
    return one_dimensional_share(plate) + float(terms.sum())


def exact_average_resistance(plate):
    r"""Return the resistance from the mean of the source to the mean of the far face, by the exact series.

    .. math:: R = \frac{t}{k \pi b^2} + \sum_n R_n \frac{2 J_1(\lambda_n a)}{\lambda_n a}

    R_n are the terms of `exact_maximum_resistance`.

    Parameters
    ----------
    plate : SpreadingPlate
        Plate with its source [m, W/m/K, K/W].

    Returns
    -------
    float
        Resistance [K/W].

    References
    ----------
    Separation of variables (own derivation).

    Examples
    --------
    >>> round(exact_average_resistance(SpreadingPlate(25e-3**2, 100e-3**2, 5e-3, 200, 1.0)), 4)
    0.1576
    """
    wave_number, terms = _series(plate)
    over_source = wave_number * plate.source_radius
    return one_dimensional_share(plate) + float((terms * 2 * j1(over_source) / over_source).sum())


def isothermal_disc_on_half_space(radius, conductivity):
    r"""Return the resistance of a disc of one temperature on a body that has no end.

    .. math:: R = \frac{1}{4 a k}

    The shape factor 2 D with the diameter D.

    Parameters
    ----------
    radius : float or array
        Disc radius, above zero [m].
    conductivity : float or array
        Conductivity of the body, above zero [W/m/K].

    Returns
    -------
    float or array
        Resistance to far away [K/W].

    References
    ----------
    Documentation of a public library (published second-hand).

    Examples
    --------
    >>> round(isothermal_disc_on_half_space(10e-3, 177), 4)
    0.1412
    """
    radius, conductivity = checks.floats(radius, conductivity)
    checks.above("radius", radius, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    return 1 / (4 * radius * conductivity)


def even_flux_disc_on_half_space(radius, conductivity):
    r"""Return the mean resistance of a disc of even flux on a body that has no end.

    .. math:: R = \frac{8}{3 \pi^2 a k}

    Parameters
    ----------
    radius : float or array
        Disc radius, above zero [m].
    conductivity : float or array
        Conductivity of the body, above zero [W/m/K].

    Returns
    -------
    float or array
        Resistance from the mean of the disc to far away [K/W].

    References
    ----------
    Bejan and Kraus, Heat Transfer Handbook, chapter 4 (from memory; held here to the exact series of a thick plate).

    Examples
    --------
    >>> round(even_flux_disc_on_half_space(10e-3, 177), 4)
    0.1527
    """
    radius, conductivity = checks.floats(radius, conductivity)
    checks.above("radius", radius, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    return 8 / (3 * pi**2 * radius * conductivity)


def _closed_form(plate):
    """Return radius ratio, depth ratio and phi of the closed forms."""
    ratio = plate.source_radius / plate.plate_radius
    depth = plate.thickness / plate.plate_radius
    wave_number = pi + 1 / (pi**0.5 * ratio)
    slack, sag = wave_number / plate.biot, np.tanh(wave_number * depth)
    return ratio, depth, float((sag + slack) / (1 + slack * sag))


def _series(plate):
    """Return the wave numbers [1/m] and the terms [K/W] of the exact series at the middle of the source."""
    rim = jn_zeros(1, _TERMS)
    wave_number = rim / plate.plate_radius
    sag = np.tanh(wave_number * plate.thickness)
    slack = rim / plate.biot
    through_plate = (sag + slack) / (1 + slack * sag)
    flux = 2 * j1(wave_number * plate.source_radius) / (plate.source_radius * (rim * j0(rim)) ** 2)
    return wave_number, flux * through_plate / (pi * plate.conductivity)
