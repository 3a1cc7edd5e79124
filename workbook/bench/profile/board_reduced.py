"""The quick board: the finite volumes seen through eighty temperature patterns.

The patterns are what the volumes answer to their own inputs, and to heat at the places read, at a few rates (a
rational Krylov basis). So they hold the sharp local shapes a nozzle makes; as many of the slowest natural modes do
not, and are 5 to 15 K wrong. From one step to the next the straight part of the problem is solved exactly. What is not
straight goes back in as heat: the remainder of T^4, known at stations over the faces and straight between them, and
the latent heat, by patches of joints.

Verified as numerics against the finite volumes, NOT validated against a measured board: the uncertainty of the
parameters moves peaks by 5 to 10 K, this reduction by less than 1 K.
"""

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from scipy import sparse
from scipy.linalg import eigh

from workbook.bench import checks
from workbook.bench.profile.board_melting import melt
from workbook.bench.profile.board_station import NEIGHBOURS, STEFAN_BOLTZMANN, Bench, Programme, Traces
from workbook.bench.profile.board_volumes import (
    SHEETS,
    USUAL_MESH,
    Mesh,
    Volumes,
    assemble,
    drives,
    factorised,
    grid,
    interpolation,
    remainder,
    secant,
    traces,
)

__all__ = ["ReducedBoard", "reduce", "run"]

RATES = (0.0, 1 / 100, 1 / 8)
"""Rates at which the volumes are asked for their answer [1/s]: from standing still to a lift-off."""

PATTERNS = 80
"""Beyond these the stations set the error, not the patterns."""

JOINT_PATCHES = 6
"""Patches of joints along each side of the quarter array, which melt as one each."""


@dataclass(frozen=True, eq=False)
class Position:
    """The reduced equations with the nozzle lifted or lowered, in the modes of that position.

    Temperatures are above room. ``turn`` leads from these modes to the common patterns.
    """

    decay: np.ndarray
    inputs: np.ndarray
    station_cooling: np.ndarray
    stations: np.ndarray
    melt_cooling: np.ndarray
    patches: np.ndarray
    turn: np.ndarray


@dataclass(frozen=True, eq=False)
class ReducedBoard:
    """A bench reduced to a few patterns; small enough to keep, made by :func:`reduce`."""

    bench: Bench
    positions: dict[bool, Position]
    """By whether the nozzle is lowered."""
    readings: np.ndarray
    map_matrix: np.ndarray
    joint_positions: np.ndarray
    steppers: dict = field(default_factory=dict, repr=False)
    """Steps already prepared, by nozzle position and time step."""


def reduce(bench: Bench, mesh: Mesh = USUAL_MESH, patterns: int = PATTERNS) -> ReducedBoard:
    """Return the quick model of a bench.

    Parameters
    ----------
    bench : Bench
        What stands on the bench.
    mesh : Mesh
        How finely the board behind the model is cut; finer costs building time only.
    patterns : int
        How many temperature patterns are kept, above zero [1].

    Returns
    -------
    ReducedBoard
        The quick model.

    References
    ----------
    Rational Krylov projection: A. C. Antoulas, Approximation of Large-Scale Dynamical Systems, chapter 11; from memory.

    Examples
    --------
    Left alone, every pattern dies away:

    >>> quick = reduce(Bench(), Mesh(4, 1, 1, 1), patterns=40)
    >>> bool(quick.positions[True].decay.min() > 0)
    True
    """
    checks.above("patterns", patterns, 0)
    volumes = assemble(bench, mesh)
    return project(volumes, _stations(volumes), joint_patches(volumes, JOINT_PATCHES), patterns)


def project(volumes: Volumes, stations, patches, patterns: int) -> ReducedBoard:
    """Return volumes projected on their patterns.

    ``stations`` are how they read the faces (stations x faces) and how faces lie between them (faces x stations);
    ``patches`` the heat that melts each (nodes x patches) and how its mean is read (patches x nodes).
    """
    (sample, between), (melt_heat, patch_means) = stations, patches
    cooling = {position: _station_cooling(volumes, between, position) for position in volumes.positions}
    basis = _patterns(volumes, cooling, melt_heat, patterns)
    read = volumes.readings @ basis
    named = read.shape[0] - volumes.map_size
    positions = {}
    for lowered in volumes.positions:
        decay, modes = eigh(basis.T @ (volumes.conductance(lowered) @ basis))
        shapes = basis @ modes
        positions[lowered] = Position(
            decay=decay,
            inputs=shapes.T @ volumes.inputs(lowered),
            station_cooling=shapes.T @ cooling[lowered],
            stations=sample @ shapes[volumes.faces.node],
            melt_cooling=shapes.T @ melt_heat,
            patches=patch_means @ shapes,
            turn=modes,
        )
    return ReducedBoard(volumes.bench, positions, read[:named], read[named:], volumes.joint_positions)


