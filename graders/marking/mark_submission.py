"""Mark one learner's topic: pack what came, have it run and judged (`parcel`), and keep what comes back.

Whatever goes wrong on the way costs that notebook, or that topic, and is one line of it that needs a look; what goes
wrong for everybody ends the marking.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

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
from graders.marking import journal, parcel
from graders.marking.journal import AT_FAULT, Result
from graders.marking.parcel import Asked, Done, Parcel, is_everybodys
from graders.notebooks import submission
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed
from graders.questions.parts.number import Number
from graders.questions.verdicts import Code, Verdict
from graders.runner.job import Limits, Runner
from workbook.terminal import printable

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

    def stood(self, by_exercise: dict[str, Any]) -> dict[str, Any]:
        """Return, of something held by exercise, what is of the exercises that stand."""
        return {one.exercise: by_exercise[one.exercise] for one in self.standing if one.exercise in by_exercise}

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows that stand."""
        exercises = {one.exercise for one in self.standing}
        return tuple(row for row in self.before.rows if row.exercise in exercises) if self.before else ()


@dataclass(frozen=True)
class Left:
    """What did not go into a parcel: notebooks that could not be read, and files named as nothing that was handed out.

    ``faulty`` are those of the notebooks whose reading failed in a way we do not know: they are tried again.
    """

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


def mark(cohort: Cohort, sandbox: Runner, job: Job, limits: Limits) -> tuple[Result, Marked]:
    """Mark one learner's topic, and return what goes into the journal and what goes into the gradebook.

    Parameters
    ----------
    cohort : Cohort
    sandbox : Contained or Plain
        Runs the notebooks.
    job : Job
    limits : Limits
    """

    def whole() -> tuple[Result, Marked]:
        packed, left = pack(cohort, job)
        return keep(cohort, job, left, parcel.unpack(packed, sandbox, limits))

    return or_unmarked(cohort, job, whole)


def or_unmarked(cohort: Cohort, job: Job, work: Callable[[], tuple[Result, Marked]]) -> tuple[Result, Marked]:
    """Return what some work brings of a topic; a fault of it costs that topic, unless it is everybody's."""
    try:
        result, marked = work()
        journal.line(result)  # what cannot be written down is told before it is in the gradebook
    except Exception as error:
        if is_everybodys(error):
            raise
        return unmarked(cohort, job, faults.words(error))
    return result, marked


def pack(cohort: Cohort, job: Job) -> tuple[Parcel, Left]:
    """Return what is run and judged of what a learner submitted of a topic, and what of it is not."""
    left, texts = Left(), {}
    expected, standing = {one.notebook: one for one in job.handed}, {one.notebook for one in job.standing}
    for path in arrival.notebooks(cohort.submitted(job.learner, job.topic)):
        name = path.stem
        if name in standing:
            continue
        if name not in expected:
            left.strange.append(path.name)
            continue
        try:
            texts[name] = submission.text_of(path)
        except submission.Broken as error:
            left.broken[name] = str(error)
        except Exception as error:
            if is_everybodys(error):
                raise
            left.faulty.add(name)
            left.broken[name] = parcel.unreadable(error)
    asked = tuple(
        Asked(
            *(one.exercise, one.notebook, one.givens, one.fresh, one.changing, one.orders),
            on_paper=entered.is_from_paper(cohort, one),
        )
        for one in job.handed
    )
    return Parcel(job.topic, cohort.settings().fresh_numbers, asked, texts), left


def keep(cohort: Cohort, job: Job, left: Left, done: dict[str, Done]) -> tuple[Result, Marked]:
    """Write the safe copies of one learner's topic, and return its marks as they go into journal and gradebook."""
    marked = {one.notebook: _kept(cohort, one, left, done.get(one.notebook)) for one in job.handed}
    return _together(cohort, job, marked, _strange_names(left.strange))


