"""The steps of ours in nbgrader's own marking: `nbgrader autograde` and the formgrader's button go through them too."""

import atexit
import json
from functools import cache
from pathlib import Path

import nbformat
from nbgrader.preprocessors import NbGraderPreprocessor
from sqlalchemy.engine import make_url

from graders import sheets
from graders.cohort import entered
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.notebooks import printer, sanitise, submission
from graders.questions import editions
from graders.runner import contained
from workbook.problems import Problem
from workbook.topics import by_slug


@cache
def _record(path: Path, changed: float) -> HandoutRecord:
    return HandoutRecord(path)


def _cohort(resources) -> Cohort:
    """Return the cohort nbgrader is working in."""
    return Cohort.open(Path(make_url(resources["nbgrader"]["db_url"]).database).parent)


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
    if not editions.asks_as_handed_out(sheets.find(one.topic, one.exercise), one.topic, one.edition):
        raise Problem(
            f"{one.topic}/{one.exercise} was asked otherwise by version {one.version}; it is not marked here.",
            "mark it with the version that asked it, in an environment of its own",
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
        cohort = _cohort(resources)
        policy = cohort.settings().fresh_numbers
        if policy == "flag" or entered.is_from_paper(cohort, ours):
            (outcome,) = _sandbox().run((run,))
            return _as_nodes(submission.judged(nb, exercise, ours.givens, outcome)), resources
        again = submission.with_givens(run, exercise, ours.givens, ours.fresh)
        outcome, second = _sandbox().run((run, again))
        second_run = submission.Fresh(ours.fresh, ours.changing, second, policy)
        return _as_nodes(submission.judged(nb, exercise, ours.givens, outcome, second_run)), resources


def _as_nodes(judged: submission.Judged):
    """Return a judged notebook as nbgrader's later steps read it."""
    return nbformat.from_dict(judged.notebook)


class Harmless(NbGraderPreprocessor):
    """Make a learner's HTML harmless before an instructor's browser sees it. Last, after every checksum was used."""

    def preprocess(self, nb, resources):
        ours = handed(resources)
        printed = printer.texts(by_slug(ours.topic), sheets.find(ours.topic, ours.exercise), ours.givens, ours.orders)
        return sanitise.harmless(nb, printed), resources
