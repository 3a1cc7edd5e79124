"""Drawings in a lesson as a learner sees them: there before anything is run, and in the notebook's own theme after."""

import pytest

pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")

from tests.browser.lesson_server import LESSONS, PATIENCE, READY, opened, served
from workbook.drawings import pen, show

pytestmark = [pytest.mark.browser, pytest.mark.slow]
INTAKE = next(path for path in LESSONS if path.stem == "01_intake")


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    with served(tmp_path_factory.mktemp("lessons")) as place:
        yield place


def test_a_lesson_nobody_has_run_or_trusted_shows_its_drawings(browser, address):
    """JupyterLab makes what is not trusted harmless; images that carry themselves are let through."""
    tab = browser.new_context().new_page()
    tab.set_default_timeout(PATIENCE)
    tab.goto(f"{address}/notebooks/{INTAKE.name}")
    tab.wait_for_function("window.jupyterapp?.shell?.currentWidget?.sessionContext")
    tab.evaluate(READY)
    words = show("discharge.bleeder").views[1].words
    image = tab.locator(f'img[alt$="{words}"]')
    image.scroll_into_view_if_needed()
    assert image.evaluate("(image) => image.decode().then(() => image.naturalWidth)") == pen.WIDTH


def test_once_run_a_drawing_takes_the_notebooks_theme(browser, address):
    tab, _ = opened(browser, address, INTAKE, color_scheme="dark")
    figure = tab.locator("figure.rwd-figure", has_text=show("discharge.bleeder").title).first
    figure.scroll_into_view_if_needed()
    assert figure.locator("svg").count() == 2
    paper = figure.locator("svg > rect").first.evaluate("(rect) => getComputedStyle(rect).fill")
    assert paper == f"rgb({', '.join(str(int(pen.DARK['paper'][n : n + 2], 16)) for n in (1, 3, 5))})"
