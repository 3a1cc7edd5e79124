"""A pool whose workers are other machines: the same marks as by `marking.pool`, and the same way to ask for them."""

import contextlib
import time
import uuid
import warnings
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from itertools import islice
from queue import Empty, SimpleQueue
from typing import Any

from graders.cluster import edition, meeting, pickles, quiet, travel, worker
from graders.cluster.meeting import Meeting
from graders.cluster.travel import Sent
from graders.cohort import faults
from graders.cohort.paths import Cohort
from graders.gradebook.book import Marked
from graders.marking import mark_submission
from graders.marking.journal import Result
from graders.marking.mark_submission import Job, Left
from graders.marking.parcel import NoAnswer, is_everybodys
from graders.runner.job import Limits
from workbook.problems import Problem
from workbook.terminal import printable

AHEAD = 3
"""Topics given to each worker at a time, so that none waits for the next."""
PATIENCE = 30.0
"""Seconds without any worker after which the marking ends."""
LOOK = 1.0
"""Seconds without a result after which the cluster is looked at."""
START_SECONDS = 60
ASK_SECONDS = 60
"""How long a scheduler may take over a question."""
AGAIN = "run the same command again: what was marked is kept"


@dataclass(frozen=True)
class UnderWay:
    """A topic that is with the cluster."""

    job: Job
    left: Left
    sent: Sent
    since: float = field(default_factory=time.monotonic)
    fetched_in_vain: bool = False


class Cluster:
    """Marks learner-topics on the workers of a cluster.

    Jobs ask for a resource that only workers of this very code declare, after they have tried their wall; never for an
    address, so that any such worker may take the place of one that is lost. ``patience`` is for how many seconds the
    marking goes on without any.
    """

    def __init__(self, where: Meeting, patience: float = PATIENCE):
        self._where, self.patience = where, patience

    def marked(
        self, cohort: Cohort, count: int, jobs: Iterable[Job], limits: Limits
    ) -> Iterator[tuple[Result, Marked]]:
        """Yield each of ``count`` jobs marked, as it is done. Jobs are taken only as they are needed."""
        if not count:
            return
        self._where.try_out()
        with pickles.unread(), self._client() as client:
            yield from _Marking(self, self._where, client, cohort, limits).of(iter(jobs))

    @contextlib.contextmanager
    def _client(self) -> Iterator[Any]:
        quiet.hush()
        from distributed import Client

        try:
            client = Client(
                self._where.address,
                security=self._where.security(),
                timeout=meeting.SECONDS,
                set_as_default=False,
                serializers=[pickles.READ, "error"],
                deserializers=[pickles.READ, "error"],
            )
        except (OSError, ValueError, RuntimeError, TypeError) as error:
            raise Problem(
                f"the scheduler at {self._where.address} does not accept this machine: {error}.", AGAIN
            ) from None
        try:
            yield client
        finally:
            with contextlib.suppress(Exception):
                client.close(timeout=2)


def to_give(workers: int, under_way: int) -> int:
    """Return how many topics more the workers are given; none where some were lost, and the others have enough.

    >>> to_give(workers=2, under_way=4), to_give(workers=1, under_way=6)
    (2, 0)
    """
    return max(0, AHEAD * workers - under_way)


