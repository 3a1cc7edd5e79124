"""A clean copy of a learner's handed-out exercise, in its own numbers and with its seal."""

from pathlib import Path

from graders.desk.checking import own_givens, printer, read, which
from workbook.server.folder import about
from workbook.topics import by_slug


def clean(path: Path) -> bytes:
    """Return the notebook as it was handed out, made from the numbers and the seal it holds, or raise Problem."""
    notebook = read(path)
    topic, exercise = which(notebook, path, runs_its_code=True)
    told = about(path)
    marks = {name: told[name] for name in ("learner", "edition", "seal", "shop", "sheet") if name in told}
    givens = own_givens(notebook, exercise)
    orders = printer.orders_in(notebook)
    return printer.text_of(printer.exercise_notebook(by_slug(topic), exercise, givens, marks, orders)).encode()
