"""Six edges looked at before the heat: glue, underfill, whiskers, and what is only a stain."""

from itertools import permutations

from graders.questions import Case, Choice, Exercise, Number, Pointing, Quantity, Slip, relative
from graders.sheets.joints.cut_open import PLACES
from graders.sheets.joints.inspection import UNPLUGGED
from workbook.bench.joints import hold_down
from workbook.drawings import packages

SCENES = tuple(permutations(packages.AT_EDGES))
"""Each order in which the six kinds can stand."""

EDGES = {letter: words.replace("the joint", "the edge") for letter, words in PLACES.items()}


def _board(g):
    return packages.edges(SCENES[g["scene"] - 1]).lettered()


def _that(g, *tells):
    return [region.name for region in _board(g).regions if region.tells in tells]


HELD_DOWN = Exercise(
    id="look-along-the-edges",
    number=23,
    title="Look along the edges before you heat",
    setup=(
        "Before any heat you look along the edges of an unplugged, discharged board. The drawing shows six places, number {scene} of a "
        "series, invented: four packages cut open at their edge, and two pairs of leads from the front.\n\nAnother package, not drawn, is held by "
        "four dots of glue at its corners, each {dot} by {dot} under the body. At the temperature of the reflow the glue still "
        "bears {strength}, if it is pulled evenly (an invented value: the maker's paper says). The vacuum cup is {cup} across inside its lip, "
        "and the pressure in it is {below} below that of the air.\n\nWhoever cannot see the drawing finds in its words what is seen at each letter."
    ),
    givens=dict(
        scene=Quantity(95, "1", low=1, high=len(SCENES), step=1),
        dot=Quantity(3, "mm", low=2, high=4, step=0.5),
        strength=Quantity(2, "MPa", low=1.2, high=3, step=0.1),
        cup=Quantity(10, "mm", low=8, high=14, step=1),
        below=Quantity(70, "kPa", low=50, high=85, step=5),
    ),
    drawing=_board,
    parts=(
        Pointing(
            "held",
            "At which places will the package stay fast when all its solder is liquid?",
            points=2,
            options=EDGES,
            expected=lambda g, a: _that(g, "held", "full"),
            hint="Look for what reaches from the board up to the package, besides balls. Two of the six are meant.",
        ),
        Pointing(
            "refused",
            "This shop refuses a package whose whole gap is filled, unless the resin's maker says how it comes off. Which place is that?",
            points=1,
            options=EDGES,
            expected=lambda g, a: _that(g, "full"),
            hint="One of the two of Part 1 still has an open gap behind.",
        ),
        Pointing(
            "bridged",
            "Where may a whisker of tin make a short?",
            points=1,
            options=EDGES,
            expected=lambda g, a: _that(g, "short"),
            hint="A whisker that ends in the air joins nothing yet.",
        ),
        Number(
            "glue_force",
            "Which force would it take to pull all four dots off evenly?",
            points=2,
            unit="N",
            expected=lambda g, a: hold_down.glue_hold(g.strength, 4 * g.dot**2),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(15, 200),
            working="glue_force = strength * 4 * dot**2",
            hint="1 MPa is 1 N on each mm².",
            slips=(
                Slip("one dot", lambda g, a: g.strength * g.dot**2, "That is one dot. There are four."),
                Slip(
                    "not squared",
                    lambda g, a: g.strength * 1e-3 * 4 * g.dot,
                    "You counted the dots' width. It is their area that holds.",
                ),
            ),
        ),
        Number(
            "cup_force",
            "With which force does the cup pull at most?",
            points=2,
            unit="N",
            expected=lambda g, a: hold_down.cup_pull(g.below, g.cup),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2, 14),
            working="cup_force = below / 1000 * pi * cup**2 / 4",
            hint="The area of a circle, times the pressure. 1 kPa is a thousandth of 1 N on each mm².",
            slips=(
                Slip(
                    "diameter for radius",
                    lambda g, a: 4 * hold_down.cup_pull(g.below, g.cup),
                    "You took the diameter for the radius: four times too much.",
                ),
                Slip(
                    "square cup",
                    lambda g, a: g.below * g.cup**2,
                    "That is a square cup. A round one has π/4 of it.",
                ),
            ),
        ),
        Choice(
            "lift",
            "All solder is liquid, and the glued package does not come with the cup. What do you do?",
            points=1,
            options={
                "pull": "pull harder with a lever, as all its balls are liquid by now",
                "stop": "stop, let it cool, and take the glue off first as its maker says",
                "hotter": "heat on at a higher set point until the glue burns off by itself",
            },
            expected=lambda g, a: "stop",
            slips={
                "pull": "Compare Parts 4 and 5. What gives way first is the land beside the glue.",
                "hotter": "Glue that chars still holds, and package and laminate are cooked by then.",
            },
        ),
        Choice(
            "whisker",
            "And the hair that goes across?",
            points=1,
            options={
                "tape": "photograph it, take it off the dead board with tape, write its place down",
                "blow": "blow it off with air, so that no tool has to touch the leads",
                "leave": "leave it: so thin a hair melts at once when power is applied",
            },
            expected=lambda g, a: "tape",
            slips={
                "blow": "Air carries it to the next pair of leads, where nobody looks for it.",
                "leave": "Some melt. Others carry current enough to end the part first.",
            },
        ),
    ),
    cases=(
        Case("glue_force", 72, 0.5, "four dots of 9 mm² at 2 N on each mm²", "computed"),
        Case(
            "cup_force",
            7.958,
            0.0005,
            "standard atmosphere 101.325 kPa on a circle of 10 mm",
            "computed",
            {"below": 101.325},
        ),
        Case("lift", "stop", 0, "glue at the corners comes off before the package", "common-practice"),
    ),
    caution=f"{UNPLUGGED} Glue and resin that are heated or cut give off fume and dust: extract them.",
    floor=0.3,
)
