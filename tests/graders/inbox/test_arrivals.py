"""When work came, which of two files counts, and what the instructor reads of it."""

import contextlib
import json
import os
import shutil
import time
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner

from graders import commands
from graders.cli import main
from graders.cohort import arrival, files
from graders.inbox import archives, filing
from graders.inbox.search import changed
from tests.graders.cohorts import set_in
from tests.graders.inbox.parcels import NAME, answered, handout, put, tarred, zipped, zipped_at
from workbook.problems import Problem

HOUR = 3_600


@pytest.fixture
def cohort(fresh):
    """A cohort nothing was filed in yet."""
    shutil.rmtree(fresh.root / "submitted")
    return fresh


def place(cohort, learner="amber"):
    return cohort.submitted(learner, "profile") / NAME


def utc(seconds):
    return datetime.fromtimestamp(int(seconds), UTC).replace(tzinfo=None)


def said_of(filed, capsys):
    commands.tell_filed(filed)
    return capsys.readouterr().out.splitlines()


@pytest.mark.parametrize("within", [".", "handouts", "held/x.ipynb"])
def test_what_lies_in_the_cohorts_own_folder_is_not_filed_into_it(within, cohort):
    put(cohort.root / "held" / "x.ipynb", b"{}")
    result = CliRunner().invoke(main, ["mark", str(cohort.root), str(cohort.root / within)])
    error, tip = result.stderr.splitlines()
    assert result.exit_code == 1
    assert "in the cohort's own folder; nothing was filed or marked" in error
    assert tip.startswith("TIP    to mark what is in submitted/: graders mark ")
    assert not cohort.journal.exists()


def test_a_cohort_inside_what_came_is_passed_over_and_said(cohort, tmp_path):
    put(tmp_path / "x.ipynb", answered(cohort, "amber"))
    filed = filing.file_all(cohort, [tmp_path])
    assert filed.filed == 1
    (line,) = filed.unread
    assert "is a cohort's folder" in line


def test_answers_take_the_place_of_a_blank_even_when_they_are_older(cohort, tmp_path):
    filing.file_all(cohort, [put(tmp_path / "new.ipynb", handout(cohort, "amber"))])
    older = put(tmp_path / "old.ipynb", answered(cohort, "amber"), time.time() - HOUR)
    (line,) = filing.file_all(cohort, [older]).replaced
    assert line.startswith("amber / profile / bead-lag: by ")
    assert place(cohort).read_bytes() == older.read_bytes()


def test_a_blank_sent_again_takes_the_place_of_a_blank_only(cohort, tmp_path, capsys):
    mine = put(tmp_path / "mine.ipynb", answered(cohort, "amber"), time.time() - HOUR)
    blank = put(tmp_path / "blank.ipynb", handout(cohort, "amber"))
    filing.file_all(cohort, [mine])
    lines = said_of(filing.file_all(cohort, [blank]), capsys)
    assert lines[0] == "0 filed, 0 known already, 1 set aside."
    assert "has no answers, and the file that is there has 1" in lines[1]
    assert place(cohort).read_bytes() == mine.read_bytes()


def test_an_older_correction_is_told_and_can_be_taken_with_the_time_it_came(cohort, tmp_path, capsys):
    first = put(tmp_path / "first.ipynb", answered(cohort, "amber", "time_constant = 1.0"), time.time() - HOUR)
    right = put(tmp_path / "right.ipynb", answered(cohort, "amber", "time_constant = 2.0"), time.time() - 2 * HOUR)
    filing.file_all(cohort, [first])
    lines = said_of(filing.file_all(cohort, [right]), capsys)
    assert "is older" in lines[1]
    assert "--received TIME" in lines[2]
    taken = filing.file_all(cohort, [right], utc(time.time()))
    assert (taken.filed, len(taken.replaced)) == (1, 1)
    assert place(cohort).read_bytes() == right.read_bytes()
    kept = [path.read_bytes() for path in (cohort.root / "submitted_before").rglob("*.ipynb")]
    assert first.read_bytes() in kept


def test_two_files_of_one_time_do_not_change_places_at_every_marking(cohort, tmp_path):
    put(tmp_path / "in" / "a.ipynb", answered(cohort, "amber", "time_constant = 1.0"))
    put(tmp_path / "in" / "b.ipynb", answered(cohort, "amber", "time_constant = 2.0"))
    when = utc(time.time())
    assert len(filing.file_all(cohort, [tmp_path / "in"], when).replaced) == 1
    again = filing.file_all(cohort, [tmp_path / "in"], when)
    assert (again.filed, again.known, again.replaced) == (0, 2, [])


