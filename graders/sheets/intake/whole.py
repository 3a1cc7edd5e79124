"""One board from the plug to the hot air: the numbers of the intake, a safe order of work, and what its past may be."""

from math import log10

from graders.questions import (
    Case,
    Exercise,
    Fixed,
    Number,
    Order,
    Pick,
    Quantity,
    Several,
    Slip,
    Written,
    absolute,
    relative,
)
from graders.sheets.intake.words import WHOLE
from workbook.bench.intake import capacitors, evidence, moisture

CAME_BACK = Exercise(
    id="came-back",
    number=13,
    title="Take in a board that came back from another repairer",
    setup=(
        "The owner has just shown at the counter that a set does not start; it is still plugged in. “Someone looked at it "
        "before.” (Set and shares are invented.)\n\n"
        "- The mains supply has a capacitor of {capacitance} that can stand at {voltage}. Its bleeder, a resistor that stays "
        "across it, is {bleeder}.\n"
        "- The owner brings a new large package for the main board, moisture level 3 (floor life 168 h at no more than "
        "30 °C and 60 % relative humidity). It has lain open in a room like that, unbaked, for {open_days} (1 d = 24 h).\n"
        "- From this bench's own list: {before} of the sets that arrive were reflowed before. What you will see on this one "
        "(flux residue and an odd screw, taken as **one** finding) is {ratio} times as likely on a reflowed board as on "
        "another.\n"
        "- Repairs hold for a year on {hold_fresh} of the boards that were never reflowed before and on {hold_again} of "
        "those that were.\n\nA share of 37 %, say, is written 37, not 0.37."
    ),
    givens=dict(
        capacitance=Pick(330, (100, 150, 220, 330, 470), "µF"),
        voltage=Quantity(390, "V", low=310, high=400, step=10),
        bleeder=Pick(220, (100, 150, 220, 330), "kΩ"),
        residual=Fixed(60, "V"),
        open_days=Quantity(12, "d", low=9, high=30, step=1),
        before=Quantity(25, "%", low=15, high=45, step=5),
        ratio=Pick(6, (4, 5, 6, 8, 9)),
        hold_fresh=Quantity(90, "%", low=85, high=95, step=1),
        hold_again=Quantity(60, "%", low=45, high=70, step=1),
    ),
    parts=(
        Number(
            "bleed_time",
            "If the bleeder is whole: how long after unplugging is the capacitor down to {residual}?",
            points=2,
            unit="s",
            expected=lambda g, a: capacitors.time_to_voltage(g.residual, g.capacitance, g.bleeder, g.voltage),
            within=relative(0.02),
            because="the values are taken as marked, and rounding costs less",
            plausible=(5, 600),
            working="bleed_time = bleeder * 1e3 * capacitance * 1e-6 * log(voltage / residual)",
            slips=(
                Slip(
                    "one time constant",
                    lambda g, a: g.capacitance * g.bleeder,
                    "That is one time constant: 37 % of the voltage is still there.",
                ),
                Slip(
                    "five time constants",
                    lambda g, a: 5 * g.capacitance * g.bleeder,
                    "Five time constants leave less than 1 %. The question asks for a set voltage.",
                ),
                Slip(
                    "log to the base ten",
                    lambda g, a: g.capacitance * g.bleeder * log10(g.voltage / g.residual),
                    "That is the logarithm to the base ten. The time constant goes with the natural one.",
                ),
            ),
        ),
        Number(
            "over",
            "By how much is the new package over its floor life?",
            points=1,
            unit="h",
            expected=lambda g, a: g.open_days - 3600 * moisture.floor_life_hours("3"),
            within=absolute(0.1),
            because="hours are counted whole",
            plausible=(12, 1000),
            working="over = open_days * 24 - 168",
            slips=(
                Slip(
                    "floor life forgotten",
                    lambda g, a: g.open_days,
                    "That is the whole time it lay open. Its floor life is allowed and comes off.",
                ),
                Slip(
                    "72 hours",
                    lambda g, a: g.open_days - 72 * 3600,
                    "You took 72 h. The floor life of this package's level is longer.",
                ),
            ),
        ),
        Number(
            "reflowed",
            "Once you have seen that: how likely was this board reflowed before?",
            points=2,
            unit="%",
            expected=lambda g, a: evidence.updated_probability(g.before, g.ratio),
            within=absolute(0.5),
            because="the odds are rounded on the way",
            plausible=(25, 99.5),
            working="""
odds = (before / 100) / (1 - before / 100) * ratio
reflowed = odds / (1 + odds) * 100
""",
            hint="Turn the chance into odds, multiply, and turn back.",
            slips=(
                Slip(
                    "chance multiplied",
                    lambda g, a: g.before * g.ratio,
                    "You multiplied the chance. The ratio multiplies the odds; a chance cannot pass 100 %.",
                ),
                Slip(
                    "odds left as they are",
                    lambda g, a: g.before / (1 - g.before) * g.ratio,
                    "Those are odds. A chance is the odds over one more than the odds.",
                ),
                Slip(
                    "counted twice",
                    lambda g, a: evidence.updated_probability(g.before, g.ratio, g.ratio),
                    "You counted residue and screw as two findings. Here they are taken as one.",
                ),
                Slip(
                    "ratio only",
                    lambda g, a: evidence.probability(g.ratio),
                    "You began from one to one. What the bench's list says counts as well.",
                ),
            ),
        ),
        Number(
            "holds",
            "How likely, then, does a repair of this board hold for a year?",
            points=2,
            unit="%",
            expected=lambda g, a: a.reflowed * g.hold_again + (1 - a.reflowed) * g.hold_fresh,
            within=absolute(0.4),
            because="it carries the rounding of part 3",
            plausible=(30, 99),
            working="holds = reflowed / 100 * hold_again + (1 - reflowed / 100) * hold_fresh",
            hint="Each kind of board counts by how likely it is.",
            slips=(
                Slip(
                    "weights changed over",
                    lambda g, a: a.reflowed * g.hold_fresh + (1 - a.reflowed) * g.hold_again,
                    "The two shares have changed places.",
                ),
                Slip(
                    "plain mean",
                    lambda g, a: (g.hold_fresh + g.hold_again) / 2,
                    "That is the plain mean. The two kinds of board are not equally likely here.",
                ),
                Slip(
                    "before looking",
                    lambda g, a: g.before * g.hold_again + (1 - g.before) * g.hold_fresh,
                    "You weighed with what was known before you looked.",
                ),
                Slip(
                    "both multiplied",
                    lambda g, a: a.reflowed * g.hold_again,
                    "That counts only the case that it was reflowed. It may also hold if it was not.",
                ),
            ),
        ),
        Order(
            "work",
            "Put the work on this set into a safe order, in which nothing is lost that a later step needs. (The large package "
            "is to be changed. Whether you may open the supply yourself is for local codes to say.) "
            "Where two steps may change places, either order is right.",
            points=4,
            options={
                "reflow": "change the package with heat from above and below, under extraction",
                "bake": "bake board and new package dry, no hotter and as long as the weakest part allows",
                "wipe": "wipe the old flux off with a little solvent, cold and under extraction, and let it dry",
                "outside": "look at seals, screws and labels from outside, and photograph them",
                "look": "look close up at residue and pads, and photograph them",
                "peel": "take off batteries, thermal pads and strips; plan shields for electrolytic cans",
                "strap": "put the wrist strap on and lift the board out",
                "meter": "measure with a meter that the capacitors are empty",
                "discharge": "wait, then have the supply discharged through a rated, insulated resistor",
                "unplug": "pull the plug and make sure that it stays out",
            },
            expected=lambda g, a: [
                ["unplug"],
                ["outside"],
                ["discharge"],
                ["meter"],
                ["strap", "look"],
                ["peel", "wipe"],
                ["bake"],
                ["reflow"],
            ],
            never={
                ("unplug", "discharge"): "Nothing is discharged, and nothing touched, while the plug can be in.",
                ("unplug", "outside"): "Not even the screws are touched while the plug is in.",
                ("discharge", "meter"): "The meter is to show that the discharge worked, so it comes after it.",
                ("meter", "strap"): "No hand and no strap goes in before a meter has shown that the charge is gone.",
                ("meter", "look"): "No hand or tool goes near before a meter has shown that the charge is gone.",
                ("meter", "wipe"): "No work on the board starts before a meter has shown that the charge is gone.",
                ("meter", "peel"): "No work on the board starts before a meter has shown that the charge is gone.",
                ("look", "wipe"): "Once wiped off, the residue tells nobody anything.",
                ("look", "peel"): "The pads and how they sat are part of the evidence: look before you peel.",
                (
                    "peel",
                    "bake",
                ): "Batteries burst, silicone and adhesive fume when hot. They come off before any heat, the oven's too.",
                (
                    "peel",
                    "reflow",
                ): "Batteries burst, silicone and adhesive fume when hot. They come off before any heat.",
                ("wipe", "bake"): "Solvent vapour burns: it is used cold, and dry before the board sees an oven.",
                ("wipe", "reflow"): "Solvent vapour burns: it is used cold, and dry before any hot tool is near.",
                ("bake", "reflow"): "Heated fast while damp, a package can burst. It is dried first.",
            },
            hint="For each step ask two things: what could hurt me if this comes first, and what would it wipe out?",
        ),
        Several(
            "kept_in_mind",
            "The numbers are done. Which of these still hold?",
            points=1,
            options={
                "bleeder": "the bleeder may be open, so the time of part 1 allows no touch",
                "hours": "after the time of part 1 the meter can stay in the drawer: nothing is left",
                "list": "the list of this bench is about sets sent to this bench, not about all sets",
                "one finding": "residue and odd screw may have one cause, so they are not counted twice",
                "certain": "past 50 % the earlier reflow is a fact and can be told the owner as one",
            },
            expected=lambda g, a: {"bleeder", "list", "one finding"},
            slips={
                "hours": "A calculation knows nothing about a broken resistor. The meter has the last word.",
                "certain": "A chance is not a fact. Tell the owner what you saw and what it makes likely.",
            },
        ),
        Written(
            "why",
            "Say in a few sentences what you look for on a board that came back from another repairer, and why each thing "
            "matters for what you do next. Say as well what your findings do **not** show.",
            points=4,
            model=(
                "I look before anything is wiped or peeled, and photograph it. Flux residue, another sheen or shape of the "
                "solder, a lifted or darkened mask, parts shifted or not as the others: they speak for earlier heat, so the "
                "pads and the package have fewer heats left and a repair is less likely to hold. Adhesive pads and strips, "
                "flat or lifted: lifted ones speak for heat from below, flat ones against it. Screws, seals, paste and pads "
                "under the sink: whether it was open, and whether the cooling was put together wrongly. Wires, bridges or "
                "wrong parts, also in the mains supply: a bleeder or fuse may be missing or bypassed, so the sum of the "
                "discharge time counts for even less; it is discharged and measured. How long it lay open, and where: "
                "whether it is baked first. "
                "What it does not show: each finding shifts the odds and settles nothing; residue can be from the factory "
                "or from cleaning; two findings with one cause count once; without marks it may still have been reflowed; "
                "and who did it, or whether it was done badly, the board does not say. I tell the owner what I saw and what "
                "it makes likely. "
                "Marks: 1 for two or more signs of earlier heat with what they change; 1 for safety (changed supply, measure "
                "all the same) or moisture; 1 for looking and keeping a record before cleaning; 1 for what is not shown."
            ),
        ),
    ),
    cases=(
        Case(
            "bleed_time",
            9.8,
            0.05,
            "capacitor discharge calculator page: 470 µF, 10 kΩ, 400 V to 50 V",
            "published-second-hand",
            givens={"capacitance": 470, "bleeder": 10, "voltage": 400, "residual": 50},
        ),
        Case(
            "reflowed",
            5.66,
            0.1,
            "post-test probability page: chance 0.012, likelihood ratio 5",
            "published-unnamed",
            givens={"before": 1.2, "ratio": 5},
            note="printed from odds rounded on the way; exact 5.73 %",
        ),
        Case(
            "over",
            72,
            0.01,
            "J-STD-033, floor life of level 3 is 168 h, by hand: 10 days are 240 h",
            "computed",
            givens={"open_days": 10},
        ),
        Case(
            "holds",
            70,
            0.01,
            "total probability by hand: a quarter at 40 %, the rest at 80 %",
            "computed",
            givens={"hold_fresh": 80, "hold_again": 40},
            earlier={"reflowed": 25},
        ),
    ),
    caution=WHOLE,
    floor=0.10,
)

EXERCISES = (CAME_BACK,)
