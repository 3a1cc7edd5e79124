"""What a cluster costs over this machine, and whether it marks the same, also where its workers are killed.

    python -m tests.benchmarks.cluster [LEARNERS] [EXERCISES_A_TOPIC] [KILLS]

Learners do ten exercises of each of the six topics unless another number is given. 50 learners are 3,000 notebooks, as
five runs with 10 are, each with numbers of its own. The cohort is marked by `graders mark` in turn: here, in one
process; by a scheduler and one worker on this machine, with TLS, every process in a control group that counts its
processor time; and once more by two workers of which one is killed KILLS times, with the driver killed once. Each
marks.csv and each safe copy must be the same, byte for byte.

It prints, a topic: processor time and clock of both, the difference, the bytes that travelled, and the machine's load.
One process against one worker, so that the clock compares the same amount of work at a time; on a machine with one
core free, scheduler, driver and worker share it.
"""

import contextlib
import itertools
import os
import random
import shutil
import signal
import socket
import sys
import tempfile
import time
from pathlib import Path

import psutil

from graders.cluster import travel
from graders.cluster.meeting import Meeting
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.gradebook.configuration import put_interpreter_on_path
from graders.handout import handing_out
from graders.marking import mark_submission
from graders.marking.mark_submission import Job
from graders.runner import contained
from graders.runner.job import Limits
from tests.benchmarks.marking import BIN, QUIET, Counter, Took, invented_cohort, spread
from tests.graders.cluster.certificates import Authority
from workbook.problems import Problem

DRIVER_LIVES = 15
"""Seconds after which the first driver is killed."""
ALONE = """
import os
os.cpu_count = lambda: 1
from graders.cli import main
main()
"""
"""`graders` on a machine with one core."""


def command(counter: Counter, *words: object) -> psutil.Popen:
    """Start a command, counted, in a session of its own."""
    return psutil.Popen([str(word) for word in words], preexec_fn=counter.join, start_new_session=True, **QUIET)


def ended(process: psutil.Popen) -> None:
    """End a command with all it started."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


@contextlib.contextmanager
def cluster(folder: Path, workers: int, counter: Counter):
    """Start a scheduler and some workers, and give where they are, and the process that keeps the workers."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port = one.getsockname()[1]
    authority = Authority()
    own = authority.folder(folder / "certificates")
    pems = ["--tls-ca-file", own / "ca.pem", "--tls-cert", own / "cert.pem", "--tls-key", own / "key.pem"]
    at = ["--host", "127.0.0.1", "--port", port, "--no-dashboard", "--dashboard-address", "127.0.0.1:0"]
    where = Meeting.at(f"tls://127.0.0.1:{port}", own)
    scheduler = command(counter, BIN / "dask", "scheduler", "--protocol", "tls", *pems, *at)
    try:
        for _ in range(300):
            with contextlib.suppress(Problem):
                where.try_out()
                break
            time.sleep(0.2)
        keeper = command(
            counter, BIN / "graders", "worker", where.address, "--certificates", own, "--processes", workers
        )
        try:
            yield where, keeper
        finally:
            ended(keeper)
    finally:
        ended(scheduler)


def marked(counter: Counter, cohort: Cohort, *options: object) -> Took:
    """Mark a cohort in one process, and return what it took; processor time is that of all in the counter."""
    began, before = time.perf_counter(), counter.seconds()
    process = command(counter, sys.executable, "-c", ALONE, "mark", cohort.root, *options)
    if process.wait():
        raise SystemExit("graders mark failed")
    return Took(time.perf_counter() - began, counter.seconds() - before)


def left(cohort: Cohort) -> dict[str, bytes]:
    """Return marks and safe copies, by their place in the cohort."""
    paths = [cohort.marks, *cohort.root.glob("autograded/*/*/*.ipynb")]
    return {str(path.relative_to(cohort.root)): path.read_bytes() for path in paths}


