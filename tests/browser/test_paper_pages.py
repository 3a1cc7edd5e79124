"""Sheets of paper as a browser prints them: each exercise begins a page, on A4 and on letter, and no rule is broken."""

import re

import pytest

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from graders.cohort.record import HandoutRecord
from graders.paper import asked, pages
from tests.browser.lesson_server import violations

pytestmark = [pytest.mark.browser, pytest.mark.slow]
SIZES = {"A4": (595, 842), "Letter": (612, 792)}
"""Width and height in points of a 72nd of an inch: ISO 216 for A4, 8.5 by 11 inches for letter."""


@pytest.fixture(scope="module")
def tab(browser):
    tab = browser.new_page()
    yield tab
    tab.close()


def test_sheets_and_key_print_on_both_papers_and_break_no_rule(fresh, tab):
    papers = asked.papers(fresh, "profile", ["amber", "birch"])
    pages.write(fresh, papers)
    exercises = len(HandoutRecord(fresh.record).by_topic("amber")["profile"])
    sheet = fresh.paper("profile") / "amber.html"
    for paper, (width, height) in SIZES.items():
        tab.goto(sheet.as_uri())
        printed = tab.pdf(format=paper)
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) >= exercises
        box = re.search(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)", printed)
        assert [round(float(side)) for side in box.groups()] == pytest.approx([width, height], abs=1)
    for path in (sheet, fresh.paper("profile").with_suffix(".html"), fresh.paper_key("profile")):
        tab.goto(path.as_uri())
        assert violations(tab, "body") == []
