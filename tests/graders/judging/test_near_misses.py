"""A wrong number names its slip: each family on a real sheet, and the care that keeps it from saying too much."""

import ast
import math
import re
from dataclasses import replace

import pytest
from scipy.stats import norm

from graders import sheets
from graders.judging import near_misses, shortcuts
from graders.judging.arithmetic import FUNCTIONS, Beyond, Budget, Reader
from graders.judging.changes import COVERAGE, TIMES
from graders.judging.near_misses import near_miss, unnamed, untried, variants
from graders.judging.slip_words import numbers_of_the_text
from graders.notebooks.printer import MATH
from graders.questions.exercise import Exercise
from graders.questions.givens import Fixed
from graders.questions.parts.number import Number
from graders.questions.parts.tolerance import relative
from workbook import units
from workbook.topics import TOPICS

PARTS = [
    (exercise, part)
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
    for part in exercise.parts
    if isinstance(part, Number)
]


def missed(topic, exercise, part, answer, earlier=None, typed=""):
    sheet = sheets.find(topic, exercise)
    return near_miss(sheet, sheet.part(part), sheet.worked(), earlier or {}, answer, typed)


# Each wrong number is worked out here by hand from the printed numbers, one slip at a time.
BY_HAND = [
    ("operator", "damage-sum", "joints", "small_life", 1600 / 52),
    ("other way round", "open-hours", "intake", "over", 168 - 9 * 24),
    ("left out", "package-bow", "joints", "middle", 1.1 * 0.024**2 * 1e6),
    ("another name", "strain-to-life", "joints", "slope", -0.442 - 0.0006 * 65 + 0.0174 * math.log(19)),
    ("function", "no-failures", "joints", "chi_square", -2 * math.log10(0.4)),
    ("squares", "corner-joint", "joints", "quick_distance", 24 / 2 + 20 / 2),
    ("mean", "median-ranks", "joints", "characteristic_life", (460 + 720 + 1010 + 1030 + 1560) / 5),
    ("row", "open-hours", "intake", "bake_time", 9),
    ("row", "open-hours", "intake", "over", 9 * 24 - 72),  # 72 h stands in the text too, as the row of level 4
    ("as it stands", "bake-columns", "intake", "at_90", 33),
    ("left out", "fins", "paste", "resistance", 1 / (50 * (0.9479141 * 2 * 12 * 20 * 60e-6 + 60 * 60e-6))),
    ("in proportion", "hood-distance", "intake", "reach", 140 * 0.29977884 / 0.5),
]


@pytest.mark.parametrize(("family", "exercise", "topic", "part", "answer"), BY_HAND)
def test_a_family_finds_its_own_slip_on_a_real_sheet(family, exercise, topic, part, answer):
    earlier = {"curvature": 1.1} if part == "middle" else {}
    found = missed(topic, exercise, part, float(f"{answer:.4g}"), earlier)
    assert found is not None
    assert found.family == family


PLAIN = Exercise(
    id="plain",
    number=1,
    title="A plain one",
    setup="",
    givens={"reach": Fixed(13.7, "mm"), "warm_c": Fixed(71.3, "°C"), "many": Fixed(9)},
    parts=(
        Number(
            "asked",
            "?",
            unit="1",
            expected=lambda g, a: g["reach"] ** 2 * 2.9 / (g.warm_c + 273.15) + math.exp(g["many"] / 5.3),
            within=relative(0.01),
            because="",
            plausible=(0.1, 1000),
            working="asked = reach**2 * 2.9 / (warm_c + 273.15) + exp(many / 5.3)",
        ),
    ),
)


@pytest.mark.parametrize(
    ("family", "answer"),
    [
        ("kelvin", 13.7**2 * 2.9 / 71.3 + math.exp(9 / 5.3)),
        ("power", 13.7 * 2 * 2.9 / 344.45 + math.exp(9 / 5.3)),
        ("one off", 13.7**2 * 2.9 / 344.45 + math.exp(8 / 5.3)),
        ("constant", 13.7**2 * 5.8 / 344.45 + math.exp(9 / 5.3)),
        ("factor", 13.7**2 * 2.9 / 344.45 + math.exp(9 / 2 / 5.3)),
        ("left out", 13.7**2 * 2.9 / 344.45 + 9 / 5.3),
    ],
)
def test_a_family_finds_its_own_slip_in_a_plain_working(family, answer):
    found = near_miss(PLAIN, PLAIN.part("asked"), PLAIN.worked(), {}, float(f"{answer:.5g}"))
    assert found is not None
    assert family in found.family.split(" or ")


