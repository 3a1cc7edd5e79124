r"""What is in the air at the bench: average exposures, solvent vapour, and what an extraction hood reaches.

Rosin fume, solvent vapour and lead are harmful. The numbers here inform; they do not permit. The limits in force
where you work, the supplier's safety data sheet and the site's safety officer decide. A result below a limit is no
licence to breathe it: extract at the source, keep solvent off hot boards, wash hands, eat elsewhere.
"""

import numpy as np
from scipy import constants

from workbook.bench import checks
from workbook.references import value

__all__ = [
    "air_volume_to_ppm",
    "capture_flow",
    "capture_velocity",
    "lead_limit_ug_per_m3",
    "mixture_exposure",
    "ppm_to_mg_per_m3",
    "time_weighted_average",
    "vapour_ppm",
    "vapour_volume",
    "worst_short_term_average",
]

GAS_CONSTANT = constants.R  # J/mol/K, CODATA
ATMOSPHERE = 101325.0  # Pa
FLANGE_GAIN = value("intake", "hood_flange_gain")


def time_weighted_average(concentrations, hours, shift_hours=8):
    r"""Return the exposure averaged over a working shift.

    .. math:: E = \frac{\sum_i C_i t_i}{t_\mathrm{shift}}

    Time that is not listed counts as free of the substance. Limits are set for 8 h, so the divisor stays 8 h when less
    is worked; for a longer shift see the rule for the substance (lead: :func:`lead_limit_ug_per_m3`).

    Parameters
    ----------
    concentrations : sequence of float
        Concentration during each period, each 0 or more [mg/m^3, or ppm throughout].
    hours : sequence of float
        Length of each period, each 0 or more, together no longer than a day [h].
    shift_hours : float
        Length the limit is set for, above zero [h].

    Returns
    -------
    float
        Time-weighted average [as the concentrations].

    References
    ----------
    29 CFR 1910.1000(d)(1)(i): 2 h at 150 ppm, 2 h at 75 ppm, 4 h at 50 ppm, printed 81.25 ppm.

    Examples
    --------
    >>> time_weighted_average([150, 75, 50], [2, 2, 4])
    81.25
    """
    concentrations, hours = _periods(concentrations, hours, "h")
    checks.above("shift", shift_hours, 0, "h")
    checks.between("all periods together", hours.sum(), 0, 24, "h")
    return float(concentrations @ hours / shift_hours)


def worst_short_term_average(concentrations, minutes, window_minutes=15):
    r"""Return the highest average over any stretch of the short-term length.

    .. math:: S = \max_t \frac{1}{w} \int_t^{t + w} C \, dt

    The long average can be low while a few minutes are not: a short-term limit is judged on its own. Concentration is
    constant in each period and zero before the first and after the last; the worst stretch then begins or ends where
    two periods meet, so those are the only ones that need trying.

    Parameters
    ----------
    concentrations : sequence of float
        Concentration during each period, in order, each 0 or more [mg/m^3, or ppm throughout].
    minutes : sequence of float
        Length of each period, each 0 or more [min].
    window_minutes : float
        Length of the short-term limit, above zero [min].

    Returns
    -------
    float
        Worst average over the window [as the concentrations].

    References
    ----------
    Definition of a short-term exposure limit (15 min), UK EH40 and 29 CFR 1910.1000; the example is computed.

    Examples
    --------
    Rosin fume 0.02 mg/m3 for two hours with five minutes of 0.50 in between:

    >>> f"{worst_short_term_average([0.02, 0.50, 0.02], [60, 5, 60]):.2f}"
    '0.18'
    """
    concentrations, minutes = _periods(concentrations, minutes, "min")
    checks.above("window", window_minutes, 0, "min")
    edges = np.concatenate([[0.0], np.cumsum(minutes)])
    dose = np.concatenate([[0.0], np.cumsum(concentrations * minutes)])
    starts = np.concatenate([edges, edges - window_minutes])
    doses = np.interp(starts + window_minutes, edges, dose) - np.interp(starts, edges, dose)
    return float(doses.max() / window_minutes)


