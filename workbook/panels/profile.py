"""Explorers of the profile topic: heat a board, and read a noisy log."""

from functools import lru_cache

import numpy as np
from matplotlib import colormaps

from workbook.bench.profile import bead_seat, sag
from workbook.bench.profile import log as profile_log
from workbook.bench.profile.board import BOARDS, Programme, Traces, reduced, run
from workbook.bench.profile.board_pair import Heats, Package, PairBench, PairTraces, reduced_pair, run_pair
from workbook.bench.profile.heats import heats_left
from workbook.panels.explorer import Explorer, Menu, Slider, Tick
from workbook.panels.own_board import OWN_CONTROLS, own_explorer, own_picture
from workbook.panels.pictures import (
    COLOURS,
    FONT,
    Cells,
    Dots,
    Frame,
    Label,
    Line,
    Picture,
    Reading,
    key,
    legend,
    percent,
    stands,
    with_margin,
)
from workbook.references import value

__all__ = ["OWN_CONTROLS", "own_explorer", "own_picture"]
"""From the panel of one's own board, a file of its own; the lesson has all its explorers here."""

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
    ink = "#000000" if field[-1].mean() > BRIGHT_C else "#ffffff"  # the words stand on the upper edge
    marks.append(Label(0, 88, f"after {moment:.0f} s", axes=1, anchor="middle", colour=ink))
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
    return Reading(words, with_margin(f"{measured:.0f} {unit}", margin, unit), stands(margin, guard))


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
    bands.set(yticks=[], xticks=(25, 100, TL_C, 300) if narrow else (25, 100, 150, TL_C, 300))
    bands.set_title("temperature [°C]", fontsize=FONT)
    bands.tick_params(labelsize=9, bottom=False, labelbottom=False, top=True, labeltop=True)
    return [traces, board]


HEAT_FRAME = Frame("heat", _draw_heat, wide=(860, 380), narrow=(380, 420))


def heat_colours(field) -> np.ndarray:
    """Return a temperature map as colours that stay in order for colour-blind readers and in grey."""
    share = np.clip((np.asarray(field) - 25) / (HOTTEST - 25), 0, 1)
    return HEAT_COLOURS[np.minimum((share * len(HEAT_COLOURS)).astype(int), len(HEAT_COLOURS) - 1)]


BRIGHT_C = 0.47 * (HOTTEST - 25) + 25
"""From here on a map's colours are bright enough for black letters; below, letters are white [°C]."""

HEAT_COLOURS = (colormaps["cividis"](np.arange(256)) * 255).astype(np.uint8)
"""From cold to hot, made once: the map of colours takes longer to ask than the field to compute."""


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


# ---- two packages on one board

APART = 0.020
"""Between the two packages of the explorer and of the exercise [m]."""

PAIR = PairBench(packages=(Package(-(0.035 + APART) / 2), Package((0.035 + APART) / 2)))
SHIELDED = PairBench(packages=PAIR.packages, shield_side=0.045)

PAIR_CONTROLS = (
    Menu("order", "Order", {"first": "U1, then U2", "second": "U2, then U1"}, "first"),
    Menu("shield", "Shield over the one that is not heated", {"none": "none", "foil": "bright foil"}, "none"),
    Slider("bottom_plate_c", "Bottom plate", "°C", 200, 350, 5, 310),
    Slider("top_gas_c", "Gas over each package", "°C", 250, 400, 5, 310),
    Slider("hold", "Hold at full gas", "s", 20, 120, 5, 60),
    Slider("wait", "Wait between the heats, plate on", "s", 5, 240, 5, 20),
    Slider("cool_down", "Cool-down between the heats, plate off", "s", 0, 300, 10, 0),
    Slider("before", "Heats U1 and U2 had before", "1", 1, 3, 1, 2),
)
PAIR_LINES = (("U1", "blue", ()), ("U2", "orange", (8, 3)))
PAIR_LONGEST = 1000.0


