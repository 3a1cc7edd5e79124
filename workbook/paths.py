"""The one place that knows where notebooks are: beside the packages in a clone, inside the package in a wheel."""

from collections.abc import Callable
from pathlib import Path

from workbook.problems import Problem

HERE = Path(__file__).resolve().parent


def lessons() -> Path:
    """Return the folder of the lesson notebooks."""
    return HERE / "lessons"


def exercises() -> Path:
    """Return the folder of the printed exercises, one folder a topic."""
    packed = HERE / "exercises"
    return packed if packed.is_dir() else HERE.parent / "exercises"


def clone_folder(name: str) -> Path:
    """Return a top-level folder of the clone, or raise FileNotFoundError in an installed wheel."""
    if not (HERE.parent / "pyproject.toml").is_file():
        raise FileNotFoundError(f"{name}/ is only there in a clone of the project")
    return HERE.parent / name


def resolved(path: Path) -> Path:
    """Return a path with all links followed, or raise Problem where they lead round in a circle.

    From Python 3.13 on pathlib returns such a path as it is, so that what is written there takes the link's place.
    """
    try:
        found = Path(path).resolve()
        goes_round = found.is_symlink()
    except RuntimeError:  # how pathlib says it up to Python 3.12
        goes_round = True
    if goes_round:
        raise Problem(f"{path} is a link that leads back to itself.", "name the file or folder itself, not the link")
    return found


MOST_BYTES_OF_OURS = 50_000_000


def refuse_another(path: Path, is_ours: Callable[[bytes], bool], option: str) -> None:
    """Raise Problem where a file stands that the command did not write: a log or somebody's work gives way to none.

    What cannot be looked at is left to the writing, which says why.
    """
    try:
        content = path.read_bytes() if path.is_file() and path.stat().st_size <= MOST_BYTES_OF_OURS else None
        other = path.is_file() and (content is None or not (content == b"" or is_ours(content)))
    except OSError:
        return
    if other:
        raise Problem(f"{path} is there already, another file; nothing was written.", f"name a new file with {option}")
