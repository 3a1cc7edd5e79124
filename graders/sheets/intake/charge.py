"""What a capacitor still holds after the plug is out, how it drains, and which resistor drains it in time."""

from math import exp, log, log10

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Several, Slip, absolute, relative
from graders.sheets.intake.words import MAINS, MAINS_ON_PAPER
from workbook.bench.intake import capacitors
from workbook.drawings import discharge

CALCULATOR = "capacitor discharge calculator page"
PULSE_SHEET = "pulse-circuit design sheet (2005)"
STOCK = (1.0e3, 1.5e3, 2.2e3, 3.3e3, 4.7e3, 6.8e3, 10e3, 15e3, 22e3, 33e3, 47e3)
"""Resistor values in the drawer of the exercise, in ohm."""
WORST = 1.20 * 1.05
"""How many times its marked product R C can be: an electrolytic of +20 %, a resistor of +5 %."""

STORED = Exercise(
    id="stored-energy",
    number=1,
    title="Work out what a capacitor still holds",
    setup=(
        "A unit has just been unplugged. The big capacitor of its mains supply is marked {capacitance} and still stands "
        "at {voltage}. A laboratory's safety manual (Berkeley, Electrical Safety Manual, Table 2.2.13) counts a capacitor "
        "as a shock hazard where it has **at least 100 V and at least 10 J**. For machines, a standard (IEC 60204-1, as "
        "quoted) asks that parts come down to {residual} within 5 s of switching off. A consumer set is not bound by it: for "
        "audio, video and computer sets IEC 62368-1 (as a test form quotes it) looks at the pins of the pulled plug after 2 s, "
        "not at the capacitor inside, which may keep its charge for minutes or longer."
    ),
    givens=dict(
        capacitance=Pick(470, (100, 120, 150, 180, 220, 270, 330, 390, 470), "µF"),
        voltage=Quantity(400, "V", low=150, high=400, step=10),
        residual=Fixed(60, "V"),
    ),
    parts=(
        Number(
            "energy",
            "How much energy does the capacitor hold?",
            points=2,
            unit="J",
            expected=lambda g, a: capacitors.stored_energy(g.capacitance, g.voltage),
            within=relative(0.01),
            because="the numbers are taken as marked, and rounding costs less",
            plausible=(0.5, 150),
            working="energy = capacitance * 1e-6 * voltage**2 / 2",
            hint="The energy of a capacitor is half its capacitance times its voltage squared.",
            slips=(
                Slip(
                    "half forgotten",
                    lambda g, a: g.capacitance * g.voltage**2,
                    "Twice too much. A capacitor fills at a rising voltage: on average at half of the last one.",
                ),
                Slip(
                    "not squared",
                    lambda g, a: g.capacitance * g.voltage / 2,
                    "The voltage counts once in your number. In an energy it counts twice: it is squared.",
                ),
                Slip(
                    "charge",
                    lambda g, a: g.capacitance * g.voltage,
                    "Capacitance times voltage is the charge, in coulomb. The question asks for the energy.",
                ),
            ),
        ),
        Choice(
            "line",
            "Does it reach the line of the safety manual?",
            points=1,
            options={
                "below": "it has less than 100 V or less than 10 J",
                "reached": "it has at least 100 V and at least 10 J",
            },
            expected=lambda g, a: "reached" if g.voltage >= 100 and a.energy >= 10 else "below",
            hint="Both halves of the line count: the volts and the joules.",
        ),
        Number(
            "energy_left",
            "How much energy is left in it once it has come down to {residual}?",
            points=2,
            unit="J",
            expected=lambda g, a: a.energy * (g.residual / g.voltage) ** 2,
            within=relative(0.02),
            because="it carries the rounding of part 1",
            plausible=(0.05, 5),
            working="energy_left = energy * (residual / voltage)**2",
            hint="What does the energy do when the voltage falls to a half?",
            slips=(
                Slip(
                    "in step with the voltage",
                    lambda g, a: a.energy * g.residual / g.voltage,
                    "You let the energy fall in step with the voltage. It falls with the square.",
                ),
                Slip(
                    "what has gone",
                    lambda g, a: a.energy * (1 - (g.residual / g.voltage) ** 2),
                    "That is the energy that has gone into the resistor. The question asks what is left.",
                ),
                Slip(
                    "square of the difference",
                    lambda g, a: a.energy * (1 - g.residual / g.voltage) ** 2,
                    "You squared the difference of the voltages. Work with the voltage that is left.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "The line and the {residual} are known. What do they let you do next?",
            points=1,
            options={
                "go on": "work on it once the numbers come out below the line of the manual",
                "measure": "have it discharged through a rated resistor, measure, then touch",
                "screwdriver": "short it with a well insulated screwdriver, as many shops do",
                "wait": "give it ten minutes by the clock after unplugging, then work on it",
            },
            expected=lambda g, a: "measure",
            slips={
                "go on": "Below a line is not safe. A jerk of the hand or a burnt probe tip needs far less.",
                "wait": "A clock does not know whether the bleeder is whole. Only a meter does.",
                "screwdriver": "A short throws out all the energy in an instant: sparks, hot metal, a ruined part.",
            },
        ),
    ),
    cases=(
        Case("energy", 37.6, 0.05, f"{CALCULATOR}: 470 µF at 400 V", "published-second-hand"),
        Case(
            "energy",
            219.4,
            0.05,
            f"{PULSE_SHEET}: 195 µF at 1500 V",
            "published-second-hand",
            givens={"capacitance": 195, "voltage": 1500},
        ),
        Case("energy_left", 0.846, 0.0005, "half C V squared: 470 µF at 60 V", "computed"),
    ),
    caution=MAINS_ON_PAPER,
    sound=lambda drawn: abs(drawn["capacitance"] * drawn["voltage"] ** 2 / 2e6 - 10) > 0.3,
    floor=0.20,
)

DRAIN = Exercise(
    id="drain",
    number=2,
    title="Follow a capacitor while it drains",
    setup=(
        "An unplugged unit has a supply capacitor of {capacitance} that stands at {voltage}. At time zero a resistor of "
        "{resistor} is connected across it and stays connected. Take both parts as exact and undamaged."
    ),
    givens=dict(
        capacitance=Pick(470, (150, 180, 220, 270, 330, 390, 470), "µF"),
        voltage=Quantity(400, "V", low=200, high=400, step=10),
        resistor=Pick(10, (10, 12, 15, 18, 22), "kΩ"),
        moment=Quantity(3, "s", low=2, high=6, step=1),
        residual=Fixed(60, "V"),
        shown=Quantity(180, "V", low=150, high=190, step=10),
    ),
    drawing_of_answer=lambda g: discharge.bleeder(g.capacitance, g.voltage, g.resistor, g.moment, g.residual),
    parts=(
        Number(
            "time_constant",
            "What is the time constant?",
            points=1,
            unit="s",
            expected=lambda g, a: g.resistor * g.capacitance,
            within=relative(0.01),
            because="the parts are taken as exact, and rounding costs less",
            plausible=(0.5, 30),
            working="time_constant = resistor * 1e3 * capacitance * 1e-6",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: g.capacitance / g.resistor,
                    "You divided. A larger resistor drains more slowly, so the two are multiplied.",
                ),
                Slip(
                    "half-life",
                    lambda g, a: log(2) * g.resistor * g.capacitance,
                    "That is the time in which the voltage halves. The time constant is longer: resistance times capacitance.",
                ),
            ),
        ),
        Number(
            "voltage_left",
            "Which voltage is left after {moment}?",
            points=2,
            unit="V",
            expected=lambda g, a: g.voltage * exp(-g.moment / a.time_constant),
            within=relative(0.02),
            because="it carries the rounding of the time constant",
            plausible=(5, 400),
            working="voltage_left = voltage * exp(-moment / time_constant)",
            hint="In each time constant the voltage falls to 37 % of what it was.",
            slips=(
                Slip(
                    "straight line",
                    lambda g, a: g.voltage * (1 - g.moment / a.time_constant),
                    "You let the voltage fall in a straight line. It falls ever more slowly, because the current falls "
                    "with it.",
                ),
                Slip(
                    "what has gone",
                    lambda g, a: g.voltage * (1 - exp(-g.moment / a.time_constant)),
                    "That is by how much the voltage has fallen. The question asks what is left.",
                ),
                Slip(
                    "ten for e",
                    lambda g, a: g.voltage * 10 ** (-g.moment / a.time_constant),
                    "You took a power of ten. The fall goes with e, 2.718.",
                ),
                Slip(
                    "two for e",
                    lambda g, a: g.voltage * 2 ** (-g.moment / a.time_constant),
                    "You halved the voltage in each time constant. It falls to less than half in that time.",
                ),
            ),
        ),
        Number(
            "wait",
            "How long does it take to come down to {residual}?",
            points=2,
            unit="s",
            expected=lambda g, a: a.time_constant * log(g.voltage / g.residual),
            within=relative(0.02),
            because="it carries the rounding of the time constant",
            plausible=(0.5, 60),
            working="wait = time_constant * log(voltage / residual)",
            slips=(
                Slip(
                    "five time constants",
                    lambda g, a: 5 * a.time_constant,
                    "Five time constants leave less than 1 %. The question asks for a set voltage: take the logarithm.",
                ),
                Slip(
                    "log to the base ten",
                    lambda g, a: a.time_constant * log10(g.voltage / g.residual),
                    "That is the logarithm to the base ten. The time constant goes with the natural one.",
                ),
                Slip(
                    "straight line",
                    lambda g, a: a.time_constant * (1 - g.residual / g.voltage),
                    "You kept the current of the first moment all the way. It falls with the voltage.",
                ),
            ),
        ),
        Choice(
            "meter_says",
            "After more than this wait a meter on the capacitor still shows {shown}. What do you take from that?",
            points=1,
            options={
                "begin": "the calculation is right: the meter must be wrong, so start work",
                "path open": "the path may be open: keep clear, discharge again, measure again",
                "wait on": "it is a slow one: wait the same time once more, then start work",
            },
            expected=lambda g, a: "path open",
            slips={
                "begin": "Between a calculation and a meter, the meter is about this capacitor. Its word counts.",
                "wait on": "If the resistor has no contact, waiting drains nothing. And no wait is a permission to touch.",
            },
        ),
    ),
    cases=(
        Case(
            "time_constant",
            0.00975,
            0.000005,
            f"{PULSE_SHEET}: 195 µF and 50 Ω",
            "published-second-hand",
            givens={"capacitance": 195, "resistor": 0.05, "voltage": 1500},
        ),
        Case(
            "voltage_left",
            15,
            0.5,
            "repair page on discharging supply capacitors: 100 µF at 300 V through 10 kΩ, 3 s",
            "published-unnamed",
            givens={"capacitance": 100, "voltage": 300, "resistor": 10, "moment": 3},
        ),
        Case(
            "wait",
            9.8,
            0.05,
            f"{CALCULATOR}: 470 µF, 10 kΩ, 400 V to 50 V",
            "published-second-hand",
            givens={"residual": 50},
        ),
        Case(
            "wait",
            0.01506,
            0.000005,
            f"{PULSE_SHEET}: 195 µF, 50 Ω, 1500 V to 320 V",
            "published-second-hand",
            givens={"capacitance": 195, "resistor": 0.05, "voltage": 1500, "residual": 320},
        ),
        Case("wait", 8.92, 0.005, "R C ln(V0/V): 470 µF, 10 kΩ, 400 V to 60 V", "computed"),
    ),
    caution=MAINS_ON_PAPER,
    sound=lambda drawn: 0.3 <= drawn["moment"] * 1e3 / drawn["resistor"] / drawn["capacitance"] <= 2.5,
    floor=0.15,
)


