"""What tests need to start: reasons to skip, with the line that installs what is missing; a small cohort made once."""

import contextlib
import os
import shutil

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: threads of several tests wait for one another

import pytest
from hypothesis import settings

from graders.cohort import clock
from graders.demo import learners
from graders.gradebook.configuration import put_interpreter_on_path
from graders.handout import handing_out
from graders.marking.pool import Pool
from graders.runner import contained, plain
from tests.graders.cohorts import copied, set_in

settings.register_profile("shared machine", deadline=None)  # a loaded machine is no failure
settings.load_profile("shared machine")

collect_ignore_glob = ["fixtures/*", "conftest.py", "*/conftest.py"]  # fixtures, and what holds no claims

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_collection_modifyitems(items):
    """Skip what this machine cannot run, and say what to install."""
    reasons = {"browser": _no_browser, "contained": _cannot_contain, "classroom": _no_classroom}
    for name, why in reasons.items():
        marked = [item for item in items if item.get_closest_marker(name)]
        reason = why() if marked else None
        if reason:
            for item in marked:
                item.add_marker(pytest.mark.skip(reason=reason))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """With several processes: a file stays whole, the browser's tests go one after another, and the order is kept."""
    from xdist.scheduler import LoadScopeScheduling

    class WholeFiles(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            path = nodeid.split("::")[0]
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
    """
    put_interpreter_on_path()
    root = tmp_path_factory.mktemp("cohort") / "made"
    people = [learner for learner in learners.learners(contained=True) if learner.id in SMALL]
    title = "A cohort of the tests (invented)"
    cohort = handing_out.make(people, root, ("profile",), title, {"profile": FIVE})
    set_in(cohort, f'timezone = "{clock.machine_zone()}"', 'timezone = "UTC"')  # whatever zone this machine is in
    learners.hand_in(cohort)
    return cohort


@pytest.fixture
def fresh(made, tmp_path):
    """A copy of that cohort to change at will."""
    return copied(made, tmp_path / "fresh")


@pytest.fixture(scope="session")
def sandbox():
    """A runner for the tests: contained where the machine can, else a plain kernel."""
    if contained.why_not():
        yield plain.Plain()
        return
    with contained.Contained() as walls:
        yield walls


@pytest.fixture(scope="session")
def pool(sandbox):
    """A crew of this process alone, in that sandbox."""
    return Pool(lambda: contextlib.nullcontext(sandbox), alone=True)
