"""Run many topics a few at a time."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from itertools import islice

from .job import Sheet, SheetOutcome

__all__ = ["as_completed"]


def as_completed(
    run: Callable[[Sequence[Sheet]], tuple[SheetOutcome, ...]],
    jobs: Iterable[tuple[Hashable, Sequence[Sheet]]],
    workers: int,
) -> Iterator[tuple[Hashable, tuple[SheetOutcome, ...]]]:
    """Yield (key, outcomes) as each job is done, `workers` under way at a time.

    Jobs are taken from the iterable only as they are needed, so a cohort need not be in memory at once. Left early,
    it starts no further job and waits for those under way.
    """
    jobs = iter(jobs)
    waiting: dict[Future, Hashable] = {}
    with ThreadPoolExecutor(workers) as pool:
        try:
            while True:
                for key, sheets in islice(jobs, 2 * workers - len(waiting)):
                    waiting[pool.submit(run, sheets)] = key
                if not waiting:
                    return
                for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                    yield waiting.pop(future), future.result()
        finally:
            for future in waiting:
                future.cancel()
