"""The journal of marking: what every learner's topic came to, a line for each marking. The newest line counts."""

import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from graders.gradebook.manual_marks import ByPart, ManualScore, MarkedOn
from graders.judging.marks import COLUMNS, Finding, Row
from graders.questions.verdicts import Code

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


class Journal:
    """A cohort's journal: the newest result of every learner and topic, read from the file as it is asked for.

    A line cut off by a crash is passed over.
    """

    def __init__(self, path: Path):
        self._path = path
        self._places: dict[tuple[str, str], int] = {}
        self._digests: dict[tuple[str, str], str] = {}
        self._judged: dict[tuple[str, str], dict[str, str]] = {}
        place = 0
        for text in self._lines():
            result = _result(text)
            if result:
                self._places[result.learner, result.topic] = place
                self._digests[result.learner, result.topic] = result.digest
                self._judged[result.learner, result.topic] = result.judged
            place += len(text)

    def _lines(self) -> Iterator[bytes]:
        if self._path.is_file():
            with self._path.open("rb") as file:
                yield from file

    def __iter__(self) -> Iterator[Result]:
        return map(self.get, self._places)

    def get(self, key: tuple[str, str]) -> Result | None:
        """Return what a learner's topic came to, or None where it was never marked."""
        place = self._places.get(key)
        if place is None:
            return None
        with self._path.open("rb") as file:
            file.seek(place)
            return _result(file.readline())

    def digest(self, key: tuple[str, str]) -> str | None:
        """Return the hash of what a learner's topic was last marked on, or None where it never was."""
        return self._digests.get(key)

    def judged(self, key: tuple[str, str]) -> dict[str, str]:
        """Return by which edition each exercise of a learner's topic was judged."""
        return self._judged.get(key, {})


def _result(text: bytes) -> Result | None:
    """Return the result a line tells, or None where it is no whole line."""
    try:
        line = json.loads(text.decode("utf-8"))
        rows = tuple(_row(row) for row in line.pop("rows"))
        findings = tuple(Finding(**_shared(finding)) for finding in line.pop("findings"))
        problems = tuple(line.pop("problems"))
        bases = _each_part(line.pop("bases"), lambda found: MarkedOn(*found))
        given = _each_part(line.pop("given"), lambda found: ManualScore(found[0], MarkedOn(*found[1])))
        known = {name: value for name, value in line.items() if name in FIELDS}  # a newer version may write more
        return Result(rows=rows, findings=findings, problems=problems, bases=bases, given=given, **known)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        return None


def _row(fields: dict) -> Row:
    """Return a row with defaults for what a newer version added, without what it does not know."""
    known = {name: value for name, value in fields.items() if name in COLUMNS}
    return Row(**_shared(known) | {"verdict": Code.read(known["verdict"])})


def _shared(fields: dict) -> dict:
    """Return fields with every text held once in memory: the same names and words come half a million times."""
    return {name: sys.intern(value) if isinstance(value, str) else value for name, value in fields.items()}


def _each_part(by_part: dict, made: Callable) -> ByPart:
    return {exercise: {part: made(found) for part, found in parts.items()} for exercise, parts in by_part.items()}


def line(result: Result) -> str:
    """Return the line of a result, marked now. ValueError or TypeError where it cannot be written down."""
    fields = vars(result) | {
        "rows": [dict(zip(COLUMNS, row.as_tuple(), strict=True)) for row in result.rows],
        "findings": [vars(finding) for finding in result.findings],
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
        "version": version("rework-workbook"),
    }
    text = json.dumps(fields, ensure_ascii=False) + "\n"
    text.encode()
    return text


def append(path: Path, results: Sequence[Result]) -> None:
    """Write down what is marked, after the gradebook has it: a run cut off here marks it again, to the same marks."""
    text = "".join(map(line, results)).encode()
    with path.open("ab") as file:
        if not _ends_whole(path):
            file.write(b"\n")  # the last run was cut off in a line: leave it alone, and begin a new one
        file.write(text)
        file.flush()
        os.fsync(file.fileno())


def _ends_whole(path: Path) -> bool:
    """Whether a file is empty or ends with a whole line."""
    with path.open("rb") as file:
        return file.seek(0, os.SEEK_END) == 0 or (file.seek(-1, os.SEEK_END), file.read(1))[1] == b"\n"
