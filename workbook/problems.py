"""Known failures of the learner's door, said in one ERROR line and one TIP line with the next step."""


class Problem(Exception):
    """Something the person at the keyboard can mend. ``tip`` is the next step."""

    def __init__(self, what: str, tip: str = ""):
        super().__init__(what)
        self.tip = tip
