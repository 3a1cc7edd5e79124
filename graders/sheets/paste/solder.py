"""Exercises on solder paste for reballing: what a stencil leaves, what ball it melts to, how high a joint stands."""

from math import pi

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, relative
from workbook.bench.paste import solder_ball
from workbook.references import value

SOLDER = (
    "Solder paste may hold lead, and its flux fumes when it melts: gloves, extraction, no food at the bench, wash "
    "your hands. Hot air and hot parts burn. Follow your shop's rules and the data sheets."
)

RULES = (
    "IPC-7525 asks for an aspect ratio, width / foil thickness, above 1.5, and for an area ratio, opening / walls, "
    "above 0.66. The aspect ratio governs long slots, from about five times as long as wide (from memory); the area ratio "
    "governs all other openings."
)

SLOT = Exercise(
    id="stencil-slot",
    number=18,
    title="Check a slot in a stencil",
    setup=(
        "A stencil of {foil} has a rectangular slot, {reach} long and {width} wide. The paste's largest grains are "
        "{grain}. "
        f"{RULES} The area ratio is the area of the opening, divided by the area of its four walls. Of the paste in "
        "the slot, {transfer} stays on the land."
    ),
    givens=dict(
        reach=Quantity(1.0, "mm", low=0.5, high=2.5, step=0.05),
        width=Quantity(0.5, "mm", low=0.18, high=0.6, step=0.02),
        foil=Quantity(0.12, "mm", low=0.1, high=0.2, step=0.01),
        grain=Pick(45, (25, 38, 45), "µm"),
        transfer=Quantity(85, "%", low=70, high=95, step=1),
    ),
    parts=(
        Number(
            "aspect",
            "What is the aspect ratio of the slot?",
            points=1,
            unit="1",
            expected=lambda g, a: solder_ball.aspect_ratio(g.width, g.foil),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.3, 20),
            working="aspect = width / foil",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.foil / g.width,
                    "The ratio is upside down: a wide slot in a thin foil lets go easily and has a large ratio.",
                ),
                Slip(
                    "length for width",
                    lambda g, a: g.reach / g.foil,
                    "You took the length. The paste hangs on the narrow side: take the width.",
                ),
            ),
        ),
        Number(
            "area_ratio",
            "What is the area ratio of the slot?",
            points=2,
            unit="1",
            expected=lambda g, a: solder_ball.area_ratio(g.reach, g.width, g.foil),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.1, 3.7),
            working="area_ratio = reach * width / (2 * foil * (reach + width))",
            hint="Four walls: two along the length and two across the width, each as high as the foil.",
            slips=(
                Slip(
                    "two walls only",
                    lambda g, a: 2 * solder_ball.area_ratio(g.reach, g.width, g.foil),
                    "Twice too much: you counted two of the four walls.",
                ),
                Slip(
                    "square opening",
                    lambda g, a: g.width / (4 * g.foil),
                    "That is a square opening as wide as the slot. This one is longer.",
                ),
                Slip(
                    "aspect ratio",
                    lambda g, a: a.aspect,
                    "That is the aspect ratio again. Here the area of the opening is compared with its walls.",
                ),
            ),
        ),
        Number(
            "print_volume",
            "How much paste stays on the land?",
            points=1,
            unit="mm³",
            expected=lambda g, a: solder_ball.printed_volume(g.reach * g.width, g.foil, g.transfer),
            within=relative(0.02),
            because="a share of transfer is hardly known better",
            plausible=(0.0058, 0.43),
            working="print_volume = reach * width * foil * transfer / 100",
            slips=(
                Slip(
                    "all of it",
                    lambda g, a: g.reach * g.width * g.foil,
                    "That is all the paste in the slot. Some stays on its walls.",
                ),
                Slip(
                    "what stays in the slot",
                    lambda g, a: g.reach * g.width * g.foil * (1 - g.transfer),
                    "That is what stays in the slot.",
                ),
            ),
        ),
        Number(
            "grains",
            "How many of the largest grains fit side by side across the width? (At least 5 should.)",
            points=1,
            unit="1",
            expected=lambda g, a: solder_ball.grains_across(g.width, g.grain),
            within=relative(0.02),
            because="only rounding is left; give it with its decimals",
            plausible=(1, 39),
            working="grains = width * 1000 / grain",
            slips=(
                Slip(
                    "along the length",
                    lambda g, a: solder_ball.grains_across(g.reach, g.grain),
                    "You counted along the length. The narrow side is the hard one.",
                ),
                Slip(
                    "through the foil",
                    lambda g, a: solder_ball.grains_across(g.foil, g.grain),
                    "You counted through the foil. The rule goes across the opening.",
                ),
            ),
        ),
        Choice(
            "let_go",
            "Of the two ratios, which one governs this slot, and is it held?",
            points=1,
            options={
                "aspect held": "the aspect ratio governs here, and is held",
                "aspect missed": "the aspect ratio governs here, and is missed",
                "area held": "the area ratio governs here, and it is held",
                "area missed": "the area ratio governs here, and is missed",
            },
            expected=lambda g, a: _governed(g, a),
            slips={
                "aspect held": "Divide the length by the width: is this a long slot? Then compare the ratio that governs.",
                "aspect missed": "Divide the length by the width: is this a long slot? Then compare the ratio that governs.",
                "area held": "Divide the length by the width: is this a long slot? Then compare the ratio that governs.",
                "area missed": "Divide the length by the width: is this a long slot? Then compare the ratio that governs.",
            },
            hint="Divide the length by the width first.",
        ),
        Choice(
            "act",
            "What do you do with this stencil?",
            points=1,
            options={
                "press": "print harder, and wipe the foil from below",
                "print": "print with it, and look at the first lands",
                "thinner": "get a thinner foil, or a slot that is wider",
                "thin out": "thin the paste with flux, until it lets go",
            },
            expected=lambda g, a: "print" if _governed(g, a).endswith("held") and a.grains >= 5 else "thinner",
            slips={
                "press": "Pressure scoops the paste out of wide openings and does not pull it off the walls.",
                "print": "Either the ratio that governs is missed, or fewer than 5 grains fit across.",
                "thinner": "The ratio that governs is held, and 5 grains fit across.",
                "thin out": "Thinned paste slumps and bridges, and has less metal.",
            },
        ),
    ),
    cases=(
        Case(
            "aspect",
            4.17,
            0.005,
            "help page of a board fabricator: 1 mm x 0.5 mm in 0.12 mm",
            "published-second-hand",
        ),
        Case(
            "area_ratio",
            1.39,
            0.005,
            "help page of a board fabricator: 1 mm x 0.5 mm in 0.12 mm",
            "published-second-hand",
        ),
        Case(
            "print_volume", 0.051, 0.0005, "help page of a board fabricator: 85 % transferred", "published-second-hand"
        ),
        Case(
            "aspect",
            1.2,
            0.05,
            "assembly journal, July 2019, p. 44: 6 mil in a foil of 5 mil",
            "published-second-hand",
            givens={"width": 0.1524, "reach": 0.1524, "foil": 0.127},
        ),
        Case(
            "area_ratio",
            0.30,
            0.005,
            "assembly journal, July 2019, p. 44: 6 mil in a foil of 5 mil",
            "published-second-hand",
            givens={"width": 0.1524, "reach": 0.1524, "foil": 0.127},
        ),
        Case(
            "area_ratio",
            0.50,
            0.005,
            "assembly journal, July 2019, p. 44: 10 mil in a foil of 5 mil",
            "published-second-hand",
            givens={"width": 0.254, "reach": 0.254, "foil": 0.127},
        ),
        Case(
            "grains",
            5.3,
            0.05,
            "a process engineer's article on stencil openings: 0.038 mm in a slot of 0.2 mm",
            "published-second-hand",
            givens={"width": 0.2, "grain": 38},
        ),
    ),
    caution=SOLDER,
    sound=lambda drawn: _away_from_limits(drawn),
    floor=0.20,
)


