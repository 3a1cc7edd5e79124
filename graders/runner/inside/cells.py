"""Run the cells of a notebook as a kernel would, and report each in one line of JSON as soon as it is done."""

import ast
import base64
import builtins
import getpass
import importlib
import json
import os
import pkgutil
import re
import resource
import signal
import sys
import time

from IPython.core.displayhook import DisplayHook
from IPython.core.displaypub import DisplayPublisher
from IPython.core.error import StdinNotImplementedError
from IPython.core.interactiveshell import InteractiveShell
from IPython.core.pylabtools import select_figure_formats
from traitlets import Type
from traitlets.config import Config

from . import CUT_SHORT, FINISHED, OUT_OF_TIME, answers

TYPE_CHECKING = False  #: a checker of types takes it for true; nothing more is imported here for types
if TYPE_CHECKING:
    from collections.abc import Iterable
    from types import CodeType, TracebackType
    from typing import Any

    Output = dict[str, Any]
    Numbered = tuple[int, dict[str, Any]]

OVERHEAD = 200  #: bytes counted for an output, however small, so that a flood of empty ones ends too
MUCH_MEMORY = 64_000  #: kB that a sheet may take, and another still run after it in the same process

encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode


#: What the shell reads in its own way: magics, commands, help, prompts, escapes and space at the head.
SHELL_SYNTAX = re.compile(r"[%!?]|In \[|>>>|\.\.\.:|^\s*[,;/]|\A\s", re.MULTILINE)
#: In a single line it reads bare names in its own way, too, but not in one that assigns.
LINES_OR_ASSIGNMENT = re.compile(r"[^\n]+\n\s*\S|[a-z_]\w* = [^\n]+\n?\Z")


def as_it_is(source: str) -> str:
    """Return a cell with its last line ended, or nothing where the shell may read something in its own way."""
    if SHELL_SYNTAX.search(source) or not LINES_OR_ASSIGNMENT.match(source):
        return ""
    return source if source.endswith("\n") else source + "\n"


class CellStopped(BaseException):
    """Raised in a cell from outside. Not an `Exception`, so that a cell's own `except Exception` lets it through."""


class TookTooLong(CellStopped):
    """The cell ran longer than it may."""


class TooMuchOutput(CellStopped):
    """The cell printed or showed more than it may."""


class Outputs:
    """What one cell printed and showed, as nbformat outputs, up to a number of bytes."""

    def __init__(self, most: int):
        self.left, self.most = most, most
        self.items: list[Output] = []
        self.shown: dict[object, Output] = {}  # display id -> its output, for update_display
        self.clear_first = False
        self.stopped: TooMuchOutput | None = None

    def take(self, texts: "Iterable[str]", overhead: int) -> None:
        """Make way for an output where that was asked for, and count it."""
        if self.clear_first:
            self.clear()
        self.count(texts, overhead)

    def count(self, texts: "Iterable[str]", overhead: int) -> None:
        """Count the bytes an output takes up on its way to the host, or stop the cell."""
        size = overhead + sum(map(len, texts))
        if size <= self.left:  # what is too long already need not be encoded to know it
            size = overhead + sum(len(encode(text).encode("utf-8", "replace")) for text in texts)
        if size > self.left:
            most = f"{self.most // 1000} kB"
            self.stopped = TooMuchOutput(f"This cell printed or showed more than {most}; it was stopped.")
            raise self.stopped
        self.left -= size

    def clear(self) -> None:
        self.items.clear()
        self.shown.clear()
        self.left, self.clear_first = self.most, False

    def write(self, name: str, text: str) -> None:
        last: Output = self.items[-1] if self.items and not self.clear_first else {"output_type": None}
        joins = last["output_type"] == "stream" and last["name"] == name
        self.take([text], 0 if joins else OVERHEAD)
        if joins:
            last["text"].append(text)
        else:
            self.items.append({"output_type": "stream", "name": name, "text": [text]})

    def show(self, kind: str, data: "dict[str, Any]", **more: object) -> "Output":
        texts = as_texts(data)
        self.take(texts.values(), OVERHEAD)
        output: Output = {"output_type": kind, "data": texts, "metadata": {}, **more}
        self.items.append(output)
        return output

    def update(self, display_id: object, data: "dict[str, Any]") -> None:
        """Show something else in place of a display; nothing where it is none. As in a kernel this clears nothing."""
        if display_id in self.shown:
            texts = as_texts(data)
            self.count(texts.values(), OVERHEAD)
            self.shown[display_id]["data"] = texts

    def fail(self, name: str, value: str, traceback: list[str]) -> None:
        """Add an error. It is always told, but cut to a length."""
        lines = [line[:4000] for line in traceback[-60:]]
        self.items.append({"output_type": "error", "ename": name[:200], "evalue": value[:4000], "traceback": lines})

    def finished(self) -> "list[Output]":
        for output in self.items:
            if output["output_type"] == "stream":
                output["text"] = "".join(output["text"])
        return self.items