def mixture_exposure(concentrations, limits):
    r"""Return the exposure to several substances as a share of what their limits allow together.

    .. math:: E_m = \sum_i C_i / L_i

    Above 1 the mixture exceeds the rule although each substance alone may not.

    Parameters
    ----------
    concentrations : sequence of float
        Averages of the substances over the shift, each 0 or more [mg/m^3 or ppm, as its limit].
    limits : sequence of float
        Limit of each substance, above zero [as its concentration].

    Returns
    -------
    float
        Share, 0 or more [1].

    References
    ----------
    29 CFR 1910.1000(d)(2): 500 ppm of 1000, 45 of 200, 40 of 200 (inputs printed there; the sum is arithmetic).

    Examples
    --------
    >>> f"{mixture_exposure([500, 45, 40], [1000, 200, 200]):.3f}"
    '0.925'
    """
    concentrations, limits = np.asarray(concentrations, float), np.asarray(limits, float)
    checks.at_least("concentration", concentrations, 0)
    checks.above("limit", limits, 0)
    if concentrations.shape != limits.shape:
        raise ValueError(f"each substance needs its own limit (got {concentrations.size} and {limits.size})")
    checks.at_least("number of substances", limits.size, 1)
    return float(np.sum(concentrations / limits))


def lead_limit_ug_per_m3(shift_hours):
    r"""Return the limit for lead in air averaged over a shift, in micrograms a cubic metre.

    .. math:: L = 50 \;\; (t \le 8\,\mathrm{h}), \qquad L = 400 / t \;\; (t > 8\,\mathrm{h})

    One country's rule, for information. Soldering makes little lead in air; hands and food carry the most of it in.

    Parameters
    ----------
    shift_hours : float or array
        Hours worked in the day, above 0, up to 24 [h].

    Returns
    -------
    float or array
        Limit [ug/m^3].

    References
    ----------
    29 CFR 1910.1025(c) and its Appendix B: 50 ug/m3; for longer shifts 400 divided by the hours, 10 h printed as 40.

    Examples
    --------
    >>> f"{lead_limit_ug_per_m3(8):.0f}", f"{lead_limit_ug_per_m3(10):.0f}"
    ('50', '40')
    """
    checks.above("shift", shift_hours, 0, "h")
    checks.between("shift", shift_hours, 0, 24, "h")
    return value("intake", "lead_long_shift_dose") / np.maximum(shift_hours, 8)


def vapour_volume(liquid_volume, density, molar_mass, temperature_c=25.0):
    r"""Return the volume of vapour that an evaporated liquid becomes, at one atmosphere.

    .. math:: V = \frac{\rho V_l}{M} \, \frac{R T}{p}

    Ideal gas, all of the liquid evaporated.

    Parameters
    ----------
    liquid_volume : float or array
        Volume of liquid, 0 or more [m^3].
    density : float or array
        Density of the liquid, above zero [kg/m^3].
    molar_mass : float or array
        Molar mass, above zero [kg/mol].
    temperature_c : float or array
        Air temperature, above absolute zero [degrees Celsius].

    Returns
    -------
    float or array
        Volume of vapour [m^3].

    References
    ----------
    Ideal gas law, one mole at 25 °C and 760 mm Hg printed as 24.46 L in an OSHA methods manual, Appendix B; the example
    is computed.

    Examples
    --------
    One millilitre of isopropyl alcohol makes a third of a litre of vapour:

    >>> f"{1e3 * vapour_volume(1e-6, 785, 60.10e-3):.3f}"
    '0.320'
    """
    liquid_volume, density, molar_mass, temperature_c = checks.floats(liquid_volume, density, molar_mass, temperature_c)
    checks.at_least("liquid volume", liquid_volume, 0, "m^3")
    checks.above("density", density, 0, "kg/m^3")
    checks.above("molar mass", molar_mass, 0, "kg/mol")
    return density * liquid_volume / molar_mass * _molar_volume(temperature_c)


