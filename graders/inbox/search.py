"""Search what came in, files, folders and archives, for notebooks. One that cannot be read costs itself only."""

import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from graders.cohort import clock
from graders.inbox import archives
from graders.inbox.names import OURS, is_archive, is_notebook, named, shortened
from graders.notebooks import submission

CLOCKS_APART = timedelta(hours=1)
"""What is said of no file: clocks of two machines."""


@dataclass(frozen=True)
class Came:
    """A notebook that came in: where, the learners whom its way names, its bytes, when it came, and in what packed."""

    where: str
    named: tuple[str, ...]
    content: bytes
    when: datetime
    archive: str = ""


@dataclass
class Search:
    """What came in. Reading `notebooks` says in ``unread`` what could not be read, and in ``others`` what is none.

    ``beside`` is the cohort's folder: the folders that lead to both are the machine's and name nobody. A member of an
    archive was saved after ``since``, when the cohort was made, or its time is none. ``received``, where given, is when
    everything came, whatever the files say. Whose clock says that they are still to come is in ``ahead``.
    """

    sources: list[Path]
    learners: set[str]
    beside: Path
    since: datetime
    received: datetime | None = None
    unread: list[str] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    ahead: dict[Path, datetime] = field(default_factory=dict)

    def notebooks(self) -> Iterator[Came]:
        """Yield every notebook that came in."""
        for source in self.sources:
            yield from self._found(source)

    def _found(self, source: Path) -> Iterator[Came]:
        try:
            if source.is_symlink():
                self.unread.append(f"{source}: is a link and is not followed")
            elif source.is_dir():
                yield from self._in_folder(source)
            elif not source.is_file():
                self.unread.append(f"{source}: is no plain file")
            elif is_notebook(source.name):
                yield from self._notebook(source)
            elif is_archive(source.name) or _is_packed(source):
                yield from self._packed(source)
            elif source.name not in OURS:
                self.others.append(str(source))
        except Exception as error:  # a file that cannot be read, for whatever reason, leaves the others as they are
            words = error.strerror if isinstance(error, OSError) and error.strerror else f"{type(error).__name__}"
            self.unread.append(f"{source}: cannot be read ({words})")

    def _in_folder(self, folder: Path) -> Iterator[Came]:
        if (folder / "cohort.toml").is_file():
            self.unread.append(f"{folder}: is a cohort's folder; nothing in it was filed")
            return
        for path in sorted(folder.iterdir()):
            if not path.name.startswith("."):
                yield from self._found(path)

    def _notebook(self, source: Path) -> Iterator[Came]:
        with source.open("rb") as file:
            content = file.read(submission.MOST_BYTES + 1)
        if len(content) > submission.MOST_BYTES:
            self.unread.append(f"{source}: is too large (more than {submission.MOST_BYTES / 1e6:.0f} MB)")
        else:
            yield Came(str(source), named(self._way(source), self.learners), content, self._when(source))

    def _packed(self, source: Path) -> Iterator[Came]:
        unpacking, found = archives.Unpacking(), False
        with source.open("rb") as file:
            for member in unpacking.members(file):
                found = True
                who = named([*self._way(source), *member.way], self.learners)
                when = self._when(source, member.saved)
                yield Came(f"{source}:{'/'.join(map(shortened, member.way))}", who, member.content, when, str(source))
        if unpacking.failed and (found or is_archive(source.name)):
            more = len(unpacking.failed) - 1
            besides = f"; and {more} more of it like this" if more else ""
            self.unread.append(f"{source}: {unpacking.failed[0]}{besides}")
        if found:
            self.others += unpacking.others
        elif not (unpacking.failed and is_archive(source.name)):
            self.others.append(str(source))

    def _way(self, source: Path) -> tuple[str, ...]:
        """Return the names that lead to a file from where the machine's own folders end."""
        whole = Path(os.path.abspath(source))
        return whole.relative_to(os.path.commonpath([whole.parent, self.beside])).parts

    def _when(self, source: Path, saved: datetime | None = None) -> datetime:
        """Return when a notebook came: as told; as its archive says of it, where that can be; as its file's clock says.

        What an archive says is no later than the archive, but for the clocks and zones of two machines.
        """
        if self.received:
            return self.received
        when = file_changed = changed(source)
        if saved and self.since <= saved <= file_changed + timedelta(days=1):
            when = min(saved, file_changed)
        if when > clock.now() + CLOCKS_APART:
            self.ahead[source] = when
        return when


def _is_packed(source: Path) -> bool:
    with source.open("rb") as file:
        return archives.looks_like_one(file)


def changed(source: Path) -> datetime:
    """Return when a file was last changed, in UTC without saying so, as nbgrader keeps times."""
    return datetime.fromtimestamp(int(source.stat().st_mtime), UTC).replace(tzinfo=None)
