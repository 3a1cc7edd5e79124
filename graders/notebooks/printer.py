"""Sheet to notebook: worked solutions, blank exercises, and a learner's own copy in own numbers.

Printing is byte-stable: cell ids are fixed, there are no outputs, and the same sheet gives the same file. Notebooks are
plain dicts here, because nbformat checks every cell as it is made, which a thousand handouts would pay for; that what
is printed is valid is shown by a test.
"""

import hashlib
import json
import re
from functools import lru_cache
from pathlib import Path

from graders import sheets
from graders.questions.exercise import Exercise
from graders.questions.givens import Given, shops_words
from graders.questions.parts.base import Part
from graders.questions.parts.figures import number_text
from workbook import units
from workbook.topics import TOPICS, Topic

BEGIN, END = "### BEGIN SOLUTION", "### END SOLUTION"
GIVENS_HEAD = "# Your numbers: run this cell first. It cannot be edited."
MATH = "from math import atan, cos, erf, exp, log, log10, pi, sin, sqrt, tan, tanh"
METADATA_KEY = "rework_workbook"
PRINTED = b"the printed exercises"
"""The key of the orders of words in solutions/ and exercises/, which everybody reads."""


def filled(text: str, exercise: Exercise, givens: dict) -> str:
    """Fill ``{name}`` of known givens into a text, with its unit; leave every other brace alone.

    >>> from types import SimpleNamespace as Sheet
    >>> from graders.questions.givens import Fixed
    >>> filled("{power} and {unknown}", Sheet(givens={"power": Fixed(60, "W")}), {"power": 60})
    '60 W and {unknown}'
    """

    def fill(match):
        name = match.group(1)
        if name not in exercise.givens:
            return match.group(0)
        return with_unit(exercise.givens[name], givens[name])

    return re.sub(r"\{([a-z][a-z0-9_]*)\}", fill, text)


def with_unit(given: Given, value) -> str:
    """Return a given as a text tells it: with its unit, and where it is a shop's rule, with that.

    >>> from graders.questions.givens import Fixed
    >>> with_unit(Fixed(60, "W"), 60), with_unit(Fixed(1.0, "Ω", rule="shorts.dead_short_limit"), 0.8)
    ('60 W', "0.8 Ω (shop's rule instead of 1 Ω)")
    """
    words = shops_words(given, value)
    return number_text(value) + units.shown(given.unit) + (f" ({words})" if words else "")


def words_of(name: str) -> str:
    """Return a given's name as words: what ends in ``_c`` is in °C, which its unit says.

    >>> words_of("plate_c"), words_of("time_constant")
    ('plate', 'time constant')
    """
    return name.removesuffix("_c").replace("_", " ")


def notebook_name(exercise: Exercise) -> str:
    """Return the exercise's notebook name without its ending, for example ``03_board-on-heater``."""
    return f"{exercise.number:02d}_{exercise.id}"


def exercise_of(notebook: str) -> str:
    """Return the exercise a notebook's name stands for.

    >>> exercise_of("03_board-on-heater")
    'board-on-heater'
    """
    return re.sub(r"^\d+_", "", notebook)


def solution_notebook(topic: Topic, exercise: Exercise, givens: dict | None = None) -> dict:
    """Return nbgrader's source notebook of an exercise: answers worked, inside solution regions."""
    printed = exercise.worked() if givens is None else givens
    return _notebook(topic, exercise, printed, solved=True, own=givens is not None, orders=exercise.orders(PRINTED))


def exercise_notebook(
    topic: Topic,
    exercise: Exercise,
    givens: dict | None = None,
    marks: dict | None = None,
    orders: dict[str, list[str]] | None = None,
) -> dict:
    """Return the blank notebook of an exercise, as nbgrader's release step would make it.

    Parameters
    ----------
    givens : dict, optional
        A learner's own numbers, as printed; the worked numbers without.
    marks : dict, optional
        What a handout writes into the notebook's metadata (learner, edition, seal).
    orders : dict, optional
        The words of each part in the order shown, kept in the notebook's metadata. Without, the printed order goes with
        the worked numbers, and the sheet's own with a learner's (as before orders were drawn).
    """
    if givens is None:
        return _notebook(topic, exercise, exercise.worked(), solved=False, own=False, orders=exercise.orders(PRINTED))
    notebook = _notebook(topic, exercise, givens, solved=False, own=True, orders=orders or {})
    notebook["metadata"][METADATA_KEY] |= (marks or {}) | ({"orders": orders} if orders else {})
    return notebook


def orders_in(notebook: dict) -> dict[str, list[str]]:
    """Return the orders of words a handed-out notebook's metadata holds; nothing where it holds none."""
    held = notebook["metadata"].get(METADATA_KEY, {}).get("orders")
    if not isinstance(held, dict):
        return {}
    return {
        name: words
        for name, words in held.items()
        if isinstance(words, list) and all(isinstance(word, str) for word in words)
    }


def text_of(notebook: dict) -> str:
    """Return a printed notebook's file text, laid out as nbformat does, ending in a newline."""
    cells = [cell | {"source": cell["source"].splitlines(keepends=True)} for cell in notebook["cells"]]
    text = json.dumps(notebook | {"cells": cells}, ensure_ascii=False, indent=1, sort_keys=True, separators=(",", ": "))
    return text + "\n"


