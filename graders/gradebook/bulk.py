"""Marks of some learner-topics written into nbgrader's tables: each kind of row of all of them in one statement."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from nbgrader.api import Comment, Grade, Student, SubmittedAssignment, SubmittedNotebook, new_uuid
from sqlalchemy import Connection, bindparam, insert, select, text, update

from graders.cohort.settings import Settings
from graders.gradebook import manual_marks
from graders.gradebook.book import Marked
from graders.gradebook.manual_marks import ByPart
from graders.notebooks.printer import exercise_of
from graders.questions.verdicts import VOIDED, Verdict

STUDENTS, SUBMISSIONS, NOTEBOOKS, GRADES, COMMENTS = (
    kind.__table__ for kind in (Student, SubmittedAssignment, SubmittedNotebook, Grade, Comment)
)
INDEXES = (("submitted_notebook", "assignment_id"), ("grade", "notebook_id"), ("comment", "notebook_id"))
"""What nbgrader asks for all the time and has no index of: without, each question reads the whole table."""


@dataclass(frozen=True)
class BookTopic:
    """What the gradebook knows of a topic: of each notebook its name, its marking cells, its cells for comments."""

    assignment: str
    names: dict[str, str]
    parts: dict[str, dict[str, str]]
    """Part by marking cell, by notebook; all by their ids."""
    commented: dict[str, tuple[str, ...]]
    most: dict[str, float] = field(default_factory=dict)
    """The most points of each marking cell."""


@dataclass
class HeldGrade:
    """A row of a part in the gradebook; ``cell`` is its marking cell."""

    id: str
    cell: str
    auto_score: float | None
    manual_score: float | None
    extra_credit: float | None
    needs_manual_grade: bool

    @property
    def score(self) -> float:
        """What counts, as nbgrader has it: a score by hand before an automatic one, and extra credit with either."""
        score = self.auto_score if self.manual_score is None else self.manual_score
        return 0.0 if score is None else score + (self.extra_credit or 0.0)

    def as_written(self) -> dict:
        """Return what a marking may change of it."""
        return {
            "auto_score": self.auto_score,
            "extra_credit": self.extra_credit,
            "needs_manual_grade": self.needs_manual_grade,
        }


@dataclass
class HeldNotebook:
    """A notebook that somebody handed in before, as the gradebook holds it."""

    id: str
    asked: str
    penalty: float | None
    grades: list[HeldGrade] = field(default_factory=list)


@dataclass
class Held:
    """A topic that somebody handed in before, as the gradebook holds it."""

    id: str
    timestamp: object
    extension: object
    notebooks: dict[str, HeldNotebook] = field(default_factory=dict)


def make_indexes(connection: Connection) -> None:
    """Make the indexes that a gradebook of many learners needs; where they are, nothing is done."""
    for table, column in INDEXES:
        connection.execute(text(f"CREATE INDEX IF NOT EXISTS rework_{table}_{column} ON {table} ({column})"))


def write(
    connection: Connection, asked: Mapping[str, BookTopic], marked: Sequence[Marked], settings: Settings
) -> list[ByPart]:
    """Write marks, and return for each of them what its scores by hand were given for."""
    _put_students(connection, {one.learner for one in marked})
    held = _held(connection, {asked[one.topic].assignment for one in marked}, {one.learner for one in marked})
    changes, given = Changes(), []
    for one in marked:
        of = asked[one.topic]
        there = held.get((of.assignment, one.learner))
        if there is None:
            _add(changes, of, one, settings)
            given.append({})
        else:
            given.append(_change(changes, of, there, one, settings))
    changes.write(connection)
    return given


@dataclass
class Changes:
    """Rows to add and rows to change, by table."""

    new: dict = field(default_factory=lambda: {table: [] for table in (SUBMISSIONS, NOTEBOOKS, GRADES, COMMENTS)})
    changed: dict = field(default_factory=lambda: {table: [] for table in (SUBMISSIONS, NOTEBOOKS, GRADES)})

    def note(self, table, id_: str, before: dict, now: dict) -> None:
        """Note a row that is there, where something of it differs now."""
        if before != now:
            self.changed[table].append({"of": id_} | now)

    def write(self, connection: Connection) -> None:
        """Write them, what others refer to first."""
        for table, rows in self.new.items():
            if rows:
                connection.execute(insert(table), rows)
        for table, rows in self.changed.items():
            if rows:
                connection.execute(update(table).where(table.c.id == bindparam("of")), rows)


def _put_students(connection: Connection, learners: set[str]) -> None:
    known = set(connection.scalars(select(STUDENTS.c.id).where(STUDENTS.c.id.in_(learners))))
    if learners - known:
        connection.execute(insert(STUDENTS), [{"id": learner} for learner in sorted(learners - known)])


def _held(connection: Connection, assignments: set[str], learners: set[str]) -> dict[tuple[str, str], Held]:
    """Return what the gradebook holds of some learners' topics, by assignment and learner."""
    of = SUBMISSIONS.c
    wanted = of.assignment_id.in_(assignments) & of.student_id.in_(learners)
    found = connection.execute(
        select(of.assignment_id, of.student_id, of.id, of.timestamp, of.extension).where(wanted)
    ).all()
    by_id, held = {}, {}
    for assignment, learner, *row in found:
        held[assignment, learner] = by_id[row[0]] = Held(*row)
    if not by_id:
        return {}
    book, grade = NOTEBOOKS.c, GRADES.c
    rows = connection.execute(
        select(
            *(book.assignment_id, book.id, book.notebook_id, book.late_submission_penalty),
            *(grade.id, grade.cell_id, grade.auto_score, grade.manual_score),
            *(grade.extra_credit, grade.needs_manual_grade),
        )
        .select_from(NOTEBOOKS.outerjoin(GRADES, grade.notebook_id == book.id))
        .where(book.assignment_id.in_(by_id))
    )
    for submission, notebook, asked, penalty, *row in rows:
        one = by_id[submission].notebooks.setdefault(notebook, HeldNotebook(notebook, asked, penalty))
        if row[0] is not None:
            one.grades.append(HeldGrade(*row))
    return held


