"""One board from the door to the parcel: what is asked at its gates, and the whole job, act by act."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from graders.questions import (
    Acts,
    Case,
    Exercise,
    Fixed,
    Margin,
    Number,
    Pick,
    Quantity,
    Slip,
    Unplayable,
    Worked,
    absolute,
    relative,
)
from graders.sheets.profile.cautions import HOT
from graders.sheets.signoff.words import MAINS
from workbook.bench.intake.capacitors import voltage_after
from workbook.bench.intake.causes import updated_causes
from workbook.bench.signoff import promise
from workbook.case import acts as case_acts
from workbook.case import afterwards, belief, board, deciding, heating, playing, shown, ways
from workbook.references import table

STORIES = ("stays dead", "comes and goes", "stripes in the picture")
CAUSES = tuple(board.CAUSES)
PERCENT = {cause: {name: round(100 * share) for name, share in cells.items()} for cause, cells in board.CAUSES.items()}
LEAST_PEAK = heating.LEAST_PEAK_C


@dataclass(frozen=True)
class OfSeed:
    """A given that follows from the case's seed."""

    worked: object
    unit: str
    find: Callable[[int], object]

    def draw(self, stream, drawn: dict):
        return self.find(drawn["seed"])


def _supply(name: str, unit: str) -> OfSeed:
    return OfSeed(getattr(board.drawn(117)[1], name), unit, lambda seed: getattr(board.drawn(seed)[1], name))


def _percent(g, name: str) -> list[float]:
    return [PERCENT[cause][name] / 100 for cause in CAUSES]


def _together(g) -> list[float]:
    """Return for each cause how likely it is together with the story and a dark line seen at U1."""
    found = (_percent(g, name) for name in ("prior", g["story"], "crack at U1"))
    return [before * told * line for before, told, line in zip(*found, strict=True)]


def _after_both(g):
    """Return the chances of the causes after a story of the customer and a dark line seen at U1."""
    both = [told * line for told, line in zip(_percent(g, g["story"]), _percent(g, "crack at U1"), strict=True)]
    return updated_causes(_percent(g, "prior"), both)


def _balls_working() -> str:
    """Return the learner's own arithmetic: one product a cause, then the share of the first."""
    lines = []
    for number, cause in enumerate(CAUSES, 1):
        shares = PERCENT[cause]
        told = ", ".join(f"{story!r}: {shares[story]}" for story in STORIES)
        lines.append(f"told{number} = {{{told}}}[story]")
        lines.append(f"weight{number} = {shares['prior']} * told{number} * {shares['crack at U1']}   # {cause}")
    total = " + ".join(f"weight{number}" for number in range(1, len(CAUSES) + 1))
    return "\n".join([*lines, f"balls_likely = weight1 / ({total}) * 100"])


# ---- the way worked, judged ------------------------------------------------------------------------------------------

LOST_FOR_NOTHING = 60.0
"""Credits lost by choices, on average on what was known, at which they earn nothing."""

GATES, SUMS, LIMITS = 0.6, 0.2, 0.2
"""What gates, sums and limits held count for; choices that lost credits take their share of all three."""


def _played(g, acts) -> playing.Played:
    try:
        return playing.play(int(g["seed"]), acts)
    except playing.NotPlayed as why:
        raise Unplayable(str(why)) from None


