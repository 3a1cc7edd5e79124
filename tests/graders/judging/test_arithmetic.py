"""The reader of workings: worth what Python makes of it, refuses all else, and ends whatever is read."""

import ast
import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graders.judging.arithmetic import AT_ONCE, FAILURES, LARGEST, LONGEST, Beyond, Budget, Reader, size

NAMES = {"near": 47.3, "far": 3, "rows": [3.1, 4.7, 9.2], "names": ("thin", "thick"), "table": {"thin": 1.3, 2: 7}}


def ran(text, steps=10_000, **names):
    """Return what ``asked`` is worth after some lines, and the steps that are left."""
    budget, names = Budget(steps), NAMES | names
    Reader().block(ast.parse(text).body)(names, budget)
    return names.get("asked"), budget.steps


LIKE_PYTHON = [
    "asked = near + far - 2 * far / 7 ** 2",
    "asked = near // far + near % far",
    "asked = -near + +far",
    "asked = [not far, not 0]",
    "asked = low = near * 2",
    "low, (high, top) = 3, [4, 5]\nasked = low + 10 * high + 100 * top",
    "[low, high] = rows[:2]\nasked = low / high",
    "asked = 1\nasked += near",
    "asked = 7\nasked /= 2",
    "asked = [rows[0], rows[-1], rows[far - 2], table['thin'], table[2]]",
    "asked = [rows[1:], rows[:1], rows[::2], rows[0:3:2], rows[:]]",
    "asked = [1 < 2, 2 < 1, 1 <= 1, 2 <= 1, 2 > 1, 1 > 2, 1 >= 1, 1 >= 2, 1 == 1, 1 == 2, 1 != 2, 1 != 1]",
    "asked = ['thin' in names, 'x' in names, 'thin' not in names, 'x' not in names]",
    "asked = [1 < far < 9, 1 < far < 2, 9 < far < 10]",
    "asked = [0 or 3 or 5, 0 or 0.0, 2 and 3 and 5, 2 and 0 and 5]",
    "asked = near if far > 2 else 7",
    "asked = near if far > 3 else 7",
    "if far > 2:\n    asked = 1\nelse:\n    asked = 2",
    "if far > 3:\n    asked = 1\nelse:\n    asked = 2",
    "asked = 0\nfor low, high in zip(rows, rows[1:]):\n    asked = asked + low * high",
    "asked = far\nwhile asked < 100:\n    asked = asked * 2",
    "asked = [x * y for x in rows if x > 4 if x < 9 for y in range(3) if y]",
    "asked = sum(x * 2 for x in rows)",
    "asked = {'a': near, far: 2}",
    "asked = (near, far)",
    "asked = sorted(rows) + list(range(3)) + [len(rows), min(rows), max(rows), round(near), abs(-far), int(near)]",
    "asked = [tuple(rows), float(far), rows.index(4.7), (3, 4).index(4)]",
    "from math import sqrt, pi\nasked = sqrt(near) * pi + hypot(3, 4)",
    "def twice(x):\n    low = x * 2\n    return low\n\nasked = twice(near) + twice(far)",
    "def first_over(many, rows):\n    for x in rows:\n        if x > many:\n            return x\n    return 0\n\n"
    "asked = [first_over(4, rows), first_over(40, rows)]",
    "def halved(x):\n    while x > 1:\n        x = x / 2\n        if x < 2:\n            return x\n    return 0\n\n"
    "asked = [halved(far), halved(1)]",
    "def added(x):\n    return x + near\n\nnear = 5\nasked = added(far)",
]


@pytest.mark.parametrize("text", LIKE_PYTHON)
def test_a_working_is_worth_what_python_makes_of_it(text):
    names = vars(math) | NAMES
    exec(text, names)
    assert ran(text)[0] == names["asked"]


