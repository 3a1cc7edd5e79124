"""What copper does: resistivity and heat, foil and traces, wires, trace currents, gradients on traces and planes."""

import numpy as np
from scipy import constants

from workbook.bench import checks

__all__ = [
    "ANNEALED_RESISTIVITY",
    "CHART_EXTERNAL",
    "CHART_INTERNAL",
    "DENSITY",
    "OUNCE_PER_SQUARE_FOOT",
    "TEMPERATURE_COEFFICIENT",
    "chart_current",
    "chart_width",
    "coefficient_referred_to",
    "foil_thickness",
    "length_to_branch",
    "moved_to_temperature",
    "plane_drop",
    "plane_drop_between",
    "resistivity",
    "sheet_resistance",
    "spreading_resistance",
    "trace_gradient",
    "trace_resistance",
    "wire_diameter",
    "wire_resistance",
]

ANNEALED_RESISTIVITY = 1 / 58e6
"""Annealed copper at 20 °C [ohm m]: 100 % of the IACS, 58 MS/m by definition (published second-hand)."""

TEMPERATURE_COEFFICIENT = 0.00393
"""Of annealed copper, referred to 20 °C [1/K] (published second-hand)."""

DENSITY = 8890.0
"""Of copper in the IACS [kg/m^3] (published second-hand). Deposited foil is less dense."""

OUNCE_PER_SQUARE_FOOT = constants.oz / constants.foot**2
"""One ounce a square foot [kg/m^2]: a mass on an area, not a thickness."""

CHART_EXTERNAL, CHART_INTERNAL = 0.048, 0.024
"""Fit to the IPC-2221 charts, outer and inner layers [A / (K^0.44 mil^1.45)] (published second-hand)."""


def resistivity(temperature_c, at_20=ANNEALED_RESISTIVITY, coefficient=TEMPERATURE_COEFFICIENT):
    r"""Return the resistivity of copper at a temperature.

    .. math:: \rho = \rho_{20}\,[1 + \alpha_{20}(T - 20)]

    Straight line, good from about -50 to 200 °C. The coefficient belongs to 20 °C and to no other start.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the copper, from -100 to 300 [°C].
    at_20 : float or array
        Resistivity at 20 °C, above zero [ohm m].
    coefficient : float or array
        Temperature coefficient referred to 20 °C, at least zero [1/K].

    Returns
    -------
    float or array
        Resistivity [ohm m].

    References
    ----------
    NBS Circular 31, 3rd ed. (1914), and IEC (1913), for the IACS, published second-hand.

    Examples
    --------
    >>> f"{resistivity(20):.4e}"
    '1.7241e-08'
    """
    checks.between("temperature", temperature_c, -100, 300, "°C")
    checks.above("resistivity", at_20, 0, "ohm m")
    checks.at_least("temperature coefficient", coefficient, 0, "1/K")
    return at_20 * (1 + coefficient * np.subtract(temperature_c, 20))


def moved_to_temperature(resistance, from_c, to_c, coefficient=TEMPERATURE_COEFFICIENT):
    r"""Return a copper resistance measured at one temperature, as it is at another.

    .. math:: R_2 = R_1 \frac{1 + \alpha_{20}(T_2 - 20)}{1 + \alpha_{20}(T_1 - 20)}

    Going through 20 °C: the coefficient of 20 °C used from another start gives a small error that looks like accuracy.

    Parameters
    ----------
    resistance : float or array
        As measured, at least zero [ohm].
    from_c, to_c : float or array
        Temperature it was measured at and the one asked for, from -100 to 300 [°C].
    coefficient : float or array
        Temperature coefficient referred to 20 °C, at least zero [1/K].

    Returns
    -------
    float or array
        Resistance at the second temperature [ohm].

    References
    ----------
    As for `resistivity`; the example is computed.

    Examples
    --------
    A 98.5 mohm trace of 20 °C at 80 °C:

    >>> f"{1e3 * moved_to_temperature(98.5e-3, 20, 80):.1f} mohm"
    '121.7 mohm'
    """
    resistance, from_c, to_c, coefficient = checks.floats(resistance, from_c, to_c, coefficient)
    checks.at_least("resistance", resistance, 0, "ohm")
    return resistance * resistivity(to_c, 1.0, coefficient) / resistivity(from_c, 1.0, coefficient)


