"""Squeeze flow between round parallel plates: force, time and rest gap in closed form.

Two cases. Full plates: the paste reaches the rim and the excess leaves there. Fixed volume: the plates are larger than
the paste, which all stays between them and grows outwards. Both occur; constant volume agreed closely with theory in
Rheologica Acta 49 (2010) 45-52. For a square or a bead see `spread`.
"""

from math import pi

from workbook.bench import checks

__all__ = [
    "gap_after_time_when_full",
    "power_law_force",
    "radius_of_fixed_volume",
    "rest_gap_of_fixed_volume",
    "rest_gap_when_full",
    "squeeze_force_of_fixed_volume",
    "squeeze_force_when_full",
    "squeeze_time_of_fixed_volume",
    "squeeze_time_when_full",
]


def squeeze_force_when_full(viscosity, radius, closing_speed, gap):
    r"""Return the force to close full round plates on a Newtonian fluid (Stefan).

    .. math:: F = \frac{3 \pi \mu R^4 V}{2 h^3}

    Gap far below the radius, no slip, no inertia. The radius enters in the fourth power; one public copy prints the
    square.

    Parameters
    ----------
    viscosity : float or array
        Viscosity, above zero [Pa s].
    radius : float or array
        Plate radius, above zero [m].
    closing_speed : float or array
        Speed at which the gap falls, at least zero [m/s].
    gap : float or array
        Distance of the plates, above zero [m].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Stefan 1874; Engmann et al. 2005 (published second-hand: in full in two encyclopaedia texts; derived again).

    Examples
    --------
    By hand, 1.5 x pi x 100 x 1e-8 x 1e-3 / 1e-12 = 4712 N:

    >>> round(squeeze_force_when_full(100, 10e-3, 1e-3, 100e-6))
    4712
    """
    viscosity, radius, closing_speed, gap = checks.floats(viscosity, radius, closing_speed, gap)
    return power_law_force(viscosity, 1, radius, closing_speed, gap)


def power_law_force(consistency, exponent, radius, closing_speed, gap):
    r"""Return the force to close full round plates on a power-law fluid (Scott).

    .. math:: F = \frac{2 \pi}{n + 3} \left(\frac{2 n + 1}{n}\right)^n \frac{K V^n R^{n + 3}}{h^{2 n + 1}}

    The shear stress is K times the shear rate to the power n. n = 1 is Stefan's force.

    Parameters
    ----------
    consistency : float or array
        Consistency K, above zero [Pa s^n].
    exponent : float or array
        Exponent n, above zero [1].
    radius : float or array
        Plate radius, above zero [m].
    closing_speed : float or array
        Speed at which the gap falls, at least zero [m/s].
    gap : float or array
        Distance of the plates, above zero [m].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Scott 1931, in a public re-evaluation of Shirodkar and Middleman 1982 (published second-hand; derived again).

    Examples
    --------
    For n towards 0 it becomes the yield limit of `rest_gap_when_full`: 50 N at 4.19 µm:

    >>> round(power_law_force(100, 1e-6, 10e-3, 1e-3, 4.1888e-6), 1)
    50.0
    """
    consistency, exponent, radius, closing_speed, gap = checks.floats(consistency, exponent, radius, closing_speed, gap)
    checks.above("consistency", consistency, 0, "Pa·s^n")
    checks.above("exponent", exponent, 0)
    checks.above("radius", radius, 0, "m")
    checks.at_least("closing speed", closing_speed, 0, "m/s")
    checks.above("gap", gap, 0, "m")
    shape = 2 * pi / (exponent + 3) * ((2 * exponent + 1) / exponent) ** exponent
    return shape * consistency * closing_speed**exponent * radius ** (exponent + 3) / gap ** (2 * exponent + 1)


