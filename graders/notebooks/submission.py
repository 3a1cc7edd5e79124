"""One submitted notebook: read it with suspicion, put the record's numbers in, and say what is to be run.

Nothing here trusts what a learner can write: roles come from grade ids of our own exercise, never from the metadata a
notebook brings along.
"""

import json
from dataclasses import dataclass, replace
from pathlib import Path

from graders.judging import second_run
from graders.judging.judge import Answers, as_read, judge_part
from graders.judging.second_run import Seen
from graders.notebooks import printer
from graders.questions.exercise import Exercise
from graders.questions.parts.number import Number
from graders.questions.parts.written import TEXT_STUB
from graders.questions.verdicts import CELL_MISSING, IN_THE_CELL, Verdict
from graders.runner.job import Cell, Sheet, SheetOutcome
from workbook.topics import by_slug

MOST_BYTES = 20_000_000
MOST_CELLS = 2_000
MOST_JSON_PARTS = 2_000_000
"""Commas and brackets in a notebook's text: each may become an object of some hundred bytes once it is read."""
MOST_WORD = 200
CLOSING = {printer.METADATA_KEY: {"role": "closing"}}


class Broken(ValueError):
    """A file that is no notebook, said in one plain line."""


def read(path: Path) -> dict:
    """Return the notebook in a file, in one regular shape, or raise Broken."""
    return parse(text_of(path))


def text_of(path: Path) -> str:
    """Return the text of a file that may be a notebook, or raise Broken."""
    try:
        if path.is_symlink() or not path.is_file():
            raise Broken("is not a plain file")
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise Broken(f"is too large ({size / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} MB)")
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Broken("is not UTF-8 text") from None
    except OSError as error:
        raise Broken(f"cannot be read ({error.strerror})") from None


def parse(text: str) -> dict:
    """Return the notebook written in text, or raise Broken."""
    if not text.strip():
        raise Broken("is empty")
    if sum(map(text.count, ",[{")) > MOST_JSON_PARTS:
        raise Broken("has far more in it than a notebook of an exercise")
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError):
        raise Broken("is cut off or is no notebook (not valid JSON)") from None
    if not isinstance(raw, dict) or raw.get("nbformat") not in (3, 4):
        raise Broken("is JSON, but no notebook")
    if raw["nbformat"] == 3:
        raise Broken("is a notebook of an old format: open it in JupyterLab and save it again")
    cells = raw.get("cells")
    if not isinstance(cells, list) or len(cells) > MOST_CELLS:
        raise Broken("has no list of cells, or far too many")
    regular = [_regular_cell(cell, index) for index, cell in enumerate(cells)]
    metadata = raw.get("metadata") if isinstance(raw.get("metadata"), dict) else {}
    ours = metadata.get(printer.METADATA_KEY)
    kept = {printer.METADATA_KEY: _words(ours) | _orders(raw)} if isinstance(ours, dict) else {}
    return {"cells": regular, "metadata": kept, "nbformat": 4, "nbformat_minor": 5}


def _words(told: dict) -> dict[str, str]:
    """Return what a notebook says of its handout: short texts that can be written down, and nothing else."""
    return {name: word for name, word in told.items() if _is_word(name) and _is_word(word)}


def _orders(notebook: dict) -> dict:
    """Return the orders in which a notebook says that it showed its words, or nothing where they are none."""
    orders = printer.orders_in(notebook)
    sound = len(orders) < MOST_CELLS and all(
        map(_is_word, (*orders, *(word for words in orders.values() for word in words)))
    )
    return {"orders": orders} if orders and sound else {}


