"""What a sheet is written with: exercises, their givens, the kinds of part, and how near an answer must be."""

from graders.questions.exercise import Case, Exercise
from graders.questions.givens import Fixed, Given, Pick, Quantity, Record
from graders.questions.parts import (
    Acts,
    Choice,
    Design,
    Number,
    Order,
    Part,
    Pointing,
    Setting,
    Several,
    Slip,
    Tolerance,
    Unplayable,
    Worked,
    Written,
    absolute,
    relative,
)
from graders.questions.verdicts import Margin
from workbook.stream import Stream

__all__ = [
    "Acts",
    "Case",
    "Choice",
    "Design",
    "Exercise",
    "Fixed",
    "Given",
    "Margin",
    "Number",
    "Order",
    "Part",
    "Pick",
    "Pointing",
    "Quantity",
    "Record",
    "Setting",
    "Several",
    "Slip",
    "Stream",
    "Tolerance",
    "Unplayable",
    "Worked",
    "Written",
    "absolute",
    "relative",
]
