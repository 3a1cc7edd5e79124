"""Explorers of the paste topic: how paste spreads, where the kelvins go, and a pad that lifts the sink."""

from functools import lru_cache
from types import SimpleNamespace

import numpy as np

from workbook.bench.paste import (
    bond_line,
    chain,
    cleanliness,
    closing,
    coverage,
    deposits,
    fins,
    loosening,
    pads,
    spread,
    spreading,
    volumes,
    wedge,
)
from workbook.panels.explorer import Explorer, Menu, Slider
from workbook.panels.pictures import (
    COLOURS,
    FONT,
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

MM, UM, MM2, MM3, KPA = 1e-3, 1e-6, 1e-6, 1e-9, 1e3
BLACK = COLOURS["black"]

WANTED_COVERAGE, MOST_OVER_EDGE, MOST_BOND_LINE = 0.96, 0.20, 50.0
"""What a fitted joint is held against here: choices, not from any standard (bond line in µm)."""


# ---- how paste spreads

SPREAD_DIE = deposits.Plate(24 * MM, 24 * MM)
SPREAD_CELLS, TABLE_GAPS = 48, 12
PASTE_CONDUCTIVITY = 4.0
"""Of the invented paste [W/m/K]."""
FINEST_GRAIN, COARSEST_GRAIN = 15, 60
FIRST_INSTANT = 0.1
"""Seconds at which the time axis begins."""

SPREAD_CONTROLS = (
    Menu("pattern", "Pattern", {name: name for name in deposits.PATTERNS}, "cross"),
    Slider("volume", "Paste put down in all", "mm³", 4, 80, 2, 32),
    Slider("force", "Force on the sink", "N", 5, 150, 5, 60),
    Slider("time", "Pressed for", "s", 0, 300, 2, 10),
    Slider("yield_stress", "Yield stress of the paste", "Pa", 20, 800, 20, 300),
    Slider("viscosity", "Viscosity of the paste", "Pa·s", 20, 500, 20, 200),
    Slider("grain", "Largest grain of the filler", "µm", FINEST_GRAIN, COARSEST_GRAIN, 5, 25),
)

DIE_RGB, SMEAR_RGB, PASTE_RGB = np.array([58, 63, 75]), np.array([96, 122, 142]), np.array([142, 208, 245])
"""A bare die, paste that does not reach the sink yet, and paste that touches both."""


def spread_picture(settings) -> Picture:
    """Return the die from above with the paste on it, and the gap over time."""
    found = pressed(settings)
    half = SPREAD_DIE.length / 2 / MM
    marks = [
        *_over_edge_marks(found["map"]),
        Cells(_paste_colours(found["map"]), (-half, half, -half, half)),
        Line([-half, half, half, -half, -half], [-half, -half, half, half, -half], "ink", 1.5),
        *_air_marks(found["air"]),
        Line(found["times"], found["gaps"], "blue", 2.5, axes=1),
        Line([FIRST_INSTANT, 1000], [found["rest"]] * 2, "ink", 1.5, (6, 3), axes=1),
        Line([FIRST_INSTANT, 1000], [settings.grain] * 2, "orange", 1.5, (2, 3), axes=1),
        Dots([max(settings.time, FIRST_INSTANT)], [found["gap"]], "red", 12, "ring", axes=1),
    ]
    return Picture(SPREAD_FRAME, tuple(marks), spread_words(found, settings), spread_readings(found, settings))


@lru_cache(maxsize=48)  # every volume of one pattern, and the start of the others
def squeeze_table(pattern: str, volume: float) -> closing.SqueezeTable:
    """Return the table that answers any force, time and paste for a pattern and a volume in mm³."""
    heights = deposits.thickness_map(
        SPREAD_DIE, deposits.deposit(pattern, SPREAD_DIE, volume * MM3), cells=SPREAD_CELLS
    )
    return closing.squeeze_table(SPREAD_DIE, heights, FINEST_GRAIN * UM, steps=TABLE_GAPS)


def pressed(settings) -> dict:
    """Return the map, the gap now and at rest and over time [µm, s], and where air was shut in on the way."""
    table = squeeze_table(settings.pattern, settings.volume)
    rest = resting_gap(table, settings.force, settings.yield_stress)
    last = float(bond_line.bond_line_no_thinner_than_grain(rest, settings.grain * UM))
    nearly = min(max(last, 1.002 * rest), table.gaps[0])
    history = closing.closing_history(table, settings.force, settings.viscosity, settings.yield_stress, nearly)
    gap = float(np.interp(settings.time, history.time, history.gap))
    wider = [one for one in table.spreads if one.gap >= gap]
    now = spread.spread(SPREAD_DIE, table.spreads[0].deposited, gap, start=wider[-1].pressed if wider else None)
    shut_in = np.any([spread.trapped_air(one) for one in (*wider, now)], axis=0)
    times = np.clip(history.time, FIRST_INSTANT, 1000)
    return {
        "map": now,
        "gap": gap / UM,
        "rest": last / UM,
        "held_by_grains": rest < settings.grain * UM,
        "times": np.append(times, 1000.0),
        "gaps": np.append(history.gap, history.gap[-1]) / UM,
        "air": shut_in,
        "covered": spread.coverage(now),
        "over_edge": spread.overflow(now),
    }


def resting_gap(table, force: float, yield_stress: float) -> float:
    """Return the gap [m] where the yield stress holds the force, or the table's least if it cannot down to there."""
    if closing.yield_force(table, table.gaps[-1], yield_stress) <= force:
        return float(table.gaps[-1])
    return float(closing.stop_gap(table, force, yield_stress))


def _paste_colours(found):
    """Return the colours of the cells: bare, smeared, or wetted by as much as the cell is."""
    smeared = np.where(found.thickness > 0, 1.0, 0.0)[..., None]
    below = DIE_RGB + smeared * (SMEAR_RGB - DIE_RGB)
    rgb = below + found.wetted[..., None] * (PASTE_RGB - below)
    return np.concatenate([rgb, np.full((*found.wetted.shape, 1), 255.0)], axis=-1).astype(np.uint8)


def over_edge_volumes(found):
    """Return the paste that left over each cell of the left, right, lower and upper edge [m³].

    The field ``pressed`` falls to zero half a cell outside the last centre; its slope there is what has passed.
    """
    rows, columns = found.pressed.shape
    along_x, along_y = SPREAD_DIE.width / rows, SPREAD_DIE.length / columns
    w = found.pressed
    upright, level = 2 * along_x / along_y, 2 * along_y / along_x
    return upright * w[:, 0], upright * w[:, -1], level * w[0], level * w[-1]


def _over_edge_marks(found):
    """Yield the paste beside the die, as wide as a half-round bead of what left there."""
    half, cell = SPREAD_DIE.length / 2 / MM, SPREAD_DIE.length / SPREAD_CELLS / MM
    along = (np.arange(SPREAD_CELLS) + 0.5) * cell - half
    there_and_back = np.concatenate([along, along[::-1]])
    for side, volume in enumerate(over_edge_volumes(found)):
        width = np.sqrt(2 * volume / (cell * MM) / np.pi) / MM
        outwards = (half + np.concatenate([np.zeros(along.size), width[::-1]])) * (-1, 1)[side % 2]
        x, y = (outwards, there_and_back) if side < 2 else (there_and_back, outwards)
        yield Area(x, y, "sky", 0.9)


def _air_marks(shut_in):
    """Yield rings over the places where air was shut in."""
    rows, columns = np.nonzero(shut_in)
    chosen = (rows % 3 == 1) & (columns % 3 == 1)
    if not chosen.any():
        chosen[:1] = True
    cell, half = SPREAD_DIE.length / SPREAD_CELLS / MM, SPREAD_DIE.length / 2 / MM
    x, y = ((place[chosen] + 0.5) * cell - half for place in (columns, rows))
    if x.size:
        yield Dots(x, y, "red", 5, "ring")


def spread_readings(found, settings) -> tuple[Reading, ...]:
    """Return the joint's numbers, each limit with its own margin."""
    covered, over, rest = found["covered"], found["over_edge"], found["rest"]
    air = found["air"].mean() * SPREAD_DIE.area / MM2
    film = float(volumes.film_volume(SPREAD_DIE.area, rest * UM)) / MM3
    joint = coverage.partly_covered_resistance(covered, found["gap"] * UM, PASTE_CONDUCTIVITY, SPREAD_DIE.area)
    return (
        Reading(
            f"gap now, at most {MOST_BOND_LINE:.0f} µm",
            with_margin(f"{found['gap']:.0f} µm", MOST_BOND_LINE - found["gap"], "µm"),
            stands(MOST_BOND_LINE - found["gap"], 1),
        ),
        Reading(
            f"covered, at least {percent(WANTED_COVERAGE)}",
            with_margin(percent(covered), 100 * (covered - WANTED_COVERAGE), "%"),
            stands(covered - WANTED_COVERAGE, 0.005),
        ),
        Reading(
            f"paste over the edge, at most {percent(MOST_OVER_EDGE)}",
            with_margin(percent(over), 100 * (MOST_OVER_EDGE - over), "%"),
            stands(MOST_OVER_EDGE - over, 0.005),
        ),
        Reading("air shut in on the way", f"{air:.0f} mm²" if air else "none", "outside" if air else "inside"),
        Reading(
            "comes to rest at", f"{rest:.0f} µm", "by its grains" if found["held_by_grains"] else "by yield stress"
        ),
        Reading("a film of that gap holds", f"{film:.0f} mm³", f"{settings.volume:.0f} mm³ put down"),
        Reading(f"resistance now, {PASTE_CONDUCTIVITY:.0f} W/mK", f"{joint:.3f} K/W"),
    )


def spread_words(found, settings) -> str:
    """Say what the map shows."""
    air = found["air"].mean() * SPREAD_DIE.area / MM2
    held = "the largest grains" if found["held_by_grains"] else "the yield stress"
    return (
        f"A square die of {SPREAD_DIE.length / MM:.0f} mm seen from above through the sink. {settings.volume:.0f} mm³ "
        f"of paste ({settings.pattern}), pressed with {settings.force:.0f} N for {settings.time:.0f} s, cover "
        f"{percent(found['covered'])} of it in a gap of {found['gap']:.0f} µm; "
        f"{percent(found['over_edge'])} of the paste has left over the edge. "
        + (f"Rings mark {air:.0f} mm² where air was shut in on the way. " if air else "No air was shut in. ")
        + f"In the end {held} would hold the gap at {found['rest']:.0f} µm."
    )


def _draw_spread(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (5, 4)} if narrow else {"ncols": 2, "width_ratios": (1, 1)}
    above, gap = figure.subplots(**shape)
    above.set(xlim=(-14.5, 14.5), ylim=(-14.5, 14.5), aspect="equal", xlabel="from the middle of the die [mm]")
    above.tick_params(labelsize=9)
    swatches = (("both faces touched", PASTE_RGB), ("not reaching the sink", SMEAR_RGB), ("bare die", DIE_RGB))
    for words, rgb in swatches:
        above.scatter([], [], marker="s", s=40, color=[rgb / 255], label=words, edgecolors=COLOURS["grey"])
    above.scatter([], [], marker="o", s=20, facecolors="none", edgecolors=COLOURS["red"], label="air shut in")
    legend(above, ncols=2, loc="lower center", bbox_to_anchor=(0.5, 1.0), handlelength=1)
    gap.set(xlim=(FIRST_INSTANT, 1000), ylim=(10, 2000), xscale="log", yscale="log")
    gap.set(xlabel="pressed for [s]", ylabel="gap [µm]" if narrow else "gap between die and sink [µm]")
    gap.set_yticks([10, 20, 50, 100, 200, 500, 1000, 2000], ["10", "20", "50", "100", "200", "500", "1000", "2000"])
    gap.set_xticks([0.1, 1, 10, 100, 1000], ["0.1", "1", "10", "100", "1000"])
    gap.minorticks_off()
    key(gap, "gap", "blue", 2.5)
    key(gap, "comes to rest here", "ink", 1.5, (6, 3))
    key(gap, "largest grain", "orange", 1.5, (2, 3))
    gap.scatter([], [], s=40, facecolors="none", edgecolors=COLOURS["red"], label="now")
    if narrow:
        legend(gap, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2)
    else:
        legend(gap, loc="upper right")
    gap.grid(alpha=0.25)
    return [above, gap]


SPREAD_FRAME = Frame("spread", _draw_spread, wide=(860, 380), narrow=(380, 420))


# ---- where the kelvins go

CHAIN_DIE, DIE_THICKNESS, DIE_CONDUCTIVITY = 14 * MM, 0.7 * MM, 130.0
SINK_SIDE, SINK_CONDUCTIVITY = 60 * MM, 200.0
FIN_HEIGHT, FIN_THICKNESS = 30 * MM, 1 * MM
CONTACTS = 5.0 * MM2
"""Area resistance of both contacts of paste or pad together [m²·K/W]. Like die and sink, invented."""
PAD_THICKNESS, PAD_CONDUCTIVITY = 1.0 * MM, 3.0
HOTTEST_JUNCTION_C = 95.0
"""What the junction is held against: a choice; the part's data sheet says what it may be."""
COLDEST_SHOWN, HOTTEST_SHOWN = 10.0, 150.0

CHAIN_CONTROLS = (
    Slider("power", "Power of the die", "W", 5, 100, 1, 45),
    Menu(
        "fill",
        "Between die and sink",
        {"paste": "paste", "pad": "a gap pad of 0.7 mm in place of paste", "air": "nothing: air in the gap"},
        "paste",
    ),
    Slider("conductivity", "Conductivity of the paste", "W/mK", 0.5, 12, 0.5, 4),
    Slider("bond_line", "Bond line", "µm", 15, 300, 5, 50),
    Slider("covered", "Die covered by paste", "%", 20, 100, 5, 95),
    Slider("base", "Base of the sink", "mm", 1, 8, 0.5, 3),
    Slider("fins", "Fins", "1", 4, 24, 2, 16),
    Slider("film", "Film coefficient of the air", "W/m²K", 5, 80, 1, 35),
    Slider("air", "Air at the sink", "°C", 15, 60, 1, 30),
)

PARTS = {
    "air": ("sink to air", "sky"),
    "spread": ("spreading in the base", "green"),
    "joint": ("between die and sink", "orange"),
    "die": ("through the die", "purple"),
}
"""The chain from the air up: words and colour of each part."""


def chain_picture(settings) -> Picture:
    """Return the temperatures from air to junction, stacked, and the junction over the bond line."""
    drops = kelvins(settings)
    edges = np.concatenate([[settings.air], settings.air + np.cumsum(list(drops.values()))])
    lines, without = np.linspace(5, 300, 60), edges[-1] - drops["joint"]
    paste = dict(vars(settings), fill="paste", bond_line=lines)
    own, poor, pad = (
        without + settings.power * joint_resistance(SimpleNamespace(**joint), CHAIN_DIE**2)
        for joint in (paste, paste | {"conductivity": 1.0}, paste | {"fill": "pad"})
    )
    marks = [
        *_stack_marks(drops, edges),
        Line([0, 1.1], [HOTTEST_JUNCTION_C] * 2, "red", 2.0, (8, 3)),
        Line([-1, 400], [HOTTEST_JUNCTION_C] * 2, "red", 1.5, (8, 3), axes=1),
        Line(lines, own, "orange", 2.5, axes=1),
        Line(lines, poor, "grey", 1.5, (6, 3), axes=1),
        Line([0, 300], [pad, pad], "ink", 1.5, (2, 3), axes=1),
        Dots([settings.bond_line], [edges[-1]], "ink", 12, "ring", axes=1),
    ]
    return Picture(
        CHAIN_FRAME, tuple(marks), chain_words(drops, edges, settings), chain_readings(drops, edges, settings)
    )


def kelvins(settings) -> dict[str, float]:
    """Return the drop of temperature over each part of the chain, from the air up [K]."""
    return {part: settings.power * resistance for part, resistance in resistances(settings).items()}


def resistances(settings) -> dict[str, float]:
    """Return the resistance of each part of the chain, from the air up [K/W]. All heat leaves by the sink."""
    area = CHAIN_DIE**2
    sink = _sink_resistance(round(settings.fins), settings.film)
    plate = spreading.SpreadingPlate(area, SINK_SIDE**2, settings.base * MM, SINK_CONDUCTIVITY, sink)
    return {
        "air": sink,
        "spread": float(spreading.maximum_spreading_resistance(plate)),
        "joint": float(joint_resistance(settings, area)),
        "die": float(chain.layer_resistance(DIE_THICKNESS, DIE_CONDUCTIVITY, area)),
    }


def _sink_resistance(count: int, film: float) -> float:
    """Return the resistance of the finned side of the sink [K/W]."""
    fin_area = count * 2 * FIN_HEIGHT * SINK_SIDE
    bare = SINK_SIDE * (SINK_SIDE - count * FIN_THICKNESS)
    efficiency = fins.fin_efficiency(fins.plate_fin_parameter(film, SINK_CONDUCTIVITY, FIN_THICKNESS), FIN_HEIGHT)
    return float(fins.sink_resistance(film, efficiency, fin_area, fin_area + bare))


def joint_resistance(settings, area: float) -> float:
    """Return the resistance between die and sink [K/W]; the bond line may be an array."""
    if settings.fill == "pad":
        return pads.pad_resistance(PAD_THICKNESS, 0.3, PAD_CONDUCTIVITY, area, CONTACTS / 2)
    gap = settings.bond_line * UM
    if settings.fill == "air":
        return chain.layer_resistance(gap, coverage.AIR_CONDUCTIVITY, area)
    layer = coverage.partly_covered_resistance(settings.covered / 100, gap, settings.conductivity, area)
    return layer + chain.resistance_over_area(CONTACTS, area)


def _stack_marks(drops, edges):
    """Yield the parts of the chain on one another, each with its words beside it."""
    middles = np.clip((edges[:-1] + edges[1:]) / 2, COLDEST_SHOWN, HOTTEST_SHOWN)
    yield Area([0, 1, 1, 0], [COLDEST_SHOWN, COLDEST_SHOWN, edges[0], edges[0]], "grey", 0.35)
    for (_, colour), low, high in zip(PARTS.values(), edges[:-1], edges[1:], strict=True):
        yield Area([0, 1, 1, 0], [low, low, high, high], colour, 1.0)
        yield Line([0, 1], [high, high], "ink", 1.0)
    for part, middle, height in zip(PARTS, middles, _apart(middles), strict=True):
        yield Line([1, 1.12], [middle, height], "ink", 1.0)
        yield Label(1.16, height, f"{drops[part]:.{0 if drops[part] >= 100 else 1}f} K {PARTS[part][0]}")
    if edges[-1] < HOTTEST_SHOWN - LABEL_ROOM:
        yield Label(0.5, edges[-1] + LABEL_ROOM / 2, f"{edges[-1]:.0f} °C", anchor="middle")
    else:
        yield Label(0.5, HOTTEST_SHOWN - LABEL_ROOM, f"↑ {edges[-1]:.0f} °C", BLACK, "middle")
    yield Label(0.5, (COLDEST_SHOWN + edges[0]) / 2, "air", anchor="middle")


LABEL_ROOM = 11.0
"""Kelvins of height that one line of words takes."""


def _apart(heights):
    """Return rising heights moved so far that words at them do not touch, and stay on the picture.

    >>> _apart(np.array([20.0, 21.0, 60.0]))
    array([20., 31., 60.])
    """
    steps = LABEL_ROOM * np.arange(heights.size)
    risen = np.maximum.accumulate(heights - steps) + steps
    highest = HOTTEST_SHOWN - LABEL_ROOM / 2 - (steps[-1] - steps)
    return np.minimum(risen, highest)


def chain_readings(drops, edges, settings) -> tuple[Reading, ...]:
    """Return the junction with its margin, and each part's share."""
    junction, margin = edges[-1], HOTTEST_JUNCTION_C - edges[-1]
    whole = edges[-1] - edges[0]
    shares = (
        Reading(
            words, f"{drops[part]:.1f} K", f"{percent(drops[part] / whole)}, {drops[part] / settings.power:.3f} K/W"
        )
        for part, (words, _) in reversed(PARTS.items())
    )
    return (
        Reading(
            f"junction, at most {HOTTEST_JUNCTION_C:.0f} °C",
            with_margin(f"{junction:.0f} °C", margin, "°C"),
            stands(margin, 3),
        ),
        *shares,
        Reading("junction to air in all", f"{whole / settings.power:.2f} K/W"),
    )


def chain_words(drops, edges, settings) -> str:
    """Say where the kelvins go."""
    between = {"paste": f"paste of {settings.bond_line:.0f} µm", "pad": "a gap pad", "air": "nothing but air"}
    parts = ", ".join(f"{drops[part]:.1f} K {words}" for part, (words, _) in PARTS.items())
    return (
        f"A die of {settings.power:.0f} W with {between[settings.fill]} between it and its sink, in air of "
        f"{settings.air:.0f} °C. Stacked from the air up: {parts}. The junction is at {edges[-1]:.0f} °C"
        + (", above the top of the picture." if edges[-1] > HOTTEST_SHOWN else ".")
    )


def _draw_chain(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (3, 2)} if narrow else {"ncols": 2, "width_ratios": (1, 1)}
    stack, over = figure.subplots(**shape)
    stack.set(xlim=(0, 3), ylim=(COLDEST_SHOWN, HOTTEST_SHOWN), xticks=[], ylabel="temperature [°C]")
    over.set(xlim=(0, 305), ylim=(COLDEST_SHOWN, HOTTEST_SHOWN), xlabel="bond line [µm]", ylabel="junction [°C]")
    over.grid(alpha=0.25)
    key(over, "the paste chosen", "orange", 2.5)
    key(over, "a paste of 1 W/mK", "grey", 1.5, (6, 3))
    key(over, "the pad in its place", "ink", 1.5, (2, 3))
    key(over, f"{HOTTEST_JUNCTION_C:.0f} °C", "red", 1.5, (8, 3))
    over.scatter([], [], s=40, facecolors="none", edgecolors=COLOURS["grey"], label="now")
    legend(over, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2)
    return [stack, over]


CHAIN_FRAME = Frame("chain", _draw_chain, wide=(860, 380), narrow=(380, 420))


# ---- pads around a die

PACKAGE_SIDE, PAD_DIE = 35 * MM, 14 * MM
PADS_AREA = coverage.ring_area(PACKAGE_SIDE, PAD_DIE)
PADS_POWER = 45.0
LEAST_COMPRESSION, MOST_COMPRESSION = pads.USUAL_COMPRESSION
PADS_SCALE = 8
"""How many times larger heights are drawn than lengths."""
GAPS_SHOWN = (10, 3000)

PADS_CONTROLS = (
    Slider("free", "Pad before squeezing", "mm", 0.4, 2.5, 0.1, 1.5),
    Slider("step", "Die stands over the package by", "mm", 0.2, 1.5, 0.05, 0.65),
    Slider("clamp", "Force of all springs", "N", 10, 200, 5, 70),
    Slider("stiffness", "Stiffness of the pad", "kPa", 20, 500, 10, 150),
    Slider("bond_line", "Bond line the paste would come to", "µm", 20, 150, 5, 50),
)


def pads_picture(settings) -> Picture:
    """Return die, paste, pads and sink cut through, and the gap over the die for every thickness of pad."""
    settled = settle(settings)
    frees = np.linspace(0.3, 2.6, 120)
    gaps = np.array([settle(settings, free).die_gap for free in frees]) / UM
    thin, thick = np.divide(pads.fitting_thicknesses(settings.step * MM, settings.bond_line * UM), MM)
    marks = [
        *_cut_marks(settings, settled),
        Area([thin, thick, thick, thin], np.repeat(GAPS_SHOWN, 2), "green", 0.3, axes=1),
        Line([0, 3], [settings.bond_line] * 2, "ink", 1.0, (6, 3), axes=1),
        Line(frees, gaps, "orange", 2.5, axes=1),
        Dots([settings.free], [settled.die_gap / UM], "red", 12, "ring", axes=1),
    ]
    return Picture(PADS_FRAME, tuple(marks), pads_words(settled, settings), pads_readings(settled, settings))


def settle(settings, free: float | None = None) -> pads.StackUp:
    """Return how the sink settles with the pad chosen, or with another thickness in mm."""
    thickness = settings.free if free is None else free
    return pads.stack_up(
        settings.clamp,
        thickness * MM,
        settings.step * MM,
        settings.bond_line * UM,
        settings.stiffness * KPA,
        PADS_AREA,
    )


SINK_TOP, PACKAGE_BOTTOM = 3.4, -0.6


def _cut_marks(settings, settled):
    """Yield the stack from the side; what is under the sink is as high as it settled."""
    die, package = PAD_DIE / 2 / MM, PACKAGE_SIDE / 2 / MM
    underside = settings.step + settled.die_gap / MM
    pad = min(settings.free * (1 - settled.compression), underside)
    yield _box(-package, package, PACKAGE_BOTTOM, 0, "green")
    yield _box(-die, die, 0, settings.step, "sky")
    yield _box(-die, die, settings.step, underside, "orange")
    for side in (-1, 1):
        yield _box(side * (die + 0.5), side * package, 0, pad, "purple")
    yield _box(-package - 1.5, package + 1.5, underside, SINK_TOP, "grey")
    yield Label(0, underside + 0.25, f"sink, {settled.die_gap / UM:.0f} µm up", BLACK, "middle")
    yield Label(0, settings.step / 2, "die", BLACK, "middle")
    yield Label(0, PACKAGE_BOTTOM / 2, "package", BLACK, "middle")
    yield Label((die + package) / 2, min(pad / 2, 1.0), "pad", BLACK, "middle")


def _box(left, right, low, high, colour) -> Area:
    return Area([left, right, right, left], [low, low, high, high], colour, 1.0)


def pads_readings(settled, settings) -> tuple[Reading, ...]:
    """Return what the sink rests on, and each limit with its margin."""
    kelvin = PADS_POWER * chain.layer_resistance(settled.die_gap, PASTE_CONDUCTIVITY, PAD_DIE**2)
    inside = min(settled.compression - LEAST_COMPRESSION, MOST_COMPRESSION - settled.compression)
    over = settings.bond_line - settled.die_gap / UM
    wanted = float(pads.compression_in_stack(settings.free * MM, settings.step * MM, settings.bond_line * UM))
    touching = "does not touch the sink" if wanted <= 0 else ""
    thin, thick = np.divide(pads.fitting_thicknesses(settings.step * MM, settings.bond_line * UM), MM)
    return (
        Reading(
            f"gap over the die, {settings.bond_line:.0f} µm if not lifted",
            with_margin(f"{settled.die_gap / UM:.0f} µm", over, "µm"),
            "outside" if settled.lifted else "inside",
        ),
        Reading(
            f"pad squeezed, {percent(LEAST_COMPRESSION)} to {percent(MOST_COMPRESSION)}",
            with_margin(percent(settled.compression), 100 * inside, "%"),
            touching or stands(inside, 0.01),
        ),
        Reading("pads that fit this step", f"{thin:.2f} mm to {thick:.2f} mm"),
        Reading("force taken by the pads", f"{settled.pad_force:.0f} N"),
        Reading("force left for the die", f"{settled.die_force:.0f} N", "lifted" if settled.lifted else ""),
        Reading(
            f"over the die's paste at {PADS_POWER:.0f} W, {PASTE_CONDUCTIVITY:.0f} W/mK",
            f"{kelvin:.1f} K",
            "all heat by the die",
        ),
    )


def pads_words(settled, settings) -> str:
    """Say what the cut shows."""
    ending = (
        "The sink rides on the pads and is lifted off the die."
        if settled.lifted
        else f"The sink rests on the die, pressed with {settled.die_force:.0f} N."
    )
    return (
        f"A die that stands {settings.step:.2f} mm over its package, paste on it, pads of {settings.free:.1f} mm "
        f"around it and a sink pressed on with {settings.clamp:.0f} N, cut through; heights drawn {PADS_SCALE} times "
        f"larger. The pads are squeezed by {percent(settled.compression)}; the gap over the die is "
        f"{settled.die_gap / UM:.0f} µm. {ending}"
    )


def _draw_pads(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (4, 5)} if narrow else {"ncols": 2, "width_ratios": (5, 4)}
    cut, over = figure.subplots(**shape)
    cut.set(xlim=(-21, 21), ylim=(-0.8, SINK_TOP), aspect=PADS_SCALE, xlabel="from the middle of the die [mm]")
    cut.set_ylabel("height [mm]" if narrow else "over the package [mm]", fontsize=9)
    cut.set_title(f"heights drawn {PADS_SCALE} times larger", fontsize=9)
    cut.tick_params(labelsize=9)
    over.set(xlim=(0.3, 2.6), ylim=GAPS_SHOWN, yscale="log", xlabel="pad before squeezing [mm]")
    over.set_ylabel("gap [µm]" if narrow else "gap over the die [µm]")
    over.set_yticks([10, 30, 100, 300, 1000, 3000], ["10", "30", "100", "300", "1000", "3000"])
    over.minorticks_off()
    key(over, "gap over the die", "orange", 2.5)
    key(over, "bond line wanted", "ink", 1.0, (6, 3))
    fits = f"fits ({percent(LEAST_COMPRESSION)} to {percent(MOST_COMPRESSION)})"
    over.fill([], [], color=COLOURS["green"], alpha=0.3, label=fits)
    over.scatter([], [], s=40, facecolors="none", edgecolors=COLOURS["red"], label="now")
    legend(over, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2)
    over.grid(alpha=0.25)
    return [cut, over]


PADS_FRAME = Frame("pads", _draw_pads, wide=(860, 380), narrow=(380, 420))


# ---- a sink that stands tilted

WEDGE_CONTROLS = (
    Slider("low", "Gap at the thin edge", "µm", 10, 150, 5, 50),
    Slider("high", "Gap at the thick edge", "µm", 15, 400, 5, 150),
    Slider("conductivity", "Conductivity of the paste", "W/mK", 1, 10, 0.5, 3),
    Slider("side", "Side of the die", "mm", 6, 30, 1, 14),
    Slider("power", "Heat through it", "W", 5, 200, 5, 60),
)


def wedge_picture(settings) -> Picture:
    """Return the wedge of paste under a tilted sink, to scale in its heights, and what it costs."""
    low, high = settings.low, max(settings.high, settings.low + 1)
    area, half = (settings.side * MM) ** 2, settings.side / 2
    tilted = float(wedge.wedge_resistance(low * UM, high * UM, settings.conductivity, area))
    flat = float(chain.layer_resistance(low * UM, settings.conductivity, area))
    mean = float(chain.layer_resistance((low + high) / 2 * UM, settings.conductivity, area))
    marks = (
        Area([-half, half, half, -half], [0, 0, high, low], "sky", 0.7),
        Line([-half, half], [low, high], "ink", 4),
        Line([-half, half], [0, 0], "ink", 4),
        Label(-half - 0.6, low, f"{low:.0f} µm", anchor="end"),
        Label(half + 0.6, high, f"{high:.0f} µm"),
    )
    readout = (
        Reading("wedge, strips side by side", f"{tilted:.3f} K/W", f"{settings.power * tilted:.1f} K"),
        Reading("flat, as at the thin edge", f"{flat:.3f} K/W", f"{settings.power * flat:.1f} K"),
        Reading("slip: flat, at the mean gap", f"{mean:.3f} K/W", f"{settings.power * mean:.1f} K"),
        Reading("the tilt costs", f"{settings.power * (tilted - flat):.1f} K"),
    )
    words = (
        f"A wedge of paste from {low:.0f} to {high:.0f} µm under a die of {settings.side:.0f} mm: "
        f"{tilted:.3f} K/W, where flat at the thin edge would have {flat:.3f} K/W. "
        f"With {settings.power:.0f} W the tilt costs {settings.power * (tilted - flat):.1f} K."
    )
    return Picture(WEDGE_FRAME, marks, words, readout)


def _draw_wedge(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(-22, 22), ylim=(-20, 460), xlabel="along the die [mm]", ylabel="gap, enlarged [µm]")
    axes.grid(alpha=0.2)
    return [axes]


WEDGE_FRAME = Frame("wedge", _draw_wedge, wide=(860, 320), narrow=(380, 360))


# ---- a board bent by a lever

STRAIN_LIMIT = 500.0
"""What a device maker asks a board to be bent by at most [µε]."""
BEND_CONTROLS = (
    Slider("deflection", "Bent at mid-span", "mm", 0, 4, 0.1, 2),
    Slider("span", "Between what holds the board", "mm", 40, 250, 5, 90),
    Slider("thickness", "Thickness of the board", "mm", 0.8, 2.4, 0.1, 1.6),
)


def bend_picture(settings) -> Picture:
    """Return the strain at the face of a board over how far it is bent, and how far it may be."""
    thickness, span = settings.thickness * MM, settings.span * MM
    bent = np.linspace(0, 4, 41)
    here = float(loosening.bending_strain(settings.deflection * MM, thickness, span)) * 1e6
    most = float(loosening.largest_deflection(STRAIN_LIMIT * 1e-6, thickness, span)) / MM
    marks = (
        Line(bent, np.minimum(loosening.bending_strain(bent * MM, thickness, span) * 1e6, 6000), "blue", 3),
        Line([0, 4], [STRAIN_LIMIT] * 2, "red", 2, (8, 3)),
        Dots([settings.deflection], [min(here, 6000)], "ink", 12),
    )
    readout = (
        Reading(
            "strain at the face",
            with_margin(f"{here:.0f} µε", STRAIN_LIMIT - here, "µε"),
            stands(STRAIN_LIMIT - here, 10),
        ),
        Reading(f"bent by at most, for {STRAIN_LIMIT:.0f} µε", f"{most:.2f} mm"),
    )
    words = (
        f"A board of {settings.thickness:.1f} mm, held {settings.span:.0f} mm apart and bent "
        f"{settings.deflection:.1f} mm, has {here:.0f} microstrain at its face. "
        f"For {STRAIN_LIMIT:.0f} microstrain it may be bent {most:.2f} mm."
    )
    return Picture(BEND_FRAME, marks, words, readout)


def _draw_bend(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0, 4), ylim=(0, 6000), xlabel="bent at mid-span [mm]", ylabel="strain at the face [µε]")
    axes.text(3.96, STRAIN_LIMIT + 120, f"{STRAIN_LIMIT:.0f} µε", fontsize=FONT, ha="right")
    axes.grid(alpha=0.2)
    return [axes]


