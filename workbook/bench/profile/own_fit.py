"""Fit one's own board to logs of trials, and foresee another programme with intervals.

>>> from workbook.bench.profile.own_board import Bead, OwnBoard
>>> from workbook.bench.profile.board_station import Programme
>>> OwnBoard(beads=(Bead("package top"),)).unknowns()[-1].name
'package top: calibration'

An interval holds what the logs left open of the unknowns, and what the quick board itself gets wrong against the finite
volumes; both were tried on boards of the finite volumes (tests/benchmarks/own_board.py). It does not hold what neither
model knows: a draught, a fan, a sink, a board that is not the one described.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from scipy import stats

from workbook.bench import checks
from workbook.bench.profile.board_family import Together
from workbook.bench.profile.board_station import PLACES, Programme
from workbook.bench.profile.fit import Estimate, estimate, whitening
from workbook.bench.profile.own_board import OwnBoard, Run, Trial, read_by_bead, read_together, run_member
from workbook.references import table, value

__all__ = ["QUANTITIES", "Forecast", "OwnFit", "fit_trials"]

STEP = 0.01
"""Step of the differences that make slopes, in standard numbers: short, for readings bend where solder melts."""

COARSE = 10.0
"""Steps of the runs that say how far uncertainty moves a forecast, which go without latent heat [s].

Against steps of a second the uncertainty of a peak changes by less than one part in five hundred.

The fit's own slopes are those of the very model: with others its last steps go astray."""

DIRECTIONS = 6
"""What uncertainty so many ways leave out is added by scale."""

OTHERS = Programme.from_choices(355.0, 265.0, soak=120.0), Programme.from_choices(320.0, 310.0, soak=60.0)
"""Programmes beside the trials' whose peaks say which ways matter: much from below, much from above."""
DRAWS = 128

TRACES = ("coldest joint", "hottest joint", "package top", "neighbour at 10 mm", "neighbour at 40 mm")
PEAKS = {f"peak of the {name}": name for name in TRACES}
TIMES = {f"{name} above liquidus": name for name in TRACES[:2]}
APART = "joints apart at the peak"
QUANTITIES = {**dict.fromkeys(PEAKS, "°C"), **dict.fromkeys(TIMES, "s"), APART: "K"}
"""What is foreseen of a programme, and its unit."""


class Readings:
    """What the beads of a board read in trials, as a function of all standard numbers."""

    def __init__(self, own: OwnBoard, trials: Sequence[Trial]):
        self.own, self.trials = own, tuple(trials)
        self.unknowns = own.unknowns(len(trials))
        self.of_board = len(own.board_unknowns)
        self.kept = None, None
        error, lasts = value("profile", "own_board_model_error"), value("profile", "own_board_model_error_lasts")
        error *= math.sqrt(len(self.trials))  # it is the board's, the same in every trial: more trials do not lessen it
        self.blocks, self.whiteners, start = [], [], 0
        for k, trial in enumerate(self.trials):
            for j, (time, noise) in enumerate(zip(trial.time, trial.noise, strict=True)):
                self.blocks.append((k, j, slice(start, start + time.size)))
                self.whiteners.append(whitening(time, noise, error, lasts))
                start += time.size

    @property
    def observed(self) -> np.ndarray:
        """The readings, trial by trial and bead by bead [°C]."""
        return np.concatenate([readings for trial in self.trials for readings in trial.readings_c])

    def whiten(self, columns):
        """Make errors independent and one wide, block by block."""
        return np.concatenate([w @ columns[part] for w, (_, _, part) in zip(self.whiteners, self.blocks, strict=True)])

    def runs(self, x) -> list[Run]:
        """Return the runs of all trials; those of the last board asked for are kept."""
        key = x[: self.of_board].tobytes()
        if self.kept[0] != key:
            self.kept = key, self.own.runs(x, [trial.programme for trial in self.trials])
        return self.kept[1]

    def read(self, x, runs) -> np.ndarray:
        """Return the readings of given runs by the beads of standard numbers [°C]."""
        bench = self.own.bench_at(x)
        values = [one.value(at) for one, at in zip(self.unknowns[self.of_board :], x[self.of_board :], strict=True)]
        clocks, beads = values[: len(self.trials)], values[len(self.trials) :]
        return np.concatenate(
            [
                read_by_bead(
                    runs[k], bench, self.own.beads[j], *beads[4 * j : 4 * j + 4], clocks[k], self.trials[k].time[j]
                )
                for k, j, _ in self.blocks
            ]
        )

    def model(self, x) -> np.ndarray:
        """Return the readings [°C]."""
        return self.read(x, self.runs(x))

    def slopes(self, x) -> np.ndarray:
        """Return how readings change with each standard number (readings x unknowns)."""
        programmes = [trial.programme for trial in self.trials]
        runs = self.runs(x)
        base, columns = self.read(x, runs), []
        for k in range(x.size):
            moved = x.copy()
            moved[k] += STEP
            there = self.own.runs(moved, programmes) if k < self.of_board else runs
            columns.append((self.read(moved, there) - base) / STEP)
        return np.column_stack(columns)


