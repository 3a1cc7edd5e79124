"""Whether a notebook that came back holds any answer."""

from graders import sheets
from graders.notebooks import printer, submission
from workbook.topics import by_slug


def is_answered(notebook: dict, topic: str, exercise: str) -> bool:
    """Whether any answer cell of a parsed notebook holds something else than what was printed.

    Raises
    ------
    KeyError
        Where this version has no such exercise.
    """
    printed = printer.graded_cells(by_slug(topic), sheets.find(topic, exercise))
    for cell in notebook["cells"]:
        model = printed.get(submission.grade_id_of(cell))
        if model and model["metadata"]["nbgrader"]["solution"]:
            written = cell["source"].strip()
            if written and written != model["source"].strip():
                return True
    return False
