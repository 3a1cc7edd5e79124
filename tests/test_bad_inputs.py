"""Whatever is typed wrongly, is missing, damaged or of another kind is one clear line, in every command of both doors.

What the cohort's own files may hold is in graders/cohort/test_bad_files.py; here are commands, options, paths and what
comes in. Each input ends in one ERROR and one TIP line, or in one line of wrong usage; never in a traceback.
"""

import json
import os
import shlex
import shutil
import zipfile

import pytest
from click.testing import CliRunner

from graders.cli import main as graders
from workbook.cli import main as workbook

DOORS = {"graders": graders, "workbook": workbook}


@pytest.fixture(scope="module")
def at(made, tmp_path_factory):
    """A folder with a cohort, and beside it everything that a path may lead to by mistake."""
    home = tmp_path_factory.mktemp("bad inputs")
    shutil.copytree(made.root, home / "spring")
    (home / "empty").mkdir()
    (home / "other").mkdir()
    (home / "other" / "letter.txt").write_text("Dear Sir,")
    (home / "text").write_text("hello")
    (home / "nothing").write_bytes(b"")
    (home / "binary").write_bytes(bytes(range(256)) * 20)
    (home / "loop").symlink_to("loop")
    (home / "dangling").symlink_to("nowhere")
    os.mkfifo(home / "pipe")
    shutil.copy(made.root / "learners.csv", home / "list.csv")
    with zipfile.ZipFile(home / "plain.zip", "w") as archive:
        archive.writestr("a.txt", "hello")
    (home / "cut.zip").write_bytes((home / "plain.zip").read_bytes()[:-20])
    (home / "half").mkdir()
    (home / "half" / "cohort.toml").write_text('title = "Half"')
    notebooks(home / "notebooks", made)
    logs(home / "logs")
    return home


def notebooks(folder, made):
    """Write notebooks that are none, or none of ours."""
    folder.mkdir()
    good = (made.handout("amber") / "profile" / "04_bead-lag.ipynb").read_text(encoding="utf-8")
    for name, content in {
        "empty": b"",
        "space": b" \n",
        "text": b"hello",
        "cut": good[:900].encode(),
        "list": b"[]",
        "number": b"7",
        "no-cells": b'{"nbformat": 4, "metadata": {}}',
        "old": json.dumps(json.loads(good) | {"nbformat": 3}).encode(),
        "new": json.dumps(json.loads(good) | {"nbformat": 99}).encode(),
        "utf-16": good.encode("utf-16"),
        "latin-1": good.replace("title", "ü").encode("latin-1", "replace"),
        "cells-text": b'{"nbformat": 4, "metadata": {}, "cells": "x"}',
        "cell-number": b'{"nbformat": 4, "metadata": {}, "cells": [1]}',
        "cell-kind": b'{"nbformat": 4, "metadata": {}, "cells": [{"cell_type": "x"}]}',
        "deep": b"[" * 100_000,
        "zeros": b"\0" * 500,
    }.items():
        (folder / f"{name}.ipynb").write_bytes(content)


def logs(folder):
    """Write logs that are none."""
    folder.mkdir()
    rows = "".join(f"{second},{20 + second}\n" for second in range(30))
    for name, content in {
        "empty": b"",
        "space": b"\n\n",
        "text": b"hello\n",
        "head": b"time,temperature\n",
        "one-row": b"time,temperature\n0,20\n",
        "words": b"time,temperature\nnow,warm\nlater,warmer\n",
        "one-column": b"time\n0\n1\n2\n",
        "no-time": b"a,b\nx,1\ny,2\n",
        "binary": bytes(range(256)) * 20,
        "zeros": b"\0" * 500,
        "nan": b"time,temperature\n" + b"".join(b"%d,nan\n" % second for second in range(30)),
        "same-time": ("time,temperature\n" + "".join(f"1,{20 + s}\n" for s in range(30))).encode(),
        "spreadsheet": b"PK\x03\x04" + b"x" * 500,
        "page": b"<html><body>log</body></html>",
    }.items():
        (folder / f"{name}.csv").write_bytes(content)
    (folder / "good.csv").write_text("time,temperature\n" + rows)


NO_COHORT = (
    "missing",
    "empty",
    "other",
    "text",
    "nothing",
    "binary",
    "loop",
    "dangling",
    "pipe",
    "plain.zip",
    "x" * 300,
)
NOTEBOOKS = ("empty", "space", "text", "cut", "list", "number", "no-cells", "utf-16", "latin-1", "deep", "zeros")
NO_FILE = ("missing", "empty", "other", "nothing", "binary", "loop", "dangling", "pipe", "x" * 300)

