"""What is handed in is held to its seal, kept once, never displaced, and comes when it came."""

import json
import os
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest

from graders.classroom import hand_in
from graders.classroom.hand_in import Inbox, NotDone
from graders.cohort import arrival, clock
from graders.cohort.record import HandoutRecord
from graders.inbox import filing
from tests.graders.cohorts import set_in
from tests.graders.inbox.parcels import answered, handout, tarred, zipped

NOW = datetime(2026, 11, 1, 16, 30)


@pytest.fixture
def inbox(tmp_path):
    return Inbox(tmp_path / "inbox")


def parcel(cohort, learner, content):
    return hand_in.look(HandoutRecord(cohort.record), learner, BytesIO(content))


def kept(inbox, cohort, learner, content, now=NOW):
    return inbox.keep(learner, parcel(cohort, learner, content), now)


def one(cohort, words="time_constant = 5.0\n", learner="amber"):
    return zipped({"x.ipynb": answered(cohort, learner, words)})


@pytest.mark.parametrize("pack", [zipped, tarred, lambda members: tarred(members, "xz")])
def test_however_it_is_packed_the_notebook_is_kept_byte_for_byte(made, inbox, pack):
    work = answered(made, "amber")
    found = parcel(made, "amber", pack({"anything.ipynb": work}))
    assert list(found.notebooks.values()) == [work]
    assert [(taken.place, taken.answers) for taken in found.taken] == [("profile/bead-lag", 1)]


def test_an_archive_that_the_learners_own_packing_makes_is_kept_as_it_is(made, inbox):
    """So the digest of the receipt is that of the learner's file."""
    ours = zipped({"amber/profile/04_bead-lag.ipynb": answered(made, "amber")}, when=hand_in.EARLIEST)
    receipt = kept(inbox, made, "amber", ours).receipt
    assert (inbox.root / "amber" / receipt.file).read_bytes() == parcel(made, "amber", ours).archive()


@pytest.mark.parametrize("fuller", ["a.ipynb", "b.ipynb"])
def test_of_two_files_of_one_exercise_the_fuller_is_taken_and_the_other_named(fuller, made):
    files = dict.fromkeys(("a.ipynb", "b.ipynb"), handout(made, "amber")) | {fuller: answered(made, "amber")}
    found = parcel(made, "amber", zipped(files))
    assert list(found.notebooks.values()) == [files[fuller]]
    assert [taken.answers for taken in found.taken] == [1]
    (other,) = files.keys() - {fuller}
    assert found.refused == (f"{other} is one of two files of profile/bead-lag, and the other is taken",)


def test_marking_takes_the_moment_at_which_it_came_and_not_one_that_a_packer_wrote(fresh, inbox):
    """A learner's archive says yesterday; the service's clock says when."""
    for path in fresh.submitted("amber", "profile").glob("*"):
        path.unlink()
    now = clock.now().replace(microsecond=0) - timedelta(hours=2)
    early = zipped({"x.ipynb": answered(fresh, "amber")}, when=(now - timedelta(hours=20)).timetuple()[:6])
    kept(inbox, fresh, "amber", early, now)
    filed = filing.file_all(fresh, [inbox.root])
    assert (filed.filed, filed.unread, filed.quarantined) == (1, [], [])
    assert arrival.handed_in(fresh, "amber", "profile") == now


def test_each_time_is_a_file_of_its_own_and_the_same_is_none(made, inbox):
    first = kept(inbox, made, "amber", one(made))
    second = kept(inbox, made, "amber", one(made, "time_constant = 6.0\n"))
    again = kept(inbox, made, "amber", one(made), NOW + timedelta(days=1))
    assert (first.again, second.again, again.again) == (False, False, True)
    assert again.receipt == first.receipt
    assert len(list((inbox.root / "amber").glob("*.zip"))) == 2


def test_a_file_that_was_taken_out_of_the_inbox_is_taken_anew(made, inbox):
    receipt = kept(inbox, made, "amber", one(made)).receipt
    (inbox.root / "amber" / receipt.file).unlink()
    assert not kept(inbox, made, "amber", one(made), NOW + timedelta(minutes=1)).again


