"""Invented logger files of many habits: each is read as a person would read it, or refused with what was found.

A board warms from 25 °C by 1 K/s to 225 °C and cools as fast: 8 K above 217 °C on each side make 16 s above it.
"""

import itertools
import re

import numpy as np
import pytest
from click.testing import CliRunner

from workbook.bench.profile import log as profile_log
from workbook.cli import main
from workbook.log import flags, reading, verdict
from workbook.problems import Problem

SECONDS = range(401)


def board_c(second):
    return 25 + min(second, 400 - second)


def written(head, line, mark=","):
    """Return an invented file: heads, and one line a second."""
    return "\n".join([head, *(mark.join(map(str, line(s, board_c(s)))) for s in SECONDS)])


def clock(second, start=36_000):
    second = (second + start) % 86_400
    return f"{second // 3600:02d}:{second % 3600 // 60:02d}:{second % 60:02d}"


def half_day(second, start=36_000):
    hours, rest = divmod((second + start) % 86_400, 3600)
    return f"{(hours - 1) % 12 + 1}:{rest // 60:02d}:{rest % 60:02d} {'AM' if hours < 12 else 'PM'}"


MARKS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
CODES = {"UTF-8": "utf-8", "byte order mark": "utf-8-sig", "UTF-16": "utf-16", "Latin-1": "latin-1"}
HEADS = {
    "units in heads": "time [s]{0}TC1 [°C]\n",
    "units below heads": "Time{0}TC1\ns{0}°C\n",
    "a preamble": "Logger of the tests\nmade up\n\ntime [s]{0}TC1 [°C]\n",
    "quotes": '"time [s]"{0}"TC1 [°C]"\n',
    "a blank line below": "time [s]{0}TC1 [°C]\n\n",
}
PRODUCT = list(itertools.product(MARKS, CODES, HEADS))


def peak_and_time(content):
    log = reading.parse(content if isinstance(content, bytes) else content.encode())
    (values,) = log.channels.values()
    time, values = profile_log.clean(log.time, values)
    return values.max(), profile_log.time_above(time, values, 217)


@pytest.mark.parametrize(("mark", "code", "head"), PRODUCT, ids=lambda word: word)
def test_marks_codes_and_heads_change_nothing(mark, code, head):
    sign = MARKS[mark]
    body = "\n".join(f"{s}{sign}{board_c(s)}" for s in SECONDS)
    assert peak_and_time((HEADS[head].format(sign) + body).encode(CODES[code])) == pytest.approx((225, 16))


