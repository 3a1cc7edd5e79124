"""Handling parts: the hours they may lie open, how long they bake, and what a charged hand sends into them."""

from math import log, log10

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.intake.words import OVEN, STRAP
from workbook.bench.intake import moisture, static

BODY_CAPACITANCE, BODY_RESISTANCE = 100e-12, 1500.0
TESTER = "specification of a discharge tester, waveform table"
_OTHER_THICKNESS = {1.2: 1.9e-3, 1.9: 1.2e-3}


def _bake(g, a, thickness=None, hours=None):
    """Return the bake time in seconds of the table from revision B.1 on, at 125 °C."""
    over = a.over / 3600 if hours is None else hours
    return moisture.user_bake(g.level, thickness or g.thickness, over).hours * 3600


def _other_column(a):
    """Return hours over the floor life that belong to the other column of the table."""
    return 100 if a.over <= 72 * 3600 else 10


def _clearly_over(drawn):
    """Whether the chip lies clearly over its floor life, clear of 72 h, and its first bake was a full one."""
    over = 24 * drawn["open_days"] - moisture.floor_life_hours(drawn["level"])
    full = moisture.user_bake(drawn["level"], drawn["thickness"] / 1e3, 100).hours
    if over < 12:
        return False
    left = 48 - drawn["baked_before"] - moisture.user_bake(drawn["level"], drawn["thickness"] / 1e3, over).hours
    return abs(over - 72) >= 12 and full <= drawn["baked_before"] <= full + 8 and abs(left) >= 1


