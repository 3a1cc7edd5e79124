"""Put a backup back: into a new folder as it was, into a cohort that is there only what is lost there."""

import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path

from graders import gradebook
from graders.backup.safe_copy import SafeCopy
from graders.cohort import differences
from graders.cohort.paths import Cohort, only_here
from graders.cohort.record import HandoutRecord
from graders.gradebook import configuration, hand_copy
from graders.gradebook.manual_marks import ManualMark
from graders.marking import journal
from workbook.problems import Problem

BOOK, KEY, RECORD, JOURNAL, BY_HAND = "gradebook.db", "cohort.key", "record.jsonl", "marked.jsonl", "by_hand.jsonl"
ENTERED = "entered.jsonl"
GROWING = (RECORD, JOURNAL, ENTERED)
"""Files of which, of two of one cohort, the fuller one holds all that the other says."""
BEFORE = ".before-restore"
"""How the name of a damaged or wrong file ends that was moved aside."""


@dataclass
class PutBack:
    """What a restore did: files put back, files that stand though the backup has others, what was moved aside, and the
    places (learner, topic, exercise, part) of marks by hand that were put back.
    """

    files: list[str] = field(default_factory=list)
    stand: list[str] = field(default_factory=list)
    aside: list[str] = field(default_factory=list)
    by_hand: list[tuple[str, str, str, str]] = field(default_factory=list)
    must_mark: bool = False
    """Whether the gradebook is to be made again by the next marking."""


def restore(path: Path, root: Path) -> PutBack:
    """Put a backup back into a folder, whole where the folder is new; what is fuller there stands.

    Raises
    ------
    Problem
        Where the file is no backup, or damaged, or the folder is another cohort's or none's.
    """
    root = Path(os.path.abspath(root))
    with SafeCopy.opened(path) as copy:
        copy.verify()
        if not root.exists() or (root.is_dir() and not any(root.iterdir())):
            return _whole(copy, root)
        if not any((root / name).is_file() for name in (RECORD, KEY, "cohort.toml", JOURNAL, BOOK)):
            raise Problem(f"{root} is not empty and is no cohort's folder.", "name a new folder, or the cohort's own")
        cohort = Cohort(root)
        with cohort.locked():
            return _into(copy, cohort)


def _whole(copy: SafeCopy, root: Path) -> PutBack:
    """Build the folder beside its place and move it there once it is whole."""
    root.parent.mkdir(parents=True, exist_ok=True)
    building = root.with_name(f".{root.name}.restoring")
    lock = building.with_name(f"{building.name}.lock")
    with only_here(lock, f"{root} is being restored already."):
        shutil.rmtree(building, ignore_errors=True)
        building.mkdir(mode=0o700)
        for name in copy.entries:
            copy.put(name, building)
        configuration.bring_up_to_date(Cohort(building))
        if root.exists():
            root.rmdir()
        building.rename(root)
        lock.unlink()
    return PutBack(list(copy.entries), must_mark=BOOK not in copy.entries)


def _into(copy: SafeCopy, cohort: Cohort) -> PutBack:
    """Put back what is lost. The gradebook comes last: without it, the next run does the rest."""
    done = PutBack()
    _growing(copy, cohort, RECORD, done)
    _key(copy, cohort, done)
    _growing(copy, cohort, JOURNAL, done)
    _growing(copy, cohort, ENTERED, done)
    for name in copy.entries:
        if name in (BOOK, KEY, BY_HAND, *GROWING):
            continue
        if not (cohort.root / name).exists():
            _put(copy, cohort, name, done)
        elif not copy.is_as(name, cohort.root / name):
            done.stand.append(name)
    configuration.bring_up_to_date(cohort)
    _book(copy, cohort, done)
    return done


def _put(copy: SafeCopy, cohort: Cohort, name: str, done: PutBack) -> None:
    copy.put(name, cohort.root)
    done.files.append(name)


