"""What a finding says about a board's past, and what a saying of the trade would need to be believed."""

from math import comb, log, sqrt

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from workbook.bench.intake import evidence
from workbook.drawings import marks

ANSWERS = "answers page on diagnostic tests"
PROPORTION = "help page on a single proportion"
BOARDS = 2000
Z = 1.96

ONE_MARK = Exercise(
    id="one-mark",
    number=9,
    title="Ask what one mark of earlier work is worth",
    setup=(
        "Invented numbers for one bench. Of {boards} boards that came in, {base} had been reflowed before by someone "
        "else. A mark (flux residue at the edge of the large package) was seen on {found} of those. It was also seen on "
        "{false_alarm} of the boards that had **not** been reflowed, from other causes. A share of 37 %, say, is written 37, not 0.37."
    ),
    givens=dict(
        boards=Fixed(BOARDS),
        base=Quantity(20, "%", low=5, high=40, step=5),
        found=Quantity(85, "%", low=70, high=95, step=1),
        false_alarm=Quantity(10, "%", low=4, high=20, step=1),
    ),
    drawing=lambda g: marks.earlier_repair(("flux",)),
    parts=(
        Number(
            "true_marks",
            "How many of the {boards} boards have been reflowed and show the mark?",
            points=1,
            unit="pieces",
            expected=lambda g, a: g.boards * g.base * g.found,
            within=absolute(0.1),
            because="boards are counted whole",
            plausible=(87, 1999),
            working="true_marks = boards * base / 100 * found / 100",
            slips=(
                Slip(
                    "of all boards",
                    lambda g, a: g.boards * g.found,
                    "You took the share of all boards. It is a share of the reflowed ones.",
                ),
                Slip(
                    "missed",
                    lambda g, a: g.boards * g.base * (1 - g.found),
                    "Those are the reflowed boards on which the mark was missed.",
                ),
            ),
        ),
        Number(
            "false_marks",
            "How many have not been reflowed and show it all the same?",
            points=1,
            unit="pieces",
            expected=lambda g, a: g.boards * (1 - g.base) * g.false_alarm,
            within=absolute(0.1),
            because="boards are counted whole",
            plausible=(30, 580),
            working="false_marks = boards * (1 - base / 100) * false_alarm / 100",
            slips=(
                Slip(
                    "of all boards",
                    lambda g, a: g.boards * g.false_alarm,
                    "You took the share of all boards. It is a share of those that were not reflowed.",
                ),
                Slip(
                    "of the reflowed ones",
                    lambda g, a: g.boards * g.base * g.false_alarm,
                    "You took the share of the reflowed boards. A false mark sits on one of the others.",
                ),
                Slip(
                    "without the mark",
                    lambda g, a: g.boards * (1 - g.base) * (1 - g.false_alarm),
                    "Those are the boards that were not reflowed and show no mark.",
                ),
            ),
        ),
        Number(
            "given_mark",
            "A board shows the mark. How likely was it reflowed before?",
            points=2,
            unit="%",
            expected=lambda g, a: a.true_marks / (a.true_marks + a.false_marks),
            within=absolute(0.5),
            because="it carries the rounding of the counts",
            plausible=(5, 99.9),
            working="given_mark = true_marks / (true_marks + false_marks) * 100",
            hint="Put all boards with the mark on one table. Which of them were reflowed?",
            slips=(
                Slip(
                    "turned round",
                    lambda g, a: g.found,
                    "That is how often a reflowed board shows the mark. The question is turned round: how often a board "
                    "with the mark was reflowed.",
                ),
                Slip(
                    "all sound boards as false marks",
                    lambda g, a: a.true_marks / (a.true_marks + g.boards * (1 - g.base)),
                    "You counted every board that was not reflowed as a false mark. Only some of them show it.",
                ),
                Slip(
                    "true over false",
                    lambda g, a: a.true_marks / a.false_marks,
                    "True over false marks are odds. A share divides by all marks, true and false.",
                ),
            ),
        ),
        Number(
            "given_none",
            "Another board shows no mark. How likely was it **not** reflowed before?",
            points=2,
            unit="%",
            expected=lambda g, a: evidence.negative_predictive_value(g.base, g.found, 1 - g.false_alarm),
            within=absolute(0.3),
            because="it carries the rounding of the counts",
            plausible=(50, 99.95),
            working="""
clean = boards * (1 - base / 100) * (1 - false_alarm / 100)
missed = boards * base / 100 * (1 - found / 100)
given_none = clean / (clean + missed) * 100
""",
            slips=(
                Slip(
                    "turned round",
                    lambda g, a: 1 - g.false_alarm,
                    "That is how often a board that was not reflowed shows no mark. The question is turned round.",
                ),
                Slip(
                    "reflowed all the same",
                    lambda g, a: 1 - evidence.negative_predictive_value(g.base, g.found, 1 - g.false_alarm),
                    "That is how likely it was reflowed all the same. The question asks how likely it was not.",
                ),
                Slip(
                    "base rate only",
                    lambda g, a: 1 - g.base,
                    "That is what you knew before you looked. That no mark was found tells you more.",
                ),
            ),
        ),
        Choice(
            "elsewhere",
            "At another bench only one board in a hundred was reflowed before. What does the same mark say there?",
            points=1,
            options={
                "as here": "the same chance as here",
                "less": "a lower chance than here",
                "more": "a higher chance than here",
            },
            expected=lambda g, a: "less",
            slips={
                "as here": "The mark is the same; the boards it sits on are not. Work it with 1 % and look.",
                "more": "Work it with 1 % and look: nearly all marks there are false ones.",
            },
        ),
    ),
    cases=(
        Case(
            "given_mark",
            47.1,
            0.05,
            "biostatistics question after Park, Textbook of Preventive and Social Medicine, 27th ed.",
            "published",
            givens={"base": 10, "found": 80, "false_alarm": 10},
        ),
        Case(
            "given_mark",
            98.6,
            0.05,
            f"{ANSWERS}: 80 %, 90 %, 95 %",
            "published-unnamed",
            givens={"base": 80, "found": 90, "false_alarm": 5},
        ),
        Case(
            "given_mark",
            8.7,
            0.1,
            "Open Med. Inform. J. 2:149, Table 3: 1 %, 95 %, 90 %",
            "published",
            givens={"base": 1, "found": 95, "false_alarm": 10},
            note="printed 0.087, cut off and not rounded: 0.0876",
        ),
        Case(
            "given_none",
            70.4,
            0.05,
            f"{ANSWERS}: 80 %, 90 %, 95 %",
            "published-unnamed",
            givens={"base": 80, "found": 90, "false_alarm": 5},
        ),
        Case(
            "given_none",
            99.4,
            0.07,
            f"{ANSWERS}: 5 %, 90 %, 95 %",
            "published-unnamed",
            givens={"base": 5, "found": 90, "false_alarm": 5},
            note="printed 99.4, cut off and not rounded: 99.45",
        ),
        Case(
            "true_marks",
            80,
            0.01,
            "inputs after Park, Textbook of Preventive and Social Medicine, by hand: 80 % of 10 % of 1000",
            "computed",
            givens={"boards": 1000, "base": 10, "found": 80, "false_alarm": 10},
        ),
        Case(
            "false_marks",
            90,
            0.01,
            "inputs after Park, Textbook of Preventive and Social Medicine, by hand: 10 % of 90 % of 1000",
            "computed",
            givens={"boards": 1000, "base": 10, "found": 80, "false_alarm": 10},
        ),
    ),
    floor=0.10,
)


