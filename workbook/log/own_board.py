"""One's own board from one's own log: fitted, foreseen and planned, in plain lines. Nothing leaves the machine."""

import re
import textwrap
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from workbook.bench.profile.fit import HARDLY
from workbook.bench.profile.own_board import OwnBoard, Trial, trial_from_log
from workbook.bench.profile.own_fit import QUANTITIES, Forecast, OwnFit, fit_trials
from workbook.bench.profile.own_plan import Choices, Proposal, propose, worth
from workbook.log import reading
from workbook.log.board_file import BoardFile
from workbook.problems import Problem, meant
from workbook.references import value
from workbook.units import of_difference

WIDTH = 80
FEWEST_SECONDS, FEWEST_MEANS = 60.0, 12
"""A shorter log tells a slope, and no board."""
LEAST_RISE = 30.0
"""A bead that warms by less was not on a heated board [K]."""

WORDS = {
    "conductivity_along": ("conductivity along the board", "W/mK", 1),
    "conductivity_through": ("conductivity through the board", "W/mK", 1),
    "heat_capacity": ("heat capacity of the board", "MJ/m³K", 1e-6),
    "emissivity": ("emissivity of the board", "", 1),
    "plate_emissivity": ("emissivity of the plate", "", 1),
    "plate_gap": ("gap between plate and board", "mm", 1e3),
    "plate_gas_share": ("plate's share in the gas below", "", 1),
    "top_film": ("film over the board", "W/m²K", 1),
    "bottom_film": ("film under the board", "W/m²K", 1),
    "nozzle_film": ("film under the nozzle", "W/m²K", 1),
    "spill_film": ("film of the gas that spills", "W/m²K", 1),
    "spill_reach": ("how far the gas spills", "mm", 1e3),
    "joint_film": ("conductance of the joints", "W/m²K", 1),
    "substrate_conductivity_along": ("conductivity along the substrate", "W/mK", 1),
    "substrate_conductivity_through": ("conductivity through the substrate", "W/mK", 1),
    "body_conductivity": ("conductivity of the package's body", "W/mK", 1),
    "package_heat_capacity": ("heat capacity of the package", "MJ/m³K", 1e-6),
    "neighbour_heat_capacity": ("heat capacity of a neighbour", "MJ/m³K", 1e-6),
    "plate_lag": ("lag of the plate", "s", 1),
    "gas_lag": ("lag of the gas", "s", 1),
    "gas_error": ("gas hotter than it says", "%", 100),
    "plate_error": ("plate hotter than it says", "%", 100),
}


def trials_of(board: BoardFile, log: Path) -> tuple[OwnBoard, tuple[Trial, ...], tuple[str, ...]]:
    """Return the board with its beads, its trials, and notes; or raise Problem where a log cannot be used."""
    trials, notes = [], []
    for trial in board.trials:
        path = log if trial.file is None else trial.file
        found = reading.read(path)
        notes += [f"{path.name}: {note}" for note in found.notes]
        heads = {column: _head_of(column, found.channels, path) for column in board.beads}
        unused = [head for head in found.channels if head not in heads.values()]
        if unused:
            notes.append(f"{path.name}: not used, for no bead is named so: {', '.join(unused)}")
        _hold_length(found, trial, path)
        channels = [found.channels[heads[column]] for column in board.beads]
        made = trial_from_log(trial.programme, found.time, channels, trial.start)
        for column, time, readings in zip(board.beads, made.time, made.readings_c, strict=True):
            if time.size < FEWEST_MEANS:
                raise Problem(
                    f"{path}: {column!r} has readings in {time.size} spans of 5 s of the programme; "
                    f"{FEWEST_MEANS} are needed.",
                    "is start_s the moment in the log at which the programme started?",
                )
            if np.ptp(readings) < LEAST_RISE:
                raise Problem(
                    f"{path}: {column!r} changes by {np.ptp(readings):.0f} K in the trial: no heated board did that.",
                    "is this its column, and start_s right?",
                )
        trials.append(made)
    return OwnBoard(board.bench, tuple(board.beads.values())), tuple(trials), tuple(dict.fromkeys(notes))


def _head_of(column: str, heads, path) -> str:
    """Return the head of a bead's column: the same word, or the one that has a unit behind it."""
    with_unit = [head for head in heads if re.fullmatch(re.escape(column) + r"\s*[\[(].*", head)]
    if column in heads or len(with_unit) == 1:
        return column if column in heads else with_unit[0]
    raise Problem(
        f"{path} has no column {column!r} of temperatures: {meant(column, heads)}",
        "name the columns under [beads] as they stand in the log",
    )


