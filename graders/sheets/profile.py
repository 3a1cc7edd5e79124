"""Exercises on heating a board so that every joint melts and nothing is cooked."""

from graders.exercise import Case, Choice, Exercise, Number, Slip, absolute, relative
from graders.givens import Fixed, Quantity, Record
from workbook.bench.profile import log as profile_log
from workbook.bench.profile import thermocouple

HOT = (
    "Hot plates and hot air burn and can start a fire; hot flux fumes. Work with extraction, eye protection and clear "
    "space around the board, and follow your shop's rules. Only a board that is unplugged and discharged is heated."
)

LOG_TIMES = (
    0,
    20,
    40,
    60,
    80,
    105,
    125,
    145,
    165,
    180,
    190,
    200,
    210,
    220,
    230,
    240,
    250,
    260,
    270,
    280,
    300,
    320,
    340,
)
LOG_READINGS = (
    25,
    48,
    72,
    96,
    120,
    150,
    165,
    178,
    190,
    200,
    205,
    213,
    222,
    232,
    241,
    244,
    238,
    228,
    219,
    210,
    188,
    165,
    145,
)
"""An invented thermocouple log of a lead-free board, taken at the top centre of the package."""


def _own_times(stream, drawn):
    """Stretch the invented log's times by up to an eighth and round to whole seconds."""
    stretch = stream.grid(0.9, 1.12, 0.02)
    return [round(time * stretch) for time in LOG_TIMES]


def _own_readings(stream, drawn):
    """Move the invented log's readings by up to 4 K, in proportion to how hot they are."""
    lift = stream.grid(-4, 4, 1)
    return [round(reading + lift * (reading - 25) / 219) for reading in LOG_READINGS]


def _log_givens():
    return dict(
        time=Record(LOG_TIMES, "s", _own_times),
        temperature_c=Record(LOG_READINGS, "°C", _own_readings),
    )


GAP = 60.0
"""Longest step between two readings that is still read as a straight line here [s]: the table is the whole log."""

