"""Where driver and workers meet, and by which certificates: what is wrong is said before anything is tried."""

import contextlib
import ipaddress
import socket
import ssl
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from workbook.problems import Problem

FILES = "ca.pem", "cert.pem", "key.pem"
"""What a folder of certificates holds: the authority's certificate, one's own, and one's own private key."""
WRITE = "write it as tls://host:port"
SECONDS = 10
"""How long a scheduler may take to answer."""


@dataclass(frozen=True)
class Meeting:
    """A scheduler's address, and the folder of certificates where it is reached by TLS."""

    host: str
    port: int
    folder: Path | None = None

    @property
    def address(self) -> str:
        """The address as it is written."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"{'tls' if self.folder else 'tcp'}://{host}:{self.port}"

    @classmethod
    def at(cls, address: str, folder: Path | None) -> "Meeting":
        """Return the meeting at an address, or raise Problem: one line, and what to do."""
        if "://" not in address:
            raise Problem(f"{address!r} is no address of a scheduler: it has no scheme.", WRITE)
        try:
            parts = urlsplit(address)
            scheme, host, port = parts.scheme, parts.hostname, parts.port
        except ValueError:
            raise Problem(f"{address!r} is no address of a scheduler.", WRITE) from None
        more = parts.path.strip("/") or parts.query or parts.fragment or parts.username
        if not host or not port or more:
            raise Problem(f"{address!r} is no address of a scheduler: it needs a host and a port only.", WRITE)
        if scheme == "tls":
            if folder is None:
                raise Problem(
                    f"{address} needs certificates.",
                    f"name their folder, with {', '.join(FILES)}: --certificates FOLDER",
                )
            _check(folder)
            return cls(host, port, folder)
        if scheme != "tcp":
            raise Problem(f"{address!r}: {scheme}:// cannot be used here.", WRITE)
        if not _is_loopback(host):
            raise Problem(
                f"{address} is another machine, reached without encryption: anybody on the way could run code there.",
                "use tls:// and certificates; tcp:// is for 127.0.0.1 only",
            )
        return cls(host, port)

    def security(self) -> Any:
        """Return dask's own form of it."""
        from distributed.security import Security

        if self.folder is None:
            return Security(require_encryption=False)
        authority, certificate, key = (str(self.folder / name) for name in FILES)
        own = {
            f"tls_{role}_{what}": path
            for role in ("client", "worker")
            for what, path in (("cert", certificate), ("key", key))
        }
        return Security(require_encryption=True, tls_ca_file=authority, **own)

    def try_out(self) -> None:
        """Raise Problem where no scheduler answers, or it and we do not accept each other's certificates."""
        try:
            with socket.create_connection((self.host, self.port), SECONDS) as plain, self._wrapped(plain) as channel:
                channel.settimeout(SECONDS)
                if not channel.recv(1):
                    raise ConnectionError
        except ssl.SSLCertVerificationError as error:
            raise Problem(
                f"the certificate of the scheduler at {self.address} is not accepted: {error.verify_message}.",
                "give it a certificate of the same authority (ca.pem), in date",
            ) from None
        except ssl.SSLError as error:
            why = (error.reason or "it speaks no TLS").replace("_", " ").lower()
            raise Problem(
                f"the scheduler at {self.address} and this machine do not accept each other: {why}.",
                "start it with --protocol tls and a certificate of the same authority (ca.pem), in date",
            ) from None
        except socket.gaierror:
            raise Problem(f"there is no machine named {self.host!r}.", "look at the address") from None
        except TimeoutError:
            raise Problem(f"what listens at {self.address} does not answer as a scheduler.", self._tip) from None
        except ConnectionRefusedError:
            raise Problem(f"nobody listens at {self.address}.", self._tip) from None
        except OSError as error:
            said = error.strerror or "it hung up"
            raise Problem(f"no scheduler answers at {self.address}: {said}.", self._tip) from None

    @property
    def _tip(self) -> str:
        return (
            f"start a scheduler there: dask scheduler --protocol {'tls' if self.folder else 'tcp'} (see DEVELOPERS.md)"
        )

    def _wrapped(self, plain: socket.socket) -> Any:
        if self.folder is None:
            return contextlib.nullcontext(plain)
        authority, certificate, key = (str(self.folder / name) for name in FILES)
        context = ssl.create_default_context(cafile=authority)
        context.check_hostname = False  # as dask does: whoever holds a certificate of the authority is one of us
        context.load_cert_chain(certificate, key)
        return context.wrap_socket(plain)


def _is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _check(folder: Path) -> None:
    """Raise Problem for certificates that will not do."""
    from cryptography.exceptions import InvalidSignature

    authorities = _certificates(folder / FILES[0])
    (own, *_), key = _certificates(folder / FILES[1]), folder / FILES[2]
    _read(key)
    now = datetime.now(UTC)
    for path, one in ((folder / FILES[0], authorities[0]), (folder / FILES[1], own)):
        if not one.not_valid_before_utc <= now <= one.not_valid_after_utc:
            when = f"{one.not_valid_before_utc:%Y-%m-%d} to {one.not_valid_after_utc:%Y-%m-%d}"
            raise Problem(f"{path} is out of date: it is valid from {when}.", "have a new one made")
    for authority in authorities:
        with contextlib.suppress(ValueError, TypeError, InvalidSignature):
            own.verify_directly_issued_by(authority)
            break
    else:
        raise Problem(
            f"{folder / FILES[1]} is no certificate of the authority {FILES[0]} beside it.",
            "use those of one authority",
        )
    try:
        ssl.create_default_context().load_cert_chain(folder / FILES[1], key, password=_no_password)
    except (ssl.SSLError, OSError, ValueError):
        raise Problem(
            f"{key} is not the private key of {FILES[1]}, or has a password.", "put the key there, without a password"
        ) from None


def _no_password() -> str:
    return ""


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        tip = f"a folder of certificates holds {', '.join(FILES)}"
        raise Problem(f"{path} cannot be read: {error.strerror}.", tip) from None


def _certificates(path: Path) -> list[Any]:
    from cryptography import x509

    try:
        return x509.load_pem_x509_certificates(_read(path))
    except ValueError:
        raise Problem(
            f"{path} is no certificate in PEM form.", "put one there: it begins -----BEGIN CERTIFICATE-----"
        ) from None
