"""How fast a cohort is marked, beside stock nbgrader on the same notebooks in the same run.

    python -m tests.benchmarks.marking [LEARNERS] [STOCK_LEARNERS] [EXERCISES_A_TOPIC]

Learners do ten exercises of each of the six topics, spread over each sheet, unless another number is given; 0 is all.
Stock is `nbgrader autograde` and `nbgrader generate_feedback` with nbgrader's own execution, in a folder without a key.
Ours is `graders mark` and `graders report`: contained, with fresh numbers, gradebook, safe copies and feedback pages.
Both start from the same handed-in notebooks; both include their own start-up. With no stock learners only ours is run.
"""

import contextlib
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple
from unittest import mock

import psutil

from graders import gradebook, sheets
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.demo import learners
from graders.gradebook.configuration import put_interpreter_on_path
from graders.handout import handing_out
from graders.judging import judge, near_misses
from graders.marking import mark_submission, parcel
from graders.marking.mark_submission import Job
from graders.marking.pool import settled
from graders.runner import contained
from graders.runner.job import Cell, Sheet

BIN = Path(sys.executable).parent
QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


def spread(topic: str, count: int) -> tuple[str, ...]:
    """Return so many exercises of a topic, evenly over its sheet: easy ones and designs alike."""
    ids = [exercise.id for exercise in sheets.exercises(topic)]
    return (
        tuple(ids[place * (len(ids) - 1) // (count - 1)] for place in range(count))
        if 1 < count < len(ids)
        else tuple(ids)
    )


def invented_cohort(root: Path, count: int, exercises: dict[str, tuple[str, ...]]) -> Cohort:
    """Hand out to some invented learners and let them hand in, each with a habit that ends in time."""
    habits = [name for name, (_, _, hostile) in learners.HABITS.items() if not hostile]
    people = [Learner(f"{habits[number % len(habits)]}-{number}", "Invented") for number in range(count)]
    learners.HABITS.update({person.id: learners.HABITS[person.id.split("-")[0]] for person in people})
    cohort = handing_out.make(people, root, tuple(exercises), exercises=exercises)
    learners.hand_in(cohort)
    return cohort


def without_key(cohort: Cohort, root: Path, learners: int) -> Cohort:
    """Copy a cohort for stock execution: fewer learners, no key, nbgrader's own execution and feedback."""
    shutil.copytree(cohort.root, root)
    for folder in sorted((root / "submitted").iterdir())[learners:]:
        shutil.rmtree(folder)
    stock = Cohort.open(root)
    stock_execution(stock)
    return stock


def stock_execution(cohort: Cohort) -> None:
    """Let nbgrader run this cohort's notebooks by its own execution, in kernels, without the key in reach."""
    (cohort.root / "cohort.key").unlink()
    with (cohort.root / "nbgrader_config.py").open("a") as config:
        config.write(STOCK)


STOCK = """
steps = get_config().Autograde.autograde_preprocessors
steps[steps.index("graders.pipeline.ContainedExecute")] = "nbgrader.preprocessors.Execute"
"""


class Took(NamedTuple):
    """What commands took: seconds on the clock, seconds of processor time with all they started, memory in MB.

    Processor time is counted by a control group of their own; it is nan where the system lets us make none.
    """

    clock: float
    processor: float
    memory: float = 0.0

    def __add__(self, other: "Took") -> "Took":
        both = (self.clock + other.clock, self.processor + other.processor)
        return Took(*both, max(self.memory, other.memory))

    def a_notebook(self, notebooks: int) -> "Took":
        """Return what each of so many notebooks took."""
        return Took(self.clock / notebooks, self.processor / notebooks)

    @property
    def told(self) -> str:
        """Say what one notebook took."""
        return f"{self.clock * 1e3:.1f} ms a notebook ({self.processor * 1e3:.1f} of processor time)"


CONTROL_GROUPS = (
    ("/sys/fs/cgroup/cpuacct", "cpuacct.usage", r"(\d+)", 1e-9),
    ("/sys/fs/cgroup", "cpu.stat", r"usage_usec (\d+)", 1e-6),
)
"""Where a control group may be made, which of its files tells the processor time, how, and its unit in seconds."""


class Counter:
    """A control group for a command: tells the processor time of all that the command starts."""

    def __enter__(self) -> "Counter":
        self.usage = None
        for root, file, self.pattern, self.second in CONTROL_GROUPS:
            with contextlib.suppress(OSError):
                self.group = Path(tempfile.mkdtemp(prefix="rework-", dir=root))  # an earlier one may still be leaving
                if (self.group / file).is_file():
                    self.usage = self.group / file
                    return self
                self.group.rmdir()
        return self

    def __exit__(self, *_) -> None:
        if self.usage:
            with contextlib.suppress(OSError):
                self.group.rmdir()

    def join(self) -> None:
        """Put the process that calls this, and all it will start, into the group."""
        if self.usage:
            (self.group / "cgroup.procs").write_text(str(os.getpid()))

    def seconds(self) -> float:
        """Return the processor time so far, or nan where nothing is counted."""
        return int(re.search(self.pattern, self.usage.read_text())[1]) * self.second if self.usage else math.nan


def timed(*command: object, cwd: Path | None = None) -> Took:
    """Run a command, which must succeed, and return what it took; the memory is that of its own process."""
    with Counter() as counter:
        began, peak = time.perf_counter(), 0.0
        process = psutil.Popen([str(word) for word in command], cwd=cwd, preexec_fn=counter.join, **QUIET)
        while process.poll() is None:
            with contextlib.suppress(psutil.Error):
                peak = max(peak, process.memory_info().rss / 1e6)
            time.sleep(0.1)
        if process.returncode:
            raise SystemExit(f"{command} failed")
        return Took(time.perf_counter() - began, counter.seconds(), peak)


STEPS = ("read", "fork and cells", "judge and safe copy", "gradebook")


def steps(cohort: Cohort, jobs: list[Job], walls, write: Callable) -> dict[str, float]:
    """Mark some jobs in this process, and return the seconds each step took."""
    took = dict.fromkeys(STEPS, 0.0)
    for job in jobs:
        times = [time.perf_counter()]
        packed, left = mark_submission.pack(cohort, job)
        came = parcel.take_in(packed)
        runs = parcel.runs(packed, came)
        times.append(time.perf_counter())
        outcomes = walls.run(runs)
        times.append(time.perf_counter())
        _, marked = mark_submission.keep(cohort, job, left, parcel.judged(packed, came, outcomes))
        times.append(time.perf_counter())
        write([marked])
        times.append(time.perf_counter())
        for step, began, ended in zip(STEPS, times, times[1:], strict=False):
            took[step] += ended - began
    return took


def where_it_goes(cohort: Cohort, learners: int = 30) -> None:
    """Print what each step takes on one core, over some learners of a marked cohort."""
    record = HandoutRecord(cohort.record)
    jobs = [
        Job(learner, topic, handed, "")
        for learner in record.learners[:learners]
        for topic, handed in record.by_topic(learner).items()
    ]
    notebooks = sum(len(job.handed) for job in jobs)
    with contained.Contained() as walls, gradebook.of(cohort).marking() as write, settled():
        steps(cohort, jobs[: len(jobs) // 2], walls, write)  # the judge's models are built once a process
        took = steps(cohort, jobs, walls, write)
        near_misses.forget()  # what a class's first marking reads is in the figure
        with mock.patch.object(judge, "near_miss", return_value=None):
            without = sum(steps(cohort, jobs, walls, write).values())
        with mock.patch.object(judge, "near_miss", timed_near_miss):
            timed_near_miss.took = []
            steps(cohort, jobs, walls, write)
        began = time.perf_counter()
        for _ in range(50):
            walls.run([Sheet("empty", (Cell("a = 1"),))])
        fork = (time.perf_counter() - began) / 50
    whole, floor = sum(took.values()), took["fork and cells"]
    told = ", ".join(f"{step} {seconds / notebooks * 1e3:.2f}" for step, seconds in took.items())
    print(f"one core, ms a notebook: {told}; in all {whole / notebooks * 1e3:.2f}, ", end="")
    print(f"{whole / floor:.2f} times fork and cells; fork and fences {fork * 1e3:.1f} ms a learner-topic", flush=True)
    many, words = len(timed_near_miss.took), sum(timed_near_miss.took)
    each, more = words / max(many, 1) * 1e3, words / notebooks * 1e3
    print(
        f"near misses of {many} wrong numbers: {each:.2f} ms of processor time each, {more:.2f} ms a notebook ", end=""
    )
    print(f"beside {without / notebooks * 1e3:.2f} without: {words / without:.1%} slower (at most 5 %)", flush=True)


def timed_near_miss(*arguments):
    """Look for a near miss, and note the processor time it took."""
    own = time.process_time()
    try:
        return near_misses.near_miss(*arguments)
    finally:
        timed_near_miss.took.append(time.process_time() - own)


def main(learners: int = 100, stock_learners: int = 5, a_topic: int = 10) -> None:
    """Print both times for each notebook and their ratio."""
    put_interpreter_on_path()
    chosen = {topic: spread(topic, a_topic) for topic in handing_out.printable_topics()}
    asked = [sheets.find(topic, exercise) for topic, ids in chosen.items() for exercise in ids]
    notebooks, parts = len(asked), sum(len(exercise.parts) for exercise in asked)
    print(f"{len(chosen)} topics, {notebooks} notebooks of {parts / notebooks:.1f} parts a learner")
    with tempfile.TemporaryDirectory() as folder:
        ours = invented_cohort(Path(folder) / "ours", learners, chosen)
        size = sum(len(json.loads(path.read_text())["cells"]) for path in ours.root.glob("submitted/*/*/*.ipynb"))
        print(f"{size / learners / notebooks:.1f} cells a notebook; load {os.getloadavg()[0]:.1f}", flush=True)
        stock = without_key(ours, Path(folder) / "stock", stock_learners)
        mark, report = (timed(BIN / "graders", verb, ours.root) for verb in ("mark", "report"))
        per_ours = (mark + report).a_notebook(learners * notebooks)
        per_minute = learners * len(chosen) / (mark.clock + report.clock) * 60
        print(f"ours:  {learners} learners, {mark.clock:.1f} s marking, {report.clock:.1f} s pages, ", end="")
        print(f"{per_ours.told}, {per_minute:.0f} learner-topics a minute; ", end="")
        print(f"{mark.memory:.0f} and {report.memory:.0f} MB", flush=True)
        where_it_goes(ours)
        stock_took = Took(0, 0)
        for topic in chosen if stock_learners else ():
            stock_took += timed(BIN / "nbgrader", "autograde", topic, cwd=stock.root)
            stock_took += timed(BIN / "nbgrader", "generate_feedback", topic, cwd=stock.root)
    if stock_learners:
        per_stock = stock_took.a_notebook(stock_learners * notebooks)
        print(f"stock: {stock_learners} learners, {stock_took.clock:.1f} s, {per_stock.told}")
        ratios = [stock / our for stock, our in zip(per_stock[:2], per_ours[:2], strict=True)]
        print("ratio {:.0f} on the clock, {:.0f} of processor time".format(*ratios))


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