READ_THE_LOG = Exercise(
    id="read-the-log",
    title="Read a thermocouple log",
    setup=(
        "A thermocouple at the top centre of a lead-free package (invented data) gave the log below. Between two "
        "readings the temperature runs in a straight line. The rules you hold it against are those of IPC/JEDEC "
        "J-STD-020D for lead-free packages: TL is 217 °C, the soak runs from 150 to 200 °C."
    ),
    givens=_log_givens(),
    table=("time", "temperature_c"),
    parts=(
        Number(
            "time_above",
            "How long is the package above 217 °C?",
            points=2,
            unit="s",
            expected=lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217),
            within=absolute(1),
            because="both crossings fall between two readings",
            plausible=(20, 300),
            working="""
steps = list(zip(time, temperature_c, time[1:], temperature_c[1:]))
up = [t0 + (217 - T0) * (t1 - t0) / (T1 - T0) for t0, T0, t1, T1 in steps if T0 < 217 <= T1][0]
down = [t0 + (T0 - 217) * (t1 - t0) / (T0 - T1) for t0, T0, t1, T1 in steps if T0 >= 217 > T1][-1]
time_above = down - up
""",
            hint="Find the two moments at which the straight lines cross 217 °C, and subtract.",
            slips=(
                Slip(
                    "220 for 217",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 220),
                    "You crossed at 220 °C, where SAC305 is fully liquid. The standard's TL, which the question names, "
                    "is 217 °C.",
                ),
                Slip(
                    "183 for 217",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 183),
                    "You crossed at 183 °C, where tin-lead melts. This board is lead-free.",
                ),
                Slip(
                    "first and last reading inside",
                    lambda g, a: _span_of_readings(g, 217, outside=False),
                    "You took the first and the last reading above 217 °C. The crossings lie between readings: "
                    "find them on the straight lines.",
                ),
                Slip(
                    "first and last reading outside",
                    lambda g, a: _span_of_readings(g, 217, outside=True),
                    "You took the readings just below 217 °C on either side. The crossings lie between readings: "
                    "find them on the straight lines.",
                ),
            ),
        ),
        Number(
            "soak",
            "How long is the soak, from first reaching 150 °C to first reaching 200 °C?",
            points=1,
            unit="s",
            expected=lambda g, a: profile_log.soak_time(g.time, g.temperature_c),
            within=absolute(1),
            because="a crossing between two readings is good to about a second",
            plausible=(20, 300),
            working="""
def reached(level):
    return [t0 + (level - T0) * (t1 - t0) / (T1 - T0) for t0, T0, t1, T1 in steps if T0 < level <= T1][0]

soak = reached(200) - reached(150)
""",
            slips=(
                Slip(
                    "soak to TL",
                    lambda g, a: profile_log.soak_time(g.time, g.temperature_c, 150, 217),
                    "You went on to 217 °C. The soak ends when 200 °C is reached.",
                ),
                Slip(
                    "soak of tin-lead",
                    lambda g, a: profile_log.soak_time(g.time, g.temperature_c, 100, 150),
                    "That is the soak of a tin-lead profile, 100 to 150 °C. This board is lead-free.",
                ),
            ),
        ),
        Number(
            "ramp",
            "What is the mean ramp from TL (217 °C, on the way up) to the peak?",
            points=2,
            unit="K/s",
            expected=lambda g, a: _ramp_to_peak(g, 217),
            within=absolute(0.02),
            because="one reading more or less at the peak moves it by about this much",
            plausible=(0.1, 5),
            working="""
peak = max(temperature_c)
at_peak = time[temperature_c.index(peak)]
ramp = (peak - 217) / (at_peak - reached(217))
""",
            slips=(
                Slip(
                    "mean from the start",
                    lambda g, a: (max(g.temperature_c) - g.temperature_c[0]) / (_peak_time(g) - g.time[0]),
                    "That is the mean over the whole heating, from cold to peak. The question asks for the last stretch, "
                    "from 217 °C to the peak.",
                ),
                Slip(
                    "from Tsmax",
                    lambda g, a: _ramp_to_peak(g, 200),
                    "You started at 200 °C. That is the rule of the older edition, J-STD-020C; 020D starts at TL.",
                ),
            ),
        ),
        Number(
            "cooling",
            "What is the mean cooling rate from the peak down to 217 °C, as a positive number?",
            points=1,
            unit="K/s",
            expected=lambda g, a: profile_log.cooling_rate(g.time, g.temperature_c, max(g.temperature_c), 217),
            within=absolute(0.02),
            because="one reading more or less at the peak moves it by about this much",
            plausible=(0.1, 8),
            working="""
down = [t0 + (T0 - 217) * (t1 - t0) / (T0 - T1) for t0, T0, t1, T1 in steps if T0 >= 217 > T1][-1]
cooling = (peak - 217) / (down - at_peak)
""",
            slips=(
                Slip(
                    "to the end of the log",
                    lambda g, a: (max(g.temperature_c) - g.temperature_c[-1]) / (g.time[-1] - _peak_time(g)),
                    "You went to the end of the log. The question stops at 217 °C.",
                ),
                Slip(
                    "negative",
                    lambda g, a: -profile_log.cooling_rate(g.time, g.temperature_c, max(g.temperature_c), 217),
                    "The size is right. The question asks for a positive number.",
                    worth=0.5,
                ),
            ),
        ),
        Choice(
            "verdict",
            "Three limits of J-STD-020D for lead-free packages: soak from 60 to 120 s, ramp from TL to peak at most 3 K/s, "
            "time above 217 °C from 60 to 150 s. Which one, if any, does your log break?",
            points=1,
            options={
                "none": "all three are held",
                "soak": "the soak is too short or too long",
                "ramp": "the ramp is too steep",
                "time": "the time above 217 °C is too short or too long",
            },
            expected=lambda g, a: _broken_limit(a),
            slips={
                "ramp": "3 K/s is the steepest that is allowed. A slower ramp is inside the limit.",
            },
        ),
    ),
    published=(),
    caution=HOT,
    floor=0.2,
)


def _peak_time(g):
    return g.time[g.temperature_c.index(max(g.temperature_c))]


def _ramp_to_peak(g, from_c):
    return profile_log.ramp_between(g.time, g.temperature_c, from_c, max(g.temperature_c))


def _span_of_readings(g, level, outside):
    inside = [index for index, reading in enumerate(g.temperature_c) if reading > level]
    first, last = (inside[0] - 1, inside[-1] + 1) if outside else (inside[0], inside[-1])
    return g.time[last] - g.time[first]


def _broken_limit(a):
    if not 60 <= a.soak <= 120:
        return "soak"
    if a.ramp > 3:
        return "ramp"
    return "none" if 60 <= a.time_above <= 150 else "time"


