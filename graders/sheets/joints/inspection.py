"""Exercises on telling a cracked joint: areas in a picture, readings in the chamber, readings on the bench."""

import math

from graders.questions import Case, Choice, Exercise, Number, Order, Quantity, Record, Several, Slip, Written, absolute
from workbook.bench.joints import inspection
from workbook.drawings import joint

UNPLUGGED = (
    "Only a board that is unplugged and discharged is measured: first the plug, then wait, then check the large "
    "capacitors with a meter. A chamber and a warm board burn. Follow your shop's rules, and leave anything connected to "
    "the mains to people licensed for it."
)
DESTRUCTIVE = (
    "Dye, solvents and casting resin need extraction, gloves and eye protection; X-rays belong in a closed cabinet run by "
    "people licensed for it. Solder may hold lead: wash your hands. Follow your shop's rules."
)


def _voids(g):
    return [g.large_void, *[g.small_void] * int(g.small_voids)]


def _segment(g, share_of_angle):
    theta = 2 * math.acos(1 - 2 * g.depth / g.joint) * share_of_angle
    return (theta - math.sin(theta)) / (2 * math.pi)


CRACK_AREA = Exercise(
    id="crack-area",
    number=13,
    title="Judge a crack and a void by their area",
    setup=(
        "What counts in a joint is the area that still holds, not the length of the crack in a picture. A round joint is "
        "{joint} across. A section through its middle shows cracks {depth} deep. The X-ray picture of another ball, {ball} "
        "across, shows round voids that do not overlap: one of {large_void} and {small_voids} of {small_void} each "
        "(made-up findings)."
    ),
    givens=dict(
        joint=Quantity(0.44, "mm", low=0.36, high=0.5, step=0.02),
        depth=Quantity(0.09, "mm", low=0.06, high=0.14, step=0.01),
        ball=Quantity(0.58, "mm", low=0.52, high=0.7, step=0.02),
        large_void=Quantity(0.24, "mm", low=0.16, high=0.3, step=0.01),
        small_void=Quantity(0.12, "mm", low=0.08, high=0.15, step=0.01),
        small_voids=Quantity(3, "1", low=2, high=4, step=1),
    ),
    drawing=lambda g: joint.crack_and_voids(g.joint, g.depth, g.ball, _voids(g)),
    parts=(
        Number(
            "ring",
            "The crack has come in evenly from all round, {depth} deep on both sides of the picture. Which share of the "
            "joint has let go?",
            points=2,
            unit="%",
            expected=lambda g, a: inspection.ring_crack_area_fraction(g.depth, g.joint),
            within=absolute(0.7),
            because="a depth in a picture is not read more finely",
            plausible=(26, 99.5),
            working="ring = (1 - (joint - 2 * depth)**2 / joint**2) * 100",
            hint="What still holds is a smaller circle.",
            slips=(
                Slip(
                    "still holding",
                    lambda g, a: 1 - inspection.ring_crack_area_fraction(g.depth, g.joint),
                    "That is the share that still holds.",
                ),
                Slip(
                    "length for area",
                    lambda g, a: 2 * g.depth / g.joint,
                    "That is how much of the line in the picture is cracked. The joint is a circle: compare areas.",
                ),
                Slip(
                    "one side",
                    lambda g, a: inspection.ring_crack_area_fraction(g.depth / 2, g.joint),
                    "You took the depth off once. It comes off on both sides of the circle.",
                ),
            ),
        ),
        Number(
            "straight",
            "Now suppose it has come in from one side only, {depth} deep, with a straight front. Which share of the joint "
            "has let go? (For a crack of depth a in a round joint of diameter D the area that has let go is (D²/8) · (θ − sin θ), "
            "with cos(θ/2) = 1 − 2a/D and θ in radians. For an angle with cosine c, atan( sqrt(1 − c²) / c ) gives the angle.)",
            points=3,
            unit="%",
            expected=lambda g, a: inspection.straight_crack_area_fraction(g.depth, g.joint),
            within=absolute(0.5),
            because="a depth in a picture is not read more finely",
            plausible=(4.2, 70),
            working="""
cosine = 1 - 2 * depth / joint
theta = 2 * atan(sqrt(1 - cosine**2) / cosine)
straight = (joint**2 / 8) * (theta - sin(theta)) / (pi * joint**2 / 4) * 100
""",
            hint="First c = 1 − 2a/D, then θ/2, then θ, then the area, and last its share of π D²/4.",
            slips=(
                Slip(
                    "length for area",
                    lambda g, a: g.depth / g.joint,
                    "That is the share of the diameter. A segment near the edge is narrow: compare areas.",
                ),
                Slip(
                    "crack all round",
                    lambda g, a: a.ring,
                    "That is the crack of part 1. This one comes from one side only.",
                ),
                Slip(
                    "half the angle",
                    lambda g, a: _segment(g, 0.5),
                    "You used half the angle. The cosine belongs to θ/2, the area to θ.",
                ),
            ),
        ),
        Number(
            "voids",
            "Which share of the picture of the ball do all its voids cover together?",
            points=2,
            unit="%",
            expected=lambda g, a: inspection.void_area_fraction(_voids(g), g.ball),
            within=absolute(0.5),
            because="an X-ray picture is not read more finely",
            plausible=(2, 70),
            working="voids = (large_void**2 + small_voids * small_void**2) / ball**2 * 100",
            hint="Areas go with the square of the width.",
            slips=(
                Slip(
                    "widths added",
                    lambda g, a: sum(_voids(g)) / g.ball,
                    "You added the widths. Areas count, and they go with the square of each width.",
                ),
                Slip(
                    "widths added, then squared",
                    lambda g, a: (sum(_voids(g)) / g.ball) ** 2,
                    "You joined the voids to one wide one. Square each width first, then add.",
                ),
                Slip(
                    "large one only",
                    lambda g, a: (g.large_void / g.ball) ** 2,
                    "That is the large void alone. The small ones count too.",
                ),
                Slip(
                    "volumes",
                    lambda g, a: sum(width**3 for width in _voids(g)) / g.ball**3,
                    "You compared volumes. The picture shows areas: they go with the square of the width.",
                ),
            ),
        ),
        Choice(
            "accepted",
            "A criterion quoted from IPC-A-610 allows voids up to 25 % of the picture of a ball. Does this ball keep to it?",
            points=1,
            options={"more than allowed": "the voids cover more than 25 %", "within": "the voids cover 25 % or less"},
            expected=lambda g, a: "within" if a.voids <= 0.25 else "more than allowed",
        ),
        Several(
            "board_survives",
            "Which of these ways to look at a joint leave the board fit for use?",
            points=1,
            options={
                "section": "cast in resin, grind and polish down to the middle of the joint",
                "x-ray": "an X-ray picture, straight down and then tilted",
                "dye": "dye that creeps in, and a package pried off",
                "reading": "a reading of resistance while the joint is warmed a little",
            },
            expected=lambda g, a: {"x-ray", "reading"},
            slips={
                "section": "A section grinds the joint away.",
                "dye": "The package is pried off to see the dye.",
            },
        ),
    ),
    cases=(
        Case(
            "ring",
            75,
            0.5,
            "geometry of circles: a quarter of the diameter deep all round",
            "computed",
            givens={"joint": 0.4, "depth": 0.1},
        ),
        Case(
            "straight",
            19.6,
            0.05,
            "geometry of the circular segment: a quarter of the diameter deep",
            "computed",
            givens={"joint": 0.4, "depth": 0.1},
        ),
        Case(
            "voids",
            25,
            0.05,
            "geometry of circles: one void of half the width reaches the 25 % limit",
            "computed",
            givens={"ball": 0.6, "large_void": 0.3, "small_voids": 0},
        ),
    ),
    caution=DESTRUCTIVE,
    sound=lambda drawn: (
        abs((drawn["large_void"] ** 2 + drawn["small_voids"] * drawn["small_void"] ** 2) / drawn["ball"] ** 2 - 0.25)
        > 0.01
    ),
    floor=0.20,
)


