"""The service's own pages and words: what has been handed in, what feedback there is, and why something is not done."""

from collections.abc import Sequence

from graders.classroom.hand_in import MOST_BYTES, Receipt
from graders.cohort import clock
from graders.cohort.settings import Settings
from graders.report import html
from graders.report.html import count, items, linked, person, text
from workbook.topics import by_slug

FAILED = "This failed, and nothing was changed. Try again; if it fails again, tell your instructor."
NOT_RELEASED = "There is no feedback on this topic for you yet."
WORDS = {
    401: "The classroom does not know who you are. Log in, and try again.",
    403: "The classroom does not know you as one of this cohort's learners. Tell your instructor your user name.",
    404: "There is no such page here.",
    405: "This cannot be done here.",
    413: f"The file is too large: at most {MOST_BYTES / 1e6:.0f} MB. Nothing was handed in; your file is as it was.",
    507: "The classroom's disk is full or broken, and nothing was handed in. Keep your file, and tell your instructor.",
}
MOST_RECEIPTS = 20


def first(settings: Settings, name: str, topics: Sequence[str], receipts: Sequence[Receipt]) -> str:
    """Return a learner's page: the feedback there is, and what was handed in, the newest first."""
    lines = [linked(f"feedback/{slug}", text(by_slug(slug).title)) for slug in topics]
    feedback = (
        items(lines) or f"<p>{text('There is no feedback for you yet. Your instructor releases it by topic.')}</p>"
    )
    came = items(_came(one, settings) for one in receipts[: -MOST_RECEIPTS - 1 : -1])
    body = (
        f'<header><p class="kicker">{text(settings.title, 200)}</p><h1>My feedback</h1>'
        f'<p class="who">{person(name)}</p></header>'
        f'<nav aria-label="Feedback by topic">{feedback}</nav>'
        f"<section><h2>What you handed in</h2>{came or '<p>Nothing yet.</p>'}</section>"
    )
    return html.page("My feedback", body)


def _came(one: Receipt, settings: Settings) -> str:
    exercises = count(len(one.taken), "exercise")
    answers = count(sum(int(each["answers"]) for each in one.taken), "answer")
    return (
        f"{text(clock.words(one.moment, settings.timezone))}: {exercises}, {answers} "
        f'<span class="soft">digest {text(one.digest[:16])}…</span>'
    )


def said(words: str) -> str:
    """Return a page that says a few words."""
    return html.page("Classroom", f"<header><h1>Classroom</h1></header><p>{text(words)}</p>")
