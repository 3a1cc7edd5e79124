r"""What a test result, a run of repairs or a story of the trade is worth as evidence.

Bayes' rule for one fault and one test, and exact and approximate bounds for a proportion of successes. Nothing here
knows how the boards were chosen: boards that reach a rework bench are not a fair sample of all boards, and no interval
mends that.
"""

import numpy as np
from scipy import special

from workbook.bench import checks

__all__ = [
    "chance_of_at_most",
    "clopper_pearson_interval",
    "lower_bound",
    "negative_likelihood_ratio",
    "negative_predictive_value",
    "odds",
    "positive_likelihood_ratio",
    "positive_predictive_value",
    "probability",
    "success_run_life_ratio",
    "success_run_reliability",
    "success_run_reliability_uniform_prior",
    "success_run_trials",
    "success_run_trials_of_a_longer_test",
    "success_run_trials_uniform_prior",
    "trials_to_support",
    "updated_probability",
    "upper_bound",
    "wald_interval",
    "wilson_interval",
]

_WHOLE = 1e-9  # a count within this of a whole number is that whole number: ln(0.1)/ln(0.1) must round up to 1, not 2


def odds(probability):
    r"""Return the odds that stand for a probability.

    .. math:: o = p / (1 - p)

    Parameters
    ----------
    probability : float or array
        Probability, from 0 to below 1 [1].

    Returns
    -------
    float or array
        Odds in favour, 0 or more [1].

    References
    ----------
    Bayes' rule in odds form, any text on diagnostic tests.

    Examples
    --------
    Three chances in four are odds of three to one:

    >>> odds(0.75)
    3.0
    """
    probability = checks.floats(probability)
    checks.below_one("probability", probability)
    return probability / (1 - probability)


def probability(odds):
    r"""Return the probability that stands for odds in favour.

    .. math:: p = o / (1 + o)

    Parameters
    ----------
    odds : float or array
        Odds in favour, 0 or more [1].

    Returns
    -------
    float or array
        Probability, from 0 to below 1 [1].

    References
    ----------
    Bayes' rule in odds form, any text on diagnostic tests.

    Examples
    --------
    >>> probability(3.0)
    0.75
    """
    odds = checks.floats(odds)
    checks.at_least("odds", odds, 0)
    return odds / (1 + odds)


def positive_likelihood_ratio(sensitivity, specificity):
    r"""Return how many times likelier a positive test is with the fault than without it.

    .. math:: LR_+ = Se / (1 - Sp)

    Parameters
    ----------
    sensitivity : float or array
        Share of faulty boards the test finds, from 0 to 1 [1].
    specificity : float or array
        Share of sound boards the test passes, from 0 to below 1 [1].

    Returns
    -------
    float or array
        Likelihood ratio of a positive result, 0 or more [1].

    References
    ----------
    Formula page on predictive values and likelihood ratios of diagnostic tests.

    Examples
    --------
    A test that finds 80 % of the faults and flags 10 % of the sound boards:

    >>> f"{positive_likelihood_ratio(0.80, 0.90):.1f}"
    '8.0'
    """
    sensitivity, specificity = checks.floats(sensitivity, specificity)
    checks.between("sensitivity", sensitivity, 0, 1)
    checks.below_one("specificity", specificity)
    return sensitivity / (1 - specificity)


def negative_likelihood_ratio(sensitivity, specificity):
    r"""Return how many times likelier a negative test is with the fault than without it.

    .. math:: LR_- = (1 - Se) / Sp

    Parameters
    ----------
    sensitivity : float or array
        Share of faulty boards the test finds, from 0 to 1 [1].
    specificity : float or array
        Share of sound boards the test passes, above 0, up to 1 [1].

    Returns
    -------
    float or array
        Likelihood ratio of a negative result, 0 or more [1].

    References
    ----------
    Formula page on predictive values and likelihood ratios of diagnostic tests.

    Examples
    --------
    A negative press test (finds 90 %, passes 95 % of sound boards) still leaves a tenth of the odds:

    >>> f"{negative_likelihood_ratio(0.90, 0.95):.3f}"
    '0.105'
    """
    sensitivity, specificity = checks.floats(sensitivity, specificity)
    checks.between("sensitivity", sensitivity, 0, 1)
    checks.share("specificity", specificity)
    return (1 - sensitivity) / specificity


