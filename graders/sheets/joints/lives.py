"""Exercises on lives that scatter: reading a Weibull law, fitting it, and parts made of many joints."""

import math

from graders.questions import Case, Choice, Exercise, Number, Pick, Quantity, Record, Slip, absolute, relative
from workbook.bench.joints import weibull

NIST = "NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3"
NIST_FAILURES = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
RANKS_PAGE = "agency training page on median ranks, 5 of 12 units failed"
RANKS_FAILURES = (43, 67, 92, 94, 149)

READ_A_FIT = Exercise(
    id="read-a-fit",
    number=9,
    title="Read a Weibull law",
    setup=(
        "Joints under test scatter in their lives. A fit says that the share failed after t cycles is "
        "F = 1 − exp( −(t/η)^β ), with η = {characteristic_life} and β = {shape} (made-up fit). η is called the "
        "characteristic life, β the shape."
    ),
    givens=dict(
        characteristic_life=Quantity(2400, "cycles", low=1500, high=6000, step=100),
        shape=Quantity(2.3, "1", low=1.6, high=3.8, step=0.1),
        cycles_run=Quantity(1500, "cycles", low=800, high=2200, step=100),
        early_share=Pick(10, (1, 2, 5, 10), "%"),
    ),
    parts=(
        Number(
            "failed",
            "Which share has failed after {cycles_run}?",
            points=1,
            unit="%",
            expected=lambda g, a: weibull.fraction_failed(g.cycles_run, g.characteristic_life, g.shape),
            within=absolute(0.3),
            because="a fit from few boards is not surer",
            plausible=(0.82, 99.5),
            working="failed = (1 - exp(-(cycles_run / characteristic_life)**shape)) * 100",
            slips=(
                Slip(
                    "still good",
                    lambda g, a: weibull.reliability(g.cycles_run, g.characteristic_life, g.shape),
                    "That is the share still good. The question asks for the share failed.",
                ),
                Slip(
                    "shape left out",
                    lambda g, a: weibull.fraction_failed(g.cycles_run, g.characteristic_life, 1),
                    "The shape is missing: raise t/η to the power β first.",
                ),
                Slip(
                    "straight share of the life",
                    lambda g, a: g.cycles_run / g.characteristic_life,
                    "You let joints fail at an even pace. They hold for a while and then fail closer together.",
                ),
            ),
        ),
        Number(
            "half_life",
            "After how many cycles has half of the joints failed?",
            points=1,
            unit="cycles",
            expected=lambda g, a: weibull.median_life(g.characteristic_life, g.shape),
            within=relative(0.01),
            because="the two numbers of the fit are taken as given, so only rounding is left",
            plausible=(300, 6000),
            working="half_life = characteristic_life * log(2)**(1 / shape)",
            hint="Set F = 0.5 and solve for t: first the logarithm, then the root.",
            slips=(
                Slip(
                    "characteristic life",
                    lambda g, a: g.characteristic_life,
                    "That is η. At t = η the law gives F = 1 − exp(−1): more than half.",
                ),
                Slip(
                    "no root",
                    lambda g, a: g.characteristic_life * math.log(2),
                    "The root is missing: solve (t/η)^β = ln 2 for t.",
                ),
                Slip(
                    "half for its logarithm",
                    lambda g, a: g.characteristic_life * 0.5 ** (1 / g.shape),
                    "You put 0.5 itself under the root. F = 0.5 stands behind an exponential: take the logarithm first.",
                ),
                Slip(
                    "half of η",
                    lambda g, a: g.characteristic_life / 2,
                    "You halved η. Failures do not come in step with the cycles: solve the law for t.",
                ),
            ),
        ),
        Number(
            "early_life",
            "After how many cycles have {early_share} of the joints failed?",
            points=2,
            unit="cycles",
            expected=lambda g, a: weibull.b_life(g.early_share, g.characteristic_life, g.shape),
            within=relative(0.01),
            because="the two numbers of the fit are taken as given, so only rounding is left",
            plausible=(30, 4000),
            working="early_life = characteristic_life * (-log(1 - early_share / 100))**(1 / shape)",
            hint="The same steps as for half, with another share.",
            slips=(
                Slip(
                    "share still good",
                    lambda g, a: weibull.b_life(1 - g.early_share, g.characteristic_life, g.shape),
                    "By then only so few are still good. The question asks when so few have failed.",
                ),
                Slip(
                    "no root",
                    lambda g, a: -math.log(1 - g.early_share) * g.characteristic_life,
                    "The root is missing: solve (t/η)^β = −ln(1 − F) for t.",
                ),
            ),
        ),
        Choice(
            "promise_from",
            "A customer must not see more than a few early failures. Which life belongs in a promise?",
            points=1,
            options={
                "characteristic": "η, the number that every report prints first",
                "early": "the life by which an agreed small share has failed",
                "half": "the life that half of them reach, the typical joint",
            },
            expected=lambda g, a: "early",
            slips={
                "characteristic": "By then almost two thirds have failed. That is no promise to a customer.",
                "half": "By then every second customer is back.",
            },
        ),
    ),
    cases=(
        Case(
            "failed",
            63.2,
            0.05,
            "MIL-HDBK-338B, section 5.3.6: share failed at the characteristic life",
            "published",
            givens={"characteristic_life": 1000, "cycles_run": 1000},
        ),
        Case(
            "failed",
            82.31,
            0.005,
            "a worked Weibull example (characteristic life 1000, shape 0.5, time 3000; it prints 80.22, wrongly)",
            "computed",
            givens={"characteristic_life": 1000, "shape": 0.5, "cycles_run": 3000},
        ),
        Case(
            "failed",
            51.19,
            0.005,
            f"{NIST}: the fit at 500 h",
            "computed",
            givens={"characteristic_life": 606.528, "shape": 1.7208, "cycles_run": 500},
        ),
        Case(
            "early_life",
            164.0,
            0.05,
            f"{NIST}: 10 % life of the fit",
            "computed",
            givens={"characteristic_life": 606.528, "shape": 1.7208, "early_share": 10},
        ),
        Case(
            "early_life",
            333,
            0.5,
            "shape 2.22 and characteristic life 2647 (a trade column prints less than 150, wrongly)",
            "computed",
            givens={"characteristic_life": 2647, "shape": 2.22, "early_share": 1},
        ),
        Case(
            "half_life",
            490.2,
            0.05,
            "scipy.stats.weibull_min.median with the fit of the NIST/SEMATECH e-Handbook, 8.4.1.3",
            "computed",
            givens={"characteristic_life": 606.528, "shape": 1.7208},
        ),
    ),
    sound=lambda drawn: 0.3 < drawn["cycles_run"] / drawn["characteristic_life"] < 1.2,
    floor=0.07,
)

