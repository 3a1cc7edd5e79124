"""Read a log of a heated board: times, ramps, what two editions say of it, and what it says of another joint."""

from graders.questions import Case, Choice, Exercise, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.profile.cautions import HOT
from workbook.bench.profile import limits
from workbook.bench.profile import log as profile_log

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


def _own_readings_near_class(stream, drawn):
    """Move the log so that its peak lies from 3 K below the classification temperature to 2 K above."""
    lift = drawn["class_c"] - max(LOG_READINGS) + stream.grid(-3, 2, 1)
    return [round(reading + lift * (reading - 25) / 219) for reading in LOG_READINGS]


def _log_givens():
    return dict(
        time=Record(LOG_TIMES, "s", _own_times),
        temperature_c=Record(LOG_READINGS, "°C", _own_readings),
    )


READ_THE_LOG = Exercise(
    id="read-the-log",
    number=1,
    title="Read a thermocouple log",
    setup=(
        "A thermocouple at the top centre of a lead-free package (invented data) gave the log below. Between two "
        "readings the temperature runs in a straight line, and the highest reading counts as the peak. The rules you hold "
        "it against are those of IPC/JEDEC J-STD-020D for lead-free packages: TL is 217 °C, the soak runs from 150 to "
        "200 °C."
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
            within=absolute(0.01),
            because="the crossing lies between two readings, and the sums are no worse than this",
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
    published=(
        Case("time_above", 67.8, 0.05, "the worked log, straight lines by hand: from 204.44 s to 272.22 s", "computed"),
        Case("soak", 75, 0.5, "the worked log, straight lines by hand: from 105 s to 180 s", "computed"),
        Case("ramp", 0.759, 0.0005, "the worked log, straight lines by hand: 27 K in 35.56 s", "computed"),
        Case("cooling", 0.84, 0.005, "the worked log, straight lines by hand: 27 K in 32.22 s", "computed"),
    ),
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


SHORTEST_STEP_BESIDE_THE_PEAK = 60.0
"""No step of the invented log is longer than this [s], so its highest reading counts as its peak."""

NEAR_THE_PEAK = Exercise(
    id="near-the-peak",
    number=6,
    title="Judge the time near the peak by two editions",
    setup=(
        "A thermocouple log (invented data), taken at the top centre of a lead-free package whose "
        "classification temperature Tc is {class_c}. Between two readings the temperature runs in a straight line. The "
        "highest reading counts as the peak. Two editions of IPC/JEDEC J-STD-020 limit the time near the peak, and not "
        "in the same words:\n\n"
        "- **020C** (2004): the time within 5 K of the *actual peak* is from 20 to 40 s.\n"
        "- **020D** (2007): a *user* (who solders the package) keeps the peak at Tc or below, and the time at or above "
        "Tc − 5 K at 30 s or less. A *supplier* (who proves what the package stands) shows at least Tc and at least "
        "30 s.\n\n"
        "In both, the time from 25 °C to the peak is at most 8 minutes."
    ),
    givens=dict(
        class_c=Pick(245, (245, 250), "°C"),
        time=Record(LOG_TIMES, "s", _own_times),
        temperature_c=Record(LOG_READINGS, "°C", _own_readings_near_class),
    ),
    table=("time", "temperature_c"),
    parts=(
        Number(
            "near_peak",
            "By 020C: how long is the package within 5 K of the actual peak?",
            points=2,
            unit="s",
            expected=lambda g, a: profile_log.time_within_of_peak(
                g.time, g.temperature_c, 5, SHORTEST_STEP_BESIDE_THE_PEAK
            ),
            within=absolute(0.5),
            because="the crossings lie between readings, which are given to a degree",
            plausible=(1, 200),
            working="""
steps = list(zip(time, temperature_c, time[1:], temperature_c[1:]))

def span_above(level):
    up = [t0 + (level - T0) * (t1 - t0) / (T1 - T0) for t0, T0, t1, T1 in steps if T0 < level <= T1][0]
    down = [t0 + (T0 - level) * (t1 - t0) / (T0 - T1) for t0, T0, t1, T1 in steps if T0 >= level > T1][-1]
    return down - up

near_peak = span_above(max(temperature_c) - 5)
""",
            hint="Take 5 K off the highest reading, and find the two crossings of that level.",
            slips=(
                Slip(
                    "band from Tc",
                    lambda g, a: profile_log.time_within(g.time, g.temperature_c, g.class_c),
                    "You counted the 5 K down from Tc. That is the rule of 020D; 020C counts them from the actual peak.",
                ),
                Slip(
                    "readings counted",
                    lambda g, a: _span_of_readings(g, max(g.temperature_c) - 5, outside=False),
                    "You took the first and the last reading inside the band. The crossings lie between readings: "
                    "find them on the straight lines.",
                ),
                Slip(
                    "above TL",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217),
                    "That is the time above 217 °C. The question asks for the last 5 K below the peak.",
                ),
            ),
        ),
        Number(
            "near_class",
            "By 020D: how long is the package at or above Tc − 5 K?",
            points=1,
            unit="s",
            expected=lambda g, a: profile_log.time_within(g.time, g.temperature_c, g.class_c),
            within=absolute(0.5),
            because="the crossings lie between readings, which are given to a degree",
            plausible=(0, 200),
            working="near_class = span_above(class_c - 5)",
            slips=(
                Slip(
                    "band from the peak",
                    lambda g, a: profile_log.time_within_of_peak(
                        g.time, g.temperature_c, 5, SHORTEST_STEP_BESIDE_THE_PEAK
                    ),
                    "You counted the 5 K down from the peak of this log. That is the rule of 020C; 020D counts them from Tc.",
                ),
                Slip(
                    "above TL",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217),
                    "That is the time above 217 °C. Here the level is Tc − 5 K.",
                ),
            ),
        ),
        Number(
            "to_peak",
            "How long does it take from 25 °C to the peak?",
            points=1,
            unit="min",
            expected=lambda g, a: profile_log.time_to_peak(g.time, g.temperature_c, 25, SHORTEST_STEP_BESIDE_THE_PEAK),
            within=absolute(0.1),
            because="the true peak may lie a few seconds beside the highest reading",
            plausible=(1, 15),
            working="to_peak = (time[temperature_c.index(max(temperature_c))] - time[temperature_c.index(25)]) / 60",
            slips=(
                Slip(
                    "to the end of the log",
                    lambda g, a: g.time[-1] - g.time[0],
                    "You went to the end of the log. The clock stops at the peak.",
                ),
                Slip(
                    "to TL",
                    lambda g, a: _crossing_up(g, 217) - g.time[0],
                    "You stopped at 217 °C. The clock runs on to the peak.",
                ),
            ),
        ),
        Choice(
            "user",
            "You are the user, and work by 020D. What does this log say?",
            points=1,
            options={
                "too short": "it stayed at or above Tc less 5 K for less than 30 s",
                "too hot": "the package went above Tc",
                "too long": "it stayed at or above Tc less 5 K for more than 30 s",
                "inside": "both limits of a user are held",
            },
            expected=lambda g, a: _user_of_020d(g, a),
            slips={
                "too short": "30 s is the most a user may take. Less is inside; only a supplier must show that long."
            },
        ),
        Choice(
            "supplier",
            "You are the supplier, and want to prove by 020D that this package stands Tc. Is this log a proof?",
            points=1,
            options={
                "yes": "the peak reached Tc, and it stayed at or above Tc − 5 K for at least 30 s",
                "no": "it was not hot enough, or not for long enough",
            },
            expected=lambda g, a: "yes" if max(g.temperature_c) >= g.class_c and a.near_class >= 30 else "no",
            slips={
                "yes": "Check both: did the peak reach Tc, and was the package at or above Tc − 5 K for 30 s or more?"
            },
        ),
    ),
    published=(
        Case("near_peak", 20.6, 0.05, "the worked log, straight lines by hand: above 239 °C", "computed"),
        Case("near_class", 17.8, 0.05, "the worked log, straight lines by hand: above 240 °C", "computed"),
        Case("to_peak", 4.0, 0.05, "the worked log, read off: 240 s", "computed"),
    ),
    caution=HOT,
    floor=0.2,
)


