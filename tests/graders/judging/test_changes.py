"""What one step of a working may be taken for: everything that is said of it, what it then gives, and nothing else.

Each table gives for a piece of a working the words for every slip that is tried there, beside what somebody with that
slip would have written: worked out by Python, not by our reader. What is not in the table is not said. The slips are
common-practice: what people who learn to calculate do.
"""

import ast
import math

import pytest

from graders.judging.changes import (
    FAMILIES,
    KELVIN,
    SIGN,
    TEN,
    TURNED,
    TWO,
    Vocabulary,
    above,
    between_rows,
    changes,
    in_words,
    replaced,
)

NUMBERS = {
    "near": 47.3,
    "far": 33.1,
    "third": 12.7,
    "warm": 71.3,
    "cold": 23.1,
    "rise": 38.3,
    "share": 91.3,
    "rest": 87.7,
    "heat": 11.3,
    "lag": 10.7,
    "moment": 3.1,
    "pad": 2.9,
    "film": 4.3,
    "part": 0.3,
    "rate": 1.7,
    "many": 9,
    "fins": 4,
    "first": [3.1, 4.7, 9.2, 8.3, 6.7, 1.3],
    "second": [5.3, 8.9, 2.1, 7.7, 4.1, 6.1],
    "table": {"thin": 1.3, "thick": 2.9},
    "long": {row: 100 + row**2 for row in range(1, 21)},
    "x": 7.7,
    "y": 5.9,
}
UNITS = {"near": "Ω", "far": "Ω", "third": "Ω", "warm": "°C", "cold": "°C", "rise": "K", "share": "%", "rest": "%"}
UNITS |= {
    "heat": "W",
    "lag": "s",
    "moment": "s",
    "pad": "K/W",
    "film": "K/W",
    "part": "1",
    "rate": "1",
    "many": "pieces",
}
UNITS |= {"fins": "1"}
ODD = 1
"""The rank of what happens, but is not what people do first."""
ONE_OFF, ROW = FAMILIES["one off"], FAMILIES["row"]


def words(*text, peers=None):
    """Names and numbers a learner reads: which stand for which is said by a test that is about that."""
    known = frozenset(UNITS) | {"first", "second"}
    tables = {name: tuple(ast.Constant(key) for key in NUMBERS[name]) for name in ("table", "long")}
    lists = {"first": ("second",), "second": ("first",)}
    every = dict.fromkeys(UNITS, ()) | (peers or {})
    return Vocabulary(every, known, frozenset({"many"}), UNITS, tables, text, lists)


def worth(text):
    """What Python makes of a piece of a working; None where nothing comes out."""
    try:
        return float(f"{eval(text, vars(math) | NUMBERS):.9g}")
    except (ValueError, ArithmeticError, TypeError, LookupError):
        return None


def said(working, at=None, vocabulary=None):
    """Return what is said of a piece of a working: words, what comes out, how odd it is, and what fits others too."""
    tree = ast.parse(f"{working}", mode="eval")
    over = above(tree)
    whole = ast.unparse(ast.parse(at or working))
    found = []
    for change in changes(tree, vocabulary or words()):
        if ast.unparse(change.old) == whole:
            value = worth(ast.unparse(ast.fix_missing_locations(replaced(change.old, change.new, over))))
            found.append((change.what, value, change.rank, change.wide))
    return sorted(found, key=repr)


def claimed(working, at, rows):
    """Return the rows of a table in the same form: what stands at the place becomes what the row says."""
    found = []
    for what, becomes, *more in rows:
        text = working.replace(at, f"({becomes})", 1) if at else becomes
        rank = ODD if ODD in more else 0
        wide = next((one for one in more if isinstance(one, str)), "")
        found.append((what, worth(text), rank, wide))
    return sorted(found, key=repr)


