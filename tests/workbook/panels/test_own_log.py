"""A log brought to the lesson is shown, whatever is chosen beside it, and what goes wrong is said."""

from datetime import datetime

from workbook.log import verdict
from workbook.panels import own_log

LOG = b"time [s],joint [C]\n" + b"\n".join(b"%d,%d" % (t, 25 + min(t, 440 - t)) for t in range(441))


def parts(desk):
    (controls, shown) = desk.children
    return (*controls.children, shown)


def test_a_log_is_shown_before_a_rating_is_chosen():
    file, limits_name, rating, gap, shown = parts(own_log.desk())
    assert rating.value is None
    file.value = (
        {
            "name": "a.csv",
            "content": memoryview(LOG),
            "size": len(LOG),
            "type": "",
            "last_modified": datetime(2026, 3, 1),
        },
    )
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
