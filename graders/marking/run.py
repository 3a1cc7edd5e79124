"""Mark a whole cohort: what is new or changed, into the gradebook, the journal and marks.csv."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from graders import gradebook
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.gradebook import hand_copy
from graders.gradebook.book import Marked, Refused
from graders.gradebook.manual_marks import ByPart
from graders.judging.marks import Row
from graders.marking import totals
from graders.marking.journal import AT_FAULT, Journal, Result
from graders.marking.marks_csv import Marks
from graders.marking.plan import planned
from graders.marking.pool import Pool
from graders.marking.sharing import Item
from graders.questions.verdicts import VOIDED
from graders.runner.job import Limits
from workbook.terminal import printable

CHUNK = 20
"""Learner-topics written to the gradebook and the journal together."""


@dataclass(frozen=True)
class Summary:
    """What a marking run did. ``marked`` and ``not_handed_in`` are (learner, topic)."""

    marked: tuple[tuple[str, str], ...]
    unchanged: int
    not_handed_in: tuple[tuple[str, str], ...]
    problems: tuple[str, ...]
    why: dict[str, int]
    """How much was marked for which reason."""
    asked_otherwise: dict[str, str]
    """Exercises that this version asks differently, whose marks stand as they were, and the version that asked so."""
    marks: Marks
    """The marks as they stand now."""


OnMarks = Callable[[list[Row], dict[str, dict[tuple[str, str], float]]], None]
"""Takes a learner's rows as they stand now, and of each topic that came to other marks than before what the judge gave
before, by exercise and part; nothing where it is new.
"""


def mark(
    cohort: Cohort,
    pool: Pool,
    topics: Sequence[str] = (),
    only: Sequence[str] = (),
    limits: Limits = Limits(),
    on_progress: Callable[[int, int, str], None] = lambda done, of, who: None,
    anew: bool = False,
    on_marks: OnMarks = lambda rows, before: None,
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
    on_progress : callable
        Called with (done, of, "learner / topic") as the work goes on.
    anew : bool
        Mark everything anew, changed or not.
    on_marks : callable
        Called at the end with the marks of every learner in turn, as they are written into marks.csv.
    """
    record, before = HandoutRecord(cohort.record), Journal(cohort.journal)
    before.compact()
    settings = cohort.settings()
    settings.validate({(topic, exercise) for topic, exercise, *_ in record.editions}, record.learners)
    book = gradebook.of(cohort)
    anew = book.make_whole([topic for topic in settings.topics if topic in record.topics]) or anew
    had = book.marked()
    wanted = [slug for slug in settings.topics if not topics or slug in topics]
    learners = [learner for learner in record.learners if not only or learner in only]
    plan = planned(cohort, settings, record, before, learners, wanted, anew)
    marked: list[tuple[str, str]] = []
    problems: list[str] = []
    changed: dict[str, dict[str, int | None]] = {}
    with book.marking() as write:
        for chunk in _chunks(pool.marked(cohort, len(plan.todo), plan.jobs(record, before), limits), CHUNK):
            keys = [(result.learner, result.topic) for result, _ in chunk]
            known, places = {key: before.get(key) for key in keys}, {key: before.place(key) for key in keys}
            done = _written(write, chunk, known)
            before.append(done)
            for result in done:
                key = result.learner, result.topic
                was = known[key]
                if was is None or was.rows != result.rows:
                    changed.setdefault(result.learner, {})[result.topic] = places[key]
                marked.append(key)
                problems += result.problems
                on_progress(len(marked), len(plan.todo), f"{result.learner} / {result.topic}")
    hand_copy.bring_back(cohort, book, had)
    hand_copy.keep(cohort, book)
    marks = Marks(cohort, record, before, book.by_hand())
    totals.write(cohort, _passing(marks, changed, on_marks))
    problems += _strangers(cohort, set(record.learners))
    return Summary(
        tuple(marked), plan.unchanged, plan.not_handed_in, tuple(problems), dict(plan.why), plan.asked_otherwise, marks
    )


def _passing(marks: Marks, changed: dict[str, dict[str, int | None]], on_marks: OnMarks) -> Iterator[Row]:
    """Yield all rows as they stand now, and show them on the way, a learner's at a time."""
    for learner, rows in marks.by_learner():
        places = changed.get(learner, {}).items()
        on_marks(rows, {topic: {} if place is None else _points(marks.journal.at(place)) for topic, place in places})
        yield from rows


def _points(before: Result | None) -> dict[tuple[str, str], float]:
    """Return the judge's points by exercise and part."""
    return {(row.exercise, row.part): row.points for row in before.rows} if before else {}


def _written(
    write: Callable[[Sequence[Marked]], Sequence[ByPart]],
    chunk: Sequence[tuple[Result, Marked]],
    known: Mapping[tuple[str, str], Result | None],
) -> list[Result]:
    """Write some marks into the gradebook, and return their results with what marks by hand were given for.

    ``known`` is what each came to before. What the gradebook does not take of a topic costs that topic only: it is
    said, and tried again next time.
    """
    try:
        given = write([_beside(marked, known[result.learner, result.topic]) for result, marked in chunk])
    except Refused as why:
        if len(chunk) > 1:
            return [result for one in chunk for result in _written(write, [one], known)]
        ((result, _),) = chunk
        was = known[result.learner, result.topic]
        line = printable(f"{result.learner} / {result.topic} / needs a look, the gradebook did not take it ({why})")
        problems = (*result.problems, line)
        return [replace(result, problems=problems, digest=AT_FAULT, given=was.given if was else {})]
    return [
        _with_given(result, by_part, known[result.learner, result.topic])
        for (result, _), by_part in zip(chunk, given, strict=True)
    ]


def _beside(marked: Marked, before: Result | None) -> Marked:
    """Return what goes into the gradebook with what stood there when it was last marked."""
    if before is None:
        return marked
    voided = frozenset((row.exercise, row.part) for row in before.rows if row.verdict in VOIDED)
    return replace(marked, bases_before=before.bases, given_before=before.given, voided_before=voided)


def _with_given(result: Result, given: ByPart, noted: Result | None) -> Result:
    """Return a result with what its marks by hand were given for; of exercises that stand, as it was noted."""
    stood = {name: parts for name, parts in noted.given.items() if name not in result.judged} if noted else {}
    return replace(result, given=stood | given)


def _strangers(cohort: Cohort, learners: set[str]) -> tuple[str, ...]:
    folder = cohort.root / "submitted"
    found = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    return tuple(
        f"{name}: no learner of this cohort; the folder is left as it is" for name in found if name not in learners
    )


def _chunks(items: Iterator[Item], size: int) -> Iterator[list[Item]]:
    chunk: list[Item] = []
    for item in items:
        chunk.append(item)
        if len(chunk) == size:
            yield chunk
            chunk = []
    if chunk:
        yield chunk
