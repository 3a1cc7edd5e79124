"""Lessons in Chromium as a learner sees them: a notebook server of their own, and a tab once the kernel answers."""

import contextlib
import importlib.util
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

import workbook
from tests.patience import ended_by_then
from workbook import paths
from workbook.server import jupyter

CHROMIUM = {
    "executable_path": shutil.which("chromium") or shutil.which("chromium-browser"),
    "args": ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
}
LESSONS = sorted(paths.lessons().glob("*.ipynb"))
PATIENCE = 120_000
SEEN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
OURS = [
    f"{SEEN} {part}"
    for part in (
        ".rework-explorer",
        ".rework-case",
        ".jp-RenderedMarkdown",
        ".rework-box",
        ".rework-bar",
        ".rework-contents",
    )
]
CLEAN = {"light": [], "dark": []}
LIVE = f"[...document.querySelectorAll('{SEEN} .rework-explorer canvas[data-answered]')].length >= "
READY = """async () => {
  await jupyterapp.restored;
  const panel = jupyterapp.shell.currentWidget;
  await panel.context.ready;
  await panel.sessionContext.ready;
  await panel.sessionContext.session.kernel.info;
}"""


SAVES = "**/api/contents/**"


@contextlib.contextmanager
def no_save_succeeds(tab):
    """Cut off whatever a page would save."""
    tab.route(SAVES, lambda asked: asked.abort() if asked.request.method == "PUT" else asked.continue_())
    yield
    tab.unroute(SAVES)


@contextlib.contextmanager
def workbook_open(home: Path):
    """Serve a learner's folder that `workbook open` lays out; give the address of its first page."""
    env = {**os.environ, "PYTHONPATH": str(Path(workbook.__file__).parents[1]), "XDG_DATA_HOME": str(home / "data")}
    start = "from workbook.cli import main; main()"
    command = [sys.executable, "-c", start, "open", str(home / "mine"), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=env)
    try:
        with ended_by_then(process, 90):
            said = next(filter(None, (re.search(r"http://\S+", line) for line in process.stdout)), None)
        assert said, "it did not start"
        yield said.group()
    finally:
        process.send_signal(signal.SIGINT)
        rest, _ = process.communicate(timeout=30)
    assert "What is saved stays saved." in rest
    assert process.returncode == 0


def alone(address: str, place: str = "start.ipynb") -> str:
    """Return the address of a page of a learner's folder, and let JupyterLab forget those that were open before."""
    first = json.dumps(jupyter.FIRST_LOOK).encode()
    kept = re.sub(r"/lab/tree/[^?]*", "/lab/api/workspaces/default", address)
    urllib.request.urlopen(urllib.request.Request(kept, first, method="PUT"), timeout=30).close()
    return address.replace("start.ipynb", place)


def violations(tab, *selectors: str) -> list:
    """Return what axe-core finds in some parts of a page: each rule and where. Skips the test where it is not there.

    It comes with a package of the test extra; AXE_JS names another copy.
    """
    package = importlib.util.find_spec("axe_playwright_python")
    packed = Path(package.origin).with_name("axe.min.js") if package else Path("no-axe")
    axe = Path(os.environ.get("AXE_JS", packed))
    if not axe.is_file():
        pytest.skip("needs axe-core: pip install 'rework-workbook[test]', or AXE_JS=<path to axe.min.js>")
    if not tab.evaluate("'axe' in window"):
        tab.evaluate(axe.read_text(encoding="utf-8"))  # a script tag would be refused by a page's content policy
    parts = {"include": [[selector] for selector in selectors]}
    found = tab.evaluate("parts => axe.run(parts, {resultTypes: ['violations']})", parts)
    return [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found["violations"]]


def spoken(tab, selector: str) -> list[dict]:
    """Return what Chromium tells a screen reader of some part of a page: role, name, value and states of each node."""
    session = tab.context.new_cdp_session(tab)
    root = session.send("DOM.getDocument")["root"]["nodeId"]
    told = []
    for part in session.send("DOM.querySelectorAll", {"nodeId": root, "selector": selector})["nodeIds"]:
        for node in session.send("Accessibility.queryAXTree", {"nodeId": part})["nodes"]:
            if not node["ignored"]:
                states = {one["name"]: one["value"].get("value") for one in node["properties"]}
                words = {key: node.get(key, {}).get("value", "") for key in ("role", "name", "description", "value")}
                told.append(words | states)
    session.detach()
    return told


def in_both_themes(tab, *parts):
    """What breaks a rule, in the light theme and in the dark one."""
    found = {}
    for scheme in ("light", "dark"):
        tab.emulate_media(color_scheme=scheme)
        tab.locator(f"body[data-jp-theme-light={str(scheme == 'light').lower()}]").wait_for(state="attached")
        tab.wait_for_timeout(400)  # colours fade from one theme to the other
        found[scheme] = violations(tab, *parts)
    tab.emulate_media(color_scheme="light")
    return found


def started(browser, address: str, path: Path, **context):
    """Go to a lesson in a learner's folder, touch nothing, and return its tab once it has started by itself."""
    tab = browser.new_context(**context).new_page()
    tab.set_default_timeout(PATIENCE)
    tab.goto(alone(address, f"lessons/{path.name}"))
    tab.wait_for_function(f"{LIVE}{explorers_of(path)}")
    tab.wait_for_function("!document.querySelector('.rework-start')")
    return tab


def explorers_of(path: Path) -> int:
    """Return how many explorers a lesson has."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return sum("_explorer(" in "".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")


@contextlib.contextmanager
def served(home: Path):
    """Serve copies of the lessons from a folder, on loopback and with the learner's kernel; give the address."""
    for path in LESSONS:
        shutil.copy(path, home)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-P", "-m", "workbook.quick_start", "notebook"]
    command += ["--no-browser", f"--port={port}", "--allow-root"]
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
        process.wait(60)


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
    explorers = explorers_of(path)
    tab.wait_for_function(f"document.querySelectorAll('.rework-explorer canvas[data-answered]').length >= {explorers}")
    return tab, explorers
