"""A board on your bench in a lesson: kept where the terminal keeps it, and nothing lost by a wrong word."""

import json
import os
import re

import pytest

from workbook.case import acts, keeping
from workbook.case.playing import play
from workbook.drawings.bench import board_at_work
from workbook.panels.case import CasePanel


@pytest.fixture
def panel(tmp_path, monkeypatch):
    monkeypatch.setattr(keeping, "folder", lambda: tmp_path / "cases")
    return CasePanel()


def opened(panel, number="117"):
    return panel.answer({"do": "open", "case": number})


def done(panel, *acts_):
    return panel.answer({"do": "play", "acts": list(acts_)})


def test_each_act_is_kept_where_the_terminal_keeps_it_and_a_new_panel_goes_on_there(panel):
    opened(panel)
    told = done(panel, "ask history", "look top")
    assert [step["told"] for step in told["steps"]] == [
        step.told for step in play(117, ["ask history", "look top"]).steps
    ]
    assert keeping.kept(117) == (["ask history", "look top"], "")
    again = opened(CasePanel(), None)
    assert again["case"] == 117
    assert [step["act"] for step in again["steps"]] == ["ask history", "look top"]


def test_what_was_refused_is_told_and_not_kept_and_beginning_again_keeps_nothing(panel):
    opened(panel)
    told = done(panel, "look top", "cool")
    assert told["steps"][-1]["refused"]
    assert keeping.kept(117)[0] == ["look top"]
    assert done(panel)["steps"] == []
    assert keeping.kept(117)[0] == []


def test_another_board_is_one_that_was_not_worked_on_here(panel):
    first = opened(panel, "")["case"]
    done(panel, "look top")
    assert opened(panel, " ")["case"] != first


@pytest.mark.parametrize("number", ["0", "abc", "100000", "-1", "1" * 400])
def test_what_is_no_case_is_said_and_the_one_on_the_bench_stays(panel, number):
    opened(panel)
    done(panel, "look top")
    say = opened(panel, number)["say"]
    assert "is no case. Cases are numbered from 1" in say
    assert not re.search(r"\.\.|\. ?\.$|:$", say)
    assert len(done(panel, "look top", "look bottom")["steps"]) == 2
    assert keeping.kept(117)[0] == ["look top", "look bottom"]


@pytest.mark.parametrize("acts_", [["fly"], [7], "look top", None, ["look top"] * 5000, [["look top"]]])
def test_what_cannot_be_played_is_said_and_what_was_kept_stands(panel, acts_):
    opened(panel)
    done(panel, "look top")
    assert re.search(r"[^.]\.$", panel.answer({"do": "play", "acts": acts_})["say"])
    assert keeping.kept(117)[0] == ["look top"]


def test_a_message_that_says_nothing_is_answered_with_a_line(panel):
    assert panel.answer({})["say"]


def test_an_edited_save_is_set_aside_and_said(panel):
    keeping.file(117).parent.mkdir(parents=True)
    keeping.file(117).write_text(json.dumps({"seed": 23, "acts": ["look top"]}))
    assert "set aside" in opened(panel)["say"]
    assert opened(panel)["steps"] == []


def test_where_nothing_can_be_kept_the_act_is_done_and_it_is_said(panel, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    opened(panel)
    monkeypatch.setattr(os, "replace", full)
    told = done(panel, "look top")
    assert len(told["steps"]) == 1
    assert "This case is not kept." in told["say"]
    assert "No space left" in told["say"]


def test_where_the_place_for_cases_is_none_the_act_is_done_and_it_is_said(panel, tmp_path):
    opened(panel)
    (tmp_path / "cases").write_text("")  # a file where the folder should be
    told = done(panel, "look top")
    assert len(told["steps"]) == 1
    assert "This case is not kept." in told["say"]


def test_of_a_case_open_twice_no_act_of_the_one_is_written_over_by_the_other(panel):
    """The same lesson side by side, or a lesson and a terminal: the second to act is told to open it again."""
    other = CasePanel()
    opened(panel)
    opened(other)
    done(panel, "ask history")
    done(panel, "ask history", "look top")
    told = done(other, "look bottom")
    assert "worked on elsewhere" in told["say"]
    assert [step["act"] for step in told["steps"]] == ["look bottom"]
    assert keeping.kept(117)[0] == ["ask history", "look top"]
    assert [step["act"] for step in opened(other)["steps"]] == ["ask history", "look top"]
    assert "say" not in done(other, "ask history", "look top", "look bottom")
    assert keeping.kept(117)[0] == ["ask history", "look top", "look bottom"]


def test_every_place_that_can_be_pointed_at_is_an_act_of_looking():
    """A click cannot be taken back: nothing that changes the board is done by pointing."""
    names = [region.name for region in board_at_work().regions]
    assert len(set(names)) == len(names) == 6
    assert set(names) <= set(acts.LOOKS)
