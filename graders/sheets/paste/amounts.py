"""Exercises on how much paste, where it goes, and when the faces come to rest."""

from math import pi

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, relative
from workbook.bench.paste import chain, coverage, squeeze, volumes
from workbook.drawings import sink

PASTE = (
    "A sink comes off only when the device is unplugged, discharged and cold. Wear gloves: keep paste off skin and out of "
    "eyes, and follow its safety data sheet and your shop's rules."
)

VOLUME = Exercise(
    id="paste-volume",
    number=6,
    title="Put down the right amount of paste",
    setup=(
        "A square die is {side} on a side. The paste on it should be {bond_line} thick once the sink is down. A dot of "
        "paste has the shape of half a ball lying on its flat side: a dot of diameter d on the die holds π d³ / 12. What lies on "
        "the die before the screws are turned is a starting thickness; clamping thins it, and the rest goes over the edge, onto "
        "the small parts beside the die. The shop's rule: a dot that would lie from 0.9 to 1.3 times as thick as wanted stays; "
        "to a thinner one paste is added, a thicker one is wiped off."
    ),
    givens=dict(
        side=Quantity(14, "mm", low=9, high=24, step=1),
        bond_line=Quantity(50, "µm", low=30, high=80, step=5),
        dot=Quantity(4, "mm", low=3, high=6, step=0.25),
    ),
    parts=(
        Number(
            "film",
            "Which volume of paste fills the joint, with nothing left over?",
            points=1,
            unit="mm³",
            expected=lambda g, a: volumes.film_volume(g.side**2, g.bond_line),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(1.5, 74),
            working="film = side**2 * bond_line / 1000",
            slips=(
                Slip(
                    "µm as hundredths",
                    lambda g, a: 10 * g.side**2 * g.bond_line,
                    "Ten times too much: 1 mm is 1000 µm.",
                ),
                Slip(
                    "round die",
                    lambda g, a: pi / 4 * g.side**2 * g.bond_line,
                    "You took a round die. This one is square.",
                ),
            ),
        ),
        Number(
            "dot_diameter",
            "How wide must one dot be, across the die, to hold that volume?",
            points=2,
            unit="mm",
            expected=lambda g, a: volumes.dot_diameter(a.film),
            within=relative(0.02),
            because="no hand puts down a dot more exactly, and it is a third root",
            plausible=(1.3, 20),
            working="dot_diameter = (12 * film / pi) ** (1 / 3)",
            slips=(
                Slip(
                    "radius",
                    lambda g, a: volumes.dot_diameter(a.film) / 2,
                    "That is the radius of the dot. The question asks how wide it is.",
                ),
                Slip(
                    "whole ball",
                    lambda g, a: (6 * a.film / pi) ** (1 / 3),
                    "That is a whole ball. A dot on a die is half of one, and so wider.",
                ),
            ),
        ),
        Number(
            "too_thick",
            "Someone puts down a dot {dot} wide instead. Spread evenly over the die, before it is clamped, how thick would it lie?",
            points=2,
            unit="µm",
            expected=lambda g, a: volumes.bond_line_from_volume(volumes.dot_volume(g.dot), g.side**2),
            within=relative(0.02),
            because="the dot's width, in the third power, is hardly known better",
            plausible=(7.6, 2000),
            working="too_thick = pi * dot**3 / 12 / side**2 * 1000",
            slips=(
                Slip(
                    "whole ball",
                    lambda g, a: 2 * volumes.dot_volume(g.dot) / g.side**2,
                    "Twice too much: you took a whole ball. The dot is half of one.",
                ),
                Slip(
                    "width as radius",
                    lambda g, a: 8 * volumes.dot_volume(g.dot) / g.side**2,
                    "You took the dot's width for its radius.",
                ),
            ),
        ),
        Choice(
            "act",
            "{bond_line} is wanted, and the dot of {dot} is on the die already. By the shop's rule, what do you do?",
            points=1,
            options={
                "more": "add paste beside it, as it lies too thin to fill",
                "less": "wipe it off and put down a smaller dot instead",
                "screws": "leave it and turn the screws harder than usual",
                "keep": "leave it, as what is over comes out at the edge",
            },
            expected=lambda g, a: "less" if a.too_thick > g.bond_line else "more",
            slips={
                "more": "Compare the thickness you found with the bond line wanted.",
                "less": "Compare the thickness you found with the bond line wanted.",
                "screws": "Springs give the force. A screw run to its end bends the board and cracks dies.",
                "keep": "Divide the thickness you found by the one wanted. Is it from 0.9 to 1.3?",
            },
        ),
    ),
    cases=(
        Case("film", 9.8, 0.05, "geometry: 14 mm x 14 mm x 50 µm", "computed"),
        Case("dot_diameter", 3.35, 0.005, "geometry: half a ball of 9.8 mm³", "computed"),
        Case("too_thick", 85.5, 0.05, "geometry: half a ball of 4 mm on 14 mm x 14 mm", "computed"),
    ),
    caution=PASTE,
    sound=lambda drawn: not 0.8 < pi * drawn["dot"] ** 3 / 12 / drawn["side"] ** 2 * 1000 / drawn["bond_line"] < 1.4,
    floor=0.10,
)