def squeeze_time_when_full(viscosity, radius, force, start_gap, end_gap):
    r"""Return the time a constant force needs to close full round plates on a Newtonian fluid.

    .. math:: t = \frac{3 \pi \mu R^4}{4 F} \left(\frac{1}{h_1^2} - \frac{1}{h_0^2}\right)

    Parameters
    ----------
    viscosity : float or array
        Viscosity, above zero [Pa s].
    radius : float or array
        Plate radius, above zero [m].
    force : float or array
        Force on the plates, above zero [N].
    start_gap : float or array
        Gap at the start, at least the end gap [m].
    end_gap : float or array
        Gap at the end, above zero [m].

    Returns
    -------
    float or array
        Time [s].

    References
    ----------
    Integral of Stefan's force (computed, held to the differential equation).

    Examples
    --------
    From 1 mm to 50 µm:

    >>> round(squeeze_time_when_full(100, 10e-3, 50, 1e-3, 50e-6), 1)
    18.8
    """
    viscosity, radius, force, start_gap, end_gap = checks.floats(viscosity, radius, force, start_gap, end_gap)
    checks.above("viscosity", viscosity, 0, "Pa·s")
    checks.above("radius", radius, 0, "m")
    checks.above("force", force, 0, "N")
    _check_gaps(start_gap, end_gap)
    return 3 * pi * viscosity * radius**4 / (4 * force) * (end_gap**-2.0 - start_gap**-2.0)


def gap_after_time_when_full(viscosity, radius, force, start_gap, time):
    r"""Return the gap of full round plates after a time under constant force.

    .. math:: \frac{1}{h_1^2} = \frac{1}{h_0^2} + \frac{4 F t}{3 \pi \mu R^4}

    Parameters
    ----------
    viscosity : float or array
        Viscosity, above zero [Pa s].
    radius : float or array
        Plate radius, above zero [m].
    force : float or array
        Force on the plates, above zero [N].
    start_gap : float or array
        Gap at the start, above zero [m].
    time : float or array
        Time since the start, at least zero [s].

    Returns
    -------
    float or array
        Gap [m].

    References
    ----------
    Integral of Stefan's force (computed, held to the differential equation).

    Examples
    --------
    >>> round(gap_after_time_when_full(100, 10e-3, 50, 1e-3, 18.80) * 1e6, 1)
    50.0
    """
    viscosity, radius, force, start_gap, time = checks.floats(viscosity, radius, force, start_gap, time)
    checks.above("viscosity", viscosity, 0, "Pa·s")
    checks.above("radius", radius, 0, "m")
    checks.above("force", force, 0, "N")
    checks.above("start gap", start_gap, 0, "m")
    checks.at_least("time", time, 0, "s")
    return (start_gap**-2.0 + 4 * force * time / (3 * pi * viscosity * radius**4)) ** -0.5


def radius_of_fixed_volume(volume, gap):
    r"""Return the radius of a round pool of paste that fills a gap.

    .. math:: R = \sqrt{V / (\pi h)}

    Parameters
    ----------
    volume : float or array
        Paste volume, above zero [m^3].
    gap : float or array
        Distance of the plates, above zero [m].

    Returns
    -------
    float or array
        Radius of the pool [m].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(radius_of_fixed_volume(20e-9, 21.4e-6) * 1e3, 1)
    17.2
    """
    volume, gap = checks.floats(volume, gap)
    checks.above("volume", volume, 0, "m³")
    checks.above("gap", gap, 0, "m")
    return (volume / (pi * gap)) ** 0.5


def squeeze_force_of_fixed_volume(viscosity, volume, closing_speed, gap):
    r"""Return the force to close large plates on a Newtonian pool of fixed volume.

    .. math:: F = \frac{3 \mu \, \mathrm{Vol}^2 V}{2 \pi h^5}

    Stefan's force with the radius the pool has at that gap.

    Parameters
    ----------
    viscosity : float or array
        Viscosity, above zero [Pa s].
    volume : float or array
        Paste volume, above zero [m^3].
    closing_speed : float or array
        Speed at which the gap falls, at least zero [m/s].
    gap : float or array
        Distance of the plates, above zero [m].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Stefan's force (published second-hand) at constant volume (algebra).

    Examples
    --------
    By hand, 1.5 x 100 x 4e-16 x 1e-4 / (pi x 1e-20) = 191 N:

    >>> round(squeeze_force_of_fixed_volume(100, 20e-9, 1e-4, 100e-6))
    191
    """
    viscosity, volume, closing_speed, gap = checks.floats(viscosity, volume, closing_speed, gap)
    return squeeze_force_when_full(viscosity, radius_of_fixed_volume(volume, gap), closing_speed, gap)


