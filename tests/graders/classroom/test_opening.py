"""What is missing for a classroom is one line and what to do; nothing is made silently."""

import os
import pwd
import socket
from pathlib import Path
from types import SimpleNamespace

import pytest

from graders.classroom import opening
from graders.classroom.configuration import Room, fill
from tests.graders.classroom_served import free_block
from workbook.problems import Problem

ROOM = Room("/state", "/spring", "/spring-inbox", "teacher", ("amber", "birch"), "/proxy", "127.0.0.1", 8000)


def refused(function, *arguments):
    with pytest.raises(Problem) as problem:
        function(*arguments)
    return f"{problem.value} {problem.value.tip}"


def test_only_root_may(monkeypatch):
    monkeypatch.setattr(opening.os, "geteuid", lambda: 1000)
    assert "run the same with sudo" in refused(opening.refuse_this_machine)


def test_a_workbook_that_learners_cannot_run_is_named(monkeypatch):
    monkeypatch.setattr(opening.os, "geteuid", lambda: 0)
    monkeypatch.setattr(opening.importlib.util, "find_spec", lambda name: name)
    monkeypatch.setattr(opening, "closed_to_others", lambda: iter([Path("/root")]))
    assert "/root is closed to other users" in refused(opening.refuse_this_machine)


def test_solutions_that_learners_could_read_are_named(monkeypatch, tmp_path):
    monkeypatch.setattr(opening.os, "geteuid", lambda: 0)
    monkeypatch.setattr(opening.importlib.util, "find_spec", lambda name: name)
    monkeypatch.setattr(opening, "closed_to_others", lambda: iter([]))
    monkeypatch.setattr(opening.paths, "HERE", tmp_path / "workbook")
    (tmp_path / "pyproject.toml").touch()
    (tmp_path / "solutions").mkdir()
    (tmp_path / "solutions").chmod(0o755)  # whatever this account's files are by default
    assert f"chmod 700 {tmp_path / 'solutions'}" in refused(opening.refuse_this_machine)
    (tmp_path / "solutions").chmod(0o700)
    opening.refuse_this_machine()


def test_passwords_do_not_go_over_a_network_in_clear(monkeypatch, tmp_path):
    monkeypatch.setattr(opening, "refuse_this_machine", lambda: None)
    words = refused(opening.open_, tmp_path, 8000, "0.0.0.0", None, None, None, True, print)
    assert "--certificate FILE --key FILE" in words


def test_no_cohort_and_roots_cohort_are_refused(tmp_path, monkeypatch):
    assert "is no cohort folder" in refused(opening.owner, tmp_path)
    (tmp_path / "cohort.toml").touch()
    monkeypatch.setattr(opening.pwd, "getpwuid", lambda number: pwd.getpwnam("root"))
    assert "chown -R INSTRUCTOR" in refused(opening.owner, tmp_path)


def test_a_missing_node_and_a_missing_proxy_say_how_to_install(monkeypatch, tmp_path):
    monkeypatch.setattr(opening.shutil, "which", lambda name: None)
    assert "apt-get install nodejs npm" in refused(opening.proxy, tmp_path / "spring")
    monkeypatch.setattr(opening.shutil, "which", lambda name: "/usr/bin/node" if name == "node" else None)
    assert f"npm install --prefix {tmp_path}" in refused(opening.proxy, tmp_path / "spring")


def test_each_port_that_is_taken_is_named_by_what_it_is_for():
    port = free_block()
    with socket.create_server(("127.0.0.1", port + 3)):
        room = Room(*list(ROOM.__dict__.values())[:7], port)
        assert f"port {port + 3}, for the service" in refused(opening.refuse_taken, room)


def test_a_cohort_whose_reading_never_ends_is_one_line(monkeypatch):
    def never(*_, timeout, **__):
        raise opening.subprocess.TimeoutExpired("ready", timeout)

    monkeypatch.setattr(opening.subprocess, "run", never)
    words = refused(opening.asked_as_instructor, ROOM, pwd.getpwuid(os.getuid()))
    assert "reading /spring was not done in 300 seconds" in words
    assert "graders sheets /spring" in words


def test_accounts_are_not_made_but_the_commands_are_told(tmp_path, monkeypatch):
    open_home = SimpleNamespace(pw_dir=str(tmp_path), pw_uid=tmp_path.stat().st_uid or 1)
    known = {"amber": open_home, "chief": SimpleNamespace(pw_dir="/root", pw_uid=0)}
    monkeypatch.setattr(opening.pwd, "getpwnam", known.__getitem__)
    tmp_path.chmod(0o755)
    lines = list(opening.accounts(["amber", "birch", "cedar@x"], {"cedar@x": "Cedar"}))
    assert any(f"chmod 700 {tmp_path}" in line for line in lines)
    assert any(line.strip().startswith("useradd --create-home") and "birch && passwd birch" in line for line in lines)
    assert any("'cedar@x' cannot be an account's name: give Cedar one" in line for line in lines)
    assert "root's rights" in refused(lambda: list(opening.accounts(["chief"], {})))


class Config(dict):
    """As much of a configuration as is filled: any section, any setting."""

    def __getattr__(self, name):
        return self.setdefault(name, Config())

    def __setattr__(self, name, value):
        self[name] = value


def test_the_hub_lets_in_the_learners_and_starts_our_service_as_the_instructor():
    config = Config()
    fill(config, ROOM)
    assert config.Authenticator.allowed_users == {"amber", "birch"}
    assert config.Authenticator.admin_users == set()
    (service,) = config.JupyterHub.services
    assert service["user"] == "teacher"
    assert config.JupyterHub.hub_bind_url.startswith("http://127.0.0.1:")
    assert "/spring" not in str(config.Spawner)


def test_the_written_configuration_is_roots_alone_and_reads_a_file_of_ones_own_last(tmp_path):
    own = tmp_path / "own.py"
    own.touch()
    path = opening.written(ROOM, tmp_path / "state", own)
    assert path.parent.stat().st_mode & 0o077 == 0
    assert path.read_text().rstrip().endswith(f"load_subconfig({str(own)!r})")
    assert "is no file" in refused(opening.written, ROOM, tmp_path / "state", tmp_path / "none.py")