def _growing(copy: SafeCopy, cohort: Cohort, name: str, done: PutBack) -> None:
    """Put a file back that grows, where the cohort's is missing or the backup's is fuller."""
    kept, path = copy.read(name), cohort.root / name
    there = path.read_bytes() if path.is_file() else b""
    whole = there[: there.rfind(b"\n") + 1]  # a line that a crash cut off is none
    holds = journal.holds if name == JOURNAL else bytes.startswith
    if holds(there, kept):
        return
    if holds(kept, whole):
        _put(copy, cohort, name, done)
    elif name == RECORD:
        raise Problem(
            f"{cohort.root} was handed out otherwise than {copy.path} says; nothing was put back.",
            "restore it into a new folder and compare",
        )
    else:
        done.stand.append(name)


def _key(copy: SafeCopy, cohort: Cohort, done: PutBack) -> None:
    """Put the key back where the cohort's is missing or is not the one it was handed out with."""
    kept, path = copy.read(KEY), cohort.root / KEY
    there = path.read_bytes() if path.is_file() else None
    if not kept or there == kept:
        return
    record = HandoutRecord(cohort.record)
    if there is not None and _is_right(cohort, record):
        done.stand.append(KEY)
        return
    if there is not None:
        _aside(path, done)
    _put(copy, cohort, KEY, done)


def _is_right(cohort: Cohort, record: HandoutRecord) -> bool:
    try:
        differences.refuse_wrong_key(cohort, record)
    except Problem:
        return False
    return True


def _aside(path: Path, done: PutBack) -> None:
    """Move a damaged or wrong file aside, under a name that no other has."""
    number, aside = 1, path.with_name(path.name + BEFORE)
    while aside.exists():
        number += 1
        aside = path.with_name(f"{path.name}{BEFORE}-{number}")
    path.rename(aside)
    done.aside.append(aside.name)


def _book(copy: SafeCopy, cohort: Cohort, done: PutBack) -> None:
    """Put the gradebook back where it is lost, and the marks by hand that the cohort has not.

    A gradebook of the backup does not know what was marked since; then the next marking makes a new one.
    """
    if cohort.database.exists() and not (_is_sound(cohort.database) and gradebook.of(cohort).topics()):
        _aside(cohort.database, done)
    was_there = cohort.database.exists()
    if not was_there and BOOK in copy.entries and _is_the_same(copy.read(JOURNAL), _bytes(cohort.journal)):
        _put(copy, cohort, BOOK, done)
    kept, there = _marks_of(copy), hand_copy.read(cohort.by_hand)
    if not cohort.database.exists():
        done.must_mark = True
        done.by_hand = sorted(set(kept) - set(there))
        hand_copy.write(cohort, kept | there)
        return
    book = gradebook.of(cohort)
    now = book.by_hand()
    wanted = {place: _filled(now.get(place), mark) for place, mark in kept.items()} if was_there else kept | there
    lost = {place: mark for place, mark in wanted.items() if mark != now.get(place)}
    if lost:
        book.put_back(lost)
    done.by_hand = sorted(lost)
    hand_copy.keep(cohort, book)


def _is_the_same(one: bytes, other: bytes) -> bool:
    """Whether two journals say the same of every topic."""
    return journal.holds(one, other) and journal.holds(other, one)


def _bytes(path: Path) -> bytes:
    return path.read_bytes() if path.is_file() else b""


def _marks_of(copy: SafeCopy) -> hand_copy.Marks:
    """Return the marks by hand of a backup."""
    return hand_copy.parse(copy.read(BY_HAND), copy.path)


def _filled(now: ManualMark | None, then: ManualMark) -> ManualMark:
    """Return a mark by hand with what only the backup has of it; what the cohort has stands."""
    if now is None:
        return then
    if now.score is None and not now.extra:
        now = replace(now, score=then.score, extra=then.extra, asked=then.asked)
    return now if now.comment else replace(now, comment=then.comment)


def _is_sound(path: Path) -> bool:
    """Whether a file is a database that SQLite finds whole. One that another program holds is not damaged."""
    if not path.stat().st_size:
        return False
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as database:
            return database.execute("PRAGMA quick_check").fetchone() == ("ok",)
    except sqlite3.OperationalError:
        return True
    except sqlite3.DatabaseError:
        return False
