"""A dead power rail with one shorted part: potentials on its copper plane while a small limited current is injected.

The rail is a rectangle of copper foil, cut into cells. Parts join it to ground, which is taken as perfect; one of them
may be shorted. The fields of unit currents at the parts are found once (`prepare`): by cosine transform on a whole
rectangle, by one sparse factorisation where slots are cut out. Every change after that (another resistance, another
injection point) is a small dense system for the currents of the parts and the one potential they share (`solve`).

Verified as numerics: exact results of the endless square grid, networkx, a direct solve of all cells, the method of
images. NOT validated against a measured board. Left out: the ground plane's own drop, vias, thermal reliefs, the pads'
solder, warming of the copper, and the meter.
"""

import difflib
import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy import fft, sparse
from scipy.sparse import csgraph
from scipy.sparse.linalg import splu

from workbook.bench import checks

__all__ = ["Part", "Plane", "Solution", "Terminals", "prepare", "solve"]

CLEARANCE = 2
"""Cells a probe tip keeps from a terminal that is not spread: nearer, the potential depends on the cells."""

SPREAD = 4
"""Cells across from which a pad counts as spread: on it that dependence is below 2 %."""

NOTICED = 0.01
"""Share of the largest current below which a terminal disturbs no reading."""


@dataclass(frozen=True)
class Plane:
    """A rectangle of copper foil, corner at (0, 0), edges insulated.

    Parameters
    ----------
    size : tuple of float
        Along and across, each above zero [m].
    nodes : tuple of int
        Cells along and across, each at least 2 [1].
    sheet_resistance : float
        Of the foil, above zero [ohm a square].
    slots : tuple of (left, bottom, right, top)
        Rectangles without copper [m]. A cell is cut out where its middle lies inside.
    """

    size: tuple[float, float]
    nodes: tuple[int, int]
    sheet_resistance: float
    slots: tuple[tuple[float, float, float, float], ...] = ()

    def __post_init__(self):
        checks.above("size of the plane", self.size, 0, "m")
        checks.at_least("nodes of the plane", self.nodes, 2)
        checks.above("sheet resistance", self.sheet_resistance, 0, "ohm")
        for slot in self.slots:
            if not self._inside(slot).any():
                raise ValueError(f"slot {slot} lies between the middles of the cells and cuts nothing: use more nodes")

    @property
    def cell(self) -> tuple[float, float]:
        """Size of a cell along and across [m]."""
        return self.size[0] / self.nodes[0], self.size[1] / self.nodes[1]

    @property
    def links(self) -> tuple[float, float]:
        """Conductance from cell to cell along and across [S]."""
        along, across = self.cell
        return across / along / self.sheet_resistance, along / across / self.sheet_resistance

    @cached_property
    def copper(self) -> np.ndarray:
        """Whether each cell is copper, indexed along and across."""
        whole = np.ones(self.nodes, bool)
        for slot in self.slots:
            whole &= ~self._inside(slot)
        return whole

    def _inside(self, slot):
        left, bottom, right, top = slot
        along, across = (step * (np.arange(count) + 0.5) for step, count in zip(self.cell, self.nodes, strict=True))
        return np.outer((left < along) & (along < right), (bottom < across) & (across < top))


@dataclass(frozen=True)
class Part:
    """A terminal of the rail: a part to ground, or a bare test pad where current may be injected.

    Parameters
    ----------
    name : str
        As on the board.
    place : tuple of float
        Middle of its pad, along and across [m].
    resistance : float
        To ground, at least zero; infinite for a bare pad [ohm].
    pad : float
        Side of its square pad, at least zero [m]. Current is spread evenly over it and the pad's potential is its
        mean, so the cells under a shorted pad lie a little above and below ground. A pad smaller than a cell is as
        large as a cell, and then its own potential depends on the cell.
    """

    name: str
    place: tuple[float, float]
    resistance: float = math.inf
    pad: float = 0.0


