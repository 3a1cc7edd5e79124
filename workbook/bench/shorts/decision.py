"""What may be said of a reading: a verdict with an undecided band, its probability, and comparison with a good board.

Work order behind every function here: supply off and unplugged, capacitors discharged and checked, board at room
temperature, reading steady, both polarities and the range written down.
"""

import numpy as np
from scipy import stats

from workbook.bench import checks
from workbook.bench.shorts import meter, uncertainty

__all__ = [
    "NO_DEAD_SHORT",
    "DEAD_SHORT",
    "UNDECIDED",
    "holds_to_reference",
    "leak_behind",
    "probability_above",
    "reading_uncertainty",
    "undecided_band",
    "verdict",
]

DEAD_SHORT = "dead short"
UNDECIDED = "undecided"
NO_DEAD_SHORT = "no dead short"


def reading_uncertainty(reading, fraction, counts, digit, contact=0.1):
    r"""Return the standard uncertainty of a resistance read with two probes.

    .. math:: u = \sqrt{(a/\sqrt 3)^2 + (c/\sqrt 3)^2}, \qquad a = p\,r + n\,d

    The meter's limit and the contact are each taken as evenly likely within their bounds.

    Parameters
    ----------
    reading : float or array
        What the display shows [ohm].
    fraction : float or array
        Share of the reading in the specification, at least zero [1].
    counts : float or array
        Counts in the specification, at least zero [1].
    digit : float or array
        Last digit of the range in use, above zero [ohm].
    contact : float or array
        Half width of the scatter of the contacts, at least zero [ohm]. The default 0.1 ohm is common practice: measure
        your own by pressing the probes together ten times.

    Returns
    -------
    float or array
        Standard uncertainty; twice this is the expanded uncertainty [ohm].

    References
    ----------
    JCGM 100:2008, 4.3.7 (evenly likely within bounds), published second-hand.

    Examples
    --------
    About 1 ohm on a 0.8 % + 2 counts meter in steps of 0.1 ohm, expanded with k = 2 (computed):

    >>> f"{2 * reading_uncertainty(1.6, 0.008, 2, 0.1):.2f}"
    '0.27'
    """
    reading, fraction, counts, digit, contact = checks.floats(reading, fraction, counts, digit, contact)
    limit = meter.accuracy_limit(reading, fraction, counts, digit)
    return np.hypot(uncertainty.rectangular(limit), uncertainty.rectangular(contact))


def probability_above(estimate, standard_uncertainty, limit):
    r"""Return how probable it is that the true value lies above a limit.

    .. math:: P = \Phi\left(\frac{y - T}{u}\right)

    Normal distribution about the estimate: no knowledge beyond the reading.

    Parameters
    ----------
    estimate : float or array
        Best estimate of the value [any unit, for example ohm].
    standard_uncertainty : float or array
        Its standard uncertainty, above zero [unit of the estimate].
    limit : float or array
        The limit [unit of the estimate].

    Returns
    -------
    float or array
        Probability of lying above the limit, 0 to 1 [1].

    References
    ----------
    JCGM 106:2012, 7.3; the example of 7.3.3 is from memory and its answer computed.

    Examples
    --------
    A breakdown voltage of at most -5.40 V, estimated -5.47 V with u = 0.05 V, conforms with probability 0.919:

    >>> f"{1 - probability_above(-5.47, 0.05, -5.40):.3f}"
    '0.919'
    """
    checks.finite("estimate", estimate)
    checks.finite("limit", limit)
    checks.above("standard uncertainty", standard_uncertainty, 0)
    return stats.norm.cdf(np.subtract(estimate, limit) / standard_uncertainty)


def undecided_band(limit, expanded_uncertainty):
    r"""Return the readings between which nothing is decided: the limit less and plus the expanded uncertainty.

    .. math:: [\,T - U,\; T + U\,]

    A guard band of U on both sides. At 95 % coverage a reading outside the band is wrong about the limit in fewer than
    2.5 % of cases; without the band, in up to half of them.

    Parameters
    ----------
    limit : float or array
        The limit [any unit, for example ohm].
    expanded_uncertainty : float or array
        Expanded uncertainty of the reading, at least zero [unit of the limit].

    Returns
    -------
    low, high : float or array
        Ends of the band [unit of the limit].

    References
    ----------
    ILAC-G8:09/2019, 4.2 (guard band w = U).

    Examples
    --------
    A limit of 1 ohm with U = 0.27 ohm (computed):

    >>> [f"{end:.2f}" for end in undecided_band(1.0, 0.27)]
    ['0.73', '1.27']
    """
    limit, expanded_uncertainty = checks.floats(limit, expanded_uncertainty)
    checks.finite("limit", limit)
    checks.at_least("expanded uncertainty", expanded_uncertainty, 0)
    return np.subtract(limit, expanded_uncertainty)[()], np.add(limit, expanded_uncertainty)[()]


