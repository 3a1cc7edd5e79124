"""Exercises on rails: leaks, parts read in the circuit, junctions, and boards that are still warm."""

import numpy as np

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.shorts.words import DEAD, HEAT, ON_PAPER
from workbook.bench.shorts import decision, junctions, meter, networks

LEAK_BEHIND = Exercise(
    id="leak-behind-a-low-rail",
    number=9,
    title="Find the leak behind a low rail",
    setup=(
        "On a good board a rail reads {reference} to ground, leads taken out. All readings here are of the same rail, "
        "with the same meter, range and polarity, on boards at room temperature (invented). Take the rail as a "
        "resistor; a part that leaks to ground lies in parallel with it."
    ),
    givens=dict(
        reference=Quantity(56, "Ω", low=30, high=120, step=1),
        leaky_part=Quantity(14, "Ω", low=5, high=60, step=1),
        now=Quantity(6.2, "Ω", low=3.0, high=55.0, step=0.2),
        least_share=Fixed(50, "%", rule="shorts.reference_share"),
    ),
    parts=(
        Number(
            "shown",
            "On one board a part on this rail leaks: {leaky_part} to ground. What does the rail read?",
            points=1,
            unit="Ω",
            expected=lambda g, a: networks.parallel(g.reference, g.leaky_part),
            within=relative(0.01),
            because="both resistances are given to two figures",
            plausible=(2.7, 120),
            working="shown = 1 / (1 / reference + 1 / leaky_part)",
            hint="In parallel the conductances, 1/R, add.",
            slips=(
                Slip(
                    "in series",
                    lambda g, a: g.reference + g.leaky_part,
                    "You added them, as in series. A leak opens a second way to ground: the rail reads lower.",
                ),
                Slip(
                    "mean",
                    lambda g, a: (g.reference + g.leaky_part) / 2,
                    "Two ways to ground together read lower than either alone. A mean does not.",
                ),
                Slip(
                    "conductance",
                    lambda g, a: 1 / g.reference + 1 / g.leaky_part,
                    "That is the sum of the conductances. One step is missing to get ohm.",
                ),
                Slip(
                    "half the leak",
                    lambda g, a: g.leaky_part / 2,
                    "Halving is right only for two equal resistors.",
                ),
            ),
        ),
        Number(
            "leak",
            "On another board the rail reads {now}. Which leak in parallel with a good rail explains that?",
            points=2,
            unit="Ω",
            expected=lambda g, a: decision.leak_behind(g.reference, g.now),
            within=relative(0.01),
            because="the readings are exact as printed",
            plausible=(1, 1000),
            working="leak = reference * now / (reference - now)",
            hint="Conductance now = conductance of the good rail + conductance of the leak. Solve for the leak.",
            slips=(
                Slip(
                    "subtracted",
                    lambda g, a: g.reference - g.now,
                    "You subtracted resistances. In parallel it is the conductances that add and subtract.",
                ),
                Slip(
                    "parallel again",
                    lambda g, a: networks.parallel(g.reference, g.now),
                    "You put the reading in parallel once more. The reading already holds both: take one out.",
                ),
                Slip(
                    "reading for leak",
                    lambda g, a: g.now,
                    "That is the reading of rail and leak together. The leak alone is larger.",
                ),
            ),
        ),
        Number(
            "share_left",
            "Which share of the good board's reading is left?",
            points=1,
            unit="%",
            expected=lambda g, a: g.now / g.reference,
            within=relative(0.01),
            because="the readings are exact as printed",
            plausible=(1, 100),
            working="share_left = now / reference * 100",
            slips=(
                Slip(
                    "share lost",
                    lambda g, a: 1 - g.now / g.reference,
                    "That is the share that is lost. The question asks for what is left.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.reference / g.now,
                    "The ratio is upside down: what is left is less than all.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "Your shop passes a rail that still reads at least {least_share} of the good board (the shop's figure). "
            "What follows for this one?",
            points=1,
            options={
                "always short": "change parts: a rail below 10 Ω is shorted",
                "search": "it does not hold: search the rail for the leak",
                "pass": "it holds: write it down and go on",
            },
            expected=lambda g, a: "pass" if a.share_left >= g.least_share else "search",
            slips={
                "always short": "There is no such limit for all rails: many good ones read a few ohm. It belongs to "
                "the rail, and a good board tells it.",
            },
        ),
    ),
    cases=(
        Case("shown", 11.2, 0.0005, "product over sum, 784/70: 56 Ω and 14 Ω in parallel", "computed"),
        Case("leak", 6.972, 0.0005, "two resistors in parallel solved for one: 56 Ω reads 6.2 Ω", "computed"),
        Case("share_left", 12.5, 0.05, "by hand: 7 of 56 Ω", "computed", givens={"reference": 56, "now": 7}),
    ),
    caution=ON_PAPER,
    floor=0.15,
    sound=lambda drawn: (
        drawn["leaky_part"] < 0.8 * drawn["reference"]
        and drawn["now"] < 0.85 * drawn["reference"]
        and abs(drawn["now"] / drawn["reference"] - 0.5) > 0.02
    ),
)


def _off_its_marking(g):
    """Return by which share the resistor behind the reading is off its marking, either way."""
    return abs(decision.leak_behind(_round_the_other_way(g), g.reading) / g.first - 1)


def _round_the_other_way(g):
    return networks.series(g.second, g.third)


IN_CIRCUIT = Exercise(
    id="read-in-the-circuit",
    number=10,
    title="Read a resistor that is still on the board",
    setup=(
        "Three resistors join three nets in a triangle: {first} from A to B, {second} from B to C, {third} from C to "
        "A. Nothing else is joined to them. The meter between two nets sees the resistor between them in parallel "
        "with the way round through the other two."
    ),
    givens=dict(
        first=Quantity(30, "Ω", low=10, high=99, step=1),
        second=Quantity(60, "Ω", low=10, high=99, step=1),
        third=Quantity(90, "Ω", low=10, high=99, step=1),
        reading=Quantity(24.0, "Ω", low=6, high=60, step=0.5),
        tolerance=Fixed(10, "%"),
    ),
    parts=(
        Number(
            "shown",
            "What does the meter show between A and B?",
            points=1,
            unit="Ω",
            expected=lambda g, a: networks.parallel(g.first, _round_the_other_way(g)),
            within=relative(0.01),
            because="the resistors are exact as printed",
            plausible=(5, 99),
            working="shown = 1 / (1 / first + 1 / (second + third))",
            hint="The other two lie one after the other; that way lies beside the first.",
            slips=(
                Slip(
                    "first alone",
                    lambda g, a: g.first,
                    "That is the resistor alone. On the board there is a second way round.",
                ),
                Slip(
                    "all three beside each other",
                    lambda g, a: networks.parallel(g.first, g.second, g.third),
                    "You put all three side by side. The current on the way round passes both others, one after the "
                    "other.",
                ),
                Slip(
                    "all three in a row",
                    lambda g, a: networks.series(g.first, g.second, g.third),
                    "You put all three in a row. Between A and B the current has two ways.",
                ),
            ),
        ),
        Number(
            "true_first",
            "On another board like it the meter shows {reading} between A and B, and the other two resistors are as "
            "above. What is the resistor from A to B there?",
            points=2,
            unit="Ω",
            expected=lambda g, a: decision.leak_behind(_round_the_other_way(g), g.reading),
            within=relative(0.01),
            because="the resistors are exact as printed",
            plausible=(5, 200),
            working="""
way_round = second + third
true_first = way_round * reading / (way_round - reading)
""",
            hint="Conductance shown = conductance of the resistor + conductance of the way round.",
            slips=(
                Slip(
                    "reading",
                    lambda g, a: g.reading,
                    "That is the reading. The way round is in it: the resistor alone is larger.",
                ),
                Slip(
                    "parallel again",
                    lambda g, a: networks.parallel(g.reading, _round_the_other_way(g)),
                    "You put the way round in once more. It has to come out.",
                ),
                Slip(
                    "way round of one",
                    lambda g, a: g.second * g.reading / (g.second - g.reading),
                    "You took only one of the others out. The way round passes both.",
                ),
                Slip(
                    "subtracted",
                    lambda g, a: _round_the_other_way(g) - g.reading,
                    "You subtracted resistances. In parallel it is the conductances that add and subtract.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "The resistor from A to B on that other board is marked {first} ± {tolerance}. What does the bench do with it?",
            points=1,
            options={
                "as read": "change it: the meter does not show what is marked",
                "keep": "leave it: taken out of the net it is within its marking",
                "lift": "lift one end and read it alone: it is off its marking",
            },
            expected=lambda g, a: "keep" if abs(a.true_first / g.first - 1) <= g.tolerance else "lift",
            hint="Compare your answer to Part 2, not the reading, with the marking.",
            slips={
                "as read": "In the circuit the meter always shows less. The way round has to be taken out first.",
                "keep": "Work out by how much your answer to Part 2 is off the marking.",
                "lift": "Your answer to Part 2 is within the tolerance of the marking: nothing speaks against it.",
            },
        ),
    ),
    cases=(
        Case(
            "shown",
            11.25,
            0.005,
            "question bank: loop of 45 Ω in parallel with 15 Ω",
            "computed",
            givens={"first": 15, "second": 15, "third": 30},
        ),
        Case(
            "true_first",
            30,
            0.05,
            "parallel resistors by hand: 30 beside 60 Ω read 20 Ω",
            "computed",
            givens={"second": 30, "third": 30, "reading": 20},
        ),
    ),
    caution=DEAD,
    floor=0.20,
    sound=lambda drawn: (
        drawn["reading"] < 0.8 * (drawn["second"] + drawn["third"])
        and abs(drawn["second"] - drawn["reading"]) > 5
        and drawn["second"] > drawn["reading"]
        and abs(_off_its_marking(IN_CIRCUIT.values(drawn)) - 0.1) > 0.015
        and _off_its_marking(IN_CIRCUIT.values(drawn)) < 0.3
    ),
)

BOLTZMANN_OVER_CHARGE = 1.380649e-23 / 1.602176634e-19


DIODE_MODE = Exercise(
    id="diode-mode",
    number=11,
    title="Read a junction in diode mode",
    setup=(
        "In diode mode a meter feeds {test_current} and shows the voltage. A silicon junction follows I = Is × "
        "(exp(V/VT) − 1), with Is = {saturation} at the board's temperature of {board_c}, and VT = kT/q: k = {boltzmann}, "
        "q = {charge}, T in kelvin (°C + 273.15). The meter is good to ±(0.5 % of the reading "
        "+ 1 count of 0.001 V)."
    ),
    givens=dict(
        test_current=Pick(1.0, (0.5, 0.8, 1.0, 1.5), "mA"),
        saturation=Fixed(1e-14, "A"),
        board_c=Quantity(27, "°C", low=18, high=32, step=1),
        leak=Quantity(350, "Ω", low=50, high=250, step=10),
        boltzmann=Fixed(1.380649e-23, "J/K"),
        charge=Fixed(1.602177e-19, "C"),
    ),
    parts=(
        Number(
            "thermal_volts",
            "What is VT?",
            points=1,
            unit="mV",
            expected=lambda g, a: junctions.thermal_voltage(g.board_c),
            within=relative(0.005),
            because="only rounding is left",
            plausible=(20, 35),
            working="thermal_volts = boltzmann * (board_c + 273.15) / charge * 1e3",
            slips=(
                Slip(
                    "degrees Celsius",
                    lambda g, a: BOLTZMANN_OVER_CHARGE * g.board_c,
                    "You put in °C. Bring the temperature to kelvin first.",
                ),
                Slip(
                    "273 taken off",
                    lambda g, a: BOLTZMANN_OVER_CHARGE * (273.15 - g.board_c),
                    "You took the temperature off 273.15. Add it.",
                ),
            ),
        ),
        Number(
            "forward",
            "What does the meter show on a good junction, forward?",
            points=2,
            unit="V",
            expected=lambda g, a: a.thermal_volts * np.log1p(g.test_current / g.saturation),
            within=relative(0.005),
            because="only rounding is left",
            plausible=(0.4, 0.9),
            working="forward = thermal_volts / 1e3 * log(1 + test_current / 1e3 / saturation)",
            hint="Solve the junction's equation for V, with both currents in ampere.",
            slips=(
                Slip(
                    "log to base 10",
                    lambda g, a: a.thermal_volts * np.log10(1 + g.test_current / g.saturation),
                    "You took the logarithm to base 10. exp is undone by the natural logarithm.",
                ),
                Slip(
                    "milliampere",
                    lambda g, a: a.thermal_volts * np.log1p(1e3 * g.test_current / g.saturation),
                    "The test current is in mA, Is in A: bring both to the same unit.",
                ),
            ),
        ),
        Number(
            "two_beside",
            "Two such junctions are in parallel (same way round). What does the meter show?",
            points=1,
            unit="V",
            expected=lambda g, a: a.forward - a.thermal_volts * np.log(2),
            within=absolute(0.002),
            because="a meter in diode mode has steps of 0.001 V",
            plausible=(0.35, 0.9),
            working="two_beside = forward - thermal_volts / 1e3 * log(2)",
            hint="Each carries half of the current.",
            slips=(
                Slip(
                    "half",
                    lambda g, a: a.forward / 2,
                    "Half the current is far from half the voltage: V goes with the log.",
                ),
                Slip(
                    "added",
                    lambda g, a: a.forward + a.thermal_volts * np.log(2),
                    "The sign is turned round: with half the current each, the voltage drops a little.",
                ),
                Slip("unchanged", lambda g, a: a.forward, "Each now carries half the current: that shows a little."),
            ),
        ),
        Number(
            "leaky",
            "On another pin the junction has {leak} across it. The junction then never turns on, and all the current "
            "goes through the leak. What does the meter show?",
            points=1,
            unit="V",
            expected=lambda g, a: junctions.diode_mode_reading(g.test_current, g.leak, 1, g.saturation, g.board_c),
            within=absolute(0.002),
            because="a meter in diode mode has steps of 0.001 V",
            plausible=(0.01, 0.45),
            working="leaky = test_current / 1e3 * leak",
            slips=(
                Slip(
                    "junction",
                    lambda g, a: a.forward,
                    "That is the good junction. The leak takes the current before it turns on.",
                ),
                Slip(
                    "added",
                    lambda g, a: a.forward + g.test_current * g.leak,
                    "You put leak and junction in a row. They lie side by side.",
                ),
            ),
        ),
        Number(
            "reading_limit",
            "By how much may the reading of the good junction be off, either way?",
            points=1,
            unit="mV",
            expected=lambda g, a: meter.accuracy_limit(a.forward, 0.005, 1, 0.001),
            within=absolute(0.1),
            because="the data sheet is exact; only rounding is left",
            plausible=(1, 20),
            working="reading_limit = 0.5 / 100 * forward * 1e3 + 1",
            slips=(
                Slip("count forgotten", lambda g, a: 0.005 * a.forward, "The share alone. The count comes on top."),
                Slip("share forgotten", lambda g, a: 1e-3, "The count alone. The share of the reading comes on top."),
            ),
        ),
        Choice(
            "both_ways",
            "A junction reads 0.002 V one way and 0.002 V with the probes swapped. What is written down? (Whether it is a short "
            "or low by design, a good board tells.)",
            points=1,
            options={
                "good": "a good junction with a small drop",
                "open": "an open junction: nothing conducts",
                "shorted": "something low lies across the two pins",
            },
            expected=lambda g, a: "shorted",
            slips={
                "good": "A good junction shows some tenths of a volt one way and overload the other.",
                "open": "An open junction shows overload both ways.",
            },
        ),
    ),
    cases=(
        Case(
            "thermal_volts",
            25.8,
            0.1,
            "page on the diode equation: 25.8 mV at 300 K",
            "published-second-hand",
            givens={"board_c": 26.85},
            note="the page cuts off after the digit; the constants give 25.85",
        ),
        Case("forward", 0.6551, 0.0001, "default diode of circuit simulators, 1 mA at 27 °C", "computed"),
        Case("two_beside", 0.637, 0.0005, "diode equation, two junctions at 1 mA and 27 °C", "computed"),
        Case("leaky", 0.350, 0.0005, "diode equation with 350 Ω across it, 1 mA", "computed"),
        Case(
            "reading_limit",
            9.8,
            0.05,
            "meter maker's page on accuracy: 1.755 V at 0.5 % + 1 count of 0.001 V, printed 0.0098 V",
            "published-second-hand",
            earlier={"forward": 1.755},
        ),
    ),
    caution=DEAD,
    floor=0.20,
)


def _warm_reading(g, leakage):
    return junctions.off_state_reading(g.test_current, leakage, g.warm_c)


LET_IT_COOL = Exercise(
    id="let-it-cool",
    number=12,
    title="Let the board cool before you judge it",
    setup=(
        "A rail of a large silicon circuit that is off is no resistor: it leaks. At {cold_c} a meter with a test "
        "current of {test_current} reads {cold_reading}. A simple model of such a circuit with the leakage I0 reads R "
        "= (VT/Im) × ln(1/(1 − Im/I0)), so I0 = Im / (1 − exp(−Im R/VT)), with Im the meter's test current. VT is "
        "{volts_per_kelvin} times the temperature in kelvin (°C + 273.15). Let the leakage double every {doubling} (a rule "
        "of thumb: 15 to 20 K). The model is right to a factor of about 3: it shows the direction, and no reading is judged by "
        "it. A short stays low when the board is cold; a good rail comes back."
    ),
    givens=dict(
        cold_c=Fixed(25, "°C"),
        test_current=Fixed(1.0, "mA"),
        cold_reading=Quantity(56, "Ω", low=20, high=80, step=1),
        warm_c=Quantity(60, "°C", low=45, high=75, step=1),
        doubling=Pick(18, (15, 16, 17, 18, 19, 20), "K"),
        rail_volts=Pick(0.9, (0.75, 0.8, 0.85, 0.9, 0.95), "V"),
        rail_watts=Quantity(10, "W", low=5, high=40, step=1),
        volts_per_kelvin=Fixed(0.08617, "mV/K"),
    ),
    parts=(
        Number(
            "leakage",
            "What leakage I0 belongs to the reading at {cold_c}?",
            points=1,
            unit="mA",
            expected=lambda g, a: junctions.leakage_behind(g.test_current, g.cold_reading, g.cold_c),
            within=relative(0.01),
            because="only rounding is left; the model itself is good to a factor of 3",
            plausible=(1.02, 4),
            working="""
cold_volts = volts_per_kelvin * 1e-3 * (cold_c + 273.15)
leakage = test_current / (1 - exp(-test_current * 1e-3 * cold_reading / cold_volts))
""",
            slips=(
                Slip(
                    "degrees Celsius",
                    lambda g, a: (
                        g.test_current
                        / (1 - np.exp(-g.test_current * g.cold_reading / (g.volts_per_kelvin * g.cold_c)))
                    ),
                    "Bring the temperature to kelvin first.",
                ),
                Slip(
                    "minus lost",
                    lambda g, a: (
                        g.test_current / np.expm1(g.test_current * g.cold_reading / junctions.thermal_voltage(g.cold_c))
                    ),
                    "The exponent has lost its minus sign.",
                ),
                Slip(
                    "resistor",
                    lambda g, a: junctions.thermal_voltage(g.cold_c) / g.cold_reading,
                    "VT / R is the short form for very small readings. Here it is too far off: take the formula.",
                ),
            ),
        ),
        Number(
            "warm_leakage",
            "What is the leakage at {warm_c}?",
            points=1,
            unit="mA",
            expected=lambda g, a: junctions.leakage_when_warm(a.leakage, g.warm_c - g.cold_c, g.doubling),
            within=relative(0.01),
            because="only rounding is left; the rule itself is rough",
            plausible=(1.5, 28),
            working="warm_leakage = leakage * 2 ** ((warm_c - cold_c) / doubling)",
            slips=(
                Slip(
                    "from zero",
                    lambda g, a: junctions.leakage_when_warm(a.leakage, g.warm_c, g.doubling),
                    "You doubled from 0 °C on. Count from the temperature of the cold reading.",
                ),
                Slip(
                    "times the doublings",
                    lambda g, a: a.leakage * 2 * (g.warm_c - g.cold_c) / g.doubling,
                    "You multiplied by two for each doubling in a sum. Each doubling doubles what was there before.",
                ),
                Slip(
                    "by e",
                    lambda g, a: a.leakage * np.exp((g.warm_c - g.cold_c) / g.doubling),
                    "You let it grow by e and not by 2 in each step.",
                ),
            ),
        ),
        Number(
            "warm_reading",
            "What does the same meter read on this good rail at {warm_c}? (Mind VT.)",
            points=2,
            unit="Ω",
            expected=lambda g, a: _warm_reading(g, a.warm_leakage),
            within=relative(0.02),
            because="small readings react to every rounding before them",
            plausible=(0.2, 60),
            working="""
warm_volts = volts_per_kelvin * 1e-3 * (warm_c + 273.15)
warm_reading = warm_volts / (test_current * 1e-3) * log(1 / (1 - test_current / warm_leakage))
""",
            slips=(
                Slip(
                    "VT of the cold board",
                    lambda g, a: junctions.off_state_reading(g.test_current, a.warm_leakage, g.cold_c),
                    "You kept VT of the cold board. It grows with the temperature too.",
                ),
                Slip(
                    "shared out",
                    lambda g, a: g.cold_reading * a.leakage / a.warm_leakage,
                    "You divided the cold reading by the growth of the leakage. That holds for a resistor; this is "
                    "none.",
                ),
                Slip(
                    "log to base 10",
                    lambda g, a: _warm_reading(g, a.warm_leakage) / np.log(10),
                    "You took the logarithm to base 10. ln is the natural one.",
                ),
            ),
        ),
        Number(
            "running",
            "Running, the rail has {rail_volts} and takes {rail_watts}. What resistance is that worth? (A meter on "
            "the dead board never sees it.)",
            points=1,
            unit="mΩ",
            expected=lambda g, a: junctions.running_resistance(g.rail_volts, g.rail_watts),
            within=relative(0.01),
            because="voltage and power are exact as printed",
            plausible=(5, 290),
            working="running = rail_volts**2 / rail_watts * 1e3",
            slips=(
                Slip(
                    "not squared",
                    lambda g, a: g.rail_volts / g.rail_watts,
                    "The voltage has to be squared: power is V²/R.",
                ),
                Slip("upside down", lambda g, a: g.rail_watts / g.rail_volts**2, "The ratio is upside down."),
            ),
        ),
        Choice(
            "next_step",
            "Fresh from reflow the rail reads far lower than on a good board at room temperature. What do you do next?",
            points=1,
            options={
                "replace": "change the large circuit before it does more harm",
                "cool and read again": "let the board cool, and read on the same range",
                "pass": "pass it, since a warm board always reads low",
            },
            expected=lambda g, a: "cool and read again",
            slips={
                "replace": "The low reading may be nothing but heat. A costly part is not replaced for that.",
                "pass": "It may be heat, and it may be a short under the heat. One cold reading tells them apart.",
            },
        ),
    ),
    cases=(
        Case(
            "leakage",
            1.09,
            0.005,
            "subthreshold current, gate off: 64 Ω at 1 mA and 25 °C",
            "computed",
            givens={"cold_reading": 64},
        ),
        Case(
            "warm_reading",
            2.4,
            0.05,
            "subthreshold current with doubling each 10 K: 64 Ω cold, read at 60 °C",
            "computed",
            givens={"cold_reading": 64, "doubling": 10},
        ),
        Case("running", 81, 0.5, "Ohm's law: 0.9 V and 10 W", "computed"),
        Case(
            "running",
            240,
            0.5,
            "Ohm's law: 1.2 V and 6 W",
            "computed",
            givens={"rail_volts": 1.2, "rail_watts": 6},
        ),
        Case(
            "warm_leakage",
            8,
            0.005,
            "by hand: three doublings of 1 mA",
            "computed",
            givens={"cold_c": 25, "warm_c": 79, "doubling": 18},
            earlier={"leakage": 1.0},
        ),
    ),
    caution=HEAT,
    floor=0.10,
)

EXERCISES = (LEAK_BEHIND, IN_CIRCUIT, DIODE_MODE, LET_IT_COOL)
