"""Write the result of a check into the learner's progress: the contents page shows what is done."""

from datetime import UTC, datetime

from graders.desk.checking import Checked, printer
from workbook import progress


def keep(checked: Checked) -> None:
    """Write a check down, unless the last one of these numbers said the same."""
    numbers = progress.numbers(printer.givens_source(checked.exercise, checked.givens))
    what = {"numbers": numbers, "points": checked.points, "out_of": checked.exercise.points}
    before = [
        event.what
        for event in progress.read().events
        if event.kind == "check" and event.exercise == checked.exercise.id and event.what.get("numbers") == numbers
    ]
    if not before or before[-1] != what:
        progress.add(progress.Event("check", checked.topic, checked.exercise.id, datetime.now(UTC), what))
