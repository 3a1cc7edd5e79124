"""Exercises on rates and runs without a failure: what a clean test does and does not show."""

import math

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from workbook.bench.intake import evidence
from workbook.bench.joints import rates

DEVICE_PAGE = "a device maker's page on the details of its reliability calculations, 0.7 eV to 55 °C"
CHI_SQUARE_BOOK = "Reliability, Maintainability and Risk, Appendix 8"
RUN_GUIDES = "guides on zero-failure sample size"
RUN_PAGE = "success-run theorem page, R = (1 − C)^(1/(n + 1))"
BOLTZMANN = 8.617e-5


def _arrhenius(g, sign=1, zero=273.15):
    colder = 1 / (g.use_c + zero) - 1 / (g.stress_c + zero)
    return math.exp(sign * g["activation"] / BOLTZMANN * colder)


def _unit_time(g):
    return g.boards * g.test_time


def _chi_square(failures, confidence):
    """Return chi-square with room for one failure more than was seen."""
    return 2 / rates.mtbf_lower_bound(1.0, failures, confidence)


def _no_number_follows_itself(drawn):
    """Whether no given, taken for AF, would come out again as the failure rate."""
    hours = drawn["boards"] * drawn["test_time"]
    for chi_square in (_chi_square(0, drawn["confidence"] / 100), _chi_square(1, drawn["confidence"] / 100)):
        fixed_point = math.sqrt(chi_square / (2 * hours) * 1e9)
        if any(abs(value / fixed_point - 1) < 0.03 for value in (100, *drawn.values())):
            return False
    return True


