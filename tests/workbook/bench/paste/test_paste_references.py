"""The paste table keeps its standings apart: what we computed is not called published."""

import pytest

from workbook.references import load, value

PASTE = load("paste")
TRAPS = sorted(key for key, reference in PASTE.items() if reference.kind == "trap")


def test_traps_are_marked_in_key_and_kind_and_print_something_else_than_what_is_right():
    named_so = [key for key in PASTE if key.startswith("trap_")]
    assert sorted(named_so) == TRAPS
    assert len(TRAPS) == 5
    for key in TRAPS:
        assert PASTE[key].printed != PASTE[key].value


def test_what_we_computed_is_never_called_the_answer_of_a_source():
    for reference in PASTE.values():
        if reference.kind == "answer":
            assert reference.standing in ("published", "published-second-hand"), reference.key


def test_nothing_quoted_from_a_paid_standard_is_called_published():
    standards = ("JESD51", "IPC-7525", "IPC-7095", "J-STD-001D", "J-STD-004")
    for reference in PASTE.values():
        if reference.source.startswith(standards):
            assert reference.standing in ("published-second-hand", "from-memory"), reference.key


def test_keys_that_end_in_c_are_in_degrees_and_in_percent_are_in_percent():
    for key, reference in PASTE.items():
        assert key.endswith("_c") <= (reference.unit == "°C"), key
        assert key.endswith("_percent") <= (reference.unit == "%"), key


@pytest.mark.parametrize("key", TRAPS)
def test_a_trap_is_never_handed_out_as_a_value(key):
    with pytest.raises(ValueError, match="trap"):
        value("paste", key)


def test_constants_nobody_has_seen_printed_stay_from_memory():
    from_memory = {key for key, entry in PASTE.items() if entry.standing == "from-memory"}
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
        assert PASTE[key].standing == "common-practice"


def test_the_four_chip_share_is_a_quarter_of_what_was_printed():
    trap = PASTE["trap_four_chip_w"]
    assert trap.value == pytest.approx(trap.printed / 4)
