"""The first page of a learner's folder: every topic and exercise, what is done, what is next, and where one was."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from html import escape
from pathlib import Path
from urllib.parse import quote

from workbook import progress
from workbook.server import folder, way
from workbook.topics import TOPICS, Topic, by_slug

NAME = "start.ipynb"
SOURCE = """\
# Contents: this page is brought up to date as it is shown; Shift+Enter here does it too.
from graders import desk
desk.contents()"""

GREETING = """\
# The Rework Workbook

Read a section of a lesson, then do its exercises: type an answer into its box, press **Check**, and see what it earns
and why.

A mark says that you have practised; it is no examination.
"""

PROGRESS_NAME = "my-progress.html"

PRACTICE_NAME = "practice.ipynb"
PRACTICE_SOURCE = """\
# Practice: click here and press Shift+Enter.
from graders import desk
desk.practise()"""


@dataclass(frozen=True)
class Line:
    """One exercise as the contents show it.

    ``file`` is its file's name where that is not the printed one, ``worth`` the points it has.
    """

    path: str
    title: str
    answered: int = 0
    answers: int = 0
    points: float | None = None
    out_of: int = 0
    damaged: bool = False
    exercise: str | None = None
    file: str = ""
    worth: int = 0

    @property
    def done(self) -> bool:
        """Whether the last check found every answer right."""
        return self.points is not None and self.points >= self.out_of

    @property
    def state(self) -> str:
        """What to say of it in a few words."""
        if self.damaged:
            return "this file cannot be read"
        where = f" (in the file {self.file})" if self.file else ""
        if self.done:
            return f"done, {self.out_of} of {self.out_of} points{where}"
        answered = f"{self.answered} of {self.answers} answered" if self.answered else "not begun"
        points = "" if self.points is None else f", last check {self.points:g} of {self.out_of} points"
        return f"{answered}{points}{where}"


@dataclass(frozen=True)
class Contents:
    """A learner's folder at one moment.

    ``last`` is the exercise last worked on, ``following`` the one to do next, ``due`` how many questions of practice
    come again by now.
    """

    lessons: dict[str, str]
    lines: dict[str, list[Line]]
    last: Line | None
    following: Line | None
    due: int = 0

    @property
    def points(self) -> str:
        """Say what the last checks found, over everything."""
        return points([line for lines in self.lines.values() for line in lines])


def points(lines: Sequence[Line]) -> str:
    """Say how many points of how many some exercises have.

    >>> points([Line("a", "A", points=1.5, worth=4), Line("b", "B", worth=2)])
    '1.5 of 6 points'
    """
    return f"{sum(line.points or 0 for line in lines):g} of {sum(line.worth for line in lines)} points"


def of(root: Path, events: Sequence[progress.Event] | None = None) -> Contents:
    """Read a learner's folder. ``events`` are those of the progress file where it is not named."""
    events = progress.read().events if events is None else events
    checks = {(event.exercise, event.what.get("numbers")): event.what for event in events if event.kind == "check"}
    found = folder.exercises(root)
    lines = {slug: [_line(root, path, checks) for path in paths] for slug, paths in found.items()}
    every = [line for some in lines.values() for line in some]
    begun = [line for line in every if line.answered and not line.damaged]
    last = max(begun, key=lambda line: (root / line.path).stat().st_mtime, default=None)
    if last is not None and not last.done:
        following = last
    else:
        following = next((line for line in every if not line.done and not line.damaged), None)
    lessons = {
        topic.slug: f"lessons/{topic.folder}.ipynb"
        for topic in TOPICS
        if (root / "lessons" / f"{topic.folder}.ipynb").is_file()
    }
    return Contents(lessons, lines, last, following, _due(events))


def _due(events: Sequence[progress.Event]) -> int:
    if not any(event.kind == "practice" for event in events):
        return 0
    from graders.desk import scheduling

    return sum(card.due <= datetime.now(UTC) for card in scheduling.cards(events).values())


def _line(root: Path, path: Path, checks: dict) -> Line:
    place = path.relative_to(root).as_posix()
    try:
        if path.stat().st_size > folder.MOST_NOTEBOOK:
            raise ValueError
        cells = json.loads(path.read_bytes())["cells"]
        title = next(folder.text_of(cell) for cell in cells if cell.get("id") == "title").split("\n")[0].lstrip("# ")
        answers = [folder.text_of(cell) for cell in cells if folder.is_answer(cell)]
        givens = next((folder.text_of(cell) for cell in cells if cell.get("id") == "givens"), "")
        worth = sum(int(cell.get("metadata", {}).get("nbgrader", {}).get("points", 0)) for cell in cells)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, StopIteration, RecursionError):
        return Line(place, path.stem, damaged=True)
    exercise = folder.about(path).get("exercise")
    check = checks.get((exercise, progress.numbers(givens)), {})
    answered = sum(not folder.is_open(source) for source in answers)
    file = "" if folder.printed_stem(path) == path.stem else path.name
    found = check.get("points"), check.get("out_of", 0)
    return Line(place, title, answered, len(answers), *found, exercise=exercise, file=file, worth=worth)


