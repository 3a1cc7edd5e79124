"""A backup brings a term's marks back, to the byte, whatever was lost; and never takes the place of what is fuller."""

import json
import os
import shutil
import stat
import zipfile

import pytest
from click.testing import CliRunner

from graders import commands, gradebook
from graders.backup import safe_copy
from graders.cli import main
from graders.cohort import differences
from graders.cohort.paths import Cohort
from graders.cohort.roster import Learner
from graders.gradebook import hand_copy
from graders.handout import handing_out
from graders.marking import marks_csv
from graders.marking import run as marking
from tests.graders.cohorts import in_the_formgrader, keep_only
from workbook.problems import Problem
from workbook.terminal import in_shell

SCORED, COMMENTED = ("cedar", "profile", "bead-lag", "lag"), ("amber", "profile", "bead-lag", "lag")


@pytest.fixture(scope="module")
def term(made, pool, tmp_path_factory):
    """A marked cohort of two who handed in, with a score, an extra point and a comment by hand; and its backup."""
    root = tmp_path_factory.mktemp("term") / "spring"
    shutil.copytree(made.root, root)
    cohort = Cohort.open(root)
    root.chmod(0o700)
    keep_only(cohort, "amber", "cedar")
    (root / "held").mkdir()
    (root / "held" / "0123456789-x.ipynb").write_text("whose is it?")
    marking.mark(cohort, pool)
    in_the_formgrader(cohort, "cedar", "bead-lag", "lag", score=0.5, comment="Mind <the> unit.", extra=0.25)
    in_the_formgrader(cohort, "amber", "bead-lag", "lag", comment="Neat.\u2028And short.")
    commands.report(root)
    return cohort, commands.backup(root, root.parent / "kept.zip")


@pytest.fixture
def spring(term, tmp_path):
    """A copy of that cohort to lose things of."""
    shutil.copytree(term[0].root, tmp_path / "spring")
    return Cohort.open(tmp_path / "spring")


def restore(term, cohort):
    return commands.restore(term[1], cohort.root)


def contents(root, *but):
    """Return every file of a cohort that a backup is to hold, with its bytes."""
    files = (path for path in root.rglob("*") if path.is_file() and not path.name.startswith("."))
    found = {path.relative_to(root).as_posix(): path.read_bytes() for path in files}
    return {name: content for name, content in found.items() if name.split("/")[0] not in (*safe_copy.MADE_AGAIN, *but)}


def test_a_folder_that_is_lost_comes_back_whole_with_the_same_marks_and_times(term, tmp_path):
    lost, file = term
    back = commands.restore(file, tmp_path / "elsewhere" / "autumn")
    assert contents(back.root, "gradebook.db") == contents(lost.root, "gradebook.db")
    assert back.marks.read_bytes() == lost.marks.read_bytes()
    assert gradebook.of(back).by_hand() == gradebook.of(lost).by_hand()
    for path in lost.root.glob("submitted/*/*/*"):
        assert (back.root / path.relative_to(lost.root)).stat().st_mtime_ns == path.stat().st_mtime_ns
    assert stat.S_IMODE(back.root.stat().st_mode) == 0o700
    assert {stat.S_IMODE((back.root / name).stat().st_mode) for name in contents(back.root)} == {0o600}
    assert differences.lines(back) == []
    assert not list((tmp_path / "elsewhere").glob(".*"))


def test_a_restored_cohort_works_on_itself_and_finds_nothing_to_mark(term, pool, tmp_path):
    lost, file = term
    before = lost.database.read_bytes()
    back = commands.restore(file, tmp_path / "autumn")
    shutil.rmtree(back.submitted("amber", "profile"))
    assert marking.mark(back, pool).marked == ()
    in_the_formgrader(back, "cedar", "bead-lag", "lag", score=1.0)
    assert lost.database.read_bytes() == before
    assert str(lost.root) not in (back.root / "nbgrader_config.py").read_text()


@pytest.mark.parametrize(
    "lost",
    [
        ["gradebook.db"],
        ["gradebook.db", "by_hand.jsonl"],
        ["gradebook.db", "by_hand.jsonl", "marked.jsonl"],
        ["cohort.key"],
        ["record.jsonl"],
        ["record.jsonl", "cohort.key", "cohort.toml", "learners.csv"],
        ["marked.jsonl"],
        ["submitted", "autograded", "source", "release", "handouts"],
    ],
    ids=" ".join,
)
def test_what_is_lost_of_a_cohort_comes_back_and_the_marks_are_the_same(lost, term, spring, pool):
    whole, marks = contents(spring.root, "gradebook.db"), spring.marks.read_bytes()
    spring.marks.unlink()
    for name in lost:
        path = spring.root / name
        shutil.rmtree(path) if path.is_dir() else path.unlink()
    restore(term, spring)
    assert contents(spring.root, "gradebook.db") == whole
    assert spring.marks.read_bytes() == marks
    assert marking.mark(spring, pool).marked == ()
    assert spring.marks.read_bytes() == marks
    assert differences.lines(spring) == []


