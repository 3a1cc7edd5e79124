"""Explorer: fit a simulated board to an invented log, move the next programme, and see what is promised of it."""

from functools import lru_cache

import numpy as np

from workbook.bench.profile.board_family import Member
from workbook.bench.profile.board_station import MEDIUM, Programme
from workbook.bench.profile.fit import HARDLY, TOLD
from workbook.bench.profile.own_board import Bead, OwnBoard, Trial, run_member
from workbook.bench.profile.own_fit import TRACES, OwnFit, Readings, fit_trials, traces
from workbook.panels.explorer import Explorer, Menu, Slider
from workbook.panels.pictures import COLOURS, FONT, Dots, Frame, Label, Line, Picture, Reading, key, legend, percent

BEADS = {
    "two": (Bead("package top"), Bead("board bottom")),
    "three": (Bead("package top"), Bead("board bottom"), Bead("joint corner", "soldered")),
    "four": (
        Bead("package top"),
        Bead("board bottom"),
        Bead("joint corner", "soldered"),
        Bead("neighbour at 10 mm"),
    ),
}
LOOKS = {
    "package top": ("sky", ()),
    "board bottom": ("blue", (2, 3)),
    "joint corner": ("orange", (7, 3)),
    "neighbour at 10 mm": ("green", (9, 3, 2, 3)),
}
TRIALS = (
    Programme.from_choices(320.0, 265.0, hold=60.0, soak=90.0),
    Programme.from_choices(345.0, 280.0, hold=50.0, soak=120.0),
)
NOISE = 0.3
"""Of one mean over five seconds [K]."""

OWN_CONTROLS = (
    Menu(
        "beads",
        "Beads in the trial",
        {"two": "package top, board bottom", "three": "and a corner joint", "four": "and a neighbour"},
        "two",
    ),
    Menu("trials", "Trials logged", {"1": "one", "2": "two"}, "1"),
    Slider("bottom_plate_c", "Next: bottom plate", "°C", 290, 370, 5, 340),
    Slider("top_gas_c", "Next: top gas", "°C", 240, 320, 5, 280),
    Slider("soak", "Next: plate alone", "s", 30, 180, 10, 90),
    Slider("hold", "Next: hold at full gas", "s", 20, 120, 5, 60),
)
ASKED = {
    "nozzle_film": "film under the nozzle",
    "bottom_film": "film under the board",
    "conductivity_along": "conductivity along the board",
}


@lru_cache(maxsize=8)
def invented(beads: str, trials: int) -> tuple[OwnFit, Member, dict[str, float]]:
    """Return the fit to an invented log, and the board that made it with its heater errors, which no fit is told."""
    own = OwnBoard(MEDIUM, BEADS[beads])
    time = np.arange(2.5, 370.0, 5.0)
    blank = [Trial(one, (time,) * len(own.beads), (), (NOISE,) * len(own.beads)) for one in TRIALS[:trials]]
    readings = Readings(own, blank)
    # Each bead's and each trial's own numbers, whatever else is logged.
    truth = np.array([np.random.default_rng([7, *one.name.encode()]).normal() for one in readings.unknowns])
    read = readings.model(truth)
    logs = []
    for k, one in enumerate(blank):
        parts = [part for trial, _, part in readings.blocks if trial == k]
        noise = np.random.default_rng([8, k]).normal(size=(4, time.size))
        logs.append(
            Trial(
                one.programme,
                one.time,
                tuple(read[part] + NOISE * noise[j] for j, part in enumerate(parts)),
                one.noise,
            )
        )
    return fit_trials(own, logs), own.family.board(own.bench_at(truth)), own.heater_errors(truth)


def own_picture(settings) -> Picture:
    """Return the first trial's log with the fitted model, and each peak of the next programme with its interval."""
    fit, true_board, true_errors = invented(settings.beads, int(settings.trials))
    wanted = Programme.from_choices(settings.bottom_plate_c, settings.top_gas_c, settings.hold, settings.soak)
    forecast = fit.foresee(wanted)
    own = fit.own
    true_run = run_member(true_board, wanted, **true_errors)
    real = traces(true_run, room_c=own.bench.room_c).max(axis=0)
    marks, model = [], fit.readings.observed - fit.departures
    for k, j, part in fit.readings.blocks:
        if k == 0:
            colour, dash = LOOKS[own.beads[j].place]
            time = fit.trials[0].time[j]
            marks += [Line(time, model[part], colour, 2, dash), Dots(time, fit.trials[0].readings_c[j], colour, 3)]
    readout = []
    for row, (name, true) in enumerate(zip(TRACES, real, strict=True)):
        quantity = f"peak of the {name}"
        low, high = forecast.interval(quantity)
        place = len(TRACES) - 1 - row
        marks += [
            Line([low - true, high - true], [place, place], "blue", 7, axes=1),
            Dots([forecast.likeliest[quantity] - true], [place], "ink", 7, axes=1),
            Label(-9.7, place + 0.36, name, axes=1),
        ]
        missed = "" if low <= true <= high else "missed: "
        readout.append(Reading(quantity, f"{low:.1f} to {high:.1f} °C", f"{missed}comes to {true:.1f} °C"))
    left = fit.estimate.left
    for name, words in ASKED.items():
        told = "told" if left[name] < TOLD else "a little" if left[name] < HARDLY else "not told"
        readout.append(Reading(f"doubt left of the {words}", percent(left[name]), told))
    many = f"{len(own.beads)} beads in {len(fit.trials)} trial{'s' if len(fit.trials) > 1 else ''}"
    peaks = " ".join(f"{one.words}, {one.value}, {one.state}." for one in readout[: len(TRACES)])
    words = f"An invented log of {many}, and the fitted simulated board. Next programme, in 9 of 10: {peaks}"
    return Picture(OWN_FRAME, tuple(marks), words, tuple(readout))


def _draw_own(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (3, 3)} if narrow else {"ncols": 2, "width_ratios": (3, 2)}
    log, peaks = figure.subplots(**shape)
    log.set(xlim=(0, 380), ylim=(0, 290), xlabel="time [s]", ylabel="temperature [°C]")
    for name, (colour, dash) in LOOKS.items():
        key(log, name, colour, 2, dash)
    legend(log, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2)
    peaks.set(xlim=(-10, 10), ylim=(-0.6, len(TRACES) - 0.2), yticks=[], xlabel="peak foreseen, less what comes [K]")
    peaks.set_xticks(range(-10, 11, 5))
    peaks.axvline(0, color=COLOURS["grey"], lw=1.5, ls="--")
    peaks.tick_params(labelsize=FONT)
    return [log, peaks]


OWN_FRAME = Frame("own board", _draw_own, wide=(860, 324), narrow=(380, 410))


def own_explorer() -> Explorer:
    """Return the explorer of one's own board."""
    return Explorer("Your own board, from an invented log", OWN_CONTROLS, own_picture)
