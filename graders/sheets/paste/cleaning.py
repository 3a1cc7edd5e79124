"""Exercises on cleaning a board and on proving it clean."""

from graders.questions import Case, Choice, Exercise, Number, Order, Pick, Quantity, Slip, relative
from graders.sheets.paste.fitting import CLEANING
from workbook.bench.paste import cleanliness

EXTRACT = Exercise(
    id="extract-of-a-board",
    number=24,
    title="Say what an extract proves, and what not",
    setup=(
        "A board, {length} × {width}, is washed in 75 % alcohol and 25 % water. The bath takes up {extract} of ions, counted as "
        "sodium chloride. Both faces are wetted; the edges do not count. Then one place under a memory package, {spot} of "
        "one face, is extracted alone: {spot_extract}. (Invented readings.)"
    ),
    givens=dict(
        length=Quantity(100, "mm", low=80, high=200, step=10),
        width=Quantity(150, "mm", low=80, high=200, step=10),
        extract=Quantity(350, "µg", low=150, high=600, step=10),
        spot=Quantity(1.5, "cm²", low=1.2, high=3.0, step=0.1),
        spot_extract=Quantity(20, "µg", low=12, high=60, step=1),
    ),
    parts=(
        Number(
            "mean_load",
            "How much is that for each square centimetre of the board's surface?",
            points=2,
            unit="µg/cm²",
            expected=lambda g, a: cleanliness.board_extract(g.extract, g.length, g.width),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.18, 4.8),
            working="mean_load = extract / (2 * length / 10 * width / 10)",
            slips=(
                Slip(
                    "one side",
                    lambda g, a: 2 * cleanliness.board_extract(g.extract, g.length, g.width),
                    "You took one face. The bath wetted both.",
                ),
                Slip(
                    "per square inch",
                    lambda g, a: cleanliness.board_extract(g.extract, g.length, g.width) * 2.54**2,
                    "That is for each square inch.",
                ),
                Slip(
                    "per square millimetre",
                    lambda g, a: cleanliness.board_extract(g.extract, g.length, g.width) / 100,
                    "That is for each square millimetre.",
                ),
            ),
        ),
        Number(
            "spot_load",
            "And for each square centimetre of the place under the memory?",
            points=1,
            unit="µg/cm²",
            expected=lambda g, a: g.spot_extract / g.spot,
            within=relative(0.01),
            because="only rounding is left",
            plausible=(3.9, 51),
            working="spot_load = spot_extract / spot",
            slips=(
                Slip(
                    "both faces", lambda g, a: g.spot_extract / g.spot / 2, "This place was extracted on one face only."
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.spot_extract * g.spot * 1e8,
                    "You multiplied. An amount for each square centimetre is divided by the area.",
                ),
            ),
        ),
        Number(
            "spot_over_mean",
            "How many times the mean is that?",
            points=1,
            unit="1",
            expected=lambda g, a: a.spot_load / a.mean_load,
            within=relative(0.015),
            because="it carries the rounding of both",
            plausible=(1.9, 270),
            working="spot_over_mean = spot_load / mean_load",
            slips=(
                Slip("turned round", lambda g, a: a.mean_load / a.spot_load, "You have it the wrong way round."),
                Slip(
                    "over the limit",
                    lambda g, a: a.spot_load / 1.56e-5,
                    "You divided by the limit. Divide by the mean of this board.",
                ),
            ),
        ),
        Choice(
            "limit",
            "An old table calls a board clean up to 1.56 µg/cm² of sodium chloride. May a board be accepted by that number today?",
            points=1,
            options={
                "pass line": "yes: at or below it the whole board counts as clean",
                "history": "no: it watched a process, and accepts none since 2018",
                "per spot": "yes, for each single place that is extracted alone",
            },
            expected=lambda g, a: "history",
            slips={
                "pass line": "J-STD-001 took it out in 2018. It was made for the fluxes and the boards of the 1970s.",
                "per spot": "It was never more than a mean over a board.",
            },
        ),
        Choice(
            "proves",
            "What do the two readings say together?",
            points=1,
            options={
                "clean": "the board is clean, as the mean over it is low",
                "dirty": "the board is dirty all over, and the mean hides it",
                "spot": "residue sits in one place, and the mean hides it",
                "faulty": "one reading must be wrong, as they do not agree",
            },
            expected=lambda g, a: "spot",
            slips={
                "clean": "Leakage grows where the residue is, not where the mean is.",
                "dirty": "Then the mean would be high too.",
                "faulty": "A mean and a spot may differ as much as this.",
            },
        ),
        Choice(
            "next_step",
            "What do you do?",
            points=1,
            options={
                "send": "send it back, and note the mean extract on the sheet",
                "wipe": "wipe round the memory with alcohol, until it shines",
                "flush": "flush under the memory, rinse, dry, and extract again",
                "bake": "bake the board, so that the residue turns harmless",
            },
            expected=lambda g, a: "flush",
            slips={
                "send": "The place under the memory is what will leak.",
                "wipe": "A wipe does not get under the body, and spreads what it dissolves.",
                "bake": "A bake dries. Ions stay, and take up water again.",
            },
        ),
    ),
    cases=(
        Case("mean_load", 1.17, 0.005, "mass over both faces by hand: 350 µg over 300 cm²", "computed"),
        Case(
            "limit",
            "history",
            0,
            "IPC-WP-019B (abstract): no acceptance limit since J-STD-001G amendment 1",
            "published",
        ),
        Case("spot_load", 8, 0.005, "by hand: 16 µg over 2 cm²", "computed", givens={"spot": 2, "spot_extract": 16}),
        Case(
            "spot_over_mean", 8, 0.005, "by hand: 8 over 1 µg/cm²", "computed", earlier={"spot_load": 8, "mean_load": 1}
        ),
    ),
    caution=CLEANING,
    sound=lambda drawn: _spot_stands_out(drawn),
)


