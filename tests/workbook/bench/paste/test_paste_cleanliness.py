"""The historic extract test: mass over both sides."""

import math

import pytest

from workbook.bench.paste import cleanliness
from workbook.references import entry, table, value


def test_the_board_of_the_exercise_and_its_one_sided_slip():
    rows = table("paste", "rose_board")
    both = cleanliness.board_extract(350e-9, 100e-3, 150e-3) * 1e5
    assert both == pytest.approx(rows["both sides"]["µg/cm²"], abs=5e-3)
    assert 2 * both == pytest.approx(rows["one side, the usual slip"]["µg/cm²"], abs=5e-3)


def test_ten_per_square_inch_is_the_historic_limit_to_one_per_cent():
    assert cleanliness.per_square_centimetre(10) == pytest.approx(value("paste", "rose_limit_historic"), rel=0.01)


def test_the_limit_is_marked_as_history():
    assert "no acceptance limit" in entry("paste", "rose_limit_historic").note


def test_a_board_without_area_is_refused():
    with pytest.raises(ValueError, match="length"):
        cleanliness.board_extract(350e-9, 0, 150e-3)


def test_one_large_rinse_leaves_more_than_two_small_ones():
    ours = [cleanliness.left_after_rinses(1, 10, 1), cleanliness.left_after_rinses(1, 5, 2)]
    assert ours == pytest.approx(value("paste", "rinse_split"), abs=5e-5)


def test_ever_smaller_rinses_come_to_the_law_of_a_stream():
    """(1 + a/n)^-n goes to exp(-a): a stream that washes a mixed film."""
    assert cleanliness.left_after_rinses(1, 10 / 1e6, 1_000_000) == pytest.approx(math.exp(-10), rel=1e-4)


def test_no_rinse_leaves_everything():
    assert cleanliness.left_after_rinses(1, 10, 0) == 1
