"""The references for short checks keep standings apart, mark their traps, and agree with what the functions assume."""

import inspect
from pathlib import Path

import pytest

from workbook.bench.shorts import decision, junctions, meter, solvent
from workbook.references import BadReference, load, table, value

SHORTS = load("shorts")
BENCH_TESTS = Path(__file__).parents[1] / "bench" / "shorts"


def default(function, parameter):
    return inspect.signature(function).parameters[parameter].default


def test_there_are_enough_values_to_work_with():
    assert len(SHORTS) >= 55


def test_every_answer_and_every_table_of_numbers_is_held_by_a_test_of_the_bench():
    tests = "".join(file.read_text(encoding="utf-8") for file in BENCH_TESTS.glob("test_*.py"))
    loose = [key for key, reference in SHORTS.items() if reference.kind == "answer" and f'"{key}"' not in tests]
    assert not loose


def test_a_computed_answer_is_never_called_the_answer_of_a_source():
    for reference in SHORTS.values():
        if reference.kind == "answer":
            assert reference.standing in ("published", "published-second-hand"), reference.key


@pytest.mark.parametrize("body", ["IPC-", "AEC-Q200", "AIAG", "NBS"])
def test_nothing_quoted_from_a_document_that_was_not_seen_is_called_published(body):
    quoted = [reference for reference in SHORTS.values() if body in reference.source]
    assert quoted
    assert not [reference.key for reference in quoted if reference.standing == "published"]


def test_readings_of_rails_are_never_more_than_common_practice():
    for key, reference in SHORTS.items():
        if key.startswith("rail_readings") or key in ("dead_short_limit", "reference_share", "contact_scatter"):
            assert reference.standing == "common-practice", key


def test_a_trap_differs_from_what_is_right_and_is_no_value_to_use():
    traps = [reference for reference in SHORTS.values() if reference.kind == "trap"]
    assert len(traps) >= 7
    for trap in traps:
        assert trap.printed != trap.value
        with pytest.raises(BadReference):
            value("shorts", trap.key)


def test_what_functions_assume_is_what_the_references_say():
    assert default(decision.verdict, "limit") == value("shorts", "dead_short_limit")
    assert default(decision.reading_uncertainty, "contact") == value("shorts", "contact_scatter")
    assert default(decision.holds_to_reference, "share") == value("shorts", "reference_share")
    assert default(junctions.leakage_when_warm, "doubling") == value("shorts", "leakage_doubling")
    assert default(solvent.drying_time, "latent_heat") == value("shorts", "isopropyl_latent_heat")


def test_sources_disagree_about_rails_so_that_no_limit_fits_all():
    """Common practice: a core rail that one source calls normal is what another calls a short."""
    core = table("shorts", "rail_readings_graphics")["core"]
    assert core["lowest"] < value("shorts", "dead_short_limit") < core["highest"]
    assert min(value("shorts", "rail_readings_one_board")) < 10


def test_one_hand_meter_turns_junctions_on_and_the_other_does_not():
    off = value("shorts", "junction_off_ohmmeter")
    assert value("shorts", "hand_meter_400_ohm")[3] < off < value("shorts", "hand_meter_200_ohm")[3]


def test_test_leads_alone_pass_for_most_of_a_dead_short():
    least, most = value("shorts", "test_leads")
    assert least > meter.accuracy_limit(0.0, *value("shorts", "hand_meter_200_ohm")[:3]) - 1e-12
    assert most < value("shorts", "dead_short_limit")


def test_alcohol_burns_below_room_temperature():
    assert value("shorts", "isopropyl_flash_point_c") < 20 < value("shorts", "isopropyl_boiling_point_c")
