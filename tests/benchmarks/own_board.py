"""Does a fit to a board's own log keep what its intervals promise? Boards of the finite volumes say.

Run from the top of the repository:

- ``python -m tests.benchmarks.own_board --model-error 40``: what the quick board gets wrong with the right parameters
  (the numbers in ``references/profile.toml``);
- ``python -m tests.benchmarks.own_board --boards 0 20 --to FILE``: boards 0 to 19, a line each added to FILE;
- ``python -m tests.benchmarks.own_board --report FILE``: coverage, errors and times of all the boards in FILE.

A board is drawn: its size, package and copper, which the person knows; its true parameters, from the priors; and four
things that the model does not have at all (``UNMODELLED``). Its trials are run by the finite volumes on another, finer
mesh with latent heat, and read by beads that have slipped, lag, touch the gas and are a little off, with noise, once a
second, as a logger writes them. Then the fit has the log and what the person knows, and foresees three programmes that
nobody fitted; the finite volumes say what they do.
"""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import json
import time
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy import stats

from workbook.bench.profile.board_family import SLIPPED, beside
from workbook.bench.profile.board_station import NEIGHBOURS, PLACES, Bench, Programme
from workbook.bench.profile.board_volumes import Mesh, assemble, march
from workbook.bench.profile.own_board import (
    SEATS,
    Bead,
    OwnBoard,
    Run,
    air_at,
    behind,
    trial_from_log,
)
from workbook.bench.profile.own_fit import (
    QUANTITIES,
    fit_trials,
    quantities,
    traces,
)
from workbook.references import value

ORACLE_MESH = Mesh(12, 4, 2, 2)
"""Not the mesh of the fitted boards."""

UNMODELLED = {"thickness": 0.03, "neighbour_film": 0.2, "solder_latent_heat": 0.08, "ball_diameter": 0.05}
"""What the true boards have otherwise and the fit knows nothing of: spreads as shares."""

CHANCE = 0.9


@dataclass(frozen=True, eq=False)
class Truth:
    """A board as it is: its bench, what its heaters really do, and its beads."""

    own: OwnBoard
    bench: Bench
    heaters: dict[str, float]
    beads: tuple[dict, ...]


def drawn(seed: int) -> Truth:
    """Return a random board with four beads: on the package's top, a joint, the board's bottom and a neighbour."""
    random = np.random.default_rng([2026, seed])
    side = float(random.uniform(0.025, 0.045))
    per_side = int(side / 1.1e-3) - 1
    known = Bench(
        length=float(random.uniform(0.22, 0.34)),
        width=float(random.uniform(0.12, 0.24)),
        thickness=float(random.choice([1.0e-3, 1.6e-3, 2.0e-3])),
        conductivity_along=float(random.choice([8.0, 15.0, 30.0])),
        package_side=side,
        joints_per_side=per_side,
        room_c=25.0,
    )
    joint = random.choice(["joint centre", "joint corner", "joint edge"])
    places = ("package top", str(joint), "board bottom", str(random.choice(list(NEIGHBOURS))))
    own = OwnBoard(known, tuple(Bead(place, str(random.choice(list(SEATS)[:2]))) for place in places))
    x = random.normal(size=len(own.board_unknowns))
    bench = replace(
        own.bench_at(x),
        **{name: getattr(known, name) * np.exp(s * random.normal()) for name, s in UNMODELLED.items()},
    )
    beads = []
    for bead in own.beads:
        lag, share, _, gain = (one.value(random.normal()) for one in own.bead_unknowns(bead))
        slip = value("profile", "own_board_slip") * random.normal(size=2)
        beads.append({"lag": lag, "share": share, "gain": gain, "slip": slip})
    return Truth(own, bench, own.heater_errors(x), tuple(beads))


def programme(random, trial: bool) -> Programme:
    """Return a trial of a careful person, or a programme one may want next."""
    if trial:
        plate, gas = random.uniform(300, 340), random.uniform(245, 280)
    else:
        plate, gas = random.uniform(310, 370), random.uniform(250, 310)
    hold, soak = (float(random.integers(low, high)) for low, high in ((40, 90), (60, 150)))
    return Programme.from_choices(float(plate), float(gas), hold=hold, soak=soak)


def volumes_run(bench: Bench, wanted: Programme, heaters, mesh=ORACLE_MESH, time_step=1.0, slips=()):
    """Return a run by the finite volumes with latent heat, and the places where beads have slipped to."""
    volumes = assemble(bench, mesh)
    gas_error, plate_error = heaters["gas_error"], heaters["plate_error"]

    class Heated(Programme):
        """The programme as the heaters really follow it."""

        def heaters(self, bench, time_step):
            gas, plate = super().heaters(bench, time_step)
            return gas * (1 + gas_error), plate * (1 + plate_error)

    real = Heated(wanted.bottom_plate_c, wanted.top_gas_c, wanted.lift_off, wanted.duration)
    rows = slipped_rows(volumes, slips)
    named = len(PLACES) + volumes.joint_positions.shape[0]
    states = np.array(
        [np.concatenate([(volumes.readings @ s)[:named], rows @ s]) for s in march(volumes, real, time_step, True)]
    )
    gas, plate = real.heaters(bench, time_step)
    lowered = np.concatenate([wanted.lowered(time_step), [False]])
    count = len(PLACES)
    run = Run(
        wanted.times(time_step), states[:, :count], states[:, :count], states[:, count:named], gas, plate, lowered
    )
    return run, states[:, named:]


