"""Every printed exercise, run as it stands: the solution earns everything, the blank nothing and shows no error."""

import contextlib
import io
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graders import sheets
from graders.desk import inprocess
from graders.notebooks import printer, submission
from graders.questions.parts.written import Written
from graders.questions.verdicts import Code
from graders.runner.job import not_reached
from workbook.topics import TOPICS, by_slug

EXERCISES = [
    pytest.param(topic, exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]


def judged(topic, exercise, notebook):
    restored = submission.restore(submission.parse(printer.text_of(notebook)), topic.slug, exercise, exercise.worked())
    run = submission.sheet("one", restored.notebook, exercise)
    return submission.judged(restored.notebook, exercise, exercise.worked(), inprocess.run(run))


def as_stock_runs_it(notebook):
    """Run a notebook's cells in order, as a kernel would, and return what each marking cell shows."""
    namespace, shown = {}, {}
    for cell in notebook["cells"]:
        if cell["cell_type"] != "code" or cell["id"] == "closing":
            continue
        lines = cell["source"]
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as complaints:
            if cell["metadata"].get("nbgrader", {}).get("grade"):
                head, last = lines.rsplit("\n", 1)
                exec(head, namespace)
                shown[cell["id"]] = eval(last, namespace)
                assert type(shown[cell["id"]]) is float
            else:
                exec(lines, namespace)
        assert complaints.getvalue() == ""
    return shown


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_the_solution_earns_every_point_by_our_road_and_by_stocks(topic, exercise):
    notebook = printer.solution_notebook(topic, exercise)
    found = judged(topic, exercise, notebook)
    for verdict in found.verdicts:
        by_hand = isinstance(exercise.part(verdict.part), Written)
        assert verdict.points == (0 if by_hand else verdict.out_of), verdict
    shown = as_stock_runs_it(notebook)
    assert shown == {verdict.part: verdict.points for verdict in found.verdicts if verdict.part in shown}


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_the_untouched_exercise_earns_nothing_and_shows_no_error(topic, exercise):
    notebook = printer.exercise_notebook(topic, exercise)
    found = judged(topic, exercise, notebook)
    assert sum(verdict.points for verdict in found.verdicts) == 0
    assert {verdict.verdict for verdict in found.verdicts} == {Code.NOT_YET}
    for cell in found.notebook["cells"]:
        assert not any(output["output_type"] == "error" for output in cell.get("outputs", [])), cell["source"]
    assert set(as_stock_runs_it(notebook).values()) <= {0.0}


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=12,
)
ROLE = st.fixed_dictionaries({}, optional={"grade_id": JSON, "grade": JSON, "points": JSON})
CELL = st.fixed_dictionaries(
    {},
    optional={
        "cell_type": st.sampled_from(["code", "markdown", "raw", "spell"]) | JSON,
        "source": st.sampled_from(["lag = 1", ["lag = ", "2"], "stock.points()"]) | JSON,
        "metadata": st.fixed_dictionaries(
            {},
            optional={
                "nbgrader": st.fixed_dictionaries({}, optional={"grade_id": JSON, "grade": JSON, "points": JSON})
            },
        )
        | JSON,
        "id": st.sampled_from(["givens", "lag", "lag-answer", "closing"]) | JSON,
        "outputs": JSON,
    },
)
BEAD = sheets.find("profile", "bead-lag")


@settings(max_examples=300)
@given(st.lists(CELL | JSON, max_size=8), JSON, st.sampled_from([3, 4, 5, None, "4"]))
def test_no_notebook_json_stops_the_reader_or_earns_points_out_of_nothing(cells, metadata, version):
    text = json.dumps({"nbformat": version, "cells": cells, "metadata": metadata})
    try:
        notebook = submission.parse(text)
    except submission.Broken as error:
        said = str(error)
    else:
        said = ""
    if said:
        assert "\n" not in said
        return
    restored = submission.restore(notebook, "profile", BEAD, BEAD.worked())
    run = submission.sheet("one", restored.notebook, BEAD)
    found = submission.judged(restored.notebook, BEAD, BEAD.worked(), not_reached(run, "crashed"))
    assert sum(verdict.points for verdict in found.verdicts) == 0


def replayed(answers):
    """Return the bead's notebook with these answer cells, in the numbers of the printed solution."""
    exercise = printer.exercise_notebook(by_slug("profile"), BEAD)
    made = json.loads(printer.text_of(exercise))
    for cell in made["cells"]:
        name = cell["id"].removesuffix("-answer")
        if cell["id"].endswith("-answer") and name in answers:
            cell["source"] = answers[name]
        elif isinstance(cell["source"], list):
            cell["source"] = "".join(cell["source"])
    return made


@pytest.mark.parametrize(
    ("lag", "earned"),
    [("lag = ramp * time_constant", 1), ("time_constant, lag = 10, 10 * ramp", 0)],
    ids=["honest", "the earlier name set anew"],
)
def test_an_earlier_answer_set_anew_earns_nothing_by_any_road(lag, earned):
    right = BEAD.part("time_constant").working
    notebook = replayed({"time_constant": right, "lag": lag})
    by_ours = {v.part: v.points for v in judged(by_slug("profile"), BEAD, notebook).verdicts}
    by_stock = as_stock_runs_it(notebook)
    assert (by_ours["time_constant"], by_ours["lag"]) == (2, earned)
    assert (by_stock["time_constant"], by_stock["lag"]) == (2, earned)
