"""What an image or a reading says of a joint: void area, crack area, rise of resistance.

A good reading at room temperature does not clear a joint: a cracked one can close when it cools to the bench.
"""

import numpy as np
from scipy.special import gammaln

from workbook.bench import checks

__all__ = [
    "area_from_diameter_fraction",
    "chance_of_missing",
    "cycles_to_failure",
    "diameter_from_area_fraction",
    "resistance_rise",
    "ring_crack_area_fraction",
    "straight_crack_area_fraction",
    "void_area_fraction",
]


def area_from_diameter_fraction(diameter_fraction):
    r"""Return the share of a round image that a round void covers, from the ratio of the diameters.

    .. math:: \frac{A}{A_0} = \left( \frac{d}{D} \right)^2

    Parameters
    ----------
    diameter_fraction : float or array
        Void diameter over ball diameter, 0 to 1 [1].

    Returns
    -------
    float or array
        Void area over ball area in the image, 0 to 1 [1].

    References
    ----------
    Geometry of circles.

    Examples
    --------
    A void half as wide as the ball covers a quarter of it:

    >>> float(area_from_diameter_fraction(0.5))
    0.25
    """
    checks.between("diameter_fraction", diameter_fraction, 0, 1)
    return np.square(diameter_fraction)


def diameter_from_area_fraction(area_fraction):
    r"""Return how wide a round void may be for a share of the image area.

    .. math:: \frac{d}{D} = \sqrt{A/A_0}

    Parameters
    ----------
    area_fraction : float or array
        Void area over ball area in the image, 0 to 1 [1].

    Returns
    -------
    float or array
        Void diameter over ball diameter, 0 to 1 [1].

    References
    ----------
    Geometry of circles.

    Examples
    --------
    The 25 % area limit is reached by one void of half the width:

    >>> float(diameter_from_area_fraction(0.25))
    0.5
    """
    checks.between("area_fraction", area_fraction, 0, 1)
    return np.sqrt(area_fraction)


def void_area_fraction(void_diameters, ball_diameter):
    r"""Return the share of the image of one ball that all its round voids cover together.

    .. math:: \frac{A}{A_0} = \frac{\sum_i d_i^2}{D^2}

    Voids that overlap in the image are counted twice.

    Parameters
    ----------
    void_diameters : array
        Diameter of each void of the ball, voids along the last axis, at least zero [m].
    ball_diameter : float or array
        Diameter of the ball in the image, above zero [m].

    Returns
    -------
    float or array
        Void area over ball area in the image [1].

    References
    ----------
    Total void area per ball as in the X-ray criterion of IPC-A-610 (published second-hand); geometry of circles.

    Examples
    --------
    Three voids of 0.15 mm and one of 0.20 mm in a ball of 0.60 mm, 0.1075/0.36 by hand:

    >>> f"{void_area_fraction([0.15e-3, 0.15e-3, 0.15e-3, 0.20e-3], 0.60e-3):.3f}"
    '0.299'
    """
    checks.at_least("void_diameters", void_diameters, 0, "m")
    checks.above("ball_diameter", ball_diameter, 0, "m")
    return np.sum(np.square(void_diameters), axis=-1) / np.square(ball_diameter)


def ring_crack_area_fraction(depth, diameter):
    r"""Return the share of a round joint that a crack has parted which came in evenly from all round.

    .. math:: \frac{A}{A_0} = 1 - \left( 1 - \frac{2a}{D} \right)^2

    Parameters
    ----------
    depth : float or array
        Depth of the crack as a section through the middle shows it, from zero to half the diameter [m].
    diameter : float or array
        Diameter of the joint in the plane of the crack, above zero [m].

    Returns
    -------
    float or array
        Cracked area over joint area, 0 to 1 [1].

    References
    ----------
    Geometry of circles. NPL report MATC(A)164, 2004: a section locates a crack, dye shows its area.

    Examples
    --------
    A quarter of the diameter deep on both sides looks half cracked and is three quarters gone:

    >>> float(ring_crack_area_fraction(0.1e-3, 0.4e-3))
    0.75
    """
    checks.above("diameter", diameter, 0, "m")
    relative = np.divide(depth, diameter)
    checks.between("depth over diameter", relative, 0, 0.5)
    return 1 - np.square(1 - 2 * relative)


def straight_crack_area_fraction(depth, diameter):
    r"""Return the share of a round joint that a crack has parted which came in from one side with a straight front.

    .. math:: \frac{A}{A_0} = \frac{\theta - \sin\theta}{2\pi}, \quad \cos\frac{\theta}{2} = 1 - \frac{2a}{D}

    Parameters
    ----------
    depth : float or array
        Depth of the crack across the front, from zero to the diameter [m].
    diameter : float or array
        Diameter of the joint in the plane of the crack, above zero [m].

    Returns
    -------
    float or array
        Cracked area over joint area, 0 to 1 [1].

    References
    ----------
    Geometry of the circular segment. NPL report MATC(A)164, 2004: a section locates a crack, dye shows its area.

    Examples
    --------
    Half way in is half the area, a quarter of the way in only a fifth:

    >>> [f"{share:.3f}" for share in straight_crack_area_fraction([0.2e-3, 0.1e-3], 0.4e-3)]
    ['0.500', '0.196']
    """
    checks.above("diameter", diameter, 0, "m")
    relative = np.divide(depth, diameter)
    checks.between("depth over diameter", relative, 0, 1)
    angle = 2 * np.arccos(1 - 2 * relative)
    return (angle - np.sin(angle)) / (2 * np.pi)


