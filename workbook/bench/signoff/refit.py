r"""After the sink is back on: what a case temperature says about the junction, here and in the customer's room.

The chain itself (junction to air, resistances in series) and psi-JT are in :mod:`workbook.bench.paste.chain`. A running
board is measured by someone authorised to do so, with the guard on; nothing here asks to touch a live board.
"""

from workbook.bench import checks
from workbook.bench.paste import chain

__all__ = [
    "highest_air_temperature_c",
    "junction_temperature_elsewhere_c",
    "junction_temperature_from_case_c",
    "largest_power",
    "resistance_saved",
    "share_of_heat_through_top",
]


def junction_temperature_from_case_c(case_c, heat_through_case, case_resistance):
    r"""Return the junction temperature from a reading on the case and the heat that passes it.

    .. math:: T_J = T_C + \theta_{JC} \, P_C

    The heat through the case, not the power of the part: under a good sink nearly all of it passes, with a bare top
    next to nothing does. With the total power in its place the answer is too hot; then psi-JT is the number to use
    (:func:`workbook.bench.paste.chain.junction_temperature_from_top`).

    Parameters
    ----------
    case_c : float or array
        Case temperature [degrees Celsius].
    heat_through_case : float or array
        Heat that leaves through the case, 0 or more [W].
    case_resistance : float or array
        theta-JC, 0 or more [K/W].

    Returns
    -------
    float or array
        Junction temperature [degrees Celsius].

    References
    ----------
    Worked example of a chain on a public formula page: 5 W through 3 + 1 + 8 K/W in air of 25 °C, case 70 °C, junction
    85 °C.

    Examples
    --------
    >>> junction_temperature_from_case_c(70.0, 5.0, 3.0)
    85.0
    """
    case_c, heat_through_case, case_resistance = checks.floats(case_c, heat_through_case, case_resistance)
    checks.finite("case_c", case_c, "°C")
    checks.at_least("heat through the case", heat_through_case, 0, "W")
    checks.at_least("case resistance", case_resistance, 0, "K/W")
    return case_c + heat_through_case * case_resistance


def share_of_heat_through_top(top_parameter, case_resistance):
    r"""Return what share of the power leaves through the top where psi-JT was measured.

    .. math:: \frac{P_C}{P} = \frac{\psi_{JT}}{\theta_{JC}}

    Both describe the same temperature difference, one by the total power and one by the heat that passes. The small
    number shows why psi-JT is no resistance: nearly all heat took another way.

    Parameters
    ----------
    top_parameter : float or array
        psi-JT, 0 or more and no higher than theta-JC [K/W].
    case_resistance : float or array
        theta-JC to the top, above zero [K/W].

    Returns
    -------
    float or array
        Share of the total power, 0 to 1 [1].

    References
    ----------
    Definitions of JESD51-12 (second-hand), divided; a data-sheet table of a ceramic array package has psi-JT 0.014 and
    theta-JC 0.54 K/W.

    Examples
    --------
    >>> f"{share_of_heat_through_top(0.014, 0.54):.1%}"
    '2.6%'
    """
    top_parameter, case_resistance = checks.floats(top_parameter, case_resistance)
    checks.above("case resistance", case_resistance, 0, "K/W")
    checks.at_least("psi-JT", top_parameter, 0, "K/W")
    checks.at_least("theta-JC minus psi-JT", case_resistance - top_parameter, 0, "K/W")
    return top_parameter / case_resistance


def resistance_saved(case_before_c, air_before_c, case_after_c, air_after_c, heat_flow):
    r"""Return by how much a refit lowered the resistance from case to air, each reading against its own air.

    .. math:: \Delta R = \frac{(T_C - T_A)_\mathrm{before} - (T_C - T_A)_\mathrm{after}}{P}

    Same power before and after. Comparing case temperatures alone counts a cooler afternoon as good paste.

    Parameters
    ----------
    case_before_c : float or array
        Case temperature before [degrees Celsius].
    air_before_c : float or array
        Air temperature before [degrees Celsius].
    case_after_c : float or array
        Case temperature after [degrees Celsius].
    air_after_c : float or array
        Air temperature after [degrees Celsius].
    heat_flow : float or array
        Heat through the sink, above zero [W].

    Returns
    -------
    float or array
        Resistance saved; below zero if the refit made it worse [K/W].

    References
    ----------
    Definition of a thermal resistance, taken twice; the example is computed.

    Examples
    --------
    The case came down from 82 to 74 °C, but the room was 3 K cooler:

    >>> f"{resistance_saved(82, 26, 74, 23, 10):.2f}"
    '0.50'
    """
    checks.finite("case_before_c", case_before_c, "°C")
    checks.finite("air_before_c", air_before_c, "°C")
    checks.finite("case_after_c", case_after_c, "°C")
    checks.finite("air_after_c", air_after_c, "°C")
    before = chain.thermal_resistance(case_before_c, air_before_c, heat_flow)
    return before - chain.thermal_resistance(case_after_c, air_after_c, heat_flow)