class Nowhere(Outputs):
    """Where a thread writes that is left running between two cells."""

    def __init__(self) -> None:
        super().__init__(0)

    def write(self, name: str, text: str) -> None:
        pass

    def show(self, kind: str, data: "dict[str, Any]", **more: object) -> "Output":
        return {}

    def update(self, display_id: object, data: "dict[str, Any]") -> None:
        pass


def as_texts(data: "dict[str, Any]") -> dict[str, str]:
    """Return what of a mime bundle is text or a picture, as text."""
    encoded = ((mime, base64.b64encode(one).decode() if isinstance(one, bytes) else one) for mime, one in data.items())
    return {mime: one for mime, one in encoded if type(one) is str}


class Stream:
    """Stands for stdout or stderr: what is written goes to the outputs of the cell that is running."""

    encoding, errors, newlines, closed = "utf-8", "strict", None, False

    def __init__(self, shell: "Shell", name: str):
        self.shell, self.name = shell, name

    def write(self, text: str) -> int:
        if not isinstance(text, str):
            raise TypeError(f"write() argument must be str, not {type(text).__name__}")
        if text:
            self.shell.outputs.write(self.name, text)
        return len(text)

    def writelines(self, lines: "Iterable[str]") -> None:
        for line in lines:
            self.write(line)

    def flush(self) -> None:
        pass

    def isatty(self) -> bool:
        return False

    def writable(self) -> bool:
        return True

    def readable(self) -> bool:
        return False

    def fileno(self) -> int:
        raise OSError("there is no file behind this stream")


class Publisher(DisplayPublisher):
    """Takes what `display` shows."""

    def publish(
        self,
        data: "dict[str, Any]",
        metadata: "dict[str, Any] | None" = None,
        source: object = None,
        *,
        transient: "dict[str, Any] | None" = None,
        update: bool = False,
        **_: object,
    ) -> None:
        outputs = self.shell.outputs
        display_id = (transient or {}).get("display_id")
        if update:
            outputs.update(display_id, data)
        else:
            outputs.shown[display_id] = outputs.show("display_data", data)

    def clear_output(self, wait: bool = False) -> None:
        if wait:
            self.shell.outputs.clear_first = True
        else:
            self.shell.outputs.clear()


class Hook(DisplayHook):
    """Takes the value of a cell's last line."""

    def write_output_prompt(self) -> None:
        pass

    def write_format_data(self, format_dict: "dict[str, Any]", md_dict: object = None) -> None:
        if format_dict and self.shell is not None:
            self.shell.outputs.show("execute_result", format_dict, execution_count=self.prompt_count)

    def finish_displayhook(self) -> None:
        pass


def no_input(*_: object, **__: object) -> "Any":
    raise StdinNotImplementedError("raw_input was called, but this frontend does not support input requests.")


def no_commands(*_: object, **__: object) -> "Any":
    raise PermissionError("Shell commands are not run where notebooks are marked.")