SURVIVOR_TIMES = (410, 690, 870, 960, 1130, 1260, 1370, 1440)
"""Invented failure times of a test stopped at 1500 cycles."""


def _own_failures(stream, drawn):
    """Stretch the invented times to the learner's stopping time and shift each by up to 40 cycles."""
    scale = drawn["stopped"] / 1500
    return sorted(round(time * scale / 10 + stream.grid(-4, 4, 1)) * 10 - 10 for time in SURVIVOR_TIMES)


def _life_of_known_shape(failed_at, survivors, stopped, shape):
    """Return the characteristic life most likely for a known shape: the root of all time over failures, in powers."""
    powers = sum(time**shape for time in failed_at) + survivors * stopped**shape
    return (powers / len(failed_at)) ** (1 / shape)


def _from_all(g, shape):
    return _life_of_known_shape(g.failed_at, g.survivors, g.stopped, shape)


COUNT_THE_SURVIVORS = Exercise(
    id="count-the-survivors",
    number=10,
    title="Count the survivors",
    setup=(
        "A cycling test of joints was stopped at {stopped}. By then joints had failed at the cycles below; another "
        "{survivors} were still good (made-up test). From earlier tests the shape of their lives is known: β = {shape}. "
        "The characteristic life that fits best is then\n\n"
        "η = ( sum of t^β / number failed )^(1/β)\n\n"
        "The sum runs over **all** joints: the failed ones with the cycles at which they failed, the good ones with the "
        "cycles at which the test was stopped."
    ),
    givens=dict(
        stopped=Quantity(1500, "cycles", low=1200, high=2400, step=100),
        failed_at=Record(SURVIVOR_TIMES, "cycles", _own_failures),
        survivors=Quantity(10, "1", low=6, high=16, step=1),
        shape=Quantity(2.2, "1", low=1.6, high=3.2, step=0.1),
    ),
    table=("failed_at",),
    parts=(
        Number(
            "characteristic_life",
            "What is the characteristic life η?",
            points=2,
            unit="cycles",
            expected=lambda g, a: _from_all(g, g.shape),
            within=relative(0.01),
            because="the cycles are read off to ten",
            plausible=(800, 10000),
            working="""
t1, t2, t3, t4, t5, t6, t7, t8 = failed_at
of_failed = t1**shape + t2**shape + t3**shape + t4**shape + t5**shape + t6**shape + t7**shape + t8**shape
of_good = survivors * stopped**shape
characteristic_life = ((of_failed + of_good) / 8)**(1 / shape)
""",
            slips=(
                Slip(
                    "survivors left out",
                    lambda g, a: _life_of_known_shape(g.failed_at, 0, g.stopped, g.shape),
                    "You left out the joints that were still good. They have the longest lives of all.",
                ),
                Slip(
                    "over all joints",
                    lambda g, a: (
                        _from_all(g, g.shape) * (len(g.failed_at) / (len(g.failed_at) + g.survivors)) ** (1 / g.shape)
                    ),
                    "You divided by all joints. Only failures tell how fast joints fail: divide by the number failed.",
                ),
                Slip(
                    "shape left out",
                    lambda g, a: _from_all(g, 1),
                    "That is the plain sum over the number failed. The law wants each time to the power β.",
                ),
                Slip(
                    "survivors as one",
                    lambda g, a: _life_of_known_shape(g.failed_at, 1, g.stopped, g.shape),
                    "You counted the good joints once. Each of them ran to the end.",
                ),
                Slip(
                    "root before the division",
                    lambda g, a: _from_all(g, g.shape) * len(g.failed_at) ** (1 / g.shape - 1),
                    "You took the root before you divided by the number failed. Divide first.",
                ),
            ),
        ),
        Number(
            "without_them",
            "A hasty report leaves the good joints out of the sum and still divides by the number failed. Which η "
            "would it print?",
            points=1,
            unit="cycles",
            expected=lambda g, a: _life_of_known_shape(g.failed_at, 0, g.stopped, g.shape),
            within=relative(0.01),
            because="the cycles are read off to ten",
            plausible=(510, 5000),
            working="without_them = (of_failed / 8)**(1 / shape)",
            slips=(
                Slip(
                    "over all joints",
                    lambda g, a: (
                        _life_of_known_shape(g.failed_at, 0, g.stopped, g.shape)
                        * (len(g.failed_at) / (len(g.failed_at) + g.survivors)) ** (1 / g.shape)
                    ),
                    "You left the good joints out of the sum and still divided by them.",
                ),
                Slip(
                    "plain average",
                    lambda g, a: sum(g.failed_at) / len(g.failed_at),
                    "That is the average of the failures. Put the times into the formula, each to the power β.",
                ),
            ),
        ),
        Number(
            "too_short",
            "By how many per cent is the hasty η shorter than the one of part 1?",
            points=1,
            unit="%",
            expected=lambda g, a: 1 - a.without_them / a.characteristic_life,
            within=absolute(1),
            because="it carries the rounding of both lives",
            plausible=(5, 90),
            working="too_short = (1 - without_them / characteristic_life) * 100",
            slips=(
                Slip(
                    "share left",
                    lambda g, a: a.without_them / a.characteristic_life,
                    "That is what is left of the life, in per cent. How much is lost?",
                ),
                Slip(
                    "of the hasty life",
                    lambda g, a: a.characteristic_life / a.without_them - 1,
                    "You divided by the hasty life. Divide by the one of part 1.",
                ),
            ),
        ),
        Number(
            "tenth_life",
            "With η of part 1: after how many cycles has a tenth of such joints failed? (F = 1 − exp( −(t/η)^β ).)",
            points=2,
            unit="cycles",
            expected=lambda g, a: weibull.b_life(0.10, a.characteristic_life, g.shape),
            within=relative(0.015),
            because="it carries the rounding of η",
            plausible=(130, 5000),
            working="tenth_life = characteristic_life * (-log(1 - 0.10))**(1 / shape)",
            slips=(
                Slip(
                    "tenth still good",
                    lambda g, a: weibull.b_life(0.90, a.characteristic_life, g.shape),
                    "By then only a tenth is still good. The question asks when a tenth has failed.",
                ),
                Slip(
                    "from the hasty life",
                    lambda g, a: weibull.b_life(0.10, a.without_them, g.shape),
                    "You used the hasty η. The question wants the one of part 1.",
                ),
                Slip(
                    "tenth of the life",
                    lambda g, a: 0.1 * a.characteristic_life,
                    "You took a tenth of η. Joints do not fail at an even pace: use the law.",
                ),
            ),
        ),
        Choice(
            "report",
            "Eight joints have failed, the others run no longer. What goes into the report?",
            points=1,
            options={
                "hasty": "the η of part 2: it is shorter, and so on the safe side",
                "all": "the η of part 1, with how many failed and how many ran on",
                "wait": "nothing yet: without the last failure there is no life",
            },
            expected=lambda g, a: "all",
            slips={
                "hasty": "A number that is wrong is on no side. The next test will be planned by it.",
                "wait": "Joints that still run tell something: at least how long they lasted.",
            },
        ),
    ),
    cases=(
        Case(
            "characteristic_life",
            606.5280,
            0.005,
            f"{NIST}: ten failed, ten good at 500 h",
            "published",
            givens={"failed_at": NIST_FAILURES, "survivors": 10, "stopped": 500, "shape": 1.7208},
            note="the source prints four decimals of the shape, which moves the life by 0.002",
        ),
        Case(
            "without_them",
            308.5,
            0.05,
            f"{NIST}: the ten failed alone, shape 3.060",
            "computed",
            givens={"failed_at": NIST_FAILURES, "survivors": 10, "stopped": 500, "shape": 3.060},
        ),
        Case(
            "tenth_life",
            164.0,
            0.05,
            f"{NIST}: 10 % life of the fit",
            "computed",
            givens={"failed_at": NIST_FAILURES, "survivors": 10, "stopped": 500, "shape": 1.7208},
        ),
        Case(
            "too_short",
            49.1,
            0.05,
            "by hand from two fits to the NIST/SEMATECH e-Handbook's 20 units: 308.5 h without the survivors, 606.5 h with them",
            "computed",
            earlier={"characteristic_life": 606.528, "without_them": 308.5},
        ),
    ),
    floor=0.25,
)

