"""A cluster marks as this machine does, whatever becomes of its workers, and believes none of them too much."""

import csv
import shutil
from concurrent.futures import ThreadPoolExecutor

import psutil
import pytest

pytest.importorskip("distributed", reason="the extra cluster is missing: pip install -e '.[cluster]'")

from graders.cluster.pool import Cluster
from graders.cohort.paths import Cohort
from graders.marking import run
from tests.graders.cohorts import keep_only

pytestmark = pytest.mark.contained
MARKER = "the notebook that does it"


def copy_of(cohort, root):
    shutil.copytree(cohort.root, root)
    config = root / "nbgrader_config.py"
    config.write_text(config.read_text().replace(str(cohort.root), str(root)))
    return Cohort.open(root)


@pytest.fixture(scope="module")
def small(made, tmp_path_factory):
    """Four learners of a cohort, five exercises each, handed in and not marked."""
    cohort = copy_of(made, tmp_path_factory.mktemp("small") / "cohort")
    keep_only(cohort, "amber", "birch", "cedar", "dahlia")
    return cohort


@pytest.fixture(scope="module")
def here(small, pool, tmp_path_factory):
    """The cohort as it is marked on this machine."""
    cohort = copy_of(small, tmp_path_factory.mktemp("here") / "cohort")
    run.mark(cohort, pool)
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
    alive = [one for one in psutil.Process(process.pid).children() if one.status() != psutil.STATUS_ZOMBIE]
    return [one for one in alive if "spawn_main" in " ".join(one.cmdline())]


def test_marks_and_copies_are_byte_for_byte_those_of_this_machine(here, fresh, workers, scheduler):
    run.mark(fresh, Cluster(scheduler))
    assert left(fresh) == left(here)


def test_workers_that_are_killed_change_no_mark(here, fresh, workers, scheduler, monkeypatch):
    killed = []
    monkeypatch.setattr(run, "CHUNK", 1)

    def kill(done, of, who):
        if done in (1, 2):
            killed.append(children(workers)[0])
            killed[-1].kill()

    run.mark(fresh, Cluster(scheduler), on_progress=kill)
    assert len(killed) == 2
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