@pytest.mark.parametrize("pack", ["zip", "zip with Unix time", "tar"])
def test_when_a_member_was_saved_is_better_evidence_than_the_clock_of_a_download(pack, cohort, tmp_path):
    saved = (int(time.time()) - 3 * HOUR) // 2 * 2  # a zip's clock counts in steps of two seconds
    content = answered(cohort, "amber")
    packed = {
        "zip": lambda: zipped({NAME: content}, when=time.localtime(saved)[:6]),
        "zip with Unix time": lambda: zipped_at(NAME, content, saved),
        "tar": lambda: tarred({NAME: content}, "gz", saved),
    }[pack]()
    age_the_cohort(cohort)
    filing.file_all(cohort, [put(tmp_path / "x.zip", packed)])
    assert changed(place(cohort)) == utc(saved) == arrival.handed_in(cohort, "amber", "profile")


def age_the_cohort(cohort):
    """Make the cohort some days old, as one is when work comes back."""
    key = cohort.root / "cohort.key"
    put(key, key.read_bytes(), time.time() - 9 * 24 * HOUR)


@pytest.mark.parametrize("when", [(1980, 1, 1, 0, 0, 0), (2020, 1, 1, 0, 0, 0), (2107, 12, 31, 0, 0, 0)])
def test_a_members_time_before_the_handout_or_after_the_archive_is_none(when, cohort, tmp_path):
    source = put(tmp_path / "x.zip", zipped({NAME: answered(cohort, "amber")}, when=when), time.time() - 60)
    filing.file_all(cohort, [source])
    assert changed(place(cohort)) == changed(source)


def test_what_came_late_is_named_and_a_time_given_puts_it_right(cohort, tmp_path, capsys):
    set_in(cohort, "due = {}", "due = { profile = 2026-03-02T18:00:00 }")
    download = put(tmp_path / "x.ipynb", answered(cohort, "amber"))
    lines = said_of(filing.file_all(cohort, [download]), capsys)
    assert lines[1].startswith("LATE   amber / profile: came ")
    assert "due 2026-03-02 18:00 (UTC): late, " in lines[1]
    assert "--received TIME" in lines[2]
    again = filing.file_all(cohort, [download], datetime(2026, 3, 2, 17, 5))
    assert (again.known, again.late) == (1, [])
    assert arrival.handed_in(cohort, "amber", "profile") == datetime(2026, 3, 2, 17, 5)


def test_files_left_are_told_by_their_kinds(cohort, tmp_path, capsys):
    for name in ("a.pdf", "b.PDF", "c.docx", "d.rar"):
        put(tmp_path / "in" / name, b"x")
    (line,) = said_of(filing.file_all(cohort, [tmp_path / "in"]), capsys)[1:]
    assert line.startswith("LEFT   4 files with no notebook, as they were: 2 pdf, 1 docx, 1 rar; the first: ")


def test_nothing_in_a_name_moves_the_cursor_or_begins_a_line(cohort, tmp_path, capsys):
    put(tmp_path / "in" / "a\x1b[2J\r\nLOOK  b\x07\u202e.ipynb", b"{}")
    lines = said_of(filing.file_all(cohort, [tmp_path / "in"]), capsys)
    assert len(lines) == 3
    assert all(line.isprintable() for line in lines)
    assert "a\\x1b[2J\\r\\nLOOK  b\\x07\\u202e.ipynb" in lines[1]


@pytest.mark.parametrize("words", ["", "yesterday", "2026-13-01", "1926-03-02", "2926-03-02", "9999-12-31T23:59-23:59"])
def test_a_time_that_is_none_is_said(words):
    with pytest.raises(Problem, match="is (no|not a) time"):
        commands.moment(words)


def test_a_time_with_a_zone_is_turned_into_utc():
    assert commands.moment("2026-03-02T14:05+01:00") == datetime(2026, 3, 2, 13, 5)


def test_what_is_said_of_very_many_notebooks_of_one_archive_is_counted(cohort, tmp_path, capsys):
    strange = zipped({f"{number}.ipynb": b"{}" for number in range(1_900)})
    filed = filing.file_all(cohort, [put(tmp_path / "x.zip", strange)])
    lines = said_of(filed, capsys)
    assert lines[0] == "0 filed, 0 known already, 1900 set aside."
    assert len(lines) < 20
    assert any(line.endswith("x.zip: and 1890 more notebooks in it like these") for line in lines)


