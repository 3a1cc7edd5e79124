"""Exercises on choosing what is done with a board, on a release test, and on a job that is refused."""

from math import log

from graders.questions import Case, Choice, Exercise, Number, Pick, Quantity, Several, Slip, Written, absolute, relative
from graders.sheets.profile.cautions import HOT
from graders.sheets.signoff.words import RUNNING, WHOLE, story
from workbook.bench.intake import causes
from workbook.bench.signoff import choices, cold_starts, promise


def _value(chance, cost, g):
    return float(choices.expected_value(chance, g.worth, cost, g.comeback))


def _best(g, a):
    """Return the dearest of the jobs allowed, or the return where none is worth anything."""
    worth = {"replace": a.replace_value, "return": 0.0}
    if g.heats_left >= 1:
        worth["reflow"] = a.reflow_value
    return max(worth, key=worth.get)


def _clear_choice(drawn):
    """Whether the jobs lie clear of each other and of nothing, and the meeting chance can be had."""
    g = CHOICES.values(drawn)
    reflow, replace = _value(g.reflow_chance, g.reflow_cost, g), _value(g.replace_chance, g.replace_cost, g)
    meet = float(choices.chance_to_match(replace, g.worth, g.reflow_cost, g.comeback))
    return min(abs(reflow - replace), abs(reflow), abs(replace)) > 3 and 0.15 < meet < 0.97


