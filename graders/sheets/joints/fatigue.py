"""Exercises on cycles: from strain to life, from test to field, and the sum of several kinds of cycle."""

import math

from graders.questions import Case, Choice, Exercise, Number, Pick, Quantity, Several, Slip, absolute, relative
from workbook.bench.joints import fatigue

CHECKED = "public test file citing Solder Joints in Electronics: Design for Reliability, Eq. 3-5"
HANDBOOK = "Printed Circuits Handbook"
DAY = 86400.0

TIN_LEAD = fatigue.EngelmaierConstants.from_references("engelmaier_tin_lead")
NORRIS_LANDZBERG = fatigue.CyclingConstants.from_references("norris_landzberg_tin_lead")
DWELL_SET = fatigue.CyclingConstants.from_references("pan_tin_silver_copper")
LATER_SET = fatigue.CyclingConstants.from_references("norris_landzberg_sac305")


def _exponent(g, temperature=6e-4, dwell=1.74e-2, log=math.log, minute=60.0, zero=0.0):
    """Return the exponent as the text gives it, with one thing changed where named."""
    return -0.442 - temperature * (g.mean_c + zero) + dwell * log(1 + 360 / (g.dwell / minute))


STRAIN_TO_LIFE = Exercise(
    id="strain-to-life",
    number=5,
    title="Turn a strain into a life",
    setup=(
        "A corner joint of tin-lead solder sits {distance} from the centre of its package and is {standoff} high. Package "
        "and board differ in expansion by {mismatch}. The joint swings by {swing} about a mean of {mean_c}, and rests for "
        "{dwell} at each end. Shear strain = distance / height × difference of the expansions × swing. Engelmaier's law "
        "gives the cycles at which half of such joints have failed:\n\n"
        "life = 1/2 · (strain / 0.65)^(1/c), with c = −0.442 − 0.0006 · T + 0.0174 · ln(1 + 360/t)\n\n"
        "where strain is a fraction (0.01, not 1 %), T is the mean temperature in °C, t the rest at one end in minutes and "
        "ln the natural logarithm (`log` in Python). Constants for near-eutectic tin-lead; 0.65 is twice the ductility "
        "coefficient 0.325. A first estimate, no more."
    ),
    givens=dict(
        distance=Quantity(12, "mm", low=8, high=14, step=0.5),
        standoff=Quantity(0.45, "mm", low=0.35, high=0.6, step=0.05),
        mismatch=Quantity(6, "ppm/K", low=4, high=10, step=0.5),
        swing=Quantity(65, "K", low=50, high=85, step=5),
        mean_c=Quantity(45, "°C", low=30, high=60, step=5),
        dwell=Quantity(20, "min", low=10, high=45, step=5),
        taller=Quantity(1.5, "1", low=1.2, high=2.0, step=0.1),
        swing_cut=Quantity(20, "%", low=10, high=50, step=5),
    ),
    parts=(
        Number(
            "shear",
            "What is the shear strain?",
            points=1,
            unit="%",
            expected=lambda g, a: g.distance / g.standoff * g.mismatch * g.swing,
            within=relative(0.01),
            because="the inputs are taken as given, so only rounding is left",
            plausible=(0.18, 4.8),
            working="shear = distance / standoff * mismatch * 1e-6 * swing * 100",
            slips=(
                Slip(
                    "mean for swing",
                    lambda g, a: g.distance / g.standoff * g.mismatch * g.mean_c,
                    "You put in the mean temperature. What strains the joint is the swing.",
                ),
                Slip(
                    "corner to corner",
                    lambda g, a: 2 * g.distance / g.standoff * g.mismatch * g.swing,
                    "Twice too much. The distance is given from the centre; nothing has to be doubled.",
                ),
            ),
        ),
        Number(
            "slope",
            "What is the exponent c?",
            points=2,
            unit="1",
            expected=lambda g, a: fatigue.engelmaier_exponent(g.mean_c, g.dwell, TIN_LEAD),
            within=absolute(0.0003),
            because="half a per cent of c already moves the life by 5 %: give it to four decimals",
            plausible=(-0.47, -0.37),
            working="slope = -0.442 - 0.0006 * mean_c + 0.0174 * log(1 + 360 / dwell)",
            hint="c is below zero. Take the mean temperature in °C and the rest in minutes.",
            slips=(
                Slip(
                    "kelvin",
                    lambda g, a: _exponent(g, zero=273.15),
                    "The mean temperature went in as kelvin. This law is written for °C.",
                ),
                Slip(
                    "seconds",
                    lambda g, a: _exponent(g, minute=1),
                    "The rest went in as seconds. The 360 are minutes, so the rest must be too.",
                ),
                Slip(
                    "common logarithm",
                    lambda g, a: _exponent(g, log=math.log10),
                    "You took the logarithm to base 10. The law wants the natural one.",
                ),
                Slip(
                    "sign of temperature",
                    lambda g, a: _exponent(g, temperature=-6e-4),
                    "The temperature term has the wrong sign: warmer joints creep more, so c falls.",
                ),
                Slip(
                    "sign of rest",
                    lambda g, a: _exponent(g, dwell=-1.74e-2),
                    "The last term has the wrong sign: a short rest leaves less time to creep, so c rises.",
                ),
            ),
        ),
        Number(
            "life",
            "After how many cycles have half of such joints failed?",
            points=2,
            unit="cycles",
            expected=lambda g, a: 0.5 * (a.shear / 0.65) ** (1 / a.slope),
            within=relative(0.03),
            because="c rounded to three digits moves the life by 1 %",
            plausible=(90, 1.4e6),
            working="life = 0.5 * (shear / 100 / 0.65)**(1 / slope)",
            slips=(
                Slip(
                    "ductility not doubled",
                    lambda g, a: 0.5 * (a.shear / 0.325) ** (1 / a.slope),
                    "You divided by 0.325. The law divides by twice that.",
                ),
                Slip(
                    "half forgotten",
                    lambda g, a: (a.shear / 0.65) ** (1 / a.slope),
                    "Twice too long: this counts reversals. Two reversals make one cycle.",
                ),
                Slip(
                    "exponent not turned over",
                    lambda g, a: 0.5 * (a.shear / 0.65) ** a.slope,
                    "You raised to c. The law raises to 1/c.",
                ),
                Slip(
                    "per cent for a fraction",
                    lambda g, a: 0.5 * (100 * a.shear / 0.65) ** (1 / a.slope),
                    "Less than one cycle, or hardly more: the strain went in as per cent. The law wants a fraction.",
                ),
            ),
        ),
        Number(
            "gain",
            "Rework with taller joints could make them {taller} times as high, all else equal. By which factor would the "
            "life grow?",
            points=1,
            unit="1",
            expected=lambda g, a: g.taller ** (-1 / a.slope),
            within=relative(0.02),
            because="c rounded to three digits hardly moves it",
            plausible=(1, 12),
            working="gain = taller**(-1 / slope)",
            hint="The strain falls as the joint gets taller. What does the law do with it?",
            slips=(
                Slip(
                    "in step with height",
                    lambda g, a: g.taller,
                    "The strain falls by that factor. The life goes with a power of the strain.",
                ),
                Slip(
                    "raised to c",
                    lambda g, a: g.taller ** (-a.slope),
                    "You raised to c. The law raises to 1/c.",
                ),
                Slip(
                    "life falls",
                    lambda g, a: g.taller ** (1 / a.slope),
                    "Below one: that would be a shorter life. Less strain gives more.",
                ),
            ),
        ),
        Choice(
            "spend_on",
            "The owner pays for one of two things: joints {taller} times as high, or a fan that makes the swing {swing_cut} "
            "smaller. Which one gives the longer life by this law?",
            points=1,
            options={
                "either": "either: both work on one and the same strain",
                "taller": "the taller joints: they lower the strain more",
                "fan": "the fan: it lowers the strain more",
            },
            expected=lambda g, a: "taller" if g.taller * (1 - g.swing_cut) > 1 else "fan",
            hint="By which factor does each of them divide the strain?",
        ),
    ),
    cases=(
        Case(
            "shear",
            2.8,
            0.05,
            f"{CHECKED}: 14 ppm/°C over 100 °C, 10 mm out, 0.5 mm high",
            "published-second-hand",
            givens={"distance": 10, "standoff": 0.5, "mismatch": 14, "swing": 100},
        ),
        Case(
            "slope",
            -0.418992,
            5e-7,
            f"{CHECKED}: 55 °C, 15 min",
            "published-second-hand",
            givens={"mean_c": 55, "dwell": 15},
        ),
        Case(
            "life",
            909.06,
            0.005,
            f"{CHECKED}: strain 0.028, 55 °C, 15 min",
            "published-second-hand",
            givens={"distance": 10, "standoff": 0.5, "mismatch": 14, "swing": 100, "mean_c": 55, "dwell": 15},
        ),
        Case(
            "life",
            121.80,
            0.005,
            f"{CHECKED}: strain 0.065, 55 °C, 15 min",
            "published-second-hand",
            givens={"mean_c": 55, "dwell": 15},
            earlier={"shear": 6.5},
        ),
        Case(
            "life",
            11403,
            0.5,
            "Engelmaier's law, strain 0.010, 50 °C, 15 min",
            "computed",
            givens={"mean_c": 50, "dwell": 15},
            earlier={"shear": 1.0},
        ),
        Case(
            "gain",
            4.0,
            0.005,
            "power law by hand: exponent 1/2, half of the strain",
            "computed",
            givens={"taller": 2},
            earlier={"slope": -0.5},
        ),
    ),
    sound=lambda drawn: abs(drawn["taller"] * (1 - drawn["swing_cut"] / 100) - 1) > 0.04,
    floor=0.05,
)


