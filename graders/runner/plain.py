"""Run trusted notebooks on an ordinary Jupyter kernel, on any system. Nothing here protects the machine."""

import ast
import inspect
import json
import logging
import math
import os
import tempfile
import threading
import time
from collections.abc import Sequence
from subprocess import DEVNULL
from typing import Self

from nbclient import NotebookClient
from nbclient.exceptions import DeadKernelError
from nbformat import v4

from . import protocol
from .bwrap import workbook_folder
from .inside import answers
from .job import USUAL, Cell, CellOutcome, Ending, Limits, Output, Sheet, SheetOutcome, not_reached

__all__ = ["Plain"]

#: Read names in the kernel, from a namespace that shares nothing with the notebook's, as the repr of JSON text.
READ = """(lambda tools, space: (
    exec({source!r}, tools), tools["dumps"](tools["read"](space, {names!r}, {items}, {text}))
)[1])({{"dumps": __import__("json").dumps, "__name__": "answers"}}, globals())"""
QUICK = "%xmode Minimal\n%config InlineBackend.figure_formats = set()"


class Plain:
    """Runs trusted notebooks, one fresh kernel for each. A context manager for likeness with `Contained`.

    It gives the same outcomes, but needs a second for each notebook. Of the limits it keeps those in seconds of the
    wall clock, the output of a cell, and those on answers.
    """

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def run(self, sheets: Sequence[Sheet], limits: Limits = USUAL) -> tuple[SheetOutcome, ...]:
        """Run one learner's sheets of one topic; return an outcome for each."""
        over = time.monotonic() + limits.topic_seconds
        return tuple(run_sheet(sheet, limits, over) for sheet in sheets)


def run_sheet(sheet: Sheet, limits: Limits, over: float) -> SheetOutcome:
    """Run one notebook on a kernel of its own, in an empty folder."""
    over = min(over, time.monotonic() + limits.sheet_seconds)
    if time.monotonic() >= over:
        return not_reached(sheet, "time")
    notebook = v4.new_notebook(cells=[v4.new_code_cell()])  # a place for the cell that is being run
    client = NotebookClient(notebook, allow_errors=True, interrupt_on_timeout=True, kernel_name="python3")
    client.log.setLevel(logging.CRITICAL)  # what became of each cell is told in its outcome
    outcomes: list[CellOutcome] = []
    ended: Ending = "finished"
    with tempfile.TemporaryDirectory() as folder:
        client.resources["metadata"] = {"path": folder}
        with client.setup_kernel(env=kernel_environment(), stdout=DEVNULL, stderr=DEVNULL):
            watch = threading.Timer(over - time.monotonic() + 1, kill, [client])
            watch.start()
            try:
                if not sheet.pictures:
                    execute(client, QUICK, limits.sheet_seconds)
                for cell in sheet.cells:
                    left = over - time.monotonic()
                    if left <= 0:
                        ended = "time"
                        break
                    outcomes.append(run_cell(client, cell, limits, min(limits.cell_seconds, left)))
            except DeadKernelError:
                ended = "crashed" if watch.is_alive() else "time"
            except protocol.Malformed:
                ended = "malformed"
            finally:
                watch.cancel()
    return not_reached(sheet, ended, tuple(outcomes))


def kernel_environment() -> dict[str, str]:
    """Return an environment in which a kernel imports the same workbook as we do, wherever it is started.

    A backend for pictures that was chosen for this process is not handed on: a kernel draws into its notebook.
    """
    paths = [str(workbook_folder().parent), *filter(None, [os.environ.get("PYTHONPATH")])]
    ours = {name: value for name, value in os.environ.items() if name != "MPLBACKEND"}
    return {**ours, "PYTHONPATH": os.pathsep.join(paths)}


def kill(client: NotebookClient) -> None:
    """End a kernel that no interrupt has stopped."""
    process = getattr(client.km and client.km.provisioner, "process", None)
    if process is not None:  # else it has ended by itself meanwhile
        process.kill()


def execute(client: NotebookClient, source: str, seconds: float, store_history: bool = False) -> list[Output]:
    """Execute one cell and return its outputs."""
    client.timeout = math.ceil(seconds)  # whole seconds, and never fewer: a cell stopped before its time looks failed
    outputs = client.execute_cell(v4.new_code_cell(source), 0, store_history=store_history).outputs
    told: list[Output] = protocol.parsed(json.dumps(outputs).encode())
    return told


def evaluate(client: NotebookClient, expression: str, seconds: float) -> str:
    """Return the repr of an expression, leaving no trace of it in the kernel's history."""
    client.timeout = math.ceil(seconds)
    if client.kc is None:
        raise DeadKernelError("nobody can be asked")
    question = client.kc.execute("", silent=True, user_expressions={"asked": expression})
    reply = client.wait_for_reply(question) or {}
    asked = reply.get("content", {}).get("user_expressions", {}).get("asked", {})
    text: str = asked.get("data", {}).get("text/plain", "")
    return text


def run_cell(client: NotebookClient, cell: Cell, limits: Limits, seconds: float) -> CellOutcome:
    began = time.monotonic()
    if cell.report:
        source = READ.format(
            source=inspect.getsource(answers),
            names=list(cell.report),
            items=limits.answer_items,
            text=limits.answer_text,
        )
        values, reasons = answers_in(evaluate(client, source, seconds))
        plain, unreadable = protocol.read_answers(cell.report, values, reasons, limits)
        return CellOutcome("reported", [], plain, unreadable, time.monotonic() - began)
    outputs = [protocol.output(output) for output in execute(client, cell.source, seconds, store_history=True)]
    took = time.monotonic() - began
    kept = up_to(outputs, limits.output_bytes_per_cell)
    stopped = took >= seconds or len(kept) < len(outputs)
    failed = any(output["output_type"] == "error" for output in outputs)
    return CellOutcome("stopped" if stopped else "error" if failed else "ok", kept, seconds=took)


def answers_in(text: str) -> tuple[object, object]:
    """Return (answers, reasons) from the repr of their JSON."""
    try:
        values, reasons = protocol.parsed(ast.literal_eval(text).encode())
    except (SyntaxError, ValueError, TypeError, AttributeError) as why:
        raise protocol.Malformed from why
    return values, reasons


def up_to(outputs: list[Output], most: int) -> list[Output]:
    """Return the outputs from the first that together are not above a number of bytes."""
    kept = []
    for output in outputs:
        most -= len(json.dumps(output))
        if most < 0:
            break
        kept.append(output)
    return kept