def _spot_stands_out(drawn):
    """Whether the place under the memory holds clearly more than the mean."""
    g = EXTRACT.values(drawn)
    return g.spot_extract / g.spot > 2 * cleanliness.board_extract(g.extract, g.length, g.width)


WASH = {
    "organic, activity M": "wash",
    "rosin L0, no-clean, heated through": "leave",
    "rosin L0, no-clean, not heated through": "wash",
}


def _split(g):
    return cleanliness.left_after_rinses(g.clings, g.liquid / g.rinses, g.rinses)


RINSE = Exercise(
    id="rinse-do-not-smear",
    number=25,
    title="Rinse, do not smear",
    setup=(
        "After a repair, flux that was dissolved with a brush and alcohol wets the board: {residue} of it in {clings} of liquid that "
        "clings to the board. It is rinsed with fresh alcohol, {liquid} in all. Take each rinse as mixing fully with what "
        "clings, then running off, so that as much clings as before. The flux by its label and, where that counts, by how far the repair heated it: *{flux}*."
    ),
    givens=dict(
        residue=Quantity(400, "µg", low=200, high=900, step=20),
        clings=Quantity(0.5, "mL", low=0.3, high=0.9, step=0.1),
        liquid=Quantity(6, "mL", low=4, high=12, step=1),
        rinses=Pick(3, (2, 3, 4), "1"),
        flux=Pick("organic, activity M", tuple(WASH)),
    ),
    parts=(
        Number(
            "left_at_once",
            "All of the liquid in one rinse: which share of the residue is left on the board?",
            points=2,
            unit="%",
            expected=lambda g, a: cleanliness.left_after_rinses(g.clings, g.liquid, 1),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2.4, 18.5),
            working="left_at_once = clings / (clings + liquid) * 100",
            slips=(
                Slip(
                    "over the rinse alone",
                    lambda g, a: g.clings / g.liquid,
                    "The residue spreads through rinse and film together.",
                ),
                Slip(
                    "what ran off",
                    lambda g, a: 1 - cleanliness.left_after_rinses(g.clings, g.liquid, 1),
                    "That is the share that ran off.",
                ),
            ),
        ),
        Number(
            "left_split",
            "The same liquid in {rinses} equal rinses, one after the other: which share is left?",
            points=3,
            unit="%",
            expected=lambda g, a: _split(g),
            within=relative(0.02),
            because="only rounding is left, raised to a power",
            plausible=(0.0065, 10),
            working="left_split = (clings / (clings + liquid / rinses))**rinses * 100",
            hint="Each rinse leaves the same share of what was there before it.",
            slips=(
                Slip(
                    "one of them",
                    lambda g, a: cleanliness.left_after_rinses(g.clings, g.liquid / g.rinses, 1),
                    "That is what one of the small rinses leaves.",
                ),
                Slip(
                    "all the liquid each time",
                    lambda g, a: cleanliness.left_after_rinses(g.clings, g.liquid, g.rinses),
                    "You used all of the liquid in every rinse. Each gets its part.",
                ),
                Slip(
                    "shared instead of raised",
                    lambda g, a: cleanliness.left_after_rinses(g.clings, g.liquid / g.rinses, 1) / g.rinses,
                    "You divided by the number of rinses. Shares that follow one another are multiplied.",
                ),
                Slip(
                    "what clings not counted",
                    lambda g, a: (g.clings * g.rinses / g.liquid) ** g.rinses,
                    "You divided by the fresh liquid alone. What clings is in the mixture too.",
                ),
            ),
        ),
        Number(
            "mass_left",
            "How much residue is then left?",
            points=1,
            unit="µg",
            expected=lambda g, a: a.left_split * g.residue,
            within=relative(0.02),
            because="it carries the rounding of the share",
            plausible=(0.013, 90),
            working="mass_left = residue * left_split / 100",
            slips=(
                Slip("what ran off", lambda g, a: (1 - a.left_split) * g.residue, "That is what ran off."),
                Slip(
                    "one rinse",
                    lambda g, a: a.left_at_once * g.residue,
                    "That is left after all of the liquid in one rinse. The question is about the small ones.",
                ),
            ),
        ),
        Choice(
            "wash_or_leave",
            "Does this residue have to come off at all?",
            points=1,
            options={
                "part": "wipe off what is seen, and leave the rest",
                "leave": "leave it: such residue is made to stay",
                "wash": "wash all of it off, and rinse until clear",
            },
            expected=lambda g, a: WASH[g["flux"]],
            slips={
                "part": "Half cleaned is worse than not cleaned: what is opened and spread stays active.",
                "leave": "Only no-clean flux that was heated through may stay.",
                "wash": "Residue that is made to stay and went through its heat is harmless where it is; washing opens it.",
            },
        ),
        Choice(
            "wipe_only",
            "Someone stops after brush and alcohol, wipes with a tissue, and the board shines. What has happened?",
            points=1,
            options={
                "clean": "it is clean: what is not seen is not there",
                "spread": "residue is spread thinly over a larger place",
                "hardened": "alcohol has made the residue hard and safe",
            },
            expected=lambda g, a: "spread",
            slips={
                "clean": "A thin film is not seen, and leaks all the same.",
                "hardened": "Alcohol dissolves. It hardens nothing.",
            },
        ),
        Order(
            "wash_steps",
            "Put the steps of a wash in order.",
            points=2,
            options={
                "prove": "look under light and magnifier, and test if you are not sure",
                "dry": "dry, in cool moving air, until no liquid is left",
                "safe": "board unplugged, discharged and cold; extraction on",
                "rinse": "rinse with fresh liquid, the board aslant, again and again",
                "dissolve": "dissolve the residue with brush and a little alcohol",
            },
            expected=lambda g, a: [["safe"], ["dissolve"], ["rinse"], ["dry"], ["prove"]],
            never={
                ("safe", "dissolve"): "Alcohol on a warm or live board can catch fire. Nothing else comes first.",
                ("rinse", "dry"): "Dried before it is rinsed, the residue is spread and stuck.",
            },
        ),
    ),
    cases=(
        Case(
            "left_split",
            2.778,
            0.001,
            "a mathematician's note on rinsing a bottle, (1 + a/n)^-n with a = 10, n = 2, by hand",
            "computed",
            givens=dict(clings=0.6, liquid=6, rinses=2),
        ),
        Case(
            "wipe_only",
            "spread",
            0,
            "a test-kit maker's page of 2016: wiped with 75 % alcohol, active flux over a larger region",
            "published",
        ),
        Case(
            "left_at_once",
            9.09,
            0.005,
            "a mathematician's note on rinsing a bottle, (1 + a)^-1 with a = 10, by hand",
            "computed",
            givens={"clings": 0.6, "liquid": 6},
        ),
        Case(
            "mass_left",
            10,
            0.005,
            "by hand: 2 % of 500 µg",
            "computed",
            givens={"residue": 500},
            earlier={"left_split": 2},
        ),
    ),
    caution=CLEANING,
)

EXERCISES = (EXTRACT, RINSE)
