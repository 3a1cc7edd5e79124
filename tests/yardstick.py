"""How long a call takes, beside how long the same machine takes to count: a slow or loaded one is slow at both."""

import gc
import time
from collections.abc import Callable

MILLION = 10**6


def _least(call: Callable[[], object]) -> float:
    """Return the processor's seconds of the quickest of three calls, without the collector of a large process."""
    taken = []
    for _ in range(3):
        began = time.process_time()
        call()
        taken.append(time.process_time() - began)
    return min(taken)


def _count() -> None:
    for _ in range(MILLION):
        pass


def millions_counted(call: Callable[[], object]) -> float:
    """Return how many million numbers Python counts in that time; a million takes about a hundredth of a second."""
    on = gc.isenabled()
    gc.disable()
    try:
        return _least(call) / _least(_count)
    finally:
        if on:
            gc.enable()
