"""A cluster marks as this machine does, whatever becomes of its workers, and believes none of them too much."""

import contextlib
import csv
import json
import os
import shutil
import socket
import threading
from concurrent.futures import ThreadPoolExecutor

import psutil
import pytest
from click.testing import CliRunner

pytest.importorskip("distributed", reason="the extra cluster is missing: pip install -e '.[cluster]'")

from graders import cli
from graders.cluster import edition, pool, travel, worker
from graders.cluster.meeting import Meeting
from graders.cluster.pool import Cluster
from graders.cohort.paths import Cohort
from graders.marking import run
from graders.marking.pool import Pool
from graders.notebooks.submission import MOST_BYTES
from graders.runner import contained
from tests.graders.cohorts import keep_only, set_in
from tests.patience import is_over
from workbook.problems import Problem

pytestmark = [pytest.mark.contained, pytest.mark.slow]
LEARNERS = ("amber", "birch", "cedar", "dahlia", "elder")


def copy_of(cohort, root):
    shutil.copytree(cohort.root, root)
    config = root / "nbgrader_config.py"
    config.write_text(config.read_text().replace(str(cohort.root), str(root)))
    return Cohort.open(root)


def first_of(cohort, learner):
    return min(cohort.submitted(learner, "profile").glob("*.ipynb"))


def let(cohort, learner, do):
    """Let a learner's first notebook get the better of its worker, which then does something."""
    path = first_of(cohort, learner)
    notebook = json.loads(path.read_text())
    notebook["cells"].append({"cell_type": "markdown", "id": "it", "metadata": {}, "source": f"does: {do}"})
    path.write_text(json.dumps(notebook))


@pytest.fixture(scope="module")
def small(made, tmp_path_factory):
    """Five learners, five exercises each, handed in and not marked; one file is larger than any notebook may be."""
    cohort = copy_of(made, tmp_path_factory.mktemp("small") / "cohort")
    keep_only(cohort, *LEARNERS)
    os.truncate(first_of(cohort, "elder"), MOST_BYTES + 1)
    return cohort


@pytest.fixture(scope="module")
def pool_here(sandbox):
    return Pool(lambda: contextlib.nullcontext(sandbox), alone=True)


@pytest.fixture(scope="module")
def here(small, pool_here, tmp_path_factory):
    """The cohort as it is marked on this machine."""
    cohort = copy_of(small, tmp_path_factory.mktemp("here") / "cohort")
    run.mark(cohort, pool_here)
    return cohort


@pytest.fixture
def fresh(small, tmp_path):
    """A copy of it to change at will."""
    return copy_of(small, tmp_path / "fresh")


def left(cohort):
    """Return what a marking leaves that must not depend on where it ran."""
    copies = {path.relative_to(cohort.root): path.read_bytes() for path in cohort.root.glob("autograded/*/*/*.ipynb")}
    return cohort.marks.read_bytes(), copies


def rows(cohort):
    with cohort.marks.open(newline="", encoding="utf-8-sig") as file:
        return list(csv.DictReader(file))


def children(process):
    """Return the workers that a `graders worker` keeps, and not its resource tracker."""
    alive = [one for one in psutil.Process(process.pid).children() if not is_over(one)]
    return [one for one in alive if "spawn_main" in " ".join(one.cmdline())]


def test_marks_and_copies_are_byte_for_byte_those_of_here_also_where_a_worker_is_killed(
    here, fresh, workers, scheduler, monkeypatch
):
    killed = []
    monkeypatch.setattr(run, "CHUNK", 1)

    def kill(done, of, who):
        if done == 1:
            killed.append(children(workers)[0])
            killed[-1].kill()

    run.mark(fresh, Cluster(scheduler), on_progress=kill)
    assert killed
    assert left(fresh) == left(here)


def test_a_marking_that_is_stopped_goes_on_where_it_was(here, fresh, workers, scheduler, monkeypatch):
    def stop(done, of, who):
        raise KeyboardInterrupt

    monkeypatch.setattr(run, "CHUNK", 2)
    with pytest.raises(KeyboardInterrupt):
        run.mark(fresh, Cluster(scheduler), on_progress=stop)
    summary = run.mark(fresh, Cluster(scheduler))
    assert summary.unchanged == 2
    assert left(fresh) == left(here)


def test_two_drivers_mark_two_cohorts_at_a_time(here, small, workers, scheduler, tmp_path):
    both = [copy_of(small, tmp_path / name) for name in ("one", "other")]
    with ThreadPoolExecutor() as drivers:
        list(drivers.map(lambda cohort: run.mark(cohort, Cluster(scheduler), only=("amber", "birch")), both))
    theirs = [row for row in rows(here) if row["learner"] in ("amber", "birch")]
    for cohort in both:
        assert [row for row in rows(cohort) if row["learner"] in ("amber", "birch")] == theirs


def unmarked(cohort):
    """Return the learners whose topic could not be marked."""
    return {row["learner"] for row in rows(cohort) if row["flag"].startswith("could not be marked")}


def of(cohort, *learners):
    return [row for row in rows(cohort) if row["learner"] in learners]


LIES = {
    "amber": ("return what is no bytes", "what came back is not bytes"),
    "birch": ("return bytes of another type", "what came back is the answer to something else"),
    "cedar": ("answer another", "what came back is the answer to something else"),
    "dahlia": ("raise", "it ended every worker that it was given to"),
}


def test_a_lie_costs_the_topic_it_was_told_about_and_runs_nothing_here(here, fresh, scheduler, liars):
    for learner, (do, _) in LIES.items():
        let(fresh, learner, do)
    summary = run.mark(fresh, Cluster(scheduler))
    for learner, (_, why) in LIES.items():
        line = f"{learner} / profile / needs a look, it could not be marked ({why})"
        assert [one for one in summary.problems if one.startswith(learner)] == [line]
    assert unmarked(fresh) == set(LIES)
    assert of(fresh, "elder") == of(here, "elder")
    evil = liars / "evil"  # the processes in which a pickle was read: the scheduler's or the worker's, if any
    assert not evil.exists() or str(os.getpid()) not in evil.read_text().split()


