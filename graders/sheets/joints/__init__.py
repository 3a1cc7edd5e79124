"""Exercises on why solder joints crack and how long they last, from the strain in one joint to a promise."""

from graders.sheets.joints import (
    cut_open,
    fatigue,
    held_down,
    inspection,
    lives,
    mixed,
    plan,
    rates,
    strain,
    weighed_looks,
)

EXERCISES = (
    *strain.EXERCISES,
    *fatigue.EXERCISES,
    *lives.EXERCISES,
    mixed.MIXED_ALLOY,
    inspection.CRACK_AREA,
    cut_open.CUT_OPEN,
    held_down.HELD_DOWN,
    mixed.LOOKS,
    weighed_looks.WEIGHED_LOOKS,
    inspection.RESISTANCE_LOG,
    *rates.EXERCISES,
    plan.TEST_PLAN,
    inspection.GOOD_READING,
)
