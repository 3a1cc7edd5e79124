"""Who does the marking: this process or, where there is much to mark, one process a core, each with its own sandbox."""

import multiprocessing
import os
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager
from itertools import islice
from multiprocessing.connection import wait as wait_for

from graders import one_topic
from graders.folder import Cohort
from graders.gradebook import Marked
from graders.journal import Result
from graders.one_topic import Job
from graders.problems import Problem
from graders.runner.job import Limits

JOBS_A_HAND = 10
"""Learner-topics that are worth one more process, which needs about three seconds to start."""


class Crew:
    """Marks learner-topics, some at a time.

    Parameters
    ----------
    room : callable
        Makes what runs the notebooks, as a context manager: ``Contained`` or ``Plain``. To be used by several processes
        it must be found by name.
    hands : int
        The most processes to use; one for each core without.
    """

    def __init__(self, room: Callable[[], AbstractContextManager], hands: int | None = None):
        self._room, self._hands = room, hands or os.cpu_count() or 1

    def marked(
        self, cohort: Cohort, count: int, jobs: Iterable[Job], limits: Limits
    ) -> Iterator[tuple[Result, Marked]]:
        """Yield each of ``count`` jobs marked, as it is done. Jobs are taken only as they are needed."""
        hands = min(self._hands, count // JOBS_A_HAND)
        if hands > 1:
            yield from self._by_several(hands, cohort, jobs, limits)
        elif count:
            with self._room() as sandbox:
                for job in jobs:
                    yield one_topic.mark(cohort, sandbox, job, limits)

    def _by_several(self, hands: int, cohort: Cohort, jobs: Iterable[Job], limits: Limits):
        jobs, waiting = iter(jobs), set()
        context = multiprocessing.get_context("spawn")  # a fork would take the threads' locks along
        with ProcessPoolExecutor(hands, context, _begin, (self._room, cohort, limits)) as pool:
            try:
                while True:
                    for job in islice(jobs, 2 * hands - len(waiting)):
                        waiting.add(pool.submit(_mark, job))
                    if not waiting:
                        return
                    done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
                    for future in done:
                        yield future.result()
            except BrokenProcessPool:
                raise Problem(
                    "a process that marks was ended from outside.", "run the command again: what is marked stays marked"
                ) from None
            finally:
                for future in waiting:
                    future.cancel()


class _Hand:
    """What one process of a crew works with."""

    cohort: Cohort
    limits: Limits
    sandbox: object
    reason: Exception | None = None


def _begin(room, cohort: Cohort, limits: Limits) -> None:
    """Make a new process ready. Why it cannot be is told with its first job."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    _Hand.cohort, _Hand.limits = cohort, limits
    try:
        _Hand.sandbox = room().__enter__()  # it ends with this process
    except RuntimeError as reason:
        _Hand.reason = reason


def _end_with_parent() -> None:
    wait_for([multiprocessing.parent_process().sentinel])
    os._exit(1)


def _mark(job: Job) -> tuple[Result, Marked]:
    if _Hand.reason:
        raise _Hand.reason
    return one_topic.mark(_Hand.cohort, _Hand.sandbox, job, _Hand.limits)
