"""The references for thermal profiles keep editions, standings and traps apart."""

import pytest

from workbook.references import entry, load, value

PROFILE = load("profile")
PAIRS = sorted({key.removesuffix("_020c") for key in PROFILE if key.endswith("_020c")} - {"peak_below_class"})


def test_there_are_enough_values_to_work_with():
    assert len(PROFILE) >= 60


@pytest.mark.parametrize("stem", PAIRS)
def test_what_one_edition_says_the_other_says_beside_it(stem):
    older, newer = entry("profile", f"{stem}_020c"), entry("profile", f"{stem}_020d")
    assert older.unit == newer.unit
    assert older.edition != newer.edition
    assert "020C" in older.source
    assert "020D" in newer.source


def test_nothing_quoted_from_a_standard_on_packages_is_called_published():
    for reference in PROFILE.values():
        if "J-STD" in reference.source:
            assert reference.standing in ("published-second-hand", "from-memory"), reference.key


def test_the_cell_layout_that_was_not_seen_says_so():
    assert entry("profile", "class_temperature_snpb_020d").standing == "from-memory"


def test_a_computed_answer_is_never_called_the_answer_of_a_source():
    for reference in PROFILE.values():
        if reference.kind == "answer":
            assert reference.standing in ("published", "published-second-hand"), reference.key


def test_traps_are_marked_in_key_and_kind():
    for key, reference in PROFILE.items():
        assert key.startswith("trap_") == (reference.kind == "trap"), key


def test_limits_of_a_standard_are_exact():
    for key, reference in PROFILE.items():
        if key.endswith(("_020c", "_020d")):
            assert reference.uncertainty == "exact", key


def test_keys_that_end_in_c_are_in_degrees():
    for key, reference in PROFILE.items():
        if key.endswith("_c"):
            assert reference.unit == "°C", key


def test_the_quarter_of_a_diameter_is_a_sixteenth_of_an_area():
    assert (
        entry("profile", "trap_void_by_diameter").value
        == 100 * (entry("profile", "trap_void_by_diameter").printed / 100) ** 2
    )


def test_the_knees_of_the_tolerance_classes_are_where_the_notes_say():
    for name, knee in (("1", 375), ("2", 333)):
        fixed, share = (value("profile", f"type_k_class_{name}_{part}") for part in ("tolerance", "share"))
        assert fixed / share == pytest.approx(knee, abs=0.5)
        assert str(knee) in entry("profile", f"type_k_class_{name}_tolerance").note
