"""The list of learners, as spreadsheets and nbgrader export it."""

import csv
import io
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from graders.cohort import tables
from graders.cohort.tables import PLAIN, Manner, manner_of
from workbook.problems import Problem

SAFE_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@-]{0,63}")
DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that are devices on Windows, where a learner could not unpack the handout."""

ID_HEADS = ("id", "learner", "student", "student_id", "username", "sourcedid")
NAME_HEADS = ("name", "full_name", "fullname")
FIRST_HEADS, LAST_HEADS = ("first_name", "givenname"), ("last_name", "familyname", "surname")
"""The heads of OneRoster's users.csv are among these: sourcedId, username, givenName, familyName."""
LEARNERS_ROLE = "student"
"""In a list of OneRoster, whose column ``role`` also names teachers and parents."""
NOT_LEFT = ("", "no", "0", "false")
"""What says in a column ``left`` that somebody is still there."""
GONE = ("tobedeleted", "inactive")
"""What OneRoster's column ``status`` says of who left."""
PERSON_HEADS = (*NAME_HEADS, *FIRST_HEADS, *LAST_HEADS, "left")
"""Heads of columns that say who somebody is."""
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
    are kept; ``first_name`` and ``last_name`` make a name where there is no column ``name``. Anything but
    ``no``, ``0`` and ``false`` in a column ``left`` says that a learner left. A cohort's own list may be empty: its
    record says who was handed what.

    Of the users.csv of OneRoster (1EdTech, versions 1.1 and 1.2) ``username`` is the id, or ``sourcedId`` where there
    is no such column; rows of another role than student are no learners, and a status that is not active says who left.

    Raises
    ------
    Problem
        For a missing or unreadable file, no id column, a head that stands twice, and missing, unsafe or repeated ids,
        with the line's number.
    """
    _, rows = tables.rows(path, "list of learners", TIP, may_be_empty)
    if not rows:
        return []
    (_, written), *rows = rows
    heads = [plain(head) for head in written]
    id_column = next((heads.index(head) for head in ID_HEADS if head in heads), None)
    if id_column is None:
        raise Problem(f"{path} has no column for the learner's id.", TIP)
    twice = next((head for head in heads if head and heads.count(head) > 1), None)
    if twice:
        raise Problem(f"{path} has more than one column {twice!r}.", "rename one of them, or take it out")
    learners: list[Learner] = []
    seen: dict[str, tuple[int, str]] = {}
    for number, row in rows:
        if "sourcedid" in heads and _cell(heads, row, "role").casefold() not in ("", LEARNERS_ROLE):
            continue
        id_ = row[id_column].strip() if id_column < len(row) else ""
        _refuse_id(path, number, id_, seen)
        seen[id_.casefold()] = number, id_
        others = _others(written, row, id_column)
        learners.append(Learner(id_, _name(heads, row) or id_, _has_left(heads, row), others))
    if not learners and not may_be_empty:
        raise Problem(f"{path} names no learners.", TIP)
    return learners


def _refuse_id(path: Path, number: int, id_: str, seen: dict[str, tuple[int, str]]) -> None:
    """Raise Problem for an id in a line that is missing, that no folder can have, or that stands in a line before."""
    if not id_:
        raise Problem(f"{path}, line {number}: no id.", TIP)
    if not is_safe(id_):
        raise Problem(
            f"{path}, line {number}: the id {id_!r} cannot be a folder's name.",
            "use letters without accents, digits, and . _ - @ between them, at most 64, starting with a letter "
            "or digit; and no name that is a device on Windows, such as con",
        )
    if id_.casefold() in seen:
        where, spelling = seen[id_.casefold()]
        spelt = "" if spelling == id_ else f", as {spelling!r}: capitals make no other id"
        raise Problem(f"{path}, line {number}: the id {id_!r} stands in line {where} already{spelt}.", TIP)


def _has_left(heads: list[str], row: list[str]) -> bool:
    said = _cell(heads, row, "left").casefold() not in NOT_LEFT
    return said or ("sourcedid" in heads and _cell(heads, row, "status").lower() in GONE)


def manner(path: Path) -> Manner:
    """Return how a list is written, so that a cohort's tables open where the list was made; plain where there is none.

    Raises Problem as `read` does.
    """
    if not path.exists():
        return PLAIN
    delimiter, rows = tables.rows(path, "list of learners", TIP, may_be_empty=True)
    return manner_of(delimiter, (cell.strip() for _, row in rows for cell in row)) if rows else PLAIN


def is_safe(id_: str) -> bool:
    """Whether an id can be the name of a folder on every machine.

    >>> is_safe("ada.l@example.org"), is_safe("../ada"), is_safe("con"), is_safe("Con.1"), is_safe("conrad")
    (True, False, False, False, True)
    """
    plain = SAFE_ID.fullmatch(id_) and ".." not in id_ and not id_.endswith(".")
    return bool(plain) and not DEVICES.fullmatch(id_)


def plain(head: str) -> str:
    """Return a column's head as it is compared."""
    return head.strip().lower().replace(" ", "_")


def _others(heads: list[str], row: list[str], id_column: int) -> tuple[tuple[str, str], ...]:
    """Return the columns that have no meaning here."""
    ours = (*NAME_HEADS, "id", "left")
    pairs = zip(heads, row, strict=False)
    return tuple(
        (head.strip(), value.strip())
        for place, (head, value) in enumerate(pairs)
        if place != id_column and head.strip() and plain(head) not in ours
    )


def _cell(heads: list[str], row: list[str], head: str) -> str:
    index = heads.index(head) if head in heads else len(row)
    return row[index].strip() if index < len(row) else ""


def _name(heads: list[str], row: list[str]) -> str:
    def first_of(names: tuple[str, ...]) -> str:
        return next((_cell(heads, row, head) for head in names if _cell(heads, row, head)), "")

    name = first_of(NAME_HEADS) or f"{first_of(FIRST_HEADS)} {first_of(LAST_HEADS)}".strip()
    return unicodedata.normalize("NFC", name)


def text_of(learners: list[Learner], manner: Manner = PLAIN) -> str:
    """Return the roster as it is kept in the cohort's folder, with every other column that came."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=manner.delimiter, lineterminator="\n")
    heads = other_heads(learners)
    writer.writerow(["id", "name", "left", *heads])
    for learner in learners:
        others = dict(learner.others)
        left = "left" if learner.left else ""
        writer.writerow([learner.id, learner.name, left, *(others.get(head, "") for head in heads)])
    return out.getvalue()


def other_heads(learners: list[Learner]) -> list[str]:
    """Return the heads of the other columns, in the order they came."""
    return list(dict.fromkeys(head for learner in learners for head, _ in learner.others))
