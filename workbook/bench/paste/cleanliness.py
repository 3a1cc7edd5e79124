"""Ionic extract of a board, and what a rinse leaves: the arithmetic of a test that is history as a limit.

An extract tells the mean over the whole board. It says nothing of a spot under a body, and what alcohol does not
dissolve it does not count.
"""

from workbook.bench import checks

__all__ = ["board_extract", "left_after_rinses", "per_square_centimetre"]


def board_extract(extracted_mass, length, width):
    r"""Return the extract of a board per area of both its sides.

    .. math:: m'' = \frac{m}{2 L W}

    Sodium chloride equivalent of all ions that a mixture of alcohol and water dissolves. It says nothing of where on
    the board they sat. Once a limit of process control (1.56 µg/cm²), no acceptance limit since 2018.

    Parameters
    ----------
    extracted_mass : float or array
        Extract of the whole board, at least zero [kg].
    length : float or array
        Length of the board, above zero [m].
    width : float or array
        Width of the board, above zero [m].

    Returns
    -------
    float or array
        Extract per area [kg/m^2].

    References
    ----------
    IPC-TM-650 method 2.3.25 and IPC-WP-019B (abstract). The number is computed.

    Examples
    --------
    350 µg from a board of 100 mm x 150 mm, in µg/cm²:

    >>> round(board_extract(350e-9, 100e-3, 150e-3) * 1e5, 2)
    1.17
    """
    extracted_mass, length, width = checks.floats(extracted_mass, length, width)
    checks.at_least("extracted mass", extracted_mass, 0, "kg")
    checks.above("length", length, 0, "m")
    checks.above("width", width, 0, "m")
    return extracted_mass / (2 * length * width)


def per_square_centimetre(per_square_inch):
    r"""Return an amount per square centimetre from one per square inch.

    .. math:: 1\ \mathrm{in^2} = 6.4516\ \mathrm{cm^2}

    Parameters
    ----------
    per_square_inch : float or array
        Amount, at least zero [1/in^2].

    Returns
    -------
    float or array
        The same amount [1/cm^2].

    References
    ----------
    The inch is 25.4 mm exactly. The historic limit of 10 µg/in² is printed as 1.56 µg/cm² (IPC-WP-019B, abstract) and
    is 1.550.

    Examples
    --------
    >>> round(per_square_centimetre(10), 3)
    1.55
    """
    per_square_inch = checks.floats(per_square_inch)
    checks.at_least("amount", per_square_inch, 0)
    return per_square_inch / 2.54**2


def left_after_rinses(film_volume, rinse_volume, rinses):
    r"""Return the share of a dissolved residue that rinses leave on a board.

    .. math:: s = \left( \frac{V_f}{V_f + V_r} \right)^n

    Each rinse mixes fully with the film that clings to the board, and runs off but for as much film again. What dried
    between the rinses, or sits under a body where nothing flows, is not in the sum.

    Parameters
    ----------
    film_volume : float or array
        Liquid that clings to the board after it ran off, above zero [m^3].
    rinse_volume : float or array
        Fresh liquid of one rinse, at least zero [m^3].
    rinses : int or array
        Number of rinses, at least 0 [1].

    Returns
    -------
    float or array
        Share of the residue left, 0 to 1 [1].

    References
    ----------
    Mass balance. A public note on rinsing a bottle prints the same law, (1 + a/n)^-n for a total of a film volumes in n
    rinses, and that more and smaller rinses leave less.

    Examples
    --------
    Ten film volumes in one rinse, and in two:

    >>> [f"{left_after_rinses(1, volume, rinses):.1%}" for volume, rinses in ((10, 1), (5, 2))]
    ['9.1%', '2.8%']
    """
    film_volume, rinse_volume, rinses = checks.floats(film_volume, rinse_volume, rinses)
    checks.above("film_volume", film_volume, 0, "m^3")
    checks.at_least("rinse_volume", rinse_volume, 0, "m^3")
    checks.at_least("rinses", rinses, 0)
    return (film_volume / (film_volume + rinse_volume)) ** rinses