def _plain(working, right, unit="1", setup="", **givens):
    """An exercise of one part, whose right answer is worked out by hand beside it."""
    part = replace(PLAIN.parts[0], working=working, expected=lambda g, a: units.to_si(right, unit), unit=unit)
    return replace(PLAIN, setup=setup, parts=(part,), givens={name: Fixed(*given) for name, given in givens.items()})


OHMS = {"near": (47.3, "Ω"), "far": (33.1, "Ω")}
FOUR = {"long_run": (8.3, "h"), "rate": (1.7, "1")}
PLAINLY = [
    # family, words to be found, working, right, givens, unit, wrong: each right and wrong number worked out by hand
    ("side by side", "as if one came after", "asked = 1 / (1 / near + 1 / far)", 19.473, OHMS, "Ω", 47.3 + 33.1),
    ("side by side", "mean of what lies", "asked = near * far / (near + far)", 19.473, OHMS, "Ω", (47.3 + 33.1) / 2),
    ("side by side", "are taken side by side", "asked = near + far", 80.4, OHMS, "Ω", 47.3 * 33.1 / 80.4),
    (
        "in proportion",
        "the chances are added up",
        "asked = 1 - (1 - share)**many",
        1 - 0.93**9,
        {"share": (0.07, "1"), "many": (9, "1")},
        "1",
        0.07 * 9,
    ),
    (
        "in proportion",
        "for a straight line",
        "asked = start * exp(-moment / lag)",
        7.3 * math.exp(-0.31),
        {"start": (7.3, "V"), "moment": (3.1, "s"), "lag": (10, "s")},
        "V",
        7.3 * (1 - 0.31),
    ),
    (
        "round",
        "taken for a square one",
        "asked = pi * wide**2 / 4 * high",
        math.pi * 5.3**2 / 4 * 1.7,
        {"wide": (5.3, "mm"), "high": (1.7, "mm")},
        "mm³",
        5.3**2 * 1.7,
    ),
    ("per cent", "and no share of it", "asked = (near - far) / far * 100", 42.900, OHMS, "%", 47.3 - 33.1),
    ("per cent", "counted from `near`", "asked = (near / far - 1) * 100", 42.900, OHMS, "%", 100 * 14.2 / 47.3),
    (
        "in proportion",
        "what is lost in each step is added up",
        "asked = first * second / 100",
        80.0701,
        {"first": (91.3, "%"), "second": (87.7, "%")},
        "%",
        100 - 8.7 - 12.3,
    ),
    (
        "operator",
        "`heat` (11.3 W) is divided by the share",
        "asked = heat * share / 100",
        8.927,
        {"heat": (11.3, "W"), "share": (79, "%")},
        "W",
        11.3 / 0.79,
    ),
    ("power", "raised to the power 2", "asked = near / 2.3**4", 1.69026, OHMS, "Ω", 47.3 / 2.3**2),
    ("rounded", "exponent is rounded", "asked = near * 2 ** (far / 17)", 182.378, OHMS, "Ω", 47.3 * 4),
    (
        "left out",
        "what is lost on the way",
        "asked = lag * log(start / last)",
        45.1224,
        {"lag": (33.1, "s"), "start": (47.3, "V"), "last": (12.1, "V")},
        "s",
        33.1 * math.log(47.3 / (47.3 - 12.1)),
    ),
    (
        "a step too many",
        "then multiplied by `warm` (71.3 °C) less `cold` (23.1 °C)",
        "asked = near / 7.3",
        6.47945,
        {"near": (47.3, "Ω"), "warm": (71.3, "°C"), "cold": (23.1, "°C")},
        "Ω",
        6.47945 * 48.2,
    ),
    ("whole", "a factor of two", "asked = near / 3.8315", 12.34504, OHMS, "Ω", 2 * 12.35),
    ("time", "8 stands in place of 24", "asked = long_run * 24 * rate", 338.64, FOUR, "1", 8.3 * 8 * 1.7),
    (
        "kelvin",
        "turned into °F",
        "asked = warm + rise",
        61.4,
        {"warm": (23.1, "°C"), "rise": (38.3, "K")},
        "°C",
        61.4 * 1.8 + 32,
    ),
    ("rounded", "rounded to 1 figure", "low = near / 7\nasked = low * far", 223.66, OHMS, "1", 7 * 33.1),
    (
        "case",
        "the other case",
        "asked = 41.7 if near < 50 else 23.9",
        41.7,
        OHMS,
        "1",
        23.9,
    ),
    (
        "case",
        "the other case",
        "asked = near * 1.3 if many > 3 else far * 1.9",
        47.3 * 1.3,
        OHMS | {"many": (5, "1")},
        "Ω",
        33.1 * 1.9,
    ),
    ("row", "another row", "asked = {33.1: 7.9, 45.2: 6.1}[far]", 7.9, OHMS, "1", 6.1),
    ("whole", "left over is taken", "asked = 100 * near / 80.4", 58.831, {"near": (47.3, "Ω")}, "%", 41.169),
    ("stopped", "the work stops at", "asked = 1.21 ** (near / 7.3) - 2", 1.4386, OHMS, "1", 47.3 / 7.3),
    ("as it stands", "`far` (33.1 Ω) itself", "asked = near * 1.3 + far", 94.59, OHMS, "Ω", 33.1),
    (
        "two numbers",
        "only `near` (47.3 Ω) is divided by",
        "asked = near**3 / far**2 * 1.21",
        116.88,
        OHMS,
        "1",
        47.3 / 33.1,
    ),
    (
        "slip and unit",
        "besides a factor of 1000",
        "asked = log(near) / 1000 * far * 1.3",
        0.16593,
        OHMS,
        "1",
        math.log10(47.3) * 33.1 * 1.3,
    ),
]


