"""What is made of a learner's HTML is bounded, in time and in room, however many tags it opens and leaves open."""

import pytest

from graders.notebooks import sanitise

pytestmark = pytest.mark.timeout(30)  # without bounds some of these take minutes

BOMBS = {
    "tags in tags": "<div>" * 3_999,
    "bold in every paragraph": "<b><p>" * 1_999,
    "italics that are all different": "".join(f"<i t={n}><p>" for n in range(1_999)),
    "bold tags that are all different": "".join(f"<b id=x{n}>" for n in range(3_999)),
    "shapes of type": "".join(f"<FONT size={n}><p>" for n in range(1_999)),
    "code around paragraphs": "".join(f"<code t={n}>" for n in range(1_300)) + "<p>" * 2_600,
    "closed by what closes nothing": "".join(f"<em t={n}><p></x></y>" for n in range(1_900)),
    "as many as are let through": "".join(f"<i t={n}>" for n in range(200)) + "<p>" * 3_700,
    "tables in tables": "<table><tr>x" * 1_999,
    "signs written out": "&lt;" * 50_000,
    "one tag of a megabyte": f"<b {'a=1 ' * 250_000}>",
    "a megabyte of letters": "x" * 1_000_000,
}


@pytest.mark.parametrize("what", BOMBS)
def test_a_bomb_of_tags_costs_neither_time_nor_room(what):
    shown = sanitise._html(BOMBS[what])
    assert sum(map(len, shown.values())) < 20 * len(BOMBS[what]) + 1_000
    assert sum(map(len, shown.values())) < 10_000_000


def test_a_notebook_of_many_bombs_costs_little_more_than_one():
    output = {"output_type": "display_data", "data": {"text/html": BOMBS["tags in tags"]}}
    notebook = {"cells": [{"cell_type": "code", "source": "", "outputs": [dict(output) for _ in range(500)]}]}
    sanitise.harmless(notebook)
    kinds = [list(one["data"]) for one in notebook["cells"][0]["outputs"]]
    assert kinds.count(["text/html"]) == sanitise.MOST_TAGS_OF_ALL // 3_999
    assert kinds.count(["text/plain"]) == 500 - sanitise.MOST_TAGS_OF_ALL // 3_999


def test_an_honest_table_is_shown_as_one():
    table = "<table>" + "<tr><td>1.5</td><td><b>peak</b></td></tr>" * 150 + "</table>"
    (shown,) = sanitise._html(table).values()
    assert shown.count("<td>") == 300
