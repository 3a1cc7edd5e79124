"""Two packages on one board are held to exact limits, to their own energy balance and to the finite volumes."""

from dataclasses import replace

import numpy as np
import pytest

from tests.benchmarks.board_profile import melting_heats, pair_peaks, random_heats
from workbook.bench.profile.board_pair import (
    Heat,
    Heats,
    Mesh,
    Package,
    PairBench,
    assemble_pair,
    count_heats,
    march,
    reduced_pair,
    run_pair,
    simulate_pair,
    spaced_edges,
)
from workbook.bench.profile.board_pair_station import JOINT_SAMPLE
from workbook.bench.profile.board_station import MEDIUM, STEFAN_BOLTZMANN, Programme
from workbook.bench.profile.board_volumes import drives, simulate
from workbook.references import load

COARSE = Mesh(4, 2, 1, 1)
PAIR = PairBench()
FIRST = Heats.from_choices(345, (280, 280), order=(0,))
SECOND = Heats.from_choices(345, (280, 280), order=(1,))
GAS_ALONE = Heats((), (Heat(0, ((0.0, 100.0), (120.0, 400.0)), 200.0),), 260.0)


def quick_board():
    """Return the quick model of the coarse mesh, kept by the cache."""
    return reduced_pair(PAIR, COARSE)


def entries_of_heat(volumes, programme, step):
    """Return what each step stores and what comes in through the faces by the exact fourth power, all in J."""
    states = list(march(volumes, programme, step, False))
    drive = drives(*programme.heaters(volumes.bench, step), volumes.bench.room)
    for k, where in enumerate(programme.lowered(step), start=1):
        now = states[k][volumes.faces.node]
        room = volumes.bench.room
        lost = volumes.film(where) * now + STEFAN_BOLTZMANN * volumes.shine(where) * ((now + room) ** 4 - room**4)
        came = (volumes.inputs(where) @ drive[k]).sum() - lost.sum()
        yield volumes.capacity @ (states[k] - states[k - 1]), came * step


# The whole board


def test_the_board_holds_all_heat_capacity_and_each_package_its_own_solder():
    pair = PairBench(packages=(Package(-0.05, 0.01), Package(0.05, -0.01, 0.025, 21)))
    volumes, bench = assemble_pair(pair, COARSE), pair.bench
    parts = (
        sum(p.side**2 for p in pair.packages)
        * bench.package_heat_capacity
        * (bench.substrate_thickness + bench.body_thickness)
    )
    solder = sum(pair.solder_mass(p) for p in pair.packages)
    board = bench.length * bench.width * bench.thickness * bench.heat_capacity
    assert volumes.capacity.sum() == pytest.approx(board + parts + bench.solder_specific_heat * solder, rel=1e-9)
    assert volumes.latent.sum() == pytest.approx(bench.solder_latent_heat * solder, rel=1e-9)


def test_the_rims_of_both_packages_are_edges_of_cells_that_mirror():
    edges = spaced_edges(0.15, [(-0.06, -0.03), (0.03, 0.06)], 5, 1.2)
    assert all(np.isclose(edges, rim, atol=1e-12).any() for rim in (-0.15, -0.06, -0.03, 0.03, 0.06, 0.15))
    assert edges == pytest.approx(-edges[::-1], abs=1e-12)
    assert np.diff(edges).min() > 0


def test_all_heat_that_comes_in_through_the_faces_is_stored():
    pair = replace(PAIR, shield_side=0.05)
    programme = Heats.from_choices(340, (280, 280), hold=20, soak=30, wait=20, cooling=40)
    stored, came = np.array(list(entries_of_heat(assemble_pair(pair, COARSE), programme, 0.25))).T
    # Second-order steps and the remainder carried forward leave an error of the time step, not a leak.
    assert stored.sum() == pytest.approx(came.sum(), abs=0.004 * np.abs(came).sum())


def test_a_board_at_room_temperature_under_idle_heaters_stays_there():
    record = simulate_pair(PAIR, Heats(duration=30.0), mesh=COARSE)
    assert pair_peaks(record) == pytest.approx(np.full(6, 25.0), abs=1e-9)
    np.testing.assert_allclose(record.board_top_c(15.0), 25.0, atol=1e-9)


# Symmetry