def work(g, acts) -> Worked:
    """Play the acts on the record's seed, and judge the way: safety, gates, limits and choices, each by itself."""
    played = _played(g, acts)
    if played.done.stopped:
        place = next(number for number, step in enumerate(played.steps, 1) if step.done.stopped)
        remark = f"Stopped at act {place}, {played.steps[place - 1].act!r}. {played.done.stopped}"
        return Worked(0.0, f"{remark} A case that is stopped earns nothing.", ("nobody hurt, nothing burst",))
    if not played.done.end:
        last = f" The last told: {played.steps[-1].told}" if played.steps else ""
        return Worked(
            0.0,
            f"{afterwards.acts_in_words(len(played.steps))}, and the case is not closed yet.{last}",
            ("the case closed",),
        )
    known = belief.along(played)
    margins = tuple(
        Margin(one.words, one.value, one.margin, one.unit, one.guard) for one in played.limits if one.counts
    )
    gates = [gate.held for gate in played.gates if gate.held is not None]
    sums = [one.held for one in played.sums]
    choices, end = deciding.choices(played, known), deciding.decision(played, known)
    lost = sum(choice.lost for choice in choices) + end.lost
    right = max(0.0, 1 - lost / LOST_FOR_NOTHING)
    limits = [margin.held for margin in margins]
    share = right * (GATES * _share(gates) + SUMS * _share(sums) + LIMITS * _share(limits))
    if end.lost and not any(map(playing.melted, played.steps)):
        share = 0.0  # given up, no joint melted, although it was worth working: nothing was shown but that
    return Worked(
        1.0 if share > 1 - 1e-9 else share,
        _remark(played, gates, sums, choices, end, margins),
        tuple(one.name for one in played.missed),
        margins,
    )


def _share(held: list[bool]) -> float:
    """Return which share of what was asked was held; all of it where nothing was asked."""
    return sum(held) / len(held) if held else 1.0


def _remark(played, gates, sums, choices, end, margins) -> str:
    """Say the mark: gates, sums, limits, choices, and what the case brought beside other ways of working."""
    worked_out = f", {sum(sums)} of {len(sums)} sums right" if sums else ""
    said = [f"{sum(gates)} of {len(gates)} gates held{worked_out}."]
    said += afterwards.missed(played)
    said += [margin.told() for margin in margins]
    for choice in choices:
        if choice.lost:
            said.append(
                f"Act {choice.place + 1}, {choice.act!r}: on what was known there, {choice.better!r} brings "
                f"{afterwards.credits(choice.lost)} more on average."
            )
    if end.lost:
        said.append(
            f"At the end {end.better!r} brings {afterwards.credits(end.lost)} more on average than {end.end!r}."
        )
    worth = ways.worth()
    averages = "; ".join(f"{name} {worth[name][0]:.0f} ± {max(1, 2 * worth[name][1]):.0f}" for name in ways.WAYS)
    said.append(
        f"It cost {afterwards.credits(played.spent)} and with its end brought {afterwards.credits(played.brings)}. "
        f"On average over many boards, in credits: {averages}."
    )
    return " ".join(said)


def told(g, acts) -> dict:
    """Return what a page shows of a way so far, as plain data."""
    return shown.so_far(_played(g, acts))


def example(g, a) -> list[str]:
    """Return the acts of the best way that was found on this board."""
    return list(_best(int(g["seed"])))


@lru_cache(maxsize=512)  # a notebook's parts ask for it one after another
def _best(seed: int) -> tuple[str, ...]:
    return tuple(step.act for step in ways.best_way(seed).steps)


# ---- the text --------------------------------------------------------------------------------------------------------


def _row(*cells) -> str:
    return "| " + " | ".join(map(str, cells)) + " |"


def _causes_table() -> str:
    heads = ("before", *STORIES, "brown spot", "line at U1", "line at U2", "core rail [Ω]")
    rails = table("signoff", "case_rail")
    lines = [_row("wrong is", *heads), "|---|" + "---:|" * len(heads)]
    for cause in CAUSES:
        shares = [f"{share} %" for share in PERCENT[cause].values()]
        rail = ", ".join(f"{ohm:g}" for ohm in rails.get(cause, rails["sound"]).values())
        lines.append(_row(cause, *shares, rail))
    return "\n".join(lines)


def _repairs_table() -> str:
    lines = [_row("repair", "sound", "weak"), "|---|---:|---:|"]
    lines += [
        _row(name, *(f"{100 * share:g} %" for share in cells.values()))
        for name, cells in table("signoff", "case_repairs").items()
    ]
    return "\n".join(lines)


CHANCE = {name: f"{100 * share:g} %" for name, share in board.CHANCES.items()}
MONEY = case_acts.MONEY
COPPER = ", ".join(f"{name} with {100 * share:g} %" for name, share in board.COPPER.items())

