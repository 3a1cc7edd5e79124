"""Still pictures in the lessons: what a reader sees before anything is run, and in print.

A lesson cell with ``"still": "profile.heat"`` in its metadata carries one output: the picture of
``workbook.panels.profile.heat_picture`` at its starting settings, with its words as alternative text. One with
``"still": "drawings.joint.cut_open"`` carries that drawing, made from its own numbers.
"""

import argparse
import importlib
from pathlib import Path

import nbformat
from nbformat.v4 import new_output

from workbook import drawings, paths
from workbook.panels.explorer import settings_of, still_html
from workbook.panels.pictures import Picture


def picture(name: str) -> Picture:
    """Return the starting picture of an explorer named ``topic.explorer``, such as ``profile.heat``."""
    topic, explorer = name.split(".")
    panel = importlib.import_module(f"workbook.panels.{topic}")
    controls = getattr(panel, f"{explorer.upper()}_CONTROLS")
    return getattr(panel, f"{explorer}_picture")(settings_of(controls))


def html_of(name: str) -> str:
    """Return the still of that name: a drawing, or the starting picture of an explorer."""
    if name.startswith("drawings."):
        return drawings.show(name.removeprefix("drawings.")).still()
    return still_html(picture(name))


def stills(notebook) -> dict[int, str]:
    """Return the name of the still of each cell that has one, by the cell's place."""
    return {
        index: cell.metadata["still"]
        for index, cell in enumerate(notebook.cells)
        if cell.cell_type == "code" and "still" in cell.metadata
    }


def renew(lesson: Path) -> None:
    """Write a lesson's still pictures anew and take every other output and count away."""
    notebook = nbformat.read(lesson, as_version=4)
    named = stills(notebook)
    for index, cell in enumerate(notebook.cells):
        if cell.cell_type == "code":
            cell.execution_count, cell.outputs = None, []
            if index in named:
                data = {"text/html": html_of(named[index]), "text/plain": "A still picture."}
                cell.outputs = [new_output("display_data", data=data)]
    nbformat.write(notebook, lesson)


def main(arguments: list[str] | None = None) -> None:
    """Renew the stills of the lessons named, or of all."""
    lessons = sorted(paths.lessons().glob("*.ipynb"))
    parser = argparse.ArgumentParser(prog="python -m workbook.panels.stills", description="Renew the lessons' stills.")
    parser.add_argument("lesson", nargs="*", help="such as 03_profile; every lesson if none is named")
    named = parser.parse_args(arguments).lesson
    for stranger in set(named) - {path.stem for path in lessons}:
        parser.error(f"there is no lesson {stranger}: {', '.join(path.stem for path in lessons)}")
    for lesson in lessons:
        if not named or lesson.stem in named:
            renew(lesson)


if __name__ == "__main__":
    main()
