"""The cohort's report: who stands where, which parts mislead, and what a person should look at.

One page holds one topic well, and several topics of a small cohort. `pages` gives an index and one page per topic,
which stays usable for a thousand learners.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence

from graders.judge import LOOK
from graders.marks import FINDINGS, NOT_HANDED_IN, Copied, Finding, Row, total
from graders.report import html, statistics
from graders.report.feedback import WHAT_A_MARK_IS, topic_title
from graders.report.html import anchor, count, href, items, number, percent, person, text

INDEX = "report.html"
"""The file name of the index among `pages`."""

LINES_SHOWN = 500
"""Lines of a list before it is folded away."""

KEY = (
    ("", "2", "all points"),
    ("b", "1.5", "most"),
    ("c", "1", "about half"),
    ("d", "0.5", "some"),
    ("e", "0", "none"),
    ("z", "·", "no answer yet"),
    ("q", "?", "needs a look"),
    ("w", "✎", "waits for a mark by hand"),
    ("n", "–", "not handed in"),
    ("v", "×", "dropped for all"),
)
"""What a cell of the map can be: class, text, meaning. The commonest has no class, to keep the page small."""


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
) -> dict[str, str]:
    """Return the whole report as file name -> page: an index, and one page per topic beside it. Arguments as in `page`."""
    topics = list(dict.fromkeys(row.topic for row in rows))
    files = {topic: f"report-{anchor(topic)}.html" for topic in topics}

    def of(topic, records):
        return [record for record in records if record.topic == topic]

    made = {INDEX: index(title, rows, names, files, when, edition, notes)}
    for topic, file in files.items():
        kept = [of(topic, records) for records in (rows, findings, copied)]
        made[file] = page(f"{title}: {topic}", kept[0], names, *kept[1:], links, when, edition, home=INDEX)
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
        The roster. Who has no row here has not handed in.
    findings, copied : sequences
        What the second run with fresh numbers showed, and answers that are right for someone else's givens.
    links : mapping from (learner, topic) to a relative path
        Where the feedback pages are.
    when, edition : str
        When the marking ran, and the version of the workbook that marked.
    notes : sequence of str
        What the reader must know first, such as parts that were voided and why.
    home : str, optional
        The index, to link back to.
    """
    by_topic = _grouped(rows, lambda row: row.topic)
    place = {learner: number_ for number_, learner in enumerate(_roster(names, rows))}
    who = _Who(names, links, place)
    sections = [_topic(topic, of, who) for topic, of in by_topic.items()]
    body = [
        _head(title, rows, names, notes, home),
        _tools(),
        _needs_a_look(rows, who),
        _by_hand(rows),
        _not_handed_in(rows, who, list(by_topic)),
        *sections,
        _slips(rows),
        _findings(findings, who),
        _copied(copied, who),
        _foot(when, edition),
    ]
    return html.page(title, "\n".join(part for part in body if part), script="cohort.js")


def index(
    title: str,
    rows: Sequence[Row],
    names: Mapping[str, str],
    links: Mapping[str, str],
    when: str,
    edition: str,
    notes: Sequence[str] = (),
) -> str:
    """Return the page over all topics: each learner's share of each topic, each topic in numbers. ``links`` by topic."""
    by_topic = _grouped(rows, lambda row: row.topic)
    place = {learner: number_ for number_, learner in enumerate(_roster(names, rows))}
    who = _Who(names, {}, place)
    body = [
        _head(title, rows, names, notes, ""),
        _topics_table(by_topic, links),
        _tools(),
        _map(
            "Learners by topic",
            [("", [_linked(links.get(topic, ""), text(topic)) for topic in by_topic])],
            [_index_line(learner, by_topic, who) for learner in _with_rows(rows, place, by_topic)],
        ),
        _foot(when, edition),
    ]
    return html.page(title, "\n".join(part for part in body if part), script="cohort.js")


