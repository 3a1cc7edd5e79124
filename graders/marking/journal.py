"""The journal of marking: what every learner's topic came to, a line for each marking. The newest line counts."""

import json
import os
import shutil
import sys
import weakref
from array import array
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import UTC, datetime
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from itertools import accumulate
from pathlib import Path
from typing import Any, BinaryIO

from graders.cohort.files import HALF
from graders.gradebook.manual_marks import ByPart, ManualScore, MarkedOn
from graders.judging.marks import COLUMNS, Finding, Row
from graders.questions.verdicts import Code

LEAST_SPARE = 1 << 20
"""Bytes of lines over which newer ones stand, below which a journal is left as it is."""

AT_FAULT = ""
"""The hash of what could not be marked: it is no hash of anything, so it is tried again every time."""


@dataclass(frozen=True)
class Result:
    """What one learner's topic came to; ``numbers`` and ``keys`` are by exercise and part.

    So are ``bases``, what a mark by hand would be given for, and ``given``, what those there are were given for.
    """

    learner: str
    topic: str
    rows: tuple[Row, ...]
    problems: tuple[str, ...]
    digest: str
    findings: tuple[Finding, ...] = ()
    numbers: dict[str, dict[str, float]] = field(default_factory=dict)
    keys: dict[str, dict[str, float]] = field(default_factory=dict)
    bases: ByPart = field(default_factory=dict)
    given: ByPart = field(default_factory=dict)
    judged: dict[str, str] = field(default_factory=dict)
    """By which edition each exercise was judged; empty in what version 0.1.0 wrote."""
    counts: float | None = None
    """The share of the points that counts, as it came in time or late; version 0.1.0 knew only all and nothing."""
    fresh_numbers: str = ""
    """By which policy it was marked: cohort.toml's or an option's; empty in what version 0.1.0 wrote."""
    when: str = ""
    version: str = ""


FIELDS = tuple(field.name for field in fields(Result))


@dataclass(frozen=True, slots=True)
class Noted:
    """By what a topic was marked, and when: one for all that were marked so."""

    judged: Mapping[str, str]
    fresh_numbers: str
    when: str
    version: str


class Journal:
    """A cohort's journal: the newest result of every learner and topic, read from the file as it is asked for.

    A line cut off by a crash is passed over. The file is held open: what is read is one state of it, also where another
    command writes it anew meanwhile. Of each topic as little as can be is in memory: a class may have 100,000.
    """

    def __init__(self, path: Path):
        self._path = path
        self._read()

    def _read(self) -> None:
        """Read the file from its beginning."""
        self._numbers: dict[str, dict[str, int]] = {}  # by learner and topic, in the lists that follow
        self._places, self._sizes = array("q"), array("q")
        self._digests: list[bytes] = []
        self._noted: list[Noted] = []
        self._same: dict[Hashable, Noted] = {}
        self._superseded: list[int] = []
        self._spare = self._kept = 0  # bytes
        self._file: BinaryIO | None = None
        place = 0
        for text in self._lines():
            result = _result(text)
            if result:
                self._note(result, place, len(text))
            place += len(text)

    def _opened(self) -> BinaryIO | None:
        """Return the file, open for reading, or None where there is none yet."""
        if self._file is None and self._path.is_file():
            self._file = self._path.open("rb")
            self._close = weakref.finalize(self, self._file.close)
        return self._file

    def _lines(self) -> Iterator[bytes]:
        file = self._opened()
        if file:
            file.seek(0)
            yield from file

    def _note(self, result: Result, place: int, size: int) -> None:
        said = tuple(result.judged.items()), result.fresh_numbers, result.when, result.version
        noted = self._same.setdefault(said, Noted(result.judged, *said[1:]))
        topics = self._numbers.setdefault(result.learner, {})
        number = topics.get(result.topic)
        self._kept += size
        if number is None:
            topics[result.topic] = len(self._noted)
            self._places.append(place)
            self._sizes.append(size)
            self._digests.append(_packed(result.digest))
            self._noted.append(noted)
            return
        self._superseded.append(self._places[number])
        self._spare, self._kept = self._spare + self._sizes[number], self._kept - self._sizes[number]
        self._places[number], self._sizes[number] = place, size
        self._digests[number], self._noted[number] = _packed(result.digest), noted

    def _number(self, key: tuple[str, str]) -> int | None:
        learner, topic = key
        return self._numbers.get(learner, {}).get(topic)

    def __iter__(self) -> Iterator[Result]:
        return filter(None, map(self.at, self._places))

    def __contains__(self, key: tuple[str, str]) -> bool:
        return self._number(key) is not None

    def noted(self) -> Iterable[Noted]:
        """Return of every result by what it was marked, and when."""
        return self._noted

    def get(self, key: tuple[str, str]) -> Result | None:
        """Return what a learner's topic came to, or None where it was never marked."""
        place = self.place(key)
        return None if place is None else self.at(place)

    def place(self, key: tuple[str, str]) -> int | None:
        """Return where the line of a learner's topic begins, or None where it was never marked."""
        number = self._number(key)
        return None if number is None else self._places[number]

    def at(self, place: int) -> Result | None:
        """Return the result of the line that begins at a place, also where a newer one stands over it by now."""
        file = self._opened()
        if file is None:
            return None
        file.seek(place)
        return _result(file.readline())

    def digest(self, key: tuple[str, str]) -> str | None:
        """Return the hash of what a learner's topic was last marked on, or None where it never was."""
        number = self._number(key)
        return None if number is None else self._digests[number].hex()

    def judged(self, key: tuple[str, str]) -> Mapping[str, str]:
        """Return by which edition each exercise of a learner's topic was judged."""
        number = self._number(key)
        return {} if number is None else self._noted[number].judged

    def append(self, results: Sequence[Result]) -> None:
        """Write down what is marked, and know of it."""
        now = [_stamped(result) for result in results]
        for result, (place, size) in zip(now, append(self._path, now), strict=True):
            self._note(result, place, size)

    def compact(self, least: int = LEAST_SPARE) -> bool:
        """Write the file anew without the lines over which a newer one stands, where they are much of it.

        A line that cannot be read is kept: a newer version may have written it. Killed at any moment, the file is the
        old one or the new one. Returns whether it was written.
        """
        if self._spare < max(least, self._kept / 2):
            return False
        dropped = set(self._superseded)
        half, place = self._path.with_name(f"{HALF}{self._path.name}"), 0
        with half.open("wb") as file:
            shutil.copymode(self._path, half)
            for text in self._lines():
                if place not in dropped:
                    file.write(text if text.endswith(b"\n") else text + b"\n")
                place += len(text)
            file.flush()
            os.fsync(file.fileno())
        self._close()  # a file that is open is not replaced on every system
        self._file = None
        os.replace(half, self._path)
        self._read()
        return True


