"""Mark a whole cohort: run contained, judge, write the gradebook, the safe copies, the pages and marks.csv."""

import csv
import hashlib
import io
import json
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from graders import byhand, freshness, gradebook, handout, pipeline, record, roster, sheets, submission
from graders.exercise import Exercise, Number
from graders.folder import Cohort, Settings, write_whole
from graders.gradebook import Marked
from graders.judge import Verdict
from graders.marks import COLUMNS, NOT_HANDED_IN, VOIDED, Copied, Finding, Override, Row
from graders.problems import Problem
from graders.record import Handed
from graders.runner.job import Limits, Sheet, SheetOutcome

CHUNK = 20
"""Learner-topics written to the gradebook and the journal together."""


@dataclass(frozen=True)
class Job:
    """One learner's topic: the notebooks that came, restored, those that could not be read, and fresh numbers."""

    learner: str
    topic: str
    handed: tuple[Handed, ...]
    notebooks: dict[str, submission.Restored]
    broken: dict[str, str]
    fresh: dict[str, dict]
    digest: str

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """What is run of it: every notebook, and then every notebook once more with fresh numbers."""
        first, second = [], []
        for one in self.handed:
            if one.notebook in self.notebooks:
                exercise = sheets.find(one.topic, one.exercise)
                run = submission.sheet(one.notebook, self.notebooks[one.notebook].notebook, exercise)
                first.append(run)
                second.append(submission.with_givens(run, exercise, one.givens, self.fresh[one.notebook]))
        return tuple(first + second)


@dataclass(frozen=True)
class Result:
    """What one learner's topic came to; ``numbers`` and ``keys`` are by exercise and part.

    So are ``bases``, what a mark by hand would be given for, and ``given``, what those there are were given for.
    """

    learner: str
    topic: str
    rows: tuple[Row, ...]
    problems: tuple[str, ...]
    digest: str
    findings: tuple[Finding, ...] = ()
    numbers: dict[str, dict[str, float]] = field(default_factory=dict)
    keys: dict[str, dict[str, float]] = field(default_factory=dict)
    bases: byhand.ByPart = field(default_factory=dict)
    given: byhand.ByPart = field(default_factory=dict)
    when: str = ""
    version: str = ""


@dataclass(frozen=True)
class Summary:
    """What a marking run did."""

    results: tuple[Result, ...]
    unchanged: int
    not_handed_in: tuple[tuple[str, str], ...]
    problems: tuple[str, ...]


def mark(
    cohort: Cohort,
    sandbox,
    topics: Sequence[str] = (),
    only: Sequence[str] = (),
    limits: Limits = Limits(),
    workers: int = 2,
    told: Callable[[int, int, str], None] = lambda done, of, who: None,
) -> Summary:
    """Mark what was submitted and has changed since it was last marked.

    Parameters
    ----------
    cohort : Cohort
    sandbox : Contained or Plain
        Runs the notebooks.
    topics, only : sequence of str
        Restrict to these topics, to these learners; all without.
    limits : Limits
    workers : int
        Learner-topics run at a time.
    told : callable
        Called with (done, of, "learner / topic") as the work goes on.
    """
    known = record.read(cohort.record)
    differing = handout.editions_that_differ(known.values())
    if differing:
        names = sorted({f"{one.topic}/{one.exercise}" for one in differing})
        raise Problem(
            f"This version of the workbook asks differently from what was handed out: {', '.join(names)}.",
            "mark with the version that made the handouts, or void these parts in cohort.toml",
        )
    wanted = [slug for slug in cohort.settings().topics if not topics or slug in topics]
    journal = read_journal(cohort)
    left = {one.id for one in roster.read(cohort.roster) if one.left}
    jobs, unchanged, missing = {}, 0, []
    for (learner, topic), handed in by_learner_and_topic(known).items():
        if topic not in wanted or (only and learner not in only):
            continue
        digest = digest_of(cohort, learner, topic, handed)
        if digest is None:
            if learner not in left:
                missing.append((learner, topic))
        elif (learner, topic) in journal and journal[learner, topic].digest == digest:
            unchanged += 1
        else:
            jobs[learner, topic] = handed, digest
    strangers = _strangers(cohort, {learner for learner, _, _ in known})
    results = []
    for chunk in _chunks(_finished(cohort, sandbox, jobs, limits, workers), CHUNK):
        chunk = [(result, _beside(marked, journal.get((result.learner, result.topic)))) for result, marked in chunk]
        given = gradebook.write(cohort, [marked for _, marked in chunk])
        done = [replace(result, given=by_part) for (result, _), by_part in zip(chunk, given, strict=True)]
        _append_to_journal(cohort, done)
        for result in done:
            results.append(result)
            told(len(results), len(jobs), f"{result.learner} / {result.topic}")
    write_marks(cohort, rows_now(cohort))
    problems = tuple(problem for result in results for problem in result.problems) + strangers
    return Summary(tuple(results), unchanged, tuple(missing), problems)


