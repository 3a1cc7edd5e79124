"""Start JupyterLab for a learner's folder: on this machine only, quiet, offline, with our kernel and settings."""

import contextlib
import json
import os
import re
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path

from workbook import lookup, units
from workbook.command_group import ONE_THREAD
from workbook.problems import Problem
from workbook.server import contents, folder
from workbook.server.folder import OWN, write_whole
from workbook.topics import TOPICS

FIRST_PORT = 8888
PATIENCE = 60
"""Seconds a server may take to answer on a slow machine."""

SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/apputils-extension:themes": {"adaptive-theme": True},
    "@jupyterlab/docmanager-extension:plugin": {"autosaveInterval": 20},
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
}
"""No news and no look for updates; light or dark as the system is; saved every twenty seconds; whole pages, so that
a search in the browser finds everything."""

NOT_FOR_LEARNERS = {
    "@jupyter/nbgrader": True,  # the instructor's side; its check says that all is well where nothing is tested
    "@jupyterlab/debugger-extension": True,
    "@jupyterlab/extensionmanager-extension": True,
}

SERVERS_NOT_FOR_LEARNERS = (
    "jupyter_lsp",
    "jupyter_server_terminals",
    "nbgrader.server_extensions.assignment_list",
    "nbgrader.server_extensions.course_list",
    "nbgrader.server_extensions.formgrader",
    "nbgrader.server_extensions.validate_assignment",
)
"""What a server of this environment would load for the instructor's side: more than half of the time it starts in."""

LABEXTENSIONS = Path(__file__).parent / "labextensions"
"""What this JupyterLab loads into its page, and no other does: it starts a lesson, and lays boxes over an exercise."""

FIRST_LOOK = {
    "data": {"layout-restorer:data": {"left": {"collapsed": True, "visible": True, "widgets": []}}},
    "metadata": {"id": "default"},
}
"""The page alone, without the list of files beside it, which leaves no room on a narrow screen."""


LARGEST = {"websocket_max_message_size": 500_000_000}
"""Bytes that a page may send at once. At tornado's 10 MB a longer log, loaded in a lesson, ends the way to the kernel
without a word, and what stood there of another log would stay; so it comes, and the lesson says what it holds."""


def prepare(root: Path, *without: str) -> dict[str, str]:
    """Write the settings and the kernel of a learner's folder, and return the environment to start in.

    What is named stays out of the server beside what no learner needs.
    """
    own = root / OWN
    off = dict.fromkeys((*SERVERS_NOT_FOR_LEARNERS, *without), False)
    page = {
        "disabledExtensions": NOT_FOR_LEARNERS,
        "reworkWords": json.dumps(words()),
        "reworkTogether": units.TOGETHER,
    }
    kernel = {
        "argv": [sys.executable, "-P", "-m", "workbook.kernel", "-f", "{connection_file}"],
        "display_name": "Python 3 (ipykernel)",
        "language": "python",
        "metadata": {"debugger": True},
    }
    files = {
        "jupyter/kernels/python3/kernel.json": kernel,
        "config/jupyter_server_config.json": {"ServerApp": {"jpserver_extensions": off, "tornado_settings": LARGEST}},
        "lab/settings/overrides.json": SETTINGS,
        "lab/settings/page_config.json": page,
    }
    shortcuts = "lab/user-settings/@jupyterlab/shortcuts-extension/shortcuts.jupyterlab-settings"
    if not (own / shortcuts).exists():
        files[shortcuts] = {"shortcuts": letter_keys()}
    layout = "lab/workspaces/default-37a8.jupyterlab-workspace"  # JupyterLab's name for the default workspace
    if not (own / layout).exists():
        files[layout] = FIRST_LOOK
    for name, content in files.items():
        write_whole(own / name, json.dumps(content, indent=1).encode())
    return {
        **ONE_THREAD,
        **os.environ,
        "JUPYTER_PATH": os.pathsep.join(filter(None, [str(own / "jupyter"), os.environ.get("JUPYTER_PATH", "")])),
        "JUPYTER_CONFIG_DIR": str(own / "config"),
    }


def letter_keys() -> list[dict]:
    """Return JupyterLab's shortcuts that one letter or digit sets off in a notebook, each switched off.

    Who types beside a cell and not into it would cut, delete and convert cells. They are read from the JupyterLab that
    is installed, because what switches a shortcut off must name it as that version does.
    """
    from jupyter_core.paths import jupyter_path

    found = []
    places = dict.fromkeys([os.environ.get("JUPYTERLAB_DIR", ""), *jupyter_path("lab")])
    for schema in sorted(path for place in places if place for path in Path(place).glob("schemas/**/*.json")):
        for one in json.loads(schema.read_text(encoding="utf-8")).get("jupyter.lab.shortcuts", ()):
            plain = one["keys"] and all(re.fullmatch(r"(Shift )?[A-Z0-9]", key) for key in one["keys"])
            if plain and re.search(r"\.jp-Notebook\b|\[data-jp-kernel-user\]", one["selector"]):
                found.append({name: one[name] for name in ("command", "keys", "selector")} | {"disabled": True})
    return found


def words() -> dict[str, list]:
    """Return the glossary for the page: by topic, the names of each word and what it means."""
    return {
        topic.slug: [[list(word.words), word.means] for word in lookup.glossary() if topic.slug in word.topics]
        for topic in TOPICS
    }


def trust(notebook: Path) -> None:
    """Sign a notebook we have just written, so that JupyterLab shows its page as it is."""
    import nbformat
    from nbformat.sign import NotebookNotary

    NotebookNotary().sign(nbformat.read(notebook, as_version=4))


