"""Both runners, contained and plain, say the same about the same notebook."""

from dataclasses import replace

import pytest
from IPython.core.interactiveshell import InteractiveShell
from nbclient import NotebookClient
from nbformat import v4
from traitlets.config import Config

from graders import sheets
from graders.notebooks import printer
from graders.runner.inside.cells import as_it_is
from graders.runner.job import Cell, Limits, Sheet
from graders.runner.plain import Plain, kill
from workbook.topics import TOPICS

ANSWERS = {
    "60 * 7": (420, None),
    "True": (True, None),
    "None": (None, None),
    "'a short text'": ("a short text", None),
    "[1, 2.5, 'x']": ([1, 2.5, "x"], None),
    "(350, 250.0)": ([350, 250.0], None),
    "12,5": ([12, 5], "decimal comma"),
    "...": (None, "not yet"),
    "[1, ...]": (None, "not yet"),
    "float('nan')": (None, "not a finite number"),
    "1e999": (None, "not a finite number"),
    "10**5000": (None, "not a finite number"),
    "3 + 4j": (None, "a complex number"),
    "'x' * 2001": (None, "too long"),
    "list(range(65))": (None, "too long"),
    "[[1]]": (None, "not a number, a text or a short list of them"),
    "{'a': 1}": (None, "not a number, a text or a short list of them"),
    "print": (None, "not a number, a text or a short list of them"),
    "np.float64(2.5)": (2.5, None),
    "np.float32(0.5)": (0.5, None),
    "np.int16(7)": (7, None),
    "np.bool_(True)": (True, None),
    "np.nan": (None, "not a finite number"),
    "np.array(2.5)": (2.5, None),
    "np.array([1, 2])": ([1, 2], None),
    "np.zeros((2, 2))": (None, "not a number, a text or a short list of them"),
    "np.zeros(10**6)": (None, "too long"),
    "np.array([1 + 2j])": (None, "a complex number"),
    "type('F', (float,), {'__eq__': lambda *_: True})(1)": (None, "not a number, a text or a short list of them"),
    "type('S', (str,), {'__len__': lambda _: 1})('x')": (None, "not a number, a text or a short list of them"),
}
NAMES = tuple(f"answer_{i}" for i in range(len(ANSWERS)))
EVERY_ANSWER = Sheet(
    "answers",
    (
        Cell("import numpy as np"),
        *(Cell(f"{name} = {source}") for name, source in zip(NAMES, ANSWERS, strict=True)),
        Cell("this is never executed", report=(*NAMES, "never_given")),
    ),
)
SHOWING = Sheet(
    "showing",
    (
        Cell("print('a')\nprint('b')"),
        Cell("1.5"),
        Cell("1 / 0"),
        Cell("given = 3"),
        Cell("input()"),
        Cell("import matplotlib.pyplot as plt\nplt.plot([1, 2]);"),
        Cell("from IPython.display import HTML\nHTML('<b>bold</b>')"),
        Cell("import workbook.bench\nprint(given)"),
    ),
)


@pytest.fixture(params=["contained", "plain"])
def runner(request):
    if request.param == "plain":
        return Plain()
    return request.getfixturevalue("contained")


def test_every_kind_of_answer_comes_back_as_plain_data_or_with_its_reason(runner):
    (sheet,) = runner.run([EVERY_ANSWER])
    marking = sheet.cells[-1]
    assert sheet.ended == "finished"
    assert marking.status == "reported"
    told = {
        source: (marking.answers[name], marking.unreadable.get(name))
        for name, source in zip(NAMES, ANSWERS, strict=True)
    }
    assert told == ANSWERS
    assert [type(told[source][0]) for source in ANSWERS] == [type(value) for value, _ in ANSWERS.values()]
    assert (marking.answers["never_given"], marking.unreadable["never_given"]) == (None, "missing")


def test_outputs_are_those_of_a_kernel(runner):
    # a kernel that draws for the first time on a machine builds its font cache, and says so
    patient = Limits(cell_seconds=90, sheet_seconds=180, topic_seconds=200)
    (sheet,) = runner.run([SHOWING], patient)
    printed, value, error, nothing, question, picture, markup, last = sheet.cells
    assert printed.outputs == [{"output_type": "stream", "name": "stdout", "text": "a\nb\n"}]
    assert value.outputs == [
        {"output_type": "execute_result", "data": {"text/plain": "1.5"}, "metadata": {}, "execution_count": 2}
    ]
    assert (error.status, error.outputs[0]["ename"]) == ("error", "ZeroDivisionError")
    assert (nothing.status, nothing.outputs) == ("ok", [])
    assert question.outputs[0]["ename"] == "StdinNotImplementedError"
    assert any("image/png" in output.get("data", {}) for output in picture.outputs)
    assert markup.outputs[0]["data"]["text/html"] == "<b>bold</b>"
    assert last.outputs[0]["text"] == "3\n"


def test_without_pictures_nothing_is_drawn_and_errors_are_short(runner):
    (sheet,) = runner.run([replace(SHOWING, pictures=False)])
    shown = [output for cell in sheet.cells for output in cell.outputs]
    assert not any("image/png" in output.get("data", {}) for output in shown)
    assert sum(len(line) for line in sheet.cells[2].outputs[0]["traceback"]) < 100


