"""What tests need to start: reasons to skip, with the line that installs what is missing; a small cohort made once."""

import contextlib
import os
import shutil
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: threads of several tests wait for one another

import pytest

from graders.cohort import clock
from graders.cohort.paths import Cohort
from graders.demo import learners
from graders.gradebook.configuration import put_interpreter_on_path
from graders.handout import handing_out
from graders.marking.pool import Pool
from graders.runner import contained
from tests.chance import pytest_configure  # noqa: F401
from tests.graders.cohorts import copied, set_in
from tests.times import pytest_terminal_summary  # noqa: F401
from workbook.quick_start import without_grammar

without_grammar()

collect_ignore_glob = ["fixtures/*", "conftest.py", "*/conftest.py"]  # fixtures, and what holds no claims

INSTRUCTORS_SIDE = [
    f"tests/browser/test_{name}.py" for name in ("button_fails_closed", "classroom", "formgrader", "hostile_texts")
]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_collection_modifyitems(config, items):
    """Skip what this machine cannot run, and say what to install. Several processes begin with the slow files."""
    if hasattr(config, "workerinput"):
        slow = {item.path for item in items if item.get_closest_marker("slow")}
        items.sort(key=lambda item: item.path not in slow)
    reasons = {"browser": _no_browser, "contained": _cannot_contain, "classroom": _no_classroom}
    for name, why in reasons.items():
        marked = [item for item in items if item.get_closest_marker(name)]
        reason = why() if marked else None
        if reason:
            for item in marked:
                item.add_marker(pytest.mark.skip(reason=reason))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers():
    """Half as many processes again as there are cores: many a test waits for a browser, a server or a limit of time."""
    return (os.cpu_count() or 1) * 3 // 2


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """With several processes: a file stays whole, and the order is kept.

    The browser's tests go one after another, for they share a Chromium and what it looks at; those of the instructor's
    side, which share nothing with the others, go beside them.
    """
    from xdist.scheduler import LoadScopeScheduling

    class WholeFiles(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            path = nodeid.split("::")[0]
            if path in INSTRUCTORS_SIDE:
                return "the instructor's side"
            return "browser" if path.startswith("tests/browser/") else path

    config.option.loadscopereorder = False
    return WholeFiles(config, log)


def _no_browser() -> str | None:
    if CHROMIUM is None:
        return "Chromium is missing: apt-get install chromium"
    try:
        import playwright  # noqa: F401
    except ImportError:
        return "playwright is missing: pip install -e '.[test]'"
    return None


def _no_classroom() -> str | None:
    from tests.graders import classroom_served

    return classroom_served.why_not()


def _cannot_contain() -> str | None:
    reason = contained.why_not()
    return f"{reason} (apt-get install bubblewrap)" if reason else None


FIVE = ("read-the-log", "cold-junction", "two-fixed-points", "bead-lag", "set-point-and-joint")
SMALL = ("amber", "birch", "cedar", "dahlia", "elder", "fern", "hazel", "iris")


@pytest.fixture(scope="session")
def made(tmp_path_factory):
    """Eight invented learners and five exercises of one topic, handed out and handed in, not marked.

    None of them writes a loop that never ends: it would cost each test that marks them two limits of ten seconds.
    Where ``MADE_COHORT`` names a folder, it is kept there for further runs (`tests.benchmarks.mutations`).
    """
    put_interpreter_on_path()
    root, kept = tmp_path_factory.mktemp("cohort") / "made", Path(os.environ.get("MADE_COHORT", os.devnull))
    if kept.is_dir():
        return copied(Cohort.open(kept), root)
    people = [learner for learner in learners.learners(contained=True) if learner.id in SMALL]
    title = "A cohort of the tests (invented)"
    cohort = handing_out.make(people, root, ("profile",), title, {"profile": FIVE})
    set_in(cohort, f'timezone = "{clock.machine_zone()}"', 'timezone = "UTC"')  # whatever zone this machine is in
    learners.hand_in(cohort)
    if "MADE_COHORT" in os.environ:
        copied(cohort, kept)
    return cohort


@pytest.fixture
def fresh(made, tmp_path):
    """A copy of that cohort to change at will."""
    return copied(made, tmp_path / "fresh")


@pytest.fixture(scope="session")
def sandbox():
    """A runner for the tests: contained where the machine can, else a plain kernel."""
    from graders.runner import plain  # which reads notebooks

    if contained.why_not():
        yield plain.Plain()
        return
    with contained.Contained() as walls:
        yield walls


@pytest.fixture(scope="session")
def pool(sandbox):
    """A crew of this process alone, in that sandbox."""
    return Pool(lambda: contextlib.nullcontext(sandbox), alone=True)
