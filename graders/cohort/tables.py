"""Tables that spreadsheets open: cells that do nothing, and the delimiter and decimal sign that a country's expect."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from graders.cohort.files import writing_whole
from workbook.problems import Problem

DELIMITERS = (",", ";", "\t")
DECIMAL_SIGNS = (".", ",")
A_NUMBER = re.compile(r"[+-]?\d+([.,])\d+")
SEPARATOR_LINE = re.compile(r"sep=([,;\t|])", re.IGNORECASE)
"""A first line by which some spreadsheets say what parts the cells."""
MOVES = ("\t", "\r")
ACTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""How a text begins that a spreadsheet would take for a formula, after spaces and line ends too, and in full width."""

Cell = str | float | None
"""What a table's cell may hold, before it is written; None leaves it empty."""


@dataclass(frozen=True)
class Manner:
    """How the tables of a place are written: what parts the cells, and the sign before a number's decimals."""

    delimiter: str = ","
    decimal: str = "."

    def cell(self, value: Cell) -> str:
        """Return a value as it stands in a cell: numbers with this decimal sign, texts that act as nothing.

        >>> Manner(";", ",").cell(12.5), Manner().cell(2.0), Manner().cell("=1+1"), Manner().cell(None)
        ('12,5', '2', "'=1+1", '')
        """
        if isinstance(value, (int, float)):
            return f"{round(value, 4):.12g}".replace(".", self.decimal)
        return "" if value is None else harmless(value)


PLAIN = Manner()


def harmless(words: str) -> str:
    """Return a text as a spreadsheet may safely read it: one that looks like a formula is quoted.

    >>> harmless("=cmd()"), harmless(" \\n=cmd()"), harmless("＝cmd()"), harmless("3 °C")
    ("'=cmd()", "' \\n=cmd()", "'＝cmd()", '3 °C')
    """
    return "'" + words if words.startswith(MOVES) or words.lstrip().startswith(ACTS) else words


def manner_of(delimiter: str, cells: Iterable[str]) -> Manner:
    """Return the manner of a table by its delimiter and by the numbers with decimals in it.

    Where it has none, a semicolon says that the comma is the decimal sign, as spreadsheets of such countries write it.

    >>> manner_of(";", ["id", "12"]), manner_of(";", ["3.5"]), manner_of("\\t", ["3,5"])
    (Manner(delimiter=';', decimal=','), Manner(delimiter=';', decimal='.'), Manner(delimiter='\\t', decimal=','))
    """
    signs = [found[1] for found in map(A_NUMBER.fullmatch, cells) if found]
    usual = "," if delimiter == ";" else "."
    commas = signs.count(",")
    return Manner(delimiter, usual if 2 * commas == len(signs) else "," if 2 * commas > len(signs) else ".")


def write(
    path: Path, heads: Sequence[str], lines: Iterable[Sequence[Cell]], manner: Manner, mark: str = "\ufeff"
) -> None:
    """Write a table whole; ``mark`` before it tells a spreadsheet that it is UTF-8."""
    with writing_whole(path) as file:
        file.write(mark)
        writer = csv.writer(file, delimiter=manner.delimiter, lineterminator="\n")
        for line in (heads, *lines):
            writer.writerow([manner.cell(value) for value in line])


def rows(path: Path, holds: str, tip: str, may_be_empty: bool = False) -> tuple[str, list[tuple[int, list[str]]]]:
    """Return what parts the cells of a CSV file, and its rows with their lines' numbers.

    ``holds`` is what the file should hold, in words, and ``tip`` how to mend it.

    Raises
    ------
    Problem
        For what cannot be read as a table of text; for an empty one, but where that is no fault.
    """
    if path.exists() and not path.is_file():
        raise Problem(f"{path} is no file.", tip)
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise Problem(f"{path} cannot be read: {error.strerror}.", tip) from None
    except UnicodeDecodeError:
        raise Problem(f"{path} is not UTF-8 text.", "save it again as CSV UTF-8") from None
    if may_be_empty and not text.strip():
        return PLAIN.delimiter, []
    if "\0" in text or not text.strip():
        raise Problem(f"{path} holds no {holds}.", tip)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    said = SEPARATOR_LINE.fullmatch(text.partition("\n")[0])
    if said:
        text = "\n" + text.partition("\n")[2]
    delimiter = said[1] if said else _delimiter(text)
    reader = csv.reader(io.StringIO(text), delimiter=delimiter, strict=True)  # else a quote without end swallows rows
    try:
        found = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise Problem(f"{path} is no CSV file that can be read: {error}.", tip) from None
    if not found:
        raise Problem(f"{path} holds no {holds}.", tip)
    return delimiter, found


def _delimiter(text: str) -> str:
    head = text.strip().splitlines()[0]
    return max(DELIMITERS, key=head.count)
