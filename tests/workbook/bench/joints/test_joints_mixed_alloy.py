"""Lead in a mixed joint, from the ball and the print themselves."""

import pytest

from workbook.bench.joints import mixed_alloy
from workbook.bench.paste import solder_ball
from workbook.references import value


def test_the_list_s_joint_from_diameters_and_densities():
    ball = solder_ball.ball_volume(0.60e-3) * value("profile", "sac305_density")
    paste = solder_ball.volume_of_round_print(0.40e-3, 0.12e-3, 0.85)
    metal = 0.5 * paste * value("profile", "sn63pb37_density")
    assert ball * 1e6 == pytest.approx(0.835, abs=0.003)
    assert metal * 1e6 == pytest.approx(0.0538, abs=5e-4)
    lead = mixed_alloy.share_of_element([ball, metal], [0, 0.37]) * 100
    assert lead == pytest.approx(value("joints", "lead_in_mixed_joint_percent"), abs=0.02)
    assert lead > 20 * value("joints", "lead_limit_percent")


def test_melting_begins_at_the_eutectic_of_the_last_pool():
    assert value("joints", "mixed_joint_begins_to_melt_c") == value("profile", "sn62pb36ag2_solidus_c")


def test_a_mixture_of_one_alloy_is_that_alloy():
    assert mixed_alloy.share_of_element([1e-6, 3e-6], [0.37, 0.37]) == pytest.approx(0.37)


def test_nothing_has_no_share():
    with pytest.raises(ValueError, match="sum of the masses"):
        mixed_alloy.share_of_element([0, 0], [0, 0.37])


@pytest.mark.parametrize("shares", [[0.37, 1.01], [-0.01, 0.37]])
def test_no_share_is_below_nothing_or_above_the_whole(shares):
    assert mixed_alloy.share_of_element([1e-6, 3e-6], [0, 1]) == pytest.approx(0.75)
    with pytest.raises(ValueError, match="shares"):
        mixed_alloy.share_of_element([1e-6, 3e-6], shares)
