"""A case in a terminal: kept after each act, gone on with, and nothing lost by a wrong line or a spoiled file."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from graders.desk import case_terminal
from workbook import cli
from workbook.case import acts, keeping
from workbook.case.playing import MOST_ACTS, TO_END, play


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.setattr(keeping, "folder", lambda: tmp_path / "cases")

    def run(*typed, case="117", columns="80"):
        arguments = ["practise", "--case", *([case] if case else [])]
        return CliRunner().invoke(cli.main, arguments, input="\n".join(typed) + "\n", env={"COLUMNS": columns})

    return run


def test_every_act_stands_once_in_the_list_by_its_number():
    assert sorted(case_terminal.ORDER) == sorted(acts.WORDS)


def test_acts_are_done_by_words_and_by_numbers_and_kept_after_each(run):
    done = run("ask history", "2", "5 20", "end")
    assert done.exit_code == 0
    assert keeping.kept(117) == (["ask history", "look top", "discharge 20"], "")
    for step in play(117, ["ask history", "look top", "discharge 20"]).steps:
        assert step.told.split(".")[0].split(":")[0] in " ".join(done.stdout.split())


def test_a_case_is_gone_on_with_and_tells_what_it_would_have_told_in_one_go(run):
    run("unplug", "discharge 20", case="23")
    done = run("prove dead", "measure core cold", case=None)
    assert "Case 23" in done.stdout
    assert "2 acts, to go on from" in done.stdout
    assert play(23, ["unplug", "discharge 20", "prove dead", "measure core cold"]).steps[-1].told in done.stdout


def test_what_is_no_act_is_told_and_costs_nothing(run):
    done = run("fly", "heat U1 1 2 3", "  ", "99", "x" * 4000, "look top")
    assert done.stdout.count("Nothing was done") == 4
    assert keeping.kept(117)[0] == ["look top"]


def test_thousands_of_acts_end_at_a_bound_and_lose_nothing(run):
    done = run(*["look top"] * 300)
    assert "at most" in done.stdout
    assert len(keeping.kept(117)[0]) == MOST_ACTS - TO_END  # what is left cools and closes it
    assert keeping.unfinished() is None


def test_a_full_case_can_always_be_cooled_and_closed_and_what_was_refused_does_not_fill_it(run):
    bare = ["unplug", "discharge 20", "prove dead", "loosen sink", "remove sink", "hood on", "bake 48", "cool"]
    done = run(
        *["cool"] * 100,
        *bare,
        *["bead U1"] * (MOST_ACTS - TO_END - 9),
        "heat U1 300 280 90",
        "look top",
        "cool",
        "return unrepaired",
    )
    kept, _ = keeping.kept(117)
    assert kept[-3:] == ["heat U1 300 280 90", "cool", "return unrepaired"]
    assert play(117, kept).done.end == "return unrepaired"
    assert "Now close it" in done.stdout


def test_a_file_that_is_there_and_cannot_be_read_is_said_and_never_written_over(run):
    keeping.file(117).mkdir(parents=True)  # stands for any file the system will not open
    done = run("look top", "end")
    assert done.exit_code != 0
    assert "cannot be read" in done.stderr
    assert keeping.file(117).is_dir()
    assert keeping.unfinished() is None


def test_where_nothing_can_be_kept_the_case_goes_on_and_it_is_said(run, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    done = run("look top", "look bottom", "list", "end")
    assert done.exit_code == 0
    words = " ".join(done.stdout.split())
    assert words.count("This case is not kept:") == 2
    assert "job = ['look top', 'look bottom']" in words


def test_an_unsafe_act_shows_the_page_and_the_case_stays_closed(run):
    done = run("remove sink", "look top")
    for words in (
        "STOPPED",
        "The way taken",
        "What was hidden",
        "The record for the customer",
        "job = ['remove sink']",
    ):
        assert words in done.stdout
    assert keeping.kept(117)[0] == ["remove sink"]
    assert keeping.unfinished() is None


def test_a_whole_case_shows_where_it_was_decided_and_what_it_brought(run):
    ways = ["ask history", "look top", "look bottom", "tell findings", "tell limits", "refuse"]
    shown = " ".join(run(*ways).stdout.split())
    for words in (
        "It was decided with act 6",
        "A look at both rails was worth",
        "the best way found:",
        "turned down",
    ):
        assert words in shown


@pytest.mark.parametrize(
    "spoiled",
    [
        "",
        "{",
        "[1]",
        '{"seed": 118, "acts": []}',
        '{"seed": 117, "acts": "look top"}',
        '{"seed": 117, "acts": ["fly"]}',
        json.dumps({"seed": 117, "acts": ["look top"] * 5000}),
        "[" * 50000,
    ],
)
def test_a_spoiled_or_edited_file_is_set_aside_and_said(run, spoiled):
    keeping.file(117).parent.mkdir(parents=True)
    keeping.file(117).write_text(spoiled)
    done = run("look top", "end")
    assert done.exit_code == 0
    assert "set aside" in done.stdout
    assert [path.read_text() for path in keeping.folder().glob("*set aside*")] == [spoiled]
    assert keeping.kept(117)[0] == ["look top"]


def test_looking_for_the_case_to_go_on_with_sets_no_spoiled_file_aside_unsaid(run):
    run("look top", case="23")
    keeping.file(117).write_text("{")
    assert "Case 23" in run("look bottom", "end", case=None).stdout
    assert keeping.file(117).read_text() == "{"
    assert "set aside" in run("end").stdout  # said where it is opened


def test_a_spoiled_file_that_cannot_be_set_aside_is_said_and_never_written_over(run, monkeypatch):
    keeping.file(117).parent.mkdir(parents=True)
    keeping.file(117).write_text("{")

    def refused(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", refused)
    done = run("look top", "end")
    assert done.exit_code != 0
    assert "cannot be read: Permission denied" in done.stderr
    assert keeping.file(117).read_text() == "{"


def test_fresh_cases_come_without_end_and_never_twice(run):
    for _ in range(3):
        run("remove sink", case=None)
    assert len(list(keeping.folder().glob("*.json"))) == 3


@pytest.mark.parametrize("number", ["0", "abc", "100000", "-1", "1" * 400, "１１７"])
def test_what_is_no_case_is_one_error_line(run, number):
    done = run("end", case=number)
    assert done.exit_code != 0
    assert done.stderr.splitlines()[0].startswith(("ERROR", "Usage"))


def test_every_line_fits_80_columns_and_a_narrower_screen(run):
    for columns in (80, 48):
        ways = ("acts", "ask history", "so far", "unplug", "discharge 20", "prove dead", "refuse")
        lines = run(*ways, columns=str(columns), case=str(columns)).stdout.splitlines()
        assert max(map(len, lines)) <= columns + 3  # the prompt stands before what is told, and is not echoed there
