"""Numbers among answers: what counts as one, and how one is written into a text."""

import math
from typing import Any, TypeGuard


def is_number(value: object) -> TypeGuard[float]:
    """Whether an answer is one finite number of a size that arithmetic can bear."""
    return (
        isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300 and math.isfinite(value)
    )


def number_text(value: Any) -> str:
    """Return a number, or a list of them, as it stands in a text.

    >>> number_text(0.35), number_text(1.7241e-8), number_text(120000)
    ('0.35', '1.7241 × 10⁻⁸', '120 000')
    """
    if isinstance(value, (list, tuple)):
        return ", ".join(number_text(item) for item in value)
    if isinstance(value, str):
        return value
    if value != 0 and not 1e-4 <= abs(value) < 1e7:
        digits, power = f"{value:.10e}".split("e")
        raised = str(int(power)).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
        return f"{digits.rstrip('0').rstrip('.')} × 10{raised}"
    if isinstance(value, int) and abs(value) >= 10000:
        return f"{value:,}".replace(",", " ")
    return repr(value)


def shown(value: object) -> str:
    """Return an answer as an instructor's key shows it: a number to five figures, the words of a list."""
    if isinstance(value, float):
        return f"{value:.5g}"
    return ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)
