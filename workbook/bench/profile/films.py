"""How heat crosses from air and heaters into a board: radiation, natural convection, a round jet of hot air.

Emissivities and film coefficients are declared, not known: a profile is worth no more than they are. The correlations
hold to some 15 %, and each refuses what lies outside the range it was measured in.
"""

from typing import NamedTuple

import numpy as np
from scipy import constants, optimize

from workbook.bench import checks

__all__ = [
    "STEFAN_BOLTZMANN",
    "Air",
    "air",
    "bead_equilibrium_c",
    "film_facing_down",
    "film_facing_up",
    "film_under_jet",
    "film_vertical",
    "jet_nusselt",
    "jet_reynolds",
    "nusselt_vertical",
    "plate_length",
    "radiation_coefficient",
    "radiation_flux",
    "rayleigh",
]

STEFAN_BOLTZMANN = constants.Stefan_Boltzmann
"""Stefan-Boltzmann constant, CODATA 2018 [W/m^2/K^4]."""

_ZERO_C = constants.zero_Celsius
_GRAVITY = constants.g
_ATMOSPHERE = 101325.0
_GAS_CONSTANT_OF_AIR = 287.05

# Air at 1 atm, computed with CoolProp; straight lines between are within 0.5 % of it.
_AIR_C = np.arange(0.0, 501.0, 50.0)
_CONDUCTIVITY = 1e-3 * np.array([24.36, 28.08, 31.62, 35.0, 38.25, 41.38, 44.42, 47.37, 50.24, 53.05, 55.8])
_VISCOSITY = 1e-6 * np.array([17.22, 19.64, 21.9, 24.03, 26.05, 27.97, 29.81, 31.58, 33.28, 34.93, 36.53])
_SPECIFIC_HEAT = np.array([1006.0, 1007, 1011, 1017, 1025, 1034, 1045, 1057, 1069, 1081, 1092])


class Air(NamedTuple):
    """Dry air at 1 atm: conductivity [W/m/K], kinematic viscosity [m^2/s], density [kg/m^3], Prandtl number [1]."""

    conductivity: float
    kinematic_viscosity: float
    density: float
    prandtl: float


def air(temperature_c):
    r"""Return the properties of dry air at 1 atm.

    .. math:: \rho = \frac{p}{R T}, \qquad \nu = \frac{\mu}{\rho}, \qquad Pr = \frac{\mu c}{k}

    Parameters
    ----------
    temperature_c : float or array
        Temperature, from 0 to 500 [°C].

    Returns
    -------
    Air
        Conductivity [W/m/K], kinematic viscosity [m^2/s], density [kg/m^3], Prandtl number [1].

    References
    ----------
    CoolProp 8.0.0, air at 101325 Pa (computed).

    Examples
    --------
    >>> f"{1e3 * air(25).conductivity:.1f} mW/m/K, Pr {air(25).prandtl:.2f}"
    '26.2 mW/m/K, Pr 0.71'
    """
    checks.between("air temperature", temperature_c, _AIR_C[0], _AIR_C[-1], "°C")
    density = _ATMOSPHERE / (_GAS_CONSTANT_OF_AIR * (np.asarray(temperature_c, dtype=float) + _ZERO_C))[()]
    conductivity = np.interp(temperature_c, _AIR_C, _CONDUCTIVITY)
    viscosity = np.interp(temperature_c, _AIR_C, _VISCOSITY)
    prandtl = viscosity * np.interp(temperature_c, _AIR_C, _SPECIFIC_HEAT) / conductivity
    return Air(conductivity, viscosity / density, density, prandtl)


