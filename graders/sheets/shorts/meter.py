"""Exercises before and at the first reading: a discharged board, a steady reading, the meter's limits, its leads."""

from graders.questions import Case, Choice, Exercise, Fixed, Number, Order, Pick, Quantity, Slip, absolute, relative
from graders.sheets.shorts.words import DEAD, ON_PAPER
from workbook.bench.intake import capacitors
from workbook.bench.shorts import charging, copper, meter

EMPTY_THE_CAPACITOR = Exercise(
    id="empty-the-capacitor",
    number=1,
    title="Let a mains capacitor empty before you measure",
    setup=(
        "A capacitor of {capacitance} behind a mains rectifier is charged to {start_voltage}. The mains plug is out. "
        "A trained person puts a discharge resistor of {resistance} across it with insulated clips. The voltage then "
        "falls as start_voltage × exp(−t/RC), with R the resistor and C the capacitor. Two waits count: down to "
        "{safe_voltage}, above which nobody touches it, and down to {ohms_voltage}, above which no ohmmeter goes on. A "
        "voltmeter, proved before and after on a known source, stays across the capacitor all the time."
    ),
    givens=dict(
        capacitance=Pick(470, (100, 150, 220, 330, 470, 680), "µF"),
        start_voltage=Quantity(400, "V", low=300, high=420, step=10),
        resistance=Pick(10, (4.7, 6.8, 10, 15, 22), "kΩ"),
        safe_voltage=Fixed(60, "V", rule="intake.steady_dc_limit"),
        ohms_voltage=Fixed(1, "V"),
    ),
    parts=(
        Number(
            "wait",
            "How long does it take from {start_voltage} to {safe_voltage}?",
            points=2,
            unit="s",
            expected=lambda g, a: capacitors.time_to_voltage(
                g.safe_voltage, g.capacitance, g.resistance, g.start_voltage
            ),
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(0.47, 47),
            working="wait = resistance * 1e3 * capacitance * 1e-6 * log(start_voltage / safe_voltage)",
            hint="Solve safe_voltage = start_voltage × exp(−t/RC) for t, with ohm and farad.",
            slips=(
                Slip(
                    "five time constants",
                    lambda g, a: 5 * g.resistance * g.capacitance,
                    "That is five time constants. It waits for under 1 % of the start, not for the voltage asked for.",
                ),
                Slip(
                    "one time constant",
                    lambda g, a: g.resistance * g.capacitance,
                    "That is one time constant, after which about 37 % of the voltage is still there.",
                ),
                Slip(
                    "log to base 10",
                    lambda g, a: (
                        capacitors.time_to_voltage(g.safe_voltage, g.capacitance, g.resistance, g.start_voltage)
                        / 2.302585
                    ),
                    "You took the logarithm to base 10. exp is undone by the natural logarithm.",
                ),
            ),
        ),
        Number(
            "wait_for_ohms",
            "How long does it take from {start_voltage} to {ohms_voltage}, before an ohmmeter may be used? (And only after a "
            "look, with the resistor off, that the voltage does not creep back.)",
            points=1,
            unit="s",
            expected=lambda g, a: capacitors.time_to_voltage(
                g.ohms_voltage, g.capacitance, g.resistance, g.start_voltage
            ),
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(1.6, 150),
            working="wait_for_ohms = resistance * 1e3 * capacitance * 1e-6 * log(start_voltage / ohms_voltage)",
            slips=(
                Slip(
                    "touch limit",
                    lambda g, a: a.wait,
                    "That is the wait to 60 V, a limit for touching. A charge of 60 V still destroys an ohmmeter.",
                ),
                Slip(
                    "five time constants",
                    lambda g, a: 5 * g.resistance * g.capacitance,
                    "Five time constants leave nearly 1 % of the start: of 400 V that is almost 3 V.",
                ),
            ),
        ),
        Number(
            "stored",
            "How much energy is in the capacitor at the start?",
            points=1,
            unit="J",
            expected=lambda g, a: capacitors.stored_energy(g.capacitance, g.start_voltage),
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(2.8, 92),
            working="stored = capacitance * 1e-6 * start_voltage**2 / 2",
            slips=(
                Slip(
                    "half forgotten",
                    lambda g, a: g.capacitance * g.start_voltage**2,
                    "Twice too much: while it charges, the voltage is on average half of the end.",
                ),
                Slip(
                    "energy at the end",
                    lambda g, a: capacitors.stored_energy(g.capacitance, g.safe_voltage),
                    "That is what is left at the end of the wait. The question asks for the start.",
                ),
                Slip(
                    "charge",
                    lambda g, a: g.capacitance * g.start_voltage,
                    "C × V is the charge, in coulomb. The energy also needs the voltage it was pushed up to.",
                ),
            ),
        ),
        Number(
            "first_watts",
            "What power must the resistor stand at the moment it is connected?",
            points=1,
            unit="W",
            expected=lambda g, a: capacitors.peak_power(g.start_voltage, g.resistance),
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(2.5, 61),
            working="first_watts = start_voltage**2 / (resistance * 1e3)",
            slips=(
                Slip(
                    "current",
                    lambda g, a: g.start_voltage / g.resistance,
                    "V / R is the current. The power is current × voltage.",
                ),
                Slip(
                    "power at the end",
                    lambda g, a: capacitors.peak_power(g.safe_voltage, g.resistance),
                    "That is the power at the end, when the voltage is low. The resistor suffers most at the start.",
                ),
                Slip(
                    "half",
                    lambda g, a: capacitors.peak_power(g.start_voltage, g.resistance) / 2,
                    "Half belongs to stored energy. The power at one moment is V²/R.",
                ),
            ),
        ),
        Order(
            "steps",
            "In which order is the rail behind this capacitor measured?",
            points=2,
            options={
                "write down": "write down the reading with its range and polarity",
                "read ohms": "put the ohmmeter on the rail and read",
                "look again": "look a minute without the resistor that the voltage stays below 1 V",
                "first volts": "read the voltage across the capacitor with a meter proved on a known source",
                "discharge": "connect the discharge resistor until the meter shows less than 1 V",
                "unplug": "pull the mains plug and remove any battery",
            },
            expected=lambda g, a: (
                ("unplug",),
                ("first volts",),
                ("discharge",),
                ("look again",),
                ("read ohms",),
                ("write down",),
            ),
            never={
                ("unplug", "first volts"): "Tips at a capacitor on the mains: pull the plug before anything else.",
                (
                    "unplug",
                    "discharge",
                ): "While the plug is in, the rectifier fills the capacitor again: the board is live.",
                ("unplug", "read ohms"): "An ohmmeter never goes on a board that can still be live.",
                ("discharge", "read ohms"): "The capacitor is still charged: the meter, or you, would take the charge.",
                (
                    "discharge",
                    "look again",
                ): "You looked and then discharged. What counts is what the meter shows after discharging.",
                (
                    "look again",
                    "read ohms",
                ): "A capacitor gives back some of its voltage by itself. Look first that it stays below 1 V.",
                ("read ohms", "write down"): "There is nothing to write down before the reading.",
            },
        ),
    ),
    cases=(
        Case(
            "wait",
            9.8,
            0.05,
            "calculator page on capacitor discharge: 470 µF, 10 kΩ, 400 to 50 V",
            "published-second-hand",
            givens={"safe_voltage": 50},
        ),
        Case(
            "wait",
            0.01506,
            0.000005,
            "pulse-circuit design sheet (2005): 195 µF, 50 Ω, 1500 to 320 V",
            "published-second-hand",
            givens={"capacitance": 195, "resistance": 0.05, "start_voltage": 1500, "safe_voltage": 320},
        ),
        Case(
            "stored",
            219.4,
            0.05,
            "pulse-circuit design sheet (2005): 195 µF at 1500 V",
            "published-second-hand",
            givens={"capacitance": 195, "start_voltage": 1500},
        ),
        Case(
            "first_watts",
            45000,
            500,
            "pulse-circuit design sheet (2005): 1500 V on 50 Ω, printed 45 kW",
            "published-second-hand",
            givens={"resistance": 0.05, "start_voltage": 1500},
        ),
        Case(
            "wait_for_ohms",
            9.8,
            0.05,
            "Capacitor discharge calculator page: 470 µF, 10 kΩ, from 400 to 50 V",
            "published-second-hand",
            givens={"ohms_voltage": 50},
        ),
    ),
    caution=DEAD,
    floor=0.0,
)