def test_a_traceback_asked_for_where_nothing_went_wrong_is_told_as_none(contained):
    (sheet,) = contained.run([Sheet("asked", (Cell("get_ipython().showtraceback()"),), pictures=False)])
    assert [(cell.status, cell.outputs[0]["text"]) for cell in sheet.cells] == [
        ("ok", "No traceback available to show.\n")
    ]


def test_a_display_may_name_its_source_as_in_a_kernel(contained):
    shown = "get_ipython().display_pub.publish({'text/plain': '1'}, {}, 'somewhere')"
    (sheet,) = contained.run([Sheet("sourced", (Cell(shown),))])
    assert [(cell.status, cell.outputs[0]["data"]) for cell in sheet.cells] == [("ok", {"text/plain": "1"})]


def test_a_display_is_updated_beside_a_clearing_that_waits_as_in_a_kernel(contained):
    """As in an animation: what is to make way for the next output is still there, and the cell goes on."""
    moves = (
        "from IPython.display import clear_output, display\n"
        "shown = display('one', display_id=True)\nclear_output(wait=True)\nshown.update('two')\na = 1"
    )
    (sheet,) = contained.run([Sheet("moves", (Cell(moves), Cell("", report=("a",))))])
    assert [cell.status for cell in sheet.cells] == ["ok", "reported"]
    assert sheet.cells[1].answers == {"a": 1}
    assert [output["data"]["text/plain"] for output in sheet.cells[0].outputs] == ["'two'"]


def test_a_kernel_that_has_ended_by_itself_need_not_be_ended():
    client = NotebookClient(v4.new_notebook())
    client.create_kernel_manager()
    kill(client)
    assert client.km.provisioner is None


ODD = (
    "a = 1\n%time b = 2",
    "a = 1\n!ls",
    "a = 1\nb = !ls",
    "a = 1\nb = %who",
    "a = 1\na?",
    "a = 1\n/print a",
    "a = 1\n, print a",
    "a = 1\n;b c",
    "%%bash\nls",
    "In [1]: a = 1\n   ...: b = 2",
    ">>> a = 1\n>>> b = 2",
    "\n\na = 1",
    "    a = 1\n    b = 2",
    "x = (7\n% 3)",
    "a = '''\n%x\n'''",
    "a = '''\n",
    "def f(:\n  pass",
    "a = 1\r\nb = 2",
    "a = 1\x0cb\nc = 2",
    "who\n",
    "ls",
    "print 1",
    "print = 1",
    "a =1",
    "a = 1;",
    "a == 1",
    "a = print",
    "a = 1\n\n  \n",
    "",
)


def test_a_cell_passed_on_as_it_is_is_what_the_shell_makes_of_it():
    """Held to the shell's own reading, for all that is printed and for cells meant to be read otherwise."""
    shell = InteractiveShell(config=Config({"HistoryManager": {"enabled": False}}))
    sources = [*ODD, *(f"{line} = 3" for line in ("a", "who", "_"))]
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            cells = printer.solution_notebook(topic, exercise)["cells"]
            sources += [cell["source"] for cell in cells if cell["cell_type"] == "code"]
    passed_on = [source for source in sources if as_it_is(source)]
    assert len(passed_on) > 500
    for source in passed_on:
        assert shell.transform_cell(source) == as_it_is(source)


def test_each_sheet_starts_with_an_empty_namespace(runner):
    first, second = runner.run(
        [
            Sheet(
                "first",
                (
                    Cell("import matplotlib\nmatplotlib.rcParams['figure.dpi'] = 33\nleftover = 1"),
                    Cell("", report=("leftover",)),
                ),
            ),
            Sheet(
                "second",
                (
                    Cell("", report=("leftover",)),
                    Cell("import matplotlib\ndpi, seen = matplotlib.rcParams['figure.dpi'], len(Out)"),
                    Cell("", report=("dpi", "seen")),
                ),
            ),
        ]
    )
    assert first.cells[1].answers == {"leftover": 1}
    assert second.cells[0].unreadable == {"leftover": "missing"}
    assert second.cells[2].answers["dpi"] != 33
    assert second.cells[2].answers["seen"] == 0


def test_a_cell_over_its_time_is_stopped_and_the_next_one_runs(runner):
    (sheet,) = runner.run(
        [Sheet("slow", (Cell("import time\ntime.sleep(30)"), Cell("a = 1"), Cell("", report=("a",))))],
        Limits(cell_seconds=1.4),
    )
    assert [cell.status for cell in sheet.cells] == ["stopped", "ok", "reported"]
    assert sheet.cells[2].answers == {"a": 1}


def test_a_sheet_that_ends_its_process_keeps_what_came_before_and_leaves_the_next_sheet_alone(runner):
    first, second = runner.run(
        [
            Sheet("first", (Cell("a = 1"), Cell("", report=("a",)), Cell("import os\nos._exit(1)"), Cell("b = 1"))),
            Sheet("second", (Cell("c = 2"), Cell("", report=("c",)))),
        ]
    )
    assert first.ended == "crashed"
    assert [cell.status for cell in first.cells] == ["ok", "reported", "not reached", "not reached"]
    assert first.cells[1].answers == {"a": 1}
    assert (second.ended, second.cells[1].answers) == ("finished", {"c": 2})


def test_a_topic_without_sheets_and_a_sheet_without_cells_are_simply_finished(runner):
    assert runner.run([]) == ()
    (sheet,) = runner.run([Sheet("empty", ())])
    assert (sheet.cells, sheet.ended) == ((), "finished")
