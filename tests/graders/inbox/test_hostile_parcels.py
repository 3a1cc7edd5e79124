"""Whatever is sent: one clear line, nothing lost, the others' work filed, and no memory or disk to speak of."""

import json
import os
import shutil
import subprocess
import sys
import tarfile
import time
import zipfile
from pathlib import Path

import pytest

from graders.cohort import arrival
from graders.cohort.paths import Cohort
from graders.inbox import archives, filing
from graders.marking import run as marking
from tests.graders.inbox.parcels import (
    NAME,
    PACKERS,
    altered,
    answered,
    cut_short,
    handout,
    locked,
    long_name_bomb,
    nested,
    patched,
    put,
    special,
    tarred,
    with_cell,
    zeros,
    zipped,
    zipped_at,
)
from workbook.terminal import printable

OLD, NOW = 1_600_000_000, 1_900_000_000
"""Before the cohort was made, and after: seconds of Unix."""


@pytest.fixture
def cohort(fresh) -> Cohort:
    """A cohort in which amber has handed in one answered notebook, some time ago."""
    shutil.rmtree(fresh.root / "submitted")
    put(place(fresh), answered(fresh, "amber", "time_constant = 1.0\n"), int(time.time()) - 1_000)
    return fresh


def place(cohort, learner="amber", notebook="04_bead-lag"):
    return cohort.submitted(learner, "profile") / f"{notebook}.ipynb"


def good(cohort):
    return answered(cohort, "amber")


def cut(content, share=0.5):
    return content[: int(len(content) * share)]


def pk(name, content):
    return zipped({name: content})


def raw(cohort, text):
    return good(cohort).replace(b'"seal": "', b'"seal": "' + text)


