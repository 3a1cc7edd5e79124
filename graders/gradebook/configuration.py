"""nbgrader's settings for a cohort: what its own commands and the formgrader's button do there."""

import os
import sys
from pathlib import Path

from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.questions.parts.written import TEXT_STUB
from workbook.terminal import in_shell

HEAD = "# nbgrader's settings for this cohort. Written by `graders`; change cohort.toml instead.\n"
CONFIG = (
    HEAD
    + """\
# Whatever is wrong here ends nbgrader: without these settings it would run learners' code unguarded.
try:
    from graders.gradebook import configuration

    configuration.settle(get_config(), __file__)
except BaseException as reason:
    raise SystemExit(f"ERROR  nbgrader does nothing here, because it could not do so safely: {reason}") from None
"""
)
OLD_HEAD = "# nbgrader's settings for this cohort. Written by `graders handout`"
"""How the file began that version 0.1.0 wrote, with the folder's place in it."""


def bring_up_to_date(cohort: Cohort) -> None:
    """Write the cohort's nbgrader_config.py where there is none or it is an older one of ours.

    Every command that opens a cohort does so first: an older one is dropped by nbgrader where the package cannot be
    imported, and learners' code then runs unguarded.
    """
    path = cohort.root / "nbgrader_config.py"
    there = path.read_text(encoding="utf-8", errors="replace") if path.is_file() else OLD_HEAD
    if there.startswith((HEAD, OLD_HEAD)) and there != CONFIG:
        write_whole(path, CONFIG)


def doubts(cohort: Cohort) -> list[str]:
    """Say in a line where nbgrader's configuration is not ours, and so may run learners' code unguarded."""
    path = cohort.root / "nbgrader_config.py"
    if path.is_file() and path.read_text(encoding="utf-8", errors="replace") == CONFIG:
        return []
    return [
        f"{path.name} is not as graders writes it: nbgrader and the formgrader may run learners' code unguarded here; "
        f"rename it and run: graders report {in_shell(cohort.root)}"
    ]


def settle(config, file: str) -> None:
    """Set everything nbgrader must know of the cohort in whose folder its configuration file lies."""
    from jupyter_server.serverapp import ServerApp  # takes two seconds, and our own commands do not come here

    cohort = Cohort.open(Path(file).parent)
    put_interpreter_on_path()
    config.CourseDirectory.course_id = ""
    config.CourseDirectory.root = str(cohort.root)
    config.CourseDirectory.db_url = database_url(cohort)
    config.CourseDirectory.feedback_directory = "feedback"
    config.ClearSolutions.code_stub = {"python": ""}
    config.ClearSolutions.text_stub = TEXT_STUB
    config.Autograde.create_student = False
    config.Autograde.sanitize_preprocessors = [
        "nbgrader.preprocessors.ClearOutput",
        "graders.pipeline.Restore",
        "nbgrader.preprocessors.OverwriteKernelspec",
        "nbgrader.preprocessors.OverwriteCells",
        "graders.pipeline.OwnGivens",
        "nbgrader.preprocessors.CheckCellMetadata",
    ]
    config.Autograde.autograde_preprocessors = [
        "graders.pipeline.ContainedExecute",
        "nbgrader.preprocessors.LimitOutput",
        "nbgrader.preprocessors.SaveAutoGrades",
        "nbgrader.preprocessors.AssignLatePenalties",
        "nbgrader.preprocessors.CheckCellMetadata",
        "graders.pipeline.Harmless",
    ]
    config.AssignLatePenalties.plugin_class = "graders.gradebook.late_penalty.LatePenalty"
    config.LatePenalty.a_day = cohort.settings().lost_a_day
    if ServerApp.initialized():
        _read_afresh()


def _read_afresh() -> None:
    """Let an open formgrader show what `graders mark` wrote meanwhile.

    It keeps one session for as long as it runs, and that would go on showing what it once read.
    """
    from sqlalchemy import event
    from sqlalchemy.orm import Session

    if not event.contains(Session, "do_orm_execute", _populate_existing):
        event.listen(Session, "do_orm_execute", _populate_existing)


def _populate_existing(state) -> None:
    if state.is_select:
        state.update_execution_options(populate_existing=True)


def database_url(cohort: Cohort) -> str:
    """Return the address of the cohort's gradebook, whatever signs are in its path."""
    from sqlalchemy.engine import URL  # takes a third of a second, and most commands ask for no gradebook

    return str(URL.create("sqlite", database=str(cohort.database)))


def late_policy(root: str) -> str:
    """Return what cohort.toml says of late hand-ins, for a configuration that version 0.1.0 wrote.

    nbgrader drops a configuration that fails and runs learners' code unguarded; so a failure here ends it.
    """
    try:
        late = Cohort.open(Path(root)).settings().late
        if late not in ("none", "zero"):
            raise ValueError(f"late = {late!r} needs a newer nbgrader_config.py, which graders mark writes")
        return late
    except BaseException as reason:
        raise SystemExit(f"ERROR  nbgrader does nothing here, because it could not do so safely: {reason}") from None


def put_interpreter_on_path() -> None:
    """Let nbgrader find `alembic` by bare name where the environment is not activated."""
    folder = str(Path(sys.executable).parent)
    if folder not in os.environ.get("PATH", "").split(os.pathsep):
        os.environ["PATH"] = folder + os.pathsep + os.environ.get("PATH", "")
