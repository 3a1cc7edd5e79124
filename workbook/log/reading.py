"""Read a thermocouple log from one's own bench: any column names, separators, decimal comma, °F, any kind of time."""

import csv
import io
import itertools
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from unicodedata import normalize

import numpy as np

from workbook.log import moments
from workbook.problems import Problem

MOST_BYTES = 50_000_000
TIP = "save the log as a CSV file with one line a reading, a column of times and at least one of temperatures"

TIME_WORDS = re.compile(
    r"^(t|time|zeit|temps|tiempo|tempo|tid|sec|secs|seconds?|s|min|minutes?|date|timestamp|elapsed)\b", re.I
)
OF_SECONDS = "s|sec|secs|seconds?|sek|sekunden|secondes|segundos|secondi"
OF_MINUTES = "min|minut(?:e|es|en|os|i)"
OF_HOURS = "h|hrs?|hours?|std|stunden|heures|horas|ore"
OF_MILLISECONDS = "ms|milliseconds?"
"""How units of time are written, in the languages that `TIME_WORDS` has too."""
SECONDS, MINUTES, HOURS, MILLISECONDS = (
    re.compile(rf"\b({words})\b", re.I) for words in (OF_SECONDS, OF_MINUTES, OF_HOURS, OF_MILLISECONDS)
)
COUNTER = re.compile(r"^(no|nr|#|n|index|row|record|sample|count|counter|reading|scan)\b\.?|^#", re.I)
NO_SENSOR = re.compile(
    r"\b(batt?|battery|voltage|volts?|m?v|cjc|cold junction|reference junction|humidity|rh)\b"
    r"|\b(power|duty|set ?point|status)\b|%",
    re.I,
)
UNIT = re.compile(
    rf"[\[(]?({OF_SECONDS}|{OF_MINUTES}|{OF_HOURS}|{OF_MILLISECONDS}|°\s*[CFK]|deg\.? ?[CF]|[CFKV]|celsius|fahrenheit"
    r"|kelvin|mV|%|-|hh:mm:ss|)[\])]?",
    re.I,
)
OPEN_WORD = re.compile(r"ol|open|-{2,}|nan|n/?a|err(or)?", re.I)
OPEN_BELOW_C, OPEN_ABOVE_C = -200.0, 800.0
"""No board reads so: loggers write -9999, or the end of the range (1372 °C for type K), for a sensor that is open."""
AS_A_COMMENT = re.compile(r"^\s*#\s+(?=\S)")
"""How some programs write a line of heads: ``# time [s], TC1``."""
IN_BRACKETS = re.compile(r"[\[(]\s*([^\])]+?)\s*[\])]")
FAHRENHEIT = re.compile(r"(°\s*f|\bdeg\.?\s*f|\bf\b|fahrenheit)", re.I)
KELVIN = re.compile(r"(\(\s*k\s*\)|\[\s*k\s*\]|\bkelvin\b)", re.I)
EPOCHS = {1.0: "seconds", 1e-3: "milliseconds", 1e-6: "microseconds", 1e-9: "nanoseconds"}
EPOCH = (9e8, 4e9)
"""Seconds since 1970 of the years 1998 to 2096: no log lasts so long."""
SPREADSHEET = (35_000.0, 75_000.0)
"""Days as spreadsheets count them, of the years 1995 to 2105."""
NAME_IT = "write a line of heads above it, such as time [s], TC1 [°C]"
COARSEST = 100.0
"""Steps no log of a board has in seconds, but one in milliseconds may [s]."""
FEWEST_AGAIN = 5
"""So many readings of a time that has been before are no line out of order."""
ONE_LOG = "save each log in a file of its own"
NUMBER = re.compile(r"[-+]?(\d+([.,]\d+|\.)?|[.,]\d+)([eE][-+]?\d+)?")


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
    if path.exists() and not path.is_file():
        raise Problem(f"{path} is no file.", TIP)
    try:
        _hold_size(path.stat().st_size, str(path))
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
    _hold_size(len(raw), name)
    notes = []
    rows = _rows(normalize("NFC", _text(raw, name, notes)), notes)
    first = next((index for index, row in enumerate(rows) if _is_reading(row)), None)
    if first is None:
        raise Problem(f"{name} holds no lines with a time and a temperature.", TIP)
    body = [row for row in rows[first:] if any(cell.strip() for cell in row)]
    width = len(rows[first])
    heads = _heads(_head_row(rows[:first]), width)
    if first > 1:
        lines = "1 line" if first == 2 else f"{first - 1} lines"
        notes.append(f"{lines} before the column heads were passed over")
    if first and 2 * _filled(rows[first - 1]) == _filled(rows[first]):
        raise Problem(
            f"{name} has {width} numbers in a line and {width // 2} headings: a comma stands both between columns and "
            "for decimals.",
            "save it with semicolons between the columns",
        )
    columns = [[row[index].strip() if index < len(row) else "" for row in body] for index in range(width)]
    place = _time_column(heads, columns)
    _hold_time(heads, columns, place, name, notes)
    _hold_one_head(rows[:first], body, name)
    _join_date(columns, place)
    time = _times(columns[place], heads[place], name, notes)
    _hold_one_session(time, name)
    _hold_one_sensor_a_column(heads, columns, time, name)
    channels = {}
    for index, head in enumerate(heads):
        values = np.array([_number(cell) for cell in columns[index]])
        if (
            index == place
            or np.unique(time[np.isfinite(time + values)]).size < 2
            or any(map(moments.is_moment, columns[index]))
        ):
            continue
        if COUNTER.search(head) or NO_SENSOR.search(head) or moments.is_date(columns[index][0]):
            notes.append(f"{head!r} was passed over: no thermocouple by its name")
        elif TIME_WORDS.match(head):
            notes.append(f"{head!r} was passed over: a second column of times")
        else:
            channels[head] = _celsius(values, head, notes, _unit_in_cells(columns[index], head, name))
    if not channels:
        raise Problem(f"{name} has no column of temperatures.", TIP)
    return Log(time, channels, tuple(dict.fromkeys(notes)))


