"""One's own board on one's own station: what is not known of it, and what a log of a trial would read.

The board's parameters, the heaters' lags and uncertainties, and each bead (lag, seat, slip, calibration) are unknowns
with stated priors; the quick board with those values, read by those beads, is the model.

The temperatures are those of the quick board, verified as numerics against the finite volumes and NOT validated
against a measured board. What it gets wrong against them was measured, and is part of every interval.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from scipy.signal import lfilter

from workbook.bench import checks
from workbook.bench.profile.board_family import MOVING, SLIPPED, Family, Member, Together, family
from workbook.bench.profile.board_reduced import advance
from workbook.bench.profile.board_station import NEIGHBOURS, PLACES, Bench, Programme
from workbook.bench.profile.board_volumes import drives
from workbook.bench.profile.fit import Unknown
from workbook.references import value

__all__ = ["SEATS", "Bead", "OwnBoard", "Run", "Trial", "noise_of", "trial_from_log"]

LAW_OF = {"emissivity": "share", "plate_emissivity": "share", "plate_gas_share": "share"}
"""All other parameters of the board are factors."""

SEATS = {"soldered": "own_board_share_soldered", "glued": "own_board_share_glued", "taped": "own_board_share_taped"}
"""How a bead is held, and the reference of its share of gas."""

LEAST_NOISE = 0.05
"""No logger is quieter than this [K]."""

BIN = 5.0
"""Readings are averaged over so long [s]."""

LONGEST_STEP = 3.0
"""Against steps of a second peaks move by less than 0.2 K [s]."""


@dataclass(frozen=True)
class Bead:
    """A thermocouple: one of ``PLACES``, and how it is held there, one of ``SEATS``."""

    place: str
    seat: str = "glued"

    def __post_init__(self):
        for what, given, known in (("place", self.place, PLACES), ("seat", self.seat, SEATS)):
            if given not in known:
                raise ValueError(f"{what} must be one of {', '.join(known)} (got {given})")


@dataclass(frozen=True, eq=False)
class Run:
    """Temperatures above room [K] of one programme: places and beside them (times x places), joints, gas and plate."""

    time: np.ndarray
    places: np.ndarray
    beside: np.ndarray
    joints: np.ndarray
    gas: np.ndarray
    plate: np.ndarray
    lowered: np.ndarray


def run_member(
    board: Member,
    programme: Programme,
    gas_error: float = 0.0,
    plate_error: float = 0.0,
    longest: float = LONGEST_STEP,
    melting: bool = True,
) -> Run:
    """Return the temperatures of a programme on a member of a family, in steps cut where the nozzle moves.

    ``gas_error`` and ``plate_error`` are how much hotter, as a share of the rise above room, the heaters are than they
    say.
    """
    time, lowered, steps = time_grid(programme, longest)
    gas, plate = heated(board, programme, gas_error, plate_error, time)
    states = advance(board, drives(gas, plate, board.bench.room), lowered, steps, melting)
    return read_run(board, time, states, gas, plate, lowered)


def read_together(together: Together, rows, errors: Sequence[dict], programme: Programme, longest: float):
    """Return times, and what rows read of a programme on boards with their heater errors, without latent heat [K].

    ``rows`` are as for :meth:`Together.read`, and so is what is read.
    """
    time, lowered, steps = time_grid(programme, longest)
    driven = [
        drives(*heated(board, programme, time=time, **one), board.bench.room)
        for board, one in zip(together.boards, errors, strict=True)
    ]
    return time, together.read(rows, np.stack(driven), lowered, steps)


def time_grid(programme: Programme, longest: float):
    """Return times, where the nozzle is in each step, and the steps, none too long [s].

    Between two moves of the nozzle steps are whole seconds of two neighbouring lengths, the shorter first: a board
    prepares few lengths, whatever the programme.
    """
    fine_lowered = programme.lowered(1.0)
    cuts = [0, *(np.flatnonzero(np.diff(fine_lowered)) + 1), fine_lowered.size]
    steps, moves = [], []
    for start, stop in pairwise(cuts):
        count = int(np.ceil((stop - start) / longest))
        short, longer = divmod(stop - start, count)
        steps.append(np.repeat([short, short + 1.0], [count - longer, longer]))
        moves.append(np.full(count, fine_lowered[start]))
    steps = np.concatenate(steps)
    return np.concatenate([[0.0], np.cumsum(steps)]), np.concatenate(moves), steps


def heated(board: Member, programme: Programme, gas_error: float, plate_error: float, time):
    """Return what gas and plate really have above room at some times [K]."""
    fine = programme.times(1.0)
    return tuple(
        np.interp(time, fine, heater) * (1 + error)
        for heater, error in zip(programme.heaters(board.bench, 1.0), (gas_error, plate_error), strict=True)
    )


def read_run(board: Member, time, states, gas, plate, lowered) -> Run:
    """Return what is read of the patterns over time."""
    read, count = states @ board.readings.T, len(PLACES)
    down = np.concatenate([lowered, [False]])
    return Run(time, read[:, :count], states @ board.beside.T, read[:, count:], gas, plate, down)


@dataclass(frozen=True, eq=False)
class Trial:
    """A logged run: the programme, and for each bead times from the programme's start [s], readings [°C] and noise [K].

    Readings are means over bins, and ``noise`` is that of a mean.
    """

    programme: Programme
    time: tuple[np.ndarray, ...]
    readings_c: tuple[np.ndarray, ...]
    noise: tuple[float, ...]


def noise_of(readings_c) -> float:
    r"""Return the noise of readings at even times, from how each departs from the middle of its neighbours.

    .. math:: \sigma = \mathrm{median} |T_{i-1} - 2 T_i + T_{i+1}| / (0.6745 \sqrt{6})

    The middle of the absolute departures is used, so a jump or two does no harm; a smooth profile has none. Not below
    what the step does in which the logger writes, nor below 0.05 K.

    Parameters
    ----------
    readings_c : array
        Readings one after the other [°C].

    Returns
    -------
    float
        Standard deviation of one reading [K].

    References
    ----------
    Second differences of independent noise have 6 times its variance; the median of the absolute value of a normal
    quantity is 0.6745 of its standard deviation (textbook). A step of a spreads evenly: a / sqrt(12), GUM 4.3.7.

    Examples
    --------
    A logger of whole degrees:

    >>> round(noise_of([20, 21, 22, 23, 24]), 3)
    0.289
    """
    readings_c = np.asarray(readings_c, float)
    checks.finite("readings_c", readings_c, "°C")
    steps = np.abs(np.diff(np.unique(readings_c)))
    resolution = float(steps.min()) if steps.size else 0.0
    bend = np.abs(np.diff(readings_c, 2))
    seen = np.median(bend) / 0.6745 / np.sqrt(6) if bend.size else 0.0
    return float(max(LEAST_NOISE, resolution / np.sqrt(12), seen))


def bins(time, readings_c, width: float = BIN):
    """Return means of times and of readings over bins, and how many readings the middle bin has.

    >>> bins([0.0, 1.0, 2.0, 6.0], [10.0, 20.0, 30.0, 50.0])[1].tolist()
    [20.0, 50.0]
    """
    time, readings_c = np.asarray(time, float), np.asarray(readings_c, float)
    checks.above("width", width, 0, "s")
    which = np.unique(np.floor(time / width).astype(int), return_inverse=True)[1]
    count = np.bincount(which)
    return np.bincount(which, time) / count, np.bincount(which, readings_c) / count, float(np.median(count))


def middles_of_bins(duration: float) -> np.ndarray:
    """Return the times of the means over bins of a run that is logged often [s]."""
    return np.arange(BIN / 2, duration, BIN)


def trial_from_log(programme: Programme, time, channels: Sequence, start: float = 0.0) -> Trial:
    """Return a trial from a log: means over bins of five seconds, from the programme's start to its end.

    Parameters
    ----------
    programme : Programme
        What the station was set to do.
    time : array
        Times of the log [s].
    channels : sequence of array
        The readings of each bead at these times, nan where one is missing [°C].
    start : float
        When in the log the programme started [s].

    Returns
    -------
    Trial
        The trial.

    References
    ----------
    The mean of n independent readings has a noise smaller by the square root of n (textbook).

    Examples
    --------
    >>> trial = trial_from_log(Programme(duration=10.0), range(16), [[25.0 + k for k in range(16)]], start=5.0)
    >>> trial.time[0].tolist(), trial.readings_c[0].tolist()
    ([2.0, 7.0, 10.0], [32.0, 37.0, 40.0])
    """
    checks.finite("start", start, "s")
    times, means, noise = [], [], []
    for readings in channels:
        at = np.asarray(time, float) - start
        sound = np.isfinite(readings) & np.isfinite(at) & (at >= 0) & (at <= programme.duration)
        at, kept = at[sound], np.asarray(readings, float)[sound]
        middle, mean, count = bins(at, kept)
        times.append(middle)
        means.append(mean)
        noise.append(noise_of(kept) / np.sqrt(count))
    return Trial(programme, tuple(times), tuple(means), tuple(noise))


@dataclass(frozen=True)
class OwnBoard:
    """What is known of a board before any log: the bench at the middle of the priors, and the beads on it."""

    bench: Bench = Bench()
    beads: tuple[Bead, ...] = field(default_factory=tuple)

    @cached_property
    def board_unknowns(self) -> tuple[Unknown, ...]:
        """The unknowns of board and heaters."""
        of_board = [
            Unknown(
                name,
                getattr(self.bench, name),
                value("profile", f"own_board_doubt_{name}"),
                LAW_OF.get(name, "factor"),
            )
            for name in MOVING
        ]
        heaters = [
            Unknown(name, 0.0, value("profile", f"own_board_doubt_{name}"), "plain")
            for name in ("gas_error", "plate_error")
        ]
        return (*of_board, *heaters)

    def bead_unknowns(self, bead: Bead) -> tuple[Unknown, ...]:
        """The unknowns of one bead: lag, share of gas, slip and calibration."""
        slip, slip_spread = slip_prior(bead.place)
        lag, lag_spread = value("profile", "own_board_bead_lag")
        share, share_spread = value("profile", SEATS[bead.seat])
        return (
            Unknown(f"{bead.place}: lag of the bead", lag, lag_spread, "factor", "s"),
            Unknown(f"{bead.place}: share of gas", share, share_spread, "factor"),
            Unknown(f"{bead.place}: slip", slip, slip_spread, "plain"),
            Unknown(f"{bead.place}: calibration", 0.0, value("profile", "own_board_bead_gain"), "plain"),
        )

    def unknowns(self, trials: int = 1) -> tuple[Unknown, ...]:
        """All unknowns, in the order of the standard numbers."""
        clocks = [
            Unknown(f"clock of trial {k + 1}", 0.0, value("profile", "own_board_clock"), "plain", "s")
            for k in range(trials)
        ]
        return (*self.board_unknowns, *clocks, *(one for bead in self.beads for one in self.bead_unknowns(bead)))

    @cached_property
    def family(self) -> Family:
        """The quick boards of all parameters."""
        corner = np.random.default_rng(0).choice([-1.5, 1.5], len(self.board_unknowns))
        return family(self.bench, (self.bench_at(corner),))

    def bench_at(self, standard) -> Bench:
        """Return the bench at standard numbers; further ones than the board's are not looked at."""
        named = zip(self.board_unknowns, standard, strict=False)
        return replace(self.bench, **{one.name: float(one.value(x)) for one, x in named if one.name in MOVING})

    def heater_errors(self, standard) -> dict[str, float]:
        """Return how far the heaters are from what they say, at standard numbers."""
        count = len(self.board_unknowns)
        pair = zip(self.board_unknowns[count - 2 :], standard[count - 2 : count], strict=True)
        return {one.name: float(one.value(x)) for one, x in pair}

    def runs(self, standard, programmes: Sequence[Programme], **settings) -> list[Run]:
        """Return the temperatures of programmes at standard numbers."""
        board, errors = self.family.board(self.bench_at(standard)), self.heater_errors(standard)
        return [run_member(board, programme, **errors, **settings) for programme in programmes]