BAD = {
    **{f"graders mark: cohort is {p[:9]}": f"graders mark {p}" for p in NO_COHORT},
    **{f"graders report: cohort is {p[:9]}": f"graders report {p}" for p in NO_COHORT},
    **{f"graders backup: cohort is {p[:9]}": f"graders backup {p}" for p in NO_COHORT},
    **{f"graders why: cohort is {p[:9]}": f"graders why {p} amber bead-lag" for p in NO_COHORT},
    **{f"graders handout: list is {p[:9]}": f"graders handout {p} --to new" for p in NO_FILE},
    **{
        f"graders handout: folder is {p}": f"graders handout list.csv --to {p}"
        for p in ("other", "text", "nothing", "binary", "loop", "pipe", "plain.zip", "text/x", "list.csv")
    },
    **{
        f"graders restore: file is {p[:9]}": f"graders restore {p} new"
        for p in (*NO_FILE, "text", "plain.zip", "cut.zip")
    },
    **{
        f"graders backup: file is {p}": f"graders backup spring {p}"
        for p in ("text", "nothing", "binary", "plain.zip", "cut.zip", "missing/x.zip", "text/x.zip", "spring/x.zip")
        + ("spring", "spring/held/x.zip", "loop", "list.csv")
    },
    **{
        f"graders handout: {name}": f"graders handout list.csv --to new {words}"
        for name, words in {
            "a topic there is not": "--topic profil",
            "an empty topic": "--topic ''",
            "a topic by number": "--topic 3",
            "a topic in capitals": "--topic PROFILE",
            "an exercise without its topic": "--exercise bead-lag",
            "an exercise there is not": "--exercise profile/bead-leg",
            "an exercise of no name": "--exercise profile/",
            "an exercise of no topic": "--exercise /bead-lag",
            "an exercise in a path": "--exercise profile/../bead-lag",
            "an exercise with an ending": "--exercise profile/bead-lag.ipynb",
            "an exercise of another topic": "--exercise shorts/bead-lag",
            "an exercise of a topic not asked for": "--topic shorts --exercise profile/bead-lag",
            "a title that moves the cursor": "--title 'a\x1b[2J'",
            "a title of two lines": "--title 'a\nb'",
            "--again without a learner": "--again",
            "--only without --again": "--only amber",
            "an option there is not": "--topics profile",
            "a word too many": "more",
        }.items()
    },
    **{
        f"graders handout again: {name}": f"graders handout list.csv --to {words} --again"
        for name, words in {
            "nobody": "spring --only nobody",
            "a path": "spring --only ../amber",
            "no name": "spring --only ''",
            "capitals": "spring --only AMBER",
            "no cohort": "missing --only amber",
            "another folder": "other --only amber",
        }.items()
    },
    **{
        f"graders handout into a cohort: {name}": f"graders handout {words}"
        for name, words in {
            "another title": "list.csv --to spring --title Autumn",
            "a topic there is not": "list.csv --to spring --topic short",
            "an exercise of a topic that it has not": "list.csv --to spring --exercise shorts/leads-off",
            "an exercise that a new topic has not": "list.csv --to spring --topic shorts --exercise shorts/no-such",
            "other exercises": "list.csv --to spring --exercise profile/bead-lag",
            "no list": "missing --to spring",
            "no --to": "list.csv",
            "nothing at all": "",
        }.items()
    },
    **{
        f"graders mark: {name}": f"graders mark spring {words}"
        for name, words in {
            "a topic there is not": "--topic profil",
            "an empty topic": "--topic ''",
            "a learner there is not": "--only nobody",
            "an empty learner": "--only ''",
            "a learner by name": "--only 'Amber Example'",
            "fresh numbers of no word": "--fresh-numbers third",
            "no time limit": "--time-limit 0",
            "a time limit backwards": "--time-limit -5",
            "a time limit in words": "--time-limit long",
            "a time limit of hours": "--time-limit 1e9",
            "FROM that is not there": "missing",
            "FROM the cohort itself": "spring",
            "FROM inside the cohort": "spring/handouts",
            "FROM a loop": "loop",
            "FROM a link to nothing": "dangling",
            "FROM a name too long": "x" * 300,
            "one FROM of two that is not there": "plain.zip missing",
            "a time and no FROM": "--received 2026-03-02T14:05",
            "no FROM after its time": "--received",
            "an option there is not": "--force",
        }.items()
    },
    **{
        f"graders mark: received {words or 'nothing'}": f"graders mark spring plain.zip --received '{words}'"
        for words in (
            "",
            "now",
            "yesterday",
            "14:05",
            "02.03.2026",
            "3/2/2026",
            "2026-13-01",
            "2026-02-30",
            "2026-03-02T25:00",
        )
        + ("2026-03-02T14:05+99:00", "1926-03-02", "2926-03-02", "-1", "0", "nan", "1e9")
    },
    **{
        f"graders why: {name}": f"graders why spring {words}"
        for name, words in {
            "nobody": "nobody bead-lag",
            "a slip of the pen": "ambre bead-lag",
            "an empty name": "'' bead-lag",
            "a name of two": "example bead-lag",
            "half a name and nonsense": "'amber zzz' bead-lag",
            "spaces": "'  ' bead-lag",
            "a path": "../amber bead-lag",
            "an exercise there is not": "amber bead-leg",
            "an exercise of another topic": "amber short-check",
            "no exercise": "amber",
            "an empty exercise": "amber ''",
            "an exercise in a folder": "amber profile/bead-lag",
            "a part": "amber lag",
        }.items()
    },
    **{
        f"graders accept: {name}": f"graders accept spring {words}"
        for name, words in {
            "no file": "--as amber/profile/bead-lag",
            "no --as": "notebooks/cut.ipynb",
            "nobody": "notebooks/cut.ipynb --as nobody/profile/bead-lag",
            "no topic": "notebooks/cut.ipynb --as amber/bead-lag",
            "an exercise there is not": "notebooks/cut.ipynb --as amber/profile/bead-leg",
            "a part": "notebooks/cut.ipynb --as amber/profile/bead-lag/lag",
            "a path": "notebooks/cut.ipynb --as ../amber/profile/bead-lag",
            "an empty place": "notebooks/cut.ipynb --as ''",
            "a time that is none": "notebooks/cut.ipynb --as amber/profile/bead-lag --received yesterday",
            **{
                f"a file that is {p[:9]}": f"{p} --as amber/profile/bead-lag"
                for p in (*NO_FILE, "text", "plain.zip", "spring", *(f"notebooks/{n}.ipynb" for n in NOTEBOOKS))
            },
        }.items()
    },
    **{
        f"graders {words}": f"graders {words}"
        for words in ("anonymise spring", "anonymise spring list.csv", "anonymise spring missing/x.csv", "anonymise")
        + ("anonymise other x.csv", "anonymise spring spring", "compare spring", "compare spring list.csv")
        + ("compare spring missing", "compare spring other", "compare spring nothing", "compare spring binary")
        + ("compare spring pipe", "compare spring loop", "compare other spring", "compare spring plain.zip")
    },
    **{
        f"graders mails: {name}": f"graders mails {words}"
        for name, words in {
            "nothing to send": "spring feedback",
            "no kind": "spring",
            "a kind there is not": "spring letters",
            "a topic there is not": "spring handouts --topic profil",
            "a topic nobody has": "spring handouts --topic paste",
            "a topic of feedback": "spring feedback --topic profile",
            "no cohort": "other handouts",
        }.items()
    },
    **{
        f"graders slips: {name}": f"graders slips {words}"
        for name, words in {
            "no topic": "",
            "a topic there is not": "profil",
            "an exercise there is not": "profile --exercise bead-leg",
            "an empty exercise": "profile --exercise ''",
            "an exercise of another topic": "shorts --exercise bead-lag",
            "two topics": "profile shorts",
        }.items()
    },
    **{
        f"graders floor: {words}": f"graders floor {words}"
        for words in ("profil/bead-lag", "bead-lag", "profile/", "/", "profile/bead-leg", "profile/bead-lag --draws 0")
        + ("profile/bead-lag --draws -1", "profile/bead-lag --draws many", "profile/bead-lag --draws 101", "--draw 2")
    },
    **{
        f"graders demo: to {p}": f"graders demo --to {p}"
        for p in ("other", "text", "loop", "pipe", "text/x", "plain.zip")
    },
    **{
        f"graders: {name}": words
        for name, words in {
            "a command there is not": "graders autograde spring",
            "an option of no command": "graders --force",
            "print with an option there is not": "graders print --all",
            "print with a word": "graders print profile",
            "restore without a cohort": "graders restore plain.zip",
            "restore into another folder": "graders restore plain.zip other",
            "backup without a cohort": "graders backup",
            "report of two cohorts": "graders report spring spring",
        }.items()
    },
    **{
        f"workbook check: {p[:9]}": f"workbook check {p}"
        for p in (*NO_FILE, "text", "plain.zip", "bead-leg", "''", "profile")
    },
    **{
        f"workbook check: a notebook that is {name}": f"workbook check notebooks/{name}.ipynb"
        for name in ("empty", "space", "text", "cut", "list", "number", "no-cells", "old", "new", "utf-16", "latin-1")
        + ("cells-text", "cell-number", "cell-kind", "deep", "zeros")
    },
    **{f"workbook pack: {p[:9]}": f"workbook pack {p}" for p in (*NO_FILE, "text", "plain.zip", "spring")},
    **{f"workbook log: {p[:9]}": f"workbook log {p}" for p in (*NO_FILE, "text", "plain.zip")},
    **{
        f"workbook log: a log that is {name}": f"workbook log logs/{name}.csv"
        for name in ("empty", "space", "text", "head", "one-row", "words", "one-column", "no-time", "binary", "zeros")
        + ("nan", "same-time", "spreadsheet", "page")
    },
    **{
        f"workbook log: {words}": f"workbook log logs/good.csv {words}"
        for words in ("--class 100", "--class 400", "--class hot", "--class nan", "--gap 0", "--gap -1", "--gap long")
        + ("--gap nan", "--limits 020E", "--limits ''", "--plot missing/x.png", "--plot empty", "--plot text/x.png")
    },
    **{
        f"workbook open: {name}": f"workbook open {words} --lay-out-only"
        for name, words in {
            "a file": "text",
            "an empty file": "nothing",
            "a binary file": "binary",
            "an archive with no handout": "plain.zip",
            "an archive cut off": "cut.zip",
            "a loop": "loop",
            "a pipe": "pipe",
            "a folder in a file": "text/x",
            "a name too long": "x" * 300,
            "a port of none": "new --port 0",
            "a port too high": "new --port 70000",
            "a port in words": "new --port http",
            "an exercise there is not": "new --again bead-leg",
            "an exercise of no name": "new --again ''",
        }.items()
    },
    **{
        f"workbook practise: {words}": f"workbook practise {words}"
        for words in ("--topic profil", "--topic 9", "--topic ''", "--minutes 0", "--minutes -1", "--minutes long")
        + ("--minutes nan", "--minutes 1000", "--hours 1")
    },
    **{
        f"workbook: {name}": words
        for name, words in {
            "a command there is not": "workbook start",
            "lookup of nothing": "workbook lookup",
            "lookup of an empty word": "workbook lookup ''",
            "lookup of a word there is not": "workbook lookup zzzzqqqq",
            "pack into a file": "workbook pack spring/handouts/amber --to text/x.zip",
            "topics with a word": "workbook topics profile",
            "check of two": "workbook check a b",
            "check of none": "workbook check",
            "log of none": "workbook log",
        }.items()
    },
}
"""Every bad input, under what is wrong with it."""


