"""A worker that a notebook got the better of: it does not do what it is asked.

    python lying_worker.py WAY ADDRESS CERTIFICATES PROCESSES

It declares the resource DECLARED, and its pickles, where they are read, make the file EVIL.
"""

import os
import sys
from pathlib import Path

from graders.cluster import edition, travel, worker
from graders.cluster.meeting import Meeting
from graders.runner import contained

MARKER = b"the notebook that does it"
honest = worker.work


class Evil:
    """Its pickle makes a file where it is read."""

    def __reduce__(self):
        return Path.touch, (Path(os.environ["EVIL"]),)


class EvilKind(type):
    """So does the pickle of a class of this kind."""

    def __reduce__(cls):
        return Path.touch, (Path(os.environ["EVIL"]),)


class EvilType(bytes, metaclass=EvilKind):
    """Bytes by a class that is evil."""


class EvilError(Exception):
    """An error whose pickle is evil."""

    def __reduce__(self):
        return Path.touch, (Path(os.environ["EVIL"]),)


answers: list[bytes] = []


def lie(content):
    """Tell another lie each time, then the truth."""
    answers.append(honest(content))
    true = answers[-1]
    match len(answers):
        case 1:
            return Evil()
        case 2:
            return EvilType(true)
        case 3:
            raise EvilError
        case 4:
            return answers[0]
        case 5:
            return true[:64] + b"\n" + answers[0].partition(b"\n")[2][:-1]
        case 6:
            return true.decode()
        case 7:
            return true + b" " * travel.MOST_BYTES
    return true


def die(content):
    """Be killed by one notebook."""
    if MARKER in content:
        os._exit(9)
    return honest(content)


def lose_the_wall(content):
    """Find one day that the machine contains nothing any more."""

    class Gone:
        def run(self, *_, **__):
            raise contained.CannotContain("user namespaces were forbidden meanwhile")

    if MARKER in content:
        worker._Here.sandbox = Gone()
    return honest(content)


worker.work = {"lies": lie, "dies": die, "loses": lose_the_wall}[sys.argv[1]]
edition.name = lambda: os.environ["DECLARED"]

if __name__ == "__main__":
    worker.serve(Meeting.at(sys.argv[2], Path(sys.argv[3])), int(sys.argv[4]))
