"""How sure a result is: uncertainty carried through any formula, with correlation and degrees of freedom."""

import numpy as np
from scipy import stats

from workbook.bench import checks

__all__ = [
    "contributions",
    "correlation",
    "coverage_factor",
    "display_step",
    "effective_freedom",
    "expanded",
    "mean_and_covariance",
    "propagate",
    "rectangular",
    "sensitivities",
    "standard_from_expanded",
]


def rectangular(half_width):
    r"""Return the standard uncertainty of a value that lies anywhere within its bounds with equal chance.

    .. math:: u = a / \sqrt 3

    Parameters
    ----------
    half_width : float or array
        Half the distance between the bounds, at least zero [any unit].

    Returns
    -------
    float or array
        Standard uncertainty [unit of the half width].

    References
    ----------
    JCGM 100:2008, 4.3.7, published second-hand.

    Examples
    --------
    >>> f"{rectangular(0.2):.3f}"
    '0.115'
    """
    checks.at_least("half width", half_width, 0)
    return half_width / np.sqrt(3)


def display_step(digit):
    r"""Return the standard uncertainty left by a display that moves in steps.

    .. math:: u = d / \sqrt{12}

    Parameters
    ----------
    digit : float or array
        One step of the last digit, above zero [any unit].

    Returns
    -------
    float or array
        Standard uncertainty [unit of the digit].

    References
    ----------
    JCGM 100:2008, F.2.2.1 (0.29 of the step), published second-hand.

    Examples
    --------
    >>> f"{display_step(0.1):.3f}"
    '0.029'
    """
    digit = checks.floats(digit)
    checks.above("digit", digit, 0)
    return rectangular(digit / 2)


def mean_and_covariance(readings):
    r"""Return the means of repeated readings, the covariance of those means, and the degrees of freedom.

    .. math:: s(\bar q_i, \bar q_j) = \frac{\sum_k (q_{ik} - \bar q_i)(q_{jk} - \bar q_j)}{n (n-1)}

    Quantities read together vary together: their covariance counts.

    Parameters
    ----------
    readings : array
        One row a quantity, one column an occasion, at least two columns [units of the quantities].

    Returns
    -------
    means : array
        Mean of each quantity [units of the quantities].
    covariance : array
        Covariance of the means [products of those units].
    freedom : int
        Degrees of freedom, occasions less one [1].

    References
    ----------
    JCGM 100:2008, 5.2.3 (published second-hand); H.2 for the readings, as carried by a public library.

    Examples
    --------
    The voltage of H.2, printed as 4.9990 V with u = 0.0032 V:

    >>> means, covariance, freedom = mean_and_covariance([[5.007, 4.994, 5.005, 4.990, 4.999]])
    >>> f"{means[0]:.4f} V, u = {covariance[0, 0] ** 0.5:.4f} V, {freedom} degrees of freedom"
    '4.9990 V, u = 0.0032 V, 4 degrees of freedom'
    """
    readings = np.atleast_2d(np.asarray(readings, float))
    occasions = readings.shape[1]
    if occasions < 2 or not np.all(np.isfinite(readings)):
        raise ValueError(f"each quantity needs at least two finite readings (got {occasions} a quantity)")
    return readings.mean(axis=1), np.atleast_2d(np.cov(readings)) / occasions, occasions - 1


def correlation(covariance):
    r"""Return the correlation coefficients that belong to a covariance.

    .. math:: r_{ij} = u_{ij} / (u_i u_j)

    Parameters
    ----------
    covariance : array
        Square, every variance above zero [products of the units].

    Returns
    -------
    array
        Coefficients from -1 to 1, ones on the diagonal [1].

    References
    ----------
    JCGM 100:2008, 5.2.2 (published second-hand).

    Examples
    --------
    >>> correlation([[4.0, -1.0], [-1.0, 1.0]]).tolist()
    [[1.0, -0.5], [-0.5, 1.0]]
    """
    covariance = np.asarray(covariance, float)
    checks.above("variances", np.diag(covariance), 0)
    deviations = np.sqrt(np.diag(covariance))
    return covariance / np.outer(deviations, deviations)


