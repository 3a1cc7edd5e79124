"""What is handed to a runner, and what it hands back: plain data."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol

__all__ = [
    "Cell",
    "CellOutcome",
    "Ending",
    "Limits",
    "Output",
    "Runner",
    "Sheet",
    "SheetOutcome",
    "USUAL",
    "not_reached",
]

CellStatus = Literal["ok", "error", "stopped", "not reached", "reported"]
Ending = Literal["finished", "time", "memory", "crashed", "too large", "malformed", "not walled off"]

Output = dict[str, Any]
"""An output as nbformat 4 has it."""


@dataclass(frozen=True)
class Cell:
    """One code cell. With names in `report` it is a marking cell: never executed, its names are read instead."""

    source: str
    report: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """One notebook: its code cells, run in order, in a process and a namespace of their own.

    Without `pictures` no figure is drawn and errors come without their traceback: for a second run with other numbers,
    of which only the answers are wanted.
    """

    name: str
    cells: tuple[Cell, ...]
    pictures: bool = True


@dataclass(frozen=True)
class Limits:
    """How much one learner's topic may take. Seconds are by the wall clock, but for `cpu_seconds`."""

    cell_seconds: float = 10  #: then the cell is stopped, and the next one runs
    sheet_seconds: float = 20  #: then the sheet ends, and the next sheet runs
    topic_seconds: float = 60  #: all sheets together
    cpu_seconds: int = 60  #: of the processor, for each sheet
    threads: int = 32  #: beside the notebook's own, at a time
    memory_bytes: int = 1 << 30  #: beyond what the libraries already take
    scratch_bytes: int = 16 << 20  #: files written while running; they are thrown away
    output_bytes_per_cell: int = 2_000_000  #: printed text, pictures and displays; then the cell is stopped
    result_bytes: int = 20_000_000  #: everything one sheet sends back; then the sheet ends
    answer_items: int = 64  #: numbers or texts in one list
    answer_text: int = 2000  #: characters in one text


USUAL = Limits()


@dataclass(frozen=True)
class CellOutcome:
    """What became of one cell.

    `outputs` are nbformat 4 outputs. `answers` and `unreadable` are filled at a marking cell only: a value for each
    name asked for, and for each value that is not plain data the reason, one of `inside.answers.REASONS`.
    """

    status: CellStatus
    outputs: list[Output] = field(default_factory=list)
    answers: dict[str, object] | None = None
    unreadable: dict[str, str] = field(default_factory=dict)
    seconds: float = 0.0


@dataclass(frozen=True)
class SheetOutcome:
    """What became of one sheet: as many outcomes as it has cells, and how it ended.

    Cells after a bad end are "not reached"; what was sent before it stands.
    """

    name: str
    cells: tuple[CellOutcome, ...]
    ended: Ending


class Runner(Protocol):
    """What runs notebooks: `contained.Contained`, or `plain.Plain`."""

    def run(self, sheets: Sequence[Sheet], limits: Limits = USUAL) -> tuple[SheetOutcome, ...]:
        """Run one learner's sheets of one topic; return an outcome for each."""


def not_reached(sheet: Sheet, ended: Ending, before: tuple[CellOutcome, ...] = ()) -> SheetOutcome:
    """Return the outcome of a sheet of which only the cells in `before` were reached."""
    rest = (CellOutcome("not reached"),) * (len(sheet.cells) - len(before))
    return SheetOutcome(sheet.name, (*before, *rest), ended)