@pytest.mark.parametrize(("family", "told", "working", "right", "givens", "unit", "wrong"), PLAINLY)
def test_a_family_finds_a_slip_worked_by_hand_and_says_it_in_plain_words(
    family, told, working, right, givens, unit, wrong
):
    exercise = _plain(working, right, unit, **givens)
    found = near_miss(exercise, exercise.parts[0], exercise.worked(), {}, float(f"{wrong:.5g}"))
    assert found is not None
    assert family in found.family.split(" or ")
    assert told in found.words


def test_a_number_of_the_text_in_place_of_another_is_told():
    # litres a mole at 20 °C for those at 25 °C: 24.06 and 24.46, both printed
    setup = "One mole fills 24.46 L here (24.06 L at 20 °C), as clause 3.2 of 1998 says."
    exercise = _plain("asked = moles * filling", 0.2 * 24.46, "L", setup, moles=(0.2, "1"), filling=(24.46, "L"))
    found = near_miss(exercise, exercise.parts[0], exercise.worked(), {}, 4.812)
    assert "24.06 L of the text stands in place of `filling` (24.46 L)" in found.words
    assert numbers_of_the_text(exercise, exercise.parts[0]) == ((24.46, "L"), (24.06, "L"), (20.0, "°C"))


def test_readings_of_another_column_are_told():
    exercise = _plain("asked = sum(hot) / 3 * 1.7", 2.2 * 1.7, hot=((1.1, 2.2, 3.3), "Ω"), room=((0.7, 1.3, 2.9), "Ω"))
    found = near_miss(exercise, exercise.parts[0], exercise.worked(), {}, float(f"{4.9 / 3 * 1.7:.5g}"))
    assert "`room` stands in place of `hot`" in found.words


def test_a_slip_of_an_earlier_part_that_is_carried_on_is_told_in_that_slips_words():
    sheet = sheets.find("paste", "squeezed-pad")
    slip = next(one for one in sheet.part("resistance").slips if "contacts" in one.words)
    drop = 5 * (1000 * 0.7 / 3) / 20**2  # W times K/W: 0.7 mm of 3 W/mK over a square of 20 mm, no contacts
    found = missed("paste", "squeezed-pad", "drop", float(f"{drop:.5g}"))
    assert found.family == "earlier slip"
    assert slip.words.rstrip(".") in found.words


def test_an_end_result_rounded_too_coarsely_is_told():
    exercise = _plain("asked = near * far / 7.3", 214.47, "Ω", **OHMS)
    found = near_miss(exercise, exercise.parts[0], exercise.worked(), {}, 210)
    assert "the end result is rounded to 2 figures" in found.words


