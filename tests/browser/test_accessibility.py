"""Exercises and other pages by the rules of accessible pages, by keyboard alone, and as a screen reader is told them.

One tab for all: starting one takes longer than asking.
"""

import pytest

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from tests.browser.lesson_server import CLEAN, OURS, SEEN, alone, in_both_themes, spoken, violations

expect = sync_api.expect
expect.set_options(timeout=60_000)
pytestmark = [pytest.mark.browser, pytest.mark.slow]

EVERY_KIND = {
    "intake/01_stored-energy.ipynb": {"number", "choice"},
    "intake/13_came-back.ipynb": {"order", "several", "written"},
    "intake/16_point-at-the-marks.ipynb": {"pointing"},
    "joints/17_test-plan.ipynb": {"design"},
}

FIELD = {
    "number": "textbox",
    "design": "textbox",
    "written": "textbox",
    "choice": "radio",
    "several": "checkbox",
    "order": "button",
    "pointing": "checkbox",
}
"""What a screen reader calls that with which a part of each kind is answered."""


@pytest.fixture(scope="module")
def tab(browser, read):
    """A tab; the address of the learner's first page is kept on it."""
    context = browser.new_context(viewport={"width": 1366, "height": 650})
    context.set_default_timeout(60_000)
    tab = context.new_page()
    tab.address = read[1]
    yield tab
    context.close()


def opens(tab, place, *, ready=".rework-box", anew=True):
    """Go to a page of the learner's folder and wait for what is ours in it; one that is there may stay."""
    current = tab.locator("#jp-main-dock-panel .lm-TabBar-tab.lm-mod-current", has_text=place.split("/")[-1])
    if not anew and current.count():
        return
    tab.goto(alone(tab.address, place))
    current.wait_for()
    tab.locator(f"{SEEN} {ready}").first.wait_for()


@pytest.mark.parametrize("place", EVERY_KIND)
def test_an_exercise_breaks_no_rule_before_and_after_its_check(tab, place):
    opens(tab, place)
    check(tab)
    assert in_both_themes(tab, *OURS) == CLEAN
    controls = [one for one in spoken(tab, f"{SEEN} :is(.rework-box, .rework-bar)") if one.get("focusable")]
    assert [one for one in controls if not one["name"].strip()] == []
    assert {FIELD[kind] for kind in EVERY_KIND[place]} <= {one["role"] for one in controls}


def test_a_word_of_the_trade_in_an_exercise_says_what_it_means_by_mouse_and_by_keyboard(tab):
    opens(tab, "joints/17_test-plan.ipynb", anew=False)
    word, tip = tab.locator(f"{SEEN} .rework-word:visible").first, tab.get_by_role("tooltip")
    word.hover()
    expect(tip).to_be_visible()
    tip.hover()
    tab.wait_for_timeout(400)
    expect(tip).to_be_visible()  # the pointer may go over to it
    tab.keyboard.press("Escape")
    expect(tip).to_be_hidden()
    word.focus()
    expect(word).to_have_accessible_description(tip.inner_text())
    expect(tip).to_be_visible()


def test_first_page_and_practice_break_no_rule(tab):
    opens(tab, "start.ipynb", ready=".rework-contents")
    assert in_both_themes(tab, *OURS) == CLEAN
    opens(tab, "practice.ipynb", ready=".rework-practice")
    practice = tab.locator(f"{SEEN} .rework-practice")
    practice.get_by_label("Topic").select_option("profile")
    practice.get_by_label("Time", exact=True).press("Enter")
    practice.get_by_label("Your answer").wait_for()
    assert in_both_themes(tab, f"{SEEN} .rework-practice") == CLEAN


def test_the_page_of_progress_breaks_no_rule(tab):
    opens(tab, "start.ipynb", ready=".rework-contents")
    with tab.expect_popup() as opened:
        tab.locator(SEEN).get_by_role("link", name="My progress").click()
    page = opened.value
    page.wait_for_load_state()
    assert violations(page, "body") == []
    page.close()


def box(tab, number):
    """The answer box of a part."""
    return tab.locator(SEEN).get_by_label(f"Answer to part {number}", exact=True)


def said(tab):
    """The one line that is read aloud when it changes."""
    return tab.locator(f"{SEEN} .rework-bar").get_by_role("status")


def check(tab):
    """Press Check by keyboard and wait for what it says."""
    button = tab.locator(f"{SEEN} .rework-bar").get_by_role("button", name="Check", exact=True)
    button.press("Enter")
    expect(said(tab)).to_contain_text("Saved and checked")
    return button


