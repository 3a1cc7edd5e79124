"""As a learner would: from `workbook open` to a checked exercise and a practice round, by keyboard and by mouse."""

import json
import os
import re
import signal
import zipfile
from pathlib import Path

import pytest

from graders import sheets
from graders.desk import packing
from graders.notebooks import printer
from tests.browser import first_answer
from tests.browser.lesson_server import alone, no_save_succeeds
from tests.graders.pages import as_read
from tests.patience import eventually
from workbook.topics import by_slug

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
expect = sync_api.expect
pytestmark = [pytest.mark.browser, pytest.mark.slow]

BEAD = sheets.find("profile", "bead-lag")
PLACE = f"profile/{printer.notebook_name(BEAD)}.ipynb"
RIGHT = BEAD.key(BEAD.worked())
PATIENCE = 30_000
expect.set_options(timeout=PATIENCE)


@pytest.fixture
def tab(browser):
    """A tab; what it asks for outside this machine is kept on it."""
    yield from _tab(browser, width=1100)


@pytest.fixture
def narrow(browser):
    """The same on a narrow window in a dark theme."""
    yield from _tab(browser, width=420, color_scheme="dark")


def _tab(browser, width, **settings):
    context = browser.new_context(viewport={"width": width, "height": 900}, **settings)
    context.set_default_timeout(PATIENCE)
    tab = context.new_page()
    tab.outside = []
    tab.on("request", lambda request: tab.outside.append(request.url) if _is_outside(request.url) else None)
    yield tab
    assert tab.outside == []
    context.close()


def _is_outside(url):
    return not re.match(r"(https?|wss?)://127\.0\.0\.1[:/]|data:|blob:", url)


def page(tab):
    """The notebook that is shown."""
    return tab.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")


def write(tab, printed, text):
    """Type over an answer cell, as one does: click into it, select all, type."""
    page(tab).locator(".cm-content", has_text=printed).first.click()
    tab.keyboard.press("Control+a")
    tab.keyboard.type(text)


def run_all_and_save(tab):
    tab.get_by_role("menuitem", name="Run", exact=True).click()
    tab.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    tab.keyboard.press("Control+s")


def check_again(tab, wanted):
    """Run the closing cell from the keyboard, until it shows what is wanted of the saved file."""
    shown = page(tab).locator(".rework-check")
    for _ in range(10):
        page(tab).locator(".jp-CodeCell", has_text="Check my answers").locator(".jp-InputPrompt").click()
        tab.keyboard.press("Control+Enter")
        tab.wait_for_timeout(500)
        if wanted in shown.inner_text():
            return shown
    pytest.fail(f"no {wanted!r} in {shown.inner_text()!r}")


def answer_in_code(tab):
    """Show an exercise's cells, as who likes code does, once its boxes are there."""
    page(tab).locator(".rework-box").first.wait_for()
    page(tab).get_by_role("button", name="Show the code").click()


