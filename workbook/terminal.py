"""Text from elsewhere on a terminal: nothing in it moves the cursor, colours the screen or begins a line."""

import shlex
import shutil
import sys
import textwrap
import unicodedata

import click

SHOWN = {"Zs"}
"""Kinds of space that Python calls unprintable and a terminal shows."""


def printable(text: str) -> str:
    r"""Return a text in one line, with control characters and bytes that are no text written out.

    >>> print(printable("a\x1b[2Jb\nc.ipynb"))
    a\x1b[2Jb\nc.ipynb
    >>> print(printable(b"r\xe9sum\xe9".decode("utf-8", "surrogateescape")))
    r\xe9sum\xe9
    """
    return "".join(
        letter if letter.isprintable() or unicodedata.category(letter) in SHOWN else _written_out(letter)
        for letter in text
    )


def _written_out(letter: str) -> str:
    """Return a letter as it is written in a Python text; a byte that was no text in a file's name as that byte."""
    if "\udc80" <= letter <= "\udcff":
        return f"\\x{ord(letter) - 0xDC00:02x}"
    return letter.encode("unicode_escape", "surrogatepass").decode("ascii")


def echo(text: str) -> None:
    """Print a text of one or more lines, each made printable; on a terminal folded between its words."""
    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else 0
    for line in text.split("\n"):
        click.echo(folded(printable(line), width))


def folded(line: str, width: int) -> str:
    """Return a line folded between words to a width, what goes on set in; as it is where the width is 0, or an address.

    >>> print(folded("  peak: 225 °C, and long enough", 20))
      peak: 225 °C, and
        long enough
    """
    if not width or len(line) <= width or "://" in line:
        return line
    onward = " " * (len(line) - len(line.lstrip()) + 2)
    return textwrap.fill(line, width, subsequent_indent=onward, break_long_words=False, break_on_hyphens=False)


def typed(path: object) -> str:
    """Return a path as one types it into a shell, in a command that is told to be typed.

    >>> typed("spring"), typed("my class")
    ('spring', "'my class'")
    """
    return shlex.quote(str(path))
