"""How fast and how true the shorted-rail simulator is. Run: python -m tests.benchmarks.shorted_rail

Every figure stands beside what it is compared with: a direct sparse solve of all cells, and exact results of the
endless square grid. Times are the best of several, one thread, on whatever machine this runs: other work on it slows
both columns. Verified as numerics; no board was measured.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import math
from time import perf_counter

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

from workbook.bench.shorts.networks import lattice_resistance
from workbook.bench.shorts.rail import Part, Plane, prepare, solve

SHEET, NODES = 0.49e-3, (150, 100)
SLOT = (0.070, 0.020, 0.073, 0.100)
SHORTED, FED = {"C3": 0.050}, {"pad": 1.0}


def best(call, rounds, each=1):
    """Return the shortest time of one call [ms] over several rounds, and the last answer."""
    times = []
    for _ in range(rounds):
        start = perf_counter()
        for _ in range(each):
            answer = call()
        times.append((perf_counter() - start) / each)
    return 1e3 * min(times), answer


def board(slots):
    """Return a plane of 150 mm x 100 mm and twenty invented parts in the middles of cells, half of them a gigohm."""
    draw = np.random.default_rng(4)
    left, right = draw.integers([5, 5], [65, 95], (10, 2)), draw.integers([80, 5], [145, 95], (10, 2))
    places = [tuple((cell + 0.5) * 1e-3) for cell in (*left, *right)]
    parts = [Part(f"C{i}", place, 1e3 if i < 10 else 1e9) for i, place in enumerate(places)]
    return Plane((0.15, 0.10), NODES, SHEET, slots), [*parts, Part("pad", (0.0205, 0.0505))]


def direct_solve(plane, parts):
    """Assemble, factor and solve every cell at once, with scipy's own choices: the road not taken."""
    number = np.where(plane.copper, np.cumsum(plane.copper).reshape(plane.nodes) - 1, -1)
    diagonal, entries = np.zeros(plane.copper.sum()), []
    along, across = (number[:-1], number[1:]), (number[:, :-1], number[:, 1:])
    for (one, other), link in zip((along, across), plane.links, strict=True):
        both = (one >= 0) & (other >= 0)
        one, other = one[both], other[both]
        np.add.at(diagonal, np.concatenate([one, other]), link)
        entries += [(one, other, -link), (other, one, -link)]
    fed = np.zeros_like(diagonal)
    for part in parts:
        cell = number[tuple(int(at / step) for at, step in zip(part.place, plane.cell, strict=True))]
        diagonal[cell] += 1 / SHORTED.get(part.name, part.resistance)
        fed[cell] += FED.get(part.name, 0.0)
    rows, columns, values = (np.concatenate([np.broadcast_to(e[k], e[0].shape) for e in entries]) for k in range(3))
    system = sparse.coo_array((values, (rows, columns)), shape=(fed.size,) * 2) + sparse.diags_array(diagonal)
    potentials = np.full(plane.nodes, np.nan)
    potentials[plane.copper] = splu(system.tocsc()).solve(fed)
    return potentials


def compare_with_direct():
    print(f"{NODES[0]} x {NODES[1]} cells, 20 parts, one shorted to 50 mohm, 1 A")
    print(f"{'':10}{'prepare':>10}{'change':>10}{'map':>10}{'direct':>10}   largest difference   span")
    for title, slots in (("whole", ()), ("slotted", (SLOT,))):
        plane, parts = board(slots)
        setting_up, rail = best(lambda plane=plane, parts=parts: prepare(plane, parts), 7)
        changing, solution = best(lambda rail=rail: solve(rail, SHORTED, FED), 30, 50)
        mapping, found = best(solution.potential_map, 30, 10)
        going_direct, direct = best(lambda plane=plane, parts=parts: direct_solve(plane, parts), 5)
        apart, span = np.nanmax(np.abs(found - direct)), np.nanmax(direct) - np.nanmin(direct)
        times = "".join(f"{time:7.3f} ms" for time in (setting_up, changing, mapping, going_direct))
        print(f"{title:10}{times}   {apart:.1e} V            {1e3 * span:.2f} mV")
        assert apart < 1e-9


def compare_with_lattice():
    print("\nsquare grid of 1 ohm links, middle of n x n nodes: excess over the endless grid")
    moves = {(1, 0): "1/2", (1, 1): "2/pi", (2, 0): "2 - 4/pi", (2, 1): "4/pi - 1/2"}
    print(f"{'n':>5}" + "".join(f"{name:>14}" for name in moves.values()))
    sizes, excesses = (11, 51, 101, 201, 401), []
    for nodes in sizes:
        middle = nodes // 2 + 0.5
        parts = [Part(f"{move}", (middle + move[0], middle + move[1])) for move in moves]
        grid = prepare(Plane((nodes, nodes), (nodes, nodes), 1.0), [*parts, Part("here", (middle, middle))])
        earthed = [solve(grid, {f"{move}": 0.0}, {"here": 1.0}).potentials["here"] for move in moves]
        excesses.append([ohm - lattice_resistance(*move) for ohm, move in zip(earthed, moves, strict=True)])
        print(f"{nodes:>5}" + "".join(f"{excess:14.1e}" for excess in excesses[-1]))
    orders = [math.log(a / b) / math.log(sizes[-1] / sizes[-2]) for a, b in zip(*excesses[-2:], strict=True)]
    print("order" + "".join(f"{order:14.2f}" for order in orders))


if __name__ == "__main__":
    compare_with_direct()
    compare_with_lattice()
