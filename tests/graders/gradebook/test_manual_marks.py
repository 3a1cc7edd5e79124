"""Marks by hand: kept whatever comes, and shown as older where the answer or the automatic mark is another now."""

import contextlib
import csv
import json
import sqlite3

import pytest
from sqlalchemy import text

from graders import commands, gradebook, sheets
from graders.cohort import record
from graders.demo import learners
from graders.gradebook import manual_marks
from graders.gradebook.manual_marks import ManualMark
from graders.judging.marks import AUTOMATIC_CHANGED, CHANGED_BY_HAND, OLDER_ANSWER, Override, Row, needs_a_look
from graders.marking import marks_csv
from graders.marking import run as marking
from graders.questions.verdicts import Code
from graders.runner import contained
from tests.graders.cohorts import add_to, exported, held_in, in_the_formgrader, keep_only, rows_now, set_in
from workbook.problems import Problem

LAG = ("cedar", "bead-lag", "lag")
"""A part that is marked automatically, and on which cedar makes a slip."""


def asks_for_a_person(cohort, learner, exercise, part):
    """Return what the formgrader is told: whether this score needs a person."""
    from nbgrader.api import Grade

    with gradebook.of(cohort).opened() as book:
        return held_in(book, Grade, learner, exercise, part).needs_manual_grade


def row_of(cohort, learner, exercise, part):
    rows = rows_now(cohort)
    return next(row for row in rows if (row.learner, row.exercise, row.part) == (learner, exercise, part))


def hand_in(cohort, learner, exercise, part, answer):
    """Hand in again with another answer in one cell, or with nothing but another comment in the last cell."""
    handed = record.HandoutRecord(cohort.record).find(learner, "profile", exercise)
    path = cohort.submitted(learner, "profile") / f"{handed.notebook}.ipynb"
    notebook = json.loads(path.read_text())
    for cell in notebook["cells"]:
        if cell["id"] == f"{part}-answer":
            cell["source"] = answer
    notebook["metadata"]["saved"] = notebook["metadata"].get("saved", 0) + 1
    path.write_text(json.dumps(notebook))


def right_answer(learner, cohort):
    handed = record.HandoutRecord(cohort.record).find(learner, "profile", "bead-lag")
    return dict(learners.worked(sheets.find("profile", "bead-lag"), handed.givens))["lag"]


@pytest.fixture
def by_hand(fresh, pool):
    """A marked cohort of cedar alone, whose slip an instructor has given one point by hand, with a comment."""
    keep_only(fresh, "cedar")
    marking.mark(fresh, pool)
    in_the_formgrader(fresh, *LAG, score=0.5, comment="The method is *right*.\nMind <the> unit.")
    return fresh


def test_a_score_and_a_comment_by_hand_stand_in_the_rows_and_in_marks_csv(by_hand, pool):
    row = row_of(by_hand, *LAG)
    assert (row.points, row.verdict, row.flag) == (0.5, Code.MARKED_BY_HAND, CHANGED_BY_HAND)
    marking.mark(by_hand, pool)
    with by_hand.marks.open(encoding="utf-8-sig", newline="") as file:
        (line,) = [line for line in csv.DictReader(file) if (line["learner"], line["part"]) == ("cedar", "lag")]
    assert line["points"] == "0.5"
    assert line["comment"] == "The method is *right*.\nMind <the> unit."


def test_the_same_answer_handed_in_again_leaves_the_score_and_asks_nobody(by_hand, pool):
    before = row_of(by_hand, *LAG)
    answer = next(
        cell["source"]
        for path in by_hand.submitted("cedar", "profile").glob("*bead-lag.ipynb")
        for cell in json.loads(path.read_text())["cells"]
        if cell["id"] == "lag-answer"
    )
    hand_in(by_hand, *LAG, answer)
    assert len(marking.mark(by_hand, pool).marked) == 1
    assert row_of(by_hand, *LAG) == before
    assert not asks_for_a_person(by_hand, *LAG)


