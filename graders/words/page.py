"""The pages on which answers in words are marked: all questions, and one question with all its answers."""

from collections.abc import Sequence

from graders.report import html
from graders.report.html import count, items, linked, markdown, text
from graders.words.questions import Answer, QuestionAnswers, numbers_of

AGAIN = "The mark was given for an older answer: look again."


def seen_words(answers: QuestionAnswers) -> str:
    """Say how many answers are marked.

    >>> from types import SimpleNamespace as Of
    >>> seen_words(Of(seen=7, given=range(24)))
    'Seen: 7 of 24'
    """
    return f"Seen: {answers.seen} of {len(answers.given)}"


def index(title: str, every: Sequence[QuestionAnswers]) -> str:
    """Return the page of all questions of a cohort."""
    lines = [
        f"{linked(one.question.place, text(one.question.exercise.title))} "
        f'<span class="soft">{text(one.question.topic)}, {text(one.question.part.name)}. {seen_words(one)}'
        f"{_not_here(one)}</span>"
        for one in every
    ]
    told = items(lines) or "<p>Nothing that was handed out is answered in words.</p>"
    head = f'<p class="kicker">Answers in words</p><h1>{text(title, 200)}</h1>'
    why = "<p>One page a question. Names are hidden, and the order is drawn anew for each question.</p>"
    return html.page(f"{title}: answers in words", f"<header>{head}{why}</header><nav>{told}</nav>")


def _not_here(answers: QuestionAnswers) -> str:
    left = f"; {count(answers.empty, 'was', 'were')} left empty" if answers.empty else ""
    other = f"; {count(answers.otherwise, 'was', 'were')} asked otherwise: mark with that version, or in the formgrader"
    return left + (other if answers.otherwise else "")


def question(answers: QuestionAnswers) -> str:
    """Return the page of one question: the model beside all answers."""
    asked = answers.question
    out_of = asked.part.points
    head = (
        f'<p class="kicker"><a href="/">All questions</a></p><h1>{text(asked.exercise.title)}</h1>'
        f'<p><strong id="seen" role="status">{seen_words(answers)}</strong>{text(_not_here(answers))}</p>'
    )
    beside = (
        f'<section class="model" aria-labelledby="asked"><h2 id="asked">The question</h2>'
        f'<div class="prose">{markdown(answers.asks())}</div>'
        f'<h2>A good answer, {count(out_of, "point")}</h2><div class="prose">{markdown(asked.part.model)}</div>'
        f'<h2>Comments so far</h2><ol id="bank">{"".join(f"<li>{_bank(one)}</li>" for one in answers.bank())}</ol>'
        '<p class="soft">Press one to use it again, or type its number, as in #1 and a space, in a comment.</p>'
        '<p class="soft">Enter in the points, or Ctrl+Enter in a comment, saves and goes to the next answer without a '
        "mark.</p></section>"
    )
    listed = "".join(_answer(place, one, answers) for place, one in enumerate(answers.given, 1))
    told = f'<ol class="answers">{listed}</ol>' if answers.given else "<p>Nobody has answered yet.</p>"
    body = (
        f"<header>{head}</header><noscript><p>This page saves by a script of ours: let it run.</p></noscript>"
        f'<div class="beside wide">{beside}<section aria-label="Answers">{told}</section></div>'
    )
    title = f"{asked.exercise.title}: answers in words"
    return html.page(title, body, "words.js", more_style="words.css", of=__package__, asks_its_server=True)


def wrote(answer: Answer) -> str:
    """Return an answer as text of a page."""
    return text(answer.text, longest=20_000)


def _bank(comment: str) -> str:
    return f'<button type="button">{text(comment)}</button>'


def _answer(place: int, answer: Answer, answers: QuestionAnswers) -> str:
    """Return one answer with its form; what the page must say back stands in the form's attributes."""
    name, out_of = f"a{place}", answers.question.part.points
    state = f'data-id="{answer.id}" data-seen="{text(answer.digest)}" data-marked="{"yes" if answer.is_marked else ""}"'
    said = AGAIN if answer.asked else f"Marked: {answer.points} of {out_of}." if answer.is_marked else "No mark yet."
    return (
        f'<li><form {state} data-points="{answer.points}" aria-labelledby="{name}" class="part">'
        f'<h2 id="{name}">Answer {place}</h2><div class="wrote" lang="">{wrote(answer)}</div>'
        f"<details><summary>Their numbers</summary>"
        f'<div class="prose">{markdown(numbers_of(answers.question, answer))}</div>'
        f"{items(f'<code>{text(one)}</code>' for one in answer.others)}</details>"
        f'<div class="mark"><label for="{name}-points">Points, of {out_of}</label>'
        f'<input id="{name}-points" name="points" inputmode="decimal" autocomplete="off" value="{answer.points}">'
        f'<label for="{name}-comment">Comment</label>'
        f'<textarea id="{name}-comment" name="comment" rows="2">{text(answer.comment, longest=20_000)}</textarea>'
        f'<button>Save</button><p role="status">{said}</p></div></form></li>'
    )
