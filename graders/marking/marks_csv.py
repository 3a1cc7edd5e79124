"""The marks of a cohort as they stand: what the judge found, with what was given by hand standing over it."""

import csv
from collections.abc import Iterable, Iterator

from graders import gradebook, sheets
from graders.cohort import roster
from graders.cohort.files import writing_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, Record
from graders.cohort.tables import harmless
from graders.gradebook import manual_marks
from graders.judging import second_run
from graders.judging.marks import COLUMNS, Copied, Finding, Override, Row
from graders.marking.journal import Journal, Result
from graders.questions.verdicts import Code


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
    missing = 0.0, Code.NOT_HANDED_IN, Code.NOT_HANDED_IN.label
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
                if row.exercise == exercise and row.verdict is Code.NOT_RIGHT and row.part in numbers
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
    """Return a value as a spreadsheet may safely read it."""
    if isinstance(value, Code):
        return value.label
    return harmless(value) if isinstance(value, str) else value


def names(cohort: Cohort) -> dict[str, str]:
    """Return the names of those who are still with the cohort, by id."""
    return {learner.id: learner.name for learner in roster.read(cohort.roster, may_be_empty=True) if not learner.left}
