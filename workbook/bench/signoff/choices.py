"""What a repair is worth before it is begun: chance, cost and comeback.

Amounts are in any one currency; the workbook's invented one is the credit. A sum is no order: a job that breaks a limit
of the package, or that cannot be told honestly to the customer, is refused whatever it is worth.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["chance_to_match", "expected_value"]


def expected_value(success, value, cost, comeback=0.0):
    r"""Return what a repair is worth on average.

    .. math:: V = p v - c - (1 - p) b

    Parameters
    ----------
    success : float or array
        Probability that the repair holds, 0 to 1 [1].
    value : float or array
        What a repair that holds brings [currency].
    cost : float or array
        What the repair costs in any case [currency].
    comeback : float or array
        What a repair that does not hold costs on top [currency].

    Returns
    -------
    float or array
        Expected value, below zero where the job loses on average [currency].

    References
    ----------
    Definition of the expected value. A textbook's payoff table pays 50 000 or 30 000, and 100 000 or -40 000,
    at 60 to 40, and prints 42 000 and 44 000.

    Examples
    --------
    >>> [f"{expected_value(0.60, *pay):.0f}" for pay in ((50000, 0, -30000), (100000, 0, 40000))]
    ['42000', '44000']

    A reflow and a replacement, in invented money:

    >>> [f"{expected_value(p, 150, cost, 20):.1f}" for p, cost in ((0.55, 35), (0.92, 95))]
    ['38.5', '41.4']
    """
    success, value, cost, comeback = checks.floats(success, value, cost, comeback)
    checks.between("success", success, 0, 1)
    for quantity, money in (("value", value), ("cost", cost), ("comeback", comeback)):
        checks.finite(quantity, money)
    return np.multiply(success, value) - cost - np.multiply(1 - np.asarray(success), comeback)


def chance_to_match(target, value, cost, comeback=0.0):
    r"""Return the probability of success at which a repair is worth a target on average.

    .. math:: p = \frac{V + c + b}{v + b}

    Parameters
    ----------
    target : float or array
        Expected value to reach: zero to break even, or that of another choice [currency].
    value : float or array
        What a repair that holds brings [currency].
    cost : float or array
        What the repair costs in any case [currency].
    comeback : float or array
        What a repair that does not hold costs on top; with the value above zero [currency].

    Returns
    -------
    float or array
        Probability of success; above 1 where no chance is good enough, below 0 where any is [1].

    References
    ----------
    The expected value, solved for the probability.

    Examples
    --------
    A reflow is worth as much as the replacement of 41.4 at

    >>> f"{chance_to_match(41.4, 150, 35, 20):.3f}"
    '0.567'
    """
    target, value, cost, comeback = checks.floats(target, value, cost, comeback)
    checks.finite("target", target)
    checks.finite("cost", cost)
    checks.above("value plus comeback", np.add(value, comeback), 0)
    return np.divide(np.add(np.add(target, cost), comeback), np.add(value, comeback))
