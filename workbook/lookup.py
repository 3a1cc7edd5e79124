"""Find a reference value, or a word or symbol of the glossary, and say where it comes from and where it is taught."""

import difflib
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources

from workbook.problems import Problem
from workbook.references.loader import Reference, load
from workbook.topics import TOPICS, by_slug

MOST = 8
"""How many values are shown; the rest is counted."""


@dataclass(frozen=True)
class Word:
    """One entry of the glossary."""

    words: tuple[str, ...]
    means: str
    topics: tuple[str, ...]


@cache
def glossary() -> tuple[Word, ...]:
    """Return the glossary."""
    text = resources.files("workbook").joinpath("glossary.toml").read_text(encoding="utf-8")
    return tuple(Word(tuple(one["words"]), one["means"], tuple(one["topics"])) for one in tomllib.loads(text).values())


def references() -> list[Reference]:
    """Return every reference value, in teaching order."""
    return [reference for topic in TOPICS for reference in load(topic.slug).values()]


def lines(term: str) -> Iterator[str]:
    """Yield what is known about a term, as lines to print, or raise Problem with what is spelled nearly the same."""
    words, values = find(term)
    if not words and not values:
        near = nearest(term)
        raise Problem(
            f"nothing is known as {term!r}.", f"did you mean {' or '.join(near)}" if near else "try one word of it"
        )
    for word in words:
        yield f"{', '.join(word.words)}: {word.means}"
        yield f"    {taught(word.topics)}"
    for reference in values[:MOST]:
        yield from shown(reference)
    if len(values) > MOST:
        yield f"{len(values) - MOST} more values fit; add a word to see fewer."


def find(term: str) -> tuple[list[Word], list[Reference]]:
    """Return the words and the values that fit a term; those that hold it as whole words come first."""
    wanted = _pieces(term)
    if not wanted:
        return [], []
    plain = _plain(term)
    words = [word for word in glossary() if plain in map(_plain, word.words)]
    if not words and len(plain) > 2:
        words = [word for word in glossary() if any(plain in _plain(other) for other in word.words)]
    if words and len(plain) == 1:  # a symbol, which as a letter stands in half of all names
        return words, []
    scored = []
    for place, reference in enumerate(references()):
        held = f"{reference.name} {reference.key.replace('_', ' ')}".casefold()
        if all(piece in held for piece in wanted):
            whole = sum(re.search(rf"\b{re.escape(piece)}\b", held) is not None for piece in wanted)
            if whole or len(plain) > 2:
                scored.append((-whole, reference.kind == "trap", len(reference.name), place, reference))
    return words, [entry[-1] for entry in sorted(scored, key=lambda entry: entry[:-1])]


def _plain(term: str) -> str:
    """Return a term without what people write in several ways. One letter alone keeps its case: U is not u."""
    term = term.strip()
    return term if len(term) == 1 else re.sub(r"[\s_-]+", " ", term).casefold()


def _pieces(term: str) -> list[str]:
    return [piece for piece in re.split(r"[\s_,]+", term.casefold()) if piece]


def nearest(term: str) -> list[str]:
    """Return known words spelled nearly the same."""
    known = {_plain(other): other for word in glossary() for other in word.words}
    known |= {piece: piece for reference in references() for piece in _pieces(reference.name) if len(piece) > 3}
    return [known[near] for near in difflib.get_close_matches(_plain(term), known, n=3, cutoff=0.7)]


def shown(reference: Reference) -> Iterator[str]:
    """Yield a reference value as lines: value, standing and source, where it is taught."""
    if reference.kind == "trap":
        yield f"{reference.name}: wrong in print ({_value(reference.printed)}); {_with_unit(reference)} is right"
    elif reference.columns:
        yield f"{reference.name} [{reference.unit}]:"
        yield from _table(reference)
    else:
        yield f"{reference.name}: {_with_unit(reference)}{_uncertainty(reference)}"
    edition = f" ({reference.edition})" if reference.edition else ""
    yield f"    {reference.origin()}{edition}"
    if reference.note:
        yield f"    {reference.note}"
    yield f"    {taught((reference.topic,))}"


def _with_unit(reference: Reference) -> str:
    return _value(reference.value) + (f" {reference.unit}" if reference.unit != "1" else "")


def _uncertainty(reference: Reference) -> str:
    if isinstance(reference.uncertainty, str):
        return ""
    return f" ± {reference.uncertainty:g}"


def _value(value) -> str:
    if isinstance(value, tuple):
        return ", ".join(_value(item) for item in value)
    return value if isinstance(value, str) else f"{value:g}" if isinstance(value, float) else str(value)


def _table(reference: Reference, most: int = 12) -> Iterator[str]:
    """Yield a table's lines, each value under its column's name; of a long table the first ones."""
    lines = reference.value if isinstance(reference.value[0], tuple) else (reference.value,)
    names = reference.rows or ("",) * len(lines)
    for name, line in list(zip(names, lines, strict=True))[:most]:
        cells = ", ".join(f"{column} {_value(value)}" for column, value in zip(reference.columns, line, strict=True))
        yield f"    {name + ': ' if name else ''}{cells}"
    if len(lines) > most:
        yield f"    and {len(lines) - most} more lines"


def taught(topics: tuple[str, ...]) -> str:
    """Say in which topics something is taught."""
    named = [f"{by_slug(slug).number} {slug}" for slug in topics]
    return f"taught in topic{'s' if len(named) > 1 else ''} {', '.join(named)}"
