"""nbgrader's gradebook: registering what was handed out, and writing marks in bulk."""

import contextlib
import sqlite3
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from unicodedata import normalize

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
from sqlalchemy.exc import DatabaseError, DataError, IntegrityError, ProgrammingError
from traitlets.config import Config

from graders import sheets
from graders.cohort import faults, roster
from graders.cohort.paths import Cohort
from graders.cohort.roster import Learner
from graders.cohort.settings import Settings
from graders.gradebook import bulk, configuration
from graders.gradebook.book import Marked, Refused
from graders.gradebook.configuration import put_interpreter_on_path
from graders.gradebook.manual_marks import ByPart, ManualMark
from graders.notebooks.printer import exercise_of
from graders.questions.parts.written import TEXT_STUB
from workbook.problems import Problem
from workbook.terminal import in_shell

TIPS = {
    "SQLITE_BUSY": "another program holds it: close it (a formgrader, an nbgrader), and run the same command again",
    "SQLITE_LOCKED": "another program holds it: close it (a formgrader, an nbgrader), and run the same command again",
    "SQLITE_FULL": "the disk is full: make room, and run the same command again",
    "SQLITE_READONLY": "mend the permissions of the file and of its folder, and run the same command again",
    "SQLITE_PERM": "mend the permissions of the file and of its folder, and run the same command again",
    "SQLITE_CANTOPEN": "mend the permissions of the file and of its folder, and run the same command again",
    "SQLITE_IOERR": "the disk cannot be read or written: look at it, and run the same command again",
}
"""The next step, by how SQLite's name for a fault begins."""


SAID = {"disk is full": "SQLITE_FULL", "No space left": "SQLITE_FULL", "database is locked": "SQLITE_BUSY"}
"""How a fault is called in the traceback that nbgrader's release step gives back."""


def _release_failed(topic: str, traceback: str) -> Problem:
    """Return the problem of a release step that failed, with the next step where the fault is known."""
    for words, fault in SAID.items():
        if words in traceback:
            return Problem(f"topic {topic} could not be put into the gradebook: {words}.", TIPS[fault])
    *_, last = traceback.strip().splitlines() or ["it does not say why"]
    return Problem(f"nbgrader could not release topic {topic}: {last}", "report this")


