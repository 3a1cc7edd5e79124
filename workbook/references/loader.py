"""Read the reference tables, and refuse a value that does not say where it comes from."""

import difflib
import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

STANDINGS = {
    "published": "read in the source itself",
    "published-unnamed": "read in a page or paper that has no title, publisher or date to name; look for a better one",
    "published-second-hand": "read in a text that quotes the source; the source itself was not seen",
    "computed": "computed by us from stated inputs, with a general-purpose library or our own derivation",
    "common-practice": "a rule of the trade with no standard behind it",
    "from-memory": "believed to stand in the source named; not seen",
    "invented": "made up or assumed by this workbook; nothing in the trade stands behind it",
}
"""What may be said of a value's origin, strongest first. A value is never given a better standing than it has."""

KINDS = {
    "value": "a quantity",
    "answer": "the answer a source prints to a worked example or a table",
    "trap": "an answer that is wrong in print: `printed` is what stands there, `value` is what it should be",
}

_SOURCELESS = {"common-practice"}
_REQUIRED = ("name", "value", "unit", "standing")
_TEXTS = ("name", "unit", "standing", "source", "locator", "note", "kind", "edition")
_OPTIONAL = (
    "uncertainty",
    "source",
    "locator",
    "note",
    "kind",
    "printed",
    "rows",
    "columns",
    "edition",
    "shop",
    "stricter",
)


class BadReference(ValueError):
    """A reference table that cannot be used, said in one line with the way out."""


