"""Choose the next programme for one's own board, and see what one more bead or one more trial would buy.

Each limit has its own chance and its own margin.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from workbook.bench import checks
from workbook.bench.profile.board_station import PLACES, Programme
from workbook.bench.profile.own_board import Bead, Trial, middles_of_bins
from workbook.bench.profile.own_fit import QUANTITIES, TRACES, Forecast, OwnFit, Readings, traces
from workbook.references import table

__all__ = ["Choices", "Proposal", "Wanted", "Worth", "propose", "worth"]


@dataclass(frozen=True)
class Wanted:
    """A limit on one of ``QUANTITIES``, from low to high in its unit."""

    quantity: str
    low: float = -np.inf
    high: float = np.inf

    def __post_init__(self):
        if self.quantity not in QUANTITIES:
            raise ValueError(f"quantity must be one of {', '.join(QUANTITIES)} (got {self.quantity})")
        checks.number("low", self.low)
        checks.number("high", self.high)

    def margin(self, value: float) -> float:
        """Return how far inside the limit a value is, below zero outside."""
        return min(value - self.low, self.high - value)

    def chance(self, forecast: Forecast) -> float:
        """Return the chance that a forecast keeps the limit."""
        return forecast.chance_within(self.quantity, self.low, self.high)


@dataclass(frozen=True)
class Choices:
    """What a person sets at a station; temperatures [°C] and times [s]."""

    bottom_plate_c: float
    top_gas_c: float
    hold: float = 60.0
    soak: float = 90.0

    def programme(self, room_c: float = 25.0) -> Programme:
        """Return the programme of the choices."""
        return Programme.from_choices(self.bottom_plate_c, self.top_gas_c, self.hold, self.soak, room_c=room_c)


STATION = {"bottom_plate_c": (150.0, 400.0), "top_gas_c": (200.0, 400.0), "hold": (20.0, 120.0), "soak": (30.0, 240.0)}
"""What a station can be set to, where the person says nothing else."""

FIRST = tuple(Choices(plate, gas, 60.0, 90.0) for plate in (300, 325, 350) for gas in (260, 285, 310))
STRIDES = ((20.0, 20.0, 20.0, 30.0), (10.0, 10.0, 10.0, 30.0), (5.0, 5.0, 5.0, 10.0))


@dataclass(frozen=True, eq=False)
class Proposal:
    """A programme to try next: the choices, what they would do, and the chance of each limit."""

    choices: Choices
    forecast: Forecast
    chances: tuple[float, ...]
    """In the order of the limits."""
    reached: bool
    """Whether each limit holds with the chance that was asked for."""


def propose(fit: OwnFit, wanted: Sequence[Wanted], chance: float = 0.9, station: dict | None = None) -> Proposal:
    """Return the programme whose worst limit is the safest, with each limit's own chance.

    Parameters
    ----------
    fit : OwnFit
        The board as its logs tell it.
    wanted : Wanted (sequence)
        The limits.
    chance : float
        The chance asked of each limit, between 0 and 1 [1].
    station : dict, optional
        Ends of what can be set, by the names of :class:`Choices`, those of ``STATION`` where not given [°C, s].

    Returns
    -------
    Proposal
        The programme. ``reached`` is false where none was found that keeps each limit with the chance.

    References
    ----------
    A search along one setting after the other with shrinking strides (textbook); it finds a good programme and does not
    prove that there is no better one.

    Examples
    --------
    A limit that no station within reach can break holds:

    >>> from workbook.bench.profile.own_board import OwnBoard, trial_from_log
    >>> warm = Programme(((0.0, 25.0), (20.0, 250.0)), duration=90.0)
    >>> log = [25.0 + 0.4 * max(0, second - 10) for second in range(91)]
    >>> board = OwnBoard(beads=(Bead("board bottom"),))
    >>> from workbook.bench.profile.own_fit import fit_trials
    >>> fit = fit_trials(board, [trial_from_log(warm, range(91), [log])])
    >>> propose(fit, [Wanted("peak of the package top", high=900.0)]).reached
    True
    """
    checks.inside("chance", chance, 0, 1)
    if not wanted:
        raise ValueError("at least one limit is needed (got none)")
    ends = STATION | (station or {})
    seen: dict[Choices, tuple[float, Forecast]] = {}

    def safety(choices: Choices) -> float:
        if choices not in seen:
            forecast = fit.foresee(choices.programme(fit.own.bench.room_c))
            safest = min(
                one.margin(float(forecast.draws[one.quantity].mean())) / float(forecast.draws[one.quantity].std())
                if forecast.draws[one.quantity].std() > 0
                else -np.inf
                for one in wanted
            )
            seen[choices] = safest, forecast
        return seen[choices][0]

    def inside(choices: Choices) -> Choices:
        return Choices(**{name: float(np.clip(getattr(choices, name), *ends[name])) for name in STATION})

    best = max((inside(one) for one in FIRST), key=safety)
    for strides in STRIDES:
        moved = True
        while moved:
            moved = False
            for name, stride in zip(STATION, strides, strict=True):
                near = [inside(replace(best, **{name: getattr(best, name) + way})) for way in (-stride, stride)]
                better = max(near, key=safety)
                if safety(better) > safety(best):
                    best, moved = better, True
    forecast = seen[best][1]
    chances = tuple(one.chance(forecast) for one in wanted)
    return Proposal(best, forecast, chances, min(chances) >= chance)


@dataclass(frozen=True)
class Worth:
    """What one more measurement would leave: half the width of the interval of each peak in 9 of 10 cases [K]."""

    what: str
    half_width: dict[str, float]


NINE_OF_TEN = float(stats.norm.ppf(0.95))
"""Standard deviations to either side that hold nine of ten."""


def worth(fit: OwnFit, programme: Programme, seat: str = "glued") -> list[Worth]:
    """Return the width of each peak's interval now, with one more bead at each free place, and after one more trial.

    What a further log would read is not known, but how well is: where the model is straight, the expected width does
    not depend on the readings (Laplace).

    Parameters
    ----------
    fit : OwnFit
        The board as its logs tell it.
    programme : Programme
        The programme whose peaks are asked for; the further trial runs it too.
    seat : str
        How a further bead would be held.

    Returns
    -------
    list of Worth
        Now, then each possibility [K].

    References
    ----------
    Expected posterior covariance of a linear Gaussian model (Chaloner and Verdinelli, Statist. Sci. 10 (1995) 273; from
    memory).

    Examples
    --------
    More readings never leave more uncertainty:

    >>> from workbook.bench.profile.own_board import OwnBoard, trial_from_log
    >>> warm = Programme(((0.0, 25.0), (20.0, 250.0)), duration=90.0)
    >>> log = [25.0 + 0.4 * max(0, second - 10) for second in range(91)]
    >>> board = OwnBoard(beads=(Bead("board bottom"),))
    >>> from workbook.bench.profile.own_fit import fit_trials
    >>> fit = fit_trials(board, [trial_from_log(warm, range(91), [log])])
    >>> now, *further = worth(fit, warm)
    >>> all(one.half_width["package top"] <= now.half_width["package top"] for one in further)
    True
    """
    slopes = _peak_slopes(fit, programme)
    count = slopes.shape[1]
    errors = table("profile", "own_board_forecast_error")
    models_own = np.array([errors[f"peak of the {name}"]["spread"] for name in TRACES])

    def left(covariance):
        deviations = np.sqrt(np.einsum("ij,jk,ik->i", slopes, covariance[:count, :count], slopes) + models_own**2)
        return {name: float(NINE_OF_TEN * one) for name, one in zip(TRACES, deviations, strict=True)}

    found = [Worth("now", left(fit.estimate.covariance))]
    bench, last = fit.own, fit.trials[-1]
    for place in PLACES:
        if place not in [bead.place for bead in bench.beads]:
            wider = replace(bench, beads=(*bench.beads, Bead(place, seat)))
            again = [
                replace(trial, time=(*trial.time, trial.time[0]), noise=(*trial.noise, trial.noise[0]))
                for trial in fit.trials
            ]
            found.append(Worth(f"one more bead: {place}", left(_expected(fit, wider, again))))
    further = Trial(programme, (middles_of_bins(programme.duration),) * len(bench.beads), (), last.noise)
    found.append(Worth("one more trial, the beads as they are", left(_expected(fit, bench, [*fit.trials, further]))))
    return found


def _peak_slopes(fit, programme, step=0.05):
    """Return how each peak changes with the unknowns of the board (peaks x unknowns)."""
    x, count = fit.estimate.standard, len(fit.own.board_unknowns)

    def peaks(at):
        return traces(fit.own.runs(at, [programme])[0]).max(axis=0)

    base = peaks(x)
    return np.column_stack([(peaks(x + side) - base) / step for side in step * np.eye(count, x.size)])


def _expected(fit, own, trials):
    """Return the covariance that further readings would leave, at the likeliest values."""
    readings = Readings(own, trials)
    known = dict(zip(fit.estimate.names, fit.estimate.standard, strict=True))
    x = np.array([known.get(one.name, 0.0) for one in readings.unknowns])
    told = readings.whiten(readings.slopes(x))
    return np.linalg.inv(np.eye(x.size) + told.T @ told)
