"""What an instructor is shown after a marking is what that marking changed."""

from graders.commands import PEOPLE, Standing
from graders.judging.marks import Row
from graders.questions.verdicts import Code


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
