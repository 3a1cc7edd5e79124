"""Floor life and bakes, held to the tables of both editions and to the standing of every cell."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.intake import moisture
from workbook.references import entry, table, value

LEVELS = ("2", "2a", "3", "4", "5", "5a")


def test_floor_life_falls_with_the_level():
    lives = [moisture.floor_life_hours(level) for level in ("1", *LEVELS)]
    assert lives == sorted(lives, reverse=True)
    assert lives[0] == float("inf")
    assert (lives[1], lives[2]) == (365 * 24, 4 * 7 * 24)


def test_level_six_has_no_floor_life_and_the_message_says_what_to_do():
    with pytest.raises(ValueError, match="baked before use"):
        moisture.floor_life_hours("6")


@given(st.sampled_from(("1", *LEVELS)), st.lists(st.floats(0, 100), max_size=6))
def test_exposures_add_up_and_their_order_does_not_matter(level, exposures):
    left = moisture.floor_life_left_hours(level, exposures)
    assert left == pytest.approx(moisture.floor_life_left_hours(level, exposures[::-1]))
    assert left <= moisture.floor_life_hours(level)


def test_an_overrun_is_below_zero_by_its_length():
    assert moisture.floor_life_left_hours("5a", [20, 10]) == -6


@pytest.mark.parametrize(
    ("level", "thickness", "over", "edition", "oven", "hours"),
    [
        ("3", 1.9e-3, 48, "B.1 on", 125, 17),
        ("3", 1.9e-3, 72, "B.1 on", 125, 17),
        ("3", 1.9e-3, 100, "B.1 on", 125, 27),
        ("4", 1.0e-3, 73, "1999 to A", 125, 11),
        ("2a", 1.4e-3, 10, "1999 to A", 125, 3),
        ("2a", 1.4e-3, 10, "B.1 on", 125, 5),
        ("5", 2.0e-3, 10, "1999 to A", 90, 4 * 24),
        ("3", 1.4e-3, 100, "1999 to A", 40, 13 * 24),
        ("5a", 3.0e-3, 10, "B.1 on", 125, 48),
    ],
)
def test_bakes_are_read_from_the_right_cell(level, thickness, over, edition, oven, hours):
    assert moisture.user_bake(level, thickness, over, edition, oven).hours == hours


def test_a_cell_from_memory_is_never_given_out_as_read():
    seen = moisture.user_bake("5a", 1.8e-3, 100)
    unseen = moisture.user_bake("5a", 1.8e-3, 10)
    assert (seen.hours, seen.standing) == (48, "published-second-hand")
    assert (unseen.hours, unseen.standing) == (40, "from-memory")
    assert moisture.user_bake("2", 1.0e-3, 10).standing == "from-memory"


@pytest.mark.parametrize("edition", moisture.EDITIONS)
@pytest.mark.parametrize("level", LEVELS[1:])
def test_thicker_bodies_and_longer_overruns_never_bake_shorter(edition, level):
    hours = [
        [moisture.user_bake(level, thickness, over, edition).hours for over in (72, 73)]
        for thickness in (1.0e-3, 1.8e-3, 3.0e-3)
    ]
    assert all(short <= long for short, long in hours)
    assert all(thin <= thick for thin, thick in zip(hours[0] + hours[1], hours[1] + hours[2], strict=True))


@pytest.mark.parametrize(("edition", "oven"), [("1999 to A", 90), ("1999 to A", 40)])
def test_a_cooler_oven_bakes_longer(edition, oven):
    for level in ("2a", "3", "4", "5"):
        cooler = moisture.user_bake(level, 1.4e-3, 100, edition, oven).hours
        assert cooler > moisture.user_bake(level, 1.4e-3, 100, edition).hours


def test_the_suppliers_table_is_another_table():
    """The mix-up the lesson warns of: for level 3 the supplier bakes 16 h where the user bakes 9 h."""
    supplier = table("intake", "supplier_bake_125c")["3"]["up to 1.4 mm"]
    assert supplier != moisture.user_bake("3", 1.4e-3, 100).hours


def test_two_editions_of_one_limit_stand_side_by_side():
    assert value("intake", "cumulative_bake_old") < value("intake", "cumulative_bake_new")
    assert entry("intake", "cumulative_bake_new").standing == "from-memory"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("3", 5.0e-3, 10), "at most 4.5 mm"),
        (("3", 1.0e-3, 10, "B.1 on", 90), "no bake table"),
        (("1", 1.0e-3, 10), "no bake time is known for level '1'"),
        (("3", 0.0, 10), "thickness must be above 0"),
        (("3", 1.0e-3, -1), "hours over must be at least 0"),
    ],
)
def test_what_the_tables_do_not_hold_is_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        moisture.user_bake(*arguments)


def test_a_level_may_be_given_as_a_number():
    assert moisture.floor_life_hours(3) == moisture.floor_life_hours("3")
    assert moisture.user_bake(3, 1.2e-3, 10) == moisture.user_bake("3", 1.2e-3, 10)


def test_a_product_of_metres_does_not_push_a_part_over_the_edge_of_the_table():
    """4.5 mm as three times 1.5 mm is a rounding error above 4.5 mm."""
    assert 3 * 1.5e-3 > 4.5e-3
    assert moisture.user_bake("3", 3 * 1.5e-3, 125) == moisture.user_bake("3", 4.5e-3, 125)
