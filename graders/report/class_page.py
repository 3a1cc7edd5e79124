"""How far the class is, for everybody to see: no names, no ids, and nothing from which one person can be picked out.

Of what fewer than `FEWEST` have handed in only the count is shown. A share is of the points judged, and a slip is told
once `FEWEST_SLIPS` learners made it.
"""

from collections.abc import Iterable

from graders import sheets
from graders.judging.marks import Row, total
from graders.questions.verdicts import Code
from graders.report import html, sections, statistics
from graders.report.feedback_page import FEWEST_IN_A_SPREAD as FEWEST
from graders.report.feedback_page import topic_title
from graders.report.html import bars, count, items, percent, text

FEWEST_SLIPS = 3
SLIPS = 5
_LIVE = """
<p class="live" hidden><label><input type="checkbox"> Look for news every half minute</label></p>
"""
"""Off until somebody wants it: a page that renews itself unasked disturbs whoever reads it slowly or by ear."""


def page(title: str, rows: Iterable[Row], learners: int, when: str) -> str:
    """Return the page of a class.

    Parameters
    ----------
    title : str
        The cohort's name.
    rows : iterable of Row
        Of everybody who is there.
    learners : int
        How many are there.
    when : str
        When the marking ran.
    """
    by_topic = sections.grouped(rows, lambda row: row.topic)
    head = f'<p class="kicker">The class</p><h1>{text(title, 200)}</h1><p>{count(learners, "learner")}</p>'
    body = [
        f"<header>{head}</header>{_LIVE}",
        *(_topic(topic, of) for topic, of in by_topic.items()),
        f"<footer><p>Marked {text(when)}. This page names nobody.</p></footer>",
    ]
    return html.page(f"{title}: the class", "\n".join(body), script="class.js")


def _topic(topic: str, rows: list[Row]) -> str:
    by_exercise = sections.grouped(rows, lambda row: row.exercise)
    drawn = [_bar(_title(topic, exercise), of) for exercise, of in by_exercise.items()]
    drawn.append(_bar("All of it", rows))
    said = "; ".join(f"{label}, {figure}" for label, figure, _ in drawn)
    return f"<section><h2>{text(topic_title(topic))}</h2>{bars(drawn, said)}{_slips(topic, rows)}</section>"


def _bar(label: str, rows: list[Row]) -> tuple[str, str, float]:
    """Return label, figure and share of the learners from whom all of these parts came."""
    asked = {row.learner for row in rows}
    came = asked - {row.learner for row in rows if row.verdict is Code.NOT_HANDED_IN}
    return label, f"{len(came)} of {len(asked)} handed in{_share(rows, len(came))}", len(came) / len(asked)


def _title(topic: str, exercise: str) -> str:
    """Return an exercise's title, or its id where this version has none of it."""
    return next((one.title for one in sheets.exercises(topic) if one.id == exercise), exercise)


def _share(rows: list[Row], came: int) -> str:
    """Return the share of the points judged; nothing where it would be that of a few."""
    points, out_of = total(row for row in rows if statistics.counts(row))
    return f", {percent(points / out_of)} of the points" if came >= FEWEST and out_of else ""


def _slips(topic: str, rows: list[Row]) -> str:
    """Return the commonest slips in their words; nothing where only a few made them or are judged."""
    common = [one for one in statistics.slips(rows) if one.made >= FEWEST_SLIPS and one.judged >= FEWEST]
    lines = items(
        f"<b>{count(one.made, 'learner')}</b>, {text(_title(topic, one.exercise), 120)}: {text(one.words)}"
        for one in common[:SLIPS]
    )
    return f"<h3>What to look at again</h3>{lines}" if lines else ""