SETUP = f"""*An invented main board with two large lead-free packages, U1 and U2, a sink on pins over both, and a mains supply
in the same set. Board, shop, chances and prices are invented. Your board is case number {{seed}}, drawn for you.*

You work this board from the door to the parcel. What you answer in the last part is the list of your acts, in your own order; what
each act tells you depends on the board, and nobody tells you more. In `workbook open` the last part has a bench to work at. In a
terminal, `workbook practise --case {{seed}}` is the same bench and prints the list. Each act takes time ({MONEY["a minute at the bench"]:g} credits a
minute) and material. **An unsafe act stops the case.** An act that cannot be done now costs nothing. Points are
for what you know before you heat, for limits held, and for choices that were right on what could be known: not for luck. A choice counts as right within {deciding.GUARD:g} credits of the best.
This job's limit for what may be left on the capacitor: below {case_acts.SAFE_VOLTS} V (the lowest energy class of IEC 62368-1, second-hand); at a real bench your local code decides.

Four sums belong to the job, and each is a gate: write what you worked out as an act (`reckon ...`, whole numbers), on your own draining, reading and test.
The volts left before the proof count within 3 % or 1 V; the rail's uncertainty before you decide, within 5 %; the bead's margin after the last heat, within 1 K (its u is {case_acts.BEAD_DOUBT:g} K);
the bound after a clean test, within 1 percentage point.

What may be wrong, how likely it is before anything is known, and what is then told, seen and read:

{_causes_table()}

The three values of a rail are alike likely; a rail of a board with cracked joints reads like a sound one. With {CHANCE["a short is on the memory rail"]} a shorted part sits on the memory rail of U2 instead: then that one reads
as the table has it, and the core rail is sound. A memory rail without a short reads {board.MEMORY_OHM} Ω. A bridge under U1 shorts the core rail, one under U2 the memory rail. A line is seen from the side; a brown spot from below.
The meter shows 0.1 Ω steps (0.8 % + 2 counts; contacts within 0.1 Ω). Here a warm rail of silicon falls by half in 10 K (a real core rail takes 15 to 20 K); a metal short does not.

What a repair that melts every joint makes of a cause it can reach ("weak" holds for now, fails {CHANCE["a weak joint fails at a cold start"]} of cold starts, and
comes back; it is mended as the cause it comes from, a new package's as balls of U1, a new part's not):

{_repairs_table()}

A heat counts as good where the coldest joint reached {heating.LEAST_PEAK_C} °C and was above 217 °C for {heating.LEAST_ABOVE} s; with less, joints did not all melt, and a package does not lift.
Within {heating.GUARD_K:g} K and {heating.GUARD_S:g} s of a limit of heat it counts as held. A package top bears {heating.RATING_C} °C, a neighbour's joints {heating.NEIGHBOUR_C} °C (above it
they are spoiled with {CHANCE["neighbour spoiled by spill"]}), a package {case_acts.MOST_HEATS} heats (one from assembly, one more where it was worked on before: {CHANCE["worked on before"]}; beyond them it is spoiled with {CHANCE["package spoiled by a heat too many"]}). Copper layers: {COPPER}; more copper
needs more heat. A shorted part is found by its heat with {CHANCE["short found by its heat"]}. With {CHANCE["plate a step too cool"]} the station's plate runs {heating.PLATE_STEP} K cooler than it says; a bead in the joint tells. With {CHANCE["open too long by 48 h"]} the packages
(level {case_acts.LEVEL}, {case_acts.BODY_MM} mm thick) were open 48 h too long, with {CHANCE["open too long by 100 h"]} 100 h: at 125 °C 17 h dry the first, 27 h the second. A heat leaves a bridge with {CHANCE["bridge after a heat"]} (a good heat over
that package clears it), and flux always; three rinses leave some with {CHANCE["residue left after cleaning"]}. A sink is held fast with {CHANCE["sink held fast"]}, and tears lands with {CHANCE["land torn with a sink held fast"]} if it is not
loosened first; it goes on tilted with {CHANCE["sink left tilted"]}. A board sent back as repaired that holds a year brings {MONEY["a board that holds"]:g} credits; one that comes back costs {MONEY["a board that comes back"]:g}: with
flux left {CHANCE["comes back for residue"]} do, with a hot junction {CHANCE["comes back for a hot junction"]}, weak joints and what was never repaired always. A case that is stopped costs {MONEY["a case that is stopped"]:g}. Sent
back as it is, or refused, it brings nothing."""