def test_a_likelier_explanation_speaks_alone():
    # 12.2 is `wide` left out; that `high` off by 10 and a unit besides would give it too is not said
    exercise = _plain("asked = wide * high", 7.3 * 12.2, wide=(7.3, "mm"), high=(12.2, "mm"))
    words = near_miss(exercise, exercise.parts[0], exercise.worked(), {}, 12.2).words
    assert "`high` (12.2 mm) itself is given" in words
    assert "factor" not in words


def test_a_working_that_does_not_give_what_is_expected_is_not_tried_and_listed():
    agrees = _plain("asked = near + far", 80.4, "Ω", **OHMS)
    differs = _plain("asked = near + far", 71.5, "Ω", **OHMS)
    assert near_miss(agrees, agrees.parts[0], agrees.worked(), {}, 14.2) is not None  # the difference
    assert near_miss(differs, differs.parts[0], differs.worked(), {}, 14.2) is None
    assert [exercise for exercise, _ in untried([agrees, differs])] == [differs]


def test_the_unchanged_working_of_every_part_gives_what_is_expected():
    assert not [f"{exercise.id}/{part.name}" for exercise, part in untried(e for e, _ in PARTS)]


def test_every_working_of_every_sheet_is_read():
    unread = [
        f"{exercise.id}/{part.name}"
        for exercise, part in PARTS
        if not variants(exercise, part, exercise.worked(), near_misses._before(exercise, part, exercise.worked(), {}))
    ]
    assert not unread


def test_a_right_number_is_never_accused_nor_one_inside_the_band():
    for exercise, part in PARTS:
        right = exercise.key(exercise.worked())[part.name]
        width = units.from_si(part.within.around(units.to_si(right, part.unit), part.unit), part.unit)
        for answer in (right, right + 0.9 * width, right - 0.9 * width):
            assert near_miss(exercise, part, exercise.worked(), {}, answer) is None, (exercise.id, part.name)


def test_no_words_hold_the_right_answer_and_all_say_whose_number_it_is():
    spoken = 0
    for exercise, part in PARTS:
        givens = exercise.worked()
        right = exercise.key(givens)[part.name]
        before = near_misses._before(exercise, part, givens, {})
        for variant in variants(exercise, part, givens, before)[::7]:
            answer = float(f"{variant.value:.5g}")
            found = near_miss(exercise, part, givens, {}, answer)
            if found is None:
                continue
            spoken += 1
            head, tail = found.words.split(" is what comes out when ")
            assert float(head.removeprefix("Your ")) == pytest.approx(answer, rel=1e-5)
            for number in re.findall(r"(?<![\w.])\d+\.?\d*(?![\w.])", tail):
                assert not part.near(units.to_si(float(number), part.unit), units.to_si(right, part.unit))
    assert spoken > 500


def test_words_say_the_learners_own_names_and_numbers():
    words = missed("joints", "read-a-fit", "early_life", 627.8).words
    assert "log10 stands in place of ln" in words
    words = missed("joints", "damage-sum", "small_life", 30.77).words
    assert "`lab_life` (1600 cycles)" in words


def test_a_slip_is_found_with_the_learners_own_earlier_answer():
    assert missed("joints", "damage-sum", "years", 700 / 2 / 365, {"rounds": 700}) is not None
    assert missed("joints", "damage-sum", "years", float(f"{700 / 2 / 365:.4g}")) is None


def _with_working(working, expected, high=3.2, wide=6.4):
    part = replace(PLAIN.parts[0], working=working, expected=expected)
    return replace(PLAIN, parts=(part,), givens={"wide": Fixed(wide, "mm"), "high": Fixed(high, "mm")}), part


def test_where_two_explanations_say_different_things_only_what_fits_both_is_said():
    # 3.2 * 7.7 is `wide` halved, and as well `high` in its place where `high` is half of it
    exercise, part = _with_working("asked = wide * 7.7", lambda g, a: 6.4 * 7.7)
    words = near_miss(exercise, part, exercise.worked(), {}, 24.64).words
    assert "a factor of 2 is too much or missing" in words
    assert "high" not in words
    exercise, part = _with_working("asked = wide * high * 7.7", lambda g, a: 6.4 * 3.1 * 7.7, high=3.1)
    assert "a factor of two" in near_miss(exercise, part, exercise.worked(), {}, 76.38).words


