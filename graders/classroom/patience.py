"""How often a learner may send what is not sound: each by themselves, so that nobody's rubbish costs another."""

from collections import deque
from collections.abc import Callable
from math import ceil
from time import monotonic

MOST_UNSOUND = 20
WITHIN = 600.0
"""Seconds."""


class Patience:
    """Who sends what just now, and who has lately sent too much that was not sound."""

    def __init__(self, now: Callable[[], float] = monotonic):
        self._now = now
        self._busy: set[str] = set()
        self._unsound: dict[str, deque[float]] = {}

    def begin(self, learner: str) -> str:
        """Let a learner send one parcel, or return in words why not."""
        if learner in self._busy:
            return "Another file of yours is being looked at. Wait for its receipt, then hand in again."
        lately = self._unsound.get(learner, deque())
        while lately and self._now() - lately[0] > WITHIN:
            lately.popleft()
        if len(lately) >= MOST_UNSOUND:
            minutes = ceil((WITHIN - (self._now() - lately[0])) / 60)
            return (
                f"{len(lately)} files of yours held nothing that could be taken. Look at what you send, "
                f"and hand in again in {minutes} minutes. Your file is as it was."
            )
        self._busy.add(learner)
        return ""

    def end(self, learner: str, sound: bool) -> None:
        """Note that a parcel has been looked at."""
        self._busy.discard(learner)
        if sound:
            self._unsound.pop(learner, None)
        else:
            self._unsound.setdefault(learner, deque()).append(self._now())
