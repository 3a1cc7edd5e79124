"""A term cut off at any moment: each command killed at random, run again, and compared with a run in peace.

    python -m tests.benchmarks.kills [KILLS [SEED [COMMAND]...]]

KILLS of each COMMAND named; of all commands, KILLS altogether.

Eight commands in turn: handing out, adding learners, a further topic, marking, filing what comes in later, reporting,
backup, restore. Each is run as a process of its own, ended with SIGKILL somewhere from its start to its end, up to five
times in a row, and then run to its end; then the record, the list, every notebook, what came with its time, the
gradebook with its marks by hand, and the marks must be what a run in peace leaves; of a backup, what is restored from
it. Processes are forked from this one, which has everything loaded: so kills fall into the work and not into starting
Python.
"""

import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from nbgrader.api import Comment, Grade

from graders import commands, gradebook
from graders.cohort import differences, roster
from graders.cohort.files import digest
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.gradebook import hand_copy
from graders.report import pages  # noqa: F401

EXERCISES = ("profile/bead-lag", "profile/read-the-log")
FURTHER = ("shorts/leads-off",)
FIRST, LATER = ("amber", "birch", "cedar"), ("dahlia", "elder")
HEAD = "id,name\n"
MOST_IN_A_ROW = 5
WEEK_AGO = int(time.time()) - 7 * 86400
SHARES = {"report": 2, "restore": 2}
"""Tenths of the kills that a command gets; the others get one."""


def write_list(path: Path, ids: tuple[str, ...]) -> Path:
    """Write a list of invented learners."""
    path.write_text(HEAD + "".join(f"{id_},{id_.title()} (invented)\n" for id_ in ids), encoding="utf-8")
    return path


def run_in_a_process(work: Callable[[], object], kill_after: float | None = None) -> bool:
    """Run some work in a process of its own, killed after so many seconds; return whether it came to its end."""
    child = os.fork()
    if not child:
        os.setsid()
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        status = 1
        try:
            work()
            status = 0
        finally:
            os._exit(status)
    ends = time.monotonic() + (kill_after if kill_after is not None else 600)
    while time.monotonic() < ends:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            if status:
                raise SystemExit("a command failed: see above")
            return True
        time.sleep(0.002)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return False


def state(cohort: Cohort, numbers: bool) -> dict:
    """Return what a cohort holds that must not depend on how often it was cut off.

    Without ``numbers``, what hangs on the cohort's key is left out: a cohort made anew has another one.
    """
    record = HandoutRecord(cohort.record)
    lines = [(one.learner, one.topic, one.exercise, one.notebook, one.edition) for one in record]
    if len(lines) != len(cohort.record.read_bytes().splitlines()) or differences.lines(cohort, record):
        return {"not sound": differences.lines(cohort, record) or "lines are doubled"}
    for one in record:
        notebook = cohort.handout(one.learner) / one.topic / f"{one.notebook}.ipynb"
        if one.seal not in notebook.read_text(encoding="utf-8"):
            return {"not sound": f"{notebook} has another seal"}
        with zipfile.ZipFile(cohort.handout(one.learner).with_suffix(".zip")) as archive:
            if archive.read(f"{one.learner}/{one.topic}/{one.notebook}.ipynb") != notebook.read_bytes():
                return {"not sound": f"{one.learner}.zip holds another notebook"}
    with gradebook.of(cohort).opened() as book:
        grades = [
            (g.notebook.assignment.student_id, g.notebook.name, g.cell.name, g.auto_score) for g in book.db.query(Grade)
        ]
        people = sorted((student.id, student.first_name) for student in book.students)
        asked = sorted((cell.notebook.name, cell.name, cell.max_score) for cell in _cells(book))
    files = sorted(str(path.relative_to(cohort.root)) for path in cohort.root.rglob("*") if path.is_file())
    found = {
        "record": lines,
        "list": roster.read(cohort.roster),
        "grades": sorted(grades, key=repr),
        "people": people,
        "asked": asked,
        "files": [name for name in files if not Path(name).name.startswith((".", "record.torn"))],
        "by hand": sorted(gradebook.of(cohort).by_hand().items()),
        "copy of marks by hand": hand_copy.read(cohort.by_hand),
        "marks": cohort.marks.read_text(encoding="utf-8-sig") if cohort.marks.exists() else "",
        "what came": came(cohort),
    }
    return found | ({"whole record": cohort.record.read_text(encoding="utf-8")} if numbers else {})


def came(cohort: Cohort) -> dict[str, tuple[str, float]]:
    """Return what was submitted, by its place, with its time; and what was there before."""
    folders = (cohort.root / name for name in ("submitted", "submitted_before", "held"))
    there = (path for folder in folders for path in folder.rglob("*") if path.is_file())
    return {
        str(path.relative_to(cohort.root)): (
            digest(path.read_bytes()),
            path.stat().st_mtime if path.suffix == ".ipynb" and "submitted_before" not in path.parts else 0,
        )
        for path in there
    }


def _cells(book):
    return [cell for one in book.assignments for notebook in one.notebooks for cell in notebook.grade_cells]