def _hold_length(found, trial, path):
    end = float(np.nanmax(found.time)) - trial.start
    if end < FEWEST_SECONDS:
        raise Problem(
            f"{path} ends {max(0.0, end):.0f} s after the programme started: too short to tell anything about a board.",
            f"log at least {FEWEST_SECONDS:g} s, better the whole programme with a minute of cooling",
        )


@dataclass(frozen=True, eq=False)
class BoardFindings:
    """All that is said of a board: the fit, the programme one has in mind, and the one proposed."""

    board: BoardFile
    fit: OwnFit
    columns: tuple[str, ...]
    notes: tuple[str, ...]


def fit(board: BoardFile, log: Path) -> BoardFindings:
    """Return the fit of a board to its logs, or raise Problem."""
    own, trials, notes = trials_of(board, log)
    return BoardFindings(board, fit_trials(own, trials), tuple(board.beads), notes)


def lines(told: BoardFindings) -> list[str]:
    """Return what is said, no line wider than a terminal of 80 columns."""
    said = [*_head(told), "", *_explained(told)]
    if told.fit.estimate.explained:
        said += ["", *_told(told), "", *_ahead(told), *_proposed(told)]
    said += [
        "",
        *_wrapped(f"{_kept(told)}The board is simulated, and was not checked against measured boards. {STAYED}"),
    ]
    return [line for one in said for line in (_wrapped(one) if len(one) > WIDTH else [one])]


STAYED = "Nothing left this machine."


def _kept(told) -> str:
    """Say what the intervals do not hold, and on how many boards they were tried; nothing where none was given."""
    if not told.fit.estimate.explained:
        return ""
    boards, once, twice, least = value("profile", "own_board_tried")
    return (
        "What no interval holds: sizes or set points told wrongly, a draught, a fan, a sink, another board. The "
        f"intervals promise 9 in 10. Tried on {boards:g} simulated boards of a finer kind, they held {once:g} % of "
        f"what came after one trial and {twice:g} % after two, and no peak in less than {least:g} %. "
    )


def _wrapped(text: str, indent: str = "") -> list[str]:
    lead = text[: len(text) - len(text.lstrip())] or indent
    return textwrap.wrap(text, WIDTH, subsequent_indent=lead + ("  " if lead else "")) or [""]


def _head(told):
    count = len(told.board.trials)
    made_up = " The log is made up." if told.board.made_up else ""
    beads = ", ".join(f"{column} ({bead.place})" for column, bead in told.board.beads.items())
    return [
        f"Your own board, fitted to {count} trial{'s' if count > 1 else ''}.{made_up}",
        f"Beads: {beads}.",
        *(f"assumed: {note}" for note in told.notes),
    ]


def _explained(told):
    found, said = told.fit.estimate, []
    parts = [(k, j, part) for k, j, part in told.fit.readings.blocks]
    apart = told.fit.departures
    if found.explained:
        said += _wrapped(
            "Does the model explain the log? Nothing in the log speaks against it. Sizes or set points that were told "
            "wrongly can still hide in what is fitted."
        )
    else:
        said.append("Does the model explain the log? No: no interval is given.")
        said.append(
            "  With every unknown where it fits best, the log departs from the model by more than noise and the "
            "model's own error make in one of ten thousand cases."
        )
    for k, j, part in parts:
        rest, time = apart[part], told.fit.trials[k].time[j]
        worst = int(np.abs(rest).argmax())
        trial = f"trial {k + 1}, " if len(told.fit.trials) > 1 else ""
        said.append(
            f"  {trial}{told.columns[j]}: log less model {np.sqrt(np.mean(rest**2)):.1f} K (root mean square), worst "
            f"{rest[worst]:+.1f} K at {time[worst]:.0f} s{_runs_in_words(found.runs(part))}"
        )
    if not found.explained:
        _, most, _ = max(parts, key=lambda one: np.mean(apart[one[2]] ** 2))
        said.append(
            f"  Look first at {told.columns[most]}, which departs most: is it at the place named, does it still "
            "hold, is start_s right, and did the station do this programme? Was there a draught, a sink or a part that "
            "the model does not have?"
        )
    return said


def _runs_in_words(runs: float) -> str:
    return ", long on one side" if runs > 3 else ""


