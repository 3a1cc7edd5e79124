"""Heat into a board, a bead or a slab: lumped bodies, slabs, thick bodies, a hot spot on a plate, a copper stack."""

import numpy as np
from scipy import special

from workbook.bench import checks

__all__ = [
    "biot",
    "characteristic_length",
    "diffusivity",
    "fourier",
    "heat_capacity",
    "hot_disc_on_plate",
    "in_plane_conductivity",
    "lumped_temperature",
    "lumped_time",
    "lumped_time_constant",
    "plane_conductivity",
    "semi_infinite_depth",
    "semi_infinite_film",
    "semi_infinite_fixed_surface",
    "slab_eigenvalue",
    "slab_heat_share",
    "slab_one_term",
    "slab_series",
    "through_board_drop",
    "through_conductivity",
]

_ONE_TERM_FROM = 0.2
"""Fourier number from which the first term alone is good to 2 %."""


def heat_capacity(volume, density, specific_heat):
    r"""Return the heat that warms a body by one kelvin.

    .. math:: C = \rho V c

    Parameters
    ----------
    volume : float or array
        Volume, above zero [m^3].
    density : float or array
        Density, above zero [kg/m^3].
    specific_heat : float or array
        Specific heat, above zero [J/kg/K].

    Returns
    -------
    float or array
        Heat capacity [J/K].

    References
    ----------
    Definition, as in Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.

    Examples
    --------
    A bare laminate board of 100 x 100 x 1.6 mm:

    >>> f"{heat_capacity(0.1 * 0.1 * 1.6e-3, 1850, 1100):.1f} J/K"
    '32.6 J/K'
    """
    volume, density, specific_heat = checks.floats(volume, density, specific_heat)
    checks.above("volume", volume, 0, "m^3")
    checks.above("density", density, 0, "kg/m^3")
    checks.above("specific heat", specific_heat, 0, "J/kg/K")
    return volume * density * specific_heat


def lumped_time_constant(heat_capacity, loss):
    r"""Return the time constant of a body of one temperature.

    .. math:: \tau = C / (h A)

    Parameters
    ----------
    heat_capacity : float or array
        Heat capacity, above zero [J/K].
    loss : float or array
        Film coefficient times the area that loses heat, above zero [W/K].

    Returns
    -------
    float or array
        Time constant [s].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.

    Examples
    --------
    The solder bead of Lienhard and Lienhard, A Heat Transfer Textbook, example 1.4, answered there as 1.116 s
    (1 mm; film 250 and the properties are partly from memory):

    >>> from math import pi
    >>> f"{lumped_time_constant(heat_capacity(pi / 6 * 1e-9, 9300, 180), 250 * pi * 1e-6):.3f}"
    '1.116'
    """
    heat_capacity, loss = checks.floats(heat_capacity, loss)
    checks.above("heat capacity", heat_capacity, 0, "J/K")
    checks.above("loss", loss, 0, "W/K")
    return heat_capacity / loss


def lumped_temperature(time, time_constant, start_c, final_c):
    r"""Return the temperature of a lumped body on its way to a final temperature.

    .. math:: T = T_\infty + (T_0 - T_\infty)\, e^{-t/\tau}

    Valid where the Biot number is at most 0.1.

    Parameters
    ----------
    time : float or array
        Time since the start, at least zero [s].
    time_constant : float or array
        Time constant, above zero [s].
    start_c : float or array
        Temperature at the start [°C].
    final_c : float or array
        Temperature at the end of all time: of the gas, or ambient plus power over loss [°C].

    Returns
    -------
    float or array
        Temperature [°C].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.

    Examples
    --------
    After one time constant, 63 % of the way:

    >>> f"{lumped_temperature(10, 10, 0, 100):.1f}"
    '63.2'
    """
    time, time_constant, start_c, final_c = checks.floats(time, time_constant, start_c, final_c)
    checks.finite("start_c", start_c, "°C")
    checks.finite("final_c", final_c, "°C")
    checks.at_least("time", time, 0, "s")
    checks.above("time constant", time_constant, 0, "s")
    return final_c + (start_c - final_c) * np.exp(-np.asarray(time, dtype=float) / time_constant)[()]