REFUSED = {
    "low[0] = 3": "only names are assigned",
    "low[0] += 3": "only names are added",
    "for x in rows:\n    low = x\nelse:\n    low = 0": "else of a loop",
    "while 0 > 1:\n    low = 1\nelse:\n    low = 0": "else of a loop",
    "def f(*x):\n    return 1": "plain functions",
    "def f(**x):\n    return 1": "plain functions",
    "def f(*, x):\n    return 1": "plain functions",
    "def f(x=1):\n    return x": "plain functions",
    "def f(x, /):\n    return x": "plain functions",
    "@abs\ndef f(x):\n    return x": "plain functions",
    "def f(x):\n    return": "gives nothing back",
    "from cmath import sqrt": "stands in math",
    "from math import inf": "stands in math",
    "from math import sum": "stands in math",
    "from math import sqrt as log": "stands in math",
    "asked = None": "no number and no word",
    "asked = 2j": "no number and no word",
    "asked = b'2'": "no number and no word",
    "asked = 6 << 1": "no arithmetic",
    "asked = ~6": "no arithmetic",
    "asked = 6 is 7": "no comparison",
    "asked = {**table}": "no plain table",
    "asked = [x async for x in rows]": "no plain loop",
    "asked = round(number=2.5)": "only plain calls",
    "asked = max(*rows)": "only plain calls",
    "asked = near.real": "Attribute is not read",
    "asked = rows.pop()": "Attribute is not read",
    "import math": "Import is not read",
    "asked = lambda: 1": "Lambda is not read",
    "asked = unknown": "unknown is not known",
    "asked = 'thin'.index('t')": "no list",
    "asked = near(2)": "no function",
    "def f(x):\n    low = x\n\nasked = f(1)": "gives nothing back",
}


@pytest.mark.parametrize(("text", "why"), REFUSED.items())
def test_what_is_no_plain_arithmetic_is_refused(text, why):
    with pytest.raises(Beyond, match=why):
        ran(text)


WRONG = ["low, high = rows", "low, high = [1]", "asked = rows[7]", "asked = 1 / 0"]
WRONG += ["def f(x):\n    return 1\n\nasked = f(1, 2)", "def f(x):\n    return 1\n\nasked = f()"]


@pytest.mark.parametrize("text", WRONG)
def test_what_python_does_not_work_out_fails_in_a_way_that_is_expected(text):
    with pytest.raises(FAILURES):
        ran(text)


AT_MOST = [
    # the most that is taken, and the least that is not
    (f"asked = {LARGEST}", f"asked = {LARGEST + 1}"),
    (f"asked = {LARGEST} * -1", f"asked = {LARGEST} * 2"),
    (f"asked = {LARGEST - 1} + 1", f"asked = {LARGEST} + 1"),
    (f"asked = {'x' * LONGEST!r}", f"asked = {'x' * (LONGEST + 1)!r}"),
    ("asked = [1] * 2000", "asked = [1] * 2001"),
    ("asked = 1000 * (1, 2)", "asked = 1001 * (1, 2)"),
    ("asked = 'ab' * 1000", "asked = 'ab' * 1001"),
    ("asked = len([1] * 1999 + [2])", "asked = len([1] * 2000 + [2])"),
    ("asked = range(2000)", "asked = range(2001)"),
]


@pytest.mark.parametrize(("most", "beyond"), AT_MOST, ids=itertools.count())
def test_no_number_and_no_list_grows_beyond_its_bound(most, beyond):
    assert ran(most)[0]
    with pytest.raises(Beyond, match="too l"):
        ran(beyond)


def test_the_bounds_are_far_beyond_what_a_bench_needs():
    assert (LARGEST, LONGEST) == (10**60, 2000)


def test_a_list_is_not_even_made_that_would_be_too_long():
    for text in ("asked = [1] * 10**12", "asked = 10**12 * [1]", "asked = 'x' * 10**12"):
        with pytest.raises(Beyond, match="too long a list"):
            ran(text)


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("2 ** 64", True),
        ("2 ** 65", False),
        ("1000000 ** 2", True),
        ("1000001 ** 2", False),
        ("(-1000001) ** 2", False),
        ("2 ** -65", False),
        ("near ** 65", False),
        ("1000001 ** 0.5", False),
    ],
)
def test_a_power_of_whole_numbers_stays_whole_only_where_it_cannot_grow_huge(text, exact):
    asked, _ = ran(f"asked = {text}")
    assert type(asked) is (int if exact else float)
    assert asked == pytest.approx(eval(text, NAMES))


@given(st.integers(0, 40), st.integers(0, 40))
def test_steps_may_be_spent_down_to_the_last(have, spend):
    budget = Budget(have)
    if spend <= have:
        budget.spend(spend)
        assert budget.steps == have - spend
    else:
        with pytest.raises(Beyond, match="out of steps"):
            budget.spend(spend)


def test_a_step_is_one_where_nothing_is_said():
    budget = Budget(2)
    budget.spend()
    assert budget.steps == 1


