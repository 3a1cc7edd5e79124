"""A board on your bench in lesson 6: worked by keyboard and by pointing, gone on with, and by the rules of pages."""

import json

import pytest

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from tests.browser.film_of_a_case import do, opened
from tests.browser.lesson_server import PATIENCE, violations

expect = sync_api.expect
pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture(scope="module")
def seen(browser, read):
    """Give a dark tab of 420 px with lesson 6, its address, and where cases are kept."""
    folder, address = read
    tab = browser.new_page(viewport={"width": 420, "height": 900}, color_scheme="dark")
    tab.set_default_timeout(PATIENCE)
    yield tab, address, folder.parent / "data" / "rework-workbook" / "cases"
    tab.close()


def test_a_case_is_worked_by_keyboard_and_by_pointing_kept_and_gone_on_with(seen):
    tab, address, cases = seen
    panel = opened(tab, address, 117)
    do(panel, "ask history")
    panel.locator("[data-region='look bottom']").click()
    expect(panel.locator(".latest")).to_contain_text("look bottom:")
    panel.get_by_role("button", name="look top", exact=True).focus()
    expect(panel.locator("[data-region='look top']")).to_have_class("rwd-region chosen")
    do(panel, "cool")
    expect(panel.locator(".latest")).to_contain_text("not done")
    assert json.loads((cases / "117.json").read_text(encoding="utf-8"))["acts"] == ["ask history", "look bottom"]
    tab.reload()
    expect(panel.locator(".told li")).to_have_count(2, timeout=PATIENCE)  # the whole page comes up anew
    expect(panel.get_by_text("Case 117", exact=True)).to_be_visible()


def test_it_breaks_no_rule_at_work_and_afterwards_and_is_no_wider_than_a_phone(seen):
    tab, address, _ = seen
    panel = opened(tab, address, 118)
    do(panel, "look top")
    for act in (None, "remove sink"):
        if act:
            do(panel, act)
            expect(panel.locator(".latest")).to_contain_text("Stopped.")
        for scheme in ("light", "dark"):
            tab.emulate_media(color_scheme=scheme)
            expect(tab.locator("body")).to_have_attribute("data-jp-theme-light", str(scheme == "light").lower())
            tab.wait_for_timeout(400)  # colours fade from one theme to the other
            assert violations(tab, ".rework-case") == [], (act, scheme)
    assert panel.evaluate("node => node.scrollWidth - node.clientWidth") <= 0