class _Marking:
    """One run over some jobs."""

    def __init__(self, cluster: Cluster, where: Meeting, client: Any, cohort: Cohort, limits: Limits):
        self._cluster, self._where, self._client = cluster, where, client
        self._cohort, self._limits = cohort, limits
        self._under_way: dict[str, tuple[Any, UnderWay]] = {}
        """By the key of each future, which is kept: one that is let go is given up."""
        self._done: SimpleQueue[Any] = SimpleQueue()
        self._without = time.monotonic()
        """Since when there has been no worker for us."""

    def of(self, jobs: Iterator[Job]) -> Iterator[tuple[Result, Marked]]:
        workers = self._wait_for_a_worker()
        try:
            while True:
                for job in islice(jobs, to_give(workers, len(self._under_way))):
                    fault = self._give(job)
                    if fault:
                        yield fault
                if not self._under_way:
                    return
                done = self._next()
                for future in done:
                    yield from self._kept(future)
                if not done:
                    yield from self._given_up()
                    workers = self._looked() or workers
        finally:
            for future, _ in self._under_way.values():
                with contextlib.suppress(Exception):
                    future.release()

    def _give(self, job: Job) -> tuple[Result, Marked] | None:
        """Send a topic to the cluster; return it as not marked where it cannot be sent."""
        try:
            packed, left = mark_submission.pack(self._cohort, job)
            sent = travel.send(packed, left, self._limits, travel.own_sheets(self._cohort.root, job.handed))
        except Exception as error:
            if is_everybodys(error):
                raise
            return mark_submission.unmarked(self._cohort, job, faults.words(error))
        self._submit(UnderWay(job, left, sent))
        return None

    def _submit(self, one: UnderWay) -> None:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns of large pieces of work, and ours are bounded
            future = self._client.submit(
                worker.work,
                one.sent.content,
                key=f"topic-{uuid.uuid4().hex}",
                resources={edition.name(): 1},
                pure=False,
            )
        self._under_way[future.key] = future, one
        future.add_done_callback(self._done.put)

    def _next(self) -> list[Any]:
        """Return the futures that are done; none where there is none for a while."""
        done = []
        with contextlib.suppress(Empty):
            done.append(self._done.get(timeout=LOOK))
            while True:
                done.append(self._done.get_nowait())
        return [future for future in done if future.key in self._under_way]

    def _kept(self, future: Any) -> Iterator[tuple[Result, Marked]]:
        """Yield a topic that is done as it is kept; nothing where it is to be done again."""
        _, one = self._under_way.pop(future.key)
        try:
            content = self._fetched(future)
            if content is None and not one.fetched_in_vain:
                self._submit(replace(one, fetched_in_vain=True, since=time.monotonic()))
                return
            done = travel.read(one.sent, content)
        except Exception as error:
            if is_everybodys(error):
                raise
            yield self._unmarked(one, str(error) if isinstance(error, NoAnswer) else faults.words(error))
            return
        finally:
            future.release()
        yield mark_submission.or_unmarked(
            self._cohort, one.job, lambda: mark_submission.keep(self._cohort, one.job, one.left, done)
        )

    def _fetched(self, future: Any) -> object:
        """Return what a worker made of a topic, or None where it was lost with its worker. NoAnswer for none."""
        if future.status == "error":
            raise NoAnswer("it ended every worker that it was given to")
        if future.status == "cancelled":
            raise self._scheduler_lost()
        try:
            told = self._asked(self._client.scheduler.gather, keys=[future.key])
            return told["data"][future.key] if told["status"] == "OK" else None
        except (OSError, RuntimeError):
            raise self._scheduler_lost() from None
        except Exception as error:
            raise NoAnswer(f"what came back could not be read ({type(error).__name__})") from None

    def _asked(self, what: Any, **named: Any) -> Any:
        return self._client.sync(what, callback_timeout=ASK_SECONDS, **named)

    def _unmarked(self, one: UnderWay, why: str) -> tuple[Result, Marked]:
        return mark_submission.unmarked(self._cohort, one.job, why)

    def _given_up(self) -> Iterator[tuple[Result, Marked]]:
        """Yield what has been away for longer than it can take."""
        longest = (AHEAD + 1) * (self._limits.topic_seconds + START_SECONDS)
        for key, (future, one) in list(self._under_way.items()):
            if time.monotonic() - one.since > longest:
                del self._under_way[key]
                future.release()
                yield self._unmarked(one, f"no answer came in {longest:.0f} seconds")

    def _wait_for_a_worker(self) -> int:
        while True:
            many = self._looked()
            if many:
                return many
            time.sleep(LOOK / 4)

    def _looked(self) -> int:
        """Return how many workers there are for us, or raise Problem where there has been none for long."""
        try:
            told = self._asked(self._client.scheduler.identity, n_workers=-1)
            others = [dict(one["resources"]) for one in told["workers"].values()]
        except Exception:
            raise self._scheduler_lost() from None
        many = sum(edition.name() in one for one in others)
        if many:
            self._without = time.monotonic()
        elif time.monotonic() - self._without > self._cluster.patience:
            raise self._no_worker(others)
        return many

    def _no_worker(self, others: list[dict[str, float]]) -> Problem:
        here, name = self._where.address, edition.name()
        if not others:
            return Problem(f"there is no worker at {here}.", f"start some: graders worker {here}; then {AGAIN}")
        versions = sorted({word for one in others for word in one}) or ["none of ours"]
        return Problem(
            f"no worker at {here} is of this version, {name}; there are: {printable(', '.join(versions))}.",
            f"install this version there, and start graders worker {here}; then {AGAIN}",
        )

    def _scheduler_lost(self) -> Problem:
        return Problem(f"the scheduler at {self._where.address} is gone.", f"start it again; then {AGAIN}")
