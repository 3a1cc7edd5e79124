"""What may be promised: a chain of steps and joints, the returns of the shop, and a warranty the data can support."""

from functools import lru_cache
from math import comb, log

import numpy as np

from graders.questions import (
    Case,
    Choice,
    Design,
    Exercise,
    Margin,
    Number,
    Pick,
    Quantity,
    Record,
    Setting,
    Slip,
    absolute,
    relative,
)
from graders.sheets.signoff.words import story
from workbook.bench.signoff import promise

BOUNDS = "Clopper and Pearson's exact bound by scipy"
GUIDES = "guides on zero-failure sample size"


def _steps(g):
    return promise.chain_reliability(*g.steps)


def _balls(g, failing):
    return promise.chain_reliability(1 - failing) ** g.balls


CHAIN = Exercise(
    id="chain-of-steps",
    number=10,
    title="Multiply what every step and joint leaves",
    setup=story(
        "The work is done; what does a board have to come through?",
        "From the shop's book: its five steps (drain, lift off, clean, set and reflow, refit the sink) come out right with "
        "the chances {steps}, one after the other. The processor stands on {balls} balls, and each "
        "single ball fails within the warranty with a chance of {per_million} (parts in a million). The board is good if **all** steps are right and **all** balls hold. "
        "All are independent of each other.",
    ),
    givens=dict(
        steps=Record(
            (99.5, 98.5, 99.0, 96.5, 98.0),
            "%",
            lambda stream, drawn: [
                stream.grid(*span, 0.5) for span in ((98, 99.5), (96, 99), (96, 99.5), (93, 98), (95, 99))
            ],
        ),
        balls=Pick(676, (484, 576, 676, 780), "1"),
        per_million=Quantity(90, "ppm", low=40, high=250, step=10),
        target=Pick(95, (85, 90, 95), "%"),
    ),
    parts=(
        Number(
            "all_steps",
            "How probable is it that all five steps are right?",
            points=1,
            unit="%",
            expected=lambda g, a: _steps(g),
            within=absolute(0.1),
            because="only rounding is left",
            plausible=(50, 99.9),
            working="""
drain, lift, clean, reflow, refit = steps
all_steps = drain / 100 * lift / 100 * clean / 100 * reflow / 100 * refit / 100 * 100
""",
            slips=(
                Slip(
                    "losses added",
                    lambda g, a: 1 - sum(1 - step for step in g.steps),
                    "You added the losses straight; chances multiply.",
                    worth=0.5,
                ),
                Slip(
                    "mean",
                    lambda g, a: sum(g.steps) / 5,
                    "You took the mean. Every step takes its share away from what the last one left.",
                ),
                Slip(
                    "weakest",
                    lambda g, a: min(g.steps),
                    "That is the weakest step. The others lose boards too.",
                ),
            ),
        ),
        Number(
            "all_balls",
            "How probable is it that all balls hold?",
            points=2,
            unit="%",
            expected=lambda g, a: _balls(g, g.per_million),
            within=absolute(0.2),
            because="only rounding is left",
            plausible=(50, 99.9),
            working="all_balls = (1 - per_million * 1e-6)**balls * 100",
            hint="One ball holds with nearly certainty. All of them must.",
            slips=(
                Slip(
                    "some fail",
                    lambda g, a: 1 - _balls(g, g.per_million),
                    "That is the probability that at least one fails.",
                ),
                Slip(
                    "one ball",
                    lambda g, a: 1 - g.per_million,
                    "That is one ball. All of them must hold.",
                ),
            ),
        ),
        Number(
            "board_good",
            "How probable is it that the board is good?",
            points=1,
            unit="%",
            expected=lambda g, a: promise.chain_reliability(a.all_steps, a.all_balls),
            within=absolute(0.3),
            because="it carries the rounding of both",
            plausible=(30, 99.8),
            working="board_good = all_steps * all_balls / 100",
            slips=(
                Slip(
                    "weaker of the two",
                    lambda g, a: min(a.all_steps, a.all_balls),
                    "You took the weaker of the two. The board has to come through both.",
                ),
                Slip(
                    "mean",
                    lambda g, a: (a.all_steps + a.all_balls) / 2,
                    "You took the mean. Both must hold together.",
                ),
            ),
        ),
        Number(
            "allowed",
            "So that all balls together hold with {target}: with which chance may one single ball fail at most, in parts in a million?",
            points=2,
            unit="ppm",
            expected=lambda g, a: 1 - promise.step_reliability_needed(g.target, g.balls),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(20, 540),
            working="allowed = (1 - (target / 100)**(1 / balls)) * 1e6",
            hint="What number, multiplied by itself once for each ball, gives the target?",
            slips=(
                Slip(
                    "shared out straight",
                    lambda g, a: (1 - g.target) / g.balls,
                    "Nearly. You shared the losses out straight; the balls multiply. Take the root of the target.",
                    worth=0.5,
                ),
                Slip(
                    "one ball",
                    lambda g, a: 1 - g.target,
                    "That is what all of them together may lose. Each may lose far less.",
                ),
            ),
        ),
        Choice(
            "where",
            "The shop may practise the steps, or have its balls and pads checked by X-ray. Which of the two can save more boards?",
            points=1,
            options={
                "balls": "the balls: more boards are lost there",
                "steps": "the steps: more boards are lost there",
            },
            expected=lambda g, a: "steps" if a.all_steps < a.all_balls else "balls",
            hint="Which is further from 100 %, your answer to Part 1 or to Part 2?",
        ),
    ),
    cases=(
        Case(
            "all_steps",
            90.4,
            0.05,
            "five steps of 98 %: 0.98 to the fifth power",
            "computed",
            givens={"steps": (98, 98, 98, 98, 98)},
        ),
        Case(
            "allowed",
            38,
            0.5,
            "two packages of 676 joints, together 95 %: 3.8e-5 a joint",
            "computed",
            givens={"balls": 2 * 676, "target": 95},
        ),
        Case(
            "board_good", 72, 0.005, "by hand: 90 % times 80 %", "computed", earlier={"all_steps": 90, "all_balls": 80}
        ),
        Case(
            "all_balls",
            90.48,
            0.005,
            "limit of (1 - 1/n)^n by hand: exp(-0.1), 1000 balls at 100 ppm",
            "computed",
            givens={"balls": 1000, "per_million": 100},
        ),
    ),
    sound=lambda drawn: (
        abs(_steps(CHAIN.values(drawn)) - _balls(CHAIN.values(drawn), drawn["per_million"] * 1e-6)) > 0.01
    ),
    floor=0.20,
)


