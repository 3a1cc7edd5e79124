"""The thermometer and the log: limits, budget, coverage, and the reflow held to its limits."""

from math import sqrt

import numpy as np

from graders.questions import (
    Case,
    Choice,
    Exercise,
    Fixed,
    Number,
    Pick,
    Quantity,
    Record,
    Several,
    Slip,
    absolute,
    relative,
)
from graders.sheets.profile.cautions import HOT
from graders.sheets.signoff.words import ON_PAPER, story
from workbook.bench.profile import log as profile_log
from workbook.bench.shorts import uncertainty
from workbook.bench.signoff import budget
from workbook.drawings import curve

NIST = "NIST Technical Note 1297, Table B.1"
END_GAUGE = "JCGM 100:2008 (GUM), H.1, end gauge, as quoted in a public test file"


def _placings(stream, drawn):
    """Return five peaks of a bead that is taped anew, each on a step of the display."""
    middle = stream.grid(237, 243, 1)
    return [middle + drawn["step"] * stream.grid(-2, 2, 1) for _ in range(5)]


def _lines(g):
    return [
        budget.Line("wire", g.wire, "rectangular"),
        budget.Line("meter", g.meter, "rectangular"),
        budget.Line("display", g.step, "display step"),
    ]


def _placing(g):
    return float(np.std(g.peaks, ddof=1))


def _whole(g, placing):
    return budget.combine([*_lines(g), budget.Line("placing", placing, "standard")])