def trust_lessons(root: Path) -> None:
    """Sign the lessons that are as we laid them out: JupyterLab starts what is signed, and nothing else, by itself."""
    for name, content in folder.shipped().items():
        if name.startswith("lessons/") and (root / name).is_file() and (root / name).read_bytes() == content:
            trust(root / name)


def command(root: Path, port: int) -> list[str]:
    """Return the command that starts JupyterLab on a learner's folder."""
    alone = {
        "ServerApp.ip": "127.0.0.1",
        "ServerApp.port": port,
        "ServerApp.port_retries": 0,
        "ServerApp.answer_yes": True,
        "ServerApp.allow_root": True,  # it listens on this machine only, and asks for a token
    }
    return [
        sys.executable,
        "-P",  # a file in the folder where this is typed has no say in it
        "-m",
        "workbook.quick_start",
        "jupyterlab",
        *(f"--{name}={value}" for name, value in (alone | settings(root)).items()),
    ]


def settings(root: Path) -> dict[str, object]:
    """Return how a learner's JupyterLab is set, whoever starts it."""
    lab = root / OWN / "lab"
    return {
        "ServerApp.open_browser": False,
        "ServerApp.root_dir": str(root),
        "ServerApp.terminals_enabled": False,
        "LabApp.app_settings_dir": str(lab / "settings"),
        "LabApp.user_settings_dir": str(lab / "user-settings"),
        "LabApp.workspaces_dir": str(lab / "workspaces"),
        "LabApp.news_url": "",
        "LabApp.check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
        "ServerApp.kernel_websocket_connection_class": "workbook.panels.prompt.PromptConnection",
        "LabApp.extension_manager": "readonly",
        "LabApp.extra_labextensions_path": str(LABEXTENSIONS),
    }


def is_free(port: int) -> bool:
    """Say whether a server could listen at a port of this machine."""
    with socket.socket() as trial:
        try:
            trial.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def free_port(wanted: int | None) -> int:
    """Return the port to use: the one wanted, or the first free one, or raise Problem."""
    for port in [wanted] if wanted else range(FIRST_PORT, FIRST_PORT + 100):
        if is_free(port):
            return port
    said = f"port {wanted} cannot be used: another program has it, or you may not." if wanted else "no port is free."
    raise Problem(said, "leave --port out, and a free one is taken")


def run(root: Path, port: int | None, browser: bool, say: Callable[[str], None]) -> None:
    """Start JupyterLab, open the contents in the browser, and wait until it is ended from the keyboard."""
    free_port(port)  # a wish that cannot be granted is said before anything is written
    token = secrets.token_urlsafe(24)
    env = prepare(root) | {"JUPYTER_TOKEN": token}
    trust(root / contents.NAME)
    trust_lessons(root)
    say("The page is starting: some seconds, on a slow machine up to a minute.")
    with ended_by_signals():
        try:
            server, port = started(root, port, token, env)
            url = f"http://127.0.0.1:{port}/lab/tree/{contents.NAME}?token={token}"
            try:
                opened = browser and webbrowser.open(url)
                say("Your workbook is open in the browser." if opened else f"Open this address in a browser:\n  {url}")
                if opened:
                    say(f"If no page came up, open this address:\n  {url}")
                say("Leave this window open while you work. Press Ctrl+C here to end; what is saved stays saved.")
                server.wait()
            finally:
                end(server)
        except KeyboardInterrupt:
            say("Ending. What is saved stays saved.")


def started(root: Path, wanted: int | None, token: str, env: dict[str, str]) -> tuple[subprocess.Popen, int]:
    """Start JupyterLab and wait until it answers; return it and its port.

    It takes its port only seconds after we saw that it is free. Where another program was quicker, as two learners of
    one machine who begin together, it is started again at the next free one.
    """
    log = root / OWN / "server.log"
    while True:
        port = free_port(wanted)
        with log.open("wb") as out:
            server = subprocess.Popen(command(root, port), env=env, stdout=out, stderr=out, stdin=subprocess.DEVNULL)
        try:
            wait_for(server, port, token, log)
        except BaseException as stopped:
            end(server)
            if isinstance(stopped, Problem) and wanted is None and not is_free(port):
                continue
            raise
        return server, port


@contextlib.contextmanager
def ended_by_signals() -> Iterator[None]:
    """Let each signal that ends a program be as Ctrl+C, for else the server would stay behind without its parent.

    A shell without a terminal starts programs that do not hear Ctrl+C; we do. Who started us with `nohup` wants us to
    go on when the terminal closes, so a hang-up that is ignored stays ignored.
    """

    def stop(number, frame):
        raise KeyboardInterrupt

    heard = [signal.SIGINT, signal.SIGTERM]
    if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is not signal.SIG_IGN:
        heard.append(signal.SIGHUP)
    before = {one: signal.signal(one, stop) for one in heard}
    try:
        yield
    finally:
        for one, handler in before.items():
            signal.signal(one, handler)


def wait_for(server: subprocess.Popen, port: int, token: str, log: Path) -> None:
    """Wait until the server answers, or raise Problem."""
    over = time.monotonic() + PATIENCE
    while time.monotonic() < over and server.poll() is None:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/api/status?token={token}", timeout=2).close()
            return
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
    raise Problem("JupyterLab did not start.", f"what it said stands at the end of {log}")


def end(server: subprocess.Popen) -> None:
    """End the server: it ends its notebooks' kernels first, unless somebody who waits for it asks once more."""
    server.terminate()
    try:
        server.wait(15)
    except (subprocess.TimeoutExpired, KeyboardInterrupt):
        server.kill()
