"""One small cohort, made once."""

import shutil

import pytest

from graders import demo, handout
from graders.folder import Cohort
from graders.pipeline import put_interpreter_on_path
from graders.runner import contained, plain

PROFILE = ("profile",)


@pytest.fixture(scope="session")
def made(tmp_path_factory):
    """A demo cohort on the profile topic, handed out and handed in, not marked."""
    put_interpreter_on_path()
    root = tmp_path_factory.mktemp("cohort") / "made"
    cohort = handout.make(demo.learners(contained=True), root, PROFILE, "A cohort of the tests (invented)")
    demo.hand_in(cohort)
    return cohort


@pytest.fixture
def fresh(made, tmp_path):
    """A copy of that cohort to change at will."""
    root = tmp_path / "fresh"
    shutil.copytree(made.root, root)
    config = root / "nbgrader_config.py"
    config.write_text(config.read_text().replace(str(made.root), str(root)))
    return Cohort.open(root)


@pytest.fixture(scope="session")
def sandbox():
    """A runner for the tests: contained where the machine can, else a plain kernel."""
    if contained.why_not():
        yield plain.Plain()
        return
    with contained.Contained() as walls:
        yield walls
