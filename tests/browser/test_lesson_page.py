"""A lesson as a learner meets it: opened and nothing touched, it is live, and explains its words."""

import re

import pytest

from workbook import paths
from workbook.server import folder

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from tests.browser.lesson_server import CLEAN, in_both_themes, spoken, started

sync_api.expect.set_options(timeout=60_000)
pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture(scope="module")
def page(browser, read):
    """Lesson 3 on a small screen: gone to, and waited for until its explorers answer. Nothing is clicked."""
    tab = started(browser, read[1], paths.lessons() / "03_profile.ipynb", viewport={"width": 1366, "height": 650})
    yield tab
    tab.context.close()


def test_a_lesson_starts_by_itself_with_its_code_folded_and_stays_at_its_head(page):
    assert page.get_by_text("time constant 81 s").count()
    assert page.locator(".jp-CodeCell .cm-editor:visible").count() == 0
    page.wait_for_timeout(500)
    assert page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0


def test_no_line_of_a_lesson_or_a_readout_ends_between_a_number_and_its_unit(page):
    """Every number of the words on the page, in its texts and in its readouts, holds its unit."""
    told = "[...document.querySelectorAll('.jp-RenderedMarkdown p, .jp-RenderedMarkdown li, .rework-readout span')]"
    lines = page.evaluate(f"{told}.map((one) => one.textContent)")
    assert sum("\u00a0°C" in line for line in lines) > 20
    assert [line for line in lines if re.search(r"\d °C", line)] == []


def test_a_log_of_some_megabytes_is_read_in_the_lesson_and_a_small_one_after_it(page, tmp_path):
    """More than ten at once, and the server hung up on the page: another log's numbers stood there, and stayed."""
    long, short = tmp_path / "long.txt", tmp_path / "short.csv"
    long.write_text("no number\n" * 1_200_000)
    short.write_text("time [s];TC1 [C]\n0;25\n1;26\n2;27\n")
    load = page.locator("button.widget-upload")
    shown = page.locator(".jp-OutputArea-output", has=load)
    chosen = shown.locator("select").evaluate_all("all => all.map((one) => one.selectedOptions[0]?.text)")
    assert [one and one.replace("\xa0", " ") for one in chosen] == ["020D-lead-free", "not known"]
    for file, words in ((short, "steepest ramp"), (long, "long.txt holds no lines"), (short, "steepest ramp")):
        with page.expect_file_chooser() as chooser:
            load.click()
        chooser.value.set_files(file)
        sync_api.expect(shown).to_contain_text(words)


def test_less_bottom_heat_leaves_the_corner_joint_unmelted(page):
    explorer = page.locator(".rework-explorer").first
    at_start = explorer.locator("[role=img]").get_attribute("aria-label")
    assert "Every joint melts." in at_start
    plate = explorer.get_by_role("slider", name="Bottom plate")
    assert plate.get_attribute("aria-valuetext").endswith("°C")
    for _ in range(12):
        plate.press("ArrowLeft")
    page.wait_for_function(
        "node => node.getAttribute('aria-label').includes('% of the joints melt.')",
        arg=explorer.locator("[role=img]").element_handle(),
    )
    explorer.get_by_role("button", name="Back to the start").press("Enter")
    sync_api.expect(explorer.locator("[role=img]")).to_have_attribute(
        "aria-label", at_start
    )  # as the next one finds it


def test_a_screen_reader_is_told_an_explorers_controls_its_picture_and_each_line_of_the_readout_that_changes(page):
    first = page.locator(".rework-explorer").first
    title, words = first.get_attribute("aria-label"), first.locator("[role=img]").get_attribute("aria-label")
    told = spoken(page, f".rework-explorer[aria-label='{title}']")
    named = {(one["role"], one["name"]): one for one in told}
    assert ("region", title) in named
    assert named.keys() & {("image", words), ("img", words)}  # older and newer names of one role
    plate = named["slider", "Bottom plate"]
    assert plate["focusable"]
    assert plate["valuemin"] <= plate["value"] <= plate["valuemax"]
    status = next(one for one in told if one["role"] == "status")
    assert (status["live"], status["atomic"]) == ("polite", False)
    lines = {one["name"] for one in told if one["role"] == "StaticText"}
    assert set(first.locator(".rework-words").all_inner_texts()) <= lines
    assert [one for one in told if one.get("focusable") and not one["name"].strip()] == []


def test_an_explorer_breaks_no_rule_on_a_phone(page):
    page.set_viewport_size({"width": 420, "height": 900})
    page.locator(".rework-explorer.rework-narrow").first.wait_for()
    assert in_both_themes(page, ".rework-explorer") == CLEAN
    assert page.evaluate("document.querySelector('.rework-explorer').scrollWidth") <= 420
    page.set_viewport_size({"width": 1366, "height": 650})
    page.locator(".rework-explorer.rework-wide").first.wait_for()


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


def test_a_log_of_ones_own_is_shown_and_a_file_that_is_none_is_told_and_neither_breaks_a_rule(page, tmp_path):
    good, bad = tmp_path / "board.csv", tmp_path / "notes.csv"
    good.write_text("time [s],joint [C]\n" + "\n".join(f"{t},{25 + min(t, 440 - t)}" for t in range(441)))
    bad.write_text("No.,joint\n" + "\n".join(f"{t},{25 + t}" for t in range(1, 40)))
    button = page.get_by_role("button", name="Choose a log")
    for file, words in ((good, "Did it melt long enough?"), (bad, "counts the readings")):
        with page.expect_file_chooser() as asked:
            button.click()
        asked.value.set_files(file)
        sync_api.expect(page.get_by_text(words)).to_be_visible()
        assert in_both_themes(page, ".widget-vbox:has(.widget-upload)") == CLEAN


def to_be_saved(page):
    """The mark of a page that holds something that its file does not."""
    return page.locator(".lm-TabBar-tab.jp-mod-dirty")


def test_a_lesson_that_only_ran_is_as_it_was_laid_out_and_has_nothing_to_save(page, read):
    place = "lessons/03_profile.ipynb"
    assert to_be_saved(page).count() == 0
    assert (read[0] / place).read_bytes() == folder.shipped()[place]


def saved(page, file, words):
    """The edition of a lesson's file, once a save has brought some words into it."""
    for _ in range(30):
        page.keyboard.press("Control+s")  # once more: what is pressed while a save is under way goes for nothing
        page.wait_for_timeout(1000)
        if words in file.read_text(encoding="utf-8"):
            return folder.Edition.of(file.read_bytes())
    raise AssertionError(f"the saved file lacks {words!r}")


def test_a_run_lesson_is_saved_with_its_outputs_and_differs_only_by_what_is_written_in_it(page, read):
    """What JupyterLab saves of its own accord does not count: a newer edition may take the lesson's place."""
    place = "lessons/03_profile.ipynb"
    shipped, file = folder.Edition.of(folder.shipped()[place]), read[0] / place
    run = saved(page, file, "time constant 81 s")
    assert run.file != shipped.file
    assert run.text == shipped.text
    page.locator(".jp-MarkdownCell p").first.dblclick()
    editor = page.locator(".jp-MarkdownCell .cm-content").first
    editor.press_sequentially("Ask on Monday.")
    sync_api.expect(editor).to_contain_text("Ask on Monday.")
    sync_api.expect(to_be_saved(page)).to_have_count(1)
    assert saved(page, file, "Ask on Monday.").text != shipped.text
