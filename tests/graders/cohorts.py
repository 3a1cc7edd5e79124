"""What tests do with a cohort: as an instructor would by hand, and what the gradebook then holds."""

import csv
import shutil
import subprocess
import sys
from pathlib import Path

from graders import gradebook

NBGRADER = Path(sys.executable).parent / "nbgrader"


def nbgrader(cohort, *arguments):
    """Run nbgrader in a cohort's folder, as an instructor would, with the environment not activated."""
    return subprocess.run(
        [NBGRADER, *arguments],
        cwd=cohort.root,
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": "/usr/bin:/bin"},
    )


def keep_only(cohort, *learners):
    """Take away everyone else's submissions."""
    for folder in (cohort.root / "submitted").iterdir():
        if folder.name not in learners:
            shutil.rmtree(folder)


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
