"""What the simulated board teaches: where the heat goes, and what each choice changes."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from workbook.bench.profile.board import (
    BOARDS,
    LIGHT,
    MEDIUM,
    NEIGHBOURS,
    PLACES,
    Bench,
    Programme,
    reduced,
    run,
    run_choices,
    simulate,
)
from workbook.bench.profile.board_station import MAP_SHAPE
from workbook.bench.profile.board_volumes import Mesh

PACKAGE_LIMIT_C = 260.0  # the highest classification temperature of J-STD-020, lead-free
BOTH = Programme.from_choices(345, 270)


def top_only(gas_c, ramp, hold=60.0):
    return Programme(top_gas_c=((0, 100), (ramp, gas_c)), lift_off=ramp + hold, duration=ramp + hold + 60)


def coldest_before_the_package_is_cooked(bench, programme):
    """Return the hottest the coldest joint gets before the package passes its limit [°C]."""
    record = run(reduced(bench), programme, 2.0)
    cooked = np.maximum.accumulate(record.temperature_c["package top"]) > PACKAGE_LIMIT_C
    return record.coldest_joint_c[~cooked].max()


# What the simulation is for


@pytest.mark.parametrize("board", BOARDS)
def test_heat_from_below_and_above_melts_every_joint_and_spares_the_package(board):
    melted = [
        (plate, gas)
        for plate in (320, 340, 360)
        for gas in (250, 270, 290)
        for record in [run_choices(board, plate, gas, melting=True)]
        if record.molten_share.max() == 1 and record.temperature_c["package top"].max() <= PACKAGE_LIMIT_C
    ]
    assert melted


def test_hot_gas_alone_cooks_the_package_of_the_medium_board_before_the_last_joint_melts():
    hottest = max(
        coldest_before_the_package_is_cooked(MEDIUM, top_only(gas, ramp, hold))
        for ramp in (60, 180, 300, 420)
        for gas in range(300, 521, 20)
        for hold in (60, 240)
    )
    assert 190 < hottest < 215


def test_hot_gas_alone_is_enough_on_a_thin_board_with_little_copper():
    # An honest exception: the nozzle fails on a board because of its copper, not always.
    thin = replace(MEDIUM, conductivity_along=3.0, thickness=1.0e-3)
    assert max(coldest_before_the_package_is_cooked(thin, top_only(gas, 420, 240)) for gas in (320, 340, 360)) > 225


def test_gas_alone_leaves_far_greater_differences_along_the_board_than_both_heaters():
    def difference(record):
        at_peak = record.time[np.argmax(record.coldest_joint_c)]
        return np.ptp(record.board_top_c(at_peak))

    assert difference(run(reduced(MEDIUM), top_only(400, 180))) > 150
    assert difference(run(reduced(MEDIUM), BOTH)) < 130


def test_more_copper_asks_for_more_heat():
    light, medium, heavy = (run_choices(board, 340, 270).coldest_joint_c.max() for board in BOARDS)
    assert light > medium > heavy


def test_the_set_point_of_a_heater_is_not_the_temperature_of_a_joint():
    record = run(reduced(MEDIUM), BOTH)
    assert record.hottest_joint_c.max() < 255 < 270 < record.plate_c.max()


def test_the_board_is_hottest_at_the_bottom_when_only_the_plate_heats():
    record = run(reduced(MEDIUM), Programme(((0, 25), (60, 330)), duration=300))
    bottom, top = record.temperature_c["board bottom"], record.temperature_c["package top"]
    assert np.all(bottom[30:] > top[30:])
    assert np.max(bottom - top) > 15


def test_the_farther_neighbour_stays_cooler():
    for programme in (BOTH, top_only(400, 180)):
        record = run(reduced(MEDIUM), programme)
        near, far = (record.temperature_c[place].max() for place in NEIGHBOURS)
        assert record.temperature_c["joint edge"].max() > near > far


@pytest.mark.parametrize(
    ("change", "place", "sign"),
    [
        ({"plate_emissivity": 0.95}, "neighbour at 40 mm", 1),
        ({"plate_gap": 0.03}, "joint corner", -1),
        ({"nozzle_film": 130.0}, "package top", 1),
        ({"nozzle_film": 130.0}, "neighbour at 40 mm", 0),
        ({"conductivity_along": 20.0}, "joint centre", -1),
        ({"top_film": 10.0}, "joint corner", -1),
    ],
)
def test_a_parameter_moves_the_peak_it_should(change, place, sign):
    mesh = Mesh(8, 3, 2, 2)
    usual, changed = (
        simulate(bench, BOTH, mesh=mesh).temperature_c[place].max() for bench in (MEDIUM, replace(MEDIUM, **change))
    )
    assert abs(changed - usual) < 0.5 if sign == 0 else 0.5 < sign * (changed - usual) < 20


# Programmes and heaters


def test_the_heaters_follow_their_set_points_with_a_first_order_lag():
    gas, plate = BOTH.heaters(MEDIUM, 1.0)
    at, set_points = np.array(BOTH.bottom_plate_c).T
    solved = solve_ivp(
        lambda time, rise: (np.interp(time, at, set_points) - MEDIUM.room_c - rise) / MEDIUM.plate_lag,
        (0, BOTH.duration),
        [0.0],
        t_eval=BOTH.times(1.0),
        max_step=0.5,
        rtol=1e-8,
    ).y[0]
    np.testing.assert_allclose(plate, solved, atol=0.01)
    assert gas.max() == pytest.approx(270 - MEDIUM.room_c, abs=0.01)


def test_the_nozzle_is_down_from_its_first_break_point_to_the_lift_off():
    programme = Programme(top_gas_c=((100, 150), (150, 300)), lift_off=200, duration=260)
    lowered = programme.lowered(1.0)
    assert lowered.sum() == 100
    assert lowered[100]
    assert not lowered[[99, 200]].any()


def test_after_the_lift_off_the_package_cools_but_not_as_under_a_jet():
    record = run(reduced(MEDIUM), BOTH)
    after = record.temperature_c["package top"][record.time > BOTH.lift_off]
    assert np.all(np.diff(after) < 0)
    assert np.diff(after).min() > -6


def test_the_choices_make_the_programme_they_say():
    programme = Programme.from_choices(340, 270, hold=45, soak=90, bottom_ramp=50, top_ramp=40, cooling=100)
    assert programme.bottom_plate_c[1] == (50, 340)
    assert programme.top_gas_c[-1] == (180, 270)
    assert (programme.lift_off, programme.duration) == (225, 325)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"duration": 0.0}, "duration must be above 0 s"),
        ({"bottom_plate_c": ((0, 25), (0, 300))}, "step between break points of bottom_plate_c must be above 0 s"),
        ({"top_gas_c": ((50, 2000),)}, "set point of top_gas_c must be from -40 to 1000 °C"),
        ({"top_gas_c": ((500, 200),)}, "break point time of top_gas_c must be from 0 to 420 s"),
        ({"lift_off": float("nan")}, "lift_off must be at least 0 s"),
    ],
)
def test_a_programme_that_cannot_be_run_is_refused_in_one_line(wrong, said):
    with pytest.raises(ValueError, match=said):
        Programme(**wrong)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"thickness": 0.0}, "thickness must be above 0"),
        ({"emissivity": 1.2}, "emissivity must be from 0 to 1"),
        ({"length": 0.1}, "length must be above 0.121 m"),
        ({"solder_liquidus_c": 217.0}, "solder_liquidus_c must be above 217 °C"),
    ],
)
def test_a_bench_that_cannot_be_built_is_refused_in_one_line(wrong, said):
    with pytest.raises(ValueError, match=said):
        Bench(**wrong)


def test_an_unknown_board_is_answered_with_the_known_ones():
    with pytest.raises(ValueError, match="board must be one of light, medium, heavy"):
        run_choices("huge", 340, 270)


# What a record holds


def test_a_record_names_every_place_at_every_time():
    record = run(reduced(LIGHT), BOTH)
    assert tuple(record.temperature_c) == PLACES
    assert all(trace.shape == record.time.shape for trace in record.temperature_c.values())
    assert record.time[-1] == BOTH.duration


def test_centre_and_corner_are_among_the_joints_read():
    record = run(reduced(MEDIUM), BOTH)
    np.testing.assert_allclose(record.joints_c[:, 0], record.temperature_c["joint centre"], atol=1e-9)
    np.testing.assert_allclose(record.joints_c[:, -1], record.temperature_c["joint corner"], atol=1e-9)
    np.testing.assert_array_equal(record.joint_positions[0], [0, 0])
    assert record.joint_positions[-1] == pytest.approx([0.0165, 0.0165])


def test_the_map_mirrors_the_quarter_and_agrees_with_the_traces():
    record = run(reduced(MEDIUM), top_only(400, 180))
    hot = record.board_top_c(240.0)
    assert hot.shape == MAP_SHAPE
    np.testing.assert_array_equal(hot, hot[::-1, ::-1])
    assert np.unravel_index(hot.argmax(), hot.shape) in [(y, x) for y in (19, 20) for x in (29, 30)]
    assert record.temperature_c["neighbour at 40 mm"][240] == pytest.approx(hot[19, 41], abs=4)
    assert np.ptp(record.board_top_c(0.0)) < 1e-9


def test_the_molten_share_goes_from_none_to_all_and_back():
    share = run(reduced(MEDIUM), BOTH, melting=True).molten_share
    assert (share[0], share.max(), share[-1]) == (0, 1, 0)
