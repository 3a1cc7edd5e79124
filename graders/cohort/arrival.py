"""When work came in, as nbgrader's timestamp file beside it says."""

from datetime import UTC, datetime

from dateutil import parser

from graders.cohort.paths import Cohort


def handed_in(cohort: Cohort, learner: str, topic: str) -> datetime | None:
    """Return when a topic came in, in UTC without saying so, or None where it is not said or not readable."""
    try:
        text = (cohort.submitted(learner, topic) / "timestamp.txt").read_text(encoding="utf-8").strip()
        moment = parser.parse(text) if text else None
    except (OSError, ValueError, OverflowError):
        return None
    return moment.astimezone(UTC).replace(tzinfo=None) if moment is not None and moment.tzinfo else moment
