"""File what comes in by its seal, not by its name: never guessed, never over something else."""

import hashlib
import io
import re
import tarfile
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from graders import gradebook, printer, submission
from graders.folder import Cohort, write_whole
from graders.record import Handed, Record

MOST_IN_AN_ARCHIVE = 2_000
ARCHIVE_BYTES = 500_000_000
PRINTED_NAME = re.compile(r"\d\d_[a-z]")
"""How the notebooks we print are named: a learner whose id is 03 sent no file because it begins with 03."""


@dataclass(frozen=True)
class Came:
    """A notebook that came in: where, what names its sender if anything does, its bytes, and when its file came."""

    where: str
    sender: str
    content: bytes
    when: datetime


@dataclass(frozen=True)
class Filed:
    """What became of the files that came in: how many were filed or known already, and one line for each one held."""

    filed: int
    known: int
    held: tuple[str, ...]


def file_all(cohort: Cohort, sources: list[Path]) -> Filed:
    """Copy what came in to its learner's folder by its seal; hold what cannot be placed for certain."""
    handed = Record(cohort.record)
    learners = set(handed.learners)
    filed, known, held = 0, 0, []
    for source in sources:
        for came in _found(source, learners, held):
            reason = _place(cohort, handed, came)
            if reason == "filed":
                filed += 1
            elif reason == "known":
                known += 1
            else:
                held.append(f"{came.where}: {reason}; held in {_hold(cohort, came)}")
    return Filed(filed, known, tuple(held))


def _place(cohort: Cohort, handed: Record, came: Came) -> str:
    """File one notebook and return "filed" or "known", or say in a few words why it is held."""
    try:
        notebook = submission.parse(came.content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        return "is not UTF-8 text"
    except submission.Broken as error:
        return str(error)
    ours = notebook["metadata"].get(printer.METADATA_KEY, {})
    key = tuple(ours.get(name) for name in ("learner", "topic", "exercise"))
    if not all(isinstance(word, str) for word in key) or not ours.get("seal"):
        return "has no seal of a handout"
    one = handed.find(*key)
    if one is None:
        return "was not handed out by this cohort"
    if ours["seal"] != one.seal:
        return f"has a seal that is not the one of {one.learner}'s handout"
    if came.sender and came.sender != one.learner:
        return f"came from {came.sender} and is sealed as {one.learner}'s"
    return "filed" if _file(cohort, one, came.content, came.when) else "known"


def _file(cohort: Cohort, one: Handed, content: bytes, when: datetime) -> bool:
    """Put a notebook in its place; what was there before is kept beside. Return False if it was there already.

    The newest file's time is what nbgrader takes for the time of the hand-in.
    """
    path = cohort.submitted(one.learner, one.topic) / f"{one.notebook}.ipynb"
    if path.is_file():
        before = path.read_bytes()
        if before == content:
            return False
        kept = cohort.root / "submitted_before" / one.learner / one.topic
        write_whole(kept / f"{one.notebook}.{hashlib.sha256(before).hexdigest()[:10]}.ipynb", before)
    write_whole(path, content)
    before = gradebook.handed_in(cohort, one.learner, one.topic)
    newest = max(when, before) if before else when
    write_whole(path.with_name("timestamp.txt"), newest.strftime("%Y-%m-%d %H:%M:%S UTC") + "\n")
    return True


def _hold(cohort: Cohort, came: Came) -> Path:
    """Keep a copy of what cannot be placed, under a name that cannot lead anywhere, and return it."""
    name = re.sub(r"[^A-Za-z0-9._-]+", "_", Path(came.where).name)[-80:]
    path = cohort.root / "held" / f"{hashlib.sha256(came.content).hexdigest()[:10]}-{name}"
    if not path.is_file():
        write_whole(path, came.content)
    return path.relative_to(cohort.root)


def _found(source: Path, learners: set[str], held: list[str]) -> Iterator[Came]:
    """Yield every notebook in a file, a folder or an archive; say in ``held`` what could not be read."""
    if source.is_symlink():
        held.append(f"{source}: is a link and is not followed")
    elif source.is_dir():
        for path in sorted(source.iterdir()):
            if not path.name.startswith("."):
                yield from _found(path, learners, held)
    elif not source.is_file():
        held.append(f"{source}: is not there")
    elif source.suffix == ".ipynb":
        if source.stat().st_size > submission.MOST_BYTES:
            held.append(f"{source}: is too large ({source.stat().st_size / 1e6:.0f} MB)")
        else:
            yield Came(str(source), _sender(source, learners), source.read_bytes(), _changed(source))
    elif zipfile.is_zipfile(source) or tarfile.is_tarfile(source):
        try:
            for name, content in _members(source):
                yield Came(f"{source}:{name}", _sender(source / name, learners), content, _changed(source))
        except (OSError, zipfile.BadZipFile, tarfile.TarError, ValueError, RuntimeError, EOFError) as error:
            held.append(f"{source}: the archive cannot be read ({error})")


def _changed(source: Path) -> datetime:
    """Return when a file that came in was last changed, in UTC without saying so, as nbgrader keeps times."""
    return datetime.fromtimestamp(int(source.stat().st_mtime), UTC).replace(tzinfo=None)


def _members(source: Path) -> Iterator[tuple[str, bytes]]:
    """Yield the notebooks of an archive. Names are only told, never used as paths; sizes are capped in reading."""
    left = ARCHIVE_BYTES
    for number, (name, opened) in enumerate(_entries(source)):
        if number >= MOST_IN_AN_ARCHIVE:
            raise ValueError(f"it holds more than {MOST_IN_AN_ARCHIVE} notebooks")
        content = opened.read(submission.MOST_BYTES + 1)
        left -= len(content)
        if len(content) > submission.MOST_BYTES or left < 0:
            raise ValueError(f"{name} is too large")
        yield name, content


def _entries(source: Path) -> Iterator[tuple[str, io.BufferedIOBase]]:
    if zipfile.is_zipfile(source):
        with zipfile.ZipFile(source) as archive:
            for entry in archive.infolist():
                if entry.filename.endswith(".ipynb") and not entry.is_dir():
                    with archive.open(entry) as opened:
                        yield entry.filename, opened
        return
    with tarfile.open(source) as archive:
        for entry in archive:
            if entry.isreg() and entry.name.endswith(".ipynb"):
                yield entry.name, archive.extractfile(entry)


def _sender(path: Path, learners: set[str]) -> str:
    """Return the learner whom the way a file came names: a folder of that id, or a file name that begins with it.

    >>> _sender(Path("inbox/amber/03_x.ipynb"), {"amber", "birch"})
    'amber'
    >>> _sender(Path("inbox/birch_late_182_03_x.ipynb"), {"amber", "birch"})
    'birch'
    >>> _sender(Path("inbox/03_x (1).ipynb"), {"amber", "birch"})
    ''
    """
    for folder in reversed(path.parts[:-1]):
        if folder in learners or folder.removesuffix(".zip") in learners:
            return folder.removesuffix(".zip")
    if PRINTED_NAME.match(path.name):
        return ""
    starts = [learner for learner in learners if re.match(rf"{re.escape(learner)}(?![A-Za-z0-9])", path.name)]
    return max(starts, key=len, default="")
