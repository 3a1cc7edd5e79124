"""What a board shows before anything is wiped: marks of earlier work to point at, and photographs that prove something."""

from itertools import combinations

from graders.questions import Case, Choice, Exercise, Pick, Pointing, Quantity, Several
from workbook.drawings import marks

PLACES = {
    "a": "the board round the large package U1",
    "b": "the die of U1",
    "c": "the second package U2",
    "d": "the board right of U2",
    "e": "the small parts C1 to C3",
    "f": "the small part C4",
    "g": "the board at the lower left",
    "h": "the connector J1",
    "i": "between the two test points",
    "j": "the board right of the test points",
    "k": "the screw at the lower right",
    "l": "the screw at the upper left",
    "m": "the printed label",
}
"""Where each letter of the drawing stands; a test holds them to the drawing."""

OF_HEAT = {"a", "d", "f", "g", "i"}
"""Places whose mark, where there is one, was made by heat or molten solder."""

SCENES = tuple(
    shown
    for count in (4, 5)
    for shown in combinations(marks.MARKS, count)
    if len({"flux", "turned-part", "solder-balls", "scorch", "wire"} & set(shown)) >= 2
)
"""The marks shown on each board of the series."""


def _board(g):
    return marks.earlier_repair(SCENES[g["scene"] - 1]).lettered()


def _telling(g):
    return [region.name for region in _board(g).regions if region.tells]


POINT = Exercise(
    id="point-at-the-marks",
    number=16,
    title="Point at what tells of an earlier repair",
    setup=(
        "Before anything is wiped, peeled or plugged in, you look. The drawing shows an invented board from above, number {scene} of "
        "a series; letters mark thirteen places. Most are as they left the factory. Some tell of somebody's work since.\n\n"
        "Whoever cannot see the drawing finds in its words what is seen at each letter."
    ),
    givens=dict(scene=Quantity(12, "1", low=1, high=len(SCENES), step=1)),
    parts=(
        Pointing(
            "worked_on",
            "Which places tell of earlier work?",
            points=3,
            options=PLACES,
            expected=lambda g, a: _telling(g),
            hint="Go from letter to letter and ask: would a factory have sent it out like this?",
            slips={
                "c": "U2 stands straight, and its edge is clean. That it is large is no mark.",
                "e": "C1 to C3 are square and even, as the factory's machine sets them.",
                "h": "The pins of J1 are all alike.",
                "l": "That screw's cross has straight edges: nobody's driver has slipped in it.",
                "m": "The label is flat, and nobody has lifted a corner of it.",
            },
        ),
        Pointing(
            "by_heat",
            "Which of them say that something was heated there, or that solder was melted?",
            points=2,
            options=PLACES,
            expected=lambda g, a: [letter for letter in _telling(g) if letter in OF_HEAT],
            hint="Flux, solder and scorched resin take heat. What does a screwdriver leave, and what does paste?",
            slips={
                "b": "Paste is put on cold. It says that the sink was off.",
                "j": "A scratch is made by a tool, cold.",
                "k": "A screw is worn by a driver.",
            },
        ),
        Choice(
            "counted",
            "The owner says that nobody ever worked on it. How many heats does U1 have so far in your record?",
            points=1,
            options={
                "assembly": "assembly alone, and the owner's word is written down beside it",
                "repaired once": "assembly and one repair at the least, with the marks as the reason",
                "nothing": "none that are sure, so that the limit need not be looked at",
            },
            expected=lambda g, a: "repaired once" if "a" in _telling(g) else "assembly",
            slips={
                "assembly": "Look once more round U1. A mark there goes before a word.",
                "repaired once": "The marks on this board are elsewhere. A heat at another place is no heat of U1.",
                "nothing": "Assembly is always one. What is not known counts against the job, never for it.",
            },
        ),
    ),
    cases=(
        Case(
            "counted",
            "repaired once",
            0,
            "residue of flux at a package's edge means that it was reworked",
            "common-practice",
        ),
        Case(
            "counted", "assembly", 0, "a package is counted by its own marks", "common-practice", {"scene": len(SCENES)}
        ),
    ),
    drawing=_board,
    floor=0.35,
)