def _beside(marked: Marked, before: Result | None) -> Marked:
    """Return what goes into the gradebook with what stood there when it was last marked."""
    if before is None:
        return marked
    voided = frozenset((row.exercise, row.part) for row in before.rows if row.verdict in VOIDED)
    return replace(marked, bases_before=before.bases, given_before=before.given, voided_before=voided)


def by_learner_and_topic(known: dict) -> dict[tuple[str, str], tuple[Handed, ...]]:
    grouped = {}
    for one in known.values():
        grouped.setdefault((one.learner, one.topic), []).append(one)
    return {key: tuple(handed) for key, handed in grouped.items()}


def _strangers(cohort: Cohort, learners: set[str]) -> tuple[str, ...]:
    folder = cohort.root / "submitted"
    found = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    return tuple(
        f"{name}: no learner of this cohort; the folder is left as it is" for name in found if name not in learners
    )


def digest_of(cohort: Cohort, learner: str, topic: str, handed: Sequence[Handed]) -> str | None:
    """Return a hash of everything a learner's marks in a topic follow from, or None where nothing came."""
    folder = cohort.submitted(learner, topic)
    if not folder.is_dir():
        return None
    digest = hashlib.sha256(_settings_digest(cohort, learner, topic))
    digest.update(repr([(one.notebook, one.givens, one.edition) for one in handed]).encode())
    for path in sorted(folder.glob("*.ipynb")):
        digest.update(path.name.encode())
        if path.is_file() and not path.is_symlink():
            with path.open("rb") as file:
                digest.update(hashlib.file_digest(file, "sha256").digest())
    return digest.hexdigest()


def take_in(cohort: Cohort, learner: str, topic: str, handed: Sequence[Handed], digest: str) -> Job:
    """Read what a learner submitted of a topic."""
    notebooks, broken, fresh = {}, {}, {}
    secret = cohort.secret()
    expected = {one.notebook: one for one in handed}
    for path in sorted(cohort.submitted(learner, topic).glob("*.ipynb")):
        name = path.stem
        if name not in expected:
            broken[name] = "has a name that was not handed out; it is left as it is"
            continue
        try:
            notebook = submission.read(path)
        except submission.Broken as error:
            broken[name] = str(error)
            continue
        one = expected[name]
        exercise = sheets.find(topic, one.exercise)
        notebooks[name] = submission.restore(notebook, topic, exercise, one.givens)
        fresh[name] = freshness.fresh_givens(exercise, secret, learner)
    return Job(learner, topic, tuple(handed), notebooks, broken, fresh, digest)


def _settings_digest(cohort: Cohort, learner: str, topic: str) -> bytes:
    settings = cohort.settings()
    void = [one for one in settings.void if one.topic == topic]
    times = (settings.late, settings.due.get(topic), settings.extensions.get((learner, topic)))
    return repr((settings.fresh_numbers, void, times, gradebook.handed_in(cohort, learner, topic))).encode()


def _finished(cohort, sandbox, jobs, limits, workers) -> Iterator[tuple[Result, Marked]]:
    """Run jobs some at a time and yield each one marked. Only the jobs at work are in memory."""
    taken = {}

    def work():
        for (learner, topic), (handed, digest) in jobs.items():
            job = taken[learner, topic] = take_in(cohort, learner, topic, handed, digest)
            yield (learner, topic), job.sheets

    for key, outcomes in sandbox.run_many(work(), workers=workers, limits=limits):
        yield finish(cohort, taken.pop(key), outcomes)


