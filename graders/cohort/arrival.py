"""What came in of a topic, and when, as nbgrader's timestamp file beside it says."""

import os
import stat
from datetime import UTC, datetime
from pathlib import Path

from dateutil import parser

from graders.cohort.files import HALF
from graders.cohort.paths import Cohort

MOST_BYTES = 200
"""Of a timestamp file: a time and its zone."""


def notebooks(folder: Path) -> list[Path]:
    """Return the files in a learner's folder that are named as notebooks. OSError where nobody may look into it.

    What was being written when a filing was cut off is none: it is written again.
    """
    names = sorted(os.listdir(folder))
    return [folder / name for name in names if name.endswith(".ipynb") and not name.startswith(HALF)]


def handed_in(cohort: Cohort, learner: str, topic: str) -> datetime | None:
    """Return when a topic came in, in UTC without saying so, or None where it is not said or not readable."""
    try:
        text = _small_plain_file(cohort.submitted(learner, topic) / "timestamp.txt").strip()
        moment = parser.parse(text) if text else None
        return moment.astimezone(UTC).replace(tzinfo=None) if moment is not None and moment.tzinfo else moment
    except Exception:  # a guesser of times fails in many ways, and none of them is worth a class's marking
        return None


def _small_plain_file(path: Path) -> str:
    """Return the text of a small plain file, or raise: never waits at a pipe, never follows a link to a device."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise ValueError(f"{path} is no plain file")
        content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise ValueError(f"{path} is too large for a time")
    return content.decode("utf-8")
