"""The sums of a case: what is worked out at its gates, each on the learner's own board, draining, readings and test."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from workbook.bench.shorts.decision import reading_uncertainty
from workbook.bench.signoff.promise import return_rate_bound
from workbook.case import acts, heating
from workbook.case.acts import ENDS, HOT
from workbook.case.board import Supply
from workbook.units import figures


class Sum(NamedTuple):
    """A number that a gate asks for: the act that writes it down, its name, how near will do, and what was written."""

    word: str
    name: str
    right: float
    within: float
    unit: str
    given: int | None
    advice: str

    @property
    def held(self) -> bool:
        """Whether it was worked out in time, and rightly; no last digit decides."""
        return self.given is not None and round(abs(self.given - self.right), 6) <= self.within

    def told(self) -> str:
        """Say what the sum is, and what was written."""
        written = "nothing was written" if self.given is None else f"written: {self.given} {self.unit}"
        right, within = figures(self.right, 3), figures(self.within)
        return f"{self.word}: {right} {self.unit}, within {within} {self.unit}; {written}"


def rail_uncertainty(told: str) -> float:
    """Return U = 2u of a reading of the rail, by the meter's limits and its contacts [mΩ].

    >>> round(rail_uncertainty("Core rail, cold: 1.5 Ω."))
    271
    """
    share, counts, digit, contact, _ = acts.METER
    return 2000 * float(reading_uncertainty(_number(r"cold: ([\d.]+) Ω", told), share, counts, digit, contact))


def bead_margin(told: str) -> float | None:
    """Return what a bead's reading leaves to the least peak once its U = 2u is off [K]; None where no bead read.

    >>> round(bead_margin("Coldest joint 240 °C, above 217 °C for 60 s."), 1)
    6.6
    """
    shown = _number(r"Coldest joint (\d+) °C", told)
    return None if shown is None else shown - 2 * acts.BEAD_DOUBT - heating.LEAST_PEAK_C


def start_bound(starts: int) -> float:
    """Return at what share of its starts a set may still fail after so many clean ones, 95 %, one-sided [%].

    >>> round(start_bound(59), 1)
    5.0
    """
    return 100 * float(return_rate_bound(0, starts))


def asked(did: Sequence, supply: Supply) -> list[Sum]:
    """Return the sums a way came to, in the order of a job; ``did`` are its steps that were done."""
    ways = (_volts(did, supply), _uncertainty(did), _margin(did), _bound(did))
    return [one for one in ways if one]


def _volts(did, supply: Supply) -> Sum | None:
    """Return the volts left at the first proof: V exp(-t/RC), within 3 % or 1 V."""
    proof = _first(did, {"prove dead"})
    if proof is None:
        return None
    left = acts.volts_left(supply, did[proof].done_before.drained)
    given = _written(did, "reckon volts", 0, proof)
    advice = "Before you prove it dead, work out what is left: it falls by the factor e in each R times C."
    return Sum("reckon volts", "what is left on the capacitor", left, max(1.0, 0.03 * left), "V", given, advice)


def _uncertainty(did) -> Sum | None:
    """Return U = 2u of the first reading of the rail before it is decided, within 5 %: with or without the display."""
    end = _first(did, HOT | set(ENDS))
    read = next((place for place, step in enumerate(did[:end]) if step.word == "measure core cold"), None)
    if end is None or read is None:
        return None
    wide = rail_uncertainty(did[read].told)
    given = _written(did, "reckon uncertainty", read, end)
    advice = "Before you decide on a reading, say how sure it is: meter and contacts, evenly likely, added in squares."
    return Sum("reckon uncertainty", "the uncertainty of the rail", wide, 0.05 * wide, "mΩ", given, advice)


def _margin(did) -> Sum | None:
    """Return what the bead's reading leaves after the last heat of a board that goes back as repaired, within 1 K."""
    heats = [place for place, step in enumerate(did) if step.word in HOT - {"replace part"}]
    if not heats or did[-1].done.end != "return repaired":
        return None
    left = bead_margin(did[heats[-1]].told)
    if left is None:
        return None
    rest = did[heats[-1] :]
    end = heats[-1] + _first(rest, {"test", *ENDS})
    given = _written(did, "reckon margin", heats[-1], end)
    advice = "After the last heat, take U = 2u of the bead off its reading, then what joints need: does anything stay?"
    return Sum("reckon margin", "the margin of the coldest joint", left, 1.0, "K", given, advice)


def _bound(did) -> Sum | None:
    """Return at what share of its starts the set may still fail after its last clean test, within 1 %."""
    tests = [place for place, step in enumerate(did) if step.word == "test"]
    if not tests or did[-1].done.end != "return repaired" or "clean" not in did[tests[-1]].told:
        return None
    bound = start_bound(did[tests[-1]].numbers[0])
    given = _written(did, "reckon bound", tests[-1], len(did))
    advice = "Before it goes back, say what a clean test leaves open: (1 − p)ⁿ = 0.05."
    return Sum("reckon bound", "what a clean test leaves open", bound, 1.0, "%", given, advice)


def _first(did, words) -> int | None:
    return next((place for place, step in enumerate(did) if step.word in words), None)


def _written(did, word: str, after: int, before: int) -> int | None:
    """Return what was written down last between two acts."""
    return next((step.numbers[0] for step in reversed(did[after:before]) if step.word == word), None)


def _number(pattern: str, told: str) -> float | None:
    found = re.search(pattern, told)
    return float(found[1]) if found else None
