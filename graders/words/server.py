"""The server behind the pages of answers in words: on loopback alone, for whoever has its token, saving at once.

It writes under the cohort's lock, answer by answer, so that nothing is lost however it ends.
"""

import asyncio
import hmac
import json
import secrets
import socket
import sys
from collections.abc import Callable
from html import unescape

from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application, HTTPError, RequestHandler

from graders.cohort.paths import Cohort
from graders.words import page, questions
from graders.words.questions import Answer, NotSaved, Question, QuestionAnswers
from workbook.problems import Problem
from workbook.terminal import printable

LOOPBACK = "127.0.0.1"
MOST_BYTES = 100_000
TOKEN_BYTES = 24
HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'none'",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
"""The pages' own policy, that they fetch nothing and run no script but ours, stands in each of them."""
STRANGER = "Open the address that graders words printed: it holds a token."


class Served:
    """One cohort's server while it listens: its address, and how many marks were saved."""

    def __init__(self, cohort: Cohort, port: int = 0):
        self.cohort, self.token, self.saved = cohort, secrets.token_urlsafe(TOKEN_BYTES), 0
        try:
            self.sockets = bind_sockets(port, LOOPBACK, family=socket.AF_INET)
        except (OSError, OverflowError) as error:
            raise Problem(f"port {port} cannot be used: {error}.", "leave --port out, or name another") from None
        self.port = self.sockets[0].getsockname()[1]

    @property
    def origin(self) -> str:
        return f"http://{LOOPBACK}:{self.port}"

    @property
    def address(self) -> str:
        """Where an instructor opens it. The token goes into a cookie and out of the address at once."""
        return f"{self.origin}/?token={self.token}"

    def run(self, ready: Callable[[], None] = lambda: None) -> None:
        """Serve until it is interrupted."""
        asyncio.run(self.forever(ready))

    async def forever(self, ready: Callable[[], None] = lambda: None) -> None:
        """Serve in the loop that runs."""
        routes = [(r"/", _Index), (r"/([a-z]+)/([a-z0-9-]+)/([a-z0-9_]+)", _Question)]
        application = Application(routes, served=self, log_function=lambda handler: None)
        server = HTTPServer(application, max_body_size=MOST_BYTES, max_buffer_size=2 * MOST_BYTES)
        server.add_sockets(self.sockets)
        ready()
        try:
            await asyncio.Event().wait()
        finally:
            server.stop()


class _Guarded(RequestHandler):
    """Every request: to our own name, from whoever has the token, and asked by a page of ours where it writes."""

    @property
    def served(self) -> Served:
        return self.settings["served"]

    @property
    def _cookie(self) -> str:
        return f"words-{self.served.port}"  # a cookie is every port's

    def set_default_headers(self) -> None:
        for name, value in HEADERS.items():
            self.set_header(name, value)
        self.clear_header("Server")

    def prepare(self) -> None:
        if self.request.host != f"{LOOPBACK}:{self.served.port}":  # another name may have been led here
            raise HTTPError(403)
        given = self.get_query_argument("token", "")
        if self.request.method == "GET" and given and self._is_token(given):
            self.set_cookie(self._cookie, self.served.token, httponly=True, samesite="Strict")
            self.redirect("/")
            return
        writes = self.request.method == "POST"
        if not self._is_token(self.get_cookie(self._cookie, "")) or (writes and not self._is_ours()):
            raise HTTPError(403)

    def _is_token(self, given: str) -> bool:
        return hmac.compare_digest(given.encode(), self.served.token.encode())

    def _is_ours(self) -> bool:
        """Whether our own page asks: no other page can set this header, and browsers say where they are."""
        headers = self.request.headers
        plain = headers.get("Content-Type", "").partition(";")[0] == "application/json"
        return plain and headers.get("X-Words") == "mark" and headers.get("Origin") == self.served.origin

    def write_error(self, status_code: int, **named) -> None:
        """Say one plain line, and nothing of what went wrong inside."""
        known = {403: STRANGER, 404: "There is no such page."}
        words, error = known.get(status_code, "This failed; nothing was changed."), named.get("exc_info", (0, None))[1]
        if isinstance(error, Problem):
            words = error.in_sentences
        if self.request.method == "POST":
            self.finish({"say": words})
        else:
            self.set_header("Content-Type", "text/plain; charset=utf-8")
            self.finish(words)

    def log_exception(self, *error) -> None:
        if not isinstance(error[1], (HTTPError, Problem)):
            what = printable(f"LOOK   a page failed: {type(error[1]).__name__}: {error[1]!s:.200}")
            print(what, file=sys.stderr)


class _Index(_Guarded):
    def get(self) -> None:
        cohort = self.served.cohort
        every = [questions.answers(cohort, one) for one in questions.questions(cohort)]
        self.finish(page.index(cohort.settings().title, every))


class _Question(_Guarded):
    def _asked(self, *place: str) -> Question:
        found = next((one for one in questions.questions(self.served.cohort) if one.place == "/".join(place)), None)
        if found is None:
            raise HTTPError(404)
        return found

    def get(self, *place: str) -> None:
        self.finish(page.question(questions.answers(self.served.cohort, self._asked(*place))))

    def post(self, *place: str) -> None:
        question = self._asked(*place)
        try:
            typed = _typed(self.request.body)
            score = questions.points(typed["points"], question.part.points)
            with self.served.cohort.locked():
                answers = questions.give(
                    self.served.cohort,
                    question,
                    typed["id"],
                    score,
                    typed["comment"].strip(),
                    typed["seen"],
                    (typed["was_points"], typed["was_comment"]),
                )
        except NotSaved as why:
            self.set_status(409)
            self.finish({"say": str(why)} | ({"now": _as_shown(why.now)} if why.now else {}))
        except Problem as problem:
            self.set_status(423)
            self.finish({"say": f"Not saved: {problem} Then save again."})
        else:
            self.served.saved += 1
            self.finish(_told(typed["id"], answers))


FIELDS = ("id", "points", "comment", "seen", "was_points", "was_comment")


def _typed(body: bytes) -> dict[str, str]:
    """Return what a page sent, or raise NotSaved for what no page of ours sends."""
    try:
        said = json.loads(body)
        said |= {f"was_{name}": value for name, value in said["was"].items()}
        typed = {name: said[name] for name in FIELDS}
        if not all(isinstance(value, str) for value in typed.values()):
            raise ValueError("no mark")
        "".join(typed.values()).encode()
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise NotSaved("This is no mark: load the page again.") from None
    return typed


def _as_shown(answer: Answer) -> dict[str, str]:
    shown = unescape(page.wrote(answer))  # as the page itself shows it, with nothing hidden in it
    return {"text": shown, "seen": answer.digest, "points": answer.points, "comment": answer.comment}


def _told(id_: str, answers: QuestionAnswers) -> dict:
    saved = next(one for one in answers.given if one.id == id_)
    about = {"of": answers.question.part.points, "seen": page.seen_words(answers), "bank": answers.bank()}
    return _as_shown(saved) | about
