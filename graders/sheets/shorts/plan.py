"""The design of a search: where to inject and where to read, so that two readings name the shorted part."""

import itertools
import math
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
    Pick,
    Quantity,
    Record,
    Setting,
    Slip,
    relative,
)
from graders.sheets.shorts.words import INJECT
from workbook.bench.shorts import copper, rail
from workbook.drawings import wires

LENGTH, WIDTH = 200, 140
"""Of the plane [mm], in cells of one millimetre."""

PAD = 5e-3
"""Side of the pads of parts and injection clip [m]."""

NOMINAL = ((60, 45), (78, 92), (92, 58), (108, 98), (116, 42), (134, 74), (146, 104), (154, 50))
"""Places of the eight capacitors [mm], moved by a few millimetres for each learner."""

PARTS = tuple(f"C{number}" for number in range(1, len(NOMINAL) + 1))


def _moved(axis):
    def make(stream, drawn):
        return [place[axis] + stream.grid(-4, 4, 1) for place in NOMINAL]

    return make


def _places(g):
    return tuple(zip(g.part_along, g.part_across, strict=True))


@lru_cache(maxsize=64)
def _board(places, square_ohms, injections):
    """Return the plane with its capacitors, all good, and the places for injection, ready to be solved [SI]."""
    plane = rail.Plane((LENGTH / 1e3, WIDTH / 1e3), (LENGTH, WIDTH), square_ohms)
    parts = [rail.Part(name, place, math.inf, PAD) for name, place in zip(PARTS, places, strict=True)]
    clips = [rail.Part(f"clip {number}", place, math.inf, PAD) for number, place in enumerate(injections)]
    return rail.prepare(plane, parts + clips)


def _rails(g, inject, current):
    """Return the rail for each part in turn as the short."""
    board = _board(_places(g), g.square_ohms, (inject,))
    return [rail.solve(board, {name: g.worst_short}, {"clip 0": current}) for name in PARTS]


def _gaps(g, readings):
    """Return what is left between each two parts (columns), less the limits of both readings; one row a reading [V]."""
    readings = np.asarray(readings, float)
    limits = g.reading_share * np.abs(readings) + g.reading_floor
    first, second = np.triu_indices(len(PARTS), 1)
    return np.abs(readings[:, first] - readings[:, second]) - limits[:, first] - limits[:, second]


def _highest_current(g):
    """Return the current that the voltage limit and the heat in the worst short allow [A]."""
    return min(g.voltage_limit / (g.leads + g.worst_short), math.sqrt(g.most_heat / g.worst_short))


def _place(choices, name):
    return choices[f"{name}_along"] / 1e3, choices[f"{name}_across"] / 1e3


def _plan_margins(g, a, choices):
    inject = _place(choices, "inject")
    tips = {name: _place(choices, name) for name in ("a", "b", "c", "d")}
    current = choices["current"]
    rails = _rails(g, inject, current)
    readings = np.array([[one.reading(tips[p], tips[q]) for one in rails] for p, q in ("ab", "cd")])
    gap = 1e6 * _gaps(g, readings).max(axis=0).min()
    largest = 1e6 * np.abs(readings).max()
    volts = max(one.potentials["clip 0"] for one in rails) + current * g.leads
    heat = current**2 * g.worst_short
    nearest = 1e3 * min(math.dist(tip, other) for tip in tips.values() for other in (*_places(g), inject))
    return (
        Margin(
            "gap between the two parts that read most alike",
            gap,
            gap - 1e6 * g.least_gap,
            "µV",
            guard=1,
            advice="Let one pair of tips tell left from right and the other near from far; the gap also grows with the "
            "current.",
        ),
        Margin(
            "largest reading of any part",
            largest,
            1e6 * g.meter_range - largest,
            "µV",
            guard=1,
            advice="The injection adds the same to every part's reading: put it where both tips of a pair see it "
            "alike.",
        ),
        Margin(
            "voltage at the supply",
            volts,
            g.voltage_limit - volts,
            "V",
            guard=0.005,
            advice="Less current, or the supply runs into its voltage limit.",
        ),
        Margin(
            "heat in the short",
            heat,
            g.most_heat - heat,
            "W",
            guard=0.01,
            advice="Less current: the heat goes with its square.",
        ),
        Margin(
            "nearest tip to a capacitor or the injection point",
            nearest,
            nearest - 1e3 * g.keep_off,
            "mm",
            guard=0.05,
            advice="Move that tip off: close to a pad it reads the pad and its solder, not the plane.",
        ),
    )


