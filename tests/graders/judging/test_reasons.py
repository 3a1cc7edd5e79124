"""What `graders why` says: enough for an instructor to answer a learner's question without opening the notebook."""

import pytest

from graders import sheets
from graders.judging import reasons
from graders.judging.marks import Row
from graders.questions.parts.design import Design
from graders.questions.parts.written import Written
from graders.questions.verdicts import Code


def said(exercise, rows, numbers=None):
    return list(reasons.lines(rows, exercise, exercise.worked(), numbers or {}))


def row(exercise, part, points, verdict, **more):
    fields = {"flag": "", "remark": ""} | more
    return Row("amber", "profile", exercise.id, part, points, 2, Code.read(verdict), **fields)


BEAD = sheets.find("profile", "bead-lag")


def test_a_slip_is_told_with_its_name_the_answer_and_the_key_in_the_parts_unit():
    slip = row(
        BEAD, "time_constant", 0.0, "slip", flag="d/2 for volume over area", remark="Volume over surface is d/6."
    )
    head, answered, expected, remark = said(BEAD, [slip], {"time_constant": 12.0})
    assert head == "time_constant: 0 of 2, slip (d/2 for volume over area)"
    assert answered.strip() == "answered 12 s"
    key = BEAD.key(BEAD.worked())["time_constant"]
    assert expected.strip() == f"expected {key:.5g} s"
    assert remark.strip() == "Volume over surface is d/6."


def test_a_notebook_that_did_not_come_is_one_line_and_gives_no_key_away():
    missing = [row(BEAD, part.name, 0.0, Code.NOT_HANDED_IN, flag=Code.NOT_HANDED_IN.label) for part in BEAD.parts]
    assert said(BEAD, missing) == ["This notebook was not handed in."]


def test_words_that_were_answered_are_said_and_a_long_text_is_cut_with_its_length():
    exercise = sheets.find("profile", "why-from-below")
    (part,) = [part for part in exercise.parts if isinstance(part, Written)]
    rows = [row(exercise, part.name, 0.0, "by hand")]
    wrote = {part.name: "It sags.\n" + "More.\n" * 30}
    words = list(reasons.lines(rows, exercise, exercise.worked(), {}, wrote))
    assert words[1] == "    answered It sags."
    assert words[2].strip() == "More."
    assert "… 31 lines in all" in " ".join(words)
    assert not any("answered" in line for line in said(exercise, rows))


@pytest.mark.parametrize(("many", "shown", "cut"), [(1, 1, False), (20, 20, False), (21, 20, True), (40, 20, True)])
def test_twenty_lines_of_an_answer_are_shown(many, shown, cut):
    exercise = sheets.find("profile", "why-from-below")
    (part,) = [part for part in exercise.parts if isinstance(part, Written)]
    text = "\n".join(f"line {place}" for place in range(many))
    words = list(
        reasons.lines([row(exercise, part.name, 0.0, "by hand")], exercise, exercise.worked(), {}, {part.name: text})
    )
    assert [line.split("line ")[1] for line in words if "line " in line] == [str(place) for place in range(shown)]
    assert (f"… {many} lines in all" in " ".join(words)) is cut


def test_a_number_is_told_with_five_figures_and_an_empty_cell_is_not_told():
    right = row(BEAD, "time_constant", 2.0, "right")
    assert said(BEAD, [right], {"time_constant": 12.34567})[1].strip() == "answered 12.346 s"
    wrote = {"time_constant": " \n"}
    assert not [line for line in reasons.lines([right], BEAD, BEAD.worked(), {}, wrote) if "answered" in line]


def test_nothing_is_said_that_the_mark_does_not_hold():
    """No flag, no remark, no comment: the head, and what was expected."""
    assert len(said(BEAD, [row(BEAD, "time_constant", 2.0, "right")])) == 2


@pytest.mark.parametrize(
    ("verdict", "flag", "said"),
    [
        ("slip", "d/2 for d", " (d/2 for d)"),
        ("right", "", ""),
        ("not handed in", "Not handed in", ""),
        ("needs a look", "look", ""),
        ("needs a look", "look again", " (look again)"),
    ],
)
def test_a_flag_is_told_where_it_says_more_than_the_words_of_the_mark(verdict, flag, said):
    flagged = row(BEAD, "time_constant", 0.0, verdict, flag=flag)
    (head, *_) = reasons.lines(
        [flagged, row(BEAD, "time_constant", 0.0, "right")], BEAD, BEAD.worked(), {"time_constant": 1.0}
    )
    assert head == f"time_constant: 0 of 2, {verdict}{said}"


def test_an_answer_in_words_shows_what_a_good_one_says_and_the_comment_that_was_given():
    exercise = sheets.find("profile", "why-from-below")
    (part,) = [part for part in exercise.parts if isinstance(part, Written)]
    words = said(exercise, [row(exercise, part.name, 1.0, "marked by hand", comment="The corner is missing.")])
    assert any(part.model in line for line in words)
    assert words[-1].strip() == "Your comment: The corner is missing."


def test_a_design_shows_one_choice_that_holds():
    exercise = sheets.find("profile", "choose-a-programme")
    (part,) = [part for part in exercise.parts if isinstance(part, Design)]
    words = said(exercise, [row(exercise, part.name, 0.0, "not right")])
    assert all(f"{name} = " in words[1] for name in part.answer_names)