def test_there_are_enough_of_them():
    assert len(BAD) >= 300
    assert len(set(BAD.values())) == len(BAD)


@pytest.mark.timeout(60, func_only=True)  # the cohort they share may take longer to make on a loaded machine
@pytest.mark.parametrize("kind", BAD)
def test_a_bad_input_is_one_clear_line(kind, at, monkeypatch):
    monkeypatch.chdir(at)
    door, *words = shlex.split(BAD[kind])
    laid_out = {at / "new"} if door == "workbook" or (at / "new").exists() else set()
    before = {path: path.lstat().st_mtime_ns for path in at.iterdir() if path not in laid_out}
    result = CliRunner().invoke(DOORS[door], words)
    said = result.stderr.splitlines()
    assert result.exit_code in (1, 2), result.output
    assert "Traceback" not in result.output
    assert isinstance(result.exception, SystemExit), repr(result.exception)
    if result.exit_code == 1:
        assert [line[:7] for line in said] in (["ERROR  ", "TIP    "], ["ERROR  "]), result.output
    else:
        assert said[-1].startswith("Error: "), result.output
    assert all(line.isprintable() for line in said)
    assert all(len(line) < 700 for line in said)
    assert {path: path.lstat().st_mtime_ns for path in at.iterdir() if path not in laid_out} == before
