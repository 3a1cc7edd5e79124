"""Whatever goes wrong with one topic, wherever it goes wrong: one line that needs a look, and everybody else's marks.

Each row lets a step of marking fail for amber alone. What fails for everybody, a full disk or Ctrl-C, ends the marking.
"""

import contextlib
import errno
import json

import pytest
from cohorts import keep_only, scores

from graders.cohort import arrival
from graders.cohort.paths import Cohort
from graders.gradebook import nbgrader_book
from graders.handout import handing_out
from graders.inbox import filing
from graders.marking import journal, mark_submission, plan, rows
from graders.marking import run as marking
from graders.marking.pool import Pool
from graders.notebooks import sanitise, submission
from graders.questions.verdicts import Code
from graders.runner.contained import CannotContain

SIBLINGS = ("birch", "cedar")
EXERCISE, NOTEBOOK = "bead-lag", "04_bead-lag"
TOPIC, ONE, NONE = "the whole topic", "the one notebook", "no mark"

STEPS = {
    "planning": (plan, "digest_of", NONE),
    "hashing the settings": (plan, "_settings_digest", NONE),
    "listing the folder": (arrival, "notebooks", TOPIC),
    "reading": (submission, "read", ONE),
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
    "the gradebook": (nbgrader_book, "_write_new", NONE),
    "the gradebook's session": (nbgrader_book, "insert", NONE),
    "the journal": (journal, "line", TOPIC),
}
"""The step, the function that fails in it, and what that costs."""

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
        if self.error is not None and "amber" in repr(sheets):
            raise self.error
        if sheets not in self.known:
            self.known[sheets] = self.sandbox.run(sheets, limits=limits)
        return self.known[sheets]


@pytest.fixture(scope="module")
def remembering(sandbox):
    return Remembering(sandbox)


@pytest.fixture
def cohort(fresh):
    """Amber and two siblings, two notebooks each; amber's bead-lag is told apart by a remark in every cell."""
    keep_only(fresh, "amber", *SIBLINGS)
    for path in (fresh.root / "submitted").rglob("*.ipynb"):
        if path.stem not in (NOTEBOOK, "01_read-the-log"):
            path.unlink()
    path = fresh.submitted("amber", "profile") / f"{NOTEBOOK}.ipynb"
    notebook = json.loads(path.read_text())
    for cell in notebook["cells"]:
        if cell["id"].endswith("-answer"):
            cell["source"] += "\n# amber was here"
    path.write_text(json.dumps(notebook))
    return fresh


@pytest.fixture
def mark(cohort, remembering):
    remembering.error = None
    return lambda: marking.mark(cohort, Pool(lambda: contextlib.nullcontext(remembering), alone=True))


def marks(cohort, *learners):
    return sorted(row.as_tuple() for row in rows.all_rows(cohort) if row.learner in learners)


def fail(monkeypatch, remembering, step, error):
    """Let a step fail for amber's bead-lag, or for her topic, and for nobody else."""
    place, name, _ = STEPS[step]
    if place is None:
        remembering.error = error
        return
    whole = getattr(place, name)

    def failing(*arguments, **named):
        told = " ".join(map(repr, (*arguments, *named.values())))
        about = "amber was here" if name in ("read", "parse") else "amber"
        if name == "read":
            told += arguments[0].read_text()
        if about in told or (name == "insert" and len(failing.students) == 1):
            raise error
        return whole(*arguments, **named)

    failing.students = []
    monkeypatch.setattr(place, name, failing)
