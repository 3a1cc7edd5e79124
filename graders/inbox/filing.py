"""File what comes in by its seal, not by its name: never guessed, never over something else."""

import hashlib
import os
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from graders.cohort import arrival
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, Record
from graders.inbox.archives import Came, Inbox, changed
from graders.notebooks import printer, submission


@dataclass(frozen=True)
class Filed:
    """What became of the files that came in: how many were filed or known already, and one line for each one held.

    ``others`` are files that are no notebooks and hold none.
    """

    filed: int
    known: int
    held: tuple[str, ...]
    others: tuple[str, ...] = ()


def file_all(cohort: Cohort, sources: list[Path]) -> Filed:
    """Copy what came in to its learner's folder by its seal; hold what cannot be placed for certain."""
    handed = Record(cohort.record)
    inbox = Inbox(sources, set(handed.learners))
    filed, known, held = 0, 0, []
    for came in inbox.notebooks():
        reason = _place(cohort, handed, came)
        if reason == "filed":
            filed += 1
        elif reason == "known":
            known += 1
        else:
            held.append(f"{came.where}: {reason}; held in {_hold(cohort, came)}")
    return Filed(filed, known, (*held, *inbox.unread), tuple(inbox.others))


def _place(cohort: Cohort, handed: Record, came: Came) -> str:
    """File one notebook and return "filed" or "known", or say in a few words why it is held."""
    try:
        notebook = submission.parse(came.content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        return "is not UTF-8 text"
    except submission.Broken as error:
        return str(error)
    ours = notebook["metadata"].get(printer.METADATA_KEY, {})
    key = tuple(ours.get(name) for name in ("learner", "topic", "exercise"))
    if not all(isinstance(word, str) for word in key) or not ours.get("seal"):
        return "has no seal of a handout"
    one = handed.find(*key)
    if one is None:
        return "was not handed out by this cohort"
    if ours["seal"] != one.seal:
        return f"has a seal that is not the one of {one.learner}'s handout"
    if came.sender and came.sender != one.learner:
        return f"came from {came.sender} and is sealed as {one.learner}'s"
    return "filed" if _file(cohort, one, came.content, came.when) else "known"


def _file(cohort: Cohort, one: Handed, content: bytes, when: datetime) -> bool:
    """Put a notebook in its place; what was there before is kept beside. Return False if it was there already.

    One that is older than what is there is kept beside too, and changes nothing. The newest file's time is what
    nbgrader takes for the time of the hand-in.
    """
    path = cohort.submitted(one.learner, one.topic) / f"{one.notebook}.ipynb"
    if path.is_file():
        before = path.read_bytes()
        if before == content:
            return False
        if when < changed(path):
            _keep_beside(cohort, one, content)
            return False
        _keep_beside(cohort, one, before)
    write_whole(path, content)
    seconds = when.replace(tzinfo=UTC).timestamp()
    os.utime(path, (seconds, seconds))
    before = arrival.handed_in(cohort, one.learner, one.topic)
    newest = max(when, before) if before else when
    write_whole(path.with_name("timestamp.txt"), newest.strftime("%Y-%m-%d %H:%M:%S UTC") + "\n")
    return True


def _keep_beside(cohort: Cohort, one: Handed, content: bytes) -> None:
    kept = cohort.root / "submitted_before" / one.learner / one.topic
    write_whole(kept / f"{one.notebook}.{hashlib.sha256(content).hexdigest()[:10]}.ipynb", content)


def _hold(cohort: Cohort, came: Came) -> Path:
    """Keep a copy of what cannot be placed, under a name that cannot lead anywhere, and return it."""
    name = re.sub(r"[^A-Za-z0-9._-]+", "_", Path(came.where).name)[-80:]
    path = cohort.root / "held" / f"{hashlib.sha256(came.content).hexdigest()[:10]}-{name}"
    if not path.is_file():
        write_whole(path, came.content)
    return path.relative_to(cohort.root)
