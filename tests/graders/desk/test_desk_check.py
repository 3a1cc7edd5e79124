"""The learner's own check: the same verdicts as marking, on the saved file, without touching the learner's session."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from graders import desk, sheets
from graders.demo import learners
from graders.desk import check_cell, checking, feedback, inprocess, render
from graders.notebooks import printer, submission
from graders.questions.parts.written import Written
from graders.runner.job import Cell, Limits, Sheet
from workbook import progress
from workbook.problems import Problem
from workbook.topics import by_slug

BEAD = sheets.find("profile", "bead-lag")
NAME = printer.notebook_name(BEAD) + ".ipynb"


def notebook(answers, exercise=BEAD, givens=None):
    """Return the text of an exercise with these answer cells."""
    made = json.loads(printer.text_of(printer.exercise_notebook(by_slug("profile"), exercise, givens)))
    for cell in made["cells"]:
        name = cell["id"].removesuffix("-answer")
        if cell["id"].endswith("-answer") and name in answers:
            cell["source"] = answers[name]
    return json.dumps(made)


@pytest.fixture(autouse=True)
def own_progress(tmp_path_factory, monkeypatch):
    monkeypatch.setattr(progress, "file", lambda: tmp_path_factory.getbasetemp() / "data" / "progress.jsonl")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("JPY_SESSION_NAME", raising=False)
    return tmp_path


def checked(folder, answers):
    (folder / NAME).write_text(notebook(answers), encoding="utf-8")
    return checking.check(folder / NAME)


def verdicts(check):
    return {verdict.part: verdict.verdict for verdict in check.verdicts}


@pytest.fixture
def published(monkeypatch):
    """What the closing cell shows, as (HTML, text)."""
    seen = []
    monkeypatch.setattr(check_cell, "_publish", lambda html, text: seen.append((html, text)))
    return seen


HABITS = ("amber", "birch", "cedar", "dahlia", "elder", "fern")


@pytest.mark.parametrize("exercise", sheets.exercises("profile"), ids=lambda exercise: exercise.id)
def test_every_verdict_is_that_of_marking(folder, sandbox, exercise):
    givens = json.loads(json.dumps(exercise.draw(b"secret", "ada")))
    for habit in HABITS:
        text = notebook(dict(learners.HABITS[habit][1](exercise, givens)), exercise, givens)
        (folder / "x.ipynb").write_text(text, encoding="utf-8")
        restored = submission.restore(submission.parse(text), "profile", exercise, givens)
        (outcome,) = sandbox.run([submission.sheet("x", restored.notebook, exercise)])
        marked = submission.judged(restored.notebook, exercise, givens, outcome)
        assert checking.check(folder / "x.ipynb").verdicts == marked.verdicts, habit


def test_the_givens_of_the_notebook_are_used_not_the_printed_ones(folder):
    givens = BEAD.draw(b"secret", "ada")
    key = BEAD.key(givens)
    (folder / NAME).write_text(notebook({"lag": f"lag = {key['lag']!r}"}, BEAD, givens), encoding="utf-8")
    assert verdicts(checking.check(folder / NAME))["lag"] == "right"
    assert key["lag"] != pytest.approx(BEAD.key(BEAD.worked())["lag"], rel=0.04)


def test_an_error_in_one_answer_is_one_plain_line_and_hides_no_other(folder):
    check = checked(folder, {"time_constant": "time_constant = 0.94 s", "reads": "reads = 'too hot'"})
    assert verdicts(check)["reads"] == "right"
    assert check.errors == {
        "time_constant": "Write the number alone, in the unit that the question asks for. Leave out s."
    }
    assert "Traceback" not in render.text(check)


def test_a_line_that_fails_below_a_right_answer_is_not_told(folder):
    key = BEAD.key(BEAD.worked())
    check = checked(folder, {"lag": f"lag = {key['lag']!r}\nlag = no_such_name"})
    assert verdicts(check)["lag"] == "right"
    assert check.errors["lag"] not in render.text(check)


def test_points_that_wait_for_the_instructor_are_said_beside_the_total(folder):
    exercise = sheets.find("signoff", "sign-the-board")
    (written,) = (part for part in exercise.parts if isinstance(part, Written))
    text = printer.text_of(printer.solution_notebook(by_slug("signoff"), exercise))
    (folder / "x.ipynb").write_text(text, encoding="utf-8")
    total = f"{exercise.points - written.points} of {exercise.points} points"
    assert f"{total}; {written.points} wait for your instructor." in render.text(checking.check(folder / "x.ipynb"))


def test_a_cell_that_never_ends_is_stopped_and_the_next_one_still_counts():
    sheet = Sheet("x", (Cell("while True:\n    pass"), Cell("b = 2"), Cell("", ("b",))))
    endless, _, read = inprocess.run(sheet, Limits(cell_seconds=2)).cells
    assert endless.status == "stopped"
    assert read.answers == {"b": 2}


def test_a_cell_that_will_not_stop_ends_the_check_and_what_came_before_it_counts(monkeypatch):
    monkeypatch.setattr(inprocess, "PATIENCE", 1)
    deaf = "import time\nuntil = time.time() + 6\nwhile time.time() < until:\n    try:\n        time.sleep(0.05)\n"
    deaf += "    except BaseException:\n        pass"
    sheet = Sheet("x", (Cell("a = 1"), Cell("", ("a",)), Cell(deaf), Cell("", ("a",))))
    outcome = inprocess.run(sheet, Limits(cell_seconds=2))
    assert outcome.ended == "time"
    assert [cell.status for cell in outcome.cells] == ["ok", "reported", "stopped", "not reached"]
    assert outcome.cells[1].answers == {"a": 1}


def test_a_cell_is_run_as_a_kernel_runs_it():
    source = "a = 1\n%time b = 2\nimport asyncio\nawait asyncio.sleep(0)\nc = 3\nreturn"
    outcome = inprocess.run(Sheet("x", (Cell(source), Cell("", ("a", "b", "c")))))
    assert outcome.cells[1].answers == {"a": 1, "b": 2, "c": 3}
    assert outcome.cells[0].status == "error"


def test_shell_commands_and_questions_are_refused_as_in_marking():
    outcome = inprocess.run(Sheet("x", (Cell("!echo hello"), Cell("input()"))))
    assert [cell.status for cell in outcome.cells] == ["error", "error"]


def test_a_check_prints_nothing_opens_no_figure_and_leaves_folder_and_settings_alone(folder, capsys):
    import matplotlib

    matplotlib.use("agg")
    import matplotlib.pyplot as plt

    mine = plt.figure().number
    width = matplotlib.rcParams["lines.linewidth"]
    loud = (
        "print('loud')\nimport matplotlib.pyplot as plt\nplt.rcParams['lines.linewidth'] = 9\nplt.plot([1]); plt.show()"
    )
    checked(folder, {"lag": loud + "\nopen('left.txt', 'w').close()\nlag = 1"})
    assert capsys.readouterr() == ("", "")
    assert plt.get_fignums() == [mine]
    assert matplotlib.rcParams["lines.linewidth"] == width
    assert Path.cwd() == folder
    assert [path.name for path in folder.iterdir()] == [NAME]
    plt.close(mine)


def test_checking_twice_changes_nothing(folder):
    first = checked(folder, {"lag": "lag = 7"})
    before = (folder / NAME).read_bytes()
    assert checking.check(folder / NAME) == first
    assert (folder / NAME).read_bytes() == before


def test_the_closing_cell_is_silent_where_nbgrader_runs_the_notebook(folder, monkeypatch, published, capsys):
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    desk.check(NAME)
    assert published == []
    assert capsys.readouterr() == ("", "")


def test_a_renamed_notebook_is_found_by_what_it_says_of_itself(folder):
    (folder / "mine.ipynb").write_text(notebook({}), encoding="utf-8")
    (folder / "other.ipynb").write_text(notebook({}, sheets.find("profile", "cold-junction")), encoding="utf-8")
    assert check_cell.find(NAME) == folder / "mine.ipynb"


def test_the_notebook_the_kernel_was_started_for_goes_before_another_of_that_name(folder, monkeypatch):
    (folder / NAME).write_text(notebook({}), encoding="utf-8")
    (folder / "copy.ipynb").write_text(notebook({}), encoding="utf-8")
    monkeypatch.setenv("JPY_SESSION_NAME", str(folder / "copy.ipynb"))
    assert check_cell.find(NAME) == folder / "copy.ipynb"


@pytest.mark.parametrize(("seconds", "older"), [(5, True), (-5, False)])
def test_a_file_saved_before_the_last_run_of_another_answer_is_said_to_be_older(folder, monkeypatch, seconds, older):
    check = checked(folder, {"lag": "lag = 7"})
    runs = [(check.path.stat().st_mtime - 9, "lag = 7"), (check.path.stat().st_mtime + seconds, "lag = 99")]
    monkeypatch.setattr(check_cell.cell_history, "cells", runs)
    assert ("another answer in part 2" in check_cell.file_is_older(check)) is older


BAD_FILES = {
    "empty": b"",
    "cut off": notebook({}).encode()[:2000],
    "no JSON": b"hello",
    "no notebook": b"[1, 2]",
    "not UTF-8": b"\xff\xfe\x00",
    "no cells": b'{"nbformat": 4, "cells": 3}',
    "numbers removed": notebook({}).replace("diameter = ", "# ").encode(),
}


@pytest.mark.parametrize("kind", BAD_FILES)
def test_a_bad_file_gets_plain_words_and_a_next_step(folder, published, kind):
    (folder / NAME).write_bytes(BAD_FILES[kind])
    desk.check(NAME)
    ((html, text),) = published
    assert "could not be made" in text
    assert "What to do:" in text
    assert "Traceback" not in html


def test_a_missing_file_is_said(folder, published):
    desk.check(NAME)
    assert "no saved notebook" in published[0][1]


def test_a_notebook_of_another_kind_is_no_exercise(folder):
    (folder / "notes.ipynb").write_text('{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": []}')
    with pytest.raises(Problem, match="no exercise of this workbook"):
        checking.check(folder / "notes.ipynb")


def test_what_a_learner_wrote_is_text_on_the_page(folder):
    check = checked(folder, {"reads": "reads = '<script>1</script>'", "lag": "lag = <b>"})
    assert "<script" not in render.html(check)
    assert "<b>" not in render.html(check)


def test_a_check_needs_no_fork(folder):
    (folder / NAME).write_text(notebook({"lag": "lag = 1"}), encoding="utf-8")
    code = (
        "import os\n"
        "for name in ('fork', 'forkpty', 'register_at_fork'):\n    delattr(os, name) if hasattr(os, name) else None\n"
        "from pathlib import Path\nfrom graders.desk import checking\n"
        f"print(len(checking.check(Path({NAME!r})).verdicts))"
    )
    path = os.pathsep.join([str(Path(desk.__file__).parents[2]), os.environ.get("PYTHONPATH", "")])
    env = {**os.environ, "PYTHONPATH": path}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, timeout=120)
    assert done.stdout.strip() == str(len(BEAD.parts)), done.stderr


@pytest.fixture(scope="module")
def session(tmp_path_factory):
    """A kernel beside a saved exercise, as JupyterLab starts one; ``session(source)`` returns what it shows."""
    from jupyter_client.manager import start_new_kernel

    here = tmp_path_factory.mktemp("session")
    (here / NAME).write_text(notebook({"lag": "lag = 7"}), encoding="utf-8")
    manager, client = start_new_kernel(cwd=str(here), env={**os.environ, "XDG_DATA_HOME": str(here / "data")})

    def run(source):
        shown_texts = []

        def take(message):
            content = message["content"]
            text = content.get("data", {}).get("text/plain") or content.get("text") or content.get("evalue")
            if text:
                shown_texts.append(text)

        client.execute_interactive(source, output_hook=take, timeout=60)
        return "\n".join(shown_texts)

    yield run
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def test_cells_run_out_of_order_do_not_change_what_the_file_would_earn(session):
    last = printer.closing_source(NAME.removesuffix(".ipynb"))
    untouched = session(last)
    session("reads = 'too hot'\ndensity = 1\nlag = 99")
    again = session(last)
    assert "lag: not right" in untouched
    assert untouched in again
    assert "The saved file has another answer in part 2" in again
    assert session("print(lag, density)") == "99 1\n"


def test_a_check_tells_its_verdict_where_its_page_cannot_be_written(folder, monkeypatch):
    def refused(*_):
        raise Problem("the folder cannot be written", "")

    monkeypatch.setattr(feedback, "write_whole", refused)
    (folder / NAME).write_text(notebook({}), encoding="utf-8")
    told = feedback.check(Path(NAME))
    assert next(told).startswith("0 of ")
    with pytest.raises(Problem):
        next(told)
