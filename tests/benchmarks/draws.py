"""A thousand draws of every exercise: each draw is fair, and each exercise tells its time and what it refused.

What holds of one draw is said once, in `graders.notebooks.fairness`; ``tests/graders/sheets/test_sheets.py`` holds the
first draws to it. What is found is kept in a file, so that it can be done in pieces; an exercise whose edition differs
begins anew.

Run it: ``python -m tests.benchmarks.draws FILE [NAME ...] [--draws 1000] [--minutes 5]``, until all are done.
"""

import argparse
import json
import math
import sys
import time
from collections import Counter
from contextlib import contextmanager
from pathlib import Path
from unittest import mock

from graders import sheets
from graders.notebooks.fairness import unfair
from graders.questions import editions
from graders.questions.exercise import Exercise
from workbook.topics import TOPICS

SECRET = b"variants of the tests"
PIECE = 50
"""Draws between two looks at the clock, each piece kept as it is done."""


@contextmanager
def sets_counted():
    """Count the sets of givens that are tried, by exercise; pages drawn together are tried when the first is drawn."""
    tried, fits = Counter(), Exercise.fits

    def counted(exercise, drawn):
        tried[exercise.id] += 1
        return fits(exercise, drawn)

    with mock.patch.object(Exercise, "fits", counted):
        yield tried


def a_piece(exercise, done: dict, many: int, tried: Counter) -> None:
    """Draw on where an exercise stands, up to so many draws, and put down what came of it."""
    start = time.process_time()
    for number in range(done["draws"], many):
        try:
            drawn = exercise.draw(SECRET, f"learner {number}")
        except ValueError as refused:
            done["faults"].append(f"learner {number}: {refused}")
            continue
        done["faults"] += [f"learner {number}: {fault}; {drawn}" for fault in unfair(exercise, drawn)]
    done["tried"] += tried.pop(exercise.id, 0)
    done["draws"] = max(done["draws"], many)
    done["seconds"] += time.process_time() - start


def told(name: str, done: dict) -> str:
    """Say what came of one exercise, in a line."""
    each = 1000 * done["seconds"] / done["draws"]
    refused = 100 * (1 - done["draws"] / max(done["tried"], done["draws"]))
    figures = (
        f"{done['draws']} draws, {len(done['faults'])} unfair, {refused:.0f} % of sets refused, {each:.1f} ms each"
    )
    return f"{name}: {figures}"


def side_by_side(exercises: dict, kept: dict, many: int, end: float, keep) -> bool:
    """Draw a topic's exercises side by side, as pages of one job are drawn together; False where time is up."""
    for name, exercise in exercises.items():
        edition = editions.judged(exercise)
        if kept.get(name, {}).get("edition") != edition:
            kept[name] = {"edition": edition, "draws": 0, "tried": 0, "seconds": 0.0, "faults": []}
    with sets_counted() as tried:
        for upto in range(PIECE, many + PIECE, PIECE):
            if all(kept[name]["draws"] >= min(upto, many) for name in exercises):
                continue
            if time.monotonic() > end:
                return False
            for name, exercise in exercises.items():
                a_piece(exercise, kept[name], min(upto, many), tried)
            tried.clear()
            keep()
    return True


def main(arguments) -> int:
    """Draw for so many minutes, and say what is done; 1 where a draw was unfair, 2 where a name is none."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("file", type=Path, help="where what was found is kept")
    parser.add_argument("names", nargs="*", help="topics or exercises; all where none is named")
    parser.add_argument("--draws", type=int, default=1000)
    parser.add_argument("--minutes", type=float, default=math.inf)
    asked = parser.parse_args(arguments)
    every = {topic.slug: sheets.exercises(topic.slug) for topic in TOPICS}
    known = {*every, *(exercise.id for exercises in every.values() for exercise in exercises)}
    if strangers := set(asked.names) - known:
        parser.error(f"no topic and no exercise: {', '.join(sorted(strangers))}")
    end = time.monotonic() + 60 * asked.minutes
    kept = json.loads(asked.file.read_text(encoding="utf-8")) if asked.file.exists() else {}
    done = True
    for slug, exercises in every.items():
        wanted = {
            f"{slug}/{exercise.id}": exercise
            for exercise in exercises
            if not asked.names or {slug, exercise.id} & set(asked.names)
        }
        done &= side_by_side(
            wanted, kept, asked.draws, end, lambda: asked.file.write_text(json.dumps(kept, indent=1), encoding="utf-8")
        )
        for name in wanted:
            if kept[name]["draws"]:
                print(told(name, kept[name]), *kept[name]["faults"][:3], sep="\n    ", flush=True)
    print("all are done" if done else "not all are done yet: run it again")
    return int(any(one["faults"] for one in kept.values()))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
