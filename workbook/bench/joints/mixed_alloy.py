"""A lead-free ball on tin-lead paste: what the joint is made of when all of it has melted together."""

import numpy as np

from workbook.bench import checks

__all__ = ["share_of_element"]


def share_of_element(masses, shares):
    r"""Return the share by mass of one element in solders that have melted into one.

    .. math:: w = \frac{\sum_i m_i w_i}{\sum_i m_i}

    True where everything melted and mixed. Where the ball stayed solid, the lead stays in the rest and its share there
    is higher.

    Parameters
    ----------
    masses : array
        Mass of each solder, at least zero, not all zero [kg].
    shares : array
        Share of the element by mass in each, 0 to 1 [1].

    Returns
    -------
    float
        Share of the element by mass in the mixture [1].

    References
    ----------
    Mass balance. Directive 2002/95/EC and its successors (second-hand) allow 0.1 % of lead by mass in one material.

    Examples
    --------
    A SAC305 ball of 0.60 mm (0.835 mg) and tin-lead print (0.0538 mg of metal, 37 % lead):

    >>> f"{share_of_element([0.835e-6, 0.0538e-6], [0, 0.37]):.2%}"
    '2.24%'
    """
    checks.at_least("masses", masses, 0, "kg")
    checks.between("shares", shares, 0, 1)
    checks.above("sum of the masses", np.sum(masses), 0, "kg")
    return float(np.dot(masses, shares) / np.sum(masses))
