"""The time constant of a cooling log is that of linear regression, by scipy and by a certified data set of NIST."""

import numpy as np
import pytest
from scipy import stats

from workbook.bench.profile.cooling_log import cooling_line

NORRIS_X = (0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0)
NORRIS_X += (447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3)
NORRIS_X += (229.2, 669.1, 448.9, 0.5)
NORRIS_Y = (0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3)
NORRIS_Y += (448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6)
NORRIS_Y += (228.9, 668.4, 449.2, 0.2)
"""NIST StRD, linear regression, data set Norris; from memory, as are the certified values that it gives."""


def test_the_slope_and_its_error_are_those_certified_by_nist():
    """NIST StRD Norris: slope 1.00211681802045, standard deviation of it 0.429796848199937E-03 (from memory)."""
    scale = 1e-2  # so that the exponential of y does not overflow
    line = cooling_line(NORRIS_X, np.exp(-scale * np.array(NORRIS_Y)))
    assert 1 / line.time_constant == pytest.approx(scale * 1.00211681802045, rel=1e-9)
    assert line.standard_error / line.time_constant**2 == pytest.approx(scale * 0.429796848199937e-3, rel=1e-9)


def test_a_noisy_log_has_the_line_of_scipy():
    random = np.random.default_rng(1)
    time = np.arange(0, 300, 10.0)
    excess = 150 * np.exp(-time / 170) + 0.5 * random.normal(size=time.size)
    line, other = cooling_line(time, excess), stats.linregress(time, np.log(excess))
    assert line.time_constant == pytest.approx(-1 / other.slope)
    assert line.standard_error == pytest.approx(other.stderr / other.slope**2)


def test_the_error_promises_what_it_says():
    """Of 400 logs the true time constant lies within Student's 90 % bounds in 90 %: 0.001 on either side."""
    random = np.random.default_rng(2)
    time = np.arange(0, 300, 30.0)
    reach = stats.t.ppf(0.95, time.size - 2)
    held = 0
    for _ in range(400):
        line = cooling_line(time, 150 * np.exp(-time / 170 + 0.01 * random.normal(size=time.size)))
        held += abs(1 / line.time_constant - 1 / 170) < reach * line.standard_error / line.time_constant**2
    assert stats.binom.ppf(0.001, 400, 0.9) <= held <= stats.binom.isf(0.001, 400, 0.9)


@pytest.mark.parametrize(("time", "excess"), [([0, 1], [2, 1]), ([0, 1, 2], [1, 2, 3]), ([0, 1, 2], [3, 2])])
def test_what_is_no_cooling_log_is_refused(time, excess):
    with pytest.raises(ValueError, match="must"):
        cooling_line(time, excess)


def test_an_excess_below_the_air_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        cooling_line([0, 1, 2], [3, 2, -1])
