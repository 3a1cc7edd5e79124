"""How each kind of part is asked on paper, and how what stands there is read: by the learner's own sheet."""

from itertools import chain

import pytest

from graders import sheets
from graders.cohort.record import Handed
from graders.judging.judge import Answers, judge_part
from graders.notebooks import printer
from graders.paper import asked, pages
from graders.questions.parse_answer import Unclear
from graders.questions.parts.acts import Acts
from graders.questions.parts.number import Number
from graders.questions.parts.words import Worded
from graders.questions.verdicts import Code
from workbook.topics import TOPICS

EVERY = [(topic.slug, one) for topic in TOPICS for one in sheets.exercises(topic.slug)]


def handed(topic, exercise_id, learner="amber"):
    """An exercise with the worked numbers, its words in an order of this learner's."""
    exercise = sheets.find(topic, exercise_id)
    name = printer.notebook_name(exercise)
    orders = exercise.own_orders(b"a secret of the tests", learner)
    return Handed(learner, topic, exercise_id, name, exercise.worked(), "edition", "seal", "0", {}, [], orders)


def line(topic, exercise, name):
    return next(one for one in asked.lines_of(handed(topic, exercise)) if one.field.name == name)


def worded():
    return [
        (topic, exercise.id, part.name)
        for topic, exercise in EVERY
        for part in exercise.parts
        if isinstance(part, Worded)
    ]


def test_letters_go_by_the_order_this_learner_was_shown_and_no_word_can_be_taken_for_letters():
    for topic, exercise, name in worded():
        part = line(topic, exercise, name).part
        assert [part.letters[letter] for letter in part.letters] == list(part.options)
        for letter, word in part.letters.items():
            assert part._lettered(letter.lower()) == word
        in_letters = set("".join(part.letters).lower())
        spelled = [
            word
            for word in part.options
            if part.kind in ("several", "order")
            and len(word) > 1
            and set(word) <= in_letters
            and len(set(word)) == len(word)
        ]
        assert spelled == [], (exercise, name)


def test_two_learners_letters_stand_for_other_words():
    topic, exercise, name = next(one for one in worded() if len(sheets.find(*one[:2]).part(one[2]).options) > 3)
    shown = set()
    for learner in ("amber", "birch", "cedar", "dahlia"):
        parts = dict(asked.parts(handed(topic, exercise, learner), sheets.find(topic, exercise)))
        shown.add(next(tuple(part.options) for part in parts.values() if part.name == name))
    assert len(shown) > 1


@pytest.mark.parametrize(
    ("typed", "read"),
    [("A", 1), ("a", 1), ("'b'", 1), ("AB", 2), ("A, B", 2), ("b a", 2), ("(a) (b)", 2)],
)
def test_letters_are_read_however_they_stand(typed, read):
    topic, exercise, name = next(one for one in worded() if sheets.find(*one[:2]).part(one[2]).kind == "several")
    assert len(line(topic, exercise, name).part.from_paper(name, typed)) == read


def kind(wanted):
    topic, exercise, part = next(
        (topic, exercise, part)
        for topic, exercise in EVERY
        for part in exercise.parts
        if type(part).__name__.lower() == wanted
    )
    return line(topic, exercise.id, part.paper_lines[0].name)


@pytest.mark.parametrize(
    ("of", "typed", "why"),
    [
        ("number", "twelve", "starts with a number"),
        ("number", "1,234.5", "two ways"),
        ("number", "3 bananas", "does not fit"),
        ("choice", "A B", "One letter is asked for"),
        ("choice", "Z", "none of the letters"),
        ("several", "A A", "twice"),
        ("several", "7", "none of the letters"),
        ("order", "A B", "is missing"),
        ("pointing", "q", "none of the letters"),
        ("design", "much", "starts with a number"),
    ],
)
def test_what_cannot_be_read_is_said_in_a_line(of, typed, why):
    said = asked.why_unclear(kind(of), typed)
    assert why in said
    assert "\n" not in said


def test_only_acts_are_not_on_paper_and_their_sheet_says_so():
    parts = list(chain.from_iterable(exercise.parts for _, exercise in EVERY))
    assert {type(part) for part in parts if not part.paper_lines} == {Acts}
    acts = next(part for part in parts if isinstance(part, Acts))
    assert "not on paper" in acts.on_paper(str)


def test_the_band_on_the_key_is_the_judges_own():
    """What the key calls right at its edges earns the points, and what lies a little outside does not."""
    exercise = sheets.find("profile", "bead-lag")
    givens, part = exercise.worked(), exercise.part("time_constant")
    assert isinstance(part, Number)
    g, a = exercise.solved(givens)
    low, high = (float(edge) for edge in part.key_line(g, a).partition("(")[2].rstrip(")").split(" to "))
    for value, is_right in ((low * 1.001, True), (high * 0.999, True), (low * 0.995, False), (high * 1.005, False)):
        verdict = judge_part(exercise, part.name, givens, Answers({part.name: value}, {}))
        assert (verdict.verdict is Code.RIGHT) is is_right, value


def test_an_answer_in_letters_earns_what_the_words_earn():
    exercise = sheets.find("profile", "bead-lag")
    for mark, part in asked.parts(handed("profile", "bead-lag"), exercise):
        if isinstance(part, Worded):
            right = part.right_answer(*exercise.solved(exercise.worked()))[part.name]
            letter = next(letter for letter, word in part.letters.items() if word == right)
            assert part.from_paper(part.name, letter) == right
            assert asked.number(handed("profile", "bead-lag")) == mark.partition(".")[0]


def test_the_sheet_asks_in_own_numbers_with_a_line_and_a_unit_for_every_answer():
    one = handed("profile", "bead-lag")
    exercise = sheets.find("profile", "bead-lag")
    page = pages._exercise(one, exercise)
    lines = asked.lines_of(one)
    assert page.count('class="answer"') == len(lines)
    for each in lines:
        assert f"<b>{each.mark}</b>" in page
    assert printer.filled("{diameter}", exercise, one.givens) in page
    with pytest.raises(Unclear):
        lines[0].understood("no number")
