"""Explorers of the profile topic: heat a board, and read a noisy log."""

from functools import lru_cache

import numpy as np
from matplotlib import colormaps

from workbook.bench.profile import log as profile_log
from workbook.bench.profile.board import BOARDS, Programme, Traces, reduced, run
from workbook.panels.explorer import Explorer, Menu, Slider, Tick
from workbook.panels.pictures import COLOURS, Cells, Dots, Frame, Label, Line, Picture, Reading, key, legend, percent
from workbook.references import value

TL_C = value("profile", "sac305_solidus_c")
COLDEST_JOINT_C, HOTTEST_JOINT_C = value("profile", "joint_peak_lead_free_c")
"""Where a shop may want its joints' peaks; the sign-off holds them to the same."""

NEIGHBOUR_C = value("profile", "neighbour_body_lead_free_c")
"""What bodies and joints of neighbours may reach; melting is not the limit."""

HEAT_CONTROLS = (
    Menu("board", "Board", {"light": "2 layers", "medium": "4 layers", "heavy": "8 layers"}, "medium"),
    Slider("bottom_plate_c", "Bottom plate", "°C", 25, 425, 5, 350),
    Slider("top_gas_c", "Top gas", "°C", 200, 500, 5, 270),
    Slider("soak", "Plate alone, before the nozzle comes down", "s", 30, 240, 10, 120),
    Slider("hold", "Hold at full top heat", "s", 10, 120, 5, 60),
    Slider("moment", "Show the board's map at", "s", 0, 480, 5, 300),
    Menu("class_c", "Package rated to", {"245": "245 °C", "250": "250 °C", "260": "260 °C"}, "245"),
    Tick("top_only", "Top heat only"),
)

TRACES = {
    "package top": ("sky", 2.5, ()),
    "joint centre": ("red", 2.5, ()),
    "joint corner": ("orange", 2.5, (7, 3)),
    "board bottom": ("blue", 2.0, (2, 3)),
    "neighbour at 10 mm": ("green", 2.0, (9, 3, 2, 3)),
    "neighbour at 40 mm": ("purple", 2.0, (4, 4)),
}
"""Colour, width and dash of each place's line; dashes tell them apart without colour."""

LONGEST = 500.0
HOTTEST = 300.0


def heat_picture(settings) -> Picture:
    """Return the traces, the board's map and each limit's own margin for one heating programme."""
    bottom_c = 25.0 if settings.top_only else settings.bottom_plate_c
    traces = heated(settings.board, bottom_c, settings.top_gas_c, settings.hold, settings.soak)
    moment = min(settings.moment, float(traces.time[-1]))
    marks = [
        Line(traces.time, traces.temperature_c[place], colour, width, dash)
        for place, (colour, width, dash) in TRACES.items()
    ]
    marks.append(Line([moment, moment], [0, HOTTEST], "grey", 1.5, (3, 3)))
    field = traces.board_top_c(moment)
    marks.append(Cells(heat_colours(field), (-150, 150, -100, 100), axes=1))
    marks.append(Label(0, 88, f"after {moment:.0f} s", axes=1, anchor="middle", colour="#000000"))
    readout = heat_readings(traces, float(settings.class_c))
    return Picture(HEAT_FRAME, tuple(marks), heat_words(traces, settings), readout)


@lru_cache(maxsize=64)
def heated(board: str, bottom_plate_c: float, top_gas_c: float, hold: float, soak: float) -> Traces:
    """Return the temperatures of a named board under a programme; the last few are kept."""
    programme = Programme.from_choices(bottom_plate_c, top_gas_c, hold=hold, soak=soak)
    return run(reduced(BOARDS[board]), programme)


def heat_readings(traces: Traces, class_c: float) -> tuple[Reading, ...]:
    """Return each limit with its own margin. The package's rating is published; the rest is what the shop asks."""
    package = float(traces.temperature_c["package top"].max())
    cold, hot = float(traces.joints_c.max(axis=0).min()), float(traces.joints_c.max())
    time_cold = profile_log.time_above(traces.time, traces.coldest_joint_c, TL_C)
    time_hot = profile_log.time_above(traces.time, traces.hottest_joint_c, TL_C)
    near = float(traces.temperature_c["neighbour at 10 mm"].max())
    at_peak = traces.joints_c[np.argmax(traces.hottest_joint_c)]
    spread = float(at_peak.max() - at_peak.min())
    molten = float(traces.molten_share.max())
    return (
        _limit(f"package top, at most {class_c:.0f} °C", package, class_c - package, "°C"),
        _limit(f"coldest joint's peak, at least {COLDEST_JOINT_C} °C", cold, cold - COLDEST_JOINT_C, "°C"),
        _limit(f"hottest joint's peak, at most {HOTTEST_JOINT_C} °C", hot, HOTTEST_JOINT_C - hot, "°C"),
        _limit(f"coldest joint above {TL_C} °C, at least 60 s", time_cold, time_cold - 60, "s", 10),
        _limit(f"hottest joint above {TL_C} °C, at most 120 s", time_hot, 120 - time_hot, "s", 10),
        _limit(f"neighbour at 10 mm, at most {NEIGHBOUR_C} °C", near, NEIGHBOUR_C - near, "°C"),
        _limit("joints apart at the peak, at most 20 K", spread, 20 - spread, "K"),
        Reading("joints molten at the best moment", percent(molten), "all" if molten > 0.999 else "not all"),
    )


def _limit(words: str, measured: float, margin: float, unit: str, guard: float = 1.5) -> Reading:
    state = "borderline" if abs(margin) < guard else "inside" if margin > 0 else "outside"
    return Reading(words, f"{measured:.0f} {unit}, margin {round(margin) or 0:+d} {unit}", state)


