"""From the key to the changed picture: each explorer of each lesson in Chromium, its pixels checked.

    python tests/benchmarks/explorers.py [LESSON ...]

The time runs from the input event in the page to the moment the marks are drawn (the frame hook; compositing is not in
it). Every answer must have changed the canvas or the readout. Print machine and load with the figures.
"""

import os
import platform
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import sync_playwright

from workbook import find

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
READY = """async () => {
  await jupyterapp.restored;
  const panel = jupyterapp.shell.currentWidget;
  await panel.context.ready;
  await panel.sessionContext.ready;
  await panel.sessionContext.session.kernel.info;
}"""
DRAG = """async root => {
  const canvas = root.querySelector("canvas");
  const slider = root.querySelector("input[type=range]");
  const shown = () => {
    const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
    let sum = 0;
    for (let i = 0; i < data.length; i += 16) sum = (sum * 31 + data[i] + 3 * data[i + 1]) % 2147483647;
    return sum + root.querySelector(".rework-readout").textContent;
  };
  const times = [];
  let unchanged = 0;
  const step = Number(slider.step) * (Number(slider.value) + Number(slider.step) <= Number(slider.max) ? 1 : -1);
  for (let turn = 0; turn < 30; turn++) {
    const before = shown();
    const answered = canvas.dataset.answered;
    const start = performance.now();
    slider.value = Number(slider.value) + (turn % 2 ? -step : step);
    slider.dispatchEvent(new Event("input"));
    while (canvas.dataset.answered === answered) await new Promise(done => setTimeout(done, 0));
    times.push(performance.now() - start);
    if (shown() === before) unchanged += 1;
    await new Promise(done => setTimeout(done, 100));
  }
  return [root.getAttribute("aria-label"), times.sort((a, b) => a - b), unchanged];
}"""


def serve(home: Path):
    """Start a notebook server on loopback over copies of the lessons; return it and its address."""
    for path in find.lessons().glob("*.ipynb"):
        shutil.copy(path, home)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "notebook", "--no-browser", f"--port={port}", "--allow-root"]
    command += ["--IdentityProvider.token=", f"--ServerApp.root_dir={home}"]
    command += ["--JupyterNotebookApp.expose_app_in_browser=True"]
    settings = os.environ | {"JUPYTER_CONFIG_DIR": str(home / ".config"), "HOME": str(home)}
    process = subprocess.Popen(command, env=settings, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    address = f"http://127.0.0.1:{port}"
    for _ in range(200):
        try:
            urllib.request.urlopen(f"{address}/api", timeout=2)
            break
        except OSError:
            time.sleep(0.3)
    return process, address


def main(lessons: list[str]) -> None:
    """Print p50 and p95 of every explorer."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server, address = serve(Path(folder))
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        try:
            for path in sorted(find.lessons().glob("*.ipynb")):
                if lessons and path.stem not in lessons:
                    continue
                tab = browser.new_page(viewport={"width": 1100, "height": 1000})
                tab.set_default_timeout(120_000)
                tab.goto(f"{address}/notebooks/{path.name}")
                tab.wait_for_function("window.jupyterapp?.shell?.currentWidget?.sessionContext")
                tab.evaluate(READY)
                tab.evaluate("jupyterapp.commands.execute('notebook:run-all-cells')")
                tab.wait_for_selector(".rework-explorer canvas[data-answered]")
                tab.wait_for_timeout(5000)
                for explorer in tab.locator(".rework-explorer").all():
                    name, times, unchanged = explorer.evaluate(DRAG)
                    p95 = times[int(0.95 * len(times))]
                    print(
                        f"{path.stem:12} {name:34} p50 {statistics.median(times):5.0f} ms  p95 {p95:5.0f} ms  "
                        f"{unchanged} of {len(times)} unchanged; load {os.getloadavg()[0]:.1f}"
                    )
                tab.close()
        finally:
            browser.close()
            server.terminate()


if __name__ == "__main__":
    main(sys.argv[1:])