def resistance_rise(resistance, initial_resistance):
    r"""Return by what share a resistance has risen.

    .. math:: r = R / R_0 - 1

    Parameters
    ----------
    resistance : float or array
        Reading now, at least zero; infinite for an open [ohm].
    initial_resistance : float or array
        Reading before the first cycle at the same temperature, above zero [ohm].

    Returns
    -------
    float or array
        Rise as a fraction (0.2 is 20 %), below zero for a fall [1].

    References
    ----------
    A thesis on failure criteria for IPC-9701A (published-unnamed), which takes a rise of 20 % as failure.

    Examples
    --------
    2.40 ohm from 2.00 ohm is the 20 % of the criterion:

    >>> f"{resistance_rise(2.40, 2.00):.0%}"
    '20%'
    """
    checks.at_least("resistance", np.where(np.isposinf(resistance), 0, resistance), 0, "ohm")
    checks.above("initial_resistance", initial_resistance, 0, "ohm")
    return np.divide(resistance, initial_resistance) - 1


def cycles_to_failure(cycles, resistance, initial_resistance, rise):
    r"""Return the first cycle at which the resistance has risen by a criterion.

    .. math:: N_f = \min \{ n : R(n) / R_0 - 1 \ge r \}

    The first reading counts even if later ones are good again: an opened joint can close. A loose criterion, such as a
    hard open, gives a longer life for the same joint.

    Parameters
    ----------
    cycles : array
        Cycle number of each reading, rising, at least zero [1].
    resistance : array
        Reading at each of them, at least zero; infinite for an open; readings along the last axis [ohm].
    initial_resistance : float or array
        Reading before the first cycle, above zero; one for each row of readings [ohm].
    rise : float
        Criterion as a fraction, above zero; 0.20 by IPC-9701A [1].

    Returns
    -------
    float or array
        Cycle of the first failing reading, infinite where there is none [1].

    References
    ----------
    A thesis on failure criteria for IPC-9701A (published-unnamed), which takes a rise of 20 % as failure. The readings
    are invented.

    Examples
    --------
    >>> float(cycles_to_failure([0, 500, 1000, 1500], [2.0, 2.1, 2.5, 2.1], 2.0, rise=0.20))
    1000.0
    """
    initial_resistance = checks.floats(initial_resistance)
    checks.at_least("cycles", cycles, 0)
    checks.above("rise", rise, 0)
    if np.any(np.diff(cycles) <= 0):
        raise ValueError("cycles must rise from reading to reading")
    # A rise of exactly the criterion fails, also where it comes out a rounding error short.
    failing = resistance_rise(resistance, np.expand_dims(initial_resistance, -1)) >= rise * (1 - 1e-12)
    return np.min(np.where(failing, cycles, np.inf), axis=-1)


def chance_of_missing(joints, cut, cracked=1):
    r"""Return how likely a section through some joints passes none of the cracked ones.

    .. math:: P = \frac{\binom{N - c}{m}}{\binom{N}{m}}

    Each joint is as likely cracked as any other, and a section that passes a crack shows it. With one cracked joint
    it is 1 - m/N. As sound joints never show a crack, it is also the likelihood ratio of a section without one.

    Parameters
    ----------
    joints : float or array
        Joints among which the cracked ones are, above zero [1].
    cut : float or array
        How many of them the section passes, from zero to all [1].
    cracked : float or array
        How many are cracked, from zero to all [1].

    Returns
    -------
    float or array
        Probability, 0 to 1 [1].

    References
    ----------
    Hypergeometric distribution. A worked problem of acceptance sampling (a public course page, not named): of 25 parts
    2 do not conform, 5 are tested.

    Examples
    --------
    Printed there as 0.6333:

    >>> f"{chance_of_missing(25, 5, 2):.4f}"
    '0.6333'
    """
    checks.above("joints", joints, 0)
    checks.between("cut over joints", np.divide(cut, joints), 0, 1)
    checks.between("cracked over joints", np.divide(cracked, joints), 0, 1)
    joints, cut, cracked = np.broadcast_arrays(*(np.asarray(number, float) for number in (joints, cut, cracked)))
    fits = cut + cracked <= joints  # else the section cannot miss them all
    left = np.where(fits, joints - cracked - cut, 0)
    ways = gammaln(joints - cracked + 1) - gammaln(left + 1) - gammaln(joints + 1) + gammaln(joints - cut + 1)
    return np.where(fits, np.exp(ways), 0.0)[()]
