"""Mismatch strain against the handbook's example, plain loops over balls, and its scaling."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.bench.joints import strain
from workbook.references import entry, value

PPM = 1e-6
lengths = st.floats(1e-5, 1e-1)
expansions = st.floats(1e-6, 40e-6)
swings = st.floats(1, 300)


def ceramic_array_strain(counted):
    """The handbook's case: 20 by 20 at 1 mm, 0.508 mm high, 6 on 18 ppm/K, 30 K."""
    corner = strain.corner_distance(20, 20, 1e-3, counted)
    return strain.mismatch_strain(corner, 0.508e-3, 6 * PPM, 18 * PPM, 30)


def test_the_corner_is_as_far_out_as_the_handbook_prints():
    """Published second-hand: Printed Circuits Handbook, section 63.4.1."""
    printed = value("joints", "corner_distance_by_pitches")
    assert strain.corner_distance(20, 20, 1e-3, "pitch count") * 1e3 == pytest.approx(printed, abs=5e-4)


def test_the_corner_strain_is_the_handbooks_one_per_cent():
    """Published second-hand: Printed Circuits Handbook, section 63.4.1."""
    reference = entry("joints", "corner_strain")
    assert 100 * ceramic_array_strain("pitch count") == pytest.approx(reference.value, abs=reference.uncertainty)


def test_counting_to_the_ball_centre_gives_a_twentieth_less():
    """Computed: the same example with 9.5 pitches, which the tolerance of the printed answer would not hide."""
    assert value("joints", "corner_strain_ball_centre") == pytest.approx(
        100 * ceramic_array_strain("ball centre"), abs=5e-4
    )
    assert ceramic_array_strain("ball centre") / ceramic_array_strain("pitch count") == pytest.approx(19 / 20)


@pytest.mark.parametrize(("distance", "height", "place"), [(23.3345e-3, 0.42e-3, 0), (7.7666e-3, 0.25e-3, 1)])
def test_two_published_parts_have_the_computed_strain_for_each_ppm(distance, height, place):
    """Computed from published inputs: The Scientific World Journal 2014, article 807693, Table 1."""
    expected = value("joints", "strain_per_ppm")[place]
    assert 100 * strain.mismatch_strain(distance, height, 10 * PPM, 11 * PPM, 165) == pytest.approx(expected, abs=5e-4)


@pytest.mark.parametrize(
    ("rows", "columns", "empty"), [(5, 8, (0, 0)), (26, 26, (10, 10)), (9, 6, (3, 2)), (1, 1, (0, 0))]
)
def test_an_array_holds_exactly_the_balls_a_plain_count_finds(rows, columns, empty):
    pitch = 0.8e-3
    expected = {
        (round(column - (columns - 1) / 2, 3), round(row - (rows - 1) / 2, 3))
        for row in range(rows)
        for column in range(columns)
        if not (abs(row - (rows - 1) / 2) < empty[0] / 2 and abs(column - (columns - 1) / 2) < empty[1] / 2)
    }
    balls = strain.ball_array(rows, columns, pitch, *empty)
    assert {tuple(ball) for ball in np.round(balls / pitch, 3).tolist()} == expected
    assert len(balls) == len(expected)


@pytest.mark.parametrize("rings", [1, 2, 3])
def test_the_balls_of_a_perimeter_array_lie_in_its_outer_rings(rings):
    balls = strain.perimeter_array(10, 7, 1.0, rings)
    steps_in = np.minimum(4.5 - np.abs(balls[:, 1]), 3.0 - np.abs(balls[:, 0]))
    assert steps_in.max() == pytest.approx(rings - 1)
    assert len(balls) == 70 - (10 - 2 * rings) * (7 - 2 * rings)


def test_rings_that_meet_in_the_middle_make_a_full_array():
    assert strain.perimeter_array(6, 6, 1e-3, 3).tolist() == strain.ball_array(6, 6, 1e-3).tolist()