def updated_probability(prior, *likelihood_ratios):
    r"""Return the probability of the fault after findings that do not depend on each other.

    .. math:: o_n = \frac{p}{1-p} \, LR_1 LR_2 \cdots LR_n, \qquad p_n = \frac{o_n}{1 + o_n}

    Each finding multiplies the odds once. The same finding seen twice, or two findings with one cause (flux residue and
    a lifted adhesive pad from one earlier reflow), are not two findings: counting both overstates the answer.

    Parameters
    ----------
    prior : float or array
        Probability of the fault before the findings, from 0 to 1 [1].
    *likelihood_ratios : float or array
        Likelihood ratio of each finding as it came out, 0 or more [1].

    Returns
    -------
    float or array
        Probability of the fault after the findings, from 0 to 1 [1].

    References
    ----------
    Post-test probability page (published-unnamed): likelihood ratio 5 on a prior of 0.012 (prints 0.0566 with rounded
    odds; exact 0.0573).

    Examples
    --------
    >>> f"{updated_probability(0.012, 5):.4f}"
    '0.0573'

    A trade rule says 99 % of such boards have cracked joints. Even a negative press test barely moves it:

    >>> f"{updated_probability(0.99, negative_likelihood_ratio(0.90, 0.95)):.3f}"
    '0.912'
    """
    prior = checks.floats(prior)
    checks.between("prior", prior, 0, 1)
    weight = 1.0
    for ratio in map(checks.floats, likelihood_ratios):
        checks.at_least("likelihood ratio", ratio, 0)
        weight = weight * ratio
    if np.any(np.equal(prior, 1) & np.equal(weight, 0)):
        raise ValueError("prior must be below 1 where a likelihood ratio is 0 (got certainty and its denial)")
    return prior * weight / (prior * weight + (1 - prior))


def positive_predictive_value(prior, sensitivity, specificity):
    r"""Return the share of positive results that are right: the probability of the fault after one positive test.

    .. math:: PPV = \frac{p \, Se}{p \, Se + (1 - p)(1 - Sp)}

    Parameters
    ----------
    prior : float or array
        Probability of the fault before the test (base rate), from 0 to 1 [1].
    sensitivity : float or array
        Share of faulty boards the test finds, from 0 to 1 [1].
    specificity : float or array
        Share of sound boards the test passes, from 0 to 1 [1].

    Returns
    -------
    float or array
        Probability of the fault given a positive result, from 0 to 1 [1].

    References
    ----------
    Biostatistics question after Park's Textbook of Preventive and Social Medicine, 27th ed.: sensitivity 80 %,
    specificity 90 %, base rate 10 %, printed answer 47.1 %.

    Examples
    --------
    >>> f"{positive_predictive_value(0.10, 0.80, 0.90):.1%}"
    '47.1%'
    """
    prior, sensitivity, specificity = checks.floats(prior, sensitivity, specificity)
    _check_test(prior, sensitivity, specificity)
    found, false_alarms = prior * sensitivity, (1 - prior) * (1 - specificity)
    checks.above("probability of a positive result", found + false_alarms, 0)
    return found / (found + false_alarms)


def negative_predictive_value(prior, sensitivity, specificity):
    r"""Return the share of negative results that are right: the probability of no fault after one negative test.

    .. math:: NPV = \frac{(1 - p) \, Sp}{(1 - p) \, Sp + p (1 - Se)}

    Parameters
    ----------
    prior : float or array
        Probability of the fault before the test (base rate), from 0 to 1 [1].
    sensitivity : float or array
        Share of faulty boards the test finds, from 0 to 1 [1].
    specificity : float or array
        Share of sound boards the test passes, from 0 to 1 [1].

    Returns
    -------
    float or array
        Probability of no fault given a negative result, from 0 to 1 [1].

    References
    ----------
    Answers page on diagnostic tests (published-unnamed): sensitivity 90 %, specificity 95 %, base rate 80 %, printed
    70.4 %; base rate 5 %, printed 99.4 %.

    Examples
    --------
    >>> [f"{negative_predictive_value(prior, 0.90, 0.95):.1%}" for prior in (0.80, 0.05)]
    ['70.4%', '99.4%']
    """
    prior, sensitivity, specificity = checks.floats(prior, sensitivity, specificity)
    _check_test(prior, sensitivity, specificity)
    cleared, missed = (1 - prior) * specificity, prior * (1 - sensitivity)
    checks.above("probability of a negative result", cleared + missed, 0)
    return cleared / (cleared + missed)


