"""A notebook that nobody can place is held, told once, and taken for whose an instructor says it is."""

import json
import os

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort import arrival
from graders.cohort.record import HandoutRecord
from graders.inbox import accepted, filing
from graders.marking import run
from tests.graders.cohorts import rows_now
from workbook.problems import Problem

NAME = "04_bead-lag.ipynb"


@pytest.fixture
def parcel(fresh, tmp_path):
    """A folder with amber's answered notebook, whose seal was lost; what amber handed in before is another one."""
    path = fresh.submitted("amber", "profile") / NAME
    notebook = json.loads(path.read_text(encoding="utf-8"))
    path.write_bytes((fresh.handout("amber") / "profile" / NAME).read_bytes())
    del notebook["metadata"]["rework_workbook"]["seal"]
    (tmp_path / "in").mkdir()
    came = tmp_path / "in" / NAME
    came.write_text(json.dumps(notebook), encoding="utf-8")
    os.utime(came, (1_780_000_000, 1_780_000_000))
    return came


def one(cohort, learner="amber"):
    return HandoutRecord(cohort.record).find(learner, "profile", "bead-lag")


def held(cohort):
    return sorted((cohort.root / "held").glob("*"))


def test_what_is_held_is_told_once_and_keeps_the_time_it_came(fresh, parcel):
    first = filing.file_all(fresh, [parcel])
    assert (len(first.quarantined), first.held) == (1, 0)
    (kept,) = held(fresh)
    assert kept.stat().st_mtime == 1_780_000_000
    again = filing.file_all(fresh, [parcel])
    assert (again.quarantined, again.held, again.set_aside) == ([], 1, 0)


def test_accepted_it_is_the_learners_from_then_on_and_what_was_there_is_kept(fresh, parcel):
    filing.file_all(fresh, [parcel])
    place = fresh.submitted("amber", "profile") / NAME
    before, content = place.read_bytes(), parcel.read_bytes()
    done = filing.accept(fresh, held(fresh)[0], one(fresh))
    assert place.read_bytes() == content
    assert before in [path.read_bytes() for path in (fresh.root / "submitted_before").rglob("*.ipynb")]
    assert len(done.replaced) == 1
    assert held(fresh) == []
    assert arrival.handed_in(fresh, "amber", "profile").year == 2026
    again = filing.file_all(fresh, [parcel])
    assert (again.known, again.quarantined, held(fresh)) == (1, [], [])


def test_an_accepted_notebook_is_marked_on_that_learners_own_numbers(fresh, parcel, pool):
    filing.accept(fresh, parcel, one(fresh, "birch"))
    run.mark(fresh, pool, only=["birch"])
    rows = {row.part: row for row in rows_now(fresh) if (row.learner, row.exercise) == ("birch", "bead-lag")}
    for part in ("time_constant", "lag"):  # amber's working, from birch's givens
        assert rows[part].points == rows[part].out_of


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", ""),
        (b"hello", ""),
        (b"\xff\xfe", "not UTF-8"),
        (b"[" * 100_000, ""),
        (b'{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": []}', "holds no answer of profile/bead-lag"),
    ],
)
def test_what_is_no_notebook_of_the_exercise_is_not_taken(content, words, fresh, tmp_path):
    before = (fresh.submitted("amber", "profile") / NAME).read_bytes()
    path = tmp_path / "x.ipynb"
    path.write_bytes(content)
    with pytest.raises(Problem) as refused:
        filing.accept(fresh, path, one(fresh))
    assert words in str(refused.value)
    assert (fresh.submitted("amber", "profile") / NAME).read_bytes() == before
    assert not fresh.accepted.exists()


def test_a_handout_nobody_answered_is_not_taken(fresh):
    with pytest.raises(Problem, match="holds no answer"):
        filing.accept(fresh, fresh.handout("amber") / "profile" / NAME, one(fresh))


@pytest.mark.parametrize(
    "line", [b"hello", b"[]", b'{"sha256": 5, "learner": "a", "topic": "b", "exercise": "c"}', b"\xff"]
)
def test_a_damaged_line_of_what_was_accepted_is_named(line, fresh):
    fresh.accepted.write_bytes(line + b"\n")
    with pytest.raises(Problem, match="accepted.jsonl, line 1,"):
        accepted.read(fresh.accepted)


def test_what_is_accepted_after_a_line_without_end_stands_in_a_line_of_its_own(tmp_path):
    path, places = tmp_path / "accepted.jsonl", [("amber", "profile", "bead-lag"), ("birch", "profile", "bead-lag")]
    accepted.append(path, b"1", places[0], "x")
    path.write_bytes(path.read_bytes().rstrip(b"\n"))
    accepted.append(path, b"2", places[1], "x")
    assert list(accepted.read(path).values()) == places
    assert path.read_bytes().count(b"\n") == 2


def test_the_command_says_what_was_done_and_what_comes_next(fresh, parcel):
    result = CliRunner().invoke(main, ["accept", str(fresh.root), str(parcel), "--as", "amber/profile/bead-lag"])
    assert result.exit_code == 0, result.output
    assert "Taken as amber / profile / bead-lag" in result.output
    assert "REPLACED amber / profile / bead-lag" in result.output
    assert "Then: graders mark" in result.output


def test_another_learners_notebook_is_taken_only_where_that_is_said(fresh, parcel):
    birchs = fresh.submitted("birch", "profile") / NAME
    place, before = (
        fresh.submitted("amber", "profile") / NAME,
        (fresh.submitted("amber", "profile") / NAME).read_bytes(),
    )
    as_amber = ["accept", str(fresh.root), str(birchs), "--as", "amber/profile/bead-lag"]
    refused = CliRunner().invoke(main, as_amber)
    assert refused.exit_code == 1
    assert "the seal of birch's handout" in refused.output
    filing.accept(fresh, parcel, one(fresh, "birch"))
    with pytest.raises(Problem, match="was accepted as birch/profile/bead-lag before"):
        filing.accept(fresh, parcel, one(fresh))
    assert place.read_bytes() == before
    filing.accept(fresh, parcel, one(fresh, "birch"))  # where it is already: nothing to refuse
    taken = CliRunner().invoke(main, [*as_amber[:2], str(parcel), *as_amber[3:], "--although-sealed-for-another"])
    assert taken.exit_code == 0, taken.output
    assert place.read_bytes() == parcel.read_bytes()


def test_what_a_crash_cut_off_of_what_was_accepted_counts_for_nothing_and_stops_nobody(tmp_path):
    path, place = tmp_path / "accepted.jsonl", ("amber", "profile", "bead-lag")
    accepted.append(path, b"1", place, "x")
    with path.open("ab") as file:
        file.write(b'{"sha256": "12')
    before = accepted.read(path)
    assert list(before.values()) == [place]
    accepted.append(path, b"2", place, "x")
    assert len(accepted.read(path)) == 2
    assert before.items() <= accepted.read(path).items()