def _told(told):
    found = told.fit.estimate
    named = told.fit.own.board_unknowns
    left = found.left
    said = _wrapped(
        "What the log tells. A line gives the likeliest value, the ends between which it lies in 9 of 10 cases, and "
        "how much is left of the uncertainty that was assumed before the log (100 %: the log tells nothing of it)."
    )
    for one in sorted(named, key=lambda unknown: left[unknown.name]):
        if left[one.name] <= HARDLY:
            words, unit, scale = WORDS[one.name]
            low, high = (scale * end for end in found.interval(one.name))
            size = f"{_short(scale * found.values[one.name])} {unit}".strip()
            ends = f"{_short(low)} to {_short(high)}"
            said.append(f"  {words:<36} {size:<14} {ends:<17} {100 * left[one.name]:3.0f} %")
    nothing = [WORDS[one.name][0] for one in named if left[one.name] > HARDLY]
    if nothing:
        said.append(f"It tells nothing of: {', '.join(nothing)}.")
    late = [(one.name, found.values[one.name]) for one in found.unknowns if one.name.startswith("clock")]
    said += [
        f"The {name} runs {abs(value):.0f} s {'ahead of' if value > 0 else 'behind'} start_s: look at start_s."
        for name, value in late
        if abs(value) > 2.5
    ]
    return said


def _short(number: float) -> str:
    """Return a number with three figures, and no finer than a hundredth: no log tells more."""
    return f"{number:.3g}" if abs(number) >= 0.995 else f"{number:.2f}"


def _ahead(told):
    if told.board.ahead is None:
        return []
    forecast = told.fit.foresee(told.board.ahead.programme(told.board.bench.room_c))
    said = [f"The programme you have in mind ({_choices(told.board.ahead)}):", *_foreseen(forecast)]
    return [*said, *_limits(told, forecast), ""]


def _choices(choices: Choices) -> str:
    return (
        f"plate {choices.bottom_plate_c:.0f} °C, gas {choices.top_gas_c:.0f} °C, soak {choices.soak:.0f} s, "
        f"hold {choices.hold:.0f} s"
    )


def _foreseen(forecast: Forecast) -> list[str]:
    said = []
    for name, unit in QUANTITIES.items():
        low, high = forecast.interval(name)
        said.append(
            f"  {name:<32} {forecast.likeliest[name]:6.0f} {unit:<2}  9 in 10 between {low:.0f} and {high:.0f} {unit}"
        )
    return said


def _limits(told, forecast: Forecast) -> list[str]:
    said = ["  Each limit, with its own margin and the chance that it holds:"]
    for one in told.board.limits:
        unit, likely = QUANTITIES[one.quantity], forecast.likeliest[one.quantity]
        bound = f"at least {one.low:g}" if np.isfinite(one.low) else f"at most {one.high:g}"
        chance = one.chance(forecast)
        enough = "" if chance >= told.board.chance else "  not enough"
        limit = f"{one.quantity}, {bound} {unit}"
        said.append(f"  {limit:<48} {one.margin(likely):+5.0f} {of_difference(unit):<2} {_percent(chance):>6}{enough}")
    return said


def _percent(chance: float) -> str:
    """Say a chance as far as the draws tell it."""
    return "> 99 %" if chance > 0.99 else "< 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def _proposed(told):
    made: Proposal = propose(told.fit, told.board.limits, told.board.chance, told.board.station)
    asked = f"{told.board.chance:.0%}".replace("%", " %")
    if made.reached:
        head = f"A programme that holds each limit with a chance of {asked} or more:"
    else:
        head = f"No programme was found that holds each limit with a chance of {asked}. The nearest:"
    said = [head, f"  {_choices(made.choices)}", *_foreseen(made.forecast), *_limits(told, made.forecast)]
    said += [
        "",
        *_wrapped(
            "What one more measurement would buy: half the width of the 9 in 10 interval of each peak of this "
            "programme, now and with it. To know one peak better, take the line that is smallest in its column."
        ),
    ]
    head = ("coldest", "hottest", "package", "near 10", "near 40")
    said.append(f"  {'':<38}" + "".join(f"{one:>8}" for one in head))
    for one in worth(told.fit, made.choices.programme(told.board.bench.room_c)):
        widths = "".join(f"{width:6.1f} K" for width in one.half_width.values())
        said.append(f"  {one.what:<38}{widths}")
    return said
