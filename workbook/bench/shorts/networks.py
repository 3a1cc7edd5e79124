"""Networks of resistors with exact answers, and the nodal solve for those without."""

from fractions import Fraction
from functools import cache

import numpy as np
from scipy import integrate, sparse
from scipy.sparse import csgraph
from scipy.sparse.linalg import splu

from workbook.bench import checks

__all__ = [
    "balancing_resistance",
    "cube_links",
    "delta_from_star",
    "grid_links",
    "ladder_resistance",
    "lattice_far_field",
    "lattice_fractions",
    "lattice_resistance",
    "node_potentials",
    "parallel",
    "resistance_between",
    "series",
    "star_from_delta",
]


def series(*resistances):
    r"""Return the resistance of resistors one after another.

    .. math:: R = \sum R_i

    Parameters
    ----------
    *resistances : float or array
        Each at least zero, infinite for an open link [ohm].

    Returns
    -------
    float or array
        Resistance of the chain [ohm].

    References
    ----------
    Kirchhoff's voltage law.

    Examples
    --------
    >>> series(64.0, 15.0)
    79.0
    """
    return sum(_held(resistances))


def parallel(*resistances):
    r"""Return the resistance of resistors side by side.

    .. math:: R = \left(\sum 1/R_i\right)^{-1}

    Parameters
    ----------
    *resistances : float or array
        Each at least zero, infinite for a link that is not there [ohm].

    Returns
    -------
    float or array
        Resistance of the bundle [ohm].

    References
    ----------
    Kirchhoff's current law; the example is 960/79 ohm (computed).

    Examples
    --------
    >>> f"{parallel(64.0, 15.0):.3f}"
    '12.152'
    """
    with np.errstate(divide="ignore"):
        return np.divide(1.0, sum(np.divide(1.0, resistance) for resistance in _held(resistances)))[()]


def star_from_delta(between_ab, between_bc, between_ca):
    r"""Return the three arms of the star that no meter can tell from a delta.

    .. math:: R_A = \frac{R_{AB} R_{CA}}{R_{AB} + R_{BC} + R_{CA}} \quad \text{and so round}

    Parameters
    ----------
    between_ab, between_bc, between_ca : float or array
        Resistors of the delta, at least zero and not all zero [ohm].

    Returns
    -------
    arm_a, arm_b, arm_c : float or array
        Arms of the star, from each corner to its middle [ohm].

    References
    ----------
    Formula in a worked set, published second-hand; the example is computed. (A printed answer of 4, 8, 16 for the delta
    12, 18, 24 is wrong: its last arm is 16/3.)

    Examples
    --------
    >>> star_from_delta(30.0, 60.0, 90.0)
    (15.0, 10.0, 30.0)
    """
    between_ab, between_bc, between_ca = checks.floats(between_ab, between_bc, between_ca)
    total = _loop(between_ab, between_bc, between_ca)
    return between_ab * between_ca / total, between_ab * between_bc / total, between_bc * between_ca / total


def delta_from_star(arm_a, arm_b, arm_c):
    r"""Return the three resistors of the delta that no meter can tell from a star.

    .. math:: R_{AB} = R_A + R_B + R_A R_B / R_C \quad \text{and so round}

    Parameters
    ----------
    arm_a, arm_b, arm_c : float or array
        Arms of the star, each above zero [ohm].

    Returns
    -------
    between_ab, between_bc, between_ca : float or array
        Resistors of the delta [ohm].

    References
    ----------
    Inverse of `star_from_delta`.

    Examples
    --------
    >>> delta_from_star(15.0, 10.0, 30.0)
    (30.0, 60.0, 90.0)
    """
    arm_a, arm_b, arm_c = checks.floats(arm_a, arm_b, arm_c)
    for name, arm in (("arm a", arm_a), ("arm b", arm_b), ("arm c", arm_c)):
        checks.above(name, arm, 0, "ohm")
    pairs = arm_a * arm_b + arm_b * arm_c + arm_c * arm_a
    return pairs / arm_c, pairs / arm_a, pairs / arm_b