def test_another_answer_keeps_the_score_and_says_that_it_is_for_an_older_one(by_hand, pool):
    slip = row_of(by_hand, *LAG)
    hand_in(by_hand, *LAG, "lag = 'I do not know'")
    marking.mark(by_hand, pool)
    row = row_of(by_hand, *LAG)
    assert (row.points, row.comment) == (0.5, slip.comment)
    assert row.flag == OLDER_ANSWER
    assert needs_a_look(row)
    assert asks_for_a_person(by_hand, *LAG)
    hand_in(by_hand, "cedar", "bead-lag", "no part", "")
    marking.mark(by_hand, pool)
    assert row_of(by_hand, *LAG).flag == OLDER_ANSWER, "it waits until somebody has looked"
    in_the_formgrader(by_hand, *LAG, score=0.5)
    assert row_of(by_hand, *LAG).flag == CHANGED_BY_HAND
    hand_in(by_hand, "cedar", "bead-lag", "no part", "")
    marking.mark(by_hand, pool)
    assert not asks_for_a_person(by_hand, *LAG)


def test_a_score_that_stands_over_another_automatic_mark_is_listed_with_both(by_hand, pool, capsys):
    assert marks_csv.Marks.of(by_hand).overrides() == []
    hand_in(by_hand, *LAG, right_answer("cedar", by_hand))
    commands.mark(by_hand.root, trust_submissions=contained.why_not() is not None)
    (one,) = marks_csv.Marks.of(by_hand).overrides()
    assert one == Override("cedar", "profile", "bead-lag", "lag", 0.5, 0.0, 1.0, 1)
    printed = capsys.readouterr().out
    assert "they stand" in printed
    (line,) = [line for line in printed.splitlines() if "bead-lag" in line]
    assert [cell.strip() for cell in line.split("│")[1:-1]] == ["cedar", "bead-lag", "lag", "0.5", "0", "1"]
    assert row_of(by_hand, *LAG).flag == AUTOMATIC_CHANGED
    in_the_formgrader(by_hand, *LAG, score=1.0)
    assert marks_csv.Marks.of(by_hand).overrides() == [], "somebody has looked"
    assert row_of(by_hand, *LAG).flag == ""


def test_a_marking_cut_off_before_its_journal_line_still_knows_what_the_score_was_given_for(by_hand, pool):
    hand_in(by_hand, *LAG, right_answer("cedar", by_hand))
    journal = by_hand.journal.read_bytes()
    marking.mark(by_hand, pool)
    by_hand.journal.write_bytes(journal)
    marking.mark(by_hand, pool)
    assert [one.automatic_then for one in marks_csv.Marks.of(by_hand).overrides()] == [0.0]


@pytest.mark.parametrize(
    ("points", "earned"), [("drop", (0.0, 0, Code.DROPPED)), ("full", (1.0, 1, Code.FULL_FOR_ALL))]
)
def test_what_the_cohort_voids_stands_over_a_score_by_hand_for_as_long_as_it_is_voided(points, earned, by_hand, pool):
    before = row_of(by_hand, *LAG)
    void = f'[[void]]\ntopic = "profile"\nexercise = "bead-lag"\npart = "lag"\npoints = "{points}"\nreason = "misprint"'
    add_to(by_hand, void)
    marking.mark(by_hand, pool)
    row = row_of(by_hand, *LAG)
    assert (row.points, row.out_of, row.verdict) == earned
    rows = [row for row in rows_now(by_hand) if row.learner == "cedar"]
    assert exported(by_hand)["cedar"] == (sum(row.points for row in rows), sum(row.out_of for row in rows))
    set_in(by_hand, void, "")
    marking.mark(by_hand, pool)
    assert row_of(by_hand, *LAG) == before


def test_a_score_by_hand_on_work_that_came_too_late_earns_nothing_anywhere(by_hand, pool):
    set_in(by_hand, 'late = "none"', 'late = "zero"')
    set_in(by_hand, "due = {}", "due = { profile = 2026-12-01T18:00:00 }")
    (by_hand.submitted("cedar", "profile") / "timestamp.txt").write_text("2026-12-02 10:00:00 UTC\n")
    marking.mark(by_hand, pool)
    in_the_formgrader(by_hand, *LAG, score=1.0)
    assert sum(row.points for row in rows_now(by_hand)) == 0
    assert row_of(by_hand, *LAG).flag == "late"
    assert exported(by_hand)["cedar"][0] == 0


