"""What both commands, ``workbook`` and ``graders``, do alike: commands in order, known failures in one line."""

import io
import os
import sys

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
        if isinstance(sys.stdout, io.TextIOWrapper):  # what goes into a file or pipe has the system's own letters
            sys.stdout.reconfigure(errors="backslashreplace")  # where these have no Ω it is written \u03a9
        try:
            return super().invoke(ctx)
        except Problem as problem:
            _fail(f"ERROR  {problem}", problem.tip)
        except OSError as error:
            if isinstance(error, BrokenPipeError) and _nobody_reads():
                raise  # `| head` has seen enough: click ends without a word
            where = f" ({error.filename})" if error.filename else ""
            what = f"ERROR  {error.strerror or error}{where}. What was finished is kept."
            _fail(what, "make room or mend the permissions, and run the same command again")
        except (KeyboardInterrupt, EOFError):
            _fail(f"Stopped. {self._stopped}")


def _nobody_reads() -> bool:
    """Whether it is our own output whose reader has gone, and not another process of ours."""
    try:
        click.echo()
    except OSError:
        return True
    return False


def _fail(line: str, tip: str = ""):
    from workbook.terminal import printable

    click.echo(printable(line), err=True)
    if tip:
        click.echo(printable(f"TIP    {tip}"), err=True)
    sys.exit(COULD_NOT)
