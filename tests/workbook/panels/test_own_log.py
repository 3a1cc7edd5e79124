"""A log brought to the lesson is shown, whatever is chosen beside it, and what goes wrong is said."""

import itertools
import re
from datetime import datetime

import pytest

from tests.workbook.panels.test_pictures import figure_of
from workbook.log import reading, verdict
from workbook.panels import log_picture, own_log
from workbook.panels.pictures import Label
from workbook.problems import Problem

LOG = b"time [s],joint [C]\n" + b"\n".join(b"%d,%d" % (t, 25 + min(t, 440 - t)) for t in range(441))


def parts(desk):
    (controls, shown) = desk.children
    return (*controls.children, shown)


def loaded(name, content):
    when = datetime(2026, 3, 1)
    return ({"name": name, "content": memoryview(content), "size": len(content), "type": "", "last_modified": when},)


def test_a_log_is_shown_before_a_rating_is_chosen():
    file, limits_name, rating, gap, shown = parts(own_log.desk())
    assert rating.label == own_log.NOT_KNOWN
    file.value = loaded("a.csv", LOG)
    assert "<img" in shown.value
    assert "Did it melt long enough?" in shown.value
    for _, choice in rating.options:
        rating.value = choice
        assert "<img" in shown.value, choice
    assert gap.description == "Longest step that is no gap [s]"


def test_an_error_nobody_foresaw_is_shown(monkeypatch):
    def broken(*_):
        raise TypeError("two kinds <mixed>")

    monkeypatch.setattr(verdict, "judge", broken)
    assert "two kinds &lt;mixed&gt;" in own_log.shown_html(LOG, "a.csv", "020D-lead-free", None, 5)


def test_while_a_log_is_read_no_other_ones_numbers_stand_there():
    file, *_, shown = parts(own_log.desk())
    file.value = loaded("a.csv", LOG)
    said = []
    shown.observe(lambda change: said.append(change["new"]), "value")
    file.value = loaded("<b>.csv", LOG)
    assert said[0] == '<p role="status">Reading &lt;b&gt;.csv.</p>'
    assert "<img" in said[-1]


def test_a_log_that_is_too_large_is_said_as_the_command_says_it(monkeypatch, tmp_path):
    monkeypatch.setattr(reading, "MOST_BYTES", len(LOG) - 1)
    (tmp_path / "a.csv").write_bytes(LOG)
    with pytest.raises(Problem, match="too large for a log"):
        reading.read(tmp_path / "a.csv")
    assert "a.csv is too large for a log" in own_log.shown_html(LOG, "a.csv", "020D-lead-free", None, 5)


def test_a_long_logs_numbers_are_written_out():
    """A day in seconds is 86 400 s, and never 8.64e+04."""
    day = b"time [s],joint [C]\n" + b"\n".join(b"%d,%d" % (t, 240 + t % 2) for t in range(0, 90_000, 60))
    told = own_log.shown_html(day, "a.csv", "020D-lead-free", 245, 60)
    words = told[told.index("<pre") :]
    assert re.search(r"\d\d\W\d{3}\Ws above 217", words)
    assert not re.search(r"\de[+-]?\d", words)


def test_each_channel_of_a_picture_is_named_in_its_key_and_no_name_lies_on_another():
    head = b"time [s],top [C],corner [C],board [C]\n"
    log = reading.parse(head + b"\n".join(b"%d,%d,%d,%d" % (t, 25 + t, 26 + t, 27 + t) for t in range(220)))
    picture = log_picture.picture(log, verdict.judge(log))
    for narrow in (False, True):
        (axes,) = figure_of(picture, narrow).axes
        words = [*axes.get_legend().get_texts(), *axes.texts]
        assert [one.get_text() for one in words[:3]] == ["top [C]", "corner [C]", "board [C]"]
        boxes = [one.get_window_extent() for one in words]
        assert not any(one.overlaps(other) for one, other in itertools.combinations(boxes, 2))
    assert not any(isinstance(mark, Label) for mark in picture.marks)