def radiation_coefficient(emissivity, surface_c, surroundings_c):
    r"""Return the film coefficient that does what radiation does.

    .. math:: h_r = \varepsilon \sigma (T_s + T_a)(T_s^2 + T_a^2)

    A small grey surface in wide surroundings of one temperature; temperatures in kelvin inside the formula.

    Parameters
    ----------
    emissivity : float or array
        Emissivity of the surface, declared, from 0 to 1 [1].
    surface_c : float or array
        Temperature of the surface, above -273.15 [°C].
    surroundings_c : float or array
        Temperature of what it sees, above -273.15 [°C].

    Returns
    -------
    float or array
        Radiation coefficient [W/m^2/K].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.3: 15.0 between panel at 150 °C and
    oven at 175 °C.

    Examples
    --------
    >>> f"{radiation_coefficient(0.8, 150, 175):.1f}"
    '15.0'
    """
    emissivity, surface_c, surroundings_c = checks.floats(emissivity, surface_c, surroundings_c)
    checks.between("emissivity", emissivity, 0, 1)
    surface, surroundings = _kelvin("surface", surface_c), _kelvin("surroundings", surroundings_c)
    return emissivity * STEFAN_BOLTZMANN * (surface + surroundings) * (surface**2 + surroundings**2)


def radiation_flux(emissivity, surface_c, surroundings_c):
    r"""Return the heat a surface loses by radiation.

    .. math:: q'' = \varepsilon \sigma (T_s^4 - T_a^4)

    Parameters
    ----------
    emissivity : float or array
        Emissivity of the surface, declared, from 0 to 1 [1].
    surface_c : float or array
        Temperature of the surface, above -273.15 [°C].
    surroundings_c : float or array
        Temperature of what it sees, above -273.15 [°C].

    Returns
    -------
    float or array
        Heat flux out of the surface; negative if it is the colder one [W/m^2].

    References
    ----------
    Stefan-Boltzmann law, as in Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 1.

    Examples
    --------
    A heater of 300 °C above a board of 150 °C (computed):

    >>> f"{radiation_flux(0.9, 300, 150):.0f}"
    '3871'
    """
    emissivity, surface_c, surroundings_c = checks.floats(emissivity, surface_c, surroundings_c)
    checks.between("emissivity", emissivity, 0, 1)
    surface, surroundings = _kelvin("surface", surface_c), _kelvin("surroundings", surroundings_c)
    return emissivity * STEFAN_BOLTZMANN * (surface**4 - surroundings**4)


def bead_equilibrium_c(gas_c, walls_c, film_coefficient, emissivity):
    r"""Return what a bead in a gas reads when it also sees walls of another temperature.

    .. math:: h (T_g - T) = \varepsilon \sigma (T^4 - T_w^4)

    Parameters
    ----------
    gas_c : float
        Temperature of the gas, above -273.15 [°C].
    walls_c : float
        Temperature of the walls or heaters the bead sees, above -273.15 [°C].
    film_coefficient : float
        Film coefficient, above zero [W/m^2/K].
    emissivity : float
        Emissivity of the bead, declared, from 0 to 1 [1].

    Returns
    -------
    float
        Temperature of the bead [°C].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.2, inputs; 218.7 °C is the root (computed).

    Examples
    --------
    >>> f"{bead_equilibrium_c(200, 400, 400, 0.9):.1f}"
    '218.7'
    """
    checks.single(film_coefficient=film_coefficient, emissivity=emissivity)
    checks.above("film coefficient", film_coefficient, 0, "W/m^2/K")
    checks.between("emissivity", emissivity, 0, 1)
    gas, walls = float(_kelvin("gas", gas_c)), float(_kelvin("walls", walls_c))
    radiated = emissivity * STEFAN_BOLTZMANN

    def excess(bead):
        return film_coefficient * (bead - gas) + radiated * (bead**4 - walls**4)

    return float(optimize.brentq(excess, min(gas, walls), max(gas, walls))) - _ZERO_C


