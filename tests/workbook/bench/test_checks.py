"""A range is held at its very ends, in every element, and whoever leaves it is told what was asked and given."""

import math
import re

import numpy as np
import pytest

from workbook.bench import checks

NEXT = math.nextafter
HELD = [
    # check, what it takes after the value, what passes, what does not
    (checks.above, (2.0,), [NEXT(2, 3), 1e300], [2.0, -3.0]),
    (checks.at_least, (2.0,), [2.0, 3.0], [NEXT(2, 1)]),
    (checks.between, (1.0, 2.0), [1.0, 1.5, 2.0], [NEXT(1, 0), NEXT(2, 3)]),
    (checks.share, (), [NEXT(0, 1), 1.0], [0.0, NEXT(1, 2)]),
    (checks.below_one, (), [0.0, NEXT(1, 0)], [-1e-300, 1.0]),
    (checks.inside, (1.0, 2.0), [NEXT(1, 2), NEXT(2, 1)], [1.0, 2.0]),
    (checks.finite, (), [-1e300, 0.0], []),
    (checks.whole, (), [0, 3.0, 2**31 - 1], [-1, 0.5, 2**31]),
]


@pytest.mark.parametrize(("check", "bounds", "passing", "refused"), HELD, ids=[one[0].__name__ for one in HELD])
def test_a_range_is_held_at_its_ends_alone_and_among_others(check, bounds, passing, refused):
    for value in passing:
        assert check("reading", value, *bounds) is None
    check("reading", np.array(passing), *bounds)
    check("reading", [passing[:1], passing[-1:]], *bounds)
    for value in (*refused, math.inf, -math.inf, math.nan):
        for given in (value, [passing[0], value], np.array([[value], [passing[0]]])):
            with pytest.raises(ValueError, match=r"^reading must be .*\(got "):
                check("reading", given, *bounds)


@pytest.mark.parametrize(
    ("check", "bounds", "words"),
    [
        (checks.above, (2, "m"), "must be above 2 m (got -1.0)"),
        (checks.at_least, (2,), "must be at least 2 (got -1.0)"),
        (checks.between, (0, 1.5, "Ω"), "must be from 0 to 1.5 Ω (got -1.0)"),
        (checks.share, (), "must be above 0 and at most 1 (got -1.0)"),
        (checks.below_one, (), "must be at least 0 and below 1 (got -1.0)"),
        (checks.inside, (0, 1, "s"), "must be between 0 and 1, ends excluded, s (got -1.0)"),
    ],
)
def test_who_leaves_a_range_is_told_the_range_its_unit_and_the_first_value_that_does(check, bounds, words):
    for given in (-1.0, [-1.0, -2.0], np.array([[-1.0], [-2.0]])):
        with pytest.raises(ValueError, match=f"^reading {re.escape(words)}$"):
            check("reading", given, *bounds)
    with pytest.raises(ValueError, match=re.escape("(got -3.0)")):
        checks.above("reading", [1.0, 2.0, -3.0], 0)


def test_a_reading_is_told_with_its_unit_only_where_it_has_one():
    for unit, words in (("ohm", "a finite number in ohm"), ("", "a finite number")):
        with pytest.raises(ValueError, match=rf"^reading must be {words} \(got nan\)$"):
            checks.finite("reading", math.nan, unit)


def test_a_complex_number_is_no_reading():
    for check, bounds in ((checks.above, (0,)), (checks.finite, ())):
        with pytest.raises(TypeError, match="real number"):
            check("reading", 1 + 0j, *bounds)


def test_no_end_is_let_through_where_a_number_alone_is_asked_for():
    assert checks.number("limit", math.inf) is checks.number("limit", [1.0, -math.inf]) is None
    for given in (math.nan, [1.0, math.nan]):
        with pytest.raises(ValueError, match="limit must be a number"):
            checks.number("limit", given)


def test_each_of_several_is_an_argument_of_its_own():
    assert checks.apart("part", (1, 2)) == [1.0, 2.0]
    assert checks.apart("part", (3,)) == [3.0]
    first, second = checks.apart("part", ([1, 2], 3))
    assert (first.tolist(), second) == ([1.0, 2.0], 3.0)
    with pytest.raises(ValueError, match="at least one part is needed"):
        checks.apart("part", ())
    with pytest.raises(ValueError, match="argument of its own"):
        checks.apart("part", ([1, 2],))


def test_a_verdict_is_about_one():
    assert checks.single(first_reading=1, second=2.0) is None
    with pytest.raises(ValueError, match=r"^first reading must be one number \(got 3\)$"):
        checks.single(second=2.0, first_reading=[1, 2, 3])


def test_numbers_become_floats_one_alone_or_each_of_several():
    one = checks.floats(np.int8(100))
    assert (one, type(one)) == (100.0, float)
    many = checks.floats(1, 2.5, [3, 4])
    assert (many[:2], many[2].tolist(), many[2].dtype) == ([1.0, 2.5], [3.0, 4.0], float)
    assert checks.floats(True) == 1.0
    for odd in ("3", None, 1j, [1, "x"]):
        with pytest.raises(TypeError, match="a number or an array"):
            checks.floats(odd)
