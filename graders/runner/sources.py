"""What can be told from a notebook's text before it runs: what it may need, and whether it can leave anything behind.

Where the text does not make it certain, a notebook is taken for one that needs all and may leave anything, and is only
slower. No wall hangs on these answers; that a notebook is marked as it would be alone hangs on `leaves_nothing`, so it
lets through what is listed and nothing else. Nothing is parsed, so no text is too deep.
"""

import builtins
import keyword
import re
import unicodedata
from collections.abc import Sequence
from functools import lru_cache

from .job import Sheet

__all__ = ["groups", "leaves_nothing", "wants_libraries"]

#: Lines that need no libraries but those the bare process holds, and what in a line may ask for more.
LIGHT = re.compile(r"\s*(from (c?math|numpy) import [\w, ]+|import (c?math|numpy)( as \w+)?)\s*(#.*)?")
HEAVY = re.compile(r"import|^\s*%")

#: An import that changes nothing: `math` holds functions and numbers alone.
FROM_MATH = re.compile(r"^from math import [\w, ]+$", re.MULTILINE)
#: A comment has no quote before it on its line; a string over several lines is told by its first quotes.
COMMENT = re.compile(r"^([^'\"#\n]*)#.*$", re.MULTILINE)
WORD = re.compile(r"[^\W\d]\w*")
#: An attribute, a string over several lines, an escape, and what the shell reads in its own way.
MORE_THAN_ARITHMETIC = re.compile(r"\.\s*[^\W\d]|'''|\"\"\"|[\\?@$`]|!(?!=)|^\s*[%,;/]|=\s*%", re.MULTILINE)
HARMLESS = set(
    re.findall(
        r"\w+",
        "abs all any bool dict divmod enumerate float int len list max min print range reversed round set sorted str "
        "sum tuple zip True False None and break continue def elif else for if in is lambda not or pass return while",
    )
)
FORBIDDEN = frozenset(
    {*dir(builtins), *keyword.kwlist, "In", "Out", "display", "exit", "get_ipython", "open", "quit"} - HARMLESS
)


def wants_libraries(sheets: Sequence[Sheet]) -> bool:
    """Return whether some line may import more than the bare process holds.

    One that hides it imports its library all the same, only more slowly.
    """
    lines = (line for sheet in sheets for cell in sheet.cells for line in cell.source.splitlines())
    return any(HEAVY.search(line) and not LIGHT.fullmatch(line) for line in lines)


def leaves_nothing(sheet: Sheet) -> bool:
    """Return whether a notebook is arithmetic alone, so that clearing its names undoes all it did.

    It reads and sets names and items of its own, and calls its own functions, those of ``math`` and a few builtins. It
    reaches no attribute, so no object that is there before it and after it can be changed.

    >>> from graders.runner.job import Cell
    >>> leaves_nothing(Sheet("01", (Cell("from math import sqrt\\nloss = 0.5 * sqrt(area)  # W"),)))
    True
    >>> leaves_nothing(Sheet("01", (Cell("().__class__.__base__.mark = 1"),)))
    False
    """
    return all(_is_arithmetic(cell.source) for cell in sheet.cells)


@lru_cache(maxsize=512)  # a topic's notebooks are run twice, and have cells in common
def _is_arithmetic(source: str) -> bool:
    if not source.replace("\n", "").replace("\t", "").isprintable():  # a line may end otherwise than it looks
        return False
    text = FROM_MATH.sub("", unicodedata.normalize("NFKC", COMMENT.sub(r"\1", source)))  # as Python reads names
    if MORE_THAN_ARITHMETIC.search(text):
        return False
    words = set(WORD.findall(text))
    return words.isdisjoint(FORBIDDEN) and not any(word.startswith("_") for word in words)


def groups(sheets: Sequence[Sheet]) -> list[int]:
    """Return how many sheets, from the first on, each process runs: one, or a row of some that leave nothing."""
    sizes: list[int] = []
    shares = None
    for sheet in sheets:
        kind = sheet.pictures if leaves_nothing(sheet) else None
        if kind is not None and kind == shares:
            sizes[-1] += 1
        else:
            sizes.append(1)
        shares = kind
    return sizes
