"""Copper, held to wire tables, worked lessons and a curve fit, and to a numerical sheet of copper."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from workbook.bench.shorts import copper, networks
from workbook.references import entry, table, value

MIL = constants.mil
ONE_OUNCE = copper.sheet_resistance(copper.ANNEALED_RESISTIVITY, value("shorts", "foil_one_ounce_nominal"))
lengths = st.floats(1e-5, 1.0)


def test_constants_are_the_reference_values():
    """Published second-hand: IACS."""
    assert pytest.approx(value("shorts", "iacs_conductivity")) == 1 / copper.ANNEALED_RESISTIVITY
    assert value("shorts", "copper_temperature_coefficient") == copper.TEMPERATURE_COEFFICIENT
    assert value("shorts", "copper_density") == copper.DENSITY
    assert value("shorts", "trace_chart_external") == copper.CHART_EXTERNAL
    assert value("shorts", "trace_chart_internal") == copper.CHART_INTERNAL


@pytest.mark.parametrize(("gauge", "row"), table("shorts", "awg_solid_copper").items())
def test_wire_table_to_four_figures(gauge, row):
    """Published second-hand: NBS Handbook 100."""
    printed = row["ohm a 1000 ft"]
    ohm = copper.wire_resistance(int(gauge), 1000 * constants.foot)
    assert float(f"{ohm:.4g}") == printed


def test_leads_of_an_ohmmeter_manual():
    """Published second-hand: an ohmmeter's manual, 16 ft of gauge 18 add 0.1 ohm."""
    assert round(copper.wire_resistance(18, 16 * constants.foot), 1) == value("shorts", "leads_8_ft_gauge_18")


def test_trace_of_an_open_lesson():
    """Published second-hand: an open lesson on printed circuits, 98.3 mohm."""
    printed = entry("shorts", "trace_100_mm")
    assert copper.trace_resistance(1.72e-8, 0.1, 0.5e-3, 35e-6) == pytest.approx(printed.value, abs=printed.uncertainty)


def test_a_warm_trace():
    """Computed: 98.5 mohm at 20 °C, 121.8 mohm at 80 °C."""
    cold = copper.trace_resistance(copper.resistivity(20), 0.1, 0.5e-3, 35e-6)
    warm = copper.trace_resistance(copper.resistivity(80), 0.1, 0.5e-3, 35e-6)
    assert cold == pytest.approx(98.5e-3, abs=0.05e-3)
    assert warm == pytest.approx(121.8e-3, abs=0.05e-3)
    assert copper.moved_to_temperature(cold, 20, 80) == pytest.approx(warm)


@given(st.floats(0.001, 100), st.floats(-50, 150), st.floats(-50, 150), st.floats(-50, 150))
def test_moving_a_resistance_by_way_of_a_third_temperature_changes_nothing(ohm, one, two, three):
    direct = copper.moved_to_temperature(ohm, one, three)
    detour = copper.moved_to_temperature(copper.moved_to_temperature(ohm, one, two), two, three)
    assert detour == pytest.approx(direct)


def test_the_coefficient_of_20_degrees_used_from_another_start_is_wrong():
    naive = 33.0 * (1 + copper.TEMPERATURE_COEFFICIENT * (80 - 40))
    assert naive > 1.005 * copper.moved_to_temperature(33.0, 40, 80)


def test_a_coefficient_is_moved_to_another_temperature_as_in_print():
    """Published second-hand: Dellinger 1911."""
    at_0, at_20 = value("shorts", "copper_coefficient_of_matthiessen")
    assert copper.coefficient_referred_to(at_0, 0, 20) == pytest.approx(at_20, abs=0.000005)