def live_regions(tab):
    """How many lines of the page are read aloud, with words in them."""
    return [words for words in tab.locator(f"{SEEN} [role=status]").all_inner_texts() if words.strip()]


def test_a_field_says_its_part_its_unit_and_what_is_wrong_with_what_is_typed(tab):
    opens(tab, "intake/01_stored-energy.ipynb", anew=False)
    field = box(tab, 1).get_by_role("textbox")
    expect(field).to_have_accessible_name("Part 1: Your answer in J")
    expect(box(tab, 2).get_by_role("group")).to_have_accessible_name("Part 2: Choose one")
    field.fill("about a dozen")
    tab.keyboard.press("Tab")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(
        "An answer starts with a number, such as 0.68 or 60/90. Names cannot be used here."
    )
    expect(said(tab)).to_have_text(
        "Part 1: An answer starts with a number, such as 0.68 or 60/90. Names cannot be used here."
    )
    field.fill("37,6 J")
    tab.keyboard.press("Tab")
    expect(field).to_have_attribute("aria-invalid", "false")
    expect(field).to_have_accessible_description("read as 37.6 J")


def test_enter_says_the_verdict_once_and_the_focus_stays_in_the_field(tab):
    opens(tab, "intake/01_stored-energy.ipynb", anew=False)
    field = box(tab, 1).get_by_role("textbox")
    for typed, words in (("37.6", "Part 1: right, 2 of 2 points."), ("75.2", "Part 1: a typical slip, 0 of 2 points.")):
        field.fill(typed)
        tab.keyboard.press("Enter")
        expect(said(tab)).to_contain_text(words)
        expect(field).to_be_focused()
        (line,) = live_regions(tab)
        assert line.count("Part 1") == 1
        (region,) = (one for one in spoken(tab, f"{SEEN} .rework-bar") if one["role"] == "status")
        assert (region["live"], region.get("busy", False)) == ("polite", False)
    field.fill("?")
    tab.keyboard.press("Enter")
    expect(said(tab)).to_contain_text("Part 1 is not read yet: An answer starts with a number")
    expect(field).to_be_focused()


def test_the_focus_stays_on_check_and_undo_brings_it_to_what_was_taken_back(tab):
    opens(tab, "intake/01_stored-energy.ipynb")
    expect(check(tab)).to_be_focused()
    field = box(tab, 3).get_by_role("textbox")
    field.fill("0,85")
    tab.keyboard.press("Tab")
    expect(box(tab, 3)).to_contain_text("read as 0.85 J")
    tab.locator(SEEN).get_by_role("button", name="Undo").press("Enter")
    expect(said(tab)).to_have_text("Taken back: part 3.")
    expect(field).to_be_focused()
    expect(field).to_have_value("")


def test_tab_goes_through_an_exercise_field_by_field_and_nothing_holds_it(tab):
    opens(tab, "intake/01_stored-energy.ipynb", anew=False)
    box(tab, 1).get_by_role("textbox").focus()
    names = []
    for _ in range(40):  # words of the trade between the fields are stops too
        tab.keyboard.press("Tab")
        names.append(tab.evaluate("document.activeElement.closest('.rework-box')?.getAttribute('aria-label') ?? ''"))
    wanted = [f"Answer to part {number}" for number in (2, 3, 4)] + ["Check of my answers"]
    assert [name for name in dict.fromkeys(names) if name in wanted] == wanted


def test_an_order_is_moved_by_keyboard_its_place_is_said_and_the_focus_moves_with_the_line(tab):
    opens(tab, "intake/13_came-back.ipynb")
    order = box(tab, 5)
    expect(order.get_by_role("group")).to_have_accessible_name(
        "Part 5: Put in order: the buttons move a line, or drag it"
    )
    word = order.locator("li strong").nth(1).inner_text()
    lines = order.locator("li").count()
    up = order.get_by_role("button", name=f"Move up: {word}", exact=True)
    down = order.get_by_role("button", name=f"Move down: {word}", exact=True)
    up.focus()
    tab.keyboard.press("Enter")
    expect(order.locator("li strong").first).to_have_text(word)
    expect(order.get_by_role("status")).to_have_text(f"{word} is now number 1 of {lines}")
    expect(down).to_be_focused()  # it can go no further up
    for place in range(2, lines):
        tab.keyboard.press("Space")
        expect(order.get_by_role("status")).to_have_text(f"{word} is now number {place} of {lines}")
        expect(down).to_be_focused()