def balancing_resistance(first, second, third):
    r"""Return the resistor that balances a Wheatstone bridge.

    .. math:: R_1 / R_2 = R_3 / R_x

    Parameters
    ----------
    first : float or array
        Upper left arm, above zero [ohm].
    second : float or array
        Upper right arm, above zero [ohm].
    third : float or array
        Lower left arm, at least zero [ohm].

    Returns
    -------
    float or array
        Lower right arm at which the bridge shows nothing [ohm].

    References
    ----------
    Problem in a college physics text, 7th ed., chapter 19, and in its earlier edition; answers computed. (A question
    bank prints 12.5 ohm for the arms 10, 15, 5: wrong, it is 7.5.)

    Examples
    --------
    >>> [f"{balancing_resistance(*arms):.4g}" for arms in ((590, 972, 78.6), (630, 972, 42.6), (10, 15, 5))]
    ['129.5', '65.73', '7.5']
    """
    first, second, third = checks.floats(first, second, third)
    checks.above("first arm", first, 0, "ohm")
    checks.above("second arm", second, 0, "ohm")
    checks.at_least("third arm", third, 0, "ohm")
    return third * second / first


def ladder_resistance(across, along):
    r"""Return the resistance of an endless ladder seen across its first rung.

    .. math:: R = \tfrac12\left(\sqrt{s^2 + 4 s p} - s\right)

    One more step in front of an endless ladder changes nothing, which gives the quadratic.

    Parameters
    ----------
    across : float or array
        Resistor from line to line, one a step, above zero [ohm].
    along : float or array
        Resistor along the line, one a step, above zero [ohm].

    Returns
    -------
    float or array
        Resistance across the first rung [ohm].

    References
    ----------
    R package ResistorArray, page on the ladder: (sqrt 5 - 1)/2 for equal resistors.

    Examples
    --------
    >>> f"{ladder_resistance(1.0, 1.0):.6f}"
    '0.618034'
    """
    across, along = checks.floats(across, along)
    checks.above("resistor across", across, 0, "ohm")
    checks.above("resistor along", along, 0, "ohm")
    return (np.sqrt(along * along + 4 * along * across) - along) / 2


def node_potentials(links, currents, earth):
    r"""Return the potential of every node of a resistor network, the earth node at zero.

    .. math:: \sum_j (V_i - V_j)/R_{ij} = I_i

    Current that is fed in leaves through the earth node.

    Parameters
    ----------
    links : iterable of (node, node, resistance)
        Resistors; two links may join the same nodes. Each resistance above zero [ohm].
    currents : mapping of node to float
        Current fed into each node named, from outside [A].
    earth : node
        The node whose potential is zero.

    Returns
    -------
    dict of node to float
        Potentials [V].

    References
    ----------
    Kirchhoff's current law at every node.

    Examples
    --------
    1 A into two resistors of 2 and 3 ohm in a row:

    >>> potentials = node_potentials([("a", "b", 2.0), ("b", "c", 3.0)], {"a": 1.0}, "c")
    >>> [f"{potentials[node]:.1f}" for node in "abc"]
    ['5.0', '3.0', '0.0']
    """
    starts, ends, resistances = zip(*links, strict=True)
    checks.above("resistances", resistances, 0, "ohm")
    nodes = list(dict.fromkeys((earth, *starts, *ends)))
    place = {node: index for index, node in enumerate(nodes)}
    for node in currents:
        if node not in place:
            raise ValueError(f"node {node!r} has no link to it")
    start, end = np.array([place[node] for node in starts]), np.array([place[node] for node in ends])
    conductances = 1 / np.asarray(resistances, float)
    joined = sparse.coo_array((conductances, (start, end)), shape=(len(nodes),) * 2).tocsr()
    pieces, piece = csgraph.connected_components(joined, directed=False)
    if pieces > 1:
        stray = nodes[int(np.argmax(piece != piece[0]))]
        raise ValueError(f"no way from node {stray!r} to the earth node {earth!r}")
    laplacian = csgraph.laplacian(joined + joined.T).tocsc()
    fed = np.zeros(len(nodes))
    for node, current in currents.items():
        fed[place[node]] += current
    solved = splu(laplacian[1:, 1:]).solve(fed[1:])
    return dict(zip(nodes, (0.0, *map(float, solved)), strict=True))


