"""The short check after the reflow: one reading with its budget and guard band, and what has changed since before."""

from math import hypot, sqrt

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.signoff.words import DEAD, story
from workbook.bench.shorts import meter, uncertainty
from workbook.bench.signoff import budget, conformity

ANSWERS = {
    "pass": "inside the limit by the guard band or more",
    "conditional pass": "inside the limit, but by less than the guard band",
    "conditional fail": "outside the limit, by no more than the guard band",
    "fail": "outside the limit by more than the guard band",
}
"""The four answers of ILAC-G8:09/2019, 4.2.3, in our words."""


def _meter_limit(g):
    return meter.accuracy_limit(g.raw, g.share, g.counts, g.digit)


def _touch(g):
    """Return what moves from one reading to the next: the contacts and the display."""
    return budget.root_sum_square(uncertainty.rectangular(g.contact), uncertainty.display_step(g.digit))


RAIL = Exercise(
    id="short-check",
    number=5,
    title="Check the rail for a short, and say how sure you are",
    setup=story(
        "Before any power: the core rail of the processor against ground, on the dead and cold board.",
        "The rail reads {raw}; with the probes pressed together the meter shows {together}. On this range the meter is good "
        "to ±({share} of the raw reading + {counts} counts of {digit}). The contacts move a reading by up to ±{contact} from one "
        "touch to the next, and the display moves in steps of {digit}, which is not in the meter's limit. Take each to be "
        "evenly likely inside its bounds: half the width over √3 is its standard uncertainty. The three are independent of each other; together they "
        "make the combined standard uncertainty u, and U = 2u. Take the reading with the probes "
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
        least=Pick(2.0, (1.6, 1.8, 2.0, 2.2, 2.4), "Ω"),
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
            plausible=(0.3, 5),
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
            within=relative(0.02),
            because="an uncertainty is worth two figures",
            plausible=(0.02, 0.35),
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
            ),
        ),
        Number(
            "combined",
            "What is the combined standard uncertainty u of the reading, from meter, contacts and display?",
            points=2,
            unit="Ω",
            expected=lambda g, a: hypot(a.meter_line, _touch(g)),
            within=relative(0.02),
            because="an uncertainty is worth two figures",
            plausible=(0.02, 0.8),
            working="combined = sqrt(meter_line**2 + (contact / sqrt(3))**2 + (digit / 2 / sqrt(3))**2)",
            slips=(
                Slip(
                    "added straight",
                    lambda g, a: a.meter_line + uncertainty.rectangular(g.contact) + uncertainty.display_step(g.digit),
                    "You added them straight. They are independent of each other: their squares add.",
                ),
                Slip(
                    "contact as it stands",
                    lambda g, a: sqrt(a.meter_line**2 + g.contact**2 + uncertainty.display_step(g.digit) ** 2),
                    "You put the contacts' bound in as it stands. It is a bound like the meter's.",
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
            "meter error are the same in both readings and drop out (take it as exact); contacts and display are new each time.",
            points=2,
            unit="Ω",
            expected=lambda g, a: 2 * sqrt(2) * _touch(g),
            within=relative(0.02),
            because="an uncertainty is worth two figures",
            plausible=(0.05, 1.5),
            working="change_doubt = 2 * sqrt(2 * ((contact / sqrt(3))**2 + (digit / 2 / sqrt(3))**2))",
            hint="Which lines are in the difference, and how often is each?",
            slips=(
                Slip(
                    "one reading",
                    lambda g, a: 2 * _touch(g),
                    "That is for one reading. A change has two, each with its own contacts and display.",
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
            "Has the rail changed? Hold the change, the reading now minus the one before, against your answer to Part 5.",
            points=1,
            options={
                "not shown": "the change is no larger than its expanded uncertainty: the readings do not show it",
                "moved": "the change is larger than its expanded uncertainty",
            },
            expected=lambda g, a: "moved" if abs(g.raw - g.before) > a.change_doubt else "not shown",
            hint="Leave out the sign of the change. Is what is left more than your answer to Part 5?",
        ),
    ),
    published=(
        Case(
            "combined",
            0.029,
            0.0005,
            "JCGM 100:2008 (GUM), F.2.2.1: a display with steps of 0.1 Ω and nothing else",
            "published-second-hand",
            givens={"share": 0, "counts": 0, "contact": 0},
        ),
    ),
    caution=DEAD,
    sound=lambda drawn: _clear_of_edges(RAIL.values(drawn)),
    floor=0.23,
)


def _clear_of_edges(g):
    """Whether the rail is near enough to its limit for a question, and clear of every edge of the rule."""
    left = g.raw - g.together - g.least
    band = 2 * hypot(uncertainty.rectangular(_meter_limit(g)), _touch(g))
    edges = (0, band, -band)
    change = abs(g.raw - g.before)
    return (
        abs(left) < 2.5 * band
        and all(abs(left - edge) > 0.03 for edge in edges)
        and 0.05 < change < 1.5
        and abs(change - 2 * sqrt(2) * _touch(g)) > 0.03
    )
