"""Wrong numbers that little work was done for: what is said at the very end, of a number as it stands, of two together.

Each table gives all that is said and what it then gives, worked out by hand beside it: what is not in it is not said.
"""

import math
from dataclasses import replace

import pytest

from graders.judging.changes import FAMILIES, SIGN, TURNED, TWO, Vocabulary
from graders.judging.shortcuts import (
    Near,
    Told,
    a_step_too_many,
    as_they_stand,
    of_the_end,
    rule_of_three,
    two_together,
    with_a_unit_lost,
)
from graders.judging.trials import Variant
from graders.questions.parts.number import Number
from graders.questions.parts.tolerance import relative

ASKED = Number(
    "asked", "?", unit="Ω", expected=lambda g, a: 1.0, within=relative(0.01), because="", plausible=(0.1, 1000)
)
WORDS = Vocabulary({}, frozenset(), frozenset(), {}, {}, text=((4.7, "Ω"), (61.3, "mm")))
ONE_OFF, ROW = FAMILIES["one off"], FAMILIES["row"]


def told(variants):
    return sorted((one.what, float(f"{one.value:.9g}"), one.rank, one.wide) for one in variants)


def at_the_end(right, unit="Ω", lists=None):
    return told(of_the_end(right, replace(ASKED, unit=unit), lists or {}))


def of_any(right, shown):
    """What may be done to any number at the end; ``shown`` is the number with four figures."""
    return [
        ("the end result is rounded to 2 figures", float(f"{right:.1e}"), 0, ""),
        ("the sign is turned round", -right, 1, SIGN),
        ("the last quotient is taken the other way round", float(f"{1 / right:.9g}"), 1, TURNED),
        ("the last root is left out", float(f"{right**2:.9g}"), 1, ""),
        ("a root too many is drawn", float(f"{math.sqrt(abs(right)):.9g}"), 1, ""),
        ("the last step leaves a factor of two too much", 2 * right, 1, TWO),
        ("the last step leaves a factor of two too much", 2 * shown, 1, TWO),
        ("the last step leaves a factor of two too little", right / 2, 1, TWO),
        ("the last step leaves a factor of two too little", shown / 2, 1, TWO),
    ]


def test_all_that_is_said_of_the_very_end():
    assert at_the_end(47.3146) == sorted(of_any(47.3146, 47.31))
    assert at_the_end(-47.3146) == sorted(of_any(-47.3146, -47.31))


def test_a_share_may_be_taken_for_what_is_left_over_of_it():
    left = "the part that is left over is taken for the part asked for"
    assert at_the_end(47.3, "%") == sorted([*of_any(47.3, 47.3), (left, 52.7, 1, "")])
    assert at_the_end(0.473, "1") == sorted([*of_any(0.473, 0.473), (left, 0.527, 1, "")])


def test_a_whole_number_may_be_counted_wrongly_by_one():
    off = [("one too few is counted", 46.0, 1, ONE_OFF), ("one too many is counted", 48.0, 1, ONE_OFF)]
    assert at_the_end(47.0) == sorted([*of_any(47.0, 47.0), *off])


def test_a_temperature_may_be_turned_into_fahrenheit_and_a_difference_without_the_32():
    assert at_the_end(100.5, "°C") == sorted(
        [*of_any(100.5, 100.5), ("the end result is turned into °F", 212.9, 1, "")]
    )
    assert at_the_end(100.5, "K") == sorted(
        [*of_any(100.5, 100.5), ("a difference of temperatures is turned into °F", 180.9, 1, "")]
    )


TIME = {60: "60", 3600: "3600", 24: "24", 365: "365", 7: "7"}


@pytest.mark.parametrize("unit", ["s", "yr", "1/h", "1/d", "L/min", "K/min", "mm/s"])
def test_a_time_and_what_goes_by_time_may_be_off_by_a_number_of_the_clock_or_the_calendar(unit):
    off = [
        (f"the last step is off by a factor of {words}: look at its unit", float(f"{value:.9g}"), 1, "")
        for factor, words in TIME.items()
        for value in (47.3 * factor, 47.3 / factor)
    ]
    assert at_the_end(47.3, unit) == sorted([*of_any(47.3, 47.3), *off])


def test_of_nothing_no_quotient_is_said():
    assert "the last quotient is taken the other way round" not in {what for what, *_ in at_the_end(0.0)}


