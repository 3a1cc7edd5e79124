"""Every lesson in Chromium, as a learner opens it: it runs, every control changes the picture, and words say so."""

import importlib
import random

import pytest
from lesson_server import CHROMIUM, LESSONS, opened, served, violations

from workbook import paths
from workbook.panels.explorer import Menu, Press, Slider, Tick, settings_of

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
pytestmark = [pytest.mark.browser, pytest.mark.slow]

PIXELS = """canvas => {
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let sum = 0;
  for (let i = 0; i < data.length; i += 4) sum = (sum * 31 + data[i] * 7 + data[i + 1] * 5 + data[i + 2]) % 2147483647;
  return sum;
}"""


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """Where a notebook server on loopback has copies of the lessons."""
    with served(tmp_path_factory.mktemp("lessons")) as address:
        yield address


@pytest.fixture(scope="module")
def browser():
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        yield browser
        browser.close()


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


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_every_control_of_a_lesson_is_answered_and_none_is_idle(path, browser, address):
    """In the browser every control is answered, and changes pixels or words where it stands.

    One that changes nothing there must change the readout at other settings of the rest: those are tried in Python, two
    values of the control at up to two hundred settings drawn at random.
    """
    tab, count = opened(browser, address, path, viewport={"width": 1100, "height": 1000})
    assert count >= 2
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
    tab.context.close()


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


def test_less_bottom_heat_leaves_the_corner_joint_unmelted(browser, address):
    tab, _ = opened(browser, address, paths.lessons() / "03_profile.ipynb", viewport={"width": 1100, "height": 1000})
    explorer = tab.locator(".rework-explorer").first
    assert "Every joint melts." in explorer.locator("[role=img]").get_attribute("aria-label")
    plate = explorer.get_by_role("slider", name="Bottom plate")
    assert plate.get_attribute("aria-valuetext").endswith("°C")
    for _ in range(12):
        plate.press("ArrowLeft")
    tab.wait_for_function(
        "node => node.getAttribute('aria-label').includes('% of the joints melt.')",
        arg=explorer.locator("[role=img]").element_handle(),
    )
    tab.context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_explorer_breaks_no_accessibility_rule_on_a_phone(scheme, browser, address):
    look = {"viewport": {"width": 420, "height": 900}, "color_scheme": scheme}
    tab, _ = opened(browser, address, paths.lessons() / "03_profile.ipynb", **look)
    assert violations(tab, ".rework-explorer") == []
    width = tab.evaluate("document.querySelector('.rework-explorer').scrollWidth")
    assert width <= 420
    tab.context.close()