def lumped_time(target_c, time_constant, start_c, final_c):
    r"""Return when a lumped body passes a temperature on its way to a final one.

    .. math:: t = -\tau \ln \frac{T - T_\infty}{T_0 - T_\infty}

    Parameters
    ----------
    target_c : float or array
        Temperature to pass, from the start to short of the end [°C].
    time_constant : float or array
        Time constant, above zero [s].
    start_c : float or array
        Temperature at the start [°C].
    final_c : float or array
        Temperature at the end of all time; it is never reached [°C].

    Returns
    -------
    float or array
        Time since the start [s].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: 5.2 s.

    Examples
    --------
    The bead of example 5.1, 1 s, from 25 to 199 °C in gas of 200 °C:

    >>> f"{lumped_time(199, 1.0, 25, 200):.1f}"
    '5.2'
    """
    target_c, time_constant, start_c, final_c = checks.floats(target_c, time_constant, start_c, final_c)
    checks.above("time constant", time_constant, 0, "s")
    whole = np.subtract(start_c, final_c, dtype=float)
    left = np.divide(np.subtract(target_c, final_c), whole, out=np.zeros(np.shape(whole + target_c)), where=whole != 0)
    if not np.all((left > 0) & (left <= 1)):
        raise ValueError(
            f"the target must be from the start to short of the end "
            f"(got {target_c} °C on the way from {start_c} to {final_c} °C)"
        )
    return time_constant * np.log(1 / left)


def characteristic_length(volume, area):
    r"""Return the length that the Biot number of a lumped body is judged with.

    .. math:: L_c = V / A

    A sixth of the diameter for a sphere, half the thickness for a board heated on both faces.

    Parameters
    ----------
    volume : float or array
        Volume, above zero [m^3].
    area : float or array
        Area that takes or loses heat, above zero [m^2].

    Returns
    -------
    float or array
        Characteristic length [m].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.

    Examples
    --------
    A 100 x 100 x 1.6 mm board, both faces:

    >>> f"{1e3 * characteristic_length(1.6e-5, 2 * 0.01):.1f} mm"
    '0.8 mm'
    """
    volume, area = checks.floats(volume, area)
    checks.above("volume", volume, 0, "m^3")
    checks.above("area", area, 0, "m^2")
    return volume / area


