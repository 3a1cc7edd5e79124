"""Answers on paper are entered, kept one by one, filed as handed in, and judged as all others are."""

import json
import shutil

import pandas
import pytest
from click.testing import CliRunner

from graders import sheets
from graders.cli import main
from graders.cohort import entered
from graders.cohort.record import HandoutRecord
from graders.cohort.tables import Manner
from graders.marking import run
from graders.paper import asked, table, terminal
from graders.questions.parts.words import Worded
from graders.questions.verdicts import Code
from graders.report import cohort_page
from tests.graders.cohorts import all_findings, rows_now, set_in
from workbook.problems import Problem

TOPIC = "profile"


@pytest.fixture
def empty(fresh):
    """The cohort of the tests before anybody handed in."""
    shutil.rmtree(fresh.root / "submitted")
    return fresh


def graders(*words, typed=""):
    result = CliRunner().invoke(main, [*map(str, words)], input=typed)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def right_on_paper(line):
    """What somebody who is right writes on a line: a decimal comma, or the letters of this learner's sheet."""
    exercise = sheets.find(line.handed.topic, line.handed.exercise)
    right = exercise.key(line.handed.givens)[line.field.name]
    if isinstance(line.part, Worded):
        letters = {word: letter for letter, word in line.part.letters.items()}
        return " ".join(letters[word] for word in ([right] if isinstance(right, str) else right))
    return f"{right:.6g}".replace(".", ",")


def lines_of(cohort, learner):
    return asked.papers(cohort, TOPIC, [learner]).lines()[learner]


def rows_of(cohort, learner):
    return [row for row in rows_now(cohort) if row.learner == learner and row.topic == TOPIC]


def test_right_answers_on_paper_earn_everything_and_no_second_run_is_held_against_them(empty, pool):
    """A cost for typed numbers is for notebooks: on paper every number is typed by somebody else."""
    set_in(empty, 'fresh_numbers = "flag"', 'fresh_numbers = "zero"')
    lines = lines_of(empty, "amber")
    said = graders("enter", empty.root, TOPIC, "--only", "amber", typed="\n".join(map(right_on_paper, lines)) + "\n")
    assert said.exit_code == 0, said.output
    assert "Every line is entered; " in said.stdout
    run.mark(empty, pool, only=["amber"])
    rows = rows_of(empty, "amber")
    assert {row.verdict for row in rows} <= {Code.RIGHT, Code.CARRIED_THROUGH}
    assert sum(row.points for row in rows) == sum(row.out_of for row in rows)
    assert all_findings(empty) == []
    for one in HandoutRecord(empty.record).by_topic("amber")[TOPIC]:
        assert entered.is_from_paper(empty, one)
    assert "Entered from paper by the instructor." in graders("why", empty.root, "amber", "bead-lag").stdout
    graders("report", empty.root)
    assert "entered from paper by your instructor" in empty.feedback("amber", TOPIC).read_text()
    page = (empty.root / "report" / cohort_page.INDEX).read_text()
    assert "Entered from paper by the instructor: 5 exercises of 1 learner." in page


def test_what_is_not_read_is_said_one_can_go_back_and_each_answer_is_kept_at_once(empty):
    first, second, *_ = lines = lines_of(empty, "amber")
    typed = ["rubbish", right_on_paper(first), "<", "-", right_on_paper(second), "end"]
    said = graders("enter", empty.root, TOPIC, "--only", "amber", typed="\n".join(typed) + "\n").stdout
    assert "starts with a number" in said
    assert "left blank" in said
    held = entered.answers(empty.entered)
    assert held == {first.place: "", second.place: right_on_paper(second)}
    went_on = graders("enter", empty.root, TOPIC, "--only", "amber", typed="end\n").stdout
    assert f"2 of {len(lines)} lines entered" in went_on
    assert lines[2].head in went_on


def test_part_by_part_everybody_is_asked_before_the_next_and_anew_keeps_what_enter_leaves(empty):
    papers = asked.papers(empty, TOPIC, ["amber", "birch"])
    first, other, *_ = terminal.in_order(papers, by_part=True)
    assert (first.mark, first.handed.learner, other.handed.learner) == (other.mark, "amber", "birch")
    words = ("enter", empty.root, TOPIC, "--only", "amber", "--only", "birch", "--by-part")
    graders(*words, typed=f"{right_on_paper(first)}\n{right_on_paper(other)}\nend\n")
    said = graders(*words, "--anew", typed="\n-\nend\n").stdout
    assert f"[{right_on_paper(first)}]" in said
    assert entered.answers(empty.entered) == {first.place: right_on_paper(first), other.place: ""}


def test_what_a_crash_cut_off_costs_only_the_answer_it_was_in(empty):
    first, second, *_ = lines_of(empty, "amber")
    entered.append(empty.entered, first.place, "1")
    with empty.entered.open("ab") as file:
        file.write(b'{"learner": "amb')
    assert entered.answers(empty.entered) == {first.place: "1"}
    entered.append(empty.entered, second.place, "2")
    assert entered.answers(empty.entered) == {first.place: "1", second.place: "2"}


