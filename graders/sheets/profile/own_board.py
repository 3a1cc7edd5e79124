"""One's own board: what a log can tell of it, and what an interval promises before the next programme."""

from math import exp, hypot, log, pi, sqrt

from graders.questions import Case, Choice, Exercise, Number, Quantity, Record, Slip, absolute, relative
from graders.sheets.profile.cautions import HOT
from workbook.bench.profile.cooling_log import cooling_line

EVERY, COUNT = 60, 6
WORKED = (118.2, 82.3, 56.4, 39.9, 27.2, 19.2)
"""An invented log of a board that cools [K above the air]."""
ANSCOMBE_X = (10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5)
ANSCOMBE_Y = (8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68)
"""The first of four sets of points whose line is published with its standard error (F. J. Anscombe, 1973)."""


def _cooled(stream, drawn):
    """Return a cooling log with an error of a few parts in a hundred at each reading."""
    start, tau = stream.grid(100, 130, 1), stream.grid(120, 260, 5)
    return [
        round(float(start) * exp(-EVERY * row / float(tau)) * (1 + 0.01 * float(stream.grid(-3, 3, 1))), 1)
        for row in range(COUNT)
    ]


def _line(g):
    return cooling_line(g.time, g.excess)


def _residual_share(g, divisor):
    """Return the error of the slope with another divisor in place of the degrees of freedom."""
    return _line(g).standard_error * sqrt((COUNT - 2) / divisor)


