"""What stands on the bench is what its priors and its solder say it is, up to the ends of what can be built and run."""

import re
from dataclasses import replace

import numpy as np
import pytest

from workbook.bench.profile.board_pair_station import PairBench
from workbook.bench.profile.board_station import MAP_SHAPE, MEDIUM, NEIGHBOURS, Bench, Programme, Traces
from workbook.bench.profile.films import air
from workbook.references import entry, value

NUMBER = r"(\d+(?:\.\d+)?)"
IN_SI = {"plate_gap": 1e-3, "spill_reach": 1e-3, "heat_capacity": 1e6}
IN_SI |= {"package_heat_capacity": 1e6, "neighbour_heat_capacity": 1e6}


@pytest.mark.parametrize(
    "name",
    [
        *("emissivity", "plate_emissivity", "plate_gap", "plate_gas_share", "bottom_film", "nozzle_film", "spill_film"),
        *("spill_reach", "substrate_conductivity_along", "substrate_conductivity_through", "body_conductivity"),
        *("neighbour_heat_capacity", "plate_lag", "gas_lag"),
    ],
)
def test_the_bench_stands_at_the_middle_that_its_prior_tells(name):
    """Invented: this project's ranges, as an apprentice looks them up."""
    (middle,) = re.findall(rf"about {NUMBER}", entry("profile", f"own_board_doubt_{name}").note)
    assert getattr(MEDIUM, name) == pytest.approx(float(middle) * IN_SI.get(name, 1), rel=1e-12)


@pytest.mark.parametrize(
    ("name", "within"),
    [("joint_film", 0.01), ("package_heat_capacity", 0.01), ("heat_capacity", 0.02), ("conductivity_through", 0.04)],
)
def test_where_no_middle_is_told_the_bench_stands_half_way_by_ratio(name, within):
    low, high = map(float, re.findall(rf"{NUMBER} to {NUMBER}", entry("profile", f"own_board_doubt_{name}").note)[0])
    assert getattr(MEDIUM, name) == pytest.approx(np.sqrt(low * high) * IN_SI.get(name, 1), rel=within)


def test_the_solder_is_sac305():
    """Published second-hand: solidus, liquidus and density of SAC305."""
    solder = MEDIUM.solder_solidus_c, MEDIUM.solder_liquidus_c, MEDIUM.solder_density
    assert solder == tuple(value("profile", f"sac305_{name}") for name in ("solidus_c", "liquidus_c", "density"))


def test_the_air_under_a_shield_is_two_millimetres_that_stand_still():
    """Conductivity of air at 75 °C, between a hot board and its foil, computed with CoolProp."""
    assert PairBench().shield_air_film == pytest.approx(air(75.0).conductivity / 2e-3, rel=0.02)


NEAR = 1e-9


@pytest.mark.parametrize(
    ("taken", "refused"),
    [
        ({"emissivity": 1.0, "plate_emissivity": 1.0}, {"emissivity": 1.001}),
        ({"emissivity": 0.001, "plate_emissivity": 0.001}, {"emissivity": 0.0}),
        ({"plate_gas_share": 0.0}, {"plate_gas_share": -0.001}),
        ({"plate_gas_share": 1.0}, {"plate_gas_share": 1.001}),
        ({"plate_emissivity": 0.5}, {"plate_emissivity": 1.001}),
        ({"solder_latent_heat": 0.0}, {"solder_latent_heat": -1.0}),
        ({"spill_film": 0.0}, {"spill_film": -1.0}),
        ({"room_c": -20.0}, {"room_c": float("nan")}),
        ({"solder_liquidus_c": 217.0 + NEAR}, {"solder_liquidus_c": 217.0}),
        ({"package_side": 30 * 1.1e-3 + NEAR}, {"package_side": 30 * 1.1e-3 - NEAR}),
        ({"width": 0.035 + NEAR}, {"width": 0.035}),
        ({"neighbour_side": 0.020 - NEAR}, {"neighbour_side": 0.020}),
        ({"length": 0.121 + NEAR}, {"length": 0.121 - NEAR}),
        ({"gas_lag": 0.001, "joint_film": 0.001, "plate_gap": 1e-6}, {"gas_lag": 0.0}),
    ],
)
def test_a_bench_is_built_up_to_the_ends_of_what_it_can_be(taken, refused):
    """Its board ends beyond the outer neighbour: 17.5 + 40 + 3 mm from the middle."""
    assert replace(MEDIUM, **taken)
    with pytest.raises(ValueError, match=f"{next(iter(refused))} must be"):
        replace(MEDIUM, **refused)


@pytest.mark.parametrize(
    ("taken", "refused"),
    [
        ({"duration": 1e-6}, {"duration": 0.0}),
        ({"lift_off": 0.0}, {"lift_off": -0.001}),
        ({"bottom_plate_c": ((0.0, -40.0), (420.0, 1000.0))}, {"bottom_plate_c": ((0.0, -40.1),)}),
        ({"top_gas_c": ((420.0, -40.0),)}, {"top_gas_c": ((0.0, 1000.1),)}),
        ({"top_gas_c": ((0.0, 25.0), (NEAR, 25.0))}, {"top_gas_c": ((420.1, 25.0),)}),
        ({"bottom_plate_c": ((0.0, 25.0),)}, {"bottom_plate_c": ((-0.1, 25.0),)}),
        ({}, {"bottom_plate_c": ((5.0, 25.0), (5.0, 30.0))}),
    ],
)
def test_a_programme_is_run_up_to_the_ends_of_what_a_station_can_be_set_to(taken, refused):
    assert Programme(**taken)
    with pytest.raises(ValueError, match="must be"):
        Programme(**refused)


