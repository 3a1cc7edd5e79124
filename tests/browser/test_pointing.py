"""A drawing in practice is pointed at: a click chooses its letter, which shows on it, and the answer is sent."""

import base64

import pytest

from graders import sheets
from graders.desk import widget

pytestmark = [pytest.mark.browser, pytest.mark.slow]

RENDER = """async ([script, view]) => {
  const desk = (await import("data:text/javascript;base64," + script)).default;
  window.sent = [];
  const model = { get: () => view, send: (message) => window.sent.push(message), on: () => {}, off: () => {} };
  desk.render({ model, el: document.body });
}"""


@pytest.fixture(scope="module")
def asked(browser):
    """Return a tab that asks an exercise's first question in the practice desk."""
    exercise = sheets.find("intake", "point-at-the-marks")
    part = exercise.parts[0]
    view = {
        "question": 1,
        "kind": part.kind,
        "unit": "1",
        "setup": exercise.drawn(exercise.worked()).html(),
        "ask": part.ask,
        "how": part.how,
        "options": list(part.options.items()),
        "hints": [],
    }
    script = base64.b64encode((widget.HERE / "widget.js").read_bytes()).decode()
    tab = browser.new_page()
    tab.set_content("<!doctype html><body></body>")
    tab.evaluate(RENDER, [script, view])
    tab.add_style_tag(content=(widget.HERE / "widget.css").read_text())
    yield tab
    tab.close()


def test_a_click_chooses_the_letter_and_a_second_one_lets_it_go(asked):
    box = asked.get_by_role("checkbox", name="d:")
    asked.locator("[data-region=d]").click()
    assert box.is_checked()
    assert "chosen" in asked.locator("[data-region=d]").get_attribute("class")
    asked.locator("[data-region=d]").click()
    assert not box.is_checked()
    assert "chosen" not in asked.locator("[data-region=d]").get_attribute("class")


def test_the_keyboard_alone_will_do_and_the_drawing_follows(asked):
    asked.get_by_role("checkbox", name="g:").focus()
    asked.keyboard.press("Space")
    assert "chosen" in asked.locator("[data-region=g]").get_attribute("class")
    asked.get_by_role("button", name="Check").click()
    assert asked.evaluate("sent.at(-1).text") == "7"
