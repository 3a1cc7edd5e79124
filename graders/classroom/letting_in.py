"""Who comes in at the hub's door: who sits in the classroom by the cohort's list, as it is when they log in."""

import asyncio
import os
import pwd
from pathlib import Path
from typing import Any

from jupyterhub.auth import PAMAuthenticator
from traitlets import Dict

from graders.classroom import opening
from graders.classroom.configuration import Room
from graders.cohort.paths import Cohort
from workbook.problems import Problem


class ByTheList(PAMAuthenticator):
    """PAM, and after the right password the list: read anew, as the instructor, for whoever was not on it before.

    Nobody is taken out while the hub runs: who has left can log in, and gets nothing of the cohort.
    """

    room = Dict(help="The classroom, as its configuration says it.").tag(config=True)
    reading = asyncio.Lock()
    seen: tuple[int, ...] = ()
    """How list and record were when they were last read here."""

    async def check_allowed(self, username: str, authentication: Any = None) -> bool:
        """Return whether somebody whose password was right may come in."""
        if super().check_allowed(username, authentication):
            return True
        async with self.reading:
            await asyncio.to_thread(self.read_anew)
        return username in self.allowed_users

    def read_anew(self) -> None:
        """Let in whoever was added, where list or record has changed since they were read."""
        room = Room(**self.room)
        cohort = Cohort(Path(room.cohort))
        try:
            now = tuple(os.stat(path).st_mtime_ns for path in (cohort.roster, cohort.record))
            if now == self.seen:
                return
            people = opening.asked_as_instructor(room, pwd.getpwnam(room.instructor))["learners"]
            added = {one["hub"]: one["name"] for one in people if one["hub"] not in self.allowed_users}
            for line in opening.accounts(tuple(added), added):
                self.log.warning(line)
        except (Problem, OSError, KeyError) as why:
            self.log.warning("The cohort's list could not be read anew: %s", why)
            return
        self.seen = now
        self.allowed_users |= set(added)