def test_a_number_left_out_is_a_factor_of_two_only_where_it_is_a_two():
    # 5 * 7.7 is `wide` halved, and as well the 3 left out, which is no factor of two
    exercise, part = _with_working("asked = (wide + 3) * 7.7", lambda g, a: 53.9, wide=4.0)
    assert near_miss(exercise, part, exercise.worked(), {}, 38.5) is None


def test_a_likely_change_and_an_odd_one_that_say_different_things_stay_silent():
    # 12.25 * 12.25 / 7.3 is `high` in place of `wide`, and as well `wide`, which is 3.5, squared
    exercise, part = _with_working("asked = wide * high / 7.3", lambda g, a: 42.875 / 7.3, high=12.25, wide=3.5)
    assert near_miss(exercise, part, exercise.worked(), {}, 20.557) is None
    exercise, part = _with_working("asked = wide * high / 7.3", lambda g, a: 43.05 / 7.3, high=12.3, wide=3.5)
    words = near_miss(exercise, part, exercise.worked(), {}, 20.725).words
    assert "`high` (12.3 mm) stands in place of `wide` (3.5 mm)" in words


def test_three_different_explanations_stay_silent():
    # with both 1.7, 1.7**2 is `high` left out, and the square of `wide` left out, and the work stopped at it
    exercise, part = _with_working("asked = wide**2 * high", lambda g, a: 4.913, high=1.7, wide=1.7)
    assert near_miss(exercise, part, exercise.worked(), {}, 2.89) is None
    exercise, part = _with_working("asked = wide**2 * high", lambda g, a: 22.5, high=2.5, wide=3)
    assert "`high` (2.5 mm) is left out" in near_miss(exercise, part, exercise.worked(), {}, 9).words


@pytest.mark.parametrize(
    ("working", "right", "wrong", "said"),
    [
        ("asked = (1 - high / 7.3) * 100", 410 / 7.3, 4.1, "is taken from 7.3, and no share of it"),
        ("asked = (high + wide) * 7.7", 73.92, 36.96, "a factor of"),
        ("asked = wide * log(1 - 0.3 * high)", 6.4 * math.log(0.04), -6.144, "the share itself stands in its place"),
        ("asked = wide * 0.83", 5.312, 1.088, "what is left over of 0.83 is taken for 0.83 itself"),
        ("asked = wide * 0.83 ** 7", 6.4 * 0.83**7, 6.4 * 0.83**6, "one step less is taken"),
        (
            "asked = wide * (log(high / 7.3) + log(wide / 2.9))",
            6.4 * (math.log(3.2 / 7.3) + math.log(6.4 / 2.9)),
            6.4 * (math.log(3.2 / 7.3) - math.log(6.4 / 2.9)),
            "one step takes a sum for a difference",
        ),
    ],
)
def test_what_novices_do_to_shares_means_and_chains_is_named(working, right, wrong, said):
    exercise, part = _with_working(working, lambda g, a: right)
    assert said in near_miss(exercise, part, exercise.worked(), {}, float(f"{wrong:.5g}")).words


def test_whole_rows_in_place_of_what_lies_between_them_are_named():
    working = """
rows, steps = [10, 20, 30], [50, 62, 81]
asked = rows[0] + (wide * 8.5 - steps[0]) * (rows[1] - rows[0]) / (steps[1] - steps[0])
"""
    exercise, part = _with_working(working, lambda g, a: 10 + (54.4 - 50) * 10 / 12)
    assert "whole rows are read" in near_miss(exercise, part, exercise.worked(), {}, 20.0).words


@pytest.mark.parametrize(
    "working",
    [
        "asked = 1\nwhile asked > 0:\n    asked = asked + 1",
        "asked = sum([x * y for x in range(2000) for y in range(2000)])",
        "asked = 9**9**9**9",
        "asked = [1] * 10**9",
        "asked = len(range(10**9))",
        "def again(x):\n    return again(x)\n\nasked = again(1)",
        "asked = 2\nfor turn in range(1000):\n    asked = asked * asked",
        "import os\nasked = os.getpid()",
        "asked = (1).__class__",
        "asked = open('x')",
        "asked = __import__('os').getpid()",
        "from math import *\nasked = 1",
        "asked = (lambda: 1)()",
        "asked = 'x' % 1",
        "asked = = 1",
    ],
)
def test_an_endless_huge_or_strange_working_is_stopped_and_skipped(working):
    exercise, part = _with_working(working, lambda g, a: 12.0)
    assert near_miss(exercise, part, exercise.worked(), {}, 3.456) is None


