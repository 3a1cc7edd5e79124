"""Whatever is killed, only what ran in it is lost, and nothing is left behind."""

import contextlib
import json
import os
import subprocess
import sys
import threading
from pathlib import Path

import psutil
import pytest

from graders.runner import contained as host
from graders.runner.contained import Contained
from graders.runner.job import Cell, Limits, Sheet
from tests.patience import ended_by_then, eventually, is_over

pytestmark = pytest.mark.contained

HOUSE = Path(host.__file__).parents[2]
SHORT = Sheet("short", (Cell("a = 6 * 7"), Cell("", report=("a",))))
FURNISHED = Sheet("furnished", (Cell("import scipy.stats\na = 6 * 7"), Cell("", report=("a",))))
SLOW = Sheet("slow", (Cell("a = 1"), Cell("", report=("a",)), Cell("import time\ntime.sleep(30)"), Cell("b = 2")))


def sandboxed(parent=None):
    """Return the processes below one (ours, unless told) that belong to a sandbox."""
    return [process for process in psutil.Process(parent).children(recursive=True) if belongs(process)]


def belongs(process):
    try:
        return "inside.zygote" in " ".join(process.cmdline())
    except psutil.Error:  # it has just ended
        return False


@pytest.fixture(scope="module")
def victim(contained):
    """A sandbox for this module to kill. The shared one is named to skip where there can be none."""
    before = {process.pid for process in sandboxed()}
    with Contained() as own:
        own.processes = lambda: [process for process in sandboxed() if process.pid not in before]
        yield own


@pytest.fixture
def runner(victim):
    """That sandbox, whole and at rest: bubblewrap outside and inside, the warm process and the furnished one."""
    victim.run([SHORT])
    victim.run([FURNISHED])
    assert eventually(lambda: len(victim.processes()) == 4)
    return victim


@pytest.fixture
def answered(monkeypatch):
    """Wait until the host has read what became of two cells, and say that it has."""
    read, feed = bytearray(), host.Report.feed

    def reading(self, data, upto):
        read.extend(data)
        return feed(self, data, upto)

    monkeypatch.setattr(host.Report, "feed", reading)
    return lambda: eventually(lambda: read.count(b"\n") == 2)


def in_background(runner, sheets, limits=Limits()):
    got = []
    thread = threading.Thread(target=lambda: got.append(runner.run(sheets, limits)))
    thread.start()
    return got, thread


HELD = """
import json
from concurrent.futures import ThreadPoolExecutor

import psutil

from graders.runner.contained import Contained
from graders.runner.job import Cell, Sheet

SHORT = Sheet("short", (Cell("a = 6 * 7"), Cell("", report=("a",))))
FLOODS = Sheet("floods", (Cell("import os; [os.write(3, b'x' * 10**6) for _ in iter(int, 1)]"),))

def held():
    return psutil.Process().num_fds(), len(psutil.Process().children(recursive=True))

with Contained() as runner:  # once, so that what is opened once for all is open
    runner.run([SHORT])
before = held()
with Contained() as runner:
    (good, same), (flooded,) = runner.run([SHORT, SHORT]), runner.run([FLOODS])
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(runner.run, [[SHORT]] * 5))
    within = held()
print(json.dumps({"ended": [good.ended, same.ended, flooded.ended], "held": [before, within, held()]}))
"""


