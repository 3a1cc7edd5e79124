"""The judge's reasons for one learner's exercise, in words for the instructor."""

from collections.abc import Iterator, Mapping, Sequence

from graders.judging.marks import Row, nothing_came
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed

MOST_LINES = 20
"""Lines of an answer that are shown."""


def lines(
    rows: Sequence[Row],
    exercise: Exercise,
    givens: Printed,
    numbers: Mapping[str, float],
    wrote: Mapping[str, str] | None = None,
) -> Iterator[str]:
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
    wrote : mapping from part to text, optional
        What stands in the answer cells: told of what is no number, as words are.
    """
    if nothing_came(rows):
        yield "This notebook was not handed in."
        return
    key = exercise.key(givens)
    for row in rows:
        part = exercise.part(row.part)
        named = f" ({flag})" if (flag := added_flag(row)) else ""
        yield f"{row.part}: {row.points:g} of {row.out_of}, {row.verdict.label}{named}"
        if row.part in numbers:
            yield f"    answered {_shown(numbers[row.part])}{part.answer_unit}"
        elif written := (wrote or {}).get(row.part, "").strip():
            first, *others = written.splitlines()
            yield f"    answered {first}"
            yield from (f"             {line}" for line in others[: MOST_LINES - 1])
            if len(others) >= MOST_LINES:
                yield f"             … {len(others) + 1} lines in all"
        yield f"    {part.expected_in(key)}"
        if row.remark:
            yield f"    {row.remark}"
        if row.comment:
            yield f"    Your comment: {row.comment}"


def added_flag(row: Row) -> str:
    """Return a row's flag where it says more than the words of the verdict beside it, else nothing."""
    return "" if set(row.flag.casefold().split()) <= set(row.verdict.label.casefold().split()) else row.flag


def _shown(value: float) -> str:
    return f"{value:.5g}"