CROSS = Exercise(
    id="bead-and-cross",
    number=7,
    title="Measure out a bead and a cross",
    setup=(
        "A nozzle lays beads of paste with a half-round section, flat side down, {width} wide on the die; the ends "
        "are cut square. The square die is {side} on a side. In a cross of two such beads at a right angle, the paste "
        "where they cross would be counted twice: width³ / 3 comes off once."
    ),
    givens=dict(
        width=Quantity(1.5, "mm", low=1.0, high=2.0, step=0.1),
        bead_run=Quantity(12, "mm", low=8, high=18, step=1),
        side=Quantity(14, "mm", low=12, high=24, step=1),
        bond_line=Quantity(60, "µm", low=40, high=80, step=5),
    ),
    parts=(
        Number(
            "bead",
            "How much paste is in one bead {bead_run} long?",
            points=1,
            unit="mm³",
            expected=lambda g, a: volumes.bead_volume(g.width, g.bead_run),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(1.9, 46),
            working="bead = pi * width**2 / 8 * bead_run",
            hint="Half the area of a circle, times the length.",
            slips=(
                Slip(
                    "full round",
                    lambda g, a: 2 * volumes.bead_volume(g.width, g.bead_run),
                    "Twice too much: the bead is half a round, not a whole one.",
                ),
                Slip(
                    "width as radius",
                    lambda g, a: 4 * volumes.bead_volume(g.width, g.bead_run),
                    "You took the bead's width for its radius.",
                ),
                Slip(
                    "square section",
                    lambda g, a: g.width**2 * g.bead_run,
                    "You took a square section. The bead is half a round.",
                ),
            ),
        ),
        Number(
            "cross",
            "How much paste is in a cross of two of these beads?",
            points=2,
            unit="mm³",
            expected=lambda g, a: volumes.cross_volume(g.width, g.bead_run),
            within=relative(0.01),
            because="the rule for the crossing is given",
            plausible=(3.7, 87),
            working="cross = 2 * bead - width**3 / 3",
            slips=(
                Slip(
                    "crossing counted twice",
                    lambda g, a: 2 * a.bead,
                    "You counted the paste at the crossing twice.",
                ),
                Slip(
                    "crossing taken off twice",
                    lambda g, a: 2 * a.bead - 2 * g.width**3 / 3,
                    "You took the crossing off twice. It comes off once.",
                ),
            ),
        ),
        Number(
            "joint_line",
            "Spread evenly over the die, before it is clamped, how thick would the cross lie?",
            points=1,
            unit="µm",
            expected=lambda g, a: volumes.bond_line_from_volume(a.cross, g.side**2),
            within=relative(0.02),
            because="the bead's width is hardly known better",
            plausible=(5, 1000),
            working="joint_line = cross / side**2 * 1000",
            slips=(
                Slip(
                    "one bead",
                    lambda g, a: volumes.bond_line_from_volume(a.bead, g.side**2),
                    "You spread one bead. The cross has two.",
                ),
                Slip(
                    "crossing counted twice",
                    lambda g, a: volumes.bond_line_from_volume(2 * a.bead, g.side**2),
                    "You counted the paste of the crossing in both beads. It is there once.",
                ),
            ),
        ),
        Number(
            "run",
            "How long must each bead of a cross be for a joint of {bond_line} over the whole die, with nothing left "
            "over?",
            points=2,
            unit="mm",
            expected=lambda g, a: volumes.bead_length(
                (volumes.film_volume(g.side**2, g.bond_line) + g.width**3 / 3) / 2, g.width
            ),
            within=relative(0.02),
            because="the bead's width is hardly known better",
            plausible=(1, 60),
            working="""
film = side**2 * bond_line / 1000
run = (film + width**3 / 3) / 2 / (pi * width**2 / 8)
""",
            hint="Turn the rule for the cross round: what must the two beads hold together?",
            slips=(
                Slip(
                    "one bead for all",
                    lambda g, a: volumes.bead_length(volumes.film_volume(g.side**2, g.bond_line), g.width),
                    "That is one bead that holds all of the paste. The cross has two.",
                ),
                Slip(
                    "crossing forgotten",
                    lambda g, a: volumes.bead_length(volumes.film_volume(g.side**2, g.bond_line) / 2, g.width),
                    "The crossing is forgotten: a cross holds less than two whole beads, so the beads must be longer.",
                ),
            ),
        ),
        Choice(
            "pattern",
            "A helper asks for the shape to lay down on this die. Which do you choose?",
            points=1,
            options={
                "ring": "a ring along the edge: it covers the corners first",
                "cross": "a cross to the corners: no air is shut in by it",
                "smear": "a layer by a spatula: it looks even all over",
                "rows": "five rows side by side: the die is full at once",
            },
            expected=lambda g, a: "cross",
            slips={
                "ring": "A ring closes over the air in its middle, and that air stays.",
                "smear": "A smeared layer has ridges that shut in air when the sink comes down.",
                "rows": "Rows meet and shut in air between them.",
            },
        ),
    ),
    cases=(
        Case("bead", 10.60, 0.005, "geometry: half-round bead, 1.5 mm x 12 mm", "computed"),
        Case("cross", 20.08, 0.005, "geometry: two beads less half a Steinmetz solid", "computed"),
        Case("joint_line", 102, 0.5, "geometry: that cross on 14 mm x 14 mm", "computed"),
        Case(
            "run",
            12,
            0.005,
            "the other way round: the cross of two 12 mm beads is 102.453 µm on this die",
            "computed",
            givens={"bond_line": 102.4528},
        ),
    ),
    caution=PASTE,
    floor=0.04,
)