def test_the_last_answer_counts_where_an_editor_left_away_its_line_end_and_the_next_one_leaves_it_there(empty):
    first, second, *_ = lines_of(empty, "amber")
    entered.append(empty.entered, first.place, "1")
    empty.entered.write_bytes(empty.entered.read_bytes().rstrip(b"\n"))
    assert entered.answers(empty.entered) == {first.place: "1"}
    entered.append(empty.entered, second.place, "2")
    assert entered.answers(empty.entered) == {first.place: "1", second.place: "2"}


def test_a_backup_brings_back_what_was_entered_and_lost_since(empty, tmp_path):
    first, second, *_ = lines_of(empty, "amber")
    entered.append(empty.entered, first.place, "1")
    entered.append(empty.entered, second.place, "2")
    before = empty.entered.read_bytes()
    graders("backup", empty.root, tmp_path / "kept.zip")
    empty.entered.write_bytes(before[: before.index(b"\n") + 1])
    graders("restore", tmp_path / "kept.zip", empty.root)
    assert empty.entered.read_bytes() == before


def test_paper_never_takes_the_place_of_more_answers_and_what_it_replaces_is_kept(fresh):
    (path,) = fresh.submitted("amber", TOPIC).glob("*bead-lag.ipynb")
    before = path.read_bytes()
    lines = [line for line in lines_of(fresh, "amber") if line.handed.exercise == "bead-lag"]
    entered.append(fresh.entered, lines[0].place, "1")
    said = graders("enter", fresh.root, TOPIC, "--only", "amber", typed="end\n").stdout
    assert "ASIDE" in said
    assert path.read_bytes() == before
    for line in lines:
        entered.append(fresh.entered, line.place, right_on_paper(line))
    graders("enter", fresh.root, TOPIC, "--only", "amber", typed="end\n")
    assert path.read_bytes() != before
    assert before in [kept.read_bytes() for kept in (fresh.root / "submitted_before").rglob("*.ipynb")]


def test_a_notebook_that_says_of_itself_that_it_came_on_paper_is_not_believed(fresh):
    (path,) = fresh.submitted("amber", TOPIC).glob("*bead-lag.ipynb")
    notebook = json.loads(path.read_text())
    notebook["metadata"]["rework_workbook"]["entered"] = "from paper by the instructor"
    path.write_text(json.dumps(notebook))
    entered.note_filed(fresh.entered, b"another")
    assert not entered.is_from_paper(fresh, HandoutRecord(fresh.record).find("amber", TOPIC, "bead-lag"))


def test_papers_of_a_topic_that_was_due_are_not_entered_as_late_unasked(empty):
    set_in(empty, "due = {}", "due = { profile = 2026-01-05T12:00:00 }")
    said = graders("enter", empty.root, TOPIC, typed="end\n")
    assert said.exit_code == 1
    assert "TIP    say when they were collected: --received" in said.stderr
    assert graders("enter", empty.root, TOPIC, "--received", "2026-01-05T10:00", typed="end\n").exit_code == 0


@pytest.mark.parametrize("manner", [Manner(), Manner(";", ","), Manner("\t", ",")], ids=repr)
def test_a_table_goes_out_and_comes_back_through_a_library_that_reads_such_files(empty, manner, tmp_path):
    papers = asked.papers(empty, TOPIC, ["amber", "birch"])
    path = tmp_path / "table.csv"
    table.write(path, papers, {}, manner)
    sheet = pandas.read_csv(path, sep=manner.delimiter, dtype=str, keep_default_na=False)
    assert list(sheet["id"]) == ["amber", "birch"]
    wanted = {}
    for learner, lines in papers.lines().items():
        for line in lines:
            typed = right_on_paper(line).replace(",", manner.decimal)
            sheet.loc[sheet["id"] == learner, line.head] = typed
            wanted[line.place] = typed
    sheet.to_csv(path, sep=manner.delimiter, index=False, encoding="utf-8-sig")
    found, unclear = table.read(path, papers)
    assert unclear == []
    assert {line.place: text for line, text in found} == wanted


BAD_TABLES = {
    "nothing": b"",
    "line ends only": b"\n\n",
    "no id": b"name,4.1 time_constant\nAmber,3\n",
    "no column with answers": b"id,name\namber,Amber\n",
    "a column that is no line": b"id,99.1 lag\namber,3\n",
    "a mark that became a number": b'id,"4,1 lag"\namber,3\n',
    "a mark that became a date": b"id,4 Jan\namber,3\n",
    "a column twice": b"id,4.1 a,4.1 b\namber,3,4\n",
    "a learner twice": b"id,4.1 a\namber,3\namber,4\n",
    "Latin-1": "id,4.1 a\namber,3 µs\n".encode("latin-1"),
    "UTF-16": "id,4.1 a\namber,3\n".encode("utf-16"),
    "a spreadsheet": b"PK\x03\x04\x00\x00",
    "a quote without end": b'id,4.1 a\namber,"3\n',
    "zero bytes": b"id,4.1 a\namber,3\x00\n",
}