HABITS = {
    "time_ms": written("time_ms,a", lambda s, c: (s * 1000, c)),
    "timeMs": written("timeMs,a", lambda s, c: (s * 1000, c)),
    "time (min)": written("time (min),a", lambda s, c: (f"{s / 60:.6f}", c)),
    "decimal commas": written("s;a", lambda s, c: (f"{s},0", f"{c},0"), ";"),
    "decimal commas and tabs": written("s\ta", lambda s, c: (f"{s},0", f"{c},0"), "\t"),
    "number first": written("No.,time,a", lambda s, c: (s + 1, s, c)),
    "sample, battery, CJC": written("Sample,time,a,Battery (V),CJC", lambda s, c: (s, s, c, 3.7, 24.5)),
    "humidity": written("time,a,RH %", lambda s, c: (s, c, 40)),
    "clock": written("time,a", lambda s, c: (clock(s), c)),
    "across midnight": written("time,a", lambda s, c: (clock(s, 86_300), c)),
    "AM and PM": written("time,a", lambda s, c: (half_day(s), c)),
    "PM at midnight": written("time,a", lambda s, c: (half_day(s, 86_300), c)),
    "AM to PM at noon": written("time,a", lambda s, c: (half_day(s, 43_100), c)),
    "12 hours, past one": written("time,a", lambda s, c: (half_day(s, 46_700)[:-3], c)),
    "date and time apart": written("Date,Time,a", lambda s, c: ("2026-03-01", clock(s), c)),
    "date and time apart, across midnight": written(
        "Date,Time,a", lambda s, c: (f"0{1 + (s + 86_300) // 86_400}/03/2026", clock(s, 86_300), c)
    ),
    "the 12th to the 13th": written(
        "when,a", lambda s, c: (f"{12 + (s + 86_300) // 86_400}/03/2026 {clock(s, 86_300)}", c)
    ),
    "minutes and seconds from 0": written("t,a", lambda s, c: (f"{s // 60:02d}:{s % 60:02d}", c)),
    "°F": written("time,a (°F)", lambda s, c: (s, f"{c * 1.8 + 32:.2f}")),
    "°F in a row of units": written("time,a\ns,°F", lambda s, c: (s, f"{c * 1.8 + 32:.2f}")),
    "decimal commas and tabs, °F in brackets below": written(
        "Zeit\tFühler 1\n[s]\t[°F]", lambda s, c: (f"{s},0", f"{c * 1.8 + 32:.1f}".replace(".", ",")), "\t"
    ),
    "units in words and brackets below, minutes": written(
        "Zeit\tFühler 1\n[Minuten]\t[Fahrenheit]", lambda s, c: (f"{s / 60:.6f}", f"{c * 1.8 + 32:.2f}"), "\t"
    ),
    "hours in a row of units": written("Zeit,a\n[Stunden],[°C]", lambda s, c: (f"{s / 3600:.8f}", c)),
    "heads as a comment": written("# time [s],TC1 [°C]", lambda s, c: (s, c)),
    "hours, in another language": written("Zeit [Stunden],a", lambda s, c: (f"{s / 3600:.8f}", c)),
    "kelvin": written("time,a [K]", lambda s, c: (s, f"{c + 273.15:.2f}")),
    "open as 1372.0": written("time,a", lambda s, c: (s, 1372.0 if s in (50, 51) else c)),
    "open as -9999": written("time,a", lambda s, c: (s, -9999 if s in (50, 51) else c)),
    "OL": written("time,a", lambda s, c: (s, "OL" if s == 50 else c)),
    "OL from the start": written("time,a", lambda s, c: (s, "OL" if s < 5 else c)),
    "dashes": written("time,a", lambda s, c: (s, "----" if s == 50 else c)),
    "open": written("time,a", lambda s, c: (s, "open" if s == 50 else c)),
    "nan": written("time,a", lambda s, c: (s, "nan" if s == 50 else c)),
    "commas at the ends": written("time,a,,", lambda s, c: (s, c, "", "")),
    "backwards": "time,a\n" + "\n".join(f"{s},{board_c(s)}" for s in reversed(SECONDS)),
    "one line twice": written("time,a", lambda s, c: (s, c)) + "\n400,25",
    "words at the end": written("time,a", lambda s, c: (s, c)) + "\nEnd of log",
    "units in cells": written("time,a", lambda s, c: (f"{s} s", f"{c} °C")),
    "°F in cells": written("time,a", lambda s, c: (s, f"{c * 1.8 + 32:.1f} °F")),
    "F in cells": written("time;a", lambda s, c: (s, f"{c * 1.8 + 32:.1f}F".replace(".", ",")), ";"),
    "K in cells": written("time,a", lambda s, c: (s, f"{c + 273.15:.2f} K")),
    "seconds since 1970": written("timestamp,a", lambda s, c: (1_780_000_000 + s, c)),
    "milliseconds since 1970": written("timestamp,a", lambda s, c: (1_780_000_000_000 + 1000 * s, c)),
    "microseconds since 1970": written("t,a", lambda s, c: (1_780_000_000_000_000 + 1_000_000 * s, c)),
    "days of a spreadsheet": written("Date,a", lambda s, c: (f"{46_090 + (36_000 + s) / 86_400:.9f}", c)),
    "a part of a day, of a spreadsheet": written("Time,a", lambda s, c: (f"{(36_000 + s) / 86_400:.9f}", c)),
    "one line out of order": written("time,a", lambda s, c: (s, c)).replace("\n50,75", "") + "\n50,75",
    "no heads, times with a point": "\n".join(f"{s}.0;{board_c(s)}" for s in SECONDS if s % 2 == 0 or s == 1),
    "no heads, half seconds": "\n".join(f"{s / 2};{board_c(s / 2)}" for s in range(801)),
    "100 s between readings": "time [s],a\n" + "\n".join(f"{s},{board_c(s)}" for s in SECONDS if s % 100 == 0),
    "signs": written("time,a", lambda s, c: (f"+{s}", f"+{c}.0")),
}


def test_units_in_brackets_below_the_heads_stand_once_behind_them():
    log = reading.parse(HABITS["decimal commas and tabs, °F in brackets below"].encode())
    assert list(log.channels) == ["Fühler 1 [°F]"]


def test_of_times_without_a_unit_it_is_said_how_long_the_log_then_is():
    """Who logged two readings a minute sees at once that they were taken for two a second."""
    notes = reading.parse(HABITS["no heads, half seconds"].encode()).notes
    assert "times were read as seconds from 'column 1', which names no unit: so the log lasts 400 s" in notes
    assert not any("lasts" in note for note in reading.parse(HABITS["100 s between readings"].encode()).notes)


@pytest.mark.parametrize("habit", HABITS)
def test_a_habit_is_read_as_it_is_meant(habit):
    assert peak_and_time(HABITS[habit]) == pytest.approx((225, 16), abs=0.02)


