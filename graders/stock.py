"""The one call printed into marking cells, so that stock nbgrader execution marks the same as we do.

It never raises, never writes to stderr, and returns a built-in float from 0 to the points: stock nbgrader gives full
marks for nan, a negative number, False and numpy floats, and none after any warning.
"""

import contextlib
import io
import math
import warnings

import numpy  # noqa: F401  (before the reader of answers, which knows numpy's numbers only if numpy is there)

from graders import sheets
from graders.judging import judge
from graders.judging.judge import Answers
from graders.runner.inside.answers import read
from graders.runner.job import Limits


def points(topic: str, exercise: str, part: str, namespace: dict, givens: dict | None = None) -> float:
    """Return the points of one part for what the learner's names hold.

    >>> points("profile", "no such exercise", "part", {})
    0.0
    """
    with warnings.catch_warnings(), contextlib.redirect_stderr(io.StringIO()):
        warnings.simplefilter("ignore")
        try:
            return _points(topic, exercise, part, namespace, givens)
        except Exception:  # marking fails closed, and says nothing into the learner's notebook
            return 0.0


def _points(topic, exercise_id, part, namespace, givens) -> float:
    exercise = sheets.find(topic, exercise_id)
    names = [name for other in exercise.parts for name in other.answer_names]
    given, unreadable = read(namespace, names, Limits.answer_items, Limits.answer_text)
    printed = exercise.worked() if givens is None else givens
    earned = float(judge.judge_part(exercise, part, printed, Answers(given, unreadable)).points)
    return min(max(earned, 0.0), float(exercise.part(part).points)) if math.isfinite(earned) else 0.0