LOG_TELLS = Exercise(
    id="what-a-log-can-tell",
    number=27,
    title="Say what a log can tell, and what it cannot",
    setup=(
        "A bare board was warmed and then hung in still air, far from any nozzle. The table (an invented log) gives how far it is above "
        "the air, θ. The board is even through its thickness and loses heat through both faces by one film that does not change, so "
        "θ = θ₀ exp(-t/τ) with τ = C/(h A): **ln θ falls in a straight line with the slope -1/τ**.\n\n"
        "With y = ln θ, bars for means and n readings, least squares give: slope b = sum of (t - t̄)(y - ȳ) / sum of (t - t̄)²; "
        "standard error of the slope s = √( sum of (y - ȳ - b (t - t̄))² / (n - 2) / sum of (t - t̄)² ); "
        "standard error of τ = τ² s.\n\n"
        "On a kitchen scale, and with a specific heat from a table, the board's heat capacity C is {capacity}. Both faces together have {area}."
    ),
    givens=dict(
        time=Record(
            tuple(EVERY * row for row in range(COUNT)), "s", lambda stream, drawn: [EVERY * row for row in range(COUNT)]
        ),
        excess=Record(WORKED, "K", _cooled),
        capacity=Quantity(180, "J/K", low=140, high=240, step=5),
        area=Quantity(0.12, "m²", low=0.08, high=0.16, step=0.01),
    ),
    table=("time", "excess"),
    parts=(
        Number(
            "time_constant",
            "Which time constant does the least-squares line give?",
            points=2,
            unit="s",
            expected=lambda g, a: _line(g).time_constant,
            within=relative(0.01),
            because="the slope is worked with four figures",
            plausible=(40, 800),
            working="""
y = [log(value) for value in excess]
mean_time = sum(time) / len(time)
mean_y = sum(y) / len(y)
spread = sum((t - mean_time) ** 2 for t in time)
slope = sum((t - mean_time) * (v - mean_y) for t, v in zip(time, y)) / spread
time_constant = -1 / slope
""",
            hint="Take ln of each reading first. Then the slope of a straight line.",
            slips=(
                Slip(
                    "common logarithms",
                    lambda g, a: log(10) * _line(g).time_constant,
                    "Your logarithms are to the base 10. The law is exp(-t/τ): take natural logarithms.",
                ),
                Slip(
                    "time to half",
                    lambda g, a: log(2) * _line(g).time_constant,
                    "That is the time in which half is lost. In a time constant θ falls to 1/e, 37 %.",
                ),
            ),
        ),
        Number(
            "standard_error",
            "How large is the standard error of this time constant?",
            points=2,
            unit="s",
            expected=lambda g, a: _line(g).standard_error,
            within=relative(0.06),
            because="the residuals are small differences of rounded logarithms",
            plausible=(0.05, 60),
            working="""
y = [log(value) for value in excess]
mean_time = sum(time) / len(time)
mean_y = sum(y) / len(y)
spread = sum((t - mean_time) ** 2 for t in time)
slope = sum((t - mean_time) * (v - mean_y) for t, v in zip(time, y)) / spread
rest = sum((v - mean_y - slope * (t - mean_time)) ** 2 for t, v in zip(time, y))
error_of_slope = sqrt(rest / (len(time) - 2) / spread)
standard_error = error_of_slope / slope ** 2
""",
            hint="Work the residuals y - ȳ - b (t - t̄), square and add them.",
            slips=(
                Slip(
                    "n for n - 2",
                    lambda g, a: _residual_share(g, COUNT),
                    "You divided by n. The line has taken two numbers out of the readings, its height and its slope: n - 2 are left.",
                ),
                Slip(
                    "n - 1 for n - 2",
                    lambda g, a: _residual_share(g, COUNT - 1),
                    "You divided by n - 1, which is right for a mean. A line has two numbers of its own: n - 2.",
                ),
            ),
        ),
        Choice(
            "told",
            "Nobody has weighed the board yet. What of h, A and C does the log alone tell?",
            points=1,
            options={
                "film": "the film h, for the board cools by it",
                "capacity": "the heat capacity C, for it is what cools",
                "ratio": "only h A over C: twice of both gives the same log",
                "all": "all three, if the log is long enough",
            },
            expected=lambda g, a: "ratio",
            slips={
                "film": "A board with twice the film and twice the heat capacity would write the very same log.",
                "capacity": "A board with half the capacity and half the film would write the very same log.",
                "all": "However long the log is, only C/(h A) stands in it. More of the same readings tell more of the same number.",
            },
        ),
        Number(
            "film",
            "The board is weighed. Which film does the log tell now?",
            points=1,
            unit="W/m²K",
            expected=lambda g, a: g.capacity / (a.time_constant * g.area),
            within=relative(0.02),
            because="capacity and area are known to two figures",
            plausible=(1, 80),
            working="film = capacity / (time_constant * area)",
            slips=(
                Slip(
                    "both faces twice",
                    lambda g, a: g.capacity / (a.time_constant * 2 * g.area),
                    "The area given is that of both faces together: do not double it.",
                ),
                Slip(
                    "one face",
                    lambda g, a: g.capacity / (a.time_constant * g.area / 2),
                    "You halved the area. Both faces lose heat, and the area given is that of both.",
                ),
            ),
        ),
        Choice(
            "act",
            "Next the board is to be heated with the nozzle down, and you need the film under the nozzle. What do you do?",
            points=1,
            options={
                "same": "take the film of this log: it is measured, on this board",
                "twice": "take twice the film of this log, to be safe",
                "log": "log a run with the nozzle down, a bead on the package",
                "longer": "log this cooling again, for three times as long",
            },
            expected=lambda g, a: "log",
            slips={
                "same": "Still air and a jet differ tenfold or more. No reading in this log was taken under a jet.",
                "twice": "Nothing says that a jet is twice still air. It is tenfold or more, and it is not in this log.",
                "longer": "Three times as many readings of still air tell nothing of a jet. What no bead felt is in no log.",
            },
        ),
    ),
    cases=(
        Case(
            "time_constant",
            164.643,
            0.02,
            "scipy.stats.linregress on the logarithms of the worked log: slope -0.00607376 per second",
            "computed",
        ),
        Case(
            "standard_error",
            0.472,
            0.003,
            "Anscombe, The American Statistician 27 (1973) 17: slope 0.5, its standard error 0.118",
            "from-memory",
            givens={"time": ANSCOMBE_X, "excess": tuple(exp(-y) for y in ANSCOMBE_Y)},
            note="of 1 over the slope: 0.118 over 0.5 squared; his line turned upside down, as a log must fall",
        ),
        Case(
            "film",
            400,
            1,
            "Incropera et al., Fundamentals of Heat and Mass Transfer, example 5.1: junction of 0.706 mm, 1 s",
            "from-memory",
            givens={"capacity": 8500 * 400 * pi * 0.706e-3**3 / 6, "area": pi * 0.706e-3**2},
            earlier={"time_constant": 1},
        ),
    ),
    caution=HOT,
    floor=0.35,
)

