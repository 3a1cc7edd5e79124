"""Shear strain of solder joints from unlike expansion of part and board, joint by joint.

A part and its board grow by different amounts when they warm up. The joints between them take the difference as
shear, the more so the farther they sit from the point that does not move: the neutral point, which is the centre of a
symmetric array.

Two ways of counting the distance to the corner stand in print, and they differ by one pitch in N. They are named here
and must be chosen: ``"ball centre"``, (N - 1)/2 pitches, is where the ball is; ``"pitch count"``, N/2 pitches, is the
quick form that some handbooks use.
"""

import numpy as np

from workbook.bench import checks

__all__ = [
    "ball_array",
    "corner_distance",
    "distance_from_neutral_point",
    "mismatch_strain",
    "perimeter_array",
    "worst_joints",
]

COUNTED = {"ball centre": 1, "pitch count": 0}
"""Pitches taken off the ball count of a row to get its length, for each way of counting."""


def corner_distance(rows, columns, pitch, counted):
    r"""Return the distance from the centre of a ball array to its corner joint.

    .. math:: L = \tfrac{p}{2} \sqrt{(n_r - s)^2 + (n_c - s)^2}

    with s = 1 counted to the ball centre and s = 0 counted in pitches.

    Parameters
    ----------
    rows : int or array
        Balls from front to back, at least 1 [1].
    columns : int or array
        Balls from left to right, at least 1 [1].
    pitch : float or array
        Distance between neighbouring ball centres, above zero [m].
    counted : str
        ``"ball centre"`` for (N - 1)/2 pitches or ``"pitch count"`` for N/2 pitches [name].

    Returns
    -------
    float or array
        Distance to the neutral point, above or at zero [m].

    References
    ----------
    Printed Circuits Handbook, section 63.4.1 (published second-hand), counts pitches; the ball centre is geometry.

    Examples
    --------
    A 20 by 20 array at 1 mm, 14.142 mm in the handbook; the ball itself sits one half pitch nearer on each side:

    >>> f"{corner_distance(20, 20, 1e-3, 'pitch count') * 1e3:.3f}"
    '14.142'
    >>> f"{corner_distance(20, 20, 1e-3, 'ball centre') * 1e3:.3f}"
    '13.435'
    """
    rows, columns, pitch = checks.floats(rows, columns, pitch)
    checks.at_least("rows", rows, 1)
    checks.at_least("columns", columns, 1)
    checks.above("pitch", pitch, 0, "m")
    if counted not in COUNTED:
        raise ValueError(f"counted must be one of {', '.join(map(repr, COUNTED))} (got {counted!r})")
    taken_off = COUNTED[counted]
    return np.multiply(pitch, 0.5) * np.hypot(np.subtract(rows, taken_off), np.subtract(columns, taken_off))


def ball_array(rows, columns, pitch, empty_rows=0, empty_columns=0):
    r"""Return the position of every ball of an array, with an empty block in the middle if it has one.

    .. math:: x_j = (j - \tfrac{n_c - 1}{2})\,p, \quad y_i = (i - \tfrac{n_r - 1}{2})\,p

    The array and its empty block share their centre, which is the origin. An island of balls inside the empty block is
    a second, smaller array: join the two with ``numpy.concatenate``.

    Parameters
    ----------
    rows : int
        Balls from front to back, at least 1 [1].
    columns : int
        Balls from left to right, at least 1 [1].
    pitch : float
        Distance between neighbouring ball centres, above zero [m].
    empty_rows : int
        Rows left out in the middle, from zero to ``rows``; even if ``rows`` is even, odd if it is odd, or zero [1].
    empty_columns : int
        Columns left out in the middle, under the same rule with ``columns`` [1].

    Returns
    -------
    array
        One line a ball, x then y, from the centre of the array [m].

    References
    ----------
    Geometry of a regular grid.

    Examples
    --------
    Four balls at 1 mm lie half a millimetre from both middle lines:

    >>> (ball_array(2, 2, 1e-3) * 1e3).tolist()
    [[-0.5, -0.5], [0.5, -0.5], [-0.5, 0.5], [0.5, 0.5]]
    >>> len(ball_array(26, 26, 1e-3, empty_rows=10, empty_columns=10))
    576
    """
    checks.at_least("rows", rows, 1)
    checks.at_least("columns", columns, 1)
    checks.above("pitch", pitch, 0, "m")
    missing_down = _in_the_middle("rows", rows, empty_rows)
    missing_across = _in_the_middle("columns", columns, empty_columns)
    row, column = np.nonzero(~np.outer(missing_down, missing_across))
    return pitch * np.column_stack([column - (columns - 1) / 2, row - (rows - 1) / 2])


def _in_the_middle(name, count, empty):
    """Return which of count lines lie in the centred block of empty lines."""
    checks.between(f"empty_{name}", empty, 0, count)
    if empty and (count - empty) % 2:
        raise ValueError(f"empty_{name} must leave as many {name} on both sides of the middle (got {empty} of {count})")
    edge = (count - empty) // 2
    line = np.arange(count)
    return (line >= edge) & (line < edge + empty)


