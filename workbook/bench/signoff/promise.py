r"""What a shop may promise: return rates with their bounds, and what a chain of steps or parts leaves of each.

A bound speaks for repairs like those counted, watched for as long as those were watched. Returns still to come are not
in it; a repair out of the door a week has not shown a year.
"""

import numpy as np
from scipy import stats

from workbook.bench import checks
from workbook.bench.intake import evidence

__all__ = [
    "chain_reliability",
    "chance_of_any_return",
    "chance_of_returns_at_most",
    "expected_returns",
    "repairs_to_promise",
    "return_rate_bound",
    "return_rate_interval",
    "returns_to_allow_for",
    "step_reliability_needed",
]


def return_rate_bound(returns, repairs, confidence=0.95):
    r"""Return the return rate that the count does not rule out: the rate to promise from.

    .. math:: I_{p_U}(k + 1, n - k) = C, \qquad p_U = 1 - (1 - C)^{1/n} \text{ for } k = 0

    One-sided: with this confidence the true rate is no higher.

    Parameters
    ----------
    returns : int or array
        Repairs that came back, from 0 to repairs [1].
    repairs : int or array
        Repairs sent out and watched, at least 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Upper bound of the return rate, 0 to 1 [1].

    References
    ----------
    Clopper and Pearson's exact bound; the examples are computed with scipy.

    Examples
    --------
    No return of 40, and two of 50:

    >>> f"{return_rate_bound(0, 40):.1%}", f"{return_rate_bound(2, 50):.1%}"
    ('7.2%', '12.1%')
    """
    return evidence.upper_bound(returns, repairs, confidence)


def return_rate_interval(returns, repairs, confidence=0.95):
    r"""Return the interval that holds the true return rate.

    .. math:: I_{p_L}(k, n-k+1) = \alpha/2, \qquad I_{p_U}(k+1, n-k) = 1 - \alpha/2

    Two-sided and exact; its upper end is higher than the one-sided bound of the same confidence.

    Parameters
    ----------
    returns : int or array
        Repairs that came back, from 0 to repairs [1].
    repairs : int or array
        Repairs sent out and watched, at least 1 [1].
    confidence : float
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    tuple of float or array
        Lower and upper end, 0 to 1 [1].

    References
    ----------
    Clopper and Pearson's exact interval; the example is computed with scipy.

    Examples
    --------
    >>> low, high = return_rate_interval(2, 50)
    >>> f"{low:.2%} to {high:.1%}"
    '0.49% to 13.7%'
    """
    return evidence.clopper_pearson_interval(returns, repairs, confidence)


def repairs_to_promise(return_rate, confidence=0.95, returns=0):
    r"""Return how many repairs, with this many returns among them, support a promised return rate.

    .. math:: n = \lceil \ln(1 - C) / \ln(1 - p) \rceil \quad \text{for } k = 0

    With returns, the smallest n whose :func:`return_rate_bound` comes down to the rate.

    Parameters
    ----------
    return_rate : float
        Return rate promised not to be exceeded, between 0 and 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].
    returns : int
        Returns among the repairs, 0 or more [1].

    Returns
    -------
    int
        Number of repairs [1].

    References
    ----------
    Guides on zero-failure sample size (published second-hand): 95 % at 95 %, printed 59; 90 % at 90 %, printed 22.

    Examples
    --------
    >>> repairs_to_promise(0.05), repairs_to_promise(0.10, 0.90)
    (59, 22)
    """
    return evidence.trials_to_support(1 - return_rate, confidence, returns)


def expected_returns(return_rate, repairs):
    r"""Return how many returns there are on average.

    .. math:: E = n p

    Parameters
    ----------
    return_rate : float or array
        Return rate, 0 to 1 [1].
    repairs : float or array
        Number of repairs, 0 or more [1].

    Returns
    -------
    float or array
        Mean number of returns [1].

    References
    ----------
    Mean of the binomial distribution.

    Examples
    --------
    >>> expected_returns(0.05, 60)
    3.0
    """
    return_rate, repairs = checks.floats(return_rate, repairs)
    _check_rate(return_rate, repairs)
    return return_rate * repairs


