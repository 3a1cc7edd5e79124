"""Work shared out to several processes, so that every core has something to do."""

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from multiprocessing.connection import wait as wait_for

from workbook.problems import Problem


def enough(count: int, worth: int) -> int:
    """Return how many processes to use: one a core where there are ``worth`` pieces for each, else this one alone."""
    return max(1, min(os.cpu_count() or 1, count // worth))


def shared_out(
    task: Callable, items: Iterable, processes: int, begin: Callable | None = None, given: tuple = ()
) -> Iterator:
    """Yield what ``task`` makes of each item, as each is done, by several processes.

    Items are taken only as they are needed, so a cohort need not be in memory at once. Left early, it starts no further
    item and waits for those under way. The processes end with this one, however it ends.

    Parameters
    ----------
    task : callable
        Found by name in every process, as ``begin`` must be.
    items : iterable
    processes : int
        How many processes.
    begin, given : callable and its arguments, optional
        Run once in every process before its first item.
    """
    items, waiting = iter(items), set()
    context = multiprocessing.get_context("spawn")  # a fork would take locks along that other threads hold
    with ProcessPoolExecutor(processes, context, _begin, (begin, given)) as pool:
        try:
            while True:
                for item in islice(items, 2 * processes - len(waiting)):
                    waiting.add(pool.submit(task, item))
                if not waiting:
                    return
                done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
                for future in done:
                    yield future.result()
        except BrokenProcessPool:
            raise Problem(
                "a process that works for this command was ended from outside.",
                "run the command again: what is done stays done",
            ) from None
        finally:
            for future in waiting:
                future.cancel()


def _begin(begin: Callable | None, given: tuple) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the command: it lets what is under way be finished
    threading.Thread(target=_end_with_parent, daemon=True).start()
    if begin:
        begin(*given)


def _end_with_parent() -> None:
    wait_for([multiprocessing.parent_process().sentinel])
    os._exit(1)
