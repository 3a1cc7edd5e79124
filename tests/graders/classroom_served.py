"""A real classroom for tests: accounts of this machine, a cohort, the hub with its proxy, and our service.

All runs in a mount namespace of its own, in which a closed folder on the way to the interpreter is open, and solutions
are shut, as on a machine where the workbook is installed as it should be.
"""

import contextlib
import http.cookiejar
import json
import os
import pwd
import secrets
import shlex
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from graders.classroom import opening
from workbook import paths

ROOT = paths.HERE.parent
PEOPLE = ("amber", "birch", "cedar")
LATER = "dahlia"
"""Has an account, and is not on the list when the classroom starts."""
PASSWORD = secrets.token_urlsafe(12)


def why_not() -> str | None:
    """Return why no classroom can be started here, or None."""
    if os.geteuid() != 0:
        return "only root can make accounts and start servers under them"
    for program in ("useradd", "chpasswd", "unshare", "runuser"):
        if shutil.which(program) is None:
            return f"{program} is missing"
    if shutil.which("node") is None:
        return "node is missing"
    if shutil.which(opening.PROXY) is None:
        return f"the hub's proxy is missing: npm install -g {opening.PROXY}"
    try:
        import jupyterhub  # noqa: F401
    except ImportError:
        return "the hub is missing: pip install -e '.[classroom]'"
    trial = subprocess.run(["unshare", "--mount", "true"], capture_output=True, timeout=120)
    return "this machine allows no mount namespace" if trial.returncode else None


@dataclass
class Served:
    """A classroom while it runs."""

    folder: Path
    port: int
    accounts: dict[str, str]
    process: subprocess.Popen
    tokens: dict[str, str] = field(default_factory=dict)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def service(self) -> str:
        return f"{self.url}/services/classroom/"

    @property
    def direct(self) -> str:
        """The service past the proxy: any account of the machine reaches its port."""
        return f"http://127.0.0.1:{self.port + 3}/services/classroom/"

    @property
    def root(self) -> Path:
        return self.folder / "spring"

    @property
    def inbox(self) -> Path:
        return self.folder / "spring-inbox"

    def home(self, learner: str) -> Path:
        return Path(pwd.getpwnam(self.accounts[learner]).pw_dir)

    def log(self) -> str:
        return (self.folder / "hub.log").read_text(errors="replace")

    def as_(self, learner: str, *command: str, **named) -> subprocess.CompletedProcess:
        """Run a command under a learner's or the instructor's account, inside the classroom's mounts."""
        enter = ["nsenter", "--mount", f"--target={self.process.pid}"]
        words = [*enter, "runuser", "-u", self.accounts[learner], "--", "env", f"HOME={self.home(learner)}", *command]
        return subprocess.run(words, capture_output=True, text=True, cwd="/", timeout=120, **named)

    def python(self, learner: str, code: str) -> subprocess.CompletedProcess:
        return self.as_(learner, sys.executable, "-c", code)

    def token(self, learner: str) -> str:
        """Return a token of a learner's own, as the hub's page of tokens makes one."""
        if learner not in self.tokens:
            session = Session(self, learner)
            path = f"/hub/api/users/{self.accounts[learner]}/tokens"
            self.tokens[learner] = json.loads(session.api("POST", path, {"note": "tests"}))["token"]
        return self.tokens[learner]


class Session:
    """Somebody's browser, without the browser."""

    def __init__(self, served: Served, learner: str, password: str = PASSWORD, name: Callable[[str], str] = str):
        self.served, self.name = served, name(served.accounts[learner])
        self.cookies = http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(self.cookies), urllib.request.ProxyHandler({})
        )
        self.opener.open(f"{served.url}/hub/login").read()
        fields = {"username": self.name, "password": password, "_xsrf": self.xsrf()}
        body = urllib.parse.urlencode(fields).encode()
        self.landed = self.opener.open(f"{served.url}/hub/login?next=/hub/home", body).url

    def xsrf(self) -> str:
        return next(one.value for one in self.cookies if one.name == "_xsrf" and one.path.startswith("/hub"))

    def api(self, method: str, path: str, body: object = None) -> str:
        headers = {
            "X-XSRFToken": self.xsrf(),
            "Content-Type": "application/json",
            "Referer": f"{self.served.url}/hub/home",
        }
        data = json.dumps(body).encode() if body is not None else None
        request = urllib.request.Request(f"{self.served.url}{path}", data, headers, method=method)
        return self.opener.open(request, timeout=60).read().decode()

    def get(self, url: str, **headers: str):
        """Return status, headers and text of a page, redirects followed."""
        request = urllib.request.Request(url, headers={"Accept": "text/html", **headers})
        try:
            with self.opener.open(request, timeout=60) as reply:
                return reply.status, reply.headers, reply.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.headers, error.read().decode()


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *arguments):
        return None


def ask(url: str, token: str = "", method: str = "GET", body: bytes | None = None, **headers: str):
    """Ask with a token, and follow nowhere; return status, headers and bytes."""
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    if token:
        sent["Authorization"] = f"token {token}"
    request = urllib.request.Request(url, body, sent, method=method)
    try:
        with urllib.request.build_opener(urllib.request.ProxyHandler({}), _NoRedirect).open(
            request, timeout=60
        ) as reply:
            return reply.status, reply.headers, reply.read()
    except urllib.error.HTTPError as error:
        return error.code, error.headers, error.read()


