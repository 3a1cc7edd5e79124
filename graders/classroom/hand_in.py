"""What a learner hands in: each notebook is held to its seal at once, and what is sound is kept, with a receipt.

The hub says who sends. Nothing in the parcel does: not a folder's name, not a notebook's own word. What is kept is an
archive of ours, of the notebooks that are sound, byte for byte: times that a packer wrote are left behind, so that the
moment at which it came is the one that counts.
"""

import errno
import fcntl
import hashlib
import io
import json
import os
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import BinaryIO

from graders.cohort import clock, faults
from graders.cohort.paths import for_owner_only
from graders.cohort.record import HandoutRecord
from graders.cohort.settings import Settings
from graders.desk.packing import EARLIEST
from graders.inbox.archives import PackedNotebook, Unpacking
from graders.inbox.filing import Doubtful, parsed, sealed
from graders.inbox.names import shortened
from graders.notebooks.answered import answers
from graders.report.html import count
from workbook.terminal import printable

MOST_BYTES = 30_000_000
"""Of a parcel as it is sent."""
MOST_UNPACKED = 120_000_000
MOST_MEMBERS = 1_000
MOST_TOLD = 12
RECEIPTS = ".receipts.jsonl"
"""Beside what was handed in; a name with a dot before it is not searched for notebooks."""

AN_HOUR = timedelta(hours=1)
MOST_AN_HOUR = 30
MOST_KEPT = 500_000_000
"""Bytes kept of one learner: the others' share of the disk stays theirs."""


@dataclass(frozen=True)
class Taken:
    """One notebook that was taken: topic, exercise, how many answers it holds, its digest."""

    topic: str
    exercise: str
    answers: int
    digest: str

    @property
    def place(self) -> str:
        return f"{self.topic}/{self.exercise}"


@dataclass(frozen=True)
class SoundParcel:
    """What is sound in what came: notebooks by where they are kept, what each is, and why others were not taken."""

    notebooks: dict[str, bytes]
    taken: tuple[Taken, ...]
    refused: tuple[str, ...]

    def archive(self) -> bytes:
        """Return the archive that is kept."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
            for name, content in self.notebooks.items():
                file.writestr(zipfile.ZipInfo(name, EARLIEST), content, zipfile.ZIP_DEFLATED)
        return out.getvalue()


@dataclass(frozen=True)
class Receipt:
    """What is written down of something that was handed in: when, the digest of what is kept, its size, and of what."""

    when: str
    digest: str
    size: int
    file: str
    taken: list[dict[str, str | int]] = field(default_factory=list)

    @property
    def moment(self) -> datetime:
        return datetime.fromisoformat(self.when)


@dataclass(frozen=True)
class Kept:
    """What became of a parcel: its receipt, whether the same had come before, and the receipts of before."""

    receipt: Receipt
    again: bool
    earlier: list[Receipt]


class NotDone(Exception):
    """Something that is not done for a learner, in words; ``status`` is HTTP's number for why."""

    def __init__(self, status: int, words: str):
        super().__init__(words)
        self.status = status


def look(record: HandoutRecord, learner: str, file: BinaryIO) -> SoundParcel:
    """Return what is sound in a parcel that this learner sent: notebooks with the seal of the learner's own handout."""
    unpacking = Unpacking(members_left=MOST_MEMBERS, bytes_left=MOST_UNPACKED)
    found: dict[str, tuple[Taken, PackedNotebook]] = {}
    refused: list[str] = []
    for member in unpacking.members(file):
        try:
            name, taken = _own(record, learner, member.content)
        except Doubtful as why:
            refused.append(f"{_told(member)} {why}")
            continue
        except Exception as error:  # whatever is wrong with one notebook costs that one only
            if faults.is_everybodys(error):
                raise
            refused.append(f"{_told(member)} cannot be read ({faults.words(error)})")
            continue
        before, there = found.get(name, (taken, member))
        fuller, other = (member, there) if taken.answers > before.answers else (there, member)
        found[name] = (taken if fuller is member else before), fuller
        if before.digest != taken.digest:
            refused.append(f"{_told(other)} is one of two files of {taken.place}, and the other is taken")
    refused += [f"the file {printable(words.lstrip(': '))}" for words in unpacking.failed]
    ordered = sorted(found)
    return SoundParcel(
        {name: found[name][1].content for name in ordered},
        tuple(found[name][0] for name in ordered),
        tuple(refused),
    )