SUMS = {
    "near + far": [
        ("{far} is taken away from {near}", "near - far", SIGN),
        ("{far} is left out", "near"),
        ("{near} is left out", "far"),
        ("{near} and {far} are added in squares", "sqrt(near**2 + far**2)", ODD),
        ("a mean is taken where the sum is asked for", "(near + far) / 2"),
        (
            "{near} and {far} are taken side by side, not one after the other",
            "near * far / (near + far)",
        ),
    ],
    "pad + film": [  # resistances to heat lie side by side as others do
        ("{film} is taken away from {pad}", "pad - film", SIGN),
        ("{film} is left out", "pad"),
        ("{pad} is left out", "film"),
        ("{pad} and {film} are added in squares", "sqrt(pad**2 + film**2)", ODD),
        ("a mean is taken where the sum is asked for", "(pad + film) / 2"),
        ("{pad} and {film} are taken side by side, not one after the other", "pad * film / (pad + film)"),
    ],
    "lag + moment": [  # times do not
        ("{moment} is taken away from {lag}", "lag - moment", SIGN),
        ("{moment} is left out", "lag"),
        ("{lag} is left out", "moment"),
        ("{lag} and {moment} are added in squares", "sqrt(lag**2 + moment**2)", ODD),
        ("a mean is taken where the sum is asked for", "(lag + moment) / 2"),
    ],
    "near + lag": [  # nobody takes a mean of what is not alike
        ("{lag} is taken away from {near}", "near - lag", SIGN),
        ("{lag} is left out", "near"),
        ("{near} is left out", "lag"),
        ("{near} and {lag} are added in squares", "sqrt(near**2 + lag**2)", ODD),
    ],
    "x + y": [  # of names on the way no unit is known
        ("`y` is taken away from `x`", "x - y", SIGN),
        ("`y` is left out", "x"),
        ("`x` is left out", "y"),
        ("`x` and `y` are added in squares", "sqrt(x**2 + y**2)", ODD),
    ],
    "near + 7": [
        ("7 is taken away from {near}", "near - 7", SIGN),
        ("7 is left out", "near"),
        ("{near} is left out", "7"),
    ],
    "7 + near": [
        ("{near} is taken away from 7", "7 - near", SIGN),
        ("{near} is left out", "7"),
        ("7 is left out", "near"),
    ],
    "near + far + third": [
        ("{third} is taken away from {near} and {far}", "near + far - third", SIGN),
        ("{third} is left out", "near + far"),
        ("{near} and {far} is left out", "third"),
        ("{near} and {far} and {third} are added in squares", "sqrt((near + far)**2 + third**2)", ODD),
        ("a mean is taken where the sum is asked for", "(near + far + third) / 3"),
        ("all are added in squares", "sqrt(near**2 + far**2 + third**2)", ODD),
    ],
    "near - far": [
        ("{near} is added to {far}", "near + far", SIGN),
        ("{near} is taken away from {far}", "far - near", SIGN),
        ("{far} is left out", "near"),
        ("{near} is left out", "far"),
        ("{near} and {far} are added in squares", "sqrt(near**2 + far**2)", ODD),
    ],
    "near - 7": [
        ("{near} is added to 7", "near + 7", SIGN),
        ("{near} is taken away from 7", "7 - near", SIGN),
        ("7 is left out", "near"),
        ("{near} is left out", "7"),
    ],
}
TEMPERATURES = {
    "warm - cold": [
        ("{warm} is added to {cold}", "warm + cold", SIGN),
        ("{warm} is taken away from {cold}", "cold - warm", SIGN),
        ("{cold} is left out", "warm"),
        ("{warm} is left out", "cold"),
        ("273.15 is added to a difference of temperatures", "warm - cold + 273.15", KELVIN),
        ("273 is added to a difference of temperatures", "warm - cold + 273", KELVIN),
        ("{warm} and {cold} are added in squares", "sqrt(warm**2 + cold**2)", ODD),
    ],
    "x - cold": [
        ("`x` is added to {cold}", "x + cold", SIGN),
        ("`x` is taken away from {cold}", "cold - x", SIGN),
        ("{cold} is left out", "x"),
        ("`x` is left out", "cold"),
        ("273.15 is added to a difference of temperatures", "x - cold + 273.15", KELVIN),
        ("273 is added to a difference of temperatures", "x - cold + 273", KELVIN),
        ("`x` and {cold} are added in squares", "sqrt(x**2 + cold**2)", ODD),
    ],
    "warm + rise": [
        ("{rise} is taken away from {warm}", "warm - rise", SIGN),
        ("{rise} is left out", "warm"),
        ("{warm} is left out", "rise"),
        ("{warm} and {rise} are added in squares", "sqrt(warm**2 + rise**2)", ODD),
    ],
    "warm + 273.15": [
        ("273.15 is taken away from {warm}", "warm - 273.15", SIGN),
        ("{warm} stays in °C", "warm"),
    ],
    "x - 273.15": [
        ("`x` is added to 273.15", "x + 273.15", SIGN),
        ("`x` is taken away from 273.15", "273.15 - x", SIGN),
        ("`x` stays in °C", "x"),
    ],
}
PRODUCTS = {
    "near * far": [
        ("{near} is divided by {far}", "near / far", TURNED),
        ("{far} is left out", "near"),
        ("{near} is left out", "far"),
    ],
    "7 * near": [("7 is divided by {near}", "7 / near", TURNED), ("{near} is left out", "7")],
    "near * 7": [("{near} is divided by 7", "near / 7", TURNED), ("{near} is left out", "7")],
    "near / far": [
        ("{near} is multiplied by {far}", "near * far", TURNED),
        ("{far} is divided by {near}", "far / near", TURNED),
        ("{far} is left out", "near"),
        ("{near} is left out", "1 / far"),
    ],
    "near / 7": [
        ("{near} is multiplied by 7", "near * 7", TURNED),
        ("7 is divided by {near}", "7 / near", TURNED),
        ("{near} is left out", "1 / 7"),
    ],
    "7 / near": [
        ("7 is multiplied by {near}", "7 * near", TURNED),
        ("{near} is divided by 7", "near / 7", TURNED),
        ("{near} is left out", "7"),
    ],
    "1 / near": [("one over it is left out", "near", TURNED), ("{near} is left out", "1")],
    "near // far": [],
}
POWERS = {
    "near ** 2": [
        ("the power of {near} is left out", "near"),
        ("{near} is multiplied by the exponent", "near * 2"),
        ("the sign of an exponent is turned round", "near ** -2", TURNED),
        ("the inverse of an exponent is taken", "sqrt(near)", ODD),
        ("{near} is raised to the power 3", "near ** 3"),
    ],
    "near ** 3": [
        ("the power of {near} is left out", "near"),
        ("{near} is multiplied by the exponent", "near * 3"),
        ("the sign of an exponent is turned round", "near ** -3", TURNED),
        ("the inverse of an exponent is taken", "near ** (1 / 3)", ODD),
        ("{near} is raised to the power 2", "near ** 2"),
        ("{near} is raised to the power 4", "near ** 4"),
    ],
    "near ** 4": [  # radiation: no chain of four steps
        ("the power of {near} is left out", "near"),
        ("{near} is multiplied by the exponent", "near * 4"),
        ("the sign of an exponent is turned round", "near ** -4", TURNED),
        ("the inverse of an exponent is taken", "near ** (1 / 4)", ODD),
        ("{near} is raised to the power 2", "near ** 2"),
        ("{near} is raised to the power 3", "near ** 3"),
    ],
    "near ** 5": [  # a chain of five steps: four or six of them are counted
        ("the power of {near} is left out", "near"),
        ("{near} is multiplied by the exponent", "near * 5"),
        ("the sign of an exponent is turned round", "near ** -5", TURNED),
        ("the inverse of an exponent is taken", "near ** (1 / 5)", ODD),
        ("one step less is taken", "near ** 4", ONE_OFF),
        ("one step more is taken", "near ** 6", ONE_OFF),
    ],
    "near ** 1.5": [
        ("the power of {near} is left out", "near"),
        ("{near} is multiplied by the exponent", "near * 1.5"),
        ("the sign of an exponent is turned round", "near ** -1.5", TURNED),
        ("the inverse of an exponent is taken", "near ** (1 / 1.5)", ODD),
        ("base and exponent change places", "1.5 ** near", ODD),
        ("the exponent is rounded to a whole number", "near ** 2", ODD),
    ],
    "near ** rate": [
        ("the power of {near} is left out", "near"),
        ("{near} is multiplied by the exponent", "near * rate"),
        ("the sign of an exponent is turned round", "near ** -rate", TURNED),
        ("the inverse of an exponent is taken", "near ** (1 / rate)", ODD),
        ("base and exponent change places", "rate ** near", ODD),
        ("the exponent is rounded to a whole number", "near ** 2", ODD),
    ],
    "(1 - part) ** many": [  # none of many fails
        ("the power of 1 less {part} is left out", "1 - part"),
        ("1 less {part} is multiplied by the exponent", "(1 - part) * many"),
        ("the sign of an exponent is turned round", "(1 - part) ** -many", TURNED),
        ("the inverse of an exponent is taken", "(1 - part) ** (1 / many)", ODD),
        ("base and exponent change places", "many ** (1 - part)", ODD),
        ("the exponent is rounded to a whole number", "(1 - part) ** many", ODD),
        ("the chances are added up, or multiplied by how many there are", "1 - part * many"),
    ],
}
SHARES = {
    "near / 100": [
        ("{near} is multiplied by 100", "near * 100", TURNED),
        ("100 is divided by {near}", "100 / near", TURNED),
        ("{near} is left out", "1 / 100"),
        ("{near} stands for what is left over of it", "1 - near / 100"),
    ],
    "(near / far - 1) * 100": [
        ("the difference is divided by 100", "(near / far - 1) / 100", TURNED),
        ("the difference is left out", "100"),
        ("{far} is taken from {near}, and no share of it", "near - far"),
        ("the share is counted from {near}, not from {far}", "(near - far) / near * 100"),
    ],
    "(near - far) / far * 100": [
        ("the quotient is divided by 100", "(near - far) / far / 100", TURNED),
        ("the quotient is left out", "100"),
        ("{far} is taken from {near}, and no share of it", "near - far"),
    ],
    "(1 - near / far) * 100": [
        ("the difference is divided by 100", "(1 - near / far) / 100", TURNED),
        ("the difference is left out", "100"),
        ("{near} is taken from {far}, and no share of it", "far - near"),
    ],
    "share * rest / 100": [
        ("{share} times {rest} is multiplied by 100", "share * rest * 100", TURNED),
        ("100 is divided by {share} times {rest}", "100 / (share * rest)", TURNED),
        ("{share} times {rest} is left out", "1 / 100"),
        ("{share} times {rest} stands for what is left over of it", "1 - share * rest / 100"),
        ("what is lost in each step is added up", "100 - (100 - share) - (100 - rest)"),
        ("{share} is divided by the share {rest}", "share / rest * 100", TURNED),
        ("{rest} is divided by the share {share}", "rest / share * 100", TURNED),
    ],
    "heat * share / 100": [
        ("{heat} times {share} is multiplied by 100", "heat * share * 100", TURNED),
        ("100 is divided by {heat} times {share}", "100 / (heat * share)", TURNED),
        ("{heat} times {share} is left out", "1 / 100"),
        ("{heat} times {share} stands for what is left over of it", "1 - heat * share / 100"),
        ("{heat} is divided by the share {share}", "heat / share * 100", TURNED),
    ],
    "near * far / 100": [
        ("{near} times {far} is multiplied by 100", "near * far * 100", TURNED),
        ("100 is divided by {near} times {far}", "100 / (near * far)", TURNED),
        ("{near} times {far} is left out", "1 / 100"),
        ("{near} times {far} stands for what is left over of it", "1 - near * far / 100"),
    ],
}
NO_SHARES = [
    "(near - far) / near * 100",  # it is counted from the larger already
    "(near + far) / far * 100",
    "(near * far - 1) * 100",
    "(near / far - 2) * 100",
    "(near / far + 1) * 100",
    "(near / far - 1) * 10",
    "(near / far - 1) / 100",
    "(1 - near / far) * 10",
    "(1 - near / far) / 100",
    "(1 - near * far) * 100",
    "(2 - near / far) * 100",
    "near / far * 100",
    "(near - 1) * 100",
    "near * 100",
    "share * rest / 10",
    "(share + rest) / 100",
    "share * rest * 100",
]
SHAPES = {
    "1 / (1 / near + 1 / far)": [
        ("one over it is left out", "1 / near + 1 / far", TURNED),
        ("the sum is left out", "1"),
        ("they are added up, as if one came after the other", "near + far"),
        ("the mean of what lies side by side is taken", "(near + far) / 2"),
    ],
    "1 / (1 / near + 1 / far + 1 / third)": [
        ("one over it is left out", "1 / near + 1 / far + 1 / third", TURNED),
        ("the sum is left out", "1"),
        ("they are added up, as if one came after the other", "near + far + third"),
        ("the mean of what lies side by side is taken", "(near + far + third) / 3"),
    ],
    "near * far / (far + near)": [
        ("{near} times {far} is multiplied by {far} and {near}", "near * far * (near + far)", TURNED),
        ("{far} and {near} is divided by {near} times {far}", "(near + far) / (near * far)", TURNED),
        ("{far} and {near} is left out", "near * far"),
        ("{near} times {far} is left out", "1 / (near + far)"),
        ("they are added up, as if one came after the other", "near + far"),
        ("the mean of what lies side by side is taken", "(near + far) / 2"),
    ],
    "pi * pad**2 / 4": [
        ("the product is multiplied by 4", "pi * pad**2 * 4", TURNED),
        ("4 is divided by the product", "4 / (pi * pad**2)", TURNED),
        ("the product is left out", "1 / 4"),
        ("a round section is taken for a square one", "pad**2"),
    ],
}
PLAIN_SHAPES = [
    "1 / (1 / near)",
    "1 / (1 / near + far)",
    "2 / (1 / near + 1 / far)",
    "near * far / (near + third)",
    "near * far / (near + far + third)",
    "near * far / near",
    "near / far / (near + far)",
    "near / (near + far)",
    "(part - 1) ** 2",
    "(1 + part) ** 2",
    "(2 - part) ** 2",
    "part ** 2",
    "pi * pad**2 / 3",
    "pi * pad**2 * 4",
    "rate * pad**2 / 4",
    "(pi + pad) / 4",
    "pi / 4",
]
CALLS = {
    "log(near)": [
        ("log10 stands in place of ln (`log`)", "log10(near)"),
        ("log2 stands in place of ln (`log`)", "log2(near)", ODD),
        ("ln (`log`) is left out", "near"),
    ],
    "log10(near)": [
        ("ln (`log`) stands in place of log10", "log(near)"),
        ("log10 is left out", "near"),
    ],
    "log2(near)": [
        ("ln (`log`) stands in place of log2", "log(near)"),
        ("log10 stands in place of log2", "log10(near)"),
    ],
    "log(near, 3)": [  # what takes one number only gives none
        ("log10 stands in place of ln (`log`)", "log10(near, 3)"),
        ("log2 stands in place of ln (`log`)", "log2(near, 3)", ODD),
    ],
    "sin(part)": [
        ("cos stands in place of sin", "cos(part)"),
        ("tan stands in place of sin", "tan(part)", ODD),
        ("sin is left out", "part"),
    ],
    "atan(part)": [("tan stands in place of atan", "tan(part)", ODD), ("atan is left out", "part")],
    "tan(part)": [
        ("sin stands in place of tan", "sin(part)"),
        ("cos stands in place of tan", "cos(part)"),
        ("atan stands in place of tan", "atan(part)", ODD),
    ],
    "exp(rate)": [
        ("ln (`log`) stands in place of exp", "log(rate)", ODD),
        ("exp is left out", "rate"),
        ("the sign of an exponent is turned round", "exp(-rate)"),
        ("the part that is gone is taken for the part that is left", "1 - exp(rate)"),
        ("the exponential is taken for a straight line", "1 + rate"),
    ],
    "sqrt(near)": [("the root is left out", "near")],
    "sqrt(near**2 + far**2)": [
        ("the root is left out", "near**2 + far**2"),
        ("the values are added as they are, not in squares", "near + far"),
    ],
    "sqrt(near**2 - far**2)": [
        ("the root is left out", "near**2 - far**2"),
        ("the values are added as they are, not in squares", "near - far"),
    ],
    "sqrt(sum(x**2 for x in first))": [
        ("the root is left out", "sum(x**2 for x in first)"),
        ("the values are added as they are, not in squares", "sum(first)"),
    ],
    "sqrt(sum([x**2 for x in first]))": [
        ("the root is left out", "sum(x**2 for x in first)"),
        ("the values are added as they are, not in squares", "sum(first)"),
    ],
    "sqrt(near**2 + far)": [("the root is left out", "near**2 + far")],
    "sqrt(near + far**2)": [("the root is left out", "near + far**2")],
    "sqrt(near**3 + far**3)": [("the root is left out", "near**3 + far**3")],
    "sqrt(near**2 * far**2)": [("the root is left out", "near**2 * far**2")],
    "sqrt(near * 2 + far * 2)": [("the root is left out", "near * 2 + far * 2")],
    "sqrt(sum(x**3 for x in first))": [("the root is left out", "sum(x**3 for x in first)")],
    "sqrt(max(x**2 for x in first))": [("the root is left out", "max(x**2 for x in first)")],
    "sqrt(sum(first))": [("the root is left out", "sum(first)")],
    "log(1 - part)": [
        ("log10 stands in place of ln (`log`)", "log10(1 - part)"),
        ("log2 stands in place of ln (`log`)", "log2(1 - part)", ODD),
        ("ln (`log`) is left out", "1 - part"),
        ("the logarithm is left out, and the share itself stands in its place", "-part"),
    ],
    "log10(1 - part)": [
        ("ln (`log`) stands in place of log10", "log(1 - part)"),
        ("log10 is left out", "1 - part"),
    ],
    "log(near / far)": [
        ("log10 stands in place of ln (`log`)", "log10(near / far)"),
        ("log2 stands in place of ln (`log`)", "log2(near / far)", ODD),
        ("ln (`log`) is left out", "near / far"),
        ("the logarithm is taken for a share of a straight line", "(near - far) / near"),
        ("the logarithm is taken for a share of a straight line", "(near - far) / far"),
        ("what is lost on the way is taken for what is left", "log(near / (near - far))"),
    ],
    "log(near * far)": [
        ("log10 stands in place of ln (`log`)", "log10(near * far)"),
        ("log2 stands in place of ln (`log`)", "log2(near * far)", ODD),
        ("ln (`log`) is left out", "near * far"),
    ],
    "max(near, far)": [
        ("the smaller stands in place of the larger", "far"),
        ("the sum stands in place of the larger", "near + far"),
    ],
    "min(near, far)": [
        ("the larger stands in place of the smaller", "near"),
        ("the sum stands in place of the smaller", "near + far"),
    ],
    "max(first)": [
        ("the smaller stands in place of the larger", "1.3"),
        ("the sum stands in place of the larger", "3.1 + 4.7 + 9.2 + 8.3 + 6.7 + 1.3"),
        ("the mean of {first} is taken", "(3.1 + 4.7 + 9.2 + 8.3 + 6.7 + 1.3) / 6"),
    ],
    "sum(first)": [
        ("the larger stands in place of the sum", "9.2"),
        ("the smaller stands in place of the sum", "1.3"),
        ("the mean of {first} is taken", "(3.1 + 4.7 + 9.2 + 8.3 + 6.7 + 1.3) / 6"),
    ],
    "sum(x * 2 for x in first)": [
        ("the larger stands in place of the sum", "2 * 9.2"),
        ("the smaller stands in place of the sum", "2 * 1.3"),
    ],
    "sum([near, far])": [],  # nobody takes the larger of two that are added by name
    "len(first)": [
        ("the readings are counted once too seldom", "5", ONE_OFF),
        ("the readings are counted once too often", "7", ONE_OFF),
    ],
    "hypot(near, far)": [],
    "float()": [],
    "first.index(4.7)": [],
}
LEFT_OUT = {f"{name}(part)": (f"{name} is left out", "part") for name in ("abs", "tanh", "erf", "cos", "int")}