LONG_SLOT = value("paste", "slot_is_long_from")
"""Length over width from which the aspect ratio governs."""


def _governed(g, a):
    if g.reach >= LONG_SLOT * g.width:
        return "aspect held" if a.aspect > 1.5 else "aspect missed"
    return "area held" if a.area_ratio > 0.66 else "area missed"


def _away_from_limits(drawn):
    """Whether both ratios are clearly on one side of their limits."""
    aspect = solder_ball.aspect_ratio(drawn["width"], drawn["foil"])
    area = solder_ball.area_ratio(drawn["reach"], drawn["width"], drawn["foil"])
    long_by, grains = drawn["reach"] / drawn["width"], drawn["width"] * 1000 / drawn["grain"]
    clear = abs(aspect - 1.5) > 0.05 and abs(area - 0.66) > 0.03
    return clear and abs(long_by - LONG_SLOT) > 0.2 and abs(grains - 5) > 0.15


def _opening(g):
    return pi * g.opening**2 / 4


PASTE_BALL = Exercise(
    id="ball-from-paste",
    number=19,
    title="Make a ball from paste alone",
    setup=(
        "For reballing, paste is printed through round openings of {opening} in a foil of {foil}; {transfer} of it "
        "stays on the land. By mass, {metal} of the paste is alloy. The alloy has {alloy_density}, the flux "
        "{flux_density}, and their volumes add up. The flux leaves, the alloy melts and draws together to a ball. For "
        "a round opening the area ratio, opening over wall, is diameter / (4 × foil)."
    ),
    givens=dict(
        opening=Quantity(0.40, "mm", low=0.3, high=0.6, step=0.02),
        foil=Quantity(0.15, "mm", low=0.1, high=0.2, step=0.01),
        transfer=Quantity(85, "%", low=70, high=95, step=1),
        metal=Quantity(90, "%", low=84, high=90.5, step=0.5),
        alloy_density=Fixed(7400, "kg/m³"),
        flux_density=Fixed(1000, "kg/m³"),
        wanted=Quantity(0.45, "mm", low=0.4, high=0.75, step=0.05),
    ),
    parts=(
        Number(
            "wall_ratio",
            "What is the area ratio of the openings?",
            points=1,
            unit="1",
            expected=lambda g, a: solder_ball.round_area_ratio(g.opening, g.foil),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.1, 2.4),
            working="wall_ratio = opening / (4 * foil)",
            slips=(
                Slip(
                    "aspect ratio",
                    lambda g, a: g.opening / g.foil,
                    "That is the aspect ratio. For a round opening the area ratio is a quarter of it.",
                ),
                Slip(
                    "radius",
                    lambda g, a: g.opening / (8 * g.foil),
                    "You put the radius in place of the diameter.",
                ),
            ),
        ),
        Number(
            "print_volume",
            "How much paste stays on one land?",
            points=1,
            unit="mm³",
            expected=lambda g, a: solder_ball.volume_of_round_print(g.opening, g.foil, g.transfer),
            within=relative(0.02),
            because="a share of transfer is hardly known better",
            plausible=(0.0031, 0.08),
            working="print_volume = pi * opening**2 / 4 * foil * transfer / 100",
            slips=(
                Slip(
                    "all of it",
                    lambda g, a: _opening(g) * g.foil,
                    "That is all the paste in the opening. Some stays on its wall.",
                ),
                Slip(
                    "diameter as radius",
                    lambda g, a: 4 * _opening(g) * g.foil * g.transfer,
                    "Four times too much: you put the diameter in place of the radius.",
                ),
            ),
        ),
        Number(
            "metal_share",
            "Which share of the paste is alloy by volume?",
            points=2,
            unit="%",
            expected=lambda g, a: solder_ball.metal_volume_fraction(g.metal, g.alloy_density, g.flux_density),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(20, 80),
            working="""
alloy = metal / alloy_density
flux = (100 - metal) / flux_density
metal_share = alloy / (alloy + flux) * 100
""",
            hint="Take 100 g of paste. Which volume is alloy, which is flux?",
            slips=(
                Slip(
                    "share by mass",
                    lambda g, a: g.metal,
                    "That is the share by mass. Flux is light and takes far more room than its mass tells.",
                ),
                Slip(
                    "share of the flux",
                    lambda g, a: 1 - solder_ball.metal_volume_fraction(g.metal, g.alloy_density, g.flux_density),
                    "That is the share of the flux.",
                ),
                Slip(
                    "multiplied by the density",
                    lambda g, a: (
                        g.metal * g.alloy_density / (g.metal * g.alloy_density + (1 - g.metal) * g.flux_density)
                    ),
                    "You multiplied mass by density. Volume is mass over density.",
                ),
                Slip(
                    "alloy over flux density",
                    lambda g, a: g.metal * g.flux_density / g.alloy_density,
                    "You scaled the share by the densities. Work out both volumes, then take the alloy's share of them.",
                ),
            ),
        ),
        Number(
            "ball",
            "How wide is the ball that the printed paste melts to?",
            points=2,
            unit="mm",
            expected=lambda g, a: solder_ball.ball_diameter(a.print_volume * a.metal_share),
            within=relative(0.02),
            because="a third root forgives much of the uncertainty of the print",
            plausible=(0.05, 0.6),
            working="ball = (6 * print_volume * metal_share / 100 / pi) ** (1 / 3)",
            slips=(
                Slip(
                    "flux melted in",
                    lambda g, a: solder_ball.ball_diameter(a.print_volume),
                    "You made a ball of the whole paste. The flux leaves.",
                ),
                Slip(
                    "all transferred",
                    lambda g, a: solder_ball.ball_diameter(_opening(g) * g.foil * a.metal_share),
                    "You took all the paste in the opening. Take what stays on the land.",
                ),
                Slip(
                    "radius",
                    lambda g, a: solder_ball.ball_diameter(a.print_volume * a.metal_share) / 2,
                    "That is the radius of the ball.",
                ),
                Slip(
                    "share by mass",
                    lambda g, a: solder_ball.ball_diameter(a.print_volume * g.metal),
                    "You took the share by mass. A volume goes with the share by volume.",
                ),
            ),
        ),
        Number(
            "foil_needed",
            "The package wants balls of {wanted}. Through the same openings and with the same transfer, how thick "
            "would the foil have to be?",
            points=1,
            unit="mm",
            expected=lambda g, a: solder_ball.ball_volume(g.wanted) / (a.metal_share * g.transfer * _opening(g)),
            within=relative(0.02),
            because="a share of transfer is hardly known better",
            plausible=(0.1, 10),
            working="foil_needed = pi * wanted**3 / 6 / (metal_share / 100 * transfer / 100 * pi * opening**2 / 4)",
            hint="Turn the steps round: ball, alloy, paste, opening.",
            slips=(
                Slip(
                    "flux forgotten",
                    lambda g, a: solder_ball.ball_volume(g.wanted) / (g.transfer * _opening(g)),
                    "That foil holds the ball's volume of paste. Only a part of paste is alloy.",
                ),
                Slip(
                    "transfer forgotten",
                    lambda g, a: solder_ball.ball_volume(g.wanted) / (a.metal_share * _opening(g)),
                    "You let all the paste leave the opening.",
                ),
                Slip(
                    "diameters in proportion",
                    lambda g, a: g.foil * g.wanted / a.ball,
                    "You scaled the foil like the diameter. What the foil holds is a volume: it goes with the cube of the ball's diameter.",
                ),
                Slip(
                    "areas in proportion",
                    lambda g, a: g.foil * (g.wanted / a.ball) ** 2,
                    "You scaled the foil like the ball's area. What it holds is a volume.",
                ),
            ),
        ),
        Choice(
            "way_to_go",
            "Work out the area ratio that this foil would have (IPC-7525 asks for 0.66). How do you make the balls?",
            points=1,
            options={
                "thick foil": "print through that foil and press harder",
                "preformed balls": "place ready-made balls in a tacky flux",
                "print twice": "print through the thin foil, wet on wet",
                "wider": "print through wider openings, land or not",
            },
            expected=lambda g, a: "preformed balls",
            slips={
                "thick foil": "The paste would hang on the wall of such an opening and not on the land.",
                "wider": "Paste beside the land draws in or stays behind as a stray ball between the joints.",
                "print twice": "The second pass finds the openings standing on the first print: nothing is added.",
            },
        ),
    ),
    cases=(
        Case("wall_ratio", 0.667, 0.0005, "geometry: opening 0.40 mm, foil 0.15 mm", "computed"),
        Case("print_volume", 0.01602, 0.000005, "geometry: opening 0.40 mm, foil 0.15 mm, 85 %", "computed"),
        Case(
            "metal_share", 54.9, 0.05, "densities 7400 and 1000 kg/m³ of a supplier's notes, 90 % by mass", "computed"
        ),
        Case(
            "metal_share",
            49.8,
            0.05,
            "densities 7400 and 1000 kg/m³ of a supplier's notes, 88 % by mass",
            "computed",
            givens={"metal": 88},
        ),
        Case(
            "ball",
            0.248,
            0.0005,
            "geometry: 0.01602 mm³ of paste, half of it alloy",
            "computed",
            earlier={"metal_share": 50},
        ),
        Case(
            "foil_needed",
            1.6,
            0.05,
            "worked example in an assembly forum: ball 0.6 mm from an opening of 0.42 mm, half alloy",
            "published-second-hand",
            givens={"opening": 0.42, "wanted": 0.6, "transfer": 100},
            earlier={"metal_share": 50},
        ),
        Case(
            "wall_ratio",
            0.07,
            0.005,
            "worked example in an assembly forum: opening 0.42 mm in a foil of 1.6 mm",
            "published-second-hand",
            givens={"opening": 0.42, "foil": 1.6},
        ),
    ),
    caution=SOLDER,
    sound=lambda drawn: _needs_balls(drawn),
    floor=0.04,
)


