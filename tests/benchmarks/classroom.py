"""How long a class waits that opens at once, and what memory a learner takes: the real hub, accounts and servers.

``python -m tests.benchmarks.classroom 30``, as root. Each learner logs in, gets a server with the own handout laid
out, loads the page and starts one kernel. Memory is what a process has of its own and its share of what is shared.
"""

import argparse
import asyncio
import json
import os
import pwd
import signal
import statistics
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

from tests.graders import classroom_served
from tests.graders.classroom_served import Served, Session, ask


def opened(room: Served, learner: str, begin: float) -> tuple[float, float]:
    """Log in and open the workbook; return the seconds until the page was there, and until its kernel answered."""
    name = room.accounts[learner]
    session = Session(room, learner)
    room.tokens[learner] = token = room.token(learner)
    session.api("POST", f"/hub/api/users/{name}/server")
    base = f"{room.url}/user/{name}/"
    while ask(f"{base}api/status", token)[0] != 200:
        time.sleep(0.5)
    ask(f"{base}lab/tree/start.ipynb", token)
    there = time.monotonic() - begin
    reply = ask(f"{base}api/kernels", token, "POST", b"{}", Content_Type="application/json")
    asyncio.run(answered(f"{base}api/kernels/{json.loads(reply[2])['id']}/channels", token))
    return there, time.monotonic() - begin


async def answered(url: str, token: str) -> None:
    """Wait until a kernel answers what it is, as the page does before it runs anything."""
    header = {"msg_id": "1", "msg_type": "kernel_info_request", "session": "s", "username": "", "version": "5.3"}
    sent = {"Authorization": f"token {token}"}
    connection = await websocket_connect(HTTPRequest(url.replace("http", "ws", 1), headers=sent, connect_timeout=120))
    rest = {"parent_header": {}, "metadata": {}, "content": {}, "channel": "shell", "buffers": []}
    await connection.write_message(json.dumps({"header": header} | rest))
    while "kernel_info_reply" not in str(await connection.read_message()):
        pass
    connection.close()


def processor(user: str) -> float:
    """Return the seconds of a core that an account's processes have used."""
    listed = subprocess.run(["ps", "-u", user, "-o", "cputimes="], capture_output=True, text=True, timeout=120)
    return sum(map(float, listed.stdout.split()))


def megabytes(user: str, words: str) -> list[float]:
    """Return the memory of each of an account's processes that was started with some words [MB]."""
    number, found = pwd.getpwnam(user).pw_uid, []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if process.stat().st_uid != number or words not in (process / "cmdline").read_text().replace("\0", " "):
                continue
            lines = (process / "smaps_rollup").read_text().splitlines()
        except OSError:
            continue
        found.append(sum(int(line.split()[1]) for line in lines if line.startswith("Pss:")) * 1024 / 1e6)
    return found


def main() -> None:
    """Print the seconds and the megabytes."""
    parser = argparse.ArgumentParser(description=__doc__)
    signal.signal(signal.SIGTERM, lambda *signalled: sys.exit(1))  # accounts and hub go, however it ends
    parser.add_argument("learners", type=int, nargs="?", default=30)
    many = parser.parse_args().learners
    people = [f"learner{number}" for number in range(many)]
    with classroom_served.classroom(people) as room:
        begin = time.monotonic()
        with ThreadPoolExecutor(many) as crowd:
            waited = list(crowd.map(lambda one: opened(room, one, begin), people))
        load = os.getloadavg()[0]
        each = [processor(room.accounts[one]) for one in people]
        print(f"processor: {statistics.mean(each):.1f} s of a core a learner", flush=True)
        for what, seconds in zip(("page", "kernel"), zip(*waited, strict=True), strict=True):
            middle = statistics.median(seconds)
            print(f"{what}: first {min(seconds):.0f} s, middle {middle:.0f} s, last {max(seconds):.0f} s")
        time.sleep(5)
        for what, words in (("server", "singleuser"), ("kernel", "workbook.kernel")):
            each = [sum(megabytes(room.accounts[one], words)) for one in people]
            print(f"{what}: {statistics.mean(each):.0f} MB a learner")
        hub = [sum(megabytes("root", words)) for words in ("jupyterhub --config", "configurable-http-proxy")]
        service = sum(megabytes(room.accounts["teacher"], "classroom.service"))
        print(f"hub {hub[0]:.0f} MB, proxy {hub[1]:.0f} MB, service {service:.0f} MB")
        print(f"{many} learners, {os.cpu_count()} cores, load {load:.0f}")


if __name__ == "__main__":
    main()
