"""The alloys asked for by name are those of the references, and none melts before it begins to."""

import pytest

from workbook.bench.profile import alloys
from workbook.references import load, value


def test_every_alloy_of_the_references_can_be_asked_for():
    solidi = [key for key in load("profile") if key.endswith("_solidus_c")]
    assert len(alloys.alloys()) == len(solidi) == 10


@pytest.mark.parametrize("name", alloys.alloys())
def test_no_alloy_is_liquid_below_its_solidus(name):
    alloy = alloys.alloy(name)
    assert alloy.solidus_c <= alloy.liquidus_c
    assert alloy.is_eutectic == (alloy.solidus_c == alloy.liquidus_c)
    assert 7000 < alloy.density < 9000


@pytest.mark.parametrize(
    ("name", "solidus", "liquidus", "family"),
    [
        ("Sn63Pb37", 183, 183, "SnPb"),
        ("SAC305", 217, 220, "lead-free"),
        ("Sn42Bi58", 138, 138, "lead-free"),
        ("Sn62Pb36Ag2", 179, 179, "SnPb"),
    ],
)
def test_melting_ranges_and_families(name, solidus, liquidus, family):
    alloy = alloys.alloy(name)
    assert (alloy.solidus_c, alloy.liquidus_c, alloy.family) == (solidus, liquidus, family)


def test_the_liquidus_of_the_standard_is_the_eutectic_for_snpb():
    assert alloys.alloy("Sn63Pb37").liquidus_c == value("profile", "liquidus_c_snpb_020d")


def test_an_alloy_that_is_not_there_is_answered_with_those_that_are():
    with pytest.raises(ValueError, match="alloy must be one of Sn63Pb37, .*got 'Sn50Pb50'"):
        alloys.alloy("Sn50Pb50")


def test_melting_a_gram_takes_the_latent_heat_of_a_gram():
    assert alloys.melting_heat(1e-3, value("profile", "sn63pb37_latent_heat")) == pytest.approx(46)
    assert alloys.melting_heat(0, 46e3) == 0
    with pytest.raises(ValueError, match="mass must be at least 0 kg"):
        alloys.melting_heat(-1e-3, 46e3)
