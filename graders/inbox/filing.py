"""File what comes in by its seal, not by its name: never guessed, and nothing is lost that was there before."""

import os
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from graders.cohort import arrival, clock, faults
from graders.cohort.files import digest, to_disk, write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.inbox import accepted
from graders.inbox.search import Came, Search, changed
from graders.notebooks import printer, submission
from graders.notebooks.answered import answers
from workbook.problems import Problem

QUARANTINE = "held"
"""The folder of what cannot be placed, as version 0.1.0 named it."""
NOTEBOOK = "give a notebook (.ipynb) as it came, out of its archive"
ALTHOUGH = "look whose it is; where you are certain, add --although-sealed-for-another"
MOST_TOLD = 10
"""Notebooks of one archive of which the same is said one by one."""
MOST_QUARANTINED = 1_000_000
MOST_OF_NO_NOTEBOOK = 100_000
MOST_QUARANTINED_OF_ALL = 50_000_000
"""Bytes that are copied: of one notebook, of what cannot be read as one, and of all that came in together. The rest
stays where it is, and is said."""


@dataclass
class Filed:
    """What became of the files that came in: how many were filed, known already or set aside, and lines for the rest.

    ``quarantined`` could not be placed for certain; ``aside`` would have replaced something better; ``replaced`` did
    replace an earlier file, which is kept; ``late`` came after its due time; ``unread`` needs a look. ``others`` are
    files that are no notebooks. ``held`` were held before, and are not told again.
    """

    filed: int = 0
    known: int = 0
    set_aside: int = 0
    held: int = 0
    quarantined: list[str] = field(default_factory=list)
    aside: list[str] = field(default_factory=list)
    replaced: list[str] = field(default_factory=list)
    late: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    others: list[str] = field(default_factory=list)


class Doubtful(Exception):
    """A notebook that cannot be placed for certain, said in a few words."""

    most = MOST_QUARANTINED


class _NoNotebook(Doubtful):
    """A file that is named as a notebook and cannot be read as one."""

    most = MOST_OF_NO_NOTEBOOK


def file_all(cohort: Cohort, sources: Sequence[Path], received: datetime | None = None) -> Filed:
    """Copy what came in to its learner's folder by its seal; set aside what cannot be placed for certain.

    Parameters
    ----------
    cohort : Cohort
    sources : sequence of Path
        Files, folders and archives.
    received : datetime, optional
        When all of it came, in UTC without saying so; without, as archives and files' clocks say.
    """
    return _Filing(cohort, received).all(sources)


def accept(
    cohort: Cohort, file: Path, one: Handed, received: datetime | None = None, although_anothers: bool = False
) -> Filed:
    """Take a notebook for a learner's exercise because an instructor says so.

    It counts from now on; what was there before is kept beside. The same file, come again, is known for that learner's.

    Raises
    ------
    Problem
        For a file that is no notebook, and for a notebook without any answer of that exercise. And without
        ``although_anothers`` for one with the seal of another learner's handout, or accepted for another place before.
    """
    return _Filing(cohort, received).accept(file, one, although_anothers)


def file_entered(
    cohort: Cohort, notebooks: Sequence[tuple[Handed, bytes]], where: str, received: datetime | None = None
) -> Filed:
    """File notebooks that an instructor filled in, by the same rules as what comes in.

    ``where`` is what their origin is called; without ``received`` they come now.
    """
    return _Filing(cohort, received).entered(notebooks, where)


def settle_copies(cohort: Cohort) -> Filed:
    """Bring copies in the folders of what was submitted to one file an exercise, under its own name.

    A notebook under another name, with the seal of that learner's handout, takes its place where nothing is there, or
    where it has more answers, or as many and newer; else it is kept beside, as everything is that is replaced.
    """
    return _Filing(cohort, None).settle_all()