BENCH = Exercise(
    id="board-on-the-bench",
    number=17,
    title="Work one board from the door to the parcel",
    setup=SETUP,
    givens=dict(
        seed=Quantity(117, "1", low=1, high=99999, step=1),
        capacitance=_supply("capacitance_uf", "µF"),
        volts=_supply("volts", "V"),
        bleeder=_supply("bleeder_kohm", "kΩ"),
        held=Quantity(3, "s", low=0.5, high=8, step=0.5),
        story=Pick(STORIES[1], STORIES),
        wire=Quantity(1.5, "K", low=1.1, high=2.5, step=0.1),
        meter=Quantity(1.0, "K", low=0.5, high=2.0, step=0.1),
        bead_c=Quantity(236, "°C", low=233, high=244, step=0.5),
        least_c=Fixed(LEAST_PEAK, "°C"),
        starts=Pick(20, (10, 15, 20, 25, 30, 40, 60)),
    ),
    parts=(
        Number(
            "volts_left",
            "The mains capacitor of your set has {capacitance}, charged to {volts}; the discharge resistor has {bleeder}. You hold it on for "
            "{held}. How many volts are left?",
            points=2,
            unit="V",
            expected=lambda g, a: voltage_after(g.held, g.capacitance, g.bleeder, g.volts),
            within=relative(0.02),
            because="only rounding is left",
            plausible=(5, 330),
            working="""
time_constant = bleeder * 1000 * capacitance / 1e6
volts_left = volts * exp(-held / time_constant)
""",
            hint="The time constant is R times C, in ohm and farad. What is left falls by the factor e in each.",
            slips=(
                Slip(
                    "what is gone",
                    lambda g, a: g.volts - voltage_after(g.held, g.capacitance, g.bleeder, g.volts),
                    "That is by how much it has fallen. Asked is what is left.",
                ),
                Slip(
                    "ten for e",
                    lambda g, a: g.volts * 10 ** (-g.held / (g.bleeder * g.capacitance)),
                    "You took 10 for e. In one time constant a capacitor falls to 37 %, not to 10 %.",
                ),
            ),
        ),
        Number(
            "balls_likely",
            "Another such board: its customer says that the set *{story}*, and from the side you see a dark line at a ball of U1. How likely "
            "are cracked balls under U1 now? Take the two findings as independent of each other under each cause.",
            points=2,
            unit="%",
            expected=lambda g, a: _after_both(g)[0],
            within=absolute(0.5),
            because="only rounding is left; the shares themselves are invented",
            plausible=(20, 96),
            working=_balls_working(),
            hint="For each cause: before × story × line. U1's balls have one of the five products.",
            slips=(
                Slip(
                    "not divided",
                    lambda g, a: _together(g)[0],
                    "That is how likely the cause and both findings are together. Divide by the same product, added up over all five causes.",
                ),
                Slip(
                    "story alone",
                    lambda g, a: updated_causes(_percent(g, "prior"), _percent(g, g["story"]))[0],
                    "You left out the dark line.",
                ),
                Slip(
                    "line alone",
                    lambda g, a: updated_causes(_percent(g, "prior"), _percent(g, "crack at U1"))[0],
                    "You left out what the customer said.",
                ),
                Slip(
                    "before left out",
                    lambda g, a: updated_causes(
                        [0.2] * 5,
                        [
                            told * line
                            for told, line in zip(_percent(g, g["story"]), _percent(g, "crack at U1"), strict=True)
                        ],
                    )[0],
                    "You left out how likely each cause is before anything is known.",
                ),
            ),
        ),
        Number(
            "peak_doubt",
            "A bead's wire is within {wire} and its meter within {meter}, each evenly likely within its limits (u = a/√3), and independent. What is the "
            "expanded uncertainty U = 2u of its reading?",
            points=2,
            unit="K",
            expected=lambda g, a: 2 * sqrt((g.wire**2 + g.meter**2) / 3),
            within=relative(0.02),
            because="only rounding is left",
            plausible=(1.2, 4),
            working="peak_doubt = 2 * sqrt((wire / sqrt(3))**2 + (meter / sqrt(3))**2)",
            hint="A limit becomes a standard uncertainty by dividing by √3. Two independent ones add in squares.",
            slips=(
                Slip(
                    "added as they are",
                    lambda g, a: 2 * (g.wire + g.meter) / sqrt(3),
                    "You added the two as they are. Independent ones add in squares.",
                ),
                Slip(
                    "not widened",
                    lambda g, a: sqrt((g.wire**2 + g.meter**2) / 3),
                    "That is u. Asked is U = 2u.",
                ),
                Slip(
                    "limits as u",
                    lambda g, a: 2 * sqrt(g.wire**2 + g.meter**2),
                    "You took the limits as standard uncertainties. Evenly likely: divide each by √3.",
                ),
            ),
        ),
        Number(
            "peak_margin",
            "That bead sits in the coldest joint and reads a peak of {bead_c}. Joints have melted for sure from {least_c} on. How much is left to it once "
            "U is taken off the reading?",
            points=1,
            unit="K",
            expected=lambda g, a: g.bead_c - a.peak_doubt - g.least_c,
            within=absolute(0.1),
            because="only rounding is left",
            plausible=(-1, 13),
            working="peak_margin = bead_c - peak_doubt - least_c",
            slips=(
                Slip(
                    "doubt added",
                    lambda g, a: g.bead_c + a.peak_doubt - g.least_c,
                    "You added U. The joint may have been colder than the bead says.",
                ),
                Slip("doubt left out", lambda g, a: g.bead_c - g.least_c, "You left U out."),
            ),
        ),
        Number(
            "bound",
            "After a repair {starts} of {starts} cold starts are clean. The board may still fail at a share p of its starts. How large can p be, if so many clean "
            "starts in a row are to have a chance of 5 % yet (the 95 % bound, one-sided)?",
            points=1,
            unit="%",
            expected=lambda g, a: promise.return_rate_bound(0, g.starts),
            within=relative(0.02),
            because="only rounding is left",
            plausible=(3, 30),
            working="bound = (1 - 0.05**(1 / starts)) * 100",
            hint="With none of n failed it is where (1 − p)ⁿ = 0.05.",
            slips=(
                Slip(
                    "one in so many", lambda g, a: 1 / g.starts, "That is one in so many. None of them rules out less."
                ),
                Slip(
                    "C for 1 - C",
                    lambda g, a: 1 - 0.95 ** (1 / g.starts),
                    "You took the root of 0.95. What is left over is 0.05.",
                ),
            ),
        ),
        Acts(
            "job",
            "Now work your board, case {seed}: from the door until it goes back, and write the list of your acts.",
            points=12,
            vocabulary=shown.vocabulary(),
            groups=case_acts.GROUPS,
            numbers=shown.numbers(),
            work=work,
            told=told,
            example=example,
        ),
    ),
    cases=(
        Case(
            "bound",
            0.2,
            0.0005,
            "Eypasch et al., BMJ 311:619 (1995): none of 1500 is up to 1 in 500",
            "published-second-hand",
            givens=dict(starts=1500),
        ),
    ),
    caution=f"{MAINS} {HOT}",
    sound=lambda drawn: _fair(drawn),
    floor=0.25,
    judged_by=2,  # from 2 on, nothing is hoped of a board beyond repair: before, such a way could not be judged
)


def _fair(drawn: dict) -> bool:
    """Whether volts are left to work out."""
    g = BENCH.values(drawn)
    return 15 < float(voltage_after(g.held, g.capacitance, g.bleeder, g.volts)) < 0.8 * g.volts
