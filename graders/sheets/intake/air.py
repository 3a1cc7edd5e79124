"""What is in the air at the bench: flux fume over a day, solvent vapour in a room, and how far a hood reaches."""

from math import pi, sqrt

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, relative
from graders.sheets.intake.words import AIR
from workbook.bench.intake import air

LONG_LIMIT, SHORT_LIMIT = 0.05e-6, 0.15e-6
SHIFT, WINDOW = 8 * 3600, 15 * 60
ISOPROPANOL = "NIOSH Pocket Guide, isopropyl alcohol"


def _day(g):
    """Return the sum of concentration times length over the three periods."""
    return g.soldering * g.solder_time + g.touching_up * g.touch_time + g.rest * g.rest_time


def _both_limits(a) -> str:
    long_over, short_over = a.day_average > LONG_LIMIT, a.short_average > SHORT_LIMIT
    if long_over and short_over:
        return "both over"
    return "day over" if long_over else "peak over" if short_over else "both kept"


def _fume_is_clear(drawn: dict) -> bool:
    """Whether both averages lie clear of their limits."""
    minutes = drawn["burst_time"]
    day = sum(
        drawn[level] * drawn[hours]
        for level, hours in (("soldering", "solder_time"), ("touching_up", "touch_time"), ("rest", "rest_time"))
    )
    short = drawn["burst"] * minutes + drawn["quiet"] * (15 - minutes)
    return abs(day / 8 / 0.05 - 1) > 0.06 and abs(short / 15 / 0.15 - 1) > 0.06