class _Filing:
    """One time of filing what came in."""

    def __init__(self, cohort: Cohort, received: datetime | None):
        self.cohort, self.received, self.filed = cohort, received, Filed()
        self.handed = HandoutRecord(cohort.record)
        self.timezone = cohort.settings().timezone
        self.room = MOST_QUARANTINED_OF_ALL
        self.touched: dict[tuple[str, str], None] = {}
        self.told: Counter[tuple[str, str]] = Counter()
        self.accepted = accepted.read(cohort.accepted)
        self.held_before = set((cohort.root / QUARANTINE).glob("*"))

    def all(self, sources: Sequence[Path]) -> Filed:
        made = changed(self.cohort.root / "cohort.key") - timedelta(days=1)
        search = Search(list(sources), set(self.handed.learners), self.cohort.root, made, self.received)
        for came in search.notebooks():
            try:
                self._one(came)
            except Exception as error:  # whatever is wrong with one notebook costs that one only
                if faults.is_everybodys(error):
                    raise
                self._tell("unread", came, f"{came.where}: could not be filed ({faults.words(error)})")
        self._tell_how_many_more()
        self.filed.unread += search.unread
        self.filed.unread += self._ahead(search)
        self.filed.others += search.others
        return self._whole()

    def _ahead(self, search: Search) -> list[str]:
        """Say in a line whose clock is ahead."""
        if not search.ahead:
            return []
        file, when = next(iter(search.ahead.items()))
        more = f", and of {len(search.ahead) - 1} more" if len(search.ahead) > 1 else ""
        said = f"{file}: its clock says {clock.words(when, self.timezone)}, which is still to come{more}"
        return [f"{said}; taken as come now. Where it came earlier, mark it again with --received TIME"]

    def accept(self, file: Path, one: Handed, although_anothers: bool) -> Filed:
        if file.is_symlink() or not file.is_file():
            raise Problem(f"{file} is no file.", NOTEBOOK)
        if file.stat().st_size > submission.MOST_BYTES:
            raise Problem(f"{file} is too large for a notebook.", NOTEBOOK)
        content = file.read_bytes()
        try:
            notebook = submission.parse(content.decode("utf-8-sig"))
        except (UnicodeDecodeError, submission.Broken) as error:
            why = "is not UTF-8 text" if isinstance(error, UnicodeDecodeError) else str(error)
            raise Problem(f"{file} {why}.", NOTEBOOK) from None
        if not answers(notebook, one.topic, one.exercise):
            raise Problem(f"{file} holds no answer of {one.topic}/{one.exercise}.", "look at the exercise's name")
        if not although_anothers:
            self._refuse_anothers(file, content, notebook, one)
        accepted.append(self.cohort.accepted, content, (one.learner, one.topic, one.exercise), file.name)
        came = Came(str(file), (one.learner,), content, self.received or changed(file))
        path = self.cohort.submitted(one.learner, one.topic) / f"{one.notebook}.ipynb"
        before = path.read_bytes() if path.is_file() else None
        if before is not None and before != content:
            kept = self._beside(one, before)
            write_whole(kept, before, on_disk=True)
            self._tell("replaced", came, self._by(one, came, kept))
        self._put(one, path, came)
        self._whole()
        if file.resolve().parent == (self.cohort.root / QUARANTINE).resolve():
            file.unlink()  # it is in its place now, and known
        return self.filed

    def _refuse_anothers(self, file: Path, content: bytes, notebook: dict, one: Handed) -> None:
        """Raise Problem for a notebook that is another learner's by its seal, or by what was accepted before."""
        sealed = self.handed.find(*_sealed_as(notebook))
        if sealed and sealed.learner != one.learner and _seal(notebook) == sealed.seal:
            raise Problem(f"{file} has the seal of {sealed.learner}'s handout, and was not taken.", ALTHOUGH)
        said = self.accepted.get(digest(content))
        if said and said != (one.learner, one.topic, one.exercise):
            raise Problem(f"{file} was accepted as {'/'.join(said)} before, and was not taken.", ALTHOUGH)

    def entered(self, notebooks: Sequence[tuple[Handed, bytes]], where: str) -> Filed:
        for one, content in notebooks:
            came = Came(where, (one.learner,), content, self.received or clock.now().replace(microsecond=0))
            self._file(one, submission.parse(content.decode()), came)
        return self._whole()

    def _whole(self) -> Filed:
        """See what was filed on the disk, before a mark says that it came; and return what became of it all."""
        to_disk(self.cohort.root)
        self.filed.late += filter(None, (self._late(*place) for place in self.touched))
        return self.filed

    def settle_all(self) -> Filed:
        for learner in self.handed.learners:
            for topic, handed in self.handed.by_topic(learner).items():
                names = {one.notebook for one in handed}
                folder = self.cohort.submitted(learner, topic)
                for path in arrival.notebooks(folder) if folder.is_dir() else ():
                    if path.stem not in names and path.is_file() and not path.is_symlink():
                        try:
                            self._settle(learner, path)
                        except Exception as error:  # as of a file that may not be read: it costs itself only
                            if faults.is_everybodys(error):
                                raise
                            self.filed.unread.append(f"{self._in_cohort(path)}: not settled ({faults.words(error)})")
        return self.filed

    def _settle(self, learner: str, path: Path) -> None:
        """Bring one copy to where it belongs. One that cannot be placed for certain stays, and marking says so."""
        content = path.read_bytes() if path.stat().st_size <= submission.MOST_BYTES else b""
        came = Came(path.name, (learner,), content, changed(path))
        try:
            one, notebook = self._owner(came)
        except Doubtful:
            return
        place = self.cohort.submitted(one.learner, one.topic) / f"{one.notebook}.ipynb"
        before = place.read_bytes() if place.is_file() else None
        if before is None or (before != content and self._replaces(one, notebook, came, place, before)):
            place.parent.mkdir(parents=True, exist_ok=True)
            os.replace(path, place)
            self.filed.filed += 1
        else:
            path.unlink()

    def _one(self, came: Came) -> None:
        try:
            one, notebook = self._owner(came)
        except Doubtful as reason:
            if self._held_as(came) in self.held_before:
                self.filed.held += 1
            else:
                self._tell("quarantined", came, f"{came.where}: {reason}; {self._quarantine(came, reason.most)}")
        else:
            self._file(one, notebook, came)

    def _tell(self, what: str, came: Came, line: str) -> None:
        """Say something of a notebook; of one archive only so often, and then how many more."""
        self.told[what, came.archive] += 1
        self.filed.set_aside += what in ("quarantined", "aside")
        if not came.archive or self.told[what, came.archive] <= MOST_TOLD:
            getattr(self.filed, what).append(line)

    def _tell_how_many_more(self) -> None:
        for (what, archive), many in self.told.items():
            if archive and many > MOST_TOLD:
                getattr(self.filed, what).append(f"{archive}: and {many - MOST_TOLD} more notebooks in it like these")

    def _owner(self, came: Came) -> tuple[Handed, dict]:
        """Return whose handout a notebook is, and the notebook, or raise Doubtful."""
        notebook = parsed(came.content)
        said = self.accepted.get(digest(came.content))
        taken = self.handed.find(*said) if said else None
        if taken:
            return taken, notebook
        one = sealed(self.handed, notebook)
        if len(came.named) > 1:
            raise Doubtful(f"came by a way that names {' and '.join(came.named)}, and is sealed as {one.learner}'s")
        if came.named not in ((), (one.learner,)):
            raise Doubtful(f"came from {came.named[0]} and is sealed as {one.learner}'s")
        return one, notebook

    def _file(self, one: Handed, notebook: dict, came: Came) -> None:
        """Put a notebook in its place, or set it aside. What was there before is kept beside either way."""
        path = self.cohort.submitted(one.learner, one.topic) / f"{one.notebook}.ipynb"
        before = path.read_bytes() if path.is_file() else None
        if before == came.content:
            self.filed.known += 1
            if self.received:
                self._put(one, path, came)
            return
        if before is not None and not self._replaces(one, notebook, came, path, before):
            return
        self._put(one, path, came)
        self.filed.filed += 1

    def _replaces(self, one: Handed, notebook: dict, came: Came, path: Path, before: bytes) -> bool:
        """Decide which of two files counts, keep the other beside, and say so. Return whether the new one counts."""
        what, then = f"{one.learner} / {one.topic} / {one.exercise}", changed(path)
        reason = _stays(one, before, notebook, then, came.when, self.timezone)
        kept = self._beside(one, came.content)
        if kept.is_file() and (reason or came.when == then):
            self.filed.known += 1
        elif reason:
            write_whole(kept, came.content, on_disk=True)
            self._tell("aside", came, f"{what}: {came.where} {reason}; set aside in {self._in_cohort(kept)}")
        else:
            kept = self._beside(one, before)
            write_whole(kept, before, on_disk=True)
            self._tell("replaced", came, self._by(one, came, kept))
            return True
        return False

    def _by(self, one: Handed, came: Came, kept: Path) -> str:
        what = f"{one.learner} / {one.topic} / {one.exercise}"
        return f"{what}: by {came.where}; the earlier file is kept in {self._in_cohort(kept)}"

    def _in_cohort(self, path: Path) -> Path:
        return path.relative_to(self.cohort.root)

    def _beside(self, one: Handed, content: bytes) -> Path:
        kept = self.cohort.root / "submitted_before" / one.learner / one.topic
        return kept / f"{one.notebook}.{digest(content)[:10]}.ipynb"

    def _put(self, one: Handed, path: Path, came: Came) -> None:
        """Put a notebook in its place with the time it came. The newest of a topic is its hand-in for nbgrader.

        The topic's time is written first: cut off between the two, the same notebook, come again, is put there with it.
        """
        if self.received:
            others = (changed(each) for each in path.parent.glob("*.ipynb") if each != path and each.is_file())
            newest = max([came.when, *others])
        else:
            before = arrival.handed_in(self.cohort, one.learner, one.topic)
            newest = max(came.when, before) if before else came.when
        newest = min(newest, clock.now())  # whatever clock says so: nothing came later
        write_whole(path.with_name("timestamp.txt"), newest.strftime("%Y-%m-%d %H:%M:%S UTC") + "\n")
        write_whole(path, came.content, came.when)
        self.touched[one.learner, one.topic] = None

    def _late(self, learner: str, topic: str) -> str:
        """Say that a topic came late, or nothing."""
        settings, when = self.cohort.settings(), arrival.handed_in(self.cohort, learner, topic)
        if not settings.is_late(learner, topic, when):
            return ""
        return f"{learner} / {topic}: {settings.came_words(learner, topic, when)}"

    def _quarantine(self, came: Came, most: int) -> str:
        """Keep a copy of what cannot be placed, with the time it came, and say where it is."""
        path = self._held_as(came)
        if len(came.content) > min(most, self.room):
            return "too large to copy, it stays where it is"
        self.room -= len(came.content)
        write_whole(path, came.content, came.when)
        return f"held as {self._in_cohort(path)}"

    def _held_as(self, came: Came) -> Path:
        """Return where a copy of what cannot be placed is kept, under a name that cannot lead anywhere."""
        name = re.sub(r"[^A-Za-z0-9._-]+", "_", Path(came.where).name)[-80:]
        return self.cohort.root / QUARANTINE / f"{digest(came.content)[:10]}-{name}"


