"""What both commands, ``workbook`` and ``graders``, do alike: commands in order, known failures in one line."""

import contextlib
import io
import os
import sys
from collections.abc import Iterator

import click

ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
"""Our systems of equations are small: several threads only wait for one another, on a busy machine for seconds."""

for _name, _value in ONE_THREAD.items():
    os.environ.setdefault(_name, _value)  # before numpy is imported by what a command calls

COULD_NOT, WRONG_USAGE = 1, 2


class NumberRange(click.FloatRange):
    """A number within bounds; ``nan`` is within none."""

    def convert(self, value, param, ctx):
        number = super().convert(value, param, ctx)
        if number != number:
            self.fail(f"{value!r} is no number.", param, ctx)
        return number


class Door(click.Group):
    """A group of commands in the order they are written, whose known failures are one ERROR and one TIP line."""

    def __init__(self, *arguments, stopped: str = "What was finished is kept.", **named):
        super().__init__(*arguments, **named)
        self._stopped = stopped

    def list_commands(self, ctx):
        return list(self.commands)

    def invoke(self, ctx):
        from workbook.problems import Problem
        from workbook.quick_start import without_grammar

        without_grammar()
        try:
            with _told():
                return super().invoke(ctx)
        except Problem as problem:
            _fail(f"ERROR  {problem}", problem.tip)
        except OSError as error:
            where = f" ({error.filename})" if error.filename else ""
            what = f"ERROR  {error.strerror or error}{where}. What was finished is kept."
            _fail(what, "make room or mend the permissions, and run the same command again")
        except (KeyboardInterrupt, EOFError):
            _fail(f"Stopped. {self._stopped}")


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """Let what is printed be written with the system's letters, and be dropped where nobody reads it any more."""
    from workbook.terminal import Pipe

    said = sys.stdout
    if isinstance(said, io.TextIOWrapper):
        said.reconfigure(errors="backslashreplace")  # where these have no Ω it is written \u03a9
        if not said.isatty():
            with contextlib.suppress(OSError):  # under a test it is no file of the system
                sys.stdout = Pipe.instead_of(said)
    try:
        yield
    finally:
        told, sys.stdout = sys.stdout, said
        told.flush()


def _fail(line: str, tip: str = ""):
    from workbook.terminal import printable

    click.echo(printable(line), err=True)
    if tip:
        click.echo(printable(f"TIP    {tip}"), err=True)
    sys.exit(COULD_NOT)
