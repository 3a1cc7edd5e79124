"""Six joints cut open: where each one parted, and which of them heat can mend."""

from itertools import permutations

from graders.questions import Case, Choice, Exercise, Pointing, Quantity
from workbook.drawings import joint

SCENES = tuple(permutations(joint.SEEN))
"""Each order in which the six kinds can stand."""

PLACES = {
    letter: f"the joint {place}"
    for letter, place in zip(
        "abcdef",
        ("above left", "above in the middle", "above right", "below left", "below in the middle", "below right"),
        strict=True,
    )
}


def _row(g):
    return joint.row_cut_open(SCENES[g["scene"] - 1]).lettered()


def _that(g, tells):
    return [region.name for region in _row(g).regions if region.tells == tells]


CUT_OPEN = Exercise(
    id="six-joints",
    number=21,
    title="Say where six joints parted",
    setup=(
        "A package failed, and six of its joints were cut through the middle and drawn: section {scene} of a series, invented. "
        "Above stands the package with its land, below the board with its own. A heavy line is where two faces have come apart or never came "
        "together.\n\nWhoever cannot see the drawing finds in its words what is seen at each letter."
    ),
    givens=dict(scene=Quantity(95, "1", low=1, high=len(SCENES), step=1)),
    parts=(
        Pointing(
            "never_joined",
            "At which joints did ball and board **never** become one? (The fault was there on the first day.)",
            points=2,
            options=PLACES,
            expected=lambda g, a: _that(g, "never joined"),
            hint="A ball that kept its round shape was not wetted. Two of the six did.",
        ),
        Pointing(
            "board_torn",
            "At which joints does the fault lie in the **board**, or between the board and its land, with all of the solder whole?",
            points=2,
            options=PLACES,
            expected=lambda g, a: _that(g, "board torn"),
            hint="Follow the heavy line. Does it lie in the solder, or below the copper? Two of the six are meant.",
        ),
        Pointing(
            "fatigue",
            "Which joint shows what years of warming and cooling do? (A list of one letter.)",
            points=1,
            options=PLACES,
            expected=lambda g, a: _that(g, "fatigue"),
            hint="Such a crack begins at the edge, close to a land, and goes inwards.",
        ),
        Choice(
            "mend",
            "The customer asks for “a reflow with good flux” for a sister board with the same faults. What do you say?",
            points=1,
            options={
                "all": "it can mend them all: what has parted melts together",
                "part": "it can mend the faults in solder, and no other one",
                "none": "it can mend none of them: each needs a new board",
            },
            expected=lambda g, a: "part",
            slips={
                "all": "Heat melts solder. It glues no laminate and lays no land back down.",
                "none": "A crack in solder and faces that never wetted can become a joint, with flux and heat. For how long is another question.",
            },
        ),
    ),
    cases=(Case("mend", "part", 0, "resin torn under a land is not mended by reflow", "common-practice"),),
    drawing=_row,
    floor=0.35,
)
