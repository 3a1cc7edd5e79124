"""What a report says of all learners together, gathered a learner at a time: no row is kept."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from graders.judging.marks import Finding, Row, needs_a_look, nothing_came, total, waits
from graders.report import statistics

Place = tuple[str, str, str]
"""Topic, exercise and part."""


def grouped(records: Iterable, key) -> dict:
    """Return records in lists by a key, in the order they came.

    >>> grouped(["ab", "c", "de"], len)
    {2: ['ab', 'de'], 1: ['c']}
    """
    groups = {}
    for record in records:
        groups.setdefault(key(record), []).append(record)
    return groups


@dataclass
class Gathered:
    """Of one topic, or of all: who handed in, the points judged, what needs a person, slips, gates and findings."""

    handed_in: int = 0
    points: float = 0.0
    out_of: int = 0
    look: int = 0
    waiting: Counter[Place] = field(default_factory=Counter)
    slips: statistics.SlipCounts = field(default_factory=statistics.SlipCounts)
    gates: statistics.GateCounts = field(default_factory=statistics.GateCounts)
    findings: dict[Place, Counter[str]] = field(default_factory=dict)

    @classmethod
    def of(cls, rows: Iterable[Row]) -> "Gathered":
        """Return what some rows, in any order, come to."""
        found = cls()
        for own in grouped(rows, lambda row: row.learner).values():
            found.add(own)
        return found

    def add(self, rows: Sequence[Row], findings: Iterable[Finding] = ()) -> None:
        """Add a learner's rows, and what the second run showed of them."""
        points, out_of = total(row for row in rows if statistics.counts(row))
        self.handed_in += not nothing_came(rows)
        self.points, self.out_of = self.points + points, self.out_of + out_of
        for row in rows:
            self.look += needs_a_look(row)
            if waits(row):
                self.waiting[row.topic, row.exercise, row.part] += 1
            self.slips.add(row)
            self.gates.add(row)
        for one in findings:
            self.findings.setdefault((one.topic, one.exercise, one.part), Counter())[one.finding] += 1

    @property
    def share(self) -> float | None:
        """The share of the points judged; None where nothing is judged."""
        return self.points / self.out_of if self.out_of else None


class Whole:
    """What a report says of a whole cohort: over all topics, and topic by topic in the order they were met."""

    def __init__(self) -> None:
        self.all = Gathered()
        self.topics: dict[str, Gathered] = {}
        self.counts: dict[str, statistics.TopicCounts] = {}

    def add(self, rows: Sequence[Row], findings: Sequence[Finding] = ()) -> None:
        """Add a learner's rows of all topics, and what the second run showed of them."""
        self.all.add(rows)
        shown = grouped(findings, lambda one: one.topic)
        for topic, of in grouped(rows, lambda row: row.topic).items():
            self.topics.setdefault(topic, Gathered()).add(of, shown.get(topic, ()))
            counts = self.counts.setdefault(topic, statistics.TopicCounts())
            for row in of:
                counts.add(row)

    @classmethod
    def of(cls, rows: Iterable[Row]) -> "Whole":
        """Return what some rows, in any order, come to."""
        found = cls()
        for own in grouped(rows, lambda row: row.learner).values():
            found.add(own)
        return found
