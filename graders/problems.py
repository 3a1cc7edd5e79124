"""Known failures of the instructor's door: the learner's kind, said the same way."""

from workbook.problems import Problem

__all__ = ["Problem"]