def _user_of_020d(g, a):
    if max(g.temperature_c) > g.class_c:
        return "too hot"
    return "too long" if a.near_class > 30 else "inside"


def _crossing_up(g, level):
    return profile_log.crossings(g.time, g.temperature_c, level).up[0]


CORNER_AND_CENTRE = Exercise(
    id="corner-and-centre",
    number=8,
    title="Ask the corner, not the centre",
    setup=(
        "A thermocouple at the centre joint of an area-array package gave the log below (invented data). On this board "
        "the corner joint is {behind} colder than the centre joint all along, on the way up and on the way down. Between "
        "two readings the temperature runs in a straight line. Near 217 °C the joints warm at about {warming}. SAC305 "
        "begins to melt at 217 °C and is fully liquid from 220 °C."
    ),
    givens=dict(
        behind=Quantity(9, "K", low=6, high=20, step=1),
        warming=Quantity(0.76, "K/s", low=0.6, high=1.2, step=0.02),
        **_log_givens(),
    ),
    table=("time", "temperature_c"),
    parts=(
        Number(
            "delay",
            "At the rate given: how much later than the centre does the corner reach 217 °C?",
            points=1,
            unit="s",
            expected=lambda g, a: g.behind / g.warming,
            within=relative(0.02),
            because="the rate is given to two figures",
            plausible=(1, 100),
            working="delay = behind / warming",
            slips=(
                Slip(
                    "multiplied",
                    lambda g, a: g.behind * g.warming,
                    "You multiplied. So many kelvin, at so many kelvin a second: how many seconds?",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.warming / g.behind,
                    "The division is upside down: kelvin divided by kelvin a second gives seconds.",
                ),
            ),
        ),
        Number(
            "corner_peak_c",
            "How hot does the corner joint get?",
            points=1,
            unit="°C",
            expected=lambda g, a: max(g.temperature_c) - g.behind,
            within=absolute(0.6),
            because="the readings are given to a degree",
            plausible=(150, 300),
            working="corner_peak_c = max(temperature_c) - behind",
            slips=(
                Slip(
                    "added",
                    lambda g, a: max(g.temperature_c) + g.behind,
                    "You made the corner hotter than the centre. It is the colder one.",
                ),
                Slip(
                    "centre",
                    lambda g, a: max(g.temperature_c),
                    "That is the centre's peak. The corner stays behind it.",
                ),
            ),
        ),
        Number(
            "corner_time",
            "From the table, not from the rate of part 1: how long is the corner joint above 217 °C?",
            points=2,
            unit="s",
            expected=lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217 + g.behind),
            within=absolute(1),
            because="both crossings fall between two readings",
            plausible=(1, 300),
            working="""
level = 217 + behind   # what the centre shows when the corner is at 217 °C
steps = list(zip(time, temperature_c, time[1:], temperature_c[1:]))
up = [t0 + (level - T0) * (t1 - t0) / (T1 - T0) for t0, T0, t1, T1 in steps if T0 < level <= T1][0]
down = [t0 + (T0 - level) * (t1 - t0) / (T0 - T1) for t0, T0, t1, T1 in steps if T0 >= level > T1][-1]
corner_time = down - up
""",
            hint="Make the corner's own log first: each reading less what the corner stays behind.",
            slips=(
                Slip(
                    "centre's time",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217),
                    "That is the centre's time above 217 °C. The corner crosses later on the way up and sooner on the "
                    "way down.",
                ),
                Slip(
                    "delay taken off once",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217) - a.delay,
                    "You took the delay off the centre's time. The corner also falls below 217 °C sooner than the "
                    "centre: both ends move.",
                ),
                Slip(
                    "corner hotter",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217 - g.behind),
                    "Your corner is above 217 °C for longer than the centre. It is the colder one.",
                ),
            ),
        ),
        Number(
            "area",
            "What is the area between the centre's log and 217 °C, from crossing to crossing, with straight lines between "
            "readings?",
            points=2,
            unit="K·s",
            expected=lambda g, a: profile_log.area_above(g.time, g.temperature_c, 217),
            within=relative(0.02),
            because="the readings are given to a degree",
            plausible=(10, 20000),
            working="""
over = [max(T - 217, 0) for T in temperature_c]
area = 0
for t0, T0, o0, t1, T1, o1 in zip(time, temperature_c, over, time[1:], temperature_c[1:], over[1:]):
    share = (o0 + o1) / abs(T1 - T0) if (T0 < 217) != (T1 < 217) else 1   # share of the step that is above
    area = area + (o0 + o1) / 2 * share * (t1 - t0)
""",
            hint="Cut it into strips, one for each step of the table: mean height times width.",
            slips=(
                Slip(
                    "rectangle",
                    lambda g, a: (max(g.temperature_c) - 217) * profile_log.time_above(g.time, g.temperature_c, 217),
                    "You took the peak's height all the way along. The log is that high for a moment only.",
                ),
                Slip(
                    "triangle",
                    lambda g, a: (
                        (max(g.temperature_c) - 217) * profile_log.time_above(g.time, g.temperature_c, 217) / 2
                    ),
                    "You took a triangle from crossing to peak to crossing. The log bulges above it: add up the strips "
                    "of the table.",
                ),
                Slip(
                    "down to zero",
                    lambda g, a: (
                        profile_log.area_above(g.time, g.temperature_c, 217)
                        + 217 * profile_log.time_above(g.time, g.temperature_c, 217)
                    ),
                    "You went down to 0 °C. Only what is above 217 °C counts.",
                ),
            ),
        ),
        Choice(
            "melted",
            "Has the corner joint been fully liquid?",
            points=1,
            options={"no": "the corner stayed below 220 °C", "yes": "the corner reached 220 °C"},
            expected=lambda g, a: "yes" if a.corner_peak_c >= 220 else "no",
        ),
    ),
    published=(
        Case("delay", 11.8, 0.05, "worked by hand: 9 K at 0.76 K/s", "computed"),
        Case("area", 1031, 1, "the worked log, strips by hand", "computed"),
    ),
    caution=HOT,
    sound=lambda drawn: 218 <= max(drawn["temperature_c"]) - drawn["behind"] != 220,
    floor=0.15,
)

