"""Bow and twist are the percentages of the test method, and the largest rise is theirs turned round."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.profile import flatness
from workbook.references import entry, value

sides = st.floats(0.02, 0.6)
rises = st.floats(0, 0.02)


def test_a_corner_up_by_2_8_mm_twists_a_200_by_150_mm_board_by_half_a_percent():
    twist = flatness.twist_percent(2.8e-3, 0.200, 0.150)
    assert twist == pytest.approx(0.56)
    assert twist <= value("profile", "bow_and_twist_surface_mount")


def test_the_corner_of_that_board_may_stand_3_75_mm_up():
    limit = value("profile", "bow_and_twist_surface_mount")
    assert flatness.largest_twist(limit, 0.200, 0.150) == pytest.approx(3.75e-3)


def test_the_factor_of_the_diagonal_is_that_of_the_method():
    without = 100 * 2.8e-3 / 0.250
    assert without / flatness.twist_percent(2.8e-3, 0.200, 0.150) == pytest.approx(value("profile", "twist_factor"))


def test_bow_is_rise_over_length():
    assert flatness.bow_percent(1.5e-3, 0.200) == pytest.approx(0.75)


@given(rises, sides, sides)
def test_the_rise_at_which_a_limit_is_reached_has_that_twist_and_that_bow(rise, length, width):
    twist, bow = flatness.twist_percent(rise, length, width), flatness.bow_percent(rise, length)
    assert flatness.largest_twist(twist, length, width) == pytest.approx(rise)
    assert flatness.largest_bow(bow, length) == pytest.approx(rise)


@given(rises, sides, sides)
def test_twist_does_not_care_which_side_is_called_the_length(rise, length, width):
    assert flatness.twist_percent(rise, length, width) == flatness.twist_percent(rise, width, length)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: flatness.twist_percent(-1e-3, 0.2, 0.1), "rise must be at least 0 m"),
        (lambda: flatness.twist_percent(1e-3, 0, 0.1), "length must be above 0 m"),
        (lambda: flatness.bow_percent(1e-3, 0), "length must be above 0 m"),
        (lambda: flatness.largest_bow(-1, 0.2), "limit must be at least 0 %"),
    ],
)
def test_a_board_that_cannot_be_is_refused_in_words(ask, words):
    with pytest.raises(ValueError, match=words):
        ask()


def test_boards_with_holes_only_may_be_twice_as_far_from_flat():
    ends = [entry("profile", f"bow_and_twist_{kind}").value for kind in ("through_hole", "surface_mount")]
    assert ends[0] == 2 * ends[1]
