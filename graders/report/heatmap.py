"""The map of a cohort: learners by parts or by topics, each cell a colour and a text that says the same."""

from collections.abc import Mapping, Sequence

from graders.judging.marks import Row, needs_a_look, nothing_came, total, waits
from graders.questions.verdicts import MEANINGS, Code
from graders.report import statistics
from graders.report.gathered import grouped
from graders.report.html import number, percent, text
from graders.report.learners import Learners

KEY = (
    ("", "2", "all points"),
    ("b", "1.5", "most"),
    ("c", "1", "about half"),
    ("d", "0.5", "some"),
    ("e", "0", "none"),
    ("z", "·", MEANINGS[Code.NOT_YET]),
    ("q", "?", "needs a look"),
    ("w", "✎", "waits for a mark by hand"),
    ("n", "–", "not handed in"),
    ("v", "×", "dropped for all"),
)
"""What a cell can be: class, text, meaning. The commonest has no class, which keeps the page of a big cohort small."""


def of_parts(topic: str, rows: Sequence[Row], learners: Learners) -> str:
    """Return the map of one topic, learner by part."""
    parts = list(dict.fromkeys((row.exercise, row.part) for row in rows))
    groups = {}
    for exercise, part in parts:
        groups.setdefault(exercise, []).append(text(part, 120))
    by_learner = grouped(rows, lambda row: row.learner)
    lines = []
    for learner in learners.ids:
        own = by_learner.get(learner, [])
        by_part = {(row.exercise, row.part): row for row in own}
        cells = "".join(_part_cell(by_part.get(part)) for part in parts)
        lines.append(learners.line(learner, _sum(own) + cells, topic, _kinds(own)))
    return _map(f"Points of each learner in each part of {text(topic)}", groups, lines)


def of_topics(by_topic: Mapping[str, Sequence[Row]], learners: Learners) -> str:
    """Return the map of all topics, learner by topic."""
    by_learner = grouped((row for rows in by_topic.values() for row in rows), lambda row: row.learner)
    lines = []
    for learner in learners.ids:
        own = by_learner.get(learner, [])
        cells = "".join(_topic_cell([row for row in own if row.topic == topic]) for topic in by_topic)
        lines.append(learners.line(learner, _sum(own) + _share(own) + cells, kinds=_kinds(own)))
    heads = {"": ["Total", *(text(topic) for topic in by_topic)]}
    return _map("Share of the points judged of each learner in each topic", heads, lines)


def _shade(share: float) -> str:
    """Return the class of a share of the points."""
    return "" if share >= 0.995 else "b" if share >= 0.7 else "c" if share >= 0.4 else "d" if share > 0 else "e"


def _cell(kind: str, shown: str) -> str:
    return f'<td class="{kind}">{shown}</td>' if kind else f"<td>{shown}</td>"


def _part_cell(row: Row | None) -> str:
    if row is None or row.verdict is Code.NOT_HANDED_IN:
        return _cell("n", "–")
    if row.out_of == 0:
        return _cell("v", "×")
    if needs_a_look(row):
        return _cell("q", "?" if row.verdict is Code.NEEDS_A_LOOK else f"{number(row.points)} ?")
    if waits(row):
        return _cell("w", "✎")
    if row.verdict is Code.NOT_YET:
        return _cell("z", "·")
    return _cell(_shade(row.points / row.out_of), number(row.points))


def _topic_cell(rows: Sequence[Row]) -> str:
    if nothing_came(rows):
        return _cell("n", "–")
    points, out_of = total(rows)
    mark = " ?" if any(map(needs_a_look, rows)) else ""
    if not out_of:
        return _cell("w", "✎") if any(map(waits, rows)) else _cell("v", "×")
    return _cell(_shade(points / out_of), percent(points / out_of) + mark)


def _share(rows: Sequence[Row]) -> str:
    """Return the cell of a learner's share of all points judged."""
    points, out_of = total(row for row in rows if statistics.counts(row))
    return _cell("s", percent(points / out_of) if out_of else "–")


def _sum(rows: Sequence[Row]) -> str:
    handed_in = [row for row in rows if row.verdict is not Code.NOT_HANDED_IN]
    return _cell("s", number(total(handed_in)[0]) if handed_in else "–")


def _kinds(rows: Sequence[Row]) -> str:
    """Return what the page's filter can pick a learner by."""
    points, out_of = total(row for row in rows if statistics.counts(row))
    kinds = {
        "look": any(map(needs_a_look, rows)),
        "missing": not rows or any(row.verdict is Code.NOT_HANDED_IN for row in rows),
        "low": points < out_of / 2,
    }
    return " ".join(kind for kind, holds in kinds.items() if holds) or "none"


def _map(caption: str, groups: Mapping[str, Sequence[str]], lines: Sequence[str]) -> str:
    """Return the table and its key; ``groups`` are the column heads by exercise, under "" where there is none."""
    heads = "".join(
        f'<th scope="col" data-sort class="{"first " if group and not place else ""}part-name">{head}</th>'
        for group, of in groups.items()
        for place, head in enumerate(of)
    )
    over = "".join(
        f'<th scope="colgroup" class="first group" colspan="{len(of)}"><div>{text(group, 120)}</div></th>'
        for group, of in groups.items()
        if group
    )
    over = f'<tr><td colspan="2"></td>{over}</tr>' if over else ""
    key = "".join(f"<li><i{f' class={kind}' if kind else ''}>{sign}</i> {meaning}</li>" for kind, sign, meaning in KEY)
    return (
        f'<div class="scroll map" role="region" tabindex="0" aria-label="{caption}"><table class="heat">'
        f'<caption><span>{caption}</span></caption><thead>{over}<tr><th scope="col" data-sort>Learner</th>'
        f'<th scope="col" data-sort class="num">Points</th>{heads}</tr></thead><tbody>{"".join(lines)}</tbody></table>'
        f'</div><ul class="key">{key}</ul>'
    )
