"""The list of learners, as spreadsheets and nbgrader export it."""

import csv
import io
import re
import unicodedata
from dataclasses import dataclass, replace
from pathlib import Path

from workbook.problems import Problem

SAFE_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@-]{0,63}")
DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that are devices on Windows, where a learner could not unpack the handout."""

ID_HEADS = ("id", "learner", "student", "student_id", "username")
NAME_HEADS = ("name", "full_name", "fullname")
TIP = "mend the file in a spreadsheet and save it as CSV with the columns id and name"


@dataclass(frozen=True)
class Learner:
    """One learner: the id used in folders, the name on pages, and whether they left (kept, but not chased).

    ``others`` are the other columns of the list, head and value: kept as they came, and used for nothing.
    """

    id: str
    name: str
    left: bool = False
    others: tuple[tuple[str, str], ...] = ()


def read(path: Path, may_be_empty: bool = False) -> list[Learner]:
    """Return the learners of a CSV file, in its order.

    Takes UTF-8 with or without a byte order mark, any line ends, commas, semicolons or tabs, and quotes. Other columns
    are kept; ``first_name`` and ``last_name`` make a name where there is no column ``name``. Anything in a column
    ``left`` says that a learner left. A cohort's own list may be empty: its record says who was handed what.

    Raises
    ------
    Problem
        For a missing or unreadable file, no id column, and missing, unsafe or repeated ids, with the line's number.
    """
    if path.exists() and not path.is_file():
        raise Problem(f"{path} is no file.", TIP)
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise Problem(f"{path} cannot be read: {error.strerror}.", TIP) from None
    except UnicodeDecodeError:
        raise Problem(f"{path} is not UTF-8 text.", "save it again as CSV UTF-8") from None
    if may_be_empty and not text.strip():
        return []
    if "\0" in text or not text.strip():
        raise Problem(f"{path} holds no list of learners.", TIP)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    reader = csv.reader(io.StringIO(text), delimiter=_delimiter(text))
    try:
        rows = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise Problem(f"{path} is no CSV file that can be read: {error}.", TIP) from None
    if not rows:
        raise Problem(f"{path} holds no list of learners.", TIP)
    (_, written), *rows = rows
    heads = [_plain(head) for head in written]
    id_column = next((heads.index(head) for head in ID_HEADS if head in heads), None)
    if id_column is None:
        raise Problem(f"{path} has no column for the learner's id.", TIP)
    learners, seen = [], {}
    for number, row in rows:
        id_ = row[id_column].strip() if id_column < len(row) else ""
        learner = Learner(id_, _name(heads, row), bool(_cell(heads, row, "left")), _others(written, row, id_column))
        if not learner.id:
            raise Problem(f"{path}, line {number}: no id.", TIP)
        if not is_safe(learner.id):
            raise Problem(
                f"{path}, line {number}: the id {learner.id!r} cannot be a folder's name.",
                "use letters, digits, dots, dashes, underscores and @, starting with a letter or digit",
            )
        folded = learner.id.casefold()
        if folded in seen:
            raise Problem(f"{path}, line {number}: the id {learner.id!r} stands in line {seen[folded]} already.", TIP)
        seen[folded] = number
        learners.append(learner if learner.name else replace(learner, name=learner.id))
    if not learners and not may_be_empty:
        raise Problem(f"{path} names no learners.", TIP)
    return learners


def is_safe(id_: str) -> bool:
    """Whether an id can be the name of a folder on every machine.

    >>> is_safe("ada.l@example.org"), is_safe("../ada"), is_safe("con"), is_safe("Con.1"), is_safe("conrad")
    (True, False, False, False, True)
    """
    plain = SAFE_ID.fullmatch(id_) and ".." not in id_ and not id_.endswith(".")
    return bool(plain) and not DEVICES.fullmatch(id_)


def _plain(head: str) -> str:
    """Return a column's head as it is compared."""
    return head.strip().lower().replace(" ", "_")


def _others(heads: list[str], row: list[str], id_column: int) -> tuple[tuple[str, str], ...]:
    """Return the columns that have no meaning here."""
    ours = (*NAME_HEADS, "id", "left")
    pairs = zip(heads, row, strict=False)
    return tuple(
        (head.strip(), value.strip())
        for place, (head, value) in enumerate(pairs)
        if place != id_column and head.strip() and _plain(head) not in ours
    )


def _delimiter(text: str) -> str:
    head = text.strip().splitlines()[0]
    return max(",;\t", key=head.count)


def _cell(heads: list[str], row: list[str], head: str) -> str:
    index = heads.index(head) if head in heads else len(row)
    return row[index].strip() if index < len(row) else ""


def _name(heads: list[str], row: list[str]) -> str:
    whole = next((_cell(heads, row, head) for head in NAME_HEADS if _cell(heads, row, head)), "")
    name = whole or f"{_cell(heads, row, 'first_name')} {_cell(heads, row, 'last_name')}".strip()
    return unicodedata.normalize("NFC", name)


def text_of(learners: list[Learner]) -> str:
    """Return the roster as it is kept in the cohort's folder, with every other column that came."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    heads = list(dict.fromkeys(head for learner in learners for head, _ in learner.others))
    writer.writerow(["id", "name", "left", *heads])
    for learner in learners:
        others = dict(learner.others)
        left = "left" if learner.left else ""
        writer.writerow([learner.id, learner.name, left, *(others.get(head, "") for head in heads)])
    return out.getvalue()
