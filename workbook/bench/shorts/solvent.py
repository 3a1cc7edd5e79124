"""A drop of isopropyl alcohol that shows a warm spot: how long it lasts. What air its vapour needs, `intake.air` says.

Its flash point is below room temperature: supply off while wetting, drops only, no iron and no hot air near, air
extracted. Keep to the safety data sheet and to local rules.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["drying_time"]


def drying_time(film_mass, power, latent_heat=664e3):
    r"""Return how long a film of liquid lasts on a warm spot, if all the heat goes into it.

    .. math:: t = m L / P

    Most of the heat goes into the board, so the spot dries later than this: it is the shortest time.

    Parameters
    ----------
    film_mass : float or array
        Liquid on the spot, at least zero [kg].
    power : float or array
        Heat of the spot, above zero [W].
    latent_heat : float or array
        Of the liquid, above zero [J/kg]. The default is isopropyl alcohol at its boiling point.

    Returns
    -------
    float or array
        Time until the spot is dry [s].

    References
    ----------
    Safety data sheet of isopropyl alcohol (published second-hand), for the latent heat; the example is computed.

    Examples
    --------
    10 mg on 0.1 W:

    >>> f"{drying_time(10e-6, 0.1):.0f} s"
    '66 s'
    """
    checks.at_least("film mass", film_mass, 0, "kg")
    checks.above("power", power, 0, "W")
    checks.above("latent heat", latent_heat, 0, "J/kg")
    return np.multiply(film_mass, latent_heat) / power
