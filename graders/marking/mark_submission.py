"""Mark one learner's topic: read what came, run it contained, judge it, and write its safe copies.

Whatever goes wrong on the way costs that notebook, or that topic, and is one line of it that needs a look; what goes
wrong for everybody ends the marking.
"""

import json
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from graders import sheets
from graders.cohort import arrival, entered, faults
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed
from graders.cohort.settings import Settings
from graders.gradebook import manual_marks
from graders.gradebook.book import Marked
from graders.judging import second_run
from graders.judging.marks import CAME_LATE, LATE_AND, LATE_FLAG, Finding, Row
from graders.marking import journal
from graders.marking.journal import AT_FAULT, Result
from graders.notebooks import printer, sanitise, submission
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.questions.parts import Number
from graders.questions.verdicts import Code, Verdict
from graders.runner.contained import CannotContain
from graders.runner.job import Limits, Sheet, SheetOutcome
from workbook.terminal import printable
from workbook.topics import by_slug

MOST_NAMED = 3


@dataclass(frozen=True)
class Job:
    """One learner's topic that is to be marked: what was handed out, and a hash of what came back."""

    learner: str
    topic: str
    handed: tuple[Handed, ...]
    digest: str
    standing: tuple[Handed, ...] = ()
    """Exercises that this version asks differently: they stand as they were marked."""
    before: Result | None = None
    """What the topic came to before, where something of it stands."""

    def stood(self, by_exercise: dict) -> dict:
        """Return, of something held by exercise, what is of the exercises that stand."""
        return {one.exercise: by_exercise[one.exercise] for one in self.standing if one.exercise in by_exercise}

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows that stand."""
        exercises = {one.exercise for one in self.standing}
        return tuple(row for row in self.before.rows if row.exercise in exercises) if self.before else ()


@dataclass(frozen=True)
class Came:
    """What came of a topic: the notebooks that could be read, restored, and why the others could not.

    ``faulty`` are those of them whose reading failed in a way we do not know: they are tried again. ``strange`` are
    files named as nothing that was handed out.
    """

    notebooks: dict[str, submission.Restored] = field(default_factory=dict)
    broken: dict[str, str] = field(default_factory=dict)
    faulty: set[str] = field(default_factory=set)
    strange: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class OneMarked:
    """What one notebook came to. ``is_faulty`` says that it could not be marked, and is tried again next time."""

    verdicts: tuple[Verdict, ...]
    problems: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    numbers: dict[str, float] | None = None
    answers: dict[str, str] = field(default_factory=dict)
    is_faulty: bool = False


def mark(cohort: Cohort, sandbox, job: Job, limits: Limits) -> tuple[Result, Marked]:
    """Mark one learner's topic, and return what goes into the journal and what goes into the gradebook.

    Parameters
    ----------
    cohort : Cohort
    sandbox : Contained or Plain
        Runs the notebooks.
    job : Job
    limits : Limits
    """
    try:
        came = take_in(cohort, job)
        result, marked = finish(cohort, job, came, sandbox.run(runs(job, came), limits=limits))
        journal.line(result)  # what cannot be written down is told before it is in the gradebook
    except Exception as error:
        if _is_everybodys(error):
            raise
        return unmarked(cohort, job, faults.words(error))
    return result, marked


def _is_everybodys(error: Exception) -> bool:
    return isinstance(error, CannotContain) or faults.is_everybodys(error)


def take_in(cohort: Cohort, job: Job) -> Came:
    """Read what a learner submitted of a topic."""
    came = Came()
    expected, standing = {one.notebook: one for one in job.handed}, {one.notebook for one in job.standing}
    for path in arrival.notebooks(cohort.submitted(job.learner, job.topic)):
        name = path.stem
        if name in standing:
            continue
        if name not in expected:
            came.strange.append(path.name)
            continue
        one = expected[name]
        exercise = sheets.find(job.topic, one.exercise)
        try:
            came.notebooks[name] = submission.restore(submission.read(path), job.topic, exercise, one.givens)
        except submission.Broken as error:
            came.broken[name] = str(error)
        except Exception as error:
            if _is_everybodys(error):
                raise
            came.faulty.add(name)
            came.broken[name] = f"needs a look, it could not be read ({faults.words(error)})"
    return came


def runs(job: Job, came: Came) -> tuple[Sheet, ...]:
    """Return what is run of a topic: every notebook, and then every notebook once more with fresh numbers."""
    first, second = [], []
    for one in job.handed:
        if one.notebook in came.notebooks:
            exercise = sheets.find(one.topic, one.exercise)
            run = submission.sheet(one.notebook, came.notebooks[one.notebook].notebook, exercise)
            first.append(run)
            second.append(submission.with_givens(run, exercise, one.givens, one.fresh))
    return tuple(first + second)


def finish(cohort: Cohort, job: Job, came: Came, outcomes: Sequence[SheetOutcome]) -> tuple[Result, Marked]:
    """Judge one learner's topic and write its safe copies."""
    half = len(outcomes) // 2
    ran = {first.name: (first, second) for first, second in zip(outcomes[:half], outcomes[half:], strict=True)}
    policy = cohort.settings().fresh_numbers
    marked = {one.notebook: _mark_one(cohort, one, came, ran.get(one.notebook), policy) for one in job.handed}
    return _together(cohort, job, marked, _strange_names(came.strange))


