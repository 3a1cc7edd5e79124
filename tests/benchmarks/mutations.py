"""Whether the tests see a change: one small change at a time in a copy of the tree, and the tests of that module run.

Changes are drawn from a seed among all that can be made in a room: another operator or comparison, a number, ``and``
for ``or``, a sign or a ``not`` left out, a condition turned, a result not returned. A module is held by its own
examples and by the tests of its room that import it, but for slow ones; those that come by the changed function run
first, the quick first, until one fails. A change they let through has survived. Before a change is tried, the same
tests pass without it, and it is given several times what they took: what takes longer is killed too. What is found is
kept in a file, so that it can be done in pieces.

Run it: ``python -m tests.benchmarks.mutations ROOM --to FILE [--count 40] [--seed 1] [--minutes 5]``, until all are
done; ``--report FILE`` says again how many were killed, and shows what survived.
"""

import argparse
import ast
import json
import math
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import cache
from itertools import accumulate
from pathlib import Path
from types import ModuleType
from typing import NoReturn

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import hypothesis  # noqa: F401
import IPython  # noqa: F401
import matplotlib.figure  # noqa: F401
import nbclient  # noqa: F401
import nbgrader.apps.api  # noqa: F401
import pytest
import scipy.integrate
import scipy.optimize
import scipy.stats  # noqa: F401
import sqlalchemy  # noqa: F401

ROOT = Path(__file__).parents[2]
COPIED = ("workbook", "graders", "tests", "exercises", "solutions", "pyproject.toml", "README.md", "DEVELOPERS.md")
ALWAYS = {
    "workbook/bench": tuple(
        f"tests/workbook/bench/test_{name}.py" for name in ("bench_inputs", "bench_defaults", "docstrings")
    ),
    "graders/judging": ("tests/graders/judging/test_*.py",),
    "graders/marking": ("tests/graders/marking/test_marking.py",),
}
"""Tests that hold a whole room, and name no module that could be read here."""
SLOW = 15
"""Seconds of the processor beyond which a test is not tried on every change."""
SPARE = 3, 20
"""How many times the processor's seconds that tests take without a change they are given with one, and seconds more."""
LOADED = 5
"""How many times longer that may be by the clock: other processes want the processor too."""
ENDLESS = 600
"""Seconds of the processor within which a test file ends without a change."""
NOTED = "noted.json"
NO_TESTS = int(pytest.ExitCode.NO_TESTS_COLLECTED)
"""Where a module has no examples of its own."""

ARITHMETIC = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult}
ARITHMETIC |= {ast.FloorDiv: ast.Mult, ast.Mod: ast.Add}
COMPARISON = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}
COMPARISON |= {ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In}
OTHER_WAY = {ast.Lt: ast.Gt, ast.LtE: ast.GtE, ast.Gt: ast.Lt, ast.GtE: ast.LtE}


def changed(node: ast.AST) -> Iterator[ast.expr]:
    """Yield what may stand in a node's place."""
    match node:
        case ast.BinOp(left, operator, right) if type(operator) in ARITHMETIC:
            yield ast.BinOp(left, ARITHMETIC[type(operator)](), right)
        case ast.Compare(left, [operator], right):
            for table in (COMPARISON, OTHER_WAY):
                if type(operator) in table:
                    yield ast.Compare(left, [table[type(operator)]()], right)
        case ast.BoolOp(operator, values):
            yield ast.BoolOp(ast.Or() if isinstance(operator, ast.And) else ast.And(), values)
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield operand
        case ast.Constant(bool() as value):
            yield ast.Constant(not value)
        case ast.Constant(int() as value):
            yield ast.Constant(value + 1)
        case ast.Constant(float() as value):
            yield ast.Constant(value * 1.05 if value else 1.0)
        case ast.If(test) | ast.IfExp(test):
            yield ast.UnaryOp(ast.Not(), test)
        case ast.Return(ast.expr() as value) if not (isinstance(value, ast.Constant) and value.value is None):
            yield ast.Constant(None)


