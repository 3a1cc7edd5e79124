"""What a row of clean cold starts shows before a board is released.

The bound on the rate of failed starts is `promise.return_rate_bound` with starts for repairs. It takes the starts as
alike and independent: a start on a board still warm is no cold start.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["chance_of_clean_starts"]


def chance_of_clean_starts(failure_rate, starts):
    r"""Return how likely a board passes a row of starts although a share of its starts fails.

    .. math:: P = (1 - q)^n

    Parameters
    ----------
    failure_rate : float or array
        Share of starts that fails, 0 to 1 [1].
    starts : int or array
        Number of starts, at least 1 [1].

    Returns
    -------
    float or array
        Probability that none fails [1].

    References
    ----------
    Independent trials. At the rate 1 - 0.05^(1/n) it is 5 %, which is how that bound is made (rule of three: Eypasch
    et al. 1995, second-hand).

    Examples
    --------
    A board that fails one start in twenty passes ten starts more often than not:

    >>> f"{chance_of_clean_starts(0.05, 10):.1%}"
    '59.9%'
    """
    checks.between("failure_rate", failure_rate, 0, 1)
    checks.at_least("starts", starts, 1)
    return np.power(1 - np.asarray(failure_rate, float), starts)