RANK_TIMES = (460, 720, 1010, 1030, 1560)
"""Invented failure times of a test of twelve boards."""
MIDDLE_TIME = 1010


def _own_rank_times(stream, drawn):
    """Stretch the invented times and shift each a little; for some learners the early ones come far earlier."""
    scale = stream.grid(0.8, 1.6, 0.05)
    spread = stream.pick((1, 2.6))
    spread_out = (MIDDLE_TIME * (time / MIDDLE_TIME) ** spread for time in RANK_TIMES)
    return sorted(round((time * scale * (1 + stream.grid(-6, 6, 1) / 100)) / 10) * 10 for time in spread_out)


def _height(rank, boards):
    """Return the height of a failure on Weibull paper, by Benard's share."""
    return math.log(-math.log(1 - weibull.median_rank(rank, boards, "benard")))


def _slope(g, boards=None, log=math.log):
    """Return the slope of the line through the first and the fifth failure."""
    boards = g.boards if boards is None else boards
    return (_height(5, boards) - _height(1, boards)) / (log(g.failed_at[4]) - log(g.failed_at[0]))


def _crossing(g, shape, boards=None):
    """Return the time at which the line through the fifth failure reaches y = 0."""
    return g.failed_at[4] * math.exp(-_height(5, g.boards if boards is None else boards) / shape)