def squeeze_time_of_fixed_volume(viscosity, volume, force, start_gap, end_gap):
    r"""Return the time a constant force needs to close large plates on a Newtonian pool of fixed volume.

    .. math:: t = \frac{3 \mu \, \mathrm{Vol}^2}{8 \pi F} \left(\frac{1}{h_1^4} - \frac{1}{h_0^4}\right)

    Parameters
    ----------
    viscosity : float or array
        Viscosity, above zero [Pa s].
    volume : float or array
        Paste volume, above zero [m^3].
    force : float or array
        Force on the plates, above zero [N].
    start_gap : float or array
        Gap at the start, at least the end gap [m].
    end_gap : float or array
        Gap at the end, above zero [m].

    Returns
    -------
    float or array
        Time [s].

    References
    ----------
    Integral of Stefan's force at constant volume (computed, held to the differential equation). A lecture page prints
    the same shape loosely.

    Examples
    --------
    >>> round(squeeze_time_of_fixed_volume(100, 20e-9, 50, 1e-3, 50e-6), 2)
    15.28
    """
    viscosity, volume, force, start_gap, end_gap = checks.floats(viscosity, volume, force, start_gap, end_gap)
    checks.above("viscosity", viscosity, 0, "Pa·s")
    checks.above("volume", volume, 0, "m³")
    checks.above("force", force, 0, "N")
    _check_gaps(start_gap, end_gap)
    return 3 * viscosity * volume**2 / (8 * pi * force) * (end_gap**-4.0 - start_gap**-4.0)


def rest_gap_when_full(yield_stress, radius, force):
    r"""Return the gap at which a yield stress holds full round plates apart.

    .. math:: h = \frac{2 \pi \tau_y R^3}{3 F} = \frac{2 \tau_y R}{3 \bar P}

    A smooth fluid: grains of filler may stop the plates sooner (see `bond_line_no_thinner_than_grain`).

    Parameters
    ----------
    yield_stress : float or array
        Yield stress, at least zero [Pa].
    radius : float or array
        Plate radius, above zero [m].
    force : float or array
        Force on the plates, above zero [N].

    Returns
    -------
    float or array
        Rest gap [m].

    References
    ----------
    Limit n to 0 of Scott's formula 1931 (published second-hand), and the force balance dp/dr = -2 tau / h (own
    derivation). The numbers are computed.

    Examples
    --------
    >>> round(rest_gap_when_full(100, 10e-3, 50) * 1e6, 2)
    4.19
    >>> round(rest_gap_when_full(200, 15e-3, 30) * 1e6, 1)
    47.1
    """
    yield_stress, radius, force = checks.floats(yield_stress, radius, force)
    checks.at_least("yield stress", yield_stress, 0, "Pa")
    checks.above("radius", radius, 0, "m")
    checks.above("force", force, 0, "N")
    return 2 * pi * yield_stress * radius**3 / (3 * force)


def rest_gap_of_fixed_volume(yield_stress, volume, force):
    r"""Return the gap at which a yield stress holds large plates apart on a pool of fixed volume.

    .. math:: h = \left(\frac{2 \tau_y \, \mathrm{Vol}^{3/2}}{3 \sqrt\pi \, F}\right)^{2/5}

    Parameters
    ----------
    yield_stress : float or array
        Yield stress, at least zero [Pa].
    volume : float or array
        Paste volume, above zero [m^3].
    force : float or array
        Force on the plates, above zero [N].

    Returns
    -------
    float or array
        Rest gap [m].

    References
    ----------
    `rest_gap_when_full` with the radius of the pool (algebra); the number is computed.

    Examples
    --------
    >>> round(rest_gap_of_fixed_volume(100, 20e-9, 50) * 1e6, 1)
    21.4
    """
    yield_stress, volume, force = checks.floats(yield_stress, volume, force)
    checks.at_least("yield stress", yield_stress, 0, "Pa")
    checks.above("volume", volume, 0, "m³")
    checks.above("force", force, 0, "N")
    return (2 * yield_stress * volume**1.5 / (3 * pi**0.5 * force)) ** 0.4


def _check_gaps(start_gap, end_gap) -> None:
    checks.above("end gap", end_gap, 0, "m")
    checks.at_least("start gap less end gap", start_gap - end_gap, 0, "m")