def _none_back_bound(g, confidence):
    return promise.return_rate_bound(0, g.sent, confidence)


RETURNS = Exercise(
    id="what-returns-bear",
    number=11,
    title="Say what the shop's returns support",
    setup=story(
        "The shop's book: boards of this kind, sent out and watched for a whole year.",
        "The book has two pages. On the first, {sent} boards, and none came back. On the second, from before the shop had a "
        "preheater, {older} boards, and {back} came back. What may be said with confidence C = {confidence}, one-sided? The "
        "upper bound p of the return rate is where so few returns, or fewer, would come with probability 1 − C only: "
        "(1 − p)ⁿ = 1 − C when none of n came back. At a true rate p, exactly j of n come back with the probability "
        "W · pʲ · (1 − p)ⁿ⁻ʲ; W says in how many ways j boards can be picked out of n: 1 for j = 0, n for j = 1, "
        "n(n − 1)/2 for j = 2, n(n − 1)(n − 2)/6 for j = 3.",
    ),
    givens=dict(
        sent=Quantity(40, "1", low=25, high=90, step=1),
        older=Quantity(50, "1", low=30, high=80, step=2),
        back=Pick(2, (1, 2, 3), "1"),
        confidence=Pick(95, (90, 95), "%"),
        wanted=Pick(5, (2, 3, 4, 5), "%"),
        bad=Pick(10, (6, 8, 10, 12, 15), "%"),
    ),
    parts=(
        Number(
            "bound_none",
            "First page, none of {sent} back: up to which return rate is not ruled out (the upper bound p)?",
            points=2,
            unit="%",
            expected=lambda g, a: _none_back_bound(g, g.confidence),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(1, 30),
            working="bound_none = (1 - (1 - confidence / 100)**(1 / sent)) * 100",
            hint="Solve (1 − p)ⁿ = 1 − C for p: first take the n-th root.",
            slips=(
                Slip(
                    "two-sided",
                    lambda g, a: _none_back_bound(g, (1 + g.confidence) / 2),
                    "You split what is left over two sides. Nothing can lie below none: the bound is one-sided.",
                ),
                Slip(
                    "one in so many",
                    lambda g, a: 1 / g.sent,
                    "That is one return of so many. None of them rules out less than you think.",
                ),
                Slip(
                    "C for 1 - C",
                    lambda g, a: 1 - g.confidence ** (1 / g.sent),
                    "You took the root of C. The root is of what is left over, 1 − C.",
                ),
                Slip(
                    "none for ever",
                    lambda g, a: 0.0,
                    "None has come back so far. That does not rule out a small rate: few boards were watched.",
                ),
            ),
        ),
        Number(
            "luck",
            "How often does a worse shop look as clean? Its true return rate is {bad}: how probable is it that it, too, sees none of {sent} come back?",
            points=1,
            unit="%",
            expected=lambda g, a: promise.chance_of_returns_at_most(0, int(g.sent), g.bad),
            within=relative(0.03),
            because="a power this high multiplies the rounding",
            plausible=(2.7e-5, 60),
            working="luck = (1 - bad / 100)**sent * 100",
            slips=(
                Slip(
                    "at least one",
                    lambda g, a: promise.chance_of_any_return(g.bad, g.sent),
                    "That is the probability that at least one comes back.",
                ),
                Slip(
                    "one board",
                    lambda g, a: 1 - g.bad,
                    "That is one board. All of them must stay away.",
                ),
                Slip(
                    "how many to expect",
                    lambda g, a: g.sent * g.bad / 100,
                    "That is how many you would expect back. The question asks for the chance of none.",
                ),
            ),
        ),
        Number(
            "needed",
            "How many boards, none of them back, support a promise of at most {wanted} with confidence C? (The smallest whole number.)",
            points=2,
            unit="1",
            expected=lambda g, a: promise.repairs_to_promise(g.wanted, g.confidence),
            within=absolute(0.1),
            because="it is a whole number",
            plausible=(20, 200),
            working="""
exact = log(1 - confidence / 100) / log(1 - wanted / 100)
needed = int(exact) + 1                 # up to the next whole number
""",
            hint="The same equation, solved for n with the logarithm. Then to which whole number?",
            slips=(
                Slip(
                    "not rounded",
                    lambda g, a: log(1 - g.confidence) / log(1 - g.wanted),
                    "Not a whole number yet: round up.",
                    worth=0.5,
                ),
                Slip(
                    "rounded down",
                    lambda g, a: promise.repairs_to_promise(g.wanted, g.confidence) - 1,
                    "One too few: the last board is what brings the bound down to the promise.",
                ),
                Slip(
                    "one in so many",
                    lambda g, a: 1 / g.wanted,
                    "So many boards give one return on average. To rule the rate out takes more than that.",
                ),
                Slip(
                    "two-sided",
                    lambda g, a: promise.repairs_to_promise(g.wanted, (1 + g.confidence) / 2),
                    "You split what is left over two sides. The promise has one side only.",
                ),
            ),
        ),
        Number(
            "so_few",
            "Second page, {back} of {older} back. If the true return rate were {bad}: how probable are {back} returns of {older} or "
            "fewer? (Add up j = 0 to {back}.)",
            points=2,
            unit="%",
            expected=lambda g, a: promise.chance_of_returns_at_most(int(g.back), int(g.older), g.bad),
            within=relative(0.004),
            because="only rounding is left",
            plausible=(0.13, 100),
            working="""
p = bad / 100
n = older
none = (1 - p)**n
one = n * p * (1 - p)**(n - 1)
two = n * (n - 1) / 2 * p**2 * (1 - p)**(n - 2)
three = n * (n - 1) * (n - 2) / 6 * p**3 * (1 - p)**(n - 3)
total = none + one                      # 1 back
if back >= 2: total = total + two
if back == 3: total = total + three
so_few = total * 100
""",
            hint="Fewer returns count as well: none, one, and so on up to the number that came back.",
            slips=(
                Slip(
                    "exactly so many",
                    lambda g, a: comb(int(g.older), int(g.back)) * g.bad**g.back * (1 - g.bad) ** (g.older - g.back),
                    "That is the chance of exactly so many. Fewer returns would have been as good a sign: add them up.",
                ),
                Slip(
                    "none only",
                    lambda g, a: promise.chance_of_returns_at_most(0, int(g.older), g.bad),
                    "That is the chance of none. Some came back: add the chances of one and more, up to that number.",
                ),
                Slip(
                    "more",
                    lambda g, a: 1 - promise.chance_of_returns_at_most(int(g.back), int(g.older), g.bad),
                    "That is the chance of more returns.",
                ),
            ),
        ),
        Choice(
            "promise",
            "May the shop promise from its second page, with confidence C, that no more than {bad} come back within a year?",
            points=1,
            options={
                "yes": "yes: at that rate so few returns would be too rare",
                "no": "no: at that rate so few returns would be no surprise",
            },
            expected=lambda g, a: "yes" if a.so_few <= 1 - g.confidence else "no",
            hint="Compare your answer to Part 4 with 1 − C.",
        ),
        Choice(
            "longer",
            "A dealer asks for the same promise over three years. What do the two pages support?",
            points=1,
            options={
                "three times": "three times the bound: each year is like the first",
                "nothing": "nothing yet: no board was watched for so long",
                "the same": "the same bound: what holds a year holds on",
            },
            expected=lambda g, a: "nothing",
            slips={
                "three times": "That takes it for granted that wear does not grow. The pages end after a year.",
                "the same": "A board has three times as long to fail, and wear comes late. The pages end after a year.",
            },
        ),
    ),
    cases=(
        Case("bound_none", 7.2, 0.05, f"{BOUNDS}: none of 40, 95 %", "computed", givens={"sent": 40, "confidence": 95}),
        Case(
            "needed",
            59,
            0.01,
            f"{GUIDES}: 95 % at 95 %",
            "published-second-hand",
            givens={"wanted": 5, "confidence": 95},
        ),
        Case(
            "needed",
            22,
            0.01,
            f"{GUIDES}: 90 % at 90 %",
            "published-second-hand",
            givens={"wanted": 10, "confidence": 90},
        ),
        Case(
            "so_few",
            5.0,
            0.05,
            f"{BOUNDS}: two of 50 have their upper bound at 12.06 %, 95 %",
            "computed",
            givens={"older": 50, "back": 2, "bad": 12.06},
        ),
        Case("luck", 12, 0.5, "0.9 to the 20th power", "computed", givens={"sent": 20, "bad": 10}),
    ),
    sound=lambda drawn: _clear_promise(RETURNS.values(drawn)),
    floor=0.20,
)


