"""What is bound into the sandbox, what is hidden in it, and what the machine must allow."""

import ctypes
import ctypes.util
import json
import os
import platform
import shutil
import struct
import subprocess
import sys
import tempfile
from importlib.machinery import ModuleSpec
from pathlib import Path

import pytest

from graders.runner import bwrap
from graders.runner import contained as host
from graders.runner.contained import Contained, why_not
from graders.runner.inside import MACHINES, isolation
from graders.runner.job import Cell, Sheet

HOUSE = Path(bwrap.__file__).parents[2]
SIX_TIMES_SEVEN = Sheet("trial", (Cell("answer = 6 * 7"), Cell("", report=("answer",))))


def peek(runner, source):
    """Return what the expression is inside."""
    (sheet,) = runner.run([Sheet("peek", (Cell(f"loot = {source}"), Cell("", report=("loot",))))])
    return sheet.cells[-1].answers["loot"]


@pytest.mark.contained
def test_installed_graders_and_printed_notebooks_are_hidden_and_the_workbook_is_not(contained, tmp_path, monkeypatch):
    site = tmp_path / "site-packages"
    for folder in ("graders/sheets", "exercises", "solutions", "workbook/exercises", "workbook/bench"):
        (site / folder).mkdir(parents=True)
        (site / folder / "file.txt").write_text("the key")
    for name in ("workbook/__init__.py", "workbook/bench/__init__.py"):
        (site / name).write_text("here = True")
    monkeypatch.syspath_prepend(str(site))
    spec = ModuleSpec("workbook", None, origin=str(site / "workbook/__init__.py"))
    monkeypatch.setattr(bwrap, "find_spec", lambda name: spec)
    other = tmp_path / "other" / "lib"
    shutil.copytree(site, other / "python3.9/site-packages")
    monkeypatch.setattr(bwrap, "SYSTEM", (*bwrap.SYSTEM, str(other)))
    with Contained() as runner:
        for place in (site, Path(bwrap.ROOM), other / "python3.9/site-packages"):
            for name in ("graders", "exercises", "solutions", "workbook/exercises"):
                assert peek(runner, f"[*__import__('pathlib').Path({str(place / name)!r}).glob('*')]") == []
        assert peek(runner, "__import__('workbook.bench').bench.here") is True
        assert peek(runner, f"open({str(site / 'workbook/bench/file.txt')!r}).read()") == "the key"


@pytest.mark.contained
def test_nothing_of_the_clone_is_bound_but_the_workbook(contained):
    arguments = bwrap.command("bwrap", 9, bwrap.AS_USER)
    bound = [arguments[i + 1] for i, word in enumerate(arguments) if word in ("--ro-bind", "--dev-bind", "--bind")]
    in_the_clone = [path for path in bound if Path(path).is_relative_to(HOUSE) and "site-packages" not in path]
    assert sorted(in_the_clone) == sorted([str(HOUSE / "workbook"), str(bwrap.INSIDE)])
    assert not any(HOUSE.is_relative_to(path) for path in bound)
    assert "--bind" not in arguments


@pytest.mark.contained
@pytest.mark.parametrize("program", bwrap.bwraps())
def test_each_bubblewrap_at_hand_will_do(program, contained, monkeypatch):
    monkeypatch.setattr(bwrap, "bwraps", lambda: [program])
    with Contained() as runner:
        assert runner.run([SIX_TIMES_SEVEN])[0].cells[1].answers == {"answer": 42}


