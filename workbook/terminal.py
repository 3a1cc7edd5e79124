"""Text from elsewhere on a terminal: nothing in it moves the cursor, colours the screen or begins a line."""

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
    """Print a text of one or more lines on a terminal, each made printable."""
    for line in text.split("\n"):
        click.echo(printable(line))
