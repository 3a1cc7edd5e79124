"""nbgrader's settings for a cohort: what its own commands and the formgrader's button do there."""

import os
import sys
from pathlib import Path

from graders.cohort.paths import Cohort
from graders.notebooks import printer

CONFIG = """\
# nbgrader's settings for this cohort. Written by `graders handout`; change cohort.toml instead.
c = get_config()

c.CourseDirectory.course_id = ""
c.CourseDirectory.root = {root!r}
c.CourseDirectory.feedback_directory = "feedback"
c.ClearSolutions.code_stub = {{"python": ""}}
c.ClearSolutions.text_stub = {text_stub!r}

from graders.pipeline import late_policy

c.LateSubmissionPlugin.penalty_method = late_policy({root!r})
c.Autograde.create_student = False
c.Autograde.sanitize_preprocessors = [
    "nbgrader.preprocessors.ClearOutput",
    "graders.pipeline.Restore",
    "nbgrader.preprocessors.OverwriteKernelspec",
    "nbgrader.preprocessors.OverwriteCells",
    "graders.pipeline.OwnGivens",
    "nbgrader.preprocessors.CheckCellMetadata",
]
c.Autograde.autograde_preprocessors = [
    "graders.pipeline.ContainedExecute",
    "nbgrader.preprocessors.LimitOutput",
    "nbgrader.preprocessors.SaveAutoGrades",
    "nbgrader.preprocessors.AssignLatePenalties",
    "nbgrader.preprocessors.CheckCellMetadata",
    "graders.pipeline.Harmless",
]
"""


def config_text(cohort: Cohort) -> str:
    """Return the cohort's nbgrader_config.py."""
    return CONFIG.format(root=str(cohort.root), text_stub=printer.TEXT_STUB)


def late_policy(root: str) -> str:
    """Return what cohort.toml says of late hand-ins, for nbgrader's own plugin."""
    return Cohort.open(Path(root)).settings().late


def put_interpreter_on_path() -> None:
    """Let nbgrader find `alembic` by bare name where the environment is not activated."""
    folder = str(Path(sys.executable).parent)
    if folder not in os.environ.get("PATH", "").split(os.pathsep):
        os.environ["PATH"] = folder + os.pathsep + os.environ.get("PATH", "")