class _Who:
    """How a learner is written: the name, the id where names repeat, and the way to the feedback page."""

    def __init__(self, names: Mapping[str, str], links: Mapping[tuple[str, str], str], place: Mapping[str, int]):
        self.links, self.place = links, place
        met = Counter(names.values())
        self.shown = {}
        for learner in place:
            known = names.get(learner)
            plain = known is not None and known.strip() and met[known] == 1
            self.shown[learner] = person(known) if plain else f"{person(known or '')} {text(learner, 120)}".strip()

    def named(self, learner: str, topic: str = "") -> str:
        return _linked(self.links.get((learner, topic), ""), self.shown.get(learner) or text(learner, 120))

    def line(self, learner: str, cells: str, kinds: str = "", topic: str = "") -> str:
        """Return a table's line of one learner, which the filter finds by its name."""
        kept = f' data-k="{kinds}"' if kinds else ""
        return f'<tr data-n="{self.place.get(learner, "")}"{kept}><th scope="row">{self.named(learner, topic)}</th>{cells}</tr>'


def _grouped(records: Iterable, key) -> dict:
    grouped = defaultdict(list)
    for record in records:
        grouped[key(record)].append(record)
    return dict(grouped)


def _roster(names: Mapping[str, str], rows: Iterable[Row]) -> list[str]:
    """Return all learners, by name as people sort it."""
    learners = dict.fromkeys(names) | dict.fromkeys(row.learner for row in rows)
    return sorted(learners, key=lambda learner: (str(names.get(learner, learner)).casefold(), learner))


def _linked(target: str, shown: str) -> str:
    return f'<a href="{href(target)}">{shown}</a>' if target else shown


def _words(variable: str) -> str:
    return text(variable.replace("_", " "), 120)


def _part_words(record) -> str:
    return f"{text(record.exercise, 120)}: {_words(record.part)}"


def _head(title: str, rows: Sequence[Row], names: Mapping[str, str], notes: Sequence[str], home: str) -> str:
    handed_in = {row.learner for row in rows if row.verdict != NOT_HANDED_IN}
    points, out_of = total(row for row in rows if statistics.counts(row))
    figures = [
        f"<b>{len(set(names) | {row.learner for row in rows}):,}</b>learners",
        f"<b>{len(handed_in):,}</b>handed something in",
        f"<b>{percent(points / out_of) if out_of else '–'}</b>of the points judged",
        f"<b>{sum(row.verdict == LOOK for row in rows):,}</b>answers need a look",
    ]
    back = f'<p><a href="{href(home)}">All topics</a></p>' if home else ""
    return (
        f'<header class="top wide">{back}<p class="kicker">Report</p><h1>{text(title, 200)}</h1>'
        f"<p>{WHAT_A_MARK_IS}</p>{items(figures, 'figures')}</header>"
        + _section("Before you read on", items(text(note) for note in notes))
    )


def _foot(when: str, edition: str) -> str:
    return f"<footer><p>Marked {text(when)} by edition {text(edition)}.</p></footer>"


def _section(heading: str, body: str, id_: str = "") -> str:
    """Return a section, or nothing where it has nothing to say."""
    return f"<section{f' id={id_}' if id_ else ''}><h2>{heading}</h2>{body}</section>" if body else ""


def _tools() -> str:
    return (
        '<form class="tools" hidden role="search"><label>Name or id contains<input type="search" autocomplete="off"></label>'
        '<label>Show in the maps<select><option value="">everyone</option><option value="look">who needs a look</option>'
        '<option value="missing">who has something not handed in</option>'
        '<option value="low">who has under half the points judged</option></select></label>'
        '<p role="status"></p></form>'
    )


def _table(caption: str, heads: Sequence[tuple[str, str]], lines: Sequence[str]) -> str:
    """Return a table in a frame that scrolls; ``heads`` are (words, class), ``lines`` finished rows."""
    if not lines:
        return ""
    head = "".join(f'<th scope="col" data-sort{f" class={kind}" if kind else ""}>{words}</th>' for words, kind in heads)
    table = f"<table><caption>{caption}</caption><thead><tr>{head}</tr></thead><tbody>{''.join(lines)}</tbody></table>"
    frame = f'<div class="scroll" role="region" tabindex="0" aria-label="{caption}">{table}</div>'
    if len(lines) <= LINES_SHOWN:
        return frame
    return f"<details><summary>{count(len(lines), 'line')}</summary>{frame}</details>"


