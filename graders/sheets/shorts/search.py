"""Exercises on finding the shorted part: heat, gradients on a trace and a plane, the part behind two readings."""

import math

import numpy as np

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.shorts.words import INJECT
from workbook.bench.shorts import copper, injection, solvent
from workbook.drawings import wires

HEAT_SPLIT = Exercise(
    id="where-the-heat-goes",
    number=18,
    title="See where the heat of an injection goes",
    setup=(
        "A bench supply feeds a dead rail through leads and clips of {leads} in all. The rail has a short of "
        "{short_ohms}. The supply is set to a current limit of {current} and a voltage limit of {voltage_limit}; here "
        "the current limit acts. The volts are those at the supply's own terminals."
    ),
    givens=dict(
        short_ohms=Quantity(50, "mΩ", low=20, high=200, step=5),
        leads=Quantity(110, "mΩ", low=60, high=180, step=5),
        current=Quantity(1.8, "A", low=0.6, high=2.4, step=0.1),
        voltage_limit=Pick(1.0, (0.9, 1.0, 1.1, 1.2), "V"),
        good_rail=Quantity(56, "Ω", low=20, high=120, step=2),
        film=Quantity(10, "mg", low=4, high=20, step=1),
        latent_heat=Fixed(755, "J/g"),
    ),
    parts=(
        Number(
            "supply_volts",
            "What voltage does the supply show?",
            points=1,
            unit="V",
            expected=lambda g, a: injection.heat_split(g.current, g.short_ohms, g.leads)[0],
            within=relative(0.01),
            because="the values are exact as printed",
            plausible=(0.02, 1.2),
            working="supply_volts = current * (short_ohms + leads) / 1e3",
            slips=(
                Slip(
                    "short alone",
                    lambda g, a: g.current * g.short_ohms,
                    "That is the voltage across the short. The supply also sees its own leads.",
                ),
                Slip(
                    "leads alone",
                    lambda g, a: g.current * g.leads,
                    "That is what the leads take. The short is in the same loop.",
                ),
            ),
        ),
        Number(
            "short_watts",
            "How many watts of heat arise in the short?",
            points=1,
            unit="W",
            expected=lambda g, a: injection.heat_split(g.current, g.short_ohms, g.leads)[1],
            within=relative(0.01),
            because="the values are exact as printed",
            plausible=(0.005, 2),
            working="short_watts = current**2 * short_ohms / 1e3",
            slips=(
                Slip(
                    "in short and leads",
                    lambda g, a: g.current**2 * (g.short_ohms + g.leads),
                    "That is all the heat. Only a share of it arises in the short.",
                ),
                Slip(
                    "not squared",
                    lambda g, a: g.current * g.short_ohms,
                    "I × R is the voltage. The heat is that voltage × the current once more.",
                ),
                Slip(
                    "in the leads",
                    lambda g, a: g.current**2 * g.leads,
                    "That is the heat in the leads. The question asks for the short.",
                ),
            ),
        ),
        Choice(
            "more_heat",
            "Where does more of the heat arise?",
            points=1,
            options={"alike": "both exactly alike", "leads": "leads and clips", "short": "the short itself"},
            expected=lambda g, a: "short" if g.short_ohms > g.leads else "leads" if g.leads > g.short_ohms else "alike",
            slips={"short": "The same current goes through both. Compare their resistances."},
        ),
        Number(
            "good_current",
            "The same settings on a good rail of {good_rail}: now the voltage limit acts. What current flows? (The "
            "leads hardly count there.)",
            points=1,
            unit="mA",
            expected=lambda g, a: injection.injected_current(g.current, g.voltage_limit, g.good_rail),
            within=relative(0.015),
            because="leaving out the leads changes it by less than one percent",
            plausible=(2, 100),
            working="good_current = voltage_limit / good_rail * 1e3",
            slips=(
                Slip(
                    "current limit",
                    lambda g, a: g.current,
                    "That is the current limit. To drive it through this rail would take far more than the voltage "
                    "limit.",
                ),
                Slip("upside down", lambda g, a: g.good_rail / g.voltage_limit / 1e3, "The ratio is upside down."),
            ),
        ),
        Number(
            "drying",
            "A wet film of {film} of isopropyl alcohol on the short shows the warm spot by drying first. To "
            "dry near room temperature it takes {latent_heat}. How long does the heat of the short need, if all of it went into the film? (Supply off while "
            "wetting, no flame or iron near, extraction on.)",
            points=2,
            unit="s",
            expected=lambda g, a: solvent.drying_time(g.film, a.short_watts, g.latent_heat),
            within=relative(0.02),
            because="latent heat is given to three figures",
            plausible=(1, 3000),
            working="drying = film / 1e3 * latent_heat / short_watts",
            hint="Heat needed over heat supplied each second.",
            slips=(
                Slip(
                    "all the heat",
                    lambda g, a: solvent.drying_time(g.film, g.current**2 * (g.short_ohms + g.leads), g.latent_heat),
                    "You used the heat of short and leads together. The film lies on the short.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.film * g.latent_heat * a.short_watts,
                    "You multiplied by the heat. More watts dry it faster.",
                ),
            ),
        ),
        Choice(
            "sooner",
            "The film also dries by itself in the air, everywhere. If no spot shows before that, what do you change first?",
            points=1,
            options={
                "brush": "brush more alcohol on while the current flows",
                "less film": "supply off, wipe, and wet with a thinner film",
                "voltage": "raise the voltage limit above the rail's own",
            },
            expected=lambda g, a: "less film",
            slips={
                "brush": "Nothing is wetted while the supply is on: vapour and a spark. More film also takes longer.",
                "voltage": "The current limit acts here; and a limit above the rail's own endangers every part on it.",
            },
        ),
    ),
    cases=(
        Case(
            "supply_volts",
            0.30,
            0.005,
            "Ohm's law, 2 A through 50 mΩ and 100 mΩ of leads",
            "computed",
            givens={"current": 2, "leads": 100},
        ),
        Case("short_watts", 0.20, 0.005, "Ohm's law, 2 A through 50 mΩ", "computed", givens={"current": 2}),
        Case("good_current", 16, 0.5, "Ohm's law, 1.0 V on 64 Ω", "computed", givens={"good_rail": 64}),
        Case(
            "drying",
            66,
            0.5,
            "latent heat of a safety data sheet (664 kJ/kg): 10 mg at 0.1 W",
            "computed",
            givens={"latent_heat": 664},
            earlier={"short_watts": 0.1},
        ),
    ),
    caution=INJECT + " Alcohol burns and its vapour can be lit well below room temperature: drops only.",
    floor=0.15,
    sound=lambda drawn: (
        drawn["short_ohms"] != drawn["leads"] and drawn["current"] * (drawn["short_ohms"] + drawn["leads"]) < 800
    ),
)

