"""Job 117 is one board: what one page finds is what the next pages take, for every learner's own figures.

The pages are drawn in the order of the job. A page that takes a figure from an earlier one gets it as a given; a page
whose findings a later one could not take is drawn again.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from graders.questions import Exercise, Fixed, Quantity
from graders.questions import givens as own

ATTEMPTS, PAGE_ATTEMPTS = 400, 60
"""How often the whole job is drawn until its last page is sound, and each page until it fits the ones before."""


@dataclass(frozen=True)
class Carried:
    """A figure that ``page`` takes as the given ``name``, from the givens and the right answers of the page ``found``."""

    found: str
    page: str
    name: str
    figure: Callable[[Mapping, Mapping], object]


def _to(step: float, figure: float) -> float:
    """Return a figure as the next page writes it down: on a step of its own."""
    return round(round(figure / step) * step, 4)


def _budget(given, key):
    lines = [key["wire_alone"], given["meter"] / 3**0.5, given["step"] / 12**0.5, key["placing"]]
    return tuple(round(line, 2) for line in lines)


CARRIED = (
    Carried("thermometer-limits", "coverage-factor", "contributions", _budget),
    Carried("coverage-factor", "hold-the-log", "doubt", lambda g, key: _to(0.1, key["expanded"])),
    Carried("coverage-factor", "inside-the-window", "doubt", lambda g, key: _to(0.05, key["combined"])),
    Carried("coverage-factor", "two-risks", "doubt", lambda g, key: _to(0.1, key["combined"])),
    Carried("coverage-factor", "sign-the-board", "peak_doubt", lambda g, key: _to(0.1, key["combined"])),
    Carried("hold-the-log", "sign-the-board", "molten", lambda g, key: _to(1, key["above"])),
    Carried(
        "hold-the-log",
        "sign-the-board",
        "molten_doubt",
        lambda g, key: _to(0.5, (key["if_high"] - key["if_low"]) / 4),
    ),
    Carried("short-check", "sign-the-board", "rail", lambda g, key: _to(0.1, key["rail_ohms"])),
    Carried("short-check", "sign-the-board", "rail_doubt", lambda g, key: _to(0.01, key["combined"])),
    Carried("junction-after-refit", "sign-the-board", "junction_c", lambda g, key: _to(1, key["elsewhere_c"])),
    Carried(
        "junction-after-refit",
        "sign-the-board",
        "junction_doubt",
        lambda g, key: _to(0.1, g["load"] * key["junction_doubt"]),
    ),
    Carried("what-returns-bear", "sign-the-board", "sent", lambda g, key: g["sent"]),
)


def _true_to_one_board(pages: Mapping[str, dict]) -> bool:
    """Whether the coldest joint peaked below the middle one and below the package body."""
    coldest = max(pages["hold-the-log"]["joint"]) if "hold-the-log" in pages else 0
    return all(coldest < pages[name]["peak_c"] for name in ("inside-the-window", "sign-the-board") if name in pages)


@dataclass(frozen=True)
class _Begun:
    """A record whose first figures are known; the rest is drawn."""

    record: own.Record
    figures: tuple

    def draw(self, stream: own.Stream, drawn: dict) -> tuple:
        return (*self.figures, *self.record.draw(stream, drawn)[len(self.figures) :])


def chained(pages: Sequence[Exercise]) -> tuple[Exercise, ...]:
    """Return the pages, drawn together: each takes from the earlier ones what `CARRIED` says."""
    pages = tuple(pages)
    return tuple(
        replace(page, drawn_with=lambda secret, learner, of=page.id: drawn(pages, secret, learner)[of])
        for page in pages
    )


@lru_cache(maxsize=64)
def drawn(pages: tuple[Exercise, ...], secret: bytes, learner: str) -> dict[str, dict]:
    """Return one learner's givens of every page by its name.

    Raises
    ------
    ValueError
        If the job was refused `ATTEMPTS` times in a row.
    """
    for attempt in range(ATTEMPTS):
        job = _attempt(pages, secret, f"{learner}\x1fjob {attempt}")
        if job is not None:
            return job
    raise ValueError(f"{ATTEMPTS} jobs were refused in a row")


def _attempt(pages: tuple[Exercise, ...], secret: bytes, learner: str) -> dict[str, dict] | None:
    job = {}
    for page in pages:
        givens = page.givens | {one.name: _given(one, job, pages) for one in CARRIED if one.page == page.id}

        def fits(drawn, page=page):
            return (
                page.fits(drawn) and _can_be_carried(page, drawn, pages) and _true_to_one_board(job | {page.id: drawn})
            )

        try:
            job[page.id] = own.draw(givens, own.learner_key(secret, learner, page.id), fits, attempts=PAGE_ATTEMPTS)
        except ValueError:
            return None
    return job


def _given(one: Carried, job: Mapping[str, dict], pages: Sequence[Exercise]):
    found, page = (_page(pages, name) for name in (one.found, one.page))
    figure = one.figure(job[one.found], found.key(job[one.found]))
    given = page.givens[one.name]
    return _Begun(given, figure) if isinstance(given, own.Record) else Fixed(figure, given.unit)


def _can_be_carried(page: Exercise, drawn: dict, pages: Sequence[Exercise]) -> bool:
    """Whether the later pages may be asked about what this one finds."""
    for one in CARRIED:
        asked = _page(pages, one.page).givens[one.name] if one.found == page.id else None
        if isinstance(asked, Quantity) and not asked.low <= one.figure(drawn, page.key(drawn)) <= asked.high:
            return False
    return True


def _page(pages: Sequence[Exercise], name: str) -> Exercise:
    return next(page for page in pages if page.id == name)