DISPUTES = {
    "the scratch across the lid is the shop's": "lid",
    "the package was never heated before": "edge",
    "the work on the bill was not done": "again",
}
"""What a customer may say, and the photograph that answers it."""

PHOTOGRAPHS = Exercise(
    id="photographs",
    number=17,
    title="Take photographs that prove something",
    setup=(
        "An invented job: a board in its case has come in, and goes out again in two weeks. Then the customer writes: "
        "“{says}.” What was photographed, and how, decides who is believed. (How a photograph is taken for a record is common practice; what a "
        "court takes is for your local law.)"
    ),
    givens=dict(says=Pick("the package was never heated before", tuple(DISPUTES))),
    drawing=lambda g: marks.earlier_repair(("flux", "worn-screw")),
    parts=(
        Several(
            "before",
            "The work itself removes what some photographs show, so that they can never be taken later. Which of these?",
            points=2,
            options={
                "lid": "the closed case from all sides, with its seals and label, as it was handed over",
                "edge": "the package's edge close up, as it is found, before it is wiped",
                "sink": "sink, pads and paste as they come off, each with its place",
                "wiped": "the package's edge close up, with the residue off and all of it clean",
                "again": "the same views once more, in the same light, as the board goes out",
                "new": "the best looking of the new joints, alone and in a good light",
            },
            expected=lambda g, a: ["lid", "edge", "sink"],
            slips={
                "wiped": "What was wiped off is in no picture any more.",
                "again": "That is the second half of the record: it is taken last.",
                "new": "One good joint, chosen by who made it, says nothing of the others.",
            },
        ),
        Several(
            "within",
            "What makes a photograph worth keeping as evidence?",
            points=2,
            options={
                "number": "the job's number lies in the picture",
                "scale": "a scale lies beside what is shown",
                "view": "before and after are taken from one place, in one light",
                "original": "the file is kept as the camera wrote it, with its time",
                "bright": "the file is made brighter until the mark stands out",
                "who": "the owner's name and address can be read in it",
            },
            expected=lambda g, a: ["number", "scale", "view", "original"],
            slips={
                "bright": "A changed file proves that it was changed. Keep the original, and light the board better.",
                "who": "The job's number ties it to the job. A name and an address are the customer's, and are not yours to spread.",
            },
        ),
        Choice(
            "answers",
            "Which photographs show whether this customer is right?",
            points=1,
            options={
                "lid": "the closed case as it was handed over, with its label",
                "edge": "the package's edge as it was found, before it was wiped",
                "again": "the place that was worked on, before the work and after it",
                "new": "the best of the new joints, very close",
            },
            expected=lambda g, a: DISPUTES[g["says"]],
            slips={
                "lid": "The closed case shows what was there outside. Is that what is disputed?",
                "edge": "The package's edge shows earlier heat. Is that what is disputed?",
                "again": "Before beside after shows what was done. Is that what is disputed?",
                "new": "It has neither a before nor a place.",
            },
        ),
        Choice(
            "missed",
            "You find that the edge was wiped before anybody photographed it. What goes into the record?",
            points=1,
            options={
                "stage": "some flux is put on, and the photograph is taken now",
                "written line": "who saw it and when, and that it was wiped unphotographed",
                "leave": "nothing: what has no photograph was not there",
                "other": "a photograph of the same mark on some other board",
            },
            expected=lambda g, a: "written line",
            slips={
                "stage": "That is forged. One such picture, and none of yours is believed again.",
                "leave": "A note of what was seen, made at once and signed, is weaker than a picture and far better than nothing.",
                "other": "Another board says nothing of this one.",
            },
        ),
    ),
    cases=(
        Case("answers", "edge", 0, "a record of the state before the work answers who did what", "common-practice"),
    ),
    floor=0.4,
)

EXERCISES = (POINT, PHOTOGRAPHS)