PATCHES = Exercise(
    id="bare-patches",
    number=8,
    title="Weigh bare patches in the paste",
    setup=(
        "A square die, {side} on a side, sends {power}, evenly over its face, through paste of {bond_line} with a "
        "conductivity of {conductivity}. After the sink is lifted, the print shows that only {covered} of the face "
        "was covered. In the rest the gap held still air of {air}. Leave the contacts out. For small patches all over "
        "the face, paste and air lie side by side. Over one large round void the heat must run sideways in the die to "
        "the void's rim; the middle of the void is then hotter than the rim by q a² / (4 k t), where q is the die's "
        "power over its whole area, a the void's radius, k the die's conductivity, {die_conductivity}, and t its "
        "thickness, {die_thickness}."
    ),
    givens=dict(
        side=Quantity(14, "mm", low=10, high=20, step=1),
        power=Quantity(20, "W", low=10, high=40, step=2),
        bond_line=Quantity(50, "µm", low=30, high=80, step=5),
        conductivity=Quantity(3, "W/mK", low=1.5, high=4, step=0.5),
        covered=Quantity(80, "%", low=60, high=90, step=2),
        air=Fixed(0.026, "W/mK"),
        die_conductivity=Fixed(148, "W/mK"),
        die_thickness=Quantity(0.5, "mm", low=0.3, high=0.8, step=0.05),
    ),
    drawing=lambda g: sink.bare_patches(g.side, g.covered),
    parts=(
        Number(
            "full",
            "What would the resistance of the paste be if it covered the whole face?",
            points=1,
            unit="K/W",
            expected=lambda g, a: chain.layer_resistance(g.bond_line, g.conductivity, g.side**2),
            within=relative(0.02),
            because="a bond line is hardly known better",
            plausible=(0.005, 0.8),
            working="full = bond_line / conductivity / side**2",
            hint="µm over W/mK gives mm²K/W.",
            slips=(
                Slip(
                    "side for area",
                    lambda g, a: g.bond_line / g.conductivity / (g.side * 1e-3),
                    "You divided by the side. The heat passes through the area of the square.",
                ),
            ),
        ),
        Number(
            "patchy",
            "What is it if the bare part lies in many small patches all over the face?",
            points=2,
            unit="K/W",
            expected=lambda g, a: coverage.partly_covered_resistance(
                g.covered, g.bond_line, g.conductivity, g.side**2, g.air
            ),
            within=relative(0.02),
            because="a bond line is hardly known better",
            plausible=(0.013, 1.4),
            working="""
share = covered / 100
patchy = bond_line / (share * conductivity + (1 - share) * air) / side**2
""",
            hint="Side by side: each share conducts for itself, and what they conduct adds.",
            slips=(
                Slip(
                    "times the share",
                    lambda g, a: a.full * g.covered,
                    "Your joint got better by losing paste. Less paste must resist more.",
                ),
                Slip(
                    "share squared",
                    lambda g, a: a.full / g.covered**2,
                    "You divided by the share twice.",
                ),
                Slip(
                    "in series",
                    lambda g, a: (
                        (g.covered * g.bond_line / g.conductivity + (1 - g.covered) * g.bond_line / g.air) / g.side**2
                    ),
                    "You put paste and air one after the other. The heat passes one or the other, not both.",
                ),
                Slip(
                    "bare part ignored",
                    lambda g, a: a.full,
                    "That is the fully covered face again.",
                ),
            ),
        ),
        Number(
            "void_radius",
            "Now all of the bare part is one round void. What is its radius?",
            points=1,
            unit="mm",
            expected=lambda g, a: ((1 - g.covered) * g.side**2 / pi) ** 0.5,
            within=relative(0.02),
            because="a print is read to about this",
            plausible=(1.1, 12),
            working="void_radius = sqrt((1 - covered / 100) * side**2 / pi)",
            slips=(
                Slip(
                    "diameter",
                    lambda g, a: 2 * ((1 - g.covered) * g.side**2 / pi) ** 0.5,
                    "That is the void's diameter.",
                ),
                Slip(
                    "square",
                    lambda g, a: ((1 - g.covered) * g.side**2) ** 0.5,
                    "That is the side of a square void. The void is round.",
                ),
                Slip(
                    "half the side of a square",
                    lambda g, a: ((1 - g.covered) * g.side**2) ** 0.5 / 2,
                    "That is half the side of a square void. The void is round.",
                ),
            ),
        ),
        Number(
            "void_rise",
            "By how much is the die over the middle of the void hotter than over its rim?",
            points=1,
            unit="K",
            expected=lambda g, a: coverage.temperature_rise_over_void(
                g.power / g.side**2, a.void_radius, g.die_thickness, g.die_conductivity
            ),
            within=relative(0.03),
            because="a radius read off a print enters squared",
            plausible=(0.56, 140),
            working="""
flux = power / (side * 1e-3)**2
void_rise = flux * (void_radius * 1e-3)**2 / (4 * die_conductivity * die_thickness * 1e-3)
""",
            hint="Put everything in metres, watts and kelvin first.",
            slips=(
                Slip(
                    "diameter for radius",
                    lambda g, a: g.power / g.side**2 * a.void_radius**2 / (g.die_conductivity * g.die_thickness),
                    "Four times too much: either a is the void's diameter in your calculation, or the 4 below is missing.",
                ),
                Slip(
                    "radius not squared",
                    lambda g, a: (
                        g.power / g.side**2 * a.void_radius * 1e-3 / (4 * g.die_conductivity * g.die_thickness)
                    ),
                    "The radius enters squared, in metres.",
                ),
                Slip(
                    "covered part alone",
                    lambda g, a: coverage.temperature_rise_over_void(
                        g.power / (g.side**2 * g.covered), a.void_radius, g.die_thickness, g.die_conductivity
                    ),
                    "You spread the power over the covered part. The die gives off its heat evenly over its whole face.",
                ),
            ),
        ),
        Choice(
            "worse",
            "The same share of the face is bare both times. Which is worse for the hottest place on the die?",
            points=1,
            options={
                "patches": "the patches: there are more edges to get round",
                "void": "the void: heat has the longer way to the paste",
                "same": "neither: the same share of the die lies bare",
            },
            expected=lambda g, a: "void",
            slips={
                "patches": "Over a small patch the heat has only a short way to the nearest paste.",
                "same": "The way to the nearest paste is not the same, and it counts squared.",
            },
        ),
    ),
    cases=(
        Case("full", 0.0850, 0.00005, "plane wall: 50 µm, 3 W/mK, 14 mm x 14 mm", "computed"),
        Case("patchy", 0.1061, 0.00005, "paths side by side, four fifths covered", "computed"),
        Case("patchy", 0.1686, 0.00005, "paths side by side, half covered", "computed", givens={"covered": 50}),
        Case(
            "void_rise",
            4.05,
            0.005,
            "heated disc with a fixed rim, by hand: 1.2 / (4 × 0.074) for 0.3 MW/m² and 2 mm",
            "computed",
            givens={"power": 58.8},
            earlier={"void_radius": 2},
        ),
        Case(
            "void_radius", 5.64, 0.005, "by hand: a circle of 100 mm²", "computed", givens={"side": 20, "covered": 75}
        ),
    ),
    caution=PASTE,
    floor=0.10,
)

