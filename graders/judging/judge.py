"""Pure judging: an exercise, its givens and a learner's answers go in; marks and remarks come out.

Marking fails closed: what is not understood earns nothing and is flagged for a person to look at.
"""

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from graders.judging.near_misses import near_miss
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Held, Part
from graders.questions.parts.figures import is_number
from graders.questions.parts.number import Number
from graders.questions.verdicts import CELL_MISSING, IN_THE_CELL, NOT_ANSWERED, Code, Verdict


@dataclass(frozen=True)
class Answers:
    """A learner's answers at one moment: plain values by name, and why a name could not be read."""

    given: Held
    unreadable: Mapping[str, str] = field(default_factory=dict)


UNREADABLE = {
    "not yet": (Code.NOT_YET, NOT_ANSWERED, ""),
    "missing": (Code.NOT_YET, "No answer of this name. Give it in the cell below the question.", ""),
    "decimal comma": (
        Code.NOT_RIGHT,
        "Python reads a decimal comma as two numbers. Write a point: 12.5, not 12,5.",
        "decimal comma",
    ),
    IN_THE_CELL: (
        Code.NOT_RIGHT,
        "Python could not run the answer cell; the message under it says where.",
        IN_THE_CELL,
    ),
    "not reached": (Code.NEEDS_A_LOOK, "The run was stopped before this part.", "not reached"),
    CELL_MISSING: (Code.NEEDS_A_LOOK, "The marking cell of this part is missing from the notebook.", CELL_MISSING),
}


def as_read(exercise: Exercise, part: Part, answers: Answers, kept: Printed) -> Answers:
    """Return what a part is judged on: its own names as they are now, earlier ones as read at their own marking cells.

    A name may hold another value by now, set only so that a later answer seems to follow from it. An earlier part
    whose marking cell was not reached is carried on with its right answer.

    Parameters
    ----------
    exercise, part
        The exercise, and the part whose marking cell is reached.
    answers : Answers
        What the names hold at this cell.
    kept : dict
        What was read at the marking cells before, by name; this part's answers are added to it.
    """
    own = {name: answers.given[name] for name in part.answer_names if name in answers.given}
    before = itertools.takewhile(lambda other: other is not part, exercise.parts)
    earlier = {name: kept[name] for other in before for name in other.answer_names if name in kept}
    kept.update(own)
    return Answers(earlier | own, answers.unreadable)


def judge(exercise: Exercise, givens: Printed, answers: Mapping[str, Answers] | Answers) -> tuple[Verdict, ...]:
    """Judge every part of an exercise.

    Parameters
    ----------
    exercise : Exercise
    givens : dict
        The record's givens, as printed. Never taken from a submission.
    answers : Answers, or a mapping from part name to Answers
        What the learner's names held, at the end or at each part's marking cell.
    """
    return tuple(
        judge_part(exercise, part.name, givens, answers if isinstance(answers, Answers) else answers[part.name])
        for part in exercise.parts
    )


def judge_part(exercise: Exercise, name: str, givens: Printed, answers: Answers, explain: bool = True) -> Verdict:
    """Judge one part on the record's givens and what the learner's names held at its marking cell.

    ``explain`` looks for the one slip behind a wrong number that no slip of the sheet names: words, never points.
    """
    part = exercise.part(name)
    if part.is_written and name not in answers.unreadable:
        g, true = exercise.solved(givens)
        return part.judge(g, true, lambda: true, {})
    for answer in part.answer_names or (name,):
        reason = answers.unreadable.get(answer, "" if answer in answers.given else "missing")
        if reason:
            code, remark, flag = UNREADABLE.get(
                reason, (Code.NEEDS_A_LOOK, f"This answer could not be read: {reason}.", reason)
            )
            return Verdict(name, 0.0, part.points, code, remark, flag)
    g, true = exercise.solved(givens)

    def follow() -> Values:
        """Work out the learner's own way only where the answer is not right: most are."""
        return exercise.answers(_carried_answers(exercise, part, g, true, answers.given))

    try:
        verdict = part.judge(g, true, follow, answers.given)
    except Exception as error:  # a sheet that cannot judge an answer must not stop the cohort, nor give points
        remark = "This answer could not be judged. Your instructor looks at it."
        flag = f"the sheet failed: {type(error).__name__}: {error}"[:200]
        return Verdict(name, 0.0, part.points, Code.NEEDS_A_LOOK, remark, flag)
    if verdict.verdict is not Code.NOT_RIGHT or not isinstance(part, Number) or not explain:
        return verdict
    held = answers.given[name]
    return _with_its_slip(verdict, exercise, part, givens, held, follow) if is_number(held) else verdict


def _with_its_slip(
    verdict: Verdict, exercise: Exercise, part: Number, givens: Printed, answer: float, follow: Callable[[], Values]
) -> Verdict:
    """Return a wrong number's verdict with the one slip in the working that gives it, where there is one.

    It changes what is said and never the points; so whatever fails here leaves the verdict as it was.
    """
    try:
        found = near_miss(exercise, part, givens, follow().printed, answer)
    except Exception:
        return verdict
    return verdict if found is None else replace(verdict, verdict=Code.SLIP, remark=found.words, flag=found.family)


def _carried_answers(exercise: Exercise, until: Part, g: Values, true: Values, given: Held) -> Printed:
    """Return the earlier answers to judge a later part on: the learner's own where they can be trusted as a step."""
    carried: Printed = {}
    for part in itertools.takewhile(lambda part: part.name != until.name, exercise.parts):
        carried = carry_on(exercise, part, g, true, given, carried)
    return carried


def carry_on(exercise: Exercise, part: Part, g: Values, true: Values, given: Held, carried: Printed) -> Printed:
    """Return what is carried past this part, as printed: the learner's own answer, or what should follow."""
    if not part.is_step:
        return carried
    try:
        carried = carried | part.right_answer(g, exercise.answers(carried))
    except (ArithmeticError, ValueError):
        carried = carried | {name: true[name] for name in part.answer_names}
    return carried | part.carried(given, g, exercise.answers(carried))