FUME_DAY = Exercise(
    id="fume-day",
    number=6,
    title="Average a day of fume, and its worst quarter of an hour",
    setup=(
        "Rosin flux fume, United Kingdom (HSE SIM 03/2002/26): at most 0.05 mg/m³ averaged over 8 h, and at most "
        "0.15 mg/m³ averaged over any 15 min. A sampler at one bench gives (invented readings) for one working day: {soldering} for "
        "{solder_time}, {touching_up} for {touch_time}, {rest} for {rest_time}. The rest of the 8 h is spent away from all "
        "fume.\n\n"
        "On another day a recorder shows {burst} for {burst_time} at one stretch; before and after it {quiet} for half an "
        "hour and more."
    ),
    givens=dict(
        soldering=Quantity(0.12, "mg/m³", low=0.06, high=0.24, step=0.01),
        solder_time=Quantity(2, "h", low=1.5, high=3, step=0.5),
        touching_up=Quantity(0.04, "mg/m³", low=0.03, high=0.05, step=0.01),
        touch_time=Quantity(1, "h", low=0.5, high=2, step=0.5),
        rest=Quantity(0.02, "mg/m³", low=0.01, high=0.02, step=0.005),
        rest_time=Quantity(3, "h", low=1, high=2.5, step=0.5),
        burst=Quantity(0.4, "mg/m³", low=0.2, high=0.8, step=0.05),
        burst_time=Quantity(6, "min", low=4, high=10, step=1),
        quiet=Quantity(0.02, "mg/m³", low=0.02, high=0.06, step=0.01),
        lead_shift=Pick(10, (9, 9.5, 10, 10.5, 11, 12), "h"),
    ),
    parts=(
        Number(
            "day_average",
            "What is the average over 8 h?",
            points=2,
            unit="mg/m³",
            expected=lambda g, a: air.time_weighted_average(
                (g.soldering, g.touching_up, g.rest), (g["solder_time"], g["touch_time"], g["rest_time"])
            ),
            within=relative(0.02),
            because="rounding costs less",
            plausible=(0.005, 0.5),
            working="day_average = (soldering * solder_time + touching_up * touch_time + rest * rest_time) / 8",
            hint="Multiply each concentration by its hours. The hours away from fume count with nothing.",
            slips=(
                Slip(
                    "plain mean",
                    lambda g, a: (g.soldering + g.touching_up + g.rest) / 3,
                    "That is the plain mean. The periods are not equally long: each counts by its hours.",
                ),
                Slip(
                    "only the hours with fume",
                    lambda g, a: _day(g) / (g.solder_time + g.touch_time + g.rest_time),
                    "You divided by the hours at the bench. The limit is set for 8 h, and the hours away count with zero.",
                ),
                Slip(
                    "not divided",
                    lambda g, a: _day(g) / 3600,
                    "That is concentration times hours. To make an average of it, divide by the 8 h.",
                ),
            ),
        ),
        Number(
            "short_average",
            "What is the average over the worst 15 min that hold the whole burst?",
            points=2,
            unit="mg/m³",
            expected=lambda g, a: air.worst_short_term_average((g.quiet, g.burst, g.quiet), (30, g["burst_time"], 30)),
            within=relative(0.02),
            because="rounding costs less",
            plausible=(0.02, 1),
            working="short_average = (burst * burst_time + quiet * (15 - burst_time)) / 15",
            hint="The burst is shorter than 15 min. What fills the other minutes?",
            slips=(
                Slip(
                    "the burst itself",
                    lambda g, a: g.burst,
                    "That is the burst as it stands. It does not last the whole 15 min.",
                ),
                Slip(
                    "rest of the window empty",
                    lambda g, a: g.burst * g.burst_time / WINDOW,
                    "You let the other minutes count with nothing. The air holds some fume then, too.",
                ),
                Slip(
                    "plain mean",
                    lambda g, a: (g.burst + g.quiet) / 2,
                    "That is the plain mean of the two. Each counts by its minutes.",
                ),
                Slip(
                    "over 8 h",
                    lambda g, a: g.burst * g.burst_time / SHIFT,
                    "You spread the burst over 8 h. The short-term limit has its own window of 15 min.",
                ),
            ),
        ),
        Choice(
            "limits",
            "Each average held against its own limit: what do they say? (Whatever they say, the extraction stays on.)",
            points=1,
            options={
                "both kept": "both averages are at or below their limits",
                "day over": "only the average over 8 h is above its limit",
                "peak over": "only the average over 15 min is above its limit",
                "both over": "both are above their limits",
            },
            expected=lambda g, a: _both_limits(a),
            hint="Each average has its own limit, and a good one does not excuse a bad one.",
        ),
        Number(
            "lead_limit",
            "The bench also uses leaded solder. One country's rule (29 CFR 1910.1025) allows 50 µg/m³ of lead averaged over "
            "8 h; for a longer shift it allows 400 divided by the hours of the shift, in µg/m³. What does it allow for a "
            "shift of {lead_shift}?",
            points=1,
            unit="µg/m³",
            expected=lambda g, a: air.lead_limit_ug_per_m3(g["lead_shift"]) * 1e-9,
            within=relative(0.01),
            because="it is one division",
            plausible=(10, 60),
            working="lead_limit = 400 / lead_shift",
            slips=(
                Slip(
                    "same as for 8 h",
                    lambda g, a: 50e-9,
                    "That is the limit for 8 h. A longer shift breathes more in and rests less.",
                ),
                Slip(
                    "allowed more",
                    lambda g, a: 50e-9 * g.lead_shift / SHIFT,
                    "Your limit grows with the shift. It has to fall.",
                ),
            ),
        ),
    ),
    published=(
        Case(
            "day_average",
            81.25,
            0.005,
            "29 CFR 1910.1000(d)(1): 2 h at 150, 2 h at 75, 4 h at 50 ppm",
            "published",
            givens={
                "soldering": 150,
                "solder_time": 2,
                "touching_up": 75,
                "touch_time": 2,
                "rest": 50,
                "rest_time": 4,
            },
            note="the source's ppm stand in for mg/m³: the average is the same sum",
        ),
        Case(
            "day_average",
            0.045,
            0.0005,
            "time-weighted average: 0.12 mg/m³ for 2 h, 0.02 mg/m³ for 6 h",
            "computed",
            givens={"touching_up": 0.02, "touch_time": 1, "rest_time": 5},
        ),
        Case("lead_limit", 40, 0.5, "29 CFR 1910.1025 Appendix B: 10 h", "published", givens={"lead_shift": 10}),
    ),
    caution=AIR,
    sound=_fume_is_clear,
    floor=0.17,
)

MOLAR_MASS = 60.10e-3


def _molar_volume(g):
    """Return the volume of one mole as printed in the exercise."""
    return {20: 24.06e-3, 25: 24.46e-3}[g.air_c]