READING_STANDS_STILL = Exercise(
    id="reading-stands-still",
    number=2,
    title="Wait until the reading stands still",
    setup=(
        "A discharged rail of {resistance} to ground, leak and all, carries capacitors of {capacitance} in all. The ohmmeter feeds a "
        "steady current, which first has to charge them. So the reading climbs: after a time t it shows "
        "R × (1 − exp(−t/RC)), with R the rail's resistance and C its capacitors."
    ),
    givens=dict(
        resistance=Quantity(5.6, "kΩ", low=2.0, high=9.0, step=0.1),
        capacitance=Pick(1000, (470, 680, 1000, 1500, 2200), "µF"),
        moment=Quantity(5, "s", low=3, high=12, step=1),
        climb=Quantity(1500, "Ω", low=400, high=2400, step=100),
        early=Quantity(2, "s", low=2, high=5, step=1),
    ),
    parts=(
        Number(
            "shown",
            "What does the meter show {moment} after the probes touched?",
            points=2,
            unit="kΩ",
            expected=lambda g, a: charging.drifting_reading(g.moment, g.resistance, g.capacitance),
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(0.63, 20),
            working="""
time_constant = resistance * 1e3 * capacitance * 1e-6
shown = resistance * (1 - exp(-moment / time_constant))
""",
            hint="First the time constant RC in seconds, then the formula.",
            slips=(
                Slip(
                    "at once",
                    lambda g, a: g.resistance,
                    "That is the reading at the end. The capacitors are not full yet.",
                ),
                Slip(
                    "falling",
                    lambda g, a: g.resistance - charging.drifting_reading(g.moment, g.resistance, g.capacitance),
                    "That is what is still missing at that moment. The reading starts at nothing and climbs.",
                ),
                Slip(
                    "straight line",
                    lambda g, a: g.moment * charging.climb_rate(g.capacitance),
                    "You let it climb in a straight line. The climb slows down as the capacitors fill.",
                ),
            ),
        ),
        Number(
            "steady_after",
            "After how long does it show 99 % of the rail's resistance? Nothing is written down before.",
            points=2,
            unit="s",
            expected=lambda g, a: charging.wait_for_share(0.99, g.resistance, g.capacitance),
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(3.7, 200),
            working="steady_after = time_constant * log(100)",
            slips=(
                Slip(
                    "one time constant",
                    lambda g, a: g.resistance * g.capacitance,
                    "After one time constant the reading has reached about 63 % only.",
                ),
                Slip(
                    "five time constants",
                    lambda g, a: 5 * g.resistance * g.capacitance,
                    "Five time constants is the thumb rule, and a good habit. The question asks for exactly 99 %.",
                    worth=0.5,
                ),
                Slip(
                    "log to base 10",
                    lambda g, a: 2 * g.resistance * g.capacitance,
                    "You took the logarithm to base 10. exp is undone by the natural logarithm.",
                ),
            ),
        ),
        Number(
            "other_capacitance",
            "Another discharged rail has many MΩ to ground. There the reading climbs by {climb} in the first {early}. "
            "What capacitance is on it? (At the start all the current goes into the capacitors: the reading climbs by "
            "t/C.)",
            points=1,
            unit="µF",
            expected=lambda g, a: g.early / g.climb,
            within=relative(0.01),
            because="the formula is exact; only rounding is left",
            plausible=(520, 50000),
            working="other_capacitance = early / climb * 1e6",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: 1e-6 * g.climb / g.early,
                    "The ratio is upside down: a larger capacitance climbs more slowly.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.climb * g.early,
                    "You multiplied. The climb is time / capacitance.",
                ),
            ),
        ),
        Choice(
            "third_rail",
            "On a third rail the reading is near zero from the first moment and stands still for ten seconds. What "
            "does that suggest?",
            points=1,
            options={
                "charging": "its capacitors are still charging: wait longer",
                "low path": "a way to ground: leak, short, or low by design",
                "open": "no contact: the probes touch only lacquer",
            },
            expected=lambda g, a: "low path",
            slips={
                "charging": "A charging capacitor makes the reading climb. This one stands still.",
                "open": "With nothing between the probes a meter shows overload, not zero.",
            },
        ),
    ),
    cases=(
        Case(
            "shown",
            0.0347,
            0.00005,
            "constant current into R and C side by side: 1000 µF, 64 Ω, 50 ms",
            "computed",
            givens={"resistance": 0.064, "moment": 0.05},
        ),
        Case(
            "shown",
            1.920,
            0.005,
            "constant current into R and C side by side: 470 µF, 10 kΩ, 1 s",
            "computed",
            givens={"resistance": 10, "capacitance": 470, "moment": 1},
        ),
        Case(
            "steady_after",
            0.295,
            0.0005,
            "constant current into R and C side by side: 1000 µF, 64 Ω",
            "computed",
            givens={"resistance": 0.064},
        ),
        Case(
            "other_capacitance",
            1000,
            0.5,
            "constant current by hand: 2 s for 2000 Ω of apparent climb",
            "computed",
            givens={"early": 2, "climb": 2000},
        ),
    ),
    caution=DEAD,
    floor=0.10,
    sound=lambda drawn: 0.25 < drawn["moment"] * 1e3 / (drawn["resistance"] * drawn["capacitance"]) < 2.5,
)