CLIPS = ((15, 70), (100, 10), (100, 130), (185, 70))
TIPS = tuple(itertools.product((45, 75, 100, 125, 170), (25, 70, 115)))
"""Places that the search for a plan tries [mm]."""


@lru_cache(maxsize=64)
def _per_ampere(places, square_ohms, clip):
    """Return the potentials of all tips tried (rows) for each part as the short (columns), for one ampere [ohm]."""
    board = _board(places, square_ohms, _metres(CLIPS))
    maps = np.array([rail.solve(board, {name: 0.0}, {f"clip {clip}": 1.0}).potential_map() for name in PARTS])
    corners = [maps[:, along - 1 : along + 1, across - 1 : across + 1] for along, across in TIPS]
    return np.array([cells.mean(axis=(1, 2)) for cells in corners])


def _metres(places):
    return tuple((along / 1e3, across / 1e3) for along, across in places)


def _clear(g, tip, clip):
    return min(math.dist(tip, other) for other in (*_places(g), clip)) > 1.1 * g.keep_off


def _plan(g, a):
    """Return a plan that leaves a large gap: all pairs of a coarse set of tips, for a few places of injection."""
    current = math.floor(95 * _highest_current(g)) / 100
    best = (-math.inf, None)
    for clip, clip_place in enumerate(CLIPS):
        potentials = current * _per_ampere(_places(g), g.square_ohms, clip)
        clear = [n for n, tip in enumerate(_metres(TIPS)) if _clear(g, tip, _metres([clip_place])[0])]
        pairs = [
            (p, q)
            for p, q in itertools.combinations(clear, 2)
            if np.abs(potentials[p] - potentials[q]).max() < 0.9 * g.meter_range
        ]
        gaps = _gaps(g, [potentials[p] - potentials[q] for p, q in pairs])
        for number, pair in enumerate(pairs):
            both = np.maximum(gaps[number], gaps).min(axis=1)
            if both.max() > best[0]:
                best = (both.max(), (clip_place, pair, pairs[int(both.argmax())]))
    inject, first, second = best[1]
    chosen = dict(zip(("inject", "a", "b", "c", "d"), (inject, *(TIPS[n] for n in (*first, *second))), strict=True))
    return {
        f"{name}_{axis}": place[way] for name, place in chosen.items() for way, axis in enumerate(("along", "across"))
    } | {"current": current}


def _difference(g):
    """Return by how much the reading asked about differs between C1 and C2 as the short, endless plane, 1 A [V]."""
    of_short = [
        copper.plane_drop(1.0, g.square_ohms, math.dist(g.pair_first, short), math.dist(g.pair_second, short))
        for short in _places(g)[:2]
    ]
    return abs(of_short[0] - of_short[1])


def _spots(name, words):
    """Return the two settings of a place on the plane."""
    return (
        Setting(f"{name}_along", f"{words}, along the plane", "mm", 3, LENGTH - 3),
        Setting(f"{name}_across", f"{words}, across the plane", "mm", 3, WIDTH - 3),
    )