SOLVENT = Exercise(
    id="solvent-vapour",
    number=7,
    title="See how much air a little solvent spoils",
    setup=(
        "{liquid} of isopropyl alcohol dries off a board in a closed room that holds {room} of air at {air_c}. The liquid "
        "has a density of {density}; one mole weighs 60.10 g. One mole of any vapour fills 24.46 L at 25 °C and 24.06 L at "
        "20 °C. From the NIOSH Pocket Guide: recommended limits 400 ppm averaged over the shift and 500 ppm short-term; "
        "the vapour can burn from 2.0 % by volume in air (and up to 12.7 %); flash point 11.7 °C. (ppm: parts by volume in "
        "a million parts of air.)"
    ),
    givens=dict(
        liquid=Quantity(5, "mL", low=2, high=25, step=1),
        room=Quantity(30, "m³", low=12, high=60, step=2),
        air_c=Pick(25, (20, 25), "°C"),
        density=Fixed(0.79, "g/cm³"),
        board_c=Quantity(70, "°C", low=50, high=90, step=5),
    ),
    parts=(
        Number(
            "vapour",
            "How many litres of pure vapour does the liquid become?",
            points=2,
            unit="L",
            expected=lambda g, a: air.vapour_volume(g.liquid, g.density, MOLAR_MASS, g.air_c),
            within=relative(0.01),
            because="the numbers are given to two or more figures and rounding costs less",
            plausible=(0.2, 20),
            working="vapour = liquid * density / 60.10 * {20: 24.06, 25: 24.46}[air_c]",
            hint="How many grams are that, how many moles, and how much room does a mole take?",
            slips=(
                Slip(
                    "density left out",
                    lambda g, a: g.liquid * 1000 / MOLAR_MASS * _molar_volume(g),
                    "You took a millilitre for a gram. This liquid is lighter than water.",
                ),
                Slip(
                    "mole at 0 °C",
                    lambda g, a: g.liquid * g.density / MOLAR_MASS * 22.4e-3,
                    "22.4 L is a mole at 0 °C. The room is warmer.",
                ),
                Slip(
                    "moles",
                    lambda g, a: g.liquid * g.density / MOLAR_MASS * 1e-3,
                    "That is the number of moles. Each of them fills many litres.",
                ),
            ),
        ),
        Number(
            "room_ppm",
            "Spread evenly through the room, how many ppm is that?",
            points=1,
            unit="ppm",
            expected=lambda g, a: air.vapour_ppm(a.vapour, g.room) * 1e-6,
            within=relative(0.01),
            because="it carries the rounding of the litres",
            plausible=(5, 2000),
            working="room_ppm = vapour / (room * 1000) * 1e6",
            slips=(
                Slip(
                    "milligrams",
                    lambda g, a: g.liquid * g.density / g.room,
                    "That is milligrams in a cubic metre. The question asks for parts by volume: use the litres of vapour.",
                ),
                Slip(
                    "liquid for vapour",
                    lambda g, a: g.liquid / g.room,
                    "You spread the liquid. As vapour it takes up hundreds of times more room.",
                ),
            ),
        ),
        Number(
            "as_mass",
            "Some tables give limits as mass. How many milligrams of it are in a cubic metre of that room's air?",
            points=1,
            unit="mg/m³",
            expected=lambda g, a: air.ppm_to_mg_per_m3(a.room_ppm * 1e6, MOLAR_MASS, g.air_c) * 1e-6,
            within=relative(0.01),
            because="it carries the rounding of the ppm",
            plausible=(10, 5000),
            working="as_mass = room_ppm * 60.10 / {20: 24.06, 25: 24.46}[air_c]",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: a.room_ppm * _molar_volume(g) / MOLAR_MASS,
                    "The ratio is upside down. Litres make moles when divided by the room of a mole; moles make grams when "
                    "multiplied by its weight.",
                ),
            ),
        ),
        Number(
            "burning_air",
            "If the vapour stays together over the bench instead, how many litres of air (the vapour in it counted) can it make "
            "just able to burn?",
            points=2,
            unit="L",
            expected=lambda g, a: air.air_volume_to_ppm(a.vapour, 20000),
            within=relative(0.01),
            because="it carries the rounding of the litres",
            plausible=(10, 1000),
            working="burning_air = vapour / (2.0 / 100)",
            slips=(
                Slip(
                    "upper limit",
                    lambda g, a: a.vapour / 0.127,
                    "You took the upper end. Air just able to burn is at the lower end.",
                ),
                Slip(
                    "per cent as a number",
                    lambda g, a: a.vapour / 2.0,
                    "You divided by 2. Two per cent are two parts in a hundred.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: a.vapour * 0.02,
                    "You took two per cent of the vapour. The vapour is to be two per cent of the air.",
                ),
            ),
        ),
        Choice(
            "wipe_hot",
            "A board stands at {board_c} beside the hot air tool. May it be wiped with this liquid now?",
            points=1,
            options={
                "in a large room": "yes, as long as the ppm of the whole room stay below the limit",
                "quickly": "yes, if it is done quickly with little liquid",
                "cold only": "no: it is wiped when it is cold, under extraction, with no hot tool or iron near",
            },
            expected=lambda g, a: "cold only",
            slips={
                "in a large room": "The ppm of the room are an average. Over the board the vapour is thick enough to burn.",
                "quickly": "Compare the board with the flash point. A little liquid makes litres of air that burn.",
            },
        ),
    ),
    published=(
        Case(
            "vapour",
            24.46,
            0.01,
            "OSHA methods manual, Appendix B: one mole at 25 °C and 760 mm Hg",
            "published",
            givens={"liquid": 60.10 / 0.79},
        ),
        Case("as_mass", 2.46, 0.005, f"{ISOPROPANOL}: 1 ppm", "published", earlier={"room_ppm": 1}),
        Case(
            "as_mass",
            999,
            0.5,
            "EH40 as a data sheet quotes it: 400 ppm",
            "published-second-hand",
            givens={"air_c": 20},
            earlier={"room_ppm": 400},
        ),
        Case(
            "as_mass",
            1250,
            1.5,
            "EH40 as a data sheet quotes it: 500 ppm",
            "published-second-hand",
            givens={"air_c": 20},
            earlier={"room_ppm": 500},
            note="printed to three figures: 1249",
        ),
        Case(
            "room_ppm",
            161,
            2,
            f"ideal gas with the specific gravity of the {ISOPROPANOL}: 5 mL in 10 m³",
            "computed",
            givens={"room": 10},
        ),
        Case(
            "burning_air",
            16.0,
            0.05,
            "1 mL of density 0.785 g/cm³ at the lower limit of 2.0 %",
            "computed",
            givens={"liquid": 1, "density": 0.785},
        ),
    ),
    caution=AIR,
    floor=0.0,
)


