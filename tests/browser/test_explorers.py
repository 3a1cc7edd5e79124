"""Every lesson in Chromium, as a learner opens it: it breaks no rule, fits every screen, and every control answers."""

import importlib
import random

import pytest

from tests.browser.lesson_server import CLEAN, LESSONS, OURS, in_both_themes, started
from workbook.panels.explorer import Menu, Press, Slider, Tick, settings_of

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"small": (1366, 650), "usual": (1400, 900), "phone": (420, 900)}
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
PIXELS = """canvas => {
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let sum = 0;
  for (let i = 0; i < data.length; i += 4) sum = (sum * 31 + data[i] * 7 + data[i + 1] * 5 + data[i + 2]) % 2147483647;
  return sum;
}"""


@pytest.fixture(scope="module", params=LESSONS, ids=lambda path: path.stem)
def lesson(request, browser, read):
    """A lesson's path, and its tab: gone to, and not touched by the first that asks for it."""
    tab = started(browser, read[1], request.param, viewport={"width": 1366, "height": 650})
    yield request.param, tab
    tab.context.close()


def moved(control):
    """Move a control to another value as a person would, by keyboard or click."""
    kind = control.get_attribute("type") or control.evaluate("node => node.tagName.toLowerCase()")
    if kind == "range":
        start = control.input_value()
        for key in ("End", "Home"):
            if control.input_value() == start:
                control.press(key)
    elif kind == "select":
        options = control.locator("option").all()
        value = control.input_value()
        control.select_option(next(o.get_attribute("value") for o in options if o.get_attribute("value") != value))
    else:
        control.click()


def test_a_lesson_breaks_no_rule(lesson):
    assert in_both_themes(lesson[1], *OURS) == CLEAN


@pytest.mark.parametrize("size", SIZES)
def test_picture_readout_and_any_control_are_in_view_together(size, lesson):
    page, (width, height) = lesson[1], SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    narrow = "narrow" if size == "phone" else "wide"
    page.wait_for_function(f"!document.querySelector('.rework-explorer:not(.rework-{narrow})')")
    page.wait_for_timeout(1500)
    for explorer in page.locator(".rework-explorer:visible").all():
        for at in (0, 3, -1):
            beyond = page.evaluate(IN_VIEW, [explorer.element_handle(), at % 8])
            assert max(beyond) <= 2, (explorer.get_attribute("aria-label"), at, beyond)
    beyond = page.evaluate("(p => p.scrollWidth - p.clientWidth)(document.querySelector('.jp-WindowedPanel-outer'))")
    assert beyond <= 1
    page.set_viewport_size({"width": 1366, "height": 650})


def test_every_control_of_a_lesson_is_answered_and_none_is_idle(lesson):
    """In the browser every control is answered, and changes pixels or words where it stands.

    One that changes nothing there must change the readout at other settings of the rest: those are tried in Python, two
    values of the control at up to two hundred settings drawn at random.
    """
    path, tab = lesson
    tab.set_viewport_size({"width": 1100, "height": 1000})
    assert tab.locator(".rework-explorer").count() >= 2
    assert tab.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    for explorer in tab.locator(".rework-explorer").all():
        canvas, figure = explorer.locator("canvas"), explorer.locator("[role=img]")
        assert explorer.get_attribute("aria-label")
        for control in explorer.locator("input, select, button").all():
            before = (canvas.evaluate(PIXELS), figure.get_attribute("aria-label"), explorer.inner_text())
            answered = canvas.get_attribute("data-answered")
            moved(control)
            tab.wait_for_function(
                "([canvas, before]) => canvas.dataset.answered !== before", arg=[canvas.element_handle(), answered]
            )
            tab.wait_for_timeout(60)
            after = (canvas.evaluate(PIXELS), figure.get_attribute("aria-label"), explorer.inner_text())
            name = control.evaluate("node => node.labels?.[0]?.textContent || node.textContent")
            assert name.strip(), f"a control without a name: {control.evaluate('node => node.outerHTML')}"
            title = explorer.get_attribute("aria-label")
            assert after != before or matters_elsewhere(path, title, name), f"{title}: {name} changes nothing"


def matters_elsewhere(path, title, words):
    """Whether two values of a control make two readouts at any of two hundred settings of the rest, drawn at random.

    A tick that a rail is near zero by design, for one, matters only where the reading is a dead short.
    """
    panel = importlib.import_module(f"workbook.panels.{path.stem.split('_', 1)[1]}")
    made = [make() for name, make in vars(panel).items() if name.endswith("_explorer")]
    explorer = next(one for one in made if one.title == title)
    control = next(one for one in explorer._declared if one.words == words)
    chance = random.Random(1)

    def anywhere(one):
        if isinstance(one, Slider):
            return one.low + one.step * chance.randint(0, round((one.high - one.low) / one.step))
        return chance.choice(list(one.options) if isinstance(one, Menu) else [False, True])

    for _ in range(200):
        given = {one.name: anywhere(one) for one in explorer._declared if not isinstance(one, Press)}
        tried = [settings_of(explorer._declared, given | {control.name: value}) for value in both(control)]
        if len({str(explorer._picture(settings).readout) for settings in tried}) > 1:
            return True
    return False


def both(control):
    """Return two values of a control."""
    if isinstance(control, Slider):
        return control.low, control.high
    if isinstance(control, Menu):
        return tuple(control.options)[:2]
    return (False, True) if isinstance(control, Tick) else (0, 1)
