"""The board as layered finite volumes: the model behind the quick one, and the oracle it is held to.

One quarter of the board (the set-up is symmetric), cut into cells that widen away from the package and into layers
whose outermost nodes lie in the surfaces. Heat flows along the copper-smeared board, through the joints into substrate
and body, and to the surroundings by films and by radiation with its full fourth power. Not modelled: thermal reliefs
and slots in the planes, heat through the board's rim and the package's sides, warm air rising past the board.

Verified as numerics, NOT validated against a measured board: the uncertainty of the parameters moves peaks by 5 to 10
K, the numerics by less than 1 K.
"""

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

from workbook.bench import checks
from workbook.bench.profile.board_melting import melt
from workbook.bench.profile.board_station import (
    MAP_SHAPE,
    NEIGHBOURS,
    PLACES,
    STEFAN_BOLTZMANN,
    ZERO_CELSIUS,
    Bench,
    Programme,
    Traces,
)

__all__ = ["Mesh", "Volumes", "simulate", "view_of_rectangle"]

SHEETS = ("board top", "board bottom", "package top", *NEIGHBOURS)
"""The open sheets of the set-up."""

LINEARISED_AT = 180.0 + ZERO_CELSIUS
"""Radiation is split into a straight line that is exact here and at room temperature, and the remainder [K]."""

JOINT_SAMPLE = 6
"""Joints read along each side of the quarter array, from its middle to its corner."""


@dataclass(frozen=True)
class Mesh:
    """How finely the quarter board is cut: cells on half a package side, and layers through each body."""

    across_package: int = 12
    board: int = 4
    substrate: int = 2
    body: int = 2
    widening: float = 1.2
    """Width of each cell over the last, away from the package."""

    def __post_init__(self):
        for name in ("across_package", "board", "substrate", "body"):
            checks.at_least(name, getattr(self, name), 2 if name == "across_package" else 1)
        checks.between("widening", self.widening, 1.01, 2)


USUAL_MESH = Mesh()
"""Peaks lie within 0.5 K of those of a mesh with eight times the nodes."""


@dataclass(frozen=True, eq=False)
class Faces:
    """The open faces of the volumes, one entry each.

    ``up`` and ``down`` say where the nozzle is. Films are times area [W/K], emitting areas times emissivity [m^2].
    """

    node: np.ndarray
    x: np.ndarray
    y: np.ndarray
    sheet: np.ndarray
    """Index into ``SHEETS``."""
    area: np.ndarray
    """Open area [m^2]."""
    film_up: np.ndarray
    film_down: np.ndarray
    gas: np.ndarray
    """The part of the lowered film that is to the nozzle gas."""
    plate: np.ndarray
    """The part of the film that is to gas as hot as the plate."""
    glow: np.ndarray
    """Emitting area the plate shines on."""
    shine_up: np.ndarray
    shine_down: np.ndarray


@dataclass(frozen=True, eq=False)
class Volumes:
    """Heat capacities, conductances and open faces of the quarter board, and where its temperatures are read.

    All temperatures of the nodes are above room [K]. ``readings`` has a row for each of ``PLACES``, then for each
    sampled joint, then for each field of the quarter map.
    """

    bench: Bench
    capacity: np.ndarray
    conduction: sparse.csr_array
    faces: Faces
    joints: np.ndarray
    """Nodes of the joint layer; ``joint_x`` and ``joint_y`` [m] say where, ``latent`` [J] what each takes to melt."""
    joint_x: np.ndarray
    joint_y: np.ndarray
    latent: np.ndarray
    readings: sparse.csr_array
    joint_positions: np.ndarray
    map_size: int = MAP_SHAPE[0] * MAP_SHAPE[1] // 4
    place_count: int = len(PLACES)

    positions = (False, True)
    """Where the nozzle can be: lifted, lowered."""

    def film(self, lowered: bool) -> np.ndarray:
        """Return the film of each face [W/K]."""
        return self.faces.film_down if lowered else self.faces.film_up

    def shine(self, lowered: bool) -> np.ndarray:
        """Return the emitting area of each face [m^2]."""
        return self.faces.shine_down if lowered else self.faces.shine_up

    def gas(self, lowered: bool) -> np.ndarray:
        """Return the part of the film of each face that is to the nozzle gas [W/K]."""
        return self.faces.gas if lowered else np.zeros(self.faces.node.size)

    def on_nodes(self, values: np.ndarray) -> np.ndarray:
        """Sum values of the faces onto their nodes."""
        return np.bincount(self.faces.node, values, self.capacity.size)

    def conductance(self, lowered: bool) -> sparse.csc_array:
        """Return conduction, films and the straight part of radiation as one symmetric matrix [W/K]."""
        straight = STEFAN_BOLTZMANN * secant(self.bench.room) * self.shine(lowered)
        return (self.conduction + sparse.diags_array(self.on_nodes(self.film(lowered) + straight))).tocsc()

    def inputs(self, lowered: bool) -> np.ndarray:
        """Return the columns that gas [K], plate [K] and plate glow [K^4], all above room, heat the nodes by."""
        return np.column_stack(
            [
                self.on_nodes(self.gas(lowered)),
                self.on_nodes(self.faces.plate),
                STEFAN_BOLTZMANN * self.on_nodes(self.faces.glow),
            ]
        )