def _cycles(g):
    test = fatigue.ThermalCycle(g.test_cold_c, g.test_hot_c)
    return test, fatigue.ThermalCycle(g.field_cold_c, g.field_hot_c)


def _at_one_frequency(g, constants):
    """Return the acceleration where a cycle lasts, and rests, as long in the test as in the field."""
    test, field = _cycles(g)
    return fatigue.norris_landzberg_acceleration(
        test, field, test_frequency=1.0, field_frequency=1.0, constants=constants
    )


def _swings(g, exponent=NORRIS_LANDZBERG.swing_exponent):
    test, field = _cycles(g)
    return fatigue.swing_acceleration(test.swing, field.swing, exponent)


def _heat(g, activation, zero=273.15):
    return math.exp(activation * (1 / (g.field_hot_c + zero) - 1 / (g.test_hot_c + zero)))


TEST_TO_FIELD = Exercise(
    id="test-to-field",
    number=6,
    title="Carry a test over to the field",
    setup=(
        "Boards with tin-lead joints are cycled in a chamber from {test_cold_c} to {test_hot_c}; one cycle takes "
        "{test_cycle}. In use the joints go from {field_cold_c} to {field_hot_c}; one such cycle takes {field_cycle} from "
        "start to end, and there are {per_day} a day. Norris and Landzberg's law says how many field cycles one "
        "test cycle is worth:\n\n"
        "AF = (swing in test / swing in field)^1.9 × (f of field / f of test)^(1/3) × "
        "exp( 1414 · (1/T of field − 1/T of test) )\n\n"
        "The frequency f is most often printed as cycles per day. Others take one over the time that one cycle takes, because the "
        "rest lets the solder creep; where cycles do not follow each other without a break the two differ. **Here f is one over "
        "the time that one cycle takes.** T is the hottest "
        "temperature in kelvin (°C + 273.15). Constants for tin-lead. A year has 365 days."
    ),
    givens=dict(
        test_cold_c=Quantity(0, "°C", low=-40, high=0, step=5),
        test_hot_c=Quantity(110, "°C", low=100, high=125, step=5),
        field_cold_c=Quantity(25, "°C", low=15, high=30, step=1),
        field_hot_c=Quantity(72, "°C", low=60, high=80, step=1),
        test_cycle=Quantity(40, "min", low=30, high=75, step=5),
        field_cycle=Quantity(6, "h", low=3, high=7, step=0.5),
        per_day=Pick(2, (2, 3), "cycles"),
        test_cycles=Quantity(1000, "cycles", low=800, high=3000, step=100),
        asked=Pick(3, (2, 3, 5, 7), "yr"),
    ),
    parts=(
        Number(
            "swing_factor",
            "What is the first factor, from the swings?",
            points=1,
            unit="1",
            expected=lambda g, a: _swings(g),
            within=relative(0.01),
            because="the temperatures are taken as given, so only rounding is left",
            plausible=(2.1, 60),
            working="swing_factor = ((test_hot_c - test_cold_c) / (field_hot_c - field_cold_c))**1.9",
            slips=(
                Slip("upside down", lambda g, a: 1 / _swings(g), "The ratio is upside down: the test is on top."),
                Slip(
                    "without the power",
                    lambda g, a: _swings(g, 1),
                    "That is the bare ratio of the swings. The law raises it to a power.",
                ),
                Slip(
                    "hottest for swing",
                    lambda g, a: (g.test_hot_c / g.field_hot_c) ** 1.9,
                    "You compared the hottest temperatures. The swing runs from coldest to hottest.",
                ),
            ),
        ),
        Number(
            "duration_factor",
            "What is the second factor, from the frequencies f?",
            points=1,
            unit="1",
            expected=lambda g, a: (g.test_cycle / g.field_cycle) ** NORRIS_LANDZBERG.time_exponent,
            within=relative(0.01),
            because="the times are taken as given, so only rounding is left",
            plausible=(0.25, 0.95),
            working="duration_factor = (test_cycle / (field_cycle * 60))**(1/3)",
            hint="A cycle that takes long has a low frequency. Bring both times to minutes.",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: (g.field_cycle / g.test_cycle) ** (1 / 3),
                    "The ratio is upside down (it stands so in print, too). A slow field cycle creeps longer and does "
                    "more harm, so this factor must make AF smaller.",
                ),
                Slip(
                    "without the root",
                    lambda g, a: g.test_cycle / g.field_cycle,
                    "That is the bare ratio of the frequencies. The law takes its third root.",
                ),
                Slip(
                    "how often for how long",
                    lambda g, a: (g.per_day * g.test_cycle / DAY) ** (1 / 3),
                    "You took cycles per day, which is the common form. This exercise says that it takes one over the time of one cycle.",
                    worth=0.5,
                ),
            ),
        ),
        Number(
            "heat_factor",
            "What is the third factor, from the hottest temperatures?",
            points=1,
            unit="1",
            expected=lambda g, a: _at_one_frequency(g, NORRIS_LANDZBERG) / _swings(g),
            within=relative(0.01),
            because="the temperatures are taken as given, so only rounding is left",
            plausible=(1.1, 3.2),
            working="heat_factor = exp(1414 * (1 / (field_hot_c + 273.15) - 1 / (test_hot_c + 273.15)))",
            slips=(
                Slip(
                    "degrees Celsius",
                    lambda g, a: _heat(g, 1414, zero=0),
                    "The temperatures went in as °C. One over a temperature only makes sense in kelvin.",
                ),
                Slip(
                    "sign",
                    lambda g, a: _heat(g, -1414),
                    "Below one: the hotter test would be gentler. Look at the order of the two terms.",
                ),
            ),
        ),
        Number(
            "acceleration",
            "What is AF?",
            points=1,
            unit="1",
            expected=lambda g, a: a.swing_factor * a.duration_factor * a.heat_factor,
            within=relative(0.03),
            because="it carries the rounding of three factors",
            plausible=(0.3, 60),
            working="acceleration = swing_factor * duration_factor * heat_factor",
            slips=(
                Slip(
                    "added",
                    lambda g, a: a.swing_factor + a.duration_factor + a.heat_factor,
                    "You added the factors. Factors multiply.",
                ),
                Slip(
                    "frequency left out",
                    lambda g, a: a.swing_factor * a.heat_factor,
                    "The second factor is missing.",
                ),
                Slip(
                    "swings alone",
                    lambda g, a: a.swing_factor,
                    "That is the first factor alone. All three count.",
                ),
                Slip(
                    "heat left out",
                    lambda g, a: a.swing_factor * a.duration_factor,
                    "The third factor is missing.",
                ),
            ),
        ),
        Number(
            "years",
            "The joints lasted {test_cycles} in the chamber. To how many years of use does that correspond?",
            points=1,
            unit="yr",
            expected=lambda g, a: g.test_cycles * a.acceleration / g.per_day * DAY,
            within=relative(0.03),
            because="it carries the rounding of AF",
            plausible=(0.22, 300),
            working="years = test_cycles * acceleration / per_day / 365",
            slips=(
                Slip(
                    "AF left out",
                    lambda g, a: g.test_cycles / g.per_day * DAY,
                    "You took test cycles for field cycles. One test cycle is worth AF of them.",
                ),
                Slip(
                    "AF upside down",
                    lambda g, a: g.test_cycles / a.acceleration / g.per_day * DAY,
                    "You divided by AF. One test cycle is worth more than one field cycle here.",
                ),
                Slip(
                    "one time after another",
                    lambda g, a: g.test_cycles * a.acceleration * g.field_cycle,
                    "You set the cycles end to end. Between them the board rests: count how many come in a day.",
                ),
                Slip(
                    "one cycle a day",
                    lambda g, a: g.test_cycles * a.acceleration * DAY,
                    "You let one cycle come each day. How many come?",
                ),
            ),
        ),
        Choice(
            "answer",
            "The customer asks for {asked}. Nobody foretells lives closer than a factor of two, so the shop halves the number "
            "of part 5 before it compares. What does it answer?",
            points=1,
            options={
                "by the chamber": "yes: the chamber is harder than use, so more is sure",
                "no": "no: half of the number is less than what is asked",
                "yes": "yes: even half of the number is what is asked",
            },
            expected=lambda g, a: "yes" if a.years / 2 >= g.asked else "no",
            slips={"by the chamber": "How much harder is just what AF says. It is in the number already."},
        ),
    ),
    cases=(
        Case(
            "swing_factor",
            11.4,
            0.05,
            "a device maker's support thread on a solder joint acceleration model: -55/125 °C to 25/75 °C",
            "published-unnamed",
            givens={"test_cold_c": -55, "test_hot_c": 125, "field_cold_c": 25, "field_hot_c": 75},
        ),
        Case(
            "duration_factor",
            0.275,
            0.0005,
            "48 test cycles a day against one: the classic ratio (the thread named above prints 3.6, upside down)",
            "computed",
            givens={"test_cycle": 30, "field_cycle": 24},
        ),
        Case(
            "acceleration",
            3.2,
            0.1,
            f"{HANDBOOK}, section 64.2.4: ceramic array, 0/100 °C to 20/80 °C, equal frequency",
            "published-second-hand",
            givens={
                "test_cold_c": 0,
                "test_hot_c": 100,
                "field_cold_c": 20,
                "field_hot_c": 80,
                "test_cycle": 60,
                "field_cycle": 1,
            },
            note="the law gives 3.27; 2.9 to 3.6 were measured",
        ),
        Case(
            "acceleration",
            5.92,
            0.005,
            "Norris-Landzberg, tin-lead: -40/125 °C, 48 a day, against 20/70 °C, 2 a day",
            "computed",
            givens={
                "test_cold_c": -40,
                "test_hot_c": 125,
                "field_cold_c": 20,
                "field_hot_c": 70,
                "test_cycle": 30,
                "field_cycle": 12,
            },
        ),
        Case(
            "heat_factor",
            1.239,
            0.001,
            "temperature term of the Norris-Landzberg law by hand: exp(1414 (1/353.15 - 1/373.15))",
            "computed",
            givens={"field_hot_c": 80, "test_hot_c": 100},
        ),
        Case(
            "years",
            5.48,
            0.005,
            "by hand: 1000 cycles times 4 are 4000, two a day",
            "computed",
            givens={"test_cycles": 1000, "per_day": 2},
            earlier={"acceleration": 4},
        ),
    ),
    # Where the test cycles make one year of use, AF and the years would be one number.
    sound=lambda drawn: (
        abs(drawn["test_cycles"] / drawn["per_day"] / 365 - 1) > 0.05
        and abs(TEST_TO_FIELD.key(drawn)["years"] / 2 / drawn["asked"] - 1) > 0.06
    ),
    floor=0.15,
)


