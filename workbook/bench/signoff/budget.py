r"""An uncertainty budget: limits of several kinds turned into standard uncertainties, added, and widened to a promise.

Independent contributions only. Where inputs are correlated or the formula is not a sum, carry the uncertainty through
with :mod:`workbook.bench.shorts.uncertainty`.
"""

from collections import Counter
from typing import NamedTuple

import numpy as np

from workbook.bench import checks
from workbook.bench.shorts import uncertainty

__all__ = [
    "SHAPES",
    "Budget",
    "Line",
    "combine",
    "cycling",
    "root_sum_square",
    "triangular",
    "worst_case",
]


def triangular(half_width):
    r"""Return the standard uncertainty of a value that lies within its bounds and likelier near the middle.

    .. math:: u = a / \sqrt 6

    Parameters
    ----------
    half_width : float or array
        Half the distance between the bounds, 0 or more [any unit].

    Returns
    -------
    float or array
        Standard uncertainty [unit of the half width].

    References
    ----------
    JCGM 100:2008, 4.3.9 (from memory).

    Examples
    --------
    A drop poured by eye to 1.0 mm within 0.3 mm, aimed at the middle:

    >>> f"{triangular(0.3):.3f}"
    '0.122'
    """
    checks.at_least("half width", half_width, 0)
    return half_width / np.sqrt(6)


def cycling(half_width):
    r"""Return the standard uncertainty of a value that swings to and fro between its bounds.

    .. math:: u = a / \sqrt 2

    The arcsine distribution: a heater or a room that is switched on and off spends most time near the ends.

    Parameters
    ----------
    half_width : float or array
        Half the swing, 0 or more [any unit].

    Returns
    -------
    float or array
        Standard uncertainty [unit of the half width].

    References
    ----------
    JCGM 100:2008, H.1.3.4, room temperature cycling by 0.5 K, taken as u = 0.35 K (from memory; a metrology library
    documents the same input as an arcsine distribution).

    Examples
    --------
    >>> f"{cycling(0.5):.2f}"
    '0.35'
    """
    checks.at_least("half width", half_width, 0)
    return half_width / np.sqrt(2)


def _as_given(standard_uncertainty):
    checks.at_least("standard uncertainty", standard_uncertainty, 0)
    return standard_uncertainty


SHAPES = {
    "standard": _as_given,
    "rectangular": uncertainty.rectangular,
    "triangular": triangular,
    "cycling": cycling,
    "display step": uncertainty.display_step,
}
"""What a limit can be, and how it becomes a standard uncertainty. A class limit (of a thermocouple, of a meter) about
which nothing else is known is rectangular."""


class Line(NamedTuple):
    """One line of a budget: its name, its limit and shape, how strongly it acts on the result, degrees of freedom."""

    name: str
    limit: float
    shape: str
    sensitivity: float = 1.0
    freedom: float = np.inf

    def contribution(self) -> float:
        """Return the standard uncertainty this line adds to the result, in the result's unit."""
        if self.shape not in SHAPES:
            raise ValueError(f"shape of {self.name!r} must be one of {', '.join(SHAPES)} (got {self.shape!r})")
        return abs(self.sensitivity) * SHAPES[self.shape](self.limit)


class Budget(NamedTuple):
    """A finished budget, in the result's unit; ``shares`` says what part of the variance each line makes."""

    standard: float
    freedom: float
    factor: float
    expanded: float
    shares: dict


def combine(lines, confidence=0.95, factor=None):
    r"""Return the combined and the expanded uncertainty of a sum of independent contributions.

    .. math:: u_c^2 = \sum_i (c_i u_i)^2, \qquad U = t_{(1+p)/2}(\lfloor \nu_\mathrm{eff} \rfloor) \, u_c

    Effective degrees of freedom are cut to the whole number below, as the guide's own example does, but never below 1.

    Parameters
    ----------
    lines : sequence of Line
        The lines, at least one of them above zero [units of the lines].
    confidence : float
        Two-sided confidence of the expanded uncertainty, between 0 and 1; not asked where a factor is stated [1].
    factor : float, optional
        Coverage factor to state, above zero, such as 2; found from the confidence where not given [1].

    Returns
    -------
    Budget
        Combined standard uncertainty, effective degrees of freedom, coverage factor, expanded uncertainty and shares of
        the variance [unit of the result].

    References
    ----------
    JCGM 100:2008, H.1 (end gauge): 25, 5.8, 3.9, 6.7, 2.9 and 16.6 nm, printed 32 nm with 16 degrees of freedom and
    2.92 for 99 %, as quoted in a public test file. NIST TN 1297, Table B.1, for 2.12 at 95 %.

    Examples
    --------
    >>> contributions, freedoms = (25, 5.8, 3.9, 6.7, 2.9, 16.6), (18, 24, 5, 8, 50, 2)
    >>> gauge = combine([Line(f"{u} nm", u, "standard", 1, nu) for u, nu in zip(contributions, freedoms)])
    >>> f"{gauge.standard:.0f} nm, {gauge.freedom:.1f}, {gauge.factor:.2f}"
    '32 nm, 16.8, 2.12'

    A class 1 thermocouple and a meter read to 1.0 K:

    >>> f"{combine([Line('wire', 1.5, 'rectangular'), Line('meter', 1.0, 'rectangular')]).standard:.2f}"
    '1.04'
    """
    twice = [name for name, many in Counter(line.name for line in lines).items() if many > 1]
    if twice:
        raise ValueError(f"each line of a budget has a name of its own (got {twice[0]!r} twice)")
    contributions = np.array([line.contribution() for line in lines])
    combined = root_sum_square(*contributions)
    checks.above("combined uncertainty", combined, 0)
    freedom = uncertainty.effective_freedom(contributions, [line.freedom for line in lines])
    if factor is None:
        factor = uncertainty.coverage_factor(max(1.0, np.floor(freedom)), confidence)
    checks.above("coverage factor", factor, 0)
    shares = {line.name: float(part) for line, part in zip(lines, np.square(contributions / combined), strict=True)}
    return Budget(float(combined), freedom, float(factor), float(factor * combined), shares)


def root_sum_square(*contributions):
    r"""Return independent contributions added in squares: what is likely together.

    .. math:: u = \sqrt{\textstyle\sum_i u_i^2}

    Add standard uncertainties, or limits of one shape and one coverage; do not mix the two.

    Parameters
    ----------
    *contributions : float or array
        Contributions, each 0 or more [one unit].

    Returns
    -------
    float or array
        Their root sum square [unit of the contributions].

    References
    ----------
    JCGM 100:2008, 5.1.2 (published second-hand); the example is computed.

    Examples
    --------
    A thermocouple class limit of 1.5 K and a meter limit of 1.0 K:

    >>> f"{root_sum_square(1.5, 1.0):.1f}"
    '1.8'
    """
    contributions = checks.apart("contribution", contributions)
    for contribution in contributions:
        checks.at_least("contribution", contribution, 0)
    return np.sqrt(sum(np.square(contribution) for contribution in contributions))


def worst_case(*half_widths):
    r"""Return limits added as they stand: what cannot be exceeded while each limit holds.

    .. math:: a = \sum_i a_i

    Parameters
    ----------
    *half_widths : float or array
        Limits, each 0 or more [one unit].

    Returns
    -------
    float or array
        Their sum [unit of the limits].

    References
    ----------
    Triangle inequality; the example is computed.

    Examples
    --------
    >>> worst_case(1.5, 1.0)
    2.5
    """
    half_widths = checks.apart("limit", half_widths)
    for half_width in half_widths:
        checks.at_least("limit", half_width, 0)
    return sum(half_widths)
