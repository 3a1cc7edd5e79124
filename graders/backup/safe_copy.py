"""A cohort in one file: everything that no command can make again, each file with its digest.

The last member is the list of all others: digest, size and time of change of each. What the list does not name, or
names otherwise than it is, is no backup.
"""

import contextlib
import hashlib
import json
import os
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from pathlib import Path, PurePosixPath, PureWindowsPath

from graders import gradebook
from graders.cohort.files import HALF
from graders.cohort.paths import Cohort
from graders.gradebook import hand_copy
from graders.marking import journal
from workbook.paths import resolved
from workbook.problems import Problem

LIST = "backup.json"
FORMAT = 1
MADE_AGAIN = ("report", "feedback_pages", "feedback", "mails", "paper")
"""Folders that `graders report`, `graders mails`, `graders paper` and nbgrader write from the rest."""
CHUNK = 1 << 20
NO_BACKUP = "give a file that graders backup wrote"
FAULTS = (zipfile.BadZipFile, zlib.error, EOFError, LookupError, TypeError, ValueError, AttributeError, ArithmeticError)
FAULTS += (RuntimeError,)  # a password, or a way of packing that zipfile does not know
"""What reading a damaged archive, or a list that is none, may raise."""


@dataclass(frozen=True)
class Entry:
    """One file of a backup: digest (SHA-256), size in bytes, and time of change in nanoseconds of Unix."""

    sha256: str
    size: int
    changed: int


@dataclass(frozen=True)
class BackedUp:
    """What a backup holds: how many files and bytes, and what was left out because it is no plain file."""

    files: int
    size: int
    left_out: tuple[str, ...]


def place(cohort: Cohort, wanted: Path | None, now: datetime) -> Path:
    """Return where a backup is written: the file wanted, or a dated one in the folder wanted or beside the cohort's.

    Raises
    ------
    Problem
        For a place inside the cohort's folder, which is lost with it, and for a file that is no older backup of it.
    """
    dated = f"{cohort.root.name}-{now:%Y-%m-%d-%H%M}.zip"
    path = Path(os.path.abspath(cohort.root.parent / dated if wanted is None else wanted))
    if path.is_dir():
        path /= dated
    if cohort.root in (path, *resolved(path).parents):
        raise Problem(f"{path} is in the cohort's own folder, and would be lost with it.", "name a file elsewhere")
    if not path.parent.is_dir():
        raise Problem(f"there is no folder {path.parent}.", "make it, or name a file elsewhere")
    if path.exists():
        _refuse_fuller(cohort, path)
    return path


def _refuse_fuller(cohort: Cohort, path: Path) -> None:
    """Raise Problem where a file holds what a new backup would not."""
    other = "give another name, or none, for a dated one"
    try:
        with SafeCopy.opened(path) as copy:
            for there, holds in ((cohort.record, bytes.startswith), (cohort.journal, journal.holds)):
                if not holds(there.read_bytes() if there.is_file() else b"", copy.read(there.name)):
                    raise Problem(f"{path} is a backup of another cohort, or a fuller one of this.", other)
    except Problem as problem:
        raise Problem(f"{path} is there already. {problem}", other) from None