def junction_temperature_elsewhere_c(junction_c, air_c, elsewhere_c, power_ratio=1.0):
    r"""Return the junction temperature in other air and at other power, from one measured on the bench.

    .. math:: T_J' = T_A' + (T_J - T_A) \, \frac{P'}{P}

    A linear chain: fan, airflow and resistances as on the bench. A closed cabinet changes them; measure there if it
    matters.

    Parameters
    ----------
    junction_c : float or array
        Junction temperature on the bench [degrees Celsius].
    air_c : float or array
        Air temperature on the bench [degrees Celsius].
    elsewhere_c : float or array
        Air temperature where the board will work [degrees Celsius].
    power_ratio : float or array
        Power there over power on the bench, 0 or more [1].

    Returns
    -------
    float or array
        Junction temperature there [degrees Celsius].

    References
    ----------
    The chain TJ = TA + P times the sum of R, written for two places; the example is computed.

    Examples
    --------
    85 °C in a room of 25 °C becomes 118 °C in a cabinet of 40 °C under 30 % more load:

    >>> f"{junction_temperature_elsewhere_c(85, 25, 40, 1.3):.0f}"
    '118'
    """
    junction_c, air_c, elsewhere_c, power_ratio = checks.floats(junction_c, air_c, elsewhere_c, power_ratio)
    checks.finite("junction_c", junction_c, "°C")
    checks.finite("air_c", air_c, "°C")
    checks.finite("elsewhere_c", elsewhere_c, "°C")
    checks.at_least("power ratio", power_ratio, 0)
    return elsewhere_c + (junction_c - air_c) * power_ratio


def largest_power(junction_limit_c, air_c, *resistances):
    r"""Return the power that brings the junction just to its limit.

    .. math:: P = \frac{T_{J,\max} - T_A}{\sum_i R_i}

    Parameters
    ----------
    junction_limit_c : float or array
        Highest junction temperature allowed, at least that of the air [degrees Celsius].
    air_c : float or array
        Air temperature [degrees Celsius].
    *resistances : float or array
        Resistances from junction to air, each 0 or more, together above zero [K/W].

    Returns
    -------
    float or array
        Power [W].

    References
    ----------
    Inverse of the chain; the worked example of a public formula page (5 W, 3 + 1 + 8 K/W, 25 °C, 85 °C).

    Examples
    --------
    >>> largest_power(85, 25, 3, 1, 8)
    5.0
    """
    junction_limit_c, air_c = checks.floats(junction_limit_c, air_c)
    headroom = junction_limit_c - air_c
    checks.at_least("junction limit minus air", headroom, 0, "K")
    whole = chain.in_series(*resistances)
    checks.above("resistance from junction to air", whole, 0, "K/W")
    return headroom / whole


def highest_air_temperature_c(junction_limit_c, power, *resistances):
    r"""Return the air temperature at which the junction just reaches its limit.

    .. math:: T_A = T_{J,\max} - P \sum_i R_i

    Parameters
    ----------
    junction_limit_c : float or array
        Highest junction temperature allowed [degrees Celsius].
    power : float or array
        Power through the chain, 0 or more [W].
    *resistances : float or array
        Resistances from junction to air, each 0 or more [K/W].

    Returns
    -------
    float or array
        Air temperature [degrees Celsius].

    References
    ----------
    Inverse of the chain; the worked example of a public formula page (5 W, 3 + 1 + 8 K/W, 25 °C, 85 °C).

    Examples
    --------
    >>> highest_air_temperature_c(85, 5, 3, 1, 8)
    25.0
    """
    junction_limit_c, power = checks.floats(junction_limit_c, power)
    checks.finite("junction_limit_c", junction_limit_c, "°C")
    checks.at_least("power", power, 0, "W")
    return junction_limit_c - power * chain.in_series(*resistances)