def test_a_change_that_makes_a_working_endless_is_stopped():
    working = "asked = 0\nwhile asked < 50:\n    asked = asked + wide"
    exercise, part = _with_working(working, lambda g, a: 51.2)
    assert variants(exercise, part, exercise.worked(), {})  # `asked - wide` never gets there


@pytest.mark.parametrize(
    "working",
    [
        "def half(x):\n    return x / 2\n\nasked = half(9) + half(3)",
        "asked = sum([x * y for x, y in zip([1, 2, 3], [4, 5])])",
        "from math import sqrt\nasked = sqrt(2) if 3 > 2 else 0",
        "asked = 1\nfor turn in range(5):\n    asked = asked * 3 - turn",
        "asked = sum([1, 2] * 3)",
        "def past(rows):\n    for row in rows:\n        if row > 2:\n            return row\n\nasked = past([1, 3, 5])",
    ],
)
def test_a_working_is_worth_here_what_python_makes_of_it(working):
    names, python = {}, {}
    Reader().block(ast.parse(working).body)(names, Budget(10_000))
    exec(working, python)
    assert names["asked"] == python["asked"]


@pytest.mark.parametrize(
    "working",
    [
        "from cmath import sqrt",
        "from math import inf",
        "from math import sqrt as log",
        "def f(x=1):\n    return x",
        "def f(*x):\n    return 1",
        "@abs\ndef f(x):\n    return x",
    ],
)
def test_what_stands_beside_plain_functions_and_math_is_not_read(working):
    with pytest.raises(Beyond):
        Reader().block(ast.parse(working).body)


def test_the_factors_taken_one_for_the_other_are_quantiles_of_the_normal_law_and_each_is_found():
    """Computed with scipy; 2 is the coverage factor that stands for 1.96."""
    for taken, others in COVERAGE.items():
        for other in (taken, *others):
            assert other == 2 or min(abs(norm.ppf([0.9, 0.95, 0.975, 0.99, 0.995]) - other)) < 5e-4
        for other in others:
            exercise, part = _with_working(f"asked = {taken} * wide", lambda g, a, k=taken: k * 27.3, wide=27.3)
            found = near_miss(exercise, part, exercise.worked(), {}, float(f"{other * 27.3:.5g}"))
            assert f"{other:g} stands in place of {taken:g}" in found.words


def test_a_lost_factor_of_a_thousand_is_called_a_factor():
    exercise, part = _with_working("asked = wide * 1000 / high", lambda g, a: 27.3e3 / 7.1, wide=27.3, high=7.1)
    tried = variants(exercise, part, exercise.worked(), {})
    (lost,) = [one for one in tried if one.what == "the factor 1000 is left out"]
    assert (lost.family, lost.value) == ("factor", pytest.approx(27.3 / 7.1))


def test_nobody_is_told_to_have_doubled_what_turns_degrees_into_kelvin():
    tried = {one.what for one in variants(PLAIN, PLAIN.part("asked"), PLAIN.worked(), {})}
    assert {"2.9 is doubled", "2.9 is halved"} <= tried
    assert tried.isdisjoint(f"273.15 is {how}" for how in ("doubled", "halved", "left out", "negative"))


def test_another_row_of_a_table_is_what_people_read():
    part = replace(PLAIN.parts[0], working="asked = sum(first) * 2.9", expected=lambda g, a: 7.8 * 2.9)
    rows = {"first": Fixed((3.1, 4.7)), "second": Fixed((5.3, 8.9))}
    exercise = replace(PLAIN, parts=(part,), givens=rows)
    found = [one for one in variants(exercise, part, exercise.worked(), {}) if one.what.startswith("{second}")]
    assert {(one.family, one.rank, round(one.value, 9)) for one in found} == {("row", 0, round(14.2 * 2.9, 9))}


def test_the_numbers_of_a_clock_and_a_calendar_that_are_mixed_up_are_theirs():
    clock = {1, 60, 60 * 60, 24, 24 * 60 * 60, 24 * 365}
    calendar = {5, 7, 12, 52, 365, 360}  # 360 is a banker's year
    at_work = {8, 250, 8 * 250, 8000}  # hours a day, days and hours a year, and what a plant runs
    assert {number for taken, others in TIMES.items() for number in (taken, *others)} <= clock | calendar | at_work