@pytest.mark.parametrize(
    ("working", "rows"),
    [row for table in (SUMS, TEMPERATURES, PRODUCTS, POWERS, SHARES, SHAPES, CALLS) for row in table.items()],
)
def test_all_that_is_said_of_a_step_and_what_it_then_gives(working, rows):
    assert said(working) == claimed(working, None, rows)


@pytest.mark.parametrize("working", LEFT_OUT)
def test_a_function_may_be_left_out(working):
    what, becomes = LEFT_OUT[working]
    assert (what, worth(becomes), 0, "") in said(working)


@pytest.mark.parametrize("working", NO_SHARES)
def test_what_is_no_share_is_not_called_one(working):
    shares = ("no share of it", "the share is counted", "lost in each step", "by the share")
    assert not [what for what, *_ in said(working) if any(share in what for share in shares)]


@pytest.mark.parametrize("working", PLAIN_SHAPES)
def test_a_step_that_only_looks_like_a_known_shape_is_not_called_one(working):
    shapes = ("as if one came after", "side by side", "the chances are added up", "a square one")
    assert not [what for what, *_ in said(working) if any(shape in what for shape in shapes)]


def in_place(working, at, rows, vocabulary=None):
    """Hold what is said at one place of a working, whatever is said elsewhere."""
    assert said(working, at, vocabulary) == claimed(working, at, rows)