PLACES = (0, 10, 20, 30, 40, 50)
ONE_OUNCE = {"width": 1.0, "current": 1.0, "drops": (0, 4.95, 9.91, 14.37, 14.37, 14.37)}


def _own_trace_drops(stream, drawn):
    gradient = stream.grid(0.26, 0.60, 0.01)
    branch = stream.pick((10, 20, 30)) + stream.grid(2, 8, 0.1)
    return [round(gradient * min(place, branch) * drawn["current"], 2) for place in drawn["places"]]


def _gradient(g):
    return g.drops[1] / g.places[1]


def _flat(g):
    return max(g.drops)


def _first_flat_place(g):
    return g.places[g.drops.index(_flat(g))]


def _own_branches(stream, drawn):
    """Return where three branches leave the trace: one of them where the current leaves it."""
    branch = max(drawn["drops"]) / (drawn["drops"][1] / drawn["places"][1])
    apart = stream.grid(7, 9, 1)
    before = stream.pick([count for count in (0, 1, 2) if branch - count * apart > 3])
    return [round(branch + (place - before) * apart) for place in range(3)]


def _branch_taken(g, a):
    away = [abs(place - a.branch) for place in g.leave]
    return ("first", "second", "third")[away.index(min(away))]


BRANCH = Exercise(
    id="find-the-branch",
    number=19,
    title="Find where a trace loses its current",
    setup=(
        "A trace of one width, {width}, feeds several parts of a dead rail; one of them is shorted. {current} is "
        "injected at its start. A millivoltmeter is held with one tip at the start and the other farther and farther "
        "along; thermal voltages are taken out. Up to the branch that leads to the short the drop grows evenly; "
        "beyond it nothing flows and the drop stays the same. (Invented data.)"
    ),
    givens=dict(
        width=Pick(1.2, (0.8, 0.9, 1.1, 1.2, 1.4, 1.6), "mm"),
        current=Pick(1.3, (0.6, 0.7, 1.3, 1.5), "A"),
        places=Fixed(PLACES, "mm"),
        drops=Record((0, 5.37, 10.73, 15.56, 15.56, 15.56), "mV", _own_trace_drops),
        leave=Record((21, 29, 37), "mm", _own_branches),
    ),
    table=("places", "drops"),
    parts=(
        Number(
            "slope",
            "How much does the trace lose on each millimetre, from the first two readings?",
            points=1,
            unit="mV/mm",
            expected=lambda g, a: _gradient(g),
            within=relative(0.01),
            because="the drops are taken as printed",
            plausible=(0.1, 1.2),
            working="slope = (drops[1] - drops[0]) / (places[1] - places[0])",
            slips=(
                Slip(
                    "beyond the branch",
                    lambda g, a: _flat(g) / _first_flat_place(g),
                    "Your second reading lies beyond the branch; use the first two.",
                ),
                Slip(
                    "over the whole",
                    lambda g, a: _flat(g) / g.places[-1],
                    "You went over the whole trace. Beyond the branch nothing is lost.",
                ),
                Slip("upside down", lambda g, a: 1 / _gradient(g), "The ratio is upside down: volts over length."),
            ),
        ),
        Number(
            "branch",
            "How far from the start is the branch?",
            points=2,
            unit="mm",
            expected=lambda g, a: _flat(g) / _gradient(g),  # on a wrong slope, any place of the table would follow
            within=absolute(0.6),
            because="one step of the meter in either reading moves it by a few tenths",
            plausible=(5, 60),
            working="branch = max(drops) / slope",
            hint="The flat drop is the whole loss up to the branch.",
            slips=(
                Slip(
                    "first flat reading",
                    lambda g, a: _first_flat_place(g),
                    "That is the first place beyond the branch. The branch lies before it: use the gradient.",
                ),
                Slip(
                    "last sloping reading",
                    lambda g, a: g.places[g.places.index(_first_flat_place(g)) - 1],
                    "That is the last place before the branch. The branch lies beyond it: use the gradient.",
                ),
                Slip("last reading", lambda g, a: g.places[-1], "That is only the place of the last reading."),
            ),
        ),
        Number(
            "square_ohms",
            "What resistance does a square of this foil have?",
            points=1,
            unit="mΩ/sq",
            expected=lambda g, a: a.slope * g.width / g.current,
            within=relative(0.015),
            because="it carries the accuracy of the gradient",
            plausible=(0.1, 2),
            working="square_ohms = slope * width / current",
            hint="A length of one width is one square.",
            slips=(
                Slip(
                    "width forgotten",
                    lambda g, a: a.slope * 1e-3 / g.current,
                    "That is one millimetre of the trace. A square is as long as the trace is wide.",
                ),
                Slip(
                    "divided by the width",
                    lambda g, a: a.slope * 1e-6 / g.width / g.current,
                    "You divided by the width. A square is as long as the trace is wide: multiply.",
                ),
                Slip(
                    "current forgotten",
                    lambda g, a: a.slope * g.width / 1.0,
                    "That is the voltage along one square. The current is missing.",
                ),
            ),
        ),
        Choice(
            "follow",
            "Three branches leave the trace, at {leave} from its start. Along which one do you take the tip next?",
            points=1,
            options={
                "first": "along the first of the three branches",
                "second": "along the second of the three branches",
                "third": "along the third of the three branches",
            },
            expected=_branch_taken,
            hint="The current leaves the trace where the drop stops growing: your answer to Part 2.",
        ),
    ),
    cases=(
        Case(
            "branch",
            29.0,
            0.05,
            "drop over gradient of one-ounce foil, 1 A in 1 mm: 14.37 mV",
            "computed",
            givens=ONE_OUNCE,
        ),
        Case(
            "square_ohms",
            0.495,
            0.0005,
            "one-ounce foil of 34.8 µm, 0.4954 mΩ a square",
            "computed",
            givens=ONE_OUNCE,
        ),
        Case(
            "slope",
            0.5,
            0.0005,
            "by hand: 5 mV in 10 mm",
            "computed",
            givens={"drops": (0, 5.0, 10.0, 14.5, 14.5, 14.5)},
        ),
    ),
    caution=INJECT,
    floor=0.15,
)


