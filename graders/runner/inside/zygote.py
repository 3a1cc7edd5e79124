"""The warm process in the sandbox: it forks a warden for each job, and each warden a child that runs the notebooks.

The zygote parses nothing that a learner wrote. A job is three descriptors: a file with the job in it, the pipe for
results, and a socket to the host on which the warden tells how the child ended, and whose closing means "stop".
"""

import contextlib
import gc
import json
import os
import select
import signal
import socket

from . import FAULT, OUT_OF_MEMORY, SCRATCH, cells, isolation

DEVICES = ("/dev/null", "/dev/zero", "/dev/random", "/dev/urandom")


def main(control, readable):
    """Warm up, say so, and fork a warden for each job until the host closes its end."""
    shell = cells.warm_shell()
    fence = isolation.seccomp_program()
    with open("/proc/self/statm") as file:
        address_bytes = int(file.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    threads = len(os.listdir("/proc/self/task"))
    if threads != 1:  # a lock held by another thread would stay locked in every child
        raise SystemExit(f"{threads} threads are running before the first fork")
    gc.collect()
    gc.freeze()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # wardens are not waited for
    host = socket.socket(fileno=control)
    host.send(b"ready")
    while True:
        message, handed, _, _ = socket.recv_fds(host, 16, 3)
        if not message:
            return
        with contextlib.suppress(OSError):  # no room for one more process: the host sees that it was not begun
            if os.fork() == 0:
                host.close()
                Warden(shell, fence, readable, address_bytes, *handed).serve()
        for descriptor in handed:
            os.close(descriptor)


class Warden:
    """Puts one child behind its fences, watches the clock, and tells the host how the child ended."""

    def __init__(self, shell, fence, readable, address_bytes, job, results, host):
        self.shell, self.fence, self.readable, self.address_bytes = shell, fence, readable, address_bytes
        self.job, self.results, self.host = job, results, socket.socket(fileno=host)

    def serve(self):
        """Run one job. Never returns."""
        try:
            told = self.guard()
        except BaseException as fault:
            told = {"why": "fault", "said": str(fault)}
        try:
            self.host.send(json.dumps(told).encode())
        finally:
            os._exit(0)

    def guard(self):
        """Fork the child, see it to its end, and return how that was."""
        self.host.send(b"begun")
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        with open(self.job, "rb") as file:
            job = json.load(file)
        isolation.own_namespaces()
        child = os.fork()
        if child == 0:
            self.run_child(job)
        os.close(self.results)
        why = self.wait(os.pidfd_open(child), job["seconds"])
        os.kill(child, signal.SIGKILL)  # process 1 of its namespace: all it started goes with it
        _, status, usage = os.wait4(child, 0)
        return {"why": why, "code": os.waitstatus_to_exitcode(status), "cpu": usage.ru_utime + usage.ru_stime}

    def wait(self, child, seconds):
        """Wait for the child to end, the host to hang up, or the time to be over; say which."""
        poll = select.poll()
        poll.register(child, select.POLLIN)
        poll.register(self.host, select.POLLIN | select.POLLRDHUP)
        events = dict(poll.poll(seconds * 1000))
        if child in events:
            return "ended"
        return "stopped" if events else "time"

    def run_child(self, job):
        """Put up the fences, innermost last, and run the notebooks. Never returns."""
        code = FAULT
        try:
            isolation.die_with_parent()
            isolation.own_session()
            limits = job["limits"]
            isolation.own_mounts(SCRATCH, limits["scratch_bytes"])
            os.chdir(SCRATCH)
            isolation.limit(limits["cpu_seconds"], self.address_bytes + limits["memory_bytes"], limits["scratch_bytes"])
            isolation.drop_capabilities()
            isolation.landlock(self.readable, [SCRATCH], DEVICES)
            results = isolation.close_descriptors(keep=self.results)
            isolation.seccomp(self.fence)
            code = cells.run(self.shell, job, results)
        except MemoryError:
            code = OUT_OF_MEMORY
        except OSError as fault:  # a fence that would not go up, told while there is a way to tell it
            self.host.send(json.dumps({"why": "fault", "said": str(fault)}).encode())
        finally:
            os._exit(code)
