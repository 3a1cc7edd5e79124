"""What somebody earns who guesses: by which rule, on whose numbers, and counted on others than it was found on."""

from dataclasses import replace

import pytest

from graders.judging.floor import USUAL, WORDS, _Guessing, _once, _Rules, most_without_the_method
from graders.questions.exercise import Exercise
from graders.questions.givens import Quantity
from graders.questions.parts.design import Design, Setting
from graders.questions.parts.number import Number, Slip
from graders.questions.parts.tolerance import relative
from graders.questions.parts.words import Choice, Several
from graders.questions.parts.written import Written
from graders.questions.verdicts import Margin

LENGTH = Quantity(100, "mm", low=80, high=120, step=5)
AREA = Number(
    "area",
    "What is its area?",
    points=2,
    unit="mm²",
    expected=lambda g, a: g.length * 0.05,
    within=relative(0.01),
    because="it is a test",
    plausible=(1000, 20000),
    slips=(Slip("side", lambda g, a: g.length * 1e-3, "x"), Slip("none", lambda g, a: 1 / 0, "x")),
)
TWICE = Number(
    "twice",
    "And twice?",
    unit="mm²",
    expected=lambda g, a: 2 * a.area,
    within=relative(0.01),
    because="it is a test",
    plausible=(2000, 40000),
)


def sheet(*parts, setup=""):
    return Exercise(id="x", number=1, title="x", setup=setup, givens=dict(length=LENGTH), parts=parts)


def draws(*lengths):
    return [{"length": length} for length in lengths]


def most(exercise, *lengths):
    return most_without_the_method(exercise, draws(*lengths))


def test_a_number_of_the_text_that_is_the_answer_earns_it_and_the_rule_is_said():
    for text in (
        sheet(AREA, setup="Not 5000."),
        sheet(replace(AREA, ask="Not 5000?")),
        sheet(replace(AREA, because="5000")),
    ):
        found = most(text, 100, 100)
        assert (found.points, found.share, found.rules) == (
            {"area": 2},
            1.0,
            "lowest, first word, area by 5000 of the text",
        )


def test_without_one_nothing_is_earned_and_the_first_rule_is_named():
    found = most(sheet(AREA), 100, 105)
    assert (found.points, found.share, found.rules) == ({"area": 0}, 0.0, "lowest, first word")


def test_what_a_guess_earns_is_a_mean_over_other_draws_than_it_was_found_on():
    text = sheet(AREA, setup="Not 5000.")
    assert most(text, 100, 100, 100, 90).points == {"area": 1}
    assert most(text, 90, 100).points == {"area": 0}
    assert most(text, 100, 100, 90).points == {"area": 1}  # of three, one is for finding and two are for counting


def test_the_bounds_the_givens_and_plain_numbers_are_rules_for_every_number():
    for bound, rule in (((5000, 20000), "lowest"), ((100, 5000), "highest"), ((1000, 9000), "middle")):
        found = most(sheet(replace(AREA, plausible=bound)), 100, 100)
        assert found.share == 1.0, rule
    assert most(sheet(replace(AREA, expected=lambda g, a: g.length * 1e-3)), 85, 115).share == 1.0
    assert most(sheet(replace(AREA, unit="1", expected=lambda g, a: 100.0)), 85, 115).share == 1.0


def test_an_earlier_answer_may_be_typed_again_and_its_points_are_shared_by_all_parts():
    same = replace(TWICE, expected=lambda g, a: a.area, plausible=(900, 40000))
    low = replace(AREA, plausible=(5000, 20000))
    found = most(sheet(low, same), 100, 100)
    assert found.points == {"area": 2, "twice": 1}
    assert "twice by earlier area" in found.rules
    assert most(sheet(low, TWICE), 100, 100).share == pytest.approx(2 / 3)


def guessing(*parts, length=100):
    return _Guessing(sheet(*parts), {"length": length})


def test_slips_are_rules_up_to_the_third_of_the_part_that_has_most():
    def last(many):
        slips = tuple(Slip(f"s{place}", lambda g, a: 1.0, "x") for place in range(many))
        return [rule for rule in guessing(replace(AREA, slips=slips), TWICE).number_rules if "slip" in rule]

    assert [last(many) for many in (0, 2, 3, 4)] == [
        [],
        ["slip 1", "slip 2"],
        ["slip 1", "slip 2", "slip 3"],
        ["slip 1", "slip 2", "slip 3"],
    ]
    word = Choice("kind", "?", options={"a": "", "b": ""}, expected=lambda g, a: "a")
    assert guessing(word).number_rules == ["lowest", "highest", "middle", "0", "1", "-1", "100", "given length"]
    assert guessing().number_rules[:3] == ["lowest", "highest", "middle"]


