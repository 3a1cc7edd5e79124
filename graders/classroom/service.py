"""The service beside the hub: own handout, hand in with a receipt, own feedback. It runs as the instructor's account.

Who asks is whom the hub knows by a token or a cookie of the hub's; nothing in a request names a learner.
"""

import asyncio
import os
import sys
import tempfile
from typing import Any, BinaryIO
from urllib.parse import urlparse

from jupyterhub.services.auth import HubOAuth, HubOAuthCallbackHandler, HubOAuthenticated
from tornado.httpserver import HTTPServer
from tornado.web import Application, HTTPError, RequestHandler, stream_request_body

from graders.classroom import hand_in, pages
from graders.classroom.hand_in import NotDone
from graders.classroom.people import Seat
from graders.classroom.ready import Classroom
from graders.cohort import clock, faults
from workbook.problems import Problem
from workbook.terminal import printable

DRAINED = 4 * hand_in.MOST_BYTES
"""Bytes of a parcel that is too large which are read, so that the sender hears why it is not taken."""
HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'; sandbox",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
PAGE_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""Of a page with feedback, beside its own policy: it may look as it does. In a sandbox nothing runs."""
SANDBOX = f"{PAGE_POLICY}; sandbox allow-top-navigation-by-user-activation"


class _Asked(HubOAuthenticated, RequestHandler):
    """Every request: whose it is, by the hub alone."""

    seat: Seat

    @property
    def room(self) -> Classroom:
        return self.settings["room"]  # type: ignore[no-any-return]

    def set_default_headers(self) -> None:
        for name, value in HEADERS.items():
            self.set_header(name, value)
        self.clear_header("Server")

    async def prepare(self) -> None:
        if self.request.method not in self.SUPPORTED:
            raise HTTPError(405)
        user = await self._user()
        if user is None:
            if self.request.method == "GET" and "text/html" in self.request.headers.get("Accept", ""):
                self.redirect(self.get_login_url())
                return
            raise HTTPError(401)
        _, seats = self.room.state()
        seat = seats.get(user["name"]) if user.get("kind") == "user" else None
        if seat is None:
            raise HTTPError(403)
        self.seat = seat

    SUPPORTED: tuple[str, ...] = ("GET",)

    async def _user(self) -> dict[str, Any] | None:
        """Return whom the hub knows the sender as, or None; one without the right to come here is nobody."""
        user = await self.hub_auth.get_user(self, sync=False)
        if user is not None and not self.hub_auth.check_scopes(self.hub_scopes, user):
            raise HTTPError(403)
        return user  # type: ignore[no-any-return]

    def get_current_user(self) -> dict[str, Any] | None:
        return getattr(self, "_cached_hub_user", None)

    def write_error(self, status_code: int, **named: Any) -> None:
        """Say one plain line, and nothing of what went wrong inside."""
        error = named.get("exc_info", (None, None))[1]
        words = str(error) if isinstance(error, NotDone) else pages.WORDS.get(status_code, pages.FAILED)
        if isinstance(error, OSError) and error.errno in faults.THE_MACHINE:
            self.set_status(507)
            words = pages.WORDS[507]
        elif isinstance(error, NotDone):
            self.set_status(error.status)
        if self.request.method == "GET" and "text/html" in self.request.headers.get("Accept", ""):
            self.set_header("Content-Security-Policy", SANDBOX)
            self.finish(pages.said(words))
        else:
            self.finish({"say": words})

    def log_exception(self, *error: Any) -> None:
        if not isinstance(error[1], (HTTPError, NotDone)):
            print(printable(f"LOOK   {type(error[1]).__name__}: {error[1]!s:.200}"), file=sys.stderr)


class _Handout(_Asked):
    """The learner's own handout, one archive."""

    async def get(self) -> None:
        path = self.room.cohort.handout_of(self.seat.learner)
        if not path.is_file():
            raise NotDone(404, "No handout of yours has been made yet. Ask your instructor.")
        self.set_header("Content-Type", "application/zip")
        self.set_header("Content-Disposition", f'attachment; filename="{path.name}"')
        self.finish(path.read_bytes())


