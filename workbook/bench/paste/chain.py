"""From junction to air: layers, contacts and films in series and side by side.

A resistance written R [K/W] belongs to one area. An area resistance R'' [m^2 K/W] belongs to a layer or a contact of
any area, and has to be divided by the area before it may enter a chain.
"""

from itertools import accumulate

from workbook.bench import checks

__all__ = [
    "AREA_RESISTANCE_UNITS",
    "characterisation_parameter",
    "contact_resistance",
    "convert_area_resistance",
    "film_resistance",
    "in_parallel",
    "in_series",
    "junction_temperature",
    "junction_temperature_from_top",
    "layer_area_resistance",
    "layer_resistance",
    "mid_plane_temperature_of_heated_slab",
    "resistance_over_area",
    "temperatures_along_chain",
    "thermal_resistance",
]

AREA_RESISTANCE_UNITS = {"m²·K/W": 1.0, "cm²·K/W": 1e-4, "mm²·K/W": 1e-6, "°C·in²/W": 0.0254**2}
"""The units area resistances are printed in, each with its size in m²·K/W."""


def layer_area_resistance(thickness, conductivity):
    r"""Return the area resistance of a flat layer.

    .. math:: R'' = t / k

    One-dimensional flow; without the contacts on its two faces.

    Parameters
    ----------
    thickness : float or array
        Layer thickness, at least zero [m].
    conductivity : float or array
        Thermal conductivity, above zero [W/m/K].

    Returns
    -------
    float or array
        Area resistance [m^2 K/W].

    References
    ----------
    Fourier's law for a plane wall; the documentation of the library ht prints the inverse (0.05 m²·K/W over 0.025 m is
    a conductivity of 0.5 W/m/K).

    Examples
    --------
    >>> layer_area_resistance(0.025, 0.5)
    0.05
    """
    thickness, conductivity = checks.floats(thickness, conductivity)
    checks.at_least("thickness", thickness, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    return thickness / conductivity


def resistance_over_area(area_resistance, area):
    r"""Return the resistance that an area resistance makes over one area.

    .. math:: R = R'' / A

    Parameters
    ----------
    area_resistance : float or array
        Area resistance, at least zero [m^2 K/W].
    area : float or array
        Area the heat passes through, above zero [m^2].

    Returns
    -------
    float or array
        Resistance [K/W].

    References
    ----------
    Bergman et al., Fundamentals of Heat and Mass Transfer, problem 4.27 (disc of 20 mm on a block): a solution page
    prints the contact as 0.159 K/W.

    Examples
    --------
    >>> from math import pi
    >>> round(resistance_over_area(5e-5, pi * 0.020**2 / 4), 3)
    0.159
    """
    area_resistance, area = checks.floats(area_resistance, area)
    checks.at_least("area resistance", area_resistance, 0, "m²·K/W")
    checks.above("area", area, 0, "m²")
    return area_resistance / area


def layer_resistance(thickness, conductivity, area):
    r"""Return the resistance of a flat layer.

    .. math:: R = t / (k A)

    One-dimensional flow; without the contacts on its two faces.

    Parameters
    ----------
    thickness : float or array
        Layer thickness, at least zero [m].
    conductivity : float or array
        Thermal conductivity, above zero [W/m/K].
    area : float or array
        Area the heat passes through, above zero [m^2].

    Returns
    -------
    float or array
        Resistance [K/W].

    References
    ----------
    Epoxy layer of a board stack in a solution page to Çengel, Heat Transfer: 0.0051 K/W.

    Examples
    --------
    >>> round(layer_resistance(0.2e-3, 1.8, 0.0216), 4)
    0.0051
    """
    thickness, conductivity, area = checks.floats(thickness, conductivity, area)
    return resistance_over_area(layer_area_resistance(thickness, conductivity), area)


def contact_resistance(area_resistance_per_face, area, faces=2):
    r"""Return what the contacts of a layer add to its own resistance.

    .. math:: R = n R''_{face} / A

    A layer between two parts has two faces; leaving one out is the usual slip.

    Parameters
    ----------
    area_resistance_per_face : float or array
        Area resistance of one contact, at least zero [m^2 K/W].
    area : float or array
        Area the heat passes through, above zero [m^2].
    faces : int
        Number of contacts in series, at least 1 [1].

    Returns
    -------
    float or array
        Resistance of all contacts together [K/W].

    References
    ----------
    Contacts in series (algebra). A pad of 20 mm x 20 mm with 20 mm²·K/W a face, computed by hand: 0.1 K/W.

    Examples
    --------
    >>> contact_resistance(20e-6, 0.020 * 0.020)
    0.1
    """
    area_resistance_per_face, area = checks.floats(area_resistance_per_face, area)
    checks.at_least("number of faces", faces, 1)
    return faces * resistance_over_area(area_resistance_per_face, area)


def film_resistance(film_coefficient, area):
    r"""Return the resistance from a surface to the air.

    .. math:: R = 1 / (h A)

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, convection and radiation together, above zero [W/m^2/K].
    area : float or array
        Surface in the air, above zero [m^2].

    Returns
    -------
    float or array
        Resistance [K/W].

    References
    ----------
    Plate of 0.22 m x 0.22 m with four parts of 15 W, h 25 W/m²/K and air at 25 °C in a solution page to Çengel, Heat
    Transfer: 74.6 °C.

    Examples
    --------
    >>> round(25 + 4 * 15 * film_resistance(25, 0.22**2), 1)
    74.6
    """
    film_coefficient, area = checks.floats(film_coefficient, area)
    checks.above("film coefficient", film_coefficient, 0, "W/m²/K")
    checks.above("area", area, 0, "m²")
    return 1 / (film_coefficient * area)


def in_series(*resistances):
    r"""Return the resistance of parts that the same heat passes one after another.

    .. math:: R = \sum_i R_i

    Parameters
    ----------
    *resistances : float or array
        Resistances, each at least zero, all in the same unit [K/W or m^2 K/W].

    Returns
    -------
    float or array
        Resistance of the row, in the same unit [K/W or m^2 K/W].

    References
    ----------
    Worked example of a chain on a public formula page: 3 + 1 + 8 K/W.

    Examples
    --------
    >>> in_series(3, 1, 8)
    12.0
    """
    return sum(_held(resistances, checks.at_least))


def in_parallel(*resistances):
    r"""Return the resistance of paths side by side between the same two temperatures.

    .. math:: 1 / R = \sum_i 1 / R_i

    Holds where both ends are at one temperature each.

    Parameters
    ----------
    *resistances : float or array
        Resistances, each above zero, all in the same unit [K/W or m^2 K/W].

    Returns
    -------
    float or array
        Resistance of all paths together, in the same unit [K/W or m^2 K/W].

    References
    ----------
    Bergman et al., Fundamentals of Heat and Mass Transfer, chapter 3, chip glued to aluminium with air on both sides.
    The inputs are second-hand; the answer 75.3 °C is computed.

    Examples
    --------
    A chip with 1e4 W/m², h 100 W/m²/K on both sides, 0.9e-4 m²·K/W of epoxy and 8 mm of aluminium below:

    >>> below = in_series(0.9e-4, layer_area_resistance(8e-3, 239), 1 / 100)
    >>> round(25 + 1e4 * in_parallel(1 / 100, below), 1)
    75.3
    """
    return 1 / sum(1 / resistance for resistance in _held(resistances, checks.above))


def junction_temperature(air_c, power, *resistances):
    r"""Return the junction temperature at the top of a chain.

    .. math:: T_J = T_A + P \sum_i R_i

    Parameters
    ----------
    air_c : float or array
        Temperature of the air at the end of the chain [°C].
    power : float or array
        Power through the chain, at least zero [W].
    *resistances : float or array
        Resistances from junction to air, each at least zero [K/W].

    Returns
    -------
    float or array
        Junction temperature [°C].

    References
    ----------
    Worked example of a chain on a public formula page: 5 W through 3 + 1 + 8 K/W in air of 25 °C gives 85 °C. The same
    sum stands in a microcontroller data sheet, section 52.2.2.

    Examples
    --------
    >>> junction_temperature(25, 5, 3, 1, 8)
    85.0
    """
    air_c, power = checks.floats(air_c, power)
    checks.finite("air_c", air_c, "°C")
    checks.at_least("power", power, 0, "W")
    return air_c + power * in_series(*resistances)


def temperatures_along_chain(air_c, power, *resistances):
    r"""Return the temperatures of a chain from the junction down to the air.

    .. math:: T_i = T_A + P \sum_{j \ge i} R_j

    Parameters
    ----------
    air_c : float
        Temperature of the air at the end of the chain [°C].
    power : float
        Power through the chain, at least zero [W].
    *resistances : float
        Resistances in order from junction to air, each at least zero [K/W].

    Returns
    -------
    tuple of float
        Temperatures, one more than there are resistances, the air last [°C].

    References
    ----------
    Worked example of a chain on a public formula page: junction 85 °C, case 70 °C.

    Examples
    --------
    >>> temperatures_along_chain(25, 5, 3, 1, 8)
    (85.0, 70.0, 65.0, 25.0)
    """
    air_c, power = checks.floats(air_c, power)
    checks.finite("air_c", air_c, "°C")
    checks.at_least("power", power, 0, "W")
    upwards = accumulate(
        reversed(_held(resistances, checks.at_least)),
        lambda below, resistance: below + power * resistance,
        initial=air_c,
    )
    return tuple(upwards)[::-1]


def thermal_resistance(hot_c, cold_c, heat_flow):
    r"""Return a thermal resistance (theta) from a measurement.

    .. math:: \theta = (T_{hot} - T_{cold}) / P_H

    The heat flow is the heat that really passes between the two places. With the total power of a package in its place
    the quotient is no resistance: see `characterisation_parameter`.

    Parameters
    ----------
    hot_c : float or array
        Temperature of the hot end [°C].
    cold_c : float or array
        Temperature of the cold end [°C].
    heat_flow : float or array
        Heat passing from one to the other, above zero [W].

    Returns
    -------
    float or array
        Thermal resistance; may be put in series [K/W].

    References
    ----------
    JESD51-12, definition of theta-JC(top), and JESD51-8, theta-JB, both second-hand.

    Examples
    --------
    >>> thermal_resistance(85, 70, 5)
    3.0
    """
    hot_c, cold_c, heat_flow = checks.floats(hot_c, cold_c, heat_flow)
    checks.finite("hot_c", hot_c, "°C")
    checks.finite("cold_c", cold_c, "°C")
    checks.above("heat flow", heat_flow, 0, "W")
    return (hot_c - cold_c) / heat_flow


def characterisation_parameter(junction_c, surface_c, total_power):
    r"""Return the characterisation parameter psi of a package.

    .. math:: \psi = (T_J - T_T) / P

    With the total power, most of which leaves by another way than the surface measured. It turns a surface reading
    into a junction temperature; it is no resistance and is never put in series.

    Parameters
    ----------
    junction_c : float or array
        Junction temperature [°C].
    surface_c : float or array
        Temperature of the package top (psi-JT) or of the board at the package (psi-JB) [°C].
    total_power : float or array
        All the power the package turns into heat, above zero [W].

    Returns
    -------
    float or array
        Characterisation parameter [K/W].

    References
    ----------
    JESD51-12 (formula from memory).

    Examples
    --------
    >>> round(characterisation_parameter(60.14, 60.0, 10), 3)
    0.014
    """
    junction_c, surface_c, total_power = checks.floats(junction_c, surface_c, total_power)
    checks.finite("junction_c", junction_c, "°C")
    checks.finite("surface_c", surface_c, "°C")
    checks.above("total power", total_power, 0, "W")
    return (junction_c - surface_c) / total_power


def junction_temperature_from_top(top_c, total_power, parameter):
    r"""Return the junction temperature from a reading on the package top.

    .. math:: T_J = T_T + \psi_{JT} P

    Parameters
    ----------
    top_c : float or array
        Reading at the centre of the package top [°C].
    total_power : float or array
        All the power the package turns into heat, at least zero [W].
    parameter : float or array
        Characterisation parameter psi-JT, not theta-JC, at least zero [K/W].

    Returns
    -------
    float or array
        Junction temperature [°C].

    References
    ----------
    JESD51-12 (formula from memory); psi-JT 0.014 K/W from a data-sheet table of a ceramic array package.

    Examples
    --------
    At 10 W the junction is 0.14 K above the reading, not the 5.4 K that theta-JC (0.54 K/W) would say:

    >>> round(junction_temperature_from_top(60.0, 10, 0.014), 2)
    60.14
    """
    top_c, total_power, parameter = checks.floats(top_c, total_power, parameter)
    checks.finite("top_c", top_c, "°C")
    checks.at_least("total power", total_power, 0, "W")
    checks.at_least("characterisation parameter", parameter, 0, "K/W")
    return top_c + total_power * parameter


def mid_plane_temperature_of_heated_slab(generation, half_thickness, conductivity, film_coefficient, air_c):
    r"""Return the hottest temperature of a slab that makes its heat everywhere inside.

    .. math:: T_0 = T_\infty + \dot q L / h + \dot q L^2 / (2 k)

    Steady; the same film on both faces, so that the mid plane is hottest.

    Parameters
    ----------
    generation : float or array
        Heat made per volume, at least zero [W/m^3].
    half_thickness : float or array
        Half the slab thickness, above zero [m].
    conductivity : float or array
        Thermal conductivity, above zero [W/m/K].
    film_coefficient : float or array
        Film coefficient on each face, above zero [W/m^2/K].
    air_c : float or array
        Temperature of the surroundings [°C].

    Returns
    -------
    float or array
        Mid-plane temperature [°C].

    References
    ----------
    Bergman et al., Fundamentals of Heat and Mass Transfer, problem 4.74, solution page: 80.9 °C.

    Examples
    --------
    >>> round(mid_plane_temperature_of_heated_slab(1e7, 3e-3, 50, 500, 20), 1)
    80.9
    """
    generation, half_thickness, conductivity, film_coefficient, air_c = checks.floats(
        generation, half_thickness, conductivity, film_coefficient, air_c
    )
    checks.finite("air_c", air_c, "°C")
    checks.at_least("generation", generation, 0, "W/m³")
    checks.above("half thickness", half_thickness, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.above("film coefficient", film_coefficient, 0, "W/m²/K")
    flux = generation * half_thickness
    return air_c + flux / film_coefficient + flux * half_thickness / (2 * conductivity)


def convert_area_resistance(amount, given_in, wanted_in):
    r"""Return an area resistance in another unit.

    .. math:: 1\ \mathrm{mm^2 K/W} = 0.01\ \mathrm{cm^2 K/W} = 10^{-6}\ \mathrm{m^2 K/W}

    Parameters
    ----------
    amount : float or array
        Area resistance in the unit given, at least zero [given_in].
    given_in : str
        One of `AREA_RESISTANCE_UNITS` [1].
    wanted_in : str
        One of `AREA_RESISTANCE_UNITS` [1].

    Returns
    -------
    float or array
        Area resistance in the unit wanted [wanted_in].

    References
    ----------
    The inch is 25.4 mm exactly.

    Examples
    --------
    >>> convert_area_resistance(1.0, "°C·in²/W", "mm²·K/W")
    645.16
    """
    amount = checks.floats(amount)
    checks.at_least("area resistance", amount, 0, given_in)
    for unit in (given_in, wanted_in):
        if unit not in AREA_RESISTANCE_UNITS:
            raise ValueError(f"unit must be one of {', '.join(AREA_RESISTANCE_UNITS)} (got {unit!r})")
    return amount * (AREA_RESISTANCE_UNITS[given_in] / AREA_RESISTANCE_UNITS[wanted_in])


def _held(resistances, check):
    resistances = checks.apart("resistance", resistances)
    for resistance in resistances:
        check("resistance", resistance, 0, "K/W")
    return resistances
