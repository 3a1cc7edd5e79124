"""The faces closing on the paste: force, rest gap and time, read off a table made once.

Two integrals over the wetted map hold all a force needs to know: the torsion S = -d/dh of the integral of w, for the
viscous force, and the integral D of the distance to the front, for the yield stress. A table of both over the gap
answers any force, viscosity and yield stress at once.

Verified against Stefan's disc and other exact results; not validated with real paste. The wetted maps are those of a
Newtonian fluid, and viscous and yield force are simply added. That is right where one of them rules (fast flow, or
rest); between, a Bingham paste asks for up to half as much again of the yield part.
"""

from dataclasses import dataclass

import numpy as np
from scipy.integrate import cumulative_trapezoid
from scipy.interpolate import CubicSpline
from scipy.ndimage import correlate1d
from scipy.spatial import cKDTree

from workbook.bench import checks
from workbook.bench.paste.deposits import Plate
from workbook.bench.paste.spread import Spread, spread

__all__ = [
    "Closing",
    "SqueezeTable",
    "closing_history",
    "closing_time",
    "distance_integral",
    "squeeze_table",
    "stop_gap",
    "viscous_force",
    "yield_force",
]

_FRONT_SMOOTHING = (0.25, 0.5, 0.25)
"""Weights that take the raggedness of single cells off the front."""

_GAPS_BEYOND = 2
"""Gaps solved past the last, because the derivative of a spline is poor at its end."""

_TIME_STEPS = 400


@dataclass(frozen=True, eq=False)
class SqueezeTable:
    """Wetted maps over falling gaps, with what they mean for a force.

    ``gaps`` [m], widest first; ``torsion`` S [m^4] and ``distance`` D [m^3] at each gap; the map itself in ``spreads``.
    """

    plate: Plate
    gaps: np.ndarray
    torsion: np.ndarray
    distance: np.ndarray
    spreads: tuple[Spread, ...]


@dataclass(frozen=True, eq=False)
class Closing:
    """How the gap falls under a constant force: time since the widest gap of the table [s] and gap [m]."""

    time: np.ndarray
    gap: np.ndarray


def distance_integral(result):
    r"""Return the integral over the wetted region of the distance to its front.

    .. math:: D = \int \mathrm{dist}(x) \, dA

    The front is drawn between the cells where the map, smoothed over neighbours, is half wetted. A disc of 30 to 90
    cells across comes out 0.1 % to 0.5 % low.

    Parameters
    ----------
    result : Spread
        Map at one gap [m].

    Returns
    -------
    float
        Distance integral [m^3].

    References
    ----------
    The sand hill of plasticity, carried over to a thin gap (own derivation). A disc has pi R^3 / 3, a square a^3 / 6.

    Examples
    --------
    >>> full = spread(Plate(20e-3, 20e-3), np.full((60, 60), 100e-6), 50e-6)
    >>> round(distance_integral(full) / (0.020**3 / 6), 2)
    1.0
    """
    rows, columns = result.wetted.shape
    cell = np.array((result.plate.width / rows, result.plate.length / columns))
    border = 2
    smooth = np.pad(result.wetted, border)
    for axis in (0, 1):
        smooth = correlate1d(smooth, _FRONT_SMOOTHING, axis=axis, mode="constant")
    inside = np.argwhere(smooth > 0.5) - border
    if not inside.size:
        return 0.0
    nearest, _ = cKDTree((_front(smooth) - border) * cell).query(inside * cell)
    return float(nearest.sum() * cell.prod())


def _front(field):
    """Return the points between cell centres where field crosses one half, as (row, column)."""
    points = []
    for axis in (0, 1):
        along = np.moveaxis(field - 0.5, axis, 0)
        step, place = np.nonzero((along[:-1] > 0) != (along[1:] > 0))
        here, there = along[step, place], along[step + 1, place]
        crossing = np.stack((step + here / (here - there), place), axis=1)
        points.append(crossing if axis == 0 else crossing[:, ::-1])
    return np.concatenate(points)


