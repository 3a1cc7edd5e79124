"""The notebooks in an archive, and in the archives in it, within bounds: nothing a member says of itself is trusted.

Names are told and never used as paths. What is counted is what comes out of the packing, beneath the reader of the
archive, so that neither a header nor a member can be larger than what is allowed to it.
"""

import bz2
import gzip
import io
import lzma
import struct
import tarfile
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import partial

from graders.inbox.names import OURS, is_archive, is_hidden, is_notebook, shortened
from graders.notebooks import submission

DEEPEST = 2
"""Archives in archives: what a course site packs, packed by the learner."""
MOST_MEMBERS = 100_000
ARCHIVE_BYTES = 500_000_000
"""Unpacked, of everything that is read of one archive."""
INNER_BYTES = 60_000_000
"""Of an archive in an archive, which is held in memory."""
HEADER_BYTES = 256_000
"""Of what stands before one member of a tar archive: names and times."""
CONTENTS_BYTES = 8_000_000
"""Of a zip archive's table of contents."""
XZ_MEMORY = 128_000_000
CHUNK = 65_536


class TooMuch(ValueError):
    """More than is allowed to one archive: the rest of it is not read."""


@dataclass(frozen=True)
class PackedNotebook:
    """A notebook in an archive: the names that lead to it, its bytes, and when it was last saved where that is said."""

    way: tuple[str, ...]
    content: bytes
    saved: datetime | None


@dataclass(frozen=True)
class _Entry:
    """A member as the archive lists it. ``read`` returns its bytes, at most so many, or raises."""

    name: str
    saved: datetime | None
    read: Callable[[int], bytes]


def looks_like_one(file) -> bool:
    """Whether a file is an archive whatever its name, by its first bytes."""
    head = file.read(262)
    return head.startswith((b"PK", b"\x1f\x8b", b"BZh", b"\xfd7zXZ\0")) or head[257:] == b"ustar"


@dataclass
class Unpacking:
    """One archive that came in. Reading `members` says in ``failed`` what could not be read, in ``others`` the rest."""

    failed: list[str] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    members_left: int = MOST_MEMBERS
    bytes_left: int = ARCHIVE_BYTES

    def members(self, file, way: tuple[str, ...] = (), saved: datetime | None = None) -> Iterator[PackedNotebook]:
        """Yield the notebooks. What goes wrong with one member, or with one inner archive, costs that one only."""
        try:
            for entry in self._entries(file):
                self._count()
                yield from self._member(entry, (*way, entry.name), saved or entry.saved)
        except TooMuch:
            if way:
                raise
            self.failed.append(_why("", TooMuch("it unpacks to too much; what was found before counts")))
        except Exception as error:  # archives fail in more ways than their readers list
            self.failed.append(_why(_told(way), error))

    def _member(self, entry: _Entry, way: tuple[str, ...], saved: datetime | None) -> Iterator[PackedNotebook]:
        if is_hidden(entry.name):
            return
        archive = is_archive(entry.name)
        if archive and len(way) >= DEEPEST:
            self.failed.append(f"{_told(way)}: is packed too deep (an archive in an archive in an archive)")
        elif archive or is_notebook(entry.name):
            try:
                content = entry.read(INNER_BYTES if archive else submission.MOST_BYTES)
            except TooMuch:
                raise
            except Exception as error:
                self.failed.append(_why(_told(way), error))
                return
            if archive:
                yield from self.members(io.BytesIO(content), way, saved)
            else:
                yield PackedNotebook(way, content, saved)
        elif entry.name.rpartition("/")[2] not in OURS:
            self.others.append(_told(way))

    def _count(self) -> None:
        self.members_left -= 1
        if self.members_left < 0:
            raise TooMuch

    def spend(self, size: int) -> None:
        """Take so many bytes off what may still be unpacked, or raise TooMuch."""
        self.bytes_left -= size
        if self.bytes_left < 0:
            raise TooMuch

    def _entries(self, file) -> Iterator[_Entry]:
        file.seek(0)
        head = file.read(2)
        is_zip = head == b"PK" or zipfile.is_zipfile(file)
        return self._zip_entries(file) if is_zip else self._tar_entries(file)

    def _zip_entries(self, file) -> Iterator[_Entry]:
        with zipfile.ZipFile(_InSmallBites(file)) as archive:
            for info in archive.infolist():
                if not info.is_dir():
                    yield _Entry(info.filename, _zip_time(info), partial(self._unzip, archive, info))

    def _unzip(self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, most: int) -> bytes:
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise ValueError("is packed in an unusual way: pack it again as an ordinary zip")
        with archive.open(info) as opened:
            return _read(_Counted(opened, self.spend), most)

    def _tar_entries(self, file) -> Iterator[_Entry]:
        unpacked = _Counted(io.BufferedReader(_decompressed(file), CHUNK), self.spend)
        unpacked.allow(HEADER_BYTES)
        with tarfile.open(fileobj=unpacked, mode="r|", bufsize=tarfile.BLOCKSIZE) as archive:
            while (member := archive.next()) is not None:
                archive.members = []  # kept by tarfile for looking up by name: a list without bound
                unpacked.allow(None)
                if member.issparse():
                    raise ValueError("holds a file with holes, which is not opened")
                if member.isreg():
                    opened = archive.extractfile(member)
                    yield _Entry(member.name, _tar_time(member), partial(_read, opened))
                    while opened.read(CHUNK):
                        pass
                unpacked.allow(HEADER_BYTES)
            if unpacked.last.strip(b"\0"):
                raise ValueError("is damaged or cut off; what was found before counts")


