"""The words of a near miss: numbers read from an exercise's text, and names filled in with a learner's own numbers."""

import re
from collections.abc import Mapping
from typing import Any

from graders.questions.exercise import Exercise
from graders.questions.parts.base import Part
from workbook import units

_POWERS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_NUMBER = re.compile(
    r"(?<![\w.\-–/,])(?<!\w\()(\d+(?:\.\d+)?)(?: × 10([⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+))?(?![\w\-–]|\.\d)[  ]?(°C|%|[A-Za-zΩµ/·²³]+)?"
)
_CITES = re.compile(r"(?:chapter|table|figure|equation|clause|part|page|job|example|section|step)s? $", re.IGNORECASE)
FEW = 12
"""Numbers of a text that are looked at, at the most."""


def numbers_of_the_text(exercise: Exercise, part: Part) -> tuple[tuple[float, str], ...]:
    """Return the numbers that the text up to a part names, each with its unit where it has one of ours.

    Numbers of standards, chapters and years are none of them, nor are 0 to 4 and powers of ten, which are structure.
    """
    asked = exercise.parts[: exercise.parts.index(part) + 1]
    text = " ".join([exercise.setup, *(one.ask for one in asked)])
    found: dict[tuple[float, str], None] = {}
    for match in _NUMBER.finditer(text):
        digits, power, unit = match.groups()
        number = float(f"{digits}e{(power or '0').translate(_POWERS)}")  # as it would be written in Python
        year = "." not in digits and 1900 <= number <= 2035
        structure = number in (0, 2, 3, 4) or re.fullmatch("10*", digits)
        if not (year or structure or _CITES.search(text[: match.start()])):
            found.setdefault((number, unit if unit in units.FACTORS else ""))
    return tuple(found)[:FEW]


def with_values(what: str, exercise: Exercise, givens: Mapping[str, Any], before: Mapping[str, Any]) -> str:
    """Fill the names of a change in, each given with the learner's own number."""

    def fill(match: re.Match[str]) -> str:
        name = match.group(1)
        value = givens.get(name)
        if name in before:
            return f"your `{name}`"
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            return f"`{name}`"
        return f"`{name}` ({value:g}{units.shown(exercise.givens[name].unit)})"

    return _NAME.sub(fill, what)


def bare(what: str, *_: object) -> str:
    """Fill the names of a change in without their numbers.

    >>> bare("{power} is halved")
    '`power` is halved'
    """
    return _NAME.sub(r"`\1`", what)


_NAME = re.compile(r"\{([a-z][a-z0-9_]*)\}")
