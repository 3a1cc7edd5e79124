"""A learner's way to the classroom: fetch the own handout, hand in, and hear in words what became of it.

It is there where a hub has started the learner's server, and says who the learner is by a token of the hub's.
"""

import hashlib
import json
import os
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from datetime import datetime
from http.client import HTTPException
from pathlib import Path

from graders.desk import packing
from workbook.problems import Problem
from workbook.server import folder

ADDRESS, TOKEN = "REWORK_CLASSROOM", "JUPYTERHUB_API_TOKEN"
"""Names in the environment: where the classroom is, and the hub's token."""
PATIENCE = 120
"""Seconds."""
KEPT = "handed-in"
"""The folder of what was handed in, in the learner's folder, with its receipts."""
ALSO_ELSEWHERE = "Try again in a minute. If it fails until it is due, give this file to your instructor another way"


def is_here() -> bool:
    """Whether a hub has started this."""
    return bool(os.environ.get(ADDRESS) and os.environ.get(TOKEN))


def handout() -> bytes:
    """Return the archive of the learner's own handout, or raise Problem."""
    return _asked("handout")


def hand_in(root: Path) -> Iterator[str]:
    """Pack a learner's exercises, keep the file, hand it in, and yield the lines to show; or raise Problem.

    The file is written before it is sent, and stays whatever becomes of it.
    """
    learner, topics = packing.whose(root)
    there, copies = packing.chosen(root, topics)
    yield from copies
    if not folder.handout_topics(root):
        raise Problem("These exercises were not handed out to you.", "log out, log in and try again; or ask")
    parcel = packing.archive(learner, [packing.Packed(path, topic, name, None) for path, topic, name in there])
    digest = hashlib.sha256(parcel).hexdigest()
    (root / KEPT).mkdir(mode=0o700, exist_ok=True)
    mine = root / KEPT / f"{datetime.now():%Y-%m-%d-%H%M%S}-{digest[:10]}.zip"
    folder.write_whole(mine, parcel, on_disk=True)
    here = mine.relative_to(root).as_posix()
    try:
        told = json.loads(_asked("hand-in", parcel))
        said, kept = str(told["say"]), str(told["digest"])
    except Problem as problem:
        raise Problem(f"NOT handed in: {problem}", f"Your file is kept: {here}. {problem.tip}".strip()) from None
    except (ValueError, KeyError, TypeError):
        raise Problem(
            "NOT handed in for certain: no receipt came.", f"Your file is kept: {here}. {ALSO_ELSEWHERE}"
        ) from None
    same = "byte for byte what is kept" if kept == digest else "with what was not taken, as said above"
    receipt = f"{said}\nA copy stays in your folder: {here}, {same}."
    folder.write_whole(mine.with_suffix(".txt"), (receipt + "\n").encode())
    yield from receipt.splitlines()


def _asked(what: str, parcel: bytes | None = None) -> bytes:
    """Ask the classroom's service, and return what it sends; raise Problem with its words where it refuses."""
    request = urllib.request.Request(
        os.environ[ADDRESS] + what,
        parcel,
        {
            "Authorization": f"token {os.environ[TOKEN]}",
            "Content-Type": "application/zip",
            "Accept": "application/json",
        },
    )
    try:
        with _without_proxy().open(request, timeout=PATIENCE) as reply:
            return reply.read()
    except urllib.error.HTTPError as error:
        raise Problem(_words(error), "" if error.code < 500 else ALSO_ELSEWHERE) from None
    except (OSError, HTTPException):
        raise Problem("the classroom does not answer just now.", ALSO_ELSEWHERE) from None


def _without_proxy() -> urllib.request.OpenerDirector:
    return urllib.request.build_opener(urllib.request.ProxyHandler({}))


def _words(error: urllib.error.HTTPError) -> str:
    try:
        return str(json.loads(error.read())["say"])
    except (ValueError, KeyError, TypeError, OSError, HTTPException):
        return f"the classroom could not take it (it answered {error.code})."


def fetched(tries: int = 3) -> bytes:
    """Return the own handout; the service may be a moment behind the hub. Or raise Problem."""
    for left in reversed(range(tries)):
        try:
            return handout()
        except Problem as problem:
            if not left or problem.tip == "":
                raise
            time.sleep(1)
    raise AssertionError