def squeeze_table(plate, deposited, least_gap, widest_gap=None, steps=24):
    r"""Return the wetted maps, torsion and distance integrals over falling gaps.

    .. math:: S = -\frac{d}{dh} \int w \, dA, \qquad D = \int \mathrm{dist}(x) \, dA

    The derivative is taken over 1/h, in which the integral of w is almost a straight line. On 100 x 100 cells S of a
    disc is within 0.3 %, but for the first few gaps, where paste is only just touched and next to no force is needed.

    Parameters
    ----------
    plate : Plate
        The face to be covered [m].
    deposited : array
        Height put down in each cell, at least zero (see `thickness_map`) [m].
    least_gap : float
        Last gap of the table, above zero [m].
    widest_gap : float or None
        First gap, below the greatest height put down; without it, half of that [m].
    steps : int
        Number of gaps, at least 12, in equal ratios [1].

    Returns
    -------
    SqueezeTable
        Table over the gap [m, m^4, m^3].

    References
    ----------
    The torsion function of the wetted region carries the pressure of Hele-Shaw flow (own derivation); a disc has
    S = pi R^4 / 8, which is Stefan's force. Verified numerics, not validated with real paste.

    Examples
    --------
    A plate that stays full has the same S at every gap (a square: 0.03514 a^4):

    >>> table = squeeze_table(Plate(1, 1), np.full((60, 60), 1e-3), 0.1e-3)
    >>> [round(float(torsion), 4) for torsion in table.torsion[[3, 12, -1]]]
    [0.0352, 0.0352, 0.0352]
    """
    deposited = np.asarray(deposited, float)
    widest_gap = deposited.max() / 2 if widest_gap is None else widest_gap
    checks.at_least("number of gaps", steps, 12)
    checks.above("least gap", least_gap, 0, "m")
    checks.inside("widest gap", widest_gap, least_gap, deposited.max(), "m")
    ratio = (least_gap / widest_gap) ** (1 / (steps - 1))
    ladder = widest_gap * ratio ** np.arange(steps + _GAPS_BEYOND)
    spreads = []
    for gap in ladder:
        spreads.append(spread(plate, deposited, gap, start=_onward(spreads, gap)))
    pressed_in_all = np.array([result.pressed.mean() for result in spreads]) * plate.area
    torsion = CubicSpline(1 / ladder, pressed_in_all)(1 / ladder, 1) / ladder**2
    inside = slice(steps)
    return SqueezeTable(plate, ladder[inside], torsion[inside], _distances(spreads[inside]), tuple(spreads[inside]))


def _distances(spreads):
    """Return the distance integral of each map; where the next wets the same, as on a full plate, it is the same."""
    found, before = [], None
    for result in spreads:
        same = before is not None and np.array_equal(result.wetted, before.wetted)
        found.append(found[-1] if same else distance_integral(result))
        before = result
    return np.array(found)


def _onward(spreads, gap):
    """Return a first guess of w at the next gap: straight on from the last two, as it falls once the plate is full."""
    if len(spreads) < 2:
        return spreads[-1].pressed if spreads else None
    wider, last = spreads[-2:]
    return np.maximum(last.pressed + (last.pressed - wider.pressed) * (gap - last.gap) / (last.gap - wider.gap), 0)


def viscous_force(table, gap, closing_speed, viscosity):
    r"""Return the force that a Newtonian paste sets against closing faces.

    .. math:: F = 12 \mu \, |\dot h| \, S(h) / h^3

    Parameters
    ----------
    table : SqueezeTable
        Table of the deposit [m].
    gap : float or array
        Distance of the faces, within the table [m].
    closing_speed : float or array
        Speed at which the gap falls, at least zero [m/s].
    viscosity : float or array
        Viscosity, above zero [Pa s].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Thin-gap flow (own derivation). With S of a disc it is Stefan's force, published second-hand.

    Examples
    --------
    Twice the speed, twice the force:

    >>> table = squeeze_table(Plate(20e-3, 20e-3), np.full((20, 20), 1e-3), 0.1e-3)
    >>> slow, fast = viscous_force(table, 0.2e-3, np.array([1e-5, 2e-5]), 100)
    >>> round(float(fast / slow), 6)
    2.0
    """
    gap, closing_speed, viscosity = checks.floats(gap, closing_speed, viscosity)
    checks.at_least("closing speed", closing_speed, 0, "m/s")
    checks.above("viscosity", viscosity, 0, "Pa·s")
    return 12 * viscosity * closing_speed * _at(table, "torsion", gap) / gap**3


def yield_force(table, gap, yield_stress):
    r"""Return the force that the yield stress alone carries at a gap.

    .. math:: F = (2 \tau_y / h) \, D(h)

    Parameters
    ----------
    table : SqueezeTable
        Table of the deposit [m].
    gap : float or array
        Distance of the faces, within the table [m].
    yield_stress : float or array
        Yield stress, at least zero [Pa].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Force balance of the thin gap, pressure falling by 2 tau / h towards the front (own derivation). With D of a disc it
    is the yield limit of Scott 1931, published second-hand.

    Examples
    --------
    A full square of side a carries 2 tau a^3 / (6 h), here 26.7 N:

    >>> table = squeeze_table(Plate(20e-3, 20e-3), np.full((60, 60), 1e-3), 0.01e-3)
    >>> round(float(yield_force(table, 0.02e-3, 200)), 1)
    26.7
    """
    gap, yield_stress = checks.floats(gap, yield_stress)
    checks.at_least("yield stress", yield_stress, 0, "Pa")
    return 2 * yield_stress * _at(table, "distance", gap) / gap