READINGS = 13
HOT_RISE = (0.07, 0.26, 0.12, 0.34, 0.9, 9.0, 690.0)
ROOM_RISE = (0.01, 0.02, 0.02, 0.05, 0.13, 0.31, 0.95)
"""Invented rises of a chain of joints, from one reading before it first fails at the hot end on."""


def _reading(start, rises, first, index, stream):
    """Return one reading: a slow drift at first, then the rises one by one, the last of them for good."""
    place = index - first
    drift = 0.003 * max(0, index)
    rise = drift if place < 0 else rises[min(place, len(rises) - 1)] * (1 + 0.02 * stream.below(5))
    return round(start * (1 + rise), 2)


def _own_cycles(stream, drawn):
    step = stream.pick((150, 200, 250, 300))
    return [step * index for index in range(READINGS)]


def _own_hot(stream, drawn):
    start, first = stream.grid(2.4, 3.2, 0.05), stream.pick((2, 3, 5))
    return [_reading(start, HOT_RISE, first, index, stream) for index in range(READINGS)]


def _own_room(stream, drawn):
    start = drawn["hot"][0] / 1.29
    first = next(index for index, reading in enumerate(drawn["hot"]) if reading >= 1.2 * drawn["hot"][0]) - 1
    return [_reading(start, ROOM_RISE, first, index, stream) for index in range(READINGS)]


