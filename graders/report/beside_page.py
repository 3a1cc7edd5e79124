"""This term beside an earlier one: what went better, what worse, and what is no more than chance."""

import math
from collections.abc import Sequence
from statistics import fmean, variance

from graders.report import html, sections, statistics
from graders.report.anonymous import Term, same_edition, shares
from graders.report.html import percent, text

BEYOND_CHANCE = 2.0
"""Standard errors of a difference from which on it is told as one: about one in twenty is told by chance."""


def standard_error(one: Sequence[float], other: Sequence[float]) -> float:
    """Return the standard error of the difference of two means, each with its own variance (B. L. Welch, 1938).

    >>> round(standard_error([0, 0, 1, 1], [0, 1, 1, 1]), 4)
    0.3819
    """
    return math.sqrt(variance(one) / len(one) + variance(other) / len(other))


def verdict(now: Sequence[float], then: Sequence[float]) -> str:
    """Say whether a part went better or worse, or nothing where that may be chance or of a few.

    >>> verdict([1.0] * 9 + [0.0], [0.0] * 9 + [1.0]), verdict([1.0, 0.0] * 5, [0.0, 1.0] * 5), verdict([1.0], [0.0])
    ('better', '', '')
    """
    if min(len(now), len(then)) < statistics.FEWEST:
        return ""
    apart = fmean(now) - fmean(then)
    if abs(apart) <= BEYOND_CHANCE * standard_error(now, then):
        return ""
    return "better" if apart > 0 else "worse"


def page(title: str, now: Term, earlier: str, then: Term) -> str:
    """Return the page that lays a term beside an earlier one, called as its file or folder is."""
    shown = sections.table(
        "Share of the points of each part, the greatest loss first",
        ("Part", f"#{text(earlier, 80)}", "#Judged", "#Now", "#Judged", "#Apart", "What it says"),
        [line for _, line in sorted(_lines(now, then))],
    )
    told = shown or "<p>The two have no part in common.</p>"
    body = (
        f'<header><p class="kicker">Beside an earlier term</p><h1>{text(title, 200)}</h1><p>Beside '
        f"{text(earlier, 200)}. A difference is told once it is more than {BEYOND_CHANCE:g} standard errors, and of at "
        f"least {statistics.FEWEST} learners in both; one in twenty is told by chance. Other learners, another teacher "
        f"and other numbers make differences too.</p></header><section>{told}</section>"
    )
    return html.page(f"{title} beside {earlier}", body)


def _lines(now: Term, then: Term):
    """Yield, for each part that both asked, the difference and the finished line of the table."""
    here, before = (shares(term.rows, statistics.counts) for term in (now, then))
    for place in here.keys() & before.keys():
        topic, exercise, part = place
        new, old = here[place], before[place]
        apart = fmean(new) - fmean(old)
        said = verdict(new, old) if same_edition(now, then, (topic, exercise)) else "asked otherwise"
        figures = (
            percent(fmean(old)),
            len(old),
            percent(fmean(new)),
            len(new),
            f"{apart * 100:+.0f} %".replace("-", "−"),
        )
        cells = "".join(f'<td class="num">{figure}</td>' for figure in figures)
        head = f'<th scope="row">{text(topic)}: {text(exercise, 120)}: {text(part, 120)}</th>'
        yield (apart, place), f"<tr>{head}{cells}<td>{said}</td></tr>"