NO_FAILURES = Exercise(
    id="no-failures",
    number=15,
    title="Say what a test without failures shows",
    setup=(
        "{boards} boards ran for {test_time} each at {stress_c}, and none failed (made-up test). In use they run at "
        "{use_c}. Heat speeds the ageing up by AF = exp( E/k · (1/T of use − 1/T of test) ), with E = {activation}, "
        "k = 8.617 × 10⁻⁵ eV/K and T in kelvin (°C + 273.15). This is the usual calculation for chips and other parts on the board: it supposes a constant failure rate, which joints "
        "that wear out do not have. With confidence C it is "
        "then at most\n\n"
        "rate = χ² / (2 · boards · time · AF)\n\n"
        "where χ² is the C quantile (C as a fraction, such as 0.60) of the chi-square law with 2 · (failures + 1) degrees of freedom. For no failure that "
        "is χ² = −2 · ln(1 − C); for one failure it is 4.045 at 60 % and 7.779 at 90 % confidence. Take "
        "C = {confidence}. One FIT is one failure in 10⁹ board hours."
    ),
    givens=dict(
        boards=Quantity(210, "1", low=80, high=300, step=10),
        test_time=Pick(1500, (500, 1500, 2000, 3000), "h"),
        stress_c=Pick(125, (85, 105, 125, 135), "°C"),
        use_c=Quantity(50, "°C", low=40, high=60, step=2),
        activation=Fixed(0.7, "eV"),
        confidence=Pick(60, (60, 90), "%"),
    ),
    parts=(
        Number(
            "acceleration",
            "How many times faster do the boards age in the test (AF)?",
            points=2,
            unit="1",
            expected=lambda g, a: rates.arrhenius_acceleration(g["activation"], g.use_c, g.stress_c),
            within=relative(0.015),
            because="the rounding of k and of 273.15 moves it by up to 1 %",
            plausible=(2, 680),
            working="""
colder = 1 / (use_c + 273.15) - 1 / (stress_c + 273.15)
acceleration = exp(activation / 8.617e-5 * colder)
""",
            slips=(
                Slip(
                    "degrees Celsius",
                    lambda g, a: _arrhenius(g, zero=0),
                    "The temperatures went in as °C. One over a temperature only makes sense in kelvin.",
                ),
                Slip(
                    "sign",
                    lambda g, a: _arrhenius(g, sign=-1),
                    "Below one: the hot test would age the boards more slowly. Look at the order of the two terms.",
                ),
                Slip(
                    "twice each ten kelvin",
                    lambda g, a: 2 ** ((g.stress_c - g.use_c) / 10),
                    "You doubled the rate for each 10 K. That is a rule of thumb; the activation energy is given here.",
                ),
            ),
        ),
        Number(
            "chi_square",
            "What is χ² for no failure?",
            points=1,
            unit="1",
            expected=lambda g, a: _chi_square(0, g.confidence),
            within=relative(0.005),
            because="it comes from a formula, so only rounding is left",
            plausible=(1.2, 12),
            working="chi_square = -2 * log(1 - confidence / 100)",
            slips=(
                Slip(
                    "other tail",
                    lambda g, a: -2 * math.log(g.confidence),
                    "You took the logarithm of C. The formula takes 1 − C.",
                ),
                Slip(
                    "two forgotten",
                    lambda g, a: -math.log(1 - g.confidence),
                    "The 2 in front is missing.",
                ),
            ),
        ),
        Number(
            "rate",
            "What is the failure rate in use at most?",
            points=1,
            unit="FIT",
            expected=lambda g, a: a.chi_square / (2 * _unit_time(g) * a.acceleration),
            within=relative(0.02),
            because="it carries the rounding of AF",
            plausible=(0.5, 30000),
            working="rate = chi_square / (2 * boards * test_time * acceleration) * 1e9",
            slips=(
                Slip(
                    "two forgotten",
                    lambda g, a: a.chi_square / (_unit_time(g) * a.acceleration),
                    "Twice too much: the 2 below the line is missing.",
                ),
                Slip(
                    "AF left out",
                    lambda g, a: a.chi_square / (2 * _unit_time(g)),
                    "That is the rate in the hot test. In use the boards age more slowly, by AF.",
                ),
                Slip(
                    "one board",
                    lambda g, a: a.chi_square / (2 * g.test_time * a.acceleration),
                    "You counted the hours of one board. All of them ran.",
                ),
            ),
        ),
        Number(
            "rate_after_one",
            "Suppose one board had failed. What would the failure rate in use be at most?",
            points=1,
            unit="FIT",
            expected=lambda g, a: _chi_square(1, g.confidence) / (2 * _unit_time(g) * a.acceleration),
            within=relative(0.02),
            because="it carries the rounding of AF",
            plausible=(0.5, 60000),
            working="""
chi_of_one = 4.045 if confidence == 60 else 7.779
rate_after_one = chi_of_one / (2 * boards * test_time * acceleration) * 1e9
""",
            slips=(
                Slip(
                    "as if none had failed",
                    lambda g, a: a.chi_square / (2 * _unit_time(g) * a.acceleration),
                    "You used χ² for no failure. With one failure it has two more degrees of freedom.",
                ),
                Slip(
                    "failures over time",
                    lambda g, a: 1 / (_unit_time(g) * a.acceleration),
                    "That is what was seen: one failure over all the hours. The most it may be, with confidence C, is more.",
                ),
                Slip(
                    "other confidence",
                    lambda g, a: _chi_square(1, 1.5 - g.confidence) / (2 * _unit_time(g) * a.acceleration),
                    "You read χ² for the other confidence.",
                ),
                Slip(
                    "twice that of none",
                    lambda g, a: 2 * a.chi_square / (2 * _unit_time(g) * a.acceleration),
                    "You doubled the rate for no failure. χ² does not grow in step with the failures: read it anew.",
                ),
            ),
        ),
        Choice(
            "may_say",
            "None had failed. What may the shop say?",
            points=1,
            options={
                "zero": "the rate is 0 FIT: so many hours, and not one failure",
                "at most": "the rate of part 3 at most, at the confidence stated",
                "nothing": "no rate at all: for that, at least one must have failed",
            },
            expected=lambda g, a: "at most",
            slips={
                "zero": "A few more boards, or hours, might have shown a failure. The test sets a limit, not zero.",
                "nothing": "Many hours without a failure do say something. What did part 3 give?",
            },
        ),
        Choice(
            "not_shown",
            "A customer asks what this test says about cracked solder joints under the large package. What do you answer?",
            points=1,
            options={
                "same rate": "the same rate holds for them: they were on the boards as well",
                "half rate": "the same rate with a safety factor of two, as joints are rough",
                "cycles first": "hardly anything: steady heat does not strain them, cycles do",
            },
            expected=lambda g, a: "cycles first",
            slips={
                "same rate": "Steady heat hardly shears a joint. It takes warming and cooling, over and over.",
                "half rate": "No factor turns a test at steady heat into a test by cycles.",
            },
        ),
    ),
    cases=(
        Case(
            "acceleration",
            258,
            1.3,
            f"{DEVICE_PAGE}, from 150 °C",
            "published-unnamed",
            givens={"stress_c": 150, "use_c": 55},
            note="the source's constants and rounding move it by up to 1 %",
        ),
        Case(
            "acceleration",
            128,
            0.5,
            f"{DEVICE_PAGE}, from 135 °C",
            "published-unnamed",
            givens={"stress_c": 135, "use_c": 55},
        ),
        Case(
            "acceleration",
            77,
            0.7,
            f"{DEVICE_PAGE}, from 125 °C",
            "published-unnamed",
            givens={"stress_c": 125, "use_c": 55},
            note="the source's constants and rounding move it by up to 1 %",
        ),
        Case(
            "acceleration",
            8,
            0.5,
            f"{DEVICE_PAGE}, from 85 °C",
            "published-unnamed",
            givens={"stress_c": 85, "use_c": 55},
        ),
        Case(
            "chi_square",
            1.83,
            0.005,
            f"{CHI_SQUARE_BOOK}: 60 %, 2 degrees of freedom",
            "published",
            givens={"confidence": 60},
        ),
        Case(
            "rate",
            50.9,
            0.05,
            "a device maker's support thread on chi-square: 231 units, 1000 h at 125 °C, 60 %, 55 °C",
            "published-unnamed",
            givens={"boards": 231, "test_time": 1000, "confidence": 60},
            earlier={"acceleration": 78, "chi_square": 1.8326},
            note="with the source's AF, rounded to 78",
        ),
        Case(
            "rate",
            51.1,
            0.05,
            "the same test with AF unrounded",
            "computed",
            givens={"boards": 231, "test_time": 1000, "confidence": 60, "stress_c": 125, "use_c": 55},
        ),
        Case(
            "rate_after_one",
            112.7,
            0.05,
            "scipy.stats.chi2.ppf(0.60, 4): 231 units, 1000 h, factor 77.65",
            "computed",
            givens={"boards": 231, "test_time": 1000, "confidence": 60},
            earlier={"acceleration": 77.65},
        ),
    ),
    caution=(
        "Nothing is heated here. Where you do run boards hot: a chamber burns and boards fume, so follow your shop's rules "
        "and leave powered tests to people licensed for them."
    ),
    sound=_no_number_follows_itself,
    floor=0.15,
)

