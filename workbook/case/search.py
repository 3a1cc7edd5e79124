"""The best way of working a case, searched in a smaller model of it.

The smaller model keeps what decides: how likely each cause is, what was looked at, heats left, whether the packages are
wet and whether the board is a heavy one. It knows the jobs of the bench whole: looks, repairs with all that belongs to
them (dry, bead, heat, cool), closing (clean and prove, read the rail, paste, pads, sink, test), and the ends. From its
tree the best job at every point is found exactly. `ways.best_way` then works real cases by it, act by act, on what is
told. What that brings over many seeds is the stated worth of the best way, with its standard error; so what the smaller
model leaves out (a first heat that missed, a bridge) costs the best way and never flatters it. Every repair is tested
with the same number of starts; letting each test be skipped, shorter or longer raises the tree by 0.9 credits.

Nobody can do better than somebody who is told the cause at once and for nothing: `told_for_nothing` is that ceiling.
"""

from functools import cache
from typing import NamedTuple

from workbook.bench.signoff.cold_starts import chance_of_clean_starts
from workbook.case import acts, heating
from workbook.case.acts import MONEY, Done, price
from workbook.case.belief import Weights, causes
from workbook.case.board import CAUSES, CHANCES, LOST, RAILS, SOUND, WEAK

STATES = (*CAUSES, *WEAK.values(), SOUND, LOST)
"""What a belief is over, in this order: a board beyond repair too, so that nothing is hoped of it."""

EDGES = (0.85, 0.95, 1.05, 1.25, 1.75, 1.95, 2.05)
"""Readings of the rail are told apart in classes between these [ohm]: finer ones change no decision worth a credit."""


class Known(NamedTuple):
    """A point of the tree: the belief over `STATES` in whole parts in a million, and what has been done.

    ``looked`` are the looks that were taken, ``heats`` and ``heats_2`` those left to U1 and to U2, ``found`` whether a
    part was found that grows warm.
    """

    belief: tuple[int, ...]
    heats: int
    wet: bool
    heavy: bool
    looked: frozenset = frozenset()
    open_: bool = False
    repairs: int = 0
    heats_2: int = acts.MOST_HEATS - 1
    found: bool = False


LOOKS = ("measure core cold", "look side U1", "look side U2")
"""Looks of the smaller model. The rails are read together there: a short shows whichever of them it is on."""

MOST_REPAIRS = 2
"""A third repair of one board is never worth it here."""
JOBS = ("heat U1", "heat U2", "replace U1", "replace part")


def known(weights: Weights, done: Done, repairs: int) -> Known:
    """Return what is known of a board, as the smaller model has it."""
    parts = causes(weights)
    return Known(
        tuple(round(1e6 * parts.get(state, 0.0)) for state in STATES),
        max(0, acts.MOST_HEATS - max(board.heats_1 for board in weights)),
        any(acts.hours_needed(board.over) > done.baked for board in weights),
        all(board.copper == "eight" for board in weights),
        frozenset(done.told & set(LOOKS)),
        done.proven,
        min(repairs, MOST_REPAIRS),
        max(0, acts.MOST_HEATS - max(board.heats_2 for board in weights)),
        done.found,
    )


@cache
def likelihoods(look: str) -> tuple[tuple[float, ...], ...]:
    """Return for each thing a look may tell its chance under each of `STATES`."""
    if look.startswith("look side"):
        name = f"crack at {look[-2:]}"
        seen = [CAUSES.get(state, CAUSES["inside U1"])[name] for state in STATES]
        return tuple(seen), tuple(1 - share for share in seen)
    classes = [[0.0] * len(STATES) for _ in range(len(EDGES) + 1)]
    for place, state in enumerate(STATES):
        for ohm in RAILS.get(state, RAILS[SOUND]):
            for share, shown in acts.readings(ohm):
                classes[sum(shown > edge for edge in EDGES)][place] += share / 3
    return tuple(map(tuple, classes))


def weighed(belief, likelihood) -> tuple[float, tuple[int, ...]]:
    """Return the chance of what was told, and the belief after it."""
    parts = [share * like for share, like in zip(belief, likelihood, strict=True)]
    total = sum(parts)
    return total / sum(belief), _whole(parts, total)


def _whole(parts, total) -> tuple[int, ...]:
    return tuple(round(1e6 * part / total) for part in parts) if total else ()


