"""What a learner should have seen: the answers to every numbered try and every "Before you go on" of the lessons.

Each lesson's module holds, by the name of the cell that asks, a function that returns the answers in words, one for each
question. Their numbers are those the explorer or the cell itself shows: `look` asks the explorer's own picture, and
`hold` stops where a sentence says what the functions do not give. ``python -m workbook.panels.seen.printing`` writes the
answers, folded, into the lessons, or with a topic's slug into that one; a test holds the lessons to them.
"""

import importlib
import re
from dataclasses import dataclass
from functools import cache

from workbook.panels.explorer import settings_of
from workbook.panels.pictures import Reading


@dataclass(frozen=True)
class Look:
    """The readout of an explorer, by the first words of each line."""

    lines: tuple[Reading, ...]

    def line(self, words: str) -> Reading:
        """Return the first line that begins with the words."""
        return next(line for line in self.lines if line.words.startswith(words))

    def __getitem__(self, words: str) -> str:
        return self.line(words).value

    def state(self, words: str) -> str:
        """Return what the line says beside its value: inside, outside, a source."""
        return self.line(words).state

    def number(self, words: str) -> float:
        """Return the first number of a line's value."""
        found = re.search(r"[-+]?\d+(?: \d{3})*(?:\.\d+)?(?:e[-+]?\d+)?", self.line(words).value)
        return float(found[0].replace(" ", ""))


def look(explorer: str, **given) -> Look:
    """Return what an explorer (``topic.name``) shows where some of its controls are moved, the rest at the start."""
    return _look(explorer, tuple(sorted(given.items())))


@cache
def _look(explorer: str, given: tuple) -> Look:
    topic, name = explorer.split(".")
    panel = importlib.import_module(f"workbook.panels.{topic}")
    settings = settings_of(getattr(panel, f"{name.upper()}_CONTROLS"), dict(given))
    return Look(getattr(panel, f"{name}_picture")(settings).readout)


def before_margin(value: str) -> str:
    """Return a readout's value without its margin.

    >>> before_margin("242 °C, margin +3 K")
    '242 °C'
    """
    return value.split(",")[0]


def hold(*claims: bool) -> None:
    """Stop where something that an answer says is not so."""
    if not all(claims):
        raise ValueError("an answer says what the functions do not give")