def slipped_rows(volumes, slips):
    """Return the rows that read where each bead sits, slipped along and across: across counts as far as along."""
    rows = []
    for place, (along, across) in slips:
        k = PLACES.index(place)
        there = volumes.readings[[k]].toarray()

        def moved(way, k=k, there=there):
            return beside(volumes, way)[[k]] - there

        if place in NEIGHBOURS:
            change = abs(along) / SLIPPED * moved(SLIPPED)
        elif place in ("joint corner", "joint edge"):
            ways = (along, across) if place == "joint corner" else (along,)
            # Off the array there is no joint: outward counts as much the other way as inward.
            change = sum(np.sign(way) * moved(abs(way)) for way in ways)
        else:
            change = moved(float(np.hypot(along, across)))
        rows.append((there + change)[0])
    return np.array(rows).reshape(len(rows), volumes.capacity.size)


def logged(truth: Truth, wanted: Programme, random):
    """Return the log of a trial as a logger would write it: times [s] and a channel [°C] for each bead."""
    slips = [(bead.place, true["slip"]) for bead, true in zip(truth.own.beads, truth.beads, strict=True)]
    run, places = volumes_run(truth.bench, wanted, truth.heaters, slips=slips)
    late = value("profile", "own_board_clock") * random.normal()
    noise = random.uniform(0.1, 0.6)
    channels = []
    for j, (bead, true) in enumerate(zip(truth.own.beads, truth.beads, strict=True)):
        seen = places[:, j] + true["share"] * (air_at(run, truth.bench, bead.place) - places[:, j])
        clean = truth.bench.room_c + (1 + true["gain"]) * np.interp(
            run.time + late, run.time, behind(run.time, seen, true["lag"])
        )
        channels.append(np.round(clean + noise * random.normal(size=clean.size), 1))
    return run.time, channels


def truth_of(truth: Truth, wanted: Programme) -> dict[str, float]:
    """Return what a programme really does."""
    run, _ = volumes_run(truth.bench, wanted, truth.heaters)
    found = quantities(run.time, traces(run, room_c=truth.bench.room_c)[None], truth.bench.solder_solidus_c)
    return {name: float(one[0]) for name, one in found.items()}


def one_board(seed: int) -> dict:
    """Fit a board after one trial and after two, foresee three programmes each time, and compare."""
    truth = drawn(seed)
    random = np.random.default_rng([2027, seed])
    wanted = [programme(random, trial=True) for _ in range(2)]
    start = time.process_time()
    logs = [logged(truth, one, random) for one in wanted]
    volumes_time = (time.process_time() - start) / len(logs)
    trials = [trial_from_log(one, at, channels) for one, (at, channels) in zip(wanted, logs, strict=True)]
    new = [programme(random, trial=False) for _ in range(3)]
    real = [truth_of(truth, one) for one in new]
    start = time.process_time()
    _ = truth.own.family
    found = {"seed": seed, "volumes_s": volumes_time, "family_s": time.process_time() - start, "after": {}}
    for count in (1, 2):
        start = time.process_time()
        fit = fit_trials(truth.own, trials[:count])
        fit_time = time.process_time() - start
        start = time.process_time()
        _ = fit.together
        ways_time = time.process_time() - start
        rows, foresee_time = [], []
        for one, really in zip(new, real, strict=True):
            fit.foresee(one)
            start = time.process_time()
            forecast = fit.foresee(one)
            foresee_time.append(time.process_time() - start)
            rows.append(
                {
                    name: [really[name], forecast.likeliest[name], *forecast.interval(name, CHANCE)]
                    for name in QUANTITIES
                }
            )
        found["after"][count] = {
            "fit_s": fit_time,
            "ways_s": ways_time,
            "foresee_s": min(foresee_time),
            "chance_of_misfit": fit.estimate.chance_of_misfit,
            "forecasts": rows,
        }
    return found