def secant(room: float) -> float:
    """Return the slope of T^4 between room and the temperature of linearisation [K^3]."""
    return (LINEARISED_AT**2 + room**2) * (LINEARISED_AT + room)


def remainder(above_room: np.ndarray, room: float) -> np.ndarray:
    """Return T^4 above room less its straight part [K^4]."""
    return (above_room + room) ** 4 - room**4 - secant(room) * above_room


def drives(gas: np.ndarray, plate: np.ndarray, room: float) -> np.ndarray:
    """Return the three inputs over time, one row for each time: gas [K], plate [K], plate glow [K^4]."""
    return np.column_stack([gas, plate, (plate + room) ** 4 - room**4])


def view_of_rectangle(x, y, length, width, gap):
    r"""Return the share of its view that a small face has filled by a parallel rectangle.

    .. math:: F = \frac{1}{2\pi} \sum \left[ \frac{a}{\sqrt{1+a^2}} \arctan\frac{b}{\sqrt{1+a^2}}
              + \frac{b}{\sqrt{1+b^2}} \arctan\frac{a}{\sqrt{1+b^2}} \right]

    with the sum over the four rectangles that meet under the face, sides over gap a and b, negative where the face
    lies outside. Exact for diffuse radiation.

    Parameters
    ----------
    x, y : float or array
        Place of the small face from the middle of the rectangle [m].
    length, width : float
        Sides of the rectangle, above zero [m].
    gap : float
        Distance between the planes, above zero [m].

    Returns
    -------
    float or array
        View factor from the small face to the rectangle, 0 to 1 [1].

    References
    ----------
    J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, plane element to parallel rectangle with
    its corner over the element; from memory, held by a test to direct integration.

    Examples
    --------
    A plate without end fills the whole view:

    >>> round(float(view_of_rectangle(0, 0, 1e3, 1e3, 0.01)), 4)
    1.0
    """
    x, y = checks.floats(x, y)
    checks.finite("x", x, "m")
    checks.finite("y", y, "m")
    for name, value in (("length", length), ("width", width), ("gap", gap)):
        checks.above(name, value, 0, "m")
    a = np.stack([(length / 2 - x) / gap, (length / 2 + x) / gap])[:, None]
    b = np.stack([(width / 2 - y) / gap, (width / 2 + y) / gap])[None, :]
    along, across = np.sqrt(1 + a * a), np.sqrt(1 + b * b)
    corner = a / along * np.arctan(b / along) + b / across * np.arctan(a / across)
    return corner.sum(axis=(0, 1)) / (2 * np.pi)


def widening_edges(inner: float, lines, cells: int, widening: float) -> np.ndarray:
    """Return cell edges from 0 [m]: equal up to inner, then wider in proportion to the way gone, through lines."""
    width, growth = inner / cells, np.log(widening)
    edges = [np.linspace(0, inner, cells + 1)]
    start = inner
    for line in lines:
        # Even steps of log(width + growth * way) are cells that each exceed the last by the same ratio.
        low, high = (np.log1p(growth * (x - inner) / width) / growth for x in (start, line))
        steps = np.linspace(low, high, int(np.ceil(high - low - 1e-9)) + 1)
        edges.append(inner + width * np.expm1(growth * steps[1:]) / growth)
        start = line
    return np.concatenate(edges)