def _largest(a):
    return max(a.tin_lead, a.dwell_set, a.later_set)


def _smallest(a):
    return min(a.tin_lead, a.dwell_set, a.later_set)


BORROWED_CONSTANTS = Exercise(
    id="borrowed-constants",
    number=7,
    title="Do not borrow constants blindly",
    setup=(
        "Lead-free boards are cycled from {test_cold_c} to {test_hot_c}; in use they go from {field_cold_c} to "
        "{field_hot_c}. Take a cycle to last, and to rest, as long in the test as in the field. Then all three laws below "
        "have the form AF = (swing in test / swing in field)^n × exp( E · (1/T of field − 1/T of test) ), T the hottest "
        "temperature in kelvin (°C + 273.15). Three sets stand in print: for tin-lead n = 1.9 and E = 1414 K; for "
        "tin-silver-copper, fitted from 0 to 100 °C, n = 2.65 and E = 2185 K; for SAC305, of 2012, n = 2.3 and "
        "E = 4562 K. Such joints were then run on both cycles, and AF came out as {measured} (made-up measurement; which "
        "set lies nearest to it is chance here, and no reason to trust that set)."
    ),
    givens=dict(
        test_cold_c=Quantity(-40, "°C", low=-40, high=-20, step=5),
        test_hot_c=Quantity(125, "°C", low=110, high=125, step=5),
        field_cold_c=Quantity(30, "°C", low=20, high=32, step=1),
        field_hot_c=Quantity(80, "°C", low=70, high=85, step=1),
        measured=Quantity(11.5, "1", low=8, high=40, step=0.5),
    ),
    parts=(
        Number(
            "tin_lead",
            "Which AF does the tin-lead set give?",
            points=1,
            unit="1",
            expected=lambda g, a: _at_one_frequency(g, NORRIS_LANDZBERG),
            within=relative(0.01),
            because="the temperatures are taken as given, so only rounding is left",
            plausible=(3.1, 44),
            working="""
swings = (test_hot_c - test_cold_c) / (field_hot_c - field_cold_c)
hotter = 1 / (field_hot_c + 273.15) - 1 / (test_hot_c + 273.15)
tin_lead = swings**1.9 * exp(1414 * hotter)
""",
            slips=(
                Slip(
                    "heat left out",
                    lambda g, a: _swings(g),
                    "That is the factor of the swings. The hotter end of the test counts as well.",
                ),
                Slip(
                    "degrees Celsius",
                    lambda g, a: _swings(g) * _heat(g, 1414, zero=0),
                    "The temperatures went into the exponential as °C. It needs kelvin.",
                ),
                Slip(
                    "sign",
                    lambda g, a: _swings(g) * _heat(g, -1414),
                    "The exponential made AF smaller. The test is hotter, so it must make it larger.",
                ),
            ),
        ),
        Number(
            "dwell_set",
            "Which AF does the tin-silver-copper set give?",
            points=1,
            unit="1",
            expected=lambda g, a: _at_one_frequency(g, DWELL_SET),
            within=relative(0.01),
            because="the temperatures are taken as given, so only rounding is left",
            plausible=(6, 180),
            working="dwell_set = swings**2.65 * exp(2185 * hotter)",
            slips=(
                Slip(
                    "two sets mixed",
                    lambda g, a: _swings(g, 2.65) * _heat(g, 4562),
                    "You paired the power of one set with the E of another. A set belongs together.",
                ),
                Slip("heat left out", lambda g, a: _swings(g, 2.65), "The exponential is missing."),
                Slip(
                    "sign",
                    lambda g, a: _swings(g, 2.65) / _heat(g, 2185),
                    "The sign in the exponent is turned round. The test is the hotter of the two, so its heat makes AF larger.",
                ),
            ),
        ),
        Number(
            "later_set",
            "Which AF does the SAC305 set of 2012 give?",
            points=1,
            unit="1",
            expected=lambda g, a: _at_one_frequency(g, LATER_SET),
            within=relative(0.01),
            because="the temperatures are taken as given, so only rounding is left",
            plausible=(7.3, 500),
            working="later_set = swings**2.3 * exp(4562 * hotter)",
            slips=(
                Slip(
                    "two sets mixed",
                    lambda g, a: _swings(g, 2.3) * _heat(g, 2185),
                    "You paired the power of one set with the E of another. A set belongs together.",
                ),
                Slip("heat left out", lambda g, a: _swings(g, 2.3), "The exponential is missing."),
            ),
        ),
        Number(
            "apart",
            "By which factor do the largest and the smallest of the three lie apart?",
            points=1,
            unit="1",
            expected=lambda g, a: _largest(a) / _smallest(a),
            within=relative(0.02),
            because="it carries the rounding of two of them",
            plausible=(1, 50),
            working="apart = max(tin_lead, dwell_set, later_set) / min(tin_lead, dwell_set, later_set)",
            slips=(
                Slip(
                    "difference",
                    lambda g, a: _largest(a) - _smallest(a),
                    "That is the difference. The question asks for the factor.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: _smallest(a) / _largest(a),
                    "The ratio is upside down: put the larger on top.",
                ),
            ),
        ),
        Number(
            "too_high",
            "How many times the measured factor is that of the 2012 set?",
            points=1,
            unit="1",
            expected=lambda g, a: a.later_set / g.measured,
            within=relative(0.02),
            because="the measurement is taken as given, so only rounding is left",
            plausible=(0.5, 50),
            working="too_high = later_set / measured",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.measured / a.later_set,
                    "The ratio is upside down: put the set on top.",
                ),
                Slip(
                    "tin-lead set",
                    lambda g, a: a.tin_lead / g.measured,
                    "You compared the tin-lead set. The question names the one of 2012.",
                ),
            ),
        ),
        Choice(
            "promise_on",
            "Which AF would you build a promise to a customer on?",
            points=1,
            options={
                "largest": "that of 2012, since it is the newest of the three sets",
                "measured": "the one measured on such joints and these cycles",
                "average": "the average of the three, so that errors even out",
                "nearest": "that of the set which came nearest to the measurement",
            },
            expected=lambda g, a: "measured",
            slips={
                "nearest": "It came nearest on this pair of cycles by chance. On another pair another set may.",
                "largest": "The largest AF makes the longest promise. Who pays if it is wrong?",
                "average": "An average of numbers that far apart is as wrong as they are. What do these joints say themselves?",
            },
        ),
    ),
    cases=(
        Case(
            "tin_lead",
            15.2,
            0.05,
            "-40/125 °C against 30/80 °C at equal frequency, tin-lead set (10 to 13 measured, EuroSimE 2005)",
            "computed",
        ),
        Case("dwell_set", 47.6, 0.05, "the same two cycles at equal dwell, Pan's set", "computed"),
        Case("later_set", 67.1, 0.05, "the same two cycles at equal frequency, SAC305 set of 2012", "computed"),
        Case(
            "apart",
            4.41,
            0.005,
            "by hand from 15.2, 47.6 and 67.1 by three sets for EuroSimE 2005",
            "computed",
            earlier={"tin_lead": 15.2, "dwell_set": 47.6, "later_set": 67.1},
        ),
        Case(
            "too_high",
            5.83,
            0.005,
            "by hand: 67.1 against the middle of the 10 to 13 of EuroSimE 2005",
            "computed",
            earlier={"later_set": 67.1},
        ),
    ),
    sound=lambda drawn: BORROWED_CONSTANTS.key(drawn)["too_high"] > 0.55,
    floor=0.21,
)