def _hold_size(size: int, name: str) -> None:
    if size > MOST_BYTES:
        raise Problem(
            f"{name} is too large for a log ({size / 1e6:.0f} MB; {MOST_BYTES / 1e6:.0f} MB are the most).", TIP
        )


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
    return numbers >= 2 or (
        numbers >= 1 and any(moments.is_moment(cell) or OPEN_WORD.fullmatch(cell) for cell in cells)
    )


def _heads(row: Sequence[str], width: int) -> list[str]:
    named = [re.sub(r"(?<=[a-z])(?=[A-Z][a-z]*s\b)|_", " ", cell.strip()) for cell in row][:width] + [""] * width
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


def _filled(row: Sequence[str]) -> int:
    return sum(bool(cell.strip()) for cell in row)


def _head_row(above: list[list[str]]) -> list[str]:
    """Return the heads of the columns; a row of units below them is taken into them."""
    above = [row for row in above if any(cell.strip() for cell in row)]
    above = [[AS_A_COMMENT.sub("", row[0]), *row[1:]] for row in above]
    if len(above) > 1 and all(UNIT.fullmatch(cell.strip()) for cell in above[-1]):
        units = [*above[-1], *[""] * len(above[-2])]
        return [
            f"{head.strip()} [{UNIT.fullmatch(unit.strip())[1]}]" if unit.strip() else head
            for head, unit in zip(above[-2], units, strict=False)
        ]
    return above[-1] if above else []


