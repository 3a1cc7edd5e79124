"""Files that are there whole or not at all, and what they are known by."""

import contextlib
import ctypes
import errno
import hashlib
import io
import os
import sys
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import TextIO

HALF = ".writing-"
"""How the name of a file begins that is being written, or that a crash left half written."""


def digest(content: bytes) -> str:
    """Return what a file of these bytes is known by."""
    return hashlib.sha256(content).hexdigest()


@contextlib.contextmanager
def writing_whole(path: Path) -> Iterator[TextIO]:
    """Give a text file to write into, which takes its place once it is finished."""
    half = path.with_name(f"{HALF}{path.name}")
    path.parent.mkdir(parents=True, exist_ok=True)
    with half.open("w", encoding="utf-8", newline="") as file:
        yield file
    os.replace(half, path)


def write_whole(path: Path, content: str | bytes, changed: datetime | None = None, on_disk: bool = False) -> None:
    """Write a file so that it is there whole or not at all. What a crash left half written is written over.

    ``changed`` is when it was last changed, in UTC without saying so; without it is now. With ``on_disk`` its content
    is on the disk before it has its name, so that it is whole after a power cut too.
    """
    half = path.with_name(f"{HALF}{path.name}")
    whole = content.encode("utf-8") if isinstance(content, str) else content
    try:
        half.write_bytes(whole)
    except FileNotFoundError:
        path.parent.mkdir(parents=True, exist_ok=True)
        half.write_bytes(whole)
    if changed is not None:
        seconds = changed.replace(tzinfo=UTC).timestamp()
        os.utime(half, (seconds, seconds))
    if on_disk:
        with half.open("r+b") as file:
            os.fsync(file.fileno())
    os.replace(half, path)


def to_disk(folder: Path) -> None:
    """See on the disk whatever was written into a folder's file system: one wait, however many files."""
    if sys.platform == "linux":
        handle = os.open(folder, os.O_RDONLY)
        try:
            if not ctypes.CDLL(None, use_errno=True).syncfs(handle):
                return
            if ctypes.get_errno() != errno.ENOSYS:
                raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()), str(folder))
        finally:
            os.close(handle)
    if hasattr(os, "sync"):
        os.sync()


def zipped(files: dict[str, str]) -> bytes:
    """Return an archive of texts, the same bytes for the same files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name, (2020, 1, 1, 0, 0, 0)), files[name], zipfile.ZIP_DEFLATED)
    return out.getvalue()
