"""A profile log gives up its times, slopes and peak as they are, and says so where it cannot."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.profile import log

# An invented lead-free profile, written down every 10 to 25 s.
TIME = [0, 20, 40, 60, 80, 105, 125, 145, 165, 180, 190, 200, 210, 220, 230, 240, 250, 260, 270, 280, 300, 320, 340]
READ = [25, 48, 72, 96, 120, 150, 165, 178, 190, 200, 205, 213, 222, 232, 241, 244, 238, 228, 219, 210, 188, 165, 145]
SPARSE = 30  # s: the longest step of that log is 25 s, and it is meant to be read as straight lines


def designed(step=1.0):
    """A profile whose answers follow from its corners: 1.5 K/s up, soak of 90 s, peak 243 for 14 s, 2.5 K/s down."""
    corners_t = np.cumsum([0, 125 / 1.5, 90, 43 / 1.5, 14, 143 / 2.5])
    corners_c = [25, 150, 200, 243, 243, 100]
    time = np.union1d(np.arange(0, corners_t[-1], step), corners_t)
    return time, np.interp(time, corners_t, corners_c)


TIME_ABOVE_217 = 26 / 1.5 + 14 + 26 / 2.5


# The invented log, worked out by hand


def test_ramp_runs_from_the_crossing_of_the_liquidus_to_the_peak():
    assert log.ramp_between(TIME, READ, 217, 244) == pytest.approx(27 / (240 - (200 + 10 * 4 / 9)))


def test_the_older_definition_of_the_ramp_gives_another_number():
    assert log.ramp_between(TIME, READ, 200, 244) == pytest.approx(44 / 60)


def test_time_above_liquidus_is_taken_between_interpolated_crossings():
    up, down = 200 + 10 * 4 / 9, 270 + 10 * 2 / 9
    found = log.crossings(TIME, READ, 217)
    assert found.up == pytest.approx([up])
    assert found.down == pytest.approx([down])
    assert log.time_above(TIME, READ, 217) == pytest.approx(down - up)


@pytest.mark.parametrize(("level", "seconds"), [(220, 61.1), (183, 151.0), (150, 335 - 105)])
def test_another_level_gives_another_time_above(level, seconds):
    assert log.time_above(TIME, READ, level) == pytest.approx(seconds, abs=0.06)


def test_soak_time_to_peak_and_cooling_of_the_invented_log():
    assert log.soak_time(TIME, READ) == 75
    assert log.time_to_peak(TIME, READ, longest_gap=SPARSE) == 240
    assert log.cooling_rate(TIME, READ, 244, 217) == pytest.approx(27 / (270 + 10 * 2 / 9 - 240))


@pytest.mark.parametrize(
    ("class_c", "seconds"), [(245, 10 * 3 / 3 + 10 * 4 / 6 + 10 / 9), (250, 0.0)], ids=["Tc 245", "Tc 250"]
)
def test_time_near_the_class_temperature_is_counted_from_five_below_it(class_c, seconds):
    assert log.time_within(TIME, READ, class_c) == pytest.approx(seconds)


def test_time_near_the_actual_peak_is_another_quantity():
    up, down = 230 - 10 * 2 / 9, 240 + 10 * 5 / 6
    assert log.time_within_of_peak(TIME, READ, longest_gap=SPARSE) == pytest.approx(down - up)


def test_area_above_the_liquidus_is_the_sum_of_triangles_and_trapezia():
    over = [0, 5, 15, 24, 27, 21, 11, 2, 0]
    steps = [10 * 5 / 9, 10, 10, 10, 10, 10, 10, 10 * 2 / 9]
    area = sum(step * (a + b) / 2 for step, a, b in zip(steps, over, over[1:], strict=False))
    assert log.area_above(TIME, READ, 217) == pytest.approx(area)


# A profile with designed corners


@pytest.mark.parametrize("step", [0.5, 1, 5, 20])
def test_answers_do_not_depend_on_how_often_the_logger_samples(step):
    time, temperature_c = designed(step)
    assert log.time_above(time, temperature_c, 217) == pytest.approx(TIME_ABOVE_217)
    assert log.soak_time(time, temperature_c) == pytest.approx(90)
    assert log.ramp_between(time, temperature_c, 217, 243) == pytest.approx(1.5)
    assert log.cooling_rate(time, temperature_c, 243, 217) == pytest.approx(2.5)
    assert log.cooling_rate(time, temperature_c, 217, 150) == pytest.approx(2.5)


def test_the_peak_of_a_flat_top_is_its_first_sample_and_cooling_starts_at_its_last():
    time, temperature_c = designed()
    top = log.peak(time, temperature_c)
    assert top.temperature_c == 243
    assert log.cooling_rate(time, temperature_c, 243, 217) == pytest.approx(2.5)
    assert log.time_to_peak(time, temperature_c) == pytest.approx(top.time)


def test_a_short_window_turns_noise_into_a_steep_ramp_and_ten_seconds_do_not():
    random = np.random.default_rng(20)
    time = np.arange(0, 200.0)
    ramps = {2.0: [], 10.0: []}
    for _ in range(60):
        noisy = 25 + 1.5 * time + random.normal(0, 0.5, time.size)
        for window, found in ramps.items():
            found.append(log.steepest_ramp(time, noisy, window))
    assert np.mean(ramps[2.0]) > 2.0
    assert np.mean(ramps[10.0]) == pytest.approx(1.6, abs=0.1)


def test_a_sensor_that_never_cools_is_printed_as_cooling_by_nothing():
    assert f"{log.steepest_cooling(range(60), [25.0] * 60):.4g}" == "0"


def test_counting_samples_would_miss_what_interpolation_finds():
    time, temperature_c = designed()
    kept = (time % 10 == 0) | (time == time[-1])
    counted = 10 * np.sum(temperature_c[kept] >= 217)
    interpolated = log.time_above(time[kept], temperature_c[kept], 217)
    assert abs(interpolated - TIME_ABOVE_217) < abs(counted - TIME_ABOVE_217)


# Levels, ends and refusals


def test_a_sample_exactly_at_the_level_has_reached_it():
    up, down = log.crossings([0, 10, 20], [200, 217, 200], 217)
    assert (up.tolist(), down.tolist()) == ([10.0], [10.0])
    assert log.time_above([0, 10, 20], [200, 217, 200], 217) == 0


def test_a_flat_stretch_exactly_at_the_level_counts_as_above():
    assert log.time_above([0, 10, 20, 30], [200, 217, 217, 200], 217) == 10


def test_a_log_that_starts_above_the_level_has_no_crossing_up():
    up, down = log.crossings([0, 10], [230, 210], 220)
    assert (up.size, down.tolist()) == (0, [5.0])


def test_stretches_above_the_level_add_up():
    time, temperature_c = [0, 10, 20, 30, 40], [210, 220, 210, 220, 210]
    assert log.time_above(time, temperature_c, 215) == 20
    assert log.crossings(time, temperature_c, 215).up.tolist() == [5, 25]


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: log.soak_time([0, 10], [25, 190]), "never reaches 200 °C: it peaks at 190"),
        (lambda: log.soak_time([0, 10], [160, 210]), "starts above 150 °C"),
        (lambda: log.soak_time(TIME, READ, 200, 150), "upper level must be above"),
        (lambda: log.ramp_between(TIME, READ, 217, 217), "upper level must be above"),
        (lambda: log.ramp_between(TIME, READ, 217, 250), "never reaches 250 °C: it peaks at 244"),
        (lambda: log.cooling_rate(TIME, READ, 217, 100), "ends before it has cooled to 100"),
        (lambda: log.cooling_rate(TIME, READ, 250, 100), "never reaches 250"),
        (lambda: log.cooling_rate(TIME, READ, 150, 217), "must be below the one cooled from"),
        (lambda: log.cooling_rate([0, 10], [25, 230], 230, 217), "ends before"),
        (lambda: log.steepest_ramp(TIME, READ), "no stretch of 10 s holds 3 samples"),
        (lambda: log.steepest_ramp(TIME, READ, 0), "window must be above 0 s"),
        (lambda: log.time_within(TIME, READ, 245, 0), "band must be above 0 K"),
        (lambda: log.gaps(TIME, -1), "longest gap must be above 0 s"),
        (lambda: log.gaps(TIME, 0), "longest gap must be above 0 s"),
        (lambda: log.gaps(TIME, math.nan), "longest gap must be above 0 s"),
        (lambda: log.soak_time(TIME, READ, 150, 150), "upper level must be above"),
        (lambda: log.cooling_rate(TIME, READ, 217, 217), "must be below the one cooled from"),
        (lambda: log.time_above([[0, 1]], [[1, 2]], 2), "one time and one temperature a sample"),
        (lambda: log.time_above(TIME, READ, math.nan), "level must be"),
        (lambda: log.time_above([0, 1, 1], [1, 2, 3], 2), "clean it first"),
        (lambda: log.time_above([0, 2, 1], [1, 2, 3], 2), "clean it first"),
        (lambda: log.time_above([0, 1, 2], [1, math.nan, 3], 2), "clean it first"),
        (lambda: log.time_above([0, 1], [1, 2, 3], 2), "one time and one temperature a sample"),
        (lambda: log.time_above([0], [1], 2), "at least two samples"),
        (lambda: log.clean([0, 0], [1, 2]), "at least two samples"),
    ],
)
def test_what_cannot_be_said_is_refused_in_words(ask, words):
    with pytest.raises(ValueError, match=words):
        ask()


def test_a_gap_beside_the_peak_refuses_the_peak_and_one_elsewhere_does_not():
    time = np.array([0, 1, 2, 3, 4, 5, 6.0])
    shape = [230, 236, 241, 243, 242, 240, 230]
    far, beside = time.copy(), time.copy()
    far[5:] += 20
    beside[4:] += 20
    assert log.peak(far, shape).temperature_c == 243
    with pytest.raises(ValueError, match="no sample from 3 s to 24 s"):
        log.peak(beside, shape)


def test_a_step_of_exactly_the_longest_gap_is_no_gap():
    assert log.gaps([0, 5, 10.5]).tolist() == [[5, 10.5]]


# Cleaning


def test_cleaning_undoes_shuffling_doubling_and_missing_numbers():
    time, temperature_c = designed()
    order = np.random.default_rng(3).permutation(time.size)
    dirty_t = np.concatenate([time[order], time[:50], [math.nan, 5.5]])
    dirty_c = np.concatenate([temperature_c[order], temperature_c[:50], [100, math.inf]])
    clean_t, clean_c = log.clean(dirty_t, dirty_c)
    assert clean_t == pytest.approx(time)
    assert clean_c == pytest.approx(temperature_c)


def test_cleaning_averages_readings_with_the_same_stamp():
    assert log.clean([0, 1, 1, 1], [0, 1, 2, 6])[1].tolist() == [0, 3]


def test_cleaning_never_fills_a_gap():
    time, _ = log.clean([0, 1, 60], [25, 26, 90])
    assert time.tolist() == [0, 1, 60]


# All together


def test_metrics_agree_with_the_questions_asked_one_by_one():
    seen = log.metrics(TIME, READ, class_c=245, longest_gap=SPARSE, window=40)
    assert seen.peak_c == 244
    assert seen.peak_time == 240
    assert seen.time_to_peak == 240
    assert seen.soak_time == 75
    assert seen.ramp_liquidus_to_peak == log.ramp_between(TIME, READ, 217, 244)
    assert seen.ramp_soak_to_peak == log.ramp_between(TIME, READ, 200, 244)
    assert seen.time_above_liquidus == log.time_above(TIME, READ, 217)
    assert seen.area_above_liquidus == log.area_above(TIME, READ, 217)
    assert seen.time_within_of_class == log.time_within(TIME, READ, 245)
    assert seen.steepest_ramp == log.steepest_ramp(TIME, READ, 40)
    assert seen.steepest_cooling == log.steepest_cooling(TIME, READ, 40)
    assert seen.flags == ()


def test_metrics_state_the_settings_they_depend_on_and_cannot_be_changed():
    seen = log.metrics(*designed(), liquidus_c=183, window=5)
    assert (seen.liquidus_c, seen.window, seen.class_c) == (183, 5, None)
    with pytest.raises(dataclasses.FrozenInstanceError):
        seen.peak_c = 250


def test_metrics_of_a_log_with_a_gap_at_the_peak_keep_what_the_gap_does_not_touch():
    time, temperature_c = designed()
    hole = (temperature_c > 242) & (time > np.max(time[temperature_c < 243][:150]))
    kept = ~hole
    kept[np.flatnonzero(hole)[0]] = True
    seen = log.metrics(time[kept], temperature_c[kept])
    assert seen.peak_c is None
    assert seen.time_to_peak is None
    assert seen.cooling_peak_to_liquidus is None
    assert seen.soak_time == pytest.approx(90)
    assert any("the peak cannot be told" in flag for flag in seen.flags)
    assert len(seen.flags) == len(set(seen.flags))


@pytest.mark.parametrize(
    ("time", "temperature_c", "words"),
    [
        ([0, 1, 2, math.nan], [25, 26, 27, 28], "1 samples without a number left out"),
        ([0, 2, 1, 3], [25, 27, 26, 28], "out of order"),
        ([0, 1, 1, 2], [25, 26, 26, 27], "1 repeated time stamps"),
        ([0, 1, 2, 60, 61], [25, 26, 27, 27, 25], "a gap: no sample from 2 s to 60 s"),
        ([0, 10, 20, 80, 81], [25, 26, 27, 27, 25], "3 gaps, the longest: no sample from 20 s to 80 s"),
        ([0, 1, 2], [28, 29, 28], "starts at 28 °C"),
        ([0, 1, 2], [25, 26, 27], "ends at its hottest sample"),
        ([0, 1, 2], [25, 240, 230], "ends above 217 °C"),
        ([0, 1, 2, 3, 4], [25, 240, 210, 220, 25], "more than once"),
        ([0, 1, 2], [25, 180, 25], "never reaches 200 °C"),
    ],
)
def test_metrics_flag_what_is_wrong_with_a_log(time, temperature_c, words):
    assert any(words in flag for flag in log.metrics(time, temperature_c).flags)


def test_a_log_that_never_melts_has_no_ramp_to_peak_and_no_time_above():
    seen = log.metrics([0, 1, 2], [25, 180, 25])
    assert seen.time_above_liquidus == 0
    assert seen.ramp_liquidus_to_peak is None
    assert seen.cooling_peak_to_liquidus is None


# Properties

logs = st.lists(st.tuples(st.floats(0.1, 20), st.floats(20, 260)), min_size=2, max_size=25).map(
    lambda pairs: (np.cumsum([step for step, _ in pairs]), np.array([c for _, c in pairs]))
)
levels = st.floats(20, 260)


@given(logs, levels, levels)
def test_a_higher_level_is_exceeded_for_no_longer(a_log, one, other):
    assert log.time_above(*a_log, max(one, other)) <= log.time_above(*a_log, min(one, other)) + 1e-9


@given(logs, levels, levels)
def test_area_grows_with_depth_as_fast_as_the_time_above(a_log, one, other):
    low, high = min(one, other), max(one, other)
    grown = log.area_above(*a_log, low) - log.area_above(*a_log, high)
    slack = 1e-6 + 1e-9 * grown
    assert log.time_above(*a_log, high) * (high - low) - slack <= grown
    assert grown <= log.time_above(*a_log, low) * (high - low) + slack


@given(logs, levels)
def test_crossings_lie_on_the_log_and_alternate(a_log, level):
    up, down = log.crossings(*a_log, level)
    both = np.sort(np.concatenate([up, down]))
    assert np.interp(both, *a_log) == pytest.approx(np.full(both.size, level), abs=1e-6)
    assert abs(up.size - down.size) <= 1


@given(logs, levels)
def test_time_above_agrees_with_a_fine_grid(a_log, level):
    time, temperature_c = a_log
    grid = np.linspace(time[0], time[-1], 20001)
    middle = (grid[1:] + grid[:-1]) / 2
    counted = np.mean(np.interp(middle, time, temperature_c) >= level) * (time[-1] - time[0])
    assert log.time_above(time, temperature_c, level) == pytest.approx(counted, abs=0.1 + 1e-3 * (time[-1] - time[0]))


@given(logs, st.floats(-1e5, 1e5))
def test_moving_the_clock_changes_no_duration(a_log, shift):
    time, temperature_c = a_log
    assert log.time_above(time + shift, temperature_c, 100) == pytest.approx(
        log.time_above(time, temperature_c, 100), abs=1e-6
    )


@given(logs, st.floats(5, 60))
def test_steepest_slope_is_that_of_a_line_fitted_to_each_stretch(a_log, window):
    time, temperature_c = a_log
    slopes = []
    for start in time:
        inside = (time >= start) & (time <= start + window)
        if inside.sum() >= 3 and time[inside][-1] - start >= window / 2:
            slopes.append(np.polyfit(time[inside] - start, temperature_c[inside], 1)[0])
    if slopes:
        assert log.steepest_ramp(time, temperature_c, window) == pytest.approx(max(slopes), abs=1e-6)
        assert log.steepest_cooling(time, temperature_c, window) == pytest.approx(-min(slopes), abs=1e-6)
    else:
        with pytest.raises(ValueError, match="log more often"):
            log.steepest_ramp(time, temperature_c, window)


@given(logs)
def test_cleaning_a_clean_log_changes_nothing(a_log):
    time, temperature_c = log.clean(*a_log)
    assert np.array_equal(time, a_log[0])
    assert np.array_equal(temperature_c, a_log[1])


# At the ends of what is said


@pytest.mark.parametrize("ask", [log.crossings, log.time_above, log.area_above])
def test_a_level_lies_between_absolute_zero_and_two_thousand_degrees(ask):
    for level in (-273.15, 2000):
        ask(TIME, READ, level)
    for level in (-273.16, 2000.1):
        with pytest.raises(ValueError, match="level must be from -273.15 to 2000 °C"):
            ask(TIME, READ, level)


def test_a_flat_stretch_exactly_at_the_level_has_no_area_above_it():
    assert log.area_above([0, 10, 20, 30], [200, 217, 217, 200], 217) == 0
    assert log.area_above([0, 10, 20], [217, 227, 217], 217) == 100


def test_a_log_that_peaks_exactly_at_liquidus_has_no_ramp_to_it_and_nothing_is_flagged_but_what_it_never_does():
    seen = log.metrics([0, 2, 4, 6, 8], [25, 150, 217, 180, 140], soak_to_c=216)
    assert (seen.ramp_liquidus_to_peak, seen.cooling_peak_to_liquidus) == (None, None)
    assert seen.time_above_liquidus == 0
    assert seen.flags == ()
    seen = log.metrics([0, 2, 4, 6, 8], [25, 150, 200, 180, 140])
    assert seen.ramp_soak_to_peak is None
    assert seen.flags == ("the log never reaches 217 °C: it peaks at 200 °C",)


def test_a_log_that_ends_exactly_at_liquidus_may_have_stayed_there():
    seen = log.metrics([0, 2, 4, 6], [25, 200, 230, 217])
    assert "the log ends above 217 °C: the time above is at least this" in seen.flags


def test_each_fault_of_a_log_is_flagged_by_itself():
    time, temperature_c = designed()
    at = np.flatnonzero(time == 60)[0]
    twice = np.insert(time, at, time[at]), np.insert(temperature_c, at, temperature_c[at])
    assert log.metrics(*twice).flags == ("1 repeated time stamps: averaged",)


def test_the_longest_of_several_gaps_is_told_wherever_it_lies():
    seen = log.metrics([0, 40, 41, 51, 52], [25, 26, 30, 28, 25])
    assert "2 gaps, the longest: no sample from 0 s to 40 s" in seen.flags


def test_a_stretch_of_exactly_half_the_window_counts():
    assert log.steepest_ramp([0, 1, 2], [25, 27, 29], 4) == pytest.approx(2)
    with pytest.raises(ValueError, match="log more often"):
        log.steepest_ramp([0, 1, 2], [25, 27, 29], 4.001)


def test_a_clock_that_counts_from_1970_makes_no_slope_steeper():
    time = np.arange(0, 60.0)
    plain = log.steepest_ramp(time, 25 + 1.5 * time)
    assert log.steepest_ramp(time + 1.9e9, 25 + 1.5 * time) == pytest.approx(plain, rel=1e-9)
