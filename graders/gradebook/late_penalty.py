"""What late work loses in nbgrader's own marking: as much as in ours."""

from nbgrader.plugins import BasePlugin
from traitlets import Float

DAY = 24 * 3600


class LatePenalty(BasePlugin):
    """Takes a share of a notebook's score for each day begun; 1 is all of it."""

    a_day = Float(0.0, help="Share of the score that is lost for each day begun.").tag(config=True)

    def late_submission_penalty(self, student_id: str, score: float, total_seconds_late: float) -> float | None:
        """Return what is taken off a notebook's score, or None where nothing is."""
        days = -(-total_seconds_late // DAY)
        lost = min(1.0, days * self.a_day)
        return score - round(score * (1 - lost), 4) if lost else None