def coefficient_referred_to(coefficient, from_c, to_c):
    r"""Return a temperature coefficient given for one temperature, as it is for another.

    .. math:: \alpha_2 = \frac{\alpha_1}{1 + \alpha_1 (T_2 - T_1)}

    The line is the same; only its start moves. Tables for windings refer to 0 or 25 °C: turn theirs into that of 20 °C
    before it goes into `resistivity`.

    Parameters
    ----------
    coefficient : float or array
        Temperature coefficient referred to the first temperature, at least zero [1/K].
    from_c, to_c : float or array
        Temperature it is referred to and the one asked for, from -100 to 300 [°C].

    Returns
    -------
    float or array
        Temperature coefficient referred to the second temperature [1/K].

    References
    ----------
    Dellinger, Bulletin of the Bureau of Standards 7 (1911), no. 1, p. 72: the older coefficient of Matthiessen, 0.00398
    at 0 °C, printed 0.00369 at 20 °C; read in an excerpt, published second-hand.

    Examples
    --------
    >>> f"{coefficient_referred_to(0.00398, 0, 20):.5f}"
    '0.00369'
    """
    coefficient, from_c, to_c = checks.floats(coefficient, from_c, to_c)
    checks.at_least("temperature coefficient", coefficient, 0, "1/K")
    checks.between("first temperature", from_c, -100, 300, "°C")
    checks.between("second temperature", to_c, -100, 300, "°C")
    left = 1 + coefficient * (to_c - from_c)
    checks.above("resistance at the second temperature over that at the first", left, 0)
    return coefficient / left


def foil_thickness(mass_per_area, density=DENSITY):
    r"""Return the thickness of a foil of known mass on an area, if it were solid metal.

    .. math:: t = m / \rho

    Pure geometry. Foil is sold by mass; design tools take 34.8 or 35.0 um for one ounce; deposited foil is less dense,
    and outer layers are plated up. Allow 3 %, on outer layers more.

    Parameters
    ----------
    mass_per_area : float or array
        Mass on an area, above zero, see `OUNCE_PER_SQUARE_FOOT` [kg/m^2].
    density : float or array
        Density of the metal, above zero [kg/m^3].

    Returns
    -------
    float or array
        Thickness [m].

    References
    ----------
    305 g/m^2 for one ounce: several design texts quoting IPC-4562, published second-hand; example computed.

    Examples
    --------
    >>> f"{1e6 * foil_thickness(OUNCE_PER_SQUARE_FOOT):.1f} um"
    '34.3 um'
    """
    mass_per_area, density = checks.floats(mass_per_area, density)
    checks.above("mass per area", mass_per_area, 0, "kg/m^2")
    checks.above("density", density, 0, "kg/m^3")
    return mass_per_area / density


def sheet_resistance(resistivity, thickness):
    r"""Return the resistance of a square of foil, whatever its size.

    .. math:: R_s = \rho / t

    Parameters
    ----------
    resistivity : float or array
        Of the metal, above zero [ohm m].
    thickness : float or array
        Of the foil, above zero [m].

    Returns
    -------
    float or array
        Sheet resistance [ohm a square].

    References
    ----------
    Rule of 0.5 mohm a square for one ounce, seen on several design pages (published second-hand).

    Examples
    --------
    >>> f"{1e3 * sheet_resistance(ANNEALED_RESISTIVITY, 34.8e-6):.1f} mohm"
    '0.5 mohm'
    """
    resistivity, thickness = checks.floats(resistivity, thickness)
    checks.above("resistivity", resistivity, 0, "ohm m")
    checks.above("thickness", thickness, 0, "m")
    return resistivity / thickness


def trace_resistance(resistivity, length, width, thickness):
    r"""Return the resistance of a straight trace.

    .. math:: R = \rho L / (w t)

    Parameters
    ----------
    resistivity : float or array
        Of the metal, above zero [ohm m].
    length : float or array
        Along the current, at least zero [m].
    width, thickness : float or array
        Across the current, above zero [m].

    Returns
    -------
    float or array
        Resistance from end to end [ohm].

    References
    ----------
    Open lesson on printed circuits (published second-hand), "Trace Resistance", worked example.

    Examples
    --------
    100 mm by 0.5 mm by 35 um with 1.72e-8 ohm m, printed as 98.3 mohm:

    >>> f"{1e3 * trace_resistance(1.72e-8, 0.100, 0.5e-3, 35e-6):.1f} mohm"
    '98.3 mohm'
    """
    resistivity, length, width, thickness = checks.floats(resistivity, length, width, thickness)
    checks.at_least("length", length, 0, "m")
    checks.above("width", width, 0, "m")
    return sheet_resistance(resistivity, thickness) * length / width


