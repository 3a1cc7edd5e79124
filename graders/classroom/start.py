"""How a learner's server starts under the hub: the own handout is fetched and laid out, then JupyterLab begins.

It runs as the learner, in the learner's home, which is for its owner only. Nothing a learner did is written over, and
a handout that cannot be fetched keeps nobody from working.
"""

import os
import sys
import tempfile
from pathlib import Path

from graders.desk import classroom
from workbook.problems import Problem
from workbook.quick_start import without_grammar
from workbook.server import contents, folder, jupyter, opening
from workbook.terminal import echo

IDLE = 3600
"""Seconds after which a kernel that does nothing ends, and a server without kernels."""


def laid_out(root: Path) -> None:
    """Bring a learner's folder up to date with the own handout, or without it where it does not come; say so."""
    handout: dict[str, bytes] = {}
    try:
        with tempfile.TemporaryDirectory() as place:
            archive = Path(place) / "handout.zip"
            archive.write_bytes(classroom.fetched())
            _, handout = folder.unpacked(archive)
    except (Problem, OSError) as problem:
        echo(f"No handout: {problem}")
    laid = folder.lay_out(root, handout)
    opening.tell(laid, echo)
    for line in contents.lay(root, in_classroom=True):
        echo(line)


NOT_NEEDED = ("notebook", "notebook_shim")
"""What this environment brings along beside what no learner needs: memory and seconds, thirty times."""
SOCKET_NAME = len("/kernel-00000000-0000-0000-0000-000000000000-ipc-5")
LONGEST_WAY = 107
"""Of a socket in the file system, by Linux."""


def place_for_sockets(home: Path) -> Path:
    """Return a folder, the learner's alone, in which kernels' sockets have names that are short enough."""
    place = home / ".jupyter-run"
    if len(os.fsencode(place)) + SOCKET_NAME > LONGEST_WAY:
        return Path(tempfile.mkdtemp(prefix="jupyter-"))
    place.mkdir(mode=0o700, exist_ok=True)
    return place


def main() -> None:
    """Lay the folder out and become the learner's server."""
    os.umask(0o077)
    without_grammar()
    root = Path.home() / "rework-workbook"
    root.mkdir(mode=0o700, exist_ok=True)
    root.chmod(0o700)
    try:
        laid_out(root)
    except (Problem, OSError) as problem:  # as on a full disk: what is there can still be opened
        echo(f"The folder is as it was: {problem}")
    env = jupyter.prepare(root, *NOT_NEEDED) | {"JUPYTER_RUNTIME_DIR": str(place_for_sockets(Path.home()))}
    jupyter.trust(root / contents.NAME)
    jupyter.trust_lessons(root)
    settings = jupyter.settings(root) | {
        "KernelManager.transport": "ipc",  # no port of the machine that another account could listen to
        "MappingKernelManager.cull_idle_timeout": IDLE,
        "ServerApp.shutdown_no_activity_timeout": IDLE,
    }
    os.chdir(root)
    options = [f"--{name}={value}" for name, value in settings.items()]
    server = [sys.executable, "-P", "-m", "workbook.quick_start", "jupyterhub.singleuser", *options]
    os.execve(sys.executable, server, env)


if __name__ == "__main__":
    main()