def _is_word(value) -> bool:
    """Whether a value is a short text. A lone surrogate is valid JSON and no text: it cannot be printed or saved."""
    if not isinstance(value, str) or len(value) > MOST_WORD:
        return False
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _regular_cell(cell, index: int) -> dict:
    """Return a cell with nothing but what marking needs: type, id, source, and its nbgrader id if it has one."""
    if not isinstance(cell, dict) or cell.get("cell_type") not in ("code", "markdown", "raw"):
        raise Broken(f"has a cell (number {index + 1}) that is no cell")
    source = cell.get("source", "")
    if isinstance(source, list):
        source = "".join(line for line in source if isinstance(line, str))
    if not isinstance(source, str):
        raise Broken(f"has a cell (number {index + 1}) without text")
    metadata = cell.get("metadata") if isinstance(cell.get("metadata"), dict) else {}
    nbgrader = metadata.get("nbgrader") if isinstance(metadata.get("nbgrader"), dict) else {}
    kept = {"nbgrader": {"grade_id": nbgrader["grade_id"]}} if _is_word(nbgrader.get("grade_id")) else {}
    regular = {"cell_type": cell["cell_type"], "metadata": kept, "source": source.encode("utf-8", "replace").decode()}
    regular["id"] = cell["id"] if _is_word(cell.get("id")) else ""
    if cell["cell_type"] == "code":
        regular |= {"execution_count": None, "outputs": []}
    return regular


@dataclass(frozen=True)
class Restored:
    """A submitted notebook in our shape, with the record's numbers in, and what had to be put right."""

    notebook: dict
    notes: tuple[str, ...]


def restore(notebook: dict, topic: str, exercise: Exercise, givens: dict) -> Restored:
    """Put a submission into the printed shape: roles, points, marking cells and givens are ours, answers are theirs.

    The notebook is changed in place. The last cell of a repeated grade id counts, as in nbgrader. A missing marking
    cell is not put back.
    """
    printed = printer.graded_cells(by_slug(topic), exercise)
    notes, seen = [], set()
    for cell in reversed(notebook["cells"]):
        grade_id = grade_id_of(cell)
        model = printed.get(grade_id)
        if model is None or grade_id in seen:
            if grade_id is not None:
                notes.append(f"repeated cell {grade_id}" if grade_id in seen else "a cell that is not ours")
            cell["metadata"].pop("nbgrader", None)
            continue
        seen.add(grade_id)
        if cell["cell_type"] != model["cell_type"]:
            notes.append(f"cell {grade_id} had another type")
            _become(cell, model["cell_type"])
        cell["metadata"] = dict(model["metadata"])
        if model["metadata"]["nbgrader"]["locked"]:
            cell["source"] = printer.marking_source(topic, exercise, exercise.part(grade_id), givens)
    _put_givens(notebook, exercise, givens, notes)
    _mark_closing(notebook, printer.closing_source(printer.notebook_name(exercise)))
    _regular_ids(notebook)
    return Restored(notebook, tuple(notes))


def _become(cell, kind: str) -> None:
    cell["cell_type"] = kind
    for name in ("outputs", "execution_count"):
        cell.pop(name, None)
    if kind == "code":
        cell["outputs"], cell["execution_count"] = [], None


def is_givens(cell) -> bool:
    """Whether a cell is the one with the givens, by its id or, where that is lost, by its first line."""
    return cell["cell_type"] == "code" and (cell["id"] == "givens" or cell["source"].startswith(printer.GIVENS_HEAD))


def _put_givens(notebook, exercise: Exercise, givens: dict, notes: list[str]) -> None:
    source = printer.givens_source(exercise, givens)
    cells = notebook["cells"]
    at = next((index for index, cell in enumerate(cells) if is_givens(cell)), None)
    if at is None:
        notes.append("givens put back")
        first_code = next((index for index, cell in enumerate(cells) if cell["cell_type"] == "code"), 0)
        cells.insert(first_code, printer.givens_cell(exercise, givens))
        return
    if cells[at]["source"].rstrip() != source.rstrip():
        notes.append("givens had been changed")
    cells[at] = printer.givens_cell(exercise, givens)


