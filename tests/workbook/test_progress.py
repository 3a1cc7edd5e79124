"""The progress file survives crashes, two writers at once, and damage: nothing but the damaged line is lost."""

import multiprocessing
import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import workbook
from workbook import progress
from workbook.progress import Event

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def event(number, **what):
    return Event("practice", "profile", "bead-lag", NOON + timedelta(seconds=number), {"number": number, **what})


def numbers_of(read):
    return [one.what["number"] for one in read.events]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "data" / "progress.jsonl"


def test_what_was_written_is_read_back(path):
    for number in range(3):
        progress.add(event(number, word="größer"), path)
    assert progress.read(path).events == tuple(event(number, word="größer") for number in range(3))


def test_without_a_file_there_is_no_progress_and_nothing_to_say(path):
    assert progress.read(path) == progress.Progress()


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=40)
@given(cut=st.integers(0, 400))
def test_a_crash_at_any_byte_costs_at_most_the_line_being_written(tmp_path, cut):
    path = tmp_path / "progress.jsonl"
    path.unlink(missing_ok=True)
    for number in range(3):
        progress.add(event(number), path)
    whole = path.read_bytes()
    path.write_bytes(whole[: min(cut, len(whole))])
    kept = path.read_bytes().count(b"\n")
    progress.add(event(9), path)
    read = numbers_of(progress.read(path))
    assert read[:kept] == list(range(kept))
    assert read[-1] == 9


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
@given(
    at=st.integers(0, 2),
    damage=st.one_of(
        st.binary(max_size=60).map(lambda raw: raw.replace(b"\n", b"").replace(b"\r", b"")),
        st.sampled_from([b"{}", b"[]", b"null", b"1e999", b'{"kind": "check"}', b"\x00" * 20, b'"at"']),
    ),
)
def test_a_damaged_line_is_set_aside_and_said_and_the_others_are_kept(tmp_path, at, damage):
    path = tmp_path / "progress.jsonl"
    for old in tmp_path.iterdir():
        old.unlink()
    for number in range(3):
        progress.add(event(number), path)
    lines = path.read_bytes().split(b"\n")
    lines[at] = damage
    path.write_bytes(b"\n".join(lines))
    read = progress.read(path)
    assert numbers_of(read) == [number for number in range(3) if number != at]
    if damage.strip():
        assert "set aside" in read.said
        assert damage in (tmp_path / "progress-damaged-1.txt").read_bytes()
    assert progress.read(path).said == ""


def test_a_file_that_is_a_folder_is_said_and_stops_nothing(path):
    path.mkdir(parents=True)
    progress.add(event(1), path)
    read = progress.read(path)
    assert read.events == ()
    assert "cannot be read" in read.said


def _write_many(path, first):
    for number in range(first, first + 40):
        progress.add(event(number), Path(path))


def test_two_notebooks_writing_at_once_lose_nothing(path):
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=_write_many, args=(str(path), first)) for first in (0, 100)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    assert sorted(numbers_of(progress.read(path))) == [*range(40), *range(100, 140)]


def test_progress_is_kept_in_the_users_own_data_folder_without_posix(tmp_path):
    code = (
        "import os, sys\n"
        "for name in ('fork', 'forkpty'):\n    delattr(os, name) if hasattr(os, name) else None\n"
        "from workbook import progress\nprint(progress.file())"
    )
    root = str(Path(workbook.__file__).parents[1])
    env = {**os.environ, "XDG_DATA_HOME": str(tmp_path), "PYTHONPATH": root}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, timeout=120)
    assert Path(done.stdout.strip()).name == "progress.jsonl", done.stderr


def test_the_word_for_the_numbers_of_a_notebook_knows_other_numbers_and_ignores_line_ends():
    assert progress.numbers("a = 1\nb = 2") == progress.numbers("a = 1\r\nb = 2\n")
    assert progress.numbers("a = 1") != progress.numbers("a = 2")