def printed(to_solutions: Path, to_exercises: Path) -> dict[Path, str]:
    """Return the text of every notebook the sheets print, by its path."""
    texts = {}
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            name = f"{topic.slug}/{notebook_name(exercise)}.ipynb"
            texts[to_solutions / name] = text_of(solution_notebook(topic, exercise))
            texts[to_exercises / name] = text_of(exercise_notebook(topic, exercise))
    return texts


def out_of_date(to_solutions: Path, to_exercises: Path) -> list[Path]:
    """Return the printed notebooks that differ from the sheets, are missing, or are printed by no sheet any more."""
    wanted = printed(to_solutions, to_exercises)
    stale = [path for path, text in wanted.items() if not path.is_file() or path.read_text(encoding="utf-8") != text]
    there = [path for folder in (to_solutions, to_exercises) for path in sorted(folder.glob("*/*.ipynb"))]
    return stale + [path for path in there if path not in wanted]


def print_all(to_solutions: Path, to_exercises: Path) -> list[Path]:
    """Bring the printed notebooks up to date and return what changed."""
    wanted = printed(to_solutions, to_exercises)
    stale = out_of_date(to_solutions, to_exercises)
    for path in stale:
        if path in wanted:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(wanted[path], encoding="utf-8", newline="\n")
        else:
            path.unlink()
    return stale


def givens_source(exercise: Exercise, givens: dict) -> str:
    """Return the givens cell: one plain assignment a given, its unit in a comment."""
    lines = [GIVENS_HEAD, MATH, ""]
    for name, given in exercise.givens.items():
        value = list(givens[name]) if isinstance(givens[name], tuple) else givens[name]
        words = [given.unit] if given.unit != "1" else []
        words += [said] if (said := shops_words(given, givens[name])) else []
        comment = f"   # {', '.join(words)}" if words else ""
        lines.append(f"{name} = {value!r}{comment}")
    return "\n".join(lines)


def marking_source(topic: str, exercise: Exercise, part: Part, givens: dict | None) -> str:
    """Return a part's marking cell. Without givens it is the text nbgrader keeps; with them, what is run."""
    argument = "" if givens is None else f", givens={_plain(exercise, givens)!r}"
    return (
        "# Marking cell: nothing to do here. It shows the points of this part.\n"
        "from graders import stock\n"
        f"stock.points({topic!r}, {exercise.id!r}, {part.name!r}, globals(){argument})"
    )


def _plain(exercise: Exercise, givens: dict) -> dict:
    """Return givens in the sheet's order, with lists for records."""
    return {name: list(givens[name]) if isinstance(givens[name], tuple) else givens[name] for name in exercise.givens}


@lru_cache(maxsize=512)
def graded_cells(topic: Topic, exercise: Exercise) -> dict:
    """Return the printed cells that carry nbgrader's metadata, by grade id, with the worked numbers."""
    cells = exercise_notebook(topic, exercise)["cells"]
    return {cell["metadata"]["nbgrader"]["grade_id"]: cell for cell in cells if "nbgrader" in cell["metadata"]}


def texts(topic: Topic, exercise: Exercise, givens: dict, orders: dict[str, list[str]]) -> frozenset[str]:
    """Return the texts of a learner's notebook that are ours."""
    cells = exercise_notebook(topic, exercise, givens, orders=orders)["cells"]
    return frozenset(cell["source"] for cell in cells if cell["cell_type"] == "markdown")


def closing_source(name: str) -> str:
    """Return the closing cell, which checks the saved notebook."""
    return (
        "# Check my answers: save the notebook (Ctrl+S), then run this cell.\n"
        "try:\n"
        "    from graders import desk\n"
        "except ImportError:\n"
        '    print("To check answers here, install the package rework-workbook in this Python.")\n'
        "else:\n"
        f"    desk.check({name + '.ipynb'!r})"
    )


def _notebook(topic: Topic, exercise: Exercise, givens: dict, solved: bool, own: bool, orders: dict) -> dict:
    name = notebook_name(exercise)
    drawn = exercise.drawn(givens)
    cells = [
        _text("title", _title_text(topic, exercise, givens)),
        *([_text("drawing", drawn.markdown())] if drawn else []),
        givens_cell(exercise, givens),
    ]
    key, told = (exercise.key(givens), exercise.spelled(givens)) if solved else ({}, {})
    for number, part in enumerate(exercise.parts, 1):
        shown = part.in_order(orders.get(part.name, ()))
        cells.append(_text(f"{part.name}-question", _question_text(number, shown, exercise, givens)))
        answers = {name: key[name] for name in part.answer_names if solved}
        plain = "".join(f"# {line}\n" for line in told.get(part.name, ()) if line not in part.working)
        cells += _answer_cells(topic, exercise, part, answers, givens if own else None, solved, plain)
    cells += [
        _text("closing-text", "### Check\n\nWhat is marked is the saved notebook, run from the top."),
        _locked_code("closing", closing_source(name), folded=True),
    ]
    if not solved:
        _add_checksums(cells)
    metadata = {
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
        METADATA_KEY: {"topic": topic.slug, "exercise": exercise.id},
    }
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def _title_text(topic: Topic, exercise: Exercise, givens: dict) -> str:
    head = f"*Topic {topic.number}, {topic.slug}. {exercise.points} points.*"
    return "\n\n".join((f"# {exercise.title}", head, setup_text(exercise, givens)))


