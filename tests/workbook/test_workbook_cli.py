"""The learner's command: one ERROR and one TIP line for what can be mended, and no Python words."""

import io
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

import workbook
from workbook import cli, command_group, progress
from workbook.server import folder

BEAD_LAG = "04_bead-lag.ipynb"


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "file", lambda: tmp_path / "data" / "progress.jsonl")

    def run(*arguments, **settings):
        return CliRunner().invoke(cli.main, [str(one) for one in arguments], **settings)

    return run


WRONG = {
    "no notebook": ("check", "gone.ipynb"),
    "a folder for a notebook": ("check", "."),
    "no handout": ("open", "gone.zip", "--lay-out-only"),
    "no exercise": ("open", "--again", "nothing", "--lay-out-only"),
    "no topic": ("practise", "--topic", "nothing"),
    "no word": ("lookup", "zzzqqq"),
    "no folder to pack": ("pack", "."),
}


@pytest.mark.parametrize("kind", WRONG)
def test_what_can_be_mended_is_one_error_line_and_one_tip_line(run, kind):
    done = run(*WRONG[kind])
    lines = done.stderr.splitlines()
    assert done.exit_code == command_group.COULD_NOT
    assert [line.split()[0] for line in lines] == ["ERROR", "TIP"]


@pytest.mark.parametrize(
    "arguments", [("check",), ("open", "--port", "0"), ("practise", "--minutes", "soon"), ("sing",)]
)
def test_wrong_usage_is_told_from_what_could_not_be_done(run, arguments):
    assert run(*arguments).exit_code == command_group.WRONG_USAGE


def test_topics_are_listed_in_teaching_order_with_what_they_build_on(run):
    lines = run("topics").stdout.splitlines()
    assert [line.split()[1] for line in lines] == ["intake", "joints", "profile", "shorts", "paste", "signoff"]
    assert "builds on joints" in lines[2]


def test_every_command_has_a_sentence_and_an_example(run):
    for name, command in cli.main.commands.items():
        words = run(name, "--help").stdout
        assert f"Example: workbook {name}" in words
        assert command.help.split("\n")[0].endswith(".")


def test_practice_in_a_terminal_takes_an_answer_a_hint_and_the_working(run):
    done = run("practise", "--topic", "profile", input="5 kg\nhint\nworking\nend\n")
    assert "does not fit" in done.stdout
    assert "1 looked up." in done.stdout
    assert done.exit_code == 0


def test_ending_practice_from_the_keyboard_loses_nothing(run):
    done = run("practise", "--topic", "profile", input="working\n\n")
    assert "1 looked up." in done.stdout
    assert len(progress.read().events) == 1


def test_progress_is_shown_for_every_topic_that_has_exercises(run):
    run("practise", "--topic", "profile", input="working\nend\n")
    assert "1 begun" in run("practise", "--progress").stdout