def test_after_closing_no_process_file_or_descriptor_is_left(contained, tmp_path):
    """In a process of its own: what other tests left open in this one is closed whenever it happens to be collected."""
    around = os.environ | {"TMPDIR": str(tmp_path)}  # the machine's own is other people's too
    done = subprocess.run(
        [sys.executable, "-c", HELD], env=around, cwd=HOUSE, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["ended"] == ["finished", "finished", "too large"]
    before, within, after = told["held"]
    assert all(more > few for more, few in zip(within, before, strict=True)), "nothing was there that could be left"
    assert after == before
    assert os.listdir(tmp_path) == []


def test_a_finished_topic_leaves_no_process_behind_even_where_it_left_threads(runner):
    warm = len(runner.processes())
    runner.run(
        [
            Sheet(
                "threads",
                (
                    Cell(
                        "import threading, time\n"
                        "for _ in range(3): threading.Thread(target=time.sleep, args=(999,)).start()"
                    ),
                ),
            )
        ]
    )
    assert eventually(lambda: len(runner.processes()) == warm)


def test_a_killed_zygote_costs_only_the_topics_that_were_under_way(runner, answered):
    got, thread = in_background(runner, [SLOW])
    warm = [process for process in runner.processes() if "bwrap" not in process.name()]
    assert answered()
    min(warm, key=lambda process: process.create_time()).kill()
    thread.join(60)
    ((outcome,),) = got
    assert outcome.ended == "crashed"
    assert outcome.cells[1].answers == {"a": 1}
    assert runner.run([SHORT])[0].cells[1].answers == {"a": 42}


def test_a_zygote_killed_between_topics_is_not_noticed(runner):
    for process in runner.processes():
        with contextlib.suppress(psutil.NoSuchProcess):  # the end of one ends others
            process.kill()
    assert eventually(lambda: not runner.processes())
    assert runner.run([SHORT])[0].cells[1].answers == {"a": 42}


def test_a_killed_furnished_process_is_replaced(runner):
    newest = max(runner.processes(), key=lambda process: process.create_time())
    newest.kill()
    assert eventually(lambda: is_over(newest))
    assert runner.run([FURNISHED])[0].cells[1].answers == {"a": 42}
    assert runner.run([SHORT])[0].cells[1].answers == {"a": 42}


def test_no_topic_waits_while_another_has_its_libraries_imported(contained, monkeypatch):
    with Contained() as own:
        got, thread = [], threading.Thread(target=lambda: got.append(own.run([FURNISHED])))
        monkeypatch.setattr(own, "_furnish", lambda sheets: None)
        thread.start()
        assert own.run([SHORT])[0].ended == "finished"
        assert not got
        thread.join(60)
    assert got[0][0].cells[1].answers == {"a": 42}


NO_ROOM = Limits(scratch_bytes=-1)  # a folder of this size cannot be mounted


def test_a_fence_that_will_not_go_up_around_a_sheet_costs_that_sheet_only(runner):
    assert [outcome.ended for outcome in runner.run([SHORT, FURNISHED], NO_ROOM)] == ["not walled off"] * 2
    assert runner.run([SHORT])[0].cells[1].answers == {"a": 42}


def test_where_the_trial_fails_too_the_machine_is_at_fault(runner, monkeypatch):
    monkeypatch.setattr(host, "USUAL", NO_ROOM)
    with pytest.raises(host.CannotContain, match="could not be walled off"):
        runner.run([SHORT], NO_ROOM)


def test_killed_wardens_and_children_cost_their_own_topic_only(runner, answered):
    warm = {process.pid for process in runner.processes()}
    got, thread = in_background(runner, [SLOW])
    assert answered()
    assert len(runner.processes()) == len(warm) + 3
    for process in runner.processes():
        if process.pid not in warm:
            with contextlib.suppress(psutil.NoSuchProcess):
                process.kill()
    thread.join(60)
    ((outcome,),) = got
    assert outcome.ended in ("crashed", "memory")
    assert outcome.cells[1].answers == {"a": 1}
    assert eventually(lambda: {process.pid for process in runner.processes()} == warm)
    assert runner.run([SHORT])[0].cells[1].answers == {"a": 42}


def test_a_killed_host_leaves_no_process_behind(contained):
    script = (
        "import sys\nfrom graders.runner.contained import *\nfrom graders.runner.job import *\n"
        "with Contained() as runner:\n    print('ready', flush=True)\n"
        "    runner.run([Sheet('s', (Cell('import time; time.sleep(60)'),))], Limits(cell_seconds=60))"
    )
    command = [sys.executable, "-c", script]
    with ended_by_then(subprocess.Popen(command, cwd=HOUSE, stdout=subprocess.PIPE)) as driver, driver:
        assert driver.stdout.readline() == b"ready\n"
        assert eventually(lambda: len(sandboxed(driver.pid)) >= 5)  # bwrap twice, zygote, warden, child
        left = sandboxed(driver.pid)
        driver.kill()
    assert eventually(lambda: all(map(is_over, left)))


def test_the_sandbox_outlives_the_thread_that_started_it(contained):
    entered = []
    thread = threading.Thread(target=lambda: entered.append(Contained().__enter__()))
    thread.start()
    thread.join(60)
    runner = entered[0]
    warm = runner._sandbox
    assert runner.run([SHORT])[0].ended == "finished"
    assert runner._sandbox is warm
    runner.__exit__()


def test_a_flooded_pipe_is_closed_and_its_child_killed_before_any_time_is_over(runner):
    warm = len(runner.processes())
    limits = Limits(cell_seconds=500, sheet_seconds=500, topic_seconds=500)
    (outcome,) = runner.run([Sheet("floods", (Cell("import os\nwhile True: os.write(3, b'x' * 10**6)"),))], limits)
    assert outcome.ended == "too large"
    assert eventually(lambda: len(runner.processes()) == warm)


def test_a_topic_over_its_time_tells_what_was_done_and_what_was_not_reached(runner):
    limits = Limits(cell_seconds=4, sheet_seconds=4, topic_seconds=4)
    first, second = runner.run([SLOW, SHORT], limits)
    assert first.cells[1].answers == {"a": 1}
    assert second.ended == "time"
    assert [cell.status for cell in second.cells] == ["not reached", "not reached"]


def test_a_runner_outside_its_with_says_so():
    with pytest.raises(RuntimeError, match="outside its `with`"):
        Contained().run([SHORT])