class NbgraderBook:
    """nbgrader's gradebook of one cohort."""

    def __init__(self, cohort: Cohort):
        self.cohort = cohort

    def url(self) -> str:
        """Return the address of the cohort's gradebook."""
        return configuration.database_url(self.cohort)

    @contextlib.contextmanager
    def opened(self):
        """Open the gradebook, or raise Problem where the file is no database any more."""
        put_interpreter_on_path()
        try:
            with Gradebook(self.url(), course_id="") as gradebook:
                yield gradebook
                gradebook.engine.dispose()
        except DatabaseError as error:
            raise Problem(f"{self.cohort.database} cannot be used: {error.orig}.", self._tip(error.orig)) from None

    def _tip(self, fault) -> str:
        """Return the next step for a fault of the database. Only a damaged one is ever replaced."""
        name = getattr(fault, "sqlite_errorname", "")
        for begins, tip in TIPS.items():
            if name.startswith(begins):
                return tip
        restore = f"put it back: graders restore BACKUP {in_shell(self.cohort.root)}"
        if self.cohort.by_hand.is_file():
            return (
                f"{restore}; without a backup, rename it and mark again: "
                f"marks by hand come back from {self.cohort.by_hand.name}"
            )
        return f"{restore}; without a backup keep this file, for marks by hand are only in it"

    def register(self, topics: Iterable[str]) -> None:
        """Run nbgrader's release step on the printed solutions, which tells the gradebook what is asked."""
        put_interpreter_on_path()
        config = Config()
        config.CourseDirectory.root = str(self.cohort.root)
        config.CourseDirectory.course_id = ""
        config.CourseDirectory.db_url = self.url()
        config.ClearSolutions.code_stub = {"python": ""}
        config.ClearSolutions.text_stub = TEXT_STUB
        for topic in topics:
            result = NbGraderAPI(config=config).generate_assignment(topic, force=True, create=True)
            if not result["success"]:
                raise _release_failed(topic, str(result.get("error", "")))

    def make_whole(self, topics: Iterable[str]) -> bool:
        """Tell a gradebook that is new or empty what is asked, and return whether that was needed."""
        known = self.topics()
        missing = [topic for topic in topics if topic not in known]
        if missing:
            self.register(missing)
            self.add_learners(roster.read(self.cohort.roster, may_be_empty=True))
        return bool(missing)

    def topics(self) -> set[str]:
        """Return the topics it was told of; none of a new or empty one."""
        with self.opened() as gradebook:
            return {assignment.name for assignment in gradebook.db.query(Assignment)}

    def add_learners(self, learners: Iterable[Learner]) -> None:
        """Put learners into the gradebook; one who is there already gets the name of the roster."""
        with self.opened() as gradebook:
            session = gradebook.db
            for learner in learners:
                known = session.get(Student, learner.id)
                if known is None:
                    known = Student(id=learner.id)
                    session.add(known)
                known.first_name, known.last_name = _first_and_last(learner)
            session.commit()

    def names(self) -> dict[str, str]:
        """Return the names of the learners in the gradebook, by id."""
        with self.opened() as gradebook:
            return {
                student.id: f"{student.first_name or ''} {student.last_name or ''}".strip()
                for student in gradebook.students
            }

    @contextlib.contextmanager
    def marking(self) -> Iterator[Callable[[Sequence[Marked]], list[ByPart]]]:
        """Open the gradebook for a marking, and give a function that writes some marks in one transaction.

        All of them are in the gradebook afterwards, or none. Manual scores and comments are kept; what each score was
        given for is returned, one answer for each of what was written. Where something else stands now, the formgrader
        asks for another look. A part without its marking cell has no automatic score and needs a person. What
        cohort.toml voids is dropped or full for everybody; what comes late loses what it says.
        """
        settings = self.cohort.settings()
        with self.opened() as gradebook:
            session = gradebook.db
            bulk.make_indexes(session.connection())
            asked = {assignment.name: _asked(assignment, settings) for assignment in session.query(Assignment)}
            _settle_late(session, settings)
            session.commit()

            def write(marked: Sequence[Marked]) -> list[ByPart]:
                try:
                    given = bulk.write(session.connection(), asked, marked, settings)
                    session.commit()
                except Exception as error:
                    session.rollback()
                    if faults.is_everybodys(error) or _is_the_books(error):
                        raise
                    raise Refused(faults.words(getattr(error, "orig", None) or error)) from error
                return given

            yield write

    def by_hand(self) -> dict[tuple[str, str, str, str], ManualMark]:
        """Return the scores and comments given by hand, by learner, topic, exercise and part."""
        with self.opened() as gradebook:
            scored = _of_parts(gradebook.db, Grade, Grade.manual_score, Grade.extra_credit, Grade.needs_manual_grade)
            scored = scored.filter(Grade.manual_score.is_not(None) | (Grade.extra_credit != 0)).all()
            commented = (
                _of_parts(gradebook.db, Comment, Comment.manual_comment).filter(Comment.manual_comment != "").all()
            )
        marks = {_part_of(*place): ManualMark(score, extra or 0.0, asked) for *place, score, extra, asked in scored}
        for *place, comment in commented:
            part = _part_of(*place)
            marks[part] = replace(marks.get(part, ManualMark()), comment=comment)
        return marks

    def marked(self) -> set[tuple[str, str]]:
        """Return the learners and topics it holds marks of."""
        with self.opened() as gradebook:
            found = gradebook.db.query(SubmittedAssignment.student_id, Assignment.name)
            return {tuple(one) for one in found.join(Assignment, SubmittedAssignment.assignment_id == Assignment.id)}

    def parts(self, of: Collection[tuple[str, str]]) -> set[tuple[str, str, str, str]]:
        """Return every part (learner, topic, exercise, part) it holds of these learners and topics."""
        found = set()
        with self.opened() as gradebook:
            for learner, topic in of:
                for kind in (Grade, Comment):
                    places = _of_parts(gradebook.db, kind)
                    places = places.filter(SubmittedAssignment.student_id == learner, Assignment.name == topic)
                    found |= {_part_of(*place) for place in places}
        return found

    def snapshot(self, to: Path) -> None:
        """Write a copy of it as it stands at one moment, whoever uses it meanwhile."""
        to.unlink(missing_ok=True)
        try:
            with (
                self.opened() as gradebook,
                closing(gradebook.engine.raw_connection()) as connection,
                closing(sqlite3.connect(to)) as copy,
            ):
                connection.driver_connection.backup(copy)
        except sqlite3.Error as error:
            raise Problem(f"{self.cohort.database} cannot be copied: {error}.", self._tip(error)) from None

    def give(self, place: tuple[str, str, str, str], score: float | None, comment: str) -> bool:
        """Set score and comment by hand on one part, also to none, and return whether it has that part.

        Both are written or neither. Whoever gives a mark has looked: nobody is asked to any more.
        """
        with self.opened() as gradebook:
            grade = self._one(gradebook.db, Grade, place)
            noted = self._one(gradebook.db, Comment, place)
            if grade is None or (noted is None and comment):
                return False
            grade.manual_score = score
            grade.needs_manual_grade = score is None and grade.auto_score is None
            if noted is not None:
                noted.manual_comment = comment or None
            gradebook.db.commit()
            return True

    def _one(self, session, kind, place: tuple[str, str, str, str]):
        """Return the grade or the comment of one part, or None."""
        learner, topic, *_ = place
        found = _of_parts(session, kind, kind)
        found = found.filter(SubmittedAssignment.student_id == learner, Assignment.name == topic)
        return next((one for *words, one in found if _part_of(*words) == place), None)

    def put_back(self, marks: Mapping[tuple[str, str, str, str], ManualMark]) -> None:
        """Set scores and comments by hand on the parts it holds; the others are passed over."""
        with self.opened() as gradebook:
            for *place, grade in _of_parts(gradebook.db, Grade, Grade):
                mark = marks.get(_part_of(*place))
                if mark and (mark.score is not None or mark.extra):
                    grade.manual_score, grade.extra_credit = mark.score, mark.extra or None
                    grade.needs_manual_grade = mark.asked
            for *place, comment in _of_parts(gradebook.db, Comment, Comment):
                mark = marks.get(_part_of(*place))
                if mark and mark.comment:
                    comment.manual_comment = mark.comment
            gradebook.db.commit()


