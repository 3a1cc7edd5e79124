"""The quick board with any parameters: one set of temperature patterns for a whole family of benches.

Fitting a board to a log asks for hundreds of boards that differ in films, emissivities and conductivities alone. The
patterns of a few of them serve all: what is left to do for a new one is algebra on matrices of eighty rows, some
milliseconds where a quick board of its own takes most of a second. The remainder of T^4 is read at the faces that told
most of it in trials by the volumes (empirical interpolation).

Verified as numerics against the finite volumes, NOT validated against a measured board.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import SimpleNamespace

import numpy as np
from scipy import sparse
from scipy.linalg import eigh, qr, svd

from workbook.bench.profile.board_reduced import RATES, Position, ReducedBoard, Stepper, joint_patches
from workbook.bench.profile.board_station import NEIGHBOURS, PLACES, STEFAN_BOLTZMANN, Bench, Programme
from workbook.bench.profile.board_volumes import (
    SHEETS,
    Faces,
    Mesh,
    Volumes,
    assemble,
    dressed,
    factorised,
    interpolation,
    march,
    remainder,
    rows_over,
    secant,
)

__all__ = ["MOVING", "Family", "Together", "family"]

FAMILY_MESH = Mesh(10, 3, 2, 2)
"""Peaks lie within 0.3 K of the usual mesh's, at half its nodes."""

SLIPPED = 0.005
"""How far beside a place a slipped bead is read [m]."""

PATTERNS = 80
STATIONS = 32
JOINT_PATCHES = 5
"""Two cells of the mesh each: with fewer, peaks of the corner joint within the melting range are 1 K off."""

IN_CONDUCTION = (
    "conductivity_along",
    "conductivity_through",
    "joint_film",
    "substrate_conductivity_along",
    "substrate_conductivity_through",
    "body_conductivity",
)
IN_CAPACITY = ("heat_capacity", "package_heat_capacity", "neighbour_heat_capacity")
ON_FACES = (
    "emissivity",
    "plate_emissivity",
    "plate_gap",
    "plate_gas_share",
    "top_film",
    "bottom_film",
    "nozzle_film",
    "spill_film",
    "spill_reach",
)
IN_HEATERS = ("plate_lag", "gas_lag")
MOVING = IN_CONDUCTION + IN_CAPACITY + ON_FACES + IN_HEATERS
"""What may differ between the benches of a family."""

TRIALS = (
    Programme.from_choices(350.0, 280.0, hold=60.0, soak=90.0),
    Programme((), ((10.0, 150.0), (100.0, 400.0)), lift_off=220.0, duration=280.0),
)
"""The programmes by which the stations are found."""


@dataclass(frozen=True, eq=False)
class Member(ReducedBoard):
    """The quick model of one bench of a family."""

    beside: np.ndarray = field(kw_only=True)
    """How the patterns are read beside each of ``PLACES``: where a bead sits that has slipped by ``SLIPPED``."""


