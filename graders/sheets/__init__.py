"""The exercise sheets, one module a topic: givens, parts, expected, tolerance, slips, and the question text.

An instructor's own exercises stand beside ours once `graders.sheets.own` has read them.
"""

import importlib
import importlib.util
from collections.abc import Mapping, Sequence

from graders.questions import Exercise

_own: dict[str, tuple[Exercise, ...]] = {}
"""The own exercises this process knows, by topic."""


def ours(topic: str) -> tuple[Exercise, ...]:
    """Return this package's exercises of a topic in teaching order; none where its sheet is not written."""
    name = f"{__name__}.{topic}"
    if importlib.util.find_spec(name) is None:
        return ()
    return importlib.import_module(name).EXERCISES


def own_exercises(topic: str) -> tuple[Exercise, ...]:
    """Return an instructor's own exercises of a topic, by their numbers."""
    return _own.get(topic, ())


def exercises(topic: str) -> tuple[Exercise, ...]:
    """Return the exercises of a topic in teaching order, own ones last."""
    return (*ours(topic), *own_exercises(topic))


def find(topic: str, exercise: str) -> Exercise:
    """Return one exercise, or raise KeyError."""
    for candidate in exercises(topic):
        if candidate.id == exercise:
            return candidate
    raise KeyError(f"topic {topic!r} has no exercise {exercise!r}")


def put_beside(by_topic: Mapping[str, Sequence[Exercise]]) -> None:
    """Let own exercises stand beside ours, in place of those of the same topics before."""
    for topic, found in by_topic.items():
        _own[topic] = tuple(sorted(found, key=lambda one: one.number))