SQUEEZE_TIME = Exercise(
    id="time-to-close",
    number=9,
    title="Give the paste time to spread",
    setup=(
        "Two round plates, each {radius} in radius, close on paste under a steady force of {force}. The paste flows "
        "like a thick oil of {viscosity}. In parts 1 and 2 the gap is full of paste to the rim all the time, and what "
        "is too much leaves there. The time from gap h0 to gap h1 is then 3 π µ R⁴ / (4 F) × (1 / h1² − 1 / h0²), "
        "with viscosity µ, plate radius R and force F, all in SI units."
    ),
    givens=dict(
        viscosity=Quantity(100, "Pa·s", low=60, high=300, step=20),
        radius=Quantity(10, "mm", low=8, high=15, step=0.5),
        force=Quantity(50, "N", low=20, high=80, step=5),
        start_gap=Fixed(1.0, "mm"),
        end_gap=Quantity(50, "µm", low=40, high=80, step=5),
        blob=Quantity(20, "mm³", low=15, high=40, step=1),
    ),
    parts=(
        Number(
            "full_time",
            "How long does it take from {start_gap} to {end_gap}?",
            points=2,
            unit="s",
            expected=lambda g, a: squeeze.squeeze_time_when_full(
                g.viscosity, g.radius, g.force, g.start_gap, g.end_gap
            ),
            within=relative(0.02),
            because="only rounding is left; a real viscosity is known far worse",
            plausible=(0.79, 1400),
            working="""
to_end = 1 / (end_gap * 1e-6)**2 - 1 / (start_gap * 1e-3)**2
full_time = 3 * pi * viscosity * (radius * 1e-3)**4 / (4 * force) * to_end
""",
            slips=(
                Slip(
                    "diameter for radius",
                    lambda g, a: squeeze.squeeze_time_when_full(
                        g.viscosity, 2 * g.radius, g.force, g.start_gap, g.end_gap
                    ),
                    "You put the diameter in place of the radius. It enters in the fourth power.",
                ),
                Slip(
                    "gap not squared",
                    lambda g, a: 3 * pi * g.viscosity * g.radius**4 / (4 * g.force) * (1 / g.end_gap - 1 / g.start_gap),
                    "The gaps enter squared.",
                ),
                Slip(
                    "difference squared",
                    lambda g, a: (
                        3 * pi * g.viscosity * g.radius**4 / (4 * g.force) * (1 / g.end_gap - 1 / g.start_gap) ** 2
                    ),
                    "You squared the difference. Square each gap first, then subtract.",
                ),
            ),
        ),
        Number(
            "half_gap_time",
            "How long does it take from {start_gap} to half of {end_gap}?",
            points=1,
            unit="s",
            expected=lambda g, a: squeeze.squeeze_time_when_full(
                g.viscosity, g.radius, g.force, g.start_gap, g.end_gap / 2
            ),
            within=relative(0.02),
            because="only rounding is left; a real viscosity is known far worse",
            plausible=(3.2, 5300),
            working="""
to_half = 1 / (end_gap / 2 * 1e-6)**2 - 1 / (start_gap * 1e-3)**2
half_gap_time = 3 * pi * viscosity * (radius * 1e-3)**4 / (4 * force) * to_half
""",
            slips=(
                Slip(
                    "half the time",
                    lambda g, a: a.full_time / 2,
                    "You halved the time with the gap. A thinner gap takes longer: look how the gap enters.",
                ),
                Slip(
                    "twice as long",
                    lambda g, a: 2 * a.full_time,
                    "You doubled the time. A thinner gap flows harder and harder: look how the gap enters.",
                ),
                Slip(
                    "eight times as long",
                    lambda g, a: 8 * a.full_time,
                    "You took the gap to the third power. Look how it enters the formula.",
                ),
                Slip(
                    "last stretch alone",
                    lambda g, a: squeeze.squeeze_time_when_full(
                        g.viscosity, g.radius, g.force, g.end_gap, g.end_gap / 2
                    ),
                    "That is the last stretch alone. Count from the start.",
                ),
            ),
        ),
        Number(
            "blob_time",
            "Now the plates are much larger, and {blob} of paste stays between them as a growing round pool. The time "
            "is then 3 µ V² / (8 π F) × (1 / h1⁴ − 1 / h0⁴), with the volume V. How long does it take from "
            "{start_gap} to {end_gap}?",
            points=2,
            unit="s",
            expected=lambda g, a: squeeze.squeeze_time_of_fixed_volume(
                g.viscosity, g.blob, g.force, g.start_gap, g.end_gap
            ),
            within=relative(0.02),
            because="only rounding is left; a real viscosity is known far worse",
            plausible=(0.45, 1100),
            working="""
to_end = 1 / (end_gap * 1e-6)**4 - 1 / (start_gap * 1e-3)**4
blob_time = 3 * viscosity * (blob * 1e-9)**2 / (8 * pi * force) * to_end
""",
            slips=(
                Slip(
                    "law of full plates",
                    lambda g, a: a.full_time,
                    "That is the time of part 1. Here the pool grows as the gap falls: use the second formula.",
                ),
                Slip(
                    "gap squared only",
                    lambda g, a: (
                        3 * g.viscosity * g.blob**2 / (8 * pi * g.force) * (1 / g.end_gap**2 - 1 / g.start_gap**2)
                    ),
                    "In this law the gaps enter in the fourth power.",
                ),
            ),
        ),
        Number(
            "pool_radius",
            "What radius does the pool have at the end?",
            points=1,
            unit="mm",
            expected=lambda g, a: squeeze.radius_of_fixed_volume(g.blob, g.end_gap),
            within=relative(0.02),
            because="only rounding is left",
            plausible=(4.8, 29),
            working="pool_radius = sqrt(blob / (pi * end_gap * 1e-3))",
            hint="The paste is a flat disc: its volume is π × radius² × gap.",
            slips=(
                Slip(
                    "diameter",
                    lambda g, a: 2 * squeeze.radius_of_fixed_volume(g.blob, g.end_gap),
                    "That is the pool's diameter.",
                ),
                Slip(
                    "square pool",
                    lambda g, a: (g.blob / g.end_gap) ** 0.5,
                    "That is the side of a square pool. The pool is round.",
                ),
            ),
        ),
        Choice(
            "wait",
            "The screws are to be turned home in turns. What does the time law tell you to do?",
            points=1,
            options={
                "once": "turn each screw home at once, as the time is short",
                "pause": "turn in steps, and wait between for paste to flow",
                "force": "press by hand on top until the gap looks closed",
                "warm": "warm the sink with a hot-air tool to thin the paste",
            },
            expected=lambda g, a: "pause",
            slips={
                "once": "One screw home pulls the sink level to one side. The gap closes ever more slowly, so give it time.",
                "force": "A hand on top tilts the sink and chips the die. The springs press for as long as it takes.",
                "warm": "Hot air harms parts and drives oil out of the paste. Time does it.",
            },
        ),
    ),
    cases=(
        Case("full_time", 18.80, 0.005, "integral of Stefan's force, held to the differential equation", "computed"),
        Case("blob_time", 15.28, 0.005, "integral of Stefan's force at constant volume", "computed"),
        Case(
            "pool_radius",
            10,
            0.005,
            "by hand: 5π mm³, 50 µm high",
            "computed",
            givens={"blob": 15.70796, "end_gap": 50},
        ),
        Case(
            "half_gap_time",
            39.9,
            0.05,
            "Stefan's law of parallel discs by hand: 3 π · 100 · 10⁻⁸ / (4 · 7.5 π) is 10⁻⁷, times 4 · 10⁸ less 10⁶",
            "computed",
            givens={"viscosity": 100, "radius": 10, "force": 23.5619, "start_gap": 1.0, "end_gap": 100},
        ),
    ),
    caution=PASTE,
    floor=0.04,
)

