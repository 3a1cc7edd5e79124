"""What an instructor has said of notebooks that could not be placed for certain: whose they are, written down for good.

A line for each: the digest of the file's bytes, and the learner, topic and exercise it is taken for.
"""

import json
from pathlib import Path

from graders.cohort import lines
from graders.cohort.files import digest
from workbook.problems import Problem

Place = tuple[str, str, str]
"""Learner, topic and exercise."""


def read(path: Path) -> dict[str, Place]:
    """Return whose each accepted file is, by digest; the newest line counts.

    Raises
    ------
    Problem
        For a line that is none; one cut off at the end counts for nothing.
    """
    found: dict[str, Place] = {}
    for number, line in lines.whole(path, _sound):
        try:
            known_by, place = _sound(line)
        except lines.NO_LINE:
            raise Problem(f"{path}, line {number}, says of no file whose it is.", "take the line out") from None
        found[known_by] = place
    return found


def _sound(line: bytes) -> tuple[str, Place]:
    """Return the digest and the place that a line says, or raise."""
    said = json.loads(line)
    known_by, learner, topic, exercise = (said[name] for name in ("sha256", "learner", "topic", "exercise"))
    if not all(isinstance(word, str) for word in (known_by, learner, topic, exercise)):
        raise ValueError("no line of what was accepted")
    return known_by, (learner, topic, exercise)


def append(path: Path, content: bytes, place: Place, name: str) -> None:
    """Write down whose a file is, in a line of its own, and see it safe on the disk before it is used."""
    learner, topic, exercise = place
    said = {"sha256": digest(content), "learner": learner, "topic": topic, "exercise": exercise, "name": name}
    lines.append(path, said, _sound)
