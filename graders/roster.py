"""The list of learners, as spreadsheets and nbgrader export it."""

import csv
import io
import re
import unicodedata
from dataclasses import dataclass, replace
from pathlib import Path

from graders.problems import Problem

SAFE_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@-]{0,63}")
ID_HEADS = ("id", "learner", "student", "student_id", "username")
NAME_HEADS = ("name", "full_name", "fullname")
TIP = "mend the file in a spreadsheet and save it as CSV with the columns id and name"


@dataclass(frozen=True)
class Learner:
    """One learner: the id used in folders, the name on pages, and whether they left (kept, but not chased)."""

    id: str
    name: str
    left: bool = False


def read(path: Path) -> list[Learner]:
    """Return the learners of a CSV file, in its order.

    Takes UTF-8 with or without a byte order mark, commas, semicolons or tabs, and quotes. Other columns are left alone;
    ``first_name`` and ``last_name`` make a name where there is no column ``name``. Anything in a column ``left`` says
    that a learner left.

    Raises
    ------
    Problem
        For a missing or unreadable file, no id column, and missing, unsafe or repeated ids, with the line's number.
    """
    try:
        text = Path(path).read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise Problem(f"{path} cannot be read: {error.strerror}.", TIP) from None
    except UnicodeDecodeError:
        raise Problem(f"{path} is not UTF-8 text.", "save it again as CSV UTF-8") from None
    if "\0" in text or not text.strip():
        raise Problem(f"{path} holds no list of learners.", TIP)
    rows = list(csv.reader(io.StringIO(text), delimiter=_delimiter(text)))
    heads = [head.strip().lower().replace(" ", "_") for head in rows[0]]
    id_column = next((heads.index(head) for head in ID_HEADS if head in heads), None)
    if id_column is None:
        raise Problem(f"{path} has no column for the learner's id.", TIP)
    learners, seen = [], {}
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        id_ = row[id_column].strip() if id_column < len(row) else ""
        learner = Learner(id_, _name(heads, row), bool(_cell(heads, row, "left")))
        if not learner.id:
            raise Problem(f"{path}, line {number}: no id.", TIP)
        if not SAFE_ID.fullmatch(learner.id) or ".." in learner.id or learner.id.endswith("."):
            raise Problem(
                f"{path}, line {number}: the id {learner.id!r} cannot be a folder's name.",
                "use letters, digits, dots, dashes, underscores and @, starting with a letter or digit",
            )
        folded = learner.id.casefold()
        if folded in seen:
            raise Problem(f"{path}, line {number}: the id {learner.id!r} stands in line {seen[folded]} already.", TIP)
        seen[folded] = number
        learners.append(learner if learner.name else replace(learner, name=learner.id))
    if not learners:
        raise Problem(f"{path} names no learners.", TIP)
    return learners


def _delimiter(text: str) -> str:
    head = text.splitlines()[0]
    return max(",;\t", key=head.count)


def _cell(heads: list[str], row: list[str], head: str) -> str:
    index = heads.index(head) if head in heads else len(row)
    return row[index].strip() if index < len(row) else ""


def _name(heads: list[str], row: list[str]) -> str:
    whole = next((_cell(heads, row, head) for head in NAME_HEADS if _cell(heads, row, head)), "")
    name = whole or f"{_cell(heads, row, 'first_name')} {_cell(heads, row, 'last_name')}".strip()
    return unicodedata.normalize("NFC", name)


def text_of(learners: list[Learner]) -> str:
    """Return the roster as it is kept in the cohort's folder."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["id", "name", "left"])
    writer.writerows([learner.id, learner.name, "left" if learner.left else ""] for learner in learners)
    return out.getvalue()
