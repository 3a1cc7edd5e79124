"""The short check after the reflow: one reading with its budget and guard band, and what has changed since before."""

from math import hypot, sqrt

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.signoff.words import DEAD, story
from workbook.bench.shorts import meter, uncertainty
from workbook.bench.signoff import conformity

ANSWERS = {
    "pass": "inside the limit by the guard band or by more",
    "conditional pass": "inside the limit, but by less than the guard band",
    "conditional fail": "outside the limit, by no more than the guard band",
    "fail": "outside the limit by more than the guard band",
}
"""The four answers of ILAC-G8:09/2019, 4.2.3, in our words."""


def _meter_limit(g):
    return meter.accuracy_limit(g.raw, g.share, g.counts, g.digit)


def _touch(g):
    """Return what moves from one touch to the next."""
    return uncertainty.rectangular(g.contact)


RAIL = Exercise(
    id="short-check",
    number=5,
    title="Check the rail for a short, and say how sure you are",
    setup=story(
        "Before any power: the core rail of the processor against ground, on the dead and cold board.",
        "The rail reads {raw}; with the probes pressed together the meter shows {together}. On this range the meter is good "
        "to ±({share} of the raw reading + {counts} counts of {digit}). From one touch to the next the contacts and the last digit "
        "move a reading by up to ±{contact}. A limit ±a of which nothing more is known has a standard uncertainty of a/√3. The "
        "two are independent of each other: the combined standard uncertainty u is the root of the sum of their squares, and U = 2u. "
        "Keep u unrounded. Take the reading with the probes "
        "together as exact.\n\n"
        "Core rails are low by design. On sound boards of this kind the shop has found no less than {least}, and takes "
        "that as the lower limit (the shop's own figure). Before the job the same meter read {before} on the same rail, on the same range, with the "
        "same probes, not corrected for their leads.",
    ),
    givens=dict(
        raw=Quantity(2.6, "Ω", low=1.8, high=3.2, step=0.1),
        together=Quantity(0.3, "Ω", low=0.2, high=0.5, step=0.1),
        share=Pick(0.8, (0.5, 0.8, 1.0, 1.2), "%"),
        counts=Pick(3, (2, 3, 4), "1"),
        digit=Fixed(0.1, "Ω"),
        contact=Pick(0.15, (0.1, 0.15, 0.2, 0.25), "Ω"),
        least=Fixed(2.0, "Ω"),
        before=Quantity(1.9, "Ω", low=1.6, high=3.4, step=0.1),
    ),
    parts=(
        Number(
            "rail_ohms",
            "What is the resistance of the rail with the leads taken out?",
            points=1,
            unit="Ω",
            expected=lambda g, a: meter.lead_null(g.raw, g.together),
            within=absolute(0.02),
            because="both readings are exact as printed",
            plausible=(0.81, 5),
            working="rail_ohms = raw - together",
            slips=(
                Slip(
                    "leads added",
                    lambda g, a: g.raw + g.together,
                    "You added the leads. They are in the reading already, so they come off.",
                ),
            ),
        ),
        Number(
            "meter_line",
            "What is the standard uncertainty from the meter's limit alone?",
            points=2,
            unit="Ω",
            expected=lambda g, a: uncertainty.rectangular(_meter_limit(g)),
            within=relative(0.003),
            because="only rounding is left: keep three figures for the parts to come",
            plausible=(0.075, 0.28),
            working="meter_line = (share / 100 * raw + counts * digit) / sqrt(3)",
            hint="First the limit in ohm, the share and the counts together; then from the limit to the standard uncertainty.",
            slips=(
                Slip(
                    "limit as it stands",
                    lambda g, a: _meter_limit(g),
                    "That is the limit. Evenly likely inside a limit is less than that as a standard uncertainty.",
                ),
                Slip(
                    "share alone",
                    lambda g, a: uncertainty.rectangular(g.share * g.raw),
                    "You left out the counts. On a low reading they are the larger piece.",
                ),
                Slip(
                    "whole width",
                    lambda g, a: uncertainty.display_step(_meter_limit(g)),
                    "You took the limit for a whole width. The limit goes to both sides, so it is half the width already.",
                ),
                Slip(
                    "share of the corrected reading",
                    lambda g, a: uncertainty.rectangular(_meter_limit(g) - g.share * g.together),
                    "You took the share of the reading without the leads. The meter's limit goes with what it shows.",
                ),
            ),
        ),
        Number(
            "combined",
            "What is the combined standard uncertainty u of the reading, from meter and contacts?",
            points=2,
            unit="Ω",
            expected=lambda g, a: hypot(a.meter_line, _touch(g)),
            within=relative(0.01),
            because="it is used unrounded",
            plausible=(0.02, 0.8),
            working="combined = sqrt(meter_line**2 + (contact / sqrt(3))**2)",
            slips=(
                Slip(
                    "added straight",
                    lambda g, a: a.meter_line + uncertainty.rectangular(g.contact),
                    "You added them straight. They are independent of each other: their squares add.",
                ),
                Slip(
                    "contact as it stands",
                    lambda g, a: hypot(a.meter_line, g.contact),
                    "You put the contacts' limit in as it stands. It is a limit like the meter's.",
                ),
                Slip(
                    "contacts left out",
                    lambda g, a: a.meter_line,
                    "That is the meter alone. The contacts move the reading too.",
                ),
            ),
        ),
        Choice(
            "answer",
            "The guard band is U = 2u. Which of the four answers does the rail get against its lower limit?",
            points=1,
            options=dict(reversed(ANSWERS.items())),
            expected=lambda g, a: conformity.answer(a.rail_ohms, 2 * a.combined, lower=g.least),
            hint="Take the limit from the resistance of the rail. Is what is left above zero, and is it more than U?",
        ),
        Number(
            "change_doubt",
            "What is the expanded uncertainty, again twice the standard one, of the **change** since before the job? Leads and "
            "meter error are the same in both readings and drop out (take it as exact); the contacts are new each time.",
            points=2,
            unit="Ω",
            expected=lambda g, a: 2 * sqrt(2) * _touch(g),
            within=relative(0.02),
            because="an uncertainty is worth two figures",
            plausible=(0.05, 1.5),
            working="change_doubt = 2 * sqrt((contact / sqrt(3))**2 + (contact / sqrt(3))**2)",
            hint="Which lines are in the difference, and how often is each?",
            slips=(
                Slip(
                    "one reading",
                    lambda g, a: 2 * _touch(g),
                    "That is for one reading. A change has two, each with its own contacts.",
                ),
                Slip(
                    "meter counted",
                    lambda g, a: 2 * sqrt(2) * a.combined,
                    "You counted the meter's error in both readings. It is the same in both, and drops out of the change.",
                ),
                Slip(
                    "added straight",
                    lambda g, a: 4 * _touch(g),
                    "You added the two readings straight. They are independent of each other: their squares add.",
                ),
                Slip(
                    "not doubled",
                    lambda g, a: sqrt(2) * _touch(g),
                    "That is the standard uncertainty. The expanded one is twice as wide.",
                ),
            ),
        ),
        Choice(
            "moved",
            "Do the two readings show that the rail has changed? Compare the size of the change, whichever way it goes, with "
            "your answer to Part 5.",
            points=1,
            options={
                "not shown": "no: the change is no larger than its expanded uncertainty",
                "moved": "yes: the change is larger than its expanded uncertainty",
            },
            expected=lambda g, a: "moved" if abs(g.raw - g.before) > a.change_doubt else "not shown",
            hint="Leave out the sign of the change. Is what is left more than your answer to Part 5?",
        ),
        Choice(
            "next_step",
            "Before power is applied: what does the bench do with this rail? (A rail that passes only on a condition waits until a "
            "surer reading, or its owner, has spoken.)",
            points=1,
            options={
                "power": "apply power for a moment and feel what gets warm",
                "search": "hold the board: search for the leak, still unpowered",
                "four wires": "hold it: read again with four wires, or tell the owner",
                "go on": "go on to the first run, and write reading and U down",
            },
            expected=lambda g, a: _next_step(g, a),
            hint="Take your answer to Part 4. Only a pass goes on; only a reading outside the limit is searched.",
            slips={
                "power": "A rail that may be shorted is not powered: a leak can cost the processor, and a finger.",
                "search": "The reading is not below its limit: there is no leak yet to search for.",
                "four wires": "A surer reading is for a rail between the two bands. This one is not.",
                "go on": "Only a rail that passes by U or more goes on without another word.",
            },
        ),
    ),
    cases=(
        Case(
            "meter_line",
            0.57735,
            0.000005,
            "JCGM 100:2008 (GUM), 4.3.7: a limit of 1 and nothing else",
            "published-second-hand",
            givens={"share": 0, "counts": 10},
        ),
        Case("rail_ohms", 2.2, 0.005, "by hand: 2.5 less 0.3 Ω", "computed", givens={"raw": 2.5}),
        Case(
            "combined",
            0.05,
            0.0005,
            "root of the sum of squares by hand: 0.03 and 0.04",
            "computed",
            givens={"contact": 0.069282},
            earlier={"meter_line": 0.03},
        ),
        Case(
            "change_doubt",
            0.283,
            0.0005,
            "root of the sum of squares by hand: twice the root of two times 0.1²",
            "computed",
            givens={"contact": 0.173205},
        ),
    ),
    caution=DEAD,
    sound=lambda drawn: _clear_of_edges(RAIL.values(drawn)),
    floor=0.25,
)


def _next_step(g, a):
    return {"pass": "go on", "conditional pass": "four wires"}.get(
        conformity.answer(a.rail_ohms, 2 * a.combined, lower=g.least), "search"
    )


def _clear_of_edges(g):
    """Whether the rail is near enough to its limit for a question, and clear of every edge of the rule."""
    left = g.raw - g.together - g.least
    band = 2 * hypot(uncertainty.rectangular(_meter_limit(g)), _touch(g))
    edges = (0, band, -band)
    change = abs(g.raw - g.before)
    return (
        _touch(g) > 0.3 * uncertainty.rectangular(_meter_limit(g))
        and abs(left) < 2.5 * band
        and all(abs(left - edge) > 0.03 for edge in edges)
        and 0.05 < change < 1.5
        and abs(change - 2 * sqrt(2) * _touch(g)) > 0.03
    )
