"""Answers from paper asked for one after another, each read back, and safe before the next is asked."""

import contextlib
from collections.abc import Callable

from graders import sheets
from graders.cohort import entered
from graders.cohort.paths import Cohort, for_owner_only
from graders.notebooks import printer
from graders.paper.asked import AnswerLine, Papers, is_blank, why_unclear
from graders.questions import parse_answer
from workbook.terminal import line_typed, printable

with contextlib.suppress(ImportError):  # Windows has none: its console edits lines by itself
    import readline  # noqa: F401  (from here on input() edits its line)

HELP = (
    "Type what stands on the line: 0,68 or 680 mohm, letters as B or A C D, or words. Nothing for a line left blank, "
    "- to blank one that was entered, < to go back, ? for the question, end to stop."
)
IN_WORDS = "Type the words as they stand, or: on paper, where you mark them from the sheet."
END, BACK, QUESTION, HELPS = ("end", "quit", "q"), ("<", "back"), ("?",), ("help", "h")


def ask(cohort: Cohort, papers: Papers, say: Callable[[str], None], by_part: bool = False, anew: bool = False) -> None:
    """Ask for every answer that was not entered yet, learner by learner or part by part; with ``anew`` for all.

    Everything typed is kept at once; who goes on later is asked where this ended.
    """
    lines = in_order(papers, by_part)
    texts = entered.answers(cohort.entered)
    done = set() if anew else {line.place for line in lines if line.place in texts}
    say(HELP)
    at, before = _next(lines, done, 0), None
    while at < len(lines):
        line = lines[at]
        if _group(line, by_part) != before:
            before = _group(line, by_part)
            say(_head(line, papers, by_part, done, lines))
        typed = line_typed(printable(_prompt(line, papers, by_part, texts.get(line.place)))).strip()
        word = typed.lower()
        if word in END:
            return
        if word in BACK:
            at = max(at - 1, 0)
        elif word in QUESTION or word in HELPS:
            say(_question(line) if word in QUESTION else HELP)
        elif why := why_unclear(line, typed):
            say(f"    {why}")
        else:
            kept = not typed and not is_blank(texts.get(line.place, ""))
            texts[line.place] = texts[line.place] if kept else "" if is_blank(typed) else typed
            with for_owner_only():
                entered.append(cohort.entered, line.place, texts[line.place])
            done.add(line.place)
            say(f"    {_read_as(line, texts[line.place])}")
            at = _next(lines, done, at)
    say("Every line is entered; --anew asks for them again.")


def in_order(papers: Papers, by_part: bool = False) -> list[AnswerLine]:
    """Return the lines for answers learner by learner, or all learners' of one part before the next."""
    lines = [line for of in papers.lines().values() for line in of]
    if by_part:
        marks = {mark: place for place, mark in enumerate(dict.fromkeys(line.mark for line in lines))}
        lines.sort(key=lambda line: marks[line.mark])
    return lines


def _next(lines: list[AnswerLine], done: set, start: int) -> int:
    """Return the place of the first line from here on that is not done, else of the first one at all."""
    open_ones = [place for place, line in enumerate(lines) if line.place not in done]
    return next((place for place in open_ones if place >= start), open_ones[0] if open_ones else len(lines))


def _group(line: AnswerLine, by_part: bool) -> str:
    return line.mark if by_part else line.handed.learner


def _head(line: AnswerLine, papers: Papers, by_part: bool, done: set, lines: list[AnswerLine]) -> str:
    group = line.head if by_part else _name(line, papers)
    return f"\n{group}   ({len(done)} of {len(lines)} lines entered)"


def _name(line: AnswerLine, papers: Papers) -> str:
    one = next(one for one in papers.learners if one.id == line.handed.learner)
    return one.name if one.name == one.id else f"{one.name} ({one.id})"


def _prompt(line: AnswerLine, papers: Papers, by_part: bool, stands: str | None) -> str:
    asked = _name(line, papers) if by_part else line.head
    return f"{asked}{f' [{stands}]' if stands else ''}: "


def _question(line: AnswerLine) -> str:
    words = {} if line.part.is_written else getattr(line.part, "letters", {})
    asked = printer.filled(line.part.ask, sheets.find(line.handed.topic, line.handed.exercise), line.handed.givens)
    told = [f"{asked}  {line.field.words}", *(f"    {letter}  {word}" for letter, word in words.items())]
    return "\n".join([*told, *([IN_WORDS] if line.part.is_written else [])])


def _read_as(line: AnswerLine, text: str) -> str:
    if is_blank(text):
        return "left blank"
    read, comma = line.understood(text), parse_answer.comma_words(text)
    return f"read as {read}: {comma}" if comma and read != text else f"read as {read}"
