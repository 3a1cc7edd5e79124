"""What an answer can come to: codes for programs, labels for people, and the verdict on one part."""

from dataclasses import dataclass, field
from enum import StrEnum

from workbook import units


class Code(StrEnum):
    """What became of a part. Journals and pages go by the code; people read its label."""

    RIGHT = "right"
    CARRIED_THROUGH = "carried-through"
    PARTLY = "partly"
    SLIP = "slip"
    OTHER_UNIT = "other-unit"
    NOT_RIGHT = "not-right"
    NOT_YET = "not-yet"
    NEEDS_A_LOOK = "needs-a-look"
    BY_HAND = "by-hand"
    MARKED_BY_HAND = "marked-by-hand"
    NOT_HANDED_IN = "not-handed-in"
    DROPPED = "dropped"
    FULL_FOR_ALL = "full-for-all"

    @property
    def label(self) -> str:
        """The words of the code, as tables and marks.csv show them.

        >>> Code.CARRIED_THROUGH.label
        'carried through'
        """
        return self.value.replace("-", " ")

    @classmethod
    def read(cls, written: str) -> "Code":
        """Return the code that was written down: as a code, or as its label, as version 0.1.0 did.

        >>> Code.read("carried through"), Code.read("slip")
        (<Code.CARRIED_THROUGH: 'carried-through'>, <Code.SLIP: 'slip'>)
        """
        return cls(written.replace(" ", "-"))


MEANINGS = {
    Code.RIGHT: "as it should be",
    Code.CARRIED_THROUGH: "right method on an earlier value that was not right",
    Code.PARTLY: "some of it is right",
    Code.SLIP: "a typical slip, named in the remark",
    Code.OTHER_UNIT: "the right size in another unit",
    Code.NOT_RIGHT: "not right, and no slip we know",
    Code.NOT_YET: "no answer yet",
    Code.NEEDS_A_LOOK: "not understood; a person should look",
    Code.BY_HAND: "an answer in words, marked by hand",
    Code.MARKED_BY_HAND: "your instructor gave this mark",
    Code.NOT_HANDED_IN: "the notebook did not come",
}
"""What a code tells a reader. What cohort.toml voids says so in its remark."""


NOT_ANSWERED = f"{MEANINGS[Code.NOT_YET].capitalize()}."
"""The remark of a part without an answer, which says no more than its words."""


def in_short(code: Code) -> str:
    """Say a code to the learner it is about: what follows the comma explains it to an instructor.

    >>> in_short(Code.NOT_RIGHT), in_short(Code.RIGHT)
    ('not right', 'right')
    """
    return "right" if code is Code.RIGHT else MEANINGS[code].split(",")[0]


VOIDED = (Code.DROPPED, Code.FULL_FOR_ALL)
"""The codes of a part that cohort.toml voids: they stand over every other mark."""

BY_HAND_FLAG = "by hand"
IN_THE_CELL = "error in the cell"
"""The flag of an answer whose cell Python could not run."""
CELL_MISSING = "cell missing"


@dataclass(frozen=True)
class Margin:
    """One limit of a design with its own margin: above zero is inside, within ``guard`` of zero is borderline."""

    limit: str
    value: float
    margin: float
    unit: str
    guard: float = 0.0
    advice: str = ""

    @property
    def held(self) -> bool:
        """Whether the limit is held, counting the guard band as held."""
        return self.margin >= -self.guard

    @property
    def borderline(self) -> bool:
        """Whether the margin is smaller than the guard band, to either side."""
        return abs(self.margin) < self.guard

    def told(self) -> str:
        """Say the limit, the value, whether it is held, and by how much."""
        state = "held" if self.held else "missed"
        if self.borderline or self.margin == 0:
            state = "borderline: at the limit, counted as held"
        advice = f" {self.advice}" if self.advice and not self.held else ""
        return (
            f"{self.limit}: {self.value:.4g}{units.shown(self.unit)}, {state}, "
            f"margin {self.margin:+.3g}{units.shown(units.of_difference(self.unit))}.{advice}"
        )


@dataclass(frozen=True)
class Verdict:
    """What one part earned and why. ``flag`` is empty, or why a person should look."""

    part: str
    points: float
    out_of: int
    verdict: Code
    remark: str
    flag: str = ""
    margins: tuple[Margin, ...] = field(default=())

    @property
    def is_automatic(self) -> bool:
        """Whether the points are the judge's, and not a person's to give."""
        return self.flag not in (BY_HAND_FLAG, CELL_MISSING)
