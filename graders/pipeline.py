"""Every nbgrader setting and step of ours: what `nbgrader autograde` and the formgrader's button do in a cohort."""

import atexit
import json
import os
import sys
from functools import cache, lru_cache
from pathlib import Path

import nbformat
import nh3
from nbgrader.preprocessors import NbGraderPreprocessor

from graders import printer, sheets, submission
from graders.folder import Cohort
from graders.problems import Problem
from graders.record import Handed, Record
from graders.runner import contained

CONFIG = """\
# nbgrader's settings for this cohort. Written by `graders handout`; change cohort.toml instead.
c = get_config()

c.CourseDirectory.course_id = ""
c.CourseDirectory.root = {root!r}
c.CourseDirectory.feedback_directory = "feedback"
c.ClearSolutions.code_stub = {{"python": ""}}
c.ClearSolutions.text_stub = {text_stub!r}

from graders.pipeline import late_policy

c.LateSubmissionPlugin.penalty_method = late_policy({root!r})
c.Autograde.create_student = False
c.Autograde.sanitize_preprocessors = [
    "nbgrader.preprocessors.ClearOutput",
    "graders.pipeline.Restore",
    "nbgrader.preprocessors.OverwriteKernelspec",
    "nbgrader.preprocessors.OverwriteCells",
    "graders.pipeline.OwnGivens",
    "nbgrader.preprocessors.CheckCellMetadata",
]
c.Autograde.autograde_preprocessors = [
    "graders.pipeline.ContainedExecute",
    "nbgrader.preprocessors.LimitOutput",
    "nbgrader.preprocessors.SaveAutoGrades",
    "nbgrader.preprocessors.AssignLatePenalties",
    "nbgrader.preprocessors.CheckCellMetadata",
    "graders.pipeline.Harmless",
]
"""


def config_text(cohort: Cohort) -> str:
    """Return the cohort's nbgrader_config.py."""
    return CONFIG.format(root=str(cohort.root), text_stub=printer.TEXT_STUB)


def late_policy(root: str) -> str:
    """Return what cohort.toml says of late hand-ins, for nbgrader's own plugin."""
    return Cohort.open(Path(root)).settings().late


def put_interpreter_on_path() -> None:
    """Let nbgrader find `alembic` by bare name where the environment is not activated."""
    folder = str(Path(sys.executable).parent)
    if folder not in os.environ.get("PATH", "").split(os.pathsep):
        os.environ["PATH"] = folder + os.pathsep + os.environ.get("PATH", "")


@cache
def _record(path: Path, changed: float) -> Record:
    return Record(path)


def _cohort(resources) -> Cohort:
    """Return the cohort nbgrader is working in."""
    return Cohort.open(Path(resources["nbgrader"]["db_url"].removeprefix("sqlite:///")).parent)


def handed(resources) -> Handed:
    """Return what was handed out for the notebook nbgrader is working on, or raise Problem."""
    nbgrader, cohort = resources["nbgrader"], _cohort(resources)
    known = _record(cohort.record, cohort.record.stat().st_mtime)
    exercise = printer.exercise_of(nbgrader["notebook"])
    one = known.find(nbgrader["student"], nbgrader["assignment"], exercise)
    if one is None:
        raise Problem(
            f"{nbgrader['student']} / {nbgrader['assignment']}: nothing was handed out as {nbgrader['notebook']}.",
            "look at the learner's id and the file's name",
        )
    return one


class Restore(NbGraderPreprocessor):
    """Bring a submission into our shape before nbgrader reads its metadata: repeated and foreign ids would stop it."""

    def preprocess(self, nb, resources):
        ours = handed(resources)
        regular = submission.parse(json.dumps(nb))
        restored = submission.restore(regular, ours.topic, sheets.find(ours.topic, ours.exercise), ours.givens)
        for note in restored.notes:
            self.log.warning("%s / %s: %s", ours.learner, ours.notebook, note)
        return nbformat.from_dict(restored.notebook), resources


class OwnGivens(NbGraderPreprocessor):
    """Put the record's numbers into the givens cell and the marking cells. After OverwriteCells, which puts back the
    printed text with the worked numbers."""

    def preprocess(self, nb, resources):
        ours = handed(resources)
        exercise = sheets.find(ours.topic, ours.exercise)
        for cell in nb.cells:
            part = submission.marked_part(cell, exercise)
            if part is not None and cell.cell_type == "code":
                cell.source = printer.marking_source(ours.topic, exercise, part, ours.givens)
        return nb, resources


@cache
def _sandbox():
    """Return this process's sandbox; nbgrader runs one notebook at a time, and starting one takes a second."""
    reason = contained.why_not()
    if reason:
        raise Problem(f"notebooks cannot be run contained here: {reason}", "mark on Linux with user namespaces")
    sandbox = contained.Contained()
    sandbox.__enter__()
    atexit.register(sandbox.__exit__, None, None, None)
    return sandbox


class ContainedExecute(NbGraderPreprocessor):
    """Run the notebook contained, judge its answers here, and write the points where nbgrader looks for them."""

    def preprocess(self, nb, resources):
        ours = handed(resources)
        exercise = sheets.find(ours.topic, ours.exercise)
        run = submission.sheet(ours.notebook, nb, exercise)
        policy = _cohort(resources).settings().fresh_numbers
        if policy == "flag":
            (outcome,) = _sandbox().run((run,))
            return _as_nodes(submission.judged(nb, exercise, ours.givens, outcome)), resources
        again = submission.with_givens(run, exercise, ours.givens, ours.fresh)
        outcome, second = _sandbox().run((run, again))
        second_run = submission.Fresh(ours.changing, second, policy)
        return _as_nodes(submission.judged(nb, exercise, ours.givens, outcome, second_run)), resources


def _as_nodes(judged: submission.Judged):
    """Return a judged notebook as nbgrader's later steps read it."""
    return nbformat.from_dict(judged.notebook)


PICTURES = ("image/png", "image/jpeg")
TEXTS = ("text/plain", "text/latex")


def harmless(notebook):
    """Return the notebook with every learner's HTML, in outputs and in texts, made harmless, in place.

    Texts and HTML lose scripts, handlers and whatever fetches; kinds of output that could run are dropped.
    """
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown":
            cell["source"] = clean(cell["source"])
        for output in cell.get("outputs", ()):
            if "data" in output:
                shown = {kind: data for kind, data in output["data"].items() if kind in SHOWN}
                output["data"] = {kind: _clean_output(kind, data) for kind, data in shown.items()}
    return notebook


SHOWN = (*PICTURES, *TEXTS, "text/html", "text/markdown")


def _clean_output(kind: str, data):
    return clean(data) if kind in ("text/html", "text/markdown") and isinstance(data, str) else data


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """Return text whose HTML shows and does nothing: no script, no handler, no style, nothing fetched.

    >>> clean('<b onclick="x()">2 < 3</b><script>x()</script><img src="https://elsewhere">')
    '<b>2 &lt; 3</b>'
    """
    if "<" not in text and "&" not in text:  # no tag and no sign for one: there is nothing to clean
        return text
    return nh3.clean(text, tags=nh3.ALLOWED_TAGS - {"img"}, url_schemes={"https", "http", "mailto"})


class Harmless(NbGraderPreprocessor):
    """Make a learner's HTML harmless before an instructor's browser sees it. Last, after every checksum was used."""

    def preprocess(self, nb, resources):
        return harmless(nb), resources
