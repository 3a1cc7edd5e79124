"""Ionic extract of a board: the arithmetic of a test that is history as a limit."""

from workbook.bench import checks

__all__ = ["board_extract", "per_square_centimetre"]


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
    checks.at_least("amount", per_square_inch, 0)
    return per_square_inch / 2.54**2
