"""Where driver and workers meet is by TLS, or on this machine; what is wrong is one line before anything is tried."""

import contextlib
import socket
import ssl
import threading
from datetime import timedelta

import pytest

pytest.importorskip("distributed", reason="the extra cluster is missing: pip install -e '.[cluster]'")

from graders.cluster.meeting import Meeting
from tests.graders.cluster.certificates import Authority
from workbook.problems import Problem


@pytest.fixture(scope="module")
def authority():
    return Authority()


@pytest.fixture
def folder(authority, tmp_path):
    return authority.folder(tmp_path / "certificates")


def refused(address, folder=None):
    with pytest.raises(Problem) as problem:
        Meeting.at(address, folder)
    said = str(problem.value)
    assert "\n" not in said
    assert problem.value.tip
    return said


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("marking.example:8786", "no scheme"),
        ("8786", "no scheme"),
        ("tls://marking.example", "needs a host and a port"),
        ("tls://:8786", "needs a host and a port"),
        ("tls://marking.example:port", "no address"),
        ("tls://marking.example:8786/x", "a host and a port only"),
        ("tcp://marking.example:8786", "without encryption"),
        ("tcp://192.0.2.7:8786", "without encryption"),
        ("tcp://127.0.0.1.example:8786", "without encryption"),
        ("ucx://127.0.0.1:8786", "cannot be used here"),
        ("tls://127.0.0.1:8786", "needs certificates"),
    ],
)
def test_an_address_that_will_not_do_is_one_line(address, words):
    assert words in refused(address)


def test_plain_is_for_this_machine_only():
    for address in ("tcp://127.0.0.1:8786", "tcp://localhost:8786", "tcp://[::1]:8786"):
        assert Meeting.at(address, None).address == address


def test_sound_certificates_are_taken(folder):
    assert Meeting.at("tls://marking.example:8786", folder).address == "tls://marking.example:8786"


@pytest.mark.parametrize("name", ["ca.pem", "cert.pem", "key.pem"])
def test_a_file_that_is_missing_or_is_no_certificate_is_named(name, folder):
    (folder / name).write_text("nothing of the kind")
    assert name in refused("tls://marking.example:8786", folder)
    (folder / name).unlink()
    assert f"{name} cannot be read" in refused("tls://marking.example:8786", folder)
    (folder / name).mkdir()  # root may read any file; nobody reads a folder as one
    assert f"{name} cannot be read" in refused("tls://marking.example:8786", folder)


def test_a_certificate_out_of_date_is_said_with_its_dates(authority, tmp_path):
    old = authority.folder(tmp_path / "old", lasts=-timedelta(hours=1))
    assert "cert.pem is out of date: it is valid from" in refused("tls://marking.example:8786", old)


def test_a_certificate_of_another_authority_is_said(folder, tmp_path):
    other = Authority().folder(tmp_path / "other")
    (folder / "cert.pem").write_bytes((other / "cert.pem").read_bytes())
    assert "no certificate of the authority" in refused("tls://marking.example:8786", folder)


def test_anothers_key_or_one_with_a_password_is_said(authority, folder, tmp_path):
    closed = authority.folder(tmp_path / "closed", password=b"a word")
    assert "has a password" in refused("tls://marking.example:8786", closed)
    (folder / "key.pem").write_bytes((authority.folder(tmp_path / "other") / "key.pem").read_bytes())
    assert "is not the private key" in refused("tls://marking.example:8786", folder)


def tried(address, folder=None):
    with pytest.raises(Problem) as problem:
        Meeting.at(address, folder).try_out()
    assert "\n" not in str(problem.value)
    return str(problem.value)


def test_where_nobody_listens_it_is_said(folder):
    with socket.socket() as taken:  # bound and not listening: nobody else takes the port
        taken.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{taken.getsockname()[1]}"
        assert "nobody listens" in tried(f"tcp://{address}")
        assert "nobody listens" in tried(f"tls://{address}", folder)


def test_a_name_of_no_machine_is_said(folder):
    assert "no machine named" in tried("tls://marking.invalid:8786", folder)  # RFC 2606: no such name will ever be


@pytest.fixture
def listening():
    """Answer each connection on this machine in a way that the test gives."""
    with socket.create_server(("127.0.0.1", 0)) as server:

        def answer(how):
            def each():
                with contextlib.suppress(OSError):
                    how(server.accept()[0])

            threading.Thread(target=each, daemon=True).start()
            return f"127.0.0.1:{server.getsockname()[1]}"

        yield answer


def by_tls(folder):
    """Answer as a scheduler with these certificates does: its first word is its own."""
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH, cafile=folder / "ca.pem")
    context.verify_mode = ssl.CERT_REQUIRED
    context.load_cert_chain(folder / "cert.pem", folder / "key.pem")
    return lambda plain: context.wrap_socket(plain, server_side=True).send(b"here")


def test_a_scheduler_of_the_same_authority_is_met(authority, folder, tmp_path, listening):
    address = listening(by_tls(authority.folder(tmp_path / "scheduler")))
    Meeting.at(f"tls://{address}", folder).try_out()


def test_a_scheduler_of_another_authority_is_not_accepted(folder, tmp_path, listening):
    address = listening(by_tls(Authority().folder(tmp_path / "scheduler")))
    assert "is not accepted" in tried(f"tls://{address}", folder)


def test_a_scheduler_out_of_date_is_not_accepted(authority, folder, tmp_path, listening):
    address = listening(by_tls(authority.folder(tmp_path / "scheduler", lasts=-timedelta(hours=1))))
    assert "expired" in tried(f"tls://{address}", folder)


def test_a_scheduler_that_does_not_accept_us_is_said(authority, folder, tmp_path, listening):
    """It knows another authority for those who come, and has a certificate of ours."""
    theirs = authority.folder(tmp_path / "scheduler")
    (theirs / "ca.pem").write_bytes((Authority().folder(tmp_path / "other") / "ca.pem").read_bytes())
    assert "do not accept each other" in tried(f"tls://{listening(by_tls(theirs))}", folder)


def test_what_speaks_no_tls_is_said(folder, listening):
    address = listening(lambda plain: plain.sendall(b"HTTP/1.1 400 Bad Request\r\n\r\n"))
    assert "do not accept each other" in tried(f"tls://{address}", folder)


def test_what_hangs_up_is_no_scheduler(listening):
    assert "no scheduler answers" in tried(f"tcp://{listening(lambda plain: plain.close())}")
