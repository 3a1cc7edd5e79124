"""An instructor's own sheets: Python files in a cohort's ``sheets/``, read into exercises of the same form as ours.

Their code is the instructor's, and trusted as this package is. An own exercise is told by its name, which begins with
`PREFIX`, and its number, from `FIRST_NUMBER` on: no exercise of this package will ever have such ones, so neither can
become another's by a newer version.
"""

import ast
import base64
import binascii
import hashlib
import re
import sys
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from graders import sheets
from graders.questions import Exercise
from workbook.problems import Problem, meant
from workbook.topics import SLUGS

FOLDER = "sheets"
PREFIX = "own-"
ID = re.compile(rf"{PREFIX}[a-z0-9]+(-[a-z0-9]+)*")
FIRST_NUMBER, LAST_NUMBER = 101, 999
MOST_BYTES = 200_000
"""A sheet goes out within each notebook of its exercises, so that a learner can check them."""

LIBRARIES = {"graders", "workbook", "numpy", "scipy"}
"""What a sheet may import besides Python's own library: what is there wherever this package is."""


@dataclass(frozen=True)
class OwnSheet:
    """One own sheet: its file's name, its text, the topic, the exercises, and the steps let in, each with its reason."""

    name: str
    text: str
    topic: str
    exercises: tuple[Exercise, ...]
    let_in: dict


def is_own(exercise: str) -> bool:
    """Whether an exercise is an instructor's own, by its name."""
    return exercise.startswith(PREFIX)


def files(root: Path) -> list[Path]:
    """Return the files that are own sheets of a cohort, by name."""
    folder = root / FOLDER
    return sorted(path for path in folder.glob("*.py") if not path.name.startswith((".", "_")))


def use(root: Path) -> tuple[Problem, ...]:
    """Let the own sheets of this cohort stand beside ours, in place of another cohort's, and return what is wrong.

    One process works with one cohort at a time. A sheet with something wrong has no exercises.
    """
    found: dict[str, list[Exercise]] = {slug: [] for slug in SLUGS}
    taken: dict[tuple, str] = {}
    problems = []
    for path in files(root):
        try:
            sheet = read(path)
            _refuse_taken(sheet, taken)
        except Problem as problem:
            problems.append(problem)
            continue
        found[sheet.topic] += sheet.exercises
        taken |= dict.fromkeys(_places(sheet), sheet.name)
    sheets.put_beside(found)
    return tuple(problems)


def _places(sheet: OwnSheet) -> Iterator[tuple]:
    """Yield what an exercise may have that no other has: its id, and its number in its topic."""
    for one in sheet.exercises:
        yield "id", one.id
        yield f"number in {sheet.topic}", one.number


def _refuse_taken(sheet: OwnSheet, taken: dict[tuple, str]) -> None:
    for place in _places(sheet):
        if place in taken:
            what, value = place
            _wrong(sheet.name, f"the {what} {value} stands in {taken[place]} already", "give one of them another")


def read(path: Path) -> OwnSheet:
    """Return the sheet in a file, or raise Problem with one line that says what is wrong and where."""
    name = f"{FOLDER}/{path.name}"
    try:
        if not path.is_file():
            _wrong(name, "is no file", "put a Python file there")
        size = path.stat().st_size
        if size > MOST_BYTES:
            _wrong(
                name, f"has {size} bytes, and a sheet at most {MOST_BYTES}", "keep data out of it, or make two of it"
            )
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        _wrong(name, f"is not UTF-8 at byte {error.start}", "save it as UTF-8")
    except OSError as error:
        _wrong(name, f"cannot be read: {error.strerror}", "look at the file's permissions")
    return of_text(name, text)


@lru_cache(maxsize=64)
def of_text(name: str, text: str) -> OwnSheet:
    """Return the sheet with this text, or raise Problem. Its code is run, once for each text in a process."""
    try:
        tree = ast.parse(text, name)
        code = compile(tree, name, "exec")
    except SyntaxError as error:
        _wrong(name, f"line {error.lineno or 1}: Python cannot read it: {error.msg}", "mend that line")
    except (ValueError, RecursionError, MemoryError) as error:
        _wrong(name, f"Python cannot read it: {error or type(error).__name__}", "mend the file")
    _refuse_imports(name, tree)
    space = {"__name__": f"own_sheet_{Path(name).stem}", "__file__": name}
    try:
        exec(code, space)
    except KeyboardInterrupt:
        raise
    except BaseException as error:  # a sheet may raise anything, and may call exit()
        said = " ".join(f"{type(error).__name__}: {error}".split())[:200]
        _wrong(name, f"line {_line(error, name)}: {said}", "mend that line")
    return _sheet(name, text, space)


def _line(error: BaseException, name: str) -> int:
    """Return the last line of the sheet that an error came through."""
    line, trace = 1, error.__traceback__
    while trace:
        if trace.tb_frame.f_code.co_filename == name:
            line = trace.tb_lineno
        trace = trace.tb_next
    return line


