"""What holds of every exercise, ours or an instructor's own: said here once, for the tests and for `graders sheets`.

Each function returns lines of what is wrong, ``PART: words``, and nothing where all holds. What holds of one set of
numbers takes ``(exercise, drawn)``; what holds of an exercise as a whole takes the exercise alone.
"""

import math
from collections.abc import Iterable, Iterator, Sequence

from graders.judging import floor, judge
from graders.judging.judge import Answers
from graders.notebooks import printer
from graders.questions.exercise import Case, Exercise
from graders.questions.parts.base import Part
from graders.questions.parts.number import PLAIN_NUMBERS, Number
from graders.questions.parts.words import Choice, Worded
from graders.questions.verdicts import Verdict
from workbook import units
from workbook.references import STANDINGS

KERNEL_WORDS = frozenset({"display", "get_ipython", "exit", "quit"})
"""What IPython's kernel puts among the builtins: a name refused there, and not here, would lose a whole topic."""


def judged(exercise: Exercise, part: Part, drawn: dict, answers: dict, explain: bool = True) -> Verdict:
    """Return the verdict on one part for these answers by name; words for slips that no sheet names, where asked."""
    return judge.judge_part(exercise, part.name, drawn, Answers(answers), explain)


def _numbers(exercise: Exercise) -> Iterator[Number]:
    return (part for part in exercise.parts if isinstance(part, Number))


def not_full_marks(exercise: Exercise, drawn: dict) -> list[str]:
    """Say which right answers do not earn full marks, or lie outside what is called plausible."""
    key, found = exercise.key(drawn), []
    for part in exercise.parts:
        if part.is_written:
            continue
        verdict = judged(exercise, part, drawn, key)
        if verdict.points != part.points:
            found.append(f"{part.name}: the right answer earns {verdict.points:g} of {part.points}: {verdict.remark}")
        if isinstance(part, Number) and not part.plausible[0] <= key[part.name] <= part.plausible[1]:
            found.append(f"{part.name}: {key[part.name]:g} is right and not in {part.plausible}, what is plausible")
    return found


def slips_not_told(exercise: Exercise, drawn: dict) -> list[str]:
    """Say which slips are not known as themselves, or earn full marks."""
    g, key, found = exercise.values(drawn), exercise.key(drawn), []
    for part in _numbers(exercise):
        for slip in part.slips:
            value = part.slipped(slip, g, exercise.answers(key))
            verdict = judged(exercise, part, drawn, key | {part.name: value})
            if (verdict.verdict, verdict.flag) != ("slip", slip.name) or verdict.points >= part.points:
                told = f"{verdict.verdict.value}{f' ({verdict.flag})' if verdict.flag else ''}"
                found.append(f"{part.name}: slip {slip.name!r}, {value:g}, is told as {told}")
    return found


def workings_that_differ(exercise: Exercise, drawn: dict) -> list[str]:
    """Say which printed workings do not come out where the bench does."""
    namespace = {name: list(value) if isinstance(value, tuple) else value for name, value in drawn.items()}
    exec(printer.MATH, namespace)
    key, found = exercise.key(drawn), []
    for part in _numbers(exercise):
        exec(part.working, namespace)
        verdict = judged(exercise, part, drawn, key | {part.name: namespace.get(part.name)})
        if verdict.verdict != "right":
            came = namespace.get(part.name, "no such name")
            found.append(f"{part.name}: the working gives {came!r}, and expected {key[part.name]!r}")
    return found


def verdicts_on_a_hair(exercise: Exercise, drawn: dict) -> list[str]:
    """Say where words turn within the tolerance of a number before them: no bench would call such a verdict."""
    g, key, found = exercise.values(drawn), exercise.key(drawn), []
    worded = [part for part in exercise.parts if isinstance(part, Worded)]
    for number in _numbers(exercise):
        right = units.to_si(key[number.name], number.unit)
        for edge in (right - number.reach(right), right + number.reach(right)):
            near = exercise.answers(key | {number.name: units.from_si(edge, number.unit)})
            found += [
                f"{part.name}: turns within the tolerance of {number.name}"
                for part in worded
                if part.expected(g, near) != part.expected(g, exercise.answers(key))
            ]
    return found


def unfair(exercise: Exercise, drawn: dict) -> list[str]:
    """Say what is wrong with one draw, as a learner would meet it."""
    found = not_full_marks(exercise, drawn) + slips_not_told(exercise, drawn)
    found += workings_that_differ(exercise, drawn) + verdicts_on_a_hair(exercise, drawn)
    exercise.spelled(drawn)
    exercise.drawn(drawn)
    exercise.answer_drawn(drawn)
    return found


