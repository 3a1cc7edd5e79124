"""What you should have seen: every question of a lesson has its answer, and its numbers are computed ones."""

import re

import nbformat
import pytest

from workbook import paths
from workbook.panels.seen import hold, intake, joints, look, paste, printing

LESSONS = [pytest.param(path, id=path.stem) for path in sorted(paths.lessons().glob("*.ipynb"))]


def lesson(path):
    return nbformat.read(path, as_version=4), path.stem.split("_", 1)[1]


@pytest.mark.parametrize("path", LESSONS)
def test_every_question_of_a_lesson_is_answered_as_often_as_it_asks(path):
    notebook, topic = lesson(path)
    asked = {cell.id: printing.questions(cell.source) for cell in notebook.cells if "seen" not in cell.metadata}
    found = printing.answers(topic)
    assert {name for name, count in asked.items() if count} == set(found)
    for name, answer in found.items():
        assert len(answer()) == asked[name], name


@pytest.mark.parametrize("path", LESSONS)
def test_a_lesson_shows_the_answers_that_the_functions_give_today(path):
    """An answer is computed when it is printed: a function that gives another number makes the lesson stale."""
    notebook, topic = lesson(path)
    shown = [(cell.id, cell.source) for cell in notebook.cells]
    assert shown == [(cell.id, cell.source) for cell in printing.printed(notebook, topic)], (
        "renew: python -m workbook.panels.seen.printing"
    )


def test_the_lesson_of_one_topic_is_written_anew_and_the_others_stay(tmp_path, monkeypatch):
    for path in paths.lessons().glob("*.ipynb"):
        notebook = nbformat.read(path, as_version=4)
        notebook.cells = [cell for cell in notebook.cells if "seen" not in cell.metadata]
        nbformat.write(notebook, tmp_path / path.name)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    monkeypatch.setattr(printing.paths, "lessons", lambda: tmp_path)
    printing.main(["joints"])
    assert {path.name for path in tmp_path.iterdir() if path.read_bytes() != before[path.name]} == {"02_joints.ipynb"}
    assert "What you should have seen" in (tmp_path / "02_joints.ipynb").read_text(encoding="utf-8")


def test_a_sentence_that_the_functions_do_not_bear_out_stops_the_printing():
    with pytest.raises(ValueError, match="do not give"):
        hold(look("profile.heat", bottom_plate_c=300).state("coldest joint's peak") == "inside")


def numbers(texts):
    return [float(one) for text in texts for one in re.findall(r"\d+\.\d+|\d+", text)]


PRINTED = {
    "no failure in 299 bears out 99 % at 95 % (success run, guides on zero-failure tests)": (intake.claim, 299),
    "two figures of Park's rare test: 7.5 % at a base rate of 1 % (Bayes by hand: 8 of 107)": (intake.rate, 7.5),
    "909 cycles at a strain of 0.028, 55 °C, 15 min (public test file that cites Engelmaier's law)": (
        joints.half_the_strain,
        909,
    ),
    "606.5 h, NIST/SEMATECH e-Handbook 8.4.1.3": (joints.survivors, 607),
    "85 °C less 4 K/W times 5 W: 65 °C (public formula page's chain)": (paste.which_resistance, 65),
}


@pytest.mark.parametrize("source", PRINTED)
def test_where_a_number_is_in_print_the_answer_says_the_printed_one(source):
    answer, value = PRINTED[source]
    assert value in numbers(answer())