def test_emptying_the_centre_leaves_the_worst_joint_as_bad_as_before():
    full = strain.ball_array(26, 26, 1e-3)
    hollow = strain.ball_array(26, 26, 1e-3, 10, 10)
    farthest = [strain.distance_from_neutral_point(balls).max() for balls in (full, hollow)]
    assert farthest[0] == farthest[1] == pytest.approx(strain.corner_distance(26, 26, 1e-3, "ball centre"))


def test_the_worst_joints_of_an_array_are_its_four_corners():
    balls = strain.ball_array(12, 20, 0.8e-3)
    strains = strain.mismatch_strain(strain.distance_from_neutral_point(balls), 0.4e-3, 13 * PPM, 17 * PPM, 45)
    corners = {(-7.6, -4.4), (7.6, -4.4), (-7.6, 4.4), (7.6, 4.4)}
    assert {tuple(ball) for ball in np.round(balls[strain.worst_joints(strains)] * 1e3, 6).tolist()} == corners


def test_joints_that_differ_by_rounding_alone_are_equally_bad():
    assert strain.worst_joints(np.array([0.1 + 0.2, 0.3, 0.2999])).tolist() == [0, 1]


def test_a_neutral_point_off_the_centre_singles_out_the_corner_opposite():
    balls = strain.ball_array(4, 4, 1e-3)
    distances = strain.distance_from_neutral_point(balls, neutral_point=(1e-3, 1e-3))
    assert balls[strain.worst_joints(distances)].tolist() == [[-1.5e-3, -1.5e-3]]


def test_a_joint_pressed_flatter_can_be_worse_than_one_farther_out():
    """A height for every joint broadcasts, so a bowed part can be reckoned."""
    strains = strain.mismatch_strain(np.array([5e-3, 10e-3]), np.array([0.1e-3, 0.4e-3]), 6 * PPM, 18 * PPM, 60)
    assert strain.worst_joints(strains).tolist() == [0]


@given(lengths, lengths, expansions, expansions, swings, st.floats(0.1, 10))
@settings(deadline=None)
def test_the_strain_stays_when_part_and_joint_are_scaled_alike(distance, height, part, board, swing, scale):
    expected = strain.mismatch_strain(distance, height, part, board, swing)
    assert strain.mismatch_strain(distance * scale, height * scale, part, board, swing) == pytest.approx(expected)


@given(lengths, lengths, expansions, expansions, swings)
@settings(deadline=None)
def test_it_does_not_matter_which_of_the_two_expands_more(distance, height, part, board, swing):
    expected = strain.mismatch_strain(distance, height, part, board, swing)
    assert strain.mismatch_strain(distance, height, board, part, swing) == expected


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: strain.mismatch_strain(1e-2, 0.0, 6e-6, 18e-6, 30), r"standoff must be above 0 m \(got 0.0\)"),
        (lambda: strain.mismatch_strain(1e-2, 5e-4, 6, 18e-6, 30), "part_expansion must be from 0 to 0.001 1/K"),
        (lambda: strain.mismatch_strain(1e-2, 5e-4, 6e-6, 18e-6, np.nan), "temperature_swing must be at least 0 K"),
        (lambda: strain.corner_distance(20, 20, 1e-3, "half"), "counted must be one of 'ball centre', 'pitch count'"),
        (lambda: strain.ball_array(26, 26, 1e-3, 9, 10), "empty_rows must leave as many rows on both sides"),
        (lambda: strain.perimeter_array(6, 10, 1e-3, 4), "rings must be from 1 to 3"),
    ],
)
def test_a_wrong_input_is_named_with_the_range_it_must_have(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_joints_a_thousandth_apart_are_not_worst_together_and_those_a_rounding_apart_are():
    assert strain.worst_joints([0.999, 1.0, 1.0 - 1e-12]).tolist() == [1, 2]


def test_joints_a_billionth_apart_are_strained_alike_and_no_more():
    assert strain.worst_joints([1.0, 1.0 - 0.98e-9, 1.0 - 1.02e-9]).tolist() == [0, 1]
