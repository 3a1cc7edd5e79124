"""What may stand on a board of two packages, what a programme of heats is made of, and how heats are counted.

How many passes a package stands is from J-STD-020 (second-hand); that each melting counts is common practice.
"""

import numpy as np
import pytest

from workbook.bench.profile.board_pair_station import Heat, Heats, Package, PairBench, PairTraces, count_heats
from workbook.bench.profile.board_station import MAP_SHAPE, MEDIUM

GAS = ((10.0, 100.0), (70.0, 280.0))


def test_a_package_has_a_side_and_at_least_two_joints_along_it():
    assert Package(0.0, side=1e-6, joints_per_side=2).joints_per_side == 2
    for odd in (dict(side=0.0), dict(joints_per_side=1)):
        with pytest.raises(ValueError, match=r"side"):
            Package(0.0, **odd)


def test_how_far_a_place_lies_from_the_rim_is_nothing_within_and_straight_or_slanted_outside():
    package = Package(0.010, -0.020, side=0.030)
    x = np.array([0.010, 0.025, 0.035, 0.010, 0.028, -0.005, -0.010])
    y = np.array([-0.020, -0.020, -0.020, 0.005, -0.001, -0.035, -0.020])
    assert package.away(x, y) == pytest.approx([0, 0, 0.010, 0.010, 0.005, 0, 0.005])


def test_the_outermost_joints_lie_half_of_all_pitches_but_one_from_the_middle():
    assert Package(0.0, joints_per_side=31).joint_span(0.001) == pytest.approx(0.015)
    assert Package(0.0, joints_per_side=2).joint_span(0.001) == pytest.approx(0.0005)