def wald_interval(successes, trials, confidence=0.95):
    r"""Return the textbook normal interval for a proportion, with the faults it has.

    .. math:: \hat p \pm z \sqrt{\hat p (1 - \hat p) / n}

    Taught because it is met everywhere and fails where rework needs it: for 20 of 20 it has no width, and near 0 or 1
    it leaves the range of a probability. It is not clipped here, so that the failure shows.

    Parameters
    ----------
    successes : int or array
        Number of successes, from 0 to trials [1].
    trials : int or array
        Number of trials, at least 1 [1].
    confidence : float
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    tuple of float or array
        Lower and upper end; may lie outside 0 to 1 [1].

    References
    ----------
    Help page on a single proportion (published-unnamed): 12 of 150, printed 0.037 to 0.123.

    Examples
    --------
    >>> "%.3f to %.3f" % wald_interval(12, 150)
    '0.037 to 0.123'
    >>> "%.0f to %.0f" % wald_interval(20, 20)
    '1 to 1'
    """
    successes, trials = checks.floats(successes, trials)
    _check_counts(successes, trials)
    checks.inside("confidence", confidence, 0, 1)
    share = np.divide(successes, trials)
    half_width = _normal_quantile(confidence) * np.sqrt(share * (1 - share) / trials)
    return share - half_width, share + half_width


def wilson_interval(successes, trials, confidence=0.95):
    r"""Return the score (Wilson) interval for a proportion.

    .. math::

        \frac{\hat p + z^2/2n \pm z\sqrt{\hat p(1-\hat p)/n + z^2/4n^2}}{1 + z^2/n}

    Parameters
    ----------
    successes : int or array
        Number of successes, from 0 to trials [1].
    trials : int or array
        Number of trials, at least 1 [1].
    confidence : float
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    tuple of float or array
        Lower and upper end, from 0 to 1 [1].

    References
    ----------
    NIST/SEMATECH e-Handbook 7.2.4.1 recommends this form. Help page on a single proportion (published-unnamed): 12 of
    150, printed 0.046 to 0.135.

    Examples
    --------
    >>> "%.3f to %.3f" % wilson_interval(12, 150)
    '0.046 to 0.135'
    """
    successes, trials = checks.floats(successes, trials)
    _check_counts(successes, trials)
    checks.inside("confidence", confidence, 0, 1)
    z = _normal_quantile(confidence)
    successes, trials = np.asarray(successes, float), np.asarray(trials, float)
    share = successes / trials
    centre = share + z**2 / (2 * trials)
    half_width = z * np.sqrt(share * (1 - share) / trials + (z / (2 * trials)) ** 2)
    shrink = 1 + z**2 / trials
    # With no success the lower end is 0, and with no failure the upper end is 1, but for the last rounding digit.
    low = np.where(successes == 0, 0.0, (centre - half_width) / shrink)[()]
    high = np.where(successes == trials, 1.0, (centre + half_width) / shrink)[()]
    return low, high


def clopper_pearson_interval(successes, trials, confidence=0.95):
    r"""Return the exact (Clopper-Pearson) two-sided interval for a proportion.

    .. math:: I_{p_L}(k, n-k+1) = \alpha/2, \qquad I_{p_U}(k+1, n-k) = 1 - \alpha/2

    Parameters
    ----------
    successes : int or array
        Number of successes, from 0 to trials [1].
    trials : int or array
        Number of trials, at least 1 [1].
    confidence : float
        Two-sided confidence, between 0 and 1 [1].

    Returns
    -------
    tuple of float or array
        Lower and upper end, from 0 to 1 [1].

    References
    ----------
    Help page on a single proportion (published-unnamed): 12 of 150, printed 0.042 to 0.136. Page on confidence
    intervals of proportions (published-unnamed): 5 of 25, printed 0.068 to 0.407.

    Examples
    --------
    >>> "%.3f to %.3f" % clopper_pearson_interval(12, 150)
    '0.042 to 0.136'
    >>> "%.3f to %.3f" % clopper_pearson_interval(5, 25)
    '0.068 to 0.407'
    """
    checks.inside("confidence", confidence, 0, 1)
    successes, trials = checks.floats(successes, trials)
    one_sided = (1 + confidence) / 2
    return lower_bound(successes, trials, one_sided), upper_bound(successes, trials, one_sided)