def wire_diameter(gauge):
    r"""Return the diameter of a solid wire of the American wire gauge.

    .. math:: d = 0.005\,\text{in} \times 92^{(36-n)/39}

    Parameters
    ----------
    gauge : float or array
        Gauge number, from -3 (four noughts) to 40 [1].

    Returns
    -------
    float or array
        Diameter [m].

    References
    ----------
    NBS Handbook 100 (1966), published second-hand.

    Examples
    --------
    Gauge 36 is five thousandths of an inch by definition:

    >>> f"{1e3 * wire_diameter(36):.3f} mm"
    '0.127 mm'
    """
    checks.between("gauge", gauge, -3, 40)
    return 0.005 * constants.inch * 92.0 ** (np.subtract(36, gauge) / 39)


def wire_resistance(gauge, length, resistivity=ANNEALED_RESISTIVITY):
    r"""Return the resistance of a solid wire; give the length of both leads for a pair.

    .. math:: R = 4 \rho L / (\pi d^2)

    Parameters
    ----------
    gauge : float or array
        American wire gauge, from -3 to 40 [1].
    length : float or array
        Length of wire, at least zero [m].
    resistivity : float or array
        Of the metal, above zero [ohm m].

    Returns
    -------
    float or array
        Resistance [ohm].

    References
    ----------
    NBS Handbook 100 (1966), Tables 5 to 14, published second-hand; manual of an ohmmeter, 3.2, for the example.

    Examples
    --------
    Two leads of 8 ft in gauge 18, printed as 0.1 ohm, and 1000 ft of it, printed as 6.385 ohm:

    >>> f"{wire_resistance(18, 16 * constants.foot):.1f}", f"{wire_resistance(18, 1000 * constants.foot):.3f}"
    ('0.1', '6.385')
    """
    gauge, length, resistivity = checks.floats(gauge, length, resistivity)
    checks.at_least("length", length, 0, "m")
    checks.above("resistivity", resistivity, 0, "ohm m")
    return 4 * resistivity * length / (np.pi * wire_diameter(gauge) ** 2)


def chart_current(temperature_rise, width, thickness, constant=CHART_EXTERNAL):
    r"""Return the current that warms a trace by so much, by the fit to the old design charts.

    .. math:: I = k \, \Delta T^{0.44} A^{0.725}, \qquad A \text{ in mil}^2

    A curve laid through the charts of IPC-2221, no physics: it knows no planes, no neighbours, no board. The chart for
    inner layers was never measured on inner layers; later tests behind IPC-2152 (2009) found inner and outer traces
    warm nearly alike (published second-hand). Teach it as an old rule, not as a prediction. The constants are for
    outer and inner layers, not for still and forced air, as one page has it.

    Parameters
    ----------
    temperature_rise : float or array
        Trace above board, from 1 to 100 [K].
    width, thickness : float or array
        Of the trace, above zero [m].
    constant : float
        `CHART_EXTERNAL` or `CHART_INTERNAL`, above zero [A / (K^0.44 mil^1.45)].

    Returns
    -------
    float or array
        Current [A].

    References
    ----------
    IPC-2221B (2012), 6.2, equation 6-4, published second-hand; open lesson "Trace Current Capacity" for the example.

    Examples
    --------
    10 mil of one ounce, 10 K, outside: the lesson prints 0.884 A, having rounded half way; unrounded it is 0.8855 A.

    >>> mil = constants.mil
    >>> f"{chart_current(10, 10 * mil, 1.378 * mil):.4f}"
    '0.8855'
    """
    temperature_rise, width, thickness = checks.floats(temperature_rise, width, thickness)
    checks.between("temperature rise", temperature_rise, 1, 100, "K")
    checks.above("width", width, 0, "m")
    checks.above("thickness", thickness, 0, "m")
    checks.above("chart constant", constant, 0)
    area = width * thickness / constants.mil**2
    return constant * np.power(temperature_rise, 0.44) * area**0.725