def _clear_promise(g):
    """Whether the second page is neither on the edge of the promise, nor far from any."""
    chance = promise.chance_of_returns_at_most(int(g.back), int(g.older), g.bad)
    return 0.002 < chance < 0.7 and abs(chance / (1 - g.confidence) - 1) > 0.1


TRIAL_RETURNS, TRIAL = 1, 30
CHANCE_WANTED = 80.0
LOT = 100
NEVER_SHORT = 0.9


def _share_back(g, months):
    """Return the share that comes back in so many months, if the shop's own expectation is right."""
    return promise.chance_of_any_return(g.monthly, months)


def _hours(g, promised):
    """Return the hours that returns among the next boards take at the promised share."""
    return g["hours_each"] * promise.returns_to_allow_for(promised, LOT, NEVER_SHORT)


def _margins(g, choices):
    """Return the four limits of a warranty, each with its own margin."""
    watched, promised = int(choices["watched"]), choices["promised"]
    allowed = min(int(choices["allowed"]), watched)
    bound = 100 * float(promise.return_rate_bound(allowed, watched, g.confidence_asked))
    chance = 100 * float(promise.chance_of_returns_at_most(allowed, watched, _share_back(g, g.months_asked)))
    waiting = watched / g["per_month"] + g["months_asked"]
    hours = _hours(g, promised / 100)
    limits = (
        (
            "promise against what the count supports",
            bound,
            promised - bound,
            "%",
            0.05,
            "A count that just passes does not rule out a higher rate than you promise: watch more, allow less, or promise "
            "a higher share.",
        ),
        (
            "chance that the count passes",
            chance,
            chance - CHANCE_WANTED,
            "%",
            0.5,
            "A shop as good as you expect will often have more returns than you allow: watch fewer, or allow more.",
        ),
        (
            "months until you may promise",
            waiting,
            g["deadline"] - waiting,
            "1",
            0.05,
            "The dealer will not wait so long: watch fewer boards.",
        ),
        (
            "hours to hold back for returns",
            hours,
            g["hours_held"] - hours,
            "h",
            0.0,
            "If the rate is what you promise, the returns take more hours than the shop has: promise fewer returns.",
        ),
    )
    return tuple(
        Margin(limit, float(value), float(margin), unit, guard, advice)
        for limit, value, margin, unit, guard, advice in limits
    )


