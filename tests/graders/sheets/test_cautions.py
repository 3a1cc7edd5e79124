"""What can hurt is said where it can: a heated board's cans and batteries, and alcohol beside warmth."""

import pytest

from graders import sheets
from workbook.references import value
from workbook.topics import TOPICS

HOT = [
    pytest.param(exercise.caution, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
    if "hot plates" in exercise.caution.lower()
]


@pytest.mark.parametrize("caution", HOT)
def test_who_is_told_of_hot_plates_is_told_of_all_that_heat_asks_for(caution):
    """Common practice at a rework bench: board dead, fume drawn off, eyes covered, cells and cans off or shielded."""
    asked = ("unplugged", "discharged", "extraction", "eye protection", "Batteries", "supercapacitors", "electrolytic")
    assert [word for word in asked if word not in caution] == []


def test_several_topics_heat_a_board():
    assert len(HOT) > 15


def test_a_board_wet_with_alcohol_is_not_dried_with_warm_air():
    """Isopropyl alcohol's vapour lights from 11.7 °C on (NIOSH Pocket Guide): below any room, and any warm air."""
    assert value("intake", "isopropanol_flash_c") < 20
    wash = next(part for part in sheets.find("paste", "rinse-do-not-smear").parts if part.name == "wash_steps")
    assert "cool" in wash.options["dry"]
    assert "extraction" in wash.options["safe"]
    assert not [words for words in wash.options.values() if "warm" in words or "hot" in words]
