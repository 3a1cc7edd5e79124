"""Fins of a sink: how evenly hot they are, and what the whole sink comes to."""

from math import pi

import numpy as np
from scipy.special import ive, kve

from workbook.bench import checks

__all__ = [
    "annular_fin_efficiency",
    "array_efficiency",
    "fin_efficiency",
    "fin_heat_flow",
    "fin_heat_flow_without_end",
    "fin_parameter",
    "pin_fin_parameter",
    "plate_fin_parameter",
    "sink_resistance",
]


def fin_parameter(film_coefficient, perimeter, conductivity, section):
    r"""Return the fin parameter of a straight fin of any section.

    .. math:: m = \sqrt{\frac{h P}{k A}}

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].
    perimeter : float or array
        Perimeter of the section, above zero [m].
    conductivity : float or array
        Conductivity of the fin, above zero [W/m/K].
    section : float or array
        Area of the section, above zero [m^2].

    Returns
    -------
    float or array
        Fin parameter [1/m].

    References
    ----------
    Fin equation; inputs of an e-book on heat transfer, example 7.1, answer computed.

    Examples
    --------
    Base of 2 mm x 40 mm:

    >>> round(fin_parameter(30, 2 * (2e-3 + 40e-3), 210, 2e-3 * 40e-3), 2)
    12.25
    """
    film_coefficient, perimeter, conductivity, section = checks.floats(
        film_coefficient, perimeter, conductivity, section
    )
    checks.above("film coefficient", film_coefficient, 0, "W/m²/K")
    checks.above("perimeter", perimeter, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.above("section", section, 0, "m²")
    return (film_coefficient * perimeter / (conductivity * section)) ** 0.5


def plate_fin_parameter(film_coefficient, conductivity, thickness):
    r"""Return the fin parameter of a wide plate fin.

    .. math:: m = \sqrt{\frac{2 h}{k t}}

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].
    conductivity : float or array
        Conductivity of the fin, above zero [W/m/K].
    thickness : float or array
        Thickness of the fin, above zero [m].

    Returns
    -------
    float or array
        Fin parameter [1/m].

    References
    ----------
    Solution page to Çengel, Heat Transfer: 10.80 1/m.

    Examples
    --------
    >>> round(plate_fin_parameter(45, 386, 2e-3), 1)
    10.8
    """
    film_coefficient, conductivity, thickness = checks.floats(film_coefficient, conductivity, thickness)
    return fin_parameter(film_coefficient, 2.0, conductivity, thickness)


def pin_fin_parameter(film_coefficient, conductivity, diameter):
    r"""Return the fin parameter of a round pin.

    .. math:: m = \sqrt{\frac{4 h}{k d}}

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].
    conductivity : float or array
        Conductivity of the pin, above zero [W/m/K].
    diameter : float or array
        Diameter of the pin, above zero [m].

    Returns
    -------
    float or array
        Fin parameter [1/m].

    References
    ----------
    Solution page to Çengel, Heat Transfer: 14.40 1/m.

    Examples
    --------
    >>> round(pin_fin_parameter(50, 386, 2.5e-3), 1)
    14.4
    """
    film_coefficient, conductivity, diameter = checks.floats(film_coefficient, conductivity, diameter)
    checks.above("diameter", diameter, 0, "m")
    return fin_parameter(film_coefficient, pi * diameter, conductivity, pi * diameter**2 / 4)


def fin_efficiency(parameter, length):
    r"""Return the efficiency of a straight fin with an insulated tip.

    .. math:: \eta = \frac{\tanh m L}{m L}

    Parameters
    ----------
    parameter : float or array
        Fin parameter, above zero [1/m].
    length : float or array
        Length from base to tip, above zero [m].

    Returns
    -------
    float or array
        Efficiency: heat of the fin over that of one as hot as its base everywhere [1].

    References
    ----------
    Solution page to Çengel, Heat Transfer: 0.973 for a pin of 2.5 mm, 20 mm long.

    Examples
    --------
    >>> round(float(fin_efficiency(pin_fin_parameter(50, 386, 2.5e-3), 20e-3)), 3)
    0.973
    """
    parameter, length = checks.floats(parameter, length)
    checks.above("fin parameter", parameter, 0, "1/m")
    checks.above("length", length, 0, "m")
    return np.tanh(parameter * length) / (parameter * length)


def annular_fin_efficiency(inner_radius, outer_radius, thickness, conductivity, film_coefficient):
    r"""Return the efficiency of a round fin about a tube, insulated at its rim.

    .. math:: \eta = \frac{2 r_1}{m (r_2^2 - r_1^2)}
        \frac{K_1(m r_1) I_1(m r_2) - I_1(m r_1) K_1(m r_2)}{I_0(m r_1) K_1(m r_2) + K_0(m r_1) I_1(m r_2)}

    m = sqrt(2 h / (k t)); even thickness.

    Parameters
    ----------
    inner_radius : float or array
        Radius at the tube, above zero [m].
    outer_radius : float or array
        Radius at the rim, above the inner radius [m].
    thickness : float or array
        Thickness of the fin, above zero [m].
    conductivity : float or array
        Conductivity of the fin, above zero [W/m/K].
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].

    Returns
    -------
    float or array
        Efficiency [1].

    References
    ----------
    Documentation of the library ht, fin_efficiency_Kern_Kraus (diameters 25.4 mm and 57.15 mm): 0.841259.

    Examples
    --------
    >>> round(float(annular_fin_efficiency(25.4e-3 / 2, 57.15e-3 / 2, 3.8e-4, 200, 58)), 6)
    0.841259
    """
    inner_radius, outer_radius, thickness, conductivity, film_coefficient = checks.floats(
        inner_radius, outer_radius, thickness, conductivity, film_coefficient
    )
    checks.above("inner radius", inner_radius, 0, "m")
    checks.above("outer radius less inner radius", outer_radius - inner_radius, 0, "m")
    parameter = plate_fin_parameter(film_coefficient, conductivity, thickness)
    root, rim = parameter * inner_radius, parameter * outer_radius
    fade = np.exp(2 * (root - rim))
    through = kve(1, root) * ive(1, rim) - fade * ive(1, root) * kve(1, rim)
    across = fade * ive(0, root) * kve(1, rim) + kve(0, root) * ive(1, rim)
    return 2 * inner_radius / (parameter * (outer_radius**2 - inner_radius**2)) * through / across


def fin_heat_flow(film_coefficient, perimeter, conductivity, section, length, excess):
    r"""Return the heat of a straight fin with an insulated tip.

    .. math:: q = \sqrt{h P k A} \; \theta_b \tanh m L

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].
    perimeter : float or array
        Perimeter of the section, above zero [m].
    conductivity : float or array
        Conductivity of the fin, above zero [W/m/K].
    section : float or array
        Area of the section, above zero [m^2].
    length : float or array
        Length from base to tip, above zero [m].
    excess : float or array
        Base less air temperature [K].

    Returns
    -------
    float or array
        Heat flow [W].

    References
    ----------
    Fin equation; inputs of an e-book on heat transfer, example 7.1, answer computed.

    Examples
    --------
    >>> round(float(fin_heat_flow(30, 0.084, 210, 8e-5, 30e-3, 65)), 2)
    4.7
    """
    film_coefficient, perimeter, conductivity, section, length, excess = checks.floats(
        film_coefficient, perimeter, conductivity, section, length, excess
    )
    checks.finite("excess", excess, "K")
    checks.above("length", length, 0, "m")
    parameter = fin_parameter(film_coefficient, perimeter, conductivity, section)
    endless = fin_heat_flow_without_end(film_coefficient, perimeter, conductivity, section, excess)
    return endless * np.tanh(parameter * length)


def fin_heat_flow_without_end(film_coefficient, perimeter, conductivity, section, excess):
    r"""Return the heat of a straight fin so long that its tip is as cool as the air.

    .. math:: q = \sqrt{h P k A} \; \theta_b

    The most a fin of this section can carry, however long.

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, above zero [W/m^2/K].
    perimeter : float or array
        Perimeter of the section, above zero [m].
    conductivity : float or array
        Conductivity of the fin, above zero [W/m/K].
    section : float or array
        Area of the section, above zero [m^2].
    excess : float or array
        Base less air temperature [K].

    Returns
    -------
    float or array
        Heat flow [W].

    References
    ----------
    Fin equation; inputs of an e-book on heat transfer, example 7.1, answer computed.

    Examples
    --------
    >>> round(fin_heat_flow_without_end(30, 0.084, 210, 8e-5, 65), 1)
    13.4
    """
    film_coefficient, perimeter, conductivity, section, excess = checks.floats(
        film_coefficient, perimeter, conductivity, section, excess
    )
    checks.finite("excess", excess, "K")
    parameter = fin_parameter(film_coefficient, perimeter, conductivity, section)
    return parameter * conductivity * section * excess


def array_efficiency(efficiency, fin_area, total_area):
    r"""Return the efficiency of a whole surface, fins and the base between them.

    .. math:: \eta_0 = 1 - \frac{A_f}{A_t} (1 - \eta)

    Parameters
    ----------
    efficiency : float or array
        Efficiency of one fin, from 0 to 1 [1].
    fin_area : float or array
        Area of all fins, at least zero [m^2].
    total_area : float or array
        Area of fins and bare base, at least the fin area, above zero [m^2].

    Returns
    -------
    float or array
        Efficiency of the surface [1].

    References
    ----------
    Areas weighed by their efficiency (algebra).

    Examples
    --------
    >>> round(array_efficiency(0.9, 0.08, 0.10), 2)
    0.92
    """
    efficiency, fin_area, total_area = checks.floats(efficiency, fin_area, total_area)
    checks.between("efficiency", efficiency, 0, 1)
    checks.at_least("fin area", fin_area, 0, "m²")
    checks.above("total area", total_area, 0, "m²")
    checks.at_least("total area less fin area", total_area - fin_area, 0, "m²")
    return 1 - fin_area / total_area * (1 - efficiency)


def sink_resistance(film_coefficient, efficiency, fin_area, total_area):
    r"""Return the resistance from the base of a finned sink to the air.

    .. math:: R = \frac{1}{h \, \eta_0 A_t}

    Without spreading in the base (see `maximum_spreading_resistance`) and without the warming of the air on its way.

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient on fins and base, above zero [W/m^2/K].
    efficiency : float or array
        Efficiency of one fin, above 0 to 1 [1].
    fin_area : float or array
        Area of all fins, at least zero [m^2].
    total_area : float or array
        Area of fins and bare base, at least the fin area, above zero [m^2].

    Returns
    -------
    float or array
        Resistance [K/W].

    References
    ----------
    Definition of the efficiency of a surface (algebra).

    Examples
    --------
    By hand, 1 / (10 x 0.92 x 0.10) = 1.09:

    >>> round(sink_resistance(10, 0.9, 0.08, 0.10), 2)
    1.09
    """
    film_coefficient, efficiency, fin_area, total_area = checks.floats(
        film_coefficient, efficiency, fin_area, total_area
    )
    checks.above("film coefficient", film_coefficient, 0, "W/m²/K")
    checks.above("efficiency", efficiency, 0)
    return 1 / (film_coefficient * array_efficiency(efficiency, fin_area, total_area) * total_area)
