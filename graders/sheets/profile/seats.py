"""Beads on a board that is about to be heated: which read what they are meant for."""

from itertools import combinations

from graders.questions import Case, Choice, Exercise, Pointing, Quantity
from graders.sheets.profile.cautions import READING
from workbook.drawings import station

TOO_HIGH = ("plate", "above", "gas")
"""Seats at which a bead reads too high while the board is heated; under loose tape it reads too low."""

RIGHT = tuple(name for name, (*_, tells) in station.SEATS.items() if not tells)
WRONG = tuple(name for name in station.SEATS if name not in RIGHT)
SCENES = tuple(
    right + wrong
    for good, bad in ((4, 2), (3, 3))
    for right in combinations(RIGHT, good)
    for wrong in combinations(WRONG, bad)
)
"""The beads of each board of the series."""

BEADS = {letter: f"the bead {letter}" for letter in "abcdef"}


def _shown(g):
    return [name for name in station.SEATS if name in SCENES[g["scene"] - 1]]


def _lettered(g, names):
    return [letter for letter, name in zip(BEADS, _shown(g), strict=True) if name in names]


SEATS = Exercise(
    id="right-and-wrong-seats",
    number=25,
    title="Point at the beads that mislead",
    setup=(
        "A colleague has set six beads on an invented board, number {scene} of a series, and wants to bring plate and nozzle up. The drawing shows "
        "the station from the side.\n\nWhoever cannot see the drawing finds in its words how each bead sits."
    ),
    givens=dict(scene=Quantity(38, "1", low=1, high=len(SCENES), step=1)),
    parts=(
        Pointing(
            "misleading",
            "Which beads will not read a joint, a part or the board, whatever their label says?",
            points=3,
            options=BEADS,
            expected=lambda g, a: _lettered(g, WRONG),
            hint="For each bead ask: what does it touch, and what holds it there?",
        ),
        Pointing(
            "too_high",
            "Which of those will read **too high** while the board is heated?",
            points=2,
            options=BEADS,
            expected=lambda g, a: _lettered(g, TOO_HIGH),
            hint="A bead that touches nothing goes to what is round it: gas, or the glow of the plate. Air that stands still under a tape warms late.",
        ),
        Choice(
            "act",
            "The nozzle is about to come down. What do you do?",
            points=1,
            options={
                "sum": "go on, and take their error off by a sum",
                "leave": "go on: the others are right, and will do",
                "move": "stop: set them anew, tug at each, warm each",
                "gas": "go on, and lower the gas to be safe",
            },
            expected=lambda g, a: "move",
            slips={
                "sum": "Film and contact are not known well enough to correct a reading. They say how to set a bead.",
                "leave": "A wrong bead on a log is believed later, by somebody who has not seen it hang in the air.",
                "gas": "You would steer by a number that means nothing.",
            },
        ),
    ),
    cases=(Case("act", "move", 0, "every bead is checked for hold and for its answer before heat", "common-practice"),),
    caution=READING,
    drawing=lambda g: station.seats(_shown(g)).lettered(),
    floor=0.35,
)
