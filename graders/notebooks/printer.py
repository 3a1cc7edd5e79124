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
from graders.questions.exercise import (
    Choice,
    Design,
    Exercise,
    Number,
    Order,
    Part,
    Several,
    Tolerance,
    Written,
    right_answer,
)
from workbook import units
from workbook.topics import TOPICS, Topic

BEGIN, END = "### BEGIN SOLUTION", "### END SOLUTION"
TEXT_STUB = "Write your answer here."
GIVENS_HEAD = "# Your numbers: run this cell first. It cannot be edited."
MATH = "from math import atan, cos, erf, exp, log, log10, pi, sin, sqrt, tan, tanh"
METADATA_KEY = "rework_workbook"


def number_text(value) -> str:
    """Return a number, or a list of them, as it stands in a text.

    >>> number_text(0.35), number_text(1.7241e-8), number_text(120000)
    ('0.35', '1.7241 × 10⁻⁸', '120 000')
    """
    if isinstance(value, (list, tuple)):
        return ", ".join(number_text(item) for item in value)
    if isinstance(value, str):
        return value
    if value != 0 and not 1e-4 <= abs(value) < 1e7:
        digits, power = f"{value:.10e}".split("e")
        raised = str(int(power)).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
        return f"{digits.rstrip('0').rstrip('.')} × 10{raised}"
    if isinstance(value, int) and abs(value) >= 10000:
        return f"{value:,}".replace(",", " ")
    return repr(value)


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
        return number_text(givens[name]) + units.shown(exercise.givens[name].unit)

    return re.sub(r"\{([a-z][a-z0-9_]*)\}", fill, text)


def notebook_name(topic: Topic, exercise: Exercise) -> str:
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
    return _notebook(topic, exercise, printed, solved=True, own=givens is not None)


def exercise_notebook(topic: Topic, exercise: Exercise, givens: dict | None = None, marks: dict | None = None) -> dict:
    """Return the blank notebook of an exercise, as nbgrader's release step would make it.

    Parameters
    ----------
    givens : dict, optional
        A learner's own numbers, as printed; the worked numbers without.
    marks : dict, optional
        What a handout writes into the notebook's metadata (learner, edition, seal).
    """
    printed = exercise.worked() if givens is None else givens
    notebook = _notebook(topic, exercise, printed, solved=False, own=givens is not None)
    notebook["metadata"][METADATA_KEY].update(marks or {})
    return notebook


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
            name = f"{topic.slug}/{notebook_name(topic, exercise)}.ipynb"
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
        comment = f"   # {given.unit}" if given.unit != "1" else ""
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


def _notebook(topic: Topic, exercise: Exercise, givens: dict, solved: bool, own: bool):
    name = notebook_name(topic, exercise)
    cells = [_text("title", _title_text(topic, exercise, givens)), givens_cell(exercise, givens)]
    key = {}
    for number, part in enumerate(exercise.parts, 1):
        cells.append(_text(f"{part.name}-question", _question_text(number, part, exercise, givens)))
        answers = right_answer(part, exercise.values(givens), exercise.answers(key))
        key |= answers
        cells += _answer_cells(topic, exercise, part, answers, givens if own else None, solved)
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
    words = name.removesuffix("_c").replace("_", " ")
    return words if unit == "1" else f"{words} [{unit}]"


def _question_text(number: int, part: Part, exercise: Exercise, givens: dict) -> str:
    points = "1 point" if part.points == 1 else f"{part.points} points"
    blocks = [f"### Part {number} ({points})", filled(part.ask, exercise, givens)]
    if isinstance(part, Number):
        unit = f"in **{part.unit}**" if part.unit != "1" else "as a plain number"
        blocks.append(f"Answer {unit}. Right is within {_width(part.within, part.unit)}: {part.because}.")
    elif isinstance(part, (Choice, Several, Order)):
        how = {
            Choice: "Answer with one of these words, in quotes:",
            Several: "Answer with a list of all that apply, each in quotes:",
            Order: "Answer with a list of all these words in order, each in quotes:",
        }[type(part)]
        words = [f"- `'{word}'`: {filled(meaning, exercise, givens)}" for word, meaning in part.options.items()]
        blocks.append("\n".join([how, "", *words]))
    elif isinstance(part, Design):
        lines = [
            f"- `{s.name}`: {s.words}, {number_text(s.low)} to {number_text(s.high)}{units.shown(s.unit)}"
            + (", a whole number" if s.whole else "")
            for s in part.settings
        ]
        blocks.append("\n".join(["Your choices, within these bounds:", "", *lines]))
    else:
        blocks.append("Answer in a few sentences. Your instructor reads this one.")
    return "\n\n".join(blocks)


def _width(within: Tolerance, unit: str) -> str:
    share = f"{within.relative * 100:g} %" if within.relative else ""
    if share and unit == "%":
        share += " of the value"
    width = f"{within.absolute:g}{units.shown(unit)}" if within.absolute else ""
    if width and unit == "%":
        width = "1 percentage point" if within.absolute == 1 else f"{within.absolute:g} percentage points"
    return " or ".join(text for text in (share, width) if text)


def _answer_cells(topic, exercise, part, answers, own_givens, solved) -> list:
    if isinstance(part, Written):
        source = f"{BEGIN}\n{part.model}\n{END}" if solved else stub(part)
        cell = _markdown(part.name, source, {} if solved else {"deletable": False})
        cell["metadata"]["nbgrader"] = _nbgrader(part.name, grade=True, solution=True, points=part.points)
        return [cell]
    working = part.working.strip() or "\n".join(f"{name} = {value!r}" for name, value in answers.items())
    source = f"{stub(part)}\n{BEGIN}\n{working}\n{END}" if solved else f"{stub(part)}\n"
    answer = _code(f"{part.name}-answer", source, {} if solved else {"deletable": False})
    answer["metadata"]["nbgrader"] = _nbgrader(f"{part.name}-answer", solution=True)
    marking = _locked_code(part.name, marking_source(topic.slug, exercise, part, own_givens), folded=True)
    marking["metadata"]["nbgrader"] = _nbgrader(part.name, grade=True, locked=True, points=part.points)
    if solved:  # nbgrader's release step locks the cell; the source is left open to its authors
        del marking["metadata"]["deletable"], marking["metadata"]["editable"]
    return [answer, marking]


def stub(part: Part) -> str:
    """Return what an answer cell holds as it is handed out."""
    if isinstance(part, Written):
        return TEXT_STUB
    if isinstance(part, Number):
        return f"{part.name} = ..." + (f"   # {part.unit}" if part.unit != "1" else "")
    if isinstance(part, Design):
        return "\n".join(f"{s.name} = ...{'   # ' + s.unit if s.unit != '1' else ''}" for s in part.settings)
    how = {Choice: "one of the words", Several: "a list of the words that apply", Order: "a list of the words in order"}
    return f"{part.name} = ...   # {how[type(part)]}"


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