def _own(record: HandoutRecord, learner: str, content: bytes) -> tuple[str, Taken]:
    """Return where a notebook of this learner's handout is kept, and what it is, or raise Doubtful."""
    notebook = parsed(content)
    one = sealed(record, notebook)
    if one.learner != learner:
        raise Doubtful("has the seal of another learner's handout")
    many = answers(notebook, one.topic, one.exercise)
    taken = Taken(one.topic, one.exercise, many, hashlib.sha256(content).hexdigest())
    return f"{learner}/{one.topic}/{one.notebook}.ipynb", taken


def _told(member: PackedNotebook) -> str:
    return printable("/".join(map(shortened, member.way)))


class Inbox:
    """Where a cohort's learners hand in: a folder each, in which nothing is ever displaced."""

    def __init__(self, root: Path):
        self.root = root

    def receipts(self, learner: str) -> list[Receipt]:
        """Return what a learner handed in so far; a line that was cut off counts for nothing."""
        path, found = self.root / learner / RECEIPTS, []
        for line in path.read_bytes().split(b"\n") if path.is_file() else ():
            try:
                found.append(Receipt(**json.loads(line)))
            except (ValueError, TypeError):
                continue
        return found

    def keep(self, learner: str, parcel: SoundParcel, now: datetime) -> Kept:
        """Keep a parcel, safe on the disk before it returns.

        Raises
        ------
        NotDone
            Where nothing is sound, or the learner has handed in too often or too much.
        """
        if not parcel.taken:
            raise NotDone(422, _nothing_sound(parcel))
        content = parcel.archive()
        digest = hashlib.sha256(content).hexdigest()
        with for_owner_only():
            folder = self.root / learner
            folder.mkdir(parents=True, exist_ok=True)
            with _one_at_a_time(folder):
                before = self.receipts(learner)
                known = next((one for one in before if one.digest == digest and (folder / one.file).is_file()), None)
                if known:
                    return Kept(known, True, before)
                _refuse_too_much(before, len(content), now)
                file = f"{learner}_{now:%Y-%m-%dT%H%M%SZ}_{digest[:10]}.zip"
                _put(folder, file, content, now)
                receipt = Receipt(now.isoformat(), digest, len(content), file, [asdict(one) for one in parcel.taken])
                try:
                    _write_down(folder / RECEIPTS, receipt)
                except OSError:  # what has no receipt was not handed in
                    (folder / file).unlink()
                    raise
                for named in (folder, self.root):  # a file that has lost its name in a power cut is lost
                    _names_to_disk(named)
        return Kept(receipt, False, before)


@contextmanager
def _one_at_a_time(folder: Path) -> Iterator[None]:
    """Hold a learner's folder; the system lets go of it however this ends."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _put(folder: Path, file: str, content: bytes, now: datetime) -> None:
    """Write a file under its name at once and whole; one that is there already stays as it is."""
    handle, half = tempfile.mkstemp(prefix=".coming-", dir=folder)
    try:
        with os.fdopen(handle, "wb") as writing:
            writing.write(content)
            writing.flush()
            os.fsync(writing.fileno())
        seconds = now.replace(tzinfo=UTC).timestamp()
        os.utime(half, (seconds, seconds))
        os.link(half, folder / file)
    finally:
        os.unlink(half)


def _write_down(path: Path, receipt: Receipt) -> None:
    line = json.dumps(asdict(receipt), sort_keys=True).encode() + b"\n"
    handle = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    with os.fdopen(handle, "r+b", buffering=0) as file:
        end = file.seek(0, os.SEEK_END)
        torn = end and os.pread(file.fileno(), 1, end - 1) != b"\n"
        file.write(b"\n" + line if torn else line)
        os.fsync(file.fileno())


def _names_to_disk(folder: Path) -> None:
    """See a folder's names on the disk; not its whole file system, where all learners' homes may be."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno != errno.EINVAL:  # a file system that cannot be asked for that
            raise
    finally:
        os.close(handle)