@dataclass(frozen=True, eq=False)
class Terminals:
    """A plane with its terminals, ready for `solve`: the fields of unit currents, found once."""

    plane: Plane
    parts: tuple[Part, ...]
    fields: np.ndarray = field(repr=False)
    """Potential of every cell for one ampere at each terminal, up to a constant: one row a terminal [V]."""
    between: np.ndarray = field(repr=False)
    """Potential at each terminal for one ampere at each other one, up to a constant [ohm]."""

    @cached_property
    def index(self) -> dict[str, int]:
        """Row of each terminal by name."""
        return {part.name: row for row, part in enumerate(self.parts)}

    @cached_property
    def resistances(self) -> np.ndarray:
        """Of the parts to ground, as prepared [ohm]."""
        return np.array([part.resistance for part in self.parts], float)

    @cached_property
    def system(self) -> np.ndarray:
        """Matrix of currents and common potential, without the resistances of the parts."""
        count = len(self.parts)
        system = np.zeros((count + 1, count + 1))
        system[:count, :count] = self.between
        system[:count, count] = -1
        system[count, :count] = 1
        return system


@dataclass(frozen=True, eq=False)
class Solution:
    """Potentials and currents of a rail for one injection."""

    terminals: Terminals
    potentials: dict[str, float]
    """Of every terminal against ground [V]."""
    currents: dict[str, float]
    """Through every part to ground [A]."""
    net: np.ndarray = field(repr=False)
    """Into the plane at every terminal: injected less drawn by the part [A]."""
    common: float
    """Potential added to the fields of the terminals [V]."""

    def potential_map(self) -> np.ndarray:
        """Return the potential of every cell against ground [V], indexed along and across, nan off the copper.

        In the cells at and next to a terminal that is not spread the potential depends on the size of the cells: colour
        them, but do not read them.
        """
        return (self.net @ self.terminals.fields + self.common).reshape(self.terminals.plane.nodes)

    def reading(self, first, second):
        """Return what a voltmeter shows from the first place to the second: tips on the bare plane [V].

        Places are (along, across) in metres, interpolated between cells. A tip is refused with ValueError within two
        cells of a terminal smaller than four cells that carries a hundredth of the current or more, for there the
        answer would be that of the grid. (The potential of a terminal itself is in `potentials`; a pad of four cells or
        more makes it independent of the grid.)
        """
        return float(self._at(first) @ self.net - self._at(second) @ self.net)

    def _at(self, place):
        plane, strong = self.terminals.plane, NOTICED * np.max(np.abs(self.net))
        for part, net in zip(self.terminals.parts, self.net.tolist(), strict=True):
            away = max(abs(at - middle) / step for at, middle, step in zip(place, part.place, plane.cell, strict=True))
            if round(away, 9) < CLEARANCE and part.pad < SPREAD * max(plane.cell) and abs(net) > strong:
                raise ValueError(f"probe tip at {place} is within {CLEARANCE} cells of terminal {part.name!r}")
        cells, weights = _footprint(plane, place, 0.0, "probe tip")
        return self.terminals.fields[:, cells] @ weights