@pytest.mark.contained
def test_an_ordinary_user_can_contain_too(contained):
    python = Path("/usr/bin/python3")
    version = f"import sys; sys.exit(sys.version_info[:2] != {sys.version_info[:2]})"
    if os.getuid() != 0:
        pytest.skip("every test here is run by an ordinary user already")
    if not python.exists() or subprocess.run([python, "-c", version], timeout=120).returncode:
        pytest.skip(f"needs {python} of the same version as this Python, which another user may not read")
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        subprocess.run([python, "-m", "venv", "--without-pip", f"{folder}/venv"], check=True, timeout=120)
        (site,) = Path(folder, "venv/lib").glob("*/site-packages")
        (site / "borrowed.pth").write_text("\n".join([*bwrap.site_folders(), str(HOUSE)]))
        script = (
            "import json\nfrom graders.runner.contained import *\nfrom graders.runner.job import *\n"
            "with Contained() as runner:\n"
            "    sheet, = runner.run([Sheet('s', (Cell('import os; a = os.getuid()'), Cell('', ('a',))))])\n"
            "    print(json.dumps([sheet.ended, sheet.cells[1].answers]))"
        )
        done = subprocess.run(
            [f"{folder}/venv/bin/python", "-c", script],
            user=65534,
            group=65534,
            extra_groups=[],
            cwd="/",
            env={},
            capture_output=True,
            text=True,
            timeout=120,
        )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == ["finished", {"a": 65534}]


CLOSING = (
    "import os, threading\nuser = os.getuid()\n"
    "try: os.chmod('/dev/null', 0)\nexcept OSError as refused: why = refused.strerror\n"
    "started = False\ntry: threading.Thread(target=print).start(); started = True\nexcept RuntimeError: pass\n"
)


@pytest.mark.contained
@pytest.mark.parametrize("way", bwrap.ways(), ids=len)
def test_inside_it_is_nobody_and_no_device_can_be_closed_whichever_way_it_starts(way, contained, monkeypatch):
    monkeypatch.setattr(bwrap, "ways", lambda: [way])
    mode = os.stat("/dev/null").st_mode
    with Contained() as runner:
        (sheet,) = runner.run([Sheet("closes", (Cell(CLOSING), Cell("", report=("user", "why"))))])
    assert sheet.cells[-1].answers == {"user": 65534, "why": "Read-only file system"}
    assert os.stat("/dev/null").st_mode == mode