@dataclass(frozen=True, eq=False)
class Stack:
    """A layered block, insulated all round: nodes in the middle of each cell and in and between the layers.

    ``capacity`` [J/K] is shaped (sheets of nodes, y cells, x cells); ``links`` are the two nodes each link joins and
    its conductance [W/K]; ``first`` is the number of the first node.
    """

    first: int
    x: np.ndarray
    y: np.ndarray
    area: np.ndarray
    capacity: np.ndarray
    links: tuple[np.ndarray, np.ndarray, np.ndarray]

    @property
    def last(self) -> int:
        """The number after the last node."""
        return self.first + self.capacity.size

    def sheet(self, k: int) -> np.ndarray:
        """Return the nodes of one sheet, from the bottom up."""
        count = self.area.size
        return self.first + k % self.capacity.shape[0] * count + np.arange(count)

    def read(self, k: int, x, y, size: int) -> sparse.csr_array:
        """Return the rows over all ``size`` nodes that read a sheet at points."""
        local = interpolation(np.atleast_1d(x), np.atleast_1d(y), self.x, self.y)
        return rows_over(local, self.sheet(k), size)


def stack(first: int, x_edges: np.ndarray, y_edges: np.ndarray, layers) -> Stack:
    """Return a stack of layers, from bottom to top.

    A layer is its thickness [m], its conductivities along and through the block [W/m/K] and its volumetric heat
    capacity [J/m^3/K].
    """
    dx, dy = np.diff(x_edges), np.diff(y_edges)
    area = dy[:, None] * dx
    thickness, along, through, heat = np.array(list(layers), float).T

    def on_sheets(per_layer):
        halves = np.pad(per_layer / 2, 1)
        return (halves[:-1] + halves[1:])[:, None, None]

    capacity = on_sheets(thickness * heat) * area
    node = first + np.arange(capacity.size).reshape(capacity.shape)
    x_link = on_sheets(thickness * along) * dy[:, None] * (2 / (dx[1:] + dx[:-1]))
    y_link = on_sheets(thickness * along) * dx * (2 / (dy[1:] + dy[:-1]))[:, None]
    z_link = (through / thickness)[:, None, None] * area
    links = (
        (node[:, :, :-1], node[:, :, 1:], x_link),
        (node[:, :-1], node[:, 1:], y_link),
        (node[:-1], node[1:], z_link),
    )
    joined_up = tuple(np.concatenate([link[k].ravel() for link in links]) for k in range(3))
    return Stack(first, middles(x_edges), middles(y_edges), area, capacity, joined_up)


def middles(edges: np.ndarray) -> np.ndarray:
    """Return the middles between edges."""
    return (edges[1:] + edges[:-1]) / 2


def rows_over(local: sparse.csr_array, nodes: np.ndarray, size: int) -> sparse.csr_array:
    """Return rows over some nodes as rows over all."""
    local = local.tocoo()
    return sparse.csr_array((local.data, (local.row, nodes[local.col])), shape=(local.shape[0], size))


def joined(size: int, one: np.ndarray, other: np.ndarray, conductance: np.ndarray) -> sparse.csr_array:
    """Return the symmetric matrix whose product with temperatures is the heat that leaves each node [W/K]."""
    rows = np.concatenate([one, other, one, other])
    columns = np.concatenate([one, other, other, one])
    values = np.concatenate([conductance, conductance, -conductance, -conductance])
    return sparse.csr_array((values, (rows, columns)), shape=(size, size))


def interpolation(x, y, x_centres, y_centres) -> sparse.csr_array:
    """Return the rows that read a cell field at points, straight between the cell centres and level beyond them."""
    x_low, x_share = _between(x, x_centres)
    y_low, y_share = _between(y, y_centres)
    rows, columns, values = [], [], []
    for up, y_weight in ((0, 1 - y_share), (1, y_share)):
        for right, x_weight in ((0, 1 - x_share), (1, x_share)):
            rows.append(np.arange(x_low.size))
            columns.append((y_low + up) * x_centres.size + x_low + right)
            values.append(x_weight * y_weight)
    shape = (x_low.size, x_centres.size * y_centres.size)
    return sparse.csr_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=shape)


