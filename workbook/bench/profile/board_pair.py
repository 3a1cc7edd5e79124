"""Two packages on one board: the finite volumes (the oracle) and the quick model.

Both march by the same steps as the board with one package. The whole board is cut, since two packages leave no
symmetry to use. The quick model reads the remainder of T^4 at the few faces that tell most of it (empirical
interpolation), found from a few trial programmes by the volumes.

Verified as numerics, NOT validated against a measured board: parameters move peaks by 5 to 10 K.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import islice, pairwise

import numpy as np
from scipy import sparse
from scipy.linalg import qr, svd

from workbook.bench import checks
from workbook.bench.profile.board_pair_station import (
    JOINT_SAMPLE,
    Heat,
    Heats,
    Package,
    PairBench,
    PairTraces,
    count_heats,
)
from workbook.bench.profile.board_reduced import ReducedBoard, advance, project
from workbook.bench.profile.board_station import MAP_SHAPE
from workbook.bench.profile.board_volumes import (
    Mesh,
    Stack,
    Volumes,
    board_layers,
    drives,
    grid,
    interpolation,
    joined,
    march,
    middles,
    overlap,
    package_layers,
    remainder,
    stack,
    view_of_rectangle,
)

__all__ = [
    "Heat",
    "Heats",
    "Mesh",
    "Package",
    "PairBench",
    "PairTraces",
    "count_heats",
    "reduced_pair",
    "run_pair",
    "simulate_pair",
]

PAIR_MESH = Mesh(8, 4, 2, 2)
"""Cells on half a package side, and layers; peaks lie within 1 K of a mesh of twice as many nodes and more."""

TRIAL_MESH = Mesh(4, 2, 1, 1)
"""The trials that find the stations run on this one."""

PATTERNS = 48
"""Temperature patterns kept; more bring no peak nearer, for the stations and steps set the error."""

STATIONS = 24
"""Faces at which the quick model reads the remainder of T^4."""

JOINT_PATCHES = 3
"""Patches of joints along each side of a package, which melt as one each."""


@dataclass(frozen=True, eq=False)
class PairFaces:
    """The open faces. Films [W/K], the films' part to the gas and emitting areas [m^2] have a row for each position.

    ``sheets`` has the middles of the cells of each open sheet along and across [m], in the order of the faces.
    """

    node: np.ndarray
    sheets: list[tuple[np.ndarray, np.ndarray]]
    films: np.ndarray
    gases: np.ndarray
    shines: np.ndarray
    plate: np.ndarray
    glow: np.ndarray

    @property
    def shine_up(self):
        """Emitting areas with the nozzle lifted [m^2]."""
        return self.shines[0]


@dataclass(frozen=True, eq=False)
class PairVolumes(Volumes):
    """The volumes of the whole board; a position is 0 (lifted) or 1 more than the package the nozzle is over."""

    positions = (0, 1, 2)

    def film(self, lowered: int) -> np.ndarray:
        """Return the film of each face [W/K]."""
        return self.faces.films[lowered]

    def shine(self, lowered: int) -> np.ndarray:
        """Return the emitting area of each face [m^2]."""
        return self.faces.shines[lowered]

    def gas(self, lowered: int) -> np.ndarray:
        """Return the part of the film of each face that is to the nozzle gas [W/K]."""
        return self.faces.gases[lowered]


def spaced_edges(end: float, spans, cells: int, widening: float) -> np.ndarray:
    """Return cell edges from -end to end [m]: even within each span, wider in proportion to the way from all of them.

    ``spans`` are the two rims of each package; the rims are edges.
    """
    growth = np.log(widening)

    def density(x):
        widths = [
            (high - low) / (2 * cells) + growth * np.clip(np.maximum(low - x, x - high), 0, None) for low, high in spans
        ]
        return 1 / np.min(widths, axis=0)

    lines = np.unique(np.round([-end, end, *np.ravel(spans)], 12))
    edges = [lines[:1]]
    for start, stop in pairwise(lines):
        fine = np.linspace(start, stop, 2001)
        each = density(middles(fine)) * np.diff(fine)
        way = np.concatenate([[0], np.cumsum(each)])
        count = max(1, int(np.ceil(way[-1] - 1e-6)))
        edges.append(np.interp(np.linspace(0, way[-1], count + 1)[1:-1], way, fine))
        edges.append([stop])
    return np.concatenate(edges)


def assemble_pair(pair: PairBench, mesh: Mesh = PAIR_MESH) -> PairVolumes:
    """Return the finite volumes of two packages on a board."""
    bench = pair.bench
    x_edges, y_edges = (
        spaced_edges(
            extent / 2,
            [(getattr(p, axis) - p.side / 2, getattr(p, axis) + p.side / 2) for p in pair.packages],
            mesh.across_package,
            mesh.widening,
        )
        for axis, extent in (("x", bench.length), ("y", bench.width))
    )
    board = stack(0, x_edges, y_edges, board_layers(bench, mesh))
    links, capacity, joints, tops, latent, first = [board.links], [board.capacity.ravel()], [], [], [], board.last
    open_area = board.area.copy()
    nothing = (np.zeros(0, int), np.zeros(0, int), np.zeros(0))
    for package in pair.packages:
        columns, rows = (
            (middles(edges) > place - package.side / 2) & (middles(edges) < place + package.side / 2)
            for edges, place in ((x_edges, package.x), (y_edges, package.y))
        )
        own_x, own_y = _edges_of(x_edges, columns), _edges_of(y_edges, rows)
        footprint = np.outer(np.diff(own_y), np.diff(own_x))
        solder = pair.solder_mass(package) * footprint / footprint.sum()
        joint = Stack(
            first, middles(own_x), middles(own_y), footprint, bench.solder_specific_heat * solder[None], nothing
        )
        body = stack(joint.last, own_x, own_y, package_layers(bench, mesh))
        half_joint = 2 * bench.joint_film * footprint.ravel()
        here = np.outer(rows, columns)
        links += [
            body.links,
            (board.sheet(-1)[here.ravel()], joint.sheet(0), half_joint),
            (joint.sheet(0), body.sheet(0), half_joint),
        ]
        open_area[here] = 0
        capacity += [joint.capacity.ravel(), body.capacity.ravel()]
        latent.append(bench.solder_latent_heat * solder.ravel())
        joints.append(joint)
        tops.append(body)
        first = body.last

    reads = [top.read(-1, p.x, p.y, first) for top, p in zip(tops, pair.packages, strict=True)]
    one, other = pair.packages
    reads.append(board.read(-1, (one.x + other.x) / 2, (one.y + other.y) / 2, first))
    for joint, p in zip(joints, pair.packages, strict=True):
        line = np.linspace(-1, 1, JOINT_SAMPLE) * p.joint_span(bench.joint_pitch)
        reads.append(joint.read(0, *(grid(line, line) + (p.x, p.y)).T, first))
    rows, columns = MAP_SHAPE
    fields = grid(
        ((np.arange(columns) + 0.5) / columns - 0.5) * bench.length,
        ((np.arange(rows) + 0.5) / rows - 0.5) * bench.width,
    )
    reads.append(board.read(-1, *fields.T, first))
    places = np.vstack([grid(joint.x, joint.y) for joint in joints])
    return PairVolumes(
        bench=bench,
        capacity=np.concatenate(capacity),
        conduction=joined(first, *(np.concatenate(part) for part in zip(*links, strict=True))),
        faces=_pair_faces(pair, board, open_area, tops, (x_edges, y_edges)),
        joints=np.concatenate([joint.sheet(0) for joint in joints]),
        joint_x=places[:, 0],
        joint_y=places[:, 1],
        latent=np.concatenate(latent),
        readings=sparse.vstack(reads).tocsr(),
        joint_positions=np.zeros((0, 2)),
        map_size=rows * columns,
        place_count=3,
    )


def _edges_of(edges, cells):
    """Return the edges of the cells marked."""
    return edges[np.concatenate([cells, [False]]) | np.concatenate([[False], cells])]


def _pair_faces(pair, board, open_area, tops, edges):
    bench = pair.bench
    open_sheets = [(board, -1, open_area), (board, 0, board.area), *((top, -1, top.area) for top in tops)]
    sheets = [(body.sheet(k), *grid(body.x, body.y).T, area.ravel()) for body, k, area in open_sheets]
    name = np.concatenate([np.full(sheet[0].size, k) for k, sheet in enumerate(sheets)])
    node, x, y, area = (np.concatenate(part) for part in zip(*sheets, strict=True))
    bottom = name == 1
    view = np.where(bottom, view_of_rectangle(x, y, bench.plate_length, bench.plate_width, bench.plate_gap), 0.0)
    # Between board and plate both are grey; towards the room only the board's own emissivity counts.
    grey = 1 / (1 / bench.emissivity + 1 / bench.plate_emissivity - 1)
    shine = area * (view * grey + (1 - view) * bench.emissivity)
    room = np.where(bottom, bench.bottom_film, bench.top_film)
    films, gases, shines = [area * room], [0 * area], [shine]
    for k, heated in enumerate(pair.packages):
        spill = np.where(bottom, 0.0, bench.spill_film * np.exp(-heated.away(x, y) / bench.spill_reach))
        under_nozzle = name == 2 + k
        covered = _covered(pair, 1 - k, board, edges, name)
        # Foil takes no heat: the air film under it stands in series with gas and room above it.
        passed = pair.shield_air_film / (pair.shield_air_film + room + spill)
        dimmed = 1 / (1 / bench.emissivity + 2 / pair.shield_emissivity - 1) / bench.emissivity
        through = 1 - covered + covered * passed
        gas = area * np.where(under_nozzle, bench.nozzle_film, spill * through)
        films.append(np.where(under_nozzle, gas, area * room * through + gas))
        gases.append(gas)
        # The lowered nozzle hides the package from the room and is about as hot as its gas.
        shines.append(np.where(under_nozzle, 0.0, shine * (1 - covered + covered * dimmed)))
    return PairFaces(
        node=node,
        sheets=[(body.x, body.y) for body, _, _ in open_sheets],
        films=np.array(films),
        gases=np.array(gases),
        shines=np.array(shines),
        plate=area * bench.bottom_film * bench.plate_gas_share * view,
        glow=area * view * grey,
    )


def _covered(pair, package, board, edges, name):
    """Return the share of each face that lies under the shield of a package."""
    covered = np.zeros(name.size)
    if pair.shield_side:
        place, half = pair.packages[package], pair.shield_side / 2
        along, across = (
            overlap(lines, middle - half, middle + half) / np.diff(lines)
            for lines, middle in zip(edges, (place.x, place.y), strict=True)
        )
        covered[name == 0] = np.outer(across, along).ravel()
        covered[name == 2 + package] = 1.0
    return covered


def simulate_pair(
    pair: PairBench, programme: Heats, time_step: float = 1.0, melting: bool = False, mesh: Mesh = PAIR_MESH
) -> PairTraces:
    """Return the temperatures of a programme by the full finite volumes. Slow: the measure of the quick model.

    Parameters
    ----------
    pair : PairBench
        What stands on the bench.
    programme : Heats
        Set points and heats over time.
    time_step : float
        Above zero; the nozzle moves on whole steps [s].
    melting : bool
        Whether the solder takes up its latent heat.
    mesh : Mesh
        How finely the board is cut.

    Returns
    -------
    PairTraces
        Temperatures over time [°C].

    References
    ----------
    As :func:`workbook.bench.profile.board_volumes.simulate`.

    Examples
    --------
    With all heaters off nothing happens:

    >>> record = simulate_pair(PairBench(), Heats(duration=10.0), mesh=Mesh(3, 1, 1, 1))
    >>> float(record.hottest_joint_c(0).max())
    25.0
    """
    checks.above("time_step", time_step, 0, "s")
    volumes = assemble_pair(pair, mesh)
    read = np.array([volumes.readings @ state for state in march(volumes, programme, time_step, melting)])
    named = read.shape[1] - volumes.map_size
    return _pair_traces(
        pair,
        programme.times(time_step),
        programme.lowered(time_step),
        programme.heaters(pair.bench, time_step),
        read[:, :named],
        read[:, named:],
        sparse.eye_array(volumes.map_size, format="csr"),
    )


def _pair_traces(pair, time, lowered, heaters, readings, map_states, map_matrix):
    bench = pair.bench
    gas, plate = heaters
    celsius = readings + bench.room_c
    joints = JOINT_SAMPLE**2
    return PairTraces(
        time=time,
        top_c=(celsius[:, 0], celsius[:, 1]),
        between_c=celsius[:, 2],
        joints_c=(celsius[:, 3 : 3 + joints], celsius[:, 3 + joints :]),
        lowered=lowered,
        gas_c=gas + bench.room_c,
        plate_c=plate + bench.room_c,
        solidus_c=bench.solder_solidus_c,
        liquidus_c=bench.solder_liquidus_c,
        room_c=bench.room_c,
        map_states=map_states,
        map_matrix=map_matrix,
    )


@lru_cache(maxsize=8)
def reduced_pair(
    pair: PairBench, mesh: Mesh = PAIR_MESH, patterns: int = PATTERNS, stations: int = STATIONS
) -> ReducedBoard:
    """Return the quick model of two packages on a board, built once in some seconds and kept.

    Parameters
    ----------
    pair : PairBench
        What stands on the bench.
    mesh : Mesh
        How finely the board behind the model is cut.
    patterns, stations : int
        How many temperature patterns and faces are kept, above zero [1].

    Returns
    -------
    ReducedBoard
        The quick model.

    References
    ----------
    Empirical interpolation at pivots of a QR decomposition: Drmac and Gugercin, SIAM J. Sci. Comput. 38 (2016) A631;
    from memory. Projection as :func:`workbook.bench.profile.board_reduced.reduce`.

    Examples
    --------
    Left alone, every pattern dies away:

    >>> quick = reduced_pair(PairBench(), Mesh(3, 1, 1, 1), 60, 30)
    >>> bool(min(position.decay.min() for position in quick.positions.values()) > 0)
    True
    """
    for name, value in (("patterns", patterns), ("stations", stations)):
        checks.above(name, value, 0)
    volumes = assemble_pair(pair, mesh)
    return project(volumes, _told_by_trial(pair, volumes, stations), _pair_patches(pair, volumes), patterns)


def _trials():
    """Return the programmes by which the stations are found: each package alone, and plate or gas far too hot."""
    for over in (0, 1):
        yield Heats.from_choices(350.0, (290.0, 290.0), order=(over,))
        yield Heats((), (Heat(over, ((10.0, 150.0), (100.0, 420.0)), 260.0),), 340.0)
    yield Heats(((0.0, 25.0), (30.0, 350.0)), (), 420.0)


def _told_by_trial(pair, volumes, count):
    """Return how the stations read the faces, and how the remainder on all faces follows from them.

    The trials run on a coarse mesh: the shapes of the remainder are smooth, and are carried to the faces of the fine.
    """
    coarse, step, faces, room = assemble_pair(pair, TRIAL_MESH), 2.0, volumes.faces, volumes.bench.room
    seen = [
        remainder(state[coarse.faces.node], room)
        for trial in _trials()
        for state in islice(march(coarse, trial, step, False), 1, None, 3)
    ]
    carry = sparse.block_diag(
        [interpolation(*grid(*fine).T, *rough) for fine, rough in zip(faces.sheets, coarse.faces.sheets, strict=True)]
    )
    weight = np.sqrt(np.maximum(faces.shine_up, 1e-12))[:, None]
    shapes = svd(weight * (carry @ np.array(seen).T), full_matrices=False)[0][:, :count]
    chosen = qr(shapes.T, pivoting=True, mode="economic")[2][:count]
    between = (shapes / weight) @ np.linalg.inv((shapes / weight)[chosen])
    sample = sparse.csr_array((np.ones(count), (np.arange(count), chosen)), shape=(count, faces.node.size))
    return sample, sparse.csr_array(between)


def _pair_patches(pair, volumes):
    """Return the heat that melts each patch (nodes x patches) and how its mean is read (patches x nodes)."""
    label = np.zeros(volumes.joints.size, int)
    for k, package in enumerate(pair.packages):
        here = package.away(volumes.joint_x, volumes.joint_y) == 0
        row, column = (
            (JOINT_PATCHES * ((place[here] - middle) / package.side + 0.5)).astype(int)
            for place, middle in ((volumes.joint_y, package.y), (volumes.joint_x, package.x))
        )
        label[here] = k * JOINT_PATCHES**2 + JOINT_PATCHES * row + column
    member = np.eye(2 * JOINT_PATCHES**2)[label]
    member = member[:, member.any(axis=0)]
    heat = np.zeros((volumes.capacity.size, member.shape[1]))
    heat[volumes.joints] = member * volumes.latent[:, None]
    mean = np.zeros(heat.shape)
    mean[volumes.joints] = member / member.sum(axis=0)
    return heat, mean.T


def run_pair(
    pair: PairBench, programme: Heats, time_step: float = 2.0, melting: bool = True, board: ReducedBoard | None = None
) -> PairTraces:
    """Return the temperatures of a programme by the quick model.

    Parameters
    ----------
    pair : PairBench
        What stands on the bench.
    programme : Heats
        Set points and heats over time.
    time_step : float
        Longest step, above zero; the nozzle moves on whole half steps, where steps are cut [s].
    melting : bool
        Whether the solder takes up its latent heat.
    board : ReducedBoard, optional
        The quick model, where it is not the usual one of ``pair``.

    Returns
    -------
    PairTraces
        Temperatures over time [°C].

    References
    ----------
    As :func:`workbook.bench.profile.board_reduced.run`.

    Examples
    --------
    A heat over one package melts its joints, and counts for it and not for its neighbour:

    >>> pair = PairBench()
    >>> quick = reduced_pair(pair, Mesh(3, 1, 1, 1), 60, 30)
    >>> record = run_pair(pair, Heats.from_choices(300, (300, 300), order=(0,)), board=quick)
    >>> record.heats(0), record.heats(1)
    (1, 0)
    """
    checks.above("time_step", time_step, 0, "s")
    board = reduced_pair(pair) if board is None else board
    half, stops = time_step / 2, programme.stops(time_step)
    time, lowered = programme.times(half)[stops], programme.lowered(half)[stops[:-1]]
    heaters = [heater[stops] for heater in programme.heaters(pair.bench, half)]
    states = advance(board, drives(*heaters, pair.bench.room), lowered, np.diff(time), melting)
    return _pair_traces(pair, time, lowered, heaters, states @ board.readings.T, states, board.map_matrix)
