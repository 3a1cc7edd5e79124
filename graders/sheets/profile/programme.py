"""Choose a heating programme for a simulated board, and say why it needs heat from below."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np

from graders.questions import (
    Case,
    Choice,
    Design,
    Exercise,
    Fixed,
    Margin,
    Number,
    Pick,
    Quantity,
    Record,
    Setting,
    Slip,
    Written,
    absolute,
    relative,
)
from graders.sheets.profile.cautions import HOT
from workbook.bench.profile import board
from workbook.bench.profile import log as profile_log
from workbook.references import value

TRIAL_PLATES = (310, 330, 310)
TRIAL_GASES = (260, 260, 280)
TRIAL_HOLD, TRIAL_SOAK = 60, 120

TRIALS = {
    "light": {"joint": (215.6, 223.6, 225.0), "package": (227.0, 233.5, 239.2), "neighbour": (194.9, 204.1, 200.0)},
    "medium": {"joint": (211.2, 216.8, 216.5), "package": (224.5, 229.7, 234.2), "neighbour": (193.4, 202.8, 198.2)},
}
"""What the simulated boards showed in the three trials [°C]; a test holds these to the simulator."""

SCREENS_MM = (None, 140, 100, 80)
"""Screens over the plate by number: none, or a sheet with a square window of this side under the package [mm]."""

EXAMPLES = {
    ("light", 200): (290, 305, 107, 130, 1),
    ("light", 195): (269, 311, 115, 146, 1),
    ("medium", 200): (301, 320, 114, 85, 1),
}
"""Plate, gas, hold, soak and screen that hold every limit, for each board and limit of the neighbour."""

NEIGHBOUR_C = value("profile", "neighbour_body_lead_free_c")
NEIGHBOUR_ARRAY_C = value("profile", "neighbour_damage_centre_c")
"""What a neighbour may reach: bodies and joints in general, and the centre of a ball grid array [°C]."""

LEAST_PEAK_C = value("profile", "joint_removal_lead_free_c")
LEAST_ABOVE, MOST_ABOVE, MOST_APART = 60, 120, 20
"""Times above 217 °C of the coldest and of the hottest joint [s], and how far joints may lie apart [K]."""

GUARD_K, GUARD_S = 1.0, 10.0
"""The quick simulator's own uncertainty: below it a miss is not called a miss."""


def _trial_record(place):
    return Record(TRIALS["medium"][place], "°C", lambda stream, drawn: TRIALS[drawn["board"]][place])


def _example(on_board, neighbour_limit_c):
    """Return the choices that hold every limit, of those for this limit of the neighbour or a stricter one; or None."""
    held = [limit for name, limit in EXAMPLES if name == on_board and limit <= neighbour_limit_c]
    return EXAMPLES[on_board, max(held)] if held else None


def _gain(temperatures, step):
    """Return what a place gains for each kelvin at one heater: row 1 raises the plate, row 2 the gas, by 20 K."""
    return (temperatures[step] - temperatures[0]) / 20


def _heated(on_board, choices):
    """Return what the simulated board shows under a programme; a screen leaves the plate's window alone to glow."""
    bench, window = board.BOARDS[on_board], SCREENS_MM[int(choices["screen"])]
    if window:
        bench = replace(bench, plate_length=window / 1000, plate_width=window / 1000)
    programme = board.Programme.from_choices(
        choices["bottom_plate_c"], choices["top_gas_c"], hold=choices["hold_s"], soak=choices["soak_s"]
    )
    return board.run(board.reduced(bench), programme, melting=True)