def _between(points, centres):
    """Return which centres points lie behind, and how far on to the next."""
    low = np.clip(np.searchsorted(centres, points) - 1, 0, centres.size - 2)
    share = (points - centres[low]) / (centres[low + 1] - centres[low])
    return low, np.clip(share, 0, 1)


def overlap(edges, low, high):
    """Return the length of each cell that lies between low and high [m]."""
    return np.clip(np.minimum(edges[1:], high) - np.maximum(edges[:-1], low), 0, None)


def assemble(bench: Bench, mesh: Mesh) -> Volumes:
    """Return the finite volumes of a bench."""
    half, side = bench.package_side / 2, bench.neighbour_side
    neighbour_x = half + np.array(list(NEIGHBOURS.values()))
    # Cell edges on the neighbours' own: a cell half covered would read the board beside the part.
    lines = [*np.add.outer(neighbour_x, (-side / 2, side / 2)).ravel(), bench.length / 2]
    x_edges = widening_edges(half, lines, mesh.across_package, mesh.widening)
    y_edges = widening_edges(half, [bench.width / 2], mesh.across_package, mesh.widening)
    inner = slice(mesh.across_package + 1)

    board = stack(0, x_edges, y_edges, board_layers(bench, mesh))
    footprint = np.outer(np.diff(y_edges[inner]), np.diff(x_edges[inner]))
    joint_share = footprint / footprint.sum()
    solder = bench.solder_mass / 4 * joint_share  # a quarter of the package stands on the quarter board
    nothing = (np.zeros(0, int), np.zeros(0, int), np.zeros(0))
    joint = Stack(
        board.last,
        middles(x_edges[inner]),
        middles(y_edges[inner]),
        footprint,
        bench.solder_specific_heat * solder[None],
        nothing,
    )
    package = stack(joint.last, x_edges[inner], y_edges[inner], package_layers(bench, mesh))
    neighbour = package.last + np.arange(len(NEIGHBOURS))
    size = package.last + neighbour.size

    on_package = np.zeros(board.area.shape, bool)
    on_package[: mesh.across_package, : mesh.across_package] = True
    half_joint = 2 * bench.joint_film * footprint.ravel()
    links = [
        board.links,
        package.links,
        (board.sheet(-1)[on_package.ravel()], joint.sheet(0), half_joint),
        (joint.sheet(0), package.sheet(0), half_joint),
    ]
    covered = np.where(on_package, board.area, 0)
    for node, x in zip(neighbour, neighbour_x, strict=True):
        shadow = np.outer(overlap(y_edges, 0, side / 2), overlap(x_edges, x - side / 2, x + side / 2))
        covered = covered + shadow
        under = np.flatnonzero(shadow)
        links.append((board.sheet(-1)[under], np.full(under.size, node), bench.neighbour_film * shadow.flat[under]))
    half_neighbour = np.full(neighbour.size, side * side / 2)  # the other half lies in the mirrored quarter

    board_x, board_y = grid(board.x, board.y).T
    joint_x, joint_y = grid(joint.x, joint.y).T
    faces = _faces(
        bench,
        {
            "board top": (board.sheet(-1), board_x, board_y, (board.area - covered).ravel()),
            "board bottom": (board.sheet(0), board_x, board_y, board.area.ravel()),
            "package top": (package.sheet(-1), joint_x, joint_y, footprint.ravel()),
        }
        | {
            name: (neighbour[[k]], neighbour_x[[k]], np.zeros(1), half_neighbour[[k]])
            for k, name in enumerate(NEIGHBOURS)
        },
    )

    span = (bench.joints_per_side - 1) / 2 * bench.joint_pitch
    joint_positions = grid(np.linspace(0, span, JOINT_SAMPLE), np.linspace(0, span, JOINT_SAMPLE))
    neighbour_capacity = bench.neighbour_heat_capacity * bench.neighbour_height * half_neighbour
    return Volumes(
        bench=bench,
        capacity=np.concatenate(
            [board.capacity.ravel(), joint.capacity.ravel(), package.capacity.ravel(), neighbour_capacity]
        ),
        conduction=joined(size, *(np.concatenate(part) for part in zip(*links, strict=True))),
        faces=faces,
        joints=joint.sheet(0),
        joint_x=joint_x,
        joint_y=joint_y,
        latent=bench.solder_latent_heat * solder.ravel(),
        readings=sparse.vstack(
            [
                package.read(-1, 0, 0, size),
                joint.read(0, [0, span, span], [0, span, 0], size),
                board.read(0, 0, 0, size),
                rows_over(sparse.eye_array(neighbour.size), neighbour, size),
                joint.read(0, *joint_positions.T, size),
                board.read(-1, *_map_fields(bench).T, size),
            ]
        ).tocsr(),
        joint_positions=joint_positions,
    )


