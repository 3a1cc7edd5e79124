"""Exercises on paste, pads and sinks, from one layer to a sink that is fitted, and on joints made of solder paste."""

from graders.sheets.paste import amounts, chain, cleaning, fitting, pads, pinned, sinks, solder

EXERCISES = (
    *chain.EXERCISES,
    *amounts.EXERCISES,
    *pads.EXERCISES,
    *sinks.EXERCISES,
    *solder.EXERCISES,
    *cleaning.EXERCISES,
    *pinned.EXERCISES,
    *fitting.EXERCISES,
)