def lower_bound(successes, trials, confidence=0.95):
    r"""Return the exact one-sided lower bound of a proportion.

    .. math:: I_{p_L}(k, n-k+1) = 1 - C, \qquad p_L = 0 \text{ for } k = 0

    Ten successes of ten show no more than about three in four at 95 %.

    Parameters
    ----------
    successes : int or array
        Number of successes, from 0 to trials [1].
    trials : int or array
        Number of trials, at least 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Lower bound, from 0 to 1 [1].

    References
    ----------
    Clopper and Pearson, Biometrika 26 (1934) 404-413 (not seen; form from the two pages named at
    :func:`clopper_pearson_interval`).

    Examples
    --------
    >>> f"{lower_bound(10, 10):.3f}"
    '0.741'
    """
    _check_counts(successes, trials)
    checks.inside("confidence", confidence, 0, 1)
    successes, trials = np.asarray(successes, float), np.asarray(trials, float)
    bound = special.betaincinv(np.maximum(successes, 1), trials - successes + 1, 1 - confidence)
    return np.where(successes == 0, 0.0, bound)[()]


def upper_bound(successes, trials, confidence=0.95):
    r"""Return the exact one-sided upper bound of a proportion.

    .. math:: I_{p_U}(k+1, n-k) = C, \qquad p_U = 1 \text{ for } k = n

    Parameters
    ----------
    successes : int or array
        Number of successes (or of failures, for a failure rate), from 0 to trials [1].
    trials : int or array
        Number of trials, at least 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Upper bound, from 0 to 1 [1].

    References
    ----------
    As :func:`lower_bound`. With no failure it is 1 - (1 - C)^(1/n), the zero-failure rule.

    Examples
    --------
    No failure in 40 leaves room for 7.2 %:

    >>> f"{upper_bound(0, 40):.1%}"
    '7.2%'
    """
    return 1 - lower_bound(np.subtract(trials, successes), trials, confidence)


def success_run_trials(reliability, confidence):
    r"""Return how many successes without a failure demonstrate a reliability (classical convention).

    .. math:: n = \lceil \ln(1 - C) / \ln R \rceil

    Parameters
    ----------
    reliability : float
        Reliability to demonstrate, between 0 and 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].

    Returns
    -------
    int
        Number of successes in a row, at least 1 [1].

    References
    ----------
    Guides on zero-failure sample size (published second-hand): 95 % at 95 %, printed 59; 90 % at 90 %, printed 22. A
    reliability library's documentation (published-unnamed) prints 2995 for 99.9 % at 95 %.

    Examples
    --------
    >>> [success_run_trials(*case) for case in ((0.95, 0.95), (0.90, 0.90), (0.999, 0.95))]
    [59, 22, 2995]
    """
    return max(1, _round_up(_run_length(reliability, confidence)))


def success_run_trials_uniform_prior(reliability, confidence):
    r"""Return how many successes without a failure demonstrate a reliability (Bayes with a uniform prior).

    .. math:: n = \lceil \ln(1 - C) / \ln R - 1 \rceil

    One fewer than :func:`success_run_trials`, because the prior counts as one success. Say which is used.

    Parameters
    ----------
    reliability : float
        Reliability to demonstrate, between 0 and 1 [1].
    confidence : float
        Probability wanted that the reliability is at least that, between 0 and 1 [1].

    Returns
    -------
    int
        Number of successes in a row, 0 or more [1].

    References
    ----------
    Success-run theorem page (published-unnamed) with R = (1 - C)^(1/(n + 1)).

    Examples
    --------
    >>> success_run_trials_uniform_prior(0.95, 0.95)
    58
    """
    return max(0, _round_up(_run_length(reliability, confidence) - 1))


