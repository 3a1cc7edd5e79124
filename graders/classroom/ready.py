"""The cohort behind a classroom: who sits there, what is taken; and whether it is ready, asked as the instructor.

Run as a program it says in one line of JSON what the command that starts the hub must know, and makes the inbox.
"""

import json
import os
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, BinaryIO

from graders.classroom import hand_in, people
from graders.classroom.hand_in import Inbox
from graders.classroom.patience import Patience
from graders.classroom.people import Seat
from graders.cohort import clock
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from workbook.problems import Problem
from workbook.terminal import printable

COHORT, INBOX = "REWORK_COHORT", "REWORK_INBOX"
"""Names in the service's environment: the two folders."""
LOOKERS = 2
"""Parcels that are looked at side by side."""


class Classroom:
    """The cohort behind the service, read anew where it has changed."""

    def __init__(self, root: Path, inbox: Path):
        self.cohort, self.inbox, self.patience = Cohort.open(root), Inbox(inbox), Patience()
        self.lookers = ThreadPoolExecutor(LOOKERS)
        self._read: tuple[tuple[int, ...], HandoutRecord, dict[str, Seat]] | None = None

    @classmethod
    def of_environment(cls) -> "Classroom":
        """Return the classroom whose two folders the environment names."""
        return cls(Path(os.environ[COHORT]), Path(os.environ[INBOX]))

    def state(self) -> tuple[HandoutRecord, dict[str, Seat]]:
        """Return the record, and who sits here by the hub's name; or raise Problem."""
        seen = tuple(path.stat().st_mtime_ns for path in (self.cohort.record, self.cohort.roster))
        if self._read is None or self._read[0] != seen:
            record = HandoutRecord(self.cohort.record)
            self._read = seen, record, people.of(self.cohort, record)
        return self._read[1], self._read[2]

    def take(self, learner: str, file: BinaryIO) -> dict[str, str]:
        """Look at a parcel and keep what is sound; return the receipt. Or raise NotDone."""
        record, _ = self.state()
        file.seek(0)
        parcel = hand_in.look(record, learner, file)
        kept = self.inbox.keep(learner, parcel, clock.now().replace(microsecond=0))
        said = hand_in.words(kept, parcel, learner, self.cohort.settings())
        return {"say": said, "digest": kept.receipt.digest}


def ready(room: Classroom) -> dict[str, Any]:
    """Return what the command that starts the hub must know of a cohort; make the inbox. Or raise Problem."""
    _, seats = room.state()
    if not seats:
        raise Problem("no learner of this cohort has a handout.", "hand out first: graders handout ROSTER --to COHORT")
    room.cohort.settings()
    for place in (room.cohort.root, room.inbox.root):
        if place.exists() and place.stat().st_mode & 0o077:
            raise Problem(f"other users of this machine can look into {place}.", f"run: chmod 700 {place}")
    room.inbox.root.mkdir(mode=0o700, exist_ok=True)
    return {
        "title": room.cohort.settings().title,
        "learners": [{"hub": seat.hub, "id": seat.learner, "name": seat.name} for seat in seats.values()],
    }


def main() -> None:
    """Say whether all is ready, or in two lines what is not."""
    try:
        print(json.dumps(ready(Classroom.of_environment())))
    except Problem as problem:
        print(printable(f"ERROR  {problem}"), printable(f"TIP    {problem.tip}"), sep="\n", file=sys.stderr)
        sys.exit(1)


if __name__ == "__main__":
    main()