def test_from_the_first_page_to_a_checked_exercise_in_code(tab, opened):
    root, address = opened
    tab.goto(alone(address))
    expect(tab.get_by_text("Start here:")).to_be_visible()
    expect(tab.get_by_role("menuitem", name="Nbgrader")).to_have_count(0)
    expect(tab.get_by_role("button", name="Validate")).to_have_count(0)
    tab.get_by_text(by_slug("profile").title).click()
    tab.get_by_role("link", name=BEAD.title).click()
    expect(page(tab).get_by_role("heading", name=BEAD.title)).to_be_visible()
    answer_in_code(tab)
    write(tab, "time_constant = ...", "time_constant = 0.94 s")
    write(tab, "lag = ...", "lag = 2,5")
    write(tab, "reads = ...", "reads = 'too hot'")
    write(tab, "act = ...", "act = 'thinner'")
    run_all_and_save(tab)
    shown = page(tab).locator(".rework-check")
    shown.wait_for()
    outputs = page(tab).locator(".jp-OutputArea-output")
    expect(outputs.filter(has_text="Write the number alone")).not_to_have_count(0)
    expect(outputs.filter(has_text="You wrote 2,5 for lag")).to_have_count(1)
    assert "Traceback" not in page(tab).inner_text()
    check_again(tab, "2 of 5 points")
    expect(shown).to_contain_text("Python could not run this answer")

    write(tab, "0.94 s", f"time_constant = {RIGHT['time_constant']!r}")
    write(tab, "2,5", "lag = ramp * time_constant")
    tab.keyboard.press("Control+s")
    check_again(tab, f"{BEAD.points} of {BEAD.points} points")
    saved = json.loads((root / PLACE).read_text(encoding="utf-8"))
    assert any("lag = ramp * time_constant" in "".join(cell["source"]) for cell in saved["cells"])

    page(tab).get_by_role("button", name="Show the boxes").click()
    expect(box(tab, 2)).to_contain_text("You answered this part in code")
    page(tab).get_by_role("link", name="All exercises").click()
    expect(page(tab).get_by_text(f"done, {BEAD.points} of {BEAD.points} points")).to_be_visible()
    expect(page(tab).get_by_text("You were last in")).to_be_visible()

    lines = list(packing.pack(root, root.parent / "hand-in.zip", details=True))
    assert f"{PLACE.removesuffix('.ipynb')}: every part answered" in lines
    with zipfile.ZipFile(root.parent / "hand-in.zip") as packed:
        assert packed.read(f"mine/{PLACE}") == (root / PLACE).read_bytes()


def box(tab, number):
    """The answer box of a part."""
    return page(tab).get_by_label(f"Answer to part {number}", exact=True)


def said(tab):
    """The line that says what saving and checking came to."""
    return page(tab).locator(".rework-bar").get_by_role("status")


def opens(tab, opened, place):
    """Open a notebook by its address and wait for its boxes."""
    tab.goto(alone(opened[1], place))
    tab.locator("#jp-main-dock-panel .lm-TabBar-tab.lm-mod-current", has_text=place.split("/")[-1]).wait_for()
    page(tab).locator(".rework-box").first.wait_for()


def cell_text(root, place, grade_id):
    cells = json.loads((root / place).read_text(encoding="utf-8"))["cells"]
    graded = {cell["metadata"]["nbgrader"]["grade_id"]: cell for cell in cells if "nbgrader" in cell["metadata"]}
    return "".join(graded[grade_id]["source"])


def test_the_first_answer_takes_three_actions(browser, opened):
    """The exercise, the answer, Enter. `first_answer.py` counts it from the first command."""
    with first_answer.counted(browser, alone(opened[1])) as way:
        assert way.actions <= 3
        assert "of 2 points" in as_read(way.said)
        assert way.seconds < 180


BOARD = "profile/11_board-on-heater.ipynb"


def test_boxes_take_what_people_type_and_write_the_same_cell(tab, opened):
    root, _ = opened
    notebook = json.loads((root / BOARD).read_text(encoding="utf-8"))
    (cell,) = [cell for cell in notebook["cells"] if cell["id"] == "stored-answer"]
    cell["source"] = ["# the plate too?\n", *cell["source"]]
    (root / BOARD).write_text(json.dumps(notebook), encoding="utf-8")
    opens(tab, opened, BOARD)
    field = box(tab, 1).get_by_role("textbox")
    field.click()
    tab.keyboard.type("about a dozen")
    tab.keyboard.press("Tab")
    expect(box(tab, 1)).to_contain_text("An answer starts with a number")
    field.fill("0,0521 kJ/K")
    tab.keyboard.press("Enter")  # saves first, then checks
    still_open = re.compile(r"Saved and checked: 1 of \d+ points\. [1-9] of \d parts are still open")
    expect(said(tab)).to_contain_text(still_open)
    expect(box(tab, 1)).to_contain_text("1 of 1 point. Right.")
    assert cell_text(root, BOARD, "stored-answer") == "# the plate too?\nstored = 52.1   # J/K\n"
    expect(field).to_have_value("0,0521 kJ/K")

    field.fill("100")
    field.press("Enter")
    expect(box(tab, 1)).to_contain_text("Read section 1. Warm a bare board, and see it lag again")
    page(tab).get_by_role("button", name="Undo").click()
    expect(box(tab, 1).get_by_role("textbox")).to_have_value("52.1")
    page(tab).get_by_role("button", name="Clean copy").click()
    expect(said(tab)).to_contain_text("What you had stands in 11_board-on-heater_before.ipynb")
    expect(box(tab, 1).get_by_role("textbox")).to_have_value("")
    assert "52.1" in cell_text(root, BOARD.replace(".ipynb", "_before.ipynb"), "stored-answer")


