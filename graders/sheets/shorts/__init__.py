"""Exercises on resistance checks of a dead board: the reading, the decision on it, and the search for the short."""

from graders.sheets.shorts import copper, decision, meter, rails

EXERCISES = (*meter.EXERCISES, *decision.EXERCISES, *rails.EXERCISES, *copper.EXERCISES)
