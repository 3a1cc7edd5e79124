"""Practice in a terminal: one question after another, with words for help, until the time is over or one ends it."""

import contextlib
import re
from datetime import UTC, datetime

from rich.console import Console
from rich.markdown import Markdown

from graders.desk import practice, scheduling
from graders.desk.practice import Question, Session
from graders.desk.scheduling import STATES
from workbook import progress
from workbook.terminal import line_typed

with contextlib.suppress(ImportError):  # Windows has none: its console edits lines by itself
    import readline  # noqa: F401  (from here on input() edits its line)

HELP = (
    "Type your answer. Or a word: hint, working (shows the solution), next (another question), wrong (this question is "
    "wrong), help, end."
)
SAME = {"quit": "end", "exit": "end", "q": "end", "stop": "end", "skip": "next", "solution": "working", "?": "help"}
"""What people type for the words of the help."""

WIDTH = 80
KEY = re.compile(r"\x1b(?:\[[0-9;?]*[ -/]*[@-~]|O.)|[\x00-\x08\x0b-\x1f\x7f]")
"""What an arrow or another key that writes nothing sends."""


def practise(topic: str | None, minutes: float | None, console: Console | None = None) -> None:
    """Ask questions until the time is over or the learner ends it."""
    console = console or narrow()
    session = Session(topic, minutes)
    if session.said:
        say(console, session.said)
    say(console, HELP)
    try:
        while (question := session.next()) is not None:
            if not ask(console, session, question):
                break
        else:
            say(console, "Your time is up.")
    except (KeyboardInterrupt, EOFError):
        console.print()
    say(console, session.summary())


def ask(console: Console, session: Session, question: Question) -> bool:
    """Ask one question until it is done, and return whether to go on to another."""
    console.rule(f"Question {question.number}")
    console.print(Markdown(question.setup))
    console.print()
    if question.drawing:
        say(console, f"The drawing shows: {question.drawing.words}")
        console.print()
    console.print(Markdown(question.ask))
    for number, (option, meaning) in enumerate(question.options, 1):
        say(console, f"  {number}  {option}: {meaning}")
    say(console, question.how)
    while True:
        text = typed("> ")
        match word(text) if text.lower() not in dict(question.options) else "":
            case "end":
                return False
            case "next":
                return True
            case "help":
                say(console, HELP)
            case "hint":
                say(console, session.hint() or "No hint is left. The word working shows the solution.")
            case "working":
                for line in session.working():
                    say(console, f"    {line}")
                return _go_on(console)
            case "wrong":
                say(console, practice.report(question))
                say(console, "Copy these lines, add what is wrong, and send them to your instructor.")
            case _:
                reply = session.answer(text)
                say(console, f"{reply.words}. {reply.remark}".strip())
                if not reply.counted and text.isalpha():
                    say(console, "That cost nothing. The word help says which words work here.")
                if reply.right:
                    return _go_on(console)


def _go_on(console: Console) -> bool:
    return word(typed("Enter for the next question, or end: ")) != "end"


def typed(prompt: str) -> str:
    """Return a line from the keyboard, without what arrow keys leave in it where no line can be edited."""
    return KEY.sub("", line_typed(prompt)).strip()


def word(text: str) -> str:
    """Return the word of the help that a person means.

    >>> word("Quit"), word("SKIP"), word("37.6 J")
    ('end', 'next', '37.6 j')
    """
    return SAME.get(text.lower(), text.lower())


def narrow() -> Console:
    """Return a console whose lines fit 80 columns, and a narrower screen."""
    console = Console(soft_wrap=False)
    console.width = min(WIDTH, console.width)
    return console


def say(console: Console, words: str) -> None:
    """Print words as they are: brackets in them are no markup."""
    console.print(words, markup=False, highlight=False)


CELLS = {"sure": "█", "begun": "▓", "repeat": "▒", "ahead": "·"}


def show_progress(console: Console | None = None) -> None:
    """Print how each topic stands, as a bar for each."""
    console = console or narrow()
    done, now = progress.read(), datetime.now(UTC)
    if done.said:
        say(console, done.said)
    for standing in scheduling.standings(done.events, now):
        cells = "".join(sign * getattr(standing, name) for name, sign in CELLS.items())
        say(console, f"{standing.topic:8} {cells}")
        say(console, f"{'':8} {standing.words()}")
    say(console, "One sign for each exercise: " + "  ".join(f"{CELLS[name]} {words}" for name, words in STATES.items()))
