"""Mark one learner's topic: read what came, run it contained, judge it, and write its safe copies."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace

from graders import sheets
from graders.cohort import arrival
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed
from graders.cohort.settings import Settings
from graders.gradebook import manual_marks
from graders.gradebook.book import Marked
from graders.judging import second_run
from graders.judging.marks import LATE_FLAG, Row
from graders.marking.journal import Result
from graders.notebooks import printer, sanitise, submission
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.questions.parts import Number
from graders.questions.verdicts import Code, Verdict
from graders.runner.job import Limits, Sheet, SheetOutcome
from workbook.terminal import printable
from workbook.topics import by_slug


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
    """What came of a topic: the notebooks that could be read, restored, and why the others could not."""

    notebooks: dict[str, submission.Restored]
    broken: dict[str, str]


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
    came = take_in(cohort, job)
    return finish(cohort, job, came, sandbox.run(runs(job, came), limits=limits))


def take_in(cohort: Cohort, job: Job) -> Came:
    """Read what a learner submitted of a topic."""
    came = Came({}, {})
    expected, standing = {one.notebook: one for one in job.handed}, {one.notebook for one in job.standing}
    for path in sorted(cohort.submitted(job.learner, job.topic).glob("*.ipynb")):
        name = path.stem
        if name in standing:
            continue
        if name not in expected:
            came.broken[name] = "has a name that was not handed out; it is left as it is"
            continue
        try:
            notebook = submission.read(path)
        except submission.Broken as error:
            came.broken[name] = str(error)
            continue
        one = expected[name]
        exercise = sheets.find(job.topic, one.exercise)
        came.notebooks[name] = submission.restore(notebook, job.topic, exercise, one.givens)
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
    settings = cohort.settings()
    policy, when = settings.fresh_numbers, arrival.handed_in(cohort, job.learner, job.topic)
    counts = settings.counts(job.learner, job.topic, when)
    rows, findings, numbers, keys, verdicts, bases = [], [], {}, {}, {}, {}
    problems = [
        printable(f"{job.learner} / {job.topic} / {name}.ipynb {why}") for name, why in sorted(came.broken.items())
    ]
    for one in job.handed:
        exercise = sheets.find(one.topic, one.exercise)
        answers = {}
        if one.notebook in came.notebooks:
            outcome, second = ran[one.notebook]
            fresh = submission.Fresh(one.fresh, one.changing, second, policy)
            restored = came.notebooks[one.notebook]
            judged = submission.judged(restored.notebook, exercise, one.givens, outcome, fresh)
            answers = submission.answers_written(judged.notebook)
            _write_safe_copy(cohort, one, exercise, judged.notebook)
            where = f"{job.learner} / {job.topic} / {one.notebook}"
            problems += [f"{where}: {note}" for note in (*restored.notes, *_stops(outcome))]
            found, numbers[one.exercise] = judged.verdicts, judged.numbers
            findings += second_run.findings(job.learner, job.topic, exercise, judged.findings)
            keys[one.exercise] = _number_key(exercise, one.givens)
        elif one.notebook in came.broken:
            found = _unmarked(exercise, f"The file {came.broken[one.notebook]}.", "file broken")
        else:
            found = _unmarked(
                exercise, "This notebook was not handed in.", Code.NOT_HANDED_IN.label, Code.NOT_HANDED_IN
            )
        bases[one.exercise] = {verdict.part: _basis(verdict, answers) for verdict in found}
        verdicts[one.notebook] = found = tuple(_after_void(settings, one, verdict) for verdict in found)
        rows += [
            Row(
                job.learner,
                job.topic,
                one.exercise,
                v.part,
                round(v.points * counts, 4),
                v.out_of,
                v.verdict,
                v.flag if counts == 1 else LATE_FLAG,
                f"{v.remark} {_late_words(counts)}".rstrip(),
            )
            for v in found
        ]
    if job.before:
        numbers |= job.stood(job.before.numbers)
        keys |= job.stood(job.before.keys)
        bases |= job.stood(job.before.bases)
        findings += [one for one in job.before.findings if one.exercise in job.stood(job.before.bases)]
    stands = {one.notebook: tuple(map(_as_verdict, _rows_of(job, one))) for one in job.standing}
    judged_by = {one.exercise: editions.judged(sheets.find(one.topic, one.exercise)) for one in job.handed}
    result = Result(
        job.learner,
        job.topic,
        (*job.rows, *rows),
        tuple(problems),
        job.digest,
        tuple(findings),
        numbers,
        keys,
        bases,
        judged=judged_by,
        counts=counts,
        fresh_numbers=policy,
    )
    return result, Marked(job.learner, job.topic, verdicts, when, bases, stands)


def _late_words(counts: float) -> str:
    """Say what lateness costs; nothing where it costs nothing."""
    if counts == 1:
        return ""
    return f"It came after its due time, so {f'{counts * 100:.0f} % of it counts' if counts else 'it earns nothing'}."


def _rows_of(job: Job, one: Handed) -> list[Row]:
    return [row for row in job.rows if row.exercise == one.exercise]


def _as_verdict(row: Row) -> Verdict:
    """Return what a row says, as the gradebook takes it."""
    return Verdict(row.part, row.points, row.out_of, row.verdict, row.remark, row.flag)


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


def _write_safe_copy(cohort: Cohort, one: Handed, exercise: Exercise, notebook) -> None:
    path = cohort.autograded(one.learner, one.topic) / f"{one.notebook}.ipynb"
    printed = printer.texts(by_slug(one.topic), exercise, one.givens, one.orders)
    write_whole(path, json.dumps(sanitise.harmless(notebook, printed), ensure_ascii=False))
