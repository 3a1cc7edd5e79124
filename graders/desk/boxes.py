"""What an exercise's page asks the kernel for its answer boxes, and what it is told: plain data, both ways.

The page is the JupyterLab extension `rework-exercise-page`: it shows boxes and writes answer cells. What is judged,
read or found is done here. Each request names what to ``do``; what cannot be done comes back as ``say``.
"""

import json
from pathlib import Path

from graders import sheets
from graders.desk import answer_cells, check_cell, checking, copying, log_result, render
from graders.notebooks import printer, submission
from graders.questions import parse_answer
from graders.questions.parts.acts import Unplayable
from graders.questions.parts.base import Part
from workbook.problems import Problem
from workbook.server import contents, folder, way
from workbook.topics import TOPICS, by_slug


class AsJson:
    """Plain data that a kernel sends as JSON."""

    def __init__(self, data: dict):
        self.data = data

    def _repr_json_(self):
        return self.data


def reply(request: str) -> AsJson:
    """Return the answer to a page's request, which is JSON. Never raises."""
    try:
        asked = json.loads(request)
        return AsJson(STEPS[asked["do"]](asked))
    except Problem as problem:
        return AsJson({"say": problem.in_sentences})
    except Exception as error:  # a learner can do nothing with a traceback of ours; the line can be sent to us
        return AsJson({"say": f"This failed inside the workbook ({type(error).__name__}: {error}). Nothing is lost."})


def shown(asked: dict) -> dict:
    """Return what the page shows of an exercise, and make its numbers known to the kernel for who writes code.

    ``asked`` holds the notebook's metadata and cells, without outputs.
    """
    notebook = submission.parse(json.dumps(asked["notebook"]))
    topic, exercise = checking.which(notebook, Path(asked["file"]))
    givens = checking.own_givens(notebook, exercise)
    _make_known(printer.givens_source(exercise, givens))
    orders = printer.orders_in(notebook) or exercise.orders(printer.PRINTED)
    sources = {submission.grade_id_of(cell): cell["source"] for cell in notebook["cells"]}
    parts = []
    for number, part in enumerate(exercise.parts, 1):
        cell = f"{part.name}-answer" if part.answer_names else part.name
        if cell in sources:
            ordered = part.in_order(orders.get(part.name, ()))
            options = ordered.choices(lambda text: printer.filled(text, exercise, givens))
            parts.append(
                _part(number, ordered, options) | {"cell": cell, "held": answer_cells.held(part, sources[cell])}
            )
    return {
        "topic": topic,
        "exercise": exercise.id,
        "points": exercise.points,
        "numbers": _numbers(exercise, givens),
        "parts": parts,
        **_ways(asked, topic, exercise.id),
    }


def _numbers(exercise, givens: dict) -> list[tuple[str, str]]:
    """Return the givens in words, each with its unit; a table's records stand in its table."""
    return [
        (printer.words_of(name), printer.with_unit(given, givens[name]))
        for name, given in exercise.givens.items()
        if name not in exercise.table
    ]


def _part(number: int, part: Part, options: list) -> dict:
    fields = [field._asdict() for field in part.fields]
    return {
        "name": part.name,
        "number": number,
        "kind": part.kind,
        "options": options,
        "fields": fields,
        "layout": part.layout,
    }


def _make_known(givens: str) -> None:
    """Give the kernel's names their numbers: the text is ours, made from plain values."""
    from IPython.core.getipython import get_ipython

    shell = get_ipython()
    if shell is not None:
        exec(givens, shell.user_ns)


def _ways(asked: dict, topic: str, exercise: str) -> dict:
    """Return where one can go from an exercise: to the section to read, to the next exercise, and back to all."""
    place = f"{topic}/{asked['file']}"
    root = Path.cwd().parent
    there = contents.of(root) if folder.is_learners(root) else contents.Contents({}, {}, None, None)
    read = way.section(topic, exercise)
    after = way.following(there.lines.get(topic, []), place) or there.following
    return {
        "read": {"path": read.lesson, "number": read.number, "anchor": read.anchor, "words": read.heading}
        if read and (root / read.lesson).is_file()
        else None,
        "next": {"path": after.path, "words": after.title} if after and after.path != place else None,
        "all": contents.NAME if (root / contents.NAME).is_file() else None,
    }


