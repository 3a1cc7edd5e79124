"""Exercises on taking a board in: what can hurt before it is touched, and what is known of its past."""

from graders.sheets.intake import air, bake_columns, causes, charge, evidence, handling, marks, whole

EXERCISES = (
    *charge.EXERCISES,
    *handling.EXERCISES,
    bake_columns.BAKE_COLUMNS,
    *air.EXERCISES,
    *marks.EXERCISES,
    *evidence.EXERCISES,
    *causes.EXERCISES,
    *whole.EXERCISES,
)