def success_run_trials_of_a_longer_test(reliability, confidence, life_ratio, shape):
    r"""Return how many units, tested for another time than the one asked about, show a reliability without a failure.

    .. math:: n = \left\lceil \frac{\ln(1 - C)}{L^\beta \ln R} \right\rceil

    Weibull lives whose shape is known from elsewhere: where units wear out, one that lasts twice as long as asked says
    more than two that last as long as asked. A shape guessed too high asks for too few units.

    Parameters
    ----------
    reliability : float
        Reliability to demonstrate at the time asked about, between 0 and 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].
    life_ratio : float
        Time of the test over the time asked about, above zero [1].
    shape : float
        Weibull shape beta, above zero [1].

    Returns
    -------
    int
        Number of units, at least 1 [1].

    References
    ----------
    Online reference on life data, unnamed, example of a demonstrated mean life: 75 h at 95 %, shape 1.5, each unit
    tested for 60 h, printed 4.8811, so 5 units.

    Examples
    --------
    By the gamma function 42.4 % of such units reach their mean life:

    >>> reliability_at_75_h = np.exp(-special.gamma(1 + 1 / 1.5) ** 1.5)
    >>> success_run_trials_of_a_longer_test(reliability_at_75_h, 0.95, 60 / 75, 1.5)
    5
    """
    checks.above("life ratio", life_ratio, 0)
    checks.above("shape", shape, 0)
    return max(1, _round_up(_run_length(reliability, confidence) / life_ratio**shape))


def success_run_life_ratio(reliability, confidence, trials, shape):
    r"""Return how long so many units must last, as a share of the time asked about, to show a reliability.

    .. math:: L = \left( \frac{\ln(1 - C)}{n \ln R} \right)^{1/\beta}

    `success_run_trials_of_a_longer_test` solved for the time, for units that are there.

    Parameters
    ----------
    reliability : float
        Reliability to demonstrate at the time asked about, between 0 and 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].
    trials : int
        Units to be tested, at least 1 [1].
    shape : float
        Weibull shape beta, above zero [1].

    Returns
    -------
    float
        Time of the test over the time asked about [1].

    References
    ----------
    As for `success_run_trials_of_a_longer_test`; the example is computed.

    Examples
    --------
    Ten units in place of 22 for 90 % at 90 % last 1.48 times as long, where they wear out with shape 2:

    >>> f"{success_run_life_ratio(0.90, 0.90, 10, 2):.2f}"
    '1.48'
    """
    checks.whole("trials", trials)
    checks.at_least("trials", trials, 1)
    checks.above("shape", shape, 0)
    return (_run_length(reliability, confidence) / trials) ** (1 / shape)


def success_run_reliability(trials, confidence):
    r"""Return the reliability demonstrated by successes without a failure (classical convention).

    .. math:: R = (1 - C)^{1/n}

    Parameters
    ----------
    trials : int or array
        Number of successes in a row, at least 1 [1].
    confidence : float or array
        One-sided confidence, between 0 and 1 [1].

    Returns
    -------
    float or array
        Reliability demonstrated, between 0 and 1 [1].

    References
    ----------
    Guides on zero-failure sample size (published second-hand), 1 - C = R^n.

    Examples
    --------
    >>> f"{success_run_reliability(59, 0.95):.2%}"
    '95.05%'
    """
    checks.at_least("trials", trials, 1)
    checks.inside("confidence", confidence, 0, 1)
    return np.power(1 - np.asarray(confidence, float), 1 / np.asarray(trials, float))