PLAN = Exercise(
    id="plan-two-readings",
    number=22,
    title="Plan two readings that find the shorted part",
    setup=(
        "Eight capacitors C1 to C8 join the core plane of a dead board to ground; one of them is shorted, and nobody "
        "knows which (invented board). The plane is a sheet of copper, 200 mm along and 140 mm across, with "
        "{square_ohms}. The table gives the places of the capacitors from the plane's lower left corner, C1 in the "
        "first line. The supply is clipped to the plane at one place of your choice, through {leads} of leads and "
        "clips; the ground side loses nothing. Good capacitors and the resting rail take no current worth counting. "
        "You may take two readings: from a tip at A to a tip at B, and from a tip at C to a tip at D.\n\n"
        "These limits have to hold:\n\n"
        "- The short has anything up to {worst_short}. Whatever it has, the supply's voltage stays at or below "
        "{voltage_limit} and the heat in the short at or below {most_heat}.\n"
        "- Whichever capacitor is shorted, no reading is larger than the meter's {meter_range}, either way round.\n"
        "- A reading is good to ±({reading_share} of it + {reading_floor}), thermal voltages included. For each pair "
        "of capacitors, the readings with the one and with the other as the short differ, in at least one of the two "
        "readings, so much that the difference less the limits of both leaves a gap of {least_gap} or more.\n"
        "- Every tip stays {keep_off} or more from the middle of every capacitor and from the injection.\n\n"
        "On an endless plane, a reading from P to Q is V(P) − V(Q) = I × Rs / (2π) × [ln(distance of Q from the "
        "injection / distance of P from the injection) + ln(distance of P from the short / distance of Q from the "
        "short)]. No current crosses an edge, so each edge works like a mirror. For the images of a "
        "point (x, y), take each of x, −x, 400 mm − x with each of y, −y, 280 mm − y: the point itself and eight "
        "images. With the logarithms of the eight images of injection and short added, the formula is good to about 5 %, or 10 µV, here; without them true readings can "
        "be twice as large. Nobody has to do that by hand: this cell, put into an empty one and run, gives the reading in µV "
        "for the short at (x, y), with all images:\n\n"
        "```python\n"
        "def reading(p, q, clip, short, current):\n"
        "    total = 0\n"
        "    for sign, source in ((+1, clip), (-1, short)):\n"
        "        for x in (source[0], -source[0], 400 - source[0]):\n"
        "            for y in (source[1], -source[1], 280 - source[1]):\n"
        "                to_p = sqrt((p[0] - x)**2 + (p[1] - y)**2)\n"
        "                to_q = sqrt((q[0] - x)**2 + (q[1] - y)**2)\n"
        "                total = total + sign * log(to_q / to_p)\n"
        "    return current * square_ohms * 1000 / (2 * pi) * total\n\n"
        "reading((45, 70), (170, 70), (15, 70), (part_along[0], part_across[0]), 1.0)   # C1 as the short\n"
        "```"
    ),
    givens=dict(
        part_along=Record((58, 80, 90, 110, 114, 136, 143, 156), "mm", _moved(0)),
        part_across=Record((47, 90, 60, 95, 45, 71, 106, 52), "mm", _moved(1)),
        square_ohms=Fixed(0.495, "mΩ/sq"),
        worst_short=Quantity(200, "mΩ", low=150, high=300, step=10),
        leads=Quantity(150, "mΩ", low=80, high=250, step=10),
        voltage_limit=Pick(0.6, (0.5, 0.6, 0.7, 0.8, 0.9), "V"),
        most_heat=Quantity(0.5, "W", low=0.3, high=0.9, step=0.1),
        meter_range=Fixed(300, "µV"),
        reading_share=Fixed(1, "%"),
        reading_floor=Fixed(15, "µV"),
        least_gap=Fixed(20, "µV"),
        keep_off=Fixed(8, "mm"),
        pair_first=Fixed((40, 70), "mm"),
        pair_second=Fixed((110, 120), "mm"),
    ),
    table=("part_along", "part_across"),
    drawing=lambda g: wires.plane_from_above(_places(g), None, (), (LENGTH / 1000, WIDTH / 1000)),
    parts=(
        Number(
            "highest_current",
            "What is the largest current that keeps the voltage limit and the limit of heat, for the worst short? "
            "(Leave out the plane: it has less than 2 mΩ.)",
            points=2,
            unit="A",
            expected=lambda g, a: _highest_current(g),
            within=relative(0.01),
            because="the plane adds less than one percent",
            plausible=(0.3, 5),
            working="""
by_voltage = voltage_limit / ((leads + worst_short) / 1e3)
by_heat = sqrt(most_heat / (worst_short / 1e3))
highest_current = min(by_voltage, by_heat)
""",
            hint="Each limit allows a current of its own. Both have to hold.",
            slips=(
                Slip(
                    "the other limit",
                    lambda g, a: max(
                        g.voltage_limit / (g.leads + g.worst_short), math.sqrt(g.most_heat / g.worst_short)
                    ),
                    "That current keeps one limit and breaks the other. Both have to hold.",
                ),
                Slip(
                    "leads forgotten",
                    lambda g, a: g.voltage_limit / g.worst_short,
                    "The supply's voltage also drives the current through leads and clips.",
                ),
                Slip(
                    "root forgotten",
                    lambda g, a: g.most_heat / g.worst_short,
                    "Heat over resistance is the square of the current.",
                ),
            ),
        ),
        Number(
            "told_apart_by",
            "Take 1 A and a reading from ({pair_first}) to ({pair_second}), on an endless plane. By how much does it "
            "differ between C1 and C2 as the short, as a positive number?",
            points=2,
            unit="µV",
            expected=lambda g, a: _difference(g),
            within=relative(0.02),
            because="places are given to a millimetre",
            plausible=(1, 1000),
            working="""
first_to_c1 = sqrt((pair_first[0] - part_along[0])**2 + (pair_first[1] - part_across[0])**2)
second_to_c1 = sqrt((pair_second[0] - part_along[0])**2 + (pair_second[1] - part_across[0])**2)
first_to_c2 = sqrt((pair_first[0] - part_along[1])**2 + (pair_first[1] - part_across[1])**2)
second_to_c2 = sqrt((pair_second[0] - part_along[1])**2 + (pair_second[1] - part_across[1])**2)
logs = log(first_to_c1 / second_to_c1) - log(first_to_c2 / second_to_c2)
told_apart_by = square_ohms * 1e3 / (2 * pi) * abs(logs)
""",
            hint="The part of the injection is the same in both: it drops out of the difference.",
            slips=(
                Slip(
                    "negative",
                    lambda g, a: -_difference(g),
                    "The size is right. The question asks for a positive number.",
                    worth=0.5,
                ),
                Slip("2π lost", lambda g, a: 2 * math.pi * _difference(g), "The 2π is missing."),
                Slip("π for 2π", lambda g, a: 2 * _difference(g), "Twice too much: 2π stands under the line."),
                Slip(
                    "log to base 10",
                    lambda g, a: _difference(g) / math.log(10),
                    "You took the logarithm to base 10. ln is the natural one.",
                ),
            ),
        ),
        Choice(
            "moved_clip",
            "You move the injection and leave the tips where they are. What happens to that difference?",
            points=1,
            options={
                "grows": "it grows as the injection comes nearer",
                "halves": "it falls, as more current goes astray",
                "stays": "it stays: both readings move by as much",
            },
            expected=lambda g, a: "stays",
            slips={
                "grows": "Look at the formula: the distances from the injection do not know which part is shorted.",
                "halves": "Look at the formula: the distances from the injection do not know which part is shorted.",
            },
        ),
        Design(
            "plan",
            "Choose the injection, the current and the two pairs of tips. The plan is simulated on the whole plane, "
            "for each of the eight capacitors as the short; every limit of the setup is compared with it, each with "
            "its own margin.",
            points=5,
            settings=(
                *_spots("inject", "injection"),
                Setting("current", "current", "A", 0.05, 5),
                *_spots("a", "tip A"),
                *_spots("b", "tip B"),
                *_spots("c", "tip C"),
                *_spots("d", "tip D"),
            ),
            simulate=_plan_margins,
            example=_plan,
            idle=0.6,
        ),
    ),
    cases=(
        Case("highest_current", 1.58, 0.005, "Joule's law by hand: 0.5 W in 200 mΩ", "computed"),
        Case(
            "told_apart_by",
            54.6,
            0.05,
            "Laboratory note on four-point probes, rev. 7 (2004): four points in a line give 1/4.532 of a square; here half of it",
            "published",
            givens={
                "pair_first": (20, 30),
                "pair_second": (50, 30),
                "part_along": (80, 35, 90, 110, 114, 136, 143, 156),
                "part_across": (30, 90, 60, 95, 45, 71, 106, 52),
            },
            note="the second part is as far from both tips and gives nothing",
        ),
    ),
    caution=INJECT,
    floor=0.05,
    sound=lambda drawn: 1.2 < _highest_current(PLAN.values(drawn)) < 2.2 and _limits_apart(PLAN.values(drawn)),
)


def _limits_apart(g):
    """Whether C1 and C2 are told apart by the pair of tips asked about."""
    return _difference(g) > 20e-6


EXERCISES = (PLAN,)