REST_GAP = Exercise(
    id="where-paste-stops",
    number=10,
    title="Find where the paste stops the sink",
    setup=(
        "A stiff paste stops flowing when the stress in it falls to its yield stress, {yield_stress}; the sink then "
        "rests. Between round plates of radius R that are full to the rim, under a force F, the rest gap is 2 π τ R³ "
        "/ (3 F), with the yield stress τ. On larger plates a pool of volume V rests at (2 τ V^1.5 / (3 √π F))^0.4. "
        "All in SI units. The formulas know a smooth paste; the largest grain of the filler is {grain}, and no gap "
        "can be narrower than that. (This paste is invented.)"
    ),
    givens=dict(
        yield_stress=Quantity(200, "Pa", low=100, high=400, step=20),
        radius=Quantity(15, "mm", low=10, high=18, step=1),
        force=Quantity(30, "N", low=20, high=80, step=5),
        grain=Pick(20, (10, 15, 20, 25, 30, 40), "µm"),
        blob=Quantity(20, "mm³", low=10, high=40, step=2),
    ),
    parts=(
        Number(
            "full_gap",
            "Plates of {radius} in radius, full to the rim, are pressed with {force}. At which gap does a smooth "
            "paste stop them?",
            points=2,
            unit="µm",
            expected=lambda g, a: squeeze.rest_gap_when_full(g.yield_stress, g.radius, g.force),
            within=relative(0.02),
            because="only rounding is left; a real yield stress is known far worse",
            plausible=(1.9, 400),
            working="full_gap = 2 * pi * yield_stress * (radius * 1e-3)**3 / (3 * force) * 1e6",
            slips=(
                Slip(
                    "diameter for radius",
                    lambda g, a: squeeze.rest_gap_when_full(g.yield_stress, 2 * g.radius, g.force),
                    "You put the diameter in place of the radius. It enters in the third power.",
                ),
                Slip(
                    "two thirds forgotten",
                    lambda g, a: pi * g.yield_stress * g.radius**3 / g.force,
                    "The 2 and the 3 of the formula are missing.",
                ),
            ),
        ),
        Choice(
            "stopped_by",
            "What stops these plates in truth?",
            points=1,
            options={
                "air": "air that stays shut in the middle",
                "grains": "grains that touch both faces first",
                "yield": "paste that no longer flows out",
            },
            expected=lambda g, a: "grains" if g.grain > a.full_gap else "yield",
            slips={
                "air": "Nothing in the question shuts air in. Compare the rest gap with the largest grain.",
                "grains": "Compare the rest gap with the largest grain: do the grains touch both faces yet?",
                "yield": "Compare the rest gap with the largest grain: can the faces come that near?",
            },
        ),
        Number(
            "blob_gap",
            "A blob of {blob} between much larger plates is pressed with the same force. At which gap does a smooth "
            "paste stop them?",
            points=2,
            unit="µm",
            expected=lambda g, a: squeeze.rest_gap_of_fixed_volume(g.yield_stress, g.blob, g.force),
            within=relative(0.02),
            because="only rounding is left; a real yield stress is known far worse",
            plausible=(8.8, 130),
            working="""
blob_gap = (2 * yield_stress * (blob * 1e-9)**1.5 / (3 * sqrt(pi) * force))**0.4 * 1e6
""",
            slips=(
                Slip(
                    "root of pi forgotten",
                    lambda g, a: (2 * g.yield_stress * g.blob**1.5 / (3 * g.force)) ** 0.4,
                    "The root of π below is missing.",
                ),
                Slip(
                    "square root",
                    lambda g, a: (2 * g.yield_stress * g.blob**1.5 / (3 * pi**0.5 * g.force)) ** 0.5,
                    "You took the square root. The power is 0.4.",
                ),
            ),
        ),
        Number(
            "pool_radius",
            "What radius does the pool have then?",
            points=1,
            unit="mm",
            expected=lambda g, a: squeeze.radius_of_fixed_volume(g.blob, a.blob_gap),
            within=relative(0.02),
            because="it is a square root of the gap",
            plausible=(5.7, 200),
            working="pool_radius = sqrt(blob / (pi * blob_gap * 1e-3))",
            slips=(
                Slip(
                    "diameter",
                    lambda g, a: 2 * squeeze.radius_of_fixed_volume(g.blob, a.blob_gap),
                    "That is the pool's diameter.",
                ),
                Slip(
                    "gap of part 1",
                    lambda g, a: squeeze.radius_of_fixed_volume(g.blob, a.full_gap),
                    "You took the gap of part 1. The pool rests at the gap of part 3.",
                ),
            ),
        ),
        Number(
            "twice_force",
            "The force is doubled. By which factor does the rest gap of the blob change?",
            points=2,
            unit="1",
            expected=lambda g, a: (
                squeeze.rest_gap_of_fixed_volume(g.yield_stress, g.blob, 2 * g.force)
                / squeeze.rest_gap_of_fixed_volume(g.yield_stress, g.blob, g.force)
            ),
            within=relative(0.01),
            because="it follows from the power in the formula alone",
            plausible=(0.2, 0.99),
            working="twice_force = (1 / 2)**0.4",
            hint="Only the force changes: divide the two gaps, and all else falls out.",
            slips=(
                Slip(
                    "half",
                    lambda g, a: 0.5,
                    "Half is right for full plates. A pool spreads as it gets thinner, and then carries more.",
                ),
                Slip(
                    "wider",
                    lambda g, a: 2**0.4,
                    "You found a wider gap. More force presses the faces nearer together.",
                ),
            ),
        ),
        Choice(
            "act",
            "The bond line you reach is too thick for the job. What do you change first?",
            points=1,
            options={
                "turns": "more turns on each screw, past the spring's end",
                "paste": "a paste that is softer and has finer grains",
                "amount": "more paste, to be sure that every corner fills",
                "hand": "a hand on the sink while the screws go home",
            },
            expected=lambda g, a: "paste",
            slips={
                "turns": "Past its end a spring is a screw: it bends the board, and the grains stay as large.",
                "amount": "More paste rests at a wider gap, not at a thinner one.",
                "hand": "A hand tilts the sink and chips the die. And twice the force makes little of it, as part 5 says.",
            },
        ),
    ),
    cases=(
        Case(
            "full_gap",
            4.19,
            0.005,
            "limit of Scott's formula 1931, force balance by hand: 100 Pa, 10 mm, 50 N",
            "computed",
            givens={"yield_stress": 100, "radius": 10, "force": 50},
        ),
        Case(
            "full_gap",
            47.1,
            0.05,
            "limit of Scott's formula 1931, force balance by hand: 200 Pa, 15 mm, 30 N",
            "computed",
        ),
        Case(
            "blob_gap",
            21.4,
            0.05,
            "force balance of a yield-stress fluid at constant volume: 20 mm³, 100 Pa, 50 N",
            "computed",
            givens={"yield_stress": 100, "force": 50},
        ),
        Case(
            "pool_radius",
            17.2,
            0.05,
            "pool of 20 mm³ at its rest gap of 21.4 µm",
            "computed",
            givens={"yield_stress": 100, "force": 50},
        ),
        Case("twice_force", 0.758, 0.0005, "power of the rest gap at constant volume", "computed"),
    ),
    caution=PASTE,
    sound=lambda drawn: abs(_full_gap_over_grain(drawn) - 1) > 0.1 and _blob_stays_above_grain(drawn),
    floor=0.15,
)


def _blob_stays_above_grain(drawn):
    """Whether the blob's gap, even under twice the force, is one that the grains allow."""
    g = REST_GAP.values(drawn)
    return squeeze.rest_gap_of_fixed_volume(g.yield_stress, g.blob, 2 * g.force) > 1.05 * g.grain


def _full_gap_over_grain(drawn):
    g = REST_GAP.values(drawn)
    return squeeze.rest_gap_when_full(g.yield_stress, g.radius, g.force) / g.grain


EXERCISES = (VOLUME, CROSS, PATCHES, SQUEEZE_TIME, REST_GAP)
