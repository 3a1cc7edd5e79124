"""The second run with fresh numbers, and answers that fit someone else's: evidence to talk about, no accusation."""

import ast
from array import array
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from graders.judging.marks import Copied, Finding
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed
from graders.questions.parts.number import Number
from graders.questions.verdicts import Code, Verdict
from workbook import units

COST = {"flag": 1.0, "half": 0.5, "zero": 0.0}
"""What is left of the points of an answer that does not follow fresh numbers, by the cohort's policy."""

FOLLOWS = "follows the givens"

REMARK = "This answer does not follow your numbers: compute it from the names of the givens."


DRAWS = 8
"""How often fresh numbers are drawn until they change every answer: a number that stays as it was shows nothing."""


def fresh_givens(
    exercise: Exercise, givens: Printed, secret: bytes, learner: str, shop: Mapping[str, float] | None = None
) -> Printed:
    """Return other numbers for the same learner and exercise, the same whenever they are drawn.

    Of the draws it is the first that changes as many right answers as any of them does, for ``givens`` as handed out.
    """
    best: Printed = {}
    most = -1
    for number in range(DRAWS):
        drawn = exercise.draw(secret, f"{learner}\x1ffresh numbers{number or ''}", shop or {})
        changed = len(changing(exercise, givens, drawn))
        if changed > most:
            best, most = drawn, changed
        if most == len(_numbers(exercise)):
            break
    return best


@dataclass(frozen=True)
class Seen:
    """One part in both runs: what the judge said and what the answer was, with own numbers and with fresh ones."""

    verdict: Verdict
    answer: object
    fresh_verdict: Verdict
    fresh_answer: object

    @property
    def follows(self) -> bool:
        """Whether the answer is another one, and right for the fresh numbers or what the same slip gives there."""
        again = self.fresh_verdict
        if self.fresh_answer == self.answer:
            return False
        if again.verdict in (Code.RIGHT, Code.CARRIED_THROUGH):
            return True
        return again.verdict == self.verdict.verdict == Code.SLIP and again.flag == self.verdict.flag


def changing(exercise: Exercise, givens: Printed, fresh: Printed) -> list[str]:
    """Return the parts asking for a number whose right answer is another one with fresh numbers."""
    before, after = exercise.key(givens), exercise.key(fresh)
    return [part.name for part in _numbers(exercise) if not part.takes(after[part.name], before[part.name])]


def _numbers(exercise: Exercise) -> list[Number]:
    return [part for part in exercise.parts if isinstance(part, Number)]


def finding(part: Number, seen: Seen, source: str) -> str | None:
    """Return which of the findings a number shows that should have changed, or None where it earned nothing.

    ``source`` is the text of the answer cell. Another answer is not enough: it must be what the fresh numbers give.
    """
    if not seen.verdict.points:
        return None
    if seen.follows:
        return FOLLOWS
    if seen.fresh_answer is None:
        return "no answer"
    return "bare number" if _is_bare(source, part.name) else "working, typed numbers"


def _is_bare(source: str, name: str) -> bool:
    """Whether every assignment to name in a cell is a plain number, with no arithmetic at all."""
    try:
        tree = ast.parse(source)
    except (SyntaxError, ValueError, RecursionError):
        return False
    values = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign)
        and any(isinstance(target, ast.Name) and target.id == name for target in node.targets)
    ]
    return bool(values) and all(_is_literal(value) for value in values)


def _is_literal(node: ast.expr) -> bool:
    if isinstance(node, ast.UnaryOp):
        node = node.operand
    return isinstance(node, ast.Constant)


def after_policy(verdict: Verdict, found: str | None, policy: str) -> Verdict:
    """Return the verdict with the policy's cost taken off, where the answer did not follow the givens."""
    if found is None or found == FOLLOWS or COST[policy] == 1.0:
        return verdict
    return replace(
        verdict, points=verdict.points * COST[policy], flag=verdict.flag or found, remark=f"{verdict.remark} {REMARK}"
    )


def findings(learner: str, topic: str, exercise: Exercise, found: Mapping[str, str | None]) -> list[Finding]:
    """Return the findings of one exercise as records."""
    return [Finding(learner, topic, exercise.id, part, text) for part, text in found.items() if text]


@dataclass(frozen=True)
class LearnerAnswers:
    """One learner's numbers in one exercise, as answered and as they would be right."""

    learner: str
    answers: Mapping[str, float]
    wrong: tuple[str, ...]
    key: Mapping[str, float]


def copied(topic: str, exercise: Exercise, everyone: Iterable[LearnerAnswers]) -> list[Copied]:
    """Return the answers that are wrong for their learner's givens and right for someone else's.

    One number can fit by chance, so a learner is listed only where at least two wrong numbers of an exercise fit the
    same other learner.
    """
    gathered = Copies(topic, exercise)
    for one in everyone:
        gathered.add(one)
    return gathered.found()


class Copies:
    """The copied answers of one exercise, gathered a learner at a time.

    In memory are everyone's right answers, as numbers, and the answers of those who have two wrong ones.
    """

    def __init__(self, topic: str, exercise: Exercise):
        self._topic, self._exercise = topic, exercise
        self._learners: list[str] = []
        self._parts = {part.name: part for part in exercise.parts if isinstance(part, Number)}
        self._keys = {name: array("d") for name in self._parts}
        self._doubtful: list[tuple[int, LearnerAnswers]] = []

    def add(self, one: LearnerAnswers) -> None:
        """Add a learner."""
        for part in [name for name in self._keys if name not in one.key]:
            del self._keys[part]  # an edition may add a part: it is compared where everyone has it
        for part, keys in self._keys.items():
            keys.append(one.key[part])
        if len(one.wrong) >= 2:
            answers = {name: one.answers[name] for name in one.wrong}
            self._doubtful.append((len(self._learners), replace(one, answers=answers, key={})))
        self._learners.append(one.learner)

    def found(self) -> list[Copied]:
        """Return the answers that are wrong for their learner's givens and right for someone else's."""
        rights = {name: _Rights(self._parts[name], keys) for name, keys in self._keys.items()}
        listed = []
        for place, one in self._doubtful:
            wrong = [name for name in one.wrong if name in rights]
            if len(wrong) < 2:
                continue
            fits = np.array([rights[name].fit(one.answers[name]) for name in wrong])
            fits[:, place] = False
            fits &= fits.sum(axis=0) >= 2
            for name, whose in zip(wrong, fits, strict=True):
                if whose.any():
                    learners = tuple(self._learners[other] for other in np.flatnonzero(whose))
                    listed.append(Copied(one.learner, self._topic, self._exercise.id, name, learners))
        return listed


class _Rights:
    """Everyone's right answer to one part, in SI, and how near each must be met: a thousand are compared at once."""

    def __init__(self, part: Number, keys: Sequence[float]):
        self._unit = part.unit
        self._keys = np.array([units.to_si(key, part.unit) for key in keys])
        self._reach = np.array([part.reach(key) for key in self._keys])

    def fit(self, answer: float) -> NDArray[np.bool_]:
        """Return whose right answer an answer is."""
        near: NDArray[np.bool_] = np.abs(units.to_si(answer, self._unit) - self._keys) <= self._reach
        return near