def _cells(values: Iterable[str], numeric: bool = False) -> str:
    return "".join(f"<td{' class=num' if numeric else ''}>{value}</td>" for value in values)


# The heat map


def _shade(share: float) -> str:
    """Return the class of a share of the points."""
    return "" if share >= 0.995 else "b" if share >= 0.7 else "c" if share >= 0.4 else "d" if share > 0 else "e"


def _cell(row: Row | None) -> str:
    """Return a part's cell: its colour and a text that says the same."""
    if row is None or row.verdict == NOT_HANDED_IN:
        return '<td class="n">–</td>'
    if row.out_of == 0:
        return '<td class="v">×</td>'
    if row.verdict == LOOK:
        return '<td class="q">?</td>'
    if not statistics.counts(row):
        return '<td class="w">✎</td>'
    if row.verdict == "not yet":
        return '<td class="z">·</td>'
    shade = _shade(row.points / row.out_of)
    return f'<td class="{shade}">{number(row.points)}</td>' if shade else f"<td>{number(row.points)}</td>"


def _kinds(rows: Sequence[Row]) -> str:
    """Return what the filter can pick a learner by."""
    points, out_of = total(row for row in rows if statistics.counts(row))
    kinds = {
        "look": any(row.verdict == LOOK for row in rows),
        "missing": not rows or any(row.verdict == NOT_HANDED_IN for row in rows),
        "low": out_of > 0 and points < out_of / 2,
    }
    return " ".join(kind for kind, holds in kinds.items() if holds) or "none"


def _with_rows(rows: Iterable[Row], place: Mapping[str, int], by_topic: Mapping) -> list:
    """Return (learner, the learner's rows) for the whole roster, in its order."""
    by_learner = _grouped(rows, lambda row: row.learner)
    return [(learner, by_learner.get(learner, [])) for learner in place]


def _map(caption: str, groups: Sequence[tuple[str, Sequence[str]]], lines: Sequence[str]) -> str:
    """Return the map: ``groups`` are (exercise, its finished column heads)."""
    over = "".join(
        f'<th scope="colgroup" class="group" colspan="{len(heads)}">{group}</th>' for group, heads in groups if group
    )
    over = f'<tr><td colspan="2"></td>{over}</tr>' if over else ""
    heads = "".join(f'<th scope="col" data-sort class="part-name">{head}</th>' for _, heads in groups for head in heads)
    head = (
        f'{over}<tr><th scope="col" data-sort>Learner</th><th scope="col" data-sort class="num">Points</th>{heads}</tr>'
    )
    key = "".join(f"<li><i{f' class={kind}' if kind else ''}>{sign}</i> {meaning}</li>" for kind, sign, meaning in KEY)
    return (
        f'<div class="scroll" role="region" tabindex="0" aria-label="{caption}"><table class="heat">'
        f"<caption>{caption}</caption><thead>{head}</thead><tbody>{''.join(lines)}</tbody></table></div>"
        f'<ul class="key">{key}</ul>'
    )


def _topic(topic: str, rows: Sequence[Row], who: _Who) -> str:
    parts = list(dict.fromkeys((row.exercise, row.part) for row in rows))
    groups = [
        (text(exercise, 120), [_words(part) for _, part in of])
        for exercise, of in _grouped(parts, lambda part: part[0]).items()
    ]
    lines = []
    for learner, own in _with_rows(rows, who.place, {}):
        by_part = {(row.exercise, row.part): row for row in own}
        cells = "".join(_cell(by_part.get(part)) for part in parts)
        lines.append(who.line(learner, f'<td class="s">{_sum(own)}</td>{cells}', _kinds(own), topic))
    figures = statistics.topic_figures(rows)
    body = [
        f'<section class="topic" id="{anchor("topic", topic)}"><h2>{text(topic_title(topic))}</h2>',
        _map(f"Points of each learner in each part of {text(topic)}", groups, lines),
        _parts_table(topic, figures),
        "</section>",
    ]
    return "".join(body)


def _sum(rows: Sequence[Row]) -> str:
    handed_in = [row for row in rows if row.verdict != NOT_HANDED_IN]
    return number(total(handed_in)[0]) if handed_in else "–"


