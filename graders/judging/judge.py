"""Pure judging: an exercise, its givens and a learner's answers go in; marks and remarks come out.

Marking fails closed: what is not understood earns nothing and is flagged for a person to look at.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from graders.questions.exercise import (
    Choice,
    Design,
    Exercise,
    Margin,
    Number,
    Order,
    Part,
    Several,
    Values,
    Written,
    order_share,
    right_answer,
)
from workbook import units

VERDICTS = {
    "right": "right",
    "carried through": "right method on an earlier value that was not right",
    "partly": "some of it is right",
    "slip": "a typical slip, named in the remark",
    "other unit": "the right size in another unit",
    "not right": "not right, and no slip we know",
    "not yet": "no answer yet",
    "needs a look": "not understood; a person should look",
    "by hand": "an answer in words, marked by hand",
}
LOOK = "needs a look"


@dataclass(frozen=True)
class Verdict:
    """What one part earned and why. ``flag`` is empty, or why a person should look."""

    part: str
    points: float
    out_of: int
    verdict: str
    remark: str
    flag: str = ""
    margins: tuple[Margin, ...] = field(default=())


@dataclass(frozen=True)
class Answers:
    """A learner's answers at one moment: plain values by name, and why a name could not be read."""

    given: Mapping[str, object]
    unreadable: Mapping[str, str] = field(default_factory=dict)


UNREADABLE = {
    "not yet": ("not yet", "No answer yet.", ""),
    "missing": ("not yet", "No answer of this name. Give it in the cell below the question.", ""),
    "decimal comma": (
        "not right",
        "Python reads a decimal comma as two numbers. Write a point: 12.5, not 12,5.",
        "decimal comma",
    ),
    "error in the cell": (
        "not right",
        "Python could not run the answer cell; the message under it says where.",
        "error in the cell",
    ),
    "not reached": (LOOK, "The run was stopped before this part.", "not reached"),
    "cell missing": (LOOK, "The marking cell of this part is missing from the notebook.", "cell missing"),
}


def judge(exercise: Exercise, givens: dict, answers: Mapping[str, Answers] | Answers) -> tuple[Verdict, ...]:
    """Judge every part of an exercise.

    Parameters
    ----------
    exercise : Exercise
    givens : dict
        The record's givens, as printed. Never taken from a submission.
    answers : Answers, or a mapping from part name to Answers
        What the learner's names held, at the end or at each part's marking cell.
    """
    at = (lambda part: answers) if isinstance(answers, Answers) else (lambda part: answers[part.name])
    return tuple(judge_part(exercise, part.name, givens, at(part)) for part in exercise.parts)


def judge_part(exercise: Exercise, name: str, givens: dict, answers: Answers) -> Verdict:
    """Judge one part on the record's givens and what the learner's names held at its marking cell."""
    part = exercise.part(name)
    if isinstance(part, Written) and name not in answers.unreadable:
        return Verdict(name, 0.0, part.points, "by hand", "Your instructor reads this answer.", "by hand")
    for answer in part.answer_names or (name,):
        reason = answers.unreadable.get(answer, "" if answer in answers.given else "missing")
        if reason:
            verdict, remark, flag = UNREADABLE.get(reason, (LOOK, f"This answer could not be read: {reason}.", reason))
            return Verdict(name, 0.0, part.points, verdict, remark, flag)
    g, true = exercise.solved(givens)

    def follow() -> Values:
        """Work out the learner's own way only where the answer is not right: most are."""
        return exercise.answers(_carried_answers(exercise, part, g, true, answers.given))

    try:
        return _JUDGES[type(part)](part, g, true, follow, answers.given)
    except Exception as error:  # a sheet that cannot judge an answer must not stop the cohort, nor give points
        remark = "This answer could not be judged. Your instructor looks at it."
        return Verdict(name, 0.0, part.points, LOOK, remark, f"the sheet failed: {type(error).__name__}: {error}"[:200])


def _carried_answers(exercise: Exercise, until: Part, g: Values, true: Values, given: Mapping) -> dict:
    """Return the earlier answers to judge a later part on: the learner's own where they can be trusted as a step.

    An earlier number counts only if it is finite and plausible, or is a slip we know; otherwise the true value stands.
    (Two zeros would earn full marks if anything were carried through.)
    """
    carried = {}
    for part in exercise.parts:
        if part.name == until.name:
            break
        try:
            carried |= right_answer(part, g, exercise.answers(carried))
        except (ArithmeticError, ValueError):
            carried |= {name: true[name] for name in part.answer_names}
        own = given.get(part.name)
        if isinstance(part, Number) and _is_number(own):
            known_slip = any(_near(part, own, value) for value in _slip_values(part, g, exercise.answers(carried)))
            if part.plausible[0] <= own <= part.plausible[1] or known_slip:
                carried[part.name] = own
        elif isinstance(part, Choice) and _word(own) in part.options:
            carried[part.name] = _word(own)
        elif isinstance(part, (Several, Order)) and _words(own) is not None and set(_words(own)) <= set(part.options):
            carried[part.name] = _words(own)
        elif isinstance(part, Design) and _outside_bounds(part, given) is None:
            carried |= {name: given[name] for name in part.answer_names}
    return carried


