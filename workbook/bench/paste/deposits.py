"""Paste as it is put down: dots and beads on a plate, and the height map they make."""

from dataclasses import dataclass
from math import cos, pi, sin

import numpy as np
from scipy.optimize import brentq

from workbook.bench import checks

__all__ = ["PATTERNS", "Deposit", "Plate", "deposit", "thickness_map"]

_CIRCLE = [(cos(pi * step / 12), sin(pi * step / 12)) for step in range(25)]

PATTERNS = {
    "dot": (((0, 0), (0, 0)),),
    "line": (((-1, 0), (1, 0)),),
    "cross": (((-1, -1), (1, 1)), ((-1, 1), (1, -1))),
    "five dots": tuple((point, point) for point in ((0, 0), (-1, -1), (-1, 1), (1, -1), (1, 1))),
    "ring": tuple(zip(_CIRCLE, _CIRCLE[1:], strict=False)),
}
"""Strokes of each pattern on a plate that reaches from -1 to 1; a dot is a stroke of no length.

The ring is here as a warning: it closes air in."""

_SAMPLES_A_CELL = 3
"""Heights averaged along each side of a cell, so that a bead of a few cells has its round top."""


@dataclass(frozen=True)
class Plate:
    """The face to be covered: length (along x) and width (along y), each above zero [m]."""

    length: float
    width: float

    def __post_init__(self):
        checks.above("length", self.length, 0, "m")
        checks.above("width", self.width, 0, "m")

    @property
    def area(self) -> float:
        """Area of the face [m^2]."""
        return self.length * self.width


@dataclass(frozen=True)
class Deposit:
    """Paste in half-round strokes of one width: their ends from the middle of the plate [m] and their volume [m^3]."""

    strokes: tuple[tuple[tuple[float, float], tuple[float, float]], ...]
    volume: float

    def __post_init__(self):
        checks.above("volume", self.volume, 0, "m³")
        if not self.strokes:
            raise ValueError("strokes must be at least one (got none)")


def deposit(pattern, plate, volume, reach=0.6):
    r"""Return one of the usual patterns, sized for a plate.

    .. math:: (x, y) = r \, (\xi L / 2, \eta W / 2)

    Parameters
    ----------
    pattern : str
        One of `PATTERNS` [1].
    plate : Plate
        The face to be covered [m].
    volume : float
        Paste volume of the whole pattern, above zero [m^3].
    reach : float
        Share of the plate that the pattern spans, from 0 to 1 [1].

    Returns
    -------
    Deposit
        Strokes with the volume shared by all [m, m^3].

    References
    ----------
    Patterns of the trade (common practice).

    Examples
    --------
    >>> deposit("line", Plate(30e-3, 30e-3), 40e-9).strokes
    (((-0.009, 0.0), (0.009, 0.0)),)
    """
    if pattern not in PATTERNS:
        raise ValueError(f"pattern must be one of {', '.join(PATTERNS)} (got {pattern!r})")
    checks.between("reach", reach, 0, 1)
    volume = checks.floats(volume)
    checks.above("volume", volume, 0, "m^3")
    scale = np.array((plate.length, plate.width)) / 2 * reach
    strokes = tuple(tuple(tuple((scale * end).tolist()) for end in stroke) for stroke in PATTERNS[pattern])
    return Deposit(strokes=strokes, volume=volume)


def thickness_map(plate, paste, cells=100):
    r"""Return the height of the paste before the plates close, cell by cell.

    .. math:: s(x) = \sqrt{\max(0, r^2 - d(x)^2)}

    d is the distance to the nearest stroke; r is chosen so that the map holds the volume exactly. What would lie beside
    the plate counts on it.

    Parameters
    ----------
    plate : Plate
        The face to be covered [m].
    paste : Deposit
        Strokes and volume [m, m^3].
    cells : int
        Number of cells along the longer side, at least 10 [1].

    Returns
    -------
    array
        Mean height in each cell, rows along y, columns along x [m].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> plate = Plate(30e-3, 20e-3)
    >>> heights = thickness_map(plate, deposit("cross", plate, 40e-9), cells=60)
    >>> heights.shape
    (40, 60)
    >>> round(float(heights.mean()) * plate.area * 1e9, 6)
    40.0
    """
    checks.at_least("cells", cells, 10)
    longer = max(plate.length, plate.width)
    columns, rows = (max(1, round(cells * side / longer)) for side in (plate.length, plate.width))
    x, y = (
        ((np.arange(count * _SAMPLES_A_CELL) + 0.5) / (count * _SAMPLES_A_CELL) - 0.5) * side
        for count, side in ((columns, plate.length), (rows, plate.width))
    )
    squared_distance = np.min([_squared_distance(x[None, :], y[:, None], *stroke) for stroke in paste.strokes], axis=0)

    def heights(radius):
        return np.sqrt(np.clip(radius**2 - squared_distance, 0, None))

    widest = np.hypot(np.sqrt(squared_distance.max()), paste.volume / plate.area)  # all as high as the mean, or higher
    radius = brentq(lambda radius: heights(radius).mean() * plate.area - paste.volume, 0, widest)
    fine = heights(radius).reshape(rows, _SAMPLES_A_CELL, columns, _SAMPLES_A_CELL).mean(axis=(1, 3))
    return fine * (paste.volume / (fine.mean() * plate.area))


def _squared_distance(x, y, start, end):
    """Return the squared distance of points to a straight stroke."""
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    length_squared = along_x**2 + along_y**2
    if not length_squared:
        return (x - start[0]) ** 2 + (y - start[1]) ** 2
    share = np.clip(((x - start[0]) * along_x + (y - start[1]) * along_y) / length_squared, 0, 1)
    return (x - start[0] - share * along_x) ** 2 + (y - start[1] - share * along_y) ** 2
