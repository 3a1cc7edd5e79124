"""Read a log of a heated board: times, ramps, what two editions say of it, and what it says of another joint."""

from graders.questions import Case, Choice, Exercise, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.profile.cautions import READING
from workbook.bench.profile import limits
from workbook.bench.profile import log as profile_log
from workbook.drawings import curve, station

EVERY = 10
"""Seconds between two printed readings of the worked logs; a learner's own logger reads every 8 to 12 s."""

SOAKED = (
    (25, 40, 58, 77, 96, 115, 133, 146, 155, 163, 171, 180, 189, 198)
    + (205, 213, 222, 231, 239, 244, 241, 233, 222, 209, 195, 182, 170, 160)
)  # fmt: skip
BROAD_PEAK = (
    (25, 43, 64, 86, 108, 129, 148, 160, 170, 179, 187, 195, 203)
    + (212, 221, 230, 236, 242, 244, 243, 237, 229, 218, 204, 190, 177)
)  # fmt: skip
CENTRE_JOINT = (
    (25, 45, 68, 92, 116, 138, 154, 165, 174, 182, 189, 196, 202)
    + (209, 220, 231, 240, 245, 246, 243, 232, 219, 206, 193, 180, 168)
)  # fmt: skip
"""Three invented logs of lead-free boards [°C]: one with a soak, one with a broad peak, one at a centre joint."""


def _times(readings):
    return tuple(EVERY * row for row in range(len(readings)))


def _time_record(readings):
    """Return the times of a logger that reads every 8 to 12 seconds."""

    def own(stream, drawn):
        every = stream.grid(8, 12, 1)
        return [every * row for row in range(len(readings))]

    return Record(_times(readings), "s", own)


def _lifted(readings, lift):
    """Move a log by ``lift`` kelvin at its peak, in proportion to how hot it is; the start stays at 25 °C."""
    return [round(reading + lift * (reading - 25) / (max(readings) - 25)) for reading in readings]


def _soaked_anew(stream, drawn):
    """Return the log with a soak, hotter or cooler on the whole and each reading a little otherwise, 25 °C at the start."""
    lifted = _lifted(SOAKED, stream.grid(-4, 4, 1))
    return [lifted[0], *(reading + stream.grid(-3, 3, 1) for reading in lifted[1:])]


def _readings_near_class(stream, drawn):
    """Move the log so that its peak lies from 3 K below the classification temperature to 2 K above, not on it."""
    return _lifted(BROAD_PEAK, drawn["class_c"] - max(BROAD_PEAK) + stream.pick((-3, -2, -1, 1, 2)))