@pytest.mark.parametrize(
    ("rule", "number"),
    [("lowest", 1000), ("highest", 20000), ("middle", 10500), ("100", 100), ("given length", 90)]
    + [("slip 1", 90), ("slip 2", 1000), ("slip 3", 1000)],
)
def test_a_number_by_a_rule_is_the_lowest_where_the_rule_gives_none(rule, number):
    by = guessing(AREA, length=90)
    slips = (Slip("side", lambda g, a: g.length * 1e-3, "x"), Slip("none", lambda g, a: 1 / 0, "x"))
    assert _Rules(by, rule, "first word").number(replace(AREA, slips=slips)) == pytest.approx(number)


@pytest.mark.parametrize(
    ("rule", "whole", "choice"),
    [
        ("lowest", False, 25),
        ("highest", False, 60.5),
        ("middle", False, 42.75),
        ("middle", True, 43),
        ("0", False, 25),
        ("100", False, 60.5),
        ("given length", False, 50),
        ("slip 1", False, 42.75),
    ],
)
def test_a_choice_by_a_rule_stays_within_the_bounds_that_are_printed(rule, whole, choice):
    setting = Setting("plate_c", "plate", "°C", 25, 60.5, whole=whole)
    chosen = _Rules(guessing(AREA, length=50), rule, "first word").setting(setting)
    assert (chosen, type(chosen) is int) == (choice, whole or isinstance(choice, int))


def test_a_word_by_a_rule_is_the_first_the_last_or_the_longest_and_the_last_of_several_is_all():
    options = dict.fromkeys(["bb", "ccc", "a", "d"], "")
    words = {rule: _Rules(guessing(AREA), "lowest", rule).word(options) for rule in WORDS}
    assert words == {"first word": "a", "last word": "d", "longest word": "ccc"}
    several = {rule: _Rules(guessing(AREA), "lowest", rule).words(options) for rule in WORDS}
    assert several == {"first word": ["a"], "last word": ["bb", "ccc", "a", "d"], "longest word": ["ccc"]}


KIND = Choice("kind", "?", points=3, options={"a": "", "bb": "", "c": ""}, expected=lambda g, a: "bb")


def test_words_earn_what_they_earn_by_chance():
    assert most(sheet(KIND), 100, 100).points == {"kind": 1}
    tools = Several("tools", "?", points=2, options=dict.fromkeys("ab", ""), expected=lambda g, a: {"a"})
    assert most(sheet(tools), 100, 100).points == {"tools": 1}  # one of them, and not both


@pytest.mark.parametrize(("word", "rule"), [("a", "first word"), ("c", "last word"), ("bb", "longest word")])
def test_the_word_that_is_carried_on_is_tried_by_each_rule(word, rule):
    """What follows from one of the words stands in the text; the right word is another."""
    kind = replace(KIND, expected=lambda g, a: "none", options=KIND.options | {"b": ""})
    size = replace(AREA, name="size", expected=lambda g, a: 0.006 if a.kind == word else g.length * 0.05)
    found = most(sheet(kind, size, setup="Not 6000."), 95, 105)
    assert found.points["size"] == 2
    assert rule in found.rules


def test_an_answer_in_words_is_no_matter_of_guessing():
    essay = Written("why", "Why?", points=2, model="Because.")
    found = most(sheet(AREA, essay, setup="Not 5000."), 100, 100)
    assert found.points == {"area": 2}
    assert found.share == 0.5


def test_a_slip_is_worked_out_to_be_carried_on_and_earns_nothing_itself():
    by = guessing(replace(AREA, slips=(Slip("right", lambda g, a: g.length * 0.05, "x"),)))
    assert by.earned(AREA, "slip 1", "first word")[USUAL] == 0
    assert by.earned(AREA, "lowest", "first word", only="highest") == {"highest": 0}
    assert set(by.earned(AREA, "lowest", "first word")) > {USUAL, "lowest", "highest", "given length"}


def test_a_sheet_that_cannot_judge_a_guess_gives_nothing():
    plate = Design(
        "plate",
        "?",
        points=2,
        settings=(Setting("plate_c", "plate", "°C", 25, 400),),
        simulate=lambda g, a, c: (Margin("x", c["plate_c"], 1 / (c["plate_c"] - 25), "°C"),),
        example=lambda g, a: {"plate_c": 150},
        idle=0.0,
    )
    by = guessing(plate)
    assert by.earned(plate, "lowest", "first word") == {USUAL: 0}
    assert by.earned(plate, "highest", "first word") == {USUAL: 2}


def test_equal_steps_are_worked_out_once():
    came = []
    known = _once(lambda g, a, *more: came.append((a, *more)) or len(came))
    assert [known("g", 1), known("g", 1), known("g", 2), known("g", 1, 3), known("g", 1, 3)] == [1, 1, 2, 3, 3]


def test_answers_are_carried_on_and_forgotten_at_the_start():
    low = replace(AREA, plausible=(4000, 20000))
    by = guessing(low, TWICE)
    by.answer(low, "lowest", "first word", USUAL)
    assert (by.given, by.carried) == ({"area": 4000}, {"area": 4000})
    assert by.here["area"] == 4000
    assert by.earned(TWICE, "lowest", "first word")["earlier area"] == 0
    by.begin()
    assert (by.given, by.carried, by.here.printed) == ({}, {}, {})