def resistance_between(links, first, second):
    r"""Return the resistance a meter sees between two nodes of a network.

    .. math:: R = (V_1 - V_2)/I

    Parameters
    ----------
    links : iterable of (node, node, resistance)
        Resistors, as for `node_potentials`, each above zero [ohm].
    first, second : node
        Where the probes are.

    Returns
    -------
    float
        Resistance [ohm].

    References
    ----------
    `node_potentials`; the example stands in the documentation of networkx 2.8 (resistance distance), answer 0.625.

    Examples
    --------
    >>> f"{resistance_between([(1, 2, 1), (1, 3, 1), (1, 4, 1), (3, 4, 1), (3, 5, 1), (4, 5, 1)], 1, 3):.3f}"
    '0.625'
    """
    return node_potentials(links, {first: 1.0}, second)[first]


def cube_links(resistance=1.0):
    """Return the twelve equal links along the edges of a cube; nodes are the corners (x, y, z) of 0 and 1.

    Parameters
    ----------
    resistance : float
        Every link, above zero [ohm].

    Returns
    -------
    list of (node, node, resistance)
        Links for `node_potentials` [ohm].

    References
    ----------
    Old exercise: 7/12 along an edge, 3/4 across a face, 5/6 through the body (5/6 on four pages, the others computed).

    Examples
    --------
    >>> [f"{resistance_between(cube_links(), (0, 0, 0), far):.4f}" for far in ((1, 0, 0), (1, 1, 0), (1, 1, 1))]
    ['0.5833', '0.7500', '0.8333']
    """
    checks.above("resistance", resistance, 0, "ohm")
    corners = [(x, y, z) for x in (0, 1) for y in (0, 1) for z in (0, 1)]
    return [
        (one, other, resistance)
        for one in corners
        for other in corners
        if one < other and sum(a != b for a, b in zip(one, other, strict=True)) == 1
    ]


def grid_links(columns, rows, resistance=1.0):
    """Return the links of a square grid of nodes (column, row), each joined to its neighbours.

    Parameters
    ----------
    columns, rows : int
        Nodes each way, at least 1 [1].
    resistance : float
        Every link, above zero [ohm].

    Returns
    -------
    list of (node, node, resistance)
        Links for `node_potentials` [ohm].

    References
    ----------
    Grid of hatched copper; 3/4 along the edge of a single square (computed).

    Examples
    --------
    >>> f"{resistance_between(grid_links(2, 2), (0, 0), (1, 0)):.2f}"
    '0.75'
    """
    checks.at_least("columns", columns, 1)
    checks.at_least("rows", rows, 1)
    checks.above("resistance", resistance, 0, "ohm")
    across = [((x, y), (x + 1, y), resistance) for x in range(columns - 1) for y in range(rows)]
    along = [((x, y), (x, y + 1), resistance) for x in range(columns) for y in range(rows - 1)]
    return across + along


def lattice_resistance(columns, rows):
    r"""Return the resistance between two nodes of an endless square grid of equal links, in links.

    .. math:: R(m,n) = \frac1\pi \int_0^\pi \frac{1 - e^{-m\alpha}\cos n\beta}{\sinh\alpha}\,d\beta, \quad
        \cosh\alpha = 2 - \cos\beta

    Parameters
    ----------
    columns, rows : int
        Steps from one node to the other each way, of either sign [1].

    Returns
    -------
    float
        Resistance, as a multiple of one link [1].

    References
    ----------
    OEIS A355565, quoting J. Cserti, Am. J. Phys. 68 (2000) 896, eq. 32, and D. Atkinson and F. J. van Steenwijk,
    Am. J. Phys. 67 (1999) 486, Table I.

    Examples
    --------
    Next node 1/2, diagonal 2/pi, knight's move 4/pi - 1/2:

    >>> [f"{lattice_resistance(*move):.6f}" for move in ((1, 0), (1, 1), (2, 1))]
    ['0.500000', '0.636620', '0.773240']
    """
    checks.single(columns=columns, rows=rows)
    for steps in checks.floats(columns, rows):
        checks.whole("steps", abs(steps))
    far, near = max(abs(columns), abs(rows)), min(abs(columns), abs(rows))

    def integrand(beta):
        sinh = np.sqrt(2 * np.sin(beta / 2) ** 2 * (3 - np.cos(beta)))
        return (1 - np.exp(-far * np.arcsinh(sinh)) * np.cos(near * beta)) / sinh

    total, _ = integrate.quad(integrand, 0, np.pi, epsabs=1e-12, epsrel=1e-12, limit=50 + 20 * far)
    return float(total / np.pi)