def _is_number(value) -> bool:
    return (
        isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300 and math.isfinite(value)
    )


def _near(part: Number, answer: float, expected: float | None) -> bool:
    return expected is not None and math.isfinite(expected) and part.near(units.to_si(answer, part.unit), expected)


def _safely(function, *arguments) -> float | None:
    """Return a value of the sheet, or None where the earlier answer it was given leaves the formula's range."""
    try:
        value = float(function(*arguments))
    except (ArithmeticError, ValueError):
        return None
    return value if math.isfinite(value) else None


def _slip_values(part: Number, g: Values, a: Values) -> list[float | None]:
    return [_safely(slip.value, g, a) for slip in part.slips]


def _judge_number(part: Number, g, true, follow, given) -> Verdict:
    answer = given[part.name]
    if not _is_number(answer):
        return Verdict(part.name, 0.0, part.points, LOOK, "The answer should be one finite number.", "not a number")
    expected = float(part.expected(g, true))
    if _near(part, answer, expected):
        return Verdict(part.name, float(part.points), part.points, "right", "Right.")
    carried = follow()
    followed = _safely(part.expected, g, carried)
    low, high = (units.to_si(bound, part.unit) for bound in part.plausible)
    if followed is not None and low <= followed <= high and _near(part, answer, followed):
        remark = "Right method: it follows from your earlier answer as it stands."
        return Verdict(part.name, float(part.points), part.points, "carried through", remark)
    for earlier in (true, carried):
        for slip, value in zip(part.slips, _slip_values(part, g, earlier), strict=True):
            if _near(part, answer, value):
                return Verdict(part.name, part.points * slip.worth, part.points, "slip", slip.words, slip.name)
    unit = _other_unit(part, answer, expected)
    if unit:
        return Verdict(part.name, 0.0, part.points, "other unit", unit, "unit")
    return Verdict(part.name, 0.0, part.points, "not right", _nudge(part, answer))


def _other_unit(part: Number, answer: float, expected: float) -> str | None:
    """Say which unit the answer is right in, or that a prefix is lost on the way."""
    for unit, factor in units.siblings(part.unit).items():
        if _near(part, answer * factor / units.FACTORS[part.unit], expected):
            told = "as a plain fraction" if unit == "1" else f"in {unit}"
            return f"Your number has the right size {told}. The question asks for {part.unit}."
    if part.unit == "°C" and _near(part, answer - 273.15, expected):
        return "Your number has the right size in kelvin. The question asks for °C."
    if part.unit == "K" and _near(part, answer - 273.15, expected):
        return "This is a difference of temperatures: nothing is added to turn °C into K."
    for power in (3, -3, 6, -6, 9, -9):
        if _near(part, answer * 10.0**power, expected):
            return "The digits are right and the size is not: a unit prefix (such as m, µ or k) was lost on the way."
    return None


def _nudge(part: Number, answer: float) -> str:
    low, high = part.plausible
    far = (
        ""
        if low <= answer <= high
        else f"This is far outside what can be right here ({low:g} to {high:g}{units.shown(part.unit)}). "
    )
    steps = "each step" if part.unit == "1" else "each step and its unit"
    return f"{far}{part.hint or f'Not this yet. Go back to the question and check {steps}.'}"


def _word(answer) -> str | None:
    return answer.strip().lower() if isinstance(answer, str) else None


def _words(answer) -> list[str] | None:
    if isinstance(answer, (list, tuple)) and all(isinstance(item, str) for item in answer):
        return [_word(item) for item in answer]
    return None


def _judge_choice(part: Choice, g, true, follow, given) -> Verdict:
    answer = _word(given[part.name])
    if answer not in part.options:
        return Verdict(part.name, 0.0, part.points, LOOK, _use_the_words(part), "not one of the words")
    if answer == part.expected(g, true):
        return Verdict(part.name, float(part.points), part.points, "right", "Right.")
    try:
        followed = part.expected(g, follow())
    except (ArithmeticError, ValueError):
        followed = None
    if answer == followed:
        remark = "It follows from your earlier answer as it stands."
        return Verdict(part.name, float(part.points), part.points, "carried through", remark)
    if answer in part.slips:
        return Verdict(part.name, 0.0, part.points, "slip", part.slips[answer], answer)
    return Verdict(part.name, 0.0, part.points, "not right", part.hint or "Not this one. Read the question once more.")