def write(cohort: Cohort, path: Path) -> BackedUp:
    """Write a backup, read it back, and only then give it its name. It is for its owner only.

    The caller holds the cohort's lock. What a kill left of an earlier one is written over.

    Raises
    ------
    Problem
        Where the gradebook cannot be read, or a file changes meanwhile.
    """
    snapshot = cohort.root / ".gradebook.snapshot"
    half = path.with_name(f"{HALF}{path.name}")
    if cohort.database.is_file():
        book = gradebook.of(cohort)
        hand_copy.keep(cohort, book)
        book.snapshot(snapshot)
    try:
        with open(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
            entries, left_out = _pack(cohort, snapshot, file)
            file.flush()
            os.fsync(file.fileno())
        with SafeCopy.opened(half) as copy:
            copy.verify()
        os.replace(half, path)
    finally:
        for left in (snapshot, half):
            left.unlink(missing_ok=True)
    return BackedUp(len(entries), path.stat().st_size, tuple(left_out))


def _pack(cohort: Cohort, snapshot: Path, file) -> tuple[dict[str, Entry], list[str]]:
    entries, left_out = {}, []
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for source in _sources(cohort.root):
            name = source.relative_to(cohort.root).as_posix()
            if source.is_symlink() or not source.is_file() or not _is_inside(name):
                left_out.append(name)
            else:
                entries[name] = _add(archive, name, snapshot if source == cohort.database else source)
        text = {
            "backup": FORMAT,
            "version": version("rework-workbook"),
            "files": {name: vars(entry) for name, entry in entries.items()},
        }
        archive.writestr(zipfile.ZipInfo(LIST), json.dumps(text, ensure_ascii=False), zipfile.ZIP_DEFLATED)
    return entries, left_out


def _sources(root: Path) -> Iterator[Path]:
    """Yield, in order of their names, what is to be kept: files, and whatever else is no folder."""
    for folder, folders, names in os.walk(root):
        here = Path(folder)
        links = [name for name in folders if (here / name).is_symlink()]
        made_again = MADE_AGAIN if here == root else ()
        folders[:] = sorted(name for name in folders if not name.startswith(".") and name not in (*made_again, *links))
        yield from (here / name for name in sorted([*names, *links]) if not name.startswith("."))


def _add(archive: zipfile.ZipFile, name: str, source: Path) -> Entry:
    """Copy a file into the archive, and return what was copied."""
    digest, size, changed = hashlib.sha256(), 0, source.stat().st_mtime_ns
    with source.open("rb") as came, archive.open(zipfile.ZipInfo(name), "w", force_zip64=True) as kept:
        while piece := came.read(CHUNK):
            digest.update(piece)
            size += len(piece)
            kept.write(piece)
    return Entry(digest.hexdigest(), size, changed)


class SafeCopy:
    """A backup that is open for reading. ``entries`` is what it holds, by name."""

    def __init__(self, path: Path, archive: zipfile.ZipFile, entries: dict[str, Entry]):
        self.path, self._archive, self.entries = path, archive, entries

    @classmethod
    @contextlib.contextmanager
    def opened(cls, path: Path) -> Iterator["SafeCopy"]:
        """Open a backup, or raise Problem where the file is none."""
        if not path.is_file():
            raise Problem(f"{path} is no file.", NO_BACKUP)
        with contextlib.ExitStack() as stack:
            try:
                archive = stack.enter_context(zipfile.ZipFile(path))
                entries = _entries(archive)
            except FAULTS:
                raise Problem(f"{path} is no backup of a cohort, or is cut off.", NO_BACKUP) from None
            yield cls(path, archive, entries)

    def verify(self) -> None:
        """Read every file, and raise Problem where one is not what the list says."""
        for name in self.entries:
            for _ in self.pieces(name):
                pass

    def pieces(self, name: str) -> Iterator[bytes]:
        """Yield a file piece by piece, and raise Problem at its end where it is not what the list says."""
        entry, digest, size = self.entries[name], hashlib.sha256(), 0
        try:
            with self._archive.open(name) as file:
                while piece := file.read(CHUNK):
                    digest.update(piece)
                    size += len(piece)
                    if size > entry.size:
                        break
                    yield piece
        except FAULTS:
            raise Problem(f"{self.path} is damaged in {name}.", "take an earlier backup") from None
        if (digest.hexdigest(), size) != (entry.sha256, entry.size):
            raise Problem(f"{self.path} is damaged: {name} is not what was kept.", "take an earlier backup")

    def read(self, name: str) -> bytes:
        """Return a file whole; nothing where the backup has none of that name."""
        return b"".join(self.pieces(name)) if name in self.entries else b""

    def put(self, name: str, root: Path) -> None:
        """Put a file into a cohort's folder, whole and checked, with the time at which it was last changed."""
        path = root / name
        half = path.with_name(f"{HALF}{path.name}")
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
            for piece in self.pieces(name):
                file.write(piece)
        os.utime(half, ns=(self.entries[name].changed,) * 2)
        os.replace(half, path)

    def is_as(self, name: str, path: Path) -> bool:
        """Whether a file on the disk is what the backup holds."""
        entry = self.entries[name]
        if path.stat().st_size != entry.size:
            return False
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest() == entry.sha256


def _entries(archive: zipfile.ZipFile) -> dict[str, Entry]:
    """Return what the list of a backup says, or raise ValueError where it does not fit."""
    said = json.loads(archive.read(LIST))
    entries = {name: Entry(**fields) for name, fields in said["files"].items()}
    held = [name for name in archive.namelist() if name != LIST]
    sound = said["backup"] == FORMAT and sorted(held) == sorted(entries) and all(map(_is_inside, entries))
    if not sound or not all(
        isinstance(entry.size, int) and isinstance(entry.changed, int) for entry in entries.values()
    ):
        raise ValueError("no backup")
    return entries


def _is_inside(name: str) -> bool:
    """Whether a name can be written down, and leads to a place inside a cohort's folder on every machine.

    >>> [_is_inside(name) for name in ("held/a.ipynb", "../a", "/a", "a/../b", "C:a", ".key", "a\\\\b", "a\\udc80")]
    [True, False, False, False, False, False, False, False]
    """
    parts = PurePosixPath(name).parts
    written = not any(sign in name for sign in "\\\0") and not any("\ud800" <= sign <= "\udfff" for sign in name)
    inside = bool(parts) and not any(part.startswith((".", "/")) for part in parts)
    return written and inside and not PureWindowsPath(name).drive
