"""The last page: four readings with their uncertainty, one decision, and the sentence that goes with the board."""

from graders.questions import (
    Case,
    Choice,
    Exercise,
    Fixed,
    Number,
    Quantity,
    Several,
    Slip,
    Written,
    absolute,
    relative,
)
from graders.sheets.signoff.words import WHOLE, story
from workbook.bench.signoff import conformity, promise

READINGS = ("peak", "molten", "rail", "junction")


def _limits(g):
    """Return reading, standard uncertainty, and the one limit that counts, for each of the four readings."""
    return {
        "peak": (g.peak_c, g.peak_doubt, {"upper": g.peak_high_c}),
        "molten": (g.molten, g.molten_doubt, {"lower": g.molten_least}),
        "rail": (g.rail, g.rail_doubt, {"lower": g.rail_least}),
        "junction": (g.junction_c, g.junction_doubt, {"upper": g.junction_high_c}),
    }


def _left(g):
    """Return what is left to each limit, counted in expanded uncertainties: below zero outside."""
    return {
        name: (limit["upper"] - reading if "upper" in limit else reading - limit["lower"]) / (2 * doubt)
        for name, (reading, doubt, limit) in _limits(g).items()
    }


def _holds(g):
    """Return how probable it is that each limit holds."""
    return {
        name: conformity.probability_of_conformity(reading, doubt, **limit)
        for name, (reading, doubt, limit) in _limits(g).items()
    }


def _all_hold(g):
    """Return how probable it is that all hold: peak and time never fail by one error, the rest is independent."""
    holds = _holds(g)
    return (holds["peak"] + holds["molten"] - 1) * promise.chain_reliability(holds["rail"], holds["junction"])


def _answers(g):
    return {
        name: conformity.answer(reading, 2 * doubt, **limit) for name, (reading, doubt, limit) in _limits(g).items()
    }


def _decision(g):
    answers = set(_answers(g).values())
    if answers == {"pass"}:
        return "send"
    return "hold" if answers & {"conditional fail", "fail"} else "talk"


