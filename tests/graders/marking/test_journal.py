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

from graders.judging.marks import Row
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
