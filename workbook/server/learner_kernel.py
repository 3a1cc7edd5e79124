"""The kernel that `workbook open` starts: an error in a cell is one calm, plain line, and the cells after it still run.

Everything else is the ordinary Python kernel, and a notebook needs nothing of this: any other kernel runs it too.
"""

import contextlib
import os
import re
import sys
import time
from html import escape

from ipykernel.ipkernel import IPythonKernel
from ipykernel.kernelapp import IPKernelApp
from IPython.display import display

from workbook.server import cell_history, mistakes

NOTE = (
    '<div style="border-left: 4px solid #c7662b; padding: .2em .8em; line-height: 1.45; '
    'font-family: var(--jp-content-font-family, sans-serif); color: var(--jp-content-font-color1, inherit)">{}</div>'
)


MARKING = "# Marking cell:"

NEEDS_A_CELL_ABOVE = (
    "This cell goes on from one above it that has not run yet. Open the menu Run and choose Run All Cells: "
    "then everything in this lesson is there."
)


def in_a_lesson() -> bool:
    """Whether this kernel serves a lesson: the server names the notebook to the kernels it starts."""
    return "lessons/" in os.environ.get("JPY_SESSION_NAME", "").replace("\\", "/")


class LearnerKernel(IPythonKernel):
    """Says in words what Python could not run."""

    def __init__(self, **settings):
        super().__init__(**settings)
        self.source = ""
        self.failed_above = False
        self.shell.set_custom_exc((Exception,), self._explain)

    async def do_execute(self, code, silent, *arguments, **settings):
        """Execute a cell. Its error is told and does not keep the cells queued behind it from running."""
        self.source = code
        if not silent:
            cell_history.cells.append((time.time(), code))
        with self._points_in_words(code):
            reply = await super().do_execute(code, silent, *arguments, **settings)
        if silent:
            return reply
        if not code.startswith(MARKING):
            self.failed_above = reply["status"] == "error"
        for name, typed in mistakes.decimal_commas(code):
            say(
                f"You wrote {typed} for {name}. Python reads a decimal comma as two numbers. Write a point: "
                f"{typed.replace(',', '.')}"
            )
        if reply["status"] != "error" or reply.get("ename") == "KeyboardInterrupt":
            return reply
        return {"status": "ok", "execution_count": reply["execution_count"], "user_expressions": {}, "payload": []}

    @contextlib.contextmanager
    def _points_in_words(self, code):
        """Show a marking cell's points as the closing check says them. The number stays the cell's result."""
        if not code.startswith(MARKING):
            yield
            return
        html = self.shell.display_formatter.formatters["text/html"]
        html.for_type(float, lambda points: self._marking_line(code))
        try:
            yield
        finally:
            html.pop(float)

    def _marking_line(self, code):
        from graders.desk import marking_line

        words = marking_line.line(code, self.shell.user_ns)
        if words and self.failed_above:
            words = f"The cell above could not be run; this is about what was known before. {words}"
        return NOTE.format(escape(words)) if words else None

    def _publish_status(self, status, channel, parent=None):
        """Say whether the kernel is busy or idle, but not that it is busy while it answers a moved control.

        JupyterLab would draw its toolbar and the page's icon anew for each answer, twice, before the picture.
        """
        if status != "busy" or not is_moved_control(parent or self.get_parent(channel)):
            super()._publish_status(status, channel, parent)

    def _explain(self, shell, kind, error, trace, tb_offset=None):
        """Show the plain line; `%tb` shows Python's own words to whoever reads them."""
        sys.last_type, sys.last_value, sys.last_traceback = kind, error, trace
        if isinstance(error, NameError) and in_a_lesson():
            say(NEEDS_A_CELL_ABOVE)
        else:
            say(mistakes.explain(error, self.source, list(shell.user_ns)))


def is_moved_control(message) -> bool:
    """Whether a message is an explorer's question: its settings come with their number."""
    data = message.get("content", {}).get("data")
    state = data.get("state") if isinstance(data, dict) else None
    settings = state.get("settings") if isinstance(state, dict) else None
    return isinstance(settings, dict) and "_asked" in settings


class LearnerKernelApp(IPKernelApp):
    """Starts the kernel with one thread for all that is asked of it, as every kernel was before subshells.

    JupyterLab else sends what widgets say to a second thread: an explorer would answer in it while the first one makes
    pictures ahead, each waiting for Python's lock, and with one hop more from thread to thread.
    """

    def init_path(self):
        """Let cells import what lies beside the notebook, after Python's libraries and ours, in place of none of them.

        The kernel starts without that folder (``-P``), so that a file in it has no say in how.
        """
        if "" not in sys.path:
            sys.path.append("")

    def init_control(self, context):
        super().init_control(context)
        self.shell_channel_thread = None


def say(words: str) -> None:
    """Show one line in a cell's output."""
    display({"text/html": NOTE.format(_with_code(words)), "text/plain": words}, raw=True)


def _with_code(words: str) -> str:
    """Return words as HTML, with what stands in `back quotes` as code."""
    return re.sub(r"`([^`]+)`", r"<code>\1</code>", escape(words, quote=False))