def two_answers(cohort, words):
    """Return amber's handout with two answers."""
    first = json.loads(answered(cohort, "amber", words))
    for cell in first["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == "lag-answer":
            cell["source"] = "lag = 3.0"
    return json.dumps(first).encode()


def test_fewer_answers_never_take_the_place_of_more_however_new(cohort, tmp_path, capsys):
    more = put(tmp_path / "more.ipynb", two_answers(cohort, "time_constant = 2.0"), time.time() - HOUR)
    fewer = put(tmp_path / "fewer.ipynb", answered(cohort, "amber", "time_constant = 1.0"))
    filing.file_all(cohort, [more])
    for received in (None, utc(time.time())):
        lines = said_of(filing.file_all(cohort, [fewer], received), capsys)
        assert place(cohort).read_bytes() == more.read_bytes()
        assert received or "has 1 answer, and the file that is there has 2" in lines[1]
        assert received or "copy it over the file in submitted/" in lines[3]


COPIES = ["04_bead-lag (1).ipynb", "04_bead-lag-Copy1.ipynb", "bead.ipynb", "amber_late_04_bead-lag.ipynb"]


@pytest.mark.parametrize("name", COPIES)
@pytest.mark.parametrize(
    ("copy_has", "counts"), [("more", "copy"), ("fewer", "own"), ("newer", "copy"), ("older", "own")]
)
def test_of_two_copies_in_a_learners_folder_one_counts_by_rule_and_the_other_is_kept(name, copy_has, counts, cohort):
    one, two = answered(cohort, "amber", "time_constant = 1.0"), two_answers(cohort, "time_constant = 2.0")
    as_many = answered(cohort, "amber", "time_constant = 3.0")
    own, copy = {"more": (one, two), "fewer": (two, one)}.get(copy_has, (one, as_many))
    age = -HOUR if copy_has in ("older", "more") else HOUR
    put(place(cohort), own, time.time() - 2 * HOUR)
    put(place(cohort).with_name(name), copy, time.time() - 2 * HOUR + age)
    settled = filing.settle_copies(cohort)
    assert [path.name for path in place(cohort).parent.iterdir()] == [NAME]
    assert place(cohort).read_bytes() == (copy if counts == "copy" else own)
    (kept,) = (cohort.root / "submitted_before").rglob("*.ipynb")
    assert kept.read_bytes() == (own if counts == "copy" else copy)
    assert len(settled.replaced + settled.aside) == 1
    assert name in (settled.replaced + settled.aside)[0]
    assert filing.settle_copies(cohort) == filing.Filed()


@pytest.mark.parametrize("name", COPIES)
def test_a_renamed_notebook_alone_gets_its_own_name_and_is_marked(name, cohort, pool):
    from graders.marking import run as marking

    content = answered(cohort, "amber", "time_constant = 1.0")
    put(place(cohort).with_name(name), content)
    filing.settle_copies(cohort)
    assert place(cohort).read_bytes() == content
    assert marking.mark(cohort, pool).problems == ()


def test_a_notebook_of_another_learner_or_without_a_seal_is_left_as_it_is(cohort):
    strange = {"birch.ipynb": answered(cohort, "birch"), "x.ipynb": b"{}", "y.ipynb": b"", "z.ipynb": b"\xff"}
    for name, content in strange.items():
        put(place(cohort).with_name(name), content)
    filing.settle_copies(cohort)
    assert {path.name: path.read_bytes() for path in place(cohort).parent.iterdir()} == strange


def test_a_copy_that_may_not_be_read_costs_itself_only_and_is_told(cohort, monkeypatch, capsys):
    shut = put(place(cohort).with_name("copy.ipynb"), answered(cohort, "amber"))
    other = put(place(cohort, "birch").with_name("copy.ipynb"), answered(cohort, "birch"))
    read = Path.read_bytes

    def may_not(path):
        if path == shut:
            raise PermissionError(13, "Permission denied")
        return read(path)

    monkeypatch.setattr(Path, "read_bytes", may_not)
    commands.tell_copies(filing.settle_copies(cohort))
    (line,) = capsys.readouterr().out.splitlines()
    assert line.startswith(f"LOOK   {shut.relative_to(cohort.root)}: not settled (PermissionError")
    assert (shut.is_file(), other.is_file(), place(cohort, "birch").is_file()) == (True, False, True)


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone of a running program cannot be set here")
@pytest.mark.parametrize(("clock", "hour"), [(2, 0), (3, 2), (1, 23)])
def test_the_hour_that_a_packers_clock_goes_through_twice_is_the_earlier_one(clock, hour, monkeypatch):
    """Central Europe went from 3:00 back to 2:00 on 25 October 2026, 1:00 UTC (directive 2000/84/EC, from memory)."""
    with monkeypatch.context() as there:
        there.setenv("TZ", "Europe/Vienna")
        time.tzset()
        content = BytesIO(zipped({NAME: b"{}"}, when=(2026, 10, 25, clock, 30, 0)))
        (member,) = archives.Unpacking().members(content)
    time.tzset()
    assert (member.saved.hour, member.saved.minute) == (hour, 30)


@pytest.mark.parametrize("packed", [False, True])
def test_nothing_came_later_than_now_whatever_a_files_clock_says(packed, cohort, tmp_path):
    """A laptop whose clock is a week ahead would lose its learner a week of lateness."""
    content = answered(cohort, "amber")
    name, sent = ("x.zip", zipped({NAME: content}, when=(2040, 1, 1, 0, 0, 0))) if packed else ("x.ipynb", content)
    before = utc(time.time())
    filed = filing.file_all(cohort, [put(tmp_path / name, sent, time.time() + 7 * 24 * HOUR)])
    assert before <= arrival.handed_in(cohort, "amber", "profile") <= utc(time.time())
    (line,) = filed.unread
    assert "which is still to come; taken as come now" in line


def stopping_before(monkeypatch, step):
    """Let the step-th change of a file, from now on, end the program before it."""
    left = [step]

    def stops(change):
        def changing(*arguments, **named):
            left[0] -= 1
            if left[0] == 0:
                raise KeyboardInterrupt
            return change(*arguments, **named)

        return changing

    for name in ("replace", "utime", "fsync"):
        monkeypatch.setattr(os, name, stops(getattr(os, name)))


@pytest.mark.parametrize("step", range(1, 9))
def test_a_filing_cut_off_at_any_step_and_begun_again_knows_when_the_work_came(step, cohort, tmp_path, monkeypatch):
    """Yesterday's answers, and an earlier try of the day before, which they take the place of."""
    before = int(time.time()) - 48 * HOUR
    filing.file_all(cohort, [put(tmp_path / "first.ipynb", answered(cohort, "amber", "time_constant = 1.0"), before)])
    later = put(tmp_path / "later.ipynb", answered(cohort, "amber"), before + 24 * HOUR)
    another = put(tmp_path / "another.ipynb", answered(cohort, "birch"), before + 24 * HOUR)
    with monkeypatch.context() as patched, contextlib.suppress(KeyboardInterrupt):
        stopping_before(patched, step)
        filing.file_all(cohort, [later, another])
    filing.settle_copies(cohort)
    filing.file_all(cohort, [later, another])
    for learner, came in (("amber", later), ("birch", another)):
        assert place(cohort, learner).read_bytes() == came.read_bytes()
        assert changed(place(cohort, learner)) == changed(came) == arrival.handed_in(cohort, learner, "profile")
    (kept,) = (cohort.root / "submitted_before").rglob("*.ipynb")
    assert kept.read_bytes() == (tmp_path / "first.ipynb").read_bytes()


def test_what_is_filed_is_on_the_disk_before_it_is_told_and_what_it_replaces_before_that(cohort, tmp_path, monkeypatch):
    """After a power cut a file that was only renamed may be empty."""
    done = []
    sync, replace = os.fsync, os.replace
    monkeypatch.setattr(
        os, "fsync", lambda handle: [done.append(f"{Path(f'/dev/fd/{handle}').readlink()}"), sync(handle)]
    )
    monkeypatch.setattr(os, "replace", lambda half, path: [done.append(f"{path}"), replace(half, path)])
    monkeypatch.setattr(filing, "to_disk", lambda folder: done.append(f"all of {folder}"))
    for words in ("1.0", "2.0"):
        mine = put(tmp_path / f"{words}.ipynb", answered(cohort, "amber", f"time_constant = {words}"))
        filing.file_all(cohort, [mine])
        assert done[-1] == f"all of {cohort.root}"
    (kept,) = (cohort.root / "submitted_before").rglob("*.ipynb")
    asked = done.index(f"{kept.with_name(f'.writing-{kept.name}')}")
    assert asked < done.index(f"{kept}") < len(done) - 1 - done[::-1].index(f"{place(cohort)}")


def test_what_is_written_into_a_folder_can_be_seen_on_the_disk(tmp_path):
    files.to_disk(tmp_path)
    with pytest.raises(FileNotFoundError):
        files.to_disk(tmp_path / "gone")
