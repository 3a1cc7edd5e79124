"""Exercises on what may be said of a reading: a verdict, the gauge behind it, readings that move together."""

import numpy as np

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.shorts.words import DEAD, ON_PAPER
from workbook.bench.shorts import decision, gauge, meter, uncertainty


def _u(g):
    return decision.reading_uncertainty(g.raw, g.share, g.counts, g.digit, g.contact)


DECIDE = Exercise(
    id="decide-on-a-reading",
    number=5,
    title="Decide on a low reading",
    setup=(
        "A rail reads {raw}; with the probes pressed together the meter shows {together}. On this range the meter is "
        "good to ±({share} of the raw reading + {counts} counts of {digit}). From one touch to the next the contacts "
        "move the reading by up to ±{contact}. A limit ±a of which nothing more is known has a "
        "standard uncertainty of a/√3; the two add in squares to u. The expanded uncertainty is U = 2u. On this "
        "board your shop calls {dead_short} a dead short (the shop's figure, no law of physics; no rail here "
        "is lower by design). At the figure plus U or above, the rail has no dead short; at the figure minus U or "
        "below, it has one; between, nothing is decided. Take the reading with the probes together as exact, and use "
        "U as you find it, not rounded."
    ),
    givens=dict(
        raw=Quantity(1.6, "Ω", low=0.8, high=1.8, step=0.1),
        together=Quantity(0.3, "Ω", low=0.2, high=0.4, step=0.1),
        share=Pick(0.8, (0.5, 0.8, 1.0, 1.2), "%"),
        counts=Pick(2, (2, 3), "1"),
        digit=Fixed(0.1, "Ω"),
        contact=Pick(0.1, (0.1, 0.15, 0.2), "Ω"),
        dead_short=Fixed(1.0, "Ω", rule="shorts.dead_short_limit"),
    ),
    parts=(
        Number(
            "rail_ohms",
            "What is the rail's resistance with the leads taken out?",
            points=1,
            unit="Ω",
            expected=lambda g, a: meter.lead_null(g.raw, g.together),
            within=absolute(0.02),
            because="both readings are exact as printed",
            plausible=(0.43, 3),
            working="rail_ohms = raw - together",
            slips=(
                Slip("leads left in", lambda g, a: g.raw, "The leads are still in it. Take off what they show alone."),
                Slip(
                    "leads added",
                    lambda g, a: g.raw + g.together,
                    "You added the leads. They are in the reading already, so they come off.",
                ),
            ),
        ),
        Number(
            "expanded",
            "What is the expanded uncertainty U?",
            points=3,
            unit="Ω",
            expected=lambda g, a: 2 * _u(g),
            within=absolute(0.001),
            because="it is compared as you find it, so give it to three decimals",
            plausible=(0.16, 1.5),
            working="""
meter_limit = share / 100 * raw + counts * digit
expanded = 2 * sqrt((meter_limit / sqrt(3)) ** 2 + (contact / sqrt(3)) ** 2)
""",
            hint="The meter's limit on the raw reading first; then both limits / √3, squares added, root, times 2.",
            slips=(
                Slip("not doubled", lambda g, a: _u(g), "That is u. The expanded uncertainty is twice as wide."),
                Slip(
                    "root of 3 forgotten",
                    lambda g, a: 2 * np.sqrt(3) * _u(g),
                    "You took the limits as standard uncertainties. Evenly likely limits are first divided by √3.",
                ),
                Slip(
                    "added straight",
                    lambda g, a: 2 * (_meter_limit(g) + g.contact) / np.sqrt(3),
                    "You added the two straight. They are independent of each other: their squares add.",
                ),
                Slip(
                    "contact forgotten",
                    lambda g, a: 2 * _meter_limit(g) / np.sqrt(3),
                    "That is the meter alone. The contacts are missing.",
                ),
            ),
        ),
        Choice(
            "verdict",
            "What may be said of this rail?",
            points=1,
            options={
                "dead short": "it has a dead short",
                "undecided": "nothing is decided",
                "no dead short": "it has no dead short",
            },
            expected=lambda g, a: decision.verdict(a.rail_ohms, a.expanded, g.dead_short),
            slips={
                "undecided": "Compare with the two edges of the band: the reading lies outside it.",
                "no dead short": "Compare with the upper edge, the shop's figure plus U, and not with the figure "
                "itself.",
                "dead short": "Compare with the lower edge, the shop's figure minus U, and not with the figure itself.",
            },
        ),
        Choice(
            "next_step",
            "What does the bench do next with this rail? (Parts here are still cold and unpowered.)",
            points=1,
            options={
                "replace": "change the part that is most often the cause",
                "inject": "search for the short with a small, limited current",
                "four wires": "read the rail again, with four wires in place of two",
                "compare": "compare with a good board: a leak is not ruled out",
            },
            expected=lambda g, a: {
                decision.DEAD_SHORT: "inject",
                decision.UNDECIDED: "four wires",
            }.get(decision.verdict(a.rail_ohms, a.expanded, g.dead_short), "compare"),
            slips={
                "replace": "No part is changed on a reading that does not say which part it is.",
                "inject": "Current is fed in where a short is found. Look at your verdict.",
                "four wires": "The meter has decided already. Four wires are for the band between.",
                "compare": "That is for a rail without a dead short. Look at your verdict.",
            },
        ),
    ),
    cases=(
        Case("expanded", 0.27, 0.005, "two evenly likely limits, JCGM 100, 4.3.7, worked by hand", "computed"),
        Case("verdict", "no dead short", 0, "rule with a guard band U, worked by hand (R 1.3 Ω)", "computed"),
        Case(
            "verdict",
            "dead short",
            0,
            "rule with a guard band U, worked by hand (R 0.6 Ω)",
            "computed",
            givens={"raw": 1.0, "together": 0.4},
        ),
        Case("rail_ohms", 2.2, 0.005, "by hand: 2.5 less 0.3 Ω", "computed", givens={"raw": 2.5}),
    ),
    caution=DEAD,
    floor=0.25,
    sound=lambda drawn: _clear_of_the_edges(DECIDE.values(drawn)),
)