def sensitivities(function, estimates, standard_uncertainties=0.0):
    r"""Return how much each result of a formula moves for a unit move of each input.

    .. math:: c_i = \frac{\partial f}{\partial x_i} \approx \frac{8[f(x+h) - f(x-h)] - [f(x+2h) - f(x-2h)]}{12 h}

    Five points in real numbers, good to about 1e-10 for smooth formulas. (A complex step would be exact, but it gives a
    silent zero wherever a formula takes an absolute value or a real part.)

    Parameters
    ----------
    function : callable
        Takes one array of inputs, gives a number or an array of results. Smooth at the estimates.
    estimates : array
        Where to look [units of the inputs].
    standard_uncertainties : float or array
        Of the inputs, at least zero: they set the step where an estimate is near zero [units of the inputs].

    Returns
    -------
    array
        One row a result (no rows for a plain number), one column an input [result a unit of input].

    References
    ----------
    JCGM 100:2008, 5.1.3 and its note 2, numerical sensitivities (published second-hand).

    Examples
    --------
    The product of 3 and 5 moves by 5 and by 3:

    >>> sensitivities(lambda x: x[0] * x[1], [3.0, 5.0]).round(9).tolist()
    [5.0, 3.0]
    """
    estimates = np.asarray(estimates, float)
    checks.at_least("standard uncertainties", standard_uncertainties, 0)
    steps = np.hypot(1e-3 * estimates, 1e-2 * np.asarray(standard_uncertainties))
    return np.stack(
        [_slope(function, estimates, index, step or 1e-3) for index, step in enumerate(steps)],
        axis=-1,
    )


def propagate(function, estimates, covariance):
    r"""Return the results of a formula and their covariance.

    .. math:: \mathbf U_y = \mathbf C \, \mathbf U_x \, \mathbf C^{\mathsf T}, \qquad C_{ki} = \partial f_k/\partial x_i

    First order: right where the formula is straight over the width of the uncertainties. A diagonal covariance says the
    inputs are independent.

    Parameters
    ----------
    function : callable
        Takes one array of inputs, gives a number or an array of results.
    estimates : array
        Inputs [units of the inputs].
    covariance : array
        Square covariance of the inputs [products of those units].

    Returns
    -------
    results : float or array
        The formula at the estimates [units of the results].
    covariance : float or array
        Variance of a plain number, or covariance of the results [products of those units].

    References
    ----------
    JCGM 100:2008, 5.2.2, equation 13, and H.2 for the example, both published second-hand.

    Examples
    --------
    Resistance in H.2, printed as 127.732 ohm with u = 0.071 ohm:

    >>> voltage = [5.007, 4.994, 5.005, 4.990, 4.999]
    >>> current = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
    >>> phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
    >>> means, covariance, _ = mean_and_covariance([voltage, current, phase])
    >>> resistance, variance = propagate(lambda x: x[0] / x[1] * np.cos(x[2]), means, covariance)
    >>> f"{resistance:.3f} ohm, u = {variance ** 0.5:.3f} ohm"
    '127.732 ohm, u = 0.071 ohm'
    """
    estimates, covariance = np.asarray(estimates, float), np.asarray(covariance, float)
    if covariance.shape != (estimates.size,) * 2 or not np.allclose(covariance, covariance.T):
        raise ValueError(f"covariance must be symmetric, {estimates.size} by {estimates.size} (got {covariance.shape})")
    slopes = sensitivities(function, estimates, np.sqrt(np.diag(covariance)))
    return np.asarray(function(estimates))[()], (slopes @ covariance @ slopes.T)[()]


def contributions(function, estimates, standard_uncertainties):
    r"""Return what each input alone adds to the uncertainty of a result, so that the largest is seen.

    .. math:: u_i(y) = |c_i| \, u(x_i)

    Parameters
    ----------
    function : callable
        Takes one array of inputs, gives a number.
    estimates : array
        Inputs [units of the inputs].
    standard_uncertainties : array
        Of the inputs, each at least zero [units of the inputs].

    Returns
    -------
    array
        One contribution an input; independent ones add in squares [unit of the result].

    References
    ----------
    JCGM 100:2008, 5.1.3 (published second-hand).

    Examples
    --------
    A current of 1.0 A (u 0.01) through 0.50 ohm (u 0.02): the resistance is the weak point.

    >>> contributions(lambda x: x[0] * x[1], [1.0, 0.50], [0.01, 0.02]).round(9).tolist()
    [0.005, 0.02]
    """
    return np.abs(sensitivities(function, estimates, standard_uncertainties)) * np.asarray(standard_uncertainties)