def prepare(plane, parts):
    r"""Return a plane with its terminals, ready for any number of solves.

    .. math:: \nabla\cdot\left(\frac{1}{R_s}\nabla\phi_k\right) = \text{mean} - \text{1 A spread over pad } k

    The equation of every cell is solved exactly, to rounding; edges and slots let no current through.

    Parameters
    ----------
    plane : Plane
        The copper.
    parts : sequence of Part
        Everything that is joined to it, at least one, each name once: decoupling capacitors, the load, the short, the
        pads for injection. Each says its own place [m] and resistance [ohm].

    Returns
    -------
    Terminals
        For `solve`.

    References
    ----------
    Eigenvectors of a grid with insulated edges are cosines: G. Strang, SIAM Rev. 41 (1999) 135, from memory.

    Examples
    --------
    Next nodes of a large grid of 1 ohm links are 1/2 ohm apart (H. Flanders, 1972):

    >>> grid = Plane(size=(101, 101), nodes=(101, 101), sheet_resistance=1.0)
    >>> probes = prepare(grid, [Part("here", (50.5, 50.5)), Part("next", (51.5, 50.5), resistance=0.0)])
    >>> f"{solve(probes, {}, {'here': 1.0}).potentials['here']:.4f}"
    '0.5001'
    """
    parts = tuple(parts)
    if not parts or len({part.name for part in parts}) < len(parts):
        raise ValueError(f"the parts need one name each (got {', '.join(part.name for part in parts) or 'none'})")
    _hold_resistances([part.resistance for part in parts])
    pads = np.zeros((len(parts), math.prod(plane.nodes)))
    for row, part in enumerate(parts):
        checks.at_least(f"pad of {part.name}", part.pad, 0, "m")
        cells, weights = _footprint(plane, part.place, part.pad, part.name)
        pads[row, cells] = weights
    fields = _fields_by_factor(plane, pads) if plane.slots else _fields_by_cosines(plane, pads)
    between = np.nan_to_num(fields) @ pads.T
    return Terminals(plane, parts, fields, (between + between.T) / 2)


def solve(terminals, resistances, injection):
    r"""Return potentials and currents of a rail for an injection.

    .. math:: R_k i_k = c + \sum_j G_{kj} (I_j - i_j), \qquad \sum_k i_k = \sum_k I_k

    Currents of the parts and the potential c they share are found together. (Adding the parts one after another to a
    floating plane would lose the small differences between its cells behind the large potential of the whole.)

    Parameters
    ----------
    terminals : Terminals
        From `prepare`.
    resistances : mapping of str to float
        Parts whose resistance to ground is another than prepared, at least zero, infinite for removed [ohm].
    injection : mapping of str to float
        Current fed into the rail at each terminal named, finite [A].

    Returns
    -------
    Solution
        ``potentials`` and ``currents`` by name [V], [A], ``potential_map()`` and ``reading(first, second)`` [V].

    References
    ----------
    Kirchhoff's current law; the example is computed.

    Examples
    --------
    2 A into a rail with a good capacitor and one shorted to 50 mohm: the short takes it all.

    >>> plane = Plane(size=(0.15, 0.10), nodes=(150, 100), sheet_resistance=0.49e-3)
    >>> rail = prepare(plane, [
    ...     Part("test pad", (0.02, 0.05)), Part("C1", (0.05, 0.02), 1e6), Part("C2", (0.12, 0.08), 1e6)])
    >>> shorted = solve(rail, {"C2": 0.050}, {"test pad": 2.0})
    >>> f"{shorted.currents['C2']:.3f} A, {1e3 * shorted.potentials['C2']:.1f} mV"
    '2.000 A, 100.0 mV'
    >>> shorted.potential_map().shape
    (150, 100)
    """
    ohms = _by_terminal(terminals, resistances, terminals.resistances)
    _hold_resistances(ohms)
    fed = _by_terminal(terminals, injection, np.zeros(len(ohms)))
    if not np.isfinite(fed).all():
        raise ValueError(f"injected currents must be finite (got {injection})")
    # each row divided by (R + one square): 1 for a dead short, 0 for a part that is not there, no infinite number left
    held = 1 / (1 + ohms / terminals.plane.sheet_resistance)
    if not held.any():
        raise ValueError("the current has no way to ground: every part is open")
    every = np.arange(len(ohms))
    pull = held / terminals.plane.sheet_resistance
    known = np.append(pull * (terminals.between @ fed), fed.sum())
    system = terminals.system * np.append(pull, 1.0)[:, np.newaxis]
    system[every, every] += 1 - held
    try:
        *currents, common = np.linalg.solve(system, known).tolist()
    except np.linalg.LinAlgError:
        raise ValueError("dead shorts in one place share their current anyhow: give all but one a resistance") from None
    net = fed - currents
    potentials = terminals.between @ net + common
    names = terminals.index
    return Solution(
        terminals,
        dict(zip(names, potentials.tolist(), strict=True)),
        dict(zip(names, currents, strict=True)),
        net,
        common,
    )


