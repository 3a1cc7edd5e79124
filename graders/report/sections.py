"""The lists and tables of the cohort's report. Each returns "" where it has nothing to say."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from graders.judging.marks import FINDINGS, Copied, Finding, Happened, Override, Row, total, waits
from graders.judging.marks import needs_a_look as is_to_look_at
from graders.questions.verdicts import Code
from graders.report import statistics
from graders.report.html import LONGEST, count, items, linked, markdown, number, percent, text
from graders.report.learners import Learners

LINES_SHOWN = 200
"""Lines of a table above which it is folded away."""

SLIPS_SHOWN = 40
OTHERS_SHOWN = 5


def grouped(records: Iterable, key) -> dict:
    """Return records in lists by a key, in the order they came.

    >>> grouped(["ab", "c", "de"], len)
    {2: ['ab', 'de'], 1: ['c']}
    """
    groups = {}
    for record in records:
        groups.setdefault(key(record), []).append(record)
    return groups


def needs_a_look(rows: Iterable[Row], learners: Learners) -> str:
    """Return the answers the judge did not understand, and the marks by hand given for something older."""
    lines = [
        learners.line(row.learner, _cells(learners.part(row), text(row.flag, 200)) + _long(row.remark), row.topic)
        for row in rows
        if is_to_look_at(row)
    ]
    caption = "What was not understood has 0 points, and a mark by hand stands, until a person has looked"
    return table(caption, ("Learner", "Part", "Why", "Said to the learner"), lines)


def happened(met: Sequence[Happened], learners: Learners) -> str:
    """Return what was put right, stopped or could not be read in marking."""
    lines = [learners.line(one.learner, _long(one.words), one.topic) for one in met]
    return table("What was put right, stopped or could not be read", ("Learner", "What"), lines)


def waits_for_a_mark(rows: Iterable[Row], learners: Learners) -> str:
    """Return how many answers in words wait, part by part, and whose they are."""
    waiting = [row for row in rows if waits(row)]
    lines = [
        learners.line(one.learner, _cells(learners.part(one)) + _numbers(one.out_of), one.topic) for one in waiting
    ]
    counted = items(f"{part}, {count(len(of), 'answer')}" for part, of in grouped(waiting, _part).items())
    return counted + table("Answers in words that nobody has marked yet", ("Learner", "Part", "#Out of"), lines)


def overridden(overrides: Sequence[Override], learners: Learners) -> str:
    """Return the marks by hand that stand over another automatic mark than the one they were given over."""
    lines = []
    for one in overrides:
        points = map(number, (one.by_hand, one.automatic_then, one.automatic_now))
        cells = _cells(learners.part(one)) + _numbers(*points, one.out_of)
        lines.append(learners.line(one.learner, cells, one.topic))
    heads = ("Learner", "Part", "#By hand", "#Automatic then", "#Automatic now", "#Out of")
    return table("The mark by hand stands until you change it or confirm it in the formgrader", heads, lines)


def by_hand(rows: Iterable[Row], learners: Learners) -> str:
    """Return the marks and comments given by hand, with why a mark is out of the ordinary."""
    lines = []
    for row in rows:
        if row.verdict is Code.MARKED_BY_HAND or row.comment:
            points, note = f"{number(row.points)} of {row.out_of}", text(row.flag, 200)
            comment = f'<td class="long">{markdown(row.comment[:LONGEST]).strip()}</td>'
            cells = _cells(learners.part(row), points, note) + comment
            lines.append(learners.line(row.learner, cells, row.topic))
    return table("Marks and comments by hand", ("Learner", "Part", "Points", "Note", "Comment"), lines)


def not_handed_in(rows: Iterable[Row], learners: Learners) -> str:
    """Return who has not handed in what; a learner without any row has handed in nothing."""
    missing, seen = {}, set()
    for row in rows:
        seen.add(row.learner)
        if row.verdict is Code.NOT_HANDED_IN:
            missing.setdefault(row.learner, {})[row.topic, row.exercise] = None
    lines = [
        learners.line(learner, _cells(_notebooks(missing[learner]) if learner in seen else "nothing came"))
        for learner in learners.ids
        if learner in missing or learner not in seen
    ]
    return table("Notebooks that have not come", ("Learner", "What"), lines)


def _notebooks(of: Iterable[tuple[str, str]]) -> str:
    by_topic = grouped(of, lambda notebook: notebook[0])
    return "; ".join(
        f"{text(topic)}: {', '.join(text(exercise, 120) for _, exercise in exercises)}"
        for topic, exercises in by_topic.items()
    )


def parts(topic: str, rows: Iterable[Row]) -> str:
    """Return the parts of a topic in numbers, with the warnings they have earned."""
    figures = statistics.topic_figures(rows)
    lines = []
    for part in figures.parts:
        warnings = "<br>".join(f'<span class="warn">{text(statistics.WARNINGS[key])}</span>' for key in part.warnings)
        numbers = _numbers(part.out_of, part.judged, percent(part.facility), _decimals(part.discrimination))
        lines.append(f'<tr><th scope="row">{_part(part)}</th>{numbers}<td class="long">{warnings}</td></tr>')
    heads = ("Part", "#Points", "#Judged", "#Facility", "#Discrimination", "Warning")
    return table(f"The parts of {text(topic)} in numbers", heads, lines) + (
        '<p class="soft">Facility is the mean share of the points. Discrimination is the correlation of a part with '
        f"the rest of the topic, over {count(figures.compared, 'learner')} with every common part judged. Reliability "
        f"of the topic's total (Cronbach's alpha): {_decimals(figures.reliability)}. A warning asks you to read the "
        "part again; with few learners it can be chance.</p>"
    )


def topics(by_topic: Mapping[str, Sequence[Row]], titles: Mapping[str, str], links: Mapping[str, str]) -> str:
    """Return the topics in numbers."""
    lines = []
    for topic, rows in by_topic.items():
        figures = statistics.topic_figures(rows)
        points, out_of = total(row for row in rows if statistics.counts(row))
        numbers = _numbers(
            len({row.learner for row in rows if row.verdict is not Code.NOT_HANDED_IN}),
            percent(points / out_of) if out_of else "–",
            _decimals(figures.reliability),
            sum(bool(part.warnings) for part in figures.parts),
            sum(map(is_to_look_at, rows)),
        )
        lines.append(f'<tr><th scope="row">{linked(links.get(topic, ""), text(titles[topic]))}</th>{numbers}</tr>')
    heads = ("Topic", "#Handed in", "#Share of points", "#Reliability", "#Parts with a warning", "#Need a look")
    return table("The topics in numbers", heads, lines)


def slips(rows: Iterable[Row], most: int = SLIPS_SHOWN) -> str:
    """Return the commonest slips and what they were answered with."""
    found = statistics.slips(rows)
    lines = []
    for slip in found[:most]:
        numbers = _numbers(slip.made, percent(slip.made / slip.judged))
        head = f'<th scope="row">{text(slip.slip, 200)}</th>'
        lines.append(f"<tr>{head}{_cells(_part(slip))}{numbers}{_long(slip.words)}</tr>")
    left = len(found) - most
    more = f'<p class="soft">{count(left, "rarer slip")} not shown.</p>' if left > 0 else ""
    heads = ("Slip", "Part", "#Made by", "#Of those judged", "Said to the learner")
    return table("Slips, commonest first", heads, lines) + more


def gates(rows: Iterable[Row]) -> str:
    """Return which gates were missed where a job was worked act by act."""
    lines = [
        f'<tr><th scope="row">{text(gate.gate, 200)}</th>{_cells(_part(gate))}'
        f"{_numbers(gate.missed, percent(gate.missed / gate.judged))}</tr>"
        for gate in statistics.gates(rows)
    ]
    return table("Gates, the one missed most first", ("Gate", "Part", "#Missed by", "#Of those judged"), lines)


def fresh_numbers(findings: Sequence[Finding], learners: Learners) -> str:
    """Return what the second run showed, part by part, and learner by learner where it is not the usual finding."""
    if not findings:
        return ""
    usual, *others = dict.fromkeys([*FINDINGS, *(finding.finding for finding in findings)])
    counted = []
    for of in grouped(findings, lambda finding: (finding.topic, finding.exercise, finding.part)).values():
        met = Counter(finding.finding for finding in of)
        numbers = _numbers(*(met[kind] for kind in (usual, *others)))
        counted.append(f'<tr><th scope="row">{_part(of[0])}</th>{numbers}</tr>')
    unusual = grouped((one for one in findings if one.finding != usual), lambda finding: finding.learner)
    lines = []
    for learner in learners.ids:
        of = grouped(unusual.get(learner, ()), lambda finding: finding.finding)
        if of:
            lines.append(learners.line(learner, _cells(*(", ".join(map(_part, of.get(kind, ()))) for kind in others))))
    shown = [text(kind, 120) for kind in others]
    return (
        "<p>Each notebook was run a second time with other givens. None of the findings is an accusation: they are "
        "where a talk can start.</p>"
        + items(f"<strong>{text(kind)}</strong>: {text(words)}" for kind, words in FINDINGS.items())
        + table("Findings, part by part", ("Part", f"#{text(usual)}", *(f"#{kind}" for kind in shown)), counted)
        + table("Findings, learner by learner", ("Learner", *shown), lines)
    )


def copied_numbers(copied: Sequence[Copied], learners: Learners) -> str:
    """Return answers that are right for someone else's givens, with whose."""
    lines = [learners.line(one.learner, _cells(learners.part(one), _whose(one, learners)), one.topic) for one in copied]
    caption = "Answers that are wrong for the learner's own numbers and right for another's"
    return table(caption, ("Learner", "Part", "Right for the numbers of"), lines)