# What is sent (a name, and bytes made from the cohort), what becomes of it, and words of the line.
SENT = {
    # names
    "a name that is not UTF-8": (b"r\xe9sum\xe9.ipynb", good, "replaced", "by"),
    "a name that clears the screen": ("a\x1b[2Jb.ipynb", lambda c: b"{}", "quarantined", "no notebook"),
    "a name of two lines": ("a\nFILED everything.ipynb", lambda c: b"", "quarantined", "is empty"),
    "a name written backwards": ("a\u202egpj.ipynb", lambda c: b"[]", "quarantined", "no notebook"),
    "a member's name that rings": ("x.zip", lambda c: pk("\x07\x1b]0;t\x07.ipynb", b"{}"), "quarantined", "notebook"),
    "a member's name of 60,000 letters": (
        "x.zip",
        lambda c: pk("a" * 60_000 + ".ipynb", b"{}"),
        "quarantined",
        "no notebook",
    ),
    "a member's name that leads out": ("x.zip", lambda c: pk("../../../x.ipynb", b"{}"), "quarantined", "no notebook"),
    "a member's name with a nought": ("x.tar", lambda c: tarred({"a\0b.ipynb": b"{}"}), "others", "x.tar"),
    "a member of an absolute name": ("x.tar", lambda c: tarred({"/etc/x.ipynb": b"{}"}), "quarantined", "no notebook"),
    "another's folder": (f"birch/{NAME}", good, "quarantined", "came from birch and is sealed as amber's"),
    "two names on the way": (f"amber/birch/{NAME}", good, "quarantined", "names amber and birch"),
    "two names, her own innermost": (f"birch/amber/{NAME}", good, "quarantined", "names birch and amber"),
    "his folder in her archive": (
        "amber.zip",
        lambda c: pk(f"birch/{NAME}", answered(c, "birch")),
        "quarantined",
        "names amber and birch",
    ),
    "his archive in her archive": (
        "amber_late_1.zip",
        lambda c: pk("birch.zip", pk(NAME, answered(c, "birch"))),
        "quarantined",
        "names amber and birch",
    ),
    "her own folder in his archive, last names his": (
        "x.zip",
        lambda c: pk("birch/amber/cedar_x.ipynb", good(c)),
        "quarantined",
        "names birch and amber and cedar",
    ),
    "back slashes name another": ("x.zip", lambda c: pk("birch\\x.ipynb", good(c)), "quarantined", "came from birch"),
    # what a notebook says of itself
    "a lone surrogate for a learner": ("x.ipynb", lambda c: altered(good(c), learner="\ud800"), "quarantined", "seal"),
    "a lone surrogate for a seal": ("x.ipynb", lambda c: altered(good(c), seal="\udfff" * 9), "quarantined", "no seal"),
    "a lone surrogate beside the seal": ("x.ipynb", lambda c: altered(good(c), more="\ud800"), "replaced", "by"),
    "a lone surrogate for an exercise": (
        "x.ipynb",
        lambda c: altered(good(c), exercise="\udc80"),
        "quarantined",
        "seal",
    ),
    "a list for a topic": ("x.ipynb", lambda c: altered(good(c), topic=["profile"]), "quarantined", "no seal"),
    "a way for a learner": ("x.ipynb", lambda c: altered(good(c), learner="../birch"), "quarantined", "not handed out"),
    "a learner of a megabyte": ("x.ipynb", lambda c: altered(good(c), learner="a" * 10**6), "quarantined", "no seal"),
    "another learner": ("x.ipynb", lambda c: altered(good(c), learner="birch"), "quarantined", "is not the one"),
    "a longer seal": ("x.ipynb", lambda c: raw(c, b"00"), "quarantined", "is not the one of amber's"),
    "metadata that is a list": ("x.ipynb", lambda c: b'{"nbformat":4,"cells":[],"metadata":[]}', "quarantined", "seal"),
    "a lone surrogate in an answer": ("x.ipynb", lambda c: answered(c, "amber", "a = '\ud800'"), "replaced", "by"),
    "a lone surrogate for a cell's id": ("x.ipynb", lambda c: with_cell(good(c), id="\ud800"), "replaced", "by"),
    "a lone surrogate for a grade": (
        "x.ipynb",
        lambda c: with_cell(good(c), metadata={"nbgrader": {"grade_id": "\ud800"}}),
        "replaced",
        "by",
    ),
    "a cell that is a number": ("x.ipynb", lambda c: with_cell(good(c), cell_type=7), "quarantined", "is no cell"),
    # texts that are no notebooks
    "UTF-16": ("x.ipynb", lambda c: good(c).decode().encode("utf-16"), "quarantined", "is not UTF-8 text"),
    "cut off": ("x.ipynb", lambda c: cut(good(c)), "quarantined", "is cut off"),
    "brackets 100,000 deep": ("x.ipynb", lambda c: b"[" * 100_000, "quarantined", "is cut off or is no notebook"),
    "two million lists": ("x.ipynb", lambda c: b"[" + b"[]," * 2_000_000 + b"0]", "quarantined", "far more in it"),
    "a number of 10,000 digits": ("x.ipynb", lambda c: b'{"nbformat": ' + b"4" * 10_000 + b"}", "quarantined", "JSON"),
    "nothing but noughts": ("x.ipynb", lambda c: b"\0" * 5_000, "quarantined", "not valid JSON"),
    "an old format": ("x.ipynb", lambda c: b'{"nbformat": 3, "worksheets": []}', "quarantined", "an old format"),
    "a page that says sign in": ("x.ipynb", lambda c: b"<html>sign in</html>", "quarantined", "no notebook"),
    "20 MB of letters": ("x.ipynb", lambda c: b"a" * 20_000_001, "unread", "is too large (more than 20 MB)"),
    # archives that are damaged or strange
    "a zip cut off": ("x.zip", lambda c: cut(pk(NAME, good(c))), "unread", "is damaged"),
    "a zip that is a page": ("x.zip", lambda c: b"<html>not found</html>", "unread", "is damaged"),
    "an empty zip file": ("x.zip", lambda c: b"", "unread", "is damaged"),
    "a zip with another check sum": (
        "x.zip",
        lambda c: patched(pk(NAME, good(c)), b"PK\x01\x02", 16, b"\0\0\0\0"),
        "unread",
        "Bad CRC",
    ),
    "a zip packed with LZMA": (
        "x.zip",
        lambda c: zipped({NAME: good(c)}, zipfile.ZIP_LZMA),
        "unread",
        "unusual way: pack it again",
    ),
    "a zip packed with bz2": ("x.zip", lambda c: zipped({NAME: good(c)}, zipfile.ZIP_BZIP2), "unread", "unusual way"),
    "a zip with a packing that is not there": (
        "x.zip",
        lambda c: patched(patched(pk(NAME, good(c)), b"PK\x01\x02", 10, b"\x63"), b"PK\x03\x04", 8, b"\x63"),
        "unread",
        "unusual way",
    ),
    "a zip with a password": ("x.zip", lambda c: locked(pk(NAME, good(c))), "unread", "is locked with a password"),
    "a zip that says its contents are elsewhere": (
        "x.zip",
        lambda c: patched(pk(NAME, good(c)), b"PK\x05\x06", 16, b"\xff\xff\xff\x7f"),
        "unread",
        "is damaged",
    ),
    "a zip saved in a month 15": (
        "x.zip",
        lambda c: patched(pk(NAME, good(c)), b"PK\x01\x02", 14, b"\xff\xff"),
        "replaced",
        "by",
    ),
    "a tar cut off": ("x.tar", lambda c: cut(tarred({NAME: good(c)}), 0.3), "unread", "is damaged"),
    "a tar.gz cut off": ("x.tar.gz", lambda c: cut(tarred({NAME: good(c)}, "gz")), "unread", "is damaged"),
    "a tar.bz2 cut off": ("x.tar.bz2", lambda c: cut(tarred({NAME: good(c)}, "bz2")), "unread", "is damaged"),
    "a tar.xz cut off": ("x.tar.xz", lambda c: cut(tarred({NAME: good(c)}, "xz")), "unread", "is damaged"),
    "a tar.gz of a text": ("x.tar.gz", lambda c: PACKERS["gz"](b"hello" * 500), "unread", "is damaged"),
    "a tar damaged after the first member": (
        "x.tar",
        lambda c: tarred({"read.txt": b"x"})[:1024] + b"\xff" * 4096,
        "unread",
        "is damaged",
    ),
    "a tar of a link to a secret": (
        "x.tar",
        lambda c: special(tarfile.SYMTYPE, linkname="/etc/passwd"),
        "others",
        "x.tar",
    ),
    "a tar of a hard link": ("x.tar", lambda c: special(tarfile.LNKTYPE, linkname="../x"), "others", "x.tar"),
    "a tar of a device": ("x.tar", lambda c: special(tarfile.CHRTYPE, devmajor=1, devminor=5), "others", "x.tar"),
    "a tar of a pipe": ("x.tar", lambda c: special(tarfile.FIFOTYPE), "others", "x.tar"),
    "a tar whose member says 8 GB": ("x.tar", lambda c: cut_short(8 * 10**9), "unread", "damaged"),
    "a tar whose times are past all years": (
        "x.tar",
        lambda c: tarred({NAME: good(c)}, when=2**62),
        "replaced",
        "by",
    ),
    "a locked archive in an archive": (
        "x.zip",
        lambda c: pk("in.zip", locked(pk(NAME, good(c)))),
        "unread",
        "password",
    ),
    "packed thrice": ("x.zip", lambda c: nested(good(c), 3), "unread", "is packed too deep"),
    "packed nine times": ("x.zip", lambda c: nested(good(c), 9), "unread", "is packed too deep"),
    "a rar": ("x.rar", lambda c: b"Rar!\x1a\x07\x01\x00", "others", "x.rar"),
    "a rar called a zip": ("x.zip", lambda c: b"Rar!\x1a\x07\x01\x00", "unread", "is damaged"),
    # work that must not displace work
    "a blank handout": ("x.ipynb", lambda c: handout(c, "amber"), "aside", "has no answers"),
    "a blank handout in an archive": ("x.zip", lambda c: pk(NAME, handout(c, "amber")), "aside", "has no answers"),
    "a blank whose cells are emptied": ("x.ipynb", lambda c: answered(c, "amber", " \n"), "aside", "has no answers"),
    # times of members
    "a member of last century": (
        "x.zip",
        lambda c: zipped({NAME: good(c)}, when=(1980, 1, 1, 0, 0, 0)),
        "replaced",
        "by",
    ),
    "a member of the year 2100": (
        "x.zip",
        lambda c: zipped({NAME: good(c)}, when=(2100, 1, 1, 0, 0, 0)),
        "replaced",
        "by",
    ),
    "a member of before Unix": ("x.zip", lambda c: zipped_at(NAME, good(c), -(2**31)), "replaced", "by"),
}


