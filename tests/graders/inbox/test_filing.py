"""Submissions are filed by their seal, however they come; what cannot be placed for certain is set aside and said."""

import io
import json
import os
import shutil
import tarfile
import zipfile

import pytest

from graders.cohort.paths import Cohort
from graders.inbox import filing


@pytest.fixture
def cohort(fresh) -> Cohort:
    """A cohort nothing was filed in yet."""
    shutil.rmtree(fresh.root / "submitted")
    return fresh


def sent(cohort, learner, notebook="04_bead-lag"):
    """Return the bytes of a learner's handout, as if sent back unanswered."""
    return (cohort.handout(learner) / "profile" / f"{notebook}.ipynb").read_bytes()


def place(cohort, learner, notebook="04_bead-lag"):
    return cohort.submitted(learner, "profile") / f"{notebook}.ipynb"


def write(path, content):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return path


def zipped(members):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return out.getvalue()


@pytest.mark.parametrize(
    "name",
    ["amber/04_bead-lag.ipynb", "amber_late_18211_04_bead-lag (2).ipynb", "04_bead-lag.ipynb", "anything at all.ipynb"]
    + ["04_bead-lag.ipynb.txt", "04_bead-lag.json", "04_BEAD-LAG.IPYNB"],
)
def test_a_notebook_is_filed_by_its_seal_whatever_its_name(name, cohort, tmp_path):
    write(tmp_path / "inbox" / name, sent(cohort, "amber"))
    filed = filing.file_all(cohort, [tmp_path / "inbox"])
    assert (filed.filed, filed.quarantined) == (1, [])
    assert place(cohort, "amber").read_bytes() == sent(cohort, "amber")


def test_archives_and_packed_files_are_opened(cohort, tmp_path):
    write(tmp_path / "in" / "a.zip", zipped({"x/04.ipynb": sent(cohort, "amber"), "readme.txt": b"hello"}))
    with tarfile.open(tmp_path / "in" / "b.tar.gz", "w:gz") as archive:
        content = sent(cohort, "birch")
        info = tarfile.TarInfo("deep/er/nb.ipynb")
        info.size = len(content)
        archive.addfile(info, io.BytesIO(content))
    assert filing.file_all(cohort, [tmp_path / "in"]).filed == 2
    assert place(cohort, "amber").is_file()
    assert place(cohort, "birch").is_file()


def test_the_same_file_twice_is_known_and_a_later_one_replaces_it_and_both_are_kept(cohort, tmp_path):
    first = sent(cohort, "amber")
    later = first.replace(b"Check my answers", b"Check  my answers")
    inbox = tmp_path / "inbox" / "x.ipynb"
    write(inbox, first)
    filing.file_all(cohort, [inbox])
    assert filing.file_all(cohort, [inbox]).known == 1
    write(inbox, later)
    filing.file_all(cohort, [inbox])
    assert place(cohort, "amber").read_bytes() == later
    (before,) = (cohort.root / "submitted_before" / "amber" / "profile").iterdir()
    assert before.read_bytes() == first


def test_an_older_file_that_comes_late_is_kept_and_replaces_nothing(cohort, tmp_path):
    newer = write(tmp_path / "in" / "a.ipynb", sent(cohort, "amber").replace(b"Check my answers", b"Check  my answers"))
    older = write(tmp_path / "in" / "b.ipynb", sent(cohort, "amber"))
    os.utime(newer, (2_000_000_000, 2_000_000_000))
    os.utime(older, (1_900_000_000, 1_900_000_000))
    for again in range(2):
        filed = filing.file_all(cohort, [tmp_path / "in"])
        assert (filed.filed, filed.known, len(filed.aside)) == ((0, 2, 0) if again else (1, 0, 1))
        assert place(cohort, "amber").read_bytes() == newer.read_bytes()
    (before,) = (cohort.root / "submitted_before" / "amber" / "profile").iterdir()
    assert before.read_bytes() == older.read_bytes()


def test_archives_in_an_archive_are_opened_and_name_their_sender(cohort, tmp_path):
    packed = zipped({"profile/04.ipynb": sent(cohort, "amber")})
    write(tmp_path / "all.zip", zipped({"amber.zip": packed, "birch/work.zip": packed}))
    filed = filing.file_all(cohort, [tmp_path / "all.zip"])
    assert filed.filed == 1
    (line,) = filed.quarantined
    assert "came from birch and is sealed as amber's" in line


def test_shadows_and_checkpoints_in_an_archive_are_not_taken_for_work(cohort, tmp_path):
    shadows = {"__MACOSX/._04.ipynb": b"\x00\x05\x16\x07", ".ipynb_checkpoints/04-checkpoint.ipynb": b"{}"}
    write(tmp_path / "a.zip", zipped({"04.ipynb": sent(cohort, "amber"), **shadows}))
    filed = filing.file_all(cohort, [tmp_path / "a.zip"])
    assert (filed.filed, filed.quarantined, filed.others) == (1, [], [])


