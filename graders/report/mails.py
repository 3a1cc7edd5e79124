"""Mails ready to send, one file a learner, and a list of them: nothing is sent from here.

An ``.eml`` file (RFC 5322) opens in a mail program as a draft: ``X-Unsent`` tells those that know it so. The list has
the same in columns, for whoever sends by another way.
"""

import re
import shutil
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from email.message import EmailMessage
from email.policy import SMTP
from pathlib import Path

from graders.cohort import clock, roster, tables
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from workbook.problems import Problem
from workbook.terminal import in_shell, printable

ADDRESS_HEADS = ("email", "e-mail", "e_mail", "mail", "email_address", "e-mail_address")
ATOM = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
ADDRESS = re.compile(rf"{ATOM}(\.{ATOM})*@[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*")
"""An address as RFC 5322 writes it without quotes or comments."""
ENCODED_WORD = "=?"
"""How an encoded word begins."""

HANDOUTS, FEEDBACK = "handouts", "feedback"

BODIES = {
    HANDOUTS: (
        "{title}: your exercises",
        "Hello {name},\n\nyour exercises in your own numbers are in the attached file: {topics}.\n"
        "Save it and open it with:\n\n    workbook open {file}\n\n"
        "What you have worked on before stays as it is.\n",
    ),
    FEEDBACK: (
        "{title}: your feedback",
        "Hello {name},\n\nyour feedback is in the attached file: {topics}.\n"
        "Save it, unpack it, and open the pages in a browser.\n",
    ),
}
"""Subject and text of each kind of mail."""


@dataclass(frozen=True)
class MailsWritten:
    """What was written: where, how many mails, and who has a file and no address."""

    folder: Path
    mails: int
    without_address: tuple[str, ...]


def write(cohort: Cohort, kind: str, topics: Sequence[str] = ()) -> MailsWritten:
    """Write a mail for every learner who is there and has something to get, and the list of them.

    Parameters
    ----------
    cohort : Cohort
    kind : str
        `HANDOUTS` or `FEEDBACK`.
    topics : sequence of str
        Of handouts, those that hold these topics; the whole ones without.
    """
    folder = cohort.root / "mails" / kind
    record, title = HandoutRecord(cohort.record), cohort.settings().title
    files = _handouts(cohort, record, topics) if kind == HANDOUTS else _feedback(cohort)
    lines, without, to_write = [], [], []
    for learner in roster.read(cohort.roster, may_be_empty=True):
        file, held = files(learner.id) if not learner.left else (None, ())
        if file is None:
            continue
        to = address(learner)
        lines.append([learner.id, learner.name, to, file.relative_to(cohort.root).as_posix()])
        if to:
            to_write.append((learner, to, file, held))
        else:
            without.append(learner.id)
    shutil.rmtree(folder, ignore_errors=True)  # a mail of before must not be taken for one of now
    for learner, *what in to_write:
        write_whole(folder / f"{learner.id}.eml", _mail(kind, title, learner, *what))
    manner = cohort.settings().manner(roster.manner(cohort.roster))
    if lines:
        tables.write(folder / "list.csv", ("id", "name", "email", "file"), lines, manner)
    return MailsWritten(folder, len(to_write), tuple(without))


def address(learner: Learner) -> str:
    """Return a learner's address: of the list's column, or the id where that is one; nothing where there is none.

    >>> address(Learner("a1", "Åsa", others=(("E-Mail", "asa@example.org"),))), address(Learner("bo@example.org", "Bo"))
    ('asa@example.org', 'bo@example.org')
    """
    columns = {roster.plain(head): value for head, value in learner.others}
    there = [*(columns.get(head, "") for head in ADDRESS_HEADS), learner.id]
    return next((one for one in there if _is_one_address(one)), "")


def _is_one_address(words: str) -> bool:
    """Whether words are an address, and are read in a head as that one and no other.

    An encoded word of RFC 2047 (``=?utf-8?q?...?=``) is made of signs that an address may have, and becomes what it
    encodes, commas and further addresses too.
    """
    if not ADDRESS.fullmatch(words) or ENCODED_WORD in words:
        return False
    mail = EmailMessage(policy=SMTP)
    mail["To"] = words
    return [one.addr_spec for one in mail["To"].addresses] == [words]


Files = Callable[[str], tuple[Path | None, Sequence[str]]]
"""Gives a learner's file, None where there is none, and the topics it holds."""


def _handouts(cohort: Cohort, record: HandoutRecord, topics: Sequence[str]) -> Files:
    def of(learner: str) -> tuple[Path | None, Sequence[str]]:
        had = record.by_topic(learner)
        wanted = [topic for topic in topics if topic in had]
        whole = cohort.handout_of(learner)
        if topics and not wanted:
            return None, ()
        later = [path for path in whole.parent.glob(f"{learner}+*.zip") if set(wanted) <= _topics_in(path)]
        file = min(later, key=lambda path: len(_topics_in(path))) if wanted and later else whole
        held = [topic for topic in had if topic in _topics_in(file)] if file != whole else list(had)
        return (file, held) if file.is_file() else (None, ())

    return of


def _topics_in(archive: Path) -> set[str]:
    """Return the topics in the name of an archive of some."""
    return set(archive.stem.split("+")[1:])


def _feedback(cohort: Cohort) -> Files:
    settings, now = cohort.settings(), clock.now()

    def of(learner: str) -> tuple[Path | None, Sequence[str]]:
        file = cohort.feedback_of(learner)
        if not file.is_file():
            return None, ()
        try:
            with zipfile.ZipFile(file) as archive:
                held = [Path(name).stem for name in archive.namelist()]
        except (OSError, zipfile.BadZipFile):
            raise Problem(f"{file} is damaged.", f"pack it anew: graders report {in_shell(cohort.root)}") from None
        for topic in held:
            if not settings.gives_feedback(topic, now):
                raise Problem(
                    f"{file} holds feedback on {topic}, which goes to learners later.",
                    f"pack it anew: graders report {in_shell(cohort.root)}",
                )
        return file, held

    return of


def _line(words: str) -> str:
    """Return words of the list or of cohort.toml as they can stand in a head: one line that moves nothing."""
    return " ".join(printable(words).split())


def _mail(kind: str, title: str, learner: Learner, to: str, file: Path, topics: Sequence[str]) -> bytes:
    """Return a mail with its file as bytes. Names of every alphabet are written as RFC 2047 says."""
    subject, text = BODIES[kind]
    words = {"title": _line(title), "name": _line(learner.name), "topics": ", ".join(topics), "file": file.name}
    mail = EmailMessage(policy=SMTP)
    mail["To"], mail["Subject"], mail["X-Unsent"] = to, subject.format(**words), "1"
    mail.set_content(text.format(**words))
    mail.add_attachment(file.read_bytes(), maintype="application", subtype="zip", filename=file.name)
    return mail.as_bytes()
