"""How far the class is, for everybody to see: no names, no ids, and nothing from which one person can be picked out.

Of what fewer than `FEWEST` have handed in only the count is shown. A share is of the points judged, and a slip is told
once `FEWEST_SLIPS` learners made it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from graders import sheets
from graders.judging.marks import Row, total
from graders.questions.verdicts import Code
from graders.report import html, statistics
from graders.report.feedback_page import FEWEST_IN_A_SPREAD as FEWEST
from graders.report.feedback_page import topic_title
from graders.report.gathered import grouped
from graders.report.html import bars, count, items, percent, text

FEWEST_SLIPS = 3
SLIPS = 5
_LIVE = """
<p class="live" hidden><label><input type="checkbox"> Look for news every half minute</label></p>
"""
"""Off until somebody wants it: a page that renews itself unasked disturbs whoever reads it slowly or by ear."""


@dataclass
class Turnout:
    """Of one exercise, or of all of a topic: how many were asked, from how many all parts came, and their points."""

    asked: int = 0
    came: int = 0
    points: float = 0.0
    out_of: int = 0

    def add(self, rows: Sequence[Row]) -> None:
        """Add a learner's rows."""
        points, out_of = total(row for row in rows if statistics.counts(row))
        self.asked += 1
        self.came += all(row.verdict is not Code.NOT_HANDED_IN for row in rows)
        self.points, self.out_of = self.points + points, self.out_of + out_of


@dataclass
class TopicProgress:
    """How far a class is in one topic."""

    whole: Turnout = field(default_factory=Turnout)
    exercises: dict[str, Turnout] = field(default_factory=dict)
    slips: statistics.SlipCounts = field(default_factory=statistics.SlipCounts)


class ClassProgress:
    """How far a class is, gathered a learner at a time: no row is kept."""

    def __init__(self) -> None:
        self.topics: dict[str, TopicProgress] = {}

    def add(self, rows: Sequence[Row]) -> None:
        """Add a learner's rows."""
        for topic, of in grouped(rows, lambda row: row.topic).items():
            here = self.topics.setdefault(topic, TopicProgress())
            here.whole.add(of)
            for exercise, own in grouped(of, lambda row: row.exercise).items():
                here.exercises.setdefault(exercise, Turnout()).add(own)
            for row in of:
                here.slips.add(row)


def page(title: str, progress: ClassProgress, learners: int, when: str) -> str:
    """Return the page of a class.

    Parameters
    ----------
    title : str
        The cohort's name.
    progress : ClassProgress
        Of everybody who is there.
    learners : int
        How many are there.
    when : str
        When the marking ran.
    """
    head = f'<p class="kicker">The class</p><h1>{text(title, 200)}</h1><p>{count(learners, "learner")}</p>'
    body = [
        f"<header>{head}</header>{_LIVE}",
        *(_topic(topic, of) for topic, of in progress.topics.items()),
        f"<footer><p>Marked {text(when)}. This page names nobody.</p></footer>",
    ]
    return html.page(f"{title}: the class", "\n".join(body), script="class.js")


def _topic(topic: str, of: TopicProgress) -> str:
    drawn = [_bar(_title(topic, exercise), came) for exercise, came in of.exercises.items()]
    drawn.append(_bar("All of it", of.whole))
    said = "; ".join(f"{label}, {figure}" for label, figure, _ in drawn)
    return f"<section><h2>{text(topic_title(topic))}</h2>{bars(drawn, said)}{_slips(topic, of.slips)}</section>"


def _bar(label: str, of: Turnout) -> tuple[str, str, float]:
    """Return label, figure and share of the learners from whom all of these parts came."""
    return label, f"{of.came} of {of.asked} handed in{_share(of)}", of.came / of.asked


def _title(topic: str, exercise: str) -> str:
    """Return an exercise's title, or its id where this version has none of it."""
    return next((one.title for one in sheets.exercises(topic) if one.id == exercise), exercise)


def _share(of: Turnout) -> str:
    """Return the share of the points judged; nothing where it would be that of a few."""
    return f", {percent(of.points / of.out_of)} of the points" if of.came >= FEWEST and of.out_of else ""


def _slips(topic: str, made: statistics.SlipCounts) -> str:
    """Return the commonest slips in their words; nothing where only a few made them or are judged."""
    common = [one for one in made.found() if one.made >= FEWEST_SLIPS and one.judged >= FEWEST]
    lines = items(
        f"<b>{count(one.made, 'learner')}</b>, {text(_title(topic, one.exercise), 120)}: {text(one.words)}"
        for one in common[:SLIPS]
    )
    return f"<h3>What to look at again</h3>{lines}" if lines else ""