def _failed(g, readings, limit):
    return float(inspection.cycles_to_failure(g.cycle, readings, readings[0], limit / readings[0] - 1))


def _stays_failed(g):
    """Return the first cycle from which on every hot reading is over the criterion."""
    last_good = max(index for index, reading in enumerate(g.hot) if reading < 1.2 * g.hot[0])
    return g.cycle[last_good + 1]


def _reading_before(g, cycle):
    return g.cycle[g.cycle.index(cycle) - 1]


RESISTANCE_LOG = Exercise(
    id="resistance-log",
    number=14,
    title="Say at which cycle the joints failed",
    setup=(
        "A chain of joints is cycled. Its resistance is read at the hot end of the cycle and again when the chamber is back "
        "at room temperature (made-up log below). This shop's rule, simplified from IPC-9701A (which also asks for "
        "confirming readings): the chain has failed when its resistance has first risen by 20 % or more over the first reading, "
        "taken at the same temperature. A chain that reads good again later has failed "
        "all the same. Give the cycle of the reading itself; nothing is read in between."
    ),
    givens=dict(
        cycle=Record(tuple(range(0, 3001, 250)), "cycles", _own_cycles),
        hot=Record((2.6, 2.61, 2.62, 2.79, 3.28, 2.92, 3.5, 4.99, 26.5, 1810.0, 1830.0, 1860.0, 1810.0), "Ω", _own_hot),
        room=Record((2.02, 2.02, 2.03, 2.04, 2.06, 2.06, 2.12, 2.29, 2.65, 3.96, 3.98, 4.01, 3.97), "Ω", _own_room),
    ),
    table=("cycle", "hot", "room"),
    parts=(
        Number(
            "limit",
            "From which reading on has the chain failed at the hot end?",
            points=1,
            unit="Ω",
            expected=lambda g, a: 1.2 * g.hot[0],
            within=absolute(0.01),
            because="the meter reads to 0.01 Ω",
            plausible=(1, 10),
            working="limit = 1.2 * hot[0]",
            slips=(
                Slip(
                    "the rise alone",
                    lambda g, a: 0.2 * g.hot[0],
                    "That is the rise. Add it to the first reading.",
                ),
                Slip(
                    "from the room reading",
                    lambda g, a: 1.2 * g.room[0],
                    "You started from the room reading. Copper reads more when it is hot: compare hot with hot.",
                ),
                Slip(
                    "20 Ω more",
                    lambda g, a: g.hot[0] + 20,
                    "You added 20 Ω. The rule says 20 % of the first reading.",
                ),
            ),
        ),
        Number(
            "failed_hot",
            "At which cycle has the chain failed by the hot readings?",
            points=2,
            unit="cycles",
            expected=lambda g, a: _failed(g, g.hot, a.limit),
            within=absolute(0.5),
            because="a reading is taken at a set cycle",
            plausible=(280, 5000),
            working="""
# go down the column hot to the first reading that reaches the limit, and read the cycle beside it
failed_hot = [n for n, reading in zip(cycle, hot) if reading >= limit][0]
""",
            slips=(
                Slip(
                    "stays failed",
                    lambda g, a: _stays_failed(g),
                    "From there on it stays failed. It had failed before and closed again; the first time counts.",
                ),
                Slip(
                    "last good reading",
                    lambda g, a: _reading_before(g, _failed(g, g.hot, 1.2 * g.hot[0])),
                    "That reading is still below the limit. Failure is seen at the first one that reaches it.",
                ),
            ),
        ),
        Number(
            "failed_room",
            "At which cycle would the readings at room temperature have shown it (20 % over the first of them)?",
            points=1,
            unit="cycles",
            expected=lambda g, a: _failed(g, g.room, 1.2 * g.room[0]),
            within=absolute(0.5),
            because="a reading is taken at a set cycle",
            plausible=(650, 5000),
            working="failed_room = [n for n, reading in zip(cycle, room) if reading >= 1.2 * room[0]][0]",
            slips=(
                Slip(
                    "hot readings",
                    lambda g, a: _failed(g, g.hot, 1.2 * g.hot[0]),
                    "That is the cycle of the hot readings. Look down the column of the room readings.",
                ),
                Slip(
                    "hot limit",
                    lambda g, a: next(
                        n for n, reading in zip(g.cycle, g.room, strict=True) if reading >= 1.2 * g.hot[0]
                    ),
                    "You held the room readings against the hot limit. Their limit starts from the first room reading.",
                ),
            ),
        ),
        Number(
            "failed_open",
            "A lazy criterion waits for 500 Ω at the hot end. Which cycle does it give?",
            points=1,
            unit="cycles",
            expected=lambda g, a: _failed(g, g.hot, 500),
            within=absolute(0.5),
            because="a reading is taken at a set cycle",
            plausible=(750, 5000),
            working="failed_open = [n for n, reading in zip(cycle, hot) if reading >= 500][0]",
            slips=(
                Slip(
                    "criterion of 20 %",
                    lambda g, a: _failed(g, g.hot, 1.2 * g.hot[0]),
                    "That is the criterion of 20 % again. This one waits for 500 Ω.",
                ),
                Slip(
                    "last good reading",
                    lambda g, a: _reading_before(g, _failed(g, g.hot, 500)),
                    "That reading is still below 500 Ω. Take the first one that reaches it.",
                ),
            ),
        ),
        Number(
            "too_long",
            "By how many per cent does the lazy criterion make the life look longer than part 2?",
            points=1,
            unit="%",
            expected=lambda g, a: a.failed_open / a.failed_hot - 1,
            within=absolute(1),
            because="only rounding stands between",
            plausible=(13, 600),
            working="too_long = (failed_open / failed_hot - 1) * 100",
            slips=(
                Slip(
                    "of the long life",
                    lambda g, a: 1 - a.failed_hot / a.failed_open,
                    "You divided by the long life. Divide by the one of part 2.",
                ),
                Slip(
                    "ratio",
                    lambda g, a: a.failed_open / a.failed_hot,
                    "That is the long life in per cent of the short one. By how much is it more?",
                ),
            ),
        ),
        Choice(
            "write_down",
            "Which cycle do you write into the report as the life of this chain?",
            points=1,
            options={
                "cold": "that of part 3, since on the bench it is read cold as well",
                "first": "that of part 2, by the rule that was set before the test",
                "open": "that of part 4, since only an open joint stops a set",
            },
            expected=lambda g, a: "first",
            slips={
                "cold": "At room temperature the crack closes. The set has to run warm.",
                "open": "Long before it is open the chain reads wrong when it is hot.",
            },
        ),
    ),
    cases=(
        Case(
            "limit",
            2.40,
            0.005,
            "thesis on failure criteria citing IPC-9701A: a rise of 20 % counts, here over 2.00 Ω",
            "published-unnamed",
            givens={"hot": (2.0, 2.01, 2.02, 2.14, 2.52, 2.24, 2.68, 3.8, 20.0, 1400.0, 1410.0, 1430.0, 1400.0)},
        ),
        Case("failed_hot", 1000, 0.01, "read off the printed table: 1.2 times the first reading", "computed"),
        Case("failed_room", 2000, 0.01, "read off the printed table: 1.2 times the first reading", "computed"),
        Case("failed_open", 2250, 0.01, "read off the printed table: 500 Ω", "computed"),
        Case(
            "too_long",
            125,
            0.05,
            "by hand: 2250 against 1000 cycles",
            "computed",
            earlier={"failed_hot": 1000, "failed_open": 2250},
        ),
    ),
    caution=UNPLUGGED,
    floor=0.25,
)