def biot(film_coefficient, length, conductivity):
    r"""Return the Biot number: resistance inside a body over resistance of the film around it.

    .. math:: Bi = h L / k

    One temperature describes the body if the number is at most 0.1.

    Parameters
    ----------
    film_coefficient : float or array
        Film coefficient, at least zero [W/m^2/K].
    length : float or array
        Characteristic length, or half thickness of a slab, above zero [m].
    conductivity : float or array
        Conductivity of the body, above zero [W/m/K].

    Returns
    -------
    float or array
        Biot number [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: 2.35e-3.

    Examples
    --------
    >>> f"{biot(400, 7.06e-4 / 6, 20):.2e}"
    '2.35e-03'
    """
    film_coefficient, length, conductivity = checks.floats(film_coefficient, length, conductivity)
    checks.at_least("film coefficient", film_coefficient, 0, "W/m^2/K")
    checks.above("length", length, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    return film_coefficient * length / conductivity


def diffusivity(conductivity, density, specific_heat):
    r"""Return how fast a material evens out its temperature.

    .. math:: \alpha = k / (\rho c)

    Parameters
    ----------
    conductivity : float or array
        Conductivity, above zero [W/m/K].
    density : float or array
        Density, above zero [kg/m^3].
    specific_heat : float or array
        Specific heat, above zero [J/kg/K].

    Returns
    -------
    float or array
        Thermal diffusivity [m^2/s].

    References
    ----------
    Definition, as in Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 2;
    0.343 W/m/K measured by Sarvar, Poole and Witting, J. Electron. Mater. 19 (1990) 1345; the rest is assumed.

    Examples
    --------
    Heat crosses 1.6 mm of FR-4 in a quarter of a minute:

    >>> f"{1.6e-3**2 / diffusivity(0.343, 1850, 1100):.0f} s"
    '15 s'
    """
    conductivity, density, specific_heat = checks.floats(conductivity, density, specific_heat)
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.above("density", density, 0, "kg/m^3")
    checks.above("specific heat", specific_heat, 0, "J/kg/K")
    return conductivity / (density * specific_heat)


def fourier(diffusivity, time, length):
    r"""Return the Fourier number: time in units of the time heat takes across a length.

    .. math:: Fo = \alpha t / L^2

    Parameters
    ----------
    diffusivity : float or array
        Thermal diffusivity, above zero [m^2/s].
    time : float or array
        Time, at least zero [s].
    length : float or array
        Half thickness of a slab heated on both faces, thickness of one insulated on one, above zero [m].

    Returns
    -------
    float or array
        Fourier number [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: 5.64.

    Examples
    --------
    >>> f"{fourier(18.8e-6, 480, 0.040):.2f}"
    '5.64'
    """
    diffusivity, time, length = checks.floats(diffusivity, time, length)
    checks.above("diffusivity", diffusivity, 0, "m^2/s")
    checks.at_least("time", time, 0, "s")
    checks.above("length", length, 0, "m")
    return diffusivity * time / np.square(length)


def slab_eigenvalue(biot, term=1):
    r"""Return a root of the slab equation, the first unless asked for another.

    .. math:: \zeta \tan \zeta = Bi, \qquad (n - 1)\pi < \zeta_n < (n - \tfrac12)\pi

    Parameters
    ----------
    biot : float or array
        Biot number of the half thickness, above zero [1].
    term : int or array, default 1
        Which root, from 1 [1].

    Returns
    -------
    float or array
        Root [rad].

    References
    ----------
    Çengel, Heat Transfer: A Practical Approach, table 4-2, plane wall: 0.8603 at Biot number 1.

    Examples
    --------
    >>> f"{slab_eigenvalue(1):.4f}"
    '0.8603'
    """
    checks.above("Biot number", biot, 0)
    checks.at_least("term", term, 1)
    biot, term = np.broadcast_arrays(np.asarray(biot, dtype=float), term)
    foot = (term - 1) * np.pi
    low, high = np.zeros(biot.shape), np.full(biot.shape, np.pi / 2)
    for _ in range(60):  # halving pi/2 sixty times ends below the spacing of floats
        middle = (low + high) / 2
        short = (foot + middle) * np.sin(middle) < biot * np.cos(middle)
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return (foot + (low + high) / 2)[()]


def _slab_term(biot, fourier, position, term):
    root = slab_eigenvalue(biot, term)
    weight = 4 * np.sin(root) / (2 * root + np.sin(2 * root))
    return weight * np.exp(-(root**2) * fourier) * np.cos(root * position)


def slab_one_term(biot, fourier, position=0.0):
    r"""Return the temperature left in a slab by the first term of the series.

    .. math:: \theta = \frac{T - T_\infty}{T_0 - T_\infty}
       = \frac{4 \sin\zeta}{2\zeta + \sin 2\zeta}\, e^{-\zeta^2 Fo} \cos\left(\zeta x / L\right)

    Parameters
    ----------
    biot : float or array
        Biot number of the half thickness, above zero [1].
    fourier : float or array
        Fourier number of the half thickness, above 0.2 [1].
    position : float or array, default 0.0
        Distance from the mid plane (or the insulated face) over the half thickness, from 0 to 1 [1].

    Returns
    -------
    float or array
        Share of the first temperature difference that is left [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: 42.9 °C on the insulated face.

    Examples
    --------
    From -20 towards 60 °C; the source reads its coefficients off a table, hence 42.9:

    >>> f"{60 + (-20 - 60) * slab_one_term(0.313, 5.64):.0f}"
    '43'
    """
    checks.above("Fourier number of the one-term solution", fourier, _ONE_TERM_FROM)
    checks.between("position", position, 0, 1)
    return _slab_term(biot, np.asarray(fourier, dtype=float), np.asarray(position, dtype=float), 1)[()]


def slab_series(biot, fourier, position=0.0, terms=30):
    r"""Return the temperature left in a slab by the series, for any time but the very first.

    .. math:: \theta = \sum_{n=1}^{N} \frac{4 \sin\zeta_n}{2\zeta_n + \sin 2\zeta_n}\, e^{-\zeta_n^2 Fo}
       \cos\left(\zeta_n x / L\right)

    With 30 terms it is exact to 1e-6 from a Fourier number of 0.002.

    Parameters
    ----------
    biot : float or array
        Biot number of the half thickness, above zero [1].
    fourier : float or array
        Fourier number of the half thickness, at least zero [1].
    position : float or array, default 0.0
        Distance from the mid plane (or the insulated face) over the half thickness, from 0 to 1 [1].
    terms : int, default 30
        Number of terms, from 1 [1].

    Returns
    -------
    float or array
        Share of the first temperature difference that is left [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.

    Examples
    --------
    Later than a Fourier number of 0.2 it agrees with the first term:

    >>> f"{slab_series(0.313, 5.64) - slab_one_term(0.313, 5.64):.6f}"
    '0.000000'
    """
    checks.at_least("Fourier number", fourier, 0)
    checks.between("position", position, 0, 1)
    checks.at_least("terms", terms, 1)
    fourier, position = np.asarray(fourier, dtype=float), np.asarray(position, dtype=float)
    return sum(_slab_term(biot, fourier, position, term) for term in range(1, terms + 1))[()]


def slab_heat_share(biot, fourier):
    r"""Return the share of the heat a slab can take that has crossed its faces, by the first term of the series.

    .. math:: Q / Q_0 = 1 - \frac{\sin \zeta}{\zeta} \theta(0), \qquad Q_0 = \rho V c\, (T_0 - T_\infty)

    Parameters
    ----------
    biot : float or array
        Biot number of the half thickness, above zero [1].
    fourier : float or array
        Fourier number of the half thickness, above 0.2 [1].

    Returns
    -------
    float or array
        Share of the heat [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: 2.73e7 J for each metre of pipe.

    Examples
    --------
    Pipe of 1 m bore (from memory) and 40 mm wall, heated through 80 K; k over diffusivity is the heat of a cubic metre:

    >>> from math import pi
    >>> f"{slab_heat_share(0.313, 5.64) * 63.9 / 18.8e-6 * pi * 1.0 * 0.040 * 80:.2e}"
    '2.73e+07'
    """
    root = slab_eigenvalue(biot)
    return 1 - np.sin(root) / root * slab_one_term(biot, fourier)


def semi_infinite_fixed_surface(depth, time, diffusivity):
    r"""Return the share of the first temperature difference that is left at a depth of a thick body.

    .. math:: \theta = \frac{T - T_s}{T_0 - T_s} = \operatorname{erf}\frac{x}{2\sqrt{\alpha t}}

    Parameters
    ----------
    depth : float or array
        Depth below the surface, at least zero [m].
    time : float or array
        Time since the surface took its temperature, above zero [s].
    diffusivity : float or array
        Thermal diffusivity, above zero [m^2/s].

    Returns
    -------
    float or array
        Share of the first temperature difference that is left [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.6: 0.4286 at 0.68 m.

    Examples
    --------
    >>> f"{semi_infinite_fixed_surface(0.68, 60 * 86400, 1.38e-7):.2f}"
    '0.43'
    """
    depth, time, diffusivity = checks.floats(depth, time, diffusivity)
    checks.at_least("depth", depth, 0, "m")
    checks.above("time", time, 0, "s")
    checks.above("diffusivity", diffusivity, 0, "m^2/s")
    return special.erf(depth / (2 * np.sqrt(diffusivity * time)))


def semi_infinite_depth(left, time, diffusivity):
    r"""Return the depth at which a share of the first temperature difference is left.

    .. math:: x = 2\sqrt{\alpha t}\, \operatorname{erf}^{-1} \theta

    Parameters
    ----------
    left : float or array
        Share that is left: (T - T surface) / (T start - T surface), between 0 and 1 [1].
    time : float or array
        Time since the surface took its temperature, above zero [s].
    diffusivity : float or array
        Thermal diffusivity, above zero [m^2/s].

    Returns
    -------
    float or array
        Depth [m].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.6: a water main at 0.68 m.

    Examples
    --------
    Soil of 20 °C, surface at -15 °C, 0 °C after 60 days:

    >>> f"{semi_infinite_depth((0 + 15) / (20 + 15), 60 * 86400, 1.38e-7):.2f} m"
    '0.68 m'
    """
    left, time, diffusivity = checks.floats(left, time, diffusivity)
    checks.inside("share left", left, 0, 1)
    checks.above("time", time, 0, "s")
    checks.above("diffusivity", diffusivity, 0, "m^2/s")
    return 2 * np.sqrt(diffusivity * time) * special.erfinv(left)


def semi_infinite_film(depth, time, diffusivity, conductivity, film_coefficient):
    r"""Return how much of a gas temperature has arrived at a depth of a thick body, through a film.

    .. math:: \frac{T - T_0}{T_\infty - T_0} = \operatorname{erfc} \eta
       - e^{h x / k + h^2 \alpha t / k^2} \operatorname{erfc}\left(\eta + \frac{h \sqrt{\alpha t}}{k}\right),
       \qquad \eta = \frac{x}{2\sqrt{\alpha t}}

    Parameters
    ----------
    depth : float or array
        Depth below the surface, at least zero [m].
    time : float or array
        Time since the gas came, above zero [s].
    diffusivity : float or array
        Thermal diffusivity, above zero [m^2/s].
    conductivity : float or array
        Conductivity of the body, above zero [W/m/K].
    film_coefficient : float or array
        Film coefficient, at least zero [W/m^2/K].

    Returns
    -------
    float or array
        Share of the difference between gas and start that has arrived [1].

    References
    ----------
    Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.

    Examples
    --------
    Where the film is perfect, the surface takes the temperature of the gas at once:

    >>> f"{semi_infinite_film(0, 1, 1e-7, 0.3, 1e9):.3f}"
    '1.000'
    """
    depth, time, diffusivity, conductivity, film_coefficient = checks.floats(
        depth, time, diffusivity, conductivity, film_coefficient
    )
    checks.at_least("depth", depth, 0, "m")
    checks.above("time", time, 0, "s")
    checks.above("diffusivity", diffusivity, 0, "m^2/s")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.at_least("film coefficient", film_coefficient, 0, "W/m^2/K")
    reach = np.sqrt(diffusivity * time)
    eta = depth / (2 * reach)
    # erfcx(z) = exp(z^2) erfc(z) takes the growing exponential in, so that a strong film cannot overflow.
    return special.erfc(eta) - np.exp(-(eta**2)) * special.erfcx(eta + film_coefficient * reach / conductivity)


def through_board_drop(heat_flux, thickness, conductivity):
    r"""Return how much colder the far face of a board is when heat flows through it.

    .. math:: \Delta T = q'' L / k

    Steady, with the conductivity through the board, which is a third of that along it.

    Parameters
    ----------
    heat_flux : float or array
        Heat through each square metre [W/m^2].
    thickness : float or array
        Thickness, above zero [m].
    conductivity : float or array
        Conductivity through the board, above zero [W/m/K].

    Returns
    -------
    float or array
        Temperature difference between the faces [K].

    References
    ----------
    Fourier's law; conductivity 0.343 of FR-4 measured by Sarvar, Poole and Witting, J. Electron. Mater. 19 (1990) 1345.

    Examples
    --------
    >>> f"{through_board_drop(5e3, 1.6e-3, 0.343):.1f} K"
    '23.3 K'
    """
    heat_flux, thickness, conductivity = checks.floats(heat_flux, thickness, conductivity)
    checks.finite("heat_flux", heat_flux, "W/m^2")
    checks.above("thickness", thickness, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    return heat_flux * thickness / conductivity


def hot_disc_on_plate(radius, thickness, conductivity, film_coefficient):
    r"""Return the heat a round spot of a wide plate loses to the plate around it, for each kelvin.

    .. math:: G = 2 \pi k t\, m r\, \frac{K_1(m r)}{K_0(m r)}, \qquad m = \sqrt{\frac{h}{k t}}

    The plate is thin, without end, and loses heat by both faces together through one film coefficient. This number
    says why heating from above alone fails: most of the heat runs away into the cold board.

    Parameters
    ----------
    radius : float or array
        Radius of the spot, above zero [m].
    thickness : float or array
        Thickness of the plate, above zero [m].
    conductivity : float or array
        Conductivity along the plate, above zero [W/m/K].
    film_coefficient : float or array
        Film coefficients of both faces added, above zero [W/m^2/K].

    Returns
    -------
    float or array
        Heat lost for each kelvin above ambient [W/K].

    References
    ----------
    Fin equation of a plate around a disc, modified Bessel functions (computed).

    Examples
    --------
    A 35 mm spot on a 1.6 mm board with copper planes:

    >>> f"{hot_disc_on_plate(17.5e-3, 1.6e-3, 20, 24):.4f} W/K"
    '0.1755 W/K'
    """
    radius, thickness, conductivity, film_coefficient = checks.floats(radius, thickness, conductivity, film_coefficient)
    checks.above("radius", radius, 0, "m")
    checks.above("thickness", thickness, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    checks.above("film coefficient", film_coefficient, 0, "W/m^2/K")
    sheet = conductivity * thickness
    z = np.sqrt(film_coefficient / sheet) * radius
    # Scaled Bessel functions: their common exponential cancels and cannot underflow.
    return 2 * np.pi * sheet * z * special.k1e(z) / special.k0e(z)


def plane_conductivity(coverage, copper_conductivity, laminate_conductivity):
    r"""Return the conductivity along a copper layer of which a part is etched away.

    .. math:: k = \phi k_{Cu} + (1 - \phi) k_L

    An upper bound: copper left in islands conducts less than copper left as a sheet.

    Parameters
    ----------
    coverage : float or array
        Share of the layer that is copper, from 0 to 1 [1].
    copper_conductivity : float or array
        Conductivity of copper foil, above zero [W/m/K].
    laminate_conductivity : float or array
        Conductivity along the laminate that fills the rest, above zero [W/m/K].

    Returns
    -------
    float or array
        Conductivity along the layer [W/m/K].

    References
    ----------
    Parallel rule of mixtures, an upper bound (common practice).

    Examples
    --------
    >>> f"{plane_conductivity(0.5, 400, 0.9):.2f}"
    '200.45'
    """
    coverage, copper_conductivity, laminate_conductivity = checks.floats(
        coverage, copper_conductivity, laminate_conductivity
    )
    checks.between("coverage", coverage, 0, 1)
    checks.above("copper conductivity", copper_conductivity, 0, "W/m/K")
    checks.above("laminate conductivity", laminate_conductivity, 0, "W/m/K")
    return coverage * copper_conductivity + (1 - coverage) * laminate_conductivity


def in_plane_conductivity(thickness, conductivity):
    r"""Return the conductivity along a stack of layers, side by side as resistors in parallel.

    .. math:: k = \sum t_i k_i / \sum t_i

    Parameters
    ----------
    thickness : sequence of float
        Thickness of each layer, above zero [m].
    conductivity : sequence of float
        Conductivity along each layer, above zero [W/m/K].

    Returns
    -------
    float
        Conductivity along the stack [W/m/K].

    References
    ----------
    Layers in parallel, exact for heat along them (computed).

    Examples
    --------
    A 1.6 mm board with four full 35 um planes:

    >>> f"{in_plane_conductivity([4 * 35e-6, 1.46e-3], [400, 0.9]):.1f}"
    '35.8'
    """
    thickness, conductivity = _layers(thickness, conductivity)
    return float(thickness @ conductivity / thickness.sum())


def through_conductivity(thickness, conductivity):
    r"""Return the conductivity through a stack of layers, one behind the other as resistors in series.

    .. math:: k = \sum t_i / \sum (t_i / k_i)

    Copper planes leave it almost as it was; plated holes, not counted here, raise it.

    Parameters
    ----------
    thickness : sequence of float
        Thickness of each layer, above zero [m].
    conductivity : sequence of float
        Conductivity through each layer, above zero [W/m/K].

    Returns
    -------
    float
        Conductivity through the stack [W/m/K].

    References
    ----------
    Layers in series, exact for heat through them (computed).

    Examples
    --------
    A 1.6 mm board with four full 35 um planes:

    >>> f"{through_conductivity([4 * 35e-6, 1.46e-3], [400, 0.343]):.3f}"
    '0.376'
    """
    thickness, conductivity = _layers(thickness, conductivity)
    return float(thickness.sum() / (thickness / conductivity).sum())


def _layers(thickness, conductivity):
    thickness, conductivity = np.asarray(thickness, dtype=float), np.asarray(conductivity, dtype=float)
    if thickness.ndim != 1 or thickness.shape != conductivity.shape or not thickness.size:
        raise ValueError(
            f"a stack is one thickness and one conductivity a layer (got {thickness.size} and {conductivity.size})"
        )
    checks.above("thickness", thickness, 0, "m")
    checks.above("conductivity", conductivity, 0, "W/m/K")
    return thickness, conductivity
