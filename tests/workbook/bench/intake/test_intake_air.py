"""Exposure, vapour and extraction, held to regulations, to a brute-force average and to what must always be true."""

import inspect

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.intake import air
from workbook.references import entry, value

periods = st.lists(st.tuples(st.floats(0, 5), st.integers(1, 40)), min_size=1, max_size=8)


def test_the_average_is_the_one_the_regulation_illustrates():
    assert air.time_weighted_average([150, 75, 50], [2, 2, 4]) == value("intake", "twa_osha_example")
    share = air.mixture_exposure([500, 45, 40], [1000, 200, 200])
    assert share == pytest.approx(value("intake", "mixture_osha_inputs"))


def test_a_fine_average_does_not_excuse_a_peak():
    """0.12 mg/m3 for 2 h and 0.02 for 6 h is under the 8 h limit for rosin; a 15 min peak of 0.20 is over its own."""
    average = air.time_weighted_average([0.12, 0.02], [2, 6])
    assert average == pytest.approx(value("intake", "twa_rosin_example"), abs=0.0005)
    assert average < value("intake", "rosin_8h")
    peak = air.worst_short_term_average([0.12, 0.20, 0.12, 0.02], [60, 15, 45, 360])
    assert peak == pytest.approx(0.20)
    assert peak > value("intake", "rosin_15min")


def test_the_worst_quarter_hour_may_begin_or_end_where_two_periods_meet():
    """Ten minutes of 1 before and the five of 5: 35/15, whichever comes first."""
    assert air.worst_short_term_average([1, 5], [20, 5]) == pytest.approx(35 / 15)
    assert air.worst_short_term_average([5, 1], [5, 20]) == pytest.approx(35 / 15)


def test_hours_not_listed_count_as_clean_air():
    assert air.time_weighted_average([0.12], [2]) == air.time_weighted_average([0.12, 0], [2, 6])


@given(periods)
def test_the_worst_quarter_hour_is_found_by_sliding_a_window_minute_by_minute(run):
    """Periods of whole minutes: the slow way tries every whole minute."""
    concentrations, minutes = zip(*run, strict=True)
    every_minute = np.concatenate([np.zeros(15), np.repeat(concentrations, minutes), np.zeros(15)])
    slow = max(every_minute[start : start + 15].mean() for start in range(len(every_minute) - 14))
    assert air.worst_short_term_average(concentrations, minutes) == pytest.approx(slow, abs=1e-9)


@given(periods)
def test_the_worst_stretch_is_no_higher_than_the_peak_and_no_lower_than_an_equal_share_of_the_dose(run):
    concentrations, minutes = zip(*run, strict=True)
    worst = air.worst_short_term_average(concentrations, minutes)
    assert worst <= max(concentrations) * (1 + 1e-12)
    stretches = np.ceil(sum(minutes) / 15)
    assert worst >= np.dot(concentrations, minutes) / (15 * stretches) * (1 - 1e-12)


@pytest.mark.parametrize(("hours", "limit"), [(4, 50), (8, 50), (10, 40), (12, 100 / 3)])
def test_the_lead_limit_shrinks_only_for_long_shifts(hours, limit):
    assert air.lead_limit_ug_per_m3(hours) == pytest.approx(limit)
    assert air.lead_limit_ug_per_m3(8) == value("intake", "lead_pel")


@given(st.floats(1e-7, 1e-2), st.floats(600, 1500), st.floats(0.03, 0.2), st.floats(0.1, 100))
def test_vapour_spread_through_the_air_it_needs_has_the_concentration_asked_for(liquid, density, molar_mass, room):
    vapour = air.vapour_volume(liquid, density, molar_mass)
    ppm = air.vapour_ppm(vapour, room)
    assert air.air_volume_to_ppm(vapour, ppm) == pytest.approx(room, rel=1e-12)


@given(st.floats(1e-7, 1e-3), st.floats(0.1, 100), st.floats(-10, 60))
def test_mass_in_the_room_is_the_mass_that_evaporated(liquid, room, temperature_c):
    density, molar_mass = 790.0, 60.10e-3
    ppm = air.vapour_ppm(air.vapour_volume(liquid, density, molar_mass, temperature_c), room)
    mass = air.ppm_to_mg_per_m3(ppm, molar_mass, temperature_c) * room / 1e6
    assert mass == pytest.approx(density * liquid, rel=1e-9)