def earned_without_the_method(exercise: Exercise, draws: Sequence[dict]) -> float:
    """Return the most that one guess for all numbers earns, on average over draws, as a share of the points.

    Words are drawn in their order, so that one of them earns what chance does.
    """
    earned: dict[str, float] = {}
    for givens in draws:
        numbers = {name: value for name, value in givens.items() if isinstance(value, (int, float))}
        for name, guess in [*((str(guess), guess) for guess in PLAIN_NUMBERS), *numbers.items()]:
            asked = [part for part in exercise.parts if not part.is_written]
            answers, points = {}, 0.0
            for part in asked:
                words = part.chances()
                answers |= words[0][0] if words else dict.fromkeys(part.answer_names, guess)
            for part in asked:
                if isinstance(part, Choice):
                    points += part.points / len(part.options)
                else:
                    points += judged(exercise, part, givens, answers, explain=False).points
            earned[name] = earned.get(name, 0.0) + points / len(draws) / exercise.points
    return max(earned.values())


def floor_passed(exercise: Exercise, draws: Sequence[dict]) -> list[str]:
    """Say where answers without the method earn more than the exercise declares."""
    most = floor.most_without_the_method(exercise, draws)
    if most.share <= exercise.floor + 1e-9:
        return []
    where = ", ".join(f"{name} {points:.2g} of {exercise.part(name).points}" for name, points in most.points.items())
    return [
        f"answers without the method earn {most.share:.2f} of the points ({most.rules}: {where}), "
        f"and its floor says {exercise.floor:.2f}"
    ]


def steps_let_in(exercise: Exercise) -> set[tuple[str, str]]:
    """Return the steps, ``(part, step)``, without which the worked numbers still give an answer inside the band."""
    return exercise.unnoticed(exercise.worked())


def case_off(exercise: Exercise, case: Case) -> tuple[str | float, float]:
    """Return our answer to a published case, and by how much it is off; of words 0 or infinitely."""
    givens = exercise.worked() | case.givens
    ours = exercise.answers(exercise.key(givens) | case.earlier)
    part = exercise.part(case.part)
    answer = part.expected(exercise.values(givens), ours)
    if isinstance(case.answer, str):
        return answer, 0.0 if case.answer == answer else math.inf
    answer = units.from_si(float(answer), part.unit)
    return answer, answer - case.answer


def cases_missed(exercise: Exercise) -> list[str]:
    """Say which cases do not come out, have no standing, or no source where their standing asks for one."""
    found = []
    for case in exercise.cases:
        answer, off = case_off(exercise, case)
        if abs(off) > case.within:
            found.append(f"{case.part}: the case of {case.source!r} says {case.answer}, and expected gives {answer}")
        if case.standing not in STANDINGS:
            found.append(f"{case.part}: a case has standing {case.standing!r}; there are {', '.join(STANDINGS)}")
        if not case.source.strip() and case.standing != "common-practice":
            found.append(f"{case.part}: a case names no source")
    return found


def names_that_clash(exercise: Exercise) -> list[str]:
    """Say which givens and answers are named like a builtin of the kernel."""
    names = {*exercise.givens, *(name for part in exercise.parts for name in part.answer_names)}
    return [
        f"{name}: the notebook's kernel has a word of its own of this name" for name in sorted(names & KERNEL_WORDS)
    ]


def ends_in_a_number(exercise: Exercise) -> bool:
    """Whether an exercise ends in a number, and not in what the bench does with it."""
    return isinstance(exercise.parts[-1], Number)


def words_amiss(exercise: Exercise, draws: Iterable[dict]) -> list[str]:
    """Say which words of a choice are too few, or are never the right ones and say nothing to who takes them."""
    worded = [part for part in exercise.parts if isinstance(part, Choice)]
    right = {part.name: set() for part in worded}
    for drawn in draws:
        key = exercise.key(drawn)
        for part in worded:
            right[part.name].add(key[part.name])
    found = []
    for part in worded:
        if len(part.options) < 2:
            found.append(f"{part.name}: a choice needs two words or more")
        found += [
            f"{part.name}: {word!r} is never right, and no slip says why to who takes it"
            for word in part.options
            if word not in right[part.name] and word not in part.slips
        ]
    return found