def grid(x, y):
    """Return the points of a grid, row by row."""
    return np.column_stack([np.tile(x, y.size), np.repeat(y, x.size)])


def _map_fields(bench):
    """Return the middles of the fields of the quarter map [m]."""
    rows, columns = MAP_SHAPE
    x = (np.arange(columns // 2) + 0.5) * bench.length / columns
    y = (np.arange(rows // 2) + 0.5) * bench.width / rows
    return grid(x, y)


def board_layers(bench: Bench, mesh: Mesh):
    """Return the layers of the board."""
    return _cut(mesh.board, bench.thickness, bench.conductivity_along, bench.conductivity_through, bench.heat_capacity)


def package_layers(bench: Bench, mesh: Mesh):
    """Return the layers of substrate and body."""
    substrate = _cut(
        mesh.substrate,
        bench.substrate_thickness,
        bench.substrate_conductivity_along,
        bench.substrate_conductivity_through,
        bench.package_heat_capacity,
    )
    return substrate + _cut(
        mesh.body, bench.body_thickness, bench.body_conductivity, bench.body_conductivity, bench.package_heat_capacity
    )


def _cut(count, thickness, *properties):
    """Return a layer cut into equal ones."""
    return [(thickness / count, *properties)] * count


def _faces(bench, sheets):
    """Return the faces of sheets, each given by its nodes, their places and their open areas."""
    name = np.concatenate([np.full(node.size, SHEETS.index(sheet)) for sheet, (node, *_) in sheets.items()])
    return dressed(bench, name, *(np.concatenate(part) for part in zip(*sheets.values(), strict=True)))


def dressed(bench: Bench, name, node, x, y, area) -> Faces:
    """Return faces of given sheets, nodes, places and open areas with the films and the radiation of a bench."""
    is_bottom, is_package = name == SHEETS.index("board bottom"), name == SHEETS.index("package top")
    half = bench.package_side / 2
    away = np.hypot(np.clip(np.abs(x) - half, 0, None), np.clip(np.abs(y) - half, 0, None))
    spill = np.where(is_bottom, 0.0, bench.spill_film * np.exp(-away / bench.spill_reach))
    view = np.where(is_bottom, view_of_rectangle(x, y, bench.plate_length, bench.plate_width, bench.plate_gap), 0.0)
    # Between board and plate both are grey; towards the room only the board's own emissivity counts.
    pair = 1 / (1 / bench.emissivity + 1 / bench.plate_emissivity - 1)
    shine = area * (view * pair + (1 - view) * bench.emissivity)
    film_up = area * np.where(is_bottom, bench.bottom_film, bench.top_film)
    gas = area * np.where(is_package, bench.nozzle_film, spill)
    return Faces(
        node=node,
        x=x,
        y=y,
        sheet=name,
        area=area,
        film_up=film_up,
        film_down=np.where(is_package, gas, film_up + gas),
        gas=gas,
        plate=area * bench.bottom_film * bench.plate_gas_share * view,
        glow=area * view * pair,
        shine_up=shine,
        # The lowered nozzle hides the package from the room and is about as hot as its gas.
        shine_down=np.where(is_package, 0.0, shine),
    )


def simulate(
    bench: Bench, programme: Programme, time_step: float = 1.0, melting: bool = False, mesh: Mesh = USUAL_MESH
) -> Traces:
    """Return the temperatures of a programme by the full finite volumes.

    Second-order backward differences in time; the remainder of T^4 is carried forward explicitly, the latent heat
    is solved for at each step. Slow: the measure of the quick model.

    Parameters
    ----------
    bench : Bench
        What stands on the bench.
    programme : Programme
        Set points over time.
    time_step : float
        Above zero; the nozzle moves on whole steps [s].
    melting : bool
        Whether the solder takes up its latent heat.
    mesh : Mesh
        How finely the board is cut.

    Returns
    -------
    Traces
        Temperatures over time [°C].

    References
    ----------
    Finite volumes with nodes in the surfaces and BDF2 are textbook methods; the parameters are those of ``bench``.

    Examples
    --------
    With both heaters off nothing happens:

    >>> record = simulate(Bench(), Programme(duration=10.0), mesh=Mesh(4, 1, 1, 1))
    >>> float(record.hottest_joint_c.max())
    25.0
    """
    checks.above("time_step", time_step, 0, "s")
    volumes = assemble(bench, mesh)
    return record(volumes, programme, time_step, march(volumes, programme, time_step, melting))


def march(volumes: Volumes, programme: Programme, time_step: float, melting: bool):
    """Yield the temperatures above room of all nodes at each time of the programme [K]."""
    bench, faces, joints = volumes.bench, volumes.faces, volumes.joints
    drive = drives(*programme.heaters(bench, time_step), bench.room)
    stored = volumes.capacity / time_step
    prepared = {}
    before = now = np.zeros(volumes.capacity.size)
    liquid = np.zeros(joints.size)
    was_lowered = None
    yield now
    for step, lowered in enumerate(programme.lowered(time_step), start=1):
        # Where the nozzle has just moved the past is no guide: one step of first order, then second order again.
        moved, was_lowered = lowered != was_lowered, lowered
        if (lowered, moved) not in prepared:
            prepared[lowered, moved] = Step(volumes, lowered, 1.0 if moved else 1.5, time_step, melting)
        one = prepared[lowered, moved]
        heat = stored * (now if moved else 2 * now - before / 2) + one.inputs @ drive[step]
        extra = remainder((2 * now - before)[faces.node], bench.room)
        heat -= volumes.on_nodes(STEFAN_BOLTZMANN * one.shine * extra)
        after = one.solver.solve(heat)
        if melting:
            to_solidus = after[joints] - (bench.solder_solidus_c - bench.room_c)
            if to_solidus.max() > 0 or liquid.any():
                more = melt(to_solidus, one.response, liquid, bench.solder_liquidus_c - bench.solder_solidus_c)
                taken = np.zeros(now.size)
                taken[joints] = volumes.latent * (more - liquid) / time_step
                after, liquid = after - one.solver.solve(taken), more
        before, now = now, after
        yield now


class Step:
    """One implicit time step of the volumes with the nozzle lifted or lowered, prepared once."""

    def __init__(self, volumes: Volumes, lowered: bool, weight: float, time_step: float, melting: bool):
        matrix = volumes.conductance(lowered) + sparse.diags_array(weight / time_step * volumes.capacity)
        self.solver = factorised(matrix)
        self.inputs, self.shine = volumes.inputs(lowered), volumes.shine(lowered)
        if melting:
            # How far each joint (row) cools when another (column) melts whole within the step.
            unit = np.zeros((volumes.capacity.size, volumes.joints.size))
            unit[volumes.joints, np.arange(volumes.joints.size)] = volumes.latent / time_step
            self.response = self.solver.solve(unit)[volumes.joints]


def factorised(matrix):
    """Return a symmetric sparse matrix ready to be solved."""
    return splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})


def record(volumes: Volumes, programme: Programme, time_step: float, states) -> Traces:
    """Return the traces of a sequence of states."""
    read = np.array([volumes.readings @ state for state in states])
    named = read.shape[1] - volumes.map_size
    return traces(
        volumes.bench,
        programme,
        time_step,
        volumes.joint_positions,
        read[:, :named],
        read[:, named:],
        sparse.eye_array(volumes.map_size, format="csr"),
    )


def traces(bench, programme, time_step, joint_positions, readings, map_states, map_matrix) -> Traces:
    """Return traces from the readings above room of places and joints, and what the map is made from."""
    gas, plate = programme.heaters(bench, time_step)
    celsius = readings + bench.room_c
    return Traces(
        time=programme.times(time_step),
        temperature_c={place: celsius[:, k] for k, place in enumerate(PLACES)},
        joints_c=celsius[:, len(PLACES) :],
        joint_positions=joint_positions,
        solidus_c=bench.solder_solidus_c,
        liquidus_c=bench.solder_liquidus_c,
        gas_c=gas + bench.room_c,
        plate_c=plate + bench.room_c,
        lowered=programme.lowered(time_step),
        map_states=map_states,
        map_matrix=map_matrix,
        room_c=bench.room_c,
    )