BEND_FRAME = Frame("bend", _draw_bend, wide=(860, 320), narrow=(380, 360))


# ---- clean, for each area

OLD_LINE = 1.56
"""Once a limit of process control, no acceptance limit since 2018 [µg/cm^2]."""
CLEAN_CONTROLS = (
    Slider("mass", "Salt found in the extract", "µg", 20, 1000, 10, 350),
    Slider("length", "Board, along", "mm", 40, 300, 10, 100),
    Slider("width", "Board, across", "mm", 40, 300, 10, 150),
    Slider("spot", "Of it under one body", "µg", 0, 100, 5, 20),
    Slider("area", "That body covers", "cm²", 0.2, 6, 0.2, 1.4),
)


def clean_picture(settings) -> Picture:
    """Return the mean over both faces, over one (the slip), and at one place, which no mean can show."""
    mean = float(cleanliness.board_extract(settings.mass * 1e-9, settings.length * MM, settings.width * MM)) * 1e5
    place = min(settings.spot, settings.mass) / settings.area
    bars = (("both faces", mean, "blue"), ("one face: a slip", 2 * mean, "grey"), ("under the body", place, "orange"))
    marks = [
        Area([0.01, amount, amount, 0.01], [y - 0.25, y - 0.25, y + 0.25, y + 0.25], colour, 0.9)
        for y, (_, amount, colour) in zip((2, 1, 0), bars, strict=True)
        if amount > 0.01
    ]
    marks.append(Line([OLD_LINE, OLD_LINE], [-0.5, 2.5], "red", 2, (8, 3)))
    readout = (
        Reading("mean over both faces", f"{mean:.2f} µg/cm²", f"{mean / OLD_LINE:.2f} of the old line"),
        Reading("over one face only, a slip", f"{2 * mean:.2f} µg/cm²"),
        Reading("at the one place", f"{place:.1f} µg/cm²", f"{place / mean:.0f} times the mean"),
    )
    words = (
        f"{settings.mass:.0f} µg from a board of {settings.length:.0f} × {settings.width:.0f} mm are "
        f"{mean:.2f} µg/cm² over both faces. "
        f"{min(settings.spot, settings.mass):.0f} µg of it under one body are {place:.1f} µg/cm² there."
    )
    return Picture(CLEAN_FRAME, tuple(marks), words, readout)