def place(node: ast.AST) -> ast.expr:
    """Return the expression of a node that is written anew."""
    match node:
        case ast.If(test) | ast.IfExp(test):
            return test
        case ast.Return(ast.expr() as value):
            return value
    assert isinstance(node, ast.expr)
    return node


def weighed(tree: ast.AST) -> Iterator[ast.AST]:
    """Yield the nodes that decide something: no annotations, no decorators, nothing only a checker of types reads."""
    for name, field in ast.iter_fields(tree):
        if name in ("annotation", "returns", "type_params", "decorator_list"):
            continue
        for node in field if isinstance(field, list) else [field]:
            if isinstance(node, ast.AST):
                yield node
                yield from weighed(node)


def changes_of(path: str) -> Iterator[tuple[str, str, ast.expr, ast.expr]]:
    """Yield every change that can be made in a module: the module, its text, the place and what is put there."""
    text = (ROOT / path).read_text(encoding="utf-8")
    for node in weighed(ast.parse(text)):
        for new in changed(node):
            yield path, text, place(node), new


def told(path: str, text: str, at: ast.expr, new: ast.expr) -> dict:
    """Return a change as plain data."""
    span = [at.lineno, at.col_offset, at.end_lineno, at.end_col_offset]
    put = f"({ast.unparse(ast.fix_missing_locations(new))})"
    return {"path": path, "span": span, "old": ast.get_source_segment(text, at), "new": put}


def drawn(room: str, count: int, seed: int) -> list[dict]:
    """Draw changes of a room."""
    paths = sorted(str(path.relative_to(ROOT)) for path in (ROOT / room).rglob("*.py"))
    every = [change for path in paths for change in changes_of(path)]
    return [told(*change) for change in random.Random(seed).sample(every, min(count, len(every)))]


def with_change(text: str, change: dict) -> str:
    """Return a module's text with the change made."""
    whole = text.encode()  # columns are counted in bytes
    starts = [0, *accumulate(map(len, whole.splitlines(keepends=True)))]
    first, column, last, end_column = change["span"]
    head, tail = whole[: starts[first - 1] + column], whole[starts[last - 1] + end_column :]
    return (head + change["new"].encode() + tail).decode()


@cache
def imported(path: Path) -> frozenset[str]:
    """Return the modules that a file imports, as far as names tell: of a name from a package both."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
        elif isinstance(node, ast.Import):
            names |= {one.name for one in node.names}
    return frozenset(names)


def name_of(path: str) -> str:
    """Return a module's name."""
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def importing(room: str, paths: set[str]) -> set[Path]:
    """Return the room's test files that import one of these modules."""
    names = set(map(name_of, paths))
    return {file for file in (ROOT / "tests" / room).rglob("test_*.py") if names & imported(file)}


def on_top_of(room: str, path: str) -> set[str]:
    """Return the room's modules that import a module."""
    return {str(file.relative_to(ROOT)) for file in (ROOT / room).rglob("*.py") if name_of(path) in imported(file)}


def tests_of(room: str, path: str) -> list[str]:
    """Return what holds a module: its own examples, what holds its whole room, and the room's tests that import it.

    Where no test imports it, those do that import the modules which build on it.
    """
    always = {file for pattern in ALWAYS[room] for file in ROOT.glob(pattern)}
    files = importing(room, {path}) or importing(room, on_top_of(room, path))
    return [path, *sorted(str(file.relative_to(ROOT)) for file in always | files)]


