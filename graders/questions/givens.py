"""Own numbers: the givens of an exercise, drawn once for each learner and written down.

The generator is our own (SHA-256 in counter mode, integers by rejection, one stream for each given's name), because
numpy and ``random`` promise no stable stream from one version to the next.
"""

import hashlib
import hmac
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from workbook import units


class Stream:
    """A stable stream of random numbers under a name.

    >>> Stream(b"key", "power").below(10) == Stream(b"key", "power").below(10)
    True
    """

    def __init__(self, key: bytes, name: str):
        self._key, self._name, self._count = key, name, 0

    def _word(self) -> int:
        message = f"{self._name}\x1f{self._count}".encode()
        self._count += 1
        return int.from_bytes(hashlib.sha256(self._key + b"\x1f" + message).digest()[:8], "big")

    def below(self, bound: int) -> int:
        """Return a whole number from 0 to bound - 1, each equally likely."""
        limit = 2**64 - 2**64 % bound
        while (word := self._word()) >= limit:
            pass
        return word % bound

    def pick(self, options: Sequence):
        """Return one of options, each equally likely."""
        return options[self.below(len(options))]

    def shuffled(self, options: Sequence) -> list:
        """Return the options in a drawn order, each order equally likely.

        >>> sorted(Stream(b"key", "words").shuffled("abc"))
        ['a', 'b', 'c']
        """
        left = list(options)
        return [left.pop(self.below(len(left))) for _ in range(len(left))]

    def grid(self, low, high, step):
        """Return one of low, low + step, ... up to high, as the decimal number that is printed.

        >>> Stream(b"key", "x").grid(0.1, 0.1, 0.05)
        0.1
        """
        low, high, step = (Decimal(str(number)) for number in (low, high, step))
        return plain(low + step * self.below(int((high - low) / step) + 1))


def plain(number: Decimal):
    """Return a decimal as the int or float that prints like it."""
    return int(number) if number == number.to_integral_value() else float(number)


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

    def draw(self, stream: Stream, drawn: dict):
        return stream.grid(self.low, self.high, self.step)


@dataclass(frozen=True)
class Fixed:
    """A value that is the same for everyone: a material constant, a limit, a published set."""

    worked: object
    unit: str = "1"

    def draw(self, stream: Stream, drawn: dict):
        return self.worked


@dataclass(frozen=True)
class Pick:
    """One of a few values: numbers in a unit, or words."""

    worked: object
    options: tuple
    unit: str = "1"

    def draw(self, stream: Stream, drawn: dict):
        return stream.pick(self.options)


@dataclass(frozen=True)
class Record:
    """A list of readings in a unit, made by ``make(stream, drawn)`` from the givens drawn before it."""

    worked: tuple
    unit: str
    make: Callable

    def draw(self, stream: Stream, drawn: dict):
        return tuple(self.make(stream, drawn))


Given = Quantity | Fixed | Pick | Record


class Values:
    """Givens or answers by name, read in SI; ``values["name"]`` is the number as printed.

    >>> values = Values({"length": 100}, {"length": "mm"})
    >>> values.length, values["length"]
    (0.1, 100)
    """

    def __init__(self, printed: dict, unit_of: dict):
        self._printed, self._unit_of = printed, unit_of

    def __getitem__(self, name):
        return self._printed[name]

    @property
    def printed(self) -> dict:
        """All values as printed."""
        return dict(self._printed)

    def __repr__(self):
        return f"Values({self._printed!r})"

    def __contains__(self, name):
        return name in self._printed

    def __getattr__(self, name):
        try:
            value = self._printed[name]
        except KeyError:
            raise AttributeError(f"no value named {name!r}; there are {', '.join(self._printed)}") from None
        in_si = self.__dict__[name] = _si(value, self._unit_of.get(name, "1"))  # found there from now on
        return in_si


def _si(value, unit):
    if isinstance(value, (list, tuple)):
        return tuple(_si(item, unit) for item in value)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return units.to_si(value, unit)
    return value


def draw(
    givens: dict[str, Given],
    key: bytes,
    sound: Callable[[dict], bool] = lambda drawn: True,
    attempts: int = 200,
) -> dict:
    """Draw every given from its own stream; draw the whole set again where ``sound`` refuses it.

    Raises
    ------
    ValueError
        If so many sets in a row are refused: the sheet asks for something its ranges hardly hold.
    """
    for attempt in range(attempts):
        drawn = {}
        for name, given in givens.items():
            drawn[name] = given.draw(Stream(key, f"{name}\x1f{attempt}"), drawn)
        if sound(drawn):
            return drawn
    raise ValueError(f"{attempts} sets of givens were refused in a row")


def worked(givens: dict[str, Given]) -> dict:
    """Return the givens of the printed solution."""
    return {name: given.worked for name, given in givens.items()}