@lru_cache(maxsize=4096)
def _highest_promised(hours_each, hours_held):
    """Return the highest share, in steps of 0.1 %, for which the hours held back are enough [%]."""
    shares = np.arange(10, 200) / 10
    hours = hours_each * promise.returns_to_allow_for(shares / 100, LOT, NEVER_SHORT)
    return float(max(shares[hours <= hours_held]))


def _plan(g, allowed):
    """Return the warranty with so many returns allowed that watches the fewest boards."""
    promised = _highest_promised(g["hours_each"], g["hours_held"])
    watched = promise.repairs_to_promise((promised - 0.2) / 100, g.confidence_asked, allowed)
    return dict(watched=watched, allowed=allowed, promised=promised)


def _best(g):
    """Return the warranty whose count passes most surely while every limit is held clearly; None if there is none."""
    plans = []
    for allowed in range(12):
        plan = _plan(g, allowed)
        margins = {margin.limit: margin for margin in _margins(g, plan)}
        if all(margin.margin >= 2 * margin.guard for margin in margins.values()):
            plans.append((margins["chance that the count passes"].margin, plan))
    return max(plans, key=lambda scored: scored[0])[1] if plans else None


def _every_limit_bites(g):
    """Whether there is a warranty, and none of its four limits could be left out."""
    if _best(g) is None:
        return False
    chances = {m.limit: m for m in _margins(g, _plan(g, 0))}
    none_allowed_fails = chances["chance that the count passes"].margin < 0
    many_waits_too_long = {m.limit: m for m in _margins(g, _plan(g, 9))}["months until you may promise"].margin < 0
    return none_allowed_fails and many_waits_too_long


