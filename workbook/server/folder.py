"""A learner's folder: lay out lessons and exercises in it, and never overwrite what the learner did.

``lessons/03_profile.ipynb``, ``profile/04_bead-lag.ipynb`` and so on, ``start.ipynb`` with the contents, and
``.workbook/`` with what only the programs need.
"""

import contextlib
import hashlib
import json
import os
import re
import threading
import zipfile
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from workbook import paths
from workbook.problems import Problem, meant
from workbook.topics import SLUGS

OWN = ".workbook"
"""The folder in a learner's folder that is ours."""

METADATA_KEY = "rework_workbook"
TEXTS_OF_0_2_0 = json.loads((Path(__file__).parent / "texts_of_0_2_0.json").read_bytes())
"""The lessons of version 0.2.0, which noted only their file's hash: that hash -> what was written in them, hashed."""

MOST_BYTES, MOST_NOTEBOOK = 100_000_000, 20_000_000


@dataclass(frozen=True)
class Laid:
    """What laying out did: files that are new, brought up to date, or put beside a file the learner changed."""

    root: Path
    new: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    beside: list[str] = field(default_factory=list)


def is_learners(root: Path) -> bool:
    """Whether a folder has been laid out before."""
    return (root / OWN).is_dir()


def default(here: Path) -> Path:
    """Return the folder to open where none is named: this one if it is a learner's, else one in it."""
    return here if is_learners(here) or handout_topics(here) else here / "rework-workbook"


def learners(place: Path | None) -> Path:
    """Return a learner's folder that a person names, or the one around here, or raise Problem."""
    root = paths.resolved(place or default(Path.cwd()))
    if not (is_learners(root) or handout_topics(root)):
        raise Problem(f"{root} is no folder of this workbook.", "name the folder you work in, such as rework-workbook")
    return root


def shipped(without: tuple[str, ...] = ()) -> dict[str, bytes]:
    """Return the notebooks that come with the workbook, by their place in a learner's folder.

    ``without`` names topics whose exercises are left out: a handout has its own.
    """
    files = {f"lessons/{path.name}": path.read_bytes() for path in sorted(paths.lessons().glob("*.ipynb"))}
    for slug in SLUGS:
        if slug not in without:
            for path in sorted((paths.exercises() / slug).glob("*.ipynb")):
                files[f"{slug}/{path.name}"] = path.read_bytes()
    return files


def handout_topics(root: Path) -> tuple[str, ...]:
    """Return the topics of which a folder holds handed-out exercises: those whose notebooks carry a seal."""
    return tuple(slug for slug in SLUGS if any(_is_sealed(path) for path in sorted((root / slug).glob("*.ipynb"))))


def _is_sealed(path: Path) -> bool:
    return "seal" in about(path)


def about(path: Path) -> dict:
    """Return what an exercise says of itself (topic, exercise, learner, seal), or nothing if it is none of ours."""
    try:
        now = path.stat()
        return _about(path, now.st_mtime_ns, now.st_size) if now.st_size <= MOST_NOTEBOOK else {}
    except OSError:
        return {}


@lru_cache(maxsize=1024)
def _about(path: Path, written: int, size: int) -> dict:
    """Read what a file says of itself, once for each time it is written: one page asks several times."""
    try:
        told = json.loads(path.read_bytes())["metadata"][METADATA_KEY]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    return told if isinstance(told, dict) else {}


def unpacked(archive: Path) -> tuple[str, dict[str, bytes]]:
    """Return the name and the notebooks of a handout's archive, or raise Problem.

    Only ``NAME/TOPIC/FILE.ipynb`` is taken: nothing in an archive can be written anywhere else.
    """
    try:
        with zipfile.ZipFile(archive) as held:
            if sum(entry.file_size for entry in held.infolist()) > MOST_BYTES:
                raise Problem(f"{archive} is too large for a handout.", "ask your instructor for the archive again")
            names, files = set(), {}
            for entry in held.infolist():
                parts = PurePosixPath(entry.filename.replace("\\", "/")).parts
                if re.fullmatch(rf"[\w.-]*\w/({'|'.join(SLUGS)})/[\w-]+\.ipynb", "/".join(parts)):
                    names.add(parts[0])
                    files[f"{parts[1]}/{parts[2]}"] = held.read(entry)
    except Problem:
        raise
    except Exception as error:  # archives fail in more ways than their readers list
        raise Problem(f"{archive} cannot be read as an archive: {error}", "ask your instructor for it again") from None
    if len(names) != 1:
        raise Problem(f"{archive} is no handout of this workbook.", "give the .zip file your instructor sent")
    return names.pop(), files


