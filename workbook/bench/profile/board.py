"""A board under a rework station: give it a heating programme, read temperatures where thermocouples would sit.

A board with one area-array package in its middle is heated by a plate from below and a hot-gas nozzle from above.
``run`` answers in a few milliseconds, fast enough for a slider; ``simulate`` solves the finite volumes in full.

>>> programme = Programme.from_choices(bottom_plate_c=345, top_gas_c=270, hold=60)
>>> record = run(reduced(MEDIUM), programme, melting=True)
>>> bool(record.coldest_joint_c.max() > 217 and record.temperature_c["package top"].max() < 260)
True

Two packages on one board are :mod:`workbook.bench.profile.board_pair`.

A record is a log like any other, so what it says about the profile is asked of :mod:`workbook.bench.profile.log`:

>>> from workbook.bench.profile import log
>>> 45 < log.time_above(record.time, record.coldest_joint_c, 217.0) < 90
True

Verified as numerics, NOT validated against a measured board. Peaks carry an uncertainty of 5 to 10 K from the
parameters (films, emissivities, conductivities), and less than 1 K from the numerics. Grade peaks and times, not single
samples; with times above liquidus graded, ask for ``melting=True`` or allow 10 s.
"""

from functools import lru_cache

from workbook.bench.profile.board_reduced import ReducedBoard, reduce, run
from workbook.bench.profile.board_station import (
    BOARDS,
    HEAVY,
    LIGHT,
    MEDIUM,
    NEIGHBOURS,
    PLACES,
    Bench,
    Programme,
    Traces,
)
from workbook.bench.profile.board_volumes import Mesh, simulate

__all__ = [
    "BOARDS",
    "HEAVY",
    "LIGHT",
    "MEDIUM",
    "NEIGHBOURS",
    "PLACES",
    "Bench",
    "Mesh",
    "Programme",
    "ReducedBoard",
    "Traces",
    "reduced",
    "run",
    "run_choices",
    "simulate",
]


@lru_cache(maxsize=16)
def reduced(bench: Bench) -> ReducedBoard:
    """Return the quick model of a bench, built once in about half a second and kept.

    Parameters
    ----------
    bench : Bench
        What stands on the bench.

    Returns
    -------
    ReducedBoard
        The quick model.

    References
    ----------
    See :func:`workbook.bench.profile.board_reduced.reduce`.

    Examples
    --------
    >>> reduced(MEDIUM) is reduced(Bench())
    True
    """
    return reduce(bench)


def run_choices(
    board: str,
    bottom_plate_c: float,
    top_gas_c: float,
    hold: float = 60.0,
    soak: float = 120.0,
    melting: bool = False,
) -> Traces:
    """Return the temperatures on a named board for a learner's choices: always the same for the same choices.

    Parameters
    ----------
    board : str
        A name in ``BOARDS``.
    bottom_plate_c : float
        Set point of the bottom plate, -40 to 1000 [°C].
    top_gas_c : float
        Set point of the nozzle gas, -40 to 1000 [°C].
    hold : float
        Time at the full gas set point, at least zero [s].
    soak : float
        Time at the full plate set point before the nozzle comes down, at least zero [s].
    melting : bool
        Whether the solder takes up its latent heat.

    Returns
    -------
    Traces
        Temperatures over time [°C].

    References
    ----------
    The order of the steps is common practice; see :meth:`Programme.from_choices`.

    Examples
    --------
    A plate set point that melts every joint with hot gas from above melts none with gas that is only warm:

    >>> with_nozzle, without = run_choices("medium", 340, 275), run_choices("medium", 340, 100)
    >>> bool(with_nozzle.coldest_joint_c.max() > 217 > without.hottest_joint_c.max())
    True
    """
    if board not in BOARDS:
        raise ValueError(f"board must be one of {', '.join(BOARDS)} (got {board})")
    programme = Programme.from_choices(bottom_plate_c, top_gas_c, hold=hold, soak=soak)
    return run(reduced(BOARDS[board]), programme, melting=melting)
