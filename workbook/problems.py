"""Known failures of the learner's door, said in one ERROR line and one TIP line with the next step."""

import difflib
from collections.abc import Collection


class Problem(Exception):
    """Something the person at the keyboard can mend. ``tip`` is the next step."""

    def __init__(self, what: str, tip: str = ""):
        super().__init__(what)
        self.tip = tip

    @property
    def in_sentences(self) -> str:
        """What is wrong and the next step, for a page that has no line of its own for each.

        What is wrong may begin with a file's name, and keeps its letters.

        >>> Problem("there is no exercise 'bead-leg'", "is bead-lag meant?").in_sentences
        "there is no exercise 'bead-leg'. Is bead-lag meant?"
        >>> Problem("'abc' is no case.").in_sentences
        "'abc' is no case."
        """
        tip = f"{self.tip[:1].upper()}{self.tip[1:]}"
        return " ".join(_stopped(words) for words in (str(self), tip) if words)


def _stopped(words: str) -> str:
    return words if words.endswith((".", "?", "!")) else f"{words}."


def meant(name: str, there_are: Collection[str]) -> str:
    """Return in words which of the names there are may have been meant.

    >>> meant("bead-leg", ["bead-lag", "read-the-log"])
    'is bead-lag meant?'
    >>> meant("x", ["b", "a"])
    'there are a, b'
    """
    near = difflib.get_close_matches(name, there_are, n=1)
    if near:
        return f"is {near[0]} meant?"
    names = sorted(there_are)
    more = f" and {len(names) - 12} more" if len(names) > 12 else ""
    return f"there are {', '.join(names[:12])}{more}"
