"""A check as the learner sees it: HTML that takes its colours from the page around it, and plain text beside it."""

from dataclasses import dataclass
from html import escape

from graders.desk import answer_cells
from graders.desk.checking import Checked
from graders.questions.verdicts import NOT_ANSWERED, Code, Verdict, in_short

WORTH = "This is what the saved notebook would earn. It is your own check; nothing was handed in."

STYLE = """
.rework-check { max-width: 44rem; line-height: 1.45; color: var(--jp-content-font-color1, inherit);
  font-family: var(--jp-content-font-family, system-ui, sans-serif); font-size: var(--jp-content-font-size1, 14px); }
.rework-check p { margin: 0 0 .5em; }
.rework-check ol.parts { list-style: none; margin: .5em 0; padding: 0; }
.rework-check li { margin: 0 0 .5em; padding: .3em 0 .3em .8em; border-left: 4px solid #8a8f98;
  overflow-wrap: anywhere; }
.rework-check li.full { border-color: #2f7dc4; }
.rework-check li.some { border-color: #c98a12; }
.rework-check li.none { border-color: #c7662b; }
.rework-check .head { display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 1em; font-weight: 600; }
.rework-check .points { font-weight: 400; font-variant-numeric: tabular-nums; white-space: nowrap; }
.rework-check code { background: var(--jp-layout-color2, rgba(128, 128, 128, .18)); padding: 0 .25em;
  border-radius: 3px; color: inherit; }
.rework-check .say { border: 1px solid #c98a12; border-radius: 4px; padding: .4em .7em; }
"""


@dataclass(frozen=True)
class CheckedPart:
    """One part of a check in words: ``shade`` is full, some, none or open; ``lines`` say why.

    ``is_open`` says that it has no answer so far.
    """

    number: int
    part: str
    words: str
    points: str
    shade: str
    lines: tuple[str, ...]
    is_open: bool


def told(checked: Checked) -> list[CheckedPart]:
    """Return what a check says of every part."""
    return [
        CheckedPart(
            number,
            verdict.part,
            _words(checked, verdict),
            points(verdict),
            _shade(verdict),
            tuple(_lines(checked, verdict)),
            verdict.verdict is Code.NOT_YET,
        )
        for number, verdict in enumerate(checked.verdicts, 1)
    ]


def html(checked: Checked, older: str = "") -> str:
    """Return a check as HTML. ``older`` says, where it applies, that the file is older than the last edit."""
    body = [f'<p class="say">{escape(older)}</p>' if older else ""]
    body.append(f"<p><strong>{total(checked)}</strong> {escape(checked.exercise.title)}.</p>")
    body.append("<ol class=parts>")
    for part in told(checked):
        head = f"<span>Part {part.number}, <code>{escape(part.part)}</code>: {escape(part.words)}</span>"
        head += f'<span class="points">{part.points}</span>'
        lines = "".join(f"<div>{escape(line)}</div>" for line in part.lines)
        body.append(f'<li class="{part.shade}"><div class="head">{head}</div>{lines}</li>')
    body.append("</ol>")
    body += [f"<p>{escape(note)}</p>" for note in notes(checked)]
    body.append(f"<p>{WORTH}</p>")
    return framed("Check of my answers", "".join(body))


def framed(label: str, body: str) -> str:
    """Return finished HTML as a labelled region with our style."""
    return f'<style>{STYLE}</style><section class="rework-check" aria-label="{escape(label)}">{body}</section>'


def text(checked: Checked, older: str = "") -> str:
    """Return a check as plain text."""
    lines = [older] if older else []
    lines.append(f"{total(checked)} {checked.exercise.title}.")
    for part in told(checked):
        lines.append(f"Part {part.number}, {part.part}: {part.words} ({part.points})")
        lines += [f"    {line}" for line in part.lines]
    return "\n".join([*lines, *notes(checked), WORTH])


def total(checked: Checked) -> str:
    """Say what all parts earn together."""
    waiting = sum(verdict.out_of for verdict in checked.verdicts if verdict.verdict is Code.BY_HAND)
    rest = f"; {waiting} {'waits' if waiting == 1 else 'wait'} for your instructor" if waiting else ""
    return f"{_number(checked.points)} of {_count(checked.exercise.points)}{rest}."


def points(verdict: Verdict) -> str:
    """Say what a part earned, of how many."""
    return f"{_number(verdict.points)} of {_count(verdict.out_of)}"


def _count(points: int) -> str:
    return f"{points} point" if points == 1 else f"{points} points"


def _number(points: float) -> str:
    return f"{round(points, 2):g}"


def _words(checked: Checked, verdict: Verdict) -> str:
    if _failed(checked, verdict):
        return "Python could not run this answer"
    return in_short(verdict.verdict)


def _failed(checked: Checked, verdict: Verdict) -> bool:
    return verdict.part in checked.errors and verdict.verdict is not Code.RIGHT and not verdict.points


def _shade(verdict: Verdict) -> str:
    if verdict.verdict in (Code.NOT_YET, Code.BY_HAND):
        return "open"
    return "full" if verdict.points == verdict.out_of else "some" if verdict.points else "none"


def _lines(checked: Checked, verdict: Verdict) -> list[str]:
    """Return what to say under a part: the remark, unless the words say it, and what Python could not run.

    A line that fails below a right answer costs nothing, and is not told. Where the answer only has a wrong form, the
    form wanted is shown instead.
    """
    if verdict.points == verdict.out_of:
        return [] if verdict.remark == "Right." else [verdict.remark]
    part = checked.exercise.part(verdict.part)
    form = answer_cells.advice(part, checked.sources.get(verdict.part, ""))
    if form:
        return [form]
    error = checked.errors.get(verdict.part)
    if _failed(checked, verdict):
        return [error]
    return [line for line in ("" if verdict.remark == NOT_ANSWERED else verdict.remark, error) if line]


def notes(checked: Checked) -> list[str]:
    """Return in plain words what had to be put right in the notebook before it could be run."""
    notes = []
    for note in dict.fromkeys(checked.notes):
        if note.startswith("repeated cell"):
            notes.append(f"The cell {note.removeprefix('repeated cell ')} is there twice; the last one counts.")
        else:
            notes.append(f"The notebook has {note}; it was put right for this check.")
    return notes
