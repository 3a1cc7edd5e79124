r"""Fit unknowns with stated priors to readings: likeliest values, what uncertainty is left, and what is not told at
all.

Every unknown is written as its prior's middle and a standard number x, which is 0 at the middle and one off at one
standard deviation. Then the prior is :math:`x \sim N(0, 1)`, and the likeliest values make

.. math:: |W (r(x) - d)|^2 + |x|^2

least, with d the readings, r(x) what the model says of them and W what makes their errors independent and one wide.
Near the likeliest values what is left is normal with the covariance :math:`(I + J^T W^T W J)^{-1}` (Laplace).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats
from scipy.special import expit, logit

from workbook.bench import checks

__all__ = ["Estimate", "Unknown", "estimate", "whitening"]

STEP = 0.02
"""Step of the differences that make slopes, in standard numbers."""

TEMPERING = (100.0, 10.0)
"""By how much the squares of readings are lessened in the first steps, and then no longer.

From the middle of the priors readings are often off by a hundred times their noise. Steps that believe them at once go
far along a bent valley; those that half believe them come near, and then readings are taken as they are."""

SETTLED = 0.5
"""A step that makes the misfit less by no more than this is the last: a small part of what uncertainty is left."""

MOST_STEPS = 14
FARTHEST = 6.0
"""No standard number goes farther than this from its prior's middle."""

CAUTIONS = (0.0, 1.0, 10.0, 100.0, 1000.0)
"""How strongly a step is held back, one after the other, until one makes the misfit less."""

LAWS = ("factor", "share", "plain")

REFUSED_BELOW = 1e-4
"""A log that the model would make so misfitting in less than this share of cases is not explained by it."""


@dataclass(frozen=True)
class Unknown:
    """A quantity that is not known well: the middle of its prior and how wide that is.

    ``law`` says what is normal: ``plain`` the quantity itself, ``factor`` its logarithm (``spread`` is then a share,
    for a quantity above zero), ``share`` its log-odds (for one between 0 and 1).
    """

    name: str
    middle: float
    spread: float
    law: str = "factor"
    unit: str = "1"

    def __post_init__(self):
        checks.above(f"spread of {self.name}", self.spread, 0)
        if self.law not in LAWS:
            raise ValueError(f"law must be one of {', '.join(LAWS)} (got {self.law})")
        if self.law == "factor":
            checks.above(self.name, self.middle, 0, self.unit)
        elif self.law == "share":
            checks.inside(self.name, self.middle, 0, 1)
        else:
            checks.finite(self.name, self.middle, self.unit)

    def value(self, standard):
        """Return the quantity at a standard number."""
        if self.law == "plain":
            return self.middle + self.spread * standard
        if self.law == "factor":
            return self.middle * np.exp(self.spread * standard)
        return expit(logit(self.middle) + self.spread * standard)


TOLD, HARDLY = 0.5, 0.9
"""Readings tell an unknown whose uncertainty they halve, and nothing of one that keeps nine tenths of it."""


@dataclass(frozen=True, eq=False)
class Estimate:
    """What readings say of the unknowns: standard numbers, their covariance, and how well the readings are explained.

    ``residual`` is readings less model with independent errors one wide; ``slopes`` is how these change with x.
    """

    unknowns: tuple[Unknown, ...]
    standard: np.ndarray
    covariance: np.ndarray
    residual: np.ndarray
    slopes: np.ndarray

    @property
    def names(self) -> list[str]:
        """The names of the unknowns."""
        return [unknown.name for unknown in self.unknowns]

    @property
    def values(self) -> dict[str, float]:
        """The likeliest value of each unknown."""
        return {one.name: float(one.value(x)) for one, x in zip(self.unknowns, self.standard, strict=True)}

    @property
    def left(self) -> dict[str, float]:
        """The share of its prior's width that each unknown keeps: 1 where the readings tell nothing of it."""
        return dict(zip(self.names, np.sqrt(np.diag(self.covariance)).tolist(), strict=True))

    def interval(self, name: str, chance: float = 0.9) -> tuple[float, float]:
        """Return the ends between which an unknown lies with a chance."""
        checks.inside("chance", chance, 0, 1)
        k = self.names.index(name)
        reach = stats.norm.ppf(0.5 + chance / 2) * np.sqrt(self.covariance[k, k])
        return tuple(float(self.unknowns[k].value(self.standard[k] + side * reach)) for side in (-1, 1))

    @property
    def misfit(self) -> float:
        """The sum of squares at the likeliest values; about the count of readings where the model holds."""
        return float(self.residual @ self.residual + self.standard @ self.standard)

    @property
    def chance_of_misfit(self) -> float:
        """How often readings would fit as badly or worse were the model and the priors true."""
        return float(stats.chi2.sf(self.misfit, self.residual.size))

    @property
    def explained(self) -> bool:
        """Whether the model explains the readings."""
        return self.chance_of_misfit >= REFUSED_BELOW

    def runs(self, part: slice = slice(None)) -> float:
        """Return by how many standard deviations a part of the residuals has fewer runs of one sign than by chance."""
        return _runs(self.residual[part])


