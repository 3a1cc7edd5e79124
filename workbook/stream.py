"""Random numbers that are the same on every machine, in every version, for ever.

The generator is our own (SHA-256 in counter mode, integers by rejection, one stream for each name), because numpy and
``random`` promise no stable stream from one version to the next.
"""

import hashlib
from collections.abc import Sequence
from decimal import Decimal
from typing import Any


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

    def pick(self, options: Sequence[Any]) -> Any:
        """Return one of options, each equally likely."""
        return options[self.below(len(options))]

    def shuffled(self, options: Sequence[Any]) -> list[Any]:
        """Return the options in a drawn order, each order equally likely.

        >>> sorted(Stream(b"key", "words").shuffled("abc"))
        ['a', 'b', 'c']
        """
        left = list(options)
        return [left.pop(self.below(len(left))) for _ in range(len(left))]

    def grid(self, low: float, high: float, step: float) -> int | float:
        """Return one of low, low + step, ... up to high, as the decimal number that is printed.

        >>> Stream(b"key", "x").grid(0.1, 0.1, 0.05)
        0.1
        """
        first, last, by = (Decimal(str(number)) for number in (low, high, step))
        return plain(first + by * self.below(int((last - first) / by) + 1))


def plain(number: Decimal) -> int | float:
    """Return a decimal as the int or float that prints like it."""
    return int(number) if number == number.to_integral_value() else float(number)