STYLE = """
.rework-contents { max-width: 46rem; line-height: 1.5; color: var(--jp-content-font-color1, inherit);
  font-family: var(--jp-content-font-family, system-ui, sans-serif); font-size: var(--jp-content-font-size1, 14px); }
.rework-contents details { margin: .8em 0; }
.rework-contents summary { cursor: pointer; font-size: 1.08em; }
.rework-contents summary .soft { font-size: .9em; white-space: nowrap; }
.rework-contents p { margin: .1em 0 .5em; }
.rework-contents ol.lines { list-style: none; margin: .2em 0; padding: 0; }
.rework-contents li { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 1em; padding: .2em 0;
  border-bottom: 1px solid var(--jp-border-color2, rgba(128, 128, 128, .35)); }
.rework-contents .soft { opacity: .8; }
.rework-contents .next { border: 1px solid var(--jp-border-color1, rgba(128, 128, 128, .6)); border-radius: 6px;
  padding: .5em .8em; }
.rework-contents .classroom { margin: .8em 0; }
.rework-contents .classroom .said { white-space: pre-wrap; overflow-wrap: anywhere; }
.rework-contents button { margin: 0 .5em .3em 0; font: inherit; font-weight: 600; padding: .35em 1.4em;
  border: 2px solid currentColor; border-radius: 5px; background: transparent; color: inherit; cursor: pointer; }
.rework-contents button[disabled] { opacity: .6; cursor: wait; }
.rework-contents a { color: var(--jp-content-link-color, #1a6fb5); }
"""


CLASSROOM = """\
<section class="classroom" aria-label="Classroom"><p><button type="button" data-classroom="hand-in">Hand in</button>
<button type="button" data-classroom="feedback">My feedback</button></p>
<p class="said" role="status">Hand in as often as you like: all of it is kept, and the fullest counts.</p></section>
"""


def html(contents: Contents, said: str = "", in_classroom: bool = False) -> str:
    """Return the contents as HTML that takes its colours from the page around it.

    ``in_classroom`` says that a hub has started this server: there one hands in, and finds feedback, from here.
    """
    body = [f"<p>{escape(said)}</p>" if said else "", _next(contents)]
    body += [CLASSROOM] if in_classroom else []
    body += [_topic(topic, contents) for topic in TOPICS]
    return f'<style>{STYLE}</style><div class="rework-contents">{"".join(body)}</div>'


def _next(contents: Contents) -> str:
    """Return what to do now: the section to read first, then its exercise; what is due; the points so far."""
    where = contents.following
    lines = []
    if where is not None:
        read = _section(where, contents)
        word = "Go on with" if where is contents.last else "Next" if contents.last else "Start here"
        exercise = _link(where.path, where.title)
        if read and where is not contents.last:
            lines.append(f"<strong>{word}: read {read}</strong><br>Then do its exercise: {exercise}")
        else:
            lines.append(
                f"<strong>{word}: {exercise}</strong>" + (f"<br>Its section of the lesson: {read}" if read else "")
            )
    elif contents.lines:
        lines.append("<strong>Every exercise is done.</strong> Practice keeps it fresh.")
    if contents.last is not None and contents.last is not where:
        lines.append(f"You were last in {_link(contents.last.path, contents.last.title)}.")
    due = f": {contents.due} {'question is' if contents.due == 1 else 'questions are'} due" if contents.due else ""
    lines.append(f"{_link(PRACTICE_NAME, 'Practice with new numbers')}{due}")
    if contents.lines:
        lines.append(f"{contents.points} so far. {_link(PROGRESS_NAME, 'My progress, a page to print')}")
    return f'<div class="next">{"".join(f"<p>{line}</p>" for line in lines)}</div>'


def _section(line: Line, contents: Contents) -> str:
    """Return a link to the section of the lesson that an exercise practises, or nothing."""
    slug = line.path.split("/")[0]
    read = way.section(slug, line.exercise or "") if slug in contents.lessons else None
    number = by_slug(slug).number
    return _link(read.lesson, f"lesson {number}, section {read.heading}", read.anchor) if read else ""


