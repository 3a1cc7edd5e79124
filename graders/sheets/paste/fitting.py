"""Exercises on fitting a sink: the order of work, paste and pads and springs chosen together, and the print read."""

from functools import lru_cache

import numpy as np

from graders.questions import (
    Case,
    Choice,
    Design,
    Exercise,
    Fixed,
    Margin,
    Number,
    Order,
    Pick,
    Quantity,
    Setting,
    Several,
    Slip,
    Written,
    relative,
)
from workbook.bench.paste import closing, coverage, deposits, pads, spread, volumes
from workbook.drawings import sink

CLEANING = (
    "Alcohol and hydrocarbon cleaners burn: keep them off warm boards and away from hot tools, with extraction, gloves and little at a "
    "time. Work only on a device that is unplugged, discharged and cold; where mains capacitors are near, by people "
    "allowed to and by your local rules. A die chips easily: press evenly."
)

REFIT = Exercise(
    id="refit-in-order",
    number=21,
    title="Take a sink off and refit it in a safe order",
    setup=(
        "A sink sits on a bare square die, {side} on a side, with paste, and on pads around it. {screws} screws with "
        "springs hold it. Screwed home, each spring gives {spring}. The pads then carry {on_pads} of the springs' "
        "force in all. The paste is soft, so that the sink comes off cold.\n\n"
        "Oil of silicone pads hardly dissolves in alcohol: wipe dry first, then with a hydrocarbon cleaner that the board's "
        "maker allows, then with alcohol. Test: a drop of alcohol spreads on a clean face and draws back on an oily one."
    ),
    givens=dict(
        side=Quantity(14, "mm", low=10, high=24, step=1),
        screws=Pick(4, (4, 6), "1"),
        spring=Quantity(20, "N", low=15, high=35, step=1),
        on_pads=Quantity(30, "N", low=10, high=40, step=2),
    ),
    parts=(
        Order(
            "steps",
            "Put the steps in order. Paste and pads may go on in either order, as both have to lie there before the "
            "sink comes down.",
            points=3,
            options={
                "power up": "run the device and watch the temperatures",
                "tighten": "tighten the screws crosswise, a little at a time",
                "paste": "put new paste on the die",
                "lower": "lower the sink straight down",
                "dry": "let the faces dry, and touch them no more",
                "new pads": "lay new pads around the die",
                "wipe": "old pads off, and wipe old paste and pad oil off the faces",
                "loosen": "loosen the screws crosswise and lift the sink off",
                "cool": "let it cool down",
                "unplug": "switch off, unplug, discharge, and measure that it is so",
            },
            expected=lambda g, a: [
                ["unplug"],
                ["cool"],
                ["loosen"],
                ["wipe"],
                ["dry"],
                ["paste", "new pads"],
                ["lower"],
                ["tighten"],
                ["power up"],
            ],
            never={
                ("unplug", "loosen"): "Nothing is loosened on a device that is plugged in or charged.",
                ("cool", "wipe"): "Alcohol on warm metal makes vapour that can catch fire. First let it cool.",
                ("tighten", "power up"): "A sink that is not tight leaves the die without cooling within seconds.",
                ("wipe", "paste"): "New paste does not go on old: the old film keeps the faces apart.",
            },
            hint="For each step ask: what must be done before it?",
        ),
        Choice(
            "why_crosswise",
            "Why are the screws tightened crosswise and a little at a time?",
            points=1,
            options={
                "faster": "it is faster than one screw after another",
                "level": "it keeps the sink level while it comes down",
                "thread": "it spares the threads of board and screws",
                "torque": "it gives each of the screws the same torque",
            },
            expected=lambda g, a: "level",
            slips={
                "faster": "It takes longer. Think of what the sink does when one corner is pulled down first.",
                "torque": "Each screw goes home all the same. Think of the die's edge on the way there.",
                "thread": "The threads would not mind. Think of the sink when one corner is pulled down first.",
            },
        ),
        Number(
            "on_die",
            "Which force presses on the die when all screws are home?",
            points=1,
            unit="N",
            expected=lambda g, a: g.screws * g.spring - g.on_pads,
            within=relative(0.01),
            because="only rounding is left",
            plausible=(13, 500),
            working="on_die = screws * spring - on_pads",
            slips=(
                Slip(
                    "pads forgotten",
                    lambda g, a: g.screws * g.spring,
                    "That is what the springs give in all. The pads carry a part of it.",
                ),
                Slip(
                    "one spring",
                    lambda g, a: g.spring,
                    "That is one spring. All of them press on the same sink.",
                ),
                Slip(
                    "pads added",
                    lambda g, a: g.screws * g.spring + g.on_pads,
                    "You added what the pads carry. What they carry does not reach the die.",
                ),
            ),
        ),
        Number(
            "pressure",
            "What is the mean pressure on the die?",
            points=1,
            unit="kPa",
            expected=lambda g, a: a.on_die / g.side**2,
            within=relative(0.02),
            because="springs are hardly known better",
            plausible=(18, 5000),
            working="pressure = on_die / (side * 1e-3)**2 / 1000",
            hint="1 N on 1 mm² is 1 MPa.",
            slips=(
                Slip(
                    "all of the springs",
                    lambda g, a: g.screws * g.spring / g.side**2,
                    "You pressed with all of the springs' force. A part of it rests on the pads.",
                ),
                Slip(
                    "round die",
                    lambda g, a: a.on_die / (np.pi * g.side**2 / 4),
                    "You took a round die. This one is square.",
                ),
                Slip(
                    "way round the die",
                    lambda g, a: a.on_die / (4 * g.side) * 1e3,
                    "You divided by the way round the die. Pressure is force over area.",
                ),
            ),
        ),
        Choice(
            "act",
            "The maker of this chip allows 150 to 500 kPa on the die (invented). What do you do?",
            points=1,
            options={
                "weaker": "fit weaker springs, as the die is pressed too hard",
                "fit": "go on, and write the pressure down with the job",
                "tighter": "fit stronger springs, as the die is pressed too little",
            },
            expected=lambda g, a: (
                "fit" if 150e3 <= a.pressure <= 500e3 else "weaker" if a.pressure > 500e3 else "tighter"
            ),
            slips={
                "weaker": "Compare your pressure with both numbers.",
                "fit": "Compare your pressure with both numbers.",
                "tighter": "Compare your pressure with both numbers.",
            },
        ),
    ),
    cases=(
        Case("on_die", 60, 0.005, "by hand: four springs of 20 N less 20 N", "computed", givens={"on_pads": 20}),
        Case("pressure", 600, 0.5, "by hand: 60 N on 100 mm²", "computed", givens={"side": 10}, earlier={"on_die": 60}),
    ),
    caution=CLEANING,
    sound=lambda drawn: (
        drawn["screws"] * drawn["spring"] > 1.5 * drawn["on_pads"]
        and all(abs(_pressure(drawn) / limit - 1) > 0.05 for limit in (150, 500))
    ),
    floor=0.15,
)


