"""What `graders classroom` does: look whether a machine can keep learners apart, say what is missing, start the hub.

It runs as root, who alone can start a server under a learner's own account. Whatever touches the cohort is asked of
the service, under the instructor's account: root neither reads a cohort nor runs a sheet of it.
"""

import importlib.util
import json
import os
import pwd
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, replace
from pathlib import Path

from graders.classroom.configuration import LOOPBACK, Room
from graders.cohort.paths import inbox_beside
from workbook import paths
from workbook.problems import Problem
from workbook.terminal import in_shell

STATE = Path("/var/lib/rework-classroom")
PROXY = "configurable-http-proxy"
READING_SECONDS = 300
"""How long the cohort may take to be read, with the sheets of its own."""
AN_ACCOUNT = re.compile(r"[a-z_][a-z0-9_.-]{0,31}")
"""How a Linux account may be called."""
CONFIGURATION = """\
# Written anew by each `graders classroom`. What you want otherwise goes into a file of yours: --config FILE.
from graders.classroom.configuration import Room, fill

fill(get_config(), Room(**{room!r}))  # noqa: F821
{more}"""


def open_(
    cohort: Path,
    port: int,
    address: str,
    tls: tuple[Path, Path] | None,
    more: Path | None,
    state: Path | None,
    only_look: bool,
    say: Callable[[str], None],
) -> None:
    """Start the hub, its proxy and our service for a cohort; nothing comes back from it. Or raise Problem."""
    refuse_this_machine()
    if address != LOOPBACK and tls is None:
        raise Problem(
            f"passwords would cross the network unencrypted at {address}.",
            "give a certificate and its key: --certificate FILE --key FILE; or leave --address out, and put a server "
            "of yours with a certificate before it",
        )
    root = cohort.resolve()
    instructor = owner(root)
    folder = (state or STATE / root.name).resolve()
    room = Room(
        state=str(folder),
        cohort=str(root),
        inbox=str(inbox_beside(root)),
        instructor=instructor.pw_name,
        learners=(),
        proxy=proxy(folder),
        address=address,
        port=port,
        certificate=str(tls[0].resolve()) if tls else "",
        key=str(tls[1].resolve()) if tls else "",
    )
    refuse_taken(room)
    told = asked_as_instructor(room, instructor)
    people = told["learners"]
    room = replace(room, learners=tuple(one["hub"] for one in people))
    say(f"{told['title']}: {len(people)} learners. What is handed in: {room.inbox}")
    for line in accounts(room.learners, {one["hub"]: one["name"] for one in people}):
        say(line)
    if only_look:
        say("All is ready. Start without --check.")
        return
    configuration = written(room, folder, more)
    say(f"Learners go to {room.url} and log in with their account of this machine. Some seconds until it answers.")
    say("Press Ctrl+C to end it and their servers; what they saved stays saved.")
    say(f"Then: graders mark {in_shell(root)} {in_shell(room.inbox)}")
    sys.stdout.flush()
    command = [sys.executable, "-m", "workbook.quick_start", "jupyterhub", "--config", str(configuration)]
    os.chdir(folder)
    os.execve(sys.executable, command, {**os.environ, "PYTHONSAFEPATH": "1"})


def refuse_this_machine() -> None:
    """Raise Problem for a machine on which a hub cannot keep learners apart."""
    if not sys.platform.startswith("linux"):
        raise Problem("a classroom needs Linux: each learner's server runs under an account of the machine.", "")
    if os.geteuid() != 0:
        raise Problem(
            "only root can start each learner's server under that learner's own account.",
            f"run the same with sudo: sudo {in_shell(sys.argv[0])} classroom ...; the cohort stays the instructor's",
        )
    if importlib.util.find_spec("jupyterhub") is None:
        raise Problem("the hub is not installed.", "pip install 'rework-workbook[classroom]'")
    shut = next(closed_to_others(), None)
    if shut is not None:
        raise Problem(
            f"learners cannot run the workbook: {shut} is closed to other users.",
            "install it where all may read, such as an environment in /opt",
        )
    solutions = paths.HERE.parent / "solutions"
    if (paths.HERE.parent / "pyproject.toml").is_file() and _others_may(solutions, 0o5):
        raise Problem(
            f"learners could read {solutions}.",
            f"run: chmod 700 {in_shell(solutions)}; or install the workbook as a wheel, which has no solutions",
        )


def closed_to_others() -> Iterator[Path]:
    """Yield the folders on the way to the interpreter and to our packages that other users may not enter."""
    ways = ways_needed()
    seen: dict[Path, None] = {}
    for way in ways:
        seen |= dict.fromkeys(reversed(way.parents))
    yield from (folder for folder in seen if not _others_may(folder, 0o1))


def ways_needed() -> list[Path]:
    """Return what a learner's server must reach: the interpreter, its library and all that it imports from."""
    python = Path(sys.executable)
    imported = [Path(entry).resolve() for entry in sys.path if entry and Path(entry).exists()]
    return [python, python.resolve(), *imported, paths.HERE]


def _others_may(path: Path, bits: int) -> bool:
    return path.exists() and path.stat().st_mode & bits == bits