def test_what_is_no_notebook_is_named_and_left_where_it_is(cohort, tmp_path):
    names = ("answers.pdf", "photo.zip", "report.docx")
    for name, content in zip(
        names, (b"%PDF", zipped({"a.png": b"x"}), zipped({"word/document.xml": b"x"})), strict=True
    ):
        write(tmp_path / "in" / name, content)
    write(tmp_path / "in" / "timestamp.txt", b"2026-03-02 14:05:00 UTC")
    filed = filing.file_all(cohort, [tmp_path / "in"])
    assert sorted(filed.others) == sorted(str(tmp_path / "in" / name) for name in names)
    assert (filed.filed, filed.known, filed.quarantined, filed.unread) == (0, 0, [], [])


def altered(content, **changes):
    notebook = json.loads(content)
    notebook["metadata"]["rework_workbook"].update(changes)
    return json.dumps(notebook).encode()


QUARANTINED = {
    "another's handout": lambda c: ("birch/x.ipynb", sent(c, "amber"), "came from birch and is sealed as amber's"),
    "another's by name": lambda c: ("birch_x.ipynb", sent(c, "amber"), "came from birch and is sealed as amber's"),
    "seal altered": lambda c: ("x.ipynb", altered(sent(c, "amber"), seal="0" * 32), "a seal that is not the one"),
    "learner altered": lambda c: ("x.ipynb", altered(sent(c, "amber"), learner="birch"), "a seal that is not the one"),
    "unknown learner": lambda c: ("x.ipynb", altered(sent(c, "amber"), learner="zoe"), "not handed out by this cohort"),
    "path for a learner": lambda c: ("x.ipynb", altered(sent(c, "amber"), learner="../.."), "not handed out"),
    "learner no text": lambda c: ("x.ipynb", altered(sent(c, "amber"), learner=["amber"]), "no seal"),
    "no seal": lambda c: ("x.ipynb", b'{"nbformat": 4, "cells": [], "metadata": {}}', "no seal"),
    "empty": lambda c: ("x.ipynb", b"", "is empty"),
    "cut off": lambda c: ("x.ipynb", sent(c, "amber")[:500], "cut off"),
    "broken archive": lambda c: ("x.zip", zipped({"a.ipynb": sent(c, "amber")})[:-30] + b"PK\5\6" + b"\0" * 18, ""),
}


@pytest.mark.parametrize("kind", QUARANTINED)
def test_what_cannot_be_placed_for_certain_is_set_aside_and_said_and_replaces_nothing(kind, cohort, tmp_path):
    name, content, words = QUARANTINED[kind](cohort)
    write(place(cohort, "amber"), b"what amber sent before")
    write(place(cohort, "birch"), b"what birch sent before")
    write(tmp_path / "inbox" / name, content)
    filed = filing.file_all(cohort, [tmp_path / "inbox"])
    assert filed.filed == 0
    if words:
        (line,) = filed.quarantined
        assert words in line
        assert "\n" not in line
        (kept,) = (cohort.root / "held").iterdir()
        assert kept.read_bytes() == content
    assert place(cohort, "amber").read_bytes() == b"what amber sent before"
    assert place(cohort, "birch").read_bytes() == b"what birch sent before"


def test_names_in_an_archive_lead_nowhere(cohort, tmp_path):
    names = ("../../../../escaped.ipynb", "/tmp/escaped.ipynb", "..\\escaped.ipynb")
    write(tmp_path / "in" / "x.zip", zipped(dict.fromkeys(names, b"{}")))
    before = {path for path in tmp_path.rglob("*") if cohort.root not in path.parents and path != cohort.root}
    filed = filing.file_all(cohort, [tmp_path / "in"])
    assert len(filed.quarantined) == 3
    after = {path for path in tmp_path.rglob("*") if cohort.root not in path.parents and path != cohort.root}
    assert after == before
    assert all(path.parent == cohort.root / "held" for path in (cohort.root / "held").rglob("*"))


def test_links_are_not_followed(cohort, tmp_path):
    secret = write(tmp_path / "secret.ipynb", sent(cohort, "amber"))
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "x.ipynb").symlink_to(secret)
    filed = filing.file_all(cohort, [tmp_path / "in"])
    assert filed.filed == 0
    assert "is a link" in filed.unread[0]


def test_an_archive_that_unpacks_to_too_much_is_one_line(cohort, tmp_path, monkeypatch):
    monkeypatch.setattr(filing.submission, "MOST_BYTES", 10_000)
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("x.ipynb", b"0" * 10_000_000)
    write(tmp_path / "in.zip", bomb.getvalue())
    (line,) = filing.file_all(cohort, [tmp_path / "in.zip"]).unread
    assert "x.ipynb: is too large" in line
