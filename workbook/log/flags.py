"""What a board cannot do: readings that say a log should be looked at before it is believed."""

import numpy as np

from workbook.bench.profile import log as profile_log

COLDEST_C, HOTTEST_C = -50.0, 400.0
FASTEST = 20.0
"""A board under hot air warms by a few kelvin a second; twenty say noise, or another unit of time [K/s]."""
FEWEST = 10
"""So many equal steps are no chance."""


def plausibility(time: np.ndarray, temperature_c: np.ndarray) -> tuple[str, ...]:
    """Return what is unlikely in one channel, each in a line; times [s] and readings [°C] may hold nan.

    >>> plausibility(np.arange(3.0), np.array([20.0, 20.5, 60.0]))
    ('changes by 39.5 K/s at 1 s, over 20 K/s: noise, a loose bead, or times in another unit',)
    """
    time, temperature_c = profile_log.clean(time, temperature_c)
    found = []
    if temperature_c.min() < COLDEST_C:
        found.append(f"reads {temperature_c.min():.4g} °C, below {COLDEST_C:g} °C: a bead wired the wrong way round?")
    if temperature_c.max() > HOTTEST_C:
        found.append(f"reads {temperature_c.max():.4g} °C, above {HOTTEST_C:g} °C: no board is meant to be so hot")
    slopes = np.diff(temperature_c) / np.diff(time)
    worst = np.abs(slopes).argmax()
    if abs(slopes[worst]) > FASTEST:
        found.append(
            f"changes by {abs(slopes[worst]):.3g} K/s at {time[worst]:g} s, over {FASTEST:g} K/s: "
            "noise, a loose bead, or times in another unit"
        )
    steps = np.diff(temperature_c)
    if steps.size >= FEWEST and steps[0] != 0 and float(steps[0]).is_integer() and (steps == steps[0]).all():
        found.append(f"changes by exactly {steps[0]:g} K at every reading: a counter, and no sensor?")
    return tuple(found)
