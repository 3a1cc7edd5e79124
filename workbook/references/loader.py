"""Read the reference tables, and refuse a value that does not say where it comes from."""

import difflib
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

STANDINGS = {
    "published": "read in the source itself",
    "published-second-hand": "read in a text that quotes the source; the source itself was not seen",
    "computed": "computed by us from stated inputs, with a general-purpose library or our own derivation",
    "common-practice": "a rule of the trade with no standard behind it",
    "from-memory": "believed to stand in the source named; not seen",
}
"""What may be said of a value's origin, strongest first. A value is never given a better standing than it has."""

KINDS = {
    "value": "a quantity",
    "answer": "the answer a source prints to a worked example or a table",
    "trap": "an answer that is wrong in print: `printed` is what stands there, `value` is what it should be",
}

_SOURCELESS = {"common-practice"}
_REQUIRED = ("name", "value", "unit", "standing")
_OPTIONAL = ("uncertainty", "source", "locator", "note", "kind", "printed", "rows", "columns", "edition")


class ReferenceError(ValueError):
    """A reference table that cannot be used, said in one line with the way out."""


@dataclass(frozen=True)
class Reference:
    """One reference value.

    ``uncertainty`` is a number in the value's unit, ``"exact"`` or ``"not given"``: three different things.
    """

    topic: str
    key: str
    name: str
    value: object
    unit: str
    standing: str
    source: str = ""
    locator: str = ""
    uncertainty: float | str = "not given"
    note: str = ""
    kind: str = "value"
    printed: object = None
    rows: tuple = ()
    columns: tuple = ()
    edition: str = ""

    def origin(self) -> str:
        """Say in one line where the value comes from: standing, source and place in the source."""
        place = ", ".join(part for part in (self.source, self.locator) if part)
        return f"{self.standing}: {place}" if place else self.standing


@cache
def load(topic: str) -> MappingProxyType:
    """Return the references of a topic by key, or raise ReferenceError with one line saying what to mend."""
    file = resources.files(__package__).joinpath(f"{topic}.toml")
    if not file.is_file():
        raise ReferenceError(f"references/{topic}.toml: there is no such table")
    return MappingProxyType(parse(topic, file.read_text(encoding="utf-8")))


def parse(topic: str, text: str) -> dict[str, Reference]:
    """Return the references written in text, or raise ReferenceError.

    >>> parse("paste", '[k]\\nname = "k"\\nvalue = 1\\nunit = "1"\\nstanding = "published"')
    Traceback (most recent call last):
    ...
    workbook.references.loader.ReferenceError: references/paste.toml: [k] has no 'source'. Add one, or set standing = "common-practice".
    """
    where = f"references/{topic}.toml"
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ReferenceError(f"{where}: not valid TOML: {error}") from None
    return {key: _reference(where, topic, key, fields) for key, fields in raw.items()}


def _reference(where: str, topic: str, key: str, fields) -> Reference:
    if not isinstance(fields, dict):
        raise ReferenceError(f"{where}: {key!r} stands outside a table. Write [{key}] and its fields below.")
    for field in fields:
        if field not in _REQUIRED + _OPTIONAL:
            near = difflib.get_close_matches(field, _REQUIRED + _OPTIONAL, n=1)
            hint = f" Did you mean {near[0]!r}?" if near else f" Known keys: {', '.join(_REQUIRED + _OPTIONAL)}."
            raise ReferenceError(f"{where}: [{key}] has an unknown key {field!r}.{hint}")
    for field in _REQUIRED:
        if field not in fields or fields[field] == "":
            raise ReferenceError(f"{where}: [{key}] has no {field!r}. Add one.")
    standing, kind = fields["standing"], fields.get("kind", "value")
    if standing not in STANDINGS:
        raise ReferenceError(f"{where}: [{key}] has standing {standing!r}. It must be one of {', '.join(STANDINGS)}.")
    if kind not in KINDS:
        raise ReferenceError(f"{where}: [{key}] has kind {kind!r}. It must be one of {', '.join(KINDS)}.")
    if standing not in _SOURCELESS and not fields.get("source"):
        raise ReferenceError(f"{where}: [{key}] has no 'source'. Add one, or set standing = \"common-practice\".")
    if kind == "trap" and "printed" not in fields:
        raise ReferenceError(f"{where}: [{key}] is a trap without 'printed'. Add what the source prints.")
    uncertainty = fields.get("uncertainty", "not given")
    if isinstance(uncertainty, bool) or not (
        isinstance(uncertainty, (int, float)) and uncertainty > 0 or uncertainty in ("exact", "not given")
    ):
        raise ReferenceError(
            f"{where}: [{key}] has uncertainty {uncertainty!r}. It must be a number above 0, \"exact\" or \"not given\"."
        )
    frozen = {name: _frozen(content) for name, content in fields.items()}
    return Reference(topic=topic, key=key, **frozen)


def _frozen(content):
    return tuple(_frozen(item) for item in content) if isinstance(content, list) else content


def entry(topic: str, key: str) -> Reference:
    """Return one reference, or raise ReferenceError naming the nearest keys."""
    references = load(topic)
    if key not in references:
        near = difflib.get_close_matches(key, references, n=3)
        hint = f" Did you mean {' or '.join(near)}?" if near else ""
        raise ReferenceError(f"references/{topic}.toml has no [{key}].{hint}")
    return references[key]


def value(topic: str, key: str):
    """Return the value of one reference, in its own unit. A trap is no value and raises ReferenceError."""
    reference = entry(topic, key)
    if reference.kind == "trap":
        raise ReferenceError(f"references/{topic}.toml: [{key}] is a trap (wrong in print), never a value to use.")
    return reference.value


def table(topic: str, key: str) -> dict:
    """Return a reference with ``rows`` and ``columns`` as ``{row: {column: value}}``."""
    reference = entry(topic, key)
    if not reference.rows or not reference.columns:
        raise ReferenceError(f"references/{topic}.toml: [{key}] has no rows and columns.")
    return {
        row: dict(zip(reference.columns, line, strict=True))
        for row, line in zip(reference.rows, reference.value, strict=True)
    }
