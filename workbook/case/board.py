"""What is hidden in a case: a board drawn from a seed, and how likely each board is before anything is known."""

import hashlib
from collections.abc import Iterator
from functools import cache
from itertools import product
from typing import NamedTuple

from workbook.references import table, value
from workbook.stream import Stream

CAUSES = table("signoff", "case_causes")
RAILS = {row: tuple(cells.values()) for row, cells in table("signoff", "case_rail").items()}
MEMORY_OHM = value("signoff", "case_memory_rail")
CHANCES = {row: cells["chance"] for row, cells in table("signoff", "case_chances").items()}
COPPER = {row: cells["chance"] for row, cells in table("signoff", "case_copper").items()}

SOUND, LOST = "sound", "lost"
"""What a board can also become: in order; beyond repair here."""

WEAK = {cause: f"weak: {cause}" for cause in ("balls of U1", "balls of U2", "inside U1", "shorted part")}
"""By where it is: a joint that holds for now. It is mended where it is, and nowhere else."""

OVER = {
    48: CHANCES["open too long by 48 h"],
    100: CHANCES["open too long by 100 h"],
    0: 1 - CHANCES["open too long by 48 h"] - CHANCES["open too long by 100 h"],
}
"""Hours by which the packages' floor life is exceeded, and how likely each is."""


class Board(NamedTuple):
    """The board as it truly is: nobody sees it whole.

    ``over`` is by how many hours the packages lay open too long, ``rail`` which of the three values of its kind the
    core rail has, ``low`` whether the station's plate is one step cooler than it says, ``on_memory`` whether a shorted
    part sits on the memory rail of U2 and not on the core rail of U1.
    """

    cause: str
    rail: int
    over: int
    worked: bool
    fast: bool
    copper: str
    low: bool
    heats_1: int = 1
    heats_2: int = 1
    residue: bool = False
    tilted: bool = False
    bridged: frozenset = frozenset()
    """The packages with a bridge between their balls."""
    on_memory: bool = False

    @property
    def shorted(self) -> frozenset:
        """The rails that are shorted: by the part, or by a bridge under the package they feed."""
        part = {"memory" if self.on_memory else "core"} if self.cause == "shorted part" else set()
        return frozenset(part | {RAIL_OF[package] for package in self.bridged})

    @property
    def cold_ohm(self) -> float:
        """The core rail against ground, board off and cold [ohm]; a bridge reads as the lowest of shorts."""
        if "core" in self.shorted:
            return RAILS["shorted part"][0 if "U1" in self.bridged else self.rail]
        return RAILS["dead U1" if self.cause == "dead U1" else "sound"][self.rail]

    @property
    def memory_ohm(self) -> float:
        """The memory rail against ground, board off and cold [ohm]."""
        if "memory" in self.shorted:
            return RAILS["shorted part"][0 if "U2" in self.bridged else self.rail]
        return MEMORY_OHM


RAIL_OF = {"U1": "core", "U2": "memory"}
"""The rail each package is fed by."""


class Supply(NamedTuple):
    """The mains capacitor of the set and the resistor that drains it: known, and each case's own."""

    capacitance_uf: int
    volts: int
    bleeder_kohm: float


def _yes(chance: float) -> tuple[tuple[bool, float], ...]:
    return ((True, chance), (False, 1 - chance))


@cache
def boards() -> tuple[tuple[Board, float], ...]:
    """Return every board that may come in, each with its chance; together 1."""
    share = CHANCES["a short is on the memory rail"]
    found = []
    for board, chance in _on_the_core_rail():
        if board.cause == "shorted part":
            found += [(board, chance * (1 - share)), (board._replace(on_memory=True), chance * share)]
        else:
            found.append((board, chance))
    return tuple(found)


@cache
def _on_the_core_rail() -> tuple[tuple[Board, float], ...]:
    """Return every board that may come in, as if each short were on the core rail."""
    each = (
        [(cause, cells["prior"]) for cause, cells in CAUSES.items()],
        [(place, 1 / 3) for place in range(3)],
        list(OVER.items()),
        _yes(CHANCES["worked on before"]),
        _yes(CHANCES["sink held fast"]),
        list(COPPER.items()),
        _yes(CHANCES["plate a step too cool"]),
    )
    return tuple(_boards(each))


def _boards(each) -> Iterator[tuple[Board, float]]:
    for ways in product(*each):
        chance = 1.0
        for _, share in ways:
            chance *= share
        board = Board(*(way for way, _ in ways))
        yield board._replace(heats_1=1 + board.worked), chance


MILLION = 1_000_000


def picked(stream: Stream, ways):
    """Return one of ``(chance, way, ...)``; chances count as whole parts in a million, so no last digit decides."""
    place, total = stream.below(MILLION), 0.0
    for way in ways:
        total += way[0]
        if place < round(total * MILLION):
            return way
    return ways[-1]


def key(seed: int) -> bytes:
    """Return the key of a case's streams."""
    return hashlib.sha256(f"a board on the bench\x1f{seed}".encode()).digest()


def drawn(seed: int) -> tuple[Board, Supply]:
    """Return the board of a seed and the supply of its set.

    >>> drawn(117) == drawn(117)
    True
    """
    streams = key(seed)
    board = picked(Stream(streams, "board"), [(chance, board) for board, chance in _on_the_core_rail()])[1]
    if board.cause == "shorted part":
        share = CHANCES["a short is on the memory rail"]
        board = board._replace(on_memory=picked(Stream(streams, "short on"), [(share, True), (1 - share, False)])[1])
    supply = Supply(
        Stream(streams, "capacitance").grid(100, 470, 10),
        Stream(streams, "volts").grid(300, 390, 10),
        Stream(streams, "bleeder").grid(2.2, 10, 0.2),
    )
    return board, supply