def test_a_coefficient_of_25_degrees_warms_copper_as_a_table_for_windings_has_it():
    """Published, unnamed page: resistance over that at 25 °C."""
    of_25 = copper.coefficient_referred_to(copper.TEMPERATURE_COEFFICIENT, 20, 25)
    assert of_25 == pytest.approx(0.00385, abs=0.000005)
    of_20 = copper.coefficient_referred_to(of_25, 25, 20)
    printed = entry("shorts", "copper_resistance_over_25_c")
    for celsius, factor in printed.value:
        warm = copper.moved_to_temperature(1.0, 25, celsius, of_20)
        assert warm == pytest.approx(factor, abs=printed.uncertainty)


@given(st.floats(0, 0.01), st.floats(0, 100), st.floats(0, 100))
def test_a_coefficient_moved_there_and_back_is_the_same(coefficient, one, other):
    there = copper.coefficient_referred_to(coefficient, one, other) if 1 + coefficient * (other - one) > 0.1 else None
    if there is not None:
        assert copper.coefficient_referred_to(there, other, one) == pytest.approx(coefficient, rel=1e-9)


def test_one_ounce_by_mass_is_thinner_than_nominal():
    """Computed: 34.3 um. Published second-hand: 34.8 um nominal, 35.0 um in calculators."""
    by_mass = copper.foil_thickness(copper.OUNCE_PER_SQUARE_FOOT)
    assert by_mass == pytest.approx(value("shorts", "foil_one_ounce_by_mass"), abs=0.05e-6)
    assert by_mass < value("shorts", "foil_one_ounce_nominal") < value("shorts", "foil_one_ounce_in_calculators")
    assert by_mass == pytest.approx(value("shorts", "foil_one_ounce_in_calculators"), rel=0.03)


def test_every_one_ounce_foil_is_half_a_milliohm_a_square():
    """Published second-hand: design pages' rule of 0.5 mohm a square."""
    rule = entry("shorts", "sheet_resistance_one_ounce")
    for key in ("foil_one_ounce_by_mass", "foil_one_ounce_nominal", "foil_one_ounce_in_calculators"):
        ohm = copper.sheet_resistance(copper.ANNEALED_RESISTIVITY, value("shorts", key))
        assert ohm == pytest.approx(rule.value, abs=rule.uncertainty)


@pytest.mark.parametrize(("layer", "row"), table("shorts", "trace_chart_check").items())
def test_chart_fit_at_two_amperes(layer, row):
    """Published second-hand: 2 A and 10 K."""
    constant = value("shorts", f"trace_chart_{layer}")
    width = copper.chart_width(2, 10, 1.378 * MIL, constant)
    assert width / MIL == pytest.approx(row["width"], abs=0.06)
    assert width * 1.378 / MIL == pytest.approx(row["area"], abs=0.06)


def test_the_rounded_answer_of_a_lesson_is_not_reproduced():
    """Computed: 0.8855 A; the lesson rounds half way and prints 0.884 A."""
    trap = entry("shorts", "trace_current_10_mil")
    current = copper.chart_current(10, 10 * MIL, 1.378 * MIL)
    assert current == pytest.approx(trap.value, abs=5e-5)
    assert abs(current - trap.printed) > 1e-3


@given(st.floats(0.1, 20), st.floats(1, 100), st.floats(5e-6, 2e-4))
def test_chart_width_carries_the_current_asked_for(current, rise, thickness):
    width = copper.chart_width(current, rise, thickness)
    assert copper.chart_current(rise, width, thickness) == pytest.approx(current)


@given(st.floats(0.1, 20), st.floats(1, 100))
def test_the_old_inner_chart_asks_for_the_same_factor_at_every_current(current, rise):
    sides = (copper.CHART_EXTERNAL, copper.CHART_INTERNAL)
    outer, inner = (copper.chart_width(current, rise, 35e-6, constant) for constant in sides)
    assert inner / outer == pytest.approx(2 ** (1 / 0.725))


