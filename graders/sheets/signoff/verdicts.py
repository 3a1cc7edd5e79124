"""From reading to verdict: how probable it is that a limit holds, guard bands, and who bears which risk."""

from math import erf, exp, sqrt

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.signoff.rail import ANSWERS
from graders.sheets.signoff.words import ON_PAPER, story
from workbook.bench.signoff import conformity

ILAC = "ILAC-G8:09/2019"
JCGM_106 = "JCGM 106:2012"
BEARINGS = f"{JCGM_106}, 9.5.4 (ball bearings), as a national laboratory's notebook works it"


def _inside(g, wider=1.0):
    return conformity.probability_of_conformity(g.peak_c, g.doubt * wider, g.low_c, g.high_c)


def _over(g, wider=1.0):
    return conformity.probability_of_conformity(g.peak_c, g.doubt * wider, lower=g.high_c)


def _guard(g):
    return conformity.guard_band(g.doubt, g.risk)


CONFORMITY = Exercise(
    id="inside-the-window",
    number=8,
    title="Say how probable it is that the peak was inside its window",
    setup=story(
        "The reflow again: the peak of a joint under the middle of the processor.",
        "The log says {peak_c}, corrected for all that is known; the standard uncertainty is u = {doubt}. Joints may reach 230 to 245 °C. "
        "For the middle joints, which run hotter than the coldest at the corner, the shop's programme sheet asks {low_c} to "
        "{high_c}. Nothing else is known, so the true peak is spread about the reading as a normal distribution: "
        "it lies below x with probability Φ(z) = (1 + erf(z/√2)) / 2, with z = (x − reading) / u.\n\n"
        "The shop accepts a peak only up to the high limit less a guard band w, so that even a peak just accepted lies "
        "above the limit with a risk of no more than {risk} (the low limit is not looked at here). w = z · u, with z = 1.282 for a risk of "
        "10 %, 1.645 for 5 %, 1.960 for 2.5 %, 2.326 for 1 %.",
    ),
    givens=dict(
        peak_c=Quantity(242, "°C", low=240.5, high=244.75, step=0.25),
        doubt=Quantity(1.5, "K", low=1.2, high=1.9, step=0.05),
        low_c=Fixed(239, "°C"),
        high_c=Fixed(244, "°C"),
        risk=Pick(5, (1, 2.5, 5, 10), "%"),
    ),
    parts=(
        Number(
            "over",
            "How probable is it that the true peak was **above** {high_c}?",
            points=2,
            unit="%",
            expected=lambda g, a: _over(g),
            within=absolute(0.2),
            because="the numbers are taken as printed, and rounding costs less",
            plausible=(0.22, 100),
            working="over = (1 - erf((high_c - peak_c) / doubt / sqrt(2))) / 2 * 100",
            slips=(
                Slip(
                    "below",
                    lambda g, a: 1 - _over(g),
                    "That is the probability of lying below the limit. The question asks for above.",
                ),
                Slip(
                    "U for u",
                    lambda g, a: _over(g, wider=2),
                    "You divided by twice the standard uncertainty. z counts in u.",
                ),
                Slip(
                    "root of 2 forgotten",
                    lambda g, a: _over(g, wider=1 / sqrt(2)),
                    "The root of 2 under z is missing: erf is not yet the normal distribution.",
                ),
                Slip(
                    "bare erf",
                    lambda g, a: 1 - erf((g.high_c - g.peak_c) / g.doubt / sqrt(2)),
                    "You left out the halving: erf alone speaks of both sides of the reading at once.",
                ),
                Slip(
                    "other limit",
                    lambda g, a: (1 - erf((245 - g.peak_c) / g.doubt / sqrt(2))) / 2,
                    "That is for 245 °C. Look which temperature the question names.",
                ),
            ),
        ),
        Number(
            "inside",
            "How probable is it that the true peak was from {low_c} to {high_c}?",
            points=2,
            unit="%",
            expected=lambda g, a: _inside(g),
            within=absolute(0.2),
            because="the numbers are taken as printed, and rounding costs less",
            plausible=(27, 99.99),
            working="inside = 100 - over - (1 + erf((low_c - peak_c) / doubt / sqrt(2))) / 2 * 100",
            hint="It may lie above the window, below it, or inside: the three make a hundred.",
            slips=(
                Slip(
                    "high limit only",
                    lambda g, a: 1 - _over(g),
                    "You left out the low limit. The true peak may also lie below the window.",
                ),
                Slip(
                    "outside",
                    lambda g, a: 1 - _inside(g),
                    "That is the probability of lying outside.",
                ),
            ),
        ),
        Number(
            "guard",
            "How wide is the guard band w?",
            points=1,
            unit="K",
            expected=lambda g, a: _guard(g),
            within=relative(0.01),
            because="z is given to four figures",
            plausible=(1, 6),
            working="""
z = 1.645                               # risk 5 %
if risk == 10: z = 1.282
if risk == 2.5: z = 1.960
if risk == 1: z = 2.326
guard = z * doubt
""",
            slips=(
                Slip("z alone", lambda g, a: _guard(g) / g.doubt, "That is z; multiply by u."),
                Slip(
                    "half the risk",
                    lambda g, a: conformity.guard_band(g.doubt, g.risk / 2),
                    "Your z is for half the risk. Only one side counts here: take z for the whole of it.",
                ),
                Slip(
                    "share of u",
                    lambda g, a: g.doubt * g.risk,
                    "You took the risk as a share of u. A smaller risk needs a wider band: use z.",
                ),
                Slip(
                    "divided",
                    lambda g, a: g.doubt**2 / _guard(g),
                    "You divided u by z. A smaller risk needs a wider band.",
                ),
            ),
        ),
        Number(
            "accept_up_to",
            "Up to which reading does the shop accept?",
            points=1,
            unit="°C",
            expected=lambda g, a: conformity.acceptance_interval(a.guard, upper=g.high_c)[1],
            within=absolute(0.1),
            because="it carries the rounding of w",
            plausible=(230, 255),
            working="accept_up_to = high_c - guard",
            hint="The guard band lies inside the high limit: the shop accepts less than the limit allows.",
            slips=(
                Slip(
                    "widened",
                    lambda g, a: g.high_c + a.guard,
                    "The guard band comes off the limit. You moved it out, and accept what is probably too hot.",
                ),
            ),
        ),
        Choice(
            "answer",
            "Against the **high** limit, with this guard band: which of the four answers does the peak get?",
            points=1,
            options=dict(reversed(ANSWERS.items())),
            expected=lambda g, a: conformity.answer(g.peak_c, a.guard, upper=g.high_c),
            hint="Take the reading from the high limit. Is what is left above zero, and is it more than w?",
        ),
        Choice(
            "next_step",
            "What do you do with the board?",
            points=1,
            options={
                "go on": "write the peak down as a pass, and go on to the rail",
                "tell": "write it down as not sure, and tell the owner of it",
                "hold": "keep the board here: see what the heat has cost it",
                "again": "heat it once more, to have a second reading of it",
            },
            expected=lambda g, a: {"pass": "go on", "conditional pass": "tell"}.get(
                conformity.answer(g.peak_c, a.guard, upper=g.high_c), "hold"
            ),
            slips={
                "go on": "The peak is not inside its limit by the guard band. Look at Part 5.",
                "tell": "Look at Part 5: the condition is for a peak inside the limit by less than w.",
                "hold": "The peak is inside its limit. Look at Part 5.",
                "again": "Each heat costs the package more than a second reading is worth.",
            },
        ),
    ),
    cases=(
        Case(
            "inside",
            66.3,
            0.05,
            f"{JCGM_106}, 7.4: 13.6 with u 1.8 within 12.5 to 16.3 (inputs second-hand)",
            "computed",
            givens={"peak_c": 13.6, "doubt": 1.8, "low_c": 12.5, "high_c": 16.3},
        ),
        Case(
            "over",
            8.1,
            0.05,
            f"{JCGM_106}, 7.3.3, example 1: -5.47 V with u 0.05 V against at most -5.40 V, printed 0.919 for inside",
            "from-memory",
            givens={"peak_c": -5.47, "doubt": 0.05, "low_c": -9, "high_c": -5.40},
        ),
        Case(
            "guard",
            1.96,
            0.005,
            f"{ILAC}, 4.2: w = U at 95 % coverage leaves 2.5 % at most; NIST TN 1297, Table B.1 for the factor",
            "published",
            givens={"doubt": 1.0, "risk": 2.5},
        ),
        *(
            Case(
                "answer",
                answer,
                0,
                f"{ILAC}, 4.2.3, at most 245 °C with w = 3 K, read as {reading} °C, worked by hand",
                "computed",
                givens={"peak_c": reading, "high_c": 245},
                earlier={"guard": 3.0},
            )
            for reading, answer in ((241, "pass"), (244, "conditional pass"), (246, "conditional fail"), (249, "fail"))
        ),
        Case("accept_up_to", 241.5, 0.005, "by hand: 244 less 2.5", "computed", earlier={"guard": 2.5}),
    ),
    caution=ON_PAPER,
    sound=lambda drawn: _clear_of_edges(CONFORMITY.values(drawn)),
    floor=0.15,
)