def kernel_of(root, place):
    """Return the process of the kernel that serves a notebook, which the server names it."""
    for process in Path("/proc").glob("[0-9]*"):
        try:
            about = (process / "environ").read_bytes() + (process / "cmdline").read_bytes()
        except OSError:
            continue
        if b"workbook.kernel" in about and f"{root / place}".encode() in about:
            return int(process.name)
    return None


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel in /proc")
def test_an_answer_typed_while_the_kernel_dies_is_told_as_not_written_and_counts_at_the_next_check(tab, opened):
    root, _ = opened
    opens(tab, opened, BOARD)
    field = box(tab, 1).get_by_role("textbox")
    first = kernel_of(root, BOARD)
    os.kill(first, signal.SIGSTOP)  # what is asked of it now is never answered
    field.fill("52.1")
    tab.keyboard.press("Tab")
    tab.wait_for_timeout(1000)
    os.kill(first, signal.SIGKILL)
    expect(said(tab)).to_contain_text("Part 1 is not written yet")
    assert eventually(lambda: kernel_of(root, BOARD) not in (None, first))
    tab.get_by_role("dialog").get_by_role("button", name="Ok").click()  # JupyterLab says that it restarts the kernel
    page(tab).get_by_role("button", name="Check", exact=True).first.click()
    expect(box(tab, 1)).to_contain_text("1 of 1 point. Right.")
    assert cell_text(root, BOARD, "stored-answer") == "stored = 52.1   # J/K\n"


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel in /proc")
def test_what_an_answer_earned_is_not_said_of_one_that_was_typed_since(tab, opened):
    place = "shorts/03_how-far-off.ipynb"
    opens(tab, opened, place)
    field = box(tab, 1).get_by_role("textbox")
    field.fill("1")
    tab.keyboard.press("Enter")
    expect(box(tab, 1)).to_contain_text("of 1 point.")
    kernel = kernel_of(opened[0], place)
    os.kill(kernel, signal.SIGSTOP)
    page(tab).get_by_role("button", name="Check", exact=True).first.click()
    tab.wait_for_timeout(1000)  # saved, and asked
    field.fill("2")
    os.kill(kernel, signal.SIGCONT)
    expect(said(tab)).to_contain_text("Saved and checked")
    expect(box(tab, 1)).not_to_contain_text("of 1 point.")


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel in /proc")
def test_a_lesson_whose_kernel_ends_while_it_starts_says_so_and_starts_again(tab, opened):
    lesson = "lessons/06_signoff.ipynb"
    tab.goto(alone(opened[1], lesson))
    head = page(tab).locator(".rework-start")
    expect(head).to_contain_text("This lesson is starting")
    assert eventually(lambda: kernel_of(opened[0], lesson) is not None)
    expect(tab.get_by_text("| Busy")).to_be_visible()  # its cells are being run
    os.kill(kernel_of(opened[0], lesson), signal.SIGKILL)
    expect(head).to_contain_text("The lesson stands still")
    tab.get_by_role("dialog").get_by_role("button", name="Ok").click()  # JupyterLab says that it restarts the kernel
    tab.wait_for_timeout(1500)  # time for what was under way to end
    expect(head).to_contain_text("The lesson stands still")
    head.get_by_role("button", name="Start").click()
    expect(page(tab).locator(".rework-explorer").first).to_be_visible()
    expect(head).to_have_count(0)


