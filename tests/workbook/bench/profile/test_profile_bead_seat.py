"""A bead between joint and gas, held to a network solved by numpy and to its limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.profile import bead_seat


@given(st.floats(20, 400), st.floats(0.05, 60), st.floats(0.05, 2))
def test_the_reading_balances_the_heat_of_a_network(film, conductivity, thickness_mm):
    bare, seat = 3e-6, 0.5e-6
    to_gas, to_joint = film * bare, conductivity * seat / (thickness_mm * 1e-3)
    (bead,) = np.linalg.solve([[to_gas + to_joint]], [to_gas * 270 + to_joint * 225])
    share = bead_seat.share_of_gas(film, bare, seat, thickness_mm * 1e-3, conductivity)
    assert bead_seat.bead_reading_c(225, 270, share) == pytest.approx(bead)


@pytest.mark.parametrize(("conductivity", "share", "reading"), [(0.3, 0.600, 252.0), (50, 0.009, 225.4)])
def test_stuck_on_and_soldered_on(conductivity, share, reading):
    ours = bead_seat.share_of_gas(150, 3e-6, 0.5e-6, 0.5e-3, conductivity)
    assert ours == pytest.approx(share, abs=5e-4)
    assert bead_seat.bead_reading_c(225, 270, ours) == pytest.approx(reading, abs=0.05)


def test_in_gas_as_warm_as_the_joint_every_seat_reads_right():
    assert bead_seat.bead_reading_c(225, 225, 0.6) == 225


def test_a_seat_without_area_is_refused():
    with pytest.raises(ValueError, match="area"):
        bead_seat.share_of_gas(150, 3e-6, 0, 0.5e-3, 0.3)
