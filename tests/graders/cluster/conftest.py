"""One scheduler and its workers for all tests of the cluster, on this machine and by TLS."""

import contextlib
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from graders.runner import contained
from workbook.problems import Problem

BIN = Path(sys.executable).parent
LYING = Path(__file__).with_name("lying_worker.py")


@pytest.fixture(scope="session")
def authority():
    from tests.graders.cluster.certificates import Authority

    return Authority()


@contextlib.contextmanager
def running(folder, *command, **environment):
    """Run a command until the end of the block; what it says is in a file of its name. Ended with all it started."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "said.txt").open("w") as said:
        process = subprocess.Popen(
            [str(word) for word in command],
            stdout=said,
            stderr=said,
            env={**os.environ, **environment},
            start_new_session=True,
        )
    try:
        yield process
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait(60)


def free_port():
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


@pytest.fixture(scope="session")
def scheduler(authority, tmp_path_factory):
    """Where a scheduler is, started as DEVELOPERS.md says."""
    from graders.cluster.meeting import Meeting

    folder, port = tmp_path_factory.mktemp("scheduler"), free_port()
    own = authority.folder(folder / "certificates")
    pems = ["--tls-ca-file", own / "ca.pem", "--tls-cert", own / "cert.pem", "--tls-key", own / "key.pem"]
    at = ["--host", "127.0.0.1", "--port", port, "--no-dashboard"]
    command = [BIN / "dask", "scheduler", "--protocol", "tls", *pems, *at]
    with running(folder, *command, DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES="2"):
        where = Meeting.at(f"tls://127.0.0.1:{port}", authority.folder(folder / "driver"))
        for _ in range(300):
            with contextlib.suppress(Problem):
                where.try_out()
                break
            time.sleep(0.1)
        yield where


@pytest.fixture(scope="session")
def workers(scheduler, authority, tmp_path_factory):
    """Two workers as anybody starts them: the process that keeps them."""
    if contained.why_not():
        pytest.skip(contained.why_not())
    folder = tmp_path_factory.mktemp("workers")
    own = authority.folder(folder / "certificates")
    command = [BIN / "graders", "worker", scheduler.address, "--certificates", own, "--processes", 2]
    with running(folder, *command) as process:
        yield process


@pytest.fixture(scope="session")
def _liars(scheduler, authority, tmp_path_factory):
    folder = tmp_path_factory.mktemp("liars")
    own, name = authority.folder(folder / "certificates"), "a worker that lies"
    command = [sys.executable, LYING, scheduler.address, own, 2]
    with contextlib.ExitStack() as stack:
        yield (
            folder,
            lambda: stack.enter_context(running(folder, *command, EVIL=str(folder / "evil"), DECLARED=name)),
            name,
        )


@pytest.fixture
def liars(_liars, monkeypatch):
    """Two workers that a notebook gets the better of, and work for such ones only; the folder they leave things in."""
    from graders.cluster import edition

    folder, start, name = _liars
    if not _RUNNING or _RUNNING[-1].poll() is not None:
        _RUNNING.append(start())
    monkeypatch.setattr(edition, "name", lambda: name)
    return folder


_RUNNING: list[subprocess.Popen] = []
