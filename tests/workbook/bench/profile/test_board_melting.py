"""Melting takes heat and never gives it, and is solved exactly whichever way it is solved."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from workbook.bench.profile import board, board_melting
from workbook.bench.profile.board_melting import melt
from workbook.bench.profile.board_station import MEDIUM, PLACES, Programme
from workbook.bench.profile.board_volumes import Mesh, assemble, march

COARSE = Mesh(6, 2, 1, 1)
SLOW = Programme.from_choices(335, 270)
FAST = Programme(((0, 25), (40, 330)), ((60, 150), (110, 330)), lift_off=185, duration=300)
SPAN = 3.0


def draw(seed, size=12):
    """Return joints around solidus, a symmetric response and shares to start from."""
    random = np.random.default_rng(seed)
    place = random.uniform(0, 1, size)
    response = 8 * np.exp(-np.abs(place[:, None] - place) / 0.3) + random.uniform(1, 5) * np.eye(size)
    return random.uniform(-15, 40, size), response, random.choice([0.0, 0.4, 1.0], size)


@pytest.mark.parametrize("seed", range(40))
def test_the_shares_are_those_of_a_general_purpose_bounded_solver(seed):
    to_solidus, response, liquid = draw(seed)
    # The shares minimise f(S + span)f/2 - f(T + S f0) in the box: as least squares, with the Cholesky factor.
    factor = np.linalg.cholesky(response + SPAN * np.eye(liquid.size)).T
    target = np.linalg.solve(factor.T, to_solidus + response @ liquid)
    general = lsq_linear(factor, target, bounds=(0, 1), tol=1e-14, method="bvls").x
    np.testing.assert_allclose(melt(to_solidus, response, liquid, SPAN), general, atol=1e-7)


@pytest.mark.parametrize("seed", range(40))
def test_each_share_stands_where_its_own_temperature_puts_it(seed):
    to_solidus, response, liquid = draw(seed, size=25)
    share = melt(to_solidus, response, liquid, SPAN)
    temperature = to_solidus - response @ (share - liquid)
    np.testing.assert_allclose(share, np.clip(temperature / SPAN, 0, 1), atol=1e-8)


@pytest.mark.parametrize("seed", range(10))
def test_the_fallback_finds_the_same_shares(seed):
    to_solidus, response, liquid = draw(seed)
    slow = board_melting._gauss_seidel(response + SPAN * np.eye(liquid.size), to_solidus + response @ liquid, liquid)
    np.testing.assert_allclose(slow, melt(to_solidus, response, liquid, SPAN), atol=1e-6)


@pytest.mark.parametrize("seed", [4, 7, 10])
def test_joints_that_hardly_cool_but_together_are_shared_out_by_the_fallback(seed, monkeypatch):
    """Two patterns that all joints take part in: from step to step the active set changes its mind without end."""
    asked, whole = [], board_melting._gauss_seidel
    monkeypatch.setattr(board_melting, "_gauss_seidel", lambda *given: asked.append(1) or whole(*given))
    random = np.random.default_rng(seed)
    size = int(random.integers(3, 14))
    patterns = random.uniform(0, 1, (size, 2))
    response = 30 * patterns @ patterns.T + 1e-3 * np.eye(size)
    to_solidus, liquid = random.uniform(-15, 40, size), random.choice([0.0, 0.4, 1.0], size)
    share = melt(to_solidus, response, liquid, SPAN)
    assert asked
    temperature = to_solidus - response @ (share - liquid)
    np.testing.assert_allclose(share, np.clip(temperature / SPAN, 0, 1), atol=1e-6)


def test_a_joint_that_would_stay_below_solidus_stays_solid_and_one_far_above_melts_whole():
    shares = melt(np.array([-1.0, 60.0]), np.array([[6.0, 1.0], [1.0, 6.0]]), np.zeros(2), SPAN)
    np.testing.assert_array_equal(shares, [0.0, 1.0])


@pytest.mark.parametrize("programme", [SLOW, FAST])
def test_while_the_board_is_heated_melting_makes_no_node_hotter_than_it_would_be_without(programme):
    volumes = assemble(MEDIUM, COARSE)
    dry, wet = (np.array(list(march(volumes, programme, 0.5, melting))) for melting in (False, True))
    heating = programme.times(0.5) <= programme.lift_off
    difference = (wet - dry)[heating]
    assert difference.min() < -3
    assert difference.max() <= 1e-9  # rounding


@pytest.mark.parametrize("programme", [SLOW, FAST])
def test_the_quick_board_too_is_nowhere_heated_by_melting(programme):
    quick = board.reduced(MEDIUM)
    dry, wet = (board.run(quick, programme, melting=melting) for melting in (False, True))
    heating = dry.time <= programme.lift_off
    assert (wet.joints_c - dry.joints_c)[heating].min() < -3
    for name, hotter in [("joints", wet.joints_c - dry.joints_c)] + [
        (place, wet.temperature_c[place] - dry.temperature_c[place]) for place in PLACES
    ]:
        assert hotter[heating].max() < 0.02, name
    # The far board, tens of kelvin away from melting anything, ripples by what eighty patterns cannot say.
    assert max((wet.board_top_c(time) - dry.board_top_c(time)).max() for time in dry.time[heating][::10]) < 0.1


def test_freezing_gives_the_heat_back():
    quick = board.reduced(MEDIUM)
    dry, wet = (board.run(quick, SLOW, melting=melting) for melting in (False, True))
    cooling = (dry.time > SLOW.lift_off) & (dry.hottest_joint_c > 150)
    assert (wet.hottest_joint_c - dry.hottest_joint_c)[cooling].max() > 3
    assert wet.molten_share[-1] == 0


def test_solder_without_latent_heat_melts_unnoticed():
    solder = replace(MEDIUM, solder_latent_heat=0.0)
    dry, wet = (board.simulate(solder, FAST, melting=melting, mesh=COARSE) for melting in (False, True))
    np.testing.assert_allclose(wet.joints_c, dry.joints_c, atol=1e-9)


def test_joints_wait_at_the_melting_range_while_they_melt():
    def time_in_range(record):
        inside = (record.temperature_c["joint centre"] > 216) & (record.temperature_c["joint centre"] < 221)
        return np.count_nonzero(inside & (record.time < SLOW.lift_off))

    quick = board.reduced(MEDIUM)
    assert time_in_range(board.run(quick, SLOW, melting=True)) >= time_in_range(board.run(quick, SLOW)) + 4
