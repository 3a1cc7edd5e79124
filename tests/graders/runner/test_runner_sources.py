"""What is told from a notebook's text: whether it may share its process with the next one, and what it may import."""

import builtins

import pytest

from graders.runner.job import Cell, Limits, Sheet
from graders.runner.sources import groups, leaves_nothing, wants_libraries

ARITHMETIC = {
    "an answer": "loss = 0.5 * film * (hot - cold)   # W, both faces: see e.g. the text",
    "functions of math": "from math import exp, pi, sqrt\narea = pi * sqrt(2.5e-3)",
    "loops and functions of its own": "def rise(power):\n    return sum(power * x for x in [0.2, 0.3])\nx = rise(3)",
    "units beyond ASCII": "rise = 12.5   # °C above ambient, in Ω·m² or µm",
    "an error": "a = 1 / 0",
    "names that take a builtin's place": "max = 3\nprint(max)",
    "no Python": "this is (no Python",
}
MORE = {
    "an attribute": "().__class__",
    "an attribute over two lines": "x = (list\n.append)",
    "an attribute after a space": "x = list . append",
    "an attribute by name": "getattr(list, 'append')",
    "code in a text": "exec('import os')",
    "code under another name": "f = eval\nf('1')",
    "a name in wide letters": "\uff45\uff58\uff45\uff43('import os')",
    "a name joined by a presentation form": "get\ufe33ipython()",
    "a name with a long s": "\u017fetattr(list, 'x', 1)",
    "an import": "import numpy",
    "an import under another name": "from numpy import seterr as sqrt",
    "all of math's names": "from math import *",
    "code after a comment that ends early": "a = 1  # nothing\rexec('import os')",
    "code after a form feed": "a = 1  # nothing\x0cexec('import os')",
    "code after another line end": "a = 1  # nothing\u2028exec('import os')",
    "code in a text of several lines": 'f"""\n# {exec(\'import os\')}\n"""',
    "a text carried on to the next line": "a = f'\\\n# {exec(1)}'",
    "code in a text, after a hash": "a = f'# {exec(1)}'",
    "a class": "class A: pass",
    "an error that is caught": "try: 1 / 0\nexcept: pass",
    "a context": "with x: pass",
    "a decorator": "@print\ndef f(): pass",
    "a name of everybody's": "def f():\n    global x\n    x = 1",
    "the shell's names": "In = 1",
    "names with an underscore": "__builtins__",
    "an open file": "open('x', 'w')",
    "a magic": "%config X.y = 1",
    "a magic's value": "x = %pwd",
    "a shell line": "!id",
    "help": "len?",
    "an automatic call": ",print a",
    "waiting": "await x",
}


def sheet(source, pictures=True, name="01"):
    return Sheet(name, (Cell(source), Cell("", report=("a",))), pictures)


@pytest.mark.parametrize("source", ARITHMETIC.values(), ids=ARITHMETIC)
def test_arithmetic_leaves_nothing(source):
    assert leaves_nothing(sheet(source))


@pytest.mark.parametrize("source", MORE.values(), ids=MORE)
def test_whatever_is_more_than_arithmetic_may_leave_something(source):
    assert not leaves_nothing(sheet(source))


def test_no_builtin_is_harmless_that_reaches_names_files_or_attributes():
    reaching = {
        "eval exec compile open input getattr setattr delattr vars globals locals dir type object super help id"
    }
    for name in [*" ".join(reaching).split(), *(name for name in dir(builtins) if name.startswith("_"))]:
        assert not leaves_nothing(sheet(f"x = {name}")), name


def test_a_row_of_harmless_notebooks_shares_a_process_and_no_other_does():
    calm, quick, wild = sheet("a = 1"), sheet("a = 1", pictures=False), sheet("import os")
    assert groups([calm, calm, wild, calm, wild, wild, quick, quick]) == [2, 1, 1, 1, 1, 2]
    assert groups([calm, quick]) == [1, 1]
    assert groups([]) == []