def plate_length(length, width):
    r"""Return the length that natural convection on a horizontal plate is judged with.

    .. math:: L_c = A / P = \frac{a b}{2 (a + b)}

    Parameters
    ----------
    length : float or array
        One side, above zero [m].
    width : float or array
        Other side, above zero [m].

    Returns
    -------
    float or array
        Area over perimeter [m].

    References
    ----------
    Rohsenow, Hartnett and Cho, Handbook of Heat Transfer, as documented in the library ht (published second-hand).

    Examples
    --------
    >>> plate_length(0.100, 0.100)
    0.025
    """
    length, width = checks.floats(length, width)
    checks.above("length", length, 0, "m")
    checks.above("width", width, 0, "m")
    return length * width / (2 * (length + width))


def rayleigh(surface_c, air_c, length):
    r"""Return the Rayleigh number: how strongly warm air wants to rise past a surface.

    .. math:: Ra = \frac{g \beta (T_s - T_a) L^3}{\nu^2} Pr, \qquad \beta = 1 / T_f

    Air properties at the film temperature, half way between surface and air.

    Parameters
    ----------
    surface_c : float or array
        Temperature of the surface, at least that of the air [°C].
    air_c : float or array
        Temperature of the air, from 0 [°C].
    length : float or array
        Height of a vertical plate, area over perimeter of a horizontal one, above zero [m].

    Returns
    -------
    float or array
        Rayleigh number [1].

    References
    ----------
    Definition, as in Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 9.

    Examples
    --------
    >>> f"{rayleigh(150, 25, 0.025):.0e}"
    '9e+04'
    """
    surface_c, air_c, length = checks.floats(surface_c, air_c, length)
    checks.above("length", length, 0, "m")
    if np.any(np.less(surface_c, air_c)):
        raise ValueError(f"the surface must not be colder than the air (got {surface_c} and {air_c} °C)")
    film_c = np.add(surface_c, air_c) / 2
    gas = air(film_c)
    lift = _GRAVITY / (film_c + _ZERO_C) * np.subtract(surface_c, air_c)
    return lift * length**3 / gas.kinematic_viscosity**2 * gas.prandtl


def film_facing_up(surface_c, air_c, length):
    r"""Return the film coefficient of natural convection on the upper face of a hot horizontal board.

    .. math:: Nu = 0.54\, Ra^{1/4} \; (10^4 \ldots 10^7), \qquad Nu = 0.15\, Ra^{1/3} \; (10^7 \ldots 10^{11})

    Parameters
    ----------
    surface_c : float or array
        Temperature of the surface, above that of the air [°C].
    air_c : float or array
        Temperature of the air, from 0 [°C].
    length : float or array
        Area over perimeter, above zero [m].

    Returns
    -------
    float or array
        Film coefficient [W/m^2/K].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 9 (from memory).

    Examples
    --------
    A board of 100 x 100 mm at 150 °C in air of 25 °C (computed):

    >>> f"{film_facing_up(150, 25, 0.025):.1f}"
    '11.1'
    """
    surface_c, air_c, length = checks.floats(surface_c, air_c, length)
    ra = rayleigh(surface_c, air_c, length)
    checks.between("Rayleigh number of a face that looks up", ra, 1e4, 1e11)
    return np.where(ra < 1e7, 0.54 * ra**0.25, 0.15 * np.cbrt(ra))[()] * _over_length(surface_c, air_c, length)


def film_facing_down(surface_c, air_c, length):
    r"""Return the film coefficient of natural convection on the lower face of a hot horizontal board.

    .. math:: Nu = 0.52\, Ra^{1/5} \; (10^4 \ldots 10^9)

    Half of that on the upper face: warm air has to find its way round the edge.

    Parameters
    ----------
    surface_c : float or array
        Temperature of the surface, above that of the air [°C].
    air_c : float or array
        Temperature of the air, from 0 [°C].
    length : float or array
        Area over perimeter, above zero [m].

    Returns
    -------
    float or array
        Film coefficient [W/m^2/K].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 9 (from memory).

    Examples
    --------
    A board of 100 x 100 mm at 150 °C in air of 25 °C (computed):

    >>> f"{film_facing_down(150, 25, 0.025):.1f}"
    '6.1'
    """
    surface_c, air_c, length = checks.floats(surface_c, air_c, length)
    ra = rayleigh(surface_c, air_c, length)
    checks.between("Rayleigh number of a face that looks down", ra, 1e4, 1e9)
    return 0.52 * ra**0.2 * _over_length(surface_c, air_c, length)


