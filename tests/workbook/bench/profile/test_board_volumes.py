"""The finite volumes are held to exact solutions, to an independent integrator and to their own energy balance."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, sparse, special
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.sparse.linalg import spsolve

from workbook.bench.profile.board_station import MEDIUM, NEIGHBOURS, PLACES, STEFAN_BOLTZMANN, Programme
from workbook.bench.profile.board_volumes import (
    SHEETS,
    Mesh,
    assemble,
    drives,
    interpolation,
    joined,
    march,
    middles,
    simulate,
    stack,
    view_of_rectangle,
    widening_edges,
)

COARSE = Mesh(4, 2, 1, 1)
BOTH = Programme.from_choices(345, 270)
TOP_ONLY = Programme(top_gas_c=((0, 100), (120, 400)), lift_off=200, duration=260)


# The view of the plate


@pytest.mark.parametrize("place", [(0.0, 0.0), (0.06, 0.02), (0.14, 0.09), (0.20, 0.0)])
def test_the_view_factor_of_the_plate_is_the_integral_over_it(place):
    length, width, gap = 0.28, 0.18, 0.02

    def share(v, u):
        return gap**2 / (np.pi * ((u - place[0]) ** 2 + (v - place[1]) ** 2 + gap**2) ** 2)

    edges_u = np.unique(np.clip([-length / 2, place[0], length / 2], -length / 2, length / 2))
    edges_v = np.unique(np.clip([-width / 2, place[1], width / 2], -width / 2, width / 2))
    direct = sum(
        integrate.dblquad(share, u0, u1, v0, v1, epsabs=1e-10)[0]
        for u0, u1 in zip(edges_u[:-1], edges_u[1:], strict=True)
        for v0, v1 in zip(edges_v[:-1], edges_v[1:], strict=True)
    )
    assert view_of_rectangle(*place, length, width, gap) == pytest.approx(direct, abs=1e-7)


def test_a_face_over_the_rim_of_the_plate_sees_half_of_it():
    assert view_of_rectangle(0.5, 0.0, 1.0, 10.0, 1e-3) == pytest.approx(0.5, abs=1e-3)


# Cells


def test_cells_are_equal_as_far_as_asked_then_widen_by_one_ratio_at_most_and_have_edges_on_each_line():
    edges = widening_edges(0.02, [0.05, 0.10], 8, 1.3)
    widths = np.diff(edges)
    assert widths[:8] == pytest.approx(0.02 / 8, rel=1e-9)
    ratios = widths[8:] / widths[7:-1]
    assert ratios.min() > 1
    assert ratios.max() < 1.3
    assert ratios[1:5] == pytest.approx(ratios[1], rel=1e-9)
    assert {0.02, 0.05, 0.10} <= set(edges.round(12))


# Conduction against exact solutions


def slab(biot, fourier, x, terms=30):
    """Return how much of its start a slab still has at x, cooled by a film at x = 1 and insulated at x = 0."""
    total = 0.0
    for n in range(terms):
        root = brentq(lambda z: z * np.tan(z) - biot, n * np.pi + 1e-9, (n + 0.5) * np.pi - 1e-9)
        weight = 4 * np.sin(root) / (2 * root + np.sin(2 * root))
        total += weight * np.exp(-(root**2) * fourier) * np.cos(root * x)
    return total


def column_centre(biot, fourier, layers):
    """Return the same by finite volumes that are exact in time: thickness, conductivity and heat capacity are 1."""
    block = stack(0, np.array([0.0, 1.0]), np.array([0.0, 1.0]), [(1 / layers, 1.0, 1.0, 1.0)] * layers)
    matrix = joined(block.last, *block.links).toarray()
    matrix[-1, -1] += biot
    root = np.sqrt(block.capacity.ravel())
    decay, modes = np.linalg.eigh(matrix / np.outer(root, root))
    return (modes @ (np.exp(-decay * fourier) * (modes.T @ root)) / root)[0]


def test_layers_approach_the_slab_series_with_the_square_of_their_thickness():
    exact = slab(4.0, 0.13, 0.0)
    errors = np.array([abs(column_centre(4.0, 0.13, layers) - exact) for layers in (4, 8, 16, 32)])
    orders = np.log2(errors[:-1] / errors[1:])
    assert errors[-1] < 1e-3
    np.testing.assert_allclose(orders, 2.0, atol=0.15)


def test_layers_know_what_one_lump_does_not():
    # Bi 0.3, hardly lumped: the one lump is off by more than 5 % of the start, eight layers by less than 0.1 %.
    exact = slab(0.3, 2.0, 0.0)
    assert abs(column_centre(0.3, 2.0, 8) - exact) < 1e-3
    assert abs(np.exp(-0.3 * 2.0) - exact) > 0.05


def test_a_slab_of_small_biot_number_cools_as_one_lump():
    assert column_centre(0.01, 100.0, 8) == pytest.approx(np.exp(-0.01 * 100.0), abs=5e-3)


def test_stretched_cells_approach_a_made_up_solution_with_the_square_of_their_width():
    # T = cos(pi x) cos(2 pi y) cos(pi z): no flux through any face, so the insulated block is exact for its source.
    def error(cells):
        x_edges = widening_edges(0.25, [0.5, 1.0], cells, 1.2 ** (4 / cells))
        y_edges = np.linspace(0, 1, 4 * cells + 1)
        block = stack(0, x_edges, y_edges, [(1 / (2 * cells), 2.0, 0.5, 1.0)] * (2 * cells))
        z = np.linspace(0, 1, 2 * cells + 1)[:, None, None]
        exact = np.cos(np.pi * z) * np.cos(2 * np.pi * block.y)[:, None] * np.cos(np.pi * block.x)
        source = (2.0 * (1 + 4) + 0.5) * np.pi**2 * exact * block.capacity
        matrix = joined(block.last, *block.links).tolil()
        matrix[0, 0] += 1  # the level is free: pin one node, then compare without the mean
        found = spsolve(matrix.tocsc(), source.ravel() - source.mean()).reshape(exact.shape)
        off = found - exact - np.average(found - exact, weights=block.capacity)
        return np.sqrt(np.average(off**2, weights=block.capacity))

    errors = np.array([error(cells) for cells in (2, 4, 8)])
    np.testing.assert_allclose(np.log2(errors[:-1] / errors[1:]), 2.0, atol=0.15)


def test_the_board_around_a_hot_disc_carries_off_what_the_bessel_functions_say():
    # Fin of k 20 W/m/K and 1.6 mm, 24 W/m2/K in all, disc of 17.5 mm: 2 pi r k t m K1(mr)/K0(mr) = 0.1755 W/K.
    conductivity, thickness, film, radius = 20.0, 1.6e-3, 24.0, 17.5e-3
    fin = np.sqrt(film / (conductivity * thickness))
    rim = fin * radius
    exact = 2 * np.pi * rim * conductivity * thickness * special.k1(rim) / special.k0(rim)
    assert exact == pytest.approx(0.17552, rel=1e-4)

    edges = widening_edges(0.030, [0.30], 60, 1.1)
    plate = stack(0, edges, edges, [(thickness, conductivity, 1.0, 1.0)])
    area = np.tile(plate.area.ravel() / 2, 2)
    inside = np.tile(_share_inside(edges, radius).ravel(), 2)
    matrix = joined(plate.last, *plate.links).tocsc()
    matrix.setdiag(matrix.diagonal() + film * area)
    rise = spsolve(matrix, 1e4 * area * inside)
    angle = np.linspace(0, np.pi / 2, 200)
    rim_rise = (
        interpolation(radius * np.cos(angle), radius * np.sin(angle), plate.x, plate.y) @ rise[plate.sheet(0)]
    ).mean()
    carried = 4 * film * (area * (1 - inside) * rise).sum()
    assert carried / rim_rise == pytest.approx(exact, rel=0.01)


def _share_inside(edges, radius, points=20):
    """Return the share of each cell of a square grid that lies inside a circle about the origin."""
    fine = np.concatenate(
        [a + (b - a) * (np.arange(points) + 0.5) / points for a, b in zip(edges[:-1], edges[1:], strict=True)]
    )
    hits = (fine[:, None] ** 2 + fine**2 < radius**2).reshape(edges.size - 1, points, edges.size - 1, points)
    return hits.mean(axis=(1, 3))


# What the parts add up to


def test_the_quarter_board_holds_a_quarter_of_all_heat_capacity_and_latent_heat():
    volumes = assemble(MEDIUM, COARSE)
    balls = 31**2 * np.pi / 6 * 0.6e-3**3 * 7380
    laminate = 0.300 * 0.200 * 1.6e-3 * 1.9e6
    package = 0.035**2 * 2.2e-3 * 2.0e6
    neighbours = 4 * 0.006**2 * 1.5e-3 * 2.0e6
    assert 4 * volumes.capacity.sum() == pytest.approx(laminate + package + neighbours + balls * 220, rel=1e-12)
    assert 4 * volumes.latent.sum() == pytest.approx(balls * 61e3, rel=1e-12)
    assert balls == pytest.approx(0.80e-3, abs=0.005e-3)


def test_every_face_of_board_and_parts_is_open_once():
    faces = assemble(replace(MEDIUM, top_film=1.0, bottom_film=1.0), COARSE).faces
    tops_and_bottom = 2 * 0.300 * 0.200  # what a part covers of the board it shows on its own top
    assert 4 * faces.film_up.sum() == pytest.approx(tops_and_bottom, rel=1e-12)


def test_parts_one_kelvin_hotter_than_the_board_lose_through_their_joints_what_the_joint_films_say():
    volumes = assemble(MEDIUM, COARSE)
    rise = np.zeros(volumes.capacity.size)
    rise[volumes.joints], rise[volumes.joints[-1] + 1 :] = 0.5, 1.0  # the joints half-way, package and neighbours above
    lost = volumes.conduction @ rise
    near, far = lost[-2:]
    assert 4 * lost[volumes.joints[-1] + 1 : -2].sum() == pytest.approx(5000 * 0.035**2, rel=1e-9)
    assert [2 * near, 2 * far] == pytest.approx([3000 * 0.006**2] * 2, rel=1e-9)
    assert lost.sum() == pytest.approx(0, abs=1e-12)


def test_the_spilling_gas_finds_the_film_of_the_closed_form():
    # Around a square: four strips of length 2a and four quarter circles, each weighted with exp(-distance/reach).
    volumes = assemble(replace(MEDIUM, neighbour_side=1e-4), Mesh(20, 1, 1, 1, 1.05))
    reach, side = MEDIUM.spill_reach, MEDIUM.package_side
    on_board = volumes.faces.sheet == 0
    exact = MEDIUM.spill_film * (4 * side * reach + 2 * np.pi * reach**2)
    assert 4 * volumes.faces.gas[on_board].sum() == pytest.approx(exact, rel=0.005)


# A plate so wide and near that the board sees nothing else, and a board that conducts through at once.
WIDE_PLATE = replace(
    MEDIUM,
    plate_length=50.0,
    plate_width=50.0,
    conductivity_through=1e3,
    joint_film=1e6,
    substrate_conductivity_through=1e3,
    body_conductivity=1e3,
    neighbour_film=1e6,
)
PLATE_AT_300_C = Programme(((0, 300),), duration=6000)


def test_with_radiation_alone_the_board_settles_where_it_shines_as_much_as_it_is_given():
    board = replace(WIDE_PLATE, top_film=1e-9, bottom_film=1e-9)
    pair = 1 / (1 / 0.9 + 1 / 0.8 - 1)
    room, plate = 298.15, 573.15
    settled = ((pair * plate**4 + 0.9 * room**4) / (pair + 0.9)) ** 0.25 - 273.15
    found = simulate(board, PLATE_AT_300_C, 20.0, mesh=COARSE)
    for place in PLACES:
        assert found.temperature_c[place][-1] == pytest.approx(settled, abs=0.1), place


def test_with_films_alone_the_board_settles_between_the_gas_below_and_the_room_above():
    board = replace(WIDE_PLATE, emissivity=1e-9, top_film=12.0, bottom_film=8.0)
    settled = 25 + 8.0 * 0.6 * (300 - 25) / (8.0 + 12.0)
    found = simulate(board, PLATE_AT_300_C, 20.0, mesh=COARSE)
    for place in PLACES:
        assert found.temperature_c[place][-1] == pytest.approx(settled, abs=0.1), place


def test_a_package_that_touches_no_board_takes_the_temperature_of_the_gas():
    board = replace(MEDIUM, joint_film=1e-6)
    found = simulate(board, Programme((), ((0, 300),), lift_off=900, duration=900), 5.0, mesh=COARSE)
    assert found.temperature_c["package top"][-1] == pytest.approx(300, abs=0.01)


# Time, radiation and energy


def whole_truth(volumes, programme, lowered, span, start):
    """Return the states of the unsplit equations by an adaptive stiff integrator."""
    bench, faces = volumes.bench, volumes.faces
    times = programme.times(1.0)
    gas, plate = programme.heaters(bench, 1.0)

    def flow(time, above_room):
        now = drives(np.interp([time], times, gas), np.interp([time], times, plate), bench.room)[0]
        bare = above_room[faces.node]
        emitted = STEFAN_BOLTZMANN * volumes.shine(lowered) * ((bare + bench.room) ** 4 - bench.room**4)
        lost = volumes.on_nodes(volumes.film(lowered) * bare + emitted)
        return (volumes.inputs(lowered) @ now - volumes.conduction @ above_room - lost) / volumes.capacity

    return solve_ivp(
        flow,
        span,
        start,
        method="BDF",
        rtol=1e-6,
        atol=1e-4,
        max_step=10.0,
        jac=-sparse.diags_array(1 / volumes.capacity) @ volumes.conductance(lowered),
    ).y[:, -1]


def test_splitting_radiation_changes_nothing_an_independent_integrator_can_see():
    volumes = assemble(MEDIUM, Mesh(3, 1, 1, 1))
    programme = Programme(((0, 25), (60, 360)), ((100, 150), (160, 300)), lift_off=200, duration=240)
    state = np.zeros(volumes.capacity.size)
    for lowered, span in ((False, (0, 100)), (True, (100, 200)), (False, (200, 240))):
        state = whole_truth(volumes, programme, lowered, span, state)
    *_, last = march(volumes, programme, 1.0, melting=False)
    assert state.max() > 150
    np.testing.assert_allclose(last, state, atol=0.15)


def test_halving_the_time_step_quarters_the_error():
    truth = simulate(MEDIUM, TOP_ONLY, 0.125, mesh=COARSE).temperature_c
    errors = []
    for time_step in (4.0, 2.0, 1.0):
        found = simulate(MEDIUM, TOP_ONLY, time_step, mesh=COARSE).temperature_c
        at = slice(int(180 / time_step), int(196 / time_step), int(4 / time_step))
        same = slice(int(180 / 0.125), int(196 / 0.125), int(4 / 0.125))
        errors.append(np.mean([np.abs(found[place][at] - truth[place][same]).mean() for place in PLACES]))
    assert errors[-1] < 0.05
    assert np.all(np.log2(np.array(errors[:-1]) / errors[1:]) > 1.5)


def balance(volumes, programme, time_step, melting):
    """Return over time the heat come in through the faces and the heat stored, and all that went to and fro [J]."""
    faces, bench = volumes.faces, volumes.bench
    states = np.array(list(march(volumes, programme, time_step, melting)))
    drive = drives(*programme.heaters(bench, time_step), bench.room)
    bare = states[:, faces.node]
    emitted = STEFAN_BOLTZMANN * ((bare + bench.room) ** 4 - bench.room**4)
    gained, lost = {}, {}
    for lowered in (False, True):
        gained[lowered] = drive @ volumes.inputs(lowered).sum(axis=0)
        lost[lowered] = bare @ volumes.film(lowered) + emitted @ volumes.shine(lowered)

    def summed(flow):
        moves = enumerate(programme.lowered(time_step))
        steps = [(flow[lowered][k] + flow[lowered][k + 1]) / 2 for k, lowered in moves]
        return np.concatenate([[0], np.cumsum(steps)]) * time_step

    stored = states @ volumes.capacity
    if melting:
        celsius = states[:, volumes.joints] + bench.room_c
        liquid = np.clip((celsius - bench.solder_solidus_c) / (bench.solder_liquidus_c - bench.solder_solidus_c), 0, 1)
        stored = stored + liquid @ volumes.latent
    return summed(gained) - summed(lost), stored, summed(gained)[-1] + summed(lost)[-1]


@pytest.mark.parametrize("programme", [BOTH, TOP_ONLY])
def test_all_heat_that_comes_in_through_the_faces_is_stored(programme):
    come, stored, turned_over = balance(assemble(MEDIUM, COARSE), programme, 0.5, melting=False)
    np.testing.assert_allclose(stored, come, atol=5e-4 * turned_over)


@pytest.mark.parametrize("programme", [BOTH, TOP_ONLY])
def test_the_heat_missing_while_solder_is_liquid_is_its_latent_heat(programme):
    # The two runs err alike, so their difference is far sharper than either: 12 J melt all joints of the quarter.
    volumes = assemble(MEDIUM, COARSE)
    (dry_come, dry_stored, _), (wet_come, wet_stored, _) = (
        balance(volumes, programme, 0.5, melting) for melting in (False, True)
    )
    np.testing.assert_allclose(wet_stored - dry_stored, wet_come - dry_come, atol=0.06 * volumes.latent.sum())


def test_a_board_at_room_temperature_under_idle_heaters_stays_there():
    for temperatures in simulate(MEDIUM, Programme(), mesh=COARSE).temperature_c.values():
        np.testing.assert_array_equal(temperatures, MEDIUM.room_c)


def test_a_board_between_heaters_at_one_temperature_gets_no_hotter_than_they_are():
    programme = Programme(((0, 200),), ((0, 200),), lift_off=2000, duration=2000)
    hot = simulate(MEDIUM, programme, 5.0, mesh=COARSE)
    assert max(temperatures.max() for temperatures in hot.temperature_c.values()) < 200
    assert hot.temperature_c["package top"][-1] > 150


def test_without_conduction_along_it_the_far_board_does_not_feel_the_nozzle():
    board = replace(MEDIUM, conductivity_along=1e-6, spill_film=0.0)
    assert simulate(board, TOP_ONLY, mesh=COARSE).temperature_c["neighbour at 40 mm"].max() < 25.01


def test_middles_lie_between_edges():
    np.testing.assert_array_equal(middles(np.array([0.0, 1.0, 4.0])), [0.5, 2.5])


@pytest.mark.slow
@pytest.mark.parametrize("programme", [BOTH, TOP_ONLY])
def test_a_mesh_of_four_times_the_cells_moves_no_peak_by_half_a_kelvin(programme):
    usual = simulate(MEDIUM, programme).temperature_c
    finer = simulate(MEDIUM, programme, mesh=Mesh(18, 6, 3, 3, 1.2)).temperature_c
    for place in PLACES:
        assert usual[place].max() == pytest.approx(finer[place].max(), abs=0.5), place


def test_a_cell_lies_wholly_under_a_neighbour_part_or_beside_it_along_the_board():
    """So that no cell reads half the board and half the part: across, the first row is wider than half a part."""
    faces = assemble(MEDIUM, COARSE).faces
    top, bottom = (faces.sheet == SHEETS.index(name) for name in ("board top", "board bottom"))
    first_row = faces.y[top] == faces.y[top].min()
    x, left_open = faces.x[top][first_row], (faces.area[top] / faces.area[bottom])[first_row]
    half = MEDIUM.package_side / 2
    row = half / COARSE.across_package
    middles_of_parts = half + np.array(list(NEIGHBOURS.values()))
    under = (np.abs(x[:, None] - middles_of_parts) < MEDIUM.neighbour_side / 2).any(axis=1)
    assert under.any()
    assert left_open[x < half] == pytest.approx(0)
    assert left_open[under] == pytest.approx(1 - MEDIUM.neighbour_side / 2 / row)
    assert left_open[(x > half) & ~under] == pytest.approx(1)


def test_the_joints_read_are_joints_of_the_array_from_its_middle_to_its_corner():
    """Of 31 joints along a side the middle one is the sixteenth: each lies whole pitches away from it."""
    pitches = assemble(MEDIUM, COARSE).joint_positions / MEDIUM.joint_pitch
    assert pitches == pytest.approx(pitches.round(), abs=1e-9)
    assert {(0, 0), (0, 15), (15, 0), (15, 15)} <= {(int(x), int(y)) for x, y in pitches.round()}


@pytest.mark.parametrize(
    ("taken", "refused"),
    [
        ({"across_package": 2}, {"across_package": 1}),
        ({"board": 1}, {"board": 0}),
        ({"substrate": 1}, {"substrate": 0}),
        ({"body": 1}, {"body": 0}),
        ({"widening": 1.01}, {"widening": 1.0}),
        ({"widening": 2.0}, {"widening": 2.01}),
    ],
)
def test_a_mesh_has_cells_and_layers_and_widens_by_a_hundredth_to_the_double(taken, refused):
    assert Mesh(**taken)
    with pytest.raises(ValueError, match=f"{next(iter(refused))} must be"):
        Mesh(**refused)


@pytest.mark.parametrize(
    "odd", [(0, 0, 0, 1, 1), (0, 0, 1, 0, 1), (0, 0, 1, 1, 0), (np.nan, 0, 1, 1, 1), (0, np.inf, 1, 1, 1)]
)
def test_a_view_is_of_a_rectangle_with_sides_from_a_place_at_a_distance(odd):
    assert 0 < view_of_rectangle(0, 0, 1e-6, 1e-6, 1e-6) < 1
    with pytest.raises(ValueError, match="must be"):
        view_of_rectangle(*odd)


def test_a_straight_field_is_read_exactly_between_the_middles_of_cells_and_level_beyond_them():
    x, y = np.array([1.0, 2.0, 4.0]), np.array([0.0, 3.0])
    field = (10 * x + y[:, None]).ravel()
    at_x, at_y = np.array([1.0, 1.5, 3.0, 4.0, 0.0, 9.0]), np.array([0.0, 1.0, 3.0, 2.0, -1.0, 9.0])
    read = interpolation(at_x, at_y, x, y) @ field
    assert read == pytest.approx(10 * np.clip(at_x, 1, 4) + np.clip(at_y, 0, 3))


def test_without_being_told_the_volumes_march_by_seconds_and_leave_latent_heat_out():
    hot = Programme(((0, 25), (30, 500)), ((60, 300), (70, 450)), lift_off=110, duration=110)
    usual = simulate(MEDIUM, hot, mesh=Mesh(2, 1, 1, 1))
    dry, wet = (simulate(MEDIUM, hot, 1.0, melting, Mesh(2, 1, 1, 1)) for melting in (False, True))
    assert wet.joints_c.max() > 220
    assert np.array_equal(usual.joints_c, dry.joints_c)
    assert not np.array_equal(wet.joints_c, dry.joints_c)


def field_on(volumes, nodes, x, y):
    """Return what lies on some nodes and rises straight along and across, nothing on all others."""
    field = np.zeros(volumes.capacity.size)
    field[nodes] = 3 + 100 * x + 2000 * y
    return field


def at(x, y, x_centres, y_centres):
    """Return the same at points, level beyond the outermost cell centres."""
    return 3 + 100 * np.clip(x, x_centres.min(), x_centres.max()) + 2000 * np.clip(y, y_centres.min(), y_centres.max())


def test_places_joints_and_map_are_read_where_they_are_said_to_be():
    volumes = assemble(MEDIUM, COARSE)
    faces, count, fields = volumes.faces, len(PLACES), volumes.map_size
    read = volumes.readings.toarray()
    joint_x, joint_y = volumes.joint_x, volumes.joint_y
    on_joints = field_on(volumes, volumes.joints, joint_x, joint_y)
    span = 15 * MEDIUM.joint_pitch
    corner, edge = np.array([0.0, span, span]), np.array([0.0, span, 0.0])
    assert read[1:4] @ on_joints == pytest.approx(at(corner, edge, joint_x, joint_y))
    assert read[count:-fields] @ on_joints == pytest.approx(at(*volumes.joint_positions.T, joint_x, joint_y))
    for sheet, rows in (("package top", read[:1]), ("board bottom", read[4:5])):
        here = faces.sheet == SHEETS.index(sheet)
        x, y = faces.x[here], faces.y[here]
        assert rows @ field_on(volumes, faces.node[here], x, y) == pytest.approx([at(0.0, 0.0, x, y)])
    top = faces.sheet == SHEETS.index("board top")
    along = np.tile((np.arange(30) + 0.5) / 60 * MEDIUM.length, 20)
    across = np.repeat((np.arange(20) + 0.5) / 40 * MEDIUM.width, 30)
    on_top = field_on(volumes, faces.node[top], faces.x[top], faces.y[top])
    assert read[-fields:] @ on_top == pytest.approx(at(along, across, faces.x[top], faces.y[top]))
    neighbours = faces.node[faces.sheet > SHEETS.index("package top")]
    assert read[5:7] @ field_on(volumes, neighbours, np.array([0.1, 0.2]), 0.0) == pytest.approx([13, 23])
