"""Junction temperatures after a refit, held to a printed chain, to a package's data sheet and to the chain itself."""

import inspect

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.paste import chain
from workbook.bench.signoff import refit
from workbook.references import value

temperatures, powers, resistances = st.floats(-20, 150), st.floats(0.1, 50), st.floats(0.01, 20)


def test_the_printed_chain_is_found_from_its_case():
    junction, case = value("signoff", "chain_example")
    assert refit.junction_temperature_from_case_c(case, 5, 3) == junction
    assert refit.largest_power(junction, 25, 3, 1, 8) == pytest.approx(5)
    assert refit.highest_air_temperature_c(junction, 5, 3, 1, 8) == pytest.approx(25)


@given(temperatures, powers, st.lists(resistances, min_size=1, max_size=4))
def test_power_and_air_limits_bring_the_chain_exactly_to_the_junction_limit(air_c, power, parts):
    junction_c = chain.junction_temperature(air_c, power, *parts)
    assert refit.largest_power(junction_c, air_c, *parts) == pytest.approx(power, rel=1e-6)
    assert refit.highest_air_temperature_c(junction_c, power, *parts) == pytest.approx(air_c, abs=1e-6)


@given(temperatures, powers, resistances, resistances)
def test_a_case_reading_finds_the_junction_of_the_chain(air_c, power, case_resistance, rest):
    case_c = chain.junction_temperature(air_c, power, rest)
    junction_c = chain.junction_temperature(air_c, power, case_resistance, rest)
    assert refit.junction_temperature_from_case_c(case_c, power, case_resistance) == pytest.approx(junction_c)


def test_theta_with_total_power_is_the_trap_and_the_share_through_the_top_explains_it():
    psi, theta, power = value("signoff", "ceramic_psi_jt"), value("signoff", "ceramic_theta_jc"), 10.0
    right = chain.junction_temperature_from_top(60.0, power, psi)
    trap = refit.junction_temperature_from_case_c(60.0, power, theta)
    assert (right - 60, trap - 60) == pytest.approx((0.14, 5.4))
    through_top = refit.share_of_heat_through_top(psi, theta) * power
    assert refit.junction_temperature_from_case_c(60.0, through_top, theta) == pytest.approx(right)


def test_little_heat_leaves_by_the_top_where_the_board_takes_most_of_it():
    share = refit.share_of_heat_through_top(value("signoff", "ceramic_psi_jt"), value("signoff", "ceramic_theta_jc"))
    assert share < 1 - value("signoff", "heat_by_the_board")[1]


@given(temperatures, temperatures, powers, resistances, resistances)
def test_resistance_saved_does_not_depend_on_the_weather(air_before, air_after, power, before, after):
    case_before = chain.junction_temperature(air_before, power, before)
    case_after = chain.junction_temperature(air_after, power, after)
    saved = refit.resistance_saved(case_before, air_before, case_after, air_after, power)
    assert saved == pytest.approx(before - after, abs=1e-6 * (1 + 300 / power))


@given(temperatures, temperatures, powers, powers, st.lists(resistances, min_size=1, max_size=4))
def test_the_junction_elsewhere_is_the_chain_there(air_c, elsewhere_c, power, power_there, parts):
    junction_c = chain.junction_temperature(air_c, power, *parts)
    there = refit.junction_temperature_elsewhere_c(junction_c, air_c, elsewhere_c, power_there / power)
    assert there == pytest.approx(chain.junction_temperature(elsewhere_c, power_there, *parts), rel=1e-6, abs=1e-6)


def test_psi_above_theta_is_refused():
    with pytest.raises(ValueError, match="theta-JC minus psi-JT must be at least 0"):
        refit.share_of_heat_through_top(0.6, 0.5)


def test_a_limit_below_the_air_is_refused():
    with pytest.raises(ValueError, match="junction limit minus air"):
        refit.largest_power(20, 25, 3)


def test_the_module_sends_nobody_to_a_live_board():
    assert "nothing here asks to touch a live" in inspect.getdoc(refit).replace("\n", " ")
