"""What goes wrong for everybody, and what goes wrong with one thing and is said of that one only."""

import errno

from workbook.problems import Problem
from workbook.terminal import printable

THE_MACHINE = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO, errno.EMFILE, errno.ENFILE)
"""A full, broken or read-only disk, and no more open files: no fault of what came in."""
MOST_WORDS = 120


def is_everybodys(error: BaseException) -> bool:
    """Whether an error says that nothing can go on: the machine's, somebody at the keyboard, or one told to people."""
    if not isinstance(error, Exception) or isinstance(error, Problem):
        return True
    return isinstance(error, OSError) and error.errno in THE_MACHINE


def words(error: Exception) -> str:
    r"""Return an error in one short line that can be printed and written down.

    >>> words(ValueError("no\x1b[2J number"))
    'ValueError: no\\x1b[2J number'
    """
    said = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    return printable(said if len(said) <= MOST_WORDS else f"{said[:MOST_WORDS]}…")
