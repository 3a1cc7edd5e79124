"""Known failures of the learner's door, said in one ERROR line and one TIP line with the next step."""

import difflib
from collections.abc import Collection


class Problem(Exception):
    """Something the person at the keyboard can mend. ``tip`` is the next step."""

    def __init__(self, what: str, tip: str = ""):
        super().__init__(what)
        self.tip = tip


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