def send(cohort, tmp_path, name, content):
    """Put one thing into an inbox, with an honest learner's file before it and one after it; file it all."""
    inbox = tmp_path / "inbox"
    put(inbox / "a-sibling.ipynb", answered(cohort, "cedar"))
    put(inbox / "zz-sibling.zip", zipped({NAME: answered(cohort, "dahlia")}))
    put(inbox / (os.fsdecode(name)), content)
    return filing.file_all(cohort, [inbox])


def lines(filed):
    """Return every line that is told, by what it tells."""
    told = ("quarantined", "aside", "replaced", "unread", "others", "late")
    return {name: getattr(filed, name) for name in told if getattr(filed, name)}


@pytest.mark.parametrize("what", SENT)
def test_whatever_is_sent_is_one_line_and_costs_itself_only(what, cohort, tmp_path):
    name, made, becomes, words = SENT[what]
    before = place(cohort).read_bytes()
    filed = send(cohort, tmp_path, name, made(cohort))
    assert list(lines(filed)) == [becomes]
    (line,) = lines(filed)[becomes]
    assert words in line
    assert printable(line).isprintable()
    assert len(line) < 1_500
    assert place(cohort, "cedar").read_bytes() == answered(cohort, "cedar")
    assert place(cohort, "dahlia").read_bytes() == answered(cohort, "dahlia")
    kept = [path.read_bytes() for path in (cohort.root / "submitted_before").rglob("*.ipynb")]
    assert (place(cohort).read_bytes() == before) == (becomes != "replaced")
    assert before in (kept if becomes == "replaced" else [place(cohort).read_bytes()])
    assert not place(cohort, "birch").exists()