def chance_of_any_return(return_rate, repairs):
    r"""Return the probability that at least one repair comes back.

    .. math:: P = 1 - (1 - p)^n

    A rare fault is not rare over many boards.

    Parameters
    ----------
    return_rate : float or array
        Return rate, 0 to 1 [1].
    repairs : int or array
        Number of repairs, 0 or more [1].

    Returns
    -------
    float or array
        Probability, 0 to 1 [1].

    References
    ----------
    Binomial distribution; the example is computed.

    Examples
    --------
    At 5 %, the 14th customer makes a return likelier than not:

    >>> f"{chance_of_any_return(0.05, 13):.2f}", f"{chance_of_any_return(0.05, 14):.2f}"
    ('0.49', '0.51')
    """
    _check_rate(return_rate, repairs)
    return 1 - np.power(1 - np.asarray(return_rate, float), repairs)


def chance_of_returns_at_most(returns, repairs, return_rate):
    r"""Return the probability of this many returns or fewer.

    .. math:: P(X \le k) = \sum_{j=0}^{k} \binom{n}{j} p^j (1-p)^{n-j}

    Parameters
    ----------
    returns : int or array
        Number of returns, from 0 to repairs [1].
    repairs : int or array
        Number of repairs, at least 1 [1].
    return_rate : float or array
        Return rate, 0 to 1 [1].

    Returns
    -------
    float or array
        Probability, 0 to 1 [1].

    References
    ----------
    Binomial distribution; the example is computed.

    Examples
    --------
    Twenty repairs without a return, although one in ten comes back:

    >>> f"{chance_of_returns_at_most(0, 20, 0.10):.2f}"
    '0.12'
    """
    return evidence.chance_of_at_most(returns, repairs, return_rate)


def returns_to_allow_for(return_rate, repairs, confidence=0.95):
    r"""Return how many returns to keep time and parts for, so as to be short only rarely.

    .. math:: k = \min \{ k : P(X \le k) \ge C \}

    Parameters
    ----------
    return_rate : float or array
        Return rate, 0 to 1 [1].
    repairs : int or array
        Number of repairs, 0 or more [1].
    confidence : float or array
        Probability of not being short, between 0 and 1 [1].

    Returns
    -------
    int or array
        Number of returns [1].

    References
    ----------
    Quantile of the binomial distribution; the example is computed.

    Examples
    --------
    Of 60 repairs at 5 %, 3 come back on average, and up to 6 have to be borne:

    >>> returns_to_allow_for(0.05, 60)
    6
    """
    _check_rate(return_rate, repairs)
    checks.inside("confidence", confidence, 0, 1)
    found = np.asarray(stats.binom.ppf(confidence, repairs, return_rate), int)
    return found if found.ndim else int(found)


def chain_reliability(*reliabilities):
    r"""Return the reliability of independent steps or parts that must all hold.

    .. math:: R = \prod_i R_i

    Parameters
    ----------
    *reliabilities : float or array
        Reliability of each step or part, 0 to 1 [1].

    Returns
    -------
    float or array
        Reliability of the whole, no higher than the weakest [1].

    References
    ----------
    Series system of independent parts, any text on reliability; the example is computed.

    Examples
    --------
    Five steps done right 98 times in a hundred:

    >>> f"{chain_reliability(0.98, 0.98, 0.98, 0.98, 0.98):.3f}"
    '0.904'
    """
    whole = 1.0
    for reliability in checks.apart("reliability", reliabilities):
        checks.between("reliability", reliability, 0, 1)
        whole = whole * reliability
    return whole


def step_reliability_needed(target, steps):
    r"""Return how reliable each of equal, independent steps must be for the whole to reach a target.

    .. math:: R_i = R^{1/n}

    Parameters
    ----------
    target : float or array
        Reliability wanted of the whole, 0 to 1 [1].
    steps : int or array
        Number of steps, at least 1 [1].

    Returns
    -------
    float or array
        Reliability of each step [1].

    References
    ----------
    Series system of independent parts, any text on reliability; the example is computed.

    Examples
    --------
    Two packages of 676 joints each, together to last with 95 %, leave a joint four failures in a hundred thousand:

    >>> f"{1 - step_reliability_needed(0.95, 2 * 676):.1e}"
    '3.8e-05'
    """
    checks.between("target", target, 0, 1)
    checks.at_least("steps", steps, 1)
    return np.power(target, 1 / np.asarray(steps, float))


def _check_rate(return_rate, repairs):
    checks.between("return rate", return_rate, 0, 1)
    checks.whole("repairs", repairs)