def _mid_reading(g, current):
    return copper.plane_drop_between(current, g.square_ohms, g.separation, g.separation / 2, g.probe_spacing)


PLANE = Exercise(
    id="gradient-on-a-plane",
    number=20,
    title="Follow the voltage on a plane",
    setup=(
        "A wide plane has {square_ohms}. {current} enters it at one point. Where the current spreads evenly to all "
        "sides, the voltage between two tips at the distances r1 and r2 from that point is I × Rs / (2π) × ln(r2/r1). "
        "A short at another point draws the same current out again: it adds the same formula with its own distances, "
        "and on the line between the two points both add up."
    ),
    givens=dict(
        square_ohms=Pick(0.495, (0.248, 0.495, 0.99), "mΩ/sq"),
        current=Quantity(1.2, "A", low=0.6, high=3.0, step=0.1),
        near=Quantity(5, "mm", low=3, high=8, step=1),
        far=Quantity(20, "mm", low=12, high=40, step=1),
        separation=Quantity(60, "mm", low=40, high=90, step=2),
        probe_spacing=Pick(5, (4, 5, 6, 8), "mm"),
    ),
    parts=(
        Number(
            "near_injection",
            "The short is far away. What is the voltage between tips {near} and {far} from the injection point?",
            points=1,
            unit="µV",
            expected=lambda g, a: copper.plane_drop(g.current, g.square_ohms, g.near, g.far),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(5, 2000),
            working="near_injection = current * square_ohms * 1e3 / (2 * pi) * log(far / near)",
            slips=(
                Slip(
                    "2π lost",
                    lambda g, a: copper.plane_drop(g.current, g.square_ohms, g.near, g.far) * 2 * math.pi,
                    "The 2π is missing: the current goes to all sides.",
                ),
                Slip(
                    "π for 2π",
                    lambda g, a: 2 * copper.plane_drop(g.current, g.square_ohms, g.near, g.far),
                    "Twice too much: 2π stands under the line.",
                ),
                Slip(
                    "log to base 10",
                    lambda g, a: copper.plane_drop(g.current, g.square_ohms, g.near, g.far) / math.log(10),
                    "You took the logarithm to base 10. ln is the natural one.",
                ),
                Slip(
                    "trace of 1 mm",
                    lambda g, a: copper.trace_gradient(g.current, g.square_ohms, 1e-3) * (g.far - g.near),
                    "You let the current run along a strip of 1 mm. On a plane it spreads.",
                ),
            ),
        ),
        Number(
            "midway",
            "Now the short is {separation} from the injection point. On the straight line between them, halfway, the "
            "two tips are {probe_spacing} apart (half of it to each side). What do they read?",
            points=2,
            unit="µV",
            expected=lambda g, a: _mid_reading(g, g.current),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2.6, 500),
            working="""
r1 = separation / 2 - probe_spacing / 2
r2 = separation / 2 + probe_spacing / 2
midway = 2 * current * square_ohms * 1e3 / (2 * pi) * log(r2 / r1)
""",
            hint="Distances of both tips from the injection point, and of both from the short; the two logs add.",
            slips=(
                Slip(
                    "injection alone",
                    lambda g, a: _mid_reading(g, g.current) / 2,
                    "You counted the injection point alone. The short pulls just as hard from the other side.",
                ),
                Slip(
                    "tips from the middle out",
                    lambda g, a: (
                        2
                        * copper.plane_drop(
                            g.current, g.square_ohms, g.separation / 2, g.separation / 2 + g.probe_spacing
                        )
                    ),
                    "You put one tip halfway and the other a whole spacing further. The pair is centred on the middle.",
                ),
                Slip(
                    "2π lost",
                    lambda g, a: _mid_reading(g, g.current) * 2 * math.pi,
                    "The 2π is missing: the current goes to all sides.",
                ),
                Slip(
                    "they cancel",
                    lambda g, a: 0.0,
                    "Nothing cancels: the current comes out of one point and goes into the other, so both pull the same way.",
                ),
            ),
        ),
        Number(
            "step_needed",
            "For walking the pair along, the reading should be at least twenty steps of the meter's last digit. How fine must "
            "that digit be at this current?",
            points=1,
            unit="µV",
            expected=lambda g, a: a.midway / 20,
            within=relative(0.015),
            because="it carries the accuracy of the reading",
            plausible=(0.095, 30),
            working="step_needed = midway / 20",
            slips=(
                Slip(
                    "at the injection",
                    lambda g, a: a.near_injection / 20,
                    "You took the reading near the injection point. Midway it is smallest, and that one decides.",
                ),
                Slip("multiplied", lambda g, a: a.midway * 20, "Twenty steps fit into the reading: divide."),
                Slip("a fifth", lambda g, a: a.midway / 5, "You divided by five. Twenty steps are asked for."),
            ),
        ),
        Choice(
            "two_hot_ends",
            "You walk the pair along the line. The reading is large at both ends of it. How do you learn which end is "
            "the short?",
            points=1,
            options={
                "larger end": "the end with the larger reading is the short",
                "more current": "inject more current: the short then grows",
                "move": "inject elsewhere: the end that stays is it",
            },
            expected=lambda g, a: "move",
            slips={
                "larger end": "Size depends on how near the tips came to each point. Both ends are alike.",
                "more current": "More current lifts both ends alike.",
            },
        ),
    ),
    cases=(
        Case(
            "near_injection",
            109.3,
            0.05,
            "current spread over circles: 1 A, 0.4954 mΩ a square, 5 and 20 mm",
            "computed",
            givens={"current": 1, "square_ohms": 0.4954},
        ),
        Case(
            "midway",
            26.3,
            0.05,
            "two points in an endless sheet: 1 A, 60 mm, tips 5 mm apart",
            "computed",
            givens={"current": 1, "square_ohms": 0.4954},
        ),
        Case("step_needed", 2, 0.005, "by hand: a twentieth of 40 µV", "computed", earlier={"midway": 40}),
    ),
    caution=INJECT,
    floor=0.07,
    sound=lambda drawn: abs(drawn["current"] - 1) > 0.05,
)

