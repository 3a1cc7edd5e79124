"""A whole board worked in an exercise's page: by keyboard, at 420 px, written into the answer cell after each act."""

import json

import pytest

from graders import sheets
from graders.notebooks import printer
from tests.browser.film_of_a_case import do
from tests.browser.lesson_server import violations
from tests.browser.test_learner_door import _tab, opens, page

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
expect = sync_api.expect
pytestmark = [pytest.mark.browser, pytest.mark.slow]

BENCH = sheets.find("signoff", "board-on-the-bench")
PLACE = f"signoff/{printer.notebook_name(BENCH)}.ipynb"
JOB = BENCH.key(BENCH.worked())["job"]


@pytest.fixture
def narrow(browser, opened):
    """The exercise in a window of 420 px, and the folder it stands in."""
    for tab in _tab(browser, width=420):
        opens(tab, opened, PLACE)
        page(tab).locator(".bench").wait_for()
        yield tab, opened[0]


def held(root):
    """Return what stands in the answer cell of the saved file; nothing while it is being written."""
    try:
        cells = json.loads((root / PLACE).read_text(encoding="utf-8"))["cells"]
    except ValueError:
        return ""
    return "".join(next(cell["source"] for cell in cells if cell["id"] == "job-answer"))


def test_a_board_is_worked_from_the_door_to_the_parcel(narrow):
    tab, root = narrow
    seen = page(tab).locator(".bench")
    expect(seen.locator(".picture svg")).to_have_count(1)
    for place, act in enumerate(JOB):
        do(seen, act)
        if JOB[place + 1 : place + 2] == ["cool"]:
            expect(seen.locator(".picture").get_by_text("The board is hot")).to_have_count(1)
    expect(seen.locator(".told li")).to_have_count(len(JOB))
    expect(seen.get_by_role("heading", name="The record for the customer")).to_be_visible()
    expect(seen.get_by_role("button", name="unplug", exact=True)).to_be_disabled()
    for _ in range(50):  # each act is saved once it is written
        if held(root) == f"job = {JOB!r}":
            break
        tab.wait_for_timeout(100)
    assert held(root) == f"job = {JOB!r}"
    wide = tab.evaluate("document.querySelector('.bench').scrollWidth - document.querySelector('.bench').clientWidth")
    assert wide <= 0
    assert violations(tab, ".bench") == []
