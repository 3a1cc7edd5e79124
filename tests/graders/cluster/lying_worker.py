"""A worker that a notebook got the better of: it does not do what it is asked.

    python lying_worker.py WAY ADDRESS CERTIFICATES PROCESSES

It declares the resource DECLARED. Its pickles, where they are read, write the number of that process into EVIL.
"""

import os
import sys
from pathlib import Path

from graders.cluster import edition, worker
from graders.cluster.meeting import Meeting
from graders.runner import contained

MARKER = b"the notebook that does it"
honest = worker.work


def evil(*_):
    """Return what a pickle may do where it is read: it writes down which process that was."""
    text = f"import os; open({os.environ['EVIL']!r}, 'a').write(f'{{os.getpid()}}\\n')"
    return exec, (text,)


class Evil:
    """A result that is no bytes."""

    __reduce__ = evil


class EvilKind(type):
    """What a type is whose pickle does it."""

    __reduce__ = evil


class EvilType(bytes, metaclass=EvilKind):
    """Bytes of such a type."""


class EvilError(Exception):
    """An error that does it."""

    __reduce__ = evil


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
