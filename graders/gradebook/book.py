"""What a gradebook must be able to do, so that another one than nbgrader's could stand here."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Protocol

from graders.cohort.roster import Learner
from graders.gradebook.manual_marks import ByPart, ManualMark
from graders.questions.verdicts import Verdict


@dataclass(frozen=True)
class Marked:
    """One learner's topic as it goes into the gradebook: verdicts by notebook name, part by part.

    ``stands`` are the verdicts of notebooks that are not marked now, for a gradebook that does not have them.
    ``bases`` is what stands under marks by hand now, ``bases_before`` what stood when it was last marked, and
    ``given_before`` what marks by hand were noted then to be given for; ``voided_before`` are the exercises and parts
    that were voided then.
    """

    learner: str
    topic: str
    notebooks: dict[str, tuple[Verdict, ...]]
    when: datetime | None = None
    bases: ByPart = field(default_factory=dict)
    stands: dict[str, tuple[Verdict, ...]] = field(default_factory=dict)
    bases_before: ByPart = field(default_factory=dict)
    given_before: ByPart = field(default_factory=dict)
    voided_before: frozenset[tuple[str, str]] = frozenset()


class Refused(Exception):
    """What the gradebook would not take of one learner's topic, in a few words; it is as it was before."""


class Gradebook(Protocol):
    """One cohort's gradebook."""

    def register(self, topics: Iterable[str]) -> None:
        """Tell the gradebook what is asked in these topics."""

    def make_whole(self, topics: Iterable[str]) -> bool:
        """Tell a gradebook that is new or empty what is asked, and return whether that was needed."""

    def topics(self) -> set[str]:
        """Return the topics it was told of; none of a new or empty one."""

    def add_learners(self, learners: Iterable[Learner]) -> None:
        """Put learners in; one who is there already gets the name of the roster."""

    def names(self) -> dict[str, str]:
        """Return the names of the learners in the gradebook, by id."""

    def marking(self) -> AbstractContextManager[Callable[[Sequence[Marked]], list[ByPart]]]:
        """Open the gradebook for a marking, and give a function that writes some marks whole or not at all.

        It returns, for each of what was written, what the marks by hand that stand there were given for. It raises
        Refused where something in these marks cannot be written; what is wrong with the gradebook itself is a Problem.
        """

    def by_hand(self) -> dict[tuple[str, str, str, str], ManualMark]:
        """Return scores and comments given by hand, by learner, topic, exercise and part."""

    def marked(self) -> set[tuple[str, str]]:
        """Return the learners and topics it holds marks of."""

    def parts(self, of: Collection[tuple[str, str]]) -> set[tuple[str, str, str, str]]:
        """Return every part (learner, topic, exercise, part) it holds of these learners and topics."""

    def snapshot(self, to: Path) -> None:
        """Write a copy of it as it stands at one moment, whoever uses it meanwhile."""

    def give(self, place: tuple[str, str, str, str], score: float | None, comment: str) -> bool:
        """Set score and comment by hand on one part, also to none: both, or neither where it returns that it cannot."""

    def put_back(self, marks: Mapping[tuple[str, str, str, str], ManualMark]) -> None:
        """Set scores and comments by hand on the parts it holds; the others are passed over."""
