"""One row a learner: what each topic came to, the sum of the term, and whether it passes.

What counts. An answer in words that nobody has marked yet *waits*: it is in no sum, neither as points nor as points
there are. A topic that has not come counts nothing once it was due; before that it is *to come*, in no sum either.
Where a topic has no due time, it is to come until the first of the class has handed it in. So `Total.per_cent` is of
what is judged, and pass and grade are given once neither what waits nor what is to come can change them. A topic of the
cohort that a learner was not handed is to come with points that nobody knows yet: anything may still become of it. Who
left before it was handed out waits likewise, and nothing is to come of them.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from graders.cohort import arrival, clock, roster, tables
from graders.cohort.paths import Cohort
from graders.cohort.roster import Learner
from graders.cohort.settings import TOTAL, Settings
from graders.judging.marks import Row, waits
from graders.marking import marks_csv
from graders.questions.verdicts import Code

YES, NO, WAITS = "yes", "no", "waits"
ANYTHING = (0.0, 100.0)
"""Per cent, where nobody knows yet what there is to earn."""


@dataclass(slots=True)
class TopicSum:
    """What one learner's topic came to: points, what they are out of, and the points that still wait for a mark."""

    points: float = 0.0
    out_of: int = 0
    waiting: int = 0
    came: bool = False

    def add(self, row: Row) -> None:
        """Add one part."""
        self.came |= row.verdict is not Code.NOT_HANDED_IN
        if waits(row):
            self.waiting += row.out_of
        else:
            self.points += row.points
            self.out_of += row.out_of


class Sums:
    """The sums of a cohort by learner and topic, added up as rows pass by: not all rows need be in memory."""

    def __init__(self, settings: Settings) -> None:
        self.of: dict[str, dict[str, TopicSum]] = {}
        self._dropped = {(one.topic, one.exercise, one.part) for one in settings.void if one.drops}

    def added(self, rows: Iterable[Row]) -> Iterator[Row]:
        """Yield rows on, having added each. What is dropped for all counts for nobody, also where nothing came."""
        for row in rows:
            held = self.of.setdefault(row.learner, {}).setdefault(row.topic, TopicSum())
            if (row.topic, row.exercise, row.part) not in self._dropped:
                held.add(row)
            yield row

    def came(self) -> set[str]:
        """Return the topics that somebody has handed in."""
        return {topic for by_topic in self.of.values() for topic, one in by_topic.items() if one.came}


@dataclass(frozen=True)
class Total:
    """One learner's term: the topics that count so far, those to come, and what came late, in words."""

    learner: Learner
    topics: dict[str, TopicSum]
    to_come: dict[str, TopicSum] = field(default_factory=dict)
    late: dict[str, str] = field(default_factory=dict)
    not_handed_out: tuple[str, ...] = ()
    """The topics of the cohort that the learner has not been handed."""

    @property
    def points(self) -> float:
        return sum(one.points for one in self.topics.values())

    @property
    def out_of(self) -> int:
        """The points judged so far."""
        return sum(one.out_of for one in self.topics.values())

    @property
    def waiting(self) -> int:
        """The points of answers in words that nobody has marked yet."""
        return sum(one.waiting for one in self.topics.values())

    @property
    def per_cent(self) -> float | None:
        """The points in per cent of those judged, to two decimals; None where nothing is judged."""
        return _per_cent(self.points, self.out_of)

    @property
    def missing(self) -> list[str]:
        """The topics that did not come and count nothing."""
        return [topic for topic, one in self.topics.items() if not one.came]

    def grade(self, settings: Settings) -> str:
        """Return the grade, `WAITS` where what is open may change it, or nothing where there are no grades."""
        return _certain(settings.grade(per_cent) for per_cent in self._span())

    def passes(self, settings: Settings) -> str:
        """Return whether the learner passes: `YES`, `NO`, or `WAITS`; nothing where nothing is asked for."""
        if not settings.to_pass:
            return ""
        asked = [(self._span(), settings.to_pass.get(TOTAL, 0.0))]
        asked += [(_span([one], []), settings.asked_of(topic)) for topic, one in self.topics.items()]
        asked += [(_span([], [one]), settings.asked_of(topic)) for topic, one in self.to_come.items()]
        asked += [(ANYTHING, settings.asked_of(topic)) for topic in self.not_handed_out]
        least, most = (all(span[end] >= wanted for span, wanted in asked) for end in (0, 1))
        return _certain(YES if passes else NO for passes in (least, most))

    def _span(self) -> tuple[float, float]:
        """Return between which per cent of all points of the term the learner ends; of no points it is anything."""
        each = [*self.topics.values(), *self.to_come.values()]
        if self.not_handed_out or not any(one.out_of + one.waiting for one in each):
            return ANYTHING
        return _span(self.topics.values(), self.to_come.values())


def _span(judged: Iterable[TopicSum], to_come: Iterable[TopicSum]) -> tuple[float, float]:
    """Return the per cent of all points if nothing of what is open earns any, and if all of it does.

    Of a topic whose parts are all dropped, all points are earned: it is held against nobody.
    """
    judged = list(judged)
    points, out_of = sum(one.points for one in judged), sum(one.out_of for one in judged)
    still = sum(one.waiting for one in judged) + sum(one.out_of + one.waiting for one in to_come)
    least, most = (_per_cent(earned, out_of + still) for earned in (points, points + still))
    return 100.0 if least is None else least, 100.0 if most is None else most


