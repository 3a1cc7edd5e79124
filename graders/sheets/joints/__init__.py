"""Exercises on why solder joints crack and how long they last, from the strain in one joint to a promise."""

from graders.sheets.joints import fatigue, lives, strain

EXERCISES = (*strain.EXERCISES, *fatigue.EXERCISES, *lives.EXERCISES)