def limits_of(choices, on_board, rating_c, neighbour_limit_c, marks=MappingProxyType({})):
    """Return each limit of a programme with its own margin.

    Parameters
    ----------
    choices : dict
        ``bottom_plate_c``, ``top_gas_c`` [°C], ``hold_s``, ``soak_s`` [s], ``screen`` (its number in ``SCREENS_MM``).
    on_board : str
        Name of the simulated board.
    rating_c, neighbour_limit_c : float
        What package top and neighbour may reach [°C].
    marks : mapping
        What follows the name of a limit that is a shop's rule.

    Returns
    -------
    list of Margin
        Above zero is inside.
    """
    record = _heated(on_board, choices)
    package = float(record.temperature_c["package top"].max())
    neighbour = float(record.temperature_c["neighbour at 10 mm"].max())
    coldest = float(record.joints_c.max(axis=0).min())
    at_peak = record.joints_c[np.argmax(record.hottest_joint_c)]
    apart = float(at_peak.max() - at_peak.min())
    shortest = profile_log.time_above(record.time, record.coldest_joint_c, 217)
    longest = profile_log.time_above(record.time, record.hottest_joint_c, 217)
    return [
        Margin(
            "package top" + marks.get("package top", ""),
            package,
            rating_c - package,
            "°C",
            GUARD_K,
            "The nozzle heats the package first: what could give the joints their heat another way?",
        ),
        Margin(
            "peak of the coldest joint",
            coldest,
            coldest - LEAST_PEAK_C,
            "°C",
            GUARD_K,
            "The corner joint gets too little heat. Which heater reaches it without cooking the package?",
        ),
        Margin(
            "coldest joint above 217 °C",
            shortest,
            shortest - LEAST_ABOVE,
            "s",
            GUARD_S,
            "Too short for every joint to wet. Hotter or longer: which of the two do the other limits allow?",
        ),
        Margin(
            "hottest joint above 217 °C",
            longest,
            MOST_ABOVE - longest,
            "s",
            GUARD_S,
            "Too long: the joints grow brittle layers. Which time does this most?",
        ),
        Margin(
            "neighbour at 10 mm" + marks.get("neighbour at 10 mm", ""),
            neighbour,
            neighbour_limit_c - neighbour,
            "°C",
            GUARD_K,
            "Melting is not the limit: its joints and body suffer before. What keeps the plate's heat off the board around?",
        ),
        Margin(
            "joints apart at the peak",
            apart,
            MOST_APART - apart,
            "K",
            GUARD_K,
            "Heat from above reaches the middle first. What evens the joints out?",
        ),
    ]


