"""What is to be marked: what came new, what changed, and what would be judged otherwise now."""

import hashlib
import os
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from operator import attrgetter

from graders import sheets
from graders.cohort import arrival, faults, roster
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.cohort.settings import Settings
from graders.marking.journal import AT_FAULT, Journal
from graders.marking.mark_submission import Job
from graders.questions import editions

NEW, CHANGED, OTHERWISE, ANEW = "new", "changed", "judged otherwise now", "marked anew"
AGAIN = "tried again"
WRITTEN = "written again as it stands"
"""Why something is marked."""


@dataclass(frozen=True)
class Todo:
    """One learner's topic to mark: the hash of what came, and why it is marked."""

    learner: str
    topic: str
    digest: str
    why: str


@dataclass(frozen=True)
class Plan:
    """What is to be marked, how much stands as it was marked, what did not come, and what cannot be marked here.

    ``asked_otherwise`` are the exercises, as topic/exercise, that this version asks differently from what was handed
    out, each with the version that asked so.
    """

    todo: tuple[Todo, ...]
    unchanged: int
    not_handed_in: tuple[tuple[str, str], ...]
    asked_otherwise: dict[str, str] = field(default_factory=dict)

    @property
    def why(self) -> Counter[str]:
        """How much is marked for which reason."""
        return Counter(one.why for one in self.todo)

    def jobs(self, record: HandoutRecord, before: Journal) -> Iterator[Job]:
        """Yield the jobs one by one, each with what was handed out and with what stands as it was."""
        for learner, own in groupby(self.todo, key=attrgetter("learner")):
            handed = record.by_topic(learner)
            for one in own:
                markable = _markable(handed[one.topic], self.asked_otherwise)
                standing = tuple(each for each in handed[one.topic] if each not in markable)
                result = before.get((learner, one.topic)) if standing else None
                yield Job(learner, one.topic, markable, one.digest, standing, result)


def planned(
    cohort: Cohort,
    settings: Settings,
    record: HandoutRecord,
    before: Journal,
    learners: Sequence[str],
    topics: Sequence[str],
    anew: bool,
) -> Plan:
    """Return what is to be marked of these learners and topics: what is new or changed, or everything anew."""
    left = {one.id for one in roster.read(cohort.roster, may_be_empty=True) if one.left}
    otherwise = asked_otherwise(record)
    judged: dict[tuple[str, str], str] = {}
    todo, unchanged, missing = [], 0, []
    for learner in learners:
        for topic, handed in record.by_topic(learner).items():
            if topic not in topics:
                continue
            digest = _digest(cohort, settings, learner, topic, handed)
            markable = _markable(handed, otherwise)
            if digest is None:
                if learner not in left:
                    missing.append((learner, topic))
            else:
                if not markable:
                    why = WRITTEN if anew and before.digest((learner, topic)) else ""
                else:
                    why = ANEW if anew else _why(before, learner, topic, digest, markable, judged)
                unchanged += not why
                todo += [Todo(learner, topic, digest, why)] if why else []
    return Plan(tuple(todo), unchanged, tuple(missing), otherwise)


def _markable(handed: Sequence[Handed], otherwise: Mapping[str, str]) -> tuple[Handed, ...]:
    """Return what of some handouts this version can mark: all but what it asks otherwise."""
    return tuple(one for one in handed if f"{one.topic}/{one.exercise}" not in otherwise)


def _why(
    before: Journal,
    learner: str,
    topic: str,
    digest: str,
    markable: Sequence[Handed],
    judged: dict[tuple[str, str], str],
) -> str:
    """Return why a learner's topic is marked, or nothing where its marks stand."""
    key = learner, topic
    known = before.digest(key)
    if known == AT_FAULT:
        return AGAIN
    if known != digest:
        return CHANGED if known else NEW
    noted = before.judged(key)
    for one in markable:
        place = one.topic, one.exercise
        if place not in judged:
            judged[place] = editions.judged(sheets.find(*place))
        was = noted.get(one.exercise) or editions.judged_first(*place)
        if was != judged[place]:
            return OTHERWISE
    return ""


def asked_otherwise(record: HandoutRecord) -> dict[str, str]:
    """Return the exercises that this version asks differently from what was handed out, and which version asked so."""
    found = {}
    for topic, exercise, edition, version in sorted(record.editions):
        try:
            same = editions.asks_as_handed_out(sheets.find(topic, exercise), topic, edition)
        except KeyError:
            same = False
        if not same:
            found[f"{topic}/{exercise}"] = version
    return found


def _digest(cohort: Cohort, settings: Settings, learner: str, topic: str, handed: Sequence[Handed]) -> str | None:
    """Return the hash of what came; of what cannot be read, none that lasts: marking says what is wrong with it."""
    try:
        return digest_of(cohort, settings, learner, topic, handed)
    except Exception as error:
        if faults.is_everybodys(error):
            raise
        return AT_FAULT


def digest_of(cohort: Cohort, settings: Settings, learner: str, topic: str, handed: Sequence[Handed]) -> str | None:
    """Return a hash of everything a learner's marks in a topic follow from, or None where nothing came."""
    folder = cohort.submitted(learner, topic)
    if not folder.is_dir():
        return None
    digest = hashlib.sha256(_settings_digest(cohort, settings, learner, topic))
    digest.update(repr([(one.notebook, one.givens, one.edition) for one in handed]).encode())
    for path in arrival.notebooks(folder):
        digest.update(os.fsencode(path.name))
        if path.is_file() and not path.is_symlink():
            with path.open("rb") as file:
                digest.update(hashlib.file_digest(file, "sha256").digest())
    return digest.hexdigest()


def _settings_digest(cohort: Cohort, settings: Settings, learner: str, topic: str) -> bytes:
    void = [one for one in settings.void if one.topic == topic]
    times = (settings.late, settings.due.get(topic), settings.extensions.get((learner, topic)))
    return repr((settings.fresh_numbers, void, times, arrival.handed_in(cohort, learner, topic))).encode()
