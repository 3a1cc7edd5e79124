"""The cohort's report: who stands where, which parts mislead, and what a person should look at.

One page holds one topic, or several topics of a small cohort. `pages` gives an index and a page for each topic;
`parted` does so for a cohort too large for one page, with further pages for some hundreds of learners each.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields

from graders.judging.marks import Copied, Finding, Happened, Override, Row
from graders.report import heatmap, html, sections, statistics
from graders.report.feedback_page import WHAT_A_MARK_IS, marked_line, topic_title
from graders.report.gathered import Gathered, Whole, grouped
from graders.report.html import anchor, items, linked, percent, person, text
from graders.report.learners import Learners

INDEX = "report.html"
"""The file name of the index among `pages`."""

LEARNERS_A_PAGE = 500
"""Learners above which a page would be slow to open: then the report is parted into pages of as many."""

TEACH_AGAIN = "What to teach again"
INDEX_SLIPS = 12
"""Commonest slips of all topics that the index shows; each topic's page shows its own."""


@dataclass(frozen=True)
class Material:
    """What the pages of some learners are made of.

    ``rows`` are in the order of the sheets. ``findings`` and ``copied`` are what the second run with fresh numbers
    showed, and answers that are right for someone else's givens; ``overrides`` marks by hand whose automatic mark has
    changed since; ``happened`` what was put right, stopped or could not be read in marking.
    """

    rows: Sequence[Row]
    findings: Sequence[Finding] = ()
    copied: Sequence[Copied] = ()
    overrides: Sequence[Override] = ()
    happened: Sequence[Happened] = ()

    def topic(self, topic: str) -> "Material":
        """Return what is of one topic."""
        return Material(*([one for one in getattr(self, field.name) if one.topic == topic] for field in fields(self)))


def pages(
    title: str,
    of: Material,
    names: Mapping[str, str],
    links: Mapping[tuple[str, str], str],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
) -> dict[str, str]:
    """Return the whole report, file name to page: an index, and a page for each topic. Arguments as in `page`."""
    files = {topic: f"report-{anchor(topic)}.html" for topic in grouped(of.rows, lambda row: row.topic)}
    made = {INDEX: index(title, of.rows, names, files, when, edition, notes)}
    for topic, file in files.items():
        made[file] = page(title, of.topic(topic), names, links, when, edition, notes, INDEX)
    return made


def page(
    title: str,
    of: Material,
    names: Mapping[str, str],
    links: Mapping[tuple[str, str], str],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
    home: str = "",
) -> str:
    """Return the report of a cohort on the topics its rows hold.

    Parameters
    ----------
    title : str
        The cohort's name.
    of : Material
    names : mapping from learner to name
        The roster. Who has no row has handed in nothing.
    links : mapping from (learner, topic) to a relative path
        Where the feedback pages are.
    when, edition : str
        When the marking ran, and the version of the workbook that marked.
    notes : sequence of str
        What the reader must know first, such as parts that were voided and why.
    home : str, optional
        The index, to link back to.
    """
    learners, gathered = Learners(names, (row.learner for row in of.rows), links), Gathered.of(of.rows)
    by_topic = grouped(of.rows, lambda row: row.topic)
    told = [
        (TEACH_AGAIN, sections.slips(gathered.slips.found())),
        ("Needs a look", sections.needs_a_look(of.rows, learners)),
        ("What happened in marking", sections.happened(of.happened, learners)),
        ("Waits for a mark by hand", sections.waits_for_a_mark(of.rows, learners)),
        ("Marked by hand, automatic mark changed since", sections.overridden(of.overrides, learners)),
        ("Marked by hand", sections.by_hand(of.rows, learners)),
        *((topic_title(topic), heatmap.of_parts(topic, own, learners)) for topic, own in by_topic.items()),
        *(
            (f"Parts of {topic}", sections.parts(topic, statistics.topic_figures(own)))
            for topic, own in by_topic.items()
        ),
        ("Gates missed", sections.gates(gathered.gates.found())),
        ("Fresh numbers", sections.fresh_numbers(of.findings, learners)),
        ("Someone else's numbers", sections.copied_numbers(of.copied, learners)),
        ("Not handed in", sections.not_handed_in(of.rows, learners)),
    ]
    subject = f"{title}: {', '.join(by_topic)}" if by_topic else title
    return _whole(subject, _head(subject, gathered, learners, home), notes, told, when, edition)


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
    learners, whole = Learners(names, (row.learner for row in rows)), Whole.of(rows)
    told = [
        *_of_all_topics(whole, links),
        ("Learners", heatmap.of_topics(grouped(rows, lambda row: row.topic), learners)),
        ("Not handed in", sections.not_handed_in(rows, learners)),
    ]
    return _whole(title, _head(title, whole.all, learners), notes, told, when, edition)


def _of_all_topics(whole: Whole, links: Mapping[str, str]) -> list[tuple[str, str]]:
    titles = {topic: topic_title(topic) for topic in whole.topics}
    slips = sections.slips(whole.all.slips.found(), INDEX_SLIPS)
    return [(TEACH_AGAIN, slips), ("Topics", sections.topics(whole, titles, links))]