def _pressure(drawn):
    """Return the mean pressure on the die [kPa]."""
    return (drawn["screws"] * drawn["spring"] - drawn["on_pads"]) / drawn["side"] ** 2 * 1000


PATTERNS = ("dot", "line", "cross", "five dots", "ring")
"""The patterns by the number a learner types, from 1."""

CELLS = 40
LEAST_COVERED, MOST_OUT = 96, 20
"""What the fitted joint must hold: share of the die covered and share of the paste over the edge [%]."""


@lru_cache(maxsize=64)
def _closing(pattern, side, volume, grain):
    """Return how paste spreads as the sink comes down on it, to the gap of the largest grain."""
    plate = deposits.Plate(side, side)
    heights = deposits.thickness_map(plate, deposits.deposit(pattern, plate, volume), cells=CELLS)
    return closing.squeeze_table(plate, heights, grain)


def _ring(g):
    return coverage.ring_area(g.package, g.side)


def _on_pads(g, free, gap):
    return pads.pad_force(g.stiffness, pads.compression_in_stack(free, g.step, gap), _ring(g))


def _least_force(g):
    """Return the force at which a full square film is at rest at the widest bond line allowed."""
    return g.yield_stress * g.side**3 / (3 * g.most_bond_line)


def _fitted(g, choices):
    """Return margins of a sink that has come to rest on paste and pads."""
    free, springs = choices["pad_thickness"] * 1e-3, choices["springs"]
    volume = round(choices["paste_volume"], 1) * 1e-9
    table = _closing(PATTERNS[int(choices["pattern"]) - 1], g.side, volume, g.grain)
    carried = closing.yield_force(table, table.gaps, g.yield_stress) + _on_pads(g, free, table.gaps)
    gap = float(np.exp(np.interp(np.log(springs), np.log(carried), np.log(table.gaps))))
    wider = [step for step in table.spreads if step.gap >= gap * (1 - 1e-9)]
    rest = spread.spread(table.plate, wider[-1].deposited, gap, start=wider[-1].pressed)
    squeeze = float(pads.compression_in_stack(free, g.step, gap)) * 100
    on_die = springs - float(_on_pads(g, free, gap))
    left = springs - float(_on_pads(g, free, g.most_bond_line))
    covered, out = 100 * spread.coverage(rest), round(100 * spread.overflow(rest), 6)
    shut_in = max(spread.trapped_area(step) for step in wider) * 1e6
    bond_line, most_bond_line = gap * 1e6, g["most_bond_line"]
    return (
        Margin(
            "die covered", covered, covered - LEAST_COVERED, "%", 0.2, "Reach the corners: pattern first, then volume."
        ),
        Margin("paste over the edge", out, MOST_OUT - out, "%", 0.5, "Too much paste for this bond line and pattern."),
        Margin(
            "air shut in on the way", shut_in, -shut_in, "mm²", 0, "The pattern closes in on itself before it is flat."
        ),
        Margin("bond line", bond_line, most_bond_line - bond_line, "µm", 0.5, "Too little force is left for the die."),
        Margin("force on the die", on_die, g.most_force - on_die, "N", 1, "Weaker springs, or pads that carry more."),
        Margin("pads, least squeeze", squeeze, squeeze - 20, "%", 0.5, "Thicker pads touch better."),
        Margin("pads, most squeeze", squeeze, 45 - squeeze, "%", 0.5, "Thinner pads are squeezed less."),
        Margin(
            "sink not lifted",
            left,
            left,
            "N",
            1,
            "The pads hold the sink off the die: thinner pads or stronger springs.",
        ),
    )