def free_block() -> int:
    """Return the first of four ports that are free."""
    for port in range(21000 + os.getpid() % 5000, 60000, 4):
        try:
            with contextlib.ExitStack() as held:
                for place in range(4):
                    held.enter_context(socket.socket()).bind(("127.0.0.1", port + place))
        except OSError:
            continue
        return port
    raise AssertionError("no free ports")


def opened_ways() -> str:
    """Return shell commands that open, in a mount namespace, the closed folders on the way to what must be reached."""
    lines = ["set -e", "mount --make-rprivate /"]
    ways = opening.ways_needed()
    for number, shut in enumerate(opening.closed_to_others()):
        hold = f"/tmp/.rework-held-{os.getpid()}-{number}"
        inside = {shut / way.relative_to(shut).parts[0] for way in ways if shut in way.parents}
        lines += [f"mkdir -p {hold}", f"mount --bind {shlex.quote(str(shut))} {hold}"]
        lines += [f"mount -t tmpfs -o mode=0755 none {shlex.quote(str(shut))}"]
        for one in sorted(inside):
            held = shlex.quote(f"{hold}/{one.name}")
            there = shlex.quote(str(one))
            lines += [f"if [ -d {held} ]; then mkdir -p {there}; mount --bind {held} {there}; fi"]
        lines += [f"umount -l {hold}", f"rmdir {hold}"]
    lines += [f"mount -t tmpfs -o mode=0700 none {shlex.quote(str(ROOT / 'solutions'))}"]
    return "\n".join(lines)


@contextlib.contextmanager
def accounts(folder: Path, names: Sequence[str]) -> Iterator[dict[str, str]]:
    """Make accounts of this machine, homes in a folder of ours, and take them away at the end."""
    mark = f"rw{os.getpid() % 100000}"
    made = {}
    try:
        for name in names:
            account = f"{mark}-{name}"
            homes = ["--base-dir", str(folder), "--create-home", "--key", "HOME_MODE=0700"]
            shell = ["--shell", "/usr/sbin/nologin"]  # as the command prints it: nobody logs in but through the hub
            subprocess.run(["useradd", *homes, *shell, account], check=True, capture_output=True, timeout=120)
            made[name] = account
        lines = "".join(f"{account}:{PASSWORD}\n" for account in made.values())
        subprocess.run(["chpasswd"], input=lines, text=True, check=True, capture_output=True, timeout=120)
        yield made
    finally:
        for account in made.values():
            subprocess.run(["userdel", account], capture_output=True, timeout=120)


def a_cohort(folder: Path, made: dict[str, str], people: Sequence[str]) -> Path:
    """Hand out two exercises of one topic to learners, as the instructor, whose account owns the cohort."""
    from graders.cohort.roster import Learner
    from graders.handout import handing_out

    learners = [Learner(one, f"{one.title()} (invented)", others=(("hub", made[one]),)) for one in people]
    cohort = handing_out.make(
        learners, folder / "spring", ("profile",), "Spring (invented)", {"profile": ("read-the-log", "bead-lag")}
    )
    give(cohort.root, made["teacher"])
    return cohort.root


def give(root: Path, account: str) -> None:
    """Give a folder and all in it to an account, for its owner only."""
    subprocess.run(["chown", "-R", f"{account}:{account}", str(root)], check=True, timeout=120)
    subprocess.run(["chmod", "-R", "go=", str(root)], check=True, timeout=120)


def command(folder: Path, port: int, *more: str) -> list[str]:
    """Return the command that starts the classroom, inside its mounts."""
    cohort, state = str(folder / "spring"), str(folder / "state")
    start = [sys.executable, "-m", "graders", "classroom", cohort, "--port", str(port), "--state", state, *more]
    return ["unshare", "--mount", "sh", "-c", f"{opened_ways()}\nexec {shlex.join(start)}"]


@contextlib.contextmanager
def classroom(people: Sequence[str] = PEOPLE) -> Iterator[Served]:
    """A classroom with learners and an instructor, until it ends by Ctrl+C."""
    with tempfile.TemporaryDirectory(prefix="rework-class-", dir="/var/tmp", ignore_cleanup_errors=True) as place:
        folder = Path(place)
        folder.chmod(0o755)
        with accounts(folder, (*people, LATER, "teacher")) as made:
            a_cohort(folder, made, people)
            shutil.chown(folder, made["teacher"])  # the inbox is made beside the cohort
            with started(folder, made) as served:
                yield served


@contextlib.contextmanager
def started(folder: Path, made: dict[str, str]) -> Iterator[Served]:
    """The classroom's processes, until they are ended."""
    port = free_block()
    with (folder / "hub.log").open("ab") as log:
        process = subprocess.Popen(command(folder, port), stdout=log, stderr=log, stdin=subprocess.DEVNULL)
    served = Served(folder, port, made, process)
    try:
        wait_for(served)
        yield served
    finally:
        process.send_signal(signal.SIGINT)
        try:
            process.wait(60)
        except subprocess.TimeoutExpired:
            process.kill()


def wait_for(served: Served, patience: float = 60) -> None:
    """Wait until hub and service answer."""
    over = time.monotonic() + patience
    while time.monotonic() < over:
        if served.process.poll() is not None:
            raise AssertionError(served.log()[-3000:])
        try:
            if ask(f"{served.url}/hub/api/")[0] == 200 and ask(f"{served.direct}handout")[0] == 401:
                return
        except OSError:
            pass
        time.sleep(0.1)
    raise AssertionError(served.log()[-3000:])