def _clear_of_the_edges(g):
    """Whether the rail is near the shop's figure, but neither on it nor on an edge of the undecided band."""
    away = abs(g.raw - g.together - g.dead_short)
    return 0.05 < away < 0.55 and abs(away - 2 * _u(g)) > 0.025


def _meter_limit(g):
    return meter.accuracy_limit(g.raw, g.share, g.counts, g.digit)


GAUGE = Exercise(
    id="judge-the-gauge",
    number=6,
    title="Judge the gauge before the board",
    setup=(
        "Three people read the same ten rails three times each with one milliohm meter (invented data). From their "
        "readings: one person repeating on one rail scatters with EV = {one_person}, different people differ by AV = "
        "{between_people}, and the rails themselves by PV = {rails}; all three are standard deviations. GRR is the "
        "root of EV² + AV², TV the root of GRR² + PV²."
    ),
    givens=dict(
        one_person=Quantity(0.20, "mΩ", low=0.10, high=0.40, step=0.01),
        between_people=Quantity(0.23, "mΩ", low=0.10, high=0.40, step=0.01),
        rails=Quantity(1.04, "mΩ", low=0.80, high=4.00, step=0.02),
    ),
    parts=(
        Number(
            "gauge_scatter",
            "What is GRR, the scatter of the gauge with all its people?",
            points=1,
            unit="mΩ",
            expected=lambda g, a: np.hypot(g.one_person, g.between_people),
            within=relative(0.005),
            because="the standard deviations are exact as printed",
            plausible=(0.1, 0.7),
            working="gauge_scatter = sqrt(one_person**2 + between_people**2)",
            slips=(
                Slip(
                    "added straight",
                    lambda g, a: g.one_person + g.between_people,
                    "You added them straight. Independent scatters add in squares.",
                ),
                Slip(
                    "mean",
                    lambda g, a: (g.one_person + g.between_people) / 2,
                    "A mean hides that both are in every reading. Their squares add.",
                ),
            ),
        ),
        Number(
            "share_of_all",
            "Which share of all the scatter, TV, is GRR?",
            points=1,
            unit="%",
            expected=lambda g, a: a.gauge_scatter / np.hypot(a.gauge_scatter, g.rails),
            within=relative(0.003),
            because="the standard deviations are exact as printed",
            plausible=(3.4, 90),
            working="share_of_all = gauge_scatter / sqrt(gauge_scatter**2 + rails**2) * 100",
            hint="Divide by all the scatter, TV: PV and GRR are both in it.",
            slips=(
                Slip(
                    "share of the squares",
                    lambda g, a: a.gauge_scatter**2 / (a.gauge_scatter**2 + g.rails**2),
                    "That is the share of the variances, the squares. The question asks for the standard deviations.",
                ),
                Slip(
                    "of the rails alone",
                    lambda g, a: a.gauge_scatter / g.rails,
                    "You divided by PV. All the scatter, TV, has the gauge's own in it as well.",
                ),
                Slip(
                    "straight sum",
                    lambda g, a: a.gauge_scatter / (a.gauge_scatter + g.rails),
                    "You added gauge and rails straight. Their squares add.",
                ),
            ),
        ),
        Number(
            "classes",
            "How many classes of rails can this gauge tell apart: 1.41 × PV / GRR? (Not rounded.)",
            points=1,
            unit="1",
            expected=lambda g, a: 1.41 * g.rails / a.gauge_scatter,
            within=relative(0.01),
            because="the standard deviations are exact as printed",
            plausible=(1, 60),
            working="classes = 1.41 * rails / gauge_scatter",
            slips=(
                Slip(
                    "1.41 forgotten",
                    lambda g, a: g.rails / a.gauge_scatter,
                    "The factor 1.41 is missing.",
                ),
                Slip(
                    "root taken",
                    lambda g, a: np.sqrt(1.41 * g.rails / a.gauge_scatter),
                    "You took a root. (One worksheet prints it so, and is wrong.)",
                ),
                Slip(
                    "upside down",
                    lambda g, a: a.gauge_scatter / g.rails,
                    "That is GRR over PV. The ratio is upside down, and the factor is missing.",
                ),
                Slip(
                    "upside down, with 1.41",
                    lambda g, a: 1.41 * a.gauge_scatter / g.rails,
                    "The ratio is upside down: the rails' scatter goes over the gauge's.",
                ),
                Slip(
                    "TV for PV",
                    lambda g, a: 1.41 * np.hypot(a.gauge_scatter, g.rails) / a.gauge_scatter,
                    "You took all scatter together, TV. The formula takes the rails alone, PV.",
                ),
            ),
        ),
        Choice(
            "band",
            "The measurement handbook of the automotive industry (4th edition) calls a gauge good below 10 % of TV, "
            "poor above 30 %, and between them fit or not, depending on the job. Where is this one?",
            points=1,
            options={"poor": "above 30 %", "good": "below 10 %", "depends": "from 10 to 30 %"},
            expected=lambda g, a: "good" if a.share_of_all < 0.1 else "poor" if a.share_of_all > 0.3 else "depends",
            hint="Compare your share of Part 2 with 10 % and 30 %.",
        ),
        Choice(
            "better",
            "The shop wants GRR smaller before the gauge is used near a limit. What lessens it most?",
            points=1,
            options={
                "digits": "a meter with one more digit: all three read it too coarsely",
                "fixture": "a fixture for the needles: one person alone scatters most",
                "training": "one written way to probe: the three differ among them most",
            },
            expected=lambda g, a: "fixture" if g.one_person > g.between_people else "training",
            hint="Which is larger: the scatter of one person, or the difference between people?",
            slips={
                "digits": "More digits show the scatter more finely. They do not lessen it.",
                "fixture": "That helps where one person's own readings scatter most. Compare EV and AV.",
                "training": "That helps where people differ most. Compare EV and AV.",
            },
        ),
    ),
    cases=tuple(
        Case(
            part,
            answer,
            within,
            "AIAG, Measurement Systems Analysis, 4th ed., study by analysis of variance",
            "published-second-hand",
            givens={"one_person": 0.199933, "between_people": 0.226838, "rails": 1.042327},
            note="from inputs printed to six figures the sixth figure of the result is open",
        )
        for part, answer, within in (
            ("gauge_scatter", 0.302373, 2e-6),
            ("share_of_all", 27.9, 0.05),
            ("classes", 4.861, 0.0006),
        )
    ),
    caution=ON_PAPER,
    floor=0.25,
    sound=lambda drawn: (
        abs(drawn["one_person"] - drawn["between_people"]) > 0.02
        and all(
            abs(np.hypot(drawn["one_person"], drawn["between_people"]) / drawn["rails"] - edge) > 0.008
            for edge in (0.1005, 0.3145)
        )
    ),
)


