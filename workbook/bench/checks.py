"""Range checks that name the quantity, the range and the value got."""

import numpy as np


def above(quantity: str, value, bound: float, unit: str = "") -> None:
    """Raise ValueError unless every element of value is finite and above bound.

    >>> above("thickness", 0.0, 0, "m")
    Traceback (most recent call last):
    ...
    ValueError: thickness must be above 0 m (got 0.0)
    """
    _hold(quantity, value, np.greater(value, bound), f"above {bound:g}", unit)


def at_least(quantity: str, value, bound: float, unit: str = "") -> None:
    """Raise ValueError unless every element of value is finite and at least bound."""
    _hold(quantity, value, np.greater_equal(value, bound), f"at least {bound:g}", unit)


def between(quantity: str, value, low: float, high: float, unit: str = "") -> None:
    """Raise ValueError unless every element of value lies in [low, high].

    >>> between("confidence", 1.2, 0, 1)
    Traceback (most recent call last):
    ...
    ValueError: confidence must be from 0 to 1 (got 1.2)
    """
    inside = np.greater_equal(value, low) & np.less_equal(value, high)
    _hold(quantity, value, inside, f"from {low:g} to {high:g}", unit)


def share(quantity: str, value) -> None:
    """Raise ValueError unless every element of value is above 0 and at most 1.

    >>> share("fraction", 0.0)
    Traceback (most recent call last):
    ...
    ValueError: fraction must be above 0 and at most 1 (got 0.0)
    """
    _hold(quantity, value, np.greater(value, 0) & np.less_equal(value, 1), "above 0 and at most 1", "")


def below_one(quantity: str, value) -> None:
    """Raise ValueError unless every element of value is at least 0 and below 1."""
    _hold(quantity, value, np.greater_equal(value, 0) & np.less(value, 1), "at least 0 and below 1", "")


def inside(quantity: str, value, low: float, high: float, unit: str = "") -> None:
    """Raise ValueError unless every element of value lies strictly between low and high."""
    strictly = np.greater(value, low) & np.less(value, high)
    _hold(quantity, value, strictly, f"between {low:g} and {high:g}, ends excluded,", unit)


def finite(quantity: str, value, unit: str = "") -> None:
    """Raise ValueError unless every element of value is a finite number.

    >>> finite("reading", float("nan"), "ohm")
    Traceback (most recent call last):
    ...
    ValueError: reading must be a finite number in ohm (got nan)
    """
    _hold(quantity, value, np.isfinite(value), f"a finite number{' in' if unit else ''}", unit)


MOST = 2**31 - 1
"""The largest count that scipy's laws of counts take without running over."""


def whole(quantity: str, count) -> None:
    """Raise ValueError unless every element of count is a whole number, 0 or more.

    >>> whole("repairs", 100.5)
    Traceback (most recent call last):
    ...
    ValueError: repairs must be a whole number (got 100.5)
    """
    between(quantity, count, 0, MOST)
    if np.any(np.mod(count, 1) != 0):
        raise ValueError(f"{quantity} must be a whole number (got {count})")


def apart(quantity: str, values: tuple) -> list:
    """Return values as `floats`, or raise ValueError: there must be one, each an argument of its own, not in a list.

    >>> apart("resistance", ([10, 10],))
    Traceback (most recent call last):
    ...
    ValueError: each resistance is an argument of its own (got one list)
    """
    if not values:
        raise ValueError(f"at least one {quantity} is needed (got none)")
    if len(values) == 1 and np.ndim(values[0]):
        raise ValueError(f"each {quantity} is an argument of its own (got one list)")
    return [floats(value) for value in values]


def single(**quantities) -> None:
    """Raise ValueError where several values are given for a quantity: a verdict is about one.

    >>> single(resistance=[0.4, 0.5], limit=1)
    Traceback (most recent call last):
    ...
    ValueError: resistance must be one number (got 2)
    """
    for quantity, value in quantities.items():
        if np.ndim(value):
            raise ValueError(f"{quantity.replace('_', ' ')} must be one number (got {np.size(value)})")


def floats(*values):
    """Return numbers as floats and lists as arrays of floats, so that small integers cannot run over.

    >>> import numpy as np
    >>> floats(np.int16(400)) ** 2, floats([1, 2])
    (160000.0, array([1., 2.]))
    >>> floats("12,5")
    Traceback (most recent call last):
    ...
    TypeError: a number or an array of numbers is needed (got '12,5')
    """
    made = [value if type(value) is float else _in_floats(value) for value in values]
    return made[0] if len(made) == 1 else made


def _in_floats(value):
    made = np.asarray(value)
    if made.dtype.kind not in "fiub":
        raise TypeError(f"a number or an array of numbers is needed (got {value!r})")
    return made.astype(float) if made.ndim else float(made)


def number(quantity: str, value) -> None:
    """Raise ValueError where an element of value is not a number; one without end is let through."""
    if np.isnan(value).any():
        raise ValueError(f"{quantity} must be a number (got nan)")


def _hold(quantity, value, holds, wanted, unit) -> None:
    if isinstance(value, complex):  # which numpy puts in order too
        raise TypeError(f"{quantity} must be a real number (got {value})")
    sound = holds & np.isfinite(value)
    if not (sound if sound.ndim == 0 else sound.all()):  # np.all takes three times as long over one number
        got = np.asarray(value)
        first = got.ravel()[np.argmin(np.broadcast_to(sound, got.shape).ravel())] if got.ndim else value
        raise ValueError(f"{quantity} must be {wanted}{' ' + unit if unit else ''} (got {first})")
