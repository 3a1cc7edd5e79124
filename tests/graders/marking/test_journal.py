"""The journal keeps what counts: compacted whole or not at all, and compared by what it says."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import replace

import pytest

from graders.gradebook.manual_marks import ManualScore, MarkedOn
from graders.judging.marks import Finding, Row
from graders.marking import journal
from graders.marking.journal import Journal, Result
from graders.questions.verdicts import Code
from tests.patience import ended_by_then


def result(learner, points=1.0, topic="profile", digest="d"):
    row = Row(learner, topic, "bead-lag", "lag", points, 2, Code.PARTLY, "", "Half of it.")
    return Result(learner, topic, (row,), (), digest, judged={"bead-lag": "e"}, counts=1.0)


@pytest.fixture
def path(tmp_path):
    """A journal in which forty learners were marked three times each."""
    path = tmp_path / "marked.jsonl"
    for points in (0.0, 0.5, 1.0):
        Journal(path).append([result(f"l{number}", points) for number in range(40)])
    return path


def said(path):
    return {one.learner: one for one in Journal(path)}


def test_compacted_it_says_the_same_in_a_third_of_its_lines(path):
    before = said(path)
    kept = Journal(path)
    assert kept.compact(least=0)
    assert said(path) == {one.learner: one for one in kept} == before
    assert len(path.read_bytes().splitlines()) == 40
    assert {one.rows[0].points for one in before.values()} == {1.0}
    assert not kept.compact(least=0), "nothing is left to drop"


def test_it_is_left_alone_where_little_would_be_gained(path):
    before = path.read_bytes()
    assert not Journal(path).compact()
    assert path.read_bytes() == before


def test_a_line_that_this_version_cannot_read_is_kept(path):
    later = b'{"learner": "l1", "of": "a version to come"}'
    path.write_bytes(path.read_bytes() + later)
    assert Journal(path).compact(least=0)
    assert later in path.read_bytes().splitlines()
    Journal(path).append([result("l1", 2.0)])
    assert said(path)["l1"].rows[0].points == 2.0


def test_who_reads_it_goes_on_reading_the_state_it_began_with(path):
    reader, before = Journal(path), said(path)
    writer = Journal(path)
    assert writer.compact(least=0)
    writer.append([result("l7", 2.0)])
    assert {one.learner: one for one in reader} == before


def test_what_is_marked_is_read_back_at_once_and_what_stood_before_is_too(path):
    here = Journal(path)
    before = here.place(("l3", "profile"))
    here.append([result("l3", 2.0), result("new", 0.5)])
    assert [here.get((one, "profile")).rows[0].points for one in ("l3", "new")] == [2.0, 0.5]
    assert here.at(before).rows[0].points == 1.0


COMPACT = """
import os, sys, pathlib
from graders.marking.journal import Journal
path, whole = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[1]).read_bytes()
print("ready", flush=True)
while Journal(path).compact(least=0):
    path.with_name("again").write_bytes(whole)
    os.replace(path.with_name("again"), path)
