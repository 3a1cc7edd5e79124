"""Printed notebooks: byte-stable, as nbgrader's release step makes them, and readable on their own."""

import json
import re

import nbformat
import pytest
from nbgrader.converters import GenerateAssignment
from traitlets.config import Config

from graders import sheets
from graders.notebooks import printer
from graders.questions.parts.number import Number
from graders.questions.parts.written import TEXT_STUB, Written
from workbook import paths
from workbook.topics import TOPICS

EXERCISES = [
    pytest.param(topic, exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]


def test_what_is_printed_in_the_clone_is_what_the_sheets_say():
    folders = paths.clone_folder("solutions"), paths.clone_folder("exercises")
    assert printer.out_of_date(*folders) == []


def test_the_cohorts_release_is_what_is_printed(made):
    released = sorted((made.root / "release").glob("*/*.ipynb"))
    assert len(released) == 5
    for path in released:
        assert path.read_bytes() == (paths.exercises() / path.parent.name / path.name).read_bytes(), path.name


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_printing_is_nbgraders_release_step(topic, exercise):
    """Its own steps, in its own order, less those that need the gradebook or do nothing here."""
    config = Config()
    config.ClearSolutions.code_stub = {"python": ""}
    config.ClearSolutions.text_stub = TEXT_STUB
    notebook = nbformat.from_dict(printer.solution_notebook(topic, exercise))
    for step in GenerateAssignment.preprocessors.default_args[0]:
        if step.__name__ not in ("IncludeHeaderFooter", "InstantiateTests", "SaveCells"):
            notebook, _ = step(config=config).preprocess(notebook, {"nbgrader": {}})
    assert nbformat.writes(notebook, indent=1) + "\n" == printer.text_of(printer.exercise_notebook(topic, exercise))


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_a_printed_notebook_is_valid_and_bare(topic, exercise):
    for notebook in (printer.solution_notebook(topic, exercise), printer.exercise_notebook(topic, exercise)):
        nbformat.validate(nbformat.from_dict(notebook))
        assert all(not cell.get("outputs") for cell in notebook["cells"])


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_answer_stands_in_an_exercise(topic, exercise):
    text = json.dumps(printer.exercise_notebook(topic, exercise), ensure_ascii=False)
    assert printer.BEGIN not in text
    for part in exercise.parts:
        assert not part.working.strip() or json.dumps(part.working.strip())[1:-1] not in text


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_brace_is_left_unfilled_and_every_unit_is_said(topic, exercise):
    notebook = printer.exercise_notebook(topic, exercise)
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown":
            unfilled = [name for name in re.findall(r"\{(\w+)\}", cell["source"]) if name in exercise.givens]
            assert unfilled == []
    for part in exercise.parts:
        question = next((c["source"] for c in notebook["cells"] if c["id"] == f"{part.name}-question"), "")
        if isinstance(part, Number):
            assert part.unit in question or part.unit == "1"
        assert isinstance(part, Written) or question


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_import_call_or_class_is_needed_to_answer(topic, exercise):
    """Working uses plain arithmetic and the functions the givens cell brings."""
    for part in exercise.parts:
        assert not re.search(r"^\s*(import|from|class)\b", part.working, re.MULTILINE)
