"""Explorers of the shorts topic: a meter and its verdict, a reading that climbs, and the search for a shorted part."""

import math
import zlib
from functools import lru_cache

import numpy as np
from matplotlib import colormaps

from workbook.bench.shorts import charging, copper, decision, injection, junctions, meter, networks, probing, rail
from workbook.bench.shorts.uncertainty import display_step
from workbook.panels.explorer import Explorer, Menu, Press, Slider, Tick
from workbook.panels.pictures import (
    COLOURS,
    Area,
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
from workbook.units import figures, signed

MM, MILLI, MICRO = 1e-3, 1e-3, 1e-6
BLACK, WHITE = COLOURS["black"], "#ffffff"


def _ohms(resistance: float) -> str:
    """Return a resistance as a person would say it.

    >>> _ohms(0.30), _ohms(12.345), _ohms(999.7), _ohms(4700.0), _ohms(float("inf"))
    ('0.30 Ω', '12.3 Ω', '1 kΩ', '4.7 kΩ', 'no end')
    """
    if math.isinf(resistance):
        return "no end"
    if abs(resistance) >= 999.5:
        return f"{resistance / 1000:.3g} kΩ"
    return f"{resistance:.2f} Ω" if abs(resistance) < 10 else f"{resistance:.3g} Ω"


def _within_one(count: int) -> float:
    """Return a number from -1 to 1 that jumps about with the count, and is the same for the same count."""
    golden = (math.sqrt(5) - 1) / 2
    return 2 * ((0.5 + golden * count) % 1) - 1


# ---- a meter and its verdict

FRACTION, COUNTS, DIGIT, _ = value("shorts", "hand_meter_200_ohm")
RANGES = {
    "200": ("200 Ω range, two wires", DIGIT, 200.0),
    "2000": ("2 kΩ range, two wires", 10 * DIGIT, 2000.0),
    "four": ("200 Ω range, four wires, steps of 10 mΩ", DIGIT / 10, 200.0),
}
"""What is shown, step of the last digit, full scale [ohm]. The two-wire ranges are those of a hand meter's manual."""

TEST_CURRENT = 1e-3
COLD_C, HOTTEST_C, STILL_COLD_C = 20.0, 90.0, 30.0
DOUBLING = value("shorts", "rail_leakage_doubling")
REFERENCE_SHARE = value("shorts", "reference_share")
FAULTS = {"none": "none"} | {text: f"{text} Ω" for text in ("9", "3", "2", "1.5", "1.2", "1.0", "0.8", "0.5", "0.2")}
LEAST, MOST = 0.05, 300.0
"""Ends of the drawn scale [ohm]."""

METER_CONTROLS = (
    Menu("fault", "Fault on the rail, to ground", FAULTS, "1.2"),
    Slider("cold", f"The same rail on a good board, at {COLD_C:.0f} °C", "Ω", 2, 150, 2, 64),
    Slider("board_c", "Temperature of the board", "°C", COLD_C, HOTTEST_C, 2, COLD_C),
    Menu("range", "Range", {key: row[0] for key, row in RANGES.items()}, "200"),
    Slider("leads", "Both leads together", "Ω", 0, 1, 0.05, 0.3),
    Tick("subtract", "Subtract what the probes read pressed together", True),
    Slider("contact", "Scatter of the contacts", "Ω", 0, 0.5, 0.05, value("shorts", "contact_scatter")),
    Slider("share", "Accuracy: share of the reading", "%", 0.1, 3, 0.1, 100 * FRACTION),
    Slider("counts", "Accuracy: counts of the last digit", "1", 0, 10, 1, COUNTS),
    Slider("limit", "A dead short reads less than", "Ω", 0.2, 5, 0.1, value("shorts", "dead_short_limit")),
    Tick("by_design", "This rail is near zero by design"),
    Press("touch", "Lift the probes and touch again"),
)


def meter_picture(settings) -> Picture:
    """Return one reading with its interval against the limit, and what the board's temperature does to it."""
    found = measured(settings)
    low, high = found["band"]
    estimate, wide = found["estimate"], found["expanded"]
    temperatures = np.linspace(COLD_C, HOTTEST_C, 36)
    here = settings.board_c
    marks = (
        Area(*_box(low, high, 0, 4), "orange", 0.3),
        Line([settings.limit] * 2, [0, 4], "orange", 2.0, (2, 3)),
        Dots([_on_scale(found["true"])], [3.3], "ink", 11, "square"),
        Dots([_on_scale(found["shown"])], [2.3], "sky", 12),
        Line(_on_scale([estimate - wide, estimate + wide]), [1.3, 1.3], "red", 4.0),
        Dots([_on_scale(estimate)], [1.3], "red", 12, "ring"),
        Label(_on_scale(settings.limit * 1.08), 0.35, f"limit {settings.limit:.1f} Ω"),
        Area([COLD_C, HOTTEST_C, HOTTEST_C, COLD_C], _on_scale([low, low, high, high]), "orange", 0.3, axes=1),
        Line([COLD_C, HOTTEST_C], [settings.limit] * 2, "orange", 2.0, (2, 3), axes=1),
        Line(temperatures, _on_scale(warm_rail(settings.cold, math.inf, temperatures)), "ink", 2.0, (7, 3), axes=1),
        Line(temperatures, _on_scale(warm_rail(settings.cold, _fault(settings), temperatures)), "blue", 3.0, axes=1),
        Line([here, here], _on_scale([estimate - wide, estimate + wide]), "red", 4.0, axes=1),
        Dots([here], [_on_scale(estimate)], "red", 12, "ring", axes=1),
    )
    return Picture(METER_FRAME, marks, meter_words(found, settings), meter_readings(found, settings))


def measured(settings) -> dict:
    """Return the resistance on the rail, what the display shows, what is made of it, and the verdict [ohm]."""
    _, digit, full_scale = RANGES[settings.range]
    true = float(warm_rail(settings.cold, _fault(settings), settings.board_c))
    if settings.range == "four":
        contact = 0.0
        shown = estimate = float(meter.displayed(true, digit, full_scale))
    else:
        contact = settings.contact
        touched = contact * (1 + _within_one(settings.touch))
        shown = float(meter.displayed(meter.two_wire_reading(true, settings.leads, touched), digit, full_scale))
        together = float(meter.displayed(settings.leads + contact, digit, full_scale))
        estimate = float(meter.lead_null(shown, together)) if settings.subtract else shown
    uncertainty = float(decision.reading_uncertainty(estimate, settings.share / 100, settings.counts, digit, contact))
    # no reading is surer than its last digit, even where the accuracy is set to no counts at all
    uncertainty = max(uncertainty, display_step(digit))
    low, high = decision.undecided_band(settings.limit, 2 * uncertainty)
    return {
        "true": true,
        "shown": shown,
        "estimate": estimate,
        "expanded": 2 * uncertainty,
        "band": (float(low), float(high)),
        "chance": float(decision.probability_above(estimate, uncertainty, settings.limit)),
        "verdict": decision.verdict(estimate, 2 * uncertainty, settings.limit, settings.by_design),
        "good": float(warm_rail(settings.cold, math.inf, settings.board_c)),
    }


def _fault(settings) -> float:
    return math.inf if settings.fault == "none" else float(settings.fault)


def warm_rail(cold: float, fault: float, board_c):
    """Return what a dead rail with a fault across it reads at a board temperature, in ohms.

    The rail itself is circuits that are off and leak: more with every kelvin. The test current parts between their
    channel current, which saturates, and the fault. Found by halving: the current grows with the voltage.
    """
    board_c = np.asarray(board_c, float)
    leakage = junctions.leakage_when_warm(
        junctions.leakage_behind(TEST_CURRENT, cold, COLD_C), board_c - COLD_C, DOUBLING
    )
    alone = junctions.off_state_reading(TEST_CURRENT, leakage, board_c)
    if math.isinf(fault):
        return alone
    thermal = junctions.thermal_voltage(board_c)
    low, high = np.zeros_like(board_c), TEST_CURRENT * np.minimum(alone, fault)
    for _ in range(40):
        middle = (low + high) / 2
        too_much = -leakage * np.expm1(-middle / thermal) + middle / fault > TEST_CURRENT
        low, high = np.where(too_much, low, middle), np.where(too_much, middle, high)
    return (low + high) / 2 / TEST_CURRENT


def _on_scale(resistance):
    return np.clip(resistance, LEAST, MOST)


def _box(left, right, bottom, top):
    left, right = _on_scale([left, right])
    return [left, right, right, left], [bottom, bottom, top, top]


def meter_readings(found, settings) -> tuple[Reading, ...]:
    """Return the reading, its interval, the verdict with its margin, and the comparison with a good board."""
    estimate = found["estimate"]
    held = max(estimate, 0.0)
    wire = "four wires" if settings.range == "four" else "leads taken out" if settings.subtract else "leads still in"
    share = held / settings.cold
    warm = settings.board_c > STILL_COLD_C
    leak = "nothing lost" if held >= settings.cold else _ohms(float(decision.leak_behind(settings.cold, held)))
    return (
        Reading("display", _ohms(found["shown"])),
        Reading("reading with its interval", f"{_ohms(estimate)} ± {_ohms(found['expanded'])}", wire),
        Reading("undecided between", f"{_ohms(found['band'][0])} and {_ohms(found['band'][1])}"),
        Reading(f"chance of being over {settings.limit:.1f} Ω", percent(found["chance"], 1)),
        Reading("verdict", f"{found['verdict']}, {_beyond(found, settings)}", _state_of_verdict(found["verdict"])),
        Reading(
            f"against a good board, wanted {percent(REFERENCE_SHARE)}",
            with_margin(percent(share), 100 * (share - REFERENCE_SHARE), "%"),
            stands(share - REFERENCE_SHARE, found["expanded"] / settings.cold),
        ),
        Reading("leak that would explain it", leak, "were the board cold" if warm else ""),
        Reading(
            "temperature of the board",
            with_margin(f"{settings.board_c:.0f} °C", STILL_COLD_C - settings.board_c, "°C"),
            "let it cool first" if warm else "cold enough",
        ),
    )


def _beyond(found, settings) -> str:
    """Return how far the reading lies from the band, on the side it is on."""
    low, high = found["band"]
    if found["verdict"] == decision.NO_DEAD_SHORT:
        return f"margin {found['estimate'] - high:+.2f} Ω"
    if found["verdict"] == decision.DEAD_SHORT:
        return f"margin {low - found['estimate']:+.2f} Ω"
    if settings.by_design and found["estimate"] <= low:
        return "compare it with a good board"
    return f"{_ohms(min(found['estimate'] - low, high - found['estimate']))} inside the band"


def _state_of_verdict(verdict: str) -> str:
    return {decision.NO_DEAD_SHORT: "inside", decision.DEAD_SHORT: "outside"}.get(verdict, "borderline")


def meter_words(found, settings) -> str:
    """Say what the reading and its two pictures show."""
    fault = "without a fault" if settings.fault == "none" else f"with a fault of {settings.fault} Ω"
    warm = " Judge it when it is cold." if settings.board_c > STILL_COLD_C else ""
    return (
        f"A rail {fault} on a board at {settings.board_c:.0f} °C is {_ohms(found['true'])}; the display shows "
        f"{_ohms(found['shown'])}. Made of it: {_ohms(found['estimate'])} give or take {_ohms(found['expanded'])}. "
        f"The limit is {settings.limit:.1f} Ω, and nothing is decided from {_ohms(found['band'][0])} to "
        f"{_ohms(found['band'][1])}: {found['verdict']}. A good board would read {_ohms(settings.cold)} cold and "
        f"{_ohms(found['good'])} at this temperature.{warm}"
    )


def _draw_meter(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (2, 3)} if narrow else {"ncols": 2, "width_ratios": (5, 4)}
    one, warm = figure.subplots(**shape)
    decades = [0.1, 0.3, 1, 3, 10, 30, 100]
    one.set(xlim=(LEAST, MOST), ylim=(0, 4), xscale="log", xlabel="resistance to ground [Ω]")
    one.set_xticks(decades, [f"{tick:g}" for tick in decades])
    one.set_yticks([3.3, 2.3, 1.3], ["on the rail", "display", "made of it"], fontsize=9)
    one.minorticks_off()
    one.grid(alpha=0.25, axis="x")
    one.set_title("one reading; undecided in the orange band", fontsize=9)
    warm.set(xlim=(COLD_C - 2, HOTTEST_C), ylim=(LEAST, MOST), yscale="log", xlabel="temperature of the board [°C]")
    warm.set_yticks(decades, [f"{tick:g}" for tick in decades])
    warm.minorticks_off()
    warm.set_ylabel("resistance [Ω]", fontsize=9)
    key(warm, "a good board", "ink", 2.0, (7, 3))
    key(warm, "this board", "blue", 3.0)
    legend(warm, loc="upper right")
    warm.grid(alpha=0.25)
    for axes in (one, warm):
        axes.tick_params(labelsize=9)
    return [one, warm]


METER_FRAME = Frame("meter", _draw_meter, wide=(860, 360), narrow=(380, 420))


# ---- a reading that climbs

CLIMB_FROM, CLIMB_TO = 1e-3, 100.0
CAPACITANCES = {"10": "10 µF", "100": "100 µF", "1000": "1000 µF", "4700": "4700 µF"}
RAILS = {"10": "10 Ω", "64": "64 Ω", "1000": "1 kΩ", "10000": "10 kΩ"}
LEAKS = {"none": "none", "100": "100 Ω", "10": "10 Ω", "1": "1 Ω", "0.5": "0.5 Ω"}
ENOUGH = 0.99

CLIMB_CONTROLS = (
    Menu("rail", "The rail by itself, in the end", RAILS, "1000"),
    Menu("capacitance", "Capacitors on it", CAPACITANCES, "1000"),
    Menu("leak", "Leak to ground", LEAKS, "none"),
    Slider("time", "Time since the probes touched", "s", 0.05, 20, 0.05, 0.2),
    Slider("limit", "A dead short reads less than", "Ω", 0.2, 5, 0.1, value("shorts", "dead_short_limit")),
)


def climb_picture(settings) -> Picture:
    """Return the reading over time while the meter's own current fills the capacitors."""
    found = climbing(settings)
    times = np.geomspace(CLIMB_FROM, CLIMB_TO, 120)
    capacitance = float(settings.capacitance) * MICRO
    marks = (
        Line([CLIMB_FROM, CLIMB_TO], [settings.limit] * 2, "orange", 2.0, (2, 3)),
        Line(times, charging.drifting_reading(times, float(settings.rail), capacitance), "ink", 2.0, (7, 3)),
        Line(times, charging.drifting_reading(times, found["end"], capacitance), "blue", 3.0),
        Line([found["wait"]] * 2, [0.05, 2e4], "green", 2.0, (8, 3, 2, 3)),
        Dots([found["time"]], [found["reading"]], "red", 12, "ring"),
    )
    return Picture(CLIMB_FRAME, marks, climb_words(found, settings), climb_readings(found, settings))


def climbing(settings) -> dict[str, float]:
    """Return the reading now and in the end [ohm], the time [s] and the wait until it has nearly got there [s]."""
    leak = math.inf if settings.leak == "none" else float(settings.leak)
    end = float(networks.parallel(float(settings.rail), leak))
    capacitance = float(settings.capacitance) * MICRO
    return {
        "end": end,
        "time": settings.time,
        "reading": float(charging.drifting_reading(settings.time, end, capacitance)),
        "wait": float(charging.wait_for_share(ENOUGH, end, capacitance)),
        "slope": float(charging.climb_rate(capacitance)),
    }


def climb_readings(found, settings) -> tuple[Reading, ...]:
    """Return the reading, how far it has come, and whether the waiting is over."""
    over = found["reading"] - settings.limit
    side = "over" if over > 0 else "under"
    return (
        Reading(
            f"reading after {found['time']:.2f} s", _ohms(found["reading"]), f"{_ohms(abs(over))} {side} the limit"
        ),
        Reading("of its end", percent(found["reading"] / found["end"])),
        Reading("end", _ohms(found["end"])),
        Reading("climbs at first by", f"{found['slope']:,.0f} Ω/s".replace(",", " ")),
        Reading(
            f"{percent(ENOUGH)} reached after",
            f"{figures(found['wait'])} s, margin {figures(found['time'] - found['wait'], sign='+')} s",
            "stands still" if found["time"] >= found["wait"] else "wait",
        ),
    )


def climb_words(found, settings) -> str:
    """Say what the reading does."""
    leak = "no leak" if settings.leak == "none" else f"a leak of {settings.leak} Ω"
    now = "It stands still." if found["time"] >= found["wait"] else "It still climbs."
    return (
        f"The reading of a rail with {settings.capacitance} µF and {leak} after {found['time']:.2f} s: "
        f"{_ohms(found['reading'])} of {_ohms(found['end'])} in the end, "
        f"{percent(ENOUGH)} after {figures(found['wait'])} s. " + now
    )


def _draw_climb(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(CLIMB_FROM, CLIMB_TO), ylim=(0.05, 2e4), xscale="log", yscale="log")
    axes.set(xlabel="time since the probes touched [s]", ylabel="reading [Ω]")
    axes.set_xticks([0.001, 0.01, 0.1, 1, 10, 100], ["0.001", "0.01", "0.1", "1", "10", "100"])
    axes.set_yticks([0.1, 1, 10, 100, 1000, 10000], ["0.1", "1", "10", "100", "1000", "10 000"])
    axes.minorticks_off()
    key(axes, "this rail", "blue", 3.0)
    key(axes, "the same without the leak", "ink", 2.0, (7, 3))
    key(axes, f"{percent(ENOUGH)} reached", "green", 2.0, (8, 3, 2, 3))
    key(axes, "limit of a dead short", "orange", 2.0, (2, 3))
    legend(axes, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=1 if narrow else 4)
    axes.grid(alpha=0.25)
    return [axes]


CLIMB_FRAME = Frame("climb", _draw_climb, wide=(860, 340), narrow=(380, 400))


# ---- the search for the shorted part

LENGTH, WIDTH, PAD = 120, 80, 5
"""Of the invented board and its square pads [mm], in cells of one millimetre."""

PLACES = {
    "C1": (22, 62), "C2": (40, 22), "C3": (48, 52), "C4": (62, 34),
    "C5": (76, 60), "C6": (84, 20), "C7": (96, 44), "C8": (106, 66),
}  # fmt: skip
FIRST_CELL = (0.5 * MM, 0.5 * MM)
CLIPS = {"left": (6, 40), "right": (114, 30), "top": (60, 74), "bottom": (60, 6)}
SQUARE = float(copper.sheet_resistance(copper.ANNEALED_RESISTIVITY, value("shorts", "foil_one_ounce_nominal")))
LOWEST_SHORT, HIGHEST_SHORT = 5, 44
"""Of the hidden short [mohm]."""

LEADS, VOLTAGE_LIMIT = 0.1, 1.0
"""Of the supply: both leads [ohm] and the voltage limit [V], at most the rail's own voltage. Invented."""

VOLTMETER_SHARE, VOLTMETER_FLOOR = 0.005, 10e-6
"""Limit of error of the invented voltmeter: share of the reading, and volts besides."""

SEEBECK = value("shorts", "thermal_emf_copper_solder")
NOT_YET, GROUND, LEFT_OUT = "not yet", "ground", "no part touched yet"

SPANS = {GROUND: (0, 1.15 * HIGHEST_SHORT), "clip": (-1.15, 0.15), "part": (-0.9, 0.9)}
"""What is drawn of the readings [mohm], by where probe B is held."""

FIND_CONTROLS = (
    Slider("number", "Board number", "1", 1, 40, 1, 1),
    Menu("clip", "Feed the current in at", {key: f"the {key} edge" for key in CLIPS}, "left"),
    Slider("current", "Current", "A", 0.1, 3, 0.1, 1),
    Menu("b", "Probe B stays on", {GROUND: "ground", "clip": "the feeding pad"} | {key: key for key in PLACES}, "clip"),
    Press("touch", "Probe A: touch the next part and write the reading down"),
    Slider("along", "Free tip: along the board", "mm", 1, LENGTH - 1, 1, 30),
    Slider("across", "Free tip: across the board", "mm", 1, WIDTH - 1, 1, 40),
    Slider("warm", "A probe tip is warmer by up to", "K", 0, 10, 0.5, 0),
    Tick("both", "Read with the current both ways and take half the difference"),
    Menu("guess", "The shorted part is", {NOT_YET: "I cannot say yet"} | {key: key for key in PLACES}, NOT_YET),
    Tick("map", "Show the voltage of the whole plane, and the short"),
)


def find_picture(settings) -> Picture:
    """Return the board with probes and clip, the readings so far, and on request the millivolt map."""
    found = searched(settings)
    touched, names = found["touched"], list(PLACES)
    rows = np.arange(1, len(touched) + 1, dtype=float)
    parts = np.array(list(PLACES.values()), float)
    colours = tuple("blue" if name in touched else "#5a5f6b" for name in names)
    marks = [_plane(found, settings)]
    marks += [Dots(parts[:, 0], parts[:, 1], colours, 23, "square")]
    marks += [Label(x, y, name, WHITE, "middle") for name, (x, y) in PLACES.items()]
    marks += [Dots([CLIPS[settings.clip][0]], [CLIPS[settings.clip][1]], "green", 20)]
    marks += [Label(*CLIPS[settings.clip], "in", WHITE, "middle")]
    marks += _probe_marks(found, settings)
    if settings.map:
        marks.append(Dots(*([at] for at in PLACES[found["short"]]), "red", 34, "ring"))
    for row, (reading, uncertainty) in zip(rows, touched.values(), strict=True):
        marks.append(Line([reading - uncertainty, reading + uncertainty], [row, row], "blue", 9.0, axes=1))
    marks.append(Dots([reading for reading, _ in touched.values()], rows, "orange", 5, axes=1))
    return Picture(
        FIND_FRAMES[settings.b if settings.b in SPANS else "part"],
        tuple(marks),
        find_words(found, settings),
        find_readings(found, settings),
    )


@lru_cache(maxsize=1)
def plane():
    """Return the invented board's rail, ready to be solved: eight capacitors, all good, and four feeding pads."""
    foil = rail.Plane((LENGTH * MM, WIDTH * MM), (LENGTH, WIDTH), SQUARE)
    places = PLACES | {f"clip {key}": place for key, place in CLIPS.items()}
    return rail.prepare(
        foil, [rail.Part(name, (x * MM, y * MM), math.inf, PAD * MM) for name, (x, y) in places.items()]
    )


def hidden(number) -> tuple[str, float]:
    """Return the shorted part of a board and its resistance [ohm], the same for a number on every machine."""
    drawn = zlib.crc32(f"board {round(number)}".encode())
    span = HIGHEST_SHORT - LOWEST_SHORT + 1
    return list(PLACES)[drawn % len(PLACES)], (LOWEST_SHORT + drawn // len(PLACES) % span) * MILLI


def searched(settings) -> dict:
    """Return the solved rail, and every reading so far over its current, with its uncertainty, in milliohms."""
    short, ohms = hidden(settings.number)
    solution = rail.solve(plane(), {short: ohms}, {f"clip {settings.clip}": settings.current})
    volts = solution.potentials
    place = (settings.along * MM, settings.across * MM)
    held = 0.0 if settings.b == GROUND else volts[_terminal(settings.b, settings)]
    potentials = solution.potential_map()
    bare = solution.reading(place, FIRST_CELL) + potentials[0, 0]
    count = settings.touch % (len(PLACES) + 1)
    touched = {name: _read(volts[name] - held, settings, row) for row, name in enumerate(list(PLACES)[:count], start=1)}
    return {
        "short": short,
        "ohms": ohms,
        "map": potentials,
        "touched": touched,
        "free": _read(bare - held, settings, len(PLACES) + 1),
        "supply": volts[f"clip {settings.clip}"] + settings.current * LEADS,
    }


def _terminal(held: str, settings) -> str:
    return f"clip {settings.clip}" if held == "clip" else held


def _read(volts: float, settings, touch: int) -> tuple[float, float]:
    """Return what the voltmeter gives for a voltage, over the current [mohm], and the limit of its error [mohm].

    A warm tip adds a thermal voltage, each touch another. It does not turn with the current, so reading both ways
    takes it out.
    """
    emf = probing.thermal_emf(SEEBECK, settings.warm * (1 + _within_one(touch)) / 2)
    shown = probing.reversed_difference(volts + emf, emf - volts) if settings.both else volts + emf
    uncertainty = VOLTMETER_SHARE * abs(shown) + VOLTMETER_FLOOR
    return float(shown / settings.current / MILLI), float(uncertainty / settings.current / MILLI)


COPPER_RGB = (58, 63, 75)
SHADES = (255 * colormaps["viridis"](np.linspace(0.1, 1, 256))).astype(np.uint8)


def _plane(found, settings) -> Cells:
    """Return the plane from above: bare, or coloured from its lowest voltage to its highest."""
    if not settings.map:
        return Cells(np.array([[[*COPPER_RGB, 255]]], np.uint8), (0, LENGTH, 0, WIDTH))
    return Cells(SHADES[_levels(found["map"].T)], (0, LENGTH, 0, WIDTH))


def _levels(volts):
    """Return the place of each voltage among the colours."""
    # the cells under the feeding pad are left to run over the end, so that the colours serve the way to the short
    low, high = volts.min(), np.percentile(volts, 99.5)
    return np.clip((volts - low) / (high - low) * 255, 0, 255).astype(int)


def _probe_marks(found, settings) -> list:
    """Return rings and letters where the probes are; on ground, probe B is not on this plane."""
    levels = _levels(found["map"]) if settings.map else None

    def letter(x, y, text, anchor):
        bright = settings.map and levels[min(int(x), LENGTH - 1), min(int(y), WIDTH - 1)] > 130
        return Label(x, y, text, BLACK if bright else WHITE, anchor)

    marks = []
    if found["touched"]:
        x, y = PLACES[list(found["touched"])[-1]]
        marks += [Dots([x], [y], "orange", 30, "ring"), letter(x, y + 7.5, "A", "middle")]
    if settings.b != GROUND:
        x, y = CLIPS[settings.clip] if settings.b == "clip" else PLACES[settings.b]
        below = -8.5 if y > 10 else 8.5
        marks += [Dots([x], [y], "purple", 36, "ring"), letter(x, y + below, "B", "middle")]
    away, aside = ("end", -2.5) if settings.along > LENGTH / 2 else ("start", 2.5)
    marks += [
        Dots([settings.along], [settings.across], "yellow", 8),
        Dots([settings.along], [settings.across], BLACK, 9, "ring"),
        letter(settings.along + aside, settings.across, "tip", away),
    ]
    return marks


def lowest_against_next(touched) -> tuple[str, str, float, float] | None:
    """Return the lowest part, the next, how far apart they read, and the uncertainties of both together [mohm]."""
    if len(touched) < 2:
        return None
    (first, (low, uncertainty)), (second, (high, other)) = sorted(touched.items(), key=lambda item: item[1][0])[:2]
    return first, second, high - low, uncertainty + other


def find_readings(found, settings) -> tuple[Reading, ...]:
    """Return the newest reading, the lowest part against the next, the free tip, the supply and one's own word."""
    free, free_doubt = found["free"]
    return (
        *_touch_readings(found["touched"], settings),
        Reading("free tip", _over_current(free, free_doubt, settings)),
        Reading(
            f"supply, limit {VOLTAGE_LIMIT:.1f} V",
            with_margin(f"{found['supply']:.3f} V", VOLTAGE_LIMIT - found["supply"], "V", 2),
            stands(VOLTAGE_LIMIT - found["supply"]),
        ),
        _heat(found, settings),
        _word(found, settings),
    )


def _touch_readings(touched, settings) -> tuple[Reading, Reading]:
    if not touched:
        return Reading("newest reading", LEFT_OUT), Reading("lowest part against the next", "two readings wanted")
    name, (reading, uncertainty) = list(touched.items())[-1]
    newest = Reading(
        f"newest reading, {name}", _over_current(reading, uncertainty, settings), f"{len(touched)} of 8 touched"
    )
    ranked = lowest_against_next(touched)
    if ranked is None:
        return newest, Reading("lowest part against the next", "two readings wanted")
    first, second, apart, uncertainty = ranked
    margin = apart - uncertainty
    return newest, Reading(
        f"{first} below {second}",
        with_margin(f"{apart:.3f} mΩ", margin, "mΩ", 3),
        "told apart" if margin > 0 else "not told apart",
    )


def _over_current(reading: float, uncertainty: float, settings) -> str:
    """Return a reading as the voltmeter shows it, and over the current, as the picture has it."""
    return f"{signed(1000 * reading * settings.current)} µV, {signed(reading, 3)} ± {uncertainty:.3f} mΩ"


def _heat(found, settings) -> Reading:
    _, in_short, in_leads = injection.heat_split(settings.current, found["ohms"], LEADS)
    if not settings.map:
        return Reading("heat in the leads", f"{in_leads:.2f} W")
    return Reading("heat in the short and in the leads", f"{in_short:.3f} W and {in_leads:.2f} W")


def _word(found, settings) -> Reading:
    """Return what becomes of one's own word on the shorted part."""
    if settings.guess == NOT_YET:
        return Reading("your word", "none yet")
    if settings.guess == found["short"]:
        return Reading("your word", f"{settings.guess}, shorted to {found['ohms'] / MILLI:.0f} mΩ", "found")
    return Reading("your word", f"{settings.guess} is sound", "look again")


def find_words(found, settings) -> str:
    """Say what the board and the readings show."""
    held = {GROUND: "ground", "clip": "the feeding pad"}.get(settings.b, settings.b)
    readings = ", ".join(f"{name} {signed(reading, 3)}" for name, (reading, _) in found["touched"].items())
    taken = f"Readings against {held}, in milliohms: {readings}." if readings else "No part has been touched yet."
    free = (
        f"The free tip at {settings.along:.0f} mm along and {settings.across:.0f} mm across reads "
        f"{signed(found['free'][0], 3)} milliohms."
    )
    shown = (
        f"Invented board {settings.number:.0f}: a dead rail of {LENGTH} by {WIDTH} mm with eight capacitors, one of "
        f"them shorted; {settings.current:.1f} A fed in at the {settings.clip} edge. {taken} {free}"
    )
    if not settings.map:
        return shown
    low, high = 1e3 * found["map"].min(), 1e3 * found["map"].max()
    return shown + (
        f" The map is shown: from {low:.2f} mV at {found['short']}, the shorted part, to {high:.2f} mV where the "
        "current comes in."
    )


def _draw_find(held, figure, narrow):
    shape = {"nrows": 2, "height_ratios": (1, 1)} if narrow else {"ncols": 2, "width_ratios": (3, 2)}
    board, table = figure.subplots(**shape)
    board.set(xlim=(-2, LENGTH + 2), ylim=(-2, WIDTH + 2), aspect="equal", xlabel="along the board [mm]")
    board.set_ylabel("across [mm]", fontsize=9)
    board.set_title("map, when shown: dark is low, bright is high", fontsize=9)
    table.set(xlim=SPANS[held], ylim=(8.6, 0.4), xlabel="reading over current [mΩ]")
    table.set_yticks(range(1, len(PLACES) + 1), list(PLACES))
    table.set_title("readings, with their uncertainty", fontsize=9)
    table.grid(alpha=0.25)
    for axes in (board, table):
        axes.tick_params(labelsize=9)
    return [board, table]


FIND_FRAMES = {
    held: Frame(("find", held), lambda figure, narrow, held=held: _draw_find(held, figure, narrow),
                wide=(860, 380), narrow=(380, 420))
    for held in SPANS
}  # fmt: skip


def meter_explorer() -> Explorer:
    """Return the explorer of a reading, its interval and the verdict, on a cold board and on a warm one."""
    return Explorer("A reading and its verdict", METER_CONTROLS, meter_picture)


def climb_explorer() -> Explorer:
    """Return the explorer of a reading that climbs while capacitors fill."""
    return Explorer("A reading that climbs", CLIMB_CONTROLS, climb_picture)


def find_explorer() -> Explorer:
    """Return the explorer of the search for a shorted part."""
    return Explorer("Find the shorted part", FIND_CONTROLS, find_picture)
