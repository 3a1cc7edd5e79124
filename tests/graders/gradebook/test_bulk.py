"""Marks are written some learners at a time: to the same rows, without reading what is of others."""

import re
from datetime import datetime

import pytest
import sqlalchemy

from graders import gradebook, sheets
from graders.cohort import roster
from graders.gradebook.book import Marked
from graders.questions.verdicts import Code, Verdict
from tests.graders.cohorts import scores, set_in

NOTEBOOK, EXERCISE = "04_bead-lag", "bead-lag"


def marked(learner, share, when=None):
    """Return marks of one notebook, with a share of the points of each part."""
    parts = sheets.find("profile", EXERCISE).parts
    verdicts = tuple(Verdict(part.name, share * part.points, part.points, Code.PARTLY, "") for part in parts)
    return Marked(learner, "profile", {NOTEBOOK: verdicts}, when)


def write(cohort, *ones):
    with gradebook.of(cohort).marking() as written:
        return written(list(ones))


def penalties(cohort):
    from nbgrader.api import SubmittedNotebook

    with gradebook.of(cohort).opened() as book:
        return {
            held.assignment.student_id: held.late_submission_penalty
            for held in book.db.query(SubmittedNotebook)
            if held.name == NOTEBOOK
        }


def test_new_and_known_learners_are_written_together_and_each_has_its_own(fresh):
    write(fresh, marked("amber", 0.5))
    assert write(fresh, marked("amber", 1.0), marked("birch", 0.5)) == [{}, {}]
    points = {part.name: part.points for part in sheets.find("profile", EXERCISE).parts}
    held = scores(fresh)
    for learner, share in (("amber", 1.0), ("birch", 0.5)):
        assert {part: held[learner, NOTEBOOK, part][0] for part in points} == {
            part: share * most for part, most in points.items()
        }


def test_what_is_taken_off_late_work_follows_the_marks_it_has_now(fresh):
    set_in(fresh, 'late = "none"', 'late = "10 % a day"')
    set_in(fresh, "due = {}", "due = { profile = 2026-12-01T18:00:00Z }")
    came = datetime(2026, 12, 1, 20)
    whole = sum(part.points for part in sheets.find("profile", EXERCISE).parts)
    for share in (1.0, 0.5):
        write(fresh, marked("amber", share, came))
        assert penalties(fresh)["amber"] == pytest.approx(0.1 * share * whole)


def test_no_statement_of_a_marking_reads_a_whole_table_of_marks(fresh):
    """So a learner costs the same in a cohort of ten and of twenty thousand: SQLite says how it would look."""
    write(fresh, marked("amber", 0.5))
    said, book = [], gradebook.of(fresh)
    with book.marking() as written, book.opened() as looked_at:

        def explained(connection, cursor, statement, parameters, context, many):
            if re.match("SELECT|UPDATE", statement):
                ask = looked_at.db.connection().exec_driver_sql
                plan = ask(f"EXPLAIN QUERY PLAN {statement}", parameters[0] if many else parameters)
                said.extend(row[-1] for row in plan)

        sqlalchemy.event.listen(sqlalchemy.engine.Engine, "before_cursor_execute", explained)
        try:
            written([marked("amber", 1.0), marked("birch", 1.0)])
        finally:
            sqlalchemy.event.remove(sqlalchemy.engine.Engine, "before_cursor_execute", explained)
    assert len(said) >= 4
    assert not [line for line in said if line.startswith("SCAN")]


LISTS = {
    "names apart": ("id,first_name,last_name\nada,Åsa,Ek\n", "Ek, Åsa"),
    "OneRoster's": ("sourcedId,givenName,familyName,role\nada,Åsa,Ek,student\n", "Ek, Åsa"),
    "one name": ("id,name\nada,Åsa Ek\n", "Åsa Ek, "),
    "a name of their own beside": ("id,name,first_name,last_name\nada,Åsa af Ek,Åsa,Ek\n", "Åsa af Ek, "),
    "a first name only": ("id,first_name,last_name\nada,Åsa,\n", "Åsa, "),
}


@pytest.mark.parametrize(("text", "shown"), LISTS.values(), ids=LISTS.keys())
def test_a_name_stands_before_the_comma_that_nbgraders_pages_write(fresh, tmp_path, text, shown):
    """Its pages write last, comma, first, also where one of them is empty."""
    listed = tmp_path / "list.csv"
    listed.write_text(text, encoding="utf-8")
    (learner,) = roster.read(listed)
    book = gradebook.of(fresh)
    book.add_learners([learner])
    book.add_learners([learner])
    with book.opened() as opened:
        student = opened.find_student("ada")
        assert f"{student.last_name}, {student.first_name}" == shown
    assert book.names()["ada"] == learner.name
