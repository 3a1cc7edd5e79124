"""What an instructor reads on the screen: who, where, what was kept, what to do next; never a traceback."""

import os
import re
import shutil

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort import record
from graders.runner import contained
from tests.graders.cohorts import add_to, all_rows, keep_only, scores, set_in


def graders(*words):
    """Run a command; return its exit code, its lines and its complaints."""
    trusted = ["--trust-submissions"] if words[0] == "mark" and contained.why_not() else []
    result = CliRunner().invoke(main, [*map(str, words), *trusted])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.stdout, result.stderr


def complaint(*words):
    """Return the ERROR and the TIP of a command that could not be done."""
    code, _, said = graders(*words)
    error, tip = said.splitlines()
    assert code == 1
    assert error.startswith("ERROR  ")
    assert tip.startswith("TIP    ")
    return error, tip


def test_a_gradebook_moved_aside_is_written_anew_with_everybodys_marks(fresh):
    keep_only(fresh, "amber", "cedar")
    graders("mark", fresh.root)
    before = scores(fresh)
    fresh.database.rename(fresh.root / "aside.db")
    graders("report", fresh.root)
    code, said, _ = graders("mark", fresh.root)
    assert code == 0
    assert "2 marked now, 0 unchanged" in said
    assert {place: score for place, score in scores(fresh).items() if place in before} == before


@pytest.mark.contained
def test_where_notebooks_cannot_be_walled_off_nobody_is_told_to_trust_them(fresh, monkeypatch):
    keep_only(fresh, "amber")

    def refuse(*_, **__):
        raise contained.CannotContain("a notebook could not be walled off: no room")

    monkeypatch.setattr(contained.Contained, "run", refuse)
    error, tip = complaint("mark", fresh.root)
    assert "no room" in error
    assert "trust" not in error + tip


def test_a_journal_with_rubbish_in_it_is_read_past_the_rubbish(fresh):
    keep_only(fresh, "amber")
    graders("mark", fresh.root)
    rows = all_rows(fresh)
    with fresh.journal.open("ab") as file:
        file.write(b"\xc0\xff\x00rubbish\n{}\n[1]\n")
    code, said, _ = graders("mark", fresh.root)
    assert (code, all_rows(fresh)) == (0, rows)
    assert "0 marked now, 1 unchanged" in said


def test_who_has_not_handed_in_is_named_with_what(fresh):
    keep_only(fresh, "amber", "cedar")
    next(fresh.submitted("cedar", "profile").glob("*bead-lag.ipynb")).unlink()
    _, said, _ = graders("mark", fresh.root)
    missing = [line.removeprefix("NOT IN ") for line in said.splitlines() if line.startswith("NOT IN ")]
    assert "birch: profile" in missing
    assert "cedar: profile (bead-lag)" in missing
    assert not any(line.startswith("amber") for line in missing)


def test_files_that_are_set_aside_or_left_are_told_with_what_to_do(fresh, tmp_path):
    keep_only(fresh, "amber")
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "x.ipynb").write_text("{}")
    (tmp_path / "in" / "answers.pdf").write_text("%PDF")
    _, said, _ = graders("mark", fresh.root, tmp_path / "in")
    assert "0 filed, 0 known already, 1 set aside." in said
    assert "HELD   " in said
    assert "TIP    ask the sender" in said
    assert "LEFT   1 file with no notebook, as they were: 1 pdf; the first: " in said


def test_the_table_holds_what_changed_with_what_it_was(fresh):
    keep_only(fresh, "amber", "cedar")
    _, first, _ = graders("mark", fresh.root)
    row = r"^(amber|birch|cedar) +([\d.]+)/.*"
    marks = dict(re.findall(row, first, re.MULTILINE))
    assert set(marks) == {"amber", "cedar"}
    _, none, _ = graders("mark", fresh.root)
    assert "No mark has changed." in none
    assert not re.search(row, none, re.MULTILINE)
    next(fresh.submitted("amber", "profile").glob("*bead-lag.ipynb")).unlink()
    _, then, _ = graders("mark", fresh.root)
    (line,) = re.finditer(row, then, re.MULTILINE)
    assert line[1] == "amber"
    assert f"(was {marks['amber']})" in line[0]