def _clear_of_edges(g):
    left, band = g.high_c - g.peak_c, _guard(g)
    return g.high_c - band > g.low_c + 0.5 and all(abs(left - edge) > 0.15 for edge in (0, band, -band))


def _true(g, outside):
    """Return the classes of boards that truly lie outside the limit, or inside: their true value and how many."""
    return [(true, many) for true, many in zip(g.true_body, g.boards, strict=True) if (true > g.limit_c) == outside]


def _read_at_most(g, true, edge):
    return conformity.probability_of_conformity(true, g.doubt, upper=edge)


def _accepted_bad(g, edge):
    """Return the share of all boards that are too hot and read no higher than an edge."""
    return sum(many * _read_at_most(g, true, edge) for true, many in _true(g, outside=True)) / sum(g.boards)


def _rejected_good(g, edge):
    """Return the share of all boards that are inside the limit and read higher than an edge."""
    return sum(many * (1 - _read_at_most(g, true, edge)) for true, many in _true(g, outside=False)) / sum(g.boards)


def _spread_of_boards(stream, drawn):
    """Return how many boards there are in each class: a hill with a tail to the hot side."""
    return [many + stream.grid(-3, 12, 1) for many in (24, 62, 118, 176, 204, 172, 122, 66, 34, 12)]


