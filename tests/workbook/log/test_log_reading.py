"""A log from anyone's bench is read as it is meant, or refused in one line."""

import numpy as np
import pytest
from click.testing import CliRunner

from workbook.cli import main
from workbook.log import reading, verdict
from workbook.problems import Problem

TIMES = np.arange(0, 341, 1.0)
CORNERS = ([0, 105, 180, 240, 270, 340], [25, 150, 200, 244, 219, 145])
TRUE_C = np.interp(TIMES, *CORNERS)
ABOVE_TL = (270 + 70 * 2 / 74) - (180 + 60 * 17 / 44)
"""Time above 217 °C, from the two crossings worked by hand."""


def text(head="time,joint", mark=",", comma=False, convert=lambda c: c, stamp=lambda t: f"{t:g}", order=None):
    """Return an invented log in one of the ways loggers write."""
    rows = [mark.join([stamp(t), f"{convert(c):.4f}"]) for t, c in zip(TIMES, TRUE_C, strict=True)]
    rows = rows if order is None else [rows[index] for index in order]
    body = "\n".join(rows)
    return (head.replace(",", mark) + "\n" + (body.replace(".", ",") if comma else body)).encode()


WAYS = {
    "commas": text(),
    "semicolons and decimal commas": text(mark=";", comma=True),
    "tabs": text(mark="\t"),
    "bars": text(mark="|"),
    "spaces": text(mark=" "),
    "byte order mark": b"\xef\xbb\xbf" + text(),
    "UTF-16": text().decode().encode("utf-16"),
    "Latin-1 and °C": text(head="Zeit (s),Fühler °C").decode().encode("cp1252"),
    "°F": text(head="t [s],TC1 [°F]", convert=lambda c: c * 1.8 + 32),
    "kelvin": text(head="t [s],TC1 [K]", convert=lambda c: c + 273.15),
    "minutes": text(head="time (min),a", stamp=lambda t: f"{t / 60:.6f}"),
    "milliseconds": text(head="t ms,a", stamp=lambda t: f"{t * 1000:.0f}"),
    "clock": text(stamp=lambda t: f"10:{int(t // 60):02d}:{t % 60:04.1f}"),
    "dates": text(head="when,a", stamp=lambda t: f"2026-03-01 10:{int(t // 60):02d}:{int(t % 60):02d}"),
    "a preamble": b"Logger of the tests\nmade up\n\n" + text(),
    "no heads": text(stamp=lambda t: f"0:{int(t // 60):02d}:{t % 60:04.1f}").partition(b"\n")[2],
    "unsorted": text(order=np.random.default_rng(1).permutation(TIMES.size)),
    "units in cells": text().replace(b"\n2", b"\n2").replace(b".0000", b".0000 C"),
}


@pytest.mark.parametrize("way", WAYS)
def test_every_way_of_writing_the_same_log_says_the_same(way):
    log = reading.parse(WAYS[way])
    (channel,) = verdict.judge(log, "020D-lead-free", 245)
    seen = channel.metrics
    assert seen.peak_c == pytest.approx(244, abs=0.05)
    assert seen.time_above_liquidus == pytest.approx(ABOVE_TL, abs=0.2)
    assert seen.soak_time == pytest.approx(75, abs=0.2)


def test_several_channels_keep_their_names_and_readings_that_are_missing_become_nothing():
    log = reading.parse(b"s;A;B;remark\n0;20;30;start\n1;;31;\n2;22;OL;end")
    assert list(log.channels) == ["A", "B"]
    np.testing.assert_array_equal(log.channels["A"], [20, np.nan, 22])


def test_a_gap_at_the_peak_is_flagged_and_no_peak_is_told():
    rows = [row for row in text().decode().splitlines() if not row.startswith(("239,", "24"))]
    (channel,) = verdict.judge(reading.parse("\n".join(rows).encode()))
    assert channel.metrics.peak_c is None
    assert any("gap" in flag for flag in channel.metrics.flags)


BAD = {
    "empty": b"",
    "blank": b"\n\n  \n",
    "prose": b"this is a letter\nabout a board",
    "one column": b"1\n2\n3",
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4,
    "JSON": b'{"a": [1, 2]}',
}


@pytest.mark.parametrize("kind", BAD)
def test_what_is_no_log_is_refused_in_one_line(kind):
    with pytest.raises(Problem) as refused:
        reading.parse(BAD[kind])
    assert "\n" not in str(refused.value)
    assert refused.value.tip


def test_the_command_prints_margins_and_writes_a_picture(tmp_path):
    file, plot = tmp_path / "board.csv", tmp_path / "board.png"
    file.write_bytes(text())
    result = CliRunner().invoke(main, ["log", str(file), "--class", "245", "--plot", str(plot)])
    assert result.exit_code == 0, result.output
    assert "margin" in result.output
    assert plot.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [(["nothing.csv"], "cannot be read"), (["x.csv", "--limits", "none"], "is not one of"), ([], "Missing")],
)
def test_wrong_use_is_one_clear_line(arguments, words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "x.csv").write_bytes(text())
    result = CliRunner().invoke(main, ["log", *arguments])
    assert result.exit_code in (1, 2)
    assert words in result.output
