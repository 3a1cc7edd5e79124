"""Run a learner's own notebook in this process, in a namespace of its own, on any system.

No fork, no signal, no second kernel: a thread for each cell, stopped from outside when its time is over. It protects
nothing, and is for the learner's own notebook only.
"""

import ast
import asyncio
import builtins
import contextlib
import ctypes
import inspect
import io
import os
import sys
import tempfile
import threading
import time

import numpy  # noqa: F401  (before the reader of answers, which knows numpy's numbers only if numpy is there)

from graders.runner.inside.answers import read
from graders.runner.job import USUAL, Cell, CellOutcome, Limits, Sheet, SheetOutcome, not_reached
from workbook.server import mistakes

PATIENCE = 4
"""How often a cell that is over its time is told to stop, half a second apart, before it is left behind."""


class TookTooLong(BaseException):
    """Raised in a cell from outside. Not an Exception, so that a cell's own handling lets it through."""


def run(sheet: Sheet, limits: Limits = USUAL) -> SheetOutcome:
    """Run a sheet's cells in order, and read the names its marking cells ask for. Shows and prints nothing."""
    namespace = _namespace()
    over = time.monotonic() + limits.sheet_seconds
    done: list[CellOutcome] = []
    with _quiet():
        for cell in sheet.cells:
            if cell.report:
                values, reasons = read(namespace, cell.report, limits.answer_items, limits.answer_text)
                done.append(CellOutcome("reported", [], values, reasons))
                continue
            left = over - time.monotonic()
            if left <= 0:
                return not_reached(sheet, "time", tuple(done))
            job = _Job(cell, namespace)
            if not job.finish(min(limits.cell_seconds, left)):
                return not_reached(sheet, "time", (*done, job.outcome()))
            done.append(job.outcome())
    return SheetOutcome(sheet.name, tuple(done), "finished")


class _Job:
    """One cell in its thread."""

    def __init__(self, cell: Cell, namespace: dict):
        self.cell, self.namespace = cell, namespace
        self.error: BaseException | None = None
        self.stopped = False
        self.thread = threading.Thread(target=self._work, daemon=True)

    def _work(self) -> None:
        try:
            _execute(self.cell.source, self.namespace)
        except BaseException as error:
            self.error = error

    def finish(self, seconds: float) -> bool:
        """Wait for the cell, stop it when its time is over, and return whether it came to an end."""
        self.thread.start()
        try:
            self._wait(seconds)
        except KeyboardInterrupt:
            self._stop()
            raise
        for _ in range(PATIENCE):
            if not self.thread.is_alive():
                break
            self.stopped = True
            self._stop()
            self._wait(0.5)
        return not self.thread.is_alive()

    def _wait(self, seconds: float) -> None:
        """Join in short steps, because on Windows a long one cannot be interrupted from the keyboard."""
        over = time.monotonic() + seconds
        while self.thread.is_alive() and (left := over - time.monotonic()) > 0:
            self.thread.join(min(0.1, left))

    def _stop(self) -> None:
        ident = ctypes.c_ulong(self.thread.ident)
        ctypes.pythonapi.PyThreadState_SetAsyncExc(ident, ctypes.py_object(TookTooLong))

    def outcome(self) -> CellOutcome:
        if self.stopped:
            return CellOutcome("stopped", [_output("TookTooLong", "This cell takes too long and was stopped.")])
        if self.error is None:
            return CellOutcome("ok")
        words = mistakes.explain(self.error, self.cell.source, list(self.namespace))
        return CellOutcome("error", [_output(type(self.error).__name__, words)])


def _output(name: str, words: str) -> dict:
    return {"output_type": "error", "ename": name, "evalue": words, "traceback": [words]}


def _execute(source: str, namespace: dict) -> None:
    """Execute one cell as a kernel does: line by line of the tree, so that what stands before a bad line counts."""
    tree = ast.parse(_plain_python(source), mistakes.CELL)
    for node in tree.body:
        code = compile(
            ast.Module([node], []), mistakes.CELL, "exec", flags=ast.PyCF_ALLOW_TOP_LEVEL_AWAIT, dont_inherit=True
        )
        waiting = eval(code, namespace)
        if inspect.iscoroutine(waiting):
            asyncio.run(waiting)


def _plain_python(source: str) -> str:
    """Turn what only a notebook understands (%magics, !commands, help?) into calls of `_Kernel`."""
    from IPython.core.inputtransformer2 import TransformerManager

    return TransformerManager().transform_cell(source)


class _Kernel:
    """What ``get_ipython()`` gives inside a check: timing runs its line, other magics do nothing, commands refuse."""

    def __init__(self, namespace: dict):
        self.namespace = namespace

    def run_line_magic(self, name: str, line: str, *_):
        if name == "time":
            _execute(line, self.namespace)

    def run_cell_magic(self, name: str, line: str, body: str, *_):
        if name in ("time", "capture"):
            _execute(body, self.namespace)

    def system(self, *_):
        raise PermissionError("Shell commands are not run where notebooks are marked.")

    getoutput = system


def _no_input(*_):
    raise RuntimeError("A marked notebook cannot ask questions.")


def _namespace() -> dict:
    from IPython.display import display

    space = {"__name__": "__main__", "__doc__": None, "__builtin__": builtins, "__builtins__": builtins}
    kernel = _Kernel(space)
    space.update(get_ipython=lambda: kernel, input=_no_input, display=display)
    return space


class _Nowhere(io.TextIOBase):
    """Takes any text and keeps none."""

    def write(self, text):
        return len(text)

    def writable(self):
        return True


@contextlib.contextmanager
def _quiet():
    """Let nothing of the run be seen or kept: not its prints, displays and figures, nor its folder."""
    with (
        contextlib.redirect_stdout(_Nowhere()),
        contextlib.redirect_stderr(_Nowhere()),
        _no_display(),
        _scratch_folder(),
        _own_figures(),
    ):
        yield


@contextlib.contextmanager
def _no_display():
    """Swap what ``display`` publishes to, where a kernel is running."""
    from IPython.core.displaypub import CapturingDisplayPublisher
    from IPython.core.getipython import get_ipython

    shell = get_ipython()
    if shell is None:
        yield
        return
    publisher, shell.display_pub = shell.display_pub, CapturingDisplayPublisher()
    try:
        yield
    finally:
        shell.display_pub = publisher


@contextlib.contextmanager
def _scratch_folder():
    """Work in an empty folder, as marking does: a file beside the notebook is not there when it is marked."""
    home = os.getcwd()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(home)


@contextlib.contextmanager
def _own_figures():
    """Close the figures the run opened and put the settings of plots back; a check opens no window."""
    before = _open_figures()
    settings = dict(sys.modules["matplotlib"].rcParams) if "matplotlib" in sys.modules else None
    try:
        yield
    finally:
        for number in _open_figures() - before:
            sys.modules["matplotlib.pyplot"].close(number)
        if settings is not None:
            dict.update(sys.modules["matplotlib"].rcParams, settings)


def _open_figures() -> set[int]:
    return set(sys.modules["matplotlib.pyplot"].get_fignums()) if "matplotlib.pyplot" in sys.modules else set()
