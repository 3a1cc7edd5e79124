"""`workbook check`: one notebook marked at home, with the page an instructor's marking would write."""

import os
from collections.abc import Iterator
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

from graders.desk import checking, log_result, render
from graders.desk.checking import Checked, printer
from graders.judging.marks import ExercisePage, PartPage, Row
from graders.report import feedback_page as page
from workbook.problems import Problem
from workbook.server import folder
from workbook.server.folder import about, write_whole


def check(path: Path) -> Iterator[str]:
    """Check a notebook, write its page beside it, and yield the lines to print.

    Where no such file is, it is the name of an exercise in the learner's folder.
    """
    os.environ.setdefault("MPLBACKEND", "agg")  # a plot in an answer opens no window
    path = found(path)
    checked = checking.check(path)
    log_result.keep(checked)
    yield render.text(checked)  # told also where the page cannot be written
    target = path.with_suffix(".feedback.html")
    write_whole(target, html(checked).encode())
    yield f"Feedback page: {target}"


def found(path: Path) -> Path:
    """Return a notebook's file: the path itself, or the exercise it names in the learner's folder around it."""
    root = folder.default(Path.cwd())
    if path.exists() or path.is_symlink():
        return path
    if not (folder.is_learners(root) or folder.handout_topics(root)):
        raise Problem(
            f"There is no file {path}, and this is no learner's folder, where an exercise's name would do.",
            "go into your folder first (cd FOLDER), or name the notebook's file",
        )
    return folder.exercise(root, path.name)


def html(checked: Checked) -> str:
    """Return the feedback page. It shows no working: that would be the answers."""
    learner = str(about(checked.path).get("learner", "you"))
    exercise = checked.exercise
    parts = tuple(
        PartPage(
            ask=printer.filled(exercise.part(verdict.part).ask, exercise, checked.givens),
            answer=checked.sources.get(verdict.part, ""),
            row=Row(
                learner,
                checked.topic,
                exercise.id,
                verdict.part,
                verdict.points,
                verdict.out_of,
                verdict.verdict,
                verdict.flag,
                checked.errors.get(verdict.part, verdict.remark) if verdict.flag else verdict.remark,
            ),
        )
        for verdict in checked.verdicts
    )
    setup, drawn = printer.setup_text(exercise, checked.givens), exercise.drawn(checked.givens)
    shown = ExercisePage(exercise.title, setup, parts, drawn.html(style="") if drawn else "")
    when = f"at home, {datetime.now():%Y-%m-%d %H:%M}"
    edition = f"rework-workbook {version('rework-workbook')}"
    return page.page(learner, learner, checked.topic, [shown], when, edition)
