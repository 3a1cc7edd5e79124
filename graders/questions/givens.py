"""Own numbers: the givens of an exercise, drawn once for each learner and written down.

The generator is `workbook.stream`: one stream for each given's name.
"""

import hashlib
import hmac
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from workbook import units
from workbook.references import shop as shop_rules
from workbook.stream import Stream

Printed = dict[str, Any]
"""Givens or answers by name, as they are printed: numbers in their own unit, words, or lists of either."""


def learner_key(secret: bytes, learner: str, exercise: str) -> bytes:
    """Return the key of one learner's numbers in one exercise."""
    return hmac.new(secret, f"{learner}\x1f{exercise}".encode(), hashlib.sha256).digest()


@dataclass(frozen=True)
class Quantity:
    """A number on a grid from low to high, in a unit; ``worked`` is what the printed solution uses."""

    worked: float
    unit: str
    low: float = field(kw_only=True)
    high: float = field(kw_only=True)
    step: float = field(kw_only=True)

    def draw(self, stream: Stream, drawn: Printed) -> Any:
        return stream.grid(self.low, self.high, self.step)


@dataclass(frozen=True)
class Fixed:
    """A value that is the same for everyone: a material constant, a limit, a published set.

    ``rule`` names the reference, ``topic.key``, that it is, where a shop may have a rule of its own.
    """

    worked: object
    unit: str = "1"
    rule: str = ""

    @property
    def options(self) -> tuple[Any, ...]:
        """The values it is drawn from."""
        return (self.worked,)

    def draw(self, stream: Stream, drawn: Printed) -> Any:
        return self.worked


@dataclass(frozen=True)
class Pick:
    """One of a few values: numbers in a unit, or words.

    ``rule`` names the reference, ``topic.key``, that one of them is, where a shop may have a rule of its own.
    """

    worked: object
    options: tuple[Any, ...]
    unit: str = "1"
    rule: str = ""

    def draw(self, stream: Stream, drawn: Printed) -> Any:
        return stream.pick(self.options)


@dataclass(frozen=True)
class Record:
    """A list of readings in a unit, made by ``make(stream, drawn)`` from the givens drawn before it."""

    worked: tuple[Any, ...]
    unit: str
    make: Callable[[Stream, Printed], Iterable[Any]]

    def draw(self, stream: Stream, drawn: Printed) -> Any:
        return tuple(self.make(stream, drawn))


def by_rule(given: Fixed | Pick, value: Any, shop: Mapping[str, float]) -> Any:
    """Return what a shop's rule puts in the place of a value, in the given's unit; the value where it has none."""
    if given.rule not in shop:
        return value
    reference = shop_rules.reference(given.rule)
    if units.to_si(value, given.unit) != units.to_si(reference.value, shop_rules.unit_of(reference)):
        return value
    put = units.from_si(units.to_si(shop[given.rule], shop_rules.unit_of(reference)), given.unit)
    rounded = float(f"{put:.10g}")
    return int(rounded) if rounded == int(rounded) else rounded


def shops_words(given: "Given", value: Any) -> str:
    """Say that a value is a shop's rule, and what it stands over; nothing where it is none.

    A limit that no sheet would draw can only have come by a shop's rule.

    >>> shops_words(Fixed(1.0, "Ω", rule="shorts.dead_short_limit"), 0.8)
    "shop's rule instead of 1 Ω"
    """
    if not isinstance(given, Fixed | Pick) or not given.rule or value in given.options:
        return ""
    reference = shop_rules.reference(given.rule)
    its_unit = shop_rules.unit_of(reference)
    in_its_unit = units.from_si(units.to_si(value, given.unit), its_unit)
    ours = f"{units.from_si(units.to_si(reference.value, its_unit), given.unit):g}{units.shown(given.unit)}"
    return shop_rules.words(reference, in_its_unit, ours)


Given = Quantity | Fixed | Pick | Record


class Values:
    """Givens or answers by name, read in SI; ``values["name"]`` is the number as printed.

    >>> values = Values({"length": 100}, {"length": "mm"})
    >>> values.length, values["length"]
    (0.1, 100)
    """

    def __init__(self, printed: Printed, unit_of: dict[str, str], specified: Mapping[str, "Given"] | None = None):
        self._printed, self._unit_of, self._specified = printed, unit_of, specified or {}

    def __getitem__(self, name: str) -> Any:
        return self._printed[name]

    @property
    def printed(self) -> Printed:
        """All values as printed."""
        return dict(self._printed)

    def shops(self, name: str) -> str:
        """Return what follows a limit's name where its value is a shop's rule; nothing where it is not."""
        given = self._specified.get(name)
        return " (shop's rule)" if given is not None and shops_words(given, self._printed[name]) else ""

    def __repr__(self) -> str:
        return f"Values({self._printed!r})"

    def __contains__(self, name: object) -> bool:
        return name in self._printed

    def __getattr__(self, name: str) -> Any:
        try:
            value = self._printed[name]
        except KeyError:
            raise AttributeError(f"no value named {name!r}; there are {', '.join(self._printed)}") from None
        in_si = self.__dict__[name] = _si(value, self._unit_of.get(name, "1"))  # found there from now on
        return in_si


def _si(value: Any, unit: str) -> Any:
    if isinstance(value, (list, tuple)):
        return tuple(_si(item, unit) for item in value)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return units.to_si(value, unit)
    return value


def draw(
    givens: dict[str, Given],
    key: bytes,
    sound: Callable[[Printed], bool] = lambda drawn: True,
    attempts: int = 200,
    shop: Mapping[str, float] = MappingProxyType({}),
) -> Printed:
    """Draw every given from its own stream; draw the whole set again where ``sound`` refuses it.

    ``shop`` are the rules of a shop by the reference they stand over, ``topic.key``, in that reference's unit.

    Raises
    ------
    ValueError
        If so many sets in a row are refused: the sheet asks for something its ranges hardly hold.
    """
    for attempt in range(attempts):
        drawn: Printed = {}
        for name, given in givens.items():
            drawn[name] = given.draw(Stream(key, f"{name}\x1f{attempt}"), drawn)
            if shop and isinstance(given, Fixed | Pick) and given.rule:
                drawn[name] = by_rule(given, drawn[name], shop)
        if sound(drawn):
            return drawn
    raise ValueError(f"{attempts} sets of givens were refused in a row")


def worked(givens: dict[str, Given]) -> Printed:
    """Return the givens of the printed solution."""
    return {name: given.worked for name, given in givens.items()}
