"""Find a reference value, or a word or symbol of the glossary, and say where it comes from and where it is taught."""

import ast
import difflib
import re
import tomllib
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType

from workbook import units
from workbook.problems import Problem
from workbook.references import shop
from workbook.references.loader import Reference, load
from workbook.references.shop import Rule
from workbook.server import folder
from workbook.topics import TOPICS, by_slug

MOST = 8
"""How many values are shown; the rest is counted."""

MOST_FUNCTIONS = 3
"""How many functions of the bench are named."""

SHORT = 4
"""A term of so many letters or fewer has to be a whole word: CTE is not in respected."""


@dataclass(frozen=True)
class Word:
    """One entry of the glossary."""

    words: tuple[str, ...]
    means: str
    topics: tuple[str, ...]


@dataclass(frozen=True)
class Function:
    """A public function of the bench, as its own text has it."""

    name: str
    claim: str
    text: str
    topic: str


@cache
def bench() -> tuple[Function, ...]:
    """Return every public function of the bench, read and not imported: that would load what is slow."""
    found = []
    for topic in TOPICS:
        for path in sorted(folder_of_bench().joinpath(topic.slug).glob("*.py")):
            source = path.read_text(encoding="utf-8")
            for node in ast.parse(source).body:
                text = ast.get_docstring(node) if isinstance(node, ast.FunctionDef) else None
                if text and f'"{node.name}"' in source:  # as `__all__` names it
                    name = f"workbook.bench.{topic.slug}.{path.stem}.{node.name}({ast.unparse(node.args)})"
                    claim = " ".join(text.split("\n\n")[0].split()).removeprefix("Return ")
                    found.append(Function(name, claim[:1].upper() + claim[1:], text, topic.slug))
    return tuple(found)


def folder_of_bench() -> Path:
    return Path(__file__).with_name("bench")


@cache
def glossary() -> tuple[Word, ...]:
    """Return the glossary."""
    text = resources.files("workbook").joinpath("glossary.toml").read_text(encoding="utf-8")
    return tuple(Word(tuple(one["words"]), one["means"], tuple(one["topics"])) for one in tomllib.loads(text).values())


def references() -> list[Reference]:
    """Return every reference value, in teaching order."""
    return [reference for topic in TOPICS for reference in load(topic.slug).values()]


def lines(term: str, rules: Mapping[str, Rule] = MappingProxyType({})) -> Iterator[str]:
    """Yield what is known about a term, as lines to print, or raise Problem with what is spelled nearly the same.

    ``rules`` are a shop's own: each is told under the value that it stands over.
    """
    words, values = find(term)
    functions = computing(term)
    if not words and not values and not functions:
        raise Problem(f"nothing is known as {term.strip()!r}.", _way_on(term))
    for word in words:
        yield f"{', '.join(word.words)}: {word.means}"
        yield f"    {taught(word.topics)}"
    for reference in values[:MOST]:
        yield from shown(reference)
        if rule := rules.get(f"{reference.topic}.{reference.key}"):
            yield f"    here it is otherwise: {rule.words().removeprefix(f'{reference.name}: ')}"
    if len(values) > MOST:
        yield f"{len(values) - MOST} more values fit; add a word to see fewer."
    for function in functions[:MOST_FUNCTIONS]:
        yield f"{function.name}: {function.claim}"
        yield f"    a function to compute with; {taught((function.topic,))}"


def rules_here(here: Path) -> dict[str, Rule]:
    """Return the shop's rules in this folder: those of a cohort's shop.toml, or those that a handout says."""
    rules, root = shop.read(here), folder.default(here)
    for path in sorted(root.glob("*/*.ipynb")) if not rules else ():
        said = folder.about(path).get("shop")
        rules |= shop.told(said) if isinstance(said, dict) else {}
    return rules


def _way_on(term: str) -> str:
    near = nearest(term)
    if near:
        return f"did you mean {' or '.join(near)}"
    return "try one word of it" if len(term.split()) > 1 else "try another word for it"


def find(term: str) -> tuple[list[Word], list[Reference]]:
    """Return the words and the values that fit a term, and the values that fit the word's other names after them."""
    plain, wanted = _plain(term), _pieces(term)
    if not wanted:
        return [], []
    words = [word for word in glossary() if plain in map(_plain, word.words)]
    if words and len(plain) == 1:  # a symbol, which as a letter stands in half of all names
        return words, []
    synonyms = [_pieces(name) for word in words for name in word.words if len(_plain(name)) > 1]
    if not words and len(plain) > 2:
        words = [word for word in glossary() if any(_holds(_pieces(name), wanted) for name in word.words)]
    scored = []
    for place, reference in enumerate(references()):
        held = _pieces(f"{reference.name} {reference.key}")
        fits = [
            names for names in (wanted, *synonyms) if _holds(held, names) and (names is wanted or _near(held, names))
        ]
        if fits:
            whole = sum(piece in held for piece in wanted)
            rank = (fits[0] is not wanted, -whole, reference.kind == "trap", len(reference.name), place)
            scored.append((rank, reference))
    return words, [reference for _, reference in sorted(scored, key=lambda entry: entry[0])]


