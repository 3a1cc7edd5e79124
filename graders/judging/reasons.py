"""The judge's reasons for one learner's exercise, in words for the instructor."""

from collections.abc import Iterator, Mapping, Sequence

from graders.judging.marks import NOT_HANDED_IN, Row
from graders.questions.exercise import Exercise, Number, Part, Written


def lines(rows: Sequence[Row], exercise: Exercise, givens: dict, numbers: Mapping[str, float]) -> Iterator[str]:
    """Yield the reasons, part by part: what it earned and why, what was answered, and what the key is.

    Parameters
    ----------
    rows : sequence of Row
        The exercise's parts as they were marked.
    exercise : Exercise
    givens : dict
        The record's givens of this learner.
    numbers : mapping from part to number
        What was read as the learner's answers.
    """
    if all(row.verdict == NOT_HANDED_IN for row in rows):
        yield "This notebook was not handed in."
        return
    key = exercise.key(givens)
    for row in rows:
        part = exercise.part(row.part)
        named = f" ({row.flag})" if row.flag and row.flag != row.verdict else ""
        yield f"{row.part}: {row.points:g} of {row.out_of}, {row.verdict}{named}"
        if row.part in numbers:
            yield f"    answered {_shown(numbers[row.part])}{_unit(part)}"
        yield from (f"    {words}" for words in _expected(part, key))
        if row.remark:
            yield f"    {row.remark}"
        if row.comment:
            yield f"    Your comment: {row.comment}"


def _expected(part: Part, key: Mapping[str, object]) -> Iterator[str]:
    if isinstance(part, Written):
        yield f"a good answer says: {part.model}"
    elif part.answer_names == (part.name,):
        yield f"expected {_shown(key[part.name])}{_unit(part)}"
    else:
        choice = ", ".join(f"{name} = {_shown(key[name])}" for name in part.answer_names)
        yield f"one choice that holds every limit: {choice}"


def _unit(part: Part) -> str:
    return f" {part.unit}" if isinstance(part, Number) and part.unit != "1" else ""


def _shown(value) -> str:
    if isinstance(value, float):
        return f"{value:.5g}"
    return ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)
