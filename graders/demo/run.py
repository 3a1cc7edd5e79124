"""The demo, as the command shows it."""

import time
from pathlib import Path

from graders import commands
from graders.demo import learners
from graders.gradebook.configuration import put_interpreter_on_path
from graders.runner import contained
from graders.runner.job import Limits
from workbook.problems import Problem
from workbook.terminal import printable, typed

QUICK = Limits(cell_seconds=3)
"""The endless loop in the demo is stopped sooner than a learner's slow cell would be."""


def run(folder: Path | None) -> None:
    """Hand out, fill in, mark and report an invented cohort, and say where everything is."""
    put_interpreter_on_path()
    folder = Path(folder) if folder else learners.default_folder()
    if folder.exists() and any(folder.iterdir()):
        raise Problem(f"{folder} is not empty.", "give a new folder with --to")
    began = time.monotonic()
    why_not = contained.why_not()
    people = learners.learners(contained=why_not is None)
    if why_not:
        commands.console.print(
            f"This machine cannot contain strangers' notebooks ({why_not}). The hostile learners are left out and the "
            "rest is run in a plain kernel.",
            soft_wrap=True,
        )
    commands.console.print(f"An invented cohort of {len(people)} learners; nobody in it is real.")
    chosen = learners.exercises(contained=why_not is None)
    cohort = commands.make_cohort(people, folder, title="Demo cohort (invented)", exercises=chosen)
    learners.hand_in(cohort)
    commands.mark(cohort.root, trust_submissions=why_not is not None, limits=QUICK)
    page = commands.report(cohort.root)
    commands.console.print(f"Done in {time.monotonic() - began:.0f} s. What to do next:")
    steps = (
        f"open {page} in a browser: the report",
        f"open a page under {cohort.root / 'feedback_pages'}: what a learner gets back",
        f"graders why {cohort.root} cedar {chosen['profile'][0]}: the judge's reasons",
        f"edit {cohort.root / 'submitted'} and run graders mark {typed(cohort.root)} again",
        "workbook open: the lessons and exercises, as a learner sees them",
    )
    for step in steps:
        commands.console.print(f"  {printable(step)}", soft_wrap=True, markup=False, highlight=False)
