"""The learner's door. Each command parses, calls one function and prints."""

from pathlib import Path

import click

from workbook.command_group import Door, NumberRange
from workbook.terminal import echo

PATH = click.Path(path_type=Path)


@click.group(
    cls=Door,
    stopped="What was saved is kept.",
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(package_name="rework-workbook", prog_name="workbook")
def main():
    """Learn, answer, check, practise and hand in."""


@main.command("open")
@click.argument("place", metavar="[FOLDER | HANDOUT]", type=PATH, required=False)
@click.option("--again", metavar="EXERCISE", help="Put a clean copy of this exercise beside the old one.")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@click.option("--port", type=click.IntRange(1, 65535), help="The port to listen on; without it, a free one.")
@click.option("--lay-out-only", is_flag=True, help="Lay the folder out and start nothing.")
def open_(place, again, no_browser, port, lay_out_only):
    """Lay out a folder of lessons and exercises, and start JupyterLab.

    What is there is kept.

    Example: workbook open
    """
    from workbook.server import opening

    opening.open_(place, again, port, browser=not no_browser, start=not lay_out_only, say=echo)


@main.command()
def topics():
    """List the topics and what they build on.

    Example: workbook topics
    """
    from workbook.topics import TOPICS

    for topic in TOPICS:
        builds_on = f"  (builds on {', '.join(topic.builds_on)})" if topic.builds_on else ""
        click.echo(f"{topic.number}  {topic.slug:8} {topic.title}{builds_on}")


@main.command()
@click.argument("notebook", metavar="NOTEBOOK | EXERCISE", type=PATH)
def check(notebook):
    """Check a saved notebook as it would be marked, with its page.

    In your folder the exercise's name is enough: workbook check bead-lag

    Example: workbook check profile/04_bead-lag.ipynb
    """
    from graders.desk import feedback

    for line in feedback.check(notebook):
        echo(line)


@main.command()
@click.option("--topic", help="Practise this topic (its word or number); without, what is due comes first.")
@click.option("--minutes", type=NumberRange(1, 600), help="Stop after the question in which this time is over.")
@click.option("--progress", "show_progress", is_flag=True, help="Show what you practised and what is due.")
@click.option(
    "--case",
    "case_",
    is_flag=False,
    flag_value="",
    metavar="[NUMBER]",
    help="Work a whole board, act by act: this case, else the one you left, else a new one.",
)
@click.option("--own", is_flag=True, help="Ask your instructor's own exercises too; this runs their code.")
def practise(topic, minutes, show_progress, case_, own):
    """Practise with new numbers each time, or work a whole board.

    Example: workbook practise --minutes 20
    """
    from graders.desk import case_terminal, checking, terminal

    if own:
        checking.lend_own(Path.cwd())
    if case_ is not None:
        case_terminal.work(case_ or None)
    elif show_progress:
        terminal.show_progress()
    else:
        terminal.practise(topic, minutes)


@main.command()
@click.argument("folder", type=PATH, required=False)
def progress(folder):
    """Write a page of your own progress, to print.

    Example: workbook progress
    """
    from graders.desk import progress_page
    from workbook.server import folder as folders

    click.echo(f"Progress page: {progress_page.write(folders.learners(folder))}")


@main.command()
@click.argument("folder", type=PATH, required=False)
@click.option("--to", type=PATH, help="The file to write; without, one beside the folder.")
@click.option("--details", is_flag=True, help="Say of every exercise what is open in it.")
def pack(folder, to, details):
    """Pack exercises into one file to hand in; say what is open.

    Example: workbook pack
    """
    from graders.desk import packing

    for line in packing.pack(folder, to, details):
        echo(line)


@main.command()
@click.argument("term", nargs=-1, required=True)
def lookup(term):
    """Find a reference value, or a word or symbol of the glossary.

    Example: workbook lookup liquidus
    """
    from workbook import lookup as finding

    for line in finding.lines(" ".join(term), finding.rules_here(Path.cwd())):
        echo(line)


@main.command()
@click.argument("topic")
@click.option("--to", type=PATH, help="The file to write; without, formulas-TOPIC.html here.")
@click.option("--no-browser", is_flag=True, help="Only write it.")
def formulas(topic, to, no_browser):
    """Write a topic's formulas, units and words on one page, to print.

    Example: workbook formulas profile
    """
    import webbrowser

    from workbook import formulas as page

    place = page.write(topic, to)
    click.echo(f"Formulas, units and words: {place}")
    if not no_browser:
        webbrowser.open(place.resolve().as_uri())


@main.command()
@click.argument("topic")
@click.option("--to", type=PATH, help="The file to write; without, lesson-TOPIC.html here.")
@click.option("--no-browser", is_flag=True, help="Only write it.")
def lesson(topic, to, no_browser):
    """Write a topic's lesson on one page, answers open, to print.

    Example: workbook lesson shorts
    """
    import webbrowser

    from workbook import lesson_page

    echo("The lesson's cells are run: some seconds.")
    place = lesson_page.write(topic, to)
    echo(f"Lesson: {place}")
    if not no_browser:
        webbrowser.open(place.resolve().as_uri())


def _new_board(ctx, option, place):
    """Write a board file to fill in, and stop."""
    if place and not ctx.resilient_parsing:
        from workbook.log import board_file

        board_file.write_template(place)
        echo(f"Board file to fill in: {place}")
        ctx.exit()


@main.command()
@click.argument("file", metavar="FILE.csv", type=PATH)
@click.option("--board", type=PATH, help="Fit the simulated board to the log, by what this file says of yours.")
@click.option(
    "--new-board",
    type=PATH,
    is_eager=True,
    expose_value=False,
    callback=_new_board,
    help="Write such a file to fill in.",
)
@click.option(
    "--limits",
    "name",
    type=click.Choice(["020C-lead-free", "020C-SnPb", "020D-lead-free", "020D-SnPb"]),
    default="020D-lead-free",
    help="Limits to hold it to: edition and alloy family.",
)
@click.option("--class", "class_c", type=NumberRange(150, 300), help="The package's rating, in °C.")
@click.option(
    "--gap",
    type=NumberRange(0.01, 3600),
    default=5.0,
    help="Longest time between two readings that is not a gap, in s.",
)
@click.option("--plot", type=PATH, help="Write the picture to this PNG file.")
def log(file, board, name, class_c, gap, plot):
    """Read a thermocouple log from your own bench: metrics, flags and margins.

    With --board: what the log tells of your board, the next programme with
    its uncertainty, and what one more measurement would tell.

    Example: workbook log board.csv --class 245 --plot board.png
    """
    from workbook.log import reading, verdict

    if board:
        from workbook.log import board_file, own_board

        for line in own_board.lines(own_board.fit(board_file.read(board), file)):
            echo(line)
        return

    found = reading.read(file)
    channels = verdict.judge(found, name, class_c, gap)
    for line in verdict.lines(found, channels):
        echo(line)
    if plot:
        from workbook.panels import log_picture

        log_picture.save_picture(found, channels, plot)
        echo(f"Picture: {plot}")
