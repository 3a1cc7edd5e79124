"""Read a thermocouple log from one's own bench: any column names, separators, decimal comma, °F, any kind of time."""

import csv
import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from dateutil import parser as dates

from workbook.problems import Problem

MOST_BYTES = 50_000_000
TIP = "save the log as a CSV file with one line a reading, a column of times and at least one of temperatures"

TIME_WORDS = re.compile(
    r"^(t|time|zeit|temps|tiempo|tempo|tid|sec|secs|seconds?|s|min|minutes?|date|timestamp|elapsed)\b", re.I
)
MINUTES = re.compile(r"\b(min|minutes?)\b", re.I)
MILLISECONDS = re.compile(r"\b(ms|milliseconds?)\b", re.I)
FAHRENHEIT = re.compile(r"(°\s*f|\bdeg\.?\s*f|\bf\b|fahrenheit)", re.I)
KELVIN = re.compile(r"(\(\s*k\s*\)|\[\s*k\s*\]|\bkelvin\b)", re.I)
NUMBER = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d+)?")


@dataclass(frozen=True)
class Log:
    """A log as read: times [s] from the first one on, channels [°C] by name, and what was understood on the way."""

    time: np.ndarray
    channels: dict[str, np.ndarray]
    notes: tuple[str, ...]


def read(path: Path) -> Log:
    """Return the log in a CSV file, or raise Problem with one line and what to do.

    Readings that are missing or no numbers become nan; nothing is sorted, filled in or left out.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise Problem(f"{path} is too large for a log ({path.stat().st_size / 1e6:.0f} MB).", TIP)
        raw = path.read_bytes()
    except OSError as error:
        raise Problem(f"{path} cannot be read: {error.strerror}.", TIP) from None
    return parse(raw, str(path))


def parse(raw: bytes, name: str = "the log") -> Log:
    """Return the log written in some bytes, or raise Problem.

    >>> log = parse("Zeit [s];Fühler 1 (°F)\\n0;77,0\\n1,5;86,0".encode())
    >>> log.time.tolist(), {channel: values.tolist() for channel, values in log.channels.items()}
    ([0.0, 1.5], {'Fühler 1 (°F)': [25.0, 30.0]})
    """
    notes = []
    rows = _rows(_text(raw, name, notes), notes)
    first = next((index for index, row in enumerate(rows) if _is_reading(row)), None)
    if first is None:
        raise Problem(f"{name} holds no lines with a time and a temperature.", TIP)
    body = [row for row in rows[first:] if any(cell.strip() for cell in row)]
    width = len(rows[first])
    heads = _heads(rows[first - 1] if first else [], width)
    if first > 1:
        notes.append(f"{first - 1} lines before the column heads were passed over")
    columns = [[row[index].strip() if index < len(row) else "" for row in body] for index in range(width)]
    place = _time_column(heads, columns)
    time = _times(columns[place], heads[place], name, notes)
    channels = {}
    for index, head in enumerate(heads):
        values = np.array([_number(cell) for cell in columns[index]])
        if index != place and np.isfinite(values).sum() >= 2:
            channels[head] = _celsius(values, head, notes)
    if not channels:
        raise Problem(f"{name} has no column of temperatures.", TIP)
    return Log(time, channels, tuple(dict.fromkeys(notes)))


def _text(raw: bytes, name: str, notes: list[str]) -> str:
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return raw.decode("utf-16", "replace")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        notes.append("the file is not UTF-8; it was read as Western European text")
        text = raw.decode("cp1252", "replace")
    if "\0" in text:
        raise Problem(f"{name} is no text file.", TIP)
    return text


def _rows(text: str, notes: list[str]) -> list[list[str]]:
    """Split a text into rows at the separator that makes the most lines readings."""
    lines = text.splitlines()[:200]
    best = max(";\t,|", key=lambda mark: sum(_is_reading(row) for row in csv.reader(lines, delimiter=mark)))
    if not any(_is_reading(row) for row in csv.reader(lines, delimiter=best)):
        return [line.split() for line in text.splitlines()]  # columns set apart by spaces
    return list(csv.reader(io.StringIO(text), delimiter=best))


def _is_reading(row: Sequence[str]) -> bool:
    """Whether a row holds a time or number, and at least one further number."""
    cells = [cell.strip() for cell in row]
    numbers = sum(math.isfinite(_number(cell)) for cell in cells)
    return numbers >= 2 or (numbers >= 1 and len(cells) >= 2 and _moment(cells[0]) is not None)


def _heads(row: Sequence[str], width: int) -> list[str]:
    named = [cell.strip() for cell in row][:width] + [""] * width
    heads = []
    for index in range(width):
        head = named[index] or f"column {index + 1}"
        heads.append(head if head not in heads else f"{head} ({index + 1})")
    return heads


def _number(cell: str) -> float:
    """Return the number in a cell, with a point or a comma, with or without a unit after it; nan for anything else."""
    match = NUMBER.match(cell.strip())
    if not match or (rest := cell.strip()[match.end() :].strip()) and not re.fullmatch(r"[°\w%/]{1,6}", rest):
        return math.nan
    return float(match.group(0).replace(",", "."))


def _moment(cell: str) -> float | None:
    """Return a clock time or a date and time in seconds, or None."""
    clock = re.fullmatch(r"(\d+):(\d\d)(?::(\d\d(?:[.,]\d+)?))?", cell.strip())
    if clock:
        first, second, third = clock.groups()
        if third is None:
            return 60.0 * int(first) + int(second)
        return 3600.0 * int(first) + 60 * int(second) + float(third.replace(",", "."))
    if not re.search(r"\d[-/.]\d.*\d:\d\d", cell):
        return None
    try:
        return dates.parse(cell.replace(",", "."), dayfirst="." in cell).timestamp()
    except (ValueError, OverflowError):
        return None


def _time_column(heads: list[str], columns: list[list[str]]) -> int:
    for index, column in enumerate(columns):
        if sum(_moment(cell) is not None for cell in column) > len(column) / 2:
            return index
    named = [index for index, head in enumerate(heads) if TIME_WORDS.match(head.strip("\"' "))]
    return named[0] if named else 0


def _times(cells: list[str], head: str, name: str, notes: list[str]) -> np.ndarray:
    moments = [_moment(cell) for cell in cells]
    if sum(moment is not None for moment in moments) > len(cells) / 2:
        time = np.array([math.nan if moment is None else moment for moment in moments])
        notes.append(f"times were read from clock times in {head!r}")
    else:
        time = np.array([_number(cell) for cell in cells])
        factor, unit = (60.0, "minutes") if MINUTES.search(head) else (1.0, "seconds")
        if MILLISECONDS.search(head):
            factor, unit = 1e-3, "milliseconds"
        time = time * factor
        notes.append(f"times were read as {unit} from {head!r}")
    if np.isfinite(time).sum() < 2:
        raise Problem(f"{name} has no column of times.", TIP)
    return time - np.nanmin(time)


def _celsius(values: np.ndarray, head: str, notes: list[str]) -> np.ndarray:
    if FAHRENHEIT.search(head):
        notes.append(f"{head!r} was read in °F and is shown in °C")
        return (values - 32) / 1.8
    if KELVIN.search(head):
        notes.append(f"{head!r} was read in kelvin and is shown in °C")
        return values - 273.15
    if not re.search(r"°\s*c|\bc\b|celsius|deg\.?\s*c", head, re.I):
        notes.append(f"{head!r} names no unit; it was read in °C")
    return values
