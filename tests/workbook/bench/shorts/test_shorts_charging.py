"""The climbing reading, held to worked values, to an integration in time, and to its own inverse."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from workbook.bench.shorts import charging
from workbook.references import value

ohms, farads = st.floats(0.1, 1e6), st.floats(1e-9, 1e-2)


def test_a_thousand_microfarads_across_64_ohm():
    """Computed."""
    early, later, wait = value("shorts", "capacitor_reading_1000_uf")
    assert charging.drifting_reading(0.05, 64.0, 1000e-6) == pytest.approx(early, rel=0.01)
    assert charging.drifting_reading(0.10, 64.0, 1000e-6) == pytest.approx(later, rel=0.01)
    assert charging.wait_for_share(0.99, 64.0, 1000e-6) == pytest.approx(wait, rel=0.01)


def test_470_microfarads_across_10_kilohm():
    """Computed."""
    early, wait = value("shorts", "capacitor_reading_470_uf")
    assert charging.drifting_reading(1.0, 10e3, 470e-6) == pytest.approx(early, rel=0.01)
    assert charging.wait_for_share(0.99, 10e3, 470e-6) == pytest.approx(wait, rel=0.01)


def test_the_reading_is_the_integral_of_the_charging_current():
    ohm, farad, test_current = 64.0, 1000e-6, 1e-3
    run = integrate.solve_ivp(lambda t, v: (test_current - v / ohm) / farad, (0, 0.2), [0.0], rtol=1e-9, atol=1e-12)
    assert charging.drifting_reading(0.2, ohm, farad) == pytest.approx(run.y[0, -1] / test_current, rel=1e-6)


@given(st.floats(0, 0.999), ohms, farads)
def test_after_the_wait_the_share_is_shown(share, ohm, farad):
    wait = charging.wait_for_share(share, ohm, farad)
    assert charging.drifting_reading(wait, ohm, farad) == pytest.approx(share * ohm, rel=1e-9, abs=1e-12)


@given(ohms, farads)
def test_the_first_climb_knows_only_the_capacitor(ohm, farad):
    soon = 1e-6 * ohm * farad
    assert charging.drifting_reading(soon, ohm, farad) == pytest.approx(charging.climb_rate(farad) * soon, rel=1e-5)


@given(ohms, farads, st.floats(0, 10), st.floats(0, 10))
def test_a_reading_only_climbs_and_never_passes_the_resistance(ohm, farad, one, other):
    first, second = (charging.drifting_reading(time, ohm, farad) for time in sorted((one, other)))
    assert 0 <= first <= second <= ohm


def test_the_whole_of_a_reading_is_never_waited_for():
    with pytest.raises(ValueError, match="share"):
        charging.wait_for_share(1.0, 64.0, 1e-3)