def _mark_closing(notebook, source: str) -> None:
    """Name the closing cell by its text, so that a learner's own cell is never left out."""
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code" and cell["source"].strip() == source:
            cell["metadata"] = {"deletable": False, "editable": False, **CLOSING}


def _regular_ids(notebook) -> None:
    """Give every cell an id that is valid and its own: ours to our cells, a number to the rest."""
    taken = set()
    for index, cell in enumerate(notebook["cells"]):
        wanted = grade_id_of(cell) or (cell["id"] if cell["id"] in ("givens", "title", "closing") else f"cell-{index}")
        cell["id"] = wanted if wanted not in taken else f"cell-{index}"
        taken.add(cell["id"])


def grade_id_of(cell) -> str | None:
    """Return a cell's grade id, or None where it has none."""
    return cell["metadata"].get("nbgrader", {}).get("grade_id")


def answers_written(notebook) -> dict[str, str]:
    """Return what stands in every answer cell of a restored notebook, by part."""
    return {
        grade_id_of(cell).removesuffix("-answer"): cell["source"]
        for cell in notebook["cells"]
        if cell["metadata"].get("nbgrader", {}).get("solution")
    }


def is_closing(cell) -> bool:
    """Whether a cell of a restored notebook is the closing cell, which marking leaves out."""
    return cell["metadata"].get(printer.METADATA_KEY) == CLOSING[printer.METADATA_KEY]


def marked_part(cell, exercise: Exercise):
    """Return the part a cell of a restored notebook marks, or None."""
    nbgrader = cell["metadata"].get("nbgrader", {})
    return exercise.part(nbgrader["grade_id"]) if nbgrader.get("grade") else None


def sheet(name: str, notebook: dict, exercise: Exercise) -> Sheet:
    """Return what is run of a restored notebook: every code cell but the closing one, marking cells as reports."""
    names = tuple(answer for part in exercise.parts for answer in part.answer_names)
    return Sheet(
        name,
        tuple(
            Cell(cell["source"]) if marked_part(cell, exercise) is None else Cell("", names)
            for cell in _run_cells(notebook)
        ),
    )


def with_givens(run: Sheet, exercise: Exercise, givens: dict, other: dict) -> Sheet:
    """Return what is run with other givens in the givens cell, for the second run with fresh numbers."""
    before, after = (printer.givens_source(exercise, numbers) for numbers in (givens, other))
    cells = tuple(replace(cell, source=after) if cell.source == before else cell for cell in run.cells)
    return Sheet(run.name, cells, pictures=False)


@dataclass(frozen=True)
class Fresh:
    """The second run: its givens, which parts should come out otherwise, what came of it, what the policy takes off."""

    givens: dict
    changing: list[str]
    outcome: SheetOutcome
    policy: str


@dataclass(frozen=True)
class Judged:
    """A marked notebook with outputs and points, the verdicts, the numbers given, and what fresh numbers showed."""

    notebook: dict
    verdicts: tuple[Verdict, ...]
    numbers: dict[str, float]
    findings: dict[str, str]


