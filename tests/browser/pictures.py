"""The pictures of README.md, taken of the real pages in Chromium.

    python -m tests.browser.pictures

writes them anew into ``.pictures/``: a lesson's explorer, a checked exercise, a board on the bench, a cohort's report.
"""

import tempfile
from contextlib import contextmanager
from pathlib import Path

from click.testing import CliRunner
from PIL import Image
from playwright.sync_api import sync_playwright

from tests.browser.film_of_a_case import do, opened
from tests.browser.lesson_server import CHROMIUM, workbook_open

PICTURES = Path(__file__).resolve().parents[2] / ".pictures"
SEEN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
COLOURS = 64
"""A picture's colours: enough for its lines and words, light in bytes."""


def keep(screenshot: bytes, name: str) -> None:
    """Keep a screenshot in few colours."""
    with tempfile.NamedTemporaryFile(suffix=".png") as raw:
        Path(raw.name).write_bytes(screenshot)
        picture = Image.open(raw.name).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    picture.save(PICTURES / f"{name}.png", optimize=True)
    print(f"{name}: {(PICTURES / f'{name}.png').stat().st_size / 1000:.0f} kB")


@contextmanager
def page_of(browser, address: str, place: str, ready: str):
    """Open a page of a learner's folder and wait for what is ours in it."""
    tab = browser.new_page(viewport={"width": 1280, "height": 1000})
    tab.set_default_timeout(60_000)
    tab.goto(address.replace("start.ipynb", place))
    tab.locator("#jp-main-dock-panel .lm-TabBar-tab.lm-mod-current", has_text=place.split("/")[-1]).wait_for()
    tab.locator(f"{SEEN} {ready}").first.wait_for()
    yield tab
    tab.close()


def explorer(browser, address):
    """A lesson's explorer, live."""
    with page_of(browser, address, "lessons/03_profile.ipynb", ".rework-explorer") as tab:
        one = tab.locator(f"{SEEN} .rework-explorer").first
        one.locator("canvas[data-answered]").first.wait_for()
        keep(one.screenshot(), "explorer")


def exercise(browser, address):
    """An exercise whose first answer was checked."""
    with page_of(browser, address, "intake/01_stored-energy.ipynb", ".rework-box input[type=text]") as tab:
        field = tab.locator(f"{SEEN} .rework-box input[type=text]").first
        field.fill("80 mJ")
        field.press("Enter")
        result = tab.locator(f"{SEEN} .rework-box .result").first
        result.get_by_text("points.").wait_for()
        result.scroll_into_view_if_needed()
        keep(tab.screenshot(), "exercise")


def bench(browser, address):
    """A board on the bench, after the first looks."""
    tab = browser.new_page(viewport={"width": 1100, "height": 1000})
    tab.set_default_timeout(60_000)
    panel = opened(tab, address, 117)
    for act in ("ask history", "look top", "look bottom"):
        do(panel, act)
    panel.scroll_into_view_if_needed()
    keep(tab.screenshot(), "bench")
    tab.close()


def report(browser, folder):
    """The demo's report of one topic."""
    from graders.cli import main

    CliRunner().invoke(main, ["demo", "--to", str(folder)], catch_exceptions=False)
    tab = browser.new_page(viewport={"width": 1280, "height": 1000})
    tab.goto(next(folder.rglob("report-*.html")).as_uri())
    keep(tab.screenshot(), "report")


def take() -> None:
    """Take them all."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        with workbook_open(Path(home)) as address:
            explorer(browser, address)
            exercise(browser, address)
            bench(browser, address)
        report(browser, Path(home) / "cohort")
        browser.close()


if __name__ == "__main__":
    take()