def chart_width(current, temperature_rise, thickness, constant=CHART_EXTERNAL):
    r"""Return the width of a trace for a current, by the fit to the old design charts.

    .. math:: w = \frac1t \left(\frac{I}{k \, \Delta T^{0.44}}\right)^{1/0.725}

    `chart_current` the other way round, with all its caveats.

    Parameters
    ----------
    current : float or array
        Current to carry, above zero [A].
    temperature_rise : float or array
        Trace above board, from 1 to 100 [K].
    thickness : float or array
        Of the trace, above zero [m].
    constant : float
        `CHART_EXTERNAL` or `CHART_INTERNAL`, above zero [A / (K^0.44 mil^1.45)].

    Returns
    -------
    float or array
        Width [m].

    References
    ----------
    As for `chart_current`; 2 A and 10 K seen as 30.8 mil outside and 80.0 mil inside, published second-hand.

    Examples
    --------
    >>> mil = constants.mil
    >>> [f"{chart_width(2, 10, 1.378 * mil, k) / mil:.1f} mil" for k in (CHART_EXTERNAL, CHART_INTERNAL)]
    ['30.8 mil', '80.0 mil']
    """
    current, temperature_rise, thickness = checks.floats(current, temperature_rise, thickness)
    checks.above("current", current, 0, "A")
    unit_current = chart_current(temperature_rise, constants.mil, thickness, constant)
    return constants.mil * (current / unit_current) ** (1 / 0.725)


def trace_gradient(current, sheet_resistance, width):
    r"""Return the voltage lost on each metre of a trace that carries a current.

    .. math:: dV/dx = I R_s / w

    Beyond the branch that takes the current away the trace is flat: there the reading stops rising.

    Parameters
    ----------
    current : float or array
        Current in the trace [A].
    sheet_resistance : float or array
        Of the foil, above zero [ohm a square].
    width : float or array
        Of the trace, above zero [m].

    Returns
    -------
    float or array
        Gradient [V/m].

    References
    ----------
    Ohm's law; the example is computed.

    Examples
    --------
    1 A in 1 mm of one ounce:

    >>> f"{trace_gradient(1.0, 0.4954e-3, 1e-3):.3f} mV/mm"
    '0.495 mV/mm'
    """
    current, sheet_resistance, width = checks.floats(current, sheet_resistance, width)
    checks.finite("current", current, "A")
    checks.above("sheet resistance", sheet_resistance, 0, "ohm")
    checks.above("width", width, 0, "m")
    return current * sheet_resistance / width


def length_to_branch(drop, current, sheet_resistance, width):
    r"""Return how far along a trace the current leaves it, from the drop read beyond that place.

    .. math:: x = \frac{V w}{I R_s}

    Parameters
    ----------
    drop : float or array
        Voltage from the injection point to the flat part of the trace, at least zero [V].
    current : float or array
        Current injected, above zero [A].
    sheet_resistance : float or array
        Of the foil, above zero [ohm a square].
    width : float or array
        Of the trace, above zero [m].

    Returns
    -------
    float or array
        Distance of the branch from the injection point [m].

    References
    ----------
    `trace_gradient` solved for the length; the example is computed.

    Examples
    --------
    14.37 mV at 1 A in 1 mm of one ounce, flat from 30 mm on: the branch is before the first flat reading.

    >>> f"{1e3 * length_to_branch(14.37e-3, 1.0, 0.4954e-3, 1e-3):.1f} mm"
    '29.0 mm'
    """
    drop, current, sheet_resistance, width = checks.floats(drop, current, sheet_resistance, width)
    checks.at_least("drop", drop, 0, "V")
    checks.above("current", current, 0, "A")
    return drop / trace_gradient(current, sheet_resistance, width)


