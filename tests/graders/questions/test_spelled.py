"""A working in plain arithmetic says the right number, with the learner's own numbers in it and no name left."""

import re

import pytest

from graders import sheets
from graders.questions import Number, spelled
from workbook.topics import TOPICS

EXERCISES = [
    pytest.param(exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]
RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")


def first_number(text):
    """Return the number a text begins with, read back from how it is written."""
    found = re.match(r"(−?[\d ]*\.?\d+)(?: × 10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))?", text) or re.match(r"(−?)10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", text)
    digits, power = found.groups()
    value = float((digits if any(map(str.isdigit, digits)) else f"{digits}1").replace(" ", "").replace("−", "-"))
    return value * 10.0 ** int(power.translate(RAISED)) if power else value


@pytest.mark.parametrize("exercise", EXERCISES)
def test_the_last_step_says_the_right_answer(exercise):
    for givens in (exercise.worked(), exercise.draw(b"spelled", "learner")):
        key, told = exercise.key(givens), exercise.spelled(givens)
        for part in (part for part in exercise.parts if isinstance(part, Number)):
            last = told[part.name][-1]
            assert last.startswith(part.name.removesuffix("_c").replace("_", " ") + " = ")
            assert part.takes(first_number(last.split(" = ")[-1]), key[part.name]), last


@pytest.mark.parametrize("exercise", EXERCISES)
def test_no_name_of_a_given_or_an_answer_is_left_in_the_arithmetic(exercise):
    names = {name for name in exercise.givens if len(name) > 3}
    for lines in exercise.spelled(exercise.worked()).values():
        for line in lines:
            if " = " in line:
                assert not names & set(re.findall(r"[a-z_]{4,}", line.split(" = ", 1)[1])), line


def test_a_step_of_a_loop_is_told_by_its_result():
    assert spelled.steps("first = [r for r in rows if r > 2][0]", {"rows": [1, 2, 3, 4]}, {}) == ["first = 3"]


def test_only_the_branch_that_is_taken_is_told():
    working = "z = 1.6\nif risk == 10: z = 1.3\nguard = z * doubt"
    assert spelled.steps(working, {"risk": 10, "doubt": 2}, {"doubt": "K"}) == ["z = 1.3", "guard = 1.3 × 2 K = 2.6"]


def test_what_holds_together_more_loosely_stands_in_brackets():
    told = spelled.steps("x = (a - b) / (a * b)**2 - (a - (b + a))", {"a": 3, "b": 2}, {})
    assert told == ["x = (3 − 2) / (3 × 2)² − (3 − (2 + 3)) = 2.0278"]
