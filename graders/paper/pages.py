"""The sheets that learners write on, and the instructor's key, as pages to print on A4 or letter."""

from collections.abc import Iterable

from graders import sheets
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed
from graders.cohort.roster import Learner
from graders.notebooks import printer
from graders.paper.asked import AnswerLine, Papers, lines_of, number, parts
from graders.questions.exercise import Exercise
from graders.questions.parts.base import Part
from graders.questions.parts.number import Number
from graders.questions.parts.written import Written
from graders.report import html
from graders.report.html import count, items, markdown, person, text
from workbook import units
from workbook.topics import by_slug

LINES_FOR_WORDS = 6
HOW = (
    "Write each answer on its line, with the unit that stands there or any other that you name.",
    "A decimal comma and a decimal point are the same. Letters go by your own sheet: others have another order.",
    "Room for working is yours; only what stands on the lines is marked.",
)


def write(cohort: Cohort, papers: Papers) -> None:
    """Write a sheet for each learner, all of them in one file too, and the key."""
    title = cohort.settings().title
    folder, topic = cohort.paper(papers.topic), papers.topic
    whole = {one.id: learner(one, papers.handed[one.id]) for one in papers.learners}
    for one in papers.learners:
        write_whole(folder / f"{one.id}.html", _page(f"{topic} on paper: {one.name}", whole[one.id]))
    everybody = folder.with_suffix(".html")
    write_whole(everybody, _page(f"{topic} on paper: {title}", "\n".join(whole.values())))
    write_whole(cohort.paper_key(topic), _page(f"Key: {topic}, {title}", key(title, papers)))


def _page(title: str, body: str) -> str:
    return html.page(title, body, style="paper.css", of=__package__)


def learner(one: Learner, handed: Iterable[Handed]) -> str:
    """Return one learner's sheets, each exercise on a page of its own."""
    body = []
    for place, each in enumerate(handed):
        exercise = sheets.find(each.topic, each.exercise)
        body.append(_sheet(one, each, _head(one, each.topic) * (place == 0) + _exercise(each, exercise)))
    return f'<section class="learner" aria-label="{text(one.id)}">{"".join(body)}</section>'


def _sheet(one: Learner, each: Handed, body: str) -> str:
    """Return an exercise in a frame whose head, with name, id and mark, is printed again on each of its pages."""
    who = f"<span><b>{person(one.name)}</b>{'' if one.name == one.id else f' {text(one.id, 120)}'}</span>"
    run = f'<div class="run">{who}<span>{text(each.topic)} {text(number(each))}</span></div>'
    return (
        f'<table class="sheet" role="presentation"><thead><tr><td>{run}</td></tr></thead>'
        f"<tbody><tr><td>{body}</td></tr></tbody></table>"
    )


def _head(one: Learner, topic: str) -> str:
    return f"<h1>{text(by_slug(topic).title)}</h1>{items(HOW)}"


def _exercise(each: Handed, exercise: Exercise) -> str:
    drawn = exercise.drawn(each.givens)
    lines = {}
    for line in lines_of(each):
        lines.setdefault(line.part.name, []).append(line)
    blocks = [
        f"<h2>{text(number(each))}. {text(exercise.title)}</h2>",
        f'<p class="soft">{count(exercise.points, "point")}</p>',
        f'<div class="prose">{markdown(printer.setup_text(exercise, each.givens))}</div>',
        drawn.html(style="") if drawn else "",
        _numbers(each, exercise),
        *(_part(mark, part, lines.get(part.name, []), each, exercise) for mark, part in parts(each, exercise)),
    ]
    return "".join(blocks)


def _numbers(each: Handed, exercise: Exercise) -> str:
    """Return in a list the givens that no text of the exercise tells: a notebook has them in its first cell."""
    parts_told = (part.ask + part.on_paper(str) for part in exercise.parts)
    told = "".join((exercise.setup, exercise.caution, *parts_told))
    names = [name for name in exercise.givens if f"{{{name}}}" not in told and name not in exercise.table]
    lines = (
        f"{text(printer.words_of(name))}: {text(printer.with_unit(exercise.givens[name], each.givens[name]))}"
        for name in names
    )
    return f"<h3>More numbers</h3>{items(lines)}" if names else ""


def _part(mark: str, part: Part, lines: list[AnswerLine], each: Handed, exercise: Exercise) -> str:
    def filled(words: str) -> str:
        return printer.filled(words, exercise, each.givens)

    head = f'<h3><span>Part {text(mark)}</span><span class="points">{count(part.points, "point")}</span></h3>'
    asked = f'<div class="prose">{markdown(filled(part.ask))}{markdown(part.on_paper(filled))}</div>'
    room = '<div class="room">your working</div>' if isinstance(part, Number) else ""
    return f'<div class="part">{head}{asked}{room}{"".join(map(_line, lines))}</div>'


def _line(line: AnswerLine) -> str:
    if line.part.is_written:
        return f'<div class="write" aria-hidden="true">{"<i></i>" * LINES_FOR_WORDS}</div>'
    words = line.field.words if len(line.part.paper_lines) > 1 else "Answer"
    unit = text(units.shown(line.field.unit).strip())
    return f'<p class="answer"><b>{text(line.mark)}</b> {text(words)} <i></i> <span class="unit">{unit}</span></p>'


def key(title: str, papers: Papers) -> str:
    """Return the instructor's key: every learner's right answers with their bands, a table an exercise."""
    by_exercise: dict[str, list[tuple[Learner, Handed]]] = {}
    for one in papers.learners:
        for each in papers.handed[one.id]:
            by_exercise.setdefault(each.exercise, []).append((one, each))
    tables = (_key_of(sheets.find(papers.topic, name), of) for name, of in by_exercise.items())
    return (
        f"<h1>Key: {text(papers.topic)}</h1><p>{text(title, 200)}. For the instructor only. In brackets the band in "
        f"which an answer is right; letters go by each learner's own sheet.</p>{''.join(tables)}"
    )


def _key_of(exercise: Exercise, of: list[tuple[Learner, Handed]]) -> str:
    marks = [mark for mark, _ in parts(of[0][1], exercise)]
    heads = "".join(f'<th scope="col">{text(mark)}</th>' for mark in marks)
    lines = []
    for one, each in of:
        g, a = exercise.solved(each.givens)
        cells = "".join(f"<td>{text(part.key_line(g, a))}</td>" for _, part in parts(each, exercise))
        who = f'{person(one.name)} <span class="soft">{text(one.id)}</span>'
        lines.append(f'<tr><th scope="row">{who}</th>{cells}</tr>')
    caption = f"{number(of[0][1])}. {exercise.title}"
    models = (
        f"<p><b>{text(mark)}</b> A good answer says: {text(part.model)}</p>"
        for mark, part in parts(of[0][1], exercise)
        if isinstance(part, Written)
    )
    return (
        f'<table class="key"><caption>{text(caption)}</caption><thead><tr><th scope="col">Learner</th>{heads}</tr>'
        f"</thead><tbody>{''.join(lines)}</tbody></table>{''.join(models)}"
    )