NEXT_TRIAL = Exercise(
    id="run-or-try-again",
    number=28,
    title="Decide whether a forecast is good enough",
    setup=(
        "A simulated board was fitted to one trial of yours (invented numbers). For the programme you have in mind it foresees that the coldest joint "
        "peaks at {likeliest}, most likely. Two doubts are in that, and have nothing to do with each other: what one trial cannot tell of the "
        "board, with a standard deviation of {left_now}; and what the model itself gets wrong, {model}. A second trial with a further bead "
        "would bring the first down to {left_after}; the second stays.\n\n"
        "Independent doubts add as the root of the sum of their squares. A normal quantity lies within 1.64 standard deviations of the "
        "likeliest value in 9 of 10 cases, and above the likeliest value less 1.28 standard deviations in 9 of 10 cases. Your shop asks that the coldest joint "
        "reach 230 °C (common practice for lead-free joints) **with a chance of 9 in 10 or more**. Every degree more "
        "takes one from the package top's room: hotter is planned only where a second trial could not be enough."
    ),
    givens=dict(
        likeliest=Quantity(232.0, "°C", low=230.5, high=236.0, step=0.5),
        left_now=Quantity(2.4, "K", low=1.6, high=3.4, step=0.1),
        left_after=Quantity(0.8, "K", low=0.5, high=0.8, step=0.1),
        model=Quantity(0.6, "K", low=0.4, high=0.7, step=0.1),
    ),
    parts=(
        Number(
            "total_now",
            "With what standard deviation is the coldest joint's peak foreseen now?",
            points=1,
            unit="K",
            expected=lambda g, a: hypot(g.left_now, g.model),
            within=absolute(0.02),
            because="the root is worked with three figures",
            plausible=(1, 5),
            working="total_now = sqrt(left_now ** 2 + model ** 2)",
            slips=(
                Slip(
                    "added",
                    lambda g, a: g.left_now + g.model,
                    "You added the two. They are independent: it is unlikely that both are at their worst, the same way, at once.",
                ),
            ),
        ),
        Number(
            "low_end",
            "Where does the 9-in-10 interval of the coldest joint's peak begin (its lower end)?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.likeliest - 1.64 * a.total_now,
            within=absolute(0.1),
            because="the root is worked with three figures",
            plausible=(215, 240),
            working="low_end = likeliest - 1.64 * total_now",
            slips=(
                Slip(
                    "one standard deviation",
                    lambda g, a: g.likeliest - a.total_now,
                    "One standard deviation to either side holds 68 in 100. For 9 in 10 it is 1.64 of them.",
                ),
                Slip(
                    "upper end",
                    lambda g, a: g.likeliest + 1.64 * a.total_now,
                    "That is where the interval ends. Where does it begin?",
                ),
            ),
        ),
        Choice(
            "promise",
            "What does that interval promise?",
            points=1,
            options={
                "joints": "nine of ten joints on the board lie in it",
                "sure": "the next run lies in it, if nothing is changed",
                "often": "of ten such intervals, about nine hold what comes",
                "readings": "nine of ten readings of the log lie in it",
            },
            expected=lambda g, a: "often",
            slips={
                "joints": "The interval is about one number, the coldest joint's peak, and how well it is known; not about other joints.",
                "sure": "One in ten such intervals misses, with everything done right. That is what 9 in 10 means.",
                "readings": "It is about what has not been measured yet. How readings scatter is the log's noise.",
            },
        ),
        Number(
            "needed_now",
            "As things stand, how high must the likeliest peak be at least, so that 230 °C is reached with a chance of 9 in 10?",
            points=1,
            unit="°C",
            expected=lambda g, a: 230 + 1.28 * a.total_now,
            within=absolute(0.1),
            because="the root is worked with three figures",
            plausible=(230.5, 240),
            working="needed_now = 230 + 1.28 * total_now",
            slips=(
                Slip(
                    "both sides",
                    lambda g, a: 230 + 1.64 * a.total_now,
                    "1.64 leaves one in twenty below and one in twenty above. Here only too cold is a fault: one in ten below, 1.28.",
                ),
                Slip(
                    "wrong way",
                    lambda g, a: 230 - 1.28 * a.total_now,
                    "You went below 230 °C. Doubt asks for room: the likeliest peak must lie above.",
                ),
            ),
        ),
        Number(
            "needed_after",
            "And how high must it be at least after the second trial?",
            points=1,
            unit="°C",
            expected=lambda g, a: 230 + 1.28 * hypot(g.left_after, g.model),
            within=absolute(0.04),
            because="the root is worked with three figures",
            plausible=(230.3, 236),
            working="""
total_after = sqrt(left_after ** 2 + model ** 2)
needed_after = 230 + 1.28 * total_after
""",
            slips=(
                Slip(
                    "model forgotten",
                    lambda g, a: 230 + 1.28 * g.left_after,
                    "You left out what the model gets wrong. No trial takes that away.",
                ),
                Slip(
                    "both sides",
                    lambda g, a: 230 + 1.64 * hypot(g.left_after, g.model),
                    "1.64 leaves one in twenty below and one in twenty above. Here only too cold is a fault: 1.28.",
                ),
            ),
        ),
        Choice(
            "act",
            "What do you do with this programme?",
            points=2,
            options={
                "run": "run it on the good board: the chance is enough now",
                "trial": "make the second trial first: with it, this peak would be enough",
                "hotter": "plan it hotter: this peak would not do even then",
                "likely": "run it: the likeliest peak is above 230 °C",
            },
            expected=lambda g, a: (
                "run" if g.likeliest >= a.needed_now else "trial" if g.likeliest >= a.needed_after else "hotter"
            ),
            slips={
                "run": "Compare the likeliest peak with what is needed now.",
                "trial": "Compare the likeliest peak with what is needed now, and with what will be needed after the trial.",
                "hotter": "Compare the likeliest peak with what is needed after the second trial.",
                "likely": "The likeliest value is as often too high as too low. Ask with what chance 230 °C is reached.",
            },
        ),
    ),
    sound=lambda drawn: all(
        abs(float(drawn["likeliest"]) - 230 - 1.28 * hypot(float(drawn[left]), float(drawn["model"]))) > 0.4
        for left in ("left_now", "left_after")
    ),
    cases=(
        Case(
            "total_now",
            2.5,
            1e-9,
            "sides of 0.7 and 2.4 have the hypotenuse 2.5, exact",
            "computed",
            givens={"model": 0.7},
        ),
        Case(
            "needed_now",
            233.2039,
            0.006,
            "scipy.stats.norm: 230 + 2.5 times the quantile 1.28155 of 0.9",
            "computed",
            givens={"model": 0.7},
        ),
        Case(
            "low_end",
            223.775,
            0.03,
            "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: 0.95 of the normal law lies below 1.645",
            "from-memory",
            givens={"left_now": 3, "model": 4},
            note="sides of 3 and 4 have the hypotenuse 5",
        ),
        Case(
            "needed_after",
            236.41,
            0.02,
            "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: 0.90 of the normal law lies below 1.282",
            "from-memory",
            givens={"left_after": 3, "model": 4},
            note="sides of 3 and 4 have the hypotenuse 5",
        ),
    ),
    caution=HOT,
    floor=0.35,
)
