"""Exercises on taking a board in: what can hurt before it is touched, and what is known of its past."""

from graders.sheets.intake import air, charge, evidence, handling, whole

EXERCISES = (
    *charge.EXERCISES,
    *handling.EXERCISES,
    *air.EXERCISES,
    *evidence.EXERCISES,
    *whole.EXERCISES,
)