def _worked_fit(g, a):
    """Return a cross, a tenth more paste than the film needs, pads squeezed to the middle, springs for both."""
    on_die = 1.2 * _least_force(g)
    gap = g.most_bond_line / 1.2
    free = (g.step + gap) / (1 - sum(pads.USUAL_COMPRESSION) / 2)
    return {
        "pattern": PATTERNS.index("cross") + 1,
        "paste_volume": round(1.12 * volumes.film_volume(g.side**2, gap) * 1e9, 1),
        "pad_thickness": round(free * 1e3, 2),
        "springs": round(on_die + float(_on_pads(g, free, gap))),
    }


def _fit_is_sound(drawn):
    g = FIT.values(drawn)
    return 1.4 * _least_force(g) < g.most_force


FIT = Exercise(
    id="fit-the-sink",
    number=22,
    title="Choose pattern, paste, pads and springs for a sink",
    setup=(
        "A sink goes on a bare square die, {side} on a side, in the middle of a square package, {package} on a side. "
        "The die stands {step} above the package. Pads cover all of the package around the die. The paste is stiff "
        "(invented): it stops at a yield stress of {yield_stress}, and no gap gets narrower than its largest grains, "
        "{grain}. On a square die full of paste it carries F = τ a³ / (3 h), with yield stress τ, side a and gap h, "
        "in SI units. The sink comes to rest where paste and pads together carry the springs: what the pads do not "
        "carry presses on the die. Pads carry stiffness × compression × area, with a stiffness of {stiffness} and the "
        "compression as a plain number (0.30 for 30 %). A fitted pad is as thick as step and bond line together. "
        "Paste laid down in a pattern spreads as the sink comes down; what passes the die's edge is lost for the "
        "joint."
    ),
    givens=dict(
        side=Pick(24, (20, 22, 24, 26), "mm"),
        package=Quantity(42, "mm", low=38, high=46, step=2),
        step=Quantity(0.65, "mm", low=0.5, high=0.9, step=0.05),
        yield_stress=Quantity(400, "Pa", low=300, high=500, step=50),
        grain=Fixed(25, "µm"),
        most_bond_line=Quantity(50, "µm", low=40, high=60, step=5),
        stiffness=Quantity(100, "kPa", low=60, high=120, step=10),
        most_force=Quantity(90, "N", low=70, high=110, step=5),
    ),
    parts=(
        Number(
            "least_force",
            "The bond line on the die may be at most {most_bond_line}. Which force on the die brings a full square of "
            "paste down to that?",
            points=2,
            unit="N",
            expected=lambda g, a: _least_force(g),
            within=relative(0.02),
            because="only rounding is left; a real yield stress is known far worse",
            plausible=(8.3, 120),
            working="least_force = yield_stress * (side * 1e-3)**3 / (3 * most_bond_line * 1e-6)",
            slips=(
                Slip(
                    "3 forgotten",
                    lambda g, a: 3 * _least_force(g),
                    "Three times too much: the 3 of the formula is missing.",
                ),
                Slip(
                    "gap of the grains",
                    lambda g, a: g.yield_stress * g.side**3 / (3 * g.grain),
                    "That is the force down to the largest grain. The question asks for the bond line allowed.",
                ),
                Slip(
                    "half the side",
                    lambda g, a: _least_force(g) / 8,
                    "You put half of the side. The formula goes with the whole side.",
                ),
            ),
        ),
        Number(
            "film",
            "Which volume fills the joint over the whole die at {most_bond_line}, with nothing over the edge?",
            points=1,
            unit="mm³",
            expected=lambda g, a: volumes.film_volume(g.side**2, g.most_bond_line),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(10, 65),
            working="film = side**2 * most_bond_line / 1000",
            slips=(
                Slip(
                    "whole package",
                    lambda g, a: volumes.film_volume(g.package**2, g.most_bond_line),
                    "You covered the whole package. Paste goes on the die only.",
                ),
                Slip(
                    "µm as hundredths",
                    lambda g, a: 10 * volumes.film_volume(g.side**2, g.most_bond_line),
                    "Ten times too much: 1 mm is 1000 µm.",
                ),
                Slip(
                    "a little more added",
                    lambda g, a: 1.125 * volumes.film_volume(g.side**2, g.most_bond_line),
                    "You added an eighth. Here nothing is to go over the edge.",
                ),
            ),
        ),
        Number(
            "pads_carry",
            "Which force do the pads take if they are squeezed by 30 %?",
            points=1,
            unit="N",
            expected=lambda g, a: float(pads.pad_force(g.stiffness, 0.30, _ring(g))),
            within=relative(0.02),
            because="a pad's stiffness is hardly known better",
            plausible=(8.6, 99),
            working="pads_carry = stiffness * 1000 * 0.30 * (package**2 - side**2) * 1e-6",
            hint="The pads' area is the package without the die.",
            slips=(
                Slip(
                    "whole package",
                    lambda g, a: g.stiffness * 0.30 * g.package**2,
                    "You laid pads over the die too. Their area is the package without the die.",
                ),
                Slip(
                    "what is left",
                    lambda g, a: g.stiffness * 0.70 * _ring(g),
                    "You took the share that is left. The force goes with the share squeezed away.",
                ),
                Slip(
                    "difference squared",
                    lambda g, a: g.stiffness * 0.30 * (g.package - g.side) ** 2,
                    "You squared the difference of the sides. Square each side first, then subtract.",
                ),
            ),
        ),
        Design(
            "fit",
            "Choose how to fit the sink. The pattern is a number: 1 one dot in the middle, 2 one straight bead, 3 a "
            "cross of two beads that point to the corners, 4 five dots (middle and towards the corners), 5 a ring; each spans a "
            "square of 60 % of the die's side. A rule to start from: a pattern that reaches towards all corners covers the die "
            "with about an eighth more paste than the film it is to leave; one dot or one bead needs far more. The volume is that of the whole pattern, and the springs' force is that of all together. The "
            "fitted joint is simulated with level faces and must hold: at least 96 % of the die covered; at most 20 % "
            "of the paste over the edge; no air shut in on the way down; a bond line of at most {most_bond_line}; a "
            "force of at most {most_force} on the die; pads squeezed by at least 20 % and at most 45 %; and a sink "
            "that is not lifted: all springs together must push harder than the pads do when the bond line is "
            "{most_bond_line}. More force makes the bond line thinner than that, and the paste that is over goes off "
            "the die: choose the volume for the bond line you will really get.",
            points=4,
            settings=(
                Setting("pattern", "number of the pattern", "1", 1, len(PATTERNS), whole=True),
                Setting("paste_volume", "paste put down in all", "mm³", 2, 150),
                Setting("pad_thickness", "pads as they come from the bag", "mm", 0.3, 3),
                Setting("springs", "force of all springs together", "N", 20, 300),
            ),
            simulate=lambda g, a, choices: _fitted(g, choices),
            example=_worked_fit,
            idle=0.875,
            working="""
on_die = 1.2 * least_force          # a fifth more than just enough: the bond line gets a fifth thinner
rest = most_bond_line / 1.2
pattern = 3                         # a cross reaches the corners before much is lost at the edges
paste_volume = round(1.12 * side**2 * rest / 1000, 1)
pad_thickness = round((step + rest / 1000) / (1 - 0.325), 2)
springs = round(on_die + stiffness * 1000 * 0.325 * (package**2 - side**2) * 1e-6)
""",
        ),
    ),
    cases=(
        Case(
            "film",
            9.8,
            0.05,
            "geometry: 14 mm x 14 mm x 50 µm",
            "computed",
            givens={"side": 14},
        ),
        Case(
            "pads_carry",
            30,
            0.05,
            "by hand: 100 kPa times 30 % on 1000 mm²",
            "computed",
            givens={"package": 35, "side": 15},
        ),
        Case(
            "least_force",
            16,
            0.05,
            "τ a³ / (3 h) of a squeezed plastic square by hand: 300 Pa, 20 mm, 50 µm",
            "computed",
            givens={"side": 20, "yield_stress": 300},
        ),
    ),
    caution=CLEANING,
    sound=_fit_is_sound,
    floor=0.05,
)