def reach(known: Known) -> float:
    """Return what it still costs to have the set open and proved dead [credits]."""
    return 0.0 if known.open_ else price("unplug") + price("discharge") + price("prove dead")


def off(known: Known) -> float:
    """Return what it costs to have the sink off and the hood on [credits]."""
    return price("loosen sink") + price("remove sink") + (0 if known.repairs else price("hood on"))


def look_price(look: str) -> float:
    """Return what a look of the smaller model costs: both rails, where it is a rail [credits]."""
    return price(look) + (price("measure memory cold") if look == "measure core cold" else 0.0)


TOLD = price("tell findings") + price("tell limits")
CLOSING = (
    (price("clean") + price("prove clean")) / (1 - CHANCES["residue left after cleaning"])
    + look_price("measure core cold")
    + sum(map(price, ("paste", "pads", "fit sink", "check flush")))
)
TEST = acts.STARTS[1]
"""Cold starts of the test after a repair."""


def job_cost(job: str, known: Known, starts: int = TEST) -> float:
    """Return what a job costs from here to the test's result; untested where there are no starts [credits]."""
    cost = reach(known) + off(known) + CLOSING + (price("test", (starts,)) if starts else 0.0) + price("cool")
    if job == "replace part":
        return cost + price(job)
    dry = price("bake") + price("cool") if known.wet else 0.0
    return cost + dry + price(f"bead {job[-2:]}") + price(job)


def worn(job: str, known: Known) -> float:
    """Return how likely a job spoils its package by a heat over the count."""
    given, left = {
        "heat U1": (1, known.heats),
        "reball U1": (3, known.heats),
        "heat U2": (1, known.heats_2),
    }.get(job, (0, 0))
    return CHANCES["package spoiled by a heat too many"] if given > left else 0.0


def after_job(job: str, known: Known) -> tuple[float, ...]:
    """Return the chances of `STATES` after a job, as shares; the rest (a bridge, a spoiled package) is lost."""
    shares = [0.0] * len(STATES)
    total = sum(known.belief)
    melts = 1.0
    if job != "replace part":
        melts = (1 - CHANCES["plate a step too cool"]) if known.heavy else 1.0
    whole = (1 - (CHANCES["bridge after a heat"] if job != "replace part" else 0.0)) * (1 - worn(job, known))
    for place, part in enumerate(known.belief):
        if part:
            share = part / total
            for chance, now in _leads_to(job)[place]:
                shares[now] += share * chance * melts * whole
            shares[place] += share * (1 - melts)
    return tuple(shares)


@cache
def _leads_to(job: str) -> tuple[tuple[tuple[float, int], ...], ...]:
    """Return for each of `STATES` what a job makes of it: chances, each with the place of the state it leaves."""
    return tuple(tuple((chance, STATES.index(now)) for chance, now in acts.repaired(job, state)) for state in STATES)


@cache
def best(known: Known) -> tuple[float, str]:
    """Return what the best way brings from here on, on average [credits], and the job it begins with."""
    found = {end: brings(end, known) for end in ("return repaired", "return unrepaired")}
    for look in LOOKS:
        if look not in known.looked and not known.repairs:
            found[look] = brings(look, known)
    if "measure core cold" in known.looked or known.repairs:
        for job in JOBS:
            if allowed(job, known):
                found[job] = brings(job, known)
    first = max(found, key=found.get)
    return found[first], first


def allowed(job: str, known: Known) -> bool:
    """Whether a job is to be had: no more than `MOST_REPAIRS`, and no heat over the count."""
    return known.repairs < MOST_REPAIRS and not worn(job, known)


def brings(choice: str, known: Known) -> float:
    """Return what a choice brings on average, with the best way after it [credits]."""
    if choice == "return unrepaired":
        return -TOLD - price(choice)
    if choice == "return repaired":
        sound = known.belief[STATES.index(SOUND)] / sum(known.belief)
        worth = sound * MONEY["a board that holds"] - (1 - sound) * MONEY["a board that comes back"]
        return worth - TOLD - price("tell work") - price(choice)
    if choice in LOOKS:
        after = known._replace(looked=known.looked | {choice}, open_=True)
        told = (weighed(known.belief, likelihood) for likelihood in likelihoods(choice))
        ways = [(chance, belief) for chance, belief in told if chance > 1e-9]
        return -look_price(choice) - reach(known) + sum(p * best(after._replace(belief=b))[0] for p, b in ways)
    return job_brings(choice, known)


