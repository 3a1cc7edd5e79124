"""Mark a whole cohort: what is new or changed, into the gradebook, the journal and marks.csv."""

import csv
import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from operator import itemgetter

from graders import gradebook, sheets
from graders.cohort import arrival, roster
from graders.cohort.files import writing_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, Record
from graders.cohort.settings import Settings
from graders.gradebook import manual_marks
from graders.gradebook.book import Marked
from graders.handout import handing_out
from graders.judging import second_run
from graders.judging.marks import COLUMNS, NOT_HANDED_IN, VOIDED, Copied, Finding, Override, Row
from graders.marking import journal
from graders.marking.journal import Journal, Result
from graders.marking.mark_submission import Job
from graders.marking.pool import Pool
from graders.runner.job import Limits

CHUNK = 20
"""Learner-topics written to the gradebook and the journal together."""


@dataclass(frozen=True)
class Summary:
    """What a marking run did. ``marked`` and ``not_handed_in`` are (learner, topic)."""

    marked: tuple[tuple[str, str], ...]
    unchanged: int
    not_handed_in: tuple[tuple[str, str], ...]
    problems: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """What is to be marked, how much stands as it was marked, and what did not come."""

    jobs: tuple[tuple[str, str, str], ...]
    """Learner, topic, and the hash of what came."""
    unchanged: int
    not_handed_in: tuple[tuple[str, str], ...]


def mark(
    cohort: Cohort,
    pool: Pool,
    topics: Sequence[str] = (),
    only: Sequence[str] = (),
    limits: Limits = Limits(),
    told: Callable[[int, int, str], None] = lambda done, of, who: None,
) -> Summary:
    """Mark what was submitted and has changed since it was last marked.

    Parameters
    ----------
    cohort : Cohort
    pool : Pool
        Does the work, in this process or several.
    topics, only : sequence of str
        Restrict to these topics, to these learners; all without.
    limits : Limits
    told : callable
        Called with (done, of, "learner / topic") as the work goes on.
    """
    record, before = Record(cohort.record), Journal(cohort.journal)
    handing_out.check_editions(record.editions)
    settings = cohort.settings()
    settings.validate({(topic, exercise) for topic, exercise, _ in record.editions}, record.learners)
    anew = gradebook.of(cohort).make_whole(settings.topics)
    wanted = [slug for slug in settings.topics if not topics or slug in topics]
    learners = [learner for learner in record.learners if not only or learner in only]
    plan = planned(cohort, settings, record, before, learners, wanted, anew)
    marked, problems = [], []
    with gradebook.of(cohort).marking() as write:
        for chunk in _chunks(pool.marked(cohort, len(plan.jobs), _jobs(record, plan), limits), CHUNK):
            given = write([_beside(marked, before.get((result.learner, result.topic))) for result, marked in chunk])
            done = [replace(result, given=by_part) for (result, _), by_part in zip(chunk, given, strict=True)]
            journal.append(cohort.journal, done)
            for result in done:
                marked.append((result.learner, result.topic))
                problems += result.problems
                told(len(marked), len(plan.jobs), f"{result.learner} / {result.topic}")
    write_marks(cohort, each_row_now(cohort))
    problems += _strangers(cohort, set(record.learners))
    return Summary(tuple(marked), plan.unchanged, plan.not_handed_in, tuple(problems))


def planned(
    cohort: Cohort,
    settings: Settings,
    record: Record,
    before: Journal,
    learners: Sequence[str],
    topics: Sequence[str],
    anew: bool = False,
) -> Plan:
    """Return what is to be marked of these learners and topics: what is new or changed, or everything anew."""
    left = {one.id for one in roster.read(cohort.roster) if one.left}
    jobs, unchanged, missing = [], 0, []
    for learner in learners:
        for topic, handed in record.by_topic(learner).items():
            if topic not in topics:
                continue
            digest = digest_of(cohort, settings, learner, topic, handed)
            if digest is None:
                if learner not in left:
                    missing.append((learner, topic))
            elif not anew and before.digest((learner, topic)) == digest:
                unchanged += 1
            else:
                jobs.append((learner, topic, digest))
    return Plan(tuple(jobs), unchanged, tuple(missing))


def _jobs(record: Record, plan: Plan) -> Iterator[Job]:
    """Yield the jobs of a plan one by one, each with what was handed out."""
    for learner, own in groupby(plan.jobs, key=itemgetter(0)):
        handed = record.by_topic(learner)
        for _, topic, digest in own:
            yield Job(learner, topic, handed[topic], digest)


def _beside(marked: Marked, before: Result | None) -> Marked:
    """Return what goes into the gradebook with what stood there when it was last marked."""
    if before is None:
        return marked
    voided = frozenset((row.exercise, row.part) for row in before.rows if row.verdict in VOIDED)
    return replace(marked, bases_before=before.bases, given_before=before.given, voided_before=voided)


def _strangers(cohort: Cohort, learners: set[str]) -> tuple[str, ...]:
    folder = cohort.root / "submitted"
    found = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    return tuple(
        f"{name}: no learner of this cohort; the folder is left as it is" for name in found if name not in learners
    )