class Shell(InteractiveShell):
    """IPython's shell with nothing around it: no terminal, no history file, no shell commands, no questions."""

    display_pub_class = Type(Publisher)
    displayhook_class = Type(Hook)
    outputs: Outputs = Nowhere()
    first_names: "dict[str, Any]"
    arithmetic = quick = was_stopped = False
    system = system_raw = system_piped = getoutput = staticmethod(no_commands)

    def transform_cell(self, raw_cell: str) -> str:
        """Pass plain Python on as it is, as the shell would too, but only after a look at every token."""
        return as_it_is(raw_cell) or super().transform_cell(raw_cell)  # type: ignore[no-untyped-call]  # IPython's

    def should_run_async(self, raw_cell: str, **more: "Any") -> bool:
        """Compile a cell to see whether it waits at its top level only where it may."""
        return any(word in raw_cell for word in ("await", "async")) and super().should_run_async(raw_cell, **more)

    def enable_gui(self, gui: object = None) -> None:
        pass

    def ask_exit(self) -> None:
        pass

    def showtraceback(self, *args: "Any", **kwargs: "Any") -> None:
        kind, value, _ = sys.exc_info()
        if isinstance(value, CellStopped):
            signal.setitimer(signal.ITIMER_REAL, 0)  # it has stopped; let it be told in peace
        if self.quick and kind is not None and value is not None:
            self._showtraceback(kind, value, [])
        else:
            shorten(value)
            super().showtraceback(*args, **kwargs)

    def _showtraceback(self, etype: "type[BaseException]", evalue: BaseException, stb: "Iterable[str]") -> None:
        try:
            said = str(evalue)
        except Exception:
            said = "(this error could not be put in words)"
        self.outputs.fail(str(etype.__name__), said, list(stb))

    def start_over(self) -> None:
        """Forget what was run: an empty namespace, the first cell to come."""
        for name in ("last_type", "last_value", "last_traceback"):
            vars(sys).pop(name, None)
        history = self.history_manager
        if history is not None:
            history.input_hist_parsed[:], history.input_hist_raw[:] = [""], [""]
            history.output_hist.clear()
        self.user_ns.clear()
        self.user_ns.update(self.first_names)
        self.init_user_ns()
        self.execution_count = 1
        sys.stdout, sys.stderr = Stream(self, "stdout"), Stream(self, "stderr")

    def be_quick(self) -> None:
        """Draw no figure, and tell errors without their traceback."""
        self.quick = True
        self.config.InlineBackend.figure_formats = set()  # for a matplotlib that is imported later
        if "matplotlib" in sys.modules:
            select_figure_formats(self, ())

    def run(self, source: str, seconds: float, output_bytes: int) -> "tuple[str, list[Output]]":
        """Run one cell; return its status and outputs."""
        self.outputs = outputs = Outputs(output_bytes)
        status = "ok"
        alarm = Alarm(seconds)
        try:
            with alarm:
                ended_well = self.calculate(source) if self.arithmetic else self.run_any(source)
            if not ended_well:
                status = "error"
        except MemoryError:
            raise
        except BaseException as stray:  # raised outside the cell's own code, such as while a picture was drawn
            self._showtraceback(type(stray), stray, [])
            status = "error"
        alarm.disarm()  # again: it may have rung while it was being switched off
        self.outputs = Nowhere()
        stopped = outputs.stopped or alarm.stopped
        if stopped and not any(output["output_type"] == "error" for output in outputs.items):
            outputs.fail(type(stopped).__name__, str(stopped), [])  # the cell let it pass
        self.was_stopped |= stopped is not None
        return "stopped" if stopped else status, outputs.finished()

    def run_any(self, source: str) -> bool:
        """Run a cell as a kernel does, and return whether it ended well."""
        result = self.run_cell(source, store_history=True)
        return result is not None and bool(result.success)

    def calculate(self, source: str) -> bool:
        """Run a cell of a notebook that is arithmetic alone, and return whether it ended well.

        Such a cell asks for nothing that the shell keeps: no history, events or hooks.
        """
        code = self.as_statements(source)
        if code is None:
            return self.run_any(source)
        self.execution_count += 1
        try:
            exec(code, self.user_ns)
        except BaseException:
            self.showtraceback(running_compiled_code=True)
            return False
        return True

    def as_statements(self, source: str) -> "CodeType | None":
        """Return a cell compiled, or nothing where it does not compile as it is or may show what it ends with."""
        cell = as_it_is(source)
        name = self.compile.cache(cell, self.execution_count, raw_code=source)
        try:
            tree = ast.parse(cell, name)
            shows = not tree.body or isinstance(tree.body[-1], ast.Expr)
            return None if shows else compile(tree, name, "exec", dont_inherit=True)
        except Exception:
            return None


def shorten(error: BaseException | None, frames: int = 10) -> None:
    """Take the middle out of a deep traceback, which would take seconds to draw, and what a stopped cell was at."""
    if isinstance(error, CellStopped):
        error.__context__ = None
    while error is not None:
        calls: list[TracebackType] = []
        step = error.__traceback__
        while step is not None:
            calls.append(step)
            step = step.tb_next
        if len(calls) > 2 * frames:
            calls[frames - 1].tb_next = calls[-frames]
        error = error.__cause__ or error.__context__


class Alarm:
    """Raises `TookTooLong` in the cell when its time is over. A cell that will not stop takes its sheet with it."""

    patience = 3  #: further alarms, half a second apart

    def __init__(self, seconds: float):
        self.seconds, self.rang = seconds, 0
        self.stopped: TookTooLong | None = None

    def __enter__(self) -> None:
        signal.signal(signal.SIGALRM, self.ring)
        signal.setitimer(signal.ITIMER_REAL, self.seconds, 0.5)

    def __exit__(self, *_: object) -> None:
        self.disarm()

    def disarm(self) -> None:
        signal.setitimer(signal.ITIMER_REAL, 0)

    def ring(self, *_: object) -> None:
        self.rang += 1
        if self.rang > self.patience:
            os._exit(OUT_OF_TIME)
        self.stopped = TookTooLong(f"This cell ran longer than {self.seconds:.0f} s; it was stopped.")
        raise self.stopped