def _use_the_words(part) -> str:
    return f"Use the words of the list, in quotes: {', '.join(repr(word) for word in part.options)}."


def _safely_words(part: Several, g, a) -> set | None:
    try:
        return set(part.expected(g, a))
    except (ArithmeticError, ValueError):
        return None


def _judge_several(part: Several, g, true, follow, given) -> Verdict:
    answer = _words(given[part.name])
    if answer is None or not set(answer) <= set(part.options):
        return Verdict(
            part.name, 0.0, part.points, LOOK, "Give a list. " + _use_the_words(part), "not the words asked for"
        )
    right = set(part.expected(g, true))
    if set(answer) == right:
        return Verdict(part.name, float(part.points), part.points, "right", "Right.")
    if set(answer) == _safely_words(part, g, follow()):
        remark = "It follows from your earlier answer as it stands."
        return Verdict(part.name, float(part.points), part.points, "carried through", remark)
    hits, wrong = set(answer) & right, set(answer) - right
    share = max(0, len(hits) - len(wrong)) / len(right)
    words = [part.slips[word] for word in part.options if word in wrong and word in part.slips]
    remark = " ".join([f"{len(hits)} of {len(answer)} belong; {len(right)} do in all.", *words])
    verdict = "partly" if share else "slip" if words else "not right"
    return Verdict(part.name, _to_hundredths(part.points * share), part.points, verdict, remark)


def _judge_order(part: Order, g, true, follow, given) -> Verdict:
    answer = _words(given[part.name])
    if answer is None or sorted(answer) != sorted(part.options):
        remark = "Give a list with every word once. " + _use_the_words(part)
        return Verdict(part.name, 0.0, part.points, LOOK, remark, "not the words asked for")
    for (first, second), words in part.never.items():
        if answer.index(first) > answer.index(second):
            return Verdict(part.name, 0.0, part.points, "slip", words, f"{second} before {first}")
    share = float(order_share(part.expected(g, true), answer))
    if share == 1:
        return Verdict(part.name, float(part.points), part.points, "right", "Right.")
    remark = part.hint or "Some steps come too early or too late. For each one ask: what must be done before it?"
    verdict = "partly" if share else "not right"
    return Verdict(part.name, _to_hundredths(part.points * share), part.points, verdict, remark)


def _to_hundredths(points: float) -> float:
    return round(points, 2)


def _outside_bounds(part: Design, given: Mapping) -> str | None:
    """Say which choice is no choice, or is outside its bounds, or None."""
    for setting in part.settings:
        choice = given.get(setting.name)
        if not _is_number(choice):
            return f"{setting.name} should be one number in {setting.unit}."
        if setting.whole and choice != int(choice):
            return f"{setting.name} should be a whole number."
        if not setting.low <= choice <= setting.high:
            bounds = f"({setting.low:g} to {setting.high:g}{units.shown(setting.unit)})"
            as_share = setting.unit == "%" and 0 < choice < 1 and setting.low <= 100 * choice <= setting.high
            told = f" Type {100 * choice:g} for {100 * choice:g} %." if as_share else ""
            return f"{setting.name} is outside its bounds {bounds}.{told}"
    return None


def _judge_design(part: Design, g, true, follow, given) -> Verdict:
    outside = _outside_bounds(part, given)
    if outside:
        return Verdict(part.name, 0.0, part.points, "not right", outside, "outside its bounds")
    choices = {setting.name: given[setting.name] for setting in part.settings}
    margins = tuple(part.simulate(g, true, choices))
    missed = [margin for margin in margins if not margin.held]
    points = part.points if not missed else part.points / 2 if len(missed) == 1 else 0
    verdict = "right" if not missed else "partly" if points else "not right"
    lines = [_told(margin) for margin in margins]
    return Verdict(part.name, float(points), part.points, verdict, " ".join(lines), margins=margins)


def _told(margin: Margin) -> str:
    state = "held" if margin.held else "missed"
    if margin.borderline or margin.margin == 0:
        state = "borderline: at the limit, counted as held"
    advice = f" {margin.advice}" if margin.advice and not margin.held else ""
    return (
        f"{margin.limit}: {margin.value:.4g}{units.shown(margin.unit)}, {state}, "
        f"margin {margin.margin:+.3g}{units.shown(units.of_difference(margin.unit))}.{advice}"
    )


_JUDGES = {
    Number: _judge_number,
    Choice: _judge_choice,
    Several: _judge_several,
    Order: _judge_order,
    Design: _judge_design,
}
