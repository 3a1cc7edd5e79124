"""The shorted rail, held to exact lattices, networkx, a direct solve of every cell, images, and the laws of resistors.

This verifies the numerics. Nothing here was compared with a measured board.
"""

import math

import networkx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import sparse
from scipy.sparse.linalg import spsolve

from workbook.bench.shorts import copper, networks, probing
from workbook.bench.shorts.rail import Part, Plane, prepare, solve
from workbook.references import table, value

SHEET = 0.49e-3
SLOT = (0.070, 0.020, 0.073, 0.100)


def lattice_between(nodes, first, second, slots=()):
    """Resistance between two nodes (column, row) of a square grid of unit links."""
    plane = Plane((nodes, nodes), (nodes, nodes), 1.0, slots)
    places = [tuple(at + 0.5 for at in node) for node in (first, second)]
    probes = prepare(plane, [Part("fed", places[0]), Part("earthed", places[1], 0.0)])
    return solve(probes, {}, {"fed": 1.0}).potentials["fed"]


def crowded_parts(count=20, seed=0, pad=0.0):
    """Invented parts all over a 150 mm x 100 mm plane, clear of the slot: kilohms on the left, gigohms on the right."""
    draw = np.random.default_rng(seed)
    left = draw.uniform([0.005, 0.005], [0.065, 0.095], (count // 2, 2))
    right = draw.uniform([0.078, 0.005], [0.145, 0.095], (count - count // 2, 2))
    parts = [Part(f"L{i}", tuple(place), 1e3, pad) for i, place in enumerate(left)]
    parts += [Part(f"R{i}", tuple(place), 1e9, pad) for i, place in enumerate(right)]
    return [*parts, Part("pad", (0.0205, 0.0505), pad=pad)]


def direct_map(plane, parts, resistances, injection):
    """Every cell solved at once, without fields of terminals: an independent road to the same map."""
    cells = np.argwhere(plane.copper)
    number = {tuple(cell): row for row, cell in enumerate(cells.tolist())}
    (step_x, step_y), rows, columns, entries = plane.cell, [], [], []
    for (i, j), row in number.items():
        for other, link in (((i + 1, j), step_y / step_x), ((i, j + 1), step_x / step_y)):
            if other in number:
                ends, link = (row, number[other]), link / plane.sheet_resistance
                rows += [ends[0], ends[1], ends[0], ends[1]]
                columns += [ends[0], ends[1], ends[1], ends[0]]
                entries += [link, link, -link, -link]
    system = sparse.csc_array(sparse.coo_array((entries, (rows, columns)), shape=(len(number),) * 2))
    fed = np.zeros(len(number))
    for part in parts:
        overlap = [
            np.clip(np.minimum(np.arange(1, n + 1) * h, at + w / 2) - np.maximum(np.arange(n) * h, at - w / 2), 0, None)
            for at, n, h, w in zip(part.place, plane.nodes, plane.cell, np.maximum(part.pad, plane.cell), strict=True)
        ]
        share = np.outer(*overlap)[plane.copper]
        share /= share.sum()
        fed += injection.get(part.name, 0.0) * share
        pad = sparse.csc_array(share[:, np.newaxis])
        system = system + pad @ pad.T / resistances.get(part.name, part.resistance)
    potentials = np.full(plane.nodes, np.nan)
    potentials[plane.copper] = spsolve(system.tocsc(), fed)
    return potentials


# --- lattices


@pytest.mark.parametrize("row", value("shorts", "finite_grids"), ids=str)
def test_finite_grids(row):
    """Computed with networkx."""
    nodes, x1, y1, x2, y2, ohm = row
    assert lattice_between(nodes, (x1, y1), (x2, y2)) == pytest.approx(ohm, abs=6e-7)


@pytest.mark.parametrize("move", [(1, 0), (1, 1), (2, 0), (2, 1)])
def test_the_middle_of_a_growing_grid_tends_to_the_endless_one_as_the_square_of_its_size(move):
    """Published: OEIS A355565, 1/2 for the next node, 2/pi for the diagonal one, and so on."""
    exact = networks.lattice_resistance(*move)
    sizes = np.array([51, 101, 201])
    middles = [(nodes // 2, nodes // 2) for nodes in sizes]
    excess = [
        lattice_between(nodes, at, (at[0] + move[0], at[1] + move[1])) - exact
        for nodes, at in zip(sizes, middles, strict=True)
    ]
    assert np.all(np.array(excess) > 0)
    order = -np.diff(np.log(excess)) / np.diff(np.log(sizes))
    assert order == pytest.approx([2.0, 2.0], abs=0.05)
    assert excess[-1] < 2e-4


@pytest.mark.parametrize("slot", [(3.1, 2.1, 5.9, 9.0), (0.0, 4.1, 6.5, 5.9)])
def test_a_slotted_grid_agrees_with_networkx(slot):
    graph = networkx.grid_2d_graph(9, 9)
    left, bottom, right, top = slot
    graph.remove_nodes_from([(x, y) for x, y in list(graph) if left < x + 0.5 < right and bottom < y + 0.5 < top])
    for far in ((8, 8), (0, 8), (7, 0)):
        expected = networkx.resistance_distance(graph, (0, 0), far)
        assert lattice_between(9, (0, 0), far, (slot,)) == pytest.approx(expected, rel=1e-12)


def test_cells_need_not_be_square():
    """A strip of one ohm a square, twice as long as wide, from end to end, in cells four times as long as wide."""
    plane = Plane((2.0, 1.0), (10, 20), 1.0)
    ends = [
        Part(f"{side}{row}", (x, (row + 0.5) / 20), ohm)
        for side, x, ohm in (("in", 0.1, math.inf), ("out", 1.9, 0.0))
        for row in range(20)
    ]
    solution = solve(prepare(plane, ends), {}, {f"in{row}": 1 / 20 for row in range(20)})
    assert solution.potentials["in7"] == pytest.approx(1.8, rel=1e-12)  # from middle to middle of the end cells


# --- the direct solve


@pytest.mark.parametrize("slots", [(), (SLOT,)], ids=["whole", "slotted"])
@pytest.mark.parametrize("pad", [0.0, 0.004], ids=["points", "pads"])
def test_the_map_agrees_with_a_direct_solve_of_every_cell(slots, pad):
    """150 x 100 cells, twenty parts up to a gigohm, one shorted: to 1e-9 V in a span near a millivolt."""
    plane, parts = Plane((0.15, 0.10), (150, 100), SHEET, slots), crowded_parts(pad=pad)
    rail = prepare(plane, parts)
    for shorted in ("L3", "R6"):
        change, fed = {shorted: 0.050, "pad": 1e12}, {"pad": 1.0}
        solution = solve(rail, change, fed)
        direct = direct_map(plane, parts, change, fed)
        found = solution.potential_map()
        assert np.array_equal(np.isnan(found), ~plane.copper)
        assert np.nanmax(np.abs(found - direct)) < 1e-9
        assert np.nanmax(direct) - np.nanmin(direct) > 1e-4
        assert math.fsum(solution.currents.values()) == pytest.approx(1.0, abs=1e-12)


def test_many_links_solved_by_nodes_agree():
    """The nodal solve of the networks module, itself held to networkx."""
    plane = Plane((30.0, 20.0), (30, 20), 1.0)
    parts = [Part("pad", (3.5, 4.5)), Part("C1", (20.5, 11.5), 5.0), Part("C2", (25.5, 2.5), 0.3)]
    solution = solve(prepare(plane, parts), {}, {"pad": 1.0})
    links = [*networks.grid_links(30, 20), ((20, 11), "ground", 5.0), ((25, 2), "ground", 0.3)]
    potentials = networks.node_potentials(links, {(3, 4): 1.0}, "ground")
    expected = np.array([[potentials[i, j] for j in range(20)] for i in range(30)])
    assert solution.potential_map() == pytest.approx(expected, abs=1e-12)


def test_a_rail_of_gigohms_keeps_the_small_differences_of_its_plane():
    """A common potential of 5e7 V must not drown readings of microvolts."""
    plane, parts = Plane((0.15, 0.10), (150, 100), SHEET), crowded_parts()
    every = {part.name: 1e9 for part in parts if part.name != "pad"}
    tips = (0.0505, 0.0505), (0.1105, 0.0305)
    heavy, light = (
        solve(prepare(plane, parts), {name: ohm * scale for name, ohm in every.items()}, {"pad": 1.0})
        for scale in (1.0, 1e-3)
    )
    assert heavy.potentials["R0"] == pytest.approx(1e9 / 20, rel=1e-9)
    assert heavy.reading(*tips) == pytest.approx(light.reading(*tips), rel=1e-8)


# --- the continuous sheet


@pytest.mark.parametrize(("ratio", "row"), list(table("shorts", "four_point_square").items())[:4])
def test_a_four_point_probe_on_a_square_sheet(ratio, row):
    """Computed with images, independently of any grid."""
    spacing, side = 1.0, float(ratio)
    along = [side / 2 + step * spacing for step in (-1.5, -0.5, 0.5, 1.5)]
    places = {name: (at, side / 2) for name, at in zip(("fed", "high", "low", "earthed"), along, strict=True)}
    parts = [Part(name, place, 0.0 if name == "earthed" else math.inf) for name, place in places.items()]
    potentials = solve(prepare(Plane((side, side), (240, 240), 1.0), parts), {}, {"fed": 1.0}).potentials
    assert 1 / (potentials["high"] - potentials["low"]) == pytest.approx(row["factor"], rel=3e-3)


def test_a_four_point_probe_reads_the_sheet_it_stands_on():
    places = {"fed": 0.117, "earthed": 0.123}
    plane = Plane((0.24, 0.24), (480, 480), SHEET)
    rail = prepare(plane, [Part(name, (x, 0.12), 0.0 if name == "earthed" else math.inf) for name, x in places.items()])
    volts = solve(rail, {}, {"fed": 1.0}).reading((0.119, 0.12), (0.121, 0.12))
    assert probing.probed_sheet_resistance(volts, 1.0) == pytest.approx(SHEET, rel=0.01)


@pytest.mark.parametrize("from_source", [0.010, 0.020, 0.030])
def test_readings_on_a_wide_plane_are_those_of_the_logarithm(from_source):
    plane = Plane((0.9, 0.9), (600, 600), SHEET)
    rail = prepare(plane, [Part("pad", (0.42, 0.45)), Part("C1", (0.48, 0.45), 0.05)])
    tips = ((0.42 + from_source + half, 0.45) for half in (-0.0025, 0.0025))
    expected = copper.plane_drop_between(1.0, SHEET, 0.06, from_source, 0.005)
    assert solve(rail, {}, {"pad": 1.0}).reading(*tips) == pytest.approx(expected, rel=0.02)


def refined(cells_a_millimetre, pad):
    """The same rail of 60 mm x 40 mm in finer and finer cells: fed at one place, shorted at another."""
    plane = Plane((0.06, 0.04), (60 * cells_a_millimetre, 40 * cells_a_millimetre), SHEET)
    rail = prepare(plane, [Part("pad", (0.0205, 0.0205), pad=pad), Part("C1", (0.0405, 0.0205), 0.0, pad)])
    return solve(rail, {}, {"pad": 1.0})


def test_a_reading_clear_of_the_terminals_does_not_depend_on_the_cells():
    coarse, fine = (refined(cells, 0.0).reading((0.0225, 0.0205), (0.0385, 0.0205)) for cells in (1, 4))
    assert coarse == pytest.approx(fine, rel=0.02)


def test_the_potential_of_a_spread_pad_does_not_depend_on_the_cells():
    coarse, fine = (refined(cells, 0.004).potentials["pad"] for cells in (1, 4))
    assert coarse == pytest.approx(fine, rel=0.02)


def test_the_potential_of_a_point_grows_with_every_halving_of_the_cells():
    """A point of current has a logarithm without end: that is why readings keep clear of it."""
    coarse, fine = (refined(cells, 0.0).potentials["pad"] for cells in (3, 9))  # odd: the point stays mid-cell
    assert fine - coarse == pytest.approx(2 * copper.plane_drop(1.0, SHEET, 1.0, 3.0), rel=0.02)


# --- laws of resistors

BOARD = Plane((0.012, 0.009), (12, 9), SHEET)
SLOTTED = Plane((0.012, 0.009), (12, 9), SHEET, ((0.005, 0.003, 0.007, 0.009),))
spots = st.tuples(st.floats(0.0, 0.012), st.floats(0.0, 0.0025))
middles = st.tuples(*(st.integers(0, last).map(lambda cell: (cell + 0.5) / 1e3) for last in (11, 2)))
some = st.floats(1e-4, 1e6)
ohms = st.just(0.0) | some


@st.composite
def rails(draw):
    """A small rail, whole or slotted, of two to five parts with any resistance."""
    count = draw(st.integers(2, 5))
    resistances = [draw(ohms), *(draw(some) for _ in range(count - 1))]
    parts = [Part(f"C{i}", draw(spots), ohm, draw(st.floats(0, 0.004))) for i, ohm in enumerate(resistances)]
    return prepare(draw(st.sampled_from([BOARD, SLOTTED])), [*parts, Part("pad", draw(spots))])


@given(rails(), st.floats(0.01, 10))
def test_all_the_current_that_goes_in_comes_out(rail, amps):
    solution = solve(rail, {}, {"pad": amps})
    assert math.fsum(solution.currents.values()) == pytest.approx(amps, rel=1e-9)
    assert solution.currents["pad"] == pytest.approx(0.0, abs=1e-12)


@given(rails())
def test_every_part_obeys_ohms_law(rail):
    solution = solve(rail, {}, {"pad": 1.0})
    for part in rail.parts[:-1]:
        drop = solution.currents[part.name] * part.resistance
        assert solution.potentials[part.name] == pytest.approx(drop, rel=1e-9, abs=1e-12 * max(1, part.resistance))


@given(st.lists(st.tuples(middles, some), min_size=1, max_size=4), st.sampled_from([BOARD, SLOTTED]), middles)
def test_no_cell_is_above_the_injection_or_below_ground(drawn, plane, fed):
    parts = [Part(f"C{i}", place, ohm) for i, (place, ohm) in enumerate(drawn)]
    solution = solve(prepare(plane, [*parts, Part("pad", fed)]), {}, {"pad": 1.0})
    cells = solution.potential_map()
    assert np.nanmin(cells) >= -1e-12
    assert np.nanmax(cells) <= solution.potentials["pad"] * (1 + 1e-9) + 1e-12
    assert all(-1e-12 <= current <= 1 + 1e-12 for current in solution.currents.values())


@given(rails(), ohms)
def test_a_higher_resistance_anywhere_never_lowers_what_is_seen_from_the_injection(rail, more):
    before = solve(rail, {}, {"pad": 1.0}).potentials["pad"]
    after = solve(rail, {"C0": rail.parts[0].resistance + more}, {"pad": 1.0}).potentials["pad"]
    assert after >= before * (1 - 1e-9) - 1e-12


@given(rails())
def test_injection_and_reading_may_change_places(rail):
    """Reciprocity: the potential at one terminal for a current into another is the same the other way round."""
    there = solve(rail, {"C0": 1e3, "C1": 2e3}, {"pad": 1.0}).potentials["C0"]
    back = solve(rail, {"C0": 1e3, "C1": 2e3}, {"C0": 1.0}).potentials["pad"]
    assert there == pytest.approx(back, rel=1e-9, abs=1e-12)


@given(rails(), st.floats(-3, 3), st.floats(-3, 3))
def test_maps_of_two_injections_add(rail, one, other):
    both, first, second = (
        solve(rail, {}, fed).potential_map() for fed in ({"pad": one, "C0": other}, {"pad": one}, {"C0": other})
    )
    scale = np.nanmax(np.abs(first)) + np.nanmax(np.abs(second))
    assert both == pytest.approx(first + second, abs=1e-9 * scale + 1e-12, nan_ok=True)


@given(st.lists(st.tuples(spots, some), min_size=1, max_size=4))
def test_a_mirrored_board_has_a_mirrored_map(drawn):
    straight = [Part(f"C{i}", place, ohm) for i, (place, ohm) in enumerate(drawn)]
    mirrored = [Part(part.name, (0.012 - part.place[0], part.place[1]), part.resistance) for part in straight]
    maps = [solve(prepare(BOARD, parts), {}, {"C0": 1.0}).potential_map() for parts in (straight, mirrored)]
    assert maps[0] == pytest.approx(maps[1][::-1], rel=1e-9, abs=1e-12)


@given(rails())
def test_a_removed_part_is_as_if_it_had_never_been_there(rail):
    removed = solve(rail, {"C0": math.inf}, {"pad": 1.0})
    never = solve(prepare(rail.plane, rail.parts[1:]), {}, {"pad": 1.0})
    assert removed.currents["C0"] == pytest.approx(0.0, abs=1e-15)
    assert removed.potential_map() == pytest.approx(never.potential_map(), rel=1e-9, abs=1e-12, nan_ok=True)


@given(spots, spots)
def test_a_slot_never_makes_a_path_shorter(first, second):
    whole, slotted = (
        solve(prepare(plane, [Part("pad", first), Part("C0", second, 0.01)]), {}, {"pad": 1.0}).potentials["pad"]
        for plane in (BOARD, SLOTTED)
    )
    assert slotted >= whole * (1 - 1e-9)


@settings(max_examples=20)
@given(st.integers(0, 19), st.integers(0, 100))
def test_the_plane_is_lowest_at_the_shorted_part(number, seed):
    plane, parts = Plane((0.15, 0.10), (75, 50), SHEET), crowded_parts(seed=seed)
    shorted = parts[number]
    cells = solve(prepare(plane, parts), {shorted.name: 0.05}, {"pad": 1.0}).potential_map()
    lowest = (np.array(np.unravel_index(np.argmin(cells), cells.shape)) + 0.5) * plane.cell
    assert np.max(np.abs(lowest - shorted.place)) <= max(plane.cell)


def test_moving_the_injection_tells_the_short_from_the_injection():
    """Both are steep; only the short stays steep when the injection moves."""
    places = {"C1": (0.1105, 0.0505), "near": (0.0305, 0.0505), "far": (0.0905, 0.0905)}
    parts = [Part(name, place, 0.05 if name == "C1" else math.inf) for name, place in places.items()]
    rail = prepare(Plane((0.15, 0.10), (150, 100), SHEET), parts)

    def steepness(at, fed):
        tips = ((places[at][0] + reach, places[at][1]) for reach in (-0.003, -0.008))
        return abs(solve(rail, {}, {fed: 1.0}).reading(*tips))

    assert steepness("C1", "near") > 50e-6
    assert steepness("C1", "far") > 50e-6
    assert steepness("near", "near") > 50e-6
    assert steepness("near", "far") < 10e-6


# --- what is refused

WHOLE = prepare(BOARD, [Part("pad", (0.002, 0.002)), Part("C12", (0.009, 0.002), 0.05)])
TWICE = prepare(BOARD, [Part(name, (0.002, 0.002), 0.0) for name in "ab"])


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Plane((0.0, 1.0), (5, 5), SHEET), "size of the plane"),
        (lambda: Plane((1.0, 1.0), (1, 5), SHEET), "nodes of the plane"),
        (lambda: Plane((1.0, 1.0), (5, 5), SHEET, ((0.41, 0.0, 0.42, 1.0),)), "cuts nothing"),
        (lambda: prepare(Plane((1, 1), (9, 9), SHEET, ((0.3, -1, 0.5, 2),)), [Part("a", (0.1, 0.1))]), "2 pieces"),
        (lambda: prepare(SLOTTED, [Part("a", (0.006, 0.006))]), "a at .* is not on copper"),
        (lambda: prepare(BOARD, [Part("a", (0.1, 0.1))]), "place of a"),
        (lambda: prepare(BOARD, [Part("a", (0.001, 0.001))] * 2), "one name each"),
        (lambda: prepare(BOARD, []), "one name each"),
        (lambda: prepare(BOARD, [Part("a", (0.001, 0.001), -1.0)]), "at least 0 ohm"),
        (lambda: prepare(BOARD, [Part("a", (0.001, 0.001), pad=-1.0)]), "pad of a"),
        (lambda: solve(WHOLE, {"C12": -1.0}, {"pad": 1.0}), "at least 0 ohm"),
        (lambda: solve(WHOLE, {"C12": math.nan}, {"pad": 1.0}), "at least 0 ohm"),
        (lambda: solve(WHOLE, {"C12": math.inf}, {"pad": 1.0}), "no way to ground"),
        (lambda: solve(WHOLE, {}, {"pad": math.inf}), "must be finite"),
        (lambda: solve(TWICE, {}, {"a": 1.0}), "dead shorts in one place"),
        (lambda: solve(WHOLE, {"C21": 1.0}, {"pad": 1.0}), "did you mean C12"),
        (lambda: solve(WHOLE, {}, {"pad": 1.0}).reading((0.0025, 0.002), (0.006, 0.006)), "terminal 'pad'"),
        (lambda: solve(WHOLE, {}, {"pad": 1.0}).reading((0.006, 0.006), (0.0079, 0.002)), "terminal 'C12'"),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, said):
    with pytest.raises(ValueError, match=said):
        call()


def test_a_tip_may_stand_on_a_part_that_draws_nothing():
    parts = [Part("pad", (0.0025, 0.0025)), Part("C1", (0.0095, 0.0025), 0.05), Part("C2", (0.0065, 0.0075), 1e6)]
    solution = solve(prepare(BOARD, parts), {}, {"pad": 1.0})
    cells = solution.potential_map()
    assert solution.reading((0.0065, 0.0075), (0.0065, 0.0045)) == pytest.approx(cells[6, 7] - cells[6, 4], rel=1e-9)
    assert cells[6, 7] == pytest.approx(solution.potentials["C2"], rel=1e-12)


def test_a_cell_is_cut_out_where_its_middle_lies_inside_a_slot_and_not_on_its_edge():
    """Middles at odd sixteenths of a square metre in eight cells: exact in binary."""
    from_middle_to_middle = Plane((1.0, 1.0), (8, 8), SHEET, ((5 / 16, 3 / 16, 11 / 16, 9 / 16),))
    whole = np.ones((8, 8), bool)
    whole[3:5, 2:4] = False
    assert np.array_equal(from_middle_to_middle.copper, whole)
    a_little_more = Plane((1.0, 1.0), (8, 8), SHEET, ((0.3124, 0.1874, 0.6876, 0.5626),))
    whole[2:6, 1:5] = False
    assert np.array_equal(a_little_more.copper, whole)


def fed_beside(small, pad=0.0):
    """A rail of 1 mm cells with 1 A at one place and a small current at another, all drawn by the short."""
    places = {"fed": (0.0015, 0.0015), "small": (0.0065, 0.0045), "short": (0.0105, 0.0015)}
    parts = [Part(name, at, 0.01 if name == "short" else math.inf, pad) for name, at in places.items()]
    return solve(prepare(BOARD, parts), {}, {"fed": 1.0, "small": small})


CLEAR = (0.0015, 0.0075)


def test_a_tip_keeps_two_cells_from_a_terminal_that_is_not_spread_whichever_way_it_lies():
    solution = fed_beside(0.5)
    for away in ((0.002, 0.0), (-0.002, 0.0), (0.0, 0.002), (0.0, -0.002), (0.002, 0.002)):
        assert solution.reading((0.0065 + away[0], 0.0045 + away[1]), CLEAR)
        with pytest.raises(ValueError, match="within 2 cells of terminal 'small'"):
            solution.reading((0.0065 + 0.99 * away[0], 0.0045 + 0.99 * away[1]), CLEAR)


def test_a_pad_of_four_cells_is_spread_and_a_tip_may_stand_on_it():
    assert fed_beside(0.5, pad=0.004).reading((0.0065, 0.0045), CLEAR)
    with pytest.raises(ValueError, match="terminal 'small'"):
        fed_beside(0.5, pad=0.0039).reading((0.0065, 0.0045), CLEAR)


def test_a_terminal_is_noticed_from_a_hundredth_of_the_largest_current_on():
    """The largest is what the short draws: 1 A and the small current."""
    assert fed_beside(0.0100).reading((0.0065, 0.0045), CLEAR)
    with pytest.raises(ValueError, match="terminal 'small'"):
        fed_beside(0.0102).reading((0.0065, 0.0045), CLEAR)
