"""How often a part has seen reflow heat, and how often it may yet."""

from workbook.bench import checks
from workbook.references import value

__all__ = ["heats_left"]


def heats_left(assembly, earlier_repairs, planned, neighbours_melts=0, limit=None):
    r"""Return how many heats of its limit a part keeps after a job, below zero where the job breaks the limit.

    .. math:: n_\mathrm{left} = n_\mathrm{max} - n_\mathrm{new} - n_\mathrm{earlier} - n_\mathrm{own} - n_\mathrm{next}

    A board with parts on both sides has seen two heats when it is new. A neighbour's job counts where it melted this
    part's joints. The limit is a qualification of the package, with nothing about this board's past.

    Parameters
    ----------
    assembly : int
        Heats in assembly, at least 1 [1].
    earlier_repairs : int
        Heats of earlier repairs, at least 0 [1].
    planned : int
        Heats of the job planned, taking off and putting on counted each, at least 0 [1].
    neighbours_melts : int
        Heats of jobs next door that melted this part's joints, at least 0 [1].
    limit : int, optional
        Heats the part may see; the three of J-STD-020 (second-hand) where not given [1].

    Returns
    -------
    int
        Heats left [1].

    References
    ----------
    J-STD-020, second-hand, as two makers quote it. A package maker's rework paper (abstract, published-unnamed): at
    most three, with first assembly, rework and reballing counted.

    Examples
    --------
    A board of two sides, one earlier repair, one reflow planned is over before it starts:

    >>> heats_left(assembly=2, earlier_repairs=1, planned=1)
    -1
    """
    checks.at_least("assembly", assembly, 1)
    seen = dict(assembly=assembly, earlier_repairs=earlier_repairs, planned=planned, neighbours_melts=neighbours_melts)
    for quantity, heats in seen.items():
        checks.whole(quantity, heats)
    allowed = value("profile", "reflow_cycles_at_most") if limit is None else limit
    return int(allowed) - sum(map(int, seen.values()))
