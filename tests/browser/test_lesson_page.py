"""A lesson as a learner meets it: opened and nothing touched, it is live, fits the screen, and explains its words."""

import re

import pytest

from workbook.server import folder

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from lesson_server import CHROMIUM, workbook_open  # noqa: E402

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"small": (1366, 650), "usual": (1400, 900), "phone": (420, 900)}
LIVE = "[...document.querySelectorAll('.rework-explorer canvas[data-answered]')].filter(c => c.offsetWidth).length >= 2"
IN_VIEW = """([explorer, at]) => {
  const rows = [...explorer.querySelectorAll(".rework-control")];
  const row = rows[at % rows.length];
  row.querySelector("input, select, button").focus({ preventScroll: true });
  const page = explorer.closest(".jp-WindowedPanel-outer, .jp-Notebook");
  if (!explorer.classList.contains("rework-narrow")) explorer.scrollIntoView();
  else {
    row.scrollIntoView({ block: "nearest" });
    explorer.querySelector(".rework-status").scrollIntoView({ block: "nearest" });
  }
  const seen = page.getBoundingClientRect();
  return [".rework-picture", ".rework-status"].map(one => explorer.querySelector(one)).concat(row).map(one => {
    const box = one.getBoundingClientRect();
    return Math.max(seen.top - box.top, box.bottom - seen.bottom);
  });
}"""


@pytest.fixture(scope="module")
def browser():
    with sync_api.sync_playwright() as playwright:
        one = playwright.chromium.launch(**CHROMIUM)
        yield one
        one.close()


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    return tmp_path_factory.mktemp("learner")


@pytest.fixture(scope="module")
def address(home):
    with workbook_open(home) as address:
        yield address


@pytest.fixture(scope="module")
def page(browser, address):
    """Lesson 3 on a small screen: gone to, and waited for until its explorers answer. Nothing is clicked."""
    context = browser.new_context(viewport={"width": 1366, "height": 650})
    tab = context.new_page()
    tab.set_default_timeout(60_000)
    tab.goto(address.replace("start.ipynb", "lessons/03_profile.ipynb"))
    tab.wait_for_function(LIVE)
    tab.wait_for_function("!document.querySelector('.rework-start')")
    yield tab
    context.close()


def test_a_lesson_starts_by_itself_with_its_code_folded_and_stays_at_its_head(page):
    assert page.get_by_text("time constant 81 s").count()
    assert page.locator(".jp-CodeCell .cm-editor:visible").count() == 0
    page.wait_for_timeout(500)
    assert page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0


@pytest.mark.parametrize("size", SIZES)
def test_picture_readout_and_any_control_are_in_view_together(size, page):
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    narrow = "narrow" if size == "phone" else "wide"
    page.wait_for_function(f"document.querySelector('.rework-explorer').classList.contains('rework-{narrow}')")
    page.wait_for_timeout(1500)
    for explorer in page.locator(".rework-explorer:visible").all():
        for at in (0, 3, -1):
            beyond = page.evaluate(IN_VIEW, [explorer.element_handle(), at % 8])
            assert max(beyond) <= 2, (explorer.get_attribute("aria-label"), at, beyond)
    assert (
        page.evaluate(
            "(page => page.scrollWidth - page.clientWidth)(document.querySelector('.jp-WindowedPanel-outer'))"
        )
        <= 1
    )
    page.set_viewport_size({"width": 1366, "height": 650})


def test_back_to_the_start_brings_every_control_back(page):
    explorer = page.locator(".rework-explorer").first
    plate = explorer.get_by_role("slider", name="Bottom plate")
    before, words = plate.input_value(), explorer.locator("[role=img]").get_attribute("aria-label")
    plate.press("Home")
    sync_api.expect(explorer.locator("[role=img]")).not_to_have_attribute("aria-label", words)
    explorer.get_by_role("button", name="Back to the start").press("Enter")
    sync_api.expect(explorer.locator("[role=img]")).to_have_attribute("aria-label", words)
    assert plate.input_value() == before


def test_a_word_of_the_trade_says_by_keyboard_what_it_means(page):
    word = page.locator(".rework-word", has_text=re.compile("^thermocouple$", re.IGNORECASE)).first
    word.focus()
    tip = page.get_by_role("tooltip")
    assert "junction" in tip.inner_text().lower() or "wires" in tip.inner_text().lower()
    word.press("Escape")
    assert tip.is_hidden()


def test_a_log_of_ones_own_is_shown_and_a_file_that_is_none_is_told(page, tmp_path):
    good, bad = tmp_path / "board.csv", tmp_path / "notes.csv"
    good.write_text("time [s],joint [C]\n" + "\n".join(f"{t},{25 + min(t, 440 - t)}" for t in range(441)))
    bad.write_text("No.,joint\n" + "\n".join(f"{t},{25 + t}" for t in range(1, 40)))
    button = page.get_by_role("button", name="Choose a log")
    for file, words in ((good, "Did it melt long enough?"), (bad, "counts the readings")):
        with page.expect_file_chooser() as asked:
            button.click()
        asked.value.set_files(file)
        sync_api.expect(page.get_by_text(words)).to_be_visible()


def saved(page, file, words):
    """The edition of a lesson's file, once a save has brought some words into it."""
    page.keyboard.press("Control+s")
    for _ in range(100):
        if words in file.read_text(encoding="utf-8"):
            return folder.Edition.of(file.read_bytes())
        page.wait_for_timeout(100)
    raise AssertionError(f"the saved file lacks {words!r}")


def test_a_run_lesson_is_saved_with_its_outputs_and_differs_only_by_what_is_written_in_it(page, home):
    """What JupyterLab saves of its own accord does not count: a newer edition may take the lesson's place."""
    place = "lessons/03_profile.ipynb"
    shipped, file = folder.Edition.of(folder.shipped()[place]), home / "mine" / place
    run = saved(page, file, "time constant 81 s")
    assert run.file != shipped.file
    assert run.text == shipped.text
    page.locator(".jp-MarkdownCell p").first.dblclick()
    page.locator(".jp-MarkdownCell .cm-content").first.press_sequentially("Ask on Monday.")
    assert saved(page, file, "Ask on Monday.").text != shipped.text