def _parts_table(topic: str, figures: statistics.TopicFigures) -> str:
    lines = []
    for part in figures.parts:
        warnings = "<br>".join(f'<span class="warn">{text(statistics.WARNINGS[key])}</span>' for key in part.warnings)
        shown = [part.out_of, part.judged, percent(part.facility), _signed(part.discrimination)]
        lines.append(
            f'<tr><th scope="row">{_part_words(part)}</th>{_cells(map(str, shown), numeric=True)}<td>{warnings}</td></tr>'
        )
    heads = [
        ("Part", ""),
        ("Points", "num"),
        ("Judged", "num"),
        ("Facility", "num"),
        ("Discrimination", "num"),
        ("Warning", ""),
    ]
    reliability = "too few to say" if figures.reliability is None else f"{figures.reliability:.2f}".replace("-", "−")
    said = (
        f"<p class=soft>Facility is the mean share of the points. Discrimination is the correlation of a part with the "
        f"rest of the topic, over {count(figures.compared, 'learner')} with every part judged. Reliability of the topic's "
        f"total (Cronbach's alpha): {reliability}. A warning asks you to read the part again; with few learners it can be "
        f"chance.</p>"
    )
    return _table(f"The parts of {text(topic)} in numbers", heads, lines) + said if lines else ""


def _signed(value: float | None) -> str:
    return "–" if value is None else f"{value:.2f}".replace("-", "−")


# The index


def _topics_table(by_topic: Mapping[str, Sequence[Row]], links: Mapping[str, str]) -> str:
    lines = []
    for topic, rows in by_topic.items():
        figures = statistics.topic_figures(rows)
        points, out_of = total(row for row in rows if statistics.counts(row))
        shown = [
            len({row.learner for row in rows if row.verdict != NOT_HANDED_IN}),
            percent(points / out_of) if out_of else "–",
            _signed(figures.reliability),
            sum(bool(part.warnings) for part in figures.parts),
            sum(row.verdict == LOOK for row in rows),
        ]
        head = _linked(links.get(topic, ""), text(topic_title(topic)))
        lines.append(f'<tr><th scope="row">{head}</th>{_cells(map(str, shown), numeric=True)}</tr>')
    heads = [("Topic", "")] + [
        (words, "num")
        for words in ("Handed in", "Share of points", "Reliability", "Parts with a warning", "Need a look")
    ]
    return _section("Topics", _table("The topics in numbers", heads, lines))


def _index_line(learner_rows, by_topic: Mapping, who: _Who) -> str:
    learner, rows = learner_rows
    of = _grouped(rows, lambda row: row.topic)
    cells = "".join(_topic_cell(of.get(topic, [])) for topic in by_topic)
    return who.line(learner, f'<td class="s">{_sum(rows)}</td>{cells}', _kinds(rows))


def _topic_cell(rows: Sequence[Row]) -> str:
    if all(row.verdict == NOT_HANDED_IN for row in rows):
        return '<td class="n">–</td>'
    points, out_of = total(rows)
    share = points / out_of if out_of else 0
    mark = " ?" if any(row.verdict == LOOK for row in rows) else ""
    return f'<td class="{_shade(share)}">{percent(share)}{mark}</td>'


# What a person should look at


def _needs_a_look(rows: Sequence[Row], who: _Who) -> str:
    lines = [
        who.line(row.learner, _cells([_part_words(row), text(row.flag, 200), text(row.remark, 300)]), topic=row.topic)
        for row in rows
        if row.verdict == LOOK
    ]
    heads = [("Learner", ""), ("Part", ""), ("Why", ""), ("Said to the learner", "")]
    return _section(
        "Needs a look",
        _table("Answers the judge did not understand: 0 points until a person has looked", heads, lines),
        "look",
    )


def _by_hand(rows: Sequence[Row]) -> str:
    waiting = Counter((row.exercise, row.part) for row in rows if row.verdict == "by hand" and row.flag)
    lines = (f"{text(exercise, 120)}: {_words(part)}, {count(n, 'answer')}" for (exercise, part), n in waiting.items())
    return _section("Waits for a mark by hand", items(lines))