def test_solder_goes_with_the_number_of_joints():
    half = Package(0.0, joints_per_side=MEDIUM.joints_per_side // 2, side=0.02)
    share = (MEDIUM.joints_per_side // 2 / MEDIUM.joints_per_side) ** 2
    assert PairBench().solder_mass(half) == pytest.approx(MEDIUM.solder_mass * share)
    full = Package(0.0, joints_per_side=MEDIUM.joints_per_side)
    assert PairBench().solder_mass(full) == pytest.approx(MEDIUM.solder_mass)


def pair(one=None, other=None, **more):
    return PairBench(packages=(one or Package(-0.045), other or Package(0.045)), **more)


NEAR = 1e-9
X_END, Y_END = (MEDIUM.length - 0.035) / 2, (MEDIUM.width - 0.035) / 2


def test_both_packages_lie_on_the_board_up_to_its_edge():
    for sign in (-1, 1):
        assert pair(Package(sign * (X_END - NEAR)), Package(0.0))
        assert pair(Package(0.0, sign * (Y_END - NEAR)), Package(-0.045))
        for off in (Package(sign * X_END), Package(-0.045, sign * Y_END)):
            with pytest.raises(ValueError, match="of a package"):
                pair(off, Package(0.045))
            with pytest.raises(ValueError, match="of a package"):
                pair(Package(0.045), off)
    assert pair(Package(0.0), Package(0.045)), "the middle of the board is on it"


def test_two_packages_do_not_touch_whichever_way_they_lie():
    for lie in (lambda apart: Package(apart), lambda apart: Package(0.0, apart), lambda apart: Package(-apart)):
        assert pair(Package(0.0), lie(0.035 + NEAR))
        with pytest.raises(ValueError, match="distance of the packages"):
            pair(Package(0.0), lie(0.035))
    small = Package(0.030 + NEAR, side=0.025, joints_per_side=5)
    assert pair(Package(0.0), small)
    with pytest.raises(ValueError, match="distance"):
        pair(Package(0.0), Package(0.030 - NEAR, side=0.025, joints_per_side=5))


def test_a_package_is_wider_than_its_joints_reach():
    span = 2 * Package(0.0).joint_span(MEDIUM.joint_pitch)
    assert pair(Package(-0.045, side=span + NEAR))
    with pytest.raises(ValueError, match="side"):
        pair(Package(-0.045, side=span))


def test_a_shield_covers_the_larger_package_and_keeps_off_the_other():
    assert pair(shield_side=0.035)
    assert pair(shield_side=2 * 0.090 - 0.035 - NEAR)
    assert pair(shield_side=0.0)
    large = Package(-0.045, side=0.040)
    assert pair(large, shield_side=0.040)
    for odd in (dict(shield_side=0.034), dict(shield_side=2 * 0.090 - 0.035 + 1e-6), dict(shield_side=-1.0)):
        with pytest.raises(ValueError, match="shield_side|distance"):
            pair(**odd)
    with pytest.raises(ValueError, match="shield_side"):
        pair(large, shield_side=0.039)


def test_foil_is_neither_black_nor_without_any_glow_and_air_under_it_conducts():
    assert pair(shield_emissivity=0.001)
    assert pair(shield_emissivity=0.999)
    assert pair(shield_air_film=0.001)
    for odd in (dict(shield_emissivity=0.0), dict(shield_emissivity=1.0), dict(shield_air_film=0.0)):
        with pytest.raises(ValueError, match="shield"):
            pair(**odd)


def test_a_heat_is_over_one_of_the_two_and_ends_after_it_begins():
    assert [Heat(over, GAS, 10.0 + NEAR).over for over in (0, 1)] == [0, 1]
    assert Heat(0, GAS[:1], 200.0)
    for odd in ((-1, GAS, 200.0), (2, GAS, 200.0), (0, (), 200.0), (0, GAS, 10.0)):
        with pytest.raises(ValueError, match="over|break points|lift_off"):
            Heat(*odd)


def test_one_nozzle_heats_one_after_the_other():
    first, next_one = Heat(0, GAS, 100.0), ((100.0 + NEAR, 100.0), (160.0, 280.0))
    assert Heats((), (first, Heat(1, next_one, 200.0)), 300.0)
    with pytest.raises(ValueError, match="start of a heat"):
        Heats((), (first, Heat(1, ((100.0, 100.0), (160.0, 280.0)), 200.0)), 300.0)


USUAL = dict(hold=20.0, soak=30.0, wait=40.0, cooling=50.0)


def test_the_usual_programme_warms_from_below_soaks_and_heats_one_after_the_other():
    """Ramps last a minute; the gas begins at 100 °C, or at its set point where that is lower."""
    made = Heats.from_choices(340, (270, 90), order=(1, 0), **USUAL)
    assert made.heats == (
        Heat(1, ((90.0, 90.0), (150.0, 90.0)), 170.0),
        Heat(0, ((210.0, 100.0), (270.0, 270.0)), 290.0),
    )
    assert made.bottom_plate_c == ((0.0, 25.0), (60.0, 340), (290.0, 340), (291.0, 25.0))
    assert made.duration == 340.0


def test_with_a_cool_down_the_plate_is_off_between_heats_and_warmed_for_a_minute_again():
    made = Heats.from_choices(340, (270, 280), room_c=20.0, cool_down=100.0, **USUAL)
    assert made.bottom_plate_c == (
        *((0.0, 20.0), (60.0, 340), (170.0, 340), (171.0, 20.0), (271.0, 20.0), (331.0, 340)),
        *((451.0, 340), (452.0, 20.0)),
    )
    assert made.heats[1].top_gas_c[0][0] == 331.0 + 40.0


def test_without_heats_the_plate_goes_off_after_the_soak():
    made = Heats.from_choices(340, (270, 280), order=(), **USUAL)
    assert (made.heats, made.duration) == ((), 140.0)
    assert made.bottom_plate_c == ((0.0, 25.0), (60.0, 340), (90.0, 340), (91.0, 25.0))


def test_what_is_not_said_is_the_usual_time():
    made = Heats.from_choices(340, (270, 280))
    assert [heat.top_gas_c[0][0] for heat in made.heats] == [180, 330]
    assert [heat.lift_off for heat in made.heats] == [300, 450]
    assert made.duration == 570
    assert Heats().duration == 420


@pytest.mark.parametrize("odd", [dict(wait=0.0), dict(cool_down=-1.0)])
def test_a_wait_takes_time_and_a_cool_down_does_not_go_back(odd):
    assert Heats.from_choices(340, (270, 280), wait=0.5, cool_down=0.0)
    with pytest.raises(ValueError, match="wait|cool_down"):
        Heats.from_choices(340, (270, 280), **odd)


SHORT = Heats((), (Heat(1, ((2.0, 100.0), (4.0, 200.0)), 6.0), Heat(0, ((8.0, 100.0),), 9.0)), 12.0)


def test_the_nozzle_is_lifted_or_over_one_of_the_two_at_each_step():
    assert SHORT.lowered(1.0).tolist() == [0, 0, 2, 2, 2, 2, 0, 0, 1, 0, 0, 0]
    assert Heats(duration=3.0).lowered(1.0).tolist() == [0, 0, 0]


def test_the_quick_model_stops_at_each_move_of_the_nozzle_with_whole_steps_between():
    """Times in half steps of a second: the nozzle moves at 4, 12, 16 and 18."""
    assert SHORT.stops(1.0).tolist() == [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24]
    assert SHORT.stops(2.0).tolist() == [0, 2, 4, 6, 8, 9, 10, 12]  # half a step to the move at 9, and after it
    assert Heats(duration=3.0).stops(1.0).tolist() == [0, 2, 4, 6]


def test_between_heats_the_gas_is_nowhere():
    gas, plate = SHORT.heaters(MEDIUM, 1.0)
    assert gas.size == plate.size == 13
    assert np.flatnonzero(gas).tolist() == [2, 3, 4, 5, 6, 8, 9]


@pytest.mark.parametrize(
    ("hottest", "heats"),
    [
        ([25, 216, 25], 0),
        ([25, 217, 25], 0),
        ([25, 218, 25], 1),
        ([218, 218, 25], 1),
        ([218, 25, 218], 2),
        ([25, 218, 230, 219, 25, 220], 2),
        ([25, 25, 25], 0),
    ],
)
def test_each_rise_of_the_hottest_joint_through_solidus_is_one_heat(hottest, heats):
    joints = np.column_stack([np.full(len(hottest), 20.0), hottest])
    assert count_heats(joints, 217.0) == heats
    with pytest.raises(ValueError, match="solidus_c"):
        count_heats(joints, np.nan)


def traces(lowered, one, other):
    time = np.arange(4.0) * 10
    joints = tuple(np.array(each, float) for each in (one, other))
    maps = np.arange(4.0)[:, None], np.ones((np.prod(MAP_SHAPE), 1))
    return PairTraces(time, joints, joints, time, np.array(lowered), time, time, 215.0, 219.0, 25.0, *maps)


ONE, OTHER = [[20, 25], [200, 230], [229, 240], [30, 35]], [[20, 25], [100, 110], [220, 240], [218, 216]]
RUN = traces([0, 1, 2], ONE, OTHER)


def test_a_packages_coldest_and_hottest_joints_are_its_own():
    assert RUN.coldest_joint_c(0).tolist() == [20, 200, 229, 30]
    assert RUN.hottest_joint_c(1).tolist() == [25, 110, 240, 218]
    assert [RUN.heats(package) for package in (0, 1)] == [1, 1]
    assert RUN.time_above_liquidus(0) == pytest.approx(10 * 10 / 29 + 10 * 10 / 199)


def test_the_neighbour_is_as_hot_as_it_gets_while_the_nozzle_stands_over_the_other():
    assert RUN.neighbour_peak_c(0) == 35  # in the last step, over the other
    assert RUN.neighbour_peak_c(1) == 240  # in the one before
    assert np.isnan(traces([0, 0, 0], ONE, OTHER).neighbour_peak_c(0))


def test_the_map_of_the_board_is_the_one_of_the_nearest_time():
    assert RUN.board_top_c(14.0).shape == MAP_SHAPE
    assert [RUN.board_top_c(at)[0, 0] for at in (0.0, 14.0, 16.0, 99.0)] == [25, 26, 27, 28]