@dataclass(frozen=True, eq=False)
class Family:
    """One board, and the patterns that serve it with any parameters of ``MOVING``; made by :func:`family`."""

    bench: Bench
    conduction: dict[str, np.ndarray]
    """Conduction between the patterns [W/K]: for each parameter what moves with it, and the rest."""
    capacity: dict[str, np.ndarray]
    """Heat capacity of the patterns [J/K], in the same way."""
    faces: Faces
    on_faces: np.ndarray
    """Patterns on the faces (faces x patterns)."""
    told: np.ndarray
    """Faces whose remainder of T^4 is read."""
    between: np.ndarray
    """How the remainder on all faces follows from those read (faces x stations)."""
    melt_heat: np.ndarray
    patches: np.ndarray
    readings: np.ndarray
    map_matrix: np.ndarray
    joint_positions: np.ndarray
    beside: np.ndarray
    last: dict = field(default_factory=dict, repr=False)

    def board(self, bench: Bench) -> Member:
        """Return the quick model of a bench that differs from the family's in ``MOVING`` alone."""
        if replace(bench, **{name: getattr(self.bench, name) for name in MOVING}) != self.bench:
            raise ValueError(f"a bench of this family differs in {', '.join(MOVING)} alone")
        # Patterns that are orthonormal under this bench's heat capacity, as the march wants them.
        capacity = tuple(getattr(bench, name) for name in IN_CAPACITY)
        own = self._kept("own", capacity, lambda: np.linalg.inv(np.linalg.cholesky(_scaled(self.capacity, bench))).T)
        key = tuple(getattr(bench, name) for name in (*IN_CONDUCTION, *IN_CAPACITY, *ON_FACES))
        positions = self._kept("positions", key, lambda: self._positions(bench, own))
        return Member(
            bench,
            positions,
            self.readings @ own,
            self.map_matrix @ own,
            self.joint_positions,
            beside=self.beside @ own,
        )

    def _kept(self, what, key, make):
        """Return what was made last for a key, or make it: a step of differences moves one parameter at a time."""
        if self.last.get(what, (None,))[0] != key:
            self.last[what] = key, make()
        return self.last[what][1]

    def _positions(self, bench, own):
        conduction, positions = _scaled(self.conduction, bench), {}
        key = tuple(getattr(bench, name) for name in ON_FACES)
        for lowered, (loss, inputs, cooling) in self._kept("faces", key, lambda: self._on_patterns(bench)).items():
            decay, turn = eigh(own.T @ (conduction + loss) @ own, driver="evd")  # a fifth less time than the usual one
            modes = own @ turn
            positions[lowered] = Position(
                decay=decay,
                inputs=modes.T @ inputs,
                station_cooling=modes.T @ cooling,
                stations=self.on_faces[self.told] @ modes,
                melt_cooling=modes.T @ self.melt_heat,
                patches=self.patches @ modes,
                turn=turn,
            )
        return positions

    def _on_patterns(self, bench):
        """Return for each nozzle position what the faces lose, take in and give off, seen by the patterns."""
        faces, on_faces = self.faces, self.on_faces
        dress = dressed(bench, faces.sheet, faces.node, faces.x, faces.y, faces.area)
        plate = on_faces.T @ np.column_stack([dress.plate, STEFAN_BOLTZMANN * dress.glow])
        found = {}
        for lowered, film, shine, gas in (
            (False, dress.film_up, dress.shine_up, 0 * dress.gas),
            (True, dress.film_down, dress.shine_down, dress.gas),
        ):
            straight = STEFAN_BOLTZMANN * shine
            loss = on_faces.T @ ((film + secant(bench.room) * straight)[:, None] * on_faces)
            found[lowered] = (
                loss,
                np.column_stack([on_faces.T @ gas, plate]),
                on_faces.T @ (straight[:, None] * self.between),
            )
        return found


def _scaled(parts: dict, bench: Bench):
    return sum(part * getattr(bench, name, 1.0) for name, part in parts.items())


@lru_cache(maxsize=8)
def family(bench: Bench, near: tuple[Bench, ...] = ()) -> Family:
    """Return the family of a bench, built once in about a second and kept.

    Parameters
    ----------
    bench : Bench
        The board. What is not in ``MOVING`` is the same for all its family.
    near : Bench (tuple)
        Further benches of the family whose answers the patterns hold too; the more they differ the wider the
        family is true.

    Returns
    -------
    Family
        The family.

    References
    ----------
    Patterns as :func:`workbook.bench.profile.board_reduced.reduce`, joined over a few benches; stations at pivots of a
    QR decomposition (Drmac and Gugercin, SIAM J. Sci. Comput. 38 (2016) A631; from memory).

    Examples
    --------
    >>> made = family(Bench())
    >>> bool(made.board(Bench(conductivity_along=20.0)).positions[True].decay.min() > 0)
    True
    """
    benches = (bench, *near)
    all_volumes = [assemble(one, FAMILY_MESH) for one in benches]
    volumes = all_volumes[0]
    told, between = _told_by_trial(all_volumes)
    melt_heat, patch_means = joint_patches(volumes, JOINT_PATCHES)
    basis = _patterns(all_volumes, between, melt_heat)
    read = volumes.readings @ basis
    named = read.shape[0] - volumes.map_size
    return Family(
        bench=bench,
        conduction=_parts(volumes, basis, IN_CONDUCTION, lambda one: one.conduction),
        capacity=_parts(volumes, basis, IN_CAPACITY, lambda one: sparse.diags_array(one.capacity)),
        faces=volumes.faces,
        on_faces=np.ascontiguousarray(basis[volumes.faces.node]),
        told=told,
        between=between,
        melt_heat=basis.T @ melt_heat,
        patches=patch_means @ basis,
        readings=read[:named],
        map_matrix=read[named:],
        joint_positions=volumes.joint_positions,
        beside=beside(volumes, SLIPPED) @ basis,
    )


