"""`workbook open` leaves no JupyterLab behind, whichever signal ends it and however it was started."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import workbook
from tests.patience import ended_by_then, eventually

pytestmark = [
    pytest.mark.slow,
    pytest.mark.timeout(200),
    pytest.mark.skipif(not Path("/proc").is_dir(), reason="reads the list of processes in /proc"),
]

START = "from workbook.cli import main; main()"
IGNORING = "import signal; signal.signal(signal.SIGINT, signal.SIG_IGN); "
NOHUP = "import signal; signal.signal(signal.SIGHUP, signal.SIG_IGN); "


def those_of(folder):
    """Return the processes whose command or working folder names a learner's folder."""
    found = []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            words = (process / "cmdline").read_bytes().decode(errors="replace")
        except OSError:
            continue
        if str(folder) in words:
            found.append(int(process.name))
    return found


@pytest.fixture
def start(tmp_path):
    """Return a function that starts `workbook open` and waits for its address; what is left is ended."""
    processes, folder = [], tmp_path / "mine"

    def started(before):
        env = os.environ | {"PYTHONPATH": str(Path(workbook.__file__).parents[1]), "XDG_DATA_HOME": str(tmp_path)}
        command = [sys.executable, "-u", "-c", before + START, "open", str(folder), "--no-browser"]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=env)
        processes.append(process)
        with ended_by_then(process, 90):
            said = next((line for line in process.stdout if re.search(r"http://\S+", line)), None)
        assert said, "it did not start"
        return process, folder

    yield started
    for process in processes:
        process.kill()
        process.wait(60)
        process.stdout.close()
    for left in those_of(folder):
        os.kill(left, signal.SIGKILL)


@pytest.mark.parametrize("before", ["", IGNORING], ids=["as usual", "SIGINT ignored"])
@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_jupyterlab_with_its_parent(sent, before, start):
    process, folder = start(before)
    assert len(those_of(folder)) == 2
    process.send_signal(sent)
    said, _ = process.communicate(timeout=40)
    assert process.returncode == 0
    assert "What is saved stays saved." in said
    assert "Traceback" not in said
    assert eventually(lambda: not those_of(folder))


def test_what_nohup_started_outlives_its_terminal_and_ends_when_asked(start):
    process, folder = start(NOHUP)
    process.send_signal(signal.SIGHUP)
    time.sleep(1)
    assert process.poll() is None
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=40)
    assert eventually(lambda: not those_of(folder))