"""


def test_killed_at_any_moment_it_is_the_old_one_or_the_new_one(path):
    before, chance = said(path), random.Random(5)
    command = [sys.executable, "-c", COMPACT, path]
    with ended_by_then(subprocess.Popen(command, stdout=subprocess.PIPE)) as process, process:
        assert process.stdout.readline() == b"ready\n"
        for _ in range(40):  # stopped somewhere in it, and looked at as a kill would leave it
            time.sleep(chance.uniform(0, 0.004))
            process.send_signal(signal.SIGSTOP)
            assert said(path) == before
            process.send_signal(signal.SIGCONT)
        assert process.poll() is None, "it went on all the time"
        process.kill()
    assert said(path) == before


def test_a_disk_that_fills_up_meanwhile_leaves_the_old_one(path, monkeypatch):
    def full(_):
        raise OSError(28, "No space left on device")

    before = path.read_bytes()
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        Journal(path).compact(least=0)
    assert path.read_bytes() == before


def test_a_journal_holds_another_that_says_nothing_newer_compacted_or_not(path):
    long = path.read_bytes()
    Journal(path).compact(least=0)
    short = path.read_bytes()
    assert journal.holds(long, short)
    assert journal.holds(short, long)
    assert journal.holds(short, b"")
    assert not journal.holds(b"", short)
    newer = json.dumps(json.loads(journal.line(result("l1", 2.0))) | {"when": "2999-01-01T00:00:00+00:00"}).encode()
    assert journal.holds(short + newer, short)
    assert not journal.holds(short, short + newer)


def test_of_two_that_went_different_ways_neither_holds_the_other(path):
    one, other = (
        path.read_bytes() + journal.line(replace(result("l1", points), when="2999")).encode() for points in (0.0, 2.0)
    )
    assert not journal.holds(one, other)
    assert not journal.holds(other, one)


def test_a_topic_that_was_never_marked_has_no_result_no_place_and_no_hash(tmp_path):
    here = Journal(tmp_path / "none.jsonl")
    key = ("l1", "profile")
    assert key not in here
    assert (here.get(key), here.place(key), here.digest(key), here.judged(key)) == (None, None, None, {})
    assert here.at(0) is None
    assert list(here) == list(here.noted()) == []
    here.append([result("l1", digest="ab12")])
    assert key in here
    assert ("l1", "shorts") not in here
    assert ("l2", "profile") not in here
    assert (here.place(key), here.digest(key), here.judged(key)) == (0, "ab12", {"bead-lag": "e"})


def test_the_newest_line_of_a_topic_counts_wherever_the_older_stands(tmp_path):
    path = tmp_path / "marked.jsonl"
    Journal(path).append([result("l1", digest="aa"), result("l2", digest="bb"), result("l1", 2.0, digest="cc")])
    here = Journal(path)
    assert [here.digest((one, "profile")) for one in ("l1", "l2")] == ["cc", "bb"]
    assert here.get(("l1", "profile")).rows[0].points == 2.0
    assert here.get(("l2", "profile")).rows[0].points == 1.0
    assert len(list(here)) == len(list(here.noted())) == 2
    here.append([result("l1", 0.5, digest="dd")])
    assert (here.digest(("l1", "profile")), here.get(("l1", "profile")).rows[0].points) == ("dd", 0.5)


def test_what_could_not_be_marked_and_what_is_no_hash_are_tried_again(tmp_path):
    here = Journal(tmp_path / "marked.jsonl")
    here.append([result("l1", digest=journal.AT_FAULT), result("l2", digest="no hash")])
    assert [here.digest((one, "profile")) for one in ("l1", "l2")] == [journal.AT_FAULT] * 2


def test_a_line_says_when_and_by_which_version_it_was_marked(tmp_path):
    here = Journal(tmp_path / "marked.jsonl")
    here.append([result("l1"), result("l2")])
    one, other = here.noted()
    assert one is other, "what many were marked by is held once"
    assert one.when.endswith("+00:00")
    assert one.version
    assert (one.judged, one.fresh_numbers) == ({"bead-lag": "e"}, "")
    assert here.get(("l1", "profile")).when == one.when


@pytest.mark.parametrize(("least", "shrinks"), [(0, True), (1 << 30, False)])
def test_it_is_written_anew_where_half_as_much_is_spare_as_is_kept(least, shrinks, path):
    assert Journal(path).compact(least) is shrinks


def test_a_few_spare_lines_among_many_are_left(tmp_path):
    path = tmp_path / "marked.jsonl"
    Journal(path).append([result(f"l{number:02}") for number in range(20)])
    for many, shrinks in ((9, False), (1, True)):
        again = Journal(path)
        again.append([result(f"l{number:02}") for number in range(many)])
        assert Journal(path).compact(least=1) is shrinks, "9 lines are spare, then 10, to 20 that are kept"


def test_exactly_so_many_spare_bytes_are_enough(tmp_path):
    path = tmp_path / "marked.jsonl"
    for _ in range(2):
        Journal(path).append([result("l1")])
    spare = len(path.read_bytes().splitlines(keepends=True)[0])
    assert not Journal(path).compact(least=spare + 1)
    assert Journal(path).compact(least=spare)


def test_a_journal_of_a_few_learners_is_left_as_it_is():
    """Up to a mebibyte of old lines: a class of thirty writes less in a term."""
    assert journal.LEAST_SPARE == 1024 * 1024


def test_appending_returns_where_each_line_begins_and_how_long_it_is(tmp_path):
    path = tmp_path / "marked.jsonl"
    found = journal.append(path, [result("l1"), result("longer name")])
    found += journal.append(path, [result("l3")])
    content = path.read_bytes()
    assert [content[place : place + size] for place, size in found] == content.splitlines(keepends=True)


def test_after_a_line_cut_off_a_new_one_begins(tmp_path):
    path = tmp_path / "marked.jsonl"
    path.write_bytes(b'{"learner": "l0", "to')
    ((place, _),) = journal.append(path, [result("l1")])
    assert place == len(b'{"learner": "l0", "to\n')
    assert [one.learner for one in Journal(path)] == ["l1"]


def test_the_same_line_is_held_whatever_its_time_says(path):
    content = path.read_bytes()
    one, two = content.splitlines(keepends=True)[:2]
    assert journal.holds(one, one)
    assert not journal.holds(one, two), "another learner's"
    later = json.dumps(json.loads(one) | {"when": "2999"}).encode()
    same = json.dumps(json.loads(one) | {"digest": "ee"}).encode()
    assert not journal.holds(one, same), "marked in the same second to something else"
    assert journal.holds(later, one)
    assert journal.holds(b"unread\n" + one, b"unread\n")
    assert not journal.holds(one, b"unread\n")


@pytest.mark.parametrize(
    "line", [b"", b"[]", b"{}", b"nothing", b'{"rows": 1}', b"\xff", b'{"rows": [{}], "findings": []}']
)
def test_what_is_no_line_of_a_journal_is_passed_over(line, tmp_path):
    path = tmp_path / "marked.jsonl"
    path.write_bytes(line + b"\n")
    assert list(Journal(path)) == []


def test_what_a_newer_version_adds_is_passed_over_and_what_an_older_left_out_is_as_it_was(tmp_path):
    told = json.loads(journal.line(result("l1")))
    told["new"], told["rows"][0]["new"] = 1, 2
    del told["counts"], told["rows"][0]["comment"]
    (found,) = [journal._result(json.dumps(told).encode())]
    assert found == replace(result("l1"), counts=None)


def test_marks_by_hand_and_findings_come_back_as_they_were():
    basis = MarkedOn("a digest", None)
    whole = replace(
        result("l1"),
        bases={"bead-lag": {"lag": basis}},
        given={"bead-lag": {"lag": ManualScore(1.5, basis)}},
        findings=(Finding("l1", "profile", "bead-lag", "lag", "bare number"),),
        problems=("one", "two"),
        numbers={"bead-lag": {"lag": 1.0}},
    )
    assert journal._result(journal.line(whole).encode()) == whole


def test_a_journal_notes_as_many_results_as_it_wrote_lines(tmp_path, monkeypatch):
    monkeypatch.setattr(journal, "append", lambda path, results: [])
    with pytest.raises(ValueError, match="zip"):
        Journal(tmp_path / "marked.jsonl").append([result("l1")])
