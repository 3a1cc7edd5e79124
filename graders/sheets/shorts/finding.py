"""The last exercise: from a reading to a written finding that holds."""

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, Written, absolute, relative
from graders.sheets.shorts.words import HEAT
from workbook.bench.shorts import junctions, meter


def _leakage(g):
    return junctions.leakage_behind(g.test_current, g.good_reading, g.good_board_c)


def _small_current_reading(g):
    return junctions.off_state_reading(g.other_current, _leakage(g), g.good_board_c)


WRITE_THE_FINDING = Exercise(
    id="write-the-finding",
    number=23,
    title="Write down what a reading does and does not say",
    setup=(
        "A board comes straight from reflow to the bench, still warm. On its core rail a meter shows {raw}; with the "
        "probes together it shows {together}. Leads taken out, the reading is uncertain by U = {expanded} (twice the "
        "standard "
        'uncertainty). A colleague\'s note says: "below 1 Ω, shorted, change the processor". On a good board of this '
        "kind, at "
        "{good_board_c}, the same meter with its test current of {test_current} reads {good_reading} on this rail. The "
        "rail is large silicon that is off; a simple model reads R = (VT/Im) × ln(1/(1 − Im/I0)), with VT = {thermal_volts} "
        "at {good_board_c} and the leakage I0 = Im / (1 − exp(−Im R/VT)); Im is the test current."
    ),
    givens=dict(
        raw=Quantity(1.2, "Ω", low=0.8, high=1.6, step=0.1),
        together=Quantity(0.3, "Ω", low=0.2, high=0.5, step=0.1),
        expanded=Pick(0.27, (0.24, 0.27, 0.31, 0.36), "Ω"),
        good_board_c=Fixed(25, "°C"),
        test_current=Fixed(1.0, "mA"),
        good_reading=Quantity(64, "Ω", low=30, high=75, step=1),
        other_current=Pick(0.1, (0.1, 0.2, 0.3), "mA"),
        thermal_volts=Fixed(25.69, "mV"),
    ),
    parts=(
        Number(
            "highest_ohms",
            "Up to which resistance may the rail reach, counting U?",
            points=1,
            unit="Ω",
            expected=lambda g, a: meter.lead_null(g.raw, g.together) + g.expanded,
            within=absolute(0.01),
            because="the readings are exact as printed",
            plausible=(0.4, 2),
            working="highest_ohms = raw - together + expanded",
            slips=(
                Slip("leads left in", lambda g, a: g.raw + g.expanded, "The leads are still in it. Take them off."),
                Slip(
                    "lowest",
                    lambda g, a: meter.lead_null(g.raw, g.together) - g.expanded,
                    "That is the lowest it may be. The question asks for the highest.",
                ),
                Slip(
                    "U left out",
                    lambda g, a: meter.lead_null(g.raw, g.together),
                    "That is the reading without its uncertainty.",
                ),
            ),
        ),
        Choice(
            "holds",
            "Does this reading alone say, beyond U, that the rail is below the 1 Ω of the colleague's note?",
            points=1,
            options={"yes": "even with U it stays below", "no": "with U it reaches 1 Ω or more"},
            expected=lambda g, a: "yes" if a.highest_ohms < 1 else "no",
            hint="Compare the highest resistance that U allows with 1 Ω.",
        ),
        Number(
            "other_meter",
            "Another meter of the shop has a test current of {other_current}. What does it read on the good rail at "
            "{good_board_c}?",
            points=2,
            unit="Ω",
            expected=lambda g, a: _small_current_reading(g),
            within=relative(0.01),
            because="only rounding is left; the model itself is good to a factor of 3",
            plausible=(5, 80),
            working="""
volts = thermal_volts / 1e3
leakage = test_current / (1 - exp(-test_current * 1e-3 * good_reading / volts))
other_meter = volts / (other_current * 1e-3) * log(1 / (1 - other_current / leakage))
""",
            hint="First the leakage from the known meter; it belongs to the rail. Then the model with the other "
            "current.",
            slips=(
                Slip(
                    "unchanged",
                    lambda g, a: g.good_reading,
                    "That would be right for a resistor. A silicon rail reads differently with another test current.",
                ),
                Slip(
                    "in proportion",
                    lambda g, a: g.good_reading * g.other_current / g.test_current,
                    "You scaled the reading with the test current. The model is not that simple: go through I0.",
                ),
                Slip(
                    "log to base 10",
                    lambda g, a: _small_current_reading(g) / 2.302585,
                    "You took the logarithm to base 10. ln is the natural one.",
                ),
                Slip(
                    "in proportion, turned round",
                    lambda g, a: g.good_reading * g.test_current / g.other_current,
                    "You scaled the reading with the test current, the other way round. Go through I0.",
                ),
            ),
        ),
        Choice(
            "true_short",
            "What would that other meter read on a true short of 0.6 Ω, leads taken out?",
            points=1,
            options={
                "less": "less, in proportion to its test current",
                "more": "more, for its test current is smaller",
                "same": "the same 0.6 Ω, as on any other meter",
            },
            expected=lambda g, a: "same",
            slips={
                "less": "A short is a plain resistor: voltage and current fall together.",
                "more": "A short is a plain resistor: voltage and current fall together.",
            },
        ),
        Written(
            "finding",
            "Say why this reading is not yet a verdict, why the board has to cool before it is measured, and what you "
            "would do next, in which order, before anybody changes a part.",
            points=4,
            model=(
                "A full answer says, in its own words:\n\n"
                "- The reading has leads and contacts in it and an uncertainty of some tenths of an ohm. Inside the "
                "band around the shop's figure nothing is decided; a four-wire reading is needed.\n"
                "- One ohm is a figure of the shop, not a law: some rails of large silicon are near it by design. The "
                "limit belongs to the rail, and a good board of the same kind tells it.\n"
                "- A silicon rail is no resistor. Its leakage grows steeply with temperature, so a good board read "
                "warm looks shorted. It also reads differently with another test current: compare on the same meter, "
                "range and polarity.\n"
                "- Next: unplugged, discharged, checked with a voltmeter; let it cool to room temperature; wait until "
                "the reading stands still; read both polarities, leads taken out, and write down meter and range; "
                "compare with a good board; four wires where it stays undecided; only then inject a small limited "
                "current and search for the part.\n"
                '- Until then the finding is "undecided", with the reading, its uncertainty and the conditions. No '
                "part is "
                "changed on it.\n\n"
                "One point each for: leads and uncertainty; the limit belongs to the rail; heat (and test current); a "
                "safe and sensible order."
            ),
        ),
    ),
    cases=(
        Case(
            "other_meter",
            24.7,
            0.05,
            "subthreshold current, gate off: the rail of 64 Ω at 1 mA read with 0.1 mA",
            "computed",
        ),
        Case(
            "other_meter",
            31.5,
            0.05,
            "subthreshold current, gate off: the rail of 64 Ω at 1 mA read with 0.5 mA",
            "computed",
            givens={"other_current": 0.5},
        ),
        Case(
            "highest_ohms",
            1.5,
            0.005,
            "by hand: 1.5 less 0.3, and 0.3 Ω more",
            "computed",
            givens={"raw": 1.5, "together": 0.3, "expanded": 0.3},
        ),
    ),
    caution=HEAT,
    floor=0.15,
    sound=lambda drawn: (
        0.35 < drawn["raw"] - drawn["together"] < 1.05
        and abs(drawn["raw"] - drawn["together"] + drawn["expanded"] - 1) > 0.015
    ),
)

EXERCISES = (WRITE_THE_FINDING,)
