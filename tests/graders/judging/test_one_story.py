"""What is said where several changes give the same wrong number, and what the learner's own digits decide."""

import math
from dataclasses import replace

import pytest

from graders.judging import near_misses
from graders.judging.changes import FAMILIES, TWO
from graders.judging.near_misses import FACTORS, _one_story, _plain_factor, _reach, near_miss, unnamed, untried
from graders.judging.trials import Variant
from graders.questions.exercise import Exercise
from graders.questions.givens import Fixed
from graders.questions.parts.number import Number, Slip
from graders.questions.parts.tolerance import absolute, relative
from graders.questions.parts.words import Choice


def change(what, family="left out", rank=0, wide="", value=4.2):
    return Variant(family, what, value, rank, wide)


def told(*found):
    story = _one_story(list(found))
    return story and story[0]


A, B = change("`a` is left out"), change("`b` is left out")
HALVED = change("`a` is halved", "factor", wide=TWO)
STOPPED = change("the work stops at the sum", "stopped")


def test_nothing_is_said_where_nothing_was_found():
    assert _one_story([]) is None


def test_one_explanation_is_told_with_its_family_and_what_it_gives():
    assert _one_story([A]) == ("`a` is left out", "left out", 4.2)
    assert _one_story([change("x", "case", value=1.0), change("x", "row", value=2.0)]) == ("x", "case or row", 1.0)


def test_of_several_what_fits_all_is_said_and_else_what_fits_their_family():
    assert told(HALVED, change("`b` is doubled", "constant", wide=TWO)) == TWO
    assert told(A, B) == FAMILIES["left out"]
    assert told(A, change("`b` is halved", "factor", wide=TWO)._replace(family="constant")) is None
    assert told(HALVED, change("`b` is squared", "factor")) == FAMILIES["factor"]


@pytest.mark.parametrize(("rank", "said"), [(0, FAMILIES["left out"]), (1, FAMILIES["left out"]), (2, None)])
def test_two_things_at_once_are_said_only_where_they_are_the_only_explanation(rank, said):
    odd = [one._replace(rank=rank) for one in (A, B)]
    assert told(*odd) == said
    assert told(odd[0]) == A.what


def test_what_is_true_of_the_number_however_it_came_about_speaks_before_all_changes():
    given, row = change("{a} itself is given", "as it stands", -1), change(FAMILIES["row"], "row", -2)
    assert told(A, B, given) == given.what
    assert told(A, given, row) == row.what
    assert told(given, change("{b} itself is given", "as it stands", -1)) == FAMILIES["as it stands"]


@pytest.mark.parametrize("family", ["left out", "other way round", "one off", "case", "per cent"])
def test_a_named_change_of_the_last_step_speaks_for_the_work_that_stops_there(family):
    named = change("`a` is wrong", family)
    assert told(STOPPED, named, change("the sign is turned round", "whole", 1)) == named.what
    assert told(STOPPED, named, change("`b` is wrong", family)) is None


def test_a_change_elsewhere_does_not_speak_for_the_work_that_stops():
    assert told(STOPPED, change("`a` is wrong", "constant")) is None


def test_a_number_of_the_text_that_stands_in_the_table_is_told_as_a_row():
    row = change(FAMILIES["row"], "row", wide=FAMILIES["row"])
    assert told(change("9 of the text stands for 7", "another number"), row) == FAMILIES["row"]
    thousand = change("`a` is off by a factor of 1000", "factor", 1)
    assert told(thousand, A) == A.what
    assert told(thousand, change("`a` is wrong", "constant")) is None
    assert told(HALVED, A) is None  # a factor of two does not leave nothing of a value


SAID = [2, 3, 4, 8] + [times * 10**power for power in range(1, 7) for times in (1, 2, 5)]


def test_the_plain_factors_are_few_and_round():
    assert sorted(FACTORS) == sorted(SAID)


@pytest.mark.parametrize("factor", SAID)
def test_a_plain_factor_is_said_either_way_and_whatever_the_sign(factor):
    words = f"a factor of {factor:g} is too much or missing on the way"
    for value in (7.3 * factor, 7.3 / factor, -7.3 * factor):
        assert _plain_factor([change("x", value=value)], 7.3) == (words, "whole", value)


