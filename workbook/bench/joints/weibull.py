"""Weibull lives: the law, fits to tests with survivors, median ranks, and packages made of many joints.

``characteristic_life`` (eta) is the life that 63.2 % do not reach, whatever the ``shape`` (beta). Failures are units
seen to fail; survivors are units that were still good when last seen (right-censored, "suspended"). Leaving the
survivors out is the commonest way to get a life that is far too short.
"""

from dataclasses import dataclass

import numpy as np
from scipy import optimize, special

from workbook.bench import checks

__all__ = [
    "WeibullFit",
    "adjusted_ranks",
    "b_life",
    "characteristic_life_from_median",
    "failure_density",
    "fit_by_likelihood",
    "fit_by_rank_regression",
    "fraction_failed",
    "log_likelihood",
    "mean_life",
    "median_life",
    "median_rank",
    "package_characteristic_life",
    "package_reliability",
    "reliability",
    "weakest_link_life",
]


@dataclass(frozen=True)
class WeibullFit:
    """The two numbers of a fitted Weibull law, life in the unit of the data."""

    characteristic_life: float
    shape: float


def reliability(time, characteristic_life, shape):
    r"""Return the share of units still good at a time.

    .. math:: R(t) = \exp\left[ -(t/\eta)^\beta \right]

    Parameters
    ----------
    time : float or array
        Time or cycles, at least zero [any unit of life].
    characteristic_life : float or array
        Life eta by which 63.2 % have failed, above zero [same unit].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Share still good, 0 to 1 [1].

    References
    ----------
    MIL-HDBK-338B, section 5.3.6.

    Examples
    --------
    At the characteristic life 1 - 63.2 % are left, as the handbook says:

    >>> f"{reliability(1000, 1000, 2.5):.3f}"
    '0.368'
    """
    return np.exp(-_hazard_so_far(time, characteristic_life, shape))


def fraction_failed(time, characteristic_life, shape):
    r"""Return the share of units that have failed by a time.

    .. math:: F(t) = 1 - \exp\left[ -(t/\eta)^\beta \right]

    Parameters
    ----------
    time : float or array
        Time or cycles, at least zero [any unit of life].
    characteristic_life : float or array
        Life eta by which 63.2 % have failed, above zero [same unit].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Share failed, 0 to 1 [1].

    References
    ----------
    MIL-HDBK-338B, section 5.3.6. The NIST/SEMATECH e-Handbook, section 8.4.1.3, for the fit of the example.

    Examples
    --------
    The handbook's 63.2 %:

    >>> f"{fraction_failed(1000, 1000, 2.5):.3f}"
    '0.632'
    """
    return -np.expm1(-_hazard_so_far(time, characteristic_life, shape))


def failure_density(time, characteristic_life, shape):
    r"""Return how fast units fail at a time, as a share of those that started.

    .. math:: f(t) = \frac{\beta}{\eta} \left( \frac{t}{\eta} \right)^{\beta - 1} \exp\left[ -(t/\eta)^\beta \right]

    Parameters
    ----------
    time : float or array
        Time or cycles, above zero [any unit of life].
    characteristic_life : float or array
        Life eta by which 63.2 % have failed, above zero [same unit].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Share failing per unit of life, at least zero [1/unit of life].

    References
    ----------
    MIL-HDBK-338B, section 5.3.6.

    Examples
    --------
    With shape 1 it is the exponential law, 1/e per characteristic life at that life:

    >>> f"{failure_density(1, 1, 1):.4f}"
    '0.3679'
    """
    checks.above("time", time, 0)
    so_far = _hazard_so_far(time, characteristic_life, shape)
    return np.divide(shape, time) * so_far * np.exp(-so_far)


def _hazard_so_far(time, characteristic_life, shape):
    checks.at_least("time", time, 0)
    checks.above("characteristic_life", characteristic_life, 0)
    checks.above("shape", shape, 0)
    return np.power(np.divide(time, characteristic_life), shape)


