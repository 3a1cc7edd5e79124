"""The record of own numbers: what was handed out to whom. It is the truth; drawing again is only a check."""

import hashlib
import hmac
import json
import os
import sys
from array import array
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, BinaryIO, get_origin, get_type_hints

from graders.cohort.roster import is_safe
from workbook.problems import Problem
from workbook.topics import SLUGS

SAFE_COPY = "put the record back: graders restore BACKUP COHORT"


@dataclass(frozen=True)
class Handed:
    """One exercise as handed to one learner: givens as printed, edition, the notebook's seal, the package's version.

    ``fresh`` are the other numbers the notebook is run with once more, which no learner sees; ``changing`` names the
    parts that have another right answer with them. ``orders`` are the words of each part in the order they were
    shown; a part that is not named shows them as the sheet does, as all did before orders were drawn. ``sheet`` is the
    hash of the instructor's own sheet, where the exercise is one of theirs. ``shop`` are the shop's rules at handout,
    by the reference they stand over (``topic.key``) and in its unit.
    """

    learner: str
    topic: str
    exercise: str
    notebook: str
    givens: dict[str, Any]
    edition: str
    seal: str
    version: str
    fresh: dict[str, Any]
    changing: list[str]
    orders: dict[str, list[str]] = field(default_factory=dict)
    sheet: str = ""
    shop: dict[str, float] = field(default_factory=dict)


def seal(secret: bytes, learner: str, topic: str, exercise: str, edition: str, givens: dict[str, Any]) -> str:
    """Return the seal of a handout. It says whose handout a notebook is, not who sent it."""
    text = json.dumps([learner, topic, exercise, edition, givens], sort_keys=True, ensure_ascii=False)
    return hmac.new(secret, text.encode(), hashlib.sha256).hexdigest()[:32]


def line(handed: Handed) -> str:
    """Return one line of the record. What not every handout has is written where it is something."""
    said = asdict(handed)
    for name in SOME_HAVE:
        if not said[name]:
            del said[name]
    return json.dumps(said, sort_keys=True, ensure_ascii=False) + "\n"


SOME_HAVE = ("sheet", "shop")
KINDS: dict[str, type] = {name: get_origin(kind) or kind for name, kind in get_type_hints(Handed).items()}


def _handed(text: bytes) -> Handed:
    """Return what a line says, or raise ValueError; what a newer version wrote besides is passed over."""
    said = json.loads(text.decode("utf-8"))
    if not isinstance(said, dict):
        raise ValueError("no line of a record")
    one = Handed(**{name: said[name] for name in KINDS if name in said})
    kinds = all(isinstance(getattr(one, name), kind) for name, kind in KINDS.items())
    if not kinds or not is_safe(one.learner) or not is_safe(one.notebook) or one.topic not in SLUGS:
        raise ValueError("no line of a record")
    return one


def append(path: Path, handed: Sequence[Handed]) -> None:
    """Write lines at the end in one piece, all or none, and see them safe on the disk.

    What a crash left of a last line is taken away first and kept in ``record.torn``.
    """
    with path.open("a+b") as file:
        end = _end_of_whole_lines(file)
        file.seek(end)
        torn = file.read()
        if torn:
            with path.with_name("record.torn").open("ab") as kept:
                kept.write(torn + b"\n")
            file.truncate(end)
        file.seek(max(end - 1, 0))
        start = b"" if file.read(1) in (b"", b"\n") else b"\n"
        try:
            file.write(start + "".join(map(line, handed)).encode())
            file.flush()
            os.fsync(file.fileno())
        except OSError:
            os.truncate(path, end)
            raise


def _end_of_whole_lines(file: BinaryIO) -> int:
    """Return where the last whole line ends: a last one without line end counts if it can be read."""
    size = place = file.seek(0, os.SEEK_END)
    last = b""
    while place and b"\n" not in last:
        step = min(1 << 16, place)
        place -= step
        file.seek(place)
        last = file.read(step) + last
    tail = last.rpartition(b"\n")[2]
    return size - len(tail) if _is_torn(tail) else size


def _is_torn(tail: bytes) -> bool:
    """Whether the text after the last line end is what a crash left of a line."""
    try:
        return bool(tail) and not _handed(tail)
    except (ValueError, TypeError, RecursionError):
        return True