def _change(changes: Changes, asked: BookTopic, held: Held, one: Marked, settings: Settings) -> ByPart:
    """Note what changes of a topic that was there before, and return what its scores by hand were given for."""
    when = {"timestamp": one.when, "extension": settings.extensions.get((one.learner, one.topic))}
    changes.note(SUBMISSIONS, held.id, {"timestamp": held.timestamp, "extension": held.extension}, when)
    counts = settings.counts(one.learner, one.topic, one.when)
    given = {}
    for book in held.notebooks.values():
        name, parts = asked.names[book.asked], asked.parts[book.asked]
        verdicts = {verdict.part: verdict for verdict in one.notebooks.get(name, ())}
        exercise = exercise_of(name)
        for grade in book.grades:
            verdict = verdicts.get(parts.get(grade.cell))
            if verdict is None:
                continue
            before = grade.as_written()
            _set_score(grade, verdict)
            if grade.manual_score is not None:
                _void_by_hand(grade, verdict, (exercise, verdict.part) in one.voided_before)
                given.setdefault(exercise, {})[verdict.part] = _look_again(grade, one, exercise, verdict.part)
            changes.note(GRADES, grade.id, before, grade.as_written())
        of = ((grade.score, asked.most.get(grade.cell, 0.0)) for grade in book.grades)
        now = {"late_submission_penalty": penalty(of, counts)}
        changes.note(NOTEBOOKS, book.id, {"late_submission_penalty": book.penalty}, now)
    return given


def _add(changes: Changes, asked: BookTopic, one: Marked, settings: Settings) -> None:
    """Note the rows of a topic that came for the first time."""
    counts, whole = settings.counts(one.learner, one.topic, one.when), new_uuid()
    extension = settings.extensions.get((one.learner, one.topic))
    submission = {"id": whole, "assignment_id": asked.assignment, "student_id": one.learner}
    changes.new[SUBMISSIONS].append(submission | {"timestamp": one.when, "extension": extension})
    known = one.stands | one.notebooks
    for notebook, parts in asked.parts.items():
        verdicts = {verdict.part: verdict for verdict in known.get(asked.names[notebook], ())}
        automatic = ((_score(verdict) or 0.0, verdict.out_of) for verdict in verdicts.values())
        book = new_uuid()
        row = {"id": book, "assignment_id": whole, "notebook_id": notebook}
        changes.new[NOTEBOOKS].append(row | {"late_submission_penalty": penalty(automatic, counts)})
        for cell, part in parts.items():
            score = _score(verdicts.get(part))
            row = {"id": new_uuid(), "cell_id": cell, "notebook_id": book}
            changes.new[GRADES].append(row | {"auto_score": score, "needs_manual_grade": score is None})
        changes.new[COMMENTS] += [
            {"id": new_uuid(), "cell_id": cell, "notebook_id": book} for cell in asked.commented[notebook]
        ]


def penalty(of: Iterable[tuple[float, float]], counts: float) -> float | None:
    """Return what is taken off a notebook, of the points and the most points of its parts; None where it is in time.

    Where nothing counts, the most points are taken, so that a score given by hand later counts for nothing too.
    """
    if counts == 1:
        return None
    return sum(points - round(points * counts, 4) if counts else out_of for points, out_of in of)


def _score(verdict: Verdict | None) -> float | None:
    """Return a part's automatic score, or None where a person must give one."""
    if verdict is None or not verdict.is_automatic:
        return None
    return float(verdict.points)


def _set_score(grade: HeldGrade, verdict: Verdict) -> None:
    grade.auto_score = _score(verdict)
    if grade.manual_score is None:
        grade.needs_manual_grade = grade.auto_score is None


def _void_by_hand(grade: HeldGrade, verdict: Verdict, was_voided: bool) -> None:
    """Bring a score by hand on a voided part to the points of the void, so that it comes back when the void goes."""
    if verdict.verdict in VOIDED:
        grade.extra_credit = verdict.points - grade.manual_score
    elif was_voided:
        grade.extra_credit = None


def _look_again(grade: HeldGrade, one: Marked, exercise: str, part: str) -> manual_marks.ManualScore:
    """Ask for another look at a score by hand if it was given for something else, and return what it was given for."""
    now = manual_marks.find(one.bases, exercise, part)
    noted = manual_marks.find(one.given_before, exercise, part)
    before = manual_marks.find(one.bases_before, exercise, part) or now
    given = manual_marks.given(grade.manual_score, grade.needs_manual_grade, noted, before)
    grade.needs_manual_grade = given.basis != now
    return given
