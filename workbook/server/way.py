"""The way through a learner's folder: from a lesson's section to its exercises, back again, and on to the next."""

import json
import re
import tomllib
from dataclasses import dataclass
from functools import cache

from workbook import paths
from workbook.topics import by_slug


@dataclass(frozen=True)
class Section:
    """A numbered section of a lesson: its heading, and where the lesson stands in a learner's folder."""

    lesson: str
    number: int
    heading: str

    @property
    def anchor(self) -> str:
        """The heading's address in the notebook's page, as JupyterLab names it."""
        return self.heading.replace(" ", "-")


@cache
def _exercises() -> dict[str, dict[int, list[str]]]:
    table = tomllib.loads((paths.lessons() / "exercises.toml").read_text(encoding="utf-8"))
    return {slug: {int(number): ids for number, ids in sections.items()} for slug, sections in table.items()}


@cache
def headings(slug: str) -> dict[int, str]:
    """Return the headings of a topic's lesson by their number.

    >>> headings("profile")[3]
    '3. Read a thermocouple for what it says'
    """
    cells = json.loads((paths.lessons() / f"{by_slug(slug).folder}.ipynb").read_bytes())["cells"]
    text = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    return {int(number): f"{number}. {words}" for number, words in re.findall(r"^## (\d+)\. (.+)$", text, re.MULTILINE)}


def exercises(slug: str, number: int) -> list[str]:
    """Return the ids of the exercises of a section, in teaching order."""
    return _exercises()[slug].get(number, [])


def section(slug: str, exercise: str) -> Section | None:
    """Return the section to read for an exercise, or None where none is named.

    >>> section("profile", "bead-lag").number
    3
    """
    for number, ids in _exercises()[slug].items():
        if exercise in ids:
            return Section(f"lessons/{by_slug(slug).folder}.ipynb", number, headings(slug)[number])
    return None


def following(lines: list, place: str):
    """Return the exercise after one in its topic's list: the next that is not done, or None at the end.

    ``lines`` are what the contents show of a topic.
    """
    at = next((index for index, line in enumerate(lines) if line.path == place), -1)
    return next((line for line in lines[at + 1 :] if not line.done and not line.damaged), None)