def test_one_broken_member_leaves_the_rest_of_a_class_in_the_archive(cohort, tmp_path):
    members = {f"{who}.zip": pk(NAME, answered(cohort, who)) for who in ("birch", "cedar", "elder")}
    members["dahlia.zip"] = cut(pk(NAME, answered(cohort, "dahlia")))
    members["fern.zip"] = locked(pk(NAME, answered(cohort, "fern")))
    filed = filing.file_all(cohort, [put(tmp_path / "all.zip", zipped(members))])
    assert filed.filed == 3
    (line,) = filed.unread
    assert "dahlia.zip: is damaged" in line
    assert "and 1 more" in line


def test_pipes_devices_and_links_in_an_inbox_are_neither_waited_for_nor_followed(cohort, tmp_path):
    inbox = put(tmp_path / "inbox" / "a.ipynb", answered(cohort, "cedar")).parent
    os.mkfifo(inbox / "pipe.ipynb")
    (inbox / "zero.ipynb").symlink_to("/dev/zero")
    (inbox / "round").symlink_to(inbox)
    filed = filing.file_all(cohort, [inbox])
    assert filed.filed == 1
    assert len(filed.unread) == 3


@pytest.mark.parametrize("kind", ["pipe", "link to a device", "huge", "folder", "rubbish", "a year past all years"])
def test_a_strange_timestamp_is_no_time_and_stops_nobody(kind, cohort):
    path = place(cohort).with_name("timestamp.txt")
    texts = {
        "huge": b"2026-03-02" * 10_000_000,
        "rubbish": b"\xff\x00",
        "a year past all years": b"9999-12-31 23:59 -23",
    }
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "link to a device":
        path.symlink_to("/dev/zero")
    elif kind == "folder":
        path.mkdir()
    else:
        path.write_bytes(texts[kind])
    assert arrival.handed_in(cohort, "amber", "profile") is None


