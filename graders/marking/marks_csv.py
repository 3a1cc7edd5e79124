"""The marks of a cohort as they stand: what the judge found, with what was given by hand standing over it."""

import csv
from collections.abc import Iterable, Iterator, Mapping

from graders import gradebook, sheets
from graders.cohort import roster
from graders.cohort.files import writing_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.cohort.tables import harmless
from graders.gradebook import manual_marks
from graders.judging import second_run
from graders.judging.marks import COLUMNS, Copied, Override, Row
from graders.marking.journal import Journal, Result
from graders.questions.verdicts import Code

ManualMarks = Mapping[tuple[str, str, str, str], manual_marks.ManualMark]


class Marks:
    """A cohort's marks as they stand at one moment, with what was given by hand standing over ours.

    Rows are read from the journal a learner at a time, so that not all of them are in memory.

    Parameters
    ----------
    cohort : Cohort
    record : HandoutRecord
    journal : Journal
    by_hand : mapping from (learner, topic, exercise, part) to ManualMark
    """

    def __init__(self, cohort: Cohort, record: HandoutRecord, journal: Journal, by_hand: ManualMarks):
        self.record, self.journal, self._by_hand = record, journal, by_hand
        self.names = names(cohort)
        """The names of those who are still with the cohort, by id."""

    @classmethod
    def of(cls, cohort: Cohort) -> "Marks":
        """Return the marks of a cohort as its files hold them now."""
        return cls(cohort, HandoutRecord(cohort.record), Journal(cohort.journal), gradebook.of(cohort).by_hand())

    def rows_of(self, learner: str) -> list[Row]:
        """Return the rows of a learner, with one for every part not handed in of who is still there."""
        rows: list[Row] = []
        handed = None
        for topic in self.record.topics_of(learner):
            result = self.journal.get((learner, topic))
            if result:
                rows += manual_marks.over(result.rows, self._by_hand, {(learner, topic): result})
            elif learner in self.names:
                handed = handed or self.record.by_topic(learner)
                missing = (row for one in handed[topic] for row in _not_handed_in(one))
                rows += manual_marks.over(missing, self._by_hand, {})
        return rows

    def by_learner(self) -> Iterator[tuple[str, list[Row]]]:
        """Yield each learner who has rows, with them, in the order of the record."""
        return ((learner, rows) for learner in self.record.learners if (rows := self.rows_of(learner)))

    def results_of(self, learner: str) -> list[Result]:
        """Return what a learner's topics came to, of those that were marked."""
        found = (self.journal.get((learner, topic)) for topic in self.record.topics_of(learner))
        return [result for result in found if result]

    def overrides(self) -> list[Override]:
        """Return the marks by hand that stand over another automatic mark than the one they were given over."""
        found: list[Override] = []
        for key in dict.fromkeys((learner, topic) for learner, topic, _, _ in self._by_hand):
            result = self.journal.get(key)
            if result:
                found += manual_marks.overrides(result.rows, self._by_hand, {key: result})
        return found


def each_row_now(cohort: Cohort) -> Iterator[Row]:
    """Yield everyone's marks learner by learner, so that not all of them are in memory."""
    return (row for _, rows in Marks.of(cohort).by_learner() for row in rows)


def _not_handed_in(one: Handed) -> list[Row]:
    parts = sheets.find(one.topic, one.exercise).parts
    missing = 0.0, Code.NOT_HANDED_IN, Code.NOT_HANDED_IN.label
    return [
        Row(one.learner, one.topic, one.exercise, part.name, missing[0], part.points, *missing[1:], "")
        for part in parts
    ]


class CopiedAnswers:
    """The copied answers of a cohort, gathered a result at a time."""

    def __init__(self) -> None:
        self._exercises: dict[tuple[str, str], second_run.Copies] = {}

    def add(self, result: Result) -> None:
        """Add what a learner's topic came to."""
        for exercise, key in result.keys.items():
            numbers = result.numbers[exercise]
            wrong = tuple(
                row.part
                for row in result.rows
                if row.exercise == exercise and row.verdict is Code.NOT_RIGHT and row.part in numbers
            )
            place = result.topic, exercise
            if place not in self._exercises:
                self._exercises[place] = second_run.Copies(result.topic, sheets.find(*place))
            self._exercises[place].add(second_run.LearnerAnswers(result.learner, numbers, wrong, key))

    def found(self) -> list[Copied]:
        """Return what was copied, exercise by exercise."""
        return [found for one in self._exercises.values() for found in one.found()]


def write_marks(cohort: Cohort, rows: Iterable[Row]) -> None:
    """Write marks.csv."""
    with writing_whole(cohort.marks) as file:
        file.write("\ufeff")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        for row in rows:
            writer.writerow([_cell(value) for value in row.as_tuple()])


def _cell(value: object) -> object:
    """Return a value as a spreadsheet may safely read it."""
    if isinstance(value, Code):
        return value.label
    return harmless(value) if isinstance(value, str) else value


def names(cohort: Cohort) -> dict[str, str]:
    """Return the names of those who are still with the cohort, by id."""
    return {learner.id: learner.name for learner in roster.read(cohort.roster, may_be_empty=True) if not learner.left}