def fit_trials(own: OwnBoard, trials: Sequence[Trial]) -> "OwnFit":
    """Return one's own board fitted to trials.

    Parameters
    ----------
    own : OwnBoard
        What is known of the board, with its beads.
    trials : Trial (sequence)
        Logged runs, each with a channel for every bead.

    Returns
    -------
    OwnFit
        The fit.

    References
    ----------
    See :func:`workbook.bench.profile.fit.estimate`.

    Examples
    --------
    A bead under a board that is warmed from below tells nothing of the nozzle's film:

    >>> from workbook.bench.profile.own_board import Bead, OwnBoard, trial_from_log
    >>> warm = Programme(((0.0, 25.0), (20.0, 250.0)), duration=90.0)
    >>> log = [25.0 + 0.4 * max(0, second - 10) for second in range(91)]
    >>> board = OwnBoard(beads=(Bead("board bottom"),))
    >>> fit = fit_trials(board, [trial_from_log(warm, range(91), [log])])
    >>> f"{fit.estimate.left['nozzle_film']:.2f}"
    '1.00'
    """
    if not own.beads or not trials:
        raise ValueError("a fit needs at least one bead and one trial (got none)")
    readings = Readings(own, trials)
    found = estimate(readings.unknowns, readings.model, readings.observed, readings.whiten, readings.slopes)
    return OwnFit(own, tuple(trials), found)


@dataclass(frozen=True, eq=False)
class Forecast:
    """What is foreseen of a programme: draws of each quantity, from the uncertainty that is left."""

    programme: Programme
    likeliest: dict[str, float]
    draws: dict[str, np.ndarray]

    def interval(self, quantity: str, chance: float = 0.9) -> tuple[float, float]:
        """Return the ends between which a quantity lies with a chance."""
        checks.inside("chance", chance, 0, 1)
        low, high = np.quantile(self.draws[quantity], [0.5 - chance / 2, 0.5 + chance / 2])
        return float(low), float(high)

    def chance_within(self, quantity: str, low: float = -np.inf, high: float = np.inf) -> float:
        """Return the chance that a quantity lies within limits."""
        return float(np.mean((self.draws[quantity] >= low) & (self.draws[quantity] <= high)))


@lru_cache(maxsize=4)
def _spread_out(dimensions: int) -> np.ndarray:
    """Return draws of independent normal numbers that are spread evenly (draws x dimensions): the same every time."""
    even = stats.qmc.Sobol(dimensions, scramble=True, rng=np.random.default_rng(20)).random(DRAWS)
    return stats.norm.ppf(even)