LIMITS = Exercise(
    id="thermometer-limits",
    number=2,
    title="Turn the thermometer's limits into one uncertainty",
    setup=story(
        "Before the reflow: how sure is the thermometer?",
        "The bead is wire of a class that is good to ±{wire}; the meter is good to ±{meter}; its display moves in steps of "
        "{step}. A limit ±a of which nothing more is known has a standard uncertainty of a/√3. A display with steps of d has a "
        "limit of ±d/2. To see what the placing of the bead does, it was taped anew five times to the same joint of a scrap "
        "board, with the same programme. The peaks were {peaks}. On job 117 the bead is placed once, and the board is heated "
        "once. The standard deviation of n readings is √( (sum of squared distances from their mean) / (n − 1) ).",
    ),
    givens=dict(
        wire=Pick(1.5, (1.1, 1.5, 2.2, 2.5), "K"),
        meter=Quantity(1.0, "K", low=0.5, high=2.0, step=0.1),
        step=Fixed(1, "K"),
        peaks=Record((240, 241, 240, 241, 241), "°C", _placings),
    ),
    parts=(
        Number(
            "worst",
            "How far can wire and meter together put a reading wrong at most, while each keeps its limit?",
            points=1,
            unit="K",
            expected=lambda g, a: budget.worst_case(g.wire, g.meter),
            within=absolute(0.05),
            because="the limits are given to 0.1 K",
            plausible=(0.5, 10),
            working="worst = wire + meter",
            slips=(
                Slip(
                    "added in squares",
                    lambda g, a: budget.root_sum_square(g.wire, g.meter),
                    "That is what is likely together. The question asks for the most: both at their end, same way.",
                ),
            ),
        ),
        Number(
            "wire_alone",
            "What is the standard uncertainty from the wire alone?",
            points=1,
            unit="K",
            expected=lambda g, a: uncertainty.rectangular(g.wire),
            within=absolute(0.01),
            because="two decimals are plenty for an uncertainty",
            plausible=(0.39, 5),
            working="wire_alone = wire / sqrt(3)",
            slips=(
                Slip("limit as it stands", lambda g, a: g.wire, "That is the limit; divide it by √3."),
                Slip(
                    "halved",
                    lambda g, a: g.wire / 2,
                    "You halved the limit, as if it were twice a standard uncertainty. A bare limit is divided otherwise.",
                ),
                Slip(
                    "whole range",
                    lambda g, a: 2 * g.wire / sqrt(3),
                    "You took the whole range. The rule takes half its width.",
                ),
                Slip(
                    "whole range over root 12, halved again",
                    lambda g, a: g.wire / sqrt(12),
                    "The root of 12 belongs to the whole width, the root of 3 to half of it. You mixed the two.",
                ),
            ),
        ),
        Number(
            "placing",
            "What is the standard uncertainty from placing the bead, for the one placing of job 117?",
            points=2,
            unit="K",
            expected=lambda g, a: _placing(g),
            within=relative(0.02),
            because="the peaks are exact as printed",
            plausible=(0.27, 2),
            working="""
first, second, third, fourth, fifth = peaks
mean = (first + second + third + fourth + fifth) / 5
squares = (first - mean)**2 + (second - mean)**2 + (third - mean)**2 + (fourth - mean)**2 + (fifth - mean)**2
placing = sqrt(squares / 4)
""",
            hint="How much does one placing scatter? The job has one placing, no mean of five.",
            slips=(
                Slip(
                    "mean of five",
                    lambda g, a: _placing(g) / sqrt(5),
                    "That is for the mean of five placings. On the job the bead is placed once.",
                ),
                Slip(
                    "divided by five",
                    lambda g, a: _placing(g) / 5,
                    "You divided the scatter by the number of placings. One placing scatters by all of it.",
                ),
                Slip(
                    "n for n less one",
                    lambda g, a: _placing(g) * sqrt(4 / 5),
                    "You divided the squares by n. The mean was taken from the same readings: it is n − 1.",
                ),
            ),
        ),
        Number(
            "combined",
            "What is the combined standard uncertainty of the one peak of job 117, from wire, meter, display and placing? They are "
            "independent of each other: the root of the sum of the four squares.",
            points=2,
            unit="K",
            expected=lambda g, a: _whole(g, a.placing).standard,
            within=relative(0.01),
            because="everything is exact as printed; round only the answer",
            plausible=(0.2, 6),
            working="combined = sqrt(wire_alone**2 + (meter / sqrt(3))**2 + (step / 2 / sqrt(3))**2 + placing**2)",
            slips=(
                Slip(
                    "added straight",
                    lambda g, a: sum(line.contribution() for line in _lines(g)) + a.placing,
                    "You added them straight, as if all were wrong the same way at once. Their squares add.",
                ),
                Slip(
                    "limits as they stand",
                    lambda g, a: budget.root_sum_square(g.wire, g.meter, g.step / 2, a.placing),
                    "You put limits into it as they stand. Each is first turned into a standard uncertainty.",
                ),
                Slip(
                    "display left out",
                    lambda g, a: budget.root_sum_square(
                        uncertainty.rectangular(g.wire), uncertainty.rectangular(g.meter), a.placing
                    ),
                    "The display is missing: half a step to each side is a limit too.",
                ),
                Slip(
                    "whole step",
                    lambda g, a: budget.root_sum_square(
                        uncertainty.rectangular(g.wire),
                        uncertainty.rectangular(g.meter),
                        uncertainty.rectangular(g.step),
                        a.placing,
                    ),
                    "You took the whole step of the display as its limit. It is off by half a step at most, to each side.",
                ),
                Slip(
                    "placing of the mean",
                    lambda g, a: _whole(g, a.placing / len(g.peaks) ** 0.5).standard,
                    "You divided the placing by the root of how many peaks there are. That is for their mean; this is one peak.",
                ),
            ),
        ),
        Number(
            "share",
            "Which share of the combined variance (the square of the combined uncertainty) comes from the wire?",
            points=1,
            unit="%",
            expected=lambda g, a: (a.wire_alone / a.combined) ** 2,
            within=absolute(0.8),
            because="it carries the rounding of two uncertainties",
            plausible=(3, 97),
            working="share = (wire_alone / combined)**2 * 100",
            slips=(
                Slip(
                    "not squared",
                    lambda g, a: a.wire_alone / a.combined,
                    "That is the ratio of the uncertainties. What adds up to the whole are the squares.",
                ),
            ),
        ),
        Choice(
            "better",
            "The shop may better one of the four before the reflow. Which narrows the budget most if its standard uncertainty "
            "is halved?",
            points=1,
            options={
                "wire": "wire of a closer class",
                "meter": "a meter calibrated more closely",
                "display": "a display with finer steps",
                "placing": "a bead fixed the same way each time",
            },
            expected=lambda g, a: _largest(g),
            hint="The largest of the four standard uncertainties has the largest square.",
            slips={
                "display": "More digits look better, but half a step is the smallest of the four lines here.",
                "wire": "Compare the wire's standard uncertainty with the other three: it is not the largest here.",
                "meter": "Compare the meter's standard uncertainty with the other three: it is not the largest here.",
                "placing": "Compare the scatter of one placing with the other three: it is not the largest here.",
            },
        ),
    ),
    cases=(
        Case(
            "placing",
            0.0032 * sqrt(5),
            0.00005 * sqrt(5),
            "GUM H.2, five readings of a voltage, as the documentation of GTC prints them",
            "published",
            givens={"peaks": (5.007, 4.994, 5.005, 4.990, 4.999)},
            note="printed is the standard uncertainty of the mean, 0.0032 V: times the root of five",
        ),
        Case("worst", 2.5, 0.05, "sum of a class 1 wire's limit 1.5 K and a meter's 1.0 K", "computed"),
        Case(
            "wire_alone",
            0.57735,
            0.000005,
            "JCGM 100:2008 (GUM), 4.3.7, half width 1",
            "published-second-hand",
            givens={"wire": 1.0},
        ),
        Case(
            "combined",
            0.29,
            0.005,
            "JCGM 100:2008 (GUM), F.2.2.1: a display with steps of 1 and nothing else",
            "published-second-hand",
            givens={"wire": 0, "meter": 0, "peaks": (240, 240, 240, 240, 240)},
        ),
        Case(
            "share",
            61.0,
            0.05,
            "by hand from JCGM 100:2008 (GUM), H.1: 25 of 32 nm",
            "computed",
            earlier={"wire_alone": 25, "combined": 32},
        ),
    ),
    caution=ON_PAPER,
    sound=lambda drawn: _each_line_counts(LIMITS.values(drawn)),
    floor=0.15,
)


