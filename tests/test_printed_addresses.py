"""What version 0.1.0 printed into notebooks, cohorts and folders keeps working for ever.

The fixture is a small invented cohort handed out, marked and reported by version 0.1.0, with one learner's folder and
progress. Only the folder's own place is filled in, where 0.1.0 had written it into the configuration.
"""

import csv
import importlib
import inspect
import json
import pkgutil
import runpy
import shutil
import sys
from pathlib import Path

import pytest

FIXTURE = Path(__file__).parent / "fixtures" / "cohort_0_1_0"


@pytest.fixture
def spring(tmp_path):
    """The cohort of 0.1.0, in a place of its own."""
    root = tmp_path / "spring"
    shutil.copytree(FIXTURE / "spring", root)
    config = root / "nbgrader_config.py"
    config.write_text(config.read_text().replace("{root}", str(root)))
    return root


@pytest.mark.parametrize(
    ("module", "names"),
    [
        ("graders.stock", ["points"]),
        ("graders.desk", ["check", "contents", "practise"]),
        ("graders.pipeline", ["late_policy", "Restore", "OwnGivens", "ContainedExecute", "Harmless"]),
        ("workbook.kernel", ["LearnerKernel"]),
        ("workbook.panels.prompt", ["PromptConnection"]),
        ("workbook.panels", ["intake", "joints", "profile", "shorts", "paste", "signoff", "sources", "own_log"]),
        ("workbook.references", ["value"]),
    ],
)
def test_an_address_printed_by_the_first_version_is_there(module, names):
    found = importlib.import_module(module)
    for name in names:
        assert hasattr(found, name) or importlib.import_module(f"{module}.{name}"), name


CALLED = {
    (file.stem, name): arguments
    for file in sorted((FIXTURE.parent / "lessons").glob("*.json"))
    for name, arguments in json.loads(file.read_text()).items()
}
"""What the lessons of each release take from this package, and the arguments that they name."""


@pytest.mark.parametrize(("version", "name"), CALLED)
def test_a_lesson_that_somebody_wrote_in_still_finds_what_it_calls(version, name):
    found = pkgutil.resolve_name(name)
    if named := CALLED[version, name]:
        inspect.signature(found).bind_partial(**dict.fromkeys(named))


def test_the_kernel_of_a_laid_out_folder_starts_by_its_address(monkeypatch):
    from ipykernel.kernelapp import IPKernelApp

    started = []
    monkeypatch.setattr(IPKernelApp, "launch_instance", lambda **settings: started.append(settings))
    monkeypatch.delitem(sys.modules, "workbook.kernel", raising=False)
    runpy.run_module("workbook.kernel", run_name="__main__")
    assert [one["kernel_class"].__name__ for one in started] == ["LearnerKernel"]


def cells(path):
    return json.loads(path.read_text(encoding="utf-8"))["cells"]


def test_marking_cells_of_the_first_version_run_and_give_their_points():
    """What nbgrader's own execution does with a notebook that came in: each cell in order, points as results."""
    notebook = FIXTURE / "spring" / "submitted" / "amber" / "profile" / "01_read-the-log.ipynb"
    namespace, points = {}, {}
    for cell in cells(notebook):
        source = "".join(cell["source"])
        if "stock.points(" in source:
            before, call = source.rsplit("\n", 1)
            exec(before, namespace)
            points[cell["metadata"]["nbgrader"]["grade_id"]] = eval(call, namespace)
        elif cell["cell_type"] == "code" and "desk.check(" not in source:
            exec(source, namespace)
    # The last part asks something else now: the word it was answered with is none of today's, and earns nothing.
    assert points == {"time_above": 2.0, "soak": 1.0, "ramp": 2.0, "cooling": 1.0, "verdict": 0.0}


def test_the_closing_cell_of_the_first_version_still_checks(monkeypatch, capsys):
    folder = FIXTURE / "learner" / "profile"
    monkeypatch.chdir(folder)
    closing = "".join(cells(folder / "01_read-the-log.ipynb")[-1]["source"])
    exec(closing, {})
    assert "Read a thermocouple log" in capsys.readouterr().out