REFUSED = {
    "sensors below each other": (
        "time,sensor,value\n"
        + "\n".join(f"{s},{sensor},{board_c(s) + 9 * (sensor == 'B')}" for s in SECONDS for sensor in "AB"),
        "'sensor' may name",
    ),
    "a count for a time": (written("No.,a", lambda s, c: (s, c)), "counts the readings"),
    "a sample for a time": (written("Sample,a", lambda s, c: (s, c)), "counts the readings"),
    "°F without unit": (written("time,a", lambda s, c: (s, c * 1.8 + 32)), "names no unit"),
    "commas for both": (written("time,a", lambda s, c: (s, 0, c, 5)), "for decimals"),
    "a clock that reads in two ways": (written("time,a", lambda s, c: (clock(s * 60)[:5], c)), "hours and minutes"),
    "no heads, and a count": ("\n".join(f"{s + 1},{board_c(s)}" for s in SECONDS), "names no columns"),
    "no heads, from 0": (
        "\n".join(f"{s},{board_c(s)}" for s in SECONDS),
        "goes 0, 1 ...: seconds, minutes, or a count",
    ),
    "no heads, and a line is missing": (
        "\n".join(f"{s},{board_c(s)}" for s in SECONDS if s != 3),
        "goes 0, 1 ...: seconds, minutes, or a count",
    ),
    "no heads, milliseconds": ("\n".join(f"{s * 1000},{board_c(s)}" for s in SECONDS), "seconds or milliseconds"),
    "milliseconds without unit": (written("time,a", lambda s, c: (s * 500, c)), "steps of 500 in 'time'"),
    "a unit of time that nobody knows": (written("time [ticks],a", lambda s, c: (s, c)), "'ticks', which is no unit"),
    "a unit of time below the heads": (written("time,a\n(cs),(°C)", lambda s, c: (s, c)), "cs"),
    "two logs, each with heads": ("\n".join([written("time,a", lambda s, c: (s, c))] * 2), "2 logs below each other"),
    "two logs, heads once": (
        "time,a\n" + "\n".join(f"{s},{board_c(s)}" for s in (*SECONDS, *SECONDS[:200])),
        "times begin anew",
    ),
    "°C and °F in cells": (written("time,a", lambda s, c: (s, f"{c} °{'CF'[s % 2]}")), "readings in °C and F"),
    "only heads": ("time,a\n", "no lines"),
    "one reading": ("time,a\n0,25", "no column of times"),
    "one reading at a time that is known": ("time,a\n0,25\n?,26\n2,OL", "no column of temperatures"),
    "one time": ("time,a\n5,25\n5,26", "no column of times"),
    "no sensor": (written("time,Battery (V)", lambda s, c: (s, 3.7)), "no column of temperatures"),
}


@pytest.mark.parametrize("kind", REFUSED)
def test_what_cannot_be_known_is_refused_with_what_was_found(kind):
    content, words = REFUSED[kind]
    with pytest.raises(Problem, match=words) as refused:
        reading.parse(content.encode())
    assert "\n" not in str(refused.value)
    assert refused.value.tip


UNLIKELY = {
    "below": (np.array([20.0, 10, 0, -10, -20, -30, -40, -51]), "below -50"),
    "above": (np.array([380.0, 390, 401]), "above 400"),
    "fast": (np.array([20.0, 41, 41]), "over 20 K/s"),
    "counter": (np.arange(1.0, 30), "counter"),
}


@pytest.mark.parametrize("kind", UNLIKELY)
def test_what_a_board_cannot_do_is_flagged_and_a_board_is_not(kind):
    values, words = UNLIKELY[kind]
    assert any(words in flag for flag in flags.plausibility(np.arange(float(values.size)), values))
    assert flags.plausibility(np.array(SECONDS, float), np.array([board_c(s) for s in SECONDS], float)) == ()


def test_the_first_words_say_whether_it_melted_long_enough_with_value_limit_and_margin():
    log = reading.parse(HABITS["clock"].encode())
    first, second, *_ = verdict.lines(log, verdict.judge(log))
    assert first == "Did it melt long enough?"
    assert "no; 16 s above 217 °C, at least 60 s asked, margin -44 s" in second


def test_the_command_lists_every_choice_of_limits():
    text = CliRunner().invoke(main, ["log", "--help"]).output
    (choice,) = (param for param in main.commands["log"].params if param.name == "name")
    assert tuple(choice.type.choices) == tuple(verdict.LIMITS)
    assert verdict.LIMITS.keys() <= set("".join(text.split()).replace("[", "|").replace("]", "|").split("|"))


@pytest.mark.parametrize("kind", ["missing", "folder", "empty", "binary", "wrong name"])
def test_what_is_no_log_is_one_error_line_and_one_tip(kind, tmp_path):
    content = {"empty": b"", "binary": bytes(range(256)), "wrong name": b"%PDF made up"}
    file = tmp_path if kind == "folder" else tmp_path / "log.pdf"
    if kind in content:
        file.write_bytes(content[kind])
    done = CliRunner().invoke(main, ["log", str(file)])
    assert done.exit_code == 1
    assert [line.split()[0] for line in done.stderr.splitlines()] == ["ERROR", "TIP"]


def test_the_margin_of_a_temperature_is_told_in_kelvin():
    """A fact of the trade: a difference of two temperatures is in kelvin, and °C names a place on the scale."""
    log = reading.parse(HABITS["clock"].encode())
    margins = [line for line in verdict.lines(log, verdict.judge(log, class_c=260)) if "margin" in line]
    peak = next(line for line in margins if "°C; limit" in line)
    assert re.search(r"margin [+-][\d.]+ K: ", peak)
    assert not [line for line in margins if re.search(r"margin [+-][\d.]+ °C", line)]
