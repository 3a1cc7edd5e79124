"""What an ohmmeter shows, held to meter makers' worked examples and to properties of rounding."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.shorts import meter
from workbook.references import entry, value

ohms = st.floats(0, 1e5)
digits = st.sampled_from([0.001, 0.01, 0.1, 1.0, 10.0])


def test_the_limit_of_120_volts_is_the_makers():
    """Published second-hand: a meter maker's page, 120.0 V, 1 % + 3 counts."""
    assert meter.accuracy_limit(120.0, 0.01, 3, 0.1) == pytest.approx(value("shorts", "meter_limit_120_v"))


def test_the_limit_of_a_diode_reading_is_the_makers():
    """Published second-hand: a meter maker's page, 1.755 V, 0.5 % + 1 count."""
    printed = entry("shorts", "meter_limit_diode")
    assert meter.accuracy_limit(1.755, 0.005, 1, 0.001) == pytest.approx(printed.value, abs=printed.uncertainty)


def test_the_misprinted_lower_end_of_100_volts_is_not_reproduced():
    """Published second-hand: 100.0 V, 1 % + 2 counts starts at 98.8 V; one page prints 99.8 V."""
    trap = entry("shorts", "meter_interval_100_v")
    lower = 100.0 - meter.accuracy_limit(100.0, 0.01, 2, 0.1)
    assert lower == pytest.approx(trap.value)
    assert abs(lower - trap.printed) > 0.5


def test_the_same_meter_cannot_tell_7_8_from_6_ohm_one_range_higher():
    share, counts, digit, _ = value("shorts", "hand_meter_200_ohm")
    assert meter.accuracy_limit(7.8, share, counts, digit) < 7.8 - 6
    assert meter.accuracy_limit(8.0, share, counts, 1.0) == pytest.approx(2.064)
    assert meter.accuracy_limit(8.0, share, counts, 1.0) > 7.8 - 6


def test_the_limit_is_the_same_for_both_polarities_of_a_voltage():
    assert meter.accuracy_limit(-1.755, 0.005, 1, 0.001) == meter.accuracy_limit(1.755, 0.005, 1, 0.001)


@given(ohms, digits)
def test_a_display_is_never_more_than_half_a_digit_from_the_value(ohm, digit):
    assert abs(meter.displayed(ohm, digit, 1e9) - ohm) <= digit / 2 * (1 + 1e-9) + 1e-12


@given(ohms, digits)
def test_showing_what_is_shown_changes_nothing(ohm, digit):
    shown = meter.displayed(ohm, digit, 1e9)
    assert meter.displayed(shown, digit, 1e9) == shown


@pytest.mark.parametrize("ohm", [200.06, 1e4, math.inf])
def test_more_than_full_scale_is_overload(ohm):
    assert meter.displayed(ohm, 0.1, 200.0) == math.inf


def test_full_scale_itself_is_shown():
    assert meter.displayed(200.0, 0.1, 200.0) == 200.0


@given(ohms)
def test_the_range_chosen_shows_the_value_and_no_lower_range_does(ohm):
    scales = (200.0, 2e3, 20e3)
    chosen = meter.smallest_range(ohm, scales)
    assert ohm <= chosen
    assert all(ohm > scale for scale in scales if scale < chosen)


@given(ohms, st.floats(0, 1))
def test_nulling_undoes_the_leads(ohm, leads):
    assert meter.lead_null(meter.two_wire_reading(ohm, leads), leads) == pytest.approx(ohm, abs=1e-10)


def test_contact_is_what_nulling_leaves():
    assert meter.lead_null(meter.two_wire_reading(1.0, 0.3, contact=0.05), 0.3) == pytest.approx(1.05)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: meter.accuracy_limit(1.0, -0.01, 2, 0.1), "fraction of reading"),
        (lambda: meter.accuracy_limit(1.0, 0.01, -2, 0.1), "counts"),
        (lambda: meter.accuracy_limit(1.0, 0.01, 2, 0.0), "digit"),
        (lambda: meter.displayed(1.0, 0.1, 0.0), "full scale"),
        (lambda: meter.two_wire_reading(-1.0, 0.1), "resistance"),
        (lambda: meter.lead_null(1.0, -0.1), "shorted probes"),
    ],
)
def test_a_value_out_of_range_is_named(call, named):
    with pytest.raises(ValueError, match=named):
        call()


@pytest.mark.parametrize("power", range(-15, 6))
def test_a_display_of_any_range_shows_its_own_digits(power):
    """Exact: 7 steps and a bit, whatever one step is worth."""
    digit = float(f"1e{power}")
    assert meter.displayed(7.3 * digit, digit, 1000 * digit) == float(f"7e{power}")