def lay_out(root: Path, handout: dict[str, bytes] | None = None) -> Laid:
    """Lay lessons and exercises out in a folder, or bring them up to date, or raise Problem.

    A file the learner has not touched is replaced by a newer edition; beside one the learner changed, the newer edition
    is put under a name of its own.
    """
    handout = handout or {}
    _check_place(root, handout)
    topics = {name.split("/")[0] for name in handout} | set(handout_topics(root))
    laid, known = Laid(root), _known(root)
    for name, content in {**shipped(without=tuple(topics)), **handout}.items():
        path, edition = root / name, Edition.of(content)
        before = known.get(name, edition)
        if not path.exists():
            write_whole(path, content)
            laid.new.append(name)
        elif before.file != edition.file and (there := Edition.of(path.read_bytes())).file != edition.file:
            if there.file == before.file or there.text in (before.text, edition.text):
                write_whole(path, content)
                laid.updated.append(name)
            else:
                beside = free_name(path, "new-edition")
                write_whole(beside, content)
                laid.beside.append(beside.relative_to(root).as_posix())
        known[name] = edition
    note = {name: [edition.file, edition.text] for name, edition in known.items()}
    write_whole(root / OWN / "laid.json", json.dumps(note, indent=1, sort_keys=True).encode())
    return laid


def _check_place(root: Path, handout: dict) -> None:
    if root.exists() and not root.is_dir():
        raise Problem(f"{root} is a file, not a folder.", "name a folder, or a handout that ends in .zip")
    if root.is_dir() and any(root.iterdir()) and not (is_learners(root) or handout_topics(root)):
        raise Problem(
            f"{root} holds other things and is no folder of this workbook.",
            f"name a new folder, such as {root / 'rework'}",
        )
    try:
        (root / OWN).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Problem(f"{root} cannot be written ({error.strerror}).", "name a folder in your own home") from None


class Edition(NamedTuple):
    """A notebook by two hashes: of its file, and of what a person writes in it.

    JupyterLab rewrites a file that is opened and run: outputs, counts, the order of keys. Only the second hash tells
    whether a learner has changed it.
    """

    file: str
    text: str | None

    @classmethod
    def of(cls, content: bytes) -> "Edition":
        """Return the edition of a notebook's file."""
        return cls(_digest(content), _digest(_written(content)))


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _written(content: bytes) -> bytes:
    """Return what a person writes in a notebook: its cells' texts and what is pasted into them, in their order.

    An empty cell says nothing: JupyterLab adds one where the last cell is run by hand.
    """
    try:
        cells = [
            [cell["cell_type"], text_of(cell), cell.get("attachments", {})] for cell in json.loads(content)["cells"]
        ]
        return json.dumps([cell for cell in cells if cell[1].strip()], sort_keys=True).encode()
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return content