def _own_counts(stream, drawn):
    return [stream.pick((7, 9, 11, 16, 21, 31)) for _ in range(5)]


def _own_scatters(stream, drawn):
    alike = stream.grid(0.08, 0.14, 0.01)
    return [round(alike * (1 + stream.grid(-0.3, 0.3, 0.05)), 3) for _ in range(5)]


def _pooled(g):
    return gauge.pooled_deviation(g.scatter, [count - 1 for count in g.readings])


POOL = Exercise(
    id="pool-the-scatter",
    number=7,
    title="Pool the scatter of five probes",
    setup=(
        "Five probes of a four-wire milliohm meter have each read the same test strip again and again (invented "
        "data). The table gives, one probe a line, how many readings and their standard deviation. The probes are "
        "alike, so one standard deviation serves for all: its square is the mean of the squares, each counted with "
        "its degrees of freedom (readings − 1)."
    ),
    givens=dict(
        readings=Record((11, 21, 7, 16, 31), "1", _own_counts),
        scatter=Record((0.09, 0.105, 0.14, 0.125, 0.08), "mΩ", _own_scatters),
        repeats=Pick(4, (3, 4, 5, 6, 8), "1"),
        wanted=Quantity(0.025, "mΩ", low=0.018, high=0.034, step=0.002),
        asked=Quantity(10, "1", low=5, high=40, step=1),
    ),
    table=("readings", "scatter"),
    parts=(
        Number(
            "pooled",
            "What is the pooled standard deviation of one reading?",
            points=2,
            unit="mΩ",
            expected=lambda g, a: _pooled(g),
            within=relative(0.003),
            because="the standard deviations are exact as printed",
            plausible=(0.03, 0.25),
            working="""
n1, n2, n3, n4, n5 = readings
s1, s2, s3, s4, s5 = scatter
above = (n1 - 1) * s1**2 + (n2 - 1) * s2**2 + (n3 - 1) * s3**2 + (n4 - 1) * s4**2 + (n5 - 1) * s5**2
below = n1 + n2 + n3 + n4 + n5 - 5
pooled = sqrt(above / below)
""",
            hint="Square each, multiply by its degrees of freedom, add up, divide by all degrees of freedom, take the "
            "root.",
            slips=(
                Slip(
                    "mean of the deviations",
                    lambda g, a: np.average(g.scatter, weights=[count - 1 for count in g.readings]),
                    "You averaged the standard deviations. Their squares are averaged, and the root comes last.",
                ),
                Slip(
                    "plain average",
                    lambda g, a: np.mean(g.scatter),
                    "You took the plain average. Squares are averaged, each counted with its degrees of freedom.",
                ),
                Slip(
                    "not weighted",
                    lambda g, a: np.sqrt(np.mean(np.square(g.scatter))),
                    "You gave each probe the same weight. One with more readings knows its scatter better.",
                ),
                Slip(
                    "root forgotten",
                    lambda g, a: (_pooled(g) * 1e3) ** 2 / 1e3,
                    "That is the variance. The root is missing.",
                ),
            ),
        ),
        Number(
            "scatter_of_mean",
            "A rail is read {repeats} times and the mean is taken. What is the standard uncertainty of the mean from "
            "this scatter?",
            points=1,
            unit="mΩ",
            expected=lambda g, a: a.pooled / np.sqrt(g.repeats),
            within=relative(0.005),
            because="it carries the accuracy of the pooled value",
            plausible=(0.01, 0.2),
            working="scatter_of_mean = pooled / sqrt(repeats)",
            slips=(
                Slip(
                    "divided by the number",
                    lambda g, a: a.pooled / g.repeats,
                    "You divided by the number of readings. The scatter of a mean shrinks with its root.",
                ),
                Slip(
                    "one less",
                    lambda g, a: a.pooled / np.sqrt(g.repeats - 1),
                    "You took off a degree of freedom here. The mean has all its readings in it.",
                ),
                Slip("not divided", lambda g, a: a.pooled, "That is the scatter of one reading. A mean scatters less."),
            ),
        ),
        Number(
            "enough",
            "What is the smallest number of readings whose mean has a standard uncertainty of at most {wanted}?",
            points=1,
            unit="1",
            expected=lambda g, a: np.ceil((a.pooled / g.wanted) ** 2),
            within=absolute(0.1),
            because="it is a whole number",
            plausible=(2, 200),
            working="""
least = (pooled / wanted) ** 2
enough = int(least) + (least > int(least))
""",
            slips=(
                Slip(
                    "not squared",
                    lambda g, a: np.ceil(a.pooled / g.wanted),
                    "The ratio has to be squared: to halve the scatter of a mean takes four times the readings.",
                ),
                Slip(
                    "not rounded",
                    lambda g, a: (a.pooled / g.wanted) ** 2,
                    "Not a whole number yet: round up.",
                    worth=0.5,
                ),
                Slip(
                    "rounded down",
                    lambda g, a: np.floor((a.pooled / g.wanted) ** 2),
                    "You rounded down: with so many the mean still scatters a little too much.",
                ),
            ),
        ),
        Choice(
            "sheet",
            "The shop's sheet asks for the mean of {asked} readings on each rail. What do you do with it? Use your answer to Part 3.",
            points=1,
            options={
                "keep": "work by the sheet as it is: it asks for enough",
                "more": "have the number on the sheet raised before use",
                "strike out": "keep it, and strike out the reading farthest off",
            },
            expected=lambda g, a: "keep" if g.asked >= a.enough else "more",
            slips={
                "strike out": "A reading is struck out for a cause that was seen, not because it is far off.",
                "keep": "Compare the number on the sheet with your answer to Part 3.",
                "more": "Compare the number on the sheet with your answer to Part 3.",
            },
        ),
    ),
    cases=(
        Case(
            "pooled",
            0.10290,
            0.000005,
            "NIST/SEMATECH e-Handbook, 2.4.4.4: five probes with 60 degrees of freedom each",
            "published",
            givens={
                "readings": (61,) * 5,
                "scatter": tuple((square / 60) ** 0.5 for square in (0.48115, 0.69209, 0.48483, 1.21752, 0.30076)),
            },
            note="the handbook prints the sums of squares; its unit is ohm cm, ours mΩ",
        ),
        Case(
            "scatter_of_mean",
            0.0343,
            5e-05,
            "by hand: 0.1029 of the NIST/SEMATECH e-Handbook, 2.4.4.4, over the root of 9",
            "computed",
            givens={"repeats": 9},
            earlier={"pooled": 0.1029},
        ),
        Case(
            "enough",
            17,
            0.01,
            "by hand: 0.1029 over 0.025, squared, is 16.9",
            "computed",
            givens={"wanted": 0.025},
            earlier={"pooled": 0.1029},
        ),
    ),
    caution=ON_PAPER,
    floor=0.15,
)