def verdict(resistance, expanded_uncertainty, limit=1.0, near_zero_by_design=False):
    r"""Return what a reading to ground says: "dead short", "undecided" or "no dead short".

    .. math:: R_x \ge T+U:\ \text{no dead short}; \qquad R_x \le T-U:\ \text{dead short}

    Undecided asks for a four-wire reading. A rail that is near zero by design can never be called shorted from its
    resistance: it stays undecided, and is compared with a good board or searched by injection.

    Parameters
    ----------
    resistance : float
        Reading less the leads [ohm].
    expanded_uncertainty : float
        Expanded uncertainty of that reading, at least zero [ohm].
    limit : float
        Resistance of a dead short, above zero [ohm]. 1 ohm is common practice for one board family.
    near_zero_by_design : bool
        Whether a good rail of this kind reads near the limit.

    Returns
    -------
    str
        One of `DEAD_SHORT`, `UNDECIDED`, `NO_DEAD_SHORT`.

    References
    ----------
    ILAC-G8:09/2019, 4.2.3 (more than two answers); the limit of 1 ohm is common practice.

    Examples
    --------
    >>> [verdict(reading, 0.27) for reading in (1.3, 1.0, 0.6)]
    ['no dead short', 'undecided', 'dead short']
    >>> verdict(0.6, 0.27, near_zero_by_design=True)
    'undecided'
    """
    checks.single(resistance=resistance, expanded_uncertainty=expanded_uncertainty, limit=limit)
    checks.finite("resistance", resistance, "ohm")
    checks.above("limit", limit, 0, "ohm")
    low, high = undecided_band(limit, expanded_uncertainty)
    if resistance >= high:
        return NO_DEAD_SHORT
    if resistance <= low and not near_zero_by_design:
        return DEAD_SHORT
    return UNDECIDED


def leak_behind(reference, reading):
    r"""Return the leak that, in parallel with a good rail, explains a low reading.

    .. math:: R_\mathrm{leak} = \frac{R_\mathrm{ref} R_x}{R_\mathrm{ref} - R_x}

    Two resistors in parallel. A rail is mostly junctions and channels, not a resistor, so reference and reading must
    come from the same meter, range, polarity and temperature.

    Parameters
    ----------
    reference : float or array
        Reading of the same rail on a good board, above zero [ohm].
    reading : float or array
        Reading now, from zero to the reference [ohm].

    Returns
    -------
    float or array
        Resistance of the leak, infinite where nothing is lost [ohm].

    References
    ----------
    Two resistors in parallel, solved for one; the example is computed.

    Examples
    --------
    A 64 ohm rail that now reads 7.8 ohm:

    >>> f"{leak_behind(64.0, 7.8):.2f}"
    '8.88'
    """
    reference, reading = checks.floats(reference, reading)
    checks.above("reference resistance", reference, 0, "ohm")
    checks.at_least("reading", reading, 0, "ohm")
    lost = np.subtract(reference, reading)
    checks.at_least("reference minus reading", lost, 0, "ohm")
    with np.errstate(divide="ignore"):
        return np.divide(np.multiply(reference, reading), lost)[()]


def holds_to_reference(readings, references, share=0.5):
    r"""Return whether a rail still reads like the same rail on a good board, in every polarity it was read.

    .. math:: R_x \ge s \, R_\mathrm{ref} \quad \text{in each polarity}

    Parameters
    ----------
    readings : sequence of float
        Readings less the leads, one a polarity, at least zero, infinite where the display says overload [ohm].
    references : sequence of float
        Readings of a good board in the same polarities, each above zero [ohm].
    share : float
        Smallest share of the reference that passes, above 0 and at most 1 [1]. One half is common practice: the
        instructor sets it.

    Returns
    -------
    bool
        Whether the rail holds.

    References
    ----------
    Common practice, without a standard behind it.

    Examples
    --------
    7.8 ohm is fine where a good board reads 8, and not where it reads 64:

    >>> holds_to_reference([7.8, 7.7], [8.0, 8.0]), holds_to_reference([7.8, 7.7], [64.0, 61.0])
    (True, False)
    """
    readings, references = checks.floats(readings, references)
    checks.at_least("readings", np.where(np.isposinf(readings), 0, readings), 0, "ohm")  # infinite: an open circuit
    checks.above("references", references, 0, "ohm")
    checks.share("share of the reference", share)
    if np.shape(readings) != np.shape(references):
        raise ValueError(f"each polarity needs a reference (got {np.size(readings)} readings, {np.size(references)})")
    return bool(np.all(np.asarray(readings) >= share * np.asarray(references)))