@lru_cache(maxsize=64)
def pair_heated(shield: str, order: str, plate_c: float, gas_c: float, hold: float, wait: float, cool: float):
    """Return the temperatures of both packages under a programme; the last few are kept."""
    bench = SHIELDED if shield == "foil" else PAIR
    programme = Heats.from_choices(
        plate_c,
        (gas_c, gas_c),
        order=(0, 1) if order == "first" else (1, 0),
        hold=hold,
        soak=90.0,
        wait=wait,
        cool_down=cool,
    )
    return run_pair(bench, programme, board=reduced_pair(bench))


def pair_picture(settings) -> Picture:
    """Return the hottest and coldest joint of two packages over time, and the count of heats of each."""
    traces = pair_heated(
        settings.shield,
        settings.order,
        settings.bottom_plate_c,
        settings.top_gas_c,
        settings.hold,
        settings.wait,
        settings.cool_down,
    )
    marks = []
    for k, (name, colour, dash) in enumerate(PAIR_LINES):
        for joints, width in ((traces.hottest_joint_c(k), 3.0), (traces.coldest_joint_c(k), 1.5)):
            marks.append(Line(traces.time, joints, colour, width, dash))
        under = np.flatnonzero(traces.lowered == k + 1)
        if under.size:
            span = traces.time[[under[0], under[-1] + 1]]
            marks.append(Line(span, [14, 14], colour, 8, dash))
            late = span[0] > 0.6 * PAIR_LONGEST
            at, anchor = (min(span[1], PAIR_LONGEST), "end") if late else (span[0], "start")
            marks.append(Label(float(at), 30 + 18 * k, f"nozzle over {name}", anchor=anchor))
    return Picture(PAIR_FRAME, tuple(marks), pair_words(traces, settings), pair_readings(traces, settings))


def pair_readings(traces: PairTraces, settings) -> tuple[Reading, ...]:
    """Return for each package its peaks, what the other's heat did to it, and its count against three heats."""
    readings = []
    for k, (name, *_) in enumerate(PAIR_LINES):
        cold, top = float(traces.joints_c[k].max(axis=0).min()), float(traces.top_c[k].max())
        near = traces.neighbour_peak_c(k)
        left = heats_left(round(settings.before), 0, traces.heats(k))
        readings += [
            _limit(f"{name}: top, at most 260 °C", top, 260 - top, "°C"),
            _limit(f"{name}: coldest joint, at least {COLDEST_JOINT_C} °C", cold, cold - COLDEST_JOINT_C, "°C"),
            _limit(f"{name}: while the other is heated, at most {NEIGHBOUR_C} °C", near, NEIGHBOUR_C - near, "°C"),
            Reading(
                f"{name}: heats, with {settings.before:.0f} before",
                f"{settings.before + traces.heats(k):.0f} of 3",
                "outside" if left < 0 else "at the limit" if left == 0 else "inside",
            ),
        ]
    return tuple(readings)


def pair_words(traces: PairTraces, settings) -> str:
    """Say how often each package melted, and how hot each became while the other was heated."""
    each = " ".join(
        f"{name}: hottest joint {traces.hottest_joint_c(k).max():.0f} °C, while the other is heated "
        f"{traces.neighbour_peak_c(k):.0f} °C; melts {traces.heats(k)} times."
        for k, (name, *_) in enumerate(PAIR_LINES)
    )
    return f"Two packages {1e3 * APART:.0f} mm apart, heated one after the other. {each}"


def _draw_pair(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0, PAIR_LONGEST), ylim=(0, 390 if narrow else 340), xlabel="time [s]", ylabel="temperature [°C]")
    limit = "limit" if narrow else "neighbour's limit"  # where it is narrow, more words would lie on the curves
    for level, words in ((TL_C, "melts"), (NEIGHBOUR_C, limit)):
        axes.axhline(level, color=COLOURS["grey"], lw=1)
        axes.text(PAIR_LONGEST - 8, level + 4, f"{level} °C: {words}", fontsize=FONT, ha="right")
    for name, colour, dash in PAIR_LINES:
        key(axes, f"{name}, hottest joint", colour, 3.0, dash)
        key(axes, f"{name}, coldest joint", colour, 1.5, dash)
    legend(axes, loc="upper left", ncols=1 if narrow else 2)
    axes.grid(alpha=0.2)
    return [axes]