def _given(chance, *ratios):
    return evidence.updated_probability(chance, *ratios)


def _clear_of_the_rule(drawn: dict) -> bool:
    """Whether the chance after both findings lies clear of the shop's lines of 10 % and 50 %."""
    chance = _given(drawn["before"] / 100, drawn["found"] / drawn["false_alarm"], drawn["pads"])
    return abs(chance - 0.1) > 0.01 and abs(chance - 0.5) > 0.01


TWO_FINDINGS = Exercise(
    id="two-findings",
    number=10,
    title="Add one finding to another",
    setup=(
        "Before you look, {before} of the boards like this one were reflowed by someone else. You find flux residue; it is "
        "seen on {found} of the reflowed boards and on {false_alarm} of the others. Then you look at the adhesive pads that "
        "hold the board down: they are flat and evenly stuck. That is {pads} times as likely on a reflowed board as on one "
        "that was not (its likelihood ratio). Take the two findings as not depending on each other. All shares are "
        "invented.\n\nOdds are the chance for, over the chance against. A likelihood ratio multiplies the odds. Odds and ratios "
        "are plain numbers; a chance is given in per cent. A share of 37 %, say, is written 37, not 0.37."
    ),
    givens=dict(
        before=Quantity(30, "%", low=10, high=45, step=5),
        found=Quantity(80, "%", low=60, high=95, step=1),
        false_alarm=Quantity(10, "%", low=5, high=20, step=1),
        pads=Pick(0.25, (0.15, 0.2, 0.25, 0.3, 0.4, 0.5)),
    ),
    drawing=lambda g: marks.earlier_repair(("flux",)),
    parts=(
        Number(
            "ratio",
            "What is the likelihood ratio of the flux residue?",
            points=1,
            unit="1",
            expected=lambda g, a: evidence.positive_likelihood_ratio(g.found, 1 - g.false_alarm),
            within=relative(0.01),
            because="it is one division",
            plausible=(1.1, 50),
            working="ratio = found / false_alarm",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.false_alarm / g.found,
                    "The ratio is upside down. How often with earlier reflow, over how often without it.",
                ),
                Slip(
                    "for no residue",
                    lambda g, a: evidence.negative_likelihood_ratio(g.found, 1 - g.false_alarm),
                    "That is the ratio for a board on which no residue is found.",
                ),
                Slip(
                    "over the clean ones",
                    lambda g, a: g.found / (1 - g.false_alarm),
                    "You divided by the share without residue. Take the share of the others that show it.",
                ),
                Slip(
                    "difference",
                    lambda g, a: g.found - g.false_alarm,
                    "You took the difference of the two shares. A ratio is one divided by the other.",
                ),
            ),
        ),
        Number(
            "odds_before",
            "What are the odds of an earlier reflow before you look?",
            points=1,
            unit="1",
            expected=lambda g, a: evidence.odds(g.before),
            within=relative(0.01),
            because="it is one division",
            plausible=(0.069, 1.4),
            working="odds_before = (before / 100) / (1 - before / 100)",
            slips=(
                Slip(
                    "chance",
                    lambda g, a: g.before,
                    "That is the chance. Odds are the chance for, over the chance against.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: 1 / evidence.odds(g.before),
                    "Those are the odds against.",
                ),
            ),
        ),
        Number(
            "after_residue",
            "How likely was the board reflowed, now that you have seen the residue?",
            points=2,
            unit="%",
            expected=lambda g, a: evidence.probability(a.odds_before * a.ratio),
            within=absolute(0.5),
            because="odds and ratio are rounded on the way",
            plausible=(2, 99.5),
            working="after_residue = odds_before * ratio / (1 + odds_before * ratio) * 100",
            hint="Multiply the odds, then turn odds back into a chance: odds over one more than the odds.",
            slips=(
                Slip(
                    "odds left as they are",
                    lambda g, a: a.odds_before * a.ratio,
                    "Those are odds. A chance is the odds over one more than the odds.",
                ),
                Slip(
                    "chance multiplied",
                    lambda g, a: g.before * a.ratio,
                    "You multiplied the chance. The ratio multiplies the odds; a chance cannot pass 100 %.",
                ),
                Slip(
                    "turned round",
                    lambda g, a: g.found,
                    "That is how often a reflowed board shows residue, which is another question.",
                ),
            ),
        ),
        Number(
            "after_pads",
            "And now that you have seen the pads as well?",
            points=2,
            unit="%",
            expected=lambda g, a: _given(a.after_residue, g.pads),
            within=absolute(0.5),
            because="it carries the rounding of part 3",
            plausible=(0.5, 99),
            working="""
odds = (after_residue / 100) / (1 - after_residue / 100) * pads
after_pads = odds / (1 + odds) * 100
""",
            slips=(
                Slip(
                    "chance multiplied",
                    lambda g, a: a.after_residue * g.pads,
                    "You multiplied the chance. The ratio multiplies the odds.",
                ),
                Slip(
                    "residue forgotten",
                    lambda g, a: _given(g.before, g.pads),
                    "You began again from what was known before you looked. The residue has been seen as well.",
                ),
                Slip(
                    "other way round",
                    lambda g, a: _given(a.after_residue, 1 / g.pads),
                    "You divided. A ratio below one speaks against earlier reflow, so the odds fall.",
                ),
            ),
        ),
        Choice(
            "quote",
            "This shop's rule: from 50 % on it warns the owner of an earlier reflow before it quotes; from 10 % to 50 % it "
            "looks for one more finding first; below 10 % it quotes as for any board. What does your last number ask for?",
            points=1,
            options={
                "as usual": "quote as for any other board",
                "look on": "look for one more finding first",
                "warn": "warn the owner, and then quote",
            },
            expected=lambda g, a: "warn" if a.after_pads >= 0.5 else "look on" if a.after_pads >= 0.1 else "as usual",
            hint="Go by the chance after both findings.",
        ),
        Choice(
            "seen_again",
            "A colleague looks through the microscope and sees the same flux residue. Does its ratio multiply the odds once "
            "more?",
            points=1,
            options={
                "twice": "yes, since two people have seen it",
                "once": "no, it is one finding seen twice",
                "half": "yes, but only with half its ratio",
            },
            expected=lambda g, a: "once",
            slips={
                "twice": "The second look only shows that the residue is there. What put it there is as open as before.",
                "half": "Half a ratio is not half a finding: a ratio of one would change nothing.",
            },
        ),
    ),
    cases=(
        Case(
            "after_residue",
            5.66,
            0.1,
            "post-test probability page: chance 0.012, likelihood ratio 5",
            "published-unnamed",
            givens={"before": 1.2},
            earlier={"ratio": 5},
            note="printed from odds rounded on the way; exact 5.73 %",
        ),
        Case("ratio", 8.0, 0.05, "Se / (1 - Sp): 80 % found, 10 % false alarms", "computed"),
        Case(
            "after_pads",
            91.2,
            0.05,
            "Bayes in odds: 99 %, likelihood ratio 0.10 / 0.95",
            "computed",
            givens={"pads": 0.10 / 0.95},
            earlier={"after_residue": 99},
        ),
        Case(
            "odds_before",
            0.25,
            0.0005,
            "definition of odds by hand: 20 % are 1 to 4",
            "computed",
            givens={"before": 20},
        ),
    ),
    sound=_clear_of_the_rule,
    floor=0.15,
)