def job_brings(job: str, known: Known, starts: int = TEST) -> float:
    """Return what a repair brings: closed and tested with so many starts, then what is best on the test's result.

    A shorted part has to be found by its heat first; where none grows warm, there is nothing to replace.
    """
    if job == "replace part" and not known.found:
        return find_brings(known, starts)
    shares = after_job(job, known)
    passing, failing = _passing(starts)
    left = {"heat U1": known.heats - 1, "replace U1": acts.MOST_HEATS - 1, "reball U1": known.heats - 3}
    after = known._replace(
        heats=max(0, left.get(job, known.heats)),
        heats_2=max(0, known.heats_2 - (job == "heat U2")),
        wet=known.wet and job == "replace part",
        open_=False,
        repairs=known.repairs + 1,
        found=False,
    )
    total = 0.0
    for wanted in (passing, failing):
        parts = [share * like for share, like in zip(shares, wanted, strict=True)]
        chance = sum(parts)
        if chance > 1e-9:
            total += chance * best(after._replace(belief=_whole(parts, chance)))[0]
    lost = 1 - sum(shares)
    return total + lost * brings("return unrepaired", after) - job_cost(job, known, starts)


@cache
def _passing(starts: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return for each of `STATES` the chance that a test of so many cold starts is clean, and that it is not."""
    weak = float(chance_of_clean_starts(CHANCES["a weak joint fails at a cold start"], starts)) if starts else 1.0
    holding = {SOUND: 1.0} | dict.fromkeys(WEAK.values(), weak)
    passing = tuple(holding.get(state, 0.0 if starts else 1.0) for state in STATES)
    return passing, tuple(1 - share for share in passing)


def find_brings(known: Known, starts: int = TEST) -> float:
    """Return what it brings to look for the part that grows warm, and to replace it where one does."""
    warm = tuple(CHANCES["short found by its heat"] * (state == "shorted part") for state in STATES)
    total = -price("find short")
    likely, parts = weighed(known.belief, warm)
    if likely > 1e-9:
        total += likely * job_brings("replace part", known._replace(belief=parts, found=True), starts)
    none, parts = weighed(known.belief, tuple(1 - share for share in warm))
    if none > 1e-9:  # what was looked for in vain counts as a repair, so that the tree ends
        after = known._replace(belief=parts, open_=True, repairs=known.repairs + 1)
        total += none * (best(after)[0] - reach(known) - off(known))
    return total


@cache
def told_for_nothing() -> float:
    """Return what somebody would get who is told the cause, and all else, at once and for nothing [credits]."""
    total = 0.0
    for place, cells in enumerate(CAUSES.values()):
        belief = tuple(1_000_000 * (place == k) for k in range(len(STATES)))
        known = Known(belief, acts.MOST_HEATS - 1, wet=False, heavy=False, looked=frozenset(LOOKS))
        total += cells["prior"] * max(0.0, best(known)[0])
    return total


def programme_for(weights: Weights) -> tuple[int, int, int]:
    """Return the programme that most likely melts every joint and harms nothing on what is known.

    Of several as likely, it is the coolest: the least of plate, of gas, then of time.
    """
    shares: dict[tuple[str, bool], float] = {}
    for board, share in weights.items():
        shares[board.copper, board.low] = shares.get((board.copper, board.low), 0.0) + share
    return _programme(tuple(sorted((*board, round(share, 2)) for board, share in shares.items())))


@cache
def _programme(shares: tuple[tuple[str, bool, float], ...]) -> tuple[int, int, int]:
    """Return the programme for boards of copper, whether the plate runs a step too cool, and how likely each is."""

    def fits(plate: int, gas: int, hold: int) -> float:
        return sum(
            share
            for copper, low, share in shares
            if heating.heated(copper, plate - heating.PLATE_STEP * low, gas, hold).fits
        )

    plates, gases, holds = heating.SETTINGS
    every = [(plate, gas, hold) for plate in plates for gas in gases for hold in holds]
    return max(every, key=lambda one: (round(fits(*one), 9), -one[0], -one[1], -one[2]))


def value_told(look: str, known: Known) -> float:
    """Return what the best way brings on average once a look has told, its price not counted [credits]."""
    told = (weighed(known.belief, likelihood) for likelihood in likelihoods(look))
    return sum(chance * best(known._replace(belief=belief))[0] for chance, belief in told if chance > 1e-9)
