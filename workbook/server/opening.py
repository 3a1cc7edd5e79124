"""What `workbook open` does, and what it says while it does it."""

from collections.abc import Callable
from pathlib import Path

from workbook.paths import resolved
from workbook.problems import Problem
from workbook.server import contents, folder, jupyter


def open_(
    place: Path | None, again: str | None, port: int | None, browser: bool, start: bool, say: Callable[[str], None]
) -> Path:
    """Lay out a learner's folder and start JupyterLab on it; return the folder."""
    root, handout = where(place)
    laid = folder.lay_out(root, handout)
    tell(laid, say)
    if again is not None:
        say(f"A clean copy is in {clean_copy(root, again).relative_to(root)}. Your own is kept as it is.")
    for line in contents.lay(root):
        say(line)
    if start:
        jupyter.run(root, port, browser, say)
    return root


def where(place: Path | None) -> tuple[Path, dict[str, bytes]]:
    """Return the folder to lay out, and the notebooks of a handout's archive if that was given, or raise Problem."""
    if place is None:
        return folder.default(Path.cwd()), {}
    if place.is_file() and place.suffix.lower() == ".zip":
        name, files = folder.unpacked(place)
        return (Path.cwd() / name).resolve(), files
    if place.suffix.lower() == ".zip":
        raise Problem(f"there is no file {place}.", "look at its name and folder")
    return resolved(place), {}


def tell(laid: folder.Laid, say: Callable[[str], None]) -> None:
    """Say what was laid out, in a line for each kind."""
    say(f"Your folder: {laid.root}")
    topics = folder.handout_topics(laid.root)
    if topics:
        say(f"Handed out to you: {', '.join(topics)}.")
    own = [name for name in laid.new if "sheet" in folder.about(laid.root / name)]
    if own:
        say(f"Your instructor's own: {', '.join(own)}. To check these runs your instructor's code on this machine.")
    if laid.new:
        say(f"{_notebooks(laid.new)} put there.")
    if laid.updated:
        say(f"{_notebooks(laid.updated)} brought up to date; you had not changed them.")
    for name in laid.beside:
        say(f"A newer edition is in {name}, beside the one you worked in, which is kept.")


def _notebooks(names: list[str]) -> str:
    return "1 notebook" if len(names) == 1 else f"{len(names)} notebooks"


def clean_copy(root: Path, name: str) -> Path:
    """Put a clean copy of an exercise beside the old one: of a handout with the learner's own numbers."""
    path = folder.exercise(root, name)
    printed = path.with_name(f"{folder.printed_stem(path)}.ipynb")
    if "seal" in folder.about(path):
        from graders.desk import copying

        content = copying.clean(path)
    else:
        content = _as_it_comes(root, path, printed)
    copy = folder.free_name(printed, "again")
    folder.write_whole(copy, content)
    return copy


def _as_it_comes(root: Path, path: Path, printed: Path) -> bytes:
    """Return an exercise as it comes with the workbook, for a notebook without a seal; or raise Problem."""
    topic = path.parent.name
    if topic in folder.handout_topics(root):  # the open edition has other numbers than this learner's: it earns nothing
        raise Problem(
            f"{path} no longer says whose numbers it has, so a clean copy cannot be made.",
            "move it out of the folder, then open the .zip file your instructor sent once more",
        )
    shipped = folder.shipped().get(f"{topic}/{printed.name}")
    if shipped is None:
        raise Problem(f"{path} is no exercise that comes with this workbook.", "name another exercise")
    return shipped