CHOICES = Exercise(
    id="reflow-or-replace",
    number=14,
    title="Choose: reflow, reball, replace or return",
    setup=story(
        "Before the job, at the counter.",
        "All amounts are in credits, this workbook's invented money. A repair that holds brings {worth}. A reflow costs {reflow_cost} and holds with a chance of "
        "{reflow_chance}; a new package costs {replace_cost} and holds with a chance of {replace_chance}. A repair that does not hold costs "
        "{comeback} more (fetching it, saying sorry). On average a job is worth V = p × value − cost − (1 − p) × comeback. To "
        "return the board untouched is worth 0 credits. Heats left to the old package of its three: {heats_left}. A reflow takes one, and reballing takes three (off, balls on, on the board).",
    ),
    givens=dict(
        worth=Quantity(150, "credits", low=90, high=220, step=10),
        comeback=Quantity(20, "credits", low=15, high=45, step=5),
        reflow_cost=Quantity(35, "credits", low=25, high=60, step=5),
        reflow_chance=Quantity(55, "%", low=25, high=75, step=1),
        replace_cost=Quantity(95, "credits", low=70, high=140, step=5),
        replace_chance=Quantity(92, "%", low=80, high=96, step=1),
        heats_left=Pick(1, (0, 1, 1), "1"),
    ),
    parts=(
        Number(
            "reflow_value",
            "What is a reflow worth on average?",
            points=2,
            unit="credits",
            expected=lambda g, a: _value(g.reflow_chance, g.reflow_cost, g),
            within=absolute(0.3),
            because="only rounding is left",
            plausible=(-75, 140),
            working="reflow_value = reflow_chance / 100 * worth - reflow_cost - (1 - reflow_chance / 100) * comeback",
            slips=(
                Slip(
                    "comeback left out",
                    lambda g, a: g.reflow_chance * g.worth - g.reflow_cost,
                    "Some come back. What that costs is missing.",
                ),
                Slip(
                    "cost only where it holds",
                    lambda g, a: g.reflow_chance * (g.worth - g.reflow_cost) - (1 - g.reflow_chance) * g.comeback,
                    "You paid the cost only where it holds. It is paid in any case.",
                ),
                Slip(
                    "as if it always held",
                    lambda g, a: g.worth - g.reflow_cost,
                    "That is a reflow that always holds.",
                ),
            ),
        ),
        Number(
            "replace_value",
            "And a new package?",
            points=1,
            unit="credits",
            expected=lambda g, a: _value(g.replace_chance, g.replace_cost, g),
            within=absolute(0.3),
            because="only rounding is left",
            plausible=(-80, 142),
            working="replace_value = replace_chance / 100 * worth - replace_cost - (1 - replace_chance / 100) * comeback",
            slips=(
                Slip(
                    "comeback left out",
                    lambda g, a: g.replace_chance * g.worth - g.replace_cost,
                    "Some come back. What that costs is missing.",
                ),
                Slip(
                    "paid for when it holds",
                    lambda g, a: g.replace_chance * (g.worth - g.replace_cost) - (1 - g.replace_chance) * g.comeback,
                    "You counted the cost of the package only where it holds. It is paid for either way.",
                ),
            ),
        ),
        Number(
            "even_chance",
            "At which chance to hold would the reflow be worth as much as the new package?",
            points=2,
            unit="%",
            expected=lambda g, a: choices.chance_to_match(a.replace_value, g.worth, g.reflow_cost, g.comeback),
            within=absolute(0.4),
            because="a chance is not known better",
            plausible=(14, 98),
            working="even_chance = (replace_value + reflow_cost + comeback) / (worth + comeback) * 100",
            hint="Solve V = p × value − cost − (1 − p) × comeback for p.",
            slips=(
                Slip(
                    "comeback left out below",
                    lambda g, a: (a.replace_value + g.reflow_cost + g.comeback) / g.worth,
                    "Each point of chance does two things: it brings the value, and it saves the comeback.",
                ),
                Slip(
                    "break even",
                    lambda g, a: choices.chance_to_match(0, g.worth, g.reflow_cost, g.comeback),
                    "That is where a reflow is worth nothing. The question is where it is worth as much as the new package.",
                ),
                Slip(
                    "comeback left out",
                    lambda g, a: (a.replace_value + g.reflow_cost) / g.worth,
                    "You left out what a comeback costs. It stands on both sides.",
                ),
            ),
        ),
        Choice(
            "job",
            "Which do you offer? A job that breaks the count of heats is not offered, whatever it is worth.",
            points=2,
            options={
                "reball": "reballing, which keeps the customer's own part",
                "reflow": "a reflow, as it is allowed and worth the most",
                "replace": "a new package, as it is worth most of those allowed",
                "return": "a return, as no job that is allowed is worth anything",
            },
            expected=_best,
            hint="First strike out what the count forbids, then take the largest.",
            slips={
                "reball": "Three more heats on a part that has had one at least: over the count.",
                "reflow": "Look at the heats left, and at the two values.",
                "replace": "Look at the heats left, and at the two values.",
                "return": "Is one of the two worth more than nothing?",
            },
        ),
        Several(
            "tell",
            "What is the customer told before saying yes?",
            points=2,
            options={
                "chance": "how often such a job holds, and on how many that rests",
                "surely the balls": "that the fault is surely in the solder balls, as heat has helped",
                "price": "what each job costs, and what is paid if it fails",
                "as new": "that it is as good as new after the job",
                "others": "which shop must have spoilt the board before it came here",
                "other way": "what else could be done, the return included",
            },
            expected=lambda g, a: {"chance", "price", "other way"},
            slips={
                "surely the balls": "Joints inside the package answer alike. Nobody has seen the crack.",
                "others": "Marks tell of a repair, not of who did it.",
                "as new": "Neither a reflow nor a new package makes the board new.",
            },
        ),
    ),
    cases=(
        Case("reflow_value", 38.5, 0.05, "expected value by hand", "computed"),
        Case("replace_value", 41.4, 0.05, "expected value by hand", "computed"),
        Case("even_chance", 56.7, 0.05, "expected value solved for p by hand: 96.4/170", "computed"),
        Case(
            "reflow_value",
            42000,
            0.5,
            "textbook on decision making, payoff table: 50 000 or 30 000 at 60 to 40",
            "published-second-hand",
            givens=dict(worth=50000, reflow_cost=0, reflow_chance=60, comeback=-30000),
        ),
        Case(
            "replace_value",
            44000,
            0.5,
            "textbook on decision making, payoff table: 100 000 or -40 000 at 60 to 40",
            "published-second-hand",
            givens=dict(worth=100000, replace_cost=0, replace_chance=60, comeback=40000),
        ),
    ),
    caution=HOT,
    sound=_clear_choice,
)