def _own_currents(stream, drawn):
    middle = stream.grid(980, 1020, 1)
    return [middle + stream.grid(-9, 9, 0.5) for _ in range(5)]


def _own_drops(stream, drawn):
    ohms = stream.grid(18, 42, 0.05)
    return [round(ohms * current / 1000 * (1 + stream.grid(-0.005, 0.005, 0.0005)), 2) for current in drawn["injected"]]


def _means_and_scatter(g):
    means, covariance, _ = uncertainty.mean_and_covariance([g.drop, g.injected])
    return means, covariance


def _ratio_uncertainty(g, correlation):
    (volts, amps), covariance = _means_and_scatter(g)
    shares = np.sqrt(np.diag(covariance)) / (volts, amps)
    return volts / amps * np.sqrt(np.sum(shares**2) - 2 * correlation * shares[0] * shares[1])


def _correlation(g):
    return uncertainty.correlation(_means_and_scatter(g)[1])[0, 1]


MOVE_TOGETHER = Exercise(
    id="readings-that-move-together",
    number=8,
    title="Carry readings that move together into a result",
    setup=(
        "A short on a dead rail is read with four wires. Five times, the voltage across it and the current through it "
        "were read at the same moment (invented data). The current wanders a little and takes the voltage with it. n "
        "= 5; a mean has the standard uncertainty u = s/√n, with s the standard deviation (divided by n − 1). The "
        "correlation of two means is r = Σ(V − V̄)(I − Ī) / √(Σ(V − V̄)² Σ(I − Ī)²), with V̄ and Ī the means."
    ),
    givens=dict(
        injected=Record((998.5, 1004.0, 991.5, 1001.5, 1007.5), "mA", _own_currents),
        drop=Record((24.92, 25.18, 24.81, 24.99, 25.14), "mV", _own_drops),
        more=Quantity(0.10, "mΩ", low=0.02, high=0.30, step=0.01),
    ),
    table=("drop", "injected"),
    parts=(
        Number(
            "short_ohms",
            "What is the resistance, mean voltage over mean current?",
            points=1,
            unit="mΩ",
            expected=lambda g, a: np.divide(*_means_and_scatter(g)[0]),
            within=relative(0.001),
            because="the readings have four figures",
            plausible=(5, 100),
            working="""
mean_drop = sum(drop) / 5               # sum() adds the five up
mean_current = sum(injected) / 5
short_ohms = mean_drop / mean_current * 1000
""",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: np.divide(*_means_and_scatter(g)[0][::-1]),
                    "That is current over voltage: the conductance.",
                ),
                Slip(
                    "first pair alone",
                    lambda g, a: g.drop[0] / g.injected[0],
                    "That is the first pair of readings alone. Take all five.",
                ),
            ),
        ),
        Number(
            "drop_u",
            "What is the standard uncertainty of the mean voltage?",
            points=1,
            unit="mV",
            expected=lambda g, a: np.sqrt(_means_and_scatter(g)[1][0, 0]),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.018, 0.28),
            working="""
v1, v2, v3, v4, v5 = drop
squares_v = (
    (v1 - mean_drop)**2 + (v2 - mean_drop)**2 + (v3 - mean_drop)**2 + (v4 - mean_drop)**2 + (v5 - mean_drop)**2
)
drop_u = sqrt(squares_v / 4) / sqrt(5)
""",
            slips=(
                Slip(
                    "scatter of one reading",
                    lambda g, a: np.std(g.drop, ddof=1),
                    "That is the scatter of one reading. The mean of five scatters less.",
                ),
                Slip(
                    "divided by n",
                    lambda g, a: np.std(g.drop) / np.sqrt(5),
                    "You divided by n inside s. One degree of freedom went into the mean: n − 1.",
                ),
                Slip(
                    "range",
                    lambda g, a: max(g.drop) - min(g.drop),
                    "That is the span from lowest to highest. The standard deviation is asked for.",
                ),
            ),
        ),
        Number(
            "together",
            "What is the correlation r of voltage and current?",
            points=2,
            unit="1",
            expected=lambda g, a: _correlation(g),
            within=absolute(0.01),
            because="a correlation is worth two figures",
            plausible=(0.42, 1),
            working="""
i1, i2, i3, i4, i5 = injected
squares_i = (
    (i1 - mean_current)**2 + (i2 - mean_current)**2 + (i3 - mean_current)**2
    + (i4 - mean_current)**2 + (i5 - mean_current)**2
)
cross = (
    (v1 - mean_drop) * (i1 - mean_current) + (v2 - mean_drop) * (i2 - mean_current)
    + (v3 - mean_drop) * (i3 - mean_current) + (v4 - mean_drop) * (i4 - mean_current)
    + (v5 - mean_drop) * (i5 - mean_current)
)
together = cross / sqrt(squares_v * squares_i)
""",
            slips=(
                Slip(
                    "squared",
                    lambda g, a: _correlation(g) ** 2,
                    "That is the square of r.",
                ),
                Slip(
                    "turned round",
                    lambda g, a: -_correlation(g),
                    "The sign is turned round: when one rises, look which way the other goes.",
                ),
                Slip(
                    "n and n − 1 mixed",
                    lambda g, a: 0.8 * _correlation(g),
                    "You divided by n in one place and by n − 1 in another. In r the numbers of readings cancel.",
                ),
            ),
        ),
        Number(
            "short_u",
            "What is the standard uncertainty of the resistance R? With shares v = u(V)/V and i = u(I)/I it is "
            "R × √(v² + i² − 2 r v i).",
            points=2,
            unit="mΩ",
            expected=lambda g, a: _ratio_uncertainty(g, _correlation(g)),
            within=relative(0.02),
            because="from rounded inputs the second figure of an uncertainty moves",
            plausible=(0.0088, 0.13),
            working="""
share_v = drop_u / mean_drop
share_i = sqrt(squares_i / 4) / sqrt(5) / mean_current
short_u = short_ohms * sqrt(share_v**2 + share_i**2 - 2 * together * share_v * share_i)
""",
            slips=(
                Slip(
                    "as if independent",
                    lambda g, a: _ratio_uncertainty(g, 0),
                    "You left the correlation out. Where both wander together, much of it cancels in the ratio.",
                ),
                Slip(
                    "sign of the correlation",
                    lambda g, a: _ratio_uncertainty(g, -_correlation(g)),
                    "The sign of the last term is turned round. In a ratio, wandering together cancels.",
                ),
                Slip(
                    "in a product",
                    lambda g, a: _ratio_uncertainty(g, 1),
                    "You took the difference of the two shares. That would be right only if r were exactly 1.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "Ten minutes later five more such pairs give {more} more for R, with the same standard uncertainty. The shop calls a "
            "change real where it is larger than twice its own standard uncertainty, √2 times that of one R. What now?",
            points=1,
            options={
                "more current": "raise the current until the short burns clear",
                "stop": "supply off: the short is changing, look why",
                "go on": "go on with the search: no change is shown",
            },
            expected=lambda g, a: "stop" if g.more > 2 * np.sqrt(2) * a.short_u else "go on",
            hint="Compare the change with 2 × √2 × your answer to Part 4.",
            slips={
                "more current": "That burns traces and neighbours, and the short may come back in the owner's set.",
                "stop": "The change is smaller than its uncertainty: nothing shows that the short moves.",
                "go on": "The change is larger than its uncertainty: under current a short that moves is getting hot.",
            },
        ),
    ),
    cases=tuple(
        Case(
            part,
            answer,
            within,
            source,
            standing,
            givens={
                "drop": (5007, 4994, 5005, 4990, 4999),
                "injected": (19.663, 19.639, 19.640, 19.685, 19.678),
            },
        )
        for part, answer, within, source, standing in (
            ("short_ohms", 254260, 0.5, "JCGM 100:2008, H.2, impedance, printed 254.260 Ω", "published-second-hand"),
            ("short_u", 236, 0.5, "JCGM 100:2008, H.2, u of the impedance, printed 0.236 Ω", "published-second-hand"),
            ("drop_u", 3.2, 0.05, "documentation of GTC, GUM H.2: u of the voltage, 0.0032 V", "published"),
            ("together", -0.36, 0.005, "documentation of GTC, GUM H.2: r of voltage and current", "published"),
        )
    ),
    caution=DEAD,
    floor=0.10,
    sound=lambda drawn: _holds_together(drawn["drop"], drawn["injected"]) and _change_is_clear(drawn),
)


def _change_is_clear(drawn):
    """Whether the later change is clearly larger or clearly smaller than its expanded uncertainty."""
    g = MOVE_TOGETHER.values(drawn)
    return abs(g.more / (2 * np.sqrt(2) * _ratio_uncertainty(g, _correlation(g))) - 1) > 0.1


def _holds_together(drop, injected):
    """Whether voltage and current wander clearly, and clearly together, in a draw."""
    steady = min(np.std(drop) / np.mean(drop), np.std(injected) / np.mean(injected)) < 0.003
    return not steady and 0.6 < np.corrcoef(drop, injected)[0, 1] < 0.97


EXERCISES = (DECIDE, GAUGE, POOL, MOVE_TOGETHER)
