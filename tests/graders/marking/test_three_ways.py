"""In every state a notebook comes in: the same points through stock nbgrader, nbgrader with our execution, and
`graders mark`. Every eighth exercise of each topic, or with REWORK_ALL=1 every one (stock takes over a second each)."""

import dataclasses
import json
import os

import pytest

from graders import sheets
from graders.cohort import record
from graders.cohort.roster import Learner
from graders.demo import learners
from graders.handout import handing_out
from graders.marking import mark_submission, parcel
from graders.marking import run as marking
from graders.marking.mark_submission import Job
from graders.runner import contained, sources
from tests.benchmarks.marking import stock_execution
from tests.graders.cohorts import copied, nbgrader, scores

STATES = ("solution", "blank", "half", "slips", "typed", "wrong first step", "broken")
SPOILS = ("as it is", "givens edited", "givens deleted", "givens assigned again", "metadata stripped")
HABITS = {
    "solution": learners.worked,
    "blank": lambda exercise, givens: (),
    "half": learners.half_done,
    "slips": learners.slips,
    "typed": learners.typed,
    "wrong first step": learners.wrong_first_step,
    "broken": learners.broken,
}


def spoil(notebook, how):
    """Do to a notebook what learners do to what is not theirs."""
    givens = next(cell for cell in notebook["cells"] if cell["id"] == "givens")
    givens["source"] = "".join(givens["source"])
    if how == "givens edited":
        givens["source"] += "\n# I like other numbers better"
    elif how == "givens deleted":
        notebook["cells"].remove(givens)
    elif how == "givens assigned again":
        name = givens["source"].rsplit("\n", 1)[-1].split(" = ")[0]
        notebook["cells"].insert(-2, {"cell_type": "code", "source": f"{name} = 1", "metadata": {}, "id": "again"})
    elif how == "metadata stripped":
        for cell in notebook["cells"]:
            cell["metadata"] = {k: v for k, v in cell["metadata"].items() if k == "nbgrader"}


@pytest.fixture(scope="module")
def everyone(tmp_path_factory):
    """Two invented learners who hand in every exercise, each time in another state."""
    root = tmp_path_factory.mktemp("three ways") / "cohort"
    people = [Learner("first", "First (invented)"), Learner("second", "Second (invented)")]
    every = 1 if os.environ.get("REWORK_ALL") else 8
    chosen = {topic: tuple(e.id for e in sheets.exercises(topic)[::every]) for topic in handing_out.printable_topics()}
    cohort = handing_out.make(people, root, exercises=chosen)
    for number, one in enumerate(record.HandoutRecord(cohort.record)):
        source = cohort.handout(one.learner) / one.topic / f"{one.notebook}.ipynb"
        notebook = json.loads(source.read_text(encoding="utf-8"))
        state = STATES[number % len(STATES)]
        learners.fill_in(notebook, sheets.find(one.topic, one.exercise), one.givens, HABITS[state])
        spoil(notebook, SPOILS[number % len(SPOILS)])
        target = cohort.submitted(one.learner, one.topic) / source.name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(json.dumps(notebook), encoding="utf-8")
    return cohort


@pytest.mark.contained
@pytest.mark.slow
@pytest.mark.timeout(900)
def test_the_same_points_three_ways(everyone, pool, tmp_path):
    marking.mark(everyone, pool)
    ours = scores(everyone)
    handed = list(record.HandoutRecord(everyone.record))
    assert len(ours) == sum(len(sheets.find(one.topic, one.exercise).parts) for one in handed)
    contained_road, stock_road = copied(everyone, tmp_path / "contained"), copied(everyone, tmp_path / "stock")
    stock_execution(stock_road)
    for topic in handing_out.printable_topics():
        nbgrader(contained_road, "autograde", topic, "--force")
        nbgrader(stock_road, "autograde", topic, "--student=first", "--force")
    assert scores(contained_road) == ours
    stock = {key: score for key, score in scores(stock_road).items() if key[0] == "first"}
    assert stock == {key: score for key, score in ours.items() if key[0] == "first"}


def without_times(outcomes):
    return [
        dataclasses.replace(one, cells=tuple(dataclasses.replace(cell, seconds=0) for cell in one.cells))
        for one in outcomes
    ]


@pytest.mark.contained
@pytest.mark.slow
def test_a_notebook_gives_the_same_alone_and_in_a_row_with_others(everyone):
    """Stock nbgrader has a kernel for each notebook; here those that can leave nothing share a process."""
    if reason := contained.why_not():
        pytest.skip(reason)
    book, shared = record.HandoutRecord(everyone.record), 0
    with contained.Contained() as sandbox:
        for topic, handed in book.by_topic("first").items():
            job = Job("first", topic, handed, "")
            packed, _ = mark_submission.pack(everyone, job)
            runs = parcel.runs(packed, parcel.take_in(packed))
            alone = [sandbox.run([run])[0] for run in runs]
            assert without_times(sandbox.run(runs)) == without_times(alone)
            shared += len(runs) - len(sources.groups(runs))
    assert shared