PACKAGE_RATING = Exercise(
    id="package-rating",
    number=7,
    title="Find what the package is rated to",
    setup=(
        "A package body is {length} long, {width} wide and {thickness} thick. Its balls reach {ball_height} below the body. "
        "The classification temperature Tc goes by the thickness and the volume of the body alone, without balls, leads "
        "or heat sink.\n\n"
        "Lead-free, by IPC/JEDEC J-STD-020D, Table 4-2:\n\n"
        "| thickness | below 350 mm³ | 350 to 2000 mm³ | above 2000 mm³ |\n"
        "|---|---:|---:|---:|\n"
        "| below 1.6 mm | 260 °C | 260 °C | 260 °C |\n"
        "| 1.6 to 2.5 mm | 260 °C | 250 °C | 245 °C |\n"
        "| above 2.5 mm | 250 °C | 245 °C | 245 °C |\n\n"
        "Tin-lead, as later tables print it:\n\n"
        "| thickness | below 350 mm³ | 350 mm³ and above |\n"
        "|---|---:|---:|\n"
        "| below 2.5 mm | 235 °C | 220 °C |\n"
        "| 2.5 mm and above | 220 °C | 220 °C |\n\n"
        "An older tin-lead table, of 020C, has 240 °C where this one has 235, and 225 °C where it has 220, both +0/-5 °C. "
        "Use the later one. At your bench every joint is to reach at least 230 °C (common practice for lead-free joints)."
    ),
    givens=dict(
        length=Quantity(22, "mm", low=8, high=35, step=1),
        width=Quantity(18, "mm", low=8, high=35, step=1),
        thickness=Quantity(2.0, "mm", low=1.0, high=3.2, step=0.1),
        ball_height=Quantity(0.5, "mm", low=0.4, high=0.6, step=0.05),
    ),
    parts=(
        Number(
            "body_volume",
            "What is the volume of the body?",
            points=1,
            unit="mm³",
            expected=lambda g, a: g.length * g.width * g.thickness,
            within=relative(0.005),
            because="it is a product of printed numbers",
            plausible=(10, 20000),
            working="body_volume = length * width * thickness",
            slips=(
                Slip(
                    "balls counted",
                    lambda g, a: g.length * g.width * (g.thickness + g.ball_height),
                    "You counted the height of the balls. The volume is the body's alone.",
                ),
                Slip(
                    "area only",
                    lambda g, a: g.length * g.width * 1e-3,
                    "That is the area of the body. The volume has the thickness in it too.",
                ),
            ),
        ),
        Number(
            "lead_free_c",
            "Which Tc does it have in lead-free work?",
            points=2,
            unit="°C",
            expected=lambda g, a: limits.class_temperature_c(g.thickness, a.body_volume, "lead-free", "020D"),
            within=absolute(0.5),
            because="a table is read exactly",
            plausible=(200, 300),
            working="""
row = 0 if thickness < 1.6 else 1 if thickness <= 2.5 else 2
column = 0 if body_volume < 350 else 1 if body_volume <= 2000 else 2
lead_free_c = [[260, 260, 260], [260, 250, 245], [250, 245, 245]][row][column]
""",
            hint="Find the row by the thickness and the column by the volume of the body.",
            slips=(
                Slip(
                    "tin-lead table",
                    lambda g, a: limits.class_temperature_c(g.thickness, a.body_volume, "SnPb", "020D"),
                    "You read the tin-lead table. This question is about lead-free work.",
                ),
            ),
        ),
        Number(
            "tin_lead_c",
            "Which Tc does it have in tin-lead work?",
            points=1,
            unit="°C",
            expected=lambda g, a: limits.class_temperature_c(g.thickness, a.body_volume, "SnPb", "020D"),
            within=absolute(0.5),
            because="a table is read exactly",
            plausible=(200, 300),
            working="tin_lead_c = 235 if thickness < 2.5 and body_volume < 350 else 220",
            slips=(
                Slip(
                    "lead-free table",
                    lambda g, a: a.lead_free_c,
                    "You read the lead-free table. This question is about tin-lead work.",
                ),
                Slip(
                    "older table",
                    lambda g, a: limits.class_temperature_c(g.thickness, a.body_volume, "SnPb", "020C"),
                    "That is the older table's number. The question says which of the two to use.",
                ),
            ),
        ),
        Number(
            "room_to_work",
            "In lead-free work: how many kelvin lie between the least joint peak your bench allows and Tc?",
            points=1,
            unit="K",
            expected=lambda g, a: a.lead_free_c - 230,
            within=absolute(0.5),
            because="both are whole degrees",
            plausible=(1, 60),
            working="room_to_work = lead_free_c - 230",
            slips=(
                Slip(
                    "from TL",
                    lambda g, a: a.lead_free_c - 217,
                    "You started at 217 °C, where the joint begins to melt. The least joint peak of this bench is higher.",
                ),
                Slip(
                    "less the band near the peak",
                    lambda g, a: a.lead_free_c - 5 - 230,
                    "You took off 5 K for the band near the peak. That band limits a time. The peak may use it.",
                ),
            ),
        ),
        Choice(
            "sensor",
            "Where is the temperature measured that is compared with Tc?",
            points=1,
            options={
                "joint": "at the hottest joint",
                "gas": "in the hot gas, just under the nozzle",
                "body": "at the top centre of the package body",
                "board": "at the bottom of the board, under the package",
            },
            expected=lambda g, a: "body",
            slips={
                "joint": "A joint is another place, often a cooler one. Tc is about what the package itself survives.",
                "gas": "The gas is hotter than anything it heats. The package would be called overheated when it is not.",
                "board": "The board's bottom sees the plate. The package may be hotter or colder than that.",
            },
        ),
    ),
    published=(
        Case(
            "lead_free_c",
            250,
            0.5,
            "IPC/JEDEC J-STD-020D, Table 4-2, as reprinted in a component sheet: 1.6 to 2.5 mm, 350 to 2000 mm³",
            "published-second-hand",
        ),
        Case(
            "lead_free_c",
            245,
            0.5,
            "IPC/JEDEC J-STD-020D, Table 4-2, as reprinted in a component sheet: above 2.5 mm, above 2000 mm³",
            "published-second-hand",
            givens={"length": 30, "width": 30, "thickness": 3.0},
        ),
        Case(
            "tin_lead_c",
            220,
            0.5,
            "chipmakers' sheets, body from 350 mm³; that the table belongs to 020D is from memory",
            "from-memory",
        ),
    ),
    caution=HOT,
    floor=0.2,
)