COLD_JUNCTION = Exercise(
    id="cold-junction",
    title="Add the cold junction",
    setup=(
        "A type K thermocouple sits on a joint. A voltmeter at its terminals shows {reading}. The terminals are at "
        "{terminals_c}. From the type K table (NIST SRD 60, reference junction at 0 °C): 20 °C gives 0.798 mV, 25 °C "
        "1.000 mV, 30 °C 1.203 mV; 183 °C 7.460 mV, 200 °C 8.138 mV, 217 °C 8.819 mV, 230 °C 9.343 mV, 245 °C 9.950 mV, "
        "260 °C 10.561 mV. Between neighbours of the table, read in a straight line."
    ),
    givens=dict(
        reading=Quantity(8.0, "mV", 7.4, 9.3, 0.05),
        terminals_c=Quantity(25, "°C", 20, 30, 5),
    ),
    parts=(
        Number(
            "total",
            "Which voltage would the same joint give with its terminals at 0 °C?",
            points=1,
            unit="mV",
            expected=lambda g, a: g.reading + thermocouple.emf(g.terminals_c),
            within=absolute(0.005),
            because="the table is printed to 0.001 mV",
            plausible=(1, 20),
            working="""
terminals = {20: 0.798, 25: 1.000, 30: 1.203}
total = reading + terminals[terminals_c]
""",
            slips=(
                Slip(
                    "subtracted",
                    lambda g, a: g.reading - thermocouple.emf(g.terminals_c),
                    "You subtracted. The meter only sees the difference between joint and terminals; what the "
                    "terminals would give is missing from it.",
                ),
                Slip(
                    "not compensated",
                    lambda g, a: g.reading,
                    "That is the meter's reading as it stands. The terminals are warm: their part is missing.",
                ),
            ),
        ),
        Number(
            "joint_c",
            "How hot is the joint?",
            points=2,
            unit="°C",
            expected=lambda g, a: thermocouple.temperature_c(a.total),
            within=absolute(0.5),
            because="the table read in straight lines is good to about 0.1 °C, the voltage to 0.02 °C",
            plausible=(100, 350),
            working="""
table = [(183, 7.460), (200, 8.138), (217, 8.819), (230, 9.343), (245, 9.950), (260, 10.561)]
t0, v0, t1, v1 = [(t0, v0, t1, v1) for (t0, v0), (t1, v1) in zip(table, table[1:]) if v0 <= total][-1]
joint_c = t0 + (total - v0) * (t1 - t0) / (v1 - v0)
""",
            hint="Look the total voltage up in the table, and read between its two neighbours.",
            slips=(
                Slip(
                    "not compensated",
                    lambda g, a: thermocouple.temperature_c(g.reading),
                    "You looked up the reading as it stands. First add what the warm terminals take away.",
                ),
                Slip(
                    "subtracted",
                    lambda g, a: thermocouple.temperature_c(g.reading - thermocouple.emf(g.terminals_c)),
                    "The sign of the compensation is turned round: the terminals' voltage is added.",
                ),
            ),
        ),
        Choice(
            "molten",
            "SAC305 is fully liquid from 220 °C. If the bead sits on the joint, has the joint fully melted?",
            points=1,
            options={"yes": "the joint is at 220 °C or more", "no": "the joint is below 220 °C"},
            expected=lambda g, a: "yes" if a.joint_c >= 220 else "no",
        ),
    ),
    published=(
        Case("joint_c", 221.5, 0.05, "type K function of NIST SRD 60, 8.000 mV at terminals of 25 °C", "computed"),
        Case(
            "total",
            12.209 - 0.798,
            0.001,
            "NIST SRD 60 type K table: 300 °C 12.209 mV, 20 °C 0.798 mV",
            "published",
            givens={"reading": 12.209 - 2 * 0.798, "terminals_c": 20},
            note="the joint at the voltage of 300 °C less that of 20 °C",
        ),
    ),
    sound=lambda drawn: abs(drawn["reading"] + drawn["terminals_c"] * 0.04 - 8.94) > 0.1,
    floor=0.3,
)

