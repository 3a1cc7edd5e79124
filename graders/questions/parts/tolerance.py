"""How near an answer must be."""

from dataclasses import dataclass

from workbook import units


@dataclass(frozen=True)
class Tolerance:
    """How near an answer must be: ``relative`` to the value expected, or ``absolute`` in the part's unit."""

    relative: float = 0.0
    absolute: float = 0.0

    def around(self, expected: float, unit: str) -> float:
        """Return the half width allowed around an expected value, in SI."""
        width: float = units.to_si(self.absolute, unit)
        return max(self.relative * abs(expected), width)

    def words(self, unit: str) -> str:
        """Say how near, as a question does.

        >>> Tolerance(relative=0.02).words("s"), Tolerance(absolute=1).words("%")
        ('2 %', '1 percentage point')
        """
        share = f"{self.relative * 100:g} %" if self.relative else ""
        if share and unit == "%":
            share += " of the value"
        width = f"{self.absolute:g}{units.shown(unit)}" if self.absolute else ""
        if width and unit == "%":
            width = "1 percentage point" if self.absolute == 1 else f"{self.absolute:g} percentage points"
        return " or ".join(text for text in (share, width) if text)


def relative(share: float) -> Tolerance:
    """Return a tolerance of a share of the expected value: ``relative(0.02)`` is 2 %."""
    return Tolerance(relative=share)


def absolute(width: float) -> Tolerance:
    """Return a tolerance of a fixed width in the part's unit."""
    return Tolerance(absolute=width)