def mean_life(characteristic_life, shape):
    r"""Return the mean life.

    .. math:: \bar t = \eta \, \Gamma(1 + 1/\beta)

    Parameters
    ----------
    characteristic_life : float or array
        Life eta by which 63.2 % have failed, above zero [any unit of life].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Mean life, above zero [same unit].

    References
    ----------
    NIST/SEMATECH e-Handbook, section 8.4.1.3.

    Examples
    --------
    The handbook's fit, 606.5280 h and 1.7208, has a printed mean of 540.737 h; its four printed digits of the shape
    reach 540.74:

    >>> f"{mean_life(606.5280, 1.7208):.2f}"
    '540.74'
    """
    characteristic_life, shape = checks.floats(characteristic_life, shape)
    checks.above("characteristic_life", characteristic_life, 0)
    checks.above("shape", shape, 0)
    return characteristic_life * special.gamma(1 + 1 / np.asarray(shape, dtype=float))


def b_life(fraction, characteristic_life, shape):
    r"""Return the life by which a given share has failed, for example B10 for one tenth.

    .. math:: B_p = \eta \left[ -\ln(1 - p) \right]^{1/\beta}

    Parameters
    ----------
    fraction : float or array
        Share failed, between 0 and 1 (0.1 for B10) [1].
    characteristic_life : float or array
        Life eta by which 63.2 % have failed, above zero [any unit of life].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Life, above zero [same unit].

    References
    ----------
    MIL-HDBK-338B, section 5.3.6, solved for time; the example is our arithmetic on the fit of NIST/SEMATECH e-Handbook,
    section 8.4.1.3.

    Examples
    --------
    >>> f"{b_life(0.10, 606.5280, 1.7208):.1f}"
    '164.0'
    """
    fraction, characteristic_life, shape = checks.floats(fraction, characteristic_life, shape)
    checks.inside("fraction", fraction, 0, 1)
    checks.above("characteristic_life", characteristic_life, 0)
    checks.above("shape", shape, 0)
    return characteristic_life * np.power(-np.log1p(-np.asarray(fraction)), 1 / np.asarray(shape, dtype=float))


def median_life(characteristic_life, shape):
    r"""Return the life that half of the units reach.

    .. math:: t_{50} = \eta \, (\ln 2)^{1/\beta}

    Parameters
    ----------
    characteristic_life : float or array
        Life eta by which 63.2 % have failed, above zero [any unit of life].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Median life, above zero [same unit].

    References
    ----------
    MIL-HDBK-338B, section 5.3.6, solved for time; the example is our arithmetic on the fit of NIST/SEMATECH e-Handbook,
    section 8.4.1.3.

    Examples
    --------
    >>> f"{median_life(606.5280, 1.7208):.1f}"
    '490.2'
    """
    characteristic_life, shape = checks.floats(characteristic_life, shape)
    return b_life(0.5, characteristic_life, shape)


def characteristic_life_from_median(median_life, shape):
    r"""Return the characteristic life that belongs to a median life, such as the one a fatigue law gives.

    .. math:: \eta = t_{50} \, (\ln 2)^{-1/\beta}

    Parameters
    ----------
    median_life : float or array
        Life that half of the units reach, above zero [any unit of life].
    shape : float or array
        Weibull shape beta, above zero [1].

    Returns
    -------
    float or array
        Life eta by which 63.2 % have failed, above zero [same unit].

    References
    ----------
    MIL-HDBK-338B, section 5.3.6, solved for eta.

    Examples
    --------
    With shape 1 the median is ln 2 of the characteristic life:

    >>> f"{characteristic_life_from_median(693.147, 1):.1f}"
    '1000.0'
    """
    checks.above("median_life", median_life, 0)
    return median_life / b_life(0.5, 1.0, shape)