def test_heating_the_second_package_mirrors_heating_the_first():
    one, other = (simulate_pair(PAIR, programme, 2.0, True, COARSE) for programme in (FIRST, SECOND))
    assert other.top_c[1] == pytest.approx(one.top_c[0], abs=1e-6)
    assert other.hottest_joint_c(0) == pytest.approx(one.hottest_joint_c(1), abs=1e-6)
    assert other.coldest_joint_c(1) == pytest.approx(one.coldest_joint_c(0), abs=1e-6)


def test_with_the_plate_alone_packages_that_mirror_are_as_hot_as_each_other():
    record = simulate_pair(PAIR, Heats(((0.0, 25.0), (60.0, 350.0)), (), 200.0), 2.0, mesh=COARSE)
    assert record.top_c[0] == pytest.approx(record.top_c[1], abs=1e-6)


def test_turning_the_board_by_a_quarter_turn_changes_nothing():
    square = replace(MEDIUM, length=0.25, width=0.25, plate_length=0.2, plate_width=0.2)
    along = PairBench(square, (Package(-0.04, 0.01), Package(0.04, -0.02)))
    across = PairBench(square, (Package(0.01, -0.04), Package(-0.02, 0.04)))
    one, other = (simulate_pair(pair, FIRST, 4.0, mesh=COARSE) for pair in (along, across))
    assert pair_peaks(one) == pytest.approx(pair_peaks(other), abs=1e-6)


# Neighbours


def test_packages_far_apart_on_a_board_that_conducts_little_do_not_see_each_other():
    poor = replace(MEDIUM, length=0.4, conductivity_along=1.0)
    pair = PairBench(poor, (Package(-0.12), Package(0.12)))
    record = simulate_pair(pair, GAS_ALONE, 2.0, mesh=COARSE)
    assert record.neighbour_peak_c(1) == pytest.approx(25.0, abs=0.01)
    assert record.top_c[0].max() > 250


def test_one_package_amid_the_board_answers_as_the_board_with_one_package():
    # The other lies far off; gas alone, no neighbour parts of any weight: both models are of the same thing.
    bare = replace(MEDIUM, neighbour_heat_capacity=1.0, neighbour_film=1e-3)
    pair = PairBench(bare, (Package(0.0), Package(0.13, 0.08, 0.01, 5)))
    gas = GAS_ALONE.heats[0]
    alone = simulate(bare, Programme((), gas.top_gas_c, gas.lift_off, 260.0), 1.0, mesh=Mesh(8, 3, 2, 2))
    with_other = simulate_pair(pair, GAS_ALONE, 1.0, mesh=Mesh(8, 3, 2, 2))
    assert with_other.top_c[0].max() == pytest.approx(alone.temperature_c["package top"].max(), abs=1.0)
    assert with_other.hottest_joint_c(0).max() == pytest.approx(alone.hottest_joint_c.max(), abs=1.0)


def test_a_nearer_neighbour_gets_hotter():
    peaks = [
        simulate_pair(
            PairBench(packages=(Package(-apart / 2), Package(apart / 2))), FIRST, 2.0, mesh=COARSE
        ).neighbour_peak_c(1)
        for apart in (0.04, 0.06, 0.10)
    ]
    assert peaks[0] > peaks[1] + 2 > peaks[2] + 4


# The shield


def test_a_shield_without_area_changes_nothing():
    shield = replace(PAIR, shield_side=0.0, shield_air_film=1.0, shield_emissivity=0.5)
    one, other = (simulate_pair(pair, FIRST, 4.0, mesh=COARSE) for pair in (PAIR, shield))
    assert np.array_equal(pair_peaks(one), pair_peaks(other))


def test_a_shield_without_an_air_film_of_its_own_dims_radiation_alone():
    volumes = assemble_pair(replace(PAIR, shield_side=0.05, shield_air_film=1e12), COARSE)
    bare = assemble_pair(PAIR, COARSE)
    assert volumes.film(1) == pytest.approx(bare.film(1), rel=1e-6)
    assert volumes.shine(1).sum() < bare.shine(1).sum()
    assert np.array_equal(volumes.shine(0), bare.shine(0))


