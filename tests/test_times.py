"""At the end of a run each file has its sum, and a slow test that is not marked is named."""

from types import SimpleNamespace

from tests.times import SLOW, lines


def report(name, seconds, *marks):
    return SimpleNamespace(nodeid=name, duration=seconds, keywords=dict.fromkeys(marks, 1))


def test_files_come_with_their_sums_the_longest_first():
    said = lines([report("a.py::one", 1.0), report("b.py::two", 2.0), report("a.py::one", 0.5), report("a.py::x", 3.0)])
    assert [line.split() for line in said] == [["4.5", "s", "a.py"], ["2.0", "s", "b.py"]]


def test_what_is_slow_with_what_it_has_set_up_is_named_unless_it_is_marked():
    both = [("setup", 0.6 * SLOW), ("call", 0.6 * SLOW)]
    reports = [report("a.py::slow", seconds) for _, seconds in both]
    reports += [report("a.py::marked", seconds, "slow") for _, seconds in both]
    reports += [report("a.py::quick", 0.6 * SLOW)]
    assert [line.split("marked slow: ")[1] for line in lines(reports)[1:]] == ["a.py::slow"]