def copied(cohort: Cohort, name: str) -> Cohort:
    """Return a copy of a cohort that is not marked yet."""
    shutil.copytree(cohort.root, cohort.root.parent / name)
    return Cohort.open(cohort.root.parent / name)


def travelling(cohort: Cohort, topics: int = 24) -> tuple[float, float]:
    """Return how many bytes of a topic travel out and back, in the middle of some topics."""
    record = HandoutRecord(cohort.record)
    jobs = (
        Job(learner, topic, handed, "")
        for learner in record.learners
        for topic, handed in record.by_topic(learner).items()
    )
    out = back = 0
    with contained.Contained() as sandbox:
        for job in itertools.islice(jobs, topics):
            packed, left_out = mark_submission.pack(cohort, job)
            sent = travel.send(packed, left_out, Limits())
            out, back = out + len(sent.content), back + len(travel.answered(sent.content, sandbox))
    return out / topics, back / topics


def with_kills(folder: Path, cohort: Cohort, kills: int) -> str:
    """Mark by two workers, killing one now and then and the driver once; return what was killed."""
    chance, killed = random.Random(22), 0
    with Counter() as counter, cluster(folder, 2, counter) as (where, keeper):
        options = ["--scheduler", where.address, "--certificates", where.folder]
        for may_end in (False, True):
            driver = command(counter, BIN / "graders", "mark", cohort.root, *options)
            since = time.monotonic()
            while driver.poll() is None:
                time.sleep(chance.uniform(3, 6))
                workers = [one for one in keeper.children() if "spawn_main" in " ".join(_words(one))]
                if killed < kills and workers:
                    chance.choice(workers).kill()
                    killed += 1
                if not may_end and time.monotonic() - since > DRIVER_LIVES:
                    ended(driver)
                    break
            if may_end and driver.returncode:
                raise SystemExit("graders mark failed")
    return f"{killed} workers and the driver killed"


def _words(process: psutil.Process) -> list[str]:
    try:
        return process.cmdline()
    except psutil.Error:
        return []


def main(learners: int = 50, a_topic: int = 10, kills: int = 10) -> None:
    """Print what both take of a topic, and whether they leave the same."""
    put_interpreter_on_path()
    chosen = {topic: spread(topic, a_topic) for topic in handing_out.printable_topics()}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        here = invented_cohort(folder / "here", learners, chosen)
        there, killed = copied(here, "there"), copied(here, "killed")
        topics, notebooks = learners * len(chosen), learners * sum(map(len, chosen.values()))
        out, back = travelling(here)
        print(f"{notebooks} notebooks in {topics} topics; load {os.getloadavg()[0]:.1f}", flush=True)
        print(f"a topic: {out / 1e3:.0f} kB go out, {back / 1e3:.0f} kB come back", flush=True)
        with Counter() as counter:
            own = marked(counter, here)
        print(f"here:    {told(own, topics)}; load {os.getloadavg()[0]:.1f}", flush=True)
        with Counter() as counter, cluster(folder / "one", 1, counter) as (where, _):
            time.sleep(15)  # what scheduler and worker take to start is not the topics'
            far = marked(counter, there, "--scheduler", where.address, "--certificates", where.folder)
        print(f"cluster: {told(far, topics)}; load {os.getloadavg()[0]:.1f}", flush=True)
        more = Took(far.clock - own.clock, far.processor - own.processor)
        print(f"more:    {told(more, topics)} (at most 15)", flush=True)
        print(f"marks and safe copies the same: {left(here) == left(there)}", flush=True)
        if kills:
            what = with_kills(folder / "two", killed, kills)
            print(f"{what}; marks and safe copies the same: {left(here) == left(killed)}", flush=True)


def told(took: Took, topics: int) -> str:
    """Say what a topic took."""
    return f"{took.processor / topics * 1e3:.1f} ms of processor time, {took.clock / topics * 1e3:.1f} ms on the clock"


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