def log_likelihood(failures, survivors, characteristic_life, shape):
    r"""Return the logarithm of how likely a Weibull law makes a test result.

    .. math:: \ln \mathcal{L} = \sum_{failed} \ln f(t_i) + \sum_{survived} \ln R(t_j)

    Parameters
    ----------
    failures : array
        Times at which units failed, above zero [any unit of life].
    survivors : array
        Times at which good units were last seen, above zero; may be empty [same unit].
    characteristic_life : float
        Life eta by which 63.2 % have failed, above zero [same unit].
    shape : float
        Weibull shape beta, above zero [1].

    Returns
    -------
    float
        Log-likelihood; only differences on the same data mean anything [1].

    References
    ----------
    NIST/SEMATECH e-Handbook, section 8.4.1.3, data of section 8.2.2.1.

    Examples
    --------
    Ten failures and ten units good at 500 h, -75.135 in the handbook:

    >>> failures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
    >>> f"{log_likelihood(failures, [500] * 10, 606.5280, 1.7208):.3f}"
    '-75.135'
    """
    failures, survivors = _test_result(failures, survivors)
    failed = np.log(failure_density(failures, characteristic_life, shape)).sum()
    return float(failed - _hazard_so_far(survivors, characteristic_life, shape).sum())


def fit_by_likelihood(failures, survivors=()):
    r"""Return the Weibull law that makes a test result most likely, survivors counted.

    .. math:: \frac{\sum t_i^\beta \ln t_i}{\sum t_i^\beta} - \frac{1}{\beta} = \frac{1}{r} \sum_{failed} \ln t_i,
              \quad \eta = \left( \frac{1}{r} \sum t_i^\beta \right)^{1/\beta}

    The sums without a subject run over failures and survivors together. The left side rises with the shape, so there
    is one solution, unless all units failed at one time.

    Parameters
    ----------
    failures : array
        Times at which units failed, above zero, at least one [any unit of life].
    survivors : array
        Times at which good units were last seen, above zero [same unit].

    Returns
    -------
    WeibullFit
        Characteristic life [same unit] and shape [1].

    References
    ----------
    NIST/SEMATECH e-Handbook, section 8.4.1.3, data of section 8.2.2.1.

    Examples
    --------
    Ten failures and ten units good at 500 h; the handbook prints 606.5280 h and 1.7208:

    >>> failures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
    >>> fit = fit_by_likelihood(failures, [500] * 10)
    >>> f"{fit.characteristic_life:.2f} h, {fit.shape:.4f}"
    '606.53 h, 1.7208'
    """
    failures, survivors = _test_result(failures, survivors)
    longest = max(failures.max(), survivors.max(initial=0))
    logs = np.log(np.concatenate([failures, survivors]) / longest)
    mean_failed = logs[: len(failures)].mean()
    if mean_failed > -1e-12:
        raise ValueError("the times must differ: units that all failed at one time have no Weibull shape")

    def excess(shape):
        weights = np.exp(shape * logs)
        return weights @ logs / weights.sum() - 1 / shape - mean_failed

    # The weighted mean of n logs lies between -n/shape and 0, so the solution lies between these two shapes.
    shape = optimize.brentq(excess, -1 / mean_failed, -(1 + len(logs)) / mean_failed, rtol=1e-14)
    scaled = np.power(np.exp(shape * logs).sum() / len(failures), 1 / shape)
    return WeibullFit(float(longest * scaled), float(shape))


def _test_result(failures, survivors):
    """Return both as arrays, refused where there is nothing to fit."""
    failures, survivors = np.array(failures, dtype=float), np.array(survivors, dtype=float)
    checks.above("failures", failures, 0)
    checks.above("survivors", survivors, 0)
    if not failures.size:
        raise ValueError("failures must hold at least one time: without a failure there is no life to fit")
    return failures, survivors


