"""A learner's own progress: one small local file of lines that are only ever added.

Each line is one thing done, as JSON. Nothing is computed into the file, so nothing in it can go stale, and a line that
was cut off by a crash or damaged since costs that line only: it is set aside, said once, and the rest is kept.
"""

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock, Timeout
from platformdirs import user_data_path

KINDS = ("check", "practice")


@dataclass(frozen=True)
class Event:
    """One thing done: a check of a notebook, or one practice question answered.

    ``what`` holds the rest: for a check ``numbers``, ``points`` and ``out_of``; for practice ``part`` and ``grade``.
    """

    kind: str
    topic: str
    exercise: str
    at: datetime
    what: dict = field(default_factory=dict)


def file() -> Path:
    """Return where progress is kept: in the user's own data folder."""
    return user_data_path("rework-workbook", appauthor=False) / "progress.jsonl"


def numbers(givens_cell: str) -> str:
    """Return a short word for the numbers of a notebook, so that a check is never counted for other numbers."""
    return hashlib.sha256("".join(givens_cell.split()).encode()).hexdigest()[:12]


def add(event: Event, path: Path | None = None) -> None:
    """Write one event down. Where the file cannot be written, nothing is kept and nothing else suffers."""
    path = path or file()
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        with _locked(path), path.open("a+b") as out:
            out.seek(0, os.SEEK_END)
            if out.tell() and _last_byte(out) != b"\n":  # a line cut off by a crash must not swallow this one
                out.write(b"\n")
            out.write(_line(event).encode())
            out.flush()
            os.fsync(out.fileno())


def _last_byte(out) -> bytes:
    out.seek(-1, os.SEEK_END)
    return out.read(1)


def _line(event: Event) -> str:
    fields = asdict(event) | {"at": event.at.astimezone(UTC).isoformat(timespec="seconds")}
    return json.dumps(fields, ensure_ascii=False, sort_keys=True) + "\n"


@dataclass(frozen=True)
class Progress:
    """What was done, oldest first, and what has to be said about the file."""

    events: tuple[Event, ...] = ()
    said: str = ""


def read(path: Path | None = None) -> Progress:
    """Read what was done. Damaged lines are set aside into a file of their own, which is named."""
    path = path or file()
    try:
        with _locked(path):
            lines = path.read_bytes().splitlines()
            events, damaged = [], []
            for line in filter(bytes.strip, lines):
                event = _event(line)
                events.append(event) if event else damaged.append(line)
            said = _set_aside(path, events, damaged) if damaged else ""
    except FileNotFoundError:
        return Progress()
    except OSError as error:
        return Progress(said=f"Your progress file cannot be read ({error.strerror}): {path}. You can go on without it.")
    return Progress(tuple(sorted(events, key=lambda event: event.at)), said)


def _event(line: bytes) -> Event | None:
    """Return the event a line holds, or None where it is damaged."""
    try:
        fields = json.loads(line)
        event = Event(**{**fields, "at": datetime.fromisoformat(fields["at"])})
    except (ValueError, TypeError, KeyError):
        return None
    whole = event.kind in KINDS and isinstance(event.what, dict) and event.at.tzinfo is not None
    return event if whole and isinstance(event.topic, str) and isinstance(event.exercise, str) else None


def _set_aside(path: Path, events: list[Event], damaged: list[bytes]) -> str:
    """Keep the damaged lines in a file of their own, and the others in a file that is written whole."""
    aside = _free_name(path)
    aside.write_bytes(b"\n".join(damaged) + b"\n")
    whole = path.with_suffix(".writing")
    whole.write_bytes("".join(_line(event) for event in events).encode())
    os.replace(whole, path)
    lines = "One line" if len(damaged) == 1 else f"{len(damaged)} lines"
    return f"{lines} of your progress file could not be read and was set aside in {aside}. Everything else is kept."


def _free_name(path: Path) -> Path:
    number = 1
    while (aside := path.with_name(f"{path.stem}-damaged-{number}.txt")).exists():
        number += 1
    return aside


@contextlib.contextmanager
def _locked(path: Path) -> Iterator[None]:
    """Hold the file's lock, so that two open notebooks write one after the other.

    The lock is a file beside it, because Windows replaces no file that is open. Where a file system knows no locks, or
    another holds it longer than a write takes, the work goes on without.
    """
    lock = FileLock(path.with_suffix(".lock"), timeout=5)
    held = contextlib.ExitStack()
    if path.parent.is_dir():
        with contextlib.suppress(OSError, NotImplementedError, Timeout):
            held.enter_context(lock)
    with held:
        yield