CLEAN_RUN = Exercise(
    id="clean-run",
    number=16,
    title="Count how many good boards a promise needs",
    setup=(
        "A promise says: at least {reliability} of boards outlast a certain number of cycles, with confidence "
        "{confidence}. If n boards are tested to just that number and none fails, the promise is supported when "
        "Rⁿ ≤ 1 − C, that is n = ln(1 − C) / ln R, rounded **up** to whole boards, with R and C as fractions of 1. Turned "
        "round, n clean boards show R = (1 − C)^(1/n). If every board runs k times as long as promised and lives follow a "
        "Weibull law of shape β, each counts as k^β boards: n = ln(1 − C) / (k^β · ln R), rounded up."
    ),
    givens=dict(
        reliability=Pick(95, (85, 90, 92, 95, 97), "%"),
        confidence=Pick(90, (80, 85, 90, 95), "%"),
        clean=Quantity(30, "1", low=12, high=40, step=1),
        longer=Quantity(1.6, "1", low=1.3, high=2.0, step=0.1),
        shape=Quantity(2.5, "1", low=2, high=3.5, step=0.25),
    ),
    parts=(
        Number(
            "boards",
            "How many boards must run clean to just the promised cycles?",
            points=2,
            unit="pieces",
            expected=lambda g, a: evidence.success_run_trials(g.reliability, g.confidence),
            within=absolute(0.01),
            because="boards come whole",
            plausible=(9.3, 160),
            working="""
run = log(1 - confidence / 100) / log(reliability / 100)
boards = int(run) + 1          # the next whole number up
""",
            hint="Both logarithms are below zero; their ratio is not. A part of a board counts as a whole one.",
            slips=(
                Slip(
                    "rounded down",
                    lambda g, a: evidence.success_run_trials(g.reliability, g.confidence) - 1,
                    "One board short of the promise. Round up.",
                ),
                Slip(
                    "not rounded",
                    lambda g, a: math.log(1 - g.confidence) / math.log(g.reliability),
                    "The formula is right. There are no parts of a board: round up.",
                    worth=0.5,
                ),
                Slip(
                    "R and C changed over",
                    lambda g, a: evidence.success_run_trials(g.confidence, g.reliability),
                    "Confidence and reliability have changed places.",
                ),
            ),
        ),
        Number(
            "shown",
            "A shop has run {clean} boards clean to the promised cycles. Which R do they show at this confidence?",
            points=1,
            unit="%",
            expected=lambda g, a: evidence.success_run_reliability(g.clean, g.confidence),
            within=absolute(0.02),
            because="the rule of part 3 differs by more",
            plausible=(50, 99.9),
            working="shown = (1 - confidence / 100)**(1 / clean) * 100",
            slips=(
                Slip("none failed", lambda g, a: 1.0, "No failure in a few boards does not show that none ever fails."),
                Slip(
                    "C for 1 − C",
                    lambda g, a: g.confidence ** (1 / g.clean),
                    "You took the root of C. The formula takes 1 − C.",
                ),
            ),
        ),
        Number(
            "shown_kindly",
            "Another rule in print counts one board more than was run: R = (1 − C)^(1/(n + 1)). Which R does it give?",
            points=1,
            unit="%",
            expected=lambda g, a: evidence.success_run_reliability_uniform_prior(g.clean, g.confidence),
            within=absolute(0.02),
            because="the two rules differ by more",
            plausible=(50, 99.9),
            working="shown_kindly = (1 - confidence / 100)**(1 / (clean + 1)) * 100",
            slips=(
                Slip(
                    "rule of part 2",
                    lambda g, a: evidence.success_run_reliability(g.clean, g.confidence),
                    "That is the rule of part 2. This one counts one board more.",
                ),
                Slip(
                    "one board fewer",
                    lambda g, a: evidence.success_run_reliability(g.clean - 1, g.confidence),
                    "You counted one board fewer. This rule counts one more.",
                ),
            ),
        ),
        Number(
            "boards_longer",
            "The boards run {longer} times as long as promised, with β = {shape}. How many must run clean to support the "
            "promise?",
            points=1,
            unit="pieces",
            expected=lambda g, a: evidence.success_run_trials(g.reliability ** (g.longer**g.shape), g.confidence),
            within=absolute(0.01),
            because="boards come whole",
            plausible=(1, 95),
            working="""
run_longer = run / longer**shape
boards_longer = int(run_longer) + 1
""",
            slips=(
                Slip(
                    "shape left out",
                    lambda g, a: evidence.success_run_trials(g.reliability**g.longer, g.confidence),
                    "You let a board that runs k times as long count as k boards. It counts as k^β.",
                ),
                Slip(
                    "rounded down",
                    lambda g, a: evidence.success_run_trials(g.reliability ** (g.longer**g.shape), g.confidence) - 1,
                    "One board short of the promise. Round up.",
                ),
                Slip(
                    "not rounded",
                    lambda g, a: math.log(1 - g.confidence) / math.log(g.reliability) / g.longer**g.shape,
                    "The formula is right. There are no parts of a board: round up.",
                    worth=0.5,
                ),
            ),
        ),
        Choice(
            "promise",
            "What does the shop of part 2, with its {clean} clean boards, tell the customer who asks for the promise?",
            points=1,
            options={
                "kinder rule": "the R of part 3, since that rule gives the most",
                "not yet": "not yet: too few boards; it gives the R of part 2",
                "promise": "yes: it has run at least the boards of part 1",
            },
            expected=lambda g, a: "promise" if g.clean >= a.boards else "not yet",
            slips={
                "kinder rule": "A rule is chosen before the test, not after it for the better number.",
                "not yet": "Compare the clean boards with part 1 once more.",
                "promise": "Compare the clean boards with part 1 once more.",
            },
        ),
    ),
    cases=(
        Case(
            "shown",
            95,
            0.06,
            f"{RUN_GUIDES}: 59 without a failure at 95 %",
            "published-second-hand",
            givens={"clean": 59, "confidence": 95},
            note="59 is the first whole number that shows 95 %: 95.05 %",
        ),
        Case(
            "boards",
            22,
            0.01,
            f"{RUN_GUIDES}: 90 % at 90 %",
            "published-second-hand",
            givens={"reliability": 90, "confidence": 90},
        ),
        Case(
            "boards",
            59,
            0.01,
            f"{RUN_GUIDES}: 95 % at 95 %",
            "published-second-hand",
            givens={"reliability": 95, "confidence": 95},
        ),
        Case(
            "boards",
            2995,
            0.01,
            "documentation of a reliability library: 99.9 % at 95 %",
            "published-unnamed",
            givens={"reliability": 99.9, "confidence": 95},
        ),
        Case("shown_kindly", 81.11, 0.005, f"{RUN_PAGE}: 10 at 90 %", "published-unnamed", givens={"clean": 10}),
        Case(
            "shown_kindly",
            90.50,
            0.005,
            f"{RUN_PAGE}: 29 at 95 %",
            "published-unnamed",
            givens={"clean": 29, "confidence": 95},
        ),
        Case(
            "shown_kindly",
            95.13,
            0.005,
            f"{RUN_PAGE}: 59 at 95 %",
            "published-unnamed",
            givens={"clean": 59, "confidence": 95},
        ),
        Case(
            "shown_kindly",
            95.50,
            0.005,
            f"{RUN_PAGE}: 99 at 99 %",
            "published-unnamed",
            givens={"clean": 99, "confidence": 99},
        ),
        Case(
            "boards_longer",
            22,
            0.01,
            "Guides on zero-failure sample size: 90 % at 90 %",
            "published-second-hand",
            givens={"reliability": 90, "confidence": 90, "longer": 1},
            note="a run as long as the promise",
        ),
        Case(
            "boards_longer",
            59,
            0.01,
            "Guides on zero-failure sample size: 95 % at 95 %",
            "published-second-hand",
            givens={"reliability": 95, "confidence": 95, "longer": 1},
            note="a run as long as the promise",
        ),
    ),
    floor=0.15,
)

EXERCISES = (NO_FAILURES, CLEAN_RUN)
