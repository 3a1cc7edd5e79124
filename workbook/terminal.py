"""Text from elsewhere on a terminal: nothing in it moves the cursor, colours the screen or begins a line."""

import io
import os
import shlex
import shutil
import subprocess
import sys
import textwrap
import unicodedata
from pathlib import Path

import click

from workbook.units import NO_BREAK, together

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


class Pipe(io.FileIO):
    """Standard output into a pipe, whose reader may go: `| head` has seen enough, and a command still does its work."""

    nobody_reads = False

    @classmethod
    def instead_of(cls, said: io.TextIOWrapper) -> io.TextIOWrapper:
        """Return a text stream into the same place as one there is."""
        return io.TextIOWrapper(
            io.BufferedWriter(cls(said.fileno(), "w", closefd=False)),
            encoding=said.encoding,
            errors=said.errors,
            line_buffering=said.line_buffering,
            write_through=said.write_through,
        )

    def write(self, what) -> int:
        """Write what somebody reads, and drop the rest."""
        try:
            return super().write(what)
        except BrokenPipeError:
            self.nobody_reads = True
            return len(what)


def line_typed(prompt: str) -> str:
    """Return a line from the keyboard; raise EOFError also where nobody can have read what was asked.

    The prompt is input()'s own, so that whoever edits the line does not wipe it out.
    """
    if getattr(getattr(getattr(sys.stdout, "buffer", None), "raw", None), "nobody_reads", False):
        raise EOFError
    return input(prompt)


def in_shell(path: Path | str) -> str:
    """Return a path as it is typed in a command: in quotes where a space or another sign would break it up.

    >>> print("graders mark", in_shell("Mes cours/spring"), in_shell("inbox"))
    graders mark 'Mes cours/spring' inbox
    """
    return shlex.quote(str(path)) if os.name == "posix" else subprocess.list2cmdline([str(path)])


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
    >>> print(folded("  the peak came to 225 °C", 22))  # a number and its unit go on together
      the peak came to
        225 °C
    """
    if not width or len(line) <= width or "://" in line:
        return line
    onward = " " * (len(line) - len(line.lstrip()) + 2)
    kept = dict(break_long_words=False, break_on_hyphens=False)
    return textwrap.fill(together(line), width, subsequent_indent=onward, **kept).replace(NO_BREAK, " ")
