"""The board comes in: what its mains capacitor says before anyone touches it."""

from math import log, log10

from graders.questions import Case, Choice, Exercise, Number, Order, Pick, Quantity, Slip, relative
from graders.sheets.signoff.words import MAINS, story
from workbook.bench.intake import capacitors

AS_MARKED = (0.8, 1.2)


def _bleeder(g):
    return capacitors.discharge_resistance(g.apart, g.second, g.capacitance, g.first)


def _bleeder_says(ratio):
    low, high = AS_MARKED
    return "lower" if ratio < low else "higher" if ratio > high else "as marked"


ARRIVAL = Exercise(
    id="before-you-touch",
    number=1,
    title="Read the capacitor before you touch the board",
    setup=story(
        "The board has just come in and is unplugged.",
        "The mains capacitor is marked {capacitance}. A resistor across it, the bleeder, is marked {marked} and drains "
        "it once the plug is out. A licensed colleague, with a meter and leads rated for it, reads "
        "{first}, and {apart} later {second}. The meter itself drains next to nothing. A capacitor drains as "
        "V = V₀ · exp( −t/τ ), with τ = R · C. The shop calls a capacitor empty at {empty} or less.",
    ),
    givens=dict(
        capacitance=Pick(150, (100, 120, 150, 180, 220), "µF"),
        marked=Pick(220, (150, 180, 220, 270, 330, 470), "kΩ"),
        first=Quantity(310, "V", low=250, high=325, step=5),
        second=Quantity(225, "V", low=120, high=240, step=5),
        apart=Quantity(20, "s", low=15, high=45, step=1),
        empty=Pick(5, (3, 5, 10), "V"),
    ),
    parts=(
        Number(
            "constant",
            "What time constant τ do the two readings show?",
            points=2,
            unit="s",
            expected=lambda g, a: _bleeder(g) * g.capacitance,
            within=relative(0.02),
            because="the readings are taken as printed, and rounding costs less",
            plausible=(5, 420),
            working="constant = apart / log(first / second)",
            hint="Solve the law for τ: take the logarithm of the ratio of the two readings.",
            slips=(
                Slip(
                    "sign turned",
                    lambda g, a: -_bleeder(g) * g.capacitance,
                    "The size is right, the sign is turned round.",
                    worth=0.5,
                ),
                Slip(
                    "logarithm to base ten",
                    lambda g, a: g.apart / log10(g.first / g.second),
                    "You took the logarithm to base ten. The law has e as its base: use the natural logarithm, log.",
                ),
                Slip(
                    "straight line",
                    lambda g, a: g.apart * g.first / (g.first - g.second),
                    "You let it fall in a straight line. It falls ever slower: each second takes the same share.",
                ),
            ),
        ),
        Number(
            "bleeder",
            "Which resistance drains it, if the capacitor is as marked?",
            points=1,
            unit="kΩ",
            expected=lambda g, a: a.constant / g.capacitance,
            within=relative(0.02),
            because="it carries the rounding of τ",
            plausible=(20, 3400),
            working="bleeder = constant / (capacitance * 1e-6) / 1000",
            slips=(
                Slip(
                    "multiplied",
                    lambda g, a: a.constant * g.capacitance,
                    "You multiplied. τ is R times C, so R is what is left when C is divided out.",
                ),
            ),
        ),
        Choice(
            "says",
            "What goes on the job sheet about the bleeder of this capacitor? The shop counts it as marked where it lies within "
            "20 % of the marking, since the capacitor may be off by that much. (If it is failing: with the supply still "
            "unplugged, drain through a resistor, measure again after draining, and have the bleeder replaced.)",
            points=1,
            options={
                "lower": "more than 20 % below: something else drains it too",
                "as marked": "within 20 %: the bleeder does what is printed on it",
                "higher": "more than 20 % above: the bleeder itself is failing",
            },
            expected=lambda g, a: _bleeder_says(a.bleeder / g.marked),
            hint="Divide the resistance you found by the marking, and compare the ratio with 0.8 and 1.2.",
        ),
        Number(
            "wait",
            "Left alone, how long after the second reading is it down to {empty}?",
            points=2,
            unit="s",
            expected=lambda g, a: a.constant * log(g.second / g.empty),
            within=relative(0.03),
            because="it carries the rounding of τ",
            plausible=(10, 3200),
            working="wait = constant * log(second / empty)",
            hint="The same law again: from the second reading to the shop's figure.",
            slips=(
                Slip(
                    "logarithm to base ten",
                    lambda g, a: a.constant * log10(g.second / g.empty),
                    "You took the logarithm to base ten. Use the natural one.",
                ),
                Slip(
                    "from the first reading",
                    lambda g, a: a.constant * log(g.first / g.empty),
                    "You counted from the first reading. The question asks from the second on.",
                ),
                Slip(
                    "straight line",
                    lambda g, a: g.apart * (g.second - g.empty) / (g.first - g.second),
                    "You kept the pace of the two readings. It gets slower as the voltage falls.",
                ),
                Slip(
                    "marked resistor",
                    lambda g, a: g.capacitance * g.marked * log(g.second / g.empty),
                    "You used the resistor as it is marked. The two readings tell how fast this board drains.",
                ),
            ),
        ),
        Order(
            "steps",
            "The next set that comes in is still plugged in. In which order is it made safe to touch?",
            points=1,
            options={
                "touch": "touch the board",
                "drain": "drain the capacitor through a rated, insulated resistor",
                "unplug": "unplug the set",
                "measure": "measure that the capacitor is empty, with a meter proved on a known voltage",
                "wait": "wait for the bleeder to do its part",
            },
            expected=lambda g, a: [["unplug"], ["wait", "drain"], ["measure"], ["touch"]],
            never={
                ("unplug", "touch"): "You touched before the plug was out. That order can kill.",
                (
                    "measure",
                    "touch",
                ): "You touched before anything was measured. A failed bleeder shows only on the meter.",
                ("unplug", "drain"): "You drained with the plug in: the mains fills it again, through your resistor.",
                ("unplug", "wait"): "You waited with the plug in: the mains keeps it full.",
                ("unplug", "measure"): "You measured with the plug in. Pull the plug before anything else.",
                (
                    "wait",
                    "measure",
                ): "Measure last, right before you touch: the voltage can creep back while you wait.",
                (
                    "drain",
                    "measure",
                ): "You measured and then drained. What counts is what the meter says after draining.",
            },
        ),
    ),
    cases=(
        Case(
            "wait",
            9.8,
            0.05,
            "capacitor discharge calculator page: 470 µF, 10 kΩ, 400 V to 50 V",
            "published-second-hand",
            givens={"first": 500, "second": 400, "empty": 50},
            earlier={"constant": 4.7},
        ),
        Case(
            "bleeder",
            5.608,
            0.001,
            "R = t / (C ln(V0/V)): 470 µF from 400 V to 60 V in 5 s",
            "computed",
            givens={"capacitance": 470, "first": 400, "second": 60, "apart": 5},
        ),
        Case(
            "constant",
            1.0,
            0.005,
            "Repair page on discharging supply capacitors: 300 to 15 V in 3 s through 10 kΩ and 100 µF",
            "published-unnamed",
            givens={"first": 300, "second": 15, "apart": 3},
        ),
    ),
    caution=MAINS,
    sound=lambda drawn: _clear(ARRIVAL.values(drawn)),
    floor=0.25,
)


def _clear(g):
    """Whether the fall is well seen, and the bleeder is clearly inside or outside its marking."""
    if g.first / g.second <= 1.15:
        return False
    ratio = _bleeder(g) / g.marked
    return 0.3 < ratio < 4 and all(abs(ratio / edge - 1) > 0.05 for edge in AS_MARKED)
