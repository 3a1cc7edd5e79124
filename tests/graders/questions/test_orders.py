"""The place of a word in its list tells nothing: orders are drawn a learner, written down, and kept."""

import json
from dataclasses import replace
from math import sqrt

import pytest

from graders import sheets
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.desk import copying, practice
from graders.handout import handing_out
from graders.notebooks import printer
from graders.questions.parts.words import Choice, Worded
from workbook.topics import TOPICS

SECRET = b"orders of the tests"
LEARNERS = 300
CHOICES = [
    pytest.param(exercise, part, id=f"{topic.slug}/{exercise.id}/{part.name}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
    for part in exercise.parts
    if isinstance(part, Choice)
]


def test_the_right_word_stands_first_in_the_middle_and_last_alike():
    """Over every choice of every sheet and many learners, within three standard errors of one in the list's length."""
    found, wanted, spread = ([0.0, 0.0, 0.0] for _ in range(3))
    for exercise, part in (param.values for param in CHOICES):
        right, many = exercise.key(exercise.worked())[part.name], len(part.options)
        for number in range(LEARNERS):
            order = exercise.own_orders(SECRET, f"learner {number}")[part.name]
            for place, at in enumerate((0, many // 2, many - 1)):
                found[place] += order[at] == right
                wanted[place] += 1 / many
                spread[place] += (1 / many) * (1 - 1 / many)
    for place, name in enumerate(("first", "middle", "last")):
        off = (found[place] - wanted[place]) / sqrt(spread[place])
        told = f"right word {name}: {found[place]:g} times, {wanted[place]:.0f} by chance, {off:+.1f} standard errors"
        assert abs(off) < 3, told


def test_the_printed_exercises_have_the_right_word_first_no_more_often_than_chance_allows():
    found, wanted, spread = 0, 0.0, 0.0
    for exercise, part in (param.values for param in CHOICES):
        many = len(part.options)
        found += exercise.orders(printer.PRINTED)[part.name][0] == exercise.key(exercise.worked())[part.name]
        wanted, spread = wanted + 1 / many, spread + (1 / many) * (1 - 1 / many)
    assert abs(found - wanted) < 3 * sqrt(spread)


def test_the_way_a_sheet_is_written_does_not_move_a_word():
    exercise, part = CHOICES[0].values
    backwards = part.in_order(list(reversed(part.options)))
    assert list(backwards.options) != list(part.options)
    rewritten = replace(exercise, parts=tuple(backwards if one is part else one for one in exercise.parts))
    assert rewritten.own_orders(SECRET, "amber") == exercise.own_orders(SECRET, "amber")


def test_words_that_are_not_the_parts_leave_the_sheets_order():
    _, part = CHOICES[0].values
    for strange in ((), ["none", "such"], list(part.options)[:1], [*part.options, "more"]):
        assert part.in_order(strange) == part


@pytest.fixture
def cohort(tmp_path):
    return handing_out.make([Learner("amber", "Amber"), Learner("birch", "Birch")], tmp_path / "spring", ("intake",))


def words_in(notebook, part):
    question = next(cell for cell in notebook["cells"] if cell["id"] == f"{part.name}-question")
    text = "".join(question["source"])
    return sorted(part.options, key=lambda word: text.index(f"- `'{word}'`: "))


@pytest.mark.slow
def test_the_record_holds_the_order_each_learner_was_shown_and_a_lost_handout_keeps_it(cohort):
    seen = {}
    handing_out.again(cohort, "amber")
    for handed in HandoutRecord(cohort.record):
        path = cohort.handout(handed.learner) / handed.topic / f"{handed.notebook}.ipynb"
        notebook = json.loads(path.read_text(encoding="utf-8"))
        for part in sheets.find(handed.topic, handed.exercise).parts:
            if isinstance(part, Worded) and part.is_shuffled:
                assert words_in(notebook, part) == handed.orders[part.name]
                seen.setdefault((handed.exercise, part.name), []).append(handed.orders[part.name])
        assert copying.clean(path) == path.read_bytes()
    assert any(one != other for one, other in seen.values())


@pytest.mark.slow
def test_a_record_written_before_orders_were_drawn_prints_the_sheets_order(cohort):
    lines = [json.loads(line) for line in cohort.record.read_text(encoding="utf-8").splitlines()]
    for line in lines:
        del line["orders"]
    cohort.record.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    handing_out.again(cohort, "amber")
    for handed in HandoutRecord(cohort.record).of("amber"):
        path = cohort.handout("amber") / handed.topic / f"{handed.notebook}.ipynb"
        notebook = json.loads(path.read_text(encoding="utf-8"))
        for part in sheets.find(handed.topic, handed.exercise).parts:
            if isinstance(part, Worded):
                assert words_in(notebook, part) == list(part.options)


def test_practice_draws_an_order_for_each_question_and_reads_numbers_by_it():
    exercise, part = CHOICES[0].values
    item = practice.Item("intake", exercise, part)
    order = list(reversed(part.options))
    question = practice.Question(1, item, exercise.worked(), order)
    assert [word for word, _ in question.options] == order
    assert question.part.read("1") == order[0]