def digest_of(cohort: Cohort, settings: Settings, learner: str, topic: str, handed: Sequence[Handed]) -> str | None:
    """Return a hash of everything a learner's marks in a topic follow from, or None where nothing came."""
    folder = cohort.submitted(learner, topic)
    if not folder.is_dir():
        return None
    digest = hashlib.sha256(_settings_digest(cohort, settings, learner, topic))
    digest.update(repr([(one.notebook, one.givens, one.edition) for one in handed]).encode())
    for path in sorted(folder.glob("*.ipynb")):
        digest.update(path.name.encode())
        if path.is_file() and not path.is_symlink():
            with path.open("rb") as file:
                digest.update(hashlib.file_digest(file, "sha256").digest())
    return digest.hexdigest()


def _settings_digest(cohort: Cohort, settings: Settings, learner: str, topic: str) -> bytes:
    void = [one for one in settings.void if one.topic == topic]
    times = (settings.late, settings.due.get(topic), settings.extensions.get((learner, topic)))
    return repr((settings.fresh_numbers, void, times, arrival.handed_in(cohort, learner, topic))).encode()


def _chunks(items: Iterator, size: int) -> Iterator[list]:
    chunk = []
    for item in items:
        chunk.append(item)
        if len(chunk) == size:
            yield chunk
            chunk = []
    if chunk:
        yield chunk


def rows_now(cohort: Cohort) -> list[Row]:
    """Return the marks of everyone, with what was given by hand in the formgrader standing over ours."""
    return list(each_row_now(cohort))


def each_row_now(cohort: Cohort) -> Iterator[Row]:
    """Yield these marks learner by learner, so that not all of them are in memory."""
    marks = gradebook.of(cohort).by_hand()
    return manual_marks.over(_each_row(cohort), marks, _under(marks, cohort))


def overrides(cohort: Cohort) -> list[Override]:
    """Return the marks by hand that stand over another automatic mark than the one they were given over."""
    marks = gradebook.of(cohort).by_hand()
    results = _under(marks, cohort)
    return list(manual_marks.overrides((row for result in results.values() for row in result.rows), marks, results))


def _under(marks: dict[tuple, manual_marks.ManualMark], cohort: Cohort) -> dict[tuple[str, str], Result]:
    """Return what the journal holds of every learner's topic that has something given by hand."""
    marked = Journal(cohort.journal) if marks else {}
    found = {key: marked.get(key) for key in {(learner, topic) for learner, topic, _, _ in marks}}
    return {key: result for key, result in found.items() if result}


def all_rows(cohort: Cohort) -> list[Row]:
    """Return the marks of everyone, with a row for every part not handed in by those who are still there."""
    return list(_each_row(cohort))


def _each_row(cohort: Cohort) -> Iterator[Row]:
    marked, record, there = Journal(cohort.journal), Record(cohort.record), names(cohort)
    for learner in record.learners:
        for topic, handed in record.by_topic(learner).items():
            result = marked.get((learner, topic))
            if result:
                yield from result.rows
            elif learner in there:
                for one in handed:
                    yield from _not_handed_in(one)


def _not_handed_in(one: Handed) -> list[Row]:
    parts = sheets.find(one.topic, one.exercise).parts
    missing = 0.0, NOT_HANDED_IN, NOT_HANDED_IN
    return [
        Row(one.learner, one.topic, one.exercise, part.name, missing[0], part.points, *missing[1:], "")
        for part in parts
    ]


def all_findings(cohort: Cohort) -> list[Finding]:
    """Return what the second runs with fresh numbers showed."""
    return [finding for result in Journal(cohort.journal) for finding in result.findings]


def all_copied(cohort: Cohort) -> list[Copied]:
    """Return the answers that are wrong for their learner and right for someone else."""
    everyone = {}
    for result in Journal(cohort.journal):
        for exercise, key in result.keys.items():
            numbers = result.numbers[exercise]
            wrong = tuple(
                row.part
                for row in result.rows
                if row.exercise == exercise and row.verdict == "not right" and row.part in numbers
            )
            own = second_run.LearnerAnswers(result.learner, numbers, wrong, key)
            everyone.setdefault((result.topic, exercise), []).append(own)
    return [
        found
        for (topic, exercise), own in everyone.items()
        for found in second_run.copied(topic, sheets.find(topic, exercise), own)
    ]


def write_marks(cohort: Cohort, rows: Iterable[Row]) -> None:
    """Write marks.csv."""
    with writing_whole(cohort.marks) as file:
        file.write("\ufeff")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        for row in rows:
            writer.writerow([_cell(value) for value in row.as_tuple()])


def _cell(value):
    """Return a value as a spreadsheet may safely read it: text that looks like a formula is quoted."""
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return "'" + value
    return value


def names(cohort: Cohort) -> dict[str, str]:
    """Return the names of those who are still with the cohort, by id."""
    return {learner.id: learner.name for learner in roster.read(cohort.roster) if not learner.left}