LIFT = Exercise(
    id="read-the-print",
    number=23,
    title="Lift the sink once and read the print",
    setup=(
        "After the first fitting a sink is lifted once, to see the print of the paste on the die, which is square and "
        "{side} on a side. Under a grid of {squares} equal squares, {bare} are bare. All the paste, wiped off die and "
        "sink, weighs {mass}; its density is {density} and its conductivity {conductivity}. None went over the edge. "
        "Between the bare parts there was air of {air}. Leave the contacts out; the bare squares are scattered, so "
        "paste and air lie side by side in a gap of one thickness."
    ),
    givens=dict(
        side=Quantity(20, "mm", low=14, high=26, step=1),
        squares=Fixed(144, "1"),
        bare=Quantity(18, "1", low=12, high=45, step=1),
        mass=Quantity(55, "mg", low=35, high=90, step=1),
        density=Quantity(2.5, "g/cm³", low=2.2, high=3.2, step=0.1),
        conductivity=Quantity(3, "W/mK", low=1.5, high=4, step=0.5),
        air=Fixed(0.026, "W/mK"),
    ),
    drawing=lambda g: sink.print_of_paste(g.side, int(g["squares"]), int(g["bare"])),
    parts=(
        Number(
            "covered",
            "Which share of the die was covered?",
            points=1,
            unit="%",
            expected=lambda g, a: 1 - g.bare / g.squares,
            within=relative(0.005),
            because="a square that is half bare can be counted either way",
            plausible=(30, 99.5),
            working="covered = (squares - bare) / squares * 100",
            slips=(
                Slip(
                    "bare share",
                    lambda g, a: g.bare / g.squares,
                    "That is the bare share.",
                ),
                Slip(
                    "bare over covered",
                    lambda g, a: g.bare / (g.squares - g.bare),
                    "You divided the bare squares by the covered ones. A share is counted from all of them.",
                ),
            ),
        ),
        Number(
            "bond_line",
            "How thick was the paste where it lay?",
            points=2,
            unit="µm",
            expected=lambda g, a: volumes.bond_line_from_volume(g.mass / g.density, a.covered * g.side**2),
            within=relative(0.03),
            because="the share covered is counted by eye",
            plausible=(12, 500),
            working="bond_line = mass / density / (covered / 100 * side**2) * 1000",
            hint="1 g/cm³ is 1 mg/mm³. Mass over density is the volume; it lay on the covered part.",
            slips=(
                Slip(
                    "whole die",
                    lambda g, a: g.mass / g.density / g.side**2,
                    "You spread the paste over the whole die. It lay on the covered part.",
                ),
                Slip(
                    "density forgotten",
                    lambda g, a: g.mass / 1000 / (a.covered * g.side**2),
                    "You took 1 mg for 1 mm³. The paste is heavier than water.",
                ),
                Slip(
                    "density multiplied",
                    lambda g, a: g.mass * g.density / 1e6 / (a.covered * g.side**2),
                    "You multiplied by the density. A heavier paste takes less room.",
                ),
            ),
        ),
        Number(
            "resistance",
            "What was the resistance of this joint, paste and air side by side?",
            points=2,
            unit="K/W",
            expected=lambda g, a: coverage.partly_covered_resistance(
                a.covered, a.bond_line, g.conductivity, g.side**2, g.air
            ),
            within=relative(0.04),
            because="it carries the uncertainty of share and thickness",
            plausible=(0.0069, 5),
            working="""
share = covered / 100
resistance = bond_line / (share * conductivity + (1 - share) * air) / side**2
""",
            slips=(
                Slip(
                    "bare part ignored",
                    lambda g, a: a.bond_line / g.conductivity / g.side**2,
                    "You let the heat pass the whole die through paste. A part was bare.",
                ),
                Slip(
                    "share squared",
                    lambda g, a: a.bond_line / g.conductivity / g.side**2 / a.covered**2,
                    "You divided by the share twice.",
                ),
            ),
        ),
        Several(
            "mend",
            "Which of these would make you change something before the last fitting?",
            points=2,
            options={
                "even film": "a thin film, even all over, with fine ridges from the lifting",
                "bare corner": "one corner of the die is bare and bright, without paste",
                "wedge": "the film is thick on one side and thin on the other",
                "pads untouched": "the pads show no mark of the sink",
                "parts smeared": "paste stands on the small parts beside the die",
                "rim all round the die": "a narrow rim of paste all round the die",
                "pads marked": "each pad shows the mark of the sink over most of its face",
                "one bright ridge": "one narrow line where metal shines through",
            },
            expected=lambda g, a: ["bare corner", "wedge", "pads untouched", "parts smeared"],
            slips={
                "even film": "The ridges come from the lifting itself. An even film is what you hoped for.",
                "rim all round the die": "What is pressed out at the edge shows that the gap was full. It only must not reach other parts.",
                "pads marked": "A mark over the face shows that the pad was pressed and touched.",
                "one bright ridge": "Where the faces nearly touch the film is thinnest, as it should be.",
            },
        ),
        Written(
            "why_once",
            "You mended what the first print showed, and the second print is good. Say why you lift the sink once at all, why you do not simply lower it again on the "
            "same paste, and why new pads go on for the last fitting.",
            points=3,
            model=(
                "Lifting once is the only way to see what the closed joint hides: whether the paste reached every "
                "corner, whether it is even (sink level, pads of the right thickness) and whether the pads touched. A "
                "temperature reading would show only that something is wrong, not what. The lifting tears the film: "
                "it is pulled into ridges and strings, and where it is lowered again air is shut in between them, so "
                "the second joint is not the one that was looked at. So both faces are cleaned and dried and fresh "
                "paste goes on, in the same pattern and amount. The pads have been squeezed: they keep a set and have "
                "lost some oil, so they press less the second time and may not touch; that new pads go on each time "
                "is good practice in the trade, though one maker allows some thin pads to be used again on the same "
                "chip (the pad's own data sheet decides). A good answer names seeing, torn film with air, and the set "
                "of the pads; 1 point each."
            ),
        ),
    ),
    cases=(
        Case("covered", 75, 0.005, "by hand: 36 of 144 squares bare", "computed", givens={"bare": 36}),
        Case(
            "bond_line",
            100,
            0.05,
            "by hand: 20 mm³ over half of 400 mm²",
            "computed",
            givens={"mass": 50, "density": 2.5, "side": 20},
            earlier={"covered": 50},
        ),
        Case(
            "resistance",
            0.0833,
            5e-05,
            "plane wall by hand: 100 µm of 3 W/mK on all of 400 mm²",
            "computed",
            givens={"side": 20},
            earlier={"covered": 100, "bond_line": 100},
        ),
    ),
    caution=CLEANING,
    floor=0.05,
)

EXERCISES = (REFIT, FIT, LIFT)