def parsed(content: bytes) -> dict:
    """Return the notebook in a file that came in, or raise Doubtful."""
    try:
        return submission.parse(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise _NoNotebook("is not UTF-8 text") from None
    except submission.Broken as error:
        raise _NoNotebook(str(error)) from None


def sealed(record: HandoutRecord, notebook: dict) -> Handed:
    """Return of which handout a notebook is by its seal, or raise Doubtful."""
    key = _sealed_as(notebook)
    if not all(key) or not _seal(notebook):
        raise Doubtful("has no seal of a handout")
    one = record.find(*key)
    if one is None:
        raise Doubtful("was not handed out by this cohort")
    if _seal(notebook) != one.seal:
        raise Doubtful(f"has a seal that is not the one of {one.learner}'s handout")
    return one


def _sealed_as(notebook: dict) -> tuple[str, str, str]:
    """Return learner, topic and exercise as a notebook says them, empty where it does not."""
    ours = notebook["metadata"].get(printer.METADATA_KEY, {})
    return tuple(ours.get(name, "") for name in ("learner", "topic", "exercise"))


def _seal(notebook: dict) -> str:
    return notebook["metadata"].get(printer.METADATA_KEY, {}).get("seal", "")


def _stays(one: Handed, before: bytes, notebook: dict, then: datetime, when: datetime, timezone: str) -> str:
    """Return in words why what is there stays, or nothing where the new one takes its place.

    More answers stand before fewer, whichever is newer; of two with as many, the newer one counts.
    """
    try:
        there = answers(submission.parse(before.decode("utf-8-sig")), one.topic, one.exercise)
        came = answers(notebook, one.topic, one.exercise)
    except (KeyError, UnicodeDecodeError, submission.Broken):
        there = came = 0
    if came < there:
        return f"has {came or 'no'} answer{'' if came == 1 else 's'}, and the file that is there has {there}"
    if came == there and when < then:
        here, earlier = clock.words(when, timezone), clock.words(then, timezone)
        return f"is older ({here}) than the file that is there ({earlier})"
    return ""