def _still_faulty(g, passes):
    return causes.updated_causes([g.faulty, 1 - g.faulty], [passes, 1.0])[0]


STARTS = Exercise(
    id="clean-cold-starts",
    number=15,
    title="Release a board by cold starts, and say what they show",
    setup=story(
        "The release test.",
        "The board is started {starts} times from cold, with a full cool-down before each; none fails. Take the starts as alike "
        "and independent. A board of which a share q of starts fails passes all n with (1 − q)ⁿ. The upper bound of q at 95 % is where that is 0.05. Of boards "
        "done like this {faulty} still have the fault, and a board with it fails {fault_rate} of its starts (the shop's guess, invented).",
    ),
    givens=dict(
        starts=Quantity(60, "1", low=15, high=90, step=1),
        fault_rate=Quantity(4, "%", low=2, high=8, step=0.5),
        faulty=Quantity(25, "%", low=15, high=40, step=1),
        wanted=Quantity(1.0, "%", low=0.5, high=1.5, step=0.1),
    ),
    parts=(
        Number(
            "bound",
            "Up to which share of failing starts is not ruled out at 95 %?",
            points=2,
            unit="%",
            expected=lambda g, a: promise.return_rate_bound(0, int(g.starts)),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(3.2, 18.2),
            working="bound = (1 - 0.05**(1 / starts)) * 100",
            slips=(
                Slip("one in so many", lambda g, a: 1 / g.starts, "You took one of so many. That bound is too low."),
                Slip(
                    "C for 1 - C",
                    lambda g, a: 1 - 0.95 ** (1 / g.starts),
                    "You took the root of 0.95. What is left over is 0.05.",
                ),
            ),
        ),
        Number(
            "passes",
            "How likely does a board that still has the fault pass all {starts} starts?",
            points=1,
            unit="%",
            expected=lambda g, a: cold_starts.chance_of_clean_starts(g.fault_rate, g.starts),
            within=relative(0.02),
            because="only rounding is left, raised to a power",
            plausible=(0.05, 75),
            working="passes = (1 - fault_rate / 100)**starts * 100",
            slips=(
                Slip(
                    "fails somewhere",
                    lambda g, a: 1 - cold_starts.chance_of_clean_starts(g.fault_rate, g.starts),
                    "That is how likely it is caught.",
                ),
                Slip("one start", lambda g, a: 1 - g.fault_rate, "That is for one start."),
            ),
        ),
        Number(
            "still_faulty",
            "How likely does the board still have the fault after all those clean starts? (A sound board never fails a start.)",
            points=2,
            unit="%",
            expected=lambda g, a: _still_faulty(g, a.passes),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.009, 34),
            working="still_faulty = faulty * passes / (faulty * passes + (100 - faulty) * 100) * 100",
            hint="Bayes' rule with two causes: the fault is there, or it is not.",
            slips=(
                Slip(
                    "product only",
                    lambda g, a: g.faulty * a.passes,
                    "Divide by the chance of all starts clean, faulty or not.",
                ),
            ),
        ),
        Number(
            "starts_needed",
            "How many clean starts in a row would bring the bound down to {wanted}? (Round up.)",
            points=2,
            unit="1",
            expected=lambda g, a: promise.repairs_to_promise(g.wanted),
            within=absolute(0.01),
            because="it is a whole number",
            plausible=(198, 600),
            working="starts_needed = int(log(0.05) / log(1 - wanted / 100)) + 1",
            slips=(
                Slip(
                    "rule of three",
                    lambda g, a: 3 / g.wanted,
                    "You took the rule of three, 3 over the share. It comes close; the question asks for the exact number.",
                ),
                Slip(
                    "not rounded up",
                    lambda g, a: log(0.05) / log(1 - g.wanted),
                    "Not a whole number yet: round up.",
                    worth=0.5,
                ),
                Slip(
                    "rule of one",
                    lambda g, a: 1 / g.wanted,
                    "That many starts would show one failure on average, not none for sure.",
                ),
                Slip(
                    "C for 1 - C",
                    lambda g, a: log(0.95) / log(1 - g.wanted),
                    "You took 0.95 for what may be left over. It is 0.05.",
                ),
            ),
        ),
        Choice(
            "shows",
            "What do the clean starts show?",
            points=1,
            options={
                "cured": "the fault is gone, as it would have shown by now",
                "bound": "the share that fails is likely below the bound",
                "nothing": "nothing at all, as no count of starts is endless",
            },
            expected=lambda g, a: "bound",
            slips={
                "cured": "Your answer to Part 2 is how often a board with the fault passes as well.",
                "nothing": "They rule out boards that fail often. That is worth having.",
            },
        ),
        Choice(
            "no_cool_down",
            "To save time someone starts the board again while it is still warm. What is such a start worth?",
            points=1,
            options={
                "same": "as much as a cold one, since a start is a start",
                "less": "less: a crack that opens cold may be closed while warm",
                "more": "more, since warm parts are under greater stress",
            },
            expected=lambda g, a: "less",
            slips={
                "same": "A fault that shows cold may be hidden on a warm board.",
                "more": "Stress counts where it opens the joint. Warm, it may be closed.",
            },
        ),
        Several(
            "record",
            "What goes into the record of this board?",
            points=2,
            options={
                "starts": "the number of cold starts, and the cool-down between",
                "a guarantee": "a line that it cannot fail again",
                "log": "the temperature log under load, with its date",
                "name only": "the tester's own opinion of the board, in place of readings",
                "alloy": "the alloy that was used, and the count of heats",
            },
            expected=lambda g, a: {"starts", "log", "alloy"},
            slips={
                "a guarantee": "Nothing here shows that.",
                "name only": "An opinion may stand beside the readings, never in their place.",
            },
        ),
    ),
    cases=(
        Case("bound", 4.87, 0.005, "1 - 0.05^(1/60) by hand", "computed"),
        Case(
            "bound",
            0.2,
            0.0005,
            "Eypasch et al., BMJ 311:619 (1995): none of 1500 is up to 1 in 500",
            "published-second-hand",
            givens=dict(starts=1500),
        ),
        Case(
            "starts_needed",
            59,
            0,
            "guides on zero-failure sample size: 95 % at 95 %",
            "published-second-hand",
            givens=dict(wanted=5),
        ),
        Case(
            "passes",
            4.85,
            0.005,
            "scipy.stats.binom.pmf(0, 59, 0.05)",
            "computed",
            givens={"starts": 59, "fault_rate": 5},
        ),
        Case(
            "still_faulty",
            10,
            0.005,
            "Bayes' rule by hand: half faulty, of which a ninth passes",
            "computed",
            givens={"faulty": 50},
            earlier={"passes": 11.11111111111111},
        ),
    ),
    caution=RUNNING,
)

