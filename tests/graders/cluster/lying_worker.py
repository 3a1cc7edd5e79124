"""A worker that a notebook got the better of: it does not do what it is asked.

    python lying_worker.py WAY ADDRESS CERTIFICATES PROCESSES

It declares the resource DECLARED, and its pickles, where they are read, make the file EVIL.
"""

import os
import sys
from pathlib import Path

from graders.cluster import edition, worker
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


given: list[bytes] = []


def lie(content):
    """Tell another lie each time, then the truth."""
    given.append(content)
    match len(given):
        case 1:
            return Evil()
        case 2:
            return EvilType()
        case 3:
            raise EvilError
        case 4:
            return honest(given[0])
    return honest(content)


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
