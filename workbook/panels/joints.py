"""Explorers of the joints topic: the strain of every ball, the life of a package, and the bow of top heat alone."""

from functools import lru_cache

import numpy as np
from matplotlib import colormaps
from matplotlib.colors import to_hex

from workbook.bench.joints import bow, fatigue, mixed_alloy, strain, weibull, x_ray
from workbook.bench.paste import solder_ball
from workbook.bench.profile.conduction import through_board_drop
from workbook.panels.explorer import Explorer, Menu, Slider, Tick
from workbook.panels.pictures import (
    COLOURS,
    FONT,
    Area,
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
from workbook.references import table, value
from workbook.units import figures, signed

MM, UM, PPM, MINUTE, HOUR, YEAR = 1e-3, 1e-6, 1e-6, 60.0, 3600.0, 365.25

WANTED_CYCLES = value("joints", "test_cycles_without_failure")
ENGELMAIER = {
    "tin-lead": fatigue.EngelmaierConstants.from_references("engelmaier_tin_lead"),
    "SAC305": fatigue.EngelmaierConstants.from_references("engelmaier_tin_silver_copper"),
}
CYCLING = {
    "tin-lead": fatigue.CyclingConstants.from_references("norris_landzberg_tin_lead"),
    "SAC305": fatigue.CyclingConstants.from_references("norris_landzberg_sac305"),
}

ALLOWED = 0.01
"""Share of packages that may have failed when the wanted cycles are over: a choice, to hold a margin against."""

BODY = "#23262e"
"""A package seen from above is dark, in a light page and in a dark one."""

DARKEST = 0.2
SHADES = tuple(to_hex(colour) for colour in colormaps["viridis"](np.linspace(DARKEST, 1, 256)))
"""Colours that stay in order for colour-blind readers and in grey, and that all stand out on the body."""

ARRAY_CONTROLS = (
    Slider("rows", "Balls along one side", "1", 8, 32, 2, 26),
    Menu("pitch", "Pitch", {pitch: f"{pitch} mm" for pitch in ("0.5", "0.65", "0.8", "1.0", "1.27")}, "1.0"),
    Slider("standoff", "Height of the joints (stand-off)", "mm", 0.1, 0.8, 0.02, 0.4),
    Slider("part", "Expansion of the part", "ppm/K", 3, 20, 0.5, 13),
    Slider("board", "Expansion of the board", "ppm/K", 11, 22, 0.5, 17),
    Slider("swing", "Temperature swing", "K", 10, 165, 5, 45),
    Slider("empty", "Rows left out in the middle", "1", 0, 28, 2, 0),
    Slider("cut", "Rows cut off each corner", "1", 0, 3, 1, 0),
)

ARRAY_MEAN_C, ARRAY_DWELL = 55.0, 15 * MINUTE
ARRAY_SHAPE = 3.0
BRIGHTEST = 0.01
"""Strain of the brightest colour."""


def array_picture(settings) -> Picture:
    """Return the ball array coloured by strain, each ball's life over its distance, and which joint goes first."""
    pitch = float(settings.pitch)
    balls = array_balls(_even(settings.rows), pitch, _even(settings.empty), round(settings.cut))
    distance = strain.distance_from_neutral_point(balls)
    strains = strain.mismatch_strain(
        distance, settings.standoff * MM, settings.part * PPM, settings.board * PPM, settings.swing
    )
    lives = array_lives(strains)
    worst = strain.worst_joints(strains) if strains.max() > 0 else np.array([], dtype=int)
    shades = np.array(SHADES)[np.clip(strains / BRIGHTEST * 255, 0, 255).astype(int)]
    near = np.unique(np.round(distance, 9), return_index=True)[1]
    half = _even(settings.rows) * pitch / 2 + 0.4
    size = 5.2 * pitch
    marks = [
        Area([-half, half, half, -half], [-half, -half, half, half], BODY, 1.0),
        Dots(balls[:, 0] / MM, balls[:, 1] / MM, tuple(shades), size),
        Dots(balls[worst, 0] / MM, balls[worst, 1] / MM, "red", size + 7, "ring"),
    ]
    if worst.size:
        marks += [
            Line(distance[near] / MM, lives[near], "grey", 1.0, axes=1),
            Dots(distance[near] / MM, lives[near], tuple(shades[near]), 7, axes=1),
            Dots(distance[worst[:1]] / MM, lives[worst[:1]], "red", 13, "ring", axes=1),
        ]
    readout = array_readings(distance, strains, lives, worst, settings)
    return Picture(ARRAY_FRAME, tuple(marks), array_words(distance, strains, lives, worst, settings), readout)


def _even(count) -> int:
    """Return the nearest even count: a middle can be left out of an even array only by even counts."""
    return 2 * round(count / 2)


@lru_cache(maxsize=64)
def array_balls(rows: int, pitch: float, empty: int, cut: int) -> np.ndarray:
    """Return the balls of a square array in metres, without its middle and without the tips of its corners.

    At least one ring of balls stays. ``pitch`` is in millimetres.
    """
    empty = min(empty, rows - 2)
    balls = strain.ball_array(rows, rows, pitch * MM, empty, empty)
    steps_from_edge = (rows - 1) / 2 - np.abs(balls) / (pitch * MM)
    return balls[steps_from_edge.sum(axis=1) > cut - 0.5]


def array_lives(strains):
    """Return each joint's median life in cycles by the tin-lead constants; endless where nothing strains it."""
    lives = np.full(strains.shape, np.inf)
    strained = strains > 0
    lives[strained] = fatigue.engelmaier_life(strains[strained], ARRAY_MEAN_C, ARRAY_DWELL, ENGELMAIER["tin-lead"])
    return lives


def array_readings(distance, strains, lives, worst, settings) -> tuple[Reading, ...]:
    """Return the worst joint's numbers."""
    balls = Reading("balls in the array", f"{distance.size}")
    mismatch = Reading("mismatch of part and board", f"{abs(settings.part - settings.board):.1f} ppm/K")
    if not worst.size:
        return balls, mismatch, Reading("strain of every joint", "0 %", "no mismatch")
    etas = weibull.characteristic_life_from_median(lives, ARRAY_SHAPE)
    early = float(weibull.b_life(ALLOWED, weibull.package_characteristic_life(etas, ARRAY_SHAPE), ARRAY_SHAPE))
    chance = first_to_go(lives, worst)
    outermost = np.argsort(distance)[-max(1, distance.size // 10) :]
    return (
        balls,
        mismatch,
        Reading("centre to the worst joint", f"{distance[worst[0]] / MM:.1f} mm", f"{worst.size} alike"),
        Reading("strain of the worst joint", percent(strains[worst[0]], 2)),
        Reading("the same for each 100 K of swing", percent(strains[worst[0]] * 100 / settings.swing, 2)),
        Reading("one of these is the first to go", f"{percent(chance)} of parts", f"shape {ARRAY_SHAPE:.0f}"),
        Reading("one of the outermost tenth is", f"{percent(first_to_go(lives, outermost))} of parts"),
        Reading("half of such joints failed", f"{_count(lives[worst[0]])} cycles"),
        Reading(
            f"{percent(ALLOWED)} of packages failed, wanted {WANTED_CYCLES}",
            f"{_count(early)} cycles, {_times(early / WANTED_CYCLES)}",
            _state_of_ratio(early / WANTED_CYCLES),
        ),
    )


def first_to_go(lives, joints) -> float:
    """Return the chance that the first joint to fail is one of these: each joint's share of the package's hazard."""
    chosen = weibull.package_characteristic_life(lives[joints], ARRAY_SHAPE)
    return float((weibull.package_characteristic_life(lives, ARRAY_SHAPE) / chosen) ** ARRAY_SHAPE)


def _count(number: float) -> str:
    """Return a count to two figures: no life is known better.

    >>> _count(11403.0), _count(5e12)
    ('11 000', 'over 10⁹')
    """
    return "over 10⁹" if number > 1e9 else f"{float(f'{number:.2g}'):,.0f}".replace(",", " ")


def _times(ratio: float) -> str:
    return f"{_count(ratio) if ratio >= 10 else figures(ratio)} times"


def _state_of_ratio(ratio: float) -> str:
    """Return where a life stands against what is wanted; within a factor of two it is too near to call."""
    return "borderline" if 0.5 < ratio < 2 else "inside" if ratio >= 2 else "outside"


def array_words(distance, strains, lives, worst, settings) -> str:
    """Say what the array shows."""
    shown = (
        f"A package of {distance.size} balls seen from above, pitch {settings.pitch} mm, "
        f"joints {settings.standoff:.2f} mm high, {settings.part:.1f} ppm/K on a board of "
        f"{settings.board:.1f} ppm/K, swing {settings.swing:.0f} K. "
    )
    if not worst.size:
        return shown + "Part and board grow alike: no joint is strained."
    return shown + (
        f"The colours run from the middle, strained {percent(strains.min(), 2)}, to the {worst.size} ringed joints "
        f"{distance[worst[0]] / MM:.1f} mm out, strained {percent(strains.max(), 2)}. "
        f"Half of such joints have failed by {_count(lives[worst[0]])} cycles."
    )


def _draw_array(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (3, 2)} if narrow else {"ncols": 2, "width_ratios": (1, 1)}
    above, life = figure.subplots(**shape)
    above.set(xlim=(-21, 21), ylim=(-21, 21), xlabel="from the centre [mm]", aspect="equal")
    above.tick_params(labelsize=9)
    bands = above.inset_axes((0, 1.06, 1, 0.05))
    bands.imshow([np.linspace(DARKEST, 1, 256)], aspect="auto", cmap="viridis", vmin=0, vmax=1, extent=(0, 1, 0, 1))
    shares = np.linspace(0, 1, 3 if narrow else 6)  # in per cent
    bands.set_yticks([])
    bands.set_xticks(shares, [f"{share:g}" if share < 1 else "≥ 1 %" for share in shares])
    bands.tick_params(labelsize=9, bottom=False, labelbottom=False, top=True, labeltop=True)
    bands.set_title("strain of the joint", fontsize=9)
    life.set(xlim=(0, 30), ylim=(10, 1e8), yscale="log", xlabel="distance of the joint from the centre [mm]")
    life.set_ylabel("cycles, half failed" if narrow else "cycles until half have failed")
    life.axhline(WANTED_CYCLES, color=COLOURS["grey"], lw=1, ls="--")
    life.text(0.5, WANTED_CYCLES * 0.8, f"{WANTED_CYCLES} cycles", fontsize=9, va="top")
    life.grid(alpha=0.25)
    return [above, life]


ARRAY_FRAME = Frame("array", _draw_array, wide=(860, 380), narrow=(380, 420))


TESTS = {"TC1": value("joints", "test_cycle_preferred")} | {
    letter: tuple(row.values()) for letter, row in table("joints", "cycle_letters").items() if letter in "GB"
}
TEST_DWELL = value("joints", "test_dwell") * MINUTE
TEST_RAMP = 10 / MINUTE
"""Ramp of the test chamber in K/s: an assumption inside what chambers do."""
ROOM_C = 20.0
LIFE_CONTROLS = (
    Slider("rows", "Balls along one side", "1", 2, 32, 2, 26),
    Slider("strain", "Strain of the corner joint for each 100 K of swing", "%", 0.2, 4, 0.1, 1.8),
    Slider("shape", "Weibull shape of one joint", "1", 1.5, 8, 0.5, 3),
    Menu("solder", "Constants", {name: name for name in ENGELMAIER}, "tin-lead"),
    Menu("test", "Test", {key: f"{low:.0f} to {high:.0f} °C ({key})" for key, (low, high) in TESTS.items()}, "TC1"),
    Slider("highest_c", f"Hottest in use (coldest {ROOM_C:.0f} °C)", "°C", 30, 100, 5, 65),
    Slider("hours", "One cycle in use lasts", "h", 0.25, 24, 0.25, 8),
    Slider("daily", "Cycles in a day", "1", 0.5, 24, 0.5, 1),
    Slider("years", "Years wanted", "years", 1, 30, 1, 5),
    Tick("paper", "Weibull paper"),
)

CURVES = {
    "one joint, tested": ("ink", 2.0, (3, 3)),
    "package, tested": ("blue", 2.5, ()),
    "package, in use": ("red", 2.5, (8, 3)),
    "in use, by strain": ("purple", 2.0, (8, 3, 2, 3)),
}
"""Colour, width and dash of each curve."""

WANTED = ("orange", 2.0, (2, 3))
"""The looks of the line at the cycles that are wanted."""


def life_picture(settings) -> Picture:
    """Return how lives scatter: of one joint, of the package, in the test and in use; and a hundred packages."""
    found = lives_of(settings)
    shares = np.concatenate([[0.0005], np.linspace(0.002, 0.998, 120), [0.9995]])
    etas = dict(
        zip(CURVES, (found["joint"], found["package"], found["in_use"], found["in_use_by_strain"]), strict=True)
    )
    marks = [
        Line(weibull.b_life(shares, etas[name], settings.shape), shares, colour, width, dash)
        for name, (colour, width, dash) in CURVES.items()
    ]
    failed = int(round(100 * found["failed"]))
    marks += [
        Line([found["wanted"]] * 2, [0.0005, 0.9995], *WANTED),
        Dots([found["wanted"]], [np.clip(found["failed"], 0.0005, 0.9995)], "orange", 11, "ring"),
        *_hundred(failed),
    ]
    return Picture(
        LIFE_FRAMES[settings.paper], tuple(marks), life_words(found, settings), life_readings(found, settings)
    )


def lives_of(settings) -> dict[str, float]:
    """Return the characteristic lives in cycles, the two accelerations, and how a package stands after the years."""
    test = fatigue.ThermalCycle(*TESTS[settings.test])
    use = fatigue.ThermalCycle(ROOM_C, settings.highest_c)
    use_duration = min(settings.hours, 24 / settings.daily) * HOUR
    test_duration = 2 * (TEST_DWELL + float(test.swing) / TEST_RAMP)

    joints = _characteristic_lives(settings, test, TEST_DWELL)
    package = float(weibull.package_characteristic_life(joints, settings.shape))
    acceleration = float(
        fatigue.norris_landzberg_acceleration(
            test, use, test_frequency=1 / test_duration, field_frequency=1 / use_duration,
            constants=CYCLING[settings.solder],
        )
    )  # fmt: skip
    in_use = acceleration * package
    by_strain = _characteristic_lives(settings, use, use_duration / 2)
    in_use_by_strain = float(weibull.package_characteristic_life(by_strain, settings.shape))
    wanted = settings.years * YEAR * settings.daily
    return {
        "joint": float(joints.min()),
        "package": package,
        "acceleration": acceleration,
        "in_use": in_use,
        "in_use_by_strain": in_use_by_strain,
        "use_hours": use_duration / HOUR,
        "wanted": wanted,
        "failed": float(weibull.fraction_failed(wanted, in_use, settings.shape)),
        "allowed_years": float(weibull.b_life(ALLOWED, in_use, settings.shape)) / settings.daily / YEAR,
    }


def _characteristic_lives(settings, cycle, dwell):
    """Return the characteristic life of every joint under a cycle: strain goes with swing and with distance."""
    distance = strain.distance_from_neutral_point(array_balls(_even(settings.rows), 1.0, 0, 0))
    strains = settings.strain / 100 * float(cycle.swing) / 100 * distance / distance.max()
    medians = fatigue.engelmaier_life(strains, cycle.mean_c, dwell, ENGELMAIER[settings.solder])
    return weibull.characteristic_life_from_median(medians, settings.shape)


def _hundred(failed: int) -> tuple[Dots, Dots]:
    """Return a hundred packages in ten rows, the failed ones first from the bottom, told apart by shape too."""
    place = np.arange(100)
    x, y = place % 10, place // 10
    return (
        Dots(x[:failed], y[:failed], "red", 10, "square", axes=1),
        Dots(x[failed:], y[failed:], "sky", 8, axes=1),
    )


def life_readings(found, settings) -> tuple[Reading, ...]:
    """Return the lives, the two ways from test to use, and the margin of the wanted years."""
    years = found["allowed_years"]
    by_strain = found["in_use_by_strain"] / found["package"]
    joint, package = (weibull.median_life(found[name], settings.shape) for name in ("joint", "package"))
    each = "as a day allows" if found["use_hours"] < settings.hours else "each"
    return (
        Reading("one corner joint in the test, half failed", f"{_count(joint)} cycles"),
        Reading("whole package in the test, half failed", f"{_count(package)} cycles", f"÷ {joint / package:.1f}"),
        Reading("one test cycle is worth, by Norris and Landzberg", f"{figures(found['acceleration'])} in use"),
        Reading("the same straight from the strain", f"{figures(by_strain)} in use"),
        Reading("cycles in the wanted years", _count(found["wanted"]), f"{figures(found['use_hours'])} h {each}"),
        Reading("packages failed by then", percent(found["failed"], 1)),
        Reading(
            f"{percent(ALLOWED)} failed, wanted {settings.years:.0f} years",
            f"{figures(years)} years, margin {figures(years - settings.years, sign='+')} years",
            _state_of_ratio(years / settings.years),
        ),
    )


def life_words(found, settings) -> str:
    """Say what the curves show."""
    joint, package, in_use = (
        weibull.median_life(found[name], settings.shape) for name in ("joint", "package", "in_use")
    )
    rows = _even(settings.rows)
    return (
        f"Share failed over cycles for a package of {rows} by {rows} balls, {settings.solder} constants. "
        f"In the test half of single corner joints have failed by {_count(joint)} cycles, half of whole packages "
        f"already by {_count(package)}; in use half of the packages by {_count(in_use)}. "
        f"After {settings.years:.0f} years, {_count(found['wanted'])} cycles, {100 * found['failed']:.0f} of 100 "
        "packages have failed."
    )


def _draw_life(paper, figure, narrow):
    shape = {"nrows": 2, "height_ratios": (3, 2)} if narrow else {"ncols": 2, "width_ratios": (5, 2)}
    curves, hundred = figure.subplots(**shape)
    curves.set(xlim=(10, 1e6), xscale="log", xlabel="cycles", ylabel="share failed")
    if paper:
        curves.set_yscale("function", functions=(_stretched, _unstretched))
    curves.set(ylim=(0.001, 0.999) if paper else (0, 1))
    ticks = (0.001, 0.01, 0.1, 0.5, 0.632, 0.9, 0.999) if paper else (0, 0.25, 0.5, 0.632, 0.75, 1)
    curves.set_yticks(ticks, [f"{100 * tick:g} %" for tick in ticks])
    curves.minorticks_off()
    for name, (colour, width, dash) in CURVES.items():
        key(curves, name, colour, width, dash)
    key(curves, "cycles wanted", *WANTED)
    legend(hundred if narrow else curves, handles=curves.get_lines(), **_legend_place(narrow))
    if narrow:
        hundred.get_legend().set_in_layout(False)
        hundred.set_anchor("W")
    curves.grid(alpha=0.25)
    hundred.set(xlim=(-0.7, 9.7), ylim=(-0.7, 9.7), xticks=[], yticks=[], aspect="equal")
    hundred.set_title("100 after the wanted years", fontsize=9, loc="left")
    hundred.set_xlabel("squares have failed, dots work", fontsize=9, loc="left")
    return [curves, hundred]


def _legend_place(narrow):
    if narrow:
        return {"loc": "center left", "bbox_to_anchor": (1.05, 0.5), "handlelength": 1.7}
    return {"loc": "lower center", "bbox_to_anchor": (0.5, 1.0), "ncols": 2}


def _stretched(share):
    """Return the height of a share on Weibull paper, where a Weibull law is straight."""
    return np.log(-np.log1p(-np.clip(share, 1e-6, 1 - 1e-9)))


def _unstretched(height):
    return -np.expm1(-np.exp(height))


LIFE_FRAMES = {
    paper: Frame(("life", paper), lambda figure, narrow, paper=paper: _draw_life(paper, figure, narrow),
                 wide=(860, 380), narrow=(380, 420))
    for paper in (False, True)
}  # fmt: skip


BOARD_CONDUCTIVITY = value("profile", "fr4_conductivity_through")
SOLIDUS_C = value("profile", "sac305_solidus_c")
LARGEST_BOW = value("joints", "bow_limit")
DIE = bow.Layer(0.5 * MM, 169e9, 2.6 * PPM)
LAMINATE = bow.Layer(1.0 * MM, 22e9, 15 * PPM)
FLAT_C = 175.0
"""A package of die on laminate, flat where it was bonded: the inputs of the bench's example, from memory."""
BALL = 0.4
BOARD_SCALE, PACKAGE_SCALE = 15, 8
"""How many times larger heights are drawn than lengths."""

BOW_CONTROLS = (
    Slider("flux", "Heat crossing the board from top to bottom (0: as warm below)", "kW/m²", 0, 8, 0.5, 5),
    Slider("thickness", "Thickness of the board", "mm", 0.8, 3.2, 0.2, 1.6),
    Slider("expansion", "Expansion of the board", "ppm/K", 11, 22, 0.5, 16),
    Slider("span", "Length of board that is heated", "mm", 40, 200, 10, 150),
    Slider("package_c", "Temperature of the package", "°C", 25, 250, 5, 220),
    Slider("side", "Side of the package", "mm", 10, 35, 1, 27),
)


def bow_picture(settings) -> Picture:
    """Return the board and the package on it, bent by heat from the top; heights are drawn larger, and it says so."""
    bent = bows(settings)
    marks = [*_board_marks(settings, bent), *_package_marks(settings, bent)]
    return Picture(BOW_FRAME, tuple(marks), bow_words(bent, settings), bow_readings(bent, settings))


def bows(settings) -> dict[str, float]:
    """Return the curvatures [1/m], bows [mm] and changes of joint height [um] of a board heated from the top."""
    difference = through_board_drop(settings.flux * 1e3, settings.thickness * MM, BOARD_CONDUCTIVITY)
    board = bow.gradient_curvature(settings.expansion * PPM, difference, settings.thickness * MM)
    package = float(bow.bilayer_curvature(DIE, LAMINATE, settings.package_c - FLAT_C))
    diagonal = settings.side * np.sqrt(2)
    return {
        "difference": float(difference),
        "board": float(board),
        "package": package,
        "over_span": float(bow.centre_bow(board, settings.span * MM)) / MM,
        "under_package": float(bow.centre_bow(board, diagonal * MM)) / MM,
        "of_package": float(bow.centre_bow(package, diagonal * MM)) / MM,
        "corner": float(joint_stretch(board - package, settings.side, diagonal / 2)),
        "centre": float(joint_stretch(board - package, settings.side, 0.0)),
    }


def joint_stretch(curvature, side, radius):
    """Return how much taller the joint at a radius is than the mean one, in micrometres (lengths in mm).

    The molten package floats, so that the mean height over its square stays; there the mean of r² is a sixth of the
    side squared. ``curvature`` is the board's less the package's.
    """
    mean = bow.centre_bow(curvature, 2 * side * MM / np.sqrt(6))
    return (bow.centre_bow(curvature, 2 * np.asarray(radius) * MM) - mean) / UM


def _sagged(curvature, x):
    """Return the height of an arc at x [mm] over its middle [mm]: below it where the middle stands up."""
    return -bow.centre_bow(curvature, 2 * np.abs(x) * MM) / MM


BOARD_CUT, OVER_PACKAGE = -0.8, 2.75
"""Where the package's picture cuts the board off below, and where words stand above any package, in millimetres."""
PITCH_DRAWN = 3.5
"""How near to one another joints of a small package are drawn at most, in millimetres: so that each is seen."""
BLACK = COLOURS["black"]
LAYERS = 8
HOTTEST_DIFFERENCE = 40.0
"""Difference of the faces, in kelvin, that takes the brightest colour."""


def _board_marks(settings, bent):
    """Yield the board from the side, its faces coloured by warmth, on the line between its ends."""
    x = np.linspace(-settings.span / 2, settings.span / 2, 41)
    top = _sagged(bent["board"], x) + bent["over_span"]
    around = np.concatenate([x, x[::-1]])
    step = settings.thickness / LAYERS
    for layer in reversed(range(LAYERS)):
        warmth = bent["difference"] * (1 - (layer + 0.5) / LAYERS) / HOTTEST_DIFFERENCE
        lower = (top - (layer + 1) * step)[::-1]
        yield Area(around, np.concatenate([top, lower]), SHADES[int(np.clip(warmth, 0, 1) * 255)], 1.0)
    yield Line([-settings.span / 2, settings.span / 2], [0, 0], "ink", 1.5, (4, 3))
    yield Line([0, 0], [0, bent["over_span"]], "orange", 3)
    yield Label(0, bent["over_span"] + 0.35, f"{bent['over_span']:.2f} mm", anchor="middle")


def _package_marks(settings, bent):
    """Yield the package on the board, cut along its diagonal; squeezed joints are thick, stretched ones thin."""
    half = settings.side / np.sqrt(2)
    x = np.linspace(-half, half, 33)
    over_board = joint_heights(settings, bent, x)
    board = _sagged(bent["board"], x)
    underside, around = board + over_board, np.concatenate([x, x[::-1]])
    laminate, die = LAMINATE.thickness / MM, DIE.thickness / MM
    yield Area(around, np.concatenate([board, np.full_like(x, BOARD_CUT)]), "green", 1.0, axes=1)
    yield Area(around, np.concatenate([underside, underside[::-1] + laminate]), "grey", 1.0, axes=1)
    yield Area(around, np.concatenate([underside + laminate, underside[::-1] + laminate + die]), "sky", 1.0, axes=1)
    each_side = min(5, int(half / PITCH_DRAWN))
    places = np.linspace(-half + 0.7, half - 0.7, 2 * each_side + 1)
    feet, heights = _sagged(bent["board"], places), joint_heights(settings, bent, places)
    for place, foot, height in zip(places, feet, heights, strict=True):
        colour, width = ("red", 2.5) if height > BALL else ("blue", 7.0)
        yield Line([place, place], [foot, foot + height], colour, width, axes=1)
    middle = float(underside[x.size // 2])
    for y, text in (
        (middle + laminate + die / 2, "die"),
        (middle + laminate / 2, "laminate"),
        (BOARD_CUT / 2, "board"),
    ):
        yield Label(0, y, text, BLACK, "middle", axes=1)
    changes = f"centre {signed(bent['centre'])} µm, corner {signed(bent['corner'])} µm"
    yield Label(0, OVER_PACKAGE, changes, anchor="middle", axes=1)


def joint_heights(settings, bent, x):
    """Return the height of the joints at places along the package's diagonal (all in millimetres)."""
    return BALL + joint_stretch(bent["board"] - bent["package"], settings.side, np.abs(x)) * UM / MM


def bow_readings(bent, settings) -> tuple[Reading, ...]:
    """Return the bows, and the one limit there is with its margin."""
    package = abs(bent["of_package"])
    return (
        Reading("top face hotter than the bottom face by", f"{bent['difference']:.0f} K"),
        Reading("middle of the heated board over its ends", f"{bent['over_span']:.2f} mm", _way(bent["over_span"])),
        Reading("board under the package, corner to corner", _microns(bent["under_package"]), _way(bent["board"])),
        Reading(
            f"package, corner to corner, at most {LARGEST_BOW * 1e3:.0f} µm while the solder is molten",
            with_margin(_microns(bent["of_package"]), (LARGEST_BOW - package) * 1e3, "µm"),
            stands(LARGEST_BOW - package, 0.02) if settings.package_c >= SOLIDUS_C else "solid: not judged",
        ),
        Reading(
            f"joint at the corner, {BALL * 1e3:.0f} µm if flat",
            f"{signed(bent['corner'])} µm",
            _pull(bent["corner"], settings.package_c),
        ),
        Reading(
            f"joint at the centre, {BALL * 1e3:.0f} µm if flat",
            f"{signed(bent['centre'])} µm",
            _pull(bent["centre"], settings.package_c),
        ),
    )


def _microns(millimetres: float) -> str:
    return f"{signed(millimetres * 1e3)} µm"


def _way(curvature: float) -> str:
    return "middle up" if curvature > 1e-12 else "middle down" if curvature < -1e-12 else "flat"


def _pull(change: float, package_c: float) -> str:
    """Return what a joint does: the molten one gives way, the solid one is held and takes stress."""
    if package_c < SOLIDUS_C:
        return "solid: stressed"
    return "stretched" if change > 0.5 else "squeezed" if change < -0.5 else "as flat"


def bow_words(bent, settings) -> str:
    """Say what the section shows."""
    return (
        f"A board from the side with {settings.flux:.1f} kW/m² crossing it from top to bottom: its top face is "
        f"{bent['difference']:.0f} K hotter, and its middle stands {bent['over_span']:.2f} mm over the ends of the "
        f"heated {settings.span:.0f} mm. Heights are drawn {BOARD_SCALE} times larger. Beside it a package of "
        f"{settings.side:.0f} mm at {settings.package_c:.0f} °C, cut along its diagonal, heights {PACKAGE_SCALE} times "
        f"larger: it bows {_microns(bent['of_package'])}, {_way(bent['of_package'])}. Against a flat pair the corner "
        f"joint changes by {signed(bent['corner'])} µm ({_pull(bent['corner'], settings.package_c)}), the centre joint "
        f"by {signed(bent['centre'])} µm ({_pull(bent['centre'], settings.package_c)})."
    )


def _draw_bow(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (1, 1)} if narrow else {"ncols": 2, "width_ratios": (1, 1)}
    board, package = figure.subplots(**shape)
    board.set(xlim=(-104, 104), ylim=(-4, 3.5), aspect=BOARD_SCALE)
    package.set(xlim=(-26, 26), ylim=(BOARD_CUT, 3.2), aspect=PACKAGE_SCALE)
    for axes, what, scale, along in (
        (board, "the board", BOARD_SCALE, "along the board"),
        (package, "the package on it", PACKAGE_SCALE, "along the package's diagonal"),
    ):
        axes.set_title(f"{what}{' [mm]' if narrow else ''}; heights drawn {scale} times larger", fontsize=9)
        if not narrow:  # there the words would cost a quarter of the height
            axes.set_xlabel(f"{along} [mm]")
            axes.set_ylabel("[mm]", fontsize=9)
        axes.tick_params(labelsize=9)
        axes.grid(alpha=0.2)
    return [board, package]


BOW_FRAME = Frame("bow", _draw_bow, wide=(860, 330), narrow=(380, 420))


# ---- two alloys in one joint

BALL_DENSITY, PRINT_DENSITY, PRINT_METAL = 7380.0, 8400.0, 0.5
"""SAC305 and 63Sn/37Pb [kg/m^3]; half of the paste's volume is metal."""
LEAD_IN_PRINT, LEAD_LIMIT = 0.37, 0.001
MIXED_CONTROLS = (
    Slider("ball", "Ball of SAC305", "mm", 0.2, 0.9, 0.05, 0.6),
    Slider("opening", "Round print of tin-lead paste", "mm", 0.1, 0.7, 0.02, 0.4),
    Slider("foil", "Thickness of the stencil's foil", "µm", 60, 200, 10, 120),
    Slider("transfer", "Share of the paste that comes off", "%", 30, 100, 5, 85),
)


def lead_share(settings, opening):
    """Return the share of lead by mass in the joint, for a print of a diameter in millimetres."""
    ball = solder_ball.ball_volume(settings.ball * MM) * BALL_DENSITY
    paste = solder_ball.volume_of_round_print(opening * MM, settings.foil * UM, settings.transfer / 100)
    return float(mixed_alloy.share_of_element([ball, PRINT_METAL * paste * PRINT_DENSITY], [0, LEAD_IN_PRINT]))


def mixed_picture(settings) -> Picture:
    """Return the share of lead in a joint of two alloys over the size of the print."""
    openings = np.linspace(0.05, 0.7, 60)
    here = lead_share(settings, settings.opening)
    marks = (
        Line(openings, [100 * lead_share(settings, one) for one in openings], "blue", 3),
        Line([0.05, 0.7], [100 * LEAD_LIMIT] * 2, "red", 2, (8, 3)),
        Dots([settings.opening], [100 * here], "ink", 12),
    )
    readout = (
        Reading("lead in the joint, once all has melted", f"{100 * here:.2f} %"),
        Reading(
            "against 0.1 %, where lead-free ends",
            f"{here / LEAD_LIMIT:.0f} times",
            "outside" if here > LEAD_LIMIT else "inside",
        ),
        Reading("its last pool begins to melt near", "179 °C" if here > LEAD_LIMIT else "217 °C"),
    )
    words = (
        f"A ball of {settings.ball:.2f} mm on a print of {settings.opening:.2f} mm gives a joint with "
        f"{100 * here:.2f} % lead, {here / LEAD_LIMIT:.0f} times the 0.1 % at which lead-free ends."
    )
    return Picture(MIXED_FRAME, marks, words, readout)


def _draw_mixed(figure, narrow):
    axes = figure.subplots()
    axes.set(
        xlim=(0.05, 0.7), ylim=(0.01, 40), yscale="log", xlabel="diameter of the print [mm]", ylabel="lead [% by mass]"
    )
    axes.set_yticks([0.01, 0.1, 1, 10], ["0.01", "0.1", "1", "10"])
    axes.text(0.69, 0.11, "0.1 %", fontsize=FONT, ha="right", va="bottom")
    axes.grid(alpha=0.2)
    return [axes]


MIXED_FRAME = Frame("mixed", _draw_mixed, wide=(860, 340), narrow=(380, 360))


# ---- what X-ray can see

SHARP_CONTROLS = (
    Slider("spot", "Spot of the X-ray source", "µm", 1, 50, 1, 5),
    Slider("magnification", "Magnification", "1", 2, 200, 1, 20),
    Slider("pixel", "Pixel of the detector", "µm", 50, 200, 10, 100),
    Slider("crack", "How far a crack stands open", "µm", 0.5, 40, 0.5, 1),
)


def sharp_picture(settings) -> Picture:
    """Return blur and pixel at the joint over the magnification, beside the crack that is looked for."""
    each = np.geomspace(1.5, 200, 120)
    blur = float(x_ray.unsharpness_at_joint(settings.spot * UM, settings.magnification)) / UM
    pixel = float(x_ray.pixel_at_joint(settings.pixel * UM, settings.magnification)) / UM
    marks = (
        Line(each, x_ray.unsharpness_at_joint(settings.spot * UM, each) / UM, "blue", 3),
        Line(each, x_ray.pixel_at_joint(settings.pixel * UM, each) / UM, "orange", 2.5, (8, 3)),
        Line([1.5, 200], [settings.crack] * 2, "red", 2, (2, 3)),
        Dots([settings.magnification] * 2, [blur, pixel], ("blue", "orange"), 11),
    )
    seen = settings.crack > max(blur, pixel)
    readout = (
        Reading("blur of the spot, at the joint", f"{blur:.2f} µm"),
        Reading("one pixel, at the joint", f"{pixel:.2f} µm"),
        Reading("the crack", f"{settings.crack:.1f} µm", "can be seen edge on" if seen else "cannot be seen"),
    )
    words = (
        f"At {settings.magnification:.0f} times the spot blurs {blur:.2f} µm and a pixel takes in "
        f"{pixel:.2f} µm. A crack {settings.crack:.1f} µm open "
        + ("can be seen if it lies along the beam." if seen else "cannot be seen.")
    )
    return Picture(SHARP_FRAME, marks, words, readout)


def _draw_sharp(figure, narrow):
    axes = figure.subplots()
    axes.set(
        xlim=(1.5, 200), ylim=(0.3, 130), xscale="log", yscale="log", xlabel="magnification", ylabel="at the joint [µm]"
    )
    axes.set_xticks([2, 5, 10, 20, 50, 100, 200], ["2", "5", "10", "20", "50", "100", "200"])
    axes.set_yticks([1, 10, 100], ["1", "10", "100"])
    key(axes, "blur of the spot", "blue", 3)
    key(axes, "one pixel", "orange", 2.5, (8, 3))
    key(axes, "the crack", "red", 2, (2, 3))
    legend(axes, loc="upper right")
    axes.grid(alpha=0.2)
    return [axes]


SHARP_FRAME = Frame("sharp", _draw_sharp, wide=(860, 360), narrow=(380, 380))


def array_explorer() -> Explorer:
    """Return the explorer of a ball array."""
    return Explorer("Strain of every ball", ARRAY_CONTROLS, array_picture)


def life_explorer() -> Explorer:
    """Return the explorer of lives: joint, package, test and use."""
    return Explorer("How long a package lasts", LIFE_CONTROLS, life_picture)


def bow_explorer() -> Explorer:
    """Return the explorer of a board and a package bent by heat."""
    return Explorer("Bow of board and package", BOW_CONTROLS, bow_picture)


def mixed_explorer() -> Explorer:
    """Return the explorer of two alloys in one joint."""
    return Explorer("Two alloys in one joint", MIXED_CONTROLS, mixed_picture)


def sharp_explorer() -> Explorer:
    """Return the explorer of what X-ray can see."""
    return Explorer("What X-ray can see", SHARP_CONTROLS, sharp_picture)
