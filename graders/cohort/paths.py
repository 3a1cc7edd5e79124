"""A cohort's folder, which is also an nbgrader course: where things are."""

import contextlib
import os
import re
import secrets
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock, Timeout

from graders.cohort import settings
from graders.sheets import own
from workbook.paths import resolved
from workbook.problems import Problem
from workbook.terminal import typed

SECRET_BYTES = 32
HANDED_OWN = re.compile(rb'"exercise": "(' + own.PREFIX.encode() + rb'[a-z0-9-]+)"')
"""An own exercise in a line of the record."""


@contextlib.contextmanager
def for_owner_only() -> Iterator[None]:
    """Let nobody else read what is written meanwhile."""
    before = os.umask(0o077)
    try:
        yield
    finally:
        os.umask(before)


@contextlib.contextmanager
def only_here(lock: Path, otherwise: str) -> Iterator[None]:
    """Hold a lock, or raise Problem with these words; what is written meanwhile is for its owner only."""
    try:
        with FileLock(lock, timeout=0), for_owner_only():
            yield
    except Timeout:
        raise Problem(otherwise, "wait for the other command to end") from None


@dataclass(frozen=True)
class Cohort:
    """A cohort's folder. ``policy``, where given, stands over what cohort.toml says of fresh numbers."""

    root: Path
    policy: str | None = None

    @classmethod
    def open(cls, root: Path) -> "Cohort":
        """Return the cohort in this folder, or raise Problem."""
        root = resolved(root)
        if not (root / "cohort.toml").is_file():
            raise Problem(
                f"{root} is no cohort folder: it has no cohort.toml.",
                f"make one with: graders handout ROSTER.csv --to {typed(root)}",
            )
        own.use(root)
        return cls(root)

    def refuse_wrong_sheets(self) -> None:
        """Raise Problem for an own sheet that cannot be read, or that is gone and was handed out."""
        for problem in own.use(self.root):
            raise problem
        known = {one.id for sheet in own.every(self.root) for one in sheet.exercises}
        for name in sorted(set(HANDED_OWN.findall(self.record.read_bytes() if self.record.is_file() else b""))):
            if name.decode() not in known:
                raise Problem(
                    f"{self.root / own.FOLDER} has no {name.decode()}, which was handed out.",
                    f"put its file back: graders restore BACKUP {typed(self.root)}",
                )

    def settings(self) -> settings.Settings:
        """Read cohort.toml, or raise Problem saying what to mend."""
        return settings.read(self.root, self.policy)

    @property
    def record(self) -> Path:
        return self.root / "record.jsonl"

    @property
    def roster(self) -> Path:
        return self.root / "learners.csv"

    @property
    def database(self) -> Path:
        return self.root / "gradebook.db"

    @property
    def journal(self) -> Path:
        return self.root / "marked.jsonl"

    @property
    def by_hand(self) -> Path:
        """The copy of marks by hand."""
        return self.root / "by_hand.jsonl"

    @property
    def accepted(self) -> Path:
        """What an instructor said of notebooks that could not be placed: whose they are."""
        return self.root / "accepted.jsonl"

    @property
    def entered(self) -> Path:
        """What an instructor entered from paper."""
        return self.root / "entered.jsonl"

    @property
    def marks(self) -> Path:
        return self.root / "report" / "marks.csv"

    @property
    def totals(self) -> Path:
        return self.root / "report" / "totals.csv"

    def paper(self, topic: str) -> Path:
        """Return the folder of a topic's sheets to print, one a learner."""
        return self.root / "paper" / topic

    def paper_table(self, topic: str) -> Path:
        """Return the table into which a topic's answers on paper can be typed: somebody's work, and kept."""
        return self.root / f"paper-{topic}.csv"

    def paper_key(self, topic: str) -> Path:
        """Return the instructor's key, apart from what learners are given."""
        return self.root / "report" / f"key-{topic}.html"

    @property
    def for_import(self) -> Path:
        """The table that a learning platform reads."""
        return self.root / "report" / "import.csv"

    def submitted(self, learner: str, topic: str) -> Path:
        return self.root / "submitted" / learner / topic

    def autograded(self, learner: str, topic: str) -> Path:
        return self.root / "autograded" / learner / topic

    def feedback(self, learner: str, topic: str) -> Path:
        return self.root / "feedback_pages" / learner / f"{topic}.html"

    def handout(self, learner: str) -> Path:
        return self.root / "handouts" / learner

    def handout_of(self, learner: str, topics: Sequence[str] = ()) -> Path:
        """Return the archive of all a learner was handed, or of the topics that came later. No id has a plus."""
        return self.root / "handouts" / f"{'+'.join((learner, *topics))}.zip"

    def feedback_of(self, learner: str) -> Path:
        """Return the archive of a learner's feedback pages."""
        return self.root / "feedback_pages" / f"{learner}.zip"

    @contextlib.contextmanager
    def locked(self) -> Iterator[None]:
        """Hold the cohort for one command at a time; the system lets go of it however the command ends.

        What is written meanwhile is for its owner only.
        """
        with only_here(self.root / ".marking.lock", f"{self.root} is being marked already, or handed out."):
            yield

    def secret(self) -> bytes:
        """Return the cohort's secret from cohort.key, or raise Problem."""
        path = self.root / "cohort.key"
        try:
            secret = bytes.fromhex(path.read_text(encoding="ascii").strip())
        except (OSError, ValueError):
            secret = b""
        if len(secret) < SECRET_BYTES:
            raise Problem(
                f"{path} is missing, cut off or damaged.", f"put it back: graders restore BACKUP {typed(self.root)}"
            )
        return secret

    def make_secret(self) -> None:
        """Write a new secret, readable by its owner only. Never overwrites one."""
        path = self.root / "cohort.key"
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(SECRET_BYTES) + "\n")


def inbox_beside(root: Path) -> Path:
    """Return where a classroom's learners hand in: beside the cohort, not in it.

    >>> inbox_beside(Path("terms/spring")).as_posix()
    'terms/spring-inbox'
    """
    return root.with_name(f"{root.name}-inbox")
