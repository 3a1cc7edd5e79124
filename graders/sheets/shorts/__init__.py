"""Exercises on resistance checks of a dead board: the reading, the decision on it, and the search for the short."""

from graders.sheets.shorts import copper, decision, finding, meter, plan, rails, search

EXERCISES = (
    *meter.EXERCISES,
    *decision.EXERCISES,
    *rails.EXERCISES,
    *copper.EXERCISES,
    *search.EXERCISES,
    *plan.EXERCISES,
    *finding.EXERCISES,
)