def slip_prior(place: str) -> tuple[float, float]:
    """Return middle and spread of the way a bead's reading goes to that of one slipped by the family's measure.

    In the middle of a face the temperature falls with the square of the way, so either slip counts the same; at the
    rim it goes with the way itself, outward as likely as inward.
    """
    share = value("profile", "own_board_slip") / SLIPPED
    if place in NEIGHBOURS:  # the nearer the rim of the part, the more the board: either way counts the same
        return np.sqrt(2 / np.pi) * share, np.sqrt(1 - 2 / np.pi) * share
    if place == "joint corner":
        return 0.0, np.sqrt(2) * share
    if place == "joint edge":
        return 0.0, share
    return 2 * share**2, 2 * share**2


def read_by_bead(run: Run, bench: Bench, bead: Bead, lag, share, slip, calibration, clock, at):
    """Return what a bead reads at times [°C], from a run: slip, then seat, then lag, then calibration."""
    k = PLACES.index(bead.place)
    there = run.places[:, k] + slip * (run.beside[:, k] - run.places[:, k])
    seen = there + share * (air_at(run, bench, bead.place) - there)
    return bench.room_c + (1 + calibration) * np.interp(np.asarray(at) + clock, run.time, behind(run.time, seen, lag))


def air_at(run: Run, bench: Bench, place: str) -> np.ndarray:
    """Return the gas around a place above room [K]: the nozzle's, what of it spills so far, or that over the plate."""
    if place == "package top":
        return np.where(run.lowered, run.gas, 0.0)
    if place in NEIGHBOURS:
        return np.where(run.lowered, run.gas * np.exp(-NEIGHBOURS[place] / bench.spill_reach), 0.0)
    return bench.plate_gas_share * run.plate


def behind(time, seen, lag: float):
    """Return a first-order answer to what is straight between uneven times, from rest."""
    steps = np.diff(time)
    uneven = np.flatnonzero(np.abs(np.diff(steps)) > 1e-6) + 1
    out = np.empty(time.size)
    out[0] = seen[0]
    for start, stop in pairwise([0, *uneven, steps.size]):
        keep = np.exp(-steps[start] / lag)
        old = lag / steps[start] * (1 - keep) - keep
        pushed = old * seen[start:stop] + (1 - keep - old) * seen[start + 1 : stop + 1]
        out[start + 1 : stop + 1], _ = lfilter([1.0], [1.0, -keep], pushed, zi=[keep * out[start]])
    return out