def test_only_what_the_bare_process_lacks_is_asked_for():
    assert not wants_libraries([sheet("from math import pi\nimport numpy as np  # arrays\nnp.sqrt(2)")])
    for source in ("import matplotlib.pyplot as plt", "from scipy.optimize import brentq", "%matplotlib inline"):
        assert wants_libraries([sheet("a = 1"), sheet(source)])


@pytest.mark.contained
def test_notebooks_that_share_a_process_see_nothing_of_one_another(contained):
    look = (Cell("b"), Cell("", report=("a", "b")))
    sheets = [Sheet(str(number), (Cell(f"a = {number}"), *look, Cell(f"b = {number}"))) for number in range(3)]
    assert groups(sheets) == [3]
    ran = contained.run(sheets)
    assert [one.cells[2].answers for one in ran] == [{"a": number, "b": None} for number in range(3)]
    assert {one.cells[1].outputs[0]["ename"] for one in ran} == {"NameError"}


@pytest.mark.contained
@pytest.mark.parametrize(
    ("wrong", "ended"),
    [
        ("while True: pass", "finished"),  # the cell is stopped
        ("sum(range(10**13))", "time"),
        ("x = [0] * 10**7\ny = x * 2", "finished"),
        ("x = [0] * 10**9", "finished"),  # a MemoryError
        ("def again(): return again()\nagain()", "finished"),
        ("a = " + "(" * 150 + "1" + ")" * 150, "finished"),
    ],
)
def test_a_notebook_that_goes_wrong_among_harmless_ones_costs_itself_alone(contained, wrong, ended):
    good = [sheet(f"a = {number}", name=str(number)) for number in range(4)]
    sheets = [*good[:2], sheet(wrong, name="wrong"), *good[2:]]
    assert groups(sheets) == [5]
    few = Limits(cell_seconds=1, sheet_seconds=3, cpu_seconds=8, memory_bytes=1 << 28)
    ran = contained.run(sheets, few)
    assert [one.name for one in ran] == ["0", "1", "wrong", "2", "3"]
    assert [one.cells[-1].answers for one in (*ran[:2], *ran[3:])] == [{"a": number} for number in range(4)]
    assert ran[2].ended == ended


CELLS = {
    **ARITHMETIC,
    "an error in its own function": "def f(x):\n    return x / 0\na = 1\nf(a)",
    "an error after something printed": "print('so far')\na = 1\nb = a / 0",
    "a value at the end": "a = 3\na",
    "a value that is kept quiet": "a = 3\na;",
    "a value among the lines": "3\na = 4",
    "nothing": "",
    "remarks alone": "# nothing yet",
    "a step back too far": "a = 1\n  b = 2",
    "a return outside": "a = 1\nreturn a",
    "a loop left outside": "a = 1\nbreak",
    "a loop": "a = 0\nfor k in range(5):\n    a += k",
    "a choice": "if 3 > 2:\n    a = 'yes'\nelse:\n    a = 'no'",
    "a number over its limit": "a = 10.0**400",
    "a text of many lines": "a = ('1'\n     '2')",
    "space at the head": "  a = 1",
    "too much printed": "for k in range(10**6):\n    print(k)",
}


@pytest.mark.contained
def test_a_cell_tells_in_a_shared_process_what_it_tells_in_one_of_its_own(contained):
    few = Limits(output_bytes_per_cell=20_000)
    for name, source in CELLS.items():
        for pictures in (True, False):
            after = (Cell("x = 1"), Cell(source), Cell("a"), Cell("", report=("a", "x")))
            own, beside = Sheet("own", after, pictures), Sheet("beside", (Cell("b = 1"),), pictures)
            assert groups([own, beside]) == [2], name
            alone, shared = contained.run([own], few)[0], contained.run([own, beside], few)[0]
            assert told(alone) == told(shared), name


def told(outcome):
    """Return what was told of each cell, without the shell's own steps in a traceback."""
    cells = [(one.status, [dict(output) for output in one.outputs], one.answers) for one in outcome.cells]
    for _, outputs, _ in cells:
        for output in outputs:
            if "traceback" in output:
                output["traceback"] = [step for step in output["traceback"] if "IPython/core" not in step]
    return cells
