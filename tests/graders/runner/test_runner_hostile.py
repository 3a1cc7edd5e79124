"""A hostile notebook gets nothing it was not given, and harms nobody beside it.

Every row of `hostile.ROWS` runs between two cells of honest work, and beside a sibling's topic.
"""

import dataclasses
import os
import socket
import threading
from concurrent.futures import ThreadPoolExecutor

import hostile
import pytest

from graders.runner import contained as host
from graders.runner.inside import answers
from graders.runner.job import Cell, Limits, Sheet

pytestmark = pytest.mark.contained

TIGHT = Limits(
    cell_seconds=1,
    sheet_seconds=3,
    topic_seconds=8,
    cpu_seconds=6,
    memory_bytes=1 << 28,
    output_bytes_per_cell=200_000,
    result_bytes=2_000_000,
)
SIBLING = Sheet("sibling", (Cell("sibling_only = 6 * 7"), Cell("", report=("sibling_only",))))


def around(attack):
    """Return the attack's sheet: honest work, the attack, honest work, and what is to be reported."""
    return Sheet(
        attack.name,
        (
            Cell("before = 1"),
            Cell("", report=("before",)),
            *(Cell(cell) for cell in attack.cells),
            Cell("after = 2"),
            Cell("", report=("after", "loot")),
        ),
    )


@dataclasses.dataclass
class Battle:
    """What became of every row and of the sibling beside it, and who rang at the host meanwhile."""

    outcomes: dict
    siblings: dict
    callers: list
    file: str
    text: str


@pytest.fixture(scope="module")
def battle(contained, tmp_path_factory):
    file = tmp_path_factory.mktemp("host") / "secret.txt"
    file.write_text("nobody's business")
    door = socket.create_server(("127.0.0.1", 0))
    callers = []

    def answer():
        while True:
            try:
                callers.append(door.accept())
            except OSError:
                return

    threading.Thread(target=answer, daemon=True).start()
    os.environ["SECRET"] = "nobody's business"

    def filled(row):
        port = str(door.getsockname()[1])
        cells = [cell.replace("HOST_FILE", str(file)).replace("HOST_PORT", port) for cell in row.cells]
        return dataclasses.replace(row, cells=tuple(cells))

    jobs = {}
    for row in hostile.ROWS:
        jobs["attack", row.name], jobs["sibling", row.name] = [around(filled(row)), SIBLING], [SIBLING]
    patience, host.GRACE = host.GRACE, 0.5
    try:
        with ThreadPoolExecutor(2) as pool:
            outcomes = pool.map(lambda job: contained.run(job, limits=TIGHT), jobs.values())
            done = dict(zip(jobs, outcomes, strict=True))
    finally:
        host.GRACE = patience
        del os.environ["SECRET"]
        door.close()
    return Battle(
        {name: outcomes for (kind, name), outcomes in done.items() if kind == "attack"},
        {name: outcomes[0] for (kind, name), outcomes in done.items() if kind == "sibling"},
        callers,
        str(file),
        file.read_text(),
    )


def said(outcome):
    """Return all that the cells between the honest ones printed or raised."""
    return "\n".join(
        f"{output.get('text', '')}{output.get('ename', '')}: {output.get('evalue', '')}"
        for cell in outcome.cells[2:-2]
        for output in cell.outputs
    )


@pytest.mark.parametrize("row", hostile.ROWS, ids=lambda row: row.name.replace(" ", "-"))
def test_a_notebook_that(row, battle):
    outcome, follower = battle.outcomes[row.name]
    assert outcome.ended in row.ended
    assert outcome.cells[1].answers == {"before": 1}
    assert row.says in said(outcome)
    last = outcome.cells[-1]
    if last.status == "reported":
        got = last.unreadable.get("loot", last.answers["loot"])
        assert row.loot == "?" or got == row.loot
        assert all(reason in answers.REASONS for reason in last.unreadable.values())
    else:
        assert outcome.ended != "finished"
    assert row.own or (follower.ended, follower.cells[-1].answers) == ("finished", {"sibling_only": 42})
    sibling = battle.siblings[row.name]
    assert (sibling.ended, sibling.cells[-1].answers) == ("finished", {"sibling_only": 42})


def test_nobody_rang_at_the_host_and_its_file_is_as_it_was(battle):
    assert battle.callers == []
    assert battle.text == "nobody's business"
