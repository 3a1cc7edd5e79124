"""The learner's desk inside a notebook: checking answers as they will be marked, and practice."""


def check(name: str) -> None:
    """Check the saved notebook and show what each part would earn. Called by an exercise's closing cell.

    ``name`` is the file name the notebook was printed under; a renamed notebook is found too.
    """
    from graders.desk import closing

    closing.check(name)