def typed(asked: dict) -> dict:
    """Return an answer cell's text for what stands in a box, and what to say of what cannot be read.

    ``before`` is the cell's text so far, of which a learner's own comments stay.
    """
    part = sheets.find(asked["topic"], asked["exercise"]).part(asked["part"])
    source, said = part.cell_of(asked["typed"])
    read = part.read_back(source) if part.fields else {}
    return {
        "source": source if part.is_written else answer_cells.with_comments(part, source, asked.get("before", "")),
        "said": said,
        "read": {name: _with_comma(words, asked["typed"].get(name)) for name, words in read.items()},
    }


def _with_comma(read: str, typed: object) -> str:
    """Return what was understood, and how a comma was read where it may have been meant otherwise."""
    said = parse_answer.comma_words(str(typed))
    return f"{read}: {said}" if said else read


def played(asked: dict) -> dict:
    """Return what the acts in a box tell, on the numbers of the notebook; or say why they cannot be played."""
    acts = asked["acts"]
    if not isinstance(acts, list) or not all(isinstance(act, str) for act in acts):
        return {"say": "The acts are a list of texts."}
    notebook = submission.parse(json.dumps(asked["notebook"]))
    _, exercise = checking.which(notebook, Path(asked["file"]))
    givens = checking.own_givens(notebook, exercise)
    try:
        return exercise.part(asked["part"]).told(exercise.values(givens), acts)
    except Unplayable as why:
        return {"say": str(why)}


def checked(asked: dict) -> dict:
    """Check the saved notebook; return what each part earns and why, and where to go on."""
    found = checking.check(_file(asked))
    log_result.keep(found)
    parts = [vars(told) for told in render.told(found)]
    return {
        "total": render.total(found),
        "parts": parts,
        "notes": render.notes(found),
        "worth": render.WORTH,
        "whole": found.points >= found.exercise.points,
        **_ways(asked, found.topic, found.exercise.id),
    }


def _file(asked: dict) -> Path:
    """Return the saved file of the page: under the name it has now, else where the closing cell would find it."""
    here = Path(Path(asked["file"]).name)
    return here.absolute() if here.is_file() else check_cell.find(here.name)


def cleaned(asked: dict) -> dict:
    """Put the exercise back as it was handed out, after keeping what stands in it under another name."""
    path = _file(asked)
    content = copying.clean(path) if "seal" in folder.about(path) else _as_shipped(path)
    kept = folder.free_name(path, "before")
    folder.write_whole(kept, path.read_bytes(), on_disk=True)
    folder.write_whole(path, content)
    return {"kept": kept.name}


def _as_shipped(path: Path) -> bytes:
    topic, exercise = checking.which(checking.read(path), path)
    return printer.text_of(printer.exercise_notebook(by_slug(topic), exercise)).encode()


def section_exercises(asked: dict) -> dict:
    """Return, for each section of a lesson, its exercises and how they stand."""
    root = Path.cwd().parent
    slug = next((topic.slug for topic in TOPICS if f"{topic.folder}.ipynb" == Path(asked["file"]).name), None)
    if slug is None or not folder.is_learners(root):
        return {"sections": {}}
    lines = {line.exercise: line for line in contents.of(root).lines.get(slug, [])}
    return {
        "sections": {
            way.headings(slug)[number]: [
                {"path": lines[id_].path, "words": lines[id_].title, "state": lines[id_].state}
                for id_ in way.exercises(slug, number)
                if id_ in lines
            ]
            for number in way.headings(slug)
        }
    }


STEPS = {
    "show": shown,
    "type": typed,
    "play": played,
    "check": checked,
    "clean": cleaned,
    "sections": section_exercises,
}
