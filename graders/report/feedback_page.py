"""One learner's feedback on one topic: what was given, what it earned, what to do next."""

import ast
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import quantiles

from graders.judging.marks import ExercisePage, PartPage, Row, nothing_came, total, waits
from graders.judging.reasons import added_flag
from graders.questions.verdicts import IN_THE_CELL, MEANINGS, Code
from graders.report import html
from graders.report.html import LONGEST, anchor, bars, count, items, markdown, number, percent, person, text
from workbook.server import mistakes
from workbook.topics import TOPICS

WHAT_A_MARK_IS = (
    "A mark here is evidence of practice, not an examination: the judge and the key are public and can be run at home."
)

SIGNS = {
    Code.RIGHT: "✓",
    Code.CARRIED_THROUGH: "↪",
    Code.PARTLY: "◐",
    Code.SLIP: "△",
    Code.OTHER_UNIT: "△",
    Code.NOT_RIGHT: "○",
    Code.NOT_YET: "·",
    Code.NEEDS_A_LOOK: "?",
    Code.BY_HAND: "✎",
    Code.MARKED_BY_HAND: "✎",
    Code.NOT_HANDED_IN: "–",
}
"""A sign beside each verdict's words, so that colour is never alone in saying it."""

LONGEST_EXPLAINED = 400
"""Signs of an answer that is looked through for what Python could not read; nobody's answer is longer."""

FEWEST_IN_A_SPREAD = 8
"""Below this many learners a spread would point at persons, and none is shown."""


@dataclass(frozen=True)
class MiddleHalf:
    """The middle half of a cohort's totals in one topic, as shares of the points: nobody can be picked out of it."""

    lower: float
    middle: float
    upper: float
    learners: int


def spread(shares: Iterable[float]) -> MiddleHalf | None:
    """Return the middle half of the cohort's totals, or None where the learners are too few to stay unnamed.

    >>> spread([0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9])
    MiddleHalf(lower=0.3, middle=0.5, upper=0.7, learners=9)
    >>> spread([0.2, 0.9])
    """
    shares = list(shares)
    if len(shares) < FEWEST_IN_A_SPREAD:
        return None
    return MiddleHalf(*quantiles(shares, n=4, method="inclusive"), len(shares))


def page(
    learner: str,
    name: str,
    topic: str,
    exercises: Sequence[ExercisePage],
    when: str,
    edition: str,
    standing: MiddleHalf | None = None,
    came: str = "",
) -> str:
    """Return the feedback page of one learner and topic.

    Parameters
    ----------
    learner, name : str
        Id and name, as the roster has them.
    topic : str
        The topic's slug.
    exercises : sequence of ExercisePage
        In the order of the sheet.
    when, edition : str
        When the marking ran, and the version of the workbook that marked.
    standing : MiddleHalf, optional
        Where the cohort stands in this topic.
    came : str
        When it came and when it was due, with the time zone; nothing where no time is known.
    """
    rows = [part.row for exercise in exercises for part in exercise.parts]
    title = topic_title(topic)
    body = [
        "<header>",
        f'<p class="kicker">Feedback · {text(topic)}</p><h1>{text(title)}</h1>',
        f'<p class="who">{person(name)}{_id(learner, name)}</p>',
        f'<p class="score"><strong>{_points(rows)}</strong>{_still_to_come(rows)}</p>',
        f'<p class="soft">Your work {text(came)}.</p>' if came else "",
        _tally(rows),
        "</header>",
        _where_you_stand(exercises, standing),
        _next_steps(exercises),
        *(_exercise(place, exercise) for place, exercise in enumerate(exercises, 1)),
        _legend(rows),
        f"<footer><p>{WHAT_A_MARK_IS}</p><p>{marked_line(when, edition)}</p></footer>",
    ]
    return html.page(f"{title}: feedback for {name}", "\n".join(body))


def _id(learner: str, name: str) -> str:
    """Return a learner's id as it follows the name; nothing where it is the name."""
    return "" if learner == name else f' <span class="soft">{text(learner, 120)}</span>'


def marked_line(when: str, edition: str) -> str:
    """Return when something was marked, and by what, as a finished sentence."""
    return f"Marked {text(when)} by edition {text(edition)}." if when else f"Not marked yet. Edition {text(edition)}."


def topic_title(slug: str) -> str:
    """Return a topic's title, or the word itself where no topic has it."""
    return next((topic.title for topic in TOPICS if topic.slug == slug), slug)


def _points(rows: Sequence[Row]) -> str:
    """Return the points of some parts in words; what did not come is no zero."""
    if rows and nothing_came(rows):
        return Code.NOT_HANDED_IN.label
    points, out_of = total(rows)
    if out_of:
        return f"{number(points)} of {count(out_of, 'point')}"
    return f"{count(_waiting(rows), 'point')}, not marked yet" if _waiting(rows) else "does not count"


def _waiting(rows: Sequence[Row]) -> int:
    return sum(row.out_of for row in rows if waits(row))


def _still_to_come(rows: Sequence[Row]) -> str:
    """Return how many points are not marked yet, beside those that are."""
    waiting = _waiting(rows) if total(rows)[1] else 0
    return f', <span class="soft">and {count(waiting, "point")} not marked yet</span>' if waiting else ""


def _share(rows: Sequence[Row]) -> float:
    points, out_of = total(rows)
    return points / out_of if out_of else 0.0