def test_how_many_readings_there_are_is_not_mistaken_for_their_mean():
    part = replace(PLAIN.parts[0], working="asked = len(first) * 2.9", expected=lambda g, a: 2 * 2.9)
    exercise = replace(PLAIN, parts=(part,), givens={"first": Fixed((3.1, 4.7))})
    tried = [one.what for one in variants(exercise, part, exercise.worked(), {})]
    assert tried
    assert not [what for what in tried if what.startswith("the mean of")]


def test_a_row_taken_for_another_is_so_wherever_it_is_read():
    part = replace(PLAIN.parts[0], working="asked = sum(first) * max(first)", expected=lambda g, a: 7.8 * 4.7)
    rows = {"first": Fixed((3.1, 4.7)), "second": Fixed((5.3, 8.9))}
    exercise = replace(PLAIN, parts=(part,), givens=rows)
    found = [one.value for one in variants(exercise, part, exercise.worked(), {}) if one.what.startswith("{second}")]
    assert pytest.approx(14.2 * 8.9) in found


def near(typed):
    """What a value is held to where this was typed and is not right."""
    return shortcuts.Near(typed, 1e-9 * abs(typed), lambda value: False)


def test_two_numbers_alone_are_put_together_either_way_round():
    pair = [shortcuts.Told("`near`", 47.3, "Ω"), shortcuts.Told("`far`", 31.1, "s")]
    for typed, what in (
        (47.3 * 31.1, "only `near` is multiplied by `far`"),
        (47.3 / 31.1, "only `near` is divided by `far`"),
        (31.1 / 47.3, "only `far` is divided by `near`"),
    ):
        for shown in (typed, 1000 * typed, typed / 1000):  # as it is, and with a prefix lost besides
            found = shortcuts.two_together(pair, "V", near(shown))
            assert [one.what for one in found] == [what]


def test_a_slip_with_a_unit_lost_besides_has_the_value_that_was_typed():
    slip, part = near_misses.Variant("left out", "`wide` is left out", 4.7), PLAIN.parts[0]
    for typed in (4.7e3, 4.7e-3, 470.0):
        (found,) = shortcuts.with_a_unit_lost([slip], part, near(typed))
        assert (found.family, found.value) == ("slip and unit", pytest.approx(typed))


def test_steps_run_out_with_an_error():
    run = Reader().block(ast.parse("while 1 > 0:\n    x = 1").body)
    with pytest.raises(Beyond):
        run({}, Budget(100))


def test_all_that_a_notebook_imports_is_read():
    assert set(MATH.split("import ")[1].split(", ")) <= set(FUNCTIONS)


@pytest.mark.parametrize(
    "answer", [0, 0.0, -0.0, math.nan, math.inf, 1e308, True, None, "69.23", [69.23], 10**400, 1e-320]
)
def test_what_is_no_plain_number_is_met_with_silence(answer):
    assert missed("joints", "damage-sum", "small_life", answer) is None


@pytest.mark.parametrize("typed", ["<script>alert(1)</script>", "30.77\n# x", "{lab_life}", "6" * 4000, "1e999", "70"])
def test_hostile_digits_never_reach_the_words(typed):
    found = missed("joints", "damage-sum", "small_life", 30.77, typed=typed)
    assert found.words.startswith("Your 30.77 is what comes out when ")


def test_hostile_earlier_answers_are_taken_as_not_given():
    plain = missed("joints", "damage-sum", "years", 3.399)
    for own in ("__import__('os')", math.nan, [1] * 10, 10**400, {"x": 1}, True):
        assert missed("joints", "damage-sum", "years", 3.399, {"rounds": own, "<b>": 1}) == plain


def test_the_digits_typed_decide_how_near_is_near():
    value = 1600 / 52  # 30.7692
    assert missed("joints", "damage-sum", "small_life", 30.77) is not None
    assert missed("joints", "damage-sum", "small_life", value) is not None
    assert missed("joints", "damage-sum", "small_life", 30.75) is None


def test_an_author_sees_what_no_slip_covers_and_what_the_band_hides():
    listed = list(unnamed(sheets.exercises("joints")))
    assert {miss.inside for miss in listed} == {True, False}
    for miss in listed:
        part = sheets.find("joints", miss.exercise).part(miss.part)
        exercise = sheets.find("joints", miss.exercise)
        right = units.to_si(exercise.key(exercise.worked())[part.name], part.unit)
        assert part.near(units.to_si(miss.value, part.unit), right) is miss.inside
