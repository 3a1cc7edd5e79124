"""The front end of an explorer with a stand-in for its kernel: what is asked, and in how many pieces."""

import base64
import io

import pytest

from workbook.panels.explorer import HERE

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
pytestmark = pytest.mark.browser

MODEL = """async ([source, png]) => {
  const { default: { render } } = await import(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
  const bytes = new DataView(Uint8Array.from(atob(png), (one) => one.charCodeAt(0)).buffer);
  const heard = {};
  const held = {
    title: "Stand-in", words: "nothing", answered: 1, frame: bytes, size: [40, 20], boxes: [[0, 0, 40, 20]], plan: [],
    data: bytes, readout: [], screen: {}, settings: { by: 3, _asked: 1 },
    controls: [{ kind: "slider", name: "by", words: "By", unit: "s", low: 0, high: 9, step: 1, value: 3 }],
  };
  window.asked = [];
  const model = {
    get: (name) => held[name],
    set: (name, value) => (held[name] = value),
    on: (name, act) => (heard[name] ??= []).push(act),
    save_changes: () => window.asked.push({ ...held.settings }),
  };
  window.answer = () => { // as the kernel does: what is the same as before is no change
    if (held.answered === held.settings._asked) return;
    held.answered = held.settings._asked;
    for (const act of heard["change:answered"]) act();
  };
  for (const el of document.querySelectorAll("div")) render({ model, el });
  window.asked.length = 0; // what the screen is like is no question
}"""


@pytest.fixture
def tab(browser):
    """A bare page with two views of one model, which a page had asked once before."""
    from PIL import Image

    png = io.BytesIO()
    Image.new("RGB", (40, 20), "white").save(png, "png")
    tab = browser.new_page()
    tab.set_content("<div style='width:600px'></div><div style='width:600px'></div>")
    tab.evaluate(MODEL, [(HERE / "explorer.js").read_text(encoding="utf-8"), base64.b64encode(png.getvalue()).decode()])
    yield tab
    tab.close()


def test_a_view_that_is_opened_anew_asks_under_a_new_number_and_its_second_key_is_heard(tab):
    """Counted from none in each view, the first question would have the number of one that was answered long ago."""
    slider = tab.get_by_role("slider").nth(1)
    for key, value in (("ArrowRight", 4), ("ArrowRight", 5), ("ArrowLeft", 4)):
        slider.press(key)
        assert tab.evaluate("asked.at(-1).by") == value
        tab.evaluate("answer()")
    assert tab.evaluate("asked.map((one) => one._asked)") == [2, 3, 4]


def test_keys_pressed_while_the_kernel_answers_and_the_page_is_made_wide_are_asked_in_one(tab):
    slider = tab.get_by_role("slider").first
    slider.press("ArrowRight")
    for width in (1400, 400, 1200):
        tab.evaluate("width => document.querySelector('div').style.width = `${width}px`", width)
        slider.press("ArrowRight")
    assert tab.evaluate("asked.filter((one) => one.by !== 4).length") == 0
    tab.evaluate("answer()")
    assert tab.evaluate("[asked.at(-1).by, asked.at(-1)._asked]") == [7, 3]
    assert slider.input_value() == "7"
