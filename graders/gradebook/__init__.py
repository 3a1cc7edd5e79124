"""The gradebook. The one room that imports nbgrader; another gradebook could stand here."""

from graders.cohort.paths import Cohort
from graders.gradebook.book import Gradebook


def of(cohort: Cohort) -> Gradebook:
    """Return a cohort's gradebook. nbgrader takes two seconds to load, so it is loaded only when it is asked for."""
    from graders.gradebook.nbgrader_book import NbgraderBook

    return NbgraderBook(cohort)
