"""The lighthouse: how long and how many actions from the first command to the first checked answer.

    python -m tests.browser.first_answer

prints it for a new folder, in Chromium, as a newcomer would do it who reads nothing twice.
"""

import contextlib
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import workbook
from tests.browser.lesson_server import CHROMIUM, SEEN
from tests.patience import ended_by_then


@dataclass
class Way:
    """What it took: actions of the hand, seconds of waiting, and what was said at the end."""

    actions: int
    seconds: float
    said: str


@contextlib.contextmanager
def counted(browser, address: str, since: float | None = None):
    """Go from the first page to a checked answer, and give what it took."""
    began = since or time.monotonic()
    context = browser.new_context(viewport={"width": 1366, "height": 650})
    context.set_default_timeout(60_000)
    tab = context.new_page()
    tab.goto(address)
    actions = 0
    tab.locator(f"{SEEN} .rework-contents .next a[data-path]:not([data-path^='lessons/'])").first.click()
    actions += 1
    tab.locator(f"{SEEN} .rework-box input[type=text]").first.fill("80")
    actions += 1
    tab.keyboard.press("Enter")
    actions += 1
    result = tab.locator(f"{SEEN} .rework-box .result").first
    result.get_by_text("points.").wait_for()
    yield Way(actions, time.monotonic() - began, result.inner_text())
    context.close()


def main() -> None:
    """Start from nothing, and print what it took."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        env = {**os.environ, "PYTHONPATH": str(Path(workbook.__file__).parents[1]), "XDG_DATA_HOME": f"{home}/data"}
        start = "from workbook.cli import main; main()"
        began = time.monotonic()
        command = [sys.executable, "-u", "-c", start, "open", f"{home}/mine", "--no-browser"]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=env)
        with ended_by_then(process, 90):
            address = next(filter(None, (re.search(r"http://\S+", line) for line in process.stdout))).group()
        served = time.monotonic() - began
        browser = playwright.chromium.launch(**CHROMIUM)
        with counted(browser, address, began) as way:
            print(f"From the first command to the first page's address: {served:.1f} s")
            print(f"To the first checked answer: {way.actions} actions, {way.seconds:.1f} s")
            print(way.said)
        browser.close()
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=30)


if __name__ == "__main__":
    main()
