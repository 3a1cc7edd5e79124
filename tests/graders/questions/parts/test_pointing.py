"""A part answered by pointing: letters fixed to places, what is right drawn with the givens, wrong picks cost."""

import re

import pytest

from graders import sheets
from graders.judging.judge import Answers, judge_part
from graders.notebooks import printer
from graders.questions import Pointing
from graders.sheets.intake import marks as sheet_of_marks
from graders.sheets.joints import cut_open
from graders.sheets.profile import seats
from workbook.topics import TOPICS

POINTED = [
    pytest.param(topic, exercise, id=exercise.id)
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
    if any(isinstance(part, Pointing) for part in exercise.parts)
]
each = pytest.mark.parametrize(("topic", "exercise"), POINTED)


def judged(exercise, part, givens, answer):
    """Return the verdict on an answer to a part that is pointed at."""
    return judge_part(exercise, part.name, givens, Answers(exercise.key(givens) | {part.name: answer}))


def pointed(exercise):
    """Return the parts answered by pointing."""
    return [part for part in exercise.parts if isinstance(part, Pointing)]


def test_at_least_three_exercises_ask_to_point():
    assert len(POINTED) >= 3


@each
def test_every_letter_is_a_region_of_the_drawing_and_every_region_has_its_letter(topic, exercise):
    for learner in range(20):
        drawn = exercise.drawn(exercise.draw(b"secret", f"learner {learner}"))
        for part in pointed(exercise):
            assert [region.name for region in drawn.regions] == list(part.options)


@each
def test_a_letter_s_place_does_not_say_what_is_seen_there_and_the_drawing_s_words_do(topic, exercise):
    drawn = exercise.drawn(exercise.worked())
    for region in drawn.regions:
        for part in pointed(exercise):
            assert region.words not in part.options[region.name]
        assert f"{region.name}: {region.words}" in drawn.words
        assert not region.tells or region.tells not in drawn.words


@each
def test_wrong_picks_cost_what_right_ones_earn_and_all_letters_earn_nothing(topic, exercise):
    givens = exercise.worked()
    for part in pointed(exercise):
        right = exercise.key(givens)[part.name]
        others = [letter for letter in part.options if letter not in right]
        assert judged(exercise, part, givens, right).points == part.points
        assert judged(exercise, part, givens, [letter.upper() for letter in right]).points == part.points
        assert judged(exercise, part, givens, right[1:]).points < part.points
        assert judged(exercise, part, givens, [*right, others[0]]).points < part.points
        if len(others) >= len(right):
            assert judged(exercise, part, givens, list(part.options)).points == 0


@each
def test_a_neighbour_s_letters_are_seldom_one_s_own(topic, exercise):
    keys = [exercise.key(exercise.draw(b"secret", f"learner {n}")) for n in range(30)]
    part = pointed(exercise)[0]
    answers = [tuple(key[part.name]) for key in keys]
    assert max(answers.count(one) for one in answers) <= 6


@each
def test_the_letters_keep_their_order_for_everybody(topic, exercise):
    for part in pointed(exercise):
        assert part.name not in exercise.own_orders(b"secret", "learner")


@each
def test_the_notebook_carries_its_drawing_with_words_and_asks_for_nothing_from_elsewhere(topic, exercise):
    notebook = printer.exercise_notebook(topic, exercise)
    cell = next(cell for cell in notebook["cells"] if cell["id"] == "drawing")
    assert cell["source"].startswith("![")
    assert "](data:image/svg+xml;base64," in cell["source"]
    assert "http" not in cell["source"]
    for region in exercise.drawn(exercise.worked()).regions:
        assert region.words in cell["source"].split("](")[0]


@each
def test_the_givens_do_not_tell_what_is_right(topic, exercise):
    source = printer.givens_source(exercise, exercise.worked())
    assert not any(region.tells and region.tells in source for region in exercise.drawn(exercise.worked()).regions)
    assert "flux" not in source
    assert "gas" not in source


def test_every_scene_of_a_series_has_an_answer_to_every_part():
    for exercise, scenes in (
        (sheet_of_marks.POINT, sheet_of_marks.SCENES),
        (cut_open.CUT_OPEN, cut_open.SCENES[::17]),
        (seats.SEATS, seats.SCENES),
    ):
        for scene in range(1, len(scenes) + 1):
            key = exercise.key(exercise.worked() | {"scene": scene})
            assert all(key[part.name] for part in pointed(exercise))


JUDGING = (
    "askew|bad|bare|burnt|clean|damaged|dirty|even|fresh|good|loose|new|odd|old|right|ruined|scorched|scratched|sharp|"
    "squeezed|straight|torn|uneven|whole|worn|wrong"
)
"""Words that say what to make of a thing, where a drawing's words are to say what is seen."""
THINGS = {"board", "gas", "hand", "land", "package", "part", "paste", "plate", "solder", "from", "here", "with"}
"""What may be seen as well as meant, and words without a meaning of their own."""


@each
def test_the_words_of_a_drawing_describe_and_do_not_judge(topic, exercise):
    """Whoever cannot see it judges by what is described, as the others do: no word of the key stands in it."""
    draws = [exercise.drawn(exercise.draw(b"secret", f"learner {learner}")) for learner in range(20)]
    seen = {region.words for drawn in draws for region in drawn.regions}
    meant = {word for drawn in draws for region in drawn.regions for word in re.findall(r"[a-z]{4,}", region.tells)}
    for words in seen:
        told = words.split(": ", 1)[-1]  # without the place, which all of them have
        assert not re.search(rf"\b({JUDGING})\b", told)
        assert not (meant - THINGS) & set(re.findall("[a-z]+", told.lower())), told


@each
def test_no_letter_lies_on_another_or_beyond_the_drawing(topic, exercise):
    for learner in range(20):
        drawn = exercise.drawn(exercise.draw(b"secret", f"learner {learner}"))
        at = [region.badge for region in drawn.regions]
        for n, (x, y) in enumerate(at):
            assert 10 <= x <= drawn.views[0].width - 10
            assert 10 <= y <= drawn.views[0].height - 10
            assert all(max(abs(x - other[0]), abs(y - other[1])) > 19 for other in at[:n])