def _stocked(largest: float) -> float:
    """Return the largest resistor of the drawer that is not above this, or the smallest there is."""
    return max([value for value in STOCK if value <= largest], default=STOCK[0])


def _next_up(largest: float) -> float:
    return min(value for value in STOCK if value > _stocked(largest))


def _clear_of_stock(drawn: dict) -> bool:
    """Whether the largest resistance, as marked and at worst, lies clear of every value in the drawer."""
    largest = drawn["allowed"] / (drawn["capacitance"] * 1e-6 * log(drawn["voltage"] / drawn["residual"]))
    clear = all(abs(largest / over / value - 1) > 0.025 for value in STOCK for over in (1, WORST))
    return STOCK[0] < largest < STOCK[-1] and clear


RESISTOR = Exercise(
    id="discharge-resistor",
    number=3,
    title="Choose a resistor that drains it in time",
    setup=(
        "A discharge tool is to bring a supply capacitor of {capacitance} from {voltage} down to {residual} within "
        "{allowed}, in units that are unplugged. In the drawer are resistors of 1.0, 1.5, 2.2, 3.3, 4.7, 6.8, 10, 15, 22, "
        "33 and 47 kΩ. The energy that the resistor must take is the same for all of them; a larger one takes it with less "
        "power at first. Real parts: the electrolytic may hold 20 % more than marked, the resistor 5 % more than marked."
    ),
    givens=dict(
        capacitance=Pick(470, (180, 220, 270, 330, 390, 470), "µF"),
        voltage=Quantity(400, "V", low=200, high=400, step=10),
        residual=Fixed(60, "V"),
        allowed=Quantity(5, "s", low=3, high=8, step=1),
    ),
    parts=(
        Number(
            "largest",
            "What is the largest resistance that is quick enough?",
            points=2,
            unit="kΩ",
            expected=lambda g, a: capacitors.discharge_resistance(g.allowed, g.residual, g.capacitance, g.voltage),
            within=relative(0.02),
            because="both are taken as marked, and rounding costs less",
            plausible=(1.2, 100),
            working="largest = allowed / (capacitance * 1e-6 * log(voltage / residual)) / 1e3",
            hint="Start from the time to drain, and turn it round for the resistance.",
            slips=(
                Slip(
                    "one time constant",
                    lambda g, a: g.allowed / g.capacitance,
                    "You made the time allowed one time constant. After one, 37 % of the voltage is left.",
                ),
                Slip(
                    "five time constants",
                    lambda g, a: g.allowed / (5 * g.capacitance),
                    "You fitted five time constants into the time allowed. Only the set voltage is asked for.",
                ),
                Slip(
                    "log to the base ten",
                    lambda g, a: g.allowed / (g.capacitance * log10(g.voltage / g.residual)),
                    "That is the logarithm to the base ten. The time constant goes with the natural one.",
                ),
            ),
        ),
        Number(
            "chosen",
            "Which value from the drawer do you take: quick enough as marked, with the least power at first?",
            points=1,
            unit="kΩ",
            expected=lambda g, a: _stocked(a.largest),
            within=absolute(0.01),
            because="it is one of the values in the drawer",
            plausible=(1, 47),
            working="""
# go up the drawer as long as the value is not above the largest
chosen = 1.0
if 1.5 <= largest: chosen = 1.5
if 2.2 <= largest: chosen = 2.2
if 3.3 <= largest: chosen = 3.3
if 4.7 <= largest: chosen = 4.7
if 6.8 <= largest: chosen = 6.8
if 10 <= largest: chosen = 10
if 15 <= largest: chosen = 15
if 22 <= largest: chosen = 22
if 33 <= largest: chosen = 33
if 47 <= largest: chosen = 47
""",
            slips=(
                Slip(
                    "next one up",
                    lambda g, a: _next_up(a.largest),
                    "This one is larger than the largest you found, so it is too slow.",
                ),
                Slip(
                    "smallest",
                    lambda g, a: STOCK[0],
                    "This one is quick, and takes more power at first than it need. Take the largest that is quick enough.",
                ),
            ),
        ),
        Number(
            "first_power",
            "How many watts does the chosen resistor take at the moment it is connected?",
            points=1,
            unit="W",
            expected=lambda g, a: capacitors.peak_power(g.voltage, a.chosen),
            within=relative(0.02),
            because="the values are taken as marked, and rounding costs less",
            plausible=(1, 200),
            working="first_power = voltage**2 / (chosen * 1e3)",
            slips=(
                Slip(
                    "at the end",
                    lambda g, a: g.residual**2 / a.chosen,
                    "That is the power at the end, at the low voltage. The first moment is the hardest.",
                ),
                Slip(
                    "half",
                    lambda g, a: g.voltage**2 / (2 * a.chosen),
                    "The half belongs to the energy of a capacitor. The power in a resistor has none.",
                ),
                Slip(
                    "voltage that goes",
                    lambda g, a: (g.voltage - g.residual) ** 2 / a.chosen,
                    "You took the voltage that is to go. At first the whole voltage stands across the resistor.",
                ),
                Slip(
                    "current",
                    lambda g, a: g.voltage / a.chosen,
                    "Volt over ohm is the current, in ampere. The question asks for the power.",
                ),
            ),
        ),
        Number(
            "burst",
            "How many joules does it take in until {residual} are left?",
            points=1,
            unit="J",
            expected=lambda g, a: (
                capacitors.stored_energy(g.capacitance, g.voltage) - capacitors.stored_energy(g.capacitance, g.residual)
            ),
            within=relative(0.005),
            because="the values are taken as marked, and rounding costs less",
            plausible=(2.5, 60),
            working="burst = capacitance * 1e-6 * (voltage**2 - residual**2) / 2",
            hint="What the capacitor held, less what it still holds.",
            slips=(
                Slip(
                    "all of it",
                    lambda g, a: capacitors.stored_energy(g.capacitance, g.voltage),
                    "That is all the energy. A little is still there at the end: take it off.",
                ),
                Slip(
                    "half forgotten",
                    lambda g, a: g.capacitance * (g.voltage**2 - g.residual**2),
                    "Twice too much: the energy of a capacitor has a half in it.",
                ),
                Slip(
                    "square of the difference",
                    lambda g, a: g.capacitance * (g.voltage - g.residual) ** 2 / 2,
                    "You squared the difference of the voltages. Take the difference of the squares.",
                ),
            ),
        ),
        Number(
            "worst_time",
            "How long does the chosen resistor take if the capacitor holds 20 % more and the resistor has 5 % more than marked?",
            points=1,
            unit="s",
            expected=lambda g, a: WORST * capacitors.time_to_voltage(g.residual, g.capacitance, a.chosen, g.voltage),
            within=relative(0.02),
            because="the values are taken as marked, and rounding costs less",
            plausible=(0.5, 60),
            working="worst_time = 1.05 * chosen * 1e3 * 1.20 * capacitance * 1e-6 * log(voltage / residual)",
            slips=(
                Slip(
                    "as marked",
                    lambda g, a: capacitors.time_to_voltage(g.residual, g.capacitance, a.chosen, g.voltage),
                    "That is the time with the values as marked. Let both be at their worst.",
                ),
                Slip(
                    "log to the base ten",
                    lambda g, a: WORST * g.capacitance * a.chosen * log10(g.voltage / g.residual),
                    "That is the logarithm to the base ten. The time constant goes with the natural one.",
                ),
            ),
        ),
        Choice(
            "take",
            "Which resistor goes into the tool, then?",
            points=1,
            options={
                "one larger": "the next larger value: the time is only a wish, cool is better",
                "one smaller": "the next smaller value: as it stands, the worst case is too slow",
                "as chosen": "the chosen value: even the worst case is inside the time allowed",
            },
            expected=lambda g, a: "one smaller" if a.worst_time > g.allowed else "as chosen",
            slips={
                "one smaller": "Compare the worst time with the time allowed once more.",
                "as chosen": "Compare the worst time with the time allowed once more.",
                "one larger": "A larger resistor is slower still. Less power can be had from a resistor of higher rating.",
            },
        ),
        Several(
            "also",
            "What else must hold for the discharge tool, besides its ohms?",
            points=1,
            options={
                "voltage": "the resistor is rated for the full voltage",
                "smallest": "the resistance is the smallest one that can be had",
                "pulse": "its data sheet allows the first power and the joules",
                "insulated": "body, leads and probe are insulated for the voltage",
                "no meter": "it is built so well that nobody needs a meter after it",
            },
            expected=lambda g, a: {"voltage", "pulse", "insulated"},
            slips={
                "smallest": "The smaller the resistor, the larger the first current and the hotter it gets.",
                "no meter": "A resistor can break and a contact can miss. The meter has the last word.",
            },
        ),
    ),
    cases=(
        Case("largest", 5.61, 0.005, "R = t / (C ln(V0/V)): 470 µF, 400 V to 60 V, 5 s", "computed"),
        Case("first_power", 16, 0.5, "V squared over R: 400 V on 10 kΩ", "computed", earlier={"chosen": 10}),
        Case(
            "first_power",
            45000,
            500,
            f"{PULSE_SHEET}: 1500 V on 50 Ω, printed 45 kW",
            "published-second-hand",
            givens={"voltage": 1500},
            earlier={"chosen": 0.05},
        ),
        Case(
            "burst",
            219.4,
            0.05,
            "pulse-circuit design sheet (2005): 195 µF at 1500 V, all but emptied",
            "published-second-hand",
            givens={"capacitance": 195, "voltage": 1500, "residual": 1},
        ),
        Case(
            "worst_time",
            12.3,
            0.05,
            "9.8 s of a calculator page for 470 µF, 10 kΩ, 400 to 50 V, unrounded 9.77 s, by hand: times 1.05 times 1.20",
            "computed",
            givens={"residual": 50},
            earlier={"chosen": 10},
        ),
        Case(
            "chosen",
            10,
            0.01,
            "E6 series of IEC 60063, by hand: 220 µF from 400 to 60 V in 5 s asks for at most 11.98 kΩ",
            "computed",
            givens={"capacitance": 220},
        ),
    ),
    caution=MAINS,
    sound=_clear_of_stock,
    floor=0.25,
)

EXERCISES = (STORED, DRAIN, RESISTOR)