HOW_FAR_OFF = Exercise(
    id="how-far-off",
    number=3,
    title="Say how far a reading may be off",
    setup=(
        "A hand meter's data sheet gives ±({share} of the reading + {counts} counts) for resistance, on every range. "
        "One count is one step of the last digit on the range in use: 0.1 Ω on the 200 Ω range, 1 Ω on the 2 kΩ "
        "range."
    ),
    givens=dict(
        share=Pick(0.8, (0.5, 0.8, 1.0, 1.2), "%"),
        counts=Pick(2, (2, 3, 4, 5), "1"),
        digit=Fixed(0.1, "Ω"),
        reading=Quantity(64.0, "Ω", low=30, high=150, step=0.1),
        coarse_reading=Quantity(8, "Ω", low=5, high=55, step=1),
        apart=Quantity(3, "Ω", low=2, high=14, step=1),
    ),
    parts=(
        Number(
            "limit",
            "On the 200 Ω range the meter shows {reading}. By how much may it be off, either way?",
            points=1,
            unit="Ω",
            expected=lambda g, a: meter.accuracy_limit(g.reading, g.share, g.counts, g.digit),
            within=absolute(0.02),
            because="the data sheet is exact; only rounding is left",
            plausible=(0.22, 3.6),
            working="limit = share / 100 * reading + counts * digit",
            slips=(
                Slip(
                    "share of the range",
                    lambda g, a: g.share * 200 + g.counts * g.digit,
                    "You took the share of the full range. This data sheet says: of the reading.",
                ),
                Slip(
                    "counts forgotten",
                    lambda g, a: g.share * g.reading,
                    "The share alone. The counts come on top.",
                ),
                Slip(
                    "counts as ohm",
                    lambda g, a: g.share * g.reading + g.counts,
                    "You took a count for a whole ohm. On this range a count is worth the last digit.",
                ),
            ),
        ),
        Number(
            "lowest",
            "What is the lowest resistance this reading may stand for?",
            points=1,
            unit="Ω",
            expected=lambda g, a: g.reading - a.limit,
            within=absolute(0.02),
            because="the data sheet is exact; only rounding is left",
            plausible=(10, 200),
            working="lowest = reading - limit",
            slips=(
                Slip(
                    "highest",
                    lambda g, a: g.reading + a.limit,
                    "That is the highest. The question asks for the lowest.",
                ),
                Slip(
                    "half the limit",
                    lambda g, a: g.reading - a.limit / 2,
                    "The limit already is to one side: it need not be halved.",
                ),
                Slip(
                    "counts left out",
                    lambda g, a: g.reading * (1 - g.share),
                    "You took off the share alone. The counts of the last digit come on top.",
                ),
            ),
        ),
        Number(
            "coarse_limit",
            "On the 2 kΩ range the same meter shows {coarse_reading}. By how much may that be off, either way?",
            points=1,
            unit="Ω",
            expected=lambda g, a: meter.accuracy_limit(g.coarse_reading, g.share, g.counts, 10 * g.digit),
            within=relative(0.02),
            because="the data sheet is exact; only rounding is left",
            plausible=(1.2, 20),
            working="coarse_limit = share / 100 * coarse_reading + counts * 1",
            slips=(
                Slip(
                    "count of the old range",
                    lambda g, a: meter.accuracy_limit(g.coarse_reading, g.share, g.counts, g.digit),
                    "You used the count of the 200 Ω range. The range has changed, and its last digit with it.",
                ),
                Slip(
                    "share of the range",
                    lambda g, a: g.share * 2000 + g.counts,
                    "You took the share of the full range. This data sheet says: of the reading.",
                ),
                Slip(
                    "share forgotten",
                    lambda g, a: g.counts,
                    "The counts alone. The share of the reading comes on top.",
                ),
            ),
        ),
        Choice(
            "told_apart",
            "On the 2 kΩ range a second rail reads {apart} more than the {coarse_reading} of Part 3. Can this meter, "
            "on this range, say for sure that the two rails differ? It can if the lowest value of the second lies "
            "above the highest of the first, each with the limit of its own reading.",
            points=1,
            options={"yes": "the two intervals do not touch", "no": "the two intervals touch or overlap"},
            expected=lambda g, a: "yes" if g.apart > a.coarse_limit + _second_limit(g) else "no",
            hint="Add its limit to the first reading, and take its own limit off the second. Which is higher?",
        ),
    ),
    cases=(
        Case(
            "limit",
            1.5,
            0.05,
            "meter maker's page on accuracy: 120.0 at 1 % + 3 counts of 0.1",
            "published-second-hand",
            givens={"reading": 120.0, "share": 1.0, "counts": 3},
            note="the page has volts; the rule is the same",
        ),
        Case(
            "lowest",
            98.8,
            0.05,
            "two meter makers' pages on accuracy: 100.0 at 1 % + 2 counts of 0.1",
            "published-second-hand",
            givens={"reading": 100.0, "share": 1.0, "counts": 2},
            note="the pages have volts; a third prints 99.8, a misprint",
        ),
        Case("limit", 0.71, 0.005, "accuracy rule on 64.0 Ω, 0.8 % + 2 counts, by hand", "computed"),
        Case("coarse_limit", 2.06, 0.005, "accuracy rule on 8 Ω in steps of 1 Ω, by hand", "computed"),
    ),
    caution=ON_PAPER,
    floor=0.25,
    sound=lambda drawn: _not_on_a_hair(HOW_FAR_OFF.values(drawn)),
)


