"""Lessons in Chromium as a learner sees them: a notebook server of their own, and a tab once the kernel answers."""

import contextlib
import json
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from workbook import paths
from workbook.server import jupyter

CHROMIUM = {
    "executable_path": shutil.which("chromium") or shutil.which("chromium-browser"),
    "args": ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
}
LESSONS = sorted(paths.lessons().glob("*.ipynb"))
PATIENCE = 60_000
READY = """async () => {
  await jupyterapp.restored;
  const panel = jupyterapp.shell.currentWidget;
  await panel.context.ready;
  await panel.sessionContext.ready;
  await panel.sessionContext.session.kernel.info;
}"""


@contextlib.contextmanager
def served(home: Path):
    """Serve copies of the lessons from a folder, on loopback and with the learner's kernel; give the address."""
    for path in LESSONS:
        shutil.copy(path, home)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "notebook", "--no-browser", f"--port={port}", "--allow-root"]
    command += ["--IdentityProvider.token=", f"--ServerApp.root_dir={home}"]
    command += ["--JupyterNotebookApp.expose_app_in_browser=True"]
    command += ["--ServerApp.kernel_websocket_connection_class=workbook.panels.prompt.PromptConnection"]
    settings = jupyter.prepare(home) | {"HOME": str(home)}
    with open(home / "server.log", "w") as said:
        process = subprocess.Popen(command, cwd=home, env=settings, stdout=said, stderr=said)
    address = f"http://127.0.0.1:{port}"
    try:
        _wait_for(address, process, home / "server.log")
        yield address
    finally:
        process.terminate()
        process.wait(20)


def _wait_for(address: str, process, log: Path) -> None:
    for _ in range(200):
        with contextlib.suppress(OSError):
            urllib.request.urlopen(f"{address}/api", timeout=2)
            return
        if process.poll() is not None:
            break
        time.sleep(0.3)
    raise RuntimeError(f"the notebook server does not answer:\n{log.read_text()}")


def opened(browser, address: str, path: Path, **context):
    """Open a lesson, run all of it, and return its tab and how many explorers it has, once they all answer."""
    tab = browser.new_context(**context).new_page()
    tab.set_default_timeout(PATIENCE)
    tab.goto(f"{address}/notebooks/{path.name}")
    tab.wait_for_function("window.jupyterapp?.shell?.currentWidget?.sessionContext")
    tab.evaluate(READY)
    if context.get("color_scheme") == "dark":
        tab.evaluate("jupyterapp.commands.execute('apputils:change-theme', {theme: 'JupyterLab Dark'})")
    tab.evaluate("jupyterapp.commands.execute('notebook:run-all-cells')")
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    explorers = sum("_explorer(" in "".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
    tab.wait_for_function(f"document.querySelectorAll('.rework-explorer canvas[data-answered]').length >= {explorers}")
    return tab, explorers
