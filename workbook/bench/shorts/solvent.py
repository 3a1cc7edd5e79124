"""A drop of isopropyl alcohol that shows a warm spot: how long it lasts, and how much air its vapour needs.

Its flash point is below room temperature: supply off while wetting, drops only, no iron and no hot air near, air
extracted. Keep to the safety data sheet and to local rules.
"""

import numpy as np
from scipy import constants

from workbook.bench import checks

__all__ = ["air_to_dilute", "drying_time", "vapour_volume"]


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


def vapour_volume(liquid_volume, density=785.0, molar_mass=60.10e-3, temperature_c=25.0, pressure=constants.atm):
    r"""Return the volume of vapour a liquid becomes.

    .. math:: V = \frac{V_l \rho}{M} \frac{R T}{p}

    Ideal gas.

    Parameters
    ----------
    liquid_volume : float or array
        Liquid that dries, at least zero [m^3].
    density : float or array
        Of the liquid, above zero [kg/m^3]. The default is isopropyl alcohol.
    molar_mass : float or array
        Of the liquid, above zero [kg/mol]. The default is isopropyl alcohol.
    temperature_c : float or array
        Of the air, above absolute zero [°C].
    pressure : float or array
        Of the air, above zero [Pa].

    Returns
    -------
    float or array
        Vapour, undiluted [m^3].

    References
    ----------
    Ideal gas law; the example is computed.

    Examples
    --------
    1 mL of isopropyl alcohol:

    >>> f"{1e3 * vapour_volume(1e-6):.2f} L"
    '0.32 L'
    """
    checks.at_least("liquid volume", liquid_volume, 0, "m^3")
    checks.above("density", density, 0, "kg/m^3")
    checks.above("molar mass", molar_mass, 0, "kg/mol")
    checks.above("temperature", temperature_c, -constants.zero_Celsius, "°C")
    checks.above("pressure", pressure, 0, "Pa")
    moles = np.multiply(liquid_volume, density) / molar_mass
    return moles * constants.R * np.add(temperature_c, constants.zero_Celsius) / pressure


def air_to_dilute(vapour, fraction):
    r"""Return the air in which a vapour reaches a given share, well mixed.

    .. math:: V_\mathrm{air} = V / x

    Near the board the air is never well mixed: stay far below.

    Parameters
    ----------
    vapour : float or array
        Volume of vapour, at least zero [m^3].
    fraction : float or array
        Share by volume, above 0 and at most 1, for example 0.02 for the lower explosive limit [1].

    Returns
    -------
    float or array
        Volume of air and vapour together [m^3].

    References
    ----------
    NIOSH Pocket Guide, isopropyl alcohol, for the limits; the example is computed.

    Examples
    --------
    The vapour of 1 mL in air at the lower explosive limit, and at 400 ppm:

    >>> vapour = vapour_volume(1e-6)
    >>> f"{1e3 * air_to_dilute(vapour, 0.020):.1f} L, {air_to_dilute(vapour, 400e-6):.2f} m^3"
    '16.0 L, 0.80 m^3'
    """
    checks.at_least("vapour", vapour, 0, "m^3")
    checks.share("fraction", fraction)
    return np.divide(vapour, fraction)