MEDIAN_RANKS = Exercise(
    id="median-ranks",
    number=11,
    title="Draw the line through the median ranks",
    setup=(
        "Of {boards} boards on test five have failed, at the cycles below, in order; all the others were still good when "
        "the fifth failed, and the test was stopped (made-up test). Each failure stands for a share of all boards. "
        "Benard's formula gives the share for the i-th of n boards as F = (i − 0.3) / (n + 0.4), a fraction of 1. On Weibull paper the "
        "points (x, y) with x = ln t and y = ln( −ln(1 − F) ) lie near a straight line of slope β, which crosses y = 0 "
        "at t = η.\n\n"
        "Draw it as one does with a ruler: through the first and the fifth point."
    ),
    givens=dict(
        boards=Quantity(12, "1", low=9, high=18, step=1),
        failed_at=Record(RANK_TIMES, "cycles", _own_rank_times),
    ),
    table=("failed_at",),
    parts=(
        Number(
            "first_share",
            "For which share of all boards does the first failure stand?",
            points=1,
            unit="%",
            expected=lambda g, a: weibull.median_rank(1, g.boards, "benard"),
            within=absolute(0.03),
            because="the formula is exact to rounding",
            plausible=(2.3, 11),
            working="first_share = (1 - 0.3) / (boards + 0.4) * 100",
            slips=(
                Slip(
                    "one in n",
                    lambda g, a: 1 / g.boards,
                    "You took one board of all. Benard's formula takes a little off.",
                ),
                Slip(
                    "good ones left out",
                    lambda g, a: weibull.median_rank(1, 5, "benard"),
                    "You counted the failed boards only. n is all boards on test.",
                ),
                Slip(
                    "middle of the step",
                    lambda g, a: 0.5 / g.boards,
                    "That is (i − 0.5)/n, another rule. The question gives Benard's.",
                ),
            ),
        ),
        Number(
            "fifth_share",
            "And the fifth?",
            points=1,
            unit="%",
            expected=lambda g, a: weibull.median_rank(5, g.boards, "benard"),
            within=absolute(0.03),
            because="the formula is exact to rounding",
            plausible=(15, 99),
            working="fifth_share = (5 - 0.3) / (boards + 0.4) * 100",
            slips=(
                Slip("five in n", lambda g, a: 5 / g.boards, "You took five boards of all. Use Benard's formula."),
                Slip(
                    "good ones left out",
                    lambda g, a: weibull.median_rank(5, 5, "benard"),
                    "You counted the failed boards only. n is all boards on test.",
                ),
                Slip(
                    "middle of the step",
                    lambda g, a: 4.5 / g.boards,
                    "That is (i − 0.5)/n, another rule. The question gives Benard's.",
                ),
            ),
        ),
        Number(
            "shape",
            "What is the slope β of the line?",
            points=1,
            unit="1",
            expected=lambda g, a: _slope(g),
            within=relative(0.01),
            because="shares with four digits leave only rounding",
            plausible=(0.3, 3.1),
            working="""
first_y = log(-log(1 - first_share / 100))
fifth_y = log(-log(1 - fifth_share / 100))
shape = (fifth_y - first_y) / (log(failed_at[4]) - log(failed_at[0]))
""",
            hint="The rise in y from the first point to the fifth, over the way in x = ln t.",
            slips=(
                Slip(
                    "common logarithm",
                    lambda g, a: _slope(g, log=math.log10),
                    "You took the logarithm of t to base 10. Both axes need the natural one.",
                ),
                Slip("upside down", lambda g, a: 1 / _slope(g), "The ratio is upside down: the rise in y is on top."),
                Slip(
                    "good ones left out",
                    lambda g, a: _slope(g, 5),
                    "The shares were counted among the failed boards only. n is all boards on test.",
                ),
            ),
        ),
        Number(
            "characteristic_life",
            "What is the characteristic life η?",
            points=2,
            unit="cycles",
            expected=lambda g, a: _crossing(g, a.shape),
            within=relative(0.015),
            because="it carries the rounding of β",
            plausible=(970, 60000),
            working="characteristic_life = exp(log(failed_at[4]) - fifth_y / shape)",
            hint="From the fifth point follow the slope to y = 0, and turn x back into t.",
            slips=(
                Slip(
                    "wrong way along the line",
                    lambda g, a: g.failed_at[4] ** 2 / _crossing(g, a.shape),
                    "You went the wrong way from the fifth point. Its y lies below zero, so y = 0 lies to the right.",
                ),
                Slip(
                    "last failure",
                    lambda g, a: g.failed_at[4],
                    "That is the fifth failure. The line has to be followed on to y = 0.",
                ),
            ),
        ),
        Choice(
            "look_at",
            "β well above 1 speaks for wear by cycles, below 1 for faults that were there from the start. Where does the shop "
            "look first?",
            points=1,
            options={
                "neither": "at neither: five failures are too few to look at anything",
                "strain": "at what strains the joints: swing, size, height, expansion",
                "process": "at how they were soldered: profile, paste, flux, placement",
            },
            expected=lambda g, a: "strain" if a.shape > 1 else "process",
            slips={"neither": "Five failures prove nothing, and still say where to look first."},
        ),
    ),
    cases=(
        Case("first_share", 5.65, 0.005, RANKS_PAGE, "published-unnamed", givens={"boards": 12}),
        Case("fifth_share", 37.90, 0.005, RANKS_PAGE, "published-unnamed", givens={"boards": 12}),
        Case(
            "shape",
            1.693,
            0.0005,
            f"{RANKS_PAGE}: line through the first and last of its data",
            "computed",
            givens={"boards": 12, "failed_at": RANKS_FAILURES},
        ),
        Case(
            "characteristic_life",
            230.9,
            0.05,
            f"{RANKS_PAGE}: line through the first and last of its data",
            "computed",
            givens={"boards": 12, "failed_at": RANKS_FAILURES},
        ),
    ),
    sound=lambda drawn: abs(_slope(MEDIAN_RANKS.values(drawn)) - 1) > 0.15,
    floor=0.15,
)


