"""What each file of tests took, and which tests are slow and are not marked so: said at the end of a run.

pytest names each test by its time (``--durations``); this adds the sums, for a file goes to one process as a whole.
"""

from collections import defaultdict
from collections.abc import Iterable

import pytest

SLOW = 10
"""Seconds. What takes more than about five on a quiet machine is to be marked; a busy machine takes twice as long."""


def lines(reports: Iterable) -> list[str]:
    """Return a line a file, the longest first, and a line for each test that is slow and is not marked."""
    files, tests, marked = defaultdict(float), defaultdict(float), set()
    for report in reports:
        files[report.nodeid.split("::")[0]] += report.duration
        tests[report.nodeid] += report.duration
        if "slow" in report.keywords:
            marked.add(report.nodeid)
    longest = sorted(files, key=files.get, reverse=True)
    slow = sorted((name for name in set(tests) - marked if tests[name] > SLOW), key=tests.get, reverse=True)
    return [
        *(f"{files[name]:7.1f} s {name}" for name in longest),
        *(f"{tests[name]:7.1f} s and not marked slow: {name}" for name in slow),
    ]


@pytest.hookimpl(trylast=True)
def pytest_terminal_summary(terminalreporter):
    """Print them where times are asked for."""
    if terminalreporter.config.option.durations is not None:
        reports = [one for some in terminalreporter.stats.values() for one in some if hasattr(one, "when")]
        terminalreporter.section("seconds by file")
        for line in lines(reports):
            terminalreporter.write_line(line)