def finish(cohort: Cohort, job: Job, outcomes: Sequence[SheetOutcome]) -> tuple[Result, Marked]:
    """Judge one learner's topic and write its safe copies."""
    half = len(outcomes) // 2
    runs = {first.name: (first, second) for first, second in zip(outcomes[:half], outcomes[half:], strict=True)}
    settings = cohort.settings()
    policy, when = settings.fresh_numbers, gradebook.handed_in(cohort, job.learner, job.topic)
    late = settings.late == "zero" and settings.is_late(job.learner, job.topic, when)
    rows, findings, numbers, keys, verdicts, bases = [], [], {}, {}, {}, {}
    problems = [f"{job.learner} / {job.topic} / {name}.ipynb {why}" for name, why in sorted(job.broken.items())]
    for one in job.handed:
        exercise = sheets.find(one.topic, one.exercise)
        answers = {}
        if one.notebook in job.notebooks:
            outcome, second = runs[one.notebook]
            fresh = submission.Fresh(job.fresh[one.notebook], second, policy)
            restored = job.notebooks[one.notebook]
            judged = submission.judged(restored.notebook, exercise, one.givens, outcome, fresh)
            answers = submission.answers_written(judged.notebook)
            _write_safe_copy(cohort, job, one.notebook, judged.notebook)
            where = f"{job.learner} / {job.topic} / {one.notebook}"
            problems += [f"{where}: {note}" for note in (*restored.notes, *_stops(outcome))]
            found, numbers[one.exercise] = judged.verdicts, judged.numbers
            findings += freshness.findings(job.learner, job.topic, exercise, judged.findings)
            keys[one.exercise] = _number_key(exercise, one.givens)
        elif one.notebook in job.broken:
            found = _unmarked(exercise, f"The file {job.broken[one.notebook]}.", "file broken")
        else:
            found = _unmarked(exercise, "This notebook was not handed in.", NOT_HANDED_IN, NOT_HANDED_IN)
        bases[one.exercise] = {verdict.part: _basis(verdict, answers) for verdict in found}
        verdicts[one.notebook] = found = tuple(_after_void(settings, one, verdict) for verdict in found)
        late_flag = "late" if late else ""
        rows += [
            Row(
                job.learner,
                job.topic,
                one.exercise,
                v.part,
                0.0 if late else v.points,
                v.out_of,
                v.verdict,
                late_flag or v.flag,
                v.remark,
            )
            for v in found
        ]
    result = Result(
        job.learner, job.topic, tuple(rows), tuple(problems), job.digest, tuple(findings), numbers, keys, bases
    )
    return result, Marked(job.learner, job.topic, verdicts, when, bases)


def _basis(verdict: Verdict, answers: dict[str, str]) -> byhand.Basis:
    """Return what a mark by hand of this part would be given for."""
    unmarked = verdict.flag in ("by hand", "cell missing")
    return byhand.Basis(byhand.digest(answers.get(verdict.part, "")), None if unmarked else verdict.points)


def _after_void(settings: Settings, one: Handed, verdict: Verdict) -> Verdict:
    """Return a verdict as cohort.toml's void leaves it."""
    void = settings.voided(one.topic, one.exercise, verdict.part)
    if void is None:
        return verdict
    if void.drops:
        return replace(
            verdict, points=0.0, out_of=0, verdict="dropped", remark=f"Dropped for all: {void.reason}", flag=""
        )
    remark = f"Full points for all: {void.reason}"
    return replace(verdict, points=float(verdict.out_of), verdict="full for all", remark=remark, flag="")


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


def _unmarked(exercise, remark: str, flag: str, verdict: str = "needs a look") -> tuple[Verdict, ...]:
    return tuple(Verdict(part.name, 0.0, part.points, verdict, remark, flag) for part in exercise.parts)


def _write_safe_copy(cohort: Cohort, job: Job, name: str, notebook) -> None:
    path = cohort.autograded(job.learner, job.topic) / f"{name}.ipynb"
    write_whole(path, json.dumps(pipeline.harmless(notebook), ensure_ascii=False))


def _chunks(items: Iterator, size: int) -> Iterator[list]:
    chunk = []
    for item in items:
        chunk.append(item)
        if len(chunk) == size:
            yield chunk
            chunk = []
    if chunk:
        yield chunk


def _append_to_journal(cohort: Cohort, results: Sequence[Result]) -> None:
    """Write down what is marked, after the gradebook has it: a run cut off here marks it again, to the same marks."""
    with cohort.journal.open("a+", encoding="utf-8") as file:
        if not _ends_whole(cohort.journal):
            file.write("\n")  # the last run was cut off in a line: leave it alone, and begin a new one
        for result in results:
            line = {
                "learner": result.learner,
                "topic": result.topic,
                "digest": result.digest,
                "problems": result.problems,
                "when": datetime.now(UTC).isoformat(timespec="seconds"),
                "version": version("rework-workbook"),
                "rows": [asdict(row) for row in result.rows],
                "findings": [asdict(finding) for finding in result.findings],
                "numbers": result.numbers,
                "keys": result.keys,
                "bases": result.bases,
                "given": result.given,
            }
            file.write(json.dumps(line, ensure_ascii=False) + "\n")
        file.flush()
        os.fsync(file.fileno())