READ_THE_LOG = Exercise(
    id="read-the-log",
    number=1,
    title="Read a thermocouple log",
    setup=(
        "A thermocouple at the top centre of a lead-free package (invented data) gave the log below. Between two "
        "readings the temperature runs in a straight line, and the highest reading counts as the peak.\n\n"
        "Where a level is crossed between two rows: time = time before + (level - reading before) × (time after - time "
        "before) / (reading after - reading before).\n\n"
        "IPC/JEDEC J-STD-020D (2007) classifies packages: it says what a lead-free package must stand, so its maxima are "
        "limits for whoever heats one. Its TL is 217 °C, and its soak (ts) runs from 150 to 200 °C. (020C of 2004 "
        "measured the ramp from 200 °C; later editions keep the numbers used here, as far as the package sheets we saw "
        "tell.)"
    ),
    givens=dict(time=_time_record(SOAKED), temperature_c=Record(SOAKED, "°C", _soaked_anew)),
    table=("time", "temperature_c"),
    drawing=lambda g: curve.log_curve(g.time, g.temperature_c, (150.0, 200.0, 217.0)),
    parts=(
        Number(
            "time_above",
            "How long is the package above 217 °C (time above liquidus, TAL)?",
            points=2,
            unit="s",
            expected=lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217),
            within=absolute(1),
            because="both crossings fall between two readings",
            plausible=(20, 300),
            working="""
# The rows 16 and 17 lie on either side of 217 °C on the way up, 23 and 24 on the way down. Python counts from 0.
step_up = (217 - temperature_c[15]) * (time[16] - time[15]) / (temperature_c[16] - temperature_c[15])
up = time[15] + step_up
step_down = (temperature_c[22] - 217) * (time[23] - time[22]) / (temperature_c[22] - temperature_c[23])
down = time[22] + step_down
time_above = down - up
""",
            hint="Find the two moments at which the straight lines cross 217 °C, and subtract.",
            slips=(
                Slip(
                    "up to the peak",
                    lambda g, a: (max(g.temperature_c) - 217) / _ramp_to_peak(g, 217),
                    "You stopped at the peak. The joint stays molten until the curve falls through 217 °C.",
                ),
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
            plausible=(20, 120),
            working="""
at_150 = time[7] + (150 - temperature_c[7]) * (time[8] - time[7]) / (temperature_c[8] - temperature_c[7])
at_200 = time[13] + (200 - temperature_c[13]) * (time[14] - time[13]) / (temperature_c[14] - temperature_c[13])
soak = at_200 - at_150
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
            because="the crossing lies between two readings, and the calculation is no worse than this",
            plausible=(0.38, 1.6),
            working="""
peak = temperature_c[19]      # the highest reading
ramp = (peak - 217) / (time[19] - up)
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
            within=absolute(0.01),
            because="the crossing lies between two readings, and the calculation is no worse than this",
            plausible=(0.38, 1.7),
            working="cooling = (peak - 217) / (down - time[19])",
            slips=(
                Slip(
                    "to the end of the log",
                    lambda g, a: (max(g.temperature_c) - g.temperature_c[-1]) / (g.time[-1] - _peak_time(g)),
                    "You went to the end of the log. The question stops at 217 °C.",
                ),
                Slip(
                    "to the last reading above",
                    lambda g, a: _cooling_by_readings(g),
                    "You stopped at the last reading above 217 °C. The crossing lies between two readings.",
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
            "Two limits for your log. The standard's maximum for the package: 150 s above 217 °C. This bench's own "
            "minimum at the same place, the package top: 60 s above 217 °C (tried with beads in the joints too, which are "
            "cooler: with less, some joint did not wet). What does your log say?",
            points=1,
            options={
                "short": "the minimum of the bench is missed",
                "held": "minimum and maximum are both held",
                "long": "the maximum of the standard is passed",
            },
            expected=lambda g, a: "short" if a.time_above < 60 else "held" if a.time_above <= 150 else "long",
            slips={
                "short": "Compare your time above 217 °C with 60 s once more.",
                "held": "Compare your time above 217 °C with each of the two numbers.",
                "long": "150 s is a maximum. Compare your time with it once more.",
            },
        ),
        Choice(
            "next_run",
            "What do you change for the next board of this kind?",
            points=1,
            options={
                "hotter gas": "raise the gas by 20 °C and keep the hold as it is",
                "longer hold": "hold some seconds longer and watch the package top",
                "nothing": "keep the programme and write the log to the board",
                "heat again": "heat this board again at once to make up the time",
            },
            expected=lambda g, a: "longer hold" if a.time_above < 60 else "nothing",
            slips={
                "hotter gas": "That raises the package top first, and the log gives no reason for it. Time is the other knob.",
                "longer hold": "The time is held already. More of it only grows the brittle layer in the joints.",
                "nothing": "Part 5 says otherwise: some joint may not have wetted.",
                "heat again": "Each heating counts against the package's three, and bends the board once more. Look at "
                "the joints before you decide that.",
            },
        ),
    ),
    cases=(
        Case("time_above", 69.4, 0.05, "the worked log, straight lines by hand: from 154.44 s to 223.85 s", "computed"),
        Case("soak", 58.4, 0.05, "the worked log, straight lines by hand: from 74.44 s to 132.86 s", "computed"),
        Case("ramp", 0.759, 0.0005, "the worked log, straight lines by hand: 27 K in 35.56 s", "computed"),
        Case("cooling", 0.798, 0.0005, "the worked log, straight lines by hand: 27 K in 33.85 s", "computed"),
    ),
    caution=READING,
    sound=lambda drawn: _runs_as_worked(drawn["temperature_c"]) and abs(_time_above(drawn) - 60) > 1.5,
    floor=0.25,
)


def _time_above(drawn):
    return profile_log.time_above(drawn["time"], drawn["temperature_c"], 217)


def _runs_as_worked(readings):
    """Whether a log rises to its 20th reading and falls from there, and passes 150, 200 and 217 °C in the worked rows."""
    rises, falls = readings[:20], readings[19:]
    return (
        all(before < after for before, after in zip(rises, rises[1:], strict=False))
        and all(before > after for before, after in zip(falls, falls[1:], strict=False))
        and all(
            min(readings[row : row + 2]) < level < max(readings[row : row + 2])
            for row, level in ((7, 150), (13, 200), (15, 217), (22, 217))
        )
    )


def _cooling_by_readings(g):
    last = max(index for index, reading in enumerate(g.temperature_c) if reading > 217)
    return (max(g.temperature_c) - g.temperature_c[last]) / (g.time[last] - _peak_time(g))


def _peak_time(g):
    return g.time[g.temperature_c.index(max(g.temperature_c))]


def _ramp_to_peak(g, from_c):
    return profile_log.ramp_between(g.time, g.temperature_c, from_c, max(g.temperature_c))


def _span_of_readings(g, level, outside):
    inside = [index for index, reading in enumerate(g.temperature_c) if reading > level]
    first, last = (inside[0] - 1, inside[-1] + 1) if outside else (inside[0], inside[-1])
    return g.time[last] - g.time[first]


LONGEST_STEP_BESIDE_THE_PEAK = 60.0
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
        time=_time_record(BROAD_PEAK),
        temperature_c=Record(BROAD_PEAK, "°C", _readings_near_class),
    ),
    table=("time", "temperature_c"),
    drawing=lambda g: curve.log_curve(g.time, g.temperature_c, (g.class_c,)),
    parts=(
        Number(
            "near_peak",
            "By 020C: how long is the package within 5 K of the actual peak?",
            points=2,
            unit="s",
            expected=lambda g, a: profile_log.time_within_of_peak(
                g.time, g.temperature_c, 5, LONGEST_STEP_BESIDE_THE_PEAK
            ),
            within=absolute(0.5),
            because="the crossings lie between readings, which are given to a degree",
            plausible=(15, 61),
            working="""
# Rows 17 and 18 lie on either side of the level on the way up, rows 20 and 21 on the way down. Python counts from 0.
level = temperature_c[18] - 5     # 5 K below the highest reading
up = time[16] + (level - temperature_c[16]) * (time[17] - time[16]) / (temperature_c[17] - temperature_c[16])
down = time[19] + (temperature_c[19] - level) * (time[20] - time[19]) / (temperature_c[19] - temperature_c[20])
near_peak = down - up
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
            plausible=(10, 74),
            working="""
class_level = class_c - 5
first = time[16] + (class_level - temperature_c[16]) * (time[17] - time[16]) / (temperature_c[17] - temperature_c[16])
last = time[19] + (temperature_c[19] - class_level) * (time[20] - time[19]) / (temperature_c[19] - temperature_c[20])
near_class = last - first
""",
            slips=(
                Slip(
                    "band from the peak",
                    lambda g, a: profile_log.time_within_of_peak(
                        g.time, g.temperature_c, 5, LONGEST_STEP_BESIDE_THE_PEAK
                    ),
                    "You counted the 5 K down from the peak of this log. That is the rule of 020C; 020D counts them from Tc.",
                ),
                Slip(
                    "above TL",
                    lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217),
                    "That is the time above 217 °C. Here the level is Tc − 5 K.",
                ),
                Slip(
                    "whole rows",
                    lambda g, a: g.time[19] - g.time[16],
                    "You went from row to row. The line is crossed between two rows: work out where.",
                ),
            ),
        ),
        Number(
            "to_peak",
            "How long does it take from 25 °C to the peak?",
            points=1,
            unit="min",
            expected=lambda g, a: profile_log.time_to_peak(g.time, g.temperature_c, 25, LONGEST_STEP_BESIDE_THE_PEAK),
            within=absolute(0.1),
            because="the true peak may lie a few seconds beside the highest reading",
            plausible=(1, 5.8),
            working="to_peak = (time[18] - time[0]) / 60",
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
                "too short": "the time near Tc is under its 30 s",
                "too hot": "the package went higher than its Tc",
                "too long": "the time near Tc is over its 30 s",
                "inside": "peak and time are both within limits",
            },
            expected=lambda g, a: _user_of_020d(g, a),
            slips={
                "too short": "30 s is the most a user may take. Less is inside; only a supplier must show that long.",
                "too hot": "Compare the highest reading with Tc once more.",
                "too long": "Compare your time of part 2 with 30 s once more.",
                "inside": "Check both: the highest reading against Tc, and your time of part 2 against 30 s.",
            },
        ),
        Choice(
            "supplier",
            "You are the supplier, and want to prove by 020D that this package stands Tc. Is this log a proof?",
            points=1,
            options={
                "yes": "yes: peak and time near Tc both suffice",
                "no": "no: the peak or the time is not enough",
            },
            expected=lambda g, a: "yes" if max(g.temperature_c) >= g.class_c and a.near_class >= 30 else "no",
            slips={
                "yes": "Check both: did the peak reach Tc, and was the package at or above Tc − 5 K for 30 s or more?",
                "no": "Check both: the peak reached Tc, and the time is long enough.",
            },
        ),
        Choice(
            "next_run",
            "You are the user again. The joints of this board came out well. What do you do for the next one?",
            points=1,
            options={
                "keep": "keep the programme and log the next board too",
                "cooler": "lower the gas and give the plate a larger share",
                "shorter": "shorten the hold and watch the corner joint",
                "replace": "take the chip off again and fit a new one",
            },
            expected=lambda g, a: {"too hot": "cooler", "too long": "shorter", "inside": "keep"}[_user_of_020d(g, a)],
            slips={
                "keep": "Part 4 says that a limit of the package is broken.",
                "cooler": "The peak did not pass Tc. Look at part 4 again.",
                "shorter": "The time near Tc is not what broke. Look at part 4 again.",
                "replace": "A rating passed by a little is written down and told; another heating hurts board and part for sure.",
            },
        ),
    ),
    cases=(
        Case("near_peak", 31.7, 0.05, "the worked log, by hand: above 239 °C from 165 s to 196.67 s", "computed"),
        Case("near_class", 28.3, 0.05, "the worked log, by hand: above 240 °C from 166.67 s to 195 s", "computed"),
        Case("to_peak", 3.0, 0.05, "the worked log, read off: 180 s", "computed"),
    ),
    caution=READING,
    sound=lambda drawn: (  # no bench calls a time that lies within its own tolerance of the limit
        abs(profile_log.time_within(drawn["time"], drawn["temperature_c"], drawn["class_c"]) - 30) > 0.6
    ),
    floor=0.28,
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
        "A thermocouple at the centre joint of an area-array package (ball grid array, BGA) gave the log below (invented "
        "data). On this board the corner joint is {behind} colder than the centre joint all along, on the way up and on "
        "the way down. Between two readings the temperature runs in a straight line. SAC305 begins to melt at 217 °C. "
        "This bench wants every joint above 217 °C for 60 s at least."
    ),
    givens=dict(
        behind=Quantity(10, "K", low=7, high=12, step=1),
        time=_time_record(CENTRE_JOINT),
        temperature_c=Record(CENTRE_JOINT, "°C", lambda stream, drawn: _lifted(CENTRE_JOINT, stream.grid(-2, 2, 1))),
    ),
    table=("time", "temperature_c"),
    drawing=lambda g: station.five_beads(),
    parts=(
        Number(
            "delay",
            "Take the rate from the two readings between which the centre crosses 217 °C on the way up. At this rate, how "
            "much later than the centre does the corner reach 217 °C?",
            points=1,
            unit="s",
            expected=lambda g, a: g.behind / _rate_at_melting(g),
            within=relative(0.02),
            because="the readings are given to a degree",
            plausible=(3.1, 21),
            working="""
# The centre crosses 217 °C between rows 14 and 15. Python counts from 0.
warming = (temperature_c[14] - temperature_c[13]) / (time[14] - time[13])   # K/s
delay = behind / warming
""",
            slips=(
                Slip(
                    "rate of a row",
                    lambda g, a: g.behind / (g.temperature_c[14] - g.temperature_c[13]),
                    "You took the rise from one reading to the next as a rate per second. Divide it by the seconds between them.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.behind * _rate_at_melting(g),
                    "You multiplied. So many kelvin, at so many kelvin a second: how many seconds?",
                ),
                Slip(
                    "upside down",
                    lambda g, a: _rate_at_melting(g) / g.behind,
                    "The division is upside down: kelvin divided by kelvin a second gives seconds.",
                ),
                Slip(
                    "mean rate to the peak",
                    lambda g, a: g.behind * (g.time[18] - g.time[0]) / (g.temperature_c[18] - g.temperature_c[0]),
                    "You took the mean rate from the start to the peak. Take the two readings around 217 °C.",
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
            working="corner_peak_c = temperature_c[18] - behind   # row 19 holds the highest reading",
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
            "From the table, both crossings: how long is the corner joint above 217 °C?",
            points=2,
            unit="s",
            expected=lambda g, a: profile_log.time_above(g.time, g.temperature_c, 217 + g.behind),
            within=absolute(1),
            because="both crossings fall between two readings",
            plausible=(25, 300),
            working="""
level = 217 + behind   # what the centre shows when the corner is at 217 °C
# It lies between rows 15 and 16 on the way up, between rows 21 and 22 on the way down.
up = time[14] + (level - temperature_c[14]) * (time[15] - time[14]) / (temperature_c[15] - temperature_c[14])
down = time[20] + (temperature_c[20] - level) * (time[21] - time[20]) / (temperature_c[20] - temperature_c[21])
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
        Choice(
            "next_run",
            "The nozzle was lifted by the centre's log. What do you do for the next board of this kind?",
            points=1,
            options={
                "keep": "keep the hold: the coldest joint has its 60 s",
                "centre": "keep the hold: the centre joint has its 60 s",
                "longer": "hold on longer: the corner had less than 60 s",
                "hotter": "raise the gas much: the corner is too cold",
            },
            expected=lambda g, a: "keep" if a.corner_time >= 60 else "longer",
            slips={
                "keep": "Compare the corner's time, not the centre's, with 60 s.",
                "centre": "The centre speaks for itself only. The coldest joint decides when the nozzle may go.",
                "longer": "The corner has its 60 s. More time only grows the brittle layer in the joints.",
                "hotter": "Hotter gas reaches the package top first and pulls centre and corner further apart.",
            },
        ),
    ),
    cases=(
        Case("delay", 8.2, 0.05, "worked by hand: 9 K at 11 K in 10 s", "computed", givens={"behind": 9}),
        Case(
            "corner_time",
            59.2,
            0.05,
            "the worked log, by hand: above 226 °C from 145.45 s to 204.62 s",
            "computed",
            givens={"behind": 9},
        ),
        Case(
            "corner_peak_c",
            237,
            0.05,
            "by hand: the highest reading of the worked log, 246 °C, less 9 K",
            "computed",
            givens={"behind": 9},
        ),
    ),
    caution=READING,
    sound=lambda drawn: abs(_corner_time(drawn) - 60) > 1.5,
    floor=0.15,
)


def _rate_at_melting(g):
    """Return the rate of the step in which the centre crosses 217 °C on the way up [K/s]."""
    after = next(row for row, reading in enumerate(g.temperature_c) if reading >= 217)
    return (g.temperature_c[after] - g.temperature_c[after - 1]) / (g.time[after] - g.time[after - 1])


def _corner_time(drawn):
    return profile_log.time_above(drawn["time"], drawn["temperature_c"], 217 + drawn["behind"])


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
            plausible=(48, 5400),
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
            plausible=(230, 275),
            working="""
# Read the table: the row by the thickness, the column by the volume.
if thickness < 1.6:
    lead_free_c = 260
elif thickness <= 2.5 and body_volume < 350:
    lead_free_c = 260
elif thickness <= 2.5 and body_volume <= 2000:
    lead_free_c = 250
elif thickness <= 2.5:
    lead_free_c = 245
elif body_volume < 350:
    lead_free_c = 250
else:
    lead_free_c = 245
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
            plausible=(210, 245),
            working="""
if thickness < 2.5 and body_volume < 350:
    tin_lead_c = 235
else:
    tin_lead_c = 220
""",
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
            plausible=(5, 50),
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
                "joint": "at the hottest joint under the package",
                "gas": "in the hot gas just under the nozzle",
                "body": "at the top centre of the package body",
                "board": "at the bottom face under the package",
            },
            expected=lambda g, a: "body",
            slips={
                "joint": "A joint is another place, often a cooler one. Tc is about what the package itself survives.",
                "gas": "The gas is hotter than anything it heats. The package would be called overheated when it is not.",
                "board": "The board's bottom sees the plate. The package may be hotter or colder than that.",
            },
        ),
    ),
    cases=(
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
        Case(
            "body_volume",
            200,
            0.05,
            "by hand: 10 × 10 × 2 mm",
            "computed",
            givens={"length": 10, "width": 10, "thickness": 2.0},
        ),
        Case("room_to_work", 15, 0.005, "by hand: 245 less 230", "computed", earlier={"lead_free_c": 245}),
    ),
    caution=READING,
    floor=0.40,
)
