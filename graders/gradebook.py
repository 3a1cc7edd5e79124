"""nbgrader's gradebook: registering what was handed out, and writing marks in bulk."""

import contextlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from nbgrader.api import (
    Assignment,
    BaseCell,
    Comment,
    Grade,
    Gradebook,
    Notebook,
    Student,
    SubmittedAssignment,
    SubmittedNotebook,
)
from nbgrader.apps import NbGraderAPI
from nbgrader.utils import parse_utc
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import selectinload
from traitlets.config import Config

from graders import sheets
from graders.folder import Cohort, Settings
from graders.judge import Verdict
from graders.marks import Row
from graders.pipeline import put_interpreter_on_path
from graders.printer import TEXT_STUB, exercise_of
from graders.problems import Problem
from graders.roster import Learner


@dataclass(frozen=True)
class Marked:
    """One learner's topic as it goes into the gradebook: verdicts by notebook name, part by part."""

    learner: str
    topic: str
    notebooks: dict[str, tuple[Verdict, ...]]
    when: datetime | None = None


def url(cohort: Cohort) -> str:
    """Return the address of the cohort's gradebook."""
    return f"sqlite:///{cohort.database}"


def handed_in(cohort: Cohort, learner: str, topic: str) -> datetime | None:
    """Return when a topic came in, from nbgrader's timestamp file, or None where it is not said or not readable."""
    try:
        text = (cohort.submitted(learner, topic) / "timestamp.txt").read_text(encoding="utf-8").strip()
        return parse_utc(text) if text else None
    except (OSError, ValueError, OverflowError):
        return None


@contextlib.contextmanager
def opened(cohort: Cohort):
    """Open the gradebook, or raise Problem where the file is no database any more."""
    put_interpreter_on_path()
    try:
        with Gradebook(url(cohort), course_id="") as gradebook:
            yield gradebook
            gradebook.engine.dispose()
    except DatabaseError as error:
        raise Problem(
            f"{cohort.database} cannot be used: {error.orig}.",
            "move it aside and run the command again: the gradebook is written anew from marked.jsonl",
        ) from None


def register(cohort: Cohort, topics: Iterable[str]) -> None:
    """Run nbgrader's release step on the printed solutions, which tells the gradebook what is asked."""
    put_interpreter_on_path()
    config = Config()
    config.CourseDirectory.root = str(cohort.root)
    config.CourseDirectory.course_id = ""
    config.ClearSolutions.code_stub = {"python": ""}
    config.ClearSolutions.text_stub = TEXT_STUB
    for topic in topics:
        result = NbGraderAPI(config=config).generate_assignment(topic, force=True, create=True)
        if not result["success"]:
            raise Problem(f"nbgrader could not release topic {topic}: {result.get('error', '')}", "report this")


def add_learners(cohort: Cohort, learners: Iterable[Learner]) -> None:
    """Put learners into the gradebook; one who is there already gets the name of the roster."""
    with opened(cohort) as gradebook:
        for learner in learners:
            gradebook.update_or_create_student(learner.id, first_name=learner.name, last_name="")


def write(cohort: Cohort, marked: Iterable[Marked]) -> None:
    """Write marks in one transaction: all of them are in the gradebook afterwards, or none.

    Manual scores and comments are kept. A part without its marking cell has no automatic score and needs a person. What
    cohort.toml voids is dropped or full for everybody; what comes late is left out where it says so.
    """
    settings = cohort.settings()
    with opened(cohort) as gradebook:
        session = gradebook.db
        with session.no_autoflush:
            assignments = {a.name: a for a in session.query(Assignment).options(selectinload(Assignment.notebooks))}
            for assignment in assignments.values():
                assignment.duedate = settings.due.get(assignment.name)
                _set_points(assignment, settings)
            for one in marked:
                _write_one(session, assignments[one.topic], one, settings)
            session.commit()


