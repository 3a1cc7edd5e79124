"""Everything a learner opens, by the rules of accessible pages, by keyboard alone, and as a screen reader is told it.

One server and one tab for all: starting them takes longer than asking.
"""

import pytest

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from lesson_server import CHROMIUM, LESSONS, violations, workbook_open  # noqa: E402

expect = sync_api.expect
expect.set_options(timeout=60_000)
pytestmark = [pytest.mark.browser, pytest.mark.slow]

SEEN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
OURS = [
    f"{SEEN} {part}"
    for part in (
        ".rework-explorer",
        ".rework-case",
        ".jp-RenderedMarkdown",
        ".rework-box",
        ".rework-bar",
        ".rework-contents",
    )
]
LIVE = (
    f"[...document.querySelectorAll('{SEEN} .rework-explorer')].length >= 2"
    f" && [...document.querySelectorAll('{SEEN} .rework-explorer canvas')].every(c => c.dataset.answered)"
)
EVERY_KIND = {
    "intake/01_stored-energy.ipynb": {"number", "choice"},
    "intake/13_came-back.ipynb": {"order", "several", "written"},
    "intake/16_point-at-the-marks.ipynb": {"pointing"},
    "joints/17_test-plan.ipynb": {"design"},
}


@pytest.fixture(scope="module")
def tab(tmp_path_factory):
    """A tab on a learner's first page; its address is kept on it."""
    home = tmp_path_factory.mktemp("learner")
    with workbook_open(home) as address, sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        tab = browser.new_page(viewport={"width": 1366, "height": 650})
        tab.set_default_timeout(60_000)
        tab.address = address
        yield tab
        browser.close()


def opens(tab, place, *, ready=".rework-box", anew=True):
    """Go to a page of the learner's folder and wait for what is ours in it; one that is there may stay."""
    current = tab.locator("#jp-main-dock-panel .lm-TabBar-tab.lm-mod-current", has_text=place.split("/")[-1])
    if not anew and current.count():
        return
    tab.goto(tab.address.replace("start.ipynb", place))
    current.wait_for()  # JupyterLab first shows the page of last time
    tab.locator(f"{SEEN} {ready}").first.wait_for()


def in_both_themes(tab, *parts):
    """What breaks a rule, in the light theme and in the dark one."""
    found = {}
    for scheme in ("light", "dark"):
        tab.emulate_media(color_scheme=scheme)
        expect(tab.locator("body")).to_have_attribute("data-jp-theme-light", str(scheme == "light").lower())
        tab.wait_for_timeout(400)  # colours fade from one theme to the other
        found[scheme] = violations(tab, *parts)
    tab.emulate_media(color_scheme="light")
    return found


CLEAN = {"light": [], "dark": []}


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_breaks_no_rule(tab, path):
    opens(tab, f"lessons/{path.name}", ready=".rework-explorer")
    tab.wait_for_function(LIVE)
    tab.wait_for_function("!document.querySelector('.rework-start')")
    assert in_both_themes(tab, *OURS) == CLEAN


@pytest.mark.parametrize("place", EVERY_KIND)
def test_an_exercise_breaks_no_rule_before_and_after_its_check(tab, place):
    opens(tab, place)
    check(tab)
    assert in_both_themes(tab, *OURS) == CLEAN


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


def test_a_log_of_ones_own_breaks_no_rule_shown_or_refused(tab, tmp_path):
    opens(tab, "lessons/03_profile.ipynb", ready=".rework-explorer")
    tab.wait_for_function("!document.querySelector('.rework-start')")
    good, bad = tmp_path / "board.csv", tmp_path / "notes.csv"
    good.write_text("time [s],joint [C]\n" + "\n".join(f"{t},{25 + min(t, 440 - t)}" for t in range(441)))
    bad.write_text("\n".join(f"{t},{25 + t}" for t in range(40)))
    button = tab.locator(SEEN).get_by_role("button", name="Choose a log")
    for file, words in ((good, "Did it melt long enough?"), (bad, "a count of the readings")):
        with tab.expect_file_chooser() as asked:
            button.click()
        asked.value.set_files(file)
        expect(tab.locator(SEEN).get_by_text(words)).to_be_visible()
        assert in_both_themes(tab, f"{SEEN} .widget-vbox:has(.widget-upload)") == CLEAN


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
    for _ in range(12):
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