def vapour_ppm(vapour_volume, room_volume):
    r"""Return the concentration of vapour spread evenly through a closed room.

    .. math:: c = 10^6 \, V / V_\mathrm{room}

    Nothing is evenly spread: near the liquid it is many times higher and may burn. For vapour that is little against
    the room.

    Parameters
    ----------
    vapour_volume : float or array
        Volume of vapour, 0 or more [m^3].
    room_volume : float or array
        Volume of air, above zero [m^3].

    Returns
    -------
    float or array
        Concentration, parts a million by volume [ppm].

    References
    ----------
    Definition of parts a million by volume; the example is computed.

    Examples
    --------
    5 mL of isopropyl alcohol (specific gravity 0.79) in a room of 10 m3 that is not aired:

    >>> f"{vapour_ppm(vapour_volume(5e-6, 790, 60.10e-3), 10):.0f}"
    '161'
    """
    vapour_volume, room_volume = checks.floats(vapour_volume, room_volume)
    checks.at_least("vapour volume", vapour_volume, 0, "m^3")
    checks.above("room volume", room_volume, 0, "m^3")
    return 1e6 * vapour_volume / room_volume


def air_volume_to_ppm(vapour_volume, ppm):
    r"""Return how much air a vapour has to be spread through to come down to a concentration.

    .. math:: V_\mathrm{air} = 10^6 \, V / c

    Parameters
    ----------
    vapour_volume : float or array
        Volume of vapour, 0 or more [m^3].
    ppm : float or array
        Concentration to come down to, above zero [ppm]. A lower explosive limit of 2 % is 20 000 ppm.

    Returns
    -------
    float or array
        Volume of air [m^3].

    References
    ----------
    Inverse of :func:`vapour_ppm`; the example is computed.

    Examples
    --------
    One millilitre of isopropyl alcohol can make 16 litres of air flammable, and takes 0.8 m3 to come down to 400 ppm:

    >>> vapour = vapour_volume(1e-6, 785, 60.10e-3)
    >>> f"{1e3 * air_volume_to_ppm(vapour, 20_000):.1f}", f"{air_volume_to_ppm(vapour, 400):.2f}"
    ('16.0', '0.80')
    """
    vapour_volume, ppm = checks.floats(vapour_volume, ppm)
    checks.at_least("vapour volume", vapour_volume, 0, "m^3")
    checks.above("concentration", ppm, 0, "ppm")
    return 1e6 * vapour_volume / ppm


def ppm_to_mg_per_m3(ppm, molar_mass, temperature_c=25.0):
    r"""Return a vapour concentration as mass in a cubic metre of air, at one atmosphere.

    .. math:: c_m = 10^{-6} c \, M / V_m

    Tables differ in the temperature they assume: 25 °C in the United States, 20 °C in the United Kingdom.

    Parameters
    ----------
    ppm : float or array
        Concentration by volume, 0 or more [ppm].
    molar_mass : float or array
        Molar mass, above zero [kg/mol].
    temperature_c : float or array
        Temperature the table assumes, above absolute zero [degrees Celsius].

    Returns
    -------
    float or array
        Concentration [mg/m^3].

    References
    ----------
    NIOSH Pocket Guide, isopropyl alcohol, 1 ppm = 2.46 mg/m3. UK EH40 as quoted in a data sheet: 400 ppm = 999 mg/m3,
    500 ppm = 1250 mg/m3.

    Examples
    --------
    >>> f"{ppm_to_mg_per_m3(1, 60.10e-3):.2f}"
    '2.46'
    >>> f"{ppm_to_mg_per_m3(400, 60.10e-3, 20):.0f}"
    '999'
    """
    ppm, molar_mass, temperature_c = checks.floats(ppm, molar_mass, temperature_c)
    checks.at_least("concentration", ppm, 0, "ppm")
    checks.above("molar mass", molar_mass, 0, "kg/mol")
    return ppm * molar_mass / _molar_volume(temperature_c)  # 1e-6 of volume times 1e6 mg/kg