def test_a_shield_keeps_spilling_gas_from_a_near_neighbour_on_a_cold_plate():
    near = PairBench(packages=(Package(-0.022), Package(0.022)))
    bare, shielded = (
        simulate_pair(pair, GAS_ALONE, 2.0, mesh=COARSE).neighbour_peak_c(1)
        for pair in (near, replace(near, shield_side=0.05))
    )
    assert shielded < bare - 1


# The count of heats


def test_the_count_is_of_melts_and_not_of_heats_given():
    cold, hot = [100.0], [230.0]
    assert count_heats(np.array([cold, hot, hot, cold, hot, cold]), 217.0) == 2
    assert count_heats(np.array([cold, [216.9], cold]), 217.0) == 0
    assert count_heats(np.array([hot, cold, hot]), 217.0) == 2


def test_assembly_an_earlier_repair_and_one_heat_are_three_and_the_limit():
    record = run_pair(PAIR, Heats.from_choices(300, (300, 300), order=(0,)), board=quick_board())
    limit = load("profile")["most_heats_of_a_package"].value
    assert 1 + 1 + record.heats(0) == limit
    assert record.heats(1) == 0


# The programme


def test_the_plate_rises_evenly_from_room_to_its_set_point_in_the_first_minute():
    times, plate = zip(*Heats.from_choices(340, (280, 280), room_c=20.0).bottom_plate_c, strict=True)
    assert np.interp([0, 15, 30, 60, 300], times, plate).tolist() == [20, 100, 180, 340, 340]


def test_waiting_and_a_cool_down_stand_between_the_heats():
    waited, cooled = (Heats.from_choices(340, (280, 280), wait=30, cool_down=c) for c in (0.0, 90.0))
    gap = [p.heats[1].top_gas_c[0][0] - p.heats[0].lift_off for p in (waited, cooled)]
    assert gap == [30.0, 30.0 + 90.0 + 61.0]
    a, b = (run_pair(PAIR, p, board=quick_board()) for p in (waited, cooled))
    start = [p.heats[1].top_gas_c[0][0] for p in (waited, cooled)]
    assert np.interp(start[1], b.time, b.between_c) < np.interp(start[0], a.time, a.between_c)


def test_the_nozzle_stands_over_one_package_after_the_other():
    over = Heats.from_choices(340, (270, 270), order=(1, 0), soak=60, hold=30, wait=20).lowered(1.0)
    assert [int(k) for k in over[np.flatnonzero(np.diff(over, prepend=-1))]] == [0, 2, 0, 1, 0]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: PairBench(packages=(Package(0.0), Package(0.02))), "distance of the packages"),
        (lambda: PairBench(packages=(Package(-0.15), Package(0.05))), "x of a package"),
        (lambda: PairBench(shield_side=0.01), "shield_side"),
        (lambda: PairBench(packages=(Package(-0.02), Package(0.02)), shield_side=0.08), "distance of the packages"),
        (lambda: Heat(2, ((0.0, 100.0),), 10.0), "over"),
        (lambda: Heats(heats=(Heat(0, ((0.0, 100.0),), 50.0), Heat(1, ((40.0, 100.0),), 90.0))), "start of a heat"),
        (lambda: Heats.from_choices(340, (270, 270), wait=0.0), "wait"),
    ],
)
def test_what_cannot_stand_or_run_is_refused_in_words(wrong, said):
    with pytest.raises(ValueError, match=said):
        wrong()


# The quick model


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("order", [(0,), (1,), (0, 1)])
def test_peaks_of_random_programmes_follow_the_volumes(order, seed):
    programme = random_heats(np.random.default_rng([seed, *order]), order)
    quick = run_pair(PAIR, programme, melting=False, board=quick_board())
    assert pair_peaks(quick) == pytest.approx(pair_peaks(simulate_pair(PAIR, programme, 1.0, mesh=COARSE)), abs=0.8)


@pytest.mark.parametrize("seed", range(3))
def test_melts_of_random_programmes_follow_the_volumes(seed):
    programme = melting_heats(np.random.default_rng(seed))
    quick, full = run_pair(PAIR, programme, board=quick_board()), simulate_pair(PAIR, programme, 1.0, True, COARSE)
    assert pair_peaks(quick) == pytest.approx(pair_peaks(full), abs=0.8)
    assert [quick.heats(k) for k in (0, 1)] == [full.heats(k) for k in (0, 1)] == [1, 1]