def _four(g):
    """Return the standard uncertainties of the four lines by name."""
    return {line.name: line.contribution() for line in _lines(g)} | {"placing": _placing(g)}


def _largest(g):
    return max(_four(g), key=_four(g).get)


def _each_line_counts(g):
    """Whether leaving any line out would show, and the largest is clear."""
    lines = sorted(_four(g).values())
    return lines[-1] > 1.15 * lines[-2] and lines[0] ** 2 > 0.03 * sum(line**2 for line in lines)


ROWS = (1, 2, 3, 4, 5, 8, 10, 16, 20, 50)


def _row(freedom):
    return max((row for row in ROWS if row <= freedom), default=1)


def _scatter_lines(choices):
    """Return a maker of six numbers, one from each tuple of choices."""
    return lambda stream, drawn: [stream.pick(options) for options in choices]


FACTOR = Exercise(
    id="coverage-factor",
    number=3,
    title="Widen the budget to 95 %",
    setup=story(
        "The budget of the peak, with all its lines.",
        "The budget has six lines that are independent of each other: wire, meter, display, placing of the bead, drift since "
        "calibration, and repeating the programme. For each line the table gives its own standard uncertainty, and its "
        "degrees of freedom ν: few where it rests on few readings. Together they are the root of the sum of their squares.\n\n"
        "The degrees of freedom of the whole are (Welch and Satterthwaite) ν = u⁴ / Σ(uᵢ⁴/νᵢ), with u the combined "
        "standard uncertainty. Cut ν to a whole number. If it is not in the table, take the next smaller degrees of freedom "
        f"that is ({NIST}; two-sided):\n\n"
        "| degrees of freedom | 1 | 2 | 3 | 4 | 5 | 8 | 10 | 16 | 20 | 50 |\n"
        "|:---|---:|---:|---:|---:|---:|---:|---:|---:|---:|---:|\n"
        "| k for 90 % | 6.31 | 2.92 | 2.35 | 2.13 | 2.02 | 1.86 | 1.81 | 1.75 | 1.72 | 1.68 |\n"
        "| k for 95 % | 12.71 | 4.30 | 3.18 | 2.78 | 2.57 | 2.31 | 2.23 | 2.12 | 2.09 | 2.01 |\n"
        "| k for 99 % | 63.66 | 9.92 | 5.84 | 4.60 | 4.03 | 3.36 | 3.17 | 2.92 | 2.85 | 2.68 |\n\n"
        "The budget:",
    ),
    givens=dict(
        contributions=Record(
            (0.87, 0.58, 0.29, 0.55, 0.20, 0.88),
            "K",
            _scatter_lines(
                (
                    (0.64, 0.87, 1.27, 1.44),
                    (0.29, 0.46, 0.58, 0.69, 0.87),
                    (0.03, 0.14, 0.29),
                    (0.28, 0.34, 0.41, 0.52),
                    (0.12, 0.20, 0.31),
                    (0.62, 0.75, 0.88, 1.05, 1.20),
                )
            ),
        ),
        freedoms=Record(
            (50, 50, 50, 4, 12, 2),
            "1",
            _scatter_lines(((18, 24, 50), (18, 24, 50), (50,), (3, 4, 5, 7), (8, 12), (2, 3, 4))),
        ),
        trial_c=Quantity(242.5, "°C", low=238, high=244.5, step=0.5),
    ),
    table=("contributions", "freedoms"),
    parts=(
        Number(
            "combined",
            "What is the combined standard uncertainty u of the peak?",
            points=1,
            unit="K",
            expected=lambda g, a: budget.root_sum_square(*g.contributions),
            within=relative(0.005),
            because="the lines are given to 0.01 K",
            plausible=(0.8, 2.8),
            working="""
wire, meter, display, placing, drift, repeating = contributions
squares = wire**2 + meter**2 + display**2 + placing**2 + drift**2 + repeating**2
combined = sqrt(squares)
""",
            slips=(
                Slip(
                    "added straight",
                    lambda g, a: budget.worst_case(*g.contributions),
                    "You added the lines straight. Lines that are independent of each other add in squares.",
                ),
                Slip(
                    "mean of the squares",
                    lambda g, a: budget.root_sum_square(*g.contributions) / sqrt(len(g.contributions)),
                    "You took a mean. All six act on the same reading: their squares add, and are not shared out.",
                ),
            ),
        ),
        Number(
            "freedom",
            "How many degrees of freedom has it (not cut yet)?",
            points=2,
            unit="1",
            expected=lambda g, a: a.combined**4 / np.sum(np.power(g.contributions, 4) / np.array(g.freedoms)),
            within=relative(0.025),
            because="u goes in with its fourth power",
            plausible=(3, 90),
            working="""
n1, n2, n3, n4, n5, n6 = freedoms
below = wire**4 / n1 + meter**4 / n2 + display**4 / n3 + placing**4 / n4 + drift**4 / n5 + repeating**4 / n6
freedom = combined**4 / below
""",
            hint="Each line to the fourth power over its own degrees of freedom; sum; then u to the fourth power over that.",
            slips=(
                Slip(
                    "added up",
                    lambda g, a: sum(g.freedoms),
                    "You added the degrees of freedom up. A few long lines cannot make up for a big one that rests on little.",
                ),
                Slip(
                    "squares",
                    lambda g, a: a.combined**2 / np.sum(np.square(g.contributions) / np.array(g.freedoms)),
                    "You used squares. The formula has fourth powers, above and below.",
                ),
            ),
        ),
        Number(
            "factor",
            "Which factor k widens u to 95 %?",
            points=1,
            unit="1",
            expected=lambda g, a: uncertainty.coverage_factor(_row(a.freedom), 0.95),
            within=absolute(0.006),
            because="the table is printed to 0.01",
            plausible=(1.95, 4),
            working="""
factor = 4.30                           # the row of 2
if freedom >= 3: factor = 3.18          # the highest row that freedom reaches counts
if freedom >= 4: factor = 2.78
if freedom >= 5: factor = 2.57
if freedom >= 8: factor = 2.31
if freedom >= 10: factor = 2.23
if freedom >= 16: factor = 2.12
if freedom >= 20: factor = 2.09
""",
            slips=(
                Slip(
                    "as if never-ending",
                    lambda g, a: 1.96,
                    "That is the factor where nothing rests on few readings. This budget has a line that does.",
                ),
                Slip(
                    "row of 90 %",
                    lambda g, a: uncertainty.coverage_factor(_row(a.freedom), 0.90),
                    "You read the line for 90 %. The question asks for 95 %.",
                ),
                Slip(
                    "row of 99 %",
                    lambda g, a: uncertainty.coverage_factor(_row(a.freedom), 0.99),
                    "You read the line for 99 %. The question asks for 95 %.",
                ),
                Slip(
                    "next larger",
                    lambda g, a: uncertainty.coverage_factor(ROWS[(ROWS.index(_row(a.freedom)) + 1) % len(ROWS)], 0.95),
                    "You took the next larger ν in the table; take the next smaller one.",
                ),
                Slip(
                    "rule of thumb",
                    lambda g, a: 2.0,
                    "Two is a rule of thumb, for budgets that rest on many readings. Read the table.",
                ),
            ),
        ),
        Number(
            "expanded",
            "What is the expanded uncertainty U of the peak at 95 %?",
            points=1,
            unit="K",
            expected=lambda g, a: a.factor * a.combined,
            within=relative(0.01),
            because="it carries the rounding of u and k",
            plausible=(1.6, 10),
            working="expanded = factor * combined",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: a.combined / a.factor,
                    "You made it narrower. To be right 95 times in a hundred the range must be wider than u.",
                ),
                Slip(
                    "row of 90 %",
                    lambda g, a: uncertainty.coverage_factor(_row(a.freedom), 0.90) * a.combined,
                    "You widened it with the factor for 90 %. The question asks for 95 %.",
                ),
            ),
        ),
        Number(
            "read_at_most",
            "The package body may reach 245 °C. Up to which reading of the body is it a pass without condition, that is, "
            "inside the limit by U or more?",
            points=1,
            unit="°C",
            expected=lambda g, a: 245 - a.expanded,
            within=absolute(0.1),
            because="it carries the rounding of U",
            plausible=(210, 245),
            working="read_at_most = 245 - expanded",
            slips=(
                Slip(
                    "outwards",
                    lambda g, a: 245 + a.expanded,
                    "You added U. A body that reads above its limit does not pass: the guard band comes off.",
                ),
                Slip(
                    "u for U",
                    lambda g, a: 245 - a.combined,
                    "You took u off. The rule takes the expanded uncertainty U.",
                ),
            ),
        ),
        Choice(
            "trial",
            "A trial on a scrap board with the programme of this job: the hottest reading of the body was {trial_c}. What do you do before "
            "the owner's board is heated?",
            points=1,
            options={
                "go on": "keep the programme: the body passes without condition",
                "cooler": "make it cooler at the body, and run the trial once more",
                "mean": "run five more trials, and go by the mean of the peaks",
            },
            expected=lambda g, a: "go on" if g.trial_c <= a.read_at_most else "cooler",
            slips={
                "go on": "Compare the trial with your answer to Part 5: the guard band is part of the rule.",
                "cooler": "The trial lies inside the limit by U or more. Compare it with your answer to Part 5.",
                "mean": "A mean takes away scatter only. Wire, meter and placing of this job stay in every one of them.",
            },
        ),
    ),
    cases=(
        Case(
            "expanded",
            93,
            0.5,
            END_GAUGE + ", 99 %",
            "published-second-hand",
            earlier={"combined": 32, "factor": 2.92},
            note="contributions in nm there",
        ),
        *(
            Case(
                part,
                answer,
                within,
                END_GAUGE,
                "published-second-hand",
                givens={
                    "contributions": (25, 5.8, 3.9, 6.7, 2.9, 16.6),
                    "freedoms": (18, 24, 5, 8, 50, 2),
                },
                note=note,
            )
            for part, answer, within, note in (
                ("combined", 32, 0.5, "contributions in nm there"),
                ("freedom", 16.7, 0.06, "printed from the rounded 32 nm; 16.75 unrounded, cut to 16 either way"),
            )
        ),
        Case("factor", 2.12, 0.005, f"{NIST}, 16 degrees of freedom", "published", earlier={"freedom": 16.7}),
        *(
            Case("factor", k, 0.005, f"{NIST}, {freedom} degrees of freedom", "published", earlier={"freedom": freedom})
            for freedom, k in ((2, 4.30), (4, 2.78), (10, 2.23), (50, 2.01))
        ),
        Case("read_at_most", 242, 0.005, "by hand: 245 less 3", "computed", earlier={"expanded": 3}),
    ),
    caution=ON_PAPER,
    sound=lambda drawn: (
        _clear_of_rows(FACTOR.values(drawn)) and abs(drawn["trial_c"] - FACTOR.key(drawn)["read_at_most"]) > 0.15
    ),
    floor=0.25,
)


