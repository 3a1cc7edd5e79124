"""Read what comes back from behind the wall, trusting none of it."""

import json
import math
import re
from collections.abc import Sequence
from typing import Any, NoReturn

from .inside import answers
from .job import Cell, CellOutcome, Ending, Limits, Output, Sheet, SheetOutcome, not_reached

__all__ = ["Malformed", "Report"]

#: What a notebook may show. Markup is passed on as it is: whoever puts it on a page makes it harmless first.
MIMES = ("text/plain", "text/html", "text/markdown", "text/latex", "image/svg+xml", "image/png", "image/jpeg")
BASE64 = re.compile(r"[A-Za-z0-9+/\n]*={0,2}\n?")
STATUSES = ("ok", "error", "stopped")
MOST_OUTPUTS = 20_000
LINE_OVERHEAD = 2_000_000  #: bytes a line may have beside the cell's outputs: its error, its answers


class Malformed(ValueError):
    """A line that the inner part of the runner would not have written."""


def must(condition: object) -> None:
    if not condition:
        raise Malformed


def refuse(_: str) -> NoReturn:
    raise Malformed


def text(value: Any) -> str:
    """Return text that can be stored: half a surrogate pair cannot."""
    must(type(value) is str)
    said: str = value
    return said.encode("utf-8", "replace").decode()


def parsed(line: bytes) -> Any:
    """Return the value of one line of JSON, or raise `Malformed`, whatever the line."""
    try:
        return json.loads(line.decode("utf-8"), parse_constant=refuse)
    except (ValueError, RecursionError, MemoryError) as why:
        raise Malformed from why


def bundle(value: Any) -> dict[str, str]:
    """Return a mime bundle with the kinds we know."""
    must(type(value) is dict)
    data = {mime: text(value[mime]) for mime in MIMES if mime in value}
    for mime in ("image/png", "image/jpeg"):
        must(mime not in data or BASE64.fullmatch(data[mime]))
    return data


def output(value: Any) -> Output:
    """Return one nbformat 4 output, built anew from the parts we know."""
    must(type(value) is dict)
    kind = value.get("output_type")
    if kind == "stream":
        must(value.get("name") in ("stdout", "stderr"))
        return {"output_type": kind, "name": value["name"], "text": text(value.get("text"))}
    if kind == "error":
        must(type(value.get("traceback")) is list)
        return {
            "output_type": kind,
            "ename": text(value.get("ename")),
            "evalue": text(value.get("evalue")),
            "traceback": [text(line) for line in value["traceback"]],
        }
    must(kind in ("display_data", "execute_result"))
    shown: Output = {"output_type": kind, "data": bundle(value.get("data")), "metadata": {}}
    if kind == "execute_result":
        count = value.get("execution_count")
        must(type(count) is int and 0 < count < 1_000_000)
        shown["execution_count"] = count
    return shown


def read_answers(
    names: Sequence[str], values: Any, reasons: Any, limits: Limits
) -> tuple[dict[str, object], dict[str, str]]:
    """Return (answers, unreadable) with exactly the names asked for."""
    must(type(values) is dict and type(reasons) is dict and set(values) == set(names) and set(reasons) <= set(names))
    must(all(type(reason) is str and reason in answers.REASONS for reason in reasons.values()))
    try:
        plain = {name: answers.plain(values[name], limits.answer_items, limits.answer_text) for name in names}
    except answers.Unreadable as why:
        raise Malformed from why
    for name, reason in reasons.items():
        must(plain[name] is None or (reason == answers.DECIMAL_COMMA and is_two_whole_numbers(plain[name])))
    return plain, dict(reasons)


def is_two_whole_numbers(value: object) -> bool:
    return type(value) is list and [type(item) for item in value] == [int, int]


def cell_outcome(cell: Cell, line: bytes, place: tuple[int, int], limits: Limits) -> CellOutcome:
    """Return the outcome told by one line about the cell at `place` (sheet, cell), or raise `Malformed`."""
    value = parsed(line)
    must(type(value) is list and len(value) == 7)
    sheet, number, status, outputs, values, reasons, seconds = value
    must((sheet, number) == place and type(sheet) is int and type(number) is int)
    must(type(seconds) in (int, float) and math.isfinite(seconds) and seconds >= 0)
    must(type(outputs) is list and len(outputs) <= MOST_OUTPUTS)
    if cell.report:
        must(status == "reported" and outputs == [])
        plain, unreadable = read_answers(cell.report, values, reasons, limits)
        return CellOutcome("reported", [], plain, unreadable, float(seconds))
    must(status in STATUSES and values is None and reasons == {})
    return CellOutcome(status, [output(entry) for entry in outputs], seconds=float(seconds))


class Report:
    """Gathers the lines of one job's children into outcomes, one cell after another, in order."""

    def __init__(self, sheets: tuple[Sheet, ...], limits: Limits):
        self.sheets, self.limits = sheets, limits
        self.done: list[SheetOutcome] = []
        self.cells: list[CellOutcome] = []  # of the present sheet
        self.told = 0  # bytes of its lines so far
        self.buffer = bytearray()
        self.close_full_sheets()

    @property
    def complete(self) -> bool:
        return len(self.done) == len(self.sheets)

    def feed(self, data: bytes, upto: int) -> Ending | None:
        """Take some bytes of the process that runs the sheets up to a number of them.

        Return how its sheet ended if it ended badly by them, else None. What it says after its
        last line is nobody's: the next process speaks on a pipe of its own.
        """
        searched = len(self.buffer)
        self.buffer += data
        while (end := self.buffer.find(b"\n", searched)) >= 0:
            if self.too_large(end):
                return "too large"
            line = bytes(self.buffer[:end])
            del self.buffer[: end + 1]
            searched = 0
            cell = self.sheets[len(self.done)].cells[len(self.cells)]
            try:
                self.cells.append(cell_outcome(cell, line, (len(self.done), len(self.cells)), self.limits))
            except Malformed:
                return "malformed"
            self.told += len(line)
            self.close_full_sheets()
            if len(self.done) >= upto:
                self.buffer.clear()
                return None
        return "too large" if self.too_large(len(self.buffer)) else None

    def too_large(self, size: int) -> bool:
        """Return whether a line of this size is more than a cell, or the present sheet, may tell."""
        most = self.limits.output_bytes_per_cell + LINE_OVERHEAD
        return size > most or self.told + size > self.limits.result_bytes

    def close_full_sheets(self) -> None:
        """Move on past every sheet whose cells are all told."""
        while not self.complete and len(self.cells) == len(self.sheets[len(self.done)].cells):
            self.done.append(SheetOutcome(self.sheets[len(self.done)].name, tuple(self.cells), "finished"))
            self.cells, self.told = [], 0

    def end(self, ended: Ending) -> list[SheetOutcome]:
        """Return the finished sheets, and the present one, if there is one, as ended in this way.

        A later sheet of which nothing was told is left out: the child may have died of the sheet before it.
        """
        if self.complete or (self.done and not self.cells and ended != "time"):
            return self.done
        return [*self.done, not_reached(self.sheets[len(self.done)], ended, tuple(self.cells))]