def computing(term: str) -> list[Function]:
    """Return the functions of the bench that a term names: by their name and claim, or words together in their text.

    >>> [one.name.split("(")[0] for one in computing("sample size")][:1]
    ['workbook.bench.intake.evidence.success_run_trials']
    """
    wanted = _pieces(term)
    if not wanted or len(_plain(term)) == 1:
        return []
    named, told = [], []
    for one in bench():
        if _holds(_pieces(f"{one.name.partition('(')[0]} {one.claim}".replace("_", " ")), wanted):
            named.append(one)
        elif len(wanted) > 1 and _near(_pieces(one.text), wanted):
            told.append(one)
    return named + told


def _holds(held: list[str], wanted: list[str]) -> bool:
    """Whether each wanted piece stands in a text: as a whole word, or where it is long, at a word's start.

    >>> _holds(["respected", "pads"], ["cte"]), _holds(["respected", "pads"], ["pad"])
    (False, True)
    """
    return all(
        any(word in (piece, f"{piece}s") if len(piece) <= SHORT else word.startswith(piece) for word in held)
        for piece in wanted
    )


def _near(held: list[str], wanted: list[str]) -> bool:
    """Whether the wanted pieces stand together: of another name for a word, scattered pieces mean something else.

    >>> _near(["junction", "to", "case"], ["junction", "to", "case"])
    True
    >>> _near(["time", "to", "1", "junction", "time", "case"], ["junction", "to", "case"])
    False
    """
    places = [at for at, word in enumerate(held) if any(word.startswith(piece) for piece in wanted)]
    return any(_holds(held[at : at + len(wanted) + 1], wanted) for at in places)


@cache
def _spelled(term: str) -> str:
    """Return a term with its Greek letters spelled out, and each of several ways to write a sign as one.

    >>> _spelled("RθJC"), _spelled("µm")
    ('R theta JC', ' mu m')
    """
    return "".join(_sign(letter) for letter in unicodedata.normalize("NFKC", term))


def _sign(letter: str) -> str:
    name = unicodedata.name(letter, "")
    greek = re.fullmatch(r"GREEK (?:SMALL|CAPITAL) LETTER (?:FINAL )?(\w+)", name)
    return f" {greek[1].lower().replace('lamda', 'lambda')} " if greek else letter


def _plain(term: str) -> str:
    """Return a term without what people write in several ways. One letter alone keeps its case: U is not u."""
    term = term.strip()
    if len(term) == 1 and term.isascii():
        return term
    return " ".join(re.split(r"[\s_-]+", _spelled(term).strip())).casefold()


def _pieces(term: str) -> list[str]:
    return re.findall(r"[^\W_]+", _spelled(term).casefold())


def nearest(term: str) -> list[str]:
    """Return known words spelled nearly the same, which begin alike; nothing where none is near."""
    known = {_plain(other): other for word in glossary() for other in word.words}
    known |= {piece: piece for reference in references() for piece in _pieces(reference.name) if len(piece) > SHORT}
    plain = _plain(term)
    alike = [other for other in known if other[:1] == plain[:1]]
    return [known[near] for near in difflib.get_close_matches(plain, alike, n=3, cutoff=0.8)]


def shown(reference: Reference) -> Iterator[str]:
    """Yield a reference value as lines: value, standing and source, where it is taught."""
    name = units.written(reference.name)
    if reference.kind == "trap":
        yield f"{name}: wrong in print ({_value(reference.printed)}); {_with_unit(reference)} is right"
    elif reference.columns:
        yield f"{name} [{units.written(reference.unit)}]:"
        yield from _table(reference)
    else:
        yield f"{name}: {_with_unit(reference)}{_uncertainty(reference)}"
    edition = f" ({reference.edition})" if reference.edition else ""
    yield f"    {reference.origin()}{edition}"
    if reference.note:
        yield f"    {reference.note}"
    yield f"    {taught((reference.topic,))}"


def _with_unit(reference: Reference) -> str:
    value, unit = reference.value, units.written(reference.unit)
    each = unit.split(", ")
    if isinstance(value, str):
        return value
    if isinstance(value, tuple) and 1 < len(each) == len(value):
        return ", ".join(_value(one) + units.shown(unit) for one, unit in zip(value, each, strict=True))
    told = f"{_value(value[0])} to {_value(value[1])}" if is_range(reference) else _value(value)
    return told + units.shown(unit)


def is_range(reference: Reference) -> bool:
    """Whether two values are a range's ends: they rise, in one unit, and the name does not tell two things apart."""
    value, name = reference.value, reference.name.replace("lowest and highest", "")
    if not (isinstance(value, tuple) and len(value) == 2 and all(isinstance(end, (int, float)) for end in value)):
        return False
    told_apart = " and " in name or "of two " in name or "," in name.partition(":")[2]
    return value[0] < value[1] and "," not in reference.unit and not told_apart


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
