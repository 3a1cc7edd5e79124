"""How fast a cohort is marked, beside stock nbgrader on the same notebooks in the same run.

    python tests/benchmarks/marking.py [LEARNERS] [STOCK_LEARNERS]

Stock is `nbgrader autograde` and `nbgrader generate_feedback` with nbgrader's own execution, in a folder without a key.
Ours is `graders mark` and `graders report`: contained, with fresh numbers, gradebook, safe copies and feedback pages.
Both start from the same handed-in notebooks; both include their own start-up.
"""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from graders import demo, handout, sheets
from graders.folder import Cohort
from graders.pipeline import put_interpreter_on_path
from graders.roster import Learner

BIN = Path(sys.executable).parent
QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


def invented_cohort(root: Path, count: int, topics: tuple[str, ...]) -> Cohort:
    """Hand out to some invented learners and let them hand in, each with a habit that ends in time."""
    habits = [name for name, (_, _, hostile) in demo.HABITS.items() if not hostile]
    people = [Learner(f"{habits[number % len(habits)]}-{number}", "Invented") for number in range(count)]
    demo.HABITS.update({person.id: demo.HABITS[person.id.split("-")[0]] for person in people})
    cohort = handout.make(people, root, topics)
    demo.hand_in(cohort)
    return cohort


def without_key(cohort: Cohort, root: Path, learners: int) -> Cohort:
    """Copy a cohort for stock execution: fewer learners, no key, nbgrader's own execution and feedback."""
    shutil.copytree(cohort.root, root)
    (root / "cohort.key").unlink()
    for folder in sorted((root / "submitted").iterdir())[learners:]:
        shutil.rmtree(folder)
    config = root / "nbgrader_config.py"
    text = config.read_text().replace(str(cohort.root), str(root))
    config.write_text(text.replace("graders.pipeline.ContainedExecute", "nbgrader.preprocessors.Execute"))
    return Cohort.open(root)


def timed(*command: object, cwd: Path) -> float:
    """Return the wall time of a command, which must succeed."""
    began = time.perf_counter()
    subprocess.run([str(word) for word in command], cwd=cwd, check=True, **QUIET)
    return time.perf_counter() - began


def main(learners: int = 100, stock_learners: int = 5) -> None:
    """Print both times for each notebook and their ratio."""
    put_interpreter_on_path()
    topics = handout.printable_topics()
    notebooks = sum(len(sheets.exercises(topic)) for topic in topics)
    parts = sum(len(exercise.parts) for topic in topics for exercise in sheets.exercises(topic))
    with tempfile.TemporaryDirectory() as folder:
        ours = invented_cohort(Path(folder) / "ours", learners, topics)
        stock = without_key(ours, Path(folder) / "stock", stock_learners)
        load = os.getloadavg()[0]
        stock_time = 0.0
        for topic in topics:
            stock_time += timed(BIN / "nbgrader", "autograde", topic, cwd=stock.root)
            stock_time += timed(BIN / "nbgrader", "generate_feedback", topic, cwd=stock.root)
        mark_time = timed(BIN / "graders", "mark", ours.root, cwd=ours.root)
        report_time = timed(BIN / "graders", "report", ours.root, cwd=ours.root)
    per_stock = stock_time / (stock_learners * notebooks)
    per_ours = (mark_time + report_time) / (learners * notebooks)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{len(topics)} topics, {notebooks} notebooks of {parts / notebooks:.1f} parts; load {load:.1f} at the start")
    print(f"stock: {stock_learners} learners, {stock_time:.1f} s, {per_stock * 1e3:.0f} ms a notebook")
    print(f"ours:  {learners} learners, {mark_time:.1f} s marking + {report_time:.1f} s pages, ", end="")
    per_minute = learners * len(topics) / (mark_time + report_time) * 60
    print(f"{per_ours * 1e3:.1f} ms a notebook, {per_minute:.0f} learner-topics a minute")
    print(f"ratio {per_stock / per_ours:.0f}; largest process {peak:.0f} MB")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