def test_the_quick_model_stops_at_every_move_of_the_nozzle():
    programme = random_heats(np.random.default_rng(4), (1, 0))
    record = run_pair(PAIR, programme, melting=False, board=quick_board())
    moves = [time for heat in programme.heats for time in (heat.top_gas_c[0][0], heat.lift_off)]
    assert any(move % 2 for move in moves)
    assert record.time[np.flatnonzero(np.diff(record.lowered)) + 1] == pytest.approx(moves)
    assert np.diff(record.time).max() == 2.0
    assert record.time[[0, -1]] == pytest.approx([0.0, programme.duration])


def test_melting_holds_joints_back_and_never_heats_them_above_the_curve_without():
    programme = Heats.from_choices(345, (290, 290), order=(0,))
    wet, dry = (simulate_pair(PAIR, programme, 2.0, melting, COARSE) for melting in (True, False))
    down = dry.time <= programme.heats[0].lift_off
    assert (wet.joints_c[0] - dry.joints_c[0])[down].max() < 1e-6
    assert (dry.joints_c[0] - wet.joints_c[0])[down].max() > 2


@pytest.mark.slow
def test_a_finer_mesh_moves_no_peak_by_a_kelvin():
    coarse, fine = (
        pair_peaks(simulate_pair(PAIR, FIRST, 2.0, mesh=mesh)) for mesh in (Mesh(8, 4, 2, 2), Mesh(12, 5, 3, 3))
    )
    assert coarse == pytest.approx(fine, abs=1.0)


def test_the_joints_read_of_a_package_are_joints_of_its_array_with_middle_and_corners():
    """Of 31 joints along a side, evenly from corner to corner: whole pitches lie between, and an odd number is read."""
    package = Package(0.0)
    pitches = (package.joints_per_side - 1) / (JOINT_SAMPLE - 1)
    assert pitches == int(pitches)
    assert JOINT_SAMPLE % 2 == 1


def test_without_being_told_the_quick_pair_melts_and_steps_by_two_seconds_and_the_volumes_do_neither():
    programme = Heats((), (Heat(0, ((2.0, 300.0), (30.0, 500.0)), 60.0),), 60.0)
    usual, wet, dry = (
        run_pair(PAIR, programme, board=quick_board(), **more)
        for more in ({}, dict(time_step=2.0, melting=True), dict(time_step=2.0, melting=False))
    )
    assert np.array_equal(usual.joints_c, wet.joints_c)
    assert not np.array_equal(wet.joints_c[0], dry.joints_c[0])
    mesh = Mesh(2, 1, 1, 1)
    usual, dry = (
        simulate_pair(PAIR, programme, mesh=mesh, **more) for more in ({}, dict(time_step=1.0, melting=False))
    )
    assert np.array_equal(usual.joints_c, dry.joints_c)
    assert not np.array_equal(dry.joints_c[0], simulate_pair(PAIR, programme, 1.0, True, mesh).joints_c[0])


APART = PairBench(packages=(Package(-0.05, 0.01), Package(0.05, -0.02, 0.025, 21)))


def rising(volumes, nodes, x, y):
    """Return what lies on some nodes and rises straight along and across, nothing on all others."""
    field = np.zeros(volumes.capacity.size)
    field[nodes] = 3 + 100 * x + 2000 * y
    return field