def test_a_notebook_that_kills_three_workers_is_one_finding(here, fresh, scheduler, liars):
    let(fresh, "birch", "kill")
    summary = run.mark(fresh, Cluster(scheduler), only=("amber", "birch"))
    assert [one for one in summary.problems if one.startswith("birch")] == [
        "birch / profile / needs a look, it could not be marked (it ended every worker that it was given to)"
    ]
    assert unmarked(fresh) == {"birch"}
    assert of(fresh, "amber") == of(here, "amber")


def test_a_worker_whose_wall_goes_ends_and_the_last_one_lost_ends_the_marking(fresh, scheduler, liars, monkeypatch):
    let(fresh, "birch", "lose the wall")
    cluster = Cluster(scheduler)

    def sent(*arguments, send=travel.send):
        cluster.patience = 1  # a worker was there
        return send(*arguments)

    monkeypatch.setattr(travel, "send", sent)
    with pytest.raises(Problem, match="no worker at"):
        run.mark(fresh, cluster, only=("birch",))
    assert "ERROR  this worker ends, for it cannot go on safely: CannotContain" in (liars / "said.txt").read_text()


def test_a_worker_of_another_version_gets_nothing(fresh, workers, scheduler, monkeypatch):
    there = edition.name()
    monkeypatch.setattr(edition, "name", lambda: "rework-workbook-9.9.9")
    with pytest.raises(Problem, match="is of this version, rework-workbook-9.9.9") as problem:
        run.mark(fresh, Cluster(scheduler, patience=0))
    assert there in str(problem.value)


def test_where_there_is_no_worker_it_is_said(fresh, scheduler, monkeypatch):
    monkeypatch.setattr(pool._Marking, "_asked", lambda *_, **__: {"workers": {}})
    with pytest.raises(Problem, match="no worker at tls://"):
        run.mark(fresh, Cluster(scheduler, patience=0))


class Between:
    """Passes on what goes between two, until it is cut."""

    def __init__(self, port):
        self.server, self.to, self.open = socket.create_server(("127.0.0.1", 0)), port, []
        self.port = self.server.getsockname()[1]
        threading.Thread(target=self.serve, daemon=True).start()

    def serve(self):
        while True:
            try:
                one = self.server.accept()[0]
            except OSError:
                return
            other = socket.create_connection(("127.0.0.1", self.to), 20)
            self.open += [one, other]
            for a, b in ((one, other), (other, one)):
                threading.Thread(target=self.pass_on, args=(a, b), daemon=True).start()

    def pass_on(self, a, b):
        try:
            while data := a.recv(1 << 16):
                b.sendall(data)
            b.shutdown(socket.SHUT_WR)
        except OSError:
            return

    def cut(self):
        self.server.shutdown(socket.SHUT_RDWR)
        self.server.close()
        for one in self.open:
            with contextlib.suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)


def test_a_scheduler_that_is_lost_is_one_line_and_the_next_run_goes_on(here, fresh, workers, scheduler, monkeypatch):
    between = Between(scheduler.port)
    monkeypatch.setattr(run, "CHUNK", 1)
    through = Meeting(scheduler.host, between.port, scheduler.folder)

    def cut(done, of, who):
        if done == 1:
            between.cut()

    with pytest.raises(Problem, match="the scheduler at tls://.* is gone"):
        run.mark(fresh, Cluster(through), on_progress=cut)
    summary = run.mark(fresh, Cluster(scheduler))
    assert summary.unchanged >= 1
    assert left(fresh) == left(here)


def test_settings_changed_meanwhile_are_followed_by_the_next_run(
    small, fresh, workers, scheduler, tmp_path, monkeypatch, pool_here
):
    changed = copy_of(small, tmp_path / "changed")
    set_in(changed, 'fresh_numbers = "flag"', 'fresh_numbers = "zero"')
    run.mark(changed, pool_here)
    monkeypatch.setattr(run, "CHUNK", 1)

    def change(done, of, who):
        if done == 2:
            set_in(fresh, 'fresh_numbers = "flag"', 'fresh_numbers = "zero"')

    run.mark(fresh, Cluster(scheduler), on_progress=change)
    run.mark(fresh, Cluster(scheduler))
    assert left(fresh) == left(changed)


def test_a_machine_without_a_wall_starts_no_worker(scheduler, monkeypatch):
    monkeypatch.setattr(contained, "why_not", lambda: "User namespaces are forbidden.")
    with pytest.raises(Problem, match="no worker is started"):
        worker.serve(scheduler, 1)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["mark", "COHORT", "--scheduler", "marking.example:8786"], "it has no scheme"),
        (["mark", "COHORT", "--scheduler", "tcp://192.0.2.7:8786"], "without encryption"),
        (["mark", "COHORT", "--scheduler", "tls://127.0.0.1:8786"], "needs certificates"),
        (["worker", "tls://127.0.0.1:8786", "--certificates", "nowhere"], "ca.pem cannot be read"),
        (["worker", "tcp://127.0.0.1:9"], "nobody listens"),
    ],
)
def test_on_a_terminal_it_is_an_error_and_a_tip(arguments, words, fresh):
    told = CliRunner().invoke(cli.main, [word.replace("COHORT", str(fresh.root)) for word in arguments])
    assert told.exit_code == 1
    error, tip = told.stderr.splitlines()
    assert error.startswith("ERROR  ")
    assert words in error
    assert tip.startswith("TIP    ")
