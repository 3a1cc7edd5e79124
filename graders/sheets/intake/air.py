"""What is in the air at the bench: flux fume over a day, solvent vapour in a room, and how far a hood reaches."""

from math import pi, sqrt

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, relative
from graders.sheets.intake.words import AIR
from workbook.bench.intake import air
from workbook.drawings import station

LONG_LIMIT, SHORT_LIMIT = 0.05e-6, 0.15e-6
SHIFT, WINDOW = 8 * 3600, 15 * 60
ISOPROPANOL = "NIOSH Pocket Guide, isopropyl alcohol"


def _day(g):
    """Return the sum of concentration times length over the three periods."""
    return g.soldering * g.solder_time + g.touching_up * g.touch_time + g.near * g.near_time


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
        for level, hours in (("soldering", "solder_time"), ("touching_up", "touch_time"), ("near", "near_time"))
    )
    short = drawn["burst"] * minutes + drawn["quiet"] * (15 - minutes)
    return (
        abs(drawn["lead_read"] * drawn["lead_shift"] / 400 - 1) > 0.03
        and abs(day / 8 / 0.05 - 1) > 0.06
        and abs(short / 15 / 0.15 - 1) > 0.06
    )


FUME_DAY = Exercise(
    id="fume-day",
    number=6,
    title="Average a day of fume, and its worst quarter of an hour",
    setup=(
        "Rosin flux fume, United Kingdom (HSE SIM 03/2002/26): at most 0.05 mg/m³ averaged over 8 h, and at most "
        "0.15 mg/m³ averaged over any 15 min. A sampler at one bench gives (invented readings) for one working day: {soldering} for "
        "{solder_time}, {touching_up} for {touch_time}, and {near} for {near_time} near other benches. All other hours of the 8 h are spent away from "
        "fume.\n\n"
        "On another day a recorder shows {burst} for {burst_time} at one stretch; before and after it {quiet} for half an "
        "hour and more."
    ),
    givens=dict(
        soldering=Quantity(0.12, "mg/m³", low=0.06, high=0.24, step=0.01),
        solder_time=Quantity(2, "h", low=1.5, high=3, step=0.5),
        touching_up=Quantity(0.04, "mg/m³", low=0.03, high=0.05, step=0.01),
        touch_time=Quantity(1, "h", low=0.5, high=2, step=0.5),
        near=Quantity(0.02, "mg/m³", low=0.01, high=0.02, step=0.005),
        near_time=Quantity(3, "h", low=1, high=2.5, step=0.5),
        burst=Quantity(0.4, "mg/m³", low=0.2, high=0.8, step=0.05),
        burst_time=Quantity(6, "min", low=4, high=10, step=1),
        quiet=Quantity(0.02, "mg/m³", low=0.02, high=0.06, step=0.01),
        lead_shift=Pick(10, (9, 9.5, 10, 10.5, 11, 12), "h"),
        lead_read=Quantity(36, "µg/m³", low=20, high=60, step=2),
    ),
    parts=(
        Number(
            "day_average",
            "What is the average over 8 h?",
            points=2,
            unit="mg/m³",
            expected=lambda g, a: air.time_weighted_average(
                (g.soldering, g.touching_up, g.near), (g["solder_time"], g["touch_time"], g["near_time"])
            ),
            within=relative(0.02),
            because="rounding costs less",
            plausible=(0.005, 0.17),
            working="day_average = (soldering * solder_time + touching_up * touch_time + near * near_time) / 8",
            hint="Multiply each concentration by its hours. The hours away from fume count with nothing.",
            slips=(
                Slip(
                    "plain mean",
                    lambda g, a: (g.soldering + g.touching_up + g.near) / 3,
                    "That is the plain mean. The periods are not equally long: each counts by its hours.",
                ),
                Slip(
                    "only the hours with fume",
                    lambda g, a: _day(g) / (g.solder_time + g.touch_time + g.near_time),
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
            "Compare each average with its own limit: what do they say? (Whatever they say, the extraction stays on.)",
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
            "The bench also uses leaded solder. In the USA a rule (29 CFR 1910.1025) allows 50 µg/m³ of lead averaged over "
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
        Choice(
            "lead_act",
            "Over such a shift the sampler gives {lead_read} of lead on average. What does the US limit for this shift ask you "
            "to do? (The same rule has an action level of 30 µg/m³ over 8 h: from there on the employer samples again at set "
            "times and offers medical checks, also where the limit is kept. In the EU 30 µg/m³ over 8 h is the limit itself, "
            "Directive (EU) 2024/869 as digests quote it.)",
            points=1,
            options={
                "mask": "go on with a dust mask until the sampler has run once more",
                "stop": "stop the leaded work until the source is found and caught",
                "go on": "go on with the extraction running, and sample again as set",
            },
            expected=lambda g, a: "stop" if g.lead_read > a.lead_limit else "go on",
            slips={
                "mask": "A dust mask mends no source. Compare the reading with the limit of part 4.",
                "stop": "Compare the reading with the limit of part 4 once more.",
                "go on": "Compare the reading with the limit of part 4 once more.",
            },
        ),
    ),
    cases=(
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
                "near": 50,
                "near_time": 4,
            },
            note="the source's ppm stand in for mg/m³: the average is the same sum",
        ),
        Case(
            "day_average",
            0.045,
            0.0005,
            "time-weighted average: 0.12 mg/m³ for 2 h, 0.02 mg/m³ for 6 h",
            "computed",
            givens={"touching_up": 0.02, "touch_time": 1, "near_time": 5},
        ),
        Case("lead_limit", 40, 0.5, "29 CFR 1910.1025 Appendix B: 10 h", "published", givens={"lead_shift": 10}),
        Case(
            "short_average",
            0.1,
            0.0005,
            "time-weighted average by hand: 0.3 mg/m³ for 5 of 15 min, nothing else",
            "computed",
            givens={"burst": 0.3, "burst_time": 5, "quiet": 0},
        ),
    ),
    caution=AIR,
    sound=_fume_is_clear,
    floor=0.20,
)

MOLAR_MASS = 60.10e-3


def _air_c(g):
    """Return the temperature of the room's air, which the size of a mole tells."""
    return {24.06: 20, 24.46: 25}[g["mole"]]


def _molar_volume(g):
    """Return the volume of one mole as printed in the exercise."""
    return g.mole


SOLVENT = Exercise(
    id="solvent-vapour",
    number=7,
    title="See how much air a little solvent spoils",
    setup=(
        "{liquid} of isopropyl alcohol (isopropanol, IPA) dries off a board in a closed room that holds {room} of air. The "
        "liquid has a density of {density}; one mole weighs 60.10 g. One mole of any vapour fills {mole} in this room "
        "(24.06 L at 20 °C, 24.46 L at 25 °C). Limits in air, averaged over the shift and short-term: USA 400 and 500 ppm "
        "(NIOSH Pocket Guide, recommended); Germany 200 and 400 ppm (TRGS 900, as data sheets quote it). From NIOSH: "
        "the vapour can burn from 2.0 % by volume in air (and up to 12.7 %); flash point 11.7 °C. (ppm: parts by volume in "
        "a million parts of air.)"
    ),
    givens=dict(
        liquid=Quantity(5, "mL", low=2, high=25, step=1),
        room=Quantity(30, "m³", low=12, high=60, step=2),
        mole=Pick(24.46, (24.06, 24.46), "L"),
        density=Fixed(0.79, "g/cm³"),
        board_c=Quantity(70, "°C", low=50, high=90, step=5),
    ),
    parts=(
        Number(
            "vapour",
            "How many litres of pure vapour does the liquid become?",
            points=2,
            unit="L",
            expected=lambda g, a: air.vapour_volume(g.liquid, g.density, MOLAR_MASS, _air_c(g)),
            within=relative(0.01),
            because="the numbers are given to two or more figures and rounding costs less",
            plausible=(0.2, 20),
            working="""
grams = liquid * density
moles = grams / 60.10
vapour = moles * mole
""",
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
            "Some tables give limits as mass (Germany: 500 mg/m³). How many milligrams of it are in a cubic metre of that room's air?",
            points=1,
            unit="mg/m³",
            expected=lambda g, a: air.ppm_to_mg_per_m3(a.room_ppm * 1e6, MOLAR_MASS, _air_c(g)) * 1e-6,
            within=relative(0.01),
            because="it carries the rounding of the ppm",
            plausible=(10, 5000),
            working="as_mass = room_ppm * 60.10 / mole",
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
            "If the vapour stays together over the bench instead, it mixes with air until the mixture can just burn. How many "
            "litres of mixture is that, air and vapour counted together?",
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
                Slip(
                    "air alone",
                    lambda g, a: a.vapour / 0.02 - a.vapour,
                    "That is the air alone. Air and vapour are to be counted together.",
                ),
            ),
        ),
        Choice(
            "room_says",
            "If the air of part 2 stayed so for a whole shift: which of the two shift limits, 200 ppm and 400 ppm, would it keep?",
            points=1,
            options={
                "both": "both of them",
                "only 400": "the US limit only",
                "neither": "neither of them",
            },
            expected=lambda g, a: "both" if a.room_ppm <= 200e-6 else "only 400" if a.room_ppm <= 400e-6 else "neither",
            hint="Keep to the limit of your own country, and to the lower one if you are free to.",
        ),
        Choice(
            "wipe_hot",
            "A board stands at {board_c} beside the hot air tool. May it be wiped with this liquid now?",
            points=1,
            options={
                "in a large room": "yes, while the ppm of the whole room stay below the limit",
                "cold only": "no: only when cold, under extraction and away from hot tools",
                "briefly": "yes, with a few drops on a cloth: they are gone in a moment",
            },
            expected=lambda g, a: "cold only",
            slips={
                "in a large room": "The ppm of the room are an average. Over the board the vapour is thick enough to burn.",
                "briefly": "Compare the board with the flash point. A little liquid makes litres of air that burn.",
            },
        ),
    ),
    cases=(
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
            givens={"mole": 24.06},
            earlier={"room_ppm": 400},
        ),
        Case(
            "as_mass",
            1250,
            1.5,
            "EH40 as a data sheet quotes it: 500 ppm",
            "published-second-hand",
            givens={"mole": 24.06},
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
    sound=lambda drawn: all(
        abs(drawn["liquid"] * drawn["density"] / 60.10 * drawn["mole"] / drawn["room"] * 1e3 / limit - 1) > 0.03
        for limit in (200, 400)
    ),
    floor=0.30,
)


def _area(g):
    return pi * g.opening**2 / 4


def _hood_in_range(drawn: dict) -> bool:
    """Whether the joint lies inside the range of the form, and hood and draught clearly differ."""
    area, far = pi * (drawn["opening"] / 1e3) ** 2 / 4, drawn["far"] / 1e3
    velocity = drawn["fan"] / 3600 / (10 * far**2 + area)
    reach_squared = (drawn["fan"] / 3600 / drawn["wanted"] - area) / 10
    return (
        far <= 1.5 * drawn["opening"] / 1e3
        and abs(velocity / drawn["door"] - 1) > 0.08
        and 0.03**2 < reach_squared <= (1.5 * drawn["opening"] / 1e3) ** 2
    )


HOOD = Exercise(
    id="hood-distance",
    number=8,
    title="Bring the hood closer",
    setup=(
        "An extraction arm has a round opening {opening} across. On the axis of a plain opening, in still air, the air "
        "moves towards it with v = Q / (10 x² + A): Q the flow, x the distance from the opening, A the area of the opening "
        "(Dalla Valle's form, in metres and seconds, good to about a fifth, and only out to about one and a half diameters). To catch fume that rises slowly, {wanted} is wanted at the joint "
        "(ACGIH 2009, as a document quotes it: 0.5 to 1.0 m/s)."
    ),
    givens=dict(
        opening=Quantity(100, "mm", low=80, high=150, step=5),
        wanted=Quantity(0.5, "m/s", low=0.5, high=0.8, step=0.05),
        far=Quantity(140, "mm", low=100, high=150, step=5),
        fan=Quantity(220, "m³/h", low=120, high=360, step=20),
        door=Quantity(0.1, "m/s", low=0.1, high=0.5, step=0.05),
    ),
    drawing_of_answer=lambda g: station.hood(g.opening, g.fan, (g.far / 2, g.far)),
    parts=(
        Number(
            "velocity",
            "The fan of this arm gives {fan}. Which velocity does it draw at {far} from the opening?",
            points=1,
            unit="m/s",
            expected=lambda g, a: air.capture_velocity(g.fan, g.far, _area(g)),
            within=relative(0.01),
            because="the form itself is cruder; this holds the sum",
            plausible=(0.05, 3),
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
                Slip(
                    "diameter for radius",
                    lambda g, a: g.fan / (10 * g.far**2 + 4 * _area(g)),
                    "You took the diameter as the radius: the area is four times too large.",
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
            plausible=(50, 1200),
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
                Slip(
                    "diameter for radius",
                    lambda g, a: g.wanted * (10 * g.far**2 + 4 * _area(g)),
                    "You took the diameter as the radius: the area is four times too large.",
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
            plausible=(20, 300),
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
                Slip(
                    "opening left out",
                    lambda g, a: sqrt(g.fan / g.wanted / 10),
                    "You left the area of the opening out. It comes off before you divide by ten.",
                ),
            ),
        ),
        Choice(
            "draught",
            "A draught from the door crosses the joint at {door}. Compare it with the velocity of part 1. What do you do?",
            points=1,
            options={
                "fan at work": "go by the sound: as long as the fan runs, the fume is caught",
                "close in": "the draught is faster: bring the arm closer, stop the draught",
                "test it": "the hood is faster: watch at the joint where a puff of smoke goes",
            },
            expected=lambda g, a: "close in" if a.velocity < g.door else "test it",
            slips={
                "close in": "Compare the draught with the velocity of part 1 once more.",
                "test it": "Compare the draught with the velocity of part 1 once more.",
                "fan at work": "The sound of a fan says nothing about the air at the joint.",
            },
        ),
        Choice(
            "better",
            "Fume slips past the hood, {far} away. Which brings the higher velocity at the joint: twice the flow, or half the "
            "distance?",
            points=1,
            options={
                "twice the flow": "a stronger fan with the arm where it is",
                "half the distance": "the arm closer with the fan as it is",
                "alike": "it comes to the same, twice is twice",
            },
            expected=lambda g, a: "half the distance",
            slips={
                "twice the flow": "Twice the flow gives twice the velocity. Put half the distance into the form.",
                "alike": "The distance is squared in the form.",
            },
        ),
    ),
    cases=(
        Case(
            "velocity",
            0.2,
            0.05,
            "web page of engineering formulas, exhaust outlets: 250 mm duct at 3 m/s, 250 mm away",
            "published-unnamed",
            givens={"opening": 250, "far": 250, "fan": 3.0 * pi * 0.25**2 / 4 * 3600},
            note="printed to one figure, and worked there with the form for small openings",
        ),
        Case(
            "needed_flow",
            413,
            0.5,
            "Q = v (10 x² + A): 75 mm, 150 mm, 0.5 m/s",
            "computed",
            givens={"opening": 75, "far": 150},
        ),
        Case(
            "reach",
            150,
            0.5,
            "Q = v (10 x² + A) by hand: 413 m³/h give 0.5 m/s at 150 mm from a nozzle of 75 mm",
            "computed",
            givens={"opening": 75, "fan": 413},
        ),
    ),
    caution=AIR,
    sound=_hood_in_range,
    floor=0.15,
)

EXERCISES = (FUME_DAY, SOLVENT, HOOD)
