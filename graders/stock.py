"""The one call printed into marking cells, so that stock nbgrader execution marks the same as we do.

It never raises, never writes to stderr, and returns a built-in float from 0 to the points: stock nbgrader gives full
marks for nan, a negative number, False and numpy floats, and none after any warning.

Like `submission.judged`, it carries on what was read at the earlier parts' own marking cells. It keeps that in its own
process, within reach of the learner's code: contained marking does not.
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

_KEPT: dict[tuple[str, str], dict] = {}
"""What was read at the marking cells run so far, by topic and exercise: plain data."""


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
    asked = exercise.part(part)
    if part == next(other.name for other in exercise.parts if other.answer_names):
        _KEPT.pop((topic, exercise_id), None)  # the notebook begins again
    answers = judge.as_read(exercise, asked, Answers(given, unreadable), _KEPT.setdefault((topic, exercise_id), {}))
    earned = float(judge.judge_part(exercise, part, printed, answers, explain=False).points)
    return min(max(earned, 0.0), float(asked.points)) if math.isfinite(earned) else 0.0
