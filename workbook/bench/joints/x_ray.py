"""How small a thing an X-ray picture of a joint can show.

Both figures are given at the joint, so that they can be held against the width of a crack. A crack edge-on to the rays
shows by the thickness of solder it takes away, a closed one hardly at all: a picture without a crack clears
no joint.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["pixel_at_joint", "unsharpness_at_joint"]


def unsharpness_at_joint(spot, magnification):
    r"""Return the blur that the size of the X-ray source leaves, measured at the joint.

    .. math:: u = f \, \frac{M - 1}{M}

    On the detector it is f (M - 1), the geometric unsharpness; seen from the joint it is M times less.

    Parameters
    ----------
    spot : float or array
        Diameter of the focal spot, above zero [m].
    magnification : float or array
        Distance from source to detector over distance from source to joint, at least 1 [1].

    Returns
    -------
    float or array
        Blur at the joint, from zero up to the spot itself [m].

    References
    ----------
    Geometric unsharpness F d / (D - d) on the detector, as public pages on radiography print it (second-hand).

    Examples
    --------
    A spot of 5 µm at 20 times, in µm:

    >>> f"{unsharpness_at_joint(5e-6, 20) * 1e6:.2f}"
    '4.75'
    """
    spot, magnification = checks.floats(spot, magnification)
    checks.above("spot", spot, 0, "m")
    checks.at_least("magnification", magnification, 1)
    return spot * (1 - np.divide(1, magnification))


def pixel_at_joint(pixel, magnification):
    r"""Return how much of a joint one pixel of the detector takes in.

    .. math:: p = p_\mathrm{detector} / M

    Parameters
    ----------
    pixel : float or array
        Width of a pixel of the detector, above zero [m].
    magnification : float or array
        Distance from source to detector over distance from source to joint, at least 1 [1].

    Returns
    -------
    float or array
        Width of the pixel at the joint [m].

    References
    ----------
    Similar triangles.

    Examples
    --------
    100 µm at 20 times, in µm:

    >>> f"{pixel_at_joint(100e-6, 20) * 1e6:.1f}"
    '5.0'
    """
    checks.above("pixel", pixel, 0, "m")
    checks.at_least("magnification", magnification, 1)
    return np.divide(pixel, magnification)
