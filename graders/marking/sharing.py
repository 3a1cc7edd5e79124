"""Work shared out to several processes, so that every core has something to do."""

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from multiprocessing.connection import wait as wait_for
from typing import Any, TypeVar

from workbook.problems import Problem

Item = TypeVar("Item")
Made = TypeVar("Made")
Begin = Callable[..., object]
"""Makes a new process ready."""


def enough(count: int, worth: int) -> int:
    """Return how many processes to use: one a core where there are ``worth`` pieces for each, else this one alone."""
    return max(1, min(os.cpu_count() or 1, count // worth))


def shared_out(
    task: Callable[[Item], Made],
    items: Iterable[Item],
    processes: int,
    begin: Begin | None = None,
    given: tuple[Any, ...] = (),
    lost: Callable[[Item], Made] | None = None,
) -> Iterator[Made]:
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
    lost : callable, optional
        Makes the result of an item whose process was ended, twice: among others, and again with nothing beside it.
        Without, a process that is ended ends the work.
    """
    coming = iter(items)
    waiting: dict[Future[Made], Item] = {}
    while True:
        try:
            yield from _by(processes, task, coming, begin, given, waiting)
            return
        except BrokenProcessPool:
            if lost is None:
                raise _ended() from None
        for item in waiting.values():
            yield _alone(task, item, begin, given, lost)
        waiting.clear()


def _ended() -> Problem:
    return Problem(
        "a process that works for this command was ended from outside.",
        "run the command again: what is done stays done",
    )


def _by(
    processes: int,
    task: Callable[[Item], Made],
    items: Iterator[Item],
    begin: Begin | None,
    given: tuple[Any, ...],
    waiting: dict[Future[Made], Item],
) -> Iterator[Made]:
    """Yield results as they are done; ``waiting`` holds the items whose results have not come, by their futures."""
    with _pool(processes, begin, given) as pool:
        try:
            while True:
                for item in islice(items, 2 * processes - len(waiting)):
                    waiting[pool.submit(task, item)] = item
                if not waiting:
                    return
                for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                    result = future.result()
                    del waiting[future]
                    yield result
        finally:
            for future in waiting:
                future.cancel()


def _alone(
    task: Callable[[Item], Made],
    item: Item,
    begin: Begin | None,
    given: tuple[Any, ...],
    lost: Callable[[Item], Made],
) -> Made:
    """Return what a task makes of an item in a process of its own, or what stands for it where that is ended too."""
    with _pool(1, begin, given) as pool:
        try:
            pool.submit(os.getpid).result()
        except BrokenProcessPool:
            raise _ended() from None  # it ended before it had the item
        try:
            return pool.submit(task, item).result()
        except BrokenProcessPool:
            return lost(item)


def _pool(processes: int, begin: Begin | None, given: tuple[Any, ...]) -> ProcessPoolExecutor:
    context = multiprocessing.get_context("spawn")  # a fork would take locks along that other threads hold
    return ProcessPoolExecutor(processes, context, _begin, (begin, given))


def _begin(begin: Begin | None, given: tuple[Any, ...]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the command: it lets what is under way be finished
    threading.Thread(target=_end_with_parent, daemon=True).start()
    if begin:
        begin(*given)


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait_for([parent.sentinel])
        os._exit(os.EX_OK)  # nobody is left who could ask why
