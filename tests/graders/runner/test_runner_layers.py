"""Each fence is taken away in turn: what then gets through shows what it was for, and what holds shows the next one.

The fences are those of `inside.isolation`; a copy of `inside` with some of them emptied stands in for the real one.
"""

import shutil
from concurrent.futures import ThreadPoolExecutor

import pytest

from graders.runner import bwrap
from graders.runner.contained import Contained
from graders.runner.inside import isolation
from graders.runner.job import Cell, Limits, Sheet

pytestmark = pytest.mark.contained

EMPTIED = {
    "system calls": "def seccomp(*_): pass",
    "landlock": "def landlock(*_): pass",
    "capabilities": "def drop_capabilities(): prctl(NO_NEW_PRIVILEGES, 1)",
    "limits": "def limit(*_): pass",
    "mounts": "def own_mounts(*_): pass\n\n\ndef own_scratch(*_): pass",
    "namespaces": "def own_namespaces(): pass\n\n\ndef end_the_rest(): pass",
    "session": "def own_session(): pass",
    "descriptors": "def close_descriptors(keep): return keep",
}
REACHED = "signal the process that forked it"  # which takes none as long as it is process 1 of its namespace
PROBES = {
    "fork": "import os\npid = os.fork()\nif pid == 0: os._exit(0)\nloot = pid > 0",
    "make a socket": "import socket\nsocket.socket()\nloot = True",
    "reach the host": "import socket\nsocket.create_connection(('127.0.0.1', 22), 1)\nloot = True",
    "list the root folder": "import os\nloot = 'usr' in os.listdir('/')",
    "write over a library": "import numpy\nopen(numpy.__file__, 'a')\nloot = True",
    "write in the root folder": "open('/x', 'w')\nloot = True",
    "see the processes": "import os\nloot = '1' in os.listdir('/proc')",
    "see the file of the child before": "import os\nloot = os.path.exists('left-behind')",
    REACHED: "import os\nos.kill(os.getppid() or 99999, 0)\nloot = True",
    "be in the zygote's process group": "import os\nloot = os.getpgrp() != os.getpid()",
    "mount": "import ctypes\nloot = ctypes.CDLL(None).mount(b't', b'/scratch', b'tmpfs', 0, 0) == 0",
    "take half a gigabyte": "loot = len(bytes(1 << 29)) > 0",
    "find the warden's socket": """
import os, stat
def is_socket(number):
    try: return stat.S_ISSOCK(os.fstat(number).st_mode)
    except OSError: return False
loot = any(is_socket(number) for number in range(64))""",
}
#: With these fences away, these probes get through, and no other does.
GETS_THROUGH = {
    (): (),
    ("system calls",): ("fork", "make a socket"),
    ("landlock",): ("list the root folder", REACHED),
    ("capabilities",): (),
    ("capabilities", "system calls", "landlock"): ("fork", "make a socket", "list the root folder", "mount", REACHED),
    ("limits",): ("take half a gigabyte",),
    ("mounts",): ("see the file of the child before",),
    ("mounts", "landlock"): (
        "see the file of the child before",
        "list the root folder",
        "see the processes",
        REACHED,
    ),
    ("namespaces", "mounts"): ("see the file of the child before",),
    ("namespaces", "mounts", "landlock"): (
        "see the file of the child before",
        "list the root folder",
        "see the processes",
        REACHED,
    ),
    ("session",): ("be in the zygote's process group",),
    ("descriptors",): ("find the warden's socket",),
}


@pytest.mark.parametrize("away", GETS_THROUGH, ids=lambda away: "-and-".join(away).replace(" ", "-") or "none-away")
def test_without(away, contained, tmp_path, monkeypatch):
    if isolation.landlock_version() < 6:
        pytest.skip("this kernel's Landlock does not scope signals yet, so the second line is thinner")
    inside = tmp_path / "inside"
    shutil.copytree(bwrap.INSIDE, inside, ignore=shutil.ignore_patterns("__pycache__"))
    with open(inside / "isolation.py", "a") as file:
        file.writelines(f"\n\n{EMPTIED[fence]}\n" for fence in away)
    monkeypatch.setattr(bwrap, "INSIDE", inside)
    jobs = [[Sheet(name, (Cell(source), Cell("", report=("loot",))))] for name, source in PROBES.items()]
    few = Limits(memory_bytes=1 << 28, cell_seconds=5)
    with Contained() as runner:
        runner.run([Sheet("leaves a file", (Cell("open('left-behind', 'w').close()"),))])
        with ThreadPoolExecutor(2) as pool:
            outcomes = pool.map(lambda job: runner.run(job, limits=few)[0], jobs)
        got = {outcome.name: outcome.cells[-1].answers for outcome in outcomes}
    through = {name for name, answers in got.items() if answers and answers["loot"] is True}
    assert through == set(GETS_THROUGH[away])