@dataclass(frozen=True, eq=False)
class OwnFit:
    """One's own board, as its logs tell it."""

    own: OwnBoard
    trials: tuple[Trial, ...]
    estimate: Estimate

    @cached_property
    def readings(self) -> Readings:
        """The model of the readings."""
        return Readings(self.own, self.trials)

    @cached_property
    def departures(self) -> np.ndarray:
        """Readings less model at the likeliest values, trial by trial and bead by bead [K]."""
        return self.readings.observed - self.readings.model(self.estimate.standard)

    @cached_property
    def together(self) -> tuple[Together, list[dict[str, float]]]:
        """The quick board at the likeliest values and one step along each of ``ways``, and their heater errors."""
        x, count = self.estimate.standard, len(self.own.board_unknowns)
        along = [x, *(x + np.concatenate([step, np.zeros(x.size - count)]) for step in self.ways[0])]
        boards = [self.own.family.board(self.own.bench_at(at)) for at in along]
        return Together(boards), [self.own.heater_errors(at) for at in along]

    @cached_property
    def ways(self):
        """The few ways in which what is left moves peaks most, and by what factor each trace's uncertainty is wider.

        Steps of one standard deviation in standard numbers, from peaks of the trials and of ``OTHERS``.
        """
        x, count = self.estimate.standard, len(self.own.board_unknowns)
        spread = np.linalg.cholesky(self.estimate.covariance[:count, :count])
        programmes = [*(trial.programme for trial in self.trials), *OTHERS]
        near = [traces(run).argmax(axis=0) for run in self.own.runs(x, programmes, longest=COARSE, melting=False)]

        def peaks(at):
            runs = self.own.runs(at, programmes, longest=COARSE, melting=False)
            return np.array([traces(run)[part, range(len(TRACES))] for run, part in zip(runs, near, strict=True)])

        base, sides = peaks(x), STEP * np.eye(count, x.size)
        slopes = np.stack([(peaks(x + side) - base) / STEP for side in sides], axis=-1) @ spread
        turns = np.linalg.svd(slopes.reshape(-1, count), full_matrices=False)[2][:DIRECTIONS]
        told = ((slopes @ turns.T) ** 2).sum(axis=(0, 2))
        return [spread @ turn for turn in turns], np.sqrt((slopes**2).sum(axis=(0, 2)) / told)

    def foresee(self, programme: Programme) -> Forecast:
        """Return what another programme would do, with the uncertainty that is left."""
        together, heater_errors = self.together
        run = run_member(together.boards[0], programme, **heater_errors[0])
        joints = coldest_and_hottest(run)
        rows = np.stack([board.readings[trace_rows(*joints)] for board in together.boards])
        time, read = read_together(together, rows, heater_errors, programme, longest=COARSE)
        ways = self.ways[1] * _at(time, read[1:] - read[0], run.time)
        z = _spread_out(len(ways) + len(QUANTITIES))
        base = traces(run, *joints, self.own.bench.room_c)
        level = self.own.bench.solder_solidus_c
        likeliest = quantities(run.time, base[None], level)
        draws = quantities(run.time, base + np.tensordot(z[:, : len(ways)], ways, 1), level)
        errors = table("profile", "own_board_forecast_error")
        for k, name in enumerate(QUANTITIES, start=len(ways)):
            middle, spread = errors[name]["middle"], errors[name]["spread"]
            likeliest[name] = _corrected(name, likeliest[name], middle)
            draws[name] = _corrected(name, draws[name], middle + spread * z[:, k])
        return Forecast(programme, {name: float(one[0]) for name, one in likeliest.items()}, draws)


def _corrected(name: str, found, off):
    """Return what is foreseen with the model's own error; what stays below liquidus is not above it for a moment."""
    return np.where(found > 0, np.maximum(0, found + off), 0) if name in TIMES else found + off


def _at(time, columns, wanted):
    """Return columns (ways x times x traces) at other times, straight between theirs."""
    low = np.clip(np.searchsorted(time, wanted) - 1, 0, time.size - 2)
    share = ((wanted - time[low]) / (time[low + 1] - time[low]))[:, None]
    return columns[:, low] * (1 - share) + columns[:, low + 1] * share


def coldest_and_hottest(run: Run) -> tuple[int, int]:
    """Return which joints become least and most hot."""
    peaks = run.joints.max(axis=0)
    return int(peaks.argmin()), int(peaks.argmax())


def trace_rows(cold: int, hot: int) -> list[int]:
    """Return which rows of a board's readings are ``TRACES``: places come first, then joints."""
    return [len(PLACES) + cold, len(PLACES) + hot, *(PLACES.index(name) for name in TRACES[2:])]


def traces(run: Run, cold: int | None = None, hot: int | None = None, room_c: float = 0.0) -> np.ndarray:
    """Return the temperatures of ``TRACES`` over time [°C] (times x traces)."""
    if cold is None:
        cold, hot = coldest_and_hottest(run)
    return np.hstack([run.places, run.joints])[:, trace_rows(cold, hot)] + room_c


def quantities(time, traces_c, level_c: float) -> dict[str, np.ndarray]:
    """Return ``QUANTITIES`` of traces (draws x times x traces)."""
    found = {f"peak of the {name}": traces_c[:, :, k].max(axis=1) for k, name in enumerate(TRACES)}
    for k, name in enumerate(TRACES[:2]):
        found[f"{name} above liquidus"] = time_above(time, traces_c[:, :, k], level_c)
    at = traces_c[:, :, 1].argmax(axis=1)
    draw = np.arange(at.size)
    found[APART] = traces_c[draw, at, 1] - traces_c[draw, at, 0]
    return found


def time_above(time, traces_c, level_c: float) -> np.ndarray:
    """Return how long traces (draws x times) are above a level, straight between their times [s]."""
    above = traces_c - level_c
    higher = np.maximum(above[:, 1:], above[:, :-1])
    return np.clip(higher / np.maximum(np.abs(np.diff(above, axis=1)), 1e-9), 0, 1) @ np.diff(time)