def factors(name):
    """What may happen to any value: it is halved, doubled, squared, or its unit is lost."""
    tens = [
        (f"{{{name}}} is off by a factor of {power}: look at its unit", f"{name} {how} {power}", TEN.format(power), ODD)
        for power in (10, 100, 1000)
        for how in "*/"
    ]
    return [
        (f"{{{name}}} is halved", f"{name} / 2", TWO),
        (f"{{{name}}} is doubled", f"{name} * 2", TWO),
        (f"{{{name}}} is squared", f"{name} ** 2", ODD),
        *tens,
    ]


def test_all_that_is_said_of_a_value_by_its_unit():
    in_place("near", "near", factors("near"))
    in_place(
        "warm",
        "warm",
        [
            *factors("warm"),
            ("273.15 is added to {warm} where no kelvin are asked for", "warm + 273.15"),
            ("{warm} is turned into °F", "warm * 1.8 + 32", ODD),
        ],
    )
    in_place("rise", "rise", [*factors("rise"), ("273.15 is added to {rise}, which is a difference", "rise + 273.15")])
    left = ("what is left over of {share} is taken for {share} itself", "100 - share")
    in_place("share", "share", [*factors("share"), left])
    off = [
        ("{many} is counted once too seldom", "many - 1", ONE_OFF),
        ("{many} is counted once too often", "many + 1", ONE_OFF),
    ]
    in_place("many", "many", [*factors("many"), *off])
    in_place("fins", "fins", factors("fins"))  # no count of this question
    in_place("x", "x", [])  # on the way: nobody reads it off


