"""What a decision was worth on what could be known, what else could have been done, and what a look would have told."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from workbook.case import belief, search
from workbook.case.acts import ENDS, HOT, price, programme_on
from workbook.case.belief import Weights, mean_worth
from workbook.case.playing import Played, holds, repairs

GUARD = 5.0
"""Credits by which another way must be better before it is said to be: the smaller model of the search is no nearer."""


@dataclass(frozen=True)
class Decision:
    """The end that was chosen, what it brings from there on average on what was known, and the best that could be done.

    ``holds`` is how likely the board, as it then was, works for a year.
    """

    end: str
    worth: float
    better: str
    better_worth: float
    holds: float

    @property
    def lost(self) -> float:
        """What a better way from there would have brought more; nothing within the guard band [credits]."""
        lost = self.better_worth - self.worth
        return beyond_guard(lost)


def beyond_guard(lost: float) -> float:
    """Return what was lost where it is more than the guard band, else nothing [credits]."""
    return lost if round(lost, 6) > GUARD else 0.0


def decision(played: Played, known: Sequence[Weights] | None = None) -> Decision | None:
    """Return the decision a case was closed with, or None where it was not closed.

    ``known`` is what was known before the first act and after each, where that is worked out already.
    """
    last = next((place for place, step in enumerate(played.steps) if step.done.end), None)
    if last is None:
        return None
    weights, step = (known or belief.along(played))[last], played.steps[last]
    done, end = step.done_before, step.word
    ways = {way: mean_worth(weights, done, way) - price(way) for way in ENDS if way != "refuse" or not done.hot_work}
    worth = ways.pop(end)
    on, job = search.best(search.known(weights, done, repairs(played.steps[:last])))
    if job not in ENDS:
        ways[job] = on + search.TOLD  # the search still pays for the telling
    better = max(ways, key=ways.get)
    likely = sum(share * holds(board, done) for board, share in weights.items())
    return Decision(end, worth, better, ways[better], likely)


class Choice(NamedTuple):
    """Hot work that was chosen: its step's place, and what a better choice there would have brought on average more."""

    place: int
    act: str
    better: str
    lost: float


def choices(played: Played, known: Sequence[Weights]) -> list[Choice]:
    """Return each piece of hot work with what it lost against the best choice, on what was known [credits].

    A programme that does less likely what the job is meant to do loses as much of what the job would have brought.
    """
    found = []
    for place, step in enumerate(played.steps):
        job, weights = step.word, known[place]
        if step.refused or job not in HOT or belief.chance(weights, lambda board: board.bridged) > 0.5:
            continue
        here = search.known(weights, step.done_before, repairs(played.steps[:place]))
        best, better = search.best(here)
        brings = search.brings(job, here)
        missed = _less_likely(step, weights) * max(0.0, brings - search.brings("return unrepaired", here))
        if missed > best - brings:
            better = f"{job} {' '.join(map(str, search.programme_for(weights)))}"
        found.append(Choice(place, step.act, better, beyond_guard(best - brings + missed)))
    return found


def _less_likely(step, weights: Weights) -> float:
    """Return by how much less likely a programme melts all and harms nothing than the best one, on what was known."""
    if step.word == "replace part":
        return 0.0

    def fits(numbers) -> float:
        return belief.chance(weights, lambda board: programme_on(board, numbers).fits)

    return max(0.0, fits(search.programme_for(weights)) - fits(step.numbers))


def turning_point(played: Played) -> int | None:
    """Return the place of the step in which it was decided what is done with the board: first hot work, or the end."""
    return next(
        (place for place, step in enumerate(played.steps) if not step.refused and step.word in HOT | set(ENDS)), None
    )


def looks_left(weights: Weights, played: Played, place: int) -> dict[str, float]:
    """Return what each look that was not taken would have been worth before a step, its price not counted [credits].

    It is what the best way brings on average with the look, more than the best way brings without one.
    """
    done = played.steps[place].done_before
    known = search.known(weights, done, repairs(played.steps[:place]))
    if known.repairs:
        return {}
    without = known._replace(looked=frozenset(search.LOOKS))
    now = search.best(without)[0]
    left = [look for look in search.LOOKS if look not in known.looked]
    return {look: max(0.0, search.value_told(look, without) - now) for look in left}