def warm_shell() -> Shell:
    """Build the shell with numpy beside it, and use each part once, so that no child has to."""
    os.makedirs(os.environ["MPLCONFIGDIR"], exist_ok=True)
    import numpy  # noqa: F401

    answers.SCALARS, answers.ARRAY = answers.numpy_types()
    builtins.input = getpass.getpass = no_input
    settings = Config()
    settings.HistoryManager.enabled = False  # it would start a thread
    shell = Shell.instance(config=settings)
    shell.first_names = {name: shell.user_ns[name] for name in ("__name__", "__builtin__", "__builtins__", "__doc__")}
    for name in shell.magics_manager.registry["ScriptMagics"].magics["cell"]:
        shell.register_magic_function(no_commands, "cell", name)  # type: ignore[arg-type]  # theirs takes no self
    shell.InteractiveTB.set_mode("Plain")  # drawing library source in colours takes half a second an error
    shell.set_hook("show_in_pager", lambda *_: None, 0)
    shell.start_over()
    use(shell, "1/0", "def f(x): return f(x)", "from math import sqrt\nprint(sqrt(1))\n1.5")
    return shell


def furnish(shell: Shell) -> None:
    """Import the libraries that notebooks may import, and use each once."""
    import ipywidgets  # noqa: F401
    import matplotlib.pyplot
    import scipy.integrate
    import scipy.interpolate
    import scipy.optimize
    import scipy.stats  # noqa: F401

    import workbook.bench

    for module in pkgutil.walk_packages(workbook.bench.__path__, "workbook.bench."):
        importlib.import_module(module.name)
    shell.enable_matplotlib("inline")
    first_settings = dict(matplotlib.rcParams)
    select_figure_formats(shell, {"png"}, bbox_inches="tight")
    use(
        shell,
        "%matplotlib inline\nimport matplotlib.pyplot as plt\nplt.plot([1, 2], label='$x$'); plt.legend(); plt.show()",
        "import ipywidgets\ndisplay(ipywidgets.IntSlider())\n1/0",
    )
    matplotlib.pyplot.close("all")
    dict.update(matplotlib.rcParams, first_settings)
    select_figure_formats(shell, {"png"}, bbox_inches="tight")


def use(shell: Shell, *sources: str) -> None:
    """Run some cells of ours, and leave nothing of them."""
    for source in sources:
        shell.run(source, 60, 1_000_000)
    shell.start_over()


def run_all(shell: Shell, group: "list[Numbered]", limits: "dict[str, Any]", pipe: int) -> int:
    """Run a group of numbered sheets one after the other; return the code to exit with.

    More than one are only ever such as leave nothing but names. One that was stopped, or took much memory, is the last.
    """
    if not group[0][1]["pictures"]:
        shell.be_quick()
    shell.arithmetic = len(group) > 1
    at_first = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for number, sheet in group:
        code = run(shell, number, sheet, limits, pipe)
        if code != FINISHED:
            return code
        grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - at_first
        if len(group) > 1 and (shell.was_stopped or grown > MUCH_MEMORY):
            return CUT_SHORT
        shell.start_over()
    return FINISHED


def run(shell: Shell, number: int, sheet: "dict[str, Any]", limits: "dict[str, Any]", pipe: int) -> int:
    """Run one sheet, sending a line to the pipe after each cell; return the code to exit with."""
    over = time.monotonic() + limits["sheet_seconds"]
    for c, (source, report) in enumerate(sheet["cells"]):
        began = time.monotonic()
        status, values = "reported", None
        outputs: list[Output] = []
        unreadable: dict[str, str] = {}
        if report:
            values, unreadable = answers.read(shell.user_ns, report, limits["answer_items"], limits["answer_text"])
        elif began < over:
            seconds = min(limits["cell_seconds"], over - began)
            status, outputs = shell.run(source, seconds, limits["output_bytes_per_cell"])
        else:
            return OUT_OF_TIME
        send(pipe, [number, c, status, outputs, values, unreadable, round(time.monotonic() - began, 4)])
    return FINISHED


def send(pipe: int, line: list[object]) -> None:
    """Write one line of JSON in full."""
    rest = memoryview(encode(line).encode("utf-8", "replace") + b"\n")
    while rest:
        rest = rest[os.write(pipe, rest) :]
