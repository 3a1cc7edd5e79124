"""The exercise sheets, one module a topic: givens, parts, expected, tolerance, slips, and the question text."""

import importlib
import importlib.util

from graders.questions import Exercise


def exercises(topic: str) -> tuple[Exercise, ...]:
    """Return the exercises of a topic in teaching order; none where its sheet is not written."""
    name = f"{__name__}.{topic}"
    if importlib.util.find_spec(name) is None:
        return ()
    return importlib.import_module(name).EXERCISES


def find(topic: str, exercise: str) -> Exercise:
    """Return one exercise, or raise KeyError."""
    for candidate in exercises(topic):
        if candidate.id == exercise:
            return candidate
    raise KeyError(f"topic {topic!r} has no exercise {exercise!r}")