PAIR_FRAME = Frame("pair", _draw_pair, wide=(860, 380), narrow=(380, 420))


# ---- what holds the bead

SEAT_CONTROLS = (
    Slider("film", "Film of the hot air", "W/m²K", 20, 300, 10, 150),
    Slider("bare", "Bare surface of the bead", "mm²", 0.5, 6, 0.5, 3),
    Slider("seat", "Area of the seat", "mm²", 0.2, 2, 0.1, 0.5),
    Slider("thickness", "Thickness of the seat", "mm", 0.05, 1, 0.05, 0.5),
    Slider("joint_c", "The joint", "°C", 180, 250, 1, 225),
    Slider("gas_c", "The gas", "°C", 180, 400, 5, 270),
)
HOLDERS = {
    "nothing but a gap of air": 0.03,
    "adhesive": 0.3,
    "filled adhesive": 1.5,
    "solder that melts above 290 °C": 50.0,
}
"""Conductivities of what holds the bead [W/m/K]; the first and third are round numbers of our own."""


def seat_picture(settings) -> Picture:
    """Return what a bead reads over the conductivity of what holds it, between joint and gas."""
    conductivity = np.geomspace(0.02, 100, 160)
    marks = [
        Line([0.02, 100], [settings.joint_c] * 2, "green", 2, (8, 3)),
        Line([0.02, 100], [settings.gas_c] * 2, "red", 2, (2, 3)),
        Line(conductivity, seat_reads(settings, conductivity), "blue", 3),
    ]
    held = {name: float(seat_reads(settings, k)) for name, k in HOLDERS.items()}
    marks.append(Dots(list(HOLDERS.values()), list(held.values()), "ink", 10, "square"))
    readout = tuple(
        Reading(
            f"held by {name} ({HOLDERS[name]:g} W/mK)",
            f"reads {reads:.1f} °C, {reads - settings.joint_c:+.1f} K",
            "within 1 K" if abs(reads - settings.joint_c) <= 1 else "misleads",
        )
        for name, reads in held.items()
    )
    words = f"The joint has {settings.joint_c:.0f} °C, the gas {settings.gas_c:.0f} °C. " + " ".join(
        f"Held by {name} the bead reads {reads:.1f} °C." for name, reads in held.items()
    )
    return Picture(SEAT_FRAME, tuple(marks), words, readout)


def seat_reads(settings, conductivity):
    """Return what the bead reads with a seat of a conductivity [°C]."""
    share = bead_seat.share_of_gas(
        settings.film, settings.bare * 1e-6, settings.seat * 1e-6, settings.thickness * 1e-3, conductivity
    )
    return bead_seat.bead_reading_c(settings.joint_c, settings.gas_c, share)


def _draw_seat(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0.02, 100), ylim=(170, 410), xscale="log", xlabel="conductivity of the seat [W/mK]")
    axes.set_ylabel("temperature [°C]")
    axes.set_xticks([0.1, 1, 10, 100], ["0.1", "1", "10", "100"])
    key(axes, "gas", "red", 2, (2, 3))
    key(axes, "what the bead reads", "blue", 3)
    key(axes, "joint", "green", 2, (8, 3))
    legend(axes, loc="upper right")
    axes.grid(alpha=0.2)
    return [axes]


SEAT_FRAME = Frame("seat", _draw_seat, wide=(860, 360), narrow=(380, 380))


# ---- a warm board on its supports

SAG_CONTROLS = (
    Slider("span", "Between the supports", "mm", 60, 300, 10, 250),
    Slider("thickness", "Thickness of the board", "mm", 0.8, 2.4, 0.1, 1.6),
    Slider("mass", "Sink left on, at mid-span", "g", 0, 200, 10, 100),
    Slider("modulus", "Modulus of the laminate", "GPa", 3, 24, 0.5, 6),
    Tick("support", "A row of supports at mid-span"),
)
SAG_WIDTH, SAG_DENSITY = 0.200, 1850.0
"""The board across [m], and its laminate's density [kg/m^3]."""
LARGEST_BOW = value("profile", "bow_and_twist_surface_mount")
"""Of a board with parts on its faces [%]."""