@pytest.mark.parametrize("name", ["Åmber Example", "AMBER", "example amber", "amber"])
def test_why_takes_a_name_however_it_is_typed(name, fresh):
    code, said, _ = graders("why", fresh.root, name, "bead-lag")
    assert code == 0
    assert "This notebook was not handed in." in said
    error, tip = complaint("why", fresh.root, "example", "bead-lag")
    assert "'example' may be Amber Example (invented) (amber), Birch Example" in error


def test_a_mistyped_inbox_is_no_marking(fresh):
    error, _ = complaint("mark", fresh.root, fresh.root / "inbocks")
    assert "inbocks is not there" in error
    assert not fresh.journal.exists()


@pytest.mark.parametrize(
    ("words", "error", "tip"),
    [
        (("why", "ambre", "bead-lag"), "'ambre' is no learner of this cohort", "is amber meant?"),
        (("why", "amber", "bead-leg"), "'bead-leg' is no exercise of this cohort", "is bead-lag meant?"),
        (("mark", "--only", "ambre"), "'ambre' is no learner of this cohort", "is amber meant?"),
    ],
)
def test_a_name_nobody_has_is_one_line_with_the_name_that_may_be_meant(words, error, tip, made):
    command, *rest = words
    said = complaint(command, made.root, *rest)
    assert error in said[0]
    assert tip in said[1]


@pytest.mark.parametrize("name", ["bead-lag", "04_bead-lag", "04_bead-lag.ipynb"])
def test_an_exercise_may_be_named_as_its_notebook_is(name, fresh):
    keep_only(fresh, "cedar")
    graders("mark", fresh.root)
    _, said, _ = graders("why", fresh.root, "cedar", name)
    assert "time_constant: 0 of 2, slip" in said
    assert "answered " in said


def test_reasons_of_a_notebook_that_did_not_come_say_so(made):
    _, said, _ = graders("why", made.root, "amber", "bead-lag")
    assert said.strip() == "This notebook was not handed in."


def test_late_work_says_in_words_why_it_earns_nothing(fresh):
    keep_only(fresh, "amber")
    set_in(fresh, 'late = "none"', 'late = "zero"')
    set_in(fresh, "due = {}", "due = { profile = 2026-01-01T18:00:00 }")
    (fresh.submitted("amber", "profile") / "timestamp.txt").write_text("2026-01-02 10:00:00 UTC\n")
    graders("mark", fresh.root)
    _, said, _ = graders("why", fresh.root, "amber", "bead-lag")
    assert "0 of 2, right (late)" in said
    assert "It came after its due time, so it earns nothing." in said


def test_a_void_of_a_part_there_is_not_is_said_before_anything_is_marked(fresh):
    void = '[[void]]\ntopic = "profile"\nexercise = "bead-lag"\npart = "leg"\npoints = "drop"\nreason = "misprint"'
    add_to(fresh, void)
    error, tip = complaint("mark", fresh.root)
    assert "'leg' as part to void" in error
    assert "is lag meant?" in tip
    assert not fresh.journal.exists()


def test_the_report_names_what_is_voided_and_does_not_chase_who_left(fresh):
    keep_only(fresh, "amber", "birch")
    shutil.rmtree(fresh.root / "submitted" / "birch" / "profile")
    (fresh.root / "submitted" / "birch").rmdir()
    void = (
        '[[void]]\ntopic = "profile"\nexercise = "bead-lag"\npart = "lag"\npoints = "drop"\nreason = "two rows swapped"'
    )
    add_to(fresh, void)
    kept = fresh.roster.read_text().replace("Birch Example (invented),", "Birch Example (invented),left")
    fresh.roster.write_text(kept)
    graders("mark", fresh.root)
    graders("report", fresh.root)
    page = (fresh.root / "report" / "report-profile.html").read_text()
    assert "profile / bead-lag / lag counts for nobody: two rows swapped" in page
    assert "Cedar Example" in page
    assert "Birch Example" not in page


