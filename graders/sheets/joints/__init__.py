"""Exercises on why solder joints crack and how long they last, from the strain in one joint to a promise."""

from graders.sheets.joints import fatigue, inspection, lives, plan, rates, strain

EXERCISES = (
    *strain.EXERCISES,
    *fatigue.EXERCISES,
    *lives.EXERCISES,
    inspection.CRACK_AREA,
    inspection.RESISTANCE_LOG,
    *rates.EXERCISES,
    plan.TEST_PLAN,
    inspection.GOOD_READING,
)