def _parts(volumes, basis, names, matrix):
    """Return a projected matrix as what moves with each parameter, and the rest: it is linear in each of them."""
    whole = matrix(volumes)
    parts = {}
    for name in names:
        twice = assemble(replace(volumes.bench, **{name: 2 * getattr(volumes.bench, name)}), FAMILY_MESH)
        parts[name] = (matrix(twice) - whole) / getattr(volumes.bench, name)
    rest = whole - sum(part * getattr(volumes.bench, name) for name, part in parts.items())
    return {name: basis.T @ (part @ basis) for name, part in (parts | {"rest": rest}).items()}


def _told_by_trial(all_volumes):
    """Return the faces that tell most of the remainder of T^4, and how all follow from them."""
    room, node = all_volumes[0].bench.room, all_volumes[0].faces.node
    seen = [
        remainder(state[node], room)
        for volumes, trial in zip(all_volumes, itertools.cycle(TRIALS))
        for state in itertools.islice(march(volumes, trial, 5.0, False), 1, None, 2)
    ]
    seen += [
        remainder(state[node], room)
        for state in itertools.islice(march(all_volumes[0], TRIALS[1], 5.0, False), 1, None, 2)
    ]
    shapes = svd(np.array(seen).T, full_matrices=False)[0][:, :STATIONS]
    told = qr(shapes.T, mode="r", pivoting=True)[1][:STATIONS]
    return told, shapes @ np.linalg.inv(shapes[told])


def _patterns(all_volumes, between, melt_heat):
    """Return the patterns most called for by inputs and readings of all the benches, orthonormal (nodes x count)."""
    answers = []
    for volumes in all_volumes:
        capacity, faces = sparse.diags_array(volumes.capacity), volumes.faces
        places = volumes.readings[: volumes.place_count].toarray().T
        for lowered in volumes.positions:
            emits = sparse.csr_array(
                (STEFAN_BOLTZMANN * volumes.shine(lowered), (faces.node, np.arange(faces.node.size))),
                shape=(volumes.capacity.size, faces.node.size),
            )
            # Typical strengths, as in the quick board: gas, plate, its glow, a remainder, melting, 5 W where one reads.
            heats = np.hstack(
                [
                    volumes.inputs(lowered) * (250.0, 325.0, 600.0**4),
                    (emits @ between) * 1e9,
                    melt_heat / 5,
                    places * 5,
                ]
            )
            heats = heats[:, heats.any(axis=0)]
            matrix = volumes.conductance(lowered)
            answers += [factorised(matrix + rate * capacity).solve(heats) for rate in RATES]
    answers = np.hstack(answers)
    _, mixes = eigh(answers.T @ answers, subset_by_index=[answers.shape[1] - PATTERNS, answers.shape[1] - 1])
    root = np.sqrt(all_volumes[0].capacity)[:, None]
    return np.linalg.qr(root * (answers @ mixes))[0] / root


def beside(volumes: Volumes, slipped: float) -> np.ndarray:
    """Return the rows over all nodes that read beside each place, ``slipped`` [m] along the board.

    Beside a joint and on a face that is the same body; a bead that has slipped off a neighbour reads the board there.
    """
    bench, faces, size = volumes.bench, volumes.faces, volumes.capacity.size
    joints = volumes.readings[len(PLACES) : len(PLACES) + volumes.joint_positions.shape[0]].toarray()
    axis = np.unique(volumes.joint_positions[:, 0])
    span, half = axis[-1], bench.package_side / 2

    def joint(x, y):
        return interpolation(np.array([x]), np.array([y]), axis, axis).toarray() @ joints

    def face(sheet, x):
        here = faces.sheet == SHEETS.index(sheet)
        xs, ys = np.unique(faces.x[here]), np.unique(faces.y[here])
        return rows_over(interpolation(np.array([x]), np.zeros(1), xs, ys), faces.node[here], size).toarray()

    rows = {
        "package top": face("package top", slipped),
        "joint centre": joint(slipped, 0.0),
        "joint corner": joint(span - slipped, span),
        "joint edge": joint(span - slipped, 0.0),
        "board bottom": face("board bottom", slipped),
    } | {name: face("board top", half + away - slipped) for name, away in NEIGHBOURS.items()}
    return np.vstack([rows[place] for place in PLACES])


