"""Every exercise about something one looks at has a drawing of it, in the learner's own numbers.

Whether one looks at something is told by the question's own words: a new exercise that speaks of a picture, a section,
a print or a plan has a drawing, or stands below with its reason.
"""

import re
from html import unescape
from pathlib import Path

import pytest

from graders import sheets
from workbook import paths
from workbook.drawings import gallery, pen
from workbook.topics import TOPICS

EXERCISES = [
    pytest.param(topic.slug, exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]
DRAWN = [each for each in EXERCISES if each.values[1].drawing]
DRAWN_SOMEWHERE = [each for each in EXERCISES if each.values[1].drawing or each.values[1].drawing_of_answer]
SEEN = re.compile(
    r"\b(drawing|picture|photograph\w*|X-ray|dyed?|microscope|residue|sections? (through|along)"
    r"|log below|this is the log|the print|gave the log|thermocouple log|The table gives (their|the) places"
    r"|square grid of links|curves along|stand \S+ mm apart)\b"
)
"""Words of a question that is about something seen."""

NOT_LOOKED_AT = {
    "came-back": "the marks are one finding with its ratio; the exercises before it are about the marks",
    "chain-of-steps": "X-ray is a step with its share, not a picture to read",
    "bare-top": "the camera's picture is given as one reading",
    "rinse-do-not-smear": "residue is worked out, and not seen",
    "resistance-log": "resistances over three decades; the table is read by a rule",
    "board-on-the-bench": "its own page draws the board as it stands after each act",
    "choose-a-programme": "what is meant is the lesson's explorer, which stands there to be moved",
}


def test_what_is_looked_at_is_drawn_or_excused_with_a_reason():
    undrawn = {
        exercise.id
        for _, exercise in (each.values for each in EXERCISES)
        if not exercise.drawing and SEEN.search(" ".join([exercise.setup, *(part.ask for part in exercise.parts)]))
    }
    assert undrawn == set(NOT_LOOKED_AT)


@pytest.mark.parametrize(("topic", "exercise"), DRAWN)
def test_a_drawing_holds_together_in_any_learners_numbers(topic, exercise):
    for number in range(12):
        drawing = exercise.drawn(exercise.draw(b"drawn", f"learner {number}"))
        assert isinstance(drawing, pen.Drawing)
        assert len(drawing.markdown()) < 160_000
        assert all("nan" not in view.body and len(view.words.split()) >= 12 for view in drawing.views)


OF_ITS_OWN_NUMBERS = {
    "point-at-the-marks", "crack-area", "six-joints", "look-along-the-edges", "layer-growth",
    "what-a-look-can-see", "weigh-each-look",
    "read-the-log", "near-the-peak", "right-and-wrong-seats", "bow-and-twist", "which-part", "plan-two-readings",
    "bare-patches", "read-the-print", "hold-the-log",
}  # fmt: skip
"""Drawn from the numbers of the part they belong to; the others show one thing for everybody."""


@pytest.mark.parametrize(("topic", "exercise"), DRAWN)
def test_a_drawing_is_drawn_from_the_learners_own_numbers(topic, exercise):
    drawn = {exercise.drawn(exercise.draw(b"drawn", f"learner {number}")).svg for number in range(6)}
    assert (len(drawn) > 1) == (exercise.id in OF_ITS_OWN_NUMBERS)


def tells(drawing, number, unit):
    """Whether a drawing names a number with its unit, in its picture or in its words; 0.40 is 0.4."""
    pictures = (re.findall(r">([^<]+)</text>", view.body) for view in drawing.views)
    told = unescape(" ".join([drawing.words, *(words for picture in pictures for words in picture)]))
    digits = f"{number:g}" + (r"0*" if "." in f"{number:g}" else r"(\.0+)?")
    return bool(re.search(rf"(?<![\d.]){digits} {re.escape(unit)}", told))


@pytest.mark.parametrize(("topic", "exercise"), DRAWN_SOMEWHERE)
def test_a_number_that_a_drawing_names_is_the_learners_own_to_its_last_digit(topic, exercise):
    """What is named in the worked numbers is named in any learner's: a width of 4.5 µm is not told as 4 µm."""
    worked = exercise.worked()
    for drawn in (exercise.drawn, exercise.answer_drawn):
        if not (first := drawn(worked)):
            continue
        units = {name: given.unit for name, given in exercise.givens.items() if isinstance(worked[name], int | float)}
        named = [name for name, unit in units.items() if unit != "1" and tells(first, worked[name], unit)]
        for number in range(12):
            givens = exercise.draw(b"drawn", f"learner {number}")
            own = drawn(givens)
            assert [name for name in named if not tells(own, givens[name], units[name])] == [], givens


OF_THE_BENCH = {"bench.board_at_work", "bench.way_taken"}
"""Drawn after each act of a case, by `workbook.case`: seen in the exercise's page."""


@pytest.mark.parametrize("name", gallery.drawings())
def test_every_drawing_is_met_in_a_lesson_or_an_exercise(name):
    lessons = "".join(path.read_text(encoding="utf-8") for path in paths.lessons().glob("*.ipynb"))
    sheet = "".join(path.read_text(encoding="utf-8") for path in Path(sheets.__file__).parent.rglob("*.py"))
    assert f'drawings.{name}"' in lessons or f"{name}(" in sheet or name in OF_THE_BENCH
