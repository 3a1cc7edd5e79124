"""Read named answers out of a namespace as plain data, trusting no type that a learner could have written.

Standard library only, and in one piece: the same text is run inside the wall, by the marking process on what comes
back, and in a plain kernel.
"""

import math
import sys

TYPE_CHECKING = False  #: a checker of types takes it for true; nothing more is imported here for types
if TYPE_CHECKING:
    from typing import Any

#: Every reason an answer may have for not being read. The host takes no other word from behind the wall.
REASONS = (
    "missing",
    "not yet",
    "decimal comma",
    "not a finite number",
    "a complex number",
    "too long",
    "not a number, a text or a short list of them",
)
MISSING, NOT_YET, DECIMAL_COMMA, NOT_FINITE, COMPLEX, TOO_LONG, NOT_PLAIN = REASONS


class Unreadable(ValueError):
    """An answer that is not plain data; its text is one of `REASONS`."""


def numpy_types() -> "tuple[tuple[type, ...], Any]":
    """Return numpy's own scalar types, and its array type, where numpy has been imported."""
    numpy = sys.modules.get("numpy")
    if numpy is None:
        return (), None
    kinds = (numpy.bool_, *(numpy.dtype(code).type for code in "bBhHiIlLqQefd"), numpy.str_)
    return kinds, numpy.ndarray


SCALARS, ARRAY = numpy_types()


def one(value: "Any", text_length: int) -> object:
    """Return a single value as an exact built-in, or raise `Unreadable`. `type(...) is`: a subclass could lie."""
    kind = type(value)
    if not (kind is float or kind is str or kind is int) and any(kind is scalar for scalar in SCALARS):
        value = value.item()
        kind = type(value)
    if value is None or kind is bool:
        return value
    if value is Ellipsis:
        raise Unreadable(NOT_YET)
    if kind is int:
        if value.bit_length() > 1000:
            raise Unreadable(NOT_FINITE)
        return value
    if kind is float:
        if not math.isfinite(value):
            raise Unreadable(NOT_FINITE)
        return value
    if kind is str:
        if len(value) > text_length:
            raise Unreadable(TOO_LONG)
        return value.encode("utf-8", "replace").decode()  # half a surrogate pair cannot be stored
    raise Unreadable(COMPLEX if kind is complex else NOT_PLAIN)


def plain(value: "Any", items: int, text_length: int) -> object:
    """Return a value, or a short flat list of values, as exact built-ins, or raise `Unreadable`."""
    if ARRAY is not None and type(value) is ARRAY and value.ndim < 2:
        if value.size > items:
            raise Unreadable(TOO_LONG)
        if value.dtype.kind not in "biufU":
            raise Unreadable(COMPLEX if value.dtype.kind == "c" else NOT_PLAIN)
        value = value.tolist()
    if type(value) is list or type(value) is tuple:
        if len(value) > items:
            raise Unreadable(TOO_LONG)
        return [one(item, text_length) for item in value]
    return one(value, text_length)


def read(
    namespace: "dict[str, Any]", names: list[str], items: int, text_length: int
) -> tuple[dict[str, object], dict[str, str]]:
    """Return ({name: value}, {name: reason}). What cannot be read is None in the first, with its reason in the second.

    `12,5` is two whole numbers to Python. They are handed back as the list [12, 5] and marked "decimal comma".
    """
    values: dict[str, object] = {}
    unreadable: dict[str, str] = {}
    for name in names:
        values[name] = None
        if name not in namespace:
            unreadable[name] = MISSING
            continue
        value = namespace[name]
        try:
            values[name] = plain(value, items, text_length)
        except Unreadable as why:
            unreadable[name] = str(why)
        else:
            if type(value) is tuple and len(value) == 2 and type(value[0]) is int and type(value[1]) is int:
                unreadable[name] = DECIMAL_COMMA
    return values, unreadable
