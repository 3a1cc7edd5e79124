"""A hostile notebook gets nothing it was not given, and harms nobody beside it.

Every row of `hostile.ROWS` runs between two cells of honest work, and beside a sibling's topic.
"""

import dataclasses
import os
import socket
import threading
from concurrent.futures import ThreadPoolExecutor

import numpy
import pytest

from graders.runner import contained as host
from graders.runner import job
from graders.runner.inside import answers
from graders.runner.job import Cell, Limits, Sheet
from tests.graders.runner import hostile

pytestmark = [pytest.mark.contained, pytest.mark.slow]

TIGHT = Limits(
    cell_seconds=1,
    sheet_seconds=3,
    topic_seconds=8,
    cpu_seconds=6,
    memory_bytes=1 << 28,
    output_bytes_per_cell=200_000,
    result_bytes=2_000_000,
)
#: For rows that must end at another limit: a slow machine takes its time to get there.
PATIENT = dataclasses.replace(TIGHT, cell_seconds=60, sheet_seconds=120, topic_seconds=240, cpu_seconds=120)
DEVICES = tuple(f"/dev/{name}" for name in ("null", "zero", "random", "urandom"))
SIBLING = Sheet("sibling", (Cell("sibling_only = 6 * 7"), Cell("", report=("sibling_only",))))
#: What a notebook sees of the process it runs in: the same, whatever was run before it.
LOOKING = """
import builtins, decimal, gc, locale, math, numpy, os, random, signal, sys, threading, time, warnings
from IPython import get_ipython
folder, mask = os.stat('/scratch'), os.umask(0o22)
handlers = [signal.getsignal(n) for n in sorted(signal.valid_signals()) if n != signal.SIGALRM]
seen = [str(thing)[:1500] for thing in (
    os.listdir('/scratch'), folder.st_mode, folder.st_mtime > 1e9, mask, os.getcwd(), sorted(os.environ.items()),
    sorted(set(dir(builtins))), builtins.print, builtins.float, warnings.filters, decimal.getcontext(), math.pi,
    numpy.geterr(), numpy.get_printoptions(), random.random, threading.active_count(), handlers,
    signal.pthread_sigmask(signal.SIG_BLOCK, ()), sys.getrecursionlimit(), sys.path, sys.meta_path, gc.isenabled(),
    gc.get_threshold(), sys.getswitchinterval(), locale.setlocale(locale.LC_ALL), time.tzname, os.getpriority(0, 0),
    os.sched_getaffinity(0), sorted(get_ipython().magics_manager.magics['line']), os.getppid(),
)]
sibling_only = 6 * 7"""
FOLLOWER = Sheet("follower", (Cell(LOOKING), Cell("", report=("seen", "sibling_only"))))


def around(attack):
    """Return the attack's sheet: honest work, the attack, honest work, and what is to be reported."""
    return Sheet(
        attack.name,
        (
            Cell("before = 1"),
            Cell("", report=("before",)),
            *(Cell(cell) for cell in attack.cells),
            Cell("after = 2"),
            Cell("", report=("after", "loot")),
        ),
    )


@dataclasses.dataclass
class Battle:
    """What became of every row and of the sibling beside it, and who rang at the host meanwhile."""

    outcomes: dict
    siblings: dict
    undisturbed: object
    callers: list
    file: str
    text: str
    shared: tuple


@pytest.fixture(scope="module")
def battle(contained, tmp_path_factory):
    file = tmp_path_factory.mktemp("host") / "secret.txt"
    file.write_text("nobody's business")
    door = socket.create_server(("127.0.0.1", 0))
    callers = []

    def answer():
        while True:
            try:
                callers.append(door.accept())
            except OSError:
                return

    threading.Thread(target=answer, daemon=True).start()
    os.environ["SECRET"] = "nobody's business"

    def filled(row):
        port = str(door.getsockname()[1])
        cells = [cell.replace("HOST_FILE", str(file)).replace("HOST_PORT", port) for cell in row.cells]
        return dataclasses.replace(row, cells=tuple(cells))

    jobs = {}
    for row in hostile.ROWS:
        jobs["attack", row.name] = [around(filled(row)), FOLLOWER], TIGHT if row.timed else PATIENT
        jobs["sibling", row.name] = [SIBLING], PATIENT
    shared = states()
    patience, host.GRACE = host.GRACE, 0.5
    try:
        with ThreadPoolExecutor(2) as pool:
            outcomes = pool.map(lambda job: contained.run(job[0], limits=job[1]), jobs.values())
            done = dict(zip(jobs, outcomes, strict=True))
    finally:
        host.GRACE = patience
        del os.environ["SECRET"]
        door.close()
    return Battle(
        {name: outcomes for (kind, name), outcomes in done.items() if kind == "attack"},
        {name: outcomes[0] for (kind, name), outcomes in done.items() if kind == "sibling"},
        contained.run([FOLLOWER])[0],
        callers,
        str(file),
        file.read_text(),
        (shared, states()),
    )


def states():
    """Return owner, mode, size and dates of the devices, and of a library, that every notebook may read."""
    found = {}
    for path in (*DEVICES, numpy.__file__, os.path.dirname(numpy.__file__), job.__file__):
        state = os.stat(path)
        found[path] = (state.st_mode, state.st_uid, state.st_gid, state.st_size, state.st_mtime_ns)
    return found


def said(outcome):
    """Return all that the cells between the honest ones printed or raised."""
    return "\n".join(
        f"{output.get('text', '')}{output.get('ename', '')}: {output.get('evalue', '')}"
        for cell in outcome.cells[2:-2]
        for output in cell.outputs
    )


@pytest.mark.parametrize("row", hostile.ROWS, ids=lambda row: row.name.replace(" ", "-"))
def test_a_notebook_that(row, battle):
    outcome, follower = battle.outcomes[row.name]
    assert outcome.ended in row.ended
    assert outcome.cells[1].answers == {"before": 1}
    assert row.says in said(outcome)
    last = outcome.cells[-1]
    if last.status == "reported":
        got = last.unreadable.get("loot", last.answers["loot"])
        assert row.loot == "?" or got == row.loot
        assert all(reason in answers.REASONS for reason in last.unreadable.values())
    else:
        assert outcome.ended != "finished"
    assert (follower.ended, follower.cells[-1].answers) == ("finished", battle.undisturbed.cells[-1].answers)
    sibling = battle.siblings[row.name]
    assert (sibling.ended, sibling.cells[-1].answers) == ("finished", {"sibling_only": 42})


def test_nobody_rang_at_the_host_and_its_file_is_as_it_was(battle):
    assert battle.callers == []
    assert battle.text == "nobody's business"


def test_devices_and_libraries_are_as_they_were(battle):
    before, after = battle.shared
    assert before == after


def test_the_follower_saw_something(battle):
    answers = battle.undisturbed.cells[-1].answers
    assert answers["sibling_only"] == 42
    assert len(answers["seen"]) > 25