def setup_text(exercise: Exercise, givens: dict) -> str:
    """Return what stands above an exercise's questions: the caution, the setup, and its table."""
    blocks = [f"> **Caution.** {exercise.caution}"] if exercise.caution else []
    blocks.append(filled(exercise.setup, exercise, givens))
    if exercise.table:
        blocks.append(_table_text(exercise, givens))
    return "\n\n".join(blocks)


def _table_text(exercise: Exercise, givens: dict) -> str:
    heads = [_head(name, exercise.givens[name].unit) for name in exercise.table]
    lines = [f"| {' | '.join(heads)} |", f"|{'---:|' * len(heads)}"]
    for row in zip(*(givens[name] for name in exercise.table), strict=True):
        lines.append(f"| {' | '.join(number_text(value) for value in row)} |")
    return "\n".join(lines)


def _head(name: str, unit: str) -> str:
    return words_of(name) if unit == "1" else f"{words_of(name)} [{unit}]"


def _question_text(number: int, part: Part, exercise: Exercise, givens: dict) -> str:
    points = "1 point" if part.points == 1 else f"{part.points} points"
    blocks = [f"### Part {number} ({points})", filled(part.ask, exercise, givens)]
    blocks.append(part.instructions(lambda text: filled(text, exercise, givens)))
    return "\n\n".join(blocks)


def _answer_cells(topic, exercise, part, answers, own_givens, solved, plain) -> list:
    """Return the cells of an answer; a solution has its working in plain arithmetic above the Python."""
    if part.is_written:
        source = f"{BEGIN}\n{part.solution({})}\n{END}" if solved else part.stub()
        cell = _markdown(part.name, source, {} if solved else {"deletable": False})
        cell["metadata"]["nbgrader"] = _nbgrader(part.name, grade=True, solution=True, points=part.points)
        return [cell]
    source = f"{part.stub()}\n{BEGIN}\n{plain}{part.solution(answers)}\n{END}" if solved else f"{part.stub()}\n"
    answer = _code(f"{part.name}-answer", source, {} if solved else {"deletable": False})
    answer["metadata"]["nbgrader"] = _nbgrader(f"{part.name}-answer", solution=True)
    marking = _locked_code(part.name, marking_source(topic.slug, exercise, part, own_givens), folded=True)
    marking["metadata"]["nbgrader"] = _nbgrader(part.name, grade=True, locked=True, points=part.points)
    if solved:  # nbgrader's release step locks the cell; the source is left open to its authors
        del marking["metadata"]["deletable"], marking["metadata"]["editable"]
    return [answer, marking]


def _nbgrader(grade_id, grade=False, solution=False, locked=False, points=None) -> dict:
    metadata = {"grade": grade, "grade_id": grade_id, "locked": locked, "schema_version": 3}
    metadata |= {"solution": solution, "task": False}
    return metadata if points is None else metadata | {"points": points}


def _markdown(name: str, source: str, metadata: dict) -> dict:
    return {"cell_type": "markdown", "id": name, "metadata": metadata, "source": source}


def _code(name: str, source: str, metadata: dict) -> dict:
    blank = {"execution_count": None, "outputs": []}
    return {"cell_type": "code", "id": name, "metadata": metadata, "source": source} | blank


def _text(name: str, source: str) -> dict:
    return _markdown(name, source, {"deletable": False, "editable": False})


def _locked_code(name: str, source: str, folded: bool) -> dict:
    metadata = {"deletable": False, "editable": False}
    if folded:
        metadata["jupyter"] = {"source_hidden": True}
    return _code(name, source, metadata)


def givens_cell(exercise: Exercise, givens: dict) -> dict:
    """Return the cell with the givens, locked."""
    return _locked_code("givens", givens_source(exercise, givens), folded=False)


def _add_checksums(cells) -> None:
    for cell in cells:
        if "nbgrader" in cell["metadata"]:
            cell["metadata"]["nbgrader"]["checksum"] = checksum(cell)
            cell["metadata"]["nbgrader"]["cell_type"] = cell["cell_type"]


def checksum(cell: dict) -> str:
    """Return nbgrader's checksum of a cell: over its text, its type, its role, its grade id and its points.

    Our own lines, so that printing needs no nbgrader (which takes two seconds to import); a test holds them to it.
    """
    role = cell["metadata"]["nbgrader"]
    locked = not role["solution"] and (role["grade"] or role["locked"])
    parts = [cell["source"], cell["cell_type"], role["grade"], role["solution"], locked, role["grade_id"]]
    if role["grade"]:
        parts.append(float(role["points"]))
    return hashlib.md5("".join(str(part) for part in parts).encode(), usedforsecurity=False).hexdigest()