def test_a_folder_laid_out_by_the_first_version_is_brought_up_to_date_and_keeps_what_was_typed(tmp_path):
    from workbook.server import folder

    root = tmp_path / "learner"
    shutil.copytree(FIXTURE / "learner", root)
    worked = root / "profile" / "01_read-the-log.ipynb"
    before = worked.read_bytes()
    folder.lay_out(root)
    assert worked.read_bytes() == before
    assert folder.handout_topics(root) == ("intake", "profile")


def test_progress_of_the_first_version_is_read():
    from workbook import progress

    (event,) = progress.read(FIXTURE / "progress.jsonl").events
    assert (event.kind, event.topic, event.exercise, event.what["points"]) == ("check", "profile", "read-the-log", 7.0)


ASKED_OTHERWISE = {
    "intake/came-back",
    "intake/discharge-resistor",
    "profile/choose-a-programme",
    "profile/read-the-log",
}
STILL_ASKED = "why-from-below"
"""Of the fixture's five exercises the one that asks the same in other words: compared by hand, text by text."""


def rows_by_place(cohort):
    with cohort.marks.open(encoding="utf-8-sig", newline="") as file:
        return {(row["learner"], row["exercise"], row["part"]): row for row in csv.DictReader(file)}


def test_a_cohort_of_the_first_version_marks_what_asks_the_same_and_leaves_the_rest_as_it_was(spring, pool):
    """Marked anew because slips were added since: the points stay, and one wrong word now says what was forgotten.

    A mark that was given by hand now says so in its words too.
    """
    from graders.cohort.paths import Cohort
    from graders.marking import run as marking
    from graders.report import pages

    cohort = Cohort.open(spring)
    before = rows_by_place(cohort)
    summary = marking.mark(cohort, pool)
    assert set(summary.asked_otherwise) == ASKED_OTHERWISE
    assert set(summary.asked_otherwise.values()) == {"0.1.0"}
    assert (len(summary.marked), summary.unchanged, summary.problems) == (6, 6, ())
    assert summary.why == {"judged otherwise now": 6}
    after = rows_by_place(cohort)
    assert {place: row["points"] for place, row in after.items()} == {p: row["points"] for p, row in before.items()}
    changed = {place: row["remark"] for place, row in after.items() if row != before[place]}
    by_hand = changed.pop(("cedar", "came-back", "why"))
    assert by_hand == "Your instructor changed this mark. No answer yet."
    assert set(changed) == {("cedar", STILL_ASKED, "within")}
    assert marking.mark(cohort, pool).marked == ()
    marks = cohort.marks.read_bytes()
    pages.everything(cohort)
    assert cohort.marks.read_bytes() == marks
    assert (spring / "report" / "report.html").is_file()


def test_a_new_answer_to_a_question_of_the_first_version_is_marked_where_it_still_asks_the_same(spring, pool):
    from graders.cohort.paths import Cohort
    from graders.marking import run as marking

    cohort = Cohort.open(spring)
    path = cohort.submitted("cedar", "profile") / f"21_{STILL_ASKED}.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == "within-answer":
            cell["source"] = "within = 'plate'\n"
    path.write_text(json.dumps(notebook), encoding="utf-8")
    marking.mark(cohort, pool, only=("cedar",))
    row = rows_by_place(cohort)["cedar", STILL_ASKED, "within"]
    assert (row["points"], row["verdict"]) == ("1.0", "right")


def test_a_lost_gradebook_of_the_first_version_is_made_again_with_the_marks_that_stand(spring, pool):
    from graders.cohort.paths import Cohort
    from graders.marking import run as marking
    from tests.graders.cohorts import scores

    cohort = Cohort.open(spring)
    marking.mark(cohort, pool)
    before = scores(cohort)
    cohort.database.unlink()
    marking.mark(cohort, pool)
    assert scores(cohort) == before


def test_what_an_edition_of_the_first_version_stood_for_is_known_for_every_exercise():
    from graders.questions import editions

    table = json.loads((Path(editions.__file__).parent / "editions_0.1.0.json").read_text(encoding="utf-8"))
    assert len(table) == 111
    for name, (edition, asked, judged) in table.items():
        topic, exercise = name.split("/")
        assert editions.first(topic, exercise) == {edition: (asked, judged)}