def plane_drop(current, sheet_resistance, near, far):
    r"""Return the voltage between two probes at different distances from a point where current enters a wide plane.

    .. math:: V = \frac{I R_s}{2\pi} \ln\frac{r_2}{r_1}

    Endless plane, current leaving far away in all directions alike.

    Parameters
    ----------
    current : float or array
        Current injected [A].
    sheet_resistance : float or array
        Of the plane, above zero [ohm a square].
    near, far : float or array
        Distances of the probes from the point, above zero [m].

    Returns
    -------
    float or array
        Nearer probe less farther probe [V].

    References
    ----------
    Current spread over a circle; the example is computed.

    Examples
    --------
    1 A, probes 5 and 20 mm away:

    >>> f"{1e3 * plane_drop(1.0, 0.4954e-3, 5e-3, 20e-3):.4f} mV"
    '0.1093 mV'
    """
    current, sheet_resistance, near, far = checks.floats(current, sheet_resistance, near, far)
    checks.finite("current", current, "A")
    checks.above("sheet resistance", sheet_resistance, 0, "ohm")
    checks.above("near distance", near, 0, "m")
    checks.above("far distance", far, 0, "m")
    return current * sheet_resistance / (2 * np.pi) * np.log(np.divide(far, near))


def plane_drop_between(current, sheet_resistance, separation, position, probe_spacing):
    r"""Return the voltage between two probes on the straight line from the injection point to the short.

    .. math:: V = \frac{I R_s}{2\pi} \ln\frac{(x + p/2)\,(L - x + p/2)}{(x - p/2)\,(L - x - p/2)}

    Endless plane. The reading is largest at *both* ends: move the injection point, and the end that stays is the short.

    Parameters
    ----------
    current : float or array
        Current injected [A].
    sheet_resistance : float or array
        Of the plane, above zero [ohm a square].
    separation : float or array
        Injection point to short, above zero [m].
    position : float or array
        Middle of the probe pair from the injection point, so that both tips lie between the points [m].
    probe_spacing : float or array
        Between the two tips, above zero [m].

    Returns
    -------
    float or array
        Tip nearer the injection point less the other [V].

    References
    ----------
    Two points in an endless sheet; the example is computed.

    Examples
    --------
    1 A over 60 mm of one-ounce plane, tips 5 mm apart, at 5, 10, 20 mm and in the middle:

    >>> [f"{1e6 * plane_drop_between(1.0, 0.4954e-3, 60e-3, x, 5e-3):.1f}" for x in (5e-3, 10e-3, 20e-3, 30e-3)]
    ['93.8', '48.2', '29.7', '26.3']
    """
    current, sheet_resistance, separation, position, probe_spacing = checks.floats(
        current, sheet_resistance, separation, position, probe_spacing
    )
    checks.above("separation", separation, 0, "m")
    checks.above("probe spacing", probe_spacing, 0, "m")
    half = np.divide(probe_spacing, 2)
    first, second = np.subtract(position, half), np.add(position, half)
    checks.above("first tip from the injection point", first, 0, "m")
    checks.above("second tip from the short", np.subtract(separation, second), 0, "m")
    entering = plane_drop(current, sheet_resistance, first, second)
    leaving = plane_drop(current, sheet_resistance, np.subtract(separation, second), np.subtract(separation, first))
    return entering + leaving


def spreading_resistance(sheet_resistance, separation, pad_radius):
    r"""Return the resistance of a wide plane between two round pads.

    .. math:: R = \frac{R_s}{\pi} \ln\frac{L}{r_0}

    Pads small against their distance: within 1 % from ten radii on.

    Parameters
    ----------
    sheet_resistance : float or array
        Of the plane, above zero [ohm a square].
    separation : float or array
        Middle to middle, at least four pad radii [m].
    pad_radius : float or array
        Of both pads, above zero [m].

    Returns
    -------
    float or array
        Resistance from pad to pad [ohm].

    References
    ----------
    Two points in an endless sheet; computed.

    Examples
    --------
    Pads of 1 mm radius, 50 mm apart, one ounce: less than a milliohm, so a plane hides nothing from a meter.

    >>> f"{1e3 * spreading_resistance(0.4954e-3, 50e-3, 1e-3):.2f} mohm"
    '0.62 mohm'
    """
    sheet_resistance, separation, pad_radius = checks.floats(sheet_resistance, separation, pad_radius)
    checks.above("sheet resistance", sheet_resistance, 0, "ohm")
    checks.above("pad radius", pad_radius, 0, "m")
    checks.at_least("separation in pad radii", np.divide(separation, pad_radius), 4)
    return sheet_resistance / np.pi * np.log(np.divide(separation, pad_radius))