def test_a_name_that_is_taken_in_the_inbox_is_not_displaced(made, inbox):
    receipt = kept(inbox, made, "amber", one(made)).receipt
    path = inbox.root / "amber" / receipt.file
    path.write_bytes(b"somebody's")
    (path.parent / hand_in.RECEIPTS).unlink()
    with pytest.raises(FileExistsError):
        kept(inbox, made, "amber", one(made))
    assert path.read_bytes() == b"somebody's"
    assert [each.name for each in path.parent.glob(".coming-*")] == []


def test_a_receipt_that_a_crash_cut_off_costs_no_other(made, inbox):
    kept(inbox, made, "amber", one(made))
    receipts = inbox.root / "amber" / hand_in.RECEIPTS
    receipts.write_bytes(receipts.read_bytes() + b'{"when": "2026-')
    kept(inbox, made, "amber", one(made, "time_constant = 6.0\n"))
    assert len(inbox.receipts("amber")) == 2


def test_whoever_has_a_receipt_has_the_file_and_its_name_on_the_disk(made, inbox, monkeypatch):
    on_disk, fsync = {}, os.fsync

    def written(handle):
        path = Path(os.readlink(f"/proc/self/fd/{handle}"))
        on_disk[path.name] = set(os.listdir(path)) if path.is_dir() else path.read_bytes()
        fsync(handle)

    monkeypatch.setattr(os, "fsync", written)
    receipt = kept(inbox, made, "amber", one(made)).receipt
    assert on_disk[inbox.root.name] == {"amber"}
    assert on_disk["amber"] == {receipt.file, hand_in.RECEIPTS}
    folder = inbox.root / "amber"
    assert on_disk[hand_in.RECEIPTS] == (folder / hand_in.RECEIPTS).read_bytes()
    assert (folder / receipt.file).read_bytes() in on_disk.values()


def test_files_and_folders_are_their_owners_only(made, inbox):
    kept(inbox, made, "amber", one(made))
    modes = {path.name[:5]: path.stat().st_mode & 0o777 for path in inbox.root.rglob("*")}
    assert modes == {"amber": 0o600, ".rece": 0o600} | {"amber": modes["amber"]}
    assert (inbox.root / "amber").stat().st_mode & 0o777 == 0o700


def test_a_learner_who_hands_in_without_end_hears_how_long_to_wait_and_no_other_does(made, inbox):
    for number in range(hand_in.MOST_AN_HOUR):
        kept(inbox, made, "amber", one(made, f"time_constant = {number}.5\n"), NOW + timedelta(minutes=number))
    with pytest.raises(NotDone, match="hand in again in 30 minutes") as refused:
        kept(inbox, made, "amber", one(made, "time_constant = 99.5\n"), NOW + timedelta(minutes=30))
    assert refused.value.status == 429
    kept(inbox, made, "birch", one(made, learner="birch"), NOW + timedelta(minutes=30))
    kept(inbox, made, "amber", one(made, "time_constant = 99.5\n"), NOW + timedelta(minutes=61))


def test_a_receipt_says_what_is_late_and_what_was_fuller_before(fresh, inbox):
    set_in(fresh, "due = {}", "due = { profile = 2026-11-01T16:00:00Z }")
    full = kept(inbox, fresh, "amber", one(fresh))
    found = parcel(fresh, "amber", zipped({"x.ipynb": handout(fresh, "amber")}))
    said = hand_in.words(inbox.keep("amber", found, NOW), found, "amber", fresh.settings())
    assert "late, 1 day begun" in said
    assert "marking keeps the fuller file" in said
    assert "Without any answer: profile/bead-lag." in said
    first = hand_in.words(full, found, "amber", fresh.settings())
    assert "fuller" not in first


def test_a_receipt_is_one_line_of_plain_data(made, inbox):
    kept(inbox, made, "amber", one(made))
    (line,) = (inbox.root / "amber" / hand_in.RECEIPTS).read_text().splitlines()
    said = json.loads(line)
    assert said["taken"][0]["exercise"] == "bead-lag"
    assert len(said["digest"]) == 64