OTHER = "joints/02_other-board.ipynb"


def test_what_could_not_be_saved_is_told_and_neither_checked_nor_put_away(tab, opened):
    root, _ = opened
    opens(tab, opened, OTHER)
    before = (root / OTHER).read_bytes()
    field = box(tab, 1).get_by_role("textbox")
    with no_save_succeeds(tab):
        field.fill("1,8")
        for press in ("Check", "Clean copy", "Check"):
            page(tab).get_by_role("button", name=press, exact=True).first.click()
            expect(said(tab)).to_contain_text("NOT saved and not checked. What you typed stands on this page")
            tab.get_by_role("dialog").get_by_role("button").first.click()  # JupyterLab says why
            expect(tab.get_by_role("dialog")).to_have_count(0)
            expect(field).to_have_value("1,8")
    expect(box(tab, 1)).not_to_contain_text("Right")
    assert (root / OTHER).read_bytes() == before
    assert not list((root / OTHER).parent.glob("*_before*"))
    page(tab).get_by_role("button", name="Check", exact=True).first.click()
    expect(box(tab, 1)).to_contain_text("1 of 1 point. Right.")
    assert "= 1.8\n" in cell_text(root, OTHER, "mismatch_ratio-answer")


FINDING = "shorts/23_write-the-finding.ipynb"


def test_undo_takes_back_a_text_as_it_was_typed_in_one_go(tab, opened):
    opens(tab, opened, FINDING)
    (number,) = [
        n for n, part in enumerate(sheets.find("shorts", "write-the-finding").parts, 1) if part.kind == "written"
    ]
    text = box(tab, number).get_by_role("textbox")
    for words in ("Held at 0.6 ohm.", " Short."):
        text.click()
        tab.keyboard.press("Control+End")
        text.press_sequentially(words, delay=30)  # some letters are written before the next is typed
        page(tab).get_by_role("button", name="Check", exact=True).first.click()
        expect(said(tab)).to_contain_text("Saved and checked")
    for left in ("Held at 0.6 ohm.", ""):
        page(tab).get_by_role("button", name="Undo").click()
        expect(box(tab, number).get_by_role("textbox")).to_have_value(left)
    expect(page(tab).get_by_role("button", name="Undo")).to_be_disabled()


BACK = "intake/13_came-back.ipynb"


def test_words_order_and_text_by_keyboard_on_a_narrow_dark_page(narrow, opened):
    root, _ = opened
    opens(narrow, opened, BACK)
    exercise = sheets.find("intake", "came-back")
    numbered = {part.kind: number for number, part in enumerate(exercise.parts, 1)}
    order = box(narrow, numbered["order"])
    word = order.locator("li strong").nth(1).inner_text()
    order.get_by_role("button", name=f"Move up: {word}", exact=True).press("Enter")
    expect(order.locator("li strong").first).to_have_text(word)
    box(narrow, numbered["several"]).get_by_role("checkbox").first.press("Space")
    text = box(narrow, numbered["written"]).get_by_role("textbox")
    text.click()
    narrow.keyboard.type("abxdd: photographs first.")  # letters that would cut and delete cells
    page(narrow).get_by_role("button", name="Check", exact=True).first.press("Enter")
    expect(said(narrow)).to_contain_text("Saved and checked")
    parts = {part.kind: part.name for part in exercise.parts}
    assert cell_text(root, BACK, f"{parts['order']}-answer").startswith(f"{parts['order']} = ['{word}'")
    assert cell_text(root, BACK, parts["written"]) == "abxdd: photographs first."
    assert "= ['" in cell_text(root, BACK, f"{parts['several']}-answer")
    for shown in page(narrow).locator(".rework-box, .rework-bar").all():
        assert shown.evaluate("shown => shown.scrollWidth <= shown.clientWidth + 1")