def _strange_names(names: Sequence[str]) -> list[str]:
    """Say which files have names that were not handed out; of many, the first."""
    if len(names) <= MOST_NAMED:
        return [f"{name} has a name that was not handed out; it is left as it is" for name in names]
    return [f"{len(names)} files have names that were not handed out, the first {names[0]}; they are left as they are"]


def _counted(notes: Iterable[str]) -> list[str]:
    """Return each note once, with how often it came.

    >>> _counted(["givens put back", "repeated cell lag", "repeated cell lag"])
    ['givens put back', 'repeated cell lag (2 times)']
    """
    return [note if many == 1 else f"{note} ({many} times)" for note, many in Counter(notes).items()]


def unmarked(cohort: Cohort, job: Job, why: str) -> tuple[Result, Marked]:
    """Return a topic that could not be marked at all: everything in it needs a look, and it is tried again."""
    marked = {one.notebook: _at_fault(one, why) for one in job.handed}
    return _together(cohort, job, marked, [f"needs a look, it could not be marked ({why})"])


def _mark_one(
    cohort: Cohort, one: Handed, came: Came, ran: tuple[SheetOutcome, SheetOutcome] | None, policy: str
) -> OneMarked:
    """Return what a notebook came to: judged, broken, not handed in, or needing a look whatever went wrong."""
    exercise = sheets.find(one.topic, one.exercise)
    if one.notebook in came.broken:
        why = came.broken[one.notebook]
        found = _unmarked(exercise, f"The file {why}.", "file broken")
        return OneMarked(found, (f"{one.notebook}.ipynb {why}",), is_faulty=one.notebook in came.faulty)
    if ran is None:
        missing = Code.NOT_HANDED_IN
        return OneMarked(_unmarked(exercise, "This notebook was not handed in.", missing.label, missing))
    try:
        return _judged(cohort, one, exercise, came.notebooks[one.notebook], *ran, policy)
    except Exception as error:
        if _is_everybodys(error):
            raise
        why = faults.words(error)
        return replace(_at_fault(one, why), problems=(f"{one.notebook}: needs a look, it could not be judged ({why})",))


def _judged(
    cohort: Cohort,
    one: Handed,
    exercise: Exercise,
    restored: submission.Restored,
    outcome: SheetOutcome,
    second: SheetOutcome,
    policy: str,
) -> OneMarked:
    """Judge a notebook that was run, and write its safe copy.

    Answers on paper are typed numbers by their nature: what a second run with fresh numbers shows of them says nothing.
    """
    on_paper = entered.is_from_paper(cohort, one)
    fresh = None if on_paper else submission.Fresh(one.fresh, one.changing, second, policy)
    judged = submission.judged(restored.notebook, exercise, one.givens, outcome, fresh)
    answers = submission.answers_written(judged.notebook)
    notes = *restored.notes, *_stops(outcome), *_write_safe_copy(cohort, one, exercise, judged.notebook)
    return OneMarked(
        judged.verdicts,
        tuple(f"{one.notebook}: {note}" for note in _counted(notes)),
        tuple(second_run.findings(one.learner, one.topic, exercise, judged.findings)),
        judged.numbers,
        answers,
    )


def _at_fault(one: Handed, why: str) -> OneMarked:
    remark = "This notebook could not be marked yet. Your instructor looks at it."
    return OneMarked(
        _unmarked(sheets.find(one.topic, one.exercise), remark, f"could not be marked: {why}"), is_faulty=True
    )


