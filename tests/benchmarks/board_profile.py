"""How fast and how true the quick board is: each figure beside the target it is held to.

Run from the top of the repository, with nothing else running: ``python -m tests.benchmarks.board_profile``.
``--quick`` takes 3 programmes of each kind in place of 20 and a coarser mesh (about 20 s in place of some minutes).
``--two-packages`` measures the board with two packages alone.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")  # more threads only get in each other's way on matrices this small
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
import time
from dataclasses import replace

import numpy as np

from workbook.bench.profile import log
from workbook.bench.profile.board import MEDIUM, PLACES, Mesh, Programme, reduced, run, simulate
from workbook.bench.profile.board_pair import Heat, Heats, PairBench, reduced_pair, run_pair, simulate_pair
from workbook.bench.profile.board_reduced import reduce

LEVEL_C = 217.0
DOUBTS = {
    "plate_emissivity": 1.2,
    "plate_gap": 1.5,
    "plate_gas_share": 2 / 3,
    "nozzle_film": 1.2,
    "top_film": 1.2,
    "conductivity_along": 1.3,
    "emissivity": 0.9,
    "joint_film": 0.7,
}
JOINTS = ("joint centre", "joint corner", "joint edge")


def both_heaters(random) -> Programme:
    """Return a random programme of both heaters: uneven slopes, preheated gas, any lift-off."""
    ready, down = float(random.integers(2, 90)), float(random.integers(100, 190))
    ramp, hold = float(random.integers(5, 120)), float(random.integers(20, 100))
    soak, plate = random.uniform(150, 350), random.uniform(300, 370)
    points = ((0.0, 25.0), (ready, soak), (down, soak), (down + ramp, plate))
    gas = ((down, random.uniform(100, 200)), (down + ramp, random.uniform(240, 320)))
    return Programme(points, gas, lift_off=down + ramp + hold, duration=420.0)


def top_only(random) -> Programme:
    """Return a random programme of hot gas alone."""
    ramp, hold = float(random.integers(5, 200)), float(random.integers(20, 150))
    gas = ((10.0, random.uniform(100, 250)), (10.0 + ramp, random.uniform(330, 420)))
    return Programme((), gas, lift_off=10.0 + ramp + hold, duration=420.0)


def melting_choices(random) -> Programme:
    """Return a random programme that melts solder."""
    plate, gas, hold, soak = random.integers((330, 255, 40, 60), (370, 300, 90, 150)).astype(float)
    return Programme.from_choices(plate, gas, hold, soak)


def milliseconds(call, rounds=40):
    """Return the best and the middle processor time of a call [ms]: what else runs here does not count."""
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        call()
        taken.append(1e3 * (time.process_time() - start))
    return min(taken), float(np.median(taken))


def line(what, figure, target):
    print(f"{what:<66} {figure:>26}   target {target}", flush=True)


def peak_errors(quick, programmes, mesh):
    """Return the errors of the peaks, one row for each programme and a column for each place [K]."""
    return np.array(
        [
            [fast.temperature_c[place].max() - full.temperature_c[place].max() for place in PLACES]
            for programme in programmes
            for fast, full in [(run(quick, programme), simulate(MEDIUM, programme, 1.0, mesh=mesh))]
        ]
    )


def random_heats(random, order) -> Heats:
    """Return a random programme of 420 s that heats packages in an order, with any waits, gas and lift-offs."""
    plate, ready, soak = random.uniform(290, 370), float(random.integers(10, 80)), random.uniform(150, 300)
    down, heats = float(random.integers(90, 130)), []
    for over in order:
        ramp, hold = float(random.integers(10, 60)), float(random.integers(15, 60))
        gas = ((down, random.uniform(100, 200)), (down + ramp, random.uniform(240, 340)))
        heats.append(Heat(over, gas, down + ramp + hold))
        down += ramp + hold + float(random.integers(5, 40))
    end = heats[-1].lift_off
    points = ((0.0, 25.0), (ready, soak), (end - 10.0, plate), (end, plate), (end + 1.0, 25.0))
    return Heats(points, tuple(heats), 420.0)


def melting_heats(random) -> Heats:
    """Return a random programme of 420 s that melts solder of both packages, one after the other."""
    plate, one, other, hold, wait = random.integers((335, 275, 275, 40, 10), (365, 315, 315, 60, 30)).astype(float)
    usual = Heats.from_choices(
        plate, (one, other), order=tuple(random.permutation(2).tolist()), hold=hold, wait=wait, soak=60.0
    )
    return replace(usual, duration=420.0)


def pair_peaks(record):
    """Return the peaks of both packages: top, coldest and hottest joint of each [°C]."""
    return np.array(
        [
            trace.max()
            for k in (0, 1)
            for trace in (record.top_c[k], record.coldest_joint_c(k), record.hottest_joint_c(k))
        ]
    )


def two_packages(few: bool) -> None:
    """Print how fast and how true the quick model of two packages is."""
    pair, count = PairBench(), 3 if few else 20
    start = time.perf_counter()
    reduced_pair(pair)
    print("\nTwo packages on one board:")
    line("build the quick model", f"{time.perf_counter() - start:.1f} s", "none set")
    programme = melting_heats(np.random.default_rng(2026))
    record = run_pair(pair, programme)
    print(
        f"timed on a programme that adds {record.heats(0)} and {record.heats(1)} melts, times above liquidus "
        f"{record.time_above_liquidus(0):.0f} and {record.time_above_liquidus(1):.0f} s"
    )
    for melting in (False, True):
        best, middle = milliseconds(lambda wet=melting: run_pair(pair, programme, melting=wet))
        line(
            f"420 s, steps of 2 s and less, {'with' if melting else 'without'} latent heat (best, median)",
            f"{best:.1f}, {middle:.1f} ms",
            "<= 5 ms",
        )
    random = np.random.default_rng(2029)
    for kind, order in (("one", (0,)), ("the other", (1,)), ("both in order", (0, 1))):
        errors = []
        for programme in [random_heats(random, order) for _ in range(count)]:
            quick = run_pair(pair, programme, melting=False)
            errors.append(np.abs(pair_peaks(quick) - pair_peaks(simulate_pair(pair, programme, 1.0))).max())
        line(
            f"{count} programmes heating {kind}: worst peak's error, median and worst",
            f"{np.median(errors):.2f}, {max(errors):.2f} K",
            "<= 0.8 K",
        )
    errors, beyond = [], []
    for programme in [melting_heats(random) for _ in range(max(2, count // 4))]:
        quick, full = run_pair(pair, programme, melting=True), simulate_pair(pair, programme, 1.0, True)
        errors.append(np.abs(pair_peaks(quick) - pair_peaks(full)).max())
        beyond += [abs(quick.time_above_liquidus(k) - full.time_above_liquidus(k)) for k in (0, 1)]
    line(
        f"{len(errors)} programmes that melt, with latent heat: worst peak's error, median and worst",
        f"{np.median(errors):.2f}, {max(errors):.2f} K",
        "<= 0.8 K",
    )
    line(
        "time of the coldest joint above liquidus, worst",
        f"{max(beyond):.1f} s",
        "none set",
    )


def main(few: bool) -> None:
    count, fine, fine_melting = (
        (3, Mesh(16, 5, 3, 3), Mesh(12, 4, 2, 2)) if few else (20, Mesh(28, 8, 4, 4, 1.15), Mesh(16, 6, 3, 3, 1.15))
    )
    load = "not known here" if not hasattr(os, "getloadavg") else f"{os.getloadavg()[0]:.1f}"
    print(f"1 BLAS thread, processor time, load of the machine at start {load}, numpy {np.__version__}\n")

    best, middle = milliseconds(lambda: reduce(MEDIUM), rounds=5)
    line("build the quick model (best, median)", f"{best / 1e3:.2f}, {middle / 1e3:.2f} s", "< 1 s")
    quick = reduced(MEDIUM)
    programme = Programme.from_choices(345, 270)
    programme = Programme(programme.bottom_plate_c, programme.top_gas_c, programme.lift_off, 420.0)
    for melting, target in ((False, "<= 6 ms"), (True, "<= 20 ms")):
        best, middle = milliseconds(lambda wet=melting: run(quick, programme, melting=wet))
        line(
            f"420 s profile, 1 s steps, {'with' if melting else 'without'} latent heat (best, median)",
            f"{best:.1f}, {middle:.1f} ms",
            target,
        )
    record = run(quick, programme)
    best, middle = milliseconds(lambda: record.board_top_c(300.0))
    line("map of the board's top face from a finished run (best, median)", f"{best:.2f}, {middle:.2f} ms", "none set")

    print(f"\nAgainst finite volumes {fine}, {count} random programmes of each kind:")
    for kind in (both_heaters, top_only):
        random = np.random.default_rng(2024)
        errors = peak_errors(quick, [kind(random) for _ in range(count)], fine)
        worst = np.abs(errors).max(axis=1)
        line(
            f"{kind.__name__.replace('_', ' ')}: worst place's peak error, median and worst programme",
            f"{np.median(worst):.2f}, {worst.max():.2f} K",
            "<= 1 K",
        )
        for place, error in zip(PLACES, np.abs(errors).max(axis=0), strict=True):
            print(f"    {place:<30} {error:.2f} K")

    random = np.random.default_rng(2025)
    peaks, times = [], []
    for programme in [melting_choices(random) for _ in range(max(3, count // 2))]:
        fast, full = run(quick, programme, melting=True), simulate(MEDIUM, programme, 0.5, True, fine_melting)
        for place in JOINTS:
            a, b = fast.temperature_c[place], full.temperature_c[place]
            peaks.append(abs(a.max() - b.max()))
            times.append(abs(log.time_above(fast.time, a, LEVEL_C) - log.time_above(full.time, b, LEVEL_C)))
    print(f"\nWith latent heat, against finite volumes {fine_melting}, {max(3, count // 2)} random programmes, joints:")
    line("peak, median and worst", f"{np.median(peaks):.2f}, {max(peaks):.2f} K", "<= 1 K")
    line(f"time above {LEVEL_C:g} °C, median and worst", f"{np.median(times):.2f}, {max(times):.2f} s", "<= 2 s")

    print("\nWhat a doubt in one parameter moves, for scale [K]: package top, coldest joint, neighbour at 40 mm")
    usual = peaks_of(MEDIUM)
    for name, factor in DOUBTS.items():
        moved = peaks_of(replace(MEDIUM, **{name: factor * getattr(MEDIUM, name)})) - usual
        print(f"    {name} x {factor:.2f}".ljust(34) + "  ".join(f"{kelvin:+5.1f}" for kelvin in moved))


def peaks_of(bench):
    """Return the peaks of one programme on a bench: package top, coldest joint, far neighbour [°C]."""
    record = run(reduced(bench), Programme.from_choices(345, 270))
    return np.array(
        [
            record.temperature_c["package top"].max(),
            record.coldest_joint_c.max(),
            record.temperature_c["neighbour at 40 mm"].max(),
        ]
    )


if __name__ == "__main__":
    if "--two-packages" not in sys.argv[1:]:
        main(few="--quick" in sys.argv[1:])
    two_packages(few="--quick" in sys.argv[1:])