def test_a_reading_stands_for_another_of_its_kind():
    in_place("first[many]", "first", [("{second} stands in place of {first}", "second")])


def test_a_value_stands_for_another_but_for_the_one_it_is_divided_or_lessened_by():
    """Who writes near / near sees that it is 1."""
    alike = words(peers={"near": ("far", "third")})
    swaps = [
        (f"{{{other}}} stands in place of {{near}}", other, f"{{{other}}} stands in place of {{near}}")
        for other in ("far", "third")
    ]
    in_place("near * far", "near", [*factors("near"), *swaps], alike)
    in_place("near / 7 - far", "near", [*factors("near"), *swaps], alike)
    for beside in ("near / far", "near - far", "far / near", "far - near"):
        in_place(beside, "near", [*factors("near"), swaps[1]], alike)


def test_a_number_of_the_text_stands_for_a_value_of_its_unit_and_no_constant_of_nature_does():
    sizes = (1e-7, 1e-6, 1.02e-6, 12.5, 0.98e6, 1e6, 1.02e6)
    text = words(*((size, "Ω") for size in sizes), (12.7, "s"), (12.9, ""))
    told = [what for what, *_ in said("near", "near", text) if "of the text" in what]
    assert sorted(told) == sorted(f"{size:g} Ω of the text stands in place of {{near}}" for size in sizes[2:5])
    assert ("12.5 Ω of the text stands in place of {near}", 12.5, 0, "") in said("near", "near", text)


