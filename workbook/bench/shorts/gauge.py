"""How far a reading depends on who reads it: crossed gauge studies, the range method, pooled standard deviations."""

from dataclasses import dataclass

import numpy as np
from scipy import stats

from workbook.bench import checks

__all__ = ["Squares", "Study", "analysis_of_variance", "crossed_study", "pooled_deviation", "range_study"]


@dataclass(frozen=True)
class Squares:
    """Sums of squares of a crossed study with their degrees of freedom, each as (square, freedom)."""

    parts: tuple[float, int]
    appraisers: tuple[float, int]
    interaction: tuple[float, int]
    error: tuple[float, int]

    @property
    def interaction_ratio(self) -> float:
        """Mean square of the interaction over that of the error: F, infinite where every trial repeats exactly."""
        if self.error[0] == 0:
            return np.inf if self.interaction[0] > 0 else 0.0
        return _mean(self.interaction) / _mean(self.error)

    @property
    def interaction_probability(self) -> float:
        """How often chance alone makes a ratio this large."""
        return float(stats.f.sf(self.interaction_ratio, self.interaction[1], self.error[1]))


@dataclass(frozen=True)
class Study:
    """Standard deviations found by a gauge study, in the unit of the readings."""

    repeatability: float
    """The same appraiser on the same part: the equipment (EV)."""
    appraisers: float
    """Between appraisers (AV)."""
    parts: float
    """Between the parts themselves (PV)."""
    interaction: float = 0.0
    """Appraisers that differ on some parts only; zero where pooled with repeatability."""

    @property
    def gauge(self) -> float:
        """Repeatability and reproducibility together (GRR)."""
        return float(np.hypot(np.hypot(self.repeatability, self.appraisers), self.interaction))

    @property
    def total(self) -> float:
        """Everything together (TV)."""
        return float(np.hypot(self.gauge, self.parts))

    @property
    def gauge_share(self) -> float:
        """Gauge over total: below 0.1 good, above 0.3 poor."""
        return self.gauge / self.total

    @property
    def categories(self) -> float:
        """Classes of parts the gauge can tell apart, before rounding down: 1.41 PV/GRR; 5 are wanted."""
        return 1.41 * self.parts / self.gauge


def analysis_of_variance(readings):
    r"""Return the sums of squares of a crossed study.

    .. math:: \sum (x - \bar x)^2 = SS_\text{parts} + SS_\text{appraisers} + SS_\text{interaction} + SS_\text{error}

    Parameters
    ----------
    readings : array
        Indexed part, appraiser, trial; at least two of each, all finite [any unit].

    Returns
    -------
    Squares
        Sums of squares [unit squared] and degrees of freedom [1].

    References
    ----------
    AIAG, Measurement Systems Analysis, 4th ed., published second-hand.

    Examples
    --------
    Two parts, two appraisers that agree, readings apart by 0.2:

    >>> squares = analysis_of_variance([[[1.0, 1.2], [1.0, 1.2]], [[2.0, 2.2], [2.0, 2.2]]])
    >>> [f"{square:.2f}" for square, _ in (squares.parts, squares.appraisers, squares.error)]
    ['2.00', '0.00', '0.08']
    """
    readings = _crossed(readings)
    parts, appraisers, trials = readings.shape
    middle, cells = readings.mean(), readings.mean(axis=2)
    by_part = appraisers * trials * np.sum((readings.mean(axis=(1, 2)) - middle) ** 2)
    by_appraiser = parts * trials * np.sum((readings.mean(axis=(0, 2)) - middle) ** 2)
    between_cells = trials * np.sum((cells - middle) ** 2)
    within_cells = np.sum((readings - cells[:, :, np.newaxis]) ** 2)
    return Squares(
        parts=(float(by_part), parts - 1),
        appraisers=(float(by_appraiser), appraisers - 1),
        interaction=(float(between_cells - by_part - by_appraiser), (parts - 1) * (appraisers - 1)),
        error=(float(within_cells), parts * appraisers * (trials - 1)),
    )