def _topic(topic: Topic, contents: Contents) -> str:
    """Return a topic's lines, section by section, unfolded where the learner is."""
    lesson, lines = contents.lessons.get(topic.slug), contents.lines.get(topic.slug, [])
    if not lesson and not lines:
        return ""
    here = any(line in (contents.last, contents.following) for line in lines)
    done = f"{sum(line.done for line in lines)} of {len(lines)} done, {points(lines)}" if lines else ""
    body = f'<summary><strong>{topic.number}. {escape(topic.title)}</strong> <span class="soft">{done}</span></summary>'
    if lesson:
        body += f"<p>{_link(lesson, 'Lesson')}</p>"
    if lines:
        rows = (
            f'<li>{_link(line.path, line.title)}<span class="soft">{escape(line.state)}</span></li>' for line in lines
        )
        body += f"<ol class=lines>{''.join(rows)}</ol>"
    return f"<details{' open' if here else ''}>{body}</details>"


def _link(path: str, words: str, anchor: str = "") -> str:
    """Return a link that works on any page, and says to ours which file and heading are meant."""
    there = f"{quote(path)}{f'#{quote(anchor)}' if anchor else ''}"
    meant = f'data-path="{escape(path)}" data-anchor="{escape(anchor)}"'
    return f'<a href="{there}" {meant}>{escape(words)}</a>'


def text(contents: Contents, said: str = "") -> str:
    """Return the contents as plain text."""
    lines = [said] if said else []
    if contents.following is not None:
        lines.append(f"Next: {contents.following.title} ({contents.following.path})")
    if contents.due:
        lines.append(f"Due for practice: {contents.due}")
    lines.append(f"{contents.points} so far.")
    for topic in TOPICS:
        if topic.slug in contents.lessons or topic.slug in contents.lines:
            lines.append(f"{topic.number}. {topic.title}")
            lines += [f"    {line.title}: {line.state}" for line in contents.lines.get(topic.slug, [])]
    return "\n".join(lines)


def pages(root: Path, in_classroom: bool = False) -> dict[str, bytes]:
    """Return the two notebooks that are made anew at every opening: the contents as of now, and practice."""
    done = progress.read()
    shown = of(root, done.events)
    output = {
        "output_type": "display_data",
        "data": {"text/html": html(shown, done.said, in_classroom), "text/plain": text(shown, done.said)},
        "metadata": {},
    }
    return {
        NAME: _notebook([_markdown("greeting", GREETING), _code("contents", SOURCE, [output])]),
        PRACTICE_NAME: _notebook([_markdown("greeting", "# Practice\n"), _code("practice", PRACTICE_SOURCE, [])]),
    }


def lay(root: Path, in_classroom: bool = False) -> list[str]:
    """Write the two pages of `pages` into a learner's folder; return what has to be said of it.

    Whoever wrote into one finds it, as it was, in a file beside it: the page itself is made anew.
    """
    said = []
    for name, page in pages(root, in_classroom).items():
        if _holds_more_than_ours(root / name):
            kept = folder.free_name(root / name, "notes")
            (root / name).replace(kept)
            said.append(f"{name} is made anew at each opening. What you wrote in it is kept in {kept.name}.")
        folder.write_whole(root / name, page)
    return said


OURS = {"greeting", "contents", "practice"}
"""The cells of the two pages, by their ids: a page lets nobody change or delete them."""


def _holds_more_than_ours(path: Path) -> bool:
    """Whether a page holds something in a cell that is not ours, or cannot be read, so that nobody knows."""
    if not path.is_file():
        return False
    try:
        cells = json.loads(path.read_bytes())["cells"]
        return any(cell.get("id") not in OURS and folder.text_of(cell).strip() for cell in cells)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return True


def _markdown(name: str, source: str) -> dict:
    return {"cell_type": "markdown", "id": name, "metadata": {"editable": False, "deletable": False}, "source": source}


def _code(name: str, source: str, outputs: list) -> dict:
    metadata = {"editable": False, "deletable": False, "jupyter": {"source_hidden": True}}
    cell = {"cell_type": "code", "id": name, "metadata": metadata, "source": source}
    return cell | {"execution_count": None, "outputs": outputs}


def _notebook(cells: list[dict]) -> bytes:
    kernel = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
    metadata = {"kernelspec": kernel, "language_info": {"name": "python"}}
    notebook = {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}
    return (json.dumps(notebook, ensure_ascii=False, indent=1) + "\n").encode()