def around(told, number):
    """What may happen to any number that is written down."""
    return [
        (f"{told} is off by a factor of {power}", f"{number} {how} {power}", TEN.format(power), ODD)
        for power in (10, 100)
        for how in "*/"
    ]


NUMBERS_WRITTEN = {
    "0": [("1 stands in place of 0", "1", ODD)],
    "1": [],
    "273.15": [],
    "2": [
        ("2 is left out", "1", TWO),
        ("2 is doubled", "4", TWO, ODD),
        ("2 is negative", "-2", SIGN, ODD),
        ("one more than 2 is taken", "3", ONE_OFF, ODD),
        *around("2", 2),
    ],
    "3": [
        ("3 is left out", "1"),
        ("3 is doubled", "6", TWO, ODD),
        ("3 is halved", "1.5", TWO, ODD),
        ("3 is negative", "-3", SIGN, ODD),
        ("one less than 3 is taken", "2", ONE_OFF, ODD),
        ("one more than 3 is taken", "4", ONE_OFF, ODD),
        *around("3", 3),
    ],
    "7": [  # a week has five days at work
        ("5 stands in place of 7", "5"),
        ("7 is left out", "1"),
        ("7 is doubled", "14", TWO, ODD),
        ("7 is halved", "3.5", TWO, ODD),
        ("7 is negative", "-7", SIGN, ODD),
        ("one less than 7 is taken", "6", ONE_OFF, ODD),
        ("one more than 7 is taken", "8", ONE_OFF, ODD),
        *around("7", 7),
    ],
    "0.5": [
        ("0.5 is left out", "1", TWO),
        ("0.5 is doubled", "1", TWO, ODD),
        ("0.5 is halved", "0.25", TWO, ODD),
        ("0.5 is negative", "-0.5", SIGN, ODD),
        *around("0.5", 0.5),
    ],
    "0.3": [
        ("what is left over of 0.3 is taken for 0.3 itself", "0.7"),
        ("0.3 is left out", "1"),
        ("0.3 is doubled", "0.6", TWO, ODD),
        ("0.3 is halved", "0.15", TWO, ODD),
        ("0.3 is negative", "-0.3", SIGN, ODD),
        *around("0.3", 0.3),
    ],
    "1.3": [
        ("1.3 is left out", "1"),
        ("1.3 is doubled", "2.6", TWO, ODD),
        ("1.3 is halved", "0.65", TWO, ODD),
        ("1.3 is negative", "-1.3", SIGN, ODD),
        *around("1.3", 1.3),
    ],
    "1.96": [
        ("1.645 stands in place of 1.96", "1.645"),
        ("2 stands in place of 1.96", "2"),
        ("2.576 stands in place of 1.96", "2.576"),
        ("1.96 is left out", "1"),
        ("1.96 is doubled", "3.92", TWO, ODD),
        ("1.96 is halved", "0.98", TWO, ODD),
        ("1.96 is negative", "-1.96", SIGN, ODD),
        *around("1.96", 1.96),
    ],
}


