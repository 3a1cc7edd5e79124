"""The count of heats, held to the limit that package makers quote."""

import pytest

from workbook.bench.profile import heats
from workbook.references import entry, value


def test_two_sides_one_repair_and_one_reflow_are_over_before_the_start():
    assert heats.heats_left(assembly=2, earlier_repairs=1, planned=1) == -1


def test_a_neighbours_job_counts_where_it_melted_this_part():
    assert heats.heats_left(2, 0, 1) == 0
    assert heats.heats_left(2, 0, 1, neighbours_melts=1) == -1


def test_the_limit_is_three_and_reballing_counts():
    assert heats.heats_left(1, 0, 0) == value("profile", "reflow_cycles_at_most") - 1
    assert "reballing" in value("profile", "reflow_cycles_at_most_counted")
    assert entry("profile", "reflow_cycles_at_most").standing == "published-second-hand"


def test_a_part_that_was_never_assembled_is_refused():
    with pytest.raises(ValueError, match="assembly"):
        heats.heats_left(0, 0, 1)
