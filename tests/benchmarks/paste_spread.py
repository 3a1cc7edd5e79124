"""How fast and how true the paste-spread simulator is. Run: python -m tests.benchmarks.paste_spread

Every figure stands beside what it is compared with: the solver beside an active-set solver with sparse LU on the same
grid, the numbers beside Stefan's disc in closed form. Times are the best of several, on whatever machine this runs.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from math import pi
from time import perf_counter

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import spsolve

from workbook.bench.paste import squeeze
from workbook.bench.paste.closing import closing_time, squeeze_table, stop_gap
from workbook.bench.paste.deposits import PATTERNS, Plate, deposit, thickness_map
from workbook.bench.paste.spread import coverage, overflow, spread, trapped_area

PLATE, CELLS, VOLUME = Plate(30e-3, 30e-3), 100, 40e-9
FORCE, YIELD_STRESS, VISCOSITY = 40.0, 300.0, 200.0
GAP = 60e-6


def best(call, rounds=7):
    """Return the shortest time of several calls [ms] and the last answer."""
    times = []
    for _ in range(rounds):
        start = perf_counter()
        answer = call()
        times.append(perf_counter() - start)
    return 1e3 * min(times), answer


def active_set(deposited, gap):
    """Solve the same obstacle problem by guessing the full cells, solving, and guessing again."""
    rows, columns = deposited.shape

    def one_way(count, side):
        middle = np.full(count, 2.0)
        middle[[0, -1]] = 3.0
        return sparse.diags([-np.ones(count - 1), middle, -np.ones(count - 1)], [-1, 0, 1]) * (count / side) ** 2

    stiff = sparse.kron(sparse.eye(rows), one_way(columns, PLATE.length)) + sparse.kron(
        one_way(rows, PLATE.width), sparse.eye(columns)
    )
    stiff, surplus = stiff.tocsr(), (deposited - gap).ravel()
    pressed, full = np.zeros(surplus.size), surplus > 0
    while True:
        pressed[:] = 0
        pressed[full] = spsolve(stiff[full][:, full].tocsc(), surplus[full])
        lack = stiff @ pressed - surplus
        wanted = np.where(full, pressed > 0, lack < -1e-12)
        if np.array_equal(wanted, full):
            return pressed.reshape(rows, columns)
        full = wanted


def row(*cells):
    """Print one line of a table."""
    print("".join(f"{cell:>15}" for cell in cells))


def heading(*names):
    row(*names)
    print("-" * 15 * len(names))


def solver():
    print(f"One gap ({GAP * 1e6:.0f} µm) on {CELLS} x {CELLS} cells, {VOLUME * 1e9:.0f} mm³ on 30 mm x 30 mm")
    heading("pattern", "cold ms", "warm ms", "active set ms", "times faster", "maps apart %", "volume off")
    for pattern in PATTERNS:
        heights = thickness_map(PLATE, deposit(pattern, PLATE, VOLUME), CELLS)
        wider = spread(PLATE, heights, GAP * 1.1)
        cold, result = best(lambda heights=heights: spread(PLATE, heights, GAP))
        warm, _ = best(lambda heights=heights, start=wider.pressed: spread(PLATE, heights, GAP, start=start))
        other, theirs = best(lambda heights=heights: active_set(heights, GAP), rounds=2)
        apart = 100 * np.abs(result.pressed - theirs).max() / theirs.max()
        gone = 2 * sum(side.sum() for side in (*result.pressed[[0, -1]], *result.pressed[:, [0, -1]].T))
        off = result.thickness.mean() * PLATE.area + gone - VOLUME
        times = f"{cold:.1f}", f"{warm:.1f}", f"{other:.0f}", f"{other / cold:.0f}"
        row(pattern, *times, f"{apart:.4f}", f"{off / VOLUME:.0e}")


def disc():
    volume, widest, least = 20e-9, 400e-6, 35e-6
    print("\nA dot of 20 mm³ against the disc in closed form (24 gaps, 400 µm to 35 µm)")
    heading("cells", "table ms", "torsion %", "distance %", "time %", "rest gap %")
    for cells in (50, 100, 200):
        heights = thickness_map(PLATE, deposit("dot", PLATE, volume), cells)
        spent, table = best(lambda heights=heights: squeeze_table(PLATE, heights, least, widest), rounds=2)
        radius = squeeze.radius_of_fixed_volume(volume, table.gaps)
        shown = radius > 6e-3
        torsion = np.abs(table.torsion / (pi * radius**4 / 8) - 1)[shown].max()
        distance = np.abs(table.distance / (pi * radius**3 / 3) - 1)[shown].max()
        time = closing_time(table, 50, 100, 50e-6)
        time_off = time / squeeze.squeeze_time_of_fixed_volume(100, volume, 50, widest, 50e-6) - 1
        exact_rest = squeeze.rest_gap_of_fixed_volume(YIELD_STRESS, volume, FORCE)
        rest_off = stop_gap(table, FORCE, YIELD_STRESS) / exact_rest - 1
        row(cells, f"{spent:.0f}", *(f"{100 * off:.2f}" for off in (torsion, distance, time_off, rest_off)))
    print("(torsion and distance: largest error where the disc is wider than 12 mm)")


def patterns():
    print(f"\nAt rest under {FORCE:.0f} N, yield stress {YIELD_STRESS:.0f} Pa, viscosity {VISCOSITY:.0f} Pa·s")
    heading("pattern", "rest gap µm", "covered", "over edge", "s to 1.1 gap", "air closed in", "slider ms")
    for pattern in PATTERNS:
        heights = thickness_map(PLATE, deposit(pattern, PLATE, VOLUME), CELLS)
        table = squeeze_table(PLATE, heights, 30e-6)

        def slider(table=table):
            gap = stop_gap(table, FORCE, YIELD_STRESS)
            return gap, closing_time(table, FORCE, VISCOSITY, 1.1 * gap, YIELD_STRESS)

        spent, (gap, time) = best(slider)
        result = spread(PLATE, heights, gap)
        flag = "yes" if any(trapped_area(step) > 0 for step in table.spreads) else "no"
        shares = f"{coverage(result):.2f}", f"{overflow(result):.3f}"
        row(pattern, f"{gap * 1e6:.1f}", *shares, f"{time:.0f}", flag, f"{spent:.2f}")


if __name__ == "__main__":
    solver()
    disc()
    patterns()