def report(lines) -> None:
    """Print coverage, errors and times of the boards in some lines."""
    print(f"{len(lines)} boards of the finite volumes, three new programmes each, intervals of {CHANCE:.0%}")
    for count in ("1", "2"):
        after = [line["after"][count] for line in lines]
        print(f"\nafter {count} trial(s)")
        refused = np.mean([one["chance_of_misfit"] < 1e-4 for one in after])
        print(f"  true boards refused: {refused:.1%}")
        everything = []
        for name, unit in QUANTITIES.items():
            rows = np.array([row[name] for one in after for row in one["forecasts"]])
            inside = (rows[:, 0] >= rows[:, 2]) & (rows[:, 0] <= rows[:, 3])
            everything.append(inside)
            low, high = stats.binomtest(int(inside.sum()), inside.size).proportion_ci(0.95)
            error = np.abs(rows[:, 1] - rows[:, 0])
            print(
                f"  {name:<34} held {inside.mean():6.1%} ({low:.0%} to {high:.0%}); error median "
                f"{np.median(error):5.2f} {unit}, 90 % {np.quantile(error, 0.9):5.2f}; half width "
                f"{np.median(rows[:, 3] - rows[:, 2]) / 2:5.2f}"
            )
        print(f"  all together held {np.mean(everything):.1%}   (asked for: 86 to 94 %)")
        for name, target in (("fit_s", 2.0), ("foresee_s", 0.005)):
            taken = np.array([one[name] for one in after])
            print(
                f"  {name}: median {np.median(taken):.4f} s, worst {taken.max():.4f} s of processor, at most {target}"
            )
    for name in ("family_s", "volumes_s"):
        print(f"{name}: median {np.median([line[name] for line in lines]):.2f} s of the processor")


def model_error(count: int) -> None:
    """Print what the quick board gets wrong when its parameters are right: of readings, and of forecasts."""
    rest, lasting, errors = [], [], []
    for seed in range(10_000, 10_000 + count):
        truth = drawn(seed)
        random = np.random.default_rng([2028, seed])
        own = truth.own
        # A thickness a little off is heat capacity and conductivity to a fit, which takes it up.
        truth = replace(truth, bench=replace(truth.bench, thickness=own.bench.thickness))
        right = np.array([_standard(one, truth) for one in own.board_unknowns])
        for trial in (True, False):
            wanted = programme(random, trial)
            slips = [(bead.place, true["slip"]) for bead, true in zip(own.beads, truth.beads, strict=True)]
            full, places = volumes_run(truth.bench, wanted, truth.heaters, slips=slips)
            quick = own.runs(right, [wanted])[0]
            a = quantities(quick.time, traces(quick)[None], own.bench.solder_solidus_c - own.bench.room_c)
            b = quantities(full.time, traces(full)[None], own.bench.solder_solidus_c - own.bench.room_c)
            errors.append([float(b[name][0] - a[name][0]) for name in QUANTITIES])
            at = np.arange(2.5, full.time[-1] - 2.5, 5.0)
            for j, bead in enumerate(own.beads):
                k = PLACES.index(bead.place)
                there, next_to = (np.interp(at, quick.time, one[:, k]) for one in (quick.places, quick.beside))
                true = np.interp(at, full.time, behind(full.time, places[:, j], 1.0))
                # The slip is an unknown of the fit: what the best slip leaves is the model's.
                way = np.interp(at, quick.time, behind(quick.time, quick.beside[:, k] - quick.places[:, k], 1.0))
                there = np.interp(at, quick.time, behind(quick.time, quick.places[:, k], 1.0))
                slip = way @ (true - there) / (way @ way)
                left = true - there - slip * way
                rest.append([np.sqrt(np.mean(left**2)), PLACES.index(bead.place)])
                together = np.correlate(left, left, "full")[left.size - 1 :] / (left @ left)
                lasting.append(5.0 * np.argmax(together < np.exp(-1)))
    rest = np.array(rest)
    print(f"{count} boards: error of a reading, root mean square {np.sqrt(np.mean(rest[:, 0] ** 2)):.2f} K")
    for k, place in enumerate(PLACES):
        if (rest[:, 1] == k).any():
            print(f"    {place:<24} {np.sqrt(np.mean(rest[rest[:, 1] == k, 0] ** 2)):.2f} K")
    print(f"lasts {np.median(lasting):.0f} s")
    errors = np.array(errors)
    for k, (name, unit) in enumerate(QUANTITIES.items()):
        print(f"    {name:<34} {errors[:, k].mean():+.2f}, {errors[:, k].std():.2f} {unit}")


def _standard(unknown, truth):
    """Return the standard number at which an unknown has its true value."""
    from scipy.special import logit

    if unknown.law == "plain":
        return truth.heaters[unknown.name] / unknown.spread
    true = getattr(truth.bench, unknown.name)
    turn = np.log if unknown.law == "factor" else logit
    return (turn(true) - turn(unknown.middle)) / unknown.spread


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--model-error", type=int)
    parser.add_argument("--boards", type=int, nargs=2)
    parser.add_argument("--to", type=Path)
    parser.add_argument("--report", type=Path)
    asked = parser.parse_args()
    if asked.model_error:
        model_error(asked.model_error)
    if asked.boards:
        done = {json.loads(line)["seed"] for line in asked.to.open()} if asked.to and asked.to.exists() else set()
        for seed in range(*asked.boards):
            if seed not in done:
                line = json.dumps(one_board(seed))
                if asked.to:
                    with asked.to.open("a") as file:
                        file.write(line + "\n")
                else:
                    report([json.loads(line)])
    if asked.report:
        report([json.loads(line) for line in asked.report.open()])


if __name__ == "__main__":
    main()