def _needs_balls(drawn):
    """Whether the foil for the ball wanted breaks the area ratio as clearly as the last question says."""
    g = PASTE_BALL.values(drawn)
    share = solder_ball.metal_volume_fraction(g.metal, g.alloy_density, g.flux_density)
    needed = solder_ball.ball_volume(g.wanted) / (share * g.transfer * _opening(g))
    return solder_ball.round_area_ratio(g.opening, needed) < 0.21


def _volume(g):
    return solder_ball.ball_volume(g.ball)


JOINT_HEIGHT = Exercise(
    id="joint-height",
    number=20,
    title="Find how high a ball stands once it is melted",
    setup=(
        "A solder ball, {ball} in diameter, melts between two equal round lands, one on the package and one on the "
        "board. Each land is {reduction} smaller in diameter than the ball. Leave the weight of the package out. The "
        "joint is then a slice of a sphere, cut off flat at both lands, with the ball's volume: V = (π h / 6) × (6 r² "
        "+ h²), with the land's radius r and the joint's height h. There is only one h for a volume: find it by "
        "trying, or solve for it."
    ),
    givens=dict(
        ball=Pick(0.6, (0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.75), "mm"),
        reduction=Quantity(25, "%", low=15, high=27, step=1),
    ),
    parts=(
        Number(
            "land",
            "What is the diameter of a land?",
            points=1,
            unit="mm",
            expected=lambda g, a: g.ball * (1 - g.reduction),
            within=relative(0.005),
            because="only rounding is left",
            plausible=(0.13, 1.5),
            working="land = ball * (1 - reduction / 100)",
            slips=(
                Slip(
                    "what comes off",
                    lambda g, a: g.ball * g.reduction,
                    "That is what comes off. The land is what is left.",
                ),
                Slip(
                    "larger",
                    lambda g, a: g.ball * (1 + g.reduction),
                    "You made the land larger than the ball. It is smaller.",
                ),
                Slip(
                    "divided",
                    lambda g, a: g.ball / (1 + g.reduction),
                    "You divided. The share counts from the ball: take it off the ball.",
                ),
            ),
        ),
        Number(
            "ball_volume",
            "What is the volume of the ball?",
            points=1,
            unit="mm³",
            expected=lambda g, a: _volume(g),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.0088, 0.36),
            working="ball_volume = pi * ball**3 / 6",
            slips=(
                Slip(
                    "diameter as radius",
                    lambda g, a: 8 * _volume(g),
                    "Eight times too much: you put the diameter in place of the radius.",
                ),
                Slip(
                    "half a ball",
                    lambda g, a: _volume(g) / 2,
                    "That is half a ball.",
                ),
            ),
        ),
        Number(
            "height",
            "How high is the joint?",
            points=3,
            unit="mm",
            expected=lambda g, a: solder_ball.joint_height(a.ball_volume, a.land / 2, a.land / 2),
            within=relative(0.01),
            because="trying by hand reaches this; a real package sits lower by its weight",
            plausible=(0.05, 1),
            working="""
# Try two thirds of the ball. Then go by what lacks: (volume wanted - volume of the try) / (area at the middle).
try_1 = 2 / 3 * ball
try_2 = try_1 + (ball_volume - pi * try_1 / 6 * (6 * (land / 2)**2 + try_1**2)) / (pi * ((land / 2)**2 + try_1**2 / 2))
try_3 = try_2 + (ball_volume - pi * try_2 / 6 * (6 * (land / 2)**2 + try_2**2)) / (pi * ((land / 2)**2 + try_2**2 / 2))
height = try_3 + (ball_volume - pi * try_3 / 6 * (6 * (land / 2)**2 + try_3**2)) / (pi * ((land / 2)**2 + try_3**2 / 2))
""",
            hint="Start with about two thirds of the ball. Too much volume: lower; too little: higher.",
            slips=(
                Slip(
                    "cylinder on the land",
                    lambda g, a: a.ball_volume / (pi * a.land**2 / 4),
                    "You made a cylinder as wide as the land. The joint bulges out and is lower.",
                ),
                Slip(
                    "land's diameter as radius",
                    lambda g, a: solder_ball.joint_height(a.ball_volume, a.land, a.land),
                    "You put the land's diameter where its radius belongs.",
                ),
                Slip(
                    "one land",
                    lambda g, a: solder_ball.cap_height(a.ball_volume, a.land / 2),
                    "That is a drop on one land. Here both ends are held.",
                ),
            ),
        ),
        Number(
            "belly",
            "How wide is the joint at its middle? (It is a slice of a sphere, and the sphere's middle lies halfway "
            "up.)",
            points=2,
            unit="mm",
            expected=lambda g, a: solder_ball.joint_belly(a.height, a.land / 2, a.land / 2),
            within=relative(0.01),
            because="it carries little of the uncertainty of the height",
            plausible=(0.1, 2),
            working="belly = 2 * sqrt((land / 2)**2 + (height / 2)**2)",
            hint="From the sphere's middle to the rim of a land: half the height up, and the land's radius across.",
            slips=(
                Slip(
                    "radius",
                    lambda g, a: solder_ball.joint_belly(a.height, a.land / 2, a.land / 2) / 2,
                    "That is half of the joint's width.",
                ),
                Slip(
                    "whole height",
                    lambda g, a: 2 * (a.land**2 / 4 + a.height**2) ** 0.5,
                    "You went the whole height up. The sphere's middle lies halfway.",
                ),
            ),
        ),
        Choice(
            "sags",
            "The board is brought to melting once more, and now some joints near one corner are clearly lower than "
            "you found, with wider bellies. What do you suspect first?",
            points=1,
            options={
                "more solder": "the balls at this place held more solder",
                "warped": "the package or the board has bowed there",
                "lost solder": "the balls at this place have lost solder",
            },
            expected=lambda g, a: "warped",
            slips={
                "more solder": "More solder between the same lands stands higher, not lower.",
                "lost solder": "Less solder would be thinner too. These bellies are wider: the solder is there.",
            },
        ),
    ),
    cases=(
        Case(
            "ball_volume", 0.11, 0.005, "worked example in an assembly forum: ball of 0.6 mm", "published-second-hand"
        ),
        Case("ball_volume", 0.2209, 0.00005, "geometry: ball of 0.75 mm", "computed", givens={"ball": 0.75}),
        Case(
            "height",
            0.20,
            0.005,
            "a device maker's knowledge base: a ball of 0.30 mm gives about 0.20 mm",
            "published-second-hand",
            givens={"ball": 0.30},
            earlier={"land": 0.25, "ball_volume": 0.014137},
            note="on lands of 0.25 mm, as IPC-7095 has them for this ball (second-hand)",
        ),
        Case(
            "height",
            0.201,
            0.0005,
            "root of the spherical segment: 0.30 mm on 0.25 mm",
            "computed",
            earlier={"land": 0.25, "ball_volume": 0.014137},
        ),
        Case(
            "height",
            0.437,
            0.0005,
            "root of the spherical segment: 0.60 mm on 0.45 mm",
            "computed",
        ),
        Case(
            "belly",
            0.627,
            0.0005,
            "root of the spherical segment: 0.60 mm on 0.45 mm",
            "computed",
        ),
        Case(
            "height",
            0.347,
            0.0005,
            "root of the spherical segment: 0.50 mm on 0.40 mm",
            "computed",
            givens={"ball": 0.5, "reduction": 20},
        ),
        Case(
            "land",
            0.40,
            0.005,
            "IPC-7095: a ball of 0.50 mm, lands 20 % smaller",
            "published-second-hand",
            givens={"ball": 0.5, "reduction": 20},
        ),
        Case(
            "land",
            0.45,
            0.005,
            "IPC-7095: a ball of 0.60 mm, lands 25 % smaller",
            "published-second-hand",
        ),
    ),
    caution=SOLDER,
    floor=0.05,
)

EXERCISES = (SLOT, PASTE_BALL, JOINT_HEIGHT)