def effective_freedom(contributions, freedoms):
    r"""Return the degrees of freedom of a combined uncertainty.

    .. math:: \nu_\mathrm{eff} = \frac{u_c^4}{\sum u_i^4(y)/\nu_i}, \qquad u_c^2 = \sum u_i^2(y)

    For independent contributions. Round down before looking up a coverage factor.

    Parameters
    ----------
    contributions : array
        Uncertainty each input adds, at least zero and not all zero [unit of the result].
    freedoms : array
        Degrees of freedom of each, above zero, infinite where exactly known [1].

    Returns
    -------
    float
        Effective degrees of freedom, infinite if all are [1].

    References
    ----------
    JCGM 100:2008, G.4.1 (Welch and Satterthwaite); H.1 for the example, as quoted in a public test file.

    Examples
    --------
    The end gauge of H.1, where 16.7 (from the rounded 32 nm) is printed and rounded down to 16:

    >>> int(effective_freedom([25, 5.8, 3.9, 6.7, 2.9, 16.6], [18, 24, 5, 8, 50, 2]))
    16
    """
    checks.at_least("contributions", contributions, 0)
    freedoms = np.asarray(freedoms, float)
    checks.above("degrees of freedom", np.where(np.isposinf(freedoms), 1, freedoms), 0)
    squares = np.square(np.asarray(contributions, float))
    checks.above("combined uncertainty", squares.sum(), 0)
    spread = np.sum(squares**2 / freedoms)
    return float(squares.sum() ** 2 / spread) if spread > 0 else np.inf


def coverage_factor(freedom, confidence=0.95):
    r"""Return the factor by which a standard uncertainty is widened to be right with a stated confidence.

    .. math:: k = t_{(1+p)/2}(\nu)

    Parameters
    ----------
    freedom : float or array
        Degrees of freedom, above zero, infinite for the normal distribution [1].
    confidence : float
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Coverage factor [1].

    References
    ----------
    NIST Technical Note 1297, Table B.1.

    Examples
    --------
    >>> [f"{coverage_factor(freedom):.2f}" for freedom in (1, 4, 10, np.inf)]
    ['12.71', '2.78', '2.23', '1.96']
    """
    checks.above("degrees of freedom", np.where(np.isposinf(freedom), 1, freedom), 0)
    checks.inside("confidence", confidence, 0, 1)
    return stats.t.ppf((1 + confidence) / 2, freedom)[()]


def expanded(standard_uncertainty, freedom=np.inf, confidence=0.95):
    r"""Return the half width of the interval that holds the value with a stated confidence.

    .. math:: U = t_{(1+p)/2}(\nu) \, u

    Parameters
    ----------
    standard_uncertainty : float or array
        At least zero [any unit].
    freedom : float or array
        Its degrees of freedom, above zero [1].
    confidence : float
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Expanded uncertainty [unit of the standard uncertainty].

    References
    ----------
    JCGM 100:2008, G.3.2; H.1 for the example at 99 % (u 32 nm, 16 degrees of freedom, k 2.92, printed 93 nm), as quoted
    in a public test file. The factor at 95 %, 2.12: NIST TN 1297, Table B.1.

    Examples
    --------
    >>> f"{expanded(32.0, 16, 0.99):.0f} nm, k95 {expanded(1.0, 16):.2f}"
    '93 nm, k95 2.12'
    """
    checks.at_least("standard uncertainty", standard_uncertainty, 0)
    return coverage_factor(freedom, confidence) * standard_uncertainty


def standard_from_expanded(expanded_uncertainty, factor):
    r"""Return the standard uncertainty behind one that is stated with its coverage factor, as on a certificate.

    .. math:: u = U / k

    Parameters
    ----------
    expanded_uncertainty : float or array
        As stated, at least zero [any unit].
    factor : float or array
        The coverage factor stated with it, above zero; mostly 2 [1].

    Returns
    -------
    float or array
        Standard uncertainty [unit of the expanded uncertainty].

    References
    ----------
    JCGM 100:2008, 4.3.3 (from memory). Example file of an uncertainty program: the certificate of a 10 kg weight with
    45 mg, k = 2 (EA-4/02, S2, from memory: 22.5 mg).

    Examples
    --------
    >>> standard_from_expanded(45, 2)
    22.5
    """
    expanded_uncertainty, factor = checks.floats(expanded_uncertainty, factor)
    checks.at_least("expanded uncertainty", expanded_uncertainty, 0)
    checks.above("coverage factor", factor, 0)
    return expanded_uncertainty / factor


def _slope(function, estimates, index, step):
    """Return the change of the function for a unit of one input, from five points."""
    unit = np.zeros_like(estimates)
    unit[index] = step
    near = np.subtract(function(estimates + unit), function(estimates - unit))
    far = np.subtract(function(estimates + 2 * unit), function(estimates - 2 * unit))
    return (8 * near - far) / (12 * step)