SIGN = Exercise(
    id="sign-the-board",
    number=13,
    title="Sign the board, or keep it for now",
    setup=story(
        "The last page: four readings from the job, each with its standard uncertainty u, ready for the signature.",
        "- **peak**: hottest reading of the package body in the reflow: {peak_c}, u = {peak_doubt}; at most {peak_high_c}.\n"
        "- **molten**: time of the coldest joint at or above 217 °C: {molten}, u = {molten_doubt}; at least {molten_least}.\n"
        "- **rail**: core rail against ground: {rail}, u = {rail_doubt}; at least {rail_least}.\n"
        "- **junction**: junction at the owner's place: {junction_c}, u = {junction_doubt}; at most {junction_high_c}.\n\n"
        "The shop's rule, agreed before the job, has a guard band of U = 2u and four answers: *pass* (inside by U or more), "
        "*conditional pass* (inside by less than U), *conditional fail* (outside by no more than U), *fail*. All four "
        "readings pass: the board is sent back (`'send'`). Some pass only with a condition and none is outside its limit: the owner is "
        "told before anything else (`'talk'`). Any reading outside its limit: the board stays (`'hold'`).\n\n"
        "The true values are spread about the readings as normal distributions: a limit holds with probability "
        "(1 + erf(z/√2)) / 2, where z is what is left to the limit, over u (below zero if the reading is outside). "
        "Peak and molten come from one thermometer, which may put its whole log too high or too low: what makes the one limit "
        "fail helps the other, so no error of it breaks both. For these two together take peak holds + molten holds − 100 %. "
        "Rail and junction were read with other instruments: they are independent of the rest, and multiply. "
        "Of the last {sent} boards done like this one, each watched for a year, none came back.",
    ),
    givens=dict(
        peak_c=Quantity(243.5, "°C", low=239, high=245.5, step=0.5),
        peak_doubt=Quantity(1.5, "K", low=1.1, high=1.9, step=0.1),
        peak_high_c=Fixed(245, "°C"),
        molten=Quantity(57, "s", low=44, high=80, step=1),
        molten_doubt=Quantity(4.5, "s", low=2, high=7, step=0.5),
        molten_least=Fixed(50, "s"),
        rail=Quantity(2.3, "Ω", low=1.7, high=2.8, step=0.1),
        rail_doubt=Quantity(0.2, "Ω", low=0.12, high=0.28, step=0.01),
        rail_least=Fixed(2.0, "Ω"),
        junction_c=Quantity(99, "°C", low=90, high=107, step=1),
        junction_doubt=Quantity(2.1, "K", low=1.4, high=3.2, step=0.1),
        junction_high_c=Fixed(105, "°C"),
        sent=Quantity(40, "1", low=30, high=80, step=1),
    ),
    parts=(
        Number(
            "peak_holds",
            "How probable is it that the package body stayed at or below {peak_high_c}?",
            points=2,
            unit="%",
            expected=lambda g, a: _holds(g)["peak"],
            within=absolute(0.15),
            because="the numbers are taken as printed, and rounding costs less",
            plausible=(10, 100),
            working="peak_holds = (1 + erf((peak_high_c - peak_c) / peak_doubt / sqrt(2))) / 2 * 100",
            slips=(
                Slip(
                    "U for u",
                    lambda g, a: conformity.probability_of_conformity(g.peak_c, 2 * g.peak_doubt, upper=g.peak_high_c),
                    "You divided by U. z counts in standard uncertainties.",
                ),
                Slip(
                    "too hot",
                    lambda g, a: 1 - _holds(g)["peak"],
                    "That is the probability that it was hotter.",
                ),
            ),
        ),
        Number(
            "nearest",
            "For each reading divide what is left to its limit by its U = 2u (below zero if it is outside). What is the smallest of the four?",
            points=2,
            unit="1",
            expected=lambda g, a: min(_left(g).values()),
            within=absolute(0.02),
            because="two figures of u leave this",
            plausible=(-1.2, 2.1),
            working="""
peak_left = (peak_high_c - peak_c) / (2 * peak_doubt)
molten_left = (molten - molten_least) / (2 * molten_doubt)
rail_left = (rail - rail_least) / (2 * rail_doubt)
junction_left = (junction_high_c - junction_c) / (2 * junction_doubt)
nearest = min(peak_left, molten_left, rail_left, junction_left)
""",
            hint="Four small divisions. For a lower limit, what is left is the reading less the limit.",
            slips=(
                Slip(
                    "in u",
                    lambda g, a: 2 * min(_left(g).values()),
                    "You counted in u. The guard band of the rule is U = 2u.",
                ),
                Slip(
                    "widest",
                    lambda g, a: max(_left(g).values()),
                    "That is the reading with the most room. The one that decides has the least.",
                ),
                Slip(
                    "mean",
                    lambda g, a: sum(_left(g).values()) / 4,
                    "You took the mean. Room at one limit does not help at another: each stands alone.",
                ),
            ),
        ),
        Number(
            "all_hold",
            "How probable is it that all four limits hold?",
            points=3,
            unit="%",
            expected=lambda g, a: _all_hold(g),
            within=absolute(0.2),
            because="it carries the rounding of four probabilities",
            plausible=(0.1, 100),
            working="""
left1, left2, left3, left4 = peak_left, molten_left, rail_left, junction_left
chance1 = (1 + erf(2 * left1 / sqrt(2))) / 2        # peak; 2, because left is counted in U = 2u
chance2 = (1 + erf(2 * left2 / sqrt(2))) / 2        # molten
chance3 = (1 + erf(2 * left3 / sqrt(2))) / 2        # rail
chance4 = (1 + erf(2 * left4 / sqrt(2))) / 2        # junction
all_hold = (chance1 + chance2 - 1) * chance3 * chance4 * 100
""",
            hint="The probability of each limit first, as in Part 1. Then peak and molten together, then times the other two.",
            slips=(
                Slip(
                    "weakest",
                    lambda g, a: min(_holds(g).values()),
                    "That is the weakest of the four. The others can fail too.",
                ),
                Slip(
                    "mean",
                    lambda g, a: sum(_holds(g).values()) / 4,
                    "You took the mean. They must hold together.",
                ),
                Slip(
                    "some fails",
                    lambda g, a: 1 - _all_hold(g),
                    "That is the probability that at least one does not hold.",
                ),
            ),
        ),
        Several(
            "clean",
            "Which readings pass without a condition?",
            points=2,
            options={
                "peak": "the hottest reading of the package body in the reflow",
                "molten": "the time at or above 217 °C",
                "rail": "the core rail",
                "junction": "the junction at the owner's place",
            },
            expected=lambda g, a: [name for name, answer in _answers(g).items() if answer == "pass"],
            slips={name: f"What is left at the limit of '{name}' is less than its U." for name in READINGS},
        ),
        Choice(
            "decision",
            "What does the shop's rule say?",
            points=1,
            options={
                "hold": "the board stays in the shop: a reading is outside",
                "send": "the board is sent back to its owner: all four pass",
                "talk": "the owner is told first what passes only on a condition",
            },
            expected=lambda g, a: _decision(g),
            hint="Go through the four answers. Is any reading outside its limit? Is any inside by less than U?",
            slips={
                "hold": "Compare each reading with its limit: none is outside.",
                "send": "Not every reading is inside its limit by U or more. Look at the smallest of Part 2.",
                "talk": "Look at the smallest number of Part 2: below 0 is outside, 1 or more is a pass.",
            },
        ),
        Number(
            "bound",
            "Up to which return rate within a year is not ruled out for such boards (the upper bound p), at 95 %, one-sided? "
            "With none of n back it is where (1 − p)ⁿ = 0.05.",
            points=1,
            unit="%",
            expected=lambda g, a: promise.return_rate_bound(0, g.sent),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2, 20),
            working="bound = (1 - 0.05**(1 / sent)) * 100",
            slips=(
                Slip(
                    "one in so many",
                    lambda g, a: 1 / g.sent,
                    "That is one return of so many. None of them rules out less than you think.",
                ),
                Slip(
                    "C for 1 - C",
                    lambda g, a: 1 - 0.95 ** (1 / g.sent),
                    "You took the root of 0.95. What is left over is 0.05.",
                ),
                Slip(
                    "none for ever",
                    lambda g, a: 0.0,
                    "None has come back so far. That does not rule out a small rate: few boards were watched.",
                ),
            ),
        ),
        Written(
            "signature",
            "Write what goes on the job sheet: say why you would, or would not, send the board back yet. Name the reading that decides, "
            "with its number, its limit and its uncertainty; say what you would do next; and say in one sentence what you may "
            "promise the owner, and what not.",
            points=4,
            model=(
                "A good answer takes each limit on its own, names the reading with the least room (the learner's number of Part 2), with "
                "its limit and U, and follows the rule agreed before the job: no mean over the four, no rule changed after "
                "the reading. *Send*: all four are inside by U or more. *Talk*: the reading that passes with a condition is "
                "told to the owner with its number, or read again by a surer way (four wires for the rail, a better bead, a longer run of the "
                "set); reading again until it fits is not a surer way. *Hold*: the reading outside its limit names the "
                "work: find what the rail leaks through, redo paste and clamp, or say that the reflow was too hot or too short and "
                "what that may have cost the package. A peak that was too hot cannot be read again and cannot be undone. "
                "The promise: of boards like this one, watched a year, the count does not rule out the rate of Part 6; so no "
                "promise of none, and none beyond a year. It speaks of boards done like these, not of this one. Good answers also say that "
                "the safety test of a mains set is still to be done by someone who may. Full points for another decision than the "
                "rule's, if the reason is given and the rule is named; none for a bare word."
            ),
        ),
    ),
    cases=(
        Case(
            "peak_holds",
            91.9,
            0.05,
            "JCGM 106:2012, 7.3.3, example 1: -5.47 V with u 0.05 V against at most -5.40 V",
            "from-memory",
            givens={"peak_c": -5.47, "peak_doubt": 0.05, "peak_high_c": -5.40},
        ),
        Case(
            "bound",
            0.2,
            0.005,
            "Eypasch et al., BMJ 311:619 (1995), as articles on the rule of three quote it: none in 1500",
            "published-second-hand",
            givens={"sent": 1500},
        ),
        Case(
            "all_hold",
            91.2,
            0.05,
            "scipy.stats.norm.cdf(2): four readings that keep two standard uncertainties, the first two never failing together",
            "computed",
            givens={
                "peak_c": 242,
                "peak_doubt": 1.5,
                "molten": 59,
                "molten_doubt": 4.5,
                "rail": 2.4,
                "rail_doubt": 0.2,
                "junction_c": 100.8,
                "junction_doubt": 2.1,
            },
        ),
        Case(
            "nearest",
            0.5,
            0.0005,
            "by hand: 3 of 3 K, 9 of 9 s, 0.2 of 0.4 Ω, 6 of 4.2 K",
            "computed",
            givens={
                "peak_c": 242,
                "peak_doubt": 1.5,
                "molten": 59,
                "molten_doubt": 4.5,
                "rail": 2.2,
                "rail_doubt": 0.2,
                "junction_c": 99,
                "junction_doubt": 2.1,
            },
        ),
    ),
    caution=WHOLE,
    sound=lambda drawn: _clear(SIGN.values(drawn)),
    floor=0.10,
)


def _clear(g):
    """Whether no reading stands on an edge of the rule, and at least one passes and one has little room."""
    left = _left(g).values()
    clear = all(abs(room - edge) > 0.03 for room in left for edge in (-1, 0, 1))
    holds = _holds(g)
    together = holds["peak"] + holds["molten"] - 1
    return clear and together > 0.2 and max(left) > 1 and -1.6 < min(left) < 1.6