DAMAGE_SUM = Exercise(
    id="damage-sum",
    number=8,
    title="Add up the damage of two kinds of cycle",
    setup=(
        "In the chamber the joints of a board lasted {lab_life}. In use the board sees two kinds of cycle. When it is "
        "switched off and on, it goes through one main cycle; one chamber cycle is worth {main_factor} main cycles. While "
        "it runs, it goes through small ones; one chamber cycle is worth {small_factor} small cycles. In each round of "
        "{round_time} there are 1 main cycle and {small_cycles} small ones. By Miner's rule each "
        "cycle uses up its share of the life, and the joint fails when the shares add up to 1. A year has 365 days."
    ),
    givens=dict(
        lab_life=Quantity(1600, "cycles", low=800, high=2500, step=100),
        main_factor=Quantity(9.4, "1", low=6, high=12, step=0.2),
        small_factor=Quantity(52, "1", low=35, high=70, step=1),
        small_cycles=Quantity(28, "1", low=10, high=60, step=2),
        round_time=Pick(2, (2, 3), "d"),
        reserve=Pick(2, (2, 3, 4)),
    ),
    parts=(
        Number(
            "main_life",
            "How many main cycles would the joints last, if only those came?",
            points=1,
            unit="cycles",
            expected=lambda g, a: g.lab_life * g.main_factor,
            within=relative(0.005),
            because="a product of two numbers leaves only rounding",
            plausible=(3000, 48000),
            working="main_life = lab_life * main_factor",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: g.lab_life / g.main_factor,
                    "You divided. One chamber cycle is worth many main cycles, so more of them fit in.",
                ),
            ),
        ),
        Number(
            "small_life",
            "How many small cycles would they last, if only those came?",
            points=1,
            unit="cycles",
            expected=lambda g, a: g.lab_life * g.small_factor,
            within=relative(0.005),
            because="a product of two numbers leaves only rounding",
            plausible=(17000, 280000),
            working="small_life = lab_life * small_factor",
            slips=(
                Slip(
                    "from the main life",
                    lambda g, a: a.main_life * g.small_factor,
                    "You started from the main cycles. Start from the life in the chamber.",
                ),
            ),
        ),
        Number(
            "rounds",
            "How many rounds does the joint last?",
            points=2,
            unit="1",
            expected=lambda g, a: fatigue.miner_life([1, g.small_cycles], [a.main_life, a.small_life]),
            within=relative(0.01),
            because="it carries the rounding of two lives",
            plausible=(78, 37000),
            working="rounds = 1 / (1 / main_life + small_cycles / small_life)",
            hint="How much of the life does one round use up?",
            slips=(
                Slip(
                    "small cycles left out",
                    lambda g, a: a.main_life,
                    "You counted the main cycles only. The small ones do their share.",
                ),
                Slip(
                    "main cycle left out",
                    lambda g, a: a.small_life / g.small_cycles,
                    "You counted the small cycles only. The main one does its share.",
                ),
                Slip(
                    "one small cycle",
                    lambda g, a: 1 / (1 / a.main_life + 1 / a.small_life),
                    "You counted one small cycle a round. How many are there?",
                ),
                Slip(
                    "average of the lives",
                    lambda g, a: (a.main_life + a.small_life / g.small_cycles) / 2,
                    "You took the average of two lives. Lives do not average: shares of damage add up.",
                ),
            ),
        ),
        Number(
            "years",
            "How many years is that?",
            points=1,
            unit="yr",
            expected=lambda g, a: a.rounds * g.round_time,
            within=relative(0.01),
            because="it carries the rounding of the rounds",
            plausible=(0.43, 360),
            working="years = rounds * round_time / 365",
            slips=(
                Slip(
                    "a round a day",
                    lambda g, a: a.rounds * DAY,
                    "You let a round take one day. How many days does it take?",
                ),
            ),
        ),
        Number(
            "promised",
            "The estimate is rough, so the shop keeps a safety factor of {reserve} on the life. How many years does that leave "
            "for these two kinds of cycle?",
            points=1,
            unit="yr",
            expected=lambda g, a: a.years / g.reserve,
            within=relative(0.01),
            because="it carries the rounding of the years",
            plausible=(0.13, 180),
            working="promised = years / reserve",
            slips=(
                Slip(
                    "multiplied", lambda g, a: a.years * g.reserve, "You made the promise longer. Safety shortens it."
                ),
                Slip("left as it was", lambda g, a: a.years, "That is the whole life. The safety factor is missing."),
                Slip(
                    "taken away",
                    lambda g, a: a.years - g.reserve * 365 * 86400,
                    "You took the factor away as if it were years. A safety factor divides.",
                ),
            ),
        ),
        Several(
            "also",
            "Before the shop writes these years down as a promise, what must hold as well?",
            points=1,
            options={
                "same joints": "the joints in use fail in the way they did in the chamber",
                "counted": "main and small cycles are as many and as large as assumed",
                "knocks": "the factor of safety is there to cover drops and bent boards",
                "others": "no other part of the board ends before these joints do",
                "order": "the small cycles come first, then the main one, each round",
            },
            expected=lambda g, a: {"same joints", "counted", "others"},
            slips={
                "knocks": "The factor covers a rough estimate of cycles. A drop is another load, and not in the calculation.",
                "order": "By Miner's rule the order does not matter.",
            },
        ),
    ),
    cases=(
        Case(
            "main_life",
            37895,
            20,
            f"{HANDBOOK}, section 64.2.5: 3574 cycles times 10.6",
            "published-second-hand",
            givens={"lab_life": 3574, "main_factor": 10.6},
            note="the source carries more digits of the factor than it prints",
        ),
        Case(
            "small_life",
            163020,
            180,
            f"{HANDBOOK}, section 64.2.5: 3574 cycles times 45.6",
            "published-second-hand",
            givens={"lab_life": 3574, "small_factor": 45.6},
            note="the source carries more digits of the factor than it prints",
        ),
        Case(
            "rounds",
            1311,
            1,
            f"{HANDBOOK}, section 64.2.6: one main cycle with 120 small ones",
            "published-second-hand",
            givens={"small_cycles": 120},
            earlier={"main_life": 37895, "small_life": 163020},
            note="unrounded 1311.5",
        ),
        Case(
            "years",
            107.8,
            0.05,
            f"{HANDBOOK}, section 64.2.6: rounds of 30 days",
            "published-second-hand",
            givens={"round_time": 30},
            earlier={"rounds": 1311.5},
        ),
        Case(
            "promised",
            53.9,
            0.05,
            f"{HANDBOOK}, section 64.2.6: safety factor 2",
            "published-second-hand",
            givens={"reserve": 2},
            earlier={"years": 107.8},
        ),
    ),
    floor=0.15,
)

EXERCISES = (STRAIN_TO_LIFE, TEST_TO_FIELD, BORROWED_CONSTANTS, DAMAGE_SUM)