def sag_of(settings) -> tuple[float, float]:
    """Return how far the board sags by its own weight and by the sink, at the worst place [m]."""
    span = settings.span * 1e-3 / (2 if settings.support else 1)
    thickness, modulus = settings.thickness * 1e-3, settings.modulus * 1e9
    own = float(sag.sag_from_own_weight(span, thickness, SAG_DENSITY, modulus))
    # A sink right over a support presses on the support.
    sink = (
        0.0
        if settings.support or not settings.mass
        else float(sag.sag_from_load(settings.mass * 1e-3, span, SAG_WIDTH, thickness, modulus))
    )
    return own, sink


def sag_picture(settings) -> Picture:
    """Return the board from the side as it sags, enlarged, and its bow as a share of the span."""
    own, sink = sag_of(settings)
    half = settings.span / 2
    x = np.linspace(-half, half, 81)
    bays = [(-half, 0.0), (0.0, half)] if settings.support else [(-half, half)]
    drop = np.zeros(x.size)
    for left, right in bays:
        here = (x >= left) & (x <= right)
        s = (x[here] - left) / (right - left)
        uniform = 16 / 5 * (s - 2 * s**3 + s**4)
        point = np.where(s <= 0.5, 3 * s - 4 * s**3, 3 * (1 - s) - 4 * (1 - s) ** 3)
        drop[here] = 1e3 * (own * uniform + sink * point)
    marks = [
        Line([-half, half], [0, 0], "grey", 1.5, (3, 3)),
        Line(x, -drop, "green", 6),
        Dots([-half, half] + ([0.0] if settings.support else []), [-0.12] * (3 if settings.support else 2), "ink", 12),
    ]
    if settings.mass:
        middle = -float(drop[x.size // 2])
        marks.append(Dots([0.0], [middle + 0.16], "orange", 14, "square"))
    bow = (own + sink) / (settings.span * 1e-3)
    worst = 1e3 * (own + sink)
    readout = (
        Reading("sag by its own weight", f"{1e3 * own:.2f} mm"),
        Reading("sag by the sink", f"{1e3 * sink:.2f} mm", "on the support" if settings.support else ""),
        Reading(
            f"bow while it is warm, held to {LARGEST_BOW} %",
            with_margin(f"{100 * bow:.2f} %", LARGEST_BOW - 100 * bow, "%", 2),
            "inside" if 100 * bow <= LARGEST_BOW else "outside",
        ),
    )
    words = (
        f"A board {settings.thickness:.1f} mm thick on supports {settings.span:.0f} mm apart"
        + (", with a row of supports at mid-span" if settings.support else "")
        + f", of {settings.modulus:.1f} GPa, sags by {worst:.2f} mm: {1e3 * own:.2f} mm of its own and "
        f"{1e3 * sink:.2f} mm by {settings.mass:.0f} g. That is {100 * bow:.2f} % of the span."
    )
    return Picture(SAG_FRAME, tuple(marks), words, readout)


def _draw_sag(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(-160, 160), ylim=(-4, 1), xlabel="along the board [mm]", ylabel="sag [mm], enlarged")
    axes.grid(alpha=0.2)
    return [axes]


SAG_FRAME = Frame("sag", _draw_sag, wide=(860, 300), narrow=(380, 340))


def heat_explorer() -> Explorer:
    """Return the explorer of a board on the station."""
    return Explorer("Heat a board", HEAT_CONTROLS, heat_picture)


def log_explorer() -> Explorer:
    """Return the explorer of a noisy log."""
    return Explorer("Read a noisy log", LOG_CONTROLS, log_picture)


def pair_explorer() -> Explorer:
    """Return the explorer of two packages on one board."""
    return Explorer("Two packages and their count of heats", PAIR_CONTROLS, pair_picture)


def seat_explorer() -> Explorer:
    """Return the explorer of what holds a bead."""
    return Explorer("What holds the bead", SEAT_CONTROLS, seat_picture)


def sag_explorer() -> Explorer:
    """Return the explorer of a warm board on its supports."""
    return Explorer("A warm board on its supports", SAG_CONTROLS, sag_picture)
