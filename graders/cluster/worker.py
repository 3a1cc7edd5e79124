"""A machine that runs strangers' notebooks for a cluster, and holds nothing else."""

import asyncio
import multiprocessing
import os
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from multiprocessing.connection import wait
from multiprocessing.process import BaseProcess
from typing import Any

from graders.cluster import edition, meeting, quiet, travel
from graders.cluster.meeting import Meeting
from graders.cohort import faults
from graders.marking.parcel import is_everybodys
from graders.runner import contained
from workbook.problems import Problem
from workbook.terminal import echo, printable

BEFORE_AGAIN = 1.0
"""Seconds before a worker that was killed is started again."""
OWN_WORDS = 1
"""How a worker ends that has said why."""


class _Here:
    """The sandbox of this process."""

    sandbox: contained.Contained


def work(content: bytes) -> bytes:
    """Run and judge a topic in this process's sandbox. A worker whose wall has gone ends."""
    try:
        return travel.answered(content, _Here.sandbox)
    except Exception as error:
        if isinstance(error, Problem) or not is_everybodys(error):
            return travel.faulty(content, error)
        _say(f"ERROR  this worker ends, for it cannot go on safely: {faults.words(error)}")
        os._exit(OWN_WORDS)


def serve(where: Meeting, processes: int, say: Callable[[str], None] = echo) -> None:
    """Work for a cluster, in some processes, until stopped or until all have said why they cannot.

    A process that was killed is started again.
    """
    reason = contained.why_not()
    if reason:
        raise Problem(
            f"no worker is started, for strangers' notebooks cannot be run safely here: {reason}",
            "start it on Linux with user namespaces",
        )
    where.try_out()
    context = multiprocessing.get_context("spawn")
    running: dict[Any, BaseProcess] = {}  # by the handle that says that one has ended

    def start() -> None:
        one = context.Process(target=_one, args=(where,))
        one.start()
        running[one.sentinel] = one

    for _ in range(processes):
        start()
    many = "one process" if processes == 1 else f"{processes} processes"
    say(f"Working for {where.address} in {many}, as {edition.name()}. Ctrl-C ends it.")
    try:
        while running:
            for sentinel in wait(list(running)):
                ended = running.pop(sentinel)
                ended.join()
                if ended.exitcode != OWN_WORDS:
                    time.sleep(BEFORE_AGAIN)
                    start()
    finally:
        for one in running.values():
            one.terminate()
    raise Problem("no worker is left here.", "see above; then start it again")


def _one(where: Meeting) -> None:
    """Be one worker, in a process of its own."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    try:
        with contained.Contained() as _Here.sandbox, tempfile.TemporaryDirectory() as scratch:
            asyncio.run(_working(where, scratch))
        _say(f"ERROR  the scheduler at {where.address} is gone.")
    except (contained.CannotContain, OSError, RuntimeError, ValueError) as why:
        _say(f"ERROR  {why}")
    except KeyboardInterrupt:
        pass
    os._exit(OWN_WORDS)


async def _working(where: Meeting, scratch: str) -> None:
    import dask
    from distributed import Worker

    quiet.hush()
    dask.config.set({"distributed.worker.profile.enabled": False, "distributed.admin.tick.interval": "1s"})
    async with Worker(
        where.address,
        nthreads=1,
        resources={edition.name(): 1},
        security=where.security(),
        host=None if where.folder else where.host,
        local_directory=scratch,
        memory_limit=0,
        death_timeout=meeting.SECONDS,
    ) as one:
        await one.finished()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(OWN_WORDS)


def _say(line: str) -> None:
    print(printable(line), file=sys.stderr, flush=True)