MIDDLE_ALONG, MIDDLE_ACROSS = 75, 50
"""The lines that the tips stand on [mm]: parts that mirror each other in one of them read alike on the other pair."""


def _own_along(stream, drawn):
    """Return two parts left of the middle line, two as far right of it, and a fifth apart."""
    off = stream.grid(14, 24, 1)
    sides = (-off, off, -off, off)
    return [MIDDLE_ALONG + side + stream.grid(-1, 1, 1) for side in sides] + [stream.grid(105, 109, 1)]


def _own_across(stream, drawn):
    """Return two parts below the middle line and two as far above it, each pair on both sides of the other line."""
    off, left, right = stream.grid(16, 26, 1), stream.pick((-1, 1)), stream.pick((-1, 1))
    sides = (left * off, right * off, -left * off, -right * off)
    return [MIDDLE_ACROSS + side + stream.grid(-1, 1, 1) for side in sides] + [stream.grid(46, 54, 1)]


def _distance(first, second):
    return math.hypot(first[0] - second[0], first[1] - second[1])


def _predicted(g, part, first, second):
    """Return what tips at two places read on an endless plane if this part, counted from 0, is the short [V]."""
    short = (g.part_along[part], g.part_across[part])
    entering = copper.plane_drop(g.current, g.square_ohms, _distance(first, g.inject), _distance(second, g.inject))
    leaving = copper.plane_drop(g.current, g.square_ohms, _distance(first, short), _distance(second, short))
    return entering - leaving