def test_tops_the_board_between_joints_and_map_are_read_where_they_are_said_to_be():
    volumes, per_package = assemble_pair(APART, COARSE), JOINT_SAMPLE**2
    read, faces = volumes.readings.toarray(), volumes.faces
    starts = np.cumsum([0, *(x.size * y.size for x, y in faces.sheets)])
    places = [(np.tile(x, y.size), np.repeat(y, x.size)) for x, y in faces.sheets]
    (top, _, *packages), nodes = places, [faces.node[a:b] for a, b in zip(starts[:-1], starts[1:], strict=True)]
    on_board = rising(volumes, nodes[0], *top)
    assert read[2] @ on_board == pytest.approx(3 + 2000 * -0.005), "midway between the two"
    fields = np.meshgrid((np.arange(60) - 29.5) / 60 * 0.300, (np.arange(40) - 19.5) / 40 * 0.200)
    inside = [np.clip(at, x.min(), x.max()) for at, x in zip(fields, top, strict=True)]
    assert read[-2400:] @ on_board == pytest.approx((3 + 100 * inside[0] + 2000 * inside[1]).ravel())
    for k, package in enumerate(APART.packages):
        on_top = rising(volumes, nodes[2 + k], *packages[k])
        assert read[k] @ on_top == pytest.approx(3 + 100 * package.x + 2000 * package.y)
        here = package.away(volumes.joint_x, volumes.joint_y) == 0
        x, y = volumes.joint_x[here], volumes.joint_y[here]
        line = np.linspace(-1, 1, JOINT_SAMPLE) * (package.joints_per_side - 1) / 2 * MEDIUM.joint_pitch
        along, across = np.clip(package.x + line, x.min(), x.max()), np.clip(package.y + line, y.min(), y.max())
        wanted = 3 + 100 * np.tile(along, JOINT_SAMPLE) + 2000 * np.repeat(across, JOINT_SAMPLE)
        rows = read[3 + k * per_package : 3 + (k + 1) * per_package]
        assert rows @ rising(volumes, volumes.joints[here], x, y) == pytest.approx(wanted)


def test_packages_one_kelvin_hotter_than_the_board_lose_through_their_joints_what_the_joint_films_say():
    volumes = assemble_pair(APART, COARSE)
    for package in APART.packages:
        here = package.away(volumes.joint_x, volumes.joint_y) == 0
        rise = np.zeros(volumes.capacity.size)
        rise[volumes.joints[here]] = 1.0
        lost = (volumes.conduction @ rise)[volumes.joints[here]].sum()
        assert lost == pytest.approx(2 * 2 * MEDIUM.joint_film * package.side**2, rel=1e-9), (
            "half a joint up, half down"
        )


def test_under_a_shield_radiation_and_film_are_those_of_textbook_foil():
    """Two faces of foil between a grey body and a black room: 1/e + 2/es - 1; its air, film over it: in series."""
    dry = replace(MEDIUM, spill_film=0.0)
    pair = PairBench(dry, PAIR.packages, shield_side=0.05)
    volumes = assemble_pair(pair, COARSE)
    sizes = np.cumsum([0, *(x.size * y.size for x, y in volumes.faces.sheets)])
    for over, shielded in ((1, slice(sizes[3], sizes[4])), (2, slice(sizes[2], sizes[3]))):
        through = 1 / (1 / 0.9 + 2 / 0.1 - 1) / 0.9
        assert volumes.shine(over)[shielded] == pytest.approx(through * volumes.shine(0)[shielded])
        series = 1 / (1 / 15 + 1 / 8) / 8
        assert volumes.film(over)[shielded] == pytest.approx(series * volumes.film(0)[shielded])
        assert not volumes.gas(over)[shielded].any()


def test_gas_that_spills_finds_the_package_it_blows_on_by_its_own_film_and_all_else_by_its_distance():
    volumes = assemble_pair(APART, COARSE)
    sizes = np.cumsum([0, *(x.size * y.size for x, y in volumes.faces.sheets)])
    area = volumes.film(0) / MEDIUM.top_film
    for k, package in enumerate(APART.packages):
        for sheet in (0, 2 + (1 - k)):
            part = slice(sizes[sheet], sizes[sheet + 1])
            along, across = volumes.faces.sheets[sheet]
            x, y = np.tile(along, across.size), np.repeat(across, along.size)
            spilled = MEDIUM.spill_film * np.exp(-package.away(x, y) / MEDIUM.spill_reach)
            assert volumes.gas(k + 1)[part] == pytest.approx(area[part] * spilled)
            assert volumes.film(k + 1)[part] == pytest.approx(area[part] * (MEDIUM.top_film + spilled))
        own = slice(sizes[2 + k], sizes[3 + k])
        assert volumes.gas(k + 1)[own] == pytest.approx(area[own] * MEDIUM.nozzle_film)
        assert volumes.film(k + 1)[own] == pytest.approx(area[own] * MEDIUM.nozzle_film)
        assert not volumes.shine(k + 1)[own].any()
        bottom = slice(sizes[1], sizes[2])
        assert not volumes.gas(k + 1)[bottom].any()
