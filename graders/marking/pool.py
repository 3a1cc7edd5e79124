"""Who does the marking: this process or, where there is much to mark, one process a core, each with its own sandbox."""

import gc
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import partial

from graders.cohort.paths import Cohort
from graders.gradebook.book import Marked
from graders.marking import mark_submission, sharing
from graders.marking.journal import Result
from graders.marking.mark_submission import Job
from graders.runner.job import Limits, Runner
from graders.sheets import own

JOBS_A_WORKER = 10
"""Learner-topics that are worth one more process, which needs about three seconds to start."""


class Pool:
    """Marks learner-topics, some at a time.

    Parameters
    ----------
    room : callable
        Makes what runs the notebooks, as a context manager: ``Contained`` or ``Plain``. To be used by several processes
        it must be found by name.
    alone : bool
        Mark in this process, however much there is.
    """

    def __init__(self, room: Callable[[], AbstractContextManager[Runner]], alone: bool = False):
        self._room, self._alone = room, alone

    def marked(
        self, cohort: Cohort, count: int, jobs: Iterable[Job], limits: Limits
    ) -> Iterator[tuple[Result, Marked]]:
        """Yield each of ``count`` jobs marked, as it is done. Jobs are taken only as they are needed."""
        many = 1 if self._alone else sharing.enough(count, JOBS_A_WORKER)
        if many > 1:
            given = self._room, cohort, limits
            yield from sharing.shared_out(_mark, jobs, many, _begin, given, partial(_lost, cohort))
        elif count:
            with settled(), self._room() as sandbox:
                for job in jobs:
                    yield mark_submission.mark(cohort, sandbox, job, limits)


@contextmanager
def settled() -> Iterator[None]:
    """Let the garbage collector leave alone what is loaded: it stays for as long as is marked."""
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()


class _Worker:
    """What one process of a pool works with."""

    cohort: Cohort
    limits: Limits
    sandbox: Runner
    reason: Exception | None = None


def _begin(room: Callable[[], AbstractContextManager[Runner]], cohort: Cohort, limits: Limits) -> None:
    """Make a new process ready. Why it cannot be is told with its first job."""
    _Worker.cohort, _Worker.limits = cohort, limits
    own.use(cohort.root)
    gc.freeze()  # as in settled()
    try:
        _Worker.sandbox = room().__enter__()  # it ends with this process
    except RuntimeError as reason:
        _Worker.reason = reason


def _lost(cohort: Cohort, job: Job) -> tuple[Result, Marked]:
    return mark_submission.unmarked(cohort, job, "its marking was ended, perhaps for want of memory")


def _mark(job: Job) -> tuple[Result, Marked]:
    if _Worker.reason:
        raise _Worker.reason
    return mark_submission.mark(_Worker.cohort, _Worker.sandbox, job, _Worker.limits)