def _sound(g):
    return g.before * (1 + 0.0039 * (g.hot_c - 25))


def _verdict(a):
    if a.rise_room >= 0.2:
        return "failed cold and warm"
    return "failed warm only" if a.rise_hot >= 0.2 else "not failed"


def _telling(drawn):
    """Whether the cold reading is good and the warm one clearly above or below the criterion."""
    cold = drawn["room_now"] / drawn["before"]
    warm = drawn["hot_now"] / drawn["before"] / (1 + 0.0039 * (drawn["hot_c"] - 25))
    return 1.01 <= cold <= 1.08 and (1.04 <= warm <= 1.16 or 1.24 <= warm <= 1.7)


GOOD_READING = Exercise(
    id="good-reading",
    number=18,
    title="Do not be fooled by a good reading",
    setup=(
        "A chain of joints under a package read {before} at 25 °C when the board was new. Now the board comes back: it "
        "fails when it is warm. On the bench, at 25 °C again, the chain reads {room_now}. Warmed evenly to {hot_c} it reads "
        "{hot_now} (made-up readings). The chain is copper but for its joints; copper reads 0.39 % more for each kelvin, "
        "counted from its value at 25 °C. Take a rise of 20 % or more over a sound chain at the same temperature as failed."
    ),
    givens=dict(
        before=Quantity(2.0, "Ω", low=1.95, high=2.04, step=0.01),
        room_now=Quantity(2.08, "Ω", low=2.06, high=2.12, step=0.01),
        hot_c=Quantity(85, "°C", low=60, high=95, step=5),
        hot_now=Quantity(3.22, "Ω", low=2.5, high=3.8, step=0.02),
    ),
    parts=(
        Number(
            "rise_room",
            "By how many per cent has the chain risen at 25 °C?",
            points=1,
            unit="%",
            expected=lambda g, a: inspection.resistance_rise(g.room_now, g.before),
            within=absolute(0.06),
            because="both readings are given, so only rounding is left",
            plausible=(0.91, 20),
            working="rise_room = (room_now / before - 1) * 100",
            slips=(
                Slip(
                    "in ohm",
                    lambda g, a: g.room_now - g.before,
                    "That is the rise in ohm, times a hundred. Say it as a share of the old reading.",
                ),
                Slip(
                    "whole reading",
                    lambda g, a: g.room_now / g.before,
                    "That is the new reading in per cent of the old one. By how much is it more?",
                ),
                Slip(
                    "over the new reading",
                    lambda g, a: 1 - g.before / g.room_now,
                    "You divided by the new reading. A rise is a share of the old one.",
                ),
            ),
        ),
        Number(
            "sound_hot",
            "What would a sound chain, as it was when new, read at {hot_c}?",
            points=1,
            unit="Ω",
            expected=lambda g, a: _sound(g),
            within=absolute(0.015),
            because="the meter reads to 0.01 Ω",
            plausible=(1.2, 6),
            working="sound_hot = before * (1 + 0.0039 * (hot_c - 25))",
            slips=(
                Slip(
                    "from 0 °C",
                    lambda g, a: g.before * (1 + 0.0039 * g.hot_c),
                    "You counted the warming from 0 °C. The old reading was taken at 25 °C.",
                ),
                Slip(
                    "copper left out",
                    lambda g, a: g.before,
                    "That is the reading at 25 °C. Warm copper reads more, even if every joint is sound.",
                ),
            ),
        ),
        Number(
            "rise_hot",
            "By how many per cent does the chain lie above a sound one at {hot_c}?",
            points=3,
            unit="%",
            expected=lambda g, a: inspection.resistance_rise(g.hot_now, a.sound_hot),
            within=absolute(0.8),
            because="the sound value is rounded",
            plausible=(1, 150),
            working="rise_hot = (hot_now / sound_hot - 1) * 100",
            hint="Compare with what a sound chain reads at the same temperature.",
            slips=(
                Slip(
                    "copper left out",
                    lambda g, a: inspection.resistance_rise(g.hot_now, g.before),
                    "You compared a warm reading with a cold one. Part of that rise is only warm copper.",
                ),
                Slip(
                    "against the bench reading",
                    lambda g, a: inspection.resistance_rise(g.hot_now, g.room_now),
                    "You compared it with the reading on the bench, which is cold. Compare with a sound chain at this "
                    "temperature.",
                ),
            ),
        ),
        Choice(
            "verdict",
            "What do the readings say, by the criterion of 20 %?",
            points=1,
            options={
                "failed cold and warm": "the chain has failed at 25 °C as well",
                "failed warm only": "it has failed when warm, and reads good at 25 °C",
                "not failed": "neither reading has risen by 20 %",
            },
            expected=lambda g, a: _verdict(a),
            slips={
                "not failed": "Look at part 3 once more, and at the criterion.",
                "failed warm only": "How much of the warm reading is only warm copper? See part 3.",
            },
        ),
        Order(
            "next_steps",
            "In which order do you go on, so that nothing is lost that a later step needs? (Where two steps may change "
            "places, either order is right.)",
            points=2,
            options={
                "dye and pry": "let dye creep in, dry it, pry the package off, and look at the broken faces",
                "warm": "read the chain while the board is gently warmed and cooled, without power",
                "look": "look along the edges of the package with a microscope",
                "unplug": "unplug the board, wait, and check with a meter that its capacitors are empty",
                "agree": "agree with the owner that the board may be given up",
            },
            expected=lambda g, a: [["unplug"], ["look", "warm"], ["agree"], ["dye and pry"]],
            never={
                ("unplug", "look"): "Hands and tools go near the board only when it is unplugged and discharged.",
                ("unplug", "warm"): "A board is warmed and measured only when it is unplugged and discharged.",
                ("unplug", "dye and pry"): "Work on the board starts only when it is unplugged and discharged.",
                ("agree", "dye and pry"): "Prying the package off ends the board. Its owner has a say before that.",
                ("warm", "dye and pry"): "After prying there is no chain left to read.",
            },
            hint="Start with what makes it safe, end with what cannot be undone.",
        ),
        Written(
            "why",
            "The bench reading of such a board is often good. Say in a few sentences why a good reading at room "
            "temperature does not clear a joint, and what you would do before you call the joint good.",
            points=3,
            model=(
                "A crack is two faces that touch. At room temperature they can be pressed together, so current passes and "
                "the reading is good. When the board warms up, package and board grow by different amounts and bend; the "
                "faces shear or part, and the joint opens. It can close again on cooling. A crack also has to run through "
                "nearly the whole joint before its resistance rises much, so a partly cracked joint reads good as well. "
                "Before calling it good: read the chain over the whole range of temperatures the board sees, warm and "
                "cold, without power and comparing each reading with what a sound chain reads at that temperature (copper "
                "alone reads more when warm); keep reading while it warms and cools, because the opening may be short. If "
                "doubt is left, say so. "
                "Marks: 1 for faces that touch, or a partial crack; 1 for opening by unlike expansion or bending; 1 for "
                "readings at temperature against a sound value at the same temperature."
            ),
        ),
    ),
    cases=(
        Case(
            "rise_hot",
            20.0,
            0.05,
            "thesis on failure criteria citing IPC-9701A: 2.40 Ω from 2.00 Ω, both at one temperature",
            "published-unnamed",
            givens={"before": 2.0, "hot_c": 25, "hot_now": 2.40},
        ),
        Case("rise_room", 5, 0.01, "by hand: from 2.00 to 2.10 Ω", "computed", givens={"before": 2.0, "room_now": 2.1}),
        Case(
            "sound_hot",
            2.78,
            0.005,
            "linear rule of copper by hand: 2 Ω, 0.39 % for each of 100 K",
            "computed",
            givens={"before": 2.0, "hot_c": 125},
        ),
    ),
    caution=UNPLUGGED,
    sound=_telling,
    floor=0.10,
)
