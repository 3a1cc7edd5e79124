"""Whatever goes wrong with one topic, wherever it goes wrong: one line that needs a look, and everybody else's marks.

Each row lets a step of marking fail for amber alone. What fails for everybody, a full disk or Ctrl-C, ends the marking.
"""

import contextlib
import errno
import json
import os
import shutil
import sqlite3

import pytest
from sqlalchemy.exc import IntegrityError, OperationalError

from graders.cohort import arrival
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.gradebook import bulk, manual_marks
from graders.inbox import filing
from graders.marking import journal, mark_submission, plan
from graders.marking import run as marking
from graders.marking.pool import Pool
from graders.notebooks import sanitise, submission
from graders.questions.verdicts import Code
from graders.runner.contained import CannotContain
from tests.graders.cohorts import all_rows, keep_only, scores
from workbook.problems import Problem

SIBLINGS = ("birch", "cedar")
EXERCISE, NOTEBOOK = "bead-lag", "04_bead-lag"
HERS = "# amber was here"
TOPIC, ONE, NONE = "the whole topic", "the one notebook", "no mark"

STEPS = {
    "planning": (plan, "digest_of", NONE),
    "hashing the settings": (plan, "_settings_digest", NONE),
    "listing the folder": (arrival, "notebooks", TOPIC),
    "reading": (submission, "text_of", ONE),
    "reading its cells": (submission, "parse", ONE),
    "restoring": (submission, "restore", ONE),
    "making ready to run": (submission, "sheet", TOPIC),
    "drawing fresh numbers": (submission, "with_givens", TOPIC),
    "running": (None, "run", TOPIC),
    "judging": (submission, "judged", ONE),
    "judging a part": (submission, "judge_part", ONE),
    "collecting answers": (submission, "answers_written", ONE),
    "the second run": (mark_submission.second_run, "findings", ONE),
    "making harmless": (sanitise, "harmless", NONE),
    "writing the safe copy": (mark_submission, "write_whole", NONE),
    "putting it together": (mark_submission, "_basis", TOPIC),
    "the time it came": (arrival, "_small_plain_file", NONE),
    "the gradebook": (bulk, "_add", NONE),
    "the journal": (journal, "line", TOPIC),
}
"""The step, the function that fails in it, and what that costs."""

UNSEEN = ("planning", "hashing the settings", "the time it came")
"""Steps after whose failure all is marked all the same."""

ERRORS = {
    "a wrong value": ValueError("no\x1b[2J number\n"),
    "no memory": MemoryError(),
    "too deep": RecursionError("maximum recursion depth exceeded"),
    "half a letter": UnicodeEncodeError("utf-8", "\ud800", 0, 1, "surrogates not allowed"),
    "a bug": AttributeError("'NoneType' object has no attribute 'points'"),
    "no permission": PermissionError(errno.EACCES, "Permission denied"),
    "a claim": AssertionError(),
}
EVERYBODYS = {
    "a full disk": OSError(errno.ENOSPC, "No space left on device"),
    "a disk that fails": OSError(errno.EIO, "Input/output error"),
    "Ctrl-C": KeyboardInterrupt(),
}


class Remembering:
    """A sandbox that runs equal notebooks once; a step may be made to fail in it."""

    def __init__(self, sandbox):
        self.sandbox, self.known, self.error = sandbox, {}, None

    def run(self, sheets, limits):
        if self.error is not None and HERS in repr(sheets):
            raise self.error
        if sheets not in self.known:
            self.known[sheets] = self.sandbox.run(sheets, limits=limits)
        return self.known[sheets]


@pytest.fixture(scope="module")
def remembering(sandbox):
    return Remembering(sandbox)