def _second_limit(g):
    return meter.accuracy_limit(g.coarse_reading + g.apart, g.share, g.counts, 10 * g.digit)


def _not_on_a_hair(g):
    """Whether the intervals lie apart, or overlap, by more than the band of the first limit."""
    first = meter.accuracy_limit(g.coarse_reading, g.share, g.counts, 10 * g.digit)
    return abs(g.apart - first - _second_limit(g)) > 0.03 * first


LEADS_OFF = Exercise(
    id="leads-off",
    number=4,
    title="Take the leads out of a low reading",
    setup=(
        "A two-wire ohmmeter has two test leads of {lead_length} each. Their copper is worth a solid wire of gauge "
        "{gauge}. A wire of American gauge n has the diameter 0.127 mm × 92^((36 − n)/39); copper has "
        "{resistivity} at 20 °C. With the probes pressed together the meter shows {together}, on the rail {raw}, both on the "
        "same range."
    ),
    givens=dict(
        lead_length=Quantity(1.2, "m", low=0.8, high=2.0, step=0.1),
        gauge=Pick(20, (18, 20, 22, 24), "1"),
        together=Quantity(0.3, "Ω", low=0.3, high=0.7, step=0.1),
        raw=Quantity(1.6, "Ω", low=1.1, high=4.0, step=0.1),
        small_part=Quantity(120, "mΩ", low=60, high=400, step=20),
        resistivity=Fixed(1.7241e-8, "Ω·m"),
    ),
    parts=(
        Number(
            "wire",
            "What resistance does the copper of both leads together have?",
            points=2,
            unit="mΩ",
            expected=lambda g, a: copper.wire_resistance(g.gauge, 2 * g.lead_length),
            within=relative(0.01),
            because="gauge and resistivity are given to four figures",
            plausible=(20, 540),
            working="""
wire_diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
wire = resistivity * 2 * lead_length / (pi * wire_diameter**2 / 4) * 1e3
""",
            hint="Resistivity × length / area, with both leads in the length and a round area.",
            slips=(
                Slip(
                    "one lead",
                    lambda g, a: copper.wire_resistance(g.gauge, g.lead_length),
                    "That is one lead. The current goes out through one and back through the other.",
                ),
                Slip(
                    "diameter for radius",
                    lambda g, a: copper.wire_resistance(g.gauge, 2 * g.lead_length) / 4,
                    "Four times too little: the round area is π d²/4, not π d².",
                ),
                Slip(
                    "square wire",
                    lambda g, a: copper.wire_resistance(g.gauge, 2 * g.lead_length) * 3.14159265 / 4,
                    "You took the wire for square. The area of a round wire is π d²/4.",
                ),
            ),
        ),
        Number(
            "rail_ohms",
            "What is the rail's resistance with the leads taken out?",
            points=1,
            unit="Ω",
            expected=lambda g, a: meter.lead_null(g.raw, g.together),
            within=absolute(0.02),
            because="both readings are exact as printed",
            plausible=(0.25, 10),
            working="rail_ohms = raw - together",
            slips=(
                Slip("leads left in", lambda g, a: g.raw, "That is the raw reading: the leads are still in it."),
                Slip(
                    "added",
                    lambda g, a: g.raw + g.together,
                    "You added the leads. They are in the reading already, so they come off.",
                ),
                Slip(
                    "only the wire taken off",
                    lambda g, a: g.raw - copper.wire_resistance(g.gauge, 2 * g.lead_length),
                    "You took off the copper of the leads only. Plugs and tips are in the reading too: use what the "
                    "meter shows with the probes together.",
                ),
            ),
        ),
        Number(
            "not_wire",
            "How much of what the meter shows with the probes together is not copper wire, but plugs, tips and "
            "contact?",
            points=1,
            unit="Ω",
            expected=lambda g, a: g.together - a.wire,
            within=absolute(0.005),
            because="the wire is known to about this much",
            plausible=(0.039, 1),
            working="not_wire = together - wire / 1e3",
            slips=(
                Slip(
                    "added",
                    lambda g, a: g.together + a.wire,
                    "You added. The wire is part of what the meter shows with the probes together.",
                ),
                Slip(
                    "one lead",
                    lambda g, a: g.together - a.wire / 2,
                    "You took off one lead. Both are in the reading.",
                ),
            ),
        ),
        Number(
            "too_high",
            "Someone reads a part of {small_part} with this meter and does not take the leads out ({together} in "
            "series with the part). By how many percent of the part is the reading too high?",
            points=1,
            unit="%",
            expected=lambda g, a: (meter.two_wire_reading(g.small_part, g.together) - g.small_part) / g.small_part,
            within=relative(0.02),
            because="both values are exact as printed",
            plausible=(46, 2000),
            working="too_high = together / (small_part / 1e3) * 100",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.small_part / g.together,
                    "The ratio is upside down: the error counts in parts of the small resistance.",
                ),
                Slip(
                    "whole reading",
                    lambda g, a: meter.two_wire_reading(g.small_part, g.together) / g.small_part,
                    "That is the whole reading in percent of the part. Only what is too much counts.",
                ),
                Slip(
                    "of the reading",
                    lambda g, a: g.together / meter.two_wire_reading(g.small_part, g.together),
                    "That is the share of the reading. The question asks for the share of the part.",
                ),
            ),
        ),
        Choice(
            "next_meter",
            "A part of a few mΩ is to be read. Which connection sees the part and not the leads?",
            points=1,
            options={
                "thicker leads": "the same two wires, but thicker, and shorter",
                "four wires": "two wires for current, two more for voltage",
                "average": "the same two wires, and the mean of ten readings",
            },
            expected=lambda g, a: "four wires",
            slips={
                "thicker leads": "Thicker wire makes the leads smaller, but tips and contacts stay in the reading.",
                "average": "The leads are in every one of the ten readings: a mean cannot take them out.",
            },
        ),
    ),
    cases=(
        Case(
            "wire",
            100,
            50,
            "ohmmeter manual, 3.2: two 8 ft leads of gauge 18 add 0.1 Ω",
            "published-second-hand",
            givens={"lead_length": 2.4384, "gauge": 18},
        ),
        Case(
            "wire",
            6385,
            0.5,
            "NBS Handbook 100 (1966): 1000 ft of gauge 18, 6.385 Ω",
            "published-second-hand",
            givens={"lead_length": 152.4, "gauge": 18},
        ),
        Case(
            "wire",
            25670,
            5,
            "NBS Handbook 100 (1966): 1000 ft of gauge 24, 25.67 Ω",
            "published-second-hand",
            givens={"lead_length": 152.4, "gauge": 24},
        ),
        Case(
            "too_high",
            100,
            0.5,
            "article on four-terminal sensing: 0.1 Ω through 0.1 Ω of leads is 100 % off",
            "published-second-hand",
            givens={"together": 0.1, "small_part": 100},
        ),
        Case("rail_ohms", 2.2, 0.005, "by hand: 2.5 less 0.3 Ω", "computed", givens={"raw": 2.5}),
        Case(
            "not_wire",
            0.198,
            0.0005,
            "by hand: 0.3 Ω less two leads of 8 ft of gauge 18 (0.102 Ω)",
            "computed",
            givens={"together": 0.3},
            earlier={"wire": 102},
        ),
    ),
    caution=DEAD,
    sound=lambda drawn: copper.wire_resistance(drawn["gauge"], 2 * drawn["lead_length"]) < drawn["together"] - 0.05,
    floor=0.10,
)

EXERCISES = (EMPTY_THE_CAPACITOR, READING_STANDS_STILL, HOW_FAR_OFF, LEADS_OFF)