def test_an_exercise_that_was_asked_otherwise_is_not_marked_and_said_by_name(fresh):
    keep_only(fresh, "amber")
    edition = record.HandoutRecord(fresh.record).find("amber", "profile", "bead-lag").edition
    fresh.record.write_text(fresh.record.read_text().replace(edition, "of another time"))
    code, told, _ = graders("mark", fresh.root)
    assert code == 0
    assert "OTHER  profile/bead-lag was asked otherwise by version" in told
    assert "TIP    mark these with the version that asked them" in told


def test_what_marking_and_reporting_write_is_for_their_owner_only(fresh):
    keep_only(fresh, "amber")
    before = os.umask(0o022)
    try:
        graders("mark", fresh.root)
        graders("report", fresh.root)
    finally:
        os.umask(before)
    for name in ("report", "feedback_pages", "autograded", "marked.jsonl", "gradebook.db"):
        assert not (fresh.root / name).stat().st_mode & 0o077, name
    assert not any(page.stat().st_mode & 0o077 for page in (fresh.root / "report").iterdir())


EVIL = "x\x1b[2J\r\nLOOK  all is well\x07\u202egpj"


def test_no_name_or_word_from_elsewhere_moves_the_cursor_or_begins_a_line(fresh, tmp_path):
    keep_only(fresh, "amber")
    folder = fresh.submitted("amber", "profile")
    shutil.copy(next(folder.glob("04_*")), folder / f"copy{EVIL}.ipynb")
    for number in range(5):
        (folder / f"{number}{EVIL}.ipynb").write_text("{}")
    (fresh.root / "submitted" / EVIL).mkdir()
    shutil.copytree(fresh.handout("cedar"), tmp_path / "inbox" / EVIL)
    (tmp_path / "inbox" / f"{EVIL}.ipynb").write_text("{}")
    (tmp_path / "inbox" / f"{EVIL}.pdf").write_text("")
    commands = [
        ("mark", fresh.root, tmp_path / "inbox"),
        ("mark", fresh.root, tmp_path / EVIL),
        ("mark", fresh.root, "--only", EVIL),
        ("mark", tmp_path / EVIL),
        ("report", fresh.root),
        ("report", tmp_path / EVIL),
        ("why", fresh.root, EVIL, "bead-lag"),
        ("why", fresh.root, "amber", EVIL),
        ("handout", tmp_path / EVIL, "--to", tmp_path / "new"),
        ("handout", fresh.roster, "--to", fresh.root, "--title", EVIL),
        ("slips", EVIL),
        ("floor", EVIL),
    ]
    for words in commands:
        _, said, complained = graders(*words)
        assert said + complained
        for line in (said + complained).split("\n"):
            assert line.isprintable(), (words, line)
            assert not line.startswith("LOOK  all is well")
    _, said, _ = graders("mark", fresh.root, "--anew")
    assert "5 files have names that were not handed out, the first 0x\\x1b[2J" in said


@pytest.mark.parametrize("command", ["check", "pack", "log", "lookup"])
def test_nor_does_one_in_the_learners_commands(command, fresh, tmp_path):
    from workbook.cli import main as workbook

    place = tmp_path / EVIL
    shutil.copytree(fresh.handout("amber"), place)
    notebook = next(place.rglob("04_*.ipynb"))
    notebook = notebook.rename(notebook.with_name(f"{EVIL}.ipynb"))
    text = notebook.read_text().replace("lag = ...", f"raise ValueError({EVIL!r})".replace("\\", "\\\\"))
    notebook.write_text(text)
    words = {"check": notebook, "pack": place, "log": place / "log.csv", "lookup": EVIL}[command]
    result = CliRunner().invoke(workbook, [command, str(words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    said = (result.stdout + result.stderr).split("\n")
    assert any(said)
    assert [line for line in said if not line.isprintable()] == []
