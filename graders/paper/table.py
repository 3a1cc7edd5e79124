"""A table of answers from paper: a row a learner, a column a line of the sheets, as spreadsheets write it."""

import re
from collections.abc import Mapping
from pathlib import Path

from graders.cohort import roster, tables
from graders.cohort.entered import Place
from graders.cohort.tables import Manner
from graders.paper.asked import AnswerLine, Papers, is_blank, why_unclear
from workbook.problems import Problem, meant

MARK = re.compile(r"(\d+\.\d+[a-z]?)(?:\s.*)?", re.DOTALL)
THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:([.,])\d{3})+")
"""A number whose signs may part thousands."""
TIP = "write one row a learner and one column a line, as in the table that graders paper writes"


def write(path: Path, papers: Papers, texts: Mapping[Place, str], manner: Manner) -> None:
    """Write the table for a topic, with what was entered so far."""
    by_learner = papers.lines()
    heads = list(dict.fromkeys(line.head for lines in by_learner.values() for line in lines))
    rows = []
    for one in papers.learners:
        held = {line.head: texts.get(line.place, "") for line in by_learner[one.id]}
        rows.append([one.id, one.name, *(held.get(head, "") for head in heads)])
    tables.write(path, ["id", "name", *heads], rows, manner)


def read(path: Path, papers: Papers) -> tuple[list[tuple[AnswerLine, str]], list[str]]:
    """Return what a table answers, line by line, and what cannot be read in it, each in a sentence.

    An empty cell says nothing; a stroke says that a line was left blank.

    Raises
    ------
    Problem
        For a file that is no such table: no column of ids, columns that are no lines, a head or a learner twice.
    """
    delimiter, rows = tables.rows(path, "answers", TIP)
    (_, heads), *rows = rows
    decimal = _decimal_sign(delimiter, rows)
    heads = [head.strip() for head in heads]
    plain = [roster.plain(head) for head in heads]
    ids = next((plain.index(head) for head in roster.ID_HEADS if head in plain), None)
    if ids is None:
        raise Problem(f"{path} has no column for the learner's id.", TIP)
    by_learner = {learner: {line.mark: line for line in lines} for learner, lines in papers.lines().items()}
    marks = {mark: None for lines in by_learner.values() for mark in lines}
    others = {roster.plain(head) for one in papers.learners for head, _ in one.others}
    passed = [place == ids or plain[place] in {"", *roster.PERSON_HEADS, *others} for place in range(len(heads))]
    columns = _columns(path, {place: head for place, head in enumerate(heads) if not passed[place]}, marks)
    found, unclear, met = [], [], {}
    for number, row in rows:
        learner = row[ids].strip() if ids < len(row) else ""
        if learner in met:
            raise Problem(f"{path}, line {number}: {learner!r} stands in line {met[learner]} already.", TIP)
        met[learner] = number
        if learner not in by_learner:
            unclear.append(f"line {number}: {learner!r} has no such sheets; {meant(learner, by_learner)}")
            continue
        for column, mark in columns.items():
            text = row[column].strip() if column < len(row) else ""
            line = by_learner[learner].get(mark)
            if not text:
                continue
            if why := _why_not(line, text, decimal):
                unclear.append(f"line {number}, {learner}, {heads[column]}: {text!r} is not read. {why}")
            else:
                found.append((line, "" if is_blank(text) else text))
    return found, unclear


def _columns(path: Path, heads: Mapping[int, str], marks: Mapping[str, None]) -> dict[int, str]:
    """Return the mark of the line that each column answers, or raise Problem."""
    columns = {}
    for place, head in heads.items():
        mark = MARK.fullmatch(head)
        if mark is None or mark[1] not in marks:
            raise Problem(f"{path}: column {head!r} is no line of these sheets.", meant(head, marks))
        if mark[1] in columns.values():
            raise Problem(f"{path} has more than one column {mark[1]}.", "take one of them out")
        columns[place] = mark[1]
    if not columns:
        raise Problem(f"{path} has no column with answers.", TIP)
    return columns


def _decimal_sign(delimiter: str, rows: list[tuple[int, list[str]]]) -> str:
    """Return the sign before a number's decimals in a table, by the numbers in which it can be no other."""
    cells = (cell.strip() for _, row in rows for cell in row)
    return tables.manner_of(delimiter, (cell for cell in cells if not THOUSANDS.fullmatch(cell))).decimal


def _why_not(line: AnswerLine | None, text: str, decimal: str) -> str:
    """Say why a cell cannot be read; nothing where it can.

    Nobody looks on while a table is read, so a number that has the other sign before three digits is asked about.
    """
    if line is None:
        return "This learner has no such line."
    found = THOUSANDS.fullmatch(text)
    if line.part.fields and found and found[1] != decimal:
        return "It can be thousands or decimals. Write it with nothing between the thousands, or with its unit."
    return why_unclear(line, text)