def test_names_that_are_not_utf_8_in_a_learners_own_folder_stop_no_marking(cohort, pool):
    put(place(cohort).parent / os.fsdecode(b"r\xe9sum\xe9.ipynb"), b"{}")
    put(place(cohort, "cedar"), altered(answered(cohort, "cedar"), more="\ud800"))
    summary = marking.mark(cohort, pool)
    assert {learner for learner, _ in summary.marked} == {"amber", "cedar"}
    assert any("was not handed out" in problem for problem in summary.problems)


WITHIN = """
import json, re, sys
from pathlib import Path
from graders.cohort.paths import Cohort
from graders.inbox import filing

def peak():
    '''Return the most memory this process ever had, in MB: its own, not what a parent had before it began.'''
    return int(re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())[1]) / 1e3

cohort = Cohort.open(Path(sys.argv[1]))
before = peak()
filed = filing.file_all(cohort, [Path(sys.argv[2])])
print(json.dumps([peak() - before, filed.filed, filed.quarantined, filed.unread]))
"""

BOMBS = {
    "a name of 800 MB": ("x.tar.gz", lambda c: long_name_bomb(800_000_000), 20, "a header that is far too large"),
    "one member of 300 MB": ("x.zip", lambda c: zeros(300_000_000), 60, "is too large (more than 20 MB)"),
    "a bomb in an archive in an archive": (
        "x.zip",
        lambda c: pk("in.zip", zeros(300_000_000)),
        60,
        "is too large (more than 20 MB)",
    ),
    "an archive of 300 MB in an archive": (
        "x.zip",
        lambda c: zeros(300_000_000, "in.zip"),
        150,
        "is too large (more than 60 MB)",
    ),
    "sixty members of 15 MB": (
        "x.zip",
        lambda c: zipped({f"{n}.ipynb": b"0" * 15_000_000 for n in range(60)}),
        150,
        "it unpacks to too much",
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("what", BOMBS)
def test_bombs_cost_little_memory_and_no_disk(what, cohort, tmp_path):
    name, made, megabytes, words = BOMBS[what]
    put(tmp_path / "inbox" / "a.ipynb", answered(cohort, "cedar"))
    put(tmp_path / "inbox" / name, made(cohort))
    put(tmp_path / "inbox" / "z.ipynb", answered(cohort, "dahlia"))
    out = subprocess.run(
        [sys.executable, "-c", WITHIN, cohort.root, tmp_path / "inbox"],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    peak, filed, quarantined, unread = json.loads(out.stdout)
    print(f"{what}: {peak:.0f} MB more at its peak")
    assert peak < megabytes
    assert filed == 2
    (line,) = unread
    assert words in line
    kept = sum(path.stat().st_size for path in Path(cohort.root / "held").rglob("*"))
    assert kept < 1_000_000, quarantined


def test_an_archive_of_too_many_files_is_one_line(tmp_path):
    unpacking = archives.Unpacking(members_left=3)
    with put(tmp_path / "x.zip", zipped({f"{n}.ipynb": b"{}" for n in range(9)})).open("rb") as file:
        assert len(list(unpacking.members(file))) == 3
    (line,) = unpacking.failed
    assert "too much" in line