def capture_velocity(flow, distance, face_area, flanged=False):
    r"""Return the air velocity that a hood draws at a distance in front of its opening.

    .. math:: v = \frac{Q}{10 x^2 + A}, \qquad \text{with a flange } 1.33 \, v

    On the axis of a round or nearly square opening, in still air. Close to the mouth newer measurements depart from
    it; treat it as good to a fifth.

    Parameters
    ----------
    flow : float or array
        Air flow into the hood, 0 or more [m^3/s].
    distance : float or array
        Distance from the opening along its axis, 0 or more [m].
    face_area : float or array
        Area of the opening, above zero [m^2].
    flanged : bool
        Whether the opening sits in a wall or has a flange.

    Returns
    -------
    float or array
        Velocity [m/s].

    References
    ----------
    Dalla Valle's form, a page of engineering formulas on exhaust outlets (published-unnamed): 250 mm duct, 3 m/s, 250
    mm away, printed 0.2 m/s (by the page's other form, for small openings, which rounds 4 pi to 12).

    Examples
    --------
    >>> area = np.pi * 0.250**2 / 4
    >>> f"{capture_velocity(3.0 * area, 0.250, area):.1f}"
    '0.2'
    """
    flow, distance, face_area = checks.floats(flow, distance, face_area)
    checks.at_least("flow", flow, 0, "m^3/s")
    return flow * _gain(flanged) / _reach(distance, face_area)


def capture_flow(velocity, distance, face_area, flanged=False):
    r"""Return the air flow a hood needs for a capture velocity at a distance.

    .. math:: Q = v \, (10 x^2 + A), \qquad \text{with a flange } Q / 1.33

    Distance rules: twice as far takes nearly four times the flow.

    Parameters
    ----------
    velocity : float or array
        Capture velocity wanted at the source, 0 or more [m/s].
    distance : float or array
        Distance from the opening along its axis, 0 or more [m].
    face_area : float or array
        Area of the opening, above zero [m^2].
    flanged : bool
        Whether the opening sits in a wall or has a flange.

    Returns
    -------
    float or array
        Air flow [m^3/s].

    References
    ----------
    Inverse of :func:`capture_velocity`; the example is computed.

    Examples
    --------
    0.5 m/s in front of a 75 mm nozzle, in m3/h:

    >>> area = np.pi * 0.075**2 / 4
    >>> [f"{3600 * capture_flow(0.5, x, area):.0f}" for x in (0.150, 0.300)]
    ['413', '1628']
    """
    velocity, distance, face_area = checks.floats(velocity, distance, face_area)
    checks.at_least("velocity", velocity, 0, "m/s")
    return velocity * _reach(distance, face_area) / _gain(flanged)


def _periods(concentrations, lengths, unit):
    concentrations, lengths = np.asarray(concentrations, float), np.asarray(lengths, float)
    checks.at_least("concentration", concentrations, 0)
    checks.at_least("length of a period", lengths, 0, unit)
    if concentrations.shape != lengths.shape:
        raise ValueError(f"each concentration needs its own length (got {concentrations.size} and {lengths.size})")
    checks.at_least("number of periods", lengths.size, 1)
    return concentrations, lengths


def _molar_volume(temperature_c):
    checks.above("temperature", temperature_c, -273.15, "°C")
    return GAS_CONSTANT * (np.asarray(temperature_c, float) + 273.15) / ATMOSPHERE


def _reach(distance, face_area):
    checks.at_least("distance", distance, 0, "m")
    checks.above("face area", face_area, 0, "m^2")
    return 10 * np.square(distance) + face_area


def _gain(flanged):
    return FLANGE_GAIN if flanged else 1.0
