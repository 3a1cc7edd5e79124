"""What tests of answers in words need: a small marked cohort with one such question, and its server while it runs."""

import asyncio
import contextlib
import http.client
import json
import threading

from graders.cohort.roster import Learner
from graders.demo import learners
from graders.handout import handing_out
from graders.marking import run
from graders.words import questions
from graders.words.server import LOOPBACK, Served

WORDS = {"profile": ("why-from-below",)}
PLACE = "/profile/why-from-below/why"
PEOPLE = ("amber", "birch", "cedar", "dahlia")


def a_cohort(root, pool):
    """Four learners who answered one question in words, each in their own; marked."""
    people = [Learner(one, f"{one.title()} (invented)") for one in PEOPLE]
    cohort = handing_out.make(people, root, ("profile",), "Words (invented)", WORDS)
    learners.hand_in(cohort)
    for one in PEOPLE:
        answers_again(cohort, one, f"The sink of heat is below, says number {len(one)}.")
    run.mark(cohort, pool)
    return cohort


def answers_again(cohort, learner, text):
    (path,) = cohort.submitted(learner, "profile").glob("*.ipynb")
    notebook = json.loads(path.read_text())
    next(cell for cell in notebook["cells"] if cell["id"] == "why")["source"] = text
    path.write_text(json.dumps(notebook))


def asked(cohort):
    """The question as it stands, with its answers."""
    (question,) = questions.questions(cohort)
    return questions.answers(cohort, question)


@contextlib.contextmanager
def serving(cohort):
    """The server of a cohort's answers, in a thread of its own."""
    served, started = Served(cohort), threading.Event()
    loop = asyncio.new_event_loop()
    task = loop.create_task(served.forever(started.set))

    def until_stopped():
        with contextlib.suppress(asyncio.CancelledError):
            loop.run_until_complete(task)

    thread = threading.Thread(target=until_stopped)
    thread.start()
    assert started.wait(60)
    try:
        yield served
    finally:
        loop.call_soon_threadsafe(task.cancel)
        thread.join(20)
        loop.close()


def ask(served, method, path, body=None, **headers):
    """Ask a server as a browser does; return the status, the headers and the text."""
    usual = {"Cookie": f"words-{served.port}={served.token}"}
    if method == "POST":
        usual |= {"Origin": served.origin, "Content-Type": "application/json", "X-Words": "mark"}
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    wanted = {name: value for name, value in (usual | sent).items() if value is not None}
    connection = http.client.HTTPConnection(LOOPBACK, served.port, timeout=30)
    connection.request(method, path, body, wanted)
    reply = connection.getresponse()
    text = reply.read().decode()
    connection.close()
    return reply.status, reply.headers, text


def mark(served, answer, points, comment="", was=None, **headers):
    """Save a mark as the page does; return the status and what is told."""
    was_points, was_comment = was or (answer.points, answer.comment)
    body = {
        "id": answer.id,
        "seen": answer.digest,
        "was": {"points": was_points, "comment": was_comment},
        "points": points,
        "comment": comment,
    }
    status, _, text = ask(served, "POST", PLACE, json.dumps(body), **headers)
    return status, json.loads(text)
