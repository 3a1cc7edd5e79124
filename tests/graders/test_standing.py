"""What an instructor is shown after a marking is what that marking changed."""

import io
import re

from rich.console import Console

from graders.commands import PEOPLE, Standing, table_of_changes
from graders.judging.marks import Row
from graders.questions.verdicts import Code
from workbook.topics import TOPICS


def row(topic, verdict=Code.RIGHT, points=2.0):
    return Row("amber", topic, "bead-lag", "lag", points, 2, verdict, "", "")


def test_the_table_has_the_topics_that_came_otherwise_and_what_they_were():
    standing = Standing(["intake", "joints", "profile"], {"amber"})
    rows = [row("intake"), row("joints"), row("profile", Code.BY_HAND, 0.0)]
    standing.add(rows, {"joints": {("bead-lag", "lag"): 1.0}, "profile": {}})
    assert standing.topics == ["joints", "profile"]
    assert standing.cells["amber"]["joints"] == "2 / 2 (was 1)"
    assert [standing.cells["amber"][head] for head in PEOPLE] == ["", "1"]


def test_who_is_no_longer_in_the_list_is_not_told():
    standing = Standing(["intake"], {"birch"})
    standing.add([row("intake")], {"intake": {}})
    assert standing.cells == {}
    assert standing.topics == []


def six_topics(learner):
    """The table of one learner in all topics on a terminal of 80 columns, with five answers that wait for a mark."""
    topics = [topic.slug for topic in TOPICS]
    standing = Standing(topics, {learner})
    rows = [Row(learner, topic, "bead-lag", "lag", 15.0, 40, Code.PARTLY, "", "") for topic in topics]
    waiting = [Row(learner, "signoff", "bead-lag", "why", 0.0, 3, Code.BY_HAND, "by hand", "")] * 5
    standing.add(rows + waiting, {topic: {} for topic in topics})
    screen = Console(file=io.StringIO(), width=80)
    screen.print(table_of_changes("Spring", standing, [learner]))
    return screen.file.getvalue()


def test_the_table_of_six_topics_has_a_line_a_learner_on_80_columns():
    table = six_topics("juniper")
    assert re.search(r"^learner +intake +joints +profile +shorts +paste +signoff ", table, re.MULTILINE)
    assert re.search(r"^juniper( +15 / 40){6} +5 *$", table, re.MULTILINE)


def test_an_id_that_is_too_long_for_the_table_goes_on_below_and_is_not_cut():
    table = six_topics("x" * 40)
    assert table.count("x") == 40
    assert "…" not in table