def _area(g):
    return pi * g.opening**2 / 4


HOOD = Exercise(
    id="hood-distance",
    number=8,
    title="Bring the hood closer",
    setup=(
        "An extraction arm has a round opening {opening} across. On the axis of a plain opening, in still air, the air "
        "moves towards it with v = Q / (10 x² + A): Q the flow, x the distance from the opening, A the area of the opening "
        "(Dalla Valle's form, in metres and seconds, good to about a fifth). To catch fume that rises slowly, {wanted} is wanted at the joint "
        "(ACGIH 2009, as a document quotes it: 0.5 to 1.0 m/s)."
    ),
    givens=dict(
        opening=Quantity(75, "mm", low=60, high=150, step=5),
        wanted=Quantity(0.5, "m/s", low=0.5, high=0.8, step=0.05),
        far=Quantity(300, "mm", low=260, high=400, step=10),
        fan=Quantity(220, "m³/h", low=120, high=360, step=20),
    ),
    parts=(
        Number(
            "velocity",
            "The fan of this arm gives {fan}. Which velocity does it draw at {far} from the opening?",
            points=1,
            unit="m/s",
            expected=lambda g, a: air.capture_velocity(g.fan, g.far, _area(g)),
            within=relative(0.01),
            because="the form itself is cruder; this holds the sum",
            plausible=(0.01, 1),
            working="""
area = pi * (opening / 1000)**2 / 4
velocity = fan / 3600 / (10 * (far / 1000)**2 + area)
""",
            hint="Put everything in metres and seconds first.",
            slips=(
                Slip(
                    "hours",
                    lambda g, a: 3600 * air.capture_velocity(g.fan, g.far, _area(g)),
                    "The flow was left in cubic metres an hour. The velocity is asked for in metres a second.",
                ),
                Slip(
                    "in the opening",
                    lambda g, a: g.fan / _area(g),
                    "That is the velocity in the opening itself. Further out the air comes from all sides.",
                ),
                Slip(
                    "ten left out",
                    lambda g, a: g.fan / (g.far**2 + _area(g)),
                    "The distance squared counts ten times in this form.",
                ),
            ),
        ),
        Number(
            "needed_flow",
            "Which flow would it take to have {wanted} at {far}?",
            points=2,
            unit="m³/h",
            expected=lambda g, a: air.capture_flow(g.wanted, g.far, _area(g)),
            within=relative(0.01),
            because="the form itself is cruder; this holds the sum",
            plausible=(400, 10000),
            working="needed_flow = wanted * (10 * (far / 1000)**2 + area) * 3600",
            slips=(
                Slip(
                    "ten left out",
                    lambda g, a: g.wanted * (g.far**2 + _area(g)),
                    "The distance squared counts ten times in this form.",
                ),
                Slip(
                    "in the opening",
                    lambda g, a: g.wanted * _area(g),
                    "That is the flow for this velocity in the opening itself. Further out the air comes from all sides.",
                ),
                Slip(
                    "not squared",
                    lambda g, a: g.wanted * (10 * g.far + _area(g)),
                    "The distance counts squared: the air comes in over an area.",
                ),
            ),
        ),
        Number(
            "reach",
            "With the fan as it is, {fan}: how far from the opening may the joint be for {wanted}, at most?",
            points=2,
            unit="mm",
            expected=lambda g, a: sqrt((g.fan / g.wanted - _area(g)) / 10),
            within=relative(0.01),
            because="the form itself is cruder; this holds the sum",
            plausible=(30, 300),
            working="reach = sqrt((fan / 3600 / wanted - area) / 10) * 1000",
            hint="Solve v = Q / (10 x² + A) for x.",
            slips=(
                Slip(
                    "ten left out",
                    lambda g, a: sqrt(g.fan / g.wanted - _area(g)),
                    "The distance squared counts ten times in this form: divide by ten before the root.",
                ),
                Slip(
                    "area added",
                    lambda g, a: sqrt((g.fan / g.wanted + _area(g)) / 10),
                    "The area of the opening comes off when you solve for the distance.",
                ),
                Slip(
                    "no root",
                    lambda g, a: (g.fan / g.wanted - _area(g)) / 10,
                    "That is the distance squared. Take the root.",
                ),
            ),
        ),
        Choice(
            "better",
            "Fume slips past the hood, {far} away. Which brings the higher velocity at the joint: twice the flow, or half the "
            "distance?",
            points=1,
            options={
                "twice the flow": "a stronger fan at the same distance",
                "the same": "both do the same",
                "half the distance": "the arm pulled closer with the fan as it is",
            },
            expected=lambda g, a: "half the distance",
            slips={
                "twice the flow": "Twice the flow gives twice the velocity. Put half the distance into the form.",
                "the same": "The distance is squared in the form.",
            },
        ),
    ),
    published=(
        Case(
            "velocity",
            0.2,
            0.05,
            "Engineering ToolBox, exhaust outlets: 250 mm duct at 3 m/s, 250 mm away",
            "published",
            givens={"opening": 250, "far": 250, "fan": 3.0 * pi * 0.25**2 / 4 * 3600},
            note="printed to one figure, and worked there with the form for small openings",
        ),
        Case("needed_flow", 413, 0.5, "Q = v (10 x² + A): 75 mm, 150 mm, 0.5 m/s", "computed", givens={"far": 150}),
        Case("needed_flow", 1628, 0.5, "Q = v (10 x² + A): 75 mm, 300 mm, 0.5 m/s", "computed"),
    ),
    caution=AIR,
    floor=0.0,
)

EXERCISES = (FUME_DAY, SOLVENT, HOOD)