def _patterns(volumes, cooling, melt_heat, count):
    """Return the patterns most called for by the inputs and readings, orthonormal under heat capacity (nodes x count).

    Each input has a typical strength, so that a pattern kept is one that changes temperatures. Readings count as
    inputs because then their errors multiply with those of the true inputs. Nodes count alike: they are
    densest where accuracy is wanted.
    """
    capacity = sparse.diags_array(volumes.capacity)
    places = volumes.readings[: volumes.place_count].toarray().T
    answers = []
    for lowered in volumes.positions:
        heats = np.hstack(
            [
                volumes.inputs(lowered) * (250.0, 325.0, 600.0**4),  # hot gas, hot plate, its glow
                cooling[lowered] * 1e9,  # a remainder of T^4
                melt_heat / 5,  # melts within 5 s
                places * 5,  # 5 W where a temperature is read
            ]
        )
        heats = heats[:, heats.any(axis=0)]
        answers += [factorised(volumes.conductance(lowered) + rate * capacity).solve(heats) for rate in RATES]
    answers = np.hstack(answers)
    _, mixes = eigh(answers.T @ answers, subset_by_index=[answers.shape[1] - count, answers.shape[1] - 1])
    root = np.sqrt(volumes.capacity)[:, None]
    return np.linalg.qr(root * (answers @ mixes))[0] / root


def _station_lines(half, end):
    """Return station coordinates: close where the temperature bends, at the package edge and its middle [m]."""
    return np.concatenate([half * np.array([0, 0.5, 1]), half + (end - half) * np.array([0.04, 0.12, 0.35, 1])])


def _stations(volumes: Volumes):
    """Return how stations read the faces (stations x faces), and how faces lie between them (faces x stations)."""
    bench, faces = volumes.bench, volumes.faces
    half = bench.package_side / 2
    board = _station_lines(half, bench.length / 2), _station_lines(half, bench.width / 2)
    package = (half * np.array([0, 0.5, 1]),) * 2
    samples, betweens = [], []
    for k, sheet in enumerate(SHEETS):
        if sheet in NEIGHBOURS:
            samples.append(np.ones((1, 1)))
            betweens.append(np.ones((1, 1)))
            continue
        xs, ys = package if sheet == "package top" else board
        here = faces.sheet == k
        between = interpolation(faces.x[here], faces.y[here], xs, ys)
        used = between.T @ faces.shine_up[here] > 0
        samples.append(interpolation(*grid(xs, ys)[used].T, np.unique(faces.x[here]), np.unique(faces.y[here])))
        betweens.append(between[:, used])
    return sparse.block_diag(samples, format="csr"), sparse.block_diag(betweens, format="csr")


def _station_cooling(volumes, between, lowered):
    """Return the heat each node loses for a remainder of 1 K^4 at each station (nodes x stations)."""
    faces = volumes.faces
    emits = sparse.csr_array(
        (STEFAN_BOLTZMANN * volumes.shine(lowered), (faces.node, np.arange(faces.node.size))),
        shape=(volumes.capacity.size, faces.node.size),
    )
    return (emits @ between).toarray()


def joint_patches(volumes: Volumes, along: int):
    """Return the heat that melts each patch of joints (nodes x patches) and how its mean is read (patches x nodes)."""
    half = volumes.bench.package_side / 2
    row, column = ((along * place / half).astype(int) for place in (volumes.joint_y, volumes.joint_x))
    member = np.eye(along**2)[along * row + column]
    member = member[:, member.any(axis=0)]  # a coarse mesh leaves patches without a joint cell
    heat = np.zeros((volumes.capacity.size, member.shape[1]))
    heat[volumes.joints] = member * volumes.latent[:, None]
    mean = np.zeros(heat.shape)
    mean[volumes.joints] = member / member.sum(axis=0)
    return heat, mean.T


class Stepper:
    """One time step of the reduced equations in one nozzle position, prepared once."""

    def __init__(self, position: Position, time_step: float):
        decay = position.decay * time_step
        keep = np.exp(-decay)
        held = (1 - keep) / position.decay  # answer to an input held over the step
        risen = (time_step - held) / decay  # answer to one that rises over it from 0 to 1
        now = -(held + risen)[:, None] * position.station_cooling
        before = risen[:, None] * position.station_cooling
        self.keep, self.held, self.risen = keep, held, risen
        # The remainders of this step and of the last lie in two halves of one array and change places every step.
        self.cooling = np.hstack([now, before]), np.hstack([before, now])
        self.stations = np.ascontiguousarray(position.stations)
        self.patches = np.ascontiguousarray(position.patches)
        self.melted = -held[:, None] * position.melt_cooling / time_step
        self.response = -position.patches @ self.melted