def judged(
    notebook: dict, exercise: Exercise, givens: dict, outcome: SheetOutcome, fresh: Fresh | None = None
) -> Judged:
    """Judge a restored notebook by what its run brought, and fill outputs and points in, in place.

    Parameters
    ----------
    notebook : dict
        From `restore`.
    exercise, givens
        The exercise and the record's givens.
    outcome : SheetOutcome
        What running `sheet` of it brought.
    fresh : Fresh, optional
        The second run, with other givens.
    """
    marked = Judged(notebook, (), {}, {})
    verdicts, sources, failed = {}, {}, set()
    kept, kept_again = {}, {}
    runs = zip(outcome.cells, fresh.outcome.cells if fresh else [None] * len(outcome.cells), strict=True)
    for count, (cell, (result, again)) in enumerate(zip(_run_cells(marked.notebook), runs, strict=True), 1):
        cell["execution_count"] = count
        grade_id = grade_id_of(cell)
        part = marked_part(cell, exercise)
        if part is None:
            sources[grade_id] = cell["source"]
            cell["outputs"] = list(result.outputs)
            if result.status == "error":
                failed.add(grade_id)
            continue
        answer_cell = f"{part.name}-answer"
        answers = as_read(exercise, part, _answers(part, result, answer_cell in failed), kept)
        verdict = judge_part(exercise, part.name, givens, answers)
        again_read = again and as_read(exercise, part, _answers(part, again, False), kept_again)
        if isinstance(part, Number) and _is_read(answers, part.name):
            marked.numbers[part.name] = answers.given[part.name]
            if again_read is not None and part.name in fresh.changing:
                # Its words are never shown, and no point hangs on them: no slip is looked for.
                fresh_verdict = judge_part(exercise, part.name, fresh.givens, again_read, explain=False)
                seen = Seen(verdict, answers.given[part.name], fresh_verdict, again_read.given.get(part.name))
                found = second_run.finding(part, seen, sources.get(answer_cell, ""))
                verdict = second_run.after_policy(verdict, found, fresh.policy)
                marked.findings.update({part.name: found} if found else {})
        verdicts[part.name] = verdict
        cell["outputs"] = [_shown_points(verdict.points, count)]
    found = tuple(_verdict(marked.notebook, exercise, givens, part, verdicts) for part in exercise.parts)
    return replace(marked, verdicts=found)


def outputs_of(notebook: dict, exercise: Exercise) -> list[list[dict]]:
    """Return what each cell of a judged notebook showed that is run and marks nothing, in order."""
    return [cell["outputs"] for cell in _run_cells(notebook) if marked_part(cell, exercise) is None]


def filled(notebook: dict, exercise: Exercise, outputs: list[list[dict]], verdicts: tuple[Verdict, ...]) -> dict:
    """Fill a restored notebook, in place, as `judged` does: from the outputs of its cells, and from its verdicts."""
    points, shown = {verdict.part: verdict.points for verdict in verdicts}, iter(outputs)
    for count, cell in enumerate(_run_cells(notebook), 1):
        part = marked_part(cell, exercise)
        cell["execution_count"] = count
        cell["outputs"] = next(shown) if part is None else [_shown_points(points[part.name], count)]
    return notebook


def _shown_points(points: float, count: int) -> dict:
    """Return the output nbgrader reads a part's points from."""
    data = {"text/plain": repr(float(points))}
    return {"output_type": "execute_result", "data": data, "execution_count": count, "metadata": {}}


def _run_cells(notebook):
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code" and not is_closing(cell)]


def _is_read(answers: Answers, name: str) -> bool:
    value = answers.given.get(name)
    return name not in answers.unreadable and isinstance(value, (int, float)) and not isinstance(value, bool)


def _verdict(notebook, exercise: Exercise, givens: dict, part, verdicts: dict) -> Verdict:
    """Return a part's verdict: from its marking cell, from its text, or because its cell is missing."""
    if part.name in verdicts:
        return verdicts[part.name]
    texts = [cell["source"].strip() for cell in notebook["cells"] if marked_part(cell, exercise) is part]
    if part.is_written and texts:
        unanswered = {part.name: "not yet"} if texts[0] == TEXT_STUB else {}
        return judge_part(exercise, part.name, givens, Answers({}, unanswered))
    names = (part.name, *part.answer_names)
    return judge_part(exercise, part.name, givens, Answers({}, dict.fromkeys(names, CELL_MISSING)))


def _answers(part, result, cell_failed: bool) -> Answers:
    """Return what the learner's names held at a marking cell, and why where they held nothing."""
    if result.answers is None:
        return Answers({}, dict.fromkeys(part.answer_names, "not reached"))
    unreadable = dict(result.unreadable)
    if cell_failed:
        for name in part.answer_names:
            if unreadable.get(name) in ("missing", "not yet"):
                unreadable[name] = IN_THE_CELL
    return Answers(result.answers, unreadable)
