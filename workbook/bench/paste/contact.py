"""Two bare faces pressed together: the few spots that touch and the air between."""

from workbook.bench import checks

__all__ = ["gap_conductance", "mean_conductivity", "spot_conductance"]


def mean_conductivity(conductivity, other_conductivity):
    r"""Return the conductivity that counts where two solids touch.

    .. math:: k_s = \frac{2 k_1 k_2}{k_1 + k_2}

    The harmonic mean: the poorer conductor rules.

    Parameters
    ----------
    conductivity : float or array
        Conductivity of one solid, above zero [W/m/K].
    other_conductivity : float or array
        Conductivity of the other, above zero [W/m/K].

    Returns
    -------
    float or array
        Harmonic mean [W/m/K].

    References
    ----------
    Mechanical Engineers' Handbook vol. 4, p. 374, eq. 7.

    Examples
    --------
    Stainless steel of 16 W/m/K on an aluminium alloy of 200 W/m/K:

    >>> round(mean_conductivity(16, 200), 2)
    29.63
    """
    conductivity, other_conductivity = checks.floats(conductivity, other_conductivity)
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.above("other conductivity", other_conductivity, 0, "W/m/K")
    return 2 * conductivity * other_conductivity / (conductivity + other_conductivity)


def spot_conductance(conductivity, slope, roughness, pressure, hardness):
    r"""Return the conductance of the spots where two rough faces touch.

    .. math:: h = 1.25 \, k_s \frac{m}{\sigma} \left(\frac{P}{H}\right)^{0.95}

    Solid spots only, as in vacuum; pressure at most a tenth of the hardness.

    Parameters
    ----------
    conductivity : float or array
        Harmonic mean of both solids (see `mean_conductivity`), above zero [W/m/K].
    slope : float or array
        Mean slope m of the roughness of both faces together, above zero [1].
    roughness : float or array
        Roughness sigma of both faces together, root mean square, above zero [m].
    pressure : float or array
        Pressure on the faces, above zero and at most a tenth of the hardness [Pa].
    hardness : float or array
        Microhardness of the softer face, above zero [Pa].

    Returns
    -------
    float or array
        Conductance, the inverse of an area resistance [W/m^2/K].

    References
    ----------
    Cooper, Mikic and Yovanovich 1969 (published second-hand: shape in Mechanical Engineers' Handbook vol. 4, p. 374,
    the constant 1.25 in four public texts and codes). The number is computed.

    Examples
    --------
    >>> round(spot_conductance(29.63, 0.15, 2e-6, 1e6, 1e9))
    3924
    """
    conductivity, slope, roughness, pressure, hardness = checks.floats(
        conductivity, slope, roughness, pressure, hardness
    )
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.above("slope", slope, 0)
    checks.above("roughness", roughness, 0, "m")
    checks.above("pressure", pressure, 0, "Pa")
    checks.above("hardness", hardness, 0, "Pa")
    checks.between("pressure over hardness", pressure / hardness, 0, 0.1)
    return 1.25 * conductivity * slope / roughness * (pressure / hardness) ** 0.95


def gap_conductance(gas_conductivity, separation, jump_length=0.0):
    r"""Return the conductance of what fills the gap between two rough faces.

    .. math:: h_g = \frac{k_g}{Y + M}

    Adds to the spots. Paste in place of air changes k_g and sets M to zero.

    Parameters
    ----------
    gas_conductivity : float or array
        Conductivity of the gas or paste in the gap, above zero [W/m/K].
    separation : float or array
        Mean separation Y of the two mean planes, above zero [m].
    jump_length : float or array
        Length M that stands for poor exchange between gas and wall, at least zero [m].

    Returns
    -------
    float or array
        Conductance, the inverse of an area resistance [W/m^2/K].

    References
    ----------
    Mechanical Engineers' Handbook vol. 4, p. 374, eq. 8.

    Examples
    --------
    Air in 5 µm, by hand 0.026 / 5e-6 = 5200:

    >>> round(gap_conductance(0.026, 5e-6))
    5200
    """
    gas_conductivity, separation, jump_length = checks.floats(gas_conductivity, separation, jump_length)
    checks.above("gas conductivity", gas_conductivity, 0, "W/m/K")
    checks.above("separation", separation, 0, "m")
    checks.at_least("jump length", jump_length, 0, "m")
    return gas_conductivity / (separation + jump_length)