@pytest.mark.parametrize("content", [b"", b"no database", b"SQLite format 3\0" + b"\xff" * 5000])
def test_a_damaged_gradebook_is_moved_aside_and_the_backups_takes_its_place(content, term, spring, pool):
    marks = spring.marks.read_bytes()
    spring.database.write_bytes(content)
    restore(term, spring)
    assert (spring.root / "gradebook.db.before-restore").read_bytes() == content
    marking.mark(spring, pool)
    assert spring.marks.read_bytes() == marks
    assert gradebook.of(spring).by_hand() == gradebook.of(term[0]).by_hand()


def test_a_lost_gradebook_of_a_cohort_marked_since_is_made_again_with_the_marks_by_hand_of_both(term, spring, pool):
    in_the_formgrader(spring, "amber", "read-the-log", "soak", score=0.0)
    (spring.submitted("amber", "profile") / "timestamp.txt").write_text("2026-03-02 14:05:00 UTC\n")
    assert marking.mark(spring, pool).marked == (("amber", "profile"),)
    marks = spring.marks.read_bytes()
    spring.database.unlink()
    restore(term, spring)
    assert not spring.database.exists()
    marking.mark(spring, pool)
    assert spring.marks.read_bytes() == marks
    assert set(gradebook.of(spring).by_hand()) == {SCORED, COMMENTED, ("amber", "profile", "read-the-log", "soak")}


def test_a_mark_by_hand_that_is_lost_comes_back_and_one_given_since_stands(term, spring):
    from nbgrader.api import Comment

    in_the_formgrader(spring, "cedar", "bead-lag", "lag", score=2.0)
    with gradebook.of(spring).opened() as book:
        for comment in book.db.query(Comment):
            comment.manual_comment = None
        book.db.commit()
    restore(term, spring)
    marks = gradebook.of(spring).by_hand()
    assert (marks[SCORED].score, marks[SCORED].comment) == (2.0, "Mind <the> unit.")
    assert marks[COMMENTED].comment == "Neat.\u2028And short."


def test_nothing_fuller_is_written_over(term, spring, capsys):
    handing_out.make([Learner("new", "New (invented)")], spring.root)
    (spring.root / "cohort.toml").write_text(
        (spring.root / "cohort.toml").read_text().replace("show_working = true", "show_working = false")
    )
    before = contents(spring.root, "gradebook.db")
    restore(term, spring)
    assert contents(spring.root, "gradebook.db") == before
    said = capsys.readouterr().out
    assert "STANDS cohort.toml" in said
    assert "STANDS learners.csv" in said


def test_another_cohort_is_refused_and_stays_as_it_is(term, tmp_path):
    other = handing_out.make([Learner("amber", "A")], tmp_path / "other", ("profile",), "", {"profile": ("bead-lag",)})
    before = contents(other.root)
    with pytest.raises(Problem, match="was handed out otherwise"):
        restore(term, other)
    assert contents(other.root) == before


def test_a_wrong_key_in_the_cohort_is_replaced_by_the_right_one_and_kept(term, spring):
    (spring.root / "cohort.key").write_text("ab" * 32)
    restore(term, spring)
    assert (spring.root / "cohort.key").read_bytes() == (term[0].root / "cohort.key").read_bytes()
    assert (spring.root / "cohort.key.before-restore").read_text() == "ab" * 32
    assert differences.lines(spring) == []


def test_a_wrong_key_in_the_backup_is_said_and_never_replaces_a_right_one(term, spring, tmp_path, capsys):
    right = (spring.root / "cohort.key").read_bytes()
    (spring.root / "cohort.key").write_text("ab" * 32)
    file = commands.backup(spring.root, tmp_path / "wrong.zip")
    (spring.root / "cohort.key").write_bytes(right)
    commands.restore(file, spring.root)
    assert (spring.root / "cohort.key").read_bytes() == right
    capsys.readouterr()
    commands.restore(file, tmp_path / "new")
    assert "CHECK  " in (said := capsys.readouterr().out)
    assert "is not the key this cohort was handed out with" in said


def test_a_backup_is_for_its_owner_only_lies_outside_and_holds_what_cannot_be_made_again(term):
    cohort, file = term
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    with zipfile.ZipFile(file) as archive:
        assert set(archive.namelist()) - {"backup.json"} == set(contents(cohort.root))
    assert not list(cohort.root.glob(".gradebook*"))


@pytest.mark.parametrize("at", ["kept.zip", "sub/kept.zip", "."])
def test_a_backup_inside_the_cohort_is_refused(at, spring):
    with pytest.raises(Problem, match="own folder"):
        commands.backup(spring.root, spring.root / at)