def _gamma_classes(width=0.01, end=6.0):
    """Return the standard's gamma(4, 1/4) in narrow classes: middles, and boards in each."""
    middles = [(index + 0.5) * width for index in range(int(end / width))]
    return tuple(middles), tuple(1e6 * width * 4**4 / 6 * x**3 * exp(-4 * x) for x in middles)


_MIDDLES, _MANY = _gamma_classes()
_AS_BEARINGS = {"true_body": _MIDDLES, "boards": _MANY, "doubt": 0.25, "limit_c": 2.0}


def _risk_working(name, rows, edge, read):
    """Return the working of a share of all boards: row by row, boards times the probability of such a reading."""
    lines = [
        f"z{row} = ({edge} - {238.5 + row - 1}) / doubt\n{'accepted' if read > 0 else 'rejected'}{row} = "
        f"b{row} * (1 {'+' if read > 0 else '-'} erf(z{row} / sqrt(2))) / 2"
        for row in rows
    ]
    total = " + ".join(f"{'accepted' if read > 0 else 'rejected'}{row}" for row in rows)
    return "\n" + "\n".join(lines) + f"\n{name} = ({total}) / all_boards * 100\n"


HOT_ROWS, GOOD_ROWS = (8, 9, 10), (1, 2, 3, 4, 5, 6, 7)
"""Rows of the table above 245 °C, and those at or below."""