@pytest.mark.parametrize("name", BAD_TABLES)
def test_a_bad_table_is_one_line_and_a_tip(made, name, tmp_path):
    path = tmp_path / "bad.csv"
    path.write_bytes(BAD_TABLES[name])
    with pytest.raises(Problem) as told:
        table.read(path, asked.papers(made, TOPIC))
    assert "\n" not in str(told.value)
    assert told.value.tip


BAD_CELLS = {
    "no number": (";", "twelve", "starts with a number"),
    "thousands or decimals": (";", "1.234", "thousands or decimals"),
    "thousands or decimals by comma": (",", "1,234", "thousands or decimals"),
    "another quantity": (";", "3 kg", "does not fit"),
    "a formula": (",", "=A1", "starts with a number"),
    "an error of a spreadsheet": ("\t", "#NAME?", "starts with a number"),
}


@pytest.mark.parametrize("name", BAD_CELLS)
def test_a_bad_cell_is_one_line_that_names_row_learner_and_column(made, name, tmp_path):
    delimiter, typed, why = BAD_CELLS[name]
    path = tmp_path / "cells.csv"
    path.write_text(
        "\n".join(delimiter.join(row) for row in (["id", "4.1 a"], ["nobody", "1"], ["amber", f'"{typed}"']))
    )
    found, (stranger, line) = table.read(path, asked.papers(made, TOPIC))
    assert found == []
    assert "'nobody' has no such sheets" in stranger
    assert line.startswith("line 3, amber, 4.1 a: ")
    assert why in line


def test_a_table_enters_what_it_can_and_names_the_rest(empty, tmp_path):
    number = next(line for line in lines_of(empty, "amber") if line.part.fields)
    path = tmp_path / "answers.csv"
    path.write_text(f"id,{number.head}\namber,{right_on_paper(number).replace(',', '.')}\nbirch,much\ncedar,\n")
    said = graders("enter", empty.root, TOPIC, path).stdout
    assert "1 answer read." in said
    assert "LOOK   line 3, birch" in said
    assert "1 filed" in said
    assert {place[0] for place in entered.answers(empty.entered)} == {"amber"}


BAD_ENTERED = [b"{}\n", b"[1]\n", b"rubbish\n", b'{"filed": 3}\n', b'{"learner": "a", "text": "1"}\n', b"\xff\xfe\n"]


@pytest.mark.parametrize("content", BAD_ENTERED, ids=repr)
def test_a_damaged_list_of_what_was_entered_is_one_line(empty, content):
    empty.entered.write_bytes(content)
    said = graders("enter", empty.root, TOPIC, typed="end\n")
    assert said.exit_code == 1
    assert said.stderr.splitlines()[0].startswith(f"ERROR  {empty.entered}, line 1, is no answer entered from paper")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("paper", "nope"), "was not handed out"),
        (("paper", TOPIC, "--exercise", "bead-leg"), "is no exercise of profile here"),
        (("enter", "nope"), "was not handed out"),
        (("enter", TOPIC, "--only", "nobody"), "has no handout of profile"),
        (("enter", TOPIC, "no-such.csv"), "cannot be read"),
        (("enter", TOPIC, "--received", "yesterday"), "is no time"),
    ],
)
def test_a_wrong_word_is_one_error_and_one_tip(fresh, words, said):
    command, *rest = words
    result = graders(command, fresh.root, *rest)
    error, tip = result.stderr.splitlines()
    assert result.exit_code == 1
    assert said in error
    assert tip.startswith("TIP    ")


def test_sheets_of_all_who_are_there_are_written_and_the_key_lies_elsewhere(fresh):
    said = graders("paper", fresh.root, TOPIC).stdout
    names = {path.stem for path in fresh.paper(TOPIC).glob("*.html")}
    assert names == set(HandoutRecord(fresh.record).learners)
    assert fresh.paper_key(TOPIC).parent != fresh.paper(TOPIC)
    assert str(fresh.paper_key(TOPIC)) in said
    graders("paper", fresh.root, TOPIC, "--exercise", "bead-lag")
    sheet = (fresh.paper(TOPIC) / "amber.html").read_text()
    assert "4. See how far a bead lags behind" in sheet
    assert "1. Read a thermocouple log" not in sheet
    filled = fresh.paper_table(TOPIC)
    filled.write_text("id,4.1 a\namber,3\n")
    graders("paper", fresh.root, TOPIC)
    assert filled.read_text() == "id,4.1 a\namber,3\n"
