"""An exercise on the law behind the columns of a bake table, and on where it ends."""

from math import log10

from graders.questions import Case, Choice, Exercise, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.intake.words import OVEN
from workbook.bench.intake import bake_law
from workbook.references import table

_LONG = "more than 72 h over"
_BODIES = {"up to 1.4 mm": ("bake_125c_1mm4_1999", "1mm4"), "above 1.4 up to 2.0 mm": ("bake_125c_2mm0", "2mm0")}


def _row(level, body):
    """Return the bake times at 125, 90 and 40 °C of the 1999 table, long over its floor life [h]."""
    hot, other = _BODIES[body]
    return tuple(table("intake", key)[level][_LONG] for key in (hot, f"bake_90c_{other}", f"bake_40c_{other}"))


def _energy(g):
    hot, _, cool = g.bake_row
    return bake_law.bake_energy_ev(cool, 40, hot, 125) * 1.602176634e-19


def _elsewhere(g, a, wanted_c):
    return bake_law.bake_time_elsewhere(g.bake_row[0], 125, wanted_c, a.energy / 1.602176634e-19)


BAKE_COLUMNS = Exercise(
    id="bake-columns",
    number=15,
    title="Find the law behind the columns of a bake table",
    setup=(
        "A plastic package of level {level}, body {body}, is long over its floor life. J-STD-033 of 1999 (second-hand) "
        "prints for it, in this order, at 125 °C, at 90 °C and at 40 °C: `bake_row`, in hours. (At 90 and 40 °C in air of no more than 5 % relative humidity.)\n\n"
        "Water leaves by diffusion. If one law of Arrhenius is behind the row, a bake time is proportional to exp(E / (k T)), T in kelvin "
        "(°C + 273.15), with k = 8.617·10⁻⁵ eV/K."
    ),
    givens=dict(
        level=Pick("3", ("3", "4", "5")),
        body=Pick("up to 1.4 mm", tuple(_BODIES)),
        bake_row=Record(_row("3", "up to 1.4 mm"), "h", make=lambda stream, drawn: _row(drawn["level"], drawn["body"])),
        oven=Quantity(70, "°C", low=60, high=80, step=1),
    ),
    parts=(
        Number(
            "energy",
            "Which activation energy E do the times at 40 °C and 125 °C imply?",
            points=3,
            unit="eV",
            expected=lambda g, a: _energy(g),
            within=relative(0.01),
            because="the table is rounded to whole hours and days",
            plausible=(0.3, 0.6),
            working="""
hot, middle, cool = bake_row
energy = 8.617e-5 * log(cool / hot) / (1 / (40 + 273.15) - 1 / (125 + 273.15))
""",
            hint="The ratio of the times is exp of E/k times the difference of 1/T.",
            slips=(
                Slip(
                    "°C for K",
                    lambda g, a: _energy(g) * (1 / 313.15 - 1 / 398.15) / (1 / 40 - 1 / 125),
                    "You put degrees Celsius into 1/T. The law wants kelvin.",
                ),
                Slip(
                    "common logarithm",
                    lambda g, a: _energy(g) * log10(2.718281828459045),
                    "You took the logarithm to base 10. The law has e.",
                ),
            ),
        ),
        Number(
            "at_90",
            "Which time at 90 °C does that E give, starting from the one at 125 °C?",
            points=2,
            unit="h",
            expected=lambda g, a: _elsewhere(g, a, 90),
            within=relative(0.02),
            because="it hangs on the rounding of E",
            plausible=(25, 200),
            working="at_90 = hot * exp(energy / 8.617e-5 * (1 / (90 + 273.15) - 1 / (125 + 273.15)))",
            slips=(
                Slip(
                    "wrong way round",
                    lambda g, a: g.bake_row[0] ** 2 / _elsewhere(g, a, 90),
                    "You made the cooler bake the shorter one. Turn the difference of 1/T round.",
                ),
                Slip(
                    "straight line",
                    lambda g, a: g.bake_row[0] + (g.bake_row[2] - g.bake_row[0]) * 35 / 85,
                    "You drew a straight line between the times. They follow an exponential.",
                ),
            ),
        ),
        Number(
            "off",
            "By how much is that above (+) or below (−) the printed time at 90 °C?",
            points=1,
            unit="%",
            expected=lambda g, a: a.at_90 / g.bake_row[1] - 1,
            within=absolute(0.6),
            because="a printed hour is worth that much",
            plausible=(-10, 10),
            working="off = (at_90 / middle - 1) * 100",
            slips=(
                Slip(
                    "sign turned round",
                    lambda g, a: 1 - a.at_90 / g.bake_row[1],
                    "You have the sign the wrong way round: above the printed time is plus.",
                ),
            ),
        ),
        Number(
            "at_oven",
            "The shop's oven holds {oven}. Which time does the law give there?",
            points=2,
            unit="h",
            expected=lambda g, a: _elsewhere(g, a, g.oven),
            within=relative(0.02),
            because="it hangs on the rounding of E",
            plausible=(40, 600),
            working="at_oven = hot * exp(energy / 8.617e-5 * (1 / (oven + 273.15) - 1 / (125 + 273.15)))",
            slips=(
                Slip(
                    "straight line from 90 °C",
                    lambda g, a: g.bake_row[1] + (g.bake_row[2] - g.bake_row[1]) * (90 - g.oven) / 50,
                    "You drew a straight line between two columns. They follow an exponential.",
                ),
                Slip(
                    "straight line from 125 °C",
                    lambda g, a: g.bake_row[0] + (g.bake_row[2] - g.bake_row[0]) * (125 - g.oven) / 85,
                    "You drew a straight line between two columns. They follow an exponential.",
                ),
            ),
        ),
        Choice(
            "may_bake",
            "May the part be baked in that oven for that time, on your word?",
            points=1,
            options={
                "allowed": "yes: a law that meets the printed column is as good as the table",
                "shorter": "yes, and for less: a cooler bake treats the part more kindly",
                "ask": "no: bake by label, table or maker; the law shows why they differ",
            },
            expected=lambda g, a: "ask",
            slips={
                "allowed": "Between the columns nobody has tested, and moist air in an oven can undo the bake. The table's temperatures are the ones with somebody behind them.",
                "shorter": "Cooler is slower. A shorter bake leaves the water in.",
            },
        ),
    ),
    cases=(
        Case("energy", 0.448, 0.0005, "Arrhenius' law on 312 h and 9 h", "computed"),
        Case(
            "at_90",
            33,
            1.4,
            "J-STD-033 (1999), level 3, up to 1.4 mm, 90 °C",
            "published-second-hand",
            note="the one law meets the printed column within 4 %",
        ),
        Case(
            "at_90",
            144,
            4.0,
            "J-STD-033 (1999), level 5, above 1.4 up to 2.0 mm, 90 °C",
            "published-second-hand",
            givens=dict(level="5", body="above 1.4 up to 2.0 mm", bake_row=_row("5", "above 1.4 up to 2.0 mm")),
            note="the one law meets the printed column within 4 %",
        ),
        Case(
            "at_oven",
            77,
            0.8,
            "A device maker's page on details of its reliability calculations: factor at 0.7 eV from 125 to 55 °C",
            "published-unnamed",
            givens={"bake_row": (1, 33, 312), "oven": 55},
            earlier={"energy": 0.7},
            note="the page's constants and rounding move its factors by up to 1 %",
        ),
        Case(
            "off",
            -9.09,
            0.005,
            "by hand: 30 for 33 h",
            "computed",
            givens={"bake_row": (9, 33, 312)},
            earlier={"at_90": 30},
        ),
    ),
    caution=OVEN,
)