def test_a_new_backup_takes_the_place_of_an_older_one_and_never_of_a_fuller_one(term, spring, tmp_path):
    file = commands.backup(spring.root, tmp_path / "kept.zip")
    handing_out.make([Learner("new", "New (invented)")], spring.root)
    commands.backup(spring.root, file)
    fuller = file.read_bytes()
    with pytest.raises(Problem, match="there already.*another cohort, or a fuller one"):
        commands.backup(term[0].root, file)
    assert file.read_bytes() == fuller


def damaged(content):
    middle = len(content) // 2
    return content[:middle] + bytes([content[middle] ^ 1]) + content[middle + 1 :]


def with_list(content, path, **changes):
    """Return a backup whose list says something else."""
    path.write_bytes(content)
    with zipfile.ZipFile(path) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    said = json.loads(held["backup.json"])
    name = next(iter(said["files"]))
    for key, value in changes.items():
        if key == "rename":
            held[value], said["files"][value] = held.pop(name), said["files"].pop(name)
        elif key == "files":
            said["files"] = value
        elif key == "backup":
            said["backup"] = value
        else:
            said["files"][name][key] = value
    held["backup.json"] = json.dumps(said).encode()
    with zipfile.ZipFile(path, "w") as archive:
        for name, one in held.items():
            archive.writestr(name, one)
    return path.read_bytes()


SPOILT = {
    "nothing": lambda content, path: b"",
    "text": lambda content, path: b"hello",
    "cut off": lambda content, path: content[:-40],
    "a bit turned": lambda content, path: damaged(content),
    "another archive": lambda content, path: handout_archive(path),
    "another digest": lambda content, path: with_list(content, path, sha256="0" * 64),
    "another size": lambda content, path: with_list(content, path, size=1),
    "a size that is text": lambda content, path: with_list(content, path, size="1"),
    "a list without files": lambda content, path: with_list(content, path, files={}),
    "a list of no files": lambda content, path: with_list(content, path, files=[]),
    "a newer form": lambda content, path: with_list(content, path, backup=2),
    "a path up": lambda content, path: with_list(content, path, rename="../x"),
    "a path from the top": lambda content, path: with_list(content, path, rename="/tmp/x"),
    "a drive": lambda content, path: with_list(content, path, rename="C:x"),
}


def handout_archive(path):
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.ipynb", "{}")
    return path.read_bytes()


@pytest.mark.parametrize("kind", SPOILT)
def test_a_file_that_is_no_whole_backup_is_one_clear_line_and_changes_nothing(kind, term, spring, tmp_path):
    file = tmp_path / "spoilt.zip"
    file.write_bytes(SPOILT[kind](term[1].read_bytes(), file))
    spring.database.unlink()
    before = contents(spring.root)
    for place in (spring.root, tmp_path / "new"):
        result = CliRunner().invoke(main, ["restore", str(file), str(place)])
        assert result.exit_code == 1, result.output
        error, tip = result.stderr.splitlines()
        assert error.startswith("ERROR  ")
        assert not any(words in error for words in ("CRC", "zip file", "item named", "Errno", "object has"))
        assert tip.startswith("TIP    ")
    assert contents(spring.root) == before
    assert not (tmp_path / "new").exists()


def test_what_is_no_plain_file_is_said_and_left_out(spring, tmp_path, capsys):
    (spring.root / "held" / "link").symlink_to("/etc/passwd")
    os.mkfifo(spring.root / "held" / "pipe")
    file = commands.backup(spring.root, tmp_path / "kept.zip")
    said = capsys.readouterr().out
    assert "LOOK   held/link: is no plain file" in said
    assert "LOOK   held/pipe: is no plain file" in said
    assert commands.restore(file, tmp_path / "new").record.is_file()


def test_a_mark_by_hand_waits_in_the_copy_until_the_gradebook_has_its_part(spring):
    kept = hand_copy.read(spring.by_hand)
    waiting = ("cedar", "profile", "an-exercise-of-another-version", "lag")
    hand_copy.write(spring, kept | {waiting: kept[SCORED]})
    hand_copy.keep(spring, gradebook.of(spring))
    assert hand_copy.read(spring.by_hand) == kept | {waiting: kept[SCORED]}


def test_rows_of_a_restored_cohort_are_those_of_the_lost_one(term, tmp_path):
    back = commands.restore(term[1], tmp_path / "new")
    assert list(marks_csv.each_row_now(back)) == list(marks_csv.each_row_now(term[0]))


def test_what_lies_in_a_classrooms_inbox_and_is_not_marked_is_said_not_to_be_in_the_backup(spring, tmp_path, capsys):
    inbox = spring.root.with_name(f"{spring.root.name}-inbox")
    commands.backup(spring.root, tmp_path / "without.zip")
    assert "inbox" not in capsys.readouterr().out
    inbox.mkdir()
    commands.backup(spring.root, tmp_path / "with.zip")
    said = " ".join(capsys.readouterr().out.split())
    assert f"graders mark {in_shell(spring.root)} {in_shell(inbox)}" in said