def test_letters_typed_beside_a_cell_change_nothing(tab, opened):
    opens(tab, opened, "lessons/01_intake.ipynb")
    onward = page(tab).get_by_label("Exercises to 1. What a capacitor still holds")
    expect(onward).to_contain_text("not begun")
    cells = page(tab).locator(".jp-Cell")
    before = cells.count()
    cells.nth(1).click()
    tab.keyboard.type("abxddvmyr1")
    tab.wait_for_timeout(300)
    assert cells.count() == before
    expect(onward).to_be_attached()


def begin_practice(tab, opened, topic="profile"):
    tab.goto(alone(opened[1], "practice.ipynb"))
    practice = page(tab)
    practice.get_by_label("Topic").wait_for()
    practice.get_by_label("Topic").select_option(topic)
    practice.get_by_label("Time", exact=True).focus()
    tab.keyboard.press("Enter")
    tab.locator(".rework-practice").get_by_label("Your answer").wait_for()


def reply(tab):
    return tab.locator(".rework-practice").get_by_role("status")


def worked_answer(tab):
    """What the working says the answer is."""
    tab.get_by_role("button", name="Show the working").click()
    tab.locator(".working").wait_for()
    line = tab.locator(".working").inner_text().strip().splitlines()[-1]
    return line.split("=")[-1].strip()


def test_enter_marks_what_stands_in_the_field_and_a_second_click_costs_nothing(tab, opened):
    begin_practice(tab, opened)
    right = worked_answer(tab)
    field = tab.locator(".rework-practice").get_by_label("Your answer")
    field.fill(right)
    field.press("Enter")
    expect(reply(tab)).to_have_text("Right.")
    for wrong in ("1", "2", "3"):
        field.click()
        tab.keyboard.press("Control+a")
        tab.keyboard.type(wrong + "e9")
        tab.keyboard.press("Enter")
        expect(reply(tab)).to_contain_text("Not right")
        field.press("Control+a")
        tab.keyboard.type(right)
        tab.keyboard.press("Enter")
        expect(reply(tab)).to_have_text("Right.")
    tab.get_by_role("button", name="Next question").dblclick()
    expect(tab.get_by_text("Question 2", exact=True)).to_be_visible()
    tab.wait_for_timeout(300)
    expect(tab.get_by_text("Question 3", exact=True)).to_have_count(0)


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel in /proc")
def test_practice_begins_again_where_its_kernel_ended(tab, opened):
    begin_practice(tab, opened)
    os.kill(kernel_of(opened[0], "practice.ipynb"), signal.SIGKILL)
    tab.get_by_role("dialog").get_by_role("button", name="Ok").click()  # JupyterLab says that it restarts the kernel
    page(tab).get_by_label("Topic").wait_for()
    page(tab).get_by_role("button", name="Begin").click()
    tab.locator(".rework-practice").get_by_label("Your answer").wait_for()


def test_practice_says_what_a_unit_does_and_offers_the_lines_for_a_wrong_question(narrow, opened):
    begin_practice(narrow, opened)
    field = narrow.locator(".rework-practice").get_by_label("Your answer")
    field.fill("5 kg")
    narrow.get_by_role("button", name="Check", exact=True).click()
    expect(reply(narrow)).to_contain_text("The unit kg does not fit")
    narrow.get_by_role("button", name="Hint").click()
    expect(narrow.locator(".hints li")).to_have_count(1)
    narrow.get_by_role("button", name="This question is wrong").click()
    expect(narrow.locator(".report")).to_contain_text("edition")
    desk = narrow.locator(".rework-practice")
    assert desk.evaluate("desk => desk.scrollWidth <= desk.clientWidth + 1")
    narrow.get_by_role("button", name="End").click()
    expect(reply(narrow)).to_have_text("Nothing answered this time.")


def test_the_first_page_fits_a_narrow_window(narrow, opened):
    narrow.goto(alone(opened[1]))
    # the page is worked out anew while it comes up: for a moment its contents are replaced
    narrow.wait_for_function("document.querySelector('.rework-contents')?.offsetWidth > 200")
    shown = narrow.locator(".rework-contents")
    assert shown.evaluate("shown => shown.scrollWidth <= shown.clientWidth + 1")