def _clear_of_rows(g):
    """Whether the degrees of freedom do not stand so near a row of the table that rounding decides."""
    freedom = uncertainty.effective_freedom(g.contributions, g.freedoms)
    return 2.3 < freedom < 48 and all(abs(freedom / row - 1) > 0.06 for row in ROWS)


LIQUID, PEAK_LOW, PEAK_HIGH, SHORTEST, LONGEST = 217.0, 230.0, 245.0, 50.0, 80.0
EVERY = 15


def _reflow(stream, drawn):
    """Return the joint's temperature every 15 s: a steady climb, a rounded peak, a slower fall."""
    peak = stream.grid(228, 250, 0.5)
    climb = [stream.grid(3, 7, 0.5), stream.grid(7, 11, 0.5), stream.grid(9, 13, 0.5), stream.grid(10, 13, 0.5)]
    fall = [stream.grid(3, 7, 0.5), stream.grid(8, 14, 0.5), stream.grid(10, 15, 0.5), stream.grid(11, 15, 0.5)]
    rise = [peak - sum(climb[: index + 1]) for index in reversed(range(4))]
    return [*rise, peak, *(peak - sum(fall[: index + 1]) for index in range(4))]


def _above(g, shift=0.0):
    return profile_log.time_above(g.times, g.joint, LIQUID + shift)