def _load(drawn: dict) -> float:
    """Return the exponent of the whole package at the cycles run."""
    return drawn["joints"] * (drawn["cycles_run"] / drawn["joint_life"]) ** drawn["shape"]


MANY_JOINTS = Exercise(
    id="many-joints",
    number=12,
    title="Go from one joint to the whole package",
    setup=(
        "One joint of a package follows a Weibull law: after t cycles the share still good is R = exp( −(t/η)^β ), with "
        "η = {joint_life} and β = {shape} (made-up law). Its {joints} outermost joints are strained alike; the inner ones are strained far less and are left out. They fail "
        "independently of one another, and the package fails with its first joint."
    ),
    givens=dict(
        joint_life=Quantity(8000, "cycles", low=5000, high=12000, step=500),
        shape=Quantity(2.75, "1", low=2.25, high=3.5, step=0.25),
        joints=Quantity(24, "1", low=12, high=40, step=4),
        cycles_run=Quantity(1200, "cycles", low=800, high=2500, step=100),
        wanted=Pick(90, (80, 90, 95), "%"),
    ),
    parts=(
        Number(
            "joint_failed",
            "Which share of single joints has failed after {cycles_run}?",
            points=1,
            unit="%",
            expected=lambda g, a: weibull.fraction_failed(g.cycles_run, g.joint_life, g.shape),
            within=relative(0.02),
            because="η and β are taken as given; keep three digits for the parts to come",
            plausible=(0.009, 7.7),
            working="joint_failed = (1 - exp(-(cycles_run / joint_life)**shape)) * 100",
            hint="It is a very small share.",
            slips=(
                Slip(
                    "still good",
                    lambda g, a: weibull.reliability(g.cycles_run, g.joint_life, g.shape),
                    "That is the share still good. The question asks for the share failed.",
                ),
                Slip(
                    "shape left out",
                    lambda g, a: weibull.fraction_failed(g.cycles_run, g.joint_life, 1),
                    "The shape is missing: raise t/η to the power β first.",
                ),
                Slip(
                    "straight ratio",
                    lambda g, a: g.cycles_run / g.joint_life,
                    "That is the share of the characteristic life that has passed. Failures do not come in step with it.",
                ),
            ),
        ),
        Number(
            "package_good",
            "Which share of packages is still good after {cycles_run}?",
            points=2,
            unit="%",
            expected=lambda g, a: weibull.package_reliability(1 - a.joint_failed, g.joints),
            within=absolute(0.3),
            because="the share failed of one joint is rounded",
            plausible=(30, 99.99),
            working="package_good = (1 - joint_failed / 100)**joints * 100",
            hint="All joints must be good at once.",
            slips=(
                Slip(
                    "one joint",
                    lambda g, a: 1 - a.joint_failed,
                    "That is one joint. The package needs all of them.",
                ),
                Slip(
                    "packages failed",
                    lambda g, a: 1 - weibull.package_reliability(1 - a.joint_failed, g.joints),
                    "That is the share of packages that failed. The question asks for the good ones.",
                ),
            ),
        ),
        Number(
            "package_life",
            "What is the characteristic life of the package? (Its law has the same β. Ask at which t the product of all "
            "joints' R equals exp(−1).)",
            points=2,
            unit="cycles",
            expected=lambda g, a: weibull.weakest_link_life(g.joint_life, g.shape, g.joints),
            within=relative(0.015),
            because="η and β are taken as given, so only rounding is left",
            plausible=(710, 9500),
            working="package_life = joint_life * joints**(-1 / shape)",
            hint="The exponents of all joints add up: N · (t/η)^β = 1.",
            slips=(
                Slip(
                    "divided by the joints",
                    lambda g, a: g.joint_life / g.joints,
                    "You divided η by the number of joints. The root with β is missing.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.joint_life * g.joints ** (1 / g.shape),
                    "More joints cannot make a package last longer. Look at the sign of the exponent.",
                ),
                Slip(
                    "one joint",
                    lambda g, a: g.joint_life,
                    "That is one joint. The package fails with the first of many.",
                ),
                Slip(
                    "square root",
                    lambda g, a: g.joint_life / g.joints**0.5,
                    "You took the square root of the number. The root is the one that belongs to β.",
                ),
            ),
        ),
        Choice(
            "promise",
            "The customer wants {wanted} of the packages to be good after {cycles_run}. What does the shop answer?",
            points=1,
            options={
                "one joint": "yes: of the single joints more than that are good",
                "no": "no: fewer packages than that are still good by then",
                "yes": "yes: so many packages, or more, are still good by then",
            },
            expected=lambda g, a: "yes" if a.package_good >= g.wanted else "no",
            slips={"one joint": "The customer has a package, and one bad joint is enough to end it."},
        ),
    ),
    cases=(
        Case(
            "joint_failed",
            0.0125,
            0.00005,
            "one joint with characteristic life 20 000 and shape 3 at 1000 cycles, 1 − 0.999875",
            "computed",
            givens={"joint_life": 20000, "shape": 3, "cycles_run": 1000},
        ),
        Case(
            "package_good",
            95.12,
            0.005,
            "400 such joints at 1000 cycles",
            "computed",
            givens={"joint_life": 20000, "shape": 3, "cycles_run": 1000, "joints": 400},
        ),
        Case(
            "package_life",
            2714,
            0.5,
            "minimum of 400 independent Weibull lives of 20 000 cycles and shape 3",
            "computed",
            givens={"joint_life": 20000, "shape": 3, "joints": 400},
        ),
        Case(
            "package_life",
            1000,
            0.5,
            "minimum of 400 independent Weibull lives of 20 000 cycles and shape 2",
            "computed",
            givens={"joint_life": 20000, "shape": 2, "joints": 400},
        ),
    ),
    sound=lambda drawn: 0.005 < _load(drawn) < 0.6 and abs(math.exp(-_load(drawn)) - drawn["wanted"] / 100) > 0.01,
    floor=0.20,
)

EXERCISES = (READ_A_FIT, COUNT_THE_SURVIVORS, MEDIAN_RANKS, MANY_JOINTS)