def _chip(code: Code) -> str:
    kind = code if code in SIGNS else "other"
    sign = f'<span aria-hidden="true">{SIGNS.get(code, "·")}</span>'
    return f'<span class="chip {kind}">{sign} {text(code.label)}</span>'


def _tally(rows: Sequence[Row]) -> str:
    counts = Counter(row.verdict for row in rows)
    known = [verdict for verdict in SIGNS if verdict in counts]
    return items((f"{_chip(verdict)} {counts[verdict]}" for verdict in known), "tally")


def _where_you_stand(exercises: Sequence[ExercisePage], standing: MiddleHalf | None) -> str:
    rows_of = [(exercise.title, [part.row for part in exercise.parts]) for exercise in exercises]
    everything = [row for _, rows in rows_of for row in rows]
    drawn = [(title, _points(rows), _share(rows)) for title, rows in (*rows_of, ("All exercises", everything))]
    said = "Points: " + "; ".join(f"{title}, {figure}" for title, figure, _ in drawn) + "."
    note, band = "", None
    if standing:
        band = (standing.lower, standing.middle, standing.upper)
        note = (
            f"The thin bar below your total is the middle half of {count(standing.learners, 'learner')}, "
            f"{percent(standing.lower)} to {percent(standing.upper)}; the stroke in it, at {percent(standing.middle)}, "
            f"has as many above as below. You have {percent(_share(everything))}."
        )
    return (
        f"<section><h2>Where you stand</h2>{bars(drawn, f'{said} {note}', band)}"
        f"{f'<p class=soft>{note}</p>' if note else ''}</section>"
    )


def _next_steps(exercises: Sequence[ExercisePage], most: int = 4) -> str:
    """Return links to the parts that lost most points, or nothing where none did."""
    lost = [
        (part.row.points - part.row.out_of, exercise, part)
        for exercise in exercises
        for part in exercise.parts
        if part.row.points < part.row.out_of and part.row.verdict not in (Code.NOT_HANDED_IN, Code.BY_HAND)
    ]
    if not lost:
        return ""
    lost.sort(key=lambda entry: entry[0])
    lines = [
        f'<a href="#{_part_id(part.row)}">{text(exercise.title)}: {text(part.row.part, 120)}</a>'
        for _, exercise, part in lost[:most]
    ]
    return f"<section><h2>Go back to these first</h2>{items(lines)}</section>"


def _part_id(row: Row) -> str:
    return anchor("part", row.exercise, row.part)


def _exercise(place: int, exercise: ExercisePage) -> str:
    rows = [part.row for part in exercise.parts]
    head = (
        f'<section class="exercise"><h2><span>{place}. {text(exercise.title)}</span> '
        f'<span class="points">{_points(rows)}</span></h2>'
    )
    if rows and nothing_came(rows):
        return f"{head}<p>{_chip(Code.NOT_HANDED_IN)} This notebook did not come.</p></section>"
    parts = "".join(_part(place, part) for place, part in enumerate(exercise.parts, 1))
    setup = f'<div class="prose setup">{markdown(exercise.setup)}</div>{exercise.drawing}'
    return f"{head}{setup}{parts}{exercise.answer_drawing}</section>"


def _part(place: int, part: PartPage) -> str:
    row = part.row
    answer = f"<pre>{text(part.answer)}</pre>" if part.answer.strip() else '<p class="soft">nothing</p>'
    flag = f' <span class="flag">{text(added, 200)}</span>' if (added := added_flag(row)) else ""
    comment = (
        f'<h4>Your instructor writes</h4><div class="prose comment">{markdown(row.comment[:LONGEST])}</div>'
        if row.comment.strip()
        else ""
    )
    working = f"<h4>One way to work it, with your numbers</h4>{_worked(part)}" if part.working else ""
    return (
        f'<article class="part" id="{_part_id(row)}"><h3><span>Part {place}: <code>{text(row.part, 120)}</code></span> '
        f'<span class="points">{_points([row])}</span></h3>'
        f'<div class="prose">{markdown(part.ask)}</div><h4>What you gave</h4>{answer}'
        f'<p class="verdict">{_chip(row.verdict)}{flag}</p><p class="remark">{text(row.remark)}</p>{_unread(part)}'
        f"{comment}{working}</article>"
    )


def _unread(part: PartPage) -> str:
    """Return what Python could not read of an answer, in the words of the learner's own folder; else nothing."""
    if part.row.flag != IN_THE_CELL or len(part.answer) > LONGEST_EXPLAINED:
        return ""
    try:
        ast.parse(part.answer)
    except SyntaxError as error:
        words = mistakes.explain(error, part.answer)
        return "" if words in part.row.remark else f'<p class="remark">{text(words)}</p>'  # a check at home has said it
    except (ValueError, RecursionError, MemoryError):  # a zero byte, brackets within brackets
        return ""
    return ""  # it went wrong as it ran; the message is in the notebook


def _worked(part: PartPage) -> str:
    """Return the working as plain arithmetic, with the Python folded beneath; as it is where it is no number's."""
    python = f"<pre>{text(part.working.strip())}</pre>"
    if not part.arithmetic:
        return python
    lines = text("\n".join(part.arithmetic))
    return f"<pre>{lines}</pre><details><summary>The same in Python</summary>{python}</details>"


def _legend(rows: Sequence[Row]) -> str:
    met = {row.verdict for row in rows}
    lines = [f"{_chip(verdict)} {text(words)}" for verdict, words in MEANINGS.items() if verdict in met]
    return f"<section><h2>What the words mean</h2>{items(lines, 'legend')}</section>" if lines else ""