CHOOSE = Exercise(
    id="choose-a-programme",
    number=20,
    title="Choose a heating programme for a board",
    setup=(
        "The {board} board of the lesson's picture (light has 2 copper layers, medium 4) lies between plate and nozzle. "
        "It is invented, and your answer is judged by simulation.\n\n"
        "The programme runs like this. The plate goes from 25 °C to its set point in 60 s. It stays there alone for "
        "`soak_s`. Then the nozzle comes down, and its gas goes from 100 °C to its set point in 60 s and stays "
        "there for `hold_s`. Then the nozzle lifts, the plate is switched off, and the board cools. While solder melts it "
        "takes up heat (the picture in the lesson leaves that out, so its times can differ by some seconds).\n\n"
        "A screen (heat shield) may lie over the plate: a sheet with a square window under the package. Outside the "
        "window the board does not see the plate.\n\n"
        "Batteries, supercapacitors and electrolytic cans are off the board.\n\n"
        "Three trials on this board, each without a screen, with 120 s of soak and 60 s of hold. The table gives the peaks "
        "at the coldest joint, at the top of the package, and at the neighbour 10 mm from the package:"
    ),
    givens=dict(
        board=Pick("medium", ("light", "medium")),
        rating_c=Fixed(260, "°C", rule="profile.body_peak_at_most_lead_free_dry_rework"),
        neighbour_limit_c=Pick(
            NEIGHBOUR_C, (NEIGHBOUR_ARRAY_C, NEIGHBOUR_C), "°C", rule="profile.neighbour_body_lead_free_c"
        ),
        aim_c=Quantity(234, "°C", low=231, high=238, step=1),
        plate_c=Fixed(TRIAL_PLATES, "°C"),
        gas_c=Fixed(TRIAL_GASES, "°C"),
        joint_c=_trial_record("joint"),
        package_c=_trial_record("package"),
        neighbour_c=_trial_record("neighbour"),
    ),
    table=("plate_c", "gas_c", "joint_c", "package_c", "neighbour_c"),
    parts=(
        Number(
            "by_plate",
            "By how many kelvin does the coldest joint's peak rise for each kelvin of plate?",
            points=1,
            unit="1",
            expected=lambda g, a: _gain(g.joint_c, 1),
            within=absolute(0.015),
            because="the peaks are given to a tenth of a kelvin, over steps of 20 K",
            plausible=(0.17, 0.64),
            working="by_plate = (joint_c[1] - joint_c[0]) / (plate_c[1] - plate_c[0])",
            hint="Compare the two trials that differ in the plate alone.",
            slips=(
                Slip(
                    "peak over set point",
                    lambda g, a: g.joint_c[1] / g.plate_c[1],
                    "You divided a peak by a set point. Compare two trials: rise of the joint over rise of the plate.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: 1 / _gain(g.joint_c, 1),
                    "The ratio is upside down: kelvin at the joint for each kelvin at the plate.",
                ),
                Slip(
                    "not divided",
                    lambda g, a: g.joint_c[1] - g.joint_c[0],
                    "That is by how many kelvin the joint rose in all. Divide by how many kelvin the plate rose.",
                ),
            ),
        ),
        Number(
            "package_by_gas",
            "By how many kelvin does the package's peak rise for each kelvin of gas?",
            points=1,
            unit="1",
            expected=lambda g, a: _gain(g.package_c, 2),
            within=absolute(0.015),
            because="the peaks are given to a tenth of a kelvin, over steps of 20 K",
            plausible=(0.3, 2),
            working="package_by_gas = (package_c[2] - package_c[0]) / (gas_c[2] - gas_c[0])",
            hint="Compare the two trials that differ in the gas alone.",
            slips=(
                Slip(
                    "by the plate",
                    lambda g, a: _gain(g.package_c, 1),
                    "You compared the two trials that differ in the plate. The question is about the gas.",
                ),
                Slip(
                    "not divided",
                    lambda g, a: g.package_c[2] - g.package_c[0],
                    "That is by how many kelvin the package rose in all. Divide by how many kelvin the gas rose.",
                ),
            ),
        ),
        Number(
            "plate_needed",
            "If straight lines held on: which plate set point, with gas at 260 °C, would bring the coldest joint to {aim_c} "
            "(some kelvin above the least that is asked, 230 °C, because readings are uncertain)?",
            points=2,
            unit="°C",
            expected=lambda g, a: 310 + (g.aim_c - g.joint_c[0]) / a.by_plate,
            within=relative(0.01),
            because="it carries the rounding of the peaks",
            plausible=(250, 600),
            working="plate_needed = plate_c[0] + (aim_c - joint_c[0]) / by_plate",
            slips=(
                Slip(
                    "degree for degree",
                    lambda g, a: 310 + g.aim_c - g.joint_c[0],
                    "You raised the plate by what the joint lacks. Only a share of each degree arrives.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: 310 + (g.aim_c - g.joint_c[0]) * a.by_plate,
                    "You multiplied by the share. The plate must rise by more than the joint does.",
                ),
                Slip(
                    "in proportion",
                    lambda g, a: 310 * g.aim_c / g.joint_c[0],
                    "You scaled the set point like the peak. °C do not scale: go by the kelvin that are missing.",
                ),
            ),
        ),
        Number(
            "neighbour_then",
            "And how hot would the neighbour get with the plate set point of part 3, by straight lines?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.neighbour_c[0] + (a.plate_needed - 310) * _gain(g.neighbour_c, 1),
            within=absolute(1),
            because="the peaks are given to a tenth of a kelvin, and the lines are drawn on far",
            plausible=(150, 400),
            working="""
neighbour_by_plate = (neighbour_c[1] - neighbour_c[0]) / (plate_c[1] - plate_c[0])
neighbour_then = neighbour_c[0] + (plate_needed - plate_c[0]) * neighbour_by_plate
""",
            slips=(
                Slip(
                    "as the joint",
                    lambda g, a: g.neighbour_c[0] + g.aim_c - g.joint_c[0],
                    "You let the neighbour rise by as much as the joint. It has its own column.",
                ),
                Slip(
                    "by the gas",
                    lambda g, a: g.neighbour_c[0] + (a.plate_needed - 310) * _gain(g.neighbour_c, 2),
                    "You compared the trials that differ in the gas. Here the plate rises.",
                ),
            ),
        ),
        Choice(
            "plate_alone",
            "The neighbour may reach {neighbour_limit_c}. Can you raise the plate alone until the coldest joint has {aim_c}?",
            points=1,
            options={
                "yes": "yes: the neighbour stays at its limit or below",
                "no": "no: the neighbour passes its limit before that",
                "solid": "yes: the neighbour's own solder does not melt",
            },
            expected=lambda g, a: "yes" if a.neighbour_then <= g.neighbour_limit_c else "no",
            slips={
                "solid": "Melting is not the limit. Joints of neighbouring ball grid arrays were found damaged from 195 °C "
                "up, long before they melt, and 200 °C is common practice for any neighbour.",
                "yes": "Compare the neighbour of part 4 with what it may reach.",
            },
        ),
        Design(
            "chosen",
            (
                "Choose a programme for this board. Every limit counts for itself:\n\n"
                "- package top: at most {rating_c}, its rating;\n"
                "- peak of the coldest joint: at least 230 °C (common practice for lead-free joints);\n"
                "- coldest joint above 217 °C: at least 60 s (common practice: 60 to 90 s);\n"
                "- hottest joint above 217 °C: at most 120 s (this bench's own limit; the standard's for the package is 150);\n"
                "- neighbour at 10 mm: at most {neighbour_limit_c} (200 °C for bodies and joints by common practice; 195 °C "
                "at the centre of a ball grid array, above which joints were found damaged);\n"
                "- hottest joint less coldest, at the moment the hottest peaks: at most 20 K (this bench's own limit with a "
                "neighbour so near; common practice asks for 10).\n\n"
                "Within 1 K or 10 s of a limit counts as held, and is told as borderline: the simulation is no better. "
                "Use your trials and the lesson's picture. A longer hold, which no trial shows, gives every place more time "
                "to warm: peaks rise, and times above 217 °C grow. A smaller window keeps the neighbour cooler and wants a "
                "hotter plate. The closing cell tells you each margin (of temperatures, in kelvin). Change one number at a "
                "time, and try as often as you like. On the bench your thermocouples, not this simulation, decide."
            ),
            points=6,
            settings=(
                Setting("bottom_plate_c", "set point of the bottom plate", "°C", 25, 425),
                Setting("top_gas_c", "set point of the gas", "°C", 200, 500),
                Setting("hold_s", "time at the full gas set point", "s", 10, 150),
                Setting("soak_s", "time of the plate alone, before the nozzle comes down", "s", 30, 240),
                Setting(
                    "screen",
                    "screen over the plate: 0 none, 1 with a window of 140 mm, 2 of 100 mm, 3 of 80 mm",
                    "1",
                    0,
                    len(SCREENS_MM) - 1,
                    whole=True,
                ),
            ),
            simulate=lambda g, a, choices: limits_of(
                choices,
                g.board,
                g.rating_c,
                g.neighbour_limit_c,
                {"package top": g.shops("rating_c"), "neighbour at 10 mm": g.shops("neighbour_limit_c")},
            ),
            example=lambda g, a: dict(
                zip(
                    ("bottom_plate_c", "top_gas_c", "hold_s", "soak_s", "screen"),
                    _example(g.board, g.neighbour_limit_c),
                    strict=True,
                )
            ),
            idle=0.77,
        ),
    ),
    cases=(
        Case(
            "by_plate",
            0.3,
            0.0005,
            "by hand: 6 K for 20 K of plate",
            "computed",
            givens={"plate_c": (300, 320, 300), "joint_c": (200, 206, 205)},
        ),
        Case(
            "package_by_gas",
            0.5,
            0.0005,
            "by hand: 10 K for 20 K of gas",
            "computed",
            givens={"gas_c": (260, 260, 280), "package_c": (220, 226, 230)},
        ),
        Case(
            "plate_needed",
            410,
            0.05,
            "straight line by hand: 30 K at 0.3 from 310 °C",
            "computed",
            givens={"joint_c": (200, 206, 205), "aim_c": 230},
            earlier={"by_plate": 0.3},
        ),
        Case(
            "neighbour_then",
            240,
            0.05,
            "straight line by hand: 100 K of plate at 0.5 from 190 °C",
            "computed",
            givens={"neighbour_c": (190, 200, 195)},
            earlier={"plate_needed": 410},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: _example(drawn["board"], drawn["neighbour_limit_c"]) is not None,
    floor=0.15,
)

FROM_BELOW = Exercise(
    id="why-from-below",
    number=21,
    title="Say why the board is heated from below as well",
    setup=(
        "Under a hot package the copper planes of a wide board carry heat away sideways: {sideways}, that is watts for each kelvin "
        "by which the place under the package is hotter than the board around it. The joints there are wanted at {joint_c}. "
        "From the package top down to the joints, heat that comes from above meets a thermal resistance of {inside}. The "
        "room is at {room_c}; with the plate below, the board around is at {warmed_c} instead. The package is rated to "
        "{rating_c}. Nothing changes with time any more, and the heat that the package itself loses is left out."
    ),
    givens=dict(
        sideways=Quantity(0.18, "W/K", low=0.12, high=0.26, step=0.01),
        joint_c=Quantity(235, "°C", low=230, high=240, step=1),
        inside=Quantity(1.2, "K/W", low=0.8, high=1.6, step=0.1),
        room_c=Quantity(25, "°C", low=18, high=30, step=1),
        warmed_c=Quantity(170, "°C", low=150, high=190, step=5),
        rating_c=Pick(260, (245, 250, 260), "°C"),
    ),
    parts=(
        Number(
            "nozzle_alone",
            "With the nozzle alone and the board around at room temperature: how much heat must go down through the package?",
            points=1,
            unit="W",
            expected=lambda g, a: g.sideways * (g.joint_c - g.room_c),
            within=relative(0.03),
            because="the loss is known to two figures",
            plausible=(15, 92),
            working="nozzle_alone = sideways * (joint_c - room_c)",
            slips=(
                Slip(
                    "room forgotten",
                    lambda g, a: g.sideways * g.joint_c,
                    "You counted from 0 °C. What counts is how much hotter the joints are than the board around.",
                ),
                Slip(
                    "divided",
                    lambda g, a: (g.joint_c - g.room_c) / g.sideways,
                    "You divided. So many watts for each kelvin, times so many kelvin.",
                ),
            ),
        ),
        Number(
            "top_alone_c",
            "How hot is the package top then?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.joint_c + a.nozzle_alone * g.inside,
            within=absolute(2),
            because="it carries 3 % of the heat",
            plausible=(200, 600),
            working="top_alone_c = joint_c + nozzle_alone * inside",
            slips=(
                Slip(
                    "subtracted",
                    lambda g, a: g.joint_c - a.nozzle_alone * g.inside,
                    "You made the top colder than the joints. The heat comes from above, so the top is the hotter end.",
                ),
                Slip(
                    "divided",
                    lambda g, a: g.joint_c + a.nozzle_alone / g.inside,
                    "You divided. So many kelvin for each watt, times so many watts.",
                ),
            ),
        ),
        Number(
            "with_plate",
            "With the plate below: how much heat must still go down through the package?",
            points=1,
            unit="W",
            expected=lambda g, a: g.sideways * (g.joint_c - g.warmed_c),
            within=relative(0.03),
            because="the loss is known to two figures",
            plausible=(3, 36),
            working="with_plate = sideways * (joint_c - warmed_c)",
            slips=(
                Slip(
                    "saved instead",
                    lambda g, a: g.sideways * (g.warmed_c - g.room_c),
                    "That is the heat the plate saves. The question asks for what is still needed from above.",
                ),
            ),
        ),
        Number(
            "top_with_plate_c",
            "How hot is the package top then?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.joint_c + a.with_plate * g.inside,
            within=absolute(1),
            because="it carries 3 % of the heat",
            plausible=(200, 600),
            working="top_with_plate_c = joint_c + with_plate * inside",
            slips=(
                Slip(
                    "nozzle alone",
                    lambda g, a: g.joint_c + a.nozzle_alone * g.inside,
                    "That is the package top with the nozzle alone. With the plate less heat goes down through it.",
                ),
            ),
        ),
        Choice(
            "within",
            "In which case, if any, does the package stay within its rating?",
            points=1,
            options={
                "both": "in both cases: with the nozzle alone as well",
                "neither": "in neither case, with the plate or without",
                "plate": "in one case: when the plate warms the board",
            },
            expected=lambda g, a: _cases_within(g, a),
            slips={
                "both": "Hold each of your two package tops against the rating.",
                "neither": "Hold each of your two package tops against the rating.",
                "plate": "Hold each of your two package tops against the rating.",
            },
        ),
        Written(
            "why",
            "A friend says: with a stronger nozzle nobody needs a plate. Say in your own words, with your numbers, why the "
            "plate helps, and name one thing that can still go wrong with a plate that is too hot.",
            points=3,
            model=(
                "All the heat that leaves sideways in the copper has to come down through the package if it is heated from "
                "above only. That heat makes the package top hotter than the joints by heat times resistance; a stronger "
                "nozzle only makes this larger. With the plate the board around is warm, so less heat leaves sideways, less "
                "comes through the package, and its top is nearer to the joints (the learner's two numbers stand here). It "
                "also makes the joints more even, because the corner is next to the cold board. A plate that is too hot "
                "melts or damages neighbours, goes above the laminate's limits, bends the board, or keeps joints molten too "
                "long. It is a matter of numbers: on a small board with little copper the nozzle alone can do."
            ),
        ),
    ),
    cases=(
        Case(
            "nozzle_alone",
            34.2,
            0.05,
            "fin equation around a disc of 35 mm on a 1.6 mm board of 20 W/mK, film 24: 0.17552 W/K, 195 K above the room",
            "computed",
            givens={"sideways": 0.17552, "joint_c": 220},
        ),
        Case(
            "top_alone_c",
            275,
            0.05,
            "heat through a resistance by hand: 40 W through 1 K/W above 235 °C",
            "computed",
            givens={"joint_c": 235, "inside": 1.0},
            earlier={"nozzle_alone": 40},
        ),
        Case(
            "with_plate",
            20,
            0.05,
            "by hand: 0.2 W/K times 100 K",
            "computed",
            givens={"sideways": 0.2, "joint_c": 235, "warmed_c": 135},
        ),
        Case(
            "top_with_plate_c",
            247,
            0.05,
            "heat through a resistance by hand: 10 W through 1.2 K/W above 235 °C",
            "computed",
            givens={"joint_c": 235, "inside": 1.2},
            earlier={"with_plate": 10},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: min(abs(top - drawn["rating_c"]) for top in _tops(drawn)) > 2.5,
    floor=0.10,
)


def _tops(drawn):
    return [
        drawn["joint_c"] + drawn["inside"] * drawn["sideways"] * (drawn["joint_c"] - drawn[around])
        for around in ("room_c", "warmed_c")
    ]


def _cases_within(g, a):
    if a.top_alone_c <= g.rating_c:
        return "both"
    return "plate" if a.top_with_plate_c <= g.rating_c else "neither"
