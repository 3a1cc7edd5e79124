"""Check one saved notebook as marking would: its cells in order, its answers as data, the same judge.

The givens are read from the notebook itself. Marking takes them from the record; this is only the learner's own check.
"""

import ast
import importlib
import sys
from dataclasses import dataclass
from pathlib import Path

from graders import sheets
from graders.judging.judge import Verdict
from graders.questions.exercise import Exercise
from graders.sheets import own
from workbook.problems import Problem
from workbook.server import folder
from workbook.topics import SLUGS


def _import_quickly(name: str):
    """Import a module of ours that reads notebooks, without the second that nbformat would take.

    Its schema library looks for a checker of internationalised addresses, which builds a grammar as it is imported.
    Notebooks hold no such addresses.
    """
    absent = "rfc3987_syntax"
    if absent in sys.modules:
        return importlib.import_module(name)
    sys.modules[absent] = None
    try:
        return importlib.import_module(name)
    finally:
        del sys.modules[absent]


submission = _import_quickly("graders.notebooks.submission")
printer = _import_quickly("graders.notebooks.printer")


@dataclass(frozen=True)
class Checked:
    """A checked notebook: what it is, the verdicts, what Python could not run, and what should be said besides."""

    path: Path
    topic: str
    exercise: Exercise
    givens: dict
    verdicts: tuple[Verdict, ...]
    errors: dict[str, str]
    sources: dict[str, str]
    notes: tuple[str, ...]

    @property
    def points(self) -> float:
        """The points of all parts together."""
        return sum(verdict.points for verdict in self.verdicts)


def check(path: Path) -> Checked:
    """Run and judge the notebook in a file, or raise Problem."""
    from graders.desk import inprocess

    notebook = read(path)
    topic, exercise = which(notebook, path, runs_its_code=True)
    givens = own_givens(notebook, exercise)
    restored = submission.restore(notebook, topic, exercise, givens)
    sheet = submission.sheet(path.stem, restored.notebook, exercise)
    outcome = inprocess.run(sheet)
    marked = submission.judged(restored.notebook, exercise, givens, outcome)
    sources = submission.answers_written(marked.notebook)
    notes = tuple(note for note in restored.notes if note not in ("givens had been changed", "givens put back"))
    return Checked(path, topic, exercise, givens, marked.verdicts, _errors(marked.notebook), sources, notes)


def read(path: Path):
    """Return the notebook in a file, or raise Problem."""
    try:
        return submission.read(path)
    except submission.Broken as why:
        raise Problem(f"{path.name} {why}.", "open the exercise again with: workbook open --again EXERCISE") from None


def which(notebook, path: Path, runs_its_code: bool = False) -> tuple[str, Exercise]:
    """Return topic and exercise of a notebook: by what it says of itself, else by its file's name.

    An instructor's own exercise is code that the notebook carries. It is run only where that is asked for, as where
    the notebook's cells are run too: no code runs because a page is opened.
    """
    ours = notebook["metadata"].get(printer.METADATA_KEY, {})
    if isinstance(name := ours.get("exercise"), str) and own.is_own(name) and ours.get("topic") in SLUGS:
        held = folder.about(path if path.is_file() else Path(path.name)).get("sheet")
        found = (own.lent if runs_its_code else own.known)(held, ours["topic"], name)
        return ours["topic"], found
    told = [(ours.get("topic"), ours.get("exercise"))]
    told += [(slug, printer.exercise_of(path.stem)) for slug in SLUGS]
    for topic, exercise in told:
        if topic in SLUGS:
            try:
                return topic, sheets.find(topic, exercise)
            except KeyError:
                continue
    raise Problem(
        f"{path.name} is no exercise of this workbook.", "choose one from the contents page, or: workbook topics"
    )


def lend_own(here: Path) -> None:
    """Let the own exercises of a learner's folder be practised: the code of their sheets is run. Or raise Problem."""
    found = [
        about for path in sorted(folder.default(here).glob("*/*.ipynb")) if "sheet" in (about := folder.about(path))
    ]
    if not found:
        raise Problem("there are no exercises of an instructor's own here.", "go to the folder of your handout")
    for about in found:
        own.lent(about["sheet"], str(about.get("topic")), str(about.get("exercise")))


def own_givens(notebook, exercise: Exercise) -> dict:
    """Return the givens written in the notebook's own cell of numbers, or raise Problem."""
    found = {}
    for cell in notebook["cells"]:
        if submission.is_givens(cell):
            found = _assigned(cell["source"])
            break
    missing = [name for name in exercise.givens if name not in found]
    if missing:
        raise Problem(
            f"the cell with your numbers is missing or damaged ({missing[0]} is not there).",
            "get a clean copy with: workbook open --again EXERCISE, and copy your answers over",
        )
    return {name: found[name] for name in exercise.givens}


def _assigned(source: str) -> dict:
    """Return the plain values that a cell assigns, without running it."""
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return {}
    values = {}
    for node in tree.body:
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            try:
                values[node.targets[0].id] = ast.literal_eval(node.value)
            except ValueError:
                continue
    return values


def _errors(notebook) -> dict[str, str]:
    """Return the plain line about each answer cell that failed, by part."""
    return {
        submission.grade_id_of(cell).removesuffix("-answer"): output["evalue"]
        for cell in notebook["cells"]
        for output in cell.get("outputs", ())
        if output["output_type"] == "error" and cell["metadata"].get("nbgrader", {}).get("solution")
    }