def test_help_imports_nothing_heavy():
    code = (
        "import sys\nfrom workbook.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'scipy', 'matplotlib', 'nbformat', 'IPython', 'pint', 'fsrs', 'rich', 'graders'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    env = {**os.environ, "PYTHONPATH": str(Path(workbook.__file__).parents[1])}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, timeout=120)
    assert done.stdout.endswith("[]\n"), done.stderr


def test_the_learners_door_needs_no_fork(tmp_path):
    code = (
        "import os, sys\n"
        "for name in ('fork', 'forkpty', 'register_at_fork'):\n"
        "    delattr(os, name) if hasattr(os, name) else None\n"
        "from workbook.cli import main\n"
        "for words in (['open', 'mine', '--lay-out-only'], ['pack', 'mine'], ['topics'], ['lookup', 'tau']):\n"
        "    main(words, standalone_mode=False)\n"
        "import graders.desk.widget, graders.desk.terminal, graders.desk.check_cell\n"
        "import workbook.server.jupyter, workbook.kernel\n"
    )
    env = {**os.environ, "PYTHONPATH": str(Path(workbook.__file__).parents[1]), "XDG_DATA_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=env, cwd=tmp_path, timeout=120
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "mine-hand-in.zip").is_file()


def with_nobody_reading(typed, tmp_path, **named):
    """Run a command as in `workbook topics | head -1`, whose reader has gone before the first line."""
    door, *arguments = typed.split()
    nobody, ours = os.pipe()
    os.close(nobody)
    command = [sys.executable, "-c", f"from {door}.cli import main; main()", *arguments]
    env = os.environ | {"PYTHONPATH": str(Path(workbook.__file__).parents[1]), "XDG_DATA_HOME": str(tmp_path)}
    try:
        return subprocess.run(
            command, stdout=ours, stderr=subprocess.PIPE, text=True, timeout=100, env=env, cwd=tmp_path, **named
        )
    finally:
        os.close(ours)


@pytest.mark.parametrize(
    "typed", ["workbook topics", "workbook --help", "workbook lookup solder", "graders print --check"]
)
def test_a_reader_that_has_seen_enough_ends_a_command_without_a_word(typed, tmp_path):
    assert with_nobody_reading(typed, tmp_path).stderr == ""


def test_what_a_command_writes_it_writes_whoever_reads_what_it_says(tmp_path):
    """The last of three lines says where the file is; the first found nobody."""
    shutil.copy(Path(workbook.__file__).parents[1] / "exercises" / "profile" / BEAD_LAG, tmp_path)
    done = with_nobody_reading(f"workbook check {BEAD_LAG}", tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert list(tmp_path.glob("*.feedback.html"))


def test_nothing_is_asked_that_nobody_can_read(tmp_path):
    done = with_nobody_reading("workbook practise --topic profile", tmp_path, input="working\n\nworking\nend\n")
    assert done.stderr == ""
    assert not list(tmp_path.rglob("progress.jsonl"))


def test_a_file_or_pipe_without_our_letters_gets_them_written_out():
    done = CliRunner(charset="cp1252").invoke(cli.main, ["lookup", "theta"])
    assert done.exception is None
    assert r"thermal resistance, Rth, \u03b8: Kelvin" in done.output


def test_a_pipe_that_breaks_elsewhere_is_still_said():
    @click.command()
    def broken():
        raise BrokenPipeError(32, "Broken pipe")

    done = CliRunner().invoke(command_group.Door(commands={"broken": broken}), ["broken"])
    assert done.exit_code == command_group.COULD_NOT
    assert done.stderr.startswith("ERROR  Broken pipe")


def test_practice_in_a_terminal_knows_the_usual_words_and_takes_a_topics_number(run):
    done = run("practise", "--topic", "3", input="help\nfoo\n\x1b[D\x1b[C5 kg\nskip\nworking\n\nquit\n")
    assert done.exit_code == 0
    assert done.stdout.count("Type your answer.") == 2
    assert "That cost nothing." in done.stdout
    assert "\x1b[D" not in done.stdout.split("> ", 1)[1]
    assert "does not fit" in done.stdout
    assert "Question 3" in done.stdout
    assert "1 looked up." in done.stdout


def test_practice_in_a_wide_terminal_keeps_to_80_columns(run):
    done = run("practise", "--topic", "profile", input="hint\nend\n", env={"COLUMNS": "200"})
    progress_lines = run("practise", "--progress", env={"COLUMNS": "200"}).stdout.splitlines()
    assert max(map(len, done.stdout.splitlines() + progress_lines)) <= 80


def zipped(name):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        file.writestr(name, "{}")
    return out.getvalue()


WRITERS = {
    "a picture of a log": ("log", "mine.csv", "--plot"),
    "a page of formulas": ("formulas", "paste", "--to"),
    "a lesson to print": ("lesson", "paste", "--no-browser", "--to"),
    "a file to hand in": ("pack", "mine", "--to"),
}
OTHERS = {
    "a log": b"time [s];TC1 [C]\n0;25\n1;26\n",
    "a board file": b"[board]\nlength_mm = 300\n",
    "a page of somebody's": b"<!doctype html>\n<html lang='en'><title>mine</title>",
    "a photograph": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(400),
    "an archive of somebody's": zipped("holiday/beach.jpg"),
    "an archive of another learner's": zipped("birch/profile/04_bead-lag.ipynb"),
    "an archive of a later form": zipped("holiday/beach.jpg").replace(
        b"PK\x01\x02\x14\x03\x14", b"PK\x01\x02\x14\x03\x63"
    ),
}


@pytest.mark.parametrize("other", OTHERS.values(), ids=OTHERS.keys())
@pytest.mark.parametrize("words", WRITERS.values(), ids=WRITERS.keys())
def test_no_command_writes_over_a_file_that_is_another(run, tmp_path, words, other):
    (tmp_path / "mine.csv").write_bytes(OTHERS["a log"])
    (tmp_path / "mine").mkdir()
    folder.lay_out(tmp_path / "mine", {"profile/a.ipynb": b"{}"})
    there = tmp_path / "there"
    there.write_bytes(other)
    done = run(*words, str(there))
    assert done.exit_code == 1
    assert done.stderr.startswith(
        f"ERROR  {there} is there already, another file; nothing was written.\nTIP    name a "
    )
    assert there.read_bytes() == other


@pytest.mark.parametrize("name", ["a picture of a log", "a page of formulas"])
def test_what_a_command_wrote_it_writes_again(run, tmp_path, name):
    (tmp_path / "mine.csv").write_bytes(OTHERS["a log"])
    for _ in range(2):
        assert run(*WRITERS[name], "there").exit_code == 0
    (tmp_path / "there").write_bytes(b"")
    assert run(*WRITERS[name], "there").exit_code == 0
    assert (tmp_path / "there").stat().st_size > 1000