def _draw_clean(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0.01, 1000), ylim=(-0.6, 2.6), xscale="log", xlabel="salt for each area [µg/cm²]", yticks=(2, 1, 0))
    axes.set_yticklabels(["both faces", "one face:\na slip", "under\nthe body"], fontsize=FONT)
    axes.set_xticks([0.01, 0.1, 1, 10, 100, 1000], ["0.01", "0.1", "1", "10", "100", "1000"])
    axes.set_title(f"dashed: the old line, {OLD_LINE} µg/cm²", fontsize=FONT)
    axes.grid(alpha=0.2, axis="x")
    return [axes]


CLEAN_FRAME = Frame("clean", _draw_clean, wide=(860, 300), narrow=(380, 320))


def spread_explorer() -> Explorer:
    """Return the explorer of paste pressed between die and sink."""
    return Explorer("Press the paste", SPREAD_CONTROLS, spread_picture, ahead=("volume",))


def chain_explorer() -> Explorer:
    """Return the explorer of the way from junction to air."""
    return Explorer("Where the kelvins go", CHAIN_CONTROLS, chain_picture)


def pads_explorer() -> Explorer:
    """Return the explorer of pads around a die."""
    return Explorer("Does the pad lift the sink?", PADS_CONTROLS, pads_picture)


def wedge_explorer() -> Explorer:
    """Return the explorer of a sink that stands tilted."""
    return Explorer("A wedge of paste under a tilted sink", WEDGE_CONTROLS, wedge_picture)


def bend_explorer() -> Explorer:
    """Return the explorer of a board bent by a lever."""
    return Explorer("How far a board may be bent", BEND_CONTROLS, bend_picture)


def clean_explorer() -> Explorer:
    """Return the explorer of salt for each area."""
    return Explorer("Clean, for each area", CLEAN_CONTROLS, clean_picture)