def test_of_readings_the_plain_mean_the_sum_the_ends_the_range_and_the_root_mean_square_may_be_given():
    said = [
        ("the plain mean of {rows} is taken", 6.0, 1, ""),
        ("the sum of {rows} is taken", 18.0, 1, ""),
        ("the largest of {rows} is taken", 10.0, 1, ""),
        ("the smallest of {rows} is taken", 2.0, 1, ""),
        ("the range of {rows} is taken", 8.0, 1, ""),
        ("the root of the mean square of {rows} is taken", 6.83130051, 1, ""),  # (4 + 36 + 100) / 3
    ]
    assert at_the_end(47.3, "Ω", {"rows": [2, 6, 10]}) == sorted([*of_any(47.3, 47.3), *said])


@pytest.mark.parametrize("rows", [[], ["thin", "thick"], [2, "thick"]], ids=repr)
def test_of_words_and_of_no_readings_no_mean_is_said(rows):
    assert at_the_end(47.3, "Ω", {"rows": rows}) == sorted(of_any(47.3, 47.3))


def test_every_number_of_the_question_may_be_given_as_it_stands():
    """A reading that the text names besides is told as a reading."""
    text = "a number of the text is given as it stands"
    reading = "a reading of {rows} is given as it stands"
    assert told(as_they_stand({"wide": 2.3}, {"rows": [4.7, 5.9, "thin"]}, WORDS)) == sorted(
        [
            ("{wide} itself is given", 2.3, -1, ""),
            (reading, 4.7, 1, ROW),
            (reading, 5.9, 1, ROW),
            (text, 61.3, 1, ""),
        ]
    )


def near(typed, right=None):
    return Near(typed, 1e-6 * abs(typed), lambda value: value == right)


def test_near_is_up_to_the_reach_and_never_what_is_right():
    held = Near(40.0, 0.5, lambda value: value > 40.3)
    assert [held(value) for value in (39.4, 39.5, 40.0, 40.3, 40.5)] == [False, True, True, True, False]
    open_above = Near(40.0, 0.5, lambda value: False)
    assert [open_above(value) for value in (40.5, 40.6, 40.9)] == [True, False, False]


A, B, C = Told("`a`", 47.3, "Ω"), Told("`b`", 31.1, "s"), Told("`c`", 7.9, "Ω")
PRINTED = Told("61.3", 61.3, "mm", aside=True)
NOTHING = Told("`zero`", 0.0, "Ω")


def together(numbers, unit, typed):
    return told(two_together(numbers, unit, near(typed)))


ONLY = "only `a` and `b` are put together"
PAIRS = [("only `a` is multiplied by `b`", 47.3 * 31.1), ("only `a` is divided by `b`", 47.3 / 31.1)]
PAIRS += [("only `b` is divided by `a`", 31.1 / 47.3)]


@pytest.mark.parametrize(("what", "value"), PAIRS)
def test_only_two_numbers_are_put_together_in_the_parts_unit_or_with_a_prefix_lost(what, value):
    for unit, scales, none in (("V", (1, 1e3, 1e-3), (100, 0.01)), ("%", (1, 100, 0.01), (1e3, 1e-3))):
        for scale in scales:
            typed = float(f"{value * scale:.9g}")
            assert together([A, B, NOTHING], unit, typed) == [(what, typed, 2, ONLY)]
        assert not [one for scale in none for one in together([A, B], unit, value * scale)]


def test_a_number_without_a_name_is_put_together_with_a_named_one_alone_and_in_no_other_unit():
    assert together([A, PRINTED], "V", 47.3 * 61.3)
    assert together([PRINTED, A], "V", 47.3 * 61.3)
    assert not together([A, PRINTED], "V", 47.3 * 61.3 * 1000)
    assert not together([PRINTED, A], "V", 47.3 * 61.3 * 1000)
    assert not together([Told("2", 2.3, "Ω", aside=True), PRINTED], "V", 2.3 * 61.3)


def test_two_numbers_are_not_put_together_to_what_is_right():
    assert not list(two_together([A, B], "V", near(47.3 * 31.1, right=47.3 * 31.1)))


STEPS = [
    ("only `c` is taken away from `a`", 39.4),
    ("only `a` is taken away from `c`", -39.4),
    ("only the mean of `a` and `c` is taken", 27.6),
    ("only `a` and `c` are added", 55.2),
]


@pytest.mark.parametrize(("what", "value"), STEPS)
def test_two_numbers_of_one_unit_are_added_and_taken_away(what, value):
    assert together([A, C], "W", value) == [(what, value, 2, "")]