def holds(one: bytes, other: bytes) -> bool:
    """Whether a journal has of every learner's topic what another has, or something newer.

    Either may have been compacted since: of each topic the newest line is compared, by when it was marked.
    """
    here, there = _newest(one), _newest(other)
    return all(key in here and (here[key][1] == line or here[key][0] > when) for key, (when, line) in there.items())


def _newest(content: bytes) -> dict[tuple[str, str] | bytes, tuple[str, bytes]]:
    """Return when each learner's topic was last marked, and a digest of its line; by itself a line nobody can read."""
    newest = {}
    for text in filter(None, content.split(b"\n")):
        result = _result(text)
        key = (result.learner, result.topic) if result else text
        newest[key] = result.when if result else "", sha256(text).digest()
    return newest


def _packed(digest: str) -> bytes:
    """Return a hash in half the room; what is none is as what could not be marked."""
    try:
        return bytes.fromhex(digest)
    except ValueError:
        return bytes.fromhex(AT_FAULT)


def _result(text: bytes) -> Result | None:
    """Return the result a line tells, or None where it is no whole line."""
    try:
        line = json.loads(text.decode("utf-8"))
        rows = tuple(_row(row) for row in line.pop("rows"))
        findings = tuple(_finding(finding) for finding in line.pop("findings"))
        problems = tuple(line.pop("problems"))
        bases = _each_part(line.pop("bases"), lambda found: MarkedOn(*found))
        given = _each_part(line.pop("given"), lambda found: ManualScore(found[0], MarkedOn(*found[1])))
        known = {name: value for name, value in line.items() if name in FIELDS}  # a newer version may write more
        known |= {name: sys.intern(known[name]) for name in ("learner", "topic")}
        return Result(rows=rows, findings=findings, problems=problems, bases=bases, given=given, **known)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        return None


def _row(fields: dict[str, Any]) -> Row:
    """Return a row with defaults for what a newer version added, without what it does not know."""
    known = {name: _shared(fields[name]) for name in COLUMNS if name in fields}
    known["verdict"] = Code.read(known["verdict"])
    return Row(**known)


def _finding(fields: dict[str, Any]) -> Finding:
    return Finding(**{name: _shared(word) for name, word in fields.items()})


def _shared(value: Any) -> Any:
    """Return a value, of a text the one that is held in memory: the same names and words come half a million times."""
    return sys.intern(value) if type(value) is str else value


def _each_part(by_part: dict[str, dict[str, Any]], made: Callable[[Any], tuple[Any, ...]]) -> ByPart:
    return {exercise: {part: made(found) for part, found in parts.items()} for exercise, parts in by_part.items()}


def line(result: Result) -> str:
    """Return the line of a result. ValueError or TypeError where it cannot be written down."""
    fields = vars(result) | {
        "rows": [{name: getattr(row, name) for name in COLUMNS} for row in result.rows],
        "findings": [vars(finding) for finding in result.findings],
    }
    text = json.dumps(fields, ensure_ascii=False) + "\n"
    text.encode()
    return text


def _stamped(result: Result) -> Result:
    """Return a result as marked now, by this version."""
    return replace(result, when=datetime.now(UTC).isoformat(timespec="seconds"), version=_own_version())


@cache
def _own_version() -> str:
    return version("rework-workbook")


def append(path: Path, results: Sequence[Result]) -> list[tuple[int, int]]:
    """Write down what is marked, after the gradebook has it: a run cut off here marks it again, to the same marks.

    Returns where each line begins, and how long it is.
    """
    lines = [line(result).encode() for result in results]
    with path.open("ab") as file:
        if not _ends_whole(path):
            file.write(b"\n")  # the last run was cut off in a line: leave it alone, and begin a new one
        places = accumulate(map(len, lines), initial=file.tell())
        file.write(b"".join(lines))
        file.flush()
        os.fsync(file.fileno())
    return [(place, len(text)) for place, text in zip(places, lines, strict=False)]


def _ends_whole(path: Path) -> bool:
    """Whether a file is empty or ends with a whole line."""
    with path.open("rb") as file:
        return file.seek(0, os.SEEK_END) == 0 or (file.seek(-1, os.SEEK_END), file.read())[1] == b"\n"