RISKS = Exercise(
    id="two-risks",
    number=9,
    title="Weigh the owner's risk against the shop's",
    setup=story(
        "One step back: all boards of this kind that the shop has reflowed.",
        "The table sorts them by how hot the package body **truly** was at its peak (known from a trial with a far better "
        "thermometer). Take every board of a class to have the value of its row. The body may reach {limit_c}. In the daily work the body is "
        "read with a standard uncertainty of u = {doubt}: a board that truly had T reads no more than A with "
        "probability (1 + erf(z/√2)) / 2, z = (A − T) / u. All shares asked for are shares of **all** boards.",
    ),
    givens=dict(
        true_body=Record(
            tuple(238.5 + index for index in range(10)),
            "°C",
            lambda stream, drawn: [238.5 + index for index in range(10)],
        ),
        boards=Record((24, 65, 118, 176, 210, 172, 122, 66, 34, 13), "1", _spread_of_boards),
        limit_c=Fixed(245, "°C"),
        doubt=Quantity(1.5, "K", low=0.8, high=1.9, step=0.1),
        band=Quantity(2.2, "K", low=1.4, high=2.4, step=0.1),
    ),
    table=("true_body", "boards"),
    parts=(
        Number(
            "outside",
            "Which share of the boards was truly hotter than {limit_c}?",
            points=1,
            unit="%",
            expected=lambda g, a: sum(many for _, many in _true(g, outside=True)) / sum(g.boards),
            within=absolute(0.1),
            because="only rounding is left",
            plausible=(6.5, 22),
            working="""
b1, b2, b3, b4, b5, b6, b7, b8, b9, b10 = boards       # 238.5 to 247.5 °C; the last three lie above 245 °C
all_boards = b1 + b2 + b3 + b4 + b5 + b6 + b7 + b8 + b9 + b10
outside = (b8 + b9 + b10) / all_boards * 100
""",
            slips=(
                Slip(
                    "inside",
                    lambda g, a: sum(many for _, many in _true(g, outside=False)) / sum(g.boards),
                    "That is the share inside the limit.",
                ),
                Slip(
                    "rows",
                    lambda g, a: len(_true(g, outside=True)) / len(g.boards),
                    "You counted rows. They do not hold the same number of boards.",
                ),
                Slip(
                    "one row too many",
                    lambda g, a: (sum(many for _, many in _true(g, outside=True)) + g.boards[6]) / sum(g.boards),
                    "You counted one row too many. It lies just inside the limit.",
                ),
            ),
        ),
        Number(
            "owner_risk",
            "If every board is accepted that reads no more than {limit_c}: which share of all boards is too hot and accepted?",
            points=3,
            unit="%",
            expected=lambda g, a: _accepted_bad(g, g.limit_c),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(1.1, 5.9),
            working=_risk_working("owner_risk", HOT_ROWS, "limit_c", +1),
            hint="Go through the rows above the limit: so many boards, times the probability that one reads low enough.",
            slips=(
                Slip(
                    "of the hot ones",
                    lambda g, a: _accepted_bad(g, g.limit_c) / a.outside,
                    "That is the share of the hot boards that get through. The question asks for a share of all boards.",
                ),
                Slip(
                    "the other tail",
                    lambda g, a: a.outside - _accepted_bad(g, g.limit_c),
                    "Those are the hot boards that are found. The ones asked for slip through.",
                ),
                Slip(
                    "half of them",
                    lambda g, a: a.outside / 2,
                    "You let half of the hot boards through. Only one right at the limit has an even chance.",
                ),
            ),
        ),
        Number(
            "shop_risk",
            "And which share of all boards is inside the limit and rejected?",
            points=2,
            unit="%",
            expected=lambda g, a: _rejected_good(g, g.limit_c),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2.2, 15),
            working=_risk_working("shop_risk", GOOD_ROWS, "limit_c", -1),
            slips=(
                Slip(
                    "of the good ones",
                    lambda g, a: _rejected_good(g, g.limit_c) / (1 - a.outside),
                    "That is the share of the good boards. The question asks for a share of all boards.",
                ),
                Slip(
                    "all that are rejected",
                    lambda g, a: _rejected_good(g, g.limit_c) + a.outside - _accepted_bad(g, g.limit_c),
                    "You counted every board that reads too high. Those that are truly too hot are rejected with right.",
                ),
                Slip(
                    "accepted",
                    lambda g, a: 1 - a.outside - _rejected_good(g, g.limit_c),
                    "That is the share inside the limit and accepted.",
                ),
            ),
        ),
        Number(
            "owner_risk_guarded",
            "Now the shop accepts only readings of at most {limit_c} less a guard band of {band}. Which share of all boards is too "
            "hot (still: truly above {limit_c}) and accepted?",
            points=2,
            unit="%",
            expected=lambda g, a: _accepted_bad(g, g.limit_c - g.band),
            within=relative(0.05),
            because="far out on the tail, rounding weighs more",
            plausible=(0.0006, 1.4),
            working=_risk_working("owner_risk_guarded", HOT_ROWS, "(limit_c - band)", +1),
            hint="The limit still says who is too hot. The guard band only moves what is accepted.",
            slips=(
                Slip(
                    "the other tail",
                    lambda g, a: a.outside - _accepted_bad(g, g.limit_c - g.band),
                    "Those are the hot boards that are found. The ones asked for slip through.",
                ),
                Slip(
                    "limit moved as well",
                    lambda g, a: (
                        sum(
                            many * _read_at_most(g, true, g.limit_c - g.band)
                            for true, many in zip(g.true_body, g.boards, strict=True)
                            if true > g.limit_c - g.band
                        )
                        / sum(g.boards)
                    ),
                    "You also counted boards between the guard band and the limit. They are not too hot.",
                ),
                Slip(
                    "outwards",
                    lambda g, a: _accepted_bad(g, g.limit_c + g.band),
                    "You moved the acceptance out. The guard band draws it in.",
                ),
            ),
        ),
        Number(
            "shop_risk_guarded",
            "And which share of all boards is inside the limit and rejected now?",
            points=2,
            unit="%",
            expected=lambda g, a: _rejected_good(g, g.limit_c - g.band),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(12, 80),
            working=_risk_working("shop_risk_guarded", GOOD_ROWS, "(limit_c - band)", -1),
            slips=(
                Slip(
                    "accepted",
                    lambda g, a: 1 - a.outside - _rejected_good(g, g.limit_c - g.band),
                    "That is the share inside the limit and accepted.",
                ),
                Slip(
                    "only up to the guard band",
                    lambda g, a: (
                        sum(
                            many * (1 - _read_at_most(g, true, g.limit_c - g.band))
                            for true, many in zip(g.true_body, g.boards, strict=True)
                            if true <= g.limit_c - g.band
                        )
                        / sum(g.boards)
                    ),
                    "You left out the boards between the guard band and the limit. They are good too, and mostly rejected.",
                ),
                Slip(
                    "of the good ones",
                    lambda g, a: _rejected_good(g, g.limit_c - g.band) / (1 - a.outside),
                    "That is the share of the good boards. The question asks for a share of all boards.",
                ),
                Slip(
                    "guard band added",
                    lambda g, a: _rejected_good(g, g.limit_c + g.band),
                    "You moved the limit up. A guard band makes the rule stricter.",
                ),
            ),
        ),
        Choice(
            "bearer",
            "The reading is as good as before. Who pays for the guard band?",
            points=1,
            options={
                "nobody": "nobody: the same boards are only sorted anew",
                "owner": "the owner: more hot boards reach the owner",
                "shop": "the shop: more good boards are turned away",
            },
            expected=lambda g, a: "shop",
            hint="Compare your two numbers with the band with the two without it.",
            slips={
                "nobody": "A stricter rule refuses more boards, and some of them are good. Compare Parts 3 and 5.",
                "owner": "Compare Parts 2 and 4: with the band fewer hot boards come through.",
            },
        ),
    ),
    cases=(
        Case("outside", 4.2, 0.05, BEARINGS, "published-second-hand", givens=_AS_BEARINGS),
        Case("owner_risk", 0.80, 0.005, BEARINGS, "published-second-hand", givens=_AS_BEARINGS),
        Case(
            "owner_risk_guarded",
            0.10,
            0.005,
            BEARINGS + ", accepted up to 1.67 µm",
            "published-second-hand",
            givens=_AS_BEARINGS | {"band": 0.33},
        ),
        Case("shop_risk", 1.74, 0.005, f"{JCGM_106}, 9.5.4, integrated", "computed", givens=_AS_BEARINGS),
        Case(
            "shop_risk_guarded",
            7.55,
            0.01,
            f"{JCGM_106}, 9.5.4, integrated, accepted up to 1.672 µm",
            "computed",
            givens=_AS_BEARINGS | {"band": 0.328},
            note="summed over narrow classes here",
        ),
    ),
    caution=ON_PAPER,
    floor=0.07,
)