def _held_for_sure(g, short_if_low, long_if_high):
    """Return what is left to each limit with the whole log shifted by U to the bad side."""
    peak = max(g.joint)
    return {
        "hot enough": peak - g.doubt - PEAK_LOW,
        "not too hot": PEAK_HIGH - peak - g.doubt,
        "long enough": short_if_low - SHORTEST,
        "not too long": LONGEST - long_if_high,
    }


def _crossings(name, level):
    """Return the working of a time above a level: gap by gap, each the share of its 15 s that lies above."""
    up = "".join(
        f"rise{row} = 15 * min(1, max(0, (joint[{row}] - level) / (joint[{row}] - joint[{row - 1}])))\n"
        for row in (1, 2, 3, 4)
    )
    down = "".join(
        f"fall{row} = 15 * min(1, max(0, (joint[{row - 1}] - level) / (joint[{row - 1}] - joint[{row}])))\n"
        for row in (5, 6, 7, 8)
    )
    return f"""
level = {level}                         # each gap of 15 s: the share above the level, from 0 to 1
{up}{down}{name} = rise1 + rise2 + rise3 + rise4 + fall5 + fall6 + fall7 + fall8
"""


HOLD_THE_LOG = Exercise(
    id="hold-the-log",
    number=4,
    title="Compare the reflow log with its limits",
    setup=story(
        "The processor has been put down anew; this is the log of its coldest joint.",
        "The table is the log, cut to what matters. Between its rows, read in straight lines; the peak is its highest row. "
        "The budget of the thermometer gave an expanded uncertainty U = {doubt} (95 %). Most of it is wire and meter, which put the "
        "**whole** log too high or too low by the same amount.\n\n"
        "The shop's limits for this joint: peak at least 230 °C and at most 245 °C; time at or above 217 °C at least 50 s "
        "and at most 80 s. The shop counts a limit as held *for sure* where it is held with the whole log shifted by U to "
        "the bad side.",
    ),
    givens=dict(
        doubt=Quantity(3.4, "K", low=1.5, high=4.5, step=0.1),
        times=Record(tuple(range(0, 9 * EVERY, EVERY)), "s", lambda stream, drawn: range(0, 9 * EVERY, EVERY)),
        joint=Record((196.0, 206.5, 217.0, 228.5, 236.0, 226.5, 215.0, 204.0, 192.5), "°C", _reflow),
    ),
    table=("times", "joint"),
    drawing=lambda g: curve.log_curve(g.times, g.joint, (217.0, 230.0, 245.0), "coldest joint"),
    parts=(
        Number(
            "above",
            "How long is the joint at or above 217 °C, as logged?",
            points=2,
            unit="s",
            expected=lambda g, a: _above(g),
            within=absolute(0.4),
            because="the table is taken as printed, and rounding costs less",
            plausible=(28, 115),
            working=_crossings("above", "217"),
            hint="Find the moment it passes 217 °C on the way up and on the way down, each between two rows.",
            slips=(
                Slip(
                    "rows above",
                    lambda g, a: EVERY * (sum(value >= LIQUID for value in g.joint) - 1),
                    "You counted from the first row above to the last. The joint passes 217 °C between rows.",
                ),
                Slip(
                    "rows around",
                    lambda g, a: EVERY * (sum(value >= LIQUID for value in g.joint) + 1),
                    "You counted from the last row before to the first row after. It passes 217 °C between rows.",
                ),
                Slip(
                    "fifteen seconds a row",
                    lambda g, a: EVERY * sum(value >= LIQUID for value in g.joint),
                    "You gave each row above 217 °C its fifteen seconds. Read the crossings between the rows.",
                ),
                Slip(
                    "up to the peak",
                    lambda g, a: (
                        g.times[g.joint.index(max(g.joint))] - profile_log.crossings(g.times, g.joint, LIQUID).up[0]
                    ),
                    "That is the time from 217 °C to the peak. It stays molten on the way down too.",
                ),
            ),
        ),
        Number(
            "left",
            "By how much is the peak, as logged, below the 245 °C (below zero if it is above)?",
            points=1,
            unit="K",
            expected=lambda g, a: PEAK_HIGH - max(g.joint),
            within=absolute(0.2),
            because="the table is taken as printed, and rounding costs less",
            plausible=(-10, 25),
            working="left = 245 - max(joint)",
            slips=(
                Slip(
                    "sign turned",
                    lambda g, a: max(g.joint) - PEAK_HIGH,
                    "The sign is turned round: a peak below the limit leaves a margin above zero.",
                ),
                Slip(
                    "above the low limit",
                    lambda g, a: max(g.joint) - PEAK_LOW,
                    "That is the margin to the other limit, 230 °C.",
                ),
            ),
        ),
        Number(
            "if_low",
            "How long was it at or above 217 °C if the true temperatures are lower than the log by U throughout?",
            points=2,
            unit="s",
            expected=lambda g, a: _above(g, g.doubt),
            within=absolute(0.4),
            because="the table is taken as printed, and rounding costs less",
            plausible=(23, 115),
            working=_crossings("if_low", "217 + doubt"),
            hint="A log that reads too high crosses 217 °C, in truth, where it shows more than 217 °C. How much more?",
            slips=(
                Slip(
                    "off the seconds",
                    lambda g, a: _above(g) - g.doubt,
                    "You took U, which is in kelvin, off the seconds. Shift the temperatures, and read the crossings anew.",
                ),
                Slip(
                    "other way",
                    lambda g, a: _above(g, -g.doubt),
                    "You shifted the other way. If the truth is lower, the joint was molten for less long than the log says.",
                ),
                Slip(
                    "as logged",
                    lambda g, a: _above(g),
                    "That is the log as it stands. Shift it by U first.",
                ),
            ),
        ),
        Number(
            "if_high",
            "How long was it at or above 217 °C if the true temperatures are higher than the log by U throughout?",
            points=1,
            unit="s",
            expected=lambda g, a: _above(g, -g.doubt),
            within=absolute(0.4),
            because="the table is taken as printed, and rounding costs less",
            plausible=(15, 118),
            working=_crossings("if_high", "217 - doubt"),
            slips=(
                Slip(
                    "on the seconds",
                    lambda g, a: _above(g) + g.doubt,
                    "You added U, which is in kelvin, to the seconds. Shift the temperatures, and read the crossings anew.",
                ),
                Slip(
                    "other way",
                    lambda g, a: _above(g, g.doubt),
                    "You shifted the other way. If the truth is higher, the joint was molten for longer than the log says.",
                ),
                Slip(
                    "as logged",
                    lambda g, a: _above(g),
                    "That is the log as it stands. Shift it by U first.",
                ),
            ),
        ),
        Several(
            "sure",
            "Which limits are held for sure?",
            points=2,
            options={
                "hot enough": "peak at least 230 °C",
                "not too hot": "peak at most 245 °C",
                "long enough": "time at or above 217 °C at least 50 s",
                "not too long": "time at or above 217 °C at most 80 s",
            },
            expected=lambda g, a: [name for name, left in _held_for_sure(g, a.if_low, a.if_high).items() if left >= 0],
            slips={
                "hot enough": "If the thermometer reads too high by U, the true peak is below 230 °C.",
                "not too hot": "If the thermometer reads too low by U, the true peak is above 245 °C.",
                "long enough": "With the log shifted down by U the time is below 50 s.",
                "not too long": "With the log shifted up by U the time is above 80 s.",
            },
        ),
        Choice(
            "next_step",
            "What does the bench do with this log?",
            points=1,
            options={
                "again": "heat the board once more, until every limit is surely held",
                "stop": "hold the board back: a limit is missed even as logged",
                "tell": "go on, with each limit that is not sure written on the page",
            },
            expected=lambda g, a: "tell" if _as_logged(g) else "stop",
            slips={
                "again": "Each reflow adds heat that no one can take back, for package, board and neighbours.",
                "stop": "Compare the log as it stands with the four limits: none is missed. What is open is only U.",
                "tell": "Compare the log as it stands with the four limits: one is missed without any U.",
            },
        ),
    ),
    cases=(
        Case(
            "above",
            30,
            0.05,
            "straight lines by hand: 20 K in 15 s, up and down, 20 K over the level",
            "computed",
            givens={"joint": (157, 177, 197, 217, 237, 217, 197, 177, 157)},
        ),
        Case(
            "if_low",
            22.5,
            0.05,
            "straight lines by hand: 20 K in 15 s, up and down, 15 K over the level",
            "computed",
            givens={"doubt": 5, "joint": (157, 177, 197, 217, 237, 217, 197, 177, 157)},
        ),
        Case(
            "if_high",
            37.5,
            0.05,
            "straight lines by hand: 20 K in 15 s, up and down, 25 K over the level",
            "computed",
            givens={"doubt": 5, "joint": (157, 177, 197, 217, 237, 217, 197, 177, 157)},
        ),
        Case(
            "left",
            8,
            0.005,
            "by hand: 245 less 237",
            "computed",
            givens={"joint": (157, 177, 197, 217, 237, 217, 197, 177, 157)},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: _clear_of_limits(HOLD_THE_LOG.values(drawn)),
    floor=0.35,
)


def _as_logged(g):
    """Whether every limit is held by the log as it stands."""
    above = _above(g)
    return PEAK_LOW <= max(g.joint) <= PEAK_HIGH and SHORTEST <= above <= LONGEST


def _clear_of_limits(g):
    margins = _held_for_sure(g, _above(g, g.doubt), _above(g, -g.doubt))
    held = [left >= 0 for left in margins.values()]
    spans = max(g.joint[0], g.joint[-1]) < LIQUID - g.doubt - 0.5
    above = _above(g)
    edge = min(abs(above - SHORTEST), abs(above - LONGEST)) < 0.8
    return not edge and spans and any(held) and not all(held) and min(abs(left) for left in margins.values()) > 0.5
