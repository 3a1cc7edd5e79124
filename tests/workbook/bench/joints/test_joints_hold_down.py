"""Pull of a cup and hold of glue: force over area, by the definition of pressure."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.joints import hold_down


def test_a_bar_on_a_square_centimetre_is_ten_newton():
    """Definition of the bar and the pascal (SI brochure, from memory): 1 bar is 100 kPa, 1 cm² of it 10 N."""
    assert hold_down.cup_pull(1e5, 2e-2 / math.sqrt(math.pi)) == pytest.approx(10)
    assert hold_down.glue_hold(1e5, 1e-4) == pytest.approx(10)


@given(st.floats(1e3, 1e5), st.floats(1e-3, 5e-2))
def test_twice_the_cup_pulls_four_times(below, across):
    assert hold_down.cup_pull(below, 2 * across) == pytest.approx(4 * hold_down.cup_pull(below, across))


def test_a_cup_without_vacuum_is_refused():
    with pytest.raises(ValueError, match="below_air"):
        hold_down.cup_pull(0, 1e-2)