@stream_request_body
class _HandIn(_Asked):
    """What a learner hands in. It must carry a token, which no browser adds by itself for a page from elsewhere."""

    SUPPORTED = ("POST",)
    parcel: BinaryIO | None = None
    size = 0
    begun = looking = gone = sound = False

    async def _user(self) -> dict[str, Any] | None:
        token = self.hub_auth.get_token(self, in_cookie=False)
        user = await self.hub_auth.user_for_token(token, sync=False) if token else None
        if user is not None and not self.hub_auth.check_scopes(self.hub_scopes, user):
            raise HTTPError(403)
        return user  # type: ignore[no-any-return]

    async def prepare(self) -> None:
        self.request.connection.set_max_body_size(DRAINED)  # type: ignore[attr-defined]
        await super().prepare()
        why_not = self.room.patience.begin(self.seat.learner)
        if why_not:
            raise NotDone(429, why_not)
        self.begun = True
        self.parcel = tempfile.TemporaryFile(dir=self.room.inbox.root)  # noqa: SIM115

    def data_received(self, chunk: bytes) -> None:
        self.size += len(chunk)
        if self.size <= hand_in.MOST_BYTES and self.parcel is not None:
            self.parcel.write(chunk)

    async def post(self) -> None:
        assert self.parcel is not None
        if self.size > hand_in.MOST_BYTES:
            raise HTTPError(413)
        if not self.size:
            raise NotDone(422, "The file is empty. Nothing was handed in.")
        waiting, self.looking = asyncio.get_running_loop(), True
        try:
            said = await waiting.run_in_executor(self.room.lookers, self.room.take, self.seat.learner, self.parcel)
            self.sound = True
        finally:
            self.looking = False
            if self.gone:
                self._over()
        self.finish(said)

    def on_finish(self) -> None:
        self._over()

    def on_connection_close(self) -> None:
        super().on_connection_close()
        self.gone = True
        self._over()

    def _over(self) -> None:
        """Let the learner send again, and the parcel go; not while another thread looks at it, whoever has hung up."""
        if self.looking:
            return
        if self.begun:
            self.begun = False
            self.room.patience.end(self.seat.learner, self.sound or self.get_status() in (429, 507))
        if self.parcel is not None and not self.parcel.closed:
            self.parcel.close()


class _Feedback(_Asked):
    """The learner's own pages of the topics that are released."""

    async def get(self, topic: str = "") -> None:
        cohort, settings, now = self.room.cohort, self.room.cohort.settings(), clock.now()
        there = [
            one
            for one in settings.topics
            if settings.has_released(one, now) and cohort.feedback(self.seat.learner, one).is_file()
        ]
        self.set_header("Content-Security-Policy", SANDBOX)
        if not topic:
            receipts = self.room.inbox.receipts(self.seat.learner)
            self.finish(pages.first(settings, self.seat.name, there, receipts))
        elif topic in there:
            self.finish(cohort.feedback(self.seat.learner, topic).read_bytes())
        else:
            raise NotDone(404, pages.NOT_RELEASED)


class _Nothing(_Asked):
    """Any other address."""

    SUPPORTED = ("GET", "POST", "PUT", "DELETE", "PATCH", "HEAD", "OPTIONS")

    async def prepare(self) -> None:
        raise HTTPError(404)


def application(room: Classroom, prefix: str) -> Application:
    """Return the service's application; ``prefix`` is the address that the hub gave it."""
    routes = [
        (rf"{prefix}handout", _Handout),
        (rf"{prefix}hand-in", _HandIn),
        (rf"{prefix}feedback", _Feedback),
        (rf"{prefix}feedback/([a-z]+)", _Feedback),
        (rf"{prefix}oauth_callback", HubOAuthCallbackHandler),
        (r".*", _Nothing),
    ]
    return Application(routes, room=room, cookie_secret=os.urandom(32), log_function=lambda handler: None)


async def serve() -> None:
    """Serve until it is ended, as the hub has said in the environment."""
    os.umask(0o077)
    room = Classroom.of_environment()
    at = urlparse(os.environ["JUPYTERHUB_SERVICE_URL"])
    HubOAuth.instance().cache_max_age = 60
    app = application(room, os.environ["JUPYTERHUB_SERVICE_PREFIX"])
    HTTPServer(app, max_body_size=100_000, max_buffer_size=4_000_000).listen(at.port, at.hostname)
    await asyncio.Event().wait()


def main() -> None:
    """Serve until it is ended."""
    try:
        asyncio.run(serve())
    except Problem as problem:
        print(printable(f"ERROR  {problem}"), file=sys.stderr)
        sys.exit(1)


if __name__ == "__main__":
    main()
