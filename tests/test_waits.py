"""Nothing waits without a bound: whatever waits for another process, thread or machine says for how long at most.

What needs none is listed with its reason, so that a new wait has to give one or the other.
"""

import ast
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LATE = "ended_by_then"
"""Inside it a process is ended in time, so what reads from it comes to an end."""

NEEDS_NONE = {
    "workbook/server/jupyter.py": {"server.wait()": "as long as the learner works; a signal ends it"},
    "graders/words/server.py": {"asyncio.Event().wait()": "serves until it is stopped"},
    "graders/classroom/service.py": {"asyncio.Event().wait()": "serves until the hub ends it"},
    "workbook/terminal.py": {"input": "a person types"},
    "graders/classroom/hand_in.py": {"fcntl.flock": "who holds it writes one parcel; the system lets go of it"},
    "graders/cluster/meeting.py": {"channel.recv": "settimeout stands in the line above"},
    "graders/cluster/worker.py": {"ended.join()": "its sentinel has said that it ended"},
    "graders/marking/sharing.py": {
        "future.result()": "it is done",
        "pool.submit(os.getpid).result()": "a new process, whose end breaks the pool",
        "pool.submit(task, item).result()": "marking has limits of its own, and its process's end breaks the pool",
    },
    "graders/runner/contained.py": {
        "process.wait()": "a thread of its own that keeps the sandbox, for as long as that lives",
        "self.keeper.join()": "what it keeps has just been killed",
        "started.result()": "the thread sets it, or what went wrong",
        "self.control.recv": "settimeout stands in the line above",
        "socket.recv_fds": "poll has said that there is something",
    },
    "graders/runner/inside/isolation.py": {"os.wait": "every process left here has just been killed"},
    "graders/runner/inside/zygote.py": {
        "socket.recv_fds": "the host's next job; its end closes the socket",
        "os.wait4": "killed just before; and the warden's clock ends the keeper with its child",
    },
    "tests/graders/cluster/test_cluster.py": {
        "self.server.accept()": "a daemon thread, until the server is closed",
        "a.recv": "a daemon thread, until the connection is cut",
    },
    "tests/graders/cluster/test_meeting.py": {"server.accept()": "a daemon thread, until the server is closed"},
    "tests/graders/runner/test_runner_hostile.py": {"door.accept()": "a daemon thread, until the door is closed"},
}


def named(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def waits(call: ast.Call) -> str | None:
    """Return how a call that may wait for ever is written, in short."""
    name, on = named(call), ast.unparse(call.func.value) if isinstance(call.func, ast.Attribute) else ""
    bound = any(word.arg in ("timeout", None) for word in call.keywords)
    whole = f"{on}.{name}" if on else name
    if name in ("communicate", "wait", "join", "result", "get", "acquire", "accept") and on != "os":
        return None if call.args or bound else f"{whole}()"
    if on == "subprocess" and name in ("run", "call", "check_call", "check_output"):
        return None if bound else whole
    if name in ("urlopen", "HTTPConnection", "HTTPSConnection"):
        return None if bound else whole
    if name == "create_connection":
        return None if bound or len(call.args) > 1 else whole
    if on == "os" and name.startswith("wait") and name != "waitstatus_to_exitcode":
        return None if "WNOHANG" in ast.unparse(call) else whole
    if name == "flock":
        return None if any(flag in ast.unparse(call) for flag in ("LOCK_NB", "LOCK_UN")) else whole
    if name in ("read", "readline", "readlines") and on.endswith(("stdout", "stderr")):
        return whole
    return whole if name in ("recv", "recv_fds", "recvmsg", "input") else None


def without_a_bound(node: ast.AST, late: bool = False) -> list[str]:
    """Return the waits of a piece of code that give no bound; reading from a process that is ended in time has one."""
    found = []
    if isinstance(node, ast.With):
        entered = [ast.unparse(item.context_expr) for item in node.items]
        found += [one for one in entered if one.startswith("subprocess.Popen(")]  # which waits at the block's end
        late = late or any(one.startswith(LATE) for one in entered)
    if isinstance(node, ast.Call) and (said := waits(node)):
        found += [said] if not (late and "stdout" in said) else []
    if isinstance(node, ast.For | ast.comprehension) and ast.unparse(node.iter).endswith(("stdout", "stderr")):
        found += [ast.unparse(node.iter)] if not late else []
    return found + [one for child in ast.iter_child_nodes(node) for one in without_a_bound(child, late)]


def test_whatever_waits_says_how_long_or_why_it_may():
    found = {}
    for room in ("workbook", "graders", "tests"):
        for path in sorted((ROOT / room).rglob("*.py")):
            if not {"fixtures", "benchmarks"} & set(path.parts):  # a benchmark is watched by who started it
                said = without_a_bound(ast.parse(path.read_text(encoding="utf-8")))
                if said:
                    found[path.relative_to(ROOT).as_posix()] = set(said)
    assert found == {file: set(reasons) for file, reasons in NEEDS_NONE.items()}


def test_the_look_for_waits_sees_each_kind():
    endless = (
        "subprocess.run(words)",
        "subprocess.check_output(words)",
        "process.wait()",
        "process.communicate()",
        "thread.join()",
        "queue.get()",
        "future.result()",
        "lock.acquire()",
        "urllib.request.urlopen(address)",
        "socket.create_connection(where)",
        "http.client.HTTPConnection(host, port)",
        "process.stdout.readline()",
        "[line for line in process.stdout]",
        "os.waitpid(child, 0)",
        "fcntl.flock(file, fcntl.LOCK_EX)",
        "with subprocess.Popen(words) as process: pass",
    )
    assert [code for code in endless if not without_a_bound(ast.parse(code))] == []
    bound = (
        "subprocess.run(words, timeout=9)",
        "process.wait(9)",
        "', '.join(words)",
        "settings.get('name')",
        "urllib.request.urlopen(address, timeout=9)",
        "with ended_by_then(process): process.stdout.readline()",
        "os.waitpid(child, os.WNOHANG)",
    )
    assert [code for code in bound if without_a_bound(ast.parse(code))] == []