def _strange_names(names: Sequence[str]) -> list[str]:
    """Say which files have names that were not handed out; of many, the first."""
    if len(names) <= MOST_NAMED:
        return [f"{name} has a name that was not handed out; it is left as it is" for name in names]
    return [f"{len(names)} files have names that were not handed out, the first {names[0]}; they are left as they are"]


def unmarked(cohort: Cohort, job: Job, why: str) -> tuple[Result, Marked]:
    """Return a topic that could not be marked at all: everything in it needs a look, and it is tried again."""
    marked = {one.notebook: _at_fault(one, why) for one in job.handed}
    return _together(cohort, job, marked, [f"needs a look, it could not be marked ({why})"])


def _kept(cohort: Cohort, one: Handed, left: Left, done: Done | None) -> OneMarked:
    """Return what a notebook came to: judged, broken, not handed in, or needing a look whatever went wrong."""
    exercise = sheets.find(one.topic, one.exercise)
    broken = left.broken.get(one.notebook) or (done.broken if done else "")
    if broken:
        found = _unmarked(exercise, f"The file {broken}.", "file broken")
        is_faulty = one.notebook in left.faulty or bool(done and done.is_faulty)
        return OneMarked(found, (f"{one.notebook}.ipynb {broken}",), is_faulty=is_faulty)
    if done is None:
        missing = Code.NOT_HANDED_IN
        return OneMarked(_unmarked(exercise, "This notebook was not handed in.", missing.label, missing))
    if done.fault:
        return _not_judged(one, done.fault)
    try:
        notes = *done.notes, *_write_safe_copy(cohort, one, done.safe_copy)
        findings = tuple(second_run.findings(one.learner, one.topic, exercise, done.found))
    except Exception as error:
        if is_everybodys(error):
            raise
        return _not_judged(one, faults.words(error))
    problems = tuple(f"{one.notebook}: {note}" for note in parcel.counted(notes))
    return OneMarked(done.verdicts, problems, findings, done.numbers, done.answers)


def _not_judged(one: Handed, why: str) -> OneMarked:
    return replace(_at_fault(one, why), problems=(f"{one.notebook}: needs a look, it could not be judged ({why})",))


def _at_fault(one: Handed, why: str) -> OneMarked:
    remark = "This notebook could not be marked yet. Your instructor looks at it."
    return OneMarked(
        _unmarked(sheets.find(one.topic, one.exercise), remark, f"could not be marked: {why}"), is_faulty=True
    )


def _together(cohort: Cohort, job: Job, marked: dict[str, OneMarked], others: Sequence[str]) -> tuple[Result, Marked]:
    """Return a topic's marks from those of its notebooks, as cohort.toml's void and due times leave them."""
    settings, when = cohort.settings(), arrival.handed_in(cohort, job.learner, job.topic)
    counts = settings.counts(job.learner, job.topic, when)
    rows, problems = list(job.rows), list(others)
    findings: list[Finding] = []
    numbers: dict[str, dict[str, float]] = {}
    keys: dict[str, dict[str, float]] = {}
    verdicts: dict[str, tuple[Verdict, ...]] = {}
    bases: manual_marks.ByPart = {}
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
    answer = answers.get(verdict.part) or manual_marks.digest("")
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


def _number_key(exercise: Exercise, givens: Printed) -> dict[str, float]:
    key = exercise.step_key(givens)
    return {part.name: key[part.name] for part in exercise.parts if isinstance(part, Number)}


def _unmarked(exercise: Exercise, remark: str, flag: str, code: Code = Code.NEEDS_A_LOOK) -> tuple[Verdict, ...]:
    return tuple(Verdict(part.name, 0.0, part.points, code, remark, flag) for part in exercise.parts)


def _write_safe_copy(cohort: Cohort, one: Handed, text: str) -> list[str]:
    """Write what the formgrader and the feedback show of a notebook. What hinders that changes no mark, and is said."""
    path = cohort.autograded(one.learner, one.topic) / f"{one.notebook}.ipynb"
    try:
        if text:
            write_whole(path, text)
    except Exception as error:
        if is_everybodys(error):
            raise
        return [parcel.not_copied(error)]
    return []