def _both(g, part):
    return _predicted(g, part, g.tip_a, g.tip_b), _predicted(g, part, g.tip_c, g.tip_d)


def _misfits(g):
    """Return how far the readings lie from what each part would give [V]."""
    return [_distance(g.readings, _both(g, part)) for part in range(len(g.part_along))]


def _own_readings(stream, drawn):
    g = WHICH_PART.values(drawn)
    short = stream.below(4)
    return [round(1e6 * volts + stream.grid(-3, 3, 0.5)) for volts in _both(g, short)]


def _one_part_fits(drawn):
    """Whether each reading alone leaves two parts or more, and both together leave one, clearly."""
    g = WHICH_PART.values(drawn)
    for which in range(2):
        alone = sorted(abs(g.readings[which] - _both(g, part)[which]) for part in range(len(g.part_along)))
        if alone[1] > 15e-6:
            return False
    best, next_best = sorted(_misfits(g))[:2]
    steady = min(abs(_predicted(g, 1, g.tip_a, g.tip_b)), abs(_predicted(g, 3, g.tip_c, g.tip_d)))
    return next_best > 4 * best and next_best > 40e-6 and steady > 10e-6


def _reading_working(name, part, first, second):
    """Return the working of a reading between two tips with one part as the short: four distances, two logarithms."""
    part_along, part_across = f"part_along[{part - 1}]", f"part_across[{part - 1}]"
    return f"""
short_along, short_across = {part_along}, {part_across}     # C{part}
first_to_clip = sqrt(({first}[0] - inject[0])**2 + ({first}[1] - inject[1])**2)
second_to_clip = sqrt(({second}[0] - inject[0])**2 + ({second}[1] - inject[1])**2)
first_to_short = sqrt(({first}[0] - short_along)**2 + ({first}[1] - short_across)**2)
second_to_short = sqrt(({second}[0] - short_along)**2 + ({second}[1] - short_across)**2)
logs = log(second_to_clip / first_to_clip) + log(first_to_short / second_to_short)
{name} = current * square_ohms * 1e3 / (2 * pi) * logs
"""