def heat_words(traces: Traces, settings) -> str:
    """Say what the traces show."""
    peaks = ", ".join(f"{place} {traces.temperature_c[place].max():.0f} °C" for place in TRACES)
    heat = "top heat only" if settings.top_only else f"the bottom plate at {settings.bottom_plate_c:.0f} °C"
    molten = traces.molten_share.max()
    joints = "Every joint melts." if molten > 0.999 else f"{percent(molten)} of the joints melt."
    gas = f"gas at {settings.top_gas_c:.0f} °C"
    return f"Temperatures over time on the {settings.board} board with {heat} and {gas}. Peaks: {peaks}. {joints}"


def _draw_heat(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (3, 2)} if narrow else {"ncols": 2, "width_ratios": (3, 2)}
    traces, board = figure.subplots(**shape)
    traces.set(xlim=(0, LONGEST), ylim=(0, HOTTEST), xlabel="time [s]", ylabel="temperature [°C]")
    traces.axhline(TL_C, color=COLOURS["grey"], lw=1)
    traces.text(LONGEST - 6, TL_C + 4, f"{TL_C} °C", fontsize=9, ha="right")
    for place, (colour, width, dash) in TRACES.items():
        key(traces, place, colour, width, dash)
    legend(traces, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2 if narrow else 3)
    board.set(xlim=(-150, 150), ylim=(-100, 100), xlabel="along the board [mm]", aspect="equal")
    board.tick_params(labelsize=9)
    bands = board.inset_axes((0, 1.08, 1, 0.06))
    bands.imshow([np.linspace(0, 1, 256)], aspect="auto", cmap="cividis", extent=(25, HOTTEST, 0, 1))
    bands.set(yticks=[], xticks=(25, 100, 150, TL_C, 300))
    bands.tick_params(labelsize=9, bottom=False, labelbottom=False, top=True, labeltop=True)
    return [traces, board]


HEAT_FRAME = Frame("heat", _draw_heat, wide=(860, 380), narrow=(380, 420))


def heat_colours(field) -> np.ndarray:
    """Return a temperature map as colours that stay in order for colour-blind readers and in grey."""
    share = np.clip((np.asarray(field) - 25) / (HOTTEST - 25), 0, 1)
    return (colormaps["cividis"](share) * 255).astype(np.uint8)


LOG_CONTROLS = (
    Slider("step", "Seconds between readings", "s", 1, 30, 1, 1),
    Slider("noise", "Noise of one reading (standard deviation)", "K", 0, 2, 0.1, 0.5),
    Slider("window", "Window of the steepest ramp", "s", 2, 40, 2, 10),
    Slider("level_c", "Level of the time above", "°C", 200, 230, 1, TL_C),
    Slider("draw", "Another day's noise", "1", 1, 20, 1, 1),
)

TRUE_RAMP, TRUE_PEAK = 1.5, 243.0


def true_log(time):
    """Return an invented profile whose answers are known: 1.5 K/s up, a soak, 1.5 K/s to 243 °C, 2.5 K/s down."""
    corners = np.array([[0, 25], [83.33, 150], [173.33, 200], [202, TRUE_PEAK], [302, -7]])
    return np.interp(time, corners[:, 0], corners[:, 1])


def log_picture(settings) -> Picture:
    """Return a noisy log beside the truth, and what each metric makes of it."""
    time = np.arange(0, 260, settings.step)
    noise = np.random.default_rng(int(settings.draw)).normal(0, 1, 300)[: time.size]
    readings = true_log(time) + settings.noise * noise
    fine = np.arange(0, 260, 0.5)
    truth = profile_log.time_above(fine, true_log(fine), settings.level_c)
    found = profile_log.time_above(time, readings, settings.level_c)
    window = max(settings.window, 2 * settings.step)
    steepest = profile_log.steepest_ramp(time, readings, window)
    pairwise = float(np.max(np.diff(readings) / np.diff(time)))
    marks = (
        Line(fine, true_log(fine), "grey", 1.5),
        Dots(time, readings, "blue", 4),
        Line([0, 260], [settings.level_c] * 2, "red", 1.5, (6, 3)),
    )
    readout = (
        Reading(f"time above {settings.level_c:.0f} °C, from the crossings", f"{found:.1f} s", f"true {truth:.1f} s"),
        Reading(f"steepest ramp over {window:.0f} s", f"{steepest:.2f} K/s", f"true {TRUE_RAMP:.2f} K/s"),
        Reading("steepest step between two readings", f"{pairwise:.2f} K/s", f"true {TRUE_RAMP:.2f} K/s"),
        Reading("highest reading", f"{readings.max():.1f} °C", f"true {TRUE_PEAK:.1f} °C"),
    )
    words = (
        f"An invented thermocouple log with a reading every {settings.step:.0f} s and noise of {settings.noise:.1f} K. "
        f"Time above {settings.level_c:.0f} °C: {found:.1f} s, truly {truth:.1f} s. Steepest ramp over {window:.0f} s: "
        f"{steepest:.2f} K/s, truly {TRUE_RAMP:.2f} K/s; between two readings {pairwise:.2f} K/s."
    )
    return Picture(LOG_FRAME, marks, words, readout)


def _draw_log(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0, 260), ylim=(0, 270), xlabel="time [s]", ylabel="temperature [°C]")
    axes.grid(alpha=0.25)
    return [axes]


LOG_FRAME = Frame("log", _draw_log, wide=(860, 360), narrow=(380, 380))


def heat_explorer() -> Explorer:
    """Return the explorer of a board on the station."""
    return Explorer("Heat a board", HEAT_CONTROLS, heat_picture)


def log_explorer() -> Explorer:
    """Return the explorer of a noisy log."""
    return Explorer("Read a noisy log", LOG_CONTROLS, log_picture)
