"""Several causes of one failure, weighed by what was seen.

A dead processor may have cracked ball joints, cracked joints inside its package, or a dead die. They answer alike to
heat and to a finger. The rule below knows only the causes it is given: a cause left out cannot be found.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["chance_of_finding", "updated_causes"]

_WHOLE = 1e-9  # priors typed to a few decimals still have to make one whole


def chance_of_finding(priors, likelihoods):
    r"""Return how likely a finding is, whichever cause is at work.

    .. math:: P(F) = \sum_i P(C_i) \, P(F \mid C_i)

    Parameters
    ----------
    priors : array
        Probability of each cause before the finding, 0 to 1, together 1 [1].
    likelihoods : array
        Probability of the finding under each cause, 0 to 1 [1].

    Returns
    -------
    float
        Probability of the finding [1].

    References
    ----------
    Law of total probability. A risk analysis handbook's page on Bayes' theorem (published-unnamed): three machines make
    20, 45 and 35 % of the output and 2, 1 and 3 % of it is faulty.

    Examples
    --------
    Printed there as 0.019:

    >>> f"{chance_of_finding([0.20, 0.45, 0.35], [0.02, 0.01, 0.03]):.3f}"
    '0.019'
    """
    checks.between("priors", priors, 0, 1)
    checks.between("likelihoods", likelihoods, 0, 1)
    if np.shape(priors) != np.shape(likelihoods):
        raise ValueError(f"each prior needs one likelihood (got {np.size(priors)} and {np.size(likelihoods)})")
    if abs(np.sum(priors) - 1) > _WHOLE:
        raise ValueError(f"priors must add up to 1 (got {np.sum(priors):g}): name every cause, 'something else' too")
    return float(np.dot(priors, likelihoods))


def updated_causes(priors, likelihoods):
    r"""Return the probability of each of several causes after a finding (Bayes' rule).

    .. math:: P(C_i \mid F) = \frac{P(C_i) \, P(F \mid C_i)}{\sum_j P(C_j) \, P(F \mid C_j)}

    Parameters
    ----------
    priors : array
        Probability of each cause before the finding, 0 to 1, together 1 [1].
    likelihoods : array
        Probability of the finding under each cause, 0 to 1, not all zero [1].

    Returns
    -------
    array
        Probability of each cause after the finding, together 1 [1].

    References
    ----------
    Bayes' rule. The shares of the second example are invented.

    Examples
    --------
    A standard exercise: machines make 20, 30 and 50 % of the parts, and 5, 3 and 2 % of theirs are faulty. A faulty
    part came from the third with 10/29:

    >>> f"{updated_causes([0.2, 0.3, 0.5], [0.05, 0.03, 0.02])[2] * 29:.3f}"
    '10.000'

    Ball joints, joints inside the package and dead part; the board came back at 120 °C, where no solder melts:

    >>> [f"{share:.1%}" for share in updated_causes([0.40, 0.40, 0.20], [0.35, 0.55, 0.02])]
    ['38.5%', '60.4%', '1.1%']
    """
    chance = chance_of_finding(priors, likelihoods)
    if chance == 0:
        raise ValueError("the finding is impossible under every cause: a cause is missing, or a likelihood is wrong")
    return np.multiply(priors, likelihoods) / chance