class Noting:
    """Notes of each test the processor's seconds it takes, and the functions of a room it comes by: a pytest plugin."""

    def __init__(self, copy: Path, room: str):
        self.of: dict[str, dict] = {}
        self._copy, self._room = copy, str(copy / room)

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Note the functions, those of its fixtures too."""
        self.of[item.nodeid], met = {"seconds": 0.0}, set()

        def note(frame, event, argument) -> None:
            code = frame.f_code
            if code.co_filename.startswith(self._room):
                met.add((code.co_filename, code.co_firstlineno))

        sys.settrace(note)
        yield
        sys.settrace(None)
        self.of[item.nodeid]["by"] = [[str(Path(path).relative_to(self._copy)), line] for path, line in met]

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        """Note the seconds, without those of fixtures that others use too."""
        begun = sum(os.times()[:4])
        yield
        self.of[item.nodeid]["seconds"] = sum(os.times()[:4]) - begun


class InOrder:
    """Runs tests in an order, and leaves out the slow ones: a pytest plugin."""

    def __init__(self, order: list[str], slow: set[str]):
        self._places, self._slow = {name: place for place, name in enumerate(order)}, slow

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Put them in order; what a change made new comes last."""
        quick = [item for item in items if item.nodeid not in self._slow]
        items[:] = sorted(quick, key=lambda item: self._places.get(item.nodeid, len(self._places)))


def run(copy: Path, files: list[str], most: float, plugin: Noting | InOrder) -> tuple[str, float]:
    """Run tests in the copy until one fails; return "pass", "fail" or "time", and the processor's seconds it took.

    They run in a fork of this process, which has imported what is slow to import, and nothing of ours. "time" is for
    what uses more than ``most`` seconds of the processor, or waits for longer than that can be by the clock.
    """
    begun = time.monotonic()
    child = os.fork()
    if not child:
        _run_here(copy, files, most, plugin)
    while time.monotonic() < begun + LOADED * most:
        ended, status, used = os.wait4(child, os.WNOHANG)
        if ended:
            code = os.waitstatus_to_exitcode(status)
            outcome = {0: "pass", NO_TESTS: "pass", -signal.SIGXCPU: "time"}.get(code, "fail")
            return outcome, used.ru_utime + used.ru_stime
        time.sleep(0.05)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return "time", math.inf


def _run_here(copy: Path, files: list[str], most: float, plugin: Noting | InOrder) -> NoReturn:
    """Run tests in this process, as a command in the copy would, and end it."""
    os.setsid()
    resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(most), resource.RLIM_INFINITY))
    os.chdir(copy)
    for stream in (1, 2):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
    os.environ["PYTHONPATH"] = sys.path[0] = str(copy)
    for name in [name for name in sys.modules if name.partition(".")[0] == "tests"]:
        del sys.modules[name]  # they were found beside this file
    sys.modules["__main__"] = ModuleType("__main__")  # else each process that a test starts imports this file too
    options = ["-x", "-q", "--tb=no", "-m", "not browser and not slow", "-p", "no:xdist", "-p", "no:cacheprovider"]
    code = 1
    try:
        code = int(pytest.main([*options, "--hypothesis-seed=0", *files], plugins=[plugin]))
        if isinstance(plugin, Noting):
            (copy / NOTED).write_text(json.dumps(plugin.of))
    finally:
        os._exit(code)


def function_at(text: str, line: int) -> int | None:
    """Return the first line of the innermost function that holds a line, or None outside of all functions."""
    found = None
    for node in ast.walk(ast.parse(text)):  # the outer before the inner
        if isinstance(node, ast.FunctionDef) and node.body[0].lineno <= line <= (node.end_lineno or 0):
            found = min([node.lineno, *(one.lineno for one in node.decorator_list)])
    return found


