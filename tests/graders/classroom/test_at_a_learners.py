"""The learner's side: a file is kept whatever becomes of it, and a start lays out without writing over."""

import contextlib
import json
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest

from graders.classroom import start
from graders.desk import classroom
from tests.graders.inbox.parcels import answered
from workbook.problems import Problem


@contextlib.contextmanager
def service(monkeypatch, status, body):
    """A classroom that answers so; yields the parcels it was sent."""
    came = []

    class Answers(BaseHTTPRequestHandler):
        def do_POST(self):
            came.append(self.rfile.read(int(self.headers["Content-Length"])))
            self._answer()

        def _answer(self):
            self.send_response(status)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        do_GET = _answer

        def log_message(self, *words):
            pass

    server = HTTPServer(("127.0.0.1", 0), Answers)
    threading.Thread(target=server.serve_forever).start()
    monkeypatch.setenv(classroom.ADDRESS, f"http://127.0.0.1:{server.server_port}/services/classroom/")
    monkeypatch.setenv(classroom.TOKEN, "t")
    try:
        yield came
    finally:
        server.shutdown()
        server.server_close()


@pytest.fixture
def mine(made, tmp_path):
    """A learner's folder with one handed-out exercise, answered."""
    path = tmp_path / "mine" / "profile" / "04_bead-lag.ipynb"
    path.parent.mkdir(parents=True)
    path.write_bytes(answered(made, "amber"))
    return tmp_path / "mine"


def kept(mine, ending):
    return sorted((mine / classroom.KEPT).glob(f"*{ending}"))


def test_a_hub_that_is_down_leaves_the_file_and_says_where(mine, monkeypatch):
    monkeypatch.setenv(classroom.ADDRESS, "http://127.0.0.1:9/services/classroom/")
    monkeypatch.setenv(classroom.TOKEN, "t")
    with pytest.raises(Problem, match="NOT handed in: the classroom does not answer") as failed:
        list(classroom.hand_in(mine))
    (file,) = kept(mine, ".zip")
    assert f"Your file is kept: handed-in/{file.name}" in failed.value.tip
    assert kept(mine, ".txt") == []


@pytest.mark.parametrize(
    ("status", "body", "words"),
    [
        (413, b'{"say": "The file is too large."}', "NOT handed in: The file is too large."),
        (429, b'{"say": "Wait 5 minutes."}', "NOT handed in: Wait 5 minutes."),
        (502, b"<html>bad gateway</html>", "NOT handed in: the classroom could not take it"),
        (200, b"<html>a login page</html>", "NOT handed in for certain"),
        (200, b'{"say": "yes"}', "NOT handed in for certain"),
    ],
)
def test_whatever_is_answered_but_a_receipt_is_told_as_not_handed_in(mine, monkeypatch, status, body, words):
    with service(monkeypatch, status, body), pytest.raises(Problem) as failed:
        list(classroom.hand_in(mine))
    assert words in str(failed.value)
    assert len(kept(mine, ".zip")) == 1
    assert kept(mine, ".txt") == []


def test_a_receipt_is_kept_beside_the_file_it_is_of(mine, monkeypatch):
    reply = json.dumps({"say": "Handed in.", "digest": "0" * 64}).encode()
    with service(monkeypatch, 200, reply) as came:
        lines = list(classroom.hand_in(mine))
    ((file,), (receipt,)) = kept(mine, ".zip"), kept(mine, ".txt")
    assert came == [file.read_bytes()]
    assert receipt.read_text().startswith("Handed in.\n")
    assert "with what was not taken" in lines[-1]


def test_a_start_keeps_what_the_learner_did_and_starts_without_a_classroom_too(made, tmp_path, monkeypatch):
    monkeypatch.setattr(classroom.time, "sleep", lambda seconds: None)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    root = tmp_path / "rework-workbook"
    with service(monkeypatch, 200, made.handout_of("amber").read_bytes()):
        start.laid_out(root)
    work = root / "profile" / "04_bead-lag.ipynb"
    work.write_bytes(answered(made, "amber"))
    before = work.read_bytes()
    with service(monkeypatch, 200, made.handout_of("amber").read_bytes()):
        start.laid_out(root)
    monkeypatch.setenv(classroom.ADDRESS, "http://127.0.0.1:9/")
    start.laid_out(root)
    assert work.read_bytes() == before
    assert b'data-classroom=\\"hand-in\\"' in (root / "start.ipynb").read_bytes()


def test_sockets_have_short_names_however_long_a_home_is(tmp_path):
    """Linux allows a socket's name 107 bytes: unix(7)."""
    for home in (tmp_path, tmp_path / ("x" * 90)):
        home.mkdir(exist_ok=True)
        place = start.place_for_sockets(home)
        assert len(str(place)) + start.SOCKET_NAME <= 107
        assert place.stat().st_mode & 0o077 == 0
