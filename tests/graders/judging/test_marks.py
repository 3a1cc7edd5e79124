"""What a row of marks says: whether it came late, whether a person should look, and what all come to."""

from dataclasses import fields

import pytest

from graders.judging import marks
from graders.judging.marks import CAME_LATE, Row
from graders.questions.verdicts import Code


def row(points=0.4, code=Code.SLIP, flag="", remark="", out_of=2):
    return Row("amber", "profile", "bead", "lag", points, out_of, code, flag, remark)


def test_a_row_is_its_columns_in_order():
    assert row(flag="f", remark="r").as_tuple() == ("amber", "profile", "bead", "lag", 0.4, 2, Code.SLIP, "f", "r", "")
    assert [field.name for field in fields(Row)] == list(marks.COLUMNS)


@pytest.mark.parametrize(
    ("flag", "is_late", "own"),
    [
        ("", False, ""),
        ("late", True, ""),
        ("late; took the diameter", True, "took the diameter"),
        ("later", False, "later"),
        ("took the diameter", False, "took the diameter"),
    ],
)
def test_what_came_late_keeps_the_flag_of_the_judge_behind_it(flag, is_late, own):
    assert (marks.is_late(row(flag=flag)), marks.own_flag(row(flag=flag))) == (is_late, own)


def test_the_judges_own_remark_stands_before_what_lateness_costs():
    remark = f"Go back to the question. {CAME_LATE}: 80 % of the points."
    assert marks.own_remark(row(flag="late", remark=remark)) == "Go back to the question."
    assert marks.own_remark(row(flag="", remark=remark)) == remark


@pytest.mark.parametrize(
    ("code", "flag", "looks"),
    [
        (Code.NEEDS_A_LOOK, "", True),
        (Code.RIGHT, marks.OLDER_ANSWER, True),
        (Code.RIGHT, marks.AUTOMATIC_CHANGED, True),
        (Code.RIGHT, marks.CHANGED_BY_HAND, False),
        (Code.SLIP, "", False),
    ],
)
def test_a_person_looks_at_what_was_not_understood_and_at_a_mark_for_something_older(code, flag, looks):
    assert marks.needs_a_look(row(code=code, flag=flag)) is looks


def test_nothing_came_only_where_no_part_was_handed_in():
    gone, here = row(code=Code.NOT_HANDED_IN), row()
    assert [marks.nothing_came(rows) for rows in ([gone, gone], [gone, here], [here])] == [True, False, False]


def test_the_sum_leaves_out_what_waits_for_a_mark():
    waiting = row(0.0, Code.BY_HAND, out_of=5)
    assert marks.waits(waiting)
    assert not marks.waits(row())
    assert marks.total([row(1.5), row(0.5, out_of=3), waiting]) == (2.0, 5)
    assert marks.total([]) == (0, 0)


def test_every_finding_has_words_of_its_own():
    assert len(set(marks.FINDINGS.values())) == len(marks.FINDINGS) == 4
