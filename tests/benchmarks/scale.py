"""What a cohort costs as it grows: time and memory of marking and of the report, a learner, from 1,000 to 20,000.

    python -m tests.benchmarks.scale [LEARNERS ...] [--to FILE.png]

Nothing is run: eight invented learners are marked once, two exercises of each topic, and all others hand in what one of
the eight did. Everything but the sandbox and the judge is the commands' own: plan, gradebook, journal, tables, pages.
Feedback pages are left out of the report: each is made by itself and costs the same in any cohort.

Of each size it prints, each step in a process of its own: marking for the first time, marking all anew, marking when
nothing is new (which compacts the journal first), and the report; milliseconds of processor time a learner, peak memory
of the command's process, and the largest page.
"""

import argparse
import json
import pickle
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from unittest import mock

from graders import commands
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.gradebook.configuration import put_interpreter_on_path
from graders.handout import handing_out
from graders.judging.marks import Row
from graders.marking import mark_submission
from graders.marking.mark_submission import Job
from graders.report import pages
from graders.runner import contained
from graders.runner.job import Limits
from tests.benchmarks.marking import invented_cohort, spread

ORIGINALS, A_TOPIC = 8, 2
STEPS = ("first", "anew", "unchanged", "report")


def originals(root: Path) -> None:
    """Hand out to the originals, mark them once, and keep what each topic came to."""
    put_interpreter_on_path()
    cohort = invented_cohort(
        root, ORIGINALS, {topic: spread(topic, A_TOPIC) for topic in handing_out.printable_topics()}
    )
    record = HandoutRecord(cohort.record)
    with contained.Contained() as sandbox:
        came = {
            (learner, topic): mark_submission.mark(cohort, sandbox, Job(learner, topic, handed, ""), Limits())
            for learner in record.learners
            for topic, handed in record.by_topic(learner).items()
        }
    (root / "came.pickle").write_bytes(pickle.dumps(came))  # our own file, read by our own processes


def grown(small: Path, root: Path, learners: int) -> None:
    """Make a cohort in which many hand in what one of the originals did."""
    shutil.copytree(small, root, symlinks=True)
    record = HandoutRecord(root / "record.jsonl")
    people = record.learners
    with (root / "record.jsonl").open("a") as lines, (root / "learners.csv").open("a") as roster:
        for number in range(len(people), learners):
            original = people[number % len(people)]
            for one in record.of(original):
                lines.write(json.dumps(vars(one) | {"learner": f"{original}-{number}"}, ensure_ascii=False) + "\n")
            roster.write(f"{original}-{number},Learner {number:05d} Invented\n")
            for folder in ("submitted", "autograded"):
                if (root / folder / original).exists():
                    (root / folder / f"{original}-{number}").symlink_to(original)


class Ready:
    """Stands for the pool of workers: every job comes back as it came for one of the originals."""

    def __init__(self, *_):
        pass

    def marked(self, cohort, count, jobs, limits):
        came = pickle.loads((cohort.root / "came.pickle").read_bytes())
        people = {learner for learner, _ in came}
        for job in jobs:
            original = job.learner if job.learner in people else job.learner.rpartition("-")[0]
            result, marked = came[original, job.topic]
            rows = tuple(Row(job.learner, *row.as_tuple()[1:]) for row in result.rows)
            findings = tuple(replace(one, learner=job.learner) for one in result.findings)
            known = {"learner": job.learner, "rows": rows, "findings": findings, "digest": job.digest}
            yield replace(result, **known), replace(marked, learner=job.learner)


def step(name: str, root: Path) -> None:
    """Do one step in this process, and print what it took."""
    put_interpreter_on_path()
    with (
        mock.patch.object(commands, "Pool", Ready),
        mock.patch.object(pages, "write_feedback", lambda cohort, shown, own: own.learner),
        mock.patch.object(pages, "LEARNERS_A_WORKER", sys.maxsize),
    ):
        began, clock = time.process_time(), time.perf_counter()
        commands.report(root) if name == "report" else commands.mark(root, anew=name == "anew")
        took, clock = time.process_time() - began, time.perf_counter() - clock
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    page = max((path.stat().st_size for path in (root / "report").glob("*.html")), default=0) / 1e6
    journal = Cohort(root).journal.stat().st_size / 1e6
    print(json.dumps({"seconds": took, "clock": clock, "MB": peak, "page": page, "journal": journal}))


def measured(small: Path, learners: int) -> dict[str, dict[str, float]]:
    """Return what each step took in a cohort of a size."""
    with tempfile.TemporaryDirectory(dir=small.parent) as folder:
        root = Path(folder) / "cohort"
        grown(small, root, learners)
        found = {}
        for name in STEPS:
            command = [sys.executable, "-m", "tests.benchmarks.scale", "--step", name, str(root)]
            said = subprocess.run(
                command, check=True, capture_output=True, text=True, timeout=3600
            ).stdout.splitlines()[-1]
            found[name] = one = json.loads(said)
            print(
                f"{learners:6} learners, {name:9}: {one['seconds'] / learners * 1e3:6.1f} ms of processor time a "
                f"learner, {one['clock']:5.0f} s, {one['MB']:4.0f} MB, largest page {one['page']:.2f} MB, "
                f"journal {one['journal']:.0f} MB",
                flush=True,
            )
        return found


def drawn(found: dict[int, dict[str, dict[str, float]]], path: Path) -> None:
    """Plot time a learner and memory over the number of learners."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(10, 4), layout="constrained")
    time_, memory = figure.subplots(1, 2)
    sizes = list(found)
    for name, style in zip(STEPS, ("o-", "s--", "^-.", "d:"), strict=True):
        time_.plot(sizes, [found[size][name]["seconds"] / size * 1e3 for size in sizes], style, label=name)
        memory.plot(sizes, [found[size][name]["MB"] for size in sizes], style, label=name)
    memory.axhline(400, color="0.5", label="most allowed")
    time_.set(xlabel="learners", ylabel="processor time a learner (ms)", ylim=0)
    memory.set(xlabel="learners", ylabel="peak memory (MB)", ylim=0)
    time_.legend()
    memory.legend()
    figure.savefig(path)


def main() -> None:
    """Measure some sizes."""
    words = argparse.ArgumentParser()
    words.add_argument("learners", nargs="*", type=int)
    words.add_argument("--to", type=Path)
    words.add_argument("--step", nargs=2)
    given = words.parse_args()
    if given.step:
        return step(given.step[0], Path(given.step[1]))
    with tempfile.TemporaryDirectory() as folder:
        small = Path(folder) / "originals"
        originals(small)
        found = {size: measured(small, size) for size in given.learners or (1_000, 4_000, 20_000)}
    if given.to:
        drawn(found, given.to)


if __name__ == "__main__":
    main()
