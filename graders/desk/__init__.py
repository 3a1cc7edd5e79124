"""The learner's desk inside a notebook: checking answers as they will be marked, and practice."""


def check(name: str) -> None:
    """Check the saved notebook and show what each part would earn. Called by an exercise's closing cell.

    ``name`` is the file name the notebook was printed under; a renamed notebook is found too.
    """
    from graders.desk import check_cell

    check_cell.check(name)


def contents() -> None:
    """Show the first page of the learner's folder, as it is now."""
    from pathlib import Path

    from IPython.display import display

    from graders.desk import classroom, progress_page
    from workbook import progress
    from workbook.server import contents as page
    from workbook.server import folder

    done = progress.read()
    shown = page.of(Path.cwd(), done.events)
    if folder.is_learners(Path.cwd()):
        progress_page.write(Path.cwd())
    told = page.html(shown, done.said, classroom.is_here())
    display({"text/html": told, "text/plain": page.text(shown, done.said)}, raw=True)


def practise() -> None:
    """Show the practice desk: questions with new numbers, hints, and the working at the end."""
    from IPython.display import display

    from graders.desk import widget

    display(widget.desk())


def hand_in() -> None:
    """Pack the learner's exercises, hand them in to the classroom, and say what became of it."""
    from pathlib import Path

    from graders.desk import classroom
    from workbook.problems import Problem

    try:
        for line in classroom.hand_in(Path.cwd()):
            print(line)
    except Problem as problem:
        print(*filter(None, (str(problem), problem.tip)), sep="\n")
