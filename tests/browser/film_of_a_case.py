"""Film one case: work it in lesson 6 by keyboard, in Chromium, and keep a picture after each act.

Run: python -m tests.browser.film_of_a_case FOLDER [--case 117] [--width 420] [--scheme dark]
"""

import argparse
import tempfile
from pathlib import Path

from playwright.sync_api import expect, sync_playwright

from tests.browser.lesson_server import CHROMIUM, PATIENCE, alone, workbook_open
from workbook.case import ways

LESSON = "lessons/06_signoff.ipynb"


def opened(tab, address: str, number: int):
    """Open a case in the lesson's panel, and return the panel."""
    tab.goto(alone(address, LESSON))
    panel = tab.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .rework-case")
    panel.get_by_text("Case ").first.wait_for()
    field = panel.get_by_label("Number of a case")
    field.fill(str(number))
    field.press("Enter")
    panel.get_by_text(f"Case {number}", exact=True).wait_for()
    return panel


def do(panel, act: str) -> None:
    """Do an act by keyboard alone."""
    words = [word for word in panel.locator(".act button").all_inner_texts() if f"{act} ".startswith(f"{word} ")]
    word = max(words, key=len)
    row = panel.locator(".act").filter(has=panel.page.get_by_role("button", name=word, exact=True))
    for field, number in zip(row.locator("select, input").all(), act.removeprefix(word).split(), strict=True):
        if field.evaluate("node => node.tagName") == "SELECT":
            field.select_option(number)
        else:
            field.fill(number)
    button = row.get_by_role("button")
    button.focus()
    button.press("Enter")
    expect(panel.locator(".told li").last).to_contain_text(act)


def film(folder: Path, number: int, width: int, scheme: str) -> int:
    """Work a case by the best way found, keep a picture after each act, and return how many."""
    folder.mkdir(parents=True, exist_ok=True)
    acts = [step.act for step in ways.best_way(number).steps]
    with tempfile.TemporaryDirectory() as home, workbook_open(Path(home)) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        tab = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
        tab.set_default_timeout(PATIENCE)
        panel = opened(tab, address, number)
        panel.screenshot(path=folder / "00.png")
        for place, act in enumerate(acts, 1):
            before = panel.locator(".picture").inner_html()
            do(panel, act)
            shoot(panel.locator(".latest"), folder / f"{place:02d} {act}.png")
            if panel.locator(".picture").inner_html() != before:
                panel.locator(".picture").screenshot(path=folder / f"{place:02d} {act}, the board.png")
        for place, heading in enumerate(
            [panel.locator(".after figure"), *panel.locator(".after h3").all()], len(acts) + 1
        ):
            shoot(heading, folder / f"{place:02d} afterwards.png")
        browser.close()
    return len(list(folder.glob("*.png")))


def shoot(part, path: Path) -> None:
    """Keep a picture of the window with a part of the page in its middle."""
    part.evaluate("node => node.scrollIntoView({ block: 'center' })")
    part.page.screenshot(path=path)


def main() -> None:
    """Film the case that is named."""
    parser = argparse.ArgumentParser(prog="python -m tests.browser.film_of_a_case", description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--case", type=int, default=117)
    parser.add_argument("--width", type=int, default=420)
    parser.add_argument("--scheme", choices=("light", "dark"), default="light")
    asked = parser.parse_args()
    print(film(asked.folder, asked.case, asked.width, asked.scheme), "pictures in", asked.folder)


if __name__ == "__main__":
    main()