@pytest.mark.contained
def test_root_of_a_container_that_may_not_mount_is_nobody_inside_and_starts_no_threads(contained):
    container = [shutil.which("unshare") or "unshare", "--user", "--map-root-user"]
    if subprocess.run([*container, "true"], capture_output=True, timeout=120).returncode:
        pytest.skip("needs unshare of util-linux, to be such a root")
    script = (
        "import json, os\nfrom graders.runner.contained import *\nfrom graders.runner.job import *\n"
        "assert os.getuid() == 0\nwith Contained() as runner:\n"
        f"    cells = Cell({CLOSING!r}), Cell('', ('user', 'why', 'started'))\n"
        "    sheet, = runner.run([Sheet('s', cells)])\n    print(json.dumps([sheet.ended, sheet.cells[-1].answers]))"
    )
    done = subprocess.run(
        [*container, sys.executable, "-c", script], cwd=HOUSE, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == ["finished", {"user": 65534, "why": "Read-only file system", "started": False}]


def test_a_system_that_is_not_linux_is_told_so_by_a_module_that_can_be_imported_there():
    script = (
        "import sys\nsys.modules.update(fcntl=None, resource=None)\n"
        "from graders.runner.contained import why_not\nsys.platform = 'win32'\nprint(why_not())"
    )
    said = subprocess.run(
        [sys.executable, "-c", script], cwd=HOUSE, capture_output=True, text=True, check=True, timeout=120
    ).stdout
    assert said.strip() == "Strangers' notebooks can be walled off on Linux only."


def test_a_machine_without_bubblewrap_is_told_how_to_get_it(monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(platform, "machine", lambda: "x86_64")
    monkeypatch.setattr(bwrap, "bwraps", list)
    assert "install it" in why_not.__wrapped__()


@pytest.mark.contained
@pytest.mark.timeout(60)
def test_whatever_keeps_bubblewrap_from_starting_is_said_and_not_waited_for(contained, monkeypatch):
    def strange(*_, **__):
        raise ValueError("embedded null byte")

    monkeypatch.setattr(subprocess, "Popen", strange)
    with pytest.raises(host.CannotContain, match="could not be started: embedded null byte"):
        host.Sandbox()


@pytest.mark.contained
def test_a_machine_that_forbids_namespaces_is_told_in_the_words_of_bubblewrap(contained, tmp_path, monkeypatch):
    refusing = tmp_path / "bwrap"
    refusing.write_text("#!/bin/sh\necho 'bwrap: No permissions to create new namespace' >&2\nexit 1\n")
    refusing.chmod(0o755)
    monkeypatch.setattr(bwrap, "bwraps", lambda: [str(refusing)])
    monkeypatch.setattr(host, "forbidding_setting", lambda: "kernel.unprivileged_userns_clone = 0")
    reason = why_not.__wrapped__()
    assert "No permissions to create new namespace" in reason
    assert "kernel.unprivileged_userns_clone = 0" in reason
    assert reason.count("\n") == 0


# --- the list of system calls


def decide(program, architecture, call, first=0, second=0):
    """Run a filter as the kernel would, on one call; return its action."""
    steps = [struct.unpack_from("HBBI", program, at) for at in range(0, len(program), 8)]
    data = {0: call, 4: architecture, 16: first, 24: second}
    at = value = 0
    while True:
        code, if_so, if_not, constant = steps[at]
        at += 1
        if code == isolation.RETURN:
            return constant
        if code == isolation.LOAD:
            value = data[constant]
        else:
            so = {
                isolation.EQUAL: value == constant,
                isolation.AT_LEAST: value >= constant,
                isolation.ANY_BIT: value & constant,
            }[code]
            at += if_so if so else if_not


@pytest.mark.parametrize("machine", MACHINES)
def test_the_filter_allows_what_is_listed_and_nothing_else(machine):
    column, name = MACHINES[machine]
    program = isolation.seccomp_program(machine)
    allowed = set(isolation.numbers(isolation.ALLOWED, column).values())
    special = isolation.numbers(isolation.ONLY_WITH, column)
    assert allowed.isdisjoint(special.values())
    for call in range(700):
        if call not in special.values():
            refusal = isolation.NO_SUCH_CALL if call >= isolation.FIRST_SHARED_NUMBER else isolation.NO_PERMISSION
            assert decide(program, name, call) == (isolation.ALLOW if call in allowed else refusal)
    assert decide(program, name, special["clone"], first=17) == isolation.NO_PERMISSION
    assert decide(program, name, special["clone"], first=0x3D0F00) == isolation.ALLOW
    assert decide(program, name, special["socketpair"], first=2) == isolation.NO_PERMISSION
    assert decide(program, name, special["socketpair"], first=1) == isolation.ALLOW
    assert decide(program, name, special["ioctl"], second=0x5412) == isolation.NO_PERMISSION  # typing into a terminal
    assert decide(program, name, special["ioctl"], second=0x5401) == isolation.ALLOW
    assert decide(program, name, special["prctl"], first=22) == isolation.NO_PERMISSION
    for locks_leases_and_notices in (6, 7, 8, 37, 38, 1024, 1026):
        assert decide(program, name, special["fcntl"], second=locks_leases_and_notices) == isolation.NO_PERMISSION
    assert decide(program, name, special["fcntl"], second=1030) == isolation.ALLOW  # a copy of a descriptor
    assert decide(program, name, special["prlimit64"], first=0) == isolation.ALLOW
    assert decide(program, name, special["prlimit64"], first=1) == isolation.NO_PERMISSION  # another's limits
    assert decide(program, name ^ 1, 0) == isolation.KILL
    assert decide(program, name, 0x40000000) == isolation.NO_SUCH_CALL  # the 32-bit calls of a 64-bit machine


@pytest.mark.parametrize("machine", MACHINES)
def test_the_numbers_of_system_calls_are_those_libseccomp_knows(machine):
    path = ctypes.util.find_library("seccomp")
    if path is None or shutil.which("ldconfig") is None:
        pytest.skip("libseccomp is not installed")
    resolve = ctypes.CDLL(path).seccomp_syscall_resolve_name_arch
    column, name = MACHINES[machine]
    for table in (isolation.ALLOWED, isolation.ONLY_WITH):
        for call, number in isolation.numbers(table, column).items():
            assert resolve(ctypes.c_uint32(name), call.encode()) == number, call