WARRANTY = Exercise(
    id="warranty",
    number=12,
    title="Promise a warranty that the data can support",
    setup=story(
        "A dealer has more boards of this kind, and asks for a warranty on the repair.",
        "The promise is: with confidence C, no more than a promised share of boards comes back within the warranty. The dealer asks for "
        "{months_asked} months and C = {confidence_asked}; which share, the shop may offer. The shop sends out {per_month} such boards a "
        "month. It lays down beforehand how many boards it will watch, each for the whole warranty, and how many returns it "
        "allows among them. If no more come back, the promise is made; the promised share must then be no lower than the "
        "upper bound for the returns allowed. The upper bound p for k returns of n is where k or fewer would come with "
        "probability 1 − C (as in *Say what the shop's returns support*). The shop expects that in each month {monthly} of the boards still out come back (its own "
        "guess), so (1 − that share)^m of them stay out m months.",
    ),
    givens=dict(
        months_asked=Pick(6, (6, 7, 8), "1"),
        confidence_asked=Pick(90, (80, 85, 90), "%"),
        per_month=Quantity(20, "1", low=18, high=32, step=1),
        monthly=Quantity(0.5, "%", low=0.3, high=0.6, step=0.05),
        deadline=Quantity(14, "1", low=12, high=16, step=1),
        hours_each=Quantity(3, "h", low=2, high=3.5, step=0.5),
        hours_held=Quantity(30, "h", low=24, high=36, step=2),
    ),
    parts=(
        Number(
            "share_back",
            "If the shop's guess is right, which share comes back within {months_asked} months?",
            points=1,
            unit="%",
            expected=lambda g, a: _share_back(g, g.months_asked),
            within=relative(0.002),
            because="only rounding is left",
            plausible=(0.3, 10),
            working="share_back = (1 - (1 - monthly / 100)**months_asked) * 100",
            slips=(
                Slip(
                    "added up",
                    lambda g, a: g.monthly * g.months_asked,
                    "Nearly. You counted boards again that had come back before: what stays out multiplies.",
                    worth=0.5,
                ),
                Slip(
                    "stay out",
                    lambda g, a: 1 - _share_back(g, g.months_asked),
                    "That is the share that stays out.",
                ),
            ),
        ),
        Number(
            "passes",
            "If 30 boards are watched and at most 1 return is allowed: how probable is it, with that share, that the count passes?",
            points=2,
            unit="%",
            expected=lambda g, a: promise.chance_of_returns_at_most(TRIAL_RETURNS, TRIAL, a.share_back),
            within=absolute(0.3),
            because="it carries the rounding of the share",
            plausible=(15, 99.99),
            working="""
p = share_back / 100
passes = ((1 - p)**30 + 30 * p * (1 - p)**29) * 100
""",
            hint="It passes with none, and it passes with one.",
            slips=(
                Slip(
                    "none only",
                    lambda g, a: promise.chance_of_returns_at_most(0, TRIAL, a.share_back),
                    "That is the chance of none. One is allowed too.",
                ),
                Slip(
                    "one only",
                    lambda g, a: TRIAL * a.share_back * (1 - a.share_back) ** (TRIAL - 1),
                    "That is the chance of exactly one. None passes as well.",
                ),
                Slip(
                    "fails",
                    lambda g, a: 1 - promise.chance_of_returns_at_most(TRIAL_RETURNS, TRIAL, a.share_back),
                    "That is the chance that it does not pass.",
                ),
            ),
        ),
        Number(
            "first_try",
            "And if no return is allowed among the 30: what could be promised then at {confidence_asked}, the upper bound for none of 30?",
            points=1,
            unit="%",
            expected=lambda g, a: promise.return_rate_bound(0, TRIAL, g.confidence_asked),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2, 20),
            working="first_try = (1 - (1 - confidence_asked / 100)**(1 / 30)) * 100",
            slips=(
                Slip(
                    "rule of three",
                    lambda g, a: 3 / TRIAL,
                    "You took the rule of three, 3 over 30. It comes near the bound for 95 %; work out the bound that was asked.",
                ),
                Slip(
                    "two-sided",
                    lambda g, a: promise.return_rate_bound(0, TRIAL, (1 + g.confidence_asked) / 2),
                    "You split what is left over two sides. The promise has one side only.",
                ),
            ),
        ),
        Design(
            "plan",
            "Now lay the warranty down for the {months_asked} months and the confidence {confidence_asked} asked. Choose how many "
            "boards are watched (`watched`), how many returns among them are allowed (`allowed`), and which share of returns you "
            "promise not to exceed (`promised`). It is worked through and compared with four limits, each on its own:\n\n"
            "1. the promised share is no lower than the upper bound of the return rate for the returns allowed;\n"
            "2. if the shop's guess is right, the count passes with a probability of at least 80 %;\n"
            "3. the last board has been watched to its end after no more than {deadline} months: `watched` / {per_month} + "
            "{months_asked};\n"
            "4. for returns among the next 100 boards the shop can hold back {hours_held}. Let k be the smallest number for which, at "
            "the promised share, k or fewer of 100 come back with a probability of at least 90 %. At {hours_each} each, k returns take no "
            "more than that.",
            points=6,
            settings=(
                Setting("watched", "boards watched", "1", 20, 400, whole=True),
                Setting("allowed", "returns allowed among them", "1", 0, 15, whole=True),
                Setting("promised", "share of returns promised not to be exceeded", "%", 0.5, 19),
            ),
            simulate=lambda g, a, choices: _margins(g, choices),
            example=lambda g, a: _best(g),
            idle=0.75,
        ),
    ),
    cases=(
        Case(
            "share_back",
            2.376,
            0.0005,
            "scipy.stats.binom.sf(0, 6, 0.004)",
            "computed",
            givens={"months_asked": 6, "monthly": 0.4},
        ),
        Case("passes", 55.35, 0.005, "scipy.stats.binom.cdf(1, 30, 0.05)", "computed", earlier={"share_back": 5}),
        Case(
            "first_try",
            5.22,
            0.005,
            "Clopper-Pearson bound of 0 of 30 by scipy.stats.beta.ppf(0.80, 1, 30)",
            "computed",
            givens={"confidence_asked": 80},
        ),
    ),
    sound=lambda drawn: _every_limit_bites(WARRANTY.values(drawn)),
    floor=0.01,
)