def _whose(one: Copied, learners: Learners) -> str:
    shown = ", ".join(learners.named(learner, one.topic) for learner in one.whose[:OTHERS_SHOWN])
    left = len(one.whose) - OTHERS_SHOWN
    return f"{shown} and {left} more" if left > 0 else shown


def _part(record) -> str:
    return f"{text(record.exercise, 120)}: {text(record.part, 120)}"


def _decimals(value: float | None) -> str:
    return "–" if value is None else f"{value:.2f}".replace("-", "−")


def _cells(*shown: str) -> str:
    return "".join(f"<td>{value}</td>" for value in shown)


def _long(words: str) -> str:
    return f'<td class="long">{text(words, 400)}</td>'


def _numbers(*shown) -> str:
    return "".join(f'<td class="num">{value}</td>' for value in shown)


def table(caption: str, heads: Sequence[str], lines: Sequence[str]) -> str:
    """Return finished lines as a table in a frame that scrolls. A head with ``#`` before it is over numbers."""
    if not lines:
        return ""
    head = "".join(
        f'<th scope="col" data-sort{" class=num" if words[0] == "#" else ""}>{words.removeprefix("#")}</th>'
        for words in heads
    )
    table = (
        f"<table><caption><span>{caption}</span></caption><thead><tr>{head}</tr></thead>"
        f"<tbody>{''.join(lines)}</tbody></table>"
    )
    frame = f'<div class="scroll" role="region" tabindex="0" aria-label="{caption}">{table}</div>'
    if len(lines) <= LINES_SHOWN:
        return frame
    return f"<details><summary>{caption}: {count(len(lines), 'line')}</summary>{frame}</details>"