@pytest.fixture(scope="module")
def handed_in(made, tmp_path_factory):
    """Amber and two siblings, two notebooks each; amber's bead-lag is told apart by a remark in its answers."""
    root = tmp_path_factory.mktemp("faults") / "spring"
    shutil.copytree(made.root, root)
    cohort = Cohort.open(root)
    keep_only(cohort, "amber", *SIBLINGS)
    for path in (root / "submitted").rglob("*.ipynb"):
        if path.stem not in (NOTEBOOK, "01_read-the-log"):
            path.unlink()
    path = cohort.submitted("amber", "profile") / f"{NOTEBOOK}.ipynb"
    notebook = json.loads(path.read_text())
    for cell in notebook["cells"]:
        if cell["id"].endswith("-answer"):
            cell["source"] += f"\n{HERS}"
    path.write_text(json.dumps(notebook))
    return cohort


@pytest.fixture
def cohort(handed_in, tmp_path, remembering):
    remembering.error = None
    shutil.copytree(handed_in.root, tmp_path / "spring")
    return Cohort.open(tmp_path / "spring")


@pytest.fixture(scope="module")
def peace(handed_in, tmp_path_factory, remembering):
    """The marks of everyone where nothing goes wrong."""
    shutil.copytree(handed_in.root, root := tmp_path_factory.mktemp("peace") / "spring")
    cohort = Cohort.open(root)
    assert mark(cohort, remembering).problems == ()
    return {who: marks(cohort, who) for who in ("amber", *SIBLINGS)}


def mark(cohort, remembering):
    return marking.mark(cohort, Pool(lambda: contextlib.nullcontext(remembering), alone=True))


def marks(cohort, learner):
    return sorted(row.as_tuple() for row in all_rows(cohort) if row.learner == learner)


def fail(patch, cohort, remembering, step, error):
    """Let a step fail for amber's bead-lag, or for her topic, and for nobody else."""
    place, name, cost = STEPS[step]
    if place is None:
        remembering.error = error
        return
    whole, givens = getattr(place, name), HandoutRecord(cohort.record).find("amber", "profile", EXERCISE).givens

    answers = {manual_marks.digest(cell["source"]) for cell in her_cells(cohort) if cell["id"].endswith("-answer")}

    def is_hers(*arguments):
        if name == "_basis":
            return not answers.isdisjoint(arguments[1].values())
        if name == "judge_part":
            return arguments[0].id == EXERCISE and arguments[2] == givens
        if name in ("parse", "sheet", "with_givens"):
            return HERS in repr(arguments)
        if name == "line" and arguments[0].digest == journal.AT_FAULT:
            return False  # what stands for marks that cannot be written down
        return "amber" in repr(arguments) and (
            cost == TOPIC or name == "_small_plain_file" or EXERCISE in repr(arguments)
        )

    def failing(*arguments, **named):
        if is_hers(*arguments):
            failed.append(name)
            raise error
        return whole(*arguments, **named)

    failed = []
    patch.setattr(place, name, failing)
    return failed


def her_cells(cohort):
    """Return the cells of amber's bead-lag as she handed it in."""
    return json.loads((cohort.submitted("amber", "profile") / f"{NOTEBOOK}.ipynb").read_text())["cells"]


def error_of(step):
    """Return an error for a step: each gets another, so that each error falls somewhere."""
    return list(ERRORS.values())[list(STEPS).index(step) % len(ERRORS)]


@pytest.mark.parametrize("step", STEPS)
def test_a_step_that_fails_for_one_costs_that_one_only(step, cohort, remembering, peace, monkeypatch):
    with monkeypatch.context() as patch:
        failed = fail(patch, cohort, remembering, step, error_of(step))
        summary = mark(cohort, remembering)
        assert failed is None or failed, "the step was never reached"
    assert_costs(step, cohort, summary, peace)
    remembering.error = None
    assert mark(cohort, remembering).problems == ()
    assert {who: marks(cohort, who) for who in peace} == peace
    assert scores(cohort)["amber", NOTEBOOK, "time_constant"] == (2.0, False)