CALIBRATION = Exercise(
    id="two-fixed-points",
    title="Put a thermocouple right with two fixed points",
    setup=(
        "A bead in ice water (0 °C) reads {ice_reading}. Pressed into freezing Sn63Pb37 solder, whose plateau is at "
        "183 °C, it reads {plateau_reading}. On a joint it reads {joint_reading}. Take the error to be a straight line."
    ),
    givens=dict(
        ice_reading=Quantity(2.0, "°C", 1, 3, 0.5),
        plateau_reading=Quantity(189.0, "°C", 187, 191, 0.5),
        joint_reading=Quantity(225.0, "°C", 215, 240, 1),
    ),
    parts=(
        Number(
            "gain",
            "By how many degrees does the reading change for each true degree?",
            points=1,
            unit="1",
            expected=lambda g, a: 1 / thermocouple.calibrate(g.ice_reading, 0, g.plateau_reading, 183).gain,
            within=absolute(0.0015),
            because="the readings are given to half a degree over 183 degrees",
            plausible=(0.8, 1.2),
            working="gain = (plateau_reading - ice_reading) / (183 - 0)",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: thermocouple.calibrate(g.ice_reading, 0, g.plateau_reading, 183).gain,
                    "That is the true change for each degree read: the ratio is upside down.",
                ),
                Slip(
                    "offset forgotten",
                    lambda g, a: g.plateau_reading / 183,
                    "The ice reading is not zero: it has to come off first.",
                ),
            ),
        ),
        Number(
            "joint_true_c",
            "How hot is the joint?",
            points=2,
            unit="°C",
            expected=lambda g, a: (g.joint_reading - g.ice_reading) / a.gain,
            within=absolute(0.4),
            because="each fixed point is read to half a degree",
            plausible=(150, 300),
            working="joint_true_c = (joint_reading - ice_reading) / gain",
            slips=(
                Slip(
                    "offset forgotten",
                    lambda g, a: g.joint_reading / a.gain,
                    "You divided by the gain and left the ice reading in. Take it off first.",
                ),
                Slip(
                    "offset only",
                    lambda g, a: g.joint_reading - g.ice_reading,
                    "You took off the ice reading only. The reading also grows too fast: divide by the gain.",
                ),
                Slip(
                    "error at the plateau",
                    lambda g, a: g.joint_reading - (g.plateau_reading - 183),
                    "You took off the error at 183 °C. The error grows with temperature, so at the joint it is larger.",
                ),
                Slip(
                    "offset added",
                    lambda g, a: (g.joint_reading + g.ice_reading) / a.gain,
                    "The ice reading has the wrong sign: the bead reads too high, so it comes off.",
                ),
            ),
        ),
    ),
    published=(
        Case(
            "joint_true_c",
            218.2,
            0.05,
            "straight line through two fixed points, worked by hand: 223.0 / 1.02186",
            "computed",
        ),
    ),
    caution=HOT,
    floor=0.0,
    sound=lambda drawn: drawn["plateau_reading"] - drawn["ice_reading"] > 185.5,
)

BEAD_LAG = Exercise(
    id="bead-lag",
    title="See how far a bead lags behind",
    setup=(
        "A thermocouple bead is a ball of {diameter} with density {density} and specific heat {specific_heat}. Hot air "
        "reaches it with a film coefficient of {film}. The air warms at {ramp}."
    ),
    givens=dict(
        diameter=Quantity(0.5, "mm", 0.3, 1.0, 0.1),
        density=Fixed(8500, "kg/m³"),
        specific_heat=Fixed(400, "J/kgK"),
        film=Quantity(150, "W/m²K", 100, 250, 10),
        ramp=Quantity(2, "K/s", 1, 3, 0.25),
    ),
    parts=(
        Number(
            "time_constant",
            "What is the time constant of the bead? (Heat stored per kelvin, divided by heat taken up per second and kelvin.)",
            points=2,
            unit="s",
            expected=lambda g, a: thermocouple.bead_time_constant(g.diameter, g.density, g.specific_heat, g.film),
            within=relative(0.03),
            because="the film coefficient is known to two figures",
            plausible=(0.05, 60),
            working="""
radius = diameter / 1000 / 2
heat_per_kelvin = density * 4 / 3 * pi * radius**3 * specific_heat
taken_up = film * 4 * pi * radius**2
time_constant = heat_per_kelvin / taken_up
""",
            hint="A ball has volume π d³/6 and surface π d².",
            slips=(
                Slip(
                    "d/2 for volume over area",
                    lambda g, a: g.density * g.specific_heat * g.diameter / (2 * g.film),
                    "Volume over surface of a ball is d/6, not d/2. (π d³/6 over π d².)",
                ),
                Slip(
                    "radius for diameter",
                    lambda g, a: g.density * g.specific_heat * g.diameter / (3 * g.film),
                    "Twice too long: volume over surface of a ball is d/6. You may have used d where the radius belongs.",
                ),
            ),
        ),
        Number(
            "lag",
            "Once the start has died away, by how much does the bead read too cold?",
            points=1,
            unit="K",
            expected=lambda g, a: thermocouple.bead_lag(a.time_constant, g.ramp),
            within=relative(0.03),
            because="it carries the doubt of the time constant",
            plausible=(0.02, 100),
            working="lag = ramp * time_constant",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: a.time_constant / g.ramp,
                    "You divided the time constant by the ramp. In one time constant the air gains ramp × time constant.",
                ),
                Slip(
                    "after one time constant",
                    lambda g, a: thermocouple.bead_lag(a.time_constant, g.ramp, a.time_constant),
                    "That is the lag after one time constant. The question asks for the lag once it has settled.",
                ),
            ),
        ),
        Choice(
            "reads",
            "During cooling, does the same bead read too hot or too cold?",
            points=1,
            options={"too hot": "above the air's temperature", "too cold": "below the air's temperature"},
            expected=lambda g, a: "too hot",
            slips={
                "too cold": "When the air cools, the bead is late again. Late means: still at an earlier temperature."
            },
        ),
    ),
    published=(
        Case(
            "time_constant",
            1.0,
            0.005,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: bead of 0.706 mm with 1 s",
            "published",
            givens={"diameter": 0.706, "film": 400},
            note="the example gives the time constant and asks for the diameter; it also takes these ρ, c and h",
        ),
    ),
    floor=0.3,
)

