"""How long tests wait: for something to come true, and for what another process says."""

import contextlib
import threading
import time

import psutil


def eventually(true, seconds=30):
    """Wait for something to come true; return whether it did. A loaded machine is given time."""
    over = time.monotonic() + seconds
    while time.monotonic() < over:
        if true():
            return True
        time.sleep(0.02)
    return bool(true())


def is_over(process: psutil.Process) -> bool:
    """Return whether a process has ended, whether or not somebody has asked how."""
    try:
        return process.status() == psutil.STATUS_ZOMBIE
    except psutil.NoSuchProcess:
        return True


@contextlib.contextmanager
def ended_by_then(process, seconds=60):
    """Give a process, and end it where it lives on after so many seconds: what reads from it is then at its end."""
    late = threading.Timer(seconds, process.kill)
    late.daemon = True
    late.start()
    try:
        yield process
    finally:
        late.cancel()