@pytest.mark.parametrize(
    ("duration", "time_step", "last"), [(10, 1, 10), (10.5, 1, 11), (1.1, 0.1, 1.1), (0.3, 0.1, 0.3), (7, 2, 8)]
)
def test_times_go_on_in_whole_steps_to_the_duration_or_just_beyond(duration, time_step, last):
    """1.1 / 0.1 and 0.3 / 0.1 are whole numbers, but for the last digit of a float."""
    times = Programme(duration=duration).times(time_step)
    assert times[0] == 0
    assert np.diff(times) == pytest.approx(time_step)
    assert times[-1] == pytest.approx(last)


def test_moves_of_the_nozzle_are_rounded_to_whole_steps():
    programme = Programme(top_gas_c=((3.4, 100.0), (5.0, 200.0)), lift_off=7.6, duration=10.0)
    assert np.flatnonzero(programme.lowered(1.0)).tolist() == [3, 4, 5, 6, 7]
    assert np.flatnonzero(programme.lowered(2.0)).tolist() == [2, 3]
    assert not replace(programme, top_gas_c=()).lowered(1.0).any()


def test_the_usual_programme_is_the_one_of_common_practice():
    """A minute up, two of soak, a minute to the full gas, a minute of hold, two recorded while it cools."""
    made = Programme.from_choices(340, 90)
    assert made.bottom_plate_c == ((0, 25), (60, 340), (300, 340), (301, 25))
    assert made.top_gas_c == ((180, 90), (240, 90)), "gas that is set below 100 °C begins there"
    assert Programme.from_choices(340, 270).top_gas_c[0] == (180, 100)
    assert (made.lift_off, made.duration) == (300, 420)
    assert (Programme().lift_off, Programme().duration) == (300, 420)


def test_a_heater_that_is_off_stays_at_room_and_gas_blows_as_hot_as_it_is_set_from_the_start():
    gas, plate = Programme(top_gas_c=((0.0, 225.0),), duration=5.0).heaters(MEDIUM, 1.0)
    assert plate.tolist() == [0.0] * 6
    assert gas == pytest.approx(np.full(6, 200.0))


def test_a_heater_follows_a_step_and_a_ramp_as_a_first_order_lag_does():
    """Textbook: after a step 1 - exp(-t/lag), along a ramp it runs behind by the lag once that is over."""
    step = Programme(((0.0, 25.0), (1e-6, 125.0)), duration=60.0).heaters(MEDIUM, 1.0)[1]
    assert step[15] - step[0] == pytest.approx(100 * (1 - np.exp(-1)), rel=0.04), "the step is a ramp of a second here"
    ramp = Programme(((0.0, 25.0), (300.0, 325.0)), duration=300.0).heaters(MEDIUM, 1.0)[1]
    assert ramp[-1] == pytest.approx(300 - MEDIUM.plate_lag, rel=1e-6)


def traces(joints):
    """Return traces of joints at 0, 10 and 20 s, and of a quarter map whose fields count upwards."""
    size = MAP_SHAPE[0] // 2 * (MAP_SHAPE[1] // 2)
    time, joints = np.array([0.0, 10.0, 20.0]), np.array(joints, float)
    maps = np.column_stack([1000 * np.arange(3), np.ones(3)]), np.column_stack([np.ones(size), np.arange(size)])
    return Traces(time, {}, joints, np.zeros((2, 2)), 217.0, 220.0, time, time, time, *maps)


def test_joints_are_liquid_in_proportion_between_solidus_and_liquidus():
    run = traces([[210, 218], [217, 218.5], [221, 230]])
    assert run.molten_share.tolist() == pytest.approx([1 / 6, 1 / 4, 1])
    assert run.coldest_joint_c.tolist() == [210, 217, 221]
    assert run.hottest_joint_c.tolist() == [218, 218.5, 230]


def test_the_map_is_four_mirrored_quarters_of_the_nearest_time_above_the_room():
    run = traces([[25, 25]] * 3)
    rows, columns = MAP_SHAPE
    quarter = 25.0 + 1000 + np.arange(rows * columns // 4).reshape(rows // 2, columns // 2)
    for at in (6.0, 14.0):
        whole = run.board_top_c(at)
        assert np.array_equal(whole[rows // 2 :, columns // 2 :], quarter)
        assert np.array_equal(whole, whole[::-1])
        assert np.array_equal(whole, whole[:, ::-1])
    assert run.board_top_c(99.0)[rows // 2, columns // 2] == 2025


def test_neighbours_stand_at_the_distances_their_names_tell():
    assert [f"neighbour at {1e3 * away:g} mm" for away in NEIGHBOURS.values()] == list(NEIGHBOURS)


def test_a_bench_of_other_balls_has_their_mass():
    """A sphere of a diameter d is pi d^3 / 6."""
    one = Bench(joints_per_side=1, ball_diameter=2e-3, solder_density=1e9)
    assert one.solder_mass == pytest.approx(np.pi * 8 / 6)
    assert one.room == pytest.approx(298.15)
