"""The law behind the columns of a bake table: the same drying, slower when cooler.

Water leaves a package by diffusion, which follows temperature by Arrhenius' law. Two columns of a table give its
activation energy, and a third temperature can be reckoned. That is for understanding a table, never for a bake of
one's own: the label on the bag, the maker's data sheet and the edition the shop is bound to decide.
"""

import numpy as np
from scipy import constants

from workbook.bench import checks
from workbook.bench.joints import rates

__all__ = ["bake_energy_ev", "bake_time_elsewhere"]


def bake_energy_ev(cool_time, cool_c, hot_time, hot_c):
    r"""Return the activation energy that two bake times imply.

    .. math:: E = \frac{k \ln(t_\mathrm{cool} / t_\mathrm{hot})}{1/T_\mathrm{cool} - 1/T_\mathrm{hot}}

    Parameters
    ----------
    cool_time : float or array
        Bake time at the lower temperature, above zero [s].
    cool_c : float or array
        Lower temperature [°C].
    hot_time : float or array
        Bake time at the higher temperature, above zero [s].
    hot_c : float or array
        Higher temperature, above the lower one [°C].

    Returns
    -------
    float or array
        Activation energy [eV].

    References
    ----------
    Arrhenius' law. A moulding compound measured at TU Delft: diffusivity 3.8e-7 mm²/s at 20 °C and 3.6e-6 mm²/s at
    85 °C (abstract; times go as one over diffusivity), which gives 0.31 eV.

    Examples
    --------
    Level 3, up to 1.4 mm: 13 days at 40 °C and 9 hours at 125 °C (J-STD-033 of 1999, second-hand):

    >>> f"{bake_energy_ev(312, 40, 9, 125):.3f}"
    '0.448'
    """
    checks.above("cool_time", cool_time, 0, "s")
    checks.above("hot_time", hot_time, 0, "s")
    checks.above("cool_c", cool_c, -constants.zero_Celsius, "°C")
    checks.above("hot_c minus cool_c", np.subtract(hot_c, cool_c), 0, "K")
    colder = 1 / (np.asarray(cool_c) + constants.zero_Celsius) - 1 / (np.asarray(hot_c) + constants.zero_Celsius)
    return rates.BOLTZMANN_EV * np.log(np.divide(cool_time, hot_time)) / colder


def bake_time_elsewhere(known_time, known_c, wanted_c, energy_ev):
    r"""Return the bake time at another temperature that dries as much.

    .. math:: t_2 = t_1 \exp\left[ \frac{E}{k} \left( \frac{1}{T_2} - \frac{1}{T_1} \right) \right]

    Parameters
    ----------
    known_time : float or array
        Bake time at the known temperature, above zero [s].
    known_c : float or array
        Temperature of that bake [°C].
    wanted_c : float or array
        Temperature wanted [°C].
    energy_ev : float or array
        Activation energy, at least zero [eV].

    Returns
    -------
    float or array
        Bake time at the temperature wanted [s].

    References
    ----------
    Arrhenius' law; J-STD-033 of 1999 (second-hand) prints 33 h for the case below.

    Examples
    --------
    >>> f"{bake_time_elsewhere(9, 125, 90, bake_energy_ev(312, 40, 9, 125)):.1f}"
    '31.7'
    """
    known_time, known_c, wanted_c, energy_ev = checks.floats(known_time, known_c, wanted_c, energy_ev)
    checks.above("known_time", known_time, 0, "s")
    return known_time * rates.arrhenius_acceleration(energy_ev, wanted_c, known_c)