def _set_points(assignment, settings: Settings) -> None:
    """Give every part its printed points, and a dropped part none."""
    dropped = {(void.exercise, void.part) for void in settings.void if void.topic == assignment.name and void.drops}
    for notebook in assignment.notebooks:
        exercise = sheets.find(assignment.name, exercise_of(notebook.name))
        for cell in notebook.grade_cells:
            points = 0 if (exercise.id, cell.name) in dropped else exercise.part(cell.name).points
            if cell.max_score != points:
                cell.max_score = points


def _write_one(session, assignment, one: Marked, settings: Settings) -> None:
    submission = (
        session.query(SubmittedAssignment)
        .filter_by(assignment_id=assignment.id, student_id=one.learner)
        .options(selectinload(SubmittedAssignment.notebooks).selectinload(SubmittedNotebook.grades))
        .one_or_none()
    )
    if submission is None:
        submission = _new_submission(session, assignment, one.learner)
    submission.timestamp = one.when
    submission.extension = settings.extensions.get((one.learner, one.topic))
    by_id = {notebook.id: notebook for notebook in assignment.notebooks}
    late = settings.late == "zero" and settings.is_late(one.learner, one.topic, one.when)
    for held in submission.notebooks:
        notebook = by_id[held.notebook_id or held.notebook.id]
        cell_names = {cell.id: cell.name for cell in notebook.grade_cells}
        verdicts = {verdict.part: verdict for verdict in one.notebooks.get(notebook.name, ())}
        earned = 0.0
        for grade in held.grades:
            verdict = verdicts.get(cell_names.get(grade.cell_id))
            if verdict is not None:
                _set_score(grade, verdict)
                earned += grade.manual_score if grade.manual_score is not None else grade.auto_score or 0.0
        held.late_submission_penalty = earned if late else None


def _set_score(grade, verdict: Verdict) -> None:
    unmarked = verdict.flag in ("by hand", "cell missing")
    score = None if unmarked else float(verdict.points)
    if grade.auto_score != score or score is None or grade.manual_score is not None:
        grade.needs_manual_grade = score is None or grade.manual_score is not None
    else:
        grade.needs_manual_grade = False
    grade.auto_score = score


def _new_submission(session, assignment, learner: str):
    if session.get(Student, learner) is None:
        session.add(Student(id=learner))
    submission = SubmittedAssignment(assignment=assignment, student_id=learner)
    session.add(submission)
    for notebook in assignment.notebooks:
        held = SubmittedNotebook(notebook=notebook, assignment=submission)
        session.add(held)
        session.add_all(Grade(cell_id=cell.id, notebook=held) for cell in notebook.grade_cells)
        session.add_all(Comment(cell_id=cell.id, notebook=held) for cell in notebook.solution_cells)
    return submission


def with_manual_marks(cohort: Cohort, rows: list[Row]) -> list[Row]:
    """Return rows in which a mark given by hand in the formgrader stands over ours."""
    with opened(cohort) as gradebook:
        query = (
            gradebook.db.query(
                SubmittedAssignment.student_id, Assignment.name, Notebook.name, BaseCell.name, Grade.manual_score
            )
            .select_from(Grade)
            .join(SubmittedNotebook, Grade.notebook_id == SubmittedNotebook.id)
            .join(SubmittedAssignment, SubmittedNotebook.assignment_id == SubmittedAssignment.id)
            .join(Assignment, SubmittedAssignment.assignment_id == Assignment.id)
            .join(Notebook, SubmittedNotebook.notebook_id == Notebook.id)
            .join(BaseCell, Grade.cell_id == BaseCell.id)
            .filter(Grade.manual_score.is_not(None))
        )
        by_hand = {
            (learner, topic, exercise_of(notebook), part): score for learner, topic, notebook, part, score in query
        }
    return [_by_hand(row, by_hand.get((row.learner, row.topic, row.exercise, row.part))) for row in rows]


def _by_hand(row: Row, score: float | None) -> Row:
    if score is None:
        return row
    flag = row.flag if row.verdict == "by hand" or score == row.points else "changed by hand"
    return replace(row, points=score, verdict="marked by hand", flag="" if flag == "by hand" else flag)