def _refuse_too_much(before: list[Receipt], size: int, now: datetime) -> None:
    lately = sorted(one.moment for one in before if now - one.moment < AN_HOUR)
    if len(lately) >= MOST_AN_HOUR:
        minutes = -((now - AN_HOUR - lately[-MOST_AN_HOUR]) // timedelta(minutes=1))
        raise NotDone(
            429,
            f"You have handed in {len(lately)} times in the last hour, and all of it is kept. This one is not: "
            f"keep your file, and hand in again in {minutes} minutes.",
        )
    if sum(one.size for one in before) + size > MOST_KEPT:
        raise NotDone(
            429, "You have handed in so much that your room for it is full. Keep your file, and tell your instructor."
        )


def _nothing_sound(parcel: SoundParcel) -> str:
    head = "Nothing was handed in: no notebook of your own handout is in this file."
    return "\n".join(
        [head, *_listed(parcel.refused), "Your file is as it was. Hand in the exercises that you were given."]
    )


def _listed(lines: tuple[str, ...]) -> list[str]:
    more = [f"And {len(lines) - MOST_TOLD} more like these."] if len(lines) > MOST_TOLD else []
    return [f"{line[:1].upper()}{line[1:]}." for line in lines[:MOST_TOLD]] + more


def words(kept: Kept, parcel: SoundParcel, learner: str, told: Settings) -> str:
    """Return a receipt in words: what came and when, what was not taken, and what marking will make of it."""
    receipt = kept.receipt
    when = clock.words(receipt.moment, told.timezone)
    exercises = [Taken(**one) for one in receipt.taken]  # type: ignore[arg-type]
    head = f"Handed in before, on {when}; nothing has changed since." if kept.again else f"Handed in on {when}."
    empty = [one.place for one in exercises if not one.answers]
    lines = [head, f"Taken: {count(len(exercises), 'exercise')} with {count(_answers(exercises), 'answer')}."]
    if empty:
        lines.append(f"Without any answer: {_some(empty)}.")
    if parcel.refused:
        lines += [f"NOT taken ({len(parcel.refused)}):", *_listed(parcel.refused)]
    lines += [f"{one} {words}." for one, words in _late(exercises, receipt.moment, learner, told)]
    less = [one.place for one in exercises if one.answers < max(_held(kept.earlier, one), default=0)]
    if less:
        lines.append(f"You have handed in more answers before of {_some(less)}: marking keeps the fuller file.")
    lines.append(f"Digest of what is kept (SHA-256): {receipt.digest}")
    return "\n".join(lines)


def _held(earlier: list[Receipt], one: Taken) -> Iterator[int]:
    for old in earlier:
        for was in old.taken:
            if (was["topic"], was["exercise"]) == (one.topic, one.exercise):
                yield int(was["answers"])


def _late(exercises: list[Taken], when: datetime, learner: str, told: Settings) -> Iterator[tuple[str, str]]:
    for topic in dict.fromkeys(one.topic for one in exercises):
        if told.due_for(learner, topic) is not None:
            yield topic, told.came_words(learner, topic, when)


def _answers(exercises: list[Taken]) -> int:
    return sum(one.answers for one in exercises)


def _some(names: list[str]) -> str:
    return ", ".join(names[:MOST_TOLD]) + (f" and {len(names) - MOST_TOLD} more" if len(names) > MOST_TOLD else "")