def crossed_study(readings, pool_above=0.25):
    r"""Return the standard deviations of a crossed study by analysis of variance.

    .. math:: EV^2 = MS_e, \quad AV^2 = \frac{MS_a - MS_i}{n r}, \quad PV^2 = \frac{MS_p - MS_i}{k r}

    n parts, k appraisers, r trials. Where chance alone explains the interaction it is pooled with the error, and the
    pooled mean square stands for both. A negative variance is none.

    Parameters
    ----------
    readings : array
        Indexed part, appraiser, trial; at least two of each, all finite [any unit].
    pool_above : float
        Probability of the interaction above which it is pooled, from 0 to 1 [1].

    Returns
    -------
    Study
        Standard deviations [unit of the readings].

    References
    ----------
    AIAG, Measurement Systems Analysis, 4th ed., published second-hand.

    Examples
    --------
    >>> study = crossed_study([[[1.0, 1.2], [1.0, 1.2]], [[2.0, 2.2], [2.0, 2.2]], [[3.0, 3.2], [3.0, 3.2]]])
    >>> f"{study.parts:.2f} between parts, {study.appraisers:.2f} between appraisers"
    '1.00 between parts, 0.00 between appraisers'
    """
    checks.between("pooling probability", pool_above, 0, 1)
    readings = _crossed(readings)
    parts, appraisers, trials = readings.shape
    squares = analysis_of_variance(readings)
    error, interaction = _mean(squares.error), _mean(squares.interaction)
    if squares.interaction_probability > pool_above:
        pooled = tuple(map(sum, zip(squares.error, squares.interaction, strict=True)))
        error = interaction = _mean(pooled)
    return Study(
        repeatability=_root(error),
        appraisers=_root((_mean(squares.appraisers) - interaction) / (parts * trials)),
        parts=_root((_mean(squares.parts) - interaction) / (appraisers * trials)),
        interaction=_root((interaction - error) / trials),
    )


def range_study(readings, trial_factor, appraiser_factor, part_factor):
    r"""Return the standard deviations of a crossed study by averages and ranges.

    .. math:: EV = K_1 \bar R, \quad AV = \sqrt{(K_2 X)^2 - EV^2/(n r)}, \quad PV = K_3 R_p

    X is the range of the appraisers' averages, Rp that of the parts'. It cannot see an interaction.

    Parameters
    ----------
    readings : array
        Indexed part, appraiser, trial; at least two of each, all finite [any unit].
    trial_factor, appraiser_factor, part_factor : float
        K1, K2 and K3 for the numbers of trials, appraisers and parts, above zero [1].

    Returns
    -------
    Study
        Standard deviations [unit of the readings].

    References
    ----------
    Worksheet page of a gauge study, published second-hand.

    Examples
    --------
    Two trials always 0.2 apart, with K1 = 0.8862:

    >>> f"{range_study([[[1.0, 1.2], [1.0, 1.2]], [[2.0, 2.2], [2.0, 2.2]]], 0.8862, 0.7071, 0.7071).repeatability:.4f}"
    '0.1772'
    """
    checks.single(appraiser_factor=appraiser_factor)
    for name, factor in (("K1", trial_factor), ("K2", appraiser_factor), ("K3", part_factor)):
        checks.above(name, factor, 0)
    readings = _crossed(readings)
    parts, _, trials = readings.shape
    repeatability = trial_factor * np.ptp(readings, axis=2).mean()
    between = (appraiser_factor * np.ptp(readings.mean(axis=(0, 2)))) ** 2
    return Study(
        repeatability=float(repeatability),
        appraisers=_root(between - repeatability**2 / (parts * trials)),
        parts=float(part_factor * np.ptp(readings.mean(axis=(1, 2)))),
    )


def pooled_deviation(deviations, freedoms):
    r"""Return one standard deviation out of several of the same thing.

    .. math:: s = \sqrt{\frac{\sum \nu_i s_i^2}{\sum \nu_i}}

    Variances are averaged, never standard deviations.

    Parameters
    ----------
    deviations : array
        Standard deviations, each at least zero [any unit].
    freedoms : int or array
        Degrees of freedom of each, above zero [1].

    Returns
    -------
    float
        Pooled standard deviation [unit of the deviations].

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, 2.4.4.4.

    Examples
    --------
    Five resistivity probes with 60 degrees of freedom each, printed as 0.10290 ohm cm:

    >>> squares = np.array([0.48115, 0.69209, 0.48483, 1.21752, 0.30076])
    >>> f"{pooled_deviation(np.sqrt(squares / 60), 60):.5f}"
    '0.10290'
    """
    freedoms = checks.floats(freedoms)
    checks.at_least("number of standard deviations", np.size(deviations), 1)
    checks.at_least("standard deviations", deviations, 0)
    checks.above("degrees of freedom", freedoms, 0)
    return float(np.sqrt(np.average(np.square(deviations), weights=np.broadcast_to(freedoms, np.shape(deviations)))))


def _crossed(readings):
    readings = np.asarray(readings, float)
    if readings.ndim != 3 or min(readings.shape) < 2 or not np.all(np.isfinite(readings)):
        raise ValueError(f"readings must be finite, by part, appraiser and trial, two at least (got {readings.shape})")
    return readings


def _mean(square):
    amount, freedom = square
    return amount / freedom


def _root(variance):
    return float(np.sqrt(max(variance, 0.0)))