def test_isopropanol_numbers_agree_with_print():
    molar_mass, density = 60.10e-3, 1000 * value("intake", "isopropanol_specific_gravity")
    printed = entry("intake", "isopropanol_mg_per_ppm")
    assert air.ppm_to_mg_per_m3(1, molar_mass) == pytest.approx(printed.value, abs=printed.uncertainty)
    uk = value("intake", "isopropanol_uk")
    assert air.ppm_to_mg_per_m3(np.array([400, 500]), molar_mass, 20) == pytest.approx(uk, abs=1.0)
    room = air.vapour_ppm(air.vapour_volume(5e-6, density, molar_mass), 10)
    assert room == pytest.approx(value("intake", "isopropanol_room"), abs=1)
    dangerous = air.vapour_ppm(air.vapour_volume(62e-6, density, molar_mass), 10)
    assert dangerous == pytest.approx(value("intake", "isopropanol_idlh"), rel=0.01)
    # The immediately dangerous level was set at a tenth of the lower explosive limit.
    assert value("intake", "isopropanol_idlh") == pytest.approx(0.1 * 1e4 * value("intake", "isopropanol_explosive")[0])


def test_a_mole_of_gas_has_its_printed_volume():
    one_mole = air.vapour_volume(1e-6, 1000, 1e-3)  # one gram at one gram a mole
    printed = entry("intake", "molar_volume")
    assert 1e3 * one_mole == pytest.approx(printed.value, abs=printed.uncertainty)


@given(st.floats(1e-3, 1), st.floats(0, 2), st.floats(1e-4, 0.5), st.booleans())
def test_hood_flow_and_hood_velocity_undo_each_other(flow, distance, area, flanged):
    velocity = air.capture_velocity(flow, distance, area, flanged)
    assert air.capture_flow(velocity, distance, area, flanged) == pytest.approx(flow, rel=1e-12)


def test_at_the_mouth_the_velocity_is_flow_over_area_and_far_away_it_falls_with_the_square():
    assert air.capture_velocity(0.1, 0.0, 0.02) == pytest.approx(5.0)
    far, farther = (air.capture_velocity(0.1, distance, 0.02) for distance in (10.0, 20.0))
    assert far / farther == pytest.approx(4, rel=1e-3)


def test_the_hood_example_rounds_to_the_printed_velocity_and_one_diameter_away_a_tenth_is_left():
    area = np.pi * 0.250**2 / 4
    velocity = air.capture_velocity(3 * area, 0.250, area)
    printed = entry("intake", "hood_example")
    assert velocity == pytest.approx(printed.value, abs=printed.uncertainty)
    assert velocity / 3 < 0.1


def test_twice_as_far_takes_the_flow_of_the_references():
    near, far = (3600 * air.capture_flow(0.5, distance, np.pi * 0.075**2 / 4) for distance in (0.150, 0.300))
    assert (near, far) == pytest.approx(value("intake", "hood_flow_by_distance"), abs=0.5)


def test_a_flange_draws_a_third_more():
    """Published-unnamed: a page of engineering formulas on exhaust outlets."""
    plain, flanged = (air.capture_velocity(0.1, 0.2, 0.02, flange) for flange in (False, True))
    assert flanged / plain == pytest.approx(value("intake", "hood_flange_gain"))


def test_the_module_shows_the_usual_cautions():
    text = inspect.getdoc(air)
    for caution in ("do not permit", "safety officer", "extract at the source", "wash hands"):
        assert caution in text


def test_a_concentration_without_its_length_is_refused():
    with pytest.raises(ValueError, match="needs its own length"):
        air.time_weighted_average([1, 2], [1])
    with pytest.raises(ValueError, match="together"):
        air.time_weighted_average([1], [25])
    with pytest.raises(ValueError, match="needs its own limit"):
        air.mixture_exposure([1], [1, 2])