def _hold_time(heads: list[str], columns: list[list[str]], place: int, name: str, notes: list[str]) -> None:
    """Raise Problem where the column taken for times only counts the readings."""
    if COUNTER.search(heads[place]) and not any(map(moments.is_moment, columns[place])):
        raise Problem(f"{name} has no column of times: {heads[place]!r} counts the readings.", TIP)
    counted = np.array([_number(cell) for cell in columns[place]])
    counted = counted[np.isfinite(counted)]
    whole = counted.size > 1 and (counted % 1 == 0).all() and np.median(np.abs(np.diff(counted))) == 1
    if whole and re.fullmatch(r"column \d+", heads[place]) and not any(map(moments.is_moment, columns[place])):
        raise Problem(
            f"{name} names no columns, and the first goes {counted[0]:g}, {counted[1]:g} ...: seconds, minutes, or "
            "a count of the readings?",
            NAME_IT,
        )


def _hold_one_head(above: list[list[str]], body: list[list[str]], name: str) -> None:
    """Raise Problem where the heads come again: several logs stand below each other."""
    again = sum(row == above[-1] for row in body) if above and _filled(above[-1]) > 1 else 0
    if again:
        raise Problem(f"{name} holds {again + 1} logs below each other: its headings come again.", ONE_LOG)


def _hold_one_session(time: np.ndarray, name: str) -> None:
    """Raise Problem where the times begin anew: a line or two out of order is none of that."""
    sound = time[np.isfinite(time)]
    turns = np.flatnonzero(np.diff(sound) < 0) + 1
    for before, after in itertools.pairwise(np.split(sound, turns)):
        if min((before > after[0]).sum(), (after < before[-1]).sum()) >= FEWEST_AGAIN:
            raise Problem(
                f"{name} holds several logs below each other: at {before[-1]:g} s the times begin anew.", ONE_LOG
            )


def _join_date(columns: list[list[str]], place: int) -> None:
    """Put the date of a column of its own before each clock time."""
    for index, column in enumerate(columns):
        dated = sum(map(moments.is_date, column))
        if index != place and dated > len(column) / 2 and not any(map(moments.is_date, columns[place])):
            columns[place] = [f"{date} {clock}" for date, clock in zip(column, columns[place], strict=True)]
            return


