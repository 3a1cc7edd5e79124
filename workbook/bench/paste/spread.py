"""Where paste goes when two flat faces close on it: the wetted map at any gap.

The faces stay parallel and the paste fills the gap where it is. For an even gap the wetted region then depends neither
on force nor on viscosity nor on the way there, and the map at any gap is one obstacle problem.

Held to exact results (disc, square, volume), which makes it verified numerics. It has not been validated with real
paste: yield stress bends the front, faces tilt, and trapped air is let out here (see `trapped_air`).
"""

from dataclasses import dataclass
from math import pi, sin

import numpy as np
from scipy.ndimage import label

from workbook.bench import checks
from workbook.bench.paste.deposits import Plate

__all__ = ["Spread", "coverage", "overflow", "spread", "trapped_air", "trapped_area"]

_SWEEPS_BETWEEN_CHECKS = 8
_MOST_SWEEPS = 20_000
_SETTLED = 1e-7
"""Largest change in one sweep, as a share of the largest value, at which a solution is taken as reached."""

_LEAST_POCKET_CELLS = 4
"""A dry spot of fewer cells is not resolved by the grid, so nothing is said of it."""


@dataclass(frozen=True, eq=False)
class Spread:
    """Paste between two faces at one gap, cell by cell (rows along y, columns along x).

    ``thickness`` is the paste's height [m]. ``pressed`` is the pressure felt so far, summed up over the closing and
    freed of viscosity [m^3]: it is above zero where the gap is full. ``wetted`` is the share of each cell that touches
    both faces [1].
    """

    plate: Plate
    gap: float
    deposited: np.ndarray
    pressed: np.ndarray
    thickness: np.ndarray
    wetted: np.ndarray


def spread(plate, deposited, gap, start=None):
    r"""Return how far the paste has spread when the faces have come down to a gap.

    .. math:: w \ge 0, \quad h - s - \nabla^2 w \ge 0, \quad w \, (h - s - \nabla^2 w) = 0, \quad
        w = 0 \text{ on the edge}

    s is the height put down, h the gap and w the pressure summed up over the closing, freed of viscosity. Over the edge
    the paste leaves freely. Cell-centred differences, red-black projected over-relaxation. The volume is kept to
    rounding error whatever the grid.

    Parameters
    ----------
    plate : Plate
        The face to be covered [m].
    deposited : array
        Height put down in each cell, at least zero (see `thickness_map`) [m].
    gap : float
        Distance of the faces, above zero [m].
    start : array or None
        First guess of w, such as the field ``pressed`` at a wider gap; it changes the time taken, not the answer [m^3].

    Returns
    -------
    Spread
        Map of heights and wetted cells [m].

    References
    ----------
    Levine and Peres, arXiv 0712.3378: Hele-Shaw flow from a given heap is an obstacle problem. Verified against exact
    discs and squares; not validated with real paste.

    Examples
    --------
    Over a plate that is full everywhere, half the paste has to leave when the gap is half of it:

    >>> plate = Plate(20e-3, 20e-3)
    >>> squeezed = spread(plate, np.full((40, 40), 100e-6), 50e-6)
    >>> round(coverage(squeezed), 6), round(overflow(squeezed), 6)
    (1.0, 0.5)
    """
    deposited = np.asarray(deposited, float)
    checks.at_least("height put down", deposited, 0, "m")
    checks.above("gap", gap, 0, "m")
    if deposited.ndim != 2:
        raise ValueError(f"height put down must be a map of rows and columns (got {deposited.ndim} dimensions)")
    stiffness = _stiffness(plate, deposited.shape)
    pressed = _relax(deposited - gap, stiffness, np.zeros_like(deposited) if start is None else start)
    thickness = deposited + _laplacian(pressed, stiffness)
    wetted = np.ones_like(deposited)
    np.divide(thickness - deposited, gap - deposited, out=wetted, where=(pressed == 0) & (deposited < gap))
    np.clip(wetted, 0, 1, out=wetted)
    return Spread(plate, gap, deposited, pressed, thickness, wetted)


def coverage(result):
    r"""Return the share of the plate where the paste touches both faces.

    .. math:: f = A_{wetted} / A

    Parameters
    ----------
    result : Spread
        Map at one gap [m].

    Returns
    -------
    float
        Coverage, from 0 to 1 [1].

    References
    ----------
    Geometry on the map of `spread`.

    Examples
    --------
    A drop that stays inside covers volume over gap (4 mm³ at 50 µm on 400 mm²: one fifth):

    >>> from workbook.bench.paste.deposits import deposit, thickness_map
    >>> plate = Plate(20e-3, 20e-3)
    >>> heights = thickness_map(plate, deposit("dot", plate, 4e-9), cells=60)
    >>> round(coverage(spread(plate, heights, 50e-6)), 3)
    0.2
    """
    return float(result.wetted.mean())


def overflow(result):
    r"""Return the share of the paste that has left over the edge.

    .. math:: 1 - \int \theta \, dA / V

    Parameters
    ----------
    result : Spread
        Map at one gap [m].

    Returns
    -------
    float
        Share of the volume put down, from 0 to 1 [1].

    References
    ----------
    Volume balance on the map of `spread`.

    Examples
    --------
    >>> plate = Plate(20e-3, 20e-3)
    >>> round(overflow(spread(plate, np.full((40, 40), 100e-6), 80e-6)), 6)
    0.2
    """
    return float(max(0.0, 1 - result.thickness.sum() / result.deposited.sum()))


