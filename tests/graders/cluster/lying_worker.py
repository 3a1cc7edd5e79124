"""A worker that a notebook got the better of: it does not do what it is asked.

    python lying_worker.py ADDRESS CERTIFICATES PROCESSES

It declares the resource DECLARED. Its pickles, where they are read, write the number of that process into EVIL.
"""

import os
import re
import sys
from pathlib import Path

from graders.cluster import edition, worker
from graders.cluster.meeting import Meeting
from graders.runner import contained

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


class Walless:
    """What is left of a sandbox on a machine that contains nothing any more."""

    def run(self, *_, **__):
        raise contained.CannotContain("user namespaces were forbidden meanwhile")


def work(content):
    """Do what a notebook says that it does to its worker, else be honest."""
    does = re.search(rb"does: ([a-z ]+)", content)
    match does[1].decode() if does else "":
        case "return what is no bytes":
            return Evil()
        case "return bytes of another type":
            return EvilType()
        case "raise":
            raise EvilError
        case "answer another":
            return honest(content + b" ")
        case "kill":
            os._exit(9)
        case "lose the wall":
            worker._Here.sandbox = Walless()
    return honest(content)


if __name__ in ("__main__", "__mp_main__"):  # and not where it is looked through for examples
    worker.work = work
    edition.name = lambda: os.environ["DECLARED"]

if __name__ == "__main__":
    worker.serve(Meeting.at(sys.argv[1], Path(sys.argv[2])), int(sys.argv[3]))