def stop_gap(table, force, yield_stress):
    r"""Return the gap at which the yield stress holds the force and the faces come to rest.

    .. math:: F = (2 \tau_y / h) \, D(h)

    Filler grains are not in it: see `bond_line_no_thinner_than_grain`.

    Parameters
    ----------
    table : SqueezeTable
        Table of the deposit [m].
    force : float or array
        Force on the faces, above zero [N].
    yield_stress : float or array
        Yield stress, above zero [Pa].

    Returns
    -------
    float or array
        Rest gap, within the table [m].

    References
    ----------
    As `yield_force`. Verified against the disc and the square; not validated with real paste.

    Examples
    --------
    >>> table = squeeze_table(Plate(20e-3, 20e-3), np.full((60, 60), 1e-3), 0.01e-3)
    >>> round(float(stop_gap(table, 26.67, 200)) * 1e6, 1)
    20.0
    """
    checks.above("force", force, 0, "N")
    checks.above("yield stress", yield_stress, 0, "Pa")
    carried = table.distance / table.gaps
    wanted = np.divide(force, 2 * np.asarray(yield_stress, float))
    if np.any(wanted < carried[0]) or np.any(wanted > carried[-1]):
        raise ValueError(
            f"force over twice the yield stress must be from {carried[0]:.3g} to {carried[-1]:.3g} m², or the faces "
            f"rest outside the table's gaps of {table.gaps[0]:.3g} to {table.gaps[-1]:.3g} m (got {wanted})"
        )
    return np.exp(np.interp(np.log(wanted), np.log(carried), np.log(table.gaps)))


def closing_history(table, force, viscosity, yield_stress=0.0, to_gap=None):
    r"""Return how the gap falls under a constant force, from the widest gap of the table.

    .. math:: t = \int \frac{12 \mu S(h)}{h^3 \, (F - 2 \tau_y D(h) / h)} \, dh

    A yield-stress paste never quite reaches its rest gap: the time to it is infinite, and only a time to a wider gap,
    such as 1.1 of it, means something.

    Parameters
    ----------
    table : SqueezeTable
        Table of the deposit [m].
    force : float
        Force on the faces, above zero [N].
    viscosity : float
        Viscosity, above zero [Pa s].
    yield_stress : float
        Yield stress, at least zero [Pa].
    to_gap : float or None
        Last gap, within the table and above the rest gap; without it, the least gap of the table, or 1.05 of the rest
        gap if that is wider [m].

    Returns
    -------
    Closing
        Times [s] and gaps [m].

    References
    ----------
    Viscous and yield force added (own choice; see the head of the module). Without yield stress, a disc follows the
    time law of Stefan's force to within half a per cent.

    Examples
    --------
    >>> table = squeeze_table(Plate(20e-3, 20e-3), np.full((20, 20), 1e-3), 0.1e-3)
    >>> closing = closing_history(table, 40, 100)
    >>> [round(float(gap) * 1e3, 2) for gap in closing.gap[[0, -1]]]
    [0.5, 0.1]
    """
    checks.single(force=force, viscosity=viscosity, yield_stress=yield_stress)
    checks.above("force", force, 0, "N")
    checks.above("viscosity", viscosity, 0, "Pa·s")
    checks.at_least("yield stress", yield_stress, 0, "Pa")
    if to_gap is None:
        to_gap = table.gaps[-1]
        if yield_force(table, to_gap, yield_stress) >= force:
            to_gap = 1.05 * stop_gap(table, force, yield_stress)
    gap = np.geomspace(table.gaps[0], to_gap, _TIME_STEPS)
    left_over = force - yield_force(table, gap, yield_stress)
    if np.any(left_over <= 0):
        rest_gap = stop_gap(table, force, yield_stress)
        raise ValueError(f"last gap must be above the rest gap of {rest_gap:.3g} m (got {to_gap:.3g})")
    slowness = viscous_force(table, gap, 1.0, viscosity) / left_over
    time = cumulative_trapezoid(slowness * gap, -np.log(gap), initial=0)
    return Closing(time=time, gap=gap)


def closing_time(table, force, viscosity, to_gap, yield_stress=0.0):
    r"""Return the time a constant force needs from the widest gap of the table to a gap.

    .. math:: t = \int \frac{12 \mu S(h)}{h^3 \, (F - 2 \tau_y D(h) / h)} \, dh

    Parameters
    ----------
    table : SqueezeTable
        Table of the deposit [m].
    force : float
        Force on the faces, above zero [N].
    viscosity : float
        Viscosity, above zero [Pa s].
    to_gap : float
        Gap to be reached, within the table and above the rest gap [m].
    yield_stress : float
        Yield stress, at least zero [Pa].

    Returns
    -------
    float
        Time [s].

    References
    ----------
    As `closing_history`.

    Examples
    --------
    Twice the force, half the time:

    >>> table = squeeze_table(Plate(20e-3, 20e-3), np.full((20, 20), 1e-3), 0.1e-3)
    >>> round(closing_time(table, 20, 100, 0.2e-3) / closing_time(table, 40, 100, 0.2e-3), 6)
    2.0
    """
    checks.above("gap to reach", to_gap, 0, "m")
    return float(closing_history(table, force, viscosity, yield_stress, to_gap).time[-1])


def _at(table, quantity, gap):
    """Return a column of the table at a gap, straight between its logarithms: power laws come out exact."""
    checks.between("gap", gap, table.gaps[-1] * (1 - 1e-9), table.gaps[0] * (1 + 1e-9), "m")
    upwards = slice(None, None, -1)
    column = np.log(getattr(table, quantity)[upwards])
    return np.exp(np.interp(np.log(gap), np.log(table.gaps[upwards]), column))