def success_run_reliability_uniform_prior(trials, confidence):
    r"""Return the reliability demonstrated by successes without a failure (Bayes with a uniform prior).

    .. math:: R = (1 - C)^{1/(n + 1)}

    Parameters
    ----------
    trials : int or array
        Number of successes in a row, 0 or more [1].
    confidence : float or array
        Probability wanted that the reliability is at least that, between 0 and 1 [1].

    Returns
    -------
    float or array
        Reliability demonstrated, between 0 and 1 [1].

    References
    ----------
    Success-run theorem page (published-unnamed): table 10 at 90 % 81.11 %, 29 at 95 % 90.50 %, 59 at 95 % 95.13 %, 99
    at 99 % 95.50 %.

    Examples
    --------
    >>> cases = (10, 0.90), (29, 0.95), (59, 0.95), (99, 0.99)
    >>> [f"{success_run_reliability_uniform_prior(*case):.2%}" for case in cases]
    ['81.11%', '90.50%', '95.13%', '95.50%']
    """
    checks.at_least("trials", trials, 0)
    return success_run_reliability(np.add(trials, 1), confidence)


def trials_to_support(claim, confidence, failures=0):
    r"""Return how many trials, with this many failures among them, support a claimed success rate.

    The smallest n whose exact lower bound for n - k successes of n reaches the claim:

    .. math:: \sum_{j=0}^{k} \binom{n}{j} (1-p)^j p^{\,n-j} \le 1 - C

    Parameters
    ----------
    claim : float
        Success rate claimed, between 0 and 1 [1].
    confidence : float
        One-sided confidence, between 0 and 1 [1].
    failures : int
        Failures among the trials, 0 or more [1].

    Returns
    -------
    int
        Number of trials; refused above 2147483647, which the law of counts does not reach [1].

    References
    ----------
    Binomial distribution; without a failure it is the success run, printed 299 for 99 % at 95 %.

    Examples
    --------
    "99 % are cracked joints" needs 299 of 299 at 95 % confidence, and far more once one board was something else:

    >>> trials_to_support(0.99, 0.95), trials_to_support(0.99, 0.95, failures=1)
    (299, 473)
    """
    checks.inside("claim", claim, 0, 1)
    checks.inside("confidence", confidence, 0, 1)
    checks.whole("failures", failures)
    failures = int(failures)

    def supported(trials):
        checks.between("trials needed", trials, 1, checks.MOST)
        return special.bdtr(failures, trials, 1 - claim) <= (1 - confidence) * (1 + _WHOLE)

    too_few, enough = failures, max(2 * failures, success_run_trials(claim, confidence))
    while not supported(enough):
        too_few, enough = enough, 2 * enough
    while enough - too_few > 1:
        middle = (too_few + enough) // 2
        too_few, enough = (too_few, middle) if supported(middle) else (middle, enough)
    return enough


def chance_of_at_most(successes, trials, success_rate):
    r"""Return the probability of this many successes or fewer if the claimed success rate were true.

    .. math:: P(X \le k) = \sum_{j=0}^{k} \binom{n}{j} p^j (1-p)^{n-j}

    Small values speak against the claim.

    Parameters
    ----------
    successes : int or array
        Number of successes, from 0 to trials [1].
    trials : int or array
        Number of trials, at least 1 [1].
    success_rate : float or array
        Success rate claimed, from 0 to 1 [1].

    Returns
    -------
    float or array
        Probability, from 0 to 1 [1].

    References
    ----------
    Binomial distribution.

    Examples
    --------
    47 of 50 would be a rare result if the rate were 99 %:

    >>> f"{chance_of_at_most(47, 50, 0.99):.3f}"
    '0.014'
    """
    _check_counts(successes, trials)
    checks.between("success rate", success_rate, 0, 1)
    return special.bdtr(successes, np.asarray(trials, int), success_rate)


def _check_test(prior, sensitivity, specificity):
    checks.between("prior", prior, 0, 1)
    checks.between("sensitivity", sensitivity, 0, 1)
    checks.between("specificity", specificity, 0, 1)


def _check_counts(successes, trials):
    checks.whole("trials", trials)
    checks.at_least("trials", trials, 1)
    checks.whole("successes", successes)
    checks.at_least("failures (trials - successes)", np.subtract(trials, successes), 0)


def _normal_quantile(confidence):
    return special.ndtri((1 + confidence) / 2)


def _run_length(reliability, confidence):
    checks.inside("reliability", reliability, 0, 1)
    checks.inside("confidence", confidence, 0, 1)
    return np.log(1 - confidence) / np.log(reliability)


def _round_up(count):
    return int(np.ceil(count - _WHOLE))