def _not_handed_in(rows: Sequence[Row], who: _Who, topics: Sequence[str]) -> str:
    missing = defaultdict(dict)
    for row in rows:
        if row.verdict == NOT_HANDED_IN:
            missing[row.learner][row.topic, row.exercise] = None
    seen = {row.learner for row in rows}
    lines = []
    for learner in who.place:
        if learner not in seen:
            lines.append(who.line(learner, _cells(["nothing came"])))
        elif learner in missing:
            lines.append(who.line(learner, _cells([_missing_words(missing[learner], topics)])))
    return _section(
        "Not handed in", _table("Notebooks that have not come", [("Learner", ""), ("What", "")], lines), "missing"
    )


def _missing_words(notebooks: Iterable[tuple[str, str]], topics: Sequence[str]) -> str:
    by_topic = _grouped(notebooks, lambda notebook: notebook[0])
    said = [", ".join(text(exercise, 120) for _, exercise in of) for of in by_topic.values()]
    if len(topics) > 1:
        said = [f"{text(topic)}: {words}" for topic, words in zip(by_topic, said, strict=True)]
    return "; ".join(said)


def _slips(rows: Sequence[Row], most: int = 40) -> str:
    found = statistics.slips(rows)
    lines = [
        f'<tr><th scope="row">{text(slip.slip, 200)}</th>'
        f'<td>{_part_words(slip)}</td><td class="num">{slip.made}</td><td class="num">{percent(slip.made / slip.judged)}</td>'
        f"<td>{text(slip.words, 400)}</td></tr>"
        for slip in found[:most]
    ]
    heads = [("Slip", ""), ("Part", ""), ("Made by", "num"), ("Of those judged", "num"), ("Said to the learner", "")]
    left = f"<p class=soft>{count(len(found) - most, 'rarer slip')} not shown.</p>" if len(found) > most else ""
    return _section("Commonest slips", _table("Slips, commonest first", heads, lines) + left, "slips")


def _findings(findings: Sequence[Finding], who: _Who) -> str:
    if not findings:
        return ""
    kinds = list(dict.fromkeys([*FINDINGS, *(finding.finding for finding in findings)]))
    by_part = _grouped(findings, lambda finding: (finding.exercise, finding.part))
    counted = []
    for of in by_part.values():
        met = Counter(finding.finding for finding in of)
        counted.append(
            f'<tr><th scope="row">{_part_words(of[0])}</th>{_cells((str(met[kind]) for kind in kinds), numeric=True)}</tr>'
        )
    unlike = [finding for finding in findings if finding.finding != kinds[0]]
    by_learner = _grouped(unlike, lambda finding: finding.learner)
    lines = []
    for learner in who.place:
        if learner in by_learner:
            of = _grouped(by_learner[learner], lambda finding: finding.finding)
            said = (", ".join(_part_words(finding) for finding in of.get(kind, [])) for kind in kinds[1:])
            lines.append(who.line(learner, _cells(said)))
    meant = items(f"<strong>{text(kind)}</strong>: {text(words)}" for kind, words in FINDINGS.items())
    body = (
        "<p>Each notebook was run a second time with other givens. None of the findings is an accusation: they are where "
        f"a talk can start.</p>{meant}"
        + _table("Findings, part by part", [("Part", ""), *((text(kind), "num") for kind in kinds)], counted)
        + _table("Findings, learner by learner", [("Learner", ""), *((text(kind), "") for kind in kinds[1:])], lines)
    )
    return _section("Fresh numbers", body, "fresh")


def _copied(copied: Sequence[Copied], who: _Who) -> str:
    lines = [
        who.line(answer.learner, _cells([_part_words(answer), _whose(answer, who)]), topic=answer.topic)
        for answer in copied
    ]
    heads = [("Learner", ""), ("Part", ""), ("Right for the numbers of", "")]
    return _section(
        "Someone else's numbers",
        _table("Answers that are wrong for the learner's own numbers and right for another's", heads, lines),
        "copied",
    )


def _whose(answer: Copied, who: _Who, most: int = 5) -> str:
    shown = ", ".join(who.named(learner, answer.topic) for learner in answer.whose[:most])
    return f"{shown} and {len(answer.whose) - most} more" if len(answer.whose) > most else shown
