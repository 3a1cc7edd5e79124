"""What an instructor entered from paper: each answer as it was read, and which notebooks were filed from it.

Every line is safe on the disk before the next question is asked; the newest line of an answer counts.
"""

import json
from functools import lru_cache
from pathlib import Path

from graders.cohort import lines
from graders.cohort.files import digest
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed
from workbook.problems import Problem

Place = tuple[str, str, str, str]
"""Learner, topic, exercise, and the variable or part that a line of the paper answers."""

PLACE = ("learner", "topic", "exercise", "answer")
WORDS = "Entered from paper by the instructor"


def answers(path: Path) -> dict[Place, str]:
    """Return the text of every answer that was entered, empty where the line was left blank.

    Raises
    ------
    Problem
        For a line that is none; one cut off at the end counts for nothing.
    """
    return {_place(line): line["text"] for line in _lines(path) if "text" in line}


def _place(line: dict[str, str]) -> Place:
    learner, topic, exercise, answer = (line[name] for name in PLACE)
    return learner, topic, exercise, answer


def append(path: Path, place: Place, text: str) -> None:
    """Write down one answer."""
    lines.append(path, dict(zip(PLACE, place, strict=True)) | {"text": text}, _sound)


def note_filed(path: Path, content: bytes) -> None:
    """Write down that a notebook is made of what was entered, by its digest."""
    known_by = digest(content)
    if known_by not in _digests(path):
        lines.append(path, {"filed": known_by}, _sound)


def is_from_paper(cohort: Cohort, one: Handed) -> bool:
    """Whether the notebook that counts for a learner's exercise is made of what was entered from paper.

    This goes by the file's digest: what a notebook says of itself a learner can write.
    """
    path = cohort.submitted(one.learner, one.topic) / f"{one.notebook}.ipynb"
    if not cohort.entered.is_file() or path.is_symlink() or not path.is_file():
        return False
    return digest(path.read_bytes()) in _digests(cohort.entered)


def _digests(path: Path) -> frozenset[str]:
    if not path.is_file():
        return frozenset()
    about = path.stat()
    return _digests_at(path, about.st_mtime_ns, about.st_size)


@lru_cache(maxsize=4)
def _digests_at(path: Path, changed: int, size: int) -> frozenset[str]:
    """Return them as the file is at this moment: a marking asks for each notebook, and the file is the same."""
    return frozenset(line["filed"] for line in _lines(path) if "filed" in line)


def _lines(path: Path) -> list[dict[str, str]]:
    """Return the whole lines of the file, or raise Problem for one that is none."""
    found = []
    for number, line in lines.whole(path, _sound):
        try:
            found.append(_sound(line))
        except lines.NO_LINE:
            raise Problem(f"{path}, line {number}, is no answer entered from paper.", "take the line out") from None
    return found


def _sound(text: bytes) -> dict[str, str]:
    """Return what a line says, or raise."""
    line: dict[str, str] = json.loads(text)
    wanted = ("filed",) if "filed" in line else (*PLACE, "text")
    if not all(isinstance(line[name], str) for name in wanted):
        raise ValueError("no line of what was entered")
    return line
