"""No band lets in an answer that leaves out what its part teaches: each step of each working is left out in turn."""

import pytest

from graders import sheets
from graders.questions import left_out
from workbook.topics import TOPICS

EXERCISES = [
    pytest.param(topic.slug, exercise, id=f"{topic.slug}/{exercise.id}")
    for topic in TOPICS
    for exercise in sheets.exercises(topic.slug)
]
DRAWS = 20

LAMINATE = "copper conducts a thousand times better than laminate: what is left of the laminate is below any band"
AIR = "air conducts a hundredth of what paste does: what a void still carries is below any band"
START_GAP = "the plates spend nearly all of the time near the end gap: a start fifty times as wide is forgotten"
TRIES = "a step of the way to the root: the tries after it come out at the same place"
FAR_FIELD = "λ/Bi of a sink in air is some hundred times as large as tanh(λ τ), which stands beside it"
FLAT_COLUMN = "C of the table changes by 2 % from row to row, no more than reading ζ between the rows costs"

ALLOWED = {
    "profile/bead-settles": {
        ("reads_c", "/ 2"): TRIES,
        ("reads_c", "* new_2 - try_2"): TRIES,
        ("reads_c", "+ 0.85 * (new_4 - try_4)"): TRIES,
        ("reads_c", "0.85 *"): TRIES,
    },
    "profile/bead-seat": {
        ("reads_soldered", "to_gas +"): "solder leads a thousand times what the gas brings: the two together are solder"
    },
    "profile/copper-planes": {
        ("layer", "+ (1 - coverage / 100) * along"): LAMINATE,
        ("layer", "* along"): LAMINATE,
        ("layer", "1 - coverage / 100 *"): LAMINATE,
        ("layer", "- coverage / 100"): LAMINATE,
        ("along_board", "* along"): LAMINATE,
        ("along_board", "thickness - copper_thick *"): LAMINATE,
        ("along_board", "- copper_thick"): LAMINATE,
        (
            "through_board",
            "copper_thick / copper +",
        ): "the copper in the way resists next to nothing: that is the point",
    },
    "profile/thick-board": {
        ("covered_c", "+ (biot - 0.3) * (1.0701 - 1.045) / (0.5 - 0.3)"): FLAT_COLUMN,
        ("covered_c", "/ 0.5 - 0.3"): FLAT_COLUMN,
        ("covered_c", "- 0.3"): FLAT_COLUMN,
    },
    "paste/bare-patches": {
        ("patchy", "+ (1 - share) * air"): AIR,
        ("patchy", "1 - share *"): AIR,
        ("patchy", "- share"): AIR,
    },
    "paste/read-the-print": {
        ("resistance", "+ (1 - share) * air"): AIR,
        ("resistance", "1 - share *"): AIR,
        ("resistance", "- share"): AIR,
    },
    "paste/time-to-close": {
        (part, step.format(power)): START_GAP
        for part, power in (("full_time", 2), ("half_gap_time", 2), ("blob_time", 4))
        for step in ("- 1 / (start_gap * 0.001) ** {}", "/ (start_gap * 0.001) ** {}", "** {}")
    },
    "paste/heat-spreads-in-the-base": {
        ("spread_resistance", "* below"): FAR_FIELD,
        ("spread_resistance", "tanh(lam * depth) +"): FAR_FIELD,
        ("spread_resistance", "tanh()"): FAR_FIELD,
        ("spread_resistance", "* depth"): FAR_FIELD,
        ("spread_resistance", "lam *"): FAR_FIELD,
    },
    "paste/joint-height": {
        ("height", step): TRIES
        for step in (
            "2 / 3 *",
            "* ball",
            "pi *",
            "** 2",
            "/ 2",
            "(land / 2) ** 2 +",
            "+ (ball_volume - pi * try_1 / 6 * (6 * (land / 2) ** 2 + try_1 ** 2)) "
            "/ (pi * ((land / 2) ** 2 + try_1 ** 2 / 2))",
            "/ pi * ((land / 2) ** 2 + try_1 ** 2 / 2)",
            "* (land / 2) ** 2 + try_1 ** 2 / 2",
            "+ (ball_volume - pi * try_3 / 6 * (6 * (land / 2) ** 2 + try_3 ** 2)) "
            "/ (pi * ((land / 2) ** 2 + try_3 ** 2 / 2))",
            "/ pi * ((land / 2) ** 2 + try_3 ** 2 / 2)",
            "* (land / 2) ** 2 + try_3 ** 2 / 2",
            "+ try_3 ** 2 / 2",
        )
    },
}
"""The steps that no band can tell, on any numbers worth drawing, and why."""


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_on_the_worked_numbers_every_step_left_out_falls_outside_the_band(topic, exercise):
    assert exercise.unnoticed(exercise.worked()) == set(ALLOWED.get(f"{topic}/{exercise.id}", {}))


@pytest.mark.parametrize(("topic", "exercise"), EXERCISES)
def test_no_learner_draws_numbers_that_let_a_step_be_left_out(topic, exercise):
    for number in range(DRAWS):
        drawn = exercise.draw(b"bands", f"learner {number}")
        assert exercise.unnoticed(drawn) <= set(ALLOWED.get(f"{topic}/{exercise.id}", {})), drawn


def test_the_allowed_steps_are_steps_of_a_working():
    for name, steps in ALLOWED.items():
        exercise = sheets.find(*name.split("/"))
        for part, step in steps:
            assert step in {one.step for one in left_out.shortened(exercise.part(part).working)}, (name, step)


def test_every_working_has_a_step_that_is_tried():
    """A working whose steps were not seen would pass the tests above without being tried."""
    read_off = {"discharge-resistor/chosen", "open-hours/bake_time", "mixed-alloy/times_over"}
    read_off |= {"package-rating/lead_free_c", "package-rating/tin_lead_c"}
    read_off |= {"resistance-log/failed_hot", "resistance-log/failed_open", "coverage-factor/factor"}
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            for part, shortened in exercise._shortened.items():
                assert shortened or f"{exercise.id}/{part.name}" in read_off, (exercise.id, part.name)
