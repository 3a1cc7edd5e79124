"""The paste table keeps its standings apart: what we computed is not called published."""

import pytest

from workbook.references import load, value

TRAPS = [
    "chip_epoxy_aluminium_trap_c",
    "disc_on_block_trap_c",
    "four_chip_trap_w",
    "spreading_law_trap",
    "stefan_force_trap",
]


def test_every_trap_says_what_is_printed_and_what_is_right():
    traps = {key: entry for key, entry in load("paste").items() if entry.kind == "trap"}
    assert sorted(traps) == TRAPS
    for entry in traps.values():
        assert entry.printed != entry.value


@pytest.mark.parametrize("key", TRAPS)
def test_a_trap_is_never_handed_out_as_a_value(key):
    with pytest.raises(ValueError, match="trap"):
        value("paste", key)


def test_constants_nobody_has_seen_printed_stay_from_memory():
    from_memory = {key for key, entry in load("paste").items() if entry.standing == "from-memory"}
    assert {
        "bond_line_scaling_coefficient",
        "bond_line_scaling_exponent",
        "flux_halide_bands_percent",
        "half_space_even_flux",
        "psi_jt",
        "silicon_aluminium_bare",
        "void_rise_percent",
    } <= from_memory


def test_rules_without_a_source_are_common_practice():
    for key in ("pad_size", "pads_new", "cleaning_before_fitting", "lidless_package", "soldered_pin_sink"):
        assert load("paste")[key].standing == "common-practice"


def test_the_four_chip_share_is_a_quarter_of_what_was_printed():
    trap = load("paste")["four_chip_trap_w"]
    assert trap.value == pytest.approx(trap.printed / 4)