class Trial:
    """A copy of the tree, and what each test does in it as it is."""

    def __init__(self, room: str, copy: Path, kept: dict, file: Path):
        self.room, self.copy, self.kept, self._file = room, copy, kept, file
        for name in COPIED:
            (shutil.copytree if (ROOT / name).is_dir() else shutil.copy)(ROOT / name, copy / name)
        if room == "graders/marking":
            os.environ["MADE_COHORT"] = str(copy / "made")  # nothing that makes it imports this room

    def keep(self) -> None:
        """Write down what is known by now."""
        self._file.write_text(json.dumps(self.kept, indent=1))

    def unchanged(self, files: list[str]) -> dict[str, dict]:
        """Return what was noted of each test of some files; ends where one does not pass without a change."""
        noted = self.kept["noted"]
        for file in files:
            if file not in noted:
                outcome, _ = run(self.copy, [file], ENDLESS, Noting(self.copy, self.room))
                if outcome != "pass":
                    sys.exit(f"{file} does not pass without a change ({outcome}): nothing can be said")
                noted[file] = json.loads((self.copy / NOTED).read_text())
                self.keep()
        return {name: test for file in files for name, test in noted[file].items()}

    def in_order(self, change: dict, tests: dict[str, dict]) -> InOrder:
        """Return the tests as they are tried: those that come by the changed function first, and the quick first."""
        place = function_at((ROOT / change["path"]).read_text(encoding="utf-8"), change["span"][0])

        def rank(name: str) -> tuple[bool, float]:
            return place is not None and [change["path"], place] not in tests[name]["by"], tests[name]["seconds"]

        slow = {name for name, test in tests.items() if test["seconds"] > SLOW}
        return InOrder(sorted(tests.keys() - slow, key=rank), slow)

    def of(self, change: dict) -> dict:
        """Make a change, run what holds its module, and take it back."""
        files = tests_of(self.room, change["path"])
        tests = self.unchanged(files)
        order = self.in_order(change, tests)
        times, more = SPARE
        most = times * sum(test["seconds"] for test in tests.values() if test["seconds"] <= SLOW) + more
        path = self.copy / change["path"]
        text = path.read_text(encoding="utf-8")
        path.write_text(with_change(text, change), encoding="utf-8")
        outcome, seconds = run(self.copy, files, most, order)
        path.write_text(text, encoding="utf-8")
        if outcome == "time" and run(self.copy, files, most / 2, order)[0] != "pass":
            sys.exit(f"the tests of {change['path']} are too slow now without a change too: nothing can be said")
        return change | {"outcome": outcome, "seconds": round(seconds, 1)}


def reported(kept: dict) -> None:
    """Say how many changes were killed, and show those that were not."""
    tried = kept["tried"]
    survivors = [one for one in tried if one["outcome"] == "pass"]
    print(f"{len(tried) - len(survivors)} of {len(tried)} killed")
    for one in survivors:
        print(f"  {one['path']}:{one['span'][0]}: {one['old']}  ->  {one['new']}")


def main(arguments: list[str]) -> int:
    """Try changes for so many minutes and say what is done; 1 where one survived."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("room", nargs="?", choices=ALWAYS, help="a folder of the code")
    parser.add_argument("--to", type=Path, help="where what was found is kept")
    parser.add_argument("--report", type=Path, help="only say what such a file holds")
    parser.add_argument("--again", action="store_true", help="try once more what survived, with the tests as they are")
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=math.inf)
    asked = parser.parse_args(arguments)
    file = asked.report or asked.to
    if not file or not (asked.report or asked.room):
        parser.error("name a room and --to FILE, or --report FILE")
    kept = json.loads(file.read_text()) if file.exists() else {"noted": {}, "tried": []}
    if not asked.report:
        tried, changes = kept["tried"], drawn(asked.room, asked.count, asked.seed)
        places = range(len(tried), len(changes))
        if asked.again:
            kept["noted"], places = {}, [place for place, one in enumerate(tried) if one["outcome"] == "pass"]
        end = time.monotonic() + 60 * asked.minutes
        with tempfile.TemporaryDirectory() as folder:
            trial = Trial(asked.room, Path(folder), kept, file)
            for place in places:
                if time.monotonic() > end:
                    print(f"not all of {len(changes)} are done: run it again")
                    break
                tried[place : place + 1] = [trial.of(tried[place] if asked.again else changes[place])]
                trial.keep()
    reported(kept)
    return int(any(one["outcome"] == "pass" for one in kept["tried"]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