def _fields_by_cosines(plane, pads):
    """Return the fields of a whole rectangle, each with mean zero."""
    bends = [2 - 2 * np.cos(np.pi * np.arange(count) / count) for count in plane.nodes]
    stiffness = np.add.outer(plane.links[0] * bends[0], plane.links[1] * bends[1])
    stiffness[0, 0] = np.inf
    waves = fft.dctn(pads.reshape(-1, *plane.nodes), axes=(1, 2), norm="ortho")
    return fft.idctn(waves / stiffness, axes=(1, 2), norm="ortho").reshape(len(pads), -1)


def _fields_by_factor(plane, pads):
    """Return the fields of a plane with slots, nan in the slots, each zero in the first cell of copper."""
    copper = np.flatnonzero(plane.copper)
    number = np.arange(plane.copper.size).reshape(plane.nodes)
    pairs = [(number[:-1], number[1:]), (number[:, :-1], number[:, 1:])]
    links = sum(
        sparse.coo_array((np.full(one.size, link), (one.ravel(), other.ravel())), shape=(number.size,) * 2).tocsr()
        for (one, other), link in zip(pairs, plane.links, strict=True)
    )
    links = links[copper][:, copper]
    pieces, _ = csgraph.connected_components(links, directed=False)
    if pieces > 1:
        raise ValueError(f"the slots cut the plane into {pieces} pieces")
    laplacian = csgraph.laplacian(links + links.T).tocsc()[1:, 1:]
    factor = splu(laplacian, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    fields = np.full(pads.shape, np.nan)
    fields[:, copper[0]] = 0.0
    fields[:, copper[1:]] = factor.solve(np.ascontiguousarray(pads[:, copper[1:]].T)).T
    return fields


def _footprint(plane, place, width, name):
    """Return the cells under a square and the share of it on each; a square is never smaller than a cell."""
    covered, starts = [], []
    for at, length, step, count in zip(place, plane.size, plane.cell, plane.nodes, strict=True):
        checks.between(f"place of {name}", at, 0, length, "m")
        half = max(width, step) / 2
        first, last = max(math.floor((at - half) / step), 0), min(math.ceil((at + half) / step), count)
        edges = step * np.arange(first, last + 1)
        covered.append(np.minimum(edges[1:], at + half) - np.maximum(edges[:-1], at - half))
        starts.append(first)
    shares = np.outer(*covered)
    along, across = (range(first, first + size) for first, size in zip(starts, shares.shape, strict=True))
    shares *= plane.copper[along.start : along.stop, across.start : across.stop]
    shares[shares < 1e-9 * math.prod(plane.cell)] = 0.0  # slivers left by rounding
    if not shares.any():
        raise ValueError(f"{name} at {place} is not on copper")
    cells = np.add.outer(plane.nodes[1] * np.array(along), np.array(across))
    return cells.ravel(), (shares / shares.sum()).ravel()


def _by_terminal(terminals, given, otherwise):
    """Return values in the order of the terminals: those given by name, the others as they are."""
    values = otherwise.copy()
    for name, value in given.items():
        if name not in terminals.index:
            near = difflib.get_close_matches(name, terminals.index, n=3)
            raise ValueError(f"no terminal {name!r}" + (f"; did you mean {' or '.join(near)}?" if near else ""))
        values[terminals.index[name]] = value
    return values


def _hold_resistances(ohms):
    # one comparison: nan and negative fail, infinite (a part that is not there) passes
    if not np.greater_equal(ohms, 0).all():
        raise ValueError(f"resistances of parts must be at least 0 ohm (got {min(ohms)})")
