"""What comes back on the pipe is read without trust: no line makes the reader fail, or makes an answer of nothing."""

import json
import math

from hypothesis import given
from hypothesis import strategies as st

from graders.runner.inside import answers
from graders.runner.job import Cell, Limits, Sheet
from graders.runner.protocol import Report

LIMITS = Limits(output_bytes_per_cell=10_000, result_bytes=3_000_000)
SHEETS = (Sheet("one", (Cell("a = 1"), Cell("", report=("a", "b")))), Sheet("two", (Cell("c = 1"),)))
HONEST = [
    [0, 0, "ok", [{"output_type": "stream", "name": "stdout", "text": "x"}], None, {}, 0.1],
    [0, 1, "reported", [], {"a": 1.5, "b": [12, 5]}, {"b": "decimal comma"}, 0.0],
    [1, 0, "error", [{"output_type": "error", "ename": "E", "evalue": "", "traceback": ["t"]}], None, {}, 0],
]

anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.sampled_from(["ok", "a", "b", "missing"]),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.text(max_size=3) | st.sampled_from(["a", "b", "output_type", "data", "text", "name"]), inner, max_size=4
        )
    ),
    max_leaves=12,
)


@st.composite
def tampered(draw):
    """Honest lines, with one part of one of them replaced by anything."""
    lines = json.loads(json.dumps(HONEST))
    holder, key = lines, draw(st.integers(0, len(lines) - 1))
    while draw(st.booleans()) and isinstance(holder[key], (list, dict)) and holder[key]:
        holder = holder[key]
        key = draw(st.sampled_from(sorted(holder) if isinstance(holder, dict) else range(len(holder))))
    holder[key] = draw(anything)
    return on_pipes(lines)


def read(data, pieces=1):
    """Feed the bytes of each sheet to a report in so many pieces, as far as it will take them; return its outcomes."""
    report = Report(SHEETS, LIMITS)
    for number, told in enumerate(data):
        step = max(1, len(told) // pieces)
        for at in range(0, len(told), step):
            if len(report.done) > number:
                break
            if bad := report.feed(told[at : at + step], number + 1):
                return report.end(bad)
        if len(report.done) == number:
            break
    return report.end("crashed")


def on_pipes(lines):
    """Return what each sheet tells, as bytes: the first two lines are of the first sheet."""
    told = [json.dumps(line).encode() + b"\n" for line in lines]
    return [b"".join(told[:2]), b"".join(told[2:])]


def hold_only_plain_data(outcomes):
    for outcome in outcomes:
        for cell in outcome.cells:
            json.dumps([cell.outputs, cell.answers, cell.unreadable], allow_nan=False).encode()
            assert set(cell.unreadable.values()) <= set(answers.REASONS)
            assert math.isfinite(cell.seconds)
            if cell.answers is not None:
                assert set(cell.answers) == {"a", "b"}
    return True


def test_honest_lines_are_read_in_full():
    one, two = read(on_pipes(HONEST))
    assert (one.ended, two.ended) == ("finished", "finished")
    assert one.cells[1].answers == {"a": 1.5, "b": [12, 5]}
    assert one.cells[1].unreadable == {"b": "decimal comma"}
    assert [cell.status for cell in (*one.cells, *two.cells)] == ["ok", "reported", "error"]


@given(st.binary(max_size=300))
def test_bytes_out_of_nowhere_are_never_an_answer(data):
    outcomes = read([data])
    assert hold_only_plain_data(outcomes)
    assert all(cell.answers is None for outcome in outcomes for cell in outcome.cells)


@given(tampered(), st.integers(1, 40))
def test_a_tampered_line_is_read_as_plain_data_or_ends_its_sheet(data, pieces):
    assert hold_only_plain_data(read(data, pieces))


@given(st.integers(1, 200))
def test_it_does_not_matter_where_the_bytes_are_cut(pieces):
    data = on_pipes(HONEST)
    assert read(data, pieces) == read(data)


def test_what_a_sheet_says_after_its_last_line_is_nobodys():
    first, second = on_pipes(HONEST)
    forged = json.dumps([1, 0, "ok", [], None, {}, 0]).encode() + b"\n"
    assert read([first + forged, second]) == read([first, second])


def test_a_line_too_long_is_known_before_it_ends():
    report = Report(SHEETS, LIMITS)
    ended = None
    fed = 0
    while ended is None:
        ended = report.feed(b" " * 100_000, 1)
        fed += 100_000
        assert fed < 2 * LIMITS.result_bytes
    assert ended == "too large"


def test_unknown_kinds_of_display_are_left_out_and_markup_is_passed_on_as_it_is():
    shown = {
        "output_type": "display_data",
        "metadata": {"x": 1},
        "data": {"text/html": "<script>", "application/javascript": "alert(1)", "text/plain": "p"},
    }
    report = Report(SHEETS, LIMITS)
    assert report.feed(json.dumps([0, 0, "ok", [shown], None, {}, 0]).encode() + b"\n", 1) is None
    assert report.cells[0].outputs == [
        {"output_type": "display_data", "metadata": {}, "data": {"text/html": "<script>", "text/plain": "p"}}
    ]