def _known(root: Path) -> dict[str, Edition]:
    """Return what was laid out before; nothing if that note is lost, and then all files are kept."""
    try:
        known = json.loads((root / OWN / "laid.json").read_bytes())
        return {name: _noted(note) for name, note in known.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _noted(note: str | list) -> Edition:
    """Return the edition of a note. Up to version 0.2.0 a note was the file's hash alone."""
    return Edition(note, TEXTS_OF_0_2_0.get(note)) if isinstance(note, str) else Edition(*note)


def free_name(path: Path, word: str) -> Path:
    """Return a name that is not taken, beside a file, with a word added.

    >>> free_name(Path("no-such-folder/04_bead-lag.ipynb"), "again").name
    '04_bead-lag_again.ipynb'
    """
    number = 1
    while (beside := path.with_name(f"{path.stem}_{word}{f'-{number}' if number > 1 else ''}{path.suffix}")).exists():
        number += 1
    return beside


def write_whole(path: Path, content: bytes, on_disk: bool = False) -> None:
    """Write a file so that it is there whole or not at all, or raise Problem.

    Whoever writes it at the same time writes elsewhere: the last one to finish is there, whole. With ``on_disk`` it is
    on the disk before it has its name, so that it is whole after a power cut too: for what nobody could make again.
    """
    writing = path.with_name(f".{path.name}.{os.getpid()}-{threading.get_ident()}.writing")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with writing.open("wb") as file:
            file.write(content)
            if on_disk:
                file.flush()
                os.fsync(file.fileno())
        os.replace(writing, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            writing.unlink(missing_ok=True)
        raise Problem(
            f"{path} cannot be written ({error.strerror}).", "free some space, or name another folder"
        ) from None


def copies(root: Path, slug: str) -> dict[str, list[Path]]:
    """Return the notebooks of each exercise of a topic, by what they say of themselves, whatever they are called.

    A file too damaged to say what it is keeps the place that its printed name gives it.
    """
    found: dict[str, list[Path]] = {}
    for path in sorted((root / slug).glob("*.ipynb")):
        named = re.fullmatch(r"\d+_([a-z0-9-]+)", path.stem)
        id_ = about(path).get("exercise") or (named and named.group(1))
        if isinstance(id_, str):
            found.setdefault(id_, []).append(path)
    return found


def chosen(paths: list[Path]) -> Path:
    """Return the notebook that counts among copies of one exercise: the one with most answers.

    Of those with as many, the one under its printed name; and of others the one last worked on.
    """
    if len(paths) == 1:
        return paths[0]
    return max(paths, key=lambda path: (answered(path), _has_printed_name(path), path.stat().st_mtime))


def exercises(root: Path) -> dict[str, list[Path]]:
    """Return the exercise notebooks of a learner's folder, topic by topic: one for each exercise."""
    found = {slug: sorted(map(chosen, copies(root, slug).values()), key=_printed_place) for slug in SLUGS}
    return {slug: paths for slug, paths in found.items() if paths}


def printed_stem(path: Path) -> str:
    """Return the name an exercise's notebook was printed under; its own where no shipped exercise is the same."""
    return _shipped_stems(paths.exercises() / path.parent.name).get(about(path).get("exercise"), path.stem)


@cache
def _shipped_stems(place: Path) -> dict[str, str]:
    return {path.stem.split("_", 1)[-1]: path.stem for path in place.glob("*.ipynb")}


def _has_printed_name(path: Path) -> bool:
    return printed_stem(path) == path.stem


def _printed_place(path: Path) -> tuple[str, str]:
    return printed_stem(path), path.stem


def answered(path: Path) -> int:
    """Return how many answer cells of a notebook hold something; none where it cannot be read."""
    try:
        cells = json.loads(path.read_bytes())["cells"]
        return sum(not is_open(text_of(cell)) for cell in cells if is_answer(cell))
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return 0


def is_answer(cell: dict) -> bool:
    """Whether a cell of a notebook is one to answer in."""
    return bool(cell.get("metadata", {}).get("nbgrader", {}).get("solution"))


def text_of(cell: dict) -> str:
    """Return a cell's text, which a file may hold in lines."""
    source = cell["source"]
    return source if isinstance(source, str) else "".join(source)


def is_open(source: str) -> bool:
    """Whether an answer cell still holds what was printed into it.

    >>> is_open("lag = ...   # K"), is_open("lag = 2.5   # K"), is_open("Write your answer here.")
    (True, False, True)
    """
    lines = [line for line in source.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    open_lines = [line for line in lines if re.fullmatch(r"\s*\w+\s*=\s*\.\.\.\s*(#.*)?", line)]
    return lines == open_lines or source.strip() == "Write your answer here."


def exercise(root: Path, name: str) -> Path:
    """Return the exercise a person means by a name, number and name, or file name, or raise Problem."""
    wanted = Path(name).stem.lower()
    there = [path for some in exercises(root).values() for path in some]
    named = [path for path in there if wanted in (path.stem.lower(), *_names(path))]
    if len(named) == 1:
        return named[0]
    words = [_names(path)[1] for path in there]
    raise Problem(f"there is no exercise {name!r} in {root}.", meant(wanted, words) if words else "workbook open")


def _names(path: Path) -> tuple[str, str]:
    """Return the names an exercise goes by: its printed one, and the same without its number."""
    printed = printed_stem(path).lower()
    return printed, printed.split("_", 1)[-1]
