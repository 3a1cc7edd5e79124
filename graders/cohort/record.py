"""The record of own numbers: what was handed out to whom. It is the truth; drawing again is only a check."""

import hashlib
import hmac
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path

from workbook.problems import Problem

SAFE_COPY = "put the record back from your safe copy"


@dataclass(frozen=True)
class Handed:
    """One exercise as handed to one learner: givens as printed, edition, the notebook's seal, the package's version.

    ``fresh`` are the other numbers the notebook is run with once more, which no learner sees; ``changing`` names the
    parts that have another right answer with them. ``orders`` are the words of each part in the order they were
    shown; a part that is not named shows them as the sheet does, as all did before orders were drawn.
    """

    learner: str
    topic: str
    exercise: str
    notebook: str
    givens: dict
    edition: str
    seal: str
    version: str
    fresh: dict
    changing: list[str]
    orders: dict[str, list[str]] = field(default_factory=dict)


def seal(secret: bytes, learner: str, topic: str, exercise: str, edition: str, givens: dict) -> str:
    """Return the seal of a handout. It says whose handout a notebook is, not who sent it."""
    text = json.dumps([learner, topic, exercise, edition, givens], sort_keys=True, ensure_ascii=False)
    return hmac.new(secret, text.encode(), hashlib.sha256).hexdigest()[:32]


def line(handed: Handed) -> str:
    """Return one line of the record."""
    return json.dumps(asdict(handed), sort_keys=True, ensure_ascii=False) + "\n"


def _handed(line: dict) -> Handed:
    """Return what a line says; what a newer version wrote besides is passed over."""
    return Handed(**{name: value for name, value in line.items() if name in FIELDS})


FIELDS = tuple(one.name for one in fields(Handed))


class Record:
    """A cohort's record, read as it is asked for: a thousand learners' numbers need not be in memory.

    Raises
    ------
    Problem
        If the file cannot be read, naming the line.
    """

    def __init__(self, path: Path):
        self._path = path
        self._places: dict[str, list[int]] = {}
        self.editions: set[tuple[str, str, str, str]] = set()
        """Every (topic, exercise, edition, version) that was handed out."""
        for place, handed in self._lines():
            self._places.setdefault(handed.learner, []).append(place)
            self.editions.add((handed.topic, handed.exercise, handed.edition, handed.version))

    def _lines(self) -> Iterator[tuple[int, Handed]]:
        place = 0
        try:
            with self._path.open("rb") as file:
                for number, text in enumerate(file, 1):
                    yield place, self._handed(text, number)
                    place += len(text)
        except OSError as error:
            raise Problem(f"{self._path} cannot be read: {error}", SAFE_COPY) from None

    def _handed(self, text: bytes, number: int) -> Handed:
        try:
            return _handed(json.loads(text.decode("utf-8")))
        except (ValueError, TypeError):
            raise Problem(f"{self._path}, line {number}, is no line of a record.", SAFE_COPY) from None

    @property
    def learners(self) -> tuple[str, ...]:
        """The learners, in the order they were handed something."""
        return tuple(self._places)

    def of(self, learner: str) -> tuple[Handed, ...]:
        """Return what a learner was handed; nothing for one who is unknown."""
        with self._path.open("rb") as file:
            return tuple(self._at(file, place) for place in self._places.get(learner, ()))

    def _at(self, file, place: int) -> Handed:
        file.seek(place)
        return _handed(json.loads(file.readline()))

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