def _per_cent(points: float, out_of: float) -> float | None:
    return round(100 * points / out_of, 2) if out_of else None


def _certain(ends: Iterable[str]) -> str:
    """Return what both ends of a span say, or `WAITS` where they differ."""
    one, *others = set(ends)
    return WAITS if others else one


def totals(cohort: Cohort, sums: Sums, settings: Settings, now: datetime) -> list[Total]:
    """Return the totals of everybody on the list, and of those who have marks and are not on it.

    Who left and never handed anything in has no row. ``now`` is in UTC without saying so.
    """
    people = {one.id: one for one in roster.read(cohort.roster, may_be_empty=True)} if cohort.roster.exists() else {}
    for learner in sums.of:
        people.setdefault(learner, Learner(learner, learner))
    came = sums.came()
    return [
        _total(cohort, learner, sums.of.get(learner.id, {}), settings, came, now)
        for learner in people.values()
        if learner.id in sums.of or not learner.left
    ]


def _total(
    cohort: Cohort, learner: Learner, own: dict[str, TopicSum], settings: Settings, came: set[str], now: datetime
) -> Total:
    counts: dict[str, TopicSum] = {}
    to_come: dict[str, TopicSum] = {}
    late: dict[str, str] = {}
    for topic in filter(own.__contains__, settings.topics):
        due = settings.due_for(learner.id, topic)
        over = topic in came if due is None else now > due
        (counts if own[topic].came or over else to_come)[topic] = own[topic]
        days = settings.days_late(learner.id, topic, arrival.handed_in(cohort, learner.id, topic))
        if days:
            late[topic] = f"{topic} {days} {'day' if days == 1 else 'days'}"
    return Total(learner, counts, to_come, late, tuple(topic for topic in settings.topics if topic not in own))


def write(cohort: Cohort, rows: Iterable[Row]) -> list[Total]:
    """Write marks.csv, totals.csv and import.csv from the rows of everyone, and return the totals."""
    settings = cohort.settings()
    sums = Sums(settings)
    marks_csv.write_marks(cohort, sums.added(rows))
    found = totals(cohort, sums, settings, clock.now())
    manner = settings.manner(roster.manner(cohort.roster))
    tables.write(cohort.totals, *_table(found, settings), manner)
    tables.write(cohort.for_import, *_for_import(found, settings), tables.PLAIN, mark="")
    return found


def _table(found: Sequence[Total], settings: Settings) -> tuple[list[str], list[list[tables.Cell]]]:
    """Return heads and lines of totals.csv."""
    others = roster.other_heads([one.learner for one in found])
    asked = {"pass": Total.passes} if settings.to_pass else {}
    asked |= {"grade": Total.grade} if settings.grades else {}
    left = any(one.learner.left for one in found)
    ours = [*settings.topics, "total", "out of", "per cent", *asked, "waiting", "late", "not handed in", "to come"]
    ours += ["left"] if left else []
    told = [f"{head} (of the list)" if head.casefold() in ours else head for head in others]
    lines = []
    for one in found:
        kept = dict(one.learner.others)
        came = {topic: of.points for topic, of in one.topics.items() if of.came}
        to_come = [*one.to_come, *(() if one.learner.left else one.not_handed_out)]
        lines.append(
            [
                *(one.learner.id, one.learner.name, *(kept.get(head) for head in others)),
                *(came.get(topic) for topic in settings.topics),
                *(one.points, one.out_of, one.per_cent, *(given(one, settings) for given in asked.values())),
                *(one.waiting, ", ".join(one.late.values()), ", ".join(one.missing), ", ".join(to_come)),
                *(["left" if one.learner.left else ""] if left else []),
            ]
        )
    return ["id", "name", *told, *ours], lines


def _for_import(found: Sequence[Total], settings: Settings) -> tuple[list[str], list[list[tables.Cell]]]:
    """Return heads and lines of import.csv: a topic that has not come, or waits for a mark, stays empty.

    Where not all learners' points of a topic are out of the same, its column is out of 100.
    """
    there = [one for one in found if not one.learner.left]
    columns = {topic: {one.topics[topic].out_of for one in there if _is_final(one, topic)} for topic in settings.topics}
    out_of = {topic: met.pop() if len(met) == 1 else 100 for topic, met in columns.items() if met}
    heads = ["id", "name", *(f"{topic} (out of {most})" for topic, most in out_of.items())]
    lines = []
    for one in there:
        final = {topic: one.topics[topic] for topic in out_of if _is_final(one, topic)}
        shares = {topic: of.points / of.out_of * out_of[topic] for topic, of in final.items()}
        lines.append([one.learner.id, one.learner.name, *(shares.get(topic) for topic in out_of)])
    return heads, lines


def _is_final(one: Total, topic: str) -> bool:
    """Whether a topic came, is judged whole and has points to give."""
    of = one.topics.get(topic)
    return of is not None and of.came and not of.waiting and of.out_of > 0