class Together:
    """Members of a family that march side by side without latent heat: the steps of all are taken by one call.

    Each goes the way :func:`workbook.bench.profile.board_reduced.advance` goes with it. What a step needs is prepared
    once for each of its lengths, and kept.
    """

    def __init__(self, boards: Sequence[Member]):
        self.boards = tuple(boards)
        room = self.boards[0].bench.room
        slope = secant(room)
        # Numbers as arrays, for numpy takes longer to read a number of Python's than to add so few.
        self.room, self.slope, self.level = np.array(room), np.array(slope), np.array(room**4 - slope * room)
        self.prepared: dict[tuple[bool, float], SimpleNamespace] = {}

    def step(self, lowered: bool, length: float) -> SimpleNamespace:
        """Return what a step of a length [s] needs, of all the boards."""
        key = lowered, length
        if key not in self.prepared:
            places = [board.positions[lowered] for board in self.boards]
            steppers = [Stepper(place, length) for place in places]
            keep, held, risen = (
                np.stack([getattr(one, name) for one in steppers]) for name in ("keep", "held", "risen")
            )
            self.prepared[key] = SimpleNamespace(
                keep=keep[:, :, None],
                held=held,
                risen=risen,
                stations=np.stack([one.stations for one in steppers]),
                cooling=[np.stack([one.cooling[turn] for one in steppers]) for turn in (0, 1)],
                turns=np.stack([place.turn for place in places]),
                inputs=np.stack([place.inputs for place in places]).transpose(0, 2, 1),
            )
        return self.prepared[key]

    def read(self, rows, driven, lowered, steps) -> np.ndarray:
        """Return what some rows read of each board's patterns at the ends of steps [K] (boards x times x rows).

        ``rows`` has an array for each board (boards x rows x patterns), and so has ``driven`` (boards x times x
        inputs); ``lowered`` and ``steps`` are those of all.
        """
        cuts = [0, *(np.flatnonzero((np.diff(lowered) != 0) | (np.diff(steps) != 0)) + 1), lowered.size]
        many, size = len(self.boards), self.boards[0].readings.shape[1]
        count = self.boards[0].positions[False].stations.shape[0]
        read, remainders = np.zeros((many, lowered.size + 1, rows.shape[1])), np.zeros((many, 2 * count, 1))
        state = np.zeros((many, size, 1))
        slots = remainders[:, :count], remainders[:, count:]
        hot, cooled = np.empty((many, count, 1)), np.empty((many, size, 1))
        for start, stop in itertools.pairwise(cuts):
            step = self.step(lowered[start].item(), steps[start].item())
            inputs = driven[:, start : stop + 1] @ step.inputs
            forcing = step.held[:, None] * inputs[:, :-1] + step.risen[:, None] * np.diff(inputs, axis=1)
            forcing = np.ascontiguousarray(forcing.transpose(1, 0, 2))[..., None]
            modes = np.empty((stop - start + 1, many, size, 1))
            modes[0] = step.turns.transpose(0, 2, 1) @ state
            if start and steps[start] != steps[start - 1]:
                # The last remainder becomes what it was one step of the new length ago.
                newest, last = np.empty_like(hot), slots[1 - start % 2]
                self._remainder(step.stations, modes[0], hot, newest)
                last[:] = newest + (last - newest) * steps[start] / steps[start - 1]
            for k in range(stop - start):
                turn = (start + k) % 2
                self._remainder(step.stations, modes[k], hot, slots[turn])
                after = np.multiply(step.keep, modes[k], out=modes[k + 1])
                after += np.matmul(step.cooling[turn], remainders, out=cooled)
                after += forcing[k]
            state = step.turns @ modes[-1]
            read[:, start : stop + 1] = modes[..., 0].transpose(1, 0, 2) @ (rows @ step.turns).transpose(0, 2, 1)
        return read

    def _remainder(self, stations, modes, hot, out) -> None:
        """Write T^4 less its straight part at the stations of all boards [K^4]."""
        np.matmul(stations, modes, out=hot)
        np.add(hot, self.room, out=hot)
        np.multiply(hot, hot, out=out)
        np.multiply(out, hot, out=out)
        np.subtract(out, self.slope, out=out)
        np.multiply(out, hot, out=out)
        np.subtract(out, self.level, out=out)