COSTS = {
    # lines, and how often the loop or the function is gone through
    "for x in range(7):\n    asked = x": (7, 0),
    "asked = 0\nwhile asked < 7:\n    asked = asked + 1": (7, 1),
    "def f(x):\n    return x\n\nasked = f(1) + f(2)": (2, 0),
    "asked = [x + 1 for x in (1, 2, 3, 4)]": (4, None),
    "asked = [x + y for x in (1, 2, 3) for y in (4, 5)]": (3 + 6, None),
}


@pytest.mark.parametrize(("text", "turns"), COSTS.items())
def test_each_turn_and_each_call_costs_as_many_steps_as_it_has_nodes(text, turns):
    times, place = turns
    tree = ast.parse(text).body
    looped = tree[0].value if place is None else tree[place]
    passed_on = 7 if "range(7)" in text else 0  # the range itself is bounded elsewhere
    spent = 10_000 - ran(text)[1]
    assert spent - times * size(looped) in (0, passed_on)


def test_a_call_costs_as_many_steps_as_its_lists_are_long():
    for text in ("asked = sum(rows)", "asked = len((1, 2, 3))", "asked = list(low)"):
        assert ran(text, low=range(3))[1] == 10_000 - 3
    assert ran("asked = abs(far)")[1] == 10_000
    with pytest.raises(Beyond):
        ran("asked = sum(rows)", steps=2)


def test_functions_call_one_another_nine_deep_and_no_deeper():
    text = "def again(x):\n    return 0 if x < 1 else again(x - 1)\n\nasked = again({}) + again({})"
    assert ran(text.format(8, 8))[0] == 0
    for deep in ((9, 8), (8, 9)):
        with pytest.raises(Beyond, match="too deep"):
            ran(text.format(*deep))


def test_a_call_that_fails_counts_as_left():
    budget, names = Budget(1000), dict(NAMES)
    Reader().block(ast.parse("def f(x):\n    return 1 / x").body)(names, budget)
    call = Reader()(ast.parse("f(0)", mode="eval").body)
    for _ in range(20):
        with pytest.raises(ZeroDivisionError):
            call(names, budget)


def test_a_name_of_ones_own_stands_over_a_function():
    assert ran("floor = 7\nasked = floor + 1")[0] == 8


def test_a_node_met_again_is_not_read_again():
    reader, node = Reader(), ast.parse("near * 2", mode="eval").body
    assert reader(node) is reader(node)


MADE = ["near + far", "-near", "not far", "far < near", "1 < far < 2", "near if far else 7", "7 if far > 9 else far"]
MADE += ["rows[1]", "abs(near)", "max(near, far)"]


@pytest.mark.parametrize("text", MADE)
def test_a_value_is_made_of_the_values_straight_below_it_as_it_is_read(text):
    """So a change deep in a working is carried up without working out again what stands beside its way."""
    reader, node, budget = Reader(), ast.parse(text, mode="eval").body, Budget(1000)
    run = reader(node)
    parts, make = reader.above[id(node)]
    worth = [reader(part)(NAMES, budget) for part in parts]
    assert make(NAMES, budget, *worth) == run(NAMES, budget) == eval(text, dict(NAMES))


@pytest.mark.parametrize("text", ["near + far", "-near", "2.5", "near", "sqrt", "rows[1]", "max(near, 7)", "rows"])
def test_what_is_worked_out_at_once_is_worth_what_is_read(text):
    budget = Budget(1000)

    def worth(node):
        return AT_ONCE[type(node)](node, worth, NAMES, budget)

    node = ast.parse(text, mode="eval").body
    assert worth(node) == Reader()(node)(NAMES, budget)


def test_at_once_too_nothing_grows_beyond_its_bound_and_nothing_unknown_is_worth_anything():
    budget = Budget(1000)

    def worth(node):
        return AT_ONCE[type(node)](node, worth, NAMES, budget)

    for text in (f"{LARGEST} + 1", f"{LARGEST + 1}", "[1][0] * unknown", "unknown", "near(1)"):
        with pytest.raises((Beyond, KeyError)):
            worth(ast.parse(text, mode="eval").body)


def test_the_size_of_a_tree_is_how_many_nodes_it_has():
    assert size(ast.parse("a + b * c", mode="eval").body) == len(list(ast.walk(ast.parse("a + b * c").body[0].value)))
