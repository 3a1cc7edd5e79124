"""What a sheet is written with: exercises, their givens, the kinds of part, and how near an answer must be."""

from graders.questions.exercise import Case, Exercise
from graders.questions.givens import Fixed, Given, Pick, Quantity, Record
from graders.questions.parts.acts import Acts, Unplayable, Worked
from graders.questions.parts.base import Part
from graders.questions.parts.design import Design, Setting
from graders.questions.parts.number import Number, Slip
from graders.questions.parts.order import Order
from graders.questions.parts.tolerance import Tolerance, absolute, relative
from graders.questions.parts.words import Choice, Pointing, Several
from graders.questions.parts.written import Written
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