def _told(way: tuple[str, ...]) -> str:
    """Return the names that lead to a member in one, for people."""
    return "/".join(map(shortened, way))


def _why(where: str, error: Exception) -> str:
    """Say what is wrong with an archive, or with a member of it, in a few words."""
    if isinstance(error, MemoryError):
        words = "needs too much memory"
    elif isinstance(error, RuntimeError) and "password" in str(error):
        words = "is locked with a password"
    elif isinstance(error, ValueError) and not isinstance(error, UnicodeError) and str(error):
        words = shortened(str(error))
    else:
        words = f"is damaged ({shortened(str(error)) or type(error).__name__})"
    return f"{where}: {words}" if where else words


def _read(opened, most: int) -> bytes:
    """Return all bytes of a member, or raise ValueError where they are too many."""
    content = bytearray()
    while piece := opened.read(CHUNK):
        content += piece
        if len(content) > most:
            raise ValueError(f"is too large (more than {most / 1e6:.0f} MB)")
    return bytes(content)


class _Counted:
    """A stream that tells what is read of it, and gives no more than is allowed until the next allowance."""

    def __init__(self, stream, spend: Callable[[int], None]):
        self._stream, self._spend, self._allowed = stream, spend, None
        self.last = b""

    def allow(self, size: int | None) -> None:
        self._allowed = size

    def read(self, size: int) -> bytes:
        content = self._stream.read(size)
        self._spend(len(content))
        if self._allowed is not None:
            self._allowed -= len(content)
            if self._allowed < 0:
                raise ValueError("has a header that is far too large")
        self.last = content or self.last
        return content


class _InSmallBites(io.RawIOBase):
    """A file for the zip reader, which reads a table of contents as one piece, however large it says it is."""

    def __init__(self, file):
        self._file = file

    def read(self, size=-1):
        content = self._file.read(CONTENTS_BYTES + 1 if size is None or size < 0 else min(size, CONTENTS_BYTES + 1))
        if len(content) > CONTENTS_BYTES:
            raise ValueError("has a table of contents that is too large: send it in several archives")
        return content

    def seek(self, offset, whence=io.SEEK_SET):
        return self._file.seek(offset, whence)

    def tell(self):
        return self._file.tell()

    def seekable(self):
        return True

    def readable(self):
        return True


def _decompressed(file) -> io.RawIOBase:
    """Return what a compressed tar archive unpacks to, as a stream; a plain one as it is."""
    file.seek(0)
    head = file.read(6)
    file.seek(0)
    if head[:2] == b"\x1f\x8b":
        return gzip.GzipFile(fileobj=file)
    if head[:3] == b"BZh":
        return bz2.BZ2File(file)
    if head == b"\xfd7zXZ\0":
        return _Xz(file)
    return file


class _Xz(io.RawIOBase):
    """What an xz file unpacks to, with a bound on memory, which Python's own reader has not."""

    def __init__(self, file):
        self._file, self._unpacker = file, lzma.LZMADecompressor(lzma.FORMAT_XZ, XZ_MEMORY)

    def readable(self):
        return True

    def readinto(self, buffer) -> int:
        while not self._unpacker.eof:
            packed = self._file.read(CHUNK) if self._unpacker.needs_input else b""
            if self._unpacker.needs_input and not packed:
                raise EOFError("it is cut off")
            content = self._unpacker.decompress(packed, len(buffer))
            if content:
                buffer[: len(content)] = content
                return len(content)
        return 0


UNIX_TIME_FIELD = 0x5455


def _zip_time(info: zipfile.ZipInfo) -> datetime | None:
    """Return when a zip's member was saved, in UTC without saying so: by its Unix time, else by the packer's clock.

    A zip's own time has no zone; it is taken for one of this machine's. The hour that its clock goes through twice in
    autumn is taken for the first time it does: in doubt, work came earlier.
    """
    extra = info.extra
    while len(extra) >= 4:
        field_id, size = struct.unpack_from("<HH", extra)
        if field_id == UNIX_TIME_FIELD and size >= 5 and len(extra) >= 9 and extra[4] & 1:
            return _utc(struct.unpack_from("<i", extra, 5)[0])
        extra = extra[4 + size :]
    try:
        return datetime(*info.date_time).astimezone(UTC).replace(tzinfo=None)
    except (ValueError, OverflowError, OSError):
        return None


def _tar_time(member: tarfile.TarInfo) -> datetime | None:
    return _utc(member.mtime)


def _utc(seconds: float) -> datetime | None:
    try:
        return datetime.fromtimestamp(int(seconds), UTC).replace(tzinfo=None)
    except (ValueError, OverflowError, OSError):
        return None