def test_the_branch_lies_before_the_first_flat_reading():
    """Computed: readings every 10 mm, flat from 30 mm on."""
    drops = [0, 4.95e-3, 9.91e-3, 14.37e-3, 14.37e-3, 14.37e-3]
    gradient = copper.trace_gradient(1.0, ONE_OUNCE, 1e-3)
    assert drops[2] == pytest.approx(20e-3 * gradient, rel=1e-3)
    assert copper.length_to_branch(drops[-1], 1.0, ONE_OUNCE, 1e-3) == pytest.approx(29.0e-3, abs=0.05e-3)


@pytest.mark.parametrize("row", value("shorts", "plane_gradient_readings"), ids=str)
def test_readings_between_injection_and_short(row):
    """Computed: 1 A over 60 mm of 0.4954 mohm a square."""
    place, volts = row
    assert copper.plane_drop_between(1.0, 0.4954e-3, 60e-3, place, 5e-3) == pytest.approx(volts, abs=0.06e-6)


@given(st.floats(0.05, 0.95))
def test_both_ends_of_the_line_look_alike(share):
    place = 0.01 + 0.04 * share
    there = copper.plane_drop_between(1.0, ONE_OUNCE, 60e-3, place, 5e-3)
    back = copper.plane_drop_between(1.0, ONE_OUNCE, 60e-3, 60e-3 - place, 5e-3)
    assert there == pytest.approx(back)
    assert there >= copper.plane_drop_between(1.0, ONE_OUNCE, 60e-3, 30e-3, 5e-3) * (1 - 1e-12)


def test_tips_outside_the_line_are_refused():
    with pytest.raises(ValueError, match="first tip"):
        copper.plane_drop_between(1.0, ONE_OUNCE, 60e-3, 2e-3, 5e-3)
    with pytest.raises(ValueError, match="second tip"):
        copper.plane_drop_between(1.0, ONE_OUNCE, 60e-3, 58e-3, 5e-3)


@given(lengths, lengths, lengths)
def test_drops_in_a_plane_add_along_the_way(one, two, three):
    whole = copper.plane_drop(1.0, ONE_OUNCE, one, three)
    steps = copper.plane_drop(1.0, ONE_OUNCE, one, two) + copper.plane_drop(1.0, ONE_OUNCE, two, three)
    assert whole == pytest.approx(steps, abs=1e-12)


def test_an_endless_grid_of_links_is_a_sheet_far_from_the_source():
    """A square grid of links is a sheet of one link a square: exact lattice against the logarithm."""
    near, far = 80, 320
    by_lattice = networks.lattice_resistance(far, 0) - networks.lattice_resistance(near, 0)
    assert by_lattice == pytest.approx(2 * copper.plane_drop(1.0, 1.0, near, far), rel=1e-4)


def test_spreading_is_twice_the_drop_of_one_pad():
    one_pad = copper.plane_drop(1.0, ONE_OUNCE, 1e-3, 50e-3)
    assert copper.spreading_resistance(ONE_OUNCE, 50e-3, 1e-3) == pytest.approx(2 * one_pad)


def test_spreading_agrees_with_the_exact_pair_of_discs():
    """Two discs in an endless sheet: the exact answer has an inverse hyperbolic cosine."""
    exact = ONE_OUNCE / math.pi * math.acosh(10 / 2)
    assert copper.spreading_resistance(ONE_OUNCE, 10.0, 1.0) == pytest.approx(exact, rel=0.01)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: copper.resistivity(400), "temperature"),
        (lambda: copper.wire_diameter(60), "gauge"),
        (lambda: copper.chart_current(0.1, 1e-3, 35e-6), "temperature rise"),
        (lambda: copper.foil_thickness(0.0), "mass per area"),
        (lambda: copper.spreading_resistance(ONE_OUNCE, 2e-3, 1e-3), "separation"),
        (lambda: copper.length_to_branch(1e-3, 0.0, ONE_OUNCE, 1e-3), "current"),
    ],
)
def test_a_value_out_of_range_is_named(call, named):
    with pytest.raises(ValueError, match=named):
        call()