def _runs(residual) -> float:
    above = np.asarray(residual) > 0
    up, down = above.sum(), (~above).sum()
    if not up or not down:
        return float(np.sqrt(above.size))
    count, total = 1 + np.count_nonzero(above[1:] != above[:-1]), up + down
    expected = 1 + 2 * up * down / total
    variance = (expected - 1) * (expected - 2) / (total - 1)
    return float((expected - count) / np.sqrt(max(variance, 1e-9)))


def whitening(time, noise: float, model_error: float, lasting: float) -> np.ndarray:
    r"""Return the matrix that makes errors of readings independent and one wide.

    .. math:: C_{ij} = \sigma_n^2 \delta_{ij} + \sigma_m^2 \exp(-|t_i - t_j| / \tau), \quad W = L^{-1}, \quad C = L L^T

    The noise of a reading is its own; what the model gets wrong lasts, so a hundred readings tell no more of it than
    a few.

    Parameters
    ----------
    time : array
        Times of the readings, one after the other [s].
    noise : float
        Standard deviation of the noise of a reading, above zero [K].
    model_error : float
        Standard deviation of the model's error, at least zero [K].
    lasting : float
        How long the model's error lasts, above zero [s].

    Returns
    -------
    array
        Square matrix W [1/K].

    References
    ----------
    Cholesky factor of a covariance (textbook); a model's error as a correlated process: Kennedy and O'Hagan,
    J. R. Statist. Soc. B 63 (2001) 425; from memory.

    Examples
    --------
    Without model error each reading counts by its noise alone:

    >>> whitening([0.0, 5.0], 0.5, 0.0, 60.0).tolist()
    [[2.0, 0.0], [0.0, 2.0]]
    """
    time = np.asarray(time, float)
    checks.finite("time", time, "s")
    checks.above("noise", noise, 0, "K")
    checks.at_least("model_error", model_error, 0, "K")
    checks.above("lasting", lasting, 0, "s")
    lasts = np.exp(-np.abs(time[:, None] - time) / lasting)
    return np.linalg.inv(np.linalg.cholesky(noise**2 * np.eye(time.size) + model_error**2 * lasts)) + 0.0


def estimate(
    unknowns: Sequence[Unknown],
    model: Callable[[np.ndarray], np.ndarray],
    readings,
    whiten: Callable[[np.ndarray], np.ndarray],
    slopes: Callable[[np.ndarray], np.ndarray] | None = None,
) -> Estimate:
    r"""Return the likeliest values of unknowns under their priors and readings, and the uncertainty that is left.

    .. math:: \min_x |W (r(x) - d)|^2 + |x|^2, \quad \Sigma = (I + J^T W^T W J)^{-1}

    Parameters
    ----------
    unknowns : Unknown (sequence)
        What is not known well, with its priors.
    model : callable
        From standard numbers to what the model says of each reading.
    readings : array
        What was read [unit of the model].
    whiten : callable
        Makes errors of readings independent and one wide: from one column for each reading, or a matrix with one row
        for each, to the same shape.
    slopes : callable, optional
        From standard numbers to the change of each reading (row) by each of them (column); by differences if not
        given.

    Returns
    -------
    Estimate
        The likeliest standard numbers, their covariance and the residuals.

    References
    ----------
    Gauss-Newton, held back as by Levenberg and Marquardt where a whole step goes too far (textbook); Laplace's
    approximation: MacKay, Information Theory, Inference, and Learning Algorithms, chapter 27; from memory.

    Examples
    --------
    A prior of 10 with a standard deviation of 2 and a reading of 14 with one of 2 meet halfway, and the uncertainty
    falls by the square root of 2:

    >>> met = estimate([Unknown("level", 10, 2, "plain")], lambda x: 10 + 2 * x, [14.0], lambda r: r / 2)
    >>> round(met.values["level"], 3), round(met.left["level"], 3)
    (12.0, 0.707)
    """
    readings = np.asarray(readings, float)
    checks.finite("readings", readings)
    if not unknowns:
        raise ValueError("unknowns must name at least one (got none)")
    slopes = slopes or (lambda x: by_differences(model, x))
    whole = np.eye(len(unknowns))

    def off(x):
        return whiten(model(x) - readings)

    x = np.zeros(len(unknowns))
    rest = off(x)
    for tempering in (*TEMPERING, *[1.0] * MOST_STEPS):
        whitened = whiten(slopes(x))
        information = whitened.T @ whitened / tempering + whole
        downhill = -(whitened.T @ rest / tempering + x)
        before = rest @ rest / tempering + x @ x
        for caution in CAUTIONS:
            there = np.clip(x + np.linalg.solve(information + caution * whole, downhill), -FARTHEST, FARTHEST)
            rest_there = off(there)
            fall = before - rest_there @ rest_there / tempering - there @ there
            if fall > 0:
                x, rest = there, rest_there
                break
        if tempering == 1 and fall < SETTLED:
            break
    return Estimate(tuple(unknowns), x, np.linalg.inv(information), -rest, -whitened)


def by_differences(model, x, step=STEP) -> np.ndarray:
    """Return the slopes of a model by central differences (readings x unknowns)."""
    return np.column_stack([(model(x + side) - model(x - side)) / (2 * step) for side in step * np.eye(x.size)])