def _hold_one_sensor_a_column(heads: list[str], columns: list[list[str]], time: np.ndarray, name: str) -> None:
    """Raise Problem where lines of several sensors stand below each other: they must not be averaged."""
    sound = time[np.isfinite(time)]
    if sound.size - np.unique(sound).size < sound.size / 5:
        return
    few = [
        head for head, column in zip(heads, columns, strict=True) if 2 <= len(set(column)) <= max(2, len(column) // 4)
    ]
    named = f" ({', '.join(map(repr, few))} may name them)" if few else ""
    raise Problem(
        f"{name} has many lines with the same time: several sensors below each other{named}, or too coarse a clock.",
        "save one line a time, with a column for each sensor",
    )


def _time_column(heads: list[str], columns: list[list[str]]) -> int:
    for index, column in enumerate(columns):
        if sum(map(moments.is_moment, column)) > len(column) / 2:
            return index
    named = [index for index, head in enumerate(heads) if TIME_WORDS.match(head.strip("\"' "))]
    return named[0] if named else 0


def _times(cells: list[str], head: str, name: str, notes: list[str]) -> np.ndarray:
    if sum(map(moments.is_moment, cells)) > len(cells) / 2:
        time = moments.seconds(cells, head, notes)
        notes.append(f"times were read from clock times in {head!r}")
    else:
        time = np.array([_number(cell) for cell in cells])
        factor, unit = _unit_of_times(time, head, name)
        time = time * factor
        notes.append(f"times were read as {unit} from {head!r}{_and_so_long(time, head)}")
    if np.unique(time[np.isfinite(time)]).size < 2:
        raise Problem(f"{name} has no column of times.", TIP)
    return time - np.nanmin(time)


def _and_so_long(time: np.ndarray, head: str) -> str:
    """Say how long a log is where nothing names its unit of time: who knows how long it took sees what was read."""
    sound = time[np.isfinite(time)]
    if not sound.size or any(named.search(head) for named in (SECONDS, MILLISECONDS, MINUTES, HOURS)):
        return ""
    return f", which names no unit: so the log lasts {np.ptp(sound):g} s"


def _unit_of_times(time: np.ndarray, head: str, name: str) -> tuple[float, str]:
    """Return what a number in a column of times is: seconds unless the head, or a size no log has, says otherwise.

    Raises Problem where it steps as no seconds of a log do, and nothing says what else they are.
    """
    if MILLISECONDS.search(head):
        return 1e-3, "milliseconds"
    if MINUTES.search(head):
        return 60.0, "minutes"
    if HOURS.search(head):
        return 3600.0, "hours"
    sound = time[np.isfinite(time)]
    least, step = (sound.min(), np.median(np.diff(np.sort(sound)))) if sound.size > 1 else (0.0, 1.0)
    for factor, unit in EPOCHS.items():
        if EPOCH[0] < least * factor < EPOCH[1]:
            return factor, f"{unit} since 1970"
    of_days = 0 < step < 0.02 and (SPREADSHEET[0] < least < SPREADSHEET[1] or (least >= 0 and sound.max() < 1))
    if of_days and abs(step * moments.DAY - round(step * moments.DAY, 1)) < 0.01:
        return moments.DAY, "days of a spreadsheet"
    if (unit := IN_BRACKETS.search(head)) and not SECONDS.search(head):
        raise Problem(f"{name} has times in {unit[1]!r}, which is no unit of time known here.", NAME_IT)
    if step >= COARSEST and not SECONDS.search(head):
        raise Problem(
            f"{name} has times in steps of {step:g} in {head!r}, which names no unit: seconds or milliseconds?", NAME_IT
        )
    return 1.0, "seconds"


def _unit_in_cells(cells: Sequence[str], head: str, name: str) -> str:
    """Return the unit that stands behind the readings, F, K or C, or none; or raise Problem where there are several."""
    found = {match[1].upper() for cell in cells if (match := re.search(r"\d\s*°?\s*([CFK])$", cell.strip(), re.I))}
    if len(found) > 1:
        raise Problem(f"{name} has readings in °{' and '.join(sorted(found))} in {head!r}.", "write them in one unit")
    return found.pop() if found else ""


def _celsius(values: np.ndarray, head: str, notes: list[str], in_cells: str = "") -> np.ndarray:
    """Return readings in °C, those of an open sensor as nan; or raise Problem where the unit cannot be known."""
    if in_cells:
        head = f"{head} [°{in_cells}]" if in_cells != "K" else f"{head} [K]"
    if FAHRENHEIT.search(head):
        notes.append(f"{head!r} was read in °F and is shown in °C")
        return _without_open((values - 32) / 1.8, head, notes)
    if KELVIN.search(head):
        notes.append(f"{head!r} was read in kelvin and is shown in °C")
        return _without_open(values - 273.15, head, notes)
    values = _without_open(values, head, notes)
    if not re.search(r"°\s*c|\bc\b|celsius|deg\.?\s*c", head, re.I):
        if np.isfinite(values).any() and np.nanmax(values) > 400:
            raise Problem(
                f"{head!r} names no unit and reads up to {np.nanmax(values):g}: too hot for °C on a board.",
                "write the unit in the head of the column, such as TC1 [°F]",
            )
        notes.append(f"{head!r} names no unit; it was read in °C")
    return values


def _without_open(values: np.ndarray, head: str, notes: list[str]) -> np.ndarray:
    open_ = (values <= OPEN_BELOW_C) | (values >= OPEN_ABOVE_C)
    if open_.any():
        notes.append(f"{int(open_.sum())} readings of {head!r} were taken as those of an open sensor and left out")
    return np.where(open_, np.nan, values)
