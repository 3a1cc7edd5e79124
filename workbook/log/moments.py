"""Times as loggers write them: clock times with and without AM or PM, dates, and both."""

import re
from collections.abc import Sequence
from datetime import datetime

import numpy as np
from dateutil import parser as dates

from workbook.problems import Problem

DAY = 86_400.0
CLOCK = re.compile(r"(\d{1,3}):(\d\d)(?::(\d\d(?:[.,]\d+|:\d{3})?))?\s*([ap])?\.?m?\.?", re.I)
DATE = re.compile(r"(\d{1,4})[-/.](\d{1,2}|[a-z]{3,9})[-/.](\d{1,4})", re.I)
TIP = "write the seconds too (14:30:00), or a column of seconds"


def is_date(cell: str) -> bool:
    """Whether a cell holds a date and no clock time."""
    return DATE.fullmatch(cell.strip()) is not None


def is_moment(cell: str) -> bool:
    """Whether a cell holds a clock time, alone or after a date."""
    cell = cell.strip()
    return CLOCK.fullmatch(cell) is not None or (DATE.match(cell) is not None and ":" in cell)


def seconds(cells: Sequence[str], head: str, notes: list[str]) -> np.ndarray:
    """Return moments in seconds, nan where a cell is none; or raise Problem where they can be read in two ways."""
    if any(DATE.match(cell.strip()) for cell in cells):
        return _dated(cells, notes)
    found = [CLOCK.fullmatch(cell.strip()) for cell in cells]
    clocks = [one.groups() for one in found if one]
    short = [clock for clock in clocks if clock[2] is None and clock[3] is None]
    minutes_first = bool(short) and _minutes_first(short, len(short) < len(clocks), head, notes)
    time = np.array([_clock(one.groups(), minutes_first) if one else np.nan for one in found])
    return _unrolled(time, clocks, notes)


def _minutes_first(short: list[tuple], mixed: bool, head: str, notes: list[str]) -> bool:
    """Whether 14:30 means minutes and seconds: by the head, by a first number above 23, or by a start at 0."""
    if re.search(r"h+:m+", head, re.I):
        return False
    if re.search(r"m+:s+", head, re.I) or mixed or any(int(clock[0]) > 23 for clock in short):
        return True
    if int(short[0][0]) == 0:
        notes.append("times such as 00:30 were taken as minutes and seconds, as they start at 0")
        return True
    shown = ":".join(short[0][:2])
    raise Problem(f"the time {shown} can be hours and minutes, or minutes and seconds.", TIP)


def _clock(groups: tuple, minutes_first: bool) -> float:
    first, second, third, half = groups
    if third is None and minutes_first:
        return 60.0 * int(first) + int(second)
    hours = int(first) % 12 + 12 * (half.lower() == "p") if half else int(first)
    return 3600.0 * hours + 60 * int(second) + (float(re.sub("[,:]", ".", third)) if third else 0.0)


def _unrolled(time: np.ndarray, clocks: list[tuple], notes: list[str]) -> np.ndarray:
    """Return clock times that go on where a clock starts again, at midnight or, on a face of 12 hours, at one."""
    sound = np.flatnonzero(np.isfinite(time))
    steps = np.diff(time[sound])
    turn, words = DAY, "midnight"
    twelve = all(1 <= int(clock[0]) <= 12 and clock[3] is None for clock in clocks)
    if twelve and ((steps < -11 * 3600) & (steps >= -12 * 3600)).any():
        turn, words = DAY / 2, "one o'clock, on a clock of 12 hours"
    turns = np.where(steps < -turn * 11 / 12, 1, np.where(steps > turn * 11 / 12, -1, 0))
    if turns.any():
        notes.append(f"the clock goes past {words}: the time goes on")
        time[sound[1:]] += turn * np.cumsum(turns)
    return time


def _dated(cells: Sequence[str], notes: list[str]) -> np.ndarray:
    """Return dates with clock times in seconds, day and month in the one order that fits every line."""
    parts = [one.groups() for one in (DATE.match(cell.strip()) for cell in cells) if one]
    numeric = [(int(a), int(b)) for a, b, _ in parts if a.isdigit() and b.isdigit() and len(a) < 3]
    if any(first > 12 for first, _ in numeric):
        orders = [True]
    elif any(second > 12 for _, second in numeric):
        orders = [False]
    else:
        orders = [True, False]
    read = [np.array([_moment(cell, order) for cell in cells]) for order in orders]
    spans = [np.nanmax(time) - np.nanmin(time) if np.isfinite(time).any() else np.inf for time in read]
    if len(orders) > 1 and abs(spans[0] - spans[1]) > 1:
        day = spans[0] < spans[1]
        notes.append(f"dates were read with the {'day' if day else 'month'} first, which makes the log the shorter")
    return read[int(np.argmin(spans))]


def _moment(cell: str, day_first: bool) -> float:
    year_first = re.match(r"\s*\d{4}", cell) is not None
    try:
        moment = dates.parse(cell.replace(",", "."), dayfirst=day_first and not year_first, yearfirst=year_first)
    except (ValueError, OverflowError):
        return np.nan
    return (moment.replace(tzinfo=None) - datetime(1970, 1, 1)).total_seconds()  # no zone: no hour is lost in spring