def test_no_factor_is_said_that_is_not_plain_nor_where_nothing_is_right():
    assert _plain_factor([change("x", value=7.3 * many) for many in (1, 5, 6, 7, 9, 15)], 7.3) is None
    assert _plain_factor([change("x", value=0.0)][:0], 7.3) is None
    assert _plain_factor([change("x", value=7.3)], 0.0) is None
    assert _plain_factor([change("x", value=14.6 * (1 + 0.9e-6))], 7.3) is not None
    assert _plain_factor([change("x", value=14.6 * (1 + 1.04e-6))], 7.3) is None


@pytest.mark.parametrize(
    ("text", "reach", "digits"),
    [
        ("12.34", 0.005, 4),
        ("12.3", 0.005, 3),
        ("12", 0.005, 2),
        ("12.345", 0.0005, 5),
        ("12.3456", 0.0005, 6),
        ("0.001234", 0.0000005, 4),
        ("1.20e5", 50, 3),
        ("1.20E5", 50, 3),
        ("-350.5", 0.05, 4),
        ("9.999", 0.0005, 4),
        ("10.00", 0.005, 4),
    ],
)
def test_the_digits_typed_say_how_near_is_near_from_the_fourth_to_the_fifth(text, reach, digits):
    assert _reach(float(text), text) == (pytest.approx(reach), digits)


def sheet(working, right, unit="1", within=None, slips=(), **givens):
    part = Number(
        "asked",
        "?",
        unit=unit,
        expected=lambda g, a: right,
        within=within or relative(0.001),
        because="",
        plausible=(0.01, 1e6),
        working=working,
        slips=slips,
    )
    fixed = {name: Fixed(*value) if isinstance(value, tuple) else Fixed(value) for name, value in givens.items()}
    return Exercise(id="x", number=1, title="x", setup="", givens=fixed, parts=(part,))


def words(exercise, answer, typed="", earlier=None):
    found = near_miss(exercise, exercise.parts[-1], exercise.worked(), earlier or {}, answer, typed)
    return found and found.words.removeprefix("Your ").removesuffix(". Look at that step again.")


PRODUCT = sheet("asked = near * far * 7.13", 47.31 * 33.17 * 7.13, near=47.31, far=33.17)


def test_nothing_is_said_of_a_right_number_nor_of_one_that_nothing_explains():
    assert words(PRODUCT, 47.31 * 33.17 * 7.13) is None
    assert words(PRODUCT, 1234.5) is None


def test_the_number_is_told_as_it_was_typed_up_to_eight_characters_and_with_six_figures_beyond():
    value = 47.31 * 33.17  # 1569.2727
    assert words(PRODUCT, 1569.273).startswith("1569.273 is what comes out when ")
    assert words(PRODUCT, 1569.2727).startswith("1569.27 is what comes out when ")
    assert words(PRODUCT, value).startswith("1569.27 is what comes out when ")
    assert words(PRODUCT, 1569.273, "1.569273e3").startswith("1569.27 is")
    assert words(PRODUCT, 1569.0 + 0.27, "1569.27").startswith("1569.27 is")


def test_what_was_typed_counts_only_where_it_is_that_number_and_no_longer_than_anybody_types():
    """1569.2 typed has five digits; with them 1569.27 is not what comes out."""
    assert words(PRODUCT, 1569.2, "1569.2") is None
    assert words(PRODUCT, 1569.0, "1569") is not None
    assert words(PRODUCT, 1569.0, "1569.0") is None
    assert words(PRODUCT, 1569.0, "1570.0") is not None
    assert words(PRODUCT, 1569.0, "1569." + 19 * "0") is None
    assert words(PRODUCT, 1569.0, "1569." + 20 * "0") is not None


def test_three_digits_are_told_where_all_that_explains_them_is_likely():
    """log10 for ln gives 71.917, which people do; log2 gives 238.90, which happens."""
    exercise = sheet("asked = near * log(far)", 47.29 * math.log(33.17), near=47.29, far=33.17)
    assert words(exercise, 71.9) == "71.9 is what comes out when log10 stands in place of ln (`log`)"
    assert words(exercise, 71.9, "71.90") is words(exercise, 71.8) is words(exercise, 72.0) is None
    for just, said in ((71.948, True), (71.952, False)):  # half a unit of the third digit is 0.05
        at_edge = sheet("asked = near * log(far)", just * math.log(10), near=just / math.log10(33.17), far=33.17)
        assert bool(words(at_edge, 71.9)) is said
    assert words(exercise, 239.0) is None
    assert "log2" in words(exercise, 238.9)


