"""The lists and tables of the cohort's report. Each returns "" where it has nothing to say."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from graders.judging.marks import FINDINGS, Copied, Finding, Happened, Override, Row, waits
from graders.judging.marks import needs_a_look as is_to_look_at
from graders.questions.verdicts import Code
from graders.report import statistics
from graders.report.gathered import Whole, grouped
from graders.report.html import LONGEST, count, items, linked, markdown, number, percent, text
from graders.report.learners import Learners

LINES_SHOWN = 200
"""Lines of a table above which it is folded away."""

SLIPS_SHOWN = 40
OTHERS_SHOWN = 5


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
    counted = waiting_by_part(Counter((one.topic, one.exercise, one.part) for one in waiting))
    return counted + table("Answers in words that nobody has marked yet", ("Learner", "Part", "#Out of"), lines)


def waiting_by_part(waiting: Mapping[tuple[str, str, str], int]) -> str:
    """Return how many answers in words wait, by topic, exercise and part."""
    return items(f"{_named(*place[1:])}, {count(many, 'answer')}" for place, many in waiting.items())


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


def parts(topic: str, figures: statistics.TopicFigures) -> str:
    """Return the parts of a topic in numbers, with the warnings they have earned."""
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


def topics(whole: Whole, titles: Mapping[str, str], links: Mapping[str, str]) -> str:
    """Return the topics in numbers."""
    lines = []
    for topic, of in whole.topics.items():
        figures = whole.counts[topic].figures()
        numbers = _numbers(
            of.handed_in,
            "–" if of.share is None else percent(of.share),
            _decimals(figures.reliability),
            sum(bool(part.warnings) for part in figures.parts),
            of.look,
        )
        lines.append(f'<tr><th scope="row">{linked(links.get(topic, ""), text(titles[topic]))}</th>{numbers}</tr>')
    heads = ("Topic", "#Handed in", "#Share of points", "#Reliability", "#Parts with a warning", "#Need a look")
    return table("The topics in numbers", heads, lines)


def slips(found: Sequence[statistics.Slips], most: int = SLIPS_SHOWN) -> str:
    """Return the commonest slips and what they were answered with."""
    lines = []
    for slip in found[:most]:
        numbers = _numbers(slip.made, percent(slip.made / slip.judged))
        head = f'<th scope="row">{text(slip.slip, 200)}</th>'
        lines.append(f"<tr>{head}{_cells(_part(slip))}{numbers}{_long(slip.words)}</tr>")
    left = len(found) - most
    more = f'<p class="soft">{count(left, "rarer slip")} not shown.</p>' if left > 0 else ""
    heads = ("Slip", "Part", "#Made by", "#Of those judged", "Said to the learner")
    return table("Slips, commonest first", heads, lines) + more


def gates(found: Iterable[statistics.GateFigures]) -> str:
    """Return which gates were missed where a job was worked act by act."""
    lines = [
        f'<tr><th scope="row">{text(gate.gate, 200)}</th>{_cells(_part(gate))}'
        f"{_numbers(gate.missed, percent(gate.missed / gate.judged))}</tr>"
        for gate in found
    ]
    return table("Gates, the one missed most first", ("Gate", "Part", "#Missed by", "#Of those judged"), lines)


FRESH = (
    "<p>Each notebook was run a second time with other givens. None of the findings is an accusation: they are "
    "where a talk can start.</p>"
)


def fresh_numbers(findings: Sequence[Finding], learners: Learners) -> str:
    """Return what the second run showed, part by part, and learner by learner where it is not the usual finding."""
    met = {}
    for one in findings:
        met.setdefault((one.topic, one.exercise, one.part), Counter())[one.finding] += 1
    return fresh_by_part(met) + fresh_by_learner(findings, learners)


def fresh_by_part(met: Mapping[tuple[str, str, str], Counter]) -> str:
    """Return what the second run showed, by topic, exercise and part."""
    if not met:
        return ""
    usual, *others = dict.fromkeys([*FINDINGS, *(kind for of in met.values() for kind in of)])
    lines = [
        f'<tr><th scope="row">{_named(*place[1:])}</th>{_numbers(*(of[kind] for kind in (usual, *others)))}</tr>'
        for place, of in met.items()
    ]
    heads = ("Part", f"#{text(usual)}", *(f"#{text(kind, 120)}" for kind in others))
    said = items(f"<strong>{text(kind)}</strong>: {text(words)}" for kind, words in FINDINGS.items())
    return FRESH + said + table("Findings, part by part", heads, lines)


def fresh_by_learner(findings: Sequence[Finding], learners: Learners) -> str:
    """Return whose second run showed what is not the usual finding."""
    usual, *others = dict.fromkeys([*FINDINGS, *(one.finding for one in findings)])
    unusual = grouped((one for one in findings if one.finding != usual), lambda finding: finding.learner)
    lines = []
    for learner in learners.ids:
        of = grouped(unusual.get(learner, ()), lambda finding: finding.finding)
        if of:
            lines.append(learners.line(learner, _cells(*(", ".join(map(_part, of.get(kind, ()))) for kind in others))))
    return table("Findings, learner by learner", ("Learner", *(text(kind, 120) for kind in others)), lines)


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
    return _named(record.exercise, record.part)


def _named(exercise: str, part: str) -> str:
    return f"{text(exercise, 120)}: {text(part, 120)}"


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