@pytest.mark.parametrize(("number", "rows"), NUMBERS_WRITTEN.items())
def test_all_that_is_said_of_a_number_that_is_written_down(number, rows):
    assert said(f"{number} + x", number) == claimed(f"{number} + x", number, rows)


@pytest.mark.parametrize(
    ("number", "size"),
    [("1e-9", 10**9), ("1e-6", 10**6), ("1e-3", 1000), ("1e-2", 100), ("0.1", 10)]
    + [("10", 10), ("100", 100), ("1000", 1000), ("1e6", 10**6), ("1e9", 10**9)],
)
def test_a_power_of_ten_is_a_unit_and_is_left_out_turned_round_or_taken_for_another(number, size):
    """Another is ten or a thousand times it, or so much less; of the small ones that are no share nothing is left."""
    wide = TEN.format(size)
    rows = [(f"the factor {float(number):g} is left out", "1", wide), (wide, f"1 / {number}", wide)]
    for power in (10, 1000):
        if power != size:
            rows += [(TEN.format(power), f"{number} {how} {power}", TEN.format(power), ODD) for how in "*/"]
    if number in ("1e-2", "0.1"):
        told = f"{float(number):g}"
        rows.append((f"what is left over of {told} is taken for {told} itself", f"1 - {number}"))
    written = ast.unparse(ast.parse(number))
    assert said(f"{written} + x", written) == claimed(f"{written} + x", written, rows)


def others(number, *text):
    told = said(f"{number} + x", str(number), words(*text))
    return {what for what, *_ in told if "stands in place of" in what}


def test_a_number_stands_for_another_of_the_text_of_its_unit_or_of_about_its_size():
    assert others(20, (20, "mm"), (5.3, "mm"), (900, "mm"), (7.1, "s")) == {
        "5.3 of the text stands in place of 20",
        "900 of the text stands in place of 20",
    }
    bare = [(size, "") for size in (20, 1.9, 2.0, 2.05, 35.0, 195, 200, 205)]
    assert others(20, *bare) == {f"{size:g} of the text stands in place of 20" for size in (2.05, 35, 195)}
    assert others(20, (21, "mm"), (22, "")) == set()  # 20 itself stands nowhere in this text


def test_a_value_of_the_unit_that_a_number_has_in_the_text_stands_for_it():
    assert others(20, (20, "s")) == {"{lag} stands in place of 20", "{moment} stands in place of 20"}
    assert others(20, (20, "")) == others(20, (21, "s")) == set()


def test_of_what_decides_a_case_nothing_is_said_but_that_the_other_is_taken():
    for test in ("far > 7", "far * 7 > first[0]"):
        tree = ast.parse(f"near if {test} else third", mode="eval")
        told = [one.what for one in changes(tree, words()) if "near" not in one.what and "third" not in one.what]
        assert told == [FAMILIES["case"]]
        in_place(ast.unparse(tree), test, [(FAMILIES["case"], f"not ({test})")])


def test_a_logarithm_turned_round_has_the_other_sign():
    """ln(a / b) = -ln(b / a), so it is no factor that goes wrong."""
    for name in ("log", "log10", "log2"):
        fits = {wide for what, _, _, wide in said(f"{name}(near / far)", "near / far") if "is left out" not in what}
        assert fits == {SIGN}
    assert {wide for *_, wide in said("exp(near / far)", "near / far")} == {TURNED, ""}
    assert {wide for *_, wide in said("log(3 * (near / far))", "near / far")} == {TURNED, ""}