def median_rank(rank, count, method):
    r"""Return the share failed that stands for the unit of this rank: its median rank.

    .. math:: \text{exact: } I^{-1}_{0.5}(i, n - i + 1), \quad \text{Benard: } \frac{i - 0.3}{n + 0.4}

    Half of all tests have failed less than this share of the population when their i-th unit fails.

    Parameters
    ----------
    rank : float or array
        Rank of the failed unit, 1 to ``count``; a broken number where survivors came between [1].
    count : int or array
        Units in the test, failed and surviving, at least 1 [1].
    method : str
        ``"exact"`` for the beta quantile or ``"benard"`` for the short formula [name].

    Returns
    -------
    float or array
        Share failed, between 0 and 1 [1].

    References
    ----------
    An agency training page on median ranks (published-unnamed), table for n = 12.

    Examples
    --------
    The first five of twelve, printed there as 0.0565, 0.1371, 0.2177, 0.2984, 0.3790:

    >>> [f"{share:.4f}" for share in median_rank([1, 2, 3, 4, 5], 12, "benard")]
    ['0.0565', '0.1371', '0.2177', '0.2984', '0.3790']
    """
    rank, count = checks.floats(rank, count)
    checks.at_least("count", count, 1)
    checks.at_least("rank", rank, 1)
    checks.at_least("count minus rank", np.subtract(count, rank), 0)
    if method == "exact":
        return special.betaincinv(rank, np.subtract(count, rank) + 1.0, 0.5)
    if method == "benard":
        return np.subtract(rank, 0.3) / np.add(count, 0.4)
    raise ValueError(f"method must be 'exact' or 'benard' (got {method!r})")


def adjusted_ranks(failures, survivors=()):
    r"""Return the rank of each failed unit, in order of time, when survivors came between.

    .. math:: i_k = i_{k-1} + \frac{n + 1 - i_{k-1}}{1 + m_k}

    with m the units still in the test just before, the failing one included. A survivor seen at the very time of a
    failure counts as seen after it.

    Parameters
    ----------
    failures : array
        Times at which units failed, above zero, at least one [any unit of life].
    survivors : array
        Times at which good units were last seen, above zero [same unit].

    Returns
    -------
    array
        Rank of each failure from the earliest on, 1 to the number of units [1].

    References
    ----------
    Johnson's rank adjustment (from memory).

    Examples
    --------
    A unit taken out between two failures moves the later one up by half a rank, by the formula:

    >>> adjusted_ranks([10, 30], survivors=[20]).tolist()
    [1.0, 2.5]
    """
    failures, survivors = _test_result(failures, survivors)
    count = len(failures) + len(survivors)
    ranks = [0.0]
    for place, time in enumerate(np.sort(failures)):
        left = count - place - np.count_nonzero(survivors < time)
        ranks.append(ranks[-1] + (count + 1 - ranks[-1]) / (1 + left))
    return np.array(ranks[1:])


def fit_by_rank_regression(failures, survivors=(), *, regress, method="benard"):
    r"""Return the Weibull law of the straight line through the median ranks.

    .. math:: y = \ln[-\ln(1 - F)] = \beta \ln t - \beta \ln \eta

    Lines by least squares in y and in ln t differ, so the direction must be said.

    Parameters
    ----------
    failures : array
        Times at which units failed, above zero, at least two different ones [any unit of life].
    survivors : array
        Times at which good units were last seen, above zero [same unit].
    regress : str
        ``"rank on time"`` (errors in y) or ``"time on rank"`` (errors in ln t) [name].
    method : str
        Median ranks, ``"benard"`` or ``"exact"`` [name].

    Returns
    -------
    WeibullFit
        Characteristic life [same unit] and shape [1].

    References
    ----------
    An agency training page on median ranks (published-unnamed), for the data; the two fits of the example are our
    arithmetic.

    Examples
    --------
    Failures at 43, 67, 92, 94 and 149 cycles, seven good at 149:

    >>> fit = fit_by_rank_regression([43, 67, 92, 94, 149], [149] * 7, regress="rank on time")
    >>> f"{fit.shape:.3f}, {fit.characteristic_life:.1f}"
    '1.749, 203.4'
    >>> fit = fit_by_rank_regression([43, 67, 92, 94, 149], [149] * 7, regress="time on rank")
    >>> f"{fit.shape:.3f}, {fit.characteristic_life:.1f}"
    '1.853, 193.3'
    """
    ranks = adjusted_ranks(failures, survivors)
    x = np.log(np.sort(np.asarray(failures, dtype=float)))
    y = np.log(-np.log1p(-median_rank(ranks, len(failures) + len(survivors), method)))
    x_off, y_off = x - x.mean(), y - y.mean()
    if not np.any(x_off):
        raise ValueError("failures must hold two different times: one point gives no line")
    if regress == "rank on time":
        shape = x_off @ y_off / (x_off @ x_off)
    elif regress == "time on rank":
        shape = y_off @ y_off / (x_off @ y_off)
    else:
        raise ValueError(f"regress must be 'rank on time' or 'time on rank' (got {regress!r})")
    return WeibullFit(float(np.exp(x.mean() - y.mean() / shape)), float(shape))