@dataclass(frozen=True)
class Reference:
    """One reference value.

    ``uncertainty`` is a number in the value's unit, ``"exact"`` or ``"not given"``: three different things. ``shop`` is
    the lowest and the highest value that a rule of a shop may put in its place, and ``stricter`` says which way is the
    stricter one, ``"lower"`` or ``"higher"``; of most values no shop has a say.
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
    shop: tuple = ()
    stricter: str = ""

    def origin(self) -> str:
        """Say in one line where the value comes from: standing, source and place in the source."""
        place = ", ".join(part for part in (self.source, self.locator) if part)
        return f"{self.standing}: {place}" if place else self.standing


@cache
def load(topic: str) -> MappingProxyType:
    """Return the references of a topic by key, or raise BadReference with one line saying what to mend."""
    file = resources.files(__package__).joinpath(f"{topic}.toml")
    if not file.is_file():
        raise BadReference(f"references/{topic}.toml: there is no such table")
    try:
        text = file.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise BadReference(f"references/{topic}.toml: not UTF-8 at byte {error.start}. Save it as UTF-8.") from None
    return MappingProxyType(parse(topic, text))


def parse(topic: str, text: str) -> dict[str, Reference]:
    """Return the references written in text, or raise BadReference.

    >>> parse("paste", '[k]\\nname = "k"\\nvalue = 1\\nstanding = "published"')
    Traceback (most recent call last):
    ...
    workbook.references.loader.BadReference: references/paste.toml: [k] has no 'unit'. Add one.
    """
    where = f"references/{topic}.toml"
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadReference(f"{where}: not valid TOML: {error}") from None
    references = {}
    for key, fields in raw.items():
        if not isinstance(fields, dict):
            raise BadReference(f"{where}: {key!r} stands outside a table. Write [{key}] and its fields below.")
        try:
            _hold(fields)
        except BadReference as error:
            raise BadReference(f"{where}: [{key}] {error}") from None
        references[key] = Reference(topic=topic, key=key, **{name: _frozen(field) for name, field in fields.items()})
    return references


def _hold(fields: dict) -> None:
    """Raise BadReference, in words that follow the key, unless the fields make a reference."""
    for field in fields:
        if field not in _REQUIRED + _OPTIONAL:
            near = difflib.get_close_matches(field, _REQUIRED + _OPTIONAL, n=1)
            hint = f" Did you mean {near[0]!r}?" if near else f" Known keys: {', '.join(_REQUIRED + _OPTIONAL)}."
            raise BadReference(f"has an unknown key {field!r}.{hint}")
    for field in _REQUIRED:
        if field not in fields or fields[field] == "":
            raise BadReference(f"has no {field!r}. Add one.")
    for field in _TEXTS:
        if not isinstance(fields.get(field, ""), str):
            raise BadReference(f"has {field} {fields[field]!r}. It must be text.")
    standing, kind = fields["standing"], fields.get("kind", "value")
    if standing not in STANDINGS:
        raise BadReference(f"has standing {standing!r}. It must be one of {', '.join(STANDINGS)}.")
    if kind not in KINDS:
        raise BadReference(f"has kind {kind!r}. It must be one of {', '.join(KINDS)}.")
    if standing not in _SOURCELESS and not fields.get("source"):
        raise BadReference("has no 'source'. Add one, or set standing = \"common-practice\".")
    if kind == "trap" and "printed" not in fields:
        raise BadReference("is a trap without 'printed'. Add what the source prints.")
    if kind != "trap" and "printed" in fields:
        raise BadReference(f"has 'printed' but kind {kind!r}. Only a trap has it.")
    for field in ("value", "printed"):
        if field in fields and not _is_value(fields[field]):
            raise BadReference(f"has {field} {fields[field]!r}. It must be a number, text, or a list of them.")
    if kind == "trap" and fields["printed"] == fields["value"]:
        raise BadReference("is a trap that prints its own value. One of the two is not what you mean.")
    _hold_shape(fields["value"], fields.get("rows"), fields.get("columns"))
    _hold_uncertainty(fields.get("uncertainty", "not given"), fields["value"])
    _hold_shop(fields["value"], fields.get("shop"), fields.get("stricter"))


def _hold_shape(value, rows, columns) -> None:
    for name, labels in (("rows", rows), ("columns", columns)):
        if labels is not None and not (isinstance(labels, list) and labels and all(isinstance(x, str) for x in labels)):
            raise BadReference(f"has {name} {labels!r}. It must be a list of texts.")
    if rows is not None and columns is None:
        raise BadReference("has rows but no columns. Add them.")
    if columns is None:
        return
    lines = value if isinstance(value, list) and all(isinstance(line, list) for line in value) else [None]
    if rows is not None and len(lines) != len(rows):
        raise BadReference(f"has {len(rows)} rows named and {len(lines)} in its value.")
    for line in lines:
        if line is None or len(line) != len(columns):
            got = "no lists" if line is None else f"a list of {len(line)}"
            raise BadReference(f"has {len(columns)} columns named and {got} in its value.")


def _hold_uncertainty(uncertainty, value) -> None:
    if uncertainty in ("exact", "not given"):
        return
    if not is_number(uncertainty) or uncertainty <= 0:
        raise BadReference(f'has uncertainty {uncertainty!r}. It must be a number above 0, "exact" or "not given".')
    if isinstance(value, str):
        raise BadReference(f"has uncertainty {uncertainty!r} on a text. Leave it out.")


def _hold_shop(value, shop, stricter) -> None:
    if shop is None and stricter is None:
        return
    ends = isinstance(shop, list) and len(shop) == 2 and all(map(is_number, shop))
    if not ends or not is_number(value) or not shop[0] <= value <= shop[1] or stricter not in ("lower", "higher"):
        raise BadReference(
            f"has shop {shop!r} and stricter {stricter!r}. "
            'Write [lowest, highest] around its value, and "lower" or "higher".'
        )


def is_number(content) -> bool:
    """Whether something read from a table is one finite number."""
    return isinstance(content, (int, float)) and not isinstance(content, bool) and math.isfinite(content)


def _is_value(content) -> bool:
    """Whether content is a number, text, or a list of them; infinity says unlimited, NaN and booleans say nothing."""
    if isinstance(content, list):
        return bool(content) and all(_is_value(item) for item in content)
    return is_number(content) or content in (math.inf, -math.inf) or (isinstance(content, str) and content != "")


def _frozen(content):
    return tuple(_frozen(item) for item in content) if isinstance(content, list) else content


def entry(topic: str, key: str) -> Reference:
    """Return one reference, or raise BadReference naming the nearest keys."""
    references = load(topic)
    if key not in references:
        near = difflib.get_close_matches(key, references, n=3)
        hint = f" Did you mean {' or '.join(near)}?" if near else ""
        raise BadReference(f"references/{topic}.toml has no [{key}].{hint}")
    return references[key]


def value(topic: str, key: str):
    """Return the value of one reference, in its own unit. A trap is no value and raises BadReference."""
    return _no_trap(entry(topic, key)).value


def table(topic: str, key: str) -> dict:
    """Return a reference with ``rows`` and ``columns`` as ``{row: {column: value}}``."""
    reference = _no_trap(entry(topic, key))
    if not reference.rows or not reference.columns:
        raise BadReference(f"references/{topic}.toml: [{key}] has no rows and columns.")
    return {
        row: dict(zip(reference.columns, line, strict=True))
        for row, line in zip(reference.rows, reference.value, strict=True)
    }


def _no_trap(reference: Reference) -> Reference:
    if reference.kind == "trap":
        raise BadReference(
            f"references/{reference.topic}.toml: [{reference.key}] is a trap (wrong in print), never a value to use."
        )
    return reference
