"""What an instructor is shown after a marking is what that marking changed."""

import io
import re

import pytest
from rich.cells import cell_len
from rich.console import Console

from graders import commands
from graders.commands import PEOPLE, Standing, tables_of_changes
from graders.judging.marks import Override, Row
from graders.questions.verdicts import Code
from workbook.topics import TOPICS


def row(topic, verdict=Code.RIGHT, points=2.0):
    return Row("amber", topic, "bead-lag", "lag", points, 2, verdict, "", "")


def test_the_table_has_the_topics_that_came_otherwise_and_what_they_were():
    standing = Standing(["intake", "joints", "profile"], {"amber"})
    rows = [row("intake"), row("joints"), row("profile", Code.BY_HAND, 0.0)]
    standing.add(rows, {"joints": {("bead-lag", "lag"): 1.0}, "profile": {}})
    assert standing.topics == ["joints", "profile"]
    assert standing.cells["amber"]["joints"] == "2/2 (was 1)"
    assert [standing.cells["amber"][head] for head in PEOPLE] == ["", "1"]


def test_who_is_no_longer_in_the_list_is_not_told():
    standing = Standing(["intake"], {"birch"})
    standing.add([row("intake")], {"intake": {}})
    assert standing.cells == {}
    assert standing.topics == []


def six_topics(learner, earned=15.0, out_of=40, before=None, width=80):
    """What is told on a terminal of one learner in all topics, with five answers that wait for a mark."""
    topics = [topic.slug for topic in TOPICS]
    standing = Standing(topics, {learner})
    rows = [Row(learner, topic, "bead-lag", "lag", earned, out_of, Code.PARTLY, "", "") for topic in topics]
    waiting = [Row(learner, "signoff", "bead-lag", "why", 0.0, 3, Code.BY_HAND, "by hand", "")] * 5
    standing.add(rows + waiting, {topic: before or {} for topic in topics})
    screen = Console(file=io.StringIO(), width=width)
    for table in tables_of_changes("Spring", standing, [learner], width):
        screen.print(table)
    return screen.file.getvalue()


def test_the_table_of_six_topics_has_a_line_a_learner_on_80_columns():
    table = six_topics("juniper")
    assert re.search(r"^learner +intake +joints +profile +shorts +paste +signoff ", table, re.MULTILINE)
    assert re.search(r"^juniper( +15/40){6} +5 *$", table, re.MULTILINE)


BEFORE = {("bead-lag", "lag"): 104.03}


@pytest.mark.parametrize("width", [40, 60, 80, 120])
@pytest.mark.parametrize("before", [None, BEFORE])
@pytest.mark.parametrize("learner", ["juniper", "x" * 40, "九" * 20])
def test_no_number_of_the_table_is_broken_or_cut_on_any_terminal(learner, before, width):
    table = six_topics(learner, 136.97, 253, before, width)
    assert len(re.findall(r"(?<!\S)136\.97/253(?!\S)", table)) == len(TOPICS)
    assert table.count("(was 104.03)") == (len(TOPICS) if before else 0)
    assert all(cell_len(line) <= width for line in table.splitlines())
    assert "…" not in table


def test_an_id_that_is_too_long_for_the_table_goes_on_below_and_is_not_cut():
    table = six_topics("x" * 40)
    assert table.count("x") == 40
    assert "…" not in table


def test_marks_by_hand_over_others_are_told_with_no_number_cut_on_80_columns(monkeypatch):
    screen = Console(file=io.StringIO(), width=80)
    monkeypatch.setattr(commands, "console", screen)
    one = Override(
        "x" * 40, "profile", "a-very-long-name-of-an-exercise", "a_long_name_of_a_part", 136.97, 104.03, 111.25, 253
    )
    commands.tell_overrides([one])
    table = screen.file.getvalue()
    assert re.search(r" 136\.97 .* 104\.03 .* 111\.25 ", table)
    assert table.count("xx") == 20
    assert "…" not in table
