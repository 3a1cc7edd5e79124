"""What a bench gives back is short at a prompt: its maps, fields and steps are there to be used, not to be read."""

from dataclasses import fields

import pytest

from workbook.bench.profile.board_family import Family
from workbook.bench.profile.board_pair_station import PairTraces
from workbook.bench.profile.board_reduced import ReducedBoard
from workbook.bench.profile.board_station import Traces
from workbook.bench.shorts.rail import Part, Plane, Solution, Terminals, prepare, solve


@pytest.mark.parametrize(
    ("kind", "left_out"),
    [
        (Terminals, {"fields", "between"}),
        (Solution, {"net"}),
        (Traces, {"map_states", "map_matrix"}),
        (PairTraces, {"map_states", "map_matrix"}),
        (ReducedBoard, {"steppers"}),
        (Family, {"last"}),
    ],
)
def test_what_is_only_worked_with_is_not_shown(kind, left_out):
    assert {one.name for one in fields(kind) if not one.repr} == left_out


def test_a_solved_rail_shows_its_parts_and_numbers_and_no_array():
    plane = Plane((0.01, 0.01), (8, 8), 1e-3)
    solution = solve(prepare(plane, [Part("a", (0.002, 0.002)), Part("b", (0.008, 0.008), 0.1)]), {}, {"a": 1.0})
    shown = repr(solution)
    assert "array" not in shown
    assert "potentials={'a'" in shown
    assert "name='b'" in shown
