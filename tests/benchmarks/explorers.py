"""From the key to the changed picture: each explorer of each lesson, in plain Python and in Chromium.

    python -m tests.benchmarks.explorers [LESSON ...]

Two figures for each explorer. *Kernel* is the processor time in which the kernel answers a moved control: picture,
pixels and message, while every control is swept over its range. What other work the machine has does not lengthen it.
*Whole* runs from the input event in the page that `workbook open` serves to the moment the new marks are drawn
(compositing is not in it), while each slider is pressed to and fro; every answer must have changed the canvas or the
readout. It depends on the load, which is printed beside it.

The kernel's figure is taken on one thread, as a learner's kernel runs: a second one that waits spends processor time
and answers no sooner.
"""

import importlib
import os
import platform
import sys
import tempfile
import time
from pathlib import Path

from workbook.command_group import ONE_THREAD

os.environ.update(ONE_THREAD)  # before numpy, which reads it once

import numpy as np
from playwright.sync_api import sync_playwright

from tests.browser.lesson_server import CHROMIUM, LESSONS, started, workbook_open
from workbook.panels.explorer import Menu, Slider, Tick, settings_of

DRAG = """async root => {
  const canvas = root.querySelector("canvas");
  const shown = () => {
    const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
    let sum = 0;
    for (let i = 0; i < data.length; i += 16) sum = (sum * 31 + data[i] + 3 * data[i + 1]) % 2147483647;
    return sum + root.querySelector(".rework-readout").textContent;
  };
  const drags = {};
  for (const slider of root.querySelectorAll("input[type=range]")) {
    const times = [];
    let unchanged = 0;
    const step = Number(slider.step) * (Number(slider.value) + 10 * Number(slider.step) <= Number(slider.max) ? 1 : -1);
    const start = Number(slider.value);
    for (let turn = 0; turn < 20; turn++) {
      const before = shown();
      const answered = canvas.dataset.answered;
      slider.value = start + step * (turn < 10 ? turn + 1 : 19 - turn);
      // Told by the browser: a page that asks again and again is heard every 4 ms, and is in the answer's way.
      const drawn = new Promise(done => new MutationObserver((_, watch) => {
        if (canvas.dataset.answered === answered) return;
        watch.disconnect();
        done(performance.now());
      }).observe(canvas, { attributes: true }));
      const begun = performance.now();
      slider.dispatchEvent(new Event("input"));
      times.push(await drawn - begun);
      if (shown() === before) unchanged += 1;
      await new Promise(done => setTimeout(done, 60));
    }
    drags[slider.labels[0].textContent] = [times, unchanged];
  }
  return [root.getAttribute("aria-label"), drags];
}"""


def positions(control) -> list:
    """Return values over a control's range: at most sixteen of a slider."""
    if isinstance(control, Slider):
        steps = round((control.high - control.low) / control.step)
        return [control.low + control.step * int(at) for at in np.linspace(0, steps, min(steps + 1, 16))]
    if isinstance(control, Menu):
        return list(control.options)
    return [False, True] if isinstance(control, Tick) else [1, 2]


def spent(explorer, settings: dict) -> float:
    """Return the processor time in which an explorer answers settings [ms]."""
    before = time.process_time()
    explorer.settings = settings
    return 1e3 * (time.process_time() - before)


def kernel_times(explorer) -> dict[str, list[float]]:
    """Return the processor times of one sweep of each control [ms], by the control's words."""
    return {
        one.words: [
            spent(explorer, vars(settings_of(explorer._declared, {one.name: value})) | {"_asked": turn})
            for turn, value in enumerate(positions(one), start=1)
        ]
        for one in explorer._declared
    }


def told(times: dict[str, list[float]]) -> str:
    """Return median, 95th percentile and longest of some times [ms], and what took the longest."""
    every = np.concatenate(list(times.values()))
    slowest = max(times, key=lambda words: max(times[words]))
    return (
        f"p50 {np.median(every):6.1f}  p95 {np.percentile(every, 95):6.1f}  max {every.max():6.1f} ms ({slowest}), "
        f"n {every.size}"
    )


def explorers_of(lesson: Path) -> list:
    """Return the explorers of a lesson's topic, newly made."""
    panel = importlib.import_module(f"workbook.panels.{lesson.stem.split('_', 1)[1]}")
    return [make() for name, make in vars(panel).items() if name.endswith("_explorer")]


def main(names: list[str]) -> None:
    """Print both figures of every explorer."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, load at start {os.getloadavg()[0]:.1f}")
    lessons = [path for path in LESSONS if not names or path.stem in names]
    for lesson in lessons:
        for explorer in explorers_of(lesson):
            print(f"kernel {lesson.stem:12} {explorer.title:38} {told(kernel_times(explorer))}", flush=True)
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright, workbook_open(Path(home)) as address:
        browser = playwright.chromium.launch(**CHROMIUM)
        for lesson in lessons:
            tab = started(browser, address, lesson, viewport={"width": 1100, "height": 1000})
            tab.wait_for_timeout(5000)
            for explorer in tab.locator(".rework-explorer").all():
                title, drags = explorer.evaluate(DRAG)
                unchanged = sum(count for _, count in drags.values())
                times = {words: times for words, (times, _) in drags.items()}
                load = os.getloadavg()[0]
                print(
                    f"whole  {lesson.stem:12} {title:38} {told(times)}, {unchanged} unchanged, load {load:.1f}",
                    flush=True,
                )
            tab.context.close()
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
