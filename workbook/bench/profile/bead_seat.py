"""What a bead reads that sits on a joint in moving hot gas: part joint, part gas.

The bead takes heat from the gas through its bare surface and gives it to the joint through its seat. Steady, no heat
along the wires, no radiation: each would move the reading too, so the share below is a guide to how a bead is fixed and
no correction to apply.
"""

import numpy as np

from workbook.bench import checks
from workbook.bench.paste import chain

__all__ = ["bead_reading_c", "share_of_gas"]


def share_of_gas(film_coefficient, bare_area, seat_area, seat_thickness, seat_conductivity):
    r"""Return how much of the way from the joint to the gas a bead reads.

    .. math:: f = \frac{h A}{h A + G}, \quad G = \frac{k A_s}{s}

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient of the gas on the bead, above zero [W/m^2/K].
    bare_area : float or array
        Surface of the bead that the gas touches, above zero [m^2].
    seat_area : float or array
        Area through which the seat holds the bead, above zero [m^2].
    seat_thickness : float or array
        Thickness of adhesive, tape or solder between bead and joint, at least zero [m].
    seat_conductivity : float or array
        Conductivity of the seat, above zero [W/m/K].

    Returns
    -------
    float or array
        Share of the gas in the reading, from 0 to below 1 [1].

    References
    ----------
    Two conductances in series between gas and joint (textbook heat conduction). An assembler's page on profiling
    (published-unnamed) says that a bead without contact reads the air, which is there 2 to 10 K off the board.

    Examples
    --------
    A seat of 0.5 mm² and 0.5 mm, of adhesive (0.3 W/m/K) and of solder (50 W/m/K):

    >>> [f"{share_of_gas(150, 3e-6, 0.5e-6, 0.5e-3, conductivity):.3f}" for conductivity in (0.3, 50)]
    ['0.600', '0.009']
    """
    film_coefficient, bare_area, seat_area, seat_thickness, seat_conductivity = checks.floats(
        film_coefficient, bare_area, seat_area, seat_thickness, seat_conductivity
    )
    to_gas = chain.film_resistance(film_coefficient, bare_area)
    to_joint = chain.layer_resistance(seat_thickness, seat_conductivity, seat_area)
    return to_joint / (to_joint + to_gas)


def bead_reading_c(joint_c, gas_c, share):
    r"""Return what a bead reads between joint and gas.

    .. math:: T = T_\mathrm{joint} + f \, (T_\mathrm{gas} - T_\mathrm{joint})

    Parameters
    ----------
    joint_c : float or array
        Temperature of the joint [°C].
    gas_c : float or array
        Temperature of the gas at the bead [°C].
    share : float or array
        Share of the gas in the reading, 0 to 1 [1].

    Returns
    -------
    float or array
        Reading [°C].

    References
    ----------
    Definition of the share.

    Examples
    --------
    A joint at 225 °C in gas of 270 °C, the bead stuck on and soldered on:

    >>> [f"{bead_reading_c(225, 270, share_of_gas(150, 3e-6, 0.5e-6, 0.5e-3, k)):.1f}" for k in (0.3, 50)]
    ['252.0', '225.4']
    """
    joint_c, gas_c, share = checks.floats(joint_c, gas_c, share)
    checks.finite("joint temperature", joint_c, "°C")
    checks.finite("gas temperature", gas_c, "°C")
    checks.between("share", share, 0, 1)
    return joint_c + np.multiply(share, np.subtract(gas_c, joint_c))