class Stage:
    """One command: how a cohort comes to where it starts, and what it does."""

    def __init__(self, name: str, before: Path | None, work: Callable[[Path], object], numbers=True, leaves=None):
        self.name, self.before, self.work, self.numbers = name, before, work, numbers
        self.leaves = leaves or (lambda root: state(Cohort.open(root), self.numbers))

    def start(self, root: Path) -> None:
        """Lay the cohort as it is before the command."""
        shutil.rmtree(root.parent, ignore_errors=True)
        root.parent.mkdir()
        if self.before:
            shutil.copytree(self.before, root)

    def in_peace(self, root: Path) -> tuple[float, dict]:
        """Run the command undisturbed; return its seconds and the state it leaves."""
        self.start(root)
        began = time.monotonic()
        run_in_a_process(lambda: self.work(root))
        return time.monotonic() - began, self.leaves(root)

    def killed(self, root: Path, chance: random.Random, took: float) -> tuple[int, dict]:
        """Run the command killed up to five times in a row, and then to its end; return the kills and the state."""
        self.start(root)
        kills, wanted = 0, chance.randint(1, MOST_IN_A_ROW)
        while kills < wanted and not run_in_a_process(lambda: self.work(root), chance.uniform(0, took)):
            kills += 1
        run_in_a_process(lambda: self.work(root))
        return kills, self.leaves(root)


def write_inbox(inbox: Path, cohort: Path) -> Path:
    """Write what comes in after a marking: better work, worse work, and what nobody was handed; of last week."""
    for learner, typed in zip(FIRST, ("81.4", "1", ""), strict=True):
        for path in Cohort(cohort).handout(learner).rglob("*.ipynb"):
            text = path.read_text(encoding="utf-8")
            new = inbox / learner / path.parent.name / path.name
            new.parent.mkdir(parents=True, exist_ok=True)
            notebook = json.loads(text)
            for cell in notebook["cells"]:
                if typed and cell["id"].endswith("-answer"):
                    cell["source"] = f"{cell['id'].removesuffix('-answer')} = {typed}"
            if not typed:
                notebook["metadata"]["rework_workbook"]["seal"] = "of another cohort"
            new.write_text(json.dumps(notebook), encoding="utf-8")
            os.utime(new, (WEEK_AGO, WEEK_AGO))
    return inbox


def with_marks_by_hand(root: Path) -> None:
    """Give a score and a comment in the gradebook, as an instructor does in the formgrader."""
    with gradebook.of(Cohort(root)).opened() as book:
        book.db.query(Grade).first().manual_score = 0.5
        book.db.query(Comment).first().manual_comment = "Look at the unit."
        book.db.commit()


def stages(home: Path, root: Path) -> Iterator[Stage]:
    """Yield the commands in turn, each with what the one before left in peace."""
    few, all_ = write_list(home / "few.csv", FIRST), write_list(home / "all.csv", FIRST + LATER)
    base, full, marked, reported = (home / name for name in ("base", "full", "marked", "reported"))
    yield Stage("handout", None, lambda at: commands.hand_out(few, at, exercises=EXERCISES, topics=("profile",)), False)
    shutil.copytree(root, base)
    yield Stage("adding", base, lambda at: commands.hand_out(all_, at))
    shutil.copytree(root, full)
    yield Stage("topic", full, lambda at: commands.hand_out(all_, at, exercises=FURTHER, topics=("shorts",)))
    shutil.rmtree(full)
    shutil.copytree(root, full)
    for learner in FIRST:
        shutil.copytree(Cohort(full).handout(learner), full / "submitted" / learner)
    yield Stage("mark", full, commands.mark)
    with_marks_by_hand(root)
    shutil.copytree(root, marked)
    came_in = write_inbox(home / "came in", full)
    yield Stage("filing", marked, lambda at: commands.mark(at, came_in=[came_in]))
    shutil.rmtree(marked)
    shutil.copytree(root, marked)
    yield Stage("report", marked, commands.report)
    shutil.copytree(root, reported)
    kept = root.parent / "kept.zip"

    def restored(at: Path) -> dict:
        back = root.parent / "back"
        shutil.rmtree(back, ignore_errors=True)
        run_in_a_process(lambda: commands.restore(kept, back))
        return {"cohort": state(Cohort.open(at), True), "restored": state(Cohort.open(back), True)}

    yield Stage("backup", reported, lambda at: commands.backup(at, kept), leaves=restored)
    run_in_a_process(lambda: commands.backup(reported, home / "kept.zip"))
    yield Stage("restore", None, lambda at: commands.restore(home / "kept.zip", at))


def main(kills: int = 60, seed: int = 20261129, *names: str) -> None:
    """Print, command by command, the kills and how many left another state."""
    chance, others, done = random.Random(seed), 0, 0
    print("load", os.getloadavg()[0], flush=True)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "trial" / "spring"
        for stage in stages(Path(folder), root):
            took, peace = stage.in_peace(root)
            if "not sound" in peace:
                raise SystemExit(f"{stage.name} undisturbed is {peace}")
            met, wanted = Counter(), kills * SHARES.get(stage.name, 1) // 10
            if names:
                wanted = kills if stage.name in names else 0
            while met["killed"] < wanted:
                killed, war = stage.killed(root, chance, took)
                met["killed"] += killed
                met["runs"] += bool(killed)
                if war != peace:
                    met["other state"] += 1
                    print([name for name in war if war.get(name) != peace.get(name)], war.get("not sound"), flush=True)
            others, done = others + met["other state"], done + met["killed"]
            print(
                f"{stage.name}: {took:.1f} s in peace; killed {met['killed']} times in {met['runs']} runs; "
                f"another state {met['other state']} times",
                flush=True,
            )
            stage.in_peace(root)  # what the next command begins with
    print(f"{done} kills, {others} with another state than a run in peace")
    if others:
        sys.exit(1)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]), *sys.argv[3:])