FINDINGS = {
    "no reason": "nothing found that speaks against it",
    "heats used up": "the processor has had its three heats already",
    "lifted land": "a land under a corner ball is torn off the board",
    "unknown alloy": "an earlier repair, and nobody knows with which solder",
    "burnt mains part": "a burnt part on the mains side, original no longer made",
}
ANSWERS = {
    "no reason": "accept",
    "heats used up": "refuse heat",
    "lifted land": "refuse heat",
    "unknown alloy": "ask first",
    "burnt mains part": "pass on",
}

REFUSE = Exercise(
    id="refuse-a-job",
    number=16,
    title="Refuse a job, or take it, and say why",
    setup=story(
        "The intake bench, with the customer waiting.",
        "The finding on this board: *{finding}*. Its repair would bring {worth} at a cost of {cost} (credits are this workbook's invented money), and hold with a chance of {chance}; one that does not hold costs {comeback} more.",
    ),
    givens=dict(
        finding=Pick(FINDINGS["heats used up"], tuple(FINDINGS.values())),
        worth=Quantity(150, "credits", low=120, high=220, step=10),
        cost=Quantity(40, "credits", low=25, high=50, step=5),
        chance=Quantity(80, "%", low=70, high=90, step=1),
        comeback=Quantity(20, "credits", low=15, high=45, step=5),
    ),
    parts=(
        Number(
            "worth_it",
            "What would the repair be worth on average?",
            points=2,
            unit="credits",
            expected=lambda g, a: choices.expected_value(g.chance, g.worth, g.cost, g.comeback),
            within=absolute(0.3),
            because="only rounding is left",
            plausible=(20, 172),
            working="worth_it = chance / 100 * worth - cost - (1 - chance / 100) * comeback",
            slips=(
                Slip(
                    "comeback left out",
                    lambda g, a: g.chance * g.worth - g.cost,
                    "Some come back. What that costs is missing.",
                ),
                Slip("as if it always held", lambda g, a: g.worth - g.cost, "That is a repair that always holds."),
            ),
        ),
        Choice(
            "answer",
            "What do you answer?",
            points=3,
            options={
                "worth decides": "take it: on average it is worth the money",
                "accept": "take it, with the chance and the limits told",
                "refuse heat": "no heat on this package: another way, or a return",
                "ask first": "not yet: heat only after the alloy is found out",
                "pass on": "not here: to those licensed for it, with originals",
            },
            expected=lambda g, a: next(ANSWERS[name] for name, words in FINDINGS.items() if words == g["finding"]),
            slips={
                "worth decides": "A sum gives no leave. The finding comes first.",
                "accept": "The finding is a reason against it.",
                "refuse heat": "Does the finding speak against heat on this package?",
                "ask first": "Is the alloy what is not known here?",
                "pass on": "Is the finding on the mains side?",
            },
        ),
        Several(
            "disclose",
            "The board goes back, repaired or not. What is told in writing?",
            points=2,
            options={
                "found": "what was found, with the readings",
                "all good": "that all the rest of the board is in good order",
                "done": "what was done, and with which alloy",
                "untested": "what was not tested, and why not",
                "blame": "who the earlier repairer must have been",
            },
            expected=lambda g, a: {"found", "done", "untested"},
            slips={
                "all good": "Nobody has tested all the rest.",
                "blame": "Marks tell of a repair, not of a person.",
            },
        ),
        Choice(
            "waste",
            "Solder dross, wipes with solvent and the old package are left on the bench. Where do they go?",
            points=1,
            options={
                "bin": "into the bin at night, well wrapped, as so little does no harm",
                "drain": "wipes into the drain with much water, and the metal into the bin",
                "licensed": "apart, closed and labelled, for those licensed to collect it",
            },
            expected=lambda g, a: "licensed",
            slips={
                "bin": "Lead and solvent are regulated waste in small amounts too, and wipes with solvent can catch fire.",
                "drain": "Solvent in a drain burns and poisons. Your local code forbids it.",
            },
        ),
        Written(
            "letter",
            "Write to the customer in three or four sentences: what you found, what you will do or not do and why, what it "
            "costs to go on, and what you cannot promise.",
            points=3,
            model=(
                "A good letter is kind and plain. It names the finding of this board and not a guess beyond it; says what is "
                "offered (new package, return, a licensed shop, the alloy found out first, or the job itself) and the "
                "reason (count of heats, torn land, unknown alloy, mains safety); gives cost and chance, with a chance as a "
                "share and not as a promise; and says what was not tested. Full points for another decision, if a reason is "
                "given that holds; none for “cannot be repaired” without one."
            ),
        ),
    ),
    cases=(
        Case(
            "worth_it",
            44000,
            0.5,
            "textbook on decision making, payoff table: 100 000 or -40 000 at 60 to 40",
            "published-second-hand",
            givens={"worth": 100000, "cost": 0, "chance": 60, "comeback": 40000},
        ),
    ),
    caution=WHOLE,
)

EXERCISES = (CHOICES, STARTS, REFUSE)