def test_two_numbers_are_added_only_where_their_units_allow_it():
    """They are of one unit, or one has the unit asked for, or they are a temperature and a difference."""
    warm, rise = Told("`warm`", 47.3, "°C"), Told("`rise`", 31.1, "K")
    assert together([warm, rise], "W", 78.4) == [("only `warm` and `rise` are added", 78.4, 2, "")]
    for unit, one in (("Ω", A), ("s", B)):
        assert together([A, B], unit, 78.4) == [("only `a` and `b` are added", 78.4, 2, "")], one
    assert not together([A, B], "W", 78.4)


def test_a_number_without_a_name_is_not_added():
    """Of so many pairs one is always near."""
    aside = replace(C, aside=True)
    for pair in ([A, aside], [aside, A]):
        assert not together(pair, "W", 55.2)
        assert together(pair, "W", 27.6)


def in_proportion(numbers, unit, typed):
    return told(rule_of_three(numbers, unit, near(typed)))


def test_a_number_of_the_unit_asked_for_is_taken_in_proportion_to_two_others_of_one_unit():
    start, long, short = Told("`start`", 12.7, "V"), Told("`long`", 31.1, "s"), Told("`short`", 5.3, "s")
    wide = "`start` is taken in proportion"
    more, less = 12.7 * 31.1 / 5.3, 12.7 * 5.3 / 31.1
    numbers = [start, long, short, NOTHING]
    assert in_proportion(numbers, "V", more) == [(f"{wide}, `long` over `short`", float(f"{more:.9g}"), 2, wide)]
    assert in_proportion(numbers, "V", less) == [(f"{wide}, `short` over `long`", float(f"{less:.9g}"), 2, wide)]
    assert not in_proportion(numbers, "A", more)
    assert not in_proportion([start, long, replace(short, unit="min")], "V", more)


def test_a_number_is_not_taken_in_proportion_to_itself():
    assert not in_proportion([A, C], "Ω", 47.3)
    assert not in_proportion([A, C], "Ω", 47.3 * 47.3 / 7.9)


def on(numbers, typed, right=12.5, unit="Ω"):
    return told(a_step_too_many(right, numbers, unit, near(typed)))


@pytest.mark.parametrize(
    ("how", "typed"), [("multiplied by", 98.75), ("divided by", 1.58227848), ("added to", 20.4), ("lessened by", 4.6)]
)
def test_the_number_asked_for_may_be_taken_a_step_too_far(how, typed):
    assert on([C, NOTHING], typed) == [(f"the number asked for is then {how} `c`", typed, 2, "")]


def test_it_is_added_only_to_what_has_its_unit():
    assert not on([replace(C, unit="s")], 20.4)
    assert on([replace(C, unit="s")], 98.75)


def test_it_may_be_multiplied_by_a_difference_of_two_temperatures():
    warm, cold = Told("`warm`", 71.3, "°C"), Told("`cold`", 23.1, "°C")
    said = "the number asked for is then multiplied by `warm` less `cold`"
    assert on([warm, cold], 602.5) == [(said, 602.5, 2, "")]
    assert on([warm, cold], -602.5) == [(said.replace("`warm` less `cold`", "`cold` less `warm`"), -602.5, 2, "")]
    assert not on([warm, replace(cold, unit="K")], 602.5)
    assert not on([replace(warm, unit="K"), replace(cold, unit="K")], 602.5)


LOST = {1000: "1000", 1e6: "a million", 100: "100"}
SLIP = Variant("left out", "`wide` is left out", 4.7)


@pytest.mark.parametrize(("factor", "words"), [*LOST.items(), *TIME.items()])
def test_a_slip_and_a_unit_lost_besides_are_told_and_of_the_clock_only_where_time_is_asked_for(factor, words):
    what = f"`wide` is left out, and besides a factor of {words} (a unit, or per cent) is too much or missing"
    for value in (4.7 * factor, 4.7 / factor):
        said = [(what, float(f"{value:.9g}"), 2, "")]
        assert told(with_a_unit_lost([SLIP], replace(ASKED, unit="s"), near(value))) == said
        assert told(with_a_unit_lost([SLIP], ASKED, near(value))) == (said if factor in LOST else [])


@pytest.mark.parametrize("rank", [-1, 1, 2])
def test_only_a_likely_slip_is_told_with_a_unit_lost_besides(rank):
    assert not list(with_a_unit_lost([SLIP._replace(rank=rank)], ASKED, near(4700.0)))
