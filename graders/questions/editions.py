"""Editions of an exercise: what was asked, and what decides a mark. They change for different reasons.

``asked`` covers what a learner reads and answers: where it differs from what was handed out, this version cannot mark
the answer, unless somebody has read both texts and found that they ask the same (asked_the_same.json). ``judged``
covers what decides the points: where it differs, what was marked is marked anew.
"""

import hashlib
import json
from functools import cache
from importlib import resources
from typing import Any

from graders.questions.exercise import Exercise
from graders.questions.givens import Printed
from graders.questions.parts.base import Part
from graders.questions.parts.words import Worded

FIRST = "0.1.0"
"""The version that knew one edition for both; what its editions stood for is kept in a table."""


@cache  # an exercise is asked about once a learner, and never changes
def asked(exercise: Exercise) -> str:
    """Return a short hash of what is asked: the texts, the words to choose from, the units, bounds and tolerances."""
    texts = [exercise.id, exercise.setup, list(exercise.table)]
    givens = [[name, given.unit] for name, given in exercise.givens.items()]
    return _hash([texts, givens, [_asked(part) for part in exercise.parts]])


def _asked(part: Part) -> list[Any]:
    return [part.name, part.kind, part.ask, part.points, part.asks()]


JUDGE = 3
"""Raised where the judge decides marks otherwise, or the wall runs notebooks otherwise: then all is judged anew."""


@cache
def judged(exercise: Exercise) -> str:
    """Return a short hash of what decides a mark: what is asked, and how it is judged on the worked numbers.

    A change of code that the worked numbers do not show raises the exercise's ``judged_by``; of the judge, `JUDGE`. An
    instructor need not know that: of an own exercise any change of its sheet is one.
    """
    givens = exercise.worked()
    g, a = exercise.solved(givens)
    key = {name: _rounded(value) for name, value in exercise.key(givens).items()}
    rules = [part.rules(g, a) for part in exercise.parts]
    sheet = [exercise.sheet] if exercise.sheet else []
    return _hash([asked(exercise), JUDGE, exercise.judged_by, key, rules, *sheet])


def form(exercise: Exercise) -> list[list[Any]]:
    """Return the form of an exercise's answers: names, points, units, tolerances, bounds, words to choose from.

    The meaning of the words, and every other text, is left out.
    """
    return [
        [part.name, part.kind, part.points, sorted(part.options) if isinstance(part, Worded) else part.asks()]
        for part in exercise.parts
    ]


def asks_as_handed_out(exercise: Exercise, topic: str, edition: str) -> bool:
    """Whether an exercise still asks what it asked when it was handed out with this edition, if in other words."""
    then, now = first(topic, exercise.id).get(edition, (edition, ""))[0], asked(exercise)
    return then == now or [then, now] in compared().get(f"{topic}/{exercise.id}", [])


@cache
def compared() -> dict[str, list[list[str]]]:
    """Return, by topic/exercise, the pairs of editions that somebody has read and found to ask the same.

    A pair holds for these two texts only: where the exercise changes again, it counts for nothing.
    """
    table = resources.files("graders.questions") / "asked_the_same.json"
    pairs: dict[str, list[list[str]]] = json.loads(table.read_text(encoding="utf-8"))
    return pairs


def judged_first(topic: str, exercise: str) -> str:
    """Return the edition by which version 0.1.0 judged an exercise, or nothing where it had none."""
    return next((judged for _, judged in first(topic, exercise).values()), "")


def first(topic: str, exercise: str) -> dict[str, tuple[str, str]]:
    """Return what version 0.1.0's edition of an exercise stood for: ``{edition: (asked, judged)}``."""
    found = _first_table().get(f"{topic}/{exercise}")
    return {found[0]: (found[1], found[2])} if found else {}


@cache
def _first_table() -> dict[str, list[str]]:
    table = resources.files("graders.questions") / f"editions_{FIRST}.json"
    stood_for: dict[str, list[str]] = json.loads(table.read_text(encoding="utf-8"))
    return stood_for


def _hash(what: object) -> str:
    return hashlib.sha256(json.dumps(what, sort_keys=True, default=str).encode()).hexdigest()[:12]


def _rounded(value: object) -> object:
    return float(f"{value:.6g}") if isinstance(value, float) else value


def rounded(key: Printed) -> Printed:
    """Return right answers with their numbers to six figures, as they are compared between versions."""
    return {name: _six(value) for name, value in key.items()}


def _six(value: object) -> object:
    return [_six(one) for one in value] if isinstance(value, (list, tuple)) else _rounded(value)
