"""What a bench function is given: what is no number or outside its range is refused, small integers and lists count.

Every public function is called as its own worked example calls it, with one of its numbers replaced at a time.
"""

import ast
import doctest
import importlib
import inspect
import pkgutil
import re

import numpy as np
import pytest

from workbook import bench

NOT_A_NUMBER = ast.parse("float('nan')", mode="eval").body
NUMBER = r"(-?\d[\d ]*(?:\.\d+)?)"
OUTSIDE = {
    r"(?<!together )(?<!value )above zero \[": lambda: (0.0, -1.0),
    r"(?:at least zero|0 or more) \[": lambda: (-1.0,),
    rf"(?<!must be )from {NUMBER} to {NUMBER} \[": lambda low, high: (
        low - (high - low) / 1000,
        high + (high - low) / 1000,
    ),
    rf"between {NUMBER} and {NUMBER} \[": lambda low, high: (low, high),
}
"""How a docstring states a range, and numbers that lie outside of it."""


def modules():
    for found in pkgutil.walk_packages(bench.__path__, "workbook.bench."):
        if not found.ispkg:
            yield importlib.import_module(found.name)


def is_number(node: ast.AST) -> bool:
    node = node.operand if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub) else node
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


def places(call: ast.Call) -> list:
    """Return the arguments of a call that are numbers: positions and names."""
    return [place for place, node in enumerate(call.args) if is_number(node)] + [
        word.arg for word in call.keywords if is_number(word.value)
    ]


def spoilt(call: ast.Call, place, instead: ast.expr = NOT_A_NUMBER) -> ast.Expression:
    """Return a call as it is written, with one argument that is not a number, or another one."""
    args = [instead if place == at else node for at, node in enumerate(call.args)]
    words = [ast.keyword(word.arg, instead if place == word.arg else word.value) for word in call.keywords]
    return ast.fix_missing_locations(ast.Expression(ast.Call(call.func, args, words)))


def stated(function, place) -> str:
    """Return what a function's docstring says of one parameter, in a line."""
    names = list(inspect.signature(function).parameters)
    name = names[min(place, len(names) - 1)] if isinstance(place, int) else place
    told = re.search(rf"^\*?(?:\w+, )*{name}(?:, \w+)* : .*\n((?:    .*\n)+)", inspect.getdoc(function), re.MULTILINE)
    return " ".join(told[1].split()) if told else ""


def numbers_outside(words: str):
    """Yield numbers outside of the range that is stated in some words."""
    for pattern, outside in OUTSIDE.items():
        if found := re.search(pattern, words):
            yield from outside(*(float(bound.replace(" ", "")) for bound in found.groups()))


def calls():
    """Yield (function, its name, a call, the place of a number in it) of each function's first readable example."""
    for module in modules():
        for name in getattr(module, "__all__", ()):
            thing = getattr(module, name)
            if not inspect.isfunction(thing):
                continue
            for test in doctest.DocTestFinder(recurse=False).find(thing, name, module=module, globs=vars(module)):
                for example in test.examples:
                    own = [node for node in ast.walk(ast.parse(example.source)) if isinstance(node, ast.Call)]
                    own = [call for call in own if isinstance(call.func, ast.Name) and call.func.id == name]
                    names = {
                        node.id for call in own[:1] for node in ast.walk(call) if isinstance(node, ast.Name)
                    } - vars(module).keys()
                    for place in places(own[0]) if own and not names else ():
                        yield thing, f"{module.__name__}.{name}", own[0], place


CALLS = list(calls())
CASES = [pytest.param(spoilt(call, at), vars(inspect.getmodule(f)), id=f"{name}-{at}") for f, name, call, at in CALLS]


def test_there_is_a_case_for_most_functions():
    public = sum(inspect.isfunction(getattr(m, n)) for m in modules() for n in getattr(m, "__all__", ()))
    assert len({case.id.rsplit("-", 1)[0] for case in CASES}) > public / 2


@pytest.mark.parametrize(("call", "names"), CASES)
def test_a_number_that_is_none_is_refused(call, names):
    """TypeError too: a count must be whole."""
    with np.errstate(all="ignore"), pytest.raises((ValueError, TypeError)):
        eval(compile(call, "example", "eval"), dict(names))


def test_a_number_outside_the_range_that_the_docstring_states_is_refused():
    tried, let_in = 0, []
    for function, name, call, place in CALLS:
        for number in numbers_outside(stated(function, place)):
            tried += 1
            code = compile(spoilt(call, place, ast.Constant(number)), "example", "eval")
            try:
                with np.errstate(all="ignore"):
                    eval(code, dict(vars(inspect.getmodule(function))))
                let_in.append((name, place, number))
            except (ValueError, TypeError):
                pass
    assert tried > 800
    assert let_in == []


def test_counts_that_are_no_counts_are_refused():
    from workbook.bench.intake import evidence
    from workbook.bench.signoff import promise

    with pytest.raises(ValueError, match="repairs must be a whole number"):
        promise.returns_to_allow_for(0.03, 100.5)
    with pytest.raises(ValueError, match="trials must be from 0 to"):
        evidence.chance_of_at_most(2, 2**33, 1e-9)


@pytest.mark.parametrize("name", ["shorts.networks.series", "shorts.networks.parallel", "paste.chain.in_series"])
def test_a_list_in_place_of_several_arguments_is_refused(name):
    module, function = name.rsplit(".", 1)
    with pytest.raises(ValueError, match="an argument of its own"):
        getattr(importlib.import_module(f"workbook.bench.{module}"), function)([10, 10])


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        ("intake.capacitors.stored_energy(1e-4, n(400))", 8.0),
        ("profile.conduction.diffusivity(0.343, n(1850), n(1100))", 0.343 / (1850 * 1100)),
        ("profile.thermocouple.bead_time_constant(1e-3, n(8500), n(400), 50.0)", 8500 * 400 * 1e-3 / 6 / 50),
        ("shorts.meter.accuracy_limit(n([200, 200]), 0.01, 3, 0.1)", [2.3, 2.3]),
        ("signoff.promise.expected_returns([0.05, 0.1], n(400))", [20, 40]),
    ],
)
def test_small_integers_and_lists_count_as_the_numbers_they_are(call, expected):
    """Whole numbers of two bytes would run over, and a list times a count would repeat."""
    module, _ = call.split("(", 1)[0].rsplit(".", 1)
    space = {"n": lambda value: np.array(value, dtype=np.int16)}
    space[module.split(".")[0]] = importlib.import_module(f"workbook.bench.{module.split('.')[0]}")
    importlib.import_module(f"workbook.bench.{module}")
    assert eval(call, space) == pytest.approx(expected)