def _is_the_books(error: Exception) -> bool:
    """Whether the gradebook is at fault, locked, full or damaged, and not what was to be written."""
    return isinstance(error, DatabaseError) and not isinstance(error, (IntegrityError, DataError, ProgrammingError))


def _asked(assignment, settings: Settings) -> bulk.BookTopic:
    """Set a topic's due time and its points, a dropped part's to none, and return what is asked in it."""
    assignment.duedate = settings.due.get(assignment.name)
    dropped = {(void.exercise, void.part) for void in settings.void if void.topic == assignment.name and void.drops}
    asked = bulk.BookTopic(assignment.id, {}, {}, {})
    for notebook in assignment.notebooks:
        exercise = sheets.find(assignment.name, exercise_of(notebook.name))
        cells = list(notebook.grade_cells)
        asked_for = {part.name: part.points for part in exercise.parts}
        for cell in cells:
            points = 0 if (exercise.id, cell.name) in dropped else asked_for.get(cell.name, cell.max_score)
            if cell.max_score != points:
                cell.max_score = points
            asked.most[cell.id] = points
        asked.names[notebook.id] = notebook.name
        asked.parts[notebook.id] = {cell.id: cell.name for cell in cells}
        asked.commented[notebook.id] = tuple(cell.id for cell in notebook.solution_cells)
    return asked


def _penalty_now(held, counts: float) -> float | None:
    """Return what is taken off a notebook as it stands in the gradebook."""
    return bulk.penalty(((grade.score or 0.0, grade.max_score) for grade in held.grades), counts)


def _settle_late(session, settings: Settings) -> None:
    """Bring what late notebooks lose up to the scores given by hand since."""
    late = session.query(SubmittedNotebook).filter(SubmittedNotebook.late_submission_penalty.is_not(None))
    for held in late:
        of = held.assignment
        counts = settings.counts(of.student_id, of.name, of.timestamp)
        if 0 < counts < 1:
            held.late_submission_penalty = _penalty_now(held, counts)


def _of_parts(session, kind, *columns):
    """Ask for columns of grades or comments, each with its learner, topic, notebook and cell."""
    return (
        session.query(SubmittedAssignment.student_id, Assignment.name, Notebook.name, BaseCell.name, *columns)
        .select_from(kind)
        .join(SubmittedNotebook, kind.notebook_id == SubmittedNotebook.id)
        .join(SubmittedAssignment, SubmittedNotebook.assignment_id == SubmittedAssignment.id)
        .join(Assignment, SubmittedAssignment.assignment_id == Assignment.id)
        .join(Notebook, SubmittedNotebook.notebook_id == Notebook.id)
        .join(BaseCell, kind.cell_id == BaseCell.id)
    )


def _part_of(learner: str, topic: str, notebook: str, cell: str) -> tuple[str, str, str, str]:
    return learner, topic, exercise_of(notebook), cell.removesuffix("-answer")


def _first_and_last(learner: Learner) -> tuple[str, str]:
    """Return a learner's two names where the list has them apart; else all of it as the last.

    The formgrader writes last, comma, first: a whole name put first would stand behind a comma.
    """
    cells = {roster.plain(head): normalize("NFC", value) for head, value in learner.others}
    first, last = (
        next((cells[head] for head in heads if cells.get(head)), "")
        for heads in (roster.FIRST_HEADS, roster.LAST_HEADS)
    )
    return (first, last) if first and last and f"{first} {last}" == learner.name else ("", learner.name)