def test_a_number_that_is_right_is_not_written_into_the_words():
    """`wide` itself is nearly the answer: it is named without its number, and not at all where it has no name."""
    exercise = sheet("asked = wide + near * 0.013", 47.332, wide=47.31, near=1.7)
    assert words(exercise, 0.0221) == "0.0221 is what comes out when `wide` is left out"
    exercise = sheet("asked = wide + near * 0.113", 47.502, wide=47.31, near=1.7)
    assert words(exercise, 0.1921) == "0.1921 is what comes out when `wide` (47.31) is left out"
    assert words(sheet("asked = 7.3 - high", 7.298, high=0.002), -7.298) is None
    assert "7.3 is taken away from `high`" in words(sheet("asked = 7.3 - high", 6.9, high=0.4), -6.9)


def test_an_earlier_answer_of_the_learners_stands_where_it_is_of_the_right_kind():
    plain = PRODUCT.parts[0]
    first = replace(plain, name="first", expected=lambda g, a: 20.5)
    word = Choice("kind", "?", options={"a": "", "b": ""}, expected=lambda g, a: "a")
    working = "asked = first * (3.7 if kind == 'a' else 5.9)"
    part = replace(plain, expected=lambda g, a: a.first * (3.7 if a.kind == "a" else 5.9), working=working)
    exercise = replace(PRODUCT, givens={}, parts=(first, word, part, replace(plain, name="later")))
    own = near_misses._before(exercise, part, {}, {"first": 30.5, "kind": "b", "asked": 1.0})
    assert own == {"first": 30.5, "kind": "b"}
    for odd in ({"first": "30.5", "kind": 7}, {"first": True, "kind": None}, {}):
        assert near_misses._before(exercise, part, {}, odd) == {"first": 20.5, "kind": "a"}
    assert near_miss(exercise, part, {}, {"first": 30.5}, 179.95).family == "case"  # the other case, with 30.5
    assert near_miss(exercise, part, {}, {"first": 30.5}, 112.85) is None  # right, with 30.5
    assert near_miss(exercise, part, {}, {"first": 30.5}, 75.85) is None  # right, whatever stands before


SMALL = sheet(
    "asked = near * 1.0003 + far",
    47.3 * 1.0003 + 33.1,
    within=absolute(0.02),
    slips=(Slip("far", lambda g, a: 47.3 * 1.0003, "x"),),
    near=47.3,
    far=33.1,
)


def test_an_author_is_shown_each_number_once_without_what_is_right_or_has_a_slip_of_its_own():
    listed = list(unnamed([SMALL]))
    shown = [f"{miss.value:.4g}" for miss in listed]
    assert len(shown) == len(set(shown))
    assert not [miss for miss in listed if abs(miss.value - 47.3 * 1.0003) < 0.02]
    assert not [miss for miss in listed if abs(miss.value - (47.3 * 1.0003 + 33.1)) < 1e-8]
    inside = {miss.what for miss in listed if miss.inside}
    assert inside == {"1.0003 is left out", "`near` and `far` change places"}
    assert all(abs(miss.value - (47.3 * 1.0003 + 33.1)) <= 0.02 * 1.000001 for miss in listed if miss.inside)
    assert [miss.rank for miss in listed] == sorted(miss.rank for miss in listed)
    assert {(miss.exercise, miss.part, miss.unit) for miss in listed} == {("x", "asked", "1")}


def test_what_is_only_rounded_inside_the_band_is_not_shown_to_an_author():
    wide = sheet("low = near / 7\nasked = low * far", 47.3 / 7 * 33.1, within=relative(0.1), near=47.3, far=33.1)
    rounded = [miss for miss in unnamed([wide]) if miss.family == "rounded"]
    assert not [miss for miss in rounded if miss.inside]


def test_words_and_untried_parts_are_no_matter_of_an_author():
    word = Choice("kind", "?", options={"a": "", "b": ""}, expected=lambda g, a: "a")
    worded = Exercise(id="w", number=1, title="w", setup="", givens={}, parts=(word,))
    assert list(unnamed([worded])) == list(untried([worded])) == []
    assert list(untried([SMALL])) == []
    odd = sheet("asked = near(", 1.0, near=47.3)
    assert [(exercise.id, part.name) for exercise, part in untried([odd])] == [("x", "asked")]
    assert list(unnamed([odd])) == []
