"""Marking that is cut off anywhere loses nothing, marks nothing twice, and goes on where it stopped."""

import functools
import json
import os
import random
import shutil
import subprocess
import sys

import pytest

from graders import gradebook
from graders.cohort.paths import Cohort
from graders.cohort.roster import Learner
from graders.handout import handing_out
from graders.marking import run as marking
from graders.marking.pool import Pool
from graders.runner import contained
from tests.graders.cohorts import all_rows
from tests.patience import eventually
from workbook.problems import Problem

KILLS = 15
ONE_MARKING = """
import sys
from graders.marking import run
from graders.marking.pool import Pool
from graders.cohort.paths import Cohort
from graders.runner import contained
if __name__ == "__main__":
    run.CHUNK = 2
    with Cohort.open(sys.argv[1]).locked():
        run.mark(Cohort.open(sys.argv[1]), Pool(contained.Contained))
"""


def rows_in_order(cohort):
    return sorted(all_rows(cohort), key=lambda row: (row.learner, row.exercise, row.part))


def scores(cohort):
    from nbgrader.api import Grade

    with gradebook.of(cohort).opened() as book:
        return sorted(
            (grade.notebook.assignment.student_id, grade.notebook.name, grade.cell.name, grade.auto_score)
            for grade in book.db.query(Grade)
        )


def has_gone(group):
    """Whether the last process of a group has ended."""
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return True
    return False


def many(made, root, count):
    """Copy the cohort and give it more learners with the submissions of the honest ones."""
    shutil.copytree(made.root, root)
    cohort = Cohort.open(root)
    shutil.rmtree(root / "submitted" / "hazel")
    handing_out.make([Learner(f"more-{number}", "More (invented)") for number in range(count)], root)
    for number in range(count):
        shutil.copytree(cohort.handout(f"more-{number}"), root / "submitted" / f"more-{number}")
    return cohort


@pytest.mark.contained
@pytest.mark.slow
@pytest.mark.timeout(400)
def test_killed_again_and_again_at_random_it_ends_with_the_marks_of_a_run_in_peace(made, tmp_path):
    """Each kill is a SIGKILL of the driver, somewhere from its start to its end; its processes end by themselves.

    Hundreds of kills, of every command, are in ``tests/benchmarks/kills.py``.
    """
    peace, war = many(made, tmp_path / "peace", 24), tmp_path / "war"
    shutil.copytree(peace.root, war)
    war = Cohort.open(war)
    marking.mark(peace, Pool(contained.Contained, alone=True))
    chance, killed, finished = random.Random(7), 0, 0
    while killed < KILLS:
        process = subprocess.Popen([sys.executable, "-c", ONE_MARKING, str(war.root)], start_new_session=True)
        try:
            process.wait(timeout=chance.uniform(0.8, 4))
            finished += 1
            war.journal.unlink()  # everything is marked: begin once more, over the same gradebook
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait(60)
            assert eventually(functools.partial(has_gone, process.pid))
            killed += 1
    subprocess.run([sys.executable, "-c", ONE_MARKING, str(war.root)], check=True, timeout=300)
    assert rows_in_order(war) == rows_in_order(peace)
    assert scores(war) == scores(peace)
    lines = [json.loads(line) for line in war.journal.read_text().splitlines() if line.endswith("}")]
    newest = {(line["learner"], line["topic"]): line["digest"] for line in lines}
    assert len(newest) == len(list((war.root / "submitted").iterdir()))
    assert list(war.root.rglob(".writing-*")) == []


def test_a_line_cut_off_in_the_journal_is_passed_over_and_marked_again(fresh, pool):
    keep = {"amber", "birch"}
    for folder in (fresh.root / "submitted").iterdir():
        if folder.name not in keep:
            shutil.rmtree(folder)
    marking.mark(fresh, pool)
    whole = rows_in_order(fresh)
    text = fresh.journal.read_text()
    fresh.journal.write_text(text[: len(text) - 200])
    summary = marking.mark(fresh, pool)
    assert len(summary.marked) == 1
    assert rows_in_order(fresh) == whole


def test_two_markings_at_once_are_refused_in_one_line(fresh):
    with fresh.locked(), pytest.raises(Problem, match="being marked already"), Cohort.open(fresh.root).locked():
        pass


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere: run as an ordinary user to see this")
def test_an_unwritable_folder_is_one_error_line(fresh):
    from click.testing import CliRunner

    from graders.cli import main

    (fresh.root / "report").mkdir(exist_ok=True)
    (fresh.root / "report").chmod(0o500)
    result = CliRunner().invoke(main, ["mark", str(fresh.root)])
    assert result.exit_code == 1
    assert result.stderr.startswith("ERROR  ")


def test_a_full_disk_is_one_error_line_and_the_finished_is_kept(fresh, monkeypatch):
    from click.testing import CliRunner

    from graders import commands
    from graders.cli import main

    def full(*arguments, **named):
        raise OSError(28, "No space left on device", str(fresh.root / "autograded"))

    monkeypatch.setattr(commands.marking, "mark", full)
    result = CliRunner().invoke(main, ["mark", str(fresh.root)])
    assert result.exit_code == 1
    assert "No space left on device" in result.stderr
    assert "kept" in result.stderr


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 30 MB of its own, to be filled."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = shutil.which("mount") and subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=30m", "tmpfs", disk],
        capture_output=True,
        timeout=300,
    )
    if not mounted or mounted.returncode:
        pytest.skip("a disk can be made by root only")
    yield disk
    subprocess.run(["umount", "-l", disk], check=True, timeout=300)


@pytest.mark.slow
@pytest.mark.parametrize("room", [0, 30_000, 120_000])
@pytest.mark.parametrize("command", ["handout", "mark", "report", "backup"])
def test_a_disk_that_is_really_full_is_one_line_and_with_room_the_same_command_ends_well(
    command, room, fresh, small_disk
):
    from click.testing import CliRunner

    from graders.cli import main

    root, people = small_disk / "spring", small_disk.parent / "more.csv"
    shutil.copytree(fresh.root, root)
    shutil.rmtree(root / "submitted" / "hazel")
    people.write_text("id,name\n" + "".join(f"more-{number},More (invented)\n" for number in range(9)))
    words = ["handout", people, "--to", root] if command == "handout" else [command, root]
    filler = small_disk / "filler"
    filler.write_bytes(b"x" * max(0, shutil.disk_usage(small_disk).free - room))
    full = CliRunner().invoke(main, [str(word) for word in words])
    assert full.exit_code == 1, full.output
    error, tip = full.stderr.splitlines()
    assert error.startswith("ERROR  ")
    assert "No space left" in error or "disk is full" in error
    assert "make room" in tip
    filler.unlink()
    again = CliRunner().invoke(main, [str(word) for word in words])
    assert again.exit_code == 0, again.output
