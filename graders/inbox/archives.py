"""Find the notebooks in what came in: files, folders, archives, and archives in archives, as people send them."""

import io
import re
import tarfile
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from graders.notebooks import submission

MOST_IN_AN_ARCHIVE = 2_000
ARCHIVE_BYTES = 500_000_000
DEEPEST = 2
"""Archives in archives: what a course site packs, packed by the learner."""

PRINTED_NAME = re.compile(r"\d\d_[a-z]")
"""How the notebooks we print are named: a learner whose id is 03 sent no file because it begins with 03."""

OURS = ("timestamp.txt",)
"""What stands beside notebooks in nbgrader's folders."""


@dataclass(frozen=True)
class Came:
    """A notebook that came in: where, what names its sender if anything does, its bytes, and when its file came."""

    where: str
    sender: str
    content: bytes
    when: datetime


@dataclass
class Inbox:
    """What came in. Reading `notebooks` says in ``unread`` what could not be read, and in ``others`` what is none."""

    sources: list[Path]
    learners: set[str]
    unread: list[str] = field(default_factory=list)
    others: list[str] = field(default_factory=list)

    def notebooks(self) -> Iterator[Came]:
        """Yield every notebook that came in."""
        for source in self.sources:
            yield from self._found(source)

    def _found(self, source: Path) -> Iterator[Came]:
        if source.is_symlink():
            self.unread.append(f"{source}: is a link and is not followed")
        elif source.is_dir():
            for path in sorted(source.iterdir()):
                if not path.name.startswith("."):
                    yield from self._found(path)
        elif not source.is_file():
            self.unread.append(f"{source}: is not there")
        elif is_notebook(source.name):
            if source.stat().st_size > submission.MOST_BYTES:
                self.unread.append(f"{source}: is too large ({source.stat().st_size / 1e6:.0f} MB)")
            else:
                yield Came(str(source), sender(source, self.learners), source.read_bytes(), changed(source))
        elif zipfile.is_zipfile(source) or tarfile.is_tarfile(source):
            yield from self._packed(source)
        elif source.name not in OURS:
            self.others.append(str(source))

    def _packed(self, source: Path) -> Iterator[Came]:
        found = False
        try:
            with source.open("rb") as file:
                for name, content in _members(file, "", _Left(), DEEPEST):
                    found = True
                    who = sender(source / name, self.learners)
                    yield Came(f"{source}:{name}", who, content, changed(source))
        except (OSError, zipfile.BadZipFile, tarfile.TarError, ValueError, RuntimeError, EOFError) as error:
            self.unread.append(f"{source}: the archive cannot be read ({error})")
        else:
            if not found:
                self.others.append(str(source))


def is_notebook(name: str) -> bool:
    """Whether a file is meant as a notebook: browsers save them under longer names, systems put shadows beside them.

    >>> [is_notebook(name) for name in ("04_x.ipynb", "04_x (1).IPYNB", "04_x.ipynb.txt", "04_x.json", "04_x.pdf")]
    [True, True, True, True, False]
    >>> [is_notebook(name) for name in ("__MACOSX/._x.ipynb", ".ipynb_checkpoints/x-checkpoint.ipynb", "../x.ipynb")]
    [False, False, True]
    """
    path = PurePosixPath(name.replace("\\", "/"))
    if any(part.startswith(".") and part != ".." for part in path.parts):
        return False
    printed = PRINTED_NAME.match(path.name) and path.suffix.lower() == ".json"
    return ".ipynb" in path.name.lower() or bool(printed)


def changed(source: Path) -> datetime:
    """Return when a file was last changed, in UTC without saying so, as nbgrader keeps times."""
    return datetime.fromtimestamp(int(source.stat().st_mtime), UTC).replace(tzinfo=None)


@dataclass
class _Left:
    """What may still be unpacked of an archive."""

    notebooks: int = MOST_IN_AN_ARCHIVE
    size: int = ARCHIVE_BYTES

    def take(self, name: str, opened, most: int) -> bytes:
        """Return the bytes of a member, or raise ValueError where they are too many."""
        content = opened.read(most + 1)
        self.size -= len(content)
        if len(content) > most or self.size < 0:
            raise ValueError(f"{name} is too large")
        return content


def _members(file, within: str, left: _Left, deep: int) -> Iterator[tuple[str, bytes]]:
    """Yield the notebooks of an archive. Names are only told, never used as paths; sizes are capped in reading."""
    for name, opened in _entries(file):
        if is_notebook(name):
            left.notebooks -= 1
            if left.notebooks < 0:
                raise ValueError(f"it holds more than {MOST_IN_AN_ARCHIVE} notebooks")
            yield within + name, left.take(name, opened, submission.MOST_BYTES)
        elif deep > 1 and name.lower().endswith(".zip"):
            packed = io.BytesIO(left.take(name, opened, ARCHIVE_BYTES))
            yield from _members(packed, f"{within}{name}/", left, deep - 1)


def _entries(file) -> Iterator[tuple[str, io.BufferedIOBase]]:
    """Yield the name of every member of an archive, and the member opened."""
    if zipfile.is_zipfile(file):
        with zipfile.ZipFile(file) as archive:
            for entry in archive.infolist():
                if not entry.is_dir():
                    with archive.open(entry) as opened:
                        yield entry.filename, opened
        return
    file.seek(0)
    with tarfile.open(fileobj=file) as archive:
        for entry in archive:
            if entry.isreg():
                yield entry.name, archive.extractfile(entry)


def sender(path: Path, learners: set[str]) -> str:
    """Return the learner whom the way a file came names: a folder of that id, or a file name that begins with it.

    >>> sender(Path("inbox/amber/03_x.ipynb"), {"amber", "birch"})
    'amber'
    >>> sender(Path("inbox/birch_late_182_03_x.ipynb"), {"amber", "birch"})
    'birch'
    >>> sender(Path("inbox/03_x (1).ipynb"), {"amber", "birch"})
    ''
    """
    for folder in reversed(path.parts[:-1]):
        if folder in learners or folder.removesuffix(".zip") in learners:
            return folder.removesuffix(".zip")
    if PRINTED_NAME.match(path.name):
        return ""
    starts = [learner for learner in learners if re.match(rf"{re.escape(learner)}(?![A-Za-z0-9])", path.name)]
    return max(starts, key=len, default="")
