"""Blur and pixels at the joint, held to the published form on the detector."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.joints import x_ray
from workbook.references import value


@given(st.floats(0.5, 500), st.floats(1, 200), st.floats(100, 1000))
def test_the_blur_on_the_detector_is_spot_times_far_over_near(spot, magnification, detector_mm):
    """F d / (D - d), second-hand: D from source to detector, d from joint to detector."""
    near = detector_mm / magnification
    on_detector = spot * (detector_mm - near) / near
    assert x_ray.unsharpness_at_joint(spot, magnification) * magnification == pytest.approx(on_detector, abs=1e-9)


def test_figures_of_the_references():
    ours = [x_ray.unsharpness_at_joint(5e-6, 20) * 1e6, x_ray.pixel_at_joint(100e-6, 20) * 1e6]
    assert ours == pytest.approx(value("joints", "x_ray_blur_um"))


def test_more_magnification_shrinks_the_pixel_and_not_the_blur():
    assert x_ray.pixel_at_joint(100e-6, 200) == pytest.approx(x_ray.pixel_at_joint(100e-6, 20) / 10)
    assert x_ray.unsharpness_at_joint(5e-6, 200) > x_ray.unsharpness_at_joint(5e-6, 20)


def test_a_picture_smaller_than_the_joint_is_refused():
    with pytest.raises(ValueError, match="magnification"):
        x_ray.unsharpness_at_joint(5e-6, 0.5)
