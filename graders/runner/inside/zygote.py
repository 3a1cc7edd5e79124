"""The warm process in the sandbox: it forks a warden for each job, the warden a keeper, the keeper a child a notebook.

Of notebooks that can leave nothing behind, a child runs several. The zygote parses nothing that a learner wrote. A job
is two descriptors: a file with the job in it, and a socket to the host. On it the keeper hands over a pipe for each
child's results, keeper and warden tell how things ended, and its closing means "stop".
"""

import contextlib
import gc
import json
import os
import select
import signal
import socket

from . import FAULT, FINISHED, FURNISHED, OUT_OF_MEMORY, PLAIN, SCRATCH, cells, isolation

TYPE_CHECKING = False  #: a checker of types takes it for true; nothing more is imported here for types
if TYPE_CHECKING:
    import resource
    from typing import Any

DEVICES = ("/dev/null", "/dev/zero", "/dev/random", "/dev/urandom")


def main(control: int, readable: list[str]) -> None:
    """Warm up, say so, and see to jobs until the host closes its end."""
    isolation.become_nobody(SCRATCH)
    Zygote(cells.warm_shell(), readable).serve(socket.socket(fileno=control))


class Zygote:
    """A warm process that forks a warden for each job.

    A fork costs by what its process holds. So the libraries that few notebooks import are held by a second one, the
    furnished, forked from the first when a job first asks for it.
    """

    def __init__(self, shell: cells.Shell, readable: list[str]):
        self.shell, self.readable = shell, readable
        self.fence = isolation.seccomp_program(threads=isolation.counts_threads())
        self.furnished: socket.socket | None = None  #: the socket of the other

    def serve(self, host: socket.socket) -> None:
        """Say that it is ready, and fork a warden for each job until the other end is closed."""
        threads = len(os.listdir("/proc/self/task"))
        if threads != 1:  # a lock held by another thread would stay locked in every child
            raise SystemExit(f"{threads} threads are running before the first fork")
        gc.collect()
        gc.freeze()
        isolation.cheap_to_fork()
        with open("/proc/self/statm") as file:
            self.address_bytes = int(file.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")
        signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # wardens are not waited for
        host.send(b"ready")
        while True:
            message, handed, _, _ = socket.recv_fds(host, 16, 2)
            if not message:
                return
            with contextlib.suppress(OSError):  # no room for one more process: the host sees that it was not begun
                if message == FURNISHED:
                    self.pass_on(host, handed)
                elif os.fork() == 0:
                    host.close()
                    Warden(self, *handed).serve()
            for descriptor in handed:
                os.close(descriptor)

    def pass_on(self, host: socket.socket, job: list[int]) -> None:
        """Hand a job to the furnished process, which is forked where there is none, or none any more.

        It is not waited for: it takes the job when it is warm, and other jobs are seen to meanwhile.
        """
        if self.furnished is not None:
            try:
                socket.send_fds(self.furnished, [PLAIN], job)
                return
            except OSError:
                self.furnished.close()
        self.furnished, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        if os.fork() == 0:
            for descriptor in (*job, host.detach(), self.furnished.detach()):
                os.close(descriptor)
            gc.unfreeze()
            try:
                cells.furnish(self.shell)
                self.serve(theirs)
            finally:
                os._exit(0)
        theirs.close()
        socket.send_fds(self.furnished, [PLAIN], job)


class Warden:
    """Sees one job to its end from outside its namespaces: watches the clock, and tells the host how it ended."""

    def __init__(self, zygote: Zygote, job: int, host: int):
        self.zygote, self.job, self.host = zygote, job, socket.socket(fileno=host)

    def serve(self) -> None:
        """Run one job. Never returns."""
        try:
            self.tell(self.guard())
        except BaseException as fault:
            self.tell({"why": "fault", "said": str(fault)})
        finally:
            os._exit(0)

    def tell(self, message: dict[str, object]) -> None:
        self.host.send(json.dumps(message).encode())

    def guard(self) -> dict[str, object]:
        """Fork the keeper, see it to its end, and return how that was."""
        self.host.send(b"begun")
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        with open(self.job, "rb") as file:
            job = json.load(file)
        isolation.own_namespaces()
        keeper = os.fork()
        if keeper == 0:
            self.keep(job)
        why = self.wait(os.pidfd_open(keeper), job["seconds"])
        os.kill(keeper, signal.SIGKILL)  # process 1 of its namespace: all it started goes with it
        return ending(why, os.wait4(keeper, 0))

    def wait(self, keeper: int, seconds: float) -> str:
        """Wait for the keeper to end, the host to hang up, or the time to be over; say which."""
        poll = select.poll()
        poll.register(keeper, select.POLLIN)
        poll.register(self.host, select.POLLRDHUP)
        events = dict(poll.poll(seconds * 1000))
        if keeper in events:
            return "ended"
        return "stopped" if events else "time"

    def keep(self, job: "dict[str, Any]") -> None:
        """Run the sheets, each group in a process and with a pipe of its own. Never returns.

        It never runs a learner's code, and no learner's code can end it: a process 1 takes no signal from its own.
        Where a group is cut short, the host sends the rest of it anew.
        """
        code = FAULT
        try:
            isolation.die_with_parent()
            isolation.own_session()
            isolation.deaf_to_signals()
            isolation.first_to_go()
            isolation.own_mounts(DEVICES)
            sheets, first = list(enumerate(job["sheets"])), 0
            for size in job["groups"]:
                group = [(number, sheet) for number, sheet in sheets[first : first + size] if sheet["cells"]]
                first += size
                if group and self.see_to(group, job["limits"]) != FINISHED and len(group) > 1:
                    break
            code = FINISHED
        except OSError as fault:
            self.tell({"why": "fault", "said": str(fault)})
        finally:
            os._exit(code)

    def see_to(self, group: "list[cells.Numbered]", limits: "dict[str, Any]") -> int:
        """Run some sheets to their end in one process, tell the host how that was, and return its exit code."""
        reading, writing = os.pipe()
        socket.send_fds(self.host, [b"sheet"], [reading])
        os.close(reading)
        child = os.fork()
        if child == 0:
            self.run_child(group, limits, writing)
        os.close(writing)
        told = ending("process", os.wait4(child, 0))
        isolation.end_the_rest()
        self.tell(told)
        code: int = told["code"]
        return code

    def run_child(self, group: "list[cells.Numbered]", limits: "dict[str, Any]", results: int) -> None:
        """Put up the fences, innermost last, and run a group of notebooks. Never returns."""
        code = FAULT
        try:
            signal.signal(signal.SIGINT, signal.default_int_handler)  # as a kernel has it
            isolation.die_with_parent()
            isolation.own_session()
            isolation.own_scratch(SCRATCH, limits["scratch_bytes"])
            os.chdir(SCRATCH)
            isolation.limit(
                limits["cpu_seconds"],
                self.zygote.address_bytes + limits["memory_bytes"],
                limits["scratch_bytes"],
                limits["threads"],
            )
            isolation.drop_capabilities()
            isolation.landlock(self.zygote.readable, [SCRATCH], DEVICES)
            results = isolation.close_descriptors(keep=results)
            isolation.seccomp(self.zygote.fence)
            code = cells.run_all(self.zygote.shell, group, limits, results)
        except MemoryError:
            code = OUT_OF_MEMORY
        except OSError as fault:  # a fence that would not go up, told while there is a way to tell it
            self.tell({"why": "fault", "said": str(fault)})
        finally:
            os._exit(code)


def ending(why: str, waited: "tuple[int, int, resource.struct_rusage]") -> "dict[str, Any]":
    """Return what is told of a process that has been waited for."""
    _, status, usage = waited
    return {"why": why, "code": os.waitstatus_to_exitcode(status), "cpu": usage.ru_utime + usage.ru_stime}
