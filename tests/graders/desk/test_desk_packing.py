"""The file to hand in: every exercise once, the right one of several copies, and what is missing said."""

import json
import zipfile

import pytest

from graders import sheets
from graders.demo import learners
from graders.desk import checking, feedback, log_result, packing
from graders.notebooks import printer
from graders.questions import editions
from workbook import progress
from workbook.problems import Problem
from workbook.server import contents, folder
from workbook.topics import by_slug

PROFILE = by_slug("profile")
BEAD = sheets.find("profile", "bead-lag")
PLACE = f"profile/{printer.notebook_name(PROFILE, BEAD)}.ipynb"


@pytest.fixture(autouse=True)
def own_progress(tmp_path, monkeypatch):
    monkeypatch.setattr(progress, "file", lambda: tmp_path / "data" / "progress.jsonl")


@pytest.fixture
def root(tmp_path):
    """Ada's folder with the profile topic handed out."""
    root = tmp_path / "ada"
    files = {}
    for exercise in sheets.exercises("profile"):
        marks = {"learner": "ada", "edition": editions.asked(exercise), "seal": "s"}
        notebook = printer.exercise_notebook(PROFILE, exercise, exercise.draw(b"secret", "ada"), marks)
        files[f"profile/{printer.notebook_name(PROFILE, exercise)}.ipynb"] = printer.text_of(notebook).encode()
    folder.lay_out(root, files)
    return root


def answer(path, answers):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        name = cell["id"].removesuffix("-answer")
        if cell["id"].endswith("-answer") and name in answers:
            cell["source"] = answers[name]
    path.write_text(json.dumps(notebook), encoding="utf-8")


def packed(root):
    lines = list(packing.pack(root, None))
    with zipfile.ZipFile(root.parent / "ada-hand-in.zip") as file:
        return lines, {name: file.read(name) for name in file.namelist()}


def test_a_handout_is_packed_whole_as_an_instructors_folder_holds_it(root):
    _, files = packed(root)
    names = {f"ada/profile/{printer.notebook_name(PROFILE, one)}.ipynb" for one in sheets.exercises("profile")}
    assert set(files) == names


def test_what_is_unanswered_and_what_is_broken_is_said_by_part(root):
    answer(root / PLACE, {"lag": "lag = 2.5 K"})
    lines, _ = packed(root)
    line = next(line for line in lines if "bead-lag" in line)
    assert "no answer yet: time_constant, act, reads" in line
    assert "Python cannot run: lag" in line
    assert any("can be sent as it is" in line for line in lines)


def test_a_part_whose_marking_cell_is_gone_is_said(root):
    notebook = json.loads((root / PLACE).read_text(encoding="utf-8"))
    notebook["cells"] = [cell for cell in notebook["cells"] if cell["id"] != "lag"]
    (root / PLACE).write_text(json.dumps(notebook), encoding="utf-8")
    lines, _ = packed(root)
    assert "could not be judged: lag" in next(line for line in lines if "bead-lag" in line)


def test_the_copy_that_was_worked_in_is_packed_under_the_printed_name(root):
    renamed = root / "profile" / "my bead.ipynb"
    (root / PLACE).rename(renamed)
    folder.lay_out(root)
    answer(renamed, {"lag": "lag = 7"})
    _, files = packed(root)
    assert files[f"ada/{PLACE}"] == renamed.read_bytes()
    assert len(files) == len(sheets.exercises("profile"))


def test_the_printed_name_goes_before_an_answered_copy(root):
    copy = folder.free_name(root / PLACE, "again")
    copy.write_bytes((root / PLACE).read_bytes())
    answer(root / PLACE, {"lag": "lag = 7"})
    answer(copy, {"lag": "lag = 8"})
    _, files = packed(root)
    assert files[f"ada/{PLACE}"] == (root / PLACE).read_bytes()


def test_a_broken_file_is_said_and_sent_all_the_same(root):
    (root / PLACE).write_bytes(b'{"cut off')
    lines, files = packed(root)
    assert "sent as it is" in next(line for line in lines if "bead-lag" in line)
    assert files[f"ada/{PLACE}"] == b'{"cut off'


def test_packing_twice_gives_the_same_file(root):
    packed(root)
    first = (root.parent / "ada-hand-in.zip").read_bytes()
    packed(root)
    assert (root.parent / "ada-hand-in.zip").read_bytes() == first


def test_another_folder_is_not_packed(tmp_path):
    with pytest.raises(Problem, match="no folder of this workbook"):
        list(packing.pack(tmp_path, None))


def test_a_check_marks_the_exercise_done_in_the_contents_and_is_written_once(root):
    givens = BEAD.draw(b"secret", "ada")
    answer(root / PLACE, dict(learners.HABITS["amber"][1](BEAD, givens)))
    for _ in range(2):
        log_result.keep(checking.check(root / PLACE))
    assert len(progress.read().events) == 1
    line = next(one for one in contents.of(root).lines["profile"] if one.path == PLACE)
    assert line.state == f"done, {BEAD.points} of {BEAD.points} points"


def test_the_feedback_page_says_what_the_check_says_and_gives_no_answer_away(root):
    answer(root / PLACE, {"lag": "lag = <b>99</b>", "reads": "reads = 'too cold'"})
    lines = list(feedback.check(root / PLACE))
    page = (root / PLACE).with_suffix(".feedback.html").read_text(encoding="utf-8")
    assert f"Feedback page: {(root / PLACE).with_suffix('.feedback.html')}" in lines
    assert BEAD.part("reads").slips["too cold"] in page.replace("&#x27;", "'")
    assert "<b>99" not in page
    assert BEAD.part("lag").working.strip() not in page