def _ends_whole(path: Path) -> bool:
    """Whether a file is empty or ends with a whole line."""
    with path.open("rb") as file:
        return file.seek(0, os.SEEK_END) == 0 or (file.seek(-1, os.SEEK_END), file.read(1))[1] == b"\n"


def read_journal(cohort: Cohort) -> dict[tuple[str, str], Result]:
    """Return the newest result of every learner and topic. A line cut off by a crash is passed over."""
    results = {}
    if not cohort.journal.is_file():
        return results
    for text in cohort.journal.read_text(encoding="utf-8").splitlines():
        try:
            line = json.loads(text)
            rows = tuple(Row(**row) for row in line["rows"])
            key = line["learner"], line["topic"]
            findings = tuple(Finding(**finding) for finding in line["findings"])
            bases = _each_part(line.get("bases", {}), lambda found: byhand.Basis(*found))
            given = _each_part(line.get("given", {}), lambda found: byhand.Given(found[0], byhand.Basis(*found[1])))
            kept = tuple(line["problems"]), line["digest"], findings, line["numbers"], line["keys"], bases, given
            kept += line["when"], line["version"]
            results[key] = Result(*key, rows, *kept)
        except (ValueError, KeyError, TypeError):
            continue
    return results


def _each_part(by_part: dict, made: Callable) -> byhand.ByPart:
    return {exercise: {part: made(found) for part, found in parts.items()} for exercise, parts in by_part.items()}


def rows_now(cohort: Cohort) -> list[Row]:
    """Return the marks of everyone, with what was given by hand in the formgrader standing over ours."""
    return byhand.over(all_rows(cohort), gradebook.by_hand(cohort), read_journal(cohort))


def overrides(cohort: Cohort) -> list[Override]:
    """Return the marks by hand that stand over another automatic mark than the one they were given over."""
    return list(byhand.overrides(all_rows(cohort), gradebook.by_hand(cohort), read_journal(cohort)))


def all_rows(cohort: Cohort) -> list[Row]:
    """Return the marks of everyone, with a row for every part not handed in by those who are still there."""
    journal, rows, there = read_journal(cohort), [], names(cohort)
    for (learner, topic), handed in by_learner_and_topic(record.read(cohort.record)).items():
        if (learner, topic) in journal:
            rows += journal[learner, topic].rows
            continue
        for one in handed if learner in there else ():
            for part in sheets.find(topic, one.exercise).parts:
                rows.append(
                    Row(learner, topic, one.exercise, part.name, 0.0, part.points, NOT_HANDED_IN, NOT_HANDED_IN, "")
                )
    return rows


def all_findings(cohort: Cohort) -> list[Finding]:
    """Return what the second runs with fresh numbers showed."""
    return [finding for result in read_journal(cohort).values() for finding in result.findings]


def all_copied(cohort: Cohort) -> list[Copied]:
    """Return the answers that are wrong for their learner and right for someone else."""
    everyone = {}
    for result in read_journal(cohort).values():
        for exercise, key in result.keys.items():
            numbers = result.numbers[exercise]
            wrong = tuple(
                row.part
                for row in result.rows
                if row.exercise == exercise and row.verdict == "not right" and row.part in numbers
            )
            own = freshness.Handedness(result.learner, numbers, wrong, key)
            everyone.setdefault((result.topic, exercise), []).append(own)
    return [
        found
        for (topic, exercise), own in everyone.items()
        for found in freshness.copied(topic, sheets.find(topic, exercise), own)
    ]


def write_marks(cohort: Cohort, rows: list[Row]) -> None:
    """Write marks.csv."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in rows:
        writer.writerow([_cell(getattr(row, name)) for name in COLUMNS])
    write_whole(cohort.marks, "\ufeff" + out.getvalue())


def _cell(value):
    """Return a value as a spreadsheet may safely read it: text that looks like a formula is quoted."""
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return "'" + value
    return value


def names(cohort: Cohort) -> dict[str, str]:
    """Return the names of those who are still with the cohort, by id."""
    return {learner.id: learner.name for learner in roster.read(cohort.roster) if not learner.left}