def nusselt_vertical(rayleigh, prandtl):
    r"""Return the Nusselt number of natural convection on an upright plate.

    .. math:: Nu = \left(0.825 + \frac{0.387\, Ra^{1/6}}{\left[1 + (0.492 / Pr)^{9/16}\right]^{8/27}}\right)^2

    Parameters
    ----------
    rayleigh : float or array
        Rayleigh number of the height, from 0 to 1e12 [1].
    prandtl : float or array
        Prandtl number, above zero [1].

    Returns
    -------
    float or array
        Nusselt number on the height [1].

    References
    ----------
    Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323-1329; Incropera and DeWitt, Fundamentals of Heat and
    Mass Transfer, example 9.2: 147 (published second-hand, both quoted in the documentation of the library ht).

    Examples
    --------
    >>> f"{nusselt_vertical(0.69 * 2.63e9, 0.69):.0f}"
    '147'
    """
    rayleigh, prandtl = checks.floats(rayleigh, prandtl)
    checks.between("Rayleigh number of a vertical plate", rayleigh, 0, 1e12)
    checks.above("Prandtl number", prandtl, 0)
    return (0.825 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2


def film_vertical(surface_c, air_c, height):
    r"""Return the film coefficient of natural convection on a hot board that stands upright.

    .. math:: h = Nu(Ra, Pr)\, k / L

    Parameters
    ----------
    surface_c : float or array
        Temperature of the surface, at least that of the air [°C].
    air_c : float or array
        Temperature of the air, from 0 [°C].
    height : float or array
        Height of the board, above zero [m].

    Returns
    -------
    float or array
        Film coefficient [W/m^2/K].

    References
    ----------
    `nusselt_vertical` with air properties computed with CoolProp.

    Examples
    --------
    A board 100 mm high at 150 °C in air of 25 °C (computed):

    >>> f"{film_vertical(150, 25, 0.100):.1f}"
    '7.9'
    """
    surface_c, air_c, height = checks.floats(surface_c, air_c, height)
    prandtl = air(np.add(surface_c, air_c) / 2).prandtl
    return nusselt_vertical(rayleigh(surface_c, air_c, height), prandtl) * _over_length(surface_c, air_c, height)


def jet_reynolds(diameter, velocity, gas_c):
    r"""Return the Reynolds number of a round jet.

    .. math:: Re = V D / \nu

    Parameters
    ----------
    diameter : float or array
        Bore of the nozzle, above zero [m].
    velocity : float or array
        Mean velocity at the nozzle, above zero [m/s].
    gas_c : float or array
        Temperature of the gas, from 0 to 500 [°C].

    Returns
    -------
    float or array
        Reynolds number [1].

    References
    ----------
    Definition; air properties computed with CoolProp.

    Examples
    --------
    >>> f"{jet_reynolds(8e-3, 20, 250):.0f}"
    '3860'
    """
    diameter, velocity, gas_c = checks.floats(diameter, velocity, gas_c)
    checks.above("diameter", diameter, 0, "m")
    checks.above("velocity", velocity, 0, "m/s")
    return velocity * diameter / air(gas_c).kinematic_viscosity


def jet_nusselt(reynolds, prandtl, distance_over_diameter, radius_over_diameter):
    r"""Return the Nusselt number of a round jet, averaged over a disc around its axis.

    .. math:: \frac{Nu}{Pr^{0.42}} = \frac{2 A^{1/2} (1 - 2.2 A^{1/2})}{1 + 0.2 (H/D - 6) A^{1/2}} \;
       2 Re^{1/2} (1 + 0.005 Re^{0.55})^{1/2}, \qquad A = \frac{D^2}{4 r^2}

    Parameters
    ----------
    reynolds : float or array
        Reynolds number of the nozzle, from 2000 to 400 000 [1].
    prandtl : float or array
        Prandtl number of the gas, above zero [1].
    distance_over_diameter : float or array
        Distance from nozzle to board over bore, from 2 to 12 [1].
    radius_over_diameter : float or array
        Radius of the disc over bore, from 2.5 to 7.9 (area ratio A from 0.004 to 0.04) [1].

    Returns
    -------
    float or array
        Nusselt number on the bore [1].

    References
    ----------
    Martin, in Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 7, single round nozzle.

    Examples
    --------
    Re 3858, nozzle 3 bores away, disc of 2.5 bores (computed):

    >>> f"{jet_nusselt(3858, 0.699, 3, 2.5):.1f}"
    '33.0'
    """
    reynolds, prandtl, distance_over_diameter, radius_over_diameter = checks.floats(
        reynolds, prandtl, distance_over_diameter, radius_over_diameter
    )
    checks.between("Reynolds number of a jet", reynolds, 2000, 4e5)
    checks.above("Prandtl number", prandtl, 0)
    checks.between("distance over diameter", distance_over_diameter, 2, 12)
    checks.above("radius over diameter", radius_over_diameter, 0)
    root = 1 / (2 * np.asarray(radius_over_diameter, dtype=float))[()]
    # The limits of the area ratio are printed to one figure; a disc of exactly 2.5 bores is inside.
    checks.between("area ratio of nozzle and disc", np.round(root**2, 12), 0.004, 0.04)
    shape = 2 * root * (1 - 2.2 * root) / (1 + 0.2 * (distance_over_diameter - 6) * root)
    return shape * 2 * np.sqrt(reynolds * (1 + 0.005 * reynolds**0.55)) * prandtl**0.42


def film_under_jet(diameter, velocity, gas_c, distance, radius):
    r"""Return the film coefficient of a round jet of hot air, averaged over a disc around its axis.

    .. math:: h = Nu\, k / D

    Air properties at the temperature of the gas.

    Parameters
    ----------
    diameter : float or array
        Bore of the nozzle, above zero [m].
    velocity : float or array
        Mean velocity at the nozzle; the Reynolds number must be from 2000 to 400 000 [m/s].
    gas_c : float or array
        Temperature of the gas, from 0 to 500 [°C].
    distance : float or array
        Distance from nozzle to board, 2 to 12 bores [m].
    radius : float or array
        Radius of the disc, 2.5 to 7.9 bores [m].

    Returns
    -------
    float or array
        Film coefficient [W/m^2/K].

    References
    ----------
    Martin, in Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 7; air computed with CoolProp.

    Examples
    --------
    An 8 mm nozzle, 24 mm above the board, 20 m/s of 250 °C, over a disc of 20 mm radius (computed):

    >>> f"{film_under_jet(8e-3, 20, 250, 24e-3, 20e-3):.0f}"
    '171'
    """
    diameter, velocity, gas_c, distance, radius = checks.floats(diameter, velocity, gas_c, distance, radius)
    gas = air(gas_c)
    reynolds = jet_reynolds(diameter, velocity, gas_c)
    return jet_nusselt(reynolds, gas.prandtl, distance / diameter, radius / diameter) * gas.conductivity / diameter


def _over_length(surface_c, air_c, length):
    """Return what turns a Nusselt number into a film coefficient, at the film temperature."""
    return air(np.add(surface_c, air_c) / 2).conductivity / length


def _kelvin(quantity, temperature_c):
    checks.above(f"{quantity} temperature", temperature_c, -_ZERO_C, "°C")
    return np.asarray(temperature_c, dtype=float)[()] + _ZERO_C