def perimeter_array(rows, columns, pitch, rings):
    r"""Return the position of every ball of an array that has balls only in rings along its edge.

    .. math:: n = n_r n_c - (n_r - 2r)(n_c - 2r)

    Parameters
    ----------
    rows : int
        Balls from front to back along the outer ring, at least twice ``rings`` [1].
    columns : int
        Balls from left to right along the outer ring, at least twice ``rings`` [1].
    pitch : float
        Distance between neighbouring ball centres, above zero [m].
    rings : int
        Rings of balls from the edge inwards, at least 1 [1].

    Returns
    -------
    array
        One line a ball, x then y, from the centre of the array [m].

    References
    ----------
    Geometry of a regular grid.

    Examples
    --------
    Four rings of a 26 by 26 array leave 18 by 18 empty, so 676 - 324 balls:

    >>> len(perimeter_array(26, 26, 1e-3, rings=4))
    352
    """
    checks.single(rows=rows, columns=columns, rings=rings)
    checks.between("rings", rings, 1, min(rows, columns) / 2)
    return ball_array(rows, columns, pitch, rows - 2 * rings, columns - 2 * rings)


def distance_from_neutral_point(positions, neutral_point=(0.0, 0.0)):
    r"""Return how far each joint lies from the point that does not move.

    .. math:: L_i = \sqrt{(x_i - x_0)^2 + (y_i - y_0)^2}

    Parameters
    ----------
    positions : array
        Joints as (..., 2) coordinates, finite [m].
    neutral_point : pair of float
        The point that stays; the centre of a symmetric array unless the part is held elsewhere, finite [m].

    Returns
    -------
    array
        Distance of each joint, at or above zero [m].

    References
    ----------
    Printed Circuits Handbook, section 63.4.1 (published second-hand), for the meaning; geometry.

    Examples
    --------
    >>> float(distance_from_neutral_point((3e-3, 4e-3)))
    0.005
    """
    checks.finite("positions", positions, "m")
    checks.finite("neutral point", neutral_point, "m")
    offset = np.subtract(positions, neutral_point, dtype=float)
    return np.hypot(offset[..., 0], offset[..., 1])


def mismatch_strain(distance, standoff, part_expansion, board_expansion, temperature_swing, factor=1.0):
    r"""Return the shear strain range of a joint between a part and a board that expand differently.

    .. math:: \Delta\gamma = F \, \frac{L}{h} \, |\alpha_{part} - \alpha_{board}| \, \Delta T

    The part and the board are taken stiff and equally warm, and the solder to follow: a first estimate. Pass one
    distance for one joint, or the distances of a whole array.

    Parameters
    ----------
    distance : float or array
        Distance of the joint from the neutral point, at least zero [m].
    standoff : float or array
        Height of the joint between the two lands, above zero [m].
    part_expansion : float or array
        Expansion coefficient of the part in its plane, 0 to 1e-3 (12 ppm/K is 12e-6) [1/K].
    board_expansion : float or array
        Expansion coefficient of the board in its plane, 0 to 1e-3 [1/K].
    temperature_swing : float or array
        Highest minus lowest temperature of a cycle, at least zero [K].
    factor : float or array
        Empirical factor F, above zero; 0.5 to 1.5 in print, 1 for the plain form [1].

    Returns
    -------
    float or array
        Shear strain range as a fraction (0.01 is 1 %) [1].

    References
    ----------
    Printed Circuits Handbook, section 63.4.1, Eq. 63.1a (published second-hand), without F.
    The Scientific World Journal 2014, article 807693, Table 1, for the range of F.

    Examples
    --------
    The handbook's ceramic part on laminate, 6 and 18 ppm/K, 0.508 mm high, 30 K, answered there as 1.0 %:

    >>> corner = corner_distance(20, 20, 1e-3, "pitch count")
    >>> f"{mismatch_strain(corner, 0.508e-3, 6e-6, 18e-6, 30):.1%}"
    '1.0%'
    """
    distance, standoff, part_expansion, board_expansion, temperature_swing, factor = checks.floats(
        distance, standoff, part_expansion, board_expansion, temperature_swing, factor
    )
    checks.at_least("distance", distance, 0, "m")
    checks.above("standoff", standoff, 0, "m")
    checks.between("part_expansion", part_expansion, 0, 1e-3, "1/K")
    checks.between("board_expansion", board_expansion, 0, 1e-3, "1/K")
    checks.at_least("temperature_swing", temperature_swing, 0, "K")
    checks.above("factor", factor, 0)
    mismatch = np.abs(np.subtract(part_expansion, board_expansion))
    return factor * np.divide(distance, standoff) * mismatch * temperature_swing


def worst_joints(strain):
    r"""Return the numbers of the joints that are strained most, all of them where several are equal.

    .. math:: \{ i : \gamma_i = \max_j \gamma_j \}

    Strains that differ only by rounding, one part in 1e9, count as equal: an array has four equal corners.

    Parameters
    ----------
    strain : array
        Strain range of every joint of one part, at least zero [1].

    Returns
    -------
    array of int
        Places in ``strain``, counted from 0 [1].

    References
    ----------
    Definition.

    Examples
    --------
    The corners of a 3 by 3 array:

    >>> worst_joints(distance_from_neutral_point(ball_array(3, 3, 1e-3))).tolist()
    [0, 2, 6, 8]
    """
    checks.at_least("strain", strain, 0)
    strain = np.asarray(strain)
    return np.flatnonzero(strain >= strain.max() * (1 - 1e-9))
