"""Practice in a terminal: one question after another, with words for help, until the time is over or one ends it."""

from datetime import UTC, datetime

from rich.console import Console
from rich.markdown import Markdown

from graders.desk import practice, scheduling
from graders.desk.practice import Question, Session
from workbook import progress

HELP = (
    "Type your answer. Or a word: hint, working (shows the solution), next (another question), wrong (this question is "
    "wrong), end."
)


def practise(topic: str | None, minutes: float | None, console: Console | None = None) -> None:
    """Ask questions until the time is over or the learner ends it."""
    console = console or Console(soft_wrap=False)
    session = Session(topic, minutes)
    if session.said:
        say(console, session.said)
    say(console, HELP)
    try:
        while (question := session.next()) is not None:
            if not ask(console, session, question):
                break
        else:
            say(console, "Your time is over.")
    except (KeyboardInterrupt, EOFError):
        console.print()
    say(console, session.summary())


def ask(console: Console, session: Session, question: Question) -> bool:
    """Ask one question until it is done, and return whether to go on to another."""
    console.rule(f"Question {question.number}")
    console.print(Markdown(question.setup))
    console.print()
    console.print(Markdown(question.ask))
    for number, (word, meaning) in enumerate(question.options, 1):
        say(console, f"  {number}  {word}: {meaning}")
    say(console, question.how)
    while True:
        text = console.input("> ").strip()
        match text.lower() if text.lower() not in dict(question.options) else "":
            case "end":
                return False
            case "next":
                return True
            case "hint" | "?":
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
                if reply.right:
                    return _go_on(console)


def _go_on(console: Console) -> bool:
    return console.input("Enter for the next question, or end: ").strip().lower() != "end"


def say(console: Console, words: str) -> None:
    """Print words as they are: brackets in them are no markup."""
    console.print(words, markup=False, highlight=False)


def show_progress(console: Console | None = None) -> None:
    """Print how each topic stands, as a bar for each."""
    console = console or Console()
    done, now = progress.read(), datetime.now(UTC)
    if done.said:
        say(console, done.said)
    for standing in scheduling.standings(done.events, now):
        whole = standing.kept + standing.learning + standing.due + standing.new
        cells = "█" * standing.kept + "▓" * standing.learning + "▒" * standing.due + "·" * standing.new
        say(console, f"{standing.topic:8} {cells}  {standing.words()} of {whole}")
    say(console, "█ kept for days   ▓ being learned   ▒ due now   · new")
