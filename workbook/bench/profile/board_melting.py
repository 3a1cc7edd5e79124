"""Latent heat of the solder: how much of each joint is liquid at the end of a step.

Between solidus and liquidus the liquid share grows in proportion to temperature; no undercooling. The shares are the
solution of a symmetric problem with bounds, so melting can only take heat and freezing can only give it back.
(Plain Newton steps on the shares do not settle: joints then jump above the curve without latent heat.)
"""

import math

import numpy as np
from scipy.linalg.lapack import dgesv

__all__ = ["melt"]


def melt(to_solidus: np.ndarray, response: np.ndarray, liquid: np.ndarray, span: float) -> np.ndarray:
    r"""Return the liquid share of each joint at the end of a time step.

    .. math:: f = \min(1, \max(0, (T - S (f - f_0)) / \Delta T))

    Parameters
    ----------
    to_solidus : array
        What each joint would have above solidus at the end of the step if no share changed [K].
    response : array
        How far each joint (row) cools when another (column) melts whole within the step, at least zero [K].
    liquid : array
        Liquid share of each joint before the step, 0 to 1 [1].
    span : float
        Liquidus less solidus, above zero [K].

    Returns
    -------
    array
        Liquid shares after the step, 0 to 1 [1].

    References
    ----------
    Bounds by an active set; where that does not settle, by projected Gauss-Seidel, which always does for a symmetric
    positive response (Cottle, Pang and Stone, The Linear Complementarity Problem, section 5.3; from memory).

    Examples
    --------
    One joint 2 K above solidus that would cool by 5 K on melting, span 3 K, melts a quarter and stays 0.75 K above:

    >>> melt(np.array([2.0]), np.array([[5.0]]), np.array([0.0]), 3.0)
    array([0.25])
    """
    if not (isinstance(span, (int, float)) and 0 < span < math.inf):  # `checks` would cost as much as the step
        raise ValueError(f"span must be one number above 0 K and finite (got {span})")
    moved = _bounded(to_solidus / span) != liquid
    some = moved.nonzero()[0]
    if not some.size:
        return liquid  # no share has cause to change: all solid and cold, or liquid and hot
    matrix = response.copy()
    matrix.flat[:: liquid.size + 1] += span
    # Mostly the joints that have cause to change are all that do, and stay between solid and liquid.
    off_curve = to_solidus - span * liquid
    trial = liquid.copy()
    trial[some] += _solved(matrix, some, off_curve.take(some))
    bounded = _bounded(trial)
    if _all(bounded == trial) and _stands(off_curve - matrix @ (trial - liquid), trial):
        return trial
    return _by_active_set(matrix, to_solidus + response @ liquid, bounded, liquid)


def _by_active_set(matrix, wanted, share, liquid):
    """Return the shares at which each joint is solid, liquid, or on the curve between, from a first guess."""
    for _ in range(30):
        slack = wanted - matrix @ share
        full, none = (share >= _LIQUID) & (slack >= _SOLID), (share <= _SOLID) & (slack <= _SOLID)
        some = (~(full | none)).nonzero()[0]
        trial = full.astype(float)
        if some.size:
            trial[some] = _solved(matrix, some, (wanted - matrix @ trial).take(some))
        bounded = _bounded(trial)
        if _all(bounded == trial) and _stands(wanted - matrix @ bounded, bounded):
            return bounded
        share = bounded
    return _gauss_seidel(matrix, wanted, liquid)


def _solved(matrix, some, wanted):
    """Return what these few unknowns are; by LAPACK itself, for most of np.linalg.solve's time are its own checks."""
    return dgesv(matrix.take(some, 0).take(some, 1), wanted)[2]


_SOLID, _LIQUID = np.array(0.0), np.array(1.0)
"""Shares as arrays: numpy takes longer to read a number of Python's than to compare so few with it."""

_all = np.logical_and.reduce
"""Half the time of the method ``all`` on arrays this short."""


def _bounded(share):
    return np.minimum(np.maximum(share, _SOLID), _LIQUID)  # a third of the time of np.clip on arrays this short


def _stands(slack, share, within=1e-9):
    """Say whether each share stands where its temperature puts it; ``slack`` is how far that is above the share [K]."""
    return bool(_all(((slack <= within) | (share >= _LIQUID)) & ((slack >= -within) | (share <= _SOLID))))


def _gauss_seidel(matrix, wanted, start):
    share = start.copy()
    while not _stands(wanted - matrix @ share, share, 1e-6):
        for k in range(share.size):
            share[k] = np.clip(share[k] + (wanted[k] - matrix[k] @ share) / matrix[k, k], 0, 1)
    return share