def trapped_air(result):
    r"""Return the dry places that the paste has closed in on all sides.

    .. math:: \text{dry cells not joined to the edge of the plate}

    A warning, not a prediction: the map lets such air out and fills the place as the gap falls further; real air stays,
    is pressed together, and keeps a void. A place flagged at any gap on the way is one where a void may be left. Spots
    of fewer than four cells are below what the grid shows.

    Parameters
    ----------
    result : Spread
        Map at one gap [m].

    Returns
    -------
    array of bool
        True in the cells of closed-in air [1].

    References
    ----------
    Connected regions of the map (own definition; not validated with real paste).

    Examples
    --------
    A ring of paste closes in its middle:

    >>> plate = Plate(20e-3, 20e-3)
    >>> x, y = np.meshgrid(*[np.linspace(-9.75e-3, 9.75e-3, 40)] * 2)
    >>> ring = np.where(abs(np.hypot(x, y) - 6e-3) < 1e-3, 60e-6, 0.0)
    >>> bool(trapped_air(spread(plate, ring, 55e-6))[20, 20])
    True
    """
    dry, count = label(np.pad(result.wetted < 0.5, 1, constant_values=True), structure=np.ones((3, 3)))
    sizes = np.bincount(dry.ravel(), minlength=count + 1)
    closed = sizes >= _LEAST_POCKET_CELLS
    closed[[0, dry[0, 0]]] = False
    return closed[dry][1:-1, 1:-1]


def trapped_area(result):
    r"""Return the area of the air that the paste has closed in.

    .. math:: A = N_{closed} \, \Delta x \, \Delta y

    A flag (see `trapped_air`): what matters is whether it is zero.

    Parameters
    ----------
    result : Spread
        Map at one gap [m].

    Returns
    -------
    float
        Area of closed-in air [m^2].

    References
    ----------
    Connected regions of the map (own definition; not validated with real paste).

    Examples
    --------
    >>> plate = Plate(20e-3, 20e-3)
    >>> trapped_area(spread(plate, np.full((40, 40), 60e-6), 50e-6))
    0.0
    """
    return float(trapped_air(result).mean() * result.plate.area)


def _stiffness(plate, shape):
    """Return what one cell gives to its neighbours along x and along y [1/m^2]."""
    rows, columns = shape
    return (columns / plate.length) ** 2, (rows / plate.width) ** 2


def _mirrored(field):
    """Return field with a border that makes it zero on the edge of the plate, half a cell outside the last centre."""
    bordered = np.pad(field, 1)
    bordered[0], bordered[-1] = -bordered[1], -bordered[-2]
    bordered[:, 0], bordered[:, -1] = -bordered[:, 1], -bordered[:, -2]
    return bordered


def _laplacian(field, stiffness):
    along_x, along_y = stiffness
    bordered = _mirrored(field)
    sideways = bordered[1:-1, 2:] + bordered[1:-1, :-2] - 2 * field
    upright = bordered[2:, 1:-1] + bordered[:-2, 1:-1] - 2 * field
    return along_x * sideways + along_y * upright


def _relax(surplus, stiffness, start):
    """Return the smallest w >= 0 with surplus + laplacian(w) <= 0.

    Cells are laid out in one line, rows bordered by zeros to an odd width: neighbours of an even cell are then all odd
    and the other way about, and each colour is one run of memory that numpy passes in a single operation.
    """
    along_x, along_y = stiffness
    rows, columns = surplus.shape
    width = columns + 2 + (columns + 1) % 2
    centre = np.full(surplus.shape, 2 * (along_x + along_y))
    centre[[0, -1]] += along_y
    centre[:, [0, -1]] += along_x

    def coloured(field):
        line = np.zeros((rows + 2) * width + rows * width % 2)
        line[: (rows + 2) * width].reshape(rows + 2, width)[1:-1, 1 : columns + 1] = field
        return [line[0::2].copy(), line[1::2].copy()]

    below, above = (width + 1) // 2, (width - 1) // 2
    even, odd = coloured(start)
    inner = slice(below, even.size - below)
    over_relaxation = 2 / (1 + sin(pi / max(rows, columns)))
    sources = coloured(over_relaxation * surplus / centre)
    share = coloured(over_relaxation * along_x / centre)
    stretch = along_y / along_x

    def window(cells, shift):
        return cells[below + shift : even.size - below + shift]

    passes = ((even, odd, (-1, 0, -below, above)), (odd, even, (0, 1, -above, below)))
    steps = [
        (own[inner], [window(other, shift) for shift in shifts], sources[hue][inner], share[hue][inner])
        for hue, (own, other, shifts) in enumerate(passes)
    ]
    total = np.empty_like(even[inner])
    for _ in range(_MOST_SWEEPS // _SWEEPS_BETWEEN_CHECKS):
        for sweep in range(_SWEEPS_BETWEEN_CHECKS):
            if sweep == _SWEEPS_BETWEEN_CHECKS - 1:
                before = even.copy()
            for own, (left, right, lower, upper), source, of_neighbours in steps:
                np.add(lower, upper, out=total)
                if stretch != 1:
                    np.multiply(total, stretch, out=total)
                np.add(total, left, out=total)
                np.add(total, right, out=total)
                np.multiply(total, of_neighbours, out=total)
                np.add(total, source, out=total)
                np.multiply(own, 1 - over_relaxation, out=own)
                np.add(own, total, out=own)
                np.maximum(own, 0, out=own)
        if np.abs(even - before).max() <= _SETTLED * even.max():
            break
    else:
        raise ArithmeticError(f"the wetted map did not settle in {_MOST_SWEEPS} sweeps")
    line = np.empty(2 * even.size)
    line[0::2], line[1::2] = even, odd
    return line[: (rows + 2) * width].reshape(rows + 2, width)[1:-1, 1 : columns + 1].copy()