@cache
def lattice_fractions(columns, rows):
    r"""Return the exact resistance in an endless square grid as two fractions p and q of R = p + q/pi.

    .. math:: R(n,n) = R(n-1,n-1) + \frac{2}{\pi(2n-1)}, \qquad 4R(m,n) = \sum \text{four neighbours}

    The recurrence starts on the diagonal and works outwards. In floating point its errors grow with every step, which
    is why it runs in fractions; take the number from `lattice_resistance`.

    Parameters
    ----------
    columns, rows : int
        Steps from one node to the other each way, of either sign [1].

    Returns
    -------
    whole, over_pi : fractions.Fraction
        The two fractions, in links [1].

    References
    ----------
    OEIS A355565, formula section.

    Examples
    --------
    R(2,2) = 8/(3 pi) and R(3,0) = 17/2 - 24/pi:

    >>> [str(part) for part in lattice_fractions(2, 2)], [str(part) for part in lattice_fractions(3, 0)]
    (['0', '8/3'], ['17/2', '-24'])
    """
    m, n = max(abs(columns), abs(rows)), min(abs(columns), abs(rows))
    if m == n:
        return Fraction(0), sum((Fraction(2, 2 * k - 1) for k in range(1, n + 1)), Fraction(0))
    if (m, n) == (1, 0):
        return Fraction(1, 2), Fraction(0)
    centre = lattice_fractions(m - 1, n)
    if m == n + 1:  # from the diagonal: two of its neighbours are the one sought, two are the one before
        return _combine(2, centre, (lattice_fractions(n, n - 1),))
    return _combine(4, centre, (lattice_fractions(*at) for at in ((m - 2, n), (m - 1, n + 1), (m - 1, n - 1))))


def lattice_far_field(distance):
    r"""Return the resistance between far nodes of an endless square grid, in links.

    .. math:: R \approx \frac1\pi\left(\ln d + \gamma + \tfrac12\ln 8\right)

    Within 0.02 % beyond ten links.

    Parameters
    ----------
    distance : float or array
        Straight distance between the nodes in links, above 1 [1].

    Returns
    -------
    float or array
        Resistance, as a multiple of one link [1].

    References
    ----------
    OEIS A355955, program note.

    Examples
    --------
    At (10, 10), where the exact value is 1.35807:

    >>> f"{lattice_far_field(np.hypot(10, 10)):.5f}"
    '1.35794'
    """
    distance = checks.floats(distance)
    checks.above("distance", distance, 1)
    return (np.log(distance) + np.euler_gamma + np.log(8) / 2) / np.pi


def _held(resistances):
    """Return resistances as floats, each at least zero; an infinite one is an open circuit."""
    resistances = checks.apart("resistance", resistances)
    for resistance in resistances:
        checks.at_least("resistance", np.where(np.isposinf(resistance), 0, resistance), 0, "ohm")
    return resistances


def _loop(*resistances):
    for resistance in resistances:
        checks.at_least("resistance", resistance, 0, "ohm")
    total = sum(resistances)
    checks.above("sum of the delta", total, 0, "ohm")
    return total


def _combine(times, centre, others):
    """Return times the centre less all the others, fraction by fraction."""
    return tuple(times * part - sum(rest) for part, rest in zip(centre, zip(*others, strict=True), strict=True))
