"""What tests do with a cohort: as an instructor would by hand, and what the gradebook then holds."""

import csv
import shutil
import subprocess
import sys
from pathlib import Path

from graders import gradebook
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.marking.journal import Journal
from graders.marking.marks_csv import Marks

NBGRADER = Path(sys.executable).parent / "nbgrader"
QUICK = (sys.executable, "-P", "-m", "workbook.quick_start", "nbgrader")
"""The same program, in half of the time it takes to start."""


def copied(cohort, root):
    """Return a copy of a cohort in a folder of its own, to change at will."""
    return Cohort.open(shutil.copytree(cohort.root, root))


def nbgrader(cohort, *arguments):
    """Run nbgrader in a cohort's folder, as an instructor would, with the environment not activated."""
    return subprocess.run(
        [*QUICK, *arguments],
        cwd=cohort.root,
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": "/usr/bin:/bin"},
        timeout=200,
    )


def keep_only(cohort, *learners):
    """Take away everyone else's submissions."""
    for folder in (cohort.root / "submitted").iterdir():
        if folder.name not in learners:
            shutil.rmtree(folder)


def rows_now(cohort):
    """Return everyone's marks, with what was given by hand standing over ours."""
    return [row for _, rows in Marks.of(cohort).by_learner() for row in rows]


def all_rows(cohort):
    """Return the judge's marks of everyone, with a row for every part not handed in by those who are still there."""
    marks = Marks(cohort, HandoutRecord(cohort.record), Journal(cohort.journal), {})
    return [row for _, rows in marks.by_learner() for row in rows]


def all_findings(cohort):
    """Return what the second runs with fresh numbers showed."""
    return [finding for result in Journal(cohort.journal) for finding in result.findings]


def scores(cohort):
    """Return what the gradebook holds: {(learner, exercise, part): score}."""
    from nbgrader.api import Grade

    with gradebook.of(cohort).opened() as book:
        return {
            (grade.notebook.assignment.student_id, grade.notebook.name, grade.cell.name): (
                grade.auto_score,
                grade.needs_manual_grade,
            )
            for grade in book.db.query(Grade)
        }


def exported(cohort):
    """Return what nbgrader's export says: {learner: (score, max_score)}."""
    nbgrader(cohort, "export")
    with (cohort.root / "grades.csv").open(newline="") as file:
        return {
            line["student_id"]: (float(line["score"] or 0), float(line["max_score"])) for line in csv.DictReader(file)
        }


def set_in(cohort, old, new):
    path = cohort.root / "cohort.toml"
    assert old in path.read_text()
    path.write_text(path.read_text().replace(old, new))


def add_to(cohort, text):
    """Write something at the end of cohort.toml, where a [[void]] belongs."""
    with (cohort.root / "cohort.toml").open("a", encoding="utf-8") as file:
        file.write(text + "\n")


def in_the_formgrader(cohort, learner, exercise, part, score=None, comment=None, extra=None):
    """Do what the formgrader's page does when somebody types a score or a comment."""
    from nbgrader.api import Comment, Grade

    with gradebook.of(cohort).opened() as book:
        if score is not None:
            grade = held_in(book, Grade, learner, exercise, part)
            grade.manual_score, grade.needs_manual_grade = score, False
        if extra is not None:
            held_in(book, Grade, learner, exercise, part).extra_credit = extra
        if comment is not None:
            held_in(book, Comment, learner, exercise, f"{part}-answer").manual_comment = comment
        book.db.commit()


def held_in(book, kind, learner, exercise, cell):
    """Return what an open gradebook holds of one cell: a Grade or a Comment."""
    return next(
        one
        for one in book.db.query(kind)
        if one.cell.name == cell
        and one.notebook.assignment.student_id == learner
        and one.notebook.name.endswith(exercise)
    )