def _together(cohort: Cohort, job: Job, marked: dict[str, OneMarked], others: Sequence[str]) -> tuple[Result, Marked]:
    """Return a topic's marks from those of its notebooks, as cohort.toml's void and due times leave them."""
    settings, when = cohort.settings(), arrival.handed_in(cohort, job.learner, job.topic)
    counts = settings.counts(job.learner, job.topic, when)
    rows, findings, numbers, keys, verdicts, bases = list(job.rows), [], {}, {}, {}, {}
    problems = list(others)
    for one in job.handed:
        exercise, came_to = sheets.find(one.topic, one.exercise), marked[one.notebook]
        problems += came_to.problems
        findings += came_to.findings
        if came_to.numbers is not None:
            numbers[one.exercise], keys[one.exercise] = came_to.numbers, _number_key(exercise, one.givens)
        bases[one.exercise] = {verdict.part: _basis(verdict, came_to.answers) for verdict in came_to.verdicts}
        verdicts[one.notebook] = tuple(_after_void(settings, one, verdict) for verdict in came_to.verdicts)
        rows += [_row(one, verdict, counts) for verdict in verdicts[one.notebook]]
    if job.before:
        numbers |= job.stood(job.before.numbers)
        keys |= job.stood(job.before.keys)
        bases |= job.stood(job.before.bases)
        findings += [one for one in job.before.findings if one.exercise in job.stood(job.before.bases)]
    stands = {one.notebook: tuple(map(_as_verdict, _rows_of(job, one))) for one in job.standing}
    faulty = any(came_to.is_faulty for came_to in marked.values())
    result = Result(
        job.learner,
        job.topic,
        tuple(rows),
        tuple(printable(f"{job.learner} / {job.topic} / {problem}") for problem in problems),
        AT_FAULT if faulty else job.digest,
        tuple(findings),
        numbers,
        keys,
        bases,
        judged={one.exercise: editions.judged(sheets.find(one.topic, one.exercise)) for one in job.handed},
        counts=counts,
        fresh_numbers=settings.fresh_numbers,
    )
    return result, Marked(job.learner, job.topic, verdicts, when, bases, stands)


def _late_words(counts: float) -> str:
    """Say what lateness costs; nothing where it costs nothing."""
    if counts == 1:
        return ""
    return f"{CAME_LATE}, so {f'{counts * 100:.0f} % of it counts' if counts else 'it earns nothing'}."


def _late_flag(verdict: Verdict) -> str:
    """Return the flag of what came late: beside it the verdict's own, but for one that says its code only."""
    says_more = verdict.flag and verdict.flag != verdict.verdict.label
    return LATE_AND + verdict.flag if says_more else LATE_FLAG


def _rows_of(job: Job, one: Handed) -> list[Row]:
    return [row for row in job.rows if row.exercise == one.exercise]


def _as_verdict(row: Row) -> Verdict:
    """Return what a row says, as the gradebook takes it."""
    return Verdict(row.part, row.points, row.out_of, row.verdict, row.remark, row.flag)


def _row(one: Handed, verdict: Verdict, counts: float) -> Row:
    """Return the line of a part in the marks, with what lateness leaves of its points."""
    points, flag = round(verdict.points * counts, 4), verdict.flag if counts == 1 else _late_flag(verdict)
    remark = f"{verdict.remark} {_late_words(counts)}".rstrip()
    return Row(
        one.learner, one.topic, one.exercise, verdict.part, points, verdict.out_of, verdict.verdict, flag, remark
    )


def _basis(verdict: Verdict, answers: dict[str, str]) -> manual_marks.MarkedOn:
    """Return what a mark by hand of this part would be given for."""
    answer = manual_marks.digest(answers.get(verdict.part, ""))
    return manual_marks.MarkedOn(answer, verdict.points if verdict.is_automatic else None)


def _after_void(settings: Settings, one: Handed, verdict: Verdict) -> Verdict:
    """Return a verdict as cohort.toml's void leaves it."""
    void = settings.voided(one.topic, one.exercise, verdict.part)
    if void is None:
        return verdict
    if void.drops:
        return replace(
            verdict, points=0.0, out_of=0, verdict=Code.DROPPED, remark=f"Dropped for all: {void.reason}", flag=""
        )
    remark = f"Full points for all: {void.reason}"
    return replace(verdict, points=float(verdict.out_of), verdict=Code.FULL_FOR_ALL, remark=remark, flag="")


def _stops(outcome: SheetOutcome) -> list[str]:
    """Say what was stopped in a run."""
    stops = []
    if any(cell.status == "stopped" for cell in outcome.cells):
        stops.append("a cell ran past its limits and was stopped; the rest was run")
    if outcome.ended != "finished":
        stops.append(f"stopped ({outcome.ended}); what ran before counts")
    return stops


def _number_key(exercise: Exercise, givens: dict) -> dict[str, float]:
    key = exercise.key(givens)
    return {part.name: key[part.name] for part in exercise.parts if isinstance(part, Number)}


def _unmarked(exercise, remark: str, flag: str, code: Code = Code.NEEDS_A_LOOK) -> tuple[Verdict, ...]:
    return tuple(Verdict(part.name, 0.0, part.points, code, remark, flag) for part in exercise.parts)


def _write_safe_copy(cohort: Cohort, one: Handed, exercise: Exercise, notebook) -> list[str]:
    """Write what the formgrader and the feedback show of a notebook. What hinders that changes no mark, and is said."""
    path = cohort.autograded(one.learner, one.topic) / f"{one.notebook}.ipynb"
    try:
        printed = printer.texts(by_slug(one.topic), exercise, one.givens, one.orders)
        write_whole(path, json.dumps(sanitise.harmless(notebook, printed), ensure_ascii=False))
    except Exception as error:
        if _is_everybodys(error):
            raise
        return [f"needs a look, its safe copy could not be written ({faults.words(error)}); the marks stand"]
    return []
