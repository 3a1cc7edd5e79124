"""The file to hand in: every exercise once, the right one of several copies, and what is missing said."""

import html
import json
import os
import zipfile
from pathlib import Path

import pytest

from graders import sheets
from graders.demo import learners
from graders.desk import checking, feedback, log_result, packing
from graders.judging import reasons
from graders.judging.marks import Row
from graders.notebooks import printer
from graders.questions import editions
from graders.questions.verdicts import Code
from graders.report import feedback_page
from workbook import progress
from workbook.problems import Problem
from workbook.server import contents, folder
from workbook.topics import by_slug

PROFILE = by_slug("profile")
BEAD = sheets.find("profile", "bead-lag")
PLACE = f"profile/{printer.notebook_name(BEAD)}.ipynb"


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
        files[f"profile/{printer.notebook_name(exercise)}.ipynb"] = printer.text_of(notebook).encode()
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
    lines = list(packing.pack(root, None, details=True))
    with zipfile.ZipFile(root.parent / "ada-hand-in.zip") as file:
        return lines, {name: file.read(name) for name in file.namelist()}


def test_a_handout_is_packed_whole_as_an_instructors_folder_holds_it(root):
    _, files = packed(root)
    names = {f"ada/profile/{printer.notebook_name(one)}.ipynb" for one in sheets.exercises("profile")}
    assert set(files) == names


def test_what_was_laid_out_before_a_handout_left_it_out_is_packed_only_with_work_in_it(tmp_path, root):
    """Sent without a seal, each would be held for the instructor to look at."""
    own, handed_out = tmp_path / "own", root / PLACE
    folder.lay_out(own)
    folder.lay_out(own, {PLACE: handed_out.read_bytes()})
    there, said = packing.chosen(own, ("profile",))
    assert [name for _, _, name in there] == [handed_out.stem]
    assert said == [
        f"Not handed out to you, and not begun: {len(sheets.exercises('profile')) - 1}. They are not packed."
    ]
    begun, damaged = (own / "profile" / f"{name}.ipynb" for name in ("01_read-the-log", "02_cold-junction"))
    answer(begun, {sheets.find("profile", "read-the-log").parts[0].name: "1"})
    damaged.write_text("{", encoding="utf-8")
    assert {begun.stem, damaged.stem} < {name for _, _, name in packing.chosen(own, ("profile",))[0]}


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


def test_of_two_copies_with_as_many_answers_the_printed_name_is_packed_and_that_is_said(root):
    copy = folder.free_name(root / PLACE, "again")
    copy.write_bytes((root / PLACE).read_bytes())
    answer(root / PLACE, {"lag": "lag = 7"})
    answer(copy, {"lag": "lag = 8"})
    lines, files = packed(root)
    assert files[f"ada/{PLACE}"] == (root / PLACE).read_bytes()
    assert lines[0] == (
        f"profile/bead-lag: {PLACE.split('/')[1]} (1 answered) is packed, and not {copy.name} (1 answered)"
    )


@pytest.mark.parametrize("name", ["04_bead-lag (1).ipynb", "04_bead-lag-Copy1.ipynb", "my bead.ipynb"])
def test_a_copy_with_more_answers_is_packed_even_if_it_is_older(name, root):
    copy = root / "profile" / name
    copy.write_bytes((root / PLACE).read_bytes())
    answer(copy, {"lag": "lag = 8", "time_constant": "time_constant = 2"})
    answer(root / PLACE, {"lag": "lag = 7"})
    os.utime(copy, (1_700_000_000, 1_700_000_000))
    lines, files = packed(root)
    assert files[f"ada/{PLACE}"] == copy.read_bytes()
    assert f"{name} (2 answered) is packed, and not" in lines[0]


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


def test_packing_twice_to_a_place_that_was_named_gives_the_same_file(root, tmp_path):
    for _ in range(2):
        list(packing.pack(root, tmp_path / "named.zip"))
    packed(root)
    assert (tmp_path / "named.zip").read_bytes() == (root.parent / "ada-hand-in.zip").read_bytes()


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


@pytest.mark.parametrize("shows", ["caution", "table", "drawing"])
def test_the_feedback_page_shows_what_stands_above_the_questions(shows, root):
    """The usual cautions, the readings and the drawing, as in the notebook and on an instructor's page."""
    exercise = next(one for one in sheets.exercises("profile") if getattr(one, shows))
    path = root / "profile" / f"{printer.notebook_name(exercise)}.ipynb"
    list(feedback.check(path))
    page = html.unescape(path.with_suffix(".feedback.html").read_text(encoding="utf-8"))
    wanted = {"caution": exercise.caution, "table": "<table>", "drawing": "<svg"}[shows]
    assert wanted in page.partition('class="exercise"')[2].partition('class="part"')[0]


def test_what_python_cannot_read_is_said_once_on_the_page(root):
    answer(root / PLACE, {"lag": "lag = 2.5 K"})
    list(feedback.check(root / PLACE))
    page = (root / PLACE).with_suffix(".feedback.html").read_text(encoding="utf-8")
    assert page.count("Write the number alone") == 1


def test_a_name_where_no_learners_folder_is_says_so(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Problem, match="no file bead-lag, and this is no learner's folder"):
        feedback.found(Path("bead-lag"))


def test_without_details_a_whole_folder_is_said_in_a_few_lines(root):
    answer(root / PLACE, {"lag": "lag = 2.5 K"})
    lines = list(packing.pack(root, None))
    assert len(lines) <= 3 + packing.MOST_LINES + 2
    assert any("bead-lag" in line and "Python cannot run: lag" in line for line in lines)
    assert f"Not begun: {len(sheets.exercises('profile')) - 1}." in "\n".join(lines)


def test_an_exercise_is_checked_by_its_name_in_the_learners_folder(root, monkeypatch):
    monkeypatch.chdir(root)
    assert feedback.found(Path("bead-lag")) == root / PLACE
    with pytest.raises(Problem, match="no exercise"):
        feedback.found(Path("bead-leg"))


def test_a_page_of_ones_own_names_its_reader_once():
    page = feedback_page.page("you", "you", "profile", [], "", "edition")
    assert page.split("</header>")[0].split('class="who">')[1].count("you") == 1


def row(code, flag):
    return Row("ada", "profile", "bead-lag", "lag", 0.0, 2, code, flag, "")


@pytest.mark.parametrize(
    ("code", "flag", "shown"),
    [(Code.OTHER_UNIT, "unit", ""), (Code.SLIP, "slip", ""), (Code.RIGHT, "late", "late"), (Code.NOT_RIGHT, "", "")],
)
def test_a_flag_stands_beside_a_verdict_only_where_it_adds_something(code, flag, shown):
    assert reasons.added_flag(row(code, flag)) == shown