def run(board: ReducedBoard, programme: Programme, time_step: float = 1.0, melting: bool = False) -> Traces:
    """Return the temperatures of a programme by the quick model.

    Exact exponential steps for inputs that are straight over a step; the remainder of T^4 is carried forward from the
    last two steps, the latent heat is solved for at each step.

    Parameters
    ----------
    board : ReducedBoard
        The quick model of a bench.
    programme : Programme
        Set points over time.
    time_step : float
        Above zero; the nozzle moves on whole steps [s].
    melting : bool
        Whether the solder takes up its latent heat.

    Returns
    -------
    Traces
        Temperatures over time [°C].

    References
    ----------
    Exponential steps with the remainder carried forward over two steps: Cox and Matthews, J. Comput. Phys. 176 (2002)
    430, ETD2; from memory.

    Examples
    --------
    With both heaters off nothing happens:

    >>> record = run(reduce(Bench(), Mesh(4, 1, 1, 1)), Programme(duration=10.0))
    >>> bool(abs(record.hottest_joint_c - 25.0).max() < 1e-6)
    True
    """
    checks.above("time_step", time_step, 0, "s")
    lowered = programme.lowered(time_step)
    drive = drives(*programme.heaters(board.bench, time_step), board.bench.room)
    states = advance(board, drive, lowered, np.full(lowered.size, time_step), melting)
    return traces(
        board.bench, programme, time_step, board.joint_positions, states @ board.readings.T, states, board.map_matrix
    )


def advance(board: ReducedBoard, drive, lowered, steps, melting: bool) -> np.ndarray:
    """Return the strength of each pattern at the ends of steps (times x patterns), from room temperature.

    ``drive`` has a row for each time; ``lowered`` says where the nozzle is in each step and ``steps`` how long it is
    [s].
    """
    bench = board.bench
    changes = (np.diff(lowered) != 0) | (np.diff(steps) != 0)
    starts = np.concatenate([[0], np.flatnonzero(changes) + 1])
    states = np.zeros((lowered.size + 1, board.readings.shape[1]))
    lifted = board.positions[False]
    remainders = np.zeros(2 * lifted.stations.shape[0])
    liquid = np.zeros(lifted.patches.shape[0]) if melting else None
    for start, stop in pairwise([*starts, lowered.size]):
        key = lowered[start].item(), steps[start].item()
        position = board.positions[key[0]]
        if key not in board.steppers:
            board.steppers[key] = Stepper(position, key[1])
        modes = np.empty((stop - start + 1, states.shape[1]))
        modes[0] = states[start] @ position.turn
        if start and steps[start] != steps[start - 1]:
            # The last remainder becomes what it was one step of the new length ago.
            before = np.split(remainders, 2)[1 - start % 2]
            now = remainder(position.stations @ modes[0], bench.room)
            before[:] = now + (before - now) * steps[start] / steps[start - 1]
        inputs = drive[start : stop + 1] @ position.inputs.T
        liquid = _advance(bench, board.steppers[key], inputs, modes, start, remainders, liquid)
        states[start : stop + 1] = modes @ position.turn.T
    return states


def _advance(bench, stepper, inputs, modes, start, remainders, liquid):
    """Fill in the modes after the first row, keep the last two remainders up to date, return the liquid shares."""
    forcing = stepper.held * inputs[:-1] + stepper.risen * np.diff(inputs, axis=0)
    count, solidus = remainders.size // 2, bench.solder_solidus_c - bench.room_c
    span = bench.solder_liquidus_c - bench.solder_solidus_c
    slots = remainders[:count], remainders[count:]
    # Numbers as arrays, for numpy takes longer to read a number of Python's than to add so few.
    room, slope = np.array(bench.room), np.array(secant(bench.room))
    level = np.array(room**4 - slope * room)
    hot, cooled = np.empty(count), np.empty(stepper.keep.size)
    state, molten = modes[0], liquid is not None and liquid.any()
    for step in range(forcing.shape[0]):
        turn = (start + step) % 2
        newest, cooling = slots[turn], stepper.cooling[turn]
        # T^4 less its straight part, in place: most of the time of a run goes into this loop.
        stepper.stations.dot(state, hot)
        np.add(hot, room, out=hot)
        np.multiply(hot, hot, out=newest)
        np.multiply(newest, hot, out=newest)
        np.subtract(newest, slope, out=newest)
        np.multiply(newest, hot, out=newest)
        np.subtract(newest, level, out=newest)
        after = modes[step + 1]
        np.multiply(stepper.keep, state, out=after)
        np.add(after, cooling.dot(remainders, cooled), out=after)
        np.add(after, forcing[step], out=after)
        if liquid is not None:
            joints = stepper.patches.dot(after)
            if molten or joints[joints.argmax()] > solidus:  # a quarter of the time of max() on arrays this short
                more = melt(joints - solidus, stepper.response, liquid, span)
                if more is not liquid:
                    after += stepper.melted @ (more - liquid)
                    liquid, molten = more, more.any()
        state = after
    return liquid