def owner(root: Path) -> pwd.struct_passwd:
    """Return the account of the instructor, whose cohort it is, or raise Problem."""
    if not (root / "cohort.toml").is_file():
        raise Problem(
            f"{root} is no cohort folder.", f"make one with: graders handout ROSTER.csv --to {in_shell(root)}"
        )
    try:
        account = pwd.getpwuid(root.stat().st_uid)
    except KeyError:
        raise Problem(f"{root} belongs to nobody of this machine.", "chown -R it to the instructor's account") from None
    if account.pw_uid == 0:
        raise Problem(
            f"{root} belongs to root, and learners' parcels are not opened as root.",
            f"give it to the instructor's account: chown -R INSTRUCTOR {root}",
        )
    return account


def proxy(state: Path) -> str:
    """Return the proxy's program, or raise Problem saying how it is installed."""
    if shutil.which("node") is None:
        raise Problem("node is missing, which the hub's proxy runs in.", "apt-get install nodejs npm")
    place = state.parent
    ours = place / "node_modules" / ".bin" / PROXY
    found = str(ours) if ours.is_file() else shutil.which(PROXY)
    if found is None:
        raise Problem(
            "the hub's proxy is missing.", f"npm install --prefix {place} {PROXY}@5 (or @4 for a node before 20)"
        )
    return found


def refuse_taken(room: Room) -> None:
    """Raise Problem for a port that another program has, or that cannot be."""
    for what, port in room.ports.items():
        with socket.socket() as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((room.address if what == "page" else LOOPBACK, port))
            except (OSError, OverflowError) as error:
                why = error.strerror if isinstance(error, OSError) else "no such port"
                raise Problem(
                    f"port {port}, for the {what}, cannot be used: {why}.",
                    "name another with --port; it and the three after it must be free",
                ) from None


def asked_as_instructor(room: Room, account: pwd.struct_passwd) -> dict:
    """Return what the service says of the cohort, under the instructor's account, or raise Problem with its words."""
    groups = os.getgrouplist(account.pw_name, account.pw_gid)
    try:
        asked = subprocess.run(
            [sys.executable, "-m", "graders.classroom.ready"],
            user=account.pw_uid,
            group=account.pw_gid,
            extra_groups=groups,
            cwd="/",
            env=plain_environment(account) | {"REWORK_COHORT": room.cohort, "REWORK_INBOX": room.inbox},
            capture_output=True,
            text=True,
            timeout=READING_SECONDS,
        )
    except subprocess.TimeoutExpired:
        raise Problem(
            f"reading {room.cohort} was not done in {READING_SECONDS} seconds.",
            f"a sheet of its own may never end: as {account.pw_name}, run graders sheets {in_shell(room.cohort)}",
        ) from None
    if asked.returncode == 0:
        return json.loads(asked.stdout)
    said = asked.stderr.strip().splitlines() or ["it said nothing"]
    error = next((line for line in said if line.startswith("ERROR  ")), said[-1])
    tip = next((line for line in said if line.startswith("TIP    ")), "")
    raise Problem(error.removeprefix("ERROR  "), tip.removeprefix("TIP    "))


def plain_environment(account: pwd.struct_passwd) -> dict[str, str]:
    """Return an environment of another account: nothing of root's but where programs are."""
    kept = {name: os.environ[name] for name in ("PATH", "LANG", "LC_ALL", "PYTHONPATH") if name in os.environ}
    return kept | {"HOME": account.pw_dir, "USER": account.pw_name, "LOGNAME": account.pw_name}


def accounts(names: Sequence[str], people: dict[str, str]) -> Iterator[str]:
    """Yield a line for each learner without an account, and for each home that others may look into."""
    missing = []
    for name in names:
        try:
            account = pwd.getpwnam(name)
        except KeyError:
            missing.append(name)
            continue
        home = Path(account.pw_dir)
        if account.pw_uid == 0:
            raise Problem(f"{name} is an account with root's rights.", "give the learner an account of their own")
        if not home.is_dir():
            yield f"CHECK  {name} has no home; run: mkhomedir_helper {name} 0077"
        elif home.stat().st_mode & 0o077 or home.stat().st_uid != account.pw_uid:
            yield f"CHECK  others may look into {home}; run: chown {name} {home} && chmod 700 {home}"
    sound = [name for name in missing if AN_ACCOUNT.fullmatch(name)]
    if missing:
        yield f"CHECK  {len(missing)} of {len(names)} learners have no account here. Commands that make them:"
    for name in sound:
        yield f"       useradd --create-home --key HOME_MODE=0700 --shell /usr/sbin/nologin {name} && passwd {name}"
    for name in missing:
        if name not in sound:
            yield f"CHECK  {name!r} cannot be an account's name: give {people[name]} one in the column hub"


def written(room: Room, folder: Path, more: Path | None) -> Path:
    """Write the hub's configuration into its folder, which is root's alone, and return it."""
    if more is not None and not more.is_file():
        raise Problem(f"{more} is no file.", "name a file with settings of JupyterHub")
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    os.chmod(folder, 0o700)
    path = folder / "jupyterhub_config.py"
    half = path.with_suffix(".writing")
    text = CONFIGURATION.format(room=asdict(room), more=f"load_subconfig({str(more.resolve())!r})\n" if more else "")
    half.write_text(text, encoding="utf-8")
    os.replace(half, path)
    return path