def _head(title: str, gathered: Gathered, learners: Learners, home: str = "") -> str:
    figures = [
        f"<b>{len(learners.ids):,}</b>learners",
        f"<b>{gathered.handed_in:,}</b>handed something in",
        f"<b>{'–' if gathered.share is None else percent(gathered.share)}</b>of the points judged",
        f"<b>{gathered.look:,}</b>answers need a look",
        f"<b>{gathered.waiting.total():,}</b>answers wait for a mark by hand",
    ]
    back = f"<p>{linked(home, 'All topics')}</p>" if home else ""
    return (
        f'<header class="wide">{back}<p class="kicker">Report</p><h1>{text(title, 200)}</h1>'
        f"<p>{WHAT_A_MARK_IS}</p>{items(figures, 'figures')}</header>"
    )


def parted(
    title: str,
    learners: Learners,
    whole: Whole,
    of: Callable[[Sequence[str]], Material],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
) -> Iterator[tuple[str, str]]:
    """Yield the report of a cohort too large for a page: the name and text of one page after another.

    The index and each topic's page say what is of all together, and lead to pages of `LEARNERS_A_PAGE` learners each.

    Parameters
    ----------
    learners : Learners
        All of them, in the order of their names.
    whole : Whole
    of : callable
        Gives what some learners' pages are made of.
    title, when, edition, notes
        As in `page`.
    """
    groups = [learners.ids[first : first + LEARNERS_A_PAGE] for first in range(0, len(learners.ids), LEARNERS_A_PAGE)]
    files = {topic: f"report-{anchor(topic)}.html" for topic in whole.topics}
    told = [*_of_all_topics(whole, files), ("Learners", _ways(learners, groups, "learners"))]
    yield INDEX, _whole(title, _head(title, whole.all, learners), notes, told, when, edition, "")
    for topic, gathered in whole.topics.items():
        subject = f"{title}: {topic}"
        told = [
            (TEACH_AGAIN, sections.slips(gathered.slips.found())),
            ("Waits for a mark by hand", sections.waiting_by_part(gathered.waiting)),
            ("Learners", _ways(learners, groups, topic)),
            (f"Parts of {topic}", sections.parts(topic, whole.counts[topic].figures())),
            ("Gates missed", sections.gates(gathered.gates.found())),
            ("Fresh numbers", sections.fresh_by_part(gathered.findings)),
        ]
        yield files[topic], _whole(subject, _head(subject, gathered, learners, INDEX), notes, told, when, edition, "")
    for place, ids in enumerate(groups):
        made, some = of(ids), learners.only(ids)
        by_topic = grouped(made.rows, lambda row: row.topic)
        told = [
            ("Learners", heatmap.of_topics(by_topic, some)),
            ("Not handed in", sections.not_handed_in(made.rows, some)),
        ]
        subject = f"{title}: {_from_to(groups, place)}"
        head = _head(subject, Gathered.of(made.rows), some, INDEX)
        yield _file("learners", place), _whole(subject, head, notes, told, when, edition)
        for topic in whole.topics:
            yield _file(topic, place), _of_some(f"{subject}: {topic}", topic, made.topic(topic), some, when, edition)


def _of_some(subject: str, topic: str, of: Material, learners: Learners, when: str, edition: str) -> str:
    """Return the page of some learners in one topic."""
    told = [
        ("Needs a look", sections.needs_a_look(of.rows, learners)),
        ("What happened in marking", sections.happened(of.happened, learners)),
        ("Waits for a mark by hand", sections.waits_for_a_mark(of.rows, learners)),
        ("Marked by hand, automatic mark changed since", sections.overridden(of.overrides, learners)),
        ("Marked by hand", sections.by_hand(of.rows, learners)),
        (topic_title(topic), heatmap.of_parts(topic, of.rows, learners)),
        ("Fresh numbers", sections.fresh_by_learner(of.findings, learners)),
        ("Someone else's numbers", sections.copied_numbers(of.copied, learners)),
        ("Not handed in", sections.not_handed_in(of.rows, learners)),
    ]
    head = _head(subject, Gathered.of(of.rows), learners, f"report-{anchor(topic)}.html")
    return _whole(subject, head, (), told, when, edition)


def _file(of: str, place: int) -> str:
    """Return the name of the page of a topic, or of all of them, for one group of learners."""
    return f"report-{anchor(of)}-{place + 1}.html"


def _ways(learners: Learners, groups: Sequence[Sequence[str]], of: str) -> str:
    """Return the ways to the pages of the groups of learners, each with its first and last name."""
    return items(
        f"{linked(_file(of, place), text(_from_to(groups, place)))}: "
        f"{person(learners.name(ids[0]))} to {person(learners.name(ids[-1]))}"
        for place, ids in enumerate(groups)
    )


def _from_to(groups: Sequence[Sequence[str]], place: int) -> str:
    before = sum(map(len, groups[:place]))
    return f"learners {before + 1:,} to {before + len(groups[place]):,}"


def _whole(
    title: str,
    head: str,
    notes: Sequence[str],
    told: Sequence[tuple[str, str]],
    when: str,
    edition: str,
    tools: str | None = None,
) -> str:
    """Return the page: head, what to know first, ways to the sections, the filter, the sections that say something.

    ``tools`` stand in place of the filter on a page that has no learner to find.
    """
    told = [(heading, body, f"s{place}") for place, (heading, body) in enumerate(told) if body]
    ways = items(f'<a href="#{id_}">{text(heading)}</a>' for heading, _, id_ in told)
    body = [
        head,
        f"<section><h2>Before you read on</h2>{items(map(text, notes))}</section>" if notes else "",
        f'<nav aria-label="Sections">{ways}</nav>',
        _FILTER if tools is None else tools,
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