SETPOINT = Exercise(
    id="set-point-and-joint",
    title="Do not take the set point for the joint",
    setup=(
        "On a board at steady state, with {ambient_c} in the room, a bottom heater set to {set_point_c} brought a joint "
        "to {joint_c}. Take the joint's rise above the room to be in proportion to the set point's rise above the room."
    ),
    givens=dict(
        ambient_c=Quantity(25, "°C", 18, 30, 1),
        set_point_c=Quantity(280, "°C", 250, 310, 5),
        joint_c=Quantity(200, "°C", 185, 205, 5),
        wanted_c=Quantity(235, "°C", 230, 240, 1),
    ),
    parts=(
        Number(
            "share",
            "Which share of the set point's rise reaches the joint?",
            points=1,
            unit="1",
            expected=lambda g, a: (g.joint_c - g.ambient_c) / (g.set_point_c - g.ambient_c),
            within=absolute(0.005),
            because="the temperatures are given to a degree",
            plausible=(0.2, 1),
            working="share = (joint_c - ambient_c) / (set_point_c - ambient_c)",
            slips=(
                Slip(
                    "room left in",
                    lambda g, a: g.joint_c / g.set_point_c,
                    "You divided the temperatures. What counts is the rise of each above the room.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: (g.set_point_c - g.ambient_c) / (g.joint_c - g.ambient_c),
                    "The ratio is upside down: the joint gets less than the set point.",
                ),
            ),
        ),
        Number(
            "new_set_point_c",
            "Which set point brings the joint to {wanted_c}?",
            points=2,
            unit="°C",
            expected=lambda g, a: g.ambient_c + (g.wanted_c - g.ambient_c) / a.share,
            within=absolute(1.2),
            because="set points go in whole degrees",
            plausible=(150, 600),
            working="new_set_point_c = ambient_c + (wanted_c - ambient_c) / share",
            slips=(
                Slip(
                    "set point is joint",
                    lambda g, a: g.wanted_c,
                    "That is the temperature wanted at the joint. The joint stays well below the set point.",
                ),
                Slip(
                    "same offset",
                    lambda g, a: g.set_point_c + g.wanted_c - g.joint_c,
                    "You raised the set point by what the joint lacks. Only a share of each degree arrives.",
                ),
                Slip(
                    "room left in",
                    lambda g, a: g.wanted_c * g.set_point_c / g.joint_c,
                    "You scaled the temperatures themselves. Scale the rise above the room, then add the room.",
                ),
            ),
        ),
        Choice(
            "plan",
            "What do you do with the number you found?",
            points=1,
            options={
                "set and trust": "set it and take the time from the clock",
                "set and watch": "set it, and steer by thermocouples at the joints and on the package",
                "halve it": "set half of it, to be safe",
            },
            expected=lambda g, a: "set and watch",
            slips={
                "set and trust": "The share was measured on one board at one moment. Another board, or a draught, "
                "changes it: steer by what the joints show."
            },
        ),
    ),
    caution=HOT,
    published=(
        Case("new_set_point_c", 331, 0.5, "proportional rise, worked by hand: 25 + 210 × 255 / 175", "computed"),
    ),
    sound=lambda drawn: abs(drawn["wanted_c"] - drawn["joint_c"]) >= 28,
    floor=0.3,
)

EXERCISES = (READ_THE_LOG, COLD_JUNCTION, CALIBRATION, BEAD_LAG, SETPOINT)