LINE_PROBE = (
    "Laboratory note on four-point probes, rev. 7 (2004): 990 µV of one square over the factor 4.532 of four in a line"
)
IN_LINE = {"part_along": (56, 75, 57, 75, 107), "part_across": (28, 50, 72, 50, 50)}
"""Parts 2 and 4 as the far point of four in a line, 20 mm apart."""


WHICH_PART = Exercise(
    id="which-part",
    number=21,
    title="Name the shorted part from two readings",
    setup=(
        "Five capacitors C1 to C5 join a wide plane to ground; one is shorted. The table gives their places, C1 in "
        "the first line, along and across from one corner of the board. {current} enters the plane at ({inject}) and "
        "leaves through the short. The plane has {square_ohms} and its edges are far.\n\n"
        "From a tip at P to a tip at Q the meter reads V(P) − V(Q) = I × Rs / (2π) × [ln(distance of Q from the "
        "injection / distance of P from the injection) + ln(distance of P from the short / distance of Q from the "
        "short)].\n\n"
        "Two readings are taken, thermal voltages taken out and good to about 10 µV: from A ({tip_a}) to B ({tip_b}), "
        "and from C ({tip_c}) to D ({tip_d}). In this order the meter shows {readings}. (Invented data.)"
    ),
    givens=dict(
        part_along=Record((56, 94, 57, 93, 107), "mm", _own_along),
        part_across=Record((28, 71, 72, 28, 50), "mm", _own_across),
        inject=Fixed((15, 50), "mm"),
        tip_a=Fixed((35, 50), "mm"),
        tip_b=Fixed((120, 50), "mm"),
        tip_c=Fixed((75, 15), "mm"),
        tip_d=Fixed((75, 95), "mm"),
        current=Quantity(2.0, "A", low=1.5, high=2.5, step=0.1),
        square_ohms=Fixed(0.495, "mΩ/sq"),
        readings=Record((139, 126), "µV", _own_readings),
    ),
    table=("part_along", "part_across"),
    drawing=lambda g: wires.plane_from_above(
        tuple(zip(g.part_along, g.part_across, strict=True)), g.inject, (g.tip_a, g.tip_b, g.tip_c, g.tip_d)
    ),
    parts=(
        Number(
            "first_if_c2",
            "What would the reading from A to B be if C2 were the short?",
            points=2,
            unit="µV",
            expected=lambda g, a: _predicted(g, 1, g.tip_a, g.tip_b),
            within=absolute(2),
            because="places are given to a millimetre",
            plausible=(130, 620),
            working=_reading_working("first_if_c2", 2, "tip_a", "tip_b"),
            hint="Four distances: both tips from the injection point, both tips from C2.",
            slips=(
                Slip(
                    "injection alone",
                    lambda g, a: copper.plane_drop(
                        g.current, g.square_ohms, _distance(g.tip_a, g.inject), _distance(g.tip_b, g.inject)
                    ),
                    "You counted the injection point alone. The short's two distances are missing.",
                ),
                Slip(
                    "short turned round",
                    lambda g, a: (
                        2
                        * copper.plane_drop(
                            g.current, g.square_ohms, _distance(g.tip_a, g.inject), _distance(g.tip_b, g.inject)
                        )
                        - _predicted(g, 1, g.tip_a, g.tip_b)
                    ),
                    "The short's logarithm has the wrong sign: current leaves there, it does not enter.",
                ),
                Slip(
                    "tips swapped",
                    lambda g, a: -_predicted(g, 1, g.tip_a, g.tip_b),
                    "The size is right. The reading goes from A to B: V(A) − V(B).",
                    worth=0.5,
                ),
                Slip(
                    "2π lost",
                    lambda g, a: 2 * math.pi * _predicted(g, 1, g.tip_a, g.tip_b),
                    "The 2π is missing.",
                ),
            ),
        ),
        Number(
            "second_if_c4",
            "What would the reading from C to D be if C4 were the short?",
            points=2,
            unit="µV",
            expected=lambda g, a: _predicted(g, 3, g.tip_c, g.tip_d),
            within=absolute(2),
            because="places are given to a millimetre",
            plausible=(-490, 410),
            working=_reading_working("second_if_c4", 4, "tip_c", "tip_d"),
            slips=(
                Slip(
                    "tips swapped",
                    lambda g, a: -_predicted(g, 3, g.tip_c, g.tip_d),
                    "The size is right. The reading goes from C to D: V(C) − V(D).",
                    worth=0.5,
                ),
                Slip(
                    "first pair of tips",
                    lambda g, a: _predicted(g, 3, g.tip_a, g.tip_b),
                    "That is the reading from A to B. Here the tips are at C and D.",
                ),
                Slip(
                    "2π lost",
                    lambda g, a: 2 * math.pi * _predicted(g, 3, g.tip_c, g.tip_d),
                    "The 2π is missing.",
                ),
            ),
        ),
        Choice(
            "shorted",
            "Work out both readings for each part and compare them with what the meter shows. Which part is shorted?",
            points=1,
            options={f"c{number}": f"capacitor C{number}" for number in range(1, 6)},
            expected=lambda g, a: f"c{1 + int(np.argmin(_misfits(g)))}",
            hint="One reading alone fits two parts. Both together fit one, within some microvolts.",
        ),
    ),
    cases=(
        Case(
            "first_if_c2",
            218.4,
            0.05,
            LINE_PROBE,
            "published",
            givens={"inject": (15, 50), "tip_a": (35, 50), "tip_b": (55, 50), **IN_LINE},
        ),
        Case(
            "second_if_c4",
            218.4,
            0.05,
            LINE_PROBE,
            "published",
            givens={"inject": (15, 50), "tip_c": (35, 50), "tip_d": (55, 50), **IN_LINE},
        ),
    ),
    caution=INJECT,
    floor=0.04,
    sound=_one_part_fits,
)

EXERCISES = (HEAT_SPLIT, BRANCH, PLANE, WHICH_PART)