class HandoutRecord:
    """A cohort's record, read as it is asked for: a thousand learners' numbers need not be in memory.

    Raises
    ------
    Problem
        If the file cannot be read, naming the line.
    """

    def __init__(self, path: Path):
        self._path = path
        self._places: dict[str, array[int]] = {}
        self._topics: dict[str, tuple[str, ...]] = {}
        self.editions: set[tuple[str, str, str, str]] = set()
        """Every (topic, exercise, edition, version) that was handed out."""
        self.sheets: set[tuple[str, str, str]] = set()
        """Every (topic, exercise, hash of its sheet) of own exercises that was handed out."""
        self.shops: dict[str, dict[str, float]] = {}
        """The shop's rules at handout, of each topic that was handed out."""
        self.doubled: dict[str, int] = {}
        """How many lines of a learner repeat an exercise; the first line of each counts."""
        self.torn = False
        """Whether a crash cut off the last line."""
        met: dict[str, int] = {}  # by learner, one bit for each exercise
        bits: dict[tuple[str, str], int] = {}
        same: dict[tuple[str, ...], tuple[str, ...]] = {}
        for place, handed in self._lines():
            learner, topic = sys.intern(handed.learner), sys.intern(handed.topic)
            bit = bits.setdefault((topic, handed.exercise), 1 << len(bits))
            if met.get(learner, 0) & bit:
                self.doubled[learner] = self.doubled.get(learner, 0) + 1
                continue
            met[learner] = met.get(learner, 0) | bit
            self._places.setdefault(learner, array("q")).append(place)
            topics = self._topics.get(learner, ())
            if topic not in topics:
                topics = (*topics, topic)
                self._topics[learner] = same.setdefault(topics, topics)
            self.editions.add((topic, handed.exercise, handed.edition, handed.version))
            self.shops.setdefault(topic, handed.shop)
            if handed.sheet:
                self.sheets.add((topic, handed.exercise, handed.sheet))

    def _lines(self) -> Iterator[tuple[int, Handed]]:
        place = 0
        try:
            with self._path.open("rb") as file:
                for number, text in enumerate(file, 1):
                    if not text.endswith(b"\n") and _is_torn(text):
                        self.torn = True
                        return
                    yield place, self._sound(text, number)
                    place += len(text)
        except OSError as error:
            raise Problem(f"{self._path} cannot be read: {error.strerror}.", SAFE_COPY) from None

    def _sound(self, text: bytes, number: int) -> Handed:
        try:
            return _handed(text)
        except (ValueError, TypeError, RecursionError):
            raise Problem(f"{self._path}, line {number}, is no line of a record.", SAFE_COPY) from None

    @property
    def learners(self) -> tuple[str, ...]:
        """The learners, in the order they were handed something."""
        return tuple(self._places)

    @property
    def topics(self) -> set[str]:
        """The topics that were handed out to somebody."""
        return {topic for topic, *_ in self.editions}

    def topics_of(self, learner: str) -> tuple[str, ...]:
        """Return the topics a learner was handed, in the order they were."""
        return self._topics.get(learner, ())

    def of(self, learner: str) -> tuple[Handed, ...]:
        """Return what a learner was handed; nothing for one who is unknown."""
        with self._path.open("rb") as file:
            return tuple(self._at(file, place) for place in self._places.get(learner, ()))

    def _at(self, file: BinaryIO, place: int) -> Handed:
        file.seek(place)
        return _handed(file.readline())

    def by_topic(self, learner: str) -> dict[str, tuple[Handed, ...]]:
        """Return what a learner was handed, by topic."""
        grouped: dict[str, tuple[Handed, ...]] = {}
        for one in self.of(learner):
            grouped[one.topic] = (*grouped.get(one.topic, ()), one)
        return grouped

    def find(self, learner: str, topic: str, exercise: str) -> Handed | None:
        """Return one exercise as it was handed to a learner, or None."""
        return next((one for one in self.of(learner) if (one.topic, one.exercise) == (topic, exercise)), None)

    def __iter__(self) -> Iterator[Handed]:
        for learner in self._places:
            yield from self.of(learner)
