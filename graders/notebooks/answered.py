"""How many answers a notebook holds that came back."""

from graders import sheets
from graders.notebooks import printer, submission
from workbook.topics import by_slug


def answers(notebook: dict, topic: str, exercise: str) -> int:
    """Return how many answer cells of a parsed notebook hold something else than what was printed.

    Raises
    ------
    KeyError
        Where this version has no such exercise.
    """
    printed = printer.graded_cells(by_slug(topic), sheets.find(topic, exercise))
    answered = set()
    for cell in notebook["cells"]:
        name = submission.grade_id_of(cell)
        model = printed.get(name)
        if model and model["metadata"]["nbgrader"]["solution"]:
            written = cell["source"].strip()
            if written and written != model["source"].strip():
                answered.add(name)
    return len(answered)
