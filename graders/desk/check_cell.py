"""The closing cell of an exercise: find the saved notebook this kernel belongs to, check it, show what was found."""

import math
import os
from html import escape
from pathlib import Path

from workbook.problems import Problem
from workbook.server import cell_history, folder, mistakes

_checking = False


def check(name: str) -> None:
    """Check the saved notebook and show it. Never raises; does nothing where the notebook itself is being marked."""
    global _checking
    if _checking or "NBGRADER_EXECUTION" in os.environ:  # a check must not start itself, nor show anything to a marker
        return
    _checking = True
    try:
        _show(name)
    except Problem as problem:
        _say(f"The check could not be made: {problem}", problem.tip)
    except KeyboardInterrupt:
        _say("The check was stopped. Nothing has changed; run this cell again when you like.")
    except Exception as error:  # a learner can do nothing with a traceback of ours; the line can be sent to us
        _say(f"The check failed inside the workbook ({type(error).__name__}: {error}). Your answers are safe.")
    finally:
        _checking = False


def _show(name: str) -> None:
    from graders.desk import checking, log_result, render

    checked = checking.check(find(name))
    log_result.keep(checked)
    older = file_is_older(checked)
    _publish(render.html(checked, older), render.text(checked, older))


def _say(what: str, tip: str = "") -> None:
    from graders.desk import render

    lines = [what, f"What to do: {tip}." if tip else ""]
    body = "".join(f"<p>{escape(line)}</p>" for line in lines if line)
    _publish(render.framed("Check of my answers", body), "\n".join(line for line in lines if line))


def _publish(html: str, text: str) -> None:
    from IPython.display import display

    display({"text/html": html, "text/plain": text}, raw=True)


def find(name: str) -> Path:
    """Return the notebook file to check, or raise Problem.

    The server tells a kernel its notebook's path when it starts it. A notebook renamed since, or opened by another
    program, is looked for in the kernel's folder: under its printed name, else by the exercise it says it holds.
    """
    told = os.environ.get("JPY_SESSION_NAME", "")
    for path in (Path(told), Path(name)):
        if path.suffix == ".ipynb" and path.is_file() and _holds(path, name):
            return path.absolute()
    there = [path for path in Path().glob("*.ipynb") if _holds(path, name)]
    if not there:
        raise Problem(
            f"there is no saved notebook {name} in this folder", "save the notebook (Ctrl+S), then run this again"
        )
    return max(there, key=lambda path: path.stat().st_mtime).absolute()


def _holds(path: Path, name: str) -> bool:
    """Whether a notebook is the exercise that was printed under a name. A file that cannot be read is said later."""
    from graders.desk import checking

    wanted = checking.printer.exercise_of(Path(name).stem)
    try:
        _, exercise = checking.which(checking.read(path), path)
    except Problem:
        return wanted in (checking.printer.exercise_of(path.stem), folder.about(path).get("exercise"))
    return exercise.id == wanted


def file_is_older(checked) -> str:
    """Say so where an answer was run after the file was saved, and the file does not hold it."""
    saved_at = checked.path.stat().st_mtime
    saved = {source.strip() for source in checked.sources.values()}
    runs = _history()
    for number, part in enumerate(checked.exercise.parts, 1):
        last = next((run for run in reversed(runs) if mistakes.assigns(run[1], part.answer_names)), None)
        if last and part.name in checked.sources and last[0] > saved_at and last[1].strip() not in saved:
            return (
                f"The saved file has another answer in part {number} than the one you ran last. Only the file counts: "
                "if you changed the answer since, save the notebook (Ctrl+S) and run this cell again."
            )
    return ""


def _history() -> list[tuple[float, str]]:
    """Return when each cell was run in this kernel and its text, oldest first. A kernel that is not ours knows the
    texts only: they are then taken to be later than any file."""
    from IPython.core.getipython import get_ipython

    if cell_history.cells:
        return cell_history.cells
    shell = get_ipython()
    return [(math.inf, text) for text in shell.history_manager.input_hist_raw] if shell is not None else []