OPEN_HOURS = Exercise(
    id="open-hours",
    number=4,
    title="Count the open hours, then bake",
    setup=(
        "Plastic packages take up water from the air; heated fast while damp, they can burst. **Floor life**, at no more "
        "than 30 °C and 60 % relative humidity (J-STD-020, as data sheets quote it): level 2a 672 h, level 3 168 h, level 4 72 h, "
        "level 5 48 h. Times out of the dry bag add up as long as the part has not been baked.\n\n"
        "**User's bake** at 125 °C, in hours, for a part that is over its floor life (J-STD-033, rows that the editions from "
        "1999 to B.1 print alike, as data sheets quote them; packages above 17 mm by 17 mm have rows of their own):\n\n"
        "| body | over by | level 3 | level 4 | level 5 |\n|---|---|---:|---:|---:|\n"
        "| up to 1.4 mm | up to 72 h | 7 | 7 | 7 |\n| up to 1.4 mm | more than 72 h | 9 | 11 | 12 |\n"
        "| above 1.4 to 2.0 mm | up to 72 h | 17 | 20 | 25 |\n| above 1.4 to 2.0 mm | more than 72 h | 27 | 34 | 40 |\n\n"
        "A memory chip of level {memory_level} was out of its bag three times: for {first_open}, {second_open} and "
        "{third_open}. A radio chip of level {level}, 12 mm by 12 mm and {thickness} thick, has lain open for "
        "{open_days} without a break (1 d = 24 h)."
    ),
    givens=dict(
        memory_level=Pick("3", ("2a", "3", "4")),
        # Times in sixes: none is a bake time of the table, which typed back could pass for one.
        first_open=Quantity(30, "h", low=18, high=60, step=6),
        second_open=Quantity(60, "h", low=18, high=60, step=6),
        third_open=Quantity(54, "h", low=18, high=60, step=6),
        level=Pick("3", ("3", "4", "5")),
        thickness=Pick(1.9, (1.2, 1.9), "mm"),
        open_days=Quantity(9, "d", low=4, high=14, step=1),
        baked_before=Pick(27.5, (12.5, 14.5, 20.5, 27.5, 34.5, 40.5), "h"),
    ),
    parts=(
        Number(
            "floor_left",
            "How much floor life does the memory chip have left? (Below zero if it is over.)",
            points=1,
            unit="h",
            expected=lambda g, a: (
                3600
                * moisture.floor_life_left_hours(g.memory_level, [g["first_open"], g["second_open"], g["third_open"]])
            ),
            within=absolute(0.1),
            because="hours are counted whole",
            plausible=(-200, 672),
            working="""
floor_life = {"2a": 672, "3": 168, "4": 72, "5": 48}
floor_left = floor_life[memory_level] - first_open - second_open - third_open
""",
            slips=(
                Slip(
                    "time open",
                    lambda g, a: g.first_open + g.second_open + g.third_open,
                    "That is the time it has lain open. The question asks what is left of its floor life.",
                ),
                Slip(
                    "last time only",
                    lambda g, a: 3600 * moisture.floor_life_hours(g.memory_level) - g.third_open,
                    "You counted the last time only. Going back into a bag does not dry a part: all times add up.",
                ),
                Slip(
                    "other way round",
                    lambda g, a: (
                        g.first_open + g.second_open + g.third_open - 3600 * moisture.floor_life_hours(g.memory_level)
                    ),
                    "The sign is turned round: below zero means over.",
                ),
            ),
        ),
        Choice(
            "memory_next",
            "What does that say about the memory chip, before it sees reflow heat?",
            points=1,
            options={
                "dry bag": "it is over: back into a dry bag for a night",
                "heat": "it is inside: it may be heated without a bake",
                "bake": "it is over: it is baked before any reflow heat",
            },
            expected=lambda g, a: "heat" if a.floor_left > 0 else "bake",
            slips={
                "dry bag": "A bag with a desiccant stops the clock at best. It does not turn it back overnight.",
                "heat": "Look at the sign of part 1 once more.",
                "bake": "Look at the sign of part 1 once more. Needless bakes cost solderability.",
            },
        ),
        Number(
            "over",
            "By how much is the radio chip over its floor life?",
            points=1,
            unit="h",
            expected=lambda g, a: g.open_days - 3600 * moisture.floor_life_hours(g.level),
            within=absolute(0.1),
            because="hours are counted whole",
            plausible=(12, 1000),
            working="over = open_days * 24 - floor_life[level]",
            slips=(
                Slip(
                    "floor life forgotten",
                    lambda g, a: g.open_days,
                    "That is the whole time it lay open. Its floor life is allowed and comes off.",
                ),
            ),
        ),
        Number(
            "bake_time",
            "How long must the radio chip be baked by the table?",
            points=2,
            unit="h",
            expected=lambda g, a: _bake(g, a),
            within=absolute(0.1),
            because="it is read from a table",
            plausible=(3, 48),
            working="""
table = {
    (1.2, "short"): {"3": 7, "4": 7, "5": 7},
    (1.2, "long"): {"3": 9, "4": 11, "5": 12},
    (1.9, "short"): {"3": 17, "4": 20, "5": 25},
    (1.9, "long"): {"3": 27, "4": 34, "5": 40},
}
bake_time = table[thickness, "long" if over > 72 else "short"][level]
""",
            slips=(
                Slip(
                    "other row for the time over",
                    lambda g, a: _bake(g, a, hours=_other_column(a)),
                    "The body is right. Compare the time over with 72 h once more.",
                ),
                Slip(
                    "other body",
                    lambda g, a: _bake(g, a, thickness=_OTHER_THICKNESS[g["thickness"]]),
                    "That row is for the other body thickness. Thick bodies dry more slowly.",
                ),
            ),
        ),
        Number(
            "room_left",
            "Before those {open_days} the radio chip had already been baked once in full, at 125 °C for {baked_before}. Bakes "
            "make its balls solder worse: the edition this shop works by (revision A) allows 48 h in all. How much of that "
            "would be left after the bake of part 4? (Below zero if the hours do not reach.)",
            points=1,
            unit="h",
            expected=lambda g, a: 48 * 3600 - g.baked_before - a.bake_time,
            within=absolute(0.1),
            because="hours are counted in halves",
            plausible=(-60, 48),
            working="room_left = 48 - baked_before - bake_time",
            slips=(
                Slip(
                    "first bake forgotten",
                    lambda g, a: 48 * 3600 - a.bake_time,
                    "The first bake counts as well: all bakes add up.",
                ),
                Slip(
                    "new bake forgotten",
                    lambda g, a: 48 * 3600 - g.baked_before,
                    "That is what is left before the new bake. Take that off as well.",
                ),
                Slip(
                    "all bakes",
                    lambda g, a: g.baked_before + a.bake_time,
                    "That is the sum of the bakes. The question asks what is left of the 48 h.",
                ),
            ),
        ),
        Choice(
            "radio_next",
            "What do you do with the radio chip?",
            points=1,
            options={
                "shorter": "bake it for only the hours that are left of the 48 h",
                "bake": "bake it by the table: all its bakes stay inside the 48 h",
                "replace": "do not bake it so again: fresh part, or ask its maker",
            },
            expected=lambda g, a: "bake" if a.room_left >= 0 else "replace",
            slips={
                "shorter": "A bake shorter than the table's leaves it damp and still uses up hours.",
                "bake": "Look at the sign of part 5 once more.",
                "replace": "Look at the sign of part 5 once more.",
            },
        ),
    ),
    cases=(
        Case(
            "bake_time",
            17,
            0.1,
            "J-STD-033 user bake table as a public page reprints it: level 3, above 1.4 to 2.0 mm, up to 72 h over",
            "published-second-hand",
        ),
        Case(
            "bake_time",
            11,
            0.1,
            "J-STD-033 rev B.1 and later as data sheets quote it: level 4, up to 1.4 mm, more than 72 h over",
            "published-second-hand",
            givens={"level": "4", "thickness": 1.2, "open_days": 9},
        ),
        Case(
            "bake_time",
            40,
            0.1,
            "J-STD-033 user bake table as a public page reprints it: level 5, above 1.4 to 2.0 mm, more than 72 h over",
            "published-second-hand",
            givens={"level": "5", "open_days": 9},
        ),
        Case(
            "floor_left",
            28,
            0.1,
            "floor life of level 3, 168 h, less 30, 60 and 50 h",
            "computed",
            givens={"third_open": 50},
        ),
        Case(
            "over",
            72,
            0.01,
            "J-STD-033, floor life of level 3 is 168 h, by hand: 10 days are 240 h",
            "computed",
            givens={"open_days": 10},
        ),
        Case(
            "room_left",
            10,
            0.05,
            "IPC/JEDEC J-STD-033, 48 h of baking in all (second-hand), by hand: less 30 and 8 h",
            "computed",
            givens={"baked_before": 30},
            earlier={"bake_time": 8},
        ),
    ),
    caution=OVEN,
    sound=_clearly_over,
    floor=0.35,
)