def assert_costs(step, cohort, summary, peace):
    cost = STEPS[step][2]
    assert {who: marks(cohort, who) for who in SIBLINGS} == {who: peace[who] for who in SIBLINGS}
    assert {learner for learner, _, part in scores(cohort) if part == "lag"} >= set(SIBLINGS)
    hers = [row for row in all_rows(cohort) if row.learner == "amber"]
    fallen = {row.exercise for row in hers if row.verdict is Code.NEEDS_A_LOOK}
    assert fallen == {NONE: set(), ONE: {EXERCISE}}.get(cost, {one.exercise for one in of_amber(cohort)})
    assert not any(row.points for row in hers if row.exercise in fallen)
    if cost == NONE:
        assert marks(cohort, "amber") == peace["amber"]
    if step not in UNSEEN:
        (line,) = summary.problems
        assert line.startswith("amber / profile / ")
        assert "needs a look" in line
        assert line.isprintable()


def of_amber(cohort):
    return HandoutRecord(cohort.record).by_topic("amber")["profile"]


@pytest.mark.parametrize("error", ERRORS)
@pytest.mark.parametrize("step", ["judging", "the gradebook"])
def test_every_kind_of_error_costs_that_one_only(step, error, cohort, remembering, peace, monkeypatch):
    fail(monkeypatch, cohort, remembering, step, ERRORS[error])
    assert_costs(step, cohort, mark(cohort, remembering), peace)


@pytest.mark.parametrize("error", EVERYBODYS)
@pytest.mark.parametrize("step", [step for step in STEPS if step not in ("the time it came",)])
def test_what_goes_wrong_for_everybody_ends_the_marking(step, error, cohort, remembering, monkeypatch):
    with monkeypatch.context() as patch:
        fail(patch, cohort, remembering, step, EVERYBODYS[error])
        with pytest.raises(type(EVERYBODYS[error])) as raised:
            mark(cohort, remembering)
    assert raised.value is EVERYBODYS[error]
    assert not cohort.journal.exists()


def test_a_machine_that_cannot_contain_ends_the_marking(cohort, remembering, monkeypatch):
    fail(monkeypatch, cohort, remembering, "running", CannotContain("user namespaces are forbidden"))
    with pytest.raises(CannotContain):
        mark(cohort, remembering)


def test_a_locked_gradebook_ends_the_marking_in_one_line(cohort, remembering, monkeypatch):
    locked = OperationalError("insert", {}, sqlite3.OperationalError("database is locked"))
    fail(monkeypatch, cohort, remembering, "the gradebook", locked)
    with pytest.raises(Problem, match="database is locked"):
        mark(cohort, remembering)


def test_what_the_database_refuses_of_one_is_that_ones(cohort, remembering, peace, monkeypatch):
    twice = IntegrityError("insert", {}, sqlite3.IntegrityError("UNIQUE constraint failed"))
    fail(monkeypatch, cohort, remembering, "the gradebook", twice)
    summary = mark(cohort, remembering)
    assert_costs("the gradebook", cohort, summary, peace)
    assert "UNIQUE constraint failed" in summary.problems[0]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may look everywhere: run as an ordinary user to see this")
def test_a_folder_nobody_may_look_into_needs_a_look(cohort, remembering, peace):
    cohort.submitted("amber", "profile").chmod(0)
    assert_costs("listing the folder", cohort, mark(cohort, remembering), peace)


@pytest.mark.parametrize("error", ERRORS)
def test_a_notebook_that_cannot_be_filed_costs_itself_only(error, cohort, monkeypatch, tmp_path):
    inbox = shutil.copytree(cohort.handout("amber"), tmp_path / "inbox")
    whole = filing.write_whole
    fails = cohort.submitted("amber", "profile") / "02_cold-junction.ipynb"

    def failing(path, content, changed=None):
        if path == fails:
            raise ERRORS[error]
        whole(path, content, changed)

    monkeypatch.setattr(filing, "write_whole", failing)
    filed = filing.file_all(cohort, [inbox])
    (line,) = filed.unread
    assert "02_cold-junction.ipynb: could not be filed" in line
    assert filed.filed == len(handed_notebooks(inbox)) - 3  # two are there already, answered


def handed_notebooks(folder):
    return list(folder.rglob("*.ipynb"))
