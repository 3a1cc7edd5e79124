"""Four-point probes, held to the note on their corrections, to sums of images, and to the limits of geometry."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.shorts import copper, probing
from workbook.references import entry, table, value


def factor_by_images(ratio):
    """Round sheet by the method of images: each current probe has one image at the inverse point of the circle."""
    radius = ratio / 2
    inner = np.array([-0.5, 0.5])
    potential = np.zeros(2)
    for place, sign in ((-1.5, 1), (1.5, -1)):
        for source in (place, radius**2 / place):
            potential -= sign * np.log(np.abs(inner - source)) / (2 * np.pi)
    return 1 / (potential[0] - potential[1])


def test_wide_sheet():
    """Published: pi/ln 2."""
    printed = entry("shorts", "four_point_factor")
    assert probing.four_point_factor() == pytest.approx(printed.value, abs=printed.uncertainty)
    assert probing.four_point_factor() == pytest.approx(np.pi / np.log(2))


@pytest.mark.parametrize(("ratio", "row"), table("shorts", "four_point_circle").items())
def test_round_sheet(ratio, row):
    """Computed: circle images."""
    assert probing.four_point_factor(float(ratio)) == pytest.approx(row["factor"], abs=5.1e-5)


@given(st.floats(3.0001, 1e3))
def test_round_sheet_is_the_sum_of_its_images(ratio):
    assert probing.four_point_factor(ratio) == pytest.approx(factor_by_images(ratio), rel=1e-9)


@given(st.floats(3, 1e3), st.floats(1.001, 10))
def test_a_wider_sheet_has_a_larger_factor(ratio, wider):
    assert probing.four_point_factor(ratio) < probing.four_point_factor(ratio * wider) < probing.four_point_factor()


def test_probes_on_the_rim_halve_the_factor():
    """At three spacings the outer probes touch the rim: each feeds a half plane, and doubles the voltage."""
    assert probing.four_point_factor(3) == pytest.approx(probing.four_point_factor() / 2)


def test_probes_beyond_the_rim_are_refused():
    with pytest.raises(ValueError, match="probe spacing over diameter"):
        probing.four_point_factor(2.9)


def test_a_thin_sheet_needs_no_correction():
    assert probing.thickness_correction(0.0) == pytest.approx(1.0)
    assert probing.thickness_correction(0.0348) == pytest.approx(1.0, abs=5e-4)


def test_a_thick_block_gives_its_resistivity_from_the_spacing_alone():
    """On a half space the resistivity is 2 pi s V/I."""
    spacing, thickness = 1e-3, 0.1
    sheet = probing.probed_sheet_resistance(1.0, 1.0, np.inf, thickness / spacing)
    assert sheet * thickness == pytest.approx(2 * np.pi * spacing, rel=1e-6)


@given(st.floats(0.01, 50))
def test_the_correction_is_that_of_the_note(ratio):
    """Published: note on finite-size corrections, rev. 7 (2004), ln 2 over the logarithm of two sinh's quotient."""
    noted = np.log(2) / np.log(np.sinh(ratio) / np.sinh(ratio / 2))
    assert probing.thickness_correction(ratio) == pytest.approx(noted, rel=1e-9)


def test_the_probe_reads_the_plane_that_the_logarithm_makes():
    """Two outer probes in an endless sheet, voltage between the inner ones by superposition."""
    sheet = 0.4954e-3
    volts = 2 * copper.plane_drop(1.0, sheet, 1e-3, 2e-3)
    assert volts == pytest.approx(109.3e-6, abs=0.1e-6)
    assert probing.probed_sheet_resistance(volts, 1.0) == pytest.approx(sheet)


def test_forgetting_the_finite_disc_reads_nine_per_cent_high():
    """Computed: factor 4.171 at ten spacings."""
    wide, disc = (probing.probed_sheet_resistance(109.3e-6, 1.0, ratio) for ratio in (np.inf, 10))
    assert wide / disc == pytest.approx(1.087, abs=5e-4)


def test_a_warm_joint_reads_like_a_plane():
    """Published second-hand: a guide to a nanovoltmeter, 5 uV/K for copper against solder; the trap prints mV."""
    seebeck = value("shorts", "thermal_emf_copper_solder")
    middle_of_plane = copper.plane_drop_between(1.0, 0.4954e-3, 60e-3, 30e-3, 5e-3)
    assert probing.thermal_emf(seebeck, 5.0) == pytest.approx(middle_of_plane, rel=0.1)
    assert entry("shorts", "thermal_emf_unit").kind == "trap"


@given(st.floats(-1, 1), st.floats(-1, 1))
def test_reversal_cancels_any_offset(true, offset):
    assert probing.reversed_difference(true + offset, offset - true) == pytest.approx(true, abs=1e-12)


@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(-1, 1))
def test_three_readings_cancel_a_steady_drift_too(true, offset, drift):
    readings = (offset + true, offset + drift - true, offset + 2 * drift + true)
    assert probing.drift_free(*readings) == pytest.approx(true, abs=1e-12)


def test_two_readings_do_not_cancel_drift():
    assert probing.reversed_difference(1.0, -1.0 + 0.5) != pytest.approx(1.0)