def test_of_an_exponent_and_of_the_place_of_a_reading_nothing_else_is_said():
    assert said("near ** 7", "7") == said("first[2]", "2") == said("first[many - 2]", "2") == []


def rows_said(working, *becomes):
    assert said(working) == claimed(working, None, [(ROW, text, ROW) for text in becomes])


def test_a_row_is_taken_for_those_beside_it_and_for_either_end():
    rows_said("first[1]", "first[-1]", "first[0]", "first[2]", "first[3]")
    rows_said("first[0]", "first[-2]", "first[-1]", "first[1]", "first[2]")
    rows_said("first[3]", "first[-1]", "first[0]", "first[1]", "first[2]", "first[4]", "first[5]")
    rows_said("first[-1]", "first[-2]", "first[0]", "first[1]")
    rows_said("first[-2]", "first[-1]", "first[0]")
    rows_said("first[fins]", "first[fins - 1]", "first[fins + 1]")


def test_a_row_of_a_table_is_taken_for_each_of_its_first_sixteen():
    rows_said("{'thin': 1.3, 'thick': 2.9}[x]", "1.3", "2.9")
    rows_said("table[x]", "1.3", "2.9")
    rows_said("long[x]", *(f"100 + {row}**2" for row in range(1, 17)))


@pytest.mark.parametrize("working", ["first[1:3]", "table['thin']", "first[-many]", "first[+many]"])
def test_of_several_rows_or_of_one_by_its_name_no_other_row_is_said(working):
    assert said(working) == []


NAMED = {
    "near": "{near}",
    "x": "`x`",
    "pi": "`pi`",
    "cold_volts": "the cold volts",
    "sum_of_all": "the sum of all",
    "abc": "the abc",
    "7": "7",
    "0.250": "0.25",
    "-near": "{near}",
    "near + far": "{near} and {far}",
    "near - far": "{near} less {far}",
    "near * far": "{near} times {far}",
    "near / far": "{near} over {far}",
    "near ** far": "the power",
    "near % far": "the number",
    "near * 1000": "{near}",
    "near / 1e6": "{near}",
    "near + 1000": "{near} and 1000",
    "near * 7": "{near} times 7",
    "near ** 2": "{near} squared",
    "near ** 3": "{near} cubed",
    "near ** 4": "the power",
    "near ** -2": "the power",
    "near * 2": "{near} times 2",
    "(near * far) ** 2": "the power",  # "{near} times {far} squared" would be something else
    "cold_volts ** 2": "the power",
    "near * (far + third)": "the product",
    "near + far + third": "the sum",
    "near - (far + third)": "the difference",
    "near / (far + third)": "the quotient",
    "sqrt(near)": "the root of {near}",
    "log(near)": "the logarithm of {near}",
    "log10(near)": "the logarithm of {near}",
    "exp(x)": "the exponential",
    "sqrt(near * far)": "the root",
    "hypot(near, far)": "the value",
    "tanh(near)": "the value",
    "sum(first)": "the sum of {first}",
    "first[2]": "a reading of {first}",
    "[1, 2][0]": "the reading",
    "[near]": "one value",
    "'thin'": "one value",
}


@pytest.mark.parametrize(("piece", "name"), NAMED.items())
def test_a_piece_of_a_working_is_called_by_its_name_or_by_what_it_is(piece, name):
    assert in_words(ast.parse(piece, mode="eval").body, words()) == name


BETWEEN = {
    "a + (x - b) * (c - a) / (d - b)": ("a", "c"),
    "a - (x - b) * (a - c) / (d - b)": ("a", "c"),
    "rows[1] + (x - b) * (rows[2] - rows[1]) / (d - b)": ("rows[1]", "rows[2]"),
    "10 + (x - 50) * (20 - 10) / (62 - 50)": ("10", "20"),
    "a * (x - b) * (c - a) / (d - b)": None,
    "a + (x - b) * (c - a)": None,
    "a + (x - b) / (d - b)": None,
    "a + (x - b) * (5 - a) / (d - b)": None,
    "f(a) + (x - b) * (f(c) - f(a)) / (d - b)": None,
    "a + (x + b) * (c + a) / (d + b)": None,
    "a": None,
}


@pytest.mark.parametrize(("working", "ends"), BETWEEN.items())
def test_what_lies_between_two_rows_is_told_from_what_does_not(working, ends):
    found = between_rows(ast.parse(working, mode="eval").body)
    assert (found and tuple(map(ast.unparse, found))) == ends


def test_a_change_leaves_the_working_it_was_made_of_as_it_was():
    tree = ast.parse("low = near * 2\nasked = max(low, far, 3)")
    over, old = above(tree), tree.body[1].value.args[1]
    assert ast.unparse(replaced(old, ast.Constant(9), over)) == "low = near * 2\nasked = max(low, 9, 3)"
    assert ast.unparse(tree) == "low = near * 2\nasked = max(low, far, 3)"
    assert replaced(old, ast.Constant(9), over).body[0] is tree.body[0]