def test_extra_points_by_hand_are_added_as_nbgrader_adds_them(by_hand):
    from nbgrader.api import Grade

    with gradebook.of(by_hand).opened() as book:
        grade = held_in(book, Grade, *LAG)
        grade.extra_credit = 0.25
        book.db.commit()
        assert grade.score == 0.75
    assert row_of(by_hand, *LAG).points == 0.75


def test_a_comment_without_a_score_leaves_the_automatic_mark(fresh, pool):
    keep_only(fresh, "cedar")
    marking.mark(fresh, pool)
    before = row_of(fresh, *LAG)
    in_the_formgrader(fresh, *LAG, comment="Come and see me.")
    after = row_of(fresh, *LAG)
    assert (after.points, after.verdict, after.comment) == (before.points, before.verdict, "Come and see me.")


def test_a_gradebook_made_again_gets_its_marks_by_hand_back_from_the_copy(by_hand, pool):
    before = row_of(by_hand, *LAG)
    marking.mark(by_hand, pool)
    by_hand.database.unlink()
    commands.report(by_hand.root)
    assert len(by_hand.by_hand.read_text().splitlines()) == 1, "a report of an empty gradebook loses nothing"
    marking.mark(by_hand, pool)
    assert row_of(by_hand, *LAG) == before
    assert not asks_for_a_person(by_hand, *LAG)


def tip_of(cohort):
    with pytest.raises(Problem) as refused:
        gradebook.of(cohort).put_back({})
    return refused.value.tip


def test_a_damaged_gradebook_is_put_aside_only_where_its_marks_by_hand_are_kept_elsewhere(by_hand, pool):
    whole = by_hand.database.read_bytes()
    by_hand.database.write_bytes(b"no database at all" * 100)
    assert "keep this file" in tip_of(by_hand)
    by_hand.database.write_bytes(whole)
    marking.mark(by_hand, pool)
    by_hand.database.write_bytes(b"no database at all" * 100)
    assert "come back from by_hand.jsonl" in tip_of(by_hand)


def test_a_gradebook_held_by_another_program_is_left_alone(by_hand):
    with contextlib.closing(sqlite3.connect(by_hand.database)) as other:
        other.execute("BEGIN EXCLUSIVE")
        tip = tip_of(by_hand)
    assert "another program holds it" in tip
    assert "rename" not in tip


def fill(cohort):
    with gradebook.of(cohort).opened() as book:
        book.db.execute(text("PRAGMA max_page_count = 1"))
        book.db.execute(text("CREATE TABLE more AS SELECT * FROM grade, base_cell AS a, base_cell AS b"))


def test_a_full_disk_is_said_as_one(by_hand):
    with pytest.raises(Problem) as refused:
        fill(by_hand)
    assert "make room" in refused.value.tip


@pytest.mark.parametrize(
    ("judge", "remark", "by_hand", "said"),
    [
        ((1.0, Code.RIGHT), "Right.", 0.5, "Your instructor changed this mark."),
        ((0.0, Code.NOT_RIGHT), "Not right: too far off.", 1.0, "Your instructor changed this mark."),
        ((0.0, Code.SLIP), "You took d/2.", 0.5, "Your instructor changed this mark. You took d/2."),
        ((1.0, Code.RIGHT), "Right.", 1.0, "Right."),
    ],
)
def test_a_changed_mark_is_not_told_in_the_judges_words_for_another(judge, remark, by_hand, said):
    row = Row("amber", "profile", "bead-lag", "lag", judge[0], 1, judge[1], "", remark)
    place = ("amber", "profile", "bead-lag", "lag")
    (shown,) = manual_marks.over([row], {place: ManualMark(by_hand)}, {})
    assert (shown.points, shown.remark) == (by_hand, said)
