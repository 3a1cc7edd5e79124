"""An exercise on what each look at a package is worth: its likelihood ratio, and the question it answers."""

from graders.questions import Case, Choice, Exercise, Number, Quantity, Slip, absolute, relative
from graders.sheets.joints.inspection import DESTRUCTIVE, UNPLUGGED
from workbook.bench.intake import evidence
from workbook.bench.joints import inspection
from workbook.drawings import looks

QUOTE_FROM = 0.75


def _ratios(g):
    return g.x_cracked / g.x_sound, g.cold_cracked / g.cold_sound, g.warm_cracked / g.warm_sound


def _edge_joints(g):
    return 4 * (g["rows"] - 1)


def _clear_of_the_rule(drawn):
    """Whether the chance after three looks lies clear of the shop's line."""
    g = WEIGHED_LOOKS.values(drawn)
    return abs(evidence.updated_probability(g.before, *_ratios(g)) - QUOTE_FROM) > 0.02


WEIGHED_LOOKS = Exercise(
    id="weigh-each-look",
    number=22,
    title="Weigh each look by its likelihood ratio",
    setup=(
        "A set fails when it is warm. Before any look this shop gives a cracked ball joint under the processor a chance of "
        "{before}. On the unplugged, discharged board three looks are taken. (All shares in this exercise are invented; take "
        "the three as independent, with a cracked joint and without.)\n\n"
        "| look | what was found | found with a cracked joint | found with sound joints only |\n"
        "|---|---|---:|---:|\n"
        "| X-ray, from above | no crack in the picture | {x_cracked} | {x_sound} |\n"
        "| resistance of the chain of joints, cold | as when new | {cold_cracked} | {cold_sound} |\n"
        "| resistance of the chain, warm | 20 % over a sound one as warm | {warm_cracked} | {warm_sound} |\n\n"
        "The **likelihood ratio** of a finding is its share with a cracked joint over its share without. Odds are the chance for, over the chance "
        "against; each ratio multiplies them. Ratios are plain numbers, chances are given in per cent."
    ),
    givens=dict(
        before=Quantity(25, "%", low=15, high=45, step=5),
        x_cracked=Quantity(90, "%", low=86, high=92, step=1),
        x_sound=Quantity(97, "%", low=96, high=99, step=1),
        cold_cracked=Quantity(78, "%", low=65, high=85, step=1),
        cold_sound=Quantity(98, "%", low=96, high=99, step=1),
        warm_cracked=Quantity(70, "%", low=50, high=80, step=2),
        warm_sound=Quantity(5, "%", low=3, high=10, step=1),
        rows=Quantity(10, "1", low=7, high=16, step=1),
        dye=Quantity(85, "%", low=70, high=92, step=1),
        nudge_all=Quantity(96, "%", low=94, high=98, step=1),
        nudge_some=Quantity(60, "%", low=50, high=70, step=2),
        sunk_all=Quantity(98, "%", low=96, high=99, step=1),
        sunk_some=Quantity(70, "%", low=60, high=80, step=2),
        sunk_some_then=Quantity(92, "%", low=88, high=95, step=1),
    ),
    drawing=lambda g: looks.edge_row(int(g["rows"])),
    parts=(
        Number(
            "x_ray_ratio",
            "What is the likelihood ratio of the X-ray picture without a crack?",
            points=1,
            unit="1",
            expected=lambda g, a: g.x_cracked / g.x_sound,
            within=relative(0.005),
            because="it is one division",
            plausible=(0.85, 0.97),
            working="x_ray_ratio = x_cracked / x_sound",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.x_sound / g.x_cracked,
                    "The ratio is upside down. The share with a cracked joint stands on top.",
                ),
                Slip(
                    "for a crack in the picture",
                    lambda g, a: (1 - g.x_cracked) / (1 - g.x_sound),
                    "That is the ratio of a picture that does show a crack. This one shows none.",
                ),
                Slip(
                    "difference",
                    lambda g, a: g.x_sound - g.x_cracked,
                    "You took the difference of the shares. A ratio is one divided by the other.",
                ),
            ),
        ),
        Number(
            "warm_ratio",
            "And the ratio of the warm reading?",
            points=1,
            unit="1",
            expected=lambda g, a: g.warm_cracked / g.warm_sound,
            within=relative(0.01),
            because="it is one division",
            plausible=(4, 30),
            working="warm_ratio = warm_cracked / warm_sound",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.warm_sound / g.warm_cracked,
                    "The ratio is upside down. The share with a cracked joint stands on top.",
                ),
                Slip(
                    "for a good warm reading",
                    lambda g, a: (1 - g.warm_cracked) / (1 - g.warm_sound),
                    "That is the ratio of a warm reading that has **not** risen. This one has.",
                ),
            ),
        ),
        Number(
            "together",
            "What is the ratio of all three findings together?",
            points=2,
            unit="1",
            expected=lambda g, a: a.x_ray_ratio * g.cold_cracked / g.cold_sound * a.warm_ratio,
            within=relative(0.015),
            because="the two ratios before are rounded",
            plausible=(2, 29),
            working="together = x_ray_ratio * (cold_cracked / cold_sound) * warm_ratio",
            slips=(
                Slip(
                    "sum",
                    lambda g, a: a.x_ray_ratio + g.cold_cracked / g.cold_sound + a.warm_ratio,
                    "You added them. Each ratio multiplies the odds, so together they multiply.",
                ),
                Slip(
                    "cold reading turned over",
                    lambda g, a: a.x_ray_ratio * g.cold_sound / g.cold_cracked * a.warm_ratio,
                    "The good cold reading is found less often with a cracked joint: its ratio is below one.",
                ),
                Slip(
                    "good readings left out",
                    lambda g, a: a.x_ray_ratio * a.warm_ratio,
                    "The cold reading is missing. A good reading is a finding too, if a weak one.",
                ),
            ),
        ),
        Number(
            "after",
            "How likely is a cracked joint after the three looks?",
            points=2,
            unit="%",
            expected=lambda g, a: evidence.probability(evidence.odds(g.before) * a.together),
            within=absolute(0.6),
            because="invented shares bear no more",
            plausible=(25, 97),
            working="""
odds = before / (100 - before) * together
after = odds / (1 + odds) * 100
""",
            hint="From the chance to odds, times the ratio, and back to a chance.",
            slips=(
                Slip(
                    "odds left as they are",
                    lambda g, a: evidence.odds(g.before) * a.together,
                    "Those are odds, in per cent. A chance is the odds over one more than the odds.",
                ),
                Slip(
                    "as if it were even before",
                    lambda g, a: evidence.probability(a.together),
                    "You left out the chance before the looks: that is right only where it was 50 %.",
                ),
                Slip(
                    "chance multiplied",
                    lambda g, a: g.before * a.together,
                    "You multiplied the chance. The ratio multiplies the odds.",
                ),
            ),
        ),
        Number(
            "section_ratio",
            "A sister board may be given up. Under its processor stand {rows} by {rows} balls, as drawn. In question are the "
            "joints along the four edges, each as likely as any other. A section along one edge row is ground, "
            "polished and shows no crack. (It shows any crack that it passes.) What is the ratio of that finding, where **one** joint in question is cracked, "
            "against none?",
            points=2,
            unit="1",
            expected=lambda g, a: inspection.chance_of_missing(_edge_joints(g), g["rows"]),
            within=relative(0.005),
            because="joints are counted",
            plausible=(0.55, 0.8),
            working="""
in_question = 4 * (rows - 1)
section_ratio = 1 - rows / in_question
""",
            hint="Count the joints in question, then those the section passes. Sound joints never show a crack.",
            slips=(
                Slip(
                    "corners twice",
                    lambda g, a: 1 - g["rows"] / (4 * g["rows"]),
                    "You counted each corner joint twice: it belongs to two edges.",
                ),
                Slip(
                    "all the balls",
                    lambda g, a: 1 - 1 / g["rows"],
                    "You counted the balls inside too. Only those along the edges are in question.",
                ),
                Slip(
                    "the share it passes",
                    lambda g, a: g["rows"] / _edge_joints(g),
                    "That is the chance that the section meets the crack. It showed none: what is the chance of that?",
                ),
                Slip(
                    "ruled out",
                    lambda g, a: 0.0,
                    "Then the crack would be ruled out. The section never came near the joints of the other edges.",
                ),
            ),
        ),
        Number(
            "dye_ratio",
            "Instead, dye is let in under the package, dried, and the package pulled off. Dye gets into a crack in {dye} of "
            "cases, under any joint, and never into a sound one. No joint is dyed. What is the ratio of that?",
            points=1,
            unit="1",
            expected=lambda g, a: 1 - g.dye,
            within=relative(0.01),
            because="it is one subtraction",
            plausible=(0.05, 0.35),
            working="dye_ratio = 1 - dye / 100",
            slips=(
                Slip(
                    "odds",
                    lambda g, a: g.dye / (1 - g.dye),
                    "Those are the odds of dye in a crack. Two chances are compared: no dye in a cracked joint, and no dye in a sound one.",
                ),
                Slip(
                    "the share that is dyed",
                    lambda g, a: g.dye,
                    "That is how often a crack is dyed. Here none was.",
                ),
            ),
        ),
        Number(
            "molten_ratio",
            "In the repair two looks ask: are **all** joints molten, or is one in the middle still solid? A nudge that springs "
            "back is seen at {nudge_all} where all are molten and at {nudge_some} where one is solid. That the part has come "
            "down is seen at {sunk_all} and {sunk_some}, taken by itself; **once the nudge has sprung back** at {sunk_all} "
            "and {sunk_some_then}, because both see the same outer joints. Both were seen. What is the ratio of both "
            "together, for “all molten”?",
            points=2,
            unit="1",
            expected=lambda g, a: g.nudge_all / g.nudge_some * g.sunk_all / g.sunk_some_then,
            within=relative(0.01),
            because="only rounding is left",
            plausible=(1.3, 2.3),
            working="molten_ratio = nudge_all / nudge_some * sunk_all / sunk_some_then",
            hint="The second share of the side view must hold where the nudge has already sprung back.",
            slips=(
                Slip(
                    "as if independent",
                    lambda g, a: g.nudge_all / g.nudge_some * g.sunk_all / g.sunk_some,
                    "You counted what both see twice: once the nudge has sprung back, the side view adds little.",
                ),
                Slip(
                    "nudge alone",
                    lambda g, a: g.nudge_all / g.nudge_some,
                    "That is the nudge alone. The side view still adds a little.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.nudge_some / g.nudge_all * g.sunk_some_then / g.sunk_all,
                    "It is asked for “all molten”: that share stands on top.",
                ),
            ),
        ),
        Choice(
            "own_question",
            "A colleague multiplies the odds of a cracked joint by the ratio of Part 7 as well. What is wrong with it?",
            points=1,
            options={
                "late": "the looks came too late, after the board was warm",
                "molten": "they tell of molten joints, not of cracked ones",
                "too small": "the ratio is too small to be worth the sum",
            },
            expected=lambda g, a: "molten",
            slips={
                "late": "Time is not the point. Which two cases did those shares tell apart?",
                "too small": "A small ratio changes little, and may be multiplied all the same, if it answers the question.",
            },
        ),
        Choice(
            "next_step",
            "The customer's board is to be given back whole. The shop's rule: from 75 % on it quotes a reflow, with the chance and "
            "what a reflow leaves as it was; below that it takes one more look first. What follows from Part 4?",
            points=1,
            options={
                "dye": "pull the package with dye in, the clearest look of all",
                "look": "read the chain while it is warmed and cooled again",
                "quote": "quote the reflow, and name the chance in the letter",
            },
            expected=lambda g, a: "quote" if a.after >= QUOTE_FROM else "look",
            slips={
                "dye": "The clearest look, and the end of the part. This board is to live.",
                "look": "Hold your answer to Part 4 against the 75 %.",
                "quote": "Hold your answer to Part 4 against the 75 %.",
            },
        ),
    ),
    cases=(
        Case(
            "after",
            5.66,
            0.1,
            "post-test probability page: chance 0.012, likelihood ratio 5",
            "published-unnamed",
            givens={"before": 1.2},
            earlier={"together": 5},
            note="printed from odds rounded on the way; exact 5.73 %",
        ),
        Case("section_ratio", 0.722, 0.0005, "36 joints along the edges of 10 by 10, 10 of them cut", "computed"),
        Case("x_ray_ratio", 0.928, 0.0005, "0.90 over 0.97, as in the exercise on what a look can see", "computed"),
        Case(
            "warm_ratio",
            2.41,
            0.005,
            "Altman and Bland, Diagnostic tests 4, BMJ 309 (1994) 102: liver scan, sensitivity 231 of 258, false alarms 32 of 86",
            "from-memory",
            givens={"warm_cracked": 231 / 258 * 100, "warm_sound": 32 / 86 * 100},
        ),
        Case(
            "together",
            4,
            0.005,
            "by hand: a half, times 0.8, times 10",
            "computed",
            givens={"cold_cracked": 80, "cold_sound": 100},
            earlier={"x_ray_ratio": 0.5, "warm_ratio": 10},
        ),
        Case("dye_ratio", 0.15, 0.0005, "by hand: 15 of 100 cracks stay undyed, every sound joint does", "computed"),
        Case(
            "molten_ratio",
            2,
            0.0005,
            "by hand: 0.90 over 0.60, times 0.80 over 0.60",
            "computed",
            givens={"nudge_all": 90, "nudge_some": 60, "sunk_all": 80, "sunk_some_then": 60},
        ),
    ),
    caution=f"{UNPLUGGED} {DESTRUCTIVE}",
    sound=_clear_of_the_rule,
)
