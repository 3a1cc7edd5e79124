"""A page of a learner's own progress, to print or to show: what was done, when, and what it earned."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from graders.desk import scheduling
from graders.report.html import count, page, text
from workbook import progress
from workbook.server import contents, folder
from workbook.topics import TOPICS, Topic

WORTH = "A mark says that its owner has practised; it is no examination."


def write(root: Path) -> Path:
    """Write the page into a learner's folder and return its file."""
    done = progress.read()
    target = root / contents.PROGRESS_NAME
    folder.write_whole(target, html(contents.of(root, done.events), done.events, datetime.now().astimezone()).encode())
    return target


def html(shown: contents.Contents, events: Sequence[progress.Event], now: datetime) -> str:
    """Return the page: a table a topic, every exercise with its state and the day of its last check."""
    standings = {one.topic: one.words() for one in scheduling.standings(events, now)}
    days = {event.exercise: event.at.astimezone(now.tzinfo) for event in events if event.kind == "check"}
    body = [f"<h1>My progress in the Rework Workbook</h1><p>{now:%Y-%m-%d %H:%M}. {text(shown.points)}.</p>"]
    body += [
        _topic(topic, shown.lines[topic.slug], days, standings.get(topic.slug, ""))
        for topic in TOPICS
        if topic.slug in shown.lines
    ]
    return page("My progress in the Rework Workbook", "\n".join([*body, f"<p>{WORTH}</p>"]))


def _topic(topic: Topic, lines: Sequence[contents.Line], days: dict[str, datetime], practice: str) -> str:
    begun = [line for line in lines if line.answered or line.points is not None]
    rows = "".join(
        f"<tr><td>{text(line.title)}</td><td>{text(line.state)}</td>{_day(days.get(line.exercise))}</tr>"
        for line in begun
    )
    table = (
        '<table><thead><tr><th scope="col">exercise</th><th scope="col">state</th>'
        '<th scope="col" class="day">last check</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
        if begun
        else ""
    )
    rest = count(len(lines) - len(begun), "exercise is", "exercises are") + " not begun."
    said = f"{text(contents.points(lines))}. {rest} In practice: {text(practice or 'nothing yet')}."
    return f"<h2>{topic.number}. {text(topic.title)}</h2><p>{said}</p>{table}"


def _day(when: datetime | None) -> str:
    return f'<td class="day">{when:%Y-%m-%d}</td>' if when else "<td></td>"