def _run(g):
    return log(1 - g.confidence) / log(g.claim)


def _chance_of_exactly(misses, g):
    return comb(int(g["trials"]), misses) * (1 - g.claim) ** misses * g.claim ** (g["trials"] - misses)


def _chance(g):
    return float(evidence.chance_of_at_most(g["trials"] - g["misses"], g["trials"], g.claim))


def _tells(drawn: dict) -> bool:
    """Whether the count lies clearly on one side of the line of 5 %."""
    chance = evidence.chance_of_at_most(drawn["trials"] - drawn["misses"], drawn["trials"], drawn["claim"] / 100)
    return 0.002 < chance < 0.04 or 0.065 < chance < 0.5


NINETY_NINE = Exercise(
    id="ninety-nine",
    number=11,
    title="Ask what “nearly all of them” would need",
    setup=(
        "Someone says of one family of boards: **“{claim} of them are cracked joints.”** Take each board as independent of "
        "the others. If the share of cracked joints is p, the chance that n boards in a row are all cracked joints is pⁿ; "
        "the chance that exactly one of n is something else is n (1 − p) pⁿ⁻¹.\n\n"
        "A count **supports** the claim at a confidence of {confidence} if, with p exactly as claimed, so good a count or "
        "a better one has a chance of no more than 100 % less the confidence. All counts are invented. A share of 37 %, say, is written 37, not 0.37."
    ),
    givens=dict(
        claim=Pick(99, (97, 98, 99), "%"),
        confidence=Fixed(95, "%"),
        seen=Quantity(10, "1", low=6, high=18, step=1),
        trials=Quantity(24, "1", low=16, high=80, step=2),
        misses=Fixed(2),
    ),
    parts=(
        Number(
            "shown",
            "The speaker has seen {seen} boards, and all of them were cracked joints. What is the highest share p that so short a "
            "count supports, at the same confidence?",
            points=1,
            unit="%",
            expected=lambda g, a: evidence.lower_bound(g["seen"], g["seen"], g.confidence),
            within=absolute(0.2),
            because="that leaves room for rounding",
            plausible=(20, 99.9),
            working="shown = (1 - confidence / 100)**(1 / seen) * 100",
            hint="For which p is pⁿ just 100 % less the confidence?",
            slips=(
                Slip(
                    "all of them",
                    lambda g, a: 1.0,
                    "All of a few are still only a few. The next board may be the first of another kind.",
                ),
                Slip(
                    "root of the confidence",
                    lambda g, a: g.confidence ** (1 / g["seen"]),
                    "You took the root of the confidence. Take the root of what is left to 100 %.",
                ),
                Slip(
                    "chance under the claim",
                    lambda g, a: g.claim**g.seen,
                    "That is how likely so many cracks in a row are if the claim holds. The question turns it round.",
                ),
            ),
        ),
        Number(
            "needed",
            "What is the least number of boards, all of them cracked joints, that would support the claim?",
            points=1,
            unit="pieces",
            expected=lambda g, a: evidence.trials_to_support(g.claim, g.confidence),
            within=absolute(0.01),
            because="boards come whole",
            plausible=(61, 1000),
            working="""
run = log(1 - confidence / 100) / log(claim / 100)
needed = int(run) + 1          # the next whole number up
""",
            hint="Solve pⁿ = 1 − confidence for n, and take the next whole number up.",
            slips=(
                Slip(
                    "rounded down",
                    lambda g, a: evidence.trials_to_support(g.claim, g.confidence) - 1,
                    "One board short of the claim. Round up.",
                ),
                Slip(
                    "not rounded",
                    lambda g, a: _run(g),
                    "The method is right. There are no parts of a board: round up.",
                    worth=0.5,
                ),
                Slip(
                    "one in so many",
                    lambda g, a: 1 / (1 - g.claim),
                    "That many boards hold one of another kind on average. To see none among them is not rare enough.",
                ),
            ),
        ),
        Number(
            "needed_with_one",
            "About how many boards would it take if exactly one of them had turned out to be something else? For that, at 95 % "
            "confidence, 4.74 of another kind must be expected if the claim is just true: n (1 − p) = 4.74.",
            points=1,
            unit="pieces",
            expected=lambda g, a: evidence.trials_to_support(g.claim, g.confidence, failures=1),
            within=relative(0.02),
            because="4.74 is the rule for rare misses; the exact number is up to 1 % lower",
            plausible=(98, 760),
            working="needed_with_one = 4.74 / (1 - claim / 100)",
            slips=(
                Slip(
                    "one board more",
                    lambda g, a: a.needed + 1,
                    "One more board does not make up for one of another kind. It costs far more.",
                ),
                Slip(
                    "twice as many",
                    lambda g, a: 2 * a.needed,
                    "The number does not simply double. Divide the 4.74 by the share of another kind.",
                ),
                Slip(
                    "confidence for the claim",
                    lambda g, a: 4.74 / (1 - g.confidence),
                    "You put the confidence in. The p of this formula is the share that is claimed.",
                ),
            ),
        ),
        Number(
            "chance",
            "The shop's own list shows {misses} boards of another kind among {trials}. If the claim were true, what is the "
            "chance of this many **or more** of another kind?",
            points=2,
            unit="%",
            expected=lambda g, a: _chance(g),
            within=relative(0.02),
            because="rounding of the powers costs less",
            plausible=(0.68, 80),
            working="""
p = claim / 100
none = p**trials
exactly_one = trials * (1 - p) * p**(trials - 1)
chance = (1 - none - exactly_one) * 100
""",
            hint="Two or more is everything but none and one.",
            slips=(
                Slip(
                    "exactly this many",
                    lambda g, a: _chance_of_exactly(g["misses"], g),
                    "That is the chance of exactly this many. More of them would speak against the claim as well.",
                ),
                Slip(
                    "fewer",
                    lambda g, a: 1 - _chance(g),
                    "That is the chance of fewer. Take it from 100 %.",
                ),
                Slip(
                    "more than this many",
                    lambda g, a: _chance(g) - _chance_of_exactly(g["misses"], g),
                    "You left this very number out: “or more” has it in.",
                ),
                Slip(
                    "one or more",
                    lambda g, a: 1 - g.claim**g.trials,
                    "That is the chance of one or more of another kind. The list shows more than one: both none and one come off.",
                ),
            ),
        ),
        Choice(
            "list_says",
            "Take 5 % as the line. What does the list say about the claim?",
            points=1,
            options={
                "proves it": "this shows that the claim is true",
                "speaks against it": "this would be rare if it were true",
                "does not settle it": "this may well happen if it is true",
            },
            expected=lambda g, a: "speaks against it" if a.chance < 0.05 else "does not settle it",
            slips={
                "proves it": "A count that fits a claim fits many other claims as well.",
                "speaks against it": "Compare the chance of part 4 with the line once more.",
                "does not settle it": "Compare the chance of part 4 with the line once more.",
            },
        ),
        Choice(
            "whose_boards",
            "All boards on the list were sent to one rework bench that is known for mending cracked joints. Whose share does "
            "such a list tell, however long it is?",
            points=1,
            options={
                "all boards": "the share among all the boards that were sold",
                "sent here": "the share among the boards sent to this bench",
                "failed boards": "the share among all the boards that have failed",
            },
            expected=lambda g, a: "sent here",
            slips={
                "all boards": "Boards that work are on nobody's list.",
                "failed boards": "A board that fails in another way is sent elsewhere, or nowhere. No length of list mends that.",
            },
        ),
    ),
    cases=(
        Case(
            "needed",
            59,
            0.01,
            "guides on zero-failure sample size: 95 % at 95 %",
            "published-second-hand",
            givens={"claim": 95, "confidence": 95},
        ),
        Case(
            "needed",
            22,
            0.01,
            "guides on zero-failure sample size: 90 % at 90 %",
            "published-second-hand",
            givens={"claim": 90, "confidence": 90},
        ),
        Case("needed", 299, 0.01, "success run: 99 % at 95 %", "computed"),
        Case("needed_with_one", 473, 0.01, "binomial distribution: 99 % at 95 %, one failure", "computed"),
        Case("shown", 74.1, 0.05, "0.05 to the power of 1/10", "computed"),
        Case(
            "chance",
            1.4,
            0.05,
            "binomial distribution: 47 of 50 or fewer at 99 %",
            "computed",
            givens={"trials": 50, "misses": 3},
        ),
    ),
    sound=_tells,
    floor=0.15,
)


