"""What an instructor has said of notebooks that could not be placed for certain: whose they are, written down for good.

A line for each: the digest of the file's bytes, and the learner, topic and exercise it is taken for.
"""

import json
import os
from datetime import UTC, datetime
from pathlib import Path

from graders.cohort.files import digest
from workbook.problems import Problem

Place = tuple[str, str, str]
"""Learner, topic and exercise."""


def read(path: Path) -> dict[str, Place]:
    """Return whose each accepted file is, by digest; the newest line counts. Raise Problem for a line that is none."""
    found = {}
    for number, line in enumerate(path.read_bytes().split(b"\n") if path.is_file() else (), 1):
        if not line:
            continue
        try:
            said = json.loads(line)
            place = said["learner"], said["topic"], said["exercise"]
            if not all(isinstance(word, str) for word in (*place, said["sha256"])):
                raise ValueError("no line of what was accepted")
        except (ValueError, KeyError, TypeError, RecursionError):
            raise Problem(f"{path}, line {number}, says of no file whose it is.", "take the line out") from None
        found[said["sha256"]] = place
    return found


def append(path: Path, content: bytes, place: Place, name: str) -> None:
    """Write down whose a file is, in a line of its own, and see it safe on the disk before it is used."""
    learner, topic, exercise = place
    said = {"sha256": digest(content), "learner": learner, "topic": topic, "exercise": exercise, "name": name}
    said["when"] = datetime.now(UTC).isoformat(timespec="seconds")
    with path.open("a+b") as file:
        file.seek(max(file.seek(0, os.SEEK_END) - 1, 0))
        if file.read(1) not in (b"", b"\n"):
            file.write(b"\n")
        file.write(json.dumps(said, ensure_ascii=False).encode("utf-8", "replace") + b"\n")
        file.flush()
        os.fsync(file.fileno())