CHARGED_HAND = Exercise(
    id="charged-hand",
    number=5,
    title="Count what a charged hand sends into a part",
    setup=(
        "Testers stand in for a person by the **human body model** (JS-001): 100 pF, charged, that empties through "
        "1.5 kΩ into the part. A person charged to {body_voltage} touches a part. A wrist strap with its cord and the way "
        "to earth measures {strap} in all."
    ),
    givens=dict(
        body_voltage=Quantity(2000, "V", low=600, high=6000, step=200),
        strap=Pick(1.1, (1.1, 1.3, 2.2, 5, 8, 12, 20), "MΩ"),
        low_voltage=Fixed(100, "V"),
        touched=Quantity(48, "V", low=12, high=60, step=6),
        reading=Pick(62, (0.02, 0.05, 1.0, 1.05, 1.2, 3.0, 50, 62, 80), "MΩ"),
    ),
    parts=(
        Number(
            "peak_current",
            "What is the peak current into the part, if the part itself has no resistance?",
            points=1,
            unit="A",
            expected=lambda g, a: static.hbm_peak_current(g.body_voltage),
            within=relative(0.02),
            because="the tester itself is only held to 10 %, and rounding costs less than 2 %",
            plausible=(0.1, 10),
            working="peak_current = body_voltage / 1500",
            slips=(
                Slip(
                    "through the strap",
                    lambda g, a: g.body_voltage / g.strap,
                    "That is the current through the strap. The discharge into the part goes through the 1.5 kΩ.",
                ),
                Slip(
                    "charge over resistance",
                    lambda g, a: BODY_CAPACITANCE * g.body_voltage / BODY_RESISTANCE,
                    "You divided the charge by the resistance. The peak is voltage over resistance.",
                ),
            ),
        ),
        Number(
            "body_energy",
            "How much energy does the body model hold at that voltage?",
            points=1,
            unit="mJ",
            expected=lambda g, a: static.hbm_energy(g.body_voltage),
            within=relative(0.02),
            because="rounding costs less",
            plausible=(0.005, 5),
            working="body_energy = 100e-12 * body_voltage**2 / 2 * 1e3",
            slips=(
                Slip(
                    "half forgotten",
                    lambda g, a: BODY_CAPACITANCE * g.body_voltage**2,
                    "Twice too much: the energy of a capacitor has a half in it.",
                ),
                Slip(
                    "charge",
                    lambda g, a: BODY_CAPACITANCE * g.body_voltage,
                    "Capacitance times voltage is a charge. The energy takes the voltage squared, and a half.",
                ),
            ),
        ),
        Number(
            "drain_time",
            "The person puts the strap on. How long until the 100 pF are down from {body_voltage} to {low_voltage}, "
            "through the {strap} alone?",
            points=2,
            unit="ms",
            expected=lambda g, a: static.time_to_drain_body(g.low_voltage, g.body_voltage, g.strap),
            within=relative(0.02),
            because="rounding costs less",
            plausible=(0.05, 20),
            working="drain_time = strap * 1e6 * 100e-12 * log(body_voltage / low_voltage) * 1e3",
            slips=(
                Slip(
                    "one time constant",
                    lambda g, a: BODY_CAPACITANCE * g.strap,
                    "That is one time constant: 37 % of the voltage is still there.",
                ),
                Slip(
                    "log to the base ten",
                    lambda g, a: BODY_CAPACITANCE * g.strap * log10(g.body_voltage / g.low_voltage),
                    "That is the logarithm to the base ten. The time constant goes with the natural one.",
                ),
                Slip(
                    "body's own resistance",
                    lambda g, a: BODY_CAPACITANCE * BODY_RESISTANCE * log(g.body_voltage / g.low_voltage),
                    "You drained through the 1.5 kΩ of the body model. The way to earth here is the strap.",
                ),
            ),
        ),
        Number(
            "body_current",
            "Wearing the strap, the person touches a part that stands at {touched}, by mistake. Which current does the strap let through, at most?",
            points=1,
            unit="mA",
            expected=lambda g, a: static.strap_current(g.touched, g.strap),
            within=relative(0.02),
            because="rounding costs less",
            plausible=(0.0003, 0.2),
            working="body_current = touched / (strap * 1e6) * 1e3",
            slips=(
                Slip(
                    "body's own resistance",
                    lambda g, a: g.touched / BODY_RESISTANCE,
                    "You left the strap's resistor out. It is there to keep just this current small.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.touched * g.strap,
                    "You multiplied. Current is voltage over resistance.",
                ),
            ),
        ),
        Choice(
            "strap_test",
            "At the test station the strap now reads {reading}. The cord has a resistor of 1 MΩ in it; a standard (ANSI/ESD "
            "S20.20-2007) asks for less than 35 MΩ in all. What do you do?",
            points=1,
            options={
                "wear it": "it lies between the cord's resistor and the limit: wear it",
                "no path": "it lies above the limit: tighten or change it, test again",
                "no resistor": "it lies far below the cord's resistor: out of use with it",
            },
            expected=lambda g, a: (
                "no resistor" if g["reading"] < 0.8 else "wear it" if g["reading"] < 35 else "no path"
            ),
            slips={
                "wear it": "Compare the reading with both ends: the cord's own resistor and the limit.",
                "no path": "Is the reading really above the limit?",
                "no resistor": "Is the reading really far below the resistor in the cord?",
            },
        ),
    ),
    cases=(
        *(
            Case(
                "peak_current",
                amps,
                0.005,
                f"{TESTER}: {volts} V",
                "published-second-hand",
                givens={"body_voltage": volts},
            )
            for volts, amps in ((250, 0.17), (500, 0.33), (1000, 0.67), (2000, 1.33), (4000, 2.67))
        ),
        Case("body_energy", 0.2, 0.0005, "half C V squared: 100 pF at 2 kV", "computed"),
        Case(
            "drain_time",
            13.7,
            0.05,
            "R C ln(V0/V): 100 pF through 35 MΩ, 5 kV to 100 V",
            "computed",
            givens={"body_voltage": 5000, "strap": 35},
        ),
        Case(
            "body_current",
            0.25,
            0.0005,
            "250 V over the 1 MΩ of the cord (ESD handbook TR20.20-2008, quoted)",
            "computed",
            givens={"touched": 250, "strap": 1.0},
        ),
    ),
    caution=STRAP,
    floor=0.06,
)

EXERCISES = (OPEN_HOURS, CHARGED_HAND)
