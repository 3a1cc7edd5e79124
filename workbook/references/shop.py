"""A shop's own rules: limits in a cohort's ``shop.toml`` that stand over common practice, and over some other values.

Which values may be set, and how far, the reference tables say (``shop``, ``stricter``). A shop may be stricter as it
likes, within what was tried; where its rule is laxer than a published limit, that is said wherever the rule is shown.
"""

import difflib
import math
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from workbook.problems import Problem
from workbook.references.loader import Reference, entry, load
from workbook.topics import SLUGS

FILE = "shop.toml"
STANDING = "shop's rule"
MOST_BYTES = 100_000
MOST_WORDS = 200
FIELDS = ("value", "unit", "why")
ENDLESS_NUMBER = re.compile(r"\dx?[0-9a-fA-F_]{199}")
"""More signs than a number can have that is counted with; Python's own readers stop with words of their own."""


def unit_of(reference: Reference) -> str:
    """Return a reference's unit as exercises write it."""
    return {"ohm": "Ω"}.get(reference.unit, reference.unit)


def _shown(reference: Reference) -> str:
    return "" if reference.unit == "1" else f" {unit_of(reference)}"


@dataclass(frozen=True)
class Rule:
    """One rule of a shop: the reference it stands over, its value in that reference's unit, and why."""

    reference: Reference
    value: float
    why: str = ""

    @property
    def name(self) -> str:
        """How it is named: ``topic.key``."""
        return f"{self.reference.topic}.{self.reference.key}"

    @property
    def is_lax(self) -> bool:
        """Whether it is less strict than what is published."""
        return is_laxer_than_published(self.reference, self.value)

    def words(self) -> str:
        """Say the rule in a line: what is limited, the value, and what it stands over."""
        unit = _shown(self.reference)
        why = f": {self.why}" if self.why else ""
        over = words(self.reference, self.value, f"{self.reference.value:g}{unit}")
        return f"{self.reference.name}: {self.value:g}{unit} ({over}){why}"


def words(reference: Reference, value: float, ours: str) -> str:
    """Say of a value that it is a shop's rule, and what it stands over, which is written as ``ours``."""
    if is_laxer_than_published(reference, value):
        return f"{STANDING}, laxer than the published {ours}"
    return f"{STANDING} instead of {ours}"


def is_laxer(reference: Reference, value: float) -> bool:
    """Whether a value is less strict than the one of the table."""
    return value > reference.value if reference.stricter == "lower" else value < reference.value


def is_laxer_than_published(reference: Reference, value: float) -> bool:
    """Whether a value is less strict than one that is published."""
    return is_laxer(reference, value) and reference.standing.startswith("published")


@cache
def may_be_set() -> dict[str, Reference]:
    """Return the references over which a shop's rule may stand, by ``topic.key``."""
    return {f"{slug}.{key}": one for slug in SLUGS for key, one in load(slug).items() if one.shop}


def ranges() -> list[str]:
    """Return what may be set and how far, each in words.

    >>> [words for words in ranges() if "dead_short" in words]
    ['shorts.dead_short_limit (0.5 to 1.5 Ω)']
    """
    return [f"{name} ({one.shop[0]:g} to {one.shop[1]:g}{_shown(one)})" for name, one in may_be_set().items()]


def reference(name: str) -> Reference:
    """Return the reference of a ``topic.key``, or raise BadReference."""
    return entry(*name.partition(".")[::2])


def read(root: Path) -> dict[str, Rule]:
    """Return the rules in a folder's shop.toml, by ``topic.key``; none where there is no file.

    Raises
    ------
    Problem
        For whatever is wrong with it, in one line, with what to write instead.
    """
    path = root / FILE
    if not path.exists():
        return {}
    try:
        if path.stat().st_size > MOST_BYTES:
            _wrong(f"has {path.stat().st_size} bytes", f"at most {MOST_BYTES}: it holds a few limits")
        text = path.read_text(encoding="utf-8-sig")
        if ENDLESS_NUMBER.search(text):
            _wrong("holds a number with too many digits", "write it shorter")
        raw = tomllib.loads(text)
    except UnicodeDecodeError as error:
        _wrong(f"is not UTF-8 at byte {error.start}", "save it as UTF-8")
    except OSError as error:
        _wrong(f"cannot be read: {error.strerror}", "look at the file's permissions")
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        _wrong(f"cannot be read: {error}", "write [shorts.dead_short_limit] and, below it, value and unit")
    rules = [_rule(topic, key, fields) for topic, keys in _topics(raw) for key, fields in keys.items()]
    return {rule.name: rule for rule in rules}


def told(said: dict) -> dict[str, Rule]:
    """Return the rules that a handed-out notebook says, by ``topic.key``; what cannot be one is passed over."""
    return {
        name: Rule(ours, value)
        for name, ours in may_be_set().items()
        if isinstance(value := said.get(name), (int, float)) and ours.shop[0] <= value <= ours.shop[1]
    }


def _topics(raw: dict) -> list[tuple[str, dict]]:
    for topic, keys in raw.items():
        if topic not in SLUGS:
            in_which = [name for name in may_be_set() if name.endswith(f".{topic}")]
            near = f"write [{in_which[0]}]" if in_which else _near(topic, SLUGS)
            _wrong(f"{topic!r} is no topic", near)
        if not isinstance(keys, dict):
            _wrong(
                f"{topic} = {keys!r:.60} is no limit", "write [shorts.dead_short_limit] and, below it, value and unit"
            )
    return list(raw.items())


def _rule(topic: str, key: str, fields) -> Rule:
    name, settable = f"{topic}.{key}", may_be_set()
    if name not in settable:
        if key in load(topic):
            standing = load(topic)[key].standing
            _wrong(f"no rule of a shop stands over {name} ({standing})", f"these may be set: {', '.join(settable)}")
        _wrong(f"{name} is no limit", _near(name, settable))
    if not isinstance(fields, dict):
        _wrong(f"{name} = {fields!r:.60} is not written as it must be", _example(settable[name]))
    for field in fields:
        if field not in FIELDS:
            _wrong(f"{name} has {field!r}, which is unknown", _near(field, FIELDS))
    ours = settable[name]
    for field in ("value", "unit"):
        if field not in fields:
            _wrong(f"{name} has no {field}", _example(ours))
    value, unit, why = fields["value"], fields["unit"], fields.get("why", "")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        _wrong(f"{name}: value {value!r:.60} is no number", _example(ours))
    if unit not in (ours.unit, unit_of(ours)):
        _wrong(f"{name}: unit {unit!r:.60}", f'its unit is "{unit_of(ours)}"; {_example(ours)}')
    low, high = ours.shop
    if not low <= value <= high:
        shown = _shown(ours)
        _wrong(
            f"{name}: {value:g}{shown} is outside {low:g} to {high:g}{shown}", "the exercises were tried within that"
        )
    if not isinstance(why, str) or len(why) > MOST_WORDS or not why.isprintable():
        _wrong(f"{name}: why is not a short text", f"write a sentence of at most {MOST_WORDS} characters")
    return Rule(ours, value, why)


def _near(name: str, there_are) -> str:
    near = difflib.get_close_matches(name, there_are, n=1, cutoff=0.5)
    return f"is {near[0]} meant?" if near else f"there are {', '.join(there_are)}"


def _example(ours: Reference) -> str:
    below = f'value = {ours.value:g} and unit = "{unit_of(ours)}"'
    return f"write it like this: [{ours.topic}.{ours.key}], and below it {below}"


def _wrong(what: str, tip: str) -> None:
    raise Problem(f"{FILE}: {what}.", tip)
