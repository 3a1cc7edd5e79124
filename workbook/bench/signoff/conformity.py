r"""From a reading to a decision: is the value inside its limits, how sure is that, and who bears the risk.

Agree on the rule before the measurement. The functions take limits on either side; leave one out for a one-sided limit.
"""

import numpy as np
from scipy import optimize, special

from workbook.bench import checks

__all__ = [
    "ANSWERS",
    "acceptance_interval",
    "acceptance_limit_for_risk",
    "answer",
    "guard_band",
    "joint_false_accept",
    "joint_false_reject",
    "probability_of_conformity",
    "risk_at_acceptance_limit",
]

ANSWERS = ("pass", "conditional pass", "conditional fail", "fail")
"""The four answers of a rule with a guard band, best first."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_FAR = 10.0  # standard uncertainties beyond which a reading does not fall


def probability_of_conformity(measured, standard_uncertainty, lower=-np.inf, upper=np.inf):
    r"""Return how probable it is that the true value lies within its limits, given one reading.

    .. math:: p_c = \Phi\left(\frac{T_U - y}{u}\right) - \Phi\left(\frac{T_L - y}{u}\right)

    Normal distribution about the reading: nothing else is known about this board.

    Parameters
    ----------
    measured : float or array
        Reading, corrected for what is known [any unit].
    standard_uncertainty : float or array
        Its standard uncertainty, above zero [unit of the reading].
    lower : float or array
        Lower tolerance limit, or minus infinity for none [unit of the reading].
    upper : float or array
        Upper tolerance limit, or infinity for none [unit of the reading].

    Returns
    -------
    float or array
        Probability, 0 to 1 [1].

    References
    ----------
    JCGM 106:2012, 7.4: 13.6 with u 1.8 within 12.5 to 16.3 (inputs second-hand, answer computed).

    Examples
    --------
    >>> f"{probability_of_conformity(13.6, 1.8, 12.5, 16.3):.3f}"
    '0.663'
    """
    measured, standard_uncertainty, lower, upper = checks.floats(measured, standard_uncertainty, lower, upper)
    checks.finite("measured", measured)
    checks.above("standard uncertainty", standard_uncertainty, 0)
    _check_limits(lower, upper)
    return _share_between(measured, standard_uncertainty, lower, upper)


def guard_band(standard_uncertainty, risk):
    r"""Return the guard band that keeps the risk of one false acceptance to a share.

    .. math:: w = z_{1 - r} \, u

    Parameters
    ----------
    standard_uncertainty : float or array
        Standard uncertainty of the reading, above zero [any unit].
    risk : float or array
        Largest probability that an accepted reading hides a value outside its limit, above 0, up to one half [1].

    Returns
    -------
    float or array
        Guard band, 0 or more [unit of the uncertainty].

    References
    ----------
    ILAC-G8:09/2019: no guard band leaves up to 50 %; w = U at 95 % coverage below 2.5 %.

    Examples
    --------
    >>> f"{guard_band(1.0, 0.50):.2f}", f"{guard_band(1.0, 0.025):.2f}"
    ('0.00', '1.96')
    """
    standard_uncertainty, risk = checks.floats(standard_uncertainty, risk)
    checks.above("standard uncertainty", standard_uncertainty, 0)
    checks.above("risk", risk, 0)
    checks.between("risk", risk, 0, 0.5)
    return standard_uncertainty * special.ndtri(1 - np.asarray(risk, float))


def risk_at_acceptance_limit(guard_band, standard_uncertainty):
    r"""Return the risk that a reading just accepted hides a value outside its limit: the worst case of the rule.

    .. math:: r = \Phi(-w / u)

    One limit; the other, if there is one, far away.

    Parameters
    ----------
    guard_band : float or array
        Guard band, 0 or more [any unit].
    standard_uncertainty : float or array
        Standard uncertainty of the reading, above zero [unit of the guard band].

    Returns
    -------
    float or array
        Risk, above 0, up to one half [1].

    References
    ----------
    ILAC-G8:09/2019: up to 50 % without a guard band, below 2.5 % with w = U = 2u.

    Examples
    --------
    >>> f"{risk_at_acceptance_limit(0, 1.0):.0%}", f"{risk_at_acceptance_limit(2.0, 1.0):.1%}"
    ('50%', '2.3%')
    """
    checks.at_least("guard band", guard_band, 0)
    checks.above("standard uncertainty", standard_uncertainty, 0)
    return special.ndtr(-np.divide(guard_band, standard_uncertainty))


def acceptance_interval(guard_band, lower=-np.inf, upper=np.inf):
    r"""Return the readings that are accepted: the limits drawn in by a guard band.

    .. math:: [\,T_L + w, \; T_U - w\,]

    Parameters
    ----------
    guard_band : float
        Guard band, 0 or more [any unit].
    lower : float
        Lower tolerance limit, or minus infinity for none [unit of the guard band].
    upper : float
        Upper tolerance limit, or infinity for none [unit of the guard band].

    Returns
    -------
    tuple of float
        Lower and upper acceptance limit [unit of the guard band].

    References
    ----------
    ILAC-G8:09/2019, w = TL - AL.

    Examples
    --------
    A joint peak that must stay within 235 and 250 °C, with U = 2 K:

    >>> acceptance_interval(2.0, 235.0, 250.0)
    (237.0, 248.0)
    """
    checks.single(guard_band=guard_band, lower=lower, upper=upper)
    checks.at_least("guard band", guard_band, 0)
    _check_limits(lower, upper)
    if lower + guard_band > upper - guard_band:
        raise ValueError(f"guard band must be at most half the tolerance of {upper - lower:g} (got {guard_band:g})")
    return lower + guard_band, upper - guard_band


def answer(measured, guard_band, lower=-np.inf, upper=np.inf):
    r"""Return which of the four answers of a guard-banded rule a reading gets.

    .. math::

        y \in [T_L + w, T_U - w]: \text{pass}; \quad y \in [T_L, T_U]: \text{conditional pass}; \quad
        y \in [T_L - w, T_U + w]: \text{conditional fail}; \quad \text{else fail}

    Parameters
    ----------
    measured : float
        Reading [any unit].
    guard_band : float
        Guard band, usually the expanded uncertainty, 0 or more [unit of the reading].
    lower : float
        Lower tolerance limit, or minus infinity for none [unit of the reading].
    upper : float
        Upper tolerance limit, or infinity for none [unit of the reading].

    Returns
    -------
    str
        One of `ANSWERS`. With no guard band only pass and fail are left.

    References
    ----------
    ILAC-G8:09/2019, 4.2.3.

    Examples
    --------
    A body that must stay at or below 245 °C, read with U = 3 K:

    >>> [answer(reading, 3.0, upper=245.0) for reading in (241, 244, 246, 249)]
    ['pass', 'conditional pass', 'conditional fail', 'fail']
    """
    checks.single(measured=measured, guard_band=guard_band, lower=lower, upper=upper)
    measured, guard_band, lower, upper = checks.floats(measured, guard_band, lower, upper)
    checks.finite("measured", measured)
    checks.at_least("guard band", guard_band, 0)
    _check_limits(lower, upper)
    slack = min(measured - lower, upper - measured)
    for word, least in zip(ANSWERS, (guard_band, 0.0, -guard_band), strict=False):
        if slack >= least:
            return word
    return ANSWERS[-1]


def joint_false_accept(process, standard_uncertainty, accepted, lower=-np.inf, upper=np.inf):
    r"""Return the share of all boards that lie outside their limits and are accepted all the same.

    .. math:: R_C = \int_{\eta \notin [T_L, T_U]} g(\eta)\, P(\text{accept} \mid \eta)\, d\eta

    Needs what :func:`probability_of_conformity` does without: how the true values of all boards are spread.

    Parameters
    ----------
    process : scipy.stats frozen distribution
        Spread of the true values over all boards [any unit].
    standard_uncertainty : float
        Standard uncertainty of one reading, above zero [unit of the values].
    accepted : tuple of float
        Lower and upper acceptance limit, for example from :func:`acceptance_interval` [unit of the values].
    lower : float
        Lower tolerance limit, or minus infinity for none [unit of the values].
    upper : float
        Upper tolerance limit, or infinity for none [unit of the values].

    Returns
    -------
    float
        Share of all boards, 0 to 1 [1].

    References
    ----------
    JCGM 106:2012, 9.5.4 (ball bearings, radial error motion gamma(4, 1/4), limit 2 um, u = 0.25 um), printed 0.80 % as
    a national laboratory's notebook quotes it (second-hand).

    Examples
    --------
    >>> from scipy import stats
    >>> f"{joint_false_accept(stats.gamma(4, scale=1 / 4), 0.25, (-np.inf, 2.0), upper=2.0):.2%}"
    '0.80%'
    """
    checks.single(standard_uncertainty=standard_uncertainty, lower=lower, upper=upper)
    _check_rule(standard_uncertainty, accepted, lower, upper)

    def bad_and_accepted(true):
        return process.pdf(true) * _share_between(true, standard_uncertainty, *accepted)

    edges = _panel_edges(process, standard_uncertainty, (*accepted, lower, upper))
    return _integral(bad_and_accepted, edges[edges <= lower]) + _integral(bad_and_accepted, edges[edges >= upper])


def joint_false_reject(process, standard_uncertainty, accepted, lower=-np.inf, upper=np.inf):
    r"""Return the share of all boards that lie within their limits and are rejected all the same.

    .. math:: R_P = \int_{T_L}^{T_U} g(\eta)\, \bigl(1 - P(\text{accept} \mid \eta)\bigr)\, d\eta

    The price of a guard band: what it takes from the customer's risk it adds to the shop's.

    Parameters
    ----------
    process : scipy.stats frozen distribution
        Spread of the true values over all boards [any unit].
    standard_uncertainty : float
        Standard uncertainty of one reading, above zero [unit of the values].
    accepted : tuple of float
        Lower and upper acceptance limit [unit of the values].
    lower : float
        Lower tolerance limit, or minus infinity for none [unit of the values].
    upper : float
        Upper tolerance limit, or infinity for none [unit of the values].

    Returns
    -------
    float
        Share of all boards, 0 to 1 [1].

    References
    ----------
    JCGM 106:2012, 9.5.4 (published second-hand); the example is computed.

    Examples
    --------
    The acceptance limit of 1.67 um, which brings false acceptances down to 0.1 %, rejects 7.6 % good bearings:

    >>> from scipy import stats
    >>> f"{joint_false_reject(stats.gamma(4, scale=1 / 4), 0.25, (-np.inf, 1.67), upper=2.0):.1%}"
    '7.6%'
    """
    checks.single(standard_uncertainty=standard_uncertainty, lower=lower, upper=upper)
    _check_rule(standard_uncertainty, accepted, lower, upper)

    def good_and_rejected(true):
        return process.pdf(true) * (1 - _share_between(true, standard_uncertainty, *accepted))

    edges = _panel_edges(process, standard_uncertainty, (*accepted, lower, upper))
    return _integral(good_and_rejected, edges[(edges >= lower) & (edges <= upper)])


def acceptance_limit_for_risk(process, standard_uncertainty, upper, risk):
    r"""Return the largest reading to accept so that false acceptances are a given share of all boards.

    .. math:: R_C(A) = r, \quad \text{solved for } A

    Parameters
    ----------
    process : scipy.stats frozen distribution
        Spread of the true values over all boards [any unit].
    standard_uncertainty : float
        Standard uncertainty of one reading, above zero [unit of the values].
    upper : float
        Upper tolerance limit [unit of the values].
    risk : float
        Share of false acceptances, above 0 and below the share of boards outside the limit [1].

    Returns
    -------
    float
        Acceptance limit [unit of the values].

    References
    ----------
    JCGM 106:2012, 9.5.4: 0.1 % needs 1.67 um, as a national laboratory's notebook quotes it (second-hand).

    Examples
    --------
    >>> from scipy import stats
    >>> f"{acceptance_limit_for_risk(stats.gamma(4, scale=1 / 4), 0.25, 2.0, 0.001):.2f}"
    '1.67'
    """
    checks.single(standard_uncertainty=standard_uncertainty, risk=risk)
    checks.above("standard uncertainty", standard_uncertainty, 0)
    checks.inside("risk", risk, 0, process.sf(upper))

    def excess(limit):
        return joint_false_accept(process, standard_uncertainty, (-np.inf, limit), upper=upper) - risk

    reach = _FAR * standard_uncertainty
    farthest = max(upper, process.isf(risk * 1e-3)) + reach
    return float(optimize.brentq(excess, upper - reach, farthest))


def _share_between(centre, spread, low, high):
    # Taken from the nearer tail, so that small shares keep their digits.
    above, below = np.subtract(high, centre) / spread, np.subtract(low, centre) / spread
    mirrored = np.greater(below, 0)
    return (special.ndtr(np.where(mirrored, -below, above)) - special.ndtr(np.where(mirrored, -above, below)))[()]


def _panel_edges(process, standard_uncertainty, limits):
    """Cut the axis where the spread of the boards bends and where acceptance does, so that each panel is smooth."""
    bends = process.isf(special.ndtr(np.linspace(-7, 7, 15)))  # as far apart as a standard deviation of a normal law
    finite = np.array([limit for limit in limits if np.isfinite(limit)])
    steps = standard_uncertainty * np.linspace(-_FAR, _FAR, 9)
    edges = np.unique(np.concatenate([bends, np.add.outer(finite, steps).ravel()]))
    low, high = process.support()
    return edges[(edges >= low) & (edges <= high)]


def _integral(function, edges):
    if edges.size < 2:
        return 0.0
    half = np.diff(edges)[:, None] / 2
    middle = (edges[1:] + edges[:-1])[:, None] / 2
    return float(np.sum(half * _WEIGHTS * function(middle + half * _NODES)))


def _check_limits(lower, upper):
    lower, upper = checks.floats(lower, upper)
    if np.any(np.isnan(lower) | np.isnan(upper) | ~np.less(lower, upper)):
        raise ValueError(f"lower limit must be below the upper limit (got {lower} and {upper})")


def _check_rule(standard_uncertainty, accepted, lower, upper):
    checks.above("standard uncertainty", standard_uncertainty, 0)
    _check_limits(lower, upper)
    _check_limits(*accepted)