def _held(g):
    return g["trials"] - g["failed"]


def _share(g):
    return _held(g) / g["trials"]


INTERVAL = Exercise(
    id="share-with-doubt",
    number=12,
    title="Give a share together with its uncertainty",
    setup=(
        "Of {trials} boards that one bench repaired, {failed} failed again within a year; the others held. The share that "
        "held is p = k / n, with k that held of n. (Invented counts.) A share of 37 %, say, is written 37, not 0.37. Two ways to "
        "give its uncertainty at 95 % (a confidence interval), with z = 1.96:\n\n"
        "- Wald: p ± z √(p (1 − p) / n)\n"
        "- Wilson: [p + z²/(2n) ± z √(p (1 − p) / n + z²/(4n²))] / (1 + z²/n)"
    ),
    givens=dict(
        trials=Quantity(20, "1", low=18, high=48, step=1),
        failed=Quantity(2, "1", low=2, high=6, step=1),
    ),
    parts=(
        Number(
            "wald_high",
            "What is the upper end by Wald for the share that held? (Give what the formula gives, even above 100 %.)",
            points=1,
            unit="%",
            expected=lambda g, a: evidence.wald_interval(_held(g), g["trials"])[1],
            within=absolute(0.2),
            because="that leaves room for rounding",
            plausible=(55, 130),
            working="""
p = (trials - failed) / trials
wald_high = (p + 1.96 * sqrt(p * (1 - p) / trials)) * 100
""",
            slips=(
                Slip(
                    "lower end",
                    lambda g, a: evidence.wald_interval(_held(g), g["trials"])[0],
                    "That is the lower end.",
                ),
                Slip(
                    "share that failed",
                    lambda g, a: evidence.wald_interval(g["failed"], g["trials"])[1],
                    "That is the upper end for the share that failed. The question is about those that held.",
                ),
                Slip(
                    "without z",
                    lambda g, a: _share(g) + sqrt(_share(g) * (1 - _share(g)) / g["trials"]),
                    "You went up by one standard deviation. For 95 % it is 1.96 of them.",
                ),
                Slip(
                    "n left out",
                    lambda g, a: _share(g) + Z * sqrt(_share(g) * (1 - _share(g))),
                    "The number of boards is missing under the root. More boards leave less uncertainty.",
                ),
            ),
        ),
        Number(
            "wilson_low",
            "What is the lower end by Wilson?",
            points=2,
            unit="%",
            expected=lambda g, a: evidence.wilson_interval(_held(g), g["trials"])[0],
            within=absolute(0.2),
            because="that leaves room for rounding",
            plausible=(27, 99),
            working="""
z = 1.96
middle = p + z**2 / (2 * trials)
half_width = z * sqrt(p * (1 - p) / trials + z**2 / (4 * trials**2))
wilson_low = (middle - half_width) / (1 + z**2 / trials) * 100
""",
            slips=(
                Slip(
                    "Wald",
                    lambda g, a: evidence.wald_interval(_held(g), g["trials"])[0],
                    "That is the lower end by Wald.",
                ),
                Slip(
                    "not divided",
                    lambda g, a: evidence.wilson_interval(_held(g), g["trials"])[0] * (1 + Z**2 / g["trials"]),
                    "The last division, by 1 + z²/n, is missing.",
                ),
            ),
        ),
        Number(
            "wilson_high",
            "And the upper end by Wilson?",
            points=1,
            unit="%",
            expected=lambda g, a: evidence.wilson_interval(_held(g), g["trials"])[1],
            within=absolute(0.2),
            because="that leaves room for rounding",
            plausible=(52, 100),
            working="wilson_high = (middle + half_width) / (1 + z**2 / trials) * 100",
            slips=(
                Slip(
                    "not divided",
                    lambda g, a: evidence.wilson_interval(_held(g), g["trials"])[1] * (1 + Z**2 / g["trials"]),
                    "The last division, by 1 + z²/n, is missing.",
                ),
                Slip(
                    "cut off",
                    lambda g, a: 1.0,
                    "Some boards did not hold, so 100 % is ruled out already. Work the formula through.",
                ),
            ),
        ),
        Number(
            "all_held_low",
            "Had all {trials} held, what would be the lower end by Wilson?",
            points=1,
            unit="%",
            expected=lambda g, a: evidence.wilson_interval(g["trials"], g["trials"])[0],
            within=absolute(0.1),
            because="that leaves room for rounding",
            plausible=(30, 99.9),
            working="""
middle = 1 + z**2 / (2 * trials)
half_width = z * sqrt(z**2 / (4 * trials**2))
all_held_low = (middle - half_width) / (1 + z**2 / trials) * 100
""",
            hint="Put p = 1 into the formula: little is left of it.",
            slips=(
                Slip(
                    "Wald",
                    lambda g, a: 1.0,
                    "That is what Wald gives: no uncertainty at all after a few boards. Use Wilson.",
                ),
                Slip(
                    "z not squared",
                    lambda g, a: g["trials"] / (g["trials"] + Z),
                    "The z stands squared in the formula.",
                ),
                Slip(
                    "exact bound",
                    lambda g, a: 0.05 ** (1 / g.trials),
                    "That is the exact bound to one side. The question asks for Wilson's.",
                ),
            ),
        ),
        Choice(
            "customer",
            "A customer asks how often the repair holds. Which answer can you give?",
            points=1,
            options={
                "counted": "the share p to one decimal, which is what was counted",
                "interval": "the share with both Wilson ends, and out of how many",
                "upper": "the upper end, because the bench has got better since",
            },
            expected=lambda g, a: "interval",
            slips={
                "counted": "A bare share hides how few boards it stands on.",
                "upper": "The upper end is the best the data allow, not what they show.",
            },
        ),
    ),
    cases=(
        Case(
            "wald_high",
            12.3,
            0.05,
            f"{PROPORTION}: 12 of 150, Wald",
            "published-unnamed",
            givens={"failed": 138, "trials": 150},
        ),
        Case(
            "wilson_low",
            4.6,
            0.05,
            f"{PROPORTION}: 12 of 150, Wilson",
            "published-unnamed",
            givens={"failed": 138, "trials": 150},
        ),
        Case(
            "wilson_high",
            13.5,
            0.05,
            f"{PROPORTION}: 12 of 150, Wilson",
            "published-unnamed",
            givens={"failed": 138, "trials": 150},
        ),
        Case("wilson_low", 69.9, 0.05, "Wilson interval by statsmodels: 18 of 20", "computed"),
        Case("wilson_high", 97.2, 0.05, "Wilson interval by statsmodels: 18 of 20", "computed"),
        Case("all_held_low", 83.9, 0.05, "Wilson interval by statsmodels: 20 of 20", "computed"),
    ),
    floor=0.20,
)


EXERCISES = (ONE_MARK, TWO_FINDINGS, NINETY_NINE, INTERVAL)