def _refuse_imports(name: str, tree: ast.Module) -> None:
    """Raise Problem for an import that a learner's machine may not have."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            imported = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            imported = [node.module or ""] if not node.level else ["."]
        else:
            continue
        for module in imported:
            root = module.split(".")[0]
            if root not in LIBRARIES and root not in sys.stdlib_module_names:
                _wrong(
                    name,
                    f"line {node.lineno}: imports {module!r}, which a learner's machine may not have",
                    f"a sheet stands alone: it may import {', '.join(sorted(LIBRARIES))} and Python's own library",
                )


def _sheet(name: str, text: str, space: dict) -> OwnSheet:
    topic, exercises, let_in = space.get("TOPIC"), space.get("EXERCISES"), space.get("LET_IN", {})
    if not isinstance(topic, str) or topic not in SLUGS:
        said = "names no topic" if "TOPIC" not in space else f"TOPIC is {topic!r}"
        _wrong(name, said, f'write TOPIC = "shorts"; {meant(str(topic), SLUGS)}')
    if isinstance(exercises, Exercise):
        exercises = (exercises,)
    if not isinstance(exercises, (tuple, list)) or not exercises:
        _wrong(name, "has no EXERCISES", "write EXERCISES = (NAME_OF_THE_EXERCISE,)")
    for one in exercises:
        if not isinstance(one, Exercise):
            _wrong(name, f"EXERCISES holds {one!r:.60}, which is no Exercise", "list exercises only")
    named = isinstance(let_in, dict) and all(
        isinstance(step, tuple) and len(step) == 2 and isinstance(why, str) and why for step, why in let_in.items()
    )
    if not named:
        _wrong(name, "LET_IN is not written as it must be", 'write it like this: LET_IN = {("part", "* step"): "why"}')
    for one in exercises:
        _refuse_names(name, topic, one)
    for what in ("id", "number"):
        had = [getattr(one, what) for one in exercises]
        for value in had:
            if had.count(value) > 1:
                _wrong(name, f"two exercises have {what} {value}", f"give each {what} once")
    return OwnSheet(name, text, topic, tuple(replace(one, sheet=_digest(text)) for one in exercises), dict(let_in))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _refuse_names(name: str, topic: str, exercise: Exercise) -> None:
    if not isinstance(exercise.id, str) or not ID.fullmatch(exercise.id):
        clash = isinstance(exercise.id, str) and exercise.id in [one.id for one in sheets.ours(topic)]
        said = "is the name of one of the workbook's own exercises" if clash else "cannot be an own exercise's id"
        _wrong(
            name,
            f"{exercise.id!r} {said}",
            f'write it as "{PREFIX}cold-joint": {PREFIX}, small letters, digits, hyphens',
        )
    number = exercise.number
    if not isinstance(number, int) or isinstance(number, bool) or not FIRST_NUMBER <= number <= LAST_NUMBER:
        _wrong(
            name,
            f"{exercise.id} has number {number!r}",
            f"own exercises have numbers from {FIRST_NUMBER} to {LAST_NUMBER}; the smaller ones are the workbook's",
        )
    if not exercise.parts or not isinstance(exercise.title, str) or not exercise.title.strip():
        _wrong(name, f"{exercise.id} has no {'title' if exercise.parts else 'parts'}", "add it")


def _wrong(name: str, what: str, tip: str) -> None:
    raise Problem(f"{name}: {what}.", tip)


def every(root: Path) -> Iterator[OwnSheet]:
    """Yield the sheets of a cohort that can be read."""
    for path in files(root):
        try:
            yield read(path)
        except Problem:
            continue


def source_of(root: Path, topic: str, exercise: str) -> OwnSheet:
    """Return the sheet in which an own exercise of a cohort stands, or raise KeyError."""
    for sheet in every(root):
        if sheet.topic == topic and exercise in [one.id for one in sheet.exercises]:
            return sheet
    raise KeyError(f"no own sheet has {topic}/{exercise}")


def packed(sheet: OwnSheet, notebook: str) -> dict[str, str]:
    """Return a sheet as a notebook carries it in its metadata: not to be read by accident, and no secret.

    ``notebook`` is the name under which the exercise is printed.
    """
    return {
        "name": sheet.name,
        "notebook": notebook,
        "text": base64.b64encode(zlib.compress(sheet.text.encode(), 9)).decode(),
    }


def unpacked(held) -> tuple[str, str]:
    """Return name and text of a sheet that a notebook carries, or raise Problem. Nothing is run."""
    try:
        zipped = base64.b64decode(held["text"], validate=True)
        opener = zlib.decompressobj()
        text = opener.decompress(zipped, MOST_BYTES + 1)
        if len(text) > MOST_BYTES or not opener.eof or not re.fullmatch(rf"{FOLDER}/[\w.-]+\.py", held["name"]):
            raise ValueError("no sheet")
        return held["name"], text.decode("utf-8")
    except (KeyError, TypeError, ValueError, binascii.Error, zlib.error):
        raise Problem(
            "the sheet of this own exercise is missing or damaged in the notebook.",
            "ask your instructor for the handout again; your answers are safe in the file",
        ) from None


def printed_name(held, exercise: str) -> str:
    """Return the name under which a notebook that carries a sheet was printed, or raise KeyError."""
    name = held.get("notebook") if isinstance(held, dict) else None
    if not is_own(exercise) or not isinstance(name, str) or not re.fullmatch(rf"[1-9]\d\d_{re.escape(exercise)}", name):
        raise KeyError(exercise)
    return name


def known(held, topic: str, exercise: str) -> Exercise:
    """Return an own exercise whose sheet, as a notebook carries it, was run in this process before, or raise Problem."""
    digest = _digest(unpacked(held)[1])
    for one in sheets.own_exercises(topic):
        if (one.id, one.sheet) == (exercise, digest):
            return one
    raise Problem("This exercise is your instructor's own.", "save it and run its last cell to check your answers")


def lent(held, topic: str, exercise: str) -> Exercise:
    """Return an own exercise from the sheet that its notebook carries, and let it stand beside ours, or raise Problem.

    The sheet's code is run: only where the notebook's own cells are run too.
    """
    sheet = of_text(*unpacked(held))
    for one in sheet.exercises:
        if (sheet.topic, one.id) == (topic, exercise):
            sheets.put_beside({topic: [*(other for other in sheets.own_exercises(topic) if other.id != exercise), one]})
            return one
    raise Problem(
        f"the notebook carries a sheet without its own exercise {exercise}.",
        "ask your instructor for the handout again",
    )
