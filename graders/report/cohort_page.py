"""The cohort's report: who stands where, which parts mislead, and what a person should look at.

One page holds one topic, or several topics of a small cohort. `pages` gives an index and a page for each topic, which
stays usable for a thousand learners.
"""

from collections.abc import Mapping, Sequence

from graders.judging.marks import Copied, Finding, Happened, Override, Row, needs_a_look, total, waits
from graders.questions.verdicts import Code
from graders.report import heatmap, html, sections, statistics
from graders.report.feedback_page import WHAT_A_MARK_IS, marked_line, topic_title
from graders.report.html import anchor, items, linked, percent, text
from graders.report.learners import Learners

INDEX = "report.html"
"""The file name of the index among `pages`."""

TEACH_AGAIN = "What to teach again"
INDEX_SLIPS = 12
"""Commonest slips of all topics that the index shows; each topic's page shows its own."""


def pages(
    title: str,
    rows: Sequence[Row],
    names: Mapping[str, str],
    findings: Sequence[Finding],
    copied: Sequence[Copied],
    links: Mapping[tuple[str, str], str],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
    overrides: Sequence[Override] = (),
    happened: Sequence[Happened] = (),
) -> dict[str, str]:
    """Return the whole report, file name to page: an index, and a page for each topic. Arguments as in `page`."""
    by_topic = sections.grouped(rows, lambda row: row.topic)
    files = {topic: f"report-{anchor(topic)}.html" for topic in by_topic}
    made = {INDEX: index(title, rows, names, files, when, edition, notes)}
    for topic, file in files.items():
        found = [one for one in findings if one.topic == topic]
        taken = [one for one in copied if one.topic == topic]
        over = [one for one in overrides if one.topic == topic]
        met = [one for one in happened if one.topic == topic]
        made[file] = page(title, by_topic[topic], names, found, taken, links, when, edition, notes, over, met, INDEX)
    return made


def page(
    title: str,
    rows: Sequence[Row],
    names: Mapping[str, str],
    findings: Sequence[Finding],
    copied: Sequence[Copied],
    links: Mapping[tuple[str, str], str],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
    overrides: Sequence[Override] = (),
    happened: Sequence[Happened] = (),
    home: str = "",
) -> str:
    """Return the report of a cohort on the topics its rows hold.

    Parameters
    ----------
    title : str
        The cohort's name.
    rows : sequence of Row
        In the order of the sheets.
    names : mapping from learner to name
        The roster. Who has no row has handed in nothing.
    findings, copied : sequences
        What the second run with fresh numbers showed, and answers that are right for someone else's givens.
    links : mapping from (learner, topic) to a relative path
        Where the feedback pages are.
    when, edition : str
        When the marking ran, and the version of the workbook that marked.
    notes : sequence of str
        What the reader must know first, such as parts that were voided and why.
    overrides : sequence of Override
        Marks by hand whose automatic mark has changed since.
    happened : sequence of Happened
        What was put right, stopped or could not be read in marking.
    home : str, optional
        The index, to link back to.
    """
    learners = Learners(names, rows, links)
    by_topic = sections.grouped(rows, lambda row: row.topic)
    told = [
        (TEACH_AGAIN, sections.slips(rows)),
        ("Needs a look", sections.needs_a_look(rows, learners)),
        ("What happened in marking", sections.happened(happened, learners)),
        ("Waits for a mark by hand", sections.waits_for_a_mark(rows, learners)),
        ("Marked by hand, automatic mark changed since", sections.overridden(overrides, learners)),
        ("Marked by hand", sections.by_hand(rows, learners)),
        *((topic_title(topic), heatmap.of_parts(topic, of, learners)) for topic, of in by_topic.items()),
        *((f"Parts of {topic}", sections.parts(topic, of)) for topic, of in by_topic.items()),
        ("Gates missed", sections.gates(rows)),
        ("Fresh numbers", sections.fresh_numbers(findings, learners)),
        ("Someone else's numbers", sections.copied_numbers(copied, learners)),
        ("Not handed in", sections.not_handed_in(rows, learners)),
    ]
    subject = f"{title}: {', '.join(by_topic)}" if by_topic else title
    return _whole(subject, _head(subject, rows, learners, home), notes, told, when, edition)


def index(
    title: str,
    rows: Sequence[Row],
    names: Mapping[str, str],
    links: Mapping[str, str],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
) -> str:
    """Return the page over all topics; ``links`` are the topics' pages by topic. Other arguments as in `page`."""
    learners = Learners(names, rows)
    by_topic = sections.grouped(rows, lambda row: row.topic)
    titles = {topic: topic_title(topic) for topic in by_topic}
    told = [
        (TEACH_AGAIN, sections.slips(rows, INDEX_SLIPS)),
        ("Topics", sections.topics(by_topic, titles, links)),
        ("Learners", heatmap.of_topics(by_topic, learners)),
        ("Not handed in", sections.not_handed_in(rows, learners)),
    ]
    return _whole(title, _head(title, rows, learners), notes, told, when, edition)


def _head(title: str, rows: Sequence[Row], learners: Learners, home: str = "") -> str:
    handed_in = {row.learner for row in rows if row.verdict is not Code.NOT_HANDED_IN}
    points, out_of = total(row for row in rows if statistics.counts(row))
    figures = [
        f"<b>{len(learners.ids):,}</b>learners",
        f"<b>{len(handed_in):,}</b>handed something in",
        f"<b>{percent(points / out_of) if out_of else '–'}</b>of the points judged",
        f"<b>{sum(map(needs_a_look, rows)):,}</b>answers need a look",
        f"<b>{sum(map(waits, rows)):,}</b>answers wait for a mark by hand",
    ]
    back = f"<p>{linked(home, 'All topics')}</p>" if home else ""
    return (
        f'<header class="wide">{back}<p class="kicker">Report</p><h1>{text(title, 200)}</h1>'
        f"<p>{WHAT_A_MARK_IS}</p>{items(figures, 'figures')}</header>"
    )


def _whole(
    title: str, head: str, notes: Sequence[str], told: Sequence[tuple[str, str]], when: str, edition: str
) -> str:
    """Return the page: head, what to know first, ways to the sections, the filter, the sections that say something."""
    told = [(heading, body, f"s{place}") for place, (heading, body) in enumerate(told) if body]
    ways = items(f'<a href="#{id_}">{text(heading)}</a>' for heading, _, id_ in told)
    body = [
        head,
        f"<section><h2>Before you read on</h2>{items(map(text, notes))}</section>" if notes else "",
        f'<nav aria-label="Sections">{ways}</nav>',
        _FILTER,
        *(f'<section id="{id_}"><h2>{text(heading)}</h2>{body}</section>' for heading, body, id_ in told),
        f"<footer><p>{marked_line(when, edition)}</p></footer>",
    ]
    return html.page(title, "\n".join(body), script="cohort.js")


_FILTER = """
<form class="tools" hidden role="search">
<label>Name or id contains <input type="search" autocomplete="off"></label>
<label>Show in the maps <select>
<option value="">everyone</option>
<option value="look">who needs a look</option>
<option value="missing">who has something not handed in</option>
<option value="low">who has under half of the points judged</option>
</select></label>
<p role="status"></p>
</form>
"""
