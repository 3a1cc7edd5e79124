"""The gradebook. The one room that imports nbgrader; another gradebook could stand here."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # nbgrader's own commands enter here; see workbook.command_group

from graders.cohort.paths import Cohort
from graders.gradebook.book import Gradebook


def of(cohort: Cohort) -> Gradebook:
    """Return a cohort's gradebook. nbgrader takes two seconds to load, so it is loaded only when it is asked for."""
    from graders.gradebook.nbgrader_book import NbgraderBook

    return NbgraderBook(cohort)