def weakest_link_life(characteristic_life, shape, joints):
    r"""Return the characteristic life of a part that fails with the first of its equal joints.

    .. math:: \eta_N = \eta \, N^{-1/\beta}

    The shape stays. The joints are taken independent.

    Parameters
    ----------
    characteristic_life : float or array
        Characteristic life of one joint, above zero [any unit of life].
    shape : float or array
        Weibull shape beta of one joint, above zero [1].
    joints : int or array
        Equal joints, at least 1 [1].

    Returns
    -------
    float or array
        Characteristic life of the part, above zero [same unit].

    References
    ----------
    Minimum of independent Weibull lives; MIL-HDBK-338B for the weakest link. The example is our arithmetic.

    Examples
    --------
    400 joints of 20 000 cycles and shape 3; dividing by 400 would give 50:

    >>> f"{weakest_link_life(20000, 3, 400):.0f}"
    '2714'
    """
    characteristic_life, shape, joints = checks.floats(characteristic_life, shape, joints)
    checks.above("characteristic_life", characteristic_life, 0)
    checks.above("shape", shape, 0)
    checks.at_least("joints", joints, 1)
    return characteristic_life * np.power(np.asarray(joints, dtype=float), -1 / np.asarray(shape, dtype=float))


def package_characteristic_life(characteristic_lives, shape):
    r"""Return the characteristic life of a part whose joints have different lives and one shape.

    .. math:: \eta_{part} = \left( \sum_i \eta_i^{-\beta} \right)^{-1/\beta}

    The joints are taken independent. Joints strained much less than the worst hardly count.

    Parameters
    ----------
    characteristic_lives : array
        Characteristic life of each joint, joints along the last axis, above zero; infinite for an unstrained one
        [any unit of life].
    shape : float
        Weibull shape beta of every joint, above zero [1].

    Returns
    -------
    float or array
        Characteristic life of the part, above zero [same unit].

    References
    ----------
    Minimum of independent Weibull lives; MIL-HDBK-338B for the weakest link. The example is our arithmetic.

    Examples
    --------
    Four corners at 2000 cycles among 396 joints at 20 000, shape 3: the corners alone would give 1260:

    >>> f"{package_characteristic_life([2000] * 4 + [20000] * 396, 3):.0f}"
    '1221'
    """
    lives = np.asarray(characteristic_lives, dtype=float)
    checks.above("shape", shape, 0)
    checks.above("shortest characteristic life", lives.min(axis=-1), 0)
    shortest = lives.min(axis=-1, keepdims=True)
    return shortest[..., 0] * np.sum((shortest / lives) ** shape, axis=-1) ** (-1 / shape)


def package_reliability(joint_reliability, joints):
    r"""Return the share of parts with all joints good.

    .. math:: R_N = R^N

    Parameters
    ----------
    joint_reliability : float or array
        Share of joints still good, 0 to 1 [1].
    joints : int or array
        Equal and independent joints, at least 1 [1].

    Returns
    -------
    float or array
        Share of parts still good, 0 to 1 [1].

    References
    ----------
    Product rule for independent joints; the example is our arithmetic.

    Examples
    --------
    One joint in 8000 bad leaves one part of 400 joints in twenty bad:

    >>> f"{package_reliability(0.999875, 400):.3f}"
    '0.951'
    """
    joint_reliability, joints = checks.floats(joint_reliability, joints)
    checks.between("joint_reliability", joint_reliability, 0, 1)
    checks.at_least("joints", joints, 1)
    return np.power(joint_reliability, joints)
