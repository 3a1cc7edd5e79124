"""Write the answers, folded, into the lessons: each in a cell of its own, below the cell that asks."""

import argparse
import importlib
import re

import nbformat
from nbformat.v4 import new_markdown_cell

from workbook import paths
from workbook.topics import SLUGS, by_slug

ASKS = re.compile(r"^\*?\*?(Before you go on|To close)\.|\*(Before you go on|To close)\.\*", re.MULTILINE)
TRY = re.compile(r"^\d+\. ", re.MULTILINE)
FIGURE = re.compile(r"^(\*Figure \d|The rule is rough)")


def questions(source: str) -> int:
    """Return how many answers a lesson's cell asks for: its numbered tries, or one where it says "Before you go on".

    >>> questions("*Before you go on.* Why?"), questions("*Figure 1. So.*\\n\\n1. Try.\\n2. Try."), questions("1. A list.")
    (1, 2, 0)
    """
    return len(TRY.findall(source)) if FIGURE.match(source) else int(bool(ASKS.search(source)))


def answers(topic: str) -> dict:
    """Return the functions that answer a lesson's cells, by the cell's name."""
    return importlib.import_module(f"workbook.panels.seen.{topic}").ANSWERS


def folded(found: list[str]) -> str:
    """Return answers as text of a lesson, folded until somebody asks.

    >>> print(folded(["A quarter."]))
    <details>
    <summary>What you should have seen</summary>
    <BLANKLINE>
    A quarter.
    <BLANKLINE>
    </details>
    """
    body = found[0] if len(found) == 1 else "\n".join(f"{number}. {one}" for number, one in enumerate(found, start=1))
    return f"<details>\n<summary>What you should have seen</summary>\n\n{body}\n\n</details>"


def printed(notebook, topic: str):
    """Return a lesson's cells with the answers below what they answer."""
    found = answers(topic)
    cells = []
    for cell in notebook.cells:
        if "seen" in cell.metadata:
            continue
        cells.append(cell)
        if cell.id in found:
            text = folded(found[cell.id]())
            cells.append(new_markdown_cell(text, id=f"{cell.id}-seen", metadata={"seen": cell.id}))
    return cells


def main(arguments: list[str] | None = None) -> None:
    """Write the answers of the lesson of a topic anew, or of all."""
    told = "Write the answers into the lessons anew."
    parser = argparse.ArgumentParser(prog="python -m workbook.panels.seen.printing", description=told)
    parser.add_argument("topic", nargs="?", choices=SLUGS, help="every lesson if none is named")
    named = parser.parse_args(arguments).topic
    for topic in [named] if named else SLUGS:
        lesson = paths.lessons() / f"{by_slug(topic).folder}.ipynb"
        notebook = nbformat.read(lesson, as_version=4)
        notebook.cells = printed(notebook, topic)
        nbformat.write(notebook, lesson)


if __name__ == "__main__":
    main()
