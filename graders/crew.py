"""Who does the marking: this process or, where there is much to mark, one process a core, each with its own sandbox."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager

from graders import hands, one_topic
from graders.folder import Cohort
from graders.gradebook import Marked
from graders.journal import Result
from graders.one_topic import Job
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
    alone : bool
        Mark in this process, however much there is.
    """

    def __init__(self, room: Callable[[], AbstractContextManager], alone: bool = False):
        self._room, self._alone = room, alone

    def marked(
        self, cohort: Cohort, count: int, jobs: Iterable[Job], limits: Limits
    ) -> Iterator[tuple[Result, Marked]]:
        """Yield each of ``count`` jobs marked, as it is done. Jobs are taken only as they are needed."""
        many = 1 if self._alone else hands.enough(count, JOBS_A_HAND)
        if many > 1:
            yield from hands.shared_out(_mark, jobs, many, _begin, (self._room, cohort, limits))
        elif count:
            with self._room() as sandbox:
                for job in jobs:
                    yield one_topic.mark(cohort, sandbox, job, limits)


class _Hand:
    """What one process of a crew works with."""

    cohort: Cohort
    limits: Limits
    sandbox: object
    reason: Exception | None = None


def _begin(room, cohort: Cohort, limits: Limits) -> None:
    """Make a new process ready. Why it cannot be is told with its first job."""
    _Hand.cohort, _Hand.limits = cohort, limits
    try:
        _Hand.sandbox = room().__enter__()  # it ends with this process
    except RuntimeError as reason:
        _Hand.reason = reason


def _mark(job: Job) -> tuple[Result, Marked]:
    if _Hand.reason:
        raise _Hand.reason
    return one_topic.mark(_Hand.cohort, _Hand.sandbox, job, _Hand.limits)
